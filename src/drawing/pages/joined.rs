//! One page of what stands on pages that are placed.

use std::collections::{HashMap, HashSet};

use kurbo::{Affine, BezPath, PathSeg, Point, Rect, Shape, Vec2};

use super::cut::{CutEnd, CutPage, WhichEnd};
use super::furniture::{self, Writing};
use super::grid::{Cell, Placed, Sheet};
use super::links::{met, runs_off};
use super::shapes::{ShapeId, Shapes};
use super::window::{Side, line_of};
use crate::drawing::drawn::{ClipId, ClipShape, Clips, Drawn, DrawnPage, DrawnThing, SeenAs};
use crate::tolerance::{CUT_AT_FRAME, LEAST_CUT_ANGLE, SAME_FRAME, SHORT_PART};

/// Pages, and what is known of them.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    pub pages: &'a [&'a DrawnPage],
    pub shapes: &'a Shapes,
    pub writing: &'a Writing,
    pub windows: &'a [Option<Rect>],
    /// By how much the windows of neighbours overlap, mm.
    pub overlap: Vec2,
}

/// Whether pages draw whole lines that their edges hide, or only their own parts of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lines {
    Whole,
    InParts,
}

/// What stands on a sheet of pages.
#[derive(Debug, Default)]
pub(super) struct Joined {
    pub things: Vec<DrawnThing>,
    /// The test square or bar of its first page, and its writing.
    pub checks: Vec<DrawnThing>,
    /// What of its pages is not the drawing.
    pub left_out: Vec<DrawnThing>,
    pub clips: Clips,
    /// How far lines or shapes miss each other where pages meet, at the most, mm.
    pub miss: f64,
    /// How many lines leave a page where none goes on: by the cell to which they lead.
    pub loose: HashMap<Cell, usize>,
}

impl Joined {
    /// What stands on a sheet.
    pub fn of(sheet: &Sheet, known: Known<'_>, lines: Lines) -> Joined {
        let mut joined = Joined::default();
        let mut seen = Seen::default();
        let mut texts: HashSet<(String, i64, i64)> = HashSet::new();
        let cut: Vec<CutPage> = sheet.0.iter().map(|placed| cut_page(placed, sheet, known, lines)).collect();
        for (placed, cut) in sheet.0.iter().zip(&cut) {
            joined.add_page(placed, known, cut, (&mut seen, &mut texts));
        }
        joined.add_cut_lines(sheet, &cut, known);
        if let Some(first) = sheet.0.first() {
            let page = known.pages[first.page];
            let kept = furniture::test_shape(page, first.page, known.shapes, known.windows[first.page]);
            for thing in kept {
                joined.checks.push(moved(&page.things[thing], first.origin, None));
            }
        }
        joined
    }

    /// The drawing, and what checks its scale.
    pub fn all(&self) -> impl Iterator<Item = &DrawnThing> {
        self.things.iter().chain(&self.checks)
    }

    fn add_page(
        &mut self,
        placed: &Placed,
        known: Known<'_>,
        cut: &CutPage,
        (seen, texts): (&mut Seen, &mut HashSet<(String, i64, i64)>),
    ) {
        let page = known.pages[placed.page];
        let window = known.windows[placed.page];
        let clips = self.add_clips(page, placed.origin, window);
        let is_cut: HashSet<usize> = cut.ends.iter().map(|end| cut.parts[end.part].thing).collect();
        for (at, thing) in page.things.iter().enumerate() {
            match &thing.what {
                Drawn::Shape { path, .. } => {
                    if furniture::is_left_out(page, (placed.page, at), known.shapes, window) {
                        if !furniture::is_hidden(thing, path, window) {
                            self.left_out.push(moved(thing, placed.origin, None));
                        }
                        continue;
                    }
                    if is_cut.contains(&at) || self.is_known(placed, known, at, seen) {
                        continue;
                    }
                }
                Drawn::Text(text) => {
                    let place = text.at + placed.origin;
                    let rounded = |x: f64| (x / (2.0 * SAME_FRAME)).round() as i64;
                    let key = (text.words.clone(), rounded(place.x), rounded(place.y));
                    if known.writing.is_of_page(text, window) {
                        self.left_out.push(moved(thing, placed.origin, None));
                        continue;
                    }
                    if !texts.insert(key) {
                        continue;
                    }
                }
                Drawn::Writing(bounds) => {
                    let place = bounds.center() + placed.origin;
                    let key = (String::new(), place.x.round() as i64, place.y.round() as i64);
                    if window.is_some_and(|window| !window.contains(bounds.center())) || !texts.insert(key) {
                        continue;
                    }
                }
                Drawn::Picture => {}
            }
            let clip = thing.clip.and_then(|clip| clips[clip.index()]);
            self.things.push(moved(thing, placed.origin, clip));
        }
    }

    /// Whether a shape was taken from another page before; how far it lies from there counts as a miss.
    fn is_known(&mut self, placed: &Placed, known: Known<'_>, thing: usize, seen: &mut Seen) -> bool {
        let shapes = known.shapes;
        let (Some(id), Some(at)) = (shapes.id(placed.page, thing), shapes.place(placed.page, thing)) else {
            return true;
        };
        let at = at + placed.origin;
        match seen.nearest(id, placed.page, at) {
            Some(off) => {
                self.miss = self.miss.max(off);
                true
            }
            None => {
                seen.add(id, placed.page, at);
                false
            }
        }
    }

    /// The clips of a page but those by which it shows its part of the drawing: upright rectangles that hide nothing
    /// within its window. Some writers draw one around each line that leaves it.
    fn add_clips(&mut self, page: &DrawnPage, origin: Vec2, window: Option<Rect>) -> Vec<Option<ClipId>> {
        let within = within_clips(page, window);
        let mut now: Vec<Option<ClipId>> = Vec::new();
        for (clip, within) in page.clips.iter().zip(within) {
            let around = clip.around.and_then(|around| now.get(around.index()).copied().flatten());
            let hides_nothing = |rect: Rect| within.is_none_or(|within| holds(rect, within));
            let is_page = matches!(clip.shapes.as_slice(),
                [only] if super::window::rectangle(&only.path).is_some_and(hides_nothing));
            now.push(if is_page {
                around
            } else {
                let by = Affine::translate(origin);
                let shape = |shape: &ClipShape| ClipShape { path: by * &shape.path, winding: shape.winding };
                Some(self.clips.add(clip.shapes.iter().map(shape).collect(), around))
            });
        }
        now
    }

    /// Lines that are cut off at edges, one line again where they meet.
    fn add_cut_lines(&mut self, sheet: &Sheet, cut: &[CutPage], known: Known<'_>) {
        let mut joins: HashMap<(PartOf, WhichEnd), (PartOf, WhichEnd, Point)> = HashMap::new();
        for (at, placed) in sheet.0.iter().enumerate() {
            for side in Side::ALL {
                let ends = cut[at].at(side);
                let way = side.outward();
                let next = placed.cell.moved(Cell { column: way.x as i32, row: way.y as i32 });
                let beside = sheet.0.iter().position(|other| other.cell == next);
                let others = beside.map(|other| cut[other].at(side.opposite())).unwrap_or_default();
                let pairs = met(&ends, &others);
                let is_met = |end: &CutEnd| pairs.iter().any(|(one, ..)| std::ptr::eq(*one, end));
                let unmet: Vec<&CutEnd> = ends.iter().copied().filter(|end| !is_met(end)).collect();
                let corners = match known.windows[placed.page] {
                    Some(window) => corners_at(&unmet, &cut[at], side, window, placed.origin),
                    None => Vec::new(),
                };
                for (one, two, corner) in &corners {
                    let (a, b) = ((PartOf(at, one.part), one.end), (PartOf(at, two.part), two.end));
                    joins.insert(a, (b.0, b.1, *corner));
                    joins.insert(b, (a.0, a.1, *corner));
                }
                let loose = unmet.len() - 2 * corners.len();
                if loose > 0 {
                    *self.loose.entry(next).or_default() += loose;
                }
                let (Some(other), Some(window), Side::Right | Side::Bottom) =
                    (beside, known.windows[placed.page], side)
                else {
                    continue;
                };
                for (one, two, miss) in pairs {
                    self.miss = self.miss.max(miss);
                    let along = f64::midpoint(one.along, two.along);
                    let meet = on_side(own(placed, sheet, known, window) + placed.origin, side, along);
                    let (a, b) = (PartOf(at, one.part), PartOf(other, two.part));
                    joins.insert((a, one.end), (b, two.end, meet));
                    joins.insert((b, two.end), (a, one.end, meet));
                }
            }
        }
        self.add_chains(sheet, cut, known, &joins);
    }

    fn add_chains(&mut self, sheet: &Sheet, cut: &[CutPage], known: Known<'_>, joins: &Joins) {
        let mut used: HashSet<PartOf> = HashSet::new();
        let all = || {
            let ended = |at: usize| -> HashSet<usize> {
                cut[at].ends.iter().map(|end| cut[at].parts[end.part].thing).collect()
            };
            (0..cut.len()).flat_map(move |at| {
                let ended = ended(at);
                let parts = cut[at].parts.iter().enumerate();
                parts
                    .filter(move |(_, part)| ended.contains(&part.thing))
                    .map(move |(part, _)| PartOf(at, part))
            })
        };
        let is_end = |part: &PartOf| {
            !joins.contains_key(&(*part, WhichEnd::Start)) || !joins.contains_key(&(*part, WhichEnd::End))
        };
        for first in all().filter(is_end).chain(all()) {
            if used.contains(&first) {
                continue;
            }
            let mut enter = match joins.contains_key(&(first, WhichEnd::Start)) {
                true if !joins.contains_key(&(first, WhichEnd::End)) => WhichEnd::End,
                _ => WhichEnd::Start,
            };
            let mut part = first;
            let mut line: Vec<PathSeg> = Vec::new();
            let mut closed = false;
            loop {
                used.insert(part);
                let leave = if enter == WhichEnd::Start { WhichEnd::End } else { WhichEnd::Start };
                let place = |end| joins.get(&(part, end)).map(|(_, _, at)| *at);
                let by = Affine::translate(sheet.0[part.0].origin);
                let path = by * &cut[part.0].parts[part.1].path;
                line.extend(between(&path, enter, place(enter), place(leave)));
                let Some((next, end, _)) = joins.get(&(part, leave)) else { break };
                if used.contains(next) {
                    closed = *next == first;
                    break;
                }
                (part, enter) = (*next, *end);
            }
            let mut path = line_of(&line);
            if closed {
                path.close_path();
            }
            let PartOf(at, of) = first;
            let placed = &sheet.0[at];
            let thing = &known.pages[placed.page].things[cut[at].parts[of].thing];
            if let Drawn::Shape { paint, .. } = &thing.what {
                let what = Drawn::Shape { path, paint: paint.clone() };
                self.things.push(DrawnThing { what, clip: None, ..thing.clone() });
            }
        }
    }
}

/// What of each clip's things lies within a page's window: the box around it, none where nothing does.
fn within_clips(page: &DrawnPage, window: Option<Rect>) -> Vec<Option<Rect>> {
    let mut within: Vec<Option<Rect>> = page.clips.iter().map(|_| None).collect();
    for thing in &page.things {
        let (Some(_), Some(bounds)) = (thing.clip, bounds(thing)) else { continue };
        let seen = match window.or(page.seen) {
            Some(window) if window.x0 > bounds.x1 || bounds.x0 > window.x1 => continue,
            Some(window) if window.y0 > bounds.y1 || bounds.y0 > window.y1 => continue,
            Some(window) => bounds.intersect(window),
            None => bounds,
        };
        for (id, _) in page.clips.outward(thing.clip) {
            let known = &mut within[id.index()];
            *known = Some(known.map_or(seen, |known| known.union(seen)));
        }
    }
    within
}

/// Whether a box lies within another, as nearly as frames are told apart.
fn holds(outer: Rect, inner: Rect) -> bool {
    let outer = outer.inflate(SAME_FRAME, SAME_FRAME);
    outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && inner.x1 <= outer.x1 && inner.y1 <= outer.y1
}

/// Shapes that were taken, each with its page and its place on the sheet.
#[derive(Debug, Default)]
struct Seen(HashMap<(ShapeId, i64, i64), Vec<(usize, Point)>>);

impl Seen {
    fn cell(at: Point) -> (i64, i64) {
        ((at.x / SAME_FRAME).floor() as i64, (at.y / SAME_FRAME).floor() as i64)
    }

    fn add(&mut self, id: ShapeId, page: usize, at: Point) {
        let (x, y) = Seen::cell(at);
        self.0.entry((id, x, y)).or_default().push((page, at));
    }

    /// How far the same shape of another page lies from a place, where one lies there.
    fn nearest(&self, id: ShapeId, page: usize, at: Point) -> Option<f64> {
        let (x, y) = Seen::cell(at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (id, x + dx, y + dy)));
        let near = around.filter_map(|cell| self.0.get(&cell)).flatten().filter(|(other, _)| *other != page);
        near.map(|(_, other)| other.distance(at)).filter(|off| *off <= SAME_FRAME).reduce(f64::min)
    }
}

/// Which part of which page of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct PartOf(usize, usize);

/// What each end of a part meets, and where.
type Joins = HashMap<(PartOf, WhichEnd), (PartOf, WhichEnd, Point)>;

/// The lines of a page that are to be joined with those of its neighbours, cut off in the middle of what both show. Where
/// their ends meet the sides is told on the sheet.
fn cut_page(placed: &Placed, sheet: &Sheet, known: Known<'_>, lines: Lines) -> CutPage {
    let Some(window) = known.windows[placed.page] else { return CutPage::default() };
    let (at, page) = (placed.page, known.pages[placed.page]);
    let mut cut = CutPage::of(page, at, known.shapes, window);
    if lines == Lines::Whole {
        let ended: HashSet<usize> = cut.ends.iter().map(|end| cut.parts[end.part].thing).collect();
        let is_whole = |thing: usize| {
            let several = known.shapes.id(at, thing).is_none_or(|id| known.shapes.is_on_several(id));
            several || runs_off(known.pages, known.windows, at, thing)
        };
        cut = CutPage::of(page, at, known.shapes, own(placed, sheet, known, window));
        let keep: Vec<bool> =
            cut.parts.iter().map(|part| ended.contains(&part.thing) && !is_whole(part.thing)).collect();
        cut.ends.retain(|end| keep[end.part]);
    }
    let zero = own(placed, sheet, known, window).origin() + placed.origin;
    for end in &mut cut.ends {
        end.along += match end.side {
            Side::Left | Side::Right => zero.y,
            Side::Top | Side::Bottom => zero.x,
        };
    }
    cut
}

/// What of a window is a page's own: to the middle of what it shows together with a neighbour.
fn own(placed: &Placed, sheet: &Sheet, known: Known<'_>, window: Rect) -> Rect {
    let half = |column: i32, row: i32, overlap: f64| match sheet.at(placed.cell.moved(Cell { column, row })) {
        Some(_) => overlap / 2.0,
        None => 0.0,
    };
    Rect::new(
        window.x0 + half(-1, 0, known.overlap.x),
        window.y0 + half(0, -1, known.overlap.y),
        window.x1 - half(1, 0, known.overlap.x),
        window.y1 - half(0, 1, known.overlap.y),
    )
}

/// A place on the side of what is a page's own, both on the sheet.
fn on_side(own: Rect, side: Side, along: f64) -> Point {
    match side {
        Side::Left => Point::new(own.x0, along),
        Side::Right => Point::new(own.x1, along),
        Side::Top => Point::new(along, own.y0),
        Side::Bottom => Point::new(along, own.y1),
    }
}

/// A part from the end at which it is entered, its ends moved to where it meets others.
fn between(path: &BezPath, enter: WhichEnd, from: Option<Point>, to: Option<Point>) -> Vec<PathSeg> {
    let mut segments: Vec<PathSeg> = path.segments().collect();
    if enter == WhichEnd::End {
        segments = reversed(&segments);
    }
    if let Some(from) = from {
        segments = reversed(&segments);
        carried_on(&mut segments, from);
        segments = reversed(&segments);
    }
    if let Some(to) = to {
        carried_on(&mut segments, to);
    }
    segments
}

fn reversed(segments: &[PathSeg]) -> Vec<PathSeg> {
    segments.iter().rev().map(PathSeg::reverse).collect()
}

/// Corners that pages lose which cut lines short: two lines of a page that end at one side and, carried on straight, meet
/// at it. On the sheet.
fn corners_at<'a>(
    unmet: &[&'a CutEnd],
    cut: &CutPage,
    side: Side,
    window: Rect,
    origin: Vec2,
) -> Vec<(&'a CutEnd, &'a CutEnd, Point)> {
    /// Ends at one side that are looked at.
    const MOST: usize = 100;
    let unmet = &unmet[..unmet.len().min(MOST)];
    let place = |end: &CutEnd| cut.parts[end.part].place(end.end);
    let mut used = vec![false; unmet.len()];
    let mut corners = Vec::new();
    for (i, one) in unmet.iter().enumerate() {
        for (j, two) in unmet.iter().enumerate().skip(i + 1) {
            let (Some(from), Some(to)) = (place(one), place(two)) else { continue };
            let crossed = one.out.cross(two.out);
            if used[i] || used[j] || crossed.abs() < LEAST_CUT_ANGLE {
                continue;
            }
            let ahead = (to - from).cross(two.out) / crossed;
            let behind = (to - from).cross(one.out) / crossed;
            let corner = from + one.out * ahead;
            let is_at_side = side.inside_by(window, corner).abs() <= CUT_AT_FRAME;
            if ahead >= 0.0 && behind >= 0.0 && is_at_side {
                (used[i], used[j]) = (true, true);
                corners.push((*one, *two, corner + origin));
            }
        }
    }
    corners
}

/// A line to its new end: carried on straight where it was cut short, else with its end moved.
fn carried_on(segments: &mut Vec<PathSeg>, to: Point) {
    let Some(last) = segments.last_mut() else { return };
    let end = kurbo::ParamCurve::end(last);
    let is_ahead = super::window::way_out(last).is_some_and(|out| (to - end).dot(out) > SHORT_PART);
    if is_ahead && !matches!(last, PathSeg::Line(_)) {
        segments.push(PathSeg::Line(kurbo::Line::new(end, to)));
    } else {
        *last = with_end(last, to);
    }
}

/// A segment with its end moved, and the handle at it.
fn with_end(segment: &PathSeg, to: Point) -> PathSeg {
    match *segment {
        PathSeg::Line(mut line) => {
            line.p1 = to;
            PathSeg::Line(line)
        }
        PathSeg::Quad(mut quad) => {
            quad.p2 = to;
            PathSeg::Quad(quad)
        }
        PathSeg::Cubic(mut cubic) => {
            cubic.p2 += to - cubic.p3;
            cubic.p3 = to;
            PathSeg::Cubic(cubic)
        }
    }
}

/// A thing as far on.
pub(super) fn moved(thing: &DrawnThing, by: Vec2, clip: Option<ClipId>) -> DrawnThing {
    let on = Affine::translate(by);
    let what = match &thing.what {
        Drawn::Shape { path, paint } => Drawn::Shape { path: on * path, paint: paint.clone() },
        Drawn::Text(text) => {
            let mut text = text.clone();
            text.at += by;
            Drawn::Text(text)
        }
        Drawn::Writing(bounds) => Drawn::Writing(*bounds + by),
        Drawn::Picture => Drawn::Picture,
    };
    DrawnThing { what, clip, ..thing.clone() }
}

/// What a thing covers that is seen.
pub(super) fn bounds(thing: &DrawnThing) -> Option<Rect> {
    match &thing.what {
        Drawn::Shape { path, paint } if paint.seen_as() != SeenAs::Nothing => Some(path.bounding_box()),
        Drawn::Shape { .. } | Drawn::Picture => None,
        Drawn::Text(text) => Some(Rect::from_points(text.at, text.at)),
        Drawn::Writing(bounds) => Some(*bounds),
    }
}

/// All things of a sheet as far on.
pub(super) fn all_moved(joined: &Joined, by: Vec2, clips: &mut Clips) -> Vec<DrawnThing> {
    let on = Affine::translate(by);
    let mut now: Vec<ClipId> = Vec::new();
    for clip in joined.clips.iter() {
        let around = clip.around.map(|around| now[around.index()]);
        let shape = |shape: &ClipShape| ClipShape { path: on * &shape.path, winding: shape.winding };
        now.push(clips.add(clip.shapes.iter().map(shape).collect(), around));
    }
    let clip = |thing: &DrawnThing| thing.clip.map(|clip| now[clip.index()]);
    joined.all().map(|thing| moved(thing, by, clip(thing))).collect()
}
