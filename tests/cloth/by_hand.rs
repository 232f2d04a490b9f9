//! A copy moved by hand: it settles where the check of a lay finds nothing wrong, and near where the hand would have it.
//!
//! Beside it stands an exact answer for rectangles: the nearest place that is free lies on the crossing of two of the lines at
//! which it would touch a border or another, or straight across from the hand.

use kurbo::{Point, Rect};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use retrue::cloth::search::{ByHand, Goal, Item, LaySheet, Pose, Problem, Turn, check};
use retrue::tolerance::SETTLED;

const SHEET: Rect = Rect::new(0.0, 0.0, 400.0, 700.0);

fn corners(of: Rect) -> Vec<Point> {
    [(of.x0, of.y0), (of.x1, of.y0), (of.x1, of.y1), (of.x0, of.y1)].map(Point::from).to_vec()
}

fn problem(sizes: &[(f64, f64)]) -> Problem {
    let item = |(width, height): &(f64, f64)| {
        let outline = corners(Rect::new(0.0, 0.0, *width, *height));
        Item {
            clearance: outline.clone(),
            outline,
            turns: vec![Turn { degrees: 0.0, tolerance: 0.0 }],
            sheets: vec![0],
            holds: Vec::new(),
            phases: Vec::new(),
        }
    };
    let sheets = vec![LaySheet { outline: corners(SHEET), flaws: Vec::new() }];
    Problem { sheets, items: sizes.iter().map(item).collect(), goal: Goal::Fits, likeness: None }
}

fn pose(x: f64, y: f64) -> Pose {
    Pose { sheet: 0, turn: 0, degrees: 0.0, x, y }
}

/// Rectangles that lie apart, each put at the first of some places where it is free.
fn apart(sizes: &[(f64, f64)], places: &[(f64, f64)]) -> Option<Vec<Rect>> {
    let mut lying: Vec<Rect> = Vec::new();
    for (width, height) in sizes {
        let at = places.iter().map(|(x, y)| {
            Rect::from_origin_size((x * (SHEET.x1 - width), y * (SHEET.y1 - height)), (*width, *height))
        });
        lying.push(at.into_iter().find(|rect| lying.iter().all(|other| !rect.overlaps(*other)))?);
    }
    Some(lying)
}

/// How far the nearest free place of the first is from a wanted one.
fn nearest(lying: &[Rect], wanted: Point) -> f64 {
    let (width, height) = (lying[0].width(), lying[0].height());
    let clamped = Point::new(wanted.x.clamp(0.0, SHEET.x1 - width), wanted.y.clamp(0.0, SHEET.y1 - height));
    let others = &lying[1..];
    let xs = others.iter().flat_map(|other| [other.x0 - width, other.x1]).chain([clamped.x]);
    let ys: Vec<f64> =
        others.iter().flat_map(|other| [other.y0 - height, other.y1]).chain([clamped.y]).collect();
    let is_free = |x: f64, y: f64| {
        let rect = Rect::new(x, y, x + width, y + height);
        let inside = x >= 0.0 && y >= 0.0 && rect.x1 <= SHEET.x1 + 1e-9 && rect.y1 <= SHEET.y1 + 1e-9;
        inside && others.iter().all(|other| !rect.inset(-1e-9).overlaps(*other))
    };
    let places = xs.flat_map(|x| ys.iter().map(move |y| (x, *y))).filter(|(x, y)| is_free(*x, *y));
    places.map(|(x, y)| clamped.distance(Point::new(x, y))).fold(f64::INFINITY, f64::min)
}

type Case = (Vec<(f64, f64)>, Vec<(f64, f64)>, (f64, f64));

fn cases() -> impl Strategy<Value = Case> {
    let size = (30.0..160.0f64, 30.0..200.0f64);
    let place = (0.0..1.0f64, 0.0..1.0f64);
    let wanted = (-50.0..400.0f64, -50.0..700.0f64);
    (proptest::collection::vec(size, 4..9), proptest::collection::vec(place, 60), wanted)
}

/// Nothing of what the check of a lay knows is wrong where it settles; and in nine of ten cases no free place is nearer.
#[test]
fn a_copy_settles_where_the_check_finds_nothing_wrong_and_near_the_hand() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut tried, mut reached, mut near) = (0, 0, 0);
    for _ in 0..200 {
        let (sizes, places, (x, y)) = cases().new_tree(&mut runner).expect("a case").current();
        tried += 1;
        let Some(lying) = apart(&sizes, &places) else { continue };
        reached += 1;
        let problem = problem(&sizes);
        let hand = ByHand::new(&problem).expect("a sound problem");
        let mut poses: Vec<Pose> = lying.iter().map(|rect| pose(rect.x0, rect.y0)).collect();
        let settled = hand.settle(&poses, 0, pose(x, y)).expect("where it lay there is room");
        poses[0] = settled;
        let faults = check::faults(&problem, &poses);
        assert!(faults.is_empty(), "{faults:?}: {sizes:?} {lying:?} {x} {y}");
        let clamped = Point::new(x.clamp(0.0, SHEET.x1 - sizes[0].0), y.clamp(0.0, SHEET.y1 - sizes[0].1));
        let off = clamped.distance(Point::new(settled.x, settled.y));
        let exact = nearest(&lying, Point::new(x, y));
        assert!(off >= exact - 0.02, "nearer than there is a place: {off} {exact}");
        near += usize::from(off <= exact + 4.0 * SETTLED);
    }
    assert!(2 * reached > tried, "{reached} of {tried}");
    assert!(10 * near >= 9 * reached, "{near} of {reached} settle at the nearest place there is");
}
