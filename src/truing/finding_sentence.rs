//! What is said of a finding.

use crate::tolerance::{LEVELS_PART, SHORTAGE_TOLD};
use crate::truing::finding::TurnedFrom;
use crate::truing::{Finding, FindingKind, Measure, Weight};
use crate::units::{Length, Unit, times};

impl Finding {
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
            FindingKind::SeamNotWalked => {
                "it cannot be walked: an edge that it names is not there".to_owned()
            }
            FindingKind::SewnToNothing => "the edge is a seam but is sewn to nothing".to_owned(),
            FindingKind::WrongEnds => {
                "the wrong ends are together: the neighbouring seams or the notches say the other way"
                    .to_owned()
            }
            FindingKind::SeamLength if self.number < 0.0 => {
                format!("the second side is longer by {size} (limit {limit})")
            }
            FindingKind::SeamLength => format!("the first side is longer by {size} (limit {limit})"),
            FindingKind::NotchDrift => format!("the notch misses its partner by {size} (limit {limit})"),
            FindingKind::NotchWithoutPartner => {
                "the notch has no partner on what its edge is sewn to".to_owned()
            }
            FindingKind::Kink => match self.turned_from {
                TurnedFrom::StraightOn => {
                    format!("the edge that runs on here turns by {size} (limit {limit})")
                }
                TurnedFrom::WhatIsSewn => format!(
                    "the edge that runs on here turns by {size} more or less than what it is sewn to (limit {limit})"
                ),
            },
            FindingKind::FoldCurved => format!(
                "the fold stands off the straight line between its ends by {size} (limit {limit}): cloth folds straight"
            ),
            FindingKind::TipAtSeam => format!(
                "the tip of the dart lies {size} from this seamline (wanted {limit}): end the dart short of it, or run it out to the seam"
            ),
            FindingKind::CornerAtJoin => {
                format!("the edge turns by {size} where pieces were joined (limit {limit})")
            }
            FindingKind::DartLegs => format!("the legs of the dart differ by {size} (limit {limit})"),
            FindingKind::DartMouthsOverlap => {
                format!("the mouth lies {size} over that of the dart before it on the edge")
            }
            FindingKind::OutsidePiece => format!("it lies {size} outside its piece"),
            FindingKind::LevelOutside => format!(
                "the level ends {size} outside its piece: draw it from seamline to seamline, or its girth is in doubt"
            ),
            FindingKind::LevelsApart => {
                let limits = match self.weight {
                    Weight::Untrue => format!("limit {limit}"),
                    Weight::Warning => {
                        format!("told over {limit}, not true over {}", self.show(LEVELS_PART, unit))
                    }
                };
                format!("the ends of the level lie {size} apart when the seam is sewn ({limits})")
            }
            FindingKind::LevelInDart => format!(
                "the level runs {size} into the dart and not across it: draw it clear of the dart, its girth cannot be told"
            ),
            FindingKind::AllowanceDiffers => {
                format!("the allowances of the two sides differ by {size} (limit {limit})")
            }
            FindingKind::AllowanceNarrow => format!(
                "the seam has an allowance of {size}: less than {limit} hardly holds a stitch; set it with set-allowance"
            ),
            FindingKind::CutEnds => {
                format!("with the stitching lines matched, the cut ends lie {size} apart (limit {limit})")
            }
            FindingKind::NoCuttingLine => {
                "no cutting line can be drawn: lessen an allowance, or set another corner".to_owned()
            }
            FindingKind::AllowanceShort => {
                let way_out = match self.weight {
                    Weight::Untrue => "recut it, or set less",
                    Weight::Warning => "sew narrower, or bind",
                };
                let narrowed = narrowed(self.number, unit);
                format!("the {narrowed}, over {}, from {limit}: {way_out}", self.stretch(unit))
            }
            FindingKind::SeamlineCutOff => {
                format!("the {}, over {}", narrowed(-self.number, unit), self.stretch(unit))
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
            FindingKind::CutCount => {
                let way_out = match self.weight {
                    Weight::Warning => "look whether the fold is the middle of the piece, or a turned edge",
                    Weight::Untrue => "change the copies that are cut",
                };
                let [one, other] = [self.number, self.limit].map(|count| times(count as u32));
                format!("one side can be sewn {one}, the other {other}: {way_out}")
            }
            FindingKind::FewForArms => {
                let [is, sleeves] = [self.number, self.limit].map(|count| times(count as u32));
                format!("the piece is cut {is}, the sleeves {sleeves}: cut one for each arm")
            }
            FindingKind::LiningOnShell => {
                "the lining is sewn to the shell: sew it to the other lining".to_owned()
            }
            FindingKind::OpeningUneven => {
                let side = if self.number < 0.0 { "second" } else { "first" };
                format!(
                    "the {side} side of the opening is longer, or eased, by {size} (limit {limit}): an opening is even"
                )
            }
            FindingKind::OpenInPart => {
                format!(
                    "{size} of the {limit} edges of the seam are left open: sewn as one seam they would be closed"
                )
            }
            FindingKind::OpenOnOneSide => {
                "the edge is left open, but what it is sewn to is not open for the same".to_owned()
            }
            FindingKind::OpeningUnfaced => {
                format!("the allowance along the opening is {size}: to be faced it needs {limit}")
            }
            FindingKind::LapUnheld => {
                format!("the lap lies on an allowance of {size}: its stitching needs {limit}")
            }
            FindingKind::ButtedApart => {
                format!("the edges are sewn edge to edge, but an allowance of {size} is between them")
            }
            FindingKind::GirthChanged => {
                let way = if self.number < 0.0 { "less" } else { "more" };
                format!("the girth is {size} {way} than when the pattern was first read (limit {limit})")
            }
            FindingKind::OffOldEdge => {
                format!(
                    "laid back, it lies {size} off the old piece, and the step does not say so (limit {limit})"
                )
            }
            FindingKind::ClothDoubled => {
                format!("{size} of the old cloth overlaps in the new pieces (limit {limit})")
            }
            FindingKind::ClothMissing => {
                format!("{size} of the old cloth, darts apart, is in no new piece (limit {limit})")
            }
            FindingKind::AreaUndeclared => {
                let way = if self.number < 0.0 { "less" } else { "more" };
                format!(
                    "the pieces have {size} {way} than before, beyond what the step declares (limit {limit})"
                )
            }
            FindingKind::NotFollowed => match &self.change {
                Some(change) => change.what.clone(),
                None => format!("it no longer agrees with what it was made from: {size} off (limit {limit})"),
            },
            FindingKind::RecordBroken => {
                let what = self.change.as_ref().map_or("", |change| change.what.as_str());
                format!("the record does not lead here from the older pattern: {what}")
            }
            FindingKind::ChangedSince => match &self.change {
                Some(change) => format!("changed since: {}", change.sentence()),
                None => {
                    format!("changed since: it lies {size} off what the recorded steps give (limit {limit})")
                }
            },
        }
    }

    /// The length of the stretch.
    fn stretch(&self, unit: Unit) -> String {
        Length::from_mm(self.along.unwrap_or_default()).to_tenths().show(unit)
    }

    fn show(&self, number: f64, unit: Unit) -> String {
        match self.measure {
            Measure::Length if matches!(self.kind, FindingKind::OffOldEdge | FindingKind::ChangedSince) => {
                format!("{number:.3} mm")
            }
            Measure::Length => Length::from_mm(number).show(unit),
            Measure::Angle => format!("{number:.1}°"),
            Measure::Count => format!("{number:.0}"),
            Measure::Area => format!("{number:.1} mm²"),
        }
    }
}

/// What `check` says, and what a print says at the edge, where an allowance is short: what is left of it, mm; negative where
/// the seamline is cut off.
pub(crate) fn narrowed(left: f64, unit: Unit) -> String {
    let size = Length::from_mm(left.abs()).to_tenths().show(unit);
    match left < -SHORTAGE_TOLD {
        true => format!("seamline lies {size} outside the cloth here"),
        false => format!("allowance narrows to {size} here"),
    }
}
