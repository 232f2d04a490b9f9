//! What makes a derived piece.

use serde::Deserialize;

use crate::derive::{AddFacing, AddStrip, CopyPiece, MadePiece};
use crate::pattern::{Derived, Making, Pattern, PieceName, Refusal, RefusalKind};

/// The fields by which a piece is made of others.
#[derive(Clone, Debug, PartialEq)]
pub enum Fields {
    /// Those of a copy.
    Copy(CopyPiece),
    /// Those of a facing.
    Facing(AddFacing),
    /// Those of a strip.
    Strip(AddStrip),
}

impl Fields {
    /// The fields by which a piece of the pattern was made, as they stand in the record.
    ///
    /// # Errors
    ///
    /// Refuses a piece of which the record does not tell how it was made.
    pub(super) fn of(pattern: &Pattern, piece: &PieceName, derived: &Derived) -> Result<Fields, Refusal> {
        let made = pattern.record.made_last(piece);
        let found = made.and_then(|made| Fields::from_value(derived.by, &made.by));
        found.ok_or_else(|| {
            Refusal::new(
                RefusalKind::BadField,
                piece,
                format!("the record does not say with which fields `{}` made the piece", derived.by.word()),
                format!(
                    "take data-from and data-made-by off the piece, or make it anew with {}",
                    derived.by.word()
                ),
            )
        })
    }

    fn from_value(making: Making, value: &serde_json::Value) -> Option<Fields> {
        let mut fields = value.as_object()?.clone();
        if fields.remove("do")?.as_str()? != making.word() {
            return None;
        }
        let fields = serde_json::Value::Object(fields);
        match making {
            Making::Copy => CopyPiece::deserialize(fields).ok().map(Fields::Copy),
            Making::Facing => AddFacing::deserialize(fields).ok().map(Fields::Facing),
            Making::Strip => AddStrip::deserialize(fields).ok().map(Fields::Strip),
        }
    }

    /// Makes the pieces.
    ///
    /// # Errors
    ///
    /// What the operation refuses.
    pub fn made(&self, pattern: &Pattern) -> Result<Vec<MadePiece>, Refusal> {
        match self {
            Fields::Copy(fields) => Ok(vec![fields.made(pattern)?]),
            Fields::Facing(fields) => fields.made(pattern),
            Fields::Strip(fields) => Ok(vec![fields.made(pattern)?]),
        }
    }
}
