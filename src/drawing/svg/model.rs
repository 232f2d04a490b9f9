//! What a drawing is once read: plain values that do not know how they were parsed.

use crate::curve::WindingRule;
use std::fmt;
use std::ops::{Deref, Range};
use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape, Size, Vec2};

use crate::drawing::drawn::{ClipShape, Paint};
use crate::drawing::error::NamedElement;
use crate::drawing::note::Note;
use crate::drawing::unit::UnitSource;

/// A stretch of the source text, character and entity references of the file's own DTD expanded.
///
/// All stretches of one drawing share one text, so nested groups cost nothing.
#[derive(Clone)]
pub struct SourceText {
    text: Arc<str>,
    range: Range<usize>,
}

impl SourceText {
    /// The stretch `range` of `text`; empty where the range does not fit the text.
    #[must_use]
    pub fn new(text: Arc<str>, range: Range<usize>) -> Self {
        let range = if text.get(range.clone()).is_some() { range } else { 0..0 };
        Self { text, range }
    }

    /// Whether `other` is a stretch of the same text and lies within this one. A definition that lies
    /// within raw text that is written back must not be written a second time.
    #[must_use]
    pub fn contains(&self, other: &Self) -> bool {
        let same = Arc::ptr_eq(&self.text, &other.text);
        same && self.range.start <= other.range.start && other.range.end <= self.range.end
    }

    /// Where the stretch lies in the text, in bytes.
    #[must_use]
    pub fn range(&self) -> &Range<usize> {
        &self.range
    }

    /// The stretch as it stands.
    #[must_use]
    pub fn as_str(&self) -> &str {
        self.text.get(self.range.clone()).unwrap_or_default()
    }
}

impl Deref for SourceText {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl fmt::Debug for SourceText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl PartialEq for SourceText {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

/// Where something stands in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourcePlace {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes from the start of the file's text (after a byte order mark, as UTF-8).
    pub range: Range<usize>,
}

/// An SVG drawing, resolved to millimetres, y down.
#[derive(Clone, Debug)]
pub struct SvgDrawing {
    /// Comments and processing instructions before the root element, raw.
    pub prolog: Vec<SourceText>,
    /// Comments and processing instructions after the root element, raw.
    pub epilog: Vec<SourceText>,
    /// The root's attributes in order, with `xmlns` declarations, without `width`, `height`,
    /// `viewBox`, `preserveAspectRatio` and `transform`, which [`Node::to_mm`] has taken in. Values
    /// are unescaped.
    pub root_attributes: Vec<(String, String)>,
    /// Namespace prefixes declared below the root and not on it: `(prefix, address)`. Raw text
    /// written back under a new root needs them declared.
    pub inner_namespaces: Vec<(String, String)>,
    /// How a user unit became millimetres.
    pub unit: UnitSource,
    /// Size of the sheet in mm; absent where the file states neither a size nor a `viewBox`.
    pub size: Option<Size>,
    /// Where the upper left corner of the sheet lies in the root's own coordinates, mm: not at nothing where the
    /// `viewBox` begins elsewhere.
    pub corner: Vec2,
    /// What is drawn, in document order. Definitions, style sheets and the record are not here.
    pub nodes: Vec<Node>,
    /// Everything that is not drawn but referred to (`defs`, `style`, `symbol`, gradients, …), raw,
    /// in document order, wherever it stood.
    pub definitions: Vec<SourceText>,
    /// Text inside `<metadata data-kind="record">`, unescaped. Other metadata stay as nodes.
    pub record: Option<String>,
    /// What was tolerated, to be told to the user.
    pub notes: Vec<Note>,
}

impl SvgDrawing {
    /// The drawing with places as the root's own coordinates say them, and not as seen from the sheet's corner.
    #[must_use]
    pub fn in_own_coordinates(mut self) -> SvgDrawing {
        if self.corner != Vec2::ZERO {
            let shift = Affine::translate(self.corner);
            self.nodes.iter_mut().for_each(|node| node.shift(shift));
            self.corner = Vec2::ZERO;
        }
        self
    }
}

/// Something drawn: a container, a shape, text, or what is kept as it stands.
#[derive(Clone, Debug)]
pub struct Node {
    /// What it is.
    pub tag: Tag,
    /// Its id where it stands itself in the drawing; `None` inside what a `use` brings in.
    pub id: Option<String>,
    /// Inside a `use`: the id written on the element brought in. On a `use`: the id it refers to.
    pub source_id: Option<String>,
    /// Words of its `class`. A `use` has its own and those of what it refers to.
    pub classes: Vec<String>,
    /// Attributes in order, with prefixes as written and values unescaped, without those that are
    /// resolved: `id`, `class`, `transform`, `xmlns` declarations, and what makes up the geometry
    /// (`d`, `points`, `x`, `cx`, `r`, …; `href` and the placing of a `use`). Written on a path in
    /// mm they give the element back, but stroke widths, dashes and font sizes are still in its
    /// own user units ([`Node::paint`] has them in mm). A `use` has its own, then those of what
    /// it refers to that it does not itself state.
    pub attributes: Vec<(String, String)>,
    /// Where it stands in the file.
    pub place: SourcePlace,
    /// Its source, own `transform` included: right under [`Node::context_to_mm`].
    pub raw: SourceText,
    /// From the user space it stands in (its parent's) to mm on the sheet.
    pub context_to_mm: Affine,
    /// From its own user space to mm on the sheet.
    pub to_mm: Affine,
    /// What a container holds, in document order. Empty where [`Node::visible`] is `NotDisplayed`
    /// or `Unused`: then only [`Node::raw`] is kept.
    pub children: Vec<Node>,
    /// Its curve in mm: moves, lines, cubics and closings. Each subpath begins with a move and draws
    /// something. `None` for what is no shape, is not displayed, or draws nothing.
    pub geometry: Option<BezPath>,
    /// Characters of a `text`, `title` or `desc`, or outside any element.
    pub text: Option<String>,
    /// Whether it is seen.
    pub visible: Visibility,
    /// How it is stroked and filled.
    pub paint: Paint,
    /// The size of the letters of its text, mm; a transform that stretches counts by its mean.
    pub font_size: f64,
    /// What hides all of it, and of what it holds, that lies outside. The geometry is whole.
    pub clips: Vec<SvgClip>,
}

impl Node {
    /// The value of an attribute by its name as written (`data-kind`, `inkscape:label`).
    #[must_use]
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    /// The element for an error message.
    #[must_use]
    pub fn element(&self) -> NamedElement {
        NamedElement {
            tag: self.tag.name().to_owned(),
            id: self.id.clone().or_else(|| self.source_id.clone()),
            line: self.place.line,
            column: self.place.column,
        }
    }

    fn shift(&mut self, shift: Affine) {
        self.context_to_mm = shift * self.context_to_mm;
        self.to_mm = shift * self.to_mm;
        if let Some(path) = &mut self.geometry {
            path.apply_affine(shift);
        }
        self.clips.iter_mut().for_each(|clip| clip.shift(shift));
        self.children.iter_mut().for_each(|child| child.shift(shift));
    }

    /// Calls `visit` for this node and all below it, in document order.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Node)) {
        visit(self);
        for child in &self.children {
            child.walk(visit);
        }
    }
}

/// What a node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tag {
    /// `g`.
    Group,
    /// `a`, which holds like a group.
    Link,
    /// `svg` inside the root.
    Svg,
    /// `switch`; the alternatives not taken are [`Visibility::Unused`].
    Switch,
    /// `use`: a container if it refers to one, a shape if it refers to one.
    Use,
    /// `path`.
    Path,
    /// `rect`.
    Rect,
    /// `circle`.
    Circle,
    /// `ellipse`.
    Ellipse,
    /// `line`.
    Line,
    /// `polyline`.
    Polyline,
    /// `polygon`.
    Polygon,
    /// `text`.
    Text,
    /// A comment.
    Comment,
    /// A processing instruction.
    Instruction,
    /// Characters outside any `text`.
    Characters,
    /// Any other element, by its name with prefix as written.
    Other(String),
}

impl Tag {
    /// The element's name as SVG writes it.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Group => "g",
            Self::Link => "a",
            Self::Svg => "svg",
            Self::Switch => "switch",
            Self::Use => "use",
            Self::Path => "path",
            Self::Rect => "rect",
            Self::Circle => "circle",
            Self::Ellipse => "ellipse",
            Self::Line => "line",
            Self::Polyline => "polyline",
            Self::Polygon => "polygon",
            Self::Text => "text",
            Self::Comment => "comment",
            Self::Instruction => "processing instruction",
            Self::Characters => "characters",
            Self::Other(name) => name,
        }
    }
}

/// Whether a node is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Visibility {
    /// Drawn.
    Shown,
    /// `visibility` hides it; its children may show.
    Hidden,
    /// `display: none`, or a transform that flattens it: neither it nor its children are read.
    NotDisplayed,
    /// An alternative of a `switch` that is not taken.
    Unused,
}

/// A region outside which a node does not show.
#[derive(Clone, Debug)]
pub struct SvgClip {
    shapes: Arc<[ClipShape]>,
    units: ClipUnits,
    to_mm: Affine,
}

/// What a clip path is drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClipUnits {
    /// The user space of what it clips.
    UserSpace,
    /// Shares of the box around what it clips.
    BoundingBox,
}

impl SvgClip {
    /// A clip path, drawn in a space that `to_mm` carries into mm.
    pub(super) fn new(shapes: Arc<[ClipShape]>, units: ClipUnits, to_mm: Affine) -> SvgClip {
        SvgClip { shapes, units, to_mm }
    }

    /// The frame of a nested drawing whose upper left corner is the origin of its space.
    pub(super) fn frame(size: Size, to_mm: Affine) -> SvgClip {
        let path = Rect::from_origin_size((0.0, 0.0), size).to_path(f64::INFINITY);
        let shapes = Arc::from([ClipShape { path, winding: WindingRule::NonZero }]);
        SvgClip { shapes, units: ClipUnits::UserSpace, to_mm }
    }

    pub(super) fn shift(&mut self, shift: Affine) {
        self.to_mm = shift * self.to_mm;
    }

    /// How many segments it has.
    #[must_use]
    pub fn segments(&self) -> usize {
        self.shapes.iter().map(|shape| shape.path.elements().len()).sum()
    }

    /// Its shapes in mm. What lies within any of them shows. `clipped` is the node that it clips: of that, the box counts
    /// where the clip path is drawn in shares of it.
    #[must_use]
    pub fn in_mm(&self, clipped: &Node) -> Vec<ClipShape> {
        let to_mm = match self.units {
            ClipUnits::UserSpace => self.to_mm,
            ClipUnits::BoundingBox => {
                let bounds = box_of(clipped, self.to_mm.inverse());
                self.to_mm
                    * Affine::translate(bounds.origin().to_vec2())
                    * Affine::scale_non_uniform(bounds.width(), bounds.height())
            }
        };
        let placed = |shape: &ClipShape| ClipShape { path: to_mm * shape.path.clone(), ..*shape };
        self.shapes.iter().map(placed).collect()
    }
}

/// The box around all that a node draws, in a space that mm are carried into.
fn box_of(node: &Node, from_mm: Affine) -> Rect {
    let mut bounds: Option<Rect> = None;
    node.walk(&mut |part: &Node| {
        if let Some(path) = &part.geometry {
            let own = (from_mm * path.clone()).bounding_box();
            bounds = Some(bounds.map_or(own, |all| all.union(own)));
        }
    });
    bounds.unwrap_or(Rect::ZERO)
}

/// A clip path as it stands in the file: shapes, and those of the clip path that it is itself clipped by.
#[derive(Clone, Debug)]
pub(super) struct ClipDefinition(pub(super) Vec<(Arc<[ClipShape]>, ClipUnits)>);
