//! What is shown of the pieces and the cloth.

use std::process::Command;

use crate::bench::{Bench, CLOTH, keep, step};
use serde_json::json;

/// What stands beside a piece is what `fit` says of it.
#[test]
fn a_piece_fits_in_the_words_of_the_command() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.env("COLUMNS", "10000");
    let done = command.arg("fit").arg(bench.path("coat.svg")).args(["--cloth", CLOTH]).output();
    let said = String::from_utf8(done.expect("the program").stdout).expect("a text");
    let mut compared = 0;
    for piece in table.seen().pieces.iter().filter(|piece| !piece.fit_word.is_empty()) {
        let is_of = |line: &&str| line.split_whitespace().any(|word| word == piece.name);
        let line = said.lines().find(is_of).expect("a line");
        // A person reads whole millimetres, of what the command tells to the hundredth.
        let words =
            piece.fit_word.trim_end_matches(" mm").trim_end_matches(|sign: char| sign.is_ascii_digit());
        assert!(line.contains(words.trim_end()), "{line}: {}", piece.fit_word);
        if let Some(by) = piece.fit_word.strip_suffix(" mm").and_then(|said| said.rsplit(' ').next()) {
            let by: f64 = by.parse().expect("a number");
            let told = line.split_whitespace().filter_map(|word| word.parse::<f64>().ok());
            assert!(told.into_iter().any(|told| (told - by).abs() <= 0.5), "{line}: {}", piece.fit_word);
        }
        assert!(piece.fit.as_ref().is_some_and(|fit| fit.sentence.contains(&piece.fit_word)), "{piece:?}");
        compared += 1;
    }
    assert!(compared > 5, "{compared}");
}

/// The cloth is drawn from its start to its end, measured along its edge.
#[test]
fn the_whole_cloth_is_drawn() {
    let bench = Bench::of_coat();
    let seen = bench.table().seen();
    let [cloth] = seen.cloths.as_slice() else { panic!("one cloth: {:?}", seen.cloths.len()) };
    assert!(cloth.called.contains("370 mm wide, 11400 mm long"), "{}", cloth.called);
    for metre in 1..=11 {
        assert!(cloth.drawing.contains(&format!("{metre}000 mm")), "{metre} m");
    }
    let [_, top, _, _] = seen.views.first;
    assert!(cloth.drawing.contains("11400") || cloth.drawing.contains(&format!("{}", top + 80.0 + 11400.0)));
}

/// All that was found can be read, and not the first of it alone.
#[test]
fn all_that_was_found_is_listed() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    assert!(table.seen().verdicts.findings.is_empty(), "the coat has none");
    for edge in ["back.side", "back.shoulder"] {
        let ease = json!({ "do": "set-edge", "edge": edge, "ease": "9mm" });
        keep(&mut table, &step(ease));
    }
    let seen = table.seen().verdicts;
    assert!(seen.is_true.sentence.starts_with("Not true: 2 findings, the first "), "{:?}", seen.is_true);
    let listed: Vec<_> =
        seen.findings.iter().map(|line| (line.good, line.sentence.contains("longer by"))).collect();
    assert_eq!(listed, [(Some(false), true); 2], "{:?}", seen.findings);
}
