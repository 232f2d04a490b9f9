//! From a pattern, the cloth and limits of taste to ranked alternatives.

use std::time::Instant;

use crate::cloth::fit::FitError;
use crate::cloth::layout::{Laid, LaidVerdict, LayError, LayTask};
use crate::pattern::ClothName;
use crate::plan::closest::{Closest, of_length, of_needs};
use crate::plan::figures::figures;
use crate::plan::moves::{Setting, serving};
use crate::plan::need::Need;
use crate::plan::search::{look, sight};
use crate::plan::state::State;
use crate::plan::trial::Laying;
use crate::plan::variety::most_different_first;
use crate::plan::{Alternative, Cost, Effort, News, PlanTask};
use crate::recut::Step;
use crate::truing;

/// What came of planning.
#[derive(Clone, Debug)]
pub struct Planned {
    /// What trues what was not true before, as far as steps can: each alternative begins with these.
    pub trued: Vec<Step>,
    /// Whether the pattern is true after these.
    pub verdict: truing::Verdict,
    /// What fits, best first.
    pub alternatives: Vec<Alternative>,
    /// What would come closest where nothing fits.
    pub closest: Option<Closest>,
    /// Recuts looked at.
    pub recuts: usize,
    /// How many of them fit by width and area.
    pub fitting: usize,
    /// How many were laid.
    pub trials: usize,
}

/// Why nothing can be planned.
#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    /// The pattern's pieces cannot be cut as they are.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// The pattern cannot be laid.
    #[error(transparent)]
    Lay(#[from] LayError),
}

/// Plans where to add, move or turn which seam so that all of a pattern fits the cloth.
///
/// # Errors
///
/// The pattern as it is cannot be cut or laid at all: a piece has no cutting line, or none is cut from a cloth at hand.
pub fn plan(
    task: PlanTask<'_>,
    effort: &Effort,
    listen: &mut dyn FnMut(News<'_>),
) -> Result<Planned, PlanError> {
    let started = Instant::now();
    let laying = Laying { stock: task.stock, tolerance: task.grain_tolerance, effort, started };
    LayTask::of(task.pattern, task.stock, laying.wish())?;
    let start = State::start(task)?;
    if start.fit.pieces.is_empty() {
        return Err(LayError::NothingToLay.into());
    }
    let (trued, verdict) = (start.steps.clone(), start.verdict().clone());
    let mut trials =
        Trials { task, laying, start: verdict.clone(), lie: Vec::new(), fail: Vec::new(), tried: Vec::new() };
    let found = look(task, start, (effort, started), &mut |news, fitting| {
        listen(news);
        // The first that lies is known soon, however long the search goes on.
        let early = trials.lie.is_empty() && trials.tried.len() < EARLY_TRIALS;
        let untried = fitting.iter().find(|state| early && !trials.tried.contains(&state.steps));
        if let Some(state) = untried {
            trials.try_one(state.clone(), listen);
        }
    });
    let sight = sight(task.pattern);
    let in_order =
        most_different_first(found.fitting.iter().collect(), &sight, |state| state.cost, |state| state);
    for state in in_order {
        if trials.tried.len() >= effort.trials || laying.is_late() {
            break;
        }
        if !trials.tried.contains(&state.steps) {
            trials.try_one(state.clone(), listen);
        }
    }
    if trials.lie.is_empty() {
        trials.spare(listen);
    }
    let mut planned = Planned {
        trued,
        verdict,
        alternatives: Vec::new(),
        closest: None,
        recuts: found.recuts,
        fitting: found.fitting.len(),
        trials: trials.tried.len(),
    };
    if trials.lie.is_empty() {
        planned.closest = Some(match trials.fail.first() {
            Some(state) => of_length(state, laying, effort.quick),
            None if total_needs_are_lengths(&found.nearest) => {
                of_length(&found.nearest, laying, effort.quick)
            }
            None => of_needs(&found.nearest, laying, effort.quick),
        });
        return Ok(planned);
    }
    planned.alternatives = trials.best(listen);
    Ok(planned)
}

/// How many are laid while the search for others still runs, until one lies.
const EARLY_TRIALS: usize = 3;

/// Whether every piece fits by itself, so that only length is missing.
fn total_needs_are_lengths(state: &State) -> bool {
    state.needs().iter().all(|need| matches!(need, Need::Short { .. }))
}

struct Trials<'a> {
    task: PlanTask<'a>,
    laying: Laying<'a>,
    /// What was not true before the first recut.
    start: truing::Verdict,
    lie: Vec<Lies>,
    fail: Vec<State>,
    /// The steps of all that were laid.
    tried: Vec<Vec<Step>>,
}

/// A state that lies on the cloth.
struct Lies {
    state: State,
    laid: Laid,
    cost: f64,
}

/// How many plans that fit one by one but do not lie are helped by sparing cloth.
const SPARED: usize = 6;

impl Trials<'_> {
    /// Lays a state quickly.
    fn try_one(&mut self, state: State, listen: &mut dyn FnMut(News<'_>)) {
        self.tried.push(state.steps.clone());
        if let Ok(laid) = self.laying.lay(&state.pattern, self.laying.effort.quick) {
            if laid.verdict == LaidVerdict::Fits {
                let cost = self.cost(&state, &laid).map_or(state.cost, |cost| cost.total());
                if let Some(alternative) = self.alternative(state.clone(), laid.clone()) {
                    listen(News::Fits(&alternative));
                }
                self.lie.push(Lies { state, laid, cost });
            } else {
                self.fail.push(state);
            }
        }
        listen(News::Tried { trials: self.tried.len(), lie: self.lie.len() });
    }

    fn cost(&self, state: &State, laid: &Laid) -> Option<Cost> {
        let figures = figures(self.task.pattern, &state.pattern, self.task.stock, laid).ok()?;
        Some(Cost::of(state.cost, &figures))
    }

    /// Tries what does not lie again with cloth spared: pieces that are least seen from another cloth.
    fn spare(&mut self, listen: &mut dyn FnMut(News<'_>)) {
        let sight = sight(self.task.pattern);
        let setting = Setting::of(self.task, &sight);
        let failed: Vec<State> = self.fail.iter().take(SPARED).cloned().collect();
        for state in failed {
            let cloths: Vec<ClothName> = state.fit.cloths.iter().map(|area| area.cloth.clone()).collect();
            for cloth in cloths {
                for made in serving(&state, &Need::Short { cloth }, setting) {
                    if self.lie.len() >= self.laying.effort.alternatives || self.laying.is_late() {
                        return;
                    }
                    let after = state.after(made, setting.stock, setting.tolerance);
                    if let Some(mut after) = after.filter(|after| after.needs().is_empty())
                        && after.holds_true()
                    {
                        self.try_one(after, listen);
                    }
                }
            }
        }
    }

    /// The best few, laid well: no two alike, and none that does all that a better one does and more.
    fn best(mut self, listen: &mut dyn FnMut(News<'_>)) -> Vec<Alternative> {
        self.lie.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        let mut chosen: Vec<Lies> = Vec::new();
        for lies in std::mem::take(&mut self.lie) {
            if !chosen.iter().any(|other| lies.state.does_all_of(&other.state)) {
                chosen.push(lies);
            }
        }
        let sight = sight(self.task.pattern);
        chosen = most_different_first(chosen, &sight, |lies| lies.cost, |lies| &lies.state);
        chosen.truncate(self.laying.effort.alternatives);
        let of = chosen.len();
        let mut alternatives = Vec::new();
        for (i, lies) in chosen.into_iter().enumerate() {
            let well = (!self.laying.is_late())
                .then(|| self.laying.lay(&lies.state.pattern, self.laying.effort.good).ok())
                .flatten()
                .filter(|laid| laid.verdict == LaidVerdict::Fits);
            let laid = well.unwrap_or(lies.laid);
            listen(News::Laid { number: i + 1, of });
            alternatives.extend(self.alternative(lies.state, laid));
        }
        alternatives.sort_by(|a, b| a.cost.total().total_cmp(&b.cost.total()));
        alternatives
    }

    fn alternative(&self, state: State, laid: Laid) -> Option<Alternative> {
        let figures = figures(self.task.pattern, &state.pattern, self.task.stock, &laid).ok()?;
        let cost = Cost::of(state.cost, &figures);
        let State { pattern, steps, trued, done, .. } = state;
        let (verdict, wish) = (truing::Verdict::of(&pattern), self.laying.wish());
        verdict.is_as_true_as(&self.start).then_some(Alternative {
            done,
            trued,
            steps,
            pattern,
            verdict,
            laid,
            figures,
            cost,
            wish,
        })
    }
}
