//! The command that is named next can be run as it stands.

use crate::run::{Bench, Outcome};

fn bench() -> Bench {
    Bench::new()
        .with_fixture("coat.svg")
        .with_file("narrow coat.svg", include_str!("../../examples/narrow-coat.svg"))
        .with_file("cloth.toml", include_str!("../../examples/cloth.toml"))
        .with_file("skirt.svg", include_bytes!("../../fixtures/adopt/skirt-shaped-back-cutting-lines.svg"))
}

/// The command that is named next, as it stands on its lines; none where none is.
fn next(outcome: &Outcome) -> Option<String> {
    let said = outcome.stderr();
    let (before, command) = said.split_once("Next: ")?;
    assert!(before.is_empty() || before.ends_with('\n'), "{said}");
    Some(command.trim_end().to_owned())
}

/// Goes from a command to that which it names next, and on, so many times at the most; the commands that were named.
#[cfg(unix)]
fn followed(bench: &Bench, first: &str, most: usize) -> Vec<String> {
    let mut named = Vec::new();
    let mut outcome = bench.retrue(first);
    for _ in 0..most {
        assert!(outcome.ends_by_itself().stderr().lines().count() > 0, "{first}");
        let Some(command) = next(&outcome) else { break };
        outcome = bench.shell(&command);
        assert!(!outcome.stderr().contains("error:"), "after {first}: {command}\n{}", outcome.stderr());
        named.push(command);
    }
    named
}

#[cfg(unix)]
#[test]
fn each_command_names_one_that_runs_as_it_stands() {
    for (first, then) in [
        ("show coat.svg", "retrue check coat.svg"),
        ("show coat.svg --ledger --unit mm", "retrue check coat.svg --unit mm"),
        ("check \"narrow coat.svg\"", "retrue print \"narrow coat.svg\" -o \"narrow coat.pdf\""),
        (
            "fit \"narrow coat.svg\" --cloth cloth.toml",
            "retrue lay \"narrow coat.svg\" --cloth cloth.toml -o layout.svg",
        ),
        (
            "print coat.svg --dry-run --paper a3 --piece belt",
            "retrue print coat.svg --paper a3 --piece belt -o coat.pdf",
        ),
        ("print coat.svg -o printed.pdf", "retrue report coat.svg -o coat.html"),
        (
            "lay coat.svg --cloth cloth.toml --iterations 2 -o layout.svg",
            "retrue plan coat.svg --cloth cloth.toml -o plans",
        ),
        (
            "lay \"narrow coat.svg\" --cloth \"37cm x 7.6m\" --iterations 2 -o layout.svg",
            "retrue lay \"narrow coat.svg\" --cloth \"37cm x 7.6m\" -o layout.svg --iterations 6",
        ),
        (
            "lay coat.svg --cloth \"140cm x 4m\" --iterations 20 -o layout.svg",
            "retrue print coat.svg --layout layout.svg -o coat.pdf",
        ),
        (
            "plan coat.svg --cloth cloth.toml --recuts 60 --iterations 2",
            "retrue plan coat.svg --cloth cloth.toml --recuts 60 --iterations 2 -o plans",
        ),
        (
            "set-allowance coat.svg --edges front.hem --allowance 3cm -o new.svg",
            "retrue check new.svg --against coat.svg",
        ),
        (
            "adopt skirt.svg --size \"style 3\"",
            "retrue adopt skirt.svg --size \"style 3\" --picture skirt-found.svg --map-template skirt.map.toml",
        ),
    ] {
        let bench = bench();
        assert_eq!(next(&bench.retrue(first)).as_deref(), Some(then));
    }
}

/// Also where a command needs two lines on a terminal of 80 columns, and where a name that it would write is taken.
#[cfg(unix)]
#[test]
fn one_is_led_from_command_to_command() {
    let bench = bench().with_variable("COLUMNS", "80").with_file("layout.svg", "taken");
    let planned = followed(&bench, "plan coat.svg --cloth cloth.toml --recuts 60 --iterations 2", 3);
    assert_eq!(planned.len(), 3, "{planned:?}");
    assert_eq!(planned[2], "retrue check recut.svg --against coat.svg");
    let adopted = followed(&bench, "adopt skirt.svg --size \"style 3\"", 3);
    assert!(adopted[0].contains(" \\\n    --"), "{adopted:?}");
    assert_eq!(adopted[2], "retrue check skirt-2.svg");
    let printed = followed(&bench, "print coat.svg --dry-run", 2);
    assert_eq!(printed, ["retrue print coat.svg -o coat.pdf", "retrue report coat.svg -o coat.html"]);
    let laid = bench.retrue("fit \"narrow coat.svg\" --cloth cloth.toml");
    assert!(next(&laid).is_some_and(|command| command.ends_with("-o layout-2.svg")), "{}", laid.stderr());
    assert_eq!(bench.text_of("layout.svg"), "taken");
}

#[test]
fn no_command_is_named_to_programs_nor_for_what_cannot_be_read_again() {
    let bench = bench();
    for line in [
        "show coat.svg -q",
        "show coat.svg --json",
        "fit coat.svg --cloth cloth.toml --json",
        "check coat.svg --json",
    ] {
        assert_eq!(next(&bench.retrue(line)), None, "{line}");
    }
    let coat = bench.text_of("coat.svg");
    for line in
        ["show -", "check -", "print - --dry-run", "set-allowance - --edges front.hem --allowance 3cm"]
    {
        assert_eq!(next(&bench.retrue_with_input(line, &coat)), None, "{line}");
    }
}
