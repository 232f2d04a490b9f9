//! A lay in the making: where every item lies, which overlap, and how much each overlap weighs.

use std::sync::Arc;

use kurbo::{Point, Vec2};

use super::figure::TurnedFigure;
use super::polygon::Bounds;
use super::prepared::Prepared;
use super::random::Random;
use super::ways::{AllowedWay, ItemPlace, Surroundings};

/// Greatest factor by which the weight of an overlap grows in one pass, and the least; the deepest grows most.
const GROWTH: (f64, f64) = (1.2, 2.0);

/// The factor by which the weight of a pair that lies apart shrinks in one pass, down to 1.
const DECAY: f64 = 0.95;

/// A lay in the making.
#[derive(Clone, Debug)]
pub(super) struct Lay<'a> {
    pub prepared: &'a Prepared,
    /// For each sheet, the y at which the lay ends.
    pub ends: Vec<f64>,
    /// For each group of lines that lie together, the coordinate of one.
    pub together: Vec<f64>,
    pub spots: Vec<ItemPlace>,
    /// How much unlikeness of one at a joint costs beside overlaps.
    pub pull: f64,
    turned: Vec<Arc<TurnedFigure>>,
    /// Boxes of the clearances.
    boxes: Vec<Bounds>,
    /// One row for each item: what it overlaps each item, each obstacle, and the slopes of its sheet.
    overlaps: Vec<f64>,
    weights: Vec<f64>,
    columns: usize,
    near: Vec<(Point, Point)>,
}

/// What is needed to come back to a lay.
#[derive(Clone, Debug)]
pub(super) struct Saved {
    pub ends: Vec<f64>,
    pub together: Vec<f64>,
    pub spots: Vec<ItemPlace>,
    /// The sum of its overlaps.
    pub overlap: f64,
}

impl<'a> Lay<'a> {
    /// A saved lay, with all weights 1.
    pub fn of(prepared: &'a Prepared, saved: &Saved) -> Lay<'a> {
        let count = prepared.count();
        let columns = count + prepared.ground.obstacles.len() + 1;
        let mut lay = Lay {
            prepared,
            ends: saved.ends.clone(),
            together: saved.together.clone(),
            spots: saved.spots.clone(),
            pull: 0.0,
            turned: Vec::with_capacity(count),
            boxes: Vec::with_capacity(count),
            overlaps: vec![0.0; count * columns],
            weights: vec![1.0; count * columns],
            columns,
            near: Vec::new(),
        };
        for (item, spot) in saved.spots.iter().enumerate() {
            let turned = Arc::new(prepared.items[item].figure.turned(spot.degrees));
            lay.boxes.push(turned.apart.bounds.moved(spot.x, spot.y));
            lay.turned.push(turned);
        }
        lay.measure_all();
        lay
    }

    /// What is needed to come back here.
    pub fn save(&self) -> Saved {
        Saved {
            ends: self.ends.clone(),
            together: self.together.clone(),
            spots: self.spots.clone(),
            overlap: self.overlap(),
        }
    }

    /// Comes back to a saved lay; weights stay.
    pub fn restore(&mut self, saved: &Saved) {
        self.ends.clone_from(&saved.ends);
        self.together.clone_from(&saved.together);
        for item in 0..self.spots.len() {
            if self.spots[item] != saved.spots[item] {
                self.set(item, saved.spots[item]);
            }
        }
        self.measure_all();
    }

    /// Where places are looked for.
    pub fn field(&self) -> Surroundings<'_> {
        Surroundings { ground: &self.prepared.ground, ends: &self.ends, together: &self.together }
    }

    /// The way that an item lies.
    pub fn way(&self, item: usize) -> &'a AllowedWay {
        &self.prepared.items[item].ways[self.spots[item].way]
    }

    /// The figure of an item as it lies.
    pub fn turned(&self, item: usize) -> &TurnedFigure {
        &self.turned[item]
    }

    /// The sum of all overlaps, each once.
    pub fn overlap(&self) -> f64 {
        let count = self.spots.len();
        (0..count).map(|item| self.row(item)[item + 1..].iter().sum::<f64>()).sum()
    }

    /// The items that overlap something.
    pub fn colliding(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.spots.len()).filter(|item| self.collides(*item))
    }

    /// Whether an item overlaps something where it lies.
    pub fn collides(&self, item: usize) -> bool {
        self.row(item).iter().any(|overlap| *overlap > 0.0)
    }

    /// The weighted sum of what an item overlaps where it lies, and of how unlike it looks at its joints.
    pub fn cost(&self, item: usize) -> f64 {
        let weights = &self.weights[item * self.columns..][..self.columns];
        let overlaps: f64 =
            self.row(item).iter().zip(weights).map(|(overlap, weight)| overlap * weight).sum();
        overlaps + self.pulled(item, self.spots[item])
    }

    /// What unlikeness costs at a spot.
    fn pulled(&self, item: usize, spot: ItemPlace) -> f64 {
        if self.pull > 0.0 { self.pull * self.unlike_at(item, spot, &|_| true) } else { 0.0 }
    }

    /// Makes every overlap cost more than any unlikeness.
    pub fn forbid_overlap(&mut self) {
        /// An overlap of a thousandth then costs as much as the greatest differences of colour of all joints of an item.
        const FORBIDDING: f64 = 1e8;
        self.weights.fill(FORBIDDING);
    }

    /// What an item would cost at a spot, as [`Lay::cost`]; infinite as soon as it is known to reach `bound`.
    pub fn cost_at(
        &self,
        item: usize,
        turned: &TurnedFigure,
        spot: ItemPlace,
        bound: f64,
        near: &mut Vec<(Point, Point)>,
    ) -> f64 {
        let weights = &self.weights[item * self.columns..][..self.columns];
        let own = turned.apart.bounds.moved(spot.x, spot.y);
        let place = Vec2::new(spot.x, spot.y);
        let mut cost = self.pulled(item, spot);
        if cost >= bound {
            return f64::INFINITY;
        }
        for (other, bounds) in self.boxes.iter().enumerate() {
            if own.overlaps(*bounds) && other != item {
                let there = self.spots[other];
                let shift = Vec2::new(there.x - place.x, there.y - place.y);
                let enough = (bound - cost) / weights[other];
                cost += weights[other] * turned.overlap(&self.turned[other], shift, enough, near);
                if cost >= bound {
                    return f64::INFINITY;
                }
            }
        }
        let body = turned.bounds.moved(spot.x, spot.y);
        let count = self.spots.len();
        for (i, obstacle) in self.prepared.ground.obstacles.iter().enumerate() {
            if body.overlaps(obstacle.bounds) {
                cost +=
                    weights[count + i] * turned.over_obstacle(&obstacle.shape, obstacle.place - place, near);
            }
        }
        cost += weights[self.columns - 1] * self.over_slopes(item, turned, spot);
        if cost >= bound { f64::INFINITY } else { cost }
    }

    fn over_slopes(&self, item: usize, turned: &TurnedFigure, spot: ItemPlace) -> f64 {
        let ready = &self.prepared.items[item];
        let bed = &self.prepared.ground.beds[ready.ways[spot.way].sheet];
        let depth = bed.over_slopes(turned, Vec2::new(spot.x, spot.y));
        if depth > 0.0 && depth.is_finite() { turned.over_border(depth, ready.figure.extent) } else { 0.0 }
    }

    /// Moves an item to a spot.
    pub fn put(&mut self, item: usize, spot: ItemPlace) {
        self.set(item, spot);
        self.measure(item);
    }

    fn set(&mut self, item: usize, spot: ItemPlace) {
        if self.turned[item].degrees != spot.degrees {
            self.turned[item] = Arc::new(self.prepared.items[item].figure.turned(spot.degrees));
        }
        self.spots[item] = spot;
        self.boxes[item] = self.turned[item].apart.bounds.moved(spot.x, spot.y);
    }

    fn row(&self, item: usize) -> &[f64] {
        &self.overlaps[item * self.columns..][..self.columns]
    }

    fn measure_all(&mut self) {
        for item in 0..self.spots.len() {
            self.measure(item);
        }
    }

    /// Works out anew what an item overlaps.
    fn measure(&mut self, item: usize) {
        let mut near = std::mem::take(&mut self.near);
        let (count, columns) = (self.spots.len(), self.columns);
        let turned = self.turned[item].clone();
        let spot = self.spots[item];
        let place = Vec2::new(spot.x, spot.y);
        for other in 0..count {
            let there = self.spots[other];
            let shift = Vec2::new(there.x - place.x, there.y - place.y);
            let overlap = if other != item && self.boxes[item].overlaps(self.boxes[other]) {
                turned.overlap(&self.turned[other], shift, f64::INFINITY, &mut near)
            } else {
                0.0
            };
            self.overlaps[item * columns + other] = overlap;
            self.overlaps[other * columns + item] = overlap;
        }
        let body = turned.bounds.moved(spot.x, spot.y);
        for (i, obstacle) in self.prepared.ground.obstacles.iter().enumerate() {
            self.overlaps[item * columns + count + i] = if body.overlaps(obstacle.bounds) {
                turned.over_obstacle(&obstacle.shape, obstacle.place - place, &mut near)
            } else {
                0.0
            };
        }
        self.overlaps[(item + 1) * columns - 1] = self.over_slopes(item, &turned, spot);
        self.near = near;
    }

    /// Makes overlaps that are still there weigh more, and pairs that lie apart less.
    pub fn weigh(&mut self) {
        let deepest = self.overlaps.iter().copied().fold(0.0, f64::max);
        for (weight, overlap) in self.weights.iter_mut().zip(&self.overlaps) {
            *weight = if *overlap > 0.0 {
                *weight * (GROWTH.0 + (GROWTH.1 - GROWTH.0) * overlap / deepest)
            } else {
                (*weight * DECAY).max(1.0)
            };
        }
    }

    /// The y at which the items on a sheet end; the sheet's beginning where there are none.
    pub fn used_to(&self, sheet: usize) -> f64 {
        (0..self.spots.len())
            .filter(|item| self.way(*item).sheet == sheet)
            .map(|item| self.turned[item].bounds.y1 + self.spots[item].y)
            .fold(self.prepared.ground.beds[sheet].bounds.y0, f64::max)
    }

    /// The length used on all sheets together.
    pub fn length(&self) -> f64 {
        let beds = &self.prepared.ground.beds;
        (0..beds.len()).map(|sheet| self.used_to(sheet) - beds[sheet].bounds.y0).sum()
    }

    /// Ends every sheet where its items end.
    pub fn tighten(&mut self) {
        for sheet in 0..self.ends.len() {
            self.ends[sheet] = self.used_to(sheet);
        }
    }

    /// Ends a sheet sooner by a length: what lies beyond a random cut moves up by as much, and what then reaches over
    /// the end moves before it or, where there is no room, onto another sheet. False where an item finds no place.
    pub fn shorten(&mut self, sheet: usize, by: f64, random: &mut Random) -> bool {
        let start = self.prepared.ground.beds[sheet].bounds.y0;
        let cut = random.between(start, self.ends[sheet]);
        self.ends[sheet] = (self.ends[sheet] - by).max(start);
        for (line, choice) in self.together.iter_mut().zip(&self.prepared.groups.choices) {
            *line = choice.moved_up(*line, cut, by);
        }
        for item in 0..self.spots.len() {
            if self.way(item).sheet == sheet {
                let spot = self.spots[item];
                let y = if spot.y > cut { spot.y - by } else { spot.y };
                let Some(spot) = self.allowed(item, ItemPlace { y, ..spot }, random) else { return false };
                self.set(item, spot);
            }
        }
        self.measure_all();
        true
    }

    /// The nearest place that the rules allow; on another way where the spot's own has none.
    pub fn allowed(&self, item: usize, spot: ItemPlace, random: &mut Random) -> Option<ItemPlace> {
        let ready = &self.prepared.items[item];
        let turned = ready.figure.turned(spot.degrees);
        if let Some(spot) = ready.ways[spot.way].project(spot, &turned, self.field()) {
            return Some(spot);
        }
        let start = random.place(ready.ways.len());
        (0..ready.ways.len()).map(|i| (start + i) % ready.ways.len()).find_map(|way| {
            let turned = &ready.turned[way];
            let [across, along] = ready.ways[way].room(turned, self.field())?;
            let (x, y) = (random.between(across.0, across.1), random.between(along.0, along.1));
            ready.ways[way].project(ItemPlace { way, degrees: turned.degrees, x, y }, turned, self.field())
        })
    }

    /// Chooses the lines of a group anew and moves what follows them; nothing changes where an item then has no place.
    pub fn shift_group(&mut self, group: usize, random: &mut Random) {
        let before = self.together[group];
        let used = self.ends.iter().copied().fold(0.0, f64::max);
        self.together[group] = self.prepared.groups.choices[group].choose(random, used);
        let followers: Vec<usize> = (0..self.spots.len())
            .filter(|item| self.way(*item).groups().any(|followed| followed == group))
            .collect();
        let moved: Option<Vec<ItemPlace>> =
            followers.iter().map(|item| self.allowed(*item, self.spots[*item], random)).collect();
        match moved {
            Some(moved) => followers.into_iter().zip(moved).for_each(|(item, spot)| self.put(item, spot)),
            None => self.together[group] = before,
        }
    }
}
