//! The exact check of a lay, of the problem's own outlines and apart from everything that the search works with.
//!
//! How deep two polygons overlap is how far a point of the border of one lies within the other, at most. Along an edge
//! that depth changes by no more than one goes, so the deepest place is found by halving the edge where it may lie.

use kurbo::Point;

use super::circles::Circles;
use super::outcome::LayFault;
use super::polygon::{Bounds, Polygon};
use super::problem::{Axis, Hold, Item, LinesAlike, Phase, PhaseLines, Pose, Problem};
use super::turning::TurnAboutOrigin;
use crate::curve::distance_squared;
use crate::tolerance::{LAY_DEPTH_SHARE, LAY_OVERLAP, LAY_SAME_TURN, MARKS_ALIKE, SAME_POINT};

/// What is wrong with a lay: overlaps and borders crossed by more than [`LAY_OVERLAP`], and rules not kept. Deepest
/// first, rules before all.
///
/// Two items are held apart by their `clearance`, kept on the sheet and off flaws by their `outline`. Poses beyond the
/// items, and items beyond the poses, are left out.
pub fn faults(problem: &Problem, poses: &[Pose]) -> Vec<LayFault> {
    let placed: Vec<PlacedItem> =
        problem.items.iter().zip(poses).map(|(item, pose)| PlacedItem::new(item, *pose)).collect();
    let mut faults = rules(problem, poses);
    for (first, one) in placed.iter().enumerate() {
        for (second, other) in placed.iter().enumerate().skip(first + 1) {
            if one.pose.sheet == other.pose.sheet {
                let depth = overlap(&one.clearance, &other.clearance);
                if depth > LAY_OVERLAP {
                    faults.push(LayFault::Overlap { first, second, depth });
                }
            }
        }
        let Some(sheet) = problem.sheets.get(one.pose.sheet) else { continue };
        let depth = outside(&one.outline, &Polygon::new(&sheet.outline));
        if depth > LAY_OVERLAP {
            faults.push(LayFault::Outside { item: first, depth });
        }
        for (flaw, border) in sheet.flaws.iter().enumerate() {
            let depth = overlap(&one.outline, &DeepPolygon::new(Polygon::new(border)));
            if depth > LAY_OVERLAP {
                faults.push(LayFault::Flaw { item: first, flaw, depth });
            }
        }
    }
    // A broken rule is worse than anything that can be measured.
    let depth = |fault: &LayFault| fault.depth().unwrap_or(f64::INFINITY);
    faults.sort_by(|a, b| depth(b).total_cmp(&depth(a)));
    faults
}

/// The points of an outline as they lie.
pub fn placed(outline: &[Point], pose: Pose) -> Vec<Point> {
    let turning = TurnAboutOrigin::new(pose.degrees);
    outline.iter().map(|point| turning.turn(*point) + kurbo::Vec2::new(pose.x, pose.y)).collect()
}

/// An item as it lies.
struct PlacedItem {
    pose: Pose,
    outline: DeepPolygon,
    clearance: DeepPolygon,
}

impl PlacedItem {
    fn new(item: &Item, pose: Pose) -> PlacedItem {
        PlacedItem {
            pose,
            outline: DeepPolygon::new(Polygon::new(&placed(&item.outline, pose))),
            clearance: DeepPolygon::new(Polygon::new(&placed(&item.clearance, pose))),
        }
    }
}

/// A polygon and a point deep within it.
struct DeepPolygon {
    polygon: Polygon,
    deep: Point,
}

impl DeepPolygon {
    fn new(polygon: Polygon) -> DeepPolygon {
        DeepPolygon { deep: Circles::of(&polygon).middle(), polygon }
    }
}

/// How deep two polygons overlap (mm).
fn overlap(one: &DeepPolygon, other: &DeepPolygon) -> f64 {
    if !one.polygon.bounds.overlaps(other.polygon.bounds) {
        return 0.0;
    }
    let mut deepest = Deepest::new(&other.polygon, BorderSide::Within);
    deepest.follow(&one.polygon);
    deepest.try_point(one.deep);
    let mut reverse = Deepest::new(&one.polygon, BorderSide::Within);
    reverse.follow(&other.polygon);
    reverse.try_point(other.deep);
    deepest.depth.max(reverse.depth)
}

/// How far an item reaches over a border (mm).
fn outside(item: &DeepPolygon, border: &Polygon) -> f64 {
    let mut over = Deepest::new(border, BorderSide::Beyond);
    over.follow(&item.polygon);
    let mut pocket = Deepest::new(&item.polygon, BorderSide::Within);
    pocket.follow(border);
    over.depth.max(pocket.depth)
}

/// On which side of a border points count.
#[derive(Clone, Copy, PartialEq, Eq)]
enum BorderSide {
    Within,
    Beyond,
}

/// Looks for the point of other borders that lies deepest on one side of a border.
struct Deepest<'a> {
    border: &'a Polygon,
    side: BorderSide,
    depth: f64,
}

impl<'a> Deepest<'a> {
    fn new(border: &'a Polygon, side: BorderSide) -> Deepest<'a> {
        Deepest { border, side, depth: 0.0 }
    }

    fn try_point(&mut self, point: Point) {
        if self.border.contains(point) == (self.side == BorderSide::Within) {
            self.depth = self.depth.max(self.border.distance(point));
        }
    }

    fn follow(&mut self, other: &Polygon) {
        for (a, b) in other.edges() {
            let own = Bounds::of(&[a, b]);
            let apart = own.x0 > self.border.bounds.x1
                || own.x1 < self.border.bounds.x0
                || own.y0 > self.border.bounds.y1
                || own.y1 < self.border.bounds.y0;
            if apart && self.side == BorderSide::Within {
                continue;
            }
            let mut shares = self.crossings(a, b);
            shares.push(0.0);
            shares.push(1.0);
            shares.sort_by(f64::total_cmp);
            for pair in shares.windows(2) {
                let (from, to) = (a.lerp(b, pair[0]), a.lerp(b, pair[1]));
                if self.border.contains(from.midpoint(to)) == (self.side == BorderSide::Within) {
                    self.deepest_between(from, to);
                }
            }
        }
    }

    /// Where an edge meets the border, as shares of it.
    fn crossings(&self, a: Point, b: Point) -> Vec<f64> {
        let along = b - a;
        let slack = SAME_POINT / along.hypot().max(SAME_POINT);
        self.border
            .edges()
            .filter_map(|(c, d)| {
                let edge = d - c;
                let across = along.cross(edge);
                let share = (c - a).cross(edge) / across;
                let on_edge = (c - a).cross(along) / across;
                let edge_slack = SAME_POINT / edge.hypot().max(SAME_POINT);
                let meets = (-slack..=1.0 + slack).contains(&share)
                    && (-edge_slack..=1.0 + edge_slack).contains(&on_edge);
                meets.then(|| share.clamp(0.0, 1.0))
            })
            .collect()
    }

    fn deepest_between(&mut self, from: Point, to: Point) {
        let mut open = vec![(from, to)];
        while let Some((from, to)) = open.pop() {
            if self.runs_along_one_edge(from, to) {
                continue;
            }
            let middle = from.midpoint(to);
            let depth = self.border.distance(middle);
            self.depth = self.depth.max(depth);
            let most = depth + from.distance(to) / 2.0;
            if most > self.depth.max(LAY_OVERLAP) * (1.0 + LAY_DEPTH_SHARE) {
                open.push((from, middle));
                open.push((middle, to));
            }
        }
    }

    /// Whether a stretch lies within what is allowed of one edge: distance to a segment is convex along a line, so its
    /// ends tell.
    fn runs_along_one_edge(&self, from: Point, to: Point) -> bool {
        let allowed = LAY_OVERLAP * LAY_OVERLAP;
        self.border
            .edges()
            .any(|edge| distance_squared(from, edge) <= allowed && distance_squared(to, edge) <= allowed)
    }
}

/// The items whose sheet, turn, hold or phase is not allowed.
fn rules(problem: &Problem, poses: &[Pose]) -> Vec<LayFault> {
    let mut together: Vec<((usize, Axis), f64)> = Vec::new();
    let mut faults = Vec::new();
    for (item, (rules, pose)) in problem.items.iter().zip(poses).enumerate() {
        let mut phases = rules.phases.iter().filter(|phase| phase.sheet == pose.sheet);
        let on_lines = phases.all(|phase| on_a_line(phase, *pose, &mut together));
        let turned = rules
            .turns
            .get(pose.turn)
            .is_some_and(|turn| (turn.degrees - pose.degrees).abs() <= turn.tolerance + LAY_SAME_TURN);
        if !(on_lines && turned && rules.sheets.contains(&pose.sheet) && is_held(&rules.holds, *pose)) {
            faults.push(LayFault::Rule { item });
        }
    }
    faults
}

fn is_held(holds: &[Hold], pose: Pose) -> bool {
    holds.is_empty()
        || holds.iter().any(|hold| {
            hold.sheet == pose.sheet && hold.turn == pose.turn && (hold.across - pose.x).abs() <= LAY_OVERLAP
        })
}

fn on_a_line(phase: &Phase, pose: Pose, together: &mut Vec<((usize, Axis), f64)>) -> bool {
    let mark = placed(&[phase.mark], pose)[0];
    let mark = if phase.axis == Axis::Across { mark.x } else { mark.y };
    let meets = |line: f64, repeat: f64| {
        (mark - line - ((mark - line) / repeat).round() * repeat).abs() <= LAY_OVERLAP
    };
    match &phase.lines {
        PhaseLines::At(lines) => lines.iter().any(|line| (mark - line).abs() <= LAY_OVERLAP),
        PhaseLines::Repeating { first, repeat } => first.iter().any(|line| meets(*line, *repeat)),
        PhaseLines::Opposite { group, about, repeat } => {
            let name = (*group, phase.axis);
            let known = together.iter().find(|(known, _)| *known == name).map(|(_, line)| *line);
            let line = 2.0 * about - mark;
            if known.is_none() {
                together.push((name, line));
            }
            known.is_none_or(|known| meets(2.0 * about - known, *repeat))
        }
        PhaseLines::Together { group, offset, alike } => {
            let name = (*group, phase.axis);
            let known = together.iter().find(|(known, _)| *known == name).map(|(_, line)| *line);
            match known {
                Some(line) => match alike {
                    LinesAlike::Repeat(repeat) => meets(line + offset, *repeat),
                    // Both are like the line that the search chose, to one side of it and the other.
                    LinesAlike::Marks(around) => around.are_alike(line, mark - offset, 2.0 * MARKS_ALIKE),
                },
                None => {
                    together.push((name, mark - offset));
                    true
                }
            }
        }
    }
}
