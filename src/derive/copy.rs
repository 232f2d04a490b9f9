//! A piece once more, from other cloth.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::derive::made_piece::as_step;
use crate::derive::{MadePiece, lining_seams};
use crate::pattern::{
    ClothName, Copy, Cut, Derived, Edge, Field, Finish, GirthUse, Kept, LaidOn, LaidPart, LaidStretch, Level,
    LiesTo, MadeFrom, Making, Notch, OnOutline, Operation, Pattern, Piece, PieceName, Purpose, Refusal,
    RefusalKind, Selvedge, Unsewn,
};
use crate::units::Length;

/// The same piece once more: an underlining, an interfacing, a lining, or simply once more.
///
/// Plain copies, underlinings and interfacings are sewn where the piece is, as one cloth with it. Linings are sewn to one
/// another where their pieces are. A copy follows its piece: see `follow`.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CopyPiece {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Name of the copy.
    #[arg(long, value_name = "PIECE")]
    pub name: PieceName,
    /// The cloth it is cut from; otherwise that of a plain copy is the piece's own, and that of any other is called by
    /// what it is for.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
    /// What it is for: plain (default), underlining, interfacing, or lining.
    #[arg(long = "for", value_name = "PURPOSE")]
    #[serde(default, rename = "for", skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Purpose>,
    /// The allowance of all its edges but folds; otherwise each has that of the piece's edge.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowance: Option<Length>,
    /// How many copies: 1, 2 (left and right), or "2 same"; otherwise as many as of the piece.
    #[arg(long, value_name = "CUT")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<Cut>,
}

impl CopyPiece {
    /// What it is for.
    fn purpose(&self) -> Purpose {
        self.purpose.unwrap_or_default()
    }

    /// The copy, lying on its piece.
    pub(super) fn made(&self, pattern: &Pattern) -> Result<MadePiece, Refusal> {
        let source = pattern.piece(&self.piece)?;
        let edges = source.edges().iter().map(|edge| self.edge(edge)).collect();
        let mut piece = Piece::new(self.name.clone(), edges)?;
        piece.cut = self.cut.unwrap_or(source.cut);
        self.refuse_half_of_pair(source, piece.cut)?;
        piece.cloth = self.cloth_of(source)?;
        piece.purpose = self.purpose();
        piece.derived = Some(Derived { by: Making::Copy, from: MadeFrom::Pieces(vec![self.piece.clone()]) });
        carry_over(source, &mut piece);
        let laid = vec![lies_on(&piece, source)];
        let seams = match self.purpose() {
            Purpose::Lining => lining_seams(pattern, &piece, source),
            Purpose::Plain | Purpose::Underlining | Purpose::Interfacing => Vec::new(),
        };
        Ok(MadePiece { piece, by: as_step(Making::Copy, self), laid, seams, unequal: Vec::new() })
    }

    /// An edge of the source is sewn to its own mirrored copy: one of the two alone has none.
    fn refuse_half_of_pair(&self, source: &Piece, cut: Cut) -> Result<(), Refusal> {
        let times = |cut: Cut| cut.copies * if source.fold().is_some() { 2 } else { 1 };
        if source.has_mirrored_copy() && self.purpose() == Purpose::Lining && times(cut) < source.times() {
            return Err(Refusal::new(
                RefusalKind::BadField,
                &self.name,
                format!(
                    "`{}` counts {} times in the garment, and its lining {cut}",
                    source.name(),
                    source.times()
                ),
                advice!("leave ", Field::Cut, " out: it is then as that of the piece"),
            )
            .about(cut));
        }
        Ok(())
    }

    fn edge(&self, edge: &Edge) -> Edge {
        let other_cloth = self.purpose() != Purpose::Plain;
        let selvedge = if other_cloth { Selvedge::No } else { edge.selvedge };
        let own = if other_cloth { edge.cut_allowance() } else { edge.allowance };
        let is_fold = edge.finish == Finish::Fold;
        Edge {
            finish: edge.finish,
            allowance: self.allowance.filter(|_| !is_fold).unwrap_or(own),
            selvedge,
            // What is one cloth with the piece is open where that is; a lining has no pockets in its seams.
            open: edge.open.filter(|_| self.purpose() != Purpose::Lining),
            // It is sewn with the piece's own edge, or to linings that there may not be.
            unsewn: if edge.finish == Finish::Seam { Unsewn::Meant } else { Unsewn::Forgotten },
            ..Edge::new(edge.name.clone(), edge.curve.clone())
        }
    }

    fn cloth_of(&self, source: &Piece) -> Result<ClothName, Refusal> {
        if let Some(cloth) = &self.cloth {
            return Ok(cloth.clone());
        }
        match self.purpose() {
            Purpose::Plain => Ok(source.cloth.clone()),
            other => other.word().parse().map_err(|error| {
                Refusal::new(
                    RefusalKind::BadField,
                    &self.name,
                    error,
                    advice!("name the cloth: ", Operation::CopyPiece.with(Field::Cloth, "lining")),
                )
            }),
        }
    }
}

/// Takes along what stands on the piece. Its levels do not count in the girth, which is the shell's. Marks that are not
/// understood stay on the piece alone: their ids can stand on a sheet once.
fn carry_over(source: &Piece, copy: &mut Piece) {
    copy.darts = source
        .darts
        .iter()
        .map(|dart| crate::pattern::Dart { kept: Kept::default(), ..dart.clone() })
        .collect();
    copy.notches = source
        .notches
        .iter()
        .map(|notch| Notch { kept: Kept::default(), ..notch.clone() })
        .map(|notch| on_its_edge(notch, copy))
        .collect();
    copy.levels = source
        .levels
        .iter()
        .map(|level| Level { girth: GirthUse::LeftOut, kept: Kept::default(), ..level.clone() })
        .collect();
    copy.points = source
        .points
        .iter()
        .map(|point| crate::pattern::NamedPoint { kept: Kept::default(), ..point.clone() })
        .collect();
    copy.style_lines = source
        .style_lines
        .iter()
        .map(|line| crate::pattern::StyleLine { kept: Kept::default(), ..line.clone() })
        .collect();
    copy.grainline = source
        .grainline
        .as_ref()
        .map(|grain| crate::pattern::Grainline { kept: Kept::default(), ..grain.clone() });
    copy.corners = source.corners.clone();
}

/// A notch where two edges meet, on the one that it belongs to on this piece.
fn on_its_edge(notch: Notch, piece: &Piece) -> Notch {
    let Some(id) = piece.find_edge(&notch.edge) else { return notch };
    let place = piece.point_on(id, notch.at);
    let found = piece.mark_on_outline(place, OnOutline { edge: id, at: notch.at, distance: 0.0 });
    match found.edge == id {
        true => notch,
        false => Notch { edge: piece.edge(found.edge).name.clone(), at: found.at, ..notch },
    }
}

/// All of its edges lie on those of the same name.
fn lies_on(copy: &Piece, source: &Piece) -> LaidPart {
    let stretches = copy.edges().iter().map(|edge| {
        let whole = (0.0, edge.curve.length());
        LaidStretch {
            edge: edge.name.clone(),
            stretch: whole,
            on: LaidOn::Edge(edge.name.clone()),
            along: whole,
            inside: 0.0,
            further: 0.0,
            lies: LiesTo::Right,
        }
    });
    LaidPart { on: source.name().clone(), copy: Copy::Drawn, stretches: stretches.collect() }
}
