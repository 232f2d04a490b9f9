//! Sewing an edge on top of its partner, or edge to edge with it: where the two lie, only allowances change.

use crate::advice;
use crate::pattern::{EdgeRef, Field, Finish, Operation, Refusal, RefusalKind, Selvedge, Unsewn, met_along};
use crate::recut::{Notice, Work};
use crate::tolerance::MOST_ALLOWANCE;
use crate::truing::beneath_lap;
use crate::units::Length;

/// Sews an edge on top of what it is sewn to: it is free, and its partner's allowance lies beneath it. A selvedge lies there as it
/// is; another edge keeps its allowance, which is turned in first, and is raw where that is set to nothing. With a lap of nothing
/// the two are butted, and neither has an allowance.
///
/// # Errors
///
/// Refuses an edge that is sewn to nothing, a lap deeper than the partner's allowance, and a butted edge whose partner goes on
/// beside another.
pub(super) fn lap_over(work: &mut Work, edge: &EdgeRef, lap: Length) -> Result<(), Refusal> {
    refuse_lap(lap)?;
    refuse_fold(work, edge, lap)?;
    let seams: Vec<_> = work.pattern.seams_of(edge).map(|id| work.pattern.seam(id).clone()).collect();
    if seams.is_empty() {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            edge,
            "the edge is sewn to nothing, so that it lies on top of nothing",
            advice!(
                "say what it is sewn to: ",
                Operation::SetEdge.with(Field::Edge, edge).with(Field::SewnTo, "PIECE.EDGE")
            ),
        ));
    }
    let mut partners = Vec::new();
    for seam in &seams {
        partners.extend(met_along(&work.pattern, seam, edge)?);
    }
    partners.iter().try_for_each(|partner| refuse_lapped(work, partner, edge))?;
    free(work, edge)?;
    for partner in &partners {
        if lap == Length::ZERO {
            refuse_goes_on(work, partner, edge)?;
            free(work, partner)?;
        } else {
            refuse_narrow(work, partner, lap)?;
        }
    }
    if lap == Length::ZERO {
        for edge in partners.iter().chain([edge]) {
            let piece = work.pattern.piece_mut(&edge.piece)?;
            let id = piece.edge_named(&edge.edge)?;
            *piece.edge_settings(id).allowance = Length::ZERO;
        }
    }
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    *piece.edge_settings(id).lap = Some(lap);
    let turned_in = piece.edge(id).cut_allowance();
    work.tell(Notice::EdgeLapped { edge: edge.clone(), lap, turned_in });
    Ok(())
}

/// As [`lap_over`], for an edge that was cut anew, on the selvedge or not.
pub(super) fn lap_new_edge(
    work: &mut Work,
    edge: &EdgeRef,
    lap: Length,
    on: Selvedge,
) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    *piece.edge_settings(id).selvedge = on;
    lap_over(work, edge, lap)
}

/// Refuses a lap that nobody means.
pub(super) fn refuse_lap(lap: Length) -> Result<(), Refusal> {
    if (0.0..=MOST_ALLOWANCE).contains(&lap.mm()) {
        return Ok(());
    }
    let way_out = format!("give how far inside the edge the stitching runs, from 0mm to {MOST_ALLOWANCE}mm");
    Err(Refusal::new(RefusalKind::BadField, "lap", format!("a lap cannot be {lap}"), way_out).about(lap))
}

fn free(work: &mut Work, edge: &EdgeRef) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    let settings = piece.edge_settings(id);
    (*settings.finish, *settings.unsewn) = (Finish::Free, Unsewn::Forgotten);
    Ok(())
}

/// Refuses a fold: its two sides are one cloth until it is opened.
fn refuse_fold(work: &Work, edge: &EdgeRef, lap: Length) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(edge)?;
    if piece.edge(id).finish != Finish::Fold {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        edge,
        "the edge is a fold: both sides of it are one cloth, and neither lies on the other",
        advice!(
            "open it, and lap one half over the other: ",
            Operation::OpenCentre.with(Field::Piece, &edge.piece).with(Field::Lap, lap)
        ),
    ))
}

/// Refuses a partner that is lapped itself: of two edges one lies on top.
fn refuse_lapped(work: &Work, partner: &EdgeRef, edge: &EdgeRef) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(partner)?;
    let Some(lap) = piece.edge(id).lap.filter(|_| !partner.same_edge(edge)) else { return Ok(()) };
    let lies = if lap == Length::ZERO { "edge to edge with it" } else { "on top of it" };
    let drawn = EdgeRef::new(partner.piece.clone(), partner.edge.clone());
    Err(Refusal::new(
        RefusalKind::BadSeam,
        edge,
        format!("{partner} lies {lies} already"),
        advice!(
            "take that lap off first: ",
            Operation::SetEdge.with(Field::Edge, drawn).with(Field::Lap, "none")
        ),
    ))
}

/// Refuses a partner that is sewn beside other edges, too: it would lose its allowance there.
fn refuse_goes_on(work: &Work, partner: &EdgeRef, edge: &EdgeRef) -> Result<(), Refusal> {
    for id in work.pattern.seams_of(partner) {
        let seam = work.pattern.seam(id);
        let along = met_along(&work.pattern, seam, partner)?;
        if let Some(other) = along.iter().find(|other| !other.same_edge(edge)) {
            return Err(Refusal::new(
                RefusalKind::BadSeam,
                edge,
                format!("{partner} goes on beside {other}, and would lose its allowance there"),
                advice!("divide it where the other ends: ", Operation::DivideEdge.with(Field::Edge, partner)),
            ));
        }
    }
    Ok(())
}

fn refuse_narrow(work: &Work, partner: &EdgeRef, lap: Length) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(partner)?;
    let (has, least) = (piece.edge(id).cut_allowance(), beneath_lap(lap));
    if has.mm() >= least.mm() {
        return Ok(());
    }
    let drawn = EdgeRef::new(partner.piece.clone(), partner.edge.clone());
    Err(Refusal::new(
        RefusalKind::BadWidth,
        partner,
        format!("a lap of {lap} lies on an allowance of at least {least}, and this one is {has}"),
        advice!(
            "make the lap less deep, or the allowance wider: ",
            Operation::SetAllowance.with(Field::Edges, drawn).with(Field::Allowance, least)
        ),
    )
    .about(lap))
}
