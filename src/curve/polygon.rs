//! Polygons, as the lists of their corners: hull, area, and what point-in-polygon and distance are built of.

use kurbo::Point;

/// The area by the shoelace formula, mm²; positive where the border runs clockwise as seen.
pub fn polygon_area(points: &[Point]) -> f64 {
    let Some(origin) = points.first() else { return 0.0 };
    let doubled: f64 = points.windows(2).map(|pair| (pair[0] - *origin).cross(pair[1] - *origin)).sum();
    doubled / 2.0
}

/// The convex hull, with positive area and without points on its edges (monotone chain, Andrew 1979).
pub fn convex_hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Point> = Vec::new();
    for pass in 0..2 {
        let start = hull.len();
        for point in &sorted {
            while hull.len() >= start + 2 {
                let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
                if (b - a).cross(*point - a) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(*point);
        }
        hull.pop();
        if pass == 0 {
            sorted.reverse();
        }
    }
    hull
}

/// Whether an edge of a polygon crosses the ray that runs from a point to the right: a point lies inside where that is so
/// of an odd number of edges.
#[inline]
pub fn crosses_ray(point: Point, (a, b): (Point, Point)) -> bool {
    (a.y > point.y) != (b.y > point.y) && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x
}

/// The square of the distance of a point to a segment, mm².
#[inline]
pub fn distance_squared(point: Point, (a, b): (Point, Point)) -> f64 {
    let along = b - a;
    let square = along.hypot2();
    let share = if square > 0.0 { ((point - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    (point - (a + along * share)).hypot2()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ARROW: [(f64, f64); 5] = [(0.0, 0.0), (10.0, 5.0), (0.0, 10.0), (3.0, 5.0), (3.0, 4.0)];

    #[test]
    fn a_hull_leaves_out_hollows_and_points_on_its_edges() {
        let points = ARROW.iter().copied().chain([(5.0, 2.5)]).map(Point::from).collect::<Vec<_>>();
        let hull = convex_hull(&points);
        assert_eq!(hull, [(0.0, 0.0), (10.0, 5.0), (0.0, 10.0)].map(Point::from));
        assert!((polygon_area(&hull) - 50.0).abs() < 1e-12);
    }

    #[test]
    fn a_ray_from_a_hollow_crosses_twice() {
        let corners = ARROW.map(Point::from);
        let crossed = |at: (f64, f64)| {
            let edges = corners.iter().copied().zip(corners.iter().copied().cycle().skip(1));
            edges.filter(|edge| crosses_ray(Point::from(at), *edge)).count()
        };
        assert_eq!([crossed((5.0, 5.5)), crossed((1.0, 5.5)), crossed((20.0, 5.5))], [1, 2, 0]);
    }

    #[test]
    fn beyond_the_end_of_a_segment_its_end_is_nearest() {
        let edge = (Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        assert_eq!(distance_squared(Point::new(5.0, 2.0), edge), 4.0);
        assert_eq!(distance_squared(Point::new(13.0, 4.0), edge), 25.0);
        assert_eq!(distance_squared(Point::new(3.0, 4.0), (edge.0, edge.0)), 25.0);
    }
}
