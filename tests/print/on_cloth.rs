//! The layout that is shown small behind the map of the pages.

use kurbo::{BezPath, ParamCurve, Shape};
use retrue::canvas::LineKind;
use retrue::sheet;
use retrue::show::print::{Layout, Page, Print, PrintOptions, SheetSize};

use crate::prints::portrait;
use crate::run::Bench;

/// How much smaller than the cloth a narrow bolt is shown.
const REDUCED: f64 = 20.0;

fn laid() -> (Bench, String) {
    let bench = Bench::new()
        .with_fixture("coat.svg")
        .with_file("cloth.toml", include_str!("../../examples/cloth.toml"));
    let recipe = include_str!("../../examples/narrow-coat.toml");
    let bench = bench.with_file("narrow-coat.toml", recipe);
    bench.retrue("apply narrow-coat.toml coat.svg -o coat-37.svg").is_true();
    bench.retrue("lay coat-37.svg --cloth cloth.toml --iterations 20 -o layout.svg").is_true();
    let layout = bench.text_of("layout.svg");
    (bench, layout)
}

fn length(path: &BezPath) -> f64 {
    path.segments().map(|side| (side.end() - side.start()).hypot()).sum()
}

/// The cutting lines of a layout, read by another library than the one that shows them.
fn outlines(layout: &str) -> Vec<BezPath> {
    let document = roxmltree::Document::parse(layout).expect("sound XML");
    let cut = document.descendants().filter(|node| node.attribute("class") == Some("cutting-line"));
    // The groups of the key have cutting lines as well, which belong to no copy.
    let of_copies = cut.filter(|node| node.parent().is_some_and(|group| group.has_attribute("data-name")));
    of_copies.map(|node| BezPath::from_svg(node.attribute("d").expect("a path")).expect("a path")).collect()
}

/// What the copies are called.
fn names(layout: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(layout).expect("sound XML");
    let cut = document.descendants().filter(|node| node.attribute("class") == Some("cutting-line"));
    let names = cut.filter_map(|node| node.parent()?.attribute("data-name"));
    names.map(str::to_owned).collect()
}

fn on_cloth(print: &Print) -> Vec<&Page> {
    print.pages.iter().filter(|page| page.label.starts_with("cloth")).collect()
}

/// Every cutting line of the layout is there, all of its length, at one scale; strips stay within the page's window, and
/// nothing is written smaller than can be read.
#[test]
fn every_copy_is_shown_whole_at_one_scale() {
    let (bench, layout) = laid();
    let pattern =
        sheet::read(bench.text_of("coat-37.svg").as_bytes(), &Default::default()).expect("a pattern").pattern;
    let layouts = vec![Layout::read("layout.svg", &layout).expect("a layout")];
    for paper in [SheetSize::A4, SheetSize::Letter, SheetSize::A3] {
        let options =
            PrintOptions { layouts: layouts.clone(), ..PrintOptions::usual("Coat", portrait(paper)) };
        let print = Print::of(&pattern, &options).expect("a print");
        let pages = on_cloth(&print);
        assert!(!pages.is_empty(), "{paper:?}");
        let drawn =
            pages.iter().flat_map(|page| page.furniture.strokes.iter().map(move |stroke| (page, stroke)));
        // The bars have rules as well, outside the window; what of a cutting line lay there would be missing from the sum.
        let within =
            |page: &Page, line: &BezPath| page.window.inflate(0.01, 0.01).contains_rect(line.bounding_box());
        let rules =
            drawn.filter(|(page, stroke)| stroke.kind == LineKind::Rule && within(page, &stroke.path));
        let shown: f64 = rules.map(|(_, stroke)| length(&stroke.path)).sum();
        let whole: f64 = outlines(&layout).iter().map(|path| path.perimeter(0.001)).sum();
        let off = (shown * REDUCED - whole).abs() / whole;
        assert!(off < 0.001, "{paper:?}: {shown:.1} mm for {:.1}", whole / REDUCED);
        let flaws = pages.iter().flat_map(|page| &page.furniture.strokes);
        assert!(flaws.into_iter().any(|stroke| stroke.kind == LineKind::Flaw), "{paper:?}");
        let labels = || pages.iter().flat_map(|page| &page.furniture.labels);
        // A name is written in one line, or in several that follow one another.
        let written: String = labels().map(|label| label.text.replace(' ', "")).collect();
        for name in names(&layout) {
            assert!(written.contains(&name.replace(' ', "")), "{paper:?}: {name} has no name");
        }
        assert!(labels().any(|label| label.text == "back"));
        assert!(labels().all(|label| label.size >= 6.0 * 25.4 / 72.0 - 1e-9));
    }
}

/// What is told on pages of a print, in one stretch: a name may be broken into lines.
fn told(print: &Print, first: &str) -> String {
    let pages = print.pages.iter().filter(|page| page.label.starts_with(first));
    pages.flat_map(|page| &page.furniture.labels).map(|label| label.text.replace(' ', "")).collect()
}

/// No name is dropped: every piece is named on the map, and every copy where it lies on the cloth, by its name or by a number
/// with its name beside.
#[test]
fn every_piece_is_named_on_the_map_and_on_the_cloth() {
    let examples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let bench = Bench::new()
        .with_fixture("coat.svg")
        .with_file("cloth.toml", include_str!("../../examples/cloth.toml"))
        .with_file("narrow-coat.svg", include_str!("../../examples/narrow-coat.svg"));
    for recipe in ["whole-coat", "lined-coat"] {
        let path = examples.join(format!("{recipe}.toml"));
        bench.retrue(&format!("apply \"{}\" -o {recipe}.svg", path.display())).exits(0);
    }
    for sheet in ["coat", "narrow-coat", "whole-coat", "lined-coat"] {
        bench.retrue(&format!("lay {sheet}.svg --cloth cloth.toml --iterations 1 -o {sheet}.lay.svg"));
        let layout = bench.path(&format!("{sheet}.lay.svg"));
        let layout = std::fs::read_to_string(layout).ok();
        let layouts: Vec<Layout> =
            layout.iter().map(|text| Layout::read("layout.svg", text).expect("a layout")).collect();
        let pattern = sheet::read(bench.text_of(&format!("{sheet}.svg")).as_bytes(), &Default::default());
        let pattern = pattern.expect("a pattern").pattern;
        for paper in [SheetSize::A4, SheetSize::Letter] {
            let options =
                PrintOptions { layouts: layouts.clone(), ..PrintOptions::usual("Coat", portrait(paper)) };
            let print = Print::of(&pattern, &options).expect("a print");
            let (map, cloth) = (map_alone(&print), told(&print, "cloth"));
            let covers = print.pages.iter().filter(|page| page.label.starts_with("map")).count();
            assert_eq!(covers, 1, "{sheet} on {paper:?}: all has room on one page");
            for piece in print.areas.iter().flat_map(|area| &area.pieces) {
                let name = piece.title.replace(' ', "");
                assert!(map.contains(&name), "{sheet} on {paper:?}: {name} is not on the map: {map}");
            }
            for name in layout.iter().flat_map(|layout| names(layout)) {
                assert!(cloth.contains(&name.replace(' ', "")), "{sheet} on {paper:?}: {name}: {cloth}");
            }
        }
    }
}

/// What stands on the map itself, without the list of the pieces: that begins each line with a name and a colon.
fn map_alone(print: &Print) -> String {
    let pages = print.pages.iter().filter(|page| page.label.starts_with("map"));
    let labels = pages.flat_map(|page| &page.furniture.labels);
    let labels = labels.filter(|label| label.text.starts_with("Numbered") || !label.text.contains(": "));
    labels.map(|label| label.text.replace(' ', "")).collect()
}

/// Without a layout there is no such page; where no pages are put together it is refused with a way out.
#[test]
fn a_layout_is_shown_only_behind_a_map() {
    let (bench, _) = laid();
    let count = |told: &str| {
        let (before, _) = told.split_once(" to be put")?;
        before
            .rsplit(|sign: char| !sign.is_ascii_digit())
            .find(|number| !number.is_empty())
            .map(str::to_owned)
    };
    let plain = bench.retrue("print coat-37.svg -o plain.pdf").is_true().stderr();
    let shown = bench.retrue("print coat-37.svg --layout layout.svg -o shown.pdf").is_true().stderr();
    assert_eq!(count(&plain), count(&shown), "the pattern's own pages stay as many");
    bench.retrue("print coat-37.svg --layout layout.svg --paper a0 -o a0.pdf").is_refused().says("--tiled");
    bench
        .retrue("print coat-37.svg --layout coat-37.svg -o other.pdf")
        .is_refused()
        .says("name a layout that retrue lay drew");
    bench.retrue("print coat-37.svg --layout layout.svg --roll 90cm -o roll.pdf").is_refused();
}

/// However far a hostile layout says that its cloth reaches, pages stay few, and nothing hangs.
#[test]
fn a_cloth_without_end_is_shown_on_few_pages() {
    let (bench, layout) = laid();
    let pattern =
        sheet::read(bench.text_of("coat-37.svg").as_bytes(), &Default::default()).expect("a pattern").pattern;
    let cloth = layout.split("class=\"cloth\" d=\"").nth(1).and_then(|rest| rest.split('"').next());
    let cloth = cloth.expect("a cloth").to_owned();
    let mut shown = 0;
    for far in ["9e4", "1e9", "1e15", "1e300", "1e999", "nan"] {
        let hostile = layout.replace(&cloth, &format!("M 0 0 L {far} 0 L {far} 370 L 0 370 Z"));
        assert_ne!(hostile, layout);
        let layouts = vec![Layout::read("layout.svg", &hostile).expect("a layout")];
        let options = PrintOptions { layouts, ..PrintOptions::usual("Coat", portrait(SheetSize::A4)) };
        let print = Print::of(&pattern, &options).expect("a print");
        let pages = on_cloth(&print).len();
        assert!(pages <= 10, "{far}: {pages}");
        shown += usize::from(pages > 0);
    }
    assert!(shown > 0, "what is only long is shown");
}
