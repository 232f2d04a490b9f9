//! A dart that is drawn short of the edge on which it opens: once for several sizes, or only as far as the seamline.

use crate::curve::{Curve, Outline, Point, Vec2};
use crate::tolerance::{DART_SHORT, WELD};

/// A line of two legs with both of them run on to the outline around it, and by how much the one that lacked more.
pub(super) struct DartRunOut {
    pub(super) line: Curve,
    pub(super) by: f64,
}

/// Runs the legs of a dart that ends short of an outline straight on to it; none of a line that is no such dart: one sharp turn
/// inside, and legs that are longer than their ends are apart.
pub(super) fn run_on(line: &Curve, ring: &Outline) -> Option<DartRunOut> {
    let turns: Vec<f64> =
        line.joints().into_iter().filter(|joint| joint.turn.abs() > 1.0).map(|joint| joint.at).collect();
    let [tip] = turns[..] else { return None };
    if line.start() == line.end() {
        return None;
    }
    let (start, first) = reached(line.start(), -line.start_tangent(), ring)?;
    let (end, second) = reached(line.end(), line.end_tangent(), ring)?;
    let by = first.max(second);
    let is_dart = start.distance(end) < tip.min(line.length() - tip);
    if by == 0.0 || !is_dart {
        return None;
    }
    let mut whole = line.clone();
    if first > 0.0 {
        whole = Curve::line(start, line.start()).ok()?.joined_within(&whole, WELD).ok()?;
    }
    if second > 0.0 {
        whole = whole.joined_within(&Curve::line(line.end(), end).ok()?, WELD).ok()?;
    }
    Some(DartRunOut { line: whole, by })
}

/// Where a leg reaches an outline that it ends short of, and how far that is; the end itself where that lies on it.
fn reached(end: Point, way: Vec2, ring: &Outline) -> Option<(Point, f64)> {
    if ring.distance(end) <= WELD {
        return Some((end, 0.0));
    }
    if !ring.contains(end) {
        return None;
    }
    let ahead = Curve::line(end, end + way * DART_SHORT).ok()?;
    let met = ring.crossings_with(&ahead).into_iter().map(|crossing| crossing.point);
    let nearest = met.min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))?;
    Some((nearest, nearest.distance(end)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Outline {
        let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 300.0), (0.0, 300.0), (0.0, 0.0)].map(Point::from);
        let sides = corners.windows(2).map(|ends| Curve::line(ends[0], ends[1]).unwrap());
        Outline::new(sides.collect::<Vec<_>>()).unwrap()
    }

    fn legs(points: [(f64, f64); 3]) -> Curve {
        Curve::polyline(&points.map(Point::from)).unwrap()
    }

    #[test]
    fn legs_run_straight_on_to_the_edge_as_far_as_sizes_differ() {
        let short = run_on(&legs([(91.0, 10.0), (100.0, 100.0), (109.0, 10.0)]), &square()).unwrap();
        assert!((short.by - 10.0 * (1.0_f64 + 0.01).sqrt()).abs() < 1e-9, "{}", short.by);
        assert!(short.line.start().distance(Point::new(90.0, 0.0)) < 1e-9, "{:?}", short.line.start());
        assert!(short.line.end().distance(Point::new(110.0, 0.0)) < 1e-9, "{:?}", short.line.end());
        let one = run_on(&legs([(90.0, 0.0), (100.0, 100.0), (109.0, 10.0)]), &square()).unwrap();
        assert_eq!(one.line.start(), Point::new(90.0, 0.0));
        // On the edge already, far from every edge, wider than long, and with an end outside.
        for no in [
            [(90.0, 0.0), (100.0, 100.0), (110.0, 0.0)],
            [(95.0, 60.0), (100.0, 100.0), (105.0, 60.0)],
            [(40.0, 10.0), (100.0, 40.0), (160.0, 10.0)],
            [(91.0, -10.0), (100.0, 100.0), (109.0, 10.0)],
        ] {
            assert!(run_on(&legs(no), &square()).is_none(), "{no:?}");
        }
    }
}
