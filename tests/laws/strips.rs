//! The laws of strips over seams and lines.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Vec2};
use retrue::pattern::{Cut, Finish, Pattern, Piece, RefusalKind};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::{FindingKind, SewingWork, StripOver, Verdict, construction_order};
use serde_json::{Value, json};

use crate::counted::{counted, kept_in};
use crate::made::{
    apply, assert_as_true, assert_proven, assert_same_shell, edge, piece, step, through_a_sheet,
};
use crate::random::block::{Draft, draft};

/// How exactly a strip lies on its pieces, mm.
const LAID: f64 = 0.01;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_strips.txt", 96)
}

fn fixture(name: &str) -> Pattern {
    let path = format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

/// Where a strip over the front's shoulder goes, in mm from the neck, and how wide it is.
#[derive(Clone, Debug)]
struct Wish {
    shares: (f64, f64),
    widths: (f64, f64),
    ends: (&'static str, &'static str),
}

fn wishes() -> impl Strategy<Value = Wish> {
    let shape = || prop_oneof![Just("straight"), Just("pointed"), Just("round")];
    ((0.02..0.3_f64, 0.6..0.98_f64), (10.0..24.0_f64, 10.0..24.0_f64), (shape(), shape()))
        .prop_map(|(shares, widths, ends)| Wish { shares, widths, ends })
}

impl Wish {
    fn fields(&self, draft: &Draft) -> Value {
        let at = |share: f64| format!("shoulder@{:.3}mm from neck", draft.front.shoulder * share);
        json!({
            "do": "add-strip", "over": "front.shoulder", "name": "strap",
            "from": at(self.shares.0), "to": at(self.shares.1),
            "from-width": format!("{:.3}mm", self.widths.0), "to-width": format!("{:.3}mm", self.widths.1),
            "from-end": self.ends.0, "to-end": self.ends.1,
        })
    }
}

/// How far the places of a curve, laid by a motion, lie from a line, with how far along it.
fn beside(curve: &Curve, motion: &Motion, line: &Curve) -> Vec<(f64, f64)> {
    (0..=40)
        .map(|i| motion.apply(curve.point_at(curve.length() * f64::from(i) / 40.0)))
        .map(|place| line.nearest(place))
        .map(|foot| (foot.at, foot.distance))
        .collect()
}

/// A strip over the shoulder, laid back on either piece by its edge there alone, lies with both edges half its width from the
/// shoulder's seamline, and with nothing else beyond its places.
fn assert_laid_on_shoulder(pattern: &Pattern, draft: &Draft, wish: &Wish) {
    let strap = piece(pattern, "strap");
    let long = draft.front.shoulder;
    let (from, to) = (wish.shares.0 * long, wish.shares.1 * long);
    let half = |at: f64| (wish.widths.0 + (wish.widths.1 - wish.widths.0) * (at - from) / (to - from)) / 2.0;
    for (own, other) in [("front", "back"), ("back", "front")] {
        let shoulder = &edge(piece(pattern, own), "shoulder").curve;
        let neck = &edge(piece(pattern, own), "neck").curve;
        let starts_at_neck = neck.nearest(shoulder.start()).distance < LAID;
        let line = if starts_at_neck { shoulder.clone() } else { shoulder.reversed() };
        let inward = piece(pattern, own).outline();
        let side = |at: f64| -> Vec2 {
            let normal = line.normal_outward(at);
            let inside = inward.contains(line.point_at(at) + normal * 2.0);
            if inside { normal } else { -normal }
        };
        let curve = &edge(strap, own).curve;
        // By the ends of its own edge, which lie so far along the shoulder as its half width tells.
        let ends = [curve.start(), curve.end()];
        let lies = |motion: &Motion| -> f64 {
            let mut off: f64 = 0.0;
            for name in [own, other] {
                for (at, distance) in beside(&edge(strap, name).curve, motion, &line) {
                    off = off.max((distance - half(at)).abs());
                }
            }
            off
        };
        let shaped = |end: &str, width: f64, slope: f64| match end {
            "straight" => 0.0,
            _ => width / (2.0 + slope),
        };
        let slope = (wish.widths.1 - wish.widths.0) / (to - from);
        let begins = from + shaped(wish.ends.0, wish.widths.0, -slope);
        let finishes = to - shaped(wish.ends.1, wish.widths.1, slope);
        let place = |s: f64| line.point_at(s) + side(s) * half(s);
        let (a, b) = (place(begins), place(finishes));
        // A piece that is drawn the other way round lies turned over.
        let from = (ends[0], ends[1]);
        let ways = [(a, b), (b, a)]
            .into_iter()
            .flat_map(|to| [Motion::carry(from, to), Motion::carry_mirrored(from, to)]);
        let off = ways.map(|motion| lies(&motion.unwrap())).fold(f64::INFINITY, f64::min);
        assert!(off <= LAID, "{off} mm off on {own}: {wish:?}");
    }
}

/// Over a shoulder seam, of any width, even or not, with any ends: it lies on both pieces, is proven, read back, and all else
/// is as it was.
#[test]
fn a_strip_over_a_seam_lies_on_both_pieces() {
    counted(config(), (draft(), wishes()), |(draft, wish)| {
        let before = draft.pattern();
        let recut = match step(wish.fields(&draft)).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(refusal.kind == RefusalKind::BadWidth, "{refusal}");
                return Ok(false);
            }
        };
        let after = recut.pattern;
        after.assert_sound();
        assert_laid_on_shoulder(&after, &draft, &wish);
        assert_proven(&before, &after);
        assert_as_true(&before, &after);
        assert_same_shell(&before, &after);
        let read = through_a_sheet(&after);
        prop_assert_eq!(&piece(&read, "strap").derived, &piece(&after, "strap").derived);
        assert_as_true(&before, &read);
        let order = construction_order(&after);
        let strips = order.steps.iter().filter(|step| {
            matches!(&step.work, SewingWork::Strip { strip, over: StripOver::Seam(_) } if strip.as_str() == "strap")
        });
        prop_assert_eq!(strips.count(), 1);
        Ok(true)
    });
}

/// Along any line on a piece, as wide as it is asked for all along; the line stands on the piece.
#[test]
fn a_strip_along_a_line_is_as_wide_as_asked() {
    let shares = (25.0..75.0_f64, 25.0..75.0_f64);
    counted(config(), (draft(), shares, 8.0..30.0_f64), |(draft, (top, foot), width)| {
        let before = draft.pattern();
        let line = format!("shoulder@{top:.2}% > hem@{foot:.2}%");
        let fields = json!({"do": "add-strip", "piece": "front", "over": line, "width": format!("{width:.3}mm"), "name": "band"});
        let recut = match step(fields).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                let known = [RefusalKind::BadWidth, RefusalKind::DartInTheWay, RefusalKind::BadLine];
                prop_assert!(known.contains(&refusal.kind), "{refusal}");
                return Ok(false);
            }
        };
        let after = recut.pattern;
        assert_proven(&before, &after);
        assert_as_true(&before, &after);
        let (left, right) =
            (&edge(piece(&after, "band"), "left").curve, &edge(piece(&after, "band"), "right").curve);
        let width = (width * 1e3).round() / 1e3;
        let across = right.run_on(500.0, 500.0);
        for (_, distance) in beside(left, &Motion::identity(), &across) {
            prop_assert!((distance - width).abs() <= LAID, "{distance} and not {width}");
        }
        let lines = &piece(&after, "front").style_lines;
        prop_assert!(lines.iter().any(|line| line.name.as_str() == "band-line"));
        prop_assert_eq!(piece(&after, "band").cut, cut_of(piece(&after, "front")));
        Ok(true)
    });
}

/// As often as its piece is in the garment.
fn cut_of(piece: &Piece) -> Cut {
    if piece.times() == 2 { Cut::PAIR } else { Cut::ONE }
}

/// What `follow` gives after a cut across the seam is what deriving the strip afresh gives.
#[test]
fn a_strip_follows_a_cut_across_its_seam() {
    let cases = (draft(), wishes(), (35.0..65.0_f64, 30.0..70.0_f64));
    counted(config(), cases, |(draft, wish, (top, foot))| {
        let before = draft.pattern();
        let cut = json!({"do": "split", "piece": "front", "names": "front-a, front-b",
            "line": format!("shoulder@{top:.2}% > hem@{foot:.2}%")});
        let Ok(derived) = step(wish.fields(&draft)).apply(&before) else { return Ok(false) };
        let Ok(recut) = step(cut).apply(&derived.pattern) else { return Ok(false) };
        let tells = recut.notices.iter().any(|told| matches!(told, Notice::MustFollow { .. }));
        prop_assert!(tells, "{:?}", recut.notices);
        let untrue = Verdict::of(&recut.pattern);
        prop_assert!(untrue.findings().iter().any(|found| found.kind == FindingKind::NotFollowed));
        let followed = apply(&recut.pattern, json!({"do": "follow"})).pattern;
        assert_proven(&before, &followed);
        assert_as_true(&before, &followed);
        let (then, now) = (piece(&derived.pattern, "strap"), piece(&followed, "strap"));
        assert_abs_diff_eq!(
            edge(then, "back").curve.length(),
            edge(now, "back").curve.length(),
            epsilon = LAID
        );
        assert_abs_diff_eq!(then.outline().area(), now.outline().area(), epsilon = 0.5);
        let again = apply(&followed, json!({"do": "follow"}));
        let nothing = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        prop_assert!(nothing);
        Ok(true)
    });
}

/// A strip along a line of a piece that is cut across it becomes one for each part.
#[test]
fn a_strip_along_a_line_that_is_cut_becomes_two() {
    let coat = fixture("coat");
    let one = apply(
        &coat,
        json!({"do": "add-strip", "over": "level waist", "piece": "front", "width": "3cm", "name": "band"}),
    );
    let cut = apply(&one.pattern, json!({"do": "split", "piece": "front", "line": "hem@50% > shoulder@50%"}));
    let followed = apply(&cut.pattern, json!({"do": "follow"})).pattern;
    let strips: Vec<&Piece> = followed.pieces().filter(|piece| piece.derived.is_some()).collect();
    assert_eq!(strips.len(), 2);
    let area: f64 = strips.iter().map(|piece| piece.outline().area()).sum();
    assert_abs_diff_eq!(area, piece(&one.pattern, "band").outline().area(), epsilon = 0.1);
    assert_proven(&coat, &followed);
    assert!(Verdict::of(&followed).is_true());
}

/// An epaulette over the shoulder of the coat: caught in the armhole, pointed before the neck; and a strip along a style line
/// of the sleeve. In each case the proof lays it back.
#[test]
fn strips_lie_over_shoulders_and_style_lines() {
    let coat = fixture("coat");
    let epaulette = json!({"do": "add-strip", "over": "front.shoulder", "from": "shoulder@0mm from armhole",
        "to": "shoulder@2cm from neck", "from-width": "55mm", "to-width": "40mm", "to-end": "pointed", "name": "epaulette"});
    let after = apply(&coat, epaulette).pattern;
    let made = piece(&after, "epaulette");
    assert_eq!(edge(made, "armhole").finish, Finish::Seam);
    assert_eq!(made.cut, Cut::PAIR);
    // 115.56 mm of shoulder less 20; its point of a right angle is half as long as its base is wide.
    let tip = edge(made, "end").curve.length();
    let base = tip / std::f64::consts::SQRT_2;
    assert!((40.0..45.0).contains(&base), "{base}");
    assert_proven(&coat, &after);
    assert!(Verdict::of(&after).is_true());

    let line = json!({"do": "add-strip", "over": "sleeve.hind-line", "width": "3cm"});
    let after = apply(&coat, line).pattern;
    assert_proven(&coat, &after);
    assert!(Verdict::of(&after).is_true());
}

/// Over a straight side seam, from end to end: caught in the armhole, turned in at the hem.
#[test]
fn a_strip_over_a_straight_side_runs_from_armhole_to_hem() {
    counted(config(), (draft(), 5.0..20.0_f64), |(mut draft, width)| {
        for block in [&mut draft.front, &mut draft.back] {
            (block.waist_in, block.hip_out) = (0.0, 0.0);
        }
        let before = draft.pattern();
        let fields = json!({"do": "add-strip", "over": "front.side", "width": format!("{width:.2}mm"), "name": "band"});
        let recut = match step(fields).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(
                    [RefusalKind::BadWidth, RefusalKind::DartInTheWay].contains(&refusal.kind),
                    "{refusal}"
                );
                return Ok(false);
            }
        };
        assert_proven(&before, &recut.pattern);
        assert_as_true(&before, &recut.pattern);
        let band = piece(&recut.pattern, "band");
        let names: Vec<&str> = band.edges().iter().map(|edge| edge.name.as_str()).collect();
        prop_assert!(
            ["armhole", "hem", "front", "back"].iter().all(|name| names.contains(name)),
            "{names:?}"
        );
        let across = edge(band, "back").curve.run_on(100.0, 100.0);
        for (_, distance) in beside(&edge(band, "front").curve, &Motion::identity(), &across) {
            prop_assert!((distance - (width * 100.0).round() / 100.0).abs() <= LAID, "{distance}");
        }
        Ok(true)
    });
}

/// A strip that is too wide is refused with the widest that lies on the pieces, and that one does.
#[test]
fn a_strip_that_is_too_wide_is_refused_with_the_widest() {
    let coat = fixture("coat");
    let strip = |width: &str| json!({"do": "add-strip", "over": "front.shoulder", "width": width});
    let refusal = step(strip("30cm")).apply(&coat).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadWidth);
    let way_out = refusal.to_string();
    let (_, rest) = way_out.split_once("up to ").unwrap();
    let widest = rest.split_once("mm").unwrap().0;
    let after = apply(&coat, strip(&format!("{widest}mm"))).pattern;
    assert_proven(&coat, &after);
    let more: f64 = widest.parse::<f64>().unwrap() * 1.01;
    assert!(step(strip(&format!("{more:.1}mm"))).apply(&coat).is_err());
}

/// What cannot be made is refused with what, where and the way out.
#[test]
fn what_is_no_strip_is_refused() {
    let coat = fixture("coat");
    let strip = |over: &str, more: Value| {
        let mut fields = json!({"do": "add-strip", "over": over, "width": "3cm"});
        for (field, value) in more.as_object().unwrap() {
            fields[field] = value.clone();
        }
        fields
    };
    let cases = [
        (strip("front.shoulder", json!({"width": "0mm"})), RefusalKind::BadField, "0mm wide"),
        (strip("front.shoulder", json!({"to-width": "2cm"})), RefusalKind::BadField, "one width"),
        (strip("front.shouldr", json!({})), RefusalKind::UnknownName, "shouldr"),
        (strip("front.hem", json!({})), RefusalKind::BadSeam, "not sewn"),
        (strip("front.side", json!({})), RefusalKind::NotOfThatSort, "apart"),
        (strip("level waist", json!({})), RefusalKind::BadField, "no piece is named"),
        (strip("front.shoulder", json!({"piece": "front"})), RefusalKind::BadField, "names its piece"),
        (strip("level waste", json!({"piece": "front"})), RefusalKind::UnknownName, "waste"),
        (strip("front.shoulder", json!({"to": "shoulder@30cm"})), RefusalKind::PlaceOutside, "beyond"),
        (strip("front.shoulder", json!({"to": "side@3cm"})), RefusalKind::PlaceOutside, "does not lie on it"),
        (
            strip("front.shoulder", json!({"from": "shoulder@50%", "to": "shoulder@50%"})),
            RefusalKind::BadField,
            "is too short",
        ),
        (strip("front.shoulder", json!({"name": "back"})), RefusalKind::NameTaken, "back"),
    ];
    for (fields, kind, says) in cases {
        let told = fields.to_string();
        let refusal = step(fields).apply(&coat).err().unwrap_or_else(|| panic!("{told} is done"));
        assert_eq!(refusal.kind, kind, "{told}: {refusal}");
        assert!(refusal.what.contains(says), "{told}: {refusal}");
        assert!(!refusal.way_out.is_empty() && !refusal.at.is_empty());
    }
}

/// A strip over a seam of which a stretch is left open lies beside the opening: it ends straight where that begins, is not made
/// over it, and one that was made before is refused when it should follow.
#[test]
fn a_strip_ends_where_its_seam_is_left_open() {
    let coat = fixture("coat");
    let strip = |over: &str| json!({"do": "add-strip", "over": over, "width": "2cm", "name": "strap"});
    let pocket = json!({"do": "open-seam", "seam": "front.shoulder", "from": "shoulder@4cm", "to": "shoulder@7cm", "for": "pocket"});
    let opened = apply(&coat, pocket.clone()).pattern;
    for over in ["front.shoulder", "front.shoulder-2", "back.shoulder"] {
        let after = apply(&opened, strip(over)).pattern;
        let strap = piece(&after, "strap");
        let straight = strap.edges().iter().filter(|edge| ["start", "end"].contains(&edge.name.as_str()));
        let ends: Vec<f64> = straight.map(|edge| edge.curve.length()).collect();
        assert_eq!(ends.len(), 1, "{over}");
        assert_abs_diff_eq!(ends[0], 20.0, epsilon = LAID);
        assert_proven(&coat, &after);
        assert!(Verdict::of(&after).is_true(), "{over}");
    }
    let refusal = step(strip("front.shoulder-pocket")).apply(&opened).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::NotOfThatSort);
    assert!(refusal.what.contains("left open here for a pocket"), "{refusal}");
    let parted = apply(&apply(&coat, strip("front.shoulder")).pattern, pocket).pattern;
    let told = Verdict::of(&parted);
    assert!(told.untrue().any(|found| found.kind == FindingKind::NotFollowed));
    let refusal = step(json!({"do": "follow"})).apply(&parted).unwrap_err();
    assert!(refusal.what.contains("was parted") && refusal.at == "strap", "{refusal}");
}

/// Over a seam whose edges were divided the strip is what it is over the seam undivided.
#[test]
fn a_strip_over_a_divided_edge_is_the_same() {
    let coat = fixture("coat");
    let strip = json!({"do": "add-strip", "over": "front.shoulder", "width": "3cm", "name": "strap"});
    let plain = apply(&coat, strip.clone()).pattern;
    let divide = |edge: &str, at: &str| json!({"do": "divide-edge", "edge": edge, "at": at});
    let once = apply(&coat, divide("front.shoulder", "shoulder@40%")).pattern;
    let twice = apply(&once, divide("back.shoulder", "shoulder@30%")).pattern;
    for divided in [once, twice] {
        let after = apply(&divided, strip.clone()).pattern;
        crate::made::assert_congruent(piece(&plain, "strap"), piece(&after, "strap"));
        assert_proven(&coat, &after);
        assert!(Verdict::of(&after).is_true());
    }
    let followed = apply(&plain, divide("front.shoulder", "shoulder@40%")).pattern;
    assert!(Verdict::of(&followed).is_true());
}

/// A strip over a seam that is merged away stands by itself, and that is told; what is written can be read.
#[test]
fn a_strip_over_a_seam_that_goes_stands_by_itself() {
    let coat = fixture("coat");
    let laid =
        apply(&coat, json!({"do": "add-strip", "over": "front.shoulder", "width": "4cm", "name": "tab"}))
            .pattern;
    let merged =
        apply(&laid, json!({"do": "merge-at-seamline", "seam": "front.shoulder", "shaping": "dart"}));
    let tab = merged.pattern.find(&"tab".parse().unwrap()).unwrap();
    assert!(tab.derived.is_none());
    let told = |notice: &Notice| matches!(notice, Notice::SourceGone { piece } if piece.as_str() == "tab");
    assert_eq!(merged.notices.iter().filter(|notice| told(notice)).count(), 1, "{:?}", merged.notices);
    through_a_sheet(&merged.pattern);
}

/// The widest strip that is offered in place of one that is too wide is made, a tenth of a millimetre more is not, and it hangs on no
/// wish.
#[test]
fn the_widest_strip_is_made_whatever_was_wished() {
    let coat = fixture("coat");
    let strip = |width: f64, of: &str| {
        let places = of.split_once(' ').unwrap();
        step(json!({"do": "add-strip", "over": "front.shoulder", "from": format!("shoulder@{}", places.0),
            "to": format!("shoulder@{}", places.1), "width": format!("{width:.1}mm"), "to-end": "pointed"}))
        .apply(&coat)
    };
    let mut offers = 0;
    for stretch in ["0% 100%", "30% 60%", "50% 55%", "50% 65%"] {
        let offered = |width: f64| -> Option<f64> {
            let refusal = strip(width, stretch).err()?;
            let way_out = refusal.way_out.to_string();
            let (_, rest) = way_out.split_once("up to ")?;
            Some(rest.split_once("mm").unwrap().0.parse().unwrap())
        };
        let all: Vec<Option<f64>> = [300.0, 450.0, 700.0].map(offered).to_vec();
        assert!(all.iter().all(|offer| *offer == all[0]), "{stretch}: {all:?}");
        let Some(widest) = all[0] else { continue };
        assert!(strip(widest, stretch).is_ok(), "{stretch}: {widest}");
        assert!(strip(widest + 0.1, stretch).is_err(), "{stretch}: {widest}");
        offers += 1;
    }
    assert!(offers >= 3, "{offers}");
}
