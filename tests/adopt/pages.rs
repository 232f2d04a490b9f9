//! Patterns on pages of home paper, as four writers make them, are the sheet again that was cut into pages.
//!
//! How the files were made stands in `fixtures/adopt/pages/make.py`.

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveNearest, Vec2};
use retrue::adopt::{Asked, Found, FoundOutline, OneFile, find, find_in_several};
use retrue::drawing::pages::{PutTogetherBy, PutTogetherTold};

use crate::pdf::bytes_of;
use crate::run::{Bench, fixture};

/// How far a line may be from where it was drawn where pages hold the whole drawing, and where lines are matched, mm.
const EXACT: f64 = 0.05;
const MATCHED: f64 = 0.2;

/// How far the pieces' bounds may be from where they were drawn, seen from each other, mm.
const PLACED: f64 = 0.2;

fn pages(name: &str) -> Vec<u8> {
    bytes_of(&format!("pages/{name}"))
}

fn asked(size: Option<&str>) -> Asked {
    Asked { size: size.map(|size| size.parse().expect("a size")), ..Asked::default() }
}

fn found(name: &str, size: Option<&str>) -> Found {
    find(&pages(name), &asked(size)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn told(found: &Found) -> &PutTogetherTold {
    found.pages.as_ref().expect("pages that were put together")
}

/// How far the one line strays from the other, mm.
fn strays(one: &BezPath, other: &BezPath) -> f64 {
    let places = one.segments().flat_map(|segment| (0..=12).map(move |k| segment.eval(f64::from(k) / 12.0)));
    let off = |at| {
        other.segments().map(|segment| segment.nearest(at, 1e-7).distance_sq).fold(f64::INFINITY, f64::min)
    };
    places.map(|at| off(at).sqrt()).fold(0.0, f64::max)
}

/// How far an outline is from another that is drawn elsewhere on the paper.
fn apart(one: &FoundOutline, other: &FoundOutline, by: Vec2) -> f64 {
    let (one, other) = (one.ring.to_path(), Affine::translate(by) * other.ring.to_path());
    strays(&one, &other).max(strays(&other, &one))
}

fn shift(one: &FoundOutline, other: &FoundOutline) -> Vec2 {
    one.bounds().center() - other.bounds().center()
}

/// Whether what was found lies in one part, or in parts beside one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lies {
    InOne,
    InParts,
}

/// Holds what was found on pages to what stands on the sheet: each outline, line and text is there once, and nothing else.
#[track_caller]
fn is_the_sheet(name: &str, came: &Found, sheet: &Found, lies: Lies, within: f64) {
    assert_eq!(came.outlines.len(), sheet.outlines.len(), "{name}: outlines");
    assert_eq!(came.lines.len(), sheet.lines.len(), "{name}: lines");
    let mut texts =
        [came, sheet].map(|found| found.texts.iter().map(|text| text.text.clone()).collect::<Vec<_>>());
    texts.iter_mut().for_each(|texts| texts.sort());
    assert_eq!(texts[0], texts[1], "{name}");
    assert!(came.gaps.is_empty(), "{name}: {:?}", came.gaps);
    let all = shift(&came.outlines[0], &sheet.outlines[0]);
    let mut worst: f64 = 0.0;
    for (one, other) in came.outlines.iter().zip(&sheet.outlines) {
        let own = shift(one, other);
        assert!(
            lies == Lies::InParts || (own - all).hypot() <= PLACED,
            "{name} {}: lies {:?} off",
            one.letter,
            own - all
        );
        let off = apart(one, other, own);
        assert!(off <= within, "{name} {}: off by {off:.4} mm", one.letter);
        assert_eq!(one.edges.len(), other.edges.len(), "{name} {}: corners", one.letter);
        worst = worst.max(off);
    }
    let miss = told(came).miss;
    assert!(miss <= within, "{name}: {miss}");
    assert!(came.scale.is_true() && came.scale.check().is_some(), "{name}: the test square");
    if std::env::var_os("RETRUE_TELL").is_some() {
        eprintln!("{name}: off by {worst:.4} mm at most, {}", told(came).lines().join("; "));
    }
}

#[test]
fn the_whole_under_each_page_s_clip_is_the_sheet_again() {
    let sheet = found("blouse-38.svg", None);
    for (name, lies) in [("whole.pdf", Lies::InOne), ("cairo.pdf", Lies::InParts)] {
        let came = found(name, None);
        assert_eq!(told(&came).drawings[0].by, PutTogetherBy::Shapes, "{name}");
        is_the_sheet(name, &came, &sheet, lies, EXACT);
        assert_eq!(told(&came).missing().count(), 0, "{name}");
    }
    let whole = found("whole.pdf", None);
    let [drawing] = told(&whole).drawings.as_slice() else { panic!("{:?}", told(&whole)) };
    assert_eq!((drawing.columns, drawing.rows, drawing.pages.len()), (5, 6, 24));
    assert!(drawing.overlap.iter().all(|overlap| (overlap - 10.0).abs() < EXACT), "{:?}", drawing.overlap);
}

#[test]
fn lines_cut_at_the_frame_are_the_sheet_again() {
    let sheet = found("blouse-38.svg", None);
    for name in ["cut-exact.pdf", "cut-short.pdf", "cut-over.pdf"] {
        let came = found(name, None);
        assert_eq!(told(&came).drawings[0].by, PutTogetherBy::CutLines, "{name}");
        assert_eq!(told(&came).left_out, ["1"], "{name}: the instructions");
        is_the_sheet(name, &came, &sheet, Lies::InParts, MATCHED);
        assert_eq!(told(&came).missing().count(), 0, "{name}: {:?}", told(&came));
    }
}

/// What is printed beyond the frame at two sides, for the next page to be glued on, is there once.
#[test]
fn margins_to_glue_on_are_the_sheet_again() {
    let sheet = found("blouse-38.svg", None);
    let came = found("trimmed.pdf", None);
    is_the_sheet("trimmed.pdf", &came, &sheet, Lies::InParts, MATCHED);
    assert_eq!(told(&came).missing().count(), 0, "{:?}", told(&came));
}

#[test]
fn two_sheets_in_one_file_lie_beside_each_other() {
    let came = found("two.pdf", None);
    assert_eq!(told(&came).drawings.len(), 2, "{:?}", told(&came));
    let sheet = found("blouse-38.svg", None);
    let pieces: Vec<&FoundOutline> = sheet.outlines.iter().take(3).collect();
    assert_eq!(came.outlines.len(), pieces.len());
    for (one, other) in came.outlines.iter().zip(pieces) {
        let off = apart(one, other, shift(one, other));
        assert!(off <= EXACT, "{}: {off}", one.letter);
    }
}

/// A size and what is common to all; the size that the file switches off is listed, and taken when it is chosen.
#[test]
fn each_size_is_taken_by_its_layer() {
    for size in ["34", "36", "38", "40", "42"] {
        let layer = format!("layer {size}");
        let came = found("layers.pdf", Some(&layer));
        is_the_sheet(&layer, &came, &found("blouse.svg", Some(&layer)), Lies::InOne, EXACT);
        assert_eq!(came.outlines.len(), 5, "{layer}: four pieces and the square");
        let on_pieces = came.lines.iter().filter(|line| line.inside.is_some()).count();
        assert_eq!(on_pieces, 11, "{layer}: notches, grainlines and the buttonhole");
    }
    let bench = Bench::new().with_file("bought.pdf", pages("layers.pdf"));
    let hidden = |options: &str| {
        let outcome = bench.retrue(&format!("adopt bought.pdf --json {options}"));
        outcome.reports("adopt")["hidden_layers"].as_array().expect("layers").len()
    };
    assert_eq!((hidden(""), hidden("--size \"layer 42\"")), (1, 0));
    let [drawing] = told(&found("layers.pdf", None)).drawings.clone().try_into().expect("one drawing");
    assert_eq!((drawing.columns, drawing.rows, drawing.pages.len()), (6, 4, 24));
}

#[test]
fn a_missing_page_is_told_with_its_place_and_exit_1() {
    let bench = Bench::new().with_file("bought.pdf", pages("missing.pdf"));
    let outcome = bench.retrue("adopt bought.pdf --json");
    outcome.is_untrue().says("a page is missing right of page 2, where 3 lines lead");
    let report = outcome.reports("adopt");
    let missing = &report["pages"]["drawings"][0]["missing"][0];
    assert_eq!(
        (missing["beside"].as_str(), missing["side"].as_str()),
        (Some("2"), Some("right")),
        "{report}"
    );
}

/// What is told goes before what is seen: the grid of all pages, with instructions before and blank pages left out.
#[test]
fn a_grid_that_is_told_is_kept_to() {
    let sheet = found("blouse-38.svg", None);
    for (name, grid, cells) in [
        ("cut-exact.pdf", "6 x 4 from 2 blank 6,12,18,22,23", 19),
        ("cairo.pdf", "6 x 4 blank 6,12,18,22,23", 19),
        ("whole.pdf", "5 x 7 by columns blank 7,14,21,26,28-33,35", 24),
    ] {
        let grid = grid.replace("28-33", "28,29,30,31,32,33");
        let asked = Asked { pages: grid.parse().expect("a grid"), ..Asked::default() };
        let came = find(&pages(name), &asked).unwrap_or_else(|error| panic!("{name}: {error}"));
        let [drawing] = told(&came).drawings.as_slice() else { panic!("{name}: {:?}", told(&came)) };
        assert_eq!(drawing.pages.len(), cells, "{name}");
        is_the_sheet(name, &came, &sheet, Lies::InOne, MATCHED);
    }
}

/// The frames, joining marks, names and "glue here" of all pages are out of the drawing, and drawn in the picture.
#[test]
fn what_was_left_out_is_in_the_picture() {
    let bench = Bench::new().with_file("bought.pdf", pages("whole.pdf"));
    let outcome = bench.retrue("adopt bought.pdf --picture seen.svg");
    outcome.is_true();
    let picture = bench.text_of("seen.svg");
    let count = |class: &str| picture.matches(&format!("class=\"{class}\"")).count();
    assert_eq!(count("page-join"), 24);
    assert!(count("left-out") >= 24, "{}", count("left-out"));
    let told: Vec<String> = outcome.stderr().lines().map(str::to_owned).collect();
    assert!(told.len() <= 2 && told[0].contains("5 x 6 (columns x rows), 24 pages"), "{told:?}");
}

/// The pages of one drawing in two files.
#[test]
fn several_files_are_put_together_as_one_is() {
    let whole = pages("whole.pdf");
    let files = [
        OneFile { name: "a.pdf", bytes: &whole },
        OneFile { name: "sheet.svg", bytes: &pages("blouse-38.svg") },
    ];
    let came = find_in_several(&files, &Asked::default()).expect("found");
    assert!(told(&came).drawings[0].pages.iter().all(|page| page.name.starts_with("a.pdf page ")));
    let wrong = [OneFile { name: "a.pdf", bytes: &whole }, OneFile { name: "b.pdf", bytes: b"nothing" }];
    let error = find_in_several(&wrong, &Asked::default()).expect_err("no drawing").to_string();
    assert!(error.starts_with("b.pdf: "), "{error}");
    let bench = Bench::new().with_file("a.pdf", &whole);
    bench.retrue("adopt a.pdf b.pdf").is_refused().says("b.pdf");
}

/// A page of A4 with a frame and what is drawn in it.
fn page(lines: &[&str]) -> String {
    let lines: String = lines.iter().map(|line| format!("<path d=\"{line}\"/>")).collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\">\
         <g fill=\"none\" stroke=\"black\"><path d=\"M10 10 H200 V287 H10 Z\"/>{lines}</g></svg>"
    )
}

/// A piece over two pages whose other outline goes on nowhere: told with the edges and the way out.
#[test]
fn outlines_that_stay_open_at_an_edge_are_told_and_exit_1() {
    let left = page(&["M200 40 L60 50 L60 140 L200 150", "M200 180 L80 190 L90 260 L200 250"]);
    let right = page(&["M10 40 L150 50 L150 140 L10 150", "M10 205 L80 200 L80 220 L10 231"]);
    let bench = Bench::new().with_file("a.svg", left).with_file("b.svg", right);
    let outcome = bench.retrue("adopt a.svg b.svg");
    outcome.is_untrue().says("outlines stay open at the edges of pages: right of page a.svg");
    outcome.says("--pages \"5 x 6\"");
    let whole = Bench::new()
        .with_file("a.svg", page(&["M200 40 L60 50 L60 140 L200 150"]))
        .with_file("b.svg", page(&["M10 40 L150 50 L150 140 L10 150"]));
    whole.retrue("adopt a.svg b.svg").is_true();
}

/// Our own print: the map page belongs to nothing, and the pieces are those of one sheet.
#[test]
fn our_own_print_is_put_together() {
    for paper in ["a4", "letter"] {
        let bench = Bench::new().with_file("skirt.svg", fixture("skirt-shaped-back.svg"));
        let print = |paper: &str| {
            bench.retrue(&format!("print skirt.svg --paper {paper} -o {paper}.pdf")).is_true();
            let printed = std::fs::read(bench.path(&format!("{paper}.pdf"))).expect("a PDF");
            find(&printed, &Asked::default()).expect("found")
        };
        let (came, sheet) = (print(paper), print("a0"));
        assert_eq!(told(&came).drawings[0].by, PutTogetherBy::Shapes);
        assert_eq!(told(&came).left_out.len(), 1, "{paper}: the map");
        assert!(
            told(&came).miss <= EXACT && told(&came).missing().count() == 0,
            "{paper}: {:?}",
            told(&came)
        );
        let sizes = |found: &Found| -> Vec<i64> {
            let areas = found.outlines.iter().map(|outline| (outline.ring.area() * 10.0).round() as i64);
            areas.filter(|area| *area > 100_000).collect()
        };
        for area in sizes(&came) {
            assert!(sizes(&sheet).iter().any(|other| (area - other).abs() <= 100), "{paper}: {area}");
        }
    }
}
