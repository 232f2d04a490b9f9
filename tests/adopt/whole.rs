//! The whole way: a pattern printed as a company would, made a PDF, made an SVG by a general converter, and adopted with
//! a map, is the pattern.

use std::path::{Path, PathBuf};
use std::process::Command;

use kurbo::Point;

use crate::common::commercial::{Drawn, page, to_page};
use crate::compare::{Comparison, adopted_is_the_pattern, read};
use crate::programs::{Program, found};
use crate::run::{Bench, fixture};

/// How far an edge may be off after the whole way, mm.
const OFF: f64 = 0.1;

/// How far from where it was printed an edge of the worked example may lie, mm, as the README says.
const SKIRT_OFF: f64 = 0.02;

/// The patterns that go the whole way.
const PATTERNS: [&str; 4] = ["skirt-shaped-back", "dress", "coat", "awkward"];

fn converted_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/adopt")
}

fn name_of(pattern: &str, drawn: Drawn) -> String {
    let drawn = if drawn == Drawn::Seamline { "seamlines" } else { "cutting-lines" };
    format!("{pattern}-{drawn}.svg")
}

/// Turns the printed page to a PDF and that to an SVG, as a user would.
fn convert(page: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    std::fs::write(path("page.svg"), page).expect("written");
    let run = |program: &str, arguments: &[&str]| {
        let done = Command::new(program).args(arguments).current_dir(folder.path()).output();
        let done = done.expect("the program starts");
        assert!(done.status.success(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
    };
    run("rsvg-convert", &["-f", "pdf", "-o", "page.pdf", "page.svg"]);
    run("pdftocairo", &["-svg", "page.pdf", "converted.svg"]);
    std::fs::read_to_string(path("converted.svg")).expect("it is converted")
}

/// Whether a converted page is kept.
fn is_kept(pattern: &str, drawn: Drawn) -> bool {
    drawn == Drawn::CuttingLine || pattern == PATTERNS[0]
}

/// Writes the converted pages anew where `RETRUE_WRITE_CONVERTED` is set and the programs are there.
#[test]
fn pages_go_the_whole_way() {
    let programs = [Program("rsvg-convert", "librsvg2-bin"), Program("pdftocairo", "poppler-utils")];
    if found(programs).is_none() {
        return;
    }
    for pattern in PATTERNS {
        for drawn in [Drawn::Seamline, Drawn::CuttingLine] {
            let page = page(&read(&fixture(&format!("{pattern}.svg"))), drawn);
            let converted = convert(&page);
            let kept = converted_folder().join(name_of(pattern, drawn));
            if is_kept(pattern, drawn) && std::env::var_os("RETRUE_WRITE_CONVERTED").is_some() {
                std::fs::create_dir_all(converted_folder()).expect("a folder");
                std::fs::write(&kept, &converted).expect("written");
            }
            adopted_is_the_pattern(pattern, drawn, &converted, OFF);
        }
    }
}

/// The converted pages that are kept, so that the way is gone without the converters as well.
#[test]
fn kept_pages_are_the_patterns() {
    for pattern in PATTERNS {
        for drawn in
            [Drawn::Seamline, Drawn::CuttingLine].into_iter().filter(|drawn| is_kept(pattern, *drawn))
        {
            let kept = converted_folder().join(name_of(pattern, drawn));
            let converted = std::fs::read_to_string(kept).expect("a kept page");
            adopted_is_the_pattern(pattern, drawn, &converted, OFF);
        }
    }
}

/// The worked example of the README, as it is shipped.
#[test]
fn the_worked_example_makes_the_skirt() {
    let map = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/adopt/skirt.map.toml");
    let bench = Bench::new()
        .with_file("bought.svg", fixture("adopt/skirt-shaped-back-cutting-lines.svg"))
        .with_file("skirt.map.toml", std::fs::read(map).expect("the map"));
    bench
        .retrue("adopt bought.svg")
        .is_untrue()
        .says("scale off by 0.01 %")
        .prints("style 3  dashed 10.0 3.0 2.0 3.0");
    let outcome = bench.retrue("adopt bought.svg --map skirt.map.toml -o skirt.svg");
    assert_eq!(outcome.is_true().stderr(), "Next: retrue check skirt.svg\n");
    let original = read(&fixture("skirt-shaped-back.svg"));
    let shift = to_page(Point::ORIGIN) - Point::ORIGIN;
    let adopted = read(&bench.text_of("skirt.svg"));
    let compared = Comparison::new("skirt-shaped-back", &original, &adopted, shift, "").holds_within(OFF);
    assert!(compared.worst_edge <= SKIRT_OFF, "{compared:?}");
    bench.retrue("check skirt.svg").is_true();
}
