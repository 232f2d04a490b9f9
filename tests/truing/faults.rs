//! Faults along seams: lengths, notches, allowances, and corners where edges run on.

use retrue::pattern::{CornerShape, Cut, Finish, NotchCount, Pattern, Piece, ShapedCorner};
use retrue::truing::{self, Finding, FindingKind, Limits, Measure, Meeting, SeamLimit, Weight};
use retrue::units::{Length, Unit};

use crate::build::{Corner, dart, notch, pattern, piece, rectangle, seam};
use Finish::{Fold, Free, Hem, Seam};

pub fn found(pattern: &Pattern) -> Vec<Finding> {
    truing::check(pattern, &Limits::default())
}

/// The one finding of a pattern.
pub fn only(pattern: &Pattern) -> Finding {
    let found = found(pattern);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.into_iter().next().unwrap()
}

#[track_caller]
pub fn assert_is(finding: &Finding, kind: FindingKind, number: f64, weight: Weight) {
    assert_eq!((finding.kind, finding.weight), (kind, weight), "{finding:?}");
    assert!((finding.number - number).abs() < 1e-3, "{finding:?}");
}

/// Two rectangles sewn side to side and centre to centre: a tube.
pub fn tube(front: Piece, back: Piece) -> Pattern {
    pattern(
        vec![front, back],
        vec![seam("front.side", "-back.centre", 0.0), seam("-front.centre", "back.side", 0.0)],
    )
}

pub fn plain_tube() -> Pattern {
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

/// A limit that was given is the limit: only the usual one leaves room up to 1/16 in.
#[test]
fn a_limit_that_was_given_is_the_limit() {
    let check = |limit: SeamLimit, off: f64| {
        let limits = Limits { length: limit, notch: limit, ..Limits::default() };
        truing::check(&notched(300.0 + off, 300.0, 0.0), &limits).into_iter().map(|f| f.weight).collect()
    };
    let given = |mm: f64| SeamLimit::Given(Length::from_mm(mm));
    let verdicts = |limit, off| -> Vec<Weight> { check(limit, off) };
    assert_eq!(verdicts(SeamLimit::Usual, 0.4), []);
    assert_eq!(verdicts(SeamLimit::Usual, 1.0), [Weight::Warning]);
    assert_eq!(verdicts(given(0.1), 0.2), [Weight::Untrue]);
    assert_eq!(verdicts(given(0.5), 1.0), [Weight::Untrue]);
    assert_eq!(verdicts(given(3.0), 2.0), []);
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

pub fn notched(front: f64, back: f64, ease: f64) -> Pattern {
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
    assert_eq!(drifted.at, "front.side-notch on front.side, back.side-notch on back.centre");
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

/// A notch whose partner is missing, or is double, is a warning. However far apart, two that have no other are partners: the
/// verdict is never milder than on one that is nearer.
#[test]
fn a_notch_wants_a_partner() {
    let mut alone = notched(300.0, 300.0, 0.0);
    alone.piece_mut(&"back".parse().unwrap()).unwrap().notches.clear();
    assert_is(&only(&alone), FindingKind::NotchWithoutPartner, 0.0, Weight::Warning);
    let mut double = notched(300.0, 300.0, 0.0);
    double.piece_mut(&"back".parse().unwrap()).unwrap().notches[0].count = NotchCount::Double;
    assert_eq!(found(&double).len(), 2);
    for off in [3.0, 19.0, 21.0, 100.0] {
        assert_is(&only(&notched(300.0, 300.0 + off, 0.0)), FindingKind::NotchDrift, off, Weight::Untrue);
    }
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

/// However far off a notch is drawn, it does not take the place of the notch that meets a joint: the verdict is never milder
/// than on one that is nearer, also where it comes to stand beside the joint.
#[test]
fn a_notch_far_off_does_not_take_that_of_a_joint() {
    let drawn = |off: f64| {
        let mut sleeve = rectangle("sleeve", 100.0, 600.0);
        notch(&mut sleeve, "shoulder-notch", "side", 250.0);
        notch(&mut sleeve, "front-notch", "side", 150.0);
        let (mut front, back) = (rectangle("front", 200.0, 250.0), rectangle("back", 200.0, 350.0));
        notch(&mut front, "notch", "centre", 100.0 - off);
        pattern(vec![sleeve, front, back], vec![seam("sleeve.side", "-front.centre -back.centre", 0.0)])
    };
    assert_eq!(found(&drawn(0.0)), []);
    for off in [-90.0, -45.0, -5.0, 5.0, 30.0, 60.0, 85.0, 92.0, 97.0, 99.5] {
        let found = found(&drawn(off));
        let far = f64::abs(off);
        let worst = found.iter().filter(|finding| finding.kind == FindingKind::NotchDrift);
        assert!(
            worst.clone().any(|drift| drift.weight == Weight::Untrue && drift.number >= far - 1e-9),
            "{off}: {found:#?}"
        );
    }
}

/// Nor is it told mildly where it is taken to meet a joint beside which it came to stand, as that of the seam of a two-piece
/// sleeve, while its partner is left over.
#[test]
fn a_notch_far_off_meets_no_other_joint() {
    let drawn = |off: f64| {
        let (mut under, upper) = (rectangle("under", 100.0, 160.0), rectangle("upper", 100.0, 440.0));
        notch(&mut under, "front-notch", "centre", 160.0 - 100.0 + off);
        let mut front = rectangle("front", 200.0, 600.0);
        notch(&mut front, "notch", "side", 100.0);
        pattern(vec![under, upper, front], vec![seam("front.side", "-under.centre -upper.centre", 0.0)])
    };
    assert_eq!(found(&drawn(0.0)), []);
    for off in [-55.0, -40.0, 5.0, 40.0, 55.0, 58.0, 59.0, 61.0, 95.0] {
        let found = found(&drawn(off));
        assert!(found.iter().any(|finding| finding.weight == Weight::Untrue), "{off}: {found:#?}");
    }
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

/// What meets a fold runs on in its own mirror image, and is the less true the more it turns; a point is meant where its
/// corner is set so, and then at any turn.
#[test]
fn folds_are_met_square_or_at_a_point_that_is_meant() {
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
    for drop in [20.0, 100.0, 300.0] {
        assert_is(&only(&front(drop)), FindingKind::Kink, kink(drop), Weight::Untrue);
        let mut pointed = front(drop);
        let edges = ("centre".parse().unwrap(), "hem".parse().unwrap());
        let corner = ShapedCorner { edges, shape: CornerShape::Point };
        pointed.piece_mut(&"front".parse().unwrap()).unwrap().corners.push(corner);
        assert_eq!(found(&pointed), []);
    }
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

/// With the stitching lines matched the ends of the cutting lines meet: by default they are cut so, and where one is set
/// otherwise the other goes with it; where both are set they may not. A square end stands as far out as the seamline beyond
/// slants over the allowance.
#[test]
fn cut_ends_meet_when_stitching_lines_are_matched() {
    let slanting = |[set, other]: [Option<CornerShape>; 2]| {
        let mut front = panel("front", "side", "centre", Seam, -60.0);
        let back: [Corner; 4] = [
            ("top", Seam, 0.0, 0.0),
            ("far", Free, 200.0, 0.0),
            ("hem", Seam, 200.0, 600.0),
            ("side", Seam, 0.0, 600.0),
        ];
        let edge = |name: &str| name.parse().unwrap();
        let corner = |shape| ShapedCorner { edges: (edge("side"), edge("hem")), shape };
        let mut back = piece("back", &back);
        front.corners.extend(set.map(corner));
        back.corners.extend(other.map(corner));
        pattern(vec![front, back], vec![seam("front.side", "-back.side", 0.0)])
    };
    let cut_ends = |set| {
        let found = found(&slanting(set));
        found.into_iter().filter(|finding| finding.kind == FindingKind::CutEnds).collect::<Vec<_>>()
    };
    assert_eq!(cut_ends([None, None]), []);
    assert_eq!(cut_ends([Some(CornerShape::Jog), None]), []);
    let jog = cut_ends([Some(CornerShape::Jog), Some(CornerShape::Mitre)]);
    assert_eq!(jog.len(), 1, "{jog:#?}");
    assert_eq!(jog[0].at, "front.side at hem + back.side at hem");
    assert_eq!(jog[0].weight, Weight::Untrue);
    assert!(jog[0].number > 5.0, "{jog:#?}");
}
