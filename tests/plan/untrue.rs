//! A pattern that was not true before: it stops no plan, is told, and is trued first where steps can.

use serde_json::Value;

use crate::run::{Bench, fixture};
use crate::spoiled;

const CLOTH: &str = include_str!("../../examples/cloth.toml");

/// A short search: enough for plans, the same each time.
const PLAN: &str = "--cloth cloth.toml --iterations 5 --ways 60 --alternatives 2 -o plans --force --json";

fn bench_with(sheet: &str) -> Bench {
    Bench::new().with_file("sheet.svg", sheet).with_file("cloth.toml", CLOTH)
}

fn operations(alternative: &Value) -> Vec<&str> {
    let steps = alternative["steps"].as_array().expect("steps");
    steps.iter().map(|step| step["do"].as_str().expect("a name")).collect()
}

fn alternatives(report: &Value) -> &Vec<Value> {
    report["alternatives"].as_array().expect("alternatives")
}

/// Kinks at hems stop nothing: as many recuts fit as of the sheet on which they were smoothed before, and the recipes smooth
/// them first and leave a true pattern.
#[test]
fn recipes_on_a_kinked_sheet_begin_by_smoothing_it_and_end_true() {
    let kinked = spoiled::kinked(&spoiled::kinked(&fixture("coat.svg"), "back.hem"), "sleeve.hem");
    let bench = bench_with(&kinked);
    bench.retrue("true-seam sheet.svg --seam back.side --smooth back.hem -o half.svg").is_untrue();
    bench
        .retrue("true-seam half.svg --seam sleeve.underarm-front --smooth sleeve.hem -o smoothed.svg")
        .is_true();
    let of_smoothed = bench.retrue(&format!("plan smoothed.svg {PLAN}")).is_true().reports("plan");
    let outcome = bench.retrue(&format!("plan sheet.svg {PLAN}"));
    let report = outcome.is_true().says("not true: 2 findings, ").reports("plan");
    assert!(of_smoothed["fitting"].as_u64() > Some(0), "{of_smoothed}");
    assert_eq!(report["fitting"], of_smoothed["fitting"]);
    assert_eq!(report["trued"].as_array().expect("steps").len(), 2);
    assert!(!alternatives(&report).is_empty());
    for (number, alternative) in (1..).zip(alternatives(&report)) {
        assert_eq!(operations(alternative)[..2], ["true-seam", "true-seam"]);
        assert_eq!(alternative["true"], true);
        bench.retrue(&format!("apply plans/{number}.toml sheet.svg -o recut.svg --force")).is_true();
        bench.retrue("check recut.svg").is_true();
        bench.retrue("fit recut.svg --cloth cloth.toml").is_true();
        let recipe = bench.text_of(&format!("plans/{number}.toml"));
        assert!(recipe.contains("# The first 2 steps true what was not true before."), "{recipe}");
    }
}

/// What no step can true stops nothing either; it is told of each alternative, and in its recipe.
#[test]
fn what_cannot_be_trued_is_told_and_stops_nothing() {
    let coat = fixture("coat.svg");
    let sheets = [
        spoiled::shoulder_to_side(&coat),
        spoiled::uneven_allowance(&coat),
        spoiled::eased(&coat, 25.0, 19.0),
    ];
    for sheet in sheets {
        let bench = bench_with(&sheet);
        let outcome = bench.retrue(&format!("plan sheet.svg {PLAN}"));
        let report = outcome.is_true().says("not true: ").reports("plan");
        assert_eq!(report["trued"].as_array().map(Vec::len), Some(0));
        assert!(!alternatives(&report).is_empty());
        for (number, alternative) in (1..).zip(alternatives(&report)) {
            assert_eq!(alternative["true"], false);
            let untrue = alternative["untrue"].as_str().expect("what is not true");
            assert!(untrue.starts_with("as before, "), "{untrue}");
            let recipe = bench.text_of(&format!("plans/{number}.toml"));
            assert!(recipe.contains(&format!("# NOT TRUE {untrue}")), "{recipe}");
            let applied = bench.retrue(&format!("apply plans/{number}.toml sheet.svg -o recut.svg --force"));
            applied.is_untrue().says("not true: as before, ");
        }
    }
}

/// A seam of nearly equal length is trued where the sheet fits as it is, and the sentence does not call it ready to cut.
#[test]
fn what_fits_as_it_is_but_is_not_true_is_not_called_ready_to_cut() {
    let plan = "plan sheet.svg --cloth \"160cm x 12m\" --iterations 5 -o plans --force";
    let kinked = bench_with(&spoiled::kinked(&fixture("coat.svg"), "back.hem"));
    kinked
        .retrue(plan)
        .is_true()
        .prints("It fits once it is trued")
        .says("each recipe first trues what can be trued");
    kinked.retrue("apply plans/1.toml sheet.svg -o trued.svg").is_true();
    let wrong = bench_with(&spoiled::shoulder_to_side(&fixture("coat.svg")));
    let outcome = wrong.retrue(plan);
    outcome
        .is_true()
        .prints("It fits as it is, but is not true: true it before you cut.")
        .prints("not true as before, ");
}

/// The two sides of a skirt's side seam differ by 4 mm: within what is trued at a hem.
#[test]
fn a_seam_of_nearly_equal_length_is_trued_first() {
    let skirt = fixture("skirt-shaped-back.svg");
    let bench = bench_with(&skirt);
    bench.retrue("set-edge sheet.svg --edge front.side --ease 4mm -o longer.svg").is_untrue();
    let plan = "plan longer.svg --cloth \"160cm x 12m\" --iterations 5 -o plans --force --json";
    let report = bench.retrue(plan).is_true().says("longer by 4 mm").reports("plan");
    let alternative = &alternatives(&report)[0];
    assert_eq!(operations(alternative), ["true-seam"]);
    assert_eq!(alternative["true"], true);
    bench.retrue("apply plans/1.toml longer.svg -o trued.svg").is_true();
}
