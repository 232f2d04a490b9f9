//! The cutting layout as a drawing to scale: one user unit is a millimetre.
//!
//! The cloth lies along the page, its start at the left, its left selvedge below, the right side up; one that is long in
//! rows, so that the least lettering can be read where all of it is printed on a page of A4.
//!
//! ```text
//!      led-out labels
//!   ┌──────────────────────  right selvedge
//!   │  pieces
//!   └──────────────────────  left selvedge, or the fold
//!   0   10   20   30   ruler
//!    ──────────────────────┐
//!                          │ left over
//!    ──────────────────────┘
//! ```

mod band;
mod key;
mod paper;
mod pieces;
mod row;
mod sewn;
mod surface;

pub use band::flaw_lines;
pub use sewn::sewn;
pub use surface::{STRIPE, draw_stripe, stripe_tone};

pub(crate) use key::sample_before;

use kurbo::{Affine, Point, Rect, Size};

use crate::canvas::{Drawing, Label, Layer, Letters, SvgPicture, number, wrapped};
use crate::cloth::Stock;
use crate::cloth::layout::{Ground, Laid, LaidCopy, LayTask};
use crate::tolerance::LEAST_PRINTED;
use crate::units::Unit;

use band::ClothOnPage;
use key::key;
use paper::on_a4;
use pieces::{AS_ON_PAPER, Lettering, drawn, quiet};
use row::{ClothRow, DrawnRow, MARGIN};
use surface::{GroundCloth, Strength, coloured};

/// A copy as it lies, carried from the cloth to a page, its lettering of a size: its lines, its grain and its name where that
/// has room.
#[must_use]
pub fn copy(task: &LayTask<'_>, lying: &LaidCopy, to_page: Affine, text: f64) -> Drawing {
    let everywhere = Rect::new(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::INFINITY);
    let lettering = Lettering { largest: text, least: LEAST_ON_TABLE };
    drawn(task, lying, to_page, lettering, everywhere).drawing
}

/// The least lettering of a name where it is lain out on a screen that is drawn nearer by hand, mm.
const LEAST_ON_TABLE: f64 = 5.0;

/// The most patches of cloth that is drawn to be lain on: it is sent to a page anew with each step.
const MOST_LAIN_ON: f64 = 2000.0;

/// The colours of a ground, pale, in its coordinates; nothing where they are not told.
#[must_use]
pub fn colours(stock: &Stock, ground: &Ground) -> Drawing {
    let (width, length) = ground.size();
    let whole = Rect::new(0.0, 0.0, width, length);
    GroundCloth { stock, ground }.patches_at_most(whole, Strength::Pale, MOST_LAIN_ON)
}

/// Titles, as a multiple of the least lettering; and the least of both on small cloth, mm.
const TITLE: f64 = 1.35;
const LEAST: f64 = 6.0;

/// The distance of lines of what was measured of stripes, and of rows of cloth, as shares of their lettering.
const TOLD_LINES: f64 = 1.4;
const BETWEEN: f64 = 1.5;

/// About how much a row takes beside its cloth, as a share of the least lettering: title, edges, names led out, ruler.
const ROW_TAKES: f64 = 8.0;

/// In how many rows the longest cloth is drawn at most.
const MOST_ROWS: usize = 16;

/// How much smaller than with more rows a cloth may come out on paper and still be drawn in fewer.
const FEWER_ROWS: f64 = 0.75;

/// How often a page is drawn anew with larger letters until the least can be read: names that no longer have room in their
/// pieces take more of the page.
const MOST_DRAWN: usize = 5;

/// Tells of a row that its cloth began in one before it.
pub(crate) const GOES_ON: &str = "data-goes-on";

/// The class of the picture of the garment as it is sewn that a layout on cloth with a look of its own holds.
pub(crate) const SEWN: &str = "sewn";

/// The drawing of a layout; of what is at hand, only what is used. On cloth with a look it holds, unseen, the garment as it
/// is sewn.
#[must_use]
pub fn layout(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> String {
    let used = laid.uses.iter().enumerate().filter(|(_, usage)| usage.copies > 0);
    let bands: Vec<ClothOnPage<'_>> =
        used.map(|(ground, _)| ClothOnPage::of(task, laid, ground, unit)).collect();
    let seams = laid.matches.iter().flat_map(|found| found.sentences(unit));
    let levels = laid.levels.iter().flat_map(|found| found.sentences(unit));
    let told: Vec<String> = levels.chain(seams).collect();
    let (row, mut least) = planned(&bands, &told);
    let mut page = RowsDrawn::of(&bands, &told, row, least);
    for _ in 1..MOST_DRAWN {
        let on_paper = least * on_a4(page.view.size());
        if on_paper >= LEAST_PRINTED {
            break;
        }
        least *= LEAST_PRINTED / on_paper * 1.02;
        page = RowsDrawn::of(&bands, &told, row, least);
    }
    page.picture(task, laid, &told, unit)
}

/// How long rows are to be, and the least lettering that can then about be read on A4, mm.
fn planned(bands: &[ClothOnPage<'_>], told: &[String]) -> (f64, f64) {
    let longest = bands.iter().map(|band| band.drawn).fold(1.0, f64::max);
    let lettering = |row: f64| {
        let mut least = LEAST;
        for _ in 0..MOST_DRAWN {
            let rows = |band: &ClothOnPage<'_>| band.count(row) as f64 * (band.width() + ROW_TAKES * least);
            let lines = told.iter().map(|told| wrapped(told, least, row).len()).sum::<usize>();
            let height = bands.iter().map(rows).sum::<f64>() + lines as f64 * TOLD_LINES * least;
            least = (LEAST_PRINTED / on_a4(Size::new(row + 2.0 * MARGIN, height))).max(LEAST);
        }
        (row, least)
    };
    let plans: Vec<(f64, f64)> = (1..=MOST_ROWS).map(|count| lettering(longest / count as f64)).collect();
    let best = plans.iter().map(|(_, least)| *least).fold(f64::INFINITY, f64::min);
    let fewest = plans.iter().find(|(_, least)| *least * FEWER_ROWS <= best);
    fewest.copied().unwrap_or((longest, LEAST))
}

/// How wide a key is at most with its margins, mm: a report shows as much beside each other on a page.
const KEY_WIDEST: f64 = 2250.0;

/// A layout as it is drawn.
struct RowsDrawn<'a> {
    view: Rect,
    rows: Vec<DrawnRow<'a>>,
    below: Drawing,
    key: Drawing,
    /// Where the key begins, and how wide it is.
    key_at: (f64, f64),
    lettering: Lettering,
}

impl<'a> RowsDrawn<'a> {
    fn of(bands: &'a [ClothOnPage<'a>], told: &[String], row: f64, least: f64) -> RowsDrawn<'a> {
        let lettering = Lettering { largest: least * TITLE, least };
        let mut top = MARGIN;
        let mut rows: Vec<DrawnRow<'a>> = Vec::new();
        let spans = bands.iter().flat_map(|band| band.rows(row).into_iter().map(move |span| (band, span)));
        for (band, span) in spans {
            let drawn = ClothRow::of(band, span, lettering).draw(top);
            top = drawn.bottom + BETWEEN * lettering.largest;
            rows.push(drawn);
        }
        let right = rows.iter().map(|row| row.right).fold(MARGIN, f64::max);
        let wide = right - MARGIN;
        let mut below = Drawing::default();
        for line in told.iter().flat_map(|sentence| wrapped(sentence, least, wide)) {
            top += least * TOLD_LINES;
            below.labels.push(quiet(Label::from_left(line, Point::new(MARGIN, top), least, Layer::Labels)));
        }
        let all: Vec<&Drawing> = rows
            .iter()
            .flat_map(|row| {
                let pieces = row.pieces.iter().map(|piece| &piece.drawing);
                [&row.cloth, &row.beside].into_iter().chain(pieces)
            })
            .collect();
        let corner = Point::new(MARGIN, top + lettering.largest);
        let wide = wide.min(KEY_WIDEST - 2.0 * MARGIN);
        let stripes = coloured(bands.iter().flat_map(|band| band.surface().pattern_lines(band.drawn)));
        let (key, bottom) = key(&all, &stripes, corner, wide, least);
        let view = Rect::new(0.0, 0.0, right + MARGIN, bottom + lettering.largest + MARGIN);
        RowsDrawn { view, rows, below, key, key_at: (corner.y - lettering.largest, wide), lettering }
    }

    fn picture(&self, task: &LayTask<'_>, laid: &Laid, told: &[String], unit: Unit) -> String {
        let magnified = self.lettering.largest / AS_ON_PAPER;
        let mut picture = SvgPicture::new(self.view, "Cutting layout", magnified, Letters::Haloed);
        told.iter().for_each(|sentence| picture.describe(sentence));
        let (key_top, key_wide) = self.key_at;
        let ends = self.rows.iter().skip(1).map(|row| row.top);
        let last = self.rows.last().map(|row| row.bottom + self.lettering.largest);
        for (row, end) in self.rows.iter().zip(ends.chain(last)) {
            let part = [0.0, row.top, row.right + MARGIN, end].map(number).join(" ");
            let mut cloth =
                vec![("class", "band".to_owned()), ("data-name", row.title.clone()), ("data-part", part)];
            if row.is_first {
                cloth.push(("data-ground", row.ground.name()));
                // Not rounded: whoever tells it rounds once, up.
                cloth.push(("data-used", format!("{}mm", row.used)));
                cloth.push(("data-length", format!("{}mm", number(row.ground.size().1))));
            } else {
                cloth.push((GOES_ON, "yes".to_owned()));
            }
            picture.add_group(&cloth, &[&row.cloth]);
            for piece in &row.pieces {
                picture.add_group(&[("data-name", piece.name.clone())], &[&piece.drawing]);
            }
            picture.add_group(&[], &[&row.beside]);
        }
        picture.add_group(&[], &[&self.below]);
        let part = [0.0, key_top, key_wide + 2.0 * MARGIN, self.view.y1].map(number).join(" ");
        picture.add_group(&[("class", "key".to_owned()), ("data-part", part)], &[&self.key]);
        if has_look(task, laid)
            && let Some(garment) = sewn::within(task, laid, unit)
        {
            picture.hold(SEWN, garment);
        }
        picture.finish()
    }
}

/// Whether it is known what any of the cloth that is used looks like.
fn has_look(task: &LayTask<'_>, laid: &Laid) -> bool {
    laid.lying.iter().any(|lying| {
        let ground = &task.grounds[lying.ground];
        let stripes = task.stock.find(&ground.cloth).map_or(&[][..], |cloth| cloth.stripes());
        ground.has_colours(task.stock) || stripes.iter().any(|stripes| ground.shows_stripes(stripes.along))
    })
}
