//! What is made of others.

use serde::Serialize;

use crate::pattern::{EdgeName, EdgeRef, LaidPart, Made, Making, Piece, Refusal, Seam};
use crate::units::Length;

/// A piece made of others, as it would lie on its source.
#[derive(Clone, Debug)]
pub struct MadePiece {
    /// The piece; what it was made from stands on it.
    pub piece: Piece,
    /// The step that makes it by itself, as it stands in a recipe.
    pub by: serde_json::Value,
    /// How it lies on what it was made from.
    pub laid: Vec<LaidPart>,
    /// The seams that hold it to other pieces.
    pub seams: Vec<Seam>,
    /// The ends of it that lie on another's, and are not sewn to them.
    pub unequal: Vec<UnequalEnds>,
    /// Edges of other pieces that must be divided at a walk distance before it can be sewn to a part of them.
    pub divides: Vec<(EdgeRef, f64)>,
}

/// The ends of two facings at one seam that are not sewn to each other, since the one is longer.
#[derive(Clone, Debug, PartialEq)]
pub struct UnequalEnds {
    /// The longer.
    pub longer: EdgeRef,
    /// The shorter.
    pub shorter: EdgeRef,
    /// How long they are, the longer first.
    pub lengths: (Length, Length),
}

impl MadePiece {
    /// Gives an edge of it another name, wherever it is named.
    pub(super) fn rename_edge(&mut self, old: &EdgeName, new: &EdgeName) -> Result<(), Refusal> {
        self.piece.rename_edge(old, new)?;
        for lies in self.laid.iter_mut().flat_map(|part| &mut part.stretches).filter(|lies| lies.edge == *old)
        {
            lies.edge = new.clone();
        }
        let piece = self.piece.name().clone();
        let edges = self.seams.iter_mut().flat_map(Seam::edges_mut).map(|run| &mut run.edge);
        let ends = self.unequal.iter_mut().flat_map(|ends| [&mut ends.longer, &mut ends.shorter]);
        for edge in edges.chain(ends).filter(|edge| edge.piece == piece && edge.edge == *old) {
            edge.edge = new.clone();
        }
        Ok(())
    }

    /// What stands of it in the record.
    #[must_use]
    pub fn recorded(&self) -> Made {
        Made { piece: self.piece.name().clone(), by: self.by.clone(), laid: self.laid.clone() }
    }
}

/// A step as data, as it stands in a recipe: its fields and its name.
pub(super) fn as_step(making: Making, fields: &impl Serialize) -> serde_json::Value {
    let mut fields = serde_json::to_value(fields).unwrap_or_default();
    if let Some(fields) = fields.as_object_mut() {
        fields.insert("do".to_owned(), making.word().into());
    }
    fields
}
