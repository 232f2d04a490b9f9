//! From a pattern, the cloth and limits of taste to ranked alternatives.

use std::time::Instant;

use crate::cloth::fit::FitError;
use crate::cloth::layout::{LayError, LayTask};
use crate::plan::closest::{Closest, of_length, of_needs};
use crate::plan::search::{look, sight};
use crate::plan::state::State;
use crate::plan::trial::Laying;
use crate::plan::trials::Trials;
use crate::plan::variety::most_different_first;
use crate::plan::{Alternative, Effort, News, PlanTask};
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

impl Planned {
    /// Whether something fits.
    #[must_use]
    pub fn fits(&self) -> bool {
        !self.alternatives.is_empty()
    }
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
    let mut trials = Trials::new(task, laying);
    let found = look(task, start, (effort, started), &mut |news, fitting| {
        listen(news);
        // The first that lies is known soon, however long the search goes on.
        let early = trials.none_lies() && trials.count() < EARLY_TRIALS;
        let untried = fitting.iter().find(|state| early && !trials.has_tried(state));
        if let Some(state) = untried {
            trials.try_all(vec![state.clone()], listen);
        }
    });
    let sight = sight(task.pattern);
    let in_order =
        most_different_first(found.fitting.iter().collect(), &sight, |state| state.cost, |state| state);
    let room = effort.trials.saturating_sub(trials.count());
    trials.try_in_order(in_order.into_iter().cloned().collect(), room, listen);
    if trials.none_lies() {
        trials.try_again(listen);
    }
    if trials.none_lies() {
        trials.spare(listen);
    }
    let mut planned = Planned {
        trued,
        verdict,
        alternatives: Vec::new(),
        closest: None,
        recuts: found.recuts,
        fitting: found.fitting.len(),
        trials: trials.count(),
    };
    if trials.none_lies() {
        let short = most_different_first(found.short, &sight, |state| state.cost, |state| state);
        planned.closest = Some(match trials.nearest() {
            states if !states.is_empty() => of_length(states, laying),
            _ if !short.is_empty() => of_length(short.iter().collect(), laying),
            _ => of_needs(&found.nearest, laying),
        });
        return Ok(planned);
    }
    planned.alternatives = trials.best(listen);
    Ok(planned)
}

/// How many are laid while the search for others still runs, until one lies.
const EARLY_TRIALS: usize = 3;
