//! The final check of a layout: on the true cutting lines, and apart from the search.
//!
//! Nothing lies over another piece or a flaw, nothing over the edge of the cloth, the gap is kept, the grain lies as the
//! cloth allows, edges lie on the selvedge and half pieces on the fold. How stripes meet is measured, not ruled.

use kurbo::Shape;

use crate::allowance::Halves;
use crate::cloth::layout::region::{Inside, deepest};
use crate::cloth::layout::{LaidCopy, LayError, LayTask, Spread};
use crate::cloth::{Cloth, Crosswise, Direction};
use crate::curve::Curve;
use crate::pattern::{Arrows, Piece, Selvedge};
use crate::tolerance::{GRAIN_TURNED, LAID_OVER, OFF_SELVEDGE, SELVEDGE_STRAYS};

/// A rule that a layout breaks.
#[derive(Clone, Debug, PartialEq)]
pub enum Broken {
    /// Two copies lie over each other, or nearer than the gap, by mm.
    TooNear {
        /// The one, as it is called.
        first: String,
        /// The other.
        second: String,
        /// By how much.
        by: f64,
    },
    /// A copy lies over a flaw by mm.
    OverFlaw {
        /// The copy.
        copy: String,
        /// How deep.
        by: f64,
    },
    /// A copy reaches over the edge of the cloth by mm.
    Outside {
        /// The copy.
        copy: String,
        /// By how much.
        by: f64,
    },
    /// A copy lies at a turn to the grain that the cloth does not allow, degrees.
    OffGrain {
        /// The copy.
        copy: String,
        /// The turn.
        degrees: f64,
    },
    /// An edge does not lie on a selvedge, or a half piece not on the fold, by mm.
    OffEdge {
        /// The copy.
        copy: String,
        /// The edge.
        edge: String,
        /// By how much.
        by: f64,
    },
}

impl std::fmt::Display for Broken {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Broken::TooNear { first, second, by } => {
                write!(f, "{first} and {second} are too near by {by:.3} mm")
            }
            Broken::OverFlaw { copy, by } => write!(f, "{copy} lies over a flaw by {by:.3} mm"),
            Broken::Outside { copy, by } => write!(f, "{copy} reaches over the edge by {by:.3} mm"),
            Broken::OffGrain { copy, degrees } => write!(f, "{copy} lies at {degrees:.2}° to the grain"),
            Broken::OffEdge { copy, edge, by } => write!(f, "{copy}: {edge} lies {by:.3} mm off the edge"),
        }
    }
}

/// All rules that a layout of a task breaks.
///
/// # Errors
///
/// A copy whose piece or cloth is not there.
pub fn broken(task: &LayTask<'_>, lying: &[LaidCopy]) -> Result<Vec<Broken>, LayError> {
    let mut found = Vec::new();
    let regions: Vec<Inside> = lying.iter().map(|lying| Inside::of(&lying.path(task))).collect();
    on_the_ground(task, lying, &regions, &mut found);
    apart(task, lying, &regions, &mut found)?;
    for lying in lying {
        let (piece, cloth) = task.of_copy(&task.copies[lying.copy])?;
        found.extend(off_grain(task, lying, piece, cloth));
        off_edges(task, lying, piece, &mut found);
    }
    Ok(found)
}

/// How far depths are told: beyond it the exact figure is of no use.
const REACH: f64 = 20.0;

fn on_the_ground(task: &LayTask<'_>, lying: &[LaidCopy], regions: &[Inside], found: &mut Vec<Broken>) {
    for (place, ground) in task.grounds.iter().enumerate() {
        let border = Inside::of(&ground.border);
        let flaws: Vec<Inside> =
            ground.flaws.iter().map(|flaw| Inside::of(&flaw.to_path(LAID_OVER))).collect();
        for (lying, region) in lying.iter().zip(regions).filter(|(lying, _)| lying.ground == place) {
            let copy = task.copies[lying.copy].to_string();
            let out = region.places().map(|place| -border.depth(place, REACH)).fold(-REACH, f64::max);
            let in_hollow = deepest(&border, region, REACH);
            if out.max(in_hollow) > LAID_OVER {
                found.push(Broken::Outside { copy: copy.clone(), by: out.max(in_hollow) });
            }
            for flaw in &flaws {
                let by = deepest(region, flaw, REACH).max(deepest(flaw, region, REACH));
                if by > LAID_OVER {
                    found.push(Broken::OverFlaw { copy: copy.clone(), by });
                }
            }
        }
    }
}

fn apart(
    task: &LayTask<'_>,
    lying: &[LaidCopy],
    regions: &[Inside],
    found: &mut Vec<Broken>,
) -> Result<(), LayError> {
    for (i, (first, region)) in lying.iter().zip(regions).enumerate() {
        let copy = &task.copies[first.copy];
        let gap = task.of_copy(copy)?.1.gap();
        let reach = gap + REACH;
        for (second, other) in lying.iter().zip(regions).skip(i + 1) {
            let near = region.bounds.inflate(gap, gap).overlaps(other.bounds);
            if first.ground != second.ground || !near {
                continue;
            }
            let by = gap + deepest(region, other, reach).max(deepest(other, region, reach));
            if by > LAID_OVER {
                let second = task.copies[second.copy].to_string();
                found.push(Broken::TooNear { first: copy.to_string(), second, by });
            }
        }
    }
    Ok(())
}

fn off_grain(task: &LayTask<'_>, lying: &LaidCopy, piece: &Piece, cloth: &Cloth) -> Option<Broken> {
    let way = lying.motion.apply_vec(piece.grain_or_down());
    let degrees = (-way.x).atan2(way.y).to_degrees().rem_euclid(360.0);
    let one_way = cloth.direction == Direction::OneWay
        || piece.grainline.as_ref().is_some_and(|grain| grain.arrows != Arrows::Both);
    let ways: &[f64] = match (one_way, cloth.crosswise) {
        (true, Crosswise::Forbidden) => &[0.0],
        (true, Crosswise::Allowed) => &[0.0, 90.0],
        (false, Crosswise::Forbidden) => &[0.0, 180.0],
        (false, Crosswise::Allowed) => &[0.0, 90.0, 180.0, 270.0],
    };
    let off = |way: &f64| ((degrees - way + 180.0).rem_euclid(360.0) - 180.0).abs();
    let least = ways.iter().map(off).fold(f64::INFINITY, f64::min);
    (least > task.wish.grain_tolerance.degrees() + GRAIN_TURNED)
        .then(|| Broken::OffGrain { copy: task.copies[lying.copy].to_string(), degrees })
}

/// The edges of a copy that are to lie on a selvedge, and its fold on the fold of the cloth.
fn off_edges(task: &LayTask<'_>, lying: &LaidCopy, piece: &Piece, found: &mut Vec<Broken>) {
    let (copy, ground) = (&task.copies[lying.copy], &task.grounds[lying.ground]);
    let mut tell = |edge: &str, by: f64, limit: f64| {
        if by > limit + LAID_OVER {
            found.push(Broken::OffEdge { copy: copy.to_string(), edge: edge.to_owned(), by });
        }
    };
    let fold = piece.fold().map(|fold| piece.edge(fold));
    let mirroring = piece.fold_mirroring().filter(|_| copy.halves == Halves::Opened);
    for edge in piece.edges().iter().filter(|edge| edge.selvedge == Selvedge::Yes) {
        let image = mirroring.as_ref().map(|mirroring| edge.curve.moved(mirroring));
        for curve in [Some(edge.curve.clone()), image].into_iter().flatten() {
            let beyond = edge.cut_allowance().mm();
            let by = off_selvedge(&curve.moved(&lying.motion), beyond, ground.even_width, ground.spread);
            tell(edge.name.as_str(), by, OFF_SELVEDGE + SELVEDGE_STRAYS);
        }
    }
    if let (Some(fold), Halves::OnFold) = (fold, copy.halves) {
        let bounds = fold.curve.moved(&lying.motion).bounds();
        tell(fold.name.as_str(), bounds.x0.abs().max(bounds.x1.abs()), LAID_OVER);
    }
}

/// How far off the nearest selvedge an edge is cut.
fn off_selvedge(curve: &Curve, beyond: f64, width: Option<f64>, spread: Spread) -> f64 {
    let bounds = curve.bounds();
    let off_left = if spread == Spread::Folded { f64::INFINITY } else { (bounds.x1 - beyond).abs() };
    let off_right = width.map_or(f64::INFINITY, |width| (width - bounds.x0 - beyond).abs());
    off_left.min(off_right)
}
