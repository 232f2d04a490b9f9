//! Seams that are lapped or butted at the selvedges: where that is what makes a piece fit, and nowhere else.

use std::collections::BTreeSet;

use retrue::cloth::layout::LaidVerdict;
use retrue::pattern::{Pattern, Selvedge};
use retrue::plan::{Alternative, ChangeKind};

use crate::pairs::{Pair, pair};

const JOINTS: [ChangeKind; 2] = [ChangeKind::Lapped, ChangeKind::Butted];

fn has(alternative: &Alternative, kind: ChangeKind) -> bool {
    alternative.done.iter().any(|done| done.kind == kind)
}

/// The alternatives of which a seam lies on the selvedges. Each is true, fits, is laid with its edges there, and says so.
fn at_selvedges(pair: &Pair) -> Vec<Alternative> {
    // All are true and fit.
    let _ = pair.answers();
    let planned = pair.planned();
    let found = planned.alternatives.into_iter().filter(|one| JOINTS.iter().any(|kind| has(one, *kind)));
    found.inspect(is_made_so).collect()
}

fn is_made_so(alternative: &Alternative) {
    assert_eq!(alternative.laid.verdict, LaidVerdict::Fits);
    let lapped = edges_on_selvedge(&alternative.pattern);
    assert!(!lapped.is_empty());
    let (look, sentence) = (alternative.look(), alternative.sentence());
    let word = if has(alternative, ChangeKind::Lapped) {
        "lapped at the selvedge"
    } else {
        "butted at the selvedge"
    };
    assert!(look.contains(word) && sentence.contains(word), "{look} {sentence}");
}

/// The edges of a pattern that lie on a selvedge and are lapped, and how far.
fn edges_on_selvedge(pattern: &Pattern) -> Vec<f64> {
    let edges = pattern.pieces().flat_map(|piece| piece.edges().to_vec());
    edges.filter(|edge| edge.selvedge == Selvedge::Yes).filter_map(|edge| Some(edge.lap?.mm())).collect()
}

/// Half of the back is 301 mm wide with a usual seam down its middle, and 286 mm without its allowance.
#[test]
fn a_centre_seam_is_butted_where_its_allowance_is_what_is_too_much() {
    let narrow = |width: &str| {
        pair("coat.svg")
            .with_own_cloth("back", width)
            .with_taste("stay = [\"back.side\"]\nunwanted = [\"yoke\", \"princess\", \"panels\"]")
    };
    let butted = at_selvedges(&narrow("29cm"));
    assert!(!butted.is_empty());
    for one in &butted {
        let kinds: BTreeSet<ChangeKind> = one.done.iter().map(|done| done.kind).collect();
        assert_eq!(kinds, BTreeSet::from([ChangeKind::Centre, ChangeKind::Butted]));
        assert_eq!(edges_on_selvedge(&one.pattern), [0.0]);
        assert!(one.cost.changes > 1.0, "it is seen more than a usual centre seam: {:?}", one.cost);
        assert!(one.look().contains("entre seam of `back` butted at the selvedges"), "{}", one.look());
    }
    assert!(at_selvedges(&narrow("31cm")).is_empty(), "an allowance has room there");
    assert!(at_selvedges(&narrow("28cm")).is_empty(), "the half has no room there by itself");
}

/// A cloth of which both edges are cut has no selvedges to butt.
#[test]
fn without_selvedges_nothing_is_butted() {
    let own = "[main]\nwidth = \"160cm\"\nlength = \"6m\"\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n\
               [own]\nwidth = \"29cm\"\nlength = \"6m\"\nselvedges = \"none\"\n";
    let cut = pair("coat.svg").with_own_cloth("back", "29cm").on(own);
    assert!(at_selvedges(&cut).is_empty());
}

/// Whoever does not want it is not offered it.
#[test]
fn butted_seams_may_be_unwanted() {
    let pair = pair("coat.svg").with_own_cloth("back", "29cm");
    assert!(at_selvedges(&pair.with_taste("unwanted = [\"butted\", \"lapped\"]")).is_empty());
}

/// A pocket bag is 190 mm wide as cut: in two panels with usual allowances each is 110 mm, lapped 106 mm and butted 95 mm.
#[test]
fn two_panels_meet_at_the_selvedges_in_place_of_three() {
    let kinds = |width: &str| -> BTreeSet<ChangeKind> {
        let taste = "unwanted = [\"piecing\", \"companion\", \"band\", \"side-seam\"]";
        let found = at_selvedges(&pair("coat.svg").with_own_cloth("pocket-bag", width).with_taste(taste));
        assert!(found.iter().all(|one| has(one, ChangeKind::Panels)));
        let kinds = found.iter().flat_map(|one| &one.done).map(|done| done.kind);
        kinds.filter(|kind| JOINTS.contains(kind)).collect()
    };
    assert_eq!(kinds("111mm"), BTreeSet::new());
    assert_eq!(kinds("107mm"), BTreeSet::from([ChangeKind::Lapped]));
    assert_eq!(kinds("100mm"), BTreeSet::from([ChangeKind::Butted]));
}

/// A side that must keep its width, where no allowance has room: it is lapped over the other.
#[test]
fn a_side_is_lapped_where_no_allowance_does() {
    let narrow = pair("coat.svg")
        .with_own_cloth("back", "37cm")
        .with_taste("whole = [\"back\"]\nunwanted = [\"selvedge\"]");
    let lapped = at_selvedges(&narrow);
    assert!(!lapped.is_empty());
    for one in &lapped {
        assert!(edges_on_selvedge(&one.pattern).iter().all(|lap| *lap == 8.0));
    }
}
