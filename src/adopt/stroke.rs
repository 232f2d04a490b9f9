//! From a drawing's nodes to a flat list of what stands in it: strokes, texts, solid marks, writing in outlines.

use kurbo::{Affine, BezPath, PathEl, PathSeg, Point, Rect, Shape};

use crate::adopt::AdoptError;
use crate::adopt::clipped::{ClippedAs, Clips};
use crate::adopt::look::{LineStyle, StyleId, Styles, Surface};
use crate::curve::Curve;
use crate::drawing::{Ink, Marked, Node, Note, Paint, SvgDrawing, Tag, Visibility};
use crate::tolerance::{LARGEST_WRITING, WELD};

/// A line in a drawing.
#[derive(Clone, Debug)]
pub(super) struct FoundStroke {
    pub curve: Curve,
    pub style: StyleId,
    pub surface: Surface,
    /// Whether it is a small filled shape, as in [`DrawnThings::solids`].
    pub solid: Solidity,
    /// Names of the groups around it, outermost first.
    pub layer: String,
    /// Its own id.
    pub id: Option<String>,
}

impl FoundStroke {
    /// Whether it ends where it begins.
    pub fn is_closed(&self) -> bool {
        self.curve.start() == self.curve.end()
    }
}

/// A text, and where it begins.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundText {
    /// Its words.
    pub text: String,
    /// Where it stands, mm.
    pub at: Point,
}

/// Whether a stroke bounds a small filled shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Solidity {
    /// It is a line.
    Line,
    /// It is a small filled shape.
    Solid,
}

/// A small filled shape: the head of an arrow, a filled triangle on an edge, a dot.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    /// Its stroke.
    pub stroke: usize,
    pub bounds: Rect,
    pub round: Round,
}

/// Whether a shape is a circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Round {
    /// It is.
    Yes,
    /// It has corners.
    No,
}

/// All that stands in a drawing.
#[derive(Clone, Debug, Default)]
pub(super) struct DrawnThings {
    pub strokes: Vec<FoundStroke>,
    pub texts: Vec<FoundText>,
    pub solids: Vec<Solid>,
    /// Boxes of writing whose characters are lost.
    pub writing: Vec<Rect>,
    /// How many pictures made of pixels there are.
    pub pictures: usize,
    pub styles: Styles,
    /// Ends of lines at which a marker stands.
    pub marked: Vec<Point>,
    /// What clip paths hide of it.
    pub notes: Vec<Note>,
    segments: usize,
}

/// How many lines a drawing may have. A garment of twenty pieces in ten sizes has two thousand.
const MOST_STROKES: usize = 40_000;

/// How many straight lines and curves they may have together.
const MOST_SEGMENTS: usize = 300_000;

/// Straight sides that a solid mark may have; more is writing.
const MOST_SIDES: usize = 8;

impl DrawnThings {
    /// Gathers what stands in a drawing on a page, as clip paths let it be seen.
    pub fn of(drawing: &SvgDrawing, page: Option<Rect>) -> Result<DrawnThings, AdoptError> {
        let mut drawn = DrawnThings::default();
        let mut around = Around { layers: Vec::new(), clips: Clips::on_page(page) };
        for node in &drawing.nodes {
            drawn.gather(node, &mut around)?;
        }
        drawn.notes = around.clips.notes();
        Ok(drawn)
    }

    fn gather<'a>(&mut self, node: &'a Node, around: &mut Around<'a>) -> Result<(), AdoptError> {
        if matches!(node.visible, Visibility::NotDisplayed | Visibility::Unused) {
            return Ok(());
        }
        let clips = around.clips.enter(node);
        let gathered = self.gather_clipped(node, around);
        around.clips.leave(clips);
        gathered
    }

    fn gather_clipped<'a>(&mut self, node: &'a Node, around: &mut Around<'a>) -> Result<(), AdoptError> {
        if node.tag == Tag::Text {
            self.text(node);
            return Ok(());
        }
        if matches!(&node.tag, Tag::Other(name) if name.as_str() == "image") {
            self.pictures += 1;
            return Ok(());
        }
        if node.tag == Tag::Use
            && let Some(bounds) = writing(node)
        {
            self.writing.push(bounds);
            return Ok(());
        }
        if let Some(path) = node.geometry.as_ref().filter(|_| node.visible == Visibility::Shown) {
            self.shape(node, path, around)?;
        }
        let named = layer_name(node);
        around.layers.extend(named);
        for child in &node.children {
            self.gather(child, around)?;
        }
        if named.is_some() {
            around.layers.pop();
        }
        Ok(())
    }

    fn text(&mut self, node: &Node) {
        let words: Vec<&str> = node.text.as_deref().unwrap_or_default().split_whitespace().collect();
        if words.is_empty() || node.visible != Visibility::Shown {
            return;
        }
        let at = node.to_mm * text_corner(node);
        if at.is_finite() {
            self.texts.push(FoundText { text: words.join(" "), at });
        }
    }

    fn shape(&mut self, node: &Node, path: &BezPath, around: &mut Around<'_>) -> Result<(), AdoptError> {
        let Some(style) = LineStyle::of(&node.paint) else { return Ok(()) };
        let surface = style.surface;
        let id = self.styles.id(style);
        if surface == Surface::Line {
            self.marked.extend(marked_ends(&node.paint, path));
        }
        let shows = shows(&node.paint);
        let is_letter = surface == Surface::Filled && holds_writing(path);
        let layer = around.layers.join(" / ");
        for curve in runs(path).flat_map(|curve| around.clips.seen(curve, shows)) {
            self.segments += curve.segments().len();
            if self.strokes.len() >= MOST_STROKES || self.segments > MOST_SEGMENTS {
                return Err(AdoptError::TooMuch { strokes: MOST_STROKES, segments: MOST_SEGMENTS });
            }
            let bounds = curve.bounds();
            let small = bounds.width().max(bounds.height()) <= LARGEST_WRITING;
            let mut solid = Solidity::Line;
            if surface == Surface::Filled && small {
                let Some(round) = solid_shape(&curve, bounds).filter(|_| !is_letter) else {
                    self.writing.push(bounds);
                    continue;
                };
                self.solids.push(Solid { stroke: self.strokes.len(), bounds, round });
                solid = Solidity::Solid;
            }
            let layer = layer.clone();
            self.strokes.push(FoundStroke { curve, style: id, surface, solid, layer, id: node.id.clone() });
        }
        Ok(())
    }

    /// All as much larger, across and down.
    pub fn scale(&mut self, across: f64, down: f64) -> Result<(), AdoptError> {
        let map = Affine::scale_non_uniform(across, down);
        for stroke in &mut self.strokes {
            stroke.curve = stroke.curve.transformed(map).map_err(|_| AdoptError::TooLarge)?;
        }
        for solid in &mut self.solids {
            solid.bounds = self.strokes[solid.stroke].curve.bounds();
        }
        self.texts.iter_mut().for_each(|text| text.at = map * text.at);
        self.marked.iter_mut().for_each(|at| *at = map * *at);
        self.writing.iter_mut().for_each(|bounds| *bounds = map.transform_rect_bbox(*bounds));
        self.styles.scale((across * down).abs().sqrt());
        Ok(())
    }
}

/// What stands around a node: the names of groups, and clip paths.
struct Around<'a> {
    layers: Vec<&'a str>,
    clips: Clips,
}

/// How a shape shows: by its surface where that is another colour than the paper.
fn shows(paint: &Paint) -> ClippedAs {
    let paper = matches!(paint.fill, Ink::None | Ink::Colour([255, 255, 255]));
    if paper { ClippedAs::AsLine } else { ClippedAs::AsSurface }
}

/// What a small filled shape is: a circle, a mark with a few corners, or nothing but writing.
fn solid_shape(curve: &Curve, bounds: Rect) -> Option<Round> {
    /// How far from that of a circle the area of a dot may be.
    const ROUND: f64 = 0.02;
    let straight = curve.segments().iter().all(|segment| matches!(segment, PathSeg::Line(_)));
    if curve.segments().len() > MOST_SIDES {
        return None;
    }
    let circle = std::f64::consts::FRAC_PI_4 * bounds.area();
    let is_circle = (curve.swept_area().abs() / circle - 1.0).abs() <= ROUND
        && (bounds.width() / bounds.height() - 1.0).abs() <= ROUND;
    match (straight, is_circle) {
        (true, _) => Some(Round::No),
        (false, true) => Some(Round::Yes),
        (false, false) => None,
    }
}

/// The runs of a path, each closed one ending bit for bit where it begins. What has no length is left out.
fn runs(path: &BezPath) -> impl Iterator<Item = Curve> {
    path.subpaths().filter_map(|run: &[PathEl]| {
        let curve = Curve::from_path(&BezPath::from_vec(run.to_vec())).ok()?;
        let nearly = curve.start() != curve.end() && curve.start().distance(curve.end()) <= WELD;
        if nearly && curve.length() > 4.0 * WELD {
            return curve.with_ends(curve.start(), curve.start()).ok();
        }
        Some(curve)
    })
}

/// Whether a filled path has a run that is no mark: then it is a letter or a word, and so are its other runs, the dot of
/// an i and the squares of a pixel font among them.
fn holds_writing(path: &BezPath) -> bool {
    runs(path).any(|run| {
        let bounds = run.bounds();
        bounds.width().max(bounds.height()) <= LARGEST_WRITING && solid_shape(&run, bounds).is_none()
    })
}

/// The ends of a path at which markers stand.
fn marked_ends(paint: &Paint, path: &BezPath) -> impl Iterator<Item = Point> {
    let ends: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
    let start = ends.first().copied().filter(|_| paint.start == Marked::Yes);
    start.into_iter().chain(ends.last().copied().filter(|_| paint.end == Marked::Yes))
}

/// How converters name the shapes of letters.
const GLYPH: &str = "glyph";

/// The box of a `use` that stands for writing: it brings in the shape of a letter by its name, or all of it is filled
/// without a line, and small.
fn writing(node: &Node) -> Option<Rect> {
    let is_glyph = node.source_id.as_deref().is_some_and(|id| id.starts_with(GLYPH));
    let mut bounds: Option<Rect> = None;
    let mut only_filled = true;
    node.walk(&mut |part: &Node| {
        if let Some(path) = &part.geometry {
            let style = LineStyle::of(&part.paint);
            only_filled &= style.is_some_and(|style| style.surface == Surface::Filled);
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
