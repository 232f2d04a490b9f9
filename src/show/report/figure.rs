//! Pictures of pieces, with what they show in words.

use std::collections::BTreeSet;

use crate::canvas::LineKind;
use crate::pattern::{Pattern, PieceName};
use crate::show::markup::Markup;
use crate::show::picture::{Picture, PictureError, PictureOptions, Viewing};
use crate::units::Unit;

/// How many times as wide as high a picture is that stands under its text in print, not beside it.
const FLAT: f64 = 1.25;

/// How wide two pictures beside each other are together on a screen of usual width, and the least height of letters that are
/// read there, pixels: where they would be smaller, one stands above the other.
const BESIDE_EACH_OTHER: f64 = 900.0;
const LEAST_READ: f64 = 9.0;

/// Puts pieces into the page, over an earlier state of them where that is given. Puts nothing where there are none. Gives the
/// kinds of lines that are drawn.
pub(super) fn pieces(
    part: &mut Markup,
    caption: &str,
    pieces: Vec<PieceName>,
    pattern: &Pattern,
    before: Option<&Pattern>,
    (unit, seen): (Unit, Viewing),
) -> Result<BTreeSet<LineKind>, PictureError> {
    if pieces.is_empty() {
        return Ok(BTreeSet::new());
    }
    let names: Vec<&str> = pieces.iter().map(PieceName::as_str).collect();
    let title = format!("{caption}: {}", names.join(", "));
    let options = PictureOptions { pieces, edge: None, unit, seen };
    let picture = Picture::of(&title, pattern, before, &options)?;
    let class = if picture.view.width() > FLAT * picture.view.height() { "pieces flat" } else { "pieces" };
    part.within("figure", &[("class", class)], |figure| {
        figure.element("figcaption", &[], caption);
        let attributes = [
            ("class", "wide"),
            ("tabindex", "0"),
            ("role", "group"),
            ("aria-label", "picture, wider than a phone"),
        ];
        figure.within("div", &attributes, |wide| wide.drawing(&picture.in_page()));
    });
    Ok(picture.kinds())
}

/// Puts the key of the lines of overlays into the page.
pub(super) fn key_of_overlays(part: &mut Markup, drawn: &BTreeSet<LineKind>) {
    part.within("div", &[("class", "key")], |key| {
        key.drawing(&Picture::key_of_overlays(drawn).in_page());
    });
}

/// What is shown beside something else.
pub(super) struct ShownBeside<'a> {
    /// What it is called.
    pub word: &'static str,
    pub pieces: Vec<PieceName>,
    pub pattern: &'a Pattern,
}

/// Puts two states of pieces into the page, beside each other or one above the other, at one scale.
pub(super) fn pair(
    part: &mut Markup,
    caption: &str,
    both: [ShownBeside<'_>; 2],
    unit: Unit,
) -> Result<(), PictureError> {
    let mut pictures = Vec::new();
    for ShownBeside { word, pieces, pattern } in both {
        let names: Vec<&str> = pieces.iter().map(PieceName::as_str).collect();
        let title = format!("{word}: {}", names.join(", "));
        let options = PictureOptions { pieces, edge: None, unit, seen: Viewing::Beside };
        pictures.push((word, Picture::of(&title, pattern, None, &options)?));
    }
    let widest = pictures.iter().map(|(_, picture)| picture.view.width()).fold(0.0, f64::max);
    let sizes =
        pictures.iter().flat_map(|(_, picture)| picture.drawing.labels.iter().map(|label| label.size));
    let least = sizes.fold(f64::INFINITY, f64::min);
    let all: f64 = pictures.iter().map(|(_, picture)| picture.view.width()).sum();
    let class = if least * BESIDE_EACH_OTHER < LEAST_READ * all { "pair stacked" } else { "pair" };
    part.within("figure", &[("class", class)], |figure| {
        figure.element("figcaption", &[], caption);
        figure.within("div", &[("class", "both")], |all| {
            for (word, picture) in &pictures {
                let share = format!("--share: {:.4}", picture.view.width() / widest);
                all.within("div", &[("style", &share)], |one| {
                    one.element("p", &[], word);
                    one.drawing(&picture.in_page());
                });
            }
        });
    });
    Ok(())
}
