//! A drawing, free of any medium: strokes, fills and labels in millimetres, y downward.
//!
//! What a stroke is decides how it looks, by the line habits of the trade: solid to cut, broken to stitch, arrows for the
//! grain. All of it can be told apart without colour.

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::canvas::{Font, shortened};
use crate::curve::{Point, Vec2, left_of, right_of};

/// What a stroke is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LineKind {
    /// What is cut.
    CuttingLine,
    /// What is stitched.
    Seamline,
    /// What is stitched, on a seam that a step made.
    NewSeam,
    /// What is cut and stitched in one line: a seam without an allowance.
    SeamOnCut,
    /// The same on a seam that a step made.
    NewSeamOnCut,
    /// An edge of a piece that lies on the selvedge of the cloth, and is not cut.
    OnSelvedge,
    /// The line on which a hem is turned up.
    Hem,
    /// The line that lies on the fold of the cloth, or that was it before the piece was opened.
    Fold,
    /// The leg of a dart.
    DartLeg,
    /// The side of a pleat.
    PleatSide,
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
    /// An edge of the cloth that is finished.
    Selvedge,
    /// An edge of the cloth that is cut, or not to be used.
    RawEdge,
    /// A stripe of the cloth.
    Stripe,
    /// A seamline along which like meets like.
    StripesMeet,
    /// A seamline along which colours look different.
    ColoursDiffer,
    /// What of the cloth cannot be used.
    Flaw,
    /// The stitching of an edge that lies on another, on either piece.
    LapStitching,
    /// What is left of the cloth.
    LeftOver,
    /// A closed line of a drawing that may be a piece.
    FoundOutline,
    /// A line of a drawing, of which it is not known what it is.
    FoundLine,
    /// Where the ends of lines of a drawing nearly meet.
    Gap,
    /// Where pages of a drawing were joined.
    PageJoin,
    /// What stands on pages of a drawing and is not the drawing.
    LeftOut,
    /// A grid by which a projector is set up.
    Grid,
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
    /// Its ink.
    pub tone: Tone,
}

/// Inks. What is drawn can be told apart without colour; where a picture has any, it is for those who see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Tone {
    /// Full ink.
    Black,
    /// Weaker than lines that are cut or stitched.
    Dark,
    /// Behind everything.
    Pale,
    /// Paper.
    White,
    /// What pieces lie on, or are made of.
    Cloth,
    /// Stripes that meet; lines that are found.
    Blue,
    /// Stripes.
    PaleBlue,
    /// What to keep off, or to look at.
    Red,
    /// The colour of cloth, as red, green and blue.
    Dyed([u8; 3]),
}

impl Tone {
    /// How light it is, from 0, black, to 1, the paper.
    #[must_use]
    pub fn grey(self) -> f64 {
        match self {
            Tone::Black => 0.0,
            Tone::Dark => 0.3,
            Tone::Pale => 0.82,
            Tone::White => 1.0,
            Tone::Cloth => 0.95,
            Tone::Blue => 0.33,
            Tone::PaleBlue => 0.62,
            Tone::Red => 0.2,
            // The shares of red, green and blue in how light a colour of a screen is (ITU-R BT.601, from memory).
            Tone::Dyed([red, green, blue]) => {
                (0.299 * f64::from(red) + 0.587 * f64::from(green) + 0.114 * f64::from(blue)) / 255.0
            }
        }
    }

    /// Red, green and blue.
    #[must_use]
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Tone::Cloth => [0xf6, 0xf1, 0xe6],
            Tone::Blue => [0x0b, 0x5f, 0xb0],
            Tone::PaleBlue => [0x7f, 0xa6, 0xc8],
            Tone::Red => [0xa0, 0x18, 0x18],
            Tone::Dyed(rgb) => rgb,
            grey => [(grey.grey() * 255.0).round() as u8; 3],
        }
    }

    /// Its name in a picture.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Tone::Black => "black",
            Tone::Dark => "dark",
            Tone::Pale => "pale",
            Tone::White => "white",
            Tone::Cloth => "cloth",
            Tone::Blue => "blue",
            Tone::PaleBlue => "pale-blue",
            Tone::Red => "red",
            Tone::Dyed(_) => "dyed",
        }
    }
}

impl LineKind {
    /// How it looks.
    #[must_use]
    pub fn look(self) -> Look {
        let (_, _, width, dash, tone) = self.habit();
        Look { width, dash, tone }
    }

    /// The layer that it is on.
    #[must_use]
    pub fn layer(self) -> Layer {
        self.habit().1
    }

    /// Its name in a picture.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.habit().0
    }

    /// Its name, its layer, and how it is drawn: width and dashes in mm, ink.
    fn habit(self) -> (&'static str, Layer, f64, &'static [f64], Tone) {
        use Layer::{Cutting, Labels, Marks, Pages, Stitching};
        use Tone::{Black, Blue, Dark, Pale, PaleBlue, Red};
        match self {
            LineKind::CuttingLine => ("cutting-line", Cutting, 0.7, &[], Black),
            LineKind::Seamline => ("seamline", Stitching, 0.35, &[5.0, 2.0], Black),
            LineKind::NewSeam => ("new-seam", Stitching, 0.8, &[7.0, 1.5, 1.5, 1.5], Black),
            LineKind::SeamOnCut => ("seam-on-cut", Stitching, 1.6, &[5.0, 2.0], Black),
            LineKind::NewSeamOnCut => ("new-seam-on-cut", Stitching, 1.6, &[7.0, 1.5, 1.5, 1.5], Black),
            LineKind::OnSelvedge => ("on-selvedge", Cutting, 1.6, &[1.2, 0.9], Black),
            LineKind::Hem => ("hem", Stitching, 0.4, &[9.0, 2.0], Black),
            LineKind::Fold => ("fold", Cutting, 0.5, &[14.0, 2.5, 2.0, 2.5], Black),
            LineKind::DartLeg => ("dart", Marks, 0.35, &[3.0, 1.5], Black),
            LineKind::PleatSide => ("pleat", Marks, 0.35, &[6.0, 1.5, 1.0, 1.5], Black),
            LineKind::DartFold => ("dart-fold", Marks, 0.3, &[1.0, 1.5], Black),
            LineKind::Level => ("level", Marks, 0.35, &[1.0, 2.5], Black),
            LineKind::Grainline => ("grainline", Marks, 0.35, &[], Black),
            LineKind::Notch => ("notch", Marks, 0.7, &[], Black),
            LineKind::StyleLine => ("style-line", Marks, 0.35, &[8.0, 3.0, 1.0, 3.0], Dark),
            LineKind::Point => ("point", Marks, 0.3, &[], Black),
            LineKind::Mark => ("mark", Marks, 0.35, &[2.0, 1.5], Dark),
            LineKind::Leader => ("leader", Labels, 0.2, &[], Black),
            LineKind::Rule => ("rule", Pages, 0.2, &[], Black),
            LineKind::PageEdge => ("page-edge", Pages, 0.15, &[], Dark),
            LineKind::Before => ("before", Marks, 0.35, &[2.0, 2.0], Dark),
            LineKind::Hatch => ("hatch", Marks, 0.15, &[], Dark),
            LineKind::Selvedge => ("selvedge", Cutting, 1.1, &[], Black),
            LineKind::RawEdge => ("raw-edge", Cutting, 0.5, &[6.0, 4.0], Black),
            LineKind::Stripe => ("stripe", Marks, 0.5, &[], PaleBlue),
            LineKind::StripesMeet => ("match", Marks, 1.2, &[], Blue),
            LineKind::ColoursDiffer => ("colours-differ", Marks, 1.2, &[2.0, 1.0], Red),
            LineKind::Flaw => ("flaw", Marks, 0.4, &[], Red),
            LineKind::LapStitching => ("lap-stitching", Stitching, 0.35, &[1.5, 1.0], Black),
            LineKind::LeftOver => ("left-over", Marks, 0.35, &[1.0, 2.0], Dark),
            LineKind::FoundOutline => ("found-outline", Cutting, 0.4, &[], Black),
            LineKind::FoundLine => ("found-line", Marks, 0.3, &[], Blue),
            LineKind::Gap => ("gap", Marks, 0.3, &[2.0, 1.0], Red),
            LineKind::PageJoin => ("page-join", Pages, 0.5, &[10.0, 5.0], Dark),
            LineKind::LeftOut => ("left-out", Pages, 0.3, &[1.0, 1.0], Red),
            LineKind::Grid => ("grid", Pages, 0.3, &[], Pale),
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
    /// Its ink.
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
    /// Its ink.
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

    /// By how much it is turned clockwise, degrees.
    #[must_use]
    pub fn turn(&self) -> f64 {
        self.along.y.atan2(self.along.x).to_degrees()
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
pub(crate) fn bounds_of(points: impl IntoIterator<Item = Point>) -> Rect {
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

/// The head of an arrow that points in a direction of length one, so long and half as wide, mm.
pub(crate) fn arrow(tip: Point, way: Vec2, (length, half): (f64, f64)) -> BezPath {
    let (back, across) = (tip - way * length, right_of(way) * half);
    polygon(&[tip, back + across, back - across])
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
