//! The differences found so far, and how they are told.

use crate::curve::Curve;
use crate::pattern::Snapped;
use crate::resew::lines::{MeasuredCurves, places};
use crate::tolerance::{CHANGED_LENGTH, REPLAYED};
use crate::units::Length;

/// Something on a sheet that its steps do not give.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangedSince {
    /// What: a piece, a thing on it, a seam, the background.
    pub at: String,
    /// How it is other.
    pub change: Change,
}

/// How something on a sheet is other than its steps give.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// It lies elsewhere.
    Moved {
        /// How far off, mm.
        distance: f64,
    },
    /// It says something else.
    Written {
        /// What it says: an attribute, a name, a text.
        what: String,
        /// As the steps give it; none where they do not.
        given: Option<String>,
        /// As it stands on the sheet; none where it does not.
        drawn: Option<String>,
    },
    /// It is drawn elsewhere than it was read.
    DrawnElsewhere {
        /// What was done with it on reading.
        snapped: Snapped,
    },
    /// The steps give it, and the sheet has none.
    Missing,
    /// It is on the sheet, and the steps do not give it.
    Added,
}

/// The greatest distance between two curves that should be one, mm.
pub(in crate::resew) fn apart(a: &Curve, b: &Curve) -> f64 {
    if a == b {
        return 0.0;
    }
    let farthest = |a: &Curve, b: &Curve| {
        let lines = MeasuredCurves::of([b]);
        places(a).map(|at| lines.distance(at)).fold(0.0, f64::max)
    };
    farthest(a, b).max(farthest(b, a))
}

/// The differences found so far.
#[derive(Debug, Default)]
pub(super) struct Changes {
    pub(super) found: Vec<ChangedSince>,
}

impl Changes {
    pub(super) fn tell(&mut self, at: impl ToString, change: Change) {
        self.found.push(ChangedSince { at: at.to_string(), change });
    }

    pub(super) fn missing(&mut self, at: impl ToString) {
        self.tell(at, Change::Missing);
    }

    pub(super) fn added(&mut self, at: impl ToString) {
        self.tell(at, Change::Added);
    }

    /// Two places that should be one, that far apart.
    pub(super) fn distance(&mut self, at: impl ToString, distance: f64) {
        if distance > REPLAYED {
            self.tell(at, Change::Moved { distance });
        }
    }

    /// Two texts that should be one.
    pub(super) fn texts(&mut self, at: impl ToString, what: &str, given: Option<&str>, drawn: Option<&str>) {
        if given != drawn {
            let [given, drawn] = [given, drawn].map(|text| text.map(str::to_owned));
            self.tell(at, Change::Written { what: what.to_owned(), given, drawn });
        }
    }

    /// Two values that should be one.
    pub(super) fn values<T: PartialEq + ToString>(
        &mut self,
        at: impl ToString,
        what: &str,
        given: &T,
        drawn: &T,
    ) {
        if given != drawn {
            self.texts(at, what, Some(&given.to_string()), Some(&drawn.to_string()));
        }
    }

    /// Two lengths that should be one. A step may have worked one out from what was drawn.
    pub(super) fn lengths(&mut self, at: impl ToString, what: &str, given: Length, drawn: Length) {
        if (given.mm() - drawn.mm()).abs() > CHANGED_LENGTH {
            self.texts(at, what, Some(&given.to_string()), Some(&drawn.to_string()));
        }
    }
}

/// A thing on both patterns, or on one only.
pub(super) enum GivenAndDrawn<'a, T> {
    Both(&'a T, &'a T),
    Given(&'a T),
    Drawn(&'a T),
}

/// Puts the things of two lists together, each one once.
pub(super) fn paired<'a, T>(
    given: impl IntoIterator<Item = &'a T>,
    drawn: impl IntoIterator<Item = &'a T>,
    is_same: impl Fn(&T, &T) -> bool,
) -> Vec<GivenAndDrawn<'a, T>> {
    let mut rest: Vec<&T> = drawn.into_iter().collect();
    let mut pairs = Vec::new();
    for given in given {
        match rest.iter().position(|drawn| is_same(given, drawn)) {
            Some(at) => pairs.push(GivenAndDrawn::Both(given, rest.remove(at))),
            None => pairs.push(GivenAndDrawn::Given(given)),
        }
    }
    pairs.extend(rest.into_iter().map(GivenAndDrawn::Drawn));
    pairs
}
