//! Telling pieces from everything else on a sheet.
//!
//! Groups around pieces (layers) are taken apart, since a piece stands by itself on a written sheet. What else stands in
//! such a group is kept together under a shell: a group with the id and the attributes of the layer.

use crate::curve::{Affine, Rect};
use crate::drawing::{Node, SourceText, Tag, Visibility};
use crate::pattern::Foreign;
use crate::sheet::SheetNote;
use crate::sheet::kept::{self, Shell};
use crate::sheet::kinds::{
    ElementKind, PIECE, is_blank, is_ours, is_piece, is_placed, mistyped_kind, stated_kind, unknown_kind,
};

/// Pieces and everything else, told apart.
#[derive(Default)]
pub(super) struct ToldApart<'a> {
    pub pieces: Vec<&'a Node>,
    pub foreign: Vec<Foreign>,
    /// Groups that were likely meant as pieces: their kind is a slip of it.
    pub mistyped: Vec<&'a Node>,
    /// Source texts that stand in `foreign`.
    pub carried: Vec<SourceText>,
}

impl<'a> ToldApart<'a> {
    /// Sorts a node in; `layers` are the groups it stands in, outermost first.
    pub(super) fn sort(&mut self, node: &'a Node, layers: &[&'a Node], notes: &mut Vec<SheetNote>) {
        if is_ours(node) || is_blank(node) {
            return;
        }
        if is_piece(node) && node.visible != Visibility::NotDisplayed {
            self.pieces.push(node);
        } else if is_placed(node) {
            for child in node.children.iter().filter(|child| !is_blank(child)) {
                self.keep(&[child], layers, notes);
            }
        } else if holds_piece(node) {
            self.take_apart(node, layers, notes);
        } else {
            self.keep(&[node], layers, notes);
        }
    }

    fn take_apart(&mut self, layer: &'a Node, layers: &[&'a Node], notes: &mut Vec<SheetNote>) {
        let layers = [layers, &[layer]].concat();
        let parts = |node: &&Node| is_piece(node) || is_placed(node) || holds_piece(node);
        let (apart, rest): (Vec<&Node>, Vec<&Node>) =
            layer.children.iter().filter(|child| !is_ours(child) && !is_blank(child)).partition(parts);
        if !rest.is_empty() || kept::bears_something(layer) {
            self.keep(&rest, &layers, notes);
        }
        for node in apart {
            self.sort(node, &layers, notes);
        }
    }

    /// Keeps nodes that stand side by side.
    fn keep(&mut self, nodes: &[&'a Node], layers: &[&Node], notes: &mut Vec<SheetNote>) {
        for node in nodes {
            node.walk(&mut |inner| {
                if unknown_kind(inner).and_then(mistyped_kind) == Some(PIECE) {
                    self.mistyped.push(inner);
                }
            });
            tell_what_is_not_read(node, notes);
            self.carried.push(node.raw.clone());
        }
        let layers = if nodes.is_empty() { &layers[layers.len().saturating_sub(1)..] } else { layers };
        let inside: String = nodes.iter().map(|node| kept::source(node)).collect();
        let seen = nodes.iter().find(|node| kept::is_seen(node));
        let place = seen.map_or(Affine::IDENTITY, |node| node.context_to_mm);
        let extent = nodes.iter().filter_map(|node| kept::extent(node)).reduce(|a: Rect, b| a.union(b));
        self.foreign.push(Foreign { source: kept::in_shells(inside, layers, Shell::Named), place, extent });
    }
}

fn holds_piece(node: &Node) -> bool {
    let container = matches!(node.tag, Tag::Group | Tag::Link | Tag::Svg | Tag::Switch | Tag::Use);
    container && node.children.iter().any(|child| is_shown_piece(child) || holds_piece(child))
}

fn is_shown_piece(node: &Node) -> bool {
    is_piece(node) && node.visible != Visibility::NotDisplayed
}

/// Tells of pieces that are hidden, and of edges that stand in no piece: both were likely meant to be read.
fn tell_what_is_not_read(node: &Node, notes: &mut Vec<SheetNote>) {
    if is_piece(node) {
        notes.push(SheetNote::HiddenPiece { element: node.element() });
        return;
    }
    let mut edges = Vec::new();
    node.walk(&mut |inner| {
        if stated_kind(inner) == Some(ElementKind::Edge) {
            edges.push(inner);
        }
    });
    if let Some(first) = edges.first() {
        notes.push(SheetNote::EdgesOutside { first: first.element(), count: edges.len() });
    }
}
