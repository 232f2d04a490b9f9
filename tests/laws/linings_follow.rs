//! Linings and other derived pieces follow what is done to the pieces first: opened at the centre, cut across, wrapped.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::curve::Point;
use retrue::pattern::{DartKind, Finish, MadeFrom, Mark, Pattern, Piece};
use retrue::recut::{Notice, Recut};
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::{Value, json};

use crate::made::{apply, assert_proven, edge, name, piece, step, through_a_sheet};

/// Lengths that are sewn together, mm.
const SEWN: f64 = 0.01;

fn coat() -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

fn lining(of: &str, wishes: &Value) -> Value {
    let mut fields = wishes.clone();
    fields["do"] = "copy-piece".into();
    fields["piece"] = of.into();
    fields["name"] = format!("{of}-lining").into();
    fields["for"] = "lining".into();
    fields
}

/// The coat with linings of back, front and sleeve; the back's has a pleat.
fn lined(coat: &Pattern, pleat: &str) -> Pattern {
    let wishes = json!({"raise": "10mm", "shorter": "15mm"});
    let mut back = wishes.clone();
    back["pleat"] = pleat.into();
    let steps = [lining("back", &back), lining("front", &wishes), lining("sleeve", &wishes)];
    steps.into_iter().fold(coat.clone(), |pattern, step| apply(&pattern, step).pattern)
}

fn follow(pattern: &Pattern) -> Recut {
    apply(pattern, json!({"do": "follow"}))
}

fn assert_true(before: &Pattern, after: &Pattern) {
    let is_true = |pattern: &Pattern| {
        let found = Verdict::of(pattern);
        assert!(found.is_true(), "{:?}", found.untrue().collect::<Vec<_>>());
    };
    is_true(after);
    is_true(&through_a_sheet(after));
    assert_proven(before, after);
    let again = follow(after);
    let nothing = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
    assert!(nothing, "{:?}", again.notices);
}

/// Opened at its centre, a back has a lining that is opened there too, pleat and all: cut twice, and sewn to its mirror image.
#[test]
fn a_pleated_lining_opens_with_its_piece() {
    let coat = coat();
    for pleat in ["25mm", "25mm to waist"] {
        let opened = apply(&lined(&coat, pleat), json!({"do": "open-centre", "piece": "back"})).pattern;
        let after = follow(&opened).pattern;
        let lined = piece(&after, "back-lining");
        assert_eq!((edge(lined, "centre").finish, lined.cut.copies), (Finish::Seam, 2), "{pleat}");
        let centre = "back-lining.centre".parse().unwrap();
        assert!(after.seams_of(&centre).any(|id| after.seam(id).is_to_own_mirror()), "{pleat}");
        assert_true(&coat, &after);
    }
}

fn pleats(piece: &Piece) -> Vec<f64> {
    let pleats = piece.darts.iter().filter(|dart| dart.kind == DartKind::Pleat);
    pleats.map(retrue::pattern::Dart::width).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(12) })]

    /// A back that is cut across has linings of both parts with the pleat of the whole: it runs on over the cut, where it is
    /// folded in the seam of both, so that they are sewn to each other as the back's parts are.
    #[test]
    fn a_pleat_runs_on_over_a_cut_across(depth in 280.0..700.0_f64, pleat in 12.0..40.0_f64, opens in any::<bool>()) {
        let coat = coat();
        let mut before = lined(&coat, &format!("{pleat:.1}mm"));
        if opens {
            before = follow(&apply(&before, json!({"do": "open-centre", "piece": "back"})).pattern).pattern;
        }
        let line = format!("across at {depth:.1}mm below neck@50%");
        let cut = apply(&before, json!({"do": "split", "piece": "back", "line": line, "names": "upper, lower"})).pattern;
        let after = follow(&cut).pattern;
        let (upper, lower) = (piece(&after, "upper-lining"), piece(&after, "lower-lining"));
        let depth = (pleat * 10.0).round() / 10.0;
        prop_assert_eq!((pleats(upper).len(), pleats(lower).len()), (2, 1));
        // Along a curved neck it is as wide as that is long over it.
        assert_abs_diff_eq!(pleats(upper)[0], depth, epsilon = 1.0);
        assert_abs_diff_eq!(pleats(upper)[1], depth, epsilon = SEWN);
        assert_abs_diff_eq!(pleats(lower)[0], depth, epsilon = SEWN);
        let sewn = |piece: &Piece, name: &str| piece.sewn_length(piece.edge_named(&name.parse().unwrap()).unwrap());
        let shell = sewn(piece(&after, "upper"), "seam");
        assert_abs_diff_eq!(sewn(upper, "seam"), shell, epsilon = SEWN);
        assert_abs_diff_eq!(sewn(lower, "seam"), shell, epsilon = SEWN);
        // Folded in, nothing of the pleat is left: both parts lie on the whole.
        let whole = piece(&before, "back-lining").net_area();
        assert_abs_diff_eq!(upper.net_area() + lower.net_area(), whole, epsilon = 1.0);
        assert_abs_diff_eq!(edge(upper, "seam").curve.length(), shell + depth, epsilon = SEWN);
        assert_true(&coat, &after);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(12) })]

    /// A pleat that runs out at the waist does so in whichever part has the waist: the part above ends as deep as the part below
    /// begins, a part below the waist has none.
    #[test]
    fn a_pleat_that_runs_out_goes_on_in_the_part_below(depth in 80.0..620.0_f64, pleat in 12.0..40.0_f64) {
        let coat = coat();
        let wishes = json!({"pleat": format!("{pleat:.1}mm to waist"), "shorter": "15mm"});
        let before = apply(&coat, lining("back", &wishes)).pattern;
        let line = format!("across at {depth:.1}mm below neck@0%");
        let cut = apply(&before, json!({"do": "split", "piece": "back", "line": line, "names": "upper, lower"})).pattern;
        let after = follow(&cut).pattern;
        let (upper, lower) = (piece(&after, "upper-lining"), piece(&after, "lower-lining"));
        let waist = piece(&before, "back").levels.iter().find(|level| level.name.as_str() == "waist").unwrap();
        let back = piece(&before, "back");
        let top = back.edge(back.edge_named(&"neck".parse().unwrap()).unwrap()).curve.start().y;
        let ends: Vec<f64> = waist.stretches.iter().flat_map(|(a, b)| [a.y, b.y]).collect();
        let deep = ends[0] - top;
        let wished = (pleat * 10.0).round() / 10.0;
        let left = wished * (1.0 - depth / deep);
        match left > 0.0 {
            true => {
                prop_assert_eq!((pleats(upper).len(), pleats(lower).len()), (2, 1));
                assert_abs_diff_eq!(pleats(upper)[1], left, epsilon = 0.3);
                assert_abs_diff_eq!(pleats(upper)[1], pleats(lower)[0], epsilon = SEWN);
            }
            false => prop_assert_eq!((pleats(upper).len(), pleats(lower).len()), (1, 0)),
        }
        assert_abs_diff_eq!(pleats(upper)[0], wished, epsilon = 1.5);
        // Folded in, nothing of the pleat is left: both parts lie on the whole.
        let whole = piece(&before, "back-lining").net_area();
        assert_abs_diff_eq!(upper.net_area() + lower.net_area(), whole, epsilon = 3.0);
        assert_true(&coat, &after);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(12) })]

    /// A raised lining is as the whole was where its piece is cut through the armhole: each part goes up as the whole did there, not
    /// out along the cut.
    #[test]
    fn a_raised_lining_keeps_its_armhole_over_a_cut(depth in 130.0..186.0_f64) {
        let coat = coat();
        let before = lined(&coat, "25mm");
        let line = format!("across at {depth:.1}mm below neck@0%");
        let cut = apply(&before, json!({"do": "split", "piece": "back", "line": line, "names": "upper, lower"})).pattern;
        let after = follow(&cut).pattern;
        let (upper, lower) = (piece(&after, "upper-lining"), piece(&after, "lower-lining"));
        let long = |piece: &Piece| edge(piece, "armhole").curve.length();
        let whole = piece(&before, "back-lining");
        assert_abs_diff_eq!(long(upper) + long(lower), long(whole), epsilon = 0.5);
        assert_abs_diff_eq!(upper.net_area() + lower.net_area(), whole.net_area(), epsilon = 25.0);
        assert_true(&coat, &after);
    }
}

/// What cannot be made anew when all is to follow is told by name, with a way out that is no `follow`; the others follow without it.
#[test]
fn the_rest_follows_without_what_cannot_be_made() {
    let copied = |pattern: &Pattern, of: &str, named: &str| {
        apply(pattern, json!({"do": "copy-piece", "piece": of, "name": named, "for": "underlining"})).pattern
    };
    let mut before = copied(&copied(&coat(), "back", "first"), "sleeve", "second");
    let lost = |pattern: &mut Pattern| {
        let first = pattern.piece_mut(&name("first")).unwrap();
        first.derived.as_mut().unwrap().from = MadeFrom::Pieces(vec![name("nothing")]);
    };
    lost(&mut before);
    let alone = step(json!({"do": "follow"})).apply(&before).unwrap_err();
    assert!(alone.what.contains("`nothing`"), "{alone}");
    let cut = apply(&before, json!({"do": "split", "piece": "sleeve", "line": "level elbow"})).pattern;
    let followed = follow(&cut);
    assert_eq!(followed.pattern.pieces().len(), cut.pieces().len() + 1);
    let told = followed.notices.iter().find_map(|told| match told {
        Notice::NotFollowed { piece, .. } => {
            Some((piece.as_str(), told.is_warning(), told.way_out().unwrap()))
        }
        _ => None,
    });
    let (of, is_warning, way_out) = told.unwrap();
    assert_eq!((of, is_warning), ("first", true));
    let verdict = Verdict::of(&followed.pattern);
    let found: Vec<_> = verdict.untrue().filter(|found| found.kind == FindingKind::NotFollowed).collect();
    assert_eq!(found.iter().map(|found| found.at.as_str()).collect::<Vec<_>>(), ["first"]);
    for way_out in [way_out.to_string(), found[0].way_out().unwrap().to_string()] {
        assert!(way_out.contains("data-from") && !way_out.contains("follow"), "{way_out}");
    }
}

/// A lining that can only be made when the facing at which it ends was made anew is told so, and the way out is to let all
/// follow: that works.
#[test]
fn a_lining_is_told_to_follow_after_its_facing() {
    let text = std::fs::read_to_string("examples/lined-coat.toml").unwrap();
    let recipe: Value = toml::from_str(&text).unwrap();
    let steps = recipe["step"].as_array().unwrap();
    let coat = steps.iter().fold(coat(), |pattern, fields| apply(&pattern, fields.clone()).pattern);
    let wrap = json!({"do": "extend-edge", "edge": "front-centre.centre", "button": "30mm"});
    let wrapped = apply(&coat, wrap).pattern;
    let verdict = Verdict::of(&wrapped);
    let lining = verdict.untrue().find(|found| found.at == "front-centre-lining").unwrap();
    let said = lining.sentence(Default::default());
    assert!(said.contains("after `front-facing`") && !said.contains("cannot be made"), "{said}");
    assert_eq!(lining.way_out().unwrap().to_string(), "make all anew: `follow`");
    let alone = json!({"do": "follow", "piece": "front-centre-lining"});
    assert!(step(alone).apply(&wrapped).unwrap_err().what.contains("`front-facing`"));
    let followed = follow(&wrapped).pattern;
    assert!(Verdict::of(&followed).untrue().all(|found| found.kind != FindingKind::NotFollowed));
}

/// A piece that was opened out under a facing that is still half is told by that.
#[test]
fn a_facing_that_is_still_half_is_named() {
    let lined = apply(&coat(), lining("back", &json!({}))).pattern;
    let opened = apply(&lined, json!({"do": "unfold", "piece": "back"})).pattern;
    let refusal = step(json!({"do": "follow"})).apply(&opened).unwrap_err();
    assert!(refusal.what.contains("`back-neck-facing` is still half"), "{refusal}");
    assert!(refusal.way_out.to_string().contains("unfold"), "{refusal}");
    let facing = apply(&opened, json!({"do": "unfold", "piece": "back-neck-facing"})).pattern;
    let followed = follow(&facing).pattern;
    assert!(Verdict::of(&followed).untrue().all(|found| found.kind != FindingKind::NotFollowed));
}

/// Cap and armhole of a raised lining are shortened alike at either end, so that their notches meet as the sleeve's do.
#[test]
fn the_notches_of_a_raised_armhole_meet() {
    let text = std::fs::read_to_string("examples/lined-coat.toml").unwrap();
    let recipe: Value = toml::from_str(&text).unwrap();
    let steps = recipe["step"].as_array().unwrap();
    let shipped = steps.iter().fold(coat(), |pattern, fields| apply(&pattern, fields.clone()).pattern);
    for pattern in [shipped, lined(&coat(), "25mm")] {
        let drift: Vec<_> = Verdict::of(&pattern)
            .findings()
            .iter()
            .filter(|found| found.kind == FindingKind::NotchDrift)
            .map(|found| found.sentence(Default::default()))
            .collect();
        assert!(drift.is_empty(), "{drift:?}");
    }
}

/// A copy that becomes several keeps what is drawn on it: each mark on the part on which it lies, a comment on the first.
#[test]
fn comments_of_a_copy_that_becomes_several_are_kept() {
    let copied =
        apply(&coat(), json!({"do": "copy-piece", "piece": "sleeve", "name": "thin", "for": "underlining"}));
    let mut before = copied.pattern;
    let comment = Mark {
        id: None,
        source: "<!-- cut from the remnant -->".to_owned(),
        place: Default::default(),
        lines: Vec::new(),
        anchor: None::<Point>,
    };
    before.piece_mut(&name("thin")).unwrap().marks.push(comment.clone());
    let cut = apply(&before, json!({"do": "split", "piece": "sleeve", "line": "level elbow"})).pattern;
    let after = follow(&cut);
    assert!(!after.notices.iter().any(|told| matches!(told, Notice::MarkLost { .. })), "{:?}", after.notices);
    let kept =
        after.pattern.pieces().flat_map(|piece| &piece.marks).filter(|mark| mark.source == comment.source);
    assert_eq!(kept.count(), 1);
}

/// An underlining is as new as its piece: where that has a new seam, so has it, and nowhere else.
#[test]
fn an_underlining_has_its_pieces_new_seams() {
    let copy = json!({"do": "copy-piece", "piece": "back", "name": "back-underlining", "for": "underlining"});
    let before = apply(&coat(), copy).pattern;
    let cut = apply(
        &before,
        json!({"do": "split", "piece": "back", "line": "level waist", "names": "upper, lower"}),
    );
    let after = follow(&cut.pattern).pattern;
    for part in ["upper", "lower"] {
        let (own, copied) = (piece(&after, part), piece(&after, &format!("{part}-underlining")));
        let new = |piece: &Piece| -> Vec<String> {
            let edges = piece.edge_ids().map(|id| piece.edge_ref(id)).filter(|edge| after.is_new_edge(edge));
            edges.map(|edge| edge.edge.to_string()).collect()
        };
        assert_eq!((new(own).len(), new(copied)), (1, new(own)), "{part}");
    }
}
