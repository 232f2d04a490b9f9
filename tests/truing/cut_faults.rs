//! Faults of cutting lines put into the shipped sheets: corners, allowances, and edges that are to lie on the selvedge.
//!
//! Whether one is a fault at all is measured here, on the cutting line as it is drawn.

use kurbo::Shape;
use retrue::allowance::{CutShape, CuttingLineEnds, CuttingLines, cutting_lines};
use retrue::curve::{Point, Vec2};
use retrue::pattern::{CornerShape, EdgeId, EdgeRef, Finish, Pattern, Piece, Selvedge, ShapedCorner};
use retrue::units::Length;

use crate::injector::{Fault, fault, with_piece};

/// How far cut ends may miss one another, and an edge stray on the selvedge: half the width of a chalk line (design, 6).
const LIMIT: f64 = 0.5;

/// How far beyond a corner the end of a line is looked for, mm: as far as the tip of a mitre may stand, three times 15 mm.
const FURTHEST: f64 = 45.0;

/// A corner at one end of a seam is cut otherwise than the trade would, in another shape on either piece. Pieces of two
/// edges are left out, whose corners have one name.
pub fn corners_set(pattern: &Pattern) -> Vec<Fault> {
    let lines = cutting_lines(pattern).unwrap();
    let shapes = |(sewn, meets): &(EdgeRef, EdgeRef)| {
        let squared = [sewn, meets].map(|edge| CornerShape::Square(edge.edge.clone()));
        [CornerShape::Jog, CornerShape::Mitre].into_iter().chain(squared).collect::<Vec<_>>()
    };
    let has_named_corners = |(sewn, _): &(EdgeRef, EdgeRef)| {
        pattern.piece(&sewn.piece).is_ok_and(|piece| piece.edges().len() > 2)
    };
    let set = |pattern: &Pattern, (sewn, meets): &(EdgeRef, EdgeRef), shape: CornerShape| {
        let edges = (sewn.edge.clone(), meets.edge.clone());
        let piece = pattern.piece(&sewn.piece).unwrap();
        with_piece(pattern, piece, |piece| piece.corners.push(ShapedCorner { edges, shape }))
    };
    let mut faults = Vec::new();
    let ends = pattern.seam_ids().flat_map(|seam| lines.seam_ends(pattern, seam));
    for end in ends.filter(|end| end.at.iter().all(has_named_corners)) {
        let [first, second] = &end.at;
        for (i, one) in shapes(first).into_iter().enumerate() {
            for (_, other) in shapes(second).into_iter().enumerate().filter(|(k, _)| *k != i) {
                let both = set(&set(pattern, first, one.clone()), second, other.clone());
                let is_none = meets_all_the_same(&both, &end);
                let at = [first.0.to_string(), second.0.to_string()];
                let place = format!(
                    "{} at {} {one}, {} at {} {other}",
                    first.0, first.1.edge, second.0, second.1.edge
                );
                faults.push(Fault { is_none, ..fault(both, place, 1.0, at) });
            }
        }
    }
    faults
}

/// Why the ends of two lines need not be told of.
fn meets_all_the_same(pattern: &Pattern, end: &CuttingLineEnds) -> Option<&'static str> {
    let [(first, beside_first), (second, beside_second)] = &end.at;
    let finish = |edge: &EdgeRef| pattern.find_edge(edge).unwrap().finish;
    if [first, second].into_iter().any(|edge| finish(edge) == Finish::Free) {
        return Some("a free edge is bound, or lapped over the other: it has no end to meet");
    }
    if finish(beside_first) == Finish::Hem && finish(beside_second) == Finish::Hem {
        return Some("two hems that run on are cut in one line, as deep as each other");
    }
    let lines = cutting_lines(pattern).unwrap();
    let ends = [(first, beside_first), (second, beside_second)]
        .map(|(edge, beside)| cut_end(pattern, &lines, edge, beside));
    match ends {
        [Some(a), Some(b)] if (a - b).abs() > LIMIT => None,
        [Some(_), Some(_)] => Some("the corner is cut alike in either shape"),
        _ => Some("the line runs into the neighbour's allowance: what lies there is no end"),
    }
}

/// How far beyond its corner the cloth beside a sewn edge reaches just inside its allowance; none where the line runs into
/// the allowance of its neighbour.
///
/// ```text
///    ────────────┐  just inside
///    ───────●    │
///           0    end
/// ```
fn cut_end(pattern: &Pattern, lines: &CuttingLines, edge: &EdgeRef, beside: &EdgeRef) -> Option<f64> {
    const INSIDE: f64 = 0.05;
    const STEP: f64 = 0.02;
    let (piece, id) = pattern.edge(edge).unwrap();
    let line = lines.of(piece.name()).unwrap();
    let neighbour = piece.find_edge(&beside.edge).unwrap();
    let curve = &piece.edge(id).curve;
    let arrives = piece.next(id) == neighbour;
    let (at, along) =
        if arrives { (curve.end(), curve.end_tangent()) } else { (curve.start(), -curve.start_tangent()) };
    let out = if arrives { Vec2::new(along.y, -along.x) } else { Vec2::new(-along.y, along.x) };
    let corner = (if arrives { id } else { neighbour }, if arrives { neighbour } else { id });
    let shape = line.corners.iter().find(|cut| cut.edges == corner).unwrap().shape;
    if matches!(shape, CutShape::IntoNeighbour(_)) {
        return None;
    }
    let height = piece.edge(id).allowance.mm() - INSIDE;
    let is_cloth = |x: f64| line.path.winding(at + x * along + height * out) != 0;
    let steps = (0..=(2.0 * FURTHEST / STEP) as usize).map(|i| i as f64 * STEP - FURTHEST);
    // From inside the edge: a line that is cut back at its corner ends before it.
    let begins = steps.clone().find(|x| is_cloth(*x))?;
    steps.skip_while(|x| *x <= begins).find(|x| !is_cloth(*x))
}

/// One side of a seam has another allowance than its partner.
pub fn allowances_changed(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (piece, id) in seams(pattern) {
        let own = piece.edge(id).allowance.mm();
        for by in [-1.0, -2.0, -5.0, -12.0, -0.9 * own, -own, 3.0, 8.0, 20.0] {
            let changed = with_allowance(pattern, piece, id, own + by);
            faults.push(fault(changed, piece.edge_ref(id), by.abs(), []));
        }
    }
    faults
}

/// The allowance of a seam is gone, or a tenth of what it was, on this side alone or on both.
pub fn allowances_lost(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (piece, id) in seams(pattern) {
        let own = piece.edge(id).allowance.mm();
        for left in [0.1 * own, 0.0] {
            let lost = with_allowance(pattern, piece, id, left);
            faults.push(fault(lost, piece.edge_ref(id), own - left, []));
        }
    }
    faults
}

fn with_allowance(pattern: &Pattern, piece: &Piece, id: EdgeId, mm: f64) -> Pattern {
    with_piece(pattern, piece, |piece| *piece.edge_settings(id).allowance = Length::from_mm(mm))
}

fn seams(pattern: &Pattern) -> impl Iterator<Item = (&Piece, EdgeId)> {
    pattern.pieces().flat_map(|piece| {
        let seams = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Seam);
        seams.map(move |id| (piece, id))
    })
}

/// An edge is to lie on the selvedge.
pub fn off_selvedge(pattern: &Pattern) -> Vec<Fault> {
    let laid = |(piece, id): (&Piece, EdgeId)| {
        let pattern = with_piece(pattern, piece, |piece| {
            *piece.edge_settings(id).selvedge = Selvedge::Yes;
        });
        let is_none = (strays(piece, id) <= LIMIT).then_some("it is straight along the grain");
        Fault { is_none, ..fault(pattern, piece.edge_ref(id), 1.0, []) }
    };
    seams(pattern).filter(|(piece, _)| piece.grainline.is_some()).map(laid).collect()
}

/// How far apart the places of an edge lie across the grain.
fn strays(piece: &Piece, id: EdgeId) -> f64 {
    const PLACES: u32 = 400;
    let (curve, grain) = (&piece.edge(id).curve, piece.grainline.as_ref().unwrap());
    let along = (grain.end - grain.start).normalize();
    let across = |i: u32| {
        let place: Point = curve.point_at(curve.length() * f64::from(i) / f64::from(PLACES));
        along.cross(place - grain.start)
    };
    let (low, high) = (0..=PLACES)
        .map(across)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), off| (low.min(off), high.max(off)));
    high - low
}
