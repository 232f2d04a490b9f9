//! An edge that is dragged otherwise than as a seam is moved.

use crate::pattern::{EdgeRef, Piece, Refusal, RefusalKind, settle};
use crate::recut::{
    AddBand, AddFacing, AddStrip, EdgeRun, ExtendEdge, MergeAtSeamline, OpenCentre, OpenSeam, Over, Unfold,
};
use crate::table::hand::grip::Handling;
use crate::table::hand::motion::{BeneathHand, Hand, Held, stepped};
use crate::table::snap::{SnapSeen, meant_on_outline};
use crate::tolerance::HAND_STEP;
use crate::units::Length;

/// What a hand means that drags an edge.
///
/// # Errors
///
/// Refuses an edge that is not there, and a way that is not one of an edge.
pub(super) fn dragged(
    hand: &Hand,
    edge: &EdgeRef,
    way: Handling,
    ground: BeneathHand<'_>,
) -> Result<Held, Refusal> {
    let edge = settle(ground.pattern, edge);
    let piece = ground.pattern.piece(&edge.piece)?;
    let out = outward(hand, piece, &edge)?;
    let deep = Length::from_mm(out.abs());
    let has_moved = out.abs() >= HAND_STEP;
    let band = || Held::step(AddBand::of(edge.piece.clone(), edge.edge.clone(), deep));
    Ok(match way {
        Handling::Joined => Held::step(MergeAtSeamline::of(edge)),
        Handling::OpenedOut => Held::step(Unfold { edge: Some(edge.edge), ..Unfold::of(edge.piece) }),
        Handling::CentreSeam => {
            Held::step(OpenCentre { edge: Some(edge.edge), ..OpenCentre::of(edge.piece) })
        }
        Handling::Opening => opening(hand, piece, edge, ground)?,
        Handling::Border | Handling::Band | Handling::Facing | Handling::Strip if !has_moved => {
            Held::default()
        }
        Handling::Border if out > 0.0 => Held::step(ExtendEdge { by: Some(deep), ..ExtendEdge::of(edge) }),
        Handling::Border | Handling::Band => band(),
        Handling::Facing => Held::step(AddFacing::of(EdgeRun(vec![edge]), deep)),
        Handling::Strip => {
            let width = Some(Length::from_mm(2.0 * out.abs()));
            Held::step(AddStrip { width, ..AddStrip::of(Over::Named(edge)) })
        }
        Handling::Straight
        | Handling::AsItRan
        | Handling::IntoSeam
        | Handling::Turned
        | Handling::Grain
        | Handling::LaidOn
        | Handling::Cut => {
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

/// A stretch of a seam left open, from where the hand took hold of it to where it is.
fn opening(hand: &Hand, piece: &Piece, edge: EdgeRef, ground: BeneathHand<'_>) -> Result<Held, Refusal> {
    let curve = &piece.edge(piece.edge_named(&edge.edge)?).curve;
    let on_edge = |at| meant_on_outline(ground.pattern, piece, curve.nearest(at).point, hand.reach());
    let (from, to) = (on_edge(hand.from()), on_edge(hand.at()));
    if from.point.distance(to.point) < HAND_STEP {
        return Ok(Held::default());
    }
    let step = OpenSeam { to: Some(to.place.clone()), ..OpenSeam::of(edge, from.place.clone()) };
    Ok(Held { snaps: [from, to].iter().map(SnapSeen::of).collect(), ..Held::step(step) })
}
