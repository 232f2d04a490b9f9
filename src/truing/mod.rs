//! Stand-in until the floor lands.
#![allow(missing_docs)]
use crate::pattern::*;
use crate::units::{Length, Unit};
#[derive(Clone, Debug)]
pub struct Girth {
    pub level: LevelName,
    pub around: Length,
    pub parts: Vec<(PieceName, Length)>,
}
pub fn girths(_p: &Pattern) -> Vec<Girth> {
    Vec::new()
}
pub fn ledger(_p: &Pattern) -> Ledger {
    Ledger::default()
}
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub enum FindingKind {
    SeamLength,
}
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub enum Measure {
    Length,
}
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub enum Weight {
    Untrue,
    Warning,
}
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    pub kind: FindingKind,
    pub at: String,
    pub number: f64,
    pub limit: f64,
    pub measure: Measure,
    pub weight: Weight,
}
impl Finding {
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        format!("{}: {}", self.at, Length::from_mm(self.number).show(unit))
    }
}
#[derive(Clone, Debug, Default)]
pub struct Limits {
    pub length: Length,
    pub notch: Length,
    pub kink_degrees: f64,
    pub off_grain_degrees: f64,
}
#[must_use]
pub fn check(_p: &Pattern, _l: &Limits) -> Vec<Finding> {
    Vec::new()
}
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    pub girths: Vec<GirthAccount>,
    pub edges: Vec<EdgeAccount>,
    pub net_area: (f64, f64),
    pub declared_area: f64,
    pub off_grain: Vec<PartOffGrain>,
    pub new_seams: Vec<NewSeam>,
}
#[derive(Clone, Debug, PartialEq)]
pub struct GirthAccount {
    pub level: LevelName,
    pub then: Option<Length>,
    pub now: Option<Length>,
    pub declared: Length,
}
impl GirthAccount {
    #[must_use]
    pub fn unaccounted(&self) -> Length {
        Length::ZERO
    }
}
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeAccount {
    pub edge: EdgeRef,
    pub then: Length,
    pub now: Vec<EdgePart>,
}
#[derive(Clone, Debug, PartialEq)]
pub struct EdgePart {
    pub edge: EdgeRef,
    pub stretch: (Length, Length),
    pub length: Length,
}
#[derive(Clone, Debug, PartialEq)]
pub struct PartOffGrain {
    pub part: PieceName,
    pub piece: PieceName,
    pub degrees: f64,
}
#[must_use]
pub fn account(_p: &Pattern) -> Option<Account> {
    None
}
