//! How alike the cloth looks on both sides of a seam: measured on where the pieces lie, and on nothing else.
//!
//! The stitching lines are walked as they are sewn, and each place is carried to the cloth by the motion of its copy; the
//! colours there are compared. The search is given the same pairs of places, on the copies as they lie at no turn.

use crate::cloth::Stock;
use crate::cloth::colours::Colour;
use crate::cloth::layout::LayError;
use crate::cloth::layout::partners::{BodyHalf, LyingCopy, Serving, Sewing, sewings};
use crate::cloth::layout::sewn::SewnSeam;
use crate::curve::Point;
use crate::pattern::{Pattern, SeamId};
use crate::tolerance::COLOUR_STEP;

/// How alike both sides of a seam look on a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamAlike {
    /// The seam.
    pub seam: String,
    /// Each time that it is sewn.
    pub sewings: Vec<SewingAlike>,
}

/// One sewing of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct SewingAlike {
    /// On which half of the body.
    pub half: BodyHalf,
    /// What the copies on both sides are called.
    pub names: [Vec<String>; 2],
    /// How alike it looks; none where it is not known what any of it looks like.
    pub alike: Option<Alike>,
    /// What was compared, in the order of the seam.
    pub places: Vec<PlaceAlike>,
}

/// A place of a seam that was compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceAlike {
    /// Distance along the stitching line of the first side, from the hem where one end lies at a hem, mm.
    pub at: f64,
    /// The copies on both sides, as places among those that lie.
    pub lying: [usize; 2],
    /// Where both sides lie on what they are cut from.
    pub points: [Point; 2],
    /// How different they look (CIEDE2000); none where one is not known.
    pub difference: Option<f64>,
}

/// How alike places look.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Alike {
    /// The mean difference of colour (CIEDE2000).
    pub mean: f64,
    /// The worst.
    pub worst: f64,
    /// Where that is.
    pub worst_at: f64,
    /// How many places were compared.
    #[serde(rename = "places")]
    pub known: usize,
    /// At how many more it is not known what the cloth looks like.
    pub unknown: usize,
}

impl Alike {
    /// What places come to; none where nothing is known.
    #[must_use]
    pub fn of(places: &[PlaceAlike]) -> Option<Alike> {
        let known: Vec<(f64, f64)> =
            places.iter().filter_map(|place| Some((place.at, place.difference?))).collect();
        let (worst_at, worst) = known.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let mean = known.iter().map(|(_, difference)| difference).sum::<f64>() / known.len() as f64;
        Some(Alike { mean, worst, worst_at, known: known.len(), unknown: places.len() - known.len() })
    }
}

/// Measures how alike both sides of a seam look where copies lie as told, every [`COLOUR_STEP`] along it.
///
/// # Errors
///
/// Refuses an edge that is not there, and a seam without length.
pub fn seam_alike(
    pattern: &Pattern,
    stock: &Stock,
    seam: SeamId,
    lying: &[LyingCopy<'_>],
) -> Result<SeamAlike, LayError> {
    let sewn = SewnSeam::of(pattern, seam)?;
    let sewings = sewings(pattern, sewn.seam, lying);
    let found = sewings.iter().map(|sewing| (sewing.half, pairs(&sewn, sewing)));
    let sewings = found.filter(|(_, pairs)| !pairs.is_empty()).map(|(half, pairs)| {
        let places: Vec<PlaceAlike> = pairs
            .into_iter()
            .map(|pair| PlaceAlike { difference: compared(stock, lying, &pair), ..pair })
            .collect();
        let names = [0, 1].map(|side| names(lying, &places, side));
        SewingAlike { half, names, alike: Alike::of(&places), places }
    });
    Ok(SeamAlike { seam: sewn.seam.name(), sewings: sewings.collect() })
}

/// A place of a seam as it is sewn: on both sides the copy, as it serves its half of the body, and where on what it is cut
/// from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PlaceSewn {
    at: f64,
    pub(crate) sides: [(Serving, Point); 2],
}

/// The places of a seam each time that it is sewn, [`COLOUR_STEP`] apart at the most.
///
/// # Errors
///
/// Refuses an edge that is not there, and a seam without length.
pub(crate) fn places_sewn(
    pattern: &Pattern,
    seam: SeamId,
    lying: &[LyingCopy<'_>],
) -> Result<Vec<PlaceSewn>, LayError> {
    let sewn = SewnSeam::of(pattern, seam)?;
    Ok(sewings(pattern, sewn.seam, lying).iter().flat_map(|sewing| places(&sewn, sewing)).collect())
}

fn places(sewn: &SewnSeam<'_>, sewing: &Sewing) -> Vec<PlaceSewn> {
    let shares =
        sewn.spans().iter().flat_map(|span| span.shares_of(COLOUR_STEP).map(move |share| (span, share)));
    shares
        .filter_map(|(span, share)| {
            let place = sewn.place(span, share)?;
            let [first, second] = place.sides.map(|side| {
                let serving = sewing.of(&side)?;
                Some((serving, serving.motion.apply(side.point)))
            });
            Some(PlaceSewn { at: place.at, sides: [first?, second?] })
        })
        .collect()
}

/// The pairs of places that are sewn to each other, not yet compared, [`COLOUR_STEP`] apart at the most.
pub(super) fn pairs(sewn: &SewnSeam<'_>, sewing: &Sewing) -> Vec<PlaceAlike> {
    let alike = |place: PlaceSewn| PlaceAlike {
        at: place.at,
        lying: place.sides.map(|(serving, _)| serving.lying),
        points: place.sides.map(|(_, point)| point),
        difference: None,
    };
    places(sewn, sewing).into_iter().map(alike).collect()
}

/// How different a pair of places looks on the cloth.
pub(super) fn compared(stock: &Stock, lying: &[LyingCopy<'_>], pair: &PlaceAlike) -> Option<f64> {
    let colour = |side: usize| -> Option<Colour> {
        lying[pair.lying[side]].ground.colour_at(stock, pair.points[side])
    };
    Some(colour(0)?.difference(colour(1)?))
}

/// What the copies on a side are called, in the order of the seam.
fn names(lying: &[LyingCopy<'_>], places: &[PlaceAlike], side: usize) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for place in places {
        let name = lying[place.lying[side]].copy.to_string();
        if !found.contains(&name) {
            found.push(name);
        }
    }
    found
}

impl SeamAlike {
    /// How alike all its sewings look together.
    #[must_use]
    pub fn whole(&self) -> Option<Alike> {
        let places: Vec<PlaceAlike> =
            self.sewings.iter().flat_map(|sewing| &sewing.places).copied().collect();
        Alike::of(&places)
    }
}
