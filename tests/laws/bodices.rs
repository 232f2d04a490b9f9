//! The laws of the dart operations, over random bodices and the shipped dress.

use crate::counted::{counted, kept_in};
use crate::random::bodice::{bodices, darted_bodices};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;
use retrue::curve::{Curve, Motion};
use retrue::pattern::{
    Dart, EdgeRef, LevelName, Notch, Pattern, Piece, Refusal, RefusalKind, Seam, Side, Walk,
};
use retrue::recut::{Recut, Step};

/// What a sewn length may lose where an edge is cut and joined again, mm.
const SEWN: f64 = 2e-3;

/// What a dart pivoted there and back may leave, mm.
const BACK_AGAIN: f64 = 0.01;

/// The sharpest turn that a blended seamline may have, degrees.
const NO_CORNER: f64 = 0.5;

/// What a girth may change by without being told, mm: a thread's breadth.
const UNSAID: f64 = 0.1;

/// What the declared areas may leave over, mm².
const AREA: f64 = 0.1;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_bodices.txt", 256)
}

fn step(mut fields: serde_json::Value) -> Step {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    Step::read(name.as_str().unwrap(), fields).unwrap()
}

fn apply(pattern: &Pattern, fields: serde_json::Value) -> Result<Recut, Refusal> {
    let recut = step(fields).apply(pattern)?;
    recut.pattern.assert_sound();
    Ok(recut)
}

fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    retrue::sheet::read(&bytes, &Default::default()).unwrap().pattern
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn dart<'a>(piece: &'a Piece, name: &str) -> &'a Dart {
    piece.dart_named(&name.parse().unwrap()).unwrap()
}

fn sewn(piece: &Piece, edge: &str) -> f64 {
    piece.sewn_length(piece.find_edge(&edge.parse().unwrap()).unwrap())
}

fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.net_area() * f64::from(piece.times())).sum()
}

/// The area that the last step declares, every copy counted.
fn declared(pattern: &Pattern) -> f64 {
    let declared = pattern.record.steps.last().unwrap().declared.iter();
    declared.map(|declared| declared.area * f64::from(pattern.piece(&declared.piece).unwrap().times())).sum()
}

fn assert_legs_equal(dart: &Dart) {
    let (first, second) = dart.legs();
    assert_abs_diff_eq!(first.length(), second.length(), epsilon = SEWN);
}

/// How far along an edge a dart opens, with that edge's name, as a place.
fn place_of(piece: &Piece, dart: &Dart) -> String {
    let mouth = dart.mouth().unwrap();
    let edge = piece.edge_named(&mouth.edge).unwrap();
    format!("{}@{}mm", mouth.edge, piece.to_sewn(edge, mouth.from))
}

/// Every seam has the ease that it declares.
fn assert_seams_true(pattern: &Pattern) {
    for seam in pattern.seams() {
        let length = |side: Side| Walk::of(pattern, seam.side(side)).unwrap().length();
        let off = length(Side::First) - length(Side::Second) - seam.ease.mm();
        assert!(off.abs() <= 5.0 * SEWN, "{} is out by {off} mm", seam.name());
    }
}

/// Every length of an old edge is found again, as it was sewn, on the edges that come from it.
fn assert_old_edges_kept(before: &Piece, after: &Pattern) {
    for edge in before.edges() {
        let name = EdgeRef::new(before.name().clone(), edge.name.clone());
        let mut found = 0.0;
        for piece in after.pieces() {
            for (id, now) in piece.edge_ids().zip(piece.edges()) {
                let own: f64 = now.origins.iter().map(|origin| (origin.to - origin.from).abs()).sum();
                if now.origins.iter().any(|origin| origin.edge == name) {
                    assert_abs_diff_eq!(piece.sewn_length(id), own, epsilon = SEWN);
                }
                let of_edge = now.origins.iter().filter(|origin| origin.edge == name);
                found += of_edge.map(|origin| (origin.to - origin.from).abs()).sum::<f64>();
            }
        }
        assert_abs_diff_eq!(found, sewn(before, edge.name.as_str()), epsilon = 2.0 * SEWN);
    }
}

fn assert_same_piece(a: &Piece, b: &Piece, within: f64) {
    assert_eq!(a.edges().len(), b.edges().len());
    let neck = |piece: &Piece| {
        let neck = &piece.edge(piece.find_edge(&"neck".parse().unwrap()).unwrap()).curve;
        (neck.start(), neck.end())
    };
    let shift = Motion::carry(neck(a), neck(b)).unwrap();
    for edge in a.edges() {
        let other = b.edge(b.find_edge(&edge.name).unwrap());
        let off = edge.curve.moved(&shift).distance_to(&other.curve);
        assert!(off <= within, "{} is off by {off} mm", edge.name);
    }
    assert_eq!(a.darts.len(), b.darts.len());
    for old in &a.darts {
        let (old, new) = (old.moved(&shift), dart(b, old.name.as_str()));
        for (old, new) in [(old.legs().0, new.legs().0), (old.legs().1, new.legs().1)] {
            assert!(old.start().distance(new.start()) <= within && old.end().distance(new.end()) <= within);
        }
    }
    for old in &a.notches {
        let new = b.notches.iter().find(|notch| notch.name == old.name).unwrap();
        assert_eq!(new.edge, old.edge);
        assert_abs_diff_eq!(new.at, old.at, epsilon = within);
    }
}

/// Where a dart may be moved to, on the edges of a bodice.
fn new_place() -> impl Strategy<Value = String> {
    let edge = prop_oneof!["shoulder", "waist", "side", "armhole", "neck", "centre"];
    (edge, 5.0..95.0_f64).prop_map(|(edge, share)| format!("{edge}@{share:.2}%"))
}

/// Whether a pivot or a cut may be refused so: the way there leaves the piece or crosses another dart.
fn is_in_the_way(refusal: &Refusal) -> bool {
    matches!(refusal.kind, RefusalKind::BadLine | RefusalKind::DartInTheWay)
        || (refusal.kind == RefusalKind::BadDart
            && (refusal.what.contains("own mouth") || refusal.what.contains("on the fold")))
}

/// Law 2: "A dart pivoted about the bust point keeps its angle; a longer dart has a wider mouth; seam lengths stay"
/// (Erwin, Practical Dress Design, rev. ed. 1954, p. 31 [S]). Net area is kept, both legs are equal, and back again
/// it is the piece it was (law 6).
#[test]
fn a_pivoted_dart_keeps_angle_area_and_lengths() {
    counted(
        config(),
        (darted_bodices(), prop_oneof!["bust-dart", "waist-dart"], new_place()),
        |(bodice, which, to)| {
            let before = bodice.pattern();
            let old = piece(&before, "front");
            let pivot = |pattern: &Pattern, to: &str| {
                apply(
                    pattern,
                    serde_json::json!({"do": "pivot-dart", "piece": "front", "dart": which, "to": to}),
                )
            };
            let after = match pivot(&before, &to) {
                Ok(recut) => recut.pattern,
                Err(refusal) => {
                    prop_assert!(is_in_the_way(&refusal), "{}", refusal);
                    return Ok(false);
                }
            };
            let new = piece(&after, "front");
            let (was, is) = (dart(old, &which), dart(new, &which));
            assert_abs_diff_eq!(is.angle().unwrap(), was.angle().unwrap(), epsilon = 1e-6);
            assert_legs_equal(is);
            let (radius, half) = (is.legs().0.length(), is.angle().unwrap().to_radians() / 2.0);
            let mouth = is.legs().0.start().distance(is.legs().1.start());
            assert_abs_diff_eq!(mouth, 2.0 * radius * half.sin(), epsilon = SEWN);
            assert_relative_eq!(new.net_area(), old.net_area(), max_relative = 1e-6);
            prop_assert_eq!(declared(&after), 0.0);
            for edge in old.edges() {
                assert_abs_diff_eq!(
                    sewn(new, edge.name.as_str()),
                    sewn(old, edge.name.as_str()),
                    epsilon = SEWN
                );
            }
            assert_seams_true(&after);
            let back = pivot(&after, &place_of(old, was)).unwrap().pattern;
            assert_same_piece(old, piece(&back, "front"), BACK_AGAIN);
            prop_assert_eq!(before.seams().len(), back.seams().len());
            Ok(true)
        },
    );
}

/// A share of a dart moves that share of its angle and leaves the rest.
#[test]
fn a_share_moves_its_share_of_the_angle() {
    counted(config(), (darted_bodices(), new_place(), 5.0..95.0_f64), |(bodice, to, share)| {
        let before = bodice.pattern();
        let old = piece(&before, "front");
        let fields = serde_json::json!({
            "do": "pivot-dart", "piece": "front", "dart": "bust-dart", "to": to, "share": format!("{share}%")
        });
        let after = match apply(&before, fields) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(is_in_the_way(&refusal), "{}", refusal);
                return Ok(false);
            }
        };
        let new = piece(&after, "front");
        let angle = dart(old, "bust-dart").angle().unwrap();
        let moved = dart(new, "bust-dart-moved");
        assert_abs_diff_eq!(moved.angle().unwrap(), angle * share / 100.0, epsilon = 1e-6);
        assert_abs_diff_eq!(
            dart(new, "bust-dart").angle().unwrap(),
            angle * (1.0 - share / 100.0),
            epsilon = 1e-6
        );
        assert_legs_equal(moved);
        assert_legs_equal(dart(new, "bust-dart"));
        assert_relative_eq!(new.net_area(), old.net_area(), max_relative = 1e-6);
        for edge in old.edges() {
            assert_abs_diff_eq!(sewn(new, edge.name.as_str()), sewn(old, edge.name.as_str()), epsilon = SEWN);
        }
        assert_seams_true(&after);
        Ok(true)
    });
}

/// Turned about the bust point, the new tip stands off as asked, and what the redrawn legs changed is declared.
#[test]
fn a_tip_stands_off_as_asked() {
    counted(config(), (darted_bodices(), 10.0..90.0_f64, 0.0..60.0_f64), |(bodice, to, off)| {
        let before = bodice.pattern();
        let fields = serde_json::json!({
            "do": "pivot-dart", "piece": "front", "dart": "waist-dart", "to": format!("shoulder@{to:.2}%"),
            "about": "bust-point", "stand-off": format!("{off}mm")
        });
        let after = match apply(&before, fields) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(is_in_the_way(&refusal), "{}", refusal);
                return Ok(false);
            }
        };
        let new = piece(&after, "front");
        let point = new.point_named(&"bust-point".parse().unwrap()).unwrap().at;
        let moved = dart(new, "waist-dart");
        assert_abs_diff_eq!(moved.legs().0.end().distance(point), off, epsilon = 1e-6);
        assert_legs_equal(moved);
        assert_abs_diff_eq!(net_area(&after) - net_area(&before), declared(&after), epsilon = AREA);
        assert_old_edges_kept(piece(&before, "front"), &after);
        Ok(true)
    });
}

/// Law 3: a dart run out to a seam keeps the sewn length of every old edge, leaves no corner, and the area it took
/// out stays out.
#[test]
fn a_dart_run_out_to_a_seam_keeps_all_lengths() {
    counted(
        config(),
        (darted_bodices(), prop_oneof!["bust-dart", "waist-dart"], proptest::option::of(new_place())),
        |(bodice, which, to)| {
            let before = bodice.pattern();
            let mut fields = serde_json::json!({"do": "dart-to-seam", "piece": "front", "dart": which});
            if let Some(to) = to {
                fields["to"] = to.into();
            }
            match apply(&before, fields) {
                Ok(recut) => assert_parted(&before, &recut.pattern, "dart-seam"),
                Err(refusal) => {
                    prop_assert!(may_be_refused(&refusal), "{}", refusal);
                    return Ok(false);
                }
            }
            Ok(true)
        },
    );
}

/// Law 3: a princess seam keeps the sewn length of every old edge, has no corner at the point, differs by no more
/// than its declared ease, and takes out what the darts took out but for what it declares. Notches stand at equal
/// walk distance from the point, above and below it.
#[test]
fn a_princess_seam_keeps_all_lengths() {
    counted(
        config(),
        (
            bodices(),
            prop_oneof!["shoulder", "armhole"],
            20.0..80.0_f64,
            30.0..70.0_f64,
            proptest::option::of(15.0..45.0_f64),
            proptest::option::of(Just("4mm")),
        ),
        |(bodice, from, at, to, blend, to_ease)| {
            let before = bodice.pattern();
            let mut fields = serde_json::json!({
                "do": "add-princess-seam", "piece": "front", "from": format!("{from}@{at:.2}%"), "through": "bust-point",
                "to": format!("waist@{to:.2}%")
            });
            if let Some(blend) = blend {
                fields["blend"] = format!("{blend}mm").into();
            }
            if let Some(ease) = to_ease {
                fields["ease"] = ease.into();
            }
            match apply(&before, fields) {
                Ok(recut) => assert_parted(&before, &recut.pattern, "princess"),
                Err(refusal) => {
                    prop_assert!(may_be_refused(&refusal), "{}", refusal);
                    return Ok(false);
                }
            }
            Ok(true)
        },
    );
}

fn may_be_refused(refusal: &Refusal) -> bool {
    is_in_the_way(refusal) || refusal.kind == RefusalKind::LengthsDiffer
}

/// What holds of a front that was parted by a new seam of a name.
fn assert_parted(before: &Pattern, after: &Pattern, word: &str) {
    assert_cut_in_two(before, after, "front", word);
}

fn assert_cut_in_two(before: &Pattern, after: &Pattern, name: &str, word: &str) {
    assert_old_edges_kept(piece(before, name), after);
    assert_seams_true(after);
    assert_abs_diff_eq!(net_area(after) - net_area(before), declared(after), epsilon = AREA);
    let seam = after.seams().iter().find(|seam| seam.first.edges()[0].edge.edge.as_str() == word).unwrap();
    let drawn_corners = corners_of_double_darts(piece(before, name));
    for side in [Side::First, Side::Second] {
        let (piece, id) = after.edge(&seam.side(side).edges()[0].edge).unwrap();
        for joint in piece.edge(id).curve.joints() {
            let turn = joint.turn.to_degrees().abs();
            if drawn_corners.iter().any(|drawn| (turn - drawn).abs() <= NO_CORNER) {
                continue;
            }
            assert!(turn <= NO_CORNER, "a corner of {turn}° at {} mm of {}", joint.at, seam.name());
        }
    }
    assert_notches_meet(after, seam);
    let width = |pattern: &Pattern, level: &LevelName| -> f64 {
        let girths = retrue::truing::girths(pattern);
        girths.iter().find(|girth| girth.level == *level).map_or(0.0, |girth| girth.around.mm())
    };
    for girth in retrue::truing::girths(before) {
        let level = girth.level;
        let unsaid = width(after, &level) - girth.around.mm() - after.record.declared_girth(&level);
        assert!(unsaid.abs() <= UNSAID, "{level} changes by {unsaid} mm unsaid");
    }
}

/// The turns, in degrees, at the widest place of double darts: a seam through one keeps its sides as they were drawn.
fn corners_of_double_darts(piece: &Piece) -> Vec<f64> {
    let double = piece.darts.iter().filter(|dart| dart.mouth().is_none());
    let sides = double.flat_map(|dart| [dart.legs().0, dart.legs().1]);
    sides
        .flat_map(Curve::joints)
        .map(|joint| joint.turn.to_degrees().abs())
        .filter(|turn| *turn > NO_CORNER)
        .collect()
}

/// The notches of both sides of a new seam, one above the point and one below: the first pair at equal walk distance
/// from the start, the second from the end.
fn assert_notches_meet(pattern: &Pattern, seam: &Seam) {
    let of_side = |side: Side| {
        let run = seam.side(side);
        let walk = Walk::of(pattern, run).unwrap();
        let edge = &run.edges()[0].edge;
        let piece = pattern.piece(&edge.piece).unwrap();
        let own = |notch: &&Notch| notch.edge == edge.edge;
        let mut at: Vec<f64> =
            piece.notches.iter().filter(own).map(|n| walk.distance_of(edge, n.at).unwrap()).collect();
        at.sort_by(f64::total_cmp);
        (at, walk.length())
    };
    let ((first, length), (second, other_length)) = (of_side(Side::First), of_side(Side::Second));
    assert_eq!((first.len(), second.len()), (2, 2), "{}", seam.name());
    assert_abs_diff_eq!(first[0], second[0], epsilon = 1e-3);
    assert_abs_diff_eq!(length - first[1], other_length - second[1], epsilon = 1e-3);
}

/// Dart and princess seam of the shipped dress and coat, in every way in which a line can start and end.
#[test]
fn seams_through_the_fixtures_keep_all_lengths() {
    let (dress, coat) = (fixture("dress"), fixture("coat"));
    let cases = [
        (
            &dress,
            "bodice-front",
            serde_json::json!({"from": "shoulder@50%", "through": "bust-point", "to": "waist@45% from centre"}),
        ),
        (
            &dress,
            "bodice-front",
            serde_json::json!({"from": "armhole@50%", "through": "bust-point", "to": "waist@45% from centre"}),
        ),
        (
            &dress,
            "bodice-back",
            serde_json::json!({"from": "shoulder@50%", "through": "waist-dart.tip", "to": "waist@45% from centre", "darts": "shoulder-dart, waist-dart"}),
        ),
        (
            &coat,
            "front",
            serde_json::json!({"from": "shoulder@50%", "through": "bust-point", "to": "hem@45% from centre"}),
        ),
        (
            &coat,
            "front",
            serde_json::json!({"from": "armhole@40%", "through": "bust-point", "to": "hem@45% from centre"}),
        ),
    ];
    for (before, name, mut fields) in cases {
        fields["do"] = "add-princess-seam".into();
        fields["piece"] = name.into();
        let after = apply(before, fields).unwrap().pattern;
        assert_cut_in_two(before, &after, name, "princess");
    }
    for (name, which) in
        [("lining-back", "waist-dart"), ("lining-front", "waist-dart"), ("skirt-front", "waist-dart")]
    {
        let fields = serde_json::json!({"do": "dart-to-seam", "piece": name, "dart": which});
        let after = apply(&dress, fields).unwrap().pattern;
        assert_cut_in_two(&dress, &after, name, "dart-seam");
    }
}

/// The tip stands off from the bust point by 2.5 cm as is usual [C]; 1 to 2½ in by direction (Erwin p. 30 [S]).
#[test]
fn the_usual_stand_off_is_kept() {
    let dress = fixture("dress");
    for (off, mm) in [("2.5cm", 25.0), ("1in", 25.4), ("2.5in", 63.5)] {
        let fields = serde_json::json!({
            "do": "pivot-dart", "piece": "bodice-front", "dart": "bust-dart", "to": "shoulder@50%",
            "about": "bust-point", "stand-off": off
        });
        let after = apply(&dress, fields).unwrap().pattern;
        let front = piece(&after, "bodice-front");
        let point = front.point_named(&"bust-point".parse().unwrap()).unwrap().at;
        assert_abs_diff_eq!(dart(front, "bust-dart").legs().0.end().distance(point), mm, epsilon = 1e-4);
        assert_abs_diff_eq!(net_area(&after) - net_area(&dress), declared(&after), epsilon = AREA);
    }
}

/// Darts stacked at the bust point: equal angles; the closed patterns coincide (NIMI, CITS Dress Making, Trade Theory,
/// 2024, p. 180 [S]). Wherever the dart went on its way, at the same place it makes the same piece.
#[test]
fn darts_stacked_at_one_point_coincide() {
    let dress = fixture("dress");
    let pivot = |pattern: &Pattern, to: &str| {
        let fields = serde_json::json!({
            "do": "pivot-dart", "piece": "bodice-front", "dart": "bust-dart", "to": to, "about": "bust-point"
        });
        apply(pattern, fields).unwrap().pattern
    };
    let straight = pivot(&dress, "shoulder@50%");
    let angle = |pattern: &Pattern| dart(piece(pattern, "bodice-front"), "bust-dart").angle().unwrap();
    for way in ["armhole@50%", "armhole@20%", "side@80%", "shoulder@20%", "neck@40%"] {
        let aside = pivot(&dress, way);
        assert_abs_diff_eq!(angle(&aside), angle(&straight), epsilon = 1e-4);
        let around = pivot(&aside, "shoulder@50%");
        assert_same_piece(piece(&straight, "bodice-front"), piece(&around, "bodice-front"), BACK_AGAIN);
    }
}
