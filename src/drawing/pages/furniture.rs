//! What of a page is not the drawing: frames, joining marks, bars, page names.

use std::collections::HashMap;

use kurbo::{Point, Rect, Shape, Vec2};

use super::shapes::{Shapes, least_pages};
use super::window::{Side, is_same, upright};
use crate::drawing::drawn::{Drawn, DrawnPage, DrawnText};
use crate::tolerance::{CUT_AT_FRAME, LARGEST_JOINING_MARK, SAME_FRAME, TEST_LABEL_REACH, TEST_SHAPE};

/// Whether a shape (which page, which thing of it) is no part of the drawing.
pub(super) fn is_left_out(
    page: &DrawnPage,
    (at, thing): (usize, usize),
    shapes: &Shapes,
    window: Option<Rect>,
) -> bool {
    let Drawn::Shape { path, .. } = &page.things[thing].what else { return false };
    if shapes.is_furniture(at, thing) {
        return true;
    }
    let Some(window) = window else { return false };
    let bounds = path.bounding_box();
    let is_frame = upright(path).is_some_and(|rect| is_same(rect, window));
    let outside = bounds.x1 <= window.x0 + SAME_FRAME
        || bounds.x0 >= window.x1 - SAME_FRAME
        || bounds.y1 <= window.y0 + SAME_FRAME
        || bounds.y0 >= window.y1 - SAME_FRAME;
    is_frame || outside || (shapes.pages_with(at, thing) > 1 && is_at_edge(bounds, window))
}

/// Whether a shape is small and stands at the edge, as marks do by which pages are joined. What stands so at the same
/// place of two pages is one.
fn is_at_edge(bounds: Rect, window: Rect) -> bool {
    let small = bounds.width().max(bounds.height()) <= LARGEST_JOINING_MARK;
    let (low, high) = (Point::new(bounds.x0, bounds.y0), Point::new(bounds.x1, bounds.y1));
    let touches = |side: Side| side.inside_by(window, low).min(side.inside_by(window, high)) <= CUT_AT_FRAME;
    small && Side::ALL.into_iter().any(touches)
}

/// The writing of all pages.
#[derive(Debug)]
pub(super) struct Writing {
    /// Which page writes where, and how large, by cells.
    places: HashMap<(i64, i64), Vec<(usize, Point, f64)>>,
    least: usize,
}

impl Writing {
    /// How large the cells are by which it is looked up, mm; longer than any shift of a page's name from page to page.
    const CELL: f64 = 10.0;

    /// That of pages.
    pub fn of(pages: &[&DrawnPage]) -> Writing {
        let mut writing = Writing { places: HashMap::new(), least: least_pages(pages.len()) };
        for (at, page) in pages.iter().enumerate() {
            for thing in &page.things {
                if let Drawn::Text(text) = &thing.what {
                    writing.places.entry(Writing::cell(text.at)).or_default().push((at, text.at, text.size));
                }
            }
        }
        writing
    }

    fn cell(at: Point) -> (i64, i64) {
        ((at.x / Writing::CELL).floor() as i64, (at.y / Writing::CELL).floor() as i64)
    }

    /// Whether writing is a page's own: outside its window, or of the size and at the place of writing on many pages.
    pub fn is_of_page(&self, text: &DrawnText, window: Option<Rect>) -> bool {
        if window.is_some_and(|window| !window.contains(text.at)) {
            return true;
        }
        let (x, y) = Writing::cell(text.at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let near = around.filter_map(|cell| self.places.get(&cell)).flatten();
        let same = near.filter(|(_, at, size)| {
            (size - text.size).abs() <= SAME_FRAME
                && (at.y - text.at.y).abs() <= SAME_FRAME
                && (at.x - text.at.x).abs() <= text.size.min(Writing::CELL)
        });
        let mut pages: Vec<usize> = same.map(|(page, ..)| *page).collect();
        pages.sort_unstable();
        pages.dedup();
        pages.len() >= self.least
    }
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
        let square = (width - height).abs() <= 0.06 * width && is_upright(path);
        let bar = width.min(height) <= SAME_FRAME && path.elements().len() == 2;
        long && (square || bar) && !window.is_some_and(|window| is_same(bounds, window))
    };
    let texts = || {
        page.things.iter().enumerate().filter_map(|(at, thing)| match &thing.what {
            Drawn::Text(text) => Some((at, text)),
            _ => None,
        })
    };
    let says_length = |text: &DrawnText| {
        let words = text.words.to_lowercase();
        words.contains(|sign: char| sign.is_ascii_digit())
            && ["mm", "cm", "in", "\"", "″"].iter().any(|unit| words.contains(unit))
    };
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

fn is_upright(path: &kurbo::BezPath) -> bool {
    let bounds = path.bounding_box();
    (path.area().abs() - bounds.area()).abs() <= SAME_FRAME * (bounds.width() + bounds.height())
        && path.segments().all(|segment| {
            let way: Vec2 = kurbo::ParamCurve::end(&segment) - kurbo::ParamCurve::start(&segment);
            way.x.abs() <= SAME_FRAME || way.y.abs() <= SAME_FRAME
        })
}
