//! Taking allowances off: the seamline that made a cutting line comes back from it.

use clipper2_rust::{EndType, JoinType, PathD, PointD, area, inflate_paths_d};
use proptest::prelude::*;
use retrue::allowance::{
    CuttingLine, DartKnownBy, DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch,
    TakeOffError, TakenDart, TakenOff, Unknown, cutting_lines, take_off,
};
use retrue::curve::{Curve, Point};
use retrue::pattern::{CornerShape, DartShape, Edge, EdgeId, Finish, Pattern, Piece, Press, SetCorner};
use retrue::units::Length;

use crate::fixtures::fixtures;
use crate::pieces::{
    alone, bowed, cubic, dart, edge, id, loop_of, p, piece, places, polygon, seam_edge, straight,
};
use crate::random::gentle;
use crate::{random_block, random_piece};

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

/// What is drawn of the darts.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Darts {
    Legs,
    LegsToTheCut,
    Mouths,
    Outside,
}

fn drawn_darts(piece: &Piece, shown: Darts) -> Vec<DrawnDart> {
    let darts = piece.darts.iter().filter_map(|dart| {
        let DartShape::Open { mouth, legs } = &dart.shape else { return None };
        let shown = match shown {
            Darts::Legs => DartShown::Legs(legs.1.clone(), legs.0.clone()),
            Darts::LegsToTheCut => {
                let depth = piece.edge(piece.find_edge(&mouth.edge).unwrap()).cut_allowance().mm();
                DartShown::Legs(legs.0.run_on(depth, 0.0), legs.1.run_on(depth, 0.0))
            }
            Darts::Mouths => DartShown::Mouth(legs.0.start(), legs.1.start()),
            Darts::Outside => DartShown::Outside,
        };
        Some(DrawnDart { name: dart.name.clone(), edge: mouth.edge.clone(), shown })
    });
    darts.collect()
}

/// How far the darts' mouths and tips that came back are from those of the piece.
fn darts_off(piece: &Piece, back: &TakenOff) -> f64 {
    let mut worst = 0.0_f64;
    for dart in &piece.darts {
        let DartShape::Open { mouth, legs } = &dart.shape else { continue };
        let came = back.darts.iter().find(|came| came.name == dart.name).unwrap();
        let curve = &back.edges.iter().find(|edge| edge.name == mouth.edge).unwrap().curve;
        let ends = (curve.point_at(came.mouth.0), curve.point_at(came.mouth.1));
        worst = worst.max((ends.0 - legs.0.start()).hypot()).max((ends.1 - legs.1.start()).hypot());
        if let Some(legs) = &came.legs {
            worst = worst.max((legs.0.start() - ends.0).hypot()).max((legs.1.start() - ends.1).hypot());
        }
    }
    worst
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

/// The least turn of a corner (as a sine) whose place along its edges is as exact as the edges: at 15° the 0.012 mm that
/// they may be off are 0.05 mm along them.
const CLEAR_CORNER: f64 = 0.26;

fn turns_by_less(piece: &Piece, (first, second): (EdgeId, EdgeId), than: f64) -> bool {
    let (a, b) = (piece.edge(first).curve.end_tangent(), piece.edge(second).curve.start_tangent());
    a.dot(b) > 0.0 && a.cross(b).abs() <= than
}

/// How far a point of an edge is off, given how far it is off the edge that came back: where the edge all but runs
/// straight on into a neighbour, the drawing hardly tells where between the two the corner lies.
fn off_outline(piece: &Piece, id: EdgeId, back: &TakenOff, point: Point, off: f64) -> f64 {
    let (previous, next) = (piece.previous(id), piece.next(id));
    let corners = [(previous, (previous, id)), (next, (id, next))];
    let unclear = corners.iter().filter(|(_, corner)| turns_by_less(piece, *corner, CLEAR_CORNER));
    let names: Vec<_> = unclear.map(|(neighbour, _)| &piece.edge(*neighbour).name).collect();
    let beside = back.edges.iter().filter(|came| names.contains(&&came.name));
    beside.map(|came| came.curve.nearest(point).distance).fold(off, f64::min)
}

/// Whether a corner at which one edge all but runs straight on into the next is not cut beside it: two bent lines may
/// cross a second time some way before, and of unequal allowances the deeper hides the other's edge for several times
/// itself.
fn is_cut_elsewhere(piece: &Piece, line: &CuttingLine) -> bool {
    line.corners.iter().any(|corner| {
        let (first, second) = (piece.edge(corner.edges.0), piece.edge(corner.edges.1));
        let (a, b) = (first.cut_allowance().mm(), second.cut_allowance().mm());
        let far = (corner.ends.0 - first.curve.end()).hypot() > 1.1 * a.max(b);
        turns_by_less(piece, corner.edges, CLEAR_CORNER) && (far || (a - b).abs() > 1.0)
    })
}

/// Whether the place nearest to a point is a corner up to which the neighbour is told as unknown: the corner is as unsure.
fn is_unsure_corner(piece: &Piece, id: EdgeId, back: &TakenOff, near: Point) -> bool {
    let neighbours = [piece.previous(id), piece.next(id)].map(|neighbour| &piece.edge(neighbour).name);
    back.unknown
        .iter()
        .filter(|unknown| neighbours.contains(&&unknown.edge) && unknown.why == Unknown::Corner)
        .any(|unknown| (unknown.start - near).hypot().min((unknown.end - near).hypot()) <= BACK)
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
                let point = edge.curve.point_at(at);
                let near = came.curve.nearest(point);
                let off = off_outline(piece, id, back, point, near.distance);
                let unknown = back
                    .unknown
                    .iter()
                    .any(|u| u.edge == edge.name && u.from - 1.0 <= near.at && near.at <= u.to + 1.0);
                let unsure = is_unsure_corner(piece, id, back, near.point);
                if !trimmed && !unknown && !unsure && off > worst.0 {
                    worst = (
                        off,
                        format!("{}.{} at {at:.1} of {:.1}", piece.name(), edge.name, edge.curve.length()),
                    );
                }
            }
        }
    }
    worst
}

/// The sharpest turn that a drawing is not divided at, radians: 6°.
const DIVIDED_AT: f64 = 0.1;

/// A cutting line as someone would draw it who sees only its corners: divided wherever it turns, and at corners of the
/// piece that do not show. Stretches that run beside an edge have its name, of others nothing is said.
fn divided_by_turns(piece: &Piece, line: &CuttingLine) -> DrawnCuttingLine {
    let cut = loop_of(line);
    let turn = cut.end_tangent().cross(cut.start_tangent()).atan2(cut.end_tangent().dot(cut.start_tangent()));
    let mut places: Vec<f64> =
        cut.joints().iter().filter(|joint| joint.turn.abs() > DIVIDED_AT).map(|joint| joint.at).collect();
    if turn.abs() > DIVIDED_AT {
        places.push(0.0);
    }
    let shows = |places: &[f64], at: f64| {
        places.iter().any(|place| (place - at).abs().min(cut.length() - (place - at).abs()) < 60.0)
    };
    for corner in &line.corners {
        let at = cut.nearest(corner.ends.0).at;
        if !shows(&places, at) {
            places.push(at);
        }
    }
    places.sort_by(f64::total_cmp);
    let ends = places.iter().cycle().skip(1);
    let lines = places.iter().zip(ends).filter_map(|(from, to)| along(&cut, *from, *to));
    let stretches = lines.enumerate().map(|(index, curve)| {
        let beside = piece.edge_ids().find(|id| runs_beside(piece, *id, &curve));
        let part = match beside {
            Some(id) => DrawnPart::Edge(drawn_edge(piece, id)),
            None => {
                let deepest = piece.edge_ids().next().unwrap();
                let name = format!("unsaid-{index}").parse().unwrap();
                DrawnPart::Unsaid(DrawnEdge { name, ..drawn_edge(piece, deepest) })
            }
        };
        DrawnStretch { curve, part }
    });
    DrawnCuttingLine { stretches: stretches.collect(), corners: Vec::new(), darts: Vec::new() }
}

/// Whether a stretch of a cutting line runs beside an edge for a fifth of its length: a mitred tip may be longer than its edge.
fn runs_beside(piece: &Piece, id: EdgeId, stretch: &Curve) -> bool {
    let (curve, depth) = (&piece.edge(id).curve, piece.edge(id).cut_allowance().mm());
    let beside = places(stretch, 40).filter(|(at, point)| {
        let near = curve.nearest(*point);
        let inner = near.at > 1e-6 && near.at < curve.length() - 1e-6;
        let along = curve.tangent_at(near.at).dot(stretch.tangent_at(*at)) > 0.99;
        inner && along && (near.distance - depth).abs() < 0.05
    });
    beside.count() > 8
}

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
            let (off, at) = worst(piece, line, &back);
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
                let (off, at) = worst(piece, line, &back);
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

/// How much room a hollow must leave its allowance, beside a fifth of it, for its line to be told from a trimmed one, mm.
const ROOM: f64 = 3.0;

/// Whether an edge has a hollow that leaves its allowance next to no room.
fn is_too_tight(piece: &Piece) -> bool {
    piece.edges().iter().any(|edge| {
        let least = -1.0 / (1.2 * edge.cut_allowance().mm() + ROOM);
        places(&edge.curve, 200).any(|(at, _)| edge.curve.curvature_at(at) < least)
            || edge.curve.curvature_at(edge.curve.length()) < least
            || edge.curve.curvature_at(0.0) < least
    })
}

/// Whether next to nothing is drawn beside an edge, its neighbours' corners taken off.
fn has_hidden_edge(piece: &Piece, drawing: &DrawnCuttingLine) -> bool {
    drawing.stretches.iter().any(|stretch| match &stretch.part {
        DrawnPart::Edge(edge) => !runs_beside(piece, id(piece, edge.name.as_str()), &stretch.curve),
        DrawnPart::Corner | DrawnPart::Unsaid(_) => false,
    })
}

/// Takes the allowances off every piece of a pattern and holds what comes back to the piece.
fn check_pattern(pattern: &Pattern, shown: Darts) -> Result<(), TestCaseError> {
    let lines = cutting_lines(pattern).unwrap();
    for piece in pattern.pieces() {
        let line = lines.of(piece.name()).unwrap();
        let Some(drawing) = drawn(piece, line, Marked::Unsaid) else { continue };
        check_drawing(piece, line, DrawnCuttingLine { darts: drawn_darts(piece, shown), ..drawing })?;
    }
    Ok(())
}

fn check_drawing(piece: &Piece, line: &CuttingLine, drawing: DrawnCuttingLine) -> Result<(), TestCaseError> {
    if is_too_tight(piece) || is_cut_elsewhere(piece, line) || has_hidden_edge(piece, &drawing) {
        return Ok(());
    }
    let told = |error| TestCaseError::fail(format!("{}: {error}", piece.name()));
    let back = take_off(&drawing).map_err(told)?;
    let (off, at) = worst(piece, line, &back);
    prop_assert!(off <= BACK, "{at}: off by {off}; {:?} {:?} {:?}", back.corners, drawing.darts, back.darts);
    let off = darts_off(piece, &back);
    prop_assert!(off <= BACK, "the darts of {} are off by {off}", piece.name());
    Ok(())
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
        made.corners.push(SetCorner { edges: (first, second), shape });
    }
    made
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_random_piece_comes_back(shape in gentle()) {
        let line = alone(&shape);
        let Some(drawing) = drawn(&shape, &line, Marked::Corner) else { return Ok(()) };
        check_drawing(&shape, &line, drawing)?;
    }

    #[test]
    fn every_shape_of_corner_is_undone(
        shape in gentle(),
        shapes in prop::collection::vec(shape(), 3..6),
        hem in 20.0..50.0,
    ) {
        let shape = with_shapes(&shape, &shapes, hem);
        let line = alone(&shape);
        let Some(drawing) = drawn(&shape, &line, Marked::Corner) else { return Ok(()) };
        check_drawing(&shape, &line, drawing)?;
    }

    #[test]
    fn random_blocks_come_back(draft in random_block::draft(), shown in shown()) {
        check_pattern(&draft.pattern(), shown)?;
    }

    #[test]
    fn random_bodices_come_back(draft in random_piece::bodice(), shown in shown()) {
        check_pattern(&draft.pattern(), shown)?;
    }
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
        assert!(worst(&bodice, &line, &back).0 <= BACK);
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
    assert!(!line.trimmed.is_empty());
    let back = take_off(&drawn(&shape, &line, Marked::Corner).unwrap()).unwrap();
    let [unknown] = back.unknown.as_slice() else { panic!("{:?}", back.unknown) };
    assert_eq!((unknown.edge.as_str(), unknown.why), ("upper", Unknown::Hollow));
    assert!(unknown.start.x < 100.0 && unknown.end.x > 100.0 && unknown.to > unknown.from, "{unknown:?}");
    assert!(worst(&shape, &line, &back).0 <= BACK);
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
