//! The shipped pattern sheets equal what is drafted, and the drafts are true in themselves.
//!
//! The files in `fixtures/` are drawn by this test: run it with `RETRUE_REDRAW=1` to write them anew
//! after a change of a draft.

use std::path::PathBuf;

use crate::draft::Measures;

/// A draft of a garment for any body.
type Garment = fn(&Measures) -> String;

/// Every garment that is drafted from body measures, by the name of its fixture.
const GARMENTS: [(&str, Garment); 3] = [
    ("coat.svg", crate::draft::coat),
    ("dress.svg", crate::draft::dress),
    ("skirt-shaped-back.svg", crate::draft::skirt_shaped_back),
];

/// Every fixture by the name of its file.
fn fixtures() -> Vec<(&'static str, String)> {
    let measures = Measures::of_the_fixtures();
    let mut drafted: Vec<_> = GARMENTS.map(|(name, garment)| (name, garment(&measures))).into();
    drafted.push(("awkward.svg", crate::draft::awkward()));
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
        let found = crate::proof::findings(&text);
        assert!(found.is_empty(), "{name}: {found:#?}");
    }
}

#[test]
fn drafts_of_every_size_are_true() {
    let (smallest, largest) = crate::draft::measures::BUST_RANGE;
    let step = 0.5;
    let mut bust = smallest;
    while bust <= largest {
        for (name, garment) in GARMENTS {
            let found = crate::proof::findings(&garment(&Measures::of_bust(bust)));
            assert!(found.is_empty(), "{name} of bust {bust} in: {found:#?}");
        }
        bust += step;
    }
}

/// Only the awkward sheet has hollows that are tighter than their allowance.
#[test]
fn hollows_of_garments_are_wider_than_their_allowance() {
    for (name, text) in fixtures() {
        let tight = crate::proof::tight_hollows(&text);
        assert_eq!(tight.is_empty(), name != "awkward.svg", "{name}: {tight:#?}");
    }
}

/// The coat is the garment of the main job: a back that can be cut from selvedge to selvedge of
/// cloth 37 cm wide, by a line that leaves by the armhole and the hem.
#[test]
fn coat_suits_the_main_job() {
    let coat = crate::proof::Sheet::read(&crate::draft::coat(&Measures::of_the_fixtures()));
    assert!(coat.pieces.len() >= 12);
    let back = coat.piece("back").expect("the coat has a back");
    let fold = back.start_of("centre").x;
    let narrow_cloth = 370.0;
    let cut = fold + narrow_cloth / 2.0;
    assert!((back.level_width("across") - 175.0).abs() < 1.0);
    assert!((255.0..260.0).contains(&back.level_width("bust")));
    assert!(2.0 * (back.start_of("hem").x - fold) > narrow_cloth);
    assert!(back.start_of("armhole").x < cut && cut < back.start_of("side").x);
    for name in ["back", "front"] {
        let panel = coat.piece(name).expect("the coat has both panels");
        let flare = (panel.start_of("side").x - panel.end_of("side").x).abs();
        assert!(flare <= 15.0, "{name}: the hem stands {flare} mm out");
    }
}

/// The proof is no rubber stamp: a false sheet is found out.
#[test]
fn proof_finds_what_is_false() {
    let coat = crate::draft::coat(&Measures::of_the_fixtures());
    let faults = [
        ("data-ease=\"25mm\"", "data-ease=\"24mm\"", "lengths differ"),
        ("side-notch\" data-kind=\"notch\"", "side-notch\" data-kind=\"mark\"", "no partner"),
        ("data-sewn-to=\"front.side\"", "data-sewn-to=\"front.sides\"", "no such edge"),
    ];
    for (truth, fault, told) in faults {
        let found = crate::proof::findings(&coat.replacen(truth, fault, 1));
        assert!(found.iter().any(|finding| finding.contains(told)), "{told}: {found:#?}");
    }
}
