//! The one loop that is left of a closed line which crosses itself.
//!
//! Most lines that do so have a few small loops, as the swallowtail of an offset is. Those are cut off where they begin
//! and end. Whatever is more tangled is swept.
//!
//! ```text
//!    ──────╲ ╱──────        ──────╲ ╱──────
//!           ╳                      ●
//!          ╱ ╲       gives
//!          ╲_╱
//! ```

use kurbo::{BezPath, ParamCurve, ParamCurveArea, PathSeg, Point, Rect};

use super::run::check_points;
use super::self_crossing::{ChainEnds, Contact, contacts};
use super::trim::{drawn, trim_positive};
use super::{CurveError, segment};
use crate::tolerance::{CLEAR_CROSSING, CROSSINGS_APART, SAME_PARAMETER, SPECK};

/// What is left of a closed line, and what was taken off it.
#[derive(Clone, Debug)]
pub struct OneLoop {
    /// The line, which does not cross itself.
    pub path: BezPath,
    /// Boxes that hold all of the old line that the new one has not, within 0.001 mm; none where it came as it went.
    pub taken_off: Vec<Rect>,
}

/// The largest ring round which a closed line runs clockwise as seen, the sum of its turns taken; see
/// [`trim_positive`]. A line that does not cross itself is returned as it came.
///
/// # Errors
///
/// As [`trim_positive`], and [`CurveError::NotTrimmed`] where no ring is left.
pub fn largest_loop(path: BezPath) -> Result<OneLoop, CurveError> {
    let chain: Vec<PathSeg> = path.subpaths().flat_map(drawn).collect();
    let single = path.subpaths().nth(1).is_none();
    let drawable = chain.iter().all(|segment| check_points(segment).is_ok());
    if single && drawable {
        let found: Vec<Contact> = contacts(&chain, ChainEnds::Closed).take(MOST_CONTACTS).collect();
        if found.is_empty() {
            return Ok(OneLoop { path, taken_off: Vec::new() });
        }
        if let Some(freed) = cut_off(&chain, &found) {
            return Ok(freed);
        }
    }
    let kept = trim_positive(&path)?.into_iter().next().ok_or(CurveError::NotTrimmed)?;
    let mut left: Vec<PathSeg> = kept.segments().collect();
    left.sort_by(|a, b| a.start().x.total_cmp(&b.start().x));
    let lost = chain.iter().filter(|segment| !is_among(segment, &left));
    let taken_off = lost.map(segment::control_box).collect();
    Ok(OneLoop { path: kept, taken_off })
}

/// Contacts of a line that has no more than some small loops; each may be found several times.
const MOST_CONTACTS: usize = 64;

/// Whether a segment is the same as one of others, which are sorted by where they start from the left.
fn is_among(segment: &PathSeg, others: &[PathSeg]) -> bool {
    let (least, most) = (segment.start().x - SPECK, segment.start().x + SPECK);
    let first = others.partition_point(|other| other.start().x < least);
    let near = others[first..].iter().take_while(|other| other.start().x <= most);
    near.into_iter().any(|other| are_same(segment, other))
}

/// Whether the sweep left a segment as it was.
fn are_same(a: &PathSeg, b: &PathSeg) -> bool {
    let pairs = segment::control_points(a).into_iter().zip(segment::control_points(b));
    pairs.into_iter().all(|(p, q)| (p - q).hypot() <= SPECK)
}

/// A place on a chain: the number of segments before it and the parameter on its own.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
struct ChainPlace(f64);

impl ChainPlace {
    /// The place on a closed chain; the end of the last segment is the start of the first.
    fn on(chain: &[PathSeg], index: usize, t: f64) -> ChainPlace {
        let spot = index as f64 + t;
        ChainPlace(if spot >= chain.len() as f64 { 0.0 } else { spot })
    }

    fn index(self, chain: &[PathSeg]) -> usize {
        (self.0 as usize).min(chain.len() - 1)
    }

    fn t(self, chain: &[PathSeg]) -> f64 {
        self.0 - self.index(chain) as f64
    }

    fn is_near(self, other: ChainPlace, chain: &[PathSeg]) -> bool {
        let apart = (self.0 - other.0).abs();
        apart.min(chain.len() as f64 - apart) <= SAME_PARAMETER
    }
}

/// A stretch of a closed chain that begins and ends at one point.
#[derive(Clone, Copy)]
struct Bight {
    from: ChainPlace,
    to: ChainPlace,
    point: Point,
}

/// Cuts off small loops that cross nothing but the line where they begin, and turn there the way they run.
///
/// Such a loop lies in the wedge opposite to that of the rest at its crossing. If it runs anticlockwise, the rest turns
/// clockwise there, and the wedge is outside of it; if it runs clockwise, within it. The rest, once all are off, crosses
/// itself nowhere. So the sum of turns is one or more within the rest and below one outside of it, and the rest is what
/// [`trim_positive`] would leave.
fn cut_off(chain: &[PathSeg], found: &[Contact]) -> Option<OneLoop> {
    if found.len() >= MOST_CONTACTS {
        return None;
    }
    let whole: f64 = chain.iter().map(ParamCurveArea::signed_area).sum();
    let mut bights: Vec<Bight> = Vec::new();
    for contact in found {
        let a = ChainPlace::on(chain, contact.first, contact.hit.t);
        let b = ChainPlace::on(chain, contact.second, contact.hit.u);
        let known = |bight: &&Bight| (bight.point - contact.point).hypot() <= CROSSINGS_APART;
        if let Some(bight) = bights.iter().find(known) {
            let same =
                |p: ChainPlace, q: ChainPlace| bight.from.is_near(p, chain) && bight.to.is_near(q, chain);
            if same(a, b) || same(b, a) {
                continue;
            }
            return None;
        }
        let small = |from: ChainPlace, to: ChainPlace| {
            let bight = Bight { from, to, point: contact.point };
            let area = bight.area(chain);
            (whole - area > area.abs() && bight.turn(chain)? * area.signum() > CLEAR_CROSSING)
                .then_some(bight)
        };
        bights.push(small(a, b).or_else(|| small(b, a))?);
    }
    bights.sort_by(|a, b| a.from.0.total_cmp(&b.from.0));
    without(chain, &bights)
}

impl Bight {
    /// Its segments, in order.
    fn parts(&self, chain: &[PathSeg]) -> Vec<PathSeg> {
        stretch(chain, self.from, self.to)
    }

    fn area(&self, chain: &[PathSeg]) -> f64 {
        self.parts(chain).iter().map(ParamCurveArea::signed_area).sum()
    }

    /// The sine of its turn where it closes, positive clockwise; none where it closes at a joint.
    fn turn(&self, chain: &[PathSeg]) -> Option<f64> {
        let along = |spot: ChainPlace| segment::tangent(&chain[spot.index(chain)], spot.t(chain));
        let within =
            |spot: ChainPlace| spot.t(chain) > SAME_PARAMETER && spot.t(chain) < 1.0 - SAME_PARAMETER;
        (within(self.from) && within(self.to)).then(|| along(self.to).cross(along(self.from)))
    }
}

/// The segments of a closed chain from one place on to another.
fn stretch(chain: &[PathSeg], from: ChainPlace, to: ChainPlace) -> Vec<PathSeg> {
    let (first, last) = (from.index(chain), to.index(chain));
    if first == last && from <= to {
        return vec![segment::part(&chain[first], from.t(chain), to.t(chain))];
    }
    let count = (last + chain.len() - first - 1) % chain.len();
    let mut parts = vec![segment::part(&chain[first], from.t(chain), 1.0)];
    parts.extend((1..=count).map(|step| chain[(first + step) % chain.len()]));
    parts.push(segment::part(&chain[last], 0.0, to.t(chain)));
    parts
}

/// The chain without stretches that follow one another; none where two of them overlap.
fn without(chain: &[PathSeg], bights: &[Bight]) -> Option<OneLoop> {
    let mut path = BezPath::new();
    let mut taken_off = Vec::with_capacity(bights.len());
    let mut room = 0.0;
    for (bight, next) in bights.iter().zip(bights.iter().cycle().skip(1)) {
        let on = |from: ChainPlace, to: ChainPlace| (to.0 - from.0).rem_euclid(chain.len() as f64);
        room += on(bight.from, bight.to) + on(bight.to, next.from);
        let mut kept = stretch(chain, bight.to, next.from);
        let last = kept.len() - 1;
        kept[0] = segment::with_ends(&kept[0], bight.point, kept[0].end(), segment::Handles::Keep);
        kept[last] = segment::with_ends(&kept[last], kept[last].start(), next.point, segment::Handles::Keep);
        if kept.iter().any(|part| segment::control_length(part) <= SPECK) {
            return None;
        }
        if path.is_empty() {
            path.move_to(bight.point);
        }
        path.extend(kept.iter().map(PathSeg::as_path_el));
        let boxes = bight.parts(chain).into_iter().map(|part| segment::control_box(&part));
        taken_off.extend(boxes.reduce(|all, one| all.union(one)));
    }
    path.close_path();
    let once_round = (room - chain.len() as f64).abs() <= SAME_PARAMETER;
    once_round.then_some(OneLoop { path, taken_off })
}

#[cfg(test)]
mod tests {
    use kurbo::{BezPath, Shape};

    use super::largest_loop;
    use crate::curve::{path_crosses_itself, trim_positive};

    fn freed(d: &str) -> (f64, usize) {
        let path = BezPath::from_svg(d).unwrap();
        let swept = trim_positive(&path).unwrap()[0].area();
        let freed = largest_loop(path).unwrap();
        assert!(!path_crosses_itself(&freed.path), "{d}: {}", freed.path.to_svg());
        assert!((freed.path.area() - swept).abs() < 0.01, "{d}: {} against {swept}", freed.path.area());
        (freed.path.area(), freed.taken_off.len())
    }

    /// Two swallowtails hang outside of a square, one of them over the start of the line; each leaves a tip of 25 mm².
    #[test]
    fn loops_outside_are_cut_off_at_their_crossings() {
        let (area, loops) = freed(
            "M55 -10 L45 -10 L55 0 L100 0 L100 100 L55 100 L45 110 L55 110 L45 100 L0 100 L0 0 L45 0 Z",
        );
        assert!((area - 10_050.0).abs() < 1e-6 && loops == 2, "{area}");
    }

    /// The last part of a swallowtail, which ends in a corner before it turns back: its loop runs on the same way, inside.
    #[test]
    fn a_loop_inside_is_cut_off() {
        let (area, loops) = freed("M0 0 L60 0 L40 10 L50 -20 L100 -20 L100 100 L0 100 Z");
        assert!(loops == 1 && area > 10_000.0, "{area}");
    }

    /// A cubic that crosses itself, a loop inside that runs on the same way, and a loop cut by another line, which sweeping
    /// must do.
    #[test]
    fn what_is_more_tangled_gives_what_sweeping_gives() {
        freed("M0 0 L100 0 L100 100 C20 140 80 140 0 100 Z");
        freed("M0 0 L100 0 L100 100 L40 100 L40 40 L60 40 L60 110 L0 110 Z");
        freed("M0 0 L100 0 L100 100 L55 100 L45 120 L55 120 L45 100 L40 100 L60 110 L20 110 L0 100 Z");
    }

    #[test]
    fn a_line_that_does_not_cross_itself_comes_back_as_it_is() {
        let path = BezPath::from_svg("M0 0 H50 C60 0 60 50 50 50 H0 Z").unwrap();
        let freed = largest_loop(path.clone()).unwrap();
        assert!(freed.path == path && freed.taken_off.is_empty());
    }
}
