//! Outlines and lines as they were found, and what they seem to be.

use kurbo::{Point, Rect};

use crate::adopt::letter::Letter;
use crate::adopt::look::StyleId;
use crate::curve::{Curve, Outline};
use crate::pattern::Arrows;
use crate::tolerance::ON_OUTLINE;

/// A closed line that may be the outline of a piece.
#[derive(Clone, Debug)]
pub struct FoundOutline {
    /// How it is called.
    pub letter: Letter,
    /// The edges between its corners, clockwise as seen. Number 1 is the first; number n runs from corner n to n + 1.
    pub edges: Vec<Curve>,
    /// The same as a ring.
    pub ring: Outline,
    /// The kind of line it is drawn with for the most part.
    pub style: StyleId,
    /// The names of the groups around it.
    pub layer: String,
    /// The id of its element, where it is one.
    pub id: Option<String>,
    /// How many strokes it was joined from.
    pub joined: usize,
    /// How many straight lines were taken for flattened curves.
    pub flattened: usize,
    /// The outline that it lies within, as an index.
    pub inside: Option<usize>,
    /// Texts within it and within no smaller outline, as indices.
    pub texts: Vec<usize>,
}

impl FoundOutline {
    /// The box around it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.ring.bounds()
    }

    /// Whether it is an upright rectangle.
    pub(super) fn is_upright(&self) -> bool {
        let bounds = self.bounds();
        let slack = ON_OUTLINE * (bounds.width() + bounds.height());
        self.edges.len() == 4
            && self.edges.iter().all(|edge| edge.is_straight(ON_OUTLINE))
            && (bounds.area() - self.ring.area()).abs() <= slack
    }

    /// Its longest edge.
    pub(super) fn longest(&self) -> &Curve {
        let longest = self.edges.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
        longest.unwrap_or(&self.edges[0])
    }

    /// How many corners it has: as many as edges, none where the one edge runs smoothly into itself.
    #[must_use]
    pub fn corners(&self) -> usize {
        match self.edges.as_slice() {
            [only] if only.start_tangent().dot(only.end_tangent()) > 0.0 => 0,
            edges => edges.len(),
        }
    }
}

/// A line that is no outline.
#[derive(Clone, Debug)]
pub struct FoundLine {
    /// How it is called.
    pub letter: Letter,
    /// The line.
    pub curve: Curve,
    /// The kind of line.
    pub style: StyleId,
    /// The names of the groups around it.
    pub layer: String,
    /// The id of its element, where it is one.
    pub id: Option<String>,
    /// The outline that it lies within or touches, as an index.
    pub inside: Option<usize>,
    /// What it looks like.
    pub guess: Guess,
    /// Which ends of a grainline, or of an arrow that points at a fold, carry the head of an arrow.
    pub arrows: Option<Arrows>,
}

/// What a line looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guess {
    /// A straight line with the head of an arrow at one end or both.
    Grainline,
    /// A straight line bent to one side at both ends, with the heads of arrows there: it points at a fold.
    FoldArrow,
    /// The head of an arrow.
    ArrowHead,
    /// A short stroke that touches the outline.
    Notch,
    /// A V that opens on the outline, or toward it and a little short of it.
    Dart,
    /// A closed line of two long sides.
    DoubleDart,
    /// A straight line across a piece.
    Level,
    /// A small closed shape or a cross.
    Point,
    /// Nothing in particular.
    Line,
}

impl Guess {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Guess::Grainline => "grainline",
            Guess::FoldArrow => "fold arrow",
            Guess::ArrowHead => "arrow head",
            Guess::Notch => "notch",
            Guess::Dart => "dart",
            Guess::DoubleDart => "double dart",
            Guess::Level => "straight line",
            Guess::Point => "mark",
            Guess::Line => "line",
        }
    }
}

/// Two ends of long lines that nearly meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineGap {
    /// The one end.
    pub from: Point,
    /// The other.
    pub to: Point,
}

impl OutlineGap {
    /// How far apart they are, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.from.distance(self.to)
    }
}
