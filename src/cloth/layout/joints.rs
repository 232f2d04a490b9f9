//! Where copies are to look alike, as the search knows it: pairs of places on the copies as they lie at no turn.

use crate::cloth::layout::alike::{PlaceAlike, pairs};
use crate::cloth::layout::partners::{BodyHalf, LyingCopy, sewings};
use crate::cloth::layout::sewn::SewnSeam;
use crate::cloth::layout::shades::likeness;
use crate::cloth::layout::sheets::Spread;
use crate::cloth::layout::{LayError, LayTask};
use crate::cloth::search::{JoinedItems, Shades};
use crate::cloth::{Cloth, StripesAlong};
use crate::pattern::ClothName;

impl LayTask<'_> {
    /// What the search must know of what the cloth looks like; none where nothing is to look alike but stripes that run
    /// along the width, which are held.
    pub(super) fn likeness(&self) -> Result<Option<Shades>, LayError> {
        let at_no_turn = self.copies.iter().filter_map(|copy| {
            let ground = self.grounds.iter().find(|ground| ground.cloth == copy.cloth)?;
            Some(LyingCopy { copy, ground, motion: *copy.cut.from_sheet() })
        });
        let lying: Vec<LyingCopy<'_>> = at_no_turn.collect();
        if lying.len() < self.copies.len() {
            return Ok(None);
        }
        let mut joints: Vec<JoinedItems> = Vec::new();
        for seam in self.seams.iter().filter(|seam| self.looks_for(&seam.cloth)) {
            let sewn = SewnSeam::of(self.pattern, seam.id)?;
            let sewings = sewings(self.pattern, sewn.seam, &lying);
            // On folded cloth the left half of a pair lies under the right one.
            let is_apart = |half: BodyHalf| self.wish.spread == Spread::Single || half == BodyHalf::Right;
            for sewing in sewings.iter().filter(|sewing| is_apart(sewing.half)) {
                joints.extend(by_copies(&pairs(&sewn, sewing), 1.0));
            }
        }
        for level in self.levels.iter().filter(|level| self.looks_for(&level.cloth)) {
            let pairs = level.pairs(&lying);
            // Each copy is compared with each, so that a level counts as much as a seam of each copy.
            let share = 1.0 / (pairs.len() as f64).sqrt().max(1.0);
            joints.extend(pairs.iter().flat_map(|pairs| by_copies(pairs, share)));
        }
        Ok(likeness(self.stock, &self.grounds, joints))
    }

    /// Whether places are looked for on a cloth that look alike.
    fn looks_for(&self, cloth: &ClothName) -> bool {
        let looked =
            |cloth: &Cloth| cloth.has_colours() || cloth.stripes_along(StripesAlong::Length).is_some();
        self.stock.find(cloth).is_some_and(looked)
    }
}

/// The joints of the copies that places are on, each weighing as much as it has places.
fn by_copies(places: &[PlaceAlike], share: f64) -> Vec<JoinedItems> {
    let mut found: Vec<JoinedItems> = Vec::new();
    for place in places {
        match found.iter_mut().find(|joint| joint.items == place.lying) {
            Some(joint) => joint.places.push(place.points),
            None => found.push(JoinedItems { items: place.lying, places: vec![place.points], weight: 0.0 }),
        }
    }
    found.iter_mut().for_each(|joint| joint.weight = joint.places.len() as f64 * share);
    found
}
