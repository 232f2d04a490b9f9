//! The part of a page that shows the drawing, and lines as they are cut off by it.

use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape, Size, Vec2};

use super::paper::of_one_paper;
use super::shapes::Shapes;
use crate::drawing::common::rectangle;
use crate::drawing::drawn::{Drawn, DrawnPage, Paint, SeenAs};
use crate::tolerance::{
    CUT_AT_FRAME, LEAST_CUT_ANGLE, LEAST_FRAME, LEAST_STEP_OF_PAGE, SAME_FRAME, SAME_POINT, SHORT_PART,
    STRAIGHT_AT_END, WAY_OF_END,
};

/// A side of a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum WindowSide {
    Left,
    Top,
    Right,
    Bottom,
}

impl WindowSide {
    pub const ALL: [WindowSide; 4] =
        [WindowSide::Left, WindowSide::Top, WindowSide::Right, WindowSide::Bottom];

    /// The side of the next page that lies on it.
    pub fn opposite(self) -> WindowSide {
        match self {
            WindowSide::Left => WindowSide::Right,
            WindowSide::Top => WindowSide::Bottom,
            WindowSide::Right => WindowSide::Left,
            WindowSide::Bottom => WindowSide::Top,
        }
    }

    pub fn outward(self) -> Vec2 {
        match self {
            WindowSide::Left => Vec2::new(-1.0, 0.0),
            WindowSide::Top => Vec2::new(0.0, -1.0),
            WindowSide::Right => Vec2::new(1.0, 0.0),
            WindowSide::Bottom => Vec2::new(0.0, 1.0),
        }
    }

    /// How far inside of a side a place lies; under zero outside.
    pub fn inside_by(self, window: Rect, at: Point) -> f64 {
        match self {
            WindowSide::Left => at.x - window.x0,
            WindowSide::Top => at.y - window.y0,
            WindowSide::Right => window.x1 - at.x,
            WindowSide::Bottom => window.y1 - at.y,
        }
    }

    /// How far along a side a place lies, from the left or from above.
    pub fn along(self, window: Rect, at: Point) -> f64 {
        match self {
            WindowSide::Left | WindowSide::Right => at.y - window.y0,
            WindowSide::Top | WindowSide::Bottom => at.x - window.x0,
        }
    }

    fn line(self, window: Rect) -> Line {
        /// How far a side is carried on so that no line passes its corner between two sides, mm.
        const BEYOND: f64 = 1.0;
        let r = window.inflate(BEYOND, BEYOND);
        match self {
            WindowSide::Left => Line::new((window.x0, r.y0), (window.x0, r.y1)),
            WindowSide::Top => Line::new((r.x0, window.y0), (r.x1, window.y0)),
            WindowSide::Right => Line::new((window.x1, r.y0), (window.x1, r.y1)),
            WindowSide::Bottom => Line::new((r.x0, window.y1), (r.x1, window.y1)),
        }
    }
}

/// By what the windows of pages are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Telling {
    /// By what is hidden on several pages alike, else by frames.
    Clips,
    /// By where lines end, else by what is hidden.
    CutLines,
}

/// A rectangle that may be the window of some pages.
#[derive(Debug)]
struct Candidate {
    rect: Rect,
    sort: Sort,
    pages: Vec<usize>,
}

/// What a window is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sort {
    /// What several pages hide lies outside of it.
    Clip,
    /// It is drawn on several pages.
    Frame,
    /// It is the edge of the page.
    Seen,
}

/// As many lines may end at a rectangle by chance.
const MOST_BY_CHANCE: usize = 3;

/// The windows of pages.
#[derive(Clone, Debug)]
pub(super) struct Windows {
    /// Of each page; none of a page that has not the frame of the others on its paper.
    pub of: Vec<Option<Rect>>,
    /// Where that of each page is known from.
    from: Vec<Sort>,
}

impl Windows {
    /// How large they are: as those of most pages.
    pub fn size(&self) -> Option<Size> {
        let as_many =
            |window: &Rect| self.of.iter().flatten().filter(|other| is_same(**other, *window)).count();
        let windows = self.of.iter().flatten().enumerate();
        windows
            .max_by_key(|(at, window)| (as_many(window), std::cmp::Reverse(*at)))
            .map(|(_, window)| window.size())
    }

    /// Whether the window of a page is drawn on it, or hides what lies beyond it: it is not just the edge of the paper.
    pub fn is_drawn(&self, page: usize) -> bool {
        self.of[page].is_some() && self.from[page] != Sort::Seen
    }

    /// Where that of a page is known from.
    pub fn sort(&self, page: usize) -> Sort {
        self.from[page]
    }
}

/// The windows of pages, of each paper by itself.
pub(super) fn windows(pages: &[&DrawnPage], shapes: &Shapes, telling: Telling) -> Windows {
    let candidates = candidates(pages);
    let mut windows = Windows { of: vec![None; pages.len()], from: vec![Sort::Seen; pages.len()] };
    for paper in of_one_paper(pages) {
        let Some(best) = best_of(&candidates, pages, &paper, shapes, telling) else { continue };
        for page in best.pages {
            (windows.of[page], windows.from[page]) = (Some(best.rect), best.sort);
        }
    }
    windows
}

/// The window of most pages of a paper.
fn best_of(
    candidates: &[Candidate],
    pages: &[&DrawnPage],
    paper: &[usize],
    shapes: &Shapes,
    telling: Telling,
) -> Option<Candidate> {
    /// Those that are on most pages.
    const LIKELY: usize = 12;
    let of_paper = |candidate: &Candidate| {
        let own: Vec<usize> = candidate.pages.iter().copied().filter(|page| paper.contains(page)).collect();
        (!own.is_empty()).then_some(Candidate { pages: own, ..*candidate })
    };
    let mut candidates: Vec<Candidate> = candidates.iter().filter_map(of_paper).collect();
    candidates.sort_by_key(|candidate| std::cmp::Reverse(candidate.pages.len()));
    candidates.truncate(LIKELY);
    let ends = |candidate: &Candidate| -> usize {
        candidate.pages.iter().map(|page| ends_on(pages[*page], *page, shapes, candidate.rect)).sum()
    };
    let by_ends = match telling {
        Telling::Clips => None,
        Telling::CutLines => {
            let counted = candidates.iter().enumerate().map(|(at, candidate)| (ends(candidate), at));
            counted
                .filter(|(ends, _)| *ends > MOST_BY_CHANCE)
                .max_by_key(|(ends, at)| (*ends, std::cmp::Reverse(*at)))
        }
    };
    let best = by_ends.map(|(_, at)| at).or_else(|| {
        let rank = |candidate: &Candidate| (candidate.sort, std::cmp::Reverse(candidate.pages.len()));
        let ranked = candidates.iter().enumerate();
        let first = ranked
            .min_by(|(_, a), (_, b)| rank(a).cmp(&rank(b)).then(b.rect.area().total_cmp(&a.rect.area())));
        first.map(|(at, _)| at)
    });
    best.map(|best| candidates.swap_remove(best))
}

/// Rectangles of several pages: clip paths smaller than the page, frames; and the edges of pages.
fn candidates(pages: &[&DrawnPage]) -> Vec<Candidate> {
    /// Rectangles that are looked at.
    const MOST: usize = 300;
    let mut found: Vec<Candidate> = Vec::new();
    let mut add = |rect: Rect, sort: Sort, page: usize| {
        let has_room = found.len() < MOST;
        let same = found.iter_mut().find(|other| is_same(other.rect, rect));
        match same {
            Some(other) => {
                other.sort = other.sort.min(sort);
                if !other.pages.contains(&page) {
                    other.pages.push(page);
                }
            }
            None if has_room => found.push(Candidate { rect, sort, pages: vec![page] }),
            None => {}
        }
    };
    for (at, page) in pages.iter().enumerate() {
        let clips = page.clips.iter().filter_map(|clip| match clip.shapes.as_slice() {
            [only] => upright(&only.path),
            _ => None,
        });
        let is_most = |rect: &Rect| {
            page.seen.is_none_or(|seen| {
                rect.width() >= LEAST_STEP_OF_PAGE * seen.width()
                    && rect.height() >= LEAST_STEP_OF_PAGE * seen.height()
            })
        };
        let is_less =
            |rect: &Rect| page.seen.is_none_or(|seen| !is_same(*rect, seen) && rect.area() < seen.area());
        clips.filter(|rect| is_most(rect) && is_less(rect)).for_each(|rect| add(rect, Sort::Clip, at));
        for thing in &page.things {
            if let Drawn::Shape { path, .. } = &thing.what
                && let Some(rect) = upright(path).filter(is_most)
            {
                add(rect, Sort::Frame, at);
            }
        }
        of_four_lines(page).into_iter().filter(is_most).for_each(|rect| add(rect, Sort::Frame, at));
        if let Some(seen) = page.seen {
            add(seen, Sort::Seen, at);
        }
    }
    found.retain(|candidate| candidate.sort == Sort::Seen || candidate.pages.len() > 1);
    found
}

/// Rectangles that are drawn as four lines.
fn of_four_lines(page: &DrawnPage) -> Vec<Rect> {
    /// Lines of a page that are looked at.
    const MOST: usize = 60;
    let boxes = page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Shape { path, .. } if path.elements().len() == 2 => Some(path.control_box()),
        _ => None,
    });
    let (mut upright, mut level) = (Vec::new(), Vec::new());
    for line in boxes {
        if line.height() >= LEAST_FRAME && line.width() <= SHORT_PART && upright.len() < MOST {
            upright.push(line);
        } else if line.width() >= LEAST_FRAME && line.height() <= SHORT_PART && level.len() < MOST {
            level.push(line);
        }
    }
    let mut found = Vec::new();
    for (at, left) in upright.iter().enumerate() {
        for right in &upright[at + 1..] {
            let rect = left.union(*right);
            let lies = |y: f64| level.iter().any(|line| is_same(*line, Rect::new(rect.x0, y, rect.x1, y)));
            let stands = |line: &Rect| is_same(*line, Rect::new(line.x0, rect.y0, line.x1, rect.y1));
            if rect.width() >= LEAST_FRAME && stands(left) && stands(right) && lies(rect.y0) && lies(rect.y1)
            {
                found.push(rect);
            }
        }
    }
    found
}

/// What of a window is a page's own where others overlap it at some of its sides.
///
/// Not quite to the middle of the overlap: pieces have corners at round millimetres, and a corner on the cut is of neither page.
pub(super) fn own_part(window: Rect, overlap: Vec2, is_overlapped: impl Fn(WindowSide) -> bool) -> Rect {
    const FIRST: f64 = 0.47;
    let share = |side: WindowSide, share: f64| if is_overlapped(side) { share } else { 0.0 };
    Rect::new(
        window.x0 + share(WindowSide::Left, FIRST) * overlap.x,
        window.y0 + share(WindowSide::Top, FIRST) * overlap.y,
        window.x1 - share(WindowSide::Right, 1.0 - FIRST) * overlap.x,
        window.y1 - share(WindowSide::Bottom, 1.0 - FIRST) * overlap.y,
    )
}

/// Whether two rectangles are the same frame.
pub(super) fn is_same(one: Rect, other: Rect) -> bool {
    let sides = [(one.x0, other.x0), (one.y0, other.y0), (one.x1, other.x1), (one.y1, other.y1)];
    sides.iter().all(|(a, b)| (a - b).abs() <= SAME_FRAME)
}

/// The rectangle that a line goes round, where it is upright and as large as a frame.
pub(super) fn upright(path: &BezPath) -> Option<Rect> {
    rectangle(path).filter(|bounds| bounds.width().min(bounds.height()) >= LEAST_FRAME)
}

/// How many lines of a page that are not its furniture end at a rectangle.
fn ends_on(page: &DrawnPage, at: usize, shapes: &Shapes, window: Rect) -> usize {
    let own = page.things.iter().enumerate().filter(|(thing, _)| !shapes.is_furniture(at, *thing));
    let ends = own.map(|(_, thing)| match &thing.what {
        Drawn::Shape { path, paint } => ends_at(path, paint, window),
        Drawn::Hidden(_) | Drawn::Text(_) | Drawn::Writing(_) | Drawn::Picture => 0,
    });
    ends.sum()
}

/// How often a line ends at a rectangle.
pub(super) fn ends_at(path: &BezPath, paint: &Paint, window: Rect) -> usize {
    if paint.seen_as() != SeenAs::Line {
        return 0;
    }
    path.subpaths().flat_map(ends).filter(|(at, out)| side_at(window, *at, *out).is_some()).count()
}

/// Both ends of an open line, each with the way that leads out of it.
pub(super) fn ends(line: &[PathEl]) -> Vec<(Point, Vec2)> {
    let end_at = |at: usize| line.get(at).and_then(PathEl::end_point);
    let last = line.len().wrapping_sub(1);
    let (Some(from), Some(to)) = (end_at(0), end_at(last)) else { return Vec::new() };
    if from.distance(to) <= SHORT_PART {
        return Vec::new();
    }
    let segment = |at: usize| kurbo::segments([PathEl::MoveTo(end_at(at - 1)?), line[at]]).next();
    // A corner on the edge leaves a sliver of the next segment, which has no way.
    let forward = || (1..=last).find_map(|at| way_out(&segment(at)?.reverse()));
    let backward = || (1..=last).rev().find_map(|at| way_out(&segment(at)?));
    let out_at_start = way_of(&straight_from(line.iter())).or_else(forward);
    let out_at_end = way_of(&straight_from(line.iter().rev())).or_else(backward);
    [(from, out_at_start), (to, out_at_end)].into_iter().filter_map(|(at, out)| Some((at, out?))).collect()
}

/// The corners of the straight lines at an end, from the end on, over as far as its way is told by; none where it ends in a curve.
fn straight_from<'a>(elements: impl Iterator<Item = &'a PathEl>) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    let mut far = 0.0;
    for element in elements {
        let corner = match element {
            PathEl::MoveTo(at) | PathEl::LineTo(at) => *at,
            PathEl::QuadTo(..) | PathEl::CurveTo(..) | PathEl::ClosePath => break,
        };
        let way = corners.last().map_or(Vec2::ZERO, |last| corner - *last);
        if far + way.hypot() >= WAY_OF_END {
            let rest = WAY_OF_END - far;
            corners.extend(corners.last().copied().map(|last| last + way * (rest / way.hypot())));
            break;
        }
        far += way.hypot();
        corners.push(corner);
    }
    corners
}

/// The way out at the end of some short straight lines: that of as many of them as run straight on but for what rounding and
/// drawing add.
fn way_of(corners: &[Point]) -> Option<Vec2> {
    let end = *corners.first()?;
    let is_straight = |far: &usize| {
        let chord = Line::new(end, corners[*far]);
        corners[1..*far].iter().all(|at| chord.nearest(*at, SAME_POINT).distance_sq.sqrt() <= STRAIGHT_AT_END)
    };
    let far = (1..corners.len()).rev().find(is_straight)?;
    let way = end - corners[far];
    (way.hypot() > SHORT_PART / 4.0).then(|| way / way.hypot())
}

/// The way in which a segment runs at its end.
pub(super) fn way_out(segment: &PathSeg) -> Option<Vec2> {
    let points: Vec<Point> = match segment {
        PathSeg::Line(line) => vec![line.p0, line.p1],
        PathSeg::Quad(quad) => vec![quad.p0, quad.p1, quad.p2],
        PathSeg::Cubic(cubic) => vec![cubic.p0, cubic.p1, cubic.p2, cubic.p3],
    };
    let end = *points.last()?;
    let ways = points.iter().rev().skip(1).map(|point| end - *point);
    let way = ways.into_iter().find(|way| way.hypot() > SHORT_PART / 4.0)?;
    Some(way / way.hypot())
}

/// The side at which an end is cut off.
pub(super) fn side_at(window: Rect, at: Point, out: Vec2) -> Option<WindowSide> {
    let within = window.inflate(CUT_AT_FRAME, CUT_AT_FRAME);
    let cut = WindowSide::ALL.into_iter().filter(|side| {
        side.inside_by(window, at).abs() <= CUT_AT_FRAME && out.dot(side.outward()) >= LEAST_CUT_ANGLE
    });
    let nearest = cut.min_by(|a, b| a.inside_by(window, at).abs().total_cmp(&b.inside_by(window, at).abs()));
    nearest.filter(|_| within.contains(at))
}

/// What of a line lies within a window: itself where all of it does.
pub(super) fn within(run: &BezPath, window: Rect) -> Vec<BezPath> {
    let bounds = run.bounding_box();
    if window.x0 <= bounds.x0 && window.y0 <= bounds.y0 && bounds.x1 <= window.x1 && bounds.y1 <= window.y1 {
        return vec![run.clone()];
    }
    if !bounds.overlaps(window) {
        return Vec::new();
    }
    let mut parts: Vec<PathSeg> = Vec::new();
    run.segments().for_each(|segment| split(&segment, window, &mut parts));
    let is_in = |part: &PathSeg| window.contains(part.eval(0.5));
    let mut pieces: Vec<Vec<PathSeg>> = Vec::new();
    let mut before_is_in = false;
    for part in &parts {
        let now_in = is_in(part);
        match pieces.last_mut().filter(|_| before_is_in && now_in) {
            Some(piece) => piece.push(*part),
            None if now_in => pieces.push(vec![*part]),
            None => {}
        }
        before_is_in = now_in;
    }
    let closed = match (parts.first(), parts.last()) {
        (Some(first), Some(last)) => {
            is_in(first) && is_in(last) && first.start().distance(last.end()) <= SHORT_PART
        }
        _ => false,
    };
    if closed && pieces.len() > 1 {
        let first = pieces.remove(0);
        if let Some(last) = pieces.last_mut() {
            last.extend(first);
        }
    }
    pieces.iter().map(|piece| line_of(piece)).collect()
}

/// One line of segments that follow one another. What rounding leaves between two of them is no gap.
pub(super) fn line_of(segments: &[PathSeg]) -> BezPath {
    let mut line = BezPath::new();
    if let Some(first) = segments.first() {
        line.move_to(first.start());
    }
    segments.iter().for_each(|segment| line.push(segment.as_path_el()));
    line
}

/// Cuts a segment where it crosses the sides of a window.
fn split(segment: &PathSeg, window: Rect, parts: &mut Vec<PathSeg>) {
    let bounds = control_box(segment);
    let may_cross = |side: &WindowSide| match side {
        WindowSide::Left => bounds.x0 <= window.x0 && window.x0 <= bounds.x1,
        WindowSide::Right => bounds.x0 <= window.x1 && window.x1 <= bounds.x1,
        WindowSide::Top => bounds.y0 <= window.y0 && window.y0 <= bounds.y1,
        WindowSide::Bottom => bounds.y0 <= window.y1 && window.y1 <= bounds.y1,
    };
    let sides = WindowSide::ALL.into_iter().filter(may_cross);
    let crossings = sides.flat_map(|side| segment.intersect_line(side.line(window)));
    let mut cuts: Vec<f64> = crossings.map(|crossing| crossing.segment_t.clamp(0.0, 1.0)).collect();
    cuts.extend([0.0, 1.0]);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| segment.eval(*a).distance(segment.eval(*b)) <= SAME_POINT);
    match cuts.as_slice() {
        [] | [_] | [_, _] => parts.push(*segment),
        cuts => parts.extend(cuts.windows(2).map(|two| segment.subsegment(two[0]..two[1]))),
    }
}

/// A box around all points of a segment.
fn control_box(segment: &PathSeg) -> Rect {
    match *segment {
        PathSeg::Line(line) => Rect::from_points(line.p0, line.p1),
        PathSeg::Quad(quad) => Rect::from_points(quad.p0, quad.p1).union_pt(quad.p2),
        PathSeg::Cubic(cubic) => Rect::from_points(cubic.p0, cubic.p1).union_pt(cubic.p2).union_pt(cubic.p3),
    }
}
