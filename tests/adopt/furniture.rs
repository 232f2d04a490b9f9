//! What of a sheet is not the drawing: its frame, its rulers and its key are no outlines and no lines, whoever drew them.

use std::fmt::Write;

use kurbo::Shape;
use retrue::adopt::{Asked, Found, find};
use retrue::allowance::cutting_lines;

use crate::compare::read;
use crate::run::{Bench, fixture};

/// A sheet of 600 mm by 500 mm with a piece and its notch on it, and more.
fn sheet(more: &str) -> Found {
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"600mm\" height=\"500mm\" viewBox=\"0 0 600 500\">\
         <g fill=\"none\" stroke=\"black\"><path d=\"M100 100 L400 120 L380 420 L90 400 Z\"/>\
         <path d=\"M250 110 L249.6 116\"/>{more}</g></svg>"
    );
    find(svg.as_bytes(), &Asked::default()).expect("found")
}

/// How many outlines and lines there are.
fn counts(found: &Found) -> (usize, usize) {
    (found.outlines.len(), found.lines.len())
}

#[test]
fn a_frame_and_what_stands_on_it_are_left_out() {
    let frame = "<path d=\"M10 10 H590 V490 H10 Z\"/>";
    let crosses =
        "<path d=\"M2 10 H18\"/><path d=\"M10 2 V18\"/><path d=\"M582 490 H598\"/><path d=\"M300 2 V6\"/>";
    let found = sheet(&format!("{frame}{crosses}"));
    assert_eq!(counts(&found), (1, 1), "{:?}", found.lines);
    assert_eq!((found.outlines[0].letter.as_str(), found.outlines[0].inside), ("A", None));
    // A rectangle in the middle of a sheet is a piece, and what stands on it is its own.
    let piece = sheet("<path d=\"M420 10 H520 V90 H420 Z\"/><path d=\"M470 10 V16\"/>");
    assert_eq!(counts(&piece), (2, 2));
}

/// What fills its sheet is a piece where its seamline lies in it, or the arrow of its grain.
#[test]
fn a_piece_that_fills_its_sheet_is_no_frame() {
    let page = |more: &str| {
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"600mm\" height=\"500mm\" viewBox=\"0 0 600 500\">\
             <g fill=\"none\" stroke=\"black\"><path d=\"M5 5 H595 V495 H5 Z\"/>{more}</g></svg>"
        );
        find(svg.as_bytes(), &Asked::default()).expect("found").outlines.len()
    };
    let pocket = "<path d=\"M400 100 H520 V250 H400 Z\"/>";
    let arrow = "<path d=\"M200 100 V400\"/><path d=\"M197 107 L200 100 L203 107\"/><path d=\"M197 393 L200 400 L203 393\"/>";
    assert_eq!(page("<path d=\"M15 15 H585 V485 H15 Z\"/>"), 2, "its seamline");
    assert_eq!(page(&format!("{pocket}{arrow}")), 2, "its grain");
    assert_eq!(page(pocket), 1, "a frame around one piece");
}

#[test]
fn the_scale_of_a_ruler_is_left_out_and_what_is_as_long_as_it_says_checks() {
    let mut ruler =
        "<path d=\"M20 460 H120\"/><text x=\"122\" y=\"461\" font-size=\"4\">100 mm</text>".to_owned();
    for tick in 0..=10 {
        let _ = write!(ruler, "<path d=\"M{0} 457 V463\"/>", 20 + 10 * tick);
    }
    let found = sheet(&ruler);
    assert_eq!(counts(&found), (1, 2), "{:?}", found.lines);
    assert_eq!(found.scale.checks.len(), 1);
    // One mark at each end does not make a ruler.
    let measure = sheet("<path d=\"M20 460 H120\"/><path d=\"M20 457 V463\"/><path d=\"M120 457 V463\"/>");
    assert_eq!(counts(&measure), (1, 4));
}

#[test]
fn a_key_is_left_out_with_all_its_samples() {
    let row = |at: usize, words: &str| {
        let y = 440 + 8 * at;
        format!(
            "<path d=\"M420 {y} H445\" stroke-dasharray=\"{} 2\"/><text x=\"450\" y=\"{}\" font-size=\"4\">{words}</text>",
            3 + at,
            y + 1
        )
    };
    let key: String =
        ["cut", "stitch", "fold", "level"].iter().enumerate().map(|(at, words)| row(at, words)).collect();
    let last =
        "<circle cx=\"432\" cy=\"472\" r=\"2\"/><text x=\"450\" y=\"473\" font-size=\"4\">button</text>";
    let found = sheet(&format!("{key}{last}"));
    assert_eq!(counts(&found), (1, 1), "{:?}", found.lines);
    // Two lines with words beside them are none.
    let two = sheet(&format!("{}{}", row(0, "cut"), row(1, "stitch")));
    assert_eq!(counts(&two), (1, 3));
}

/// On one sheet, and on a roll: nothing is found but the pieces, what stands on them, and bars that check the scale.
#[test]
fn nothing_of_our_own_sheets_is_taken_for_the_drawing() {
    for pattern in ["coat", "dress", "skirt-shaped-back", "awkward"] {
        let text = fixture(&format!("{pattern}.svg"));
        let original = read(&text);
        let lines = cutting_lines(&original).expect("cutting lines");
        let areas: Vec<f64> = original
            .pieces()
            .map(|piece| lines.of(piece.name()).expect("a line").path.area().abs())
            .collect();
        for paper in ["--paper a0", "--roll 914mm"] {
            let bench = Bench::new().with_file("sheet.svg", &text);
            bench.retrue(&format!("print sheet.svg {paper} -o printed.pdf")).ends_by_itself();
            let printed = std::fs::read(bench.path("printed.pdf")).expect("a PDF");
            let found = find(&printed, &Asked::default()).expect("found");
            let is_check =
                |letter: &str| found.scale.checks.iter().any(|check| check.letter.as_str() == letter);
            for outline in found.outlines.iter().filter(|outline| outline.inside.is_none()) {
                let is_piece = areas.iter().any(|area| (area / outline.ring.area() - 1.0).abs() <= 1e-3);
                assert!(
                    is_piece || is_check(outline.letter.as_str()),
                    "{pattern} {paper}: {}",
                    outline.letter
                );
            }
            for line in found.lines.iter().filter(|line| line.inside.is_none()) {
                let letter = line.letter.as_str();
                assert!(is_check(letter), "{pattern} {paper}: {letter} at {:?}", line.curve.bounds());
            }
        }
    }
}
