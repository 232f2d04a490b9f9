//! Recipes: steps in a file, and the pattern that they are for.
//!
//! ```toml
//! pattern = "coat.svg"
//!
//! [[step]]
//! do = "move-seam"
//! seam = "front.side"
//! from = "back"
//! to-width = "18.5cm"
//! ```
//!
//! Whatever is wrong with a recipe is shown on its line. A field is a text, as on the command line; a bare number
//! stands for the text it is written with.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::pattern::{Advice, Refusal, RefusalKind, nearest};
use crate::recipe::fault::RecipeFault;
use crate::recipe::fields::{FieldFault, WrittenField, WrittenFields};
use crate::recipe::fitted;
use crate::recipe::values::{Given, Values, field};
use crate::recut::{Step, WidthToKeep};
use crate::toml_file::{self, TextFault};

/// The keys that a recipe may have.
const KEYS: [&str; 3] = ["pattern", "with", "step"];

/// The key that names the operation of a step.
const DO: &str = "do";

/// The key that leaves a step out.
const OFF: &str = "off";

/// A recipe: steps to be done one after another.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// The file of the pattern that it names, as written: from the folder that the recipe stands in.
    pub pattern: Option<String>,
    /// The steps.
    pub steps: Vec<RecipeStep>,
}

/// A step, and where it is written.
#[derive(Clone, Debug)]
pub struct RecipeStep {
    /// The step.
    pub step: Step,
    /// The cloth that its width is to come from, as written: a cloth file, or a width and length.
    pub fit: Option<String>,
    /// Whether it is done.
    pub turn: OnOrOff,
    /// Where it stands.
    pub place: StepPlace,
}

/// Whether a step is done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum OnOrOff {
    /// It is.
    #[default]
    On,
    /// It is left out: read and checked as it is written, and not done.
    Off,
}

/// As what a step is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepForm {
    /// A table below `[[step]]`, each field on a line of its own.
    Lines,
    /// A table in braces in a list of steps.
    Braces,
}

/// Where a step is written.
#[derive(Clone, Debug)]
pub struct StepPlace {
    /// Where its operation is named.
    pub span: Range<usize>,
    /// All that says whether it is done, from the key to the end of the value, where it says so.
    pub off: Option<Range<usize>>,
    /// As what it is written.
    pub form: StepForm,
    /// Where it begins: its heading, or its brace.
    pub begin: usize,
    /// Its fields.
    pub fields: Vec<FieldPlace>,
}

/// Where a field of a step is written.
#[derive(Clone, Debug)]
pub struct FieldPlace {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub key: Range<usize>,
    /// Where the value stands.
    pub value: Range<usize>,
}

impl Recipe {
    /// Reads the text of a recipe, with values given in place of its own.
    ///
    /// # Errors
    ///
    /// What is no recipe, and any step whose operation, fields or values are not known.
    pub fn read(text: &str, given: &[Given]) -> Result<Recipe, RecipeFault> {
        let table = toml_file::parse(text, "a recipe")?;
        let table = table.get_ref();
        let values = Values::read(text, table.get("with"), given)?;
        let context = Context { text, values: &values };
        let mut recipe = Recipe { pattern: None, steps: Vec::new() };
        let mut said_none = false;
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "pattern" => recipe.pattern = Some(pattern_named(value)?.to_owned()),
                "with" => {}
                "step" => {
                    recipe.steps = steps(&context, value)?;
                    said_none = recipe.steps.is_empty();
                }
                other => return Err(unknown_key(key.span(), other).into()),
            }
        }
        if recipe.steps.is_empty() && !said_none {
            return Err(RecipeFault::InFile {
                what: "the recipe has no steps".to_owned(),
                way_out: "begin one with [[step]], and name its operation: do = \"split\"".to_owned(),
            });
        }
        values.refuse_unused()?;
        Ok(recipe)
    }
}

/// What the steps of a recipe are read with.
struct Context<'a> {
    text: &'a str,
    values: &'a Values,
}

fn unknown_key(span: Range<usize>, key: &str) -> TextFault {
    let way_out = match nearest(key, KEYS) {
        Some(known) => format!("did you mean `{known}`?"),
        None if Step::NAMES.contains(&key) => format!("write it as a step: [[step]] and do = \"{key}\""),
        None => "a recipe has `pattern`, [with] and, for each step, [[step]]".to_owned(),
    };
    TextFault::new(span, format!("a recipe has no `{key}`"), "not known", way_out)
}

fn pattern_named<'a>(value: &'a Spanned<DeValue<'_>>) -> Result<&'a str, TextFault> {
    value.get_ref().as_str().filter(|name| !name.is_empty()).ok_or_else(|| {
        let what = "`pattern` is the name of a file";
        TextFault::new(value.span(), what, "not a name", "write it in quotes: pattern = \"coat.svg\"")
    })
}

fn steps(context: &Context<'_>, value: &Spanned<DeValue<'_>>) -> Result<Vec<RecipeStep>, TextFault> {
    let not_steps = |span| {
        TextFault::new(span, "`step` is not a list of steps", "not a step", "begin each step with [[step]]")
    };
    let listed = value.get_ref().as_array().ok_or_else(|| not_steps(value.span()))?;
    listed
        .iter()
        .map(|step| {
            let fields = step.get_ref().as_table().ok_or_else(|| not_steps(step.span()))?;
            read_step(context, step.span(), fields)
        })
        .collect()
}

fn read_step(
    context: &Context<'_>,
    span: Range<usize>,
    table: &DeTable<'_>,
) -> Result<RecipeStep, TextFault> {
    let named = table.iter().find(|(key, _)| key.get_ref() == DO);
    let Some((_, operation)) = named else {
        let what = "the step does not name its operation";
        return Err(TextFault::new(span, what, "no `do`", "name it: do = \"split\""));
    };
    let values = || table.iter().filter(|(key, _)| ![DO, OFF].contains(&key.get_ref().as_ref()));
    let fields = values().map(|(key, value)| FieldPlace {
        name: key.get_ref().to_string(),
        key: key.span(),
        value: value.span(),
    });
    let (fields, begin) = (fields.collect(), span.start);
    let form = if context.text[span].starts_with('{') { StepForm::Braces } else { StepForm::Lines };
    let off = table.get_key_value(OFF).map(|(key, value)| key.span().start..value.span().end);
    let place = StepPlace { span: operation.span(), off, form, begin, fields };
    let Some(name) = operation.get_ref().as_str() else {
        let what = "`do` is the name of an operation";
        return Err(place.failure(what, "not a name", "write it in quotes: do = \"split\""));
    };
    if !Step::NAMES.contains(&name) {
        let way_out = match nearest(name, Step::NAMES.iter().copied()) {
            Some(known) => format!("did you mean `{known}`?"),
            None => format!("there are: {}", Step::NAMES.join(", ")),
        };
        return Err(place.failure(format!("there is no operation `{name}`"), "not known", way_out));
    }
    let turn = table.get(OFF).map_or(Ok(OnOrOff::On), turn_said)?;
    let mut fields = values()
        .map(|(key, value)| {
            let field = field(context.text, key.get_ref(), key.span(), value)?;
            Ok(WrittenField { value: context.values.fill(&field.value, &field.value_span)?, ..field })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let fit = match fitted::width_field(name) {
        Some(width) => cloth_for_width(width, &mut fields)?,
        None => None,
    };
    let fields = WrittenFields::new(&fields);
    match Step::read(name, &fields) {
        Ok(step) => Ok(RecipeStep { step, fit, turn, place }),
        Err(fault) => Err(faulty(&place, name, fields.read_last(), fault)),
    }
}

/// Whether a step is done, by what it says of that.
fn turn_said(value: &Spanned<DeValue<'_>>) -> Result<OnOrOff, TextFault> {
    match value.get_ref() {
        DeValue::Boolean(true) => Ok(OnOrOff::Off),
        DeValue::Boolean(false) => Ok(OnOrOff::On),
        _ => Err(TextFault::new(
            value.span(),
            "`off` is true or false",
            "neither",
            "write off = true to leave the step out",
        )),
    }
}

/// Takes the cloth out of the fields of a step, and leaves in its place the width that is to come of it.
fn cloth_for_width(
    width: &'static str,
    fields: &mut Vec<WrittenField<'_>>,
) -> Result<Option<String>, TextFault> {
    let Some(at) = fields.iter().position(|field| field.name == fitted::FIELD) else { return Ok(None) };
    let cloth = fields.remove(at);
    if let Some(other) = fields.iter().find(|field| field.name == width) {
        let what = format!("a step has `{width}` or `{}`, not both", fitted::FIELD);
        return Err(TextFault::new(
            other.name_span.clone(),
            what,
            "one too many",
            "leave one of the two out",
        ));
    }
    let source = cloth.value.clone();
    fields.push(WrittenField { name: width, value: WidthToKeep::OfCloth.to_string(), ..cloth });
    Ok(Some(source))
}

fn faulty(
    place: &StepPlace,
    operation: &str,
    read_last: Option<&WrittenField<'_>>,
    fault: FieldFault,
) -> TextFault {
    let help = format!("`retrue help {operation}` lists its fields");
    match (fault, read_last) {
        (FieldFault::Missing(field), _) => {
            place.failure(format!("`{operation}` needs `{field}`"), format!("no `{field}`"), help)
        }
        (FieldFault::UnknownField { known }, Some(field)) => {
            let way_out = match nearest(field.name, known.iter().copied()) {
                Some(known) => format!("did you mean `{known}`?"),
                None => format!("it has: {}", known.join(", ")),
            };
            let what = format!("`{operation}` has no field `{}`", field.name);
            TextFault::new(field.name_span.clone(), what, "not known", way_out)
        }
        (FieldFault::UnknownWord { known }, Some(field)) => {
            let way_out = match nearest(&field.value, known.iter().copied()) {
                Some(known) => format!("did you mean `{known}`?"),
                None => format!("it may be: {}", known.join(", ")),
            };
            let what = format!("`{}` cannot be `{}`", field.name, field.value);
            TextFault::new(field.value_span.clone(), what, "not known", way_out)
        }
        (FieldFault::Other(sentence), Some(field)) => {
            let what = format!("`{}` cannot be read", field.name);
            TextFault::new(field.value_span.clone(), what, sentence, help)
        }
        (FieldFault::UnknownField { .. } | FieldFault::UnknownWord { .. }, None) => {
            place.failure(format!("`{operation}` cannot be read"), "not understood", help)
        }
        (FieldFault::Other(sentence), None) => {
            place.failure(format!("`{operation}` cannot be read"), sentence, help)
        }
    }
}

/// The field that gives a width and can take no cloth in its place.
const DEPTH: &str = "depth";

/// Whether a field gives a width.
fn is_width(field: &str) -> bool {
    field == DEPTH || fitted::WIDTH_FIELDS.iter().any(|(_, width)| *width == field)
}

/// The one field of a step that a refusal is about: the one whose value is what was refused, or has it as a part; else
/// the one that names where it was refused, if the thing of that name is not of the right sort. None where several
/// could be meant.
fn field_refused(step: &Step, refusal: &Refusal) -> Option<String> {
    let fields = step.to_value();
    let given = fields.as_object()?.iter().filter(|(name, _)| *name != DO);
    let values: Vec<(&str, &str)> =
        given.filter_map(|(name, value)| Some((name.as_str(), value.as_str()?))).collect();
    let only = |is_it: &dyn Fn(&str, &str) -> bool| {
        let mut found = values.iter().filter(|(name, value)| is_it(name, value));
        let first = found.next()?;
        found.next().is_none().then(|| first.0.to_owned())
    };
    match (&refusal.about, refusal.kind) {
        (Some(about), _) => {
            only(&|_, value| value == about).or_else(|| only(&|_, value| has_part(value, about)))
        }
        (None, RefusalKind::BadWidth) => only(&|name, _| is_width(name)),
        (None, RefusalKind::BadSeam | RefusalKind::NotOfThatSort | RefusalKind::PlaceOutside) => {
            only(&|_, value| value == refusal.at)
        }
        _ => None,
    }
}

/// Whether a text has another as a part that is not within a longer name.
fn has_part(text: &str, part: &str) -> bool {
    let of_name = |letter: char| letter.is_alphanumeric() || letter == '-';
    text.match_indices(part)
        .any(|(at, _)| !text[..at].ends_with(of_name) && !text[at + part.len()..].starts_with(of_name))
}

impl StepPlace {
    /// A fault of the step, where its operation is named.
    fn failure(
        &self,
        what: impl std::fmt::Display,
        label: impl std::fmt::Display,
        way_out: impl Into<Advice>,
    ) -> TextFault {
        TextFault::new(self.span.clone(), what, label, way_out)
    }

    /// Where the field stands that a refusal of the step is about, else where its operation is named.
    #[must_use]
    pub fn of_refusal(&self, step: &Step, refusal: &Refusal) -> &Range<usize> {
        let written = |name: &str| self.fields.iter().find(|field| field.name == name);
        let place = field_refused(step, refusal).and_then(|name| {
            written(&name).or_else(|| is_width(&name).then(|| written(fitted::FIELD)).flatten())
        });
        place.map_or(&self.span, |field| &field.value)
    }
}
