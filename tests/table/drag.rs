//! What a hand that holds a seam means.

use crate::bench::{Bench, hand, keep, narrow_allowances, step, tried};
use serde_json::json;

/// Dragged inward the piece that is held gives, outward it takes; the garment stays as large as it was all the same.
#[test]
fn a_seam_is_dragged_either_way_and_the_garment_keeps_its_size() {
    let bench = Bench::of_coat();
    let table = bench.table();
    for (runs, outward) in [("straight", 40.0), ("as-it-ran", 14.0)] {
        for (across, from) in [(-12.0, "back"), (-25.0, "back"), (outward, "front")] {
            let trial = tried(&table, &hand(&table, "back.side", across, runs, 0.0));
            assert_eq!(trial.refused, None, "{runs} {across}");
            let recipe = trial.recipe.expect("a step");
            assert!(recipe.contains(&format!("from = \"{from}\"")), "{runs} {across}: {recipe}");
            assert!(trial.girths.iter().all(|girth| girth.change.good == Some(true)), "{:?}", trial.girths);
            let verdicts = trial.verdicts.expect("the three answers");
            assert_eq!((verdicts.is_true.good, verdicts.same_size.good), (Some(true), Some(true)));
            let mut names: Vec<&str> = trial.pieces.iter().map(|piece| piece.name.as_str()).collect();
            names.sort_unstable();
            assert!(names.contains(&"back") && names.contains(&"front"), "{names:?}");
            assert!(
                trial.seams.iter().any(|line| line.sentence.contains("off the grain")),
                "{:?}",
                trial.seams
            );
        }
    }
    assert!(bench.text("recipe.toml").contains("step = []"), "nothing is kept by trying");
}

/// The cloth gives 370 mm: half of that less the allowance of 7 mm stays.
#[test]
fn near_the_width_of_the_cloth_the_hand_holds() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let at = |across: f64, reach: f64| tried(&table, &hand(&table, "back.side", across, "straight", reach));
    let width = |recipe: &str| -> f64 {
        let line = recipe.lines().find(|line| line.starts_with("to-width")).expect("a width");
        line.split('"')
            .nth(1)
            .and_then(|width| width.strip_suffix("mm"))
            .expect("mm")
            .parse()
            .expect("a number")
    };
    let first = at(-20.0, 0.0);
    let beside = width(&first.recipe.expect("a step")) - 178.0;
    let near = at(-20.0 - beside + 4.0, 6.0);
    assert!(near.holds.is_some_and(|holds| holds.contains("370 mm")));
    assert!((width(&near.recipe.expect("a step")) - 178.0).abs() < 1e-9);
    let free = at(-20.0 - beside + 4.0, 3.0);
    assert_eq!((free.holds, width(&free.recipe.expect("a step"))), (None, 182.0));
}

#[test]
fn a_hand_that_has_not_moved_means_nothing() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let trial = tried(&table, &hand(&table, "back.side", 0.2, "as-it-ran", 0.0));
    assert_eq!((trial.recipe, trial.refused), (None, None));
}

#[test]
fn what_is_refused_says_why_and_the_way_out() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let far = tried(&table, &hand(&table, "back.side", -160.0, "straight", 0.0));
    let refused = far.refused.expect("refused");
    assert!(refused.what.contains("least width") && refused.way_out.contains("open-centre"), "{refused:?}");
    assert!(far.pieces.is_empty() && far.recipe.is_some());
    let hem = tried(&table, &hand(&table, "back.hem", 5.0, "straight", 0.0));
    assert!(hem.refused.is_some(), "a hem is no seam");
    let nowhere = tried(&table, &hand(&table, "back.side", 1e9, "straight", 0.0));
    assert!(nowhere.refused.is_some());
    let unknown = tried(&table, &step(json!({ "do": "iron", "piece": "back" })));
    assert!(unknown.refused.is_some());
}
