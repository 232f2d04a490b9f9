//! The notches of a facing.

use crate::curve::{Curve, right_of};
use crate::derive::closed::{ClosedRun, EndKind, LaidAlong, Stretches};
use crate::pattern::{EdgeName, Notch, NotchCount, NotchName, Piece};
use crate::tolerance::{PARTNER_REACH, SAME_RUN};
use crate::units::Length;

/// The notches of the edges, and one where each seam was closed.
pub(super) fn add_notches(piece: &mut Piece, run: &ClosedRun, outer: &[EdgeName], inside: Length) {
    let mut notches: Vec<Notch> = Vec::new();
    for (side, name) in run.sides.iter().zip(outer) {
        let Some(id) = piece.find_edge(name) else { continue };
        let curve = piece.edge(id).curve.clone();
        for (before, laid) in walked(side) {
            let of_edge = &laid.piece.edge(laid.edge).name;
            let here = |notch: &&Notch| {
                notch.edge == *of_edge
                    && (laid.from.min(laid.to)..=laid.from.max(laid.to)).contains(&notch.at)
            };
            for notch in laid.piece.notches.iter().filter(here) {
                let at = on_own(&curve, laid, before, (notch.at - laid.from).abs(), inside);
                notches.push(Notch::new(notch.name.clone(), name.clone(), at, notch.count));
            }
        }
        for (count, seam) in &side.closed {
            let Some((before, laid)) = walked(side).nth(*count) else { continue };
            let at = on_own(&curve, laid, before, 0.0, inside);
            if is_told_by_end(run, &curve, at) {
                continue;
            }
            let is_near = |notch: &Notch| notch.edge == *name && (notch.at - at).abs() <= SAME_RUN;
            if let (false, Ok(joint)) = (notches.iter().any(is_near), format!("{seam}-notch").parse()) {
                notches.push(Notch::new(joint, name.clone(), at, NotchCount::Single));
            }
        }
    }
    for mut notch in notches {
        let taken = |name: &NotchName| piece.notches.iter().any(|other| other.name == *name);
        notch.name = notch.name.free(taken);
        piece.notches.push(notch);
    }
}

/// Whether a seam is so near an end where the facing is cut across that the end tells where it is: a notch there would be
/// taken for another's.
fn is_told_by_end(run: &ClosedRun, side: &Curve, at: f64) -> bool {
    let place = side.point_at(at);
    let ends = [&run.first, &run.last].into_iter().filter(|end| end.kind == EndKind::Across);
    ends.map(|end| end.path.start().distance(place)).any(|off| off < PARTNER_REACH)
}

/// Where along a side's own edge a place of a laid stretch is, measured from the stretch's start.
pub(super) fn on_own(curve: &Curve, laid: &LaidAlong, before: f64, at: f64, inside: Length) -> f64 {
    if inside == Length::ZERO {
        return (before + at).min(curve.length());
    }
    let beside = laid.curve.point_at(at) + right_of(laid.curve.tangent_at(at)) * inside.mm();
    curve.nearest(beside).at
}

/// The stretches of a side, each with the length of those before it.
pub(super) fn walked<'r, 'a>(side: &'r Stretches<'a>) -> impl Iterator<Item = (f64, &'r LaidAlong<'a>)> {
    let mut before = 0.0;
    side.laid.iter().map(move |laid| {
        let at = before;
        before += laid.curve.length();
        (at, laid)
    })
}
