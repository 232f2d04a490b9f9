//! Alternatives that differ, seams that run on, and names of parts.

use std::collections::BTreeSet;

use retrue::cloth::search::Limit;
use retrue::plan::{Alternative, ChangeKind, Effort, figures};
use retrue::recut::{AddPrincessSeam, DartToSeam, Step};

use crate::pairs::pair;

/// The areas of what came of a piece, in order.
fn parts(alternative: &Alternative, root: &str) -> Vec<f64> {
    let own = alternative.pattern.pieces().filter(|piece| piece.name().as_str().starts_with(root));
    let mut areas: Vec<f64> = own.map(|piece| piece.net_area()).collect();
    areas.sort_by(f64::total_cmp);
    areas
}

/// A seam through the tip of a dart and that dart run out are one seam by two names: only one of them is offered.
#[test]
fn the_same_seam_by_another_name_is_no_alternative() {
    let skirt = pair("skirt-shaped-back.svg").on("[main]\nwidth = \"30cm\"\nlength = \"5m\"\n");
    let effort = Effort {
        quick: Limit::Iterations(30),
        good: Limit::Iterations(30),
        recuts: 400,
        ..Effort::default()
    };
    let alternatives = skirt.planned_with(&effort).alternatives;
    assert!(alternatives.len() > 1, "it can be cut in several ways");
    for (i, one) in alternatives.iter().enumerate() {
        for other in &alternatives[..i] {
            let same = |root: &str| {
                let (a, b) = (parts(one, root), parts(other, root));
                let all: f64 = a.iter().sum();
                a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() < 0.05 * all)
            };
            let kinds = |one: &Alternative| -> BTreeSet<ChangeKind> {
                one.done.iter().map(|done| done.kind).collect()
            };
            let by_other_names = |kind| matches!(kind, &ChangeKind::Princess | &ChangeKind::DartSeam);
            let differ = kinds(one).symmetric_difference(&kinds(other)).all(by_other_names);
            assert!(!(differ && same("front") && same("back")), "{} and {}", one.look(), other.look());
        }
    }
}

/// The dress with its bodice's dart run out and a princess seam in the skirt whose upper end is set by hand.
fn dress_with_seams(from: &str) -> (retrue::pattern::Pattern, retrue::pattern::Pattern) {
    let dress = pair("dress.svg").pattern;
    let name = |name: &str| name.parse().expect("a name");
    let place = |place: &str| place.parse().expect("a place");
    let bodice = Step::from(DartToSeam::of(name("bodice-front"), "waist-dart".parse().expect("a name")));
    let skirt =
        AddPrincessSeam::of(name("skirt-front"), place(from), place("waist-dart.tip"), place("hem@99.7mm"));
    let cut = bodice.apply(&dress).expect("the dart runs out").pattern;
    let cut = Step::from(skirt).apply(&cut).expect("the seam is added").pattern;
    (dress, cut)
}

/// A bodice's seam that the skirt's misses by a finger is told; what missed before is not told again.
#[test]
fn seams_that_miss_each_other_at_a_joint_are_told() {
    let stock = pair("dress.svg")
        .on("[main]\nwidth = \"160cm\"\nlength = \"6m\"\n[lining]\nwidth = \"160cm\"\nlength = \"3m\"\n");
    let (before, after) = dress_with_seams("waist@110.9mm");
    let as_it_is = retrue::plan::PlanTask {
        pattern: &after,
        stock: &stock.stock,
        taste: &stock.taste,
        grain_tolerance: retrue::units::Angle::ZERO,
    };
    let effort = Effort { quick: Limit::Iterations(10), good: Limit::Iterations(10), ..Effort::default() };
    let planned = retrue::plan::plan(as_it_is, &effort, &mut |_| {}).expect("a plan");
    let figures =
        |before| figures(before, &after, &stock.stock, &planned.alternatives[0].laid).expect("figures");
    let found = figures(&before);
    let is_it = |found: &retrue::plan::Missed| (found.by - 12.4).abs() < 1.0;
    assert!(found.missed.iter().any(is_it), "{:?}", found.missed);
    let told = found.looked_at_twice(retrue::units::Unit::default());
    assert!(told.iter().any(|told| told.contains(".waist`") && told.contains("misses")), "{told:?}");
    assert!(figures(&after).missed.is_empty());
}

/// A piece that is put together is its main part and its piecing.
#[test]
fn parts_of_a_pieced_piece_have_names() {
    let belt = pair("coat.svg").with_own_cloth("front-facing", "9cm").planned();
    let pieced =
        belt.alternatives.iter().filter(|one| one.done.iter().any(|done| done.kind == ChangeKind::Piecing));
    let mut count = 0;
    for one in pieced {
        let names: Vec<&str> = one.pattern.pieces().map(|piece| piece.name().as_str()).collect();
        assert!(names.contains(&"front-facing-piecing"), "{names:?}");
        assert!(!names.iter().any(|name| name.contains("main-") && !name.ends_with("main-2")), "{names:?}");
        assert!(!names.contains(&"front-facing-1"), "{names:?}");
        count += 1;
    }
    assert!(count > 0, "nothing is pieced");
}

/// What is offered differs in what one sees from a step away: never in a sleeve or a collar alone.
#[test]
fn alternatives_differ_on_the_body() {
    let coat = pair("coat.svg").on(include_str!("../../examples/cloth.toml"));
    let effort = Effort { quick: Limit::Iterations(40), good: Limit::Iterations(40), ..Effort::default() };
    let alternatives = coat.planned_with(&effort).alternatives;
    let body = |one: &Alternative| -> BTreeSet<(String, ChangeKind)> {
        let done = one.done.iter().filter(|done| ["front", "back"].contains(&done.root.as_str()));
        done.map(|done| (done.root.to_string(), done.kind)).collect()
    };
    let bodies: BTreeSet<_> = alternatives.iter().map(body).collect();
    let told: Vec<String> = alternatives.iter().map(Alternative::look).collect();
    assert_eq!(bodies.len(), alternatives.len(), "{told:#?}");
    assert!(alternatives.len() >= 4, "{told:#?}");
}
