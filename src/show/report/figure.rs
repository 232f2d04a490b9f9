//! Pictures of pieces, with what they show in words.

use crate::pattern::{Pattern, PieceName};
use crate::show::markup::Markup;
use crate::show::picture::{Picture, PictureError, PictureOptions, Viewing};
use crate::units::Unit;

/// How many times as wide as high a picture is that stands under its text in print, not beside it.
const FLAT: f64 = 1.25;

/// Puts pieces into the page, over an earlier state of them where that is given. Puts nothing where there are none.
pub(super) fn pieces(
    part: &mut Markup,
    caption: &str,
    pieces: Vec<PieceName>,
    pattern: &Pattern,
    before: Option<&Pattern>,
    (unit, seen): (Unit, Viewing),
) -> Result<(), PictureError> {
    if pieces.is_empty() {
        return Ok(());
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
    Ok(())
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
    part.within("figure", &[("class", "pair")], |figure| {
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
