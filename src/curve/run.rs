//! The value type: an open run of lines and cubics.

use kurbo::{
    Affine, BezPath, Line, ParamCurve, ParamCurveArea, ParamCurveExtrema, PathEl, PathSeg, Point, Rect, Vec2,
};

use super::{CurveError, Motion, segment};
use crate::tolerance::{FINEST_FLATTENING, LARGEST_COORDINATE, SAME_POINT};

/// An open run of line and cubic segments.
///
/// Its segments join end to end bit for bit, each has length, all coordinates are finite and at most
/// [`LARGEST_COORDINATE`]. Lengths are measured once, when it is made. Its two ends may be the same point.
///
/// Places on it are given as the distance walked from its start, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    segments: Vec<PathSeg>,
    /// The distance walked at the end of each segment.
    walked: Vec<f64>,
}

impl Curve {
    /// A run of segments. Quadratic segments are raised to cubics, those without length are dropped, joins that are
    /// open by no more than [`SAME_POINT`] are closed.
    ///
    /// # Errors
    ///
    /// [`CurveError::Gap`] where a join is open, [`CurveError::NotFinite`] and [`CurveError::TooFar`] for coordinates
    /// that cannot be drawn, [`CurveError::Empty`] where nothing with length is left.
    pub fn new(segments: impl IntoIterator<Item = PathSeg>) -> Result<Curve, CurveError> {
        let mut kept: Vec<PathSeg> = Vec::new();
        let mut end: Option<Point> = None;
        for segment in segments {
            check_points(&segment)?;
            let start = end.unwrap_or(segment.start());
            let gap = (segment.start() - start).hypot();
            if gap > SAME_POINT {
                return Err(CurveError::Gap { from: start, to: segment.start(), gap });
            }
            let apart = |p: Point| (p - start).hypot() > SAME_POINT;
            if !segment::control_points(&segment).into_iter().any(apart) {
                end = Some(start);
                continue;
            }
            let segment = match segment {
                PathSeg::Quad(quad) => PathSeg::Cubic(quad.raise()),
                other => other,
            };
            end = Some(segment.end());
            kept.push(segment::with_ends(&segment, start, segment.end(), segment::Handles::Keep));
        }
        if kept.is_empty() {
            return Err(CurveError::Empty);
        }
        Ok(Curve::measured(kept))
    }

    /// A run of segments that are known to join, to have length and to be finite.
    pub(super) fn measured(segments: Vec<PathSeg>) -> Curve {
        let walked = segments
            .iter()
            .scan(0.0, |sum, segment| {
                *sum += segment::length(segment);
                Some(*sum)
            })
            .collect();
        Curve { segments, walked }
    }

    /// The run of a path with a single subpath; a closing command becomes a line back to the start.
    ///
    /// # Errors
    ///
    /// [`CurveError::SeveralRuns`] where there is more than one subpath that draws something; else as [`Curve::new`].
    pub fn from_path(path: &BezPath) -> Result<Curve, CurveError> {
        if path.elements().first().is_some_and(|first| !matches!(first, PathEl::MoveTo(_))) {
            return Err(CurveError::Empty);
        }
        let draws =
            |run: &&[PathEl]| run.iter().any(|el| !matches!(el, PathEl::MoveTo(_) | PathEl::ClosePath));
        let count = path.subpaths().filter(draws).count();
        if count > 1 {
            return Err(CurveError::SeveralRuns { count });
        }
        Curve::new(path.segments())
    }

    /// A straight line.
    ///
    /// # Errors
    ///
    /// As [`Curve::new`].
    pub fn line(from: Point, to: Point) -> Result<Curve, CurveError> {
        Curve::new([PathSeg::Line(Line::new(from, to))])
    }

    /// Straight lines from point to point.
    ///
    /// # Errors
    ///
    /// As [`Curve::new`].
    pub fn polyline(points: &[Point]) -> Result<Curve, CurveError> {
        Curve::new(points.windows(2).map(|pair| PathSeg::Line(Line::new(pair[0], pair[1]))))
    }

    /// The segments, each a line or a cubic.
    pub fn segments(&self) -> &[PathSeg] {
        &self.segments
    }

    /// The distance walked at the end of each segment.
    pub(super) fn walked(&self) -> &[f64] {
        &self.walked
    }

    /// The distance walked at the start of a segment.
    pub(super) fn walked_before(&self, index: usize) -> f64 {
        if index == 0 { 0.0 } else { self.walked[index - 1] }
    }

    /// The run as a path with one open subpath.
    pub fn to_path(&self) -> BezPath {
        let mut path = BezPath::with_capacity(self.segments.len() + 1);
        path.move_to(self.start());
        for segment in &self.segments {
            path.push(segment.as_path_el());
        }
        path
    }

    /// The length in mm.
    pub fn length(&self) -> f64 {
        self.walked.last().copied().unwrap_or(0.0)
    }

    /// The kinds and points of its segments to the last bit: curves of the same are the same.
    pub(crate) fn exactly(&self) -> Vec<u64> {
        let mut bits = vec![self.segments.len() as u64];
        for segment in self.segments() {
            let (kind, points) = match segment {
                PathSeg::Line(line) => (1, vec![line.p0, line.p1]),
                PathSeg::Quad(quad) => (2, vec![quad.p0, quad.p1, quad.p2]),
                PathSeg::Cubic(cubic) => (3, vec![cubic.p0, cubic.p1, cubic.p2, cubic.p3]),
            };
            bits.push(kind);
            bits.extend(points.into_iter().flat_map(|point| [point.x.to_bits(), point.y.to_bits()]));
        }
        bits
    }

    /// Where it begins.
    pub fn start(&self) -> Point {
        self.first_segment().start()
    }

    /// Where it ends.
    pub fn end(&self) -> Point {
        self.last_segment().end()
    }

    /// Unit direction of travel at the start.
    pub fn start_tangent(&self) -> Vec2 {
        segment::start_tangent(self.first_segment())
    }

    /// Unit direction of travel at the end.
    pub fn end_tangent(&self) -> Vec2 {
        segment::end_tangent(self.last_segment())
    }

    pub(super) fn first_segment(&self) -> &PathSeg {
        &self.segments[0]
    }

    pub(super) fn last_segment(&self) -> &PathSeg {
        &self.segments[self.segments.len() - 1]
    }

    /// The same run travelled the other way.
    pub fn reversed(&self) -> Curve {
        Curve::measured(self.segments.iter().rev().map(PathSeg::reverse).collect())
    }

    /// The run carried by a rigid motion. Its direction of travel is kept, also under a mirroring.
    pub fn moved(&self, motion: &Motion) -> Curve {
        let carry = |segment: &PathSeg| match segment {
            PathSeg::Line(line) => PathSeg::Line(Line::new(motion.apply(line.p0), motion.apply(line.p1))),
            _ => {
                let [a, b, c, d] = segment::control_points(segment).map(|p| motion.apply(p));
                PathSeg::Cubic(kurbo::CubicBez::new(a, b, c, d))
            }
        };
        Curve::measured(self.segments.iter().map(carry).collect())
    }

    /// The run under any affine map.
    ///
    /// # Errors
    ///
    /// As [`Curve::new`]: the map may squash the run to a point or throw it out of bounds.
    pub fn transformed(&self, map: Affine) -> Result<Curve, CurveError> {
        Curve::new(self.segments.iter().map(|segment| map * *segment))
    }

    /// The smallest upright rectangle that holds it.
    pub fn bounds(&self) -> Rect {
        let first = ParamCurveExtrema::bounding_box(self.first_segment());
        let rest = self.segments[1..].iter().map(ParamCurveExtrema::bounding_box);
        rest.fold(first, |all, one| all.union(one))
    }

    /// The signed area swept by the line from the origin to a point that travels the curve, in mm²:
    /// `½ ∫ (x dy − y dx)`, exact.
    ///
    /// Summed round a closed ring it is the area inside, positive where the ring runs clockwise as seen.
    pub fn swept_area(&self) -> f64 {
        self.segments.iter().map(ParamCurveArea::signed_area).sum()
    }

    /// Whether no control point is farther than a distance in mm from the straight line between both ends, and none
    /// runs back along it.
    pub fn is_straight(&self, within: f64) -> bool {
        let chord = self.end() - self.start();
        let reach = chord.hypot();
        if reach <= SAME_POINT {
            return false;
        }
        let mut farthest = 0.0_f64;
        self.segments.iter().flat_map(segment::control_points).all(|point| {
            let apart = point - self.start();
            let along = apart.dot(chord) / reach;
            let in_order = along >= farthest - within && along <= reach + within;
            farthest = farthest.max(along);
            in_order && apart.cross(chord).abs() / reach <= within
        })
    }

    /// Points on the curve, its ends among them, whose polygon stays within a distance in mm of it (never asked for
    /// finer than [`FINEST_FLATTENING`]).
    pub fn flattened(&self, within: f64) -> Vec<Point> {
        let mut points = Vec::new();
        let within = if within > FINEST_FLATTENING { within } else { FINEST_FLATTENING };
        kurbo::flatten(self.to_path(), within, |el| {
            if let PathEl::MoveTo(point) | PathEl::LineTo(point) = el {
                points.push(point);
            }
        });
        points
    }
}

/// Refuses coordinates that are not finite or lie too far out.
pub(super) fn check_points(segment: &PathSeg) -> Result<(), CurveError> {
    let points: [Point; 4] = match segment {
        PathSeg::Quad(quad) => [quad.p0, quad.p1, quad.p1, quad.p2],
        other => segment::control_points(other),
    };
    points.into_iter().try_for_each(check_point)
}

/// Refuses a point that is not finite or lies too far out.
pub(super) fn check_point(point: Point) -> Result<(), CurveError> {
    if !point.is_finite() {
        Err(CurveError::NotFinite)
    } else if point.x.abs().max(point.y.abs()) > LARGEST_COORDINATE {
        Err(CurveError::TooFar { point })
    } else {
        Ok(())
    }
}
