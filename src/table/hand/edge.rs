//! An edge that is dragged otherwise than as a seam is moved.

use crate::pattern::{EdgeRef, Piece, Refusal, RefusalKind, settle};
use crate::recut::{
    AddBand, AddFacing, AddStrip, EdgeRun, ExtendEdge, MergeAtSeamline, OpenCentre, OpenSeam, Over, Unfold,
};
use crate::table::hand::grip::Way;
use crate::table::hand::motion::{Ground, Hand, Held, stepped};
use crate::table::snap::{SnapSeen, meant_on_outline};
use crate::tolerance::HAND_STEP;
use crate::units::Length;

/// What a hand means that drags an edge.
///
/// # Errors
///
/// Refuses an edge that is not there, and a way that is not one of an edge.
pub(super) fn dragged(hand: &Hand, edge: &EdgeRef, way: Way, ground: Ground<'_>) -> Result<Held, Refusal> {
    let edge = settle(ground.pattern, edge);
    let piece = ground.pattern.piece(&edge.piece)?;
    let out = outward(hand, piece, &edge)?;
    let deep = Length::from_mm(out.abs());
    let has_moved = out.abs() >= HAND_STEP;
    let band = || {
        Held::step(AddBand { piece: edge.piece.clone(), edge: edge.edge.clone(), depth: deep, name: None })
    };
    Ok(match way {
        Way::Joined => Held::step(MergeAtSeamline { seam: edge, shaping: None, name: None }),
        Way::OpenedOut => Held::step(Unfold { piece: edge.piece, edge: Some(edge.edge) }),
        Way::CentreSeam => Held::step(OpenCentre { piece: edge.piece, edge: Some(edge.edge), lap: None }),
        Way::Opening => opening(hand, piece, edge, ground)?,
        Way::Border | Way::Band | Way::Facing | Way::Strip if !has_moved => Held::default(),
        Way::Border if out > 0.0 => Held::step(extension(edge, deep)),
        Way::Border | Way::Band => band(),
        Way::Facing => Held::step(AddFacing {
            along: EdgeRun(vec![edge]),
            depth: deep,
            name: None,
            cloth: None,
            smaller_by: None,
        }),
        Way::Strip => Held::step(strip(edge, Length::from_mm(2.0 * out.abs()))),
        Way::Straight | Way::AsItRan | Way::IntoSeam | Way::Turned | Way::Grain | Way::LaidOn | Way::Cut => {
            let what = "an edge is not dragged so";
            return Err(Refusal::new(RefusalKind::NotOfThatSort, &edge, what, "choose another way"));
        }
    })
}

/// How far outside of the edge the hand is, in whole steps, mm; negative inside.
fn outward(hand: &Hand, piece: &Piece, edge: &EdgeRef) -> Result<f64, Refusal> {
    let curve = &piece.edge(piece.edge_named(&edge.edge)?).curve;
    let nearest = curve.nearest(hand.at());
    Ok(stepped((hand.at() - nearest.point).dot(curve.normal_outward(nearest.at))))
}

fn extension(edge: EdgeRef, by: Length) -> ExtendEdge {
    ExtendEdge { edge, by: Some(by), button: None, ends: None, cloth: None, name: None }
}

fn strip(edge: EdgeRef, width: Length) -> AddStrip {
    AddStrip {
        over: Over::Named(edge),
        piece: None,
        width: Some(width),
        from_width: None,
        to_width: None,
        from: None,
        to: None,
        from_end: None,
        to_end: None,
        name: None,
        cloth: None,
    }
}

/// A stretch of a seam left open, from where the hand took hold of it to where it is.
fn opening(hand: &Hand, piece: &Piece, edge: EdgeRef, ground: Ground<'_>) -> Result<Held, Refusal> {
    let curve = &piece.edge(piece.edge_named(&edge.edge)?).curve;
    let on_edge = |at| meant_on_outline(ground.pattern, piece, curve.nearest(at).point, hand.reach());
    let (from, to) = (on_edge(hand.from()), on_edge(hand.at()));
    if from.point.distance(to.point) < HAND_STEP {
        return Ok(Held::default());
    }
    let step = OpenSeam {
        seam: edge,
        from: from.place.clone(),
        to: Some(to.place.clone()),
        button: None,
        button_shape: None,
        purpose: None,
        lap: None,
    };
    Ok(Held { snaps: [from, to].iter().map(SnapSeen::of).collect(), ..Held::step(step) })
}
