//! What stands on a piece besides its outline and darts.

use crate::curve::{Curve, Motion, Point, Vec2};
use crate::pattern::{EdgeName, LevelName, NotchName, PointName, StyleLineName};

/// What stood on a drawn element that has no meaning here; it is written back where it was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Attributes, in the order in which they stood.
    pub attributes: Vec<(String, String)>,
    /// What stood inside the element, as source text.
    pub content: String,
}

/// How many ticks a notch has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum NotchCount {
    /// One tick; by custom on fronts.
    #[default]
    Single,
    /// Two ticks; by custom on backs.
    Double,
}

impl NotchCount {
    /// How many.
    #[must_use]
    pub fn ticks(self) -> u32 {
        match self {
            NotchCount::Single => 1,
            NotchCount::Double => 2,
        }
    }
}

/// A mark across an edge that must meet its partner on the other edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The name within the piece.
    pub name: NotchName,
    /// The edge it stands on.
    pub edge: EdgeName,
    /// Walk distance along the edge's curve from its first corner, clockwise, mouths of darts included.
    pub at: f64,
    /// One tick or two.
    pub count: NotchCount,
    /// The drawn tick: along the edge, then outward, mm.
    pub tick: Vec2,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

impl Notch {
    /// Length of a tick where none was drawn, mm.
    pub const TICK: f64 = 6.0;

    /// A notch with a plain tick square to the edge.
    #[must_use]
    pub fn new(name: NotchName, edge: EdgeName, at: f64, count: NotchCount) -> Notch {
        Notch { name, edge, at, count, tick: Vec2::new(0.0, Notch::TICK), kept: Kept::default() }
    }
}

/// Whether a level counts toward the girth of the garment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum GirthUse {
    /// It counts.
    #[default]
    Counts,
    /// It is left out, as on a lining or a facing.
    LeftOut,
}

impl GirthUse {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            GirthUse::Counts => "yes",
            GirthUse::LeftOut => "no",
        }
    }
}

/// A named line across a piece where the body is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// The name, the same on every piece.
    pub name: LevelName,
    /// Straight stretches, each carried rigidly with its cloth, in order across the piece.
    pub stretches: Vec<(Point, Point)>,
    /// Whether it counts toward the girth.
    pub girth: GirthUse,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// A named mark inside a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedPoint {
    /// The name within the piece.
    pub name: PointName,
    /// Where it is.
    pub at: Point,
    /// The radius of the drawn circle, mm.
    pub radius: f64,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// A line drawn on the piece along which it may be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct StyleLine {
    /// The name within the piece.
    pub name: StyleLineName,
    /// The line.
    pub curve: Curve,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// Which ends of a grainline carry an arrow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Arrows {
    /// Both: the piece may lie either way up.
    #[default]
    Both,
    /// Only the start: nap or one-way cloth.
    Start,
    /// Only the end: nap or one-way cloth.
    End,
}

impl Arrows {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Arrows::Both => "both",
            Arrows::Start => "start",
            Arrows::End => "end",
        }
    }
}

/// The direction of the warp on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Grainline {
    /// Where it starts; "below" on a piece is from here toward the end.
    pub start: Point,
    /// Where it ends.
    pub end: Point,
    /// Which ends carry an arrow.
    pub arrows: Arrows,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

impl Grainline {
    /// The direction from start to end, of length one.
    #[must_use]
    pub fn direction(&self) -> Vec2 {
        (self.end - self.start).normalize()
    }
}

/// Something drawn on a piece that is not understood but kept: a pocket's place, a buttonhole, a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its id, if it has one.
    pub id: Option<String>,
    /// Its source text.
    pub source: String,
    /// Where the source's user space lies on the sheet: six numbers of an affine map to millimetres.
    pub place: kurbo::Affine,
    /// What can be seen of it, in millimetres; empty for a comment or a text.
    pub lines: Vec<Curve>,
    /// A point by which it is known which part of a piece it belongs to; none for a comment.
    pub anchor: Option<Point>,
}

impl Mark {
    /// The mark as it lies after a motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Mark {
        Mark {
            place: motion.to_affine() * self.place,
            lines: self.lines.iter().map(|line| line.moved(motion)).collect(),
            anchor: self.anchor.map(|at| motion.apply(at)),
            ..self.clone()
        }
    }
}
