//! The laws of pieces made of others: copies, facings, and that they follow.

use crate::counted::kept_in;
use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::curve::Motion;
use retrue::pattern::{
    AdvicePart, Edge, EdgeRef, Finish, GirthUse, Notch, Pattern, Piece, PieceName, Purpose, RefusalKind,
    Seam, Suggestion, Walk,
};
use retrue::recut::{Notice, Recut, Step};
use retrue::resew::{ResewLimits, resew};
use retrue::sheet;
use retrue::tolerance::OFFSET_ACCURACY;
use retrue::truing::{Finding, FindingKind, Verdict, girths};
use serde_json::{Value, json};

use crate::random::block::{Draft, draft, folded_draft};

/// How exactly a facing lies on its pieces, mm.
pub const LAID: f64 = 0.01;

/// Lengths that are the same but for rounding, mm.
const SAME: f64 = 1e-6;

/// How many cases reach each law.
const CASES: u32 = 96;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_made.txt", CASES)
}

pub fn step(mut fields: Value) -> Step {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    Step::read(name.as_str().unwrap(), fields).unwrap()
}

pub fn apply(pattern: &Pattern, fields: Value) -> Recut {
    let told = fields.to_string();
    let recut = step(fields).apply(pattern).unwrap_or_else(|refusal| panic!("{refusal} by {told}"));
    recut.pattern.assert_sound();
    recut
}

/// A step that was offered, as it stands in a recipe.
pub fn as_fields(offered: &Suggestion) -> Value {
    let mut fields = json!({"do": offered.operation.name()});
    for (field, value) in &offered.fields {
        fields[field.name()] = value.as_str().into();
    }
    fields
}

pub fn name(text: &str) -> PieceName {
    text.parse().unwrap()
}

pub fn piece<'a>(pattern: &'a Pattern, text: &str) -> &'a Piece {
    pattern.piece(&name(text)).unwrap()
}

pub fn edge<'a>(piece: &'a Piece, text: &str) -> &'a Edge {
    piece.edge(piece.edge_named(&text.parse().unwrap()).unwrap())
}

/// The shapes of two pieces lie on one another, by the chord of their longest edge.
pub fn assert_congruent(a: &Piece, b: &Piece) {
    for (own, other) in a.edges().iter().zip(b.edges()) {
        assert_eq!(own.name, other.name, "{} and {}", a.name(), b.name());
    }
    assert_congruent_within(a, b, SAME * 10.0);
}

/// The same within so many mm, whatever their edges are called: what follows keeps the names that its edges had.
pub fn assert_congruent_within(a: &Piece, b: &Piece, within: f64) {
    let pairs = a.edges().iter().zip(b.edges());
    let longest = pairs.max_by(|(a, _), (b, _)| a.curve.length().total_cmp(&b.curve.length()));
    let (longest, other) = longest.unwrap();
    let ends = |edge: &Edge| (edge.curve.start(), edge.curve.end());
    let motion = Motion::carry(ends(longest), ends(other)).unwrap();
    assert_eq!(a.edges().len(), b.edges().len(), "{} and {}", a.name(), b.name());
    for (own, other) in a.edges().iter().zip(b.edges()) {
        let off = own.curve.moved(&motion).distance_to(&other.curve);
        // A line beside a run is fitted; beside a run that differs by rounding it is fitted otherwise.
        let fitted = if own.name.as_str().starts_with("inner") { 2.0 * OFFSET_ACCURACY } else { 0.0 };
        assert!(off <= within.max(fitted), "{}: {} is {off} mm off {}", a.name(), own.name, b.name());
    }
    assert_eq!(a.notches.len(), b.notches.len(), "{} and {}", a.name(), b.name());
    for own in &a.notches {
        // At a corner it may stand on either edge.
        let other = b.notches.iter().find(|other| other.name == own.name).unwrap();
        let place =
            |piece: &Piece, notch: &Notch| piece.point_on(piece.find_edge(&notch.edge).unwrap(), notch.at);
        let off = motion.apply(place(a, own)).distance(place(b, other));
        assert!(off <= LAID, "{}: {} is {off} mm off {}", a.name(), own.name, b.name());
    }
}

fn widths(pattern: &Pattern) -> Vec<(String, f64)> {
    girths(pattern).into_iter().map(|girth| (girth.level.to_string(), girth.around.mm())).collect()
}

/// All that is untrue now was so before. What is made of others repeats what is untrue of them by as much; a line beside a
/// run that turns, as the inner edge of a facing, turns there too.
pub fn assert_as_true(before: &Pattern, after: &Pattern) {
    let (old, now) = (Verdict::of(before), Verdict::of(after));
    let repeats = |found: &Finding| {
        let as_before = |old: &Finding| {
            let turns = found.kind == FindingKind::Kink && found.at.contains("inner");
            old.kind == found.kind && (turns || (old.number - found.number).abs() < 0.01)
        };
        let mut derived = after.pieces().filter(|piece| piece.derived.is_some());
        derived.any(|piece| found.at.contains(piece.name().as_str())) && old.untrue().any(as_before)
    };
    let added: Vec<Finding> = now.since(&old).added.into_iter().filter(|found| !repeats(found)).collect();
    assert!(added.is_empty(), "{added:#?}");
}

/// What the record says is what was done: laid back, nothing is off, nothing lies twice or is missing.
pub fn assert_proven(before: &Pattern, after: &Pattern) {
    let found = resew(before, after).unwrap().findings(&ResewLimits::default());
    assert!(found.is_empty(), "{found:#?}");
}

pub fn through_a_sheet(pattern: &Pattern) -> Pattern {
    let text = sheet::write(pattern).unwrap();
    sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern
}

/// The shell: all pieces that were made of no other, and the seams between them.
pub fn assert_same_shell(before: &Pattern, after: &Pattern) {
    let shell = |pattern: &Pattern| -> Vec<Piece> {
        pattern.pieces().filter(|piece| piece.derived.is_none()).cloned().collect()
    };
    for (old, now) in shell(before).iter().zip(&shell(after)) {
        assert_eq!(old.name(), now.name());
        for (old, now) in old.edges().iter().zip(now.edges()) {
            assert_eq!((&old.name, &old.curve, old.allowance), (&now.name, &now.curve, now.allowance));
        }
    }
    let seams = |pattern: &Pattern| -> Vec<Seam> {
        let of_shell = |seam: &&Seam| {
            seam.edges().all(|run| pattern.find(&run.edge.piece).is_some_and(|piece| piece.derived.is_none()))
        };
        pattern.seams().iter().filter(of_shell).cloned().collect()
    };
    assert_eq!(seams(before), seams(after));
}

fn copy(of: &str, purpose: Purpose) -> Value {
    json!({"do": "copy-piece", "piece": of, "name": format!("{of}-copy"), "for": purpose.word()})
}

fn neck_facing(depth: f64) -> Value {
    json!({"do": "add-facing", "along": "front.neck, back.neck", "depth": format!("{depth}mm"), "name": "neck-facing"})
}

/// The lengths of the shoulders beside which a facing of both necks must stay.
fn shorter_shoulder(draft: &Draft) -> f64 {
    draft.front.shoulder.min(draft.back.shoulder)
}

fn purposes() -> impl Strategy<Value = Purpose> {
    prop_oneof![
        Just(Purpose::Plain),
        Just(Purpose::Underlining),
        Just(Purpose::Interfacing),
        Just(Purpose::Lining)
    ]
}

proptest! {
    #![proptest_config(config())]

    /// A copy is congruent to its piece in all that is drawn; the shell, its seams and its girths stay as they were.
    #[test]
    fn copies_are_congruent_and_change_nothing_else(draft in draft(), purpose in purposes()) {
        let before = draft.pattern();
        let after = apply(&before, copy("front", purpose)).pattern;
        let (front, copied) = (piece(&after, "front"), piece(&after, "front-copy"));
        assert_congruent(front, copied);
        prop_assert_eq!((copied.purpose, copied.cut), (purpose, front.cut));
        prop_assert!(copied.levels.iter().all(|level| level.girth == GirthUse::LeftOut));
        assert_same_shell(&before, &after);
        prop_assert_eq!(widths(&before), widths(&after));
        assert_as_true(&before, &after);
        assert_proven(&before, &after);
        let read = through_a_sheet(&after);
        prop_assert_eq!(&piece(&read, "front-copy").derived, &copied.derived);
        assert_as_true(&before, &read);
    }

    /// An underlining is cut as its piece is: one cutting line lies on the other.
    #[test]
    fn an_underlining_is_cut_as_its_piece(draft in draft()) {
        let after = apply(&draft.pattern(), copy("front", Purpose::Underlining)).pattern;
        let line = |name: &str| retrue::allowance::cutting_line(&after, piece(&after, name));
        if let (Ok(own), Ok(copied)) = (line("front"), line("front-copy")) {
            let area = |line: &retrue::allowance::CuttingLine| kurbo::Shape::area(&line.path);
            assert_abs_diff_eq!(area(&own), area(&copied), epsilon = 1e-3);
        }
    }

    /// Where two pieces are sewn together, their linings are, and to nothing else.
    #[test]
    fn linings_are_sewn_to_linings(draft in draft()) {
        let before = draft.pattern();
        let one = apply(&before, copy("front", Purpose::Lining)).pattern;
        let after = apply(&one, copy("back", Purpose::Lining)).pattern;
        let is_lining = |name: &PieceName| after.find(name).is_some_and(|piece| piece.purpose == Purpose::Lining);
        let of_linings: Vec<&Seam> =
            after.seams().iter().filter(|seam| seam.edges().any(|run| is_lining(&run.edge.piece))).collect();
        let between = before.seams().iter().filter(|seam| seam.edges().all(|run| run.edge.piece.as_str() != "binding"));
        prop_assert_eq!(of_linings.len(), between.count());
        for seam in of_linings {
            prop_assert!(seam.edges().all(|run| is_lining(&run.edge.piece)));
        }
        assert_as_true(&before, &after);
        assert_proven(&before, &after);
    }

    /// A facing of both necks lies with its sewn edge on them, end to end, and its inner edge at its depth from them.
    #[test]
    fn a_facing_lies_on_its_pieces(draft in draft(), share in 0.2..0.9_f64) {
        let before = draft.pattern();
        let depth = (shorter_shoulder(&draft) * share * 10.0).round() / 10.0;
        let recut = match step(neck_facing(depth)).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert!(refusal.kind == RefusalKind::BadWidth, "{refusal} {depth}");
                return Err(TestCaseError::reject("too deep"));
            }
        };
        let after = recut.pattern;
        assert_proven(&before, &after);
        assert_as_true(&before, &after);
        assert_same_shell(&before, &after);
        prop_assert_eq!(widths(&before), widths(&after));
        for facing in after.pieces().filter(|piece| piece.derived.is_some()) {
            let (neck, inner) = (&edge(facing, "neck").curve, &edge(facing, "inner").curve);
            let seam = after.seams().iter().find(|seam| seam.first.holds(&EdgeRef::new(facing.name().clone(), "neck".parse().unwrap())));
            let sewn = Walk::of(&after, &seam.unwrap().second).unwrap().length();
            assert_abs_diff_eq!(neck.length(), sewn, epsilon = LAID);
            for i in 0..=20 {
                let place = inner.point_at(inner.length() * f64::from(i) / 20.0);
                let off = neck.run_on(depth, depth).nearest(place).distance;
                prop_assert!((off - depth).abs() <= LAID, "{off} mm and not {depth} from the neck");
            }
        }
    }

    /// What `follow` gives after a recut is what making the pieces afresh gives.
    #[test]
    fn following_gives_what_making_afresh_gives(draft in draft(), shares in (20.0..80.0_f64, 20.0..80.0_f64), purpose in purposes(), band in any::<bool>()) {
        let before = draft.pattern();
        let cut = match band {
            true => json!({"do": "add-band", "piece": "front", "edge": "hem", "depth": format!("{:.1}mm", shares.0)}),
            false => json!({"do": "split", "piece": "front", "names": "front-a, front-b",
                "line": format!("neck@{:.2}% > hem@{:.2}%", shares.0, shares.1)}),
        };
        let Ok(plain) = step(cut.clone()).apply(&before) else { return Err(TestCaseError::reject("cannot be cut")) };
        let derived = apply(&before, copy("front", purpose)).pattern;
        let facing = json!({"do": "add-facing", "along": "front.neck", "depth": "20mm", "name": "neck-facing"});
        let derived = match step(facing).apply(&derived) {
            Ok(recut) => recut.pattern,
            Err(_) => return Err(TestCaseError::reject("no facing")),
        };
        // A lining ends at the facing, which was made after it.
        let derived = apply(&derived, json!({"do": "follow"})).pattern;
        let recut = apply(&derived, cut);
        let must_follow = recut.notices.iter().any(|told| matches!(told, Notice::MustFollow { .. }));
        prop_assert!(must_follow, "{:?}", recut.notices);
        prop_assert!(Verdict::of(&recut.pattern).findings().iter().any(|found| found.kind == FindingKind::NotFollowed));
        let Ok(followed) = step(json!({"do": "follow"})).apply(&recut.pattern) else {
            return Err(TestCaseError::reject("the facing no longer lies flat"));
        };
        let followed = followed.pattern;
        followed.assert_sound();
        assert_same_shell(&recut.pattern, &followed);
        assert_as_true(&plain.pattern, &followed);
        assert_proven(&before, &followed);
        let parts: Vec<String> = plain.pattern.pieces().map(|piece| piece.name().to_string()).filter(|name| name.starts_with("front")).collect();
        for part in parts {
            // A lining ends at the facing, which the plain pattern has not.
            let on = if purpose == Purpose::Lining { &followed } else { &plain.pattern };
            let mut fields = copy(&part, purpose);
            fields["name"] = "afresh".into();
            let afresh = apply(on, fields).pattern;
            assert_congruent(piece(&afresh, "afresh"), piece(&followed, &format!("{part}-copy")));
        }
        let again = apply(&followed, json!({"do": "follow"}));
        let nothing_to_do = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        prop_assert!(nothing_to_do);
    }

    /// Two folds cannot be cut: a facing that would run from fold to fold is divided at the shoulder, and sewn there.
    #[test]
    fn a_facing_on_two_folds_is_divided(draft in folded_draft()) {
        let before = draft.pattern();
        let Ok(recut) = step(neck_facing(20.0)).apply(&before) else { return Err(TestCaseError::reject("too deep")) };
        let folds = |piece: &Piece| piece.edges().iter().filter(|edge| edge.finish == Finish::Fold).count();
        for facing in recut.pattern.pieces().filter(|piece| piece.derived.is_some()) {
            prop_assert!(folds(facing) <= 1);
        }
        let both = before.pieces().filter(|piece| folds(piece) > 0).count() == 2;
        if both {
            let divided = recut.notices.iter().any(|told| matches!(told, Notice::FacingDivided { .. }));
            prop_assert!(divided);
            let joined = |seam: &&Seam| seam.edges().all(|run| run.edge.piece.as_str().starts_with("neck-facing"));
            // Where the neck turns at the shoulder the two ends are not as long as each other, and are left open.
            let ends: Vec<f64> = recut
                .pattern
                .pieces()
                .filter(|piece| piece.derived.is_some())
                .map(|piece| edge(piece, "shoulder").curve.length())
                .collect();
            let alike = (ends[0] - ends[1]).abs() <= LAID;
            prop_assert_eq!(recut.pattern.seams().iter().filter(joined).count(), usize::from(alike));
            let unsewn: Vec<&Notice> =
                recut.notices.iter().filter(|told| matches!(told, Notice::EndsUnsewn { .. })).collect();
            prop_assert_eq!(unsewn.len(), usize::from(!alike));
            if let [told] = unsewn[..] {
                let offered = told.way_out().unwrap();
                let mut steps = offered.parts().iter().filter_map(|part| match part {
                    AdvicePart::Step(step) => Some(step),
                    _ => None,
                });
                let sewn = apply(&recut.pattern, as_fields(steps.next_back().unwrap())).pattern;
                prop_assert_eq!(sewn.seams().iter().filter(joined).count(), 1);
                assert_as_true(&before, &sewn);
            }
        }
        assert_as_true(&before, &recut.pattern);
    }
}

/// What cannot be made is refused with what, where and the way out.
#[test]
fn what_cannot_be_made_of_others_is_refused() {
    let coat =
        sheet::read(&std::fs::read("fixtures/coat.svg").unwrap(), &Default::default()).unwrap().pattern;
    let facing = |along: &str, depth: &str| json!({"do": "add-facing", "along": along, "depth": depth});
    let cases = [
        (facing("front.neck", "0mm"), RefusalKind::BadField, "0mm deep"),
        (facing("front.neck", "30cm"), RefusalKind::BadWidth, "too deep"),
        (facing("back.neck, front.neck", "30cm"), RefusalKind::BadWidth, "would leave by"),
        (facing("back.hem", "2m"), RefusalKind::BadWidth, "too deep"),
        (facing("back.centre", "3cm"), RefusalKind::NotOfThatSort, "fold"),
        (facing("front.neck, back.side", "3cm"), RefusalKind::BadField, "does not follow"),
        (facing("front.neck, front.neck", "3cm"), RefusalKind::BadField, "named twice"),
        (facing("front.nek", "3cm"), RefusalKind::UnknownName, "nek"),
        (json!({"do": "copy-piece", "piece": "front", "name": "back"}), RefusalKind::NameTaken, "back"),
        (json!({"do": "copy-piece", "piece": "frunt", "name": "x"}), RefusalKind::UnknownName, "frunt"),
        (
            json!({"do": "copy-piece", "piece": "front", "name": "x", "allowance": "-3mm"}),
            RefusalKind::BadField,
            "-3mm",
        ),
        (json!({"do": "follow", "piece": "front"}), RefusalKind::NotOfThatSort, "nothing to follow"),
    ];
    for (fields, kind, says) in cases {
        let told = fields.to_string();
        let refusal = step(fields).apply(&coat).err().unwrap_or_else(|| panic!("{told} is done"));
        assert_eq!(refusal.kind, kind, "{told}: {refusal}");
        assert!(refusal.what.contains(says), "{told}: {refusal}");
        assert!(!refusal.way_out.is_empty() && !refusal.at.is_empty());
    }
}

/// Copies in a circle, and what was made of a piece that is gone, are told and not made anew.
#[test]
fn circles_and_lost_sources_are_told() {
    let coat =
        sheet::read(&std::fs::read("fixtures/coat.svg").unwrap(), &Default::default()).unwrap().pattern;
    let one = apply(&coat, json!({"do": "copy-piece", "piece": "front", "name": "a"})).pattern;
    let two = apply(&one, json!({"do": "copy-piece", "piece": "a", "name": "b"})).pattern;
    assert!(Verdict::of(&two).is_true());
    let text = sheet::write(&two).unwrap();
    for (from, says) in [("b", "made of itself"), ("gone", "which is gone")] {
        let edited = text.replacen("data-from=\"front\"", &format!("data-from=\"{from}\""), 1);
        assert_ne!(edited, text);
        let read = sheet::read(edited.as_bytes(), &Default::default()).unwrap().pattern;
        let told: Vec<String> =
            Verdict::of(&read).untrue().map(|finding| finding.sentence(Default::default())).collect();
        assert!(told.iter().any(|told| told.contains(says)), "{told:?}");
        let refusal = step(json!({"do": "follow"})).apply(&read).unwrap_err();
        assert!(refusal.what.contains(says), "{refusal}");
        let found = resew(&coat, &read).unwrap().findings(&ResewLimits::default());
        assert!(found.iter().any(|finding| finding.kind == FindingKind::ChangedSince), "{found:?}");
    }
}
