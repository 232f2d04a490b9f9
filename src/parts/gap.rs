//! What lies between two seamlines that were laid on one another: gaps and overlaps.

use crate::curve::{Curve, Point};
use crate::parts::lay_on::LaidOnBase;
use crate::parts::seam_side::BothSides;
use crate::pattern::{Refusal, RefusalKind, WalkEnd};
use crate::tolerance::{COINCIDE, GAP_STEP, NEGLIGIBLE_GAP, OVERLAP_REFUSED, SAME_CUT};

/// Where a gap ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tail {
    /// It opens at the start of the seam.
    Start,
    /// It opens at its end.
    End,
    /// It closes again on both sides.
    Closed,
}

/// A gap between two seamlines, in the direction of the seam's walk.
#[derive(Clone, Debug)]
pub(crate) struct Gap {
    pub tail: Tail,
    /// The stretch of the base's seamline along it.
    pub base: Curve,
    /// The stretch of the other seamline along it, where it is laid.
    pub other: Curve,
    /// Its greatest width, mm.
    pub width: f64,
}

impl Gap {
    /// Whether it is too small to be sewn as a dart.
    pub(crate) fn is_negligible(&self) -> bool {
        self.width <= NEGLIGIBLE_GAP
    }

    pub(crate) fn opens_at(&self, end: WalkEnd) -> bool {
        matches!((self.tail, end), (Tail::Start, WalkEnd::Start) | (Tail::End, WalkEnd::End))
    }
}

/// How far apart the seamlines lie at a walk distance on the base: positive where there is a gap.
struct Apart {
    at: f64,
    width: f64,
    point: Point,
}

/// The gaps between two seamlines outside the stretch where they lie together.
///
/// # Errors
///
/// Refuses an overlap, with its width and place.
pub(crate) fn gaps(sides: &BothSides, laid: &LaidOnBase) -> Result<Vec<Gap>, Refusal> {
    let between = BothSeamlines { sides, ahead: laid.ahead, other: sides.other.curve.moved(&laid.motion) };
    let mut found = Vec::new();
    found.extend(between.tail(0.0, laid.together.from)?);
    found.extend(between.tail(laid.together.to, sides.base.curve.length())?);
    Ok(found)
}

struct BothSeamlines<'a> {
    sides: &'a BothSides,
    ahead: f64,
    other: Curve,
}

impl BothSeamlines<'_> {
    fn apart_at(&self, at: f64) -> Apart {
        let base = &self.sides.base.curve;
        let point = self.other.point_at(at + self.ahead);
        let near = base.nearest(point);
        let inner = near.at > SAME_CUT && near.at < base.length() - SAME_CUT;
        let foot = if inner { near } else { crate::curve::Nearest { at, ..near } };
        let away = point - base.point_at(foot.at);
        let side = away.dot(base.normal_outward(foot.at));
        Apart { at, width: if inner { near.distance.copysign(side) } else { side }, point }
    }

    /// The gaps in a stretch that ends, on one side, where the seamlines lie together.
    fn tail(&self, from: f64, to: f64) -> Result<Vec<Gap>, Refusal> {
        if to - from <= SAME_CUT {
            return Ok(Vec::new());
        }
        let count = ((to - from) / GAP_STEP).ceil().max(1.0);
        let stations: Vec<Apart> =
            (0..=count as usize).map(|i| self.apart_at(from + (to - from) * i as f64 / count)).collect();
        if let Some(worst) = stations.iter().min_by(|a, b| a.width.total_cmp(&b.width))
            && worst.width < -OVERLAP_REFUSED
        {
            return Err(Refusal::new(
                RefusalKind::Overlap,
                format!("{} + {}", self.sides.base.edge_ref(), self.sides.other.edge_ref()),
                format!(
                    "the pieces would lie over one another by {:.1} mm, {:.0} mm along the seam at ({:.0}mm, {:.0}mm)",
                    -worst.width, worst.at, worst.point.x, worst.point.y
                ),
                "leave the seam where it is, or take less shaping out of it first",
            ));
        }
        self.open_stretches(&stations)
    }

    fn open_stretches(&self, stations: &[Apart]) -> Result<Vec<Gap>, Refusal> {
        let mut found = Vec::new();
        let mut open: Option<usize> = None;
        for (i, apart) in stations.iter().enumerate() {
            match (open, apart.width > COINCIDE) {
                (None, true) => open = Some(i.saturating_sub(1)),
                (Some(start), false) => {
                    found.push(self.gap(&stations[start..=i])?);
                    open = None;
                }
                _ => {}
            }
        }
        if let Some(start) = open {
            found.push(self.gap(&stations[start..])?);
        }
        Ok(found)
    }

    fn gap(&self, stations: &[Apart]) -> Result<Gap, Refusal> {
        let base = &self.sides.base.curve;
        let (from, to) = match stations {
            [first, .., last] => (first.at, last.at),
            _ => (0.0, base.length()),
        };
        let wide = |at: f64| self.apart_at(at).width > NEGLIGIBLE_GAP;
        let tail = match (from <= SAME_CUT && wide(from), to >= base.length() - SAME_CUT && wide(to)) {
            (_, true) => Tail::End,
            (true, false) => Tail::Start,
            (false, false) => Tail::Closed,
        };
        let other_to = if tail == Tail::End { self.other.length() } else { to + self.ahead };
        let other_from = if tail == Tail::Start { 0.0 } else { from + self.ahead };
        let along = base.stretch(from, to)?;
        let other = self.other.stretch(other_from.max(0.0), other_to.min(self.other.length()))?;
        let width = stations.iter().map(|apart| apart.width).fold(0.0, f64::max);
        Ok(Gap { tail, base: along, other, width })
    }
}
