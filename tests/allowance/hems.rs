//! Hems turned up: folded at the corner's tangent, the hem lies on its own piece.

use kurbo::Shape;
use proptest::prelude::*;
use retrue::allowance::{CutShape, cutting_lines};
use retrue::curve::Motion;
use retrue::pattern::{Finish, Pattern, Piece, Travel};
use retrue::tolerance::MITRES_MEET;

use crate::counted::kept_in;
use crate::pieces::{alone, bowed, edge, id, loop_of, p, piece, seam, seam_edge, straight};

/// A piece with a hem: widths at the top and at the hem, its length, how the right side and the hem are bowed.
fn skirt(top: f64, hem: f64, length: f64, side_bow: f64, hem_bow: f64) -> Piece {
    let (left, right) = (p(-hem / 2.0, length), p(hem / 2.0, length));
    piece(
        "skirt",
        vec![
            seam_edge("waist", straight(p(-top / 2.0, 0.0), p(top / 2.0, 0.0)), 15.0),
            seam_edge("side", bowed(p(top / 2.0, 0.0), right, side_bow), 15.0),
            edge("hem", bowed(right, left, hem_bow), Finish::Hem, 40.0),
            seam_edge("other", straight(left, p(-top / 2.0, 0.0)), 20.0),
        ],
    )
}

/// Folds the hem up at the tangent of its right corner and measures how far the side's cutting line within the hem then
/// lies from the side's own cutting line.
fn off_after_folding(piece: &Piece) -> f64 {
    let line = alone(piece);
    let hem = id(piece, "hem");
    let corner = line.corners.iter().find(|corner| corner.edges.1 == hem).unwrap();
    assert_eq!(corner.shape, CutShape::TurnedUp(hem));
    let cut = loop_of(&line);
    let curve = &piece.edge(hem).curve;
    let (at, along) = (curve.start(), curve.start_tangent());
    let fold = Motion::mirror_in(at, at + along).unwrap();
    let end = cut.nearest(corner.ends.0);
    assert!(end.distance < 0.02, "the hem's corner lies on the cutting line");
    let mut worst = 0.0_f64;
    let mut below = 0;
    for step in 0.. {
        let walked = (end.at - f64::from(step) * 0.5).rem_euclid(cut.length());
        let point = cut.point_at(walked);
        if along.cross(point - at) > -1e-9 {
            break;
        }
        below += 1;
        worst = worst.max(cut.nearest(fold.apply(point)).distance);
        assert!(step < 2000, "the side's line never reaches the fold");
    }
    assert!(below > 40, "the hem's side is {below} steps long");
    worst
}

#[test]
fn hems_lie_flat_on_tapered_flared_and_curved_sides() {
    for (top, hem, side_bow, hem_bow) in [
        (240.0, 140.0, 0.0, 0.0),
        (120.0, 320.0, 0.0, 0.03),
        (200.0, 200.0, 0.08, 0.0),
        (160.0, 260.0, -0.08, 0.06),
        (240.0, 150.0, 0.05, -0.04),
    ] {
        let off = off_after_folding(&skirt(top, hem, 300.0, side_bow, hem_bow));
        assert!(off <= 0.01, "{top} to {hem}, bowed {side_bow} and {hem_bow}: off by {off}");
    }
}

/// A sleeve tapered by 10° a side: the hem's cut edge is wider than the fold by 2·40·tan 10° = 14.11 mm.
#[test]
fn a_tapered_sleeve_widens_below_the_fold() {
    let length = 300.0;
    let slope = 10_f64.to_radians().tan();
    let sleeve = skirt(140.0 + 2.0 * length * slope, 140.0, length, 0.0, 0.0);
    let line = alone(&sleeve);
    let hem = id(&sleeve, "hem");
    let end = |which: usize| {
        let corner =
            line.corners.iter().find(|corner| [corner.edges.0, corner.edges.1][which] == hem).unwrap();
        corner.ends.0.x
    };
    let cut = end(1) - end(0);
    let slant = 10_f64.to_radians().cos();
    let at_fold = 140.0 + (15.0 + 20.0) / slant;
    assert!((cut - at_fold - 2.0 * 40.0 * slope).abs() < 1e-6, "{cut} against {at_fold}");
}

#[test]
fn two_hems_are_mitred() {
    let shape = piece(
        "shape",
        vec![
            seam_edge("upper", straight(p(0.0, 0.0), p(100.0, 0.0)), 15.0),
            edge("vent", straight(p(100.0, 0.0), p(100.0, 200.0)), Finish::Hem, 30.0),
            edge("hem", straight(p(100.0, 200.0), p(0.0, 200.0)), Finish::Hem, 40.0),
            seam_edge("side", straight(p(0.0, 200.0), p(0.0, 0.0)), 15.0),
        ],
    );
    let line = alone(&shape);
    let corner = line.corners.iter().find(|corner| corner.edges.0 == id(&shape, "vent")).unwrap();
    assert_eq!(corner.shape, CutShape::Mitre);
    assert!((corner.ends.0 - p(130.0, 240.0)).hypot() < 1e-6);
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/hems.txt", 256))]

    #[test]
    fn a_hem_folded_up_lies_on_the_side(
        (top, hem) in (120.0..300.0, 150.0..300.0),
        length in 250.0..400.0,
        side_bow in -0.08..0.08,
        hem_bow in -0.04..0.06,
    ) {
        let piece = skirt(top, hem, length, side_bow, hem_bow);
        prop_assume!(alone(&piece).shortages(&piece).is_empty());
        let off = off_after_folding(&piece);
        prop_assert!(off <= 0.01, "off by {off}");
        let whole: f64 = alone(&piece).path.area();
        prop_assert!(whole > piece.outline().area());
    }

    /// Two pieces whose hems continue each other across the side seam: within the hem their stitching lines end alike.
    #[test]
    fn hems_that_continue_each_other_end_alike(lean in -0.3..0.3_f64) {
        let leaning = |name: &str, lean: f64| {
            let (length, foot) = (300.0, 200.0 + 300.0 * lean);
            piece(
                name,
                vec![
                    seam_edge("waist", straight(p(0.0, 0.0), p(200.0, 0.0)), 15.0),
                    seam_edge("side", straight(p(200.0, 0.0), p(foot, length)), 15.0),
                    edge("hem", straight(p(foot, length), p(0.0, length)), Finish::Hem, 40.0),
                    seam_edge("centre", straight(p(0.0, length), p(0.0, 0.0)), 15.0),
                ],
            )
        };
        let pieces = vec![leaning("front", lean), leaning("back", -lean)];
        let seams = vec![seam(("front.side", Travel::Clockwise), ("back.side", Travel::Clockwise))];
        let pattern = Pattern::new(pieces, seams).unwrap();
        let lines = cutting_lines(&pattern).unwrap();
        for end in pattern.seam_ids().flat_map(|id| lines.seam_ends(&pattern, id)) {
            let at_hem = end.at[0].1.edge.as_str() == "hem";
            prop_assert!(end.gap <= if at_hem { 0.01 } else { MITRES_MEET }, "{end:?}");
        }
    }
}
