//! `fit-cloth`: the width that a step keeps, worked out from the cloth before the step is made.
//!
//! The steps themselves know widths only. Those that have one take a cloth in its place, on the command line and in a
//! recipe; the record keeps the width that came of it.

use serde_json::Value;

use crate::cloth::Stock;
use crate::cloth::fit::FitError;
use crate::cloth::kept_width::{self, EdgeBecomes, KeptWidth};
use crate::pattern::{Pattern, PieceName};
use crate::recut::Step;
use crate::units::{Length, Unit};

/// The field.
pub const FIELD: &str = "fit-cloth";

/// The width that each operation has which can take a cloth in its place.
pub const WIDTH_FIELDS: [(&str, &str); 2] = [("move-seam", "to-width"), ("limit-width", "width")];

/// The name of the width of an operation, if it can take a cloth in its place.
#[must_use]
pub fn width_field(operation: &str) -> Option<&'static str> {
    WIDTH_FIELDS.iter().find(|(name, _)| *name == operation).map(|(_, field)| *field)
}

/// A step as data, with the cloth that gives its width in place of that width, where one does.
#[must_use]
pub fn value_with_cloth(step: &Step, cloth: Option<&str>) -> Value {
    let mut value = step.to_value();
    if let (Some(cloth), Some(width), Some(fields)) = (cloth, width_field(step.name()), value.as_object_mut())
    {
        fields.remove(width);
        fields.insert(FIELD.to_owned(), cloth.into());
    }
    value
}

/// A width that came from a cloth.
#[derive(Clone, Debug)]
pub struct FittedWidth {
    piece: PieceName,
    gives: f64,
    keeps: f64,
}

/// The step with the width that a cloth gives it; none for an operation that takes no cloth.
///
/// # Errors
///
/// The cloth has no room for the piece.
pub fn fitted(
    step: &Step,
    pattern: &Pattern,
    stock: &Stock,
) -> Result<Option<(Step, FittedWidth)>, FitError> {
    Ok(Some(match step {
        Step::MoveSeam(step) => {
            let new = match step.is_lapped_on_selvedge() {
                true => EdgeBecomes::FreeOnSelvedge,
                false => EdgeBecomes::AsItWas,
            };
            let kept = kept_width::kept_beside(pattern, stock, &step.seam, &step.from, new)?;
            let fitted = FittedWidth::new(step.from.clone(), kept);
            let mut step = step.clone();
            step.to_width = Some(Length::from_mm(kept.keeps).into());
            (step.into(), fitted)
        }
        Step::LimitWidth(step) => {
            let fitted = given_width(pattern, stock, &step.piece)?;
            let mut step = step.clone();
            step.width = fitted.gives().into();
            (step.into(), fitted)
        }
        _ => return Ok(None),
    }))
}

/// The width that a cloth gives a piece, which keeps all of it.
///
/// # Errors
///
/// Refuses a piece whose cloth is not at hand, or is not as long as the piece.
pub fn given_width(pattern: &Pattern, stock: &Stock, piece: &PieceName) -> Result<FittedWidth, FitError> {
    let gives = kept_width::widest_panel(pattern, stock, piece)?;
    Ok(FittedWidth { piece: piece.clone(), gives, keeps: gives })
}

impl FittedWidth {
    /// The width that a piece keeps of a cloth.
    #[must_use]
    pub fn new(piece: PieceName, kept: KeptWidth) -> FittedWidth {
        FittedWidth { piece, gives: kept.gives, keeps: kept.keeps }
    }

    /// The width of the cloth.
    #[must_use]
    pub fn gives(&self) -> Length {
        Length::from_mm(self.gives)
    }

    /// What is to be known of it.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        format!("the cloth gives `{}` {}: a width of {}", self.piece, show(self.gives), show(self.keeps))
    }

    /// What is to be looked at twice: that the piece as it is cut after the step is still wider than the cloth, since
    /// something of it reaches out beyond the seam.
    #[must_use]
    pub fn warning(&self, after: &Pattern, unit: Unit) -> Option<String> {
        let width = kept_width::wider_than(after, &self.piece, self.gives)?;
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        Some(format!(
            "`{}` is still {} wide as it is cut, {} more than the cloth: look at the allowances beside the seam",
            self.piece,
            show(width),
            show(width - self.gives)
        ))
    }
}
