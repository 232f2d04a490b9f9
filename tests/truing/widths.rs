//! One truth of widths: whatever tells how wide a piece is as it is cut tells what the written cutting line measures.

use crate::counted::{counted, kept_in};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::random::block::draft;
use crate::run::{Bench, fixture};
use crate::written_widths::{Reach, TOLD_WITHIN, reach_of_path, written_reaches};
use proptest::prelude::*;
use retrue::allowance::{AllowanceError, Halves, SewingOrder, as_cut};
use retrue::pattern::{Pattern, PieceName};
use retrue::recut::{LimitWidth, Notice, Step};
use retrue::sheet;
use retrue::show::piece::{PieceDrawing, PieceStyle};
use retrue::show::print::{Orientation, Paper, Print, PrintOptions, SheetSize};
use retrue::tolerance::SAME_CUT;
use retrue::units::{Length, Unit};

const FIXTURES: [&str; 4] = ["coat.svg", "dress.svg", "awkward.svg", "skirt-shaped-back.svg"];

fn read(sheet: &str) -> Pattern {
    sheet::read(sheet.as_bytes(), &Default::default()).expect("a sound sheet").pattern
}

fn recipes() -> Vec<PathBuf> {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let files = [examples.clone(), examples.join("operations")].into_iter().flat_map(|folder| {
        std::fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path())
    });
    let is_recipe = |path: &PathBuf| {
        path.extension().is_some_and(|extension| extension == "toml")
            && std::fs::read_to_string(path).expect("a text").contains("[[step]]")
    };
    let mut found: Vec<PathBuf> = files.filter(is_recipe).collect();
    found.sort();
    found
}

/// The number before `mm` that follows a text.
fn mm_after(told: &str, before: &str) -> f64 {
    let rest = told.split_once(before).unwrap_or_else(|| panic!("no `{before}` in: {told}")).1;
    let number: String = rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    number.parse().unwrap_or_else(|_| panic!("no number after `{before}` in: {told}"))
}

#[track_caller]
fn agrees(who: &str, piece: &str, told: f64, written: f64) {
    assert!((told - written).abs() <= TOLD_WITHIN, "{who}: `{piece}` {told} mm, written {written} mm");
}

/// What every command tells of a written sheet, `sheet.svg` in the folder, against the sheet.
fn all_agree(bench: &Bench) {
    let text = bench.text_of("sheet.svg");
    let written = written_reaches(&text);
    assert!(!written.is_empty());
    let shown = bench.retrue("show sheet.svg --json").reports("show");
    for piece in shown["pieces"].as_array().expect("pieces") {
        let name = piece["name"].as_str().expect("a name");
        agrees("show", name, piece["cut_width"].as_f64().expect("a width"), written[name].width);
    }
    // Narrower than any piece, so that each is told of.
    let cloths: String = ["main", "companion", "lining", "underlining"]
        .map(|cloth| format!("[{cloth}]\nwidth = \"24mm\"\nlength = \"9m\"\n"))
        .concat();
    std::fs::write(bench.path("narrow.toml"), cloths).expect("written");
    let fit = bench.retrue("fit sheet.svg --cloth narrow.toml --json").reports("fit");
    let fitted = fit["pieces"].as_array().expect("pieces");
    assert_eq!(fitted.len(), written.len());
    for piece in fitted {
        let (name, way) = (piece["piece"].as_str().expect("a name"), &piece["lengthwise"]);
        agrees("fit", name, way["width"].as_f64().expect("a width"), written[name].width);
        agrees("fit, along", name, way["length"].as_f64().expect("a length"), written[name].length);
    }
    let laid = bench.retrue("lay sheet.svg --cloth narrow.toml --json -o lay.svg").reports("lay");
    let reasons: Vec<&str> =
        laid["reasons"].as_array().expect("reasons").iter().filter_map(|reason| reason.as_str()).collect();
    for (name, reach) in &written {
        let reason = reasons.iter().find(|reason| reason.starts_with(&format!("`{name}` is ")));
        let reason = reason.unwrap_or_else(|| panic!("lay is silent about `{name}`: {reasons:?}"));
        agrees("lay", name, mm_after(reason, "is at least "), reach.width);
    }
    let report = bench.retrue("report sheet.svg").stdout();
    for (name, reach) in &written {
        let before = format!(">{name}: cut ");
        let mut rows = report.split(before.as_str()).skip(1).filter_map(|row| row.split('<').next());
        let row = rows.find(|row| row.contains("; ")).expect("a row of the checklist");
        agrees("report", name, mm_after(row, "; "), reach.width);
    }
}

/// `limit-width` at a hair more than the written width has nothing to do, and says the width; at a hair less it cuts.
fn limit_width_agrees(bench: &Bench, written: &BTreeMap<String, Reach>) -> usize {
    let mut held = 0;
    for (name, reach) in written {
        let at = |by: f64| {
            let width = reach.width + by;
            bench.retrue(&format!("limit-width sheet.svg --piece {name} --width {width:.4}mm --dry-run"))
        };
        let wide = at(TOLD_WITHIN);
        if wide.stderr().contains("off the grain") || wide.stderr().contains("has no grainline") {
            continue;
        }
        let told = wide.says("nothing to do").stderr();
        agrees("limit-width", name, mm_after(&told, "it is "), reach.width);
        assert!(!at(-TOLD_WITHIN).stderr().contains("nothing to do"), "{name}");
        held += 1;
    }
    held
}

/// That there is nothing to do is told in the unit asked for, as all lengths are.
#[test]
fn a_width_that_is_enough_is_told_in_the_unit_asked_for() {
    let bench = Bench::new().with_file("coat.svg", fixture("coat.svg"));
    let told = |unit: &str| {
        let line = format!("limit-width coat.svg --piece hanger --width 400mm --dry-run {unit}");
        bench.retrue(&line).says("nothing to do at hanger: it is ").stderr()
    };
    assert!(told("--mm").contains("it is 32 mm wide"), "{}", told("--mm"));
    assert!(told("--cm").contains("it is 3.2 cm wide"), "{}", told("--cm"));
}

#[test]
fn every_command_tells_the_width_that_is_written_of_a_fixture() {
    let mut held = 0;
    for name in FIXTURES {
        let bench = Bench::new();
        let written = sheet::write(&read(&fixture(name))).expect("a sheet");
        std::fs::write(bench.path("sheet.svg"), &written).expect("written");
        all_agree(&bench);
        held += limit_width_agrees(&bench, &written_reaches(&written));
    }
    assert!(held > 20, "{held}");
}

#[test]
fn every_command_tells_the_width_that_is_written_after_each_recipe() {
    let all = recipes();
    assert!(all.len() >= 21, "{}", all.len());
    for recipe in all {
        let bench = Bench::new();
        let told = bench.retrue(&format!("apply {} -o sheet.svg --json", recipe.display())).reports("recut");
        let text = std::fs::read_to_string(&recipe).expect("a recipe");
        let pattern = text.lines().find_map(|line| line.strip_prefix("pattern = \"")).expect("its pattern");
        let pattern = recipe.parent().expect("a folder").join(pattern.trim_end_matches('"'));
        let before = read(&std::fs::read_to_string(pattern).expect("a sheet"));
        let before = written_reaches(&sheet::write(&before).expect("a sheet"));
        let after = written_reaches(&bench.text_of("sheet.svg"));
        for piece in told["pieces"].as_array().expect("pieces") {
            let name = piece["name"].as_str().expect("a name");
            for (when, written) in [("cut_width_before", &before), ("cut_width_after", &after)] {
                match (piece[when].as_f64(), written.get(name)) {
                    (Some(told), Some(reach)) => agrees(when, name, told, reach.width),
                    (None, None) => {}
                    other => panic!("{}: {when} of `{name}`: {other:?}", recipe.display()),
                }
            }
        }
        all_agree(&bench);
    }
}

/// Two widths that were once reckoned and not measured: 243.56 mm and 377.38 mm.
#[test]
fn an_under_sleeve_and_a_wedge_are_as_wide_as_they_are_cut() {
    let bench = Bench::new().with_fixture("awkward.svg");
    let coat = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/narrow-coat.svg");
    let shown = bench.retrue(&format!("show {} --json", coat.display())).reports("show");
    let written = written_reaches(&std::fs::read_to_string(coat).expect("the coat"));
    let pieces = shown["pieces"].as_array().expect("pieces");
    let under = pieces.iter().find(|piece| piece["name"] == "sleeve-under").expect("the under sleeve");
    agrees(
        "show",
        "sleeve-under",
        under["cut_width"].as_f64().expect("a width"),
        written["sleeve-under"].width,
    );
    let cut = "limit-width awkward.svg --piece wedge-right --width 400mm -o cut.svg";
    let told = bench.retrue(cut).is_true().stderr();
    let panels = written_reaches(&bench.text_of("cut.svg"));
    assert!(!panels.contains_key("wedge-right"));
    let widest = panels["wedge-right-1"].width.max(panels["wedge-right-2"].width);
    assert!(widest <= 400.0, "{widest}");
    agrees("limit-width", "wedge-right", mm_after(&told, "the widest "), widest);
    let whole = written_reaches(&sheet::write(&read(&fixture("awkward.svg"))).expect("a sheet"));
    assert!(whole["wedge-right"].width > 400.0);
}

/// The warning that a piece is still wider than its cloth, and what `plan` says is missing, go by the written line.
#[test]
fn what_is_too_wide_for_the_cloth_is_too_wide_by_what_is_written() {
    let bench = Bench::new().with_fixture("coat.svg");
    let narrow = "set-allowance coat.svg --edges \"back.side, front.side\" --allowance 7mm -o narrow.svg";
    bench.retrue(narrow).exits(0);
    let moved =
        "move-seam narrow.svg --seam front.side --from back --fit-cloth \"37cm x 11.4m\" --line grain";
    let told = bench.retrue(&format!("{moved} -o moved.svg")).stderr();
    let back = written_reaches(&bench.text_of("moved.svg"))["back"];
    let still = told.contains("is still ");
    assert_eq!(still, back.width > 370.0 + TOLD_WITHIN, "{told}");
    if still {
        agrees("--fit-cloth", "back", mm_after(&told, "is still "), back.width);
    }
    // A cloth narrower than two allowances: nothing can be done, and what is missing is the whole rest.
    let written = sheet::write(&read(&fixture("awkward.svg"))).expect("a sheet");
    std::fs::write(bench.path("sheet.svg"), &written).expect("written");
    let reaches = written_reaches(&written);
    let planned = bench.retrue("plan sheet.svg --cloth \"24mm x 9m\" --recuts 1 --json").reports("plan");
    let missing = planned["closest"]["missing"].as_array().expect("what is missing");
    let widths: Vec<_> = missing.iter().filter(|missing| missing["kind"] == "width").collect();
    assert!(!widths.is_empty(), "{planned}");
    for missing in widths {
        let name = missing["of"].as_str().expect("a piece");
        agrees("plan", name, missing["by"].as_f64().expect("a width") + 24.0, reaches[name].width);
    }
}

/// What is printed opened out is drawn as wide as it is cut, and the map page says the same width.
#[test]
fn a_print_draws_and_tells_the_width_that_is_written() {
    for name in FIXTURES {
        let pattern = read(&fixture(name));
        let written = written_reaches(&sheet::write(&pattern).expect("a sheet"));
        let order = SewingOrder::of(&pattern);
        let style = PieceStyle { halves: Halves::Opened, ..PieceStyle::for_cutting(Unit::Millimetre) };
        for piece in pattern.pieces() {
            let name = piece.name().as_str();
            let drawn = PieceDrawing::of(&order, piece, &style).expect("a drawing");
            let drawn = reach_of_path(&drawn.outline, piece.grain_or_down());
            agrees("print", name, drawn.width, written[name].width);
            agrees("print, along", name, drawn.length, written[name].length);
        }
        let paper = Paper::Sheets(SheetSize::A4, Orientation::Portrait);
        let print = Print::of(&pattern, &PrintOptions::usual("title", paper)).expect("pages");
        let maps = print.pages.iter().filter(|page| page.label.ends_with("map"));
        let labels: Vec<&str> =
            maps.flat_map(|map| &map.furniture.labels).map(|label| label.text.as_str()).collect();
        let text = labels.join(" ");
        for (piece, reach) in &written {
            let row = text.split(&format!(" {piece}: cut ")).nth(1).expect("a row of the contents");
            let before = row.split_once(" mm wide as it is cut").expect("a width").0;
            let told: f64 = before.rsplit(' ').next().expect("a number").parse().expect("a number");
            agrees("map page", piece, told, reach.width);
        }
    }
}

/// A piece whose fold bends, and one on two folds, cannot be opened out: every command that would need it says which piece
/// and what to do.
#[test]
fn a_half_piece_that_cannot_be_opened_out_is_named() {
    let half = |fold: &str, top: &str| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"400mm\" viewBox=\"0 0 400 400\">\
             <g id=\"half\" data-kind=\"piece\">\
             <path id=\"half.fold\" data-kind=\"edge\" data-finish=\"fold\" d=\"{fold}\"/>\
             <path id=\"half.top\" data-kind=\"edge\" data-finish=\"{top}\" data-allowance=\"10mm\" d=\"M100 100H250\"/>\
             <path id=\"half.side\" data-kind=\"edge\" data-finish=\"free\" data-allowance=\"10mm\" d=\"M250 100V300\"/>\
             <path id=\"half.hem\" data-kind=\"edge\" data-finish=\"free\" data-allowance=\"10mm\" d=\"M250 300H100\"/>\
             <path id=\"half.grain\" data-kind=\"grainline\" d=\"M180 150V250\"/></g></svg>"
        )
    };
    let bent = half("M100 300C80 240 80 160 100 100", "free");
    let twice = half("M100 300V100", "fold");
    let cases = [(bent, "half.fold", "draw the fold straight"), (twice, "half", "unfold --piece half")];
    for (sheet, place, way_out) in cases {
        let bench = Bench::new().with_file("half.svg", &sheet);
        for line in ["fit half.svg --cloth \"1m x 1m\"", "lay half.svg --cloth \"1m x 1m\""] {
            bench.retrue(line).is_refused().says(place).says(way_out);
        }
        bench.retrue("show half.svg").is_true().prints("cannot be cut").prints(way_out);
        let pattern = read(&sheet);
        let refused = as_cut(&pattern, pattern.pieces().next().expect("a piece")).expect_err("a refusal");
        assert!(matches!(refused, AllowanceError::CrookedFold { .. } | AllowanceError::SeveralFolds { .. }));
    }
    // A straight fold may be drawn as a curve.
    let straight = half("M100 300C100 240 100 160 100 100", "free");
    let bench = Bench::new().with_file("half.svg", &straight);
    bench.retrue("show half.svg").is_true().prints("as cut 320 mm wide opened out");
}

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/widths.txt", 256)
}

/// The pieces of random patterns are as wide as written, and so are the panels that they are cut in: the law of
/// `limit-width`. Two allowances for each new seam are a bound for what the panels take together: no even width that the
/// search begins with is more than the widest panel.
#[test]
fn random_pieces_and_their_panels_are_as_wide_as_written() {
    counted(config(), (draft(), 0.2..1.1_f64), |(draft, share)| {
        let before = draft.pattern();
        let written = written_reaches(&sheet::write(&before).expect("a sheet"));
        for piece in before.pieces() {
            let told = as_cut(&before, piece).expect("a width").width();
            agrees("as_cut", piece.name().as_str(), told, written[piece.name().as_str()].width);
        }
        let (front, whole): (PieceName, f64) = ("front".parse().expect("a name"), written["front"].width);
        let limit = Length::from_mm(whole * share);
        let step = Step::from(LimitWidth::of(front, limit));
        let Ok(recut) = step.apply(&before) else { return Ok(false) };
        let panels = recut.notices.iter().find_map(|told| match told {
            Notice::Panels { count, widest, .. } => Some((*count, widest.mm())),
            _ => None,
        });
        let Some((count, widest)) = panels else {
            prop_assert!(whole <= limit.mm() + TOLD_WITHIN);
            return Ok(false);
        };
        let after = written_reaches(&sheet::write(&recut.pattern).expect("a sheet"));
        let widths: Vec<f64> = recut
            .pattern
            .pieces()
            .filter(|piece| !["back", "binding"].contains(&piece.name().as_str()))
            .map(|piece| after[piece.name().as_str()].width)
            .collect();
        let most = widths.iter().copied().fold(0.0, f64::max);
        agrees("limit-width", "front", widest, most);
        prop_assert!(most <= limit.mm() + SAME_CUT + TOLD_WITHIN);
        let allowance = draft.front.allowance;
        let even = (whole + 2.0 * allowance * (count as f64 - 1.0)) / count as f64;
        prop_assert!(even <= most + TOLD_WITHIN, "{even} even, {most} widest of {count}");
        Ok(true)
    });
}
