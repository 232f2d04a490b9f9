//! Every kind of finding, made on a true pattern by one fault of known size.

use approx::assert_abs_diff_eq;
use retrue::curve::{Motion, Point, Radians};
use retrue::pattern::{
    Cut, DartShape, Finish, NamedPoint, NewSeam, NotchCount, Pattern, RecordedStep, Selvedge, Twins,
};
use retrue::truing::{Finding, FindingKind, Limits, Weight, check, ledger};
use retrue::units::{Length, Unit};

use crate::draw::{
    SKIRT_SEAMS, cut, dart, level, moved, notch, pattern, piece, skirt, skirt_pieces, skirt_with,
};
use crate::seams::strip;

fn found(pattern: &Pattern) -> Vec<Finding> {
    check(pattern, &Limits::default())
}

/// The one finding on a pattern.
fn only(pattern: &Pattern, kind: FindingKind) -> Finding {
    let found = found(pattern);
    assert_eq!(found.iter().map(|finding| finding.kind).collect::<Vec<_>>(), [kind], "{found:#?}");
    found.into_iter().next().unwrap()
}

#[test]
fn nothing_is_found_on_a_true_pattern() {
    assert_eq!(found(&skirt()), []);
}

/// A band cut too long: over 1/16 in it is untrue, under it a warning that says so, under the limit nothing.
#[test]
fn seam_length() {
    let with = |ease: &str| {
        let seam = format!("band.lower + front.waist back.waist from centre = {ease}");
        let seams: Vec<&str> =
            SKIRT_SEAMS.iter().map(|s| if s.starts_with("band.lower") { &seam } else { *s }).collect();
        pattern(
            skirt_pieces()
                .into_iter()
                .map(|mut piece| {
                    if piece.name().as_str() == "band" {
                        piece.notches.clear()
                    }
                    piece
                })
                .collect(),
            &seams,
        )
    };
    let finding = only(&with("-2"), FindingKind::SeamLength);
    assert_abs_diff_eq!(finding.number, 2.0, epsilon = 1e-9);
    assert_eq!(finding.weight, Weight::Untrue);
    assert_eq!(
        finding.sentence(Unit::Millimetre),
        "band.lower + back.waist front.waist: the first side is 2 mm too long (limit 0.5 mm)"
    );
    let near = only(&with("-1"), FindingKind::SeamLength);
    assert_eq!(near.weight, Weight::Warning);
    assert!(
        near.sentence(Unit::Inch).ends_with("1/16 in (1 mm) too long (limit 0 in (0.5 mm)); within 1/16 in")
    );
    assert_eq!(found(&with("0.4")), []);
}

#[test]
fn notch_drift() {
    let drifted = |by: f64| {
        skirt_with("front", |mut front| {
            front.notches[0].at += by;
            front
        })
    };
    let finding = only(&drifted(2.0), FindingKind::NotchDrift);
    assert_abs_diff_eq!(finding.number.abs(), 2.0, epsilon = 1e-9);
    assert_eq!(finding.at, "front.side + back.side, front.hip-notch and back.hip-notch");
    assert_eq!(only(&drifted(0.9), FindingKind::NotchDrift).weight, Weight::Warning);
    assert_eq!(found(&drifted(0.4)), []);
}

#[test]
fn ease_on_the_wrong_side_between_notches() {
    let seam = |at: f64| {
        let long = strip("long", 312.0, &[(at, NotchCount::Single)]);
        let short = strip("short", 300.0, &[(200.0, NotchCount::Single)]);
        pattern(vec![long, short], &["long.top + short.top = 12"])
    };
    let drifts = |at: f64| {
        let all = found(&seam(at));
        all.into_iter().filter(|finding| finding.kind == FindingKind::NotchEase).collect::<Vec<_>>()
    };
    assert_eq!(drifts(200.0), []);
    assert_eq!(drifts(212.0), []);
    for outside in [197.0, 215.0] {
        let [finding] = &drifts(outside)[..] else { panic!("{:#?}", drifts(outside)) };
        assert_abs_diff_eq!(finding.number.abs(), 3.0, epsilon = 1e-9);
    }
}

#[test]
fn notch_alone_and_counts_that_differ() {
    let alone = skirt_with("back", |back| notch(back, "extra", "side", 300.0, NotchCount::Double));
    let finding = only(&alone, FindingKind::NotchAlone);
    assert_eq!(
        (finding.at.as_str(), finding.weight),
        ("front.side + back.side, back.extra", Weight::Warning)
    );
    let differ = skirt_with("back", |mut back| {
        back.notches[0].count = NotchCount::Double;
        back
    });
    assert_eq!(only(&differ, FindingKind::NotchCount).weight, Weight::Warning);
    let on_hem = skirt_with("back", |back| notch(back, "fold", "hem", 50.0, NotchCount::Single));
    assert_eq!(found(&on_hem), []);
}

/// A notch for the collar has no partner on the facing that is sewn to the same edge in another layer.
#[test]
fn a_notch_needs_a_partner_in_one_layer_only() {
    let body = strip("body", 300.0, &[(100.0, NotchCount::Single), (150.0, NotchCount::Double)]);
    let collar = strip("collar", 300.0, &[(100.0, NotchCount::Single), (150.0, NotchCount::Double)]);
    let facing = strip("facing", 300.0, &[(150.0, NotchCount::Double), (204.0, NotchCount::Double)]);
    let layers = pattern(vec![body, collar, facing], &["body.top + collar.top", "body.top + facing.top"]);
    let kinds: Vec<_> = found(&layers).into_iter().map(|f| (f.kind, f.at)).collect();
    assert_eq!(kinds.len(), 1, "{kinds:?}");
    assert!(kinds[0].1.contains("facing"));
}

/// A hem that drops by 5° from the square on either side of the side seam dips by twice as much.
#[test]
fn kink_across_a_seam() {
    let slant = |degrees: f64| {
        let half = |name: &str| {
            let low = 400.0 + 220.0 * f64::to_radians(degrees).tan();
            piece(
                name,
                &[
                    ("waist", "M0 0 L220 0"),
                    ("side", &format!("M220 0 L220 {low}")),
                    (
                        "hem!hem",
                        &format!(
                            "M220 {low} C150 {0} 100 400 0 400",
                            low - 70.0 * f64::to_radians(degrees).tan()
                        ),
                    ),
                    ("centre!fold", "M0 400 L0 0"),
                ],
            )
        };
        let mirror = Motion::mirror_in(Point::new(-20.0, 0.0), Point::new(-20.0, 1.0)).unwrap();
        let mut pieces = vec![half("front"), moved(&half("back"), &mirror)];
        for piece in &mut pieces {
            let waist = piece.find_edge(&"waist".parse().unwrap()).unwrap();
            *piece.edge_settings(waist).finish = Finish::Free;
        }
        pattern(pieces, &["front.side + back.side"])
    };
    let finding = only(&slant(5.0), FindingKind::Kink);
    assert_abs_diff_eq!(finding.number, 10.0, epsilon = 1e-6);
    assert_eq!(finding.at, "front.side + back.side, front.hem to back.hem");
    assert!(finding.sentence(Unit::Millimetre).contains("stands out by 10.0°"));
    let finding = only(&slant(-5.0), FindingKind::Kink);
    assert!(finding.sentence(Unit::Millimetre).contains("dips in by 10.0°"));
    assert_eq!(found(&slant(1.4)), []);
}

/// A waist drawn straight across a dart dips by the dart's angle when it is closed: 2·atan(10 / 100).
#[test]
fn kink_at_a_closed_dart() {
    let straight = |name: &str| {
        let half = piece(
            name,
            &[
                ("waist!free", "M0 0 L200 0"),
                ("side!free", "M200 0 L200 400"),
                ("hem!hem", "M200 400 L0 400"),
                ("centre!fold", "M0 400 L0 0"),
            ],
        );
        dart(half, "dart", "waist", (90.0, 110.0), Point::new(100.0, 100.0))
    };
    let finding = only(&pattern(vec![straight("front")], &[]), FindingKind::DartKink);
    assert_abs_diff_eq!(finding.number, -2.0 * 0.1_f64.atan().to_degrees(), epsilon = 1e-9);
    assert_eq!(finding.at, "front.dart");
}

/// A hem off square at the fold is a fault by a few degrees, and a point that is meant by many.
#[test]
fn edges_meet_the_centre_square() {
    let half = |degrees: f64, centre: &str| {
        let low = 400.0 + 200.0 * f64::to_radians(degrees).tan();
        piece(
            "front",
            &[
                ("waist!free", "M0 0 L200 0"),
                ("side!free", "M200 0 L200 400"),
                ("hem!hem", &format!("M200 400 L0 {low}")),
                (centre, &format!("M0 {low} L0 0")),
            ],
        )
    };
    let finding = only(&pattern(vec![half(5.0, "centre!fold")], &[]), FindingKind::FoldKink);
    assert_abs_diff_eq!(finding.number, 5.0, epsilon = 1e-9);
    assert_eq!(finding.weight, Weight::Untrue);
    let point = only(&pattern(vec![half(20.0, "centre!fold")], &[]), FindingKind::FoldKink);
    assert_eq!(point.weight, Weight::Warning);
    let seam = pattern(vec![cut(half(-5.0, "centre"), Cut::PAIR)], &["front.centre + front.centre/m"]);
    assert_abs_diff_eq!(only(&seam, FindingKind::FoldKink).number, -5.0, epsilon = 1e-9);
}

#[test]
fn darts_with_unequal_legs_tips_outside_and_mouths_that_overlap() {
    let kinds = |pattern: &Pattern| {
        found(pattern).into_iter().map(|finding| (finding.kind, finding.number)).collect::<Vec<_>>()
    };
    let tipped = |x: f64, y: f64| {
        let front = piece(
            "front",
            &[
                ("waist!free", "M0 0 L200 0"),
                ("side!free", "M200 0 L200 400"),
                ("hem!hem", "M200 400 L0 400"),
                ("centre!fold", "M0 400 L0 0"),
            ],
        );
        dart(front, "dart", "waist", (90.0, 110.0), Point::new(x, y))
    };
    let legs = kinds(&pattern(vec![tipped(130.0, 100.0)], &[]));
    let expected = 40.0_f64.hypot(100.0) - 20.0_f64.hypot(100.0);
    assert!(
        legs.iter().any(|(kind, number)| *kind == FindingKind::DartLegs && (number - expected).abs() < 1e-9)
    );
    let outside = kinds(&pattern(vec![tipped(100.0, 412.0)], &[]));
    assert!(
        outside.iter().any(|(kind, number)| *kind == FindingKind::DartTip && (number - 12.0).abs() < 1e-9)
    );
    let two = dart(tipped(100.0, 100.0), "second", "waist", (104.0, 124.0), Point::new(114.0, 100.0));
    let overlap = kinds(&pattern(vec![two], &[]));
    assert!(
        overlap.iter().any(|(kind, number)| *kind == FindingKind::DartMouths && (number - 6.0).abs() < 1e-9)
    );
}

#[test]
fn allowances_that_differ_along_a_seam() {
    let deeper = |finish: Finish| {
        skirt_with("back", |mut back| {
            let side = back.find_edge(&"side".parse().unwrap()).unwrap();
            *back.edge_settings(side).allowance = Length::from_mm(25.0);
            *back.edge_settings(side).finish = finish;
            back
        })
    };
    let finding = only(&deeper(Finish::Seam), FindingKind::Allowance);
    assert_abs_diff_eq!(finding.number, -10.0);
    assert_eq!(finding.at, "front.side with back.side");
    assert!(!found(&deeper(Finish::Free)).iter().any(|finding| finding.kind == FindingKind::Allowance));
}

#[test]
fn grain() {
    let without = skirt_with("back", |mut back| {
        back.grainline = None;
        back
    });
    assert_eq!(only(&without, FindingKind::NoGrainline).at, "back");

    let mut new_seam = skirt();
    let edge = |name: &str| name.parse().unwrap();
    new_seam.record.steps.push(RecordedStep {
        new_seams: vec![NewSeam { first: edge("front.side"), second: edge("back.waist") }],
        ..RecordedStep::default()
    });
    assert_eq!(found(&new_seam), [], "20 mm over 400 mm is 2.9 degrees, and the waist runs crosswise");
    let strict = Limits { off_grain_degrees: 1.0, ..Limits::default() };
    let [finding] = &check(&new_seam, &strict)[..] else { panic!() };
    assert_eq!((finding.kind, finding.weight), (FindingKind::OffGrain, Weight::Warning));
    assert_abs_diff_eq!(finding.number, 0.05_f64.atan().to_degrees(), epsilon = 1e-9);

    let on_selvedge = |name: &'static str| {
        skirt_with("back", move |mut back| {
            let id = back.find_edge(&name.parse().unwrap()).unwrap();
            *back.edge_settings(id).selvedge = Selvedge::Yes;
            back
        })
    };
    assert_eq!(found(&on_selvedge("centre-back")), []);
    assert_abs_diff_eq!(only(&on_selvedge("side"), FindingKind::OffSelvedge).number, 20.0, epsilon = 1e-6);
}

#[test]
fn copies_must_agree() {
    let one_back = skirt_with("back", |back| cut(back, Cut::ONE));
    let kinds: Vec<_> = found(&one_back).into_iter().map(|finding| (finding.kind, finding.number)).collect();
    assert!(kinds.contains(&(FindingKind::CutCount, 1.0)), "{kinds:?}");
    let same = skirt_with("back", |back| cut(back, Cut { copies: 2, twins: Twins::Same }));
    let found = found(&same);
    assert!(!found.is_empty() && found.iter().all(|f| f.kind == FindingKind::CutMirror), "{found:#?}");
}

/// A piece that is alike on both sides, as a cuff is, may be cut twice alike for a left and a right sleeve.
#[test]
fn a_symmetric_piece_need_not_be_mirrored() {
    let sleeve = cut(strip("sleeve", 300.0, &[(100.0, NotchCount::Single)]), Cut::PAIR);
    let cuff = |lean: f64| {
        let cuff = piece(
            "cuff",
            &[
                ("top", "M0 0 L300 0"),
                ("right!hem", &format!("M300 0 L{} 60", 300.0 + lean)),
                ("bottom!free", &format!("M{} 60 L0 60", 300.0 + lean)),
                ("left!free", "M0 60 L0 0"),
            ],
        );
        let cuff = notch(cuff, "n1", "top", 100.0, NotchCount::Single);
        pattern(
            vec![sleeve.clone(), cut(cuff, Cut { copies: 2, twins: Twins::Same })],
            &["sleeve.top + cuff.top"],
        )
    };
    let mirrored = |pattern: &Pattern| found(pattern).iter().any(|f| f.kind == FindingKind::CutMirror);
    assert!(!mirrored(&cuff(0.0)));
    assert!(mirrored(&cuff(20.0)));
}

#[test]
fn an_edge_to_be_sewn_that_belongs_to_no_seam() {
    let finding = only(&pattern(skirt_pieces(), &SKIRT_SEAMS[..3]), FindingKind::NotSewn);
    assert_eq!((finding.at.as_str(), finding.weight), ("band.end", Weight::Warning));
}

#[test]
fn levels_and_points_outside_and_levels_in_darts() {
    let beyond = skirt_with("front", |front| level(front, "low", (0.0, 300.0), (225.0, 300.0)));
    let finding = only(&beyond, FindingKind::LevelOutside);
    assert_abs_diff_eq!(finding.number, 5.0, epsilon = 1e-6);
    assert_eq!(finding.weight, Weight::Warning);
    let point = skirt_with("front", |mut front| {
        front.points.push(NamedPoint {
            name: "bust-point".parse().unwrap(),
            at: Point::new(240.0, 300.0),
            radius: 2.0,
            kept: Default::default(),
        });
        front
    });
    assert_abs_diff_eq!(only(&point, FindingKind::PointOutside).number, 20.0, epsilon = 1e-6);
    let along = skirt_with("front", |front| level(front, "odd", (100.0, 0.0), (100.0, 300.0)));
    let finding = only(&along, FindingKind::LevelInDart);
    assert_abs_diff_eq!(finding.number, 100.0, epsilon = 1e-6);
    assert_eq!(finding.at, "front.odd in front.waist-dart");
}

#[test]
fn girth_that_changed_is_found_unless_it_was_declared() {
    let mut changed = skirt();
    changed.record.ledger = Some(ledger(&changed));
    changed.piece_mut(&"front".parse().unwrap()).unwrap().levels[0].stretches[0].0.x = 3.0;
    let finding = only(&changed, FindingKind::GirthChanged);
    assert_abs_diff_eq!(finding.number, -6.0, epsilon = 1e-9);
    assert_eq!(finding.at, "hip");
    changed.record.steps.push(RecordedStep {
        girths: vec![retrue::pattern::ChangedGirth { level: "hip".parse().unwrap(), by: -6.0 }],
        ..RecordedStep::default()
    });
    assert_eq!(found(&changed), []);
}

#[test]
fn findings_are_data() {
    let finding = only(&pattern(skirt_pieces(), &SKIRT_SEAMS[..3]), FindingKind::NotSewn);
    let json = serde_json::to_value(&finding).unwrap();
    let expected = serde_json::json!({
        "kind": "not-sewn", "at": "band.end", "number": 1.0, "limit": 0.0, "unit": "count", "weight": "warning"
    });
    assert_eq!(json, expected);
}

/// A turned piece keeps the angle of its legs: what is found does not depend on where things lie.
#[test]
fn a_dart_shape_is_found_whichever_way_it_lies() {
    let turned = skirt_with("front", |front| {
        let front = moved(&front, &Motion::turn_about(Point::new(10.0, 20.0), Radians(2.0)));
        assert!(matches!(front.darts[0].shape, DartShape::Open { .. }));
        front
    });
    assert_eq!(found(&turned), []);
}
