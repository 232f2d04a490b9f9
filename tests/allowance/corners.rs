//! The shapes of corners, and which a corner gets.

use approx::assert_abs_diff_eq;
use retrue::allowance::{AllowanceError, CutCorner, CutShape, CuttingLine, cutting_line, cutting_lines};
use retrue::curve::Point;
use retrue::pattern::{
    CornerShape, EdgeName, Finish, NewSeam, Pattern, Piece, RecordedStep, Selvedge, ShapedCorner, Travel,
};

use crate::pieces::{alone, edge, id, loop_of, p, piece, polygon, seam, seam_edge, straight};

fn corner<'a>(line: &'a CuttingLine, piece: &Piece, first: &str) -> &'a CutCorner {
    line.corners.iter().find(|corner| corner.edges.0 == id(piece, first)).unwrap()
}

fn set(piece: &mut Piece, edges: (&str, &str), shape: CornerShape) {
    let name = |text: &str| text.parse::<EdgeName>().unwrap();
    piece.corners.push(ShapedCorner { edges: (name(edges.0), name(edges.1)), shape });
}

fn apart(a: Point, b: Point) -> f64 {
    (a - b).hypot()
}

/// A four-cornered piece whose upper right corner has an angle of `degrees`: edges `upper`, `side`, `lower`, `other`.
fn slanted(degrees: f64, upper: f64, side: f64) -> Piece {
    let turn = (180.0 - degrees).to_radians();
    let foot = p(200.0 + 150.0 * turn.cos(), 150.0 * turn.sin());
    piece(
        "shape",
        vec![
            seam_edge("upper", straight(p(0.0, 0.0), p(200.0, 0.0)), upper),
            seam_edge("side", straight(p(200.0, 0.0), foot), side),
            seam_edge("lower", straight(foot, p(0.0, foot.y)), 15.0),
            seam_edge("other", straight(p(0.0, foot.y), p(0.0, 0.0)), 15.0),
        ],
    )
}

#[test]
fn a_mitre_runs_both_lines_on_until_they_meet() {
    for (degrees, upper, side) in [(90.0, 15.0, 25.0), (110.0, 15.0, 10.0), (70.0, 40.0, 20.0)] {
        let shape = slanted(degrees, upper, side);
        let line = alone(&shape);
        let at = corner(&line, &shape, "upper");
        assert_eq!(at.shape, CutShape::Mitre);
        assert_eq!(at.ends.0, at.ends.1);
        assert_abs_diff_eq!(at.ends.0.y, -upper, epsilon = 1e-6);
        let along = shape.edge(id(&shape, "side")).curve.start_tangent();
        let out = retrue::curve::Vec2::new(along.y, -along.x);
        assert_abs_diff_eq!((at.ends.0 - p(200.0, 0.0)).dot(out), side, epsilon = 1e-6);
    }
}

/// A tip further off than three times the allowance is cut off square to the bisector, and keeps the allowance.
#[test]
fn a_near_acute_tip_is_cut_off() {
    let shape = slanted(25.0, 15.0, 15.0);
    let line = alone(&shape);
    let at = corner(&line, &shape, "upper");
    assert_eq!(at.shape, CutShape::CappedMitre);
    let middle = at.ends.0.midpoint(at.ends.1);
    assert_abs_diff_eq!(apart(middle, p(200.0, 0.0)), 45.0, epsilon = 1e-6);
    let cut = at.ends.1 - at.ends.0;
    assert_abs_diff_eq!(cut.dot(middle - p(200.0, 0.0)), 0.0, epsilon = 1e-6);
}

/// The stitching line of the squared seam leaves the neighbour's allowance where the end of its own stands square.
#[test]
fn a_squared_end_stands_square_to_its_seamline() {
    for degrees in [50.0, 80.0, 100.0, 130.0_f64] {
        let mut shape = slanted(degrees, 15.0, 10.0);
        set(&mut shape, ("side", "upper"), CornerShape::Square("upper".parse().unwrap()));
        let line = alone(&shape);
        let at = corner(&line, &shape, "upper");
        assert_eq!(at.shape, CutShape::Square(id(&shape, "upper")));
        let reach = 10.0 / degrees.to_radians().sin();
        assert!(apart(at.ends.0, p(200.0 + reach, -15.0)) < 0.02, "{degrees}: {:?}", at.ends);
        assert!(apart(at.ends.1, p(200.0 + reach, 0.0)) < 0.02, "{degrees}: {:?}", at.ends);
        let cut = loop_of(&line);
        assert!(cut.nearest(at.ends.0.midpoint(at.ends.1)).distance < 1e-6, "the end is one straight cut");
    }
}

#[test]
fn a_jog_ends_each_line_square_to_its_own_seamline() {
    let mut shape = slanted(100.0, 15.0, 30.0);
    set(&mut shape, ("upper", "side"), CornerShape::Jog);
    let line = alone(&shape);
    let at = corner(&line, &shape, "upper");
    assert_eq!(at.shape, CutShape::Jog);
    assert!(apart(at.ends.0, p(200.0, -15.0)) < 1e-6);
    assert_abs_diff_eq!(apart(at.ends.1, p(200.0, 0.0)), 30.0, epsilon = 1e-6);
}

/// Where one edge runs straight on into another of a deeper allowance, the line steps out.
#[test]
fn unequal_allowances_in_line_are_stepped() {
    let shape = piece(
        "skirt",
        vec![
            seam_edge("waist", straight(p(0.0, 0.0), p(100.0, 0.0)), 15.0),
            seam_edge("centre", straight(p(100.0, 0.0), p(100.0, 200.0)), 15.0),
            seam_edge("vent", straight(p(100.0, 200.0), p(100.0, 300.0)), 40.0),
            seam_edge("hem", straight(p(100.0, 300.0), p(0.0, 300.0)), 15.0),
            seam_edge("side", straight(p(0.0, 300.0), p(0.0, 0.0)), 15.0),
        ],
    );
    let line = alone(&shape);
    let at = corner(&line, &shape, "centre");
    assert_eq!(at.shape, CutShape::Jog);
    assert!(apart(at.ends.0, p(115.0, 200.0)) < 1e-6 && apart(at.ends.1, p(140.0, 200.0)) < 1e-6);
}

/// At a fold the mirrored half continues: the line meets the fold's own, run on, whatever the angle.
#[test]
fn a_line_meets_the_fold_run_on() {
    for degrees in [30.0, 75.0, 90.0, 120.0] {
        let mut shape = slanted(degrees, 15.0, 15.0);
        *shape.edge_settings(id(&shape, "side")).finish = Finish::Fold;
        let line = alone(&shape);
        let at = corner(&line, &shape, "upper");
        let fold = &shape.edge(id(&shape, "side")).curve;
        assert_abs_diff_eq!((at.ends.0 - fold.start()).cross(fold.start_tangent()), 0.0, epsilon = 1e-6);
        assert_abs_diff_eq!(at.ends.0.y, -15.0, epsilon = 1e-6);
    }
}

/// Nothing can be cut beyond the selvedge.
#[test]
fn nothing_stands_beyond_a_free_selvedge() {
    for degrees in [60.0, 90.0, 125.0] {
        let mut shape = slanted(degrees, 15.0, 15.0);
        let side = id(&shape, "side");
        *shape.edge_settings(side).finish = Finish::Free;
        *shape.edge_settings(side).selvedge = Selvedge::Yes;
        let line = alone(&shape);
        let selvedge = &shape.edge(side).curve;
        for point in loop_of(&line).flattened(0.1) {
            let beyond = -(point - selvedge.start()).cross(-selvedge.start_tangent());
            assert!(beyond <= 1e-6, "{degrees}: {point:?} stands {beyond} mm beyond the selvedge");
        }
    }
}

fn pair(first: f64, second: f64, names: (&str, &str)) -> Pattern {
    let named = |name: &str, degrees: f64, edge_name: &str| {
        let shape = slanted(degrees, 15.0, 15.0);
        let edges = shape.edges().iter().map(|edge| {
            let name = if edge.name.as_str() == "side" { edge_name } else { edge.name.as_str() };
            crate::pieces::edge(name, edge.curve.clone(), edge.finish, edge.allowance.mm())
        });
        piece(name, edges.collect())
    };
    let pieces = vec![named("one", first, names.0), named("two", second, names.1)];
    let (a, b) = (format!("one.{}", names.0), format!("two.{}", names.1));
    Pattern::new(pieces, vec![seam((&a, Travel::Clockwise), (&b, Travel::Clockwise))]).unwrap()
}

fn shape_at(pattern: &Pattern, piece_name: &str, first: &str) -> CutShape {
    let piece = pattern.piece(&piece_name.parse().unwrap()).unwrap();
    let line = cutting_line(pattern, piece).unwrap();
    corner(&line, piece, first).shape
}

/// Mitres of corners within two degrees of each other meet; 80° and 100° would end 5 mm apart at 15 mm.
#[test]
fn like_corners_are_mitred_and_unlike_ones_squared() {
    assert_eq!(shape_at(&pair(88.0, 88.5, ("side", "side")), "one", "upper"), CutShape::Mitre);
    let unlike = pair(80.0, 100.0, ("side", "side"));
    let one = unlike.piece(&"one".parse().unwrap()).unwrap();
    assert_eq!(shape_at(&unlike, "one", "upper"), CutShape::Square(id(one, "side")));
}

/// Princess seams and those that operations made come before shoulders, those before sides, those before others.
#[test]
fn ends_are_squared_to_the_seam_sewn_first() {
    let ranked = ["princess", "shoulder", "side", "edge"];
    for (earlier, later) in [(0, 1), (1, 2), (2, 3), (0, 3)] {
        let names = (ranked[later], ranked[earlier]);
        let mut pieces = Vec::new();
        for (name, degrees) in [("one", 80.0), ("two", 100.0)] {
            let shape = slanted(degrees, 15.0, 15.0);
            let edges = shape.edges().iter().map(|edge| {
                let name = match edge.name.as_str() {
                    "upper" => names.0,
                    "side" => names.1,
                    other => other,
                };
                crate::pieces::edge(name, edge.curve.clone(), edge.finish, 15.0)
            });
            pieces.push(piece(name, edges.collect()));
        }
        let own = |name: &str| (format!("one.{name}"), format!("two.{name}"));
        let seams = [names.0, names.1].map(|name| {
            let (a, b) = own(name);
            seam((&a, Travel::Clockwise), (&b, Travel::Clockwise))
        });
        let pattern = Pattern::new(pieces, seams.to_vec()).unwrap();
        let one = pattern.piece(&"one".parse().unwrap()).unwrap();
        assert_eq!(shape_at(&pattern, "one", names.0), CutShape::Square(id(one, names.1)), "{names:?}");
    }
}

/// A seam that an operation made is sewn before a shoulder, whatever its name.
#[test]
fn seams_made_by_operations_are_sewn_first() {
    let mut pattern = pair(80.0, 100.0, ("cut", "cut"));
    let shoulder = seam(("one.upper", Travel::Clockwise), ("two.upper", Travel::Clockwise));
    pattern.set_seams(vec![shoulder, pattern.seams()[0].clone()]).unwrap();
    let one = |pattern: &Pattern, name: &str| id(pattern.piece(&"one".parse().unwrap()).unwrap(), name);
    assert_eq!(shape_at(&pattern, "one", "upper"), CutShape::Square(one(&pattern, "upper")));
    let made = NewSeam { first: "one.cut".parse().unwrap(), second: "two.cut".parse().unwrap() };
    pattern.record.steps.push(RecordedStep { new_seams: vec![made], ..Default::default() });
    assert_eq!(shape_at(&pattern, "one", "upper"), CutShape::Square(one(&pattern, "cut")));
}

#[test]
fn a_shape_that_a_corner_cannot_have_is_refused() {
    let mut shape = slanted(90.0, 15.0, 15.0);
    set(&mut shape, ("upper", "side"), CornerShape::TurnedUp);
    let refused = |shape: &Piece| {
        let pattern = Pattern::new(vec![shape.clone()], Vec::new()).unwrap();
        cutting_lines(&pattern).unwrap_err()
    };
    assert!(matches!(refused(&shape), AllowanceError::BadCorner { shape: "turned up", .. }));
    shape.corners.clear();
    set(&mut shape, ("upper", "side"), CornerShape::Square("lower".parse().unwrap()));
    assert!(matches!(refused(&shape), AllowanceError::BadCorner { shape: "squared", .. }));
}

#[test]
fn an_allowance_that_cannot_be_cut_is_refused() {
    for allowance in [-1.0, f64::NAN, f64::INFINITY] {
        let edges = polygon(&[p(0.0, 0.0), p(100.0, 0.0), p(50.0, 80.0)], 10.0).edges().to_vec();
        let [a, b, c] = edges.try_into().unwrap();
        let bad = edge("bad", a.curve, Finish::Seam, allowance);
        let pattern = Pattern::new(vec![piece("shape", vec![bad, b, c])], Vec::new()).unwrap();
        assert!(matches!(cutting_lines(&pattern), Err(AllowanceError::BadAllowance { .. })), "{allowance}");
    }
}

/// At a corner that stands in, the deeper line's square end steps in to the other line.
#[test]
fn a_jog_in_a_hollow_is_a_step() {
    for (upper, side) in [(30.0, 10.0), (10.0, 30.0)] {
        let mut shape = piece(
            "shape",
            vec![
                seam_edge("upper", straight(p(0.0, 0.0), p(100.0, 0.0)), upper),
                seam_edge("rise", straight(p(100.0, 0.0), p(200.0, -60.0)), side),
                seam_edge("side", straight(p(200.0, -60.0), p(200.0, 150.0)), 15.0),
                seam_edge("lower", straight(p(200.0, 150.0), p(0.0, 150.0)), 15.0),
                seam_edge("other", straight(p(0.0, 150.0), p(0.0, 0.0)), 15.0),
            ],
        );
        set(&mut shape, ("upper", "rise"), CornerShape::Jog);
        let line = alone(&shape);
        let at = corner(&line, &shape, "upper");
        assert_eq!(at.shape, CutShape::Jog);
        let deep = if upper > side { at.ends.0 } else { at.ends.1 };
        assert_abs_diff_eq!(apart(deep, p(100.0, 0.0)), 30.0, epsilon = 1e-6);
        let cut = loop_of(&line);
        let step = at.ends.0.midpoint(at.ends.1);
        assert!(cut.nearest(step).distance < 1e-6, "the step is one straight cut");
    }
}
