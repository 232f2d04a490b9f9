//! What is pressed on the table, and what that answers of a field.

use serde::{Deserialize, Serialize};

use crate::pattern::{Copy, DartName, EdgeRef, LevelName, Line, Pattern, PieceName, Seam, StyleLineName};
use crate::recut::CornerEdges;
use crate::table::field_sort::FieldSort;

/// Something on the table that can be pressed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Thing {
    /// All of it.
    Pattern,
    /// A piece.
    Piece(PieceName),
    /// An edge of a piece.
    Edge(EdgeRef),
    /// A dart of a piece.
    Dart(PieceName, DartName),
    /// A level of a piece.
    Level(PieceName, LevelName),
    /// A style line of a piece.
    StyleLine(PieceName, StyleLineName),
}

impl Thing {
    /// The piece that it is on.
    pub(super) fn piece(&self) -> Option<&PieceName> {
        match self {
            Thing::Pattern => None,
            Thing::Piece(piece)
            | Thing::Dart(piece, _)
            | Thing::Level(piece, _)
            | Thing::StyleLine(piece, _) => Some(piece),
            Thing::Edge(edge) => Some(&edge.piece),
        }
    }

    /// Whether a field of a sort asks for such a thing itself.
    pub(super) fn is_asked_by(&self, sort: FieldSort) -> bool {
        match self {
            Thing::Pattern => false,
            Thing::Piece(_) => sort == FieldSort::Piece,
            Thing::Edge(_) => [
                FieldSort::EdgeOfAny,
                FieldSort::Edge,
                FieldSort::Edges,
                FieldSort::EdgeRun,
                FieldSort::Over,
                FieldSort::Corner,
            ]
            .contains(&sort),
            Thing::Dart(..) => sort == FieldSort::Dart,
            Thing::Level(..) | Thing::StyleLine(..) => [FieldSort::Line, FieldSort::Over].contains(&sort),
        }
    }

    /// What it answers where a field of a sort is to be filled in.
    pub(super) fn answer(&self, sort: FieldSort, pattern: &Pattern) -> Option<String> {
        match (self, sort) {
            (_, FieldSort::Piece) => self.piece().map(ToString::to_string),
            (Thing::Piece(piece), FieldSort::Edges) => Some(format!("{piece}.*")),
            (Thing::Edge(edge), FieldSort::EdgeOfAny | FieldSort::EdgeRun | FieldSort::Over) => {
                Some(edge.to_string())
            }
            (Thing::Edge(edge), FieldSort::Edges) => Some(both_sides(edge, pattern).join(", ")),
            (Thing::Edge(edge), FieldSort::Edge) => Some(edge.edge.to_string()),
            (Thing::Edge(edge), FieldSort::Corner) => {
                let piece = pattern.find(&edge.piece)?;
                let next = piece.edge_ref(piece.next(piece.find_edge(&edge.edge)?));
                Some(CornerEdges { first: edge.clone(), second: next }.to_string())
            }
            (Thing::Dart(_, dart), FieldSort::Dart) => Some(dart.to_string()),
            (Thing::Level(_, level), FieldSort::Line | FieldSort::Over) => {
                Some(Line::Level(level.clone()).to_string())
            }
            (Thing::StyleLine(_, line), FieldSort::Line | FieldSort::Over) => {
                Some(Line::Style(line.clone()).to_string())
            }
            _ => None,
        }
    }
}

/// An edge with what it is sewn to: what is set along a seam is meant of both its sides.
fn both_sides(edge: &EdgeRef, pattern: &Pattern) -> Vec<String> {
    let seams = pattern.seams_of(edge).map(|seam| pattern.seam(seam));
    let sewn = seams.flat_map(Seam::edges).map(|run| EdgeRef { copy: Copy::Drawn, ..run.edge.clone() });
    let mut names: Vec<String> = Vec::new();
    for name in std::iter::once(edge.clone()).chain(sewn).map(|edge| edge.to_string()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}
