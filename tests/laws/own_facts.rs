//! What a derived piece says besides its lines is held against what it was made from, and follows it.

use retrue::pattern::{Arrows, Cut, Finish, GirthUse, Pattern, Piece};
use retrue::sheet;
use retrue::truing::{FindingKind, Verdict};
use serde_json::json;

use crate::made::{apply, edge, piece};

fn copied(of: &str, purpose: &str) -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    let coat = sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    apply(&coat, json!({"do": "copy-piece", "piece": of, "name": "copy", "for": purpose})).pattern
}

fn is_told(pattern: &Pattern) -> bool {
    Verdict::of(pattern).untrue().any(|found| found.kind == FindingKind::NotFollowed && found.at == "copy")
}

/// Changes the copy, sees that it is told, and lets it follow: then it is as it was.
fn told_and_mended(pattern: &Pattern, change: impl Fn(&mut Piece)) -> Result<(), &'static str> {
    assert!(!is_told(pattern));
    let mut changed = pattern.clone();
    change(changed.piece_mut(&"copy".parse().unwrap()).unwrap());
    if !is_told(&changed) {
        return Err("not told");
    }
    let followed = apply(&changed, json!({"do": "follow"})).pattern;
    let (was, is) = (piece(pattern, "copy"), piece(&followed, "copy"));
    let same = !is_told(&followed)
        && (was.cut, was.purpose) == (is.cut, is.purpose)
        && was.points.len() == is.points.len()
        && was.levels.len() == is.levels.len()
        && was.edges().iter().zip(is.edges()).all(|(a, b)| (a.finish, a.selvedge) == (b.finish, b.selvedge));
    if same { Ok(()) } else { Err("does not follow") }
}

/// What is changed, and how.
type Change = (&'static str, fn(&mut Piece));

#[test]
fn every_fact_of_a_copy_is_held() {
    let pattern = copied("front", "underlining");
    let changes: [Change; 9] = [
        ("cut", |piece| piece.cut = Cut { copies: piece.cut.copies + 2, ..piece.cut }),
        ("purpose", |piece| piece.purpose = retrue::pattern::Purpose::Interfacing),
        ("finish", |piece| {
            let id = piece.edge_named(&"hem".parse().unwrap()).unwrap();
            *piece.edge_settings(id).finish = Finish::Free;
        }),
        ("selvedge", |piece| {
            let id = piece.edge_named(&"side".parse().unwrap()).unwrap();
            *piece.edge_settings(id).selvedge = retrue::pattern::Selvedge::Yes;
        }),
        ("points", |piece| piece.points.clear()),
        ("levels", |piece| drop(piece.levels.pop())),
        ("girth", |piece| piece.levels[0].girth = GirthUse::Counts),
        ("grain", |piece| piece.grainline = None),
        ("count", |piece| {
            let count = &mut piece.notches[0].count;
            *count = match count {
                retrue::pattern::NotchCount::Single => retrue::pattern::NotchCount::Double,
                retrue::pattern::NotchCount::Double => retrue::pattern::NotchCount::Single,
            };
        }),
    ];
    for (what, change) in changes {
        assert_eq!(told_and_mended(&pattern, change), Ok(()), "{what}");
    }
}

/// What the source says now, its copy must say too.
#[test]
fn a_copy_follows_how_often_its_source_is_cut() {
    let pattern = copied("belt", "interfacing");
    let twice = apply(&pattern, json!({"do": "set-piece", "piece": "belt", "cut": "2"})).pattern;
    assert!(is_told(&twice));
    let followed = apply(&twice, json!({"do": "follow"})).pattern;
    assert_eq!(piece(&followed, "copy").cut, Cut::PAIR);
    assert!(!is_told(&followed));
}

/// What is a copy's own stays when it follows: its cloth, which way up that may lie, and what is drawn on it.
#[test]
fn what_is_its_own_stays() {
    let mut pattern = copied("front", "lining");
    let copy = pattern.piece_mut(&"copy".parse().unwrap()).unwrap();
    copy.cloth = "silk".parse().unwrap();
    if let Some(grain) = &mut copy.grainline {
        grain.arrows = Arrows::Start;
    }
    assert!(!is_told(&pattern));
    copy_hem_wide(&mut pattern);
    assert!(is_told(&pattern));
    let followed = apply(&pattern, json!({"do": "follow"})).pattern;
    let copy = piece(&followed, "copy");
    assert_eq!(copy.cloth.as_str(), "silk");
    assert_eq!(copy.grainline.as_ref().map(|grain| grain.arrows), Some(Arrows::Start));
}

fn copy_hem_wide(pattern: &mut Pattern) {
    let finish = edge(piece(pattern, "copy"), "hem").finish;
    let copy = pattern.piece_mut(&"copy".parse().unwrap()).unwrap();
    let id = copy.edge_named(&"hem".parse().unwrap()).unwrap();
    *copy.edge_settings(id).finish = if finish == Finish::Free { Finish::Hem } else { Finish::Free };
}
