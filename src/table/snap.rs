//! What a hand is drawn to on a piece, each by a name.

use serde::Serialize;

use crate::curve::Point;
use crate::pattern::{
    Amount, DartShape, EdgeId, EdgeRef, Line, Pattern, Piece, Place, Run, Side, TipChoice, Walk, WalkPoint,
};
use crate::tolerance::{HAND_STEP, SAME_CUT, WELD};
use crate::units::{Length, Share};

/// A place on a piece that a hand means.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SnappedPlace {
    /// The place, as a field says it.
    pub(super) place: Place,
    /// What it is, in words.
    pub(super) says: String,
    /// Where it is on the sheet.
    pub(super) point: Point,
    /// Whether it is there without the hand.
    pub(super) stands: ThereBy,
}

/// What a place is there by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ThereBy {
    /// By something of the pattern that has a name.
    ByName,
    /// By the hand alone.
    ByHand,
}

/// What a hand is drawn to, or goes by, as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SnapSeen {
    /// What it is, in words.
    pub says: String,
    /// Where it is, mm on the sheet.
    pub at: [f64; 2],
}

impl SnappedPlace {
    pub(super) fn named(place: Place, says: String, point: Point) -> SnappedPlace {
        SnappedPlace { place, says, point, stands: ThereBy::ByName }
    }

    pub(super) fn is_named(&self) -> bool {
        self.stands == ThereBy::ByName
    }
}

impl SnapSeen {
    pub(super) fn of(snap: &SnappedPlace) -> SnapSeen {
        SnapSeen { says: snap.says.clone(), at: [snap.point.x, snap.point.y] }
    }
}

/// The place of a piece that a hand means: of what it is drawn to the nearest within reach, else one on the outline.
pub(super) fn meant(pattern: &Pattern, piece: &Piece, at: Point, reach: f64) -> SnappedPlace {
    let inside = points(piece).chain(tips(piece));
    nearest(inside.chain(on_outline(pattern, piece)), at, reach).unwrap_or_else(|| anywhere(piece, at))
}

/// The same of the places of its outline alone.
pub(super) fn meant_on_outline(pattern: &Pattern, piece: &Piece, at: Point, reach: f64) -> SnappedPlace {
    nearest(on_outline(pattern, piece), at, reach).unwrap_or_else(|| anywhere(piece, at))
}

/// What a place is in words, where it is one that a hand is drawn to; else on which edge it lies.
pub(super) fn said(pattern: &Pattern, piece: &Piece, at: Point) -> String {
    meant(pattern, piece, at, SAME_CUT).says
}

fn nearest(snaps: impl Iterator<Item = SnappedPlace>, at: Point, reach: f64) -> Option<SnappedPlace> {
    let near = snaps.map(|snap| (snap.point.distance(at), snap)).filter(|(far, _)| *far <= reach);
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, snap)| snap)
}

/// The place of the outline that is nearest, to whole steps of a hand.
fn anywhere(piece: &Piece, at: Point) -> SnappedPlace {
    let found = piece.nearest_on_outline(at);
    let along = (piece.to_sewn(found.edge, found.at) / HAND_STEP).round() * HAND_STEP;
    let along = along.min(piece.sewn_length(found.edge));
    let place = on_edge(piece, found.edge, along);
    let point = piece.point_on(found.edge, piece.from_sewn(found.edge, along));
    let says = format!("on {}", piece.edge(found.edge).name);
    SnappedPlace { place, says, point, stands: ThereBy::ByHand }
}

/// A place so far along the sewn length of an edge, mm.
pub(super) fn on_edge(piece: &Piece, edge: EdgeId, along: f64) -> Place {
    let edge = piece.edge(edge).name.clone();
    Place::OnEdge { edge, along: Amount::Length(Length::from_mm(along)), from: None }
}

/// A place so far along the curve of an edge, mm.
fn on_curve(piece: &Piece, edge: EdgeId, at: f64, says: String) -> SnappedPlace {
    let place = on_edge(piece, edge, piece.to_sewn(edge, at));
    SnappedPlace::named(place, says, piece.point_on(edge, at))
}

/// The points that are named on a piece.
pub(super) fn points(piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    piece.points.iter().map(|point| {
        SnappedPlace::named(Place::Point(point.name.clone()), format!("the point {}", point.name), point.at)
    })
}

/// The tips of its open darts.
pub(super) fn tips(piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    let open = piece.darts.iter().filter(|dart| matches!(dart.shape, DartShape::Open { .. }));
    open.filter_map(|dart| {
        let point = *dart.tips().first()?;
        let place = Place::Tip(dart.name.clone(), TipChoice::Only);
        Some(SnappedPlace::named(place, format!("the tip of {}", dart.name), point))
    })
}

/// All that a hand is drawn to on the outline of a piece.
fn on_outline(pattern: &Pattern, piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    let corners_and_middles = corners(piece).chain(middles(piece));
    let marks = notches(piece).chain(lines(piece).flat_map(|line| line.ends));
    corners_and_middles.chain(marks).chain(running_on(pattern, piece))
}

fn middles(piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    piece.edge_ids().map(|id| {
        let name = &piece.edge(id).name;
        let along = Amount::Share(Share::HALF);
        let place = Place::OnEdge { edge: name.clone(), along, from: None };
        let point = piece.point_on(id, piece.from_sewn(id, piece.sewn_length(id) / 2.0));
        SnappedPlace::named(place, format!("the middle of {name}"), point)
    })
}

fn corners(piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    piece.edge_ids().map(|id| {
        let (before, name) = (&piece.edge(piece.previous(id)).name, &piece.edge(id).name);
        on_curve(piece, id, 0.0, format!("where {before} and {name} meet"))
    })
}

fn notches(piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    piece.notches.iter().filter_map(|notch| {
        let id = piece.find_edge(&notch.edge)?;
        Some(on_curve(piece, id, notch.at, format!("a notch of {}", notch.edge)))
    })
}

/// A line that is drawn on a piece from edge to edge.
pub(super) struct LineAcross {
    /// The line, as a field says it.
    pub(super) line: Line,
    /// Where it meets the outline.
    pub(super) ends: [SnappedPlace; 2],
}

/// The style lines and levels of a piece that run from edge to edge.
pub(super) fn lines(piece: &Piece) -> impl Iterator<Item = LineAcross> {
    let styles = piece.style_lines.iter().map(|style| {
        let (start, end) = (style.curve.start(), style.curve.end());
        (Line::Style(style.name.clone()), style.name.to_string(), start, end)
    });
    let levels = piece.levels.iter().filter_map(|level| {
        let (first, last) = (level.stretches.first()?, level.stretches.last()?);
        Some((Line::Level(level.name.clone()), format!("level {}", level.name), first.0, last.1))
    });
    styles.chain(levels).filter_map(|(line, says, start, end)| {
        let ends = [start, end].map(|end| {
            let found = piece.nearest_on_outline(end);
            let says = format!("where {says} meets {}", piece.edge(found.edge).name);
            (found.distance <= WELD).then(|| on_curve(piece, found.edge, found.at, says))
        });
        let [Some(first), Some(last)] = ends else { return None };
        Some(LineAcross { line, ends: [first, last] })
    })
}

/// Where seams and darts of what a piece is sewn to would run on into it.
fn running_on(pattern: &Pattern, piece: &Piece) -> impl Iterator<Item = SnappedPlace> {
    piece.edge_ids().flat_map(move |id| {
        let edge = piece.edge_ref(id);
        let seams: Vec<_> = pattern.seams_of(&edge).map(|id| pattern.seam(id)).collect();
        let met = seams.into_iter().flat_map(|seam| {
            let side = seam.side_of(&edge).unwrap_or(Side::First);
            joints_across(pattern, seam.side(side), seam.side(side.other()))
        });
        let here = met.filter(|joint| joint.edge == edge);
        here.map(|joint| on_curve(piece, id, joint.at, joint.says)).collect::<Vec<_>>()
    })
}

/// A joint of what is sewn to an edge.
struct JointAcross {
    /// The edge that it comes to lie on.
    edge: EdgeRef,
    /// How far along its curve, mm.
    at: f64,
    /// What it is, in words.
    says: String,
}

/// Where the joints of one run come to lie on another that is sewn to it; ease is taken as spread evenly.
fn joints_across(pattern: &Pattern, own: &Run, other: &Run) -> Vec<JointAcross> {
    let (Ok(own), Ok(other)) = (Walk::of(pattern, own), Walk::of(pattern, other)) else { return Vec::new() };
    let scale = if other.length() > 0.0 { own.length() / other.length() } else { 1.0 };
    let met = other.joints().into_iter().filter_map(|joint| {
        let (before, after, here) = (other.before(joint)?, other.at(joint)?, own.at(joint * scale)?);
        let name = |met: WalkPoint<'_>| met.piece.edge_ref(met.edge).to_string();
        let says = if before.piece.name() != after.piece.name() {
            format!("where the seam of {} and {} would run on", before.piece.name(), after.piece.name())
        } else if before.edge == after.edge {
            format!("where the dart of {} would run on", name(before))
        } else {
            format!("across from where {} and {} meet", name(before), name(after))
        };
        Some(JointAcross { edge: here.piece.edge_ref(here.edge), at: here.at, says })
    });
    met.collect()
}
