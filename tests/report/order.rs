//! The order of sewing.

use std::collections::BTreeSet;

use retrue::pattern::{Finish, Pattern, SeamId};
use retrue::truing::{Construction, OrderFault, SeamWay, SewingStage, SewingWork, construction_order};

use crate::build::{pattern, piece, seam};
use crate::page::shipped;

/// Where a seam stands in the order.
fn place(construction: &Construction, pattern: &Pattern, name: &str) -> usize {
    let is_it = |work: &SewingWork| match work {
        SewingWork::Seam { seam, .. } => pattern.seam(*seam).name() == name,
        _ => false,
    };
    construction
        .steps
        .iter()
        .position(|step| is_it(&step.work))
        .unwrap_or_else(|| panic!("{name} is not sewn"))
}

fn way(construction: &Construction, pattern: &Pattern, name: &str) -> SeamWay {
    match construction.steps[place(construction, pattern, name)].work {
        SewingWork::Seam { way, .. } => way,
        _ => unreachable!("a seam was asked for"),
    }
}

fn seam_named(pattern: &Pattern, name: &str) -> SeamId {
    pattern.seam_ids().find(|id| pattern.seam(*id).name() == name).expect("the seam")
}

#[test]
fn all_is_sewn_once_and_darts_first_hems_last() {
    for file in [
        "fixtures/coat.svg",
        "fixtures/dress.svg",
        "fixtures/skirt-shaped-back.svg",
        "examples/narrow-coat.svg",
    ] {
        let pattern = shipped(file);
        let construction = construction_order(&pattern);
        assert_eq!(construction.faults, [], "{file}");
        let mut seams = BTreeSet::new();
        let (mut darts, mut hems) = (0, 0);
        for step in &construction.steps {
            match &step.work {
                SewingWork::OneCloth { .. } | SewingWork::Strip { .. } => {}
                SewingWork::Dart { .. } => darts += 1,
                SewingWork::Seam { seam, .. } => assert!(seams.insert(*seam)),
                SewingWork::Hem { edges } => hems += edges.len(),
            }
        }
        assert_eq!(seams.len(), pattern.seams().len(), "{file}");
        assert_eq!(darts, pattern.pieces().map(|piece| piece.darts.len()).sum::<usize>(), "{file}");
        let edges = pattern.pieces().flat_map(|piece| piece.edges().iter());
        assert_eq!(hems, edges.filter(|edge| edge.finish == Finish::Hem).count(), "{file}");
        let first_seam = construction.steps.iter().position(|step| step.stage != SewingStage::Darts);
        assert_eq!(first_seam, Some(darts), "{file}");
        let first_hem = construction.steps.iter().position(|step| step.stage == SewingStage::Hems);
        assert!(
            construction.steps[first_hem.expect("hems")..].iter().all(|step| step.stage == SewingStage::Hems)
        );
    }
}

/// Wherever a run goes on from one piece to another, something has joined the two before.
#[test]
fn no_run_is_sewn_over_a_gap() {
    for file in ["fixtures/coat.svg", "fixtures/dress.svg", "examples/narrow-coat.svg"] {
        let pattern = shipped(file);
        let mut joined: BTreeSet<(String, String)> = BTreeSet::new();
        for step in construction_order(&pattern).steps {
            let SewingWork::Seam { seam, .. } = step.work else { continue };
            let seam = pattern.seam(seam);
            for run in [&seam.first, &seam.second] {
                for pair in run.edges().windows(2) {
                    let pieces = (pair[0].edge.piece.to_string(), pair[1].edge.piece.to_string());
                    assert!(pieces.0 == pieces.1 || joined.contains(&pieces), "{file}: {}", seam.name());
                }
            }
            for one in seam.first.edges() {
                for other in seam.second.edges() {
                    let (one, other) = (one.edge.piece.to_string(), other.edge.piece.to_string());
                    joined.insert((one.clone(), other.clone()));
                    joined.insert((other, one));
                }
            }
        }
    }
}

#[test]
fn a_coat_is_sewn_as_the_trade_does() {
    let coat = shipped("examples/narrow-coat.svg");
    let construction = construction_order(&coat);
    let at = |name: &str| place(&construction, &coat, name);
    let armhole = "front-side.armhole back.armhole front-side.armhole-2 + sleeve-under.cap sleeve-upper.cap sleeve-under.cap-2";
    let order = [
        "front-centre.princess + front-side.princess",
        "back.shoulder + front-centre.shoulder front-side.shoulder",
        "front-side.side + back.side",
        "sleeve-upper.seam + sleeve-under.seam",
        armhole,
        "collar.outer + under-collar.outer",
        "collar.neck + front-centre.neck back.neck",
        "front-facing.neck + front-centre.neck",
    ];
    let places = order.map(at);
    assert!(places.is_sorted(), "{places:?}");
    assert_eq!(way(&construction, &coat, armhole), SeamWay::Round);
    assert!(
        at("under-collar.centre + under-collar.centre/m")
            < at("under-collar.neck + front-centre.neck back.neck")
    );
    assert!(
        at("front-facing.shoulder + back-neck-facing.shoulder")
            < at("collar.neck + front-facing.neck back-neck-facing.neck")
    );
}

#[test]
fn a_dress_has_its_waist_sewn_after_sides_and_centres() {
    let dress = shipped("fixtures/dress.svg");
    let construction = construction_order(&dress);
    let at = |name: &str| place(&construction, &dress, name);
    let waist = at("skirt-back.waist + bodice-back.waist");
    for before in [
        "bodice-back.side + bodice-front.side",
        "skirt-front.side + skirt-back.side",
        "skirt-back.centre + skirt-back.centre/m",
    ] {
        assert!(at(before) < waist, "{before}");
    }
    assert_eq!(
        way(&construction, &dress, "sleeve.cap + bodice-back.armhole bodice-front.armhole"),
        SeamWay::Round
    );
}

/// ```text
///   shoulder
///  ┌────────┐
///  │        │ armhole
///  │ centre ├
///  │        │ side
///  └────────┘ hem
/// ```
fn body(name: &str) -> retrue::pattern::Piece {
    use Finish::{Free, Hem, Seam};
    piece(
        name,
        &[
            ("shoulder", Seam, 0.0, 0.0),
            ("armhole", Seam, 100.0, 0.0),
            ("side", Seam, 100.0, 100.0),
            ("hem", Hem, 100.0, 300.0),
            ("centre", Free, 0.0, 300.0),
        ],
    )
}

/// A sleeve, its cap above; `fore` on the left.
fn sleeve(name: &str, width: f64) -> retrue::pattern::Piece {
    use Finish::{Hem, Seam};
    piece(
        name,
        &[
            ("cap", Seam, 0.0, 0.0),
            ("hind", Seam, width, 0.0),
            ("hem", Hem, width, 200.0),
            ("fore", Seam, 0.0, 200.0),
        ],
    )
}

#[test]
fn a_sleeve_is_set_in_the_round_where_side_and_underarm_are_apart() {
    let seams = vec![
        seam("sleeve.cap", "-front.armhole back.armhole", 0.0),
        seam("-sleeve.fore", "sleeve.hind", 0.0),
        seam("front.side", "back.side", 0.0),
        seam("front.shoulder", "back.shoulder", 0.0),
    ];
    let garment = pattern(vec![body("front"), body("back"), sleeve("sleeve", 200.0)], seams);
    let construction = construction_order(&garment);
    assert_eq!(construction.faults, []);
    let set_in = "sleeve.cap + front.armhole back.armhole";
    assert_eq!(way(&construction, &garment, set_in), SeamWay::Round);
    let at = |name: &str| place(&construction, &garment, name);
    let before = ["front.shoulder + back.shoulder", "front.side + back.side", "sleeve.fore + sleeve.hind"];
    assert!(before.into_iter().all(|name| at(name) < at(set_in)));
}

/// Side and underarm sewn in one: the sleeve is set in flat, before that seam crosses it, wherever the run is said to
/// start.
#[test]
fn a_sleeve_is_set_in_flat_where_one_seam_closes_side_and_underarm() {
    let cases =
        [("sleeve.cap", "-front.armhole back.armhole"), ("-sleeve.cap", "-back.armhole front.armhole")];
    for (cap, armhole) in cases {
        let seams = vec![
            seam("sleeve.fore front.side", "-sleeve.hind back.side", 0.0),
            seam(cap, armhole, 0.0),
            seam("front.shoulder", "back.shoulder", 0.0),
        ];
        let garment = pattern(vec![body("front"), body("back"), sleeve("sleeve", 200.0)], seams);
        let construction = construction_order(&garment);
        assert_eq!(construction.faults, []);
        let closing = "sleeve.fore front.side + sleeve.hind back.side";
        let set_in = format!("sleeve.cap + {}", armhole.replace('-', ""));
        let flat = SeamWay::FlatBefore(seam_named(&garment, closing));
        assert_eq!(way(&construction, &garment, &set_in), flat);
        let at = |name: &str| place(&construction, &garment, name);
        assert!(at("front.shoulder + back.shoulder") < at(&set_in) && at(&set_in) < at(closing));
    }
}

/// Shoulder and overarm in one, side and underarm in one, and the armhole all round: whichever of the two is closed
/// first, the other can no more be sewn flat over the armhole.
#[test]
fn a_round_that_two_seams_cross_cannot_be_sewn() {
    let seams = vec![
        seam("-sleeve-front.cap sleeve-back.cap", "-front.armhole back.armhole", 0.0),
        seam("front.shoulder -sleeve-front.fore", "back.shoulder -sleeve-back.fore", 0.0),
        seam("-sleeve-front.hind front.side", "-sleeve-back.hind back.side", 0.0),
    ];
    let pieces =
        vec![body("front"), body("back"), sleeve("sleeve-front", 100.0), sleeve("sleeve-back", 100.0)];
    let garment = pattern(pieces, seams);
    let construction = construction_order(&garment);
    let round = seam_named(&garment, "sleeve-front.cap sleeve-back.cap + front.armhole back.armhole");
    let crossing: Vec<SeamId> = garment.seam_ids().filter(|id| *id != round).collect();
    assert_eq!(construction.faults, [OrderFault::RoundClosedFirst { round, crossing }]);
    assert_eq!(construction.steps.iter().filter(|step| step.stage != SewingStage::Hems).count(), 3);
}

/// A princess seam and a waist seam that each run on across the other.
#[test]
fn two_seams_that_cross_each_other_cannot_be_sewn() {
    use Finish::Seam;
    let panel = |name: &str| {
        let corners = [("top", 0.0, 0.0), ("right", 100.0, 0.0), ("hem", 100.0, 100.0), ("left", 0.0, 100.0)];
        piece(name, &corners.map(|(edge, x, y)| (edge, Seam, x, y)))
    };
    let seams = vec![
        seam("upper-a.right lower-a.right", "-upper-b.left -lower-b.left", 0.0),
        seam("-upper-a.hem -upper-b.hem", "lower-a.top lower-b.top", 0.0),
    ];
    let garment = pattern(["upper-a", "upper-b", "lower-a", "lower-b"].map(panel).to_vec(), seams);
    let construction = construction_order(&garment);
    let seams: Vec<SeamId> = garment.seam_ids().collect();
    assert_eq!(construction.faults, [OrderFault::Circle { seams }]);
    assert_eq!(construction.steps.len(), 2);
}

#[test]
fn a_run_over_a_joint_that_nothing_closes_is_told() {
    let seams =
        vec![seam("sleeve.cap", "-front.armhole back.armhole", 0.0), seam("front.side", "back.side", 0.0)];
    let garment = pattern(vec![body("front"), body("back"), sleeve("sleeve", 200.0)], seams);
    let round = seam_named(&garment, "sleeve.cap + front.armhole back.armhole");
    let between = ("front.armhole".parse().unwrap(), "back.armhole".parse().unwrap());
    let faults = construction_order(&garment).faults;
    assert_eq!(faults, [OrderFault::OpenJoint { seam: round, between }]);
}

/// Pockets are set where they are drawn, after what they are made of and before the pieces are closed; buttonholes come last.
#[test]
fn pockets_and_buttonholes_that_are_drawn_are_in_the_order() {
    let bench = crate::run::Bench::new().with_fixture("coat.svg");
    bench.retrue("report coat.svg -o coat.html").is_true();
    let page = bench.text_of("coat.html");
    let order = &page[page.find("Sewing order</h2>").expect("the order")..];
    let at = |words: &str| order.find(words).unwrap_or_else(|| panic!("{words} is not told"));
    assert!(at("pocket-welt.lower") < at("Set the pocket where pocket is drawn on front, left and right."));
    assert!(at("Set the pocket where") < at("<h3>Shoulders</h3>"));
    assert!(at("<h3>Hems</h3>") < at("Work 4 buttonholes where drawn on front, on the side that laps over."));
    let titles: Vec<&str> =
        order.split("<h3>").skip(1).filter_map(|rest| rest.split("</h3>").next()).collect();
    let different: BTreeSet<&&str> = titles.iter().collect();
    assert_eq!(different.len(), titles.len(), "{titles:?}");
}
