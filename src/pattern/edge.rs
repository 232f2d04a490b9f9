//! Edges: named stretches of a piece's seamline.

use std::fmt;

use crate::curve::Curve;
use crate::pattern::{EdgeName, EdgeRef, Kept};
use crate::units::Length;

/// How an edge is finished.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum Finish {
    /// Sewn to another edge.
    #[default]
    Seam,
    /// Turned up.
    Hem,
    /// The piece is half; it is mirrored here.
    Fold,
    /// Bound, faced, lapped, or otherwise none of these.
    Free,
}

impl Finish {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Finish::Seam => "seam",
            Finish::Hem => "hem",
            Finish::Fold => "fold",
            Finish::Free => "free",
        }
    }
}

/// Whether an edge lies on the cloth's selvedge.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum Selvedge {
    /// Anywhere on the cloth.
    #[default]
    No,
    /// On the selvedge. A free edge there has no allowance; a sewn one keeps its own inside the cloth.
    Yes,
}

impl Selvedge {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Selvedge::No => "no",
            Selvedge::Yes => "yes",
        }
    }
}

/// For what a stretch of a seam is left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Opening {
    /// A buttonhole in the seam.
    Buttonhole,
    /// A pocket.
    Pocket,
    /// A vent or slit.
    Vent,
}

impl Opening {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Opening::Buttonhole => "buttonhole",
            Opening::Pocket => "pocket",
            Opening::Vent => "vent",
        }
    }
}

/// Whether an edge of finish `seam` that no seam of its pattern holds is meant so.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Unsewn {
    /// Nothing says so: it was forgotten.
    #[default]
    Forgotten,
    /// It is sewn to a piece that this pattern does not hold: `data-sewn-to="nothing"`.
    Meant,
}

impl Unsewn {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Unsewn::Forgotten => "forgotten",
            Unsewn::Meant => "meant",
        }
    }
}

/// The stretch of an original edge that an edge, or a part of it, came from.
///
/// Lengths are sewn lengths on the original edge, millimetres from its first corner, clockwise. `from` is greater than `to` where the
/// cloth was mirrored.
#[derive(Clone, Debug, PartialEq)]
pub struct Origin {
    /// The edge as it was when the pattern was first read.
    pub edge: EdgeRef,
    /// Where on it this begins.
    pub from: f64,
    /// Where on it this ends.
    pub to: f64,
}

/// One named stretch of the outline between two corners.
///
/// Its curve runs clockwise as seen on the sheet. Darts that open on the edge stand in the piece; between
/// their mouth ends the curve is whatever was drawn, and is not sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The name within the piece.
    pub name: EdgeName,
    /// The seamline, clockwise.
    pub curve: Curve,
    /// How it is finished.
    pub finish: Finish,
    /// What is added outside the seamline for cutting.
    pub allowance: Length,
    /// Whether it lies on the selvedge.
    pub selvedge: Selvedge,
    /// Whether it is meant to be sewn to nothing here; only ever asked where no seam holds it.
    pub unsewn: Unsewn,
    /// For what its seam is left open along it.
    pub open: Option<Opening>,
    /// How far inside it the stitching runs where it is sewn on top of its partner; nothing where the two are butted.
    pub lap: Option<Length>,
    /// What original edges it consists of, in clockwise order; empty for an edge made by an operation.
    pub origins: Vec<Origin>,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

impl Edge {
    /// An edge of a seam with nothing else said of it.
    #[must_use]
    pub fn new(name: EdgeName, curve: Curve) -> Edge {
        Edge {
            name,
            curve,
            finish: Finish::Seam,
            allowance: Length::ZERO,
            selvedge: Selvedge::No,
            unsewn: Unsewn::Forgotten,
            open: None,
            lap: None,
            origins: Vec::new(),
            kept: Kept::default(),
        }
    }

    /// What may be changed of it without drawing it anew.
    pub(super) fn settings(&mut self) -> EdgeSettings<'_> {
        EdgeSettings {
            finish: &mut self.finish,
            allowance: &mut self.allowance,
            selvedge: &mut self.selvedge,
            unsewn: &mut self.unsewn,
            open: &mut self.open,
            lap: &mut self.lap,
            origins: &mut self.origins,
        }
    }

    /// The allowance that is cut: none at a fold, nor where a free edge lies on the selvedge.
    #[must_use]
    pub fn cut_allowance(&self) -> Length {
        match (self.finish, self.selvedge) {
            (Finish::Fold, _) | (Finish::Free, Selvedge::Yes) => Length::ZERO,
            _ => self.allowance,
        }
    }
}

/// The shape of a cutting line's corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CornerShape {
    /// Both lines run on until they meet, capped where they meet far off.
    Mitre,
    /// The end is squared to the named seamline, one of the two that meet here.
    Square(EdgeName),
    /// The neighbour's cutting line is reflected in the hem's fold.
    TurnedUp,
    /// Each line ends square to its own seamline.
    Jog,
    /// Cut as the trade would; the line that runs on here across a fold or a seam is meant to come to a point.
    Point,
}

impl fmt::Display for CornerShape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CornerShape::Mitre => f.write_str("mitre"),
            CornerShape::Square(edge) => write!(f, "square to {edge}"),
            CornerShape::TurnedUp => f.write_str("turned-up"),
            CornerShape::Jog => f.write_str("jog"),
            CornerShape::Point => f.write_str("point"),
        }
    }
}

/// A corner whose shape has been set by the user. Corners not listed get the shape the trade expects.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShapedCorner {
    /// The two edges that meet.
    pub edges: (EdgeName, EdgeName),
    /// Its shape.
    pub shape: CornerShape,
}

impl ShapedCorner {
    /// Whether it is the corner at which two edges meet.
    pub(crate) fn is_of(&self, a: &EdgeName, b: &EdgeName) -> bool {
        let (first, second) = (&self.edges.0, &self.edges.1);
        (first == a && second == b) || (first == b && second == a)
    }
}

/// One of the two ends of an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EdgeEnd {
    /// Its first corner, clockwise.
    First,
    /// Its last.
    Last,
}

impl EdgeEnd {
    /// The other end.
    #[must_use]
    pub fn other(self) -> EdgeEnd {
        match self {
            EdgeEnd::First => EdgeEnd::Last,
            EdgeEnd::Last => EdgeEnd::First,
        }
    }
}

/// An end of an edge on a copy of its piece.
pub(crate) type EdgeTip = (EdgeRef, EdgeEnd);

/// What may be changed of an edge without drawing it anew.
pub struct EdgeSettings<'a> {
    /// How it is finished.
    pub finish: &'a mut Finish,
    /// What is added for cutting.
    pub allowance: &'a mut Length,
    /// Whether it lies on the selvedge.
    pub selvedge: &'a mut Selvedge,
    /// Whether it is meant to be sewn to nothing here.
    pub unsewn: &'a mut Unsewn,
    /// For what its seam is left open along it.
    pub open: &'a mut Option<Opening>,
    /// How far inside it the stitching runs where it is sewn on top.
    pub lap: &'a mut Option<Length>,
    /// What original edges it consists of.
    pub origins: &'a mut Vec<Origin>,
}
