//! Random pieces: curved edges, hollows tighter than their allowance, near-acute corners.

use proptest::prelude::*;
use retrue::curve::Point;
use retrue::pattern::Piece;

use crate::pieces::{bowed, p, seam_edge};

/// A corner of a random piece: its share of the turn, its distance from the middle, the bow and the allowance of the
/// edge that leaves it.
type Corner = (f64, f64, f64, f64);

fn corner(bow: std::ops::Range<f64>, allowance: std::ops::Range<f64>) -> impl Strategy<Value = Corner> {
    (0.6..1.4, 60.0..260.0, bow, allowance)
}

fn around(corners: &[Corner]) -> Option<Piece> {
    let whole: f64 = corners.iter().map(|corner| corner.0).sum();
    let mut turned = 0.0;
    let points: Vec<Point> = corners
        .iter()
        .map(|(share, far, ..)| {
            turned += share / whole * std::f64::consts::TAU;
            p(300.0 + far * turned.cos(), 300.0 + far * turned.sin())
        })
        .collect();
    let edges = corners.iter().enumerate().map(|(i, (_, _, bow, allowance))| {
        seam_edge(&format!("e{i}"), bowed(points[i], points[(i + 1) % points.len()], *bow), *allowance)
    });
    Piece::new("shape".parse().unwrap(), edges.collect()).ok()
}

fn filtered(corners: impl Strategy<Value = Vec<Corner>>) -> impl Strategy<Value = Piece> {
    corners.prop_filter_map("an outline that crosses itself", |corners| around(&corners))
}

/// A piece of three to eight gently curved edges with one allowance.
pub fn gentle() -> impl Strategy<Value = Piece> {
    let corners = (5.0..25.0, prop::collection::vec(corner(-0.08..0.12, 0.0..1.0), 3..8));
    filtered(corners.prop_map(|(allowance, corners)| {
        corners.into_iter().map(|(share, far, bow, _)| (share, far, bow, allowance)).collect()
    }))
}

/// A piece of three to eight edges, some bent deep in or out, with allowances of their own.
pub fn rough() -> impl Strategy<Value = Piece> {
    filtered(prop::collection::vec(corner(-0.45..0.35, 0.0..60.0), 3..8))
}
