//! How a page lies: its boxes, how it is turned, and how large its unit is.

use hayro_syntax::page::{Page, Rotation};
use kurbo::{Affine, Rect};

use crate::drawing::unit::UserUnit;

/// How a page lies in millimetres, y down, what is seen of it from nothing on.
#[derive(Clone, Copy, Debug)]
pub(super) struct PageFrame {
    /// From the page's own units.
    pub to_mm: Affine,
    /// What is seen of it: what of its media box lies in its crop box.
    pub seen: Rect,
    /// Its media box.
    pub whole: Rect,
}

/// Millimetres in a unit of a page: a printer's point, or as many as the page says.
pub(super) fn unit_of(page: &Page<'_>) -> f64 {
    let user_unit = page.raw().get::<f64>(b"UserUnit").filter(|unit| unit.is_finite() && *unit > 0.0);
    UserUnit::Pt.mm() * user_unit.unwrap_or(1.0)
}

impl PageFrame {
    /// The frame of a page of which a unit is `mm_per_unit`.
    pub fn of(page: &Page<'_>, mm_per_unit: f64) -> PageFrame {
        let rect = |own: hayro_syntax::object::Rect| Rect::new(own.x0, own.y0, own.x1, own.y1);
        let media = rect(page.media_box());
        let shared = rect(page.crop_box()).intersect(media);
        let seen = if shared.area() > 0.0 { shared } else { media };
        let turned = match page.rotation() {
            Rotation::None => Affine::new([1.0, 0.0, 0.0, -1.0, -seen.x0, seen.y1]),
            Rotation::Horizontal => Affine::new([0.0, 1.0, 1.0, 0.0, -seen.y0, -seen.x0]),
            Rotation::Flipped => Affine::new([-1.0, 0.0, 0.0, 1.0, seen.x1, -seen.y0]),
            Rotation::FlippedHorizontal => Affine::new([0.0, -1.0, -1.0, 0.0, seen.y1, seen.x1]),
        };
        let to_mm = Affine::scale(mm_per_unit) * turned;
        PageFrame { to_mm, seen: to_mm.transform_rect_bbox(seen), whole: to_mm.transform_rect_bbox(media) }
    }

    /// Whether a part of the page is cropped away.
    pub fn is_cropped(&self) -> bool {
        self.seen != self.whole
    }
}
