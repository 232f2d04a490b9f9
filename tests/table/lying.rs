//! Where the pieces lie on the table while they are recut.

use std::collections::BTreeMap;

use kurbo::{BezPath, Rect, Shape, Vec2};
use retrue::table::{PieceSeen, Table};
use serde_json::json;

use crate::bench::{Bench, hand, keep, step, tried};

/// How far pieces may go aside for one that grew by 40 mm, or that was cut in two: as far as it grew, and the room between pieces.
const ASIDE: f64 = 140.0;

fn boxes(table: &Table) -> BTreeMap<String, Rect> {
    let of = |piece: PieceSeen| {
        let paper = BezPath::from_svg(&piece.paper).expect("an outline");
        assert_eq!(piece.shift, [0.0; 2], "{}", piece.name);
        (piece.name, paper.bounding_box())
    };
    table.seen().pieces.into_iter().map(of).collect()
}

/// The middle of an edge, moved as its piece is shown.
fn middle(piece: &PieceSeen, edge: &str) -> Vec2 {
    let found = piece.edges.iter().find(|seen| seen.name == edge).expect("an edge");
    Vec2::new(found.middle[0] + piece.shift[0], found.middle[1] + piece.shift[1])
}

fn find<'a>(pieces: &'a [PieceSeen], name: &str) -> &'a PieceSeen {
    pieces.iter().find(|piece| piece.name == name).expect("a piece")
}

/// Let go, a piece lies where the hand saw it; what was in its way went aside, no piece over another, and comes back.
#[test]
fn a_piece_stays_where_the_hand_let_it_go() {
    for across in [-25.0, 40.0] {
        let bench = Bench::of_coat();
        let mut table = bench.table();
        let before = boxes(&table);
        let wish = hand(&table, "back.side", across, "straight", 0.0);
        let trial = tried(&table, &wish);
        let seen = keep(&mut table, &wish);
        for (piece, edge) in [("front", "front.centre"), ("back", "back.centre"), ("back", "back.neck")] {
            let (shown, lies) = (find(&trial.pieces, piece), find(&seen.pieces, piece));
            let off = (middle(shown, edge) - middle(lies, edge)).hypot();
            assert!(off < 1e-3, "{across}: {edge} jumped by {off} mm");
        }
        let after = boxes(&table);
        for (name, lies) in &after {
            let aside = (lies.center() - before[name].center()).hypot();
            let over = |other: &Rect| lies.intersect(*other).area();
            assert!(aside < ASIDE, "{across}: {name} went {aside} mm aside");
            let others = after.iter().filter(|(other, _)| *other != name);
            assert!(others.map(|(_, other)| over(other)).all(|over| over < 1e-6), "{across}: {name}");
        }
        table.undo(seen.revision).expect("a step to take back");
        assert_eq!(boxes(&table), before, "{across}");
    }
}

/// Parts of a piece that was cut lie beside each other where the piece lay, as they lay in it; what is in their way goes aside,
/// and all else stays.
#[test]
fn parts_lie_where_their_piece_lay() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let before = boxes(&table);
    let cut = json!({ "do": "split", "piece": "front", "line": "shoulder@50% > hem@50%", "names": "front-inner, front-outer" });
    keep(&mut table, &step(cut));
    let after = boxes(&table);
    let (inner, outer, was) = (after["front-inner"], after["front-outer"], before["front"]);
    assert!(inner.union(outer).center().distance(was.center()) < ASIDE, "{inner:?} {outer:?} {was:?}");
    let mut went_aside = 0;
    for (name, lies) in &after {
        let others = after.iter().filter(|(other, _)| *other != name);
        assert!(others.map(|(_, other)| lies.intersect(*other).area()).all(|over| over < 1e-6), "{name}");
        if let Some(was) = before.get(name) {
            let aside = lies.center().distance(was.center());
            assert!(aside < ASIDE, "{name} went {aside} mm aside");
            went_aside += usize::from(aside > 1.0);
        }
    }
    assert!((1..=3).contains(&went_aside), "{went_aside} went aside");
    assert_eq!(after["collar"], before["collar"]);
}

/// What a hand means on a piece that went aside is what it means where its sheet has it.
#[test]
fn a_hand_means_the_same_on_a_piece_that_went_aside() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let wide = hand(&table, "back.side", 40.0, "straight", 0.0);
    keep(&mut table, &wide);
    let recipe = |table: &Table, across: f64| {
        let trial = tried(table, &hand(table, "back.side", across, "straight", 0.0));
        assert_eq!(trial.refused, None);
        trial.recipe.expect("a step")
    };
    let width = |recipe: &str| -> f64 {
        let line = recipe.lines().find(|line| line.starts_with("to-width")).expect("a width");
        line.split('"').nth(1).and_then(|mm| mm.strip_suffix("mm")).expect("mm").parse().expect("a number")
    };
    let (near, far) = (recipe(&table, -10.0), recipe(&table, -30.0));
    assert!((width(&near) - width(&far) - 20.0).abs() <= 1.0, "{near} {far}");
}
