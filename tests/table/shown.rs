//! What is shown of the pieces and the cloth.

use std::process::Command;

use retrue::cloth::file::{NoFiles, read};
use retrue::table::Table;
use serde_json::json;

use crate::bench::{Bench, CLOTH, keep, narrow_allowances, step};

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

/// What is to lie on a selvedge does not fit cloth that has none: that is read at the top, and of the piece.
#[test]
fn a_selvedge_that_is_missing_is_told() {
    for (selvedges, fits) in [("both", true), ("none", false)] {
        let cloth = format!("[main]\nwidth = \"3m\"\nlength = \"20m\"\nselvedges = \"{selvedges}\"\n");
        let bench = Bench::of_coat();
        let mut table = bench.table_on(Some(read(&cloth, &mut NoFiles).expect("a cloth")));
        let on = step(json!({ "do": "set-edge", "edge": "hanger.upper", "selvedge": "yes" }));
        let seen = keep(&mut table, &on);
        let hanger = seen.pieces.iter().find(|piece| piece.name == "hanger").expect("the hanger");
        let told = hanger.fit.as_ref().expect("told");
        assert_eq!(told.good, Some(fits), "{told:?}");
        let why = "hanger.upper is to lie on a selvedge that main does not have";
        for sentence in [&told.sentence, &seen.verdicts.fits.sentence] {
            assert_eq!(sentence.contains(why), !fits, "{sentence}");
        }
        assert_eq!(seen.verdicts.fits.sentence.contains("Does not fit"), !fits);
    }
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

/// What a step mends has that step to press, and says at which edges it is; once it is pressed it is not told any more.
#[test]
fn what_a_step_mends_is_mended_at_a_press() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &step(json!({ "do": "set-edge", "edge": "back.side", "ease": "9mm" })));
    let found = table.seen().verdicts.findings;
    let [line] = found.as_slice() else { panic!("one finding: {found:?}") };
    assert!(
        line.at.contains(&"back.side".to_owned()) && line.at.contains(&"front.side".to_owned()),
        "{line:?}"
    );
    let press = line.presses.first().unwrap_or_else(|| panic!("{line:?}"));
    assert_eq!(press.step["do"], "true-seam");
    keep(&mut table, &step(press.step.clone()));
    let seen = table.seen().verdicts;
    let lengths = seen.findings.iter().filter(|line| line.sentence.contains("longer by")).count();
    assert_eq!((seen.is_true.sentence.contains("longer by"), lengths), (false, 0), "{seen:?}");
}

/// A side seam moved far on leaves a corner in the armhole where the pieces met: it is smoothed at a press, or is said to be
/// meant.
#[test]
fn a_corner_in_an_armhole_is_smoothed_at_a_press() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let moved = json!({ "do": "move-seam", "seam": "front.side", "from": "back", "fit-cloth": CLOTH, "line": "grain" });
    keep(&mut table, &step(moved));
    let turns = |table: &Table| {
        let found = table.seen().verdicts.findings.into_iter();
        found.filter(|line| line.sentence.contains("turns by")).collect::<Vec<_>>()
    };
    let found = turns(&table);
    let line = found.first().unwrap_or_else(|| panic!("{:?}", table.seen().verdicts));
    assert_eq!(line.at, ["front.armhole-2"], "{line:?}");
    let steps: Vec<&str> = line.presses.iter().filter_map(|press| press.step["do"].as_str()).collect();
    assert_eq!(steps, ["true-seam", "set-corner"], "{line:?}");
    for press in &line.presses {
        assert!(!press.asks, "{press:?}");
        keep(&mut table, &step(press.step.clone()));
        assert!(turns(&table).is_empty(), "{press:?}: {:?}", turns(&table));
        table.undo(table.revision()).expect("undone");
    }
}
