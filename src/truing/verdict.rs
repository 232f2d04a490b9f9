//! The one answer to whether a pattern is true, which every command tells.

use crate::pattern::{MIRRORED_HALF, Pattern};
use crate::tolerance::FINDING_GROWN;
use crate::truing::{Finding, FindingKind, Limits, Weight, check};
use crate::units::{Unit, counted};

/// Whether a pattern is true: all that the checks found of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Verdict {
    findings: Vec<Finding>,
}

/// What is not true of a pattern, held against what was not true of the one that it was made from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// What was true before, or is further off than it was.
    pub added: Vec<Finding>,
    /// What was not true before either.
    pub as_before: Vec<Finding>,
}

impl Verdict {
    /// The verdict within the usual limits.
    #[must_use]
    pub fn of(pattern: &Pattern) -> Verdict {
        Verdict::within(pattern, &Limits::default())
    }

    /// The verdict within other limits.
    #[must_use]
    pub fn within(pattern: &Pattern, limits: &Limits) -> Verdict {
        Verdict::default().with(check(pattern, limits))
    }

    /// The verdict with what was found in other ways, as by laying pieces back onto those that they were cut from.
    #[must_use]
    pub fn with(mut self, more: impl IntoIterator<Item = Finding>) -> Verdict {
        self.findings.extend(more);
        self.findings.sort_by_key(|finding| finding.weight);
        self
    }

    /// All that was found: what is not true before what is only to be looked at twice, each in the order of the checks.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// What is not true.
    pub fn untrue(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.weight == Weight::Untrue)
    }

    /// Whether nothing stands in the way of cutting.
    #[must_use]
    pub fn is_true(&self) -> bool {
        self.untrue().next().is_none()
    }

    /// What is not true in one line: how many findings, and the first of them. Nothing where all is true.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> Option<String> {
        let untrue: Vec<&Finding> = self.untrue().collect();
        sentence_of(&untrue, unit)
    }

    /// What is not true against what was not true of the pattern that this one was made from.
    ///
    /// A finding is as before where one of its kind was in its place and it has not grown by more than can be measured; or
    /// where one of its kind and number is gone from its place: that has gone along with its cloth to a piece or edge of
    /// another name; or where it is the mirror image of one, on the other half of a piece that was opened out.
    #[must_use]
    pub fn since(&self, before: &Verdict) -> Comparison {
        // The smallest first: one that has shrunk is not to take the place of one that has not.
        let mut old: Vec<&Finding> = before.untrue().collect();
        old.sort_by(|a, b| a.fault().total_cmp(&b.fault()));
        let found: Vec<&Finding> = self.untrue().collect();
        let in_order: Vec<usize> = (0..found.len()).collect();
        let mut by_fault = in_order.clone();
        by_fault.sort_by(|a, b| found[*a].fault().total_cmp(&found[*b].fault()));
        let mut known = vec![false; found.len()];
        let ways: [(ThereBefore, &[usize]); 3] =
            [(is_unchanged, &by_fault), (has_not_grown, &by_fault), (is_elsewhere, &in_order)];
        for (is_it, order) in ways {
            for i in order.iter().copied() {
                if !known[i]
                    && let Some(at) = old.iter().position(|old| is_it(found[i], old))
                {
                    old.remove(at);
                    known[i] = true;
                }
            }
        }
        for (new, known) in found.iter().zip(&mut known) {
            let is_mirrored = |old: &Finding| is_elsewhere(new, old) && is_mirror_image(&new.at, &old.at);
            *known = *known || before.untrue().any(is_mirrored);
        }
        let mut comparison = Comparison::default();
        for (new, known) in found.into_iter().zip(known) {
            let list = if known { &mut comparison.as_before } else { &mut comparison.added };
            list.push(new.clone());
        }
        comparison
    }

    /// Whether nothing is untrue that was not so of the pattern that this one was made from.
    #[must_use]
    pub fn is_as_true_as(&self, before: &Verdict) -> bool {
        self.since(before).added.is_empty()
    }
}

impl Comparison {
    /// What was not true before either, in one line. Nothing where there is nothing.
    #[must_use]
    pub fn sentence_as_before(&self, unit: Unit) -> Option<String> {
        let as_before: Vec<&Finding> = self.as_before.iter().collect();
        sentence_of(&as_before, unit).map(|sentence| format!("as before, {sentence}"))
    }
}

/// In what way a finding, the first, was there before.
type ThereBefore = fn(&Finding, &Finding) -> bool;

/// Whether a finding is one that was there before, in its place.
fn is_unchanged(new: &Finding, old: &Finding) -> bool {
    old.at == new.at && is_elsewhere(new, old)
}

/// Whether a finding was there before, in its place, and has not grown by more than can be measured.
fn has_not_grown(new: &Finding, old: &Finding) -> bool {
    is_of_kind(old, new) && old.at == new.at && new.fault() <= old.fault() + FINDING_GROWN
}

/// Whether a finding is as large as one that was there before, wherever.
fn is_elsewhere(new: &Finding, old: &Finding) -> bool {
    is_of_kind(old, new) && (new.fault() - old.fault()).abs() <= FINDING_GROWN
}

/// Whether two findings are of one kind. A kink across a seam is a corner in the edge once the seam is merged.
fn is_of_kind(old: &Finding, new: &Finding) -> bool {
    let is_turn = |kind| matches!(kind, FindingKind::Kink | FindingKind::CornerAtJoin);
    old.kind == new.kind || (is_turn(old.kind) && is_turn(new.kind))
}

/// Whether a place is that of another on the other half of a piece or garment.
fn is_mirror_image(new: &str, old: &str) -> bool {
    new != old && new.replace(MIRRORED_HALF, "") == old.replace(MIRRORED_HALF, "")
}

fn sentence_of(findings: &[&Finding], unit: Unit) -> Option<String> {
    let first = findings.first()?.sentence(unit);
    let number = counted(findings.len(), "finding");
    Some(if findings.len() == 1 {
        format!("{number}, {first}")
    } else {
        format!("{number}, the first {first}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn length(at: &str, number: f64) -> Finding {
        Finding::of_law(FindingKind::SeamLength, at.to_owned(), number, Length::from_mm(0.5))
    }

    fn verdict(findings: &[Finding]) -> Verdict {
        Verdict::default().with(findings.iter().cloned())
    }

    #[test]
    fn only_what_is_new_or_has_grown_is_added() {
        let old = verdict(&[length("a + b", 4.0), length("c + d", -2.0), length("e + f", 3.0)]);
        let found =
            verdict(&[length("a + b", 4.0), length("c + d", -2.5), length("x + f", 3.0), length("g", 3.0)]);
        let told = found.since(&old);
        assert_eq!(told.added, [length("c + d", -2.5), length("g", 3.0)]);
        assert_eq!(told.as_before, [length("a + b", 4.0), length("x + f", 3.0)]);
    }

    /// Of several of a kind in one place, each is held against its own: whichever stands first.
    #[test]
    fn an_unchanged_finding_is_never_new() {
        let here = |number: f64| length("a + b", number);
        for old in [[5.0, 3.0], [3.0, 5.0]] {
            let found = verdict(&[here(3.0), here(4.0)]);
            assert!(found.is_as_true_as(&verdict(&old.map(here))));
            let grown = verdict(&[here(3.0), here(6.0)]);
            assert_eq!(grown.since(&verdict(&old.map(here))).added, [here(6.0)]);
        }
    }

    #[test]
    fn a_finding_that_stays_does_not_excuse_another_of_its_size() {
        let found = verdict(&[length("c + d", 4.0), length("a + b", 4.0)]);
        assert_eq!(found.since(&verdict(&[length("a + b", 4.0)])).added, [length("c + d", 4.0)]);
    }

    #[test]
    fn a_fault_of_a_half_piece_is_as_before_on_both_halves() {
        let old = verdict(&[length("back.side + front.side", 4.0)]);
        let both = [length("back.side + front.side", 4.0), length("back.side/m + front.side/m", 4.0)];
        assert!(verdict(&both).is_as_true_as(&old));
        let worse = [length("back.side + front.side", 4.0), length("back.side/m + front.side/m", 5.0)];
        assert_eq!(verdict(&worse).since(&old).added, worse[1..]);
    }

    #[test]
    fn a_kink_across_a_seam_that_was_merged_is_as_before() {
        let turn = |kind: FindingKind, at: &str, degrees: f64| {
            verdict(&[Finding::of_angle(kind, at.to_owned(), degrees, 3.0, Weight::Untrue)])
        };
        let old = turn(FindingKind::Kink, "a.hem and b.hem across a.side + b.side", 8.0);
        assert!(turn(FindingKind::CornerAtJoin, "a.hem at hem-2", 8.0).is_as_true_as(&old));
        assert!(!turn(FindingKind::CornerAtJoin, "a.hem at hem-2", 9.0).is_as_true_as(&old));
    }

    #[test]
    fn a_warning_before_excuses_nothing() {
        let warned = verdict(&[length("a + b", 4.0).into_warning()]);
        assert!(warned.is_true() && warned.sentence(Unit::Millimetre).is_none());
        assert!(!verdict(&[length("a + b", 4.0)]).is_as_true_as(&warned));
    }

    #[test]
    fn the_sentence_counts_the_findings_and_tells_the_first() {
        let told = |findings: &[Finding]| verdict(findings).sentence(Unit::Millimetre).expect("a sentence");
        let first = "a + b: the first side is longer by 4 mm (limit 0.5 mm)";
        assert_eq!(told(&[length("a + b", 4.0)]), format!("1 finding, {first}"));
        let two = [length("a + b", 4.0), length("c", 3.0)];
        assert_eq!(told(&two), format!("2 findings, the first {first}"));
    }
}
