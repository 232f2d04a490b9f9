//! Cutting lines as someone would draw them, and how far what comes back from them is off.

use retrue::allowance::{
    CuttingLine, DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch, TakenOff,
    Unknown,
};
use retrue::curve::{Curve, Point};
use retrue::pattern::{DartShape, EdgeId, Piece};

use crate::pieces::{id, loop_of, places};

/// How far a seamline that comes back may be off.
pub const BACK: f64 = 0.05;

/// The stretch of a closed line from one walk distance to another, over its start where need be; nothing where the two
/// are one place.
pub fn along(cut: &Curve, from: f64, to: f64) -> Option<Curve> {
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

pub fn drawn_edge(piece: &Piece, id: EdgeId) -> DrawnEdge {
    let edge = piece.edge(id);
    DrawnEdge { name: edge.name.clone(), allowance: edge.cut_allowance(), finish: edge.finish }
}

/// How a stretch that belongs to a corner is handed over.
#[derive(Clone, Copy, Debug)]
pub enum Marked {
    Corner,
    Unsaid,
}

/// What is drawn of the darts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Darts {
    Legs,
    LegsToTheCut,
    Mouths,
    Outside,
}

pub fn drawn_darts(piece: &Piece, shown: Darts) -> Vec<DrawnDart> {
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
pub fn darts_off(piece: &Piece, back: &TakenOff) -> f64 {
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
pub fn drawn(piece: &Piece, line: &CuttingLine, marked: Marked) -> Option<DrawnCuttingLine> {
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
pub const CLEAR_CORNER: f64 = 0.26;

pub fn turns_by_less(piece: &Piece, (first, second): (EdgeId, EdgeId), than: f64) -> bool {
    let (a, b) = (piece.edge(first).curve.end_tangent(), piece.edge(second).curve.start_tangent());
    a.dot(b) > 0.0 && a.cross(b).abs() <= than
}

/// How far a point of an edge is off, given how far it is off the edge that came back: where the edge all but runs
/// straight on into a neighbour, the drawing hardly tells where between the two the corner lies.
pub fn off_outline(piece: &Piece, id: EdgeId, back: &TakenOff, point: Point, off: f64) -> f64 {
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
pub fn is_cut_elsewhere(piece: &Piece, line: &CuttingLine) -> bool {
    line.corners.iter().any(|corner| {
        let (first, second) = (piece.edge(corner.edges.0), piece.edge(corner.edges.1));
        let (a, b) = (first.cut_allowance().mm(), second.cut_allowance().mm());
        let far = (corner.ends.0 - first.curve.end()).hypot() > 1.1 * a.max(b);
        turns_by_less(piece, corner.edges, CLEAR_CORNER) && (far || (a - b).abs() > 1.0)
    })
}

/// Whether the place nearest to a point is a corner up to which the neighbour is told as unknown: the corner is as unsure.
pub fn is_unsure_corner(piece: &Piece, id: EdgeId, back: &TakenOff, near: Point) -> bool {
    let neighbours = [piece.previous(id), piece.next(id)].map(|neighbour| &piece.edge(neighbour).name);
    back.unknown
        .iter()
        .filter(|unknown| neighbours.contains(&&unknown.edge) && unknown.why == Unknown::Corner)
        .any(|unknown| (unknown.start - near).hypot().min((unknown.end - near).hypot()) <= BACK)
}

/// Whether the line beside an edge lies within another allowance within 5 mm of a place, so that it is not drawn there.
fn is_swallowed(piece: &Piece, id: EdgeId, at: f64) -> bool {
    let (curve, depth) = (&piece.edge(id).curve, piece.edge(id).cut_allowance().mm());
    (-5..=5).map(|off| (at + f64::from(off)).clamp(0.0, curve.length())).any(|at| {
        let beside = curve.point_at(at) + depth * curve.normal_outward(at);
        piece.nearest_on_outline(beside).distance < depth - 1e-3
    })
}

/// The greatest distance of a piece's seamlines from those that came back, and where; stretches that are swallowed or are
/// told as unknown do not count, nor what lies in a dart's mouth.
pub fn worst(piece: &Piece, back: &TakenOff) -> (f64, String) {
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
                let swallowed = is_swallowed(piece, id, at);
                let point = edge.curve.point_at(at);
                let near = came.curve.nearest(point);
                let off = off_outline(piece, id, back, point, near.distance);
                let unknown = back
                    .unknown
                    .iter()
                    .any(|u| u.edge == edge.name && u.from - 1.0 <= near.at && near.at <= u.to + 1.0);
                let unsure = is_unsure_corner(piece, id, back, near.point);
                if !swallowed && !unknown && !unsure && off > worst.0 {
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
pub const DIVIDED_AT: f64 = 0.1;

/// A cutting line as someone would draw it who sees only its corners: divided wherever it turns, and at corners of the
/// piece that do not show. Stretches that run beside an edge have its name, of others nothing is said.
pub fn divided_by_turns(piece: &Piece, line: &CuttingLine) -> DrawnCuttingLine {
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
pub fn runs_beside(piece: &Piece, id: EdgeId, stretch: &Curve) -> bool {
    let (curve, depth) = (&piece.edge(id).curve, piece.edge(id).cut_allowance().mm());
    let beside = places(stretch, 40).filter(|(at, point)| {
        let near = curve.nearest(*point);
        let inner = near.at > 1e-6 && near.at < curve.length() - 1e-6;
        let along = curve.tangent_at(near.at).dot(stretch.tangent_at(*at)) > 0.99;
        inner && along && (near.distance - depth).abs() < 0.05
    });
    beside.count() > 8
}

/// How much room a hollow must leave its allowance, beside a fifth of it, for its line to be told from a trimmed one, mm.
pub const ROOM: f64 = 3.0;

/// Whether an edge has a hollow that leaves its allowance next to no room.
pub fn is_too_tight(piece: &Piece) -> bool {
    piece.edges().iter().any(|edge| {
        let least = -1.0 / (1.2 * edge.cut_allowance().mm() + ROOM);
        places(&edge.curve, 200).any(|(at, _)| edge.curve.curvature_at(at) < least)
            || edge.curve.curvature_at(edge.curve.length()) < least
            || edge.curve.curvature_at(0.0) < least
    })
}

/// Whether next to nothing is drawn beside an edge, its neighbours' corners taken off.
pub fn has_hidden_edge(piece: &Piece, drawing: &DrawnCuttingLine) -> bool {
    drawing.stretches.iter().any(|stretch| match &stretch.part {
        DrawnPart::Edge(edge) => !runs_beside(piece, id(piece, edge.name.as_str()), &stretch.curve),
        DrawnPart::Corner | DrawnPart::Unsaid(_) => false,
    })
}
