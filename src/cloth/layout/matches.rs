//! How far the stripes of a seam can meet at best, and what the search must bring together for that.

use crate::cloth::layout::LayError;
use crate::cloth::layout::readings::{Between, MetAlong, ReadOn, SeamReading};
use crate::cloth::layout::sewn::{MatchAt, Parting, SewnPlace, SewnSeam};
use crate::curve::Point;
use crate::pattern::{ClothName, EdgeRef, Pattern, PieceName, SeamId, WalkPoint, settle};
use crate::tolerance::LEAST_MATCH;

/// A seam whose stripes are to meet.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamMatch {
    /// Which.
    pub id: SeamId,
    /// What it is called.
    pub seam: String,
    /// The cloth of its pieces.
    pub cloth: ClothName,
    /// The piece on each side, and where on its stitching line the stripes are brought together, on the pattern sheet.
    pub marks: [(PieceName, Point); 2],
    /// Where that is.
    pub at: MatchAt,
    /// How far the stripes meet where that is done, whatever lies at the one place of the cloth's pattern.
    pub at_best: MetAlong,
    /// Why they part beyond.
    pub parting: Parting,
    /// How far what meets reaches from the mark along the grain, before and after it, mm.
    pub(super) reach: (f64, f64),
}

/// What the search made of the wish that a seam's stripes meet.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WishKept {
    /// They were held together.
    Held,
    /// They were not: the two edges are too unlike for stripes to meet any length, and part for this reason.
    NotWorthIt(#[serde(skip)] Parting),
    /// They were not: the seams named before hold the pieces off that, by mm.
    Contradicted(#[serde(skip)] f64),
    /// They were not: no layout was found that holds them as well as the seams named before.
    GivenUp,
    /// Nothing was held: a hand moved the pieces.
    ByHand,
}

impl SeamMatch {
    /// The match of the seam of an edge.
    ///
    /// # Errors
    ///
    /// Refuses an edge that is not there, is not sewn, or is sewn in several layers.
    pub(super) fn of(pattern: &Pattern, edge: &EdgeRef) -> Result<SeamMatch, LayError> {
        let id = pattern.seam_named(&settle(pattern, edge), None)?;
        let sewn = SewnSeam::of(pattern, id)?;
        let marks = sewn.marks;
        let heights: Vec<(SewnPlace<'_>, Option<[f64; 2]>)> = sewn
            .spans()
            .iter()
            .flat_map(|span| span.shares().filter_map(|share| sewn.place(span, share)))
            .map(|place| (place, heights(&marks, &place)))
            .collect();
        let reading = |(place, heights): &(SewnPlace<'_>, Option<[f64; 2]>)| SeamReading {
            at: place.at,
            apart: heights.map_or(f64::INFINITY, |[first, second]| (first - second).abs()),
            on: ReadOn::Both,
        };
        let readings: Vec<SeamReading> = heights.iter().map(reading).collect();
        let at_best = MetAlong::of(&readings, Between::Pattern, (0.0, sewn.length()), sewn.anchor);
        let (from, to) = at_best.stretch.unwrap_or((sewn.anchor, sewn.anchor));
        let within = heights.iter().filter(|(place, _)| (from..=to).contains(&place.at));
        let reach = within
            .filter_map(|(_, heights)| *heights)
            .flatten()
            .fold((0.0, 0.0), |(low, high): (f64, f64), height| (low.min(height), high.max(height)));
        let parting = at_best.parts().map_or(Parting::Nowhere, |(end, misses)| sewn.parting(end, misses));
        let cloth = marks[0].piece.cloth.clone();
        let marks = marks.map(|mark| (mark.piece.name().clone(), mark.point));
        Ok(SeamMatch { id, seam: sewn.seam.name(), cloth, marks, at: sewn.at, at_best, parting, reach })
    }

    /// Whether the stripes can meet far enough for the match to be worth its cloth. At a notch they meet at one place
    /// only, as those of an eased sleeve do, and it is worth it.
    #[must_use]
    pub fn is_worth_it(&self) -> bool {
        self.at == MatchAt::Notch || self.at_best.is_all_along() || self.at_best.meets() >= LEAST_MATCH
    }
}

/// How far both sides of a place lie from the mark along the grain; none beyond the pieces of the mark.
fn heights(marks: &[WalkPoint<'_>; 2], place: &SewnPlace<'_>) -> Option<[f64; 2]> {
    let height = |side: usize| {
        let (mark, there) = (&marks[side], &place.sides[side]);
        let same = mark.piece.name() == there.piece.name() && mark.copy == there.copy;
        same.then(|| (there.point - mark.point).dot(mark.piece.grain_or_down()))
    };
    Some([height(0)?, height(1)?])
}
