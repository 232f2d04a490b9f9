//! No line that a person reads is wider than 80 signs, where the terminal does not say that it has more.

use crate::documents::Document;
use crate::run::{Bench, Outcome};

/// How wide lines may be.
const COLUMNS: usize = 80;

/// The patterns whose output is looked at.
const SHEETS: [&str; 4] = ["coat.svg", "dress.svg", "awkward.svg", "narrow-coat.svg"];

fn bench() -> Bench {
    let bench = Bench::new().with_variable("COLUMNS", &COLUMNS.to_string());
    let bench = ["coat.svg", "dress.svg", "awkward.svg"].into_iter().fold(bench, Bench::with_fixture);
    bench
        .with_file("narrow-coat.svg", include_str!("../../examples/narrow-coat.svg"))
        .with_file("narrow-coat.toml", include_str!("../../examples/narrow-coat.toml"))
        .with_file("cloth.toml", include_str!("../../examples/cloth.toml"))
        .with_file("skirt.svg", include_bytes!("../../fixtures/adopt/skirt-shaped-back-cutting-lines.svg"))
}

/// Counts the lines of what a command said, none of which is too wide; one word alone may be.
#[track_caller]
fn narrow_lines(outcome: &Outcome, line: &str) -> usize {
    let said = format!("{}{}", outcome.stdout(), outcome.stderr());
    for told in said.lines() {
        let is_word = !told.trim().contains(' ');
        assert!(
            told.chars().count() <= COLUMNS || is_word,
            "retrue {line}\n{} signs: {told}",
            told.chars().count()
        );
    }
    said.lines().count()
}

/// Every line that a list of commands says is narrow, and they say no less than so many.
#[track_caller]
fn all_are_narrow(bench: &Bench, lines: impl IntoIterator<Item = String>, least: usize) {
    let count: usize = lines.into_iter().map(|line| narrow_lines(&bench.retrue(&line), &line)).sum();
    assert!(count >= least, "{count} lines");
}

#[test]
fn what_is_told_of_a_pattern_keeps_to_the_terminal() {
    let told = SHEETS.into_iter().flat_map(|sheet| {
        [
            format!("show {sheet}"),
            format!("show {sheet} --ledger"),
            format!("show {sheet} --in"),
            format!("check {sheet}"),
            format!("check {sheet} --length 0.001mm --notch 0.001mm --kink 0.01"),
            format!("fit {sheet} --cloth cloth.toml"),
            format!("fit {sheet} --cloth \"20cm x 1m\" --in"),
            format!("print {sheet} --dry-run --paper letter --title \"A title of some length\""),
            format!("picture {sheet} -o picture-of-{sheet}"),
            format!("report {sheet} -o report-of-{sheet}.html"),
        ]
    });
    all_are_narrow(&bench(), told, 1000);
}

#[test]
fn what_steps_tell_keeps_to_the_terminal() {
    let steps = [
        "apply narrow-coat.toml coat.svg --dry-run",
        "apply narrow-coat.toml coat.svg -o new.svg",
        "check new.svg --against coat.svg",
        "move-seam dress.svg --seam skirt-front.side --from skirt-front --by 1cm --dry-run",
        "limit-width coat.svg --piece back --width 30cm --dry-run",
        "set-allowance coat.svg --edges *.* --allowance 1mm --dry-run",
    ];
    all_are_narrow(&bench(), steps.map(str::to_owned), 60);
}

#[test]
fn what_searches_tell_keeps_to_the_terminal() {
    let searches = [
        "lay narrow-coat.svg --cloth cloth.toml --iterations 20 -o layout.svg",
        "lay coat.svg --cloth cloth.toml --iterations 5 -o none.svg",
        "lay narrow-coat.svg --cloth \"38cm x 5m\" --iterations 2 -o none.svg",
        "plan coat.svg --cloth cloth.toml --ways 60 --iterations 5 -o plans",
        "plan coat.svg --cloth \"20cm x 1m\" --ways 20 --iterations 5",
        "adopt skirt.svg",
        "adopt skirt.svg --size \"style 3\" --map-template a-name-of-some-length-for-a.map.toml",
    ];
    all_are_narrow(&bench(), searches.map(str::to_owned), 80);
}

#[test]
fn help_keeps_to_the_terminal() {
    let bench = bench();
    let commands =
        ["adopt", "show", "check", "fit", "lay", "plan", "table", "apply", "picture", "print", "report"];
    let others = ["completions", "man", "help"];
    let names = commands.into_iter().chain(others).chain(retrue::recut::Step::NAMES.iter().copied());
    let helps =
        names.flat_map(|name| [format!("{name} -h"), format!("{name} --help"), format!("help {name}")]);
    let topics = Document::all().into_iter().filter_map(|document| {
        let name = document.name.strip_prefix("src/cli/topics/")?.strip_suffix(".md")?.to_owned();
        Some(format!("help {name}"))
    });
    let whole = ["--help", "-h", "help"].map(str::to_owned);
    all_are_narrow(&bench, helps.chain(topics).chain(whole), 3000);
}

#[test]
fn refusals_keep_to_the_terminal() {
    let refusals = [
        "help nothing-of-the-sort",
        "move-seam coat.svg --seam front.side --from back",
        "move-seam coat.svg --seam front.side --from back --to-width 1cm --line grain",
        "split coat.svg --piece bakc --line yoke",
        "split coat.svg --piece back --line \"centre 50% > side 50%\"",
        "add-princess-seam coat.svg --piece front --from shoulder --through bust-point --to hem@50%",
        "show coat.svg --known scael=100",
        "lay coat.svg --cloth cloth.toml --match front.side -o x.svg",
        "apply cloth.toml coat.svg",
        "check nowhere.svg",
        "print coat.svg --roll 10cm -o x.pdf",
        "--no-such-option",
    ];
    all_are_narrow(&bench(), refusals.map(str::to_owned), 30);
}
