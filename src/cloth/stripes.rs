//! Stripes and gradations: where the pattern of a cloth is the same again.

use crate::cloth::ClothError;
use crate::cloth::bolt::{not_negative, over_nothing};
use crate::curve::Point;
use crate::tolerance::{LEAST_REPEAT, MOST_MARKS};
use crate::units::Length;

/// Which way stripes run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StripesAlong {
    /// From selvedge to selvedge: they follow one another along the length.
    #[default]
    Width,
    /// Along the selvedge: they follow one another across the width.
    Length,
}

impl StripesAlong {
    /// A stripe at a place, so far along or across the cloth from its origin, and so long.
    pub(crate) fn line(self, at: f64, length: f64) -> (Point, Point) {
        match self {
            StripesAlong::Width => (Point::new(0.0, at), Point::new(length, at)),
            StripesAlong::Length => (Point::new(at, 0.0), Point::new(at, length)),
        }
    }

    /// Both ways.
    pub const ALL: [StripesAlong; 2] = [StripesAlong::Width, StripesAlong::Length];

    /// The word for it in a cloth file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            StripesAlong::Width => "width",
            StripesAlong::Length => "length",
        }
    }
}

/// Where the pattern of the cloth is the same.
#[derive(Clone, Debug, PartialEq)]
pub enum StripesAt {
    /// Again and again.
    Every {
        /// From one to the next, mm.
        repeat: f64,
        /// The first, mm from the start or the left selvedge.
        first: f64,
    },
    /// At marks, one by one, in order.
    Marks(Vec<Mark>),
}

/// A place where the pattern of a cloth is marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Where, mm from the start or the left selvedge.
    pub at: f64,
    /// What it is called: only marks of the same word are alike. None where all are.
    pub word: Option<String>,
}

impl Mark {
    /// The colour that its word names, where it names one as style sheets do: `teal`, `#b7410e`.
    #[must_use]
    pub fn colour(&self) -> Option<[u8; 3]> {
        let colour: svgtypes::Color = self.word.as_ref()?.parse().ok()?;
        // `transparent` is a word of style sheets, and no colour of cloth.
        (colour.alpha == u8::MAX).then_some([colour.red, colour.green, colour.blue])
    }
}

/// Stripes of a cloth, or the marks of a gradation.
#[derive(Clone, Debug, PartialEq)]
pub struct Stripes {
    /// Which way they run.
    pub along: StripesAlong,
    at: StripesAt,
}

impl Stripes {
    /// Stripes that repeat.
    ///
    /// # Errors
    ///
    /// Refuses a repeat finer than stripes are and a negative first place.
    pub fn every(along: StripesAlong, repeat: Length, first: Length) -> Result<Stripes, ClothError> {
        let repeat = over_nothing("the repeat", repeat)?.mm();
        if repeat < LEAST_REPEAT {
            let (found, least) = (Length::from_mm(repeat), Length::from_mm(LEAST_REPEAT));
            return Err(ClothError::RepeatTooFine { found, least });
        }
        let first = not_negative("the place of the first stripe", first)?.mm();
        Ok(Stripes { along, at: StripesAt::Every { repeat, first } })
    }

    /// Places where the pattern of the cloth is the same, as marked one by one.
    ///
    /// # Errors
    ///
    /// Refuses fewer than two and more than [`MOST_MARKS`], marks that do not follow one another, and words of which none is said twice.
    pub fn marked(
        along: StripesAlong,
        marks: impl IntoIterator<Item = (Length, Option<String>)>,
    ) -> Result<Stripes, ClothError> {
        let mut places: Vec<Mark> = Vec::new();
        for (mark, word) in marks {
            if places.len() == MOST_MARKS {
                return Err(ClothError::TooManyMarks);
            }
            let at = not_negative("the place of a mark", mark)?.mm();
            if let Some(before) = places.last()
                && before.at >= at
            {
                return Err(ClothError::MarksOutOfOrder { first: Length::from_mm(before.at), second: mark });
            }
            places.push(Mark { at, word });
        }
        if places.len() < 2 {
            return Err(ClothError::TooFewMarks);
        }
        let is_again = |(i, mark): (usize, &Mark)| places[..i].iter().any(|before| before.word == mark.word);
        if !places.iter().enumerate().any(is_again) {
            return Err(ClothError::NoWordTwice);
        }
        Ok(Stripes { along, at: StripesAt::Marks(places) })
    }

    /// Places as marked within one repeat, which come again as far as a measure of cloth reaches, mm.
    ///
    /// # Errors
    ///
    /// As [`Stripes::marked`]; a repeat finer than stripes are, and a mark beyond it.
    pub fn marked_again(
        along: StripesAlong,
        repeat: Length,
        marks: &[(Length, Option<String>)],
        reach: f64,
    ) -> Result<Stripes, ClothError> {
        // What is refused of a repeat is refused here.
        Stripes::every(along, repeat, Length::ZERO)?;
        if let Some((mark, _)) = marks.iter().find(|(mark, _)| mark.mm() >= repeat.mm()) {
            return Err(ClothError::MarkBeyondRepeat { mark: *mark, repeat });
        }
        let times = (reach / repeat.mm()).floor().max(1.0) as usize;
        let again = (0..=times).flat_map(|time| {
            let from = repeat.mm() * time as f64;
            marks.iter().map(move |(mark, word)| (Length::from_mm(mark.mm() + from), word.clone()))
        });
        Stripes::marked(along, again)
    }

    /// Where they are.
    #[must_use]
    pub fn at(&self) -> &StripesAt {
        &self.at
    }

    /// The mark at one of the places where they are, if there is one.
    pub(crate) fn mark_at(&self, at: f64) -> Option<&Mark> {
        match &self.at {
            StripesAt::Marks(marks) => marks.iter().find(|mark| mark.at == at),
            StripesAt::Every { .. } => None,
        }
    }

    /// All of them within a measure of cloth, mm in order.
    #[must_use]
    pub fn within(&self, measure: f64) -> Vec<f64> {
        match &self.at {
            StripesAt::Every { repeat, first } => {
                let first = first.rem_euclid(*repeat);
                let count = if first > measure { 0.0 } else { ((measure - first) / repeat).floor() + 1.0 };
                (0..count as usize).map(|i| first + repeat * i as f64).collect()
            }
            StripesAt::Marks(marks) => {
                marks.iter().map(|mark| mark.at).filter(|mark| *mark <= measure).collect()
            }
        }
    }
}
