//! The record of what was done to a pattern, the ledger, and what stands on the sheet besides the pieces.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::pattern::{Copy, EdgeName, EdgeRef, LevelName, NameError, Operation, PieceName, StyleLineName};
use crate::units::serde_as_text;

/// Version of the record's form in the sheet.
pub const RECORD_VERSION: u32 = 1;

/// The steps done so far, and the ledger kept from the first one on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// The steps, in order.
    pub steps: Vec<RecordedStep>,
    /// What the pattern measured before the first step.
    pub ledger: Option<Ledger>,
}

/// What the pattern measured when it was first read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ledger {
    /// Girth per level, mm.
    pub girths: Vec<(LevelName, f64)>,
    /// Sewn length of every edge, mm.
    pub edges: Vec<(EdgeRef, f64)>,
    /// Net area of all pieces, all copies counted, mm².
    pub net_area: f64,
}

/// One step as it was done.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RecordedStep {
    /// The step as data, as it stands in a recipe.
    pub step: serde_json::Value,
    /// How each part of a piece moved.
    pub moved: Vec<Moved>,
    /// The seams that the step made.
    pub new_seams: Vec<NewSeam>,
    /// Area that the step declares to have added or taken.
    pub declared: Vec<Declared>,
    /// Girth that the step declares to have changed.
    pub girths: Vec<ChangedGirth>,
    /// The pieces that the step made of others, which keep their cloth.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub made: Vec<Made>,
    /// The edges that the step drew anew; none on a sheet that was written before this was recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub redrawn: Option<DrawnAnew>,
}

/// Edges that a step drew anew, by their names before it and after it. Every other edge lies on its cloth as it lay.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrawnAnew {
    /// On the old pieces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub before: Vec<EdgeRef>,
    /// On the new ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub after: Vec<EdgeRef>,
}

impl DrawnAnew {
    /// Adds what else was drawn anew.
    pub fn add(&mut self, other: DrawnAnew) {
        let DrawnAnew { before, after } = other;
        for (list, more) in [(&mut self.before, before), (&mut self.after, after)] {
            for edge in more {
                if !list.contains(&edge) {
                    list.push(edge);
                }
            }
        }
    }
}

/// A part of a piece that was carried rigidly into a new piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Moved {
    /// The piece it came from.
    pub from: PieceName,
    /// Whether the drawn copy of it or its mirror image was used.
    pub copy: Copy,
    /// The piece it belongs to now.
    pub to: PieceName,
    /// Outline of the part on the old piece, as path data in mm; none where it is the whole piece.
    pub part: Option<String>,
    /// The motion from the old place to the new: six numbers of a rigid map.
    pub motion: [f64; 6],
    /// Angle between its own grain and the grain of the piece it belongs to now, degrees.
    pub off_grain: f64,
}

/// A piece that a step made of others, which keep their cloth: a copy, a facing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Made {
    /// Its name.
    pub piece: PieceName,
    /// The step that makes it, by itself, as it stands in a recipe.
    pub by: serde_json::Value,
    /// How it lies on what it was made from.
    pub laid: Vec<LaidPart>,
}

/// A part of a piece that lies on a piece it was made from, by one rigid motion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LaidPart {
    /// The piece on which it lies.
    pub on: PieceName,
    /// Whether on the drawn copy of it or on its mirror image.
    pub copy: Copy,
    /// The stretches of its outline that are stretches of that piece's.
    pub stretches: Vec<LaidStretch>,
}

/// A stretch of an edge that lies on a stretch of an edge of another piece, from end to end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LaidStretch {
    /// The edge.
    pub edge: EdgeName,
    /// From where to where, walk distances on its curve, mm.
    pub stretch: (f64, f64),
    /// The edge of the other piece, or the line on it.
    pub on: LaidOn,
    /// The places on that at which the stretch starts and ends; the first is the greater where it runs the other way.
    pub along: (f64, f64),
    /// How far inside of that edge it lies where it starts, mm; of a line to the right of its way, less than nothing to the
    /// left.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub inside: f64,
    /// How much further inside it lies where it ends, mm; evenly between.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub further: f64,
    /// To which side of that edge or line the piece lies.
    #[serde(default, skip_serializing_if = "LiesTo::is_right")]
    pub lies: LiesTo,
}

/// What a stretch of a derived piece lies on or beside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LaidOn {
    /// An edge.
    Edge(EdgeName),
    /// A style line.
    Line(StyleLineName),
}

/// The mark of a line among edges: `line yoke-line`.
const OF_LINE: &str = "line ";

impl fmt::Display for LaidOn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LaidOn::Edge(name) => write!(f, "{name}"),
            LaidOn::Line(name) => write!(f, "{OF_LINE}{name}"),
        }
    }
}

impl FromStr for LaidOn {
    type Err = NameError;

    fn from_str(text: &str) -> Result<LaidOn, NameError> {
        match text.strip_prefix(OF_LINE) {
            Some(name) => name.parse().map(LaidOn::Line),
            None => text.parse().map(LaidOn::Edge),
        }
    }
}

serde_as_text!(LaidOn);

/// To which side of a line a piece lies that has an edge on it, as seen along the line; an edge runs clockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LiesTo {
    /// To the right: inside of an edge.
    #[default]
    Right,
    /// To the left: from a line inside of an edge out to that.
    Left,
}

impl LiesTo {
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
    fn is_right(&self) -> bool {
        *self == LiesTo::Right
    }
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_zero(number: &f64) -> bool {
    *number == 0.0
}

/// A seam that a step made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NewSeam {
    /// An edge on one side.
    pub first: EdgeRef,
    /// The edge on the other.
    pub second: EdgeRef,
}

/// Why a step changed an area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DeclaredKind {
    /// The legs of a dart were redrawn to another tip.
    LegsRedrawn,
    /// A corner was blended.
    Blend,
    /// Shaping was carried to another edge.
    ShapingCarried,
    /// A gap between two pieces became part of the new piece.
    VoidFilled,
    /// A seamline was moved to true it.
    Trued,
    /// A piece was made of others, which keep their cloth, or made anew.
    Made,
    /// Cloth was added beyond an edge.
    Extended,
}

/// An area that a step declares to have added (positive) or taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Declared {
    /// On which piece.
    pub piece: PieceName,
    /// Why.
    pub kind: DeclaredKind,
    /// How much, mm².
    pub area: f64,
}

/// A girth that a step declares to have changed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChangedGirth {
    /// At which level.
    pub level: LevelName,
    /// By how much, mm on the whole garment.
    pub by: f64,
}

/// What stands on the sheet outside the pieces; it is written back as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Background {
    /// Comments before the drawing.
    pub prolog: Vec<String>,
    /// Attributes of the root, its size left out.
    pub root_attributes: Vec<(String, String)>,
    /// Style sheets and definitions, as source text.
    pub definitions: Vec<String>,
    /// Everything else, as source text.
    pub foreign: Vec<Foreign>,
}

/// Something on the sheet that belongs to no piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreign {
    /// Its source text.
    pub source: String,
    /// Where its user space lies on the sheet: an affine map to millimetres.
    pub place: kurbo::Affine,
    /// The box around what can be seen of it, mm.
    pub extent: Option<kurbo::Rect>,
}

impl Serialize for Copy {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(match self {
            Copy::Drawn => "drawn",
            Copy::Mirrored => "mirrored",
        })
    }
}

impl<'de> Deserialize<'de> for Copy {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Copy, D::Error> {
        match <std::borrow::Cow<'de, str>>::deserialize(deserializer)?.as_ref() {
            "drawn" => Ok(Copy::Drawn),
            "mirrored" => Ok(Copy::Mirrored),
            other => Err(serde::de::Error::unknown_variant(other, &["drawn", "mirrored"])),
        }
    }
}

impl Record {
    /// The edges on new seams, in the order in which they were made.
    pub fn new_edges(&self) -> impl Iterator<Item = &EdgeRef> {
        self.steps.iter().flat_map(|step| &step.new_seams).flat_map(|seam| [&seam.first, &seam.second])
    }

    /// How a piece was made last, with the fields of the step that makes it by itself; none where no step made it of others.
    ///
    /// A piece that was renamed since is looked for under the names that it had.
    #[must_use]
    pub fn made_last(&self, piece: &PieceName) -> Option<&Made> {
        let mut name = piece.as_str();
        for step in self.steps.iter().rev() {
            if let Some(made) = step.made.iter().find(|made| made.piece.as_str() == name) {
                return Some(made);
            }
            let field = |field: &str| step.step.get(field).and_then(serde_json::Value::as_str);
            if field("do") == Some(Operation::SetPiece.name())
                && field("name") == Some(name)
                && let Some(before) = field("piece")
            {
                name = before;
            }
        }
        None
    }

    /// By how much the steps so far declare to have changed the girth at a level, mm.
    #[must_use]
    pub fn declared_girth(&self, level: &LevelName) -> f64 {
        let changes = self.steps.iter().flat_map(|step| &step.girths);
        changes.filter(|change| change.level == *level).map(|change| change.by).sum()
    }
}
