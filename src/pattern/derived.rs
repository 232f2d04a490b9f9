//! Pieces that were made of others and follow them: copies, facings, strips.
//!
//! What a piece was made from is named by what there is now, so that whatever cuts, joins or renames that names it anew,
//! as in seams. The fields by which it was made stand in the record ([`Record::made_by`](crate::pattern::Record::made_by)).

use std::fmt;
use std::str::FromStr;

use crate::pattern::{EdgeRef, NameError, Operation, PieceName};

/// The operations that make pieces of others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Making {
    /// The same piece once more.
    Copy,
    /// A facing along a run of edges.
    Facing,
    /// A strip over a seam or a line.
    Strip,
}

impl Making {
    /// All of them.
    pub const ALL: [Making; 3] = [Making::Copy, Making::Facing, Making::Strip];

    /// The operation.
    #[must_use]
    pub fn operation(self) -> Operation {
        match self {
            Making::Copy => Operation::CopyPiece,
            Making::Facing => Operation::AddFacing,
            Making::Strip => Operation::AddStrip,
        }
    }

    /// The word for it on a sheet: the operation's name.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.operation().name()
    }
}

/// What a piece was made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MadeFrom {
    /// Pieces: one, or the parts that it was cut in since.
    Pieces(Vec<PieceName>),
    /// A run of edges, in order.
    Run(Vec<EdgeRef>),
}

impl MadeFrom {
    /// The pieces that it names, each once.
    #[must_use]
    pub fn pieces(&self) -> Vec<&PieceName> {
        let mut names: Vec<&PieceName> = match self {
            MadeFrom::Pieces(pieces) => pieces.iter().collect(),
            MadeFrom::Run(edges) => edges.iter().map(|edge| &edge.piece).collect(),
        };
        names.dedup();
        names
    }

    pub(super) fn rename_piece(&mut self, old: &PieceName, new: &PieceName) {
        let names: Vec<&mut PieceName> = match self {
            MadeFrom::Pieces(pieces) => pieces.iter_mut().collect(),
            MadeFrom::Run(edges) => edges.iter_mut().map(|edge| &mut edge.piece).collect(),
        };
        for name in names.into_iter().filter(|name| **name == *old) {
            *name = new.clone();
        }
    }

    pub(super) fn edges_mut(&mut self) -> impl Iterator<Item = &mut EdgeRef> {
        match self {
            MadeFrom::Pieces(_) => [].iter_mut(),
            MadeFrom::Run(edges) => edges.iter_mut(),
        }
    }
}

/// The names with a space between them, as in `data-from`.
impl fmt::Display for MadeFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<String> = match self {
            MadeFrom::Pieces(pieces) => pieces.iter().map(ToString::to_string).collect(),
            MadeFrom::Run(edges) => edges.iter().map(ToString::to_string).collect(),
        };
        f.write_str(&names.join(" "))
    }
}

impl FromStr for MadeFrom {
    type Err = NameError;

    fn from_str(text: &str) -> Result<MadeFrom, NameError> {
        let names: Vec<&str> = text.split_whitespace().collect();
        match names.first() {
            None => Err(NameError::Empty),
            Some(first) if first.contains('.') => {
                Ok(MadeFrom::Run(names.into_iter().map(str::parse).collect::<Result<_, _>>()?))
            }
            Some(_) => Ok(MadeFrom::Pieces(names.into_iter().map(str::parse).collect::<Result<_, _>>()?)),
        }
    }
}

/// That a piece was made of others, and follows them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Derived {
    /// How.
    pub by: Making,
    /// From what.
    pub from: MadeFrom,
}

impl fmt::Display for Derived {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {}", self.by.word(), self.from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_piece_was_made_from_is_shown_as_it_is_written() {
        for text in ["front", "front-centre front-side", "front.neck back.neck", "back.centre/m"] {
            assert_eq!(text.parse::<MadeFrom>().unwrap().to_string(), text);
        }
        for text in ["", "front.neck back", "a/b"] {
            assert!(text.parse::<MadeFrom>().is_err(), "{text}");
        }
    }
}
