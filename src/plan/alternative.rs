//! An alternative that fits.

use crate::cloth::Stock;
use crate::cloth::layout::{Laid, LayError, LayTask, Wish};
use crate::pattern::Pattern;
use crate::plan::look::{as_sentence, look};
use crate::plan::{Cost, Done, Figures};
use crate::recipe::step_written;
use crate::recut::Step;
use crate::truing::Verdict;
use crate::units::Unit;

/// A way to recut the pattern so that it fits, with its layout.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// The changes, in their order; none where it fits as it is.
    pub done: Vec<Done>,
    /// How many of the first steps true what was not true before.
    pub trued: usize,
    /// The steps that make them, after those that true.
    pub steps: Vec<Step>,
    /// The pattern after them.
    pub pattern: Pattern,
    /// Whether that is true.
    pub verdict: Verdict,
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

    /// What it looks like once it is worn, in one sentence; nothing where nothing is changed.
    #[must_use]
    pub fn look(&self) -> String {
        look(&self.done)
    }

    /// What is done, as a sewer would say it, in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        match (self.done.as_slice(), self.verdict.is_true(), self.trued) {
            ([], true, 0) => "It fits as it is: cut it without any change.".to_owned(),
            ([], true, _) => "It fits once it is trued: cut it without any other change.".to_owned(),
            ([], false, _) => "It fits as it is, but is not true: true it before you cut.".to_owned(),
            (done, ..) => sentence(done),
        }
    }

    /// What is not true of it, in one line; it was not true before either.
    #[must_use]
    pub fn untrue(&self, unit: Unit) -> Option<String> {
        self.verdict.sentence(unit).map(|sentence| format!("as before, {sentence}"))
    }

    /// The recipe of it, as text; the pattern is named on the command line.
    #[must_use]
    pub fn recipe(&self) -> String {
        recipe(self)
    }
}

/// Changes as one sentence; nothing where there are none.
pub(super) fn sentence(done: &[Done]) -> String {
    let mut tales: Vec<&str> = Vec::new();
    for one in done {
        if !tales.contains(&one.tale.as_str()) {
            tales.push(&one.tale);
        }
    }
    let joined = match tales.as_slice() {
        [] => return String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{}, and {last}", first.join(", ")),
    };
    as_sentence(&joined)
}

/// The text of a recipe: a sentence on top, what was and is not true, then the steps.
fn recipe(of: &Alternative) -> String {
    let mut text = format!(
        "{}# {}\n#\n#   retrue apply RECIPE PATTERN -o recut.svg\n#\n{}# Cutting is final: sew a trial garment in cheap \
         cloth before the good one is cut.\n",
        if of.done.is_empty() { String::new() } else { format!("# {}\n#\n", of.look()) },
        of.sentence(),
        truth(of)
    );
    if of.steps.is_empty() {
        text.push_str("\nstep = []\n");
    }
    for step in &of.steps {
        text.push_str(&format!("\n{}", step_written(step)));
    }
    text
}

/// The lines on what was not true before, and on what is not true even after the steps.
fn truth(of: &Alternative) -> String {
    let mut lines = String::new();
    if of.trued > 0 {
        let steps = match of.trued {
            1 => "first step trues".to_owned(),
            count => format!("first {count} steps true"),
        };
        lines.push_str(&format!("# The {steps} what was not true before.\n"));
    }
    if let Some(untrue) = of.untrue(Unit::default()) {
        lines.push_str(&format!("# NOT TRUE {untrue}. Mend it before you cut.\n"));
    }
    lines
}
