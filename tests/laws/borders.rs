//! The laws of borders: extensions that are pieces of their own; and that nothing hangs on the order in which pieces stand.

use retrue::pattern::{Cut, Finish, Opening, Pattern, Piece, SeamId, Selvedge};
use retrue::recut::Step;
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::json;

use crate::made::{apply, edge, piece, step, through_a_sheet};

fn fixture(name: &str) -> Pattern {
    let path = format!("{}/fixtures/{name}", env!("CARGO_MANIFEST_DIR"));
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

fn border(of: &Piece, edge: &str) -> Step {
    step(json!({"do": "extend-edge", "edge": format!("{}.{edge}", of.name()), "by": "2cm", "ends": "square",
        "cloth": "companion", "name": "added"}))
}

/// A border counts as often in the garment as the piece that it is sewn to: of a half piece it is half where it reaches the
/// fold, and else there is one for each half.
#[test]
fn a_border_counts_as_often_as_its_piece() {
    let (mut halves, mut refused) = (0, 0);
    for name in ["coat.svg", "dress.svg", "skirt-shaped-back.svg"] {
        let pattern = fixture(name);
        for of in pattern.pieces().filter(|piece| piece.fold().is_some()) {
            for own in of.edges().iter().filter(|edge| edge.finish != Finish::Fold) {
                let Ok(made) = border(of, own.name.as_str()).apply(&pattern) else {
                    refused += 1;
                    continue;
                };
                let added = piece(&made.pattern, "added");
                assert_eq!(added.times(), of.times(), "{name}: {}.{}", of.name(), own.name);
                halves += usize::from(added.fold().is_none());
            }
        }
    }
    assert!(halves >= 5, "{halves} borders away from the fold, {refused} refused");
}

#[test]
fn a_border_of_a_side_is_cut_left_and_right() {
    let free = |pattern: &Pattern, edge: &str| {
        apply(pattern, json!({"do": "set-edge", "edge": edge, "sewn-to": "none", "finish": "free"})).pattern
    };
    let skirt = free(&free(&fixture("skirt-shaped-back.svg"), "front.side"), "back.side");
    let made = border(piece(&skirt, "front"), "side").apply(&skirt).unwrap().pattern;
    assert_eq!(piece(&made, "added").cut, Cut::PAIR);
    let counts =
        Verdict::of(&made).findings().iter().filter(|found| found.kind == FindingKind::CutCount).count();
    assert_eq!(counts, 0);
}

/// The edge that a border is sewn to is sewn whole and lies within the cloth; what it was, the border's outer edge is, but
/// for the selvedge of a cloth that it is not cut from.
#[test]
fn a_border_takes_over_what_the_edge_was() {
    let mut coat = fixture("coat.svg");
    let front = coat.piece_mut(&"front".parse().unwrap()).unwrap();
    let id = front.edge_named(&"hem".parse().unwrap()).unwrap();
    let settings = front.edge_settings(id);
    (*settings.selvedge, *settings.open, *settings.finish) =
        (Selvedge::Yes, Some(Opening::Vent), Finish::Free);
    for (cloth, stays) in [("companion", Selvedge::No), ("main", Selvedge::Yes)] {
        let made =
            apply(&coat, json!({"do": "extend-edge", "edge": "front.hem", "by": "2cm", "cloth": cloth}));
        let inner = edge(piece(&made.pattern, "front"), "hem");
        assert_eq!((inner.selvedge, inner.open), (Selvedge::No, None));
        let outer = edge(piece(&made.pattern, "front-border"), "hem");
        assert_eq!((outer.selvedge, outer.open), (stays, Some(Opening::Vent)), "{cloth}");
    }
}

/// The same pattern with its pieces, and so its seams, in the other order.
fn turned_round(pattern: &Pattern) -> Pattern {
    let pieces = pattern.pieces().cloned().collect::<Vec<_>>().into_iter().rev().collect();
    let seams = pattern.seams().iter().rev().cloned().collect();
    let mut turned = Pattern::new(pieces, seams).unwrap();
    turned.record = pattern.record.clone();
    turned
}

/// Where a border ends at a panel seam, which of the two is sewn first does not hang on the order of the pieces.
#[test]
fn a_verdict_does_not_hang_on_the_order_of_the_pieces() {
    let coat = fixture("coat.svg");
    let princess = json!({"do": "add-princess-seam", "piece": "front", "from": "shoulder@50%", "through": "bust-point",
        "to": "hem@45% from centre"});
    let cut = apply(&coat, princess).pattern;
    for part in ["front-side", "front-centre"] {
        let bordered =
            json!({"do": "extend-edge", "edge": format!("{part}.hem"), "by": "33mm", "cloth": "companion"});
        let after = apply(&cut, bordered).pattern;
        for pattern in [after.clone(), turned_round(&after), through_a_sheet(&turned_round(&after))] {
            assert!(Verdict::of(&pattern).is_true(), "{part}: {:?}", Verdict::of(&pattern).findings());
        }
        let is_border =
            |seam: &SeamId| after.seam(*seam).edges().any(|run| run.edge.piece.as_str().ends_with("border"));
        let border = after.seam_ids().find(is_border).unwrap();
        assert!(after.is_border_seam(border));
        let panel = after.seams_of(&"front-side.princess".parse().unwrap()).next().unwrap();
        assert!(after.is_new_seam(panel) && !after.is_border_seam(panel));
    }
}

/// Beyond the end of a seam of which the other side is not extended, the side of an extension is a seam that waits: it is told, and
/// sewn when the other side is extended too, as a part of the piece and as a border of its own.
#[test]
fn the_side_of_an_extension_waits_for_the_other() {
    for cloth in [None, Some("companion")] {
        let extended = |pattern: &Pattern, of: &str| {
            let mut fields = json!({"do": "extend-edge", "edge": format!("{of}.hem"), "by": "12cm"});
            if let Some(cloth) = cloth {
                fields["cloth"] = cloth.into();
            }
            apply(pattern, fields).pattern
        };
        let waiting = |pattern: &Pattern| -> Vec<String> {
            let found = Verdict::of(pattern);
            assert!(found.is_true(), "{:?}", found.untrue().collect::<Vec<_>>());
            let found = found.findings().iter().filter(|found| found.kind == FindingKind::SewnToNothing);
            found.map(|found| found.at.clone()).collect()
        };
        let coat = fixture("coat.svg");
        assert!(waiting(&coat).is_empty());
        let front = extended(&coat, "front");
        let side = if cloth.is_some() { "front-border.side" } else { "front.side-lap" };
        assert!(waiting(&front).contains(&side.to_owned()), "{:?}", waiting(&front));
        let lap = front.find_edge(&side.parse().unwrap()).unwrap();
        assert_eq!(lap.finish, Finish::Seam);
        let read = through_a_sheet(&front);
        for pattern in [&front, &read] {
            let both = extended(pattern, "back");
            assert!(!waiting(&both).contains(&side.to_owned()), "{:?}", waiting(&both));
            assert!(both.seams_of(&side.parse().unwrap()).next().is_some());
        }
    }
}

/// A button of nothing is none.
#[test]
fn a_button_has_a_width() {
    for button in ["0mm", "-1mm"] {
        for fields in [
            json!({"do": "extend-edge", "edge": "front.centre", "button": button}),
            json!({"do": "open-seam", "seam": "front.side", "from": "side@30cm from hem", "button": button}),
        ] {
            let refusal = step(fields).apply(&fixture("coat.svg")).unwrap_err();
            assert!(
                refusal.what.contains("button") && refusal.way_out.to_string().contains("above 0mm"),
                "{refusal}"
            );
        }
    }
}
