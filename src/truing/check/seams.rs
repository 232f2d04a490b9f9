//! Lengths and notches along seams.

use std::collections::HashSet;

use super::Measures;
use crate::pattern::{NotchName, PieceName, RunNotch};
use crate::tolerance::SAME_LENGTH;
use crate::truing::finding::{Finding, FindingKind, Measured};
use crate::truing::notches::{NotchPair, Partner, notch_name};
use crate::truing::walk_seam::SeamWalk;
use crate::units::Length;

/// Seams whose sides differ beyond their ease.
pub(super) fn lengths(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.length;
    let found = measures
        .walks
        .iter()
        .filter_map(|walk| Finding::length(FindingKind::SeamLength, &walk.name, walk.difference.mm(), limit));
    found.collect()
}

type NotchKey<'a> = (&'a PieceName, &'a NotchName);

fn key(notch: &RunNotch) -> NotchKey<'_> {
    (&notch.edge.piece, &notch.name)
}

/// What is wrong with the notches of all seams.
///
/// A notch that meets its partner in one layer may be off in another, which has notches of its own; it is alone only
/// where no seam of its edge has a partner for it.
pub(super) fn notches(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.notch;
    let (mut met, mut paired) = (HashSet::new(), HashSet::new());
    for walk in &measures.walks {
        for pair in &walk.pairs {
            let notches = || [&pair.first, &pair.second].into_iter().filter_map(Partner::notch).map(key);
            paired.extend(notches());
            if is_eased(walk) || pair.apart().mm().abs() <= limit.mm() {
                met.extend(notches());
            }
        }
    }
    let mut findings = Vec::new();
    let mut told = HashSet::new();
    for walk in &measures.walks {
        findings.extend(if is_eased(walk) { eased(walk, limit) } else { plain(walk, limit, &met) });
        findings.extend(walk.pairs.iter().filter(|pair| pair.counts_differ()).map(|pair| {
            let at = format!("{}, {}", walk.name, pair.names());
            Finding {
                kind: FindingKind::NotchCount,
                at,
                number: 1.0,
                limit: 0.0,
                unit: Measured::Count,
                weight: crate::truing::Weight::Warning,
            }
        }));
        for (_, notch) in &walk.lone_notches {
            if !paired.contains(&key(notch)) && told.insert(key(notch)) {
                let at = format!("{}, {}", walk.name, notch_name(notch));
                let alone = Finding::over(FindingKind::NotchAlone, at, 1.0, 0.0, Measured::Count);
                findings.extend(alone.map(Finding::warned));
            }
        }
    }
    findings
}

fn is_eased(walk: &SeamWalk) -> bool {
    walk.ease.mm().abs() > SAME_LENGTH
}

fn plain<'a>(walk: &'a SeamWalk, limit: Length, met: &HashSet<NotchKey<'a>>) -> Vec<Finding> {
    let matters = |pair: &&NotchPair| {
        [&pair.first, &pair.second]
            .into_iter()
            .filter_map(|side| side.notch())
            .any(|notch| !met.contains(&key(notch)))
    };
    let found = walk.pairs.iter().filter(matters).filter_map(|pair| {
        let at = format!("{}, {}", walk.name, pair.names());
        Finding::length(FindingKind::NotchDrift, at, pair.apart().mm(), limit)
    });
    found.collect()
}

/// Stretches between notches that are longer on the side meant to be shorter.
fn eased(walk: &SeamWalk, limit: Length) -> Vec<Finding> {
    let found = walk.stretches.iter().filter_map(|stretch| {
        let ease = stretch.ease().mm();
        let at = format!("{}, from {} to {}", walk.name, stretch.from, stretch.to);
        let wrong_way = ease * walk.ease.mm() < 0.0;
        wrong_way.then(|| Finding::length(FindingKind::NotchEase, at, ease, limit)).flatten()
    });
    found.collect()
}
