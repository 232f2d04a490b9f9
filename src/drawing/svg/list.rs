//! From a drawing's nodes to the list of what is drawn.

use kurbo::{Point, Rect, Shape};

use super::model::{Node, SvgDrawing, Tag, Visibility};
use crate::drawing::common::unit_vector;
use crate::drawing::drawn::{
    ClipId, Clips, Drawn, DrawnFile, DrawnPage, DrawnText, DrawnThing, LayerId, Layers, PlaceInFile, SeenAs,
    Shown,
};
use crate::drawing::limits::SEGMENTS;
use crate::drawing::note::Note;
use crate::tolerance::LARGEST_WRITING;

/// How converters name the shapes of letters.
const GLYPH: &str = "glyph";

/// What a drawing shows, in the root's own coordinates.
pub(super) fn listed(drawing: SvgDrawing) -> DrawnFile {
    let page = drawing.size.map(|size| Rect::from_origin_size(drawing.corner.to_point(), size));
    let drawing = drawing.in_own_coordinates();
    let mut lister = Lister {
        layers: Layers::default(),
        clips: Clips::default(),
        things: Vec::new(),
        clip_segments_left: SEGMENTS,
        too_intricate: false,
    };
    let around = Around { layer: None, clip: None, reading: Reading::Shown };
    drawing.nodes.iter().for_each(|node| lister.node(node, around));
    let mut notes = drawing.notes;
    notes.extend(lister.too_intricate.then_some(Note::ClipsTooIntricate));
    DrawnFile {
        pages: vec![DrawnPage {
            number: 1,
            label: None,
            seen: page,
            whole: page,
            things: lister.things,
            clips: lister.clips,
        }],
        layers: lister.layers,
        unit: drawing.unit,
        notes,
    }
}

struct Lister {
    layers: Layers,
    clips: Clips,
    things: Vec<DrawnThing>,
    /// Clips may be drawn in shares of what they clip, so that each has lines of its own.
    clip_segments_left: usize,
    too_intricate: bool,
}

/// What stands around a node.
#[derive(Clone, Copy)]
struct Around {
    layer: Option<LayerId>,
    clip: Option<ClipId>,
    reading: Reading,
}

/// Whether what is being read is displayed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reading {
    Shown,
    /// Within a layer that is switched off.
    HiddenLayer,
}

impl Lister {
    fn node(&mut self, node: &Node, mut around: Around) {
        if node.visible == Visibility::Unused {
            return;
        }
        let name = layer_name(node);
        if node.visible == Visibility::NotDisplayed && around.reading == Reading::Shown {
            if name.is_none() {
                return;
            }
            around.reading = Reading::HiddenLayer;
            around.layer = name.map(|name| self.layers.id(name, around.layer, Shown::No));
        } else if let Some(name) = name {
            around.layer = Some(self.layers.id(name, around.layer, Shown::Yes));
        }
        around.clip = self.clipped(node, around.clip);
        let is_shown = match around.reading {
            Reading::Shown => node.visible == Visibility::Shown,
            Reading::HiddenLayer => node.visible != Visibility::Hidden,
        };
        match self.own(node, is_shown) {
            Own::Nothing => {}
            Own::Only(what) => return self.put(what, node, around),
            Own::OnlyHidden => return,
            Own::AndChildren(what) => self.put(what, node, around),
        }
        node.children.iter().for_each(|child| self.node(child, around));
    }

    /// The clip within a node.
    fn clipped(&mut self, node: &Node, around: Option<ClipId>) -> Option<ClipId> {
        let mut clip = around;
        for own in &node.clips {
            match self.clip_segments_left.checked_sub(own.segments()) {
                Some(left) => {
                    self.clip_segments_left = left;
                    clip = Some(self.clips.add(own.in_mm(node), clip));
                }
                None => self.too_intricate = true,
            }
        }
        clip
    }

    /// What a node itself draws.
    fn own(&self, node: &Node, is_shown: bool) -> Own {
        if node.tag == Tag::Text {
            return text(node).filter(|_| is_shown).map_or(Own::OnlyHidden, Own::Only);
        }
        if matches!(&node.tag, Tag::Other(name) if name.as_str() == "image") {
            return if is_shown { Own::Only(Drawn::Picture) } else { Own::OnlyHidden };
        }
        if node.tag == Tag::Use
            && let Some(bounds) = writing(node)
        {
            return Own::Only(Drawn::Writing(bounds));
        }
        match node.geometry.as_ref().filter(|_| is_shown) {
            Some(path) => Own::AndChildren(Drawn::Shape { path: path.clone(), paint: node.paint.clone() }),
            None => Own::Nothing,
        }
    }

    fn put(&mut self, what: Drawn, node: &Node, around: Around) {
        let Around { layer, clip, .. } = around;
        let origin = PlaceInFile::Line(node.place.line);
        self.things.push(DrawnThing { what, layer, clip, id: node.id.clone(), origin });
    }
}

/// What a node itself draws.
enum Own {
    /// Nothing; what it holds may.
    Nothing,
    /// This, and nothing that it holds.
    Only(Drawn),
    /// It would draw something, and nothing that it holds, but is hidden.
    OnlyHidden,
    /// This, besides what it holds.
    AndChildren(Drawn),
}

fn text(node: &Node) -> Option<Drawn> {
    let words: Vec<&str> = node.text.as_deref().unwrap_or_default().split_whitespace().collect();
    let at = node.to_mm * text_corner(node);
    if words.is_empty() || !at.is_finite() {
        return None;
    }
    let along = unit_vector(node.to_mm * Point::new(1.0, 0.0) - node.to_mm * Point::ZERO);
    Some(Drawn::Text(DrawnText { words: words.join(" "), at, along, size: node.font_size }))
}

/// The box of a `use` that stands for writing: it brings in the shape of a letter by its name, or all of it is filled
/// without a line, and small.
fn writing(node: &Node) -> Option<Rect> {
    let is_glyph = node.source_id.as_deref().is_some_and(|id| id.starts_with(GLYPH));
    let mut bounds: Option<Rect> = None;
    let mut only_filled = true;
    node.walk(&mut |part: &Node| {
        if let Some(path) = &part.geometry {
            only_filled &= part.paint.seen_as() == SeenAs::Surface;
            let own = path.bounding_box();
            bounds = Some(bounds.map_or(own, |all| all.union(own)));
        }
    });
    let small = |all: &Rect| all.width().max(all.height()) <= LARGEST_WRITING;
    bounds.filter(|all| is_glyph || (only_filled && small(all)))
}

/// What a group calls itself: the label that a drawing program gives, else its id.
fn layer_name(node: &Node) -> Option<&str> {
    if !matches!(node.tag, Tag::Group | Tag::Svg | Tag::Link) {
        return None;
    }
    let label = node.attributes.iter().find(|(name, _)| name == "data-name" || name.ends_with(":label"));
    label.map(|(_, label)| label.as_str()).or(node.id.as_deref()).filter(|name| !name.trim().is_empty())
}

/// Where a text begins in its own user space: its own `x` and `y`, else those of its first part.
fn text_corner(node: &Node) -> Point {
    let number = |name: &str| {
        let own = node.attribute(name).map(str::to_owned);
        let text = own.or_else(|| attribute_in(node.raw.as_str(), name))?;
        let first = text.split([',', ' ']).find(|word| !word.is_empty())?;
        first.trim_end_matches("px").parse::<f64>().ok().filter(|value| value.is_finite())
    };
    Point::new(number("x").unwrap_or(0.0), number("y").unwrap_or(0.0))
}

/// The first value of an attribute in source text.
fn attribute_in(source: &str, name: &str) -> Option<String> {
    let quoted = |quote: char| {
        let (_, rest) = source.split_once(&format!(" {name}={quote}"))?;
        rest.split(quote).next().map(str::to_owned)
    };
    quoted('"').or_else(|| quoted('\''))
}
