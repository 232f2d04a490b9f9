//! Walking a seam: one seamline laid along the other from the ends that meet.

use super::corner::{CornerAngle, Meeting, angle_at, meeting};
use super::notches::{LoneNotch, NotchPair, notch_name, pair};
use super::seam_index::{EdgeTip, SeamIndex};
use crate::pattern::{EdgeRef, Pattern, Refusal, Run, RunNotch, SeamId, Side, Walk};
use crate::tolerance::SAME_LENGTH;
use crate::units::Length;

/// A seam walked: both seamlines from the start that they share.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamWalk {
    /// The seam.
    pub seam: SeamId,
    /// What it is called: `front.side + back.side`.
    pub name: String,
    /// The first side.
    pub first: SideWalk,
    /// The second side.
    pub second: SideWalk,
    /// By how much the first side is meant to be longer; negative where the second is.
    pub ease: Length,
    /// The first side less the second less the ease: what does not fit.
    pub difference: Length,
    /// Notches that meet, in walking order.
    pub pairs: Vec<NotchPair>,
    /// Notches without a partner.
    pub lone: Vec<LoneNotch>,
    /// The stretches between notches that meet, and the ease sewn into each.
    pub stretches: Vec<StretchEase>,
    /// Where the two starts come together.
    pub start: SeamEnd,
    /// Where the two ends come together.
    pub end: SeamEnd,
    pub(super) lone_notches: Vec<(Side, RunNotch)>,
}

/// One side of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct SideWalk {
    /// Sewn length: darts folded out.
    pub length: Length,
    /// The edges in sewing order, with the allowance of each as it is cut.
    pub allowances: Vec<(EdgeRef, Length)>,
}

/// The stretch of a seam between two pairs of notches, or between one and an end of the seam.
#[derive(Clone, Debug, PartialEq)]
pub struct StretchEase {
    /// Where it begins: the names of the notches, or the edge at the start of the seam.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Its length on the first side.
    pub first: Length,
    /// Its length on the second side.
    pub second: Length,
}

impl StretchEase {
    /// By how much the first side is longer here.
    #[must_use]
    pub fn ease(&self) -> Length {
        Length::from_mm(self.first.mm() - self.second.mm())
    }
}

/// An end of a seam: the two corners that come together there.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEnd {
    /// The corner of the first side.
    pub first: CornerAngle,
    /// The corner of the second side.
    pub second: CornerAngle,
    /// Whether the two neighbours run on into each other.
    pub meeting: Meeting,
    /// How far the edge that runs on is from straight there, degrees: positive where the pieces stand out, negative
    /// where they leave a dent. Nothing where the neighbours do not run on.
    ///
    /// Where the edge is sewn to a corner of another piece, that corner's turn is taken off.
    pub kink: Option<f64>,
}

/// Both sides of a seam laid out, and the ease between them.
pub(super) struct SeamSides<'a> {
    pub first: Walk<'a>,
    pub second: Walk<'a>,
    pub ease: f64,
}

/// Walks a seam.
///
/// # Errors
///
/// Refuses a seam that names an edge which does not exist.
pub fn walk_seam(pattern: &Pattern, seam: SeamId) -> Result<SeamWalk, Refusal> {
    walk_indexed(&SeamIndex::of(pattern), seam)
}

/// Walks a seam of a pattern whose seams are indexed.
pub(super) fn walk_indexed(index: &SeamIndex<'_>, id: SeamId) -> Result<SeamWalk, Refusal> {
    let pattern = index.pattern;
    let seam = pattern.seam(id);
    let sides = SeamSides {
        first: Walk::of(pattern, &seam.first)?,
        second: Walk::of(pattern, &seam.second)?,
        ease: seam.ease.mm(),
    };
    let (pairs, lone_notches) = pair(&sides);
    let starts = [&seam.first, &seam.second].map(|run| EdgeTip::starting(pattern, run));
    let ends = [&seam.first, &seam.second].map(|run| EdgeTip::ending(pattern, run));
    let gone = || Refusal::unknown("edge", &seam.name(), "seam", []);
    let start = seam_end(index, starts).ok_or_else(gone)?;
    let end = seam_end(index, ends).ok_or_else(gone)?;
    let stretches = stretches(&sides, &pairs, (&start, &end));
    Ok(SeamWalk {
        seam: id,
        name: seam.name(),
        first: side_walk(pattern, &seam.first, &sides.first)?,
        second: side_walk(pattern, &seam.second, &sides.second)?,
        ease: seam.ease,
        difference: Length::from_mm(sides.first.length() - sides.second.length() - sides.ease),
        pairs,
        lone: lone_notches.iter().map(|(side, notch)| lone(*side, notch)).collect(),
        stretches,
        start,
        end,
        lone_notches,
    })
}

fn lone(side: Side, notch: &RunNotch) -> LoneNotch {
    LoneNotch { side, name: notch_name(notch), at: Length::from_mm(notch.at) }
}

fn side_walk(pattern: &Pattern, run: &Run, walk: &Walk<'_>) -> Result<SideWalk, Refusal> {
    let allowance = |edge: &EdgeRef| {
        let (piece, id) = pattern.edge(edge)?;
        Ok((edge.clone(), piece.edge(id).cut_allowance()))
    };
    Ok(SideWalk {
        length: Length::from_mm(walk.length()),
        allowances: run.edges().iter().map(|run| allowance(&run.edge)).collect::<Result<_, Refusal>>()?,
    })
}

fn seam_end<'a>(index: &SeamIndex<'a>, [first, second]: [Option<EdgeTip<'a>>; 2]) -> Option<SeamEnd> {
    let (first, second) = (first?, second?);
    let (meeting, kink) = meeting(index, &first, &second);
    let corner = |tip: &EdgeTip<'_>| CornerAngle { neighbour: tip.neighbour().name(), angle: angle_at(tip) };
    Some(SeamEnd { first: corner(&first), second: corner(&second), meeting, kink })
}

/// The stretches of a seam between the pairs of notches on it; pairs at its very ends begin none.
fn stretches(sides: &SeamSides<'_>, pairs: &[NotchPair], ends: (&SeamEnd, &SeamEnd)) -> Vec<StretchEase> {
    let mut marks = vec![(ends.0.first.neighbour.to_string(), 0.0, 0.0)];
    marks.extend(pairs.iter().map(|pair| (pair.names(), pair.first.at(), pair.second.at())));
    marks.push((ends.1.first.neighbour.to_string(), sides.first.length(), sides.second.length()));
    let stretch = |pair: &[(String, f64, f64)]| StretchEase {
        from: pair[0].0.clone(),
        to: pair[1].0.clone(),
        first: Length::from_mm(pair[1].1 - pair[0].1),
        second: Length::from_mm(pair[1].2 - pair[0].2),
    };
    let stretches = marks.windows(2).map(stretch);
    stretches.filter(|s| s.first.mm() > SAME_LENGTH || s.second.mm() > SAME_LENGTH).collect()
}
