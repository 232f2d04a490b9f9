//! Whether the cutting lines of two pieces end alike where a seam brings their corners together.

use crate::allowance::beside::cut_depth;
use crate::allowance::order::{CornerOf, run_end};
use crate::allowance::{CutCorner, CutShape, CuttingLine, CuttingLines};
use crate::curve::{Curve, Motion, left_of, right_of};
use crate::pattern::{EdgeEnd, EdgeId, EdgeRef, Finish, Pattern, SeamId, Side};
use crate::tolerance::{JUST_INSIDE, MITRE_REACH, SAME_POINT};

/// How the cutting lines on the two sides of a seam end where they come together.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingLineEnds {
    /// The two corners, in the order of the seam's sides: for each the sewn edge, and the neighbour it meets there.
    pub at: [(EdgeRef, EdgeRef); 2],
    /// With the stitching lines matched, how far one line ends beyond the other, mm: measured along the stitching
    /// line, within a turned-up hem along its mirror image. That the allowances themselves differ does not count.
    pub gap: f64,
}

impl CuttingLines {
    /// The cut ends of a seam that must meet.
    ///
    /// An end counts unless another seam is sewn first there, or it lies on a fold: its line then runs on into the next
    /// across that seam or fold, and has no end; nor has one that is cut off by the selvedge, or that runs into the
    /// neighbour's own allowance: what lies there is no end of the seam's.
    #[must_use]
    pub fn seam_ends(&self, pattern: &Pattern, seam: SeamId) -> Vec<CuttingLineEnds> {
        let end = |end: EdgeEnd| {
            let sides = Side::BOTH.map(|side| run_end(pattern, pattern.seam(seam).side(side), end));
            let [Some(first), Some(second)] = sides else { return None };
            let ends = [first, second].map(|(corner, edge)| self.cut_end(corner, edge, seam));
            let [Some(a), Some(b)] = ends else { return None };
            let at = [first, second].map(|(corner, edge)| named(corner, edge));
            Some(CuttingLineEnds { at, gap: (a - b).abs() })
        };
        [EdgeEnd::First, EdgeEnd::Last].into_iter().filter_map(end).collect()
    }

    /// How far the line beside a sewn edge ends beyond its corner, measured along the stitching line; nothing where
    /// another seam is sewn first there, or the corner lies on a fold.
    fn cut_end(&self, of: CornerOf<'_>, edge: EdgeId, seam: SeamId) -> Option<f64> {
        let line = self.of(of.piece.name())?;
        let corner = line.corners.get(of.after.0)?;
        let at_fold = of.piece.edge(of.neighbour(edge)).finish == Finish::Fold;
        let has_no_end = matches!(corner.shape, CutShape::AtSelvedge | CutShape::IntoNeighbour(_));
        if corner.sewn_first != Some(seam) || at_fold || has_no_end {
            return None;
        }
        let turned_up = matches!(corner.shape, CutShape::TurnedUp(hem) if hem != edge);
        let in_hem = if turned_up { to_hem_end(of, edge, line) } else { None };
        Some(in_hem.unwrap_or_else(|| overhang(of, line, corner, edge)))
    }
}

fn named(of: CornerOf<'_>, edge: EdgeId) -> (EdgeRef, EdgeRef) {
    let name = |id: EdgeId| of.piece.edge_ref(id);
    (name(edge), name(of.neighbour(edge)))
}

/// A sewn edge as it arrives at a corner.
fn arriving(of: CornerOf<'_>, edge: EdgeId) -> Curve {
    let curve = &of.piece.edge(edge).curve;
    if edge == of.after { curve.clone() } else { curve.reversed() }
}

/// How far the cloth beside a sewn edge reaches beyond its corner. Where the corner is squared to the neighbour, whose end
/// may stand higher than the edge's own line, the cloth runs on beneath it.
fn overhang(of: CornerOf<'_>, line: &CuttingLine, corner: &CutCorner, edge: EdgeId) -> f64 {
    let seamline = arriving(of, edge);
    let along = seamline.end_tangent();
    let (end, out) =
        if edge == of.after { (corner.ends.0, left_of(along)) } else { (corner.ends.1, right_of(along)) };
    let end = match corner.shape {
        CutShape::Square(to) if to != edge => {
            line.met_from(end - JUST_INSIDE * (along + out), along).unwrap_or(end)
        }
        _ => end,
    };
    let ahead = (end - seamline.end()).dot(along);
    if ahead >= 0.0 { ahead } else { seamline.nearest(end).at - seamline.length() }
}

/// How far the stitching line runs within a hem's allowance, where it is its own mirror image, until the hem ends;
/// nothing where the seam has no allowance there to be stitched through.
fn to_hem_end(of: CornerOf<'_>, edge: EdgeId, line: &CuttingLine) -> Option<f64> {
    let hem = arriving(of, of.neighbour(edge));
    let fold = Motion::mirror_in(hem.end(), hem.end() + hem.end_tangent()).ok()?;
    let seamline = arriving(of, edge).reversed();
    let depth = cut_depth(of.piece, of.neighbour(edge));
    if cut_depth(of.piece, edge) <= SAME_POINT || depth <= SAME_POINT {
        return None;
    }
    let cut = Curve::from_path(&line.path).ok()?;
    let in_hem = seamline.moved(&fold).run_on(0.0, MITRE_REACH * depth);
    in_hem.crossings(&cut).into_iter().map(|crossing| crossing.at).min_by(f64::total_cmp)
}
