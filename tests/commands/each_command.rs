//! Every command as a user runs it.

use crate::run::{Bench, Outcome, fixture};

/// The shipped pattern sheets.
const FIXTURES: [&str; 4] = ["awkward.svg", "coat.svg", "dress.svg", "skirt-shaped-back.svg"];

/// The coat's back for cloth 37 cm wide.
const MOVE_SIDE: &str = "--seam front.side --from back --to-width 18.5cm --line grain";

/// The back and the front of the coat at their levels, in mm around the whole garment.
#[track_caller]
fn girths(report: &serde_json::Value) -> Vec<(String, f64)> {
    let girths = report["girths"].as_array().expect("girths");
    let girth = |girth: &serde_json::Value| {
        (girth["level"].as_str().expect("a level").to_owned(), girth["around"].as_f64().expect("a girth"))
    };
    assert!(!girths.is_empty());
    girths.iter().map(girth).collect()
}

#[test]
fn shipped_patterns_are_true() {
    for name in FIXTURES {
        let bench = Bench::new().with_fixture(name);
        bench
            .retrue(&format!("check {name}"))
            .is_true()
            .prints("true: ")
            .says("sew a trial garment in cheap cloth first");
        let report = bench.retrue(&format!("check {name} --json")).is_true().reports("check");
        assert_eq!(report["true"], true, "{name}");
        assert!(report["seams"].as_u64() > Some(1), "{name}");
    }
}

#[test]
fn check_names_what_is_not_true_and_keeps_to_its_limits() {
    let longer = fixture("coat.svg").replace("data-ease=\"25mm\"", "data-ease=\"20mm\"");
    assert_ne!(longer, fixture("coat.svg"));
    let bench = Bench::new().with_file("coat.svg", longer);
    let untrue = bench.retrue("check coat.svg");
    untrue.is_untrue().prints("not true: ").prints("longer by 5 mm").prints("sleeve.cap");
    assert!(!untrue.stdout().contains("true: 2"), "{}", untrue.stdout());
    bench.retrue("check coat.svg --length 6mm --notch 20mm").is_true();
    let report = bench.retrue("check coat.svg --json").is_untrue().reports("check");
    assert_eq!(report["true"], false);
    let of_seam = |finding: &&serde_json::Value| finding["kind"] == "seam-length";
    let finding = report["findings"].as_array().expect("findings").iter().find(of_seam).expect("the seam");
    approx::assert_abs_diff_eq!(finding["number"].as_f64().expect("a number").abs(), 5.0, epsilon = 0.05);
    assert_eq!(finding["limit"], 0.5);
    bench.retrue("check coat.svg --length 0mm").is_refused().says("a limit must be over zero");
    bench.retrue("check coat.svg --kink nan").is_refused().says("write degrees");
}

#[test]
fn show_tells_pieces_edges_darts_seams_and_girths() {
    let bench = Bench::new().with_fixture("dress.svg").with_fixture("coat.svg");
    let shown = bench.retrue("show dress.svg --cm");
    assert_eq!(shown.stderr(), "Next: retrue check dress.svg\n");
    shown.is_true().prints("dress.svg: 7 pieces, 14 seams").prints("bodice-front  cut 1, on the fold");
    shown.prints("dart bust-dart").prints("sewn to").prints("girths of the whole garment");
    let one = bench.retrue("show coat.svg --piece sleeve --in");
    one.is_true().prints("sleeve.cap eased in 1 in");
    assert!(!one.stdout().contains("belt"), "{}", one.stdout());
    bench.retrue("show coat.svg --piece sleve").is_refused().says("did you mean `sleeve`?");
    bench.retrue("show coat.svg --ledger").is_true().prints("no step was done");
}

#[test]
fn a_report_adds_up() {
    let bench = Bench::new().with_fixture("coat.svg");
    let report = bench.retrue("show coat.svg --json").is_true().reports("show");
    let pieces = report["pieces"].as_array().expect("pieces");
    assert!(pieces.len() >= 12);
    let back = pieces.iter().find(|piece| piece["name"] == "back").expect("a back");
    assert_eq!((&back["half"], &back["copies"]), (&true.into(), &1.into()));
    for girth in report["girths"].as_array().expect("girths") {
        let part = |part: &serde_json::Value| {
            part["times"].as_f64().expect("times") * part["width"].as_f64().expect("a width")
        };
        let sum: f64 = girth["parts"].as_array().expect("parts").iter().map(part).sum();
        approx::assert_abs_diff_eq!(sum, girth["around"].as_f64().expect("around"), epsilon = 1e-4);
    }
    for seam in report["seams"].as_array().expect("seams") {
        let number = |key: &str| seam[key].as_f64().expect("a length");
        approx::assert_abs_diff_eq!(
            number("first_length") - number("second_length"),
            number("ease"),
            epsilon = 0.5
        );
    }
}

#[test]
fn an_operation_writes_a_true_pattern_and_keeps_the_girths() {
    let bench = Bench::new().with_fixture("coat.svg");
    let done = bench.retrue(&format!("move-seam coat.svg {MOVE_SIDE} -o narrow.svg"));
    done.is_true().prints_nothing().says("note: a strip");
    bench.retrue("check narrow.svg").is_true();
    let before = girths(&bench.retrue("show coat.svg --json").reports("show"));
    let report = bench.retrue("show narrow.svg --json").reports("show");
    for ((level, before), (same, after)) in before.iter().zip(girths(&report)) {
        assert_eq!(*level, same);
        approx::assert_abs_diff_eq!(*before, after, epsilon = 0.1);
    }
    assert_eq!(report["steps"][0]["do"], "move-seam");
    assert_eq!(report["steps"][0]["fields"]["to-width"], "185mm");
    bench
        .retrue("show narrow.svg")
        .prints("move-seam --from back --line grain --seam front.side --to-width 185mm");
    let ledger = bench.retrue("show narrow.svg --ledger");
    ledger.is_true().prints("back.side").prints("sewn up");
    assert!(!ledger.stdout().contains("not declared"), "{}", ledger.stdout());
    let ledger = bench.retrue("show narrow.svg --ledger --json").reports("show");
    assert_eq!(ledger["ledger"]["girths"].as_array().map(Vec::len), Some(before.len()));
}

/// Every operation on a shipped pattern; what it says of pieces or edges is in the sheet afterwards.
const OPERATIONS: &[(&str, &str, &str)] = &[
    ("skirt-shaped-back.svg", "split --piece front --line \"level hip\" --names \"top, low\"", "low.seam"),
    ("coat.svg", "split --piece sleeve --line fore-line", "sleeve-"),
    ("coat.svg", "move-seam --seam front.side --from back --by 2cm", "front.side"),
    ("coat.svg", "add-band --piece front --edge hem --depth 10cm --name border", "border."),
    ("coat.svg", "limit-width --piece front --width 30cm", "front-"),
    ("coat.svg", "merge-at-seamline --seam pocket-bag.fore --name bag", "id=\"bag.mouth-2\""),
    (
        "dress.svg",
        "add-princess-seam --piece bodice-front --from armhole@50% --through bust-point --to waist@45%",
        "data-sewn-to=\"bodice-front-side.princess\"",
    ),
    ("dress.svg", "dart-to-seam --piece skirt-front --dart waist-dart", "id=\"skirt-front-side\""),
    (
        "dress.svg",
        "pivot-dart --piece bodice-front --dart bust-dart --to shoulder@50% --about bust-point",
        "id=\"bodice-front.bust-dart\"",
    ),
    ("coat.svg", "true-seam --seam front.side", "front.side"),
    ("coat.svg", "unfold --piece belt", "belt.upper/m"),
    ("coat.svg", "open-centre --piece back", "back.centre/m"),
    ("coat.svg", "turn-grain --piece belt --to crosswise", "belt"),
    (
        "coat.svg",
        "copy-piece --piece back --name back-underlining --for underlining",
        "data-from=\"back\" data-made-by=\"copy-piece\"",
    ),
    (
        "coat.svg",
        "add-facing --along \"back.neck, front.neck\" --depth 6cm --name neck-facing",
        "data-from=\"back.neck front.neck\" data-made-by=\"add-facing\"",
    ),
    (
        "coat.svg",
        "add-strip --over front.shoulder --width 4cm --name strap",
        "data-from=\"front.shoulder back.shoulder\" data-made-by=\"add-strip\"",
    ),
    ("coat.svg", "set-allowance --edges finish:hem --allowance 3cm", "data-allowance=\"30mm\""),
    ("coat.svg", "set-edge --edge back.hem --finish free", "back.hem"),
    ("coat.svg", "set-corner --edges \"front.side, front.hem\" --shape mitre", "mitre"),
    ("coat.svg", "set-piece --piece hanger --name loop", "loop.upper"),
    ("coat.svg", "divide-edge --edge front.side --at side@40%", "id=\"front.side-2\""),
    (
        "skirt-shaped-back.svg",
        "open-seam --seam front.side --from \"side@8cm from waist\" --to \"side@24cm from waist\"",
        "data-open=\"pocket\"",
    ),
    ("coat.svg", "extend-edge --edge hanger.upper --by 5mm --ends square", "hanger"),
    (
        "coat.svg",
        "set-pattern --title Coat --size 38 --measures \"bust 88cm\"",
        "data-measure-bust=\"880mm\"",
    ),
];

#[test]
fn every_operation_writes_a_sheet_that_can_be_read() {
    for (sheet, line, holds) in OPERATIONS {
        let bench = Bench::new().with_fixture(sheet);
        let (operation, fields) = line.split_once(' ').expect("an operation and its fields");
        let done = bench.retrue(&format!("{operation} {sheet} {fields} -o new.svg"));
        done.is_true().prints_nothing();
        assert!(bench.text_of("new.svg").contains(holds), "{line}: no {holds}");
        bench.retrue("show new.svg").is_true().prints(operation);
        bench.retrue("check new.svg").is_true();
    }
}

/// A copy of a piece that is recut is told of, is not true, and is made anew by `follow`.
#[test]
fn copies_follow_what_they_were_made_from() {
    let bench = Bench::new().with_fixture("coat.svg");
    let copy = "copy-piece coat.svg --piece back --name back-underlining --for underlining -o copied.svg";
    bench.retrue(copy).is_true();
    bench
        .retrue(&format!("move-seam copied.svg {MOVE_SIDE} -o narrow.svg"))
        .is_untrue()
        .says("`back-underlining` must follow")
        .says("retrue follow --piece back-underlining");
    bench
        .retrue("check narrow.svg")
        .is_untrue()
        .prints("back-underlining: it no longer agrees with back")
        .prints("retrue follow");
    bench.retrue("follow narrow.svg -o followed.svg").is_true();
    bench.retrue("check followed.svg --against coat.svg").is_true();
    bench.retrue("follow followed.svg --piece back -o none.svg").is_refused().says("nothing to follow");
}

/// `fold`, `follow`, `join-edges` and `close-seam` have tests of their own: no shipped piece is drawn whole that could be folded,
/// was made of others, has two edges that run on, or a seam that is left open.
#[test]
fn every_operation_is_among_those_tested() {
    let apart = ["fold", "follow", "join-edges", "close-seam"];
    for name in retrue::recut::Step::NAMES.iter().filter(|name| !apart.contains(*name)) {
        let tested = |(_, line, _): &&(&str, &str, &str)| line.split(' ').next() == Some(name);
        assert!(OPERATIONS.iter().any(|operation| tested(&operation)), "{name}");
    }
}

#[test]
fn dividing_and_joining_gives_the_edge_back() {
    let bench = Bench::new().with_fixture("coat.svg");
    let divided = bench.retrue("divide-edge coat.svg --edge front.side --at side@30%").is_true().stdout();
    let line = "join-edges - --edges \"front.side, front.side-2\" -o joined.svg";
    bench.retrue_with_input(line, divided).is_true();
    let show = |name: &str| bench.retrue(&format!("show {name} --piece front --json")).reports("show");
    assert_eq!(show("coat.svg")["pieces"][0]["edges"], show("joined.svg")["pieces"][0]["edges"]);
    bench.retrue("check joined.svg --against coat.svg").is_true();
}

#[test]
fn opening_and_closing_gives_the_seam_back() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = "open-seam coat.svg --seam front.side --from \"side@20cm\" --to \"side@36cm\"";
    let open = bench.retrue(line).is_true().stdout();
    let closed = bench.retrue_with_input("close-seam - --seam back.side-pocket -o closed.svg", open);
    closed.is_true().says("are sewn again, 160 mm long, without the pocket");
    let show = |name: &str| bench.retrue(&format!("show {name} --piece front --json")).reports("show");
    assert_eq!(show("coat.svg")["pieces"][0]["edges"], show("closed.svg")["pieces"][0]["edges"]);
    bench.retrue("check closed.svg --against coat.svg").is_true();
    bench.retrue("close-seam closed.svg --seam back.side -o none.svg").is_refused().says("not left open");
}

#[test]
fn unfolding_and_folding_gives_the_half_piece_back() {
    let bench = Bench::new().with_fixture("coat.svg");
    let whole = bench.retrue("unfold coat.svg --piece belt").is_true().stdout();
    let half = bench.retrue_with_input("fold - --piece belt -o half.svg", whole);
    half.is_true();
    let areas = |name: &str| {
        let report = bench.retrue(&format!("show {name} --piece belt --json")).reports("show");
        report["pieces"][0]["net_area"].as_f64().expect("an area")
    };
    approx::assert_relative_eq!(areas("coat.svg"), areas("half.svg"), max_relative = 1e-6);
}

#[test]
fn what_becomes_untrue_is_named_and_ends_in_one() {
    let bench = Bench::new().with_fixture("coat.svg");
    let done = bench.retrue("set-edge coat.svg --edge sleeve.cap --ease 5mm -o eased.svg");
    done.is_untrue().says("not true: ").says("longer by 20 mm");
    let again = bench.retrue("set-piece eased.svg --piece hanger --cut \"2 same\" -o again.svg");
    again.is_untrue().says("not true: as before, 1 finding, ");
}

#[test]
fn commands_pipe() {
    let bench = Bench::new().with_fixture("coat.svg");
    let moved = bench.retrue(&format!("move-seam coat.svg {MOVE_SIDE}")).is_true().stdout();
    assert!(moved.starts_with("<?xml") || moved.contains("<svg"), "{}", &moved[..100]);
    let banded = bench.retrue_with_input("set-allowance - --edges finish:hem --allowance 3cm", &moved);
    bench.retrue_with_input("check -", banded.is_true().stdout()).is_true();
    bench.retrue_with_input("show - --json", &moved).is_true().reports("show");
}

#[cfg(unix)]
#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let bench = Bench::new().with_fixture("coat.svg");
    let piped = bench.shell("{ retrue show coat.svg --json; echo $? >&2; } | head -c 1");
    piped.exits(0).prints("{").says("0");
    assert_eq!(piped.stderr(), "0\n");
}

/// The same steps as a recipe and as single commands.
const RECIPE: &str = r#"pattern = "sheets/coat.svg"

[[step]]
do = "move-seam"
seam = "front.side"
from = "back"
to-width = "18.5cm"
line = "grain"

[[step]]
do = "set-allowance"
edges = "finish:hem"
allowance = "3cm"
"#;

#[test]
fn a_recipe_gives_the_same_pattern_as_its_commands() {
    let bench =
        Bench::new().with_file("work/sheets/coat.svg", fixture("coat.svg")).with_file("work/r.toml", RECIPE);
    bench.retrue("apply work/r.toml -o applied.svg").is_true().prints_nothing().says("step 2, set-allowance");
    let moved = bench.retrue(&format!("move-seam work/sheets/coat.svg {MOVE_SIDE}")).stdout();
    let chained = bench.retrue_with_input("set-allowance - --edges finish:hem --allowance 3cm", moved);
    let edges = |text: &str| -> Vec<String> {
        let report = bench.retrue_with_input("show - --json", text).reports("show");
        let pieces = report["pieces"].as_array().expect("pieces").iter();
        pieces.map(|piece| piece["edges"].to_string()).collect()
    };
    assert_eq!(edges(&bench.text_of("applied.svg")), edges(&chained.stdout()));
    bench.retrue("check applied.svg").is_true();
}

#[test]
fn a_pattern_on_the_command_line_comes_before_that_of_the_recipe() {
    let recipe = "pattern = \"none.svg\"\n[[step]]\ndo = \"set-piece\"\npiece = \"front\"\nname = \"fore\"\n";
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg").with_file("r.toml", recipe);
    bench.retrue("apply r.toml").is_refused().says("none.svg");
    bench.retrue("apply r.toml skirt-shaped-back.svg").is_true().prints("id=\"fore.hem\"");
    let piped = bench.retrue_with_input("apply r.toml -", fixture("skirt-shaped-back.svg"));
    piped.is_true().prints("id=\"fore.hem\"");
    bench.retrue_with_input("apply - skirt-shaped-back.svg", recipe).is_true().prints("id=\"fore.hem\"");
}

#[test]
fn a_dry_run_tells_and_writes_nothing() {
    let bench = Bench::new().with_file("sheets/coat.svg", fixture("coat.svg")).with_file("r.toml", RECIPE);
    let before = bench.files();
    let dry = bench.retrue(&format!("move-seam sheets/coat.svg {MOVE_SIDE} --dry-run -o new.svg"));
    dry.is_true().prints("girths").prints("changed").says("a strip");
    bench.retrue("apply r.toml --dry-run").is_true().prints("girths");
    let report = bench.retrue("apply r.toml --dry-run --json").is_true().reports("recut");
    assert_eq!(report["steps"].as_array().map(Vec::len), Some(2));
    assert!(report["steps"][0]["told"][0]["sentence"].is_string());
    assert!(report.get("written").is_none());
    for girth in report["girths"].as_array().expect("girths") {
        let number = |key: &str| girth[key].as_f64().expect("a girth");
        approx::assert_abs_diff_eq!(number("before"), number("after"), epsilon = 0.1);
    }
    assert_eq!(bench.files(), before);
}

#[test]
fn a_json_report_of_a_step_needs_a_place_for_the_pattern() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue(&format!("move-seam coat.svg {MOVE_SIDE} --json")).is_refused().says("--dry-run");
    let report =
        bench.retrue(&format!("move-seam coat.svg {MOVE_SIDE} --json -o new.svg")).is_true().reports("recut");
    assert_eq!(report["written"], "new.svg");
    bench.retrue("check new.svg").is_true();
}

#[test]
fn a_file_is_replaced_only_by_force() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("new.svg", "mine");
    let line = "set-piece coat.svg --piece hanger --name loop -o new.svg";
    bench.retrue(line).is_refused().says("exists already").says("--force");
    assert_eq!(bench.text_of("new.svg"), "mine");
    bench.retrue(&format!("{line} --force")).is_true();
    bench.retrue("check new.svg").is_true();
    bench.retrue("set-piece new.svg --piece loop --name hanger -o new.svg --force").is_true();
    assert!(bench.text_of("new.svg").contains("hanger.upper"));
    assert_eq!(bench.files(), ["coat.svg", "new.svg"]);
}

#[cfg(unix)]
#[test]
fn a_written_file_has_the_mode_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new().with_fixture("coat.svg");
    bench.shell("umask 022; retrue set-piece coat.svg --piece hanger --name loop -o new.svg").is_true();
    let mode = std::fs::metadata(bench.path("new.svg")).expect("the file").permissions().mode();
    assert_eq!(mode & 0o777, 0o644);
}

#[test]
fn quiet_says_only_what_is_wrong() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue(&format!("move-seam coat.svg {MOVE_SIDE} -o new.svg -q")).is_true().says_nothing();
    bench.retrue("check -q new.svg").is_true().says_nothing();
    bench.retrue("-q set-edge coat.svg --edge sleeve.cap --ease 5mm -o e.svg").is_untrue().says("not true:");
    bench.retrue("check -q nothing.svg").is_refused().says("nothing.svg");
}

#[test]
fn colour_comes_only_where_it_is_wished() {
    let bench = Bench::new().with_fixture("coat.svg");
    let is_coloured =
        |outcome: &Outcome| outcome.stdout().contains('\u{1b}') || outcome.stderr().contains('\u{1b}');
    assert!(!is_coloured(&bench.retrue("show coat.svg")));
    assert!(is_coloured(&bench.retrue("show coat.svg --color always")));
    assert!(is_coloured(&bench.retrue("show none.svg --color always")));
    assert!(is_coloured(&bench.retrue("show --color always")));
    assert!(!is_coloured(&bench.retrue("show --color never")));
    let plain = Bench::new().with_fixture("coat.svg").with_variable("NO_COLOR", "1");
    assert!(!is_coloured(&plain.retrue("show coat.svg")));
    assert!(!is_coloured(&plain.retrue("show none.svg")));
}

#[test]
fn lengths_are_told_in_the_unit_asked_for() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("show coat.svg --in").is_true().prints(" in  ");
    bench.retrue("show coat.svg --cm").is_true().prints(" cm  ");
    bench.retrue("show coat.svg").is_true().prints(" mm  ");
    bench.retrue("show coat.svg --in --cm").is_refused().says("cannot be used with");
}

#[test]
fn a_drawing_without_a_size_is_read_by_its_unit_or_by_something_known() {
    let bare = fixture("skirt-shaped-back.svg").replacen("width=\"759mm\" height=\"762mm\" ", "", 1);
    let with_scale =
        bare.replacen("<g id=\"front\"", "<path id=\"scale\" d=\"M0 0H100\"/><g id=\"front\"", 1);
    let bench = Bench::new().with_file("bare.svg", bare).with_file("scale.svg", with_scale);
    bench.retrue("show bare.svg").is_refused().says("--unit mm").says("--known");
    let width = |line: &str| {
        let report = bench.retrue(line).is_true().reports("show");
        report["pieces"][0]["width"].as_f64().expect("a width")
    };
    let mm = width("show bare.svg --unit mm --json");
    approx::assert_relative_eq!(width("show bare.svg --unit in --json"), mm * 25.4, max_relative = 1e-6);
    approx::assert_relative_eq!(
        width("show scale.svg --known scale=5cm --json"),
        mm / 2.0,
        max_relative = 1e-6
    );
    bench.retrue("show scale.svg --known scale").is_refused().says("scale=100mm");
    bench.retrue("show scale.svg --known scael=100mm").is_refused().says("scale");
}

#[test]
fn completions_are_made_for_every_shell() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        bench.retrue(&format!("completions {shell}")).is_true().prints("merge-at-seamline");
    }
    bench.retrue("completions csh").is_refused();
}

#[test]
fn manual_pages_are_made_for_every_command() {
    let bench = Bench::new();
    bench.retrue("man").is_true().prints(".TH").prints("apply");
    bench.retrue("man move-seam").is_true().prints("to\\-width");
    bench.retrue("man move-seem").is_refused().says("did you mean `move-seam`?");
    std::fs::create_dir(bench.path("pages")).expect("a folder");
    bench.retrue("man --all pages").is_true().prints_nothing();
    let pages = std::fs::read_dir(bench.path("pages")).expect("pages").count();
    assert!(pages > 20, "{pages} pages");
    bench.retrue("man --all pages").is_refused().says("--force");
}

#[test]
fn help_says_what_every_operation_does() {
    let bench = Bench::new();
    let help = bench.retrue("--help");
    help.is_true().prints("Shift a seam").prints("Set the shape of a corner").prints("Exit code: 0");
    for name in retrue::recut::Step::NAMES {
        help.prints(name);
        bench.retrue(&format!("help {name}")).is_true().prints("--dry-run").prints("--known");
    }
    bench.retrue("--version").is_true().prints(env!("CARGO_PKG_VERSION"));
}
