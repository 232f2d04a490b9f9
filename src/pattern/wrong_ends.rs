//! Seams whose wrong ends are together.

use crate::pattern::orient::{CornerOnCopy, LaidRuns, NOTCHES_DECIDE, ends};
use crate::pattern::{Finish, Joins, Pattern, Refusal, Seam};

/// Whether all that tells of the ends of a seam says that the other ends belong together: the neighbouring seams say
/// something for those and nothing for these; or, where they leave it open, the notches do; or, where those do too, at both
/// ends a sewn edge would go on as one that is not, and the other way round at neither. Names alone say nothing, but where
/// more ends are named alike as they are sewn, what notches and finishes say is by chance: a seam of two sides that differ
/// in length has notches apart. Notches say something where they lie nearer and more of them meet the other way round: some
/// may belong to another seam and have no partner in this, and some lie near a joint of two edges by chance.
///
/// # Errors
///
/// Refuses an edge that does not exist.
pub fn has_wrong_ends(pattern: &Pattern, joins: &Joins, seam: &Seam) -> Result<bool, Refusal> {
    let laid = LaidRuns::of(pattern, joins, seam.first.clone(), seam.second.clone())?;
    let turned = LaidRuns::of(pattern, joins, seam.first.clone(), seam.second.reversed())?;
    let nearer_by = laid.notches - turned.notches;
    let notches_say = nearer_by > NOTCHES_DECIDE && turned.meeting > laid.meeting;
    Ok(match (laid.neighbours, turned.neighbours) {
        (0, 1..) => true,
        (1.., _) => laid.neighbours == turned.neighbours && notches_say,
        (0, 0) if laid.names > turned.names => false,
        (0, 0) if nearer_by.abs() > NOTCHES_DECIDE => notches_say,
        (0, 0) => goes_on_alike(pattern, &turned)? == 2 && goes_on_alike(pattern, &laid)? == 0,
    })
}

/// At how many ends the neighbours are both sewn or both not.
fn goes_on_alike(pattern: &Pattern, laid: &LaidRuns) -> Result<usize, Refusal> {
    let (first, second) = (ends(pattern, &laid.first)?, ends(pattern, &laid.second)?);
    let is_sewn = |corner: &CornerOnCopy| corner.neighbour_finish == Finish::Seam;
    let pairs = [(&first.0, &second.0), (&first.1, &second.1)];
    Ok(pairs.into_iter().filter(|(one, other)| is_sewn(one) == is_sewn(other)).count())
}
