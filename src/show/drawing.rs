//! A drawing, free of any medium: strokes, fills and labels in millimetres, y downward.
//!
//! What a stroke is decides how it looks, by the line habits of the trade: solid to cut, broken to stitch, arrows for the
//! grain. All of it can be told apart without colour.

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::canvas::shortened;
use crate::curve::{Point, Vec2, left_of};
use crate::show::Font;

/// What a stroke is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LineKind {
    /// What is cut.
    CuttingLine,
    /// What is stitched.
    Seamline,
    /// What is stitched, on a seam that a step made.
    NewSeam,
    /// The line on which a hem is turned up.
    Hem,
    /// The line that lies on the fold of the cloth, or that was it before the piece was opened.
    Fold,
    /// The leg of a dart.
    DartLeg,
    /// The fold of a dart, from its tip to its cap.
    DartFold,
    /// A line at which the body is measured.
    Level,
    /// The direction of the warp.
    Grainline,
    /// A notch.
    Notch,
    /// A line along which the piece may be cut.
    StyleLine,
    /// A point, or the tip of a dart.
    Point,
    /// What is drawn on the piece without being understood.
    Mark,
    /// From a number on the piece to where it belongs.
    Leader,
    /// A frame, a table, a bar to be measured.
    Rule,
    /// Where a page meets the next.
    PageEdge,
    /// The outline of the pieces before a change.
    Before,
    /// Lines that fill an area.
    Hatch,
}

/// What a reader can switch on and off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layer {
    /// Cutting lines and folds.
    Cutting,
    /// Seamlines and hems.
    Stitching,
    /// Darts, notches, levels, points, grainlines.
    Marks,
    /// Names and notes.
    Labels,
    /// Page edges, page names, bars.
    Pages,
}

impl Layer {
    /// All of them, in the order in which they are named to a reader.
    pub const ALL: [Layer; 5] = [Layer::Cutting, Layer::Stitching, Layer::Marks, Layer::Labels, Layer::Pages];

    /// What it is called.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Layer::Cutting => "Cutting lines",
            Layer::Stitching => "Seamlines",
            Layer::Marks => "Grain, levels, notches, darts",
            Layer::Labels => "Names and notes",
            Layer::Pages => "Page marks and bars",
        }
    }
}

/// How a stroke looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Width, mm.
    pub width: f64,
    /// Lengths of dashes and gaps in turn, mm; none for a solid line.
    pub dash: &'static [f64],
    /// How dark.
    pub tone: Tone,
}

/// How dark ink is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Tone {
    /// Full ink.
    Black,
    /// Weaker than lines that are cut or stitched.
    Dark,
    /// Behind everything.
    Pale,
}

impl Tone {
    /// From 0, black, to 1, the paper.
    #[must_use]
    pub fn grey(self) -> f64 {
        match self {
            Tone::Black => 0.0,
            Tone::Dark => 0.3,
            Tone::Pale => 0.82,
        }
    }
}

impl LineKind {
    /// How it looks.
    #[must_use]
    pub fn look(self) -> Look {
        let (width, dash, tone): (f64, &'static [f64], Tone) = match self {
            LineKind::CuttingLine => (0.7, &[], Tone::Black),
            LineKind::Seamline => (0.35, &[5.0, 2.0], Tone::Black),
            LineKind::NewSeam => (0.8, &[7.0, 1.5, 1.5, 1.5], Tone::Black),
            LineKind::Hem => (0.4, &[9.0, 2.0], Tone::Black),
            LineKind::Fold => (0.5, &[14.0, 2.5, 2.0, 2.5], Tone::Black),
            LineKind::DartLeg => (0.35, &[3.0, 1.5], Tone::Black),
            LineKind::DartFold => (0.2, &[1.0, 1.5], Tone::Black),
            LineKind::Level => (0.3, &[1.0, 2.5], Tone::Dark),
            LineKind::Grainline => (0.35, &[], Tone::Black),
            LineKind::Notch => (0.7, &[], Tone::Black),
            LineKind::StyleLine => (0.3, &[8.0, 3.0, 1.0, 3.0], Tone::Dark),
            LineKind::Point => (0.3, &[], Tone::Black),
            LineKind::Mark => (0.3, &[2.0, 1.5], Tone::Dark),
            LineKind::Leader => (0.18, &[], Tone::Dark),
            LineKind::Rule => (0.2, &[], Tone::Black),
            LineKind::PageEdge => (0.15, &[], Tone::Dark),
            LineKind::Before => (0.35, &[2.0, 2.0], Tone::Dark),
            LineKind::Hatch => (0.15, &[], Tone::Dark),
        };
        Look { width, dash, tone }
    }

    /// The layer that it is on.
    #[must_use]
    pub fn layer(self) -> Layer {
        match self {
            LineKind::CuttingLine | LineKind::Fold => Layer::Cutting,
            LineKind::Seamline | LineKind::NewSeam | LineKind::Hem => Layer::Stitching,
            LineKind::DartLeg
            | LineKind::DartFold
            | LineKind::Level
            | LineKind::Grainline
            | LineKind::Notch
            | LineKind::StyleLine
            | LineKind::Point
            | LineKind::Mark
            | LineKind::Before
            | LineKind::Hatch => Layer::Marks,
            LineKind::Leader => Layer::Labels,
            LineKind::Rule | LineKind::PageEdge => Layer::Pages,
        }
    }
}

/// A line.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// What it is.
    pub kind: LineKind,
    /// Where it runs, mm.
    pub path: BezPath,
}

/// A filled area.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill {
    /// What is filled, mm.
    pub path: BezPath,
    /// How dark.
    pub tone: Tone,
    /// The layer that it is on.
    pub layer: Layer,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// What it says.
    pub text: String,
    /// The middle of its base line, mm.
    pub at: Point,
    /// The direction in which it reads, of length one.
    pub along: Vec2,
    /// Height of the font, mm.
    pub size: f64,
    /// How dark.
    pub tone: Tone,
    /// The layer that it is on.
    pub layer: Layer,
}

/// From the top of letters to the base line, as a share of the font's height.
const RISE: f64 = 0.76;
/// From the base line to the bottom of letters, as a share of the font's height.
const FALL: f64 = 0.24;

impl Label {
    /// A label that reads from left to right.
    #[must_use]
    pub fn level(text: impl Into<String>, at: Point, size: f64, layer: Layer) -> Label {
        let text = shortened(&text.into()).into_owned();
        Label { text, at, along: Vec2::new(1.0, 0.0), size, tone: Tone::Black, layer }
    }

    /// A label that reads from left to right and begins at a place.
    #[must_use]
    pub fn from_left(text: impl Into<String>, at: Point, size: f64, layer: Layer) -> Label {
        let mut label = Label::level(text, at, size, layer);
        label.at.x += label.width() / 2.0;
        label
    }

    /// Its width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        Font::get().width(&self.text) * self.size
    }

    /// The direction from its base line to the top of its letters.
    #[must_use]
    pub fn up(&self) -> Vec2 {
        left_of(self.along)
    }

    /// The corners of the box around its letters: at the start below and above, at the end above and below.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let half = self.along * (self.width() / 2.0);
        let (rise, fall) = (self.up() * (RISE * self.size), self.up() * (FALL * self.size));
        [self.at - half - fall, self.at - half + rise, self.at + half + rise, self.at + half - fall]
    }

    /// The upright box around it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        bounds_of(self.corners())
    }

    /// The base line's middle of a label whose letters' box has its middle at a place.
    #[must_use]
    pub fn base_of(middle: Point, along: Vec2, size: f64) -> Point {
        let up = left_of(along);
        middle - up * (size * (RISE - FALL) / 2.0)
    }

    /// Height of the box around letters of a font of a height, mm.
    #[must_use]
    pub fn height_of(size: f64) -> f64 {
        (RISE + FALL) * size
    }
}

/// The upright box around points.
pub(super) fn bounds_of(points: impl IntoIterator<Item = Point>) -> Rect {
    let mut points = points.into_iter();
    let first = points.next().unwrap_or_default();
    points.fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(point))
}

/// Strokes, fills and labels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The lines.
    pub strokes: Vec<Stroke>,
    /// The filled areas.
    pub fills: Vec<Fill>,
    /// The texts.
    pub labels: Vec<Label>,
}

impl Drawing {
    /// Adds a line.
    pub fn stroke(&mut self, kind: LineKind, path: BezPath) {
        self.strokes.push(Stroke { kind, path });
    }

    /// Adds a straight line.
    pub fn line(&mut self, kind: LineKind, from: Point, to: Point) {
        self.stroke(kind, straight(from, to));
    }

    /// Adds a filled area.
    pub fn fill(&mut self, path: BezPath, tone: Tone, layer: Layer) {
        self.fills.push(Fill { path, tone, layer });
    }

    /// Adds everything on another drawing.
    pub fn add(&mut self, other: Drawing) {
        self.strokes.extend(other.strokes);
        self.fills.extend(other.fills);
        self.labels.extend(other.labels);
    }

    /// The box around everything, mm; none where there is nothing.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let strokes = self.strokes.iter().map(|stroke| stroke.path.bounding_box());
        let fills = self.fills.iter().map(|fill| fill.path.bounding_box());
        strokes.chain(fills).chain(self.labels.iter().map(Label::bounds)).reduce(|a, b| a.union(b))
    }

    /// The drawing moved and turned. The motion must not mirror: texts would be unreadable.
    #[must_use]
    pub fn moved(&self, motion: Affine) -> Drawing {
        let turned = |v: Vec2| (motion * v.to_point() - motion * Point::ORIGIN).normalize();
        let stroke = |stroke: &Stroke| Stroke { kind: stroke.kind, path: motion * &stroke.path };
        let fill = |fill: &Fill| Fill { path: motion * &fill.path, ..*fill };
        let label = |label: &Label| Label {
            at: motion * label.at,
            along: turned(label.along),
            text: label.text.clone(),
            ..*label
        };
        Drawing {
            strokes: self.strokes.iter().map(stroke).collect(),
            fills: self.fills.iter().map(fill).collect(),
            labels: self.labels.iter().map(label).collect(),
        }
    }
}

/// A straight path.
#[must_use]
pub fn straight(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    path
}

/// A closed path of straight lines.
#[must_use]
pub fn polygon(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        if i == 0 { path.move_to(*point) } else { path.line_to(*point) }
    }
    path.close_path();
    path
}
