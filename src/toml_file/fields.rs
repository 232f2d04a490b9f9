//! Tables and their values: lengths, words, counts, pairs.

use std::ops::Range;
use std::str::FromStr;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::pattern::nearest;
use crate::tolerance::MOST_TOLD;
use crate::toml_file::TextFault;
use crate::units::Length;

/// A value and where it stands.
pub(crate) type Value<'a> = Spanned<DeValue<'a>>;

/// The table that a whole file is, which is called `what`.
///
/// # Errors
///
/// Refuses what is no TOML.
pub(crate) fn parse<'a>(text: &'a str, what: &str) -> Result<Spanned<DeTable<'a>>, TextFault> {
    DeTable::parse(text).map_err(|error| {
        let span = error.span().unwrap_or(0..0);
        TextFault::new(span, format!("this is not {what}"), error.message(), "write it as TOML")
    })
}

/// A table of the file whose keys are all known.
pub(crate) struct TableFields<'a> {
    /// What it is called in messages: `[main]`.
    pub(crate) name: String,
    /// Where it is named, or where it stands.
    pub(crate) span: Range<usize>,
    table: &'a DeTable<'a>,
}

impl<'a> TableFields<'a> {
    /// # Errors
    ///
    /// Refuses a key that is none of those known.
    pub(crate) fn of(
        name: String,
        span: Range<usize>,
        table: &'a DeTable<'a>,
        known: &[&str],
    ) -> Result<TableFields<'a>, TextFault> {
        let mut keys: Vec<_> = table.keys().collect();
        keys.sort_by_key(|key| key.span().start);
        for key in keys {
            let found = key.get_ref().as_ref();
            if !known.contains(&found) {
                let way_out = match nearest(found, known.iter().copied()) {
                    Some(known) => format!("did you mean `{known}`?"),
                    None => format!("it has: {}", known.join(", ")),
                };
                return Err(TextFault::new(
                    key.span(),
                    format!("{name} has no `{found}`"),
                    "not known",
                    way_out,
                ));
            }
        }
        Ok(TableFields { name, span, table })
    }

    pub(crate) fn get(&self, key: &str) -> Option<&'a Value<'a>> {
        self.table.iter().find(|(found, _)| found.get_ref() == key).map(|(_, value)| value)
    }

    /// # Errors
    ///
    /// Refuses a table without the key.
    pub(crate) fn need(&self, key: &str, example: &str) -> Result<&'a Value<'a>, TextFault> {
        self.get(key).ok_or_else(|| {
            let what = format!("{} needs `{key}`", self.name);
            TextFault::new(
                self.span.clone(),
                what,
                format!("no `{key}`"),
                format!("add it: {key} = {example}"),
            )
        })
    }
}

/// The value as a table.
pub(crate) fn table<'a>(
    value: &'a Value<'a>,
    what: &str,
    example: &str,
) -> Result<&'a DeTable<'a>, TextFault> {
    value.get_ref().as_table().ok_or_else(|| wrong(value, what, example))
}

/// The value as a list.
pub(crate) fn list<'a>(
    value: &'a Value<'a>,
    what: &str,
    example: &str,
) -> Result<&'a [Value<'a>], TextFault> {
    let list = value.get_ref().as_array().ok_or_else(|| wrong(value, what, example))?;
    if list.len() > MOST_TOLD {
        return Err(TextFault::new(
            value.span(),
            format!("{what} lists {} things, up to {MOST_TOLD} are read", list.len()),
            "too many",
            "keep those that lie where the pieces are to lie",
        ));
    }
    Ok(&list[..])
}

/// A fault of a value that is not of the sort that must stand there.
pub(crate) fn wrong(value: &Value<'_>, what: &str, example: &str) -> TextFault {
    let sort = match value.get_ref() {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    TextFault::new(value.span(), format!("{what} cannot be {sort}"), sort, format!("write it as {example}"))
}

/// The value as a length with its unit.
pub(crate) fn length(value: &Value<'_>, what: &str) -> Result<Length, TextFault> {
    let Some(text) = value.get_ref().as_str() else {
        return Err(wrong(value, what, "a length with its unit, in quotes: \"37cm\""));
    };
    Length::from_str(text).map_err(|error| {
        TextFault::new(
            value.span(),
            format!("{what} cannot be read"),
            error,
            "write it with its unit: \"37cm\"",
        )
    })
}

/// The value as two lengths: across, along.
pub(crate) fn pair(value: &Value<'_>, what: &str, example: &str) -> Result<(Length, Length), TextFault> {
    match list(value, what, example)? {
        [first, second] => Ok((length(first, what)?, length(second, what)?)),
        _ => Err(TextFault::new(
            value.span(),
            format!("{what} takes two lengths"),
            "not two",
            format!("write it as {example}"),
        )),
    }
}

/// The value as one of several words.
pub(crate) fn word<T: Copy>(value: &Value<'_>, key: &str, words: &[(&str, T)]) -> Result<T, TextFault> {
    let Some(text) = value.get_ref().as_str() else {
        return Err(wrong(value, &format!("`{key}`"), &listed(words)));
    };
    word_in(value, text, key, words)
}

fn listed<T>(words: &[(&str, T)]) -> String {
    words.iter().map(|(word, _)| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")
}

/// One of the words known, which stands in a value.
pub(crate) fn word_in<T: Copy>(
    value: &Value<'_>,
    text: &str,
    key: &str,
    words: &[(&str, T)],
) -> Result<T, TextFault> {
    let known = || words.iter().map(|(word, _)| *word);
    words.iter().find(|(word, _)| *word == text).map(|(_, meant)| *meant).ok_or_else(|| {
        let way_out = match nearest(text, known()) {
            Some(known) => format!("did you mean \"{known}\"?"),
            None => format!("it may be {}", listed(words)),
        };
        TextFault::new(value.span(), format!("`{key}` cannot be `{text}`"), "not known", way_out)
    })
}

/// The value as a count from 1.
pub(crate) fn count(value: &Value<'_>, key: &str, most: u32) -> Result<u32, TextFault> {
    let number = match value.get_ref() {
        DeValue::Integer(number) => u32::from_str(&number.to_string()).ok(),
        _ => return Err(wrong(value, &format!("`{key}`"), &format!("a whole number from 1 to {most}"))),
    };
    number.filter(|number| (1..=most).contains(number)).ok_or_else(|| {
        let what = format!("`{key}` is out of range");
        TextFault::new(value.span(), what, "not in range", format!("write a whole number from 1 to {most}"))
    })
}

/// The value as a number.
pub(crate) fn number(value: &Value<'_>, what: &str, example: &str) -> Result<f64, TextFault> {
    let number = match value.get_ref() {
        DeValue::Integer(number) => f64::from_str(&number.to_string()).ok(),
        DeValue::Float(number) => f64::from_str(&number.to_string()).ok(),
        _ => None,
    };
    number.filter(|number| number.is_finite()).ok_or_else(|| wrong(value, what, example))
}

/// The value as a text that is not empty.
pub(crate) fn text<'a>(value: &'a Value<'a>, key: &str, example: &str) -> Result<&'a str, TextFault> {
    let text = value.get_ref().as_str().ok_or_else(|| wrong(value, &format!("`{key}`"), example))?;
    if text.is_empty() {
        return Err(TextFault::new(
            value.span(),
            format!("`{key}` is empty"),
            "empty",
            format!("write it as {example}"),
        ));
    }
    Ok(text)
}
