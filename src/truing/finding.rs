//! Findings: what is not true, as data.

use serde::{Serialize, Serializer};

use crate::advice;
use crate::pattern::{Advice, Field, Operation};
use crate::tolerance::TOLERATED_MISMATCH;
use crate::units::{Length, Unit};

/// What is not true.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FindingKind {
    /// A seam cannot be walked: it names what is not there.
    SeamNotWalked,
    /// The two sides of a seam differ in length, darts and declared ease apart.
    SeamLength,
    /// A notch does not meet its partner.
    NotchDrift,
    /// A notch has no partner on what its edge is sewn to.
    NotchWithoutPartner,
    /// An edge that runs on across a seam, a fold or a closed dart turns there.
    Kink,
    /// A fold is not straight.
    FoldCurved,
    /// The tip of a dart lies so near to the seamline of another edge that it is caught in the seam.
    TipAtSeam,
    /// An edge turns where pieces were joined, in the middle of a line that one seam or hem runs over.
    CornerAtJoin,
    /// The legs of a dart differ in length.
    DartLegs,
    /// The mouths of two darts lie over one another.
    DartMouthsOverlap,
    /// A dart's tip or a point lies outside its piece.
    OutsidePiece,
    /// The end of a level lies outside its piece.
    LevelOutside,
    /// A level runs into a dart and does not come out at its other leg, so that its girth here cannot be told.
    LevelInDart,
    /// The allowances along the two sides of a seam differ.
    AllowanceDiffers,
    /// The cutting lines of a seam's two sides do not end alike when the stitching lines are matched.
    CutEnds,
    /// A piece has no cutting line: an allowance cannot be cut, or a corner cannot have its shape.
    NoCuttingLine,
    /// An allowance has no room: in a hollow, or where the cloth ends at the selvedge.
    AllowanceTrimmed,
    /// A seamline stands beyond the selvedge, where there is no cloth.
    BeyondSelvedge,
    /// An edge that should run along the grain does not.
    OffGrain,
    /// An edge that must lie on the selvedge is not straight along the grain.
    OffSelvedge,
    /// A piece has no grainline.
    MissingGrainline,
    /// The two sides of a seam are not cut equally often.
    CutCount,
    /// A seam joins pieces that are cut left and right to pieces that are cut all alike.
    CutMirror,
    /// The girth changed since the pattern was first read, and no step declares it.
    GirthChanged,
    /// Laid back onto the piece it was cut from, an edge does not lie on the old one, and no step declares it.
    OffOldEdge,
    /// Cloth of an old piece lies twice in the new ones.
    ClothDoubled,
    /// Cloth of an old piece is in no new one, and was in no dart.
    ClothMissing,
    /// The area of the pieces changed, and no step declares it.
    AreaUndeclared,
    /// What is drawn is not what the recorded steps give.
    DrawnByHand,
}

/// What the number of a finding measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// A length, mm.
    Length,
    /// An angle, degrees.
    Angle,
    /// A count.
    Count,
    /// An area, mm².
    Area,
}

/// How heavy a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// The pattern does not true up.
    Untrue,
    /// The user should look twice.
    Warning,
}

/// Something that is not true.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// What.
    pub kind: FindingKind,
    /// Where: a seam, an edge, a dart, a notch, a piece or a level.
    pub at: String,
    /// By how much, mm or degrees; as measured, never negative zero or less where it has no sign.
    #[serde(serialize_with = "rounded")]
    pub number: f64,
    /// What would be allowed.
    pub limit: f64,
    /// What the two numbers measure.
    pub measure: Measure,
    /// How heavy it is.
    pub weight: Weight,
}

/// Decimals of a number in data: a thousandth of a tenth of what sewing can show.
const DECIMALS: f64 = 1e6;

fn rounded<S: Serializer>(number: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64((number * DECIMALS).round() / DECIMALS)
}

impl Finding {
    /// A length over its limit, mm; only a warning within 1/16 in where it is of a sort that is tolerated so far.
    pub(super) fn of_length(kind: FindingKind, at: String, number: f64, limit: Length) -> Finding {
        let finding =
            Finding { kind, at, number, limit: limit.mm(), measure: Measure::Length, weight: Weight::Untrue };
        let weight = if finding.is_tolerated() { Weight::Warning } else { Weight::Untrue };
        Finding { weight, ..finding }
    }

    /// A seam that cannot be walked.
    pub(super) fn of_unwalked(at: String) -> Finding {
        let kind = FindingKind::SeamNotWalked;
        Finding { kind, at, number: 0.0, limit: 0.0, measure: Measure::Count, weight: Weight::Untrue }
    }

    /// An angle over its limit, degrees.
    pub(super) fn of_angle(
        kind: FindingKind,
        at: String,
        number: f64,
        limit: f64,
        weight: Weight,
    ) -> Finding {
        Finding { kind, at, number, limit, measure: Measure::Angle, weight }
    }

    /// A count that should be another.
    pub(crate) fn of_count(
        kind: FindingKind,
        at: String,
        number: u32,
        should: u32,
        weight: Weight,
    ) -> Finding {
        Finding { kind, at, number: number.into(), limit: should.into(), measure: Measure::Count, weight }
    }

    /// A length over a law's limit, mm: it stands in the way of cutting.
    pub(crate) fn of_law(kind: FindingKind, at: String, number: f64, limit: Length) -> Finding {
        Finding { kind, at, number, limit: limit.mm(), measure: Measure::Length, weight: Weight::Untrue }
    }

    /// An area over its limit, mm².
    pub(crate) fn of_area(kind: FindingKind, at: String, number: f64, limit: f64) -> Finding {
        Finding { kind, at, number, limit, measure: Measure::Area, weight: Weight::Untrue }
    }

    /// A length to look at, mm, beside the one that was asked for.
    pub(super) fn of_room(at: String, number: f64, asked: Length) -> Finding {
        Finding {
            kind: FindingKind::AllowanceTrimmed,
            at,
            number,
            limit: asked.mm(),
            measure: Measure::Length,
            weight: Weight::Warning,
        }
    }

    /// The same finding as a warning.
    pub(super) fn into_warning(self) -> Finding {
        Finding { weight: Weight::Warning, ..self }
    }

    /// Whether it is within the mismatch usually tolerated along a seam, 1/16 in.
    #[must_use]
    pub fn is_tolerated(&self) -> bool {
        let sort = matches!(
            self.kind,
            FindingKind::SeamLength
                | FindingKind::NotchDrift
                | FindingKind::AllowanceDiffers
                | FindingKind::CutEnds
        );
        sort && self.number.abs() <= TOLERATED_MISMATCH
    }

    /// What the user can do about it, where an operation helps.
    #[must_use]
    pub fn way_out(&self) -> Option<Advice> {
        match self.kind {
            FindingKind::CornerAtJoin => {
                Some(advice!("smooth it with ", Operation::TrueSeam, ", ", Field::Smooth))
            }
            FindingKind::TipAtSeam => Some(advice!("to run it out: ", Operation::DartToSeam)),
            _ => None,
        }
    }

    /// The sentence for it, lengths in the user's unit.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let tolerated = if self.is_tolerated() { "; within 1/16 in" } else { "" };
        format!("{}: {}{tolerated}", self.at, self.what(unit))
    }

    fn what(&self, unit: Unit) -> String {
        let size = self.show(self.number.abs(), unit);
        let limit = self.show(self.limit, unit);
        match self.kind {
            FindingKind::SeamNotWalked => "it cannot be walked: an edge that it names is not there".to_owned(),
            FindingKind::SeamLength if self.number < 0.0 => {
                format!("the second side is longer by {size} (limit {limit})")
            }
            FindingKind::SeamLength => format!("the first side is longer by {size} (limit {limit})"),
            FindingKind::NotchDrift => format!("the notch misses its partner by {size} (limit {limit})"),
            FindingKind::NotchWithoutPartner => {
                "the notch has no partner on what its edge is sewn to".to_owned()
            }
            FindingKind::Kink if self.weight == Weight::Warning => {
                format!("the edge comes to a point of {size} here: leave it where it is meant")
            }
            FindingKind::Kink => format!("the edge that runs on here turns by {size} (limit {limit})"),
            FindingKind::FoldCurved => format!(
                "the fold stands off the straight line between its ends by {size} (limit {limit}): cloth folds straight"
            ),
            FindingKind::TipAtSeam => format!(
                "the tip of the dart lies {size} from this seamline (wanted {limit}): end the dart short of it, or run it out to the seam"
            ),
            FindingKind::CornerAtJoin => format!(
                "the edge turns by {size} where pieces were joined (limit {limit})"
            ),
            FindingKind::DartLegs => format!("the legs of the dart differ by {size} (limit {limit})"),
            FindingKind::DartMouthsOverlap => {
                format!("the mouth lies {size} over that of the dart before it on the edge")
            }
            FindingKind::OutsidePiece => format!("it lies {size} outside its piece"),
            FindingKind::LevelOutside => format!(
                "the level ends {size} outside its piece: draw it from seamline to seamline, or its girth is in doubt"
            ),
            FindingKind::LevelInDart => format!(
                "the level runs {size} into the dart and not across it: draw it clear of the dart, its girth cannot be told"
            ),
            FindingKind::AllowanceDiffers => {
                format!("the allowances of the two sides differ by {size} (limit {limit})")
            }
            FindingKind::CutEnds => {
                format!("with the stitching lines matched, the cut ends lie {size} apart (limit {limit})")
            }
            FindingKind::NoCuttingLine => {
                "no cutting line can be drawn: lessen an allowance, or set another corner".to_owned()
            }
            FindingKind::AllowanceTrimmed => {
                format!("there is room for {size} of its allowance of {limit}: sew it so, or bind it")
            }
            FindingKind::BeyondSelvedge => {
                format!("the seamline stands {size} beyond the selvedge, where there is no cloth")
            }
            FindingKind::OffGrain => {
                format!("the edge stands {size} off the grain and will grow (limit {limit})")
            }
            FindingKind::OffSelvedge => format!(
                "the edge is to lie on the selvedge but strays {size} from a straight line along the grain (limit {limit})"
            ),
            FindingKind::CutMirror => {
                "one side is cut left and right, the other all alike: cut both left and right".to_owned()
            }
            FindingKind::MissingGrainline => "the piece has no grainline".to_owned(),
            FindingKind::CutCount if self.weight == Weight::Warning => {
                format!(
                    "one side can be sewn {size} times, the other {limit}: so it must be, if the fold is a turned edge"
                )
            }
            FindingKind::CutCount => {
                format!(
                    "one side can be sewn {size} times, the other {limit}: change the copies that are cut"
                )
            }
            FindingKind::GirthChanged => {
                let way = if self.number < 0.0 { "less" } else { "more" };
                format!("the girth is {size} {way} than when the pattern was first read (limit {limit})")
            }
            FindingKind::OffOldEdge => {
                format!("laid back, it lies {size} off the old piece, and the step does not say so (limit {limit})")
            }
            FindingKind::ClothDoubled => {
                format!("{size} of the old cloth lies twice in the new pieces (limit {limit})")
            }
            FindingKind::ClothMissing => {
                format!("{size} of the old cloth, darts apart, is in no new piece (limit {limit})")
            }
            FindingKind::AreaUndeclared => {
                let way = if self.number < 0.0 { "less" } else { "more" };
                format!("the pieces have {size} {way} than before, beyond what the step declares (limit {limit})")
            }
            FindingKind::DrawnByHand if self.measure == Measure::Count => {
                "what the recorded steps give and what is drawn do not both have it: the drawing was changed since"
                    .to_owned()
            }
            FindingKind::DrawnByHand => format!(
                "it lies {size} off what the recorded steps give: the drawing was changed since (limit {limit})"
            ),
        }
    }

    fn show(&self, number: f64, unit: Unit) -> String {
        match self.measure {
            Measure::Length if matches!(self.kind, FindingKind::OffOldEdge | FindingKind::DrawnByHand) => {
                format!("{number:.3} mm")
            }
            Measure::Length => Length::from_mm(number).show(unit),
            Measure::Angle => format!("{number:.1}°"),
            Measure::Count => format!("{number:.0}"),
            Measure::Area => format!("{number:.1} mm²"),
        }
    }
}
