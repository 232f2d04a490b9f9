//! Notches of other pieces that meet the joint where a moved seam ends: where a shoulder seam goes forward, the shoulder
//! notch of the sleeve cap goes with it.
//!
//! One stays where it is that meets in another layer what does not go along, as that of a collar which meets the shoulder seam
//! of the facings too. With a facing that goes over the shoulder, the notches of both go.

use crate::parts::seam_side::BothSides;
use crate::pattern::{
    EdgeEnd, EdgeRef, EdgeTip, NotchCount, Pattern, Refusal, Run, RunNotch, Seam, SeamId, Side, Travel, Walk,
    WalkEnd,
};
use crate::recut::seam_end::SideEnd;
use crate::recut::{Notice, Work};
use crate::tolerance::SAME_LENGTH;
use crate::truing::{self, RunMark};
use crate::units::Length;

/// Carries along the notches that met the ends of a seam before it was moved.
///
/// # Errors
///
/// Refuses edges that do not exist.
pub(super) fn carry_joint_notches(
    work: &mut Work,
    before: &Pattern,
    old: SeamId,
    new: SeamId,
) -> Result<(), Refusal> {
    let mut shifts = Vec::new();
    for end in WalkEnd::BOTH {
        let was = SeamCorner::at(before, before.seam(old), end)?;
        let is = SeamCorner::at(&work.pattern, work.pattern.seam(new), end)?;
        for id in work.pattern.seam_ids().filter(|id| *id != new) {
            for side in [Side::First, Side::Second] {
                shifts.extend(shift(before, &work.pattern, (&was, &is), id, side)?);
            }
        }
    }
    free_to_go(before, shifts)?.into_iter().try_for_each(|shift| shift.carry_out(work))
}

/// The notches that meet in no other layer what stays. One that stays holds those that it meets.
fn free_to_go(before: &Pattern, mut shifts: Vec<Shift>) -> Result<Vec<Shift>, Refusal> {
    loop {
        let going: Vec<RunNotch> = shifts.iter().map(|shift| shift.notch.clone()).collect();
        let mut free = Vec::new();
        for shift in shifts {
            if !is_held(before, &shift, &going)? {
                free.push(shift);
            }
        }
        if free.len() == going.len() {
            return Ok(free);
        }
        shifts = free;
    }
}

fn is_same_notch(one: &RunNotch, other: &RunNotch) -> bool {
    one.edge.same_edge(&other.edge) && one.name == other.name
}

/// Whether a notch meets, in another seam than that in which it met the joint, something that stays: another joint, or a
/// notch that neither goes along nor is made anew by what it follows.
fn is_held(before: &Pattern, shift: &Shift, going: &[RunNotch]) -> Result<bool, Refusal> {
    for id in before.seams_of(&shift.notch.edge).filter(|id| *id != shift.met_in) {
        let walk = truing::walk_seam(before, id)?;
        let is_own = |mark: &RunMark| mark.notch.as_ref().is_some_and(|own| is_same_notch(own, &shift.notch));
        let partners =
            walk.pairs.iter().flat_map(|pair| [(&pair.first, &pair.second), (&pair.second, &pair.first)]);
        let stays = |partner: &RunMark| match &partner.notch {
            None => true,
            Some(notch) => {
                let follows = before.find(&notch.edge.piece).is_some_and(|piece| piece.derived.is_some());
                !follows && !going.iter().any(|other| is_same_notch(other, notch))
            }
        };
        if partners.filter(|(own, _)| is_own(own)).any(|(_, partner)| stays(partner)) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The two edges that meet where a seam ends, each with its end there.
struct SeamCorner([EdgeTip; 2]);

impl SeamCorner {
    fn at(pattern: &Pattern, seam: &Seam, end: WalkEnd) -> Result<SeamCorner, Refusal> {
        let beyond = |run: &Run| {
            SideEnd::of(pattern, run, end).map(|end| (end.name_of(end.neighbour), end.neighbour_end()))
        };
        Ok(SeamCorner([beyond(&seam.first)?, beyond(&seam.second)?]))
    }

    fn holds(&self, edge: &EdgeRef) -> bool {
        self.0.iter().any(|(other, _)| other.same_edge(edge))
    }

    /// How far along a run it lies, where two edges that follow one another there are those of the joint.
    fn along(&self, pattern: &Pattern, run: &Run) -> Result<Option<f64>, Refusal> {
        let edges = run.edges();
        let is = |edge: &EdgeRef, end: EdgeEnd, (other, at): &EdgeTip| edge.same_edge(other) && end == *at;
        let [one, other] = &self.0;
        let found = edges.windows(2).position(|pair| {
            let leaves = |at| is(&pair[0].edge, pair[0].travel.leaves_at(), at);
            let enters = |at| is(&pair[1].edge, pair[1].travel.enters_at(), at);
            (leaves(one) && enters(other)) || (leaves(other) && enters(one))
        });
        let Some(up_to) = found.and_then(|i| Run::new(edges[..=i].to_vec())) else { return Ok(None) };
        Ok(Some(Walk::of(pattern, &up_to)?.length()))
    }
}

/// A notch to be moved along its edge.
struct Shift {
    notch: RunNotch,
    /// The seam in which it met the joint, as it was.
    met_in: SeamId,
    /// Along the outline, clockwise, mm.
    by: f64,
}

/// How the notch goes that met the joint in a seam whose other side was not touched; none where there is none.
fn shift(
    before: &Pattern,
    after: &Pattern,
    (was, is): (&SeamCorner, &SeamCorner),
    id: SeamId,
    side: Side,
) -> Result<Option<Shift>, Refusal> {
    let seam = after.seam(id);
    let (run, other) = (seam.side(side), seam.side(side.other()));
    let Some(now) = is.along(after, run)? else { return Ok(None) };
    let is_same = |id: &SeamId| before.seam(*id).side(side.other()) == other;
    for old in before.seam_ids().filter(is_same) {
        let Some(then) = was.along(before, before.seam(old).side(side))? else { continue };
        let walk = truing::walk_seam(before, old)?;
        let met = walk.pairs.iter().find_map(|pair| {
            let (own, partner) = match side {
                Side::First => (&pair.first, &pair.second),
                Side::Second => (&pair.second, &pair.first),
            };
            let is_joint = own.notch.is_none() && (own.at.mm() - then).abs() <= SAME_LENGTH;
            partner.notch.clone().filter(|_| is_joint)
        });
        let Some(notch) = met.filter(|notch| !is.holds(&notch.edge)) else { continue };
        let travel = other.edges().iter().find(|run| run.edge == notch.edge).map(|run| run.travel);
        let along = (now - then) * share(&walk, side);
        let by = if travel == Some(Travel::Anticlockwise) { -along } else { along };
        return Ok(Some(Shift { notch, met_in: old, by }));
    }
    Ok(None)
}

/// The length of the other side to that of this one: what is eased in is spread evenly. One where nothing is eased.
fn share(walk: &truing::SeamWalk, side: Side) -> f64 {
    let (first, second) = (walk.lengths.0.mm(), walk.lengths.1.mm());
    match (walk.ease == Length::ZERO, side) {
        (true, _) => 1.0,
        (false, Side::First) => second / first,
        (false, Side::Second) => first / second,
    }
}

impl Shift {
    /// Moves the notch where it stays on its edge.
    fn carry_out(self, work: &mut Work) -> Result<(), Refusal> {
        let edge = &self.notch.edge;
        let (piece, id) = work.pattern.edge(edge)?;
        let length = piece.edge(id).curve.length();
        let piece = work.pattern.piece_mut(&edge.piece)?;
        let is_it =
            |notch: &&mut crate::pattern::Notch| notch.edge == edge.edge && notch.name == self.notch.name;
        let Some(notch) = piece.notches.iter_mut().find(is_it) else { return Ok(()) };
        let at = notch.at + self.by;
        if self.by.abs() <= SAME_LENGTH || at <= 0.0 || at >= length {
            return Ok(());
        }
        notch.at = at;
        let by = Length::from_mm(self.by.abs());
        work.tell(Notice::NotchMoved { edge: edge.clone(), notch: self.notch.name.clone(), by });
        Ok(())
    }
}

/// Sets the notches of an old seam on the new one, whose edges have their lengths: in pairs, at equal shares of both, so
/// that what is eased is spread evenly between them.
pub(super) fn renotch(
    work: &mut Work,
    sides: &BothSides,
    (taking, taken): (&EdgeRef, f64),
    (giving, given): (&EdgeRef, f64),
) -> Result<(), Refusal> {
    let base = &sides.base;
    let mut shares: Vec<(f64, NotchCount)> = Vec::new();
    let mut walked = 0.0;
    for id in &base.edges {
        let edge = base.piece.edge(*id);
        for notch in base.piece.notches.iter().filter(|notch| notch.edge == edge.name) {
            shares.push(((walked + notch.at) / base.curve.length(), notch.count));
        }
        walked += edge.curve.length();
    }
    shares.sort_by(|a, b| a.0.total_cmp(&b.0));
    if shares.is_empty() {
        shares.push((1.0 / 3.0, NotchCount::Single));
    }
    for (share, count) in shares {
        work.notch_seam((taking, share * taken), (giving, share * given), sides.other.travel, count)?;
    }
    Ok(())
}
