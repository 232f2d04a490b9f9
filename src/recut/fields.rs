//! Values of the operations' fields that are not places, lines or lengths, as a user writes them.

use std::fmt;
use std::str::FromStr;

use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::pattern::{
    Advice, EdgeName, EdgeRef, Field, Finish, Line, LineError, NameError, Piece, PieceName, Refusal,
    RefusalKind,
};
use crate::units::{Length, UnitError, listed, serde_as_text};

/// Why a text is not the value of a field.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FieldError {
    /// A name in it is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// A line in it is none.
    #[error(transparent)]
    Line(#[from] LineError),
    /// A length in it is none.
    #[error(transparent)]
    Length(#[from] UnitError),
    /// It is not a pair.
    #[error("`{0}` does not give two names: write \"a, b\"")]
    NotAPair(String),
    /// It is not a choice of edges.
    #[error("`{0}` does not choose edges: write \"front.side, back.*\" or finish:hem")]
    NotEdges(String),
    /// It is not a choice of darts.
    #[error("`{0}` does not choose darts: write \"bust-dart, waist-dart\" or none")]
    NotDarts(String),
}

/// The names of two new pieces: `"a, b"`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceNames {
    /// The first.
    pub first: PieceName,
    /// The second.
    pub second: PieceName,
}

impl FromStr for PieceNames {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<PieceNames, FieldError> {
        let (first, second) = text.split_once(',').ok_or_else(|| FieldError::NotAPair(text.to_owned()))?;
        Ok(PieceNames { first: first.parse()?, second: second.parse()? })
    }
}

impl fmt::Display for PieceNames {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.first, self.second)
    }
}

/// The names of two edges that one becomes: `"a, b"`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdgeNames {
    /// Of the one from the first corner on, clockwise.
    pub first: EdgeName,
    /// Of the one up to the last.
    pub second: EdgeName,
}

impl FromStr for EdgeNames {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<EdgeNames, FieldError> {
        let (first, second) = text.split_once(',').ok_or_else(|| FieldError::NotAPair(text.to_owned()))?;
        Ok(EdgeNames { first: first.parse()?, second: second.parse()? })
    }
}

impl fmt::Display for EdgeNames {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.first, self.second)
    }
}

/// How far inside an edge that is sewn on top the stitching runs: a length, or `none`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LapWish {
    /// It is not sewn on top.
    None,
    /// So far; nothing where it is sewn edge to edge.
    By(Length),
}

impl FromStr for LapWish {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<LapWish, FieldError> {
        Ok(match text.trim() {
            "none" => LapWish::None,
            length => LapWish::By(length.parse()?),
        })
    }
}

impl fmt::Display for LapWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LapWish::None => f.write_str("none"),
            LapWish::By(length) => write!(f, "{length}"),
        }
    }
}

/// The width that a piece or a panel keeps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WidthToKeep {
    /// So wide.
    Given(Length),
    /// As wide as a cloth gives. No step is done so: who has the cloth says how wide that is first.
    OfCloth,
}

impl WidthToKeep {
    /// The width.
    ///
    /// # Errors
    ///
    /// Refuses one that is yet to come from a cloth.
    pub(super) fn given(self, at: impl fmt::Display) -> Result<Length, Refusal> {
        match self {
            WidthToKeep::Given(width) => Ok(width),
            WidthToKeep::OfCloth => Err(Refusal::new(
                RefusalKind::BadWidth,
                at,
                "the width is to come from a cloth, and no cloth is given",
                "give a width",
            )),
        }
    }
}

impl From<Length> for WidthToKeep {
    fn from(width: Length) -> WidthToKeep {
        WidthToKeep::Given(width)
    }
}

impl FromStr for WidthToKeep {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<WidthToKeep, UnitError> {
        Ok(match text.trim() {
            OF_CLOTH => WidthToKeep::OfCloth,
            length => WidthToKeep::Given(length.parse()?),
        })
    }
}

impl fmt::Display for WidthToKeep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WidthToKeep::Given(width) => write!(f, "{width}"),
            WidthToKeep::OfCloth => f.write_str(OF_CLOTH),
        }
    }
}

/// What a width says that a cloth is to give.
const OF_CLOTH: &str = "of the cloth";

/// What a button is like.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum ButtonShape {
    /// A disc.
    #[default]
    Flat,
    /// A ball.
    Ball,
}

/// Two edges of one piece that meet at a corner: `"front.side, front.hem"`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CornerEdges {
    /// The first edge; a corner that is squared is squared to it.
    pub first: EdgeRef,
    /// The second.
    pub second: EdgeRef,
}

impl FromStr for CornerEdges {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<CornerEdges, FieldError> {
        let (first, second) = text.split_once(',').ok_or_else(|| FieldError::NotAPair(text.to_owned()))?;
        Ok(CornerEdges { first: first.parse()?, second: second.parse()? })
    }
}

impl fmt::Display for CornerEdges {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.first, self.second)
    }
}

/// One way of choosing edges.
#[derive(Clone, Debug, PartialEq, Eq)]
enum ChosenEdges {
    /// `front.side`.
    Edge(EdgeRef),
    /// `front.*`.
    AllOf(PieceName),
    /// `*.side`.
    EveryPiece(EdgeName),
    /// `finish:hem`.
    Finish(Finish),
}

/// A choice of edges: `"front.side, back.*"`, `*.hem`, `finish:hem`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdgeChoice(Vec<ChosenEdges>);

impl EdgeChoice {
    /// Whether an edge of a piece is chosen.
    #[must_use]
    pub fn holds(&self, piece: &Piece, edge: &crate::pattern::Edge) -> bool {
        self.0.iter().any(|chosen| match chosen {
            ChosenEdges::Edge(named) => named.piece == *piece.name() && named.edge == edge.name,
            ChosenEdges::AllOf(name) => name == piece.name(),
            ChosenEdges::EveryPiece(name) => *name == edge.name,
            ChosenEdges::Finish(finish) => *finish == edge.finish,
        })
    }

    /// The choice in words: `every hem edge and all edges of belt`.
    #[must_use]
    pub fn words(&self) -> String {
        let word = |chosen: &ChosenEdges| match chosen {
            ChosenEdges::Edge(edge) => edge.to_string(),
            ChosenEdges::AllOf(piece) => format!("all edges of {piece}"),
            ChosenEdges::EveryPiece(edge) => format!("every {edge} edge"),
            ChosenEdges::Finish(finish) => format!("every {} edge", finish.word()),
        };
        listed(&self.0.iter().map(word).collect::<Vec<_>>())
    }

    /// The edges named one by one, and the pieces of which all edges are chosen.
    pub(crate) fn named(&self) -> (Vec<&EdgeRef>, Vec<&PieceName>) {
        let (mut edges, mut pieces) = (Vec::new(), Vec::new());
        for chosen in &self.0 {
            match chosen {
                ChosenEdges::Edge(edge) => edges.push(edge),
                ChosenEdges::AllOf(piece) => pieces.push(piece),
                ChosenEdges::EveryPiece(_) | ChosenEdges::Finish(_) => {}
            }
        }
        (edges, pieces)
    }
}

impl FromStr for EdgeChoice {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<EdgeChoice, FieldError> {
        text.split(',').map(|word| choose(word.trim())).collect::<Result<_, _>>().map(EdgeChoice)
    }
}

fn choose(word: &str) -> Result<ChosenEdges, FieldError> {
    if let Some(finish) = word.strip_prefix("finish:") {
        return <Finish as clap::ValueEnum>::from_str(finish.trim(), false)
            .map(ChosenEdges::Finish)
            .map_err(|_| FieldError::NotEdges(word.to_owned()));
    }
    match word.split_once('.') {
        Some(("*", edge)) => Ok(ChosenEdges::EveryPiece(edge.parse()?)),
        Some((piece, "*")) => Ok(ChosenEdges::AllOf(piece.parse()?)),
        Some(_) => Ok(ChosenEdges::Edge(word.parse()?)),
        None => Err(FieldError::NotEdges(word.to_owned())),
    }
}

impl fmt::Display for EdgeChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, chosen) in self.0.iter().enumerate() {
            if i > 0 {
                f.write_str(", ")?;
            }
            match chosen {
                ChosenEdges::Edge(edge) => write!(f, "{edge}")?,
                ChosenEdges::AllOf(piece) => write!(f, "{piece}.*")?,
                ChosenEdges::EveryPiece(edge) => write!(f, "*.{edge}")?,
                ChosenEdges::Finish(finish) => match clap::ValueEnum::to_possible_value(finish) {
                    Some(value) => write!(f, "finish:{}", value.get_name())?,
                    None => return Err(fmt::Error),
                },
            }
        }
        Ok(())
    }
}

/// Which darts a princess seam takes in: `"bust-dart, waist-dart"`, or `none`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DartChoice(pub Vec<crate::pattern::DartName>);

impl FromStr for DartChoice {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<DartChoice, FieldError> {
        if text.trim() == "none" {
            return Ok(DartChoice(Vec::new()));
        }
        if text.trim().is_empty() {
            return Err(FieldError::NotDarts(text.to_owned()));
        }
        Ok(DartChoice(text.split(',').map(str::parse).collect::<Result<_, _>>()?))
    }
}

impl fmt::Display for DartChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("none");
        }
        let names: Vec<&str> = self.0.iter().map(crate::pattern::DartName::as_str).collect();
        f.write_str(&names.join(", "))
    }
}

/// Where a moved seam runs on the piece that gives: `grain`, `seam`, or a line.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamLine {
    /// Straight and parallel to the grain.
    Grain,
    /// Parallel to the seam as it is.
    Seam,
    /// Along a line drawn or named on the giving piece.
    Drawn(Line),
}

impl FromStr for SeamLine {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<SeamLine, FieldError> {
        Ok(match text.trim() {
            "grain" => SeamLine::Grain,
            "seam" => SeamLine::Seam,
            line => SeamLine::Drawn(line.parse()?),
        })
    }
}

impl fmt::Display for SeamLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SeamLine::Grain => f.write_str("grain"),
            SeamLine::Seam => f.write_str("seam"),
            SeamLine::Drawn(line) => write!(f, "{line}"),
        }
    }
}

/// Where a grainline is turned to: `lengthwise`, `crosswise`, or along a line.
#[derive(Clone, Debug, PartialEq)]
pub enum GrainWay {
    /// Up and down the garment, as the sheet shows it: along the centre or fold, else along the grain as it is drawn, or
    /// square to that, whichever goes down the sheet.
    Lengthwise,
    /// Square to that.
    Crosswise,
    /// Along a line.
    AlongLine(Line),
}

impl FromStr for GrainWay {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<GrainWay, FieldError> {
        Ok(match text.trim() {
            "lengthwise" => GrainWay::Lengthwise,
            "crosswise" => GrainWay::Crosswise,
            line => GrainWay::AlongLine(line.parse()?),
        })
    }
}

impl fmt::Display for GrainWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GrainWay::Lengthwise => f.write_str("lengthwise"),
            GrainWay::Crosswise => f.write_str("crosswise"),
            GrainWay::AlongLine(line) => write!(f, "{line}"),
        }
    }
}

/// Which piece changes when a seam is trued: `share`, or the name of the piece.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum TrueBy {
    /// Each side gives half.
    #[default]
    Share,
    /// This piece changes, the other stays.
    Piece(PieceName),
}

impl FromStr for TrueBy {
    type Err = FieldError;

    fn from_str(text: &str) -> Result<TrueBy, FieldError> {
        Ok(match text.trim() {
            "share" => TrueBy::Share,
            piece => TrueBy::Piece(piece.parse()?),
        })
    }
}

impl fmt::Display for TrueBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TrueBy::Share => f.write_str("share"),
            TrueBy::Piece(piece) => write!(f, "{piece}"),
        }
    }
}

serde_as_text!(
    PieceNames,
    EdgeNames,
    LapWish,
    CornerEdges,
    EdgeChoice,
    DartChoice,
    SeamLine,
    GrainWay,
    TrueBy,
    WidthToKeep
);

/// What becomes of the shaping of a seam that is moved away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Shaping {
    /// The new edge takes it over, level by level.
    #[default]
    Carry,
    /// It stays at the old seam as a double dart.
    Dart,
    /// It is given up; the girth gained or lost is told.
    Drop,
}

/// What helps where two edges differ by more than can be sewn or trued.
pub(super) fn less_shaping() -> Advice {
    advice!("keep the shaping at the old seam with ", Field::Shaping.set("dart"), ", or take less shaping")
}

/// The shape asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum CornerWish {
    /// Both cutting lines run on until they meet.
    Mitre,
    /// The end is squared to the first seamline.
    Square,
    /// The neighbour's cutting line is reflected in the hem's fold.
    TurnedUp,
    /// Each line ends square to its own seamline.
    Jog,
    /// As the trade would; what runs on there across a fold or a seam is meant to come to a point.
    Point,
    /// As the trade would.
    Usual,
}

impl CornerWish {
    /// What a corner of that shape is said to be.
    pub(super) fn word(self) -> &'static str {
        match self {
            CornerWish::Mitre => "mitred",
            CornerWish::Square => "squared",
            CornerWish::TurnedUp => "turned up",
            CornerWish::Jog => "stepped",
            CornerWish::Point | CornerWish::Usual => "cut as usual",
        }
    }
}
