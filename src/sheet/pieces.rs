//! From a group on the sheet to a piece: its edges, and what else stands on it.

use crate::curve::Point;
use crate::drawing::{Node, SourceText};
use crate::pattern::{
    ClothName, Cut, Edge, EdgeName, EdgeRef, GirthUse, Piece, PieceName, Refusal, RefusalKind, Snapped,
};
use crate::sheet::attributes::Bearer;
use crate::sheet::kinds::ElementKind;
use crate::sheet::parts::{DeclaredEdge, Parts, curve, name};
use crate::sheet::snaps::Snaps;
use crate::sheet::{ReadError, SheetNote, agreed, attributes, kept, marks, oversights};
use crate::tolerance::MOST_EDGES;
use crate::units::Length;

/// A piece as it was read, and what its edges say they are sewn to.
pub(super) struct ReadPiece<'a> {
    pub piece: Piece,
    pub declared: Vec<DeclaredEdge<'a>>,
    /// What was laid elsewhere than it is drawn.
    pub snapped: Vec<Snapped>,
    /// Source texts that stand on the piece as they are.
    pub carried: Vec<SourceText>,
}

/// How many elements of any kind a piece may have: each notch is sought on each edge.
const MOST_PARTS: usize = 5_000;

/// Reads a piece.
pub(super) fn read<'a>(node: &'a Node, notes: &mut Vec<SheetNote>) -> Result<ReadPiece<'a>, ReadError> {
    let name = piece_name(node)?;
    oversights::tell_unread(node, Bearer::Piece, notes);
    let parts = Parts::of(node, notes);
    refuse_too_many(node, &parts)?;
    for part in parts.of_kind(ElementKind::Mark) {
        oversights::refuse_mistyped_kind(part)?;
    }
    let mut edges = Vec::new();
    let mut declared = Vec::new();
    for part in parts.of_kind(ElementKind::Edge) {
        let (edge, says) = read_edge(&name, part)?;
        edges.push(edge);
        declared.push(says);
    }
    let edges = in_order(edges);
    let mut snaps = Snaps::of_piece(&name);
    snaps.ends(&edges);
    let mut piece = Piece::new(name, edges)
        .map_err(|refusal| ReadError::at(node, oversights::with_unknown_kinds(refusal, &parts)))?;
    piece.cut = attributes::value::<Cut>(node, "data-cut")?.unwrap_or(Cut::ONE);
    piece.cloth = attributes::value::<ClothName>(node, "data-cloth")?.unwrap_or_else(ClothName::main);
    piece.purpose = attributes::purpose(node)?;
    piece.derived = attributes::derived(node)?;
    piece.corners = attributes::corners(node)?;
    piece.kept = kept::of(node);
    for part in &parts.found {
        if part.kind != ElementKind::Mark {
            oversights::tell_unread(part.node, Bearer::Part(part.kind), notes);
        }
        marks::add(&mut piece, part, &mut snaps)?;
    }
    say_girth(node, &mut piece, notes)?;
    for corner in &piece.corners {
        agreed::refuse_apart(&piece, corner).map_err(|refusal| ReadError::at(node, refusal))?;
    }
    let carried = parts.of_kind(ElementKind::Mark).map(|mark| mark.raw.clone()).collect();
    Ok(ReadPiece { piece, declared, snapped: snaps.found, carried })
}

/// What a piece says for all of its levels. Where it has none that is kept as it stands, and told.
fn say_girth(node: &Node, piece: &mut Piece, notes: &mut Vec<SheetNote>) -> Result<(), ReadError> {
    let girth = attributes::girth(node)?;
    if piece.levels.is_empty() {
        oversights::tell_without_levels(node, &mut piece.kept, notes);
    }
    if girth == GirthUse::LeftOut {
        piece.levels.iter_mut().for_each(|level| level.girth = GirthUse::LeftOut);
    }
    Ok(())
}

fn refuse_too_many(node: &Node, parts: &Parts) -> Result<(), ReadError> {
    let edges = parts.of_kind(ElementKind::Edge).count();
    let (what, most) = if edges > MOST_EDGES {
        (format!("the piece has {edges} edges"), MOST_EDGES)
    } else if parts.found.len() > MOST_PARTS {
        (format!("the piece has {} elements", parts.found.len()), MOST_PARTS)
    } else {
        return Ok(());
    };
    let way_out = format!("draw each edge as one path from corner to corner; up to {most} are read");
    let id = node.id.as_deref().unwrap_or("piece");
    Err(ReadError::at(node, Refusal::new(RefusalKind::BadOutline, id, what, way_out)))
}

fn piece_name(node: &Node) -> Result<PieceName, ReadError> {
    let Some(id) = &node.id else {
        return Err(ReadError::at(
            node,
            Refusal::new(RefusalKind::UnknownName, "piece", "the piece has no name", "give its group an id"),
        ));
    };
    id.parse().map_err(|error| {
        ReadError::at(
            node,
            Refusal::new(
                RefusalKind::UnknownName,
                id,
                error,
                "give the piece's group an id without these signs",
            ),
        )
    })
}

const ALLOWANCE_WAY_OUT: &str = "an allowance is added outside the seamline: give zero or more";
const LAP_WAY_OUT: &str = "a lap is how far inside its edge the stitching runs: give zero or more";

fn read_edge<'a>(piece: &PieceName, node: &'a Node) -> Result<(Edge, DeclaredEdge<'a>), ReadError> {
    let name: EdgeName = name(node)?;
    let allowance = attributes::length(node, "data-allowance", ALLOWANCE_WAY_OUT)?;
    let finish = attributes::finish(node)?;
    let edge = Edge {
        finish: finish.unwrap_or_default(),
        allowance: allowance.unwrap_or_default(),
        selvedge: attributes::selvedge(node)?,
        open: attributes::open(node)?,
        lap: attributes::length(node, "data-lap", LAP_WAY_OUT)?,
        origins: attributes::origins(node)?,
        kept: kept::of(node),
        ..Edge::new(name.clone(), curve(node)?)
    };
    let declared = DeclaredEdge {
        node,
        edge: EdgeRef::new(piece.clone(), name),
        sewn_to: attributes::value(node, "data-sewn-to")?,
        eases: eases(node)?,
        finish,
        allowance,
    };
    Ok((edge, declared))
}

fn eases(node: &Node) -> Result<Vec<Length>, ReadError> {
    let Some(text) = node.attribute("data-ease") else { return Ok(Vec::new()) };
    let read = |part: &str| {
        part.parse::<Length>().map_err(|error| {
            let way_out = "write data-ease=\"25mm\", with ; between layers";
            ReadError::at(node, Refusal::new(RefusalKind::BadField, "data-ease", error, way_out))
        })
    };
    text.split(';').map(read).collect()
}

/// Edges in the order in which they meet, each turned to go on from the one before.
fn in_order(mut edges: Vec<Edge>) -> Vec<Edge> {
    if edges.is_empty() {
        return edges;
    }
    let mut chain = vec![edges.remove(0)];
    while !edges.is_empty() {
        let end = chain.last().map_or(Point::ZERO, |edge| edge.curve.end());
        let near = |edge: &Edge| edge.curve.start().distance(end).min(edge.curve.end().distance(end));
        let next = (0..edges.len()).min_by(|a, b| near(&edges[*a]).total_cmp(&near(&edges[*b])));
        let mut edge = edges.remove(next.unwrap_or(0));
        if edge.curve.end().distance(end) < edge.curve.start().distance(end) {
            edge = turned(edge);
        }
        chain.push(edge);
    }
    chain
}

fn turned(mut edge: Edge) -> Edge {
    edge.curve = edge.curve.reversed();
    edge
}
