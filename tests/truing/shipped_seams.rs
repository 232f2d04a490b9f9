//! Laws of moved and merged seams, and of seams that take darts in, on the shipped patterns.

use approx::assert_abs_diff_eq;
use retrue::curve::{Curve, Point, Vec2};
use retrue::pattern::{Edge, EdgeRef, Pattern, Piece, RefusalKind, Walk};
use retrue::recut::{Notice, Recut, Step};
use retrue::sheet;
use retrue::truing::{Finding, FindingKind, Limits, Weight, check, girths};
use serde_json::json;

fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    sheet::read(&bytes, &Default::default()).unwrap().pattern
}

fn step(mut fields: serde_json::Value) -> Step {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    Step::read(name.as_str().unwrap(), fields).unwrap()
}

fn run(pattern: &Pattern, fields: serde_json::Value) -> Recut {
    let recut = step(fields.clone()).apply(pattern).unwrap_or_else(|refusal| panic!("{fields}: {refusal}"));
    recut.pattern.assert_sound();
    let again = sheet::read(sheet::write(&recut.pattern).unwrap().as_bytes(), &Default::default()).unwrap();
    assert_eq!(again.pattern.seams().len(), recut.pattern.seams().len());
    recut
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn edge<'a>(pattern: &'a Pattern, name: &str) -> &'a Curve {
    &pattern.find_edge(&name.parse::<EdgeRef>().unwrap()).unwrap().curve
}

fn moved_back(extra: &[(&str, &str)]) -> serde_json::Value {
    let mut fields = json!({"do": "move-seam", "seam": "front.side", "from": "back", "to-width": "18.5cm"});
    for (name, value) in extra {
        fields[*name] = json!(value);
    }
    fields
}

/// Law 4, at every station 10 mm apart along the old seam and not only at the levels: the back has lost, and the front
/// has gained, the same width. The front keeps its own cloth where it was, so what it gained at a station is measured
/// from the old seamline to the new edge along the strip's level, which is turned as the told strip is.
#[test]
fn a_moved_side_seam_keeps_the_girth_all_along_the_old_seam() {
    let old = fixture("coat");
    let recut = run(&old, moved_back(&[]));
    let new = &recut.pattern;
    let motion =
        new.record.steps[0].moved.iter().find(|m| m.from.as_str() == "back" && m.to.as_str() == "front");
    let strip_turn = {
        let [a, b, ..] = motion.unwrap().motion;
        Vec2::new(a, b).normalize()
    };
    let shift = piece(new, "front").grainline.as_ref().unwrap().start
        - piece(&old, "front").grainline.as_ref().unwrap().start;
    let (front, back) = (edge(&old, "front.side").reversed(), edge(&old, "back.side"));
    let taken = edge(new, "front.side");
    let mut stations = 0;
    for at in (0..).map(|i| f64::from(i) * 10.0).take_while(|at| *at <= back.length().min(front.length())) {
        let (seam, joint) = (back.point_at(at), front.point_at(at) + shift);
        let given = seam.x - (piece(&old, "back").bounds().x0 + 185.0);
        let level = Vec2::new(-strip_turn.x, -strip_turn.y);
        let far = Curve::line(joint - level * 60.0, joint + level * 300.0).unwrap();
        let Some(met) = far.crossings(taken).first().map(|crossing| crossing.point) else { continue };
        let gained = (met - joint).dot(level);
        assert!(
            (gained - given).abs() < 0.1,
            "at {at} mm: the back gives {given:.3}, the front gains {gained:.3}"
        );
        stations += 1;
    }
    assert!(stations > 60, "only {stations} stations were measured");
    for (before, after) in girths(&old).iter().zip(girths(new)) {
        assert_abs_diff_eq!(before.around.mm(), after.around.mm(), epsilon = 0.1);
    }
}

#[test]
fn a_moved_side_seam_is_straight_on_the_giving_piece_and_true_on_the_garment() {
    let old = fixture("coat");
    let new = run(&old, moved_back(&[])).pattern;
    let side = edge(&new, "back.side");
    assert!(side.is_straight(1e-6));
    assert_abs_diff_eq!(side.start().x, side.end().x, epsilon = 1e-6);
    let untrue: Vec<_> = check(&new, &Limits::default())
        .into_iter()
        .filter(|finding| finding.weight == Weight::Untrue)
        .collect();
    assert!(untrue.is_empty(), "{untrue:?}");
}

#[test]
fn the_sleeve_fits_the_same_armhole_after_the_side_seam_has_moved() {
    let old = fixture("coat");
    let new = run(&old, moved_back(&[])).pattern;
    let armhole = |pattern: &Pattern| {
        let cap: EdgeRef = "sleeve.cap".parse().unwrap();
        let seam = pattern.seam(pattern.seams_of(&cap).next().unwrap()).clone();
        let walk = Walk::of(pattern, &seam.second).unwrap();
        let edges: Vec<String> = seam.second.edges().iter().map(|run| run.edge.to_string()).collect();
        (walk.length(), edges, walk.notches().iter().map(|notch| (notch.at, notch.count)).collect::<Vec<_>>())
    };
    let (before, after) = (armhole(&old), armhole(&new));
    assert_abs_diff_eq!(before.0, after.0, epsilon = 1e-3);
    assert_eq!(after.1, ["front.armhole-2", "back.armhole", "front.armhole"]);
    assert_eq!(before.2.len(), after.2.len());
    for (a, b) in before.2.iter().zip(&after.2) {
        assert_abs_diff_eq!(a.0, b.0, epsilon = 1e-3);
        assert_eq!(a.1, b.1);
    }
}

#[test]
fn a_back_too_narrow_to_leave_by_the_armhole_is_refused_with_the_least_width() {
    let refusal = step(json!({"do": "move-seam", "seam": "front.side", "from": "back", "to-width": "12cm"}))
        .apply(&fixture("coat"))
        .unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadWidth);
    assert!(refusal.what.contains("least width"), "{refusal}");
    assert!(
        refusal.way_out.to_string().contains("open-centre") && refusal.way_out.to_string().contains("yoke"),
        "{refusal}"
    );
}

#[test]
fn shaping_that_is_dropped_is_told_as_girth_lost_or_gained() {
    let recut = run(&fixture("coat"), moved_back(&[("shaping", "drop")]));
    let waist = recut.notices.iter().any(|told| matches!(told, Notice::AreaChanged { by, .. } if *by > 0.0));
    assert!(waist, "{:?}", recut.notices);
    assert!(edge(&recut.pattern, "front.side").is_straight(1e-6));
}

/// Hertzer, Garment Cutting, 1892 \[S, analogue\]: what leaves one piece joins the other, the total length is unchanged.
#[test]
fn a_shoulder_moved_forward_keeps_neck_and_armhole() {
    let old = fixture("coat");
    let new = run(&old, json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": "15mm"}))
        .pattern;
    for name in ["neck", "armhole"] {
        let total = |pattern: &Pattern| -> f64 {
            ["front", "back"]
                .iter()
                .flat_map(|name| piece(pattern, name).edges())
                .filter(|edge| edge.name.as_str().starts_with(name))
                .map(|edge| edge.curve.length())
                .sum()
        };
        assert_abs_diff_eq!(total(&old), total(&new), epsilon = 1e-3);
    }
}

#[test]
fn a_shaped_centre_becomes_a_flat_back_with_a_dart_that_tapers_to_nothing() {
    let old = fixture("skirt-shaped-back");
    let refused = step(json!({"do": "merge-at-seamline", "seam": "back.centre"})).apply(&old).unwrap_err();
    assert_eq!(refused.kind, RefusalKind::Gap);
    let new = run(&old, json!({"do": "merge-at-seamline", "seam": "back.centre", "shaping": "dart"})).pattern;
    let back = piece(&new, "back");
    assert_eq!(back.cut.copies, 1);
    assert_eq!(back.darts.len(), 2 * piece(&old, "back").darts.len() + 1);
    assert_abs_diff_eq!(back.net_area(), 2.0 * piece(&old, "back").net_area(), epsilon = 20.0);
    for (before, after) in girths(&old).iter().zip(girths(&new)) {
        assert_abs_diff_eq!(before.around.mm(), after.around.mm(), epsilon = 0.1);
    }
}

#[test]
fn split_then_merged_a_piece_is_what_it_was() {
    let old = fixture("coat");
    for line in ["neck@40% > hem@50%", "level waist", "shoulder@30% ~ bust-point ~ hem@30%"] {
        let parts =
            run(&old, json!({"do": "split", "piece": "front", "line": line, "names": "one, two"})).pattern;
        let whole =
            run(&parts, json!({"do": "merge-at-seamline", "seam": "one.seam", "name": "front"})).pattern;
        let (before, after) = (piece(&old, "front"), piece(&whole, "front"));
        let shift = after.bounds().origin() - before.bounds().origin();
        assert_eq!(before.edges().len(), after.edges().len(), "{line}");
        for edge in before.edges() {
            let now = after.edge(after.edge_named(&edge.name).unwrap());
            let back = now.curve.moved(&retrue::curve::Motion::shift(-shift));
            assert!(back.distance_to(&edge.curve) < 0.01, "{line}: {}", edge.name);
        }
    }
}

#[test]
fn princess_seams_take_the_darts_in_and_keep_every_other_sewn_length() {
    let cases = [
        ("dress", "bodice-front", "shoulder@50%", "bust-point", "waist@45% from centre"),
        ("dress", "bodice-front", "armhole@50%", "bust-point", "waist@45% from centre"),
        ("coat", "front", "shoulder@50%", "bust-point", "hem@45% from centre"),
        ("coat", "front", "armhole@40%", "bust-point", "hem@45% from centre"),
    ];
    for (sheet, name, from, through, to) in cases {
        let old = fixture(sheet);
        let fields =
            json!({"do": "add-princess-seam", "piece": name, "from": from, "through": through, "to": to});
        let new = run(&old, fields).pattern;
        let whole = piece(&old, name);
        let panels = [piece(&new, &format!("{name}-centre")), piece(&new, &format!("{name}-side"))];
        assert!(panels.iter().all(|panel| panel.darts.is_empty()), "{sheet} {from}");
        for id in whole.edge_ids() {
            let edge = &whole.edge(id).name;
            let now: f64 = panels
                .iter()
                .flat_map(|panel| panel.edge_ids().map(move |id| (panel, id)))
                .filter(|(panel, id)| panel.edge(*id).name == *edge)
                .map(|(panel, id)| panel.sewn_length(id))
                .sum();
            assert_abs_diff_eq!(whole.sewn_length(id), now, epsilon = 1e-3);
        }
        let seam = new.seams().last().unwrap();
        let lengths = [&seam.first, &seam.second].map(|run| Walk::of(&new, run).unwrap().length());
        assert!((lengths[0] - lengths[1] - seam.ease.mm()).abs() < 0.01 && seam.ease.mm().abs() <= 1.5);
        for panel in panels {
            let edge = panel.edges().iter().find(|edge| edge.name.as_str() == "princess").unwrap();
            let sharpest =
                edge.curve.joints().iter().map(|joint| joint.turn.abs().to_degrees()).fold(0.0, f64::max);
            assert!(sharpest < 0.5, "{sheet} {from}: a corner of {sharpest}° in the seam");
        }
    }
}

/// Erwin, Practical Dress Design, rev. ed. 1954, p. 31 \[S\]: a dart pivoted about its point keeps its angle, a longer
/// dart has a wider mouth, seam lengths stay.
#[test]
fn a_pivoted_dart_keeps_its_angle_and_every_seam_length() {
    let old = fixture("dress");
    let before = piece(&old, "bodice-front");
    let angle = |piece: &Piece| {
        let (a, b) = piece.darts.iter().find(|dart| dart.name.as_str() == "bust-dart").unwrap().legs();
        let (u, v) = (a.start() - a.end(), b.start() - b.end());
        (u.cross(v).atan2(u.dot(v)).abs().to_degrees(), a.length(), b.length())
    };
    for to in ["shoulder@50%", "neck@50%", "armhole@40%"] {
        let fields = json!({"do": "pivot-dart", "piece": "bodice-front", "dart": "bust-dart", "to": to});
        let new = run(&old, fields).pattern;
        let after = piece(&new, "bodice-front");
        let (was, is) = (angle(before), angle(after));
        assert_abs_diff_eq!(was.0, is.0, epsilon = 0.02);
        assert_abs_diff_eq!(is.1, is.2, epsilon = 0.1);
        assert_abs_diff_eq!(before.net_area(), after.net_area(), epsilon = 1.0);
        for id in before.edge_ids() {
            let now = after.edge_named(&before.edge(id).name).unwrap();
            assert_abs_diff_eq!(before.sewn_length(id), after.sewn_length(now), epsilon = 0.01);
        }
    }
}

/// Where a shoulder seam goes forward or back, the notch of the sleeve cap that meets it goes along, and so does that of
/// no other seam; what it moved by is told, and the seam walks.
#[test]
fn the_shoulder_notch_of_the_sleeve_goes_with_the_shoulder_seam() {
    let old = fixture("coat");
    let cap_notch = |pattern: &Pattern| {
        let notches = &piece(pattern, "sleeve").notches;
        notches.iter().find(|notch| notch.name.as_str() == "cap-shoulder-notch").map(|notch| notch.at)
    };
    for from in ["front", "back"] {
        for by in ["5mm", "15mm", "20mm"] {
            let seam = json!({"do": "move-seam", "seam": "front.shoulder", "from": from, "by": by});
            let recut = run(&old, seam);
            let told: Vec<f64> = recut
                .notices
                .iter()
                .filter_map(|told| match told {
                    Notice::NotchMoved { edge, by, .. } if edge.to_string() == "sleeve.cap" => Some(by.mm()),
                    _ => None,
                })
                .collect();
            let moved = (cap_notch(&recut.pattern).unwrap() - cap_notch(&old).unwrap()).abs();
            assert_eq!(told.len(), 1, "{from} {by}: {:?}", recut.notices);
            assert_abs_diff_eq!(told[0], moved, epsilon = 1e-9);
            let found = check(&recut.pattern, &Limits::default());
            let notches: Vec<_> = found.iter().filter(|finding| finding.at.contains("notch on")).collect();
            assert!(notches.is_empty(), "{from} {by}: {notches:?}");
        }
    }
    let side = run(&old, json!({"do": "move-seam", "seam": "front.side", "from": "back", "by": "2cm"}));
    assert_eq!(cap_notch(&side.pattern), cap_notch(&old));
}

/// A front that is wrapped further and its facing with it: beyond the collar's end the neck goes on at a right angle to it, in all
/// layers alike, which is a corner and no kink. Where the layers turn otherwise it is told.
#[test]
fn a_collar_that_ends_before_an_extended_facing_is_no_kink() {
    let mut wide = fixture("coat");
    for edge in ["front.centre", "front-facing.centre"] {
        wide = run(&wide, json!({"do": "extend-edge", "edge": edge, "by": "2cm"})).pattern;
    }
    let found = check(&wide, &Limits::default());
    assert!(found.iter().all(|finding| finding.weight != Weight::Untrue), "{found:?}");
    // The lap of the facing slants, by 4 mm on 20.
    let facing = piece(&wide, "front-facing");
    let edges = facing.edges().iter().map(|edge| {
        let (start, end) = (edge.curve.start(), edge.curve.end());
        let lower = |at: Point| Point::new(at.x, at.y + 4.0);
        let curve = match edge.name.as_str() {
            "neck-lap" => Curve::line(start, lower(end)).unwrap(),
            "centre" => Curve::line(lower(start), end).unwrap(),
            _ => edge.curve.clone(),
        };
        Edge { curve, ..edge.clone() }
    });
    let slanting = Piece::new(facing.name().clone(), edges.collect()).unwrap();
    wide.replace_piece(&"front-facing".parse().unwrap(), vec![slanting]).unwrap();
    let found = check(&wide, &Limits::default());
    let kinks: Vec<_> = found.iter().filter(|finding| finding.kind == FindingKind::Kink).collect();
    // The line that turns is that of the facing, by what it slants.
    let slant = 4.0_f64.atan2(20.0).to_degrees();
    let is_told =
        |kink: &&Finding| kink.at.contains("front-facing.neck-lap") && (kink.number - slant).abs() < 0.5;
    assert!(kinks.iter().any(is_told), "{found:?}");
}

/// A side seam that is bent is left by a straight line only beyond its bend, and only as far as the line still ends on the
/// neighbours. The distance that a refusal names is one at which it does.
#[test]
fn a_straight_seam_that_would_end_elsewhere_is_refused_with_a_distance_that_does_not() {
    let seams = [
        ("coat", "front.side", ["front", "back"]),
        ("skirt-shaped-back", "front.side", ["front", "back"]),
        ("dress", "skirt-front.side", ["skirt-front", "skirt-back"]),
    ];
    let mut refused = 0;
    for (sheet, seam, pieces) in seams {
        let pattern = fixture(sheet);
        for from in pieces {
            for by in [2, 10, 20, 40, 200, 300] {
                let moved = |by: String| {
                    let fields =
                        json!({"do": "move-seam", "seam": seam, "from": from, "line": "grain", "by": by});
                    step(fields).apply(&pattern)
                };
                let Err(refusal) = moved(format!("{by}mm")) else { continue };
                if refusal.kind != RefusalKind::BadLine {
                    continue;
                }
                refused += 1;
                let way_out = refusal.way_out.to_string();
                for named in way_out.split("by = \"").skip(1).filter_map(|text| text.split('"').next()) {
                    let kind = moved(named.to_owned()).err().map(|refusal| refusal.kind);
                    assert_ne!(kind, Some(RefusalKind::BadLine), "{sheet} {from} {by}: {way_out}");
                }
                assert!(way_out.contains("by = \""), "{sheet} {from} {by}: {refusal}");
            }
        }
    }
    assert!(refused >= 20, "{refused} were refused");
}
