//! What a hand does with the cloth on the table.

use kurbo::{Point, Rect};
use serde::Deserialize;

use crate::cloth::file::{ClothEdit, FlawPlace};
use crate::cloth::{Cloth, Stock};
use crate::pattern::{ClothName, Pattern};
use crate::table::cloth::listed::{flaws, pictures};
use crate::table::cloth::photograph::{stretch, whole_pixels};
use crate::table::cloth_drawn::grounds;
use crate::table::said::Refused;
use crate::units::Length;

/// What a hand does with a cloth. Places are mm on the table.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum ClothHand {
    /// Its right selvedge is dragged to a place, on a length from 0.
    Width { on: usize, at: [f64; 2] },
    /// Its end is dragged to a place.
    Length { on: usize, at: [f64; 2] },
    /// A flaw is drawn from corner to corner.
    NewFlaw { from: [f64; 2], to: [f64; 2] },
    /// A flaw is moved.
    Flaw { number: usize, by: [f64; 2] },
    /// A flaw is taken away.
    NoFlaw { number: usize },
    /// A corner of a photograph is dragged to a pixel.
    Corner { picture: usize, corner: usize, at: [f64; 2], whole: [f64; 2] },
    /// All corners of a photograph are set, as where it is turned.
    Corners { picture: usize, corners: [[f64; 2]; 4] },
    /// A photograph shows another stretch of its length.
    Stretch { picture: usize, from: String, to: String },
    /// A photograph is taken away. Its file stays: the change can be taken back.
    NoPicture { picture: usize },
}

impl ClothHand {
    /// The change of the cloth file that it means.
    pub(super) fn edit(
        &self,
        (text, stock): (&str, &Stock),
        name: &ClothName,
        pattern: &Pattern,
    ) -> Result<ClothEdit, Refused> {
        let cloth = stock.find(name).ok_or_else(gone)?;
        let lies = |on: usize| ground_of(pattern, (stock, cloth), on).ok_or_else(gone);
        Ok(match self {
            ClothHand::Width { on, at } => {
                let (ground, at) = (lies(*on)?, point(*at)?);
                ClothEdit::WidthAt(measured(at.y - ground.y0), measured(at.x - ground.x0))
            }
            ClothHand::Length { on, at } => ClothEdit::LengthOf(*on, measured(point(*at)?.y - lies(*on)?.y0)),
            ClothHand::NewFlaw { from, to } => {
                let drawn = Rect::from_points(point(*from)?, point(*to)?);
                let touches = |on: &usize| lies(*on).is_ok_and(|ground| ground.overlaps(drawn));
                let on = (0..cloth.bolts().len()).find(touches).ok_or_else(|| {
                    Refused::plain(
                        "the flaw lies on no length of this cloth",
                        "draw it on the strip of cloth",
                    )
                })?;
                let ground = lies(on)?;
                ClothEdit::NewFlaw(on, place_of(drawn.intersect(ground), ground))
            }
            ClothHand::Flaw { number, by } => {
                let flaw = flaws(text, stock, name).into_iter().find(|flaw| flaw.number == *number);
                let flaw = flaw.ok_or_else(gone)?;
                let by = point(*by)?;
                let at = (measured(flaw.at.0 + by.x), measured(flaw.at.1 + by.y));
                let size = (Length::from_mm(flaw.size.0), Length::from_mm(flaw.size.1));
                ClothEdit::FlawAt(*number, FlawPlace { at, size })
            }
            ClothHand::NoFlaw { number } => ClothEdit::NoFlaw(*number),
            ClothHand::Corner { picture, corner, at, whole } => {
                let found = pictures(text, name);
                let picture_there = found.get(*picture).ok_or_else(gone)?;
                let [width, height] = *whole;
                let own = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
                let mut corners = picture_there.corners.unwrap_or(own);
                let at = point(*at)?;
                *corners.get_mut(*corner).ok_or_else(gone)? = [at.x.round(), at.y.round()];
                ClothEdit::Corners(*picture, corners)
            }
            ClothHand::Corners { picture, corners } => ClothEdit::Corners(*picture, whole_pixels(*corners)),
            ClothHand::Stretch { picture, from, to } => {
                let [from, to] = stretch(from, to)?;
                ClothEdit::PictureStretch(*picture, from, to)
            }
            ClothHand::NoPicture { picture } => ClothEdit::NoPicture(*picture),
        })
    }
}

/// Where a length of a cloth lies on the table.
pub(super) fn ground_of(pattern: &Pattern, (stock, cloth): (&Stock, &Cloth), on: usize) -> Option<Rect> {
    if on >= cloth.bolts().len() {
        return None;
    }
    let before = stock.cloths().take_while(|other| other.name() != cloth.name());
    let panels = |cloth: &Cloth| cloth.panels().iter().map(|panel| panel.copies() as usize).sum::<usize>();
    let before: usize = before.map(|other| other.bolts().len() + panels(other)).sum();
    grounds(pattern, stock).get(before + on).copied()
}

fn place_of(flaw: Rect, ground: Rect) -> FlawPlace {
    FlawPlace {
        at: (measured(flaw.x0 - ground.x0), measured(flaw.y0 - ground.y0)),
        size: (measured(flaw.width()), measured(flaw.height())),
    }
}

/// A length as a hand sets it: to the millimetre.
fn measured(mm: f64) -> Length {
    Length::from_mm(mm.round())
}

fn point([x, y]: [f64; 2]) -> Result<Point, Refused> {
    if x.is_finite() && y.is_finite() { Ok(Point::new(x, y)) } else { Err(gone()) }
}

pub(super) fn gone() -> Refused {
    Refused::plain("this is not on the cloth any more", "look again")
}
