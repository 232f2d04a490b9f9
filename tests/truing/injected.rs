//! Every fault that is put into a shipped sheet is told at its place, a larger one never more mildly than a smaller one.
//!
//! `RETRUE_TELL=1` prints how many of each class are told, and which are not; `RETRUE_KEEP=FOLDER` keeps the faulty sheets.

use std::collections::{BTreeMap, HashSet};

use retrue::pattern::Pattern;
use retrue::recut::Step;
use retrue::sheet;
use retrue::truing::{self, Finding, Limits, Weight};

use crate::injector::{Class, Fault, broken_outlines};
use crate::{FIXTURES, read, text_of};

/// At least so many faults of each class are told.
const LEAST: usize = 20;

/// A fault that is rightly not told, by its class and a part of its place, and why.
///
/// A place is part of the element's name, so that one entry may stand for several sheets.
const SILENCES: &[(Class, &str, &str)] = &[
    (Class::Forgotten, "front-facing.neck + front.neck", "both edges are still sewn to the collar"),
    (Class::Forgotten, "collar.neck + front.neck", "the edges are still sewn in other layers"),
    (Class::Forgotten, "collar.neck + front-facing.neck", "the edges are still sewn in other layers"),
    (Class::Forgotten, "back-neck-facing.neck + back.neck", "both edges are still sewn to the collar"),
    (Class::WrongEnds, "pocket-bag.mouth", "the welt is the same from either end, and has no notch"),
    (Class::NotchDrift, "armhole-notch", "within the ease of the cap, which may lie anywhere"),
    (Class::NotchDrift, "sleeve.cap-", "within the ease of the cap, which may lie anywhere"),
    (Class::NotchDrift, "back.centre-notch", "sewn to its own mirror image, which moves with it"),
    (Class::NotchAlone, "sleeve.cap-shoulder-notch", "it meets the shoulder seam, not a notch"),
    (Class::NotchAlone, "neck-notch", "its partner meets others in another layer"),
    (Class::NotchAlone, "neck-front-notch", "its partner meets others in another layer"),
    (
        Class::NotchAlone,
        "neck-shoulder-notch",
        "its partner meets others in another layer, or the shoulder seam",
    ),
    (Class::NotchAlone, "back.centre-notch", "sewn to its own mirror image, which loses it too"),
    (Class::AllowanceDiffers, ".centre", "sewn to its own mirror image, which has the same"),
    (Class::AllowanceDiffers, "pocket-welt.", "sewn to its own mirror image, which has the same"),
    (Class::CutCount, "belt", "sewn only to itself: nothing says how many"),
    (Class::CutCount, "cuff", "sewn only to itself: nothing says how many"),
    (Class::CutCount, "hanger", "sewn to nothing: nothing says how many"),
    (Class::CutMirror, "cuff", "the same with either side up"),
    (Class::CutMirror, "under-collar", "told as a count: its centre seam lacks the mirrored copy"),
    (Class::CutMirror, "pocket-welt", "the same with either side up"),
    (
        Class::LiningOnShell,
        "skirt-",
        "the skirt has no lining of its own, so that one may be caught in its seam",
    ),
];

/// How heavily a fault is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Verdict {
    Silent,
    Warned,
    Untrue,
}

fn found(pattern: &Pattern) -> Vec<Finding> {
    truing::check(pattern, &Limits::default())
}

fn names(finding: &Finding, name: &str) -> bool {
    let plain = |word: &str| word.trim_end_matches([',', ':']).trim_end_matches("/m").to_owned();
    finding.at.split_whitespace().any(|word| plain(word) == plain(name))
}

/// The verdict on a fault at its place; what was told before it was put in does not count.
fn verdict(class: Class, fault: &Fault, before: &[Finding]) -> Verdict {
    let known: HashSet<String> = before.iter().map(|finding| format!("{finding:?}")).collect();
    let told = found(&fault.pattern).into_iter().filter(|finding| {
        let is_here = fault.at.iter().any(|name| names(finding, name));
        finding.kind == class.kind() && is_here && !known.contains(&format!("{finding:?}"))
    });
    let weights = told.map(|finding| match finding.weight {
        Weight::Untrue => Verdict::Untrue,
        Weight::Warning => Verdict::Warned,
    });
    weights.max().unwrap_or(Verdict::Silent)
}

/// Why a fault is rightly not told.
fn silence(class: Class, fault: &Fault) -> Option<usize> {
    SILENCES.iter().position(|(of, place, _)| *of == class && fault.place.contains(place))
}

fn keep(class: Class, number: usize, fault: &Fault) {
    if let Ok(folder) = std::env::var("RETRUE_KEEP")
        && let Ok(text) = sheet::write(&fault.pattern)
    {
        std::fs::write(format!("{folder}/{class:?}-{number}.svg"), text).unwrap();
    }
}

#[test]
fn faults_in_shipped_sheets_are_told_at_their_place() {
    let tell = std::env::var_os("RETRUE_TELL").is_some();
    let mut patterns: Vec<Pattern> = FIXTURES.iter().map(|fixture| read(&text_of(fixture))).collect();
    patterns.push(read(&text_of("../examples/narrow-coat.svg")));
    patterns.push(opened(&read(&text_of("dress.svg"))));
    let before: Vec<Vec<Finding>> = patterns.iter().map(found).collect();
    let (mut wrong, mut used) = (Vec::new(), HashSet::new());
    for class in Class::ALL {
        let (mut told, mut silent, mut number) = (0, 0, 0);
        // So few pieces of the fixtures are cut in pairs that recut ones are looked at, too.
        let sheets = if class == Class::CutMirror { patterns.len() } else { FIXTURES.len() };
        for (pattern, before) in patterns.iter().zip(&before).take(sheets) {
            let mut by_place: BTreeMap<String, Vec<(f64, Verdict)>> = BTreeMap::new();
            for fault in class.faults(pattern) {
                keep(class, number, &fault);
                number += 1;
                let verdict = verdict(class, &fault, before);
                match (verdict, silence(class, &fault)) {
                    (Verdict::Silent, _) if fault.is_none.is_some() => silent += 1,
                    (_, _) if fault.is_none.is_some() => {
                        let why = fault.is_none.unwrap_or_default();
                        wrong.push(format!("{class:?} at {} is told, but {why}", fault.place));
                    }
                    (Verdict::Silent, Some(reason)) => {
                        used.insert(reason);
                        silent += 1;
                    }
                    (Verdict::Silent, None) => {
                        wrong.push(format!("{class:?} by {} at {} is not told", fault.size, fault.place));
                    }
                    _ => told += 1,
                }
                by_place.entry(fault.place).or_default().push((fault.size, verdict));
            }
            for (place, mut verdicts) in by_place {
                verdicts.sort_by(|a, b| a.0.total_cmp(&b.0));
                if verdicts.windows(2).any(|pair| pair[0].0 < pair[1].0 && pair[0].1 > pair[1].1) {
                    wrong.push(format!("{class:?} at {place} is milder when larger: {verdicts:?}"));
                }
            }
        }
        if told < LEAST {
            wrong.push(format!("{class:?}: only {told} are told"));
        }
        if tell {
            println!("{class:?}: {number} put in, {told} told, {silent} rightly not");
        }
    }
    let idle: Vec<_> = (0..SILENCES.len()).filter(|reason| !used.contains(reason)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(idle.is_empty(), "silences that no fault needs: {idle:?}");
}

/// The dress with a seam at each centre front in place of the fold.
fn opened(dress: &Pattern) -> Pattern {
    ["bodice-front", "skirt-front", "lining-front"].into_iter().fold(dress.clone(), |pattern, piece| {
        let step = Step::read("open-centre", serde_json::json!({ "piece": piece })).unwrap();
        step.apply(&pattern).unwrap().pattern
    })
}

/// What is open is refused when it is read, with the names of the ends; it never comes to be checked.
#[test]
fn an_open_outline_is_no_piece() {
    let broken: usize = FIXTURES.iter().map(|fixture| broken_outlines(&read(&text_of(fixture)))).sum();
    assert!(broken >= LEAST, "{broken}");
}
