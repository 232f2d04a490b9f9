//! How unlike the sheets look where items are joined, as they lie.

use kurbo::{Point, Vec2};

use super::ground::SHEETS_APART;
use super::lay::Lay;
use super::likeness::{ShadeGrid, Shades};
use super::turning::TurnAboutOrigin;
use super::ways::ItemPlace;

/// Where an item lies, for places on it.
struct OnSheet<'a> {
    turning: TurnAboutOrigin,
    shift: Vec2,
    middle: Vec2,
    grid: &'a ShadeGrid,
}

impl OnSheet<'_> {
    fn shade(&self, place: Point) -> Option<u16> {
        self.grid.at(self.turning.turn(place - self.middle) + self.shift)
    }
}

impl Lay<'_> {
    fn on_sheet<'l>(&self, item: usize, spot: ItemPlace, likeness: &'l Shades) -> Option<OnSheet<'l>> {
        let ready = &self.prepared.items[item];
        let sheet = ready.ways[spot.way].sheet;
        let grid = likeness.grids.get(sheet)?;
        Some(OnSheet {
            turning: TurnAboutOrigin::new(spot.degrees),
            shift: Vec2::new(spot.x - sheet as f64 * SHEETS_APART, spot.y),
            middle: ready.figure.middle.to_vec2(),
            grid,
        })
    }

    /// How unlike the sheet looks at the joints of an item, were it at a spot, summed with their weights; of those
    /// with items that pass a test.
    pub fn unlike_at(&self, item: usize, spot: ItemPlace, counts: &dyn Fn(usize) -> bool) -> f64 {
        let Some(likeness) = &self.prepared.likeness else { return 0.0 };
        let Some(own) = self.on_sheet(item, spot, likeness) else { return 0.0 };
        let joints = self.prepared.joints_of[item].iter().map(|joint| &likeness.joints[*joint]);
        let mut sum = 0.0;
        for joint in joints {
            let side = usize::from(joint.items[0] != item);
            let other = joint.items[1 - side];
            let there = if other == item { Some(spot) } else { counts(other).then(|| self.spots[other]) };
            let Some(there) = there.and_then(|there| self.on_sheet(other, there, likeness)) else { continue };
            let differences = joint
                .places
                .iter()
                .map(|places| likeness.table.between(own.shade(places[side]), there.shade(places[1 - side])));
            sum += joint.weight * differences.sum::<f64>() / joint.places.len().max(1) as f64;
        }
        sum
    }

    /// How unlike the sheets look at all joints, on their weighted mean.
    pub fn unlike(&self) -> f64 {
        let Some(likeness) = &self.prepared.likeness else { return 0.0 };
        let weights: f64 = likeness.joints.iter().map(|joint| joint.weight).sum();
        let all: f64 = likeness
            .joints
            .iter()
            .map(|joint| {
                let [first, second] = joint.items.map(|item| self.on_sheet(item, self.spots[item], likeness));
                let (Some(first), Some(second)) = (first, second) else { return 0.0 };
                let differences = joint
                    .places
                    .iter()
                    .map(|places| likeness.table.between(first.shade(places[0]), second.shade(places[1])));
                joint.weight * differences.sum::<f64>() / joint.places.len().max(1) as f64
            })
            .sum();
        if weights > 0.0 { all / weights } else { 0.0 }
    }
}
