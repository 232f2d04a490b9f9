//! What is wished of the table, and what would come of it.

use serde::Deserialize;

use crate::recut::Step;
use crate::table::hand::{Hand, Held};
use crate::table::laid::Laid;
use crate::table::said::Answer;
use crate::table::seen::TrialSeen;

/// What is wished of the table.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wish {
    /// A step with its fields, as in a recipe: `do` and the rest.
    Step(serde_json::Value),
    /// What a hand that holds something means there.
    Hand(Hand),
}

impl Laid {
    /// What a wish means as a step.
    pub(super) fn held(&self, wish: &Wish) -> Result<Held, Answer> {
        match wish {
            Wish::Step(value) => match Step::from_value(value) {
                Ok(step) => Ok(Held { step: Some(step), hold: None }),
                Err(error) => Err(Answer::plain("this is no step", error)),
            },
            Wish::Hand(hand) => {
                let held = hand.held(&self.made.pattern, self.stock.as_deref(), &self.holds);
                held.map_err(|refusal| Answer::of(&refusal, None))
            }
        }
    }

    /// What would come of a wish. Nothing is kept.
    #[must_use]
    pub fn tried(&self, wish: &Wish) -> TrialSeen {
        let held = match self.held(wish) {
            Ok(held) => held,
            Err(refused) => return TrialSeen::refused(refused),
        };
        let Some(step) = held.step else { return TrialSeen::nothing() };
        match step.apply(&self.made.pattern) {
            Err(refusal) => TrialSeen::refused(Answer::of(&refusal, Some(&step))).of_step(&step),
            Ok(recut) => {
                let hold = held.hold.as_ref();
                TrialSeen::of(self, &recut).of_step(&step).at_hold(hold, &recut.pattern, self.unit)
            }
        }
    }
}
