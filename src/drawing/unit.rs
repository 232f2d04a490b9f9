//! How large a unit of a drawing is: as the file states it, as the user says, or as something of known length shows.

use crate::units::MM_PER_INCH;

/// How millimetres were found.
#[derive(Clone, Debug, PartialEq)]
pub enum UnitSource {
    /// The file states a physical size.
    Stated {
        /// Millimetres in one user unit of the root, or of the first page.
        mm_per_unit: f64,
    },
    /// It was said with the drawing what a unit is.
    Told {
        /// The unit given.
        unit: UserUnit,
        /// Millimetres in one user unit of the root, or of the first page.
        mm_per_unit: f64,
        /// What the file itself states, where it states anything.
        stated: Option<f64>,
    },
    /// Something of known length was measured.
    Measured {
        /// Id of what was measured.
        element: String,
        /// Its length in user units of the root.
        measured: f64,
        /// Its true length in mm.
        length_mm: f64,
        /// Millimetres in one user unit of the root, or of the first page.
        mm_per_unit: f64,
        /// What the file itself states, where it states anything.
        stated: Option<f64>,
    },
}

impl UnitSource {
    /// Millimetres in one user unit of the root, or of the first page.
    #[must_use]
    pub fn mm_per_unit(&self) -> f64 {
        match self {
            Self::Stated { mm_per_unit }
            | Self::Told { mm_per_unit, .. }
            | Self::Measured { mm_per_unit, .. } => *mm_per_unit,
        }
    }
}

/// What one user unit of a drawing without a physical size stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UserUnit {
    /// A millimetre.
    Mm,
    /// A centimetre.
    Cm,
    /// An inch.
    In,
    /// A pixel of the screen, 96 to the inch; width against `viewBox` counts as on a screen.
    Px,
    /// A printer's point, 72 to the inch.
    Pt,
}

impl UserUnit {
    /// Millimetres in one unit.
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::In => MM_PER_INCH,
            Self::Px => MM_PER_INCH / 96.0,
            Self::Pt => MM_PER_INCH / 72.0,
        }
    }
}

/// Something of known length in the drawing: a line, or a square by its side.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Id of the element.
    pub element: String,
    /// Its true length in mm: along it where it is open, else of its longest straight side.
    pub length_mm: f64,
}

/// How to read a drawing that does not say its own size. Given, either overrides what the file
/// states ([`UnitSource`] tells both); `known` goes before `unit`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadOptions {
    /// What a user unit is.
    pub unit: Option<UserUnit>,
    /// An element of known length.
    pub known: Option<Known>,
}
