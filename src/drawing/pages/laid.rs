//! One way to see how pages lie: where each is, and what of it shows the drawing.

use kurbo::{Size, Vec2};

use super::grid::{Sheet, Step};
use super::told::PutTogetherBy;
use super::window::Windows;

/// Pages as they lie.
pub(super) struct Laid {
    pub windows: Windows,
    pub step: Step,
    pub sheets: Vec<Sheet>,
    pub by: PutTogetherBy,
}

impl Laid {
    /// By how much the windows of neighbours overlap, mm.
    pub fn overlap(&self) -> Vec2 {
        let window = self.windows.size().unwrap_or(Size::ZERO);
        Vec2::new((window.width - self.step.0.x).max(0.0), (window.height - self.step.0.y).max(0.0))
    }

    /// How many pages lie beside another.
    pub fn linked(&self) -> usize {
        self.sheets.iter().map(|sheet| sheet.0.len()).filter(|pages| *pages > 1).sum()
    }
}
