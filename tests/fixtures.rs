//! The shipped pattern sheets equal what is drafted, and the drafts are true in themselves.
//!
//! The files in `fixtures/` are drawn by this test: run it with `RETRUE_REDRAW=1` to write them anew
//! after a change of a draft.

#[path = "common/draft/mod.rs"]
mod draft;

use std::path::PathBuf;

use draft::Measures;

fn drafted() -> Vec<(&'static str, String)> {
    let measures = Measures::of_the_fixtures();
    vec![
        ("coat.svg", draft::coat(&measures)),
        ("dress.svg", draft::dress(&measures)),
        ("skirt-shaped-back.svg", draft::skirt_shaped_back(&measures)),
    ]
}

#[test]
fn fixtures_equal_what_is_drafted() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    for (name, text) in drafted() {
        let file = folder.join(name);
        if std::env::var_os("RETRUE_REDRAW").is_some() {
            std::fs::write(&file, &text).expect("the fixture is written");
        }
        let shipped = std::fs::read_to_string(&file).expect("the fixture is there");
        assert!(shipped == text, "{name} is not what is drafted");
    }
}
