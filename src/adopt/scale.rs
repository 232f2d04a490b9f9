//! How large a unit of the drawing is: as stated, as told, or as something of known size in it shows.

use crate::adopt::arrange::Arranged;
use crate::adopt::known_size::{labelled, labelled_bar};
use crate::adopt::letter::Letter;
use crate::adopt::outlines::FoundOutline;
use crate::adopt::stroke::DrawnThings;
use crate::curve::Curve;
use crate::tolerance::{SCALE_OFF, TEST_LABEL_REACH, TEST_SQUARE};
use crate::units::{Length, MM_PER_INCH};

/// How large a unit of the drawing is, and what speaks for and against it.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// Millimetres in a unit of the drawing, across and down.
    pub mm_per_unit: [f64; 2],
    /// Where that is from.
    pub source: ScaleSource,
    /// Things of known size in the drawing, as they measure.
    pub checks: Vec<ScaleCheck>,
}

impl Scale {
    /// The check that counts: of the largest thing of known size.
    #[must_use]
    pub fn check(&self) -> Option<&ScaleCheck> {
        self.checks.first()
    }

    /// Whether what is of known size measures so.
    #[must_use]
    pub fn is_true(&self) -> bool {
        self.source != ScaleSource::Unknown && self.check().is_none_or(|check| !check.is_off())
    }
}

/// Where the scale of a drawing is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScaleSource {
    /// The file states it.
    Stated,
    /// The user says what a unit is.
    Told,
    /// The user says how long something is.
    Known,
    /// Something labelled with its size was measured.
    TestShape,
    /// Nothing tells it; a unit was taken for a pixel of the screen.
    Unknown,
}

impl ScaleSource {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            ScaleSource::Stated => "stated by the file",
            ScaleSource::Told => "as told",
            ScaleSource::Known => "from a known length",
            ScaleSource::TestShape => "from the test square",
            ScaleSource::Unknown => "unknown",
        }
    }
}

/// A thing of known size in the drawing, and how it measures.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleCheck {
    /// How it is called.
    pub letter: Letter,
    /// What it should measure.
    pub nominal: Length,
    /// Whether a text beside it says so, or only its size suggests it.
    pub labelled: ScaleKnownBy,
    /// How it measures across, mm; none of a bar that stands upright.
    pub across: Option<f64>,
    /// How it measures down, mm; none of a bar that lies.
    pub down: Option<f64>,
}

/// How it is known what something should measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScaleKnownBy {
    /// A text beside it says so.
    ByText,
    /// It is a square of nearly a usual size.
    BySize,
}

impl ScaleCheck {
    /// By what the drawing must be multiplied across and down.
    #[must_use]
    pub fn factors(&self) -> [f64; 2] {
        let one = self.across.or(self.down).unwrap_or(self.nominal.mm());
        [self.across.unwrap_or(one), self.down.unwrap_or(one)].map(|measured| self.nominal.mm() / measured)
    }

    /// Whether it does not measure what it should.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.factors().iter().any(|factor| (factor - 1.0).abs() > SCALE_OFF)
    }

    /// Whether across and down differ.
    #[must_use]
    pub fn is_stretched(&self) -> bool {
        let [across, down] = self.factors();
        (across / down - 1.0).abs() > SCALE_OFF
    }
}

/// How far from a usual size a square without a legible label may be.
const USUAL_SHARE: f64 = 0.006;

/// Sides of test squares as they are printed, mm.
const USUAL: [f64; 7] =
    [4.0 * MM_PER_INCH, 100.0, 3.0 * MM_PER_INCH, 2.0 * MM_PER_INCH, 50.0, MM_PER_INCH, 30.0];

/// Things of known size, the largest and best labelled first. `unit` is what a unit was taken for where nothing tells.
pub(super) fn checks(drawn: &DrawnThings, arranged: &Arranged, unit: Option<f64>) -> Vec<ScaleCheck> {
    let mut checks: Vec<ScaleCheck> =
        arranged.outlines.iter().filter_map(|outline| square(drawn, outline, unit)).collect();
    if unit.is_none() {
        checks.extend(arranged.lines.iter().filter_map(|line| bar(drawn, &line.letter, &line.curve)));
    }
    checks.sort_by(|a, b| {
        let rank = |check: &ScaleCheck| {
            (check.labelled == ScaleKnownBy::BySize, check.across.is_none() || check.down.is_none())
        };
        rank(a).cmp(&rank(b)).then(b.nominal.mm().total_cmp(&a.nominal.mm()))
    });
    checks
}

fn square(drawn: &DrawnThings, outline: &FoundOutline, unit: Option<f64>) -> Option<ScaleCheck> {
    let bounds = outline.bounds();
    let (across, down) = (bounds.width(), bounds.height());
    if !outline.is_upright() || (across / down - 1.0).abs() > TEST_SQUARE {
        return None;
    }
    let check = |nominal: f64, labelled| ScaleCheck {
        letter: outline.letter.clone(),
        nominal: Length::from_mm(nominal),
        labelled,
        across: Some(across),
        down: Some(down),
    };
    if let Some(nominal) = labelled(drawn, bounds, across, unit) {
        return Some(check(nominal, ScaleKnownBy::ByText));
    }
    let written = drawn
        .writing
        .iter()
        .any(|box_of| bounds.inflate(TEST_LABEL_REACH, TEST_LABEL_REACH).overlaps(*box_of));
    let usual = USUAL.into_iter().find(|usual| (across / usual - 1.0).abs() <= USUAL_SHARE);
    usual.filter(|_| written && unit.is_none()).map(|nominal| check(nominal, ScaleKnownBy::BySize))
}

fn bar(drawn: &DrawnThings, letter: &Letter, line: &Curve) -> Option<ScaleCheck> {
    let bar = labelled_bar(drawn, line)?;
    Some(ScaleCheck {
        letter: letter.clone(),
        nominal: Length::from_mm(bar.nominal),
        labelled: ScaleKnownBy::ByText,
        across: bar.across,
        down: bar.down,
    })
}
