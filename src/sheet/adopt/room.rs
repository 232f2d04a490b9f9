//! Room for labels in the picture: where a figure lies on no line and on no other figure.

use std::collections::HashMap;

use kurbo::{Point, Rect, Vec2};

use crate::curve::{Curve, right_of};

/// The place of a label: its middle, the unit direction in which it is read, how wide and high it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Slot {
    pub middle: Point,
    pub along: Vec2,
    pub width: f64,
    pub height: f64,
}

impl Slot {
    /// One that is read from left to right.
    pub fn level(middle: Point, width: f64, height: f64) -> Slot {
        Slot { middle, along: Vec2::new(1.0, 0.0), width, height }
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Rect {
        let down = right_of(self.along);
        let half =
            |way: fn(Vec2) -> f64| (way(self.along).abs() * self.width + way(down).abs() * self.height) / 2.0;
        let (x, y) = (half(|way| way.x), half(|way| way.y));
        Rect::new(self.middle.x - x, self.middle.y - y, self.middle.x + x, self.middle.y + y)
    }

    fn holds(&self, at: Point) -> bool {
        let off = at - self.middle;
        off.dot(self.along).abs() <= self.width / 2.0 && off.cross(self.along).abs() <= self.height / 2.0
    }

    /// Places all over it, so near to each other that no other label fits between.
    fn places(self) -> impl Iterator<Item = Point> {
        let down = right_of(self.along);
        let steps = (2.0 * self.width / self.height).ceil().clamp(1.0, 40.0);
        let across = (0..=steps as u32).map(move |step| f64::from(step) / steps - 0.5);
        across.flat_map(move |share| {
            [-0.5, 0.0, 0.5]
                .map(|lower| self.middle + share * self.width * self.along + lower * self.height * down)
        })
    }
}

/// What is taken by lines and labels.
#[derive(Debug, Default)]
pub(super) struct TakenRoom {
    cells: HashMap<(i64, i64), Vec<Point>>,
    points: usize,
}

impl TakenRoom {
    /// Side of a cell, mm.
    const CELL: f64 = 8.0;

    /// Places that are kept at most: more are no drawing that figures could be read on.
    const MOST: usize = 400_000;

    /// Hits after which it is all the same how many more there are.
    const MANY: usize = 60;

    fn cell(value: f64) -> i64 {
        (value / TakenRoom::CELL).floor() as i64
    }

    fn take(&mut self, at: Point) {
        if self.points < TakenRoom::MOST {
            self.points += 1;
            self.cells.entry((TakenRoom::cell(at.x), TakenRoom::cell(at.y))).or_default().push(at);
        }
    }

    /// A line is drawn.
    pub fn take_line(&mut self, line: &Curve, step: f64) {
        /// Places on one line at most.
        const MOST: f64 = 2_000.0;
        let count = (line.length() / step).ceil().clamp(1.0, MOST);
        (0..=count as u32).for_each(|at| self.take(line.point_at(line.length() * f64::from(at) / count)));
    }

    /// A label is written.
    pub fn take_slot(&mut self, slot: Slot) {
        slot.places().for_each(|at| self.take(at));
    }

    /// How much of what is taken a label would lie on.
    fn hits(&self, slot: &Slot) -> usize {
        let about = slot.bounds();
        let across = TakenRoom::cell(about.x0)..=TakenRoom::cell(about.x1);
        let down = TakenRoom::cell(about.y0)..=TakenRoom::cell(about.y1);
        let cells = across.flat_map(|x| down.clone().map(move |y| (x, y)));
        let taken = cells.filter_map(|cell| self.cells.get(&cell)).flatten();
        taken.filter(|at| slot.holds(**at)).take(TakenRoom::MANY).count()
    }

    /// The first of several slots that is free, else the one that lies on least; it is taken.
    pub fn best(&mut self, slots: impl IntoIterator<Item = Slot>) -> Option<Slot> {
        let mut best: Option<(usize, Slot)> = None;
        for slot in slots {
            let hits = self.hits(&slot);
            if best.is_none_or(|(least, _)| hits < least) {
                best = Some((hits, slot));
            }
            if hits == 0 {
                break;
            }
        }
        let (_, slot) = best?;
        self.take_slot(slot);
        Some(slot)
    }
}
