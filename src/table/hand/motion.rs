//! Where a hand is, and what it means there.

use serde::Deserialize;
use serde_json::Value;

use crate::cloth::Stock;
use crate::curve::Point;
use crate::pattern::{Pattern, PieceName, Refusal, RefusalKind};
use crate::recipe::fitted::value_with_cloth;
use crate::recut::Step;
use crate::table::hand::grip::{Grip, Handling};
use crate::table::holds::{HoldsFound, WidthHold};
use crate::table::lying::LyingPattern;
use crate::table::snap::SnapSeen;
use crate::tolerance::{HAND_STEP, LARGEST_COORDINATE, MOST_HAND_REACH};
use crate::units::Unit;

/// A hand that holds something.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Hand {
    /// What it holds.
    pub holds: Grip,
    /// Where it took hold, mm on the sheet.
    pub from: [f64; 2],
    /// Where it is, mm on the sheet.
    pub at: [f64; 2],
    /// Where it was on the way, mm on the sheet.
    #[serde(default)]
    pub trail: Vec<[f64; 2]>,
    /// What it does; otherwise what is usual with such a thing.
    pub way: Option<Handling>,
    /// How near it must be to what it is drawn to, mm.
    #[serde(default)]
    pub reach: f64,
}

impl Hand {
    /// Where it took hold.
    pub(in crate::table) fn from(&self) -> Point {
        Point::new(self.from[0], self.from[1])
    }

    /// Where it is.
    pub(in crate::table) fn at(&self) -> Point {
        Point::new(self.at[0], self.at[1])
    }

    /// All its way, from where it took hold to where it is.
    pub(in crate::table) fn way(&self) -> Vec<Point> {
        let trail = self.trail.iter().map(|at| Point::new(at[0], at[1]));
        [self.from()].into_iter().chain(trail).chain([self.at()]).collect()
    }

    /// How near it must be to what it is drawn to, mm.
    pub(in crate::table) fn reach(&self) -> f64 {
        self.reach.clamp(0.0, MOST_HAND_REACH)
    }

    /// Refuses a hand that is beyond any sheet.
    pub(in crate::table) fn refuse_beyond(&self, piece: &PieceName) -> Result<(), Refusal> {
        let way = self.trail.iter().chain([&self.from, &self.at]);
        way.copied().try_for_each(|at| refuse_beyond(piece, at))
    }
}

/// Refuses a place beyond any sheet.
pub(in crate::table) fn refuse_beyond(piece: &PieceName, at: [f64; 2]) -> Result<(), Refusal> {
    if at.iter().all(|at| at.is_finite() && at.abs() <= LARGEST_COORDINATE) {
        return Ok(());
    }
    let what = "this place is too far out";
    Err(Refusal::new(RefusalKind::PlaceOutside, piece, what, "bring it nearer"))
}

/// What lies under a hand.
#[derive(Clone, Copy)]
pub(in crate::table) struct BeneathHand<'a> {
    /// The pattern as it lies on the table.
    pub(in crate::table) pattern: &'a Pattern,
    /// The same beside what its sheet has.
    pub(in crate::table) lying: &'a LyingPattern,
    pub(in crate::table) stock: Option<&'a Stock>,
    pub(in crate::table) found: &'a HoldsFound,
    /// In which lengths are told.
    pub(in crate::table) unit: Unit,
}

/// What a hand would mean were it moved farther.
#[derive(Clone, Debug)]
pub(in crate::table) struct FallsShort {
    /// What is not there yet.
    pub(in crate::table) what: String,
    /// How far it is.
    pub(in crate::table) way_out: String,
}

/// What a hand means.
#[derive(Clone, Debug, Default)]
pub(in crate::table) struct Held {
    /// The step, were it let go there; none where nothing would change.
    pub(in crate::table) step: Option<Step>,
    /// What it would be, were the hand moved farther.
    pub(in crate::table) falls_short: Option<FallsShort>,
    /// The cloth that is to give its width, as it is written.
    pub(in crate::table) cloth: Option<String>,
    /// The width of the cloth at which it holds.
    pub(in crate::table) hold: Option<WidthHold>,
    /// What it is drawn to, or goes by.
    pub(in crate::table) snaps: Vec<SnapSeen>,
    /// What it draws, as the data of an SVG path.
    pub(in crate::table) drawn: String,
}

impl Held {
    pub(in crate::table) fn step(step: impl Into<Step>) -> Held {
        Held { step: Some(step.into()), ..Held::default() }
    }

    /// The step as it is written, as data.
    pub(in crate::table) fn written(&self) -> Option<Value> {
        self.step.as_ref().map(|step| value_with_cloth(step, self.cloth.as_deref()))
    }
}

/// A length that a hand can mean, mm.
pub(super) fn stepped(mm: f64) -> f64 {
    (mm / HAND_STEP).round() * HAND_STEP
}
