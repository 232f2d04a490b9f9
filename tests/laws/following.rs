//! The law of following: after any recut, `follow` gives what making the pieces afresh gives.

use crate::counted::kept_in;
use proptest::prelude::*;
use retrue::derive::EdgeRun;
use retrue::pattern::{EdgeRef, MadeFrom, Pattern, PieceName};
use retrue::recut::Notice;
use retrue::truing::{FindingKind, Verdict};
use serde_json::{Value, json};

use crate::made::{assert_congruent_within, assert_same_shell, name, step};
use crate::random_chain::{OPERATIONS, Wish, first_pattern, wish};

/// Areas that are the same, mm².
const SAME_CLOTH: f64 = 1e-3;

/// How far a piece that is left as it is, since it agrees, may lie from what would be made, mm.
const AGREES: f64 = 0.01;

/// The operations of the chains that make pieces of others: they change none that another was made of.
const MAKING: [&str; 4] = ["copy-piece", "add-facing", "add-strip", "follow"];

fn recut() -> impl Strategy<Value = (usize, Wish)> {
    (0..OPERATIONS, wish())
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

fn underlining(of: &PieceName, named: &str) -> Value {
    json!({"do": "copy-piece", "piece": of, "name": named, "for": "underlining"})
}

fn facing(along: &[EdgeRef], named: &str) -> Value {
    json!({"do": "add-facing", "along": EdgeRun(along.to_vec()), "depth": "12mm", "name": named})
}

fn not_followed(pattern: &Pattern) -> usize {
    let verdict = Verdict::of(pattern);
    verdict.findings().iter().filter(|found| found.kind == FindingKind::NotFollowed).count()
}

/// The pieces recut, and then followed; why not, where a step is refused.
fn recut_and_followed(made: &Pattern, fields: &Value) -> Result<[Pattern; 2], TestCaseError> {
    // What is made lies on the sheet, where a place in millimetres could be meant: nothing else is other.
    let recut =
        applied(made, fields).ok_or_else(|| TestCaseError::reject("refused with what is made of it"))?;
    let gone = || TestCaseError::reject("it cannot be made any more");
    let following = step(json!({"do": "follow"})).apply(&recut).map_err(|_| gone())?;
    if following.notices.iter().any(|notice| matches!(notice, Notice::NotFollowed { .. })) {
        return Err(gone());
    }
    following.pattern.assert_sound();
    let followed = following.pattern;
    assert_eq!(not_followed(&followed), 0, "{fields}");
    assert_same_shell(&recut, &followed);
    let again = step(json!({"do": "follow"})).apply(&followed).unwrap();
    assert_eq!(again.pattern.pieces().len(), followed.pieces().len());
    Ok([recut, followed])
}

/// Every derived piece is what the step that makes it gives on the pieces of a shell.
fn assert_as_made_afresh(followed: &Pattern, shell: &Pattern, fields: &Value) {
    for piece in followed.pieces() {
        let making = match piece.derived.as_ref().map(|derived| &derived.from) {
            Some(MadeFrom::Pieces(from)) => {
                assert_eq!(from.len(), 1, "{} by {fields}", piece.name());
                underlining(&from[0], "afresh")
            }
            Some(MadeFrom::Run(along)) => facing(along, "afresh"),
            None => continue,
        };
        let Some(afresh) = applied(shell, &making) else {
            panic!("{} is not made afresh of the shell by {fields}", piece.name());
        };
        assert_congruent_within(afresh.piece(&name("afresh")).unwrap(), piece, AGREES);
    }
}

/// The shell has the same pieces, and each as much cloth.
fn assert_same_cloth(plain: &Pattern, recut: &Pattern, fields: &Value) {
    let areas = |pattern: &Pattern| -> Vec<(String, f64)> {
        let shell = pattern.pieces().filter(|piece| piece.derived.is_none());
        shell.map(|piece| (piece.name().to_string(), piece.net_area())).collect()
    };
    for ((own, area), (other, now)) in areas(plain).into_iter().zip(areas(recut)) {
        assert_eq!(own, other, "{fields}");
        assert!((area - now).abs() <= SAME_CLOTH, "{own} has {area} mm², then {now} mm²: {fields}");
    }
    assert_eq!(areas(plain).len(), areas(recut).len(), "{fields}");
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/laws_following.txt", 96))]

    /// A copy and a facing of a piece on which any operation is done: what `follow` gives is what is made afresh of the pieces
    /// as they are then, and the shell stays as it is.
    #[test]
    fn following_any_recut_gives_what_making_afresh_gives(
        shell in first_pattern(), recuts in proptest::collection::vec(recut(), 12)
    ) {
        let found = recuts.iter().find_map(|(operation, wish)| {
            let fields = wish.fields_of(*operation, &shell)?;
            if MAKING.iter().any(|making| fields["do"] == *making) {
                return None;
            }
            let source = piece_of(&fields).filter(|name| shell.find(name).is_some())?;
            let plain = applied(&shell, &fields)?;
            Some((fields, source, plain))
        });
        let Some((fields, source, plain)) = found else { return Err(TestCaseError::reject("nothing is done")) };
        let copied = step(underlining(&source, &format!("{source}-thin"))).apply(&shell).unwrap().pattern;
        // A copy is sewn to nothing: the shell is recut as it is without it, edge for edge.
        let [recut, followed] = recut_and_followed(&copied, &fields)?;
        assert_same_cloth(&plain, &recut, &fields);
        assert_as_made_afresh(&followed, &plain, &fields);
        let edge = EdgeRef::new(source.clone(), shell.piece(&source).unwrap().edges()[0].name.clone());
        if let Some(faced) = applied(&copied, &facing(&[edge], "the-facing")) {
            // A facing is: where the recut lays new cloth on at an end of its edge, that is an edge of its own, to which no
            // facing is sewn, and without a facing the two are one. So it is the recut shell that it is made of afresh.
            let [recut, followed] = recut_and_followed(&faced, &fields)?;
            assert_same_cloth(&plain, &recut, &fields);
            assert_as_made_afresh(&followed, &recut, &fields);
        }
    }
}
