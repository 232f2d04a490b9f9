//! `fit` and `--fit-cloth`: widths as cut against what the cloth gives.

use crate::lay_command::{pattern, stock, strip};
use crate::run::Bench;
use retrue::cloth::OffSelvedge;
use retrue::cloth::fit::{Fit, fit};
use retrue::cloth::layout::{LaidVerdict, LayTask, LayWish, Reason};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::sheet::{ReadOptions, read};
use retrue::units::{Angle, Unit};
use serde_json::Value;

const BOLT: &str = "37cm x 11.4m";

fn piece<'a>(report: &'a Value, name: &str) -> &'a Value {
    let pieces = report["pieces"].as_array().expect("pieces");
    pieces.iter().find(|piece| piece["piece"] == name).expect("the piece")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// The coat's sleeve: 389.32 mm at its widest from underarm to underarm and 15 mm on either side, the edges standing 6°
/// off the grain, so that their lines meet the cap's a little farther out.
#[test]
fn widths_are_those_of_the_cutting_line() {
    let bench = Bench::new().with_fixture("coat.svg");
    let report = bench.retrue(&format!("fit coat.svg --cloth \"{BOLT}\" --json")).is_untrue().reports("fit");
    let cuff = &piece(&report, "cuff")["lengthwise"];
    approx::assert_abs_diff_eq!(number(&cuff["width"]), 306.9595 + 2.0 * 15.0, epsilon = 1e-3);
    approx::assert_abs_diff_eq!(number(&cuff["length"]), 2.0 * (75.0 + 10.0), epsilon = 1e-3);
    assert_eq!(cuff["gives"], 370.0);
    assert_eq!(piece(&report, "cuff")["fits"], true);
    let sleeve = &piece(&report, "sleeve")["lengthwise"];
    let width = number(&sleeve["width"]);
    assert!(width > 389.3 + 30.0 && width < 389.3 + 36.0, "{width}");
    approx::assert_abs_diff_eq!(number(&sleeve["too_wide"]), width - 370.0, epsilon = 1e-5);
    let hanger = &piece(&report, "hanger")["lengthwise"];
    approx::assert_abs_diff_eq!(number(&hanger["width"]), 32.0, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(number(&piece(&report, "hanger")["area"]), 32.0 * 90.0, epsilon = 1e-6);
}

#[test]
fn a_piece_that_would_lie_across_is_told_and_fits_where_that_is_allowed() {
    let cloth =
        |crosswise: &str| format!("[main]\nwidth = \"37cm\"\nlength = \"11.4m\"\ncrosswise = {crosswise}\n");
    let bench = Bench::new().with_fixture("coat.svg");
    let bench = bench.with_file("no.toml", cloth("false")).with_file("yes.toml", cloth("true"));
    bench.retrue("fit coat.svg --cloth no.toml").is_untrue().prints("would fit crosswise, 120.68 mm wide");
    bench.retrue("fit coat.svg --cloth yes.toml").is_untrue().prints("fits crosswise, 120.68 mm wide");
    let report = bench.retrue("fit coat.svg --cloth yes.toml --json").reports("fit");
    assert_eq!(piece(&report, "collar")["fits"], true);
    assert_eq!(piece(&report, "back")["fits"], false);
}

#[test]
fn the_exit_code_and_the_table_say_whether_it_fits() {
    let bench = Bench::new().with_fixture("coat.svg");
    let fits = bench.retrue("fit coat.svg --cloth \"140cm x 3m\" --in");
    fits.is_true()
        .prints("fits in part: every piece whose cloth is at hand fits by itself; no companion cloth for under-collar")
        .prints("yd²")
        .says("`under-collar` is cut from `companion`");
    let short = bench.retrue("fit coat.svg --cloth \"140cm x 1m\" --cm");
    short.is_untrue().prints("too long by").prints("not enough, however it is laid");
    let little = bench.retrue("fit coat.svg --cloth \"60cm x 1.5m\"");
    little.is_untrue().prints("there is too little cloth");
}

/// A grain off by up to 3° lets a slanting strip lie upright: 100 mm wide, its long sides 2° off its grain.
#[test]
fn a_grain_tolerance_makes_a_slanting_piece_narrower() {
    let strip = r#"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 1200">
      <g id="strip" data-kind="piece" data-cut="1"><path id="strip.a" data-kind="edge" data-finish="free" d="M100 100 L200.061 100"/>
      <path id="strip.b" data-kind="edge" data-finish="free" d="M200.061 100 L235.061 1102.3"/>
      <path id="strip.c" data-kind="edge" data-finish="free" d="M235.061 1102.3 L135 1102.3"/>
      <path id="strip.d" data-kind="edge" data-finish="free" d="M135 1102.3 L100 100"/>
      <path id="strip.grain" data-kind="grainline" d="M150 300 L150 800"/></g></svg>"#;
    let bench = Bench::new().with_file("strip.svg", strip);
    bench.retrue("fit strip.svg --cloth \"11cm x 2m\"").is_untrue().prints("too wide by 25.06 mm");
    bench.retrue("fit strip.svg --cloth \"11cm x 2m\" --grain-tolerance 3").is_true();
    bench.retrue("fit strip.svg --cloth \"11cm x 2m\" --grain-tolerance 1").is_untrue();
    bench.retrue("fit strip.svg --cloth \"11cm x 2m\" --grain-tolerance 30").is_refused();
}

#[test]
fn a_moved_seam_keeps_what_the_cloth_gives_less_the_allowances() {
    let bench = Bench::new().with_fixture("coat.svg");
    let moved = "move-seam coat.svg --seam front.side --from back";
    let told = bench.retrue(&format!("{moved} --fit-cloth \"41cm x 11m\" -o by-cloth.svg"));
    told.is_true().says("the cloth gives `back` 410 mm: a width of 190 mm");
    bench.retrue(&format!("{moved} --to-width 190mm -o by-width.svg")).is_true();
    assert_eq!(bench.text_of("by-cloth.svg"), bench.text_of("by-width.svg"), "the record keeps the width");
    bench.retrue(&format!("{moved} --to-width 19cm --fit-cloth \"41cm x 11m\"")).is_refused();
    bench.retrue(&format!("{moved} --fit-cloth \"41cm x 50cm\"")).is_refused().says("longer than the cloth");
    bench.retrue(&format!("{moved} --fit-cloth \"2cm x 11m\"")).is_refused().says("the allowances take all");
}

/// On a free selvedge there is no allowance, so that the back keeps half the cloth.
#[test]
fn a_recipe_fits_a_seam_to_the_cloth_beside_it() {
    let recipe = "pattern = \"coat.svg\"\n[[step]]\ndo = \"set-edge\"\nedge = \"back.side\"\nselvedge = \"yes\"\nfinish = \"free\"\n\
        [[step]]\ndo = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\nfit-cloth = \"cloth.toml\"\n";
    let cloth = "[main]\nwidth = [[\"0m\", \"42cm\"], [\"2m\", \"40cm\"]]\nlength = \"11m\"\n";
    let bench = Bench::new().with_file("job/recipe.toml", recipe).with_file("job/cloth.toml", cloth);
    let bench = bench.with_file("job/coat.svg", crate::run::fixture("coat.svg"));
    let told = bench.retrue("apply job/recipe.toml -o out.svg");
    let gives = 420.0 - 20.0 * 1.026 / 2.0;
    told.says("the cloth gives `back`");
    let report = bench.retrue("apply job/recipe.toml --json --dry-run").reports("recut");
    let width = report["steps"][1]["fields"]["to-width"].as_str().map(str::to_owned);
    let width = width.expect("the resolved width").trim_end_matches("mm").parse::<f64>().expect("mm");
    approx::assert_abs_diff_eq!(width, gives / 2.0, epsilon = 0.5);
    let both = recipe.replace("fit-cloth", "to-width = \"19cm\"\nfit-cloth");
    let bench = bench.with_file("job/both.toml", both);
    bench.retrue("apply job/both.toml --dry-run").is_refused().says("not both").says("both.toml:11");
    let elsewhere = recipe.replace("do = \"move-seam\"", "do = \"split\"");
    let bench = bench.with_file("job/elsewhere.toml", elsewhere);
    bench.retrue("apply job/elsewhere.toml --dry-run").is_refused();
}

#[test]
fn panels_are_limited_to_what_the_cloth_gives() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = "limit-width coat.svg --piece sleeve --fit-cloth \"37cm x 11m\" -o out.svg";
    bench.retrue(line).is_true().says("the cloth gives `sleeve` 370 mm");
    let report = bench.retrue("fit out.svg --cloth \"37cm x 11m\" --json").reports("fit");
    assert_eq!(piece(&report, "sleeve-front")["fits"], true);
    bench.retrue("limit-width coat.svg --piece sleeve").is_refused().says("--width");
    let unheard = "limit-width coat.svg --piece under-collar --fit-cloth \"37cm x 11m\"";
    bench.retrue(unheard).is_refused().says("add [companion] to the cloth file");
}

/// A piece whose width is given as the limit, as `fit` tells it to a hundredth, stays whole: what fits lies on the cloth uncut,
/// and what is off the grain is asked to be opened out only where it would be cut.
#[test]
fn a_piece_stays_whole_at_the_width_that_is_told() {
    for sheet in ["coat.svg", "dress.svg", "awkward.svg"] {
        let bench = Bench::new().with_fixture(sheet);
        let told = bench.retrue(&format!("fit {sheet} --cloth \"5m x 50m\" --json")).is_true().reports("fit");
        let pieces = told["pieces"].as_array().expect("pieces");
        assert!(pieces.len() > 3, "{sheet}");
        for one in pieces {
            let (name, width) = (one["piece"].as_str().expect("a name"), number(&one["lengthwise"]["width"]));
            let limit = format!("limit-width {sheet} --piece {name} --width {width:.2}mm --dry-run");
            let outcome = bench.retrue(&limit);
            assert!(outcome.stderr().contains("nothing to do"), "{limit}: {}", outcome.stderr());
        }
    }
}

/// What `fit` says of selvedges is what `lay` says, word for word, whichever edges of the cloth are finished and whichever of
/// the piece is to lie on them.
#[test]
fn what_lies_on_no_selvedge_fits_no_more_than_it_can_be_laid() {
    let free = strip("");
    let one = strip("data-selvedge=\"yes\"");
    let two = one.replace("data-allowance=\"15mm\" d=\"M100 700", "data-selvedge=\"yes\" d=\"M100 700");
    let bent = one.replace("M300 100 V700\"", "M300 100 L290 400 L300 700\"");
    let cloths = ["both", "left", "none"].map(|finished| {
        ["60cm", "20cm"].map(|width| {
            format!("[main]\nwidth = \"{width}\"\nlength = \"4m\"\nselvedges = \"{finished}\"\ndirection = \"one-way\"\n")
        })
    });
    let uneven = "[main]\nwidth = [[\"0m\", \"60cm\"], [\"4m\", \"58cm\"]]\nlength = \"4m\"\ndirection = \"one-way\"\n";
    let (mut lain, mut off) = (0, Vec::new());
    for cloth in cloths.iter().flatten().map(String::as_str).chain([uneven]) {
        for sheet in [&free, &one, &two, &bent] {
            let pattern = read(sheet.as_bytes(), &ReadOptions::default()).expect("a pattern").pattern;
            let stock = stock(cloth);
            let found: Fit = fit(&pattern, &stock, Angle::ZERO).expect("widths");
            let task = LayTask::of(&pattern, &stock, LayWish::default()).expect("a task");
            let budget = Budget { seed: 1, searchers: 1, limit: Limit::Iterations(30) };
            let laid = task.search(&budget, &mut |_| Continue::Search).expect("a search");
            let reasons = match &laid.verdict {
                LaidVerdict::Impossible(reasons) => reasons.as_slice(),
                _ => &[],
            };
            let of_selvedge = reasons.iter().find(|reason| matches!(reason, Reason::OffSelvedge { .. }));
            let piece = &found.pieces[0];
            match of_selvedge {
                Some(reason) => {
                    assert!(!found.fits && piece.is_within(), "{cloth}{sheet}");
                    assert_eq!(piece.missing(Unit::Millimetre), reason.sentence(Unit::Millimetre));
                    off.extend(piece.off_selvedge.clone());
                }
                None => {
                    assert_eq!(found.fits, laid.verdict == LaidVerdict::Fits, "{cloth}{sheet}: {piece:?}");
                    lain += usize::from(found.fits);
                }
            }
        }
    }
    let is_told = |is: fn(&OffSelvedge) -> bool| off.iter().any(is);
    assert!(lain >= 5, "{lain} of 28 lie");
    assert!(is_told(|off| matches!(off, OffSelvedge::NoSelvedge { edge } if edge.as_str() == "side")));
    assert!(is_told(|off| matches!(off, OffSelvedge::NotAtSide { .. })));
    assert!(is_told(|off| matches!(off, OffSelvedge::Uneven { .. })));
    assert!(is_told(|off| matches!(off, OffSelvedge::NotBoth { .. })));
}

/// The edge, the piece and the cloth are named, and the next command does without the selvedge.
#[test]
fn a_missing_selvedge_is_told_with_its_edge() {
    let cloth = "[main]\nwidth = \"60cm\"\nlength = \"2m\"\nselvedges = \"none\"\n";
    let bench =
        Bench::new().with_file("strip.svg", strip("data-selvedge=\"yes\"")).with_file("none.toml", cloth);
    let told = bench.retrue("fit strip.svg --cloth none.toml");
    let told = told.is_untrue().says("set-edge strip.svg --edge panel.side --selvedge no");
    let read = told.stdout().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(read.contains("`panel.side` is to lie on a selvedge that `main` does not have"), "{read}");
    assert!(read.contains("does not fit: 1 of 1 piece"), "{read}");
    let report = bench.retrue("fit strip.svg --cloth none.toml --json").is_untrue().reports("fit");
    let off = &piece(&report, "panel")["off_selvedge"];
    assert_eq!((&off["why"], &off["edge"]), (&Value::from("no-selvedge"), &Value::from("side")));
    bench.retrue("set-edge strip.svg --edge panel.side --selvedge no -o cut.svg").is_true();
    bench.retrue("fit cut.svg --cloth none.toml").is_true();
}

/// Of shipped patterns nothing is to lie on a selvedge, so that none is missed.
#[test]
fn shipped_patterns_need_no_selvedge() {
    let none = stock("[main]\nwidth = \"3m\"\nlength = \"20m\"\nselvedges = \"none\"\n");
    for sheet in ["coat.svg", "dress.svg", "skirt-shaped-back.svg"] {
        assert!(fit(&pattern(sheet), &none, Angle::ZERO).expect("widths").fits, "{sheet}");
    }
}
