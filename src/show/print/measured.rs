//! A printer that is off, told by what its bars measured.

use std::fmt;
use std::str::FromStr;

use kurbo::Vec2;

use crate::units::{Length, TIMES};

/// The most that a bar may be off, as a share: more is a printer that was told to fit the page, which no correction
/// mends.
const MOST_OFF: f64 = 0.05;

/// What printed bars measured: `100mm=99.2mm x 100.3mm`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    bar: Length,
    across: Length,
    down: Length,
}

/// Why a text does not tell what bars measured.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeasuredError {
    /// It is not written so.
    #[error(
        "`{0}` does not tell what the bars measured: write \"100mm=99.2mm x 100.3mm\", across first, then down"
    )]
    Form(String),
    /// The printer was told to scale.
    #[error(
        "a bar of {bar} that measures {found} was scaled by the printer: print again at 100 % (\"actual size\") before \
         you measure"
    )]
    Scaled {
        /// What it should be.
        bar: Length,
        /// What it was.
        found: Length,
    },
}

impl FromStr for Measured {
    type Err = MeasuredError;

    fn from_str(text: &str) -> Result<Measured, MeasuredError> {
        let wrong = || MeasuredError::Form(text.to_owned());
        let length = |text: &str| text.parse::<Length>().ok().filter(|length| length.mm() > 0.0);
        let (bar, found) = text.split_once('=').ok_or_else(wrong)?;
        let (across, down) = found.split_once(TIMES).unwrap_or((found, found));
        let measured = Measured {
            bar: length(bar).ok_or_else(wrong)?,
            across: length(across).ok_or_else(wrong)?,
            down: length(down).ok_or_else(wrong)?,
        };
        for found in [measured.across, measured.down] {
            if (found.mm() / measured.bar.mm() - 1.0).abs() > MOST_OFF {
                return Err(MeasuredError::Scaled { bar: measured.bar, found });
            }
        }
        Ok(measured)
    }
}

impl fmt::Display for Measured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}={} x {}", self.bar, self.across, self.down)
    }
}

impl Measured {
    /// By how much everything is stretched so that it comes out true: across and down.
    #[must_use]
    pub fn stretch(&self) -> Vec2 {
        Vec2::new(self.bar.mm() / self.across.mm(), self.bar.mm() / self.down.mm())
    }

    /// By how much lengths across and down the paper would have been off without the correction.
    #[must_use]
    pub fn error_of(&self, across: f64, down: f64) -> (Length, Length) {
        let off = |length: f64, found: Length| Length::from_mm(length * (found.mm() / self.bar.mm() - 1.0));
        (off(across, self.across), off(down, self.down))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_printed_short_stretches_the_page() {
        let measured: Measured = "100mm=99.2mm x 100.3mm".parse().unwrap();
        let stretch = measured.stretch();
        assert!((stretch.x * 0.992 - 1.0).abs() < 1e-12 && (stretch.y * 1.003 - 1.0).abs() < 1e-12);
        let (across, down) = measured.error_of(1000.0, 500.0);
        assert!((across.mm() + 8.0).abs() < 1e-9 && (down.mm() - 1.5).abs() < 1e-9);
        assert_eq!("4in=3.97in".parse::<Measured>().unwrap().stretch().x, 4.0 / 3.97);
    }

    #[test]
    fn what_the_printer_scaled_is_refused() {
        assert!(matches!("100mm=92mm x 100mm".parse::<Measured>(), Err(MeasuredError::Scaled { .. })));
        for text in ["", "99.2 x 100.3", "100mm=x", "0mm=0mm", "100mm=-99mm"] {
            assert!(text.parse::<Measured>().is_err(), "{text}");
        }
    }
}
