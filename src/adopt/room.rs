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

    /// Its four corners.
    pub fn corners(&self) -> [Point; 4] {
        let down = right_of(self.along) * (self.height / 2.0);
        let along = self.along * (self.width / 2.0);
        [-along - down, along - down, along + down, -along + down].map(|way| self.middle + way)
    }

    /// The place on it nearest to another.
    pub fn nearest(&self, at: Point) -> Point {
        let (off, down) = (at - self.middle, right_of(self.along));
        let along = off.dot(self.along).clamp(-self.width / 2.0, self.width / 2.0);
        let across = off.dot(down).clamp(-self.height / 2.0, self.height / 2.0);
        self.middle + self.along * along + down * across
    }

    /// Whether two labels lie on one another: no straight line passes between them.
    fn laps(&self, other: &Slot) -> bool {
        let (own, others) = (self.corners(), other.corners());
        let axes = [self.along, right_of(self.along), other.along, right_of(other.along)];
        axes.iter().all(|axis| {
            let span = |corners: &[Point; 4]| {
                let along = corners.map(|corner| corner.to_vec2().dot(*axis));
                (along.into_iter().fold(f64::INFINITY, f64::min), along.into_iter().fold(f64::MIN, f64::max))
            };
            let ((from, to), (other_from, other_to)) = (span(&own), span(&others));
            from < other_to && other_from < to
        })
    }

    /// The same label at places around a point, further and further away, read from left to right.
    fn around(self, at: Point) -> impl Iterator<Item = Slot> {
        /// Directions at each distance.
        const WAYS: u32 = 16;
        /// How much further away it is tried next, as a share of its height.
        const STEP: f64 = 1.2;
        /// How often.
        const TRIED: u32 = 80;
        (1..=TRIED).flat_map(move |step| {
            (0..WAYS).map(move |way| {
                let way = Vec2::from_angle(std::f64::consts::TAU * f64::from(way) / f64::from(WAYS));
                let off =
                    way * (STEP * self.height * f64::from(step)) + Vec2::new(way.x * self.width / 2.0, 0.0);
                Slot::level(at + off, self.width, self.height)
            })
        })
    }
}

/// What is taken by lines and labels.
#[derive(Debug)]
pub(super) struct TakenRoom {
    /// Side of a cell, mm.
    cell: f64,
    /// How many places may still be tried.
    tries_left: usize,
    /// Places on lines.
    cells: HashMap<(i64, i64), Vec<Point>>,
    points: usize,
    labels: Vec<Slot>,
    /// The labels that reach into a cell.
    labelled: HashMap<(i64, i64), Vec<usize>>,
}

/// What a label would lie on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Under {
    Nothing,
    /// On so many places of lines.
    Lines(usize),
    /// On another label: neither could be read.
    Label,
}

impl TakenRoom {
    /// Cells on the height of a label.
    const CELLS_HIGH: f64 = 1.0;

    /// Places that are tried at most for all labels together, a microsecond or two each.
    const MOST_TRIES: usize = 60_000;

    /// Places that are kept at most: more are no drawing that figures could be read on.
    const MOST: usize = 400_000;

    /// Hits after which it is all the same how many more there are.
    const MANY: usize = 60;

    /// Room for labels of which the least is so high, mm.
    pub fn for_labels(least: f64) -> TakenRoom {
        TakenRoom {
            cell: least / TakenRoom::CELLS_HIGH,
            tries_left: TakenRoom::MOST_TRIES,
            cells: HashMap::new(),
            points: 0,
            labels: Vec::new(),
            labelled: HashMap::new(),
        }
    }

    /// Places of lines that are looked at under one label: where there are more it lies on many.
    const MOST_LOOKED_AT: usize = 1_000;

    fn cell(&self, value: f64) -> i64 {
        (value / self.cell).floor() as i64
    }

    fn cells_of(&self, slot: &Slot) -> impl Iterator<Item = (i64, i64)> + use<> {
        let about = slot.bounds();
        let across = self.cell(about.x0)..=self.cell(about.x1);
        let down = self.cell(about.y0)..=self.cell(about.y1);
        across.flat_map(move |x| down.clone().map(move |y| (x, y)))
    }

    fn take(&mut self, at: Point) {
        if self.points < TakenRoom::MOST {
            self.points += 1;
            self.cells.entry((self.cell(at.x), self.cell(at.y))).or_default().push(at);
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
    fn take_slot(&mut self, slot: Slot) -> Slot {
        for cell in self.cells_of(&slot) {
            self.labelled.entry(cell).or_default().push(self.labels.len());
        }
        self.labels.push(slot);
        slot
    }

    fn under(&self, slot: &Slot) -> Under {
        let mut labels = self.cells_of(slot).filter_map(|cell| self.labelled.get(&cell)).flatten();
        if labels.any(|at| self.labels[*at].laps(slot)) {
            return Under::Label;
        }
        let taken = self.cells_of(slot).filter_map(|cell| self.cells.get(&cell)).flatten();
        match taken
            .take(TakenRoom::MOST_LOOKED_AT)
            .filter(|at| slot.holds(**at))
            .take(TakenRoom::MANY)
            .count()
        {
            0 => Under::Nothing,
            hits => Under::Lines(hits),
        }
    }

    /// Whether any line passes so near to a place.
    pub fn is_anything_within(&self, at: Point, reach: f64) -> bool {
        let around = self.cells_of(&Slot::level(at, 2.0 * reach, 2.0 * reach));
        let near = around.filter_map(|cell| self.cells.get(&cell)).flatten();
        near.take(TakenRoom::MOST_LOOKED_AT).any(|place| place.distance(at) < reach)
    }

    /// Takes the first of several slots that is free; else the nearest free one around a place; else that which lies on
    /// the fewest lines. A label never lies on another while there is any room around.
    pub fn place(&mut self, slots: &[Slot], like: Slot, around: Point) -> Slot {
        let mut best = (Under::Label, slots.first().copied().unwrap_or(like));
        for slot in slots.iter().copied().chain(like.around(around)) {
            let Some(left) = self.tries_left.checked_sub(1) else { break };
            self.tries_left = left;
            let under = self.under(&slot);
            if under < best.0 {
                best = (under, slot);
            }
            if under == Under::Nothing {
                break;
            }
        }
        self.take_slot(best.1)
    }

    /// Takes a slot, whatever it lies on.
    pub fn place_anyhow(&mut self, slot: Slot) -> Slot {
        self.take_slot(slot)
    }
}
