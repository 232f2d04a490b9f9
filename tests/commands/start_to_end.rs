//! The whole way of a user, from a bought pattern to a report, by the commands that `help bought` gives.

use std::path::Path;

use crate::documents::{Document, DocumentCommand};
use crate::run::{Bench, Outcome};
use retrue::sheet;

/// The commands of the topic's section, without the program's name.
fn commands() -> Vec<DocumentCommand> {
    let commands = Document::section("bought", "The whole way of a coat").commands();
    let without = |command: DocumentCommand| {
        let line = command.line.strip_prefix("retrue ").expect("a command of the program").to_owned();
        DocumentCommand { line, ..command }
    };
    commands.into_iter().map(without).collect()
}

fn is(command: &DocumentCommand, name: &str) -> bool {
    command.line.starts_with(name)
}

/// An empty folder but for the drawing, its map and the cloth file.
fn bench_with(drawing: &str, map: &str) -> Bench {
    let shipped =
        |file: &str| std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).expect("a file");
    let files = [drawing, map, "examples/cloth.toml"];
    files.into_iter().fold(Bench::new(), |bench, file| bench.with_file(file, shipped(file)))
}

/// The girths of a ledger, before and now.
fn girths(ledger: &str) -> Vec<(f64, f64)> {
    let lines = ledger.lines().skip_while(|line| !line.starts_with("girths")).skip(1);
    let number = |text: &str| text.split_whitespace().find_map(|word| word.parse::<f64>().ok());
    let pair = |line: &str| {
        let (before, now) = line.split_once('→')?;
        Some((number(before)?, number(now)?))
    };
    lines.map_while(pair).collect()
}

/// How often a text stands in bytes.
fn count(bytes: &[u8], text: &str) -> usize {
    bytes.windows(text.len()).filter(|window| *window == text.as_bytes()).count()
}

/// The last digit of what is shown, mm.
const SHOWN: f64 = 0.01;

fn girths_are_kept(outcome: &Outcome) {
    let girths = girths(&outcome.stdout());
    assert!(!girths.is_empty(), "{}", outcome.stdout());
    for (before, now) in girths {
        assert!((before - now).abs() < 2.0 * SHOWN, "{before} mm before, {now} mm now");
    }
}

/// What is there at the end: the pages told of, a layout, and a report that holds every piece.
fn made_is_whole(bench: &Bench, told_of_print: &str) {
    let pages: usize = {
        let (_, after) = told_of_print.split_once(" on ").expect("pages are told");
        after.split(' ').next().and_then(|word| word.parse().ok()).expect("a number of pages")
    };
    let pdf = std::fs::read(bench.path("recut.pdf")).expect("a PDF");
    assert_eq!(count(&pdf, "/Type /Page") - count(&pdf, "/Type /Pages"), pages);
    assert!(pages > 3, "{pages}");
    let recut =
        sheet::read(bench.text_of("recut.svg").as_bytes(), &Default::default()).expect("a pattern").pattern;
    let (report, layout) = (bench.text_of("recut.html"), bench.text_of("layout.svg"));
    for piece in recut.pieces() {
        assert!(report.contains(piece.name().as_str()), "{} is not in the report", piece.name());
        assert!(layout.contains(piece.name().as_str()), "{} is not in the layout", piece.name());
    }
    assert!(bench.path("plans/1.svg").exists());
}

/// Does the commands, with another drawing and map in place of those it names.
fn goes_from_start_to_end(drawing: &str, map: &str, adopts: i32) {
    let bench = bench_with(drawing, map);
    let mut told_of_print = String::new();
    let commands = commands();
    for name in ["adopt", "check", "fit", "plan", "apply", "show --ledger", "lay", "print", "report"] {
        assert!(commands.iter().any(|command| is(command, name)), "`{name}` is missing");
    }
    for command in commands {
        let line = command
            .line
            .replace("fixtures/adopt/coat-cutting-lines.svg", drawing)
            .replace("examples/adopt/coat.map.toml", map);
        let outcome = bench.retrue(&line);
        outcome.exits(if is(&command, "adopt") { adopts } else { command.code });
        if is(&command, "show --ledger") {
            girths_are_kept(&outcome);
        } else if is(&command, "print") {
            told_of_print = outcome.stderr();
        } else if is(&command, "check") && line.contains("--against") {
            outcome.prints("laid back onto").prints("true:");
        }
    }
    made_is_whole(&bench, &told_of_print);
}

#[test]
fn the_topic_leads_a_bought_coat_to_the_cloth() {
    goes_from_start_to_end("fixtures/adopt/coat-cutting-lines.svg", "examples/adopt/coat.map.toml", 1);
}

/// The skirt's front is 556 mm wide as cut.
#[test]
fn the_topic_leads_a_bought_skirt_to_the_cloth() {
    goes_from_start_to_end(
        "fixtures/adopt/skirt-shaped-back-cutting-lines.svg",
        "examples/adopt/skirt.map.toml",
        0,
    );
}
