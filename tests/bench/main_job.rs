//! How long the parts of the main job take: the shipped coat is read, recut for narrow cloth, checked and written.

use divan::{Bencher, black_box};
use retrue::pattern::Pattern;
use retrue::recut::Step;
use retrue::sheet;
use retrue::truing::{Limits, check};

const COAT: &[u8] = include_bytes!("../../fixtures/coat.svg");
const NARROW_COAT: &str = include_str!("../../examples/narrow-coat.toml");
const LINED_COAT: &str = include_str!("../../examples/lined-coat.toml");

fn main() {
    divan::main();
}

#[divan::bench]
fn read_coat() -> Pattern {
    coat()
}

#[divan::bench]
fn write_coat(bencher: Bencher) {
    let pattern = coat();
    bencher.bench(|| sheet::write(black_box(&pattern)));
}

#[divan::bench]
fn check_coat(bencher: Bencher) {
    let pattern = coat();
    bencher.bench(|| check(black_box(&pattern), &Limits::default()));
}

/// All steps of the recipe, on a pattern that has been read.
#[divan::bench]
fn recut_narrow_coat(bencher: Bencher) {
    let (pattern, steps) = (coat(), steps(NARROW_COAT));
    bencher.bench(|| recut(black_box(&pattern), &steps));
}

/// The check of the coat after the recipe, with a ledger to account for.
#[divan::bench]
fn check_narrow_coat(bencher: Bencher) {
    let pattern = recut(&coat(), &steps(NARROW_COAT));
    bencher.bench(|| check(black_box(&pattern), &Limits::default()));
}

/// The coat faced, underlined and lined, recut, and followed: all steps of the recipe, on a pattern that has been read.
#[divan::bench]
fn recut_lined_coat(bencher: Bencher) {
    let (pattern, steps) = (coat(), steps(LINED_COAT));
    bencher.bench(|| recut(black_box(&pattern), &steps));
}

/// All that was made of the coat follows its recut: the last step of the recipe.
#[divan::bench]
fn follow_lined_coat(bencher: Bencher) {
    let mut steps = steps(LINED_COAT);
    let follow = steps.split_off(steps.len() - 1);
    let pattern = recut(&coat(), &steps);
    bencher.bench(|| recut(black_box(&pattern), &follow));
}

/// The check of the lined coat: every derived piece is made afresh and held against what is drawn.
#[divan::bench]
fn check_lined_coat(bencher: Bencher) {
    let pattern = recut(&coat(), &steps(LINED_COAT));
    bencher.bench(|| check(black_box(&pattern), &Limits::default()));
}

fn coat() -> Pattern {
    sheet::read(black_box(COAT), &sheet::ReadOptions::default()).expect("a pattern sheet").pattern
}

fn recut(pattern: &Pattern, steps: &[Step]) -> Pattern {
    steps
        .iter()
        .fold(pattern.clone(), |pattern, step| step.apply(&pattern).expect("a step that can be done").pattern)
}

fn steps(recipe: &str) -> Vec<Step> {
    let recipe: toml::Table = recipe.replace("{width / 2}", "18.5cm").parse().expect("a recipe");
    let steps = recipe["step"].as_array().expect("steps");
    steps.iter().map(|step| step_of(step.as_table().expect("a step").clone())).collect()
}

fn step_of(mut fields: toml::Table) -> Step {
    let name = fields.remove("do").expect("an operation");
    Step::read(name.as_str().expect("a name"), toml::Value::Table(fields)).expect("a step")
}
