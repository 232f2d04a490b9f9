//! How wide a piece is as it is cut.

use crate::curve::{Curve, Motion, Point, Vec2, left_of, offset, right_of};
use crate::pattern::{Edge, EdgeId, Finish, Piece, Refusal, Selvedge};
use crate::recut::symmetry::{StraightLine, extent};
use crate::tolerance::{CORNER_REACH, OFFSET_ACCURACY};

/// What a piece takes up square to its grain, allowances included: from and to, mm along the direction across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Across {
    /// The direction, of length one: to the right where the grain runs down.
    pub direction: Vec2,
    pub from: f64,
    pub to: f64,
}

impl Across {
    pub(super) fn width(&self) -> f64 {
        self.to - self.from
    }
}

/// The extent of a piece as it is cut, square to its grain: of the lines beside its edges at their allowances, and of the
/// corners where they meet, but nothing beyond a selvedge. Where it is half, of both halves.
///
/// # Errors
///
/// Refuses an allowance beside which no line can be drawn.
pub(super) fn across(piece: &Piece) -> Result<Across, Refusal> {
    let grain = piece.grain_or_down();
    let direction = left_of(grain);
    let drawn = Cut::of(piece)?;
    let (mut from, mut to) = drawn.reach(direction);
    if let Some(fold) = piece.fold().map(|id| &piece.edge(id).curve) {
        let mirroring = StraightLine::between(fold.start(), fold.end())?.mirroring()?;
        let (low, high) = drawn.moved(&mirroring).reach(direction);
        (from, to) = (from.min(low), to.max(high));
    }
    Ok(Across { direction, from, to })
}

/// The width of a piece as it is cut, mm: square to its grain, allowances included, a half piece opened out. It is what
/// the cloth must be wide enough for.
///
/// # Errors
///
/// Refuses an allowance beside which no line can be drawn.
pub fn cut_width(piece: &Piece) -> Result<f64, Refusal> {
    across(piece).map(|across| across.width())
}

/// What stands around a piece as it is drawn when it is cut.
struct Cut {
    /// The lines beside its edges.
    lines: Vec<Curve>,
    /// The tips of its corners.
    tips: Vec<Point>,
    /// The ends of the cloth: a point at each selvedge, and the direction away from the piece.
    selvedges: Vec<(Point, Vec2)>,
}

impl Cut {
    fn of(piece: &Piece) -> Result<Cut, Refusal> {
        let lines = piece.edges().iter().map(cutting_line).collect::<Result<Vec<Curve>, Refusal>>()?;
        let tips = piece.edge_ids().filter_map(|id| corner_after(piece, id)).collect();
        let on_selvedge = piece.edges().iter().zip(&lines).filter(|(edge, _)| edge.selvedge == Selvedge::Yes);
        let end = |(edge, line): (&Edge, &Curve)| {
            let chord = edge.curve.end() - edge.curve.start();
            (line.start(), left_of(chord))
        };
        let selvedges = on_selvedge.map(end).collect();
        Ok(Cut { lines, tips, selvedges })
    }

    fn moved(&self, motion: &Motion) -> Cut {
        Cut {
            lines: self.lines.iter().map(|line| line.moved(motion)).collect(),
            tips: self.tips.iter().map(|tip| motion.apply(*tip)).collect(),
            selvedges: self
                .selvedges
                .iter()
                .map(|(at, out)| (motion.apply(*at), motion.apply_vec(*out)))
                .collect(),
        }
    }

    /// From where to where it reaches in a direction of length one.
    fn reach(&self, direction: Vec2) -> (f64, f64) {
        let far = |point: &Point| point.to_vec2().dot(direction);
        let (from, to) = extent(&self.lines, direction);
        let (from, to) =
            self.tips.iter().map(far).fold((from, to), |(from, to), at| (from.min(at), to.max(at)));
        self.selvedges.iter().fold((from, to), |(from, to), (at, out)| {
            if out.dot(direction) > 0.0 { (from, to.min(far(at))) } else { (from.max(far(at)), to) }
        })
    }
}

fn cutting_line(edge: &Edge) -> Result<Curve, Refusal> {
    let allowance = edge.cut_allowance().mm();
    if allowance <= 0.0 {
        return Ok(edge.curve.clone());
    }
    Ok(offset(&edge.curve, allowance, OFFSET_ACCURACY)?)
}

/// Where the cutting lines of an edge and the next meet outside a corner. At a hem they do not run on: the corner there
/// is turned up, which keeps it within the piece as it is farther up.
fn corner_after(piece: &Piece, id: EdgeId) -> Option<Point> {
    let (edge, next) = (piece.edge(id), piece.edge(piece.next(id)));
    if edge.finish == Finish::Hem || next.finish == Finish::Hem {
        return None;
    }
    let (a, b) = (edge.curve.end_tangent(), next.curve.start_tangent());
    let (out_a, out_b) = (left_of(a), left_of(b));
    let (depth_a, depth_b) = (edge.cut_allowance().mm(), next.cut_allowance().mm());
    let turn = a.cross(b);
    if turn <= f64::EPSILON {
        return None;
    }
    let tip = (depth_a * right_of(out_b) - depth_b * right_of(out_a)) / -turn;
    let most = CORNER_REACH * depth_a.max(depth_b);
    (tip.hypot() <= most).then(|| edge.curve.end() + tip)
}
