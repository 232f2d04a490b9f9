//! Seams whose stripes cannot meet after a recut.

use retrue::cloth::Stock;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::layout::{LaidVerdict, LayTask, LayWish};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::pattern::Pattern;
use retrue::plan::{RecutFigures, figures};
use retrue::recut::{GrainWay, Step, TurnGrain};
use retrue::sheet;

use crate::run::fixture;

fn coat() -> Pattern {
    sheet::read(fixture("coat.svg").as_bytes(), &Default::default()).expect("a pattern").pattern
}

fn stock(stripes: &str) -> Stock {
    let text = format!("[main]\nwidth = \"150cm\"\nlength = \"8m\"\n{stripes}");
    read_cloth(&text, &mut NoFiles).expect("a cloth")
}

fn after(recut: &Pattern, stock: &Stock) -> RecutFigures {
    let layout = LayTask::of(recut, stock, LayWish::default()).expect("a layout");
    let budget = Budget { seed: 1, searchers: 1, limit: Limit::Iterations(20) };
    let laid = layout.search(&budget, &mut |_| Continue::Search).expect("a layout");
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    figures(&coat(), recut, stock, &laid).expect("figures")
}

/// A front cut crosswise between a back and sleeves that are not: its stripes run along seams that those of the back
/// cross.
#[test]
fn a_front_cut_crosswise_loses_the_stripes_of_its_side_seam() {
    let across = TurnGrain { piece: "front".parse().expect("a name"), to: GrainWay::Crosswise };
    let turned = Step::from(across).apply(&coat()).expect("the step is done").pattern;
    let striped = stock("stripes = { repeat = \"64mm\", first = \"0mm\", along = \"width\" }\n");
    assert_eq!(after(&coat(), &striped).stripes_lost, 0);
    assert!(after(&turned, &striped).stripes_lost >= 1);
    assert_eq!(after(&turned, &stock("")).stripes_lost, 0, "plain cloth has none to lose");
    let gradation =
        stock("colours = [[\"0m\", \"#31525b\"], [\"3m\", \"#c9b458\"], [\"8m\", \"#7a9e7e\"]]\n");
    assert_eq!(after(&coat(), &gradation).stripes_lost, 0);
    assert!(after(&turned, &gradation).stripes_lost >= 1, "a gradation along the cloth shows it too");
    let lengthwise = stock("stripes = { repeat = \"64mm\", first = \"0mm\", along = \"length\" }\n");
    assert_eq!(after(&turned, &lengthwise).stripes_lost, 0, "those along the cloth are not matched at seams");
}
