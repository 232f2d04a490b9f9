//! What is done after every step alike: laying new pieces apart on the sheet, telling of girth and of edges that need
//! the same cut.

use std::collections::HashSet;

use kurbo::{Rect, Vec2};

use crate::curve::Motion;
use crate::pattern::{
    ChangedGirth, Copy, DeclaredKind, Edge, EdgeRef, Grainline, Level, LevelName, NamedPoint, Pattern, Piece,
    Refusal, Run, StyleLine, Walk,
};
use crate::recut::{Step, Told, Work};
use crate::tolerance::{GIRTH_TOLD, SAME_CUT, SAME_RUN};
use crate::truing;
use crate::units::Length;

/// Room kept free around a piece on the sheet, beyond its widest allowance, mm.
const ROOM: f64 = 20.0;

/// How many of the nearest pieces are tried as neighbours when room is looked for.
const NEIGHBOURS_TRIED: usize = 24;

/// The box that a piece takes up on the sheet, its allowances and some air included.
pub(super) fn room_of(piece: &Piece) -> Rect {
    let widest = piece.edges().iter().map(|edge| edge.cut_allowance().mm()).fold(0.0, f64::max);
    piece.bounds().inflate(widest + ROOM, widest + ROOM)
}

/// The shortest shift that lays a box clear of others.
pub(super) fn free_shift(room: Rect, taken: &[Rect]) -> Vec2 {
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
            let on_sheet = room.x0 + shift.x >= -SAME_CUT && room.y0 + shift.y >= -SAME_CUT;
            if on_sheet && shift.hypot() < best.hypot() - SAME_CUT && clear(shift) {
                best = shift;
            }
        }
    }
    best
}

/// Whether boxes lie over one another: those that were laid side by side do not, whatever a sheet rounds.
fn overlap(a: Rect, b: Rect) -> bool {
    let both = a.intersect(b);
    both.width() > SAME_CUT && both.height() > SAME_CUT
}

/// A whole piece as it lies after a motion that does not mirror it.
pub(super) fn moved(piece: &Piece, motion: &Motion) -> Result<Piece, Refusal> {
    let edges =
        piece.edges().iter().map(|edge| Edge { curve: edge.curve.moved(motion), ..edge.clone() }).collect();
    let mut new = Piece::new(piece.name().clone(), edges)?;
    new.cut = piece.cut;
    new.cloth = piece.cloth.clone();
    new.purpose = piece.purpose;
    new.darts = piece.darts.iter().map(|dart| dart.moved(motion)).collect();
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

/// Tells which girths the step changed, and declares those that it had a reason to change; any other is a finding of the
/// checks from now on.
pub(super) fn tell_girths(work: &mut Work, before: &Pattern, step: &Step) {
    let now = truing::girths(&work.pattern);
    for old in truing::girths(before) {
        let new = now.iter().find(|girth| girth.level == old.level);
        let by = new.map_or(0.0, |girth| girth.around.mm()) - old.around.mm();
        if by.abs() > GIRTH_TOLD {
            if may_change_girth(work, before, step, &old.level) {
                work.entry.girths.push(ChangedGirth { level: old.level.clone(), by });
            }
            work.tell(Told::GirthChanged { level: old.level, by: Length::from_mm(by) });
        }
    }
}

/// Whether a step has a reason to change the girth at a level: it changes what is cut, it declares area added or taken on
/// a piece that carries the level (shaping that is carried keeps every girth), or it is in doubt what the girth was.
fn may_change_girth(work: &Work, before: &Pattern, step: &Step, level: &LevelName) -> bool {
    if matches!(step, Step::SetPiece(_) | Step::SetEdge(_)) {
        return true;
    }
    let carries = |piece: &Piece| piece.levels.iter().any(|other| other.name == *level);
    let reshaped = work.entry.declared.iter().any(|declared| {
        declared.kind != DeclaredKind::ShapingCarried
            && work.pattern.find(&declared.piece).is_some_and(carries)
    });
    let in_doubt = |piece: &Piece| {
        piece.levels.iter().any(|other| other.name == *level && truing::level_doubt(piece, other) > SAME_CUT)
    };
    reshaped || before.pieces().any(in_doubt) || work.pattern.pieces().any(in_doubt)
}

/// Names edges sewn to one that was cut or joined, in another layer: facings and linings that need the same cut.
pub(super) fn tell_same_cut(work: &mut Work, before: &Pattern) {
    let changed: Vec<EdgeRef> = before
        .pieces()
        .flat_map(|piece| piece.edges().iter().map(move |edge| (piece, edge)))
        .filter(|(piece, edge)| {
            let name = EdgeRef::new(piece.name().clone(), edge.name.clone());
            match work.pattern.find_edge(&name) {
                Some(now) => (now.curve.length() - edge.curve.length()).abs() > SAME_CUT,
                None => !follows_rename(work, piece, edge),
            }
        })
        .map(|(piece, edge)| EdgeRef::new(piece.name().clone(), edge.name.clone()))
        .collect();
    for edge in &changed {
        let layers: Vec<_> = before.seams_of(edge).map(|id| before.seam(id)).collect();
        if layers.len() < 2 {
            continue;
        }
        for seam in layers {
            let Some(side) = seam.side_of(edge) else { continue };
            for partner in seam.side(side.other()).edges() {
                let untouched = partner.edge.copy == Copy::Drawn
                    && !changed.contains(&partner.edge)
                    && !is_sewn_as_before(work, before, seam.side(side), &partner.edge);
                if untouched && work.pattern.find_edge(&partner.edge).is_some() {
                    let told = Told::SameCutNeeded { changed: edge.clone(), sewn_to: partner.edge.clone() };
                    if !work.told.contains(&told) {
                        work.tell(told);
                    }
                }
            }
        }
    }
}

/// Whether an edge is still sewn to a run of the same length that lies on no more pieces than before.
fn is_sewn_as_before(work: &Work, before: &Pattern, run: &Run, partner: &EdgeRef) -> bool {
    let length = |pattern: &Pattern, run: &Run| Walk::of(pattern, run).map(|walk| walk.length()).ok();
    let pieces = |run: &Run| {
        let pieces: HashSet<_> = run.edges().iter().map(|run| run.edge.piece.clone()).collect();
        pieces.len()
    };
    let partners = |pattern: &Pattern| -> Vec<Run> {
        let seams = pattern.seams_of(partner).map(|id| pattern.seam(id));
        seams.filter_map(|seam| Some(seam.side(seam.side_of(partner)?.other()).clone())).collect()
    };
    let layers = partners(before).into_iter().zip(partners(&work.pattern));
    layers.filter(|(old, _)| old == run).any(|(old, now)| {
        let lengths = length(before, &old).zip(length(&work.pattern, &now));
        lengths.is_some_and(|(a, b)| (a - b).abs() <= SAME_RUN) && pieces(&now) <= pieces(&old)
    })
}

/// Whether an edge that is gone by name stands whole under another name.
fn follows_rename(work: &Work, piece: &Piece, edge: &Edge) -> bool {
    let original = EdgeRef::new(piece.name().clone(), edge.name.clone());
    work.pattern.pieces().flat_map(Piece::edges).any(|now| {
        now.origins.len() == 1
            && now.origins[0].edge == original
            && (now.curve.length() - edge.curve.length()).abs() <= SAME_CUT
    })
}
