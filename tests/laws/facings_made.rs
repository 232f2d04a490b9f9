//! Facings of known shapes: as published, over seams and darts, and in place of one that was drawn by hand.

use approx::assert_abs_diff_eq;
use retrue::curve::{Curve, PathSeg, Point};
use retrue::pattern::{Edge, Finish, Grainline, Pattern, Piece, RefusalKind};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::{SewingWork, Verdict, construction_order};
use retrue::units::Length;
use serde_json::json;

use crate::made::{LAID, apply, as_fields, assert_as_true, assert_proven, edge, name, piece, step};

/// A quarter-circle neck of a radius in a square piece, its centre on the fold.
fn quarter_neck(radius: f64) -> Pattern {
    let (size, k) = (400.0, radius * 0.552_284_749_830_793_4);
    let p = Point::new;
    let arc = kurbo::CubicBez::new(p(0.0, radius), p(k, radius), p(radius, k), p(radius, 0.0));
    let line = |a, b| Curve::line(a, b).unwrap();
    let edge = |name: &str, curve: Curve, finish: Finish| Edge {
        finish,
        allowance: Length::from_mm(if finish == Finish::Fold { 0.0 } else { 10.0 }),
        ..Edge::new(name.parse().unwrap(), curve)
    };
    let edges = vec![
        edge("neck", Curve::new([PathSeg::Cubic(arc)]).unwrap(), Finish::Free),
        edge("shoulder", line(p(radius, 0.0), p(size, 0.0)), Finish::Free),
        edge("side", line(p(size, 0.0), p(size, size)), Finish::Free),
        edge("hem", line(p(size, size), p(0.0, size)), Finish::Free),
        edge("centre", line(p(0.0, size), p(0.0, radius)), Finish::Fold),
    ];
    let mut front = Piece::new(name("front"), edges).unwrap();
    front.grainline = Some(Grainline {
        start: p(200.0, 100.0),
        end: p(200.0, 300.0),
        arrows: Default::default(),
        kept: Default::default(),
    });
    Pattern::new(vec![front], Vec::new()).unwrap()
}

/// Neck facing of width 38.1 mm (CON v3 p50) on a quarter-circle neck of 75 mm: inner edge 177.66 mm, area 5,628.6 mm². The
/// rule [S], shape and numbers [D]. One cubic for a quarter circle is off it by 0.02 %.
#[test]
fn a_quarter_circle_neck_is_faced_as_published() {
    let after =
        apply(&quarter_neck(75.0), json!({"do": "add-facing", "along": "front.neck", "depth": "38.1mm"}))
            .pattern;
    let facing = piece(&after, "front-facing");
    let (neck, inner) = (&edge(facing, "neck").curve, &edge(facing, "inner").curve);
    assert_abs_diff_eq!(neck.length(), 117.81, epsilon = 0.02);
    assert_abs_diff_eq!(inner.length(), 177.66, epsilon = 0.03);
    assert_abs_diff_eq!(inner.length() - neck.length(), std::f64::consts::FRAC_PI_2 * 38.1, epsilon = LAID);
    assert_abs_diff_eq!(facing.outline().area(), 5628.6, epsilon = 1.5);
    for i in 0..=100 {
        let place = inner.point_at(inner.length() * f64::from(i) / 100.0);
        assert_abs_diff_eq!(neck.run_on(1.0, 1.0).nearest(place).distance, 38.1, epsilon = LAID);
    }
    assert_eq!(facing.cut, piece(&after, "front").cut);
    assert!(facing.fold().is_some());
}

/// Smaller by a distance, square to the sewn edge and inward: of a quarter circle longer by a quarter turn of it, which is
/// declared as ease; over 3 % is refused.
#[test]
fn a_smaller_facing_declares_its_difference_as_ease() {
    let facing = |smaller: &str| json!({"do": "add-facing", "along": "front.neck", "depth": "40mm", "smaller-by": smaller, "name": "facing"});
    let pattern = quarter_neck(75.0);
    let after = apply(&pattern, facing("1.5mm")).pattern;
    let seam = after.seams().first().unwrap();
    assert_abs_diff_eq!(seam.ease.mm(), 1.5 * std::f64::consts::FRAC_PI_2, epsilon = LAID);
    assert!(Verdict::of(&after).is_true());
    let refusal = step(facing("3mm")).apply(&pattern).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::LengthsDiffer);
    assert!(refusal.what.contains("4.7 mm") && refusal.what.contains("3 %"), "{refusal}");
}

/// A facing over a princess seam that reaches the neck, over a dart in the neck, and round an armhole.
#[test]
fn facings_go_over_princess_seams_and_darts_and_round_armholes() {
    let read = |name: &str| {
        let bytes = std::fs::read(format!("fixtures/{name}.svg")).unwrap();
        sheet::read(&bytes, &Default::default()).unwrap().pattern
    };
    let coat = read("coat");
    let princess = json!({"do": "add-princess-seam", "piece": "front", "from": "neck@50%", "through": "bust-point",
        "to": "hem@45% from centre"});
    let cut = apply(&coat, princess).pattern;
    let along = cut.pieces().flat_map(|piece| {
        let necks = piece.edges().iter().filter(|edge| edge.name.as_str().starts_with("neck"));
        necks.map(|edge| format!("{}.{}", piece.name(), edge.name)).collect::<Vec<_>>()
    });
    let along: Vec<String> = along
        .filter(|edge| {
            edge.starts_with("front-c") || edge.starts_with("front-s") || edge.starts_with("back.")
        })
        .collect();
    assert_eq!(along.len(), 3, "{along:?}");
    let facing =
        json!({"do": "add-facing", "along": along.join(", "), "depth": "5cm", "name": "neck-facing"});
    let faced = apply(&cut, facing);
    assert_as_true(&cut, &faced.pattern);
    assert_proven(&coat, &faced.pattern);
    let sewn: f64 = ["back.neck", "front.neck"]
        .iter()
        .map(|edge| coat.find_edge(&edge.parse().unwrap()).unwrap().curve.length())
        .sum();
    let made: f64 = faced
        .pattern
        .pieces()
        .filter(|piece| piece.derived.is_some())
        .map(|piece| edge(piece, "neck").curve.length())
        .sum();
    assert_abs_diff_eq!(made, sewn, epsilon = 0.05);

    let dress = read("dress");
    let dart = json!({"do": "pivot-dart", "piece": "bodice-back", "dart": "shoulder-dart", "to": "neck@50%"});
    let darted = apply(&dress, dart).pattern;
    let facing =
        json!({"do": "add-facing", "along": "bodice-back.neck", "depth": "4cm", "name": "neck-facing"});
    let faced = apply(&darted, facing).pattern;
    let facing = piece(&faced, "neck-facing");
    assert!(facing.darts.is_empty());
    let back = piece(&darted, "bodice-back");
    let net = back.sewn_length(back.edge_named(&"neck".parse().unwrap()).unwrap());
    assert_abs_diff_eq!(edge(facing, "neck").curve.length(), net, epsilon = LAID);
    assert_proven(&dress, &faced);

    let armhole = json!({"do": "add-facing", "along": "back.armhole, front.armhole", "depth": "4cm", "name": "armhole-facing"});
    let faced = apply(&coat, armhole).pattern;
    let facing = piece(&faced, "armhole-facing");
    assert_eq!(facing.cut, piece(&coat, "front").cut);
    let own = faced.seams().iter().filter(|seam| seam.edges().all(|run| run.edge.piece == *facing.name()));
    assert_eq!(own.count(), 1, "its two ends at the shoulder are sewn together");
    assert_as_true(&coat, &faced);
    assert_proven(&coat, &faced);
}

/// A facing that was drawn by hand is offered when a step changes the edge that it is sewn to, and what is offered can be
/// done: it puts the derived facing in its place.
#[test]
fn a_facing_drawn_by_hand_is_offered_anew() {
    let coat =
        sheet::read(&std::fs::read("fixtures/coat.svg").unwrap(), &Default::default()).unwrap().pattern;
    let lengthened = json!({"do": "add-princess-seam", "piece": "front", "from": "neck@50%", "through": "bust-point",
        "to": "hem@45% from centre"});
    let recut = apply(&coat, lengthened);
    let offered = recut.notices.iter().find_map(|told| match told {
        Notice::SameCutNeeded { sewn_to, anew, .. } if sewn_to.piece.as_str() == "front-facing" => {
            anew.first()
        }
        _ => None,
    });
    let offered = offered.expect("an offer");
    let after = apply(&recut.pattern, as_fields(offered)).pattern;
    let facing = piece(&after, "front-facing");
    assert!(facing.derived.is_some());
    assert!(edge(facing, "centre").curve.length() > 800.0);
    assert_proven(&coat, &after);
}

fn fixture(name: &str) -> Pattern {
    let path = format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

/// A facing that is too deep is refused with the greatest depth that there is: that is made, and no more.
#[test]
fn the_deepest_facing_is_offered_and_made() {
    for (of, along) in
        [("coat", "sleeve.cap"), ("coat", "front.neck, back.neck"), ("dress", "bodice-back.armhole")]
    {
        let pattern = fixture(of);
        let facing = |depth: f64| {
            step(json!({"do": "add-facing", "along": along, "depth": format!("{depth:.1}mm"), "name": "x"}))
                .apply(&pattern)
        };
        let offered = |depth: f64| -> f64 {
            let way_out = facing(depth).unwrap_err().way_out.to_string();
            let (_, rest) = way_out.split_once("up to ").unwrap_or_else(|| panic!("{along}: {way_out}"));
            rest.split_once("mm").unwrap().0.parse().unwrap()
        };
        let deepest = offered(700.0);
        assert_eq!(deepest, offered(550.0), "{along}");
        assert!(facing(deepest).is_ok() && facing(deepest + 0.2).is_err(), "{along}: {deepest}");
    }
}

/// A facing's grainline is as long as it can be drawn on it: of a long one not by its depth, so that it can be laid by it.
#[test]
fn the_grainline_of_a_facing_is_as_long_as_there_is_room() {
    for (along, least) in [("front.centre", 400.0), ("front.centre, front.neck", 400.0), ("back.neck", 25.0)]
    {
        let fields = json!({"do": "add-facing", "along": along, "depth": "50mm", "name": "faced"});
        let after = apply(&fixture("coat"), fields).pattern;
        let faced = piece(&after, "faced");
        let grain = faced.grainline.as_ref().unwrap();
        assert!(grain.start.distance(grain.end) >= least, "{along}: {}", grain.start.distance(grain.end));
        assert!([grain.start, grain.end].iter().all(|end| faced.outline().contains(*end)), "{along}");
    }
}

/// The two facings of a waist that is divided at its side seams run on in one another there, though the seams bend in the hip: their
/// inner edges meet without a kink.
#[test]
fn facings_of_a_divided_run_go_on_without_a_kink() {
    for depth in [30, 50, 65] {
        let dress = fixture("dress");
        let fields = json!({"do": "add-facing", "along": "skirt-back.waist, skirt-front.waist", "depth": format!("{depth}mm"),
            "name": "faced"});
        let after = apply(&dress, fields).pattern;
        // Over less they lie flat.
        assert_eq!(after.find(&"faced-2".parse().unwrap()).is_some(), depth > 30);
        let found = Verdict::of(&after);
        assert!(found.is_true(), "{depth}: {:?}", found.untrue().collect::<Vec<_>>());
        assert_proven(&dress, &after);
    }
}

/// A hem that a facing is sewn to is finished with it: no step turns it up.
#[test]
fn a_faced_hem_is_not_turned_up() {
    let coat = fixture("coat");
    let fields =
        json!({"do": "add-facing", "along": "back.hem, front.hem", "depth": "50mm", "name": "hem-facing"});
    let hems = |pattern: &Pattern| -> Vec<String> {
        let steps = construction_order(pattern).steps.into_iter();
        let hems = steps
            .filter_map(|step| if let SewingWork::Hem { edges } = step.work { Some(edges) } else { None });
        hems.flatten().map(|edge| edge.to_string()).collect()
    };
    let (before, after) = (hems(&coat), hems(&apply(&coat, fields).pattern));
    for hem in ["back.hem", "front.hem"] {
        assert!(
            before.iter().any(|own| own == hem) && !after.iter().any(|own| own == hem),
            "{hem}: {after:?}"
        );
    }
    assert!(after.iter().any(|own| own == "sleeve.hem"), "{after:?}");
}
