//! A piece once more, from other cloth.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::derive::lining::{LiningWish, PleatWish, facing_seams, lined};
use crate::derive::made_piece::as_step;
use crate::derive::whole::{StaysWhole, laid_together};
use crate::derive::{MadePiece, lining_seams};
use crate::pattern::{
    ClothName, Copy, Cut, DartKind, Derived, Edge, EdgeRef, Field, Finish, GirthUse, Kept, LaidOn, LaidPart,
    LaidStretch, Level, LiesTo, MadeFrom, Making, Notch, OnOutline, Operation, Pattern, Piece, PieceName,
    Purpose, Refusal, RefusalKind, Run, RunEdge, Seam, Selvedge, Travel, Unsewn,
};
use crate::units::Length;

/// Make the same piece once more: an underlining, an interfacing, a lining, or simply once more.
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
    /// Of a lining: a pleat at the centre that takes so much on each half: "25mm", as deep down to the hem,
    /// "25mm to waist", straight to nothing at that level, or "25mm to 12mm", straight to that depth at the foot.
    #[arg(long, value_name = "LENGTH [to LEVEL|LENGTH]")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pleat: Option<PleatWish>,
    /// Of a lining: by how much its underarm is raised, on body and sleeve alike.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raise: Option<Length>,
    /// Of a lining: by how much it ends above the hem.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shorter: Option<Length>,
    /// Of a lining: whether its darts are sewn as darts (default), or folded as pleats.
    #[arg(long, value_name = "DARTS")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub darts: Option<DartsAs>,
    /// Whether it stays one piece when its piece is divided: its parts are then laid together again. Otherwise there is one
    /// copy for each part.
    #[arg(long, value_name = "YES|NO")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub whole: Option<StaysWhole>,
}

impl CopyPiece {
    /// The same piece once more, in the same cloth, for no purpose of its own.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::pattern::Purpose;
    /// use retrue::recut::{CopyPiece, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let copy = CopyPiece {
    ///     purpose: Some(Purpose::Underlining),
    ///     ..CopyPiece::of("front".parse()?, "front-underlining".parse()?)
    /// };
    /// let copied = Step::from(copy).apply(&coat)?.pattern;
    /// let area = |piece: &str| Ok::<_, Box<dyn std::error::Error>>(copied.piece(&piece.parse()?)?.net_area());
    /// assert!((area("front-underlining")? - area("front")?).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, name: PieceName) -> CopyPiece {
        CopyPiece {
            piece,
            name,
            cloth: None,
            purpose: None,
            allowance: None,
            cut: None,
            pleat: None,
            raise: None,
            shorter: None,
            darts: None,
            whole: None,
        }
    }
}

/// What the darts of a lining become.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum DartsAs {
    /// They are sewn to their tips.
    #[default]
    Darts,
    /// They are folded at their mouths, and free beyond.
    Pleats,
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
        let by = as_step(Making::Copy, self);
        if self.purpose() != Purpose::Lining {
            self.refuse_of_no_lining()?;
            let laid = vec![lies_on(&piece, source)];
            return Ok(MadePiece {
                piece,
                by,
                laid,
                seams: Vec::new(),
                unequal: Vec::new(),
                divides: Vec::new(),
            });
        }
        let lined = lined(pattern, source, piece, &self.wish())?;
        let at_facings = facing_seams(pattern, &lined.piece, source)?;
        let mut piece = lined.piece;
        let mut seams = lining_seams(pattern, &piece, source);
        seams.extend(at_facings.seams);
        seams.extend(opened_centre(source, &piece));
        sew(&mut piece, &seams)?;
        Ok(MadePiece {
            piece,
            by,
            laid: vec![lined.laid],
            seams,
            unequal: Vec::new(),
            divides: at_facings.divides,
        })
    }

    /// The copy of a piece that was divided since: of its parts laid together again.
    pub(super) fn made_whole(&self, pattern: &Pattern, parts: &[PieceName]) -> Result<MadePiece, Refusal> {
        let together = laid_together(pattern, parts)?;
        let mut made = self.made(&together.pattern)?;
        made.laid = made.laid.iter().flat_map(|laid| together.on_parts(laid, parts)).collect();
        made.piece.derived = Some(Derived { by: Making::Copy, from: MadeFrom::Pieces(parts.to_vec()) });
        Ok(made)
    }

    /// What is wished of the lining.
    fn wish(&self) -> LiningWish<'_> {
        LiningWish {
            pleat: self.pleat.as_ref(),
            raise: self.raise,
            shorter: self.shorter,
            darts: match self.darts.unwrap_or_default() {
                DartsAs::Darts => DartKind::Dart,
                DartsAs::Pleats => DartKind::Pleat,
            },
            allowance: self.allowance,
        }
    }

    /// Refuses what is wished of a lining where the piece has nothing of the sort: no hem, no armhole, no centre. A part of
    /// a piece that was cut since need not have all that the whole had.
    ///
    /// # Errors
    ///
    /// As said, and what cannot be made at all.
    pub(crate) fn refuse_idle(&self, pattern: &Pattern) -> Result<(), Refusal> {
        if self.purpose() != Purpose::Lining {
            return Ok(());
        }
        let source = pattern.piece(&self.piece)?;
        match lined(pattern, source, source.clone(), &self.wish())?.idle.into_iter().next() {
            Some(refusal) => Err(refusal),
            None => Ok(()),
        }
    }

    fn refuse_of_no_lining(&self) -> Result<(), Refusal> {
        let wished = [
            (Field::Pleat, self.pleat.is_some()),
            (Field::Raise, self.raise.is_some()),
            (Field::Shorter, self.shorter.is_some()),
            (Field::Darts, self.darts.is_some()),
        ];
        match wished.into_iter().find(|(_, is_wished)| *is_wished) {
            None => Ok(()),
            Some((field, _)) => Err(Refusal::new(
                RefusalKind::BadField,
                &self.name,
                format!("`{}` is for linings, and this is {}", field.name(), self.purpose().with_article()),
                advice!("make it a lining: ", Field::For.set("lining"), "; or leave ", field, " out"),
            )),
        }
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

/// The seam of a centre that was a fold on the piece, and is none on its lining.
fn opened_centre(source: &Piece, lining: &Piece) -> Option<Seam> {
    let fold = &source.edge(source.fold()?).name;
    let id = lining.find_edge(fold).filter(|id| lining.edge(*id).finish == Finish::Seam)?;
    let edge = lining.edge_ref(id);
    let run = |edge: EdgeRef| Run::new(vec![RunEdge { edge, travel: Travel::Clockwise }]);
    Some(Seam { first: run(edge.clone())?, second: run(edge.mirrored())?, ease: Length::ZERO })
}

/// What is sewn now is not meant to be sewn to nothing.
fn sew(piece: &mut Piece, seams: &[Seam]) -> Result<(), Refusal> {
    let own = piece.name().clone();
    for run in seams.iter().flat_map(Seam::edges).filter(|run| run.edge.piece == own) {
        let id = piece.edge_named(&run.edge.edge)?;
        *piece.edge_settings(id).unsewn = Unsewn::Forgotten;
    }
    Ok(())
}
