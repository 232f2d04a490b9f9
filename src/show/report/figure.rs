//! Pictures of pieces, with what they show in words.

use crate::pattern::{Pattern, PieceName};
use crate::show::picture::{Picture, PictureError, PictureOptions, Viewing};
use crate::show::report::markup::Markup;
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
    unit: Unit,
) -> Result<(), PictureError> {
    if pieces.is_empty() {
        return Ok(());
    }
    let names: Vec<&str> = pieces.iter().map(PieceName::as_str).collect();
    let title = format!("{caption}: {}", names.join(", "));
    let options = PictureOptions { pieces, edge: None, unit, seen: Viewing::OnPage };
    let picture = Picture::of(&title, pattern, before, &options)?;
    let class = if picture.view.width() > FLAT * picture.view.height() { "pieces flat" } else { "pieces" };
    part.within("figure", &[("class", class)], |figure| {
        let attributes = [
            ("class", "wide"),
            ("tabindex", "0"),
            ("role", "group"),
            ("aria-label", "picture, wider than a phone"),
        ];
        figure.within("div", &attributes, |wide| wide.drawing(&picture.in_page()));
        figure.element("figcaption", &[], caption);
    });
    Ok(())
}
