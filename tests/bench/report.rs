//! How long a coat takes from its two sheets to the report; the limit is 1 s.

use divan::{Bencher, black_box};
use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::report::Report;
use retrue::truing;
use retrue::units::Unit;

fn main() {
    divan::main();
}

const BEFORE: &[u8] = include_bytes!("../../fixtures/coat.svg");
const NOW: &[u8] = include_bytes!("../../examples/narrow-coat.svg");

fn read(sheet: &[u8]) -> Pattern {
    sheet::read(sheet, &ReadOptions::default()).expect("a sound sheet").pattern
}

/// From the bytes of both sheets to those of the page: eight steps are done again.
#[divan::bench]
fn narrow_coat_to_page(bencher: Bencher) {
    bencher.bench(|| {
        let (before, now) = (read(black_box(BEFORE)), read(black_box(NOW)));
        let report =
            Report::of("narrow-coat", &now, Some((&before).into()), Unit::Millimetre).expect("one history");
        report.html().expect("a page")
    });
}

/// The order of sewing by itself.
#[divan::bench]
fn order_of_sewing(bencher: Bencher) {
    let now = read(NOW);
    bencher.bench(|| truing::construction_order(black_box(&now)));
}
