//! What the reader tolerated, to be told to the user.

use std::fmt;

use crate::drawing::{NamedElement, Note, UnitSource};
use crate::pattern::{EdgeName, EdgeRef, PieceName, Snapped};
use crate::sheet::kinds::kinds_in_words;
use crate::tolerance::GAP_TOLD;
use crate::units::Length;

/// What a label should say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShouldSay {
    /// This.
    Text(String),
    /// The name of its piece, or of something on it.
    Name,
}

/// Something the reader tolerated.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SheetNote {
    /// Something was laid on what it belongs to.
    Snapped(Snapped),
    /// The drawing reader tolerated something.
    Drawing(Note),
    /// A kind that is not known; the element is kept as it stands.
    UnknownKind {
        /// The element.
        element: NamedElement,
        /// The kind as written.
        kind: String,
    },
    /// A piece is hidden and was not read; it is kept in the background.
    HiddenPiece {
        /// The piece's group.
        element: NamedElement,
    },
    /// Edges stand in no piece and were not read; they are kept in the background.
    EdgesOutside {
        /// The first of them.
        first: NamedElement,
        /// How many there are together.
        count: usize,
    },
    /// Attributes that are not read, but were likely meant to be.
    UnreadAttribute {
        /// The first element that bears it.
        first: NamedElement,
        /// How many bear it together.
        count: usize,
        /// The attribute as written.
        name: String,
        /// What was likely meant.
        meant: Meant,
    },
    /// Edges of a piece that give no allowance, where others do.
    NoAllowance {
        /// The piece.
        piece: PieceName,
        /// Its edges.
        edges: Vec<EdgeName>,
    },
    /// No edge of the sheet gives an allowance.
    NoAllowances,
    /// An id that stood on another element of a piece before.
    RepeatedId {
        /// The element on which it stands again.
        again: NamedElement,
        /// The line on which it stood before.
        before: usize,
        /// How many such ids there are.
        count: usize,
    },
    /// Ease under zero: the other side of the seam is the longer one.
    NegativeEase {
        /// The edge that gives it.
        edge: EdgeRef,
        /// What it gives.
        ease: Length,
        /// The edge that it is sewn to.
        longer: EdgeRef,
    },
    /// The cutting line that is drawn is not the one that the piece's seamlines and allowances give.
    OtherCuttingLine {
        /// The piece.
        piece: PieceName,
        /// How far it is off.
        off: Length,
    },
    /// A label that is drawn says something else than the attributes of its piece.
    OtherLabel {
        /// The piece.
        piece: PieceName,
        /// What it says.
        says: String,
        /// What it should say.
        should: ShouldSay,
    },
    /// The unit given goes before what the file states.
    OtherUnit {
        /// What the file states, mm in a user unit.
        stated: f64,
        /// What is used.
        used: f64,
    },
}

/// What was likely meant by an attribute that is not read where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// One of another name.
    Name(String),
    /// This one on another kind of element.
    On(String),
}

/// How an edge comes to stand in a piece.
const PIECE_WAY_OUT: &str = "mark the group around a piece with data-kind=\"piece\" and an id";

/// How an edge comes to an allowance.
const ALLOWANCE_WAY_OUT: &str =
    "say data-allowance=\"15mm\" (\"0mm\" where there is none), or use retrue set-allowance";

impl SheetNote {
    /// Whether it is to be looked at twice, since what was meant may have been lost.
    #[must_use]
    pub fn is_warning(&self) -> bool {
        matches!(
            self,
            SheetNote::UnreadAttribute { .. }
                | SheetNote::NoAllowance { .. }
                | SheetNote::NoAllowances
                | SheetNote::RepeatedId { .. }
                | SheetNote::NegativeEase { .. }
                | SheetNote::OtherCuttingLine { .. }
                | SheetNote::OtherLabel { .. }
        )
    }

    /// What was laid elsewhere, where it is told on reading.
    pub(super) fn of_snapped(snapped: &Snapped) -> Option<SheetNote> {
        (snapped.by > GAP_TOLD).then(|| SheetNote::Snapped(snapped.clone()))
    }

    pub(super) fn of_unit(unit: &UnitSource) -> Option<SheetNote> {
        match unit {
            UnitSource::Stated { .. } => None,
            UnitSource::Told { mm_per_unit, stated, .. }
            | UnitSource::Measured { mm_per_unit, stated, .. } => {
                let stated = (*stated)?;
                let differs = (stated / mm_per_unit - 1.0).abs() > crate::tolerance::UNEQUAL_SCALES;
                differs.then_some(SheetNote::OtherUnit { stated, used: *mm_per_unit })
            }
        }
    }
}

impl fmt::Display for SheetNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SheetNote::Snapped(snapped) => write!(f, "{snapped}"),
            SheetNote::Drawing(note) => write!(f, "{note}"),
            SheetNote::UnknownKind { element, kind } => {
                let known = kinds_in_words();
                write!(
                    f,
                    "{element}: data-kind=\"{kind}\" is none of {known}: not read, kept as it stands; \
                     data-kind=\"mark\" says that it is meant so"
                )
            }
            SheetNote::HiddenPiece { element } => {
                write!(f, "{element} is a piece, but hidden: not read; show it, or take it out")
            }
            SheetNote::EdgesOutside { first, count: 1 } => {
                write!(f, "{first} is an edge, but stands in no piece: not read; {PIECE_WAY_OUT}")
            }
            SheetNote::EdgesOutside { first, count } => {
                let others = count - 1;
                write!(f, "{first} and {others} more edges stand in no piece: not read; {PIECE_WAY_OUT}")
            }
            SheetNote::UnreadAttribute { first, count, name, meant } => {
                write!(f, "{first}")?;
                if *count > 1 {
                    write!(f, " and {} more", count - 1)?;
                }
                match meant {
                    Meant::Name(meant) => write!(f, ": `{name}` is not read; did you mean `{meant}`?"),
                    Meant::On(bearer) => write!(f, ": `{name}` is not read here; put it on {bearer}"),
                }
            }
            SheetNote::NoAllowance { piece, edges } => {
                let give = if edges.len() == 1 { "gives" } else { "give" };
                let names = edges.iter().map(|edge| format!("`{edge}`")).collect::<Vec<_>>().join(", ");
                write!(f, "{piece}: {names} {give} no allowance: taken as 0 mm; {ALLOWANCE_WAY_OUT}")
            }
            SheetNote::NoAllowances => {
                write!(f, "no edge gives an allowance: all are taken as 0 mm; {ALLOWANCE_WAY_OUT}")
            }
            SheetNote::RepeatedId { again, before, count } => {
                write!(f, "{again}: the id stands on line {before} already")?;
                if *count > 1 {
                    write!(f, ", and so with {} more", count - 1)?;
                }
                write!(f, "; read by its name within its own piece: give each element an id of its own")
            }
            SheetNote::NegativeEase { edge, ease, longer } => write!(
                f,
                "{edge} has ease of {ease}, so that {longer} is the longer side: if so, write data-ease=\"{}\" there, \
                 else take the - out",
                Length::from_mm(-ease.mm())
            ),
            SheetNote::OtherCuttingLine { piece, off } => write!(
                f,
                "{piece}: the cutting line that is drawn is up to {off} off the one that its seamlines and allowances give: it was \
                 changed by hand, or they were; do not cut by it. It is not read, and drawn anew by the next step"
            ),
            SheetNote::OtherLabel { piece, says, should } => {
                let should = match should {
                    ShouldSay::Text(text) => format!("and by its attributes it is \"{text}\""),
                    ShouldSay::Name => "and nothing on it is called so".to_owned(),
                };
                write!(
                    f,
                    "{piece}: a label says \"{says}\", {should}: one of the two was changed by hand; do not cut by the label. It \
                     is not read, and drawn anew by the next step"
                )
            }
            SheetNote::OtherUnit { stated, used } => write!(
                f,
                "the sheet states {stated:.6} mm in a unit, but {used:.6} mm is used as asked; measure the print"
            ),
        }
    }
}
