//! The coat on the narrow bolt: what is found against the shipped recipe, made by hand.

use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::layout::{LaidVerdict, LayTask, LayWish};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::plan::{Effort, PlanTask, RecutFigures, Taste, figures, plan};
use retrue::sheet;

use crate::run::{Bench, fixture};
use retrue::units::Angle;

const CLOTH: &str = include_str!("../../examples/cloth.toml");

/// Passes of either layout.
const PASSES: u64 = 150;

fn length(figures: &RecutFigures) -> f64 {
    figures.used.iter().filter(|used| used.name == "main").map(|used| used.used).sum()
}

/// In at least one of seams added, edges off the grain and length used the plan is no worse.
#[test]
fn the_plan_does_not_lose_to_the_recipe_made_by_hand_on_all_three() {
    let read = |text: &str| sheet::read(text.as_bytes(), &Default::default()).expect("a pattern").pattern;
    let coat = read(&fixture("coat.svg"));
    let stock = read_cloth(CLOTH, &mut NoFiles).expect("a cloth");
    let recipe = include_str!("../../examples/narrow-coat.toml");
    let bench = Bench::new().with_fixture("coat.svg").with_file("narrow-coat.toml", recipe);
    bench.retrue("apply narrow-coat.toml coat.svg -o narrow.svg").is_true();
    let narrow = read(&bench.text_of("narrow.svg"));
    let budget = Budget { seed: 1, searchers: 2, limit: Limit::Iterations(PASSES) };
    let layout = LayTask::of(&narrow, &stock, LayWish::default()).expect("a layout");
    let laid = layout.search(&budget, &mut |_| Continue::Search).expect("a layout");
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    let by_hand = figures(&coat, &narrow, &stock, &laid).expect("figures");
    let effort = Effort { trials: 4, good: Limit::Iterations(PASSES), alternatives: 1, ..Effort::default() };
    let planned = plan(
        PlanTask { pattern: &coat, stock: &stock, taste: &Taste::default(), grain_tolerance: Angle::ZERO },
        &effort,
        &mut |_| {},
    )
    .expect("a plan");
    let best = &planned.alternatives.first().expect("an alternative").figures;
    let told = |what: &str, figures: &RecutFigures| {
        println!(
            "{what}: {:+} seams, {} edges off the grain, {:.0} mm",
            figures.seams_added,
            figures.edges_off_grain,
            length(figures)
        );
    };
    told("by hand", &by_hand);
    told("planned", best);
    assert!(
        best.seams_added <= by_hand.seams_added
            || best.edges_off_grain <= by_hand.edges_off_grain
            || length(best) <= length(&by_hand)
    );
    assert!(
        best.seams_added < by_hand.seams_added,
        "a centre seam takes fewer than a princess seam in each front"
    );
}
