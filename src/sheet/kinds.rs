//! What each element of a sheet is: by its `data-kind`, by its class, or by its id alone.

use crate::drawing::{Node, Tag, Visibility};
use crate::pattern::mistyped;

/// What an element inside a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ElementKind {
    Edge,
    Dart,
    Pleat,
    Grainline,
    Level,
    Point,
    Notch,
    StyleLine,
    Mark,
    /// A group inside the piece whose elements are read one by one.
    Inner,
}

const KINDS: &[(&str, ElementKind)] = &[
    ("edge", ElementKind::Edge),
    ("dart", ElementKind::Dart),
    ("pleat", ElementKind::Pleat),
    ("grainline", ElementKind::Grainline),
    ("level", ElementKind::Level),
    ("point", ElementKind::Point),
    ("notch", ElementKind::Notch),
    ("style-line", ElementKind::StyleLine),
    ("mark", ElementKind::Mark),
];

impl ElementKind {
    /// The kinds that an element can state.
    pub(super) fn all() -> impl Iterator<Item = ElementKind> {
        KINDS.iter().map(|(_, kind)| *kind)
    }

    /// The word by which an element states it.
    pub(super) fn word(self) -> &'static str {
        KINDS.iter().find(|(_, kind)| *kind == self).map_or("g", |(word, _)| word)
    }
}

/// The kind that was likely meant by a word that is none.
pub(super) fn mistyped_kind(word: &str) -> Option<&'static str> {
    mistyped(word, KINDS.iter().map(|(known, _)| *known).chain([PIECE]))
}

/// The words for the kinds of things on a piece.
pub(super) fn kinds_in_words() -> String {
    KINDS.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
}

/// The kind that an element states, where it is no kind of anything.
pub(super) fn unknown_kind(node: &Node) -> Option<&str> {
    node.attribute("data-kind")
        .filter(|word| known(word).is_none() && ![PIECE, DERIVED, PLACED].contains(word))
}

/// The kind of a group that is a piece.
pub(super) const PIECE: &str = "piece";
/// The kind of what is made anew each time a sheet is written.
pub(super) const DERIVED: &str = "derived";
/// The kind of a group that puts kept elements where they belong.
pub(super) const PLACED: &str = "placed";

/// Whether an element is of a kind that is none of [`ElementKind`]: by `data-kind`, or where there is none, by its class.
fn is_stated(node: &Node, kind: &str) -> bool {
    match node.attribute("data-kind") {
        Some(stated) => stated == kind,
        None => node.classes.iter().any(|class| class == kind),
    }
}

/// Whether the element is one that we derive and make anew.
pub(super) fn is_ours(node: &Node) -> bool {
    is_stated(node, DERIVED)
}

/// Whether it is a wrapper that puts kept elements where they belong.
pub(super) fn is_placed(node: &Node) -> bool {
    node.tag == Tag::Group && is_stated(node, PLACED)
}

pub(super) fn is_blank(node: &Node) -> bool {
    node.tag == Tag::Characters && node.raw.trim().is_empty()
}

/// Whether a node is a piece: by its kind, its class, or by edges inside that bear its name.
pub(super) fn is_piece(node: &Node) -> bool {
    let container = matches!(node.tag, Tag::Group | Tag::Use | Tag::Link | Tag::Svg);
    if !container || node.visible == Visibility::Unused {
        return false;
    }
    is_stated(node, PIECE) || (node.attribute("data-kind").is_none() && names_its_edges(node))
}

fn names_its_edges(node: &Node) -> bool {
    let ids = ids(node);
    node.children.iter().any(|child| child.geometry.is_some() && bears_name_of(child, &ids))
}

/// The ids under which an element is known: its own, and that of what it brings in.
pub(super) fn ids(node: &Node) -> Vec<&str> {
    [node.id.as_deref(), node.source_id.as_deref()].into_iter().flatten().collect()
}

/// Whether an id reads `piece.name` for one of the piece's ids.
fn bears_name_of(node: &Node, piece_ids: &[&str]) -> bool {
    let id = node.id.as_deref().or(node.source_id.as_deref()).unwrap_or_default();
    piece_ids.iter().any(|piece| id.strip_prefix(piece).is_some_and(|rest| rest.starts_with('.')))
}

/// The name of an element within its piece: what stands behind the first `.` of its id, without the kind that may follow
/// it, as in `back.waist.level`.
pub(super) fn own_name(node: &Node) -> Option<&str> {
    let id = node.id.as_deref().or(node.source_id.as_deref())?;
    let name = id.split_once('.').map_or(id, |(_, name)| name);
    Some(name_and_kind(name).map_or(name, |(name, _)| name))
}

/// A name that is followed by its kind.
fn name_and_kind(name: &str) -> Option<(&str, ElementKind)> {
    let (name, word) = name.rsplit_once('.')?;
    Some((name, known(word)?))
}

fn known(word: &str) -> Option<ElementKind> {
    KINDS.iter().find(|(name, _)| *name == word).map(|(_, kind)| *kind)
}

/// The word by which an element states its kind, if it does.
pub(super) fn stated_word(node: &Node) -> Option<&str> {
    let is_kind = |class: &&str| known(class).is_some() || [PIECE, DERIVED, PLACED].contains(class);
    let stated = node.attribute("data-kind");
    stated.or_else(|| node.classes.iter().map(String::as_str).find(is_kind))
}

/// The kind that an element states, by its `data-kind` or its class.
pub(super) fn stated_kind(node: &Node) -> Option<ElementKind> {
    match node.attribute("data-kind") {
        Some(kind) => known(kind),
        None => node.classes.iter().find_map(|class| known(class)),
    }
}

pub(super) fn kind_of(node: &Node, piece_ids: &[&str]) -> ElementKind {
    if let Some(kind) = stated_kind(node) {
        return kind;
    }
    if node.attribute("data-kind").is_some() || node.geometry.is_none() || !bears_name_of(node, piece_ids) {
        return ElementKind::Mark;
    }
    let id = node.id.as_deref().or(node.source_id.as_deref()).unwrap_or_default();
    match (name_and_kind(id), &node.tag) {
        (Some((_, kind)), _) => kind,
        (None, Tag::Circle | Tag::Ellipse) => ElementKind::Point,
        (None, _) => ElementKind::Edge,
    }
}
