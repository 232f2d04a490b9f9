//! Places on an edge as they are written and read.

use crate::curve::{Curve, Point, Vec2, left_of};
use crate::drawing::number::{WriteFault, number};

/// How often a place is moved before it is taken as it is. Each move brings it nearer to the edge by a step of the
/// decimals that are written, of which there are but a few.
const MOVES: usize = 16;

/// A place on an edge such that, written with the decimals of a sheet and put back on the edge by the reader, it is
/// written again as the same point.
pub(crate) struct EdgePlace {
    /// The walk distance.
    pub at: f64,
    /// The point as it is written.
    pub point: Point,
    /// The direction of the edge there.
    pub along: Vec2,
}

impl EdgePlace {
    /// The place of a walk distance, moved by no more than the decimals of a sheet can tell.
    ///
    /// # Errors
    ///
    /// A coordinate is not finite.
    pub(super) fn on(curve: &Curve, at: f64) -> Result<EdgePlace, WriteFault> {
        let mut at = at;
        let mut point = written(curve.point_at(at))?;
        for _ in 0..MOVES {
            at = curve.nearest(point).at;
            let again = written(curve.point_at(at))?;
            if again == point {
                break;
            }
            point = again;
        }
        Ok(EdgePlace { at, point, along: curve.tangent_at(at) })
    }

    /// The walk distance of a place that was read: it is moved at once as it would be by writing it, so that what is
    /// derived from it does not change by the next trip.
    pub(crate) fn settled(curve: &Curve, at: f64) -> f64 {
        EdgePlace::on(curve, at).map_or(at, |foot| foot.at)
    }

    /// The direction out of the piece.
    pub(super) fn outward(&self) -> Vec2 {
        left_of(self.along)
    }
}

/// A point as it is read back.
fn written(point: Point) -> Result<Point, WriteFault> {
    let written = |value: f64| Ok(number(value)?.parse().unwrap_or(value));
    Ok(Point::new(written(point.x)?, written(point.y)?))
}
