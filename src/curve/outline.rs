//! Closed rings of curves.

use kurbo::{BezPath, PathSeg, Point, Rect};
use rustc_hash::FxHashMap;

use super::roots::Bernstein;
use super::self_crossing::{ChainEnds, contacts};
use super::{Curve, CurveError, segment};
use crate::tolerance::{CROSSINGS_APART, SAME_POINT};

/// A closed ring of curves, each of which ends bit for bit where the next begins.
///
/// Made clockwise as seen ([`Outline::area`] positive) it has its inside on the right-hand side of travel; either
/// direction can be held, and the order of the curves is that of travel.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    curves: Vec<Curve>,
}

/// A place where an outline crosses or touches itself elsewhere than at a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SelfCrossing {
    /// Index of the one curve.
    pub first: usize,
    /// The distance walked on it, in mm.
    pub first_at: f64,
    /// Index of the other curve, which may be the same one.
    pub second: usize,
    /// The distance walked on it, in mm.
    pub second_at: f64,
    /// The place itself.
    pub point: Point,
}

/// A place where a line crosses or touches an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeCrossing {
    /// Index of the outline's curve; at a corner that of the curve that leaves it.
    pub edge: usize,
    /// The distance walked on that curve, in mm.
    pub at: f64,
    /// The distance walked on the line, in mm.
    pub line_at: f64,
    /// The place itself.
    pub point: Point,
}

impl Outline {
    /// A ring of curves in the order and direction of travel. Ends that meet within [`SAME_POINT`] are welded.
    ///
    /// # Errors
    ///
    /// [`CurveError::Empty`] without curves, [`CurveError::Gap`] where one does not meet the next.
    pub fn new(curves: impl IntoIterator<Item = Curve>) -> Result<Outline, CurveError> {
        Outline::welded_within(curves, SAME_POINT)
    }

    /// As [`Outline::new`], welding ends that meet within a distance in mm at their midpoint, each with its control
    /// point.
    ///
    /// # Errors
    ///
    /// As [`Outline::new`].
    pub fn welded_within(curves: impl IntoIterator<Item = Curve>, weld: f64) -> Result<Outline, CurveError> {
        let mut curves: Vec<Curve> = curves.into_iter().collect();
        if curves.is_empty() {
            return Err(CurveError::Empty);
        }
        let count = curves.len();
        let mut corners = Vec::with_capacity(count);
        for index in 0..count {
            let (from, to) = (curves[(index + count - 1) % count].end(), curves[index].start());
            let gap = (to - from).hypot();
            if gap.is_nan() || gap > weld {
                return Err(CurveError::Gap { from, to, gap });
            }
            corners.push(if from == to { from } else { from.midpoint(to) });
        }
        for index in 0..count {
            let (start, end) = (corners[index], corners[(index + 1) % count]);
            if curves[index].start() != start || curves[index].end() != end {
                curves[index] = curves[index].with_ends(start, end)?;
            }
        }
        Ok(Outline { curves })
    }

    /// The curves in the order of travel.
    pub fn curves(&self) -> &[Curve] {
        &self.curves
    }

    /// The ring as a path with one closed subpath.
    pub fn to_path(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.curves[0].start());
        for segment in self.curves.iter().flat_map(Curve::segments) {
            path.push(segment.as_path_el());
        }
        path.close_path();
        path
    }

    /// The area in mm², exact: positive where the ring runs clockwise as seen.
    pub fn area(&self) -> f64 {
        self.curves.iter().map(Curve::swept_area).sum()
    }

    /// How far a point lies from the ring, mm.
    pub fn distance(&self, point: Point) -> f64 {
        self.curves.iter().map(|curve| curve.nearest(point).distance).fold(f64::INFINITY, f64::min)
    }

    /// The length all round in mm.
    pub fn perimeter(&self) -> f64 {
        self.curves.iter().map(Curve::length).sum()
    }

    /// Whether a point lies inside, whichever way the ring runs. For a point on the ring itself either may come.
    pub fn contains(&self, point: Point) -> bool {
        self.curves.iter().flat_map(Curve::segments).map(|piece| turns_round(piece, point)).sum::<i32>() != 0
    }

    /// The smallest upright rectangle that holds it.
    pub fn bounds(&self) -> Rect {
        self.curves.iter().skip(1).fold(self.curves[0].bounds(), |all, curve| all.union(curve.bounds()))
    }

    /// The ring travelled the other way: the curves in reverse order, each reversed.
    #[must_use]
    pub fn reversed(&self) -> Outline {
        Outline { curves: self.curves.iter().rev().map(Curve::reversed).collect() }
    }

    /// All places where the ring crosses or touches itself, its corners apart, in order of the first curve.
    pub fn self_crossings(&self) -> Vec<SelfCrossing> {
        let chain: Vec<PathSeg> = self.curves.iter().flat_map(Curve::segments).copied().collect();
        let mut found: Vec<SelfCrossing> = contacts(&chain, ChainEnds::Closed)
            .map(|contact| {
                let (first, first_at) = self.place_of(contact.first, contact.hit.t);
                let (second, second_at) = self.place_of(contact.second, contact.hit.u);
                SelfCrossing { first, first_at, second, second_at, point: contact.point }
            })
            .collect();
        found.sort_by(|a, b| {
            (a.first, a.second).cmp(&(b.first, b.second)).then(a.first_at.total_cmp(&b.first_at))
        });
        one_of_each(found)
    }

    /// The curve and the distance walked on it for a parameter of a segment counted round the whole ring.
    fn place_of(&self, segment: usize, t: f64) -> (usize, f64) {
        let mut rest = segment;
        for (index, curve) in self.curves.iter().enumerate() {
            if rest < curve.segments().len() {
                return (index, curve.walked_to(rest, t));
            }
            rest -= curve.segments().len();
        }
        let last = self.curves.len() - 1;
        (last, self.curves[last].length())
    }

    /// All places where a line crosses or touches the ring, in the order of the line. A line through a corner is found
    /// once, on the curve that leaves it.
    pub fn crossings_with(&self, line: &Curve) -> Vec<EdgeCrossing> {
        let mut found: Vec<EdgeCrossing> = Vec::new();
        for (edge, curve) in self.curves.iter().enumerate() {
            for crossing in curve.crossings(line) {
                let corner = curve.length() - crossing.at <= CROSSINGS_APART;
                let (edge, at) =
                    if corner { ((edge + 1) % self.curves.len(), 0.0) } else { (edge, crossing.at) };
                found.push(EdgeCrossing { edge, at, line_at: crossing.other_at, point: crossing.point });
            }
        }
        found.sort_by(|a, b| a.line_at.total_cmp(&b.line_at));
        let mut kept: Vec<EdgeCrossing> = Vec::new();
        for crossing in found {
            let same = |known: &EdgeCrossing| {
                known.edge == crossing.edge
                    && (known.at - crossing.at).abs() <= CROSSINGS_APART
                    && (known.line_at - crossing.line_at).abs() <= CROSSINGS_APART
            };
            if !kept.iter().any(same) {
                kept.push(crossing);
            }
        }
        kept
    }
}

/// The crossings without those within [`CROSSINGS_APART`] of an earlier one, which lies in a cell beside theirs.
fn one_of_each(found: Vec<SelfCrossing>) -> Vec<SelfCrossing> {
    let cell = |at: f64| (at / CROSSINGS_APART).floor() as i64;
    let mut cells: FxHashMap<(i64, i64), Vec<Point>> = FxHashMap::default();
    let mut kept: Vec<SelfCrossing> = Vec::new();
    for crossing in found {
        let point = crossing.point;
        let (x, y) = (cell(point.x), cell(point.y));
        let mut around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let near = |known: &Point| (*known - point).hypot() <= CROSSINGS_APART;
        if !around.any(|beside| cells.get(&beside).is_some_and(|points| points.iter().any(near))) {
            cells.entry((x, y)).or_default().push(point);
            kept.push(crossing);
        }
    }
    kept
}

/// How often a segment crosses the ray from a point to the right, downward less upward.
///
/// A stretch that begins on the ray counts as beginning below it, so that a joint on the ray counts once.
fn turns_round(piece: &PathSeg, point: Point) -> i32 {
    let points = segment::control_points(piece);
    let (down, across) = (points.map(|p| p.y - point.y), points.map(|p| p.x - point.x));
    // A curve stays within the hull of its control points: most lie clear of the ray, and need no roots.
    let is_above = down.iter().all(|y| *y < 0.0);
    let is_below = down.iter().all(|y| *y >= 0.0);
    if is_above || is_below || across.iter().all(|x| *x <= 0.0) {
        return 0;
    }
    let way = |from: f64, to: f64| i32::from(to >= 0.0) - i32::from(from >= 0.0);
    if across.iter().all(|x| *x > 0.0) {
        // All of it lies to the right: only its ends tell how often it comes down more than up.
        return way(down[0], down[3]);
    }
    let (below, right_of) = (Bernstein(down), Bernstein(across));
    let crossing = |span: &super::roots::MonotoneSpan| {
        let way = way(span.low, span.high);
        let right = || right_of.value(below.root_in(span)) > 0.0;
        if way != 0 && right() { way } else { 0 }
    };
    below.spans().iter().map(crossing).sum()
}
