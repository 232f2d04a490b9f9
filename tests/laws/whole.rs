//! The law of copies that stay whole: of parts laid together again.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::pattern::{MadeFrom, Pattern, Piece, Purpose, RefusalKind};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::{Value, json};

use crate::counted::counted;
use crate::made::{
    apply, assert_as_true, assert_congruent, assert_proven, assert_same_shell, piece, step, through_a_sheet,
};
use crate::random::block::draft;

/// Lengths that are the same but for what joining parts again may leave, mm.
const BACK_AGAIN: f64 = 0.01;

fn coat() -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

fn whole(of: &str, purpose: Purpose) -> Value {
    json!({"do": "copy-piece", "piece": of, "name": format!("{of}-copy"), "for": purpose.word(), "whole": "yes"})
}

fn follow(pattern: &Pattern) -> Pattern {
    apply(pattern, json!({"do": "follow"})).pattern
}

fn derived(pattern: &Pattern) -> Vec<&Piece> {
    pattern.pieces().filter(|piece| piece.derived.is_some()).collect()
}

/// The area that is sewn of a piece, mm², and the sewn lengths of the edges that were there before it was cut.
fn measures(piece: &Piece) -> Vec<f64> {
    let lengths = piece.edge_ids().map(|id| piece.sewn_length(id));
    std::iter::once(piece.net_area()).chain(lengths).collect()
}

/// Of a piece that is cut in two along any line, a whole copy is as before: one piece, with the same edges, lengths and area,
/// that lies on both parts; it agrees with them, and is proven.
#[test]
fn a_whole_copy_of_a_piece_that_was_cut_is_as_it_was() {
    let purposes = prop_oneof![Just(Purpose::Plain), Just(Purpose::Interfacing), Just(Purpose::Lining)];
    let cases = (draft(), (20.0..80.0_f64, 20.0..80.0_f64), any::<bool>(), purposes);
    let config = ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) };
    counted(config, cases, |(draft, shares, across, purpose)| {
        let before = draft.pattern();
        let line = match across {
            true => format!("side@{:.2}% > centre@{:.2}%", shares.0, shares.1),
            false => format!("neck@{:.2}% > hem@{:.2}%", shares.0, shares.1),
        };
        let copied = apply(&before, whole("front", purpose)).pattern;
        let cut = json!({"do": "split", "piece": "front", "names": "front-a, front-b", "line": line});
        let Ok(plain) = step(cut.clone()).apply(&before) else { return Ok(false) };
        let recut = apply(&copied, cut);
        let tells = recut.notices.iter().any(|told| matches!(told, Notice::MustFollow { .. }));
        let told = Verdict::of(&recut.pattern);
        let untrue = told.findings().iter().any(|found| found.kind == FindingKind::NotFollowed);
        prop_assert_eq!(tells, untrue);
        let after = follow(&recut.pattern);
        let [copy] = derived(&after)[..] else { return Err(TestCaseError::fail("it is in parts")) };
        let made = copy.derived.as_ref().unwrap();
        prop_assert_eq!(
            &made.from,
            &MadeFrom::Pieces(vec!["front-a".parse().unwrap(), "front-b".parse().unwrap()])
        );
        let old = piece(&copied, "front-copy");
        prop_assert_eq!(copy.edges().len(), old.edges().len());
        for edge in old.edge_ids() {
            let now = copy.edge_named(&old.edge(edge).name).unwrap();
            assert_abs_diff_eq!(copy.sewn_length(now), old.sewn_length(edge), epsilon = BACK_AGAIN);
        }
        assert_abs_diff_eq!(copy.net_area(), old.net_area(), epsilon = 1.0);
        assert_same_shell(&recut.pattern, &after);
        assert_as_true(&plain.pattern, &after);
        assert_proven(&before, &after);
        let read = through_a_sheet(&after);
        assert_congruent(piece(&read, "front-copy"), copy);
        assert_as_true(&plain.pattern, &read);
        let again = apply(&read, json!({"do": "follow"}));
        let nothing = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        prop_assert!(nothing, "{:?}", again.notices);
        Ok(true)
    });
}

/// The coat's front lined in one piece while its shell gets a princess seam with a pocket in it: the lining has as a dart
/// what the seam takes in, is sewn to the back's lining and to the sleeve's, and has no pocket.
#[test]
fn a_lining_stays_whole_over_a_princess_seam() {
    let coat = coat();
    let lining = |of: &str| {
        let name = format!("{of}-lining");
        json!({"do": "copy-piece", "piece": of, "name": name, "for": "lining", "whole": "yes", "shorter": "15mm"})
    };
    let lined = ["back", "front", "sleeve"]
        .into_iter()
        .fold(coat.clone(), |pattern, of| apply(&pattern, lining(of)).pattern);
    let princess = json!({"do": "add-princess-seam", "piece": "front", "from": "shoulder@50%", "through": "bust-point",
        "to": "hem@45% from centre"});
    let pocket = json!({"do": "open-seam", "seam": "front-centre.princess", "from": "princess@47cm from shoulder",
        "to": "princess@63cm from shoulder", "for": "pocket"});
    let recut = apply(&apply(&lined, princess).pattern, pocket).pattern;
    let after = follow(&recut);
    assert_eq!(derived(&after).len(), 3);
    let lining = piece(&after, "front-lining");
    assert!(lining.edges().iter().all(|edge| edge.open.is_none()));
    assert_abs_diff_eq!(measures(lining)[0], measures(piece(&lined, "front-lining"))[0], epsilon = 400.0);
    let seams = |name: &str| {
        let of = |seam: &&retrue::pattern::Seam| {
            seam.edges().any(|run| run.edge.piece.as_str() == "front-lining")
                && seam.edges().any(|run| run.edge.piece.as_str() == name)
        };
        after.seams().iter().filter(of).count()
    };
    // Side, shoulder and, with the front's, the sleeve's cap.
    assert_eq!([seams("back-lining"), seams("sleeve-lining"), seams("front-facing")], [3, 1, 1]);
    assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
    assert_proven(&coat, &after);
    let read = through_a_sheet(&after);
    assert!(Verdict::of(&read).is_true(), "{:?}", Verdict::of(&read).findings());
    assert_eq!(derived(&read).len(), 3);
}

/// Parts that are no longer sewn to one another are not laid together: refused with what, where and the way out.
#[test]
fn parts_that_are_sewn_apart_are_refused() {
    let coat = coat();
    let copied = apply(&coat, whole("sleeve", Purpose::Plain)).pattern;
    let cut = json!({"do": "split", "piece": "sleeve", "line": "level elbow", "names": "upper, lower"});
    let cut = apply(&copied, cut).pattern;
    let joins = |seam: &&retrue::pattern::Seam| {
        let pieces: Vec<&str> = seam.edges().map(|run| run.edge.piece.as_str()).collect();
        pieces == ["upper", "lower"] || pieces == ["lower", "upper"]
    };
    let edge = cut.seams().iter().find(joins).unwrap().first.edges()[0].edge.to_string();
    let parted = json!({"do": "set-edge", "edge": edge, "sewn-to": "none", "finish": "free"});
    let parted = apply(&cut, parted).pattern;
    let refusal = step(json!({"do": "follow"})).apply(&parted).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadSeam);
    assert!(refusal.what.contains("not sewn to") && !refusal.way_out.is_empty(), "{refusal}");
}
