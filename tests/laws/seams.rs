//! The laws of moved seams, over random pieces with shaped sides and over the fixtures.

use crate::counted::counted;
use crate::seam_laws::{
    GIRTH, apply, assert_girths_accounted, assert_seams_true, config, curve, declared, fixture, moved,
    net_area, piece, seam_of, shaped_pair, shaped_sides, side, walked,
};
use crate::stations::{assert_dropped_widths, assert_girth_kept, assert_girth_kept_to_the_hem, outward};
use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::allowance::cutting_line;
use retrue::curve::{Curve, Point};
use retrue::pattern::{DeclaredKind, EdgeRef, Finish, Pattern, Piece, Refusal, RefusalKind, Seam, Walk};
use retrue::recut::Notice;
use retrue::truing::{FindingKind, Limits, check, girths, walk_seam};
use retrue::units::Length;

/// Sewn lengths after cutting and joining, mm.
const SEWN: f64 = 5e-3;

/// What edges that meet at a small angle may change in length when they are brought together, mm.
const BROUGHT_TOGETHER: f64 = 0.05;

/// Every level of the joined piece leaves it on its outline, at the end nearer to the seam that moved.
fn assert_levels_leave_at_the_edge(after: &Pattern, taker: &str) {
    let piece = piece(after, taker);
    let away = |point: &Point| curve(piece, "side").nearest(*point).distance;
    for level in &piece.levels {
        let ends = [level.stretches[0].0, level.stretches[level.stretches.len() - 1].1];
        let end = ends.into_iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap();
        let off = piece.nearest_on_outline(end).distance;
        assert!(off <= GIRTH, "{} ends {off} mm beside the outline", level.name);
    }
}

/// The shaping of the coat's side and of the dress's is dropped: what is gained over a gap and lost under an overlap is
/// told and declared.
#[test]
fn girth_gained_and_lost_is_told() {
    let expected = [
        ("coat", ["back", "front"], "front.side", serde_json::json!({"to-width": "18.5cm"}), "waist", 42.5),
        (
            "dress",
            ["skirt-back", "skirt-front"],
            "skirt-front.side",
            serde_json::json!({"by": "6cm"}),
            "hip",
            -79.9,
        ),
    ];
    for (name, pieces, seam, mut choices, level, by) in expected {
        let before = fixture(name);
        let own = serde_json::json!({"seam": seam, "from": pieces[0], "line": "grain", "shaping": "drop"});
        choices.as_object_mut().unwrap().extend(own.as_object().unwrap().clone());
        let recut = apply(&before, moved(choices)).unwrap();
        assert_dropped_widths(&before, &recut.pattern, pieces, "side");
        assert_levels_leave_at_the_edge(&recut.pattern, pieces[1]);
        assert_girths_accounted(&before, &recut.pattern);
        assert_abs_diff_eq!(recut.pattern.record.declared_girth(&level.parse().unwrap()), by, epsilon = 0.1);
    }
}

fn hems(pattern: &Pattern) -> f64 {
    let hem = |piece: &Piece| -> f64 {
        let hems = piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Hem);
        hems.map(|id| piece.sewn_length(id)).sum()
    };
    ["front", "back"].iter().map(|name| hem(piece(pattern, name))).sum()
}

/// The most by which a side is off square to its hem: the cosine between them.
fn slant(pattern: &Pattern) -> f64 {
    let off = |name: &str| {
        let piece = piece(pattern, name);
        let side = piece.edge_named(&"side".parse().unwrap()).unwrap();
        let (after, before) = (piece.next(side), piece.previous(side));
        let (side, after, before) = (piece.edge(side), piece.edge(after), piece.edge(before));
        let at_last =
            (after.finish == Finish::Hem).then(|| side.curve.end_tangent().dot(after.curve.start_tangent()));
        at_last.unwrap_or_else(|| side.curve.start_tangent().dot(before.curve.end_tangent())).abs()
    };
    off("front").max(off("back"))
}

fn is_narrow(refusal: &Refusal) -> bool {
    matches!(refusal.kind, RefusalKind::BadWidth | RefusalKind::BadLine)
}

/// Law 4: cut edges keep their total length, the hems among them. Old sides that differ in length end in a step at the
/// hem, and each end is brought half of it. That fills or takes the share of the step that lies along the hem, where
/// hem and side are not square; the rest bends the hem sideways, over half the strip's width at least, which costs less
/// than its square over that width.
#[test]
fn a_moved_seam_keeps_the_hems_total() {
    counted(config(), (shaped_sides(), 5.0..60.0_f64, prop_oneof!["grain", "seam"]), |(draft, by, line)| {
        let before = draft.pattern();
        let fields = serde_json::json!({"by": format!("{by}mm"), "line": line});
        let recut = match apply(&before, moved(fields)) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(
                    is_narrow(&refusal) || refusal.kind == RefusalKind::LengthsDiffer,
                    "{}",
                    refusal
                );
                return Ok(false);
            }
        };
        let step = difference(&before);
        let allowed = 2.0 * BROUGHT_TOGETHER + step * slant(&before) + step * step / by;
        assert_abs_diff_eq!(hems(&before), hems(&recut.pattern), epsilon = allowed);
        Ok(true)
    });
}

/// Law 4: girth is kept all along a moved seam, the line is where it was asked for, the armhole keeps its length and
/// the binding names the right run, and declared areas balance.
#[test]
fn a_moved_seam_keeps_girth_at_every_station() {
    counted(config(), (shaped_sides(), 5.0..60.0_f64, prop_oneof!["grain", "seam"]), |(draft, by, line)| {
        let before = draft.pattern();
        let recut = match apply(&before, moved(serde_json::json!({"by": format!("{by}mm"), "line": line}))) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(
                    is_narrow(&refusal) || refusal.kind == RefusalKind::LengthsDiffer,
                    "{}",
                    refusal
                );
                return Ok(false);
            }
        };
        let after = &recut.pattern;
        assert_girth_kept(&before, after, "back", "front");
        assert_seams_true(after, 1e-2 + difference(&before));
        let ease = seam_of(after, "front.side").ease.mm();
        prop_assert!(ease.abs() <= 3.0);
        let around = |pattern: &Pattern| {
            let seam = seam_of(pattern, "binding.long");
            (walked(pattern, &seam.first), walked(pattern, &seam.second))
        };
        let (old, new) = (around(&before), around(after));
        assert_abs_diff_eq!(old.0, new.0, epsilon = SEWN);
        assert_abs_diff_eq!(old.1, new.1, epsilon = BROUGHT_TOGETHER);
        assert_abs_diff_eq!(net_area(after) - net_area(&before), declared(after), epsilon = 0.1);
        if line == "grain" {
            let back = piece(after, "back");
            let edge = curve(back, "side");
            prop_assert!(edge.is_straight(1e-6));
            let grain = back.grain().unwrap().direction();
            assert_abs_diff_eq!((edge.end() - edge.start()).normalize().cross(grain), 0.0, epsilon = 1e-4);
        }
        Ok(true)
    });
}

/// The width asked for is the width kept, and the rest of the girth goes over.
#[test]
fn a_width_asked_for_is_the_width_kept() {
    counted(config(), (shaped_sides(), 0.75..0.97_f64), |(draft, share)| {
        let before = draft.pattern();
        let back = piece(&before, "back");
        let out = outward(back);
        let along = |point: Point| point.to_vec2().dot(out);
        let inner =
            curve(back, "centre").flattened(0.01).into_iter().map(along).fold(f64::INFINITY, f64::min);
        let outer =
            curve(back, "side").flattened(0.01).into_iter().map(along).fold(f64::NEG_INFINITY, f64::max);
        let width = (outer - inner) * share;
        let recut = match apply(&before, moved(serde_json::json!({"to-width": format!("{width}mm")}))) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(
                    is_narrow(&refusal) || refusal.kind == RefusalKind::LengthsDiffer,
                    "{}",
                    refusal
                );
                return Ok(false);
            }
        };
        let after = &recut.pattern;
        let new = piece(after, "back");
        let edge = curve(new, "side");
        let inner = curve(new, "centre").flattened(0.01).into_iter().map(along).fold(f64::INFINITY, f64::min);
        for point in [edge.start(), edge.end()] {
            assert_abs_diff_eq!(along(point) - inner, width, epsilon = 2e-2);
        }
        assert_girth_kept(&before, after, "back", "front");
        Ok(true)
    });
}

/// Shaping that is dropped is girth given up: the gap that was filled is declared, and where it reaches a level the
/// change of girth is told and recorded.
#[test]
fn dropped_shaping_is_told() {
    counted(config(), (shaped_sides(), 5.0..40.0_f64), |(draft, by)| {
        let before = draft.pattern();
        let choices = serde_json::json!({"by": format!("{by}mm"), "shaping": "drop", "line": "grain"});
        let recut = match apply(&before, moved(choices)) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(is_narrow(&refusal), "{}", refusal);
                return Ok(false);
            }
        };
        let after = &recut.pattern;
        let kinds = &after.record.steps[0].declared;
        let is_faired = recut.notices.iter().any(|told| matches!(told, Notice::DrawnInOne { .. }));
        let is_told = |kind| kind == DeclaredKind::VoidFilled || (is_faired && kind == DeclaredKind::Trued);
        prop_assert!(kinds.iter().all(|declared| is_told(declared.kind)), "{:?}", kinds);
        assert_abs_diff_eq!(net_area(after) - net_area(&before), declared(after), epsilon = 0.1);
        assert_girths_accounted(&before, after);
        assert_dropped_widths(&before, after, ["back", "front"], "side");
        assert_levels_leave_at_the_edge(after, "front");
        Ok(true)
    });
}

/// The shaping as a double dart: the girth net of the dart is kept, or an overlap is refused with its width.
#[test]
fn shaping_kept_as_a_dart_keeps_girth() {
    counted(config(), (shaped_sides(), 5.0..40.0_f64), |(draft, by)| {
        let before = draft.pattern();
        let choices = serde_json::json!({"by": format!("{by}mm"), "shaping": "dart", "line": "grain"});
        let after = match apply(&before, moved(choices)) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(is_narrow(&refusal) || refusal.kind == RefusalKind::Overlap, "{}", refusal);
                prop_assert!(refusal.kind != RefusalKind::Overlap || refusal.what.contains("mm"));
                return Ok(false);
            }
        };
        let out = side(piece(&after, "back")).length() - side(piece(&after, "front")).length();
        prop_assert!(out.abs() <= 0.05, "the new edges are one line: {}", out);
        let wide = girths(&before);
        for (old, new) in wide.iter().zip(girths(&after)) {
            let times = f64::from(piece(&after, "front").times());
            assert_abs_diff_eq!(old.around.mm(), new.around.mm(), epsilon = 1.0 * times);
        }
        assert_girths_accounted(&before, &after);
        Ok(true)
    });
}

/// The greatest difference that a pattern's seams have to begin with.
fn difference(pattern: &Pattern) -> f64 {
    let off =
        |seam: &Seam| (walked(pattern, &seam.first) - walked(pattern, &seam.second) - seam.ease.mm()).abs();
    pattern.seams().iter().map(off).fold(0.0, f64::max)
}

/// The main job's cut: the back of the coat limited to 18.5 cm, its sleeve and hem as they were.
#[test]
fn the_coat_keeps_girth_armhole_sleeve_and_hem() {
    let coat = fixture("coat");
    let recut = apply(&coat, moved(serde_json::json!({"to-width": "18.5cm", "line": "grain"}))).unwrap();
    let after = &recut.pattern;
    assert_girth_kept(&coat, after, "back", "front");
    assert_girths_accounted(&coat, after);
    assert_abs_diff_eq!(hems(&coat), hems(after), epsilon = BROUGHT_TOGETHER);
    assert_seams_true(after, BROUGHT_TOGETHER);
    let armhole = |pattern: &Pattern| {
        let seam = seam_of(pattern, "sleeve.cap");
        let (first, second) = (walked(pattern, &seam.first), walked(pattern, &seam.second));
        let run = if seam.first.holds(&"sleeve.cap".parse().unwrap()) { &seam.second } else { &seam.first };
        let notches = Walk::of(pattern, run).unwrap().notches();
        (first, second, run.names(), notches.iter().map(|notch| notch.at).collect::<Vec<_>>())
    };
    let (old, new) = (armhole(&coat), armhole(after));
    assert_abs_diff_eq!(old.0, new.0, epsilon = SEWN);
    assert_abs_diff_eq!(old.1, new.1, epsilon = SEWN);
    assert_eq!(new.2.matches("armhole").count(), 3, "{}", new.2);
    assert_eq!(old.3.len(), new.3.len());
    for (old, new) in old.3.iter().zip(&new.3) {
        assert_abs_diff_eq!(old, new, epsilon = SEWN);
    }
    assert_eq!(piece(&coat, "sleeve").notches, piece(after, "sleeve").notches);
    assert!(
        !recut.notices.iter().any(|told| matches!(told, Notice::PieceMade { .. })),
        "both pieces keep their names"
    );
    for told in &recut.notices {
        assert!(!matches!(told, Notice::OffGrain { .. }), "{}", told.sentence(Default::default()));
    }
}

/// Where two hems join at a slight angle the hem may bend; it does not step, nor does its cutting line.
#[test]
fn the_coats_hem_has_no_step_where_it_was_joined() {
    let after =
        apply(&fixture("coat"), moved(serde_json::json!({"to-width": "18.5cm", "line": "grain"}))).unwrap();
    let front = piece(&after.pattern, "front");
    for joint in curve(front, "hem").joints() {
        assert!(joint.turn.to_degrees().abs() < 3.0, "the hem turns by {}°", joint.turn.to_degrees());
    }
    let line = cutting_line(&after.pattern, front).unwrap();
    let cut = Curve::from_path(&line.path).unwrap();
    let hem = curve(front, "hem");
    for joint in cut.joints() {
        let near = hem.nearest(cut.point_at(joint.at));
        let below_the_hem = near.distance < 45.0 && near.at > 60.0 && near.at < hem.length() - 60.0;
        let turn = joint.turn.to_degrees();
        assert!(!below_the_hem || turn.abs() < 3.0, "the hem's cutting line turns by {turn}°");
    }
}

/// Moving the seam the other way, the front gives.
#[test]
fn either_piece_may_give() {
    let coat = fixture("coat");
    let fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "front", "by": "30mm"});
    let after = apply(&coat, fields).unwrap().pattern;
    assert_girth_kept(&coat, &after, "front", "back");
    assert_girths_accounted(&coat, &after);
}

/// A back too narrow to leave by the armhole is refused with the least width that does, and a way out.
#[test]
fn too_narrow_a_back_names_its_least_width_and_open_centre() {
    let coat = fixture("coat");
    let refusal = apply(&coat, moved(serde_json::json!({"to-width": "150mm"}))).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadWidth);
    assert!(refusal.what.contains("least width"), "{refusal}");
    assert!(
        refusal.way_out.to_string().contains("do = \"open-centre\", piece = \"back\"")
            && refusal.way_out.to_string().contains("yoke"),
        "{refusal}"
    );
    let least: f64 = refusal.what.split_whitespace().rev().nth(1).unwrap().parse().unwrap();
    assert!((150.0..185.0).contains(&least), "{least}");
    apply(&coat, moved(serde_json::json!({"longer": "hem", "to-width": format!("{}mm", least + 0.2)})))
        .unwrap();
}

/// A shoulder seam moved forward: the neck and armhole keep their length, and no collar is told to change for it.
#[test]
fn a_shoulder_seam_moves_forward() {
    let coat = fixture("coat");
    let fields =
        serde_json::json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": "15mm"});
    let recut = apply(&coat, fields).unwrap();
    let after = &recut.pattern;
    for edge in ["sleeve.cap", "under-collar.neck"] {
        let run = |pattern: &Pattern| {
            let seam = seam_of(pattern, edge);
            walked(pattern, &seam.first) + walked(pattern, &seam.second)
        };
        assert_abs_diff_eq!(run(&coat), run(after), epsilon = BROUGHT_TOGETHER);
    }
    let sewn_to: Vec<String> = recut
        .notices
        .iter()
        .filter_map(|told| match told {
            Notice::SameCutNeeded { sewn_to, .. } => Some(sewn_to.to_string()),
            _ => None,
        })
        .collect();
    assert!(sewn_to.contains(&"front-facing.neck".to_owned()), "{sewn_to:?}");
    assert!(sewn_to.iter().all(|edge| !edge.contains("collar")), "{sewn_to:?}");
    assert!(
        !recut.notices.iter().any(|told| matches!(told, Notice::OffGrain { .. })),
        "a shoulder always slants"
    );
}

/// Law 4's figures: 20 mm of shaping over 600 mm makes the bowed edge 1.8 mm longer, which is eased in; 40 mm makes
/// 7 mm, which is refused, trued at the hem when asked, or kept as a dart.
#[test]
fn a_bowed_edge_is_longer_than_a_straight_one() {
    let eased = shaped_pair(20.0);
    let by = |choice: (&str, &str)| {
        let mut choices = serde_json::json!({"by": "50mm", "line": "grain"});
        if !choice.0.is_empty() {
            choices[choice.0] = choice.1.into();
        }
        moved(choices)
    };
    let after = apply(&eased, by(("", ""))).unwrap().pattern;
    assert_abs_diff_eq!(seam_of(&after, "front.side").ease.mm().abs(), 1.8, epsilon = 0.15);
    let full = shaped_pair(40.0);
    let refusal = apply(&full, by(("", ""))).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::LengthsDiffer);
    let figure: f64 = refusal.what.split_whitespace().find_map(|word| word.parse().ok()).unwrap();
    assert_abs_diff_eq!(figure, 7.0, epsilon = 0.3);
    for way in ["shaping = \"dart\"", "longer = \"hem\""] {
        assert!(refusal.way_out.to_string().contains(way), "{refusal}");
    }
    let trued = apply(&full, by(("longer", "hem"))).unwrap().pattern;
    assert_girth_kept(&full, &trued, "back", "front");
    assert_abs_diff_eq!(seam_of(&trued, "front.side").ease.mm(), 0.0, epsilon = 2e-3);
    assert_seams_true(&trued, 1e-2);
    let darted = apply(&full, by(("shaping", "dart"))).unwrap().pattern;
    let dart = &piece(&darted, "front").darts[0];
    assert!(dart.mouth().is_none());
    let (a, b) = dart.legs();
    let width = a.point_at(a.length() / 2.0).distance(b.point_at(b.length() / 2.0));
    assert_abs_diff_eq!(width, 40.0, epsilon = 1.0);
}

/// A fuller lower half tilts the seam: over 3° off the grain it is warned of with the angle.
#[test]
fn a_seam_off_the_grain_is_warned_of() {
    let coat = fixture("coat");
    let line = "armhole@90% > hem@40mm from side";
    let fields = serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back", "line": line});
    let told = match apply(&coat, fields) {
        Ok(recut) => recut.notices,
        Err(refusal) => panic!("{refusal}"),
    };
    let angles: Vec<f64> = told
        .iter()
        .filter_map(|told| match told {
            Notice::OffGrain { degrees, .. } => Some(*degrees),
            _ => None,
        })
        .collect();
    assert!(angles.iter().all(|angle| *angle > 3.0));
    let flared = serde_json::json!({"line": "armhole@60% > hem@10mm from side", "shaping": "drop"});
    let flared = apply(&coat, moved(flared)).unwrap();
    assert!(flared.notices.iter().any(|told| matches!(told, Notice::OffGrain { .. }) && told.is_warning()));
}

/// The kinks that a check finds: what it says of each, and how many degrees.
fn kinks(pattern: &Pattern) -> Vec<(String, f64)> {
    let found = check(pattern, &Limits::default()).into_iter();
    let kinks = found.filter(|finding| matches!(finding.kind, FindingKind::Kink | FindingKind::CornerAtJoin));
    kinks.map(|finding| (finding.at, finding.number)).collect()
}

/// No kink is found that was not there before, or was less.
fn assert_no_new_kink(before: &Pattern, after: &Pattern) {
    /// What the fit of a redrawn edge may leave, degrees.
    const AS_BEFORE: f64 = 0.05;
    let old = kinks(before);
    for (at, degrees) in kinks(after) {
        let was = old.iter().find(|(other, _)| *other == at).map_or(0.0, |(_, degrees)| *degrees);
        assert!(degrees <= was + AS_BEFORE, "{at} turns by {degrees}°, and by {was}° before");
    }
}

/// Over so much of it, mm, a hem is redrawn.
const REDRAWN_OVER: f64 = 120.0;

/// The kink of the hem across the side seam, degrees.
fn hem_kink(pattern: &Pattern) -> f64 {
    let id = pattern.seam_named(&"front.side".parse().unwrap(), None).unwrap();
    let walk = walk_seam(pattern, id).unwrap();
    let is_hem = |edge: &EdgeRef| edge.edge.as_str() == "hem";
    walk.ends.iter().find(|end| is_hem(&end.beyond.0) && is_hem(&end.beyond.1)).unwrap().kink()
}

proptest! {
    #![proptest_config(config())]

    /// `--longer hem`: whatever the two new edges differ by up to what is trued, they end alike, girth is kept down to the hem, and the hem runs
    /// on across the new seam without a kink.
    #[test]
    fn a_moved_seam_trued_at_the_hem_leaves_the_hem_smooth(
        draft in shaped_sides(), by in 10.0..60.0_f64, line in prop_oneof!["grain", "seam"]
    ) {
        let before = draft.pattern();
        let fields = serde_json::json!({"by": format!("{by}mm"), "line": line, "longer": "hem"});
        let recut = match apply(&before, moved(fields)) {
            Ok(recut) => recut,
            Err(refusal) if is_narrow(&refusal) => return Err(TestCaseError::reject("too narrow")),
            Err(refusal) if refusal.kind == RefusalKind::LengthsDiffer => {
                prop_assert!(refusal.what.contains("up to 10 mm can be trued"), "{}", refusal);
                return Err(TestCaseError::reject("over what is trued"));
            }
            // On a hem shorter than the reach over which it is redrawn there may be no room for the turn.
            Err(refusal) if refusal.what.contains("`hem` meets edge `hem`") => {
                prop_assert!(draft.front.bust < REDRAWN_OVER || draft.back.bust < REDRAWN_OVER, "{}", refusal);
                return Err(TestCaseError::reject("too short to be redrawn"));
            }
            Err(refusal) => panic!("{refusal}"),
        };
        assert_girth_kept_to_the_hem(&before, &recut.pattern, "back", "front");
        assert_seams_true(&recut.pattern, SEWN);
        assert!(hem_kink(&recut.pattern).abs() <= 0.05, "the hem turns by {}°", hem_kink(&recut.pattern));
        let hems = |pattern: &Pattern| kinks(pattern).into_iter().filter(|(at, _)| at.contains("hem")).count();
        assert!(hems(&recut.pattern) <= hems(&before), "{:?}", kinks(&recut.pattern));
    }

    /// Seams that differ by up to 15 mm are trued at the hem, by whichever piece: their lengths agree, girths stand but
    /// for what is declared, and no edge that runs on across the seam has a kink that was not there.
    #[test]
    fn a_seam_that_is_trued_leaves_no_kink(
        draft in shaped_sides(), longer in -9.0..9.0_f64, by in prop_oneof!["share", "front", "back"]
    ) {
        let mut draft = draft;
        draft.back.length += longer;
        let before = draft.pattern();
        let fields = serde_json::json!({"do": "true-seam", "seam": "front.side", "by": by});
        let recut = match apply(&before, fields) {
            Ok(recut) => recut,
            Err(refusal) if refusal.kind == RefusalKind::LengthsDiffer => {
                return Err(TestCaseError::reject("over what is trued"));
            }
            Err(refusal) => panic!("{refusal}"),
        };
        let side = seam_of(&recut.pattern, "front.side");
        let (first, second) = (walked(&recut.pattern, &side.first), walked(&recut.pattern, &side.second));
        assert_abs_diff_eq!(first, second, epsilon = SEWN);
        assert_abs_diff_eq!(hem_kink(&recut.pattern), hem_kink(&before), epsilon = 0.05);
        assert_no_new_kink(&before, &recut.pattern);
        assert_girths_accounted(&before, &recut.pattern);
    }
}

/// Every seam of the shipped patterns that can be trued when one side of it is 6 mm short of its ease, at hem, armhole or
/// neck and by either piece, is trued without a kink.
#[test]
fn every_seam_of_the_shipped_patterns_is_trued_without_a_kink() {
    let mut trued = 0;
    for name in ["coat", "dress", "awkward", "skirt-shaped-back"] {
        let pattern = fixture(name);
        for id in pattern.seam_ids() {
            let seam = pattern.seam(id);
            let named = |edge: &&EdgeRef| pattern.seam_named(edge, None) == Ok(id);
            let Some(edge) = seam.edges().map(|run| &run.edge).find(named) else { continue };
            let mut before = pattern.clone();
            let ease = Length::from_mm(seam.ease.mm() + 6.0);
            before.replace_seam(id, Seam { ease, ..seam.clone() }).unwrap();
            for by in ["share", edge.piece.as_str()] {
                let fields = serde_json::json!({"do": "true-seam", "seam": edge.to_string(), "by": by});
                if let Ok(recut) = apply(&before, fields) {
                    assert_no_new_kink(&before, &recut.pattern);
                    trued += 1;
                }
            }
        }
    }
    assert!(trued > 40, "only {trued} were trued");
}
