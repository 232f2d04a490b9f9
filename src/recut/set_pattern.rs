//! `set-pattern`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::pattern::{Field, Measures, Pattern, Refusal, RefusalKind, line_of_words};
use crate::recut::Work;
use crate::units::serde_as_text;

/// Set the title, size and body measures of the pattern.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetPattern {
    /// What the garment is called; none takes it off.
    #[arg(long, value_name = "TITLE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<WordsOrNone>,
    /// Its size: 38, M; none takes it off.
    #[arg(long, value_name = "SIZE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<WordsOrNone>,
    /// The body that it is drafted for: "bust 88cm, waist 68cm, back-length 41cm"; those that stand already and are not named stay.
    #[arg(long, value_name = "MEASURES")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measures: Option<Measures>,
}

impl SetPattern {
    /// A pattern of which nothing is changed yet.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{SetPattern, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let sized = SetPattern { size: Some("38".parse()?), ..SetPattern::of() };
    /// let set = Step::from(sized).apply(&coat)?.pattern;
    /// assert_eq!(set.about.size.as_deref(), Some("38"));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of() -> SetPattern {
        SetPattern { title: None, size: None, measures: None }
    }

    /// What is said of the pattern as it is now.
    pub(super) fn as_it_is(pattern: &Pattern) -> SetPattern {
        let words = |said: &Option<String>| said.clone().map(WordsOrNone::Words);
        let about = &pattern.about;
        let measures = Some(about.measures.clone()).filter(|measures| !measures.0.is_empty());
        SetPattern { title: words(&about.title), size: words(&about.size), measures }
    }
}

/// A title or a size as it is given: a line of words, or `none`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WordsOrNone {
    /// These words.
    Words(String),
    /// Nothing is said any more.
    None,
}

/// Why a text is no title and no size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WordingError {
    /// It is empty.
    #[error("it is empty: give words, or none to take it off")]
    Empty,
    /// It is longer than a line.
    #[error("it has {0} signs, and up to {MOST_SIGNS} stand on a cover: give a shorter one")]
    TooLong(usize),
    /// It holds a sign that is none to be read.
    #[error("it holds a line break or another sign that cannot be shown: give one line of words")]
    Sign,
}

/// The longest line on a cover, in signs.
const MOST_SIGNS: usize = 120;

impl std::str::FromStr for WordsOrNone {
    type Err = WordingError;

    fn from_str(text: &str) -> Result<WordsOrNone, WordingError> {
        if text.chars().any(char::is_control) {
            return Err(WordingError::Sign);
        }
        let text = line_of_words(text);
        match text.chars().count() {
            0 => return Err(WordingError::Empty),
            signs if signs > MOST_SIGNS => return Err(WordingError::TooLong(signs)),
            _ => {}
        }
        Ok(if text == "none" { WordsOrNone::None } else { WordsOrNone::Words(text) })
    }
}

impl std::fmt::Display for WordsOrNone {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            WordsOrNone::Words(words) => words,
            WordsOrNone::None => "none",
        })
    }
}

serde_as_text!(WordsOrNone);

impl WordsOrNone {
    fn words(&self) -> Option<String> {
        match self {
            WordsOrNone::Words(words) => Some(words.clone()),
            WordsOrNone::None => None,
        }
    }
}

pub(super) fn set_pattern(step: &SetPattern, work: &mut Work) -> Result<(), Refusal> {
    let SetPattern { title, size, measures } = step;
    if title.is_none() && size.is_none() && measures.is_none() {
        return Err(Refusal::new(
            RefusalKind::NothingAsked,
            "pattern",
            "nothing is to be set",
            advice!("give ", Field::Title, ", ", Field::Size, " or ", Field::Measures),
        ));
    }
    let about = &mut work.pattern.about;
    if let Some(title) = title {
        about.title = title.words();
    }
    if let Some(size) = size {
        about.size = size.words();
    }
    if let Some(measures) = measures {
        about.measures.take_up(measures);
    }
    Ok(())
}
