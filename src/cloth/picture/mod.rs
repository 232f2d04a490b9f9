//! The cutting layout as a drawing to scale: one user unit is a millimetre.
//!
//! The cloth lies along the page, its start at the left, its left selvedge below, the right side up.
//!
//! ```text
//!      led-out labels
//!   ┌──────────────────────┐ right selvedge
//!   │  pieces              │ left over
//!   └──────────────────────┘ left selvedge, or the fold
//!   0   10   20   30   ruler
//! ```

mod band;
mod key;
mod pieces;
mod sewn;
mod surface;

pub use band::flaw_lines;
pub use sewn::sewn;

use kurbo::{Affine, Point, Rect};

use crate::canvas::{Drawing, Label, Layer, Letters, SvgPicture, number, wrapped};
use crate::cloth::Stock;
use crate::cloth::layout::{Ground, Laid, LaidCopy, LayTask};
use crate::units::Unit;

use band::{ClothOnPage, MARGIN};
use key::key;
use pieces::{AS_ON_PAPER, drawn, quiet};
use surface::{GroundCloth, Strength};

/// A copy as it lies, carried from the cloth to a page, its lettering of a size: its lines, its grain and its name where that
/// has room.
#[must_use]
pub fn copy(task: &LayTask<'_>, lying: &LaidCopy, to_page: Affine, text: f64) -> Drawing {
    drawn(task, lying, to_page, text).drawing
}

/// The most patches of cloth that is drawn to be lain on: it is sent to a page anew with each step.
const MOST_LAIN_ON: f64 = 2000.0;

/// The colours of a ground, pale, in its coordinates; nothing where they are not told.
#[must_use]
pub fn colours(stock: &Stock, ground: &Ground) -> Drawing {
    let (width, length) = ground.size();
    let whole = Rect::new(0.0, 0.0, width, length);
    GroundCloth { stock, ground }.patches_at_most(whole, Strength::Pale, MOST_LAIN_ON)
}

/// The least and greatest size of the lettering, mm, and its share of the length that is drawn: as large as can be read on
/// a screen that shows all of it.
const TEXT: (f64, f64, f64) = (9.0, 32.0, 1.0 / 110.0);

/// Size of the lettering of what was measured of stripes, and the distance of its lines, as shares of that of titles.
const TOLD: f64 = 0.75;
const TOLD_LINES: f64 = 1.05;

/// The widest key, mm: as wide as what a phone shows of a layout at once.
const WIDEST_KEY: f64 = 900.0;

/// The class of the picture of the garment as it is sewn that a layout on cloth with a look of its own holds.
pub(crate) const SEWN: &str = "sewn";

/// The drawing of a layout; of what is at hand, only what is used. On cloth with a look it holds, unseen, the garment as it
/// is sewn.
#[must_use]
pub fn layout(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> String {
    let used = laid.uses.iter().enumerate().filter(|(_, usage)| usage.copies > 0);
    let mut bands: Vec<ClothOnPage<'_>> =
        used.map(|(ground, _)| ClothOnPage::of(task, laid, ground, unit)).collect();
    let longest = bands.iter().map(|band| band.drawn).fold(0.0, f64::max);
    let text = (longest * TEXT.2).clamp(TEXT.0, TEXT.1);
    let mut top = MARGIN;
    let mut drawn = Vec::new();
    for band in &mut bands {
        band.text = text;
        let band = band.draw(top);
        top = band.bottom + 2.0 * text;
        drawn.push(band);
    }
    let seams = laid.matches.iter().flat_map(|found| found.sentences(unit));
    let levels = laid.levels.iter().flat_map(|found| found.sentences(unit));
    let told: Vec<String> = levels.chain(seams).collect();
    let mut below = Drawing::default();
    for line in told.iter().flat_map(|sentence| wrapped(sentence, text * TOLD, longest)) {
        top += text * TOLD_LINES;
        below.labels.push(quiet(Label::from_left(line, Point::new(MARGIN, top), text * TOLD, Layer::Labels)));
    }
    let all: Vec<&Drawing> = drawn
        .iter()
        .flat_map(|band| {
            let pieces = band.pieces.iter().map(|piece| &piece.drawing);
            [&band.cloth, &band.beside].into_iter().chain(pieces)
        })
        .collect();
    let corner = Point::new(MARGIN, top + text);
    let (key, bottom) = key(&all, corner, longest.min(WIDEST_KEY), text * TOLD);
    let page = Rect::new(0.0, 0.0, longest + 2.0 * MARGIN, bottom + text + MARGIN);
    let mut picture = SvgPicture::new(page, "Cutting layout", text / AS_ON_PAPER, Letters::Haloed);
    told.iter().for_each(|sentence| picture.describe(sentence));
    let last = drawn.last().map(|band| band.bottom + text);
    let ends: Vec<f64> = drawn.iter().skip(1).map(|band| band.top).chain(last).collect();
    for (band, end) in drawn.iter().zip(ends) {
        let part = [0.0, band.top, band.length + 2.0 * MARGIN, end].map(number).join(" ");
        let cloth = [
            ("class", "band".to_owned()),
            ("data-name", band.title.clone()),
            ("data-part", part),
            ("data-ground", band.ground.name()),
            ("data-used", format!("{}mm", number(band.used))),
            ("data-length", format!("{}mm", number(band.ground.size().1))),
        ];
        picture.add_group(&cloth, &[&band.cloth]);
        for piece in &band.pieces {
            picture.add_group(&[("data-name", piece.name.clone())], &[&piece.drawing]);
        }
        picture.add_group(&[], &[&band.beside]);
    }
    picture.add_group(&[], &[&below]);
    let part = [0.0, corner.y - text, longest.min(WIDEST_KEY) + 2.0 * MARGIN, page.y1].map(number).join(" ");
    picture.add_group(&[("class", "key".to_owned()), ("data-part", part)], &[&key]);
    if has_look(task, laid)
        && let Some(garment) = sewn::within(task, laid, unit)
    {
        picture.hold(SEWN, garment);
    }
    picture.finish()
}

/// Whether it is known what any of the cloth that is used looks like.
fn has_look(task: &LayTask<'_>, laid: &Laid) -> bool {
    laid.lying.iter().any(|lying| {
        let ground = &task.grounds[lying.ground];
        let stripes = task.stock.find(&ground.cloth).map_or(&[][..], |cloth| cloth.stripes());
        ground.has_colours(task.stock) || stripes.iter().any(|stripes| ground.shows_stripes(stripes.along))
    })
}
