//! What a recipe makes: its steps done on its pattern one after another.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde_json::Value;

use crate::cloth::Stock;
use crate::pattern::{Pattern, Refusal, RefusalKind, Suggestion};
use crate::plan::on_selvedge;
use crate::recipe::fitted::{FittedWidth, fitted, value_with_cloth};
use crate::recipe::{OnOrOff, Recipe, RecipeFault, StepPlace};
use crate::recut::{Notice, Step};
use crate::sheet::{self, ReadOptions};
use crate::table::lying::LyingPattern;
use crate::units::Unit;

/// Reads the cloth that a step of a recipe names.
pub(super) type ReadCloth<'a> = dyn Fn(&str) -> Result<Stock, String> + Send + Sync + 'a;

/// Why nothing can be made of a recipe.
#[derive(Debug, thiserror::Error)]
pub enum MakingFault {
    /// It is none.
    #[error("{}", recipe_sentence(.0))]
    Recipe(RecipeFault),
    /// It is no text.
    #[error("the recipe is no UTF-8 text; save it as plain text")]
    NoText,
    /// It names no pattern.
    #[error("the recipe names no pattern; write pattern = \"coat.svg\" at its top")]
    NoPattern,
    /// Its pattern cannot be read.
    #[error("the pattern {file} cannot be read: {why}")]
    Unread {
        /// The file.
        file: String,
        /// Why.
        why: String,
    },
    /// What it makes cannot be drawn.
    #[error("the new pattern cannot be drawn: {0}")]
    Undrawn(String),
}

fn recipe_sentence(fault: &RecipeFault) -> String {
    match fault {
        RecipeFault::InText(fault) => fault.to_string(),
        RecipeFault::InFile { what, way_out } | RecipeFault::Given { what, way_out } => {
            format!("{what}; {way_out}")
        }
    }
}

/// The pattern that a recipe begins with.
#[derive(Clone, Debug)]
pub(super) struct Base {
    pub(super) file: PathBuf,
    pub(super) pattern: Pattern,
    stamp: Option<(u64, SystemTime)>,
}

impl Base {
    /// Reads it.
    pub(super) fn read(file: PathBuf) -> Result<Base, MakingFault> {
        let unread = |why: String| MakingFault::Unread { file: file.display().to_string(), why };
        let stamp = stamp(&file);
        let bytes = std::fs::read(&file).map_err(|error| unread(error.to_string()))?;
        let sheet =
            sheet::read(&bytes, &ReadOptions::default()).map_err(|error| unread(error.to_string()))?;
        Ok(Base { pattern: sheet.pattern, stamp, file })
    }

    /// Whether its file was written since it was read.
    pub(super) fn has_changed(&self) -> bool {
        stamp(&self.file) != self.stamp
    }
}

fn stamp(file: &Path) -> Option<(u64, SystemTime)> {
    let found = std::fs::metadata(file).ok()?;
    Some((found.len(), found.modified().ok()?))
}

/// A step of a recipe, and what came of it.
#[derive(Clone, Debug)]
pub(super) struct MadeStep {
    pub(super) step: Step,
    /// The cloth that gives its width, as written.
    pub(super) cloth: Option<String>,
    pub(super) turn: OnOrOff,
    pub(super) place: StepPlace,
    pub(super) notices: Vec<Notice>,
    /// What is to be known of a width that a cloth gave.
    pub(super) fitted: Option<Fitted>,
    pub(super) refused: Option<Refusal>,
}

/// What is to be known of a width that a cloth gave.
#[derive(Clone, Debug)]
pub(super) struct Fitted {
    /// What it gives.
    pub(super) sentence: String,
    /// What is to be looked at twice, and the way out where there is one.
    pub(super) warning: Option<(String, Option<Suggestion>)>,
}

/// What a recipe makes.
#[derive(Clone, Debug)]
pub(super) struct RecipeMade {
    pub(super) base: Base,
    pub(super) steps: Vec<MadeStep>,
    pub(super) lying: LyingPattern,
    /// The sheet; none where a step was refused: the command would write none.
    pub(super) sheet: Option<String>,
}

impl RecipeMade {
    /// Does the steps of a recipe that stands in a folder. Those that are refused are passed over.
    pub(super) fn of(
        text: &str,
        folder: &Path,
        read_cloth: &ReadCloth<'_>,
        base: Option<&Base>,
        unit: Unit,
    ) -> Result<RecipeMade, MakingFault> {
        let recipe = Recipe::read(text, &[]).map_err(MakingFault::Recipe)?;
        let file = folder.join(recipe.pattern.as_ref().ok_or(MakingFault::NoPattern)?);
        let base = match base.filter(|base| base.file == file && !base.has_changed()) {
            Some(base) => base.clone(),
            None => Base::read(file)?,
        };
        let mut lying = LyingPattern::begun(base.pattern.clone());
        let mut steps = Vec::new();
        for written in recipe.steps {
            let mut made = MadeStep {
                step: written.step,
                cloth: written.fit,
                turn: written.turn,
                place: written.place,
                notices: Vec::new(),
                fitted: None,
                refused: None,
            };
            if made.turn == OnOrOff::On {
                match made.done(&lying.made, read_cloth, unit) {
                    Ok(after) => lying = lying.after(after),
                    Err(refusal) => made.refused = Some(refusal),
                }
            }
            steps.push(made);
        }
        let is_refused = steps.iter().any(|step| step.refused.is_some());
        let sheet = match is_refused {
            true => None,
            false => {
                Some(sheet::write(&lying.made).map_err(|error| MakingFault::Undrawn(error.to_string()))?)
            }
        };
        Ok(RecipeMade { base, steps, lying, sheet })
    }

    /// The first step from a number on that was refused, with its own number.
    pub(super) fn refused_from(&self, number: usize) -> Option<(usize, &MadeStep, &Refusal)> {
        let mut numbered = self.steps.iter().enumerate().skip(number.saturating_sub(1));
        numbered.find_map(|(i, step)| Some((i + 1, step, step.refused.as_ref()?)))
    }
}

impl MadeStep {
    /// The step as it is written, as data.
    pub(super) fn to_value(&self) -> Value {
        value_with_cloth(&self.step, self.cloth.as_deref())
    }

    fn done(
        &mut self,
        pattern: &Pattern,
        read_cloth: &ReadCloth<'_>,
        unit: Unit,
    ) -> Result<Pattern, Refusal> {
        let width = match &self.cloth {
            None => None,
            Some(cloth) => fitted_to(&self.step, cloth, pattern, read_cloth)?,
        };
        let width = width.map(|(step, width)| {
            self.step = step;
            width
        });
        let recut = self.step.apply(pattern)?;
        self.notices = recut.notices;
        self.fitted = width.map(|width| Fitted {
            sentence: width.sentence(unit),
            warning: width
                .warning(&recut.pattern, unit)
                .map(|warning| (warning, on_selvedge(&self.step, &recut.pattern, width.gives()))),
        });
        Ok(recut.pattern)
    }
}

/// A step with the width that a cloth gives it; none for an operation that takes no cloth.
pub(super) fn fitted_to(
    step: &Step,
    cloth: &str,
    pattern: &Pattern,
    read_cloth: &ReadCloth<'_>,
) -> Result<Option<(Step, FittedWidth)>, Refusal> {
    let no_cloth = |what: String| {
        Refusal::new(
            RefusalKind::BadField,
            cloth,
            format!("the cloth cannot be read: {what}"),
            "give a width and length: fit-cloth 37cm x 11.4m",
        )
    };
    let stock = read_cloth(cloth).map_err(no_cloth)?;
    fitted(step, pattern, &stock).map_err(|error| no_cloth(error.to_string()))
}
