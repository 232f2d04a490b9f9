//! What pages hide: lines outside of the clip around them. Large tiled files draw the whole drawing on each page, and each
//! line is kept once for all pages that hide it.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::{BezPath, PathEl, Point, Rect, Vec2};

use crate::drawing::common::rectangle;
use crate::tolerance::{ON_CLIP, SAME_POINT};

/// By what lines are looked up: how many parts they have, and where some of these end as seen from the first, in hundredths of a
/// millimetre. Of what rounding tells apart two are kept.
type Sign = (usize, [(i64, i64); 3]);

/// Lines of one sign that are told apart; more are kept as often as they are drawn.
const MOST_OF_A_SIGN: usize = 8;

/// The lines that pages hide.
#[derive(Default)]
pub(super) struct HiddenLines(HashMap<Sign, Vec<Arc<BezPath>>>);

impl HiddenLines {
    /// The line kept that another is like, and how far on the other lies.
    pub fn known(&self, line: &BezPath) -> Option<(Arc<BezPath>, Vec2)> {
        let of_sign = self.0.get(&sign(line)?)?;
        of_sign.iter().find_map(|kept| Some((Arc::clone(kept), shift(kept, line)?)))
    }

    /// Keeps a line.
    pub fn keep(&mut self, line: BezPath) -> Arc<BezPath> {
        let sign = sign(&line);
        let line = Arc::new(line);
        if let Some(sign) = sign {
            let of_sign = self.0.entry(sign).or_default();
            if of_sign.len() < MOST_OF_A_SIGN {
                of_sign.push(Arc::clone(&line));
            }
        }
        line
    }
}

fn sign(line: &BezPath) -> Option<Sign> {
    const HUNDREDTHS: f64 = 100.0;
    let elements = line.elements();
    let first = elements.first()?.end_point()?;
    let place = |at: usize| {
        let way = elements[at].end_point().unwrap_or(first) - first;
        ((way.x * HUNDREDTHS).round() as i64, (way.y * HUNDREDTHS).round() as i64)
    };
    let count = elements.len();
    Some((count, [count / 3, count / 2, count * 2 / 3].map(place)))
}

/// How far a line lies from one that is like it.
fn shift(one: &BezPath, other: &BezPath) -> Option<Vec2> {
    let by = other.elements().first()?.end_point()? - one.elements().first()?.end_point()?;
    let near = |a: Point, b: Point| (b - a - by).hypot() <= SAME_POINT;
    let alike = |(one, other): (&PathEl, &PathEl)| match (*one, *other) {
        (PathEl::MoveTo(a), PathEl::MoveTo(b)) | (PathEl::LineTo(a), PathEl::LineTo(b)) => near(a, b),
        (PathEl::QuadTo(a, b), PathEl::QuadTo(c, d)) => near(a, c) && near(b, d),
        (PathEl::CurveTo(a, b, c), PathEl::CurveTo(d, e, f)) => near(a, d) && near(b, e) && near(c, f),
        (PathEl::ClosePath, PathEl::ClosePath) => true,
        _ => false,
    };
    let same = one.elements().len() == other.elements().len();
    (same && one.elements().iter().zip(other.elements()).all(alike)).then_some(by)
}

/// What the clips leave of a page that hide what lies outside of an upright rectangle; none where none does.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Left(Option<Rect>);

impl Left {
    /// What one more clip leaves. One that holds the whole page hides nothing, as what a program keeps beside its page.
    pub fn by(self, clip: &BezPath, page: Rect) -> Left {
        let hides = |rect: &Rect| !rect.inflate(ON_CLIP, ON_CLIP).contains_rect(page);
        match (rectangle(clip).filter(hides), self.0) {
            (Some(rect), Some(left)) => Left(Some(rect.intersect(left))),
            (rect, left) => Left(rect.or(left)),
        }
    }

    /// Whether it leaves nothing of a box.
    pub fn hides(self, bounds: Rect) -> bool {
        self.0.is_some_and(|left| !left.inflate(ON_CLIP, ON_CLIP).overlaps(bounds))
    }
}
