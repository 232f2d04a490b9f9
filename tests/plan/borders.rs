//! Borders from another cloth, where the cloth is a hand too short.

use retrue::plan::{Alternative, ChangeKind};

use crate::pairs::{Pair, pair};

/// The coat on lengths of its cloth that are shorter than its fronts, 1023 mm as cut, with plain cloth beside them.
fn short(length: &str, beside: &str) -> Pair {
    let lengths = vec![format!("\"{length}\""); 4].join(", ");
    pair("coat.svg").on(&format!("[main]\nwidth = \"150cm\"\nlength = [{lengths}]\n{beside}"))
}

const PLAIN: &str = "[companion]\nwidth = \"110cm\"\nlength = \"3m\"\n";

fn bordered(pair: &Pair) -> Vec<Alternative> {
    let has = |one: &Alternative| one.done.iter().any(|done| done.kind == ChangeKind::Border);
    pair.planned().alternatives.into_iter().filter(has).collect()
}

/// Front and back end in one border of the plain cloth, of one depth all round, and nothing of the coat is lost.
#[test]
fn a_coat_that_is_a_hand_too_long_gets_a_hem_border() {
    let pair = short("93cm", PLAIN);
    // All are true and fit.
    let _ = pair.answers();
    let found = bordered(&pair);
    assert!(!found.is_empty());
    for one in &found {
        let sentence = one.sentence();
        assert!(sentence.contains("a hem border from the companion cloth"), "{sentence}");
        let depth = |name: &str| -> f64 {
            let piece = one.pattern.piece(&name.parse().expect("a name")).expect("a border");
            assert_eq!(piece.cloth.as_str(), "companion");
            assert!(one.figures.companion.contains(piece.name()), "{:?}", one.figures.companion);
            let side = piece.edges().iter().find(|edge| edge.name.as_str().starts_with("side"));
            side.expect("a side").curve.length()
        };
        assert!((depth("front-border") - depth("back-border")).abs() < 0.5, "{sentence}");
        for root in ["front", "back"] {
            let own = [root.to_owned(), format!("{root}-border")].map(|name| name.parse().expect("a name"));
            let now: f64 = own.iter().map(|name| one.pattern.piece(name).expect("a piece").net_area()).sum();
            let was = pair.pattern.piece(&own[0]).expect("a piece").net_area();
            assert!((now - was).abs() < 1.0, "{root}: {now} of {was}");
        }
    }
}

/// A border is of another cloth: without one there is none, nor from cloth that is for linings.
#[test]
fn without_plain_cloth_there_is_no_border() {
    let own = "[companion]\nwidth = \"110cm\"\nlength = \"60cm\"\n";
    let lined = format!("{own}[lining]\nwidth = \"150cm\"\nlength = \"3m\"\n");
    for beside in [own, &lined] {
        let from: Vec<String> = bordered(&short("93cm", beside))
            .iter()
            .map(Alternative::sentence)
            .filter(|told| told.contains("lining"))
            .collect();
        assert!(from.is_empty(), "{from:?}");
    }
    let unwanted = short("93cm", PLAIN).with_taste("unwanted = [\"border\"]");
    assert!(bordered(&unwanted).is_empty());
    let kept = short("93cm", PLAIN).with_taste("companion = [\"front-facing\"]");
    assert!(bordered(&kept).is_empty(), "the body may not come from other cloth");
}
