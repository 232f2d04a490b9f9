//! Places that are pointed at: drawn to what is near, and written as a step reads them.

use retrue::pattern::{Line, Place};
use retrue::table::{At, Pointed, Pointing, Table};
use serde_json::json;

use crate::bench::Bench;

fn pointed(table: &Table, piece: &str, at: [f64; 2], reach: f64, line: Option<&str>) -> Pointed {
    let fills = line.map_or(json!("place"), |line| json!({ "after": line }));
    let pointing = json!({ "piece": piece, "at": at, "reach": reach, "fills": fills });
    let pointing: Pointing = serde_json::from_value(pointing).expect("a place");
    table.laid().pointed(&pointing, At::End).expect("found")
}

/// Wherever it is pointed at, the place is one of the outline as near as a step of the hand.
#[test]
fn a_place_is_written_as_it_is_read() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let laid = table.laid();
    for piece in laid.pattern().pieces() {
        for edge in piece.edge_ids() {
            for share in [0.0, 0.13, 0.5, 0.77, 1.0] {
                let at = piece.point_on(edge, piece.from_sewn(edge, piece.sewn_length(edge) * share));
                let said = pointed(&table, piece.name().as_str(), [at.x, at.y], 0.0, None);
                let place: Place = said.value.parse().expect("a place");
                let found = piece.place(&place).expect("on the piece");
                assert!(found.point.distance(at) < 1.0, "{}: {said:?}, {at:?}", piece.name());
            }
        }
    }
}

#[test]
fn a_hand_is_drawn_to_middles_notches_and_levels_and_says_so() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let laid = table.laid();
    let (mut notches, mut levels) = (0, 0);
    for piece in laid.pattern().pieces() {
        let near =
            |at: retrue::curve::Point| pointed(&table, piece.name().as_str(), [at.x + 1.5, at.y], 4.0, None);
        for edge in piece.edge_ids() {
            let middle = piece.point_on(edge, piece.from_sewn(edge, piece.sewn_length(edge) / 2.0));
            let said = near(middle);
            let is_middle = said.value == format!("{}@50%", piece.edge(edge).name);
            let found = piece.place(&said.value.parse().expect("a place")).expect("on the piece");
            assert!(is_middle || found.point.distance(middle) < 4.0, "{}: {said:?}", piece.name());
        }
        for notch in &piece.notches {
            let edge = piece.find_edge(&notch.edge).expect("its edge");
            notches += usize::from(near(piece.point_on(edge, notch.at)).says.contains("notch"));
        }
        for level in &piece.levels {
            levels += usize::from(near(level.stretches[0].0).says.contains("level"));
        }
    }
    assert!(notches > 3 && levels > 3, "{notches} notches, {levels} levels");
}

#[test]
fn places_pressed_one_after_another_are_a_line() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let middle = |name: &str| {
        let seen = table.seen();
        let mut edges = seen.pieces.iter().flat_map(|piece| &piece.edges);
        edges.find(|edge| edge.name == name).expect("an edge").middle
    };
    let first = pointed(&table, "sleeve", middle("sleeve.hem"), 3.0, Some(""));
    let line = pointed(&table, "sleeve", middle("sleeve.cap"), 3.0, Some(&first.value));
    assert!(line.value.parse::<Line>().is_ok(), "{line:?}");
    assert!(line.value.contains(" > "), "{line:?}");
}
