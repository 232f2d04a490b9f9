//! The colours of a length of cloth: as measured along it, or as photographed.
//!
//! ```text
//! colours = [["0m", "#31525b"], ...]  ── MeasuredColours ─┐
//! a picture and its four corners ─────── Photograph ──────┴─> Colouring::at(across, along) -> Colour
//! ```

mod colour;
mod error;
mod evened;
mod measured;
mod photograph;
mod picture_file;
mod projective;

pub use colour::Colour;
pub use error::ColourError;
pub use evened::Across;
pub use measured::MeasuredColours;
pub use photograph::{Corners, Photograph, PhotographNote, ShownCloth};

/// What colours a length of cloth has.
#[derive(Clone, Debug, PartialEq)]
pub enum Colouring {
    /// As measured along it: the same all across.
    Measured(MeasuredColours),
    /// As photographed, in order from its start; between them it is not known.
    Photographed(Vec<Photograph>),
}

impl Colouring {
    /// Adds a photograph that follows those before it.
    ///
    /// # Errors
    ///
    /// Refuses one that begins before the last one ends.
    pub fn add(pictures: &mut Vec<Photograph>, next: Photograph) -> Result<(), ColourError> {
        if let Some(before) = pictures.last()
            && next.from() < before.to() - crate::tolerance::PICTURES_OVERLAP
        {
            return Err(ColourError::PicturesOverlap { before: before.ends(), next: next.begins() });
        }
        pictures.push(next);
        Ok(())
    }

    /// The colour at a place, mm across from the left selvedge and along from the start; none where it is not known.
    #[must_use]
    pub fn at(&self, across: f64, along: f64) -> Option<Colour> {
        match self {
            Colouring::Measured(measured) => Some(measured.at(along)),
            Colouring::Photographed(pictures) => {
                let after = pictures.partition_point(|picture| picture.from() <= along);
                pictures[after.checked_sub(1)?].at(across, along)
            }
        }
    }

    /// The stretches between two places along whose colours are not known, mm.
    #[must_use]
    pub fn unknown(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        let Colouring::Photographed(pictures) = self else { return Vec::new() };
        let mut found = Vec::new();
        let mut known = from;
        for picture in pictures {
            if picture.from() > known + crate::tolerance::PICTURES_OVERLAP {
                found.push((known, picture.from().min(to)));
            }
            known = known.max(picture.to());
        }
        if to > known + crate::tolerance::PICTURES_OVERLAP {
            found.push((known, to));
        }
        found
    }
}
