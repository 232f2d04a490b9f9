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
use crate::table::chosen::{Said, chosen};
use crate::table::laid::Laid;
use crate::table::lay::{lay_refused, no_cloth};
use crate::table::plan::taste::taste;
use crate::table::said::{Answer, Line};
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
    so_far: Mutex<SoFar>,
}

/// How far a search has come.
pub(super) struct SoFar {
    pub(super) says: Vec<Line>,
    /// What was found, the best first.
    pub(super) found: Vec<Found>,
    pub(super) is_over: bool,
}

/// A way that fits.
pub(super) struct Found {
    pub(super) alternative: Arc<Alternative>,
    seen: WaySeen,
}

/// A way that fits, as a person is shown it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct WaySeen {
    /// What a sewer would say of it.
    sentence: String,
    /// What it costs, and what it uses of the cloth.
    figures: Vec<String>,
    /// What is not true of it.
    untrue: Option<String>,
    /// Its pieces: a group of an SVG picture, and the part of the plane that it shows.
    drawing: String,
    view: [f64; 4],
}

/// All that is chosen of a plan.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct AllChoices {
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
    pub(super) fn of(laid: &Laid, said: &Said, taste_said: Option<&str>) -> Result<PlanRun, Answer> {
        let AllChoices { plan, grain } = chosen(said)?;
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
            so_far: Mutex::new(SoFar {
                says: vec![Line::plain("The search begins.")],
                found: Vec::new(),
                is_over: false,
            }),
        })
    }

    /// Whether it is of the pattern and the cloth that lie on the table.
    pub(super) fn is_of(&self, now: &Laid) -> bool {
        self.of.beside(now.basis()) == MadeOf::Now
    }

    pub(super) fn so_far(&self) -> MutexGuard<'_, SoFar> {
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
            Err(error) => vec![Line::new(false, format!("{}.", capital(&refused(&error).to_string())))],
        };
        self.so_far().says = says;
        drop(over);
    }

    fn hear(&self, news: News<'_>) {
        if let News::Fits(alternative) = news {
            let found = self.of_alternative(alternative, 1);
            let mut so_far = self.so_far();
            so_far.found.extend(found);
            so_far.found.sort_by(|a, b| a.cost().total_cmp(&b.cost()));
            so_far.found.truncate(self.effort.alternatives);
        }
        if let Some(says) = news.sentence() {
            self.so_far().says = vec![Line::plain(format!("{}.", capital(&says)))];
        }
    }

    /// Takes up what came of planning; what is said of it.
    fn found(&self, planned: Planned) -> Vec<Line> {
        let numbered = (1..).zip(&planned.alternatives);
        let found: Vec<Found> =
            numbered.filter_map(|(number, way)| self.of_alternative(way, number)).collect();
        let says = match &planned.closest {
            None => {
                let ways = counted_as(found.len(), "way fits", "ways fit, the best first");
                vec![Line::new(true, format!("{}.", capital(&ways)))]
            }
            Some(_) if self.stop.is_raised() => {
                vec![Line::plain("Stopped before anything was found that fits.")]
            }
            Some(closest) => {
                let nearest = format!("What would come closest: {}", closest.sentence());
                let missing = closest.missing.iter().map(|missing| missing.sentence(self.unit));
                let besides = closest.besides().map(|besides| format!("or: {besides}"));
                let missing =
                    missing.chain(besides).map(|sentence| Line::plain(format!("{}.", capital(&sentence))));
                [Line::new(false, "Nothing was found that fits."), Line::plain(nearest)]
                    .into_iter()
                    .chain(missing)
                    .collect()
            }
        };
        self.so_far().found = found;
        says
    }

    /// A way with its picture; none where a piece of it cannot be drawn.
    fn of_alternative(&self, alternative: &Alternative, number: usize) -> Option<Found> {
        let picture = plans::picture(alternative, number, self.unit).ok()?;
        let (drawing, view) = picture.group();
        let seen = WaySeen {
            sentence: plans::headline(alternative),
            figures: plans::figures(alternative, self.unit),
            untrue: alternative.untrue(self.unit),
            drawing,
            view,
        };
        Some(Found { alternative: Arc::new(alternative.clone()), seen })
    }

    /// The layout of a way, from 1, as `plan` draws it.
    pub(super) fn layout(&self, number: usize) -> Option<String> {
        let found = number
            .checked_sub(1)
            .and_then(|i| self.so_far().found.get(i).map(|found| Arc::clone(&found.alternative)));
        let way = found?;
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

impl Found {
    fn cost(&self) -> f64 {
        self.alternative.cost.total()
    }

    pub(super) fn seen(&self) -> &WaySeen {
        &self.seen
    }
}

fn refused(error: &PlanError) -> Answer {
    let of = |refusal: Refusal| Answer::of(&refusal, None);
    match error {
        PlanError::Lay(error) => lay_refused(error),
        PlanError::Fit(FitError::Piece(refusal)) => of(refusal.clone()),
        PlanError::Fit(FitError::Allowance(error)) => of(Refusal::from(error.clone())),
    }
}
