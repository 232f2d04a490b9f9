//! Cutting layouts: the command, the layout held against an independent polygon library, and the drawing.

use crate::programs::{Program, found};
use crate::run::{Bench, fixture};
use clipper2_rust::{FillRule, PathD, PointD, intersect_d};
use kurbo::{BezPath, Point, Rect, Shape};
use retrue::cloth::layout::{Laid, LaidVerdict, LayTask, LayWish, Spread, WishKept};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::cloth::{Stock, file, picture};
use retrue::pattern::Pattern;
use retrue::sheet::{ReadOptions, read};
use retrue::units::Unit;
use serde_json::Value;

pub fn pattern(name: &str) -> Pattern {
    read(fixture(name).as_bytes(), &ReadOptions::default()).expect("a pattern").pattern
}

pub fn stock(text: &str) -> Stock {
    file::read(text, &mut file::NoFiles).expect("a cloth file")
}

pub fn search<'a>(pattern: &'a Pattern, stock: &'a Stock, wish: LayWish, passes: u64) -> (LayTask<'a>, Laid) {
    let plan = LayTask::of(pattern, stock, wish).expect("a plan");
    let budget = Budget { seed: 1, searchers: 2, limit: Limit::Iterations(passes) };
    let laid = plan.search(&budget, &mut |_| Continue::Search).expect("a search");
    (plan, laid)
}

pub fn polygon(path: &BezPath) -> PathD {
    let mut points: PathD = Vec::new();
    kurbo::flatten(path, 1e-3, |element| {
        points.extend(element.end_point().map(|p| PointD { x: p.x, y: p.y }));
    });
    points
}

/// The area that two outlines share, by a library that knows nothing of this crate.
pub fn shared(a: &PathD, b: &PathD) -> f64 {
    let common = intersect_d(&vec![a.clone()], &vec![b.clone()], FillRule::NonZero, 4);
    let ring_area = |ring: &PathD| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| a.x * b.y - a.y * b.x).sum::<f64>() / 2.0
    };
    common.iter().map(ring_area).sum::<f64>().abs()
}

/// An overlap 0.01 mm deep along a metre of edge has 10 mm²; nothing laid here shares so long an edge twice.
const SLIVER: f64 = 10.0;

/// No two outlines lie over each other, none over a flaw, none outside the cloth.
fn holds(plan: &LayTask<'_>, laid: &Laid) {
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    assert_eq!(laid.lying.len(), plan.copies.len());
    let outlines: Vec<PathD> = laid.lying.iter().map(|lying| polygon(&lying.path(plan))).collect();
    for (i, first) in laid.lying.iter().enumerate() {
        let ground = &plan.grounds[first.ground];
        for (j, second) in laid.lying.iter().enumerate().skip(i + 1) {
            if first.ground == second.ground {
                let names = [first, second].map(|lying| plan.copies[lying.copy].to_string());
                assert!(shared(&outlines[i], &outlines[j]) < SLIVER, "{names:?}");
            }
        }
        for flaw in &ground.flaws {
            assert!(shared(&outlines[i], &polygon(&flaw.to_path(0.1))) < 0.5, "over a flaw");
        }
        let path = first.path(plan);
        let outside = path.area().abs() - shared(&outlines[i], &polygon(&ground.border));
        assert!(outside.abs() < SLIVER, "{} outside by {outside}", plan.copies[first.copy]);
    }
}

const STRIPED: &str = "
[main]
width = \"110cm\"
length = \"6m\"
gap = \"3mm\"
flaws = [{ at = [\"50cm\", \"60cm\"], size = [\"4cm\", \"2cm\"] }, { at = [\"0cm\", \"1m\"], size = [\"5cm\", \"5cm\"] }]
stripes = { repeat = \"64mm\", first = \"10mm\" }

[lining]
width = [[\"0m\", \"90cm\"], [\"3m\", \"88cm\"]]
length = [\"1.2m\", \"1.5m\"]
selvedges = \"none\"
";

#[test]
fn an_independent_library_finds_no_overlap_in_a_dress() {
    let (pattern, stock) = (pattern("dress.svg"), stock(STRIPED));
    let (plan, laid) = search(&pattern, &stock, LayWish::default(), 60);
    assert_eq!(plan.copies.len(), 11);
    holds(&plan, &laid);
}

#[test]
fn an_independent_library_finds_no_overlap_in_a_coat_single_or_folded() {
    let (pattern, stock) = (pattern("coat.svg"), stock("[main]\nwidth = \"140cm\"\nlength = \"4m\"\n"));
    let (plan, laid) = search(&pattern, &stock, LayWish::default(), 60);
    holds(&plan, &laid);
    assert_eq!(plan.without_cloth.len(), 3, "the companion pieces");
    let folded = LayWish { spread: Spread::Folded, ..LayWish::default() };
    let (plan, laid) = search(&pattern, &stock, folded, 60);
    holds(&plan, &laid);
    let back =
        laid.lying.iter().find(|lying| plan.copies[lying.copy].to_string() == "back").expect("the back");
    assert!(back.path(&plan).bounding_box().x0.abs() < 0.02, "the back lies on the fold");
    assert!(plan.copies.iter().any(|copy| copy.to_string() == "front R + L"));
}

/// Stripes meet at the stitching line: the marks of all copies lie alike in the repeat of 64 mm.
#[test]
fn the_stripes_of_the_seams_named_meet() {
    let (pattern, stock) = (pattern("dress.svg"), stock(STRIPED));
    let edges = ["skirt-front.side", "bodice-front.side", "sleeve.cap"];
    let matches = edges.map(|edge| edge.parse().expect("an edge")).to_vec();
    let (plan, laid) = search(&pattern, &stock, LayWish { matches, ..LayWish::default() }, 200);
    holds(&plan, &laid);
    assert!(laid.matches.iter().all(|found| found.wish == WishKept::Held && found.is_met()));
    for seam in &plan.seams {
        let mut phases = Vec::new();
        for (piece, mark) in &seam.marks {
            let copies = laid.lying.iter().filter(|lying| plan.copies[lying.copy].piece == *piece);
            phases.extend(copies.map(|lying| lying.motion.apply(*mark).y / 64.0));
        }
        assert!(phases.len() >= 3, "{}", seam.seam);
        for phase in &phases {
            let off = phase - phases[0];
            assert!((off - off.round()).abs() * 64.0 < 0.05, "{}: {phases:?}", seam.seam);
        }
    }
}

/// A front with a bust dart in its side: above the dart the stripes part. The skirt's sides are alike, and meet all along.
#[test]
fn how_far_stripes_meet_is_told() {
    let bench = Bench::new().with_fixture("dress.svg").with_file("cloth.toml", STRIPED);
    let line = "lay dress.svg --cloth cloth.toml --iterations 60 --match skirt-front.side --match bodice-front.side -o lay.svg";
    let told = bench.retrue(line);
    told.is_true()
        .says("skirt-front.side + skirt-back.side: stripes meet all along")
        .says("a dart or another edge");
    let plain = "lay dress.svg --cloth \"110cm x 5m\" --match skirt-front.side -o plain.svg";
    bench.retrue(plain).is_refused().says("has neither stripes nor colours").says("stripes = ");
    let misnamed = line.replace("skirt-front.side", "skirt-front.sied").replace("lay.svg", "other.svg");
    bench.retrue(&misnamed).is_refused().says("did you mean `side`?");
}

/// A panel, cut twice, whose side is 600 mm long.
pub fn strip(selvedge: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 1200">
      <g id="panel" data-kind="piece" data-cut="2"><path id="panel.top" data-kind="edge" data-finish="free" d="M100 100 L300 100"/>
      <path id="panel.side" data-kind="edge" data-finish="free" data-allowance="15mm" {selvedge} d="M300 100 V700"/>
      <path id="panel.hem" data-kind="edge" data-finish="free" d="M300 700 H100"/>
      <path id="panel.centre" data-kind="edge" data-finish="free" data-allowance="15mm" d="M100 700 V100"/>
      <path id="panel.grain" data-kind="grainline" d="M150 300 L150 600"/></g></svg>"#
    )
}

fn numbers(value: &Value) -> [f64; 6] {
    let numbers: Vec<f64> =
        value.as_array().expect("six").iter().map(|n| n.as_f64().expect("a number")).collect();
    numbers.try_into().expect("six numbers")
}

/// Left and right copies of a panel whose side is a selvedge: each lies with it at one of the two.
#[test]
fn an_edge_lies_on_the_selvedge_without_allowance() {
    let bench = Bench::new().with_file("strip.svg", strip("data-selvedge=\"yes\""));
    let cloth = |selvedges: &str| {
        format!(
            "[main]\nwidth = \"60cm\"\nlength = \"2m\"\nselvedges = \"{selvedges}\"\ndirection = \"one-way\"\n"
        )
    };
    let bench = bench.with_file("both.toml", cloth("both")).with_file("none.toml", cloth("none"));
    let bench = bench.with_file("left.toml", cloth("left"));
    let line = "lay strip.svg --cloth both.toml --iterations 20 -o lay.svg --json";
    let report = bench.retrue(line).is_true().reports("lay");
    let sides: Vec<f64> = report["copies"]
        .as_array()
        .expect("copies")
        .iter()
        .map(|copy| (kurbo::Affine::new(numbers(&copy["motion"])) * Point::new(300.0, 400.0)).x)
        .collect();
    assert!((sides[0] - 600.0).abs() < 0.01, "the right one, as drawn: {sides:?}");
    assert!(sides[1].abs() < 0.01, "the left one: {sides:?}");
    let none = bench.retrue("lay strip.svg --cloth none.toml --iterations 20 -o none.svg");
    none.is_untrue().says("`panel.side` is to lie on a selvedge that `main` does not have");
    let left = bench.retrue("lay strip.svg --cloth left.toml --iterations 20 -o left.svg");
    left.is_untrue().says("it cannot be laid");
}

#[test]
fn a_piece_on_both_selvedges_must_be_as_wide_as_the_cloth() {
    let sheet = strip("data-selvedge=\"yes\"")
        .replace("data-allowance=\"15mm\" d=\"M100 700", "data-selvedge=\"yes\" d=\"M100 700");
    let bench = Bench::new().with_file("strip.svg", sheet);
    bench.retrue("lay strip.svg --cloth \"200mm x 2m\" --iterations 20 -o lay.svg").is_true();
    let wide = bench.retrue("lay strip.svg --cloth \"21cm x 2m\" --iterations 20 -o wide.svg");
    wide.is_untrue().says("is to lie on both selvedges, but is 200 mm wide on cloth of 210 mm");
}

#[test]
fn what_is_impossible_is_told_with_its_reason_and_nothing_is_written() {
    let bench = Bench::new().with_fixture("coat.svg");
    let narrow = bench.retrue("lay coat.svg --cloth \"37cm x 11m\" -o lay.svg");
    narrow.is_untrue().says("`back` is at least 571.38 mm wide, the cloth 370 mm: too wide by 201.38 mm");
    bench.retrue("lay coat.svg --cloth \"140cm x 1m\" -o lay.svg").is_untrue().says("too long by");
    let little = bench.retrue("lay coat.svg --cloth \"140cm x 1.5m\" -o lay.svg").is_untrue().stderr();
    assert!(little.contains("m², the cloth has 2.10 m²"), "{little}");
    let found = bench.retrue("lay coat.svg --cloth \"140cm x 1.62m\" --iterations 3 -o lay.svg");
    found.is_untrue().says("no layout was found").says("search longer");
    assert_eq!(bench.files(), ["coat.svg"]);
}

#[test]
fn the_same_seed_and_passes_find_the_same_layout() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = |seed: u32, out: &str| {
        format!("lay coat.svg --cloth \"140cm x 4m\" --iterations 60 --seed {seed} -o {out} --quiet")
    };
    for (seed, out) in [(1, "a.svg"), (1, "b.svg"), (2, "c.svg")] {
        bench.retrue(&line(seed, out)).is_true();
    }
    assert_eq!(bench.text_of("a.svg"), bench.text_of("b.svg"));
    assert_ne!(bench.text_of("a.svg"), bench.text_of("c.svg"));
    bench.retrue(&line(1, "a.svg")).is_refused().says("--force");
    bench.retrue("lay coat.svg --cloth \"140cm x 4m\" --json").is_refused().says("-o");
    bench.retrue("lay coat.svg --cloth \"140cm x 4m\" --seconds 0").is_refused();
    let stdout = bench.retrue("lay coat.svg --cloth \"140cm x 4m\" --iterations 5");
    stdout.is_true().prints("<svg").says("left over");
}

const GORES: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 900">
  <path id="gore" d="M 100 10 H 300 C 350 300 390 600 400 800 H 10 C 20 600 60 300 100 10 Z"/>
  <path id="gore.grain" d="M 200 700 V 100"/></svg>"##;

/// A garment taken apart: each panel of it, drawn upside down to its grain, is used.
#[test]
fn pieces_lie_on_panels_of_a_garment_taken_apart() {
    let cloth = "[main]\n[[panels]]\ncloth = \"main\"\noutline = \"gores.svg#gore\"\ncopies = 3\n";
    let bench = Bench::new().with_file("gores.svg", GORES).with_file("cloth.toml", cloth);
    let bench = bench.with_file("strip.svg", strip(""));
    let report = bench
        .retrue("lay strip.svg --cloth cloth.toml --iterations 30 -o lay.svg --json")
        .is_true()
        .reports("lay");
    assert_eq!(report["grounds"].as_array().expect("panels").len(), 3);
    let on: Vec<u64> = report["copies"]
        .as_array()
        .expect("copies")
        .iter()
        .map(|c| c["ground"].as_u64().expect("one"))
        .collect();
    assert_eq!(on.len(), 2);
    assert_ne!(on[0], on[1], "a panel has room for one");
    assert!(bench.text_of("lay.svg").contains("panel gore 1 of 3"));
}

/// Six panels of a skirt, each with room for one strip.
#[test]
fn six_panels_of_a_garment_taken_apart_are_all_used() {
    let cloth = "[main]\n[[panels]]\ncloth = \"main\"\noutline = \"gores.svg#gore\"\ncopies = 6\n";
    let strips = strip("").replace("data-cut=\"2\"", "data-cut=\"6 same\"");
    let bench = Bench::new().with_file("gores.svg", GORES).with_file("cloth.toml", cloth);
    let bench = bench.with_file("strip.svg", strips);
    let lay = "lay strip.svg --cloth cloth.toml --iterations 60 -o lay.svg --json";
    let report = bench.retrue(lay).is_true().reports("lay");
    let copies = report["copies"].as_array().expect("copies");
    let mut on: Vec<u64> = copies.iter().map(|copy| copy["ground"].as_u64().expect("one")).collect();
    on.sort_unstable();
    assert_eq!(on, [0, 1, 2, 3, 4, 5]);
}

/// Whether a name stands there, in one text or broken behind hyphens and at spaces.
pub fn is_written(texts: &[String], name: &str) -> bool {
    let has = |text: &str| texts.iter().any(|known| known == text.trim_end());
    let breaks = name.char_indices().filter(|(_, sign)| matches!(sign, '-' | ' ')).map(|(at, _)| at + 1);
    has(name) || breaks.into_iter().any(|at| has(&name[..at]) && is_written(texts, &name[at..]))
}

/// Where a text stands: every viewer sets it as wide as the picture says.
pub fn text_boxes(svg: &str) -> Vec<(String, Rect)> {
    let document = roxmltree::Document::parse(svg).expect("sound XML");
    // What a layout holds besides is not seen in it.
    let is_seen =
        |node: &roxmltree::Node<'_, '_>| !node.ancestors().any(|around| around.has_tag_name("defs"));
    let texts = document.descendants().filter(|node| node.has_tag_name("text")).filter(is_seen);
    texts
        .map(|node| {
            let number = |name: &str| node.attribute(name).expect("it").parse::<f64>().expect("a number");
            let (x, y, size) = (number("x"), number("y"), number("font-size"));
            let text = node.text().unwrap_or_default().to_owned();
            let half = number("textLength") / 2.0;
            let place = if node.attribute("transform").is_some() {
                Rect::new(x - size * 0.75, y - half, x + size * 0.2, y + half)
            } else {
                Rect::new(x - half, y - size * 0.75, x + half, y + size * 0.2)
            };
            (text, place)
        })
        .collect()
}

/// Looked at as pictures for the coat and the dress, single and folded; held here by their texts.
#[test]
fn labels_never_lie_over_one_another_nor_leave_their_pieces() {
    for (name, cloth, spread) in [
        ("dress.svg", STRIPED, Spread::Single),
        (
            "coat.svg",
            "[main]\nwidth = \"140cm\"\nlength = \"4m\"\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n",
            Spread::Single,
        ),
        ("coat.svg", "[main]\nwidth = \"140cm\"\nlength = \"4m\"\n", Spread::Folded),
    ] {
        let (pattern, stock) = (pattern(name), stock(cloth));
        let (plan, laid) = search(&pattern, &stock, LayWish { spread, ..LayWish::default() }, 40);
        let svg = picture::layout(&plan, &laid, Unit::Centimetre);
        let boxes = text_boxes(&svg);
        assert!(boxes.len() > 2 * plan.copies.len());
        for (i, (text, place)) in boxes.iter().enumerate() {
            for (other, over) in &boxes[i + 1..] {
                assert!(place.intersect(*over).area() <= 0.0, "`{text}` lies over `{other}` in {name}");
            }
        }
        let texts: Vec<String> = boxes.into_iter().map(|(text, _)| text).collect();
        for copy in &plan.copies {
            assert!(is_written(&texts, &copy.to_string()), "{copy} has a label");
        }
    }
}

/// A strip 6 mm wide has no room for its name: the label is led out of it, above the cloth.
#[test]
fn a_label_without_room_is_led_out() {
    let sheet = strip("").replace("300", "106").replace("data-allowance=\"15mm\"", "");
    let bench = Bench::new().with_file("strip.svg", sheet.replace("M150 106 L150 600", "M103 200 L103 600"));
    bench.retrue("lay strip.svg --cloth \"40cm x 2m\" --iterations 10 -o lay.svg").is_true();
    let svg = bench.text_of("lay.svg");
    assert_eq!(svg.matches("class=\"leader\"").count(), 2 + 1, "two labels, and one in the key");
    assert!(svg.contains(">panel R</text>") && svg.contains(">panel L</text>"));
}

/// Cooperative extension chart of yards needed when the cloth's width changes (two stored copies agree): a garment that
/// takes 3 1/8 yd of cloth 44 to 45 in wide takes 2 1/4 to 2 3/8 yd of cloth 58 to 60 in wide, the ratios of all rows
/// lying from 0.70 to 0.80. One garment is not the chart's average, so that the bounds are wide.
#[test]
fn wider_cloth_takes_less_length_as_charted() {
    let pattern = pattern("dress.svg");
    let used = |width: &str| {
        let stock = stock(&format!("[main]\nwidth = \"{width}\"\nlength = \"5m\"\n"));
        let (plan, laid) = search(&pattern, &stock, LayWish::default(), 400);
        assert_eq!(laid.verdict, LaidVerdict::Fits);
        assert_eq!(plan.grounds.len(), 1);
        laid.uses[0].used
    };
    let (narrow, wide) = (used("44 1/2in"), used("59in"));
    let ratio = wide / narrow;
    println!("{narrow:.0} mm and {wide:.0} mm: {ratio:.2}");
    assert!((0.62..=0.92).contains(&ratio), "{wide} / {narrow} = {ratio}");
}

/// Ctrl-C ends the search, and the best layout so far is written: on a terminal, once the line there tells of one.
#[cfg(target_os = "linux")]
#[test]
fn a_search_that_is_stopped_gives_its_best() {
    use std::io::{BufReader, Read, Write};
    use std::process::{Command, Stdio};

    if found([Program("script", "bsdutils")]).is_none() {
        return;
    }
    let bench = Bench::new().with_fixture("coat.svg");
    let retrue = env!("CARGO_BIN_EXE_retrue");
    // `exec`, so that no shell beside it takes the key as well and answers with a code of its own.
    let line = format!("exec '{retrue}' lay coat.svg --cloth '140cm x 4m' --seconds 3600 -o lay.svg");
    let mut terminal = Command::new("script")
        .args(["--quiet", "--return", "--command", &line, "/dev/null"])
        .current_dir(bench.path(""))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut keys = terminal.stdin.take().expect("its keys");
    let mut shown = BufReader::new(terminal.stdout.take().expect("its screen")).bytes();
    let mut told = Vec::new();
    while !told.ends_with(b"best so far ") {
        told.push(shown.next().expect("it tells of a layout").expect("a byte"));
    }
    keys.write_all(b"\x03").expect("Ctrl-C is pressed");
    let rest: Vec<u8> = shown.map_while(Result::ok).collect();
    let code = terminal.wait().expect("it ends").code();
    assert_eq!(code, Some(0), "{}", String::from_utf8_lossy(&rest));
    assert!(bench.text_of("lay.svg").contains("left over"));
}
