//! How densely sets of polygons are laid, and how many places are looked at in a second.
//!
//! `cargo bench --bench lay -- [--seconds S | --iterations N] [--first SEED] [--seeds K] [--searchers W] [--write FOLDER] [SET…]`:
//! sets by their names, or files in the format of `fixtures/lay`; all that are named below where none is. With `--write` the sets
//! are written as such files, to be laid by another program (`against/lay.py`). Each set of copies is laid a second time with
//! flaws, a selvedge and stripes.

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
    write: Option<String>,
    files: Vec<String>,
}

/// The sets that have names.
fn named() -> Vec<(String, Problem)> {
    let half = [0.0, 180.0];
    let quarter = [0.0, 90.0, 180.0, 270.0];
    let sets = [
        ("albano", lay_sets::published(include_str!("../../fixtures/lay/albano.json"))),
        ("mao", lay_sets::published(include_str!("../../fixtures/lay/mao.json"))),
        ("puzzle-12", lay_sets::puzzle(900.0, 1600.0, 12, 7)),
        ("copies-50-of-10", lay_sets::copied(10, 50, &half, 50)),
        ("copies-100-of-8", lay_sets::copied(8, 100, &half, 100)),
        ("copies-43-of-4", lay_sets::copied(4, 43, &half, 43)),
        ("quarter-turns-36-of-12", lay_sets::copied(12, 36, &quarter, 12)),
    ];
    sets.map(|(name, problem)| (name.to_owned(), problem)).into()
}

fn main() {
    let wishes = wishes();
    let named = named();
    let chosen = |file: &String| {
        let known = named.iter().find(|(name, _)| name == file).cloned();
        known.unwrap_or_else(|| {
            let text = std::fs::read_to_string(file).expect("the name of a set, or a file that can be read");
            (file.clone(), lay_sets::published(&text))
        })
    };
    let sets: Vec<(String, Problem)> =
        if wishes.files.is_empty() { named.clone() } else { wishes.files.iter().map(chosen).collect() };
    for (name, problem) in sets {
        if let Some(folder) = &wishes.write {
            let file = std::path::Path::new(folder).join(format!("{name}.json"));
            std::fs::write(file, lay_sets::written(&problem)).expect("it is written");
            continue;
        }
        run(&name, &problem, &wishes);
        if name.contains("-of-") {
            run(&format!("{name}, with flaws, selvedge and stripes"), &lay_sets::on_cloth(&problem), &wishes);
        }
    }
}

fn wishes() -> Wishes {
    let limit = Limit::Iterations(3000);
    let mut wishes = Wishes { limit, first: 0, seeds: 1, searchers: 2, write: None, files: Vec::new() };
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    while let Some(word) = words.next() {
        if word == "--write" {
            wishes.write = words.next();
            continue;
        }
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
