//! A pattern: all pieces of one garment, the seams that join them, and the record of what was done.

use crate::pattern::words::{CENTRE, says};
use std::hash::Hash;

use indexmap::IndexMap;
use rustc_hash::FxBuildHasher;

use crate::advice;
use crate::pattern::reckoned::Reckoned;
use crate::pattern::{
    About, Background, Edge, EdgeId, EdgeRef, Field, Finish, Operation, Piece, PieceName, Record, Refusal,
    RefusalKind, Seam, SeamId, Side, Unsewn,
};

/// All pieces of one garment, the seams that join them, and the record of what was done to them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pattern {
    pieces: IndexMap<PieceName, Piece, FxBuildHasher>,
    seams: Vec<Seam>,
    /// Its title, size and body measures.
    pub about: About,
    /// What was done so far, and the ledger.
    pub record: Record,
    /// What stands on the sheet outside the pieces.
    pub background: Background,
    reckoned: Reckoned,
}

/// Everything that a pattern holds, to be taken apart without `..`, as [`PieceFields`](crate::pattern::PieceFields).
#[derive(Clone, Copy, Debug)]
pub struct PatternFields<'a> {
    /// The pieces, by their names.
    pub pieces: &'a IndexMap<PieceName, Piece, FxBuildHasher>,
    /// The seams.
    pub seams: &'a [Seam],
    /// Its title, size and body measures.
    pub about: &'a About,
    /// What was done so far, and the ledger.
    pub record: &'a Record,
    /// What stands on the sheet outside the pieces.
    pub background: &'a Background,
}

impl Pattern {
    /// Everything it holds.
    #[must_use]
    pub fn fields(&self) -> PatternFields<'_> {
        // What was reckoned from all that is nothing besides.
        let Pattern { pieces, seams, about, record, background, reckoned: _ } = self;
        PatternFields { pieces, seams, about, record, background }
    }

    /// A pattern of pieces and the seams between them.
    ///
    /// # Errors
    ///
    /// Refuses two pieces of one name, and a seam that names an edge which does not exist.
    pub fn new(pieces: Vec<Piece>, seams: Vec<Seam>) -> Result<Pattern, Refusal> {
        let mut pattern = Pattern::default();
        for piece in pieces {
            pattern.add_piece(piece)?;
        }
        for seam in seams {
            pattern.add_seam(seam)?;
        }
        Ok(pattern)
    }

    /// The answer to a question about its pieces and seams, reckoned where nobody has asked since they changed. What an answer
    /// takes from the record is part of the question: that may change without them.
    pub(crate) fn reckoned<K, V>(&self, question: K, reckon: impl FnOnce() -> V) -> V
    where
        K: Eq + Hash + Send + 'static,
        V: Clone + Send + Sync + 'static,
    {
        self.reckoned.as_it_stands(question, reckon)
    }

    /// The answer to a question that holds all lines and measures that it is reckoned from, to the last bit; reckoned where nobody
    /// has asked of this pattern or of one that it was made from.
    pub(crate) fn reckoned_of_lines<K, V>(&self, question: K, reckon: impl FnOnce() -> V) -> V
    where
        K: Eq + Hash + Send + 'static,
        V: Clone + Send + Sync + 'static,
    {
        self.reckoned.of_lines(question, reckon)
    }

    /// The pieces, in the order in which they stand on the sheet.
    pub fn pieces(&self) -> impl ExactSizeIterator<Item = &Piece> {
        self.pieces.values()
    }

    /// The pieces, to be changed in place.
    pub fn pieces_mut(&mut self) -> impl ExactSizeIterator<Item = &mut Piece> {
        self.reckoned.forget();
        self.pieces.values_mut()
    }

    /// The piece of a name, if there is one.
    #[must_use]
    pub fn find(&self, name: &PieceName) -> Option<&Piece> {
        self.pieces.get(name)
    }

    /// The piece of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn piece(&self, name: &PieceName) -> Result<&Piece, Refusal> {
        self.pieces.get(name).ok_or_else(|| {
            Refusal::unknown("piece", name.as_str(), "pattern", self.pieces.keys().map(PieceName::as_str))
        })
    }

    /// The piece of a name, to be changed in place.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn piece_mut(&mut self, name: &PieceName) -> Result<&mut Piece, Refusal> {
        if !self.pieces.contains_key(name) {
            self.piece(name)?;
        }
        self.reckoned.forget();
        self.pieces.get_mut(name).ok_or_else(|| Refusal::unknown("piece", name.as_str(), "pattern", []))
    }

    /// The piece in whose seams a piece is sewn: of a copy that is sewn as one cloth with its piece that piece, as long as
    /// both have the same edges; else the piece itself.
    #[must_use]
    pub fn sewn_as<'a>(&'a self, piece: &'a Piece) -> &'a Piece {
        let same_edges = |other: &&Piece| {
            let names =
                |piece: &Piece| piece.edges().iter().map(|edge| edge.name.clone()).collect::<Vec<_>>();
            names(other) == names(piece)
        };
        let [name] = piece.one_cloth_with() else { return piece };
        self.find(name).filter(same_edges).unwrap_or(piece)
    }

    /// The piece and edge of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists.
    pub fn edge(&self, edge: &EdgeRef) -> Result<(&Piece, EdgeId), Refusal> {
        let piece = self.piece(&edge.piece)?;
        Ok((piece, piece.edge_named(&edge.edge)?))
    }

    /// The edge of a name, if there is one.
    #[must_use]
    pub fn find_edge(&self, edge: &EdgeRef) -> Option<&Edge> {
        self.find_on_piece(edge).map(|(piece, id)| piece.edge(id))
    }

    /// The piece and edge of a name, if there are such.
    #[must_use]
    pub fn find_on_piece(&self, edge: &EdgeRef) -> Option<(&Piece, EdgeId)> {
        let piece = self.find(&edge.piece)?;
        Some((piece, piece.find_edge(&edge.edge)?))
    }

    /// Adds a piece after the others.
    ///
    /// # Errors
    ///
    /// Refuses a name that is taken.
    pub fn add_piece(&mut self, piece: Piece) -> Result<(), Refusal> {
        self.refuse_taken(piece.name())?;
        self.reckoned.forget();
        self.pieces.insert(piece.name().clone(), piece);
        Ok(())
    }

    /// Puts pieces where another stood, in order.
    ///
    /// # Errors
    ///
    /// Refuses an unknown piece, and a name that another piece has.
    pub fn replace_piece(&mut self, name: &PieceName, with: Vec<Piece>) -> Result<(), Refusal> {
        self.piece(name)?;
        for (i, piece) in with.iter().enumerate() {
            let twice = with[..i].iter().any(|other| other.name() == piece.name());
            if piece.name() != name || twice {
                self.refuse_taken(piece.name())?;
            }
            if twice {
                return Err(name_taken(piece.name()));
            }
        }
        let Some(at) = self.pieces.get_index_of(name) else { return Ok(()) };
        self.reckoned.forget();
        self.pieces.shift_remove(name);
        for (i, piece) in with.into_iter().enumerate() {
            self.pieces.shift_insert(at + i, piece.name().clone(), piece);
        }
        Ok(())
    }

    fn refuse_taken(&self, name: &PieceName) -> Result<(), Refusal> {
        if self.pieces.contains_key(name) { Err(name_taken(name)) } else { Ok(()) }
    }

    /// A piece name that is free: the one asked for, or it with a number behind it.
    #[must_use]
    pub fn free_name(&self, name: PieceName) -> PieceName {
        name.free(|taken| self.pieces.contains_key(taken))
    }

    /// The seams.
    #[must_use]
    pub fn seams(&self) -> &[Seam] {
        &self.seams
    }

    /// The seams, for giving other names to the edges in them.
    pub(super) fn seams_mut(&mut self) -> impl Iterator<Item = &mut Seam> {
        self.reckoned.forget();
        self.seams.iter_mut()
    }

    /// Takes off all seams that hold an edge, on whichever copy, and gives them.
    pub(crate) fn take_seams_of(&mut self, edge: &EdgeRef) -> Vec<Seam> {
        self.reckoned.forget();
        let (taken, left) =
            std::mem::take(&mut self.seams).into_iter().partition(|seam| seam.side_of(edge).is_some());
        self.seams = left;
        taken
    }

    /// Sets the ease of a seam.
    pub(crate) fn set_ease(&mut self, id: SeamId, ease: crate::units::Length) {
        self.reckoned.forget();
        self.seams[id.0].ease = ease;
    }

    /// The seams with how they stand.
    pub fn seam_ids(&self) -> impl Iterator<Item = SeamId> + use<> {
        (0..self.seams.len()).map(SeamId)
    }

    /// A seam.
    #[must_use]
    pub fn seam(&self, id: SeamId) -> &Seam {
        &self.seams[id.0]
    }

    /// The seams that hold an edge, on whichever copy, in the order of their layers.
    pub fn seams_of<'a>(&'a self, edge: &'a EdgeRef) -> impl Iterator<Item = SeamId> + 'a {
        self.seam_ids().filter(move |id| self.seam(*id).side_of(edge).is_some())
    }

    /// Whether an edge is sewn to that of the piece's own mirrored copy.
    #[must_use]
    pub fn is_sewn_to_own_mirror(&self, edge: &EdgeRef) -> bool {
        self.seams_of(edge).any(|seam| self.seam(seam).is_to_own_mirror())
    }

    /// The edge that runs along the middle of the garment: the fold, else one that is sewn to its own mirrored copy, else one
    /// that is called so. A copy has the seams of the piece with which it is sewn as one cloth.
    pub(crate) fn centre_edge(&self, piece: &Piece) -> Option<EdgeId> {
        let sewn_as = self.sewn_as(piece);
        let to_own_mirror = |id: &EdgeId| self.is_sewn_to_own_mirror(&sewn_as.edge_ref(*id));
        let called = |id: &EdgeId| says(piece.edge(*id).name.as_str(), &CENTRE);
        let find = |is: &dyn Fn(&EdgeId) -> bool| piece.edge_ids().find(is);
        piece.fold().or_else(|| find(&to_own_mirror)).or_else(|| find(&called))
    }

    /// Whether an edge is on a seam that a step made: by the record, or because it came from no original edge, since a
    /// later step may have named it anew. Edges of pieces that were made of others are not, since they lie on what was there; but
    /// an underlining is as new as its piece at each edge.
    #[must_use]
    pub fn is_new_edge(&self, edge: &EdgeRef) -> bool {
        let one_cloth = self.find(&edge.piece).into_iter().flat_map(Piece::one_cloth_with);
        let beneath = one_cloth.map(|piece| EdgeRef { piece: piece.clone(), ..edge.clone() });
        self.is_made_new(edge) || beneath.into_iter().any(|edge| self.is_made_new(&edge))
    }

    fn is_made_new(&self, edge: &EdgeRef) -> bool {
        let made = |edge: &Edge| edge.finish == Finish::Seam && edge.origins.is_empty();
        let is_derived = || self.find(&edge.piece).is_some_and(|piece| piece.derived.is_some());
        self.record.new_edges().any(|new| new.same_edge(edge))
            || (self.record.ledger.is_some() && self.find_edge(edge).is_some_and(made) && !is_derived())
    }

    /// Whether a seam was made by a step: an edge of either side is new.
    #[must_use]
    pub fn is_new_seam(&self, id: SeamId) -> bool {
        let seam = self.seam(id);
        Side::BOTH.iter().all(|side| seam.side(*side).edges().iter().any(|run| self.is_new_edge(&run.edge)))
    }

    /// Whether a step sewed a piece that it added, as a border, to one that was there: of the edges of that piece none came
    /// from an original one.
    #[must_use]
    pub fn is_border_seam(&self, id: SeamId) -> bool {
        let is_added = |edge: &EdgeRef| {
            let piece = self.find(&edge.piece);
            piece.is_some_and(|piece| piece.edges().iter().all(|edge| edge.origins.is_empty()))
        };
        let [first, second] =
            Side::BOTH.map(|side| self.seam(id).side(side).edges().iter().all(|run| is_added(&run.edge)));
        first != second && self.is_new_seam(id)
    }

    /// Adds a seam after the others.
    ///
    /// # Errors
    ///
    /// Refuses a seam that names an edge which does not exist.
    pub fn add_seam(&mut self, seam: Seam) -> Result<(), Refusal> {
        self.sew_edges_of(&seam)?;
        self.reckoned.forget();
        self.seams.push(seam);
        Ok(())
    }

    /// Puts another seam in place of one.
    ///
    /// # Errors
    ///
    /// Refuses a seam that names an edge which does not exist.
    pub fn replace_seam(&mut self, id: SeamId, seam: Seam) -> Result<(), Refusal> {
        self.sew_edges_of(&seam)?;
        self.reckoned.forget();
        self.seams[id.0] = seam;
        Ok(())
    }

    /// Looks up the edges of a seam; what is sewn is not meant to be sewn to nothing.
    fn sew_edges_of(&mut self, seam: &Seam) -> Result<(), Refusal> {
        for run in seam.edges() {
            self.edge(&run.edge)?;
        }
        for run in seam.edges() {
            let piece = self.piece_mut(&run.edge.piece)?;
            let id = piece.edge_named(&run.edge.edge)?;
            *piece.edge_settings(id).unsewn = Unsewn::Forgotten;
        }
        Ok(())
    }

    /// Puts other seams in place of all that stand.
    ///
    /// # Errors
    ///
    /// Refuses a seam that names an edge which does not exist.
    pub fn set_seams(&mut self, seams: Vec<Seam>) -> Result<(), Refusal> {
        self.reckoned.forget();
        self.seams.clear();
        seams.into_iter().try_for_each(|seam| self.add_seam(seam))
    }

    /// An edge by which an operation names a seam, and means no other; none where each is sewn in several layers.
    #[must_use]
    pub fn edge_naming(&self, seam: SeamId) -> Option<EdgeRef> {
        let mut edges = self.seam(seam).edges().map(|run| run.edge.drawn());
        edges.find(|edge| self.seam_named(edge, None) == Ok(seam))
    }

    /// The seam that an operation means by naming one of its edges.
    ///
    /// # Errors
    ///
    /// Refuses an edge that is not sewn, and one that is sewn in several layers unless `with` is given and
    /// tells which.
    pub fn seam_named(&self, edge: &EdgeRef, with: Option<&PieceName>) -> Result<SeamId, Refusal> {
        self.edge(edge)?;
        let holds = |id: &SeamId| {
            with.is_none_or(|piece| {
                let seam = self.seam(*id);
                seam.edges().any(|run| run.edge.piece == *piece)
            })
        };
        let mut found = self.seams_of(edge).filter(holds);
        match (found.next(), found.next()) {
            (Some(id), None) => Ok(id),
            (Some(first), Some(second)) => Err(Refusal::new(
                RefusalKind::BadSeam,
                edge,
                format!(
                    "the edge is sewn in several layers: {}, and {}",
                    self.seam(first).name(),
                    self.seam(second).name()
                ),
                "name the edge on the other side of the seam that is meant",
            )),
            (None, _) => Err(Refusal::new(
                RefusalKind::BadSeam,
                edge,
                match with {
                    Some(piece) => format!("the edge is not sewn to piece `{piece}`"),
                    None => "the edge is not sewn to any other".to_owned(),
                },
                advice!(
                    "say what it is sewn to: ",
                    Operation::SetEdge.with(Field::Edge, edge).with(Field::SewnTo, "PIECE.EDGE")
                ),
            )),
        }
    }
}

fn name_taken(name: &PieceName) -> Refusal {
    Refusal::new(
        RefusalKind::NameTaken,
        name,
        format!("a piece is named `{name}` already"),
        advice!("give another name, or rename that piece first with ", Operation::SetPiece),
    )
    .about(name)
}
