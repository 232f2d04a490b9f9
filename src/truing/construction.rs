//! The order in which a garment is sewn: darts, then seams, then hems.
//!
//! A seam that runs on across another waits for it: a shoulder for the princess seam that ends in it. One that goes
//! round, as an armhole does, waits for all seams that close it, but for the one that runs on across it: then it is sewn
//! flat, and that one closes both.
//!
//! ```text
//!     in the round            flat
//!    ╭──────╮             ──────┬──────  S first,
//!    │  S   │ T first           │T       then T across it
//!    ╰──┬───╯             ──────┴──────
//!       │T
//! ```
//!
//! Among seams that may come next the habit of the trade decides, by [`SewingStage`], then the sheet.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use rustc_hash::FxHashMap;

use crate::pattern::{
    DartName, EdgeRef, EdgeTip, Finish, MadeFrom, Making, Pattern, Piece, PieceName, Run, SeamId, Side,
};
use crate::truing::meeting::{beyond, first_tip, last_tip, run_end, run_start};
use crate::truing::sewing_stage::{SewingStage, stage_of};

/// The order in which a garment is sewn, and what is wrong with it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Construction {
    /// What is sewn, in order: every dart, every seam and every hem once.
    pub steps: Vec<SewingStep>,
    /// Why it cannot be sewn so.
    pub faults: Vec<OrderFault>,
}

/// A step of sewing.
#[derive(Clone, Debug, PartialEq)]
pub struct SewingStep {
    /// The part of the work that it belongs to.
    pub stage: SewingStage,
    /// What is sewn.
    pub work: SewingWork,
}

/// What is sewn.
#[derive(Clone, Debug, PartialEq)]
pub enum SewingWork {
    /// A copy is laid on the wrong side of its piece; from then on they are one cloth.
    OneCloth {
        /// The copy.
        copy: PieceName,
        /// Its piece, or the parts of it, which are sewn together by then.
        with: Vec<PieceName>,
    },
    /// A strip is laid over a seam or a line, and stitched down.
    Strip {
        /// The strip.
        strip: PieceName,
        /// What it covers.
        over: StripOver,
    },
    /// A dart.
    Dart {
        /// Its piece.
        piece: PieceName,
        /// Its name.
        dart: DartName,
    },
    /// A seam.
    Seam {
        /// Which.
        seam: SeamId,
        /// How it lies when it is sewn.
        way: SeamWay,
    },
    /// Hems that run on in one another.
    Hem {
        /// Their edges, in the order of the sheet.
        edges: Vec<EdgeRef>,
    },
}

/// What a strip covers.
#[derive(Clone, Debug, PartialEq)]
pub enum StripOver {
    /// A seam that is sewn by then.
    Seam(SeamId),
    /// A line on a piece, while that lies flat.
    Line(PieceName),
}

/// How a seam lies when it is sewn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeamWay {
    /// From one end to the other.
    Open,
    /// Round a tube that is closed already.
    Round,
    /// Round what will be a tube, sewn flat before the seam named closes it and runs on across this one.
    FlatBefore(SeamId),
}

/// Why a garment cannot be sewn as its seams are declared.
#[derive(Clone, Debug, PartialEq)]
pub enum OrderFault {
    /// Each of these runs on across the next, so that each must be sewn after another of them.
    Circle {
        /// The seams.
        seams: Vec<SeamId>,
    },
    /// A round is closed by several seams that each run on across it: were one closed first, there is no way left to
    /// sew the other flat.
    RoundClosedFirst {
        /// The round.
        round: SeamId,
        /// The seams that run on across it.
        crossing: Vec<SeamId>,
    },
    /// A seam runs on from one piece to another, and no seam joins the two there.
    OpenJoint {
        /// The seam.
        seam: SeamId,
        /// The two edges.
        between: (EdgeRef, EdgeRef),
    },
}

/// The order in which a garment is sewn.
#[must_use]
pub fn construction_order(pattern: &Pattern) -> Construction {
    let mut plan = Plan::of(pattern);
    plan.add_runs();
    plan.break_circles();
    let ways = plan.add_rounds();
    let order = plan.in_order();
    let copies = copies(pattern, &order);
    let mut steps = layer_steps(&copies, SewingStage::Layers, None);
    steps.extend(dart_steps(pattern));
    let strips = strips(pattern);
    steps.extend(strip_steps(&strips, SewingStage::Darts, |over| matches!(over, StripOver::Line(_))));
    for (seam, stage) in order {
        steps.push(SewingStep { stage, work: SewingWork::Seam { seam, way: ways[seam.0] } });
        steps.extend(layer_steps(&copies, stage, Some(seam)));
        steps.extend(strip_steps(&strips, stage, |over| *over == StripOver::Seam(seam)));
    }
    steps.extend(hem_steps(pattern));
    Construction { steps, faults: plan.faults }
}

/// What must come before what.
struct Plan<'a> {
    pattern: &'a Pattern,
    stages: Vec<SewingStage>,
    /// The seams that sew an edge to another, on whichever copies.
    sewn: FxHashMap<(EdgeRef, EdgeRef), Vec<SeamId>>,
    /// The seams that must follow each.
    then: Vec<BTreeSet<SeamId>>,
    faults: Vec<OrderFault>,
}

/// What joins two edges of a run where one follows the other.
enum RunJoin {
    /// They are neighbours on one piece.
    OnePiece,
    /// Seams.
    Sewn(Vec<SeamId>),
    /// Nothing.
    Open,
}

impl<'a> Plan<'a> {
    fn of(pattern: &'a Pattern) -> Plan<'a> {
        let mut sewn: FxHashMap<(EdgeRef, EdgeRef), Vec<SeamId>> = FxHashMap::default();
        for id in pattern.seam_ids() {
            let seam = pattern.seam(id);
            for (one, other) in seam.first.edges().iter().flat_map(|one| {
                seam.second.edges().iter().map(move |other| (one.edge.clone(), other.edge.clone()))
            }) {
                let mirrored = (one.mirrored(), other.mirrored());
                for (one, other) in [(one, other), mirrored] {
                    sewn.entry((other.clone(), one.clone())).or_default().push(id);
                    sewn.entry((one, other)).or_default().push(id);
                }
            }
        }
        let stages = pattern.seam_ids().map(|id| stage_of(pattern, id)).collect();
        let then = vec![BTreeSet::new(); pattern.seams().len()];
        Plan { pattern, stages, sewn, then, faults: Vec::new() }
    }

    fn joint(&self, (one, other): &(EdgeTip, EdgeTip)) -> RunJoin {
        let Some((after, before)) = beyond(self.pattern, one).zip(beyond(self.pattern, other)) else {
            return RunJoin::Open;
        };
        let at_fold = one.0 == other.0.mirrored() && after.1 == Finish::Fold;
        if after.0 == *other || at_fold {
            return RunJoin::OnePiece;
        }
        match self.sewn.get(&(after.0.0, before.0.0)) {
            Some(seams) => RunJoin::Sewn(seams.clone()),
            None => RunJoin::Open,
        }
    }

    /// A seam that goes round waits for others later; any other for all that its runs cross.
    fn add_runs(&mut self) {
        for id in self.pattern.seam_ids() {
            for side in Side::BOTH {
                let run = self.pattern.seam(id).side(side);
                let is_round = self.closing(run).is_some();
                for joint in inner_joints(run) {
                    match self.joint(&joint) {
                        RunJoin::OnePiece => {}
                        RunJoin::Sewn(_) if is_round => {}
                        RunJoin::Sewn(seams) => self.must_follow(&seams, id),
                        RunJoin::Open => self
                            .faults
                            .push(OrderFault::OpenJoint { seam: id, between: (joint.0.0, joint.1.0) }),
                    }
                }
            }
        }
    }

    fn must_follow(&mut self, first: &[SeamId], later: SeamId) {
        for first in first.iter().filter(|first| **first != later) {
            self.then[first.0].insert(later);
        }
    }

    /// The seams that close a run to a ring, where it is one; none where it begins and ends within one piece.
    fn closing(&self, run: &Run) -> Option<Vec<SeamId>> {
        let joint = run_end(run).zip(run_start(run))?;
        match self.joint(&joint) {
            RunJoin::Sewn(seams) => Some(seams),
            RunJoin::OnePiece => Some(Vec::new()),
            RunJoin::Open => None,
        }
    }

    /// Seams that must each follow the other are a fault; they keep no order among themselves.
    fn break_circles(&mut self) {
        let reached: Vec<BTreeSet<SeamId>> = self.pattern.seam_ids().map(|id| self.reached(id)).collect();
        let circle = |id: SeamId| -> Vec<SeamId> {
            reached[id.0].iter().copied().filter(|other| reached[other.0].contains(&id)).collect()
        };
        let mut told = BTreeSet::new();
        for id in self.pattern.seam_ids() {
            let seams = circle(id);
            if seams.is_empty() || told.contains(&id) {
                continue;
            }
            told.extend(seams.iter().copied());
            for one in &seams {
                self.then[one.0].retain(|other| !seams.contains(other));
            }
            self.faults.push(OrderFault::Circle { seams });
        }
    }

    /// All seams that must come after one; itself among them only where it is in a circle.
    fn reached(&self, from: SeamId) -> BTreeSet<SeamId> {
        let mut reached = BTreeSet::new();
        let mut open: Vec<SeamId> = self.then[from.0].iter().copied().collect();
        while let Some(id) = open.pop() {
            if reached.insert(id) {
                open.extend(self.then[id.0].iter().copied());
            }
        }
        reached
    }

    /// Lets rounds wait for the seams that close them, and seams that end at the centre for the centre seam, where
    /// these need not come later themselves. How each seam lies when it is sewn.
    fn add_rounds(&mut self) -> Vec<SeamWay> {
        let mut ways = vec![SeamWay::Open; self.then.len()];
        for id in self.pattern.seam_ids() {
            let mut crossing = BTreeSet::new();
            let mut is_round = false;
            for side in Side::BOTH {
                let run = self.pattern.seam(id).side(side);
                if let Some(closing) = self.closing(run) {
                    is_round = true;
                    crossing.extend(self.follow_unless_crossed(&closing, id));
                    for joint in inner_joints(run) {
                        if let RunJoin::Sewn(seams) = self.joint(&joint) {
                            crossing.extend(self.follow_unless_crossed(&seams, id));
                        }
                    }
                }
                for tip in [run_start(run), run_end(run)].into_iter().flatten() {
                    let mirrored = (tip.0.mirrored(), tip.1);
                    if let RunJoin::Sewn(centre) = self.joint(&(tip, mirrored)) {
                        self.follow_unless_crossed(&centre, id);
                    }
                }
            }
            let crossing: Vec<SeamId> = crossing.into_iter().collect();
            ways[id.0] = match (&crossing[..], is_round) {
                (_, false) => SeamWay::Open,
                ([], true) => SeamWay::Round,
                ([first, ..], true) => SeamWay::FlatBefore(*first),
            };
            if crossing.len() > 1 {
                self.faults.push(OrderFault::RoundClosedFirst { round: id, crossing });
            }
        }
        ways
    }

    /// Lets a seam follow others; those that must come after it are given back instead.
    fn follow_unless_crossed(&mut self, first: &[SeamId], later: SeamId) -> Vec<SeamId> {
        let after = self.reached(later);
        let (crossing, closing): (Vec<SeamId>, Vec<SeamId>) =
            first.iter().copied().filter(|first| *first != later).partition(|first| after.contains(first));
        self.must_follow(&closing, later);
        crossing
    }

    /// The seams: of those that may come next, the one of the earliest stage, then the first on the sheet.
    fn in_order(&self) -> Vec<(SeamId, SewingStage)> {
        let mut waits = vec![0_usize; self.then.len()];
        self.then.iter().flatten().for_each(|id| waits[id.0] += 1);
        let free = self.pattern.seam_ids().filter(|id| waits[id.0] == 0);
        let mut free: BinaryHeap<Reverse<(SewingStage, SeamId)>> =
            free.map(|id| Reverse((self.stages[id.0], id))).collect();
        let mut order = Vec::new();
        while let Some(Reverse((stage, id))) = free.pop() {
            order.push((id, stage));
            for next in &self.then[id.0] {
                waits[next.0] -= 1;
                if waits[next.0] == 0 {
                    free.push(Reverse((self.stages[next.0], *next)));
                }
            }
        }
        order
    }
}

/// Where one edge of a run follows another.
fn inner_joints(run: &Run) -> Vec<(EdgeTip, EdgeTip)> {
    run.edges().windows(2).map(|pair| (last_tip(&pair[0]), first_tip(&pair[1]))).collect()
}

/// A copy that lies on several pieces has its darts to itself: theirs went into the seams between them.
fn dart_steps(pattern: &Pattern) -> Vec<SewingStep> {
    let own = pattern.pieces().filter(|piece| piece.one_cloth_with().len() != 1);
    let darts = own.flat_map(|piece| {
        let name = piece.name();
        piece.darts.iter().map(move |dart| SewingWork::Dart { piece: name.clone(), dart: dart.name.clone() })
    });
    darts.map(|work| SewingStep { stage: SewingStage::Darts, work }).collect()
}

/// The copies that are sewn as one cloth with their pieces, in the order of the sheet, each with the last seam that joins the
/// pieces it lies on, if there are several.
fn copies<'a>(pattern: &'a Pattern, order: &[(SeamId, SewingStage)]) -> Vec<(&'a Piece, Option<SeamId>)> {
    let last = |piece: &Piece| {
        let with = piece.one_cloth_with();
        let joins = |id: SeamId| {
            let mut edges = pattern.seam(id).edges();
            with.len() > 1 && edges.all(|run| with.contains(&run.edge.piece))
        };
        order.iter().map(|(seam, _)| *seam).rev().find(|seam| joins(*seam))
    };
    let copies = pattern.pieces().filter(|piece| !piece.one_cloth_with().is_empty());
    copies.map(|piece| (piece, last(piece))).collect()
}

/// Copies that are laid on their pieces after a seam; before all where there is none.
fn layer_steps(
    copies: &[(&Piece, Option<SeamId>)],
    stage: SewingStage,
    after: Option<SeamId>,
) -> Vec<SewingStep> {
    let now = copies.iter().filter(|(_, last)| *last == after);
    let step = |(piece, _): &(&Piece, Option<SeamId>)| {
        let (copy, with) = (piece.name().clone(), piece.one_cloth_with().to_vec());
        SewingStep { stage, work: SewingWork::OneCloth { copy, with } }
    };
    now.map(step).collect()
}

/// The strips, in the order of the sheet, each with what it covers.
fn strips(pattern: &Pattern) -> Vec<(&PieceName, StripOver)> {
    let of = |piece: &Piece| match &piece.derived.as_ref().filter(|made| made.by == Making::Strip)?.from {
        MadeFrom::Pieces(pieces) => pieces.first().cloned().map(StripOver::Line),
        // Where the seam was taken out since, nothing is left to be covered.
        MadeFrom::Run(edges) => {
            edges.iter().find_map(|edge| pattern.seams_of(edge).next()).map(StripOver::Seam)
        }
    };
    pattern.pieces().filter_map(|piece| Some((piece.name(), of(piece)?))).collect()
}

fn strip_steps(
    strips: &[(&PieceName, StripOver)],
    stage: SewingStage,
    is_now: impl Fn(&StripOver) -> bool,
) -> impl Iterator<Item = SewingStep> {
    strips.iter().filter(move |(_, over)| is_now(over)).map(move |(strip, over)| {
        let work = SewingWork::Strip { strip: (*strip).clone(), over: over.clone() };
        SewingStep { stage, work }
    })
}

/// The pieces that are sewn by themselves, not as one cloth with another.
fn sewn_alone(pattern: &Pattern) -> impl Iterator<Item = &Piece> {
    pattern.pieces().filter(|piece| piece.one_cloth_with().is_empty())
}

/// Hems, those that meet across a seam together. One to which something is sewn, as a facing, is finished with that seam.
fn hem_steps(pattern: &Pattern) -> Vec<SewingStep> {
    let mut groups: Vec<Vec<EdgeRef>> = Vec::new();
    for piece in sewn_alone(pattern) {
        let hems = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Hem);
        let hems = hems.map(|id| piece.edge_ref(id)).filter(|hem| pattern.seams_of(hem).next().is_none());
        groups.extend(hems.map(|hem| vec![hem]));
    }
    for seam in pattern.seams() {
        let tips = [
            run_start(&seam.first).zip(run_start(&seam.second)),
            run_end(&seam.first).zip(run_end(&seam.second)),
        ];
        for (one, other) in tips.into_iter().flatten() {
            let beyond = |tip: &EdgeTip| beyond(pattern, tip).map(|((edge, _), _)| edge);
            let place =
                |edge: &EdgeRef| groups.iter().position(|group| group.iter().any(|hem| hem.same_edge(edge)));
            let Some((one, other)) = beyond(&one).zip(beyond(&other)) else { continue };
            let Some((one, other)) = place(&one).zip(place(&other)) else { continue };
            if one != other {
                let taken = groups.remove(one.max(other));
                groups[one.min(other)].extend(taken);
            }
        }
    }
    let hem = |edges| SewingStep { stage: SewingStage::Hems, work: SewingWork::Hem { edges } };
    groups.into_iter().map(hem).collect()
}
