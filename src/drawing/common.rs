//! What both readers need: short texts for messages, scales, directions.

use kurbo::{Affine, BezPath, PathEl, Rect, Shape, Vec2};

use crate::drawing::limits;
use crate::tolerance::SHORT_PART;

/// An attribute with a value.
pub(crate) type Said = (&'static str, &'static str);

pub(in crate::drawing) fn panic_message(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no reason given".to_owned())
}

/// A value short enough for a message.
pub(in crate::drawing) fn quoted(value: &str) -> String {
    let mut short: String = value.chars().take(limits::QUOTED).collect();
    if short.len() < value.len() {
        short.push('…');
    }
    short
}

/// By what a transform makes lengths longer; one that stretches counts by its mean.
pub(in crate::drawing) fn mean_scale(transform: Affine) -> f64 {
    transform.determinant().abs().sqrt()
}

/// The rectangle that a line goes round, where it is upright.
pub(in crate::drawing) fn rectangle(path: &BezPath) -> Option<Rect> {
    let is_straight = |element: &PathEl| !matches!(element, PathEl::CurveTo(..) | PathEl::QuadTo(..));
    if path.elements().len() > 6 || !path.elements().iter().all(is_straight) {
        return None;
    }
    let bounds = path.control_box();
    let slack = SHORT_PART * (bounds.width() + bounds.height());
    ((path.area().abs() - bounds.area()).abs() <= slack).then_some(bounds)
}

/// A direction as a unit vector; across the page where it has none.
pub(in crate::drawing) fn unit_vector(way: Vec2) -> Vec2 {
    if way.hypot() > 0.0 && way.is_finite() { way / way.hypot() } else { Vec2::new(1.0, 0.0) }
}
