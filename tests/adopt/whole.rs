//! The whole way: a pattern printed as a company would, made a PDF, made an SVG by a general converter, and adopted with
//! a map, is the pattern.

use std::path::{Path, PathBuf};
use std::process::Command;

use kurbo::{Point, Vec2};
use retrue::pattern::{DartShape, Pattern, Piece};
use retrue::sheet;
use retrue::sheet::adopt::{Asked, Correction, SizeChoice, find};

use crate::common::commercial::{DASHES, Drawn, MIDDLE, SQUARE_AT, page, to_page};
use crate::mapping::{map_of, seam_names};
use crate::run::{Bench, fixture};

/// How far an edge may be off after the whole way, mm.
const OFF: f64 = 0.1;

/// The patterns that go the whole way.
const PATTERNS: [&str; 4] = ["skirt-shaped-back", "dress", "coat", "awkward"];

fn read(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &Default::default()).expect("a pattern").pattern
}

fn converted_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/adopt")
}

fn name_of(pattern: &str, drawn: Drawn) -> String {
    let drawn = if drawn == Drawn::Seamline { "seamlines" } else { "cutting-lines" };
    format!("{pattern}-{drawn}.svg")
}

/// Turns the printed page to a PDF and that to an SVG, as a user would; nothing where the programs are not there.
fn convert(page: &str) -> Option<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    std::fs::write(path("page.svg"), page).expect("written");
    let run = |program: &str, arguments: &[&str]| {
        let done = Command::new(program).args(arguments).current_dir(folder.path()).output().ok()?;
        done.status.success().then_some(())
    };
    run("rsvg-convert", &["-f", "pdf", "-o", "page.pdf", "page.svg"])?;
    run("pdftocairo", &["-svg", "page.pdf", "converted.svg"])?;
    std::fs::read_to_string(path("converted.svg")).ok()
}

/// Writes the converted pages anew where `RETRUE_WRITE_CONVERTED` is set and the programs are there.
#[test]
fn pages_go_the_whole_way() {
    for pattern in PATTERNS {
        for drawn in [Drawn::Seamline, Drawn::CuttingLine] {
            let page = page(&read(&fixture(&format!("{pattern}.svg"))), drawn);
            let Some(converted) = convert(&page) else { return };
            let kept = converted_folder().join(name_of(pattern, drawn));
            let is_kept = drawn == Drawn::CuttingLine || pattern == PATTERNS[0];
            if is_kept && std::env::var_os("RETRUE_WRITE_CONVERTED").is_some() {
                std::fs::create_dir_all(converted_folder()).expect("a folder");
                std::fs::write(&kept, &converted).expect("written");
            }
            adopted_is_the_pattern(pattern, drawn, &converted, OFF);
        }
    }
}

/// The converted pages that are kept, so that the way is gone without the converters as well.
#[test]
fn kept_pages_are_the_patterns() {
    let mut gone = 0;
    for pattern in PATTERNS {
        for drawn in [Drawn::Seamline, Drawn::CuttingLine] {
            if let Ok(converted) = std::fs::read_to_string(converted_folder().join(name_of(pattern, drawn))) {
                adopted_is_the_pattern(pattern, drawn, &converted, OFF);
                gone += 1;
            }
        }
    }
    assert!(gone >= 5, "{gone} kept pages");
}

/// The worked example of the README, as it is shipped.
#[test]
fn the_worked_example_makes_the_skirt() {
    let map = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/adopt/skirt.map.toml");
    let bench = Bench::new()
        .with_file("bought.svg", fixture("adopt/skirt-shaped-back-cutting-lines.svg"))
        .with_file("skirt.map.toml", std::fs::read(map).expect("the map"));
    bench
        .retrue("adopt bought.svg")
        .is_untrue()
        .says("scale off by 0.01 %")
        .prints("style 3  dashed 10.0 3.0 2.0 3.0");
    let outcome = bench.retrue("adopt bought.svg --map skirt.map.toml -o skirt.svg");
    outcome.is_true().says_nothing();
    let original = read(&fixture("skirt-shaped-back.svg"));
    let shift = to_page(Point::ORIGIN) - Point::ORIGIN;
    compare("skirt-shaped-back", &original, &read(&bench.text_of("skirt.svg")), shift, "", OFF);
    bench.retrue("check skirt.svg").is_true();
}

fn adopted_is_the_pattern(name: &str, drawn: Drawn, converted: &str, within: f64) {
    let original = read(&fixture(&format!("{name}.svg")));
    if let Ok(folder) = std::env::var("RETRUE_KEEP_MAPS") {
        std::fs::write(Path::new(&folder).join(name_of(name, drawn)), converted).expect("written");
    }
    let mut asked = Asked { correction: Correction::Correct, ..Asked::default() };
    let all = find(converted.as_bytes(), &asked).expect("found");
    let near = |(a, b): (&f64, &f64)| (a - b).abs() < 0.2;
    let of_size =
        |dashes: &[f64]| dashes.len() == DASHES[MIDDLE].len() && dashes.iter().zip(DASHES[MIDDLE]).all(near);
    let style = all.styles.iter().find(|(_, style)| of_size(&style.dashes)).expect("the size").0;
    asked.size = Some(SizeChoice::Style(style.number()));
    let found = find(converted.as_bytes(), &asked).expect("found");
    let head = format!("correct-scale = true\nsize = \"style {style}\"\n");
    let map = map_of(&original, &found, drawn, &head);
    let bench = Bench::new().with_file("bought.svg", converted).with_file("bought.map.toml", &map);
    if let Ok(folder) = std::env::var("RETRUE_KEEP_MAPS") {
        std::fs::write(Path::new(&folder).join(format!("{}.toml", name_of(name, drawn))), &map)
            .expect("written");
    }
    let outcome = bench.retrue("adopt bought.svg --map bought.map.toml -o pattern.svg");
    println!("{name} {drawn:?}: {}", outcome.stderr());
    assert!(bench.path("pattern.svg").exists(), "{name} {drawn:?}: {}", outcome.stderr());
    let adopted = read(&bench.text_of("pattern.svg"));
    let square = found.outline(found.scale.check().expect("a square").letter.as_str()).expect("a square");
    let off = square.bounds().origin() - SQUARE_AT + (to_page(Point::ORIGIN) - Point::ORIGIN);
    compare(name, &original, &adopted, off, &outcome.stderr(), within);
}

fn compare(name: &str, original: &Pattern, adopted: &Pattern, off: Vec2, told: &str, within: f64) {
    assert_eq!(original.pieces().len(), adopted.pieces().len(), "{name}");
    let mut worst = (0.0, String::new());
    for (piece, came) in
        original.pieces().map(|piece| (piece, adopted.find(piece.name()).expect("the piece")))
    {
        assert_eq!(piece.edges().len(), came.edges().len(), "{name}: {}", piece.name());
        for edge in piece.edges() {
            let other = came.edge(came.find_edge(&edge.name).expect("the edge"));
            assert_eq!(edge.finish, other.finish, "{name}: {}.{}", piece.name(), edge.name);
            assert_eq!(edge.allowance, other.allowance, "{name}: {}.{}", piece.name(), edge.name);
            if is_unknown(told, piece, &edge.name) {
                continue;
            }
            let far = edge_off(piece, edge, other, off);
            if far > worst.0 {
                worst = (far, format!("{}.{}", piece.name(), edge.name));
            }
        }
        darts_are_same(name, piece, came, off);
        notches_are_same(name, piece, came, told);
        assert_eq!(piece.levels.len(), came.levels.len());
        assert_eq!(piece.points.len(), came.points.len());
        assert_eq!(piece.style_lines.len(), came.style_lines.len());
        assert_eq!(piece.grainline.is_some(), came.grainline.is_some());
        assert_eq!((piece.cut, &piece.cloth), (came.cut, &came.cloth));
    }
    println!("{name}: worst edge {:.4} mm at {}", worst.0, worst.1);
    assert!(worst.0 <= within, "{name}: {} is {:.4} mm off", worst.1, worst.0);
    let names = |pattern: &Pattern| {
        let mut names: Vec<_> =
            pattern.seams().iter().map(|seam| seam_names(&seam.first, &seam.second)).collect();
        names.sort();
        names
    };
    assert_eq!(names(original), names(adopted), "{name}");
    for seam in original.seams() {
        assert!(adopted.seams().iter().any(|other| other.is_same(seam)), "{name}: {}", seam.name());
    }
}

/// Whether it was told that the cutting line does not tell an edge.
fn is_unknown(told: &str, piece: &Piece, edge: &retrue::pattern::EdgeName) -> bool {
    let of_edge = |line: &str| {
        line.starts_with(&format!("not true: {}: ", piece.name())) && line.contains(&format!("`{edge}`"))
    };
    told.lines().any(of_edge)
}

/// How far an edge is off where it is sewn.
fn edge_off(piece: &Piece, edge: &retrue::pattern::Edge, other: &retrue::pattern::Edge, off: Vec2) -> f64 {
    let id = piece.find_edge(&edge.name).expect("the edge");
    let mut far: f64 = 0.0;
    for (from, to) in piece.sewn_stretches(id) {
        let count = ((to - from) / 2.0).ceil().max(1.0) as usize;
        for step in 0..=count {
            let at = from + (to - from) * step as f64 / count as f64;
            far = far.max(other.curve.nearest(edge.curve.point_at(at) + off).distance);
        }
    }
    far
}

fn darts_are_same(name: &str, piece: &Piece, came: &Piece, off: Vec2) {
    assert_eq!(piece.darts.len(), came.darts.len(), "{name}: {}", piece.name());
    for dart in &piece.darts {
        let other = came.dart_named(&dart.name).expect("the dart");
        assert_eq!(dart.press, other.press);
        for (tip, came) in dart.tips().iter().zip(other.tips()) {
            let straight = (*tip + off).distance(came);
            let turned = (*dart.tips().last().expect("a tip") + off).distance(came);
            assert!(straight.min(turned) <= OFF, "{name}: {}.{} {straight}", piece.name(), dart.name);
        }
        if let (DartShape::Open { mouth, legs }, DartShape::Open { mouth: other_mouth, legs: other_legs }) =
            (&dart.shape, &other.shape)
        {
            assert_eq!(mouth.edge, other_mouth.edge);
            let far = (legs.0.start() + off)
                .distance(other_legs.0.start())
                .max((legs.1.start() + off).distance(other_legs.1.start()));
            assert!(far <= 1.5 * OFF, "{name}: mouth of {}.{} is {far:.3} mm off", piece.name(), dart.name);
        }
    }
}

/// Where the cutting line does not tell the seamline of an edge, it does not tell the places on it either.
fn notches_are_same(name: &str, piece: &Piece, came: &Piece, told: &str) {
    assert_eq!(piece.notches.len(), came.notches.len(), "{name}: {}", piece.name());
    for notch in &piece.notches {
        let other = came.notches.iter().find(|other| other.name == notch.name).expect("the notch");
        assert_eq!(
            (&notch.edge, notch.count),
            (&other.edge, other.count),
            "{name}: {}.{}",
            piece.name(),
            notch.name
        );
        let sewn = |piece: &Piece, notch: &retrue::pattern::Notch| {
            piece.to_sewn(piece.find_edge(&notch.edge).expect("its edge"), notch.at)
        };
        let far = (sewn(piece, notch) - sewn(came, other)).abs();
        let unknown = is_unknown(told, piece, &notch.edge);
        assert!(unknown || far <= 2.0 * OFF, "{name}: {}.{} is {far:.3} mm off", piece.name(), notch.name);
    }
}
