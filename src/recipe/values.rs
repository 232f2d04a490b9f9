//! The values of a recipe: named once in its `[with]` table, given anew on the command line, and used in its fields.
//!
//! ```toml
//! [with]
//! width = "37cm"
//!
//! [[step]]
//! do = "move-seam"
//! seam = "front.side"
//! from = "back"
//! to-width = "{width / 2}"
//! ```
//!
//! A value is a text that takes the place of `{name}` before the field is read; a length may be divided by a whole
//! number. Every `{` in a field begins such a reference.

use std::cell::Cell;
use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use crate::pattern::nearest;
use crate::recipe::fault::RecipeFault;
use crate::recipe::fields::WrittenField;
use crate::toml_file::TextFault;
use crate::units::{Length, UnitError};

/// A value given on the command line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// The name of the value.
    pub name: String,
    /// What stands for it.
    pub value: String,
}

impl std::str::FromStr for Given {
    type Err = String;

    /// Reads `width=41cm`.
    fn from_str(text: &str) -> Result<Given, String> {
        let (name, value) = text.split_once('=').unwrap_or_default();
        let (name, value) = (name.trim(), value.trim());
        if name.is_empty() || value.is_empty() {
            return Err("write the name of the value and what it is to be: width=41cm".to_owned());
        }
        plain(value)?;
        Ok(Given { name: name.to_owned(), value: value.to_owned() })
    }
}

/// Refuses a value that would itself have to be filled in.
fn plain(value: &str) -> Result<(), String> {
    if value.contains(['{', '}']) { Err("a value has no { or } in it".to_owned()) } else { Ok(()) }
}

/// A value as it stands in the recipe, or was given in its place.
#[derive(Clone, Debug)]
struct GivenValue {
    name: String,
    span: Range<usize>,
    value: String,
    is_used: Cell<bool>,
}

/// The values of a recipe.
#[derive(Clone, Debug)]
pub(super) struct Values {
    values: Vec<GivenValue>,
}

impl Values {
    /// Reads the `[with]` table, if there is one, and puts what was given in its place.
    ///
    /// # Errors
    ///
    /// A table that is none, a name or value that is none, a value given that the recipe does not have, or given
    /// twice.
    pub fn read(
        source: &str,
        table: Option<&Spanned<DeValue<'_>>>,
        given: &[Given],
    ) -> Result<Values, RecipeFault> {
        let mut values = Values { values: Vec::new() };
        if let Some(table) = table {
            let rows = table.get_ref().as_table().ok_or_else(|| {
                TextFault::new(
                    table.span(),
                    "`with` is not a table",
                    "not a table",
                    "write [with] and below it width = \"37cm\"",
                )
            })?;
            for (key, value) in rows {
                values.add(source, key.get_ref(), key.span(), value)?;
            }
        }
        for (i, one) in given.iter().enumerate() {
            if given[..i].iter().any(|other| other.name == one.name) {
                let what = format!("`{}` is given twice", one.name);
                return Err(RecipeFault::Given { what, way_out: "leave one of the two out".to_owned() });
            }
            values.give(one)?;
        }
        Ok(values)
    }

    fn add(
        &mut self,
        source: &str,
        name: &str,
        span: Range<usize>,
        value: &Spanned<DeValue<'_>>,
    ) -> Result<(), TextFault> {
        let of_name = |letter: char| letter.is_alphanumeric() || letter == '-';
        if name.is_empty() || !name.chars().all(of_name) {
            let what = format!("`{name}` is not the name of a value");
            return Err(TextFault::new(
                span,
                what,
                "not a name",
                "use letters, digits and hyphens: sleeve-width",
            ));
        }
        let read = field(source, name, span.clone(), value)?;
        if let Err(why) = plain(&read.value) {
            let what = format!("`{name}` cannot be `{}`", read.value);
            return Err(TextFault::new(value.span(), what, why, "write what is meant: width = \"37cm\""));
        }
        self.values.push(GivenValue {
            name: name.to_owned(),
            span,
            value: read.value,
            is_used: Cell::new(false),
        });
        Ok(())
    }

    fn give(&mut self, given: &Given) -> Result<(), RecipeFault> {
        if let Some(value) = self.values.iter_mut().find(|value| value.name == given.name) {
            value.value.clone_from(&given.value);
            return Ok(());
        }
        let what = format!("the recipe has no value `{}` in its [with] table", given.name);
        Err(RecipeFault::InFile { what, way_out: self.known(&given.name) })
    }

    /// What to write in place of a name that is not known.
    fn known(&self, name: &str) -> String {
        let names: Vec<&str> = self.values.iter().map(|value| value.name.as_str()).collect();
        match nearest(name, names.iter().copied()) {
            Some(known) => format!("did you mean `{known}`?"),
            None if names.is_empty() => format!("add it: [with] and below it {name} = \"37cm\""),
            None => format!("it has: {}", names.join(", ")),
        }
    }

    /// The text of a field with every reference filled in.
    ///
    /// # Errors
    ///
    /// A reference that does not end, that names no value, or that divides what is no length, shown on the field's
    /// line.
    pub fn fill(&self, written: &str, span: &Range<usize>) -> Result<String, TextFault> {
        let mut filled = String::new();
        let mut rest = written;
        while let Some((before, behind)) = rest.split_once('{') {
            filled.push_str(before);
            let Some((reference, behind)) = behind.split_once('}') else {
                let what = format!("the reference in `{written}` has no end");
                return Err(TextFault::new(span.clone(), what, "no }", "write {width} or {width / 2}"));
            };
            filled.push_str(&self.value_of(reference.trim(), span)?);
            rest = behind;
        }
        filled.push_str(rest);
        Ok(filled)
    }

    fn value_of(&self, reference: &str, span: &Range<usize>) -> Result<String, TextFault> {
        let (name, parts) = match reference.split_once('/') {
            Some((name, parts)) => (name.trim(), Some(parts.trim())),
            None => (reference, None),
        };
        let Some(value) = self.values.iter().find(|value| value.name == name) else {
            let what = format!("the recipe has no value `{name}`");
            return Err(TextFault::new(span.clone(), what, "not known", self.known(name)));
        };
        value.is_used.set(true);
        match parts {
            None => Ok(value.value.clone()),
            Some(parts) => divided(&value.value, parts).map_err(|why| {
                let what = format!("`{{{reference}}}` cannot be worked out");
                TextFault::new(
                    span.clone(),
                    what,
                    why,
                    "a length may be divided by a whole number: {width / 2}",
                )
            }),
        }
    }

    /// Refuses a value that no field uses: it would be given in vain.
    ///
    /// # Errors
    ///
    /// The first such value, shown on its line.
    pub fn refuse_unused(&self) -> Result<(), TextFault> {
        let Some(unused) = self.values.iter().find(|value| !value.is_used.get()) else { return Ok(()) };
        let what = format!("no field uses `{}`", unused.name);
        let way_out = format!("write \"{{{}}}\" in a field, or leave it out", unused.name);
        Err(TextFault::new(unused.span.clone(), what, "not used", way_out))
    }
}

/// A length divided by a whole number, as text.
fn divided(value: &str, parts: &str) -> Result<String, String> {
    let length: Length = value.parse().map_err(|error: UnitError| error.to_string())?;
    match parts.parse::<u16>() {
        Ok(parts) if parts > 0 => Ok(Length::from_mm(length.mm() / f64::from(parts)).to_string()),
        _ => Err(format!("`{parts}` is not a whole number over zero")),
    }
}

/// A field as the text that a command line would give.
///
/// # Errors
///
/// A value that is neither a text nor a number.
pub(super) fn field<'a>(
    source: &str,
    name: &'a str,
    name_span: Range<usize>,
    value: &Spanned<DeValue<'_>>,
) -> Result<WrittenField<'a>, TextFault> {
    let number = source.get(value.span()).unwrap_or_default();
    let written = match value.get_ref() {
        DeValue::String(written) => written.to_string(),
        DeValue::Integer(_) | DeValue::Float(_) if !is_unbounded(number) => number.to_owned(),
        other => {
            let what = format!("`{name}` cannot be {}", sort_of(other));
            let way_out = "write it as one text in quotes, as on the command line";
            return Err(TextFault::new(value.span(), what, "not a text", way_out));
        }
    };
    Ok(WrittenField { name, name_span, value: written, value_span: value.span() })
}

/// Whether a number of the format is `nan` or `inf`.
fn is_unbounded(number: &str) -> bool {
    number.ends_with("nan") || number.ends_with("inf")
}

fn sort_of(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
        DeValue::Datetime(_) => "a date",
        DeValue::Boolean(_) => "true or false",
        DeValue::Float(_) => "a number without bounds",
        DeValue::String(_) | DeValue::Integer(_) => "this",
    }
}
