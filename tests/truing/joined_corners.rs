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
