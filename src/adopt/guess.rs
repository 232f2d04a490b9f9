//! What a line on a piece looks like to a person.

use kurbo::{ParamCurve, PathSeg, Point, Rect, Vec2};

use crate::adopt::outlines::Guess;
use crate::adopt::short_dart::run_on;
use crate::adopt::stroke::DrawnThings;
use crate::curve::{Curve, Outline};
use crate::pattern::Arrows;
use crate::tolerance::{LEAST_OUTLINE, ON_OUTLINE, SHORT_PART, WELD};

/// The longest tick of a notch, mm.
const LONGEST_NOTCH: f64 = 15.0;

/// How near the head of an arrow lies to the end of its line, mm.
const ARROW_REACH: f64 = 2.0;

/// How large the head of an arrow is at most, as a share of its line.
const ARROW_SHARE: f64 = 0.25;

/// Guesses what a line is.
pub(super) fn guess(line: &Curve, ring: Option<&Outline>, heads: &ArrowHeads) -> Guess {
    let closed = line.start() == line.end();
    let straight = !closed && line.is_straight(ON_OUTLINE);
    let touches = |at: Point| ring.is_some_and(|ring| ring.distance(at) <= WELD);
    let (start, end) = (touches(line.start()), touches(line.end()));
    let bounds = line.bounds();
    let extent = bounds.width().max(bounds.height());
    if extent <= LONGEST_NOTCH {
        let near = closed && line.segments().iter().any(|segment| touches(ParamCurve::start(segment)));
        let crosses = || ring.is_some_and(|ring| !ring.crossings_with(line).is_empty());
        return if start || end || near || ((straight || closed) && crosses()) {
            Guess::Notch
        } else {
            Guess::Point
        };
    }
    if straight && line.length() > LEAST_OUTLINE && heads.at_ends(line).is_some() {
        return Guess::Grainline;
    }
    if !closed && is_bent_back(line) && heads.at_ends(line) == Some(Arrows::Both) {
        return Guess::FoldArrow;
    }
    let corners = line.joints().iter().filter(|joint| joint.turn.abs() > 1.0).count();
    if closed && (corners == 1 || corners == 3) && line.segments().len() <= 8 {
        return Guess::DoubleDart;
    }
    let runs_over = || ring.is_some_and(|ring| runs_over_mouth(line, ring));
    let ends_short = || ring.is_some_and(|ring| run_on(line, ring).is_some());
    if !closed && !straight && corners == 1 && ((start && end) || runs_over() || ends_short()) {
        return Guess::Dart;
    }
    if straight && line.length() > LEAST_OUTLINE { Guess::Level } else { Guess::Line }
}

/// Whether a line comes from outside of a ring, turns inside, and leaves it again: the legs of a dart that are drawn out through
/// the allowance.
fn runs_over_mouth(line: &Curve, ring: &Outline) -> bool {
    let beyond = |at: Point| !ring.contains(at);
    let turns = line.joints().into_iter().filter(|joint| joint.turn.abs() > 1.0);
    let turns_inside = turns.map(|joint| line.point_at(joint.at)).all(|at| ring.contains(at));
    beyond(line.start()) && beyond(line.end()) && turns_inside && ring.crossings_with(line).len() == 2
}

/// Whether a line runs straight, and is bent square to one side at both ends: the arrow that points at a fold.
fn is_bent_back(line: &Curve) -> bool {
    /// How far from square the bends are: the sine of 20°.
    const SQUARE: f64 = 0.34;
    let straight = line.segments().iter().all(|part| matches!(part, PathSeg::Line(_)));
    let ways = straight_ways(line);
    let [out, along, back] = ways.as_slice() else { return false };
    let square = |way: &Vec2| way.normalize().dot(along.normalize()).abs() <= SQUARE;
    straight && square(out) && square(back) && out.dot(*back) < 0.0
}

/// The straight stretches of a line, each as one way, however many parts it is drawn in: where it was cut by the edge of a page
/// it goes on in another.
fn straight_ways(line: &Curve) -> Vec<Vec2> {
    /// How much one part may turn from the next: the sine of 6°.
    const GOES_ON: f64 = 0.1;
    let mut ways: Vec<Vec2> = Vec::new();
    let parts = line.segments().iter().map(|part| part.end() - part.start());
    for part in parts.filter(|part| part.hypot() > WELD) {
        match ways.last_mut() {
            Some(way) if goes_on(*way, part, GOES_ON) => *way += part,
            _ => ways.push(part),
        }
    }
    ways
}

fn goes_on(way: Vec2, next: Vec2, most_turn: f64) -> bool {
    way.dot(next) > 0.0 && way.normalize().cross(next.normalize()).abs() <= most_turn
}

/// Whether a closed shape is as small as a mark.
pub(super) fn is_small_and_closed(shape: &Curve) -> bool {
    let bounds = shape.bounds();
    shape.start() == shape.end() && bounds.width().max(bounds.height()) <= LONGEST_NOTCH
}

/// Whether a shape stands at the end of a line as the head of an arrow does.
pub(super) fn is_head_at(shape: &Curve, end: Point) -> bool {
    shape.bounds().inflate(ARROW_REACH, ARROW_REACH).contains(end)
}

/// The heads of arrows in a drawing: small solid shapes, and short strokes that may be barbs.
#[derive(Clone, Debug, Default)]
pub(super) struct ArrowHeads {
    solids: Vec<Rect>,
    barbs: Vec<Barb>,
    /// Ends of lines at which markers stand.
    marked: Vec<Point>,
}

/// A short stroke of a few straight parts.
#[derive(Clone, Debug)]
struct Barb {
    corners: Vec<Point>,
    length: f64,
}

impl ArrowHeads {
    /// All that may be the head of an arrow.
    pub fn of(drawn: &DrawnThings) -> ArrowHeads {
        const LONGEST_BARB: f64 = 30.0;
        let straight = |segment: &PathSeg| matches!(segment, PathSeg::Line(_));
        let barbs = drawn.strokes.iter().filter_map(|stroke| {
            let curve = &stroke.curve;
            let segments = curve.segments();
            let short = segments.len() <= 3 && curve.length() <= 2.0 * LONGEST_BARB;
            (short && segments.iter().all(straight)).then(|| Barb {
                corners: segments.iter().map(ParamCurve::start).chain([curve.end()]).collect(),
                length: curve.length(),
            })
        });
        let solids = drawn.solids.iter().filter(|solid| is_head(&drawn.strokes[solid.stroke].curve));
        ArrowHeads {
            solids: solids.map(|solid| solid.bounds).collect(),
            barbs: barbs.collect(),
            marked: drawn.marked.clone(),
        }
    }

    /// Whether a head stands at the start and at the end of a straight line: a small solid triangle, or two short
    /// strokes or one bent stroke that meet there.
    pub fn at_ends(&self, line: &Curve) -> Option<Arrows> {
        let most = ARROW_SHARE * line.length();
        let solid = |at: Point| {
            self.solids.iter().any(|bounds| {
                bounds.width().max(bounds.height()) <= most
                    && bounds.inflate(ARROW_REACH, ARROW_REACH).contains(at)
            })
        };
        let barbs = |at: Point| -> usize {
            let meets = |barb: &&Barb| {
                barb.length <= 2.0 * most && barb.corners.iter().any(|corner| corner.distance(at) <= WELD)
            };
            self.barbs.iter().filter(meets).map(|barb| barb.corners.len() - 1).sum()
        };
        let marked = |at: Point| self.marked.iter().any(|other| other.distance(at) <= WELD);
        let head = |at: Point| solid(at) || marked(at) || barbs(at) >= 2;
        match (head(line.start()), head(line.end())) {
            (true, true) => Some(Arrows::Both),
            (true, false) => Some(Arrows::Start),
            (false, true) => Some(Arrows::End),
            (false, false) => None,
        }
    }
}

/// Whether a small filled shape is the head of an arrow: a triangle, or one with a notch in its back, but no square or bar.
fn is_head(shape: &Curve) -> bool {
    /// How far from parallel the sides of a bar that was drawn badly are, as a share of its length.
    const BADLY: f64 = 0.1;
    let sides = shape.segments().iter();
    let ways: Option<Vec<Vec2>> = sides
        .map(|side| match side {
            PathSeg::Line(line) => Some(line.p1 - line.p0),
            _ => None,
        })
        .collect();
    let long = ways.into_iter().flatten().filter(|way| way.hypot() > SHORT_PART).collect::<Vec<Vec2>>();
    match long.as_slice() {
        [_, _, _] => true,
        [a, _, b, _] => (*a + *b).hypot() > BADLY * a.hypot().max(b.hypot()),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[(f64, f64)]) -> Curve {
        Curve::polyline(&points.iter().map(|point| Point::from(*point)).collect::<Vec<_>>()).expect("a line")
    }

    /// However short it is, and however many parts it was cut into by the edges of pages, a little off each other.
    #[test]
    fn an_arrow_at_a_fold_is_bent_back_at_both_ends() {
        for long in [15.0, 30.0, 60.0, 350.0] {
            assert!(is_bent_back(&line(&[(0.0, 0.0), (20.0, 0.0), (20.0, long), (0.0, long)])), "{long}");
        }
        let cut =
            [(0.0, 0.0), (12.0, 0.1), (20.0, 0.1), (20.0, 90.0), (20.2, 150.0), (20.0, 210.0), (0.0, 210.0)];
        assert!(is_bent_back(&line(&cut)));
        assert!(!is_bent_back(&line(&[(0.0, 0.0), (20.0, 0.0), (20.0, 60.0), (40.0, 60.0)])), "a step");
        assert!(!is_bent_back(&line(&[(0.0, 0.0), (20.0, 0.0), (20.0, 60.0)])), "a corner");
    }
}
