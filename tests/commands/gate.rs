//! Faults that would be cut are told by `check`.

use crate::run::Bench;

/// A half front with a waist dart whose tip lies off the side by a distance, and a fold that bulges.
fn front(fold: &str, tip: f64) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">
<g id="front" data-kind="piece" data-cut="1">
<path id="front.neck" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M100 100 H300"/>
<path id="front.side" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M300 100 V300"/>
<path id="front.waist" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M300 300 H100"/>
<path id="front.centre" data-kind="edge" data-finish="fold" d="{fold}"/>
<path id="front.waist-dart" data-kind="dart" d="M{} 300 L{} 200 L{} 300"/>
<path id="front.grain" data-kind="grainline" d="M150 130 V270"/>
</g></svg>"#,
        tip - 10.0,
        tip,
        tip + 10.0
    )
}

const STRAIGHT: &str = "M100 300 V100";

#[test]
fn a_curved_fold_is_not_true() {
    let bench = Bench::new()
        .with_file("curved.svg", front("M100 300 C96 240 96 160 100 100", 200.0))
        .with_file("straight.svg", front(STRAIGHT, 200.0));
    bench
        .retrue("check curved.svg")
        .is_untrue()
        .prints("front.centre: the fold stands off the straight line");
    let straight = bench.retrue("check straight.svg").stdout();
    assert!(!straight.contains("the fold stands off"), "{straight}");
}

#[test]
fn a_tip_close_to_another_seamline_is_told() {
    let bench = Bench::new()
        .with_file("clear.svg", front(STRAIGHT, 287.0))
        .with_file("near.svg", front(STRAIGHT, 287.0).replace("L287 200", "L297 200"));
    let told = "front.waist-dart at side: the tip of the dart lies 3 mm from this seamline";
    bench.retrue("check near.svg").prints(told);
    assert!(!bench.retrue("check clear.svg").stdout().contains("the tip of the dart"));
}
