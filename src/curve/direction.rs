//! Directions: what lies on the left and right of a way, and the angles between ways.

use kurbo::Vec2;

use super::Radians;

/// One of the two sides of a way, as seen along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LeftOrRight {
    Left,
    Right,
}

/// The direction to the left of a way, as long as it: outward where the way runs round an outline.
pub fn left_of(way: Vec2) -> Vec2 {
    Vec2::new(way.y, -way.x)
}

/// The direction to the right of a way, as long as it: inward where the way runs round an outline.
pub fn right_of(way: Vec2) -> Vec2 {
    Vec2::new(-way.y, way.x)
}

/// The turn from one direction to another, within −π..=π, positive clockwise as seen.
pub fn turn_between(from: Vec2, to: Vec2) -> Radians {
    Radians(from.cross(to).atan2(from.dot(to)))
}

/// The angle between two lines, within 0..=π/2, whichever way each of them runs.
pub fn angle_between_lines(one: Vec2, other: Vec2) -> Radians {
    Radians(one.cross(other).abs().atan2(one.dot(other).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On a sheet whose y axis points down, south is on the right of the way east.
    #[test]
    fn right_of_the_way_east_is_south() {
        let (east, south) = (Vec2::new(2.0, 0.0), Vec2::new(0.0, 2.0));
        assert_eq!((right_of(east), left_of(east)), (south, -south));
        approx::assert_relative_eq!(turn_between(east, south).degrees(), 90.0);
        approx::assert_relative_eq!(turn_between(south, east).degrees(), -90.0);
    }

    #[test]
    fn lines_have_no_direction() {
        let (one, other) = (Vec2::new(1.0, 0.0), Vec2::new(-1.0, 1.0));
        approx::assert_relative_eq!(angle_between_lines(one, other).degrees(), 45.0);
        assert_eq!(angle_between_lines(one, other), angle_between_lines(-other, one));
    }
}
