//! Matches that are there are found; matches that cannot be are told as lost, with the worst place; of wishes that
//! contradict each other the first said wins.

use kurbo::{BezPath, Shape};
use serde_json::Value;

use super::drafted::{Garment, Stripes};
use super::laws::assert_report_is_true;
use crate::run::Bench;

fn garment(dart: f64) -> Garment {
    Garment {
        width: 200.0,
        length: 500.0,
        back_side: [0.0, 12.0, 20.0, 30.0],
        front_side: [0.0, 12.0, 20.0, 30.0],
        dart,
    }
}

/// Marks at irregular distances: no stretch of 400 mm has the like of it elsewhere.
fn irregular() -> Stripes {
    let gaps = (0..90).map(|i: u32| 25.0 + f64::from(i * i * 7 % 61));
    Stripes::Marks(
        gaps.scan(0.0, |sum, gap| {
            *sum += gap;
            Some(*sum)
        })
        .collect(),
    )
}

fn bench(garment: &Garment, stripes: &Stripes, width: u32) -> Bench {
    let cloth =
        format!("[main]\nwidth = \"{width}mm\"\nlength = \"4m\"\nstripes = {}\n", stripes.written("width"));
    Bench::new().with_file("g.svg", garment.sheet()).with_file("c.toml", cloth)
}

const LAY: &str = "lay g.svg --cloth c.toml --match back.side --iterations 40 --json -o l.svg";

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// Back and both fronts have room side by side, where every mark meets itself.
#[test]
fn irregular_marks_meet_all_along_where_there_is_room_side_by_side() {
    let garment = garment(0.0);
    let bench = bench(&garment, &irregular(), 1200);
    let report = bench.retrue(LAY).is_true().reports("lay");
    assert_report_is_true(&garment, &irregular(), &report).expect("it is told as it is");
    let found = &report["matches"][0];
    assert_eq!((&found["meet"], &found["wish"]), (&Value::Bool(true), &Value::from("held")));
    assert!(number(&found["parts_by"]) < 0.05, "{found}");
    assert_eq!(number(&found["marks_missed"]), 0.0);
    assert!(number(&found["marks_met"]) >= 5.0, "marks reach the seam: {found}");
    assert_eq!(found["sentence"], "back.side + front.side: stripes meet all along");
    let svg = bench.text_of("l.svg");
    assert!(
        svg.contains("<desc>back.side + front.side: stripes meet all along</desc>"),
        "the picture says so"
    );
    assert_drawn_side_by_side(&svg);
    let _ = bench.retrue("report g.svg --layout l.svg -o page.html");
    assert!(bench.text_of("page.html").contains("back.side + front.side: stripes meet all along"));
}

/// The stitching lines that meet are drawn, and each reaches as far along the cloth as its partner.
fn assert_drawn_side_by_side(svg: &str) {
    let document = roxmltree::Document::parse(svg).expect("sound XML");
    let lines: Vec<kurbo::Rect> = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("match"))
        .filter(|node| !node.ancestors().any(|group| group.attribute("class") == Some("key")))
        .map(|node| BezPath::from_svg(node.attribute("d").expect("a path")).expect("a path").bounding_box())
        .collect();
    assert_eq!(lines.len(), 4, "two sides, left and right");
    for line in &lines {
        assert!((line.x0 - lines[0].x0).abs() < 0.02 && (line.x1 - lines[0].x1).abs() < 0.02, "{lines:?}");
    }
}

/// Above a dart in the front's side the stripes part: they meet from the hem up to it.
#[test]
fn sides_meet_from_the_hem_up_to_the_dart() {
    let garment = garment(20.0);
    let stripes = Stripes::Every { repeat: 64.0, first: 10.0 };
    let report = bench(&garment, &stripes, 1200).retrue(LAY).is_true().reports("lay");
    assert_report_is_true(&garment, &stripes, &report).expect("it is told as it is");
    let found = &report["matches"][0];
    // 40 mm are left above the dart, of a side that is a little longer than 500 mm.
    let length = number(&found["length"]);
    assert!((number(&found["meets"]) - (length - 40.0)).abs() < 1.0, "{found}");
    assert!((number(&found["parts_by"]) - 20.0).abs() < 0.3, "by the dart: {found}");
    let sentence = found["sentence"].as_str().expect("words");
    assert!(sentence.contains("from the hem up for 461 mm, then part by up to 20 mm"), "{sentence}");
    assert!(sentence.contains("a dart"), "{sentence}");
}

/// Cloth so narrow that the pieces lie one below the other: irregular marks cannot meet.
#[test]
fn what_cannot_meet_is_told_as_lost_with_the_worst() {
    let garment = garment(0.0);
    let bench = bench(&garment, &irregular(), 480);
    let outcome = bench.retrue(LAY);
    let report = outcome.is_true().reports("lay");
    assert_report_is_true(&garment, &irregular(), &report).expect("it is told as it is");
    let found = &report["matches"][0];
    assert_eq!((&found["meet"], &found["wish"]), (&Value::Bool(false), &Value::from("given-up")));
    assert!(number(&found["parts_by"]) > 3.0, "{found}");
    bench
        .retrue(&LAY.replace("--json -o l.svg", "-o m.svg"))
        .is_true()
        .says("warning")
        .says("no layout was found");
}

/// A tube of two panels, one with a hem that is 30 mm lower at its right side.
fn tube() -> String {
    let panel = |name: &str, x: f64, right: f64, left_seam: &str, right_seam: &str| {
        let (end, hem) = (x + 200.0, 600.0);
        let low = hem + right;
        format!(
            "<g id=\"{name}\" data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\">\
             <path id=\"{name}.top\" data-kind=\"edge\" data-finish=\"free\" d=\"M{x} 100 L{end} {}\"/>\
             <path id=\"{name}.right\" data-kind=\"edge\" data-finish=\"seam\" data-allowance=\"15mm\" {right_seam} d=\"M{end} {} L{end} {low}\"/>\
             <path id=\"{name}.hem\" data-kind=\"edge\" data-finish=\"hem\" data-allowance=\"20mm\" d=\"M{end} {low} L{x} {hem}\"/>\
             <path id=\"{name}.left\" data-kind=\"edge\" data-finish=\"seam\" data-allowance=\"15mm\" {left_seam} d=\"M{x} {hem} L{x} 100\"/>\
             <path id=\"{name}.grain\" data-kind=\"grainline\" d=\"M{} 200 L{} 400\"/></g>",
            100.0 + right,
            100.0 + right,
            x + 90.0,
            x + 90.0
        )
    };
    let first = panel("one", 50.0, 0.0, "", "");
    let second = panel(
        "two",
        400.0,
        30.0,
        "data-sewn-to=\"one.right from hem\"",
        "data-sewn-to=\"one.left from hem\"",
    );
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"900mm\" viewBox=\"0 0 900 900\">{first}{second}</svg>"
    )
}

#[test]
fn of_wishes_that_contradict_the_first_said_wins() {
    let cloth = "[main]\nwidth = \"90cm\"\nlength = \"3m\"\nstripes = { repeat = \"80mm\" }\n";
    let bench = Bench::new().with_file("t.svg", tube()).with_file("c.toml", cloth);
    for (first, second) in [("one.right", "one.left"), ("one.left", "one.right")] {
        let line = format!(
            "lay t.svg --cloth c.toml --match {first} --match {second} --iterations 20 --json --force -o l.svg"
        );
        let report = bench.retrue(&line).is_true().reports("lay");
        let [kept, lost] = [0, 1].map(|i: usize| &report["matches"][i]);
        assert!(kept["seam"].as_str().expect("a name").contains(first), "{kept}");
        assert_eq!((&kept["meet"], &kept["wish"]), (&Value::Bool(true), &Value::from("held")));
        assert_eq!((&lost["meet"], &lost["wish"]), (&Value::Bool(false), &Value::from("contradicted")));
        assert!((number(&lost["parts_by"]) - 30.0).abs() < 0.1, "{lost}");
        let sentence = lost["sentence"].as_str().expect("words");
        assert!(
            sentence.contains("do not meet, they are off by up to 30 mm: the seams named before"),
            "{sentence}"
        );
    }
}

/// With marks one by one the height of a sleeve's notch beside a mark is no fault of the program.
#[test]
fn an_eased_sleeve_cap_meets_around_its_notch() {
    let cloth = format!(
        "[main]\nwidth = \"150cm\"\nlength = \"5m\"\nstripes = {}\n[lining]\nwidth = \"1m\"\nlength = \"3m\"\n",
        irregular().written("width")
    );
    let bench = Bench::new().with_fixture("dress.svg").with_file("c.toml", cloth);
    let report = bench
        .retrue("lay dress.svg --cloth c.toml --match sleeve.cap --iterations 40 --json -o l.svg")
        .is_true()
        .reports("lay");
    let found = &report["matches"][0];
    assert_eq!(found["wish"], "held", "{found}");
    assert!(number(&found["marks_met"]) >= 1.0, "a mark meets at the notch: {found}");
    assert!(
        number(&found["meets"]) < 0.5 * number(&found["length"]),
        "an eased cap cannot all along: {found}"
    );
    assert_eq!(found["pairs"].as_array().map(Vec::len), Some(4), "back and front, left and right");
}

/// A cap whose front meets all along and whose back meets nowhere: that is told of each, as what it is, and warned of.
#[test]
fn what_one_piece_of_a_seam_misses_is_told_of_it() {
    let marks = [
        ("12cm", "teal"),
        ("35cm", "rust"),
        ("80cm", "rust"),
        ("1.02m", "teal"),
        ("1.3m", "rust"),
        ("1.5m", "teal"),
        ("1.9m", "rust"),
        ("2.37m", "blue"),
        ("2.8m", "rust"),
        ("3.3m", "teal"),
        ("3.6m", "rust"),
        ("4.1m", "teal"),
        ("4.7m", "rust"),
        ("5.2m", "teal"),
        ("5.9m", "blue"),
    ];
    let cloth = format!(
        "[main]\nwidth = \"150cm\"\nlength = \"7m\"\nstripes = {{ marks = {:?} }}\n[companion]\nwidth = \"110cm\"\nlength = \"2m\"\n",
        marks.map(|(at, word)| [at, word])
    );
    let bench = Bench::new().with_fixture("coat.svg").with_file("c.toml", cloth);
    let line = "lay coat.svg --cloth c.toml --match sleeve.cap --iterations 20";
    let report = bench.retrue(&format!("{line} --json -o l.svg")).is_true().reports("lay");
    let found = &report["matches"][0];
    let stretches: Vec<&Value> =
        found["pairs"].as_array().expect("pairs").iter().map(|pair| &pair["stretch"]).collect();
    assert!(stretches.iter().any(|stretch| stretch.is_null()), "a piece meets nowhere: {found}");
    assert!(stretches.iter().any(|stretch| !stretch.is_null()), "and another does: {found}");
    assert_eq!(found["meet"], false, "{found}");
    let sentence = found["sentence"].as_str().expect("words");
    assert!(sentence.contains("stripes meet with front from 271 mm to 556 mm of 556 mm"), "{sentence}");
    assert!(sentence.contains("with back they do not meet, they are off by up to"), "{sentence}");
    assert!(!sentence.contains("begins"), "nothing begins where they part: {sentence}");
    bench.retrue(&format!("{line} -o m.svg")).is_true().says("warning").says("with back they do not meet");
}

/// Two squares sewn along their tops, where a mark of the cloth lies along the seam: it is one mark, however long the seam.
#[test]
fn a_mark_along_a_seam_counts_once() {
    let square = |name: &str, x: f64, sewn: &str| {
        let (end, middle) = (x + 300.0, x + 90.0);
        format!(
            "<g id=\"{name}\" data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\">\
             <path id=\"{name}.top\" data-kind=\"edge\" data-finish=\"seam\" data-allowance=\"15mm\" {sewn} d=\"M{x} 100 L{end} 100\"/>\
             <path id=\"{name}.right\" data-kind=\"edge\" data-finish=\"free\" d=\"M{end} 100 L{end} 400\"/>\
             <path id=\"{name}.bottom\" data-kind=\"edge\" data-finish=\"free\" d=\"M{end} 400 L{x} 400\"/>\
             <path id=\"{name}.left\" data-kind=\"edge\" data-finish=\"free\" d=\"M{x} 400 L{x} 100\"/>\
             <path id=\"{name}.grain\" data-kind=\"grainline\" d=\"M{middle} 150 L{middle} 350\"/></g>"
        )
    };
    let second = square("two", 450.0, "data-sewn-to=\"one.top from one.top@100%\"");
    let sheet = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"900mm\" viewBox=\"0 0 900 900\">{}{second}</svg>",
        square("one", 50.0, "")
    );
    let cloth =
        format!("[main]\nwidth = \"1m\"\nlength = \"3m\"\nstripes = {}\n", irregular().written("width"));
    let bench = Bench::new().with_file("s.svg", sheet).with_file("c.toml", cloth);
    let line = "lay s.svg --cloth c.toml --match two.top --iterations 20 --json -o l.svg";
    let report = bench.retrue(line).is_true().reports("lay");
    let found = &report["matches"][0];
    assert_eq!((number(&found["marks_met"]), number(&found["marks_missed"])), (1.0, 0.0), "{found}");
}
