//! The printed pages: sizes by the standards, true scale, nothing lost between pages, sound and searchable PDF.
//!
//! What is measured in pixels needs poppler's programs, and is told to be left out where they are missing.

mod pixels;
mod reader;
#[path = "../common/run.rs"]
mod run;

use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;

use kurbo::{ParamCurve, ParamCurveArclen, Point, Rect, Shape};
use pixels::Pixels;
use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::drawing::LineKind;
use retrue::show::piece::PieceDrawing;
use retrue::show::print::{
    Copies, Grouping, Orientation, Paper, Print, PrintError, PrintOptions, SheetSize, Use,
};
use retrue::units::Length;
use run::Bench;

fn pattern(file: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    sheet::read(&std::fs::read(path).expect("a sheet"), &ReadOptions::default()).expect("sound").pattern
}

const SHEETS: [&str; 5] = [
    "fixtures/coat.svg",
    "fixtures/dress.svg",
    "fixtures/skirt-shaped-back.svg",
    "fixtures/awkward.svg",
    "examples/narrow-coat.svg",
];

fn portrait(size: SheetSize) -> Paper {
    Paper::Sheets(size, Orientation::Portrait)
}

/// A pattern printed on a paper.
struct Printed {
    pattern: Pattern,
    options: PrintOptions,
    print: Print,
}

/// Every sheet on every kind of paper, once for all tests.
static PRINTS: LazyLock<Vec<Printed>> = LazyLock::new(|| {
    let roll = |inches: f64| Paper::Roll { width: Length::from_mm(inches * 25.4) };
    let papers = [
        (portrait(SheetSize::A4), None),
        (Paper::Sheets(SheetSize::A4, Orientation::Landscape), None),
        (portrait(SheetSize::Letter), None),
        (portrait(SheetSize::Tabloid), None),
        (portrait(SheetSize::A0), Some(Use::Together)),
        (Paper::Sheets(SheetSize::AnsiE, Orientation::Landscape), Some(Use::Together)),
        (roll(36.0), None),
    ];
    let mut prints = Vec::new();
    for file in SHEETS {
        for (paper, on) in papers {
            for copies in [Copies::AsDrawn, Copies::Each] {
                let pattern = pattern(file);
                let options = PrintOptions {
                    on,
                    copies,
                    grouping: if copies == Copies::Each { Grouping::ByCloth } else { Grouping::Together },
                    ..PrintOptions::usual("a garment", paper)
                };
                match Print::of(&pattern, &options) {
                    Ok(print) => prints.push(Printed { pattern, options, print }),
                    Err(error) => panic!("{file} on {}: {error}", paper.title()),
                }
            }
        }
    }
    prints
});

fn each_print(mut check: impl FnMut(&Pattern, &PrintOptions, &Print)) {
    for printed in PRINTS.iter() {
        check(&printed.pattern, &printed.options, &printed.print);
    }
}

/// Points along the cutting lines of a piece, a millimetre apart, found on its curves.
fn along_outline(piece: &PieceDrawing) -> Vec<Point> {
    let segments = piece.outline.iter().flat_map(|outline| outline.segments().collect::<Vec<_>>());
    segments
        .flat_map(|segment| {
            let steps = segment.arclen(0.1).ceil().max(1.0) as usize;
            (0..=steps).map(move |i| segment.eval(i as f64 / steps as f64)).collect::<Vec<_>>()
        })
        .collect()
}

/// Every point of every cutting line, and every label, is on some page.
#[test]
fn pages_cover_everything_that_is_cut() {
    let mut points = 0;
    each_print(|_, options, print| {
        for (index, area) in print.areas.iter().enumerate() {
            let shown: Vec<Rect> = print
                .pages
                .iter()
                .filter_map(|page| page.shown)
                .filter(|shown| shown.area == index)
                .map(|shown| shown.rect)
                .collect();
            assert_eq!(shown.len(), area.pages);
            for piece in &area.pieces {
                let corners = piece.drawing.labels.iter().flat_map(|label| label.corners());
                for point in along_outline(piece).into_iter().chain(corners) {
                    points += 1;
                    let seen = shown.iter().any(|rect| rect.contains(point));
                    assert!(seen, "{} at {point:?} on {}", piece.title, options.paper.title());
                }
            }
        }
    });
    assert!(points > 100_000, "{points}");
}

/// No page is blank: a cutting line passes through it, or it lies within a piece, or something is written on it.
#[test]
fn no_page_is_blank() {
    each_print(|_, options, print| {
        for page in &print.pages {
            let Some(shown) = page.shown else { continue };
            let pieces = &print.areas[shown.area].pieces;
            let used = pieces.iter().any(|piece| {
                along_outline(piece).into_iter().any(|point| shown.rect.contains(point))
                    || piece.outline.iter().any(|outline| outline.contains(shown.rect.center()))
                    || piece.drawing.labels.iter().any(|label| shown.rect.overlaps(label.bounds()))
            });
            assert!(used, "{} of {} is blank", page.label, options.paper.title());
        }
    });
}

/// Neighbouring pages share the overlap asked for, to the last digit that matters.
#[test]
fn neighbouring_pages_share_the_overlap() {
    let options = PrintOptions {
        overlap: Length::from_mm(15.0),
        ..PrintOptions::usual("coat", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
    let shown: Vec<_> = print.pages.iter().filter_map(|page| page.shown).collect();
    let mut pairs = 0;
    for a in &shown {
        for b in &shown {
            let (Some(one), Some(other)) = (a.tile, b.tile) else { panic!("tiles") };
            let shared = a.rect.intersect(b.rect);
            if (one.row, one.column + 1) == (other.row, other.column) {
                assert!((shared.width() - 15.0).abs() < 1e-9);
                pairs += 1;
            } else if (one.row + 1, one.column) == (other.row, other.column) {
                assert!((shared.height() - 15.0).abs() < 1e-9);
                pairs += 1;
            }
        }
    }
    assert!(pairs > 20, "{pairs}");
}

/// How far apart pieces stand, mm.
const GAP: f64 = 6.0;

/// Whether cutting lines stand apart, measured from places two millimetres apart, and texts of each are off the other.
fn stand_apart(a: &PieceDrawing, b: &PieceDrawing) -> bool {
    if !a.bounds.inflate(GAP, GAP).overlaps(b.bounds) {
        return true;
    }
    let near = |piece: &PieceDrawing, other: &PieceDrawing| -> Vec<Point> {
        let around = other.bounds.inflate(2.0 * GAP, 2.0 * GAP);
        let points = along_outline(piece).into_iter().step_by(2);
        points.filter(|point| around.contains(*point)).collect()
    };
    let within = |points: &[Point], piece: &PieceDrawing| {
        points.iter().any(|point| piece.outline.iter().any(|outline| outline.contains(*point)))
    };
    let corners = |piece: &PieceDrawing| -> Vec<Point> {
        piece.drawing.labels.iter().flat_map(|label| label.corners()).collect()
    };
    let (ours, theirs) = (near(a, b), near(b, a));
    let close = ours.iter().any(|one| theirs.iter().any(|other| one.distance(*other) < GAP - 0.01));
    !close && !within(&[ours, corners(a)].concat(), b) && !within(&[theirs, corners(b)].concat(), a)
}

/// Pieces keep apart, and none is turned over or scaled: areas within the outline stay.
#[test]
fn pieces_on_paper_keep_apart_and_their_size() {
    each_print(|pattern, options, print| {
        for area in &print.areas {
            for (i, piece) in area.pieces.iter().enumerate() {
                for other in &area.pieces[..i] {
                    let paper = options.paper.title();
                    assert!(stand_apart(other, piece), "{} and {} on {paper}", piece.title, other.title);
                }
                let order = retrue::allowance::SewingOrder::of(pattern);
                let model = pattern.piece(&piece.name).expect("the piece");
                let line = order.cutting_line(model).expect("a cutting line");
                let halves = piece.outline.len() as f64;
                let found: f64 = piece.outline.iter().map(|outline| outline.area().abs()).sum();
                assert!((found - halves * line.path.area()).abs() < 1e-3 * found.sqrt());
                if options.copies == Copies::AsDrawn {
                    assert_eq!(piece.outline.len(), 1);
                    assert!(piece.outline[0].area() > 0.0, "{} is turned over", piece.title);
                }
            }
        }
    });
}

/// Sizes by ISO 216 and ANSI/ASME Y14.1, as the PDF states them, in points.
#[test]
fn page_sizes_are_those_of_the_standards() {
    let sizes = [
        ("a4", 210.0, 297.0),
        ("a3", 297.0, 420.0),
        ("a2", 420.0, 594.0),
        ("a1", 594.0, 841.0),
        ("a0", 841.0, 1189.0),
        ("letter", 8.5 * 25.4, 11.0 * 25.4),
        ("legal", 8.5 * 25.4, 14.0 * 25.4),
        ("tabloid", 11.0 * 25.4, 17.0 * 25.4),
        ("ansi-c", 17.0 * 25.4, 22.0 * 25.4),
        ("ansi-d", 22.0 * 25.4, 34.0 * 25.4),
        ("ansi-e", 34.0 * 25.4, 44.0 * 25.4),
    ];
    let bench = Bench::new().with_fixture("awkward.svg");
    for (paper, width, height) in sizes {
        for (turned, width, height) in [("", width, height), ("--landscape", height, width)] {
            let line =
                format!("print awkward.svg --piece tab --paper {paper} {turned} -o {paper}.pdf --force");
            bench.retrue(&line).is_true();
            let pdf = std::fs::read(bench.path(&format!("{paper}.pdf"))).expect("a PDF");
            for page in reader::read(&pdf).pages {
                let off = (page.width - width).abs().max((page.height - height).abs());
                assert!(off < 0.005, "{line}: {} by {}", page.width, page.height);
            }
        }
    }
}

#[test]
fn a_viewer_is_told_not_to_scale_and_given_layers() {
    let print =
        Print::of(&pattern("fixtures/dress.svg"), &PrintOptions::usual("dress", portrait(SheetSize::A4)));
    let pdf = print.expect("pages").pdf().expect("a PDF");
    let text = String::from_utf8_lossy(&pdf);
    for needed in
        ["/PrintScaling /None", "/OCProperties", "(Cutting lines)", "(Seamlines)", "/PageLabels", "/Outlines"]
    {
        assert!(text.contains(needed), "{needed}");
    }
}

#[test]
fn the_same_pattern_gives_the_same_bytes() {
    let pattern = pattern("fixtures/coat.svg");
    let pdf = || {
        let options = PrintOptions::usual("coat", portrait(SheetSize::Letter));
        Print::of(&pattern, &options).expect("pages").pdf().expect("a PDF")
    };
    assert!(pdf() == pdf());
}

fn on_roll(file: &str, inches: f64, copies: Copies) -> Print {
    let options = PrintOptions {
        copies,
        ..PrintOptions::usual("a garment", Paper::Roll { width: Length::from_mm(inches * 25.4) })
    };
    Print::of(&pattern(file), &options).expect("pages")
}

#[test]
fn a_roll_ends_where_its_last_piece_does() {
    let print = on_roll("fixtures/coat.svg", 36.0, Copies::AsDrawn);
    assert_eq!(print.pages.len(), 1);
    let page = &print.pages[0];
    let last = print.areas[0].pieces.iter().map(|piece| piece.bounds.y1).fold(0.0, f64::max);
    assert!(page.window.height() - last < 5.0, "{} and {last}", page.window.height());
}

/// Pieces lie into each other's hollows: these rolls were 1814, 4407 and 851 mm long while pieces were laid as boxes.
#[test]
fn a_roll_is_shorter_than_boxes_make_it() {
    for (file, inches, boxes) in [
        ("fixtures/coat.svg", 36.0, 1814.0),
        ("fixtures/dress.svg", 24.0, 4407.0),
        ("fixtures/awkward.svg", 600.0 / 25.4, 851.0),
    ] {
        let print = on_roll(file, inches, Copies::AsDrawn);
        let long: f64 = print.areas.iter().map(|area| area.size.height).sum();
        assert!(long < 0.9 * boxes, "{file}: {long:.0} mm");
    }
}

#[test]
fn the_same_pattern_gives_the_same_roll() {
    let pdf = || on_roll("fixtures/dress.svg", 36.0, Copies::Each).pdf().expect("a PDF");
    assert!(pdf() == pdf());
}

#[test]
fn every_copy_is_laid_out_with_its_hand() {
    let pattern = pattern("fixtures/coat.svg");
    let options = PrintOptions {
        copies: Copies::Each,
        ..PrintOptions::usual("coat", Paper::Roll { width: Length::from_mm(1500.0) })
    };
    let print = Print::of(&pattern, &options).expect("pages");
    let count: usize = print.areas.iter().map(|area| area.pieces.len()).sum();
    let cut: u32 = pattern.pieces().map(|piece| piece.cut.copies).sum();
    assert_eq!(count, cut as usize);
    let sleeves: Vec<f64> = print
        .areas
        .iter()
        .flat_map(|area| &area.pieces)
        .filter(|piece| piece.name.as_str() == "sleeve")
        .map(|piece| piece.outline[0].area().signum())
        .collect();
    assert_eq!(sleeves.len(), 2);
    assert!(sleeves[0] * sleeves[1] < 0.0, "one is the mirror image of the other");
}

#[test]
fn cloths_stand_on_pages_of_their_own() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("print coat.svg --by-cloth --dry-run")
        .is_true()
        .prints_nothing()
        .says("10 pieces on")
        .says("3 pieces on");
    assert_eq!(bench.files(), ["coat.svg"]);
}

#[test]
fn the_command_tells_pages_and_refuses_what_has_no_room() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("old.pdf", "kept");
    bench
        .retrue("print coat.svg -o coat.pdf --title \"My coat\"")
        .is_true()
        .says("13 pieces on")
        .says("measure both bars on every page: 100 mm")
        .says("sew a trial garment");
    assert!(std::fs::read(bench.path("coat.pdf")).expect("a PDF").starts_with(b"%PDF-1.7"));
    bench.retrue("print coat.svg -o old.pdf").is_refused().says("--force");
    bench.retrue("print coat.svg --piece frnt -o x.pdf").is_refused().says("did you mean `front`?");
    bench.retrue("print coat.svg --paper a2 -o x.pdf").is_refused().says("--tiled");
    bench.retrue("print coat.svg --paper a2 --tiled -o a2.pdf").is_true();
    bench.retrue("print coat.svg --margin 50mm -o x.pdf").is_refused().says("too little for a page");
    bench.retrue("print coat.svg --roll 36 -o x.pdf").is_refused().says("no unit");
    bench
        .retrue("print coat.svg --measured \"100mm=90mm x 100mm\" -o x.pdf")
        .is_refused()
        .says("actual size");
    assert_eq!(bench.files(), ["a2.pdf", "coat.pdf", "coat.svg", "old.pdf"]);
    assert_eq!(bench.text_of("old.pdf"), "kept");
}

/// The commands that the README's section on printing shows do as it says.
#[test]
fn the_readme_prints_and_pictures() {
    let readme = include_str!("../../README.md");
    let (_, after) = readme.split_once("## Print it").expect("the section");
    let (section, _) = after.split_once("\n## ").expect("another section after it");
    let file = |file: &str| std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).expect("a sheet");
    let bench = Bench::new().with_file("narrow-coat.svg", file("examples/narrow-coat.svg"));
    std::fs::create_dir(bench.path("fixtures")).expect("a folder");
    std::fs::write(bench.path("fixtures/coat.svg"), file("fixtures/coat.svg")).expect("written");
    let commands: Vec<&str> = section.lines().filter_map(|line| line.strip_prefix("retrue ")).collect();
    for command in &commands {
        let command = command.split('#').next().expect("a command").trim();
        bench.retrue(&format!("{command} --force")).is_true();
    }
    assert!(commands.len() >= 8, "{}", commands.len());
}

#[test]
fn a_printer_that_is_off_is_made_good_for_and_told() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("print coat.svg --piece belt --paper a3 -o coat.pdf --measured \"100mm=99mm x 100mm\"")
        .is_true()
        .says("`belt` would have come out")
        .says("too short across the paper");
}

#[test]
fn a_paper_without_room_for_a_bar_is_refused() {
    let options = PrintOptions {
        margin: Length::from_mm(60.0),
        ..PrintOptions::usual("coat", portrait(SheetSize::A4))
    };
    let refused = Print::of(&pattern("fixtures/coat.svg"), &options);
    assert!(matches!(refused, Err(PrintError::PaperTooSmall { .. })), "{refused:?}");
}

/// The lengths of what stands where bars do: level lines in the strip above the window, upright ones in that on the left.
fn bars_of(page: &reader::Seen) -> (Vec<f64>, Vec<f64>) {
    let strip = 12.0..20.0;
    let level = page.lines.iter().filter(|(a, b)| (a.y - b.y).abs() < 1e-3 && strip.contains(&a.y));
    let upright = page.lines.iter().filter(|(a, b)| (a.x - b.x).abs() < 1e-3 && strip.contains(&a.x));
    let lengths = |lines: &mut dyn Iterator<Item = &(Point, Point)>| -> Vec<f64> {
        lines.map(|(a, b)| a.distance(*b)).filter(|length| (98.0..105.0).contains(length)).collect()
    };
    (lengths(&mut level.into_iter()), lengths(&mut upright.into_iter()))
}

fn is_about(found: &[f64], wanted: &[f64]) -> bool {
    let mut found = found.to_vec();
    found.sort_by(f64::total_cmp);
    found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 0.002)
}

/// As a reader finds them in the file, on every page of every print: 100 mm both ways, 4 in where the paper is in inches.
#[test]
fn every_page_in_the_file_has_bars_of_true_length() {
    let mut pages = 0;
    for printed in PRINTS.iter() {
        let pdf = printed.print.pdf().expect("a PDF");
        let wanted: &[f64] = match printed.options.paper {
            Paper::Sheets(SheetSize::A4 | SheetSize::A0, _) => &[100.0],
            _ => &[100.0, 101.6],
        };
        for (i, page) in reader::read(&pdf).pages.iter().enumerate() {
            let (level, upright) = bars_of(page);
            let paper = printed.options.paper.title();
            assert!(is_about(&level, wanted), "page {i} of {paper}: {level:?} across");
            assert!(is_about(&upright, wanted), "page {i} of {paper}: {upright:?} down");
            assert!(page.text().contains("do not cut where one is off"), "page {i} of {paper}");
            pages += 1;
        }
    }
    assert!(pages > 500, "{pages} pages");
}

/// What is written around the window stays off the margin, and no text there lies on another or on a bar.
#[test]
fn what_stands_around_a_page_keeps_within_the_printable_area_and_apart() {
    each_print(|_, options, print| {
        let margin = options.margin.mm();
        for page in &print.pages {
            let (paper, name) = (options.paper.title(), &page.label);
            let room = Rect::from_origin_size(Point::ORIGIN, page.page).inset(-margin + 1e-6);
            let furniture = &page.furniture;
            for label in &furniture.labels {
                assert!(room.contains_rect(label.bounds()), "`{}` of {name} on {paper}", label.text);
            }
            for stroke in &furniture.strokes {
                let bounds = stroke.path.bounding_box();
                assert!(room.contains_rect(bounds), "{:?} {bounds:?} of {name} on {paper}", stroke.kind);
            }
            let outside =
                |label: &&retrue::show::drawing::Label| !page.window.contains(label.bounds().center());
            let texts: Vec<_> = furniture.labels.iter().filter(outside).collect();
            for (i, text) in texts.iter().enumerate() {
                let on = texts[..i].iter().find(|other| {
                    let shared = text.bounds().intersect(other.bounds());
                    shared.width() > 1e-6 && shared.height() > 1e-6
                });
                assert!(
                    on.is_none(),
                    "`{}` lies on `{}`: {name} on {paper}",
                    text.text,
                    on.expect("one").text
                );
                let letters = text.bounds().inset(-0.3 * text.size);
                let line = furniture.strokes.iter().find(|stroke| {
                    let bounds = stroke.path.bounding_box();
                    stroke.kind == LineKind::Rule
                        && bounds.width().min(bounds.height()) < 1e-9
                        && letters.overlaps(bounds.inflate(0.05, 0.05))
                });
                assert!(line.is_none(), "`{}` lies on a bar: {name} on {paper}", text.text);
            }
        }
    });
}

/// A page names its neighbours at each side, and no page that is left out.
#[test]
fn pages_name_their_neighbours() {
    let mut named = 0;
    each_print(|_, _, print| {
        for page in &print.pages {
            let Some(shown) = page.shown else { continue };
            let Some(tile) = shown.tile else { continue };
            let beside = [
                ("left", Some(tile.row), tile.column.checked_sub(1)),
                ("right", Some(tile.row), Some(tile.column + 1)),
                ("above", tile.row.checked_sub(1), Some(tile.column)),
                ("below", Some(tile.row + 1), Some(tile.column)),
            ];
            for (side, row, column) in beside {
                let there = print.pages.iter().filter_map(|other| other.shown).find(|other| {
                    let place = other.tile.map(|other| (Some(other.row), Some(other.column)));
                    other.area == shown.area && place == Some((row, column))
                });
                let text = page.furniture.labels.iter().find(|label| label.text.starts_with(side));
                let wanted =
                    there.and_then(|other| other.tile).map(|other| format!("{side}: {}", other.name()));
                assert_eq!(text.map(|label| label.text.clone()), wanted, "{}", page.label);
                named += usize::from(text.is_some());
            }
        }
    });
    assert!(named > 500, "{named}");
}

/// The map comes first and tells how many pages there are and how large they are put together.
#[test]
fn the_map_tells_the_pages_and_their_size() {
    let options = PrintOptions::usual("dress", portrait(SheetSize::A4));
    let print = Print::of(&pattern("fixtures/dress.svg"), &options).expect("pages");
    let document = reader::read(&print.pdf().expect("a PDF"));
    let pages: Vec<Rect> = print.pages.iter().filter_map(|page| page.shown).map(|shown| shown.rect).collect();
    let all = pages.iter().copied().reduce(|a, b| a.union(b)).expect("pages");
    let map = document.pages[0].text();
    for needed in [
        format!("{} pages of A4", pages.len()),
        format!("{:.0} mm wide and {:.0} mm high", all.width(), all.height()),
        "sew a trial garment".to_owned(),
        "bodice-back: cut 1 pair: R as drawn, L mirrored, main cloth".to_owned(),
    ] {
        assert!(map.contains(&needed), "`{needed}` is not in {map}");
    }
    assert_eq!(document.pages.len(), pages.len() + 1);
    assert_eq!((document.labels[0].as_str(), document.labels[1].as_str()), ("map", "A1"));
    assert_eq!(document.labels.len(), document.pages.len());
    for piece in &print.areas[0].pieces {
        assert!(document.bookmarks.contains(&piece.title), "{} is no bookmark", piece.title);
    }
    let layers =
        document.pages.iter().flat_map(|page| &page.layers).collect::<std::collections::BTreeSet<_>>();
    assert_eq!(layers.len(), 5, "{layers:?}");
}

/// Copies are told apart by their hand, pairs say so, and a fold says that it is one.
#[test]
fn left_and_right_are_told() {
    let text = |copies| {
        let options = PrintOptions {
            copies,
            on: Some(Use::Together),
            ..PrintOptions::usual("coat", portrait(SheetSize::A0))
        };
        let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
        let pages = reader::read(&print.pdf().expect("a PDF")).pages;
        pages.iter().map(reader::Seen::text).collect::<Vec<_>>().join(" ")
    };
    let (drawn, each) = (text(Copies::AsDrawn), text(Copies::Each));
    for needed in
        ["cut 1 pair: R as drawn, L mirrored", "cut 1 pair on the fold: R and L", "cut 1 on the fold"]
    {
        assert!(drawn.contains(needed), "`{needed}` is not in {drawn}");
    }
    for needed in ["sleeve R", "sleeve L", "cut 1: right", "cut 1: left"] {
        assert!(each.contains(needed), "`{needed}` is not in {each}");
    }
}

/// With bars that measured 99 and 100.4 mm, lines are written longer across and shorter down, on paper of the same size.
#[test]
fn a_measured_printer_is_made_good_for_in_the_file() {
    let options = PrintOptions {
        measured: Some("100mm=99mm x 100.4mm".parse().expect("a measure")),
        ..PrintOptions::usual("awkward", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/awkward.svg"), &options).expect("pages");
    for page in reader::read(&print.pdf().expect("a PDF")).pages {
        assert!((page.width - 210.0).abs() < 0.005 && (page.height - 297.0).abs() < 0.005);
        let (level, upright) = bars_of(&page);
        assert!(is_about(&level, &[100.0 / 0.99]), "{level:?}");
        assert!(is_about(&upright, &[100.0 / 1.004]), "{upright:?}");
    }
}

/// Whether a program of poppler's is there; the test tells that it measured nothing where it is not.
fn is_there(program: &str) -> bool {
    let found = Command::new(program).arg("-v").output().is_ok();
    if !found {
        eprintln!("{program} is not here: its part of the test is left out");
    }
    found
}

/// Ends of a bar: dark runs on both of two lines beside the bar that only its end ticks reach.
fn bar_length(pixels: &Pixels, from: Point, way: (f64, f64), aside: (f64, f64)) -> f64 {
    const REACHED_BY_ENDS_ONLY: f64 = 1.1;
    let line = |sign: f64| {
        let start = Point::new(
            from.x + aside.0 * sign * REACHED_BY_ENDS_ONLY,
            from.y + aside.1 * sign * REACHED_BY_ENDS_ONLY,
        );
        pixels.runs(start, way, 103.0)
    };
    let (one, other) = (line(1.0), line(-1.0));
    let ends: Vec<f64> =
        one.into_iter().filter(|at| other.iter().any(|twin| (twin - at).abs() < 0.1)).collect();
    ends.last().expect("an end") - ends.first().expect("a start")
}

/// At 600 dpi the bars measure 100.0 ± 0.1 mm both ways on every page.
#[test]
fn bars_measure_a_hundred_millimetres_on_every_page() {
    if !is_there("pdftoppm") {
        return;
    }
    let bench = Bench::new().with_fixture("awkward.svg");
    for paper in ["--paper a4", "--paper letter --landscape"] {
        let line = format!("print awkward.svg --piece panel --piece yoke {paper} -o p.pdf --force");
        bench.retrue(&line).is_true();
        let pages = Pixels::of_pages(&bench, "p.pdf");
        assert!(pages.len() >= 3, "a map and its pages");
        for (i, page) in pages.iter().enumerate() {
            let height = page.grey.len() as f64 / page.width as f64 / page.per_mm;
            let level = bar_length(page, Point::new(31.0, 17.8), (1.0, 0.0), (0.0, 1.0));
            let upright = bar_length(page, Point::new(17.8, height - 14.5), (0.0, -1.0), (1.0, 0.0));
            assert!((level - 100.0).abs() < 0.1, "page {i} of {paper}: {level} across");
            assert!((upright - 100.0).abs() < 0.1, "page {i} of {paper}: {upright} down");
        }
        for name in bench.files().into_iter().filter(|name| name.ends_with(".pgm")) {
            std::fs::remove_file(bench.path(&name)).expect("it goes");
        }
    }
}

/// Where a cutting line crosses from page to page, its pixels on the two pages agree with each other, and with where it
/// is, within 0.15 mm.
#[test]
fn tiles_put_together_give_the_outline() {
    if !is_there("pdftoppm") {
        return;
    }
    const OFF: f64 = 0.15;
    let options = PrintOptions {
        pieces: ["bodice-front", "sleeve"].map(|name| name.parse().expect("a name")).to_vec(),
        ..PrintOptions::usual("dress", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/dress.svg"), &options).expect("pages");
    let bench = Bench::new().with_file("p.pdf", print.pdf().expect("a PDF"));
    let pixels = Pixels::of_pages(&bench, "p.pdf");
    assert_eq!(pixels.len(), print.pages.len());
    let strokes = print.areas[0].pieces.iter().flat_map(|piece| &piece.drawing.strokes);
    let cut: Vec<_> = strokes.filter(|stroke| stroke.kind == LineKind::CuttingLine).collect();
    let pages: Vec<_> = print.pages.iter().zip(&pixels).filter(|(page, _)| page.shown.is_some()).collect();
    let mut crossings = 0;
    for (i, (page, _)) in pages.iter().enumerate() {
        for (other, _) in &pages[i + 1..] {
            let (Some(a), Some(b)) = (page.shown, other.shown) else { continue };
            let shared = a.rect.intersect(b.rect);
            let (level, upright) = (shared.width() > 12.0, shared.height() > 12.0);
            if level == upright || shared.width() < 5.0 || shared.height() < 5.0 {
                continue;
            }
            let middle = shared.center();
            let (line, way) = if upright {
                let x = middle.x + 2.0;
                (kurbo::Line::new((x, shared.y0), (x, shared.y1)), (0.0, 1.0))
            } else {
                let y = middle.y + 2.0;
                (kurbo::Line::new((shared.x0, y), (shared.x1, y)), (1.0, 0.0))
            };
            for segment in cut.iter().flat_map(|stroke| stroke.path.segments()) {
                for hit in segment.intersect_line(line) {
                    let at = line.eval(hit.line_t);
                    let found: Vec<f64> = pages
                        .iter()
                        .filter(|(one, _)| one.shown == page.shown || one.shown == other.shown)
                        .map(|(one, pixels)| {
                            let shown = one.shown.expect("shown").rect;
                            let on_page = one.window.origin() + (at - shown.origin());
                            let start = Point::new(on_page.x - 1.5 * way.0, on_page.y - 1.5 * way.1);
                            let runs = pixels.runs(start, way, 3.0);
                            let nearest = runs.into_iter().map(|run| run - 1.5);
                            nearest.min_by(|a, b| a.abs().total_cmp(&b.abs())).expect("a line")
                        })
                        .collect();
                    crossings += 1;
                    assert!((found[0] - found[1]).abs() < OFF, "{at:?}: {found:?}");
                    assert!(found.iter().all(|off| off.abs() < OFF), "{at:?}: {found:?}");
                }
            }
        }
    }
    assert!(crossings >= 8, "{crossings} crossings were looked at");
}

/// A second reader opens it without a word, and finds its texts.
#[test]
fn other_programs_read_it() {
    let bench = Bench::new().with_fixture("dress.svg");
    bench.retrue("print dress.svg -o dress.pdf --title \"A dress\"").is_true();
    let run = |program: &str, arguments: &[&str]| {
        let done =
            Command::new(program).args(arguments).current_dir(bench.path(".")).output().expect("it runs");
        assert!(done.status.success(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
        assert!(done.stderr.is_empty(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
        String::from_utf8_lossy(&done.stdout).into_owned()
    };
    if is_there("pdfinfo") {
        let told = run("pdfinfo", &["dress.pdf"]);
        assert!(told.contains("A dress"), "{told}");
    }
    if is_there("pdftotext") {
        let text = run("pdftotext", &["-raw", "dress.pdf", "-"]);
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for needed in ["bodice-front", "cut 1 on the fold", "bust-dart, press to waist", "measure both bars"]
        {
            assert!(text.contains(needed), "{needed} is not in:\n{text}");
        }
    }
    if Command::new("qpdf").arg("--version").output().is_ok() {
        let told = run("qpdf", &["--check", "dress.pdf"]);
        assert!(!told.to_lowercase().contains("warning"), "{told}");
    }
}
