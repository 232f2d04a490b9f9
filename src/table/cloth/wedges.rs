//! Panels of a garment that was taken apart, by their measures: straight from top to bottom, both ends square to the grain, which
//! runs down their middle. Panels of any other outline stand in a drawing that the cloth file names.

use serde::Deserialize;

use crate::pattern::ClothName;
use crate::table::said::Refused;
use crate::tolerance::MOST_PANEL;
use crate::units::Length;

/// The name of the drawing of a panel, where it is free.
pub(super) const PANEL_FILE: &str = "panel.svg";

/// The id of its outline.
pub(super) const PANEL_ID: &str = "panel";

/// So many panels alike.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Wedges {
    /// Of which cloth.
    pub(super) cloth: ClothName,
    /// How many.
    pub(super) copies: u32,
    top: Length,
    bottom: Length,
    length: Length,
}

impl Wedges {
    /// The drawing of one of them.
    pub(super) fn drawing(&self) -> Result<String, Refused> {
        let (top, bottom, length) = (self.top.mm(), self.bottom.mm(), self.length.mm());
        let is_size = |mm: f64| mm > 0.0 && mm <= MOST_PANEL;
        if !(is_size(length) && is_size(top.max(bottom)) && top.min(bottom) >= 0.0) {
            let way_out = "give a length, and a width at the top or the bottom, from 1mm to 20m";
            return Err(Refused::plain("such a panel cannot be", way_out));
        }
        let wide = top.max(bottom);
        let (left, right) = ((wide - top) / 2.0, (wide - bottom) / 2.0);
        let corners = format!("M{left} 0 L{} 0 L{} {length} L{right} {length} Z", left + top, right + bottom);
        Ok(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{length}mm\" viewBox=\"0 0 {wide} {length}\">\n\
             <path id=\"{PANEL_ID}\" d=\"{corners}\"/>\n</svg>\n"
        ))
    }
}
