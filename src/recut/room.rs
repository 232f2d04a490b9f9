//! Where a new piece lies on the sheet: clear of the others.

use kurbo::{Rect, Vec2};

use crate::curve::Motion;
use crate::pattern::{Edge, EdgeName, Grainline, Level, NamedPoint, Piece, Refusal, StyleLine};
use crate::tolerance::SAME_CUT;

/// Room kept free around a piece on the sheet, beyond its widest allowance, mm.
const ROOM: f64 = 20.0;

/// How many of the nearest pieces are tried as neighbours when room is looked for.
const NEIGHBOURS_TRIED: usize = 24;

/// The box that a piece takes up on the sheet, its allowances and some air included.
pub(super) fn room_of(piece: &Piece) -> Rect {
    let widest = piece.edges().iter().map(|edge| edge.cut_allowance().mm()).fold(0.0, f64::max);
    piece.bounds().inflate(widest + ROOM, widest + ROOM)
}

/// The shortest shift that lays a box clear of others, on the sheet.
pub(super) fn free_shift(room: Rect, taken: &[Rect]) -> Vec2 {
    shortest_shift(room, taken, |lies| lies.x0 >= -SAME_CUT && lies.y0 >= -SAME_CUT)
}

/// The shortest shift that lays a box clear of others where it may lie; to the right of all where there is none.
pub(crate) fn shortest_shift(room: Rect, taken: &[Rect], may_lie: impl Fn(Rect) -> bool) -> Vec2 {
    let clear = |shift: Vec2| taken.iter().all(|other| !overlap(room + shift, *other));
    if clear(Vec2::ZERO) {
        return Vec2::ZERO;
    }
    let mut near: Vec<&Rect> = taken.iter().collect();
    near.sort_by(|a, b| a.center().distance(room.center()).total_cmp(&b.center().distance(room.center())));
    near.truncate(NEIGHBOURS_TRIED);
    let right = taken.iter().map(|other| other.x1).fold(f64::NEG_INFINITY, f64::max) - room.x0;
    let mut across = vec![0.0, right];
    let mut down = vec![0.0];
    for other in near {
        across.extend([other.x1 - room.x0, other.x0 - room.x1]);
        down.extend([other.y1 - room.y0, other.y0 - room.y1]);
    }
    let mut best = Vec2::new(right, 0.0);
    for x in &across {
        for y in &down {
            let shift = Vec2::new(*x, *y);
            if may_lie(room + shift) && shift.hypot() < best.hypot() - SAME_CUT && clear(shift) {
                best = shift;
            }
        }
    }
    best
}

/// Whether boxes lie over one another: those that were laid side by side do not, whatever a sheet rounds.
pub(crate) fn overlap(a: Rect, b: Rect) -> bool {
    let both = a.intersect(b);
    both.width() > SAME_CUT && both.height() > SAME_CUT
}

/// A whole piece as it lies after a motion that does not mirror it.
pub(crate) fn moved(piece: &Piece, motion: &Motion) -> Result<Piece, Refusal> {
    let edges =
        piece.edges().iter().map(|edge| Edge { curve: edge.curve.moved(motion), ..edge.clone() }).collect();
    let mut new = Piece::new(piece.name().clone(), edges)?;
    new.cut = piece.cut;
    new.cloth = piece.cloth.clone();
    new.purpose = piece.purpose;
    new.derived = piece.derived.clone();
    let length_of = |edge: &EdgeName| Some(new.edge(new.find_edge(edge)?).curve.length());
    new.darts = piece.darts.iter().map(|dart| dart.moved(motion).within(length_of)).collect();
    new.notches = piece.notches.clone();
    new.levels = piece
        .levels
        .iter()
        .map(|level| Level {
            stretches: level.stretches.iter().map(|(a, b)| (motion.apply(*a), motion.apply(*b))).collect(),
            ..level.clone()
        })
        .collect();
    new.points =
        piece.points.iter().map(|point| NamedPoint { at: motion.apply(point.at), ..point.clone() }).collect();
    new.style_lines = piece
        .style_lines
        .iter()
        .map(|style| StyleLine { curve: style.curve.moved(motion), ..style.clone() })
        .collect();
    new.grainline = piece.grainline.as_ref().map(|grain| Grainline {
        start: motion.apply(grain.start),
        end: motion.apply(grain.end),
        ..grain.clone()
    });
    new.marks = piece.marks.iter().map(|mark| mark.moved(motion)).collect();
    new.corners = piece.corners.clone();
    new.kept = piece.kept.clone();
    Ok(new)
}
