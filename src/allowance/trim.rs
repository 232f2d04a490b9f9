//! Taking off the loops of a cutting line where an allowance has no room.

use std::collections::HashMap;

use kurbo::{BezPath, PathEl, Rect};

use crate::allowance::beside::{Beside, Ring, cut_depth};
use crate::allowance::{AllowanceError, Trim, TrimCause};
use crate::curve::{Curve, CurveError, Point, Vec2, path_crosses_itself, trim_positive};
use crate::tolerance::{CROSSINGS_APART, TRIM_STEP, TRIM_TOLD};

/// One closed loop, and where it leaves the line beside its edge.
///
/// A line that does not cross itself is returned as it came. Otherwise the largest loop is kept.
pub(super) fn freed_of_loops(ring: &Ring<'_>, raw: BezPath) -> Result<(BezPath, Vec<Trim>), AllowanceError> {
    if !path_crosses_itself(&raw) {
        return Ok((raw, Vec::new()));
    }
    let failed = |source| AllowanceError::Around { piece: ring.piece.name().clone(), source };
    let mut loops = trim_positive(&raw).map_err(failed)?.into_iter();
    let Some(kept) = loops.next().map(|kept| without_crumbs(&kept)) else {
        return Err(failed(CurveError::NotTrimmed));
    };
    let (raw, left) = (Curve::from_path(&raw).map_err(failed)?, Curve::from_path(&kept).map_err(failed)?);
    let outline = ring.piece.outline();
    let step = TRIM_STEP.max(outline.perimeter() / MOST_SAMPLES);
    let on_outline = outline.curves().iter().flat_map(|curve| samples(curve, 0.0, curve.length(), step));
    let outline = Places::of(on_outline.map(|sample| sample.point));
    let mut trims = Vec::new();
    for beside in &ring.lines {
        trims.extend(trims_of(ring, beside, (&raw, &left), &outline, step));
    }
    Ok((kept, trims))
}

/// The loop without the segments of next to no length that the sweep leaves at crossings.
fn without_crumbs(path: &BezPath) -> BezPath {
    let mut kept = BezPath::new();
    let mut at = Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => at = to,
            PathEl::LineTo(to) if (to - at).hypot() <= CROSSINGS_APART => continue,
            PathEl::CurveTo(a, b, to)
                if [a, b, to].iter().all(|point| (*point - at).hypot() <= CROSSINGS_APART) =>
            {
                continue;
            }
            PathEl::LineTo(to) | PathEl::CurveTo(_, _, to) | PathEl::QuadTo(_, to) => at = to,
            PathEl::ClosePath => {}
        }
        kept.push(*element);
    }
    closed_exactly(kept)
}

/// The loop with its last end laid on its start where only a crumb lay between them.
fn closed_exactly(path: BezPath) -> BezPath {
    let mut elements = path.elements().to_vec();
    let start = elements.first().and_then(PathEl::end_point);
    let last = elements.iter_mut().rev().find(|element| !matches!(element, PathEl::ClosePath));
    if let (Some(start), Some(PathEl::LineTo(to) | PathEl::CurveTo(_, _, to))) = (start, last)
        && (*to - start).hypot() <= CROSSINGS_APART
    {
        *to = start;
    }
    BezPath::from_vec(elements)
}

/// A place on an edge.
pub(super) struct Sample {
    pub at: f64,
    pub point: Point,
    pub out: Vec2,
}

/// How many places on an outline are looked at. The longest piece of a garment has 10,000 at a step of the trim apart; a
/// drawing of nothing has millions.
const MOST_SAMPLES: f64 = 20_000.0;

/// Places along a stretch of an edge, its ends included, at most a step apart.
pub(super) fn samples(curve: &Curve, from: f64, to: f64, step: f64) -> impl Iterator<Item = Sample> + '_ {
    let count = ((to - from) / step).ceil().max(1.0);
    (0..=count as usize).map(move |index| {
        let at = from + (to - from) * index as f64 / count;
        Sample { at, point: curve.point_at(at), out: curve.normal_outward(at) }
    })
}

/// The stretches beside which the line was on the raw loop and is not on what is left of it.
fn trims_of(
    ring: &Ring<'_>,
    beside: &Beside,
    (raw, left): (&Curve, &Curve),
    outline: &Places,
    step: f64,
) -> Vec<Trim> {
    let depth = cut_depth(ring.piece, beside.edge);
    let curve = &ring.piece.edge(beside.edge).curve;
    let mut trims: Vec<Trim> = Vec::new();
    let mut open = false;
    for sample in samples(curve, beside.from, beside.to, step) {
        let wanted = sample.point + depth * sample.out;
        let lost = left.nearest(wanted).distance > TRIM_TOLD && raw.nearest(wanted).distance <= TRIM_TOLD;
        if lost {
            match trims.last_mut().filter(|_| open) {
                Some(trim) => {
                    trim.to = sample.at;
                    trim.kept = room(&sample, trim.kept, outline);
                }
                None => trims.push(Trim {
                    edge: beside.edge,
                    from: sample.at,
                    to: sample.at,
                    kept: room(&sample, depth, outline),
                    cause: TrimCause::Hollow,
                }),
            }
        }
        open = lost;
    }
    trims.retain(|trim| trim.to > trim.from && trim.kept < depth - TRIM_TOLD);
    trims
}

/// The depth to which an allowance at a place reaches before it runs into that of another: the radius of the largest
/// circle that touches the outline there from outside and holds none of it, at most the depth asked for.
///
/// Circles are tried from a small one up, so that only what is near is looked at.
fn room(sample: &Sample, depth: f64, outline: &Places) -> f64 {
    let radius = |other: Point| {
        let apart = other - sample.point;
        let ahead = apart.dot(sample.out);
        if ahead > TRIM_TOLD { apart.hypot2() / (2.0 * ahead) } else { f64::INFINITY }
    };
    let mut tried = TRIM_STEP.min(depth);
    loop {
        let about = Rect::from_center_size(sample.point + tried * sample.out, (2.0 * tried, 2.0 * tried));
        let least = outline.near(about).map(radius).fold(depth, f64::min);
        if least <= tried || tried >= depth {
            return least;
        }
        tried = (2.0 * tried).min(depth);
    }
}

/// Places on an outline, found by where they lie.
struct Places {
    cells: HashMap<(i64, i64), Vec<Point>>,
    bounds: Rect,
}

impl Places {
    /// Side of a cell, mm: that of a usual allowance.
    const CELL: f64 = 10.0;

    fn of(places: impl Iterator<Item = Point>) -> Places {
        let mut cells: HashMap<(i64, i64), Vec<Point>> = HashMap::new();
        let mut bounds: Option<Rect> = None;
        for place in places {
            cells.entry((Places::cell(place.x), Places::cell(place.y))).or_default().push(place);
            let own = Rect::from_points(place, place);
            bounds = Some(bounds.map_or(own, |all| all.union(own)));
        }
        Places { cells, bounds: bounds.unwrap_or(Rect::ZERO) }
    }

    fn cell(value: f64) -> i64 {
        (value / Places::CELL).floor() as i64
    }

    /// All places in a box, and some around it.
    fn near(&self, about: Rect) -> impl Iterator<Item = Point> + '_ {
        let about = about.intersect(self.bounds);
        let across = Places::cell(about.x0)..=Places::cell(about.x1);
        let down = Places::cell(about.y0)..=Places::cell(about.y1);
        let cells = across.flat_map(move |x| down.clone().map(move |y| (x, y)));
        cells.filter_map(|cell| self.cells.get(&cell)).flatten().copied()
    }
}
