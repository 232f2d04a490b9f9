//! Taking off the loops of a cutting line where an allowance has no room.

use std::cell::OnceCell;
use std::collections::HashMap;

use kurbo::{BezPath, PathEl, PathSeg, Rect};

use crate::allowance::beside::{Beside, Ring, cut_depth};
use crate::allowance::{AllowanceError, Trim, TrimCause};
use crate::curve::{Met, OneLoop, Point, comes_within, largest_loop, segment_box};
use crate::pattern::EdgeId;
use crate::tolerance::{CROSSINGS_APART, TRIM_STEP, TRIM_TOLD};

/// One closed loop, and where it leaves the line beside its edge.
///
/// A line that does not cross itself is returned as it came. Otherwise the largest loop is kept.
pub(super) fn freed_of_loops(ring: &Ring<'_>, raw: BezPath) -> Result<(BezPath, Vec<Trim>), AllowanceError> {
    let failed = |source| AllowanceError::Around { piece: ring.piece.name().clone(), source };
    let line: Vec<PathSeg> = raw.segments().collect();
    let OneLoop { path, taken_off } = largest_loop(raw).map_err(failed)?;
    if taken_off.is_empty() {
        return Ok((path, Vec::new()));
    }
    let kept = without_crumbs(&path);
    if taken_off.iter().all(|lost| lost.width().hypot(lost.height()) <= TRIM_TOLD) {
        return Ok((kept, Vec::new()));
    }
    let lost = Lost::of(ring, line, &kept, &taken_off);
    let trims = ring.lines.iter().flat_map(|beside| trims_of(ring, beside, &lost)).collect();
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

/// How many places on an outline are looked at. The longest piece of a garment has 10,000 at a step of the trim apart; a
/// drawing of nothing has millions.
const MOST_SAMPLES: f64 = 20_000.0;

/// What was taken off the line round a piece.
struct Lost<'a> {
    /// Boxes that hold all of it, with what is told of it around.
    boxes: Vec<Rect>,
    /// What of the line came near there, and what does now.
    line: Vec<PathSeg>,
    left: Vec<PathSeg>,
    /// The outline's places that an allowance may run into there; looked for once they are asked for.
    outline: OnceCell<Places>,
    step: f64,
    ring: &'a Ring<'a>,
}

impl<'a> Lost<'a> {
    fn of(ring: &'a Ring<'a>, mut line: Vec<PathSeg>, kept: &BezPath, taken_off: &[Rect]) -> Lost<'a> {
        let boxes: Vec<Rect> = taken_off.iter().map(|lost| lost.inflate(TRIM_TOLD, TRIM_TOLD)).collect();
        let near = |on: Rect| boxes.iter().any(|lost| meet(lost.inflate(TRIM_TOLD, TRIM_TOLD), on));
        let mut left: Vec<PathSeg> = kept.segments().collect();
        line.retain(|segment| near(segment_box(segment)));
        left.retain(|segment| near(segment_box(segment)));
        let around: f64 = ring.piece.edges().iter().map(|edge| edge.curve.length()).sum();
        let step = TRIM_STEP.max(around / MOST_SAMPLES);
        Lost { boxes, line, left, outline: OnceCell::new(), step, ring }
    }

    /// Whether a place was on the line round the piece and is no more.
    fn holds(&self, place: Point) -> bool {
        self.boxes.iter().any(|lost| meet(*lost, Rect::from_points(place, place)))
            && !comes_within(&self.left, place, TRIM_TOLD)
            && comes_within(&self.line, place, TRIM_TOLD)
    }

    /// The place beside which a line is lost lies a depth from it, and what its allowance meets within two of there.
    fn outline(&self) -> &Places {
        self.outline.get_or_init(|| {
            let piece = self.ring.piece;
            let depths = self.ring.lines.iter().map(|beside| cut_depth(piece, beside.edge));
            let reach = 3.0 * depths.fold(0.0, f64::max) + TRIM_STEP;
            let near = |on: Rect| self.boxes.iter().any(|lost| meet(lost.inflate(reach, reach), on));
            let met = piece.edges().iter().flat_map(|edge| edge.curve.met_within(near, self.step));
            let places = met.map(|met| met.point);
            Places::of(places.filter(|place| near(Rect::from_points(*place, *place))))
        })
    }
}

/// Whether two boxes have a point in common.
fn meet(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// The stretches beside which the line was on the raw loop and is not on what is left of it.
fn trims_of(ring: &Ring<'_>, beside: &Beside, lost: &Lost<'_>) -> Vec<Trim> {
    let depth = cut_depth(ring.piece, beside.edge);
    let whole = &ring.piece.edge(beside.edge).curve;
    let Some(stretch) = beside.stretch_of(whole) else { return Vec::new() };
    let near = |on: Rect| lost.boxes.iter().any(|lost| meet(lost.inflate(depth, depth), on));
    let mut trims = TrimmedStretches::new(beside.edge, TrimCause::Hollow);
    for met in stretch.met_within(near, lost.step) {
        if lost.holds(met.point + depth * met.outward) {
            let at = beside.from + stretch.walked_at(&met);
            trims.add(at, |kept| room(&met, kept.unwrap_or(depth), lost.outline()));
        } else {
            trims.end();
        }
    }
    let mut trims = trims.found;
    trims.retain(|trim| trim.to > trim.from && trim.kept < depth - TRIM_TOLD);
    trims
}

/// Stretches of an edge with less than its allowance, put together from places that follow one another.
pub(super) struct TrimmedStretches {
    edge: EdgeId,
    cause: TrimCause,
    open: bool,
    pub found: Vec<Trim>,
}

impl TrimmedStretches {
    pub fn new(edge: EdgeId, cause: TrimCause) -> TrimmedStretches {
        TrimmedStretches { edge, cause, open: false, found: Vec::new() }
    }

    /// A place that has less, so far along the edge; what it keeps, given what the places before it keep.
    pub fn add(&mut self, at: f64, kept: impl Fn(Option<f64>) -> f64) {
        match self.found.last_mut().filter(|_| self.open) {
            Some(trim) => {
                trim.to = at;
                trim.kept = kept(Some(trim.kept));
            }
            None => {
                let (edge, cause) = (self.edge, self.cause);
                self.found.push(Trim { edge, from: at, to: at, kept: kept(None), cause });
            }
        }
        self.open = true;
    }

    /// A place that has all of it.
    pub fn end(&mut self) {
        self.open = false;
    }
}

/// The depth to which an allowance at a place reaches before it runs into that of another: the radius of the largest
/// circle that touches the outline there from outside and holds none of it, at most the depth asked for.
///
/// Circles are tried from a small one up, so that only what is near is looked at.
fn room(place: &Met, depth: f64, outline: &Places) -> f64 {
    let radius = |other: Point| {
        let apart = other - place.point;
        let ahead = apart.dot(place.outward);
        if ahead > TRIM_TOLD { apart.hypot2() / (2.0 * ahead) } else { f64::INFINITY }
    };
    let mut tried = TRIM_STEP.min(depth);
    loop {
        let about = Rect::from_center_size(place.point + tried * place.outward, (2.0 * tried, 2.0 * tried));
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
