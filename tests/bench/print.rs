//! How long a coat takes from its sheet to a tiled PDF; the limit is 300 ms.

use divan::{Bencher, black_box};
use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::print::{Orientation, Paper, Print, PrintOptions, SheetSize};

fn main() {
    divan::main();
}

const SHEET: &[u8] = include_bytes!("../../fixtures/coat.svg");

fn read() -> Pattern {
    sheet::read(SHEET, &ReadOptions::default()).expect("a sound sheet").pattern
}

fn print(pattern: &Pattern, paper: Paper) -> Vec<u8> {
    let options = PrintOptions::usual("coat", paper);
    Print::of(pattern, &options).expect("pages").pdf().expect("a PDF")
}

/// From the bytes of the sheet to those of the PDF.
#[divan::bench]
fn coat_to_tiled_pages(bencher: Bencher) {
    bencher.bench(|| print(black_box(&read()), Paper::Sheets(SheetSize::A4, Orientation::Portrait)));
}

/// Whole pieces on large sheets.
#[divan::bench]
fn coat_to_single_sheets(bencher: Bencher) {
    let pattern = read();
    bencher.bench(|| print(black_box(&pattern), Paper::Sheets(SheetSize::A0, Orientation::Portrait)));
}
