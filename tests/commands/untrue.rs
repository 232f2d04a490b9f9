//! A pattern that is not true: every command that takes one tells of it.

use std::path::Path;

use crate::run::{Bench, Outcome, fixture};

/// Commands that take no pattern sheet: `adopt` takes a drawing, and what it makes of it is looked at by itself.
const WITHOUT_PATTERN: [&str; 4] = ["adopt", "completions", "man", "help"];

/// A command that runs until it is ended: that it tells is held where it is run, in `tests/table`.
const SERVED: &str = "table";

/// Cloth that every fixture lies on as it is.
const CLOTH: &str = "--cloth \"160cm x 12m\"";

/// The names of all commands, as the program's own help lists them.
fn commands() -> Vec<String> {
    let help = Bench::new().retrue("help").stdout();
    let (_, list) = help.split_once("Commands:\n").expect("a list of commands");
    let (list, _) = list.split_once("\n\n").expect("its end");
    let name = |line: &str| {
        let rest = line.strip_prefix("  ").filter(|rest| !rest.starts_with(' '))?;
        rest.split_whitespace().next().map(str::to_owned)
    };
    list.lines().filter_map(name).collect()
}

/// How a command that is no operation is run on a sheet, and how it ends by itself where the sheet is not true.
fn line_of(command: &str, sheet: &str) -> (String, i32) {
    let search = "--iterations 5 --force";
    match command {
        "show" => (format!("show {sheet}"), 0),
        "check" => (format!("check {sheet}"), 1),
        "fit" => (format!("fit {sheet} {CLOTH}"), 0),
        "lay" => (format!("lay {sheet} {CLOTH} {search} -o layout.svg"), 0),
        "plan" => (format!("plan {sheet} {CLOTH} {search} --recuts 5 -o plans"), 0),
        "apply" => (format!("apply nothing.toml {sheet} -o out.svg --force"), 1),
        "picture" => (format!("picture {sheet} -o picture.svg --force"), 0),
        "print" => (format!("print {sheet} -o print.pdf --force"), 0),
        "report" => (format!("report {sheet} -o report.html --force"), 0),
        other => panic!(
            "`{other}` is new: say here how it is run on a sheet, and see that it tells of an untrue one"
        ),
    }
}

/// The steps of an operation's shipped example as command lines without their patterns, and its fixture.
fn example(operation: &str) -> (String, Vec<String>) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/operations/{operation}.toml"));
    let recipe: toml::Table = std::fs::read_to_string(path).expect("an example").parse().expect("a recipe");
    let pattern = recipe["pattern"].as_str().expect("a pattern").rsplit('/').next().expect("a name");
    let line = |step: &toml::Value| {
        let step = step.as_table().expect("a step");
        let mut line = format!("{} SHEET", step["do"].as_str().expect("a name"));
        for (field, value) in step.iter().filter(|(field, _)| *field != "do") {
            line.push_str(&format!(" --{field} \"{}\"", value.as_str().expect("a text")));
        }
        line
    };
    (pattern.to_owned(), recipe["step"].as_array().expect("steps").iter().map(line).collect())
}

fn bench_with(sheet: &str) -> Bench {
    Bench::new().with_file("sheet.svg", sheet).with_file("nothing.toml", "step = []\n")
}

/// The lines that say in one line that a pattern is not true.
fn told(outcome: &Outcome) -> Vec<String> {
    let of_verdict = |line: &&str| line.starts_with("not true: ") && line.contains(" finding");
    outcome.stderr().lines().filter(of_verdict).map(str::to_owned).collect()
}

/// A sheet in every way spoiled that the checks tell apart, with a word of each finding.
fn spoiled_sheets() -> Vec<(String, &'static str)> {
    let coat = fixture("coat.svg");
    vec![
        (crate::spoiled::uneven_allowance(&coat), "the allowances of the two sides differ by 7 mm"),
        (crate::spoiled::kinked(&coat, "back.hem"), "the edge that runs on here turns by"),
        (crate::spoiled::eased(&coat, 25.0, 19.0), "the first side is longer by 6 mm"),
        (
            crate::spoiled::shoulder_to_side(&coat),
            "front.shoulder: the edge is a seam but is sewn to nothing",
        ),
    ]
}

#[test]
fn every_command_tells_once_of_an_untrue_sheet_and_keeps_its_exit_code() {
    let operations = retrue::recut::Step::NAMES;
    let commands = commands();
    assert!(commands.len() > operations.len() + WITHOUT_PATTERN.len(), "{commands:?}");
    let others = || {
        let is_other = |name: &&String| {
            !operations.contains(&name.as_str())
                && !WITHOUT_PATTERN.contains(&name.as_str())
                && name.as_str() != SERVED
        };
        commands.iter().filter(is_other)
    };
    for (sheet, finding) in spoiled_sheets() {
        let bench = bench_with(&sheet);
        for command in others() {
            let (line, code) = line_of(command, "sheet.svg");
            let outcome = bench.retrue(&line);
            outcome.exits(code);
            if command == "check" {
                outcome.prints("not true: ").prints(finding);
                continue;
            }
            outcome.says(finding).says(if command == "apply" { "check out.svg" } else { "check sheet.svg" });
            assert_eq!(told(&outcome).len(), 1, "{line}\n{}", outcome.stderr());
            let quiet = bench.retrue(&format!("-q {line}"));
            assert_eq!(told(quiet.exits(code)), told(&outcome), "{line}");
        }
    }
}

#[test]
fn every_operation_on_an_untrue_sheet_ends_with_one_and_says_as_before() {
    let operations: Vec<String> =
        commands().into_iter().filter(|name| retrue::recut::Step::NAMES.contains(&name.as_str())).collect();
    assert_eq!(operations.len(), retrue::recut::Step::NAMES.len(), "{operations:?}");
    for operation in operations {
        let (pattern, steps) = example(&operation);
        let bench = bench_with(&crate::spoiled::uneven_allowance(&fixture(&pattern)));
        let mut sheet = "sheet.svg".to_owned();
        for (i, step) in steps.iter().enumerate() {
            let new = format!("new-{i}.svg");
            let outcome = bench.retrue(&format!("{} -o {new}", step.replacen("SHEET", &sheet, 1)));
            let told = told(outcome.is_untrue());
            assert_eq!(told.len(), 1, "{step}\n{}", outcome.stderr());
            assert!(told[0].starts_with("not true: as before, "), "{}", told[0]);
            assert!(told[0].ends_with(&format!("see retrue check {new}")), "{}", told[0]);
            bench.retrue(&format!("check {new}")).is_untrue();
            sheet = new;
        }
    }
}

#[test]
fn nobody_says_that_a_true_sheet_is_not() {
    let bench = bench_with(&fixture("coat.svg"));
    let operations = retrue::recut::Step::NAMES;
    for command in commands() {
        let is_run = !WITHOUT_PATTERN.contains(&command.as_str()) && command != SERVED;
        if is_run && !operations.contains(&command.as_str()) {
            let outcome = bench.retrue(&line_of(&command, "sheet.svg").0);
            outcome.is_true();
            assert!(!outcome.stderr().contains("not true"), "{command}: {}", outcome.stderr());
        }
    }
}

#[test]
fn what_a_step_makes_untrue_is_told_apart_from_what_was_so_before() {
    let bench = bench_with(&crate::spoiled::uneven_allowance(&fixture("coat.svg")));
    let worse = bench.retrue("set-edge sheet.svg --edge sleeve.cap --ease 10mm -o worse.svg");
    worse
        .is_untrue()
        .says("not true: sleeve.cap + back.armhole front.armhole: the first side is longer by 15 mm")
        .says("not true: as before, 1 finding, ");
    let report = bench
        .retrue("set-edge sheet.svg --edge sleeve.cap --ease 10mm --dry-run --json")
        .is_untrue()
        .reports("recut");
    let findings = report["findings"].as_array().expect("findings");
    let as_before: Vec<_> = findings.iter().map(|finding| finding["as_before"].as_bool()).collect();
    assert_eq!(as_before, [Some(false), Some(true)]);
}

#[test]
fn a_step_that_trues_the_sheet_ends_with_zero_and_says_nothing_untrue() {
    let bench = bench_with(&crate::spoiled::kinked(&fixture("coat.svg"), "back.hem"));
    let trued = bench.retrue("true-seam sheet.svg --seam back.side --smooth back.hem -o trued.svg");
    assert!(!trued.is_true().stderr().contains("not true"), "{}", trued.stderr());
    bench.retrue("check trued.svg").is_true();
}

#[cfg(unix)]
#[test]
fn in_a_pipe_each_command_tells_once_and_names_the_pipe() {
    let bench = bench_with(&crate::spoiled::uneven_allowance(&fixture("coat.svg")));
    let piped = bench.shell("retrue unfold sheet.svg --piece back | retrue turn-grain - --piece collar --to crosswise | retrue show -");
    let told = told(piped.is_true());
    assert_eq!(told.len(), 3, "{}", piped.stderr());
    assert!(told.iter().all(|line| line.ends_with("; pipe it into retrue check - to see all")), "{told:?}");
    let dry = bench.retrue("unfold sheet.svg --piece back --dry-run");
    dry.is_untrue().says("as before, 2 findings").says("see retrue check sheet.svg");
}

#[test]
fn every_report_as_data_says_whether_the_pattern_is_true() {
    for (sheet, truth) in
        [(crate::spoiled::uneven_allowance(&fixture("coat.svg")), false), (fixture("coat.svg"), true)]
    {
        let bench = bench_with(&sheet);
        for command in ["show", "check", "fit", "lay", "plan"] {
            let (line, code) = line_of(command, "sheet.svg");
            let outcome = bench.retrue(&format!("{line} --json"));
            let report = outcome.exits(if truth { 0 } else { code }).reports(command);
            assert_eq!(report["true"], truth, "{command}");
            let untrue = |finding: &&serde_json::Value| finding["weight"] == "untrue";
            let findings = report["findings"].as_array().expect("findings").iter().filter(untrue);
            assert_eq!(findings.count(), usize::from(!truth), "{command}");
        }
        let ledger = bench.retrue("show sheet.svg --ledger --json").is_true().reports("show");
        assert_eq!(ledger["true"], truth);
    }
}

#[test]
fn a_file_name_with_a_space_is_quoted_in_the_hint() {
    let sheet = crate::spoiled::uneven_allowance(&fixture("coat.svg"));
    let bench = Bench::new().with_file("my coat.svg", sheet);
    bench.retrue("show \"my coat.svg\"").is_true().says("see retrue check \"my coat.svg\"");
}

#[test]
fn a_drawing_that_is_adopted_untrue_is_told_and_ends_with_one() {
    let map = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/adopt/skirt.map.toml");
    let map = std::fs::read_to_string(map).expect("the map");
    let eased = map.replacen("second = \"back.side\"", "second = \"back.side\"\nease = \"9mm\"", 1);
    assert_ne!(map, eased);
    let bench = Bench::new()
        .with_file("bought.svg", fixture("adopt/skirt-shaped-back-cutting-lines.svg"))
        .with_file("skirt.map.toml", eased);
    let outcome = bench.retrue("adopt bought.svg --map skirt.map.toml -o skirt.svg");
    outcome.is_untrue().says("longer by ").says("see retrue check skirt.svg");
    bench.retrue("check skirt.svg").is_untrue();
    let report = bench
        .retrue("adopt bought.svg --map skirt.map.toml -o again.svg --json")
        .is_untrue()
        .reports("adopt");
    assert_eq!(report["true"], false);
}
