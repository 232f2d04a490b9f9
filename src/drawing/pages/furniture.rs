//! What of a page is not the drawing: frames, joining marks, bars, page names.

use std::collections::{HashMap, HashSet};

use kurbo::{BezPath, Point, Rect, Shape};

use super::shapes::{Shapes, least_pages};
use super::window::{Side, is_same, rectangle, upright};
use crate::drawing::drawn::{Drawn, DrawnPage, DrawnText, DrawnThing};
use crate::drawing::lengths_in;
use crate::tolerance::{
    CUT_AT_FRAME, IN_MARGIN, LARGEST_JOINING_MARK, MARK_INSIDE, SAME_FRAME, TEST_LABEL_REACH, TEST_SHAPE,
    TEST_SQUARE,
};

/// Whether a shape (which page, which thing of it) is no part of the drawing.
pub(super) fn is_left_out(
    page: &DrawnPage,
    (at, thing): (usize, usize),
    shapes: &Shapes,
    window: Option<Rect>,
) -> bool {
    let Drawn::Shape { path, .. } = &page.things[thing].what else { return false };
    let bounds = path.bounding_box();
    if shapes.is_furniture(at, thing) && (shapes.are_many_pages() || is_in_margin(page, bounds)) {
        return true;
    }
    let Some(window) = window else { return false };
    let is_frame = upright(path).is_some_and(|rect| is_same(rect, window));
    let outside = is_outside(bounds, window);
    let stands_elsewhere = shapes.pages_with(at, thing) > 1 || shapes.is_furniture_elsewhere(at, thing);
    let is_mark = shapes.is_furniture_elsewhere(at, thing) && is_near_edge(bounds, window, MARK_INSIDE);
    is_frame || outside || is_mark || (stands_elsewhere && is_at_edge(bounds, window))
}

/// Whether nothing of a shape lies within the window of its page; what only touches it does not.
fn is_outside(bounds: Rect, window: Rect) -> bool {
    bounds.x1 <= window.x0 + SAME_FRAME
        || bounds.x0 >= window.x1 - SAME_FRAME
        || bounds.y1 <= window.y0 + SAME_FRAME
        || bounds.y0 >= window.y1 - SAME_FRAME
}

/// Whether the clip by which a page shows its part of a drawing hides a shape: it is seen on another page, or on none.
pub(super) fn is_hidden(thing: &DrawnThing, path: &BezPath, window: Option<Rect>) -> bool {
    thing.clip.is_some() && window.is_some_and(|window| is_outside(path.bounding_box(), window))
}

/// Whether a shape lies in the margin of its page, or is its frame.
fn is_in_margin(page: &DrawnPage, bounds: Rect) -> bool {
    let corners = [Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1)];
    page.seen.is_none_or(|seen| {
        let is_near = |side: Side| corners.map(|corner| side.inside_by(seen, corner) <= IN_MARGIN);
        let sides = Side::ALL.map(is_near);
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
    let touches = |side: Side| side.inside_by(window, low).min(side.inside_by(window, high)) <= within;
    small && Side::ALL.into_iter().any(touches)
}

/// Where a page writes, and how large.
#[derive(Debug)]
struct Written {
    page: usize,
    at: Point,
    size: f64,
}

/// The writing of all pages.
#[derive(Debug)]
pub(super) struct Writing {
    /// What is written, by cells.
    places: HashMap<(i64, i64), Vec<Written>>,
    least: usize,
    /// Of what form and how large the names of pages are: `2-B` and `1-A` are of one form.
    names: Vec<(String, f64)>,
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
        let mut writing =
            Writing { places: HashMap::new(), least: least_pages(pages.len()), names: Vec::new() };
        for (at, page) in pages.iter().enumerate() {
            for thing in &page.things {
                if let Drawn::Text(text) = &thing.what {
                    let written = Written { page: at, at: text.at, size: text.size };
                    writing.places.entry(Writing::cell(text.at)).or_default().push(written);
                }
            }
        }
        writing.names = writing.names_of(pages);
        writing
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

    /// Whether writing is a page's own: outside its window, of the size and at the place of writing on many pages, or a
    /// page's name wherever there was room for it.
    pub fn is_of_page(&self, text: &DrawnText, window: Option<Rect>) -> bool {
        let is_name = |(form, size): &(String, f64)| {
            (size - text.size).abs() <= SAME_FRAME && *form == form_of(&text.words)
        };
        window.is_some_and(|window| !window.contains(text.at))
            || self.is_on_many(text)
            || self.names.iter().any(is_name)
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

/// The test square or bar of a page, and the writing that says how long it is, as things of the page.
pub(super) fn test_shape(page: &DrawnPage, at: usize, shapes: &Shapes, window: Option<Rect>) -> Vec<usize> {
    /// Squares and bars that are looked at.
    const MOST: usize = 20;
    let is_test = |thing: usize| {
        let Drawn::Shape { path, .. } = &page.things[thing].what else { return false };
        let bounds = path.bounding_box();
        let (width, height) = (bounds.width(), bounds.height());
        let long = (TEST_SHAPE[0]..=TEST_SHAPE[1]).contains(&width.max(height));
        let square = (width / height - 1.0).abs() <= TEST_SQUARE && rectangle(path).is_some();
        let bar = width.min(height) <= SAME_FRAME && path.elements().len() == 2;
        long && (square || bar) && !window.is_some_and(|window| is_same(bounds, window))
    };
    let texts = || {
        page.things.iter().enumerate().filter_map(|(at, thing)| match &thing.what {
            Drawn::Text(text) => Some((at, text)),
            _ => None,
        })
    };
    let says_length = |text: &DrawnText| !lengths_in(&text.words).is_empty();
    let mut kept = Vec::new();
    let tests = (0..page.things.len()).filter(|thing| shapes.is_furniture(at, *thing) && is_test(*thing));
    for thing in tests.take(MOST) {
        let Drawn::Shape { path, .. } = &page.things[thing].what else { continue };
        let near = path.bounding_box().inflate(TEST_LABEL_REACH, TEST_LABEL_REACH);
        let labels: Vec<usize> = texts()
            .filter(|(_, text)| near.contains(text.at) && says_length(text))
            .map(|(at, _)| at)
            .collect();
        if !labels.is_empty() {
            kept.push(thing);
            kept.extend(labels.into_iter().filter(|label| !kept.contains(label)).collect::<Vec<_>>());
        }
    }
    kept
}
