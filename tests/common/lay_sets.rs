//! Sets of polygons to be laid: the published ones, and puzzles whose solution is known.
#![allow(dead_code, reason = "each test file uses a part of it")]

use kurbo::{Point, Vec2};
use retrue::cloth::search::{Axis, FoundLay, Goal, Hold, Item, LaySheet, Phase, PhaseLines, Problem, Turn};
use serde::Deserialize;

/// A set as it stands in its file.
#[derive(Deserialize)]
struct SetFile {
    items: Vec<SetItem>,
    strip_height: f64,
}

#[derive(Deserialize)]
struct SetItem {
    demand: usize,
    allowed_orientations: Vec<f64>,
    shape: SetShape,
}

#[derive(Deserialize)]
struct SetShape {
    data: Vec<(f64, f64)>,
}

/// A published set: the strip's height becomes the width of the cloth, all else is turned by a quarter with it.
pub fn published(text: &str) -> Problem {
    let set: SetFile = serde_json::from_str(text).expect("a set");
    let mut items = Vec::new();
    for item in set.items {
        let mut outline: Vec<Point> = item.shape.data.iter().map(|(x, y)| Point::new(*y, -*x)).collect();
        if outline.first() == outline.last() {
            outline.pop();
        }
        let turns = item.allowed_orientations.iter().map(|degrees| exact_turn(*degrees)).collect();
        items.extend(std::iter::repeat_n(free_item(outline, turns), item.demand));
    }
    strip(set.strip_height, items)
}

/// A turn without tolerance.
pub fn exact_turn(degrees: f64) -> Turn {
    Turn { degrees, tolerance: 0.0 }
}

/// An item for the first sheet, held nowhere, that may touch its neighbours.
pub fn free_item(outline: Vec<Point>, turns: Vec<Turn>) -> Item {
    Item {
        clearance: outline.clone(),
        outline,
        turns,
        sheets: vec![0],
        holds: Vec::new(),
        phases: Vec::new(),
    }
}

/// A rectangle from the origin.
pub fn rectangle(width: f64, length: f64) -> Vec<Point> {
    vec![Point::ZERO, Point::new(width, 0.0), Point::new(width, length), Point::new(0.0, length)]
}

/// Items to be laid on as little as can be of a strip, long enough for a lay of a third of its area and the longest.
pub fn strip(width: f64, items: Vec<Item>) -> Problem {
    let covered: f64 = items.iter().map(|item| area(&item.outline)).sum();
    let longest = items.iter().map(|item| around(&item.outline)).fold(0.0, f64::max);
    let length = 3.0 * covered / width + longest;
    Problem {
        sheets: vec![LaySheet { outline: rectangle(width, length), flaws: Vec::new() }],
        items,
        goal: Goal::Shortest,
        likeness: None,
    }
}

fn around(points: &[Point]) -> f64 {
    (0..points.len()).map(|i| points[i].distance(points[(i + 1) % points.len()])).sum()
}

/// The area of a polygon.
pub fn area(points: &[Point]) -> f64 {
    let doubled: f64 =
        (0..points.len()).map(|i| points[i].to_vec2().cross(points[(i + 1) % points.len()].to_vec2())).sum();
    doubled.abs() / 2.0
}

/// Few shapes in many copies on a strip a metre wide: so many shapes with bays, copied in turn.
pub fn copied(shapes: usize, copies: usize, turns: &[f64], seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let shapes: Vec<Vec<Point>> = (0..shapes).map(|_| with_bays(&mut dice)).collect();
    let turns: Vec<Turn> = turns.iter().map(|degrees| exact_turn(*degrees)).collect();
    let items = (0..copies).map(|copy| free_item(shapes[copy % shapes.len()].clone(), turns.clone()));
    strip(1000.0, items.collect())
}

/// A shape whose corners lie at random distances around its middle.
fn with_bays(dice: &mut Dice) -> Vec<Point> {
    let corners = dice.between(6.0, 13.0) as usize;
    let (long, wide) = (dice.between(90.0, 220.0), dice.between(60.0, 150.0));
    let corner = |corner: usize| {
        let angle = corner as f64 * std::f64::consts::TAU / corners as f64;
        let far = dice.between(0.5, 1.0);
        // To whole tenths of a millimetre, as it is written in a file of sets.
        let tenths = |mm: f64| (mm * 10.0).round() / 10.0;
        Point::new(tenths(long * far * angle.cos()), tenths(wide * far * angle.sin()))
    };
    (0..corners).map(corner).collect()
}

/// The same with what cloth has and strips have not: three flaws, two items held at the left edge, and every fourth item of the
/// others on stripes.
pub fn on_cloth(problem: &Problem) -> Problem {
    let mut found = problem.clone();
    let covered: f64 = found.items.iter().map(|item| area(&item.outline)).sum();
    let width = found.sheets[0].outline[1].x;
    for share in [0.2, 0.5, 0.8] {
        let corner = Vec2::new(width * share, covered / width * (1.0 - share));
        let flaw = rectangle(30.0, 20.0).into_iter().map(|point| point + corner).collect();
        found.sheets[0].flaws.push(flaw);
    }
    for (place, item) in found.items.iter_mut().enumerate() {
        let left = item.outline.iter().map(|point| point.x).fold(f64::INFINITY, f64::min);
        if place < 2 {
            item.holds = vec![Hold { sheet: 0, turn: 0, across: -left }];
        } else if place % 4 == 0 {
            let lines = PhaseLines::Repeating { first: vec![0.0], repeat: 64.0 };
            item.phases = vec![Phase { sheet: 0, axis: Axis::Along, mark: item.outline[0], lines }];
        }
    }
    found
}

/// A set as it stands in a file, each item by itself: [`published`] reads it again.
pub fn written(problem: &Problem) -> String {
    let item = |(id, item): (usize, &Item)| {
        let shape: Vec<(f64, f64)> = item.outline.iter().map(|point| (-point.y, point.x)).collect();
        let turns: Vec<f64> = item.turns.iter().map(|turn| turn.degrees).collect();
        serde_json::json!({
            "id": id, "demand": 1, "allowed_orientations": turns,
            "shape": { "type": "simple_polygon", "data": shape }
        })
    };
    let items: Vec<serde_json::Value> = problem.items.iter().enumerate().map(item).collect();
    serde_json::json!({ "items": items, "strip_height": problem.sheets[0].outline[1].x }).to_string()
}

/// The share of the used length of a strip that the items cover, in percent.
pub fn density(problem: &Problem, layout: &FoundLay) -> f64 {
    let covered: f64 = problem.items.iter().map(|item| area(&item.outline)).sum();
    let width = problem.sheets[0].outline[1].x;
    100.0 * covered / (width * layout.used[0])
}

/// A small generator, so that puzzles are the same on every machine (splitmix64).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        low + (high - low) * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// A cloth cut into pieces: laid back, they cover all of it. Every cut divides the largest piece by a bent line across
/// its longer side; half of the pieces are turned by a half turn afterwards.
pub fn puzzle(width: f64, length: f64, pieces: usize, seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let mut parts = vec![rectangle(width, length)];
    while parts.len() < pieces {
        let largest = (0..parts.len())
            .max_by(|a, b| area(&parts[*a]).total_cmp(&area(&parts[*b])))
            .expect("at least the whole");
        if let Some((one, other)) = cut(&parts[largest], &mut dice) {
            parts[largest] = one;
            parts.push(other);
        }
    }
    let items = parts
        .into_iter()
        .enumerate()
        .map(|(i, part)| {
            let part =
                if i % 2 == 1 { part.iter().map(|p| (-p.to_vec2()).to_point()).collect() } else { part };
            free_item(part, vec![exact_turn(0.0), exact_turn(180.0)])
        })
        .collect();
    strip(width, items)
}

/// Cuts a polygon from one of its edges to another by a line with a bend; none where the line leaves the polygon.
fn cut(polygon: &[Point], dice: &mut Dice) -> Option<(Vec<Point>, Vec<Point>)> {
    let count = polygon.len();
    let x = |p: &Point| p.x;
    let y = |p: &Point| p.y;
    let extent = |of: fn(&Point) -> f64| {
        let values = polygon.iter().map(of);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    let across = extent(x) > extent(y);
    let first = dice.between(0.0, count as f64) as usize;
    let second = dice.between(0.0, count as f64) as usize;
    if first == second {
        return None;
    }
    let (first, second) = (first.min(second), first.max(second));
    let on = |edge: usize, share: f64| polygon[edge].lerp(polygon[(edge + 1) % count], share);
    let from = on(first, dice.between(0.3, 0.7));
    let to = on(second, dice.between(0.3, 0.7));
    let along = to - from;
    let is_across = (along.x.abs() < along.y.abs()) == across;
    let side = Vec2::new(-along.y, along.x) * dice.between(-0.25, 0.25);
    let bend = from + along * dice.between(0.3, 0.7) + side;
    let mut one = vec![from];
    one.extend_from_slice(&polygon[first + 1..=second]);
    one.extend([to, bend]);
    let mut other = polygon[..=first].to_vec();
    other.extend([from, bend, to]);
    other.extend_from_slice(&polygon[second + 1..]);
    let sound = is_across && is_simple(&one) && is_simple(&other);
    let whole = area(polygon);
    let fair = area(&one) > 0.25 * whole && area(&other) > 0.25 * whole;
    let exact = (area(&one) + area(&other) - whole).abs() < 1e-6 * whole;
    (sound && fair && exact).then_some((one, other))
}

fn is_simple(points: &[Point]) -> bool {
    let count = points.len();
    let edge = |i: usize| (points[i], points[(i + 1) % count]);
    (0..count).all(|i| {
        (i + 2..count).all(|j| {
            let ((a, b), (c, d)) = (edge(i), edge(j));
            let neighbours = (j + 1) % count == i;
            let crosses = (b - a).cross(c - a) * (b - a).cross(d - a) <= 0.0
                && (d - c).cross(a - c) * (d - c).cross(b - c) <= 0.0;
            neighbours || !crosses
        })
    })
}
