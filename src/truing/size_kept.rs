//! Whether a garment is still of the size that it had.

use crate::pattern::Pattern;
use crate::truing::{Limits, account};
use crate::units::Length;

/// How the girth of the whole garment changed at a level.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelResized {
    /// The level.
    pub level: String,
    /// By how much it is larger now.
    pub by: Length,
    /// By how much the steps say that they make it larger.
    pub declared: Length,
}

impl LevelResized {
    fn unexpected(&self) -> f64 {
        (self.by.mm() - self.declared.mm()).abs()
    }
}

/// Whether a garment is still of the size that it had, by the level that changed most.
#[derive(Clone, Debug, PartialEq)]
pub enum SizeKept {
    /// No level tells.
    Unknown,
    /// No level changed by more than may pass without a word.
    Same(LevelResized),
    /// What changed by more is what the steps say.
    AsPlanned(LevelResized),
    /// Something changed that no step says.
    Another(LevelResized),
}

impl SizeKept {
    /// By how each level changed.
    #[must_use]
    pub fn of(changes: impl IntoIterator<Item = LevelResized>) -> SizeKept {
        let limit = Limits::default().girth.mm();
        let changes: Vec<LevelResized> = changes.into_iter().collect();
        let by = |change: &&LevelResized| change.by.mm().abs();
        let most_of =
            |changes: Vec<&LevelResized>| changes.into_iter().max_by(|a, b| by(a).total_cmp(&by(b))).cloned();
        let unexpected = changes.iter().filter(|change| change.unexpected() > limit);
        match (most_of(changes.iter().collect()), most_of(unexpected.collect())) {
            (None, _) => SizeKept::Unknown,
            (Some(most), _) if by(&&most) <= limit => SizeKept::Same(most),
            (Some(most), None) => SizeKept::AsPlanned(most),
            (_, Some(change)) => SizeKept::Another(change),
        }
    }

    /// Of a pattern since its first step; none where no step was done.
    #[must_use]
    pub fn since_first_step(pattern: &Pattern) -> Option<SizeKept> {
        let changes = account(pattern)?.girths.into_iter().filter_map(|girth| {
            let by = Length::from_mm(girth.now?.mm() - girth.then?.mm());
            Some(LevelResized { level: girth.level.to_string(), by, declared: girth.declared })
        });
        Some(SizeKept::of(changes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(level: &str, by: f64, declared: f64) -> LevelResized {
        LevelResized { level: level.to_owned(), by: Length::from_mm(by), declared: Length::from_mm(declared) }
    }

    #[test]
    fn what_a_step_says_is_no_other_size() {
        assert_eq!(SizeKept::of([]), SizeKept::Unknown);
        let same = SizeKept::of([change("bust", 0.3, 0.0), change("hip", -0.4, 0.0)]);
        assert_eq!(same, SizeKept::Same(change("hip", -0.4, 0.0)));
        let planned = SizeKept::of([change("bust", -2.4, -2.4), change("hip", 0.1, 0.0)]);
        assert_eq!(planned, SizeKept::AsPlanned(change("bust", -2.4, -2.4)));
        let another = SizeKept::of([change("bust", -12.0, -12.0), change("hip", 3.0, 0.0)]);
        assert_eq!(another, SizeKept::Another(change("hip", 3.0, 0.0)));
        // What a step says and does not do is no size that was planned.
        let undone = SizeKept::of([change("bust", 0.0, -12.0), change("hip", -12.0, -12.0)]);
        assert_eq!(undone, SizeKept::Another(change("bust", 0.0, -12.0)));
    }
}
