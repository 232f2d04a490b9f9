//! With the stitching lines of two pieces matched, the ends of their cutting lines meet.

use kurbo::Shape;
use proptest::prelude::*;
use retrue::allowance::{CutShape, CuttingLines, cutting_lines};
use retrue::curve::{Curve, Motion, Point, path_crosses_itself};
use retrue::pattern::{EdgeId, Pattern, Piece, Travel};
use retrue::tolerance::MITRES_MEET;

use crate::pieces::{bowed, id, loop_of, p, seam, seam_edge, straight};

/// What a random piece has at one end of its seam: the angle of the corner in degrees, how the neighbour is bowed, the
/// neighbour's allowance.
pub type End = (f64, f64, f64);

pub fn end() -> impl Strategy<Value = End> {
    (40.0..140.0, -0.12..0.12, 5.0..30.0)
}

/// A piece to the left of a straight seam `side` down the sheet, 200 mm long.
fn beside_seam(name: &str, [upper, lower]: [End; 2], allowance: f64) -> Option<Piece> {
    let (top, bottom) = (p(0.0, 0.0), p(0.0, 200.0));
    let (alpha, beta) = (upper.0.to_radians(), lower.0.to_radians());
    let far_top = top + 90.0 * retrue::curve::Vec2::new(-alpha.sin(), alpha.cos());
    let far_bottom = bottom + 90.0 * retrue::curve::Vec2::new(-beta.sin(), -beta.cos());
    let back = p(-160.0, 100.0);
    let edges = vec![
        seam_edge("upper", bowed(far_top, top, upper.1), upper.2),
        seam_edge("side", straight(top, bottom), allowance),
        seam_edge("lower", bowed(bottom, far_bottom, lower.1), lower.2),
        seam_edge("left-lower", straight(far_bottom, back), 10.0),
        seam_edge("left-upper", straight(back, far_top), 10.0),
    ];
    Piece::new(name.parse().unwrap(), edges).ok()
}

pub fn pair(ends: [[End; 2]; 2], allowances: (f64, f64)) -> Option<Pattern> {
    let pieces =
        vec![beside_seam("front", ends[0], allowances.0)?, beside_seam("back", ends[1], allowances.1)?];
    let seams = vec![seam(("front.side", Travel::Clockwise), ("back.side", Travel::Clockwise))];
    Pattern::new(pieces, seams).ok()
}

fn cut_end(lines: &CuttingLines, piece: &Piece, corner: &str) -> (Point, CutShape) {
    let line = lines.of(piece.name()).unwrap();
    let (side, at): (EdgeId, EdgeId) = (id(piece, "side"), id(piece, corner));
    let found = line.corners.iter().find(|c| c.edges == (side, at) || c.edges == (at, side)).unwrap();
    (if found.edges.0 == side { found.ends.0 } else { found.ends.1 }, found.shape)
}

/// The distance of the two cut ends along the seam when the back is laid on the front by the motion that matches seam
/// end and direction: independent of how the crate measures it.
fn apart_when_matched(pattern: &Pattern, lines: &CuttingLines, corner: &str) -> (f64, [CutShape; 2]) {
    let [front, back] = ["front", "back"].map(|name| pattern.piece(&name.parse().unwrap()).unwrap());
    let seamline = |piece: &Piece| {
        let curve: Curve = piece.edge(id(piece, "side")).curve.clone();
        if corner == "upper" { (curve.start(), curve.end()) } else { (curve.end(), curve.start()) }
    };
    let lay = Motion::carry(seamline(back), seamline(front)).unwrap();
    let ((mine, shape), (theirs, other)) = (cut_end(lines, front, corner), cut_end(lines, back, corner));
    let (from, to) = seamline(front);
    ((lay.apply(theirs) - mine).dot((to - from).normalize()).abs(), [shape, other])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Random angles, curved neighbours, and allowances that differ everywhere.
    #[test]
    fn cut_ends_meet(
        front in [end(), end()],
        back in [end(), end()],
        allowances in (5.0..30.0, 5.0..30.0),
    ) {
        let Some(pattern) = pair([front, back], allowances) else {
            return Err(TestCaseError::reject("an outline that crosses itself"));
        };
        let lines = cutting_lines(&pattern).unwrap();
        let ends: Vec<_> = pattern.seam_ids().flat_map(|id| lines.seam_ends(&pattern, id)).collect();
        for name in ["upper", "lower"] {
            let (apart, shapes) = apart_when_matched(&pattern, &lines, name);
            let end = ends.iter().find(|end| end.at[0].1.edge.as_str() == name);
            if shapes.iter().any(|shape| matches!(shape, CutShape::IntoNeighbour(_))) {
                prop_assert!(end.is_none(), "{name}: what lies in the neighbour's allowance is no end");
                continue;
            }
            let gap = end.map(|end| end.gap);
            let limit = if matches!(shapes[0], CutShape::Square(_)) { 1e-6 } else { MITRES_MEET };
            prop_assert!(apart <= limit, "{name}: {apart} mm apart, {shapes:?}");
            prop_assert!(gap.is_some_and(|gap| (gap - apart).abs() <= 1e-6), "told {gap:?} for {apart}");
        }
        for (name, line) in lines.iter() {
            prop_assert!(!path_crosses_itself(&line.path), "{}", name);
            for corner in line.corners.iter().filter(|corner| matches!(corner.shape, CutShape::Square(_))) {
                let cut = loop_of(line);
                for end in [corner.ends.0, corner.ends.1] {
                    let off = cut.nearest(end).distance;
                    let in_cloth = line.path.winding(end) != 0;
                    prop_assert!(off <= 1e-3 || in_cloth, "{name}: an end lies {off} off the line");
                }
            }
        }
    }

    /// Pieces whose neighbouring edges continue each other, with one allowance: the squared end stands where the
    /// stitching line leaves the neighbour's allowance, on both.
    #[test]
    fn continuing_edges_are_squared_alike(angle in 40.0..140.0, allowance in 5.0..25.0, neighbour in 5.0..25.0) {
        let upper = (angle, 0.0, neighbour);
        let lower = (90.0, 0.0, neighbour);
        let other = (180.0 - angle, 0.0, neighbour);
        let Some(pattern) = pair([[upper, lower], [other, lower]], (allowance, allowance)) else {
            return Err(TestCaseError::reject("an outline that crosses itself"));
        };
        let lines = cutting_lines(&pattern).unwrap();
        let (apart, shapes) = apart_when_matched(&pattern, &lines, "upper");
        let limit = if matches!(shapes[0], CutShape::Square(_)) { 1e-6 } else { MITRES_MEET };
        prop_assert!(apart <= limit, "{apart}");
        if let CutShape::Square(_) = shapes[0] {
            let front = pattern.piece(&"front".parse().unwrap()).unwrap();
            let (end, _) = cut_end(&lines, front, "upper");
            prop_assert!((-end.y - neighbour / f64::to_radians(angle).sin()).abs() <= 0.02, "{end:?}");
        }
    }
}

/// Mitres of 80° and 100° at 15 mm end 5 mm apart: told when they are asked for all the same.
#[test]
fn mitres_that_do_not_meet_are_told() {
    use retrue::pattern::{CornerShape, ShapedCorner};
    let mut pattern =
        pair([[(80.0, 0.0, 15.0), (90.0, 0.0, 15.0)], [(100.0, 0.0, 15.0), (90.0, 0.0, 15.0)]], (15.0, 15.0))
            .unwrap();
    for piece in pattern.pieces_mut() {
        let edges = ("upper".parse().unwrap(), "side".parse().unwrap());
        piece.corners.push(ShapedCorner { edges, shape: CornerShape::Mitre });
    }
    let lines = cutting_lines(&pattern).unwrap();
    let gaps: Vec<f64> =
        pattern.seam_ids().flat_map(|id| lines.seam_ends(&pattern, id)).map(|end| end.gap).collect();
    let published = 15.0 * ((50_f64).to_radians().tan() - (40_f64).to_radians().tan());
    assert!((gaps[0] - published).abs() < 1e-6, "{gaps:?}");
    assert!((published - 5.0).abs() < 0.5);
    assert!(gaps[1] < 1e-6);
}
