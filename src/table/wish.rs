//! What is wished of the table, and what would come of it.

use serde::Deserialize;
use serde_json::Value;

use crate::cloth::Size;
use crate::pattern::Refusal;
use crate::plan::{Narrower, narrower, on_selvedge, or_narrower};
use crate::recipe::{OnOrOff, Recipe, RecipeFault, value_as_step};
use crate::recut::{MoveSeam, Step};
use crate::table::fault::TableFault;
use crate::table::hand::{BeneathHand, Hand, Held};
use crate::table::made::fitted_to;
use crate::table::on_table::{At, OnTable};
use crate::table::places::places;
use crate::table::said::{Refused, Remark, StepToPress};
use crate::table::seen::{LyingSeen, TrialSeen};

/// What is wished of the table.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wish {
    /// A step with its fields, as in a recipe: `do` and the rest.
    Step(Value),
    /// What a hand that holds something means there.
    Hand(Hand),
}

impl OnTable {
    /// What a wish means as a step at a place in the recipe.
    pub(super) fn held(&self, wish: &Wish, at: At) -> Result<Held, Refused> {
        match wish {
            Wish::Step(value) => self.step_wished(value),
            Wish::Hand(hand) => {
                self.under(at, |ground| hand.held(ground))?.map_err(|refusal| Refused::of(&refusal, None))
            }
        }
    }

    /// What lies there at a place in the recipe.
    ///
    /// # Errors
    ///
    /// There is no such place.
    pub fn lying(&self, at: At) -> Result<LyingSeen, Refused> {
        self.under(at, |ground| LyingSeen::of(ground, self.unit))
    }

    /// What would come of a wish at a place in the recipe. Nothing is kept.
    #[must_use]
    pub fn tried(&self, wish: &Wish, at: At) -> TrialSeen {
        let held = match self.held(wish, at) {
            Ok(held) => held,
            Err(refused) => return TrialSeen::refused(refused),
        };
        let seen = self.tried_step(&held, at).unwrap_or_else(TrialSeen::refused);
        let places = match wish {
            Wish::Step(_) => {
                held.step.as_ref().map(|step| self.under(at, |ground| places(step, ground.lying)))
            }
            Wish::Hand(_) => None,
        };
        TrialSeen { places: places.and_then(Result::ok).unwrap_or_default(), ..seen.of(&held) }
    }

    /// What would come of what a hand means.
    fn tried_step(&self, held: &Held, at: At) -> Result<TrialSeen, Refused> {
        let Some(step) = &held.step else { return Ok(TrialSeen::default()) };
        let seen = self.under(at, |ground| self.tried_on(ground, held, step))??;
        match (at, held.written()) {
            (At::Before(_) | At::InPlaceOf(_), Some(written)) => self.with_what_follows(seen, &written, at),
            _ => Ok(seen),
        }
    }

    /// What would come of it on what lies under it.
    fn tried_on(&self, ground: BeneathHand<'_>, held: &Held, step: &Step) -> Result<TrialSeen, Refused> {
        let refused =
            |refusal: Refusal| Refused::of(&or_narrower(refusal, ground.narrower(step)), Some(step));
        let cloth = held.cloth.as_deref();
        let read_cloth = &*self.ways.read_cloth;
        let fitted = cloth.map(|cloth| fitted_to(step, cloth, &ground.lying.made, read_cloth)).transpose();
        let fitted = fitted.map_err(refused)?.flatten();
        let recut =
            fitted.as_ref().map_or(step, |(step, _)| step).apply(&ground.lying.made).map_err(refused)?;
        let seen = TrialSeen::between(self, ground.lying, &recut.pattern, &recut.notices);
        let width =
            fitted.map(|(_, width)| width).or_else(|| held.hold.as_ref().map(|hold| hold.cloth.clone()));
        let warned = width.and_then(|width| {
            let warning = width.warning(&recut.pattern, self.unit)?;
            if on_selvedge(step, &recut.pattern, width.gives()).is_some() {
                let later = "once it is kept, its new edge can be laid on the selvedge, and it fits";
                return Some(Remark::bad(format!("{warning}; {later}")));
            }
            let presses =
                ground.narrower(step).iter().filter_map(|way| StepToPress::suggested(&way.set)).collect();
            Some(Remark { presses, ..Remark::bad(warning) })
        });
        Ok(seen.at_hold(held.hold.as_ref(), self.unit).telling(warned))
    }

    /// The same with the answers of the whole, all that follows done again.
    fn with_what_follows(&self, seen: TrialSeen, step: &Value, at: At) -> Result<TrialSeen, Refused> {
        let (text, number) = self.text_with(step, at)?;
        let (_, made) = self.settled(text, number).map_err(|fault| match fault {
            TableFault::Refused(answer) => answer,
            fault => Refused::plain(fault, "mend the recipe, or leave it as it was"),
        })?;
        let later = |i: usize| if matches!(at, At::Before(_)) && i + 1 >= number { i + 1 } else { i };
        let lost = self.made.steps.iter().enumerate().filter(|(i, was)| {
            was.is_done() && made.steps.get(later(*i)).is_some_and(|now| now.turn == OnOrOff::Off)
        });
        Ok(seen.of_whole(self, &made.lying.made).without(lost.map(|(i, was)| (i + 1, &was.step))))
    }

    /// A step as it is wished, read as in a recipe; what is wrong with it is told by its field. A cloth that it names is a size,
    /// or one that the recipe names: no wish reads another file.
    fn step_wished(&self, value: &Value) -> Result<Held, Refused> {
        let refused = |what: String| Refused::plain(what, "the form says what may stand there");
        let recipe = Recipe::read(&value_as_step(value), &[]).map_err(|fault| match fault {
            RecipeFault::InText(fault) => refused(format!("{}: {}", fault.what, fault.label)),
            _ => refused("this is no step".to_owned()),
        })?;
        let read = recipe.steps.into_iter().next().ok_or_else(|| refused("this is no step".to_owned()))?;
        let is_known = |cloth: &String| Size::is_meant(cloth) || self.cloths_named().contains(cloth);
        if let Some(cloth) = read.fit.as_ref().filter(|cloth| !is_known(cloth)) {
            let what = format!("no cloth `{cloth}` is known here");
            return Err(Refused::plain(
                what,
                "give its width and length, 37cm x 11.4m, or name it in recipe.toml first",
            ));
        }
        Ok(Held { cloth: read.fit, ..Held::step(read.step) })
    }
}

impl BeneathHand<'_> {
    /// The narrower allowances with which the piece that a step moves a seam of fits its cloth; none where there are none, or
    /// the step is another. Found once for each seam: it takes as long as several trials.
    fn narrower(&self, step: &Step) -> Option<Narrower> {
        let (stock, Step::MoveSeam(moved)) = (self.stock?, step) else { return None };
        let any_width = MoveSeam { to_width: None, by: None, ..moved.clone() };
        let find = || narrower(step, self.pattern, stock).into_iter().collect();
        self.found.narrower.of(format!("{any_width:?}"), find).first().cloned()
    }
}
