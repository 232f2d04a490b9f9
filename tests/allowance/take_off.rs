//! Taking allowances off: the seamline that made a cutting line comes back from it.

use proptest::prelude::*;
use retrue::allowance::{
    CuttingLine, DrawnCuttingLine, DrawnEdge, DrawnPart, DrawnStretch, TakenOff, cutting_lines, take_off,
};
use retrue::curve::Curve;
use retrue::pattern::{EdgeId, Piece};

use crate::fixtures::fixtures;
use crate::pieces::{alone, loop_of, p, places, polygon};
use crate::random::gentle;

/// How far a seamline that comes back may be off.
const BACK: f64 = 0.05;

/// The stretch of a closed line from one walk distance to another, over its start where need be; nothing where the two
/// are one place.
fn along(cut: &Curve, from: f64, to: f64) -> Option<Curve> {
    if (to - from).abs() < 1e-3 || (to - from).abs() > cut.length() - 1e-3 {
        return None;
    }
    if to > from {
        return cut.stretch(from, to).ok();
    }
    match (cut.stretch(from, cut.length()), cut.stretch(0.0, to)) {
        (Ok(end), Ok(start)) => Some(end.joined(&start).unwrap()),
        (Ok(one), Err(_)) | (Err(_), Ok(one)) => Some(one),
        (Err(_), Err(_)) => None,
    }
}

fn drawn_edge(piece: &Piece, id: EdgeId) -> DrawnEdge {
    let edge = piece.edge(id);
    DrawnEdge { name: edge.name.clone(), allowance: edge.cut_allowance(), finish: edge.finish }
}

/// How a stretch that belongs to a corner is handed over.
#[derive(Clone, Copy, Debug)]
enum Marked {
    Corner,
    Unsaid,
}

/// A cutting line as someone would draw it who marks where the lines of the edges end; nothing where an edge has no
/// line left.
fn drawn(piece: &Piece, line: &CuttingLine, marked: Marked) -> Option<DrawnCuttingLine> {
    let cut = loop_of(line);
    let at = |point| cut.nearest(point).at;
    let mut stretches = Vec::new();
    for (index, corner) in line.corners.iter().enumerate() {
        let before = &line.corners[(index + line.corners.len() - 1) % line.corners.len()];
        let (from, to) = (at(before.ends.1), at(corner.ends.0));
        let own = along(&cut, from, to)?;
        let seam = &piece.edge(corner.edges.0).curve;
        if own.length() > 2.0 * seam.length() + 200.0 {
            return None;
        }
        stretches.push(DrawnStretch { curve: own, part: DrawnPart::Edge(drawn_edge(piece, corner.edges.0)) });
        let Some(between) = along(&cut, to, at(corner.ends.1)) else { continue };
        if between.length() > cut.length() / 2.0 {
            return None;
        }
        let name = format!("between-{index}");
        let part = match marked {
            Marked::Corner => DrawnPart::Corner,
            Marked::Unsaid => DrawnPart::Unsaid(DrawnEdge {
                name: name.parse().unwrap(),
                ..drawn_edge(piece, corner.edges.0)
            }),
        };
        stretches.push(DrawnStretch { curve: between, part });
    }
    Some(DrawnCuttingLine { stretches, corners: Vec::new(), darts: Vec::new() })
}

/// The greatest distance of a piece's seamlines from those that came back, and where; stretches that were trimmed or are
/// told as unknown do not count, nor what lies in a dart's mouth.
fn worst(piece: &Piece, line: &CuttingLine, back: &TakenOff) -> (f64, String) {
    assert_eq!(
        back.edges.len(),
        piece.edges().len(),
        "{:?}",
        back.edges.iter().map(|e| &e.name).collect::<Vec<_>>()
    );
    let mut worst = (0.0, String::new());
    for id in piece.edge_ids() {
        let edge = piece.edge(id);
        let came = back.edges.iter().find(|came| came.name == edge.name).unwrap();
        for (from, to) in piece.sewn_stretches(id) {
            let count = ((to - from) / 2.0).ceil() as usize;
            for step in 0..=count {
                let at = from + (to - from) * step as f64 / count as f64;
                let trimmed =
                    line.trimmed.iter().any(|t| t.edge == id && t.from - 5.0 <= at && at <= t.to + 5.0);
                let near = came.curve.nearest(edge.curve.point_at(at));
                let unknown = back
                    .unknown
                    .iter()
                    .any(|u| u.edge == edge.name && u.from - 1.0 <= near.at && near.at <= u.to + 1.0);
                if !trimmed && !unknown && near.distance > worst.0 {
                    worst = (
                        near.distance,
                        format!("{}.{} at {at:.1} of {:.1}", piece.name(), edge.name, edge.curve.length()),
                    );
                }
            }
        }
    }
    worst
}

#[test]
fn a_square_comes_back_exactly() {
    let square = polygon(&[p(0.0, 0.0), p(100.0, 0.0), p(100.0, 100.0), p(0.0, 100.0)], 15.0);
    let line = alone(&square);
    let back = take_off(&drawn(&square, &line, Marked::Corner).unwrap()).unwrap();
    for (edge, came) in square.edges().iter().zip(&back.edges) {
        assert_eq!(edge.name, came.name);
        assert!(edge.curve.distance_to(&came.curve) < 1e-9);
    }
    assert!(back.unknown.is_empty());
}

#[test]
fn every_fixture_comes_back() {
    let mut pieces = 0;
    for (name, pattern) in fixtures() {
        let lines = cutting_lines(&pattern).unwrap();
        for piece in pattern.pieces().filter(|piece| piece.darts.is_empty()) {
            let line = lines.of(piece.name()).unwrap();
            for marked in [Marked::Corner, Marked::Unsaid] {
                let drawing = drawn(piece, line, marked).unwrap();
                let back = take_off(&drawing);
                match back {
                    Ok(back) => println!(
                        "{name} {} {marked:?}: {:?} {:?}",
                        piece.name(),
                        worst(piece, line, &back),
                        back.unknown
                    ),
                    Err(error) => println!("{name} {} {marked:?}: {error}", piece.name()),
                }
                pieces += 1;
            }
        }
    }
    assert!(pieces > 4, "{pieces} pieces");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_random_piece_comes_back(shape in gentle()) {
        let line = alone(&shape);
        let Some(drawing) = drawn(&shape, &line, Marked::Corner) else { return Ok(()) };
        let back = take_off(&drawing).map_err(|error| TestCaseError::fail(error.to_string()))?;
        let (off, at) = worst(&shape, &line, &back);
        prop_assert!(off <= BACK, "{at}: {off}");
        for edge in shape.edges() {
            let came = back.edges.iter().find(|came| came.name == edge.name).unwrap();
            for (_, point) in places(&edge.curve, 10) {
                prop_assert!(came.curve.nearest(point).distance < 1e3);
            }
        }
    }
}
