//! What is to be laid on what, and under which rules.

use std::time::Instant;

use kurbo::Point;

use super::likeness::Shades;
use crate::units::{Length, Unit};

/// A laying to be searched for. All lengths are millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The pieces of cloth. Where the goal is the shortest lay, those named first are used up first.
    pub sheets: Vec<LaySheet>,
    /// What is to be laid: each copy, left and right apart.
    pub items: Vec<Item>,
    /// What makes one lay better than another.
    pub goal: Goal,
    /// Where items are to look alike. Where there are such joints, the shortest lay is looked for until the items lie apart,
    /// then the one that looks most alike.
    pub likeness: Option<Shades>,
}

/// What makes one lay better than another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// As little length used as can be. Cloths that share no item are shortened each for itself; of those that do, the
    /// one named last is shortened first.
    Shortest,
    /// Any lay that keeps the rules; the search ends with the first.
    Fits,
}

/// One piece of cloth: x runs across the width, y along the length, the lay begins at the smallest y.
#[derive(Clone, Debug, PartialEq)]
pub struct LaySheet {
    /// The border, a simple polygon of either direction, not repeating its first point.
    pub outline: Vec<Point>,
    /// Places to keep off, each a simple polygon. They may reach over the border.
    pub flaws: Vec<Vec<Point>>,
}

/// One thing to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The cutting line as a simple polygon of either direction, not repeating its first point. It stays within the
    /// sheet and off the flaws, and may touch both.
    pub outline: Vec<Point>,
    /// What two items keep apart with: the outline grown by half the gap, or the outline itself where the gap is 0.
    /// Two items may touch with it.
    pub clearance: Vec<Point>,
    /// The turns allowed.
    pub turns: Vec<Turn>,
    /// The sheets it may lie on, as places in [`Problem::sheets`].
    pub sheets: Vec<usize>,
    /// Where it is held across the width. One of these must be taken; none given leaves it free.
    pub holds: Vec<Hold>,
    /// The stripes or marks it is held to. All that are for the sheet it lies on must be kept.
    pub phases: Vec<Phase>,
}

/// A turn that an item may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// The turn in degrees, as of the `rotate()` of SVG: clockwise as seen.
    pub degrees: f64,
    /// How far to either side it may be off, in degrees.
    pub tolerance: f64,
}

/// A place across the width: an edge on a selvedge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// The sheet, as a place in [`Problem::sheets`].
    pub sheet: usize,
    /// The turn, as a place in [`Item::turns`]. It is taken exactly, without its tolerance.
    pub turn: usize,
    /// The x of [`Pose`].
    pub across: f64,
}

/// A mark of an item that must lie on one of several lines of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// The sheet, as a place in [`Problem::sheets`].
    pub sheet: usize,
    /// Which coordinate of the mark is held.
    pub axis: Axis,
    /// The mark, in the coordinates of [`Item::outline`].
    pub mark: Point,
    /// Where the lines are.
    pub lines: PhaseLines,
}

/// Which coordinate is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// x, across the width.
    Across,
    /// y, along the length.
    Along,
}

/// Lines of a sheet, by their coordinate.
#[derive(Clone, Debug, PartialEq)]
pub enum PhaseLines {
    /// Each of `first`, and all that lie whole repeats away from it.
    Repeating {
        /// One line of each kind.
        first: Vec<f64>,
        /// The distance after which all comes again.
        repeat: f64,
    },
    /// Just these.
    At(Vec<f64>),
    /// Lines that lie `offset` beyond one that is like a line that the search chooses, the same for all that name the
    /// same group and axis, on whichever sheet. For stripes that must meet in a seam wherever they lie in the pieces.
    Together {
        /// The name of the group.
        group: usize,
        /// How far this item's lines lie beyond those of the group.
        offset: f64,
        /// Which lines are like each other.
        alike: LinesAlike,
    },
    /// Lines that lie as far to the other side of `about` as the line of a group, and all that lie whole repeats away from
    /// it. For a half that mirrors another on stripes that are the same to both sides.
    Opposite {
        /// The name of the group.
        group: usize,
        /// Of what line it lies on the other side.
        about: f64,
        /// The distance after which all comes again.
        repeat: f64,
    },
}

/// Which lines of a sheet are like each other.
#[derive(Clone, Debug, PartialEq)]
pub enum LinesAlike {
    /// Those that lie whole repeats apart.
    Repeat(f64),
    /// Those about which marks of the sheet lie alike.
    Marks(MarksAround),
}

/// A mark of a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetMark {
    /// Its coordinate.
    pub at: f64,
    /// Its sort: only marks of one sort are alike.
    pub sort: usize,
}

/// Marks of a sheet, one by one, and how far around a line they are looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct MarksAround {
    /// The marks, in order.
    pub marks: Vec<SheetMark>,
    /// How far before and after the line: a value that is not over 0, and one not under it.
    pub reach: (f64, f64),
}

/// Where an item lies: its points are turned about the origin of their own coordinates, then moved by (`x`, `y`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// The sheet, as a place in [`Problem::sheets`].
    pub sheet: usize,
    /// Which of [`Item::turns`] it is, as a place in them.
    pub turn: usize,
    /// The turn in degrees, within the tolerance of that turn.
    pub degrees: f64,
    /// Millimetres across.
    pub x: f64,
    /// Millimetres along.
    pub y: f64,
}

/// How long a search may take, and what makes it the same again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Two searches of the same problem with the same seed, number of searchers and number of iterations find the same
    /// lay, on whatever machine and however many threads really run.
    pub seed: u64,
    /// How many searchers race side by side, each on its own thread. At least 1.
    pub searchers: usize,
    /// When the search ends.
    pub limit: Limit,
}

impl Budget {
    /// A share of it.
    #[must_use]
    pub fn share(&self, share: f64) -> Budget {
        let limit = match self.limit {
            Limit::Iterations(passes) => Limit::Iterations((passes as f64 * share).ceil() as u64),
            Limit::Seconds(seconds) => Limit::Seconds(seconds * share),
        };
        Budget { limit, ..*self }
    }

    /// What is left of it when a search goes on that began some time ago. Passes are left as they are, so that a lay
    /// does not depend on what was tried before.
    #[must_use]
    pub fn left_since(&self, began: Instant) -> Budget {
        let limit = match self.limit {
            Limit::Iterations(passes) => Limit::Iterations(passes),
            Limit::Seconds(seconds) => Limit::Seconds((seconds - began.elapsed().as_secs_f64()).max(0.0)),
        };
        Budget { limit, ..*self }
    }
}

/// When a search ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// After this many passes over the colliding items, by each searcher.
    Iterations(u64),
    /// After this many seconds of the clock. What is found then depends on the machine.
    Seconds(f64),
}

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// The length used by the best lay of the part under way that keeps all rules, summed over its sheets; none while
    /// there is no such lay. It never grows within a part.
    pub length: Option<f64>,
    /// How unlike the best lay looks at its joints, on their weighted mean; none where nothing is to look alike. It never
    /// grows within a part.
    pub unlike: Option<f64>,
    /// Which part is under way, from 1: cloths that share no item are searched one after another.
    pub part: usize,
    /// How many there are.
    pub parts: usize,
    /// Passes made by each searcher so far.
    pub iterations: u64,
    /// Seconds since the search began.
    pub seconds: f64,
}

impl Progress {
    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let best = match (self.unlike, self.length) {
            (Some(unlike), _) => {
                format!("best so far: at the seams the cloth differs by {unlike:.1} on average")
            }
            (None, Some(length)) => format!("best so far {}", Length::from_mm(length.round()).show(unit)),
            (None, None) => "no layout yet".to_owned(),
        };
        let part = match self.parts {
            1 => String::new(),
            parts => format!("cloth {} of {parts}: ", self.part),
        };
        format!("{part}{best}, {:.0} s", self.seconds)
    }
}

/// What the listener of a search wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Continue {
    /// To go on.
    Search,
    /// To stop and be given the best so far.
    Stop,
}
