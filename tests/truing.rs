//! Truing: girths, walks, the ledger, and every check before cutting.

#[path = "truing/build.rs"]
mod build;
#[path = "truing/closed_forms.rs"]
mod closed_forms;
#[path = "truing/cut_faults.rs"]
mod cut_faults;
#[path = "truing/draw.rs"]
mod draw;
#[path = "truing/faults.rs"]
mod faults;
#[path = "truing/injected.rs"]
mod injected;
#[path = "truing/injector.rs"]
mod injector;
#[path = "truing/laws.rs"]
mod laws;
#[path = "truing/levels.rs"]
mod levels;
#[path = "truing/pairs.rs"]
mod pairs;
#[path = "truing/piece_faults.rs"]
mod piece_faults;
#[path = "truing/properties.rs"]
mod properties;
#[path = "truing/sheets.rs"]
mod sheets;

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
