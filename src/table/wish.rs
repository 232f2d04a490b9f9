//! What is wished of the table, and what would come of it.

use serde::Deserialize;
use serde_json::Value;

use crate::recipe::{Recipe, RecipeFault, Turn, field_written, string_written};
use crate::recut::Step;
use crate::table::fault::TableFault;
use crate::table::hand::{Hand, Held};
use crate::table::laid::{At, Laid};
use crate::table::places::places;
use crate::table::said::Answer;
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

impl Laid {
    /// What a wish means as a step at a place in the recipe.
    pub(super) fn held(&self, wish: &Wish, at: At) -> Result<Held, Answer> {
        match wish {
            Wish::Step(value) => Ok(Held::step(step_wished(value)?)),
            Wish::Hand(hand) => {
                self.under(at, |ground| hand.held(ground))?.map_err(|refusal| Answer::of(&refusal, None))
            }
        }
    }

    /// What lies there at a place in the recipe.
    ///
    /// # Errors
    ///
    /// There is no such place.
    pub fn lying(&self, at: At) -> Result<LyingSeen, Answer> {
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
                held.step.as_ref().map(|step| self.under(at, |ground| places(step, ground.pattern)))
            }
            Wish::Hand(_) => None,
        };
        TrialSeen { places: places.and_then(Result::ok).unwrap_or_default(), ..seen.of(&held) }
    }

    /// What would come of what a hand means.
    fn tried_step(&self, held: &Held, at: At) -> Result<TrialSeen, Answer> {
        let Some(step) = &held.step else { return Ok(TrialSeen::default()) };
        let seen = self.under(at, |ground| {
            let recut = step.apply(ground.pattern).map_err(|refusal| Answer::of(&refusal, Some(step)))?;
            let seen = TrialSeen::between(self, ground.pattern, &recut.pattern, &recut.told);
            Ok(seen.at_hold(held.hold.as_ref(), &recut.pattern, self.unit))
        })??;
        if at == At::End { Ok(seen) } else { Ok(self.with_what_follows(seen, step, at)?) }
    }

    /// The same with the answers of the whole, all that follows done again.
    fn with_what_follows(&self, seen: TrialSeen, step: &Step, at: At) -> Result<TrialSeen, Answer> {
        let (text, number) = self.text_with(step, at)?;
        let (_, made) = self.settled(text, number).map_err(|fault| match fault {
            TableFault::Refused(answer) => answer,
            fault => Answer::plain(fault, "mend the recipe, or leave it as it was"),
        })?;
        let later = |i: usize| if matches!(at, At::Before(_)) && i + 1 >= number { i + 1 } else { i };
        let lost = self.made.steps.iter().enumerate().filter(|(i, was)| {
            was.is_done() && made.steps.get(later(*i)).is_some_and(|now| now.turn == Turn::Off)
        });
        Ok(seen.of_whole(self, &made.pattern).without(lost.map(|(i, was)| (i + 1, &was.step))))
    }
}

/// A step as it is wished. What is wrong with it is told as of a recipe: by its field.
fn step_wished(value: &Value) -> Result<Step, Answer> {
    let error = match Step::from_value(value) {
        Ok(step) => return Ok(step),
        Err(error) => error,
    };
    let fields = value.as_object().into_iter().flatten();
    let lines = fields.map(|(name, value)| format!("{}\n", field_written(&string_written(name), value)));
    let read = Recipe::read(&format!("[[step]]\n{}", lines.collect::<String>()), &[]);
    let what = match read {
        Err(RecipeFault::InText(fault)) => format!("{}: {}", fault.what, fault.label),
        _ => format!("this is no step: {error}"),
    };
    Err(Answer::plain(what, "the form says what may stand there"))
}
