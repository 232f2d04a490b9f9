//! What lies on the table at one time.

use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use serde::Deserialize;
use serde_json::Value;

use crate::cloth::{Size, Stock};
use crate::pattern::Pattern;
use crate::recipe::{OnOrOff, Recipe, StepPlace};
use crate::sheet::{self, ReadOptions, Sheet};
use crate::table::basis::{Basis, Digest};
use crate::table::fault::TableFault;
use crate::table::form::{Offer, OperationForm, form, offers};
use crate::table::hand::{BeneathHand, out_of_job};
use crate::table::holds::HoldsFound;
use crate::table::lying::LyingPattern;
use crate::table::made::{MadeStep, MakingFault, ReadCloth, RecipeMade};
use crate::table::pointed::{Pointed, Pointing};
use crate::table::recipe_text::{
    could_not_be_done, left_out, put_back, with_fields, with_step, with_step_before,
};
use crate::table::said::Refused;
use crate::table::thing::Thing;
use crate::units::Unit;

/// Where in the recipe a step is meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum At {
    /// After all others.
    #[default]
    End,
    /// In place of the step of this number.
    InPlaceOf(usize),
    /// Before the step of this number.
    Before(usize),
}

/// Where files are found from, and how the cloth is read that a step names.
pub(super) struct Ways {
    pub(super) folder: Arc<Path>,
    pub(super) read_cloth: Box<ReadCloth<'static>>,
}

/// What lies on the table at one time.
pub struct OnTable {
    pub(super) ways: Arc<Ways>,
    pub(super) made: RecipeMade,
    pub(super) stock: Option<Arc<Stock>>,
    pub(super) unit: Unit,
    pub(super) text: String,
    pub(super) holds: HoldsFound,
    pub(super) earlier: Mutex<Option<Arc<Earlier>>>,
    /// The digest of the cloth, once it was asked for; shared by all that lies on the same.
    pub(super) cloth_digest: Arc<OnceLock<Digest>>,
    pub(super) basis: OnceLock<Option<Basis>>,
}

/// The pattern as it was before a step.
pub(super) struct Earlier {
    before: usize,
    lying: LyingPattern,
    holds: HoldsFound,
}

impl OnTable {
    /// The text of the recipe.
    #[must_use]
    pub fn recipe(&self) -> &str {
        &self.text
    }

    /// The pattern that it makes; steps that are refused are passed over.
    #[must_use]
    pub fn pattern(&self) -> &Pattern {
        &self.made.lying.made
    }

    /// The same, each piece where it lies on the table.
    #[must_use]
    pub fn as_it_lies(&self) -> &Pattern {
        &self.made.lying.on_table
    }

    /// The sheet that it makes; none where a step of it is refused.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        self.made.sheet.as_deref()
    }

    /// What something is of that is made now; none where a step is refused, so that there is no sheet.
    pub(super) fn basis(&self) -> Option<Basis> {
        let of_cloth = |stock: &Arc<Stock>| *self.cloth_digest.get_or_init(|| Digest::of_cloth(stock));
        let of = |sheet: &str| Basis::of(sheet, self.stock.as_ref().map(of_cloth));
        *self.basis.get_or_init(|| self.sheet().map(of))
    }

    /// What something is of that is made now.
    ///
    /// # Errors
    ///
    /// A step of the recipe cannot be done, so that there is no sheet.
    pub(super) fn as_made(&self) -> Result<Basis, Refused> {
        self.basis().ok_or_else(no_sheet)
    }

    /// The pattern as the sheet has it: what every command reads that goes on from here.
    ///
    /// # Errors
    ///
    /// A step of the recipe cannot be done, so that there is no sheet.
    pub(super) fn as_read(&self) -> Result<Sheet, Refused> {
        let text = self.sheet().ok_or_else(no_sheet)?;
        let read = sheet::read(text.as_bytes(), &ReadOptions::default());
        read.map_err(|error| {
            Refused::plain(error, "report it with the recipe: the program failed, not your pattern")
        })
    }

    /// What can be done with a thing at a place in the recipe.
    ///
    /// # Errors
    ///
    /// There is no such place.
    pub fn offers(&self, thing: &Thing, at: At) -> Result<Vec<Offer>, Refused> {
        self.under(at, |ground| {
            let mut said = offers(thing, ground.pattern);
            let of_thing = said.iter().take_while(|offer| offer.own).count();
            said.splice(of_thing..of_thing, out_of_job(thing, ground.pattern));
            said
        })
    }

    /// The form of a step, as far as it is filled in; of the step that is there where none is given.
    ///
    /// # Errors
    ///
    /// There is no such operation or place.
    pub fn form(&self, step: Option<&Value>, at: At) -> Result<OperationForm, Refused> {
        let there = match (step, at) {
            (None, At::InPlaceOf(number)) => Some(self.step_numbered(number)?.to_value()),
            _ => None,
        };
        let step = there.as_ref().or(step).unwrap_or(&Value::Null);
        let cloths = self.cloths_named();
        self.under(at, |ground| form(step, ground.pattern, &cloths))?
    }

    /// A place that is pointed at on the pattern as it lies where a step is meant.
    ///
    /// # Errors
    ///
    /// There is no such piece or place in the recipe; the place is beyond any sheet.
    pub fn pointed(&self, pointing: &Pointing, at: At) -> Result<Pointed, Refused> {
        let pointed = self.under(at, |ground| pointing.pointed(ground.pattern))?;
        pointed.map_err(|refusal| Refused::of(&refusal, None))
    }

    /// What a text of a recipe makes from here.
    pub(super) fn made_of(&self, text: &str) -> Result<RecipeMade, MakingFault> {
        let Ways { folder, read_cloth } = &*self.ways;
        RecipeMade::of(text, folder, &**read_cloth, Some(&self.made.base), self.unit)
    }

    /// The step of a number.
    pub(super) fn step_numbered(&self, number: usize) -> Result<&MadeStep, Refused> {
        let step = number.checked_sub(1).and_then(|i| self.made.steps.get(i));
        step.ok_or_else(|| Refused::plain(format!("there is no step {number}"), "look again"))
    }

    /// Looks at what lies under a hand where a step is meant to be done.
    ///
    /// # Errors
    ///
    /// There is no such place.
    pub(super) fn under<R>(&self, at: At, look: impl FnOnce(BeneathHand<'_>) -> R) -> Result<R, Refused> {
        let (stock, unit) = (self.stock.as_deref(), self.unit);
        let (At::InPlaceOf(number) | At::Before(number)) = at else {
            let lying = &self.made.lying;
            return Ok(look(BeneathHand {
                pattern: &lying.on_table,
                lying,
                stock,
                found: &self.holds,
                unit,
            }));
        };
        let earlier = self.earlier(number)?;
        let (lying, found) = (&earlier.lying, &earlier.holds);
        Ok(look(BeneathHand { pattern: &lying.on_table, lying, stock, found, unit }))
    }

    /// The pattern as it was before the step of a number; that of the number that was asked for last is kept.
    fn earlier(&self, number: usize) -> Result<Arc<Earlier>, Refused> {
        self.step_numbered(number)?;
        let mut kept = self.earlier.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(earlier) = kept.as_ref().filter(|earlier| earlier.before == number) {
            return Ok(Arc::clone(earlier));
        }
        let done = self.made.steps[..number - 1].iter().filter(|made| made.is_done());
        // Each was done on the very same pattern before.
        let after = |lying: LyingPattern, made: &MadeStep| match made.step.apply(&lying.made) {
            Ok(recut) => lying.after(recut.pattern),
            Err(_) => lying,
        };
        let lying = done.fold(LyingPattern::begun(self.made.base.pattern.clone()), after);
        let earlier = Arc::new(Earlier { before: number, lying, holds: HoldsFound::default() });
        *kept = Some(Arc::clone(&earlier));
        Ok(earlier)
    }

    /// The cloths by which a step may name its width: that on the table, where it is of one width all along, and those that
    /// the recipe names.
    pub(super) fn cloths_named(&self) -> Vec<String> {
        let sizes =
            self.stock.iter().flat_map(|stock| stock.cloths()).filter_map(|cloth| match cloth.bolts() {
                [bolt] if bolt.flaws().is_empty() => Size::of(bolt),
                _ => None,
            });
        let written = self.made.steps.iter().filter_map(|step| step.cloth.clone());
        let mut named: Vec<String> = written.chain(sizes.map(|size| size.to_string())).collect();
        named.sort();
        named.dedup();
        named
    }

    /// The text of the recipe with a step at a place in it, and the number that the step then has. One that was left out is
    /// put back where it is changed.
    pub(super) fn text_with(&self, step: &Value, at: At) -> Result<(String, usize), Refused> {
        Ok(match at {
            At::End => (with_step(&self.text, step), self.made.steps.len() + 1),
            At::Before(number) => {
                (with_step_before(&self.text, &self.step_numbered(number)?.place, step), number)
            }
            At::InPlaceOf(number) => {
                let was = self.step_numbered(number)?;
                if step.get("do").and_then(Value::as_str) != Some(was.step.name()) {
                    let what = format!("step {number} is another operation");
                    return Err(Refused::plain(what, "leave it out, and insert the new one before it"));
                }
                // What stands below a step moves with its fields: it is put back first.
                let text = match was.turn {
                    OnOrOff::On => self.text.clone(),
                    OnOrOff::Off => put_back(&self.text, &was.place),
                };
                let recipe = Recipe::read(&text, &[]).ok();
                let place = recipe.as_ref().and_then(|recipe| recipe.steps.get(number - 1));
                let place = place.map_or(&was.place, |step| &step.place);
                (with_fields(&text, place, &was.to_value(), step), number)
            }
        })
    }

    /// What comes of a text of the recipe in which the step of one number was changed: a later step that can then not be done
    /// is left out, with the reason beside it, and one that was left out so and can be done now is done again.
    ///
    /// # Errors
    ///
    /// That step itself is refused; nothing can be made of the text.
    pub(super) fn settled(&self, text: String, asked: usize) -> Result<(String, RecipeMade), TableFault> {
        let made = self.made_of(&text)?;
        let itself = made.steps.get(asked.saturating_sub(1));
        if let Some((step, refusal)) = itself.and_then(|step| Some((step, step.refused.as_ref()?))) {
            return Err(Refused::of(refusal, Some(&step.step)).into());
        }
        let mut later = asked + 1..made.steps.len() + 1;
        Ok(later.try_fold((text, made), |so_far, number| self.settled_one(so_far, number))?)
    }

    /// The same once the step of one later number is settled, those before it being so.
    fn settled_one(
        &self,
        (text, made): (String, RecipeMade),
        number: usize,
    ) -> Result<(String, RecipeMade), MakingFault> {
        let step = &made.steps[number - 1];
        let left_out_for = |text: &str, place: &StepPlace, why: &str| {
            let text = left_out(text, place, Some(why));
            let made = self.made_of(&text)?;
            Ok((text, made))
        };
        if let Some(refusal) = &step.refused {
            return left_out_for(&text, &step.place, &refusal.to_string());
        }
        if step.turn == OnOrOff::On || !could_not_be_done(&text, &step.place) {
            return Ok((text, made));
        }
        let again = put_back(&text, &step.place);
        let Ok(made_again) = self.made_of(&again) else { return Ok((text, made)) };
        let tried = &made_again.steps[number - 1];
        if let Some(refusal) = &tried.refused {
            return left_out_for(&again, &tried.place, &refusal.to_string());
        }
        // What was done since stays: no step that a person sees done is given up for one that is tried again.
        let mut since = made.steps.iter().zip(&made_again.steps).enumerate().skip(number);
        match since.find(|(_, (was, is))| was.is_done() && !is.is_done()) {
            Some((at, _)) => {
                let why = format!("step {} would not be possible after it", at + 1);
                left_out_for(&again, &tried.place, &why)
            }
            None => Ok((again, made_again)),
        }
    }
}

impl MadeStep {
    /// Whether it is among those that made the pattern.
    pub(super) fn is_done(&self) -> bool {
        self.turn == OnOrOff::On && self.refused.is_none()
    }
}

fn no_sheet() -> Refused {
    Refused::plain("a step cannot be done, so that there is no new pattern", "leave that step out first")
}

/// What befell the files of the table that it did not do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Outside {
    /// Nothing.
    Nothing,
    /// The sheet is not the one that was written.
    Sheet,
    /// The recipe, or the pattern that it begins with, is such that nothing can be made of it.
    Recipe(String),
    /// What is kept in the recipe could not be written elsewhere: it is tried again.
    Unwritten(String),
}
