//! A seam as it is sewn: which place of the one stitching line comes to lie on which of the other.
//!
//! Pairs of notches meet, and so do the ends; between two of them ease is spread evenly. Mouths of darts are skipped.

use crate::cloth::layout::LayError;
use crate::curve::angle_between_lines;
use crate::pattern::{
    EdgeId, Finish, NotchCount, Pattern, Piece, Refusal, RefusalKind, Run, Seam, SeamId, Walk, WalkEnd,
    WalkPoint,
};
use crate::tolerance::{MATCH_STEP, SAME_POINT, SMOOTH_JOINT};
use crate::truing::{NotchPair, RunMark, walk_seam};

/// Where on a seam stripes are brought together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MatchAt {
    /// At its end by the hem, where distances along it begin.
    Hem,
    /// At its first pair of single notches: those of the front.
    Notch,
    /// At its first end.
    Start,
}

/// Why stripes part along a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Parting {
    /// They do not.
    Nowhere,
    /// A dart, or the joint of two edges, lies between.
    Joint {
        /// At which distance along the seam the one nearest to what meets lies.
        at: f64,
        /// How far that is from the end of what meets.
        beyond: f64,
    },
    /// The two edges stand at different angles to the grain: by how many degrees.
    Angle(f64),
    /// The seam does not reach where they were to be looked at.
    Unknown,
}

/// A seam laid out as it is sewn. Distances along it are those on the stitching line of its first side, from the hem where
/// one end lies at a hem, mm.
pub(super) struct SewnSeam<'a> {
    pub(super) seam: &'a Seam,
    walks: [Walk<'a>; 2],
    spans: Vec<SewnSpan>,
    /// Where stripes are brought together.
    pub(super) at: MatchAt,
    /// Where that is along the seam.
    pub(super) anchor: f64,
    /// The two places there.
    pub(super) marks: [WalkPoint<'a>; 2],
}

/// A stretch in which both sides run on without a joint or a corner, as walk distances on each side.
#[derive(Clone, Copy, Debug)]
pub(super) struct SewnSpan {
    from: [f64; 2],
    to: [f64; 2],
}

/// Two places that are sewn onto each other.
#[derive(Clone, Copy, Debug)]
pub(super) struct SewnPlace<'a> {
    /// Distance along the seam.
    pub(super) at: f64,
    /// On the first side and on the second.
    pub(super) sides: [WalkPoint<'a>; 2],
}

impl<'a> SewnSeam<'a> {
    /// A seam of a pattern.
    ///
    /// # Errors
    ///
    /// Refuses an edge that is not there, and a seam without length.
    pub(super) fn of(pattern: &'a Pattern, id: SeamId) -> Result<SewnSeam<'a>, LayError> {
        let seam = pattern.seam(id);
        let hem = hem_of(pattern, seam)?;
        let walks = walked_from_hem(pattern, seam, hem)?;
        let ends = [walks[0].length(), walks[1].length()];
        let pairs = walk_seam(pattern, id)?.pairs;
        let meetings = meetings(&pairs, ends, hem);
        let notch = pairs.iter().find(|pair| is_single(&pair.first) && is_single(&pair.second));
        let (at, mark) = match (hem, notch) {
            (Some(_), _) => (MatchAt::Hem, [0.0, 0.0]),
            (None, Some(pair)) => (MatchAt::Notch, [pair.first.at.mm(), pair.second.at.mm()]),
            (None, None) => (MatchAt::Start, [0.0, 0.0]),
        };
        let corners = [corners(pattern, &seam.first, &walks[0])?, corners(pattern, &seam.second, &walks[1])?];
        let turns = [0, 1].map(|side: usize| [walks[side].joints(), corners[side].clone()].concat());
        let spans: Vec<SewnSpan> =
            meetings.windows(2).flat_map(|pair| between(&turns, pair[0], pair[1])).collect();
        match (walks[0].at(mark[0]), walks[1].at(mark[1])) {
            (Some(first), Some(second)) if !spans.is_empty() => {
                Ok(SewnSeam { seam, walks, spans, at, anchor: mark[0], marks: [first, second] })
            }
            _ => {
                let edge = &seam.first.first_and_last().0.edge;
                let (what, way_out) = ("the seam has no length", "name another seam");
                Err(Refusal::new(RefusalKind::BadSeam, edge, what, way_out).into())
            }
        }
    }

    /// How long it is.
    pub(super) fn length(&self) -> f64 {
        self.walks[0].length()
    }

    /// The stretches between joints and corners, in order.
    pub(super) fn spans(&self) -> &[SewnSpan] {
        &self.spans
    }

    /// The place at a share of a stretch.
    pub(super) fn place(&self, span: &SewnSpan, share: f64) -> Option<SewnPlace<'a>> {
        let on = |side: usize| {
            let distance = span.from[side] + (span.to[side] - span.from[side]) * share;
            let walk = &self.walks[side];
            if share < 1.0 { walk.at(distance) } else { walk.before(span.to[side]) }
        };
        let at = span.from[0] + (span.to[0] - span.from[0]) * share;
        Some(SewnPlace { at, sides: [on(0)?, on(1)?] })
    }

    /// Why stripes that meet up to one distance along the seam miss each other at another.
    pub(super) fn parting(&self, end: f64, at: f64) -> Parting {
        let (low, high) = (at.min(end), at.max(end));
        let joints = self.spans.windows(2).filter(|pair| !self.runs_on(&pair[0], &pair[1]));
        let between = joints
            .map(|pair| pair[1].from[0])
            .filter(|joint| *joint >= low - SAME_POINT && *joint <= high + SAME_POINT);
        let nearest = between.min_by(|a, b| (a - end).abs().total_cmp(&(b - end).abs()));
        if let Some(joint) = nearest {
            return Parting::Joint { at: joint, beyond: (joint - end).abs() };
        }
        let there = self.spans.iter().find(|span| span.to[0] >= at).or(self.spans.last());
        let place = there.and_then(|span| {
            let share = (at - span.from[0]) / (span.to[0] - span.from[0]);
            self.place(span, share.clamp(0.0, 1.0))
        });
        let Some(place) = place else { return Parting::Unknown };
        let lean = |side: usize| {
            let (mark, there) = (&self.marks[side], &place.sides[side]);
            let same = mark.piece.name() == there.piece.name() && mark.copy == there.copy;
            let chord = there.point - mark.point;
            let way = if same && chord.hypot() > SAME_POINT { chord } else { there.direction };
            angle_between_lines(way, there.piece.grain_or_down()).degrees()
        };
        Parting::Angle((lean(0) - lean(1)).abs())
    }

    /// Whether two neighbouring stretches run on, on both sides: only a notch, or nothing, lies between.
    fn runs_on(&self, before: &SewnSpan, after: &SewnSpan) -> bool {
        let is_joint = |side: usize| {
            self.walks[side].joints().iter().any(|joint| (joint - after.from[side]).abs() <= SAME_POINT)
        };
        before.to == after.from && !is_joint(0) && !is_joint(1)
    }
}

impl SewnSpan {
    /// Where it begins on the seam.
    pub(super) fn begins(&self) -> f64 {
        self.from[0]
    }

    /// Where it ends on the seam.
    pub(super) fn ends(&self) -> f64 {
        self.to[0]
    }

    /// The shares of it at which it is looked at: no more than [`MATCH_STEP`] apart on either side.
    pub(super) fn shares(&self) -> impl Iterator<Item = f64> + use<> {
        self.shares_of(MATCH_STEP)
    }

    /// Shares of it no more than a step apart on either side, both ends among them.
    pub(super) fn shares_of(&self, step: f64) -> impl Iterator<Item = f64> + use<> {
        let long = (0..2).map(|side| self.to[side] - self.from[side]).fold(0.0, f64::max);
        let steps = (long / step).ceil().max(1.0) as usize;
        (0..=steps).map(move |step| step as f64 / steps as f64)
    }
}

/// The corners within the edges of a run, as walk distances: there a side turns, so that it may reach a mark that it reaches
/// neither a step before nor a step after.
fn corners(pattern: &Pattern, run: &Run, walk: &Walk<'_>) -> Result<Vec<f64>, Refusal> {
    let mut found = Vec::new();
    for run_edge in run.edges() {
        let (piece, id) = pattern.edge(&run_edge.edge)?;
        let bends = piece.edge(id).curve.joints();
        let corners = bends.iter().filter(|bend| bend.turn.abs() > SMOOTH_JOINT);
        found.extend(corners.filter_map(|corner| walk.distance_of(&run_edge.edge, corner.at)));
    }
    Ok(found)
}

/// The stretches between two pairs of places that meet: divided where either side turns.
fn between(turns: &[Vec<f64>; 2], from: [f64; 2], to: [f64; 2]) -> Vec<SewnSpan> {
    let share_of = |side: usize, at: f64| (at - from[side]) / (to[side] - from[side]);
    let mut cuts: Vec<[f64; 2]> = vec![from];
    let mut joints: Vec<(f64, usize, f64)> = (0..2)
        .flat_map(|side| turns[side].iter().map(move |turn| (side, *turn)))
        .map(|(side, joint)| (share_of(side, joint), side, joint))
        .filter(|(share, ..)| *share > 0.0 && *share < 1.0)
        .collect();
    joints.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (share, side, joint) in joints {
        let mut cut = [0, 1].map(|i: usize| from[i] + (to[i] - from[i]) * share);
        cut[side] = joint;
        match cuts.last_mut() {
            Some(last) if (0..2).all(|i| cut[i] - last[i] <= SAME_POINT) => last[side] = joint,
            _ => cuts.push(cut),
        }
    }
    cuts.push(to);
    let spans = cuts.windows(2).map(|pair| SewnSpan { from: pair[0], to: pair[1] });
    spans.filter(|span| (0..2).all(|i| span.to[i] > span.from[i])).collect()
}

/// Both sides, walked from the hem; from their starts where the seam has none.
fn walked_from_hem<'a>(
    pattern: &'a Pattern,
    seam: &Seam,
    hem: Option<WalkEnd>,
) -> Result<[Walk<'a>; 2], Refusal> {
    match hem {
        Some(WalkEnd::End) => {
            Ok([Walk::of(pattern, &seam.first.reversed())?, Walk::of(pattern, &seam.second.reversed())?])
        }
        Some(WalkEnd::Start) | None => {
            Ok([Walk::of(pattern, &seam.first)?, Walk::of(pattern, &seam.second)?])
        }
    }
}

/// The places that meet, in order, as walk distances on both sides: the starts, the pairs of notches and the ends. A pair
/// that would lead back on either side is left out.
fn meetings(pairs: &[NotchPair], ends: [f64; 2], hem: Option<WalkEnd>) -> Vec<[f64; 2]> {
    let mut all: Vec<[f64; 2]> = pairs.iter().map(|pair| [pair.first.at.mm(), pair.second.at.mm()]).collect();
    if hem == Some(WalkEnd::End) {
        all = all.into_iter().rev().map(|[first, second]| [ends[0] - first, ends[1] - second]).collect();
    }
    let mut found: Vec<[f64; 2]> = vec![[0.0, 0.0]];
    for pair in all {
        let last = found[found.len() - 1];
        if (0..2).all(|side| pair[side] > last[side] && pair[side] < ends[side]) {
            found.push(pair);
        }
    }
    found.push(ends);
    found
}

fn is_single(mark: &RunMark) -> bool {
    mark.notch.as_ref().is_some_and(|notch| notch.count == NotchCount::Single)
}

/// The end of a seam that lies at a hem.
fn hem_of(pattern: &Pattern, seam: &Seam) -> Result<Option<WalkEnd>, Refusal> {
    for end in WalkEnd::BOTH {
        if meets_hem(pattern, &seam.first, end)? || meets_hem(pattern, &seam.second, end)? {
            return Ok(Some(end));
        }
    }
    Ok(None)
}

/// Whether the run ends at a hem there.
fn meets_hem(pattern: &Pattern, run: &Run, end: WalkEnd) -> Result<bool, Refusal> {
    let tip = run.edge_at(end);
    let (piece, id): (&Piece, EdgeId) = pattern.edge(&tip.edge)?;
    Ok(piece.edge(piece.beside(id, tip.travel.end_at(end))).finish == Finish::Hem)
}
