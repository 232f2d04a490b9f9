//! A panel: a part of a garment taken apart, any outline with its own grain.

use crate::cloth::ClothError;
use crate::curve::{Outline, Vec2, left_of};
use crate::tolerance::PANEL_FLATTENING;

/// A part of a garment taken apart, to be cut anew.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    name: String,
    outline: Outline,
    grain: Vec2,
    copies: u32,
}

impl Panel {
    /// The most copies of a panel.
    pub const MOST_COPIES: u32 = 99;

    /// A panel from its outline, drawn either way round, and the direction of its warp.
    ///
    /// # Errors
    ///
    /// Refuses an outline that crosses itself or encloses nothing.
    pub fn new(name: String, outline: Outline, grain: Vec2, copies: u32) -> Result<Panel, ClothError> {
        if !outline.self_crossings().is_empty() {
            return Err(ClothError::BadPanel("crosses itself"));
        }
        let outline = if outline.area() < 0.0 { outline.reversed() } else { outline };
        if outline.area() <= 0.0 {
            return Err(ClothError::BadPanel("encloses nothing"));
        }
        Ok(Panel { name, outline, grain: grain.normalize(), copies: copies.clamp(1, Panel::MOST_COPIES) })
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its outline, clockwise as seen, mm.
    #[must_use]
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The direction of its warp, of length one.
    #[must_use]
    pub fn grain(&self) -> Vec2 {
        self.grain
    }

    /// How many there are of it.
    #[must_use]
    pub fn copies(&self) -> u32 {
        self.copies
    }

    /// So many of it, from one to [`Panel::MOST_COPIES`].
    #[must_use]
    pub fn copied(&self, copies: u32) -> Panel {
        Panel { copies: copies.clamp(1, Panel::MOST_COPIES), ..self.clone() }
    }

    /// How far it reaches across its grain and along it, mm.
    #[must_use]
    pub fn reach(&self) -> (f64, f64) {
        let across = left_of(self.grain);
        let points = || self.outline.curves().iter().flat_map(|curve| curve.flattened(PANEL_FLATTENING));
        let reach = |way: Vec2| {
            let at = points().map(|point| point.to_vec2().dot(way));
            let (least, most) =
                at.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), at| (l.min(at), m.max(at)));
            most - least
        };
        (reach(across), reach(self.grain))
    }
}
