//! What of a pattern is other than its recorded steps give.
//!
//! Everything that the model holds is looked at. Its types are taken apart without `..`, so that a field that is added to
//! one of them keeps this from compiling until it is compared here, or is named as what need not be.

mod parts;
mod piece;
mod source;

use crate::curve::Curve;
use crate::pattern::{Background, Foreign, Pattern, PatternFields, Seam, Snapped};
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

/// All that is other on a pattern than on the one that its steps give. Where pieces lie on the sheet, in what order they
/// and things on them stand there, and on which side a seam is declared, is no difference.
pub(super) fn since(given: &Pattern, drawn: &Pattern) -> Vec<ChangedSince> {
    let mut changes = Changes::default();
    let PatternFields { pieces, seams, record: _held_against_the_steps, background } = given.fields();
    let now = drawn.fields();
    for pair in paired(pieces.values(), now.pieces.values(), |a, b| a.name() == b.name()) {
        match pair {
            Pair::Both(given, drawn) => piece::compare(given, drawn, &mut changes),
            Pair::Given(piece) => changes.missing(piece.name()),
            Pair::Drawn(piece) => changes.added(piece.name()),
        }
    }
    compare_seams(seams, now.seams, &mut changes);
    compare_backgrounds(background, now.background, &mut changes);
    changes.found
}

/// What is drawn elsewhere than it was read, and is not drawn so on the older sheet: steps write all where it lies.
pub(super) fn drawn_elsewhere(old: &[Snapped], new: &[Snapped]) -> impl Iterator<Item = ChangedSince> {
    let since = new.iter().filter(|new| old.iter().all(|old| !old.is_same(new, REPLAYED)));
    since.map(|snapped| ChangedSince {
        at: snapped.at.clone(),
        change: Change::DrawnElsewhere { snapped: snapped.clone() },
    })
}

/// The greatest distance between two curves that should be one, mm.
pub(super) fn apart(a: &Curve, b: &Curve) -> f64 {
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
struct Changes {
    found: Vec<ChangedSince>,
}

impl Changes {
    fn tell(&mut self, at: impl ToString, change: Change) {
        self.found.push(ChangedSince { at: at.to_string(), change });
    }

    fn missing(&mut self, at: impl ToString) {
        self.tell(at, Change::Missing);
    }

    fn added(&mut self, at: impl ToString) {
        self.tell(at, Change::Added);
    }

    /// Two places that should be one, that far apart.
    fn distance(&mut self, at: impl ToString, distance: f64) {
        if distance > REPLAYED {
            self.tell(at, Change::Moved { distance });
        }
    }

    /// Two texts that should be one.
    fn texts(&mut self, at: impl ToString, what: &str, given: Option<&str>, drawn: Option<&str>) {
        if given != drawn {
            let [given, drawn] = [given, drawn].map(|text| text.map(str::to_owned));
            self.tell(at, Change::Written { what: what.to_owned(), given, drawn });
        }
    }

    /// Two values that should be one.
    fn values<T: PartialEq + ToString>(&mut self, at: impl ToString, what: &str, given: &T, drawn: &T) {
        if given != drawn {
            self.texts(at, what, Some(&given.to_string()), Some(&drawn.to_string()));
        }
    }

    /// Two lengths that should be one. A step may have worked one out from what was drawn.
    fn lengths(&mut self, at: impl ToString, what: &str, given: Length, drawn: Length) {
        if (given.mm() - drawn.mm()).abs() > CHANGED_LENGTH {
            self.texts(at, what, Some(&given.to_string()), Some(&drawn.to_string()));
        }
    }
}

/// A thing on both patterns, or on one only.
enum Pair<'a, T> {
    Both(&'a T, &'a T),
    Given(&'a T),
    Drawn(&'a T),
}

/// Puts the things of two lists together, each one once.
fn paired<'a, T>(
    given: impl IntoIterator<Item = &'a T>,
    drawn: impl IntoIterator<Item = &'a T>,
    is_same: impl Fn(&T, &T) -> bool,
) -> Vec<Pair<'a, T>> {
    let mut rest: Vec<&T> = drawn.into_iter().collect();
    let mut pairs = Vec::new();
    for given in given {
        match rest.iter().position(|drawn| is_same(given, drawn)) {
            Some(at) => pairs.push(Pair::Both(given, rest.remove(at))),
            None => pairs.push(Pair::Given(given)),
        }
    }
    pairs.extend(rest.into_iter().map(Pair::Drawn));
    pairs
}

/// Seams are known by the ends of edges that they lay together, on whichever side and half they are named.
fn compare_seams(given: &[Seam], drawn: &[Seam], changes: &mut Changes) {
    for pair in paired(given, drawn, |given, drawn| given.named_alike(drawn).is_some()) {
        match pair {
            Pair::Both(other, drawn) => {
                let Some(given) = drawn.named_alike(other) else { continue };
                let Seam { first: _the_same, second: _the_same_too, ease } = &given;
                changes.lengths(drawn.name(), "ease", *ease, drawn.ease);
            }
            Pair::Given(seam) => changes.tell(seam.name(), Change::Missing),
            Pair::Drawn(seam) => changes.tell(seam.name(), Change::Added),
        }
    }
}

/// What stands outside the pieces.
const BACKGROUND: &str = "background";

fn compare_backgrounds(given: &Background, drawn: &Background, changes: &mut Changes) {
    let Background { prolog, root_attributes, definitions, foreign } = given;
    source::compare_lists(BACKGROUND, "comment before the drawing", prolog, &drawn.prolog, changes);
    source::compare_attributes("svg", root_attributes, &drawn.root_attributes, changes);
    source::compare_lists(BACKGROUND, "definition", definitions, &drawn.definitions, changes);
    let same = |given: &Foreign, drawn: &Foreign| source::is_same(&given.source, &drawn.source);
    let (mut missing, mut added) = (Vec::new(), Vec::new());
    for pair in paired(foreign, &drawn.foreign, same) {
        match pair {
            Pair::Both(given, drawn) => {
                let Foreign { source, place, extent } = given;
                let apart = parts::places_apart(*place, drawn.place, *extent);
                changes.distance(source::named(source, BACKGROUND), apart);
            }
            Pair::Given(one) => missing.push(one.source.as_str()),
            Pair::Drawn(one) => added.push(one.source.as_str()),
        }
    }
    source::compare_unlike(BACKGROUND, &missing, &added, changes);
}
