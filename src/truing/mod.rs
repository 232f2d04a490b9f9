//! Stand-in until the floor lands.
#![allow(missing_docs)]
use crate::pattern::*;
use crate::units::{Length, Unit};
#[derive(Clone, Debug)]
pub struct Girth {
    pub level: LevelName,
    pub around: Length,
}
pub fn girths(_p: &Pattern) -> Vec<Girth> {
    Vec::new()
}
pub fn ledger(_p: &Pattern) -> Ledger {
    Ledger::default()
}
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    Untrue,
    Warning,
}
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    pub kind: &'static str,
    pub at: String,
    pub number: f64,
    pub limit: f64,
    pub verdict: Verdict,
}
impl Finding {
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        format!("{}: {} {}", self.at, self.kind, Length::from_mm(self.number).show(unit))
    }
}
#[derive(Clone, Debug, Default)]
pub struct Limits {
    pub length: Length,
    pub notch: Length,
    pub kink: f64,
    pub off_grain: f64,
}
#[must_use]
pub fn check(_p: &Pattern, _l: &Limits) -> Vec<Finding> {
    Vec::new()
}
