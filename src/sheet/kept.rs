//! What is not understood and is carried along: attributes, what stands inside an element, whole elements.

use crate::canvas::attribute_value;
use crate::curve::{Affine, Curve, Point, Rect, Vec2};
use crate::drawing::{Node, Tag, Visibility, opening_tag};
use crate::pattern::{Kept, Mark};
use crate::sheet::attributes::is_understood;
use crate::sheet::kinds::{ElementKind, stated_word};
use crate::sheet::own_look;
use crate::sheet::parts::PieceElement;

/// What stands on an element besides what is understood.
pub(super) fn of(node: &Node) -> Kept {
    let mut attributes: Vec<(String, String)> = Vec::new();
    let kind = stated_word(node);
    let classes: Vec<&str> =
        node.classes.iter().map(String::as_str).filter(|class| kind != Some(*class)).collect();
    if !classes.is_empty() {
        attributes.push(("class".to_owned(), classes.join(" ")));
    }
    let others = node.attributes.iter().filter(|(name, _)| !is_understood(name));
    attributes.extend(others.cloned());
    own_look::carry_to_sheet(&mut attributes, node);
    let content = if node.geometry.is_some() { content(&node.raw).to_owned() } else { String::new() };
    Kept { attributes, content }
}

/// What stands between the opening and the closing tag of an element.
fn content(raw: &str) -> &str {
    let opening = opening_tag(raw);
    if opening.ends_with("/>") {
        return "";
    }
    let rest = raw.get(opening.len()..).unwrap_or_default();
    rest.rfind("</").and_then(|end| rest.get(..end)).unwrap_or_default().trim()
}

/// Whether anything of an element may be seen: comments, titles and the elements of drawing programs are not, and
/// belong to no place on the sheet.
pub(super) fn is_seen(node: &Node) -> bool {
    match &node.tag {
        Tag::Comment | Tag::Instruction | Tag::Characters => false,
        Tag::Other(name) => !matches!(name.as_str(), "title" | "desc" | "metadata") && !name.contains(':'),
        _ => true,
    }
}

/// The source text of an element that is kept. An alternative that is not taken stays so outside its `switch`.
pub(super) fn source(node: &Node) -> String {
    match node.visible {
        Visibility::Unused => format!("<g display=\"none\">{}</g>", node.raw.as_str()),
        _ => node.raw.as_str().to_owned(),
    }
}

/// The box around what can be seen of an element, mm.
pub(super) fn extent(node: &Node) -> Option<Rect> {
    let mut extent: Option<Rect> = None;
    node.walk(&mut |inner| {
        let drawn = inner.geometry.as_ref().map(kurbo::Shape::bounding_box);
        let text = text_anchor(inner).map(|at| Rect::from_points(at, at));
        for seen in [drawn, text].into_iter().flatten() {
            extent = Some(extent.map_or(seen, |extent| extent.union(seen)));
        }
    });
    extent
}

/// Whether a group has anything of its own to be kept.
pub(super) fn bears_something(group: &Node) -> bool {
    group.id.is_some() || !of(group).attributes.is_empty()
}

/// Whether the innermost shell keeps the id of its group, which belongs to one element only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shell {
    Named,
    Nameless,
}

/// Source text within groups that carry what the groups around it bear, outermost first.
pub(super) fn in_shells(inside: String, around: &[&Node], innermost: Shell) -> String {
    let mut source = inside;
    for (depth, group) in around.iter().rev().enumerate() {
        let named = depth == 0 && innermost == Shell::Named;
        let id = group.id.as_ref().filter(|_| named).map(|id| ("id".to_owned(), id.clone()));
        let attributes: String = id
            .into_iter()
            .chain(of(group).attributes)
            .map(|(name, value)| format!(" {name}=\"{}\"", attribute_value(&value)))
            .collect();
        if !attributes.is_empty() {
            source = format!("<g{attributes}>{source}</g>");
        }
    }
    source
}

/// An element of a piece that is kept as it stands.
pub(super) fn mark(part: &PieceElement) -> Option<Mark> {
    let node = part.node;
    if part.kind == ElementKind::Inner {
        let source = in_shells(String::new(), &[node], Shell::Named);
        let nothing = Mark { id: None, source, place: Affine::IDENTITY, lines: Vec::new(), anchor: None };
        return bears_something(node).then(|| Mark { id: node.id.clone(), ..nothing });
    }
    let lines = lines(node);
    let seen = is_seen(node);
    let source = source(node);
    Some(Mark {
        id: node.id.clone(),
        source: if seen { in_shells(source, &part.around, Shell::Nameless) } else { source },
        place: if seen { node.context_to_mm } else { Affine::IDENTITY },
        anchor: text_anchor(node).or_else(|| middle(&lines)),
        lines,
    })
}

/// Lines of a foreign drawing as an element of a piece that is kept as it stands.
pub(crate) fn drawn_mark(lines: Vec<Curve>) -> Mark {
    let path: Vec<String> = lines.iter().map(|line| line.to_path().to_svg()).collect();
    let source = format!("<path data-kind=\"mark\" d=\"{}\"/>", path.join(" "));
    Mark { id: None, source, place: Affine::IDENTITY, anchor: middle(&lines), lines }
}

/// The middle of lines by their lengths: it turns with them, as that of a box around them does not.
fn middle(lines: &[Curve]) -> Option<Point> {
    /// At so many places of each line; the middle of a straight or symmetrical one is exact.
    const PLACES: u32 = 16;
    let all: f64 = lines.iter().map(Curve::length).sum();
    let sum = lines.iter().fold(Vec2::ZERO, |sum, line| {
        let place = |i: u32| line.point_at(line.length() * (f64::from(i) + 0.5) / f64::from(PLACES));
        (0..PLACES).fold(sum, |sum, i| sum + place(i).to_vec2() * (line.length() / f64::from(PLACES)))
    });
    (all > 0.0).then(|| (sum / all).to_point())
}

/// What can be seen of an element.
fn lines(node: &Node) -> Vec<Curve> {
    let mut lines = Vec::new();
    node.walk(&mut |inner| {
        for stroke in inner.geometry.iter().flat_map(kurbo::BezPath::subpaths) {
            lines.extend(Curve::from_path(&stroke.iter().copied().collect()).ok());
        }
    });
    lines
}

/// Where a text stands, as far as its first coordinates tell.
fn text_anchor(node: &Node) -> Option<Point> {
    if node.tag != Tag::Text || node.visible == Visibility::NotDisplayed {
        return None;
    }
    let tag = opening_tag(&node.raw);
    let coordinate = |name: &str| {
        let at = tag.find(&format!(" {name}=\""))? + name.len() + 3;
        tag.get(at..)?.split(['"', ' ', ',']).next()?.trim().parse::<f64>().ok()
    };
    Some(node.to_mm * Point::new(coordinate("x").unwrap_or(0.0), coordinate("y").unwrap_or(0.0)))
}
