//! The garment as it is sewn, with the cloth of a layout on it: each part from each side.
//!
//! As a layout, it is a picture by itself within the page.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::show::layout::{Layout, Sewn};
use crate::show::lifted::SVG;
use crate::show::markup::Markup;

/// How large it is shown: its lettering, 36 mm high, is then 6 pt on paper as well, where it is shown at 0.6 of this so
/// that front and back lie beside each other.
const SCALE: f64 = 0.1;

pub(super) fn part(layouts: &[Layout]) -> Markup {
    let mut part = Markup::default();
    for (number, layout) in layouts.iter().enumerate() {
        let Some(sewn) = &layout.sewn else { continue };
        part.within("figure", &[("class", "sewn")], |figure| {
            let caption =
                format!("Seen from outside, with the cloth as it lies on {}; curved seams gape", layout.name);
            figure.element("figcaption", &[], &caption);
            figure.within("div", &[("class", "views")], |all| {
                views(all, sewn, &format!("sewn-{}", number + 1))
            });
        });
    }
    part
}

/// The views, of which the first holds the picture and the others show it again.
fn views(all: &mut Markup, sewn: &Sewn, id: &str) {
    let source = format!("data:image/svg+xml;base64,{}", STANDARD.encode(&sewn.svg));
    let (length, height) = (sewn.length.to_string(), sewn.height.to_string());
    for (i, view) in sewn.views.iter().enumerate() {
        let [left, top, wide, high] = view.part;
        let seen = format!("{left} {top} {wide} {high}");
        let style = format!("--wide: {:.1}mm", wide * SCALE);
        let name = format!("As it is sewn: {}", view.title);
        let attributes = [
            ("xmlns", SVG),
            ("viewBox", seen.as_str()),
            ("role", "img"),
            ("aria-label", name.as_str()),
            ("style", style.as_str()),
        ];
        all.within("svg", &attributes, |svg| match i {
            0 => {
                svg.empty("image", &[("id", id), ("href", &source), ("width", &length), ("height", &height)])
            }
            _ => svg.empty("use", &[("href", &format!("#{id}"))]),
        });
    }
}
