//! Why the edges of a piece that are to lie on selvedges cannot, on its cloth.

use serde::Serialize;

use crate::pattern::{ClothName, EdgeName, PieceName};
use crate::units::{Length, Unit};

/// Why an edge of a piece that is to lie on a selvedge of its cloth lies on none.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "kebab-case")]
pub enum OffSelvedge {
    /// The cloth has no selvedge where the edge lies.
    NoSelvedge {
        /// The edge.
        edge: EdgeName,
    },
    /// The edge bends, or the piece reaches out beside it.
    NotAtSide {
        /// The edge.
        edge: EdgeName,
        /// By how much, mm.
        by: f64,
    },
    /// The edge would lie on the right selvedge, which is not straight since the width varies.
    Uneven {
        /// The edge.
        edge: EdgeName,
    },
    /// The piece is to lie on both selvedges and is narrower than the cloth.
    NotBoth {
        /// The edge that would lie on the right one.
        edge: EdgeName,
        /// The width of the piece, mm.
        width: f64,
        /// The width of the cloth, mm.
        cloth: f64,
    },
}

impl OffSelvedge {
    /// The edge that lies on none.
    #[must_use]
    pub fn edge(&self) -> &EdgeName {
        match self {
            OffSelvedge::NoSelvedge { edge }
            | OffSelvedge::NotAtSide { edge, .. }
            | OffSelvedge::Uneven { edge }
            | OffSelvedge::NotBoth { edge, .. } => edge,
        }
    }

    /// In words, for people: the edge, the cloth, and why.
    #[must_use]
    pub fn sentence(&self, piece: &PieceName, cloth: &ClothName, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        match self {
            OffSelvedge::NoSelvedge { edge } => {
                format!("`{piece}.{edge}` is to lie on a selvedge that `{cloth}` does not have")
            }
            OffSelvedge::NotAtSide { edge, by } => format!(
                "`{piece}.{edge}` is to lie on the selvedge, but bends or lies {} inside what is cut of the piece",
                show(*by)
            ),
            OffSelvedge::Uneven { edge } => format!(
                "`{piece}.{edge}` is to lie on the right selvedge, which is not straight where the width of `{cloth}` varies"
            ),
            OffSelvedge::NotBoth { width, cloth, .. } => format!(
                "`{piece}` is to lie on both selvedges, but is {} wide on cloth of {}",
                show(*width),
                show(*cloth)
            ),
        }
    }
}
