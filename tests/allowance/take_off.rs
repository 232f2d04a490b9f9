//! Taking allowances off: the seamline that made a cutting line comes back from it.

use crate::counted::{counted, kept_in};
use clipper2_rust::{EndType, JoinType, PathD, PointD, area, inflate_paths_d};
use proptest::prelude::*;
use retrue::allowance::{
    CuttingLine, DartKnownBy, DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch,
    TakeOffError, TakenDart, Unknown, cutting_lines, take_off,
};
use retrue::curve::{Curve, Point};
use retrue::pattern::{CornerShape, DartShape, Edge, EdgeId, Finish, Pattern, Piece, Press, ShapedCorner};
use retrue::units::Length;

use crate::fixtures::fixtures;
use crate::pieces::{alone, bowed, cubic, dart, edge, p, piece, polygon, seam_edge, straight};
use crate::random::{block, bodice};
use crate::random_shapes::gentle;

use crate::drawing::{
    BACK, Darts, Marked, darts_off, divided_by_turns, drawn, drawn_darts, has_hidden_edge, is_cut_elsewhere,
    is_too_tight, worst,
};

/// Divided only where it turns, every fixture comes back.
#[test]
fn every_fixture_divided_by_its_turns_comes_back() {
    let mut pieces = 0;
    for (name, pattern) in fixtures() {
        let lines = cutting_lines(&pattern).unwrap();
        for piece in pattern.pieces() {
            let line = lines.of(piece.name()).unwrap();
            let drawing = divided_by_turns(piece, line);
            let drawing = DrawnCuttingLine { darts: drawn_darts(piece, Darts::Legs), ..drawing };
            let back = take_off(&drawing).unwrap_or_else(|error| panic!("{name}: {}: {error}", piece.name()));
            let (off, at) = worst(piece, &back);
            assert!(off <= BACK, "{name}: {at} is off by {off}");
            assert!(darts_off(piece, &back) <= BACK, "{name}: the darts of {}", piece.name());
            pieces += 1;
        }
    }
    assert!(pieces > 20, "{pieces} pieces");
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
        for piece in pattern.pieces() {
            let line = lines.of(piece.name()).unwrap();
            for (marked, shown) in [
                (Marked::Corner, Darts::Legs),
                (Marked::Unsaid, Darts::LegsToTheCut),
                (Marked::Corner, Darts::Mouths),
            ] {
                let drawing = drawn(piece, line, marked).unwrap();
                let drawing = DrawnCuttingLine { darts: drawn_darts(piece, shown), ..drawing };
                let back = take_off(&drawing)
                    .unwrap_or_else(|error| panic!("{name}: {} {marked:?}: {error}", piece.name()));
                let (off, at) = worst(piece, &back);
                assert!(off <= BACK, "{name} {marked:?} {shown:?}: {at} is off by {off}");
                let off = darts_off(piece, &back);
                assert!(
                    off <= BACK,
                    "{name} {marked:?} {shown:?}: the darts of {} are off by {off}",
                    piece.name()
                );
                pieces += 1;
            }
        }
    }
    assert!(pieces > 60, "{pieces} pieces");
}

/// Takes the allowances off every piece of a pattern and holds what comes back to the piece; whether most pieces reached
/// that.
fn check_pattern(pattern: &Pattern, shown: Darts) -> Result<bool, TestCaseError> {
    let lines = cutting_lines(pattern).unwrap();
    let mut held = 0;
    for piece in pattern.pieces() {
        let line = lines.of(piece.name()).unwrap();
        let Some(drawing) = drawn(piece, line, Marked::Unsaid) else { continue };
        let drawing = DrawnCuttingLine { darts: drawn_darts(piece, shown), ..drawing };
        held += usize::from(check_drawing(piece, line, drawing)?);
    }
    Ok(2 * held > pattern.pieces().count())
}

/// Holds what comes back of a drawing to its piece; whether the drawing has all that it takes.
fn check_drawing(
    piece: &Piece,
    line: &CuttingLine,
    drawing: DrawnCuttingLine,
) -> Result<bool, TestCaseError> {
    if is_too_tight(piece) || is_cut_elsewhere(piece, line) || has_hidden_edge(piece, &drawing) {
        return Ok(false);
    }
    let told = |error| TestCaseError::fail(format!("{}: {error}", piece.name()));
    let back = take_off(&drawing).map_err(told)?;
    let (off, at) = worst(piece, &back);
    prop_assert!(off <= BACK, "{at}: off by {off}; {:?} {:?} {:?}", back.corners, drawing.darts, back.darts);
    let off = darts_off(piece, &back);
    prop_assert!(off <= BACK, "the darts of {} are off by {off}", piece.name());
    Ok(true)
}

fn shape() -> impl Strategy<Value = u8> {
    0..5_u8
}

/// The least turn (as a sine) of a corner that anyone would square or turn up. At 30° the end stands off by two
/// allowances, and as much of the neighbour is hidden; below, a corner in a neighbour that bends is found within 0.2 mm.
const SQUARED_FROM: f64 = 0.5;

/// A piece with its second edge a hem and every other corner in a shape that was set.
fn with_shapes(shape: &Piece, shapes: &[u8], hem_depth: f64) -> Piece {
    let edges: Vec<Edge> = shape
        .edges()
        .iter()
        .enumerate()
        .map(|(index, edge)| {
            let hem = index == 1;
            let finish = if hem { Finish::Hem } else { Finish::Seam };
            let allowance = if hem { Length::from_mm(hem_depth) } else { edge.allowance };
            Edge { finish, allowance, ..edge.clone() }
        })
        .collect();
    let mut made = Piece::new(shape.name().clone(), edges).unwrap();
    let ids: Vec<EdgeId> = made.edge_ids().collect();
    for (index, id) in ids.iter().enumerate() {
        let (first, second) = (made.edge(*id).name.clone(), made.edge(made.next(*id)).name.clone());
        let at_hem =
            (made.edge(*id).finish == Finish::Hem) != (made.edge(made.next(*id)).finish == Finish::Hem);
        let (arriving, leaving) =
            (made.edge(*id).curve.end_tangent(), made.edge(made.next(*id)).curve.start_tangent());
        let turns = arriving.dot(leaving) < 0.0 || arriving.cross(leaving).abs() > SQUARED_FROM;
        let shape = match shapes[index % shapes.len()] {
            0 => CornerShape::Mitre,
            1 if turns => CornerShape::Square(first.clone()),
            2 if turns => CornerShape::Square(second.clone()),
            3 if at_hem && turns => CornerShape::TurnedUp,
            _ => CornerShape::Jog,
        };
        made.corners.push(ShapedCorner { edges: (first, second), shape });
    }
    made
}

#[test]
fn a_random_piece_comes_back() {
    counted(kept_in("tests/proptest-regressions/take_off.txt", 256), gentle(), |shape| {
        let line = alone(&shape);
        let Some(drawing) = drawn(&shape, &line, Marked::Corner) else { return Ok(false) };
        check_drawing(&shape, &line, drawing)
    });
}

#[test]
fn every_shape_of_corner_is_undone() {
    counted(
        kept_in("tests/proptest-regressions/take_off.txt", 256),
        (gentle(), prop::collection::vec(shape(), 3..6), 20.0..50.0),
        |(shape, shapes, hem)| {
            let shape = with_shapes(&shape, &shapes, hem);
            let line = alone(&shape);
            let Some(drawing) = drawn(&shape, &line, Marked::Corner) else { return Ok(false) };
            check_drawing(&shape, &line, drawing)
        },
    );
}

#[test]
fn random_blocks_come_back() {
    counted(
        kept_in("tests/proptest-regressions/take_off.txt", 256),
        (block::draft(), shown()),
        |(draft, shown)| check_pattern(&draft.pattern(), shown),
    );
}

#[test]
fn random_bodices_come_back() {
    counted(
        kept_in("tests/proptest-regressions/take_off.txt", 256),
        (bodice::bodice(), shown()),
        |(draft, shown)| check_pattern(&draft.pattern(), shown),
    );
}

fn shown() -> impl Strategy<Value = Darts> {
    prop_oneof![Just(Darts::Legs), Just(Darts::Mouths)]
}

/// A bodice's waist, straight over the mouth of a dart that is not shaped to it.
fn darted(width: f64, depth: f64, press: &str) -> Piece {
    let mut bodice = piece(
        "bodice",
        vec![
            edge("centre", straight(p(0.0, 400.0), p(0.0, 0.0)), Finish::Fold, 0.0),
            seam_edge("shoulder", straight(p(0.0, 0.0), p(200.0, 40.0)), 15.0),
            seam_edge("side", straight(p(200.0, 40.0), p(220.0, 400.0)), 20.0),
            seam_edge("waist", straight(p(220.0, 400.0), p(0.0, 400.0)), 15.0),
        ],
    );
    let press = Press::Toward(press.parse().unwrap());
    let dart = dart(&bodice, "waist", (80.0, 80.0 + width), depth, press);
    bodice.darts.push(dart);
    bodice
}

fn tip_of(dart: &TakenDart) -> Point {
    dart.legs.as_ref().unwrap().0.end()
}

/// Where a dart's cap shows its legs, it gives the whole dart.
#[test]
fn a_cap_alone_gives_its_dart() {
    for (width, depth, press) in
        [(30.0, 120.0, "side"), (30.0, 120.0, "centre"), (12.0, 90.0, "side"), (44.0, 150.0, "centre")]
    {
        let bodice = darted(width, depth, press);
        let line = alone(&bodice);
        let drawing = drawn(&bodice, &line, Marked::Corner).unwrap();
        let back =
            take_off(&DrawnCuttingLine { darts: drawn_darts(&bodice, Darts::Outside), ..drawing }).unwrap();
        assert!(worst(&bodice, &back).0 <= BACK);
        assert!(darts_off(&bodice, &back) <= BACK, "{width} {depth} {press}");
        let DartShape::Open { legs, .. } = &bodice.darts[0].shape else { panic!("a dart with a mouth") };
        let tip = tip_of(&back.darts[0]);
        assert!((tip - legs.0.end()).hypot() <= 0.5, "{tip:?}");
        assert_eq!(back.darts[0].known_by, DartKnownBy::Cap);
    }
}

/// A dart cut into the cutting line as a wedge gives its legs, from the seamline on, and its tip.
#[test]
fn a_wedge_cut_in_gives_its_dart() {
    let line = |points: &[Point]| Curve::polyline(points).unwrap();
    let stretch = |curve: Curve, name: &str| DrawnStretch {
        curve,
        part: DrawnPart::Edge(DrawnEdge {
            name: name.parse().unwrap(),
            allowance: Length::from_mm(10.0),
            finish: Finish::Seam,
        }),
    };
    let (w, h) = (200.0, 300.0);
    let tip = p(100.0, 100.0);
    let waist = [p(w, h), p(115.0, h), tip, p(85.0, h), p(0.0, h)];
    let drawing = DrawnCuttingLine {
        stretches: vec![
            stretch(line(&[p(0.0, h), p(0.0, 0.0)]), "centre"),
            stretch(line(&[p(0.0, 0.0), p(w, 0.0)]), "top"),
            stretch(line(&[p(w, 0.0), p(w, h)]), "side"),
            stretch(line(&waist), "waist"),
        ],
        corners: Vec::new(),
        darts: vec![DrawnDart {
            name: "dart".parse().unwrap(),
            edge: "waist".parse().unwrap(),
            shown: DartShown::Outside,
        }],
    };
    let back = take_off(&drawing).unwrap();
    let [dart] = back.darts.as_slice() else { panic!("one dart") };
    let (first, second) = dart.legs.as_ref().unwrap();
    assert_eq!(dart.known_by, DartKnownBy::Wedge);
    assert!((first.end() - tip).hypot() < 1e-9 && (second.end() - tip).hypot() < 1e-9);
    let half = 15.0 * 190.0 / 200.0;
    assert!((first.start() - p(100.0 + half, 290.0)).hypot() < 1e-6, "{:?}", first.start());
    assert!((second.start() - p(100.0 - half, 290.0)).hypot() < 1e-6, "{:?}", second.start());
    assert!((dart.mouth.0 - (90.0 - half)).abs() < 1e-6 && (dart.mouth.1 - (90.0 + half)).abs() < 1e-6);
    assert!((back.edges[3].curve.length() - 180.0).abs() < 1e-6);
}

/// A mark on the cutting line comes to the seamline square through the allowance.
#[test]
fn a_mark_comes_to_the_seamline_square_through_the_allowance() {
    let square = polygon(&[p(0.0, 0.0), p(100.0, 0.0), p(100.0, 100.0), p(0.0, 100.0)], 15.0);
    let back = take_off(&drawn(&square, &alone(&square), Marked::Corner).unwrap()).unwrap();
    let place = back.to_seamline(p(30.0, -15.0)).unwrap();
    assert_eq!(place.edge.as_str(), "a");
    assert!(
        (place.at - 30.0).abs() < 1e-6 && (place.point - p(30.0, 0.0)).hypot() < 1e-6 && place.off < 1e-6
    );
    let at_mitre = back.to_seamline(p(110.0, -15.0)).unwrap();
    assert!((at_mitre.point - p(100.0, 0.0)).hypot() < 1e-6);
}

fn rounded(radius: f64, allowance: f64) -> DrawnCuttingLine {
    let handle = radius * 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
    let (a, b) = (p(200.0 - radius, 0.0), p(200.0, radius));
    let arc = cubic(a, p(a.x + handle, a.y), p(b.x, b.y - handle), b);
    let side = straight(p(0.0, 0.0), a).joined(&arc).unwrap().joined(&straight(b, p(200.0, 200.0))).unwrap();
    let edges = [("round", side), ("rest", straight(p(200.0, 200.0), p(0.0, 0.0)))];
    let stretch = |(name, curve): (&str, Curve)| DrawnStretch {
        curve,
        part: DrawnPart::Edge(DrawnEdge {
            name: name.parse().unwrap(),
            allowance: Length::from_mm(allowance),
            finish: Finish::Seam,
        }),
    };
    DrawnCuttingLine { stretches: edges.map(stretch).into(), corners: Vec::new(), darts: Vec::new() }
}

/// No line runs at 15 mm inside an arc of radius 10.
#[test]
fn an_allowance_deeper_than_the_shape_permits_is_refused_with_its_figures() {
    assert!(take_off(&rounded(20.0, 15.0)).is_ok());
    let refused = take_off(&rounded(10.0, 15.0)).unwrap_err();
    let TakeOffError::TooDeep { edge, allowance, room, .. } = &refused else { panic!("{refused}") };
    assert_eq!((edge.as_str(), *allowance), ("round", 15.0));
    assert!((room - 10.0).abs() < 0.1, "{room}");
}

/// Where a hollow was too tight for its allowance, the stretch is told.
#[test]
fn a_trimmed_hollow_is_told() {
    let hollow = cubic(p(60.0, 0.0), p(98.0, 80.0), p(102.0, 80.0), p(140.0, 0.0));
    let upper = straight(p(0.0, 0.0), p(60.0, 0.0)).joined(&hollow).unwrap();
    let upper = upper.joined(&straight(p(140.0, 0.0), p(200.0, 0.0))).unwrap();
    let shape = piece(
        "shape",
        vec![
            seam_edge("upper", upper, 15.0),
            seam_edge("side", straight(p(200.0, 0.0), p(200.0, 150.0)), 15.0),
            seam_edge("lower", straight(p(200.0, 150.0), p(0.0, 150.0)), 15.0),
            seam_edge("other", straight(p(0.0, 150.0), p(0.0, 0.0)), 15.0),
        ],
    );
    let line = alone(&shape);
    let back = take_off(&drawn(&shape, &line, Marked::Corner).unwrap()).unwrap();
    let [unknown] = back.unknown.as_slice() else { panic!("{:?}", back.unknown) };
    assert_eq!((unknown.edge.as_str(), unknown.why), ("upper", Unknown::Hollow));
    assert!(unknown.start.x < 100.0 && unknown.end.x > 100.0 && unknown.to > unknown.from, "{unknown:?}");
    assert!(worst(&shape, &back).0 <= BACK);
}

/// The area inside, by a polygon library that shares no code with the curves used here.
#[test]
fn the_area_inside_is_that_of_a_polygon_offset() {
    for bow in [0.0, 0.05, 0.1] {
        let corners = [p(0.0, 0.0), p(300.0, 20.0), p(280.0, 260.0), p(30.0, 240.0)];
        let names = ["a", "b", "c", "d"];
        let lines: Vec<Curve> = (0..4).map(|i| bowed(corners[i], corners[(i + 1) % 4], bow)).collect();
        let stretches = names.iter().zip(&lines).map(|(name, line)| DrawnStretch {
            curve: line.clone(),
            part: DrawnPart::Edge(DrawnEdge {
                name: name.parse().unwrap(),
                allowance: Length::from_mm(12.0),
                finish: Finish::Seam,
            }),
        });
        let drawing =
            DrawnCuttingLine { stretches: stretches.collect(), corners: Vec::new(), darts: Vec::new() };
        let back = take_off(&drawing).unwrap();
        let own: f64 = back.edges.iter().map(|edge| edge.curve.swept_area()).sum();
        let flat = lines.iter().flat_map(|line| line.flattened(0.0005).into_iter().skip(1));
        let ring: PathD = flat.map(|point| PointD { x: point.x, y: point.y }).collect();
        let oracle = inflate_paths_d(&vec![ring], -12.0, JoinType::Miter, EndType::Polygon, 1000.0, 6, 0.001);
        let theirs = oracle.iter().map(area).sum::<f64>().abs();
        assert!((own - theirs).abs() <= 0.01 * 1100.0, "{own} and {theirs}");
    }
}
