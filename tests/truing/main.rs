//! Truing: girths, walks, the ledger, and every check before cutting.

mod bands_order;
mod build;
mod closed_forms;
#[path = "../common/counted.rs"]
mod counted;
mod cut_faults;
mod dart_figures;
mod derived_faults;
#[path = "../common/draft/mod.rs"]
#[allow(unused_imports, reason = "only the coat is drafted here")]
mod draft;
mod draw;
mod faults;
mod injected;
mod injector;
mod joined_corners;
mod laws;
mod levels;
mod opened_out;
mod opening_faults;
mod pairs;
mod piece_faults;
mod properties;
#[path = "../common/random/mod.rs"]
mod random;
mod references;
#[path = "../common/run.rs"]
mod run;
mod sheets;
mod shipped_seams;
mod widths;
#[path = "../common/written_widths.rs"]
mod written_widths;

use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};

/// Every shipped sheet.
const FIXTURES: [&str; 4] = ["awkward.svg", "coat.svg", "dress.svg", "skirt-shaped-back.svg"];

fn text_of(fixture: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(fixture);
    std::fs::read_to_string(path).unwrap()
}

fn read(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &ReadOptions::default()).unwrap().pattern
}
