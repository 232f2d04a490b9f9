//! How far a line runs evenly beside another, as a seamline does beside the line that is cut.

use crate::curve::Curve;
use crate::tolerance::{ALLOWANCE_EVEN, WIDEST_ALLOWANCE};

/// Places of an edge that are looked at.
const PLACES: u32 = 15;

/// What share of these are as far away as the one in their middle. Corners of the outer line that are cut off or squared lie
/// nearer, or further away.
const EVEN_SHARE: f64 = 0.6;

/// How far an edge lies inside a ring of curves, mm, where it does so evenly.
pub(super) fn evenly_beside(edge: &Curve, ring: &[Curve]) -> Option<f64> {
    let off = |k: u32| {
        let at = edge.point_at(edge.length() * (f64::from(k) + 0.5) / f64::from(PLACES));
        ring.iter().map(|curve| curve.nearest(at).distance).fold(f64::INFINITY, f64::min)
    };
    let mut all: Vec<f64> = (0..PLACES).map(off).collect();
    all.sort_by(f64::total_cmp);
    let middle = all[all.len() / 2];
    let even = all.iter().filter(|off| (*off - middle).abs() <= ALLOWANCE_EVEN).count();
    (middle <= WIDEST_ALLOWANCE && even as f64 >= EVEN_SHARE * all.len() as f64).then_some(middle)
}

/// What a closed line of edges leaves beside each within a ring; none unless most of it runs evenly beside the ring, and
/// some of it inside.
pub(super) fn allowances(edges: &[Curve], ring: &[Curve]) -> Option<Vec<Option<f64>>> {
    /// What share of the line runs evenly.
    const EVEN: f64 = 0.75;
    /// The least allowance; less is a line that was drawn twice.
    const LEAST: f64 = 2.0;
    let beside: Vec<Option<f64>> = edges.iter().map(|edge| evenly_beside(edge, ring)).collect();
    let length = |edge: &Curve| edge.length();
    let all: f64 = edges.iter().map(length).sum();
    let even: f64 = edges.iter().zip(&beside).filter(|(_, off)| off.is_some()).map(|(edge, _)| length(edge)).sum();
    let inside = beside.iter().flatten().any(|off| *off >= LEAST);
    (inside && even >= EVEN * all).then_some(beside)
}
