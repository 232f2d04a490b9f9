//! What a pattern has elsewhere than it was drawn.

use std::fmt;

use crate::pattern::EdgeName;

/// Something that a pattern has elsewhere than it was drawn: a drawn line was laid on what it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapped {
    /// What: a piece, or a thing on it as `piece.name`.
    pub at: String,
    /// What was done with it.
    pub how: Snap,
    /// How far it was moved, or what of it lies off what was taken, mm.
    pub by: f64,
}

/// How something drawn was laid on what it belongs to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Snap {
    /// The ends of two edges were joined half way.
    Joined {
        /// The edge that ends there.
        ends: EdgeName,
        /// The edge that starts there.
        starts: EdgeName,
    },
    /// The mouth of a dart was laid on its edge.
    Mouth {
        /// The edge.
        edge: EdgeName,
    },
    /// The foot of a notch was laid on its edge.
    Foot {
        /// The edge.
        edge: EdgeName,
    },
    /// A notch was taken as the straight line of its first stroke.
    FirstStroke,
    /// A line was taken straight from its start to its end.
    Straightened,
    /// A point was taken as a circle as wide as it is drawn.
    Rounded,
}

impl Snapped {
    /// Whether it is the same that was done to the same thing, to within a distance in mm.
    #[must_use]
    pub fn is_same(&self, other: &Snapped, within: f64) -> bool {
        self.at == other.at && self.how == other.how && (self.by - other.by).abs() <= within
    }

    /// What was done, without its place.
    #[must_use]
    pub fn sentence(&self) -> String {
        let by = self.by;
        match &self.how {
            Snap::Joined { ends, starts } => {
                format!("`{ends}` and `{starts}` lie {by:.2} mm apart; joined half way")
            }
            Snap::Mouth { edge } => format!("its mouth is drawn {by:.2} mm off `{edge}`; laid on it"),
            Snap::Foot { edge } => format!("it is drawn from {by:.2} mm off `{edge}`; laid on it"),
            Snap::FirstStroke => {
                format!(
                    "it is drawn up to {by:.2} mm beside its first stroke; only that is read, as straight"
                )
            }
            Snap::Straightened => {
                format!("it is drawn up to {by:.2} mm off the line between its ends; taken as straight")
            }
            Snap::Rounded => format!("it is drawn {by:.2} mm off a circle; taken as one as wide"),
        }
    }
}

impl fmt::Display for Snapped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.at, self.sentence())
    }
}
