//! How many plans are looked at by width and area in a minute, and how long a whole planning takes.

use divan::Bencher;
use divan::counter::ItemsCount;
use retrue::cloth::Stock;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::pattern::Pattern;
use retrue::plan::{Effort, PlanTask, Taste, plan, prospects};
use retrue::units::Angle;

fn main() {
    divan::main();
}

fn coat() -> (Pattern, Stock) {
    let text = include_str!("../../fixtures/coat.svg");
    let pattern = retrue::sheet::read(text.as_bytes(), &Default::default()).expect("a pattern").pattern;
    let stock = read_cloth(include_str!("../../examples/cloth.toml"), &mut NoFiles);
    (pattern, stock.expect("a cloth"))
}

/// Recuts of the coat on the narrow bolt, pruned by width and area; the rate counts each that was looked at.
#[divan::bench(sample_count = 5)]
fn pruning(bencher: Bencher) {
    let (pattern, stock) = coat();
    let effort = Effort { recuts: 150, ..Effort::default() };
    let look = || {
        prospects(
            PlanTask {
                pattern: &pattern,
                stock: &stock,
                taste: &Taste::default(),
                grain_tolerance: Angle::ZERO,
            },
            &effort,
            &mut |_| {},
        )
        .expect("prospects")
    };
    bencher.counter(ItemsCount::new(look().recuts)).bench_local(look);
}

/// The coat on the narrow bolt, as the command plans it.
#[divan::bench(sample_count = 2, sample_size = 1)]
fn whole(bencher: Bencher) {
    let (pattern, stock) = coat();
    let effort = Effort::default();
    bencher.bench_local(|| {
        plan(
            PlanTask {
                pattern: &pattern,
                stock: &stock,
                taste: &Taste::default(),
                grain_tolerance: Angle::ZERO,
            },
            &effort,
            &mut |_| {},
        )
        .expect("a plan")
    });
}
