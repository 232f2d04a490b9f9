//! Grainlines, and edges that should follow them.

use std::collections::HashSet;

use super::Measures;
use crate::curve::{Curve, Vec2};
use crate::pattern::{Grainline, Piece, Selvedge};
use crate::tolerance::{FINEST_FLATTENING, LENGTHWISE, SAME_POINT};
use crate::truing::corner::degrees_between;
use crate::truing::finding::{Finding, FindingKind, Measured};

/// Pieces without a grainline, edges off the selvedge, new seams off the grain.
pub(super) fn grain(measures: &Measures<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for piece in measures.pattern.pieces() {
        match &piece.grainline {
            None => {
                let at = piece.name().to_string();
                findings.extend(Finding::over(FindingKind::NoGrainline, at, 1.0, 0.0, Measured::Count));
            }
            Some(grain) => findings.extend(off_selvedge(measures, piece, grain)),
        }
    }
    findings.extend(new_seams_off_grain(measures));
    findings
}

fn off_selvedge(measures: &Measures<'_>, piece: &Piece, grain: &Grainline) -> Vec<Finding> {
    let on_selvedge = piece.edges().iter().filter(|edge| edge.selvedge == Selvedge::Yes);
    let found = on_selvedge.filter_map(|edge| {
        let at = format!("{}.{}", piece.name(), edge.name);
        let strays = spread(&edge.curve, grain.direction());
        Finding::length(FindingKind::OffSelvedge, at, strays, measures.limits.selvedge)
    });
    found.collect()
}

/// How much room a curve takes across a direction.
fn spread(curve: &Curve, along: Vec2) -> f64 {
    let across: Vec<f64> =
        curve.flattened(FINEST_FLATTENING).iter().map(|point| along.cross(point.to_vec2())).collect();
    let most = across.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = across.iter().copied().fold(f64::INFINITY, f64::min);
    most - least
}

fn new_seams_off_grain(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.off_grain_degrees;
    let mut seen = HashSet::new();
    let edges = measures.pattern.record.new_edges().filter(|edge| seen.insert((&edge.piece, &edge.edge)));
    let found = edges.filter_map(|edge| {
        let piece = measures.pattern.find(&edge.piece)?;
        let curve = &piece.edge(piece.find_edge(&edge.edge)?).curve;
        let degrees = off_grain(curve, piece.grainline.as_ref()?)?;
        let at = format!("{}.{}", edge.piece, edge.edge);
        let found = Finding::over(FindingKind::OffGrain, at, degrees, limit, Measured::Degrees);
        found.filter(|_| degrees < LENGTHWISE).map(Finding::warned)
    });
    found.collect()
}

/// The angle between a curve's chord and the grain, 0 to 90 degrees.
fn off_grain(curve: &Curve, grain: &Grainline) -> Option<f64> {
    let chord = curve.end() - curve.start();
    if chord.hypot() <= SAME_POINT {
        return None;
    }
    let turn = degrees_between(grain.direction(), chord).abs();
    Some(turn.min(180.0 - turn))
}
