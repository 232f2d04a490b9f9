//! A drawing is found as it is seen: clip paths, symbols, nested drawings, style sheets, dashes, markers, letters.

use serde_json::Value;

use crate::drawn::{found, page};
use crate::run::Bench;

fn sizes(report: &Value) -> Vec<(f64, f64)> {
    let outlines = report["outlines"].as_array().unwrap().iter();
    let round = |value: &Value| (value.as_f64().unwrap() * 100.0).round() / 100.0;
    outlines.map(|outline| (round(&outline["width"]), round(&outline["height"]))).collect()
}

fn looks(report: &Value) -> Vec<&str> {
    report["lines"].as_array().unwrap().iter().map(|line| line["looks_like"].as_str().unwrap()).collect()
}

const CLIPPED: &str = "clip paths cut off";

#[test]
fn a_clip_of_the_whole_page_hides_nothing() {
    let drawing = |clip: &str| {
        page(&format!(
            "<clipPath id='c'>{clip}</clipPath><g clip-path='url(#c)'>\
             <rect x='0' y='0' width='200' height='300'/><rect x='550' y='100' width='80' height='90'/></g>"
        ))
    };
    let clips = [
        "<rect width='600' height='600'/>",
        "<path clip-rule='nonzero' d='M 0 600 L 600 600 L 600 0 L 0 0 Z M 0 600 '/>",
        "<rect x='-1e7' y='-1e7' width='2e7' height='2e7'/>",
    ];
    for clip in clips {
        let (report, outcome) = found(&drawing(clip), "");
        assert_eq!(sizes(&report), [(200.0, 300.0), (80.0, 90.0)], "{clip}");
        assert!(!outcome.stderr().contains(CLIPPED), "{}", outcome.stderr());
    }
}

#[test]
fn a_line_is_cut_off_where_it_leaves_its_clip_path_and_left_open() {
    let (report, outcome) = found(
        &page(
            "<clipPath id='c'><rect width='200' height='600'/></clipPath><g clip-path='url(#c)'>\
             <rect x='100' y='100' width='300' height='300'/><rect x='20' y='20' width='50' height='60'/>\
             <rect x='300' y='450' width='90' height='90'/></g>",
        ),
        "",
    );
    outcome.says("clip paths cut off 1 shapes and hide 1");
    assert_eq!(sizes(&report), [(50.0, 60.0)]);
    assert_eq!(looks(&report), ["line"]);
    let length = report["lines"][0]["length"].as_f64().unwrap();
    assert!((length - 500.0).abs() < 1e-6, "{length}");
}

#[test]
fn of_a_surface_what_it_has_in_common_with_its_clip_path_is_left() {
    let shapes = "<rect x='100' y='100' width='300' height='300' fill='#ccc'/>\
                  <circle cx='200' cy='500' r='80' fill='#ccc'/>";
    let clip = "<clipPath id='c'><rect width='200' height='600'/></clipPath>";
    let (report, _) = found(&page(&format!("{clip}<g clip-path='url(#c)'>{shapes}</g>")), "");
    assert_eq!(sizes(&report), [(100.0, 300.0), (80.0, 160.0)]);
    let area = report["outlines"][1]["area"].as_f64().unwrap();
    assert!((area - std::f64::consts::PI * 3200.0).abs() < 1.0, "{area}");
    let rings =
        "<clipPath id='c'><path clip-rule='evenodd' d='M0 0H600V600H0Z M150 150V350H350V150Z'/></clipPath>";
    let (report, _) = found(
        &page(&format!(
            "{rings}<rect clip-path='url(#c)' x='200' y='50' width='100' height='500' fill='#ccc'/>"
        )),
        "",
    );
    assert_eq!(sizes(&report), [(100.0, 200.0), (100.0, 100.0)]);
}

#[test]
fn clip_paths_have_transforms_uses_boxes_and_clip_paths_of_their_own() {
    let square = "<rect x='100' y='100' width='200' height='200' fill='#ccc' clip-path='url(#c)'/>";
    let clips = [
        (
            "<clipPath id='c' transform='translate(100 0) scale(2)'><rect width='50' height='600'/></clipPath>",
            (100.0, 200.0),
        ),
        (
            "<rect id='r' width='150' height='600'/><clipPath id='c'><use href='#r' x='20'/></clipPath>",
            (70.0, 200.0),
        ),
        (
            "<clipPath id='c' clipPathUnits='objectBoundingBox'><rect width='.25' height='.5'/></clipPath>",
            (50.0, 100.0),
        ),
        (
            "<clipPath id='d'><rect width='600' height='180'/></clipPath>\
             <clipPath id='c' clip-path='url(#d)'><rect width='160' height='600'/></clipPath>",
            (60.0, 80.0),
        ),
        (
            "<style>rect { clip-path: url(\"#c\") }</style><clipPath id='c'><circle cx='100' cy='100' r='70'/></clipPath>",
            (70.0, 70.0),
        ),
    ];
    for (clip, size) in clips {
        let (report, _) = found(&page(&format!("<defs>{clip}</defs>{square}")), "");
        assert!(sizes(&report).contains(&size), "{clip}: {:?}", sizes(&report));
    }
}

#[test]
fn a_clip_path_that_cannot_be_read_is_told_and_hides_nothing() {
    let unread = [
        ("url(#none)", "", "there is no such clipPath"),
        ("circle(40%)", "", "only url(#…) is read"),
        ("url(#c)", "<clipPath id='c'><text x='100' y='300'>M</text></clipPath>", "the shapes of letters"),
        ("url(#c)", "<clipPath id='c'><path d='M0 0 L nonsense'/></clipPath>", "cannot be read"),
        (
            "url(#c)",
            "<clipPath id='c' clip-path='url(#c)'><rect width='9' height='9'/></clipPath>",
            "by itself",
        ),
    ];
    for (reference, clip, says) in unread {
        let (report, outcome) = found(
            &page(&format!("{clip}<rect clip-path='{reference}' x='100' y='100' width='90' height='80'/>")),
            "",
        );
        assert_eq!(sizes(&report), [(90.0, 80.0)]);
        outcome.says(says).says("line 1");
    }
}

#[test]
fn masks_are_not_applied_and_the_first_is_told() {
    let (report, outcome) = found(
        &page(
            "<mask id='m'><rect width='150' height='600' fill='#fff'/></mask><g mask='url(#m)'>\
             <rect x='100' y='100' width='300' height='300'/></g><rect mask='url(#m)' x='100' y='450' width='90' height='80'/>",
        ),
        "",
    );
    assert_eq!(sizes(&report), [(300.0, 300.0), (90.0, 80.0)]);
    outcome.says("g (line 1").says("has a mask: masks are not applied");
    assert_eq!(outcome.stderr().matches("has a mask").count(), 1);
    assert!(!found(&page("<rect mask='none' width='90' height='80'/>"), "").1.stderr().contains("mask"));
}

#[test]
fn nested_drawings_and_symbols_hide_what_reaches_beyond_their_frame() {
    let nested = |overflow: &str| {
        page(&format!(
            "<svg x='100' y='100' width='100' height='100' viewBox='0 0 50 50' {overflow}>\
             <rect x='10' y='10' width='80' height='30' fill='#ccc'/></svg>"
        ))
    };
    assert_eq!(sizes(&found(&nested(""), "").0), [(80.0, 60.0)]);
    assert_eq!(sizes(&found(&nested("overflow='visible'"), "").0), [(160.0, 60.0)]);
    let symbol = page(
        "<defs><symbol id='s' viewBox='0 0 10 10'><path d='M1 1h8v8h-8z M2 2h20v4h-20z' stroke-width='.1'/></symbol></defs>\
         <use href='#s' x='50' y='60' width='200' height='200'/>",
    );
    let (report, outcome) = found(&symbol, "");
    assert_eq!(sizes(&report), [(160.0, 160.0)]);
    outcome.says(CLIPPED);
}

#[test]
fn style_sheets_say_what_shows_and_how() {
    let (report, _) = found(
        &page(
            "<style>.size38 { stroke: #c00; stroke-dasharray: 4, 2 } .hidden { display: none } g > .pale { stroke: none }\
             #scaled { transform: scale(2) }</style>\
             <rect class='size38' x='10' y='10' width='100' height='200'/>\
             <rect class='hidden' x='10' y='10' width='150' height='250'/>\
             <rect class='pale' x='10' y='10' width='150' height='250'/>\
             <rect style='stroke-dasharray:none' class='size38' x='200' y='10' width='90' height='90'/>\
             <rect id='scaled' x='200' y='200' width='30' height='40'/>",
        ),
        "",
    );
    assert_eq!(sizes(&report), [(100.0, 200.0), (90.0, 90.0), (60.0, 80.0)]);
    let styles: Vec<&str> =
        report["styles"].as_array().unwrap().iter().map(|style| style["look"].as_str().unwrap()).collect();
    assert_eq!(styles, ["dashed 4.0 2.0, #cc0000", "solid, #cc0000", "solid, #000000"]);
}

#[test]
fn dashes_are_of_the_size_that_shows() {
    let (report, _) = found(
        &page(
            "<g transform='scale(2)' stroke-width='.5' stroke-dasharray='1 2 3'><rect x='10' y='10' width='50' height='60'/></g>\
             <rect stroke-dasharray='2 4 6' x='300' y='10' width='80' height='90'/>\
             <rect stroke-dasharray='2 4' x='300' y='200' width='80' height='90'/>",
        ),
        "",
    );
    let looks: Vec<&str> =
        report["styles"].as_array().unwrap().iter().map(|style| style["look"].as_str().unwrap()).collect();
    assert_eq!(looks, ["dashed 2.0 4.0 6.0 2.0 4.0 6.0, #000000", "dashed 2.0 4.0, #000000"]);
}

#[test]
fn markers_are_the_heads_of_arrows() {
    let marker = "<defs><marker id='m' orient='auto' markerWidth='8' markerHeight='8'><path d='M0 0L4 2L0 4z'/></marker></defs>";
    let square = "<rect x='100' y='100' width='200' height='300'/>";
    let lines = [
        ("<path d='M200 350V150' marker-end='url(#m)'/>", "start"),
        ("<path d='M200 350V150' marker-start='url(#m)'/>", "end"),
        ("<line x1='200' y1='350' x2='200' y2='150' style='marker:url(#m)'/>", "both"),
        ("<g marker-start='url(#m)' marker-end='url(#m)'><path d='M200 350V150'/></g>", "both"),
    ];
    for (line, arrows) in lines {
        let bench = Bench::new().with_file("d.svg", page(&format!("{marker}{square}{line}")));
        let report = bench.retrue("adopt d.svg --json --map-template m.toml").reports("adopt");
        assert_eq!(looks(&report), ["grainline"], "{line}");
        let map = bench.text_of("m.toml");
        assert!(map.contains("grainline = \"a\""), "{map}");
        bench.retrue("adopt d.svg --map m.toml -o o.svg").ends_by_itself();
        let wanted = format!("data-arrows=\"{arrows}\"");
        let sheet = bench.text_of("o.svg");
        assert!(sheet.contains(&wanted), "{line}: {wanted} in\n{sheet}");
    }
    let plain = page(&format!("{marker}{square}<path d='M200 350V150' marker-end='none'/>"));
    assert_eq!(looks(&found(&plain, "").0), ["straight line"]);
}

#[test]
fn letters_made_of_squares_are_neither_pieces_nor_notches_nor_heads() {
    let square = "<rect x='100' y='100' width='300' height='300'/>";
    let glyph = |name: &str, side: u32| {
        format!(
            "<defs><g id='{name}'><path d='M0 0h{side}v{side}h-{side}z'/></g></defs><use xlink:href='#{name}' x='150' y='150'/>\
             <use xlink:href='#{name}' x='250' y='150'/>"
        )
    };
    let labels = [
        format!("<g fill='#000' stroke='none'>{}</g>", glyph("glyph-0-1", 35)),
        format!("<g fill='#000' stroke='#000'>{}</g>", glyph("glyph-0-1", 35)),
        format!("<g fill='#000' stroke='none'>{}</g>", glyph("glyph0-1", 60)),
        format!("<g stroke='#000'>{}</g>", glyph("glyph1-7", 45)),
        "<path fill='#000' stroke='none' d='M150 150h35v35h-35z M190 150h35v35h-35z'/>".to_owned(),
        "<path fill='#000' stroke='none' d='M98 150h5v5h-5z M98 160h5v20c0 5 -5 5 -5 0z'/>".to_owned(),
    ];
    for label in labels {
        let (report, _) = found(&page(&format!("{square}{label}")), "");
        assert_eq!(sizes(&report), [(300.0, 300.0)], "{label}");
        assert!(looks(&report).is_empty(), "{label}: {:?}", looks(&report));
    }
    let beside = "<path d='M200 350V150'/><path fill='#000' stroke='none' d='M199 140h2v9h-2z'/>";
    assert_eq!(looks(&found(&page(&format!("{square}{beside}")), "").0), ["straight line"]);
}
