//! An alternative that fits.

use crate::cloth::Stock;
use crate::cloth::layout::{Laid, LayError, LayTask, LayWish};
use crate::pattern::Pattern;
use crate::plan::look::{as_sentence, look};
use crate::plan::{Cost, Done, RecutFigures};
use crate::recipe::step_written;
use crate::recut::Step;
use crate::truing::Verdict;
use crate::units::{Unit, listed};

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
    pub figures: RecutFigures,
    /// What it costs.
    pub cost: Cost,
    pub(super) wish: LayWish,
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
    let tales = each_way_once(&tales);
    let joined = match tales.as_slice() {
        [] => return String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{}, and {last}", first.join(", ")),
    };
    as_sentence(&joined)
}

/// Tales of which those that tell the same of one piece each are one, of all those pieces.
fn each_way_once(tales: &[&str]) -> Vec<String> {
    /// What stands before the name of a piece, and after it.
    type BeforeAndAfter<'a> = (&'a str, &'a str);
    /// A tale of one piece: what stands before its name, and after it.
    fn of_one(tale: &str) -> Option<(&str, &str, &str)> {
        let parts: Vec<&str> = tale.split('`').collect();
        let [before, piece, after] = parts[..] else { return None };
        Some((before, piece, after))
    }
    let mut ways: Vec<(Option<BeforeAndAfter<'_>>, Vec<&str>)> = Vec::new();
    for tale in tales {
        match of_one(tale) {
            Some((before, piece, after)) => {
                let way = Some((before, after));
                match ways.iter_mut().find(|(known, _)| *known == way) {
                    Some((_, pieces)) => pieces.push(piece),
                    None => ways.push((way, vec![piece])),
                }
            }
            None => ways.push((None, vec![tale])),
        }
    }
    let told = |(way, pieces): (Option<BeforeAndAfter<'_>>, Vec<&str>)| match way {
        Some((before, after)) => {
            let pieces: Vec<String> = pieces.iter().map(|piece| format!("`{piece}`")).collect();
            format!("{before}{}{after}", listed(&pieces))
        }
        None => pieces.concat(),
    };
    ways.into_iter().map(told).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::ChangeKind;

    #[test]
    fn what_is_done_to_several_pieces_alike_is_told_once() {
        let done = |root: &str, tale: &str| Done {
            kind: ChangeKind::Centre,
            root: root.parse().unwrap(),
            tale: tale.to_owned(),
        };
        let all = [
            done("front", "cut `front` in two"),
            done("side", "move the seam between `back` and `side` into `side`"),
            done("back", "cut `back` in two"),
        ];
        let told = sentence(&all);
        assert_eq!(
            told,
            "Cut `front` and `back` in two, and move the seam between `back` and `side` into `side`."
        );
    }
}
