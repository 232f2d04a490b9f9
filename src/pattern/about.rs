//! What a pattern is: its title, its size, and the body it was drafted for.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{MeasureName, NameError};
use crate::units::{Length, UnitError, serde_as_text};

/// A text as one line of words, each a space from the next: so a title stands on a cover.
#[must_use]
pub fn line_of_words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a pattern is, as it stands on its sheet and on its cover.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct About {
    /// What the garment is called.
    pub title: Option<String>,
    /// Its size: `38`, `M`.
    pub size: Option<String>,
    /// The body that it was drafted for, each measure once.
    pub measures: Measures,
}

impl About {
    /// Its lines on a cover: the size, then the body measures; empty where nothing is said.
    #[must_use]
    pub fn lines(&self, show: impl Fn(Length) -> String) -> Vec<String> {
        let size = self.size.iter().map(|size| format!("size {size}"));
        let measure = |(name, length): &(MeasureName, Length)| format!("{name} {}", show(*length));
        let measures: Vec<String> = self.measures.0.iter().map(measure).collect();
        let body = (!measures.is_empty()).then(|| format!("for a body of {}", measures.join(", ")));
        size.chain(body).collect()
    }
}

/// Body measures, each under its name: `bust 88cm, waist 68cm`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measures(pub Vec<(MeasureName, Length)>);

impl Measures {
    /// Takes up measures; those of a name that stands already are put in its place.
    pub fn take_up(&mut self, others: &Measures) {
        for (name, length) in &others.0 {
            match self.0.iter_mut().find(|(known, _)| known == name) {
                Some((_, known)) => *known = *length,
                None => self.0.push((name.clone(), *length)),
            }
        }
    }
}

/// Why a text is no list of body measures.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeasuresError {
    /// A name in it is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// A length in it is none.
    #[error(transparent)]
    Length(#[from] UnitError),
    /// A name that cannot stand on a sheet.
    #[error("`{0}` cannot name a measure: use small letters a to z, digits and -, as in back-length")]
    Sign(String),
    /// A measure that no body has.
    #[error("a `{0}` of {1} is no measure of a body: give one above 0mm, up to 3m")]
    Size(MeasureName, Length),
    /// A measure that stands twice.
    #[error("`{0}` is given twice: give it once")]
    Twice(MeasureName),
    /// It is not written as measures.
    #[error("`{0}` is no measure with its name: write \"bust 88cm, waist 68cm\"")]
    NotAMeasure(String),
}

/// The greatest measure of a body, mm: taller than anyone.
const MOST_OF_A_BODY: f64 = 3000.0;

/// A measure as it stands on a sheet or in a list.
///
/// # Errors
///
/// Refuses a name that no attribute can bear, and a length that no body has.
pub fn measure(name: &str, length: &str) -> Result<(MeasureName, Length), MeasuresError> {
    let plain = |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-';
    if !name.starts_with(|sign: char| sign.is_ascii_lowercase()) || !name.chars().all(plain) {
        return Err(MeasuresError::Sign(name.to_owned()));
    }
    let (name, length): (MeasureName, Length) = (name.parse()?, length.parse()?);
    if length.mm() <= 0.0 || length.mm() > MOST_OF_A_BODY {
        return Err(MeasuresError::Size(name, length));
    }
    Ok((name, length))
}

impl FromStr for Measures {
    type Err = MeasuresError;

    fn from_str(text: &str) -> Result<Measures, MeasuresError> {
        let mut found: Vec<(MeasureName, Length)> = Vec::new();
        for entry in text.split(',').map(str::trim) {
            let parts = entry.split_once(char::is_whitespace);
            let (name, length) = parts.ok_or_else(|| MeasuresError::NotAMeasure(entry.to_owned()))?;
            let (name, length) = measure(name, length.trim())?;
            if found.iter().any(|(known, _)| *known == name) {
                return Err(MeasuresError::Twice(name));
            }
            found.push((name, length));
        }
        Ok(Measures(found))
    }
}

impl fmt::Display for Measures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (name, length)) in self.0.iter().enumerate() {
            write!(f, "{}{name} {length}", if i > 0 { ", " } else { "" })?;
        }
        Ok(())
    }
}

serde_as_text!(Measures);
