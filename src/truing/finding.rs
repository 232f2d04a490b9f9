//! Findings: what is not true, as data.

use serde::Serialize;

use crate::advice;
use crate::pattern::{Advice, Field, Operation};
use crate::tolerance::{LEAST_LEFT, LEAST_SHARE_LEFT};
use crate::truing::{SaidOtherwise, SeamLimit, Weight};
use crate::units::Length;

/// What is not true.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FindingKind {
    /// A seam cannot be walked: it names what is not there.
    SeamNotWalked,
    /// An edge that is to be sewn is sewn to nothing, and nothing says that this is meant.
    SewnToNothing,
    /// A seam is sewn with the wrong ends together: the neighbouring seams or the notches say the other way.
    WrongEnds,
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
    /// The ends of a level on the two sides of a seam do not meet when it is sewn.
    LevelsApart,
    /// A level runs into a dart and does not come out at its other leg, so that its girth here cannot be told.
    LevelInDart,
    /// The allowances along the two sides of a seam differ.
    AllowanceDiffers,
    /// A seam has hardly any allowance, where others of the pattern have theirs.
    AllowanceNarrow,
    /// The cutting lines of a seam's two sides do not end alike when the stitching lines are matched.
    CutEnds,
    /// A piece has no cutting line: an allowance cannot be cut, or a corner cannot have its shape.
    NoCuttingLine,
    /// The cutting line stands nearer to a seamline than its allowance: in a hollow, at a corner, or where the cloth ends at
    /// the selvedge.
    AllowanceShort,
    /// A seamline stands beyond the cutting line, as where there is no cloth beyond a selvedge.
    SeamlineCutOff,
    /// An edge that should run along the grain does not.
    OffGrain,
    /// An edge that must lie on the selvedge is not straight along the grain.
    OffSelvedge,
    /// A piece has no grainline.
    MissingGrainline,
    /// The two sides of a seam are not cut equally often.
    CutCount,
    /// Fewer are cut of a piece that lies on each arm than of the sleeves.
    FewForArms,
    /// A seam joins pieces that are cut left and right to pieces that are cut all alike.
    CutMirror,
    /// A lining is sewn to the shell where it should be sewn to another lining.
    LiningOnShell,
    /// A derived piece is not what would be made now of what it was made from.
    NotFollowed,
    /// The two sides of an opening differ in length.
    OpeningUneven,
    /// Some edges of a seam are left open, and some are not: it would be sewn up with them.
    OpenInPart,
    /// An edge is left open, and what it is sewn to is not, or for something else.
    OpenOnOneSide,
    /// The allowance along an opening is too narrow to face it with.
    OpeningUnfaced,
    /// The allowance beneath a lap is too narrow for its stitching.
    LapUnheld,
    /// Edges that are sewn edge to edge have an allowance, which would keep them apart.
    ButtedApart,
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
    /// The record does not lead from the older pattern to this one.
    RecordBroken,
    /// What is on the sheet is not what the recorded steps give.
    ChangedSince,
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

/// Something that is not true.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// What.
    pub kind: FindingKind,
    /// Where: a seam, an edge, a dart, a notch, a piece or a level.
    pub at: String,
    /// By how much, mm or degrees; as measured, never negative zero or less where it has no sign.
    pub number: f64,
    /// What would be allowed.
    pub limit: f64,
    /// What the two numbers measure.
    pub measure: Measure,
    /// How heavy it is.
    pub weight: Weight,
    /// Along how much of the edge, mm, where that is part of it.
    #[serde(skip)]
    pub along: Option<f64>,
    /// What it says otherwise than it should, where that is no number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub change: Option<SaidOtherwise>,
    /// What the turn of a kink is measured from.
    #[serde(skip)]
    pub(super) turned_from: TurnedFrom,
    /// The way out, where it is another than that of the kind.
    #[serde(skip)]
    mended_by: Option<Advice>,
}

/// What the turn of a kink is measured from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum TurnedFrom {
    /// A line that runs straight on.
    #[default]
    StraightOn,
    /// The line that it is sewn to.
    WhatIsSewn,
}

impl Finding {
    /// A finding that is told by its number alone.
    fn new(
        kind: FindingKind,
        at: String,
        number: f64,
        limit: f64,
        measure: Measure,
        weight: Weight,
    ) -> Finding {
        let turned_from = TurnedFrom::StraightOn;
        Finding {
            kind,
            at,
            number,
            limit,
            measure,
            weight,
            along: None,
            change: None,
            turned_from,
            mended_by: None,
        }
    }

    /// A length over its limit, mm.
    pub(super) fn of_length(
        kind: FindingKind,
        at: String,
        number: f64,
        limit: impl Into<SeamLimit>,
    ) -> Finding {
        let limit = limit.into();
        Finding::new(kind, at, number, limit.mm(), Measure::Length, limit.weight(number))
    }

    /// A seam that cannot be walked.
    pub(super) fn of_unwalked(at: String) -> Finding {
        Finding::new(FindingKind::SeamNotWalked, at, 0.0, 0.0, Measure::Count, Weight::Untrue)
    }

    /// An angle over its limit, degrees.
    pub(super) fn of_angle(
        kind: FindingKind,
        at: String,
        number: f64,
        limit: f64,
        weight: Weight,
    ) -> Finding {
        Finding::new(kind, at, number, limit, Measure::Angle, weight)
    }

    /// A count that should be another.
    pub(crate) fn of_count(
        kind: FindingKind,
        at: String,
        number: u32,
        should: u32,
        weight: Weight,
    ) -> Finding {
        Finding::new(kind, at, number.into(), should.into(), Measure::Count, weight)
    }

    /// A length over a law's limit, mm: it stands in the way of cutting.
    pub(crate) fn of_law(kind: FindingKind, at: String, number: f64, limit: Length) -> Finding {
        Finding::new(kind, at, number, limit.mm(), Measure::Length, Weight::Untrue)
    }

    /// An area over its limit, mm².
    pub(crate) fn of_area(kind: FindingKind, at: String, number: f64, limit: f64) -> Finding {
        Finding::new(kind, at, number, limit, Measure::Area, Weight::Untrue)
    }

    /// What is left of an allowance, mm, beside the one that was asked for, along a stretch of its edge: untrue where it is
    /// too little to be sewn.
    pub(super) fn of_shortage(at: String, left: f64, asked: Length, along: Length) -> Finding {
        let enough = left >= LEAST_LEFT && left >= LEAST_SHARE_LEFT * asked.mm();
        let weight = if enough { Weight::Warning } else { Weight::Untrue };
        let kind = FindingKind::AllowanceShort;
        let along = Some(along.mm());
        Finding { along, ..Finding::new(kind, at, left, asked.mm(), Measure::Length, weight) }
    }

    /// An allowance that is too narrow as it is written, mm.
    pub(super) fn of_narrow(at: String, allowance: f64) -> Finding {
        let kind = FindingKind::AllowanceNarrow;
        Finding::new(kind, at, allowance, LEAST_LEFT, Measure::Length, Weight::Warning)
    }

    /// How far a seamline stands beyond its cutting line, mm, along a stretch of its edge.
    pub(super) fn of_cut_off(at: String, by: f64, along: Length) -> Finding {
        let along = Some(along.mm());
        Finding { along, ..Finding::of_law(FindingKind::SeamlineCutOff, at, by, Length::ZERO) }
    }

    /// Something that says otherwise than it should.
    pub(crate) fn of_change(kind: FindingKind, at: String, change: SaidOtherwise) -> Finding {
        let finding = Finding::of_count(kind, at, 1, 0, Weight::Untrue);
        Finding { change: Some(change), ..finding }
    }

    /// The same finding of a turn, measured from what the edges are sewn to.
    pub(super) fn beside_what_is_sewn(self) -> Finding {
        Finding { turned_from: TurnedFrom::WhatIsSewn, ..self }
    }

    /// The same finding with a way out of its own.
    pub(super) fn mended_by(self, way_out: Option<Advice>) -> Finding {
        Finding { mended_by: way_out, ..self }
    }

    /// The same finding as a warning.
    pub(super) fn into_warning(self) -> Finding {
        Finding { weight: Weight::Warning, ..self }
    }

    /// How large the fault is, in what the number measures: of a shortage, what is lacking.
    #[must_use]
    pub fn fault(&self) -> f64 {
        match self.kind {
            FindingKind::AllowanceShort
            | FindingKind::AllowanceNarrow
            | FindingKind::OpeningUnfaced
            | FindingKind::LapUnheld => self.limit - self.number,
            _ => self.number.abs(),
        }
    }

    /// Whether it is only told because it is within the mismatch usually tolerated along a seam, 1/16 in; never where a
    /// limit was given.
    #[must_use]
    pub fn is_tolerated(&self) -> bool {
        let sort = matches!(
            self.kind,
            FindingKind::SeamLength
                | FindingKind::NotchDrift
                | FindingKind::AllowanceDiffers
                | FindingKind::CutEnds
                | FindingKind::OpeningUneven
        );
        sort && self.weight == Weight::Warning
    }

    /// What the user can do about it, where an operation helps.
    #[must_use]
    pub fn way_out(&self) -> Option<Advice> {
        if self.mended_by.is_some() {
            return self.mended_by.clone();
        }
        match self.kind {
            FindingKind::CornerAtJoin => {
                Some(advice!("smooth it with ", Operation::TrueSeam, ", ", Field::Smooth))
            }
            FindingKind::SewnToNothing => Some(advice!(
                "say what it is sewn to, or that it is meant: ",
                Operation::SetEdge.with(Field::Edge, &self.at).with(Field::SewnTo, "nothing")
            )),
            FindingKind::NotFollowed => {
                Some(advice!("make it anew: ", Operation::Follow.with(Field::Piece, &self.at)))
            }
            FindingKind::Kink => Some(advice!(
                "where a point is meant, say so with ",
                Operation::SetCorner,
                ", ",
                Field::Shape.set("point")
            )),
            _ => None,
        }
    }
}
