//! What was taken from pages that are placed, so that what stands on two of them is taken once.

use std::collections::HashMap;

use kurbo::Point;

use super::shapes::ShapeId;
use crate::tolerance::SAME_FRAME;

/// Shapes that were taken, each with its page and its place on the sheet.
#[derive(Debug, Default)]
pub(super) struct ShapesSeen(HashMap<(ShapeId, i64, i64), Vec<(usize, Point)>>);

impl ShapesSeen {
    fn cell(at: Point) -> (i64, i64) {
        ((at.x / SAME_FRAME).floor() as i64, (at.y / SAME_FRAME).floor() as i64)
    }

    pub fn add(&mut self, id: ShapeId, page: usize, at: Point) {
        let (x, y) = ShapesSeen::cell(at);
        self.0.entry((id, x, y)).or_default().push((page, at));
    }

    /// How far the same shape of another page lies from a place, where one lies there.
    pub fn nearest(&self, id: ShapeId, page: usize, at: Point) -> Option<f64> {
        let (x, y) = ShapesSeen::cell(at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (id, x + dx, y + dy)));
        let near = around.filter_map(|cell| self.0.get(&cell)).flatten().filter(|(other, _)| *other != page);
        near.map(|(_, other)| other.distance(at)).filter(|off| *off <= SAME_FRAME).reduce(f64::min)
    }
}

/// Writing that was taken, with its place on the sheet.
#[derive(Debug, Default)]
pub(super) struct Written(HashMap<(String, i64, i64), Vec<Point>>);

impl Written {
    /// How large the cells are by which it is looked up, mm: as far as one text lies from itself at most.
    pub const CELL: f64 = 1.0;

    /// Whether words were not taken as near as that before; they are now.
    pub fn is_new(&mut self, words: &str, at: Point, within: f64) -> bool {
        let (x, y) = ((at.x / Written::CELL).floor() as i64, (at.y / Written::CELL).floor() as i64);
        let mut around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let is_near = |(x, y)| {
            let known = self.0.get(&(words.to_owned(), x, y));
            known.is_some_and(|places| places.iter().any(|other| other.distance(at) <= within))
        };
        if around.any(is_near) {
            return false;
        }
        self.0.entry((words.to_owned(), x, y)).or_default().push(at);
        true
    }
}
