//! To which part of a cut piece a thing belongs that stands on it.
//!
//! What lies on the cut itself lies on both parts' edge. Whether it is found inside the one or the other would hang on the
//! last digits of its coordinates, which a sheet rounds; so it is decided by the side of the cut that a part lies on.
//!
//! ```text
//!        ┌─────────┐
//!        │  above  │   a level along which the piece is cut goes with the part above
//!        ├─ ─ ─ ─ ─┤
//!        │  below  │
//!        └─────────┘
//! ```

use crate::curve::{Outline, Point, right_of};
use crate::pattern::Piece;
use crate::tolerance::{BESIDE_GRAIN, SAME_CUT};

/// How a place of a piece lies to one part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lies {
    Inside,
    Outside,
    /// On a cut, with the part above it by the piece's grain; left of it where the cut runs with the grain.
    OnCutBelow,
    /// On a cut, with the part below it, or right of it.
    OnCutAbove,
}

impl Lies {
    /// Whether it goes along with the part: each thing on a cut with one of the two.
    pub(crate) fn goes_along(self) -> bool {
        matches!(self, Lies::Inside | Lies::OnCutBelow)
    }
}

/// How a place of a piece lies to the part of it within a region. A place on the piece's own outline lies inside.
pub(crate) fn lies(piece: &Piece, region: &Outline, point: Point) -> Lies {
    let near = region.curves().iter().map(|curve| (curve, curve.nearest(point)));
    let nearest = near.min_by(|a, b| a.1.distance.total_cmp(&b.1.distance));
    let Some((curve, on)) = nearest.filter(|(_, on)| on.distance <= SAME_CUT) else {
        return if region.contains(point) { Lies::Inside } else { Lies::Outside };
    };
    if piece.nearest_on_outline(point).distance <= SAME_CUT {
        return Lies::Inside;
    }
    let outward = curve.normal_outward(on.at) * region.area().signum();
    let down = piece.grain_or_down();
    let (below, right) = (outward.dot(down), outward.dot(right_of(down)));
    let part_is_before = if below.abs() > BESIDE_GRAIN { below > 0.0 } else { right > 0.0 };
    if part_is_before { Lies::OnCutBelow } else { Lies::OnCutAbove }
}
