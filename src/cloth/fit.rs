//! Which pieces the cloth is wide enough for and has the selvedges for, and by how much it misses the others.
//!
//! Each piece by itself: whether all of them lie on the cloth together is for the layout to find.

use crate::allowance::{AllowanceError, AsCut, SewingOrder, as_cut, lies_within};
use crate::cloth::layout::{PanelRooms, off_selvedge};
use crate::cloth::{Cloth, Crosswise, OffSelvedge, Stock, WithoutCloth};
use crate::pattern::{ClothName, Pattern, Piece, PieceName, Refusal, Selvedge};
use crate::tolerance::LAID_OVER;
use crate::units::{Angle, Length, Unit, listed};
use serde::Serialize;

/// The widths of a pattern's pieces against the cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Fit {
    /// Whether every piece fits by itself, and there is enough of every cloth.
    pub fits: bool,
    /// The pieces whose cloth is at hand, in the order of the sheet.
    pub pieces: Vec<PieceFit>,
    /// The cloths that pieces are cut from.
    pub cloths: Vec<AreaFit>,
    /// The pieces whose cloth is not at hand.
    pub without_cloth: Vec<WithoutCloth>,
}

/// Which pieces lie nowhere, since there is none of their cloth, in words for people; none where every piece has its cloth.
#[must_use]
pub fn lying_nowhere(without_cloth: &[WithoutCloth]) -> Option<String> {
    let mut cloths: Vec<(&ClothName, Vec<String>)> = Vec::new();
    for WithoutCloth { piece, cloth } in without_cloth {
        match cloths.iter_mut().find(|(known, _)| *known == cloth) {
            Some((_, pieces)) => pieces.push(piece.to_string()),
            None => cloths.push((cloth, vec![piece.to_string()])),
        }
    }
    let told =
        |(cloth, pieces): &(&ClothName, Vec<String>)| format!("no {cloth} cloth for {}", listed(pieces));
    let told: Vec<String> = cloths.iter().map(told).collect();
    (!told.is_empty()).then(|| told.join("; "))
}

/// A piece against its cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PieceFit {
    /// The piece.
    pub piece: PieceName,
    /// Its cloth.
    pub cloth: ClothName,
    /// How many are cut, half pieces opened out.
    pub copies: u32,
    /// The area of one, allowances included, mm².
    pub area: f64,
    /// Whether it fits a legal way.
    pub fits: bool,
    /// With its grain along the cloth.
    pub lengthwise: WayFit,
    /// With its grain across the cloth.
    pub crosswise: WayFit,
    /// Whether it may lie across.
    pub crosswise_allowed: bool,
    /// Why an edge that is to lie on a selvedge cannot; none where all of them can, and where there is none.
    pub off_selvedge: Option<OffSelvedge>,
}

/// How a piece fits its cloth one way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct WayFit {
    /// How far it reaches across the cloth, allowances included, mm.
    pub width: f64,
    /// How far it reaches along, mm.
    pub length: f64,
    /// The width that the cloth gives it, mm; none where it is not that long. All along such a length; where it lies in a panel
    /// by its shape, or comes closer to it so, that of a piece of its shape which just lies there.
    pub gives: Option<f64>,
    /// The greatest width that the cloth has all along such a length, mm: whatever is no wider fits it.
    #[serde(skip)]
    pub all_along: Option<f64>,
    /// How long the cloth is, mm.
    #[serde(skip)]
    pub longest: f64,
    /// By how much it is too wide for the cloth where that is long enough, mm; else nothing.
    pub too_wide: f64,
    /// By how much it is longer than the cloth, mm; else nothing.
    pub too_long: f64,
    /// Whether it fits.
    pub fits: bool,
}

/// The area of all pieces of a cloth against it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AreaFit {
    /// The cloth.
    pub cloth: ClothName,
    /// What the pieces take, all copies, mm².
    pub needed: f64,
    /// What there is, mm².
    pub given: f64,
    /// Whether there is as much as is needed.
    pub fits: bool,
}

/// Why the widths cannot be told.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FitError {
    /// A piece has no cutting line.
    #[error(transparent)]
    Allowance(#[from] AllowanceError),
    /// A piece cannot be opened out.
    #[error(transparent)]
    Piece(#[from] Refusal),
}

impl WayFit {
    fn of(cloth: &ClothRoom<'_>, piece: &Piece, cut: &AsCut, way: Angle, tolerance: Angle) -> WayFit {
        let (width, length) = cut.reach(cut.narrowest(way, tolerance));
        // What touches at both ends, or reaches over by less than can be cut, is not held against the cloth.
        let all_along = cloth.width_over(piece, (length - LAID_OVER).max(0.0));
        let gives = match all_along {
            Some(gives) if lies_within(width, gives) => all_along,
            _ => {
                let by_shape = cloth
                    .panels_for(piece)
                    .and_then(|panels| panels.lack_for(piece, cut, way, tolerance))
                    .map(|lack| width - lack);
                by_shape.into_iter().chain(all_along).reduce(f64::max)
            }
        };
        let longest = cloth.cloth.longest();
        WayFit {
            width,
            length,
            gives,
            all_along,
            longest,
            too_wide: gives.map_or(0.0, |gives| over(width, gives)),
            too_long: over(length, longest),
            fits: gives.is_some_and(|gives| lies_within(width, gives)),
        }
    }

    /// By how much it misses, in words: how far too long, where it is that, else how far too wide.
    #[must_use]
    pub fn missing(&self, unit: Unit) -> String {
        if self.too_long > 0.0 { too_long(self.too_long, unit) } else { too_wide(self.too_wide, unit) }
    }
}

/// That something is too wide by so many mm, in words.
#[must_use]
pub fn too_wide(by: f64, unit: Unit) -> String {
    format!("too wide by {}", Length::from_mm(by).show(unit))
}

/// That something is too long by so many mm, in words.
#[must_use]
pub fn too_long(by: f64, unit: Unit) -> String {
    format!("too long by {}", Length::from_mm(by).show(unit))
}

/// A cloth, and the room that its panels have.
struct ClothRoom<'a> {
    cloth: &'a Cloth,
    panels: PanelRooms<'a>,
}

impl<'a> ClothRoom<'a> {
    fn of(cloth: &'a Cloth) -> ClothRoom<'a> {
        ClothRoom { cloth, panels: PanelRooms::of(cloth) }
    }

    /// The panels, where a piece may lie on them: what is to lie on a selvedge lies on a length, if there is any.
    fn panels_for(&self, piece: &Piece) -> Option<&PanelRooms<'a>> {
        let on_selvedge = piece.edges().iter().any(|edge| edge.selvedge == Selvedge::Yes);
        (!on_selvedge || self.cloth.bolts().is_empty()).then_some(&self.panels)
    }

    /// The greatest width that a stretch has all along where a piece may lie, mm; none where nothing is that long.
    fn width_over(&self, piece: &Piece, stretch: f64) -> Option<f64> {
        let in_panels = self.panels_for(piece).and_then(|panels| panels.width_over(stretch));
        self.cloth.width_over(stretch).into_iter().chain(in_panels).reduce(f64::max)
    }
}

fn over(reach: f64, given: f64) -> f64 {
    if lies_within(reach, given) { 0.0 } else { reach - given }
}

impl PieceFit {
    fn of(piece: &Piece, cut: &AsCut, room: &ClothRoom<'_>, tolerance: Angle) -> PieceFit {
        let cloth = room.cloth;
        let lengthwise = WayFit::of(room, piece, cut, Angle::ZERO, tolerance);
        let crosswise = WayFit::of(room, piece, cut, Angle::QUARTER, tolerance);
        let crosswise_allowed = cloth.crosswise == Crosswise::Allowed;
        let found = PieceFit {
            piece: piece.name().clone(),
            cloth: cloth.name().clone(),
            copies: piece.cut.copies,
            area: cut.area(),
            fits: false,
            lengthwise,
            crosswise,
            crosswise_allowed,
            off_selvedge: off_selvedge(piece, cut, cloth, tolerance),
        };
        PieceFit { fits: found.is_within() && found.off_selvedge.is_none(), ..found }
    }

    /// Whether the cloth is wide and long enough for it a legal way, whatever is to lie on a selvedge.
    #[must_use]
    pub fn is_within(&self) -> bool {
        self.lengthwise.fits || (self.crosswise_allowed && self.crosswise.fits)
    }

    /// Whether it fits, which way, or by how much or why it misses, in a few words.
    #[must_use]
    pub fn words(&self, unit: Unit) -> String {
        match &self.off_selvedge {
            _ if !self.is_within() => self.lengthwise.missing(unit),
            Some(why) => format!("its `{}` lies on no selvedge", why.edge()),
            None if self.lengthwise.fits => "fits".to_owned(),
            None => format!("fits crosswise, {} wide", Length::from_mm(self.crosswise.width).show(unit)),
        }
    }

    /// Why it does not fit, as a sentence that names it.
    #[must_use]
    pub fn missing(&self, unit: Unit) -> String {
        match &self.off_selvedge {
            Some(why) if self.is_within() => why.sentence(&self.piece, &self.cloth, unit),
            _ => format!("{} is {}", self.piece, self.lengthwise.missing(unit)),
        }
    }
}

impl AreaFit {
    fn of(cloth: &Cloth, needed: f64) -> AreaFit {
        let given = cloth.area();
        AreaFit { cloth: cloth.name().clone(), needed, given, fits: needed <= given }
    }

    fn add(&mut self, needed: f64) {
        self.needed += needed;
        self.fits = self.needed <= self.given;
    }
}

/// Holds the pieces of a pattern against the cloth, their grain up to a tolerance off.
///
/// # Errors
///
/// A piece without a cutting line, and a half piece that cannot be opened out.
pub fn fit(pattern: &Pattern, stock: &Stock, tolerance: Angle) -> Result<Fit, FitError> {
    let order = SewingOrder::of(pattern);
    let rooms: Vec<ClothRoom<'_>> = stock.cloths().map(ClothRoom::of).collect();
    let (mut pieces, mut cloths): (_, Vec<AreaFit>) = (Vec::new(), Vec::new());
    for piece in pattern.pieces().filter(|piece| piece.is_cut()) {
        let Some(room) = rooms.iter().find(|room| *room.cloth.name() == piece.cloth) else { continue };
        let found = PieceFit::of(piece, &order.as_cut(piece)?, room, tolerance);
        let needed = found.area * f64::from(found.copies);
        match cloths.iter_mut().find(|area| area.cloth == found.cloth) {
            Some(area) => area.add(needed),
            None => cloths.push(AreaFit::of(room.cloth, needed)),
        }
        pieces.push(found);
    }
    let fits = pieces.iter().all(|piece| piece.fits) && cloths.iter().all(|area| area.fits);
    Ok(Fit { fits, pieces, cloths, without_cloth: stock.pieces_without(pattern).collect() })
}

/// The width that a cloth gives a piece whatever its shape: the greatest that it has all along the piece's length as it is cut,
/// mm.
///
/// # Errors
///
/// A piece without a cutting line, and a half piece that cannot be opened out. None where the cloth is not that long.
pub fn width_for(pattern: &Pattern, piece: &Piece, cloth: &Cloth) -> Result<Option<f64>, FitError> {
    let (_, length) = as_cut(pattern, piece)?.reach(Angle::ZERO);
    Ok(ClothRoom::of(cloth).width_over(piece, (length - LAID_OVER).max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_without_cloth_are_told_by_their_cloth() {
        let of = |piece: &str, cloth: &str| WithoutCloth {
            piece: piece.parse().unwrap(),
            cloth: cloth.parse().unwrap(),
        };
        assert_eq!(lying_nowhere(&[]), None);
        let all = [of("lining-back", "lining"), of("bag", "pocketing"), of("lining-front", "lining")];
        assert_eq!(
            lying_nowhere(&all).unwrap(),
            "no lining cloth for lining-back and lining-front; no pocketing cloth for bag"
        );
    }
}
