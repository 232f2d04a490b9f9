//! A length of cloth: its width as measured along it, and its flaws.

use crate::cloth::ClothError;
use crate::cloth::colours::Colouring;
use crate::tolerance::LARGEST_COORDINATE;
use crate::units::Length;

/// Refuses a measure that is nothing, negative, or beyond all cloth.
pub(super) fn over_nothing(what: &'static str, found: Length) -> Result<Length, ClothError> {
    if found.mm() <= 0.0 {
        return Err(ClothError::NotOverNothing { what, found });
    }
    within_bounds(what, found)
}

/// Refuses a measure that is negative, or beyond all cloth.
pub(super) fn not_negative(what: &'static str, found: Length) -> Result<Length, ClothError> {
    if found.mm() < 0.0 {
        return Err(ClothError::Negative { what, found });
    }
    within_bounds(what, found)
}

fn within_bounds(what: &'static str, found: Length) -> Result<Length, ClothError> {
    let most = Length::from_mm(LARGEST_COORDINATE);
    if found > most { Err(ClothError::TooLarge { what, found, most }) } else { Ok(found) }
}

/// The width of a cloth from selvedge to selvedge: as measured at places along its length, straight between them, and
/// before the first and after the last as there.
#[derive(Clone, Debug, PartialEq)]
pub struct Width {
    /// Places along and widths there, mm, in order.
    measured: Vec<(f64, f64)>,
}

impl Width {
    /// One width all along.
    ///
    /// # Errors
    ///
    /// Refuses one that is not over nothing.
    pub fn even(width: Length) -> Result<Width, ClothError> {
        Width::measured([(Length::ZERO, width)])
    }

    /// Widths as measured at places along the length.
    ///
    /// # Errors
    ///
    /// Refuses none at all, places that do not follow one another, and a width that is not over nothing.
    pub fn measured(widths: impl IntoIterator<Item = (Length, Length)>) -> Result<Width, ClothError> {
        let mut measured: Vec<(f64, f64)> = Vec::new();
        for (at, width) in widths {
            let at = not_negative("the place of a width", at)?.mm();
            if let Some((before, _)) = measured.last()
                && *before >= at
            {
                let (first, second) = (Length::from_mm(*before), Length::from_mm(at));
                return Err(ClothError::WidthsOutOfOrder { first, second });
            }
            measured.push((at, over_nothing("the width", width)?.mm()));
        }
        if measured.is_empty() { Err(ClothError::NoWidth) } else { Ok(Width { measured }) }
    }

    /// The width at a place along, mm.
    #[must_use]
    pub fn at(&self, along: f64) -> f64 {
        let after = self.measured.partition_point(|(at, _)| *at <= along);
        match (after.checked_sub(1).map(|i| self.measured[i]), self.measured.get(after)) {
            (Some((from, width)), Some((to, next))) => width + (next - width) * (along - from) / (to - from),
            (Some((_, width)), None) | (None, Some(&(_, width))) => width,
            (None, None) => 0.0,
        }
    }

    /// The places along at which it changes its course, mm.
    pub fn places(&self) -> impl Iterator<Item = f64> {
        self.measured.iter().map(|(at, _)| *at)
    }

    /// The start, the places before a length at which it changes its course, and that length, mm.
    pub(crate) fn places_to(&self, length: f64) -> Vec<f64> {
        let between = self.places().filter(|at| *at > 0.0 && *at < length);
        std::iter::once(0.0).chain(between).chain([length]).collect()
    }

    /// The least width between two places along, mm.
    #[must_use]
    pub fn least(&self, from: f64, to: f64) -> f64 {
        let inside = self.places().filter(|at| (from..=to).contains(at)).map(|at| self.at(at));
        inside.fold(self.at(from).min(self.at(to)), f64::min)
    }

    /// The greatest width between two places along, mm.
    #[must_use]
    pub fn greatest(&self, from: f64, to: f64) -> f64 {
        let inside = self.places().filter(|at| (from..=to).contains(at)).map(|at| self.at(at));
        inside.fold(self.at(from).max(self.at(to)), f64::max)
    }

    /// The area from the start to a length, mm².
    fn area(&self, length: f64) -> f64 {
        self.places_to(length)
            .windows(2)
            .map(|pair| (pair[1] - pair[0]) * f64::midpoint(self.at(pair[0]), self.at(pair[1])))
            .sum()
    }
}

/// A place that must not come into a piece: a hole, a stain, a mend. Upright with the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flaw {
    /// Its corner toward the left selvedge and the start, mm across and along.
    pub at: (f64, f64),
    /// How far it reaches, mm across and along.
    pub size: (f64, f64),
}

impl Flaw {
    /// A flaw from its corner toward the left selvedge and the start: across and along.
    ///
    /// # Errors
    ///
    /// Refuses a negative place, and a size that is not over nothing.
    pub fn new(at: (Length, Length), size: (Length, Length)) -> Result<Flaw, ClothError> {
        let place = |length| not_negative("the place of a flaw", length).map(Length::mm);
        let reach = |length| over_nothing("the size of a flaw", length).map(Length::mm);
        Ok(Flaw { at: (place(at.0)?, place(at.1)?), size: (reach(size.0)?, reach(size.1)?) })
    }

    /// Where it ends, mm across and along.
    #[must_use]
    pub fn end(&self) -> (f64, f64) {
        (self.at.0 + self.size.0, self.at.1 + self.size.1)
    }
}

/// One length of a cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Bolt {
    width: Width,
    length: f64,
    flaws: Vec<Flaw>,
    colouring: Option<Colouring>,
}

impl Bolt {
    /// A length of a cloth without flaws.
    ///
    /// # Errors
    ///
    /// Refuses a length that is not over nothing.
    pub fn new(width: Width, length: Length) -> Result<Bolt, ClothError> {
        let length = over_nothing("the length", length)?.mm();
        Ok(Bolt { width, length, flaws: Vec::new(), colouring: None })
    }

    /// The same, longer at its end.
    ///
    /// # Errors
    ///
    /// Refuses one that has no length then.
    pub fn lengthened(&self, by: Length) -> Result<Bolt, ClothError> {
        let length = over_nothing("the length", Length::from_mm(self.length + by.mm()))?.mm();
        Ok(Bolt { length, ..self.clone() })
    }

    /// Adds a flaw.
    ///
    /// # Errors
    ///
    /// Refuses one that reaches over the end of the cloth or a selvedge.
    pub fn add_flaw(&mut self, flaw: Flaw) -> Result<(), ClothError> {
        let (across, along) = flaw.end();
        let outside = |way, from, to, limit| {
            let [from, to, limit] = [from, to, limit].map(Length::from_mm);
            Err(ClothError::FlawOutside { way, from, to, limit })
        };
        if along > self.length {
            return outside("along", flaw.at.1, along, self.length);
        }
        let width = self.width.greatest(flaw.at.1, along);
        if across > width {
            return outside("across", flaw.at.0, across, width);
        }
        self.flaws.push(flaw);
        Ok(())
    }

    /// Tells its colours.
    pub fn set_colouring(&mut self, colouring: Colouring) {
        self.colouring = Some(colouring);
    }

    /// Its colours, where they are told.
    #[must_use]
    pub fn colouring(&self) -> Option<&Colouring> {
        self.colouring.as_ref()
    }

    /// The width from selvedge to selvedge.
    #[must_use]
    pub fn width(&self) -> &Width {
        &self.width
    }

    /// The length, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// The flaws.
    #[must_use]
    pub fn flaws(&self) -> &[Flaw] {
        &self.flaws
    }

    /// The area without the flaws, mm². Flaws that lie over one another count more than once, so that it is never told
    /// too great.
    #[must_use]
    pub fn area(&self) -> f64 {
        let flawed: f64 = self.flaws.iter().map(|flaw| flaw.size.0 * flaw.size.1).sum();
        (self.width.area(self.length) - flawed).max(0.0)
    }

    /// The greatest width that is there all along some stretch of a length, mm; none where the cloth is not that long.
    #[must_use]
    pub fn width_over(&self, stretch: f64) -> Option<f64> {
        let last = self.length - stretch;
        if last < 0.0 {
            return None;
        }
        let mut starts: Vec<f64> = vec![0.0, last];
        starts.extend(self.width.places().flat_map(|at| [at, at - stretch]));
        starts.retain(|start| (0.0..=last).contains(start));
        starts.sort_by(f64::total_cmp);
        let level: Vec<f64> =
            starts.windows(2).filter_map(|pair| self.level_start(pair[0], pair[1], stretch)).collect();
        let widths = starts.iter().chain(&level).map(|start| self.width.least(*start, start + stretch));
        widths.reduce(f64::max)
    }

    /// The start between two others at which a stretch is as wide at its start as at its end. Between the two the width
    /// is straight at both ends of the stretch.
    fn level_start(&self, from: f64, to: f64, stretch: f64) -> Option<f64> {
        let rise = |start: f64| self.width.at(start + stretch) - self.width.at(start);
        let (first, last) = (rise(from), rise(to));
        (first * last < 0.0).then(|| from + (to - from) * first / (first - last))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(mm: f64) -> Length {
        Length::from_mm(mm)
    }

    #[test]
    fn a_cloth_that_swells_in_the_middle_is_widest_over_a_short_stretch() {
        let width = Width::measured([(mm(0.0), mm(300.0)), (mm(1000.0), mm(400.0)), (mm(2000.0), mm(300.0))]);
        let bolt = Bolt::new(width.expect("widths"), mm(2000.0)).expect("a bolt");
        for (stretch, expected) in [(0.0, 400.0), (200.0, 390.0), (1000.0, 350.0), (2000.0, 300.0)] {
            approx::assert_abs_diff_eq!(bolt.width_over(stretch).expect("room"), expected, epsilon = 1e-9);
        }
        assert_eq!(bolt.width_over(2000.1), None);
        approx::assert_abs_diff_eq!(bolt.area(), 700_000.0, epsilon = 1e-6);
    }

    #[test]
    fn flaws_stay_on_the_cloth() {
        let mut bolt = Bolt::new(Width::even(mm(370.0)).expect("a width"), mm(1000.0)).expect("a bolt");
        let flaw = |at, size| Flaw::new(at, size).expect("a flaw");
        assert!(bolt.add_flaw(flaw((mm(350.0), mm(0.0)), (mm(20.0), mm(10.0)))).is_ok());
        let over = bolt.add_flaw(flaw((mm(351.0), mm(0.0)), (mm(20.0), mm(10.0))));
        assert!(matches!(over, Err(ClothError::FlawOutside { way: "across", .. })));
        let beyond = bolt.add_flaw(flaw((mm(0.0), mm(995.0)), (mm(20.0), mm(10.0))));
        assert!(matches!(beyond, Err(ClothError::FlawOutside { way: "along", .. })));
        approx::assert_abs_diff_eq!(bolt.area(), 370_000.0 - 200.0, epsilon = 1e-9);
    }
}
