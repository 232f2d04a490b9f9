//! Checks of cutting lines: whether their allowances are there, and their ends meet when the stitching lines of a seam
//! are matched.

use crate::allowance::{AllowanceError, CuttingLineEnds, Shortage, cutting_lines};
use crate::pattern::{EdgeEnd, EdgeRef, Finish, Pattern, Piece};
use crate::tolerance::{SHORTAGE_TOLD, STRAIGHT_ON};
use crate::truing::meeting::corner_angle;
use crate::truing::{Finding, FindingKind, Limits, Weight};
use crate::units::Length;

/// All that is not true of the cutting lines of a pattern.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let lines = match cutting_lines(pattern) {
        Ok(lines) => lines,
        Err(error) => {
            let at = place_of(&error);
            found.push(Finding::of_count(FindingKind::NoCuttingLine, at, 0, 1, Weight::Untrue));
            return;
        }
    };
    for (piece, line) in pattern.pieces().filter_map(|piece| Some((piece, lines.of(piece.name())?))) {
        found.extend(line.shortages(piece).iter().map(|shortage| short(piece, shortage)));
    }
    for seam in pattern.seam_ids().filter(|seam| !pattern.seam(*seam).is_to_own_mirror()) {
        for end in lines.seam_ends(pattern, seam) {
            let gap = gap(pattern, &end).unwrap_or(0.0);
            if gap > limits.cut_ends.mm() {
                found.push(Finding::of_length(FindingKind::CutEnds, place(&end), gap, limits.cut_ends));
            }
        }
    }
}

/// An allowance that is not there, or a seamline that is cut off.
fn short(piece: &Piece, shortage: &Shortage) -> Finding {
    let at = short_place(piece, shortage);
    let over = Length::from_mm(shortage.to - shortage.from);
    if shortage.left < -SHORTAGE_TOLD {
        return Finding::of_cut_off(at, -shortage.left, over);
    }
    Finding::of_shortage(at, shortage.left.max(0.0), piece.edge(shortage.edge).cut_allowance(), over)
}

/// The edge, and the neighbour at the end that the stretch reaches to; the edge alone where that is neither end, or both.
fn short_place(piece: &Piece, shortage: &Shortage) -> String {
    let edge = piece.edge(shortage.edge);
    let near = edge.cut_allowance().mm();
    let at_ends = (shortage.from <= near, shortage.to >= edge.curve.length() - near);
    let neighbour = match at_ends {
        (true, false) => Some(piece.previous(shortage.edge)),
        (false, true) => Some(piece.next(shortage.edge)),
        _ => None,
    };
    let at = format!("{}.{}", piece.name(), edge.name);
    neighbour.map_or(at.clone(), |neighbour| format!("{at} at {}", piece.edge(neighbour).name))
}

/// How far the ends are apart; none where a cutting line has no end to match: a free edge is bound or lapped over the
/// other side, at a fold the line runs on in its own mirror image, and where its edge runs straight on into the next it
/// runs on beside that.
///
/// Where two hems run on across the seam they are cut in one line, and what must agree is their depth: square to the
/// hem they meet, though along the seam their ends stand apart by the hem's slant over the allowance.
fn gap(pattern: &Pattern, end: &CuttingLineEnds) -> Option<f64> {
    let [(first_sewn, first), (second_sewn, second)] = &end.at;
    let is_free = |edge: &EdgeRef| pattern.find_edge(edge).is_some_and(|edge| edge.finish == Finish::Free);
    if is_free(first_sewn) || is_free(second_sewn) {
        return None;
    }
    let (first, second) = (pattern.find_edge(first)?, pattern.find_edge(second)?);
    match (first.finish, second.finish) {
        (Finish::Fold, _) | (_, Finish::Fold) => None,
        (Finish::Hem, Finish::Hem) => Some((first.cut_allowance().mm() - second.cut_allowance().mm()).abs()),
        _ if end.at.iter().any(|corner| runs_straight_on(pattern, corner)) => None,
        _ => Some(end.gap),
    }
}

fn runs_straight_on(pattern: &Pattern, (edge, beyond): &(EdgeRef, EdgeRef)) -> bool {
    let Ok((piece, id)) = pattern.edge(edge) else { return false };
    let end = if piece.edge(piece.next(id)).name == beyond.edge { EdgeEnd::Last } else { EdgeEnd::First };
    let turn = (180.0 - corner_angle(piece, id, end)).to_radians();
    turn.cos() > 0.0 && turn.sin().abs() <= STRAIGHT_ON
}

fn place(end: &CuttingLineEnds) -> String {
    let [(first, first_meets), (second, second_meets)] = &end.at;
    format!("{first} at {} + {second} at {}", first_meets.edge, second_meets.edge)
}

fn place_of(error: &AllowanceError) -> String {
    match error {
        AllowanceError::BadAllowance { piece, edge, .. }
        | AllowanceError::Beside { piece, edge, .. }
        | AllowanceError::CrookedFold { piece, edge } => format!("{piece}.{edge}"),
        AllowanceError::BadCorner { piece, first, second, .. } => {
            format!("{piece}: corner of {first} and {second}")
        }
        AllowanceError::Around { piece, .. } | AllowanceError::SeveralFolds { piece, .. } => {
            piece.to_string()
        }
    }
}
