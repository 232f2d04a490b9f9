//! Faults in a map are told in the words of a map, on the line that is wrong.

use crate::drawn::page;
use crate::run::Bench;

/// Two pieces beside each other, of 200 by 300 and of 150 by 310 mm; a dart, legs apart, a triangle that touches nothing,
/// a level, a curve and a tick on the first.
const DRAWING: &str = "<rect x='100' y='100' width='200' height='300'/><rect x='400' y='100' width='150' height='310'/>\
    <path d='M150 100 L155 200 L160 100'/><path d='M180 120 L190 180'/><path d='M200 150 L215 150 L207 190 Z'/>\
    <path d='M100 250 H300'/><path d='M120 300 C150 280 250 320 280 300'/><path d='M300 330 h-5'/>";

const MAP: &str = "[[piece]]
outline = \"A\"
name = \"front\"
corners = \"side hem: mitre\"
ignore = [\"all\"]
[[piece.edge]]
at = 1
name = \"waist\"
[[piece.edge]]
at = 2
name = \"side\"
allowance = \"15mm\"
[[piece.edge]]
at = 3
name = \"hem\"
finish = \"hem\"
[[piece.edge]]
at = 4
name = \"centre\"
[[piece.dart]]
name = \"dart\"
drawn = \"DART\"
press = \"side\"
[[piece.level]]
name = \"hip\"
drawn = \"LEVEL\"
[[piece.notch]]
at = \"side@40%\"
[[piece]]
outline = \"B\"
name = \"back\"
[[piece.edge]]
at = 1
name = \"top\"
[[piece.edge]]
at = 2
name = \"centre-back\"
[[piece.edge]]
at = 3
name = \"foot\"
[[piece.edge]]
at = 4
name = \"side\"
[[seam]]
first = \"back.side\"
second = \"front.side\"
from = \"hem\"
ease = \"10mm\"
";

/// Words of sheets and of commands, which no map has.
const OTHER_WORDS: [&str; 9] =
    ["data-", "--names", "set-piece", "set-corner", "set-edge", "M mouth", "M on-", "an id", "element"];

/// The letters of the lines of the drawing, by their lengths.
fn letter(length: f64) -> String {
    let bench = Bench::new().with_file("d.svg", page(DRAWING));
    let report = bench.retrue("adopt d.svg --json").reports("adopt");
    let lines = report["lines"].as_array().unwrap();
    let is = |line: &&serde_json::Value| (line["length"].as_f64().unwrap() - length).abs() < 0.1;
    lines.iter().find(is).unwrap_or_else(|| panic!("{length}: {report:#}"))["letter"]
        .as_str()
        .unwrap()
        .to_owned()
}

fn map() -> String {
    MAP.replace("LEVEL", &letter(200.0)).replace("DART", &letter(200.25))
}

#[test]
fn the_map_without_faults_makes_a_pattern() {
    let bench = Bench::new().with_file("d.svg", page(DRAWING)).with_file("m.toml", map());
    let outcome = bench.retrue("adopt d.svg --map m.toml -o o.svg");
    assert!(bench.path("o.svg").exists(), "{}", outcome.stderr());
}

/// Each fault: what stands in the map, what in its place, and what is said of it.
#[test]
fn every_fault_is_told_in_the_words_of_a_map_on_its_line() {
    let (dart, leg, triangle) = (letter(200.25), letter(60.83), "C".to_owned());
    let (curve, tick) = (letter(162.7), letter(5.0));
    let dart_is = |letters: &str| (format!("drawn = \"{dart}\""), format!("drawn = \"{letters}\""));
    let said = |from: &str, to: &str| (from.to_owned(), to.to_owned());
    let cutting_line = |rest: &str| {
        said(
            "name = \"front\"\ncorners",
            &format!("name = \"front\"\ndrawn = \"cutting-line\"\n{rest}corners"),
        )
    };
    let faults: Vec<((String, String), &str, &str)> = vec![
        (said("from = \"hem\"", "from = \"nowhere\""), "from = \"nowhere\"", "neither end meets"),
        (said("from = \"hem\"", "from = \"0% 100%\""), "from = \"0%", "names 2 corners"),
        (
            said("from = \"hem\"", "from = \"front.hem@0%\""),
            "from = \"front.hem",
            "neither starts nor ends there",
        ),
        (said("from = \"hem\"", "from = \"a.b.c@3%\""), "from = \"a.b.c", "the end of a seam"),
        (said("from = \"hem\"\n", ""), "second = ", "say it in this seam: from = \""),
        (said("first = \"back.side\"", "first = \"front.side\""), "second = ", "sewn to itself"),
        (said("\"front.side\"", "\"front.side front.side\""), "second = ", "stands twice"),
        (said("\"back.side\"", "\"back.side back.side\""), "first = ", "stands twice"),
        (said("\"front.side\"", "\"front.side front.sied\""), "second = ", "did you mean `side`?"),
        (said("\"front.side\"", "\"frond.side\""), "second = ", "did you mean `front`?"),
        (said("\"front.side\"", "\"side\""), "second = ", "write it like front.side"),
        (said("\"front.side\"", "\"\""), "second = ", "no edge is named"),
        (said("\"back.side\"", "\"back.side back.centre-back\""), "", "neither the neighbouring seams"),
        (said("ease = \"10mm\"", "ease = \"10\""), "ease = ", "this is not a length"),
        (
            said(
                "[[seam]]",
                "[[seam]]\nfirst = \"front.side\"\nsecond = \"back.side\"\nfrom = \"foot\"\n[[seam]]",
            ),
            "first = \"back.side\"",
            "stands in the map already",
        ),
        (
            said("name = \"back\"", "name = \"front\""),
            "name = \"front\"\n[[piece.edge]]",
            "another piece is named",
        ),
        (said("name = \"back\"", "name = \"the back\""), "name = \"the back\"", "there is a space in it"),
        (said("side hem: mitre", "side centre: mitre"), "corners", "do not meet"),
        (said("side hem: mitre", "side him: mitre"), "corners", "did you mean `hem`?"),
        (said("side hem: mitre", "side hem: round"), "corners", "not the shape of a corner"),
        (said("side hem: mitre", "side waist: turned-up"), "corners", "cannot be turned up"),
        (said("press = \"side\"", "press = \"hem\""), "press", "does not meet `hem`"),
        (said("press = \"side\"", "press = \"hme\""), "press", "did you mean `hem`?"),
        (dart_is(&leg), "drawn", "name their letters, as in drawn = \"a b\""),
        (dart_is(&triangle), "drawn", "name their letters"),
        (dart_is(&curve), "drawn", "name their letters"),
        (dart_is(""), "drawn", "no line is named"),
        (dart_is("zz"), "drawn", "there is no line `zz`"),
        (said("LEVEL", ""), "drawn", "no line is named"),
        (said("LEVEL", &curve), "drawn", "the line is not straight"),
        (said("side@40%", "side@400mm"), "at = \"side@400mm\"", "300"),
        (said("side@40%", "sied@40%"), "at = \"sied@40%\"", "did you mean `side`?"),
        (said("at = \"side@40%\"", &format!("drawn = \"{leg}\"")), "drawn", "does not touch the outline"),
        (
            said("at = \"side@40%\"", &format!("drawn = \"{tick} {dart}\"")),
            "drawn",
            "stand on different edges",
        ),
        (said("allowance = \"15mm\"", "allowance = \"-15mm\""), "allowance", "zero or more"),
        (cutting_line("allowance = \"180mm\"\n"), "", "cannot be taken off"),
        (said("name = \"centre\"", "name = \"side\""), "name = \"side\"", "two edges are named `side`"),
        (said("[[piece]]", "ignore = [\"Z\"]\n[[piece]]"), "ignore", "there is no outline `Z`"),
        (said("[[piece]]", "ignore = [\"A\"]\n[[piece]]"), "ignore", "is a piece of this map"),
        (said("ignore = [\"all\"]", "ignore = [\"zz\"]"), "ignore", "there is no line `zz`"),
        (
            said("name = \"side\"\nallowance", "name = \"side\"\nsewn-to = \"nothing\"\nallowance"),
            "sewn-to",
            "is sewn to nothing, but a seam of this map names it",
        ),
        (
            said("name = \"side\"\nallowance", "name = \"side\"\nfinish = \"fold\"\nallowance"),
            "name = \"side\"",
            "a fold is not sewn",
        ),
    ];
    assert!(faults.len() >= 30);
    for ((from, to), line, says) in faults {
        let level = letter(200.0);
        let base = map();
        let from = from.replace("LEVEL", &format!("drawn = \"{level}\"\n[[piece.notch]]"));
        let to = match from.ends_with("[[piece.notch]]") {
            true => format!("drawn = \"{to}\"\n[[piece.notch]]"),
            false => to,
        };
        assert!(base.contains(&from), "{from}");
        let broken = base.replacen(&from, &to, 1);
        let bench = Bench::new().with_file("d.svg", page(DRAWING)).with_file("m.toml", &broken);
        let outcome = bench.retrue("adopt d.svg --map m.toml -o o.svg");
        let told = outcome.stderr().to_owned();
        outcome.is_refused();
        assert!(told.contains(says), "{to}: {told}");
        let shown = told.split(" | ").next().unwrap_or_default();
        assert!(!OTHER_WORDS.iter().any(|word| told.contains(word)), "{to}: {told}");
        assert!(shown.contains("m.toml:"), "{to}: {told}");
        let at: usize = told.split_once("m.toml:").unwrap().1.split(':').next().unwrap().parse().unwrap();
        let wrong = broken.lines().nth(at - 1).unwrap_or_default();
        let wanted = line.lines().next().unwrap_or_default();
        assert!(wrong.starts_with(wanted), "{to}: line {at}, `{wrong}`: {told}");
        assert!(!bench.path("o.svg").exists());
    }
}

/// A side of 310 mm to a waist of 200 mm: the lengths come first, whether the ends are known or not.
#[test]
fn a_seam_of_unequal_sides_is_answered_with_their_lengths_first() {
    let adopt = |from: &str, to: &str| {
        let broken = map().replace(from, to).replace("ease = \"10mm\"\n", "");
        let bench = Bench::new().with_file("d.svg", page(DRAWING)).with_file("m.toml", broken);
        bench.retrue("adopt d.svg --map m.toml -o o.svg")
    };
    let undecided = adopt("second = \"front.side\"\nfrom = \"hem\"", "second = \"front.waist\"");
    undecided.is_refused().says("error: 310.0 mm against 190.0 mm: neither the neighbouring seams");
    let told = adopt("second = \"front.side\"\nfrom = \"hem\"", "second = \"front.waist\"\nfrom = \"side\"");
    told.is_untrue().says("not true: back.side + front.waist: its sides differ, 310.0 mm against 190.0 mm");
}
