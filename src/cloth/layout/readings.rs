//! How far a seam meets, from what is read along it.

use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};

use crate::tolerance::{SAME_POINT, STRIPES_MEET};

/// How far apart like is from like at a place of a seam, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SeamReading {
    /// Distance along the seam.
    pub(super) at: f64,
    /// How far apart; infinite where there is no like on the other side.
    pub(super) apart: f64,
    /// Where what is looked for lies.
    pub(super) on: ReadOn,
}

/// Which stitching line a reading starts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum ReadOn {
    /// Both alike; or a mark goes on along one of them, where it has been read before.
    Both,
    /// A mark reaches that of the first side.
    First,
    /// A mark reaches that of the second side.
    Second,
}

impl SeamReading {
    fn meets(&self) -> bool {
        self.apart <= STRIPES_MEET
    }

    /// Whether another says the same of the same place.
    pub(super) fn is_again(&self, other: &SeamReading) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= SAME_POINT;
        self.on == other.on && near(self.at, other.at) && near(self.apart, other.apart)
    }
}

/// What lies between two readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Between {
    /// The pattern goes on, and is as far apart as between the two.
    Pattern,
    /// Nothing that could meet or miss: plain cloth between two marks.
    PlainCloth,
}

/// How far a seam, or a part of it, meets. Distances run along the stitching line of the seam's first side, from the hem
/// where one end lies at a hem, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetAlong {
    /// Where it begins and ends on the seam.
    pub whole: (f64, f64),
    /// From where to where it meets: the stretch at the mark where stripes are brought together, else the longest. None
    /// where it meets nowhere.
    pub stretch: Option<(f64, f64)>,
    /// Where like first misses like beyond that: toward the seam's end, or else toward its start.
    pub misses_at: Option<f64>,
    /// How far like is from like at the worst place.
    pub worst: f64,
    /// Where that is.
    pub worst_at: f64,
    /// At how many marks that reach the seam like meets like, and at how many not; none of a pattern that goes on and
    /// on.
    pub marks: Option<(usize, usize)>,
}

impl MetAlong {
    /// What readings in the order of the seam come to.
    pub(super) fn of(readings: &[SeamReading], between: Between, whole: (f64, f64), anchor: f64) -> MetAlong {
        let worst = readings.iter().max_by(|a, b| a.apart.total_cmp(&b.apart));
        let good = readings.iter().filter(|reading| reading.meets()).count();
        let stretches = if good == readings.len() && good > 0 {
            vec![whole]
        } else {
            stretches(readings, between, whole)
        };
        let holds_anchor =
            |stretch: &&(f64, f64)| (stretch.0 - SAME_POINT..=stretch.1 + SAME_POINT).contains(&anchor);
        let longest = |a: &(f64, f64), b: &(f64, f64)| (a.1 - a.0).total_cmp(&(b.1 - b.0));
        let found = stretches.iter().find(holds_anchor);
        let stretch = found.copied().or_else(|| stretches.iter().rev().copied().max_by(longest));
        let (from, to) = stretch.unwrap_or((anchor, anchor));
        let mut misses = readings.iter().filter(|reading| !reading.meets()).map(|reading| reading.at);
        let after = misses.clone().find(|at| *at >= to);
        MetAlong {
            whole,
            stretch,
            misses_at: after.or_else(|| misses.rfind(|at| *at <= from)),
            worst: worst.map_or(0.0, |reading| reading.apart),
            worst_at: worst.map_or(whole.0, |reading| reading.at),
            marks: (between == Between::PlainCloth).then(|| {
                // What meets is reached from both sides, and counts once.
                let met = readings.iter().filter(|reading| reading.meets() && reading.on == ReadOn::First);
                let missed = readings.iter().filter(|reading| !reading.meets() && reading.on != ReadOn::Both);
                (met.count(), missed.count())
            }),
        }
    }

    /// How long the stretch is over which it meets.
    #[must_use]
    pub fn meets(&self) -> f64 {
        self.stretch.map_or(0.0, |(from, to)| to - from)
    }

    /// From the end of what meets to where like first misses like beyond; none where it meets nowhere or all along.
    pub(super) fn parts(&self) -> Option<(f64, f64)> {
        let ((from, to), misses) = (self.stretch?, self.misses_at?);
        Some((if misses >= to { to } else { from }, misses))
    }

    /// Whether it meets from its beginning to its end.
    #[must_use]
    pub fn is_all_along(&self) -> bool {
        self.stretch == Some(self.whole)
    }

    /// Whether something reaches it, and like meets like nowhere.
    #[must_use]
    pub fn is_nowhere(&self) -> bool {
        self.stretch.is_none() && !self.is_plain()
    }

    /// Whether no mark of the cloth reaches it, so that nothing can meet or miss.
    #[must_use]
    pub fn is_plain(&self) -> bool {
        self.marks == Some((0, 0))
    }
}

impl Serialize for MetAlong {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut met = serializer.serialize_struct("MetAlong", 8)?;
        met.serialize_field("begins", &self.whole.0)?;
        met.serialize_field("length", &(self.whole.1 - self.whole.0))?;
        met.serialize_field("meets", &self.meets())?;
        met.serialize_field("stretch", &self.stretch)?;
        met.serialize_field("worst", &self.worst)?;
        met.serialize_field("worst_at", &self.worst_at)?;
        if let Some((meet, miss)) = self.marks {
            met.serialize_field("marks_met", &meet)?;
            met.serialize_field("marks_missed", &miss)?;
        }
        met.end()
    }
}

/// The stretches that meet, in order. Plain cloth before the first mark and after the last one misses nothing.
fn stretches(readings: &[SeamReading], between: Between, whole: (f64, f64)) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    let mut open: Option<(f64, f64)> = None;
    let mut before: Option<&SeamReading> = None;
    for reading in readings {
        let begins = match (before, between) {
            (None, Between::PlainCloth) => whole.0,
            (Some(before), Between::Pattern) => crossing(before, reading),
            _ => reading.at,
        };
        match (reading.meets(), &mut open) {
            (true, Some(stretch)) => stretch.1 = reading.at,
            (true, None) => open = Some((begins, reading.at)),
            (false, Some(stretch)) => {
                if between == Between::Pattern {
                    stretch.1 = begins;
                }
                found.extend(open.take());
            }
            (false, None) => {}
        }
        before = Some(reading);
    }
    let ends = |(from, to)| if between == Between::PlainCloth { (from, whole.1) } else { (from, to) };
    found.extend(open.map(ends));
    found
}

/// Where between two readings, one of which meets, the limit is crossed. At a joint both have one place.
fn crossing(before: &SeamReading, after: &SeamReading) -> f64 {
    if before.apart.is_infinite() {
        return after.at;
    }
    let share = (STRIPES_MEET - before.apart) / (after.apart - before.apart);
    before.at + (after.at - before.at) * share.clamp(0.0, 1.0)
}
