//! The laws of merged seams, over random pieces with shaped sides and over the fixtures.

use crate::counted::counted;
use crate::random::block::{Centre, draft};
use crate::seam_laws::{
    apply, assert_girths_accounted, assert_laid_without_overlap, assert_same_piece, assert_seams_true,
    config, fixture, merged, net_area, piece, seam_of, shaped_pair, shaped_sides, walked,
};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;
use retrue::curve::{Curve, Vec2};
use retrue::pattern::{DeclaredKind, Edge, EdgeEnd, Pattern, Piece, RefusalKind};
use retrue::truing::{FindingKind, Limits, check};

proptest! {
    #![proptest_config(config())]

    /// An overlap is never silent: sides that are both hollow cannot be laid on one another.
    #[test]
    fn an_overlap_is_refused(draft in shaped_sides(), hollow in (4.0..12.0_f64, 4.0..12.0_f64)) {
        let mut draft = draft;
        (draft.front.waist_in, draft.back.waist_in) = hollow;
        (draft.front.hip_out, draft.back.hip_out, draft.front.centre, draft.back.centre) =
            (0.0, 0.0, Centre::Fold, Centre::Fold);
        for shaping in ["refuse", "dart"] {
            let mut fields = merged("front.side");
            fields["shaping"] = shaping.into();
            let refusal = apply(&draft.pattern(), fields).unwrap_err();
            prop_assert_eq!(refusal.kind, RefusalKind::Overlap);
            prop_assert!(refusal.what.contains("mm along the seam"), "{}", refusal);
        }
    }

    /// Sides that are both full leave gaps: refused when not told what to do with them; as darts, the merged piece covers
    /// what its parts cover where they are laid, and nothing more. What overlaps by the way is refused. Where such a dart
    /// opens at the side of the armhole, the binding still begins there.
    #[test]
    fn a_merged_piece_covers_its_parts(draft in shaped_sides(), full in (4.0..12.0_f64, 4.0..12.0_f64)) {
        let mut draft = draft;
        (draft.front.waist_in, draft.back.waist_in) = (-full.0, -full.1);
        (draft.front.centre, draft.back.centre) = (Centre::Fold, Centre::Fold);
        let before = draft.pattern();
        let refusal = apply(&before, merged("front.side")).unwrap_err();
        prop_assert!(matches!(refusal.kind, RefusalKind::Gap | RefusalKind::Overlap), "{}", refusal);
        let mut fields = merged("front.side");
        fields["shaping"] = "dart".into();
        match apply(&before, fields) {
            Ok(recut) => {
                assert_laid_without_overlap(&before, &recut.pattern, "front", ["front", "back"]);
                prop_assert!(!piece(&recut.pattern, "front").darts.is_empty());
                assert_sewn_from_the_side(&before, &recut.pattern);
            }
            Err(refusal) => prop_assert_eq!(refusal.kind, RefusalKind::Overlap),
        }
    }
}

/// Laws 5 and 6: what a split parted a merge joins again: the first piece, its edges and their names, and its seams.
#[test]
fn split_then_merge_gives_the_first_piece_back() {
    counted(config(), (draft(), 0.1..0.9_f64, 0.1..0.9_f64), |(draft, from, to)| {
        let before = draft.pattern();
        let line = format!("shoulder@{:.3}% > hem@{:.3}%", from * 100.0, to * 100.0);
        let split =
            serde_json::json!({"do": "split", "piece": "front", "line": line, "names": "front, part"});
        let parted = match apply(&before, split) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert!(
                    matches!(refusal.kind, RefusalKind::DartInTheWay | RefusalKind::BadLine),
                    "{}",
                    refusal
                );
                return Ok(false);
            }
        };
        if piece(&parted, "front").times() != piece(&parted, "part").times() {
            return Ok(false);
        }
        let recut = apply(&parted, merged("front.seam")).unwrap();
        let after = &recut.pattern;
        assert_same_piece(piece(&before, "front"), piece(after, "front"));
        prop_assert_eq!(before.seams().len(), after.seams().len());
        for seam in before.seams() {
            prop_assert!(after.seams().iter().any(|other| other.is_same(seam)), "{} is gone", seam.name());
        }
        assert_abs_diff_eq!(net_area(after), net_area(&before), epsilon = 0.5);
        Ok(true)
    });
}

/// The binding of the armhole is sewn to as long a run as before, which begins and ends where the sides were joined, and
/// with the right ends together.
fn assert_sewn_from_the_side(before: &Pattern, after: &Pattern) {
    let around = |pattern: &Pattern| walked(pattern, &seam_of(pattern, "binding.long").second);
    assert_abs_diff_eq!(around(before), around(after), epsilon = 0.1);
    let seam = seam_of(after, "binding.long");
    let shoulder = after.seam(after.seam_named(&"front.shoulder".parse().unwrap(), None).unwrap());
    let (first, last) = seam.second.first_and_last();
    for (run, end) in [(first, first.travel.enters_at()), (last, last.travel.leaves_at())] {
        let (piece, id) = after.edge(&run.edge).unwrap();
        let beside = if end == EdgeEnd::First { piece.previous(id) } else { piece.next(id) };
        let beside = piece.edge_ref(beside);
        assert!(!shoulder.edges().any(|run| run.edge == beside), "{} begins at the shoulder", seam.name());
    }
    let found = check(after, &Limits::default());
    let wrong: Vec<_> = found.iter().filter(|finding| finding.kind == FindingKind::WrongEnds).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A one-piece sleeve split on its fore and hind lines, its outer strips merged at the underarm: two pieces whose cap is
/// the cap it was.
#[test]
fn a_sleeve_becomes_two_pieces() {
    let coat = fixture("coat");
    let split = |pattern: &Pattern, piece: &str, line: &str, names: &str| {
        let fields = serde_json::json!({"do": "split", "piece": piece, "line": line, "names": names});
        apply(pattern, fields).unwrap().pattern
    };
    let fore = split(&coat, "sleeve", "fore-line", "sleeve-mid, sleeve-fore");
    let hind = split(&fore, "sleeve-mid", "hind-line", "sleeve-upper, sleeve-hind");
    let mut fields = merged("sleeve-fore.underarm-front");
    fields["name"] = "sleeve-under".into();
    let two = apply(&hind, fields).unwrap().pattern;
    assert!(two.find(&"sleeve-fore".parse().unwrap()).is_none());
    let cap = |pattern: &Pattern| {
        let seam = seam_of(pattern, "front.armhole");
        (walked(pattern, &seam.first) - walked(pattern, &seam.second)).abs()
    };
    assert_abs_diff_eq!(cap(&coat), cap(&two), epsilon = 1e-2);
    assert_seams_true(&two, 1e-2);
    assert_relative_eq!(net_area(&coat), net_area(&two), max_relative = 1e-6);
    assert_girths_accounted(&coat, &two);
}

/// A shaped centre-back seam becomes one flat panel with a dart that tapers to nothing [C]; without being told so, the
/// gap is refused with its width. The halves come in by 20 mm each at the waist.
#[test]
fn a_shaped_back_becomes_flat_with_a_dart() {
    let skirt = fixture("skirt-shaped-back");
    let refusal = apply(&skirt, merged("back.centre")).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::Gap);
    assert!(
        refusal.what.contains("39.") && refusal.way_out.to_string().contains("shaping = \"dart\""),
        "{refusal}"
    );
    let mut fields = merged("back.centre");
    fields["shaping"] = "dart".into();
    let flat = apply(&skirt, fields).unwrap().pattern;
    let back = piece(&flat, "back");
    assert_eq!(back.cut.copies, 1);
    let dart = back.dart_named(&"seam-dart".parse().unwrap()).unwrap();
    let (first, second) = dart.legs();
    assert_abs_diff_eq!(first.start().distance(second.start()), 40.0, epsilon = 0.6);
    assert_abs_diff_eq!(first.length(), second.length(), epsilon = 0.05);
    assert_relative_eq!(net_area(&skirt), net_area(&flat), max_relative = 1e-5);
    let waist = |pattern: &Pattern| -> f64 {
        let back = piece(pattern, "back");
        let waists = back.edge_ids().filter(|id| back.edge(*id).name.as_str().starts_with("waist"));
        waists.map(|id| back.sewn_length(id)).sum::<f64>() * f64::from(back.times())
    };
    assert_abs_diff_eq!(waist(&skirt), waist(&flat), epsilon = 0.2);
    assert_girths_accounted(&skirt, &flat);
}

/// "Joining panels to the hip leaves a dart above; never an overlap in place of the gap" (Pepin, Modern Pattern Design,
/// 1942 [S]): sides that lie together from the hip down leave a dart at the waist, as wide as both come in.
#[test]
fn joining_panels_to_the_hip_leaves_a_dart_above() {
    let skirt = fixture("skirt-shaped-back");
    let opened = apply(&skirt, serde_json::json!({"do": "open-centre", "piece": "front"})).unwrap().pattern;
    let mut fields = merged("front.side");
    fields["shaping"] = "dart".into();
    match apply(&opened, fields) {
        Ok(recut) => {
            assert_laid_without_overlap(&opened, &recut.pattern, "front", ["front", "back"]);
            assert!(piece(&recut.pattern, "front").darts.len() >= 3);
        }
        Err(refusal) => assert_eq!(refusal.kind, RefusalKind::Overlap, "{refusal}"),
    }
}

/// A gap up to 1 mm wide is filled and declared, a wider one refused; in the middle of a seam it becomes a double dart.
#[test]
fn voids_by_their_width() {
    for (depth, filled) in [(0.9, true), (1.1, false), (6.0, false)] {
        let pattern = hollow_pair(depth);
        match apply(&pattern, merged("front.side")) {
            Ok(recut) => {
                assert!(filled, "a gap of {depth} mm was filled");
                assert_laid_without_overlap(&pattern, &recut.pattern, "front", ["front", "back"]);
                let kinds = &recut.pattern.record.steps[0].declared;
                assert!(kinds.iter().any(|declared| declared.kind == DeclaredKind::VoidFilled));
            }
            Err(refusal) => {
                assert!(!filled, "{refusal}");
                assert_eq!(refusal.kind, RefusalKind::Gap);
                let mut fields = merged("front.side");
                fields["shaping"] = "dart".into();
                let recut = apply(&pattern, fields).unwrap();
                let front = piece(&recut.pattern, "front");
                assert_eq!(front.darts.len(), 1);
                assert!(front.darts[0].mouth().is_none(), "a gap in the middle is a double dart");
                assert_laid_without_overlap(&pattern, &recut.pattern, "front", ["front", "back"]);
            }
        }
    }
}

/// A straight pair of which the front is hollow by a depth in the middle of its side.
fn hollow_pair(depth: f64) -> Pattern {
    let straight = shaped_pair(0.0);
    let mut pieces: Vec<Piece> = straight.pieces().cloned().collect();
    let front = pieces[0].clone();
    let edges = front
        .edges()
        .iter()
        .map(|edge| {
            if edge.name.as_str() != "side" {
                return edge.clone();
            }
            let (a, b) = (edge.curve.start(), edge.curve.end());
            let at = |share: f64| a.lerp(b, share);
            let inside = Vec2::new(depth * 4.0 / 3.0, 0.0);
            let line = |a, b| Curve::line(a, b).unwrap();
            let hollow = kurbo::CubicBez::new(at(0.4), at(0.47) + inside, at(0.53) + inside, at(0.6));
            let hollow = Curve::new([retrue::curve::PathSeg::Cubic(hollow)]).unwrap();
            let curve = line(a, at(0.4)).joined(&hollow).unwrap().joined(&line(at(0.6), b)).unwrap();
            Edge { curve, ..edge.clone() }
        })
        .collect();
    let mut hollow = Piece::new(front.name().clone(), edges).unwrap();
    hollow.cut = front.cut;
    hollow.grainline = front.grainline.clone();
    pieces[0] = hollow;
    Pattern::new(pieces, straight.seams().to_vec()).unwrap()
}

/// Where the front was opened out before, the seam on the other half stands by itself, and is not made a second time when
/// the two backs are joined.
#[test]
fn backs_that_are_joined_are_sewn_once_to_an_opened_front() {
    let sheet = std::fs::read(format!("{}/fixtures/dress.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let dress = retrue::sheet::read(&sheet, &Default::default()).unwrap().pattern;
    let done = |pattern: &retrue::pattern::Pattern, name: &str, fields: serde_json::Value| {
        retrue::recut::Step::read(name, fields).unwrap().apply(pattern).unwrap().pattern
    };
    let opened = done(&dress, "unfold", serde_json::json!({ "piece": "skirt-front" }));
    let joined = done(&opened, "merge-at-seamline", serde_json::json!({ "seam": "skirt-back.centre" }));
    let side = "skirt-front.side".parse().unwrap();
    let seams: Vec<String> = joined.seams_of(&side).map(|id| joined.seam(id).name()).collect();
    assert_eq!(seams, ["skirt-front.side + skirt-back.side"]);
    let limits = retrue::truing::Limits::default();
    let found = retrue::truing::check(&joined, &limits).into_iter();
    assert!(
        found.clone().all(|finding| finding.weight == retrue::truing::Weight::Warning),
        "{:#?}",
        found.collect::<Vec<_>>()
    );
}
