//! How densely sets of polygons are laid, and how many places are looked at in a second.
//!
//! `cargo bench --bench lay -- [--seconds S | --iterations N] [--first SEED] [--seeds K] [--searchers W] [FILE…]`: sets in the format
//! of `fixtures/lay`, which are taken where no file is named; then a puzzle of 12 pieces.

use std::time::Instant;

use retrue::cloth::search::{Budget, Continue, Limit, Outcome, Problem, search};

#[path = "../common/lay_sets.rs"]
mod lay_sets;

/// What is asked for on the command line.
struct Wishes {
    limit: Limit,
    first: u64,
    seeds: u64,
    searchers: usize,
    files: Vec<String>,
}

fn main() {
    let wishes = wishes();
    let mut sets: Vec<(String, Problem)> = wishes
        .files
        .iter()
        .map(|file| {
            if let Some(pieces) = file.strip_prefix("puzzle:") {
                let pieces = pieces.parse().expect("a number of pieces");
                return (file.clone(), lay_sets::puzzle(900.0, 1600.0, pieces, 7));
            }
            (
                file.clone(),
                lay_sets::published(&std::fs::read_to_string(file).expect("a file that can be read")),
            )
        })
        .collect();
    if sets.is_empty() {
        sets.push(("albano".into(), lay_sets::published(include_str!("../../fixtures/lay/albano.json"))));
        sets.push(("mao".into(), lay_sets::published(include_str!("../../fixtures/lay/mao.json"))));
        sets.push(("puzzle of 12".into(), lay_sets::puzzle(900.0, 1600.0, 12, 7)));
    }
    for (name, problem) in sets {
        run(&name, &problem, &wishes);
    }
}

fn wishes() -> Wishes {
    let mut wishes =
        Wishes { limit: Limit::Iterations(3000), first: 0, seeds: 1, searchers: 2, files: Vec::new() };
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    while let Some(word) = words.next() {
        let mut number = || words.next().and_then(|word| word.parse::<f64>().ok()).expect("a number");
        match word.as_str() {
            "--seconds" => wishes.limit = Limit::Seconds(number()),
            "--iterations" => wishes.limit = Limit::Iterations(number() as u64),
            "--first" => wishes.first = number() as u64,
            "--seeds" => wishes.seeds = number() as u64,
            "--searchers" => wishes.searchers = number() as usize,
            _ => wishes.files.push(word),
        }
    }
    wishes
}

fn run(name: &str, problem: &Problem, wishes: &Wishes) {
    let mut densities = Vec::new();
    for seed in wishes.first..wishes.first + wishes.seeds {
        let budget = Budget { seed, searchers: wishes.searchers, limit: wishes.limit };
        let began = Instant::now();
        let outcome = search(problem, &budget, &mut |_| Continue::Search).expect("a sound problem");
        let seconds = began.elapsed().as_secs_f64();
        let Outcome::Fits(layout) = outcome else { panic!("{name}: {outcome:?}") };
        let density = lay_sets::density(problem, &layout);
        println!(
            "{name}: seed {seed}, {density:.2} %, length {:.1}, {} passes, {seconds:.1} s, {:.0} places a second",
            layout.used[0],
            layout.iterations,
            layout.looked_at as f64 / seconds,
        );
        densities.push(density);
    }
    densities.sort_by(f64::total_cmp);
    println!("{name}: median {:.2} %", densities[densities.len() / 2]);
}
