//! A pattern under change, and what comes of it.

use crate::advice;
use crate::allowance::{AsCut, CuttingLine, as_cut, cutting_line};
use crate::curve::{Motion, Outline};
use crate::parts::assemble::{Assembled, Carried, EdgeLook, Mapped};
use crate::parts::seams_after::seams_after;
use crate::pattern::{
    Copy, Cut, Declared, DeclaredKind, DrawnAnew, EdgeName, EdgeRef, Field, Finish, Moved, NewSeam, Notch,
    NotchCount, NotchName, Operation, Origin, Pattern, Piece, PieceName, RecordedStep, Refusal, RefusalKind,
    Run, RunEdge, Seam, Travel, Twins,
};
use crate::recut::{Notice, room};
use crate::tolerance::{AREA_RECORDED, AREA_TOLD};
use crate::truing;
use crate::units::Length;

/// What a step made: the new pattern, and what the user should know.
#[derive(Clone, Debug)]
pub struct Recut {
    /// The new pattern; the step stands in its record.
    pub pattern: Pattern,
    /// What the step tells.
    pub notices: Vec<Notice>,
}

/// A pattern under change by one step.
#[derive(Clone, Debug)]
pub struct Work {
    /// The pattern as it is now.
    pub(super) pattern: Pattern,
    /// What will stand in the record.
    pub(super) entry: RecordedStep,
    /// What will be told.
    pub(super) notices: Vec<Notice>,
    /// Which edge each edge that the step made so far was made of.
    came_from: Vec<(EdgeRef, EdgeRef)>,
}

impl Work {
    /// Begins a step. The ledger is opened at the first one.
    pub(super) fn begin(pattern: &Pattern) -> Work {
        let mut pattern = pattern.clone();
        if pattern.record.ledger.is_none() {
            pattern.record.ledger = Some(truing::ledger(&pattern));
            for piece in pattern.pieces_mut() {
                note_origins(piece);
            }
        }
        let entry = RecordedStep { redrawn: Some(DrawnAnew::default()), ..RecordedStep::default() };
        Work { pattern, entry, notices: Vec::new(), came_from: Vec::new() }
    }

    pub(super) fn tell(&mut self, notice: Notice) {
        self.notices.push(notice);
    }

    /// Takes back what was told since so many notices, where it is of a sort.
    pub(super) fn untell(&mut self, since: usize, is_of_sort: impl Fn(&Notice) -> bool) {
        let later = self.notices.split_off(since);
        self.notices.extend(later.into_iter().filter(|notice| !is_of_sort(notice)));
    }

    /// Declares an area that the step added to a piece or took from it. What is too small to be seen stands in the
    /// record, so that the ledger adds up, and is not told.
    pub(super) fn declare(&mut self, piece: &PieceName, kind: DeclaredKind, area: f64) {
        self.declare_each(piece, kind, &[area]);
    }

    /// As [`Work::declare`], where several causes of one kind add and take area on a piece: each stands in the record by
    /// itself, and their sum is told.
    pub(super) fn declare_each(&mut self, piece: &PieceName, kind: DeclaredKind, areas: &[f64]) {
        let recorded = areas.iter().filter(|area| area.abs() > AREA_RECORDED);
        self.entry.declared.extend(recorded.map(|area| Declared { piece: piece.clone(), kind, area: *area }));
        let by: f64 = areas.iter().sum();
        if by.abs() > AREA_TOLD {
            self.tell(Notice::AreaChanged { piece: piece.clone(), why: kind, by });
        }
    }

    /// Declares that the step drew a line of a piece anew, where it has not declared an area of that kind on it: what it
    /// added and took may be equal.
    pub(super) fn declare_drawn(&mut self, piece: &PieceName, kind: DeclaredKind) {
        let declares = |one: &Declared| one.piece == *piece && one.kind == kind;
        if !self.entry.declared.iter().any(declares) {
            self.entry.declared.push(Declared { piece: piece.clone(), kind, area: 0.0 });
        }
    }

    /// Records which edges the step drew anew: all others are held to lie as they lay. Of an edge that was put together in
    /// the same step all that it was made of was drawn anew with it.
    pub(super) fn drawn_anew(&mut self, mut edges: DrawnAnew) {
        let mut at = 0;
        while let Some(edge) = edges.before.get(at) {
            let of = self.came_from.iter().filter(|(new, _)| new == edge).map(|(_, old)| old.clone());
            let more: Vec<EdgeRef> = of.filter(|old| !edges.before.contains(old)).collect();
            edges.before.extend(more);
            at += 1;
        }
        self.entry.redrawn.get_or_insert_default().add(edges);
    }

    /// A piece as it is now, to be read while the pattern changes.
    pub(super) fn piece(&self, name: &PieceName) -> Result<Piece, Refusal> {
        self.pattern.piece(name).cloned()
    }

    /// A piece as it will be cut when the step is done. The seams that the step has made so far count as made: which seam
    /// is sewn first at a corner, and so the corner's shape, depends on it.
    ///
    /// # Errors
    ///
    /// Refuses an unknown piece and what [`as_cut`] refuses.
    pub(super) fn as_cut(&self, name: &PieceName) -> Result<AsCut, Refusal> {
        let done = self.done();
        Ok(as_cut(&done, done.piece(name)?)?)
    }

    /// The cutting line of a piece as it will be when the step is done.
    ///
    /// # Errors
    ///
    /// Refuses an unknown piece and what [`cutting_line`] refuses.
    pub(super) fn cutting_line(&self, name: &PieceName) -> Result<CuttingLine, Refusal> {
        let done = self.done();
        Ok(cutting_line(&done, done.piece(name)?)?)
    }

    /// The pattern as if the step ended here.
    pub(super) fn done(&self) -> Pattern {
        let mut done = self.pattern.clone();
        done.record.steps.push(self.entry.clone());
        done
    }

    /// Puts assembled pieces where old ones stood. Seams follow the cloth; the new pieces are laid apart on the
    /// sheet; what moved stands in the record.
    pub(super) fn replace(&mut self, old: &[&Piece], mut new: Vec<Assembled>) -> Result<(), Refusal> {
        self.lay_apart(old, &mut new)?;
        self.tell_lost_notches(old, &new);
        let earlier = self.take_earlier(old);
        for made in &new {
            if !old.iter().any(|piece| piece.name() == made.piece.name()) {
                self.tell(Notice::PieceMade {
                    piece: made.piece.name().clone(),
                    from: old.iter().map(|piece| piece.name().clone()).collect(),
                });
            }
            let drawn = |edge: &EdgeRef| EdgeRef { copy: Copy::Drawn, ..edge.clone() };
            self.came_from.extend(made.map.iter().map(|mapped| (drawn(&mapped.new), drawn(&mapped.old))));
            self.drawn_anew(made.drawn_anew.clone());
            for carried in &made.carried {
                let moved = recorded(carried, made.piece.name(), &earlier)?;
                self.entry.moved.push(moved);
            }
        }
        let seams = seams_after(self.pattern.seams(), old, &new);
        self.sources_after(old, &new);
        self.pattern.set_seams(Vec::new())?;
        let pieces: Vec<Piece> = new.into_iter().map(|made| made.piece).collect();
        let first_names: Vec<PieceName> = old.iter().map(|piece| piece.name().clone()).collect();
        let Some((first, others)) = first_names.split_first() else { return Ok(()) };
        for other in others {
            self.pattern.replace_piece(other, Vec::new())?;
        }
        let made: Vec<PieceName> = pieces.iter().map(|piece| piece.name().clone()).collect();
        self.pattern.replace_piece(first, pieces)?;
        let seams = self.settled(seams, &made);
        self.pattern.set_seams(seams)
    }

    /// Takes out of the record how pieces were made that the same step now cuts on: it says only how the pieces came about
    /// of those before the step. A piece joined of several parts stays.
    fn take_earlier(&mut self, old: &[&Piece]) -> Vec<Moved> {
        let made_of = |name: &PieceName| self.entry.moved.iter().filter(|moved| moved.to == *name).count();
        let cut_on: Vec<PieceName> =
            old.iter().map(|piece| piece.name().clone()).filter(|name| made_of(name) == 1).collect();
        self.entry.moved.extract_if(.., |moved| cut_on.contains(&moved.to)).collect()
    }

    /// Seams whose mirrored copies of opened pieces are named as the edges that are drawn there, each seam once. Only
    /// seams of pieces that were made anew can have become the same.
    fn settled(&self, seams: Vec<Seam>, made: &[PieceName]) -> Vec<Seam> {
        let run = |run: &Run| {
            let edges = run.edges().iter().map(|run| RunEdge { edge: self.drawn(&run.edge), ..run.clone() });
            Run::new(edges.collect())
        };
        let mut settled: Vec<Seam> = Vec::new();
        for seam in seams {
            let Some((first, second)) = run(&seam.first).zip(run(&seam.second)) else { continue };
            let seam = Seam { first, second, ease: seam.ease };
            let is_of_made = seam.edges().any(|run| made.contains(&run.edge.piece));
            if !is_of_made || !settled.iter().any(|other| other.is_same(&seam)) {
                settled.push(seam);
            }
        }
        settled
    }

    /// The edge of an opened piece that an edge on a mirrored copy is; else the edge as it is.
    fn drawn(&self, edge: &EdgeRef) -> EdgeRef {
        let other_half = edge.edge.mirror_of().unwrap_or_else(|| edge.edge.on_mirrored_half());
        let opened = EdgeRef::new(edge.piece.clone(), other_half);
        match edge.copy {
            Copy::Mirrored if self.pattern.find_edge(&opened).is_some() => opened,
            Copy::Mirrored | Copy::Drawn => edge.clone(),
        }
    }

    fn tell_lost_notches(&mut self, old: &[&Piece], new: &[Assembled]) {
        for piece in old {
            for notch in &piece.notches {
                let of_edge = |m: &&Mapped| m.old.piece == *piece.name() && m.old.edge == notch.edge;
                let maps = || new.iter().flat_map(|made| &made.map).filter(of_edge);
                if maps().next().is_some() && !maps().any(|mapped| mapped.holds(notch.at)) {
                    let edge = EdgeRef::new(piece.name().clone(), notch.edge.clone());
                    self.tell(Notice::NotchLost { edge, notch: notch.name.clone() });
                }
            }
        }
    }

    /// Shifts new pieces so that none lies over another piece of the sheet.
    fn lay_apart(&self, old: &[&Piece], new: &mut [Assembled]) -> Result<(), Refusal> {
        let is_old = |piece: &&Piece| old.iter().any(|other| other.name() == piece.name());
        let mut taken: Vec<_> =
            self.pattern.pieces().filter(|piece| !is_old(piece)).map(room::room_of).collect();
        for made in new {
            let shift = room::free_shift(room::room_of(&made.piece), &taken);
            if shift != kurbo::Vec2::ZERO {
                *made = shifted(made, &Motion::shift(shift))?;
            }
            taken.push(room::room_of(&made.piece));
        }
        Ok(())
    }

    /// Joins two new edges by a seam: the first walked clockwise, the second against it. Notches are set on both at
    /// equal walk distances.
    pub(super) fn add_new_seam(&mut self, first: &EdgeRef, second: &EdgeRef) -> Result<(), Refusal> {
        self.add_new_seam_walked(first, Travel::Clockwise, second, Travel::Anticlockwise)
    }

    /// Joins two new edges by a seam, each walked as told.
    pub(super) fn add_new_seam_walked(
        &mut self,
        first: &EdgeRef,
        first_travel: Travel,
        second: &EdgeRef,
        second_travel: Travel,
    ) -> Result<(), Refusal> {
        let lengths =
            [first, second].map(|edge| self.pattern.edge(edge).map(|(piece, id)| piece.sewn_length(id)));
        let [first_length, second_length] = lengths;
        let (first_length, second_length) = (first_length?, second_length?);
        let side = |edge: &EdgeRef, travel| Run::new(vec![RunEdge { edge: edge.clone(), travel }]);
        let runs = side(first, first_travel).zip(side(second, second_travel));
        let Some((first_run, second_run)) = runs else { return Ok(()) };
        self.pattern.add_seam(Seam { first: first_run, second: second_run, ease: Length::ZERO })?;
        self.entry.new_seams.push(NewSeam { first: first.clone(), second: second.clone() });
        self.tell(Notice::SeamMade {
            first: first.clone(),
            second: second.clone(),
            first_length: Length::from_mm(first_length),
            second_length: Length::from_mm(second_length),
        });
        Ok(())
    }

    /// Declares the ease of the seam that was added last: by how much its first side is longer.
    pub(super) fn ease_last_seam(&mut self, ease: Length) -> Result<(), Refusal> {
        let Some(id) = self.pattern.seam_ids().last() else { return Ok(()) };
        let seam = Seam { ease, ..self.pattern.seam(id).clone() };
        self.pattern.replace_seam(id, seam)
    }

    /// Joins an edge to its own mirrored copy by a new seam, with notches.
    pub(super) fn add_centre_seam(&mut self, edge: &EdgeRef) -> Result<(), Refusal> {
        let (piece, id) = self.pattern.edge(edge)?;
        let (sewn, length) = (Length::from_mm(piece.sewn_length(id)), piece.edge(id).curve.length());
        let bare = !piece.notches.iter().any(|notch| notch.edge == edge.edge);
        let run = Run::new(vec![RunEdge { edge: edge.clone(), travel: Travel::Clockwise }]);
        let Some(first) = run else { return Ok(()) };
        let second = first.mirrored();
        self.pattern.add_seam(Seam { first, second, ease: Length::ZERO })?;
        self.entry.new_seams.push(NewSeam { first: edge.clone(), second: edge.mirrored() });
        self.tell(Notice::SeamMade {
            first: edge.clone(),
            second: edge.mirrored(),
            first_length: sewn,
            second_length: sewn,
        });
        if bare {
            for (at, count) in even_notches(length) {
                self.set_notch(edge, at, count)?;
            }
        }
        Ok(())
    }

    /// Sets a pair of matching notches on a new seam, at walk distances from its start: clockwise on the first edge,
    /// against the outline on the second.
    pub(super) fn notch_pair(
        &mut self,
        (first, first_at): (&EdgeRef, f64),
        (second, second_at): (&EdgeRef, f64),
        count: NotchCount,
    ) -> Result<(), Refusal> {
        self.notch_seam((first, first_at), (second, second_at), Travel::Anticlockwise, count)
    }

    /// Sets a pair of matching notches on the two edges of a seam, at walk distances from its start: the first edge is
    /// walked clockwise, the second as told.
    pub(super) fn notch_seam(
        &mut self,
        (first, first_at): (&EdgeRef, f64),
        (second, second_at): (&EdgeRef, f64),
        travel: Travel,
        count: NotchCount,
    ) -> Result<(), Refusal> {
        let (piece, id) = self.pattern.edge(second)?;
        let at = match travel {
            Travel::Clockwise => second_at,
            Travel::Anticlockwise => piece.edge(id).curve.length() - second_at,
        };
        self.set_notch(first, first_at, count)?;
        self.set_notch(second, at, count)
    }

    fn set_notch(&mut self, edge: &EdgeRef, at: f64, count: NotchCount) -> Result<(), Refusal> {
        let piece = self.pattern.piece_mut(&edge.piece)?;
        let name = NotchName::plain("seam-notch");
        let name = name.free(|name| piece.notches.iter().any(|notch| notch.name == *name));
        piece.notches.push(Notch::new(name, edge.edge.clone(), at, count));
        Ok(())
    }

    /// Sets matching notches on a plain new seam of two equal lengths, so that neither its ends nor its sides can be
    /// confused: a single one at a third, on a long seam a double one at two thirds.
    pub(super) fn notch_evenly(&mut self, first: &EdgeRef, second: &EdgeRef) -> Result<(), Refusal> {
        let (piece, id) = self.pattern.edge(first)?;
        for (at, count) in even_notches(piece.edge(id).curve.length()) {
            self.notch_pair((first, at), (second, at), count)?;
        }
        Ok(())
    }
}

/// How a part came to its new piece, for the record. Where its piece was itself made in this step of one part, it is
/// recorded as a part of what that came from.
fn recorded(carried: &Carried, to: &PieceName, earlier: &[Moved]) -> Result<Moved, Refusal> {
    let part = |region: &Outline| region.to_path().to_svg();
    let now = Moved {
        from: carried.from.clone(),
        copy: carried.copy,
        to: to.clone(),
        part: carried.region.as_ref().map(part),
        motion: carried.motion.to_array(),
        off_grain: carried.off_grain,
    };
    let Some(before) = earlier.iter().find(|moved| moved.to == carried.from) else { return Ok(now) };
    let first = Motion::from_array(before.motion)?;
    let region = carried.region.as_ref().map(|region| {
        let curves = region.curves().iter().map(|curve| curve.moved(&first.inverse()));
        Outline::new(curves).map(|region| part(&region))
    });
    Ok(Moved {
        from: before.from.clone(),
        copy: if carried.copy == Copy::Drawn { before.copy } else { before.copy.other() },
        part: region.transpose()?.or_else(|| before.part.clone()),
        motion: first.then(&carried.motion).to_array(),
        off_grain: before.off_grain + carried.off_grain,
        ..now
    })
}

/// Where notches stand on a plain seam.
fn even_notches(length: f64) -> Vec<(f64, NotchCount)> {
    const LONG: f64 = 240.0;
    let mut notches = vec![(length / 3.0, NotchCount::Single)];
    if length >= LONG {
        notches.push((length * 2.0 / 3.0, NotchCount::Double));
    }
    notches
}

/// Writes down that every edge of a piece is, so far, the original edge of that name.
fn note_origins(piece: &mut Piece) {
    for id in piece.edge_ids() {
        let edge = piece.edge_ref(id);
        let to = piece.sewn_length(id);
        *piece.edge_settings(id).origins = vec![Origin { edge, from: 0.0, to }];
    }
}

fn shifted(made: &Assembled, motion: &Motion) -> Result<Assembled, Refusal> {
    let piece = room::moved(&made.piece, motion)?;
    let mut made = Assembled { piece, ..made.clone() };
    for carried in &mut made.carried {
        carried.motion = carried.motion.then(motion);
    }
    Ok(made)
}

/// How many copies are cut of a part of a piece: a part of a half piece that is not on the fold is cut twice, left
/// and right.
///
/// # Errors
///
/// Refuses more copies than a sheet may ask for.
pub(super) fn cut_of_part(piece: &Piece, part_has_fold: OnFold) -> Result<Cut, Refusal> {
    match (piece.fold(), part_has_fold) {
        (Some(_), OnFold::No) => cut_opened(piece),
        _ => Ok(piece.cut),
    }
}

/// Whether a part of a half piece lies on its fold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OnFold {
    Yes,
    No,
}

impl OnFold {
    /// Whether a way round a piece passes its fold.
    pub(super) fn of_way(piece: &Piece, way: &[(crate::pattern::EdgeId, f64, f64)]) -> OnFold {
        match way.iter().any(|(edge, ..)| piece.edge(*edge).finish == Finish::Fold) {
            true => OnFold::Yes,
            false => OnFold::No,
        }
    }

    /// Whether a part whose sides look so lies on the fold.
    pub(super) fn beside(sides: &[&EdgeLook]) -> OnFold {
        match sides.iter().any(|look| look.finish == Finish::Fold) {
            true => OnFold::Yes,
            false => OnFold::No,
        }
    }
}

/// How many copies are cut of a half piece once it is no longer laid on its fold: a left and a right for each.
///
/// # Errors
///
/// Refuses more copies than a sheet may ask for.
pub(super) fn cut_opened(piece: &Piece) -> Result<Cut, Refusal> {
    let copies = piece.cut.copies * 2;
    if copies > Cut::MOST {
        return Err(Refusal::new(
            RefusalKind::BadField,
            piece.name(),
            format!("{copies} copies would be cut, more than the {} that a sheet may ask for", Cut::MOST),
            advice!("open it out whole: ", Operation::Unfold.with(Field::Piece, piece.name())),
        ));
    }
    Ok(Cut { copies, twins: Twins::Mirrored })
}

/// A plain name for a new edge of both parts of a piece, that neither has.
pub(super) fn new_edge_name(word: &'static str, pieces: &[&Piece]) -> EdgeName {
    EdgeName::plain(word)
        .free(|name| pieces.iter().any(|piece| piece.edges().iter().any(|edge| edge.name == *name)))
}
