//! What the two parts of a cut piece are called, however the piece lies on the sheet and whichever way its grain runs.

use crate::counted::{counted, kept_in};

use crate::random::block::{Block, draft};
use crate::run::Bench;
use kurbo::{Point, Vec2};
use proptest::prelude::*;
use retrue::pattern::{Finish, Grainline, Pattern, Piece, Twins};
use retrue::recut::{PieceNames, Split, Step};

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/part_names.txt", 256)
}

/// Lines through the front from one edge to another, and square to the grain.
fn line() -> impl Strategy<Value = String> {
    let ends = prop_oneof![
        Just(("centre", "side")),
        Just(("shoulder", "hem")),
        Just(("neck", "hem")),
        Just(("centre", "hem")),
        Just(("armhole", "centre")),
    ];
    let straight = (ends, 15.0..85.0_f64, 15.0..85.0_f64)
        .prop_map(|((a, b), from, to)| format!("{a}@{from:.2}% > {b}@{to:.2}%"));
    let across = (-150.0..150.0_f64, 20.0..80.0_f64).prop_map(|(below, at)| {
        let word = if below < 0.0 { "above" } else { "below" };
        format!("across at {:.1}mm {word} centre@{at:.1}%", below.abs())
    });
    prop_oneof![2 => straight, 1 => across]
}

/// The front alone, its grain turned by quarters and a little more.
fn front(block: &Block, quarters: u8, tilt: f64) -> Pattern {
    let mut piece = block.piece("front", Vec2::new(200.0, 200.0));
    let old = piece.grain_or_down();
    let angle = f64::from(quarters) * std::f64::consts::FRAC_PI_2 + tilt;
    let way = kurbo::Affine::rotate(angle) * old.to_point();
    let middle = piece.bounds().center();
    let drawn = piece.grainline.clone().expect("a grainline");
    let reach = way.to_vec2() * 50.0;
    piece.grainline = Some(Grainline { start: middle - reach, end: middle + reach, ..drawn });
    Pattern::new(vec![piece], Vec::new()).expect("a pattern")
}

fn split(pattern: &Pattern, line: &str, names: Option<PieceNames>) -> Option<Pattern> {
    let piece = "front".parse().expect("a name");
    let step = Split { names, ..Split::of(piece, line.parse().ok()?) };
    Step::from(step).apply(pattern).ok().map(|recut| recut.pattern)
}

fn part<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    let all: Vec<String> = pattern.pieces().map(|piece| piece.name().to_string()).collect();
    pattern.find(&name.parse().expect("a name")).unwrap_or_else(|| panic!("no `{name}` among {all:?}"))
}

/// From one end of the new seam to the other, clockwise around its part.
fn chord(part: &Piece) -> Vec2 {
    let seam = part.edges().iter().find(|edge| edge.name.as_str() == "seam").expect("the new seam");
    seam.curve.end() - seam.curve.start()
}

/// What lies outside the part at its new seam: on the left of its way, clockwise as seen.
fn outward(part: &Piece) -> Vec2 {
    let chord = chord(part);
    Vec2::new(chord.y, -chord.x)
}

fn lengthwise(way: Vec2, grain: Vec2) -> bool {
    way.dot(grain).abs() >= way.cross(grain).abs()
}

fn centre_of(piece: &Piece) -> Option<(Point, Point, Finish)> {
    let centre = piece.edges().iter().find(|edge| edge.name.as_str().starts_with("centre"))?;
    Some((centre.curve.start(), centre.curve.end(), centre.finish))
}

/// Upper is what lies toward the start of the grainline from the cut, lower what lies toward its end. A part beside the
/// centre is one that reaches it. Names that are asked for go first to the part with the fold, else to the one that
/// reaches the centre edge, else to the upper.
#[test]
fn parts_are_named_by_the_grain() {
    let strategy = (draft(), 0..4_u8, -0.5..0.5_f64, line());
    counted(config(), strategy, |(draft, quarters, tilt, line)| {
        let before = front(&draft.front, quarters, tilt);
        let Some(after) = split(&before, &line, None) else { return Ok(false) };
        let whole = part(&before, "front");
        let grain = whole.grain_or_down();
        let any = after.pieces().next().expect("a part");
        let centre = centre_of(whole).expect("a centre");
        let runs = (lengthwise(chord(any), grain), lengthwise(centre.1 - centre.0, grain));
        let [first, second] = match runs {
            (false, _) => ["upper", "lower"],
            (true, true) => ["centre", "side"],
            (true, false) if whole.cut.twins == Twins::Mirrored => ["1", "2"],
            (true, false) => ["left", "right"],
        }
        .map(|word| part(&after, &format!("front-{word}")));
        if !runs.0 {
            prop_assert!(outward(first).dot(grain) > 0.0, "the upper lies below the cut");
            prop_assert!(outward(second).dot(grain) < 0.0, "the lower lies above the cut");
        }
        if runs == (true, true) {
            prop_assert!(centre_of(first).is_some(), "the part at the centre does not reach it");
        }
        let names: PieceNames = "a, b".parse().expect("names");
        let asked = split(&before, &line, Some(names)).expect("the same cut");
        let a = part(&asked, "a");
        let is_first = |one: &Piece| (one.net_area() - a.net_area()).abs() < 1e-6;
        match (centre_of(first), centre_of(second)) {
            (Some(_), None) => prop_assert!(is_first(first)),
            (None, Some(_)) => prop_assert!(is_first(second)),
            _ if !runs.0 => prop_assert!(is_first(first), "of two that reach the centre the upper is first"),
            _ => {}
        }
        Ok(true)
    });
}

/// A piece turned on the sheet, with all that is drawn on it, is cut in the same parts of the same names.
#[test]
fn names_do_not_depend_on_how_a_piece_lies_on_the_sheet() {
    let strategy = (draft(), 0..4_u8, -0.5..0.5_f64, line(), 0.0..360.0_f64);
    counted(config(), strategy, |(draft, quarters, tilt, line, turn)| {
        let before = front(&draft.front, quarters, tilt);
        let sheet = retrue::sheet::write(&before).expect("a sheet");
        let opens = "<g id=\"front\"";
        prop_assert!(sheet.contains(opens));
        let turned = sheet.replacen(opens, &format!("<g transform=\"rotate({turn:.3})\" id=\"front\""), 1);
        let turned = retrue::sheet::read(turned.as_bytes(), &Default::default());
        let turned = turned.expect("a sheet").pattern;
        let cut = [&before, &turned].map(|pattern| split(pattern, &line, None));
        let [Some(one), Some(other)] = cut else { return Ok(false) };
        for piece in one.pieces() {
            let turned = part(&other, piece.name().as_str());
            let off = (piece.net_area() - turned.net_area()).abs();
            prop_assert!(off < 1.0, "{}: {} mm² and {}", piece.name(), piece.net_area(), turned.net_area());
        }
        Ok(true)
    });
}

/// The facing's centre edge is cut with it, so that neither part is nearer to the centre; the hem is below.
#[test]
fn the_part_with_the_hem_of_a_facing_is_the_lower() {
    let bench = Bench::new().with_fixture("coat.svg");
    let cut = "split coat.svg --piece front-facing --line \"across at 200mm below neck@0%\"";
    bench.retrue(&format!("{cut} -o cut.svg")).is_true();
    let sheet = bench.text_of("cut.svg");
    assert!(
        sheet.contains("id=\"front-facing-lower.hem\"") && sheet.contains("id=\"front-facing-upper.neck\"")
    );
    bench.retrue(&format!("{cut} --names \"top, rest\" -o named.svg")).is_true();
    let sheet = bench.text_of("named.svg");
    assert!(sheet.contains("id=\"rest.hem\"") && sheet.contains("id=\"top.neck\""));
}

/// A belt lies along its grain with its fold across that: cut along it is in two halves alike, of which neither is at the
/// side; cut across it, the part with the fold is first in the order of names and is called by the grain.
#[test]
fn a_belt_is_not_cut_in_centre_and_side() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("split coat.svg --piece belt --line \"along at end@50%\" -o along.svg").is_true();
    let along = bench.text_of("along.svg");
    assert!(along.contains("id=\"belt-upper.upper\"") && along.contains("id=\"belt-lower.lower\""));
    bench.retrue("split coat.svg --piece belt --line \"upper@50% > lower@50%\" -o across.svg").is_true();
    let across = bench.text_of("across.svg");
    assert!(across.contains("id=\"belt-upper\"") && across.contains("id=\"belt-lower\""));
}

/// A sleeve has no middle: cut along it, the part with the seam toward the front of the body is the front one. A part
/// that lies in front already is numbered, and one with a number has letters: left and right would be read of the body.
#[test]
fn a_sleeve_is_cut_in_front_and_back() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("split coat.svg --piece sleeve --line fore-line -o cut.svg").is_true();
    let cut = bench.text_of("cut.svg");
    assert!(cut.contains("id=\"sleeve-front.underarm-front\""));
    assert!(cut.contains("id=\"sleeve-back.underarm-back\""));
    bench.retrue("split cut.svg --piece sleeve-back --line hind-line -o again.svg").is_true();
    let again = bench.text_of("again.svg");
    assert!(again.contains("id=\"sleeve-back-1\"") && again.contains("id=\"sleeve-back-2\""));
    bench.retrue("split again.svg --piece sleeve-back-1 --line \"along at cap@50%\" -o thrice.svg");
    let thrice = bench.text_of("thrice.svg");
    assert!(thrice.contains("id=\"sleeve-back-1a\"") && thrice.contains("id=\"sleeve-back-1b\""));
}

/// Panels are called by where they lie: toward the front of the body and behind, at the centre and at the side.
#[test]
fn panels_are_called_by_where_they_lie() {
    let bench = Bench::new().with_fixture("coat.svg");
    let parts = |piece: &str, width: &str| -> Vec<String> {
        bench
            .retrue(&format!("limit-width coat.svg --piece {piece} --width {width} -o out.svg --force"))
            .is_true();
        let written = retrue::sheet::read(bench.text_of("out.svg").as_bytes(), &Default::default());
        let names = written.expect("a sheet").pattern;
        let own = names.pieces().filter(|found| found.name().as_str().starts_with(&format!("{piece}-")));
        own.map(|found| found.name().to_string()).filter(|name| !name.contains("facing")).collect()
    };
    assert_eq!(parts("sleeve", "30cm"), ["sleeve-back", "sleeve-front"]);
    assert_eq!(parts("front", "25cm"), ["front-centre", "front-side"]);
    assert_eq!(parts("sleeve", "19cm").len(), 3);
    assert!(parts("sleeve", "19cm").contains(&"sleeve-middle".to_owned()));
}
