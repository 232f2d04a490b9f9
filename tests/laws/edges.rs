//! The laws of dividing, joining, opening, lapping and extending edges, over random pieces and places.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::curve::{Curve, Point};
use retrue::pattern::{EdgeRef, Finish, Opening, Pattern, Piece, RefusalKind, Seam, Walk, measure};
use retrue::recut::{
    DivideEdge, EdgeNames, ExtendEdge, ExtensionEnds, JoinEdges, LapWish, OpenSeam, SetEdge, SetPattern, Step,
};
use retrue::resew::{ResewLimits, resew};
use retrue::sheet;
use retrue::truing::{FindingKind, Limits, check, girths};
use retrue::units::{Length, Unit};

use crate::counted::{counted, kept_in};
use crate::random::block::{Draft, area, draft, folded_draft};

/// Lengths that are the same but for rounding, mm.
const SAME: f64 = 1e-6;

/// What dividing and joining may leave, mm.
const BACK_AGAIN: f64 = 0.01;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_edges.txt", 256)
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn curve<'a>(pattern: &'a Pattern, edge: &str) -> &'a Curve {
    let (piece, id) = pattern.edge(&edge.parse().unwrap()).unwrap();
    &piece.edge(id).curve
}

/// The lengths of both sides of a seam, and its ease, mm.
fn walked(pattern: &Pattern, seam: &Seam) -> (f64, f64, f64) {
    let length = |run| Walk::of(pattern, run).unwrap().length();
    (length(&seam.first), length(&seam.second), seam.ease.mm())
}

/// What a pattern measures: girths, the area of all copies, and what each seam lacks.
fn measured(pattern: &Pattern) -> Vec<f64> {
    girths(pattern).iter().map(|girth| girth.around.mm()).chain([area(pattern)]).collect()
}

fn assert_measures_alike(before: &Pattern, after: &Pattern, within: f64) {
    for (was, is) in measured(before).iter().zip(measured(after)) {
        assert_abs_diff_eq!(*was, is, epsilon = within * was.abs().max(1.0));
    }
}

/// What the seams of a pattern lack, all together, mm.
fn lacking(pattern: &Pattern) -> f64 {
    let lacks = pattern.seams().iter().map(|seam| {
        let (first, second, ease) = walked(pattern, seam);
        (first - second - ease).abs()
    });
    lacks.sum()
}

/// The untrue things of a pattern, by their kind, without those of a kind.
fn untrue(pattern: &Pattern) -> Vec<FindingKind> {
    check(pattern, &Limits::default()).into_iter().map(|finding| finding.kind).collect()
}

fn no_new_findings(before: &Pattern, after: &Pattern) {
    let old = untrue(before);
    let new: Vec<_> = check(after, &Limits::default())
        .into_iter()
        .filter(|finding| !old.contains(&finding.kind))
        .map(|finding| finding.sentence(Unit::Millimetre))
        .collect();
    assert!(new.is_empty(), "{new:#?}");
}

/// The step done, its result sound, written and read again, and proved against the pattern before it.
fn done(pattern: &Pattern, step: impl Into<Step>) -> Result<Pattern, retrue::pattern::Refusal> {
    let after = step.into().apply(pattern)?.pattern;
    after.assert_sound();
    let written = sheet::write(&after).unwrap();
    let read = sheet::read(written.as_bytes(), &Default::default()).unwrap().pattern;
    let limits = ResewLimits::default();
    let told: Vec<String> = resew(pattern, &read)
        .unwrap()
        .findings(&limits)
        .iter()
        .map(|finding| finding.sentence(Unit::Millimetre))
        .collect();
    assert!(told.is_empty(), "{told:#?}");
    Ok(after)
}

/// The draft as a sheet of it is read.
fn drawn(draft: &Draft) -> Pattern {
    let text = sheet::write(&draft.pattern()).unwrap();
    sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern
}

fn divide(edge: &str, share: f64) -> DivideEdge {
    let name = edge.split_once('.').unwrap().1;
    let at = format!("{name}@{share:.3}%").parse().unwrap();
    DivideEdge::of(edge.parse().unwrap(), at)
}

fn open(seam: &str, from: f64, length: f64, purpose: Opening) -> OpenSeam {
    let name = seam.split_once('.').unwrap().1;
    OpenSeam {
        to: Some(format!("{name}@{:.3}mm", from + length).parse().unwrap()),
        purpose: Some(purpose),
        ..OpenSeam::of(seam.parse().unwrap(), format!("{name}@{from:.3}mm").parse().unwrap())
    }
}

fn extend(edge: &str, by: f64, ends: ExtensionEnds) -> ExtendEdge {
    ExtendEdge { by: Some(Length::from_mm(by)), ends: Some(ends), ..ExtendEdge::of(edge.parse().unwrap()) }
}

/// How far the outlines of two pieces lie apart, mm.
fn outlines_apart(a: &Piece, b: &Piece) -> f64 {
    let off = |a: &Piece, b: &Piece| {
        let places = a.outline().curves().iter().flat_map(|curve| {
            (0..=40)
                .map(move |i| curve.point_at(curve.length() * f64::from(i) / 40.0))
                .collect::<Vec<Point>>()
        });
        places.map(|at| b.nearest_on_outline(at).distance).fold(0.0, f64::max)
    };
    off(a, b).max(off(b, a))
}

/// Dividing keeps the outline, every length and girth, and what is sewn; joining gives the first piece back.
#[test]
fn an_edge_that_is_divided_and_joined_is_what_it_was() {
    let edge = prop_oneof!["neck", "shoulder", "armhole", "side", "hem"];
    counted(config(), (draft(), edge, 8.0..92.0_f64), |(draft, edge, share)| {
        let before = Step::from(SetPattern { title: Some("x".parse().unwrap()), ..SetPattern::of() })
            .apply(&drawn(&draft))
            .unwrap()
            .pattern;
        let edge = format!("front.{edge}");
        let divided = match done(&before, divide(&edge, share)) {
            Ok(divided) => divided,
            Err(refusal) => {
                prop_assert_eq!(refusal.kind, RefusalKind::DartInTheWay, "{}", refusal);
                return Ok(false);
            }
        };
        let (old, new) = (piece(&before, "front"), piece(&divided, "front"));
        prop_assert_eq!(new.edges().len(), old.edges().len() + 1);
        assert_abs_diff_eq!(outlines_apart(old, new), 0.0, epsilon = 1e-5);
        let parts = curve(&divided, &edge).length() + curve(&divided, &format!("{edge}-2")).length();
        assert_abs_diff_eq!(parts, curve(&before, &edge).length(), epsilon = SAME);
        assert_measures_alike(&before, &divided, 1e-9);
        assert_abs_diff_eq!(lacking(&before), lacking(&divided), epsilon = 1e-5);
        prop_assert_eq!(before.seams().len(), divided.seams().len());
        prop_assert_eq!(old.notches.len(), new.notches.len());
        prop_assert_eq!(old.darts.len(), new.darts.len());
        no_new_findings(&before, &divided);
        let edges = format!("{edge}, {edge}-2").parse().unwrap();
        let joined = done(&divided, JoinEdges::of(edges));
        let joined = match joined {
            Ok(joined) => joined,
            Err(refusal) => {
                let what = refusal.to_string();
                prop_assert!(what.contains("turns by"), "{}", what);
                return Ok(false);
            }
        };
        prop_assert_eq!(before.seams(), joined.seams());
        let (old, new) = (piece(&before, "front"), piece(&joined, "front"));
        prop_assert_eq!(old.edges().len(), new.edges().len());
        for (a, b) in old.edges().iter().zip(new.edges()) {
            prop_assert_eq!((&a.name, a.finish, a.allowance), (&b.name, b.finish, b.allowance));
            prop_assert_eq!(a.origins.len(), b.origins.len());
            let off = (0..=20).map(|i| {
                let share = f64::from(i) / 20.0;
                a.curve
                    .point_at(a.curve.length() * share)
                    .distance(b.curve.point_at(b.curve.length() * share))
            });
            prop_assert!(off.fold(0.0, f64::max) <= BACK_AGAIN);
        }
        for notch in &old.notches {
            let back = new.notches.iter().find(|other| other.name == notch.name).unwrap();
            prop_assert_eq!(&back.edge, &notch.edge);
            assert_abs_diff_eq!(back.at, notch.at, epsilon = 1e-5);
        }
        Ok(true)
    });
}

/// Named apart, both edges are sewn as one run, and a second division leaves the first.
#[test]
fn what_was_sewn_to_a_divided_edge_is_sewn_to_both() {
    counted(config(), (draft(), 20.0..45.0_f64, 55.0..80.0_f64), |(draft, low, high)| {
        let before = drawn(&draft);
        let names = EdgeNames { first: "upper".parse().unwrap(), second: "lower".parse().unwrap() };
        let first = done(&before, DivideEdge { names: Some(names), ..divide("front.side", low) }).unwrap();
        let second = done(&first, divide("back.side", high)).unwrap();
        let seam = second.seam_named(&"front.upper".parse().unwrap(), None).unwrap();
        let seam = second.seam(seam);
        for edge in ["front.upper", "front.lower", "back.side", "back.side-2"] {
            prop_assert!(seam.side_of(&edge.parse().unwrap()).is_some(), "{}", edge);
        }
        assert_abs_diff_eq!(lacking(&before), lacking(&second), epsilon = 1e-5);
        no_new_findings(&before, &second);
        Ok(true)
    });
}

/// An opening keeps lengths, girths and what the seam lacks; its sides are as long as each other, with a notch at either end
/// of both; what faces it is as wide as it needs.
#[test]
fn an_opening_is_even_and_changes_no_size() {
    let purpose = prop_oneof![Just(Opening::Buttonhole), Just(Opening::Pocket), Just(Opening::Vent)];
    let cases = (draft(), 20.0..150.0_f64, 15.0..150.0_f64, purpose);
    counted(config(), cases, |(draft, from, length, purpose)| {
        let before = drawn(&draft);
        let after = match done(&before, open("front.side", from, length, purpose)) {
            Ok(after) => after,
            Err(refusal) => {
                prop_assert!(refusal.kind == RefusalKind::PlaceOutside, "{}", refusal);
                return Ok(false);
            }
        };
        assert_measures_alike(&before, &after, 1e-9);
        assert_abs_diff_eq!(lacking(&before), lacking(&after), epsilon = 1e-5);
        for name in ["front", "back"] {
            let (old, new) = (piece(&before, name), piece(&after, name));
            assert_abs_diff_eq!(outlines_apart(old, new), 0.0, epsilon = 1e-5);
            let opened: Vec<_> = new.edges().iter().filter(|edge| edge.open == Some(purpose)).collect();
            prop_assert_eq!(opened.len(), 1);
            assert_abs_diff_eq!(opened[0].curve.length(), length, epsilon = 2e-3);
            let least = match purpose {
                Opening::Buttonhole => 10.0,
                Opening::Pocket => 15.0,
                Opening::Vent => 32.0,
            };
            prop_assert!(opened[0].allowance.mm() >= least);
            let ends = new.notches.iter().filter(|notch| notch.edge == opened[0].name);
            let ends =
                ends.filter(|notch| notch.at <= SAME || (notch.at - opened[0].curve.length()).abs() <= SAME);
            prop_assert_eq!(ends.count(), 2);
        }
        prop_assert_eq!(after.seams().len(), before.seams().len() + 2);
        Ok(true)
    });
}

/// What is opened is refused when its seam is moved or merged, by name.
#[test]
fn an_opened_seam_is_not_moved_nor_merged() {
    let before = draft_once();
    let after = done(&before, open("front.side", 60.0, 50.0, Opening::Pocket)).unwrap();
    for edge in ["front.side", "front.side-2", "front.side-pocket"] {
        for step in [
            serde_json::json!({"do": "move-seam", "seam": edge, "from": "back", "by": "10mm"}),
            serde_json::json!({"do": "merge-at-seamline", "seam": edge, "shaping": "dart"}),
        ] {
            let refusal = Step::from_value(&step).unwrap().apply(&after).unwrap_err();
            assert!(refusal.what.contains("left open"), "{step}: {refusal}");
            assert!(refusal.at.contains("side-pocket"), "{step}: {refusal}");
        }
    }
}

fn draft_once() -> Pattern {
    let bytes =
        std::fs::read(format!("{}/fixtures/skirt-shaped-back.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    sheet::read(&bytes, &Default::default()).unwrap().pattern
}

/// A lap moves nothing; beneath it the partner's allowance must be the lap and 3 mm, and butted edges have none.
#[test]
fn a_lap_moves_nothing_and_asks_for_its_allowance() {
    counted(config(), (draft(), 0.0..30.0_f64, any::<bool>()), |(draft, lap, butted)| {
        let before = drawn(&draft);
        let lap = if butted { 0.0 } else { lap.max(1.0) };
        let step = SetEdge {
            lap: Some(LapWish::By(Length::from_mm(lap))),
            ..SetEdge::of("back.side".parse().unwrap())
        };
        let beneath = draft.front.allowance;
        let after = match done(&before, step) {
            Ok(after) => after,
            Err(refusal) => {
                prop_assert!(lap + 3.0 > beneath && refusal.kind == RefusalKind::BadWidth, "{}", refusal);
                prop_assert!(refusal.at == "front.side", "{}", refusal);
                return Ok(true);
            }
        };
        prop_assert!(lap == 0.0 || lap + 3.0 <= beneath + SAME);
        assert_measures_alike(&before, &after, 1e-12);
        prop_assert_eq!(piece(&before, "back").outline(), piece(&after, "back").outline());
        let laps = [FindingKind::LapUnheld, FindingKind::ButtedApart];
        prop_assert!(!untrue(&after).iter().any(|kind| laps.contains(kind)));
        for edge in ["front.side", "back.side"] {
            let edge = after.find_edge(&edge.parse().unwrap()).unwrap();
            prop_assert!(lap > 0.0 || edge.cut_allowance() == Length::ZERO);
        }
        Ok(true)
    });
}

/// Cloth beyond an edge: its line stands off the old one by as much everywhere, the levels and girths stay, all other edges
/// keep their length, and the area added is declared.
#[test]
fn an_extension_is_evenly_deep_and_changes_no_girth() {
    let edge = prop_oneof!["neck", "hem", "centre"];
    let ends = prop_oneof![Just(ExtensionEnds::Along), Just(ExtensionEnds::Square)];
    counted(config(), (draft(), edge, 5.0..60.0_f64, ends), |(draft, edge, by, ends)| {
        let before = drawn(&draft);
        let named = format!("front.{edge}");
        let after = match done(&before, extend(&named, by, ends)) {
            Ok(after) => after,
            Err(refusal) => {
                let fold = refusal.kind == RefusalKind::NotOfThatSort && edge == "centre";
                let dart = refusal.kind == RefusalKind::DartInTheWay && edge == "hem";
                let deep = refusal.kind == RefusalKind::BadWidth;
                prop_assert!(fold || dart || deep, "{}", refusal);
                return Ok(fold || deep);
            }
        };
        let (old, new) = (curve(&before, &named), curve(&after, &named));
        for i in 0..=40 {
            let at = new.point_at(new.length() * f64::from(i) / 40.0);
            let off = old.run_on(300.0, 300.0).nearest(at).distance;
            prop_assert!((off - by).abs() <= 0.02, "{} of {}", off, by);
        }
        for (was, is) in girths(&before).iter().zip(girths(&after)) {
            assert_abs_diff_eq!(was.around.mm(), is.around.mm(), epsilon = SAME);
        }
        let grown = piece(&after, "front").net_area() - piece(&before, "front").net_area();
        let declared: f64 = after.record.steps.last().unwrap().declared.iter().map(|one| one.area).sum();
        assert_abs_diff_eq!(grown, declared, epsilon = 1e-3);
        prop_assert!(grown > 0.0);
        for kept in piece(&before, "front").edges() {
            let is_fold = kept.finish == Finish::Fold;
            if kept.name.as_str() != edge && !is_fold {
                let now = curve(&after, &format!("front.{}", kept.name)).length();
                assert_abs_diff_eq!(now, kept.curve.length(), epsilon = SAME);
            }
        }
        let folds = piece(&after, "front").edges().iter().filter(|edge| edge.finish == Finish::Fold).count();
        prop_assert!(folds <= 1);
        Ok(true)
    });
}

/// A border of another cloth leaves the piece as it was, and its inner edge is the edge that it is sewn to.
#[test]
fn a_border_fits_the_edge_it_is_sewn_to() {
    counted(config(), (folded_draft(), 10.0..60.0_f64), |(mut draft, by)| {
        draft.front.dart = None;
        let before = drawn(&draft);
        let step = ExtendEdge {
            cloth: Some("companion".parse().unwrap()),
            name: Some("border".parse().unwrap()),
            ..extend("front.hem", by, ExtensionEnds::Along)
        };
        let after = match done(&before, step) {
            Ok(after) => after,
            Err(refusal) => {
                let known = [RefusalKind::DartInTheWay, RefusalKind::BadWidth].contains(&refusal.kind);
                prop_assert!(known, "{}", refusal);
                return Ok(false);
            }
        };
        prop_assert_eq!(piece(&before, "front").outline(), piece(&after, "front").outline());
        let border = piece(&after, "border");
        prop_assert!(border.fold().is_some() && border.cloth.as_str() == "companion");
        prop_assert_eq!(border.cut, piece(&after, "front").cut);
        let seam = after.seam_named(&"front.hem".parse::<EdgeRef>().unwrap(), None).unwrap();
        let (first, second, ease) = walked(&after, after.seam(seam));
        assert_abs_diff_eq!(first, second, epsilon = SAME);
        prop_assert_eq!(ease, 0.0);
        prop_assert_eq!(border.edge(border.find_edge(&"hem".parse().unwrap()).unwrap()).finish, Finish::Hem);
        Ok(true)
    });
}

/// A piece drafted too short, with a border in another cloth as deep as it lacks, is as long as the piece drafted whole: joined
/// at the border's seam it is that piece. Borders of both sides of a side seam go on in it, sewn to one another.
#[test]
fn a_border_makes_a_short_piece_long_enough() {
    counted(config(), (folded_draft(), 15.0..80.0_f64), |(mut draft, by)| {
        let by = (by * 10.0).round() / 10.0;
        for block in [&mut draft.front, &mut draft.back] {
            (block.dart, block.double_dart) = (None, false);
            (block.hem_curve, block.waist_in, block.hip_out) = (0.0, 0.0, 0.0);
        }
        let whole = drawn(&draft);
        for block in [&mut draft.front, &mut draft.back] {
            block.length -= by;
        }
        let before = drawn(&draft);
        let border = |edge: &str, name: &str| ExtendEdge {
            cloth: Some("companion".parse().unwrap()),
            name: Some(name.parse().unwrap()),
            ..extend(edge, by, ExtensionEnds::Along)
        };
        let Ok(front) = done(&before, border("front.hem", "border")) else { return Ok(false) };
        let Ok(after) = done(&front, border("back.hem", "back-border")) else { return Ok(false) };
        assert_measures_alike(&before, &after, 0.5);
        let sides = after.seams().iter().filter(|seam| {
            ["border", "back-border"]
                .iter()
                .all(|name| seam.edges().any(|run| run.edge.piece.as_str() == *name))
        });
        let sides: Vec<&Seam> = sides.collect();
        prop_assert_eq!(sides.len(), 1);
        let (first, second, _) = walked(&after, sides[0]);
        assert_abs_diff_eq!(first, second, epsilon = SAME);
        for (name, of) in [("front", "border"), ("back", "back-border")] {
            let joined = serde_json::json!({"do": "merge-at-seamline", "seam": format!("{name}.hem")});
            let joined = Step::from_value(&joined).unwrap().apply(&after).unwrap().pattern;
            let (long, made) = (piece(&whole, name), piece(&joined, name));
            assert_abs_diff_eq!(long.outline().area(), made.outline().area(), epsilon = 0.5);
            assert_abs_diff_eq!(long.bounds().height(), made.bounds().height(), epsilon = 0.02);
            let hem = curve(&joined, &format!("{name}.hem")).length();
            assert_abs_diff_eq!(hem, curve(&whole, &format!("{name}.hem")).length(), epsilon = 0.02);
            prop_assert_eq!(piece(&after, of).cloth.as_str(), "companion");
        }
        Ok(true)
    });
}

/// A title, a size and measures come back from a sheet as they were set, whatever signs are in them.
#[test]
fn what_a_pattern_says_of_itself_is_read_back() {
    let words = "[ -~àöß→]{1,40}";
    counted(config(), (words, words, 100.0..2000.0_f64), |(title, size, bust)| {
        let before = draft_once();
        let (Ok(said), Ok(sized)) = (title.parse(), size.parse()) else { return Ok(false) };
        let measures = format!("bust {bust:.1}mm, back-length 41cm").parse().unwrap();
        let step = SetPattern { title: Some(said), size: Some(sized), measures: Some(measures) };
        let after = done(&before, step).unwrap();
        let text = sheet::write(&after).unwrap();
        let read = sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern;
        prop_assert_eq!(&read.about, &after.about);
        prop_assert_eq!(read.about.measures.0.len(), 2);
        prop_assert!(measure("Bust", "88cm").is_err() && measure("bust", "88").is_err());
        Ok(true)
    });
}

/// A hole for a flat button of 30 lines, 19.05 mm, is 22.05 mm long (Textiles and Garment Construction, Form Three, p. 72:
/// the diameter and 3 mm) [S]; for a ball of that size 23.81 mm (Watson, Textiles and Clothing, p. 106: 1.25 times) [S]; a
/// front laps by 15.875 mm (Standards of Quality for Custom Clothing: half the button and 1/4 in) [S].
#[test]
fn holes_and_laps_are_as_long_as_the_books_say() {
    let before = draft_once();
    let hole = |shape: &str| {
        let step = serde_json::json!({
            "do": "open-seam", "seam": "front.side", "from": "side@100mm from waist", "button": "19.05mm",
            "button-shape": shape
        });
        let after = Step::from_value(&step).unwrap().apply(&before).unwrap().pattern;
        let opened =
            piece(&after, "front").edges().iter().find(|edge| edge.open == Some(Opening::Buttonhole));
        opened.unwrap().curve.length()
    };
    assert_abs_diff_eq!(hole("flat"), 22.05, epsilon = 1e-6);
    assert_abs_diff_eq!(hole("ball"), 23.8125, epsilon = 1e-6);
    let step = serde_json::json!({"do": "extend-edge", "edge": "front.hem", "button": "19.05mm"});
    let after = Step::from_value(&step).unwrap().apply(&before).unwrap().pattern;
    let fold = |pattern: &Pattern| curve(pattern, "front.centre").length();
    assert_abs_diff_eq!(fold(&after) - fold(&before), 15.875, epsilon = 0.02);
}
