//! Which edges of a pattern are likely sewn to which, and how sure that is.
//!
//! Pairs of edges are weighed by what they have in common, and the one of most weight is chosen, again and again: each seam
//! that is chosen speaks for those beside it. Then edges that fit several others, one going on in the next over a seam, are
//! sewn to these, as a sleeve cap is to the armholes; and an edge that goes on in a fold is sewn to its own mirrored copy.

use crate::adopt::likely::pairs::{Pair, PairGround, Weighed, pairs};
use crate::adopt::likely::runs::{Fitting, chains};
use crate::adopt::likely::sides::{Ends, LikelySide, SideAt};
use crate::pattern::{EdgeEnd, EdgeRef, Finish, Pattern};

/// How sure a guess is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// Nothing else would do as well, but little speaks for it.
    Perhaps,
    /// Several things speak for it.
    Likely,
    /// What was drawn to be met is met, and nothing else comes near.
    Sure,
}

impl Certainty {
    /// All of them, the least sure first.
    pub const ALL: [Certainty; 3] = [Certainty::Perhaps, Certainty::Likely, Certainty::Sure];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Certainty::Perhaps => "perhaps",
            Certainty::Likely => "likely",
            Certainty::Sure => "sure",
        }
    }
}

/// A seam that was guessed.
#[derive(Clone, Debug, PartialEq)]
pub struct LikelySeam {
    /// Its one side.
    pub first: Vec<EdgeRef>,
    /// Its other side, in sewing order.
    pub second: Vec<EdgeRef>,
    /// By how much the first is longer, mm, where it is eased in.
    pub ease: f64,
    /// At which corner of its second edge sewing begins where it begins at the first corner of its first.
    pub from: EdgeEnd,
    /// How sure it is.
    pub certainty: Certainty,
    /// What speaks for it, in a few words.
    pub because: String,
}

/// The least weight of a pair that is guessed, and what lies between it and the next one that is surely not it.
const LEAST_WEIGHT: f64 = 3.0;
const CLEAR: f64 = 2.0;

/// The likely seams of a pattern, by its edges, darts and notches alone.
#[must_use]
pub fn likely_seams(pattern: &Pattern) -> Vec<LikelySeam> {
    let sides = LikelySide::all(pattern);
    let mut chosen = chosen_pairs(&sides);
    let runs = runs(&sides, &mut chosen);
    let mirrored = own_mirrors(&sides, &chosen, &runs);
    let mut seams: Vec<(SideAt, LikelySeam)> = Vec::new();
    seams.extend(chosen.iter().map(|one| (one.weighed.pair.one, one.seam(&sides, &chosen))));
    let layers = |run: &ChosenRun| runs.iter().filter(|other| other.fitting.one == run.fitting.one).count();
    seams.extend(runs.iter().map(|run| (run.fitting.one, run.seam(&sides, layers(run)))));
    seams.extend(mirrored.into_iter().map(|side| (side, mirrored_seam(&sides[side]))));
    seams.sort_by_key(|(first, _)| *first);
    seams.into_iter().map(|(_, seam)| seam).collect()
}

/// A pair that was chosen.
struct Chosen {
    weighed: Weighed,
    /// By how much it outweighed all others of its edges.
    clear_by: f64,
}

/// Chooses pairs, that of most weight first. Each edge is in one.
fn chosen_pairs(sides: &[LikelySide]) -> Vec<Chosen> {
    let (mut left, ground) = (pairs(sides), PairGround::of(sides));
    let mut chosen: Vec<Chosen> = Vec::new();
    // By how much each edge missed a pair whose other edge was given to another: of two alike, the second is no clearer.
    let mut missed_by = vec![f64::INFINITY; sides.len()];
    loop {
        let so_far: Vec<Pair> = chosen.iter().map(|chosen| chosen.weighed.pair).collect();
        let weighed: Vec<Weighed> = left.iter().map(|pair| pair.weighed(sides, &so_far, &ground)).collect();
        let heavy = weighed.iter().filter(|weighed| weighed.weight >= LEAST_WEIGHT);
        let best = heavy.max_by(|a, b| {
            let order = |weighed: &Weighed| (weighed.weight, weighed.pair.ends == Ends::Across);
            let (a, b) = (order(a), order(b));
            a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
        });
        let Some(best) = best else { break };
        let (best, pair) = (*best, best.pair);
        let mut clear_by = best.weight.min(missed_by[pair.one]).min(missed_by[pair.other]);
        let rivals = weighed.iter().filter(|rival| !rival.pair.joins(pair.one, pair.other));
        for rival in rivals.filter(|rival| rival.pair.holds(pair.one) || rival.pair.holds(pair.other)) {
            let behind = best.weight - rival.weight;
            clear_by = clear_by.min(behind);
            for side in [rival.pair.one, rival.pair.other] {
                missed_by[side] = missed_by[side].min(behind);
            }
        }
        left.retain(|pair| !pair.holds(best.pair.one) && !pair.holds(best.pair.other));
        chosen.push(Chosen { weighed: best, clear_by });
    }
    chosen
}

/// Whether two pieces would be sewn to one another all around: one of these seams is then the mouth of a bag, or none.
fn is_closed_bag(sides: &[LikelySide], chosen: &[Chosen], pair: &Pair) -> bool {
    let pieces = [sides[pair.one].piece, sides[pair.other].piece];
    let is_joined = |side: SideAt| {
        let own = chosen.iter().map(|chosen| &chosen.weighed.pair).find(|pair| pair.holds(side));
        own.is_some_and(|pair| [pair.one, pair.other].iter().all(|side| pieces.contains(&sides[*side].piece)))
    };
    pieces[0] != pieces[1]
        && pieces
            .iter()
            .any(|piece| (0..sides.len()).filter(|side| sides[*side].piece == *piece).all(is_joined))
}

impl Chosen {
    fn certainty(&self, sides: &[LikelySide], chosen: &[Chosen]) -> Certainty {
        let (pair, likeness) = (&self.weighed.pair, &self.weighed.pair.likeness);
        let two_pieces = sides[pair.one].piece != sides[pair.other].piece;
        let speaks = likeness.meeting + self.weighed.ends_agree + usize::from(likeness.bent_alike);
        let alike = likeness.is_of_one_length() && likeness.one_allowance && likeness.alone == 0;
        let met = likeness.meeting > 0 || self.weighed.ends_agree == 2;
        let is_open = !is_closed_bag(sides, chosen, pair);
        match (alike, two_pieces && is_open, met && self.clear_by >= CLEAR) {
            (true, true, true) => Certainty::Sure,
            (true, _, _) if speaks > 0 || self.clear_by >= CLEAR => Certainty::Likely,
            _ => Certainty::Perhaps,
        }
    }

    fn seam(&self, sides: &[LikelySide], chosen: &[Chosen]) -> LikelySeam {
        let pair = &self.weighed.pair;
        let (one, other) = (&sides[pair.one], &sides[pair.other]);
        let longer = pair.likeness.longer;
        let (first, second) = if longer >= 0.0 { (one, other) } else { (other, one) };
        LikelySeam {
            first: vec![first.edge.clone()],
            second: vec![second.edge.clone()],
            ease: if pair.likeness.is_of_one_length() { 0.0 } else { longer.abs() },
            from: pair.ends.met_by(EdgeEnd::First),
            certainty: self.certainty(sides, chosen),
            because: self.because(sides),
        }
    }

    fn because(&self, sides: &[LikelySide]) -> String {
        let (pair, likeness) = (&self.weighed.pair, &self.weighed.pair.likeness);
        let mut reasons = vec![match likeness.is_of_one_length() {
            true => format!("both {:.1} mm", sides[pair.one].length),
            false => format!("{:.1} and {:.1} mm", sides[pair.one].length, sides[pair.other].length),
        }];
        reasons.extend(meet(likeness.meeting));
        if likeness.bent_alike {
            reasons.push("the same curve".to_owned());
        }
        match self.weighed.ends_agree {
            0 => {}
            1 => reasons.push("what comes next fits at one end".to_owned()),
            _ => reasons.push("what comes next fits at both ends".to_owned()),
        }
        if likeness.alone > 0 {
            reasons.push("but not all notches meet".to_owned());
        }
        reasons.join(", ")
    }
}

fn meet(notches: usize) -> Option<String> {
    match notches {
        0 => None,
        1 => Some("a notch meets".to_owned()),
        many => Some(format!("{many} notches meet")),
    }
}

/// An edge that fits a chain, with the end of it that meets the chain's first edge.
struct ChosenRun {
    fitting: Fitting,
    ends: Ends,
    clear_by_notches: bool,
}

/// Edges that are sewn to several. Where both edges of a pair fit the same chain, both are layers on it, and not sewn to each
/// other; nor are they where little speaks for the pair, and one of them fits a chain as it was drawn to.
fn runs(sides: &[LikelySide], chosen: &mut Vec<Chosen>) -> Vec<ChosenRun> {
    let pairs: Vec<Pair> = chosen.iter().map(|chosen| chosen.weighed.pair).collect();
    let is_weak = |one: &Chosen| one.certainty(sides, chosen) == Certainty::Perhaps;
    let weak: Vec<Pair> = chosen.iter().filter(|one| is_weak(one)).map(|one| one.weighed.pair).collect();
    let mut found: Vec<ChosenRun> = Vec::new();
    for chain in chains(sides, &pairs) {
        let in_chain = |side: SideAt| chain.sides.iter().any(|(other, _)| *other == side);
        let fitting = |one: SideAt| {
            let ways = Ends::BOTH.into_iter().filter_map(|ends| {
                let fitting = Fitting::of(sides, one, &chain, ends)?;
                let score = fitting.meeting as f64 - fitting.alone as f64 - fitting.ease.max(0.0) / 10.0;
                Some((score, ChosenRun { fitting, ends, clear_by_notches: false }))
            });
            let mut ways: Vec<(f64, ChosenRun)> = ways.collect();
            ways.sort_by(|a, b| b.0.total_cmp(&a.0));
            let clear = ways.len() < 2 || ways[0].0 > ways[1].0;
            ways.into_iter().next().map(|(_, run)| ChosenRun { clear_by_notches: clear, ..run })
        };
        let open = (0..sides.len()).filter(|side| sides[*side].may_be_sewn() && !in_chain(*side));
        let fits: Vec<ChosenRun> = open.filter_map(fitting).filter(ChosenRun::is_likely).collect();
        let of_pair = |side: SideAt| pairs.iter().find(|pair| pair.holds(side));
        let is_layer = |run: &ChosenRun| match of_pair(run.fitting.one) {
            None => true,
            Some(pair) if weak.contains(pair) && run.is_drawn_to_fit() => true,
            Some(pair) => fits.iter().any(|other| {
                other.fitting.one != run.fitting.one && pair.joins(other.fitting.one, run.fitting.one)
            }),
        };
        let layers: Vec<bool> = fits.iter().map(is_layer).collect();
        found.extend(fits.into_iter().zip(layers).filter(|(_, layer)| *layer).map(|(run, _)| run));
    }
    let is_run = |side: SideAt| found.iter().any(|run| run.fitting.one == side);
    chosen.retain(|chosen| {
        let pair = &chosen.weighed.pair;
        let [one, other] = [pair.one, pair.other].map(is_run);
        !(one && other || (one || other) && weak.contains(pair))
    });
    best_runs(found)
}

/// Of runs of one edge that share edges the one that fits best.
fn best_runs(mut found: Vec<ChosenRun>) -> Vec<ChosenRun> {
    let worth = |run: &ChosenRun| {
        2.0 * run.fitting.meeting as f64 - run.fitting.alone as f64 - run.fitting.ease.abs() / 10.0
    };
    found.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    let mut kept: Vec<ChosenRun> = Vec::new();
    for run in found {
        let shares = |other: &ChosenRun| {
            other.fitting.one == run.fitting.one
                && other.fitting.chain.sides.iter().any(|(side, _)| run.holds(*side))
        };
        if !kept.iter().any(shares) {
            kept.push(run);
        }
    }
    kept
}

impl ChosenRun {
    fn holds(&self, side: SideAt) -> bool {
        self.fitting.chain.sides.iter().any(|(other, _)| *other == side)
    }

    fn is_likely(&self) -> bool {
        let fitting = &self.fitting;
        match fitting.is_of_one_length() {
            true => fitting.meeting > 0 && fitting.alone <= fitting.meeting,
            false => fitting.meeting >= 2 && fitting.alone <= 1,
        }
    }

    /// Whether it is as long as the chain, and all its notches meet.
    fn is_drawn_to_fit(&self) -> bool {
        self.fitting.is_of_one_length() && self.fitting.meeting > 0 && self.fitting.alone == 0
    }

    /// Where an edge fits several chains, as a collar does a neckline and its facing, it need not be sewn to each.
    fn certainty(&self, layers: usize) -> Certainty {
        let fitting = &self.fitting;
        match (fitting.meeting, fitting.alone) {
            (2.., 0) if self.clear_by_notches && layers == 1 => Certainty::Sure,
            (1.., 0) => Certainty::Likely,
            _ => Certainty::Perhaps,
        }
    }

    fn seam(&self, sides: &[LikelySide], layers: usize) -> LikelySeam {
        let fitting = &self.fitting;
        let mut chain: Vec<EdgeRef> =
            fitting.chain.sides.iter().map(|(side, _)| sides[*side].edge.clone()).collect();
        // The chain's start meets the edge's first corner, or else its end does.
        let begins = match self.ends {
            Ends::Alike => fitting.chain.sides.first().map(|(_, entered)| *entered),
            Ends::Across => {
                chain.reverse();
                fitting.chain.sides.last().map(|(_, entered)| entered.other())
            }
        };
        let lengths = match fitting.is_of_one_length() {
            true => format!("both {:.1} mm", sides[fitting.one].length),
            false => format!("{:.1} mm longer", fitting.ease),
        };
        let reasons: Vec<String> = [lengths].into_iter().chain(meet(fitting.meeting)).collect();
        LikelySeam {
            first: vec![sides[fitting.one].edge.clone()],
            second: chain,
            ease: if fitting.is_of_one_length() { 0.0 } else { fitting.ease },
            from: begins.unwrap_or(EdgeEnd::First),
            certainty: self.certainty(layers),
            because: reasons.join(", "),
        }
    }
}

/// Edges of pieces cut left and right that are sewn to nothing else and go on where a fold does: at a seam the fold of the one
/// piece meets them, or along a hem that runs over a seam from a fold to them.
fn own_mirrors(sides: &[LikelySide], chosen: &[Chosen], runs: &[ChosenRun]) -> Vec<SideAt> {
    let is_sewn = |side: SideAt| {
        chosen.iter().any(|chosen| chosen.weighed.pair.holds(side))
            || runs.iter().any(|run| run.fitting.one == side || run.holds(side))
    };
    let mut found: Vec<SideAt> = Vec::new();
    for chosen in chosen {
        for end in [EdgeEnd::First, EdgeEnd::Last] {
            let (next, met) = chosen.weighed.pair.next(end, sides);
            let ways = [(next, end, met, chosen.weighed.pair.ends.met_by(end))];
            let ways =
                ways.into_iter().flat_map(|(a, at_a, b, at_b)| [(a, at_a, b, at_b), (b, at_b, a, at_a)]);
            for (fold, at_fold, edge, at_edge) in ways {
                // Behind what is turned up, or open, at the end of the seam, one edge further on both pieces.
                let further = (sides[fold].neighbour(at_fold), sides[edge].neighbour(at_edge));
                for (fold, edge) in [(fold, edge), further] {
                    let goes_on = sides[fold].finish == Finish::Fold && sides[edge].is_mirrored;
                    let open = sides[edge].may_be_sewn() && !is_sewn(edge);
                    if goes_on && open && !found.contains(&edge) {
                        found.push(edge);
                    }
                }
            }
        }
    }
    let one_piece_twice = |side: &SideAt| {
        let others = found.iter().filter(|other| sides[**other].piece == sides[*side].piece);
        others.count() > 1
    };
    found.iter().copied().filter(|side| !one_piece_twice(side)).collect()
}

fn mirrored_seam(side: &LikelySide) -> LikelySeam {
    LikelySeam {
        first: vec![side.edge.clone()],
        second: vec![side.edge.mirrored()],
        ease: 0.0,
        from: EdgeEnd::First,
        certainty: Certainty::Likely,
        because: "it lies where the piece that it is sewn to has a fold".to_owned(),
    }
}
