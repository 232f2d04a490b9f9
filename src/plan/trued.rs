//! Truing what was not true before anything is recut, as far as steps can.
//!
//! What a maker would do first: bring seamlines of nearly equal length to equal length, and smooth edges that should run on
//! across a seam. A step is taken only where it leaves less untrue than there was, and nothing untrue that was not.

use crate::pattern::{EdgeRef, Pattern, SeamId};
use crate::plan::draft::RecutSoFar;
use crate::recut::{Step, TrueBy, TrueSeam};
use crate::truing::{FindingKind, Limits, Meeting, SeamWalk, Verdict, walk_seam};

/// A pattern as true as steps make it that recut nothing.
#[derive(Clone, Debug)]
pub(super) struct Trued {
    pub(super) pattern: Pattern,
    /// The steps; none where all was true, or nothing can be trued.
    pub(super) steps: Vec<Step>,
    /// What is not true even so.
    pub(super) verdict: Verdict,
}

impl Trued {
    /// Trues what can be trued of a pattern.
    pub(super) fn of(pattern: &Pattern) -> Trued {
        let verdict = Verdict::of(pattern);
        let mut trued = Trued { pattern: pattern.clone(), steps: Vec::new(), verdict };
        // Each step that is taken leaves less that is untrue, so that this ends.
        while trued.round() {}
        trued
    }

    /// Tries every step that may help; whether one did.
    fn round(&mut self) -> bool {
        let before = self.steps.len();
        for step in candidates(&self.pattern, &self.verdict) {
            if let Some(better) = self.after(step) {
                *self = better;
            }
        }
        self.steps.len() > before
    }

    /// What comes of a step; of a step that changes the lengths of seams, with those trued as well.
    fn after(&self, step: TrueSeam) -> Option<Trued> {
        let draft = RecutSoFar::of(&self.pattern).does(step)?;
        self.better(&draft).or_else(|| self.better(&with_lengths_trued(draft)))
    }

    /// A draft, if less is untrue of it, and nothing that was not.
    fn better(&self, draft: &RecutSoFar) -> Option<Trued> {
        let verdict = Verdict::of(&draft.pattern);
        let fewer = verdict.untrue().count() < self.verdict.untrue().count();
        (fewer && verdict.is_as_true_as(&self.verdict)).then(|| Trued {
            pattern: draft.pattern.clone(),
            steps: self.steps.iter().chain(&draft.steps).cloned().collect(),
            verdict,
        })
    }
}

/// The steps that may help, as far as something of their kind is untrue.
fn candidates(pattern: &Pattern, verdict: &Verdict) -> Vec<TrueSeam> {
    let is_found = |kind: FindingKind| verdict.untrue().any(|finding| finding.kind == kind);
    let mut steps = Vec::new();
    if is_found(FindingKind::SeamLength) {
        steps.extend(walks(pattern).flat_map(|walk| lengths(pattern, &walk)));
    }
    if is_found(FindingKind::Kink) {
        steps.extend(walks(pattern).flat_map(|walk| kinks(pattern, &walk)));
    }
    if is_found(FindingKind::CornerAtJoin) {
        steps.extend(pattern.seam_ids().flat_map(|seam| corners(pattern, seam)));
    }
    steps
}

fn walks(pattern: &Pattern) -> impl Iterator<Item = SeamWalk> + '_ {
    pattern.seam_ids().filter_map(|seam| walk_seam(pattern, seam).ok())
}

/// A seam whose sides differ: each gives half, or the one or the other gives all. Where that leaves a kink in the edge
/// beyond, as in a hem, it is smoothed by the same step.
fn lengths(pattern: &Pattern, walk: &SeamWalk) -> Vec<TrueSeam> {
    if walk.difference.mm().abs() <= Limits::default().length.mm() {
        return Vec::new();
    }
    let Some(plain) = pattern.edge_naming(walk.seam).map(TrueSeam::of) else { return Vec::new() };
    let mut givers = vec![None];
    givers.extend(pattern.seam(walk.seam).edges().map(|run| Some(TrueBy::Piece(run.edge.piece.clone()))));
    let mut smoothed = vec![None];
    smoothed.extend(walk.ends.iter().map(|end| Some(end.beyond.0.drawn())));
    let step = |by: &Option<TrueBy>, smooth: &Option<EdgeRef>| TrueSeam {
        by: by.clone(),
        smooth: smooth.clone(),
        ..plain.clone()
    };
    givers.iter().flat_map(|by| smoothed.iter().map(move |smooth| step(by, smooth))).collect()
}

/// The edges that should run on across the ends of a seam and turn there.
fn kinks(pattern: &Pattern, walk: &SeamWalk) -> Vec<TrueSeam> {
    let limit = Limits::default().kink_degrees;
    let ends = walk.ends.iter();
    let turning = ends.filter(|end| end.meeting == Meeting::Continue && end.kink().abs() > limit);
    let Some(plain) = pattern.edge_naming(walk.seam).map(TrueSeam::of) else { return Vec::new() };
    turning.map(|end| TrueSeam { smooth: Some(end.beyond.0.drawn()), ..plain.clone() }).collect()
}

/// The edges of a seam that go on in the next edge of their piece.
fn corners(pattern: &Pattern, seam: SeamId) -> Vec<TrueSeam> {
    let Some(plain) = pattern.edge_naming(seam).map(TrueSeam::of) else { return Vec::new() };
    let goes_on = |edge: &EdgeRef| pattern.find_on_piece(edge).is_some_and(|(piece, id)| piece.goes_on(id));
    let edges = pattern.seam(seam).edges().map(|run| run.edge.drawn());
    edges.filter(goes_on).map(|edge| TrueSeam { smooth: Some(edge), ..plain.clone() }).collect()
}

/// A draft with every seam trued whose sides differ by little.
fn with_lengths_trued(mut draft: RecutSoFar) -> RecutSoFar {
    for seam in draft.pattern.seam_ids() {
        let walk = walk_seam(&draft.pattern, seam).ok();
        let steps = walk.map(|walk| lengths(&draft.pattern, &walk)).unwrap_or_default();
        if let Some(trued) = steps.into_iter().next().and_then(|plain| draft.clone().does(plain)) {
            draft = trued;
        }
    }
    draft
}
