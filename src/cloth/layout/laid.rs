//! What came of a search: where each copy lies, what is used and what is left.

use kurbo::Shape;

use std::time::Instant;

use crate::allowance::turned;
use crate::cloth::layout::alike::{SeamAlike, seam_alike};
use crate::cloth::layout::levels::{LaidLevel, LevelMatch};
use crate::cloth::layout::matches::WishKept;
use crate::cloth::layout::mirrors::OnStripes;
use crate::cloth::layout::phases::has_stripes;
use crate::cloth::layout::task::{HeldWishes, LayProblem};
use crate::cloth::layout::{
    LaidCopy, LayError, LayTask, LyingCopy, PlaceMet, Reason, SeamMet, check, seam_met,
};
use crate::cloth::search::{
    self, Budget, Continue, Goal, Impossible, LayFault, Outcome, Pose, Problem, Progress,
};
use crate::cloth::{Cloth, StripesAlong};
use crate::curve::{Motion, Point, Vec2};
use crate::pattern::{ClothName, SeamId};
use crate::tolerance::{ONE_PLACE, SAME_POINT};
use crate::units::Angle;

/// Whether the pieces lie on the cloth.
#[derive(Clone, Debug, PartialEq)]
pub enum LaidVerdict {
    /// All of them, and every rule is kept.
    Fits,
    /// No such layout was found within the budget; there may be one.
    NotFound {
        /// How many rules the closest layout tried still breaks.
        broken: usize,
        /// The deepest overlap of it, mm.
        by: f64,
    },
    /// There is none, and why.
    Impossible(Vec<Reason>),
}

/// How much of a ground is used.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct GroundUse {
    /// How many copies lie on it.
    #[serde(skip)]
    pub copies: usize,
    /// The length used, mm from its start.
    pub used: f64,
    /// The rectangle left over at its end, mm across and along.
    pub leftover: Option<(f64, f64)>,
}

/// A layout, or why there is none.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Whether the pieces lie on the cloth.
    pub verdict: LaidVerdict,
    /// Where each copy lies; none unless all fit.
    pub lying: Vec<LaidCopy>,
    /// What is used of each ground, in their order.
    pub uses: Vec<GroundUse>,
    /// How far the stripes meet of each seam that was named, measured where the copies lie; none unless all fit.
    pub matches: Vec<LaidMatch>,
    /// How far the levels that were named lie at the same place of the pattern; none unless all fit.
    pub levels: Vec<LaidLevel>,
    /// Passes of the search.
    pub iterations: u64,
}

/// What came of the stripes of a seam that was named.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidMatch {
    /// How far stripes that run along the width meet; nothing is known of a cloth without any.
    pub met: SeamMet,
    /// How far stripes that run along the length meet, where the cloth has any.
    pub upright: Option<SeamMet>,
    /// How alike the colours look, where they are told.
    pub alike: Option<SeamAlike>,
    /// What the search made of the wish.
    pub wish: WishKept,
}

/// Who kept the wishes for what is to meet, of which those of no use are known anyway.
#[derive(Clone, Copy, Debug)]
pub(super) enum Wishes<'a> {
    /// The search: so many of the first, without those that contradict them, and by how much.
    Searched { held: usize, contradicted: &'a [(SeamId, f64)] },
    /// A hand that moved pieces.
    ByHand,
}

/// The share of the budget in which it is found out which wishes can be kept.
const PROBING: f64 = 0.5;

impl LayTask<'_> {
    /// Searches for a layout. What is said to fit has been held against the true cutting lines. Where no layout is found
    /// that keeps all wishes for stripes, those named last are given up.
    ///
    /// # Errors
    ///
    /// There is nothing to lay, or what the search found does not hold.
    pub fn search(
        &self,
        budget: &Budget,
        listen: &mut dyn FnMut(Progress) -> Continue,
    ) -> Result<Laid, LayError> {
        self.search_shown(budget, listen, &mut |_| {})
    }

    /// As [`LayTask::search`]; each time that a better layout is found, `show` is given where its copies lie. It is not yet
    /// held against the true cutting lines.
    ///
    /// # Errors
    ///
    /// As [`LayTask::search`].
    pub fn search_shown(
        &self,
        budget: &Budget,
        listen: &mut dyn FnMut(Progress) -> Continue,
        show: &mut dyn FnMut(&[LaidCopy]),
    ) -> Result<Laid, LayError> {
        if self.copies.is_empty() {
            return Err(LayError::NothingToLay);
        }
        let began = Instant::now();
        let held = self.wishes_kept(budget, listen)?;
        let LayProblem { problem, blocked, contradicted } = self.problem(held, Goal::Shortest)?;
        if !blocked.is_empty() {
            return Ok(Laid::impossible(blocked));
        }
        let mut show_poses = |poses: &[Option<Pose>]| {
            let placed = poses.iter().enumerate().filter_map(|(copy, pose)| Some((copy, pose.as_ref()?)));
            show(&placed.map(|(copy, pose)| self.lying(copy, pose)).collect::<Vec<_>>());
        };
        match search::search_shown(&problem, &budget.left_since(began), listen, &mut show_poses)? {
            Outcome::Fits(layout) => {
                let lying = layout.poses.iter().enumerate().map(|(copy, pose)| self.lying(copy, pose));
                let mut laid = self.checked(lying.collect(), layout.iterations)?;
                let kept = Wishes::Searched { held: held.wishes, contradicted: &contradicted };
                laid.matches = self.matches(&laid.lying, kept)?;
                laid.levels = self.levels_met(&laid.lying, kept)?;
                Ok(laid)
            }
            Outcome::NotFound { closest, faults } => Ok(Laid {
                verdict: LaidVerdict::NotFound {
                    broken: faults.len(),
                    by: faults.iter().filter_map(LayFault::depth).fold(0.0, f64::max),
                },
                lying: Vec::new(),
                uses: Vec::new(),
                matches: Vec::new(),
                levels: Vec::new(),
                iterations: closest.iterations,
            }),
            Outcome::Impossible(reasons) => {
                Ok(Laid::impossible(reasons.iter().map(|reason| self.reason(&problem, reason)).collect()))
            }
        }
    }

    /// How many of the seams named, from the first, can be held so that some layout is found, and whether left and right can
    /// mirror each other then.
    fn wishes_kept(
        &self,
        budget: &Budget,
        listen: &mut dyn FnMut(Progress) -> Continue,
    ) -> Result<HeldWishes, LayError> {
        let all = self.wishes();
        let striped = |cloth: &ClothName| has_stripes(self.stock, cloth);
        let worth_it = |held: &usize| match (held - 1).checked_sub(self.levels.len()) {
            None => striped(&self.levels[held - 1].cloth),
            Some(seam) => striped(&self.seams[seam].cloth) && self.seams[seam].is_worth_it(),
        };
        let free = |wishes: usize| HeldWishes { wishes, halves: OnStripes::Free };
        let held: Vec<HeldWishes> = (1..=all).rev().filter(worth_it).map(free).collect();
        let most = held.first().copied().unwrap_or(HeldWishes::NONE);
        let mirrored =
            (!self.mirrors().is_empty()).then_some(HeldWishes { halves: OnStripes::Mirrored, ..most });
        let attempts: Vec<HeldWishes> = mirrored.into_iter().chain(held).collect();
        let each = budget.share(PROBING / attempts.len().max(1) as f64);
        let mut quiet = |progress: Progress| listen(Progress { length: None, ..progress });
        for held in attempts {
            let LayProblem { problem, blocked, .. } = self.problem(held, Goal::Fits)?;
            let fits = blocked.is_empty()
                && matches!(search::search(&problem, &each, &mut quiet)?, Outcome::Fits(_));
            if fits {
                return Ok(held);
            }
        }
        Ok(HeldWishes::NONE)
    }

    /// Copies as they lie, if they keep every rule: what is used then, matches aside.
    pub(super) fn checked(&self, lying: Vec<LaidCopy>, iterations: u64) -> Result<Laid, LayError> {
        let broken = check::broken(self, &lying)?;
        if !broken.is_empty() {
            let all: Vec<String> = broken.iter().map(ToString::to_string).collect();
            return Err(LayError::Unsound(all.join("; ")));
        }
        Ok(self.unchecked(lying, iterations))
    }

    /// The same whether or not they keep the rules.
    pub(super) fn unchecked(&self, lying: Vec<LaidCopy>, iterations: u64) -> Laid {
        let uses = (0..self.grounds.len()).map(|ground| self.used(&lying, ground)).collect();
        let (matches, levels) = (Vec::new(), Vec::new());
        Laid { verdict: LaidVerdict::Fits, lying, uses, matches, levels, iterations }
    }

    /// How far the stripes of the seams named meet where copies lie, and what became of the wishes.
    pub(super) fn matches(&self, lying: &[LaidCopy], kept: Wishes<'_>) -> Result<Vec<LaidMatch>, LayError> {
        let copies: Vec<LyingCopy<'_>> = lying.iter().map(|lying| self.copy_lying(lying)).collect();
        let seams = self.seams.iter().enumerate();
        seams
            .map(|(place, seam)| {
                let wish = match kept {
                    _ if !has_stripes(self.stock, &seam.cloth) => WishKept::Held,
                    _ if !seam.is_worth_it() => WishKept::NotWorthIt(seam.parting),
                    Wishes::ByHand => WishKept::ByHand,
                    Wishes::Searched { held, .. } if place + self.levels.len() >= held => WishKept::GivenUp,
                    Wishes::Searched { contradicted, .. } => {
                        let off = contradicted.iter().find(|(id, _)| *id == seam.id);
                        off.map_or(WishKept::Held, |(_, by)| WishKept::Contradicted(*by))
                    }
                };
                let met = |along| seam_met(self.pattern, self.stock, along, seam.id, &copies);
                let cloth = self.stock.find(&seam.cloth);
                let has_upright =
                    cloth.is_some_and(|cloth| cloth.stripes_along(StripesAlong::Length).is_some());
                let has_colours = cloth.is_some_and(Cloth::has_colours);
                let alike = || seam_alike(self.pattern, self.stock, seam.id, &copies);
                Ok(LaidMatch {
                    met: met(StripesAlong::Width)?,
                    upright: has_upright.then(|| met(StripesAlong::Length)).transpose()?,
                    alike: has_colours.then(alike).transpose()?,
                    wish,
                })
            })
            .collect()
    }

    /// How far the levels named lie at the same place of the pattern.
    pub(super) fn levels_met(
        &self,
        lying: &[LaidCopy],
        kept: Wishes<'_>,
    ) -> Result<Vec<LaidLevel>, LayError> {
        let lying: Vec<LyingCopy<'_>> = lying.iter().map(|lying| self.copy_lying(lying)).collect();
        let met = |(place, level): (usize, &LevelMatch)| {
            let missing = || LayError::NoCloth(level.cloth.clone());
            let cloth = self.stock.find(&level.cloth).ok_or_else(missing)?;
            let (copies, met) = level.measure(cloth, self.stock, &lying);
            let wish = match kept {
                Wishes::Searched { held, .. } if has_stripes(self.stock, &level.cloth) && place >= held => {
                    WishKept::GivenUp
                }
                Wishes::Searched { .. } => WishKept::Held,
                Wishes::ByHand => WishKept::ByHand,
            };
            Ok(LaidLevel { wished: level.clone(), copies, met, wish })
        };
        self.levels.iter().enumerate().map(met).collect()
    }

    /// A copy and what it lies on.
    pub(in crate::cloth) fn copy_lying(&self, lying: &LaidCopy) -> LyingCopy<'_> {
        let (copy, ground) = (&self.copies[lying.copy], &self.grounds[lying.ground]);
        LyingCopy { copy, ground, motion: lying.motion }
    }

    pub(super) fn lying(&self, copy: usize, pose: &Pose) -> LaidCopy {
        let turn = turned(Angle::from_degrees(pose.degrees));
        let shift = Motion::shift(Vec2::new(pose.x, pose.y));
        let motion = self.copies[copy].cut.from_sheet().then(&turn).then(&shift);
        LaidCopy { copy, ground: pose.sheet, motion }
    }

    fn used(&self, lying: &[LaidCopy], ground: usize) -> GroundUse {
        let here: Vec<&LaidCopy> = lying.iter().filter(|lying| lying.ground == ground).collect();
        let used = here.iter().map(|lying| lying.path(self).bounding_box().y1).fold(0.0, f64::max);
        GroundUse { copies: here.len(), used, leftover: self.grounds[ground].leftover(used) }
    }

    fn reason(&self, problem: &Problem, reason: &Impossible) -> Reason {
        let piece = |item: usize| self.copies[item].piece.clone();
        match *reason {
            Impossible::Area { items, sheets } => Reason::Area { pieces: items, cloth: sheets },
            // The search goes by polygons around the pieces; what is told is how they are cut.
            Impossible::TooWide { item, widest, .. } => {
                Reason::TooWide { piece: piece(item), width: self.least_width(problem, item), widest }
            }
            Impossible::TooLong { item, longest, .. } => {
                Reason::TooLong { piece: piece(item), length: self.least_length(problem, item), longest }
            }
            Impossible::NoPlace { item } => Reason::NoPlace { piece: piece(item) },
            Impossible::Selvedges { edges, selvedges } => Reason::Selvedges { edges, selvedges },
        }
    }
}

impl LaidMatch {
    /// The sets of stripes that are known where its pieces lie.
    fn known(&self) -> impl Iterator<Item = &SeamMet> {
        std::iter::once(&self.met).chain(&self.upright).filter(|set| set.is_known())
    }

    /// The stitching lines as far as like meets like along them, by every set of stripes at once: each with the copy that it
    /// is on, as a place among those that lie.
    #[must_use]
    pub fn lines_met(&self) -> Vec<(usize, Vec<Point>)> {
        let Some(first) = self.known().next() else { return Vec::new() };
        let sewings = first.sewings.iter().enumerate();
        let pairs = sewings.flat_map(|(number, sewing)| sewing.pairs.iter().map(move |pair| (number, pair)));
        let lines = pairs.flat_map(|(number, pair)| {
            let meets = |place: &PlaceMet| self.known().all(|set| set.meets_at(number, place.at));
            runs(&pair.places, meets).into_iter().flat_map(|run| {
                [0, 1].map(|side: usize| {
                    (pair.lying[side], run.iter().map(|place| place.points[side]).collect::<Vec<Point>>())
                })
            })
        });
        lines.collect()
    }
}

/// The stretches of a seam between places all of which meet. Over the mouth of a dart two places lie at one distance along the
/// seam: nothing is sewn between them.
fn runs(places: &[PlaceMet], meets: impl Fn(&PlaceMet) -> bool) -> Vec<Vec<PlaceMet>> {
    let mut runs: Vec<Vec<PlaceMet>> = Vec::new();
    let mut goes_on = false;
    for pair in places.windows(2) {
        let is_one = (pair[1].at - pair[0].at).abs() <= SAME_POINT;
        let lies_apart = |side: usize| pair[0].points[side].distance(pair[1].points[side]) > ONE_PLACE;
        if is_one && !(0..2).any(lies_apart) {
            continue;
        }
        let both = !is_one && meets(&pair[0]) && meets(&pair[1]);
        match runs.last_mut().filter(|_| goes_on && both) {
            Some(run) => run.push(pair[1]),
            None if both => runs.push(pair.to_vec()),
            None => {}
        }
        goes_on = both;
    }
    runs
}

impl Laid {
    /// The length used of all grounds together, mm.
    #[must_use]
    pub fn used(&self) -> f64 {
        self.uses.iter().map(|usage| usage.used).sum()
    }

    /// How many of the seams and levels that were to meet do not.
    #[must_use]
    pub fn missed_wishes(&self) -> usize {
        let seams = self.matches.iter().filter(|seam| !seam.is_met()).count();
        seams + self.levels.iter().filter(|level| !level.is_met()).count()
    }

    fn impossible(mut reasons: Vec<Reason>) -> Laid {
        let mut kept: Vec<Reason> = Vec::new();
        for reason in reasons.drain(..) {
            if !kept.contains(&reason) {
                kept.push(reason);
            }
        }
        Laid {
            verdict: LaidVerdict::Impossible(kept),
            lying: Vec::new(),
            uses: Vec::new(),
            matches: Vec::new(),
            levels: Vec::new(),
            iterations: 0,
        }
    }
}
