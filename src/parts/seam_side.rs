//! One side of a seam as it lies on its piece: a way along the outline.

use crate::advice;
use crate::curve::Curve;
use crate::parts::assemble::{Bit, bits_round};
use crate::parts::in_the_way::dart_opens;
use crate::pattern::{
    Copy, EdgeId, EdgeRef, Field, Level, On, Operation, Pattern, Piece, Refusal, RefusalKind, Run, Seam,
    Side, Travel,
};

/// One side of a seam on one piece.
#[derive(Clone, Debug)]
pub(crate) struct SeamSide {
    pub piece: Piece,
    /// The piece's centre edge.
    pub centre: Option<EdgeId>,
    pub copy: Copy,
    /// The edges, in the order in which the seam is walked.
    pub edges: Vec<EdgeId>,
    /// How the piece's outline is walked.
    pub travel: Travel,
    /// The seamline, in the direction of the walk.
    pub curve: Curve,
}

impl SeamSide {
    /// Takes up a side of a seam.
    ///
    /// # Errors
    ///
    /// Refuses a side that lies on several pieces, and one with a dart in it.
    pub(crate) fn of(pattern: &Pattern, run: &Run) -> Result<SeamSide, Refusal> {
        let [first, rest @ ..] = run.edges() else { return Err(several(run)) };
        if rest.iter().any(|other| other.edge.piece != first.edge.piece || other.travel != first.travel) {
            return Err(several(run));
        }
        let piece = pattern.piece(&first.edge.piece)?.clone();
        let edges: Vec<EdgeId> =
            run.edges().iter().map(|run| piece.edge_named(&run.edge.edge)).collect::<Result<_, _>>()?;
        let mut curve: Option<Curve> = None;
        for id in &edges {
            refuse_darts(&piece, *id)?;
            let edge = &piece.edge(*id).curve;
            let along = match first.travel {
                Travel::Clockwise => edge.clone(),
                Travel::Anticlockwise => edge.reversed(),
            };
            curve = Some(match curve {
                None => along,
                Some(so_far) => so_far.joined(&along).map_err(|_| several(run))?,
            });
        }
        let curve = curve.ok_or_else(|| several(run))?;
        let centre = pattern.centre_edge(&piece);
        Ok(SeamSide { copy: first.edge.copy, travel: first.travel, piece, centre, edges, curve })
    }

    /// Its first corner, clockwise round the piece.
    pub(crate) fn low(&self) -> On {
        let edge = match self.travel {
            Travel::Clockwise => self.edges.first(),
            Travel::Anticlockwise => self.edges.last(),
        };
        On { edge: edge.copied().unwrap_or(EdgeId(0)), at: 0.0 }
    }

    /// Its last corner, clockwise round the piece.
    pub(crate) fn high(&self) -> On {
        let edge = match self.travel {
            Travel::Clockwise => self.edges.last(),
            Travel::Anticlockwise => self.edges.first(),
        };
        let edge = edge.copied().unwrap_or(EdgeId(0));
        On { edge, at: self.piece.edge(edge).curve.length() }
    }

    /// The edge that meets the seam where its walk starts, and the one where it ends.
    pub(crate) fn neighbours(&self) -> (EdgeId, EdgeId) {
        let (before, after) = (self.piece.previous(self.low().edge), self.piece.next(self.high().edge));
        match self.travel {
            Travel::Clockwise => (before, after),
            Travel::Anticlockwise => (after, before),
        }
    }

    /// The rest of the outline, clockwise, as bits of a part; for a mirrored part in the order in which the mirror
    /// image is walked clockwise.
    pub(crate) fn rest(&self, part: usize, mirrored: Mirrored) -> Vec<Bit> {
        let mut bits = bits_round(&self.piece, part, self.high(), self.low());
        if mirrored == Mirrored::Yes {
            bits.reverse();
        }
        bits
    }

    /// The first of its edges, with its piece.
    pub(crate) fn edge_ref(&self) -> EdgeRef {
        let edge = self.edges.first().copied().unwrap_or(EdgeId(0));
        self.piece.edge_ref(edge)
    }
}

/// Whether a piece must be turned over to be laid on another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mirrored {
    Yes,
    No,
}

/// Both sides of a seam, so that the walk goes clockwise round the base.
#[derive(Clone, Debug)]
pub(crate) struct BothSides {
    pub base: SeamSide,
    pub other: SeamSide,
    /// Whether the other piece must be turned over.
    pub mirrored: Mirrored,
}

impl BothSides {
    /// Takes up both sides of a seam; `base` is the side that stays where it is.
    ///
    /// # Errors
    ///
    /// Refuses what [`SeamSide::of`] refuses, and pieces that could only be joined wrong side up.
    pub(crate) fn of(pattern: &Pattern, seam: &Seam, base: Side) -> Result<BothSides, Refusal> {
        let mut sides = (seam.side(base).clone(), seam.side(base.other()).clone());
        if sides.0.edges().first().is_some_and(|run| run.travel == Travel::Anticlockwise) {
            sides = (sides.0.reversed(), sides.1.reversed());
        }
        let (base, other) = (SeamSide::of(pattern, &sides.0)?, SeamSide::of(pattern, &sides.1)?);
        let mirrored = match other.travel {
            Travel::Clockwise => Mirrored::Yes,
            Travel::Anticlockwise => Mirrored::No,
        };
        let both_sided =
            other.piece.cut.twins == crate::pattern::Twins::Mirrored || other.piece.fold().is_some();
        if mirrored == Mirrored::Yes && !both_sided {
            return Err(Refusal::new(
                RefusalKind::BadSeam,
                seam.name(),
                format!("`{}` would have to be turned wrong side up to be joined", other.piece.name()),
                advice!(
                    "draw it mirrored, or say that it is cut left and right: ",
                    Operation::SetPiece.with(Field::Piece, other.piece.name()).with(Field::Cut, 2)
                ),
            ));
        }
        Ok(BothSides { base, other, mirrored })
    }

    /// All edges of both sides, with their pieces.
    pub(crate) fn edge_refs(&self) -> Vec<EdgeRef> {
        let of =
            |side: &SeamSide| side.edges.iter().map(|edge| side.piece.edge_ref(*edge)).collect::<Vec<_>>();
        [of(&self.base), of(&self.other)].concat()
    }
}

fn several(run: &Run) -> Refusal {
    Refusal::new(
        RefusalKind::BadSeam,
        run.names(),
        "this side of the seam lies on several pieces or does not run on without a break",
        "join those pieces first with merge-at-seamline, or name another seam",
    )
}

fn refuse_darts(piece: &Piece, edge: EdgeId) -> Result<(), Refusal> {
    let name = &piece.edge(edge).name;
    match piece.mouths_on(name).first() {
        None => Ok(()),
        Some((dart, _)) => {
            let what = format!("dart `{}` opens on the seam", dart.name);
            Err(dart_opens(piece, &dart.name, piece.edge_ref(edge), what))
        }
    }
}

/// Refuses to join pieces of which one counts in a girth and the other, as a lining, does not: what is joined has one
/// level of a name.
pub(crate) fn refuse_mixed_girth(sides: &BothSides) -> Result<(), Refusal> {
    let (base, other) = (&sides.base.piece, &sides.other.piece);
    for level in &base.levels {
        let differs = |twin: &&Level| twin.name == level.name && twin.girth != level.girth;
        if other.levels.iter().any(|twin| differs(&twin)) {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                format!("{} and {}", base.name(), other.name()),
                format!("level `{}` counts in the girth on one of them and not on the other", level.name),
                "give the level of one of them another name on the sheet, or set data-girth alike on both",
            ));
        }
    }
    Ok(())
}
