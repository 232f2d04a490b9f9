//! The distance of the cutting line from the seamline, against closed forms and against an independent offset.

use crate::counted::{counted, kept_in};
use std::f64::consts::PI;

use approx::assert_abs_diff_eq;
use clipper2_rust::{EndType, JoinType, PathD, PathsD, PointD, area, inflate_paths_d};
use kurbo::{ParamCurve, Shape};
use proptest::prelude::*;
use retrue::allowance::CutShape;
use retrue::curve::{Curve, Point, path_crosses_itself};
use retrue::pattern::{Finish, Piece};
use retrue::tolerance::STRAIGHT;

use crate::pieces::{alone, bowed, cubic, edge, loop_of, p, piece, places, polygon, seam_edge, straight};
use crate::random_shapes::{gentle, rough};

/// The quarter of an ellipse from one end of an axis to the next, clockwise.
fn quarter(from: Point, to: Point, corner: Point) -> Curve {
    let handle = 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
    cubic(from, from + handle * (corner - from), to + handle * (corner - to), to)
}

/// Steiner's formula for a closed convex outline of length P (references: [D]): area + P·d + π·d², length + 2π·d.
#[test]
fn a_smooth_convex_piece_grows_by_steiners_formula() {
    let (right, bottom, left, top) = (p(160.0, 0.0), p(0.0, 90.0), p(-160.0, 0.0), p(0.0, -90.0));
    let d = 15.0;
    let oval = piece(
        "oval",
        vec![
            seam_edge("a", quarter(right, bottom, p(160.0, 90.0)), d),
            seam_edge("b", quarter(bottom, left, p(-160.0, 90.0)), d),
            seam_edge("c", quarter(left, top, p(-160.0, -90.0)), d),
            seam_edge("d", quarter(top, right, p(160.0, -90.0)), d),
        ],
    );
    let line = alone(&oval);
    let around = oval.outline().perimeter();
    assert_abs_diff_eq!(
        line.path.area(),
        oval.outline().area() + around * d + PI * d * d,
        epsilon = around * 0.01
    );
    assert_abs_diff_eq!(loop_of(&line).length(), around + 2.0 * PI * d, epsilon = 0.1);
}

/// A half circle skirt's hem, 40 mm deep (references: [D]): the cut edge is π·40 = 125.66 mm longer than the fold, and
/// 2·π·40 = 251.33 mm longer than where it is sewn down when turned up.
#[test]
fn the_hem_of_a_half_circle_skirt_is_longer_by_the_published_lengths() {
    let (waist, hem, depth) = (222.82, 822.82, 40.0);
    let quarters = |r: f64| {
        let (right, bottom, left) = (p(r, 0.0), p(0.0, r), p(-r, 0.0));
        let first = quarter(right, bottom, p(r, r));
        first.joined(&quarter(bottom, left, p(-r, r))).unwrap()
    };
    let skirt = piece(
        "skirt",
        vec![
            edge("hem", quarters(hem), Finish::Hem, depth),
            edge("left", straight(p(-hem, 0.0), p(-waist, 0.0)), Finish::Fold, 0.0),
            seam_edge("waist", quarters(waist).reversed(), 15.0),
            edge("right", straight(p(waist, 0.0), p(hem, 0.0)), Finish::Fold, 0.0),
        ],
    );
    let line = loop_of(&alone(&skirt));
    let (from, to) = (line.nearest(p(hem + depth, 0.0)), line.nearest(p(-hem - depth, 0.0)));
    assert!(from.distance < 0.03 && to.distance < 0.03, "the hem's cut edge ends on the folds");
    let cut = (to.at - from.at).rem_euclid(line.length());
    let sewn_down = PI * (hem - depth);
    let fold = skirt.edges()[0].curve.length();
    assert_abs_diff_eq!(cut - fold, 125.66, epsilon = 0.1);
    assert_abs_diff_eq!(cut - sewn_down, 251.33, epsilon = 0.5);
}

/// A square's corners are mitred: side + 2·d all round.
#[test]
fn a_square_grows_to_a_square() {
    let square = polygon(&[p(0.0, 0.0), p(100.0, 0.0), p(100.0, 100.0), p(0.0, 100.0)], 15.0);
    let line = alone(&square);
    assert_abs_diff_eq!(line.path.area(), 130.0 * 130.0, epsilon = 1e-6);
    assert_eq!(line.path.segments().count(), 4, "a line that runs on is one line");
    assert!(line.shortages(&square).is_empty());
}

fn polygon_of(curve: &Curve) -> PathD {
    curve.flattened(0.0005).into_iter().map(|point| PointD { x: point.x, y: point.y }).collect()
}

/// The same outline offset by a polygon library that shares no code with the curves used here. It cuts off no tips, and
/// misplaces them by up to 0.34 mm, so that areas are compared where no tip is cut off, and points away from corners.
fn inflated(piece: &Piece, by: f64) -> PathsD {
    let outline: PathD =
        piece.edges().iter().flat_map(|edge| polygon_of(&edge.curve).into_iter().skip(1)).collect();
    inflate_paths_d(&vec![outline], by, JoinType::Miter, EndType::Polygon, 1000.0, 6, 0.001)
}

fn off_polygon(paths: &PathsD, point: Point) -> f64 {
    let at = |q: &PointD| Point::new(q.x, q.y);
    let to_side = |a: Point, b: Point| {
        let along = (b - a) / (b - a).hypot2().max(f64::MIN_POSITIVE);
        (point - a.lerp(b, (point - a).dot(along).clamp(0.0, 1.0))).hypot()
    };
    paths
        .iter()
        .flat_map(|path| (0..path.len()).map(move |i| (at(&path[i]), at(&path[(i + 1) % path.len()]))))
        .map(|(a, b)| to_side(a, b))
        .fold(f64::INFINITY, f64::min)
}

/// How far from a corner of the outline two mitred lines may still differ, as a multiple of the allowance.
const NEAR_CORNER: f64 = 3.5;

fn off_corners(piece: &Piece, point: Point) -> f64 {
    piece.edges().iter().map(|edge| (edge.curve.end() - point).hypot()).fold(f64::INFINITY, f64::min)
}

/// A piece whose upper line bends in by a few degrees where two edges meet that bend on their own.
fn nearly_straight(
    turn: f64,
    d: f64,
    (left, right): (f64, f64),
    (from, to): (f64, f64),
    handles: (f64, f64),
) -> Piece {
    let corner = p(0.0, 0.0);
    let (start, end) = (p(-left, from * left), p(right, to * right));
    let way = kurbo::Vec2::from_angle(-turn.to_radians());
    let first = cubic(start, start.midpoint(p(-left / 2.0, 0.0)), p(-left * handles.0, 0.0), corner);
    let second = cubic(corner, corner + way * right * handles.1, end.midpoint(p(right / 2.0, 0.0)), end);
    let (low_right, low_left) = (p(right, 600.0), p(-left, 600.0));
    piece(
        "shape",
        vec![
            seam_edge("first", first, d),
            seam_edge("second", second, d),
            seam_edge("side", straight(end, low_right), d),
            seam_edge("low", straight(low_right, low_left), d),
            seam_edge("other", straight(low_left, start), d),
        ],
    )
}

/// A back whose neckline ends at the shoulder in a bend of so many times its allowance: the radius at the end of a cubic
/// whose last handle is a, off which the handle before stands by h, is 3 a² / 2 h.
fn neck_of(d: f64, tightness: f64, width: f64, depth: f64, shoulder: f64) -> Option<Piece> {
    let (start, end) = (p(0.0, depth), p(width, 0.0));
    let way = kurbo::Vec2::from_angle(-1.2);
    let last = 0.45 * depth;
    let before = end - way * last;
    let turned = kurbo::Vec2::new(way.y, -way.x);
    let middle = before - way * 0.2 * last + turned * (1.5 * last * last / (tightness * d));
    let neck = cubic(start, middle, before, end);
    let tip = end + kurbo::Vec2::from_angle(shoulder.to_radians()) * 120.0;
    let edges = vec![
        seam_edge("neck", neck, d),
        seam_edge("shoulder", straight(end, tip), d),
        seam_edge("side", straight(tip, p(width + 130.0, 500.0)), d),
        seam_edge("low", straight(p(width + 130.0, 500.0), p(0.0, 500.0)), d),
        edge("centre", straight(p(0.0, 500.0), start), Finish::Fold, 0.0),
    ];
    Piece::new("back".parse().unwrap(), edges).ok()
}

/// The segments of a half piece's loop that do not run along its fold at x = 0, and their mirror images there.
fn opened_at_zero(cut: &Curve) -> Vec<Curve> {
    let on_fold = |at: Point| at.x.abs() <= 1e-3;
    let own = cut.segments().iter().filter(|segment| !(on_fold(segment.start()) && on_fold(segment.end())));
    let own = own.map(|segment| segment.to_path(1e-6)).collect::<Vec<_>>();
    let image = kurbo::Affine::FLIP_X;
    let both = own.iter().flat_map(|path| [path.clone(), image * path.clone()]);
    both.map(|path| Curve::from_path(&path).unwrap()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Within 0.02 mm of the allowance everywhere away from corners.
    #[test]
    fn the_allowance_is_kept_away_from_corners(shape in gentle()) {
        let line = alone(&shape);
        let cut = loop_of(&line);
        for id in shape.edge_ids() {
            let edge = shape.edge(id);
            let d = edge.allowance.mm();
            for (at, point) in places(&edge.curve, 40) {
                let beside = point + d * edge.curve.normal_outward(at);
                if off_corners(&shape, point) < NEAR_CORNER * d || shape.nearest_on_outline(beside).distance < d - 1e-3 {
                    continue;
                }
                let off = cut.nearest(beside).distance;
                prop_assert!(off <= 0.02, "{} at {at}: off by {off}", edge.name);
                let kept = cut.nearest(point).distance;
                prop_assert!((kept - d).abs() <= 0.02, "{} at {at}: keeps {kept} of {d}", edge.name);
            }
        }
    }

    /// At corners that all but run straight on and stand in, between edges that bend: the line passes by every place off
    /// an edge that no other place of the outline is nearer to, up to the corner, and no place of it is nearer than the
    /// allowance.
    #[test]
    fn the_allowance_is_kept_up_to_nearly_straight_corners(
        turn in 0.02..6.0_f64,
        d in 6.0..30.0_f64,
        lengths in (60.0..400.0_f64, 60.0..400.0_f64),
        far in (-0.25..0.25_f64, -0.25..0.25_f64),
        handles in (0.1..0.6_f64, 0.1..0.6_f64),
    ) {
        let shape = nearly_straight(turn, d, lengths, far, handles);
        let line = alone(&shape);
        let cut = loop_of(&line);
        for name in ["first", "second"] {
            let edge = shape.edge(crate::pieces::id(&shape, name));
            let curve = &edge.curve;
            for (at, point) in places(curve, 200) {
                let from_far = if name == "first" { at } else { curve.length() - at };
                if from_far < 2.0 * NEAR_CORNER * d {
                    continue;
                }
                let beside = point + d * curve.normal_outward(at);
                if shape.nearest_on_outline(beside).distance < d - 1e-3 {
                    continue;
                }
                let off = cut.nearest(beside).distance;
                prop_assert!(off <= 0.02, "{name} at {at}: off by {off}");
            }
        }
        for (_, place) in places(&cut, 400) {
            let kept = shape.nearest_on_outline(place).distance;
            prop_assert!(kept >= d - 0.02, "{place:?} keeps {kept} of {d}");
        }
    }

    /// An independent oracle away from mitre tips.
    #[test]
    fn the_line_agrees_with_a_polygon_offset(shape in gentle()) {
        let d = shape.edges()[0].allowance.mm();
        let line = alone(&shape);
        let cut = loop_of(&line);
        let oracle = inflated(&shape, d);
        for (_, point) in places(&cut, 200) {
            if off_corners(&shape, point) > NEAR_CORNER * d {
                let off = off_polygon(&oracle, point);
                prop_assert!(off <= 0.025, "{point:?} is off by {off}");
            }
        }
        if line.corners.iter().all(|corner| corner.shape == CutShape::Mitre) {
            let areas = (cut.swept_area(), oracle.iter().map(area).sum::<f64>().abs());
            let misplaced_tips = shape.edges().len() as f64 * 0.5 * d;
            let slack = cut.length() * 0.02 + misplaced_tips;
            prop_assert!((areas.0 - areas.1).abs() <= slack, "{areas:?}, {slack} allowed");
        }
    }

    /// Hollows tighter than the allowance, near-acute corners, unequal allowances: one loop, clockwise, that does not
    /// cross itself and holds the whole outline.
    #[test]
    fn no_cutting_line_crosses_itself(shape in rough()) {
        let line = alone(&shape);
        prop_assert_eq!(line.path.subpaths().count(), 1);
        prop_assert!(line.path.area() > 0.0);
        prop_assert!(!path_crosses_itself(&line.path), "{}", line.path.to_svg());
        let cut = loop_of(&line);
        for edge in shape.edges() {
            for (_, point) in places(&edge.curve, 12) {
                let held = line.path.winding(point) != 0 || cut.nearest(point).distance <= 0.02;
                prop_assert!(held, "{point:?} of {} is cut off", edge.name);
            }
        }
    }
}

/// A neckline that ends in a bend about as tight as its allowance: every place on it keeps the allowance.
#[test]
fn a_hollow_nearly_as_tight_as_its_allowance_keeps_it() {
    let config = kept_in("tests/proptest-regressions/distances.txt", 256);
    let cases = (6.0..25.0_f64, 0.5..1.3_f64, 60.0..110.0_f64, 15.0..40.0_f64, -10.0..30.0_f64);
    counted(config, cases, |(d, tightness, width, depth, shoulder)| {
        let Some(shape) = neck_of(d, tightness, width, depth, shoulder) else { return Ok(false) };
        let line = alone(&shape);
        let cut = loop_of(&line);
        let neck = crate::pieces::id(&shape, "neck");
        let curve = &shape.edge(neck).curve;
        // A half piece is cut on folded cloth: its loop without what runs along the fold, and the image of that. One that
        // crosses the fold by more than a fold may be off straight ends elsewhere.
        let ends_at_fold = curve.bounds().x0 >= -STRAIGHT;
        let lines = if ends_at_fold { opened_at_zero(&cut) } else { vec![cut.clone()] };
        for (at, point) in places(curve, 400).filter(|(at, _)| *at >= NEAR_CORNER * d) {
            let kept = lines.iter().map(|line| line.nearest(point).distance).fold(f64::INFINITY, f64::min);
            prop_assert!(kept >= d - 0.12, "at {at} of {}: keeps {kept} of {d}", curve.length());
        }
        // A neckline that runs across the fold into its own mirror image is no half piece.
        let lacking = if curve.bounds().x0 >= 0.0 { line.shortages(&shape) } else { Vec::new() };
        prop_assert!(lacking.is_empty(), "{lacking:?}");
        Ok(true)
    });
}

/// A round hollow of radius 6 under an allowance of 10 is filled by the allowances of its neighbours, so that none is
/// lacking: the cutting line passes 16 mm over its bottom.
#[test]
fn a_hollow_that_its_allowances_fill_lacks_none() {
    let half = |from: Point, to: Point, low: Point| {
        let down = low - from.midpoint(to);
        let first = quarter(from, low, from + down);
        first.joined(&quarter(low, to, to + down)).unwrap()
    };
    let shape = piece(
        "shape",
        vec![
            seam_edge("left", straight(p(0.0, 0.0), p(94.0, 0.0)), 10.0),
            seam_edge("hollow", half(p(94.0, 0.0), p(106.0, 0.0), p(100.0, 6.0)), 10.0),
            seam_edge("right", straight(p(106.0, 0.0), p(200.0, 0.0)), 10.0),
            seam_edge("side", straight(p(200.0, 0.0), p(200.0, 100.0)), 10.0),
            seam_edge("lower", straight(p(200.0, 100.0), p(0.0, 100.0)), 10.0),
            seam_edge("other", straight(p(0.0, 100.0), p(0.0, 0.0)), 10.0),
        ],
    );
    let line = alone(&shape);
    assert!(!path_crosses_itself(&line.path));
    assert!(line.shortages(&shape).is_empty(), "{:?}", line.shortages(&shape));
    assert_abs_diff_eq!(loop_of(&line).nearest(p(100.0, 6.0)).distance, 16.0, epsilon = 0.01);
}

/// Convex and concave joints inside one edge: the line runs on to a tip outside, and is cut inside.
#[test]
fn joints_inside_an_edge_keep_the_allowance() {
    let zigzag = Curve::polyline(&[p(0.0, 0.0), p(60.0, 30.0), p(120.0, 0.0), p(180.0, 40.0)]).unwrap();
    let shape = piece(
        "shape",
        vec![
            seam_edge("upper", zigzag, 12.0),
            seam_edge("side", bowed(p(180.0, 40.0), p(180.0, 200.0), 0.05), 12.0),
            seam_edge("lower", straight(p(180.0, 200.0), p(0.0, 200.0)), 12.0),
            seam_edge("other", straight(p(0.0, 200.0), p(0.0, 0.0)), 12.0),
        ],
    );
    let line = alone(&shape);
    let cut = loop_of(&line);
    assert!(line.shortages(&shape).is_empty() && !path_crosses_itself(&line.path));
    for (_, point) in places(&shape.edges()[0].curve, 60) {
        let kept = cut.nearest(point).distance;
        assert!(kept >= 12.0 - 0.02, "{point:?} keeps {kept}");
    }
}
