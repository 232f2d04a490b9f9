//! The elements of a piece by what they are, in the order in which they stand.

use crate::curve::{Curve, CurveError};
use crate::drawing::{Node, Tag, Visibility};
use crate::pattern::{EdgeRef, Finish, Refusal, RefusalKind, SewnTo};
use crate::sheet::kinds::{ElementKind, ids, is_blank, is_ours, is_placed, kind_of, own_name, unknown_kind};
use crate::sheet::{ReadError, SheetNote};
use crate::units::Length;

/// An element of a piece, and the groups inside the piece that it stands in.
pub(super) struct PieceElement<'a> {
    pub kind: ElementKind,
    pub node: &'a Node,
    /// The groups around it, outermost first.
    pub around: Vec<&'a Node>,
}

/// Elements of a piece by what they are, in the order in which they stand.
pub(super) struct Parts<'a> {
    piece_ids: Vec<&'a str>,
    pub found: Vec<PieceElement<'a>>,
}

impl<'a> Parts<'a> {
    pub(super) fn of(piece: &'a Node, notes: &mut Vec<SheetNote>) -> Parts<'a> {
        let mut parts = Parts { piece_ids: ids(piece), found: Vec::new() };
        for child in &piece.children {
            parts.sort(child, &[], notes);
        }
        parts
    }

    pub(super) fn of_kind(&self, kind: ElementKind) -> impl Iterator<Item = &'a Node> {
        self.found.iter().filter(move |part| part.kind == kind).map(|part| part.node)
    }

    fn sort(&mut self, node: &'a Node, around: &[&'a Node], notes: &mut Vec<SheetNote>) {
        if is_ours(node) || is_blank(node) {
            return;
        }
        if is_placed(node) {
            let kept = node.children.iter().filter(|child| !is_blank(child));
            self.found.extend(kept.map(|node| PieceElement {
                kind: ElementKind::Mark,
                node,
                around: around.to_vec(),
            }));
            return;
        }
        let kind = kind_of(node, &self.piece_ids);
        let inner = matches!(node.tag, Tag::Group | Tag::Link | Tag::Svg) && kind == ElementKind::Mark;
        if inner && self.holds_parts(node) {
            self.found.push(PieceElement { kind: ElementKind::Inner, node, around: around.to_vec() });
            let around = [around, &[node]].concat();
            for child in &node.children {
                self.sort(child, &around, notes);
            }
            return;
        }
        if let Some(stated) = unknown_kind(node) {
            notes.push(SheetNote::UnknownKind { element: node.element(), kind: stated.to_owned() });
        }
        self.found.push(PieceElement { kind, node, around: around.to_vec() });
    }

    fn holds_parts(&self, node: &Node) -> bool {
        node.children.iter().any(|child| {
            kind_of(child, &self.piece_ids) != ElementKind::Mark || is_ours(child) || self.holds_parts(child)
        })
    }
}

/// What an edge says of its seams and finish.
pub(super) struct DeclaredEdge<'a> {
    pub node: &'a Node,
    pub edge: EdgeRef,
    pub sewn_to: Option<SewnTo>,
    /// Ease of each layer.
    pub eases: Vec<Length>,
    pub finish: Option<Finish>,
    pub allowance: Option<Length>,
}

/// A name within a piece.
pub(super) fn name<T: std::str::FromStr>(node: &Node) -> Result<T, ReadError>
where
    T::Err: std::fmt::Display,
{
    let wrong = |what: String| {
        let way_out = "give it an id like front.side";
        ReadError::at(node, Refusal::new(RefusalKind::UnknownName, "id", what, way_out))
    };
    let name = own_name(node).ok_or_else(|| wrong("it has no name".to_owned()))?;
    name.parse().map_err(|error: T::Err| wrong(error.to_string()))
}

/// The one open or closed line of an element.
pub(super) fn curve(node: &Node) -> Result<Curve, ReadError> {
    let wrong = |what: &str, way_out: &str| {
        ReadError::at(node, Refusal::new(RefusalKind::BadOutline, "its line", what, way_out))
    };
    let no_length = || wrong("its length is zero", "draw it from corner to corner, or take it out");
    let Some(path) = &node.geometry else {
        return Err(match node.visible {
            Visibility::NotDisplayed => wrong("it is hidden (display: none)", "show it, or take it out"),
            _ => no_length(),
        });
    };
    let subpaths = path.elements().iter().filter(|el| matches!(el, kurbo::PathEl::MoveTo(_))).count();
    if subpaths > 1 {
        return Err(wrong("it is drawn in several strokes", "draw it as one line, or as several elements"));
    }
    Curve::from_path(path).map_err(|error| match error {
        CurveError::Empty => no_length(),
        error => wrong(&error.to_string(), "draw it as one line from corner to corner"),
    })
}
