//! A polygon sliced across: from where to where it reaches at each height, and whether another lies within it there.
//!
//! ```text
//!        /‾‾‾\            a slice between two heights at which corners lie; across it
//!       /     \           each border is straight, so that what is widest or least
//!      /_______\          stands at its upper or its lower end
//! ```

use kurbo::Point;

use crate::tolerance::{SAME_POINT, SHIFTED_TO};

/// A polygon sliced across at the heights of its corners.
#[derive(Clone, Debug)]
pub struct Slices {
    slices: Vec<Slice>,
    is_convex: bool,
    /// Whether it is in one part at every height.
    is_whole: bool,
}

/// What lies between two heights.
#[derive(Clone, Debug)]
struct Slice {
    from: f64,
    to: f64,
    /// From left to right, apart from each other.
    spans: Vec<SlicePart>,
}

/// A stretch of a slice that lies inside: its borders, each by its places at the upper and the lower end.
#[derive(Clone, Copy, Debug)]
struct SlicePart {
    left: (f64, f64),
    right: (f64, f64),
}

/// From where to where something may be, or lies.
type FromTo = (f64, f64);

impl Slices {
    /// Of a simple polygon of either direction.
    #[must_use]
    pub fn of(polygon: &[Point]) -> Slices {
        let mut heights: Vec<f64> = polygon.iter().map(|point| point.y).collect();
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| *a - *b <= SAME_POINT);
        let edges: Vec<(Point, Point)> =
            polygon.iter().copied().zip(polygon.iter().copied().cycle().skip(1)).collect();
        let slices = heights.windows(2).map(|pair| Slice::of(&edges, (pair[0], pair[1])));
        let slices: Vec<Slice> = slices.filter(|slice| !slice.spans.is_empty()).collect();
        let is_whole = slices.iter().all(|slice| slice.spans.len() == 1);
        Slices { slices, is_convex: convex(polygon), is_whole }
    }

    /// From which height to which it reaches.
    fn reach(&self) -> FromTo {
        match (self.slices.first(), self.slices.last()) {
            (Some(first), Some(last)) => (first.from, last.to),
            _ => (0.0, 0.0),
        }
    }

    /// How high it is.
    #[must_use]
    pub fn height(&self) -> f64 {
        let (from, to) = self.reach();
        to - from
    }

    /// The width of the widest upright rectangle of a height that lies within; none where it is not that high.
    #[must_use]
    pub fn widest_over(&self, height: f64) -> Option<f64> {
        let (top, bottom) = self.reach();
        let last = bottom - height;
        if last < top {
            return None;
        }
        let corners = self.heights();
        let starts = corners.iter().flat_map(|at| [*at, at - height]).chain([top, last]);
        let starts = sorted(starts.filter(|start| (top..=last).contains(start)));
        let lacks = |start: f64| -self.rectangle_at(start, start + height);
        Some(-least(&lacks, &starts, self.is_convex))
    }

    /// The width of the widest rectangle between two heights.
    fn rectangle_at(&self, from: f64, to: f64) -> f64 {
        let mut clear: Option<Vec<FromTo>> = None;
        let crossed = self.slices.iter().filter(|slice| slice.to > from && slice.from < to);
        for slice in crossed {
            let (from, to) = (slice.from.max(from), slice.to.min(to));
            let inner = |span: &SlicePart| {
                let [(l, r), (ll, rr)] = [slice.across(span, from), slice.across(span, to)];
                (l.max(ll), r.min(rr))
            };
            let here: Vec<FromTo> = slice.spans.iter().map(inner).collect();
            clear = Some(match clear {
                None => here,
                Some(before) => common(&before, &here),
            });
        }
        clear.unwrap_or_default().into_iter().map(|(left, right)| right - left).fold(0.0, f64::max)
    }

    /// By how much wider this would have to be, drawn apart across, for another to lie within it, shifted and not turned; less
    /// than nothing where it could be so much narrower. None where the other is higher by more than a slack.
    ///
    /// Of one that is in several parts at a height, each part is drawn apart for itself.
    #[must_use]
    pub fn lacks_for(&self, other: &Slices, slack: f64) -> Option<f64> {
        let ((top, bottom), (from, to)) = (self.reach(), other.reach());
        let (first, last) = (top - from, bottom - to);
        if last < first - slack {
            return None;
        }
        let lacks = |shift: f64| self.lacks_at(other, shift);
        if last <= first {
            return Some(lacks(f64::midpoint(first, last)));
        }
        // FromTo two shifts at which corners come to lie at one height all borders part evenly.
        let own = if self.is_convex { Vec::new() } else { self.heights() };
        let others = other.heights();
        let meetings = own.iter().flat_map(|at| others.iter().map(move |other| at - other));
        let shifts = sorted(meetings.filter(|shift| (first..=last).contains(shift)).chain([first, last]));
        Some(least(&lacks, &shifts, self.is_convex))
    }

    fn heights(&self) -> Vec<f64> {
        self.slices.iter().map(|slice| slice.from).chain(self.slices.last().map(|slice| slice.to)).collect()
    }

    /// By how much wider this would have to be for another to lie within it, shifted down by so much, and across as is best.
    fn lacks_at(&self, other: &Slices, shift: f64) -> f64 {
        if !self.is_whole {
            return least_widening(&self.rooms_for(other, shift));
        }
        // Where there is one room each, the last of their beginnings is held against the first of their ends.
        let none = (f64::NEG_INFINITY, f64::INFINITY);
        let (begin, end) = self
            .meetings(other, shift)
            .flat_map(|met| met.other.spans.iter().map(move |span| met.room(span, &met.own.spans[0])))
            .fold(none, |(begin, end), (from, to)| (begin.max(from), end.min(to)));
        begin - end
    }

    /// For each part of another at each height, shifted down by so much, from where to where it may be shifted across: a room
    /// for each part of this at that height. What ends before it begins is no room by so much.
    fn rooms_for(&self, other: &Slices, shift: f64) -> Vec<Vec<FromTo>> {
        let of = |met: SlicePair<'_>, span: &SlicePart| {
            met.own.spans.iter().map(|own| met.room(span, own)).collect()
        };
        let meetings = self.meetings(other, shift);
        meetings.flat_map(|met| met.other.spans.iter().map(move |span| of(met, span))).collect()
    }

    /// Where slices of another, shifted down by so much, lie beside slices of this.
    fn meetings<'a>(&'a self, other: &'a Slices, shift: f64) -> impl Iterator<Item = SlicePair<'a>> {
        other.slices.iter().flat_map(move |other| {
            let (begin, end) = (other.from + shift, other.to + shift);
            let first = self.slices.partition_point(|slice| slice.to <= begin);
            let beside = self.slices[first..].iter().take_while(move |slice| slice.from < end);
            let met = beside.map(move |own| {
                let (from, to) = (own.from.max(begin), own.to.min(end));
                SlicePair { own, other, shift, from, to }
            });
            met.filter(|met| met.to - met.from > SAME_POINT)
        })
    }
}

/// A slice of a polygon beside one of another that is shifted down: from which height to which.
#[derive(Clone, Copy)]
struct SlicePair<'a> {
    own: &'a Slice,
    other: &'a Slice,
    shift: f64,
    from: f64,
    to: f64,
}

impl SlicePair<'_> {
    /// From where to where a stretch of the other may be shifted across so that it lies within one.
    fn room(&self, span: &SlicePart, within: &SlicePart) -> FromTo {
        let [(begin, end), (from, to)] = [self.from, self.to].map(|height| {
            let (left, right) = self.own.across(within, height);
            let (own_left, own_right) = self.other.across(span, height - self.shift);
            (left - own_left, right - own_right)
        });
        (begin.max(from), end.min(to))
    }
}

/// By how much each room must be longer at its end so that all lists have something in common.
fn least_widening(rooms: &[Vec<FromTo>]) -> f64 {
    let widened = |rooms: &[FromTo], by: f64| {
        let longer = rooms.iter().map(|(begin, end)| (*begin, end + by));
        united(longer.filter(|(begin, end)| begin <= end).collect())
    };
    let may = |by: f64| {
        let mut all = rooms.iter().map(|rooms| widened(rooms, by));
        let Some(first) = all.next() else { return true };
        let common = all.try_fold(first, |before, here| {
            let both = common(&before, &here);
            (!both.is_empty()).then_some(both)
        });
        common.is_some_and(|common| !common.is_empty())
    };
    let farthest = rooms.iter().flatten().map(|(begin, end)| begin.abs().max(end.abs()));
    let wide = 2.0 * farthest.fold(0.0, f64::max) + SHIFTED_TO;
    let (mut no, mut yes) = (-wide, wide);
    while yes - no > SHIFTED_TO {
        let middle = f64::midpoint(no, yes);
        *(if may(middle) { &mut yes } else { &mut no }) = middle;
    }
    yes
}

impl Slice {
    fn of(edges: &[(Point, Point)], (from, to): FromTo) -> Slice {
        let middle = f64::midpoint(from, to);
        let mut borders: Vec<(f64, f64)> = edges
            .iter()
            .filter(|(a, b)| (a.y < middle) != (b.y < middle))
            .map(|(a, b)| {
                let at = |height: f64| a.x + (b.x - a.x) * (height - a.y) / (b.y - a.y);
                (at(from), at(to))
            })
            .collect();
        borders.sort_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
        let spans = borders.chunks_exact(2).map(|pair| SlicePart { left: pair[0], right: pair[1] });
        Slice { from, to, spans: spans.collect() }
    }

    /// From where to where a stretch reaches at a height.
    fn across(&self, span: &SlicePart, height: f64) -> FromTo {
        let share = (height - self.from) / (self.to - self.from);
        let at = |(from, to): (f64, f64)| from + (to - from) * share;
        (at(span.left), at(span.right))
    }
}

/// Stretches of which none lies over another, in order.
fn united(mut all: Vec<FromTo>) -> Vec<FromTo> {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut united: Vec<FromTo> = Vec::new();
    for (begin, end) in all {
        match united.last_mut() {
            Some((_, last)) if begin <= *last => *last = last.max(end),
            _ => united.push((begin, end)),
        }
    }
    united
}

/// What two lists have in common; nothing of what ends before it begins.
fn common(one: &[FromTo], other: &[FromTo]) -> Vec<FromTo> {
    let both = one.iter().flat_map(|a| other.iter().map(|b| (a.0.max(b.0), a.1.min(b.1))));
    both.filter(|(begin, end)| begin <= end).collect()
}

fn sorted(places: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut places: Vec<f64> = places.collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| *a - *b <= SAME_POINT);
    places
}

/// The least value of something between the first and the last of some places: what bends upward between any two that follow
/// each other, or from end to end.
fn least(value: &dyn Fn(f64) -> f64, places: &[f64], bends_upward: bool) -> f64 {
    let mut best = places.iter().map(|at| value(*at)).fold(f64::INFINITY, f64::min);
    let ends = [places.first(), places.last()].map(|at| at.copied().unwrap_or_default());
    let stretches: Vec<FromTo> = match bends_upward {
        true => vec![(ends[0], ends[1])],
        false => places.windows(2).map(|pair| (pair[0], pair[1])).collect(),
    };
    for (from, to) in stretches {
        let quarters = [0.25, 0.5, 0.75].map(|share| value(from + (to - from) * share));
        best = quarters.into_iter().fold(best, f64::min);
        if bends_upward || least_beside(quarters) < best {
            best = best.min(lowest(value, (from, to)));
        }
    }
    best
}

/// The least that something which bends upward can be where it has these values at the quarters of a stretch.
fn least_beside([first, middle, last]: [f64; 3]) -> f64 {
    let between = middle - (first - middle).max(last - middle).max(0.0);
    between.min(2.0 * first - middle).min(2.0 * last - middle)
}

/// The least value between two places of something that bends upward there: by golden sections.
fn lowest(value: &dyn Fn(f64) -> f64, (mut from, mut to): FromTo) -> f64 {
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let inner = |from: f64, to: f64| (to - (to - from) * golden, from + (to - from) * golden);
    let (mut a, mut b) = inner(from, to);
    let (mut at_a, mut at_b) = (value(a), value(b));
    while to - from > SHIFTED_TO {
        if at_a <= at_b {
            (to, b, at_b) = (b, a, at_a);
            a = inner(from, to).0;
            at_a = value(a);
        } else {
            (from, a, at_a) = (a, b, at_b);
            b = inner(from, to).1;
            at_b = value(b);
        }
    }
    at_a.min(at_b)
}

/// Whether a polygon turns one way at every corner.
fn convex(polygon: &[Point]) -> bool {
    let count = polygon.len();
    let turns = || {
        (0..count).map(|i| {
            let (before, at, after) =
                (polygon[(i + count - 1) % count], polygon[i], polygon[(i + 1) % count]);
            (at - before).cross(after - at)
        })
    };
    turns().all(|turn| turn >= -SAME_POINT) || turns().all(|turn| turn <= SAME_POINT)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slices(points: &[(f64, f64)]) -> Slices {
        Slices::of(&points.iter().map(|point| Point::from(*point)).collect::<Vec<_>>())
    }

    /// 300 mm at one end, 180 mm at the other, 620 mm long.
    fn wedge() -> Slices {
        slices(&[(60.0, 0.0), (240.0, 0.0), (300.0, 620.0), (0.0, 620.0)])
    }

    #[test]
    fn the_widest_rectangle_in_a_wedge_stands_at_its_wide_end() {
        for (height, width) in [(0.0, 300.0), (310.0, 240.0), (620.0, 180.0)] {
            approx::assert_abs_diff_eq!(wedge().widest_over(height).expect("room"), width, epsilon = 1e-4);
        }
        assert_eq!(wedge().widest_over(620.1), None);
    }

    #[test]
    fn a_wedge_is_as_wide_as_it_is_for_a_smaller_wedge() {
        let smaller = slices(&[(50.0, 0.0), (170.0, 0.0), (220.0, 500.0), (0.0, 500.0)]);
        let lacks = |one: &Slices, other: &Slices| one.lacks_for(other, 0.0).expect("it is long enough");
        // At the wide end 300 - 120 * 500 / 620 = 203.2 mm stand against 120, and 300 against 220.
        approx::assert_abs_diff_eq!(lacks(&wedge(), &smaller), -80.0, epsilon = 1e-4);
        assert_eq!(smaller.lacks_for(&wedge(), 0.0), None);
        let upright = slices(&[(0.0, 0.0), (250.0, 0.0), (250.0, 500.0), (0.0, 500.0)]);
        let rectangle = wedge().widest_over(500.0).expect("room");
        approx::assert_abs_diff_eq!(lacks(&wedge(), &upright), 250.0 - rectangle, epsilon = 1e-4);
    }

    /// What is hollow above lies where it is hollow, and beside it: legs of 40 and 60 mm about a gap of 50.
    #[test]
    fn what_is_in_two_parts_holds_what_lies_in_either() {
        let legs = slices(&[
            (0.0, 0.0),
            (150.0, 0.0),
            (150.0, 300.0),
            (90.0, 300.0),
            (90.0, 100.0),
            (40.0, 100.0),
            (40.0, 300.0),
            (0.0, 300.0),
        ]);
        let bar =
            |width: f64, height: f64| slices(&[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]);
        for (width, height, lacks) in [(150.0, 100.0, 0.0), (60.0, 300.0, 0.0), (70.0, 101.0, 10.0)] {
            let found = legs.lacks_for(&bar(width, height), 0.0).expect("long enough");
            approx::assert_abs_diff_eq!(found, lacks, epsilon = 1e-3);
            let rectangle = legs.widest_over(height).expect("room");
            approx::assert_abs_diff_eq!(rectangle, width - lacks, epsilon = 1e-3);
        }
        // Its own shape lies in it, and nowhere else.
        approx::assert_abs_diff_eq!(legs.lacks_for(&legs, 0.0).expect("as long"), 0.0, epsilon = 1e-3);
    }
}
