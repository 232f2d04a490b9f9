//! How wide a piece is as it is cut.

use crate::curve::{Curve, Point, Vec2, offset};
use crate::pattern::{Edge, EdgeId, Finish, Piece, Refusal};
use crate::recut::symmetry::{Axis, extent};
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
/// corners where they meet. Where it is half, of both halves.
///
/// # Errors
///
/// Refuses an allowance beside which no line can be drawn.
pub(super) fn across(piece: &Piece) -> Result<Across, Refusal> {
    let grain = piece.grain_or_down();
    let direction = Vec2::new(grain.y, -grain.x);
    let mut lines: Vec<Curve> = Vec::new();
    for edge in piece.edges() {
        lines.push(cutting_line(edge)?);
    }
    let corners: Vec<Point> = piece.edge_ids().filter_map(|id| corner_after(piece, id)).collect();
    let fold = piece.fold().map(|id| &piece.edge(id).curve);
    if let Some(fold) = fold {
        let mirroring = Axis::between(fold.start(), fold.end())?.mirroring()?;
        let mirrored: Vec<Curve> = lines.iter().map(|line| line.moved(&mirroring)).collect();
        lines.extend(mirrored);
        let images: Vec<Point> = corners.iter().map(|corner| mirroring.apply(*corner)).collect();
        return Ok(reach(direction, &lines, corners.into_iter().chain(images)));
    }
    Ok(reach(direction, &lines, corners))
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

fn reach(direction: Vec2, lines: &[Curve], corners: impl IntoIterator<Item = Point>) -> Across {
    let (from, to) = extent(lines, direction);
    let corners = corners.into_iter().map(|corner| corner.to_vec2().dot(direction));
    let (from, to) = corners.fold((from, to), |(from, to), at| (from.min(at), to.max(at)));
    Across { direction, from, to }
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
    let (out_a, out_b) = (Vec2::new(a.y, -a.x), Vec2::new(b.y, -b.x));
    let (depth_a, depth_b) = (edge.cut_allowance().mm(), next.cut_allowance().mm());
    let turn = a.cross(b);
    if turn <= f64::EPSILON {
        return None;
    }
    let tip = (depth_a * Vec2::new(-out_b.y, out_b.x) - depth_b * Vec2::new(-out_a.y, out_a.x)) / -turn;
    let most = CORNER_REACH * depth_a.max(depth_b);
    (tip.hypot() <= most).then(|| edge.curve.end() + tip)
}
