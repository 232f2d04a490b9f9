//! How long it takes to tell which pieces fit the cloth by width. The goal is 50 ms for the coat.

use divan::Bencher;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::fit::fit;
use retrue::units::Angle;

fn main() {
    divan::main();
}

#[divan::bench]
fn coat_on_the_narrow_bolt(bencher: Bencher) {
    let text = include_str!("../../fixtures/coat.svg");
    let pattern = retrue::sheet::read(text.as_bytes(), &Default::default()).expect("a pattern").pattern;
    let stock = read_cloth(include_str!("../../examples/cloth.toml"), &mut NoFiles).expect("a cloth");
    bencher.bench_local(|| fit(&pattern, &stock, Angle::ZERO).expect("a fit"));
}
