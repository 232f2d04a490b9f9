//! How the time grows with the number of pieces on a sheet: many coats side by side, 13 pieces each.
//!
//! The pieces done in a second stay about the same where the time grows as the pieces do.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use retrue::pattern::Pattern;
use retrue::recut::{Split, Step};
use retrue::sheet;
use retrue::truing::{Limits, check};

const COAT: &str = include_str!("../../fixtures/coat.svg");

/// Coats on a sheet: about 10, 100 and 1000 pieces.
const COATS: [usize; 3] = [1, 8, 77];

/// Coats side by side in a row.
const ROW: usize = 10;

/// How far one coat lies beside and below another, mm.
const APART: (usize, usize) = (1500, 1800);

fn main() {
    divan::main();
}

#[divan::bench(args = COATS, sample_count = 10)]
fn read(bencher: Bencher, coats: usize) {
    let text = sheet_of(coats);
    bencher.counter(pieces(coats)).bench(|| pattern_in(black_box(&text)));
}

#[divan::bench(args = COATS, sample_count = 10)]
fn write(bencher: Bencher, coats: usize) {
    let pattern = pattern_in(&sheet_of(coats));
    bencher.counter(pieces(coats)).bench(|| sheet::write(black_box(&pattern)));
}

#[divan::bench(args = COATS, sample_count = 10)]
fn check_all(bencher: Bencher, coats: usize) {
    let pattern = pattern_in(&sheet_of(coats));
    bencher.counter(pieces(coats)).bench(|| check(black_box(&pattern), &Limits::default()));
}

/// One piece of the sheet is recut: the others are left alone, but the girths of all are measured.
#[divan::bench(args = COATS, sample_count = 10)]
fn split_one(bencher: Bencher, coats: usize) {
    let pattern = pattern_in(&sheet_of(coats));
    let step =
        Step::from(Split::of("sleeve-0".parse().expect("a name"), "fore-line".parse().expect("a line")));
    bencher
        .counter(pieces(coats))
        .bench(|| step.apply(black_box(&pattern)).expect("a step that can be done"));
}

/// Every sleeve of the sheet is recut, one after another, with the pieces that lie about.
#[divan::bench(args = [1, 8, 24], sample_count = 3)]
fn split_every_sleeve(bencher: Bencher, coats: usize) {
    let first = pattern_in(&sheet_of(coats));
    bencher.counter(pieces(coats)).bench(|| {
        (0..coats).fold(first.clone(), |pattern, number| {
            let step = Step::from(Split::of(
                format!("sleeve-{number}").parse().expect("a name"),
                "fore-line".parse().expect("a line"),
            ));
            step.apply(&pattern).expect("a step that can be done").pattern
        })
    });
}

fn pieces(coats: usize) -> ItemsCount {
    ItemsCount::new(coats * piece_names().len())
}

fn pattern_in(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &sheet::ReadOptions::default()).expect("a pattern sheet").pattern
}

/// A sheet of so many coats, in rows, the pieces numbered.
fn sheet_of(coats: usize) -> String {
    let start = COAT.find("<g id=").expect("pieces");
    let end = COAT.rfind("</svg>").expect("an end");
    let mut text = COAT[..start].to_owned();
    for number in 0..coats {
        let (across, down) = (number % ROW * APART.0, number / ROW * APART.1);
        text.push_str(&format!(
            "<g transform=\"translate({across} {down})\">{}</g>",
            numbered(&COAT[start..end], number)
        ));
    }
    text.push_str(&COAT[end..]);
    text
}

/// The text of the coat's pieces, each name of a piece with a number behind it.
fn numbered(text: &str, number: usize) -> String {
    let names = piece_names();
    let part_of_name = |letter: char| letter.is_alphanumeric() || letter == '-';
    let mut new = String::new();
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest.find(|letter| !part_of_name(letter)).unwrap_or(rest.len());
        let (word, behind) = rest.split_at(end);
        let names_a_piece = names.contains(&word) && (behind.starts_with('.') || new.ends_with("<g id=\""));
        new.push_str(word);
        if names_a_piece {
            new.push_str(&format!("-{number}"));
        }
        let sign = behind.chars().next().map_or(0, char::len_utf8);
        new.push_str(&behind[..sign]);
        rest = &behind[sign..];
    }
    new
}

fn piece_names() -> Vec<&'static str> {
    COAT.split("<g id=\"").skip(1).filter_map(|behind| behind.split('"').next()).collect()
}
