//! What is found in drawings of every make.

use serde_json::Value;

use crate::run::Bench;

/// A page of millimetres with something on it.
pub fn page(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"600mm\" \
         height=\"600mm\" viewBox=\"0 0 600 600\"><g fill=\"none\" stroke=\"#000\">{body}</g></svg>"
    )
}

/// What `adopt` reports of a drawing.
pub fn found(drawing: &str, options: &str) -> (Value, crate::run::Outcome) {
    let bench = Bench::new().with_file("drawing.svg", drawing);
    let outcome = bench.retrue(&format!("adopt drawing.svg --json {options}"));
    (outcome.reports("adopt"), outcome)
}

fn lengths(outline: &Value) -> Vec<f64> {
    outline["edges"].as_array().unwrap().iter().map(|edge| edge["length"].as_f64().unwrap()).collect()
}

#[test]
fn shapes_groups_uses_symbols_and_nested_drawings_are_found() {
    let (report, _) = found(
        &page(
            "<defs><symbol id='s'><rect width='40' height='60'/></symbol><g id='d'><polygon points='0,0 50,0 50,50 0,50'/></g></defs>\
             <g transform='translate(10 10) rotate(90) scale(2)'><rect width='50' height='30' transform='translate(0 -40)'/></g>\
             <use href='#s' x='200' y='20'/><use href='#d' x='300' y='20'/><circle cx='100' cy='300' r='50'/>\
             <svg x='300' y='300' width='100' height='100' viewBox='0 0 10 10'><path d='M1 1h8v8h-8z' stroke-width='.1'/></svg>\
             <ellipse cx='500' cy='100' rx='40' ry='20'/><polyline points='450,400 550,400 550,450 450,450 450,400'/>",
        ),
        "",
    );
    let outlines = report["outlines"].as_array().unwrap();
    let sizes: Vec<(f64, f64, u64)> = outlines
        .iter()
        .map(|o| {
            (o["width"].as_f64().unwrap(), o["height"].as_f64().unwrap(), o["corners"].as_u64().unwrap())
        })
        .collect();
    let wanted = [
        (100.0, 100.0, 0),
        (80.0, 80.0, 4),
        (60.0, 100.0, 4),
        (100.0, 50.0, 4),
        (80.0, 40.0, 0),
        (50.0, 50.0, 4),
        (40.0, 60.0, 4),
    ];
    for (width, height, corners) in wanted {
        let near = |o: &&(f64, f64, u64)| {
            (o.0 - width).abs() < 0.01 && (o.1 - height).abs() < 0.01 && o.2 == corners
        };
        assert!(sizes.iter().any(|o| near(&o)), "{width} {height} {corners}: {sizes:?}");
    }
    assert_eq!(sizes.len(), wanted.len(), "{sizes:?}");
}

#[test]
fn an_outline_broken_into_many_paths_and_drawn_twice_is_one() {
    let (report, outcome) = found(
        &page(
            "<path d='M100 100 H299.8'/><path d='M300.2 100.2 C320 200 320 250 300 300'/><path d='M100 300 H299.9'/>\
             <path d='M100 100.3 V200'/><path d='M100.2 299.8 V200.1'/><path d='M100 300 H299.9'/><path d='M299.9 300 H100'/>",
        ),
        "",
    );
    outcome.is_true();
    let outlines = report["outlines"].as_array().unwrap();
    assert_eq!(outlines.len(), 1, "{report:#}");
    assert_eq!(outlines[0]["joined"], 5);
    assert_eq!(lengths(&outlines[0]).len(), 4);
    assert_eq!(report["lines"].as_array().unwrap().len(), 0);
}

#[test]
fn a_gap_that_is_too_wide_is_told_with_both_ends() {
    let (report, outcome) = found(&page("<path d='M100 100 H300 V300 H100 V103'/>"), "");
    outcome.is_untrue().says("a gap of 3 mm between (100.0mm, 100.0mm) and (100.0mm, 103.0mm)");
    assert_eq!(report["gaps"][0]["width"], 3.0);
    assert!(report["outlines"].as_array().unwrap().is_empty());
}

/// Four straight lines that nearly meet at each corner are an outline; two that nearly meet are none.
#[test]
fn gaps_between_straight_lines_that_go_round_are_told() {
    let round = "<path d='M102 100 H300'/><path d='M300 103 V300'/><path d='M300 304 H104'/><path d='M100 302 V100.2'/>";
    let (report, outcome) = found(&page(round), "");
    outcome.is_untrue().says("a gap of 3 mm between (300.0mm, 100.0mm) and (300.0mm, 103.0mm)");
    assert_eq!(report["gaps"].as_array().unwrap().len(), 4, "{report:#}");
    let whole = "<path d='M100 100 H300 V300 H100 Z'/>";
    found(&page(&format!("{whole}<path d='M120 150 H280'/><path d='M280 153 V280'/>")), "").1.is_true();
}

/// A line that goes round three sides and a half, beside an outline that is whole; a level and an arc that do not.
#[test]
fn an_outline_that_leaves_out_a_side_is_told() {
    let whole =
        "<path d='M100 100 H300 V300 H100 Z M100 200 H300'/><path d='M600 300 A100 100 0 0 1 800 300'/>";
    let (report, outcome) = found(&page(&format!("{whole}<path d='M400 100 H500 V300 H400 V135'/>")), "");
    outcome.is_untrue().says("a gap of 35 mm between (400.0mm, 100.0mm) and (400.0mm, 135.0mm)");
    outcome.says("draw the side that is missing");
    assert_eq!(report["gaps"].as_array().unwrap().len(), 1, "{report:#}");
    found(&page(whole), "").1.is_true();
}

#[test]
fn the_mouth_of_a_dart_is_no_gap() {
    found(&page("<path d='M100 100 H300 V300 H100 Z'/><path d='M150 100 L155 250 L160 100'/>"), "")
        .1
        .is_true();
}

/// A quarter of a circle of radius 200 made 400 straight lines: told as one edge with its own length.
#[test]
fn a_curve_made_of_hundreds_of_short_lines_is_a_curve_again() {
    let arc: Vec<String> = (0..=400)
        .map(|k| {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(k) / 400.0;
            format!("{:.3},{:.3}", 100.0 + 200.0 * angle.sin(), 300.0 - 200.0 * angle.cos())
        })
        .collect();
    let (report, _) = found(&page(&format!("<polygon points='100,300 {}'/>", arc.join(" "))), "");
    let outline = &report["outlines"][0];
    assert!(outline["flattened"].as_u64().unwrap() >= 400);
    let longest = lengths(outline).into_iter().fold(0.0, f64::max);
    assert!((longest - 100.0 * std::f64::consts::PI).abs() < 0.02, "{longest}");
}

#[test]
fn corners_are_found_by_an_angle_that_can_be_set() {
    let drawing = page("<path d='M100 100 L200 100 L300 120 L300 300 L100 300 Z'/>");
    assert_eq!(found(&drawing, "").0["outlines"][0]["corners"], 4);
    assert_eq!(found(&drawing, "--corner-angle 10").0["outlines"][0]["corners"], 5);
    let bench = Bench::new().with_file("d.svg", &drawing);
    bench.retrue("adopt d.svg --corner-angle 200").is_refused().says("under 180 degrees");
}

/// Five sizes in five dashes that share the lower edge, drawn once: each comes out whole.
#[test]
fn of_five_nested_sizes_that_share_a_line_the_chosen_one_is_whole() {
    let dashes = ["6 2", "1 2", "10 3 2 3", "4 4", "14 4"];
    let size = |at: usize| {
        let off = 6.0 * at as f64;
        let (x0, x1, y) = (150.0 - off, 350.0 + off, 150.0 - off);
        format!("<path stroke-dasharray='{}' d='M{x0} 400 V{y} H{x1} V400'/>", dashes[at])
    };
    let all: String = (0..5).map(size).collect();
    let drawing = page(&format!(
        "{all}<path d='M120 400 H380'/><text x='352' y='390' fill='#000' stroke='none'>36</text>"
    ));
    for at in 0..5 {
        let (report, _) = found(&drawing, &format!("--size \"style {}\"", at + 1));
        let outlines = report["outlines"].as_array().unwrap();
        assert_eq!(outlines.len(), 1, "size {at}: {report:#}");
        let off = 12.0 * at as f64;
        assert!((outlines[0]["width"].as_f64().unwrap() - 200.0 - off).abs() < 1e-6, "size {at}");
        assert_eq!(lengths(&outlines[0]).len(), 4);
    }
    assert_eq!(found(&drawing, "--size \"text 36\"").0["outlines"][0]["width"], 200.0);
    Bench::new()
        .with_file("d.svg", &drawing)
        .retrue("adopt d.svg --size \"style 40\"")
        .is_refused()
        .says("no line of the drawing is of this size");
}

#[test]
fn sizes_are_chosen_by_colour_and_layer() {
    let drawing = page(
        "<g id='size 38'><rect x='100' y='100' width='100' height='200' stroke='red'/></g>\
         <g id='size 40'><rect x='98' y='98' width='104' height='204' stroke='blue'/></g>",
    );
    assert_eq!(found(&drawing, "--size \"colour #00f\"").0["outlines"][0]["width"], 104.0);
    let (report, _) = found(&drawing, "--size \"layer size 38\"");
    assert_eq!(report["outlines"][0]["width"], 100.0);
    assert_eq!(report["outlines"].as_array().unwrap().len(), 1);
}

#[test]
fn a_test_square_tells_that_the_scale_is_off_and_corrects_it() {
    let drawing = page(
        "<rect x='10' y='10' width='99.88' height='99.88'/><text x='20' y='60' fill='#000'>Test square 100 mm</text>\
         <rect x='200' y='200' width='199.76' height='299.64'/>",
    );
    let (_, outcome) = found(&drawing, "");
    outcome.is_untrue().says("100mm (B) measured 99.88: scale off by 0.12 %");
    let (report, outcome) = found(&drawing, "--correct-scale");
    outcome.is_true();
    assert!((report["outlines"][0]["width"].as_f64().unwrap() - 200.0).abs() < 1e-6);
}

#[test]
fn a_stretched_drawing_is_refused_or_corrected_with_both_figures() {
    let drawing = page(
        "<rect x='10' y='10' width='100' height='99'/><text x='20' y='60' fill='#000'>10 cm</text>\
         <rect id='p' x='200' y='200' width='200' height='297'/>",
    );
    let map = "[[piece]]\noutline = \"A\"\nname = \"p\"\n[[piece.edge]]\nat = \"1-4\"\nname = \"all\"\n";
    let bench = Bench::new().with_file("d.svg", &drawing).with_file("m.toml", map);
    bench
        .retrue("adopt d.svg --map m.toml -o o.svg")
        .is_refused()
        .says("measured 100.00 across and 99.00 down");
    assert!(!bench.path("o.svg").exists());
    let (report, _) = found(&drawing, "--correct-scale");
    assert!((report["outlines"][0]["height"].as_f64().unwrap() - 300.0).abs() < 1e-6);
}

#[test]
fn a_drawing_without_a_unit_is_measured_by_its_test_square_or_by_what_is_known() {
    let body = "<rect x='10' y='10' width='283.4646' height='283.4646' fill='none' stroke='#000'/>\
                <rect x='400' y='10' width='500' height='600' fill='none' stroke='#000'/>";
    let bare = |text: &str| {
        format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>{body}{text}</svg>")
    };
    let (report, outcome) = found(&bare("<text x='30' y='100'>4\" = 101,6 mm, 100 mm</text>"), "");
    assert_eq!(report["scale"]["source"], "from the test square");
    outcome.is_true();
    let (report, outcome) = found(&bare("<text x='30' y='100'>100 mm</text>"), "");
    outcome.is_true();
    assert!((report["outlines"][0]["width"].as_f64().unwrap() - 176.389).abs() < 1e-3);
    let (_, outcome) = found(&bare(""), "");
    outcome.is_untrue().says("--known \"A=100mm\"");
    let (report, outcome) = found(&bare(""), "--known \"B=100mm\"");
    outcome.is_true();
    assert!((report["outlines"][1]["width"].as_f64().unwrap() - 100.0).abs() < 1e-6);
    let (report, _) = found(&bare(""), "--unit pt");
    assert!((report["outlines"][1]["width"].as_f64().unwrap() - 100.0).abs() < 1e-3);
    Bench::new()
        .with_file("d.svg", bare(""))
        .retrue("adopt d.svg --known \"Q=100mm\"")
        .is_refused()
        .says("there is no outline, line or element named `Q`");
}

#[test]
fn writing_in_outlines_is_no_piece() {
    let glyphs = "<defs><symbol id='glyph0-1'><path d='M0 0 H8 V30 H0 Z' stroke='none'/></symbol></defs>\
                  <g fill='#000'><use xlink:href='#glyph0-1' x='150' y='150'/><use xlink:href='#glyph0-1' x='160' y='150'/></g>\
                  <path fill='#000' stroke='none' d='M170 150 c10 0 10 30 0 32 c-10 0 -10 -30 0 -32 z'/>";
    let (report, _) = found(&page(&format!("{glyphs}<rect x='100' y='100' width='200' height='200'/>")), "");
    assert_eq!(report["outlines"].as_array().unwrap().len(), 1, "{report:#}");
    assert_eq!(report["lines"].as_array().unwrap().len(), 0, "{report:#}");
}

#[test]
fn lines_are_told_by_what_they_look_like() {
    let (report, _) = found(
        &page(
            "<rect x='100' y='100' width='200' height='300'/><path d='M200 150 V350'/>\
             <polygon fill='#000' stroke='none' points='200,150 197,158 203,158'/><path d='M150 100 L155 200 L160 100'/>\
             <path d='M100 250 H106'/><polygon fill='#000' stroke='none' points='300,250 300,256 294,253'/>\
             <path d='M100 300 H300'/><circle cx='250' cy='200' r='3'/>\
             <path d='M230 250 L236 300 L230 350 L224 300 Z'/>",
        ),
        "",
    );
    let mut looks: Vec<&str> =
        report["lines"].as_array().unwrap().iter().map(|line| line["looks_like"].as_str().unwrap()).collect();
    looks.sort_unstable();
    assert_eq!(looks, ["dart", "grainline", "mark", "notch", "notch", "straight line"], "{report:#}");
    assert_eq!(report["outlines"].as_array().unwrap().len(), 2);
}

#[test]
fn the_list_and_the_picture_name_the_same_letters() {
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg");
    let outcome = bench.retrue("adopt skirt-shaped-back.svg --picture found.svg");
    outcome.is_true().prints("A  276.19 mm × 621.84 mm  1611.3 cm²  4 corners").prints("layer back");
    let picture = bench.text_of("found.svg");
    for text in [">A<", ">B<", "1 · 209.44 mm", "4 · 613.62 mm", ">a<", ">m<"] {
        assert!(picture.contains(text), "{text}");
    }
    bench.retrue("adopt skirt-shaped-back.svg --picture found.svg").is_refused().says("exists already");
    bench.retrue("adopt skirt-shaped-back.svg --picture - --json").is_refused().says("standard output");
}
