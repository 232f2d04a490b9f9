//! The search for a lay: what it finds keeps the rules, is the same again, and says why there is none.

use crate::lay_sets::{Dice, area, density, exact_turn, free_item, puzzle, rectangle, strip};
use clipper2_rust::{FillRule, PathD, PointD, intersect_d};
use kurbo::{Point, Rect, Vec2};
use retrue::cloth::search::check::{faults, placed};
use retrue::cloth::search::{
    Axis, BadProblem, Budget, Continue, FoundLay, Goal, Hold, Impossible, Item, LayFault, LaySheet, Limit,
    LinesAlike, MarksAround, Outcome, Phase, PhaseLines, Pose, Problem, SheetMark, Turn, search,
};

fn iterations(seed: u64, passes: u64) -> Budget {
    Budget { seed, searchers: 2, limit: Limit::Iterations(passes) }
}

fn found(problem: &Problem, budget: &Budget) -> Outcome {
    search(problem, budget, &mut |_| Continue::Search).expect("a sound problem")
}

fn lay(problem: &Problem, passes: u64) -> FoundLay {
    match found(problem, &iterations(1, passes)) {
        Outcome::Fits(layout) => layout,
        other => panic!("no lay found: {other:?}"),
    }
}

fn sheet(width: f64, length: f64) -> LaySheet {
    LaySheet { outline: rectangle(width, length), flaws: Vec::new() }
}

fn fits(sheets: Vec<LaySheet>, items: Vec<Item>) -> Problem {
    Problem { sheets, items, goal: Goal::Fits, likeness: None }
}

fn boxed(outline: Vec<Point>, turns: &[f64]) -> Item {
    free_item(outline, turns.iter().map(|degrees| exact_turn(*degrees)).collect())
}

/// A piece with a hollow side, as an armhole makes.
fn hollow(width: f64, length: f64) -> Vec<Point> {
    let mut points = vec![Point::ZERO, Point::new(width, 0.0), Point::new(width, length * 0.4)];
    points.extend((0..=8).map(|i| {
        let angle = f64::from(i) / 8.0 * std::f64::consts::FRAC_PI_2;
        Point::new(width * (1.0 - 0.4 * angle.sin()), length * (0.4 + 0.6 * (1.0 - angle.cos())))
    }));
    points.push(Point::new(0.0, length));
    points
}

fn mixed(count: usize) -> Vec<Item> {
    (0..count)
        .map(|i| {
            let (width, length) = (120.0 + 17.0 * (i % 5) as f64, 200.0 + 31.0 * (i % 7) as f64);
            let outline = if i % 2 == 0 { hollow(width, length) } else { rectangle(width * 0.7, length) };
            boxed(outline, &[0.0, 180.0])
        })
        .collect()
}

#[test]
fn same_seed_and_iterations_give_the_same_lay() {
    let problem = strip(500.0, mixed(12));
    let first = found(&problem, &iterations(5, 60));
    for _ in 0..3 {
        assert_eq!(first, found(&problem, &iterations(5, 60)));
    }
    assert_ne!(first, found(&problem, &iterations(6, 60)), "another seed goes another way");
}

/// However few the passes, the search ends and brings a lay.
#[test]
fn any_number_of_passes_will_do() {
    let problem = strip(500.0, mixed(5));
    for passes in 0..12 {
        let Outcome::Fits(layout) = found(&problem, &iterations(0, passes)) else {
            panic!("{passes} passes")
        };
        assert!(layout.iterations <= passes);
    }
}

#[test]
fn every_lay_found_overlaps_nothing_by_an_independent_library() {
    for seed in 0..4 {
        let problem = strip(480.0 + 20.0 * seed as f64, mixed(10 + seed as usize));
        let Outcome::Fits(layout) = found(&problem, &iterations(seed, 80)) else { panic!("seed {seed}") };
        let worst = worst_overlap(&problem, &layout.poses);
        let border = problem.items.iter().map(|item| perimeter(&item.outline)).fold(0.0, f64::max);
        assert!(worst < border * 0.01, "seed {seed}: {worst} mm² overlap");
        let end = (0..problem.items.len())
            .flat_map(|i| placed(&problem.items[i].outline, layout.poses[i]))
            .map(|point| point.y)
            .fold(0.0, f64::max);
        assert!((end - layout.used[0]).abs() < 1e-9, "used {} but reaches {end}", layout.used[0]);
    }
}

/// The check finds an overlap wherever an independent library does, on random lays with shallow and deep ones.
#[test]
fn check_agrees_with_an_independent_library() {
    let mut dice = Dice::new(3);
    let (mut overlapping, mut apart) = (0, 0);
    for _ in 0..400 {
        let items = vec![
            boxed(hollow(dice.between(80.0, 200.0), dice.between(80.0, 300.0)), &[0.0]),
            boxed(hollow(dice.between(80.0, 200.0), dice.between(80.0, 300.0)), &[0.0]),
        ];
        let problem = fits(vec![sheet(2000.0, 2000.0)], items);
        let at = |x: f64, y: f64| Pose { sheet: 0, turn: 0, degrees: 0.0, x, y };
        let poses =
            [at(500.0, 500.0), at(500.0 + dice.between(-220.0, 220.0), 500.0 + dice.between(-320.0, 320.0))];
        let area = worst_overlap(&problem, &poses);
        let depth = faults(&problem, &poses).iter().find_map(|fault| match fault {
            LayFault::Overlap { depth, .. } => Some(*depth),
            _ => None,
        });
        match depth {
            Some(depth) => {
                assert!(area > 0.0, "depth {depth} where the library finds no common area");
                assert!(depth < 400.0);
                overlapping += 1;
            }
            None => {
                assert!(area < 2.0, "{area} mm² in common, and no fault");
                apart += 1;
            }
        }
    }
    assert!(overlapping > 100 && apart > 50, "{overlapping} overlap, {apart} do not");
}

/// The depth told is how far the one must be moved where two rectangles overlap by an edge.
#[test]
fn depth_of_an_overlap_is_what_it_was_made() {
    let items = vec![boxed(rectangle(100.0, 200.0), &[0.0]), boxed(rectangle(100.0, 200.0), &[0.0])];
    let problem = fits(vec![sheet(1000.0, 1000.0)], items);
    let depth = |x: f64, y: f64| {
        let poses = [(0.0, 0.0), (x, y)].map(|(x, y)| Pose { sheet: 0, turn: 0, degrees: 0.0, x, y });
        faults(&problem, &poses)
    };
    for overlap in [0.02, 0.5, 3.0] {
        for (x, y) in [(100.0 - overlap, 0.0), (100.0 - overlap, 37.0), (13.0, 200.0 - overlap)] {
            match depth(x, y)[..] {
                [LayFault::Overlap { first: 0, second: 1, depth }] => {
                    assert!((depth - overlap).abs() < 0.03 * overlap + 0.001, "{depth} for {overlap}");
                }
                ref other => panic!("{other:?}"),
            }
        }
    }
    assert_eq!(depth(100.0, 0.0), [], "touching is allowed");
    assert_eq!(depth(99.995, 0.0), [], "so is half a hundredth");
    assert!(matches!(depth(0.0, 0.0)[..], [LayFault::Overlap { depth, .. }] if depth > 49.0), "all of it");
    assert!(matches!(depth(-0.5, 400.0)[..], [LayFault::Outside { item: 1, .. }]));
}

#[test]
fn pieces_of_full_width_fit() {
    let items: Vec<Item> =
        (0..4).map(|i| boxed(rectangle(370.0, 200.0 + 10.0 * f64::from(i)), &[0.0])).collect();
    let layout = lay(&strip(370.0, items), 200);
    assert!((layout.used[0] - 860.0).abs() < 1.0, "four pieces end at {}", layout.used[0]);
    let exact: Vec<Item> = (0..4).map(|_| boxed(rectangle(370.0, 100.0), &[0.0])).collect();
    lay(&fits(vec![sheet(370.0, 400.0)], exact), 2000);
}

#[test]
fn flaws_are_kept_off() {
    let flaws = [Rect::new(100.0, 150.0, 180.0, 260.0), Rect::new(300.0, 0.0, 340.0, 40.0)];
    let polygon = |r: &Rect| {
        vec![Point::new(r.x0, r.y0), Point::new(r.x1, r.y0), Point::new(r.x1, r.y1), Point::new(r.x0, r.y1)]
    };
    let mut problem = strip(400.0, mixed(6));
    problem.sheets[0].flaws = flaws.iter().map(polygon).collect();
    let layout = lay(&problem, 60);
    for (item, pose) in problem.items.iter().zip(&layout.poses) {
        for flaw in &problem.sheets[0].flaws {
            let common = common_area(&placed(&item.outline, *pose), flaw);
            assert!(common < 1.0, "{common} mm² of a flaw in a piece");
        }
    }
    let across = vec![boxed(rectangle(400.0, 120.0), &[0.0]), boxed(rectangle(400.0, 300.0), &[0.0])];
    let mut problem = strip(400.0, across);
    problem.sheets[0].flaws = vec![polygon(&Rect::new(0.0, 200.0, 10.0, 210.0))];
    let layout = lay(&problem, 100);
    assert!((layout.used[0] - 510.0).abs() < 1.0, "the long piece lies beyond the flaw: {}", layout.used[0]);
}

/// Cloth that narrows: the border is no rectangle, and full-width pieces of both widths fit exactly.
#[test]
fn cloth_that_narrows_takes_pieces_of_both_widths() {
    let outline = [(0.0, 0.0), (372.0, 0.0), (372.0, 500.0), (366.0, 500.0), (366.0, 1000.0), (0.0, 1000.0)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec();
    let items = vec![boxed(rectangle(366.0, 490.0), &[0.0]), boxed(rectangle(372.0, 490.0), &[0.0])];
    let layout = lay(&fits(vec![LaySheet { outline, flaws: Vec::new() }], items), 1500);
    assert!(layout.poses[1].y < 20.0, "the wide one lies where the cloth is wide");
}

/// A gore of a skirt taken apart: two rectangles fill the width at its narrow end.
#[test]
fn slanting_borders_are_kept() {
    let outline =
        [(0.0, 0.0), (300.0, 0.0), (400.0, 600.0), (-100.0, 600.0)].map(|(x, y)| Point::new(x, y)).to_vec();
    let items = vec![boxed(rectangle(150.0, 590.0), &[0.0]), boxed(rectangle(149.0, 590.0), &[0.0])];
    let problem = fits(vec![LaySheet { outline: outline.clone(), flaws: Vec::new() }], items);
    let layout = lay(&problem, 2000);
    for (item, pose) in problem.items.iter().zip(&layout.poses) {
        let shape = placed(&item.outline, *pose);
        let outside = area(&shape) - common_area(&shape, &outline);
        assert!(outside < 10.0, "{outside} mm² outside");
    }
}

#[test]
fn held_edges_lie_on_a_selvedge() {
    let width = 500.0;
    let mut items = mixed(6);
    for item in &mut items[..3] {
        let reach = item.outline.iter().map(|point| point.x).fold(0.0, f64::max);
        item.holds = vec![Hold { sheet: 0, turn: 0, across: 0.0 }, Hold { sheet: 0, turn: 1, across: width }];
        assert!(reach < width);
    }
    let problem = strip(width, items);
    let layout = lay(&problem, 60);
    for pose in &layout.poses[..3] {
        let held = if pose.turn == 0 { 0.0 } else { width };
        assert!((pose.x - held).abs() < 1e-6, "{pose:?} is off its selvedge");
    }
}

#[test]
fn stripes_are_met() {
    let repeat = 64.0;
    let phase = |mark: Point, lines: PhaseLines| Phase { sheet: 0, axis: Axis::Along, mark, lines };
    let mut items = mixed(8);
    items[0].phases = vec![phase(Point::new(3.0, 50.0), PhaseLines::Repeating { first: vec![10.0], repeat })];
    items[1].phases = vec![phase(Point::new(0.0, 20.0), PhaseLines::At(vec![120.0, 300.0, 777.0]))];
    for (item, offset) in [(2, 0.0), (3, 16.0), (4, 40.0)] {
        let lines = PhaseLines::Together { group: 7, offset, alike: LinesAlike::Repeat(repeat) };
        items[item].phases = vec![phase(Point::new(20.0, 30.0), lines)];
    }
    let problem = strip(500.0, items);
    let layout = lay(&problem, 80);
    let mark = |item: usize| placed(&[problem.items[item].phases[0].mark], layout.poses[item])[0].y;
    let off = |y: f64| (y / repeat - (y / repeat).round()).abs() * repeat;
    assert!(off(mark(0) - 10.0) < 1e-6);
    assert!([120.0, 300.0, 777.0].iter().any(|line| (line - mark(1)).abs() < 1e-6), "at {}", mark(1));
    assert!(off(mark(3) - mark(2) - 16.0) < 1e-6, "{} and {}", mark(2), mark(3));
    assert!(off(mark(4) - mark(2) - 40.0) < 1e-6, "{} and {}", mark(2), mark(4));
}

/// Marks set one by one: what follows a group lies where the marks around it are those around the others.
#[test]
fn marks_lie_alike_around_what_follows_a_group() {
    let marks = vec![30.0, 75.0, 100.0, 190.0, 235.0, 260.0, 420.0, 500.0, 640.0, 700.0];
    let around = MarksAround {
        marks: marks.iter().map(|at| SheetMark { at: *at, sort: 0 }).collect(),
        reach: (-60.0, 20.0),
    };
    let mut items = mixed(8);
    for (item, offset) in [(2, 0.0), (3, 12.0), (4, -9.0)] {
        let alike = LinesAlike::Marks(around.clone());
        let lines = PhaseLines::Together { group: 1, offset, alike };
        items[item].phases = vec![Phase { sheet: 0, axis: Axis::Along, mark: Point::new(20.0, 30.0), lines }];
    }
    let problem = strip(500.0, items);
    let layout = lay(&problem, 80);
    let seen = |item: usize, offset: f64| {
        let line = placed(&[problem.items[item].phases[0].mark], layout.poses[item])[0].y - offset;
        let seen = marks.iter().map(|mark| mark - line);
        seen.filter(|off| (-60.0..=20.0).contains(off)).collect::<Vec<f64>>()
    };
    let (first, others) = (seen(2, 0.0), [seen(3, 12.0), seen(4, -9.0)]);
    assert!(!first.is_empty(), "marks are there to be met");
    for other in others {
        assert_eq!(other.len(), first.len(), "{first:?} and {other:?}");
        let off = first.iter().zip(&other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(off < 1e-6, "{first:?} and {other:?}");
    }
}

#[test]
fn turns_stay_within_their_tolerance() {
    let mut items = mixed(8);
    for item in &mut items {
        item.turns = vec![Turn { degrees: 0.0, tolerance: 1.0 }, Turn { degrees: 180.0, tolerance: 0.0 }];
    }
    let problem = strip(500.0, items);
    let layout = lay(&problem, 60);
    for pose in &layout.poses {
        let (least, most) = if pose.turn == 0 { (-1.0, 1.0) } else { (180.0, 180.0) };
        assert!((least..=most).contains(&pose.degrees), "{pose:?}");
    }
    assert_eq!(faults(&problem, &layout.poses), []);
}

/// 100.4 mm wide as drawn, 100.0 when turned by 2°: only the turn lets it into cloth of 100 mm.
#[test]
fn a_turn_within_its_tolerance_lets_a_piece_in() {
    let slant = 2.0f64.to_radians().tan() * 11.46;
    let outline = [(0.0, 0.0), (100.0, 0.0), (100.0 + slant, 11.46), (slant, 11.46)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec();
    let turned = |tolerance: f64| {
        let item = free_item(outline.clone(), vec![Turn { degrees: 0.0, tolerance }]);
        found(&fits(vec![sheet(100.2, 100.0)], vec![item]), &iterations(0, 50))
    };
    assert!(
        matches!(turned(0.0), Outcome::Impossible(ref why) if matches!(why[..], [Impossible::TooWide { item: 0, .. }]))
    );
    assert!(!matches!(turned(2.5), Outcome::Impossible(_)), "{:?}", turned(2.5));
}

#[test]
fn several_lengths_take_what_one_cannot() {
    let items: Vec<Item> = (0..6).map(|_| boxed(rectangle(300.0, 190.0), &[0.0])).collect();
    let problem = fits(vec![sheet(320.0, 800.0), sheet(320.0, 400.0)], items.clone());
    let mut both = problem.clone();
    for item in &mut both.items {
        item.sheets = vec![0, 1];
    }
    let layout = lay(&both, 500);
    assert_eq!(layout.poses.iter().filter(|pose| pose.sheet == 1).count(), 2);
    let one = found(&problem, &iterations(0, 50));
    assert!(
        matches!(one, Outcome::Impossible(ref why) if matches!(why[..], [Impossible::Area { .. }])),
        "{one:?}"
    );
}

/// Items that share no cloth are laid each on their own, and both cloths are shortened.
#[test]
fn cloths_without_a_common_item_are_both_shortened() {
    let mut items = mixed(8);
    for item in &mut items[4..] {
        item.sheets = vec![1];
    }
    let problem = Problem {
        sheets: vec![sheet(400.0, 4000.0), sheet(300.0, 4000.0)],
        items,
        goal: Goal::Shortest,
        likeness: None,
    };
    let layout = lay(&problem, 120);
    assert!(layout.used.iter().all(|used| *used > 100.0 && *used < 1000.0), "{:?}", layout.used);
}

/// What is told of a search under way never gets worse, cloth by cloth.
#[test]
fn progress_never_tells_a_worse_best() {
    let mut items = mixed(16);
    items.iter_mut().take(7).for_each(|item| item.sheets = vec![1]);
    let problem = Problem {
        sheets: vec![sheet(500.0, 5000.0), sheet(400.0, 5000.0)],
        items,
        goal: Goal::Shortest,
        likeness: None,
    };
    let mut told: Vec<(usize, f64)> = Vec::new();
    let budget = Budget { searchers: 2, ..iterations(3, 200) };
    let outcome = search(&problem, &budget, &mut |progress| {
        assert_eq!(progress.parts, 2);
        told.extend(progress.length.map(|length| (progress.part, length)));
        Continue::Search
    });
    assert!(matches!(outcome, Ok(Outcome::Fits(_))));
    assert!(told.iter().any(|(part, _)| *part == 1) && told.iter().any(|(part, _)| *part == 2));
    for pair in told.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        assert!(pair[1].1 <= pair[0].1 + 1e-9, "{pair:?}");
    }
}

#[test]
fn impossible_lays_are_told_with_the_reason() {
    let why = |problem: &Problem| match found(problem, &iterations(0, 20)) {
        Outcome::Impossible(why) => why,
        other => panic!("{other:?}"),
    };
    let wide =
        fits(vec![sheet(300.0, 900.0), sheet(250.0, 900.0)], vec![boxed(rectangle(301.0, 100.0), &[0.0])]);
    assert_eq!(why(&wide), [Impossible::TooWide { item: 0, width: 301.0, widest: 300.0 }]);
    let turned = fits(vec![sheet(300.0, 900.0)], vec![boxed(rectangle(301.0, 100.0), &[0.0, 90.0])]);
    assert!(matches!(found(&turned, &iterations(0, 20)), Outcome::Fits(_)), "crosswise it fits");
    let long = fits(vec![sheet(300.0, 900.0)], vec![boxed(rectangle(100.0, 901.0), &[0.0, 180.0])]);
    assert_eq!(why(&long), [Impossible::TooLong { item: 0, length: 901.0, longest: 900.0 }]);
    let many =
        fits(vec![sheet(300.0, 900.0)], (0..10).map(|_| boxed(rectangle(100.0, 280.0), &[0.0])).collect());
    assert!(matches!(why(&many)[..], [Impossible::Area { items, .. }] if (items - 280_000.0).abs() < 1e-6));
    let mut held = fits(vec![sheet(300.0, 900.0)], vec![boxed(rectangle(100.0, 100.0), &[0.0])]);
    held.items[0].holds = vec![Hold { sheet: 0, turn: 0, across: 250.0 }];
    assert_eq!(why(&held), [Impossible::NoPlace { item: 0 }]);
    let edge = |_| {
        let mut item = boxed(rectangle(20.0, 700.0), &[0.0]);
        item.holds = vec![Hold { sheet: 0, turn: 0, across: 0.0 }, Hold { sheet: 0, turn: 0, across: 280.0 }];
        item
    };
    let selvedge = fits(vec![sheet(300.0, 900.0)], (0..3).map(edge).collect());
    assert_eq!(why(&selvedge), [Impossible::Selvedges { edges: 2100.0, selvedges: 1800.0 }]);
}

/// Two squares of 60 on cloth of 100 by 100 have room by area only: not found, and what is wrong is told.
#[test]
fn what_is_not_found_is_told_with_its_faults() {
    let items = (0..2).map(|_| boxed(rectangle(60.0, 60.0), &[0.0])).collect();
    let outcome = found(&fits(vec![sheet(100.0, 100.0)], items), &iterations(0, 30));
    let Outcome::NotFound { closest, faults } = outcome else { panic!("{outcome:?}") };
    assert!(closest.poses.len() == 2 && closest.iterations <= 30);
    assert!(
        matches!(faults[..], [LayFault::Overlap { first: 0, second: 1, depth }] if depth > 19.0),
        "{faults:?}"
    );
}

#[test]
fn the_listener_can_stop_the_search() {
    let problem = strip(500.0, mixed(12));
    let mut heard = 0;
    let outcome = search(&problem, &iterations(0, 100_000), &mut |progress| {
        heard += 1;
        assert!(progress.length.is_some(), "the first lay of a strip overlaps nothing");
        if heard >= 20 { Continue::Stop } else { Continue::Search }
    });
    assert!(matches!(outcome, Ok(Outcome::Fits(_))));
    assert_eq!(heard, 20);
}

#[test]
fn nonsense_is_refused() {
    let refused =
        |problem: &Problem| search(problem, &iterations(0, 1), &mut |_| Continue::Search).unwrap_err();
    let good = fits(vec![sheet(100.0, 100.0)], vec![boxed(rectangle(10.0, 10.0), &[0.0])]);
    let mut flat = good.clone();
    flat.items[0].outline = vec![Point::ZERO, Point::new(10.0, 0.0)];
    assert_eq!(refused(&flat), BadProblem::Item { item: 0 });
    let mut endless = good.clone();
    endless.sheets[0].outline[1].x = f64::NAN;
    assert_eq!(refused(&endless), BadProblem::Sheet { sheet: 0 });
    let mut nowhere = good.clone();
    nowhere.items[0].sheets = vec![1];
    assert_eq!(refused(&nowhere), BadProblem::Reference { item: 0 });
    let mut dense = good.clone();
    dense.items[0].phases = vec![Phase {
        sheet: 0,
        axis: Axis::Along,
        mark: Point::ZERO,
        lines: PhaseLines::Repeating { first: vec![0.0], repeat: 0.0 },
    }];
    assert_eq!(refused(&dense), BadProblem::Number { item: 0 });
}

/// A cloth cut into pieces is laid again on little more of it. A lay put down in one go takes a half more.
#[test]
fn puzzles_are_laid_densely() {
    for seed in 0..3 {
        let problem = puzzle(900.0, 1200.0, 6, seed);
        let density = density(&problem, &lay(&problem, 4000));
        assert!(density > 85.0, "puzzle {seed}: {density} %");
    }
}

/// As many pieces as a set of garments has.
#[test]
fn ninety_nine_pieces_are_laid() {
    let problem = puzzle(1500.0, 9000.0, 99, 3);
    assert_eq!(problem.items.len(), 99);
    let layout = lay(&problem, 200);
    assert_eq!(layout.poses.len(), 99);
    assert!(worst_overlap(&problem, &layout.poses) < 1.0);
    let density = density(&problem, &layout);
    assert!(density > 60.0, "{density} %");
}

fn perimeter(points: &[Point]) -> f64 {
    (0..points.len()).map(|i| points[i].distance(points[(i + 1) % points.len()])).sum()
}

/// The greatest area that two items on one sheet have in common.
fn worst_overlap(problem: &Problem, poses: &[Pose]) -> f64 {
    let shapes: Vec<Vec<Point>> =
        problem.items.iter().zip(poses).map(|(item, pose)| placed(&item.outline, *pose)).collect();
    let mut worst: f64 = 0.0;
    for (i, one) in shapes.iter().enumerate() {
        for (j, other) in shapes.iter().enumerate().skip(i + 1) {
            if poses[i].sheet == poses[j].sheet {
                worst = worst.max(common_area(one, other));
            }
        }
    }
    worst
}

fn common_area(one: &[Point], other: &[Point]) -> f64 {
    let path = |points: &[Point]| -> PathD { points.iter().map(|p| PointD::new(p.x, p.y)).collect() };
    let common = intersect_d(&vec![path(one)], &vec![path(other)], FillRule::NonZero, 4);
    common
        .iter()
        .map(|ring| area(&ring.iter().map(|p| Point::ZERO + Vec2::new(p.x, p.y)).collect::<Vec<_>>()))
        .sum()
}
