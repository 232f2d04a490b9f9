//! From a closed line to edges between corners, curves that a converter flattened made curves again.

use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};

use crate::adopt::chain::concatenated;
use crate::curve::{Curve, fit_through, turn_between};
use crate::tolerance::{
    CORNERS_APART, FLATTENED_FIT, FLATTENED_LONGEST, FLATTENED_TANGENT, LENGTH_ACCURACY, SHORT_PART,
};

/// The least turn that is a corner, radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerAngle(f64);

impl CornerAngle {
    /// The usual least turn of a corner, degrees.
    const USUAL_DEGREES: f64 = 20.0;

    /// A least turn in degrees, over 0 and under 180.
    #[must_use]
    pub fn degrees(degrees: f64) -> Option<CornerAngle> {
        (degrees > 0.0 && degrees < 180.0).then(|| CornerAngle(degrees.to_radians()))
    }

    /// The least turn in degrees.
    #[must_use]
    pub fn in_degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

impl Default for CornerAngle {
    fn default() -> CornerAngle {
        CornerAngle(CornerAngle::USUAL_DEGREES.to_radians())
    }
}

/// A closed line as edges, clockwise as seen, the first beginning at the corner nearest to the upper left.
#[derive(Clone, Debug)]
pub(super) struct CornerRing {
    pub edges: Vec<Curve>,
    /// How many straight parts were taken for flattened curves.
    pub flattened: usize,
}

/// How many straight lines in a row are taken for a flattened curve.
const FLATTENED_RUN: usize = 6;

/// How many times as long as its neighbours a straight line is that is no part of a flattened curve.
const STANDS_OUT: f64 = 4.0;

/// Divides a closed line at its corners. A line without corners is one edge.
pub(super) fn ring(line: &Curve, corner: CornerAngle) -> CornerRing {
    let clockwise = if line.swept_area() < 0.0 { line.reversed() } else { line.clone() };
    let segments = without_specks(clockwise.segments());
    let corners = corners(&segments, corner);
    let start = corners.iter().copied().min_by(|a, b| {
        let place = |at: usize| segments[at].start().x + segments[at].start().y;
        place(*a).total_cmp(&place(*b))
    });
    let Some(start) = start else {
        let (edge, flattened) = fitted(&segments);
        return CornerRing { edges: edge.into_iter().collect(), flattened };
    };
    let mut edges = Vec::new();
    let mut flattened = 0;
    let mut cuts: Vec<usize> =
        corners.iter().map(|at| (at + segments.len() - start) % segments.len()).collect();
    cuts.sort_unstable();
    cuts.push(segments.len());
    let turned: Vec<PathSeg> = segments[start..].iter().chain(&segments[..start]).copied().collect();
    for pair in cuts.windows(2) {
        let (edge, count) = fitted(&turned[pair[0]..pair[1]]);
        edges.extend(edge);
        flattened += count;
    }
    CornerRing { edges, flattened }
}

/// An open line with its flattened curves made curves again.
pub(super) fn smoothed(line: &Curve, corner: CornerAngle) -> Curve {
    let segments = without_specks(line.segments());
    let mut parts = Vec::new();
    let mut from = 0;
    for at in 1..=segments.len() {
        let ends = at == segments.len() || turn(&segments, at, GoesRound::No).abs() >= corner.0;
        if ends {
            parts.extend(fitted(&segments[from..at]).0);
            from = at;
        }
    }
    concatenated(parts).unwrap_or_else(|| line.clone())
}

/// A line without the parts too short to have a direction, its ends where they were.
pub(super) fn without_stubs(line: &Curve) -> Curve {
    let kept = Curve::new(without_specks(line.segments()));
    kept.and_then(|kept| kept.with_ends(line.start(), line.end())).unwrap_or_else(|_| line.clone())
}

/// Segments without those too short to have a direction, closed up.
fn without_specks(segments: &[PathSeg]) -> Vec<PathSeg> {
    let mut kept: Vec<PathSeg> = Vec::with_capacity(segments.len());
    for segment in segments {
        let reach = segment.start().distance(segment.end());
        if reach < SHORT_PART && length(segment) < 2.0 * SHORT_PART {
            if let Some(last) = kept.last_mut() {
                *last = ending_at(last, segment.end());
            }
        } else {
            kept.push(match kept.last() {
                Some(last) => starting_at(segment, last.end()),
                None => *segment,
            });
        }
    }
    if let (Some(first), Some(last)) = (segments.first(), segments.last())
        && first.start() == last.end()
        && let Some(last) = kept.last().map(PathSeg::end)
        && let Some(first) = kept.first_mut()
    {
        *first = starting_at(first, last);
    }
    if kept.is_empty() { segments.to_vec() } else { kept }
}

fn length(segment: &PathSeg) -> f64 {
    segment.arclen(LENGTH_ACCURACY)
}

fn ending_at(segment: &PathSeg, end: Point) -> PathSeg {
    match *segment {
        PathSeg::Line(mut line) => {
            line.p1 = end;
            PathSeg::Line(line)
        }
        other => {
            let mut cubic = other.to_cubic();
            cubic.p3 = end;
            PathSeg::Cubic(cubic)
        }
    }
}

fn starting_at(segment: &PathSeg, start: Point) -> PathSeg {
    match *segment {
        PathSeg::Line(mut line) => {
            line.p0 = start;
            PathSeg::Line(line)
        }
        other => {
            let mut cubic = other.to_cubic();
            cubic.p0 = start;
            PathSeg::Cubic(cubic)
        }
    }
}

/// Whether the last segment goes on into the first.
#[derive(Clone, Copy, PartialEq, Eq)]
enum GoesRound {
    Yes,
    No,
}

/// The segments that begin at a corner of a closed line.
fn corners(segments: &[PathSeg], corner: CornerAngle) -> Vec<usize> {
    let turns: Vec<f64> = (0..segments.len()).map(|at| turn(segments, at, GoesRound::Yes).abs()).collect();
    let mut found: Vec<usize> = (0..segments.len()).filter(|at| turns[*at] >= corner.0).collect();
    let mut i = 0;
    while found.len() > 1 && i < found.len() {
        let (here, next) = (found[i], found[(i + 1) % found.len()]);
        let apart: f64 = if next > here {
            segments[here..next].iter().map(length).sum()
        } else {
            segments[here..].iter().chain(&segments[..next]).map(length).sum()
        };
        if apart < CORNERS_APART {
            let weaker = if turns[here] < turns[next] { i } else { (i + 1) % found.len() };
            found.remove(weaker);
            i = i.saturating_sub(1);
        } else {
            i += 1;
        }
    }
    found
}

/// How far travel turns where a segment begins, radians.
fn turn(segments: &[PathSeg], at: usize, round: GoesRound) -> f64 {
    let count = segments.len();
    if at == 0 && round == GoesRound::No {
        return 0.0;
    }
    let vertex = segments[at % count].start();
    let before = direction(|k| segments[(at + count - 1 - k % count) % count].reverse(), vertex, count);
    let after = direction(|k| segments[(at + k) % count], vertex, count);
    let (before, after) = (-before, after);
    turn_between(before, after).0
}

/// The direction away from a vertex: of the first segment where it is long enough, else to where the line is once it
/// has gone [`CORNERS_APART`].
fn direction(segment: impl Fn(usize) -> PathSeg, vertex: Point, count: usize) -> Vec2 {
    let first = segment(0);
    let mut gone = length(&first);
    if gone >= CORNERS_APART {
        return start_tangent(&first);
    }
    let mut end = first.end();
    for k in 1..count.min(FLATTENED_RUN * 4) {
        let next = segment(k);
        let own = length(&next);
        if gone + own >= CORNERS_APART {
            end = next.eval(((CORNERS_APART - gone) / own).clamp(0.0, 1.0));
            break;
        }
        gone += own;
        end = next.end();
    }
    end - vertex
}

fn start_tangent(segment: &PathSeg) -> Vec2 {
    let from = segment.start();
    let handles = match segment {
        PathSeg::Line(line) => [line.p1; 3],
        other => {
            let cubic = other.to_cubic();
            [cubic.p1, cubic.p2, cubic.p3]
        }
    };
    handles.into_iter().map(|to| to - from).find(|way| way.hypot() > SHORT_PART).unwrap_or(handles[2] - from)
}

/// An edge with runs of short straight lines fitted by curves, and how many lines that were.
fn fitted(segments: &[PathSeg]) -> (Option<Curve>, usize) {
    let mut parts: Vec<Curve> = Vec::new();
    let mut count = 0;
    let mut at = 0;
    while at < segments.len() {
        let run = flattened_run(segments, at);
        if run >= FLATTENED_RUN
            && let Some(curve) = fit_run(segments, at, run)
        {
            parts.push(curve);
            count += run;
            at += run;
        } else {
            let stop = at + run.max(1);
            parts.extend(Curve::new(segments[at..stop].iter().copied()));
            at = stop;
        }
    }
    (concatenated_open(parts), count)
}

/// Curves one after another that meet; the ends stay as they are.
fn concatenated_open(parts: Vec<Curve>) -> Option<Curve> {
    Curve::new(parts.iter().flat_map(|part| part.segments().iter().copied())).ok()
}

/// How many segments from one on are short straight lines of one flattened curve.
fn flattened_run(segments: &[PathSeg], from: usize) -> usize {
    let reach = |at: usize| match segments.get(at) {
        Some(PathSeg::Line(line)) => Some(line.p0.distance(line.p1)),
        _ => None,
    };
    let short = |at: usize| {
        let Some(own) = reach(at).filter(|own| *own <= FLATTENED_LONGEST) else { return false };
        let beside = [at.checked_sub(1).and_then(reach), reach(at + 1)];
        let shortest = beside.into_iter().flatten().fold(f64::INFINITY, f64::min);
        own <= STANDS_OUT * shortest || own <= FLATTENED_LONGEST / STANDS_OUT
    };
    (from..segments.len()).take_while(|at| short(*at)).count()
}

fn fit_run(segments: &[PathSeg], from: usize, run: usize) -> Option<Curve> {
    let points: Vec<Point> = std::iter::once(segments[from].start())
        .chain(segments[from..from + run].iter().map(PathSeg::end))
        .collect();
    let ran_into = |way: Vec2, chord: Vec2| {
        let turn = turn_between(way, chord).0.abs();
        (turn <= FLATTENED_TANGENT).then(|| way.normalize())
    };
    let before = from
        .checked_sub(1)
        .and_then(|at| ran_into(-start_tangent(&segments[at].reverse()), start_tangent(&segments[from])));
    let after = segments
        .get(from + run)
        .and_then(|next| ran_into(start_tangent(next), -start_tangent(&segments[from + run - 1].reverse())));
    fit_through(&points, before, after, FLATTENED_FIT).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::BezPath;

    fn edges_of(d: &str) -> CornerRing {
        let line = Curve::from_path(&BezPath::from_svg(d).unwrap()).unwrap();
        ring(&line, CornerAngle::default())
    }

    #[test]
    fn a_closed_line_is_divided_at_corners_also_between_curves() {
        let found = edges_of("M0 0 H100 C100 40 100 60 120 100 C80 90 40 90 0 100 Z");
        assert_eq!(found.edges.len(), 4);
        assert_eq!(found.edges[0].start(), Point::new(0.0, 0.0));
        assert_eq!(found.edges[1].end(), Point::new(120.0, 100.0));
    }

    #[test]
    fn an_anticlockwise_line_is_turned_round() {
        let found = edges_of("M0 0 V100 H100 V0 Z");
        assert_eq!(found.edges[0].end(), Point::new(100.0, 0.0));
    }

    /// A chord of length c on a radius r turns by c/r; the fit gives the arc back.
    #[test]
    fn a_flattened_arc_is_an_arc_again() {
        let (radius, steps) = (150.0, 120);
        let arc: Vec<String> = (0..=steps)
            .map(|k| {
                let angle = std::f64::consts::PI * f64::from(k) / f64::from(steps);
                format!("L{} {}", -radius * angle.cos(), -radius * angle.sin())
            })
            .collect();
        let found = edges_of(&format!("M-150 0 {} L150 200 L-150 200 Z", arc.join(" ")));
        let curve = found.edges.iter().max_by(|a, b| a.length().total_cmp(&b.length())).unwrap();
        assert!(found.flattened >= steps as usize);
        let off = (0..500).map(|k| {
            let at = curve.point_at(curve.length() * f64::from(k) / 500.0);
            if at.y > 0.0 { 0.0 } else { (at.to_vec2().hypot() - radius).abs() }
        });
        assert!(off.fold(0.0, f64::max) < 0.05);
        assert!(curve.segments().len() < 12, "{}", curve.segments().len());
    }
}
