//! Why there can be no layout.

use crate::cloth::OffSelvedge;
use crate::cloth::fit::{too_long, too_wide};
use crate::pattern::{ClothName, PieceName};
use crate::units::{Length, Unit, area};

/// Why pieces cannot be laid on the cloth, however it is done.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// The pieces have more area than the cloth, mm².
    Area {
        /// Of the pieces.
        pieces: f64,
        /// Of the cloth.
        cloth: f64,
    },
    /// A piece is wider than the cloth at every turn allowed, mm.
    TooWide {
        /// The piece.
        piece: PieceName,
        /// Its least width.
        width: f64,
        /// The greatest width of the cloth.
        widest: f64,
    },
    /// A piece is longer than the cloth, mm.
    TooLong {
        /// The piece.
        piece: PieceName,
        /// Its least length where it is not too wide.
        length: f64,
        /// The greatest length of the cloth.
        longest: f64,
    },
    /// No hold or stripe leaves a piece a place.
    NoPlace {
        /// The piece.
        piece: PieceName,
    },
    /// The edges to be held on selvedges are together longer than these, mm.
    Selvedges {
        /// Of the edges.
        edges: f64,
        /// Of the selvedges.
        selvedges: f64,
    },
    /// Edges of a piece are to lie on selvedges of its cloth, and cannot.
    OffSelvedge {
        /// The piece.
        piece: PieceName,
        /// Its cloth.
        cloth: ClothName,
        /// Which edge, and why.
        why: OffSelvedge,
    },
}

impl Reason {
    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        match self {
            Reason::Area { pieces, cloth } => {
                format!("the pieces take {}, the cloth has {}", area(*pieces, unit), area(*cloth, unit))
            }
            Reason::TooWide { piece, width, widest } => format!(
                "`{piece}` is at least {} wide, the cloth {}: {}",
                show(*width),
                show(*widest),
                too_wide(width - widest, unit)
            ),
            Reason::TooLong { piece, length, longest } => format!(
                "`{piece}` is {} long, the cloth {}: {}",
                show(*length),
                show(*longest),
                too_long(length - longest, unit)
            ),
            Reason::NoPlace { piece } => {
                format!("`{piece}` has no place where its edges and stripes are held as asked")
            }
            Reason::Selvedges { edges, selvedges } => format!(
                "the edges to lie on selvedges are {} long together, the selvedges {}",
                show(*edges),
                show(*selvedges)
            ),
            Reason::OffSelvedge { piece, cloth, why } => why.sentence(piece, cloth, unit),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_told_in_the_unit_that_is_asked_for() {
        let reason = Reason::Area { pieces: 2e6, cloth: 1e6 };
        let told = |unit| reason.sentence(unit);
        assert!(told(Unit::Millimetre).contains("2.00 m²"), "{}", told(Unit::Millimetre));
        assert!(told(Unit::Inch).contains("2.39 yd², the cloth has 1.20 yd²"), "{}", told(Unit::Inch));
    }
}
