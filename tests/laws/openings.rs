//! What becomes of openings when the seam or its pieces are recut.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::pattern::{Opening, Pattern, Piece, RefusalKind};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::{Value, json};

use crate::counted::{counted, kept_in};
use crate::made::{apply, assert_proven, edge, piece, step, through_a_sheet};
use crate::random::block::draft;
use crate::random::bodice::bodices;

/// What an opening that is closed again may leave, mm.
const BACK_AGAIN: f64 = 0.01;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_openings.txt", 256)
}

fn coat() -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

/// The coat with a princess seam in its front and three buttonholes in that, for buttons of 30 lines.
fn buttoned(coat: &Pattern) -> Pattern {
    let seam = json!({"do": "add-princess-seam", "piece": "front", "from": "shoulder@50%", "through": "bust-point",
        "to": "hem@45% from centre"});
    let mut pattern = apply(coat, seam).pattern;
    for at in ["62cm", "50cm", "38cm"] {
        let edge = |pattern: &Pattern| {
            let long = |edge: &&retrue::pattern::Edge| {
                edge.name.as_str().starts_with("princess") && edge.open.is_none()
            };
            let edges = piece(pattern, "front-centre").edges().iter().filter(long);
            edges.max_by(|a, b| a.curve.length().total_cmp(&b.curve.length())).unwrap().name.to_string()
        };
        let name = edge(&pattern);
        let from = format!("{name}@{at} from hem");
        let open = json!({"do": "open-seam", "seam": format!("front-centre.{name}"), "from": from, "button": "19.05mm"});
        pattern = apply(&pattern, open).pattern;
    }
    pattern
}

fn holes(piece: &Piece) -> Vec<f64> {
    let open = piece.edges().iter().filter(|edge| edge.open == Some(Opening::Buttonhole));
    open.map(|edge| edge.curve.length()).collect()
}

/// Three in-seam buttonholes at given places: each 22.05 mm for a button of 19.05 mm (*Textiles and Garment Construction*,
/// p. 72: diameter and 3 mm [S]), on both sides, with a notch at both ends; true, proven, read back.
#[test]
fn buttonholes_in_a_princess_seam_are_as_long_as_their_button_asks() {
    let coat = coat();
    let after = buttoned(&coat);
    for name in ["front-centre", "front-side"] {
        let found = holes(piece(&after, name));
        assert_eq!(found.len(), 3, "{name}");
        found.iter().for_each(|hole| assert_abs_diff_eq!(*hole, 22.05, epsilon = 0.01));
        let marks = piece(&after, name)
            .notches
            .iter()
            .filter(|notch| notch.name.as_str().starts_with("opening-notch"));
        assert_eq!(marks.count(), 6, "{name}");
    }
    assert!(Verdict::of(&after).is_true());
    assert_proven(&coat, &after);
    let read = through_a_sheet(&after);
    assert_eq!(holes(piece(&read, "front-centre")).len(), 3);
}

/// A piece that is cut beside its openings carries them; cut through one, both parts are open.
#[test]
fn cutting_a_piece_carries_its_openings() {
    let coat = coat();
    let before = buttoned(&coat);
    let total = |pattern: &Pattern| -> f64 {
        pattern.pieces().filter(|piece| piece.derived.is_none()).flat_map(holes).sum()
    };
    for line in ["level hip", "princess-buttonhole@50% > armhole@50%"] {
        let cut = apply(&before, json!({"do": "split", "piece": "front-side", "line": line})).pattern;
        assert_abs_diff_eq!(total(&cut), total(&before), epsilon = 0.01);
        assert!(Verdict::of(&cut).is_true(), "{line}");
        assert_proven(&coat, &cut);
    }
}

/// Moving or merging a seam that is left open is refused by name, with the way out.
#[test]
fn moving_and_merging_an_opened_seam_is_refused_by_name() {
    let before = buttoned(&coat());
    for fields in [
        json!({"do": "move-seam", "seam": "front-centre.princess", "from": "front-side", "by": "1cm"}),
        json!({"do": "merge-at-seamline", "seam": "front-centre.princess"}),
    ] {
        let refusal = step(fields).apply(&before).unwrap_err();
        assert_eq!(refusal.kind, RefusalKind::BadSeam);
        assert!(refusal.what.contains("left open here for a buttonhole"), "{refusal}");
        assert!(refusal.to_string().contains("close-seam"), "{refusal}");
    }
}

/// Whatever is done to a piece with openings in its seams, they go along, as long as they were and true, or what is refused
/// names the opening.
#[test]
fn every_recut_carries_openings_or_refuses_by_name() {
    let coat = coat();
    let pocket = json!({"do": "open-seam", "seam": "back.side", "from": "side@20cm from hem", "to": "side@36cm from hem", "for": "pocket"});
    let before = apply(&buttoned(&coat), pocket).pattern;
    let open = |pattern: &Pattern| -> f64 {
        let all = pattern.pieces().flat_map(|piece| {
            let times = f64::from(piece.times());
            piece
                .edges()
                .iter()
                .filter(|edge| edge.open.is_some())
                .map(move |edge| edge.curve.length() * times)
        });
        all.sum()
    };
    let carried = [
        json!({"do": "split", "piece": "back", "line": "level waist"}),
        json!({"do": "split", "piece": "back", "line": "level hip"}),
        json!({"do": "split", "piece": "front-side", "line": "level hip"}),
        json!({"do": "split", "piece": "front-side", "line": "princess-buttonhole@50% > side-pocket@50%"}),
        json!({"do": "limit-width", "piece": "back", "width": "20cm"}),
        json!({"do": "open-centre", "piece": "back"}),
        json!({"do": "unfold", "piece": "back"}),
        json!({"do": "turn-grain", "piece": "back", "to": "crosswise"}),
        json!({"do": "add-band", "piece": "back", "edge": "hem", "depth": "10cm"}),
        json!({"do": "divide-edge", "edge": "back.side-pocket", "at": "side-pocket@50%"}),
        json!({"do": "set-piece", "piece": "back", "name": "rear"}),
        json!({"do": "set-allowance", "edges": "back.side, front-side.side", "allowance": "2cm"}),
        json!({"do": "open-seam", "seam": "front-side.side-2", "from": "side-2@2cm from hem", "to": "side-2@6cm from hem", "for": "vent"}),
        json!({"do": "true-seam", "seam": "front-side.side"}),
        json!({"do": "copy-piece", "piece": "back", "name": "thin", "for": "lining"}),
    ];
    for fields in carried {
        let told = fields.to_string();
        let is_opening = told.contains("open-seam");
        let after = apply(&before, fields).pattern;
        let added = if is_opening { 4.0 * 40.0 } else { 0.0 };
        assert_abs_diff_eq!(open(&after), open(&before) + added, epsilon = 0.05);
        assert!(Verdict::of(&after).is_true(), "{told}: {:?}", Verdict::of(&after).findings());
        assert_proven(&coat, &after);
        assert_abs_diff_eq!(open(&through_a_sheet(&after)), open(&after), epsilon = 0.01);
    }
    let refused = [
        json!({"do": "move-seam", "seam": "back.side", "from": "back", "by": "1cm"}),
        json!({"do": "move-seam", "seam": "back.side-2", "from": "front-side", "by": "1cm"}),
        json!({"do": "merge-at-seamline", "seam": "back.side"}),
        json!({"do": "merge-at-seamline", "seam": "back.side-pocket", "shaping": "dart"}),
        json!({"do": "open-seam", "seam": "back.side-pocket", "from": "side-pocket@10%", "to": "side-pocket@60%", "for": "vent"}),
        json!({"do": "join-edges", "edges": "back.side, back.side-pocket"}),
        json!({"do": "add-strip", "over": "back.side-pocket", "width": "1cm"}),
    ];
    for fields in refused {
        let told = fields.to_string();
        let refusal = step(fields).apply(&before).err().unwrap_or_else(|| panic!("{told} is done"));
        let text = refusal.to_string();
        assert!(text.contains("left open") && text.contains("pocket"), "{told}: {text}");
    }
}

/// An allowance too narrow to face an opening is told; it is not when a pocket is sewn to it.
#[test]
fn an_opening_that_cannot_be_faced_is_told() {
    let before = buttoned(&coat());
    let narrow = json!({"do": "set-allowance", "edges": "*.princess-buttonhole", "allowance": "4mm"});
    let after = apply(&before, narrow).pattern;
    let told = Verdict::of(&after);
    let found: Vec<_> =
        told.findings().iter().filter(|found| found.kind == FindingKind::OpeningUnfaced).collect();
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(told.is_true());
    assert_abs_diff_eq!(found[0].number, 4.0);
    assert_abs_diff_eq!(found[0].limit, 10.0);
}

/// An underlining is open where its piece is, and agrees with it after it is read back; a lining has no pocket in its seam.
#[test]
fn what_is_one_cloth_with_a_piece_is_open_with_it() {
    let coat = coat();
    let before = buttoned(&coat);
    for (purpose, many) in [("underlining", 3), ("lining", 0)] {
        let copy = json!({"do": "copy-piece", "piece": "front-centre", "name": "copy", "for": purpose});
        let after = apply(&before, copy).pattern;
        assert_eq!(holes(piece(&after, "copy")).len(), many, "{purpose}");
        let read = through_a_sheet(&after);
        assert!(Verdict::of(&read).is_true(), "{purpose}");
        assert_proven(&coat, &read);
        let hole = edge(piece(&read, "copy"), "princess-buttonhole");
        assert_abs_diff_eq!(hole.curve.length(), 22.05, epsilon = 0.01);
    }
}

/// A pattern in which a step was done already, so that its ledger is open, as it is read from its sheet.
fn begun(pattern: &Pattern) -> Pattern {
    through_a_sheet(&apply(pattern, json!({"do": "set-pattern", "title": "x"})).pattern)
}

/// How far the ease of a seam may be off that was cut in five parts, by two openings, and written once in six decimals, mm.
const EASE_OF_PARTS: f64 = 5.0 * 0.5e-6;

/// All that a pattern holds but its record is as it was: names, lines, allowances, seams, ease and notches.
fn assert_as_it_was(before: &Pattern, after: &Pattern) -> Result<(), TestCaseError> {
    prop_assert_eq!(before.seams().len(), after.seams().len());
    for (old, new) in before.seams().iter().zip(after.seams()) {
        prop_assert_eq!((&old.first, &old.second), (&new.first, &new.second));
        assert_abs_diff_eq!(old.ease.mm(), new.ease.mm(), epsilon = EASE_OF_PARTS);
    }
    prop_assert_eq!(before.pieces().len(), after.pieces().len());
    for (old, new) in before.pieces().zip(after.pieces()) {
        prop_assert_eq!(old.edges().len(), new.edges().len(), "{}", old.name());
        for (a, b) in old.edges().iter().zip(new.edges()) {
            prop_assert_eq!(&a.name, &b.name);
            prop_assert_eq!(
                (a.finish, a.allowance, a.selvedge, a.open, a.lap),
                (b.finish, b.allowance, b.selvedge, b.open, b.lap)
            );
            prop_assert_eq!(a.origins.len(), b.origins.len());
            for i in 0..=20 {
                let place =
                    |curve: &retrue::curve::Curve| curve.point_at(curve.length() * f64::from(i) / 20.0);
                prop_assert!(place(&a.curve).distance(place(&b.curve)) <= BACK_AGAIN);
            }
        }
        prop_assert_eq!(old.notches.len(), new.notches.len());
        for notch in &old.notches {
            let back = new.notches.iter().find(|other| other.name == notch.name).unwrap();
            prop_assert_eq!((&back.edge, back.count), (&notch.edge, notch.count));
            assert_abs_diff_eq!(back.at, notch.at, epsilon = 1e-4);
        }
    }
    Ok(())
}

/// Opened and closed again, from whichever side and end, a seam is what it was; so it is when another opening was made in it in
/// between, and closed first.
#[test]
fn a_seam_that_is_opened_and_closed_is_what_it_was() {
    let pattern = prop_oneof![
        draft().prop_map(|draft| draft.pattern()),
        bodices().prop_map(|bodice| bodice.pattern()),
    ];
    let purpose = prop_oneof!["buttonhole", "pocket", "vent"];
    let places = (0.0..80.0_f64, 5.0..40.0_f64, any::<bool>(), any::<bool>());
    counted(
        config(),
        (pattern, any::<proptest::sample::Index>(), purpose, places),
        |(pattern, which, purpose, places)| {
            let before = begun(&pattern);
            let seam = &before.seams()[which.index(before.seams().len())];
            let (from, long, at_the_end, twice) = places;
            let (from, to) = if at_the_end { (0.0, long) } else { (from, (from + long).min(100.0)) };
            let edge = seam.first.edges()[0].edge.clone();
            let open = |edge: &retrue::pattern::EdgeRef, from: f64, to: f64| {
                let on = |share: f64| format!("{}@{share:.3}%", edge.edge);
                step(
                    json!({"do": "open-seam", "seam": edge.to_string(), "from": on(from), "to": on(to), "for": purpose}),
                )
            };
            let Ok(opened) = open(&edge, from, to).apply(&before) else { return Ok(false) };
            let mut now = opened.pattern;
            let one_of = |told: &[Notice]| {
                told.iter().find_map(|told| match told {
                    Notice::SeamOpened { first, second, .. } => Some([first.clone(), second.clone()]),
                    _ => None,
                })
            };
            let mut openings = vec![one_of(&opened.notices).unwrap()];
            // Another, within what is left of the edge.
            if twice
                && now.find_edge(&edge).is_some_and(|edge| edge.open.is_none())
                && let Ok(again) = open(&edge, 30.0, 60.0).apply(&now)
            {
                openings.push(one_of(&again.notices).unwrap());
                now = again.pattern;
            }
            let whole = openings.iter().any(|opening| before.find_edge(&opening[0]).is_some());
            let now = through_a_sheet(&now);
            let mut closed = now.clone();
            for opening in openings.iter().rev() {
                let side = which.index(2);
                closed =
                    apply(&closed, json!({"do": "close-seam", "seam": opening[side].to_string()})).pattern;
            }
            assert_proven(&before, &through_a_sheet(&closed));
            // An edge that was open as a whole keeps the allowance that it was given.
            if !whole {
                assert_as_it_was(&before, &closed)?;
            }
            Ok(!whole)
        },
    );
}

/// Of two openings side by side each keeps its notches when the other is closed.
#[test]
fn closing_one_opening_leaves_the_other() {
    let coat = begun(&coat());
    let open = |pattern: &Pattern, edge: &str, from: &str, to: &str, purpose: &str| {
        let (piece, name) = edge.split_once('.').unwrap();
        let on = |at: &str| format!("{name}@{at}");
        let fields = json!({"do": "open-seam", "seam": format!("{piece}.{name}"), "from": on(from), "to": on(to), "for": purpose});
        apply(pattern, fields).pattern
    };
    let one = open(&coat, "front.side", "20cm", "36cm", "pocket");
    let both = open(&one, "front.side-2", "0mm", "8cm", "vent");
    let closed = apply(&both, json!({"do": "close-seam", "seam": "back.side-vent"})).pattern;
    assert!(Verdict::of(&closed).is_true(), "{:?}", Verdict::of(&closed).findings());
    assert_as_it_was(&one, &closed).unwrap();
    let closed = apply(&both, json!({"do": "close-seam", "seam": "front.side-pocket"})).pattern;
    assert!(Verdict::of(&closed).is_true(), "{:?}", Verdict::of(&closed).findings());
    let names = |name: &str| -> Vec<String> {
        piece(&closed, name)
            .edges()
            .iter()
            .map(|edge| edge.name.to_string())
            .filter(|name| name.starts_with("side"))
            .collect()
    };
    assert_eq!(names("front"), ["side", "side-vent", "side-2"]);
    let marks =
        piece(&closed, "front").notches.iter().filter(|notch| notch.name.as_str().starts_with("opening"));
    assert_eq!(marks.count(), 2);
}

fn skirt_opened_twice() -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/skirt-shaped-back.svg");
    let skirt = sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    let open =
        |from: &str, to: &str| json!({"do": "open-seam", "seam": "front.side", "from": from, "to": to});
    let one = apply(&skirt, open("side@8cm from waist", "side@16cm from waist")).pattern;
    apply(&one, open("side@0cm from side-pocket", "side@8cm from side-pocket")).pattern
}

/// Two openings that meet share the notch between them, on whichever of the two it is read back; closing one leaves the
/// other open, and what is sewn up is sewn with what was sewn beside it.
#[test]
fn an_opening_beside_one_that_is_closed_stays_open() {
    let both = skirt_opened_twice();
    for pattern in [both.clone(), through_a_sheet(&both)] {
        assert!(Verdict::of(&pattern).findings().is_empty(), "{:?}", Verdict::of(&pattern).findings());
        for (closed, stays) in
            [("front.side-pocket", "side-pocket-2"), ("front.side-pocket-2", "side-pocket")]
        {
            let after = apply(&pattern, json!({"do": "close-seam", "seam": closed})).pattern;
            for after in [through_a_sheet(&after), after] {
                assert!(
                    Verdict::of(&after).findings().is_empty(),
                    "{closed}: {:?}",
                    Verdict::of(&after).findings()
                );
                let open = piece(&after, "front").edges().iter().filter(|edge| edge.open.is_some());
                assert_eq!(open.map(|edge| edge.name.as_str()).collect::<Vec<_>>(), [stays]);
                let seam = after.seams_of(&format!("front.{stays}").parse().unwrap()).next().unwrap();
                assert_eq!(after.seam(seam).edges().count(), 2, "{closed}");
            }
        }
    }
}

/// A seam of which some edges are open and some are not is told: it would be sewn up.
#[test]
fn a_seam_that_is_open_in_part_is_told() {
    let mut pattern = skirt_opened_twice();
    let is_open = |pattern: &Pattern, seam: &retrue::pattern::Seam| {
        seam.edges().all(|run| pattern.find_edge(&run.edge).unwrap().open.is_some())
    };
    let open: Vec<_> = pattern.seam_ids().filter(|id| is_open(&pattern, pattern.seam(*id))).collect();
    let runs: Vec<_> = pattern.seam(open[0]).edges().map(|run| run.edge.clone()).collect();
    let other: Vec<_> = pattern.seam(open[1]).edges().map(|run| run.edge.clone()).collect();
    let told = |pattern: &Pattern| {
        let found = Verdict::of(pattern);
        found.untrue().any(|found| found.kind == FindingKind::OpenInPart)
    };
    // The two openings as one are open as a whole; with one of them sewn they are open in part.
    let whole = "front.side-pocket-2 front.side-pocket + back.side-pocket-2 back.side-pocket";
    let joined = |pattern: &Pattern| pattern.seams().iter().any(|seam| seam.name() == whole);
    let run = |names: &[&str], travel| {
        let edges = names.iter().map(|name| retrue::pattern::RunEdge { edge: name.parse().unwrap(), travel });
        retrue::pattern::Run::new(edges.collect()).unwrap()
    };
    let seam = retrue::pattern::Seam {
        first: run(&["front.side-pocket-2", "front.side-pocket"], retrue::pattern::Travel::Clockwise),
        second: run(&["back.side-pocket-2", "back.side-pocket"], retrue::pattern::Travel::Anticlockwise),
        ease: retrue::units::Length::ZERO,
    };
    let holds = |seam: &retrue::pattern::Seam| {
        seam.edges().any(|run| runs.contains(&run.edge) || other.contains(&run.edge))
    };
    let left = pattern.seams().iter().filter(|seam| !holds(seam)).cloned();
    let seams = left.chain([seam]).collect();
    pattern.set_seams(seams).unwrap();
    assert!(joined(&pattern) && !told(&pattern));
    for name in ["front", "back"] {
        let piece = pattern.piece_mut(&name.parse().unwrap()).unwrap();
        let id = piece.edge_named(&"side-pocket".parse().unwrap()).unwrap();
        *piece.edge_settings(id).open = None;
    }
    assert!(told(&pattern));
}

/// What is not open, and a copy that is open only with its piece, is refused with the way out.
#[test]
fn what_cannot_be_closed_is_refused() {
    let before = buttoned(&coat());
    let copy: Value =
        json!({"do": "copy-piece", "piece": "front-centre", "name": "thin", "for": "underlining"});
    let before = apply(&before, copy).pattern;
    for (edge, says) in [
        ("front-centre.princess", "`princess-buttonhole`"),
        ("back.side", "this piece has none"),
        ("thin.princess-buttonhole", "follow"),
        ("front-centre.nothing", "nothing"),
    ] {
        let refusal = step(json!({"do": "close-seam", "seam": edge})).apply(&before).unwrap_err();
        assert!(refusal.to_string().contains(says), "{edge}: {refusal}");
    }
}

/// A seam that is cut into what is left open is told, once; one that ends beside it is not.
#[test]
fn a_seam_that_runs_into_an_opening_is_told() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/skirt-shaped-back.svg");
    let skirt = sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    let pocket = json!({"do": "open-seam", "seam": "front.side", "from": "side@8cm from waist", "to": "side@24cm from waist"});
    let before = apply(&skirt, pocket).pattern;
    let told = |pattern: &Pattern, depth: &str| -> Vec<String> {
        let line = format!("across at {depth} below waist@50%");
        let names = "upper, lower";
        let cut = apply(pattern, json!({"do": "split", "piece": "front", "line": line, "names": names}));
        let crossed = cut.notices.iter().filter(|told| matches!(told, Notice::OpeningCrossed { .. }));
        let told = crossed.map(|told| {
            assert!(told.is_warning());
            format!("{} {}", told.sentence(Default::default()), told.way_out().unwrap())
        });
        // What was cut through before is not told again.
        let on = apply(
            &cut.pattern,
            json!({"do": "split", "piece": "back", "line": "across at 40cm below waist@50%"}),
        );
        assert!(!on.notices.iter().any(|told| matches!(told, Notice::OpeningCrossed { .. })));
        told.collect()
    };
    let through = told(&before, "16cm");
    assert_eq!(through.len(), 1, "{through:?}");
    for part in ["upper.side-pocket", "lower.side-pocket", "pocket", "close-seam", "back.side-pocket"] {
        assert!(through[0].contains(part), "{}", through[0]);
    }
    assert!(told(&before, "35cm").is_empty());
    assert!(told(&skirt, "16cm").is_empty());
}

/// The stretches that a seam is divided in bear like names on both of its sides, numbered from the same end, and a second opening
/// goes on counting; closing them all gives the names back.
#[test]
fn both_sides_of_a_stretch_bear_like_names() {
    let after = buttoned(&coat());
    let mut sewn = 0;
    for seam in after.seams() {
        let [one, other] = [&seam.first, &seam.second].map(|run| &run.first_and_last().0.edge);
        if one.edge.as_str().starts_with("princess") {
            assert_eq!(one.edge, other.edge, "{}", seam.name());
            sewn += 1;
        }
    }
    assert_eq!(sewn, 7);
    let names = |pattern: &Pattern, name: &str| -> Vec<String> {
        let edges = piece(pattern, name).edges().iter().map(|edge| edge.name.to_string());
        let mut names: Vec<String> = edges.filter(|name| name.starts_with("princess")).collect();
        names.sort();
        names
    };
    let all = ["princess", "princess-2", "princess-3", "princess-4"].map(str::to_owned).into_iter();
    let holes = ["princess-buttonhole", "princess-buttonhole-2", "princess-buttonhole-3"].map(str::to_owned);
    let mut expected: Vec<String> = all.chain(holes.clone()).collect();
    expected.sort();
    assert_eq!(names(&after, "front-centre"), expected);
    assert_eq!(names(&after, "front-side"), expected);
    let closed = holes.iter().fold(after, |pattern, hole| {
        apply(&pattern, json!({"do": "close-seam", "seam": format!("front-side.{hole}")})).pattern
    });
    for name in ["front-centre", "front-side"] {
        assert_eq!(names(&closed, name), ["princess"]);
    }
}

/// A seam that was drawn as one line stands as far off the grain when stretches of it are left open: no stretch is told by itself.
#[test]
fn an_opening_sets_no_seam_off_the_grain() {
    let off = |pattern: &Pattern| -> Vec<f64> {
        let found = Verdict::of(pattern);
        let found = found.findings().iter().filter(|found| found.kind == FindingKind::OffGrain);
        found.map(|found| found.number).collect()
    };
    let seam = |to: &str| {
        let fields = json!({"do": "add-princess-seam", "piece": "front", "from": "shoulder@50%", "through": "bust-point",
            "to": to});
        apply(&coat(), fields).pattern
    };
    let open = |pattern: &Pattern| {
        let from = "princess@50cm from hem";
        let fields =
            json!({"do": "open-seam", "seam": "front-centre.princess", "from": from, "button": "19.05mm"});
        apply(pattern, fields).pattern
    };
    let mut told = 0;
    for to in ["hem@45% from centre", "hem@80% from centre", "hem@99% from centre"] {
        let (before, after) = (off(&seam(to)), off(&open(&seam(to))));
        assert_eq!(before.len(), after.len(), "{to}: {before:?} {after:?}");
        for (before, after) in before.iter().zip(&after) {
            assert_abs_diff_eq!(before, after, epsilon = 1e-9);
        }
        told += before.len();
    }
    assert!(told > 0);
}
