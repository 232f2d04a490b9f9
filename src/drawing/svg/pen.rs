//! Draws in user units, keeps millimetres.

use kurbo::{Affine, BezPath, Point, SvgArc};

use super::arc::{Cubic, EllipseArc};
use crate::tolerance::LARGEST_COORDINATE;

/// How far from the sheet's corner a point may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bound {
    /// [`LARGEST_COORDINATE`].
    Sheet,
    /// Anywhere finite: the scale is not known yet.
    Finite,
}

/// Why the pen stopped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum PenFault {
    /// A point in mm that is too far away or no number.
    Stray(Point),
    /// More segments than are left.
    Full,
}

/// Collects a curve in mm. Subpaths that draw nothing leave no trace.
pub(super) struct Pen {
    to_mm: Affine,
    bound: Bound,
    segments_left: usize,
    path: BezPath,
    /// In user units.
    start: Point,
    at: Point,
    /// Whether the move to `start` still has to be written.
    lifted: bool,
}

impl Pen {
    pub(super) fn new(to_mm: Affine, bound: Bound, segments_left: usize) -> Self {
        let at = Point::ORIGIN;
        Self { to_mm, bound, segments_left, path: BezPath::new(), start: at, at, lifted: true }
    }

    /// What was drawn, in mm; `None` if nothing was.
    pub(super) fn finish(self) -> Option<BezPath> {
        if self.path.elements().is_empty() { None } else { Some(self.path) }
    }

    /// Where the pen stands, in user units.
    pub(super) fn at(&self) -> Point {
        self.at
    }

    pub(super) fn move_to(&mut self, to: Point) -> Result<(), PenFault> {
        self.mm(to)?;
        self.start = to;
        self.at = to;
        self.lifted = true;
        Ok(())
    }

    pub(super) fn line_to(&mut self, to: Point) -> Result<(), PenFault> {
        let end = self.mm(to)?;
        self.put_down()?;
        self.path.line_to(end);
        self.at = to;
        Ok(())
    }

    pub(super) fn cubic_to(&mut self, [first, second, to]: Cubic) -> Result<(), PenFault> {
        let (first, second, end) = (self.mm(first)?, self.mm(second)?, self.mm(to)?);
        self.put_down()?;
        self.path.curve_to(first, second, end);
        self.at = to;
        Ok(())
    }

    /// A quadratic, raised to the cubic that is the same curve.
    pub(super) fn quadratic_to(&mut self, handle: Point, to: Point) -> Result<(), PenFault> {
        let first = self.at + (handle - self.at) * (2.0 / 3.0);
        let second = to + (handle - to) * (2.0 / 3.0);
        self.cubic_to([first, second, to])
    }

    /// An arc of path data, `arc.from` being where the pen stands.
    pub(super) fn arc_to(&mut self, arc: &SvgArc) -> Result<(), PenFault> {
        match EllipseArc::from_path(arc) {
            Some(ellipse) => self.along(&ellipse, arc.to),
            None => self.line_to(arc.to),
        }
    }

    /// Along `arc`, which begins where the pen stands, to exactly `end`.
    pub(super) fn along(&mut self, arc: &EllipseArc, end: Point) -> Result<(), PenFault> {
        for cubic in arc.cubics(end, largest_scale(self.to_mm)) {
            self.cubic_to(cubic)?;
        }
        Ok(())
    }

    pub(super) fn close(&mut self) {
        if !self.lifted {
            self.path.close_path();
        }
        self.at = self.start;
        self.lifted = true;
    }

    fn put_down(&mut self) -> Result<(), PenFault> {
        self.segments_left = self.segments_left.checked_sub(1).ok_or(PenFault::Full)?;
        if self.lifted {
            self.path.move_to(self.mm(self.start)?);
            self.lifted = false;
        }
        Ok(())
    }

    fn mm(&self, point: Point) -> Result<Point, PenFault> {
        let point = self.to_mm * point;
        let near = match self.bound {
            Bound::Sheet => point.x.abs() <= LARGEST_COORDINATE && point.y.abs() <= LARGEST_COORDINATE,
            Bound::Finite => point.is_finite(),
        };
        if near { Ok(point) } else { Err(PenFault::Stray(point)) }
    }
}

/// The most that `affine` stretches any direction: its larger singular value, as the sum of what turns
/// and what reflects in it.
fn largest_scale(affine: Affine) -> f64 {
    let [a, b, c, d, _, _] = affine.as_coeffs();
    ((a + d).hypot(b - c) + (a - d).hypot(b + c)) / 2.0
}
