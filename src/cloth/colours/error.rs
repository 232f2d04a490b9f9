//! Why colours or photographs of a cloth cannot be used.

use crate::units::Length;

/// Why colours or photographs of a cloth cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ColourError {
    /// A text that is no colour.
    #[error("`{0}` is no colour: write red, green and blue as \"#31525b\"")]
    NotAColour(String),
    /// Colours measured at fewer than two places.
    #[error("fewer than two colours tell no pattern: measure at two places or more")]
    TooFewColours,
    /// Colours that do not follow one another.
    #[error("the colour at {second} stands after the one at {first}: list them in order along the length")]
    ColoursOutOfOrder {
        /// Where the one was measured.
        first: Length,
        /// Where the next was.
        second: Length,
    },
    /// A place beyond the end of the cloth.
    #[error("{found} is beyond the end of the cloth, {length}")]
    BeyondEnd {
        /// The place.
        found: Length,
        /// How long the cloth is.
        length: Length,
    },
    /// A picture that shows no stretch of the cloth.
    #[error("the picture shows the cloth from {from} to {to}: the end must come after the start")]
    NoStretch {
        /// Where it begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// Pictures that lie over one another.
    #[error("the picture from {next} begins before the one before it ends, at {before}")]
    PicturesOverlap {
        /// Where the one ends.
        before: Length,
        /// Where the next begins.
        next: Length,
    },
    /// A file that is neither PNG nor JPEG.
    #[error("this is neither a PNG nor a JPEG picture")]
    NotAPicture,
    /// A picture that cannot be read.
    #[error("the picture cannot be read: {0}")]
    Unreadable(String),
    /// A picture of which a part is missing.
    #[error("the picture is broken or cut off: a part of it is missing")]
    CutOff,
    /// A picture with more pixels than are read.
    #[error("the picture has {width} x {height} pixels, more than is read: up to {most} million")]
    TooManyPixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
        /// The most, in millions.
        most: u64,
    },
    /// A corner of the cloth that is not in the picture.
    #[error("the {corner} corner ({x}, {y}) is not in the picture, which has {width} x {height} pixels")]
    CornerOutside {
        /// Which: `left start` and so on.
        corner: &'static str,
        /// Where it is said to be, pixels from the left.
        x: f64,
        /// Pixels from the top.
        y: f64,
        /// The picture's width.
        width: u32,
        /// Its height.
        height: u32,
    },
    /// Corners that do not go round.
    #[error("the corners cross one another, or leave no room between them")]
    CornersCross,
    /// Corners that go round the wrong way.
    #[error("the corners go round as in a mirror")]
    CornersMirrored,
    /// A picture with too few pixels for the cloth that it shows.
    #[error("the picture has one pixel for {found} of cloth, up to {most} can be used")]
    TooCoarse {
        /// How much cloth a pixel shows.
        found: Length,
        /// The most that it may show.
        most: Length,
    },
}
