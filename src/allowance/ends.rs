//! Whether the cutting lines of two pieces end alike where a seam brings their corners together.

use crate::allowance::order::{CornerOf, run_end};
use crate::allowance::{AllowanceError, CutCorner, CutShape, CuttingLines, cutting_lines};
use crate::curve::{Motion, Point};
use crate::pattern::{EdgeEnd, EdgeId, EdgeRef, Pattern, SeamId, Side};

/// How the cutting lines on the two sides of a seam end where they come together.
#[derive(Clone, Debug, PartialEq)]
pub struct CutEnd {
    /// The two corners, in the order of the seam's sides: for each the sewn edge, and the neighbour it meets there.
    pub at: [(EdgeRef, EdgeRef); 2],
    /// With the stitching lines matched, how far one line ends beyond the other, measured along the seam, mm. That the
    /// allowances themselves differ does not count.
    pub gap: f64,
}

/// The cut ends of a seam that must meet.
///
/// An end counts unless another seam is sewn first there: its neighbours then run on into one another across that seam,
/// and have no end.
///
/// # Errors
///
/// As [`cutting_lines`].
pub fn seam_ends(pattern: &Pattern, seam: SeamId) -> Result<Vec<CutEnd>, AllowanceError> {
    Ok(cutting_lines(pattern)?.seam_ends(pattern, seam))
}

impl CuttingLines {
    /// The cut ends of a seam that must meet; see [`seam_ends`].
    #[must_use]
    pub fn seam_ends(&self, pattern: &Pattern, seam: SeamId) -> Vec<CutEnd> {
        let end = |end: EdgeEnd| {
            let sides = Side::BOTH.map(|side| run_end(pattern, pattern.seam(seam).side(side), end));
            let [Some(first), Some(second)] = sides else { return None };
            let ends = [first, second].map(|(corner, edge)| self.cut_end(corner, edge, seam));
            let [Some(a), Some(b)] = ends else { return None };
            let at = [first, second].map(|(corner, edge)| named(corner, edge));
            Some(CutEnd { at, gap: (a - b).abs() })
        };
        [EdgeEnd::First, EdgeEnd::Last].into_iter().filter_map(end).collect()
    }

    /// How far the line beside a sewn edge ends beyond its corner, measured along the stitching line; nothing where
    /// another seam is sewn first there.
    fn cut_end(&self, of: CornerOf<'_>, edge: EdgeId, seam: SeamId) -> Option<f64> {
        let corner = self.of(of.piece.name())?.corners.get(of.after.0)?;
        if corner.sewn_first != Some(seam) {
            return None;
        }
        Some(overhang(of, corner, edge))
    }
}

fn named(of: CornerOf<'_>, edge: EdgeId) -> (EdgeRef, EdgeRef) {
    let name = |id: EdgeId| EdgeRef::new(of.piece.name().clone(), of.piece.edge(id).name.clone());
    (name(edge), name(of.neighbour(edge)))
}

fn overhang(of: CornerOf<'_>, corner: &CutCorner, edge: EdgeId) -> f64 {
    let curve = &of.piece.edge(edge).curve;
    let arrives = edge == of.after;
    let (at, along, end) = if arrives {
        (curve.end(), curve.end_tangent(), corner.ends.0)
    } else {
        (curve.start(), -curve.start_tangent(), corner.ends.1)
    };
    let end = match corner.shape {
        CutShape::TurnedUp(hem) if hem != edge => turned_up(of, hem, end),
        _ => end,
    };
    let ahead = (end - at).dot(along);
    if ahead >= 0.0 {
        return ahead;
    }
    let near = curve.nearest(end);
    if arrives { near.at - curve.length() } else { -near.at }
}

/// Where a point lies when the hem is turned up.
fn turned_up(of: CornerOf<'_>, hem: EdgeId, point: Point) -> Point {
    let curve = &of.piece.edge(hem).curve;
    let (at, along) = if hem == of.after {
        (curve.end(), curve.end_tangent())
    } else {
        (curve.start(), curve.start_tangent())
    };
    Motion::mirror_in(at, at + along).map_or(point, |mirror| mirror.apply(point))
}
