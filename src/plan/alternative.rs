//! An alternative that fits.

use crate::cloth::Stock;
use crate::cloth::layout::{Laid, LayError, LayTask, Wish};
use crate::pattern::Pattern;
use crate::plan::{Cost, Done, Figures};
use crate::recut::Step;

/// A way to recut the pattern so that it fits, with its layout.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// The changes, in their order; none where it fits as it is.
    pub done: Vec<Done>,
    /// The steps that make them.
    pub steps: Vec<Step>,
    /// The pattern after them.
    pub pattern: Pattern,
    /// Where it lies.
    pub laid: Laid,
    /// What came of them.
    pub figures: Figures,
    /// What it costs.
    pub cost: Cost,
    pub(super) wish: Wish,
}

impl Alternative {
    /// What was laid, to draw its layout.
    ///
    /// # Errors
    ///
    /// As [`LayTask::of`].
    pub fn lay_task<'a>(&'a self, stock: &'a Stock) -> Result<LayTask<'a>, LayError> {
        LayTask::of(&self.pattern, stock, self.wish.clone())
    }

    /// What a sewer would say of it, in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        sentence(&self.done)
    }

    /// The recipe of it, as text; the pattern is named on the command line.
    #[must_use]
    pub fn recipe(&self) -> String {
        crate::plan::recipe::text(&self.sentence(), &self.steps)
    }
}

/// Changes as one sentence.
pub(super) fn sentence(done: &[Done]) -> String {
    let mut tales: Vec<&str> = Vec::new();
    for one in done {
        if !tales.contains(&one.tale.as_str()) {
            tales.push(&one.tale);
        }
    }
    let joined = match tales.as_slice() {
        [] => return "It fits as it is: cut it without any change.".to_owned(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{}, and {last}", first.join(", ")),
    };
    let mut letters = joined.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}
