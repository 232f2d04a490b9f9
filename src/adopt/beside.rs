//! How far a line runs evenly beside another, as a seamline does beside the line that is cut.

use crate::curve::{Curve, turn_between};
use crate::tolerance::{ALLOWANCE_EVEN, SHARP_AS_A_TIP, WIDEST_ALLOWANCE};

/// Places of an edge that are looked at.
const PLACES: u32 = 15;

/// What share of these are as far away as the one in their middle. Corners of the outer line that are cut off or squared lie
/// nearer, or further away.
const EVEN_SHARE: f64 = 0.6;

/// How far an edge of a clockwise line lies inside a ring of curves, mm, square to the edge, where it does so evenly.
fn evenly_beside(edge: &Curve, ring: &[Curve]) -> Option<f64> {
    let off = |k: u32| {
        let along = edge.length() * (f64::from(k) + 0.5) / f64::from(PLACES);
        let (at, outward) = (edge.point_at(along), edge.normal_outward(along));
        if ring.iter().any(|curve| curve.nearest(at).distance <= ALLOWANCE_EVEN) {
            return 0.0;
        }
        let Ok(ray) = Curve::line(at, at + outward * (2.0 * WIDEST_ALLOWANCE)) else { return f64::INFINITY };
        let met = ring.iter().flat_map(|curve| ray.crossings(curve));
        met.map(|crossing| crossing.point.distance(at)).fold(f64::INFINITY, f64::min)
    };
    let mut all: Vec<f64> = (0..PLACES).map(off).collect();
    all.sort_by(f64::total_cmp);
    let middle = all[all.len() / 2];
    let even = all.iter().filter(|off| (*off - middle).abs() <= ALLOWANCE_EVEN).count();
    (middle <= WIDEST_ALLOWANCE && even as f64 >= EVEN_SHARE * all.len() as f64).then_some(middle)
}

/// The darts that are cut into a closed line, clockwise: of each the first of its two legs, which are of one length and meet
/// in a tip that points inward.
pub(super) fn wedges(edges: &[Curve]) -> Vec<usize> {
    /// The shortest leg, mm.
    const SHORTEST: f64 = 20.0;
    /// By how much the one leg may be longer, as a share.
    const LONGER: f64 = 0.05;
    let count = edges.len();
    let is_wedge = |at: &usize| {
        let (first, second) = (&edges[*at], &edges[(at + 1) % count]);
        let (one, other) = (first.length(), second.length());
        // Clockwise with y downward, a corner that turns left points inward.
        let turn = turn_between(first.end_tangent(), second.start_tangent()).0;
        let alike = (one - other).abs() <= LONGER * one && one.min(other) >= SHORTEST;
        alike && turn <= -(std::f64::consts::PI - SHARP_AS_A_TIP)
    };
    if count < 5 { Vec::new() } else { (0..count).filter(is_wedge).collect() }
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
    let legs = wedges(edges);
    let is_leg = |at: usize| legs.iter().any(|first| at == *first || at == (*first + 1) % edges.len());
    let all: f64 =
        edges.iter().enumerate().filter(|(at, _)| !is_leg(*at)).map(|(_, edge)| length(edge)).sum();
    let even: f64 =
        edges.iter().zip(&beside).filter(|(_, off)| off.is_some()).map(|(edge, _)| length(edge)).sum();
    let inside = beside.iter().flatten().any(|off| *off >= LEAST);
    (inside && even >= EVEN * all).then_some(beside)
}
