//! A ruler along the edge of the cloth.

use kurbo::Point;

use crate::cloth::picture::svg::{Anchor, SvgPage, Words, Written};
use crate::units::{Length, MM_PER_INCH, Unit};

/// Draws a ruler downward from a line; gives its height.
pub(super) fn draw(page: &mut SvgPage, corner: Point, length: f64, text: f64, unit: Unit) -> f64 {
    let (step, per_label, label): (f64, usize, fn(f64) -> String) = match unit {
        Unit::Inch => (MM_PER_INCH, 6, |mm| Length::from_mm(mm).show(Unit::Inch)),
        Unit::Millimetre => (10.0, 10, |mm| format!("{mm:.0}")),
        Unit::Centimetre => (10.0, 10, |mm| format!("{:.0}", mm / 10.0)),
    };
    let size = text * 0.6;
    let name = match unit {
        Unit::Millimetre => " mm",
        Unit::Centimetre => " cm",
        Unit::Inch => "",
    };
    page.begin_group("ruler");
    let count = (length / step).floor() as usize;
    for i in 0..=count {
        let x = corner.x + i as f64 * step;
        let labelled = i % per_label == 0;
        let tall = if labelled { 6.0 } else { 3.0 };
        page.line("tick", Point::new(x, corner.y), Point::new(x, corner.y + tall));
        if labelled {
            let text = label(i as f64 * step);
            let text = if i == 0 { format!("{text}{name}") } else { text };
            let anchor = if i == 0 { Anchor::Start } else { Anchor::Middle };
            let at = Point::new(x, corner.y + 6.0 + size);
            page.words(&Words { text, at, size, anchor, written: Written::Across, class: "quiet" });
        }
    }
    page.end_group();
    6.0 + 1.4 * size
}
