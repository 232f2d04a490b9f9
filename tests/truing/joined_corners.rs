//! Where pieces were joined, the lines that go on over the old seam turn: it is told, and can be drawn smooth.

use crate::run::Bench;

#[test]
fn an_armhole_over_an_old_side_seam_is_told_and_drawn_smooth() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue(
            "move-seam --seam front.side --from back --to-width 18.5cm --line grain coat.svg -o moved.svg",
        )
        .is_true();
    let found = bench.retrue("check moved.svg");
    found.is_true();
    assert!(found.stdout().contains("where pieces were joined"), "{}", found.stdout());
    bench.retrue("true-seam --seam front.armhole --smooth front.armhole moved.svg -o smooth.svg").is_true();
    let found = bench.retrue("check smooth.svg");
    found.is_true();
    assert!(!found.stdout().contains("warning"), "{}", found.stdout());
    bench.retrue("check smooth.svg --against coat.svg").is_true();
}

/// Free edges and hems are one edge over an old seam: a turn inside it is told with its place, as one between two edges is.
#[test]
fn a_turn_inside_an_edge_that_was_joined_is_told_with_its_place() {
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg");
    let moved = "move-seam skirt-shaped-back.svg --seam front.side --from back --by 2mm -o moved.svg";
    bench.retrue(moved).is_untrue();
    let found = bench.retrue("check moved.svg --json").is_untrue().reports("check");
    let findings = found["findings"].as_array().expect("findings");
    let joined =
        |at: &str| findings.iter().find(|finding| finding["kind"] == "corner-at-join" && finding["at"] == at);
    let waist = joined("front.waist@1.9mm").expect("the waist");
    assert!((waist["number"].as_f64().expect("degrees") - 21.4).abs() < 0.1, "{waist}");
    assert_eq!(waist["weight"], "warning");
    assert!(joined("front.hem@262.2mm").is_some(), "{findings:#?}");
}

#[test]
fn a_shipped_sheet_has_no_such_corner() {
    for sheet in ["coat.svg", "dress.svg", "skirt-shaped-back.svg", "awkward.svg"] {
        let bench = Bench::new().with_fixture(sheet);
        let found = bench.retrue(&format!("check {sheet}"));
        found.is_true();
        assert!(!found.stdout().contains("where pieces were joined"), "{}", found.stdout());
    }
}

/// The body's underarm then lies within the front, where no seam of the body ends: the two parts of the
/// sleeve meet it with a seam of their own, and nothing runs on into nothing.
#[test]
fn a_sleeve_cut_in_two_meets_an_armhole_without_a_side_seam_at_its_lowest_place() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue(
            "move-seam --seam front.side --from back --to-width 18.5cm --line grain coat.svg -o moved.svg",
        )
        .is_true();
    bench.retrue("split --piece sleeve --line fore-line moved.svg -o both.svg").is_true();
    let found = bench.retrue("check both.svg");
    found.is_true();
    assert!(!found.stdout().contains("runs on here"), "{}", found.stdout());
}
