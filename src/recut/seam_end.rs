//! The ends of a seam, and drawing anew what meets there.

use crate::curve::{Point, Vec2, turn_between};
use crate::parts::reshape::{Redrawn, end_point, redraw};
use crate::pattern::{
    DeclaredKind, DrawnAnew, EdgeEnd, EdgeId, EdgeRef, Finish, NotchName, Pattern, Piece, Refusal, Run,
    RunEdge, WalkEnd,
};
use crate::recut::{Notice, Work};
use crate::tolerance::{RESHAPE_REACH, SAME_CUT};
use crate::units::Length;

/// Where one side of a seam ends: its last edge there, and the edge that meets it.
#[derive(Clone, Debug)]
pub(super) struct SideEnd {
    pub piece: Piece,
    pub edge: EdgeId,
    pub end: EdgeEnd,
    pub neighbour: EdgeId,
}

impl SideEnd {
    /// The end of one side.
    ///
    /// # Errors
    ///
    /// Refuses edges that do not exist.
    pub(super) fn of(pattern: &Pattern, run: &Run, at: WalkEnd) -> Result<SideEnd, Refusal> {
        let RunEdge { edge, travel } = run.edge_at(at);
        let end = travel.end_at(at);
        let (piece, edge) = pattern.edge(edge)?;
        let neighbour = piece.beside(edge, end);
        Ok(SideEnd { piece: piece.clone(), edge, end, neighbour })
    }

    pub(super) fn point(&self) -> Point {
        end_point(&self.piece.edge(self.edge).curve, self.end)
    }

    pub(super) fn finish(&self) -> Finish {
        self.piece.edge(self.neighbour).finish
    }

    /// The end of the neighbour at which it meets the seam.
    pub(super) fn neighbour_end(&self) -> EdgeEnd {
        self.end.other()
    }

    /// How far along the neighbour a change may reach.
    pub(super) fn reach(&self) -> f64 {
        reach(&self.piece, self.neighbour, self.neighbour_end())
    }

    pub(super) fn name_of(&self, edge: EdgeId) -> EdgeRef {
        self.piece.edge_ref(edge)
    }

    /// The angle inside the piece between the seam and its neighbour, radians from 0 to 2π.
    pub(super) fn inner_angle(&self) -> f64 {
        let (seam, neighbour) = (&self.piece.edge(self.edge).curve, &self.piece.edge(self.neighbour).curve);
        let (arriving, leaving) = match self.end {
            EdgeEnd::First => (neighbour.end_tangent(), seam.start_tangent()),
            EdgeEnd::Last => (seam.end_tangent(), neighbour.start_tangent()),
        };
        std::f64::consts::PI - turn_between(arriving, leaving).0
    }

    /// How far the neighbours of a seam turn where they meet across its end, radians; zero where they run straight on.
    pub(super) fn kink_with(&self, other: &SideEnd) -> f64 {
        std::f64::consts::PI - self.inner_angle() - other.inner_angle()
    }

    /// A direction in which the neighbour leaves the corner, turned so that the inner angle grows by so many radians.
    pub(super) fn widened(&self, leaving: Vec2, by: f64) -> Vec2 {
        match self.end {
            EdgeEnd::First => rotated(leaving, by),
            EdgeEnd::Last => rotated(leaving, -by),
        }
    }
}

/// A direction turned by so many radians, clockwise as seen where that is over zero.
pub(super) fn rotated(way: Vec2, by: f64) -> Vec2 {
    let (sin, cos) = by.sin_cos();
    Vec2::new(way.x * cos - way.y * sin, way.x * sin + way.y * cos)
}

/// How far from an end of an edge a change of it may reach, mm: half of it is left to its other end, and darts that open
/// on it stay as they are.
pub(super) fn reach(piece: &Piece, edge: EdgeId, end: EdgeEnd) -> f64 {
    let edge = piece.edge(edge);
    let length = edge.curve.length();
    let to_mouth = piece.mouths_on(&edge.name).into_iter().map(|(_, mouth)| match end {
        EdgeEnd::First => mouth.from,
        EdgeEnd::Last => length - mouth.to,
    });
    to_mouth.fold(RESHAPE_REACH.min(length / 2.0), f64::min)
}

/// Draws edges of a piece anew in the pattern: the change of area is declared, lengths that changed on sewn edges and
/// notches that lost their place are told.
///
/// # Errors
///
/// As [`redraw`].
pub(super) fn draw_anew(work: &mut Work, piece: &Piece, redrawn: &[Redrawn]) -> Result<(), Refusal> {
    let drawn = redraw(piece, redrawn)?;
    tell_lengths(work, piece, redrawn);
    put_drawn(work, piece, redrawn, drawn)
}

/// Tells by how much the lengths of sewn edges change.
pub(super) fn tell_lengths(work: &mut Work, piece: &Piece, redrawn: &[Redrawn]) {
    for new in redrawn {
        let edge = piece.edge_ref(new.edge);
        let by = new.curve.length() - piece.edge(new.edge).curve.length();
        let sewn = work.pattern.seams_of(&edge).next().is_some();
        if sewn && by.abs() > SAME_CUT {
            work.tell(Notice::Trued { edge, by: Length::from_mm(by) });
        }
    }
}

/// The same of several pieces: all of them, or none. What changes of lengths is not told.
///
/// # Errors
///
/// As [`redraw`].
pub(super) fn draw_all_anew(work: &mut Work, pieces: &[(&Piece, Vec<Redrawn>)]) -> Result<(), Refusal> {
    let drawn = pieces.iter().map(|(piece, redrawn)| redraw(piece, redrawn));
    let drawn = drawn.collect::<Result<Vec<_>, _>>()?;
    pieces.iter().zip(drawn).try_for_each(|((piece, redrawn), drawn)| put_drawn(work, piece, redrawn, drawn))
}

fn put_drawn(
    work: &mut Work,
    piece: &Piece,
    redrawn: &[Redrawn],
    (made, lost): (Piece, Vec<NotchName>),
) -> Result<(), Refusal> {
    for name in lost {
        let on = piece.notches.iter().find(|notch| notch.name == name).map(|notch| notch.edge.clone());
        if let Some(edge) = on {
            work.tell(Notice::NotchLost { edge: EdgeRef::new(piece.name().clone(), edge), notch: name });
        }
    }
    let grown = made.net_area() - piece.net_area();
    *work.pattern.piece_mut(piece.name())? = made;
    work.declare(piece.name(), DeclaredKind::Trued, grown);
    let edges: Vec<EdgeRef> = redrawn.iter().map(|new| piece.edge_ref(new.edge)).collect();
    work.drawn_anew(DrawnAnew { before: edges.clone(), after: edges });
    Ok(())
}
