//! Where two curves cross or touch.

use kurbo::{CubicBez, Line, ParamCurveNearest, PathSeg, Point, Rect};

use super::roots::Bernstein;
use super::{Curve, segment};
use crate::tolerance::{
    CROSSINGS_APART, OVERLAP_STEP, PARALLEL, PARAMETER_ACCURACY, SAME_POINT, SHORTEST_OVERLAP,
};

/// A place where one curve crosses or touches another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The distance walked on the curve asked, in mm.
    pub at: f64,
    /// The distance walked on the other curve, in mm.
    pub other_at: f64,
    /// The place itself.
    pub point: Point,
}

/// The parameters of a meeting of two segments.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    pub t: f64,
    pub u: f64,
}

/// How many Newton steps sharpen a meeting; each doubles the digits, and clipping already gives nine.
const NEWTON_STEPS: usize = 4;

impl Curve {
    /// All places where this curve crosses or touches another, in the order of this curve. Ends that lie on the other
    /// curve count, and a shared end counts once. Where the two run together there is no crossing, neither within the
    /// shared stretch nor at its ends.
    pub fn crossings(&self, other: &Curve) -> Vec<Crossing> {
        let mut found = Vec::new();
        for (i, j) in box_pairs(self.segments(), other.segments()) {
            let (a, b) = (&self.segments()[i], &other.segments()[j]);
            found.extend(segment_hits(a, b).into_iter().map(|hit| Crossing {
                at: self.walked_to(i, hit.t),
                other_at: other.walked_to(j, hit.u),
                point: meeting(a, b, hit),
            }));
        }
        found.retain(|crossing| !self.runs_along(other, crossing));
        sorted_apart(found)
    }

    /// Whether the two curves run together on either side of a meeting.
    fn runs_along(&self, other: &Curve, crossing: &Crossing) -> bool {
        let (s, u) = (crossing.at, crossing.other_at);
        let mine = [self.tangent_before(s), self.tangent_at(s)];
        let theirs = [other.tangent_before(u), other.tangent_at(u)];
        let parallel = mine.iter().any(|a| theirs.iter().any(|b| a.cross(*b).abs() < PARALLEL));
        parallel
            && [(-1.0, s), (1.0, self.length() - s)].into_iter().any(|(way, room)| {
                let step = OVERLAP_STEP.min(room);
                let shared = |share: f64| {
                    let near = other.nearest(self.point_at(s + way * step * share));
                    near.distance <= SAME_POINT && (near.at - u).abs() <= 2.0 * step
                };
                step >= SHORTEST_OVERLAP && shared(1.0) && shared(0.5)
            })
    }
}

/// Sorts crossings along the first curve and leaves one of those that are the same.
fn sorted_apart(mut found: Vec<Crossing>) -> Vec<Crossing> {
    found.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.other_at.total_cmp(&b.other_at)));
    let mut kept: Vec<Crossing> = Vec::new();
    for crossing in found {
        let same = |known: &Crossing| {
            (known.at - crossing.at).abs() <= CROSSINGS_APART
                && (known.other_at - crossing.other_at).abs() <= CROSSINGS_APART
        };
        if !kept.iter().rev().take_while(|known| crossing.at - known.at <= CROSSINGS_APART).any(same) {
            kept.push(crossing);
        }
    }
    kept
}

/// The point of a meeting: an end bit for bit where it is one.
pub(super) fn meeting(a: &PathSeg, b: &PathSeg, hit: Hit) -> Point {
    let at_end = |t: f64| t <= 0.0 || t >= 1.0;
    if !at_end(hit.t) && at_end(hit.u) { segment::point(b, hit.u) } else { segment::point(a, hit.t) }
}

/// Up to how many pairs of segments each is looked at, rather than their boxes put in order first: most that is asked is
/// a line over an edge of a few cubics.
const FEW_PAIRS: usize = 64;

/// Whether two boxes come within [`SAME_POINT`].
fn come_near(a: &Rect, b: &Rect) -> bool {
    let near = |a0: f64, a1: f64, b0: f64, b1: f64| b0 <= a1 + SAME_POINT && a0 <= b1 + SAME_POINT;
    near(a.x0, a.x1, b.x0, b.x1) && near(a.y0, a.y1, b.y0, b.y1)
}

/// Pairs of one segment each whose boxes come within [`SAME_POINT`].
fn box_pairs(first: &[PathSeg], second: &[PathSeg]) -> Vec<(usize, usize)> {
    if first.len() * second.len() <= FEW_PAIRS {
        let second: Vec<Rect> = second.iter().map(segment::control_box).collect();
        let near = |a: Rect| second.iter().enumerate().filter(move |(_, b)| come_near(&a, b));
        let of = |(i, a): (usize, &PathSeg)| near(segment::control_box(a)).map(move |(j, _)| (i, j));
        return first.iter().enumerate().flat_map(of).collect();
    }
    let split = first.len();
    let boxes: Vec<Rect> = first.iter().chain(second).map(segment::control_box).collect();
    let across = |(i, j): (usize, usize)| (i < split && j >= split).then(|| (i, j - split));
    overlapping(&boxes).filter_map(across).collect()
}

/// Pairs `(i, j)`, `i < j`, of boxes that come within [`SAME_POINT`], one after another as they are asked for.
///
/// A sweep in the order of their left sides. That alone would hold every box of an edge that runs up the sheet against
/// every other of it, so that boxes are looked for only in the strips across the sheet that a box lies in: of n boxes
/// there are √n strips, and an edge of 20,000 short lines, whichever way it runs, is held against some hundreds at a time.
pub(super) fn overlapping(boxes: &[Rect]) -> impl Iterator<Item = (usize, usize)> + use<> {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|a, b| boxes[*a].x0.total_cmp(&boxes[*b].x0));
    let ranked: Vec<Rect> = order.iter().map(|i| boxes[*i]).collect();
    let strips = Strips::of(&ranked);
    (0..ranked.len()).flat_map(move |rank| {
        let mut partners = strips.after(rank, &ranked);
        partners.sort_unstable();
        let one = order[rank];
        let pairs = partners.into_iter().map(|other| order[other]);
        pairs.map(|other| (one.min(other), one.max(other))).collect::<Vec<_>>()
    })
}

/// Boxes by the strips across the sheet that they lie in, in each by their rank from the left.
struct Strips {
    top: f64,
    height: f64,
    ranks: Vec<Vec<usize>>,
}

impl Strips {
    fn of(ranked: &[Rect]) -> Strips {
        let count = (ranked.len() as f64).sqrt().ceil().max(1.0);
        let top = ranked.iter().map(|on| on.y0).fold(f64::INFINITY, f64::min);
        let bottom = ranked.iter().map(|on| on.y1).fold(f64::NEG_INFINITY, f64::max);
        let mut strips =
            Strips { top, height: (bottom - top) / count, ranks: vec![Vec::new(); count as usize] };
        for (rank, on) in ranked.iter().enumerate() {
            let (first, last) = strips.reach(on);
            strips.ranks[first..=last].iter_mut().for_each(|ranks| ranks.push(rank));
        }
        strips
    }

    /// The first and the last strip that a box lies in, [`SAME_POINT`] around it included.
    fn reach(&self, on: &Rect) -> (usize, usize) {
        let last = self.ranks.len() - 1;
        // A height of nothing, or a place that is no number, leads to the first strip.
        let strip = |y: f64| (((y - self.top) / self.height) as usize).min(last);
        let first = strip(on.y0 - SAME_POINT);
        (first, strip(on.y1 + SAME_POINT).max(first))
    }

    /// The ranks of the boxes further right that come near one, each once: in the first strip that both lie in.
    fn after(&self, rank: usize, ranked: &[Rect]) -> Vec<usize> {
        let a = ranked[rank];
        let (first, last) = self.reach(&a);
        let mut found = Vec::new();
        for strip in first..=last {
            let ranks = &self.ranks[strip];
            let behind = ranks.partition_point(|other| *other <= rank);
            let reached = ranks[behind..].iter().take_while(|other| ranked[**other].x0 <= a.x1 + SAME_POINT);
            found.extend(reached.copied().filter(|other| {
                let b = ranked[*other];
                come_near(&a, &b) && strip == first.max(self.reach(&b).0)
            }));
        }
        found
    }
}

/// All meetings of two segments: crossings, and ends of one that lie on the other. The same meeting may come twice.
pub(super) fn segment_hits(a: &PathSeg, b: &PathSeg) -> Vec<Hit> {
    let mut hits = match (a, b) {
        (PathSeg::Line(line), PathSeg::Line(other)) => line_line(line, other),
        (PathSeg::Line(line), _) => line_cubic(line, b),
        (_, PathSeg::Line(line)) => {
            line_cubic(line, a).into_iter().map(|hit| Hit { t: hit.u, u: hit.t }).collect()
        }
        _ => cubic_cubic(a.to_cubic(), b.to_cubic()),
    };
    for hit in &mut hits {
        *hit = sharpened(a, b, *hit);
    }
    hits.retain(|hit| (segment::point(a, hit.t) - segment::point(b, hit.u)).hypot() <= SAME_POINT);
    for end in [0.0, 1.0] {
        hits.extend(place_on(b, segment::point(a, end)).map(|u| Hit { t: end, u }));
        hits.extend(place_on(a, segment::point(b, end)).map(|t| Hit { t, u: end }));
    }
    hits
}

/// The parameter of a point that lies on a segment; 0 or 1 where it lies on an end.
fn place_on(on: &PathSeg, point: Point) -> Option<f64> {
    if !segment::control_box(on).inflate(SAME_POINT, SAME_POINT).contains(point) {
        return None;
    }
    if (on_end(on, 0.0) - point).hypot() <= SAME_POINT {
        return Some(0.0);
    }
    if (on_end(on, 1.0) - point).hypot() <= SAME_POINT {
        return Some(1.0);
    }
    let near = on.nearest(point, PARAMETER_ACCURACY);
    (near.distance_sq <= SAME_POINT * SAME_POINT).then_some(near.t.clamp(0.0, 1.0))
}

fn on_end(segment: &PathSeg, t: f64) -> Point {
    segment::point(segment, t)
}

fn line_line(a: &Line, b: &Line) -> Vec<Hit> {
    let (along, other) = (a.p1 - a.p0, b.p1 - b.p0);
    let det = along.cross(other);
    if det.abs() <= f64::EPSILON * along.hypot() * other.hypot() {
        return Vec::new();
    }
    let apart = b.p0 - a.p0;
    let hit = Hit { t: apart.cross(other) / det, u: apart.cross(along) / det };
    let (slack_a, slack_b) = (SAME_POINT / along.hypot(), SAME_POINT / other.hypot());
    let within = |t: f64, slack: f64| t >= -slack && t <= 1.0 + slack;
    if within(hit.t, slack_a) && within(hit.u, slack_b) { vec![clamped(hit)] } else { Vec::new() }
}

/// Meetings of a line (parameter `t`) with a cubic (parameter `u`): the roots of the cubic's distance from the line.
fn line_cubic(line: &Line, cubic: &PathSeg) -> Vec<Hit> {
    let along = line.p1 - line.p0;
    let reach = along.hypot();
    let slack = SAME_POINT / reach;
    let off = segment::control_points(cubic).map(|p| along.cross(p - line.p0) / reach);
    let roots = Bernstein(off).roots(SAME_POINT);
    let hits = roots.into_iter().map(|u| {
        let t = (segment::point(cubic, u) - line.p0).dot(along) / (reach * reach);
        Hit { t, u }
    });
    hits.filter(|hit| hit.t >= -slack && hit.t <= 1.0 + slack).map(clamped).collect()
}

/// Meetings of two cubics. The clipping is done for either direction of the second: of two crossings of nearly parallel
/// curves it may lose the one that lies near their ends, and loses another when it comes from the other side.
fn cubic_cubic(a: CubicBez, b: CubicBez) -> Vec<Hit> {
    let turned = CubicBez::new(b.p3, b.p2, b.p1, b.p0);
    let mut hits = clipped(a, b);
    hits.extend(clipped(a, turned).into_iter().map(|hit| Hit { u: 1.0 - hit.u, ..hit }));
    hits
}

fn clipped(a: CubicBez, b: CubicBez) -> Vec<Hit> {
    let lyon = |cubic: CubicBez| {
        let [from, ctrl1, ctrl2, to] =
            [cubic.p0, cubic.p1, cubic.p2, cubic.p3].map(|p| lyon_geom::euclid::point2(p.x, p.y));
        lyon_geom::CubicBezierSegment { from, ctrl1, ctrl2, to }
    };
    let hits = lyon(a).cubic_intersections_t(&lyon(b));
    hits.iter().map(|(t, u)| clamped(Hit { t: *t, u: *u })).collect()
}

fn clamped(hit: Hit) -> Hit {
    Hit { t: hit.t.clamp(0.0, 1.0), u: hit.u.clamp(0.0, 1.0) }
}

/// Newton's method on `A(t) = B(u)`, kept only while it brings the two points nearer.
fn sharpened(a: &PathSeg, b: &PathSeg, start: Hit) -> Hit {
    let apart = |hit: Hit| segment::point(b, hit.u) - segment::point(a, hit.t);
    let mut best = start;
    for _ in 0..NEWTON_STEPS {
        let gap = apart(best);
        let (da, db) = (segment::derivative(a, best.t), segment::derivative(b, best.u));
        let det = da.cross(db);
        if gap.hypot() == 0.0 || det.abs() <= f64::EPSILON * da.hypot() * db.hypot() {
            break;
        }
        let next = clamped(Hit { t: best.t + gap.cross(db) / det, u: best.u + gap.cross(da) / det });
        let closer = apart(next).hypot() < gap.hypot();
        if !closer {
            break;
        }
        best = next;
    }
    best
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn near(a: Rect, b: Rect) -> bool {
        b.x0 <= a.x1 + SAME_POINT
            && a.x0 <= b.x1 + SAME_POINT
            && b.y0 <= a.y1 + SAME_POINT
            && a.y0 <= b.y1 + SAME_POINT
    }

    fn boxes() -> impl Strategy<Value = Vec<Rect>> {
        let place = prop_oneof![-50.0..50.0_f64, (-5..5).prop_map(f64::from)];
        let size = prop_oneof![Just(0.0), 0.0..3.0_f64, 0.0..80.0_f64];
        let one = (place.clone(), place, size.clone(), size);
        proptest::collection::vec(one.prop_map(|(x, y, w, h)| Rect::new(x, y, x + w, y + h)), 0..60)
    }

    proptest! {
        #[test]
        fn every_pair_of_boxes_that_meet_is_found_once(boxes in boxes()) {
            let mut found: Vec<_> = overlapping(&boxes).collect();
            found.sort_unstable();
            let pairs = (0..boxes.len()).flat_map(|i| (i + 1..boxes.len()).map(move |j| (i, j)));
            let expected: Vec<_> = pairs.filter(|(i, j)| near(boxes[*i], boxes[*j])).collect();
            prop_assert_eq!(found, expected);
        }
    }
}
