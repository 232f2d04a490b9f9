//! What makes a derived piece, and what is made.

use serde::Deserialize;

use crate::derive::{AddFacing, CopyPiece};
use crate::pattern::{
    Derived, LaidPart, Made, Making, Operation, Pattern, Piece, PieceName, Refusal, RefusalKind, Seam,
};

/// The fields by which a piece is made of others.
#[derive(Clone, Debug, PartialEq)]
pub enum Fields {
    /// Those of a copy.
    Copy(CopyPiece),
    /// Those of a facing.
    Facing(AddFacing),
}

/// A piece made of others, as it would lie on its source.
#[derive(Clone, Debug)]
pub struct MadePiece {
    /// The piece; what it was made from stands on it.
    pub piece: Piece,
    /// The fields that make it by itself.
    pub fields: Fields,
    /// How it lies on what it was made from.
    pub laid: Vec<LaidPart>,
    /// The seams that hold it to other pieces.
    pub seams: Vec<Seam>,
}

impl MadePiece {
    /// What stands of it in the record.
    #[must_use]
    pub fn recorded(&self) -> Made {
        Made { piece: self.piece.name().clone(), by: self.fields.to_value(), laid: self.laid.clone() }
    }
}

impl Fields {
    /// The fields by which a piece of the pattern was made, as they stand in the record.
    ///
    /// # Errors
    ///
    /// Refuses a piece of which the record does not tell how it was made.
    pub(super) fn of(pattern: &Pattern, piece: &PieceName, derived: &Derived) -> Result<Fields, Refusal> {
        let found = pattern.record.made_by(piece).and_then(|value| Fields::from_value(derived.by, value));
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
        }
    }

    fn operation(&self) -> Operation {
        match self {
            Fields::Copy(_) => Making::Copy.operation(),
            Fields::Facing(_) => Making::Facing.operation(),
        }
    }

    /// The step as data, as it stands in a recipe.
    #[must_use]
    pub fn to_value(&self) -> serde_json::Value {
        let fields = match self {
            Fields::Copy(fields) => serde_json::to_value(fields),
            Fields::Facing(fields) => serde_json::to_value(fields),
        };
        let mut fields = fields.unwrap_or_default();
        if let Some(fields) = fields.as_object_mut() {
            fields.insert("do".to_owned(), self.operation().name().into());
        }
        fields
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
        }
    }
}
