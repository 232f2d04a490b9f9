//! The shipped pattern sheets equal what is drafted, and the drafts are true in themselves.
//!
//! The files in `fixtures/` are drawn by this test: run it with `RETRUE_REDRAW=1` to write them anew
//! after a change of a draft.

#[path = "common/draft/mod.rs"]
mod draft;
#[path = "common/proof/mod.rs"]
mod proof;

use std::path::PathBuf;

use draft::Measures;

/// Every garment that is drafted from body measures, by the name of its fixture.
const GARMENTS: [(&str, fn(&Measures) -> String); 3] = [
    ("coat.svg", draft::coat),
    ("dress.svg", draft::dress),
    ("skirt-shaped-back.svg", draft::skirt_shaped_back),
];

/// Every fixture by the name of its file.
fn fixtures() -> Vec<(&'static str, String)> {
    let measures = Measures::of_the_fixtures();
    let mut drafted: Vec<_> = GARMENTS
        .map(|(name, garment)| (name, garment(&measures)))
        .into();
    drafted.push(("awkward.svg", draft::awkward()));
    drafted
}

#[test]
fn fixtures_equal_what_is_drafted() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    for (name, text) in fixtures() {
        let file = folder.join(name);
        if std::env::var_os("RETRUE_REDRAW").is_some() {
            std::fs::write(&file, &text).expect("the fixture is written");
        }
        let shipped = std::fs::read_to_string(&file).expect("the fixture is there");
        assert!(shipped == text, "{name} is not what is drafted");
    }
}

#[test]
fn fixtures_are_true() {
    for (name, text) in fixtures() {
        let found = proof::findings(&text);
        assert!(found.is_empty(), "{name}: {found:#?}");
    }
}

#[test]
fn drafts_of_every_size_are_true() {
    let (smallest, largest) = draft::measures::BUST_RANGE;
    let step = 0.5;
    let mut bust = smallest;
    while bust <= largest {
        for (name, garment) in GARMENTS {
            let found = proof::findings(&garment(&Measures::of_bust(bust)));
            assert!(found.is_empty(), "{name} of bust {bust} in: {found:#?}");
        }
        bust += step;
    }
}

/// Only the awkward sheet has hollows that are tighter than their allowance.
#[test]
fn hollows_of_garments_are_wider_than_their_allowance() {
    for (name, text) in fixtures() {
        let tight = proof::tight_hollows(&text);
        assert_eq!(
            tight.is_empty(),
            name != "awkward.svg",
            "{name}: {tight:#?}"
        );
    }
}
