//! What is beyond limits when new pieces are laid back.

use crate::pattern::{DeclaredKind, PieceName};
use crate::resew::{BrokenRecord, Change, ChangedSince, ResewnGroup, ResewnMade, ResewnStep};
use crate::tolerance::{REPLAYED, RESEWN_AREA, RESEWN_EDGE};
use crate::truing::{Finding, FindingKind, SaidOtherwise};
use crate::units::Length;

/// How far off new pieces may be when they are laid back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResewLimits {
    /// An edge or cut that no step declares to have drawn anew.
    pub edge: Length,
    /// Area doubled, missing, or changed beyond what a step declares, mm².
    pub area: f64,
}

impl Default for ResewLimits {
    fn default() -> ResewLimits {
        ResewLimits { edge: Length::from_mm(RESEWN_EDGE), area: RESEWN_AREA }
    }
}

/// What may lay cloth over cloth: seamlines that do not lie together when pieces are joined there.
const LAYS_OVER: [DeclaredKind; 2] = [DeclaredKind::VoidFilled, DeclaredKind::ShapingCarried];

/// What laying the new pieces back has shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Resewn {
    /// The steps since the old pattern, in order.
    pub steps: Vec<ResewnStep>,
    /// Where the record does not lead from the old pattern to the new one.
    pub broken: Vec<BrokenRecord>,
    /// Where the new pattern is not what its steps give; nothing where they could not all be done again.
    pub changes: Vec<ChangedSince>,
}

impl Resewn {
    /// All that is beyond limits.
    #[must_use]
    pub fn findings(&self, limits: &ResewLimits) -> Vec<Finding> {
        let steps = self.steps.iter().flat_map(|step| step.findings(limits));
        let broken = self.broken.iter().map(BrokenRecord::finding);
        steps.chain(broken).chain(self.changes.iter().map(ChangedSince::finding)).collect()
    }
}

impl ResewnStep {
    /// The step's number and operation: `step 3 split`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("step {} {}", self.number, self.operation)
    }

    /// All that is beyond limits.
    #[must_use]
    pub fn findings(&self, limits: &ResewLimits) -> Vec<Finding> {
        let groups = self.groups.iter().flat_map(|group| group.findings(&self.name(), limits));
        groups.chain(self.made.iter().filter_map(|made| made.finding(&self.name(), limits))).collect()
    }
}

impl ResewnMade {
    fn finding(&self, step: &str, limits: &ResewLimits) -> Option<Finding> {
        let edge = self.edge.as_ref().filter(|_| self.off > limits.edge.mm())?;
        let at = format!("{step}, {}.{edge}", self.piece);
        Some(Finding::of_law(FindingKind::OffOldEdge, at, self.off, limits.edge))
    }
}

impl ResewnGroup {
    fn findings(&self, step: &str, limits: &ResewLimits) -> Vec<Finding> {
        let mut found = Vec::new();
        if let Some(held) = self.held.as_ref().filter(|held| held.distance > limits.edge.mm()) {
            let place = match &held.edge {
                Some(edge) => format!("{}.{edge}", held.piece),
                None => format!("a cut through {}", held.piece),
            };
            let at = format!("{step}, {place}");
            found.push(Finding::of_law(FindingKind::OffOldEdge, at, held.distance, limits.edge));
        }
        let names: Vec<&str> = self.from.iter().map(PieceName::as_str).collect();
        let mut area = |kind, number: f64, limit: f64| {
            if number.abs() > limit {
                found.push(Finding::of_area(kind, format!("{step}, {}", names.join(" + ")), number, limit));
            }
        };
        if !self.declares(&LAYS_OVER) {
            area(FindingKind::ClothDoubled, self.doubled, limits.area);
        }
        if self.missing - self.regained > limits.area + self.given_to_darts() {
            area(
                FindingKind::ClothMissing,
                self.missing - self.regained,
                limits.area + self.given_to_darts(),
            );
        }
        area(FindingKind::AreaUndeclared, self.undeclared, limits.area);
        found
    }

    /// The area that darts are declared to have taken by legs redrawn to a farther tip, mm².
    fn given_to_darts(&self) -> f64 {
        let legs = self.declared.iter().filter(|declared| declared.kind == DeclaredKind::LegsRedrawn);
        legs.map(|declared| (-declared.area).max(0.0)).sum()
    }
}

impl BrokenRecord {
    fn finding(&self) -> Finding {
        let change = SaidOtherwise { what: self.what.clone(), from: None, to: None };
        Finding::of_change(FindingKind::RecordBroken, self.at.clone(), change)
    }
}

impl ChangedSince {
    fn finding(&self) -> Finding {
        let (kind, at) = (FindingKind::ChangedSince, self.at.clone());
        let said = |what: &str, from: Option<String>, to: Option<String>| {
            Finding::of_change(kind, at.clone(), SaidOtherwise { what: what.to_owned(), from, to })
        };
        match &self.change {
            Change::Moved { distance } => {
                Finding::of_law(kind, self.at.clone(), *distance, Length::from_mm(REPLAYED))
            }
            Change::Written { what, given, drawn } => said(what, given.clone(), drawn.clone()),
            Change::DrawnElsewhere { snapped } => said(&snapped.sentence(), None, None),
            Change::Missing => said("it is gone", None, None),
            Change::Added => said("it was added", None, None),
        }
    }
}
