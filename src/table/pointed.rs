//! A place on a piece that is pointed at, as a field says it, with what it was drawn to.

use serde::{Deserialize, Serialize};

use crate::curve::Point;
use crate::pattern::{Line, Pattern, PieceName, Place, Refusal, RefusalKind};
use crate::table::hand::refuse_beyond;
use crate::table::snap::{SnappedPlace, meant};
use crate::tolerance::MOST_HAND_REACH;

/// A place that is pointed at.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Pointing {
    /// The piece.
    pub piece: PieceName,
    /// Where, mm on the sheet.
    pub at: [f64; 2],
    /// How near it must be to what it is drawn to, mm.
    pub reach: f64,
    /// What of a field it fills in.
    pub fills: Fills,
}

/// What of a field a place fills in.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fills {
    /// All of it.
    Place,
    /// The place after those of a line, as far as that is written; the first where nothing is.
    After(String),
    /// One place of a line that is written, counted from 0.
    InPlaceOf(String, usize),
}

/// A place as it stands in a field.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pointed {
    /// What stands in the field.
    pub value: String,
    /// What the place is.
    pub says: String,
}

impl Pointing {
    /// The place, drawn to what is near.
    ///
    /// # Errors
    ///
    /// There is no such piece, or no such place in the line; the place is beyond any sheet.
    pub(super) fn pointed(&self, pattern: &Pattern) -> Result<Pointed, Refusal> {
        refuse_beyond(&self.piece, self.at)?;
        let piece = pattern.piece(&self.piece)?;
        let at = Point::new(self.at[0], self.at[1]);
        let SnappedPlace { place, says, .. } =
            meant(pattern, piece, at, self.reach.clamp(0.0, MOST_HAND_REACH));
        let value = match &self.fills {
            Fills::Place => place.to_string(),
            Fills::After(line) if line.trim().is_empty() => place.to_string(),
            Fills::After(line) => format!("{} > {place}", line.trim()),
            Fills::InPlaceOf(line, number) => self.replaced(line, *number, place)?,
        };
        Ok(Pointed { value, says })
    }

    /// A line, or a single place, with another place in place of one of its own.
    fn replaced(&self, written: &str, number: usize, by: Place) -> Result<String, Refusal> {
        if number == 0 && written.parse::<Place>().is_ok() {
            return Ok(by.to_string());
        }
        let mut line: Line = written.parse().map_err(|error| self.no_line(&error))?;
        match places_mut(&mut line).get_mut(number) {
            Some(place) => **place = by,
            None => return Err(self.no_line(&"the line has no such place")),
        }
        Ok(line.to_string())
    }

    fn no_line(&self, why: &dyn std::fmt::Display) -> Refusal {
        Refusal::new(RefusalKind::BadLine, &self.piece, why, "write the line anew, or press its places")
    }
}

/// The places by which a line is named, in its order.
pub(super) fn places(line: &Line) -> Vec<&Place> {
    match line {
        Line::Straight(places) | Line::Smooth(places) => places.iter().collect(),
        Line::Across { place, .. } | Line::Along { place } => vec![place],
        Line::Style(_) | Line::Level(_) | Line::Beside { .. } => Vec::new(),
    }
}

fn places_mut(line: &mut Line) -> Vec<&mut Place> {
    match line {
        Line::Straight(places) | Line::Smooth(places) => places.iter_mut().collect(),
        Line::Across { place, .. } | Line::Along { place } => vec![place],
        Line::Style(_) | Line::Level(_) | Line::Beside { .. } => Vec::new(),
    }
}
