//! What a field asks for: told by the type that reads it, as on the command line.

use std::any::TypeId;

use clap::Arg;
use serde::Serialize;

use crate::derive::EdgeRun;
use crate::pattern::{ClothName, DartName, EdgeName, EdgeRef, Line, Pattern, Piece, PieceName, Place};
use crate::recut::{CornerEdges, DartChoice, EdgeChoice, GrainWay, Over, SeamLine, TrueBy};

/// What a field asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FieldSort {
    /// A piece.
    Piece,
    /// An edge of the piece of the step.
    Edge,
    /// An edge, with its piece.
    EdgeOfAny,
    /// One edge or several.
    Edges,
    /// Edges one after another.
    EdgeRun,
    /// Two edges that meet.
    Corner,
    /// A dart.
    Dart,
    /// Darts, or none.
    Darts,
    /// A place on a piece.
    Place,
    /// A line on a piece.
    Line,
    /// Where a moved seam is to run.
    SeamLine,
    /// Where the grain is to run.
    Grain,
    /// A seam or a line that a strip lies over.
    Over,
    /// Which piece gives.
    TrueBy,
    /// A cloth.
    Cloth,
    /// One of a few words.
    Word,
    /// What is written: a length, a name, a measure.
    Text,
}

impl FieldSort {
    /// Of a field in the definition of an operation.
    pub(super) fn of(field: &Arg) -> FieldSort {
        let parser = field.get_value_parser();
        let read = parser.type_id();
        let is = |known: TypeId| read == known;
        let known = [
            (TypeId::of::<PieceName>(), FieldSort::Piece),
            (TypeId::of::<EdgeName>(), FieldSort::Edge),
            (TypeId::of::<EdgeRef>(), FieldSort::EdgeOfAny),
            (TypeId::of::<EdgeChoice>(), FieldSort::Edges),
            (TypeId::of::<EdgeRun>(), FieldSort::EdgeRun),
            (TypeId::of::<CornerEdges>(), FieldSort::Corner),
            (TypeId::of::<DartName>(), FieldSort::Dart),
            (TypeId::of::<DartChoice>(), FieldSort::Darts),
            (TypeId::of::<Place>(), FieldSort::Place),
            (TypeId::of::<Line>(), FieldSort::Line),
            (TypeId::of::<SeamLine>(), FieldSort::SeamLine),
            (TypeId::of::<GrainWay>(), FieldSort::Grain),
            (TypeId::of::<Over>(), FieldSort::Over),
            (TypeId::of::<TrueBy>(), FieldSort::TrueBy),
            (TypeId::of::<ClothName>(), FieldSort::Cloth),
        ];
        let of_type = known.into_iter().find(|(id, _)| is(*id)).map(|(_, sort)| sort);
        of_type.unwrap_or(match parser.possible_values() {
            Some(_) => FieldSort::Word,
            None => FieldSort::Text,
        })
    }

    /// What may stand there on a pattern, on the piece that the step is about: all of it where that is closed, else what is
    /// likely.
    pub(super) fn likely(self, pattern: &Pattern, piece: Option<&Piece>) -> Vec<String> {
        let pieces = || pattern.pieces().map(|piece| piece.name().to_string());
        let edges = |piece: &Piece| piece.edge_ids().map(|id| piece.edge_ref(id)).collect::<Vec<_>>();
        let near: Vec<EdgeRef> = match piece {
            Some(piece) => edges(piece),
            None => pattern.pieces().flat_map(edges).collect(),
        };
        let texts = |edges: &[EdgeRef]| edges.iter().map(ToString::to_string).collect::<Vec<_>>();
        match self {
            FieldSort::Piece => pieces().collect(),
            FieldSort::Edge => near.iter().map(|edge| edge.edge.to_string()).collect(),
            FieldSort::EdgeOfAny => texts(&pattern.pieces().flat_map(edges).collect::<Vec<_>>()),
            FieldSort::EdgeRun => texts(&near),
            FieldSort::Over => texts(&near).into_iter().chain(lines(piece)).collect(),
            FieldSort::Edges => {
                piece.map(|piece| format!("{}.*", piece.name())).into_iter().chain(texts(&near)).collect()
            }
            FieldSort::Corner => piece.map(corners).unwrap_or_default(),
            FieldSort::Dart => darts(piece).collect(),
            FieldSort::Darts => ["none".to_owned()].into_iter().chain(darts(piece)).collect(),
            FieldSort::Place => piece.map(places).unwrap_or_default(),
            FieldSort::Line => lines(piece),
            FieldSort::SeamLine => {
                let ways = [SeamLine::Grain, SeamLine::Seam].map(|way| way.to_string());
                ways.into_iter().chain(lines(piece)).collect()
            }
            FieldSort::Grain => {
                let ways = [GrainWay::Lengthwise, GrainWay::Crosswise].map(|way| way.to_string());
                ways.into_iter().chain(lines(piece)).collect()
            }
            FieldSort::TrueBy => [TrueBy::Share.to_string()].into_iter().chain(pieces()).collect(),
            FieldSort::Cloth => {
                let of_pieces = pattern.pieces().map(|piece| piece.cloth.clone());
                let all = of_pieces.chain([ClothName::main(), ClothName::none()]);
                let mut cloths: Vec<String> = all.map(|cloth| cloth.to_string()).collect();
                cloths.sort();
                cloths.dedup();
                cloths
            }
            FieldSort::Word | FieldSort::Text => Vec::new(),
        }
    }

    /// Whether nothing but what is told may stand there.
    pub(super) fn is_closed(self) -> bool {
        matches!(
            self,
            FieldSort::Piece | FieldSort::Edge | FieldSort::EdgeOfAny | FieldSort::Dart | FieldSort::Word
        )
    }
}

fn darts(piece: Option<&Piece>) -> impl Iterator<Item = String> {
    piece.into_iter().flat_map(|piece| piece.darts.iter().map(|dart| dart.name.to_string()))
}

fn corners(piece: &Piece) -> Vec<String> {
    let pairs = piece
        .edge_ids()
        .map(|id| CornerEdges { first: piece.edge_ref(id), second: piece.edge_ref(piece.next(id)) });
    pairs.map(|pair| pair.to_string()).collect()
}

fn places(piece: &Piece) -> Vec<String> {
    let points = piece.points.iter().map(|point| point.name.to_string());
    let halves = piece.edges().iter().map(|edge| format!("{}@50%", edge.name));
    points.chain(halves).collect()
}

fn lines(piece: Option<&Piece>) -> Vec<String> {
    let Some(piece) = piece else { return Vec::new() };
    let levels = piece.levels.iter().map(|level| Line::Level(level.name.clone()).to_string());
    let drawn = piece.style_lines.iter().map(|line| line.name.to_string());
    levels.chain(drawn).collect()
}
