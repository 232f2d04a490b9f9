//! Allowance that is not there: where a cutting line, whatever made it, stands nearer to a seamline than the allowance
//! written on it.
//!
//! ```text
//!   cutting line ─────────╲      ╱─────────
//!                          ╲____╱          ┐ what is left
//!   seamline    ───────────────────────    ┘
//!                         ^      ^
//!                       from     to
//! ```
//!
//! Square to the seamline, from places strictly inside each edge, to where the cutting line is first met. Folds, the
//! mouths of darts and free edges on the selvedge have no allowance to lack. A half piece is taken opened out.
//!
//! Nearly all of a cutting line runs beside its edge as it should, which is told in straight stretches: only where one of
//! them has something of the cutting line within its allowance is it looked at place by place.

use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Rect, Shape};

use crate::allowance::{CutShape, CuttingLine};
use crate::curve::{Chord, Met, Motion, Point, Ray, StraightLimit, Vec2, segment_box};
use crate::pattern::{EdgeId, Finish, Piece};
use crate::tolerance::{
    INSIDE_EDGE, PARAMETER_ACCURACY, ROOM_FLATTENING, SAME_CUT, SEAMLINE_CUT_OFF, SHORTAGE_STEP,
    SHORTAGE_TOLD,
};

/// A stretch of an edge beside which less than its allowance is left.
#[derive(Clone, Debug, PartialEq)]
pub struct Shortage {
    /// The edge.
    pub edge: EdgeId,
    /// Walk distance along its curve at which the stretch begins, mm.
    pub from: f64,
    /// Walk distance at which it ends, mm.
    pub to: f64,
    /// What is left of the allowance where it is least, mm; negative where the seamline itself is cut off.
    pub left: f64,
    /// Walk distance at which that is, mm.
    pub at: f64,
}

impl CuttingLine {
    /// Where less than the allowance of an edge of the line's piece is left, in the order of its edges.
    #[must_use]
    pub fn shortages(&self, piece: &Piece) -> Vec<Shortage> {
        let cut = OpenedLine::of(self, piece);
        let mut came_from = Seamline::Unknown;
        piece.edge_ids().flat_map(|edge| short_on(self, piece, edge, &cut, &mut came_from)).collect()
    }

    /// From where to where the allowance of an edge is asked for: its sewn stretches without their ends. A hem turned up
    /// is as long there as its own cutting line, which the reflected side leaves it.
    fn asked_for(&self, piece: &Piece, id: EdgeId) -> Vec<(f64, f64)> {
        let curve = &piece.edge(id).curve;
        let mut stretches = piece.sewn_stretches(id);
        let turned_up = |after: EdgeId| {
            let corner = self.corners.get(after.0)?;
            (corner.shape == CutShape::TurnedUp(id)).then_some(corner.ends)
        };
        if let (Some(first), Some((_, end))) = (stretches.first_mut(), turned_up(piece.previous(id))) {
            first.0 = first.0.max(curve.nearest(end).at);
        }
        if let (Some(last), Some((end, _))) = (stretches.last_mut(), turned_up(id)) {
            last.1 = last.1.min(curve.nearest(end).at);
        }
        stretches.iter().map(|(from, to)| (from + INSIDE_EDGE, to - INSIDE_EDGE)).collect()
    }
}

/// How the seamline lies where one edge ends and the next begins.
#[derive(Clone, Copy, PartialEq)]
enum Seamline {
    /// It was not looked at there.
    Unknown,
    /// It lies within the cutting line.
    Within,
    /// It is cut off.
    CutOff,
}

/// What is short of an edge, and how the seamline lies at its end; it begins as the edge before it ended.
fn short_on(
    line: &CuttingLine,
    piece: &Piece,
    id: EdgeId,
    cut: &OpenedLine<'_>,
    lies: &mut Seamline,
) -> Vec<Shortage> {
    let edge = piece.edge(id);
    if edge.finish == Finish::Fold {
        *lies = Seamline::Unknown;
        return Vec::new();
    }
    let depth = edge.cut_allowance().mm();
    let asked_for = line.asked_for(piece, id);
    let mut found = ShortStretches { edge: id, open: false, found: Vec::new() };
    let is_off = |left: f64| if left < -SHORTAGE_TOLD { Seamline::CutOff } else { Seamline::Within };
    if *lies == Seamline::Unknown
        && let Some(first) = edge.curve.chords(ROOM_FLATTENING).next()
    {
        *lies = is_off(cut.left(&first.from, depth));
    }
    for chord in edge.curve.chords(ROOM_FLATTENING) {
        let within = match lies {
            Seamline::CutOff => Some((0.0, 1.0)),
            Seamline::Unknown | Seamline::Within => cut.within(&chord, depth),
        };
        let Some((low, high)) = within else {
            found.open = false;
            continue;
        };
        for place in edge.curve.met_between(&chord, low..=high, SHORTAGE_STEP) {
            let left = cut.left(&place, depth);
            *lies = is_off(left);
            if left >= depth - SHORTAGE_TOLD {
                found.open = false;
                continue;
            }
            let at = edge.curve.walked_at(&place);
            if asked_for.iter().any(|(from, to)| (*from..=*to).contains(&at)) {
                found.add(at, left);
                continue;
            }
            // Less and less is left toward a corner: most is lacking where the asking ends, between two places.
            let ends = asked_for.iter().flat_map(|(from, to)| [*from, *to]);
            for end in ends.filter(|end| (end - at).abs() < SHORTAGE_STEP) {
                let left = cut.left(&edge.curve.met_at(end), depth);
                if left < depth - SHORTAGE_TOLD {
                    found.add(end, left);
                }
            }
        }
    }
    // Each place stands for half a step on either side of it.
    let (half, length) = (SHORTAGE_STEP / 2.0, edge.curve.length());
    let widened = |short: Shortage| Shortage {
        from: (short.from - half).max(0.0),
        to: (short.to + half).min(length),
        ..short
    };
    found.found.into_iter().map(widened).collect()
}

/// Stretches put together from places that follow one another.
struct ShortStretches {
    edge: EdgeId,
    open: bool,
    found: Vec<Shortage>,
}

impl ShortStretches {
    fn add(&mut self, at: f64, left: f64) {
        match self.found.last_mut().filter(|_| self.open) {
            Some(shortage) => {
                shortage.to = at;
                if left < shortage.left {
                    (shortage.left, shortage.at) = (left, at);
                }
            }
            None => self.found.push(Shortage { edge: self.edge, from: at, to: at, left, at }),
        }
        self.open = true;
    }
}

/// Straight stretches of a cutting line that follow one another, and their box.
struct Bundle {
    points: Vec<Point>,
    bounds: Rect,
}

/// How many points a bundle has.
const BUNDLE: usize = 16;

/// A cutting line with its mirror image beyond each fold.
struct OpenedLine<'a> {
    path: &'a BezPath,
    own: Vec<PathSeg>,
    on_folds: Vec<PathSeg>,
    mirrored: Vec<PathSeg>,
    bundles: Vec<Bundle>,
}

impl<'a> OpenedLine<'a> {
    fn of(line: &'a CuttingLine, piece: &Piece) -> OpenedLine<'a> {
        let (mut own, mut on_folds): (Vec<PathSeg>, _) = (line.path.segments().collect(), Vec::new());
        let mut mirrored = Vec::new();
        for fold in piece.edges().iter().filter(|edge| edge.finish == Finish::Fold) {
            let (start, end) = (fold.curve.start(), fold.curve.end());
            let Ok(mirroring) = Motion::mirror_in(start, end) else { continue };
            let line = StraightLimit::left_of(start, end - start);
            on_folds.extend(own.extract_if(.., |segment| lies_on(segment, &line)));
            mirrored.extend(own.iter().map(|segment| mirroring.to_affine() * *segment));
        }
        let bundles = bundles(own.iter().chain(&mirrored));
        OpenedLine { path: &line.path, own, on_folds, mirrored, bundles }
    }

    /// Between which shares of a chord something of the line lies within the allowance beside it, as near as flattening
    /// tells; nothing where all of it is there.
    fn within(&self, chord: &Chord, depth: f64) -> Option<(f64, f64)> {
        let length = chord.length();
        let along = (chord.to.point - chord.from.point) / length;
        let frame = ChordFrame { at: chord.from.point, along, out: Vec2::new(along.y, -along.x) };
        let aslant = [chord.from.outward, chord.to.outward].map(|outward| (outward - frame.out).hypot());
        let slack = SHORTAGE_STEP + depth.max(SEAMLINE_CUT_OFF) * aslant[0].max(aslant[1]);
        let strip = ChordStrip {
            along: (-slack, length + slack),
            out: (-SEAMLINE_CUT_OFF, depth - SHORTAGE_TOLD + 2.0 * ROOM_FLATTENING),
        };
        let bounds = frame.box_of(&strip);
        let within = self
            .bundles
            .iter()
            .filter(|bundle| meet(bounds, bundle.bounds))
            .flat_map(|bundle| bundle.points.windows(2))
            .filter_map(|pair| strip.holds_of(frame.of(pair[0]), frame.of(pair[1])));
        let (low, high) = within.reduce(|all, one| (all.0.min(one.0), all.1.max(one.1)))?;
        Some((((low - slack) / length).max(0.0), ((high + slack) / length).min(1.0)))
    }

    /// How far the line stands from a place on the seamline, at most a depth, mm; negative where the place is cut off, by
    /// how far it is from the line.
    fn left(&self, place: &Met, depth: f64) -> f64 {
        if self.path.winding(place.point) == 0 {
            let apart = |segment: &PathSeg| segment.nearest(place.point, PARAMETER_ACCURACY).distance_sq;
            return -self.own.iter().map(apart).fold(f64::INFINITY, f64::min).sqrt();
        }
        let ray = Ray { from: place.point, way: place.outward };
        let reached = ray.box_to(depth).inflate(SAME_CUT, SAME_CUT);
        let first_met = |segments: &[PathSeg], from: f64| {
            let near = segments.iter().filter(|segment| meet(reached, segment_box(segment)));
            let ahead = near.flat_map(|segment| ray.meets(segment)).filter(|ahead| *ahead > from - SAME_CUT);
            ahead.fold(f64::INFINITY, f64::min)
        };
        let (own, fold) = (first_met(&self.own, 0.0), first_met(&self.on_folds, 0.0));
        let met = if fold < own { first_met(&self.mirrored, fold) } else { own };
        met.clamp(0.0, depth)
    }
}

/// Whether two boxes have a point in common.
fn meet(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// Whether a segment runs along a straight line.
fn lies_on(segment: &PathSeg, line: &StraightLimit) -> bool {
    let on_line = |point: Point| line.beyond(point).abs() <= SAME_CUT;
    matches!(segment, PathSeg::Line(side) if on_line(side.p0) && on_line(side.p1))
}

/// Segments in straight stretches, put up in bundles.
fn bundles<'a>(segments: impl Iterator<Item = &'a PathSeg>) -> Vec<Bundle> {
    let mut found: Vec<Bundle> = Vec::new();
    let way = segments.flat_map(|segment| [PathEl::MoveTo(segment.start()), segment.as_path_el()]);
    kurbo::flatten(way, ROOM_FLATTENING, |element| match element {
        PathEl::LineTo(to) => {
            let on = match found.last() {
                Some(last) if last.points.len() < BUNDLE => None,
                Some(last) => last.points.last().copied(),
                None => Some(to),
            };
            if let Some(from) = on {
                found.push(Bundle { points: vec![from], bounds: Rect::from_points(from, from) });
            }
            if let Some(last) = found.last_mut() {
                last.points.push(to);
                last.bounds = last.bounds.union_pt(to);
            }
        }
        PathEl::MoveTo(at) => {
            let goes_on = found.last().and_then(|last| last.points.last()).is_some_and(|last| *last == at);
            if !goes_on {
                found.push(Bundle { points: vec![at], bounds: Rect::from_points(at, at) });
            }
        }
        _ => {}
    });
    found
}

/// Distances along a chord and out from it.
struct ChordFrame {
    at: Point,
    along: Vec2,
    out: Vec2,
}

/// A stretch along a chord, and the distances from it that are looked at, mm.
struct ChordStrip {
    along: (f64, f64),
    out: (f64, f64),
}

impl ChordFrame {
    fn of(&self, point: Point) -> (f64, f64) {
        let apart = point - self.at;
        (apart.dot(self.along), apart.dot(self.out))
    }

    fn box_of(&self, strip: &ChordStrip) -> Rect {
        let corner = |along: f64, out: f64| self.at + along * self.along + out * self.out;
        let (a, b) = (corner(strip.along.0, strip.out.0), corner(strip.along.1, strip.out.1));
        let (c, d) = (corner(strip.along.0, strip.out.1), corner(strip.along.1, strip.out.0));
        Rect::from_points(a, b).union(Rect::from_points(c, d))
    }
}

impl ChordStrip {
    /// From where to where along the chord a straight line between two places lies in the strip.
    fn holds_of(&self, from: (f64, f64), to: (f64, f64)) -> Option<(f64, f64)> {
        let clear = |a: f64, b: f64, (least, most): (f64, f64)| a.max(b) < least || a.min(b) > most;
        if clear(from.1, to.1, self.out) || clear(from.0, to.0, self.along) {
            return None;
        }
        let (along, out) = (to.0 - from.0, to.1 - from.1);
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for (start, by, (least, most)) in [(from.0, along, self.along), (from.1, out, self.out)] {
            if by == 0.0 {
                if start < least || start > most {
                    return None;
                }
            } else {
                let (a, b) = ((least - start) / by, (most - start) / by);
                (low, high) = (low.max(a.min(b)), high.min(a.max(b)));
            }
        }
        let at = |share: f64| from.0 + share * along;
        (low <= high).then(|| (at(low).min(at(high)), at(low).max(at(high))))
    }
}
