//! What a search found.

use super::problem::Pose;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// All items lie, and every rule is kept.
    Fits(FoundLay),
    /// No such lay was found before the budget ran out. The best of those tried, and what is wrong with it.
    NotFound {
        /// The lay with the least overlap.
        closest: FoundLay,
        /// What is wrong with it, largest depth first.
        faults: Vec<LayFault>,
    },
    /// There is no such lay, and why. Nothing was searched.
    Impossible(Vec<Impossible>),
}

/// Where every item lies.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundLay {
    /// One for each item, in their order.
    pub poses: Vec<Pose>,
    /// How much of each sheet's length is used, from its smallest y to the largest y of an item's outline on it (mm).
    pub used: Vec<f64>,
    /// Passes made by each searcher.
    pub iterations: u64,
    /// Places looked at by the searchers whose lays were taken up.
    pub looked_at: u64,
}

/// A rule that a lay breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LayFault {
    /// Two items lie over each other.
    Overlap {
        /// The one, as a place among the items.
        first: usize,
        /// The other.
        second: usize,
        /// How deep the boundary of one lies within the other (mm).
        depth: f64,
    },
    /// An item lies over a flaw.
    Flaw {
        /// The item.
        item: usize,
        /// The flaw, as a place among those of the sheet.
        flaw: usize,
        /// How deep (mm).
        depth: f64,
    },
    /// An item reaches over the border of its sheet.
    Outside {
        /// The item.
        item: usize,
        /// By how much (mm).
        depth: f64,
    },
    /// An item's turn, sheet, hold or phase is none of those allowed.
    Rule {
        /// The item.
        item: usize,
    },
}

impl LayFault {
    /// How deep it goes, mm; none of a broken rule, which cannot be measured.
    #[must_use]
    pub fn depth(&self) -> Option<f64> {
        match self {
            LayFault::Overlap { depth, .. }
            | LayFault::Flaw { depth, .. }
            | LayFault::Outside { depth, .. } => Some(*depth),
            LayFault::Rule { .. } => None,
        }
    }
}

/// Why there can be no lay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Impossible {
    /// The items that may lie on some sheets only have more area than these.
    Area {
        /// Of the items' outlines (mm²).
        items: f64,
        /// Of the sheets, without the flaws (mm²).
        sheets: f64,
    },
    /// An item is wider than every sheet at every turn allowed.
    TooWide {
        /// The item.
        item: usize,
        /// Its least width at a turn allowed (mm).
        width: f64,
        /// The greatest width of a sheet that it may lie on (mm).
        widest: f64,
    },
    /// An item is longer than every sheet on which it is not too wide.
    TooLong {
        /// The item.
        item: usize,
        /// Its least length at a turn at which it is not too wide (mm).
        length: f64,
        /// The greatest length of such a sheet (mm).
        longest: f64,
    },
    /// No hold or phase of an item leaves it a place within a sheet.
    NoPlace {
        /// The item.
        item: usize,
    },
    /// The edges held on selvedges are together longer than these.
    Selvedges {
        /// Of the edges (mm).
        edges: f64,
        /// Of the selvedges (mm).
        selvedges: f64,
    },
}
