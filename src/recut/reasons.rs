//! Why a step did what it tells of: the words within its sentences.

use crate::allowance::CutShape;
use crate::pattern::DeclaredKind;
use crate::units::{Length, Unit};

/// How a corner is cut that could not have the shape it was set to.
pub(super) fn instead(cut: CutShape) -> &'static str {
    match cut {
        CutShape::Mitre => "both lines run on until they meet",
        CutShape::CappedMitre => "both lines run on, and the tip is cut off",
        CutShape::Square(_) => "its end is squared",
        CutShape::TurnedUp(_) => "it is turned up",
        CutShape::IntoNeighbour(_) => "the one line ends where it runs into the other edge's allowance",
        CutShape::Jog => "each line ends square to its own seamline",
        CutShape::AtSelvedge => "it is cut off at the selvedge",
    }
}

/// Why a step has nothing to do.
#[derive(Clone, Debug, PartialEq)]
pub enum WhyNothing {
    /// The piece is no wider than asked for.
    Fits {
        /// Its width as it is cut.
        width: Length,
    },
    /// The edge has no kink there.
    RunsOn,
    /// All agree with what they were made from.
    Agrees,
    /// No piece was made of others.
    NoneDerived,
    /// The grain runs so already.
    GrainRunsSo {
        /// What it was to be set by.
        by: String,
    },
}

impl WhyNothing {
    pub(super) fn sentence(&self, unit: Unit) -> String {
        match self {
            WhyNothing::Fits { width } => format!("it is {} wide as it is cut", width.show(unit)),
            WhyNothing::Agrees => "what it was made from has not changed".to_owned(),
            WhyNothing::NoneDerived => "no piece was made of others".to_owned(),
            WhyNothing::RunsOn => "it runs on there without a kink".to_owned(),
            WhyNothing::GrainRunsSo { by } => format!("the grain runs so already, {by}"),
        }
    }
}

/// A line that a step draws across a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepLine {
    /// A seam.
    Seam,
    /// The line that a dart opens along.
    Dart,
}

impl StepLine {
    pub(super) fn word(self) -> &'static str {
        match self {
            StepLine::Seam => "seam",
            StepLine::Dart => "dart",
        }
    }
}

/// How a grainline was turned: positive degrees are clockwise as seen, y running down the sheet.
pub(super) fn turned(degrees: f64) -> String {
    const QUARTER: f64 = 90.0;
    let size = degrees.abs();
    if (size - QUARTER).abs() < 0.05 {
        return "is turned by a quarter, square to how it ran".to_owned();
    }
    let way = if degrees < 0.0 { "anticlockwise" } else { "clockwise" };
    format!("is turned {size:.1}° {way}")
}

/// Why a step added cloth (`by` is positive) or took it.
pub(super) fn reason(why: DeclaredKind, by: f64) -> &'static str {
    match why {
        DeclaredKind::LegsRedrawn => "the legs of a dart were redrawn to another tip",
        DeclaredKind::Blend => "a corner was blended",
        DeclaredKind::ShapingCarried => "shaping was carried to another edge",
        DeclaredKind::VoidFilled if by < 0.0 => "the strip lay over the other piece, and is cut once there",
        DeclaredKind::VoidFilled => "a gap between the pieces was filled",
        DeclaredKind::Made => "it was made of others",
        DeclaredKind::Trued => "a seamline was moved to true it",
        DeclaredKind::Extended => "cloth was added beyond an edge",
    }
}
