//! One way to see how pages lie: where each is, and what of it shows the drawing.

use kurbo::{Size, Vec2};

use super::furniture::Writing;
use super::grid::{Cell, PageStep, PagesSheet};
use super::joined::KnownPages;
use super::shapes::Shapes;
use super::told::PutTogetherBy;
use super::window::Windows;
use crate::drawing::drawn::DrawnPage;

/// Pages as they lie.
pub(super) struct LaidPages {
    pub windows: Windows,
    pub step: PageStep,
    pub sheets: Vec<PagesSheet>,
    pub by: PutTogetherBy,
    /// The places for which it was told that no page was printed.
    pub blank: Vec<Cell>,
}

impl LaidPages {
    /// By how much the windows of neighbours overlap, mm.
    pub fn overlap(&self) -> Vec2 {
        let window = self.windows.size().unwrap_or(Size::ZERO);
        Vec2::new((window.width - self.step.0.x).max(0.0), (window.height - self.step.0.y).max(0.0))
    }

    /// The pages, and what is known of them.
    pub fn known<'a>(
        &'a self,
        pages: &'a [&'a DrawnPage],
        shapes: &'a Shapes,
        writing: &'a Writing,
    ) -> KnownPages<'a> {
        KnownPages { pages, shapes, writing, windows: &self.windows.of, overlap: self.overlap() }
    }

    /// How many pages lie beside another.
    pub fn linked(&self) -> usize {
        self.sheets.iter().map(|sheet| sheet.0.len()).filter(|pages| *pages > 1).sum()
    }
}
