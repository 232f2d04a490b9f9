//! The law of following: after any recut, `follow` gives what making the pieces afresh gives.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use retrue::pattern::{MadeFrom, Pattern, PieceName};
use retrue::truing::{FindingKind, Verdict};
use serde_json::{Value, json};

use crate::made::{assert_congruent, assert_same_shell, name, step};
use crate::random_chain::{Wish, first_pattern, wish};

/// The operations of the chains that are no making of pieces themselves, by their numbers there.
const RECUTS: [usize; 23] =
    [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 25];

fn recut() -> impl Strategy<Value = (usize, Wish)> {
    (proptest::sample::select(&RECUTS[..]), wish())
}

fn applied(pattern: &Pattern, fields: &Value) -> Option<Pattern> {
    let recut = step(fields.clone()).apply(pattern).ok()?;
    recut.pattern.assert_sound();
    Some(recut.pattern)
}

/// The piece that a step is about: its own, or that of the edge it names.
fn piece_of(fields: &Value) -> Option<PieceName> {
    let edge = ["edge", "seam", "edges"].into_iter().find_map(|field| fields[field].as_str());
    let text = fields["piece"].as_str().or(edge)?;
    Some(name(text.split(['.', ',']).next()?))
}

fn underlining(of: &PieceName) -> Value {
    json!({"do": "copy-piece", "piece": of, "name": format!("{of}-thin"), "for": "underlining"})
}

fn not_followed(pattern: &Pattern) -> usize {
    let verdict = Verdict::of(pattern);
    verdict.findings().iter().filter(|found| found.kind == FindingKind::NotFollowed).count()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 96,
        // At least half of the cases reach the law.
        max_global_rejects: 96,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/proptest-regressions/laws_following.txt",
        ))),
        ..ProptestConfig::default()
    })]

    /// A copy and a facing of a piece on which any operation is done: what `follow` gives is what is made afresh of the pieces
    /// as they are then, and the shell stays as it is.
    #[test]
    fn following_any_recut_gives_what_making_afresh_gives(
        shell in first_pattern(), recuts in proptest::collection::vec(recut(), 12)
    ) {
        let found = recuts.iter().find_map(|(operation, wish)| {
            let fields = wish.fields_of(*operation, &shell)?;
            let source = piece_of(&fields).filter(|name| shell.find(name).is_some())?;
            let plain = applied(&shell, &fields)?;
            Some((fields, source, plain))
        });
        let Some((fields, source, plain)) = found else { return Err(TestCaseError::reject("nothing is done")) };
        let copied = step(underlining(&source)).apply(&shell).unwrap().pattern;
        let edge = &shell.piece(&source).unwrap().edges()[0].name;
        let facing = json!({"do": "add-facing", "along": format!("{source}.{edge}"), "depth": "12mm", "name": "the-facing"});
        let derived = applied(&copied, &facing).unwrap_or(copied);
        let Some(recut) = applied(&derived, &fields) else {
            // What is made lies on the sheet, where a place in millimetres could be meant: nothing else is other.
            return Err(TestCaseError::reject("refused with what is made of it"));
        };
        let Some(followed) = applied(&recut, &json!({"do": "follow"})) else {
            return Err(TestCaseError::reject("the facing cannot be made any more"));
        };
        prop_assert_eq!(not_followed(&followed), 0, "{}", fields);
        assert_same_shell(&recut, &followed);
        for copy in followed.pieces() {
            let Some(MadeFrom::Pieces(from)) = copy.derived.as_ref().map(|derived| &derived.from) else { continue };
            prop_assert_eq!(from.len(), 1, "{}", fields);
            let Some(afresh) = plain.find(&from[0]).and_then(|_| applied(&plain, &underlining(&from[0]))) else {
                panic!("{} is not made of a piece of the shell by {fields}", copy.name());
            };
            assert_congruent(afresh.piece(&name(&format!("{}-thin", from[0]))).unwrap(), copy);
        }
        let again = step(json!({"do": "follow"})).apply(&followed).unwrap();
        prop_assert_eq!(again.pattern.pieces().len(), followed.pieces().len());
    }
}
