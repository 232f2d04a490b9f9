//! Ways to recut a pattern so that it fits the cloth.

use retrue::plan::{Alternative, Closest, Done, Planned, RecutFigures};
use retrue::recut::Step;
use retrue::units::Unit;
use serde::Serialize;

use super::VerdictReport;

/// What came of planning.
#[derive(Serialize)]
pub struct PlanReport<'a> {
    /// The steps with which each alternative begins: they true what was not true.
    trued: &'a [Step],
    fits: bool,
    alternatives: Vec<AlternativeReport<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    closest: Option<ClosestReport<'a>>,
    recuts: usize,
    fitting: usize,
    trials: usize,
}

/// A way that fits.
#[derive(Serialize)]
struct AlternativeReport<'a> {
    /// Its place, from 1.
    number: usize,
    /// The files of its recipe and of its layout, if they were written.
    #[serde(skip_serializing_if = "Option::is_none")]
    recipe: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    layout: Option<&'a str>,
    #[serde(skip_serializing_if = "String::is_empty")]
    look: String,
    sentence: String,
    #[serde(flatten)]
    truth: VerdictReport,
    #[serde(skip_serializing_if = "Option::is_none")]
    untrue: Option<String>,
    changes: &'a [Done],
    cost: f64,
    cost_of_changes: f64,
    #[serde(flatten)]
    figures: &'a RecutFigures,
    /// Which seams miss each other at a joint and did not before, and which girth changes, a sentence for each.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    looked_at_twice: Vec<String>,
    steps: &'a [Step],
}

/// What would come closest, in words too.
#[derive(Serialize)]
struct ClosestReport<'a> {
    sentence: String,
    #[serde(flatten)]
    closest: &'a Closest,
}

impl<'a> PlanReport<'a> {
    /// The report of what was planned, and of the files that were written.
    pub fn of(planned: &'a Planned, written: &'a [[String; 2]], unit: Unit) -> PlanReport<'a> {
        let alternatives = planned.alternatives.iter().enumerate();
        let closest = planned.closest.as_ref();
        PlanReport {
            trued: &planned.trued,
            fits: planned.fits(),
            alternatives: alternatives
                .map(|(i, alternative)| AlternativeReport::of(i + 1, alternative, written.get(i), unit))
                .collect(),
            closest: closest.map(|closest| ClosestReport { sentence: closest.sentence(), closest }),
            recuts: planned.recuts,
            fitting: planned.fitting,
            trials: planned.trials,
        }
    }
}

impl<'a> AlternativeReport<'a> {
    fn of(
        number: usize,
        alternative: &'a Alternative,
        written: Option<&'a [String; 2]>,
        unit: Unit,
    ) -> AlternativeReport<'a> {
        AlternativeReport {
            number,
            recipe: written.map(|[recipe, _]| recipe.as_str()),
            layout: written.map(|[_, layout]| layout.as_str()),
            look: alternative.look(),
            sentence: alternative.sentence(),
            truth: VerdictReport::of(&alternative.verdict, unit),
            untrue: alternative.untrue(unit),
            changes: &alternative.done,
            cost: alternative.cost.total(),
            cost_of_changes: alternative.cost.changes,
            figures: &alternative.figures,
            looked_at_twice: alternative.figures.looked_at_twice(unit),
            steps: &alternative.steps,
        }
    }
}
