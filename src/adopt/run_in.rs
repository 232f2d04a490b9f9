//! Where a mark on the line that is cut, run on, meets the seamline.

use kurbo::Point;

use crate::curve::Curve;
use crate::tolerance::{ON_OUTLINE, SHORT_PART, WELD, WIDEST_ALLOWANCE};

/// A place on a seamline that a mark leads to.
pub(super) struct LedTo {
    /// Which of the edges.
    pub edge: usize,
    /// How far along it, mm.
    pub at: f64,
    pub point: Point,
}

/// The nearest place at which a straight mark that stands at a place of the cutting line meets one of some edges, run on
/// both ways. None where it is bent, or leads to none within the widest allowance.
///
/// Ticks are drawn square to the seamline at the place that they mark, both of a double notch the same way: where the seamline
/// bends, the place that is nearest to a tick is another one.
pub(super) fn led_to(mark: &Curve, from: Point, edges: &[Curve]) -> Option<LedTo> {
    let way = mark.end() - mark.start();
    if mark.start() == mark.end() || way.hypot() <= SHORT_PART || !mark.is_straight(ON_OUTLINE) {
        return None;
    }
    let reach = way * (WIDEST_ALLOWANCE / way.hypot());
    let line = Curve::line(from - reach, from + reach).ok()?;
    let bounds = line.bounds().inflate(WELD, WELD);
    let near =
        edges.iter().enumerate().filter(|(_, edge)| edge.bounds().inflate(WELD, WELD).overlaps(bounds));
    let met = near.flat_map(|(edge, curve)| {
        let met = curve.crossings(&line).into_iter();
        met.map(move |crossing| LedTo { edge, at: crossing.at, point: crossing.point })
    });
    met.min_by(|a, b| a.point.distance(from).total_cmp(&b.point.distance(from)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In a hollow the place nearest to a tick 15 mm off lies elsewhere than where it leads to.
    #[test]
    fn a_tick_leads_square_through_the_allowance() {
        let hollow = Curve::from_path(&kurbo::BezPath::from_svg("M0 0 C 10 20 30 20 40 0").expect("a path"));
        let hollow = hollow.expect("a curve");
        let at = Point::new(22.0, 29.0);
        let tick = Curve::line(at, Point::new(22.0, 25.5)).expect("a tick");
        let led = led_to(&tick, at, std::slice::from_ref(&hollow)).expect("it meets the edge");
        assert!((led.point.x - 22.0).abs() < 1e-6);
        assert!((hollow.nearest(at).point.x - 22.0).abs() > 0.5, "{:?}", hollow.nearest(at).point);
        let away = Curve::line(at, Point::new(25.5, 29.0)).expect("a tick");
        assert!(led_to(&away, at, std::slice::from_ref(&hollow)).is_none());
    }
}
