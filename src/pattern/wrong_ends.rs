//! Seams whose wrong ends are together.

use crate::pattern::marked::Marked;
use crate::pattern::orient::{Corner, Laid, NOTCHES_DECIDE, ends};
use crate::pattern::{Finish, Joins, Pattern, Refusal, Run, Seam};

/// Whether all that tells of the ends of a seam says that the other ends belong together: the neighbouring seams say
/// something for those and nothing for these; or, where they leave it open, the notches do; or, where those do too, at both
/// ends a sewn edge would go on as one that is not, and the other way round at neither. Names alone say nothing, but where
/// more ends are named alike as they are sewn, what notches and finishes say is by chance: a seam of two sides that differ
/// in length has notches apart. Notches that only lie near a joint of two edges say nothing: both sides must have some, and
/// all of them must meet the other way round.
///
/// # Errors
///
/// Refuses an edge that does not exist.
pub fn has_wrong_ends(pattern: &Pattern, joins: &Joins, seam: &Seam) -> Result<bool, Refusal> {
    let laid = Laid::of(pattern, joins, seam.first.clone(), seam.second.clone())?;
    let turned = Laid::of(pattern, joins, seam.first.clone(), seam.second.reversed())?;
    let has_notches = |run: &Run| -> Result<bool, Refusal> { Ok(Marked::of(pattern, run)?.has_notches()) };
    let nearer_by = match has_notches(&seam.first)? && has_notches(&seam.second)? {
        true => laid.notches - turned.notches,
        false => 0.0,
    };
    Ok(match (laid.neighbours, turned.neighbours) {
        (0, 1..) => true,
        (1.., _) => laid.neighbours == turned.neighbours && nearer_by > NOTCHES_DECIDE,
        (0, 0) if laid.names > turned.names => false,
        (0, 0) if nearer_by.abs() > NOTCHES_DECIDE => nearer_by > 0.0 && turned.notches <= NOTCHES_DECIDE,
        (0, 0) => goes_on_alike(pattern, &turned)? == 2 && goes_on_alike(pattern, &laid)? == 0,
    })
}

/// At how many ends the neighbours are both sewn or both not.
fn goes_on_alike(pattern: &Pattern, laid: &Laid) -> Result<usize, Refusal> {
    let (first, second) = (ends(pattern, &laid.first)?, ends(pattern, &laid.second)?);
    let is_sewn = |corner: &Corner| corner.neighbour_finish == Finish::Seam;
    let pairs = [(&first.0, &second.0), (&first.1, &second.1)];
    Ok(pairs.into_iter().filter(|(one, other)| is_sewn(one) == is_sewn(other)).count())
}
