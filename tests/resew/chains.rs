//! The law over random chains, half of them through files: what recorded steps give, done again in one go, is what
//! stands on the sheet. No difference is told.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use retrue::pattern::Pattern;
use retrue::resew::{ResewLimits, resew};
use retrue::sheet;
use retrue::units::Unit;
use serde_json::Value;

use crate::random_chain::{Wish, first_pattern, read_step, wish};

/// A pattern as it stands in a file; none where a sheet cannot say it: the command then refuses and writes nothing.
fn through_file(pattern: &Pattern) -> Option<Pattern> {
    let text = sheet::write(pattern).ok()?;
    Some(sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern)
}

/// Where a chain goes through files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Between {
    Never,
    EachStep,
}

/// A chain of steps from a file to a file.
struct Chain {
    old: Pattern,
    new: Pattern,
    done: Vec<Value>,
}

fn chain(first: &Pattern, wishes: &[Wish], between: Between) -> Option<Chain> {
    let old = through_file(first)?;
    let mut pattern = old.clone();
    let (mut new, mut done) = (old.clone(), Vec::new());
    for wish in wishes {
        let Some(fields) = wish.fields(&pattern) else { continue };
        let Some(recut) = read_step(fields.clone()).and_then(|step| step.apply(&pattern).ok()) else {
            continue;
        };
        let Some(file) = through_file(&recut.pattern) else { continue };
        done.push(fields);
        pattern = if between == Between::EachStep { file.clone() } else { recut.pattern };
        new = file;
    }
    (!done.is_empty()).then_some(Chain { old, new, done })
}

#[test]
fn what_recorded_steps_give_is_what_stands_on_the_sheet() {
    let chains: usize = std::env::var("RETRUE_CHAINS").ok().and_then(|text| text.parse().ok()).unwrap_or(128);
    let seed: u8 = std::env::var("RETRUE_SEED").ok().and_then(|text| text.parse().ok()).unwrap_or(0);
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let mut runner = TestRunner::new_with_rng(ProptestConfig::default(), rng);
    let strategy = (first_pattern(), proptest::collection::vec(wish(), 3..=8));
    let (mut reached, mut steps, mut alarms) = (0, 0, Vec::new());
    for i in 0..chains {
        let (first, wishes) = strategy.new_tree(&mut runner).unwrap().current();
        let between = if i % 2 == 0 { Between::EachStep } else { Between::Never };
        let Some(chain) = chain(&first, &wishes, between) else { continue };
        reached += 1;
        steps += chain.done.len();
        let findings = resew(&chain.old, &chain.new).unwrap().findings(&ResewLimits::default());
        if !findings.is_empty() {
            let told: Vec<String> = findings.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
            alarms.push(format!("chain {i} {between:?}:\n  {}\n  after {:#?}", told.join("\n  "), chain.done.iter().map(Value::to_string).collect::<Vec<_>>()));
        }
    }
    println!("{reached} of {chains} chains, {steps} steps, {} alarms", alarms.len());
    assert!(reached * 2 > chains, "only {reached} of {chains} chains did anything");
    assert!(alarms.is_empty(), "{} of {reached}:\n{}", alarms.len(), alarms.join("\n"));
}
