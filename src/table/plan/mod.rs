//! Ways to make the pattern fit: searched for beside the table, shown side by side, taken as steps; and limits of taste.

mod run;
pub(super) mod serve;
mod taste;

pub(super) use run::PlanRun;
