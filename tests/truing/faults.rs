//! Every fault put into a true garment is found, with its number and its weight, and nothing else is.

use retrue::curve::{Curve, Point};
use retrue::pattern::{
    Cut, Finish, GirthUse, LevelName, NamedPoint, NewSeam, NotchCount, Pattern, Piece, RecordedStep,
    Selvedge, Twins,
};
use retrue::truing::{self, Finding, FindingKind, Limits, Measure, Meeting, Weight};
use retrue::units::{Length, Unit};

use crate::build::{Corner, dart, grain, level, notch, pattern, piece, rectangle, seam, settled};
use Finish::{Fold, Free, Hem, Seam};

fn found(pattern: &Pattern) -> Vec<Finding> {
    truing::check(pattern, &Limits::default())
}

/// The one finding of a pattern.
fn only(pattern: &Pattern) -> Finding {
    let found = found(pattern);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.into_iter().next().unwrap()
}

#[track_caller]
fn assert_is(finding: &Finding, kind: FindingKind, number: f64, weight: Weight) {
    assert_eq!((finding.kind, finding.weight), (kind, weight), "{finding:?}");
    assert!((finding.number - number).abs() < 1e-3, "{finding:?}");
}

/// Two rectangles sewn side to side and centre to centre: a tube.
fn tube(front: Piece, back: Piece) -> Pattern {
    pattern(
        vec![front, back],
        vec![seam("front.side", "-back.centre", 0.0), seam("-front.centre", "back.side", 0.0)],
    )
}

fn plain_tube() -> Pattern {
    tube(rectangle("front", 200.0, 600.0), rectangle("back", 220.0, 600.0))
}

#[test]
fn a_true_tube_has_no_finding() {
    assert_eq!(found(&plain_tube()), []);
}

/// A seam within 1/16 in is a warning that says so (trade magazine, 2018 [S]); beyond it is untrue; within the limit
/// it is nothing.
#[test]
fn a_seam_is_weighed_by_its_difference() {
    let slit = |longer: f64| {
        let corners = [
            ("top", Free, 0.0, 0.0),
            ("side", Seam, 200.0, 0.0),
            ("hem", Free, 200.0, 600.0 + longer),
            ("centre", Free, 0.0, 600.0 + longer),
        ];
        let back = [
            ("top", Free, 0.0, 0.0),
            ("edge", Free, 200.0, 0.0),
            ("hem", Free, 200.0, 600.0),
            ("side", Seam, 0.0, 600.0),
        ];
        pattern(
            vec![piece("front", &corners), piece("back", &back)],
            vec![seam("front.side", "-back.side", 0.0)],
        )
    };
    assert_eq!(found(&slit(0.4)), []);
    let warned = only(&slit(1.5));
    assert_is(&warned, FindingKind::SeamLength, 1.5, Weight::Warning);
    assert_eq!(warned.at, "front.side + back.side");
    assert_eq!(
        warned.sentence(Unit::Millimetre),
        "front.side + back.side: the first side is longer by 1.5 mm (limit 0.5 mm); within 1/16 in"
    );
    assert_is(&only(&slit(1.6)), FindingKind::SeamLength, 1.6, Weight::Untrue);
    assert_is(&only(&slit(-8.0)), FindingKind::SeamLength, -8.0, Weight::Untrue);
}

/// Ease is declared on a seam and the darts on it are sewn first.
#[test]
fn seam_lengths_are_net_of_darts_and_ease() {
    let mut front = rectangle("front", 200.0, 626.0);
    dart(&mut front, "bust-dart", "side", (200.0, 220.0), (100.0, 210.0));
    let mut pattern = tube(front, rectangle("back", 220.0, 600.0));
    let seams = vec![seam("front.side", "-back.centre", 6.0), seam("-front.centre", "back.side", 26.0)];
    pattern.set_seams(seams).unwrap();
    let found = found(&pattern);
    assert!(found.iter().all(|finding| finding.kind == FindingKind::Kink), "{found:#?}");
    let walk = truing::walk_seam(&pattern, pattern.seam_ids().next().unwrap()).unwrap();
    assert!((walk.lengths.0.mm() - 606.0).abs() < 1e-9 && walk.difference.mm().abs() < 1e-9);
}

fn notched(front: f64, back: f64, ease: f64) -> Pattern {
    let mut pieces = (rectangle("front", 200.0, 600.0 + ease), rectangle("back", 220.0, 600.0));
    notch(&mut pieces.0, "side-notch", "side", front);
    notch(&mut pieces.1, "side-notch", "centre", 600.0 - back);
    pattern(vec![pieces.0, pieces.1], vec![seam("front.side", "-back.centre", ease)])
}

/// On a plain seam partners stand at equal walk distances.
#[test]
fn a_notch_drifts_by_what_it_is_off() {
    assert_eq!(found(&notched(300.4, 300.0, 0.0)), []);
    assert_is(&only(&notched(301.0, 300.0, 0.0)), FindingKind::NotchDrift, 1.0, Weight::Warning);
    let drifted = only(&notched(297.0, 300.0, 0.0));
    assert_is(&drifted, FindingKind::NotchDrift, 3.0, Weight::Untrue);
    assert_eq!(drifted.at, "front.side-notch on front.side");
}

/// On an eased seam no stretch between notches may be shorter than its partner, wherever the ease lies.
#[test]
fn every_stretch_of_an_eased_seam_takes_up_ease_or_none() {
    for taken_up in [0.0, 5.0, 12.0] {
        assert_eq!(found(&notched(300.0 + taken_up, 300.0, 12.0)), [], "{taken_up}");
    }
    assert_is(&only(&notched(297.0, 300.0, 12.0)), FindingKind::NotchDrift, 3.0, Weight::Untrue);
    assert_is(&only(&notched(314.0, 300.0, 12.0)), FindingKind::NotchDrift, 2.0, Weight::Untrue);
}

/// A notch whose partner is missing, or is double, is a warning; far off is no partner.
#[test]
fn a_notch_wants_a_partner() {
    let mut alone = notched(300.0, 300.0, 0.0);
    alone.piece_mut(&"back".parse().unwrap()).unwrap().notches.clear();
    assert_is(&only(&alone), FindingKind::NotchWithoutPartner, 0.0, Weight::Warning);
    let mut double = notched(300.0, 300.0, 0.0);
    double.piece_mut(&"back".parse().unwrap()).unwrap().notches[0].count = NotchCount::Double;
    assert_eq!(found(&double).len(), 2);
    let far = found(&notched(300.0, 400.0, 0.0));
    assert!(far.len() == 2 && far.iter().all(|finding| finding.kind == FindingKind::NotchWithoutPartner));
}

/// A notch may stand for one layer of an edge only: the collar's notch need not be met by the facing.
#[test]
fn a_notch_needs_a_partner_in_one_layer() {
    let mut pattern = notched(300.0, 300.0, 0.0);
    pattern.add_piece(rectangle("facing", 60.0, 600.0)).unwrap();
    pattern.add_seam(seam("front.side", "-facing.centre", 0.0)).unwrap();
    assert_eq!(found(&pattern), []);
}

/// A notch may meet the joint of two edges: the shoulder notch of a sleeve.
#[test]
fn a_notch_meets_a_joint() {
    let upper = |at: f64| {
        let mut sleeve = rectangle("sleeve", 100.0, 600.0);
        notch(&mut sleeve, "shoulder-notch", "side", at);
        let (front, back) = (rectangle("front", 200.0, 250.0), rectangle("back", 200.0, 350.0));
        pattern(vec![sleeve, front, back], vec![seam("sleeve.side", "-front.centre -back.centre", 0.0)])
    };
    assert_eq!(found(&upper(250.0)), []);
    let drifted = only(&upper(256.0));
    assert_is(&drifted, FindingKind::NotchDrift, 6.0, Weight::Untrue);
}

#[test]
fn allowances_must_agree_along_a_seam() {
    let mut pattern = plain_tube();
    let front = pattern.piece_mut(&"front".parse().unwrap()).unwrap();
    let side = front.edge_named(&"side".parse().unwrap()).unwrap();
    *front.edge_settings(side).allowance = Length::from_mm(10.0);
    assert_is(&only(&pattern), FindingKind::AllowanceDiffers, 5.0, Weight::Untrue);
}

/// A panel whose hem meets its side at an angle.
fn panel(name: &'static str, side: &'static str, far: &'static str, hem: Finish, drop: f64) -> Piece {
    let corners: [Corner; 4] = [
        ("top", Free, 0.0, 0.0),
        (side, Seam, 200.0, 0.0),
        ("hem", hem, 200.0, 600.0),
        (far, Seam, 0.0, 600.0 - drop),
    ];
    piece(name, &corners)
}

/// Hems that run on across a side seam must not turn there; a drop of 20 mm in 200 is 5.711°.
#[test]
fn a_hem_runs_on_across_a_seam() {
    let sewn = |hem: Finish, drop: f64| {
        let back = [
            ("top", Free, 0.0, 0.0),
            ("far", Free, 200.0, 0.0),
            ("hem", hem, 200.0, 600.0),
            ("side", Seam, 0.0, 600.0),
        ];
        let pieces = vec![panel("front", "side", "centre", hem, drop), piece("back", &back)];
        pattern(pieces, vec![seam("front.side", "-back.side", 0.0)])
    };
    assert_eq!(found(&sewn(Hem, 10.0)), []);
    for finish in [Hem, Free] {
        let kink = only(&sewn(finish, 20.0));
        assert_is(&kink, FindingKind::Kink, 5.7106, Weight::Untrue);
        assert_eq!(kink.at, "front.hem and back.hem across front.side + back.side");
        assert_eq!(kink.measure, Measure::Angle);
    }
    assert_eq!(found(&sewn(Seam, 20.0)), []);
}

/// Armholes follow one another along the sleeve, so they must run on across the shoulder; corners of a bag are sewn to
/// each other, so they need not.
#[test]
fn edges_that_follow_one_another_in_a_run_run_on() {
    let (front, back) = (panel("front", "side", "far", Seam, 60.0), panel("back", "side", "far", Seam, 60.0));
    let around = front.edges()[2].curve.length() * 2.0;
    let corners: [Corner; 4] = [
        ("fore", Seam, 0.0, 0.0),
        ("side", Seam, 100.0, 0.0),
        ("hind", Seam, 100.0, around),
        ("hem", Hem, 0.0, around),
    ];
    let sleeve = piece("sleeve", &corners);
    let side = seam("front.side", "back.side", 0.0);
    let cap = seam("sleeve.side", "-front.hem back.hem", 0.0);
    let sewn = pattern(vec![front.clone(), back.clone(), sleeve], vec![side.clone(), cap]);
    assert_eq!(only(&sewn).kind, FindingKind::Kink);
    let bag = pattern(vec![front, back], vec![side, seam("front.hem", "back.hem", 0.0)]);
    let walk = truing::walk_seam(&bag, bag.seam_ids().next().unwrap()).unwrap();
    assert_eq!(
        walk.ends.iter().map(|end| end.meeting).collect::<Vec<_>>(),
        [Meeting::Continue, Meeting::Closed]
    );
    assert_eq!(found(&bag), []);
}

/// A neck with a centre seam, sewn to a collar on the fold, runs on across the centre.
#[test]
fn what_is_sewn_to_a_half_piece_runs_on_across_the_centre() {
    let mut back = panel("back", "centre", "far", Seam, 30.0);
    back.cut = Cut::PAIR;
    let neck = back.edges()[2].curve.length();
    let corners: [Corner; 4] = [
        ("outer", Free, 0.0, 0.0),
        ("centre", Fold, neck, 0.0),
        ("neck", Seam, neck, 60.0),
        ("end", Seam, 0.0, 60.0),
    ];
    let seams = vec![seam("back.centre", "back.centre/m", 0.0), seam("collar.neck", "back.hem", 0.0)];
    let sewn = pattern(vec![back.clone(), piece("collar", &corners)], seams.clone());
    let kink = 2.0 * 30.0_f64.atan2(200.0).to_degrees();
    assert_is(&only(&sewn), FindingKind::Kink, kink, Weight::Untrue);
    assert_eq!(found(&pattern(vec![back], seams[..1].to_vec())), []);
}

/// What meets a fold runs on in its own mirror image; a sharp turn there is a point that is meant.
#[test]
fn folds_are_met_square_or_at_a_point() {
    let front = |drop: f64| {
        let corners: [Corner; 4] = [
            ("top", Free, 0.0, 0.0),
            ("side", Free, 200.0, 0.0),
            ("hem", Hem, 200.0, 600.0 - drop),
            ("centre", Fold, 0.0, 600.0),
        ];
        pattern(vec![piece("front", &corners)], vec![])
    };
    let kink = |drop: f64| 2.0 * drop.atan2(200.0).to_degrees();
    assert_eq!(found(&front(5.0)), []);
    let carelessly = only(&front(10.0));
    assert_is(&carelessly, FindingKind::Kink, kink(10.0), Weight::Untrue);
    assert_eq!(carelessly.at, "front.hem at centre");
    assert_is(&only(&front(100.0)), FindingKind::Kink, kink(100.0), Weight::Warning);
}

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

/// Only new seams that run mainly lengthwise, and selvedges, are held against the grain: bias-cut pieces are not.
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
    assert_is(&only(&with_new_seam(10.0)), FindingKind::OffGrain, 10.0, Weight::Warning);
    assert_eq!(found(&with_new_seam(45.0)), []);
    let mut on_selvedge = with_new_seam(10.0);
    let front = on_selvedge.piece_mut(&"front".parse().unwrap()).unwrap();
    let side = front.edge_named(&"side".parse().unwrap()).unwrap();
    *front.edge_settings(side).selvedge = Selvedge::Yes;
    let [selvedge, off_grain] = &found(&on_selvedge)[..] else { panic!() };
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
    assert!(account.girths[0].unaccounted().mm().abs() < 1e-9);
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
            "kind": "notch-drift", "at": "front.side-notch on front.side", "number": 1.0, "limit": 0.5,
            "measure": "length", "weight": "warning"
        })
    );
}

/// A facing that is turned lies on its front: their hems may stand at any angle to the edge, as long as it is the same.
#[test]
fn a_turned_facing_has_the_corner_of_its_front() {
    let turned = |drop: f64| {
        let (front, facing) =
            (panel("front", "edge", "far", Hem, 60.0), panel("facing", "edge", "far", Hem, drop));
        let sewn = seam("front.edge", "facing.edge", 0.0);
        let necks = seam("-front.top", "-facing.top", 0.0);
        pattern(vec![front, facing], vec![sewn, necks])
    };
    assert_eq!(found(&turned(60.0)), []);
    let kink = 60.0_f64.atan2(200.0).to_degrees() - 30.0_f64.atan2(200.0).to_degrees();
    assert_is(&only(&turned(30.0)), FindingKind::Kink, kink, Weight::Untrue);
}

/// With the stitching lines matched the ends of the cutting lines meet: by default they are cut so, set otherwise they
/// may not. A square end stands as far out as the seamline beyond slants over the allowance.
#[test]
fn cut_ends_meet_when_stitching_lines_are_matched() {
    use retrue::pattern::{CornerShape, SetCorner};
    let slanting = |set: Option<CornerShape>| {
        let mut front = panel("front", "side", "centre", Seam, -60.0);
        let back: [Corner; 4] = [
            ("top", Seam, 0.0, 0.0),
            ("far", Free, 200.0, 0.0),
            ("hem", Seam, 200.0, 600.0),
            ("side", Seam, 0.0, 600.0),
        ];
        let edge = |name: &str| name.parse().unwrap();
        let corner = |shape| SetCorner { edges: (edge("side"), edge("hem")), shape };
        front.corners.extend(set.map(corner));
        pattern(vec![front, piece("back", &back)], vec![seam("front.side", "-back.side", 0.0)])
    };
    let cut_ends = |set| {
        let found = found(&slanting(set));
        found.into_iter().filter(|finding| finding.kind == FindingKind::CutEnds).collect::<Vec<_>>()
    };
    assert_eq!(cut_ends(None), []);
    let jog = cut_ends(Some(CornerShape::Jog));
    assert_eq!(jog.len(), 1, "{jog:#?}");
    assert_eq!(jog[0].at, "front.side at hem + back.side at hem");
    assert_eq!(jog[0].weight, Weight::Untrue);
    assert!(jog[0].number > 5.0, "{jog:#?}");
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
