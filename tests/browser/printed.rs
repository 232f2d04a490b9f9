//! What is held of the pages as they are printed, on A4 and on Letter: none but the last is a third empty.

use std::path::Path;
use std::process::Command;

use crate::pages::{PAGES, written};
use crate::programs::found;
use crate::{CHROMIUM, DRIVER, NODE, POPPLER, succeeds};

/// How fine pages are looked at, dots an inch: a line of text is four high.
const DOTS: &str = "24";

/// What of a page may be empty below what stands on it.
const EMPTY: f64 = 1.0 / 3.0;

/// The margins above and below that the pages ask for, mm.
const MARGIN: f64 = 12.0;

#[test]
fn no_printed_page_is_a_third_empty() {
    let Some([chromium, driver, node, pdftoppm]) = found([CHROMIUM, DRIVER, NODE, POPPLER]) else { return };
    let bench = written();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/print.mjs");
    let mut print = Command::new(node);
    print.arg(script).args(PAGES.map(|page| bench.path(page)));
    succeeds(print.envs([("CHROMIUM", chromium), ("CHROMEDRIVER", driver)]));
    let mut wrong = Vec::new();
    for page in PAGES {
        for paper in ["a4", "letter"] {
            let pdf = bench.path(&page.replace(".html", &format!("-{paper}.pdf")));
            let sheets = tempfile::tempdir().expect("a folder");
            let mut draw = Command::new(&pdftoppm);
            succeeds(draw.args(["-gray", "-r", DOTS]).arg(&pdf).arg(sheets.path().join("page")));
            let entries = std::fs::read_dir(sheets.path()).expect("the folder is there");
            let mut files: Vec<_> = entries.map(|entry| entry.expect("an entry").path()).collect();
            files.sort();
            let (_, others) = files.split_last().expect("a page");
            for (i, sheet) in others.iter().enumerate() {
                let empty = empty_below(sheet);
                if empty >= EMPTY {
                    wrong.push(format!("{page} on {paper}, page {} of {}: {empty:.2}", i + 1, files.len()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "a third empty: {wrong:#?}");
}

/// What share of the room between the margins of a page is empty below the last ink on it.
fn empty_below(pgm: &Path) -> f64 {
    let bytes = std::fs::read(pgm).expect("a picture");
    let head: Vec<&[u8]> = bytes.split(u8::is_ascii_whitespace).take(3).collect();
    let number = |word: &[u8]| -> usize { String::from_utf8_lossy(word).parse().expect("a number") };
    assert_eq!(head[0], b"P5", "a picture in grey");
    let (width, height) = (number(head[1]), number(head[2]));
    let pixels = &bytes[bytes.len() - width * height..];
    let last = pixels.chunks(width).rposition(|row| row.iter().any(|dot| *dot < 250)).unwrap_or(0);
    let margin = MARGIN / 25.4 * DOTS.parse::<f64>().expect("a number");
    ((height as f64 - margin - last as f64 - 1.0) / (height as f64 - 2.0 * margin)).max(0.0)
}
