//! Checks of derived pieces: they are what would be made now of what they were made from.

use crate::advice;
use crate::derive::{Agreement, agreement, made_before};
use crate::pattern::{Operation, Pattern, Piece};
use crate::tolerance::FOLLOWED;
use crate::truing::{Finding, FindingKind, SaidOtherwise};
use crate::units::Length;

/// Tells of each piece that no longer agrees with what it was made from, and by how much.
pub(super) fn check(pattern: &Pattern, found: &mut Vec<Finding>) {
    for piece in pattern.pieces() {
        let Some(agreement) = agreement(pattern, piece) else { continue };
        found.extend(finding(pattern, piece, agreement));
    }
}

fn finding(pattern: &Pattern, piece: &Piece, agreement: Agreement) -> Option<Finding> {
    let (kind, at) = (FindingKind::NotFollowed, piece.name().to_string());
    let from = piece.derived.as_ref().map(|derived| derived.from.to_string()).unwrap_or_default();
    let said = |what: String| {
        let change = SaidOtherwise { what, from: None, to: None };
        Finding::of_change(kind, at.clone(), change)
    };
    match agreement {
        Agreement::Agrees => None,
        Agreement::Off(mm) => Some(Finding::of_law(kind, at, mm, Length::from_mm(FOLLOWED))),
        Agreement::Divided(parts) => {
            Some(said(format!("what it was made from is {parts} pieces now: {from}")))
        }
        Agreement::Other(what) => Some(said(format!("it no longer agrees with {from}: {what}"))),
        Agreement::Refused(refusal) => Some(match made_before(pattern, piece) {
            Some(first) => said(format!("it no longer agrees with {from}, and is made anew after `{first}`"))
                .mended_by(Some(advice!("make all anew: ", Operation::Follow))),
            None => said(format!("it cannot be made of {from} any more: {}", refusal.what))
                .mended_by(Some(refusal.way_out)),
        }),
    }
}
