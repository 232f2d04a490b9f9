//! What is told after every step alike: girths, edges that need the same cut, darts that were made; and its record.

use std::collections::HashSet;

use crate::pattern::{
    ChangedGirth, Copy, Dart, DeclaredKind, Edge, EdgeRef, LevelName, Pattern, Piece, PieceName, Refusal,
    Run, Walk,
};
use crate::recut::derived::tell_derived;
use crate::recut::facings_anew::facings_anew;
use crate::recut::{Notice, Recut, Step, Work};
use crate::tolerance::{GIRTH_TOLD, SAME_CUT, SAME_RUN};
use crate::truing;
use crate::units::Length;

impl Work {
    /// Ends the step: checks what must hold, tells what changed, and writes the record.
    pub(super) fn finish(mut self, before: &Pattern, step: &Step) -> Result<Recut, Refusal> {
        tell_girths(&mut self, before, step);
        tell_same_cut(&mut self, before);
        tell_crossed_openings(&mut self, before);
        tell_derived(&mut self, before);
        self.entry.step = step.to_value();
        self.pattern.record.steps.push(self.entry);
        if cfg!(debug_assertions) {
            self.pattern.assert_sound();
        }
        Ok(Recut { pattern: self.pattern, notices: self.notices })
    }
}

/// Tells which girths the step changed, and declares those that it had a reason to change; any other is a finding of the
/// checks from now on.
fn tell_girths(work: &mut Work, before: &Pattern, step: &Step) {
    let now = truing::girths(&work.pattern);
    for old in truing::girths(before) {
        let new = now.iter().find(|girth| girth.level == old.level);
        let by = new.map_or(0.0, |girth| girth.around.mm()) - old.around.mm();
        if by.abs() > GIRTH_TOLD {
            if may_change_girth(work, before, step, &old.level) {
                work.entry.girths.push(ChangedGirth { level: old.level.clone(), by });
            }
            work.tell(Notice::GirthChanged { level: old.level, by: Length::from_mm(by) });
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
        !matches!(declared.kind, DeclaredKind::ShapingCarried | DeclaredKind::Made)
            && work.pattern.find(&declared.piece).is_some_and(carries)
    });
    let in_doubt = |piece: &Piece| {
        piece.levels.iter().any(|other| other.name == *level && truing::level_doubt(piece, other) > SAME_CUT)
    };
    reshaped || before.pieces().any(in_doubt) || work.pattern.pieces().any(in_doubt)
}

/// Names edges sewn to one that was cut or joined, in another layer: facings and linings that need the same cut.
fn tell_same_cut(work: &mut Work, before: &Pattern) {
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
        // What has no other layer is no facing, unless it says so.
        let is_layer = |work: &Work, partner: &EdgeRef| {
            layers.len() > 1 || work.pattern.find(&partner.piece).is_some_and(Piece::is_facing)
        };
        for seam in &layers {
            let Some(side) = seam.side_of(edge) else { continue };
            for partner in seam.side(side.other()).edges() {
                let untouched = partner.edge.copy == Copy::Drawn
                    && !changed.contains(&partner.edge)
                    && !is_sewn_as_before(work, before, seam.side(side), &partner.edge);
                let is_derived =
                    || work.pattern.find(&partner.edge.piece).is_some_and(|piece| piece.derived.is_some());
                let is_there =
                    is_layer(work, &partner.edge) && work.pattern.find_edge(&partner.edge).is_some();
                if untouched && is_there && !is_derived() {
                    let sewn_to = partner.edge.clone();
                    let anew = facings_anew(&work.pattern, &sewn_to.piece);
                    let notice = Notice::SameCutNeeded { changed: edge.clone(), sewn_to, anew };
                    if !work.notices.contains(&notice) {
                        work.tell(notice);
                    }
                }
            }
        }
    }
}

/// Tells of seams that run into what is left open, and did not before.
fn tell_crossed_openings(work: &mut Work, before: &Pattern) {
    let crossed = |pattern: &Pattern| -> Vec<[EdgeRef; 2]> {
        let parted = pattern.seams().iter().flat_map(|seam| truing::seams_into_opening(pattern, seam));
        let drawn = |edge: EdgeRef| EdgeRef { copy: Copy::Drawn, ..edge };
        let mut crossed: Vec<_> = parted.map(|pair| pair.map(drawn)).collect();
        crossed.iter_mut().for_each(|pair| pair.sort());
        crossed.sort();
        crossed.dedup();
        crossed
    };
    let known = crossed(before);
    for between in crossed(&work.pattern).into_iter().filter(|pair| !known.contains(pair)) {
        let purpose = work.pattern.find_edge(&between[0]).and_then(|edge| edge.open);
        let opposite = work.pattern.seams_of(&between[0]).find_map(|id| {
            let seam = work.pattern.seam(id);
            Some(seam.side(seam.side_of(&between[0])?.other()).edges().first()?.edge.clone())
        });
        if let Some((purpose, opposite)) = purpose.zip(opposite) {
            work.tell(Notice::OpeningCrossed { between, opposite, purpose });
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

/// Tells of darts that a step made on a piece.
pub(super) fn tell_darts_made(work: &mut Work, piece: &PieceName, darts: &[Dart]) {
    for dart in darts {
        let width = Length::from_mm(dart.width());
        work.tell(Notice::DartMade { piece: piece.clone(), dart: dart.name.clone(), width });
    }
}
