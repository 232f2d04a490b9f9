//! What clip paths leave of what is drawn: as a person sees it.
//!
//! A line is cut off where it leaves the clip path, and so left open; of a filled surface what both have in common is left.
//! A clip path that holds the whole page hides nothing: converters put one around every page, and what a drawing program
//! keeps beside the page is not hidden either.

use kurbo::{BezPath, Point, Rect, Shape};

use crate::adopt::chain::concatenated;
use crate::curve::{Curve, CurveError, WindingRule, common_rings};
use crate::drawing::{Clip, ClipId, Clips, DrawnPage, Note};
use crate::tolerance::{ON_CLIP, SHORT_PART};

/// How many comparisons of one segment with another all clip paths of a drawing may take together; some 10 ns each.
const MOST_WORK: usize = 60_000_000;

/// The clip paths of a page, and what they did.
#[derive(Debug)]
pub(super) struct Regions<'a> {
    page: Option<Rect>,
    clips: &'a Clips,
    /// What each clip leaves, once it is known.
    known: Vec<ClipKnown>,
    work_left: usize,
    cut: usize,
    hidden: usize,
    given_up: bool,
}

/// What is known of a clip.
#[derive(Debug)]
enum ClipKnown {
    NotYet,
    /// It hides nothing.
    Whole,
    Hides(Region),
}

/// How a shape that is clipped shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ClippedAs {
    /// By its line.
    AsLine,
    /// By its surface.
    AsSurface,
}

/// A clip path in mm.
#[derive(Debug)]
struct Region {
    parts: Vec<ClippedPart>,
    bounds: Rect,
    upright: bool,
    segments: usize,
}

#[derive(Debug)]
struct ClippedPart {
    path: BezPath,
    rule: WindingRule,
    lines: Vec<Curve>,
}

impl<'a> Regions<'a> {
    /// Those of a page.
    pub fn of(page: &'a DrawnPage) -> Regions<'a> {
        Regions {
            page: page.whole,
            clips: &page.clips,
            known: page.clips.iter().map(|_| ClipKnown::NotYet).collect(),
            work_left: MOST_WORK,
            cut: 0,
            hidden: 0,
            given_up: false,
        }
    }

    /// The clips around a place that hide something, outermost first.
    fn around(&mut self, clip: Option<ClipId>) -> Vec<ClipId> {
        let clips = self.clips;
        let mut around: Vec<ClipId> = Vec::new();
        for (id, clip) in clips.outward(clip) {
            if matches!(self.known[id.index()], ClipKnown::NotYet) {
                self.known[id.index()] = self.region(clip);
            }
            if matches!(self.known[id.index()], ClipKnown::Hides(_)) {
                around.push(id);
            }
        }
        around.reverse();
        around
    }

    fn region(&mut self, clip: &Clip) -> ClipKnown {
        let page = self.page;
        let hides = |region: &Region| page.is_none_or(|page| !region.holds(page));
        let segments = clip.shapes.iter().map(|shape| shape.path.elements().len()).sum();
        let region = if self.pay(segments) { Region::of(clip).filter(hides) } else { None };
        region.map_or(ClipKnown::Whole, ClipKnown::Hides)
    }

    /// What of a line within a clip shows.
    pub fn seen(&mut self, curve: Curve, clip: Option<ClipId>, shows: ClippedAs) -> Vec<Curve> {
        let around = self.around(clip);
        if around.is_empty() {
            return vec![curve];
        }
        let mut seen = vec![curve];
        let mut whole = true;
        for id in around {
            let mut left = Vec::new();
            for curve in seen {
                let Some((holds, segments)) =
                    self.hiding(id).map(|region| (region.holds(curve.bounds()), region.segments))
                else {
                    continue;
                };
                let work = curve.segments().len().saturating_mul(segments);
                let parts = match !holds && self.pay(work) {
                    true => self.hiding(id).and_then(|region| region.seen(&curve, shows)),
                    false => None,
                };
                whole &= parts.is_none();
                left.extend(parts.unwrap_or_else(|| vec![curve]));
            }
            seen = left;
        }
        self.cut += usize::from(!whole && !seen.is_empty());
        self.hidden += usize::from(seen.is_empty());
        seen
    }

    fn hiding(&self, clip: ClipId) -> Option<&Region> {
        match &self.known[clip.index()] {
            ClipKnown::Hides(region) => Some(region),
            ClipKnown::NotYet | ClipKnown::Whole => None,
        }
    }

    fn pay(&mut self, work: usize) -> bool {
        let left = self.work_left.checked_sub(work);
        self.work_left = left.unwrap_or(self.work_left);
        self.given_up |= left.is_none();
        left.is_some()
    }

    /// What should be told.
    pub fn notes(&self) -> Vec<Note> {
        let clipped =
            (self.cut + self.hidden > 0).then_some(Note::Clipped { cut: self.cut, hidden: self.hidden });
        clipped.into_iter().chain(self.given_up.then_some(Note::ClipsTooIntricate)).collect()
    }
}

impl Region {
    /// Nothing where its lines are too far away to be drawn: then what they hide is not on any table either.
    fn of(clip: &Clip) -> Option<Region> {
        let shapes = clip.shapes.iter();
        let parts: Vec<ClippedPart> =
            shapes.map(|shape| ClippedPart::of(shape.path.clone(), shape.winding)).collect::<Option<_>>()?;
        let bounds = parts.iter().map(|part| part.path.bounding_box()).reduce(|a, b| a.union(b));
        let bounds = bounds.unwrap_or(Rect::ZERO);
        let upright =
            parts.len() == 1 && (parts[0].path.area().abs() - bounds.area()).abs() <= ON_CLIP * ON_CLIP;
        let lines = parts.iter().flat_map(|part| &part.lines);
        let segments = 1 + lines.map(|line| line.segments().len()).sum::<usize>();
        Some(Region { parts, bounds, upright, segments })
    }

    /// Whether it is an upright rectangle that holds a box.
    fn holds(&self, other: Rect) -> bool {
        let all = self.bounds.inflate(ON_CLIP, ON_CLIP);
        self.upright && all.contains_rect(other)
    }

    fn shows(&self, at: Point) -> bool {
        self.bounds.inflate(ON_CLIP, ON_CLIP).contains(at) && self.parts.iter().any(|part| part.shows(at))
    }

    /// What of a line shows; nothing where it is all of it.
    fn seen(&self, curve: &Curve, shows: ClippedAs) -> Option<Vec<Curve>> {
        if !self.bounds.inflate(ON_CLIP, ON_CLIP).overlaps(curve.bounds()) {
            return Some(Vec::new());
        }
        let stretches = self.stretches(curve);
        if stretches.iter().all(|stretch| stretch.shows) {
            return None;
        }
        match shows {
            ClippedAs::AsSurface if is_closed(curve) => Some(self.surface(curve)),
            ClippedAs::AsLine | ClippedAs::AsSurface => Some(kept(curve, &stretches)),
        }
    }

    /// The line divided where it crosses the region's edge.
    fn stretches(&self, curve: &Curve) -> Vec<Stretch> {
        let mut cuts = vec![0.0, curve.length()];
        for line in self.parts.iter().flat_map(|part| &part.lines) {
            cuts.extend(curve.crossings(line).iter().map(|crossing| crossing.at));
            let corners = line.segments().iter().map(kurbo::ParamCurve::start);
            let on_line = corners.map(|corner| curve.nearest(corner)).filter(|near| near.distance <= ON_CLIP);
            cuts.extend(on_line.map(|near| near.at));
        }
        let joints = curve.joints().into_iter().map(|joint| joint.at);
        cuts.extend(joints.filter(|at| self.edge_is_near(curve.point_at(*at))));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() <= SHORT_PART);
        if let Some(last) = cuts.last_mut().filter(|last| curve.length() - **last <= SHORT_PART) {
            *last = curve.length();
        }
        let between = cuts.windows(2).map(|pair| Stretch {
            from: pair[0],
            to: pair[1],
            shows: self.shows(curve.point_at((pair[0] + pair[1]) / 2.0)),
        });
        between.collect()
    }

    fn edge_is_near(&self, at: Point) -> bool {
        self.parts.iter().any(|part| part.edge_is_near(at))
    }

    /// What a closed line and the region have in common.
    fn surface(&self, curve: &Curve) -> Vec<Curve> {
        let ring = curve.to_path();
        let common =
            self.parts.iter().flat_map(|part| common_rings(&ring, &part.path, part.rule).unwrap_or_default());
        common.filter_map(|ring| Curve::from_path(&ring).ok()).collect()
    }
}

impl ClippedPart {
    fn of(path: BezPath, rule: WindingRule) -> Option<ClippedPart> {
        let runs = path.subpaths().filter_map(|run| {
            let mut run = BezPath::from_vec(run.to_vec());
            run.close_path();
            match Curve::from_path(&run) {
                Ok(line) => Some(Ok(line)),
                Err(CurveError::Empty) => None,
                Err(far) => Some(Err(far)),
            }
        });
        let lines: Vec<Curve> = runs.collect::<Result<_, _>>().ok()?;
        Some(ClippedPart { path, rule, lines })
    }

    fn shows(&self, at: Point) -> bool {
        let winding = self.path.winding(at);
        let inside = match self.rule {
            WindingRule::NonZero => winding != 0,
            WindingRule::EvenOdd => winding % 2 != 0,
        };
        inside || self.edge_is_near(at)
    }

    fn edge_is_near(&self, at: Point) -> bool {
        self.lines.iter().any(|line| line.nearest(at).distance <= ON_CLIP)
    }
}

fn is_closed(curve: &Curve) -> bool {
    curve.start() == curve.end()
}

/// A stretch of a line between walk distances.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: f64,
    to: f64,
    shows: bool,
}

/// The parts of a line that show; of a closed one, the last runs on into the first.
fn kept(curve: &Curve, stretches: &[Stretch]) -> Vec<Curve> {
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for stretch in stretches.iter().filter(|stretch| stretch.shows) {
        match runs.last_mut().filter(|run| run.1 == stretch.from) {
            Some(run) => run.1 = stretch.to,
            None => runs.push((stretch.from, stretch.to)),
        }
    }
    let part = |(from, to): (f64, f64)| curve.stretch(from, to).ok();
    let wraps =
        is_closed(curve) && runs.len() > 1 && runs[0].0 == 0.0 && runs[runs.len() - 1].1 == curve.length();
    if wraps {
        let last = runs.pop().and_then(part);
        let first = part(runs.remove(0));
        let joined = concatenated([last, first].into_iter().flatten().collect());
        return joined.into_iter().chain(runs.into_iter().filter_map(part)).collect();
    }
    runs.into_iter().filter_map(part).collect()
}
