//! One page of what stands on pages that are placed.

use std::collections::{HashMap, HashSet};

use kurbo::{Affine, ParamCurve, PathSeg, Point, Rect, Shape, Vec2};

use super::around_corners::{UnmetEnd, around_corners};
use super::cut::{CutEnd, CutPage, PartOf, WhichEnd};
use super::furniture::{self, Writing};
use super::grid::{Cell, PagesSheet, Placed};
use super::links::runs_off;
use super::meeting::{between, corners_at, on_side};
use super::neighbours::met_or_turned;
use super::shapes::Shapes;
use super::taken::{ShapesSeen, Written};
use super::window::{WindowSide, line_of, own_part};
use crate::drawing::common::rectangle;
use crate::drawing::drawn::{ClipId, ClipShape, Clips, Drawn, DrawnPage, DrawnThing, HiddenShape, SeenAs};
use crate::tolerance::{CUT_AT_FRAME, JOIN_MISS, SAME_FRAME};

/// Pages, and what is known of them.
#[derive(Clone, Copy)]
pub(super) struct KnownPages<'a> {
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
    /// The ends of each line that is cut off at both, where none goes on, as an outline is.
    pub open: Vec<[LooseEnd; 2]>,
    /// Whole lines that all pages hide.
    pub unseen: Vec<DrawnThing>,
}

/// An end of a line that is cut off at a side of a page, where none goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct LooseEnd {
    pub page: usize,
    pub cell: Cell,
    pub side: WindowSide,
}

impl Joined {
    /// What stands on a sheet.
    pub fn of(sheet: &PagesSheet, known: KnownPages<'_>, lines: Lines) -> Joined {
        let mut joined = Joined::default();
        let mut seen = ShapesSeen::default();
        let mut texts = Written::default();
        let cut: Vec<CutPage> = sheet.0.iter().map(|placed| cut_page(placed, sheet, known, lines)).collect();
        for (placed, cut) in sheet.0.iter().zip(&cut) {
            let own = known.windows[placed.page].map(|window| own(placed, sheet, known, window));
            let own = own.filter(|_| lines == Lines::InParts);
            joined.add_page(placed, known, (cut, own), (&mut seen, &mut texts));
        }
        joined.add_cut_lines(sheet, &cut, known);
        if lines == Lines::Whole {
            joined.unseen = unseen(sheet, known, &seen);
        }
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
        known: KnownPages<'_>,
        (cut, own): (&CutPage, Option<Rect>),
        (seen, texts): (&mut ShapesSeen, &mut Written),
    ) {
        let page = known.pages[placed.page];
        let window = known.windows[placed.page];
        let clips = self.add_clips(page, placed.origin, window);
        let is_cut: HashSet<usize> = cut.ends.iter().map(|end| cut.parts[end.part].thing).collect();
        let is_shown: HashSet<usize> = cut.parts.iter().map(|part| part.thing).collect();
        for (at, thing) in page.things.iter().enumerate() {
            match &thing.what {
                Drawn::Shape { paint, .. } => {
                    let bounds = known.shapes.bounds(placed.page, at);
                    let is_beyond = |own| furniture::is_outside(bounds, own);
                    if paint.seen_as() == SeenAs::Line
                        && known.windows[placed.page] != own
                        && own.is_some_and(is_beyond)
                    {
                        continue;
                    }
                    if furniture::is_left_out(page, (placed.page, at), known.shapes, window) {
                        if !furniture::is_hidden(thing, bounds, window) {
                            self.left_out.push(moved(thing, placed.origin, None));
                        }
                        continue;
                    }
                    // What is drawn over the corner of a window only is another page's.
                    let is_over = own.is_some() && paint.seen_as() == SeenAs::Line && !is_shown.contains(&at);
                    if is_over || is_cut.contains(&at) || self.is_known(placed, known, at, seen) {
                        continue;
                    }
                }
                Drawn::Hidden(_) => continue,
                Drawn::Text(text) => {
                    if known.writing.is_of_page(text, window) {
                        self.left_out.push(moved(thing, placed.origin, None));
                        continue;
                    }
                    if !texts.is_new(&text.words, text.at + placed.origin, 2.0 * SAME_FRAME) {
                        continue;
                    }
                }
                Drawn::Writing(bounds) => {
                    let place = bounds.center() + placed.origin;
                    if window.is_some_and(|window| !window.contains(bounds.center()))
                        || !texts.is_new("", place, Written::CELL)
                    {
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
    fn is_known(
        &mut self,
        placed: &Placed,
        known: KnownPages<'_>,
        thing: usize,
        seen: &mut ShapesSeen,
    ) -> bool {
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
                [only] if rectangle(&only.path).is_some_and(hides_nothing));
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
    fn add_cut_lines(&mut self, sheet: &PagesSheet, cut: &[CutPage], known: KnownPages<'_>) {
        let mut joins: PartJoins = HashMap::new();
        let mut nowhere: Vec<UnmetEnd> = Vec::new();
        for (at, placed) in sheet.0.iter().enumerate() {
            for side in WindowSide::ALL {
                let ends = cut[at].at(side);
                let next = placed.cell.beside(side);
                let beside = sheet.0.iter().position(|other| other.cell == next);
                let others = beside.map(|other| cut[other].at(side.opposite())).unwrap_or_default();
                let pairs = met_or_turned(&ends, &others);
                let is_met = |end: &CutEnd| pairs.iter().any(|(one, ..)| std::ptr::eq(*one, end));
                let unmet: Vec<&CutEnd> = ends.iter().copied().filter(|end| !is_met(end)).collect();
                let own = known.windows[placed.page].map(|window| own(placed, sheet, known, window));
                let corners = match own {
                    Some(own) => corners_at(&unmet, &cut[at], side, own, placed.origin),
                    None => Vec::new(),
                };
                for (one, two, corner) in &corners {
                    let (a, b) = ((PartOf(at, one.part), one.end), (PartOf(at, two.part), two.end));
                    joins.insert(a, (b.0, b.1, *corner));
                    joins.insert(b, (a.0, a.1, *corner));
                }
                let turns = |end: &CutEnd| {
                    corners.iter().any(|(one, two, _)| std::ptr::eq(*one, end) || std::ptr::eq(*two, end))
                };
                let left = unmet.iter().filter(|end| !turns(end));
                nowhere.extend(left.filter_map(|end| {
                    let place = cut[at].parts[end.part].place(end.end)? + placed.origin;
                    let (part, from) = (PartOf(at, end.part), placed.cell);
                    Some(UnmetEnd { part, end: end.end, from, to: next, at: place, out: end.out })
                }));
                let (Some(other), Some(own), WindowSide::Right | WindowSide::Bottom) = (beside, own, side)
                else {
                    continue;
                };
                for (one, two, miss) in pairs {
                    self.miss = self.miss.max(miss);
                    let along = f64::midpoint(one.along, two.along);
                    let meet = on_side(own + placed.origin, side, along);
                    let (a, b) = (PartOf(at, one.part), PartOf(other, two.part));
                    joins.insert((a, one.end), (b, two.end, meet));
                    joins.insert((b, two.end), (a, one.end, meet));
                }
            }
        }
        self.add_around_corners(&nowhere, &mut joins);
        self.add_chains(sheet, cut, known, &joins);
    }

    /// Joins lines past the corners of pages that show nothing of them; what else goes nowhere is loose.
    fn add_around_corners(&mut self, nowhere: &[UnmetEnd], joins: &mut PartJoins) {
        let mut joined = HashSet::new();
        for (i, j) in around_corners(nowhere) {
            let (one, other) = (&nowhere[i], &nowhere[j]);
            let middle = one.at.midpoint(other.at);
            joins.insert((one.part, one.end), (other.part, other.end, middle));
            joins.insert((other.part, other.end), (one.part, one.end, middle));
            joined.extend([i, j]);
        }
        for (_, end) in nowhere.iter().enumerate().filter(|(at, _)| !joined.contains(at)) {
            *self.loose.entry(end.to).or_default() += 1;
        }
    }

    fn add_chains(&mut self, sheet: &PagesSheet, cut: &[CutPage], known: KnownPages<'_>, joins: &PartJoins) {
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
            let (mut part, entered) = (first, enter);
            let mut line: Vec<PathSeg> = Vec::new();
            let mut closed = false;
            let last = loop {
                used.insert(part);
                let leave = if enter == WhichEnd::Start { WhichEnd::End } else { WhichEnd::Start };
                let place = |end| joins.get(&(part, end)).map(|(_, _, at)| *at);
                let by = Affine::translate(sheet.0[part.0].origin);
                let path = by * &cut[part.0].parts[part.1].path;
                line.extend(between(&path, enter, place(enter), place(leave)));
                let Some((next, end, _)) = joins.get(&(part, leave)) else { break leave };
                if used.contains(next) {
                    closed = *next == first;
                    break leave;
                }
                (part, enter) = (*next, *end);
            };
            let loose = |part: PartOf, end: WhichEnd| {
                let placed = sheet.0[part.0];
                let own = own(&placed, sheet, known, known.windows[placed.page]?);
                let side = edge_at(own, cut[part.0].parts[part.1].place(end)?)?;
                let leads_on = joins.contains_key(&(part, end));
                (!leads_on).then_some(LooseEnd { page: placed.page, cell: placed.cell.beside(side), side })
            };
            let ends = line.first().zip(line.last()).map(|(first, last)| (first.start(), last.end()));
            let meet = ends.is_some_and(|(begin, end)| begin.distance(end) <= JOIN_MISS);
            if let (Some(begin), Some(end), false) = (loose(first, entered), loose(part, last), meet) {
                if part == first && is_of_next(&cut[first.0].parts[first.1].path, &sheet.0[first.0], known) {
                    continue;
                }
                self.open.push([begin, end]);
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

/// The edge at which a place lies, at whatever angle a line comes to it.
fn edge_at(own: Rect, at: Point) -> Option<WindowSide> {
    let off = |side: &WindowSide| side.inside_by(own, at).abs();
    let nearest = WindowSide::ALL.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.filter(|side| off(side) <= CUT_AT_FRAME)
}

/// Whether a line lies in what a page shows together with another one only: it is drawn there as well, though no line joins
/// the two.
fn is_of_next(path: &kurbo::BezPath, placed: &Placed, known: KnownPages<'_>) -> bool {
    known.overlap != Vec2::ZERO
        && known.windows[placed.page].is_some_and(|window| {
            let shared = WindowSide::ALL
                .into_iter()
                .map(|side| own_part(window, known.overlap, |other| other == side));
            shared.into_iter().any(|own| furniture::is_outside(path.bounding_box(), own))
        })
}

/// The whole lines of the first page that neither it nor another one shows: one that is missing would.
fn unseen(sheet: &PagesSheet, known: KnownPages<'_>, seen: &ShapesSeen) -> Vec<DrawnThing> {
    let Some(first) = sheet.0.first() else { return Vec::new() };
    let page = known.pages[first.page];
    let is_unseen = |(at, thing): (usize, &DrawnThing)| {
        let (id, place) = (known.shapes.id(first.page, at)?, known.shapes.place(first.page, at)?);
        let bounds = known.shapes.bounds(first.page, at);
        let is_hidden = matches!(thing.what, Drawn::Hidden(_))
            || furniture::is_hidden(thing, bounds, known.windows[first.page]);
        let is_seen = seen.nearest(id, usize::MAX, place + first.origin).is_some();
        (is_hidden && !is_seen).then(|| shown(moved(thing, first.origin, None)))
    };
    page.things.iter().enumerate().filter_map(is_unseen).collect()
}

/// A thing as it is where nothing hides it.
fn shown(thing: DrawnThing) -> DrawnThing {
    match thing.what {
        Drawn::Hidden(ref hidden) => {
            let what = Drawn::Shape { path: hidden.placed(), paint: hidden.paint.clone() };
            DrawnThing { what, ..thing }
        }
        _ => thing,
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

/// What each end of a part meets, and where.
type PartJoins = HashMap<(PartOf, WhichEnd), (PartOf, WhichEnd, Point)>;

/// The lines of a page that are to be joined with those of its neighbours, cut off in the middle of what both show. Where
/// their ends meet the sides is told on the sheet.
fn cut_page(placed: &Placed, sheet: &PagesSheet, known: KnownPages<'_>, lines: Lines) -> CutPage {
    let Some(window) = known.windows[placed.page] else { return CutPage::default() };
    let (at, page) = (placed.page, known.pages[placed.page]);
    let own = own(placed, sheet, known, window);
    let shown = if lines == Lines::Whole { window } else { own };
    let is_part = |thing: usize| {
        let several = known.shapes.id(at, thing).is_none_or(|id| known.shapes.is_on_several(id));
        let is_whole = several || runs_off(known.pages, known.shapes, known.windows, (at, thing));
        lines == Lines::InParts || !is_whole
    };
    let mut cut = CutPage::of(page, at, known.shapes, shown, is_part);
    if lines == Lines::Whole {
        let ended: HashSet<usize> = cut.ends.iter().map(|end| cut.parts[end.part].thing).collect();
        cut = CutPage::of(page, at, known.shapes, own, |thing| ended.contains(&thing));
    }
    let zero = own.origin() + placed.origin;
    for end in &mut cut.ends {
        end.along += match end.side {
            WindowSide::Left | WindowSide::Right => zero.y,
            WindowSide::Top | WindowSide::Bottom => zero.x,
        };
    }
    cut
}

/// What of a window is a page's own: not all that it shows together with a neighbour.
fn own(placed: &Placed, sheet: &PagesSheet, known: KnownPages<'_>, window: Rect) -> Rect {
    own_part(window, known.overlap, |side| sheet.at(placed.cell.beside(side)).is_some())
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
        Drawn::Hidden(hidden) => Drawn::Hidden(HiddenShape { by: hidden.by + by, ..hidden.clone() }),
        Drawn::Writing(bounds) => Drawn::Writing(*bounds + by),
        Drawn::Picture => Drawn::Picture,
    };
    DrawnThing { what, clip, ..thing.clone() }
}

/// What a thing covers that is seen.
pub(super) fn bounds(thing: &DrawnThing) -> Option<Rect> {
    match &thing.what {
        Drawn::Shape { path, paint } if paint.seen_as() != SeenAs::Nothing => Some(path.bounding_box()),
        Drawn::Shape { .. } | Drawn::Hidden(_) | Drawn::Picture => None,
        Drawn::Text(text) => Some(Rect::from_points(text.at, text.at)),
        Drawn::Writing(bounds) => Some(*bounds),
    }
}

/// All things of a sheet as far on.
pub(super) fn all_moved(joined: Joined, by: Vec2, clips: &mut Clips) -> Vec<DrawnThing> {
    let on = Affine::translate(by);
    let mut now: Vec<ClipId> = Vec::new();
    for clip in joined.clips.iter() {
        let around = clip.around.map(|around| now[around.index()]);
        let shape = |shape: &ClipShape| ClipShape { path: on * &shape.path, winding: shape.winding };
        now.push(clips.add(clip.shapes.iter().map(shape).collect(), around));
    }
    let place = |mut thing: DrawnThing| {
        let clip = thing.clip.map(|clip| now[clip.index()]);
        match &mut thing.what {
            Drawn::Shape { path, .. } => path.apply_affine(on),
            _ => thing = moved(&thing, by, None),
        }
        DrawnThing { clip, ..thing }
    };
    joined.things.into_iter().chain(joined.checks).map(place).collect()
}
