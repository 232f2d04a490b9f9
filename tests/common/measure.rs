//! What tests measure on patterns, by other ways than the operations use.

use retrue::curve::Curve;
use retrue::pattern::{Copy, EdgeRef, Pattern, Piece, Seam, Walk};

/// The net area of all pieces, mm².
pub fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(Piece::net_area).sum()
}

/// All the area that the record declares, mm².
pub fn declared_area(pattern: &Pattern) -> f64 {
    pattern.record.steps.iter().flat_map(|step| &step.declared).map(|declared| declared.area).sum()
}

/// The sewn length of what an edge of the pattern as first read has become, wherever it lies now.
pub fn sewn_length_now(pattern: &Pattern, original: &EdgeRef) -> f64 {
    let mut sum = 0.0;
    for piece in pattern.pieces() {
        for id in piece.edge_ids() {
            if piece.edge(id).origins.iter().any(|origin| origin.edge.same_edge(original)) {
                sum += piece.sewn_length(id);
            }
        }
    }
    sum
}

/// The whole length of what an edge has become, mouths included.
pub fn whole_length_now(pattern: &Pattern, original: &EdgeRef) -> f64 {
    let edges = pattern.pieces().flat_map(Piece::edges);
    edges
        .filter(|edge| edge.origins.iter().any(|origin| origin.edge.same_edge(original)))
        .map(|edge| edge.curve.length())
        .sum()
}

/// Every edge of a pattern, named.
pub fn edges(pattern: &Pattern) -> Vec<EdgeRef> {
    let of_piece = |piece: &Piece| -> Vec<EdgeRef> {
        piece.edges().iter().map(|edge| EdgeRef::new(piece.name().clone(), edge.name.clone())).collect()
    };
    pattern.pieces().flat_map(of_piece).collect()
}

/// The walked lengths of both sides of a seam.
pub fn walked(pattern: &Pattern, seam: &Seam) -> (f64, f64) {
    (Walk::of(pattern, &seam.first).unwrap().length(), Walk::of(pattern, &seam.second).unwrap().length())
}

/// The curve of an edge.
pub fn curve_of<'a>(pattern: &'a Pattern, edge: &EdgeRef) -> &'a Curve {
    assert_eq!(edge.copy, Copy::Drawn);
    &pattern.find_edge(edge).unwrap().curve
}

/// The sharpest turn at a joint of a curve inside a stretch, in degrees.
pub fn sharpest_corner(curve: &Curve, from: f64, to: f64) -> f64 {
    let joints = curve.joints().into_iter().filter(|joint| joint.at > from && joint.at < to);
    joints.map(|joint| joint.turn.abs().to_degrees()).fold(0.0, f64::max)
}
