//! What becomes of openings when the seam or its pieces are recut.

use approx::assert_abs_diff_eq;
use retrue::pattern::{Opening, Pattern, Piece, RefusalKind};
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::json;

use crate::made::{apply, assert_proven, edge, piece, step, through_a_sheet};

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
        assert!(refusal.to_string().contains("open-seam"), "{refusal}");
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
        json!({"do": "set-allowance", "edges": "back.side, front-side.side-2", "allowance": "2cm"}),
        json!({"do": "open-seam", "seam": "front-side.side", "from": "side@2cm from hem", "to": "side@6cm from hem", "for": "vent"}),
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
