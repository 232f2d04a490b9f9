//! What is chosen of a print, a layout or a plan: the form is made of the command's own definition, and read as it reads.

use std::collections::BTreeMap;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, ArgAction, Args, Command, FromArgMatches};

use crate::pattern::Pattern;
use crate::table::field_sort::FieldSort;
use crate::table::form::{FormField, called, help, name};
use crate::table::said::Refused;

/// What stands in the fields of such a form, by their names.
pub type FormSaid = BTreeMap<String, String>;

/// What says that a field which is on or off is on.
const ON: &str = "yes";

/// The fields of the choices of a command, with what is usual.
pub(super) fn fields<T: Args>(pattern: &Pattern) -> Vec<FormField> {
    command::<T>().get_arguments().map(|field| form_field(field, pattern)).collect()
}

fn form_field(field: &Arg, pattern: &Pattern) -> FormField {
    let usual: Vec<_> = field.get_default_values().iter().map(|value| value.to_string_lossy()).collect();
    let is_flag = is_flag(field);
    let (sort, words) = match is_flag {
        true => (FieldSort::Word, vec![ON.to_owned()]),
        false => {
            let sort = FieldSort::of(field);
            let closed = field.get_value_parser().possible_values().into_iter().flatten();
            let closed = closed.map(|value| value.get_name().to_owned());
            (sort, sort.likely(pattern, None).into_iter().chain(closed).collect())
        }
    };
    let takes_many = matches!(field.get_action(), ArgAction::Append);
    FormField {
        name: name(field).to_owned(),
        called: called(name(field)),
        help: help(field),
        needed: false,
        sort,
        value: if is_flag { String::new() } else { usual.concat() },
        now: String::new(),
        closed: sort.is_closed() && !takes_many && !words.is_empty(),
        words,
    }
}

/// Reads what is chosen, as the command reads its options. A field that may be given several times has its values between
/// commas.
///
/// # Errors
///
/// A field that there is not, or a value that the command refuses.
pub(super) fn chosen<T: Args + FromArgMatches>(said: &FormSaid) -> Result<T, Refused> {
    let command = command::<T>();
    let known = |said: &String| command.get_arguments().any(|field| name(field) == said);
    if let Some(unknown) = said.keys().find(|said| !known(said)) {
        return Err(Refused::plain(format!("there is no field `{unknown}`"), "load the page anew"));
    }
    let arguments: Vec<String> = command.get_arguments().flat_map(|field| arguments(field, said)).collect();
    let matches = command.clone().try_get_matches_from(arguments).map_err(|error| refused(&error))?;
    T::from_arg_matches(&matches).map_err(|error| refused(&error))
}

fn command<T: Args>() -> Command {
    T::augment_args(Command::new("choices").no_binary_name(true).disable_help_flag(true))
}

fn is_flag(field: &Arg) -> bool {
    matches!(field.get_action(), ArgAction::SetTrue)
}

/// A field as options of a command line; none where nothing is said, or what is usual.
fn arguments(field: &Arg, said: &FormSaid) -> Vec<String> {
    let long = name(field);
    let Some(value) = said.get(long).map(|value| value.trim()).filter(|value| !value.is_empty()) else {
        return Vec::new();
    };
    if is_flag(field) {
        return vec![format!("--{long}")];
    }
    if field.get_default_values().iter().any(|usual| usual.to_string_lossy() == value) {
        return Vec::new();
    }
    match field.get_action() {
        ArgAction::Append => value.split(',').map(|one| format!("--{long}={}", one.trim())).collect(),
        _ => vec![format!("--{long}={value}")],
    }
}

/// What the command says of options that it refuses, in the words of the page.
fn refused(error: &clap::Error) -> Refused {
    let context = |kind: ContextKind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => Some(texts.join(", ")),
        _ => None,
    };
    let field = |kind: ContextKind| context(kind).map(|text| field_named(&text)).unwrap_or_default();
    let at = field(ContextKind::InvalidArg);
    let value = context(ContextKind::InvalidValue).unwrap_or_default();
    let reason = std::error::Error::source(error).map(ToString::to_string);
    let valid = context(ContextKind::ValidValue);
    let (what, way_out) = match (error.kind(), reason, valid) {
        (ErrorKind::ArgumentConflict, ..) => {
            let other = field(ContextKind::PriorArg);
            (format!("{at} and {other} exclude each other"), "leave one of the two out".to_owned())
        }
        (_, Some(reason), _) => (format!("`{value}` cannot be meant"), reason),
        (_, None, Some(valid)) => (format!("`{value}` is not known"), format!("there are: {valid}")),
        _ => (format!("`{value}` cannot be read"), "look at what stands there".to_owned()),
    };
    Refused { at, ..Refused::plain(what, way_out) }
}

/// `--grain-tolerance <DEGREES>` as a field is called.
fn field_named(option: &str) -> String {
    let name = option.split([' ', '=', '[']).next().unwrap_or(option);
    name.trim_start_matches('-').replace('-', " ")
}
