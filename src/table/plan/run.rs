//! A search for ways that fit, which runs beside the table.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde::Serialize;

use crate::cloth::fit::FitError;
use crate::cloth::search::Stop;
use crate::cloth::{GrainChoice, Stock, picture};
use crate::pattern::Refusal;
use crate::plan::{Alternative, Effort, News, PlanChoices, PlanError, PlanTask, Planned, Taste, plan};
use crate::sheet::Sheet;
use crate::show::plans;
use crate::show::report::capital;
use crate::table::basis::{Basis, MadeOf};
use crate::table::beside::AtLast;
use crate::table::chosen::{FormSaid, chosen};
use crate::table::lay::{lay_refused, no_cloth};
use crate::table::on_table::OnTable;
use crate::table::plan::taste::taste;
use crate::table::said::{Refused, Remark};
use crate::table::words::read;
use crate::units::{Unit, counted_as};

/// A search for ways that fit.
pub(in crate::table) struct PlanRun {
    sheet: Sheet,
    stock: Arc<Stock>,
    taste: Taste,
    effort: Effort,
    grain: GrainChoice,
    unit: Unit,
    /// What the ways are of.
    of: Basis,
    pub(super) stop: Stop,
    so_far: Mutex<PlannedSoFar>,
}

/// How far a search has come.
pub(super) struct PlannedSoFar {
    pub(super) says: Vec<Remark>,
    /// What was found: while it is searched, in the order in which it was shown first, so that nothing changes its place under
    /// a hand; once that is over the best first, as the command has it.
    pub(super) found: Vec<FoundWay>,
    /// What was shown last and is not any more: a page may not know yet.
    gone: Vec<FoundWay>,
    /// How many were found in all.
    count: usize,
    pub(super) is_over: bool,
}

/// A way that fits.
pub(super) struct FoundWay {
    pub(super) alternative: Arc<Alternative>,
    pub(super) seen: WaySeen,
}

/// A way that fits, as a person is shown it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct WaySeen {
    /// Its own number in this search, by which it is taken.
    pub(super) id: usize,
    /// Whether it is the best of those that are shown.
    pub(super) is_best: bool,
    /// What a sewer would say of it.
    sentence: String,
    /// What it adds, and what it uses of the cloth.
    figures: Vec<String>,
    /// What is not true of it.
    untrue: Option<String>,
    /// Its pieces: a group of an SVG picture, and the part of the plane that it shows.
    drawing: String,
    view: [f64; 4],
}

/// All that is chosen of a plan.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct AllPlanChoices {
    #[command(flatten)]
    plan: PlanChoices,
    #[command(flatten)]
    grain: GrainChoice,
}

impl PlanRun {
    /// A search on what lies on the table, within the limits of a plan file.
    ///
    /// # Errors
    ///
    /// No cloth is laid out, a step cannot be done, or what is chosen is refused.
    pub(super) fn of(laid: &OnTable, said: &FormSaid, taste_said: Option<&str>) -> Result<PlanRun, Refused> {
        let AllPlanChoices { plan, grain } = chosen(said)?;
        let (sheet, of) = (laid.as_read()?, laid.as_made()?);
        Ok(PlanRun {
            stock: laid.stock.clone().ok_or_else(no_cloth)?,
            taste: taste_said.map(|text| taste(text, &sheet.pattern)).transpose()?.unwrap_or_default(),
            sheet,
            effort: plan.effort(),
            grain,
            unit: laid.unit,
            of,
            stop: Stop::default(),
            so_far: Mutex::new(PlannedSoFar {
                says: vec![Remark::plain("The search begins.")],
                found: Vec::new(),
                gone: Vec::new(),
                count: 0,
                is_over: false,
            }),
        })
    }

    /// Whether it is of the pattern and the cloth that lie on the table.
    pub(super) fn is_of(&self, now: &OnTable) -> bool {
        self.of.beside(now.basis()) == MadeOf::Now
    }

    pub(super) fn so_far(&self) -> MutexGuard<'_, PlannedSoFar> {
        self.so_far.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Searches until the end or until it is stopped.
    pub(super) fn search(&self) {
        let over = AtLast(|| self.so_far().is_over = true);
        let effort = Effort { stop: self.stop.clone(), ..self.effort.clone() };
        let task = PlanTask {
            pattern: &self.sheet.pattern,
            stock: &self.stock,
            taste: &self.taste,
            grain_tolerance: self.grain.grain_tolerance,
        };
        let planned = plan(task, &effort, &mut |news| self.hear(news));
        let says = match planned {
            Ok(planned) => self.found(planned),
            Err(error) => vec![Remark::bad(format!("{}.", capital(&refused(&error).to_string())))],
        };
        self.so_far().says = says;
        drop(over);
    }

    fn hear(&self, news: News<'_>) {
        if let News::Fits(alternative) = news {
            self.so_far().show(alternative, self.effort.alternatives, self.unit);
        }
        if let Some(says) = news.sentence() {
            self.so_far().says = vec![Remark::plain(format!("{}.", capital(&says)))];
        }
    }

    /// Takes up what came of planning; what is said of it.
    fn found(&self, planned: Planned) -> Vec<Remark> {
        let says = match &planned.closest {
            None => {
                let ways = counted_as(planned.alternatives.len(), "way fits", "ways fit");
                vec![Remark::good(format!("{}.", capital(&ways)))]
            }
            Some(_) if self.stop.is_raised() => {
                vec![Remark::plain("Stopped before anything was found that fits.")]
            }
            Some(closest) => {
                let nearest = format!("What would come closest: {}", closest.sentence());
                let missing = closest.missing.iter().map(|missing| missing.sentence(self.unit));
                let besides = closest.besides().map(|besides| format!("or: {besides}"));
                let missing =
                    missing.chain(besides).map(|sentence| Remark::plain(format!("{}.", capital(&sentence))));
                [Remark::bad("Nothing was found that fits."), Remark::plain(nearest)]
                    .into_iter()
                    .chain(missing)
                    .collect()
            }
        };
        self.so_far().settle(&planned.alternatives, self.unit);
        says
    }

    /// The way of a number.
    pub(super) fn way(&self, id: usize) -> Option<Arc<Alternative>> {
        let so_far = self.so_far();
        let found = so_far.found.iter().chain(&so_far.gone).find(|found| found.seen.id == id);
        found.map(|found| Arc::clone(&found.alternative))
    }

    /// The layout of a way, as `plan` draws it.
    pub(super) fn layout(&self, id: usize) -> Option<String> {
        let way = self.way(id)?;
        let task = way.lay_task(&self.stock).ok()?;
        Some(picture::layout(&task, &way.laid, self.unit))
    }

    pub(super) fn grain(&self) -> GrainChoice {
        self.grain
    }

    pub(super) fn stock(&self) -> &Stock {
        &self.stock
    }
}

impl PlannedSoFar {
    /// Shows a way that was found, as long as it is among the best of so many.
    fn show(&mut self, way: &Alternative, most: usize, unit: Unit) {
        self.add(way, unit);
        while self.found.len() > most {
            let dearest = self.found.iter().enumerate().max_by(|a, b| a.1.cost().total_cmp(&b.1.cost()));
            let Some((dearest, _)) = dearest else { break };
            let dearest = self.found.remove(dearest);
            self.let_go([dearest]);
        }
        self.mark_best();
    }

    /// Keeps the last of those that are not shown any more.
    fn let_go(&mut self, ways: impl IntoIterator<Item = FoundWay>) {
        /// More than a page can have shown since it asked last.
        const KEPT: usize = 16;
        self.gone.extend(ways);
        self.gone.drain(..self.gone.len().saturating_sub(KEPT));
    }

    /// Shows the ways that are offered at last, in their order; those that were shown before keep the number by which they are
    /// taken.
    fn settle(&mut self, ways: &[Alternative], unit: Unit) {
        let mut shown = std::mem::take(&mut self.found);
        for way in ways {
            match shown.iter().position(|found| found.alternative.steps == way.steps) {
                // What was laid quickly before is laid well now.
                Some(at) => {
                    let mut found = shown.remove(at);
                    found.renew(way, unit);
                    self.found.push(found);
                }
                None => self.add(way, unit),
            }
        }
        self.let_go(shown);
        self.mark_best();
    }

    fn add(&mut self, way: &Alternative, unit: Unit) {
        self.count += 1;
        self.found.extend(FoundWay::of(way, self.count, unit));
    }

    fn mark_best(&mut self) {
        let least = self.found.iter().map(FoundWay::cost).fold(f64::INFINITY, f64::min);
        let best = self.found.iter().position(|found| found.cost() <= least);
        for (i, found) in self.found.iter_mut().enumerate() {
            found.seen.is_best = best == Some(i);
        }
    }
}

impl FoundWay {
    /// A way with its picture; none where a piece of it cannot be drawn.
    fn of(alternative: &Alternative, id: usize, unit: Unit) -> Option<FoundWay> {
        let picture = plans::picture(alternative, id, unit).ok()?;
        let (drawing, view) = picture.group();
        let seen = WaySeen {
            id,
            is_best: false,
            sentence: read(&plans::headline(alternative)),
            figures: plans::uses(alternative, unit).iter().map(|told| read(told)).collect(),
            untrue: alternative.untrue(unit).map(|told| read(&told)),
            drawing,
            view,
        };
        Some(FoundWay { alternative: Arc::new(alternative.clone()), seen })
    }

    /// The same way, laid otherwise.
    fn renew(&mut self, alternative: &Alternative, unit: Unit) {
        if let Some(renewed) = FoundWay::of(alternative, self.seen.id, unit) {
            *self = renewed;
        }
    }

    fn cost(&self) -> f64 {
        self.alternative.cost.total()
    }
}

fn refused(error: &PlanError) -> Refused {
    let of = |refusal: Refusal| Refused::of(&refusal, None);
    match error {
        PlanError::Lay(error) => lay_refused(error),
        PlanError::Fit(FitError::Piece(refusal)) => of(refusal.clone()),
        PlanError::Fit(FitError::Allowance(error)) => of(Refusal::from(error.clone())),
    }
}
