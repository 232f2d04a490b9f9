//! What stands in a drawing, whatever file it came from: the one list that all after the readers asks.
//!
//! Lengths are millimetres, y runs down, and the upper left corner of what is seen of a page is where its reader puts it:
//! at nothing in a PDF, where the `viewBox` begins in an SVG.

use crate::curve::WindingRule;
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::note::Note;
use super::unit::UnitSource;

/// A drawing, as it was read from one file.
#[derive(Clone, Debug)]
pub struct DrawnFile {
    /// Its pages in order; an SVG is one.
    pub pages: Vec<DrawnPage>,
    /// The layers of all pages.
    pub layers: Layers,
    /// How a unit of the file became millimetres.
    pub unit: UnitSource,
    /// What was tolerated, to be told to the user.
    pub notes: Vec<Note>,
}

/// What is drawn on one page.
#[derive(Clone, Debug)]
pub struct DrawnPage {
    /// Which it is, from 1.
    pub number: usize,
    /// How the file calls it, where it does.
    pub label: Option<String>,
    /// What is seen of it; none where the file states no size.
    pub seen: Option<Rect>,
    /// All of it, with what is cropped away.
    pub whole: Option<Rect>,
    /// What is drawn on it, in the order in which it is drawn.
    pub things: Vec<DrawnThing>,
    /// What hides parts of them.
    pub clips: Clips,
}

impl DrawnPage {
    /// As the file calls it, else by its number.
    #[must_use]
    pub fn name(&self) -> String {
        self.label.clone().unwrap_or_else(|| self.number.to_string())
    }
}

/// One thing drawn.
#[derive(Clone, Debug)]
pub struct DrawnThing {
    /// What it is.
    pub what: Drawn,
    /// The innermost layer that it lies in.
    pub layer: Option<LayerId>,
    /// The innermost clip around it.
    pub clip: Option<ClipId>,
    /// How the file calls it.
    pub id: Option<String>,
    /// Where it stands in the file.
    pub origin: PlaceInFile,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub enum Drawn {
    /// A line or a surface.
    Shape {
        /// Its line: moves, lines, cubics and closings.
        path: BezPath,
        /// How it is stroked and filled.
        paint: Paint,
    },
    /// A line or a surface of which its page shows nothing: large tiled files draw all of them on each page.
    Hidden(HiddenShape),
    /// Writing that can be read.
    Text(DrawnText),
    /// The box of writing of which only the shapes of letters are left.
    Writing(Rect),
    /// A picture made of pixels.
    Picture,
}

/// A line or a surface that lies outside of the clip around it. Pages that hide the same share it.
#[derive(Clone, Debug)]
pub struct HiddenShape {
    /// Its line, as it lies on the first page that hides it.
    pub path: Arc<BezPath>,
    /// How far it lies from there.
    pub by: Vec2,
    /// How it is stroked and filled.
    pub paint: Paint,
}

impl HiddenShape {
    /// Its line where it lies.
    #[must_use]
    pub fn placed(&self) -> BezPath {
        Affine::translate(self.by) * &*self.path
    }
}

/// Words, and where they stand.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnText {
    /// The words, with one space between them.
    pub words: String,
    /// Where their baseline begins.
    pub at: Point,
    /// Which way it runs: a unit vector.
    pub along: Vec2,
    /// The size of the letters, mm.
    pub size: f64,
}

/// Where something stands in its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaceInFile {
    /// In a text: on this line, from 1.
    Line(usize),
    /// On this page, from 1.
    Page(usize),
}

impl fmt::Display for PlaceInFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlaceInFile::Line(line) => write!(f, "line {line}"),
            PlaceInFile::Page(page) => write!(f, "page {page}"),
        }
    }
}

/// How something is stroked and filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Paint {
    /// Colour inside.
    pub fill: Ink,
    /// Colour of the line.
    pub stroke: Ink,
    /// Width of the line in mm.
    pub stroke_width: f64,
    /// Dash and gap lengths in mm, an even number of them; empty for a solid line.
    pub dashes: Vec<f64>,
    /// Whether a marker, such as the head of an arrow, stands at its start.
    pub start: Marked,
    /// Whether one stands at its end.
    pub end: Marked,
}

/// As what something painted is seen on white paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeenAs {
    /// By its line.
    Line,
    /// By its surface, which has no line around it.
    Surface,
    /// Not at all.
    Nothing,
}

impl Paint {
    /// As what it is seen.
    #[must_use]
    pub fn seen_as(&self) -> SeenAs {
        match (&self.stroke, self.fills()) {
            (Ink::None, false) => SeenAs::Nothing,
            (Ink::None, true) => SeenAs::Surface,
            _ => SeenAs::Line,
        }
    }

    /// Whether the surface is of another colour than the paper.
    #[must_use]
    pub fn fills(&self) -> bool {
        !matches!(self.fill, Ink::None | Ink::Colour([255, 255, 255]))
    }
}

/// Dashes and gaps in pairs: an odd list said twice; a list of zeros is a solid line.
#[must_use]
pub fn dashes_in_pairs(once: &[f64]) -> Vec<f64> {
    if once.iter().sum::<f64>() <= 0.0 {
        return Vec::new();
    }
    once.repeat(1 + once.len() % 2)
}

/// Whether a marker stands at an end of a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Marked {
    /// None.
    #[default]
    No,
    /// One.
    Yes,
}

/// What something is painted with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Nothing.
    None,
    /// A colour: red, green, blue.
    Colour([u8; 3]),
    /// Anything else (a gradient, a pattern, an unknown word), as written.
    Other(String),
}

/// Which layer of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct LayerId(usize);

impl LayerId {
    /// Its place among all layers of its drawing, in their order; that around a layer stands before it.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// A layer, or a group that has a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layer {
    /// Its own name.
    pub name: String,
    /// The layer that it lies in.
    pub around: Option<LayerId>,
    /// Whether it is switched on.
    pub shown: Shown,
}

/// Whether a layer is switched on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shown {
    /// It is.
    Yes,
    /// It is not.
    No,
}

/// The layers of a drawing.
#[derive(Clone, Debug, Default)]
pub struct Layers {
    all: Vec<Layer>,
    known: HashMap<(String, Option<LayerId>, Shown), LayerId>,
}

impl Layers {
    /// A layer's id; the same for all that is called alike in the same place.
    pub fn id(&mut self, name: &str, around: Option<LayerId>, shown: Shown) -> LayerId {
        let all = &mut self.all;
        *self.known.entry((name.to_owned(), around, shown)).or_insert_with(|| {
            all.push(Layer { name: name.to_owned(), around, shown });
            LayerId(all.len() - 1)
        })
    }

    /// A layer.
    #[must_use]
    pub fn get(&self, id: LayerId) -> &Layer {
        &self.all[id.0]
    }

    /// All layers, each with its id.
    pub fn iter(&self) -> impl Iterator<Item = (LayerId, &Layer)> {
        self.all.iter().enumerate().map(|(at, layer)| (LayerId(at), layer))
    }

    /// A layer and those around it, innermost first.
    pub fn outward(&self, id: Option<LayerId>) -> impl Iterator<Item = &Layer> {
        let first = id.map(|id| self.get(id));
        std::iter::successors(first, |layer| layer.around.map(|around| self.get(around)))
    }

    /// The names of a layer and of those around it, outermost first: `sizes / 38`.
    #[must_use]
    pub fn path(&self, id: Option<LayerId>) -> String {
        let mut names: Vec<&str> = self.outward(id).map(|layer| layer.name.as_str()).collect();
        names.reverse();
        names.join(" / ")
    }

    /// Whether a layer and all around it are switched on.
    #[must_use]
    pub fn shows(&self, id: Option<LayerId>) -> bool {
        self.outward(id).all(|layer| layer.shown == Shown::Yes)
    }
}

/// Which clip of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ClipId(usize);

impl ClipId {
    /// Its place among all clips of its page, in their order.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// A region outside which nothing is seen: all that lies within any of its shapes.
#[derive(Clone, Debug)]
pub struct Clip {
    /// Its shapes.
    pub shapes: Vec<ClipShape>,
    /// The clip around it, which hides as well.
    pub around: Option<ClipId>,
}

/// A shape of a clip.
#[derive(Clone, Debug, PartialEq)]
pub struct ClipShape {
    /// Its line.
    pub path: BezPath,
    /// What of it is inside.
    pub winding: WindingRule,
}

/// The clips of a page.
#[derive(Clone, Debug, Default)]
pub struct Clips(Vec<Clip>);

impl Clips {
    /// Adds a clip.
    pub fn add(&mut self, shapes: Vec<ClipShape>, around: Option<ClipId>) -> ClipId {
        self.0.push(Clip { shapes, around });
        ClipId(self.0.len() - 1)
    }

    /// A clip.
    #[must_use]
    pub fn get(&self, id: ClipId) -> &Clip {
        &self.0[id.0]
    }

    /// The clip that was added last.
    #[must_use]
    pub fn last(&self) -> Option<(ClipId, &Clip)> {
        let at = self.0.len().checked_sub(1)?;
        Some((ClipId(at), &self.0[at]))
    }

    /// A clip and those around it, innermost first.
    pub fn outward(&self, id: Option<ClipId>) -> impl Iterator<Item = (ClipId, &Clip)> {
        let with = |id: ClipId| (id, self.get(id));
        std::iter::successors(id.map(with), move |(_, clip)| clip.around.map(with))
    }

    /// All of them, in the order of their ids.
    pub fn iter(&self) -> impl Iterator<Item = &Clip> {
        self.0.iter()
    }
}
