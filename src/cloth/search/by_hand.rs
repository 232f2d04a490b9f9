//! An item moved by hand: the nearest place to the hand where nothing lies over anything.
//!
//! What is legal is what the search itself goes by: places are projected onto the rules of the item, and tried against all
//! others as the search tries them. Around a place that is taken, rings of places are tried outward; the free ones that are
//! found first then go back toward the hand, and along what they meet, as far as they stay free.

use kurbo::{Point, Vec2};

use super::figure::TurnedFigure;
use super::ground::SHEETS_APART;
use super::lay::{Lay, Saved};
use super::prepared::Prepared;
use super::problem::{Pose, Problem};
use super::sound::{BadProblem, check};
use super::turning::TurnAboutOrigin;
use super::ways::ItemPlace;
use crate::tolerance::{SETTLED, SETTLED_FIRST_RING};

/// Each ring is so many times as wide as the one before.
const WIDER: f64 = 1.3;

/// How many places of a ring are tried.
const ROUND: usize = 24;

/// How many free places go back toward the hand.
const TRIED_ON: usize = 4;

/// Items that are moved by hand, made ready once for many moves.
#[derive(Clone, Debug)]
pub struct ByHand {
    prepared: Prepared,
}

impl ByHand {
    /// Makes the items of a problem ready.
    ///
    /// # Errors
    ///
    /// [`BadProblem`] where a polygon, turn or reference of the problem makes no sense.
    pub fn new(problem: &Problem) -> Result<ByHand, BadProblem> {
        check(problem)?;
        Ok(ByHand { prepared: Prepared::new(problem) })
    }

    /// A place near a wanted one where an item keeps all rules and lies over nothing while the others lie as they do: the
    /// nearest that rings of places around it lead to, to within [`SETTLED`]. A gap between others that all places of a ring
    /// miss is not found: in a tenth of random cases at the most there is a nearer one. None where it may not lie on that sheet at that turn, or has no room there.
    #[must_use]
    pub fn settle(&self, poses: &[Pose], item: usize, wanted: Pose) -> Option<Pose> {
        let spots = poses.iter().enumerate().map(|(item, pose)| self.spot(item, *pose));
        let spots = spots.collect::<Option<Vec<ItemPlace>>>()?;
        let wanted = self.spot(item, wanted)?;
        let ends = self.prepared.ground.beds.iter().map(|bed| bed.bounds.y1).collect();
        let together = vec![0.0; self.prepared.groups.choices.len()];
        let lay = Lay::of(&self.prepared, &Saved { ends, together, spots, overlap: 0.0 });
        let turned = self.prepared.items[item].figure.turned(wanted.degrees);
        let mut hand = ItemInHand { lay: &lay, item, turned: &turned, near: Vec::new() };
        let found = hand.settled(wanted)?;
        Some(self.prepared.pose(item, found))
    }

    /// A pose in the coordinates of the search; none where the item may not lie on its sheet at its turn.
    fn spot(&self, item: usize, pose: Pose) -> Option<ItemPlace> {
        let ready = self.prepared.items.get(item)?;
        let way = ready.ways.iter().position(|way| way.sheet == pose.sheet && way.turn == pose.turn)?;
        let middle = TurnAboutOrigin::new(pose.degrees).turn(ready.figure.middle);
        let x = pose.x + pose.sheet as f64 * SHEETS_APART + middle.x;
        Some(ItemPlace { way, degrees: pose.degrees, x, y: pose.y + middle.y })
    }
}

/// An item in the hand.
struct ItemInHand<'a> {
    lay: &'a Lay<'a>,
    item: usize,
    turned: &'a TurnedFigure,
    near: Vec<(Point, Point)>,
}

impl ItemInHand<'_> {
    /// The place that the rules give a spot, if it is free there.
    fn free(&mut self, spot: ItemPlace) -> Option<ItemPlace> {
        let way = &self.lay.prepared.items[self.item].ways[spot.way];
        let spot = way.project(spot, self.turned, self.lay.field())?;
        let cost = self.lay.cost_at(self.item, self.turned, spot, f64::MIN_POSITIVE, &mut self.near);
        (cost <= 0.0).then_some(spot)
    }

    fn settled(&mut self, wanted: ItemPlace) -> Option<ItemPlace> {
        let way = &self.lay.prepared.items[self.item].ways[wanted.way];
        let wanted = way.project(wanted, self.turned, self.lay.field())?;
        if let Some(free) = self.free(wanted) {
            return Some(free);
        }
        let bed = self.lay.prepared.ground.beds[way.sheet].bounds;
        let farthest = bed.width() + bed.height();
        let mut radius = SETTLED_FIRST_RING;
        while radius < farthest {
            let ring: Vec<ItemPlace> = round(radius).filter_map(|by| self.free(moved(wanted, by))).collect();
            let each = ring.len().div_ceil(TRIED_ON).max(1);
            let nearest = ring.iter().step_by(each).map(|free| self.drawn_back(*free, wanted, radius));
            let nearest = nearest.min_by(|a, b| distance(*a, wanted).total_cmp(&distance(*b, wanted)));
            if nearest.is_some() {
                return nearest;
            }
            radius *= WIDER;
        }
        None
    }

    /// From a free place as near to the wanted one as it goes: straight toward it, then along what stands in the way.
    fn drawn_back(&mut self, free: ItemPlace, wanted: ItemPlace, radius: f64) -> ItemPlace {
        let mut best = self.toward(free, wanted);
        let mut step = radius / 2.0;
        while step > SETTLED {
            let before = distance(best, wanted);
            let aside = round(step).filter_map(|by| self.free(moved(best, by)));
            let nearest = aside.min_by(|a, b| distance(*a, wanted).total_cmp(&distance(*b, wanted)));
            match nearest.filter(|place| distance(*place, wanted) < before - SETTLED / 2.0) {
                Some(nearer) => best = self.toward(nearer, wanted),
                None => step /= 2.0,
            }
        }
        best
    }

    /// The farthest place on the straight way from a free place to the wanted one up to which it is free, by halving.
    fn toward(&mut self, free: ItemPlace, wanted: ItemPlace) -> ItemPlace {
        let (mut best, mut beyond) = (free, wanted);
        while distance(best, beyond) > SETTLED / 4.0 {
            let middle = moved(best, Vec2::new(beyond.x - best.x, beyond.y - best.y) / 2.0);
            match self.free(middle) {
                Some(nearer) if distance(nearer, wanted) < distance(best, wanted) => best = nearer,
                _ => beyond = middle,
            }
        }
        best
    }
}

fn round(radius: f64) -> impl Iterator<Item = Vec2> {
    let angle = |i: usize| i as f64 / ROUND as f64 * std::f64::consts::TAU;
    (0..ROUND).map(move |i| Vec2::from_angle(angle(i)) * radius)
}

fn moved(spot: ItemPlace, by: Vec2) -> ItemPlace {
    ItemPlace { x: spot.x + by.x, y: spot.y + by.y, ..spot }
}

fn distance(a: ItemPlace, b: ItemPlace) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}
