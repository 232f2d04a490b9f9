//! From a group on the sheet to a piece: its edges, and what else stands on it.

use crate::curve::{Curve, Point};
use crate::pattern::{
    ClothName, Cut, Edge, EdgeName, EdgeRef, Finish, GirthUse, Mark, Piece, PieceName, Refusal, RefusalKind,
    SewnTo,
};
use crate::sheet::drawing::{Node, Tag, Visibility};
use crate::sheet::read::{is_blank, is_ours, is_placed};
use crate::sheet::{ReadError, SheetNote, attributes, marks};
use crate::tolerance::GAP_TOLD;
use crate::units::Length;

/// A piece as it was read, and what its edges say they are sewn to.
pub(super) struct ReadPiece<'a> {
    pub node: &'a Node,
    pub piece: Piece,
    pub declared: Vec<DeclaredEdge<'a>>,
}

/// What an edge says of its seams and finish.
pub(super) struct DeclaredEdge<'a> {
    pub node: &'a Node,
    pub edge: EdgeRef,
    pub sewn_to: Option<SewnTo>,
    /// Ease of each layer.
    pub eases: Vec<Length>,
    pub finish: Option<Finish>,
}

/// What an element inside a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Edge,
    Dart,
    Grainline,
    Level,
    Point,
    Notch,
    StyleLine,
    Mark,
}

const KINDS: &[(&str, Kind)] = &[
    ("edge", Kind::Edge),
    ("dart", Kind::Dart),
    ("grainline", Kind::Grainline),
    ("level", Kind::Level),
    ("point", Kind::Point),
    ("notch", Kind::Notch),
    ("style-line", Kind::StyleLine),
    ("mark", Kind::Mark),
];

/// Whether a node is a piece: by its kind, its class, or by edges inside that bear its name.
pub(super) fn is_piece(node: &Node) -> bool {
    let container = matches!(node.tag, Tag::Group | Tag::Use | Tag::Link | Tag::Svg);
    if !container || node.visible == Visibility::Unused {
        return false;
    }
    match node.attribute("data-kind") {
        Some(kind) => kind == "piece",
        None => node.classes.iter().any(|class| class == "piece") || names_its_edges(node),
    }
}

fn names_its_edges(node: &Node) -> bool {
    let Some(id) = &node.id else { return false };
    let bears_it = |child: &Node| {
        let name = child.id.as_deref().and_then(|name| name.strip_prefix(id.as_str()));
        child.geometry.is_some() && name.is_some_and(|rest| rest.starts_with('.'))
    };
    node.children.iter().any(bears_it)
}

/// The name of an element within its piece: what stands behind the first `.` of its id.
pub(super) fn own_name(node: &Node) -> Option<&str> {
    let id = node.id.as_deref().or(node.source_id.as_deref())?;
    Some(id.split_once('.').map_or(id, |(_, name)| name))
}

fn kind_of(node: &Node, piece_ids: &[&str], notes: &mut Vec<SheetNote>) -> Kind {
    let known = |word: &str| KINDS.iter().find(|(name, _)| *name == word).map(|(_, kind)| *kind);
    if let Some(kind) = node.attribute("data-kind") {
        return known(kind).unwrap_or_else(|| {
            notes.push(SheetNote::UnknownKind { element: node.element(), kind: kind.to_owned() });
            Kind::Mark
        });
    }
    if let Some(kind) = node.classes.iter().find_map(|class| known(class)) {
        return kind;
    }
    let id = node.id.as_deref().or(node.source_id.as_deref()).unwrap_or_default();
    let bears_name =
        piece_ids.iter().any(|piece| id.strip_prefix(piece).is_some_and(|rest| rest.starts_with('.')));
    if node.geometry.is_some() && bears_name { Kind::Edge } else { Kind::Mark }
}

/// Elements of a piece by what they are.
#[derive(Default)]
struct Parts<'a> {
    found: Vec<(Kind, &'a Node)>,
}

impl<'a> Parts<'a> {
    fn sort(&mut self, node: &'a Node, piece_ids: &[&str], notes: &mut Vec<SheetNote>) {
        if is_ours(node) || is_blank(node) {
            return;
        }
        if is_placed(node) {
            self.found.extend(node.children.iter().filter(|child| !is_blank(child)).map(|c| (Kind::Mark, c)));
            return;
        }
        let kind = kind_of(node, piece_ids, notes);
        let inner = matches!(node.tag, Tag::Group | Tag::Link | Tag::Svg) && kind == Kind::Mark;
        if inner && holds_parts(node, piece_ids) {
            for child in &node.children {
                self.sort(child, piece_ids, notes);
            }
        } else {
            self.found.push((kind, node));
        }
    }

    fn of(&self, kind: Kind) -> impl Iterator<Item = &'a Node> {
        self.found.iter().filter(move |(found, _)| *found == kind).map(|(_, node)| *node)
    }
}

fn holds_parts(node: &Node, piece_ids: &[&str]) -> bool {
    node.children.iter().any(|child| {
        kind_of(child, piece_ids, &mut Vec::new()) != Kind::Mark
            || is_ours(child)
            || holds_parts(child, piece_ids)
    })
}

/// Reads a piece.
pub(super) fn read<'a>(node: &'a Node, notes: &mut Vec<SheetNote>) -> Result<ReadPiece<'a>, ReadError> {
    let name = piece_name(node)?;
    let piece_ids: Vec<&str> =
        [node.id.as_deref(), node.source_id.as_deref()].into_iter().flatten().collect();
    let mut parts = Parts::default();
    for child in &node.children {
        parts.sort(child, &piece_ids, notes);
    }
    let mut edges = Vec::new();
    let mut declared = Vec::new();
    for part in parts.of(Kind::Edge) {
        let (edge, says) = read_edge(&name, part)?;
        edges.push(edge);
        declared.push(says);
    }
    let edges = in_order(edges);
    note_gaps(&name, &edges, notes);
    let mut piece = Piece::new(name, edges).map_err(|refusal| ReadError::at(node, refusal))?;
    piece.cut = attributes::value::<Cut>(node, "data-cut")?.unwrap_or(Cut::ONE);
    piece.cloth = attributes::value::<ClothName>(node, "data-cloth")?.unwrap_or_else(ClothName::main);
    piece.corners = attributes::corners(node)?;
    piece.kept = attributes::kept(node);
    piece.kept.content = String::new();
    for (kind, part) in &parts.found {
        marks::add(&mut piece, *kind, part)?;
    }
    if attributes::girth(node)? == GirthUse::LeftOut {
        for level in &mut piece.levels {
            level.girth = GirthUse::LeftOut;
        }
    }
    refuse_corners(&piece, node)?;
    Ok(ReadPiece { node, piece, declared })
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
    let Some(path) = &node.geometry else {
        return Err(wrong("it draws nothing: its length is zero", "draw it, or take it out"));
    };
    let subpaths = path.elements().iter().filter(|el| matches!(el, kurbo::PathEl::MoveTo(_))).count();
    if subpaths > 1 {
        return Err(wrong("it is drawn in several strokes", "draw it as one line, or as several elements"));
    }
    Curve::from_path(path).map_err(|error| {
        wrong(&error.to_string(), "draw it as one line from corner to corner, longer than nothing")
    })
}

fn read_edge<'a>(piece: &PieceName, node: &'a Node) -> Result<(Edge, DeclaredEdge<'a>), ReadError> {
    let name: EdgeName = name(node)?;
    let allowance = attributes::value::<Length>(node, "data-allowance")?.unwrap_or_default();
    if allowance.mm() < 0.0 {
        let what = format!("the allowance is {allowance}");
        let way_out = "an allowance is added outside the seamline: give nothing or more";
        return Err(ReadError::at(
            node,
            Refusal::new(RefusalKind::BadField, "data-allowance", what, way_out),
        ));
    }
    let finish = attributes::finish(node)?;
    let edge = Edge {
        finish: finish.unwrap_or_default(),
        allowance,
        selvedge: attributes::selvedge(node)?,
        origins: attributes::origins(node)?,
        kept: attributes::kept(node),
        ..Edge::new(name.clone(), curve(node)?)
    };
    let declared = DeclaredEdge {
        node,
        edge: EdgeRef::new(piece.clone(), name),
        sewn_to: attributes::value(node, "data-sewn-to")?,
        eases: eases(node)?,
        finish,
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

fn note_gaps(piece: &PieceName, edges: &[Edge], notes: &mut Vec<SheetNote>) {
    for (i, edge) in edges.iter().enumerate() {
        let next = &edges[(i + 1) % edges.len()];
        let gap = edge.curve.end().distance(next.curve.start());
        if gap > GAP_TOLD && gap <= crate::tolerance::WELD {
            notes.push(SheetNote::Welded {
                piece: piece.clone(),
                ends: edge.name.clone(),
                starts: next.name.clone(),
                gap,
            });
        }
    }
}

fn refuse_corners(piece: &Piece, node: &Node) -> Result<(), ReadError> {
    for corner in &piece.corners {
        let ids = (piece.edge_named(&corner.edges.0), piece.edge_named(&corner.edges.1));
        let (a, b) = match ids {
            (Ok(a), Ok(b)) => (a, b),
            (Err(refusal), _) | (_, Err(refusal)) => return Err(ReadError::at(node, refusal)),
        };
        if piece.next(a) != b && piece.next(b) != a {
            return Err(ReadError::at(
                node,
                Refusal::new(
                    RefusalKind::BadField,
                    "data-corners",
                    format!("`{}` and `{}` do not meet", corner.edges.0, corner.edges.1),
                    "name two edges that meet at a corner",
                ),
            ));
        }
    }
    Ok(())
}

/// Keeps an element as it stands.
pub(super) fn mark(node: &Node) -> Mark {
    let mut lines = Vec::new();
    node.walk(&mut |inner| {
        let Some(path) = &inner.geometry else { return };
        for subpath in subpaths(path) {
            lines.extend(Curve::from_path(&subpath).ok());
        }
    });
    let bounds = lines.iter().map(Curve::bounds).reduce(|a, b| a.union(b));
    let anchor = match (bounds, &node.tag) {
        (Some(bounds), _) => Some(bounds.center()),
        (None, Tag::Comment | Tag::Characters | Tag::Instruction) => None,
        (None, _) => Some(node.to_mm * Point::ZERO).filter(|_| node.tag == Tag::Text),
    };
    Mark {
        id: node.id.clone(),
        source: node.raw.as_str().to_owned(),
        place: node.context_to_mm,
        lines,
        anchor: text_anchor(node).or(anchor),
    }
}

/// Where a text stands, as far as its first coordinates tell.
fn text_anchor(node: &Node) -> Option<Point> {
    if node.tag != Tag::Text {
        return None;
    }
    let coordinate = |name: &str| {
        let at = node.raw.find(&format!(" {name}=\""))? + name.len() + 3;
        node.raw.get(at..)?.split('"').next()?.trim().parse::<f64>().ok()
    };
    Some(node.to_mm * Point::new(coordinate("x")?, coordinate("y")?))
}

fn subpaths(path: &kurbo::BezPath) -> Vec<kurbo::BezPath> {
    let mut found: Vec<kurbo::BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, kurbo::PathEl::MoveTo(_)) {
            found.push(kurbo::BezPath::new());
        }
        if let Some(last) = found.last_mut() {
            last.push(*element);
        }
    }
    found
}
