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

/// Free edges and hems are one edge over an old seam. Where they met in a point before, they are left as they are: a turn inside
/// is told with its place, as one between two edges is.
#[test]
fn a_turn_inside_an_edge_that_was_joined_is_told_with_its_place() {
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg");
    let point =
        "set-corner skirt-shaped-back.svg --edges \"front.side, front.waist\" --shape point -o point.svg";
    bench.retrue(point).is_true();
    bench.retrue("move-seam point.svg --seam front.side --from back --by 20mm -o moved.svg");
    let found = bench.retrue("check moved.svg --json").reports("check");
    let findings = found["findings"].as_array().expect("findings");
    let joined =
        |at: &str| findings.iter().find(|finding| finding["kind"] == "corner-at-join" && finding["at"] == at);
    let waist = joined("front.waist@19.3mm").expect("the waist");
    assert!((waist["number"].as_f64().expect("degrees") - 21.4).abs() < 0.1, "{waist}");
    assert_eq!(waist["weight"], "warning");
}

/// The lines that ran on across a side seam run on across the new one, and over the strip, however far it is moved and from
/// whichever piece: a free waist, one that is sewn to a bodice, hems. The seams that are sewn to them stay true.
#[test]
fn a_side_seam_that_is_moved_leaves_waist_and_hem_in_one_line() {
    let seams = [
        ("skirt-shaped-back.svg", "front.side", ["front", "back"]),
        ("dress.svg", "skirt-front.side", ["skirt-front", "skirt-back"]),
    ];
    for (sheet, seam, pieces) in seams {
        let bench = Bench::new().with_fixture(sheet);
        for from in pieces {
            for by in ["10mm", "20mm", "40mm"] {
                let moved =
                    format!("move-seam {sheet} --seam {seam} --from {from} --by {by} -o moved.svg --force");
                bench.retrue(&moved).is_true();
                let found = bench.retrue("check moved.svg");
                found.is_true();
                assert!(!found.stdout().contains("turns by"), "{moved}: {}", found.stdout());
                bench.retrue(&format!("check moved.svg --against {sheet}")).is_true();
            }
        }
    }
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

/// The cutting line that is written is the one that is reckoned from what was read again: which of two seams is sewn first at a
/// corner, and to which side a dart is pressed that opens on the centre itself, is not left to how a sheet is written.
#[test]
fn a_sheet_that_was_just_written_is_not_called_changed() {
    let bench = Bench::new()
        .with_fixture("coat.svg")
        .with_fixture("awkward.svg")
        .with_fixture("skirt-shaped-back.svg");
    for steps in [
        &["split coat.svg --piece pocket-bag --line \"fore@88% > mouth@85%\" -o made.svg"][..],
        &["set-corner awkward.svg --edges \"panel.upper, panel.right\" --shape jog -o made.svg"],
        &[
            "open-centre skirt-shaped-back.svg --piece front -o open.svg",
            "pivot-dart open.svg --piece front --dart waist-dart --to centre@81% -o made.svg",
        ],
    ] {
        steps.iter().for_each(|step| drop(bench.retrue(&format!("{step} --force"))));
        let found = bench.retrue("check made.svg");
        assert!(!found.stderr().contains("changed by hand"), "{steps:?}: {}", found.stderr());
    }
}
