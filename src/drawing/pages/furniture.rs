//! What of a page is not the drawing: frames, joining marks, bars, page names.

use std::collections::{HashMap, HashSet};

use kurbo::{Point, Rect, Shape, Vec2};

use super::grid::{Cell, PagesSheet, Placed};
use super::shapes::{ShapeId, Shapes, least_pages};
use super::window::{WindowSide, is_same, upright};
use crate::drawing::common::rectangle;
use crate::drawing::drawn::{Drawn, DrawnPage, DrawnText, DrawnThing};
use crate::drawing::lengths_in;
use crate::tolerance::{
    CUT_AT_FRAME, IN_MARGIN, LARGEST_JOINING_MARK, MARK_INSIDE, SAME_FRAME, SHORT_PART, TEST_LABEL_OFF,
    TEST_LABEL_REACH, TEST_SHAPE, TEST_SQUARE,
};

/// Whether a shape (which page, which thing of it) is no part of the drawing.
pub(super) fn is_left_out(
    page: &DrawnPage,
    (at, thing): (usize, usize),
    shapes: &Shapes,
    window: Option<Rect>,
) -> bool {
    let Drawn::Shape { path, .. } = &page.things[thing].what else { return false };
    let bounds = shapes.bounds(at, thing);
    if shapes.is_furniture(at, thing) && (shapes.are_many_pages() || is_in_margin(page, bounds)) {
        return true;
    }
    let Some(window) = window else { return false };
    let is_frame = upright(path).is_some_and(|rect| is_same(rect, window));
    let outside = is_outside(bounds, window);
    let stands_elsewhere = shapes.pages_with(at, thing) > 1
        || shapes.is_furniture_elsewhere(at, thing)
        || shapes.is_like_mark(at, thing);
    let is_mark = shapes.is_furniture_elsewhere(at, thing) && is_near_edge(bounds, window, MARK_INSIDE);
    is_frame || outside || is_mark || (stands_elsewhere && is_at_edge(bounds, window))
}

/// Whether nothing of a shape lies within the window of its page; what comes from outside and only touches it does not, and what
/// lies along its side.
pub(super) fn is_outside(bounds: Rect, window: Rect) -> bool {
    WindowSide::ALL.into_iter().any(|side| {
        let (low, high) = (Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1));
        let (one, other) = (side.inside_by(window, low), side.inside_by(window, high));
        let (near, far) = (one.min(other), one.max(other));
        // A sliver that is cut off exactly lies within.
        let touches = near < -SHORT_PART || far - near <= SHORT_PART;
        far <= if touches { SAME_FRAME } else { 0.0 }
    })
}

/// Whether the clip by which a page shows its part of a drawing hides a shape: it is seen on another page, or on none.
pub(super) fn is_hidden(thing: &DrawnThing, bounds: Rect, window: Option<Rect>) -> bool {
    thing.clip.is_some() && window.is_some_and(|window| is_outside(bounds, window))
}

/// Whether a shape lies in the margin of its page, or is its frame.
fn is_in_margin(page: &DrawnPage, bounds: Rect) -> bool {
    let corners = [Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1)];
    page.seen.is_none_or(|seen| {
        let is_near = |side: WindowSide| corners.map(|corner| side.inside_by(seen, corner) <= IN_MARGIN);
        let sides = WindowSide::ALL.map(is_near);
        sides.contains(&[true, true]) || sides.iter().all(|near| near.contains(&true))
    })
}

/// Whether a shape is small and stands at the edge, as marks do by which pages are joined. What stands so at the same
/// place of two pages is one, and what is like a mark at the same place of many.
fn is_at_edge(bounds: Rect, window: Rect) -> bool {
    is_near_edge(bounds, window, CUT_AT_FRAME)
}

/// Whether a small shape reaches to within a distance of a side.
fn is_near_edge(bounds: Rect, window: Rect, within: f64) -> bool {
    let small = bounds.width().max(bounds.height()) <= LARGEST_JOINING_MARK;
    let (low, high) = (Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1));
    let touches = |side: WindowSide| side.inside_by(window, low).min(side.inside_by(window, high)) <= within;
    small && WindowSide::ALL.into_iter().any(touches)
}

/// The small shapes of which halves lie on both sides of the edge between two pages, one the mirror image of the other.
pub(super) fn joining_marks(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &[Option<Rect>],
    sheets: &[PagesSheet],
) -> HashSet<ShapeId> {
    let mut found = HashSet::new();
    for (sheet, placed) in sheets.iter().flat_map(|sheet| sheet.0.iter().map(move |placed| (sheet, placed))) {
        for side in [WindowSide::Right, WindowSide::Bottom] {
            let Some(next) = sheet.at(placed.cell.beside(side)) else { continue };
            let (Some(window), Some(other)) = (windows[placed.page], windows[next.page]) else { continue };
            let halves = halves_at((placed.page, pages[placed.page]), shapes, window, side);
            for (thing, half) in halves_at((next.page, pages[next.page]), shapes, other, side.opposite()) {
                for (mirrored, _) in halves.iter().filter(|(_, one)| one.is_as(&half)) {
                    found.extend(shapes.id(placed.page, *mirrored));
                    found.extend(shapes.id(next.page, thing));
                }
            }
        }
    }
    found
}

/// The same between any two pages that may lie beside each other.
pub(super) fn joining_marks_of_any(
    pages: &[&DrawnPage],
    shapes: &Shapes,
    windows: &[Option<Rect>],
) -> HashSet<ShapeId> {
    /// Pages that are held against each other.
    const MOST: usize = 40;
    let first = |page| Placed { page, cell: Cell { column: 0, row: 0 }, origin: Vec2::ZERO };
    let pages_held = pages.len().min(MOST);
    let pairs = (0..pages_held).flat_map(|one| (0..pages_held).map(move |other| (one, other)));
    let beside = [Cell { column: 1, row: 0 }, Cell { column: 0, row: 1 }];
    let sheets = pairs.filter(|(one, other)| one != other).flat_map(|(one, other)| {
        beside.map(|cell| PagesSheet(vec![first(one), Placed { cell, ..first(other) }]))
    });
    joining_marks(pages, shapes, windows, &sheets.collect::<Vec<_>>())
}

/// What may be half of a mark: how far it reaches along the edge, and how far in.
struct Half {
    along: [f64; 2],
    depth: f64,
}

impl Half {
    fn is_as(&self, other: &Half) -> bool {
        let near = |one: f64, other: f64| (one - other).abs() <= SAME_FRAME;
        near(self.along[0], other.along[0])
            && near(self.along[1], other.along[1])
            && near(self.depth, other.depth)
    }
}

/// The small shapes of a page that touch a side of its window and lie within it, with their things.
fn halves_at(
    (at, page): (usize, &DrawnPage),
    shapes: &Shapes,
    window: Rect,
    side: WindowSide,
) -> Vec<(usize, Half)> {
    /// How large half of a mark is at least, mm.
    const LEAST: f64 = 2.0;
    let half = |(thing, drawn): (usize, &DrawnThing)| {
        if !matches!(drawn.what, Drawn::Shape { .. }) {
            return None;
        }
        let bounds = shapes.bounds(at, thing);
        let (low, high) = (Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1));
        let along = [low, high].map(|corner| side.along(window, corner));
        let inside = [low, high].map(|corner| side.inside_by(window, corner));
        let (near, depth) = (inside[0].min(inside[1]), inside[0].max(inside[1]));
        let small = bounds.width().max(bounds.height()) <= LARGEST_JOINING_MARK;
        let large = bounds.width().min(bounds.height()) >= LEAST;
        (small && large && near.abs() <= SAME_FRAME).then_some((thing, Half { along, depth }))
    };
    page.things.iter().enumerate().filter_map(half).collect()
}

/// Where a page writes, and how large.
#[derive(Debug)]
struct WritingPlace {
    page: usize,
    at: Point,
    size: f64,
}

/// The writing of all pages.
#[derive(Debug)]
pub(super) struct Writing {
    /// What is written, by cells.
    places: HashMap<(i64, i64), Vec<WritingPlace>>,
    least: usize,
    /// Of what form and how large the names of pages are: `2-B` and `1-A` are of one form.
    names: Vec<(String, f64)>,
    /// What is written at one place of many pages, and how large, as `glue here` is.
    notes: Vec<(String, f64)>,
}

/// Of what form words are: each letter is as good as another, and each figure.
fn form_of(words: &str) -> String {
    let sign = |sign: char| match sign {
        sign if sign.is_ascii_digit() => '0',
        sign if sign.is_alphabetic() => 'a',
        sign => sign,
    };
    words.chars().map(sign).collect()
}

impl Writing {
    /// How large the cells are by which it is looked up, mm; longer than any shift of a page's name from page to page.
    const CELL: f64 = 10.0;

    /// That of pages.
    pub fn of(pages: &[&DrawnPage]) -> Writing {
        let mut writing = Writing {
            places: HashMap::new(),
            least: least_pages(pages.len()),
            names: Vec::new(),
            notes: Vec::new(),
        };
        for (at, page) in pages.iter().enumerate() {
            for thing in &page.things {
                if let Drawn::Text(text) = &thing.what {
                    let written = WritingPlace { page: at, at: text.at, size: text.size };
                    writing.places.entry(Writing::cell(text.at)).or_default().push(written);
                }
            }
        }
        writing.names = writing.names_of(pages);
        writing.notes = writing.notes_of(pages);
        writing
    }

    /// That of pages of several papers in one file, each with the names and notes of all: they are alike.
    pub fn shared(mut each: Vec<Writing>) -> Vec<Writing> {
        let names: Vec<_> = each.iter().flat_map(|writing| writing.names.iter().cloned()).collect();
        let notes: Vec<_> = each.iter().flat_map(|writing| writing.notes.iter().cloned()).collect();
        for writing in &mut each {
            writing.names.clone_from(&names);
            writing.notes.clone_from(&notes);
        }
        each
    }

    /// Words that many pages write at one place. Those of two pages may be of two pieces.
    fn notes_of(&self, pages: &[&DrawnPage]) -> Vec<(String, f64)> {
        let mut found: Vec<(String, f64)> = Vec::new();
        if self.least < least_pages(usize::MAX) {
            return found;
        }
        let mut same: HashMap<(&str, i64), Vec<Point>> = HashMap::new();
        for text in pages.iter().flat_map(|page| texts(page)).filter(|text| self.is_on_many(text)) {
            same.entry((&text.words, (text.size / SAME_FRAME).round() as i64)).or_default().push(text.at);
        }
        for ((words, size), places) in same {
            let as_many =
                |at: &Point| places.iter().filter(|other| other.distance(*at) <= SAME_FRAME).count();
            if places.iter().any(|at| as_many(at) >= self.least) {
                found.push((words.to_owned(), size as f64 * SAME_FRAME));
            }
        }
        found
    }

    /// The names of pages: short words of one form, other ones on each page, that stand at the same place of many. Figures
    /// alone may be sizes.
    fn names_of(&self, pages: &[&DrawnPage]) -> Vec<(String, f64)> {
        /// Signs that a name has at most; longer words of one form are by chance.
        const LONGEST: usize = 6;
        let mut names: HashMap<(String, i64), (f64, HashSet<&str>)> = HashMap::new();
        for text in pages.iter().flat_map(|page| texts(page)) {
            let is_figure = |sign: char| sign.is_ascii_digit();
            let mixed = text.words.contains(is_figure) && !text.words.chars().all(is_figure);
            if mixed && text.words.chars().count() <= LONGEST && self.is_on_many(text) {
                let size = (text.size / SAME_FRAME).round() as i64;
                let known = names.entry((form_of(&text.words), size)).or_insert((text.size, HashSet::new()));
                known.1.insert(&text.words);
            }
        }
        let several = names.into_iter().filter(|(_, (_, words))| words.len() >= self.least);
        several.map(|((form, _), (size, _))| (form, size)).collect()
    }

    fn cell(at: Point) -> (i64, i64) {
        ((at.x / Writing::CELL).floor() as i64, (at.y / Writing::CELL).floor() as i64)
    }

    /// Whether a page bears a name as the others do.
    pub fn is_named(&self, page: &DrawnPage) -> bool {
        texts(page).any(|text| self.is_name(text))
    }

    fn is_name(&self, text: &DrawnText) -> bool {
        let form = form_of(&text.words);
        self.names.iter().any(|(name, size)| (size - text.size).abs() <= SAME_FRAME && *name == form)
    }

    /// Whether writing is a page's own: outside its window, of the size and at the place of writing on many pages, or a
    /// page's name wherever there was room for it.
    pub fn is_of_page(&self, text: &DrawnText, window: Option<Rect>) -> bool {
        window.is_some_and(|window| !window.inflate(SAME_FRAME, SAME_FRAME).contains(text.at))
            || self.is_on_many(text)
            || self.is_name(text)
            || self
                .notes
                .iter()
                .any(|(words, size)| *words == text.words && (size - text.size).abs() <= SAME_FRAME)
    }

    /// Whether writing of its size stands at its place of many pages.
    fn is_on_many(&self, text: &DrawnText) -> bool {
        let (x, y) = Writing::cell(text.at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let near = around.filter_map(|cell| self.places.get(&cell)).flatten();
        let same = near.filter(|written| {
            (written.size - text.size).abs() <= SAME_FRAME
                && (written.at.y - text.at.y).abs() <= SAME_FRAME
                && (written.at.x - text.at.x).abs() <= text.size.min(Writing::CELL)
        });
        let mut pages: Vec<usize> = same.map(|written| written.page).collect();
        pages.sort_unstable();
        pages.dedup();
        pages.len() >= self.least
    }
}

fn texts(page: &DrawnPage) -> impl Iterator<Item = &DrawnText> {
    page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Text(text) => Some(text),
        _ => None,
    })
}

/// The test square or bar that is furniture of a page, and the writing that says how long it is, as things of the page.
pub(super) fn test_shape(page: &DrawnPage, at: usize, shapes: &Shapes, window: Option<Rect>) -> Vec<usize> {
    let texts = labels(page);
    let is_window = |bounds: Rect| window.is_some_and(|window| is_same(bounds, window));
    let mut kept = Vec::new();
    for (thing, bounds) in test_shapes(page).filter(|(thing, _)| shapes.is_furniture(at, *thing)) {
        let near: Vec<usize> = labels_at(&texts, bounds).map(|(label, _)| label).collect();
        if !near.is_empty() && !is_window(bounds) {
            kept.push(thing);
            kept.extend(near.into_iter().filter(|label| !kept.contains(label)).collect::<Vec<_>>());
        }
    }
    kept
}

/// The test squares and bars of any page that are as long as writing at them says, and that writing.
pub(super) fn labelled_test_shapes(page: &DrawnPage) -> Vec<usize> {
    let texts = labels(page);
    let mut kept = Vec::new();
    for (thing, bounds) in test_shapes(page) {
        let long = bounds.width().max(bounds.height());
        let says = |text: &DrawnText| {
            lengths_in(&text.words).iter().any(|length| (long / length - 1.0).abs() <= TEST_LABEL_OFF)
        };
        let near: Vec<usize> =
            labels_at(&texts, bounds).filter(|(_, text)| says(text)).map(|(label, _)| label).collect();
        if !near.is_empty() {
            kept.push(thing);
            kept.extend(near.into_iter().filter(|label| !kept.contains(label)).collect::<Vec<_>>());
        }
    }
    kept
}

/// Upright squares, and lines that lie or stand, as long as what is printed to check the scale; each with its box.
fn test_shapes(page: &DrawnPage) -> impl Iterator<Item = (usize, Rect)> {
    /// Squares and bars that are looked at.
    const MOST: usize = 20;
    let shape = |(at, thing): (usize, &DrawnThing)| {
        /// Sides of a rectangle, where it begins and where it closes.
        const MOST_PARTS: usize = 6;
        let Drawn::Shape { path, .. } = &thing.what else { return None };
        if path.elements().len() > MOST_PARTS {
            return None;
        }
        let bounds = path.bounding_box();
        let (width, height) = (bounds.width(), bounds.height());
        let long = (TEST_SHAPE[0]..=TEST_SHAPE[1]).contains(&width.max(height));
        let square = (width / height - 1.0).abs() <= TEST_SQUARE && rectangle(path).is_some();
        let bar = width.min(height) <= SAME_FRAME && path.elements().len() == 2;
        (long && (square || bar)).then_some((at, bounds))
    };
    page.things.iter().enumerate().filter_map(shape).take(MOST)
}

/// The writing of a page that names a length.
fn labels(page: &DrawnPage) -> Vec<(usize, &DrawnText)> {
    let text = |(at, thing)| match thing {
        &DrawnThing { what: Drawn::Text(ref text), .. } => Some((at, text)),
        _ => None,
    };
    page.things
        .iter()
        .enumerate()
        .filter_map(text)
        .filter(|(_, text)| !lengths_in(&text.words).is_empty())
        .collect()
}

fn labels_at<'a>(
    labels: &'a [(usize, &'a DrawnText)],
    bounds: Rect,
) -> impl Iterator<Item = (usize, &'a DrawnText)> {
    let near = bounds.inflate(TEST_LABEL_REACH, TEST_LABEL_REACH);
    labels.iter().copied().filter(move |(_, text)| near.contains(text.at))
}
