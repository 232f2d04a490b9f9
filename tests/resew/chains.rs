//! The law over random chains, half of them through files: what recorded steps give, done again in one go, is what
//! stands on the sheet. No difference is told.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use retrue::curve::Point;
use retrue::pattern::{Arrows, Grainline, Kept, Pattern};
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

/// A split along a line of another sort: a level or style line of its piece, or one square to or along the grain.
fn along_another_line(mut fields: Value, pattern: &Pattern, turn: usize) -> Value {
    let piece = fields["piece"].as_str().and_then(|name| pattern.find(&name.parse().ok()?));
    let (Some("split"), Some(piece)) = (fields["do"].as_str(), piece) else { return fields };
    let place =
        fields["line"].as_str().unwrap_or_default().split(" > ").next().unwrap_or_default().to_owned();
    let levels = piece.levels.iter().map(|level| format!("level {}", level.name));
    let styles = piece.style_lines.iter().map(|line| line.name.to_string());
    let lines =
        levels.chain(styles).chain([format!("across at 0mm below {place}"), format!("along at {place}")]);
    let lines: Vec<String> = lines.collect();
    fields["line"] = lines[turn % lines.len()].as_str().into();
    fields
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
    for (turn, wish) in wishes.iter().enumerate() {
        let Some(mut fields) = wish.fields(&pattern) else { continue };
        if turn % 2 == 0 {
            fields = along_another_line(fields, &pattern, turn + wishes.len() + done.len());
        }
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

/// The two sheets of a chain that was told of, in the folder that `RETRUE_KEEP` names.
fn keep(number: usize, chain: &Chain) {
    let Some(folder) = std::env::var_os("RETRUE_KEEP").map(std::path::PathBuf::from) else { return };
    for (name, pattern) in [("old", &chain.old), ("new", &chain.new)] {
        std::fs::write(folder.join(format!("chain-{number}-{name}.svg")), sheet::write(pattern).unwrap())
            .unwrap();
    }
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
            let told: Vec<String> =
                findings.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
            let done: Vec<String> = chain.done.iter().map(Value::to_string).collect();
            keep(i, &chain);
            alarms.push(format!("chain {i} {between:?}:\n  {}\n  after {done:#?}", told.join("\n  ")));
        }
    }
    println!("{reached} of {chains} chains, {steps} steps, {} alarms", alarms.len());
    assert!(reached * 2 > chains, "only {reached} of {chains} chains did anything");
    assert!(alarms.is_empty(), "{} of {reached}:\n{}", alarms.len(), alarms.join("\n"));
}

/// A grainline that lies where a piece is folded comes out of it alike, whichever way its last digits lie.
#[test]
fn a_grainline_on_the_axis_of_a_fold_is_carried_alike() {
    let folded = |off: f64| {
        let mut piece = crate::random_bodice::binding(400.0);
        let at = |x: f64| Point::new(x, 5015.0 + off);
        let (start, end) = (at(80.0), at(320.0));
        piece.grainline = Some(Grainline { start, end, arrows: Arrows::Both, kept: Kept::default() });
        let pattern = Pattern::new(vec![piece], Vec::new()).unwrap();
        let fold = read_step(serde_json::json!({ "do": "fold", "piece": "binding" })).unwrap();
        let folded = fold.apply(&pattern).unwrap().pattern;
        folded.pieces().next().unwrap().grainline.clone().unwrap()
    };
    let exact = folded(0.0);
    for off in [1e-7, -1e-7] {
        let grain = folded(off);
        assert!(
            grain.start.distance(exact.start) < 1e-3 && grain.end.distance(exact.end) < 1e-3,
            "{grain:?}"
        );
    }
}
