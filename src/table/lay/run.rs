//! A search for a layout that runs beside the table.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::cloth::fit::lying_nowhere;
use crate::cloth::layout::{LaidCopy, LaidVerdict, LayError, LayTask};
use crate::cloth::search::Stop;
use crate::pattern::Refusal;
use crate::show::report::capital;
use crate::table::beside::AtLast;
use crate::table::chosen::{FormSaid, chosen};
use crate::table::lay::choices::AllLayChoices;
use crate::table::lay::kept::{LaidOut, LayoutBasis};
use crate::table::on_table::OnTable;
use crate::table::said::{Refused, Remark};

/// A search for a layout.
pub(in crate::table) struct LayRun {
    on: Arc<LayoutBasis>,
    pub(in crate::table) stop: Stop,
    so_far: Mutex<LaidSoFar>,
}

/// How far a search has come.
pub(super) struct LaidSoFar {
    pub(super) says: Remark,
    pub(super) best: Vec<LaidCopy>,
    pub(super) is_over: bool,
}

impl LayRun {
    /// A search on what lies on the table.
    ///
    /// # Errors
    ///
    /// No cloth is laid out, a step cannot be done, or what is chosen is refused.
    pub(super) fn of(laid: &OnTable, said: FormSaid) -> Result<LayRun, Refused> {
        let choices: AllLayChoices = chosen(&said)?;
        let stock = laid.stock.clone().ok_or_else(no_cloth)?;
        let (sheet, unit, of) = (laid.as_read()?, laid.unit, laid.as_made()?);
        let run = LayRun {
            on: Arc::new(LayoutBasis { sheet, stock, said, unit, of, choices }),
            stop: Stop::default(),
            so_far: Mutex::new(LaidSoFar {
                says: Remark::plain("The search begins."),
                best: Vec::new(),
                is_over: false,
            }),
        };
        run.task().map_err(|error| refused(&error))?;
        Ok(run)
    }

    /// Whether it is of the pattern and the cloth that lie on the table.
    pub(super) fn is_of(&self, now: &OnTable) -> bool {
        self.on.is_of(now)
    }

    /// What is searched for.
    pub(super) fn task(&self) -> Result<LayTask<'_>, LayError> {
        self.on.task()
    }

    pub(super) fn so_far(&self) -> MutexGuard<'_, LaidSoFar> {
        self.so_far.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Says that it is over as soon as what is given is dropped, whatever becomes of it.
    pub(super) fn until_over(&self) -> AtLast<impl FnMut()> {
        AtLast(|| self.so_far().is_over = true)
    }

    /// Searches until the end or until it is stopped; what is found, if anything.
    pub(super) fn search(&self) -> Option<LaidOut> {
        let found = self.searched();
        let (says, laid_out) = match found {
            Ok(found) => found,
            Err(error) => (refusal_line(&refused(&error)), None),
        };
        self.so_far().says = says;
        laid_out
    }

    fn searched(&self) -> Result<(Remark, Option<LaidOut>), LayError> {
        let task = self.task()?;
        let laid = task.search_shown(
            &self.on.choices.budget(),
            &mut |progress| {
                self.so_far().says = Remark::plain(format!("{}.", capital(&progress.sentence(self.on.unit))));
                self.stop.goes_on()
            },
            &mut |best| self.so_far().best = best.to_vec(),
        )?;
        let says = match &laid.verdict {
            LaidVerdict::Fits => match lying_nowhere(&task.without_cloth) {
                Some(nowhere) => Remark::bad(format!("The others lie on the cloth, but {nowhere}.")),
                None => Remark::good("All pieces lie on the cloth."),
            },
            LaidVerdict::NotFound { .. } => {
                let closest = laid.closest(self.on.unit).unwrap_or_default();
                let way_out = "There may be one: look again, for more seconds.";
                Remark::bad(format!("No layout was found; {closest}. {way_out}"))
            }
            LaidVerdict::Impossible(reasons) => {
                let reasons: Vec<String> =
                    reasons.iter().map(|reason| reason.sentence(self.on.unit)).collect();
                Remark::bad(format!("It cannot be laid: {}.", reasons.join("; ")))
            }
        };
        let fits = laid.verdict == LaidVerdict::Fits;
        let laid_out = if fits { Some(LaidOut::found(&self.on, &task, laid)?) } else { None };
        Ok((says, laid_out))
    }
}

pub(in crate::table) fn no_cloth() -> Refused {
    Refused::plain("no cloth is laid out", "describe the cloth, under The cloth")
}

fn refusal_line(answer: &Refused) -> Remark {
    Remark::bad(format!("{}.", capital(&answer.to_string())))
}

/// Why a layout cannot be looked for.
pub(in crate::table) fn refused(error: &LayError) -> Refused {
    let plain = |way_out: &str| Refused::plain(error, way_out);
    match error {
        LayError::Pattern(refusal) => Refused::of(refusal, None),
        LayError::Allowance(error) => Refused::of(&Refusal::from(error.clone()), None),
        LayError::NoStripes { .. } | LayError::LevelOnPlainCloth(_) => {
            plain("say what its stripes or colours are, under The cloth")
        }
        LayError::NoLevel { nearest: Some(nearest), .. } => plain(&format!("did you mean `{nearest}`?")),
        LayError::NoLevel { nearest: None, .. } => plain("name one that the pieces carry"),
        LayError::TooMany { .. } => plain("lay fewer at a time: say how often each piece is cut"),
        LayError::TwoCloths { .. } => plain("leave this seam out"),
        LayError::Gap { .. } => plain("look at the gap, under The cloth"),
        LayError::NoCloth(_) | LayError::NothingToLay => plain("name the cloths as the pieces do"),
        LayError::Search(_) | LayError::Unsound(_) => {
            plain("report it with the recipe: the program failed, not your pattern")
        }
    }
}
