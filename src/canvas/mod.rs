//! What everything that is looked at has in common: pictures, prints, layouts, pages, and lines in a terminal.
//!
//! [`Drawing`] is one neutral list of strokes, fills and labels in millimetres, and a [`LineKind`] decides how a stroke looks;
//! `LabelRoom` is the one placer of labels, [`Font`] the one face and the only measure of how wide a text is; `svg` writes a
//! drawing. [`clean`] is the one place that decides which signs of a text a person is shown, and [`escaped`] the one that
//! makes such a text part of SVG or HTML. May use `curve`, `units` and `tolerance`; knows nothing of patterns.
//!
//! # Examples
//!
//! ```
//! use retrue::canvas::{Font, clean, escaped};
//!
//! assert_eq!(clean("front\u{202E}kcab"), "front\u{FFFD}kcab");
//! assert_eq!(escaped("cut < 2 \"pairs\""), "cut &lt; 2 &quot;pairs&quot;");
//! assert!(Font::get().width("WWW") > 3.0 * Font::get().width("iii"));
//! ```

mod drawing;
mod font;
mod labels;
mod place;
mod ring;
mod room;
mod svg;
mod text;
mod within;

pub use drawing::{Drawing, Fill, Label, Layer, LineKind, Look, Stroke, Tone, polygon, straight};
pub use font::Font;
pub use place::Lying;
pub use text::{attribute_value, character_data, clean, escaped, is_unseen, shortened, shown};

pub(crate) use drawing::{arrow, bounds_of};
pub(crate) use font::{FILE, Glyph};
pub(crate) use labels::{
    AIR, LabelSpot, TextLine, around, block, broken, broken_name, places_over, readable, spots_over, wrapped,
};
pub(crate) use place::{Area, BoxOrder, BoxSizes, Put, Turning, place};
pub(crate) use ring::{Ring, chords, clipped, crossings, hatched, holds, points, rays};
pub(crate) use room::{LabelRoom, Stands};
pub(crate) use svg::{
    FACES, ForeignThing, HALO, Letters, SvgPicture, foreign_in_page, group_in_page, in_page, labels_in_page,
    lettered_in, number, path_data, svg,
};
