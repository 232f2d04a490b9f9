//! Faults of pieces and of the whole garment: darts, points, grain, copies, girth.

use retrue::curve::{Curve, Point};
use retrue::pattern::{
    Cut, Finish, GirthUse, LevelName, NamedPoint, NewSeam, Pattern, RecordedStep, Selvedge, Twins,
};
use retrue::truing::{self, FindingKind, Weight};
use retrue::units::{Length, Unit};

use crate::build::{Corner, dart, grain, level, pattern, piece, rectangle, seam, settled};
use crate::faults::{assert_is, found, notched, only, plain_tube};
use crate::{read, text_of};
use Finish::{Fold, Free, Hem, Seam};

#[test]
fn the_legs_of_a_dart_are_equal() {
    let with_tip = |x: f64| {
        let mut front = rectangle("front", 200.0, 600.0);
        dart(&mut front, "dart", "centre", (200.0, 210.0), (100.0, 395.0 + x));
        pattern(vec![front], vec![])
    };
    assert!(found(&with_tip(0.0)).iter().all(|finding| finding.kind != FindingKind::DartLegs));
    let found = found(&with_tip(20.0));
    let legs = found.iter().find(|finding| finding.kind == FindingKind::DartLegs).unwrap();
    let (upper, lower) = (15.0_f64.hypot(100.0), 25.0_f64.hypot(100.0));
    assert_is(legs, FindingKind::DartLegs, lower - upper, Weight::Untrue);
}

/// A dart on a straight edge leaves a kink of its own angle when it is closed; shaped to a peak it leaves none.
#[test]
fn an_edge_runs_on_across_a_closed_dart() {
    let mut straight = rectangle("front", 200.0, 600.0);
    dart(&mut straight, "dart", "top", (90.0, 110.0), (100.0, 100.0));
    let angle = 2.0 * 10.0_f64.atan2(100.0).to_degrees();
    let kink = only(&pattern(vec![straight], vec![]));
    assert_is(&kink, FindingKind::Kink, angle, Weight::Untrue);
    assert_eq!(kink.at, "front.top across dart");

    let rise = 90.0 * (angle / 2.0).to_radians().tan();
    let top = [(0.0, rise), (90.0, 0.0), (110.0, 0.0), (200.0, rise)].map(Point::from);
    let top = Curve::polyline(&top).unwrap();
    let mut shaped = rectangle("front", 200.0, 600.0);
    let edges = shaped.edges().iter().cloned().map(|mut edge| {
        edge.curve = match edge.name.as_str() {
            "top" => top.clone(),
            "side" => edge.curve.with_ends(top.end(), edge.curve.end()).unwrap(),
            "centre" => edge.curve.with_ends(edge.curve.start(), top.start()).unwrap(),
            _ => edge.curve,
        };
        edge
    });
    shaped = crate::build::of_edges("front", edges.collect());
    let mouth = top.length() / 2.0;
    dart(&mut shaped, "dart", "top", (mouth - 10.0, mouth + 10.0), (100.0, 100.0));
    assert_eq!(found(&pattern(vec![shaped], vec![])), []);
}

#[test]
fn mouths_do_not_lie_over_one_another() {
    let mut front = rectangle("front", 200.0, 600.0);
    dart(&mut front, "first", "top", (80.0, 84.0), (82.0, 150.0));
    dart(&mut front, "second", "top", (83.0, 87.0), (85.0, 150.0));
    let found = found(&pattern(vec![front], vec![]));
    let overlap = found.iter().find(|finding| finding.kind == FindingKind::DartMouthsOverlap).unwrap();
    assert_is(overlap, FindingKind::DartMouthsOverlap, 1.0, Weight::Untrue);
    assert_eq!(overlap.at, "front.second");
}

#[test]
fn tips_and_points_lie_inside_their_piece() {
    let mut front = rectangle("front", 200.0, 600.0);
    dart(&mut front, "dart", "top", (98.0, 102.0), (100.0, 604.0));
    front.points.push(NamedPoint {
        name: "bust-point".parse().unwrap(),
        at: Point::new(-7.0, 300.0),
        radius: 3.0,
        kept: Default::default(),
    });
    let found = found(&pattern(vec![front], vec![]));
    let far: Vec<_> = found.iter().map(|finding| (finding.at.as_str(), finding.number)).collect();
    assert_eq!(far, [("front.bust-point", 7.0), ("front.dart", 4.0)]);
    assert!(found.iter().all(|finding| finding.weight == Weight::Warning));
}

#[test]
fn a_piece_without_grainline_is_warned_of() {
    let mut front = rectangle("front", 200.0, 600.0);
    front.grainline = None;
    let finding = only(&pattern(vec![front], vec![]));
    assert_is(&finding, FindingKind::MissingGrainline, 0.0, Weight::Warning);
}

/// Only new seams, and selvedges, are held against the threads of the cloth, lengthwise or crosswise; the nearer to the
/// bias, the further off.
#[test]
fn new_seams_and_selvedges_run_along_the_grain() {
    let with_grain = |degrees: f64| {
        let mut front = rectangle("front", 200.0, 600.0);
        let (x, y) = degrees.to_radians().sin_cos();
        grain(&mut front, Point::new(100.0, 300.0), Point::new(100.0 + 50.0 * x, 300.0 + 50.0 * y));
        pattern(vec![front], vec![])
    };
    let with_new_seam = |degrees: f64| {
        let mut pattern = with_grain(degrees);
        let edge = |name: &str| name.parse().unwrap();
        let new_seams =
            ["front.side", "front.hem"].map(|name| NewSeam { first: edge(name), second: edge("front.gone") });
        pattern.record.steps.push(RecordedStep { new_seams: new_seams.into(), ..Default::default() });
        pattern
    };
    assert_eq!(found(&with_grain(10.0)), []);
    assert_eq!(found(&with_new_seam(2.9)), []);
    for degrees in [10.0, 25.0, 44.0] {
        let [side, hem] = &found(&with_new_seam(degrees))[..] else { panic!() };
        assert_is(side, FindingKind::OffGrain, degrees, Weight::Warning);
        assert_is(hem, FindingKind::OffGrain, degrees, Weight::Warning);
    }
    assert_eq!(found(&with_new_seam(90.0)), []);
    let mut on_selvedge = with_new_seam(10.0);
    let front = on_selvedge.piece_mut(&"front".parse().unwrap()).unwrap();
    let side = front.edge_named(&"side".parse().unwrap()).unwrap();
    *front.edge_settings(side).selvedge = Selvedge::Yes;
    let [selvedge, off_grain, _] = &found(&on_selvedge)[..] else { panic!() };
    assert_is(selvedge, FindingKind::OffSelvedge, 600.0 * 10.0_f64.to_radians().sin(), Weight::Untrue);
    assert_is(off_grain, FindingKind::OffGrain, 10.0, Weight::Warning);
}

/// The sides of a seam are cut equally often for the times it uses each.
#[test]
fn both_sides_of_a_seam_are_cut_equally_often() {
    let cut = |front: Cut, back: Cut| {
        let mut pattern = plain_tube();
        for (name, cut) in [("front", front), ("back", back)] {
            pattern.piece_mut(&name.parse().unwrap()).unwrap().cut = cut;
        }
        pattern
    };
    assert_eq!(found(&cut(Cut::PAIR, Cut { copies: 2, twins: Twins::Same })), []);
    let found = found(&cut(Cut::PAIR, Cut::ONE));
    assert_eq!(found.len(), 2);
    assert_is(&found[0], FindingKind::CutCount, 2.0, Weight::Untrue);
    assert!((found[0].limit - 1.0).abs() < f64::EPSILON);
}

/// A band sewn once round to both copies of a piece uses each edge twice.
#[test]
fn a_seam_may_use_both_copies_of_an_edge() {
    let mut back = rectangle("back", 200.0, 600.0);
    back.cut = Cut::PAIR;
    let band = rectangle("band", 50.0, 1200.0);
    let seams = vec![seam("band.side", "-back.centre back.centre/m", 0.0)];
    assert_eq!(found(&pattern(vec![back.clone(), band], seams)), []);
    let centre = vec![seam("back.centre", "back.centre/m", 0.0)];
    assert_eq!(found(&pattern(vec![back.clone()], centre.clone())), []);
    back.cut = Cut::ONE;
    assert_is(&only(&pattern(vec![back], centre)), FindingKind::CutCount, 1.0, Weight::Untrue);
}

/// Where one side is cut half as often, its fold may be a turned edge: a warning, unless it is known to be one.
#[test]
fn a_turned_fold_counts_one_half() {
    let corners: [Corner; 4] = [
        ("turn", Fold, 0.0, 0.0),
        ("end", Seam, 200.0, 0.0),
        ("lower", Seam, 200.0, 60.0),
        ("hind", Free, 0.0, 60.0),
    ];
    let mut welt = piece("welt", &corners);
    welt.cut = Cut::PAIR;
    let mut bag = rectangle("bag", 200.0, 150.0);
    bag.cut = Cut::PAIR;
    let mouth = seam("-bag.top", "welt.lower", 0.0);
    let sewn = pattern(vec![welt.clone(), bag.clone()], vec![mouth.clone()]);
    assert_is(&only(&sewn), FindingKind::CutCount, 2.0, Weight::Warning);
    let turned = vec![mouth, seam("welt.end", "welt.end/m", 0.0)];
    assert_eq!(found(&pattern(vec![welt, bag], turned)), []);
}

/// Where the turned edge is opened, twice as many are cut and still half of them are sewn here. A skirt sewn to its mirrored
/// copy at the centres of front and back is sewn all round.
#[test]
fn a_turned_edge_that_was_opened_counts_one_half() {
    let mut welt = rectangle("welt", 200.0, 60.0);
    welt.cut = Cut { copies: 4, twins: Twins::Mirrored };
    let mut bag = rectangle("bag", 200.0, 150.0);
    bag.cut = Cut::PAIR;
    let sewn = |ends: &[&str]| {
        let mouth = seam("-bag.top", "welt.hem", 0.0);
        let own = ends.iter().map(|end| seam(&format!("welt.{end}"), &format!("welt.{end}/m"), 0.0));
        let counts =
            found(&pattern(vec![welt.clone(), bag.clone()], std::iter::once(mouth).chain(own).collect()));
        counts.into_iter().filter(|finding| finding.kind == FindingKind::CutCount).count()
    };
    assert_eq!(sewn(&["top", "side"]), 0);
    assert_eq!(sewn(&["side", "centre"]), 1);
    assert_eq!(sewn(&["top"]), 1);
}

fn measured(width: f64) -> Pattern {
    let mut front = rectangle("front", width, 600.0);
    level(&mut front, "hip", (0.0, 200.0), (width, 200.0));
    pattern(vec![front], vec![])
}

/// Girth is held against the ledger; what a step declares is no finding.
#[test]
fn a_change_of_girth_must_be_declared() {
    let hip: LevelName = "hip".parse().unwrap();
    let mut pattern = measured(197.0);
    pattern.record.ledger = Some(truing::ledger(&measured(200.0)));
    let finding = only(&pattern);
    assert_is(&finding, FindingKind::GirthChanged, -3.0, Weight::Untrue);
    assert_eq!(
        finding.sentence(Unit::Millimetre),
        "hip: the girth is 3 mm less than when the pattern was first read (limit 0.5 mm)"
    );
    let girths = vec![retrue::pattern::ChangedGirth { level: hip, by: -3.0 }];
    pattern.record.steps.push(RecordedStep { girths, ..Default::default() });
    assert_eq!(found(&pattern), []);
    let account = truing::account(&pattern).unwrap();
    assert!(account.girths[0].unaccounted.mm().abs() < 1e-9);
    assert_eq!(account.girths[0].now, Some(Length::from_mm(197.0)));
    pattern.piece_mut(&"front".parse().unwrap()).unwrap().levels[0].girth = GirthUse::LeftOut;
    assert_is(&only(&pattern), FindingKind::GirthChanged, -197.0, Weight::Untrue);
}

/// The data of a finding names its kind as the trade's word joined by hyphens, and rounds its number.
#[test]
fn findings_are_written_as_data() {
    let data = serde_json::to_value(only(&notched(301.0, 300.0, 0.0))).unwrap();
    assert_eq!(
        data,
        serde_json::json!({
            "kind": "notch-drift", "at": "front.side-notch on front.side, back.side-notch on back.centre", "number": 1.0, "limit": 0.5,
            "measure": "length", "weight": "warning"
        })
    );
}

#[test]
fn an_allowance_that_cannot_be_cut_is_found() {
    let mut pattern = plain_tube();
    let front = pattern.piece_mut(&"front".parse().unwrap()).unwrap();
    let top = front.edge_named(&"top".parse().unwrap()).unwrap();
    *front.edge_settings(top).allowance = Length::from_mm(-5.0);
    let finding = only(&pattern);
    assert_is(&finding, FindingKind::NoCuttingLine, 0.0, Weight::Untrue);
    assert_eq!(finding.at, "front.top");
}

/// Where a half piece was opened out its seams are declared for either side; what is sewn to it in another layer still
/// stands for both.
#[test]
fn an_opened_piece_is_cut_once_for_both_sides() {
    let opened = |facing: Cut| {
        let corners: [Corner; 4] = [
            ("neck", Seam, 0.0, 0.0),
            ("side", Seam, 200.0, 0.0),
            ("hem", Hem, 200.0, 600.0),
            ("side/m", Seam, 0.0, 600.0),
        ];
        let mut front = rectangle("front", 100.0, 600.0);
        front.cut = Cut::PAIR;
        let mut lap = rectangle("lap", 40.0, 600.0);
        lap.cut = facing;
        let seams = [
            seam("back.side", "-front.centre", 0.0),
            seam("-back.side/m", "-front.centre/m", 0.0),
            seam("front.centre", "-lap.side", 0.0),
        ];
        let mut opened = pattern(vec![piece("back", &corners), front, lap], vec![]);
        let settled = seams.iter().map(|seam| settled(&opened, seam)).collect();
        opened.set_seams(settled).unwrap();
        opened
    };
    let counts = |pattern: &Pattern| {
        let found = found(pattern);
        found.into_iter().filter(|finding| finding.kind == FindingKind::CutCount).collect::<Vec<_>>()
    };
    assert_eq!(counts(&opened(Cut::PAIR)), []);
    assert_eq!(counts(&opened(Cut::ONE)).len(), 1);
}

/// One cuff for two sleeves, though no seam counts it; a lined cuff is cut four times.
#[test]
fn a_cuff_is_cut_for_each_arm() {
    let cut = |copies: u32| {
        let mut coat = read(&text_of("coat.svg"));
        coat.piece_mut(&"cuff".parse().unwrap()).unwrap().cut.copies = copies;
        found(&coat).into_iter().filter(|finding| finding.at == "cuff").collect::<Vec<_>>()
    };
    let [once] = &cut(1)[..] else { panic!() };
    assert_eq!((once.kind, once.weight), (FindingKind::FewForArms, Weight::Untrue));
    assert!(once.sentence(Unit::Millimetre).contains("is cut once, the sleeves twice"));
    assert_eq!([cut(2), cut(4)], [[], []]);
}
