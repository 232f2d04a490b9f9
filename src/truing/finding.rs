//! What a check finds: a kind, a place, a number and the limit it is held against.

use serde::Serialize;

use crate::tolerance::TAPE_STEP;
use crate::units::{Length, Unit};

/// What is not as it should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FindingKind {
    /// The two sides of a seam differ beyond their ease. Positive where the first is too long.
    SeamLength,
    /// Two notches of a plain seam do not meet. Positive where the one on the first side stands farther along.
    NotchDrift,
    /// A stretch between the notches of an eased seam is longer on the side that is meant to be shorter. Positive where
    /// that is the first side.
    NotchEase,
    /// A notch has no partner in any seam of its edge.
    NotchAlone,
    /// Notches that meet are single on one side and double on the other.
    NotchCount,
    /// An edge that runs on across a seam has a kink there: positive stands out, negative is a dent.
    Kink,
    /// An edge has a kink where a dart in it is closed.
    DartKink,
    /// An edge does not meet the fold, or a centre seam, square.
    FoldKink,
    /// The legs of a dart differ.
    DartLegs,
    /// The tip of a dart lies outside its piece.
    DartTip,
    /// Two darts open on the same stretch of an edge.
    DartMouths,
    /// When stitching lines are matched, the ends of the cutting lines do not meet.
    CutEnds,
    /// The two sides of a seam have different allowances.
    Allowance,
    /// A new seam stands off the grain.
    OffGrain,
    /// An edge that must lie on the selvedge is not straight along the grain.
    OffSelvedge,
    /// A piece has no grainline.
    NoGrainline,
    /// A seam joins edges of which different numbers are cut.
    CutCount,
    /// A seam joins pieces cut left and right to pieces cut all alike.
    CutMirror,
    /// An edge to be sewn belongs to no seam.
    NotSewn,
    /// A level leaves its piece.
    LevelOutside,
    /// A level runs into a dart and does not come out at its other leg, so that its girth cannot be told.
    LevelInDart,
    /// A point lies outside its piece.
    PointOutside,
    /// The girth at a level is other than when the pattern was first read, beyond what the steps declare.
    GirthChanged,
}

/// What a finding's number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Measured {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetres,
    /// Degrees.
    #[serde(rename = "degrees")]
    Degrees,
    /// Things.
    #[serde(rename = "count")]
    Count,
}

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// To be looked at; the garment can be sewn as it is.
    Warning,
    /// Not true: to be mended before cutting.
    Untrue,
}

/// Something a check found.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Finding {
    /// What is not as it should be.
    pub kind: FindingKind,
    /// Where: the names of seams, edges, notches, darts, pieces.
    pub at: String,
    /// What was measured.
    pub number: f64,
    /// What it may be at most.
    pub limit: f64,
    /// What the number counts.
    pub unit: Measured,
    /// How much it weighs.
    pub weight: Weight,
}

impl Finding {
    /// A length that is over its limit; under a sixteenth of an inch it is a warning. Nothing where it is not over.
    pub(super) fn length(
        kind: FindingKind,
        at: impl Into<String>,
        mm: f64,
        limit: Length,
    ) -> Option<Finding> {
        let weight = if mm.abs() < TAPE_STEP { Weight::Warning } else { Weight::Untrue };
        Finding::over(kind, at, mm, limit.mm(), Measured::Millimetres)
            .map(|found| Finding { weight, ..found })
    }

    /// A number that is over its limit: not true. Nothing where it is not over.
    pub(super) fn over(
        kind: FindingKind,
        at: impl Into<String>,
        number: f64,
        limit: f64,
        unit: Measured,
    ) -> Option<Finding> {
        (number.abs() > limit).then(|| Finding {
            kind,
            at: at.into(),
            number,
            limit,
            unit,
            weight: Weight::Untrue,
        })
    }

    /// The same finding as a warning.
    pub(super) fn warned(self) -> Finding {
        Finding { weight: Weight::Warning, ..self }
    }

    /// The sentence for it: where, what, by how much, and what is allowed. Lengths in the user's unit; where inches to
    /// a sixteenth cannot show them, millimetres stand beside.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let number = self.shown(self.number.abs(), unit);
        let what = self.what(&number);
        let limit = match self.unit {
            Measured::Count => String::new(),
            _ => format!(" (limit {})", self.shown(self.limit, unit)),
        };
        let near = match (self.unit, self.weight) {
            (Measured::Millimetres, Weight::Warning) if self.number.abs() < TAPE_STEP => "; within 1/16 in",
            _ => "",
        };
        format!("{}: {what}{limit}{near}", self.at)
    }

    fn shown(&self, number: f64, unit: Unit) -> String {
        match (self.unit, unit) {
            (Measured::Millimetres, Unit::Inch) => {
                let length = Length::from_mm(number);
                format!("{} ({})", length.show(Unit::Inch), length.show(Unit::Millimetre))
            }
            (Measured::Millimetres, unit) => Length::from_mm(number).show(unit),
            (Measured::Degrees, _) => format!("{number:.1}°"),
            (Measured::Count, _) => format!("{number:.0}"),
        }
    }

    fn what(&self, number: &str) -> String {
        let positive = self.number > 0.0;
        let either = |yes: &'static str, no: &'static str| if positive { yes } else { no };
        match self.kind {
            FindingKind::SeamLength => {
                format!("the {} side is {number} too long", either("first", "second"))
            }
            FindingKind::NotchDrift => {
                format!("the notch of the {} side stands {number} farther along", either("first", "second"))
            }
            FindingKind::NotchEase => {
                let (longer, eased) = (either("first", "second"), either("second", "first"));
                format!("the ease is on the {eased} side, but here the {longer} is longer by {number}")
            }
            FindingKind::NotchAlone => "the notch has no partner".to_owned(),
            FindingKind::NotchCount => "one is a single notch and one a double".to_owned(),
            FindingKind::Kink => {
                format!("the edge {} by {number} at the seam", either("stands out", "dips in"))
            }
            FindingKind::DartKink => {
                format!("the edge {} by {number} when the dart is closed", either("stands out", "dips in"))
            }
            FindingKind::FoldKink => format!("off square by {number} at the centre"),
            FindingKind::DartLegs => {
                format!("the {} leg is longer by {number}", either("first", "second"))
            }
            FindingKind::DartTip => format!("the tip lies {number} outside the piece"),
            FindingKind::DartMouths => format!("the mouths of the darts overlap by {number}"),
            FindingKind::CutEnds => {
                format!("with the stitching lines matched, the cut ends lie {number} apart")
            }
            FindingKind::Allowance => {
                format!("the allowance of the {} side is deeper by {number}", either("first", "second"))
            }
            FindingKind::OffGrain => format!("stands {number} off the grain: the edge will grow"),
            FindingKind::OffSelvedge => {
                format!("lies on the selvedge, but strays {number} from the line of the grain")
            }
            FindingKind::NoGrainline => "the piece has no grainline".to_owned(),
            FindingKind::CutCount => {
                format!("{number} more of the {} are cut than of the other", either("first", "second"))
            }
            FindingKind::CutMirror => "cut left and right on one side, all alike on the other".to_owned(),
            FindingKind::NotSewn => "the edge is to be sewn, but nothing says to what".to_owned(),
            FindingKind::LevelOutside => format!("the level reaches {number} outside the piece"),
            FindingKind::LevelInDart => {
                format!("the level runs {number} into the dart: its girth here cannot be told")
            }
            FindingKind::PointOutside => format!("the point lies {number} outside the piece"),
            FindingKind::GirthChanged => {
                format!("the girth is {number} {} than when first read", either("more", "less"))
            }
        }
    }
}
