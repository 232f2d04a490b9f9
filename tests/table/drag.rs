//! What a hand that holds a seam means.

use crate::bench::{Bench, CLOTH, hand, keep, narrow_allowances, step, tried};
use retrue::table::Handling;
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

fn width(recipe: Option<&str>) -> f64 {
    let line = recipe.and_then(|recipe| recipe.lines().find(|line| line.starts_with("to-width")));
    let written = line.and_then(|line| line.split('"').nth(1)).expect("a width");
    written.strip_suffix("mm").and_then(|width| width.parse().ok()).expect("mm")
}

/// The cloth gives 370 mm: half of that less the allowance of 7 mm stays, and there the seam is as wide as the cloth.
/// What stands out farther, the allowance of the armhole, is told.
#[test]
fn near_the_width_of_the_cloth_the_hand_holds() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let at = |across: f64, reach: f64| tried(&table, &hand(&table, "back.side", across, "straight", reach));
    let first = at(-20.0, 0.0);
    let beside = width(first.recipe.as_deref()) - 178.0;
    let near = at(-20.0 - beside + 4.0, 6.0);
    assert!(near.holds.is_some_and(|holds| holds.contains("at the seam") && holds.contains("370 mm")));
    assert_eq!(near.holds_well, None, "too wide beside the seam, it is not said to be well");
    assert!(near.told.iter().any(|told| told.sentence.contains("more than the cloth")), "{:?}", near.told);
    assert!((width(near.recipe.as_deref()) - 178.0).abs() < 1e-9);
    let free = at(-20.0 - beside + 4.0, 3.0);
    assert_eq!((free.holds, width(free.recipe.as_deref())), (None, 182.0));
}

/// Where it is said that a piece is as wide as the cloth allows, all of the piece fits; where it is said of the
/// seam alone, what stands out is told.
#[test]
fn where_a_piece_is_as_wide_as_the_cloth_allows_it_fits() {
    let mut held = 0;
    let cases = [
        (Bench::of_coat(), "45cm", ["back.side", "front.side"]),
        (Bench::of("dress.svg"), "50cm", ["skirt-front.side", "bodice-front.side"]),
        (Bench::of("dress.svg"), "30cm", ["skirt-back.side", "bodice-back.side"]),
    ];
    for (bench, wide, edges) in cases {
        let table = bench.table_with(&format!("{wide} x 9m"));
        for edge in edges {
            let piece = edge.split('.').next();
            for (runs, across) in
                ["straight", "as-it-ran"].into_iter().flat_map(|runs| (-9..9).map(move |at| (runs, at * 12)))
            {
                let trial = tried(&table, &hand(&table, edge, f64::from(across), runs, 7.0));
                let Some(holds) = &trial.holds else { continue };
                let seen = trial.pieces.iter().find(|seen| Some(seen.name.as_str()) == piece);
                let fits = seen.and_then(|piece| piece.fit.as_ref()).and_then(|fit| fit.good);
                let is_warned = trial.told.iter().any(|told| told.sentence.contains("more than the cloth"));
                let is_whole = holds.contains("as wide as the cloth allows");
                assert_eq!(trial.holds_well, is_whole.then_some(true), "{edge} {runs} {across}: {holds}");
                assert_eq!((fits, is_warned), (Some(is_whole), !is_whole), "{edge} {runs} {across}: {holds}");
                held += usize::from(is_whole);
            }
        }
    }
    assert!(held > 3, "it held {held} times");
}

/// A seam moved by hand to where at the seam the piece is as wide as its cloth leaves the armhole's allowance standing out;
/// once it is kept, the page offers the selvedge for it, and then the piece fits.
#[test]
fn a_seam_kept_at_the_cloths_width_is_offered_the_selvedge() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let nine = json!({ "do": "set-allowance", "edges": "back.side, front.side, sleeve.cap, back.armhole, front.armhole",
        "allowance": "9mm" });
    keep(&mut table, &step(nine));
    let first = tried(&table, &hand(&table, "back.side", -20.0, "straight", 0.0));
    let beside = width(first.recipe.as_deref()) - 176.0;
    let at_seam = hand(&table, "back.side", -20.0 - beside + 2.0, "straight", 6.0);
    let tried = tried(&table, &at_seam);
    assert!(tried.holds.is_some_and(|holds| holds.contains("at the seam")));
    assert!(
        tried.told.iter().any(|told| told.sentence.contains("selvedge, and it fits")),
        "{:?}",
        tried.told
    );
    let fit_of_back = |seen: &retrue::table::TableSeen| {
        let back = seen.pieces.iter().find(|piece| piece.name == "back").expect("the back");
        back.fit.as_ref().and_then(|fit| fit.good)
    };
    let kept = keep(&mut table, &at_seam);
    assert_eq!(fit_of_back(&kept), Some(false));
    let presses = kept.steps[1].told.iter().flat_map(|told| &told.presses);
    let selvedge = presses.into_iter().find(|press| press.step["do"] == "set-edge").expect("the selvedge");
    let laid = keep(&mut table, &step(selvedge.step.clone()));
    assert_eq!(fit_of_back(&laid), Some(true));
    assert!(
        laid.steps[1].told.iter().all(|told| told.presses.iter().all(|press| press.step["do"] != "set-edge"))
    );
}

/// A way out that is a step is kept at one press, and what was refused then goes.
#[test]
fn a_way_out_is_pressed() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let far = tried(&table, &hand(&table, "back.side", -160.0, "straight", 0.0));
    let presses = far.refused.expect("refused").presses;
    let open = presses.iter().find(|press| press.step["do"] == "open-centre").expect("a press");
    assert_eq!(open.says, "The fold of back made a centre seam");
    for press in &presses {
        let trial = tried(&table, &step(press.step.clone()));
        assert!(trial.recipe.is_some(), "a press is a step: {press:?}");
    }
    let seen = keep(&mut table, &step(open.step.clone()));
    assert_eq!(seen.steps.len(), 1);
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
    assert!(refused.what.contains("least width"), "{refused:?}");
    assert!(refused.way_out.contains("the fold of back made a centre seam"), "{refused:?}");
    assert!(far.pieces.is_empty() && far.recipe.is_some());
    let hem = tried(&table, &hand(&table, "back.hem", 5.0, "straight", 0.0));
    assert!(hem.refused.is_some(), "a hem is no seam");
    let nowhere = tried(&table, &hand(&table, "back.side", 1e9, "straight", 0.0));
    assert!(nowhere.refused.is_some());
    let unknown = tried(&table, &step(json!({ "do": "iron", "piece": "back" })));
    assert!(unknown.refused.is_some());
}

/// A seam that was moved in straight is moved back out by a little, and straight again: by the edge that gave and by that which
/// took its shaping over, though the strip's armhole meets a straight line only past that shaping.
#[test]
fn a_seam_that_was_moved_in_is_nudged_back_out() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let moved = json!({ "do": "move-seam", "seam": "front.side", "from": "back", "to-width": "178mm" });
    keep(&mut table, &step(moved));
    let usual = |edge: &str| {
        let seen = table.seen();
        let edge = seen.pieces.iter().flat_map(|piece| piece.edges.clone()).find(|seen| seen.name == edge);
        edge.expect("an edge").ways[0].way
    };
    assert_eq!((usual("back.side"), usual("front.side")), (Handling::Straight, Handling::AsItRan));
    for (edge, way, by) in [("back.side", "straight", 1.0), ("front.side", "as-it-ran", 1.0)] {
        for far in [2.0, 5.0, 10.0, 20.0, 40.0] {
            let trial = tried(&table, &hand(&table, edge, by * far, way, 0.0));
            assert_eq!(trial.refused, None, "{edge} by {far}");
            let recipe = trial.recipe.expect("a step");
            assert!(recipe.contains("from = \"front\""), "{edge} by {far}: {recipe}");
            let step = retrue::recipe::Recipe::read(&recipe, &[]).expect("a recipe").steps[0].step.clone();
            let after = step.apply(table.laid().pattern()).expect("done").pattern;
            let side = after.find_edge(&"back.side".parse().expect("a name")).expect("an edge");
            let (start, along) = (side.curve.start(), (side.curve.end() - side.curve.start()).normalize());
            let off = side
                .curve
                .flattened(0.05)
                .iter()
                .map(|at| (*at - start).cross(along).abs())
                .fold(0.0, f64::max);
            assert!(off < 0.1, "{edge} by {far}: the side of the back is straight again, to {off} mm");
            let verdicts = trial.verdicts.expect("the three answers");
            assert_eq!(verdicts.same_size.good, Some(true), "{edge} by {far}");
        }
    }
    let straight =
        json!({ "do": "move-seam", "seam": "front.side", "from": "front", "by": "5mm", "line": "grain" });
    let refused = tried(&table, &step(straight)).refused.expect("a straight line misses the armhole");
    let press = refused.presses.iter().find(|press| press.step["line"] == "seam").expect("a way out");
    assert_eq!(tried(&table, &step(press.step.clone())).refused, None);
}

/// The coat's back cannot come to 37 cm with the allowances that it has. Those with which it can are offered, and with them it
/// fits.
#[test]
fn where_the_allowances_are_too_wide_narrower_ones_are_offered() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let whole_way = json!({ "do": "move-seam", "seam": "front.side", "from": "back", "to-width": "175mm" });
    let refused = tried(&table, &step(whole_way)).refused.expect("too narrow for the armhole");
    let press = refused.presses.first().expect("a way out");
    assert_eq!(press.step["do"], "set-allowance", "{refused:?}");
    assert!(refused.way_out.contains("less allowance"), "{refused:?}");
    keep(&mut table, &step(press.step.clone()));
    let fitted = json!({ "do": "move-seam", "seam": "front.side", "from": "back", "fit-cloth": CLOTH });
    keep(&mut table, &step(fitted));
    let told = &table.seen().steps[1].told;
    let way_out =
        told.iter().flat_map(|line| &line.presses).next().expect("what stands out is cut off there");
    assert_eq!(way_out.step["selvedge"], "yes");
    keep(&mut table, &step(way_out.step.clone()));
    let seen = table.seen();
    assert_eq!(seen.verdicts.is_true.good, Some(true), "{:?}", seen.verdicts);
    let back = seen.pieces.iter().find(|piece| piece.name == "back").expect("a piece");
    assert_eq!(back.fit.as_ref().and_then(|fit| fit.good), Some(true), "{:?}", back.fit);
}
