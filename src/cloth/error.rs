//! Why a cloth is none.

use crate::pattern::ClothName;
use crate::tolerance::{MOST_GROUNDS, MOST_MARKS};
use crate::units::{Length, UnitError};

/// Why a cloth, or something about it, cannot be as it is said.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ClothError {
    /// A measure that must be over nothing.
    #[error("{what} must be over zero; it is {found}")]
    NotOverNothing {
        /// What was measured.
        what: &'static str,
        /// What it is said to be.
        found: Length,
    },
    /// A measure that may not be negative.
    #[error("{what} cannot be negative; it is {found}")]
    Negative {
        /// What was measured.
        what: &'static str,
        /// What it is said to be.
        found: Length,
    },
    /// A measure beyond all cloth.
    #[error("{what} of {found} is more than can be laid out: up to {most}")]
    TooLarge {
        /// What was measured.
        what: &'static str,
        /// What it is said to be.
        found: Length,
        /// The most it may be.
        most: Length,
    },
    /// A mark lies beyond the repeat that it belongs to.
    #[error("a mark lies at {mark}, beyond the repeat of {repeat}")]
    MarkBeyondRepeat {
        /// The mark.
        mark: Length,
        /// The repeat.
        repeat: Length,
    },
    /// There are more marks than a cloth has.
    #[error("there are more than {MOST_MARKS} marks")]
    TooManyMarks,
    /// Stripes that repeat more often than any that are seen.
    #[error(
        "a repeat of {found} is finer than stripes are: from {least}; leave it out where the cloth looks plain"
    )]
    RepeatTooFine {
        /// What it is said to be.
        found: Length,
        /// The least it may be.
        least: Length,
    },
    /// More lengths and panels than can be laid on.
    #[error(
        "`{cloth}` is in {count} lengths and panels, up to {MOST_GROUNDS} can be laid on: leave the smallest out"
    )]
    TooManyGrounds {
        /// The cloth.
        cloth: ClothName,
        /// How many.
        count: usize,
    },
    /// Widths measured along the length that do not follow one another.
    #[error("the width at {second} stands after the one at {first}: list them in order along the length")]
    WidthsOutOfOrder {
        /// Where the one was measured.
        first: Length,
        /// Where the next was.
        second: Length,
    },
    /// No width at all.
    #[error("no width is given")]
    NoWidth,
    /// A flaw that does not lie on the cloth.
    #[error(
        "the flaw reaches from {from} to {to} {way}, the cloth there only to {limit}: say where on it the flaw lies"
    )]
    FlawOutside {
        /// Which way it reaches out: `across` or `along`.
        way: &'static str,
        /// Where it begins.
        from: Length,
        /// Where it ends.
        to: Length,
        /// Where the cloth ends.
        limit: Length,
    },
    /// Stripes marked one by one that are too few to lie between.
    #[error(
        "fewer than two marks repeat nothing: mark at least two places where the pattern of the cloth is the same"
    )]
    TooFewMarks,
    /// Marks of which each has a word of its own.
    #[error(
        "each mark has a word of its own, so that none meets another: say the same word where the colour is the same"
    )]
    NoWordTwice,
    /// Marks that do not follow one another.
    #[error("the mark at {second} comes after the one at {first}; list them in order, each once")]
    MarksOutOfOrder {
        /// The one.
        first: Length,
        /// The next.
        second: Length,
    },
    /// Two sets of stripes that run the same way.
    #[error("two sets of stripes run along the {0}: give one for each way")]
    StripesTwice(&'static str),
    /// A panel whose outline crosses itself or encloses nothing.
    #[error("the outline of the panel {0}")]
    BadPanel(&'static str),
    /// A cloth with neither length nor panels.
    #[error("the cloth has neither a width and length nor panels")]
    NoCloth,
    /// A size that is not written as one.
    #[error("`{0}` is no size of a cloth: write its width and length, \"37cm x 11.4m\"")]
    NotASize(String),
    /// A part of a size that is no length.
    #[error(transparent)]
    Unit(#[from] UnitError),
}
