//! What can be wrong with geometry that was asked for.

use kurbo::Point;

/// Why a curve, outline or motion could not be made. Lengths are millimetres.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CurveError {
    /// Nothing is left once segments without length are dropped.
    #[error("the curve has no length")]
    Empty,
    /// A coordinate is infinite or not a number.
    #[error("a coordinate is not a finite number")]
    NotFinite,
    /// A coordinate lies over [`crate::tolerance::LARGEST_COORDINATE`].
    #[error("the point ({:.1}, {:.1}) lies too far out", point.x, point.y)]
    TooFar {
        /// The point that lies too far out.
        point: Point,
    },
    /// Two ends that should meet do not.
    #[error("a gap of {:.4} mm between ({:.3}, {:.3}) and ({:.3}, {:.3})", gap, from.x, from.y, to.x, to.y)]
    Gap {
        /// Where the earlier curve ends.
        from: Point,
        /// Where the later curve begins.
        to: Point,
        /// The distance between the two.
        gap: f64,
    },
    /// A path that should be one run has this many.
    #[error("the path has {count} separate runs, not one")]
    SeveralRuns {
        /// How many runs there are.
        count: usize,
    },
    /// A stretch was asked for that the curve does not have.
    #[error("no stretch from {from:.4} to {to:.4} mm on a curve of {length:.4} mm")]
    OutOfRange {
        /// Where the stretch should begin.
        from: f64,
        /// Where the stretch should end.
        to: f64,
        /// The length of the curve.
        length: f64,
    },
    /// A blend would reach beyond the curve that it rounds.
    #[error("a blend of {reach:.3} mm on a curve of {available:.3} mm")]
    ReachTooLong {
        /// How far the blend should reach.
        reach: f64,
        /// The length of the shorter curve.
        available: f64,
    },
    /// A measure lies outside what makes sense for it.
    #[error("{value} mm cannot serve as {what}")]
    BadMeasure {
        /// What the measure is for.
        what: MeasureKind,
        /// The value given.
        value: f64,
    },
    /// Two points that should give a direction are one point.
    #[error("no direction at ({:.3}, {:.3})", at.x, at.y)]
    NoDirection {
        /// The point given twice.
        at: Point,
    },
    /// Six numbers that are not a turn, shift and mirror.
    #[error("the motion changes size or shape by {off_by:.2e}")]
    NotRigid {
        /// How far an entry is from that of a rigid motion.
        off_by: f64,
    },
    /// No parallel curve could be made at this distance.
    #[error("no parallel curve at {distance:.3} mm")]
    NoOffset {
        /// The distance asked for.
        distance: f64,
    },
    /// A raw outline could not be untangled.
    #[error("the outline could not be untangled")]
    NotTrimmed,
}

/// What a measure in [`CurveError::BadMeasure`] was for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeasureKind {
    /// An accuracy.
    Accuracy,
    /// A distance of a parallel curve.
    Distance,
    /// The reach of a blend.
    Reach,
    /// A wished length.
    Length,
    /// How far a blend may leave its corner.
    Departure,
}

impl std::fmt::Display for MeasureKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            MeasureKind::Accuracy => "an accuracy",
            MeasureKind::Distance => "a distance",
            MeasureKind::Reach => "the reach of a blend",
            MeasureKind::Length => "a length",
            MeasureKind::Departure => "a departure from a corner",
        })
    }
}
