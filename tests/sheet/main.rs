//! Reading and writing pattern sheets.

#[path = "../common/counted.rs"]
mod counted;
#[path = "../common/draft/mod.rs"]
mod draft;
mod oracle;
mod part_names;
mod patterns;
mod pieces_drawn;
#[path = "../common/proof/mod.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod proof;
#[path = "../common/random/mod.rs"]
mod random;
#[path = "../common/run.rs"]
mod run;
mod shipped;
#[path = "../common/usvg_path.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod usvg_path;

mod broken;
mod carried;
mod compare;
mod drawn;
mod kinds;
mod refused;
mod seams;
mod trips;

use retrue::pattern::Pattern;
use retrue::sheet::{self, Sheet};

const FIXTURES: &[&str] = &["coat", "dress", "skirt-shaped-back", "awkward"];

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn whole(text: impl AsRef<[u8]>) -> Sheet {
    let sheet = sheet::read(text.as_ref(), &Default::default()).unwrap_or_else(|error| panic!("{error}"));
    sheet.pattern.assert_sound();
    sheet
}

fn read(text: impl AsRef<[u8]>) -> Pattern {
    whole(text).pattern
}

fn refusal(text: impl AsRef<[u8]>) -> String {
    match sheet::read(text.as_ref(), &Default::default()) {
        Ok(_) => panic!("read, but should be refused"),
        Err(error) => error.to_string(),
    }
}

/// The text after so many trips through a pattern.
fn after_trips(text: &str, trips: usize) -> String {
    (0..trips).fold(text.to_owned(), |text, _| sheet::write(&read(text)).unwrap())
}

/// A sheet of a square pocket with these elements on it, these beside it, and these attributes on the root.
fn pocket_with(on_it: &str, beside_it: &str, root: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300" {root}>
{beside_it}
<g id="pocket" data-kind="piece">
<path id="pocket.top" data-kind="edge" d="M 50 50 H 150"/>
<path id="pocket.right" data-kind="edge" d="M 150 50 V 150"/>
<path id="pocket.low" data-kind="edge" d="M 150 150 H 50"/>
<path id="pocket.left" data-kind="edge" d="M 50 150 V 50"/>
{on_it}
</g>
</svg>"#
    )
}

/// The pocket with these elements on it.
fn pocket(on_it: &str) -> String {
    pocket_with(on_it, "", "")
}
