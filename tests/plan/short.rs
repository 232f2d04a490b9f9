//! Cloth that is short: what comes from other cloth instead, and how much more would do.

use retrue::cloth::search::Limit;
use retrue::plan::{ChangeKind, Effort, Missing, Planned};

use crate::pairs::{Pair, pair};

/// On 1.5 m of 150 cm facings are not enough: more of the coat comes from the companion cloth, what is seen least, and no more
/// than must.
#[test]
fn what_is_seen_comes_from_companion_cloth_where_the_cloth_is_short() {
    let short = "[main]\nwidth = \"150cm\"\nlength = \"1.5m\"\n";
    let beside = format!("{short}[companion]\nwidth = \"110cm\"\nlength = \"3m\"\n");
    let planned = planned(&pair("coat.svg").on(&beside));
    let best =
        planned.alternatives.first().expect("the companion cloth takes what the cloth has no room for");
    assert!(best.done.iter().all(|done| done.kind == ChangeKind::Companion), "{:?}", best.done);
    let pieces: Vec<&str> = best.done.iter().map(|done| done.root.as_str()).collect();
    assert!(pieces.iter().any(|piece| !piece.ends_with("facing")), "{pieces:?}");
    assert!(!pieces.contains(&"front") && !pieces.contains(&"back"), "{pieces:?}");
    let look = best.look();
    assert!(pieces.iter().all(|piece| look.contains(&format!("`{piece}`"))), "{look}: {pieces:?}");
    // What may not come from other cloth stays.
    let taste = "companion = [\"front-facing\"]\n";
    let limited = pair("coat.svg").on(&beside).with_taste(taste).planned().alternatives;
    let spared = limited.iter().flat_map(|one| &one.done).filter(|done| done.kind == ChangeKind::Companion);
    for done in spared {
        assert_eq!(done.root.as_str(), "front-facing");
    }
}

fn planned(pair: &Pair) -> Planned {
    let effort = Effort {
        recuts: 150,
        trials: 6,
        quick: Limit::Iterations(60),
        again: Limit::Iterations(150),
        good: Limit::Iterations(200),
        ..Effort::default()
    };
    pair.planned_with(&effort)
}

/// What is told to be missing is about what a plan on plenty of cloth uses: the dress on 45 cm.
#[test]
fn no_more_is_told_to_be_missing_than_a_plan_takes() {
    let on =
        |length: f64| pair("dress.svg").on(&format!("[main]\nwidth = \"45cm\"\nlength = \"{length}mm\"\n"));
    let have = 2500.0;
    let missing = planned(&on(have)).closest.expect("it is too short").missing;
    let [Missing::Length { by, .. }] = missing[..] else { panic!("{missing:?}") };
    let plenty = planned(&on(3.0 * have));
    let used = plenty.alternatives.iter().map(|one| one.figures.used[0].used).fold(f64::INFINITY, f64::min);
    assert!(by + have <= used * 1.08, "{by} more is {} in all, but {used} is used of plenty", by + have);
}
