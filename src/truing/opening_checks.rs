//! Checks of seams that are not sewn as others are: left open along a stretch, lapped, or butted.

use crate::advice;
use crate::pattern::{Copy, Edge, EdgeRef, Opening, Pattern, RunEdge, Seam, Side, met_along};
use crate::tolerance::{BUTTONHOLE_FACED, LAP_HELD, POCKET_FACED, VENT_FACED};
use crate::truing::mended::allowance;
use crate::truing::{Finding, FindingKind, Limits, Weight};
use crate::units::Length;

/// All that is not true of openings and laps.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    for seam in pattern.seams() {
        check_opening(pattern, seam, limits, found);
        for run in seam.edges().filter(|run| is_drawn_or_alone(seam, &run.edge)) {
            if let Some(lap) = pattern.find_edge(&run.edge).and_then(|edge| edge.lap) {
                check_lap(pattern, seam, &run.edge, lap, found);
            }
        }
    }
    // What is one cloth with another is sewn in that one's seams.
    for piece in pattern.pieces().filter(|piece| piece.one_cloth_with().is_empty()) {
        let open = piece.edges().iter().filter(|edge| edge.open.is_some());
        for edge in open.map(|edge| EdgeRef::new(piece.name().clone(), edge.name.clone())) {
            if !is_open_on_both_sides(pattern, &edge) {
                let at = edge.to_string();
                found.push(Finding::of_count(FindingKind::OpenOnOneSide, at, 1, 2, Weight::Untrue));
            }
            check_faced(pattern, &edge, found);
        }
    }
}

/// An edge that is sewn to its own mirrored copy stands on both sides; it is looked at once.
fn is_drawn_or_alone(seam: &Seam, edge: &EdgeRef) -> bool {
    edge.copy == Copy::Drawn || seam.edges().filter(|run| run.edge.same_edge(edge)).count() == 1
}

fn is_open(pattern: &Pattern, edge: &EdgeRef) -> bool {
    pattern.find_edge(edge).is_some_and(|edge| edge.open.is_some())
}

/// Whether an opened edge meets another that is open for the same.
fn is_open_on_both_sides(pattern: &Pattern, edge: &EdgeRef) -> bool {
    let purpose = pattern.find_edge(edge).and_then(|edge| edge.open);
    pattern.seams_of(edge).any(|id| {
        let seam = pattern.seam(id);
        let Some(side) = seam.side_of(edge) else { return false };
        let mut others = seam.side(side.other()).edges().iter();
        others.any(|run| pattern.find_edge(&run.edge).is_some_and(|other| other.open == purpose))
    })
}

/// Where a seam runs into what is left open: the edges on either side of it, as one side of the opening goes on from a piece to the
/// next.
#[must_use]
pub fn seams_into_opening(pattern: &Pattern, seam: &Seam) -> Vec<[EdgeRef; 2]> {
    let sides = if seam.is_to_own_mirror() { vec![&seam.first] } else { vec![&seam.first, &seam.second] };
    let parted = |pair: &[RunEdge]| {
        let [first, second] = pair else { return None };
        let is_parted = first.edge.piece != second.edge.piece
            && is_open(pattern, &first.edge)
            && is_open(pattern, &second.edge);
        is_parted.then(|| [first.edge.clone(), second.edge.clone()])
    };
    sides.into_iter().flat_map(|run| run.edges().windows(2).filter_map(parted)).collect()
}

/// The allowance with which the sides of an opening are faced.
#[must_use]
pub fn faced_with(purpose: Opening) -> Length {
    Length::from_mm(match purpose {
        Opening::Buttonhole => BUTTONHOLE_FACED,
        Opening::Pocket => POCKET_FACED,
        Opening::Vent => VENT_FACED,
    })
}

/// An opened edge has the allowance to be faced with, unless something else is sewn to it that faces it: a pocket, a facing.
fn check_faced(pattern: &Pattern, edge: &EdgeRef, found: &mut Vec<Finding>) {
    let Some(opened) = pattern.find_edge(edge) else { return };
    let Some(least) = opened.open.map(faced_with).filter(|_| opened.lap.is_none()) else { return };
    let has = opened.cut_allowance();
    if has < least && pattern.seams_of(edge).count() < 2 {
        let at = edge.to_string();
        let wider = advice!("widen it: ", allowance(&[edge], least), ", or sew a facing to it");
        let finding = Finding::of_law(FindingKind::OpeningUnfaced, at, has.mm(), least).into_warning();
        found.push(finding.mended_by(Some(wider)));
    }
}

/// A seam is left open along all of it or along nothing of it. The sides of an opening are as long as each other, and nothing is
/// eased along it.
fn check_opening(pattern: &Pattern, seam: &Seam, limits: &Limits, found: &mut Vec<Finding>) {
    let holds_open = |side: Side| seam.side(side).edges().iter().any(|run| is_open(pattern, &run.edge));
    if !Side::BOTH.into_iter().all(holds_open) {
        return;
    }
    if !is_all_open(pattern, seam) {
        let open = seam.edges().map(|run| u32::from(is_open(pattern, &run.edge))).sum();
        let all = seam.edges().map(|_| 1_u32).sum();
        found.push(Finding::of_count(FindingKind::OpenInPart, seam.name(), open, all, Weight::Untrue));
        return;
    }
    let length = |side: Side| -> f64 {
        let edges = seam.side(side).edges().iter();
        edges
            .filter_map(|run| pattern.find_on_piece(&run.edge))
            .map(|(piece, id)| piece.sewn_length(id))
            .sum()
    };
    let (first, second) = (length(Side::First), length(Side::Second));
    let eased = seam.ease.mm();
    let uneven = if (first - second).abs() >= eased.abs() { first - second } else { eased };
    if uneven.abs() > limits.length.mm() {
        let at = seam.name();
        found.push(Finding::of_length(FindingKind::OpeningUneven, at, uneven, limits.length));
    }
}

/// What an allowance must be so that a lap lies on it and its stitching holds.
#[must_use]
pub fn beneath_lap(lap: Length) -> Length {
    Length::from_mm(lap.mm() + LAP_HELD)
}

/// Beneath a lap its partner's allowance goes on a little beyond the stitching; butted edges have none.
fn check_lap(pattern: &Pattern, seam: &Seam, edge: &EdgeRef, lap: Length, found: &mut Vec<Finding>) {
    let Ok(partners) = met_along(pattern, seam, edge) else { return };
    let left = |edge: &EdgeRef| pattern.find_edge(edge).map_or(0.0, |edge| edge.cut_allowance().mm());
    let at = |partner: &EdgeRef| format!("{edge} on {partner}");
    if lap > Length::ZERO {
        let least = beneath_lap(lap);
        for partner in partners.iter().filter(|partner| left(partner) < least.mm()) {
            let wider = advice!("widen it: ", allowance(&[partner], least), ", or make the lap less deep");
            let finding = Finding::of_law(FindingKind::LapUnheld, at(partner), left(partner), least);
            found.push(finding.mended_by(Some(wider)));
        }
        return;
    }
    for partner in &partners {
        let most = left(edge).max(left(partner));
        if most > 0.0 {
            let off = advice!("take it off: ", allowance(&[edge, partner], Length::ZERO));
            let finding = Finding::of_law(FindingKind::ButtedApart, at(partner), most, Length::ZERO);
            found.push(finding.mended_by(Some(off)));
        }
    }
}

/// Whether a seam is left open along all of it.
pub(super) fn is_all_open(pattern: &Pattern, seam: &Seam) -> bool {
    let open = |edge: &Edge| edge.open.is_some();
    seam.edges().all(|run| pattern.find_edge(&run.edge).is_some_and(open))
}
