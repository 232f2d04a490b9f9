//! What is wished of the table, and what would come of it.

use serde::Deserialize;
use serde_json::Value;

use crate::recipe::{Recipe, RecipeFault, Turn, field_written, string_written};
use crate::recut::Step;
use crate::table::fault::TableFault;
use crate::table::hand::{Hand, Held};
use crate::table::laid::{At, Laid};
use crate::table::said::Answer;
use crate::table::seen::TrialSeen;

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
        match (wish, at) {
            (Wish::Step(value), _) => Ok(Held { step: Some(step_wished(value)?), hold: None }),
            (Wish::Hand(hand), At::End) => {
                let held = hand.held(&self.made.pattern, self.stock.as_deref(), &self.holds);
                held.map_err(|refusal| Answer::of(&refusal, None))
            }
            (Wish::Hand(_), _) => {
                let what = "a hand holds the pattern as it lies, not as it was before a step";
                Err(Answer::plain(what, "change the step by its fields"))
            }
        }
    }

    /// What would come of a wish at a place in the recipe. Nothing is kept.
    #[must_use]
    pub fn tried(&self, wish: &Wish, at: At) -> TrialSeen {
        let held = match self.held(wish, at) {
            Ok(held) => held,
            Err(refused) => return TrialSeen::refused(refused),
        };
        let Some(step) = held.step else { return TrialSeen::nothing() };
        if at != At::End {
            return self.tried_within(&step, at).unwrap_or_else(TrialSeen::refused).of_step(&step);
        }
        match step.apply(&self.made.pattern) {
            Err(refusal) => TrialSeen::refused(Answer::of(&refusal, Some(&step))).of_step(&step),
            Ok(recut) => {
                let hold = held.hold.as_ref();
                let seen = TrialSeen::of(self, &recut.pattern, &recut.told);
                seen.of_step(&step).at_hold(hold, &recut.pattern, self.unit)
            }
        }
    }

    /// What would come of a step within the recipe, with all that follows done again.
    fn tried_within(&self, step: &Step, at: At) -> Result<TrialSeen, Answer> {
        let (text, number) = self.text_with(step, at)?;
        let (_, made) = self.settled(text, number).map_err(|fault| match fault {
            TableFault::Refused(answer) => answer,
            fault => Answer::plain(fault, "mend the recipe, or leave it as it was"),
        })?;
        let told = made.steps.get(number - 1).map_or(&[][..], |step| &step.told);
        let seen = TrialSeen::of(self, &made.pattern, told);
        let later = |i: usize| if matches!(at, At::Before(_)) && i + 1 >= number { i + 1 } else { i };
        let lost = self.made.steps.iter().enumerate().filter(|(i, was)| {
            was.is_done() && made.steps.get(later(*i)).is_some_and(|now| now.turn == Turn::Off)
        });
        Ok(seen.without(lost.map(|(i, was)| (i + 1, &was.step))))
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
