//! Drawings that nobody drew as patterns, and patterns that were broken: always an answer, never a panic or a hang.

use std::panic::AssertUnwindSafe;

use proptest::prelude::*;
use retrue::adopt::{Asked, Map, find, make, picture, template};
use retrue::sheet;
use retrue::units::Unit;

use crate::broken::MOST_SECONDS;
use crate::run::Bench;

/// All that is done with a drawing, here and without a process of its own: found, drawn, mapped, made, and read as a
/// sheet.
fn work(bytes: &[u8]) {
    let asked = Asked::default();
    if let Ok(found) = find(bytes, &asked) {
        let _ = picture(&found, Unit::Millimetre);
        let text = template(&found, &asked);
        let map = Map::read(&text).unwrap_or_else(|error| panic!("the template is no map: {error}\n{text}"));
        if let Ok(adopted) = make(&found, &map) {
            let _ = sheet::write(&adopted.pattern);
        }
    }
    let _ = sheet::read(bytes, &Default::default());
}

fn survives(what: &str, bytes: &[u8]) {
    let done = std::panic::catch_unwind(AssertUnwindSafe(|| work(bytes)));
    if done.is_err() {
        let kept = std::env::temp_dir().join("retrue-hostile.svg");
        std::fs::write(&kept, bytes).expect("written");
        panic!("{what} panicked; kept as {}", kept.display());
    }
}

fn svg(body: &str) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='900mm' height='900mm' viewBox='0 0 900 900'><g fill='none' stroke='#000'>{body}</g></svg>"
    )
}

/// Drawings that are hard on one part each.
fn hostile() -> Vec<(&'static str, String)> {
    let repeat = |count: usize, part: &dyn Fn(usize) -> String| (0..count).map(part).collect::<String>();
    let star = |points: usize| {
        let corner = |k: usize| {
            let angle = 2.0 * std::f64::consts::PI * (k * (points / 2 - 1)) as f64 / points as f64;
            format!("{},{} ", 450.0 + 400.0 * angle.cos(), 450.0 + 400.0 * angle.sin())
        };
        repeat(points, &corner)
    };
    vec![
        ("nothing", svg("")),
        ("a star that crosses itself", svg(&format!("<polygon points='{}'/>", star(301)))),
        ("hatching", svg(&repeat(20_000, &|k| format!("<path d='M{} 0 v800'/>", k as f64 * 0.04)))),
        (
            "all ends in one place",
            svg(&repeat(20_000, &|k| format!("<path d='M450 450 l{} {}'/>", 1 + k % 97, 1 + k % 89))),
        ),
        (
            "a polyline of 200,000 corners",
            svg(&format!(
                "<polyline points='{}'/>",
                repeat(200_000, &|k| format!(
                    "{},{} ",
                    450.0 + 300.0 * (k as f64 * 0.001).cos(),
                    450.0 + 300.0 * (k as f64 * 0.0017).sin()
                ))
            )),
        ),
        (
            "a ring of 100,000 short lines",
            svg(&format!(
                "<polygon points='{}'/>",
                repeat(100_000, &|k| {
                    let angle = 2.0 * std::f64::consts::PI * k as f64 / 100_000.0;
                    format!("{:.4},{:.4} ", 450.0 + 400.0 * angle.cos(), 450.0 + 400.0 * angle.sin())
                })
            )),
        ),
        (
            "a saw",
            svg(&format!(
                "<polygon points='0,900 {} 900,900'/>",
                repeat(8_000, &|k| format!("{},{} ", k as f64 * 0.1, (k % 2) * 300))
            )),
        ),
        (
            "nested squares",
            svg(&repeat(3_000, &|k| {
                let off = k as f64 * 0.1;
                format!("<rect x='{off}' y='{off}' width='{w}' height='{w}'/>", w = 900.0 - 2.0 * off)
            })),
        ),
        (
            "the same square 5,000 times",
            svg(&repeat(5_000, &|_| "<rect x='9' y='9' width='90' height='90'/>".to_owned())),
        ),
        (
            "3,000 broken rings in pieces",
            svg(&repeat(12_000, &|k| {
                let (x, y) = ((k / 4 % 60) as f64 * 15.0, (k / 240) as f64 * 15.0);
                let sides = ["h10", "m10 0 v10", "m10 10 h-10", "m0 10 v-10"];
                format!("<path d='M{x} {y} {}'/>", sides[k % 4])
            })),
        ),
        (
            "open lines of two kinds that meet everywhere",
            svg(&repeat(2_400, &|k| {
                let dashes = if k % 2 == 0 { "stroke-dasharray='3 3'" } else { "" };
                format!("<path {dashes} d='M{} {} l40 0'/>", (k % 22) * 40, (k / 22) * 8)
            })),
        ),
        (
            "300 kinds of line",
            svg(&repeat(300, &|k| {
                format!("<path stroke='#{k:06x}' stroke-dasharray='{k} 3' d='M0 {k} h800'/>")
            })),
        ),
        (
            "a curve that is a point",
            svg("<path d='M5 5 C5 5 5 5 5 5 Z'/><path d='M5 5 z'/><rect width='0' height='9'/>"),
        ),
        (
            "tiny and huge",
            svg("<path d='M1e-7 1e-7 h1e-6 v1e-6 z'/><path d='M-90000 -90000 H90000 V90000 H-90000 Z'/>"),
        ),
        (
            "texts",
            svg(&repeat(5_000, &|k| {
                format!("<text x='{k}' y='{k}'>{k} mm \u{202e} <tspan x='&#x31;'>100 mm</tspan></text>")
            })),
        ),
        (
            "empty names",
            svg("<g id=''><g id=' ' data-name='\"\\'><rect id='&quot;' width='90' height='90'/></g></g>"),
        ),
        ("a figure of eight", svg("<path d='M100 100 L400 400 V100 L100 400 Z'/>")),
        (
            "a fan of darts",
            svg(&format!(
                "<rect width='800' height='800'/>{}",
                repeat(1_000, &|k| format!("<path d='M{} 0 l1 100 l1 -100'/>", k as f64 * 0.7))
            )),
        ),
    ]
}

#[test]
fn hostile_drawings_are_answered() {
    for (what, drawing) in hostile() {
        survives(what, drawing.as_bytes());
    }
}

#[test]
fn every_command_ends_with_a_sentence() {
    let map = "[[piece]]\noutline = \"A\"\nname = \"p\"\n[[piece.edge]]\nat = 1\nname = \"e\"\n";
    for (what, drawing) in hostile() {
        let bench = Bench::new().with_file("d.svg", drawing).with_file("m.toml", map);
        for line in [
            "adopt d.svg",
            "adopt d.svg --correct-scale",
            "adopt d.svg --size \"style 1\"",
            "adopt d.svg --map m.toml",
            "show d.svg",
            "check d.svg",
        ] {
            let outcome = bench.shell(&format!("ulimit -t {MOST_SECONDS}; retrue {line}"));
            assert!(!outcome.stderr().contains("the program failed"), "{what}, {line}: {}", outcome.stderr());
            assert!(!outcome.stdout().is_empty() || !outcome.stderr().is_empty(), "{what}, {line}");
            outcome.ends_by_itself();
        }
    }
}

/// What drawings are made of, whole and in halves.
const WORDS: &[&str] = &[
    "<g>",
    "</g>",
    "<g id='a' transform='rotate(30)",
    "'>",
    "/>",
    "<svg x='5' width='50%' height='9' viewBox='0 0 9 9'>",
    "</svg>",
    "<use href='#a' x='4'/>",
    "<use href='#s' width='40' height='1e9'/>",
    "<symbol id='s' viewBox='0 0 1 0'>",
    "</symbol>",
    "<defs>",
    "</defs>",
    "<clipPath id='c'>",
    "<clipPath id='c' clip-path='url(#c)'>",
    "</clipPath>",
    "<g clip-path='url(#c)'>",
    "<rect width='80' height='70' clip-path='url(#c)'/>",
    "<rect x='-9' y='1e5' width='1e3'",
    " height='40'",
    "<path d='M0 0 H80 V60 H0 Z'/>",
    "<path d='M5 5 C90 0 0 90 60 60",
    " Z'",
    "<circle r='40'/>",
    "<ellipse rx='50' ry='0'/>",
    "<line x2='200' marker-end='url(#m)'/>",
    "<polyline points='0 0 40 0 40 40 0 40 0 .4'/>",
    "<polygon points='0 0 NaN 9'/>",
    "<text x='3' y='9'>100 mm</text>",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<style>rect{fill:red;clip-path:url(#c)}",
    "</style>",
    "<!DOCTYPE svg [<!ENTITY e '&#38;e;'>]>",
    "&e;",
    "&#0;",
    "&amp;",
    "<?xml version='1.0'?>",
    " stroke-dasharray='3 -1'",
    " style='display:none'",
    "\u{0}",
    "\u{feff}",
    "é",
    "\n",
    " ",
    "<g data-kind='piece' id='p'>",
    "<path data-kind='edge' id='p.e' d='M0 0 H50'/>",
    "<path data-kind='dart'",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        work(&bytes);
    }

    #[test]
    fn any_paths_are_answered(parts in prop::collection::vec("[MLHVCQAZmlhvcqaz] ?(-?[0-9]{1,3}(\\.[0-9])?[ ,]){0,7}", 1..12)) {
        let drawing = svg(&format!("<path d='M100 100 {}'/><path d='M0 0 H300 V300 H0 Z'/>", parts.concat()));
        work(drawing.as_bytes());
    }

    #[test]
    fn any_words_of_a_drawing_are_answered(words in prop::collection::vec(prop::sample::select(WORDS), 0..40)) {
        let soup: String = words.concat();
        work(soup.as_bytes());
        work(svg(&soup).as_bytes());
        work(format!("<svg xmlns='http://www.w3.org/2000/svg' width='90mm' viewBox='0 0 90 90'>{soup}").as_bytes());
    }

    #[test]
    fn any_map_is_answered(text in "(\\[\\[(piece|piece\\.edge|piece\\.dart|seam)\\]\\]\n)?((at|name|outline|size|drawn|cut-in|first) = (\"[A-Za-z0-9@%, ()-]{0,12}\"|[0-9]{1,3})\n){0,5}") {
        if let Ok(map) = Map::read(&text) {
            let _ = map.asked();
            let found = find(svg("<rect width='90' height='90'/>").as_bytes(), &Asked::default()).expect("found");
            let _ = make(&found, &map);
        }
    }
}
