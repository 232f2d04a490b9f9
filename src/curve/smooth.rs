//! Smooth curves through points: cubic splines by chord length.

use kurbo::{CubicBez, PathSeg, Point, Vec2};

use super::run::check_point;
use super::{Curve, CurveError};
use crate::tolerance::SAME_POINT;

/// What holds at an end of a spline.
#[derive(Clone, Copy, Debug)]
pub(super) enum SplineEnd {
    /// No bending: the second derivative is zero.
    Natural,
    /// The second derivative of the last span is constant, which follows an arc better than no bending.
    Parabolic,
    /// A unit direction of travel.
    Along(Vec2),
}

impl Curve {
    /// The natural cubic spline through points, its parameter the length of the chords: it passes through each, and
    /// direction and bending change smoothly there. Points nearer than [`SAME_POINT`] to the one before are left out;
    /// two points give a line.
    ///
    /// # Errors
    ///
    /// [`CurveError::Empty`] with fewer than two points, else as [`Curve::new`].
    pub fn smooth_through(points: &[Point]) -> Result<Curve, CurveError> {
        spline(points, SplineEnd::Natural, SplineEnd::Natural)
    }
}

/// The cubic spline through points with given ends.
pub(super) fn spline(points: &[Point], start: SplineEnd, end: SplineEnd) -> Result<Curve, CurveError> {
    let points = apart(points)?;
    let straight = matches!(
        (start, end),
        (SplineEnd::Natural | SplineEnd::Parabolic, SplineEnd::Natural | SplineEnd::Parabolic)
    );
    if points.len() < 2 {
        return Err(CurveError::Empty);
    }
    if points.len() == 2 && straight {
        return Curve::line(points[0], points[1]);
    }
    let spans: Vec<Vec2> = points.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let slopes = slopes(&spans, start, end);
    Curve::new(spans.iter().enumerate().map(|(i, span)| {
        let third = span.hypot() / 3.0;
        let (from, to) = (points[i], points[i + 1]);
        PathSeg::Cubic(CubicBez::new(from, from + third * slopes[i], to - third * slopes[i + 1], to))
    }))
}

/// The points without those that repeat the one before; first and last are kept.
fn apart(points: &[Point]) -> Result<Vec<Point>, CurveError> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for &point in points {
        check_point(point)?;
        if kept.last().is_none_or(|last| (point - *last).hypot() > SAME_POINT) {
            kept.push(point);
        }
    }
    if let (Some(last), Some(&end)) = (kept.last_mut(), points.last()) {
        *last = end;
    }
    Ok(kept)
}

/// First derivatives at the points, from the tridiagonal system of the spline
/// `m[i-1] / h[i-1] + 2 m[i] (1 / h[i-1] + 1 / h[i]) + m[i+1] / h[i] = 3 (d[i-1] / h[i-1]² + d[i] / h[i]²)`.
fn slopes(spans: &[Vec2], start: SplineEnd, end: SplineEnd) -> Vec<Vec2> {
    let steps: Vec<f64> = spans.iter().map(|span| span.hypot()).collect();
    let last = spans.len();
    let mut rows = Vec::with_capacity(last + 1);
    rows.push(end_row(start, spans[0], steps[0]));
    for i in 1..last {
        let (before, after) = (1.0 / steps[i - 1], 1.0 / steps[i]);
        let wish = 3.0 * (before * before * spans[i - 1] + after * after * spans[i]);
        rows.push(Row { before, own: 2.0 * (before + after), after, wish });
    }
    let closing = end_row(end, spans[last - 1], steps[last - 1]);
    rows.push(Row { before: closing.after, own: closing.own, after: 0.0, wish: closing.wish });
    solved(rows)
}

struct Row {
    before: f64,
    own: f64,
    after: f64,
    wish: Vec2,
}

/// The condition at an end, with the next derivative's share in `after`.
fn end_row(end: SplineEnd, span: Vec2, step: f64) -> Row {
    let chord = span / step;
    let (own, after, wish) = match end {
        SplineEnd::Natural => (2.0, 1.0, 3.0 * chord),
        SplineEnd::Parabolic => (1.0, 1.0, 2.0 * chord),
        SplineEnd::Along(tangent) => (1.0, 0.0, tangent),
    };
    Row { before: 0.0, own, after, wish }
}

/// Thomas's elimination; the rows dominate their diagonal, so that no pivot vanishes.
fn solved(mut rows: Vec<Row>) -> Vec<Vec2> {
    for i in 1..rows.len() {
        let share = rows[i].before / rows[i - 1].own;
        rows[i].own -= share * rows[i - 1].after;
        rows[i].wish = rows[i].wish - share * rows[i - 1].wish;
    }
    let mut values = vec![Vec2::ZERO; rows.len()];
    let mut next = Vec2::ZERO;
    for (row, value) in rows.iter().zip(&mut values).rev() {
        next = (row.wish - row.after * next) / row.own;
        *value = next;
    }
    values
}
