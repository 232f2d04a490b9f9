//! Drawings that nobody drew as patterns, and patterns that were broken: always an answer, never a panic or a hang.

use std::panic::AssertUnwindSafe;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use retrue::sheet;
use retrue::sheet::adopt::{Asked, Map, find, make, picture, template};
use retrue::units::Unit;

use crate::run::{Bench, fixture};

/// How long an answer may take: two seconds of the program as it is shipped. Without optimisation, and with other tests
/// beside it, it has three times as long.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 6 } else { 2 });

/// Mutations tried; more where `RETRUE_MUTATIONS` says so.
fn mutations() -> u64 {
    std::env::var("RETRUE_MUTATIONS").ok().and_then(|text| text.parse().ok()).unwrap_or(500)
}

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
    let start = Instant::now();
    let done = std::panic::catch_unwind(AssertUnwindSafe(|| work(bytes)));
    if done.is_err() || start.elapsed() > LONGEST {
        let kept = std::env::temp_dir().join("retrue-hostile.svg");
        std::fs::write(&kept, bytes).expect("written");
        panic!("{what} took {:?}, panicked: {}; kept as {}", start.elapsed(), done.is_err(), kept.display());
    }
}

/// A generator of numbers that is the same on every machine (xorshift, Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below.max(1) as u64)).expect("small")
    }
}

/// Flips bytes, drops tags, changes numbers, doubles stretches.
fn mutated(text: &str, chance: &mut Chance) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=chance.next(4) {
        let at = chance.next(bytes.len());
        match chance.next(6) {
            0 => bytes[at] ^= 1 << chance.next(8),
            1 => {
                let end =
                    bytes[at..].iter().position(|byte| *byte == b'>').map_or(bytes.len(), |off| at + off + 1);
                bytes.drain(at..end);
            }
            2 | 3 => {
                const NUMBERS: [&str; 10] =
                    ["0", "-1", "1e9", "1e-9", "99999", "NaN", "0.0001", "1e400", "-3.5", "50"];
                let is_digit = |byte: &u8| byte.is_ascii_digit() || *byte == b'.';
                let from = bytes[at..].iter().position(is_digit).map_or(at, |off| at + off);
                let to = bytes[from..]
                    .iter()
                    .position(|byte| !is_digit(byte))
                    .map_or(bytes.len(), |off| from + off);
                let number = NUMBERS[chance.next(NUMBERS.len())].bytes();
                bytes.splice(from..to, number);
            }
            4 => {
                let end = (at + chance.next(300)).min(bytes.len());
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            _ => bytes.truncate(at.max(40)),
        }
        if bytes.is_empty() {
            bytes.push(b'<');
        }
    }
    bytes
}

#[test]
fn broken_patterns_are_answered() {
    let mut texts: Vec<String> =
        ["coat.svg", "dress.svg", "skirt-shaped-back.svg", "awkward.svg"].map(fixture).into();
    texts.push(fixture("adopt/skirt-shaped-back-cutting-lines.svg"));
    let mut chance = Chance(0x9E37_79B9_7F4A_7C15);
    for count in 0..mutations() {
        let text = &texts[chance.next(texts.len())];
        let bytes = mutated(text, &mut chance);
        survives(&format!("mutation {count}"), &bytes);
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
            let start = Instant::now();
            let outcome = bench.retrue(line);
            assert!(
                !outcome.stderr().contains("fault of the program"),
                "{what}, {line}: {}",
                outcome.stderr()
            );
            assert!(start.elapsed() < LONGEST, "{what}, {line}: {:?}", start.elapsed());
            assert!(!outcome.stdout().is_empty() || !outcome.stderr().is_empty(), "{what}, {line}");
            outcome.ends_by_itself();
        }
    }
}

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
    fn any_map_is_answered(text in "(\\[\\[(piece|piece\\.edge|piece\\.dart|seam)\\]\\]\n)?((at|name|outline|size|drawn|cut-in|first) = (\"[A-Za-z0-9@%, ()-]{0,12}\"|[0-9]{1,3})\n){0,5}") {
        if let Ok(map) = Map::read(&text) {
            let _ = map.asked();
            let found = find(svg("<rect width='90' height='90'/>").as_bytes(), &Asked::default()).expect("found");
            let _ = make(&found, &map);
        }
    }
}
