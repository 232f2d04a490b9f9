//! Colours as measured along a length of cloth.

use crate::cloth::colours::{Colour, ColourError};
use crate::units::Length;

/// Colours at places along the length: between two of them they run evenly from one to the other (in L*a*b*), before the
/// first and after the last they are as there.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredColours {
    /// Places, mm from the start, in order.
    measured: Vec<(f64, Colour)>,
}

impl MeasuredColours {
    /// Colours from places along a cloth of a length, mm.
    ///
    /// # Errors
    ///
    /// Refuses fewer than two, places that do not follow one another, and those that are not on the cloth.
    pub fn new(
        colours: impl IntoIterator<Item = (Length, Colour)>,
        length: f64,
    ) -> Result<MeasuredColours, ColourError> {
        let mut measured: Vec<(f64, Colour)> = Vec::new();
        for (found, colour) in colours {
            let at = found.mm();
            if !(0.0..=length).contains(&at) {
                return Err(ColourError::BeyondEnd { found, length: Length::from_mm(length) });
            }
            if let Some((before, _)) = measured.last()
                && *before >= at
            {
                return Err(ColourError::ColoursOutOfOrder {
                    first: Length::from_mm(*before),
                    second: found,
                });
            }
            measured.push((at, colour));
        }
        if measured.len() < 2 { Err(ColourError::TooFewColours) } else { Ok(MeasuredColours { measured }) }
    }

    /// The colour at a place along.
    #[must_use]
    pub fn at(&self, along: f64) -> Colour {
        let after = self.measured.partition_point(|(at, _)| *at <= along);
        let last = self.measured.len() - 1;
        let (from, colour) = self.measured[after.saturating_sub(1)];
        let (to, next) = self.measured[after.min(last)];
        if to > from && after > 0 { colour.toward(next, (along - from) / (to - from)) } else { colour }
    }
}
