//! Looking for a better place for one item.
//!
//! Places are sampled over the whole cloth and around where the item lies; the best few go downhill by steps along x, y
//! and both diagonals, and within the tolerance of the turn.

use kurbo::{Point, Vec2};

use super::figure::TurnedFigure;
use super::lay::Lay;
use super::prepared::PreparedItem;
use super::random::Random;
use super::ways::ItemPlace;

/// How many places are sampled over the whole cloth.
const ANYWHERE: usize = 40;

/// How many places are sampled around where the item lies.
const AROUND: usize = 20;

/// How many of them go downhill.
const KEPT: usize = 3;

/// How far around an item its places are sampled, as a share of its extents.
const REACH: f64 = 0.35;

/// The share of samples whose turn is not exactly that of the way, where that has a tolerance.
const OFF_TURN: f64 = 0.5;

/// The share of samples that are put against an upright edge within the border, where there is one.
const AT_UPRIGHT: f64 = 0.3;

/// First and last step downhill of a sampled place, as a share of the item's lesser extent.
const COARSE: (f64, f64) = (0.2, 0.02);

/// First and last step downhill of the best place.
const FINE: (f64, f64) = (0.015, 0.0005);

/// The factors of the step after one that led downhill and one that did not.
const STEP: (f64, f64) = (1.1, 0.5);

/// What a search for places needs beside the lay.
#[derive(Clone, Debug)]
pub(super) struct Placer {
    pub random: Random,
    near: Vec<(Point, Point)>,
    scratch: Option<TurnedFigure>,
    /// The best places so far, best first.
    best: Vec<(f64, ItemPlace)>,
    /// How many places were looked at.
    pub looked_at: u64,
}

impl Placer {
    /// One with a generator of its own.
    pub fn new(random: Random) -> Placer {
        Placer { random, near: Vec::new(), scratch: None, best: Vec::new(), looked_at: 0 }
    }

    /// Turns to another item.
    pub fn begin(&mut self) {
        self.scratch = None;
        self.best.clear();
    }

    /// Moves an item to the best place found, if that is better than where it lies.
    pub fn improve(&mut self, lay: &mut Lay, item: usize) {
        self.begin();
        for _ in 0..ANYWHERE {
            if let Some(spot) = self.anywhere(lay, item) {
                self.consider(lay, item, spot);
            }
        }
        for _ in 0..AROUND {
            let spot = self.around(lay, item);
            self.consider(lay, item, spot);
        }
        let extent = lay.prepared.items[item].figure.extent;
        for i in 0..self.best.len() {
            self.best[i] = self.downhill(lay, item, self.best[i], COARSE, extent);
        }
        let Some(best) = self.best.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0)) else { return };
        let (cost, spot) = self.downhill(lay, item, best, FINE, extent);
        if cost < lay.cost(item) {
            lay.put(item, spot);
        }
    }

    /// A place anywhere on the sheets; before projection. None where the way chosen has no room.
    pub fn anywhere(&mut self, lay: &Lay, item: usize) -> Option<ItemPlace> {
        let ready = &lay.prepared.items[item];
        let way = self.some_way(lay, ready);
        let degrees = self.some_turn(ready, way);
        let field = lay.field();
        let [across, along] = {
            let spot = ItemPlace { way, degrees, x: 0.0, y: 0.0 };
            let turned = turned_at(ready, spot, &mut self.scratch);
            ready.ways[way].room(turned, field)?
        };
        let uprights = &field.ground.beds[ready.ways[way].sheet].uprights;
        let x = if !uprights.is_empty() && self.random.share() < AT_UPRIGHT {
            let upright = uprights[self.random.place(uprights.len())];
            let half = ready.turned[way].bounds;
            upright - if self.random.share() < 0.5 { half.x0 } else { half.x1 }
        } else {
            self.random.between(across.0, across.1)
        };
        Some(ItemPlace { way, degrees, x, y: self.random.between(along.0, along.1) })
    }

    /// A way, more often one on a large sheet.
    fn some_way(&mut self, lay: &Lay, ready: &PreparedItem) -> usize {
        let count = ready.ways.len();
        if lay.ends.len() == 1 {
            return self.random.place(count);
        }
        let room = |way: usize| {
            let sheet = ready.ways[way].sheet;
            let bounds = lay.prepared.ground.beds[sheet].bounds;
            bounds.width() * (lay.ends[sheet] - bounds.y0)
        };
        let total: f64 = (0..count).map(room).sum();
        let mut left = self.random.between(0.0, total);
        (0..count)
            .find(|way| {
                left -= room(*way);
                left < 0.0
            })
            .unwrap_or(count - 1)
    }

    fn some_turn(&mut self, ready: &PreparedItem, way: usize) -> f64 {
        let way = &ready.ways[way];
        if way.tolerance > 0.0 && self.random.share() < OFF_TURN {
            way.degrees + self.random.between(-way.tolerance, way.tolerance)
        } else {
            way.degrees
        }
    }

    fn around(&mut self, lay: &Lay, item: usize) -> ItemPlace {
        let here = lay.spots[item];
        let bounds = lay.turned(item).bounds;
        let x = here.x + self.random.between(-REACH, REACH) * bounds.width();
        let y = here.y + self.random.between(-REACH, REACH) * bounds.height();
        ItemPlace { x, y, ..here }
    }

    /// Keeps a place if it is among the best so far.
    fn consider(&mut self, lay: &Lay, item: usize, spot: ItemPlace) {
        let bound = if self.best.len() < KEPT { f64::INFINITY } else { self.best[KEPT - 1].0 };
        let Some((cost, spot)) = self.look(lay, item, spot, bound) else { return };
        let close = lay.prepared.items[item].figure.extent * COARSE.1 * 2.0;
        let twin = self.best.iter().position(|(_, known)| {
            known.way == spot.way && Vec2::new(known.x - spot.x, known.y - spot.y).hypot() < close
        });
        match twin {
            Some(twin) if self.best[twin].0 <= cost => return,
            Some(twin) => {
                self.best.remove(twin);
            }
            None => {}
        }
        let place = self.best.partition_point(|(known, _)| *known <= cost);
        self.best.insert(place, (cost, spot));
        self.best.truncate(KEPT);
    }

    /// The allowed place nearest to a spot.
    pub fn held(&mut self, lay: &Lay, item: usize, spot: ItemPlace) -> Option<ItemPlace> {
        let ready = &lay.prepared.items[item];
        let turned = turned_at(ready, spot, &mut self.scratch);
        ready.ways[spot.way].project(spot, turned, lay.field())
    }

    /// The cost of the allowed place nearest to a spot, if that is under a bound.
    pub fn look(&mut self, lay: &Lay, item: usize, spot: ItemPlace, bound: f64) -> Option<(f64, ItemPlace)> {
        let ready = &lay.prepared.items[item];
        let turned = turned_at(ready, spot, &mut self.scratch);
        let spot = ready.ways[spot.way].project(spot, turned, lay.field())?;
        self.looked_at += 1;
        let cost = lay.cost_at(item, turned, spot, bound, &mut self.near);
        (cost < bound).then_some((cost, spot))
    }

    fn downhill(
        &mut self,
        lay: &Lay,
        item: usize,
        start: (f64, ItemPlace),
        (first, last): (f64, f64),
        extent: f64,
    ) -> (f64, ItemPlace) {
        let tolerance = lay.prepared.items[item].ways[start.1.way].tolerance;
        let (mut cost, mut spot) = start;
        let mut step = first * extent;
        while step > last * extent && cost > 0.0 {
            let turn = step / (first * extent) * tolerance;
            let better = self
                .neighbours(lay, item, spot, step, turn)
                .into_iter()
                .filter(|next| *next != spot)
                .filter_map(|next| self.look(lay, item, next, cost))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            step *= if better.is_some() { STEP.0 } else { STEP.1 };
            (cost, spot) = better.unwrap_or((cost, spot));
        }
        (cost, spot)
    }

    /// Two opposite steps along a random axis.
    fn neighbours(
        &mut self,
        lay: &Lay,
        item: usize,
        spot: ItemPlace,
        step: f64,
        turn: f64,
    ) -> [ItemPlace; 2] {
        let way = &lay.prepared.items[item].ways[spot.way];
        let axes = if turn > 0.0 { 5 } else { 4 };
        let axis = if way.is_free_across() { self.random.place(axes) } else { 1 };
        let (x, y) = match axis {
            0 => (step, 0.0),
            1 => (0.0, step),
            2 => (step * std::f64::consts::FRAC_1_SQRT_2, step * std::f64::consts::FRAC_1_SQRT_2),
            3 => (step * std::f64::consts::FRAC_1_SQRT_2, -step * std::f64::consts::FRAC_1_SQRT_2),
            _ => {
                let turned = |by: f64| {
                    let degrees = spot.degrees + by;
                    let degrees = degrees.clamp(way.degrees - way.tolerance, way.degrees + way.tolerance);
                    ItemPlace { degrees, ..spot }
                };
                return [turned(turn), turned(-turn)];
            }
        };
        [
            ItemPlace { x: spot.x + x, y: spot.y + y, ..spot },
            ItemPlace { x: spot.x - x, y: spot.y - y, ..spot },
        ]
    }
}

/// The figure of an item at the turn of a spot.
fn turned_at<'a>(
    ready: &'a PreparedItem,
    spot: ItemPlace,
    scratch: &'a mut Option<TurnedFigure>,
) -> &'a TurnedFigure {
    let exact = &ready.turned[spot.way];
    if exact.degrees == spot.degrees {
        return exact;
    }
    let scratch = scratch.get_or_insert_with(|| exact.clone());
    if scratch.degrees != spot.degrees {
        ready.figure.turn_into(spot.degrees, scratch);
    }
    scratch
}
