//! Pieces made of others, put on the sheet, and kept told of by every step.

use rayon::iter::{IntoParallelIterator, ParallelIterator};

use crate::curve::{Motion, Rect, Vec2, angle_between_lines};
use crate::derive::{Agreement, MadePiece, agreement, lining_seams};
use crate::parts::assemble::Assembled;
use crate::parts::seams_after::run_after;
use crate::pattern::{
    Declared, DeclaredKind, Derived, EdgeRef, MadeFrom, Pattern, Piece, PieceName, Purpose, Refusal, Run,
    RunEdge, Seam, Travel, Unsewn, settle,
};
use crate::recut::divide::{divide, rename};
use crate::recut::{Notice, Work, room};
use crate::tolerance::{GRAIN_FOLLOWED, LEAST_DIVIDED};
use crate::units::Length;

impl Work {
    /// Puts pieces made of others on the sheet beside what lies there, with their seams; they stand in the record.
    ///
    /// # Errors
    ///
    /// Refuses a name that is taken.
    pub(super) fn put_made(&mut self, made: Vec<MadePiece>) -> Result<(), Refusal> {
        for one in made {
            let shift = self.free_shift(&one.piece);
            self.add_made(one, shift)?;
        }
        Ok(())
    }

    /// What is made when the edges are divided that it is sewn to a part of.
    pub(super) fn made_after_dividing(
        &mut self,
        make: impl Fn(&Pattern) -> Result<Vec<MadePiece>, Refusal>,
    ) -> Result<Vec<MadePiece>, Refusal> {
        let made = make(&self.pattern)?;
        let mut divides: Vec<(EdgeRef, f64)> =
            made.iter().flat_map(|one| one.divides.iter().cloned()).collect();
        if divides.is_empty() {
            return Ok(made);
        }
        // The further ones first: what is left before them keeps the name.
        divides.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
        // Two linings that end at one place need it divided there once.
        divides.dedup_by(|a, b| a.0 == b.0 && (a.1 - b.1).abs() < LEAST_DIVIDED);
        for (edge, at) in divides {
            let mut into = divide(self, &edge, &[at])?;
            // The name stays with the greater part.
            let length =
                |edge: &EdgeRef| self.pattern.find_edge(edge).map_or(0.0, |edge| edge.curve.length());
            if let [first, second] = into.as_slice()
                && length(first) < length(second)
            {
                let names = [second.edge.clone(), first.edge.clone()];
                into = rename(self, &into, &names)?;
            }
            self.tell(Notice::EdgeDivided { edge, into });
        }
        make(&self.pattern)
    }

    pub(super) fn free_shift(&self, piece: &Piece) -> Vec2 {
        let taken: Vec<Rect> = self.pattern.pieces().map(room::room_of).collect();
        room::free_shift(room::room_of(piece), &taken)
    }

    /// Adds a made piece, moved by a shift.
    pub(super) fn add_made(&mut self, made: MadePiece, shift: Vec2) -> Result<(), Refusal> {
        let piece = room::moved(&made.piece, &Motion::shift(shift))?;
        let from = piece.derived.iter().flat_map(|derived| derived.from.pieces()).cloned().collect();
        self.tell(Notice::PieceMade { piece: piece.name().clone(), from });
        for ends in &made.unequal {
            self.tell(Notice::EndsUnsewn { ends: ends.clone() });
        }
        self.entry.made.push(made.recorded());
        self.declare_made(piece.name(), piece.net_area());
        let (name, purpose) = (piece.name().clone(), piece.purpose);
        let source = piece
            .derived
            .as_ref()
            .and_then(|derived| derived.from.pieces().first().map(|&name| name.clone()));
        self.pattern.add_piece(piece)?;
        made.seams.into_iter().try_for_each(|seam| self.pattern.add_seam(seam))?;
        // Several linings of one step could not know of one another when they were made.
        if let (Purpose::Lining, Some(source)) = (purpose, source) {
            let seams = lining_seams(&self.pattern, self.pattern.piece(&name)?, self.pattern.piece(&source)?);
            seams.into_iter().try_for_each(|seam| self.pattern.add_seam(seam))?;
        }
        Ok(())
    }

    /// Declares the area of a piece that was made, for the ledger; it is told by the piece itself.
    pub(super) fn declare_made(&mut self, piece: &PieceName, area: f64) {
        self.entry.declared.push(Declared { piece: piece.clone(), kind: DeclaredKind::Made, area });
    }

    /// Takes a piece off the sheet with the seams that hold it, and gives those. Derived pieces that were sewn to it are
    /// meant to be sewn to nothing until something is sewn to them again.
    pub(super) fn take_off(&mut self, piece: &PieceName) -> Result<Vec<Seam>, Refusal> {
        let holds = |seam: &Seam| seam.edges().any(|run| run.edge.piece == *piece);
        let (taken, left): (Vec<Seam>, Vec<Seam>) = self.pattern.seams().iter().cloned().partition(holds);
        self.pattern.set_seams(left)?;
        self.pattern.replace_piece(piece, Vec::new())?;
        for run in taken.iter().flat_map(Seam::edges).filter(|run| run.edge.piece != *piece) {
            if self.pattern.seams_of(&run.edge).next().is_some() {
                continue;
            }
            let other = self.pattern.piece_mut(&run.edge.piece)?;
            if let (Some(id), true) = (other.find_edge(&run.edge.edge), other.derived.is_some()) {
                *other.edge_settings(id).unsewn = Unsewn::Meant;
            }
        }
        Ok(taken)
    }

    /// Keeps the seams that held the old piece where its edges are there as before and nothing says otherwise.
    pub(super) fn keep_seams(&mut self, old: &Piece, held: Vec<Seam>) -> Result<(), Refusal> {
        for seam in held {
            let is_there = seam.edges().all(|run| self.pattern.find_edge(&run.edge).is_some());
            let is_made =
                |other: &Seam| seam.named_alike(other).is_some() || is_on_same_edge(self, old, &seam, other);
            if self.pattern.seams().iter().any(is_made) {
                continue;
            }
            if is_there {
                self.pattern.add_seam(seam)?;
            } else {
                self.tell(Notice::SeamTakenOff { seam: seam.name() });
            }
        }
        Ok(())
    }

    /// Lets what derived pieces are made from name the pieces and edges where its cloth lies now.
    pub(super) fn sources_after(&mut self, old: &[&Piece], new: &[Assembled]) {
        let after = |derived: &Derived| match &derived.from {
            MadeFrom::Pieces(pieces) => MadeFrom::Pieces(pieces_after(pieces, old, new)),
            MadeFrom::Run(edges) => {
                let edges: Vec<EdgeRef> = edges.iter().map(|edge| settle(&self.pattern, edge)).collect();
                MadeFrom::Run(edges_after(&edges, old, new))
            }
        };
        let sources: Vec<Option<MadeFrom>> =
            self.pattern.pieces().map(|piece| piece.derived.as_ref().map(after)).collect();
        for (piece, from) in self.pattern.pieces_mut().zip(sources) {
            if let (Some(derived), Some(from)) = (&mut piece.derived, from) {
                derived.from = from;
            }
        }
    }
}

/// Whether a piece goes on under another name, drawn as it was.
fn is_renamed(work: &Work, old: &Piece) -> bool {
    let moved = work.entry.moved.iter().filter(|moved| moved.from == *old.name());
    moved.into_iter().any(|moved| work.pattern.find(&moved.to).is_some_and(|now| now.derived == old.derived))
}

/// Where the cloth of pieces lies now. A piece that goes on under its name, as where a seam is moved, goes on with what
/// was newly cut from it; what another piece took of it is that one's.
fn pieces_after(pieces: &[PieceName], old: &[&Piece], new: &[Assembled]) -> Vec<PieceName> {
    let mut after: Vec<PieceName> = Vec::new();
    for name in pieces {
        let was = |other: &PieceName| old.iter().any(|piece| piece.name() == other);
        if !was(name) {
            after.push(name.clone());
            continue;
        }
        let holding = new.iter().filter(|made| made.carried.iter().any(|carried| carried.from == *name));
        let names: Vec<&PieceName> = holding.map(|made| made.piece.name()).collect();
        let own: Vec<&PieceName> = names.iter().copied().filter(|now| *now == name || !was(now)).collect();
        after.extend(if own.is_empty() { names } else { own }.into_iter().cloned());
    }
    without_doubles(after)
}

fn edges_after(edges: &[EdgeRef], old: &[&Piece], new: &[Assembled]) -> Vec<EdgeRef> {
    let run = edges.iter().map(|edge| RunEdge { edge: edge.clone(), travel: Travel::Clockwise }).collect();
    let after = Run::new(run).and_then(|run| run_after(&run, old, new));
    after.map_or_else(Vec::new, |run| {
        without_doubles(run.edges().iter().map(|run| run.edge.clone()).collect())
    })
}

fn without_doubles<T: PartialEq>(list: Vec<T>) -> Vec<T> {
    let mut once: Vec<T> = Vec::new();
    for one in list {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    once
}

/// What a step does to derived pieces that it did not make: one whose own lines or grain it drew anew stands by itself from then on,
/// and those whose source it changed must follow.
pub(super) fn tell_derived(work: &mut Work, before: &Pattern) {
    let made: Vec<PieceName> = work.entry.made.iter().map(|made| made.piece.clone()).collect();
    let was_derived = |piece: &&Piece| piece.derived.is_some();
    for old in before.pieces().filter(was_derived) {
        let Some(now) = work.pattern.find(old.name()) else {
            if work.entry.moved.iter().any(|moved| moved.from == *old.name()) && !is_renamed(work, old) {
                work.tell(Notice::FollowsNoMore { piece: old.name().clone() });
            }
            continue;
        };
        // All that it was made from is gone, as a seam that was merged away.
        if now.derived.as_ref().is_some_and(|derived| derived.from.pieces().is_empty()) {
            stand_alone(work, old.name());
            work.tell(Notice::SourceGone { piece: old.name().clone() });
            continue;
        }
        let same_lines = old.edges().len() == now.edges().len()
            && old.edges().iter().zip(now.edges()).all(|(a, b)| a.curve == b.curve);
        let turned = angle_between_lines(old.grain_or_down(), now.grain_or_down());
        let same_grain = turned.degrees() <= GRAIN_FOLLOWED;
        if made.contains(old.name()) || (same_lines && same_grain && now.derived.is_some()) {
            continue;
        }
        // An edge of its own that is divided makes it no other piece.
        let (is, was) = (agreement(&work.pattern, now), agreement(before, old));
        if now.derived.is_some() && same_grain && is.zip(was).is_some_and(|(is, was)| is.is_like(&was)) {
            continue;
        }
        stand_alone(work, old.name());
        work.tell(Notice::FollowsNoMore { piece: old.name().clone() });
    }
    let names: Vec<PieceName> =
        work.pattern.pieces().filter(was_derived).map(|piece| piece.name().clone()).collect();
    let of =
        |pattern: &Pattern, name: &PieceName| pattern.find(name).and_then(|piece| agreement(pattern, piece));
    let agreed_before = |name: PieceName| {
        let now = of(&work.pattern, &name).filter(|now| *now != Agreement::Agrees)?;
        (of(before, &name) == Some(Agreement::Agrees)).then_some((name, now))
    };
    let names = names.into_par_iter().filter(|name| !made.contains(name));
    let astray: Vec<(PieceName, Agreement)> = names.filter_map(agreed_before).collect();
    for (piece, now) in astray {
        let off = if let Agreement::Off(mm) = now { Some(Length::from_mm(mm)) } else { None };
        work.tell(Notice::MustFollow { piece, off });
    }
}

/// Lets a derived piece follow no other from now on.
fn stand_alone(work: &mut Work, name: &PieceName) {
    if let Ok(piece) = work.pattern.piece_mut(name) {
        piece.derived = None;
    }
}

/// Whether another seam, made anew, sews an edge of the old piece to a piece that this one sewed it to.
fn is_on_same_edge(work: &Work, old: &Piece, seam: &Seam, other: &Seam) -> bool {
    let made = |name: &PieceName| work.entry.made.iter().any(|made| made.piece == *name);
    let of_old = |seam: &Seam| -> Vec<_> {
        seam.edges().filter(|run| run.edge.piece == *old.name()).map(|run| run.edge.clone()).collect()
    };
    let beside = |seam: &Seam| -> Vec<PieceName> {
        let others = seam.edges().map(|run| run.edge.piece.clone());
        others.filter(|name| name != old.name()).collect()
    };
    made(old.name())
        && of_old(seam).iter().any(|edge| of_old(other).iter().any(|now| now.same_edge(edge)))
        && beside(seam).iter().any(|name| beside(other).contains(name))
}
