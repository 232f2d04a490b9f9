//! What of a page is not the drawing: frames, joining marks, bars, page names.

use kurbo::{Point, Rect, Shape, Vec2};

use super::shapes::Shapes;
use super::window::{Side, is_same, upright};
use crate::drawing::drawn::{Drawn, DrawnPage, DrawnText};
use crate::tolerance::{CUT_AT_FRAME, LARGEST_JOINING_MARK, SAME_FRAME, TEST_LABEL_REACH, TEST_SHAPE};

/// As many pages show writing of one size at one place where it is theirs and not the drawing's.
const LEAST_PAGES: usize = 3;

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

/// Whether writing is a page's own: outside its window, or of the size and at the place of writing on many pages.
pub(super) fn is_page_writing(text: &DrawnText, window: Option<Rect>, pages: &[&DrawnPage]) -> bool {
    let same = |other: &DrawnText| {
        (other.size - text.size).abs() <= SAME_FRAME
            && (other.at.y - text.at.y).abs() <= SAME_FRAME
            && (other.at.x - text.at.x).abs() <= text.size
    };
    let has = |page: &&&DrawnPage| {
        page.things.iter().any(|thing| matches!(&thing.what, Drawn::Text(other) if same(other)))
    };
    window.is_some_and(|window| !window.contains(text.at)) || pages.iter().filter(has).count() >= LEAST_PAGES
}

/// The test square or bar of a page, and the writing that says how long it is, as things of the page.
pub(super) fn test_shape(page: &DrawnPage, at: usize, shapes: &Shapes, window: Option<Rect>) -> Vec<usize> {
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
    for thing in (0..page.things.len()).filter(|thing| shapes.is_furniture(at, *thing) && is_test(*thing)) {
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
