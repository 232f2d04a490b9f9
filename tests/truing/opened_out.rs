//! A half piece that is opened out leaves a pattern as true as it was.

use crate::run::Bench;

/// The half pieces of the shipped sheets, with the edge on the fold; not the welt, whose fold is a turned edge.
const HALVES: [(&str, &str, &str); 8] = [
    ("coat.svg", "back", "centre"),
    ("coat.svg", "collar", "centre"),
    ("coat.svg", "back-neck-facing", "centre"),
    ("coat.svg", "belt", ""),
    ("coat.svg", "cuff", ""),
    ("dress.svg", "bodice-front", "centre"),
    ("dress.svg", "skirt-front", "centre"),
    ("dress.svg", "lining-front", "centre"),
];

#[test]
fn a_half_piece_opened_out_is_as_true_as_before() {
    for (sheet, piece, _) in HALVES {
        let bench = Bench::new().with_fixture(sheet);
        bench.retrue(&format!("unfold --piece {piece} {sheet} -o opened.svg")).is_true();
        bench.retrue("check opened.svg").is_true();
    }
}

#[test]
fn a_half_piece_opened_and_joined_to_its_copy_is_as_true_as_before() {
    for (sheet, piece, fold) in HALVES.into_iter().filter(|(_, _, fold)| !fold.is_empty()) {
        let bench = Bench::new().with_fixture(sheet);
        bench.retrue(&format!("open-centre --piece {piece} {sheet} -o open.svg")).is_true();
        bench.retrue(&format!("merge-at-seamline --seam {piece}.{fold} open.svg -o joined.svg")).is_true();
        bench.retrue("check joined.svg").is_true();
    }
}

#[test]
fn a_seam_of_an_opened_piece_is_called_by_the_half_it_is_sewn_on() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("unfold --piece back coat.svg -o opened.svg").is_true();
    let shown = bench.retrue("show opened.svg");
    shown.is_true();
    assert!(!shown.stdout().contains("/m/m"), "{}", shown.stdout());
    shown.prints("sleeve.cap/m");
}
