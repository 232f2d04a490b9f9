//! Why there can be no lay, told without searching.

use kurbo::Point;

use super::ground::{BedRow, SHEETS_APART};
use super::outcome::Impossible;
use super::polygon::Bounds;
use super::prepared::Prepared;
use super::problem::{Item, Problem};
use super::turning::TurnAboutOrigin;
use super::ways::{ItemPlace, Surroundings};
use crate::curve::{convex_hull, polygon_area};
use crate::tolerance::{LAY_APART, LAY_OVERLAP};

/// The reasons why a problem has no lay, as far as they can be told without searching; empty where there may be one.
pub(super) fn impossible(problem: &Problem, prepared: &Prepared) -> Vec<Impossible> {
    let mut reasons: Vec<Impossible> =
        (0..problem.items.len()).filter_map(|item| item_impossible(problem, prepared, item)).collect();
    reasons.extend(too_much_area(problem, prepared));
    reasons.extend(too_little_selvedge(problem, &prepared.ground));
    reasons
}

fn item_impossible(problem: &Problem, prepared: &Prepared, item: usize) -> Option<Impossible> {
    let rules = &problem.items[item];
    let boxes = least_boxes(rules);
    let beds = || rules.sheets.iter().map(|sheet| prepared.ground.beds[*sheet].bounds);
    let slack = 2.0 * LAY_APART;
    let fits_across = |own: &Bounds, bed: &Bounds| own.width() <= bed.width() + slack;
    if !boxes.iter().any(|own| beds().any(|bed| fits_across(own, &bed))) {
        return Some(Impossible::TooWide {
            item,
            width: boxes.iter().map(|own| own.width()).fold(f64::INFINITY, f64::min),
            widest: beds().map(Bounds::width).fold(0.0, f64::max),
        });
    }
    let fitting =
        || boxes.iter().flat_map(|own| beds().filter(|bed| fits_across(own, bed)).map(move |bed| (own, bed)));
    if !fitting().any(|(own, bed)| own.height() <= bed.height() + slack) {
        return Some(Impossible::TooLong {
            item,
            length: fitting().map(|(own, _)| own.height()).fold(f64::INFINITY, f64::min),
            longest: fitting().map(|(_, bed)| bed.height()).fold(0.0, f64::max),
        });
    }
    (!has_place(prepared, item)).then_some(Impossible::NoPlace { item })
}

/// Whether the rules leave an item any place on an empty sheet. Groups of lines that lie together are chosen freely.
fn has_place(prepared: &Prepared, item: usize) -> bool {
    let ready = &prepared.items[item];
    let ends: Vec<f64> = prepared.ground.beds.iter().map(|bed| bed.bounds.y1).collect();
    (0..ready.ways.len()).any(|place| {
        let way = &ready.ways[place];
        if way.groups().next().is_some() {
            return true;
        }
        let tilts = if way.tolerance > 0.0 { TILTS } else { 0 };
        (-tilts..=tilts).any(|tilt| {
            let degrees = way.degrees + way.tolerance * f64::from(tilt) / f64::from(TILTS);
            let spot = ItemPlace { way: place, degrees, x: 0.0, y: 0.0 };
            let field = Surroundings { ground: &prepared.ground, ends: &ends, together: &[] };
            way.project(spot, &ready.figure.turned(degrees), field).is_some()
        })
    })
}

/// How many tilts to either side are tried within the tolerance of a turn.
const TILTS: i32 = 8;

/// The boxes of an item at each turn that it may have: where there is a tolerance, those of least width and of least
/// height within it.
fn least_boxes(item: &Item) -> Vec<Bounds> {
    let around = convex_hull(&item.outline);
    let at = |degrees: f64| {
        let turning = TurnAboutOrigin::new(degrees);
        Bounds::of(&around.iter().map(|point| turning.turn(*point)).collect::<Vec<_>>())
    };
    item.turns.iter().flat_map(|turn| turns_of_least(&around, turn.degrees, turn.tolerance)).map(at).collect()
}

/// The turns within a tolerance at which the box can be least in width or height: the ends, and those at which an edge
/// of the hull lies along an axis (between two of them either extent is a concave function of the turn).
fn turns_of_least(around: &[Point], degrees: f64, tolerance: f64) -> Vec<f64> {
    let mut turns = vec![degrees];
    if tolerance > 0.0 {
        turns.extend([degrees - tolerance, degrees + tolerance]);
        for i in 0..around.len() {
            let edge = around[(i + 1) % around.len()] - around[i];
            let standing = -edge.atan2().to_degrees();
            let off = (standing - degrees).rem_euclid(90.0);
            let off = if off > 45.0 { off - 90.0 } else { off };
            if off.abs() < tolerance {
                turns.push(degrees + off);
            }
        }
    }
    turns
}

/// Whether the items that may lie only on some sheets have more area than these, for each set of sheets that some item
/// names, and for all.
fn too_much_area(problem: &Problem, prepared: &Prepared) -> Option<Impossible> {
    let mut sets: Vec<Vec<usize>> = problem.items.iter().map(|item| sorted(&item.sheets)).collect();
    sets.push((0..problem.sheets.len()).collect());
    sets.sort();
    sets.dedup();
    sets.into_iter().find_map(|set| {
        let only = problem.items.iter().filter(|item| item.sheets.iter().all(|sheet| set.contains(sheet)));
        let items: f64 = only.map(|item| polygon_area(&item.outline).abs()).sum();
        let sheets: f64 = set.iter().map(|sheet| usable(problem, prepared, *sheet)).sum();
        (items > sheets).then_some(Impossible::Area { items, sheets })
    })
}

/// The area of a sheet, with what items may reach over its border or overlap each other counted in.
fn usable(problem: &Problem, prepared: &Prepared, sheet: usize) -> f64 {
    let border = &problem.sheets[sheet].outline;
    let length = |points: &[Point]| {
        (0..points.len()).map(|i| points[i].distance(points[(i + 1) % points.len()])).sum::<f64>()
    };
    let overlaps: f64 = problem.items.iter().map(|item| length(&item.outline)).sum();
    prepared.ground.beds[sheet].area + (length(border) + overlaps) * LAY_OVERLAP
}

fn sorted(sheets: &[usize]) -> Vec<usize> {
    let mut sheets = sheets.to_vec();
    sheets.sort_unstable();
    sheets.dedup();
    sheets
}

/// Whether the edges that must lie on a selvedge are together longer than the selvedges of all sheets.
fn too_little_selvedge(problem: &Problem, ground: &BedRow) -> Option<Impossible> {
    let edges: f64 = problem.items.iter().map(|item| least_on_selvedge(item, ground)).sum();
    let selvedges: f64 = ground.beds.iter().map(|bed| 2.0 * bed.bounds.height()).sum();
    (edges > selvedges + LAY_OVERLAP).then_some(Impossible::Selvedges { edges, selvedges })
}

/// The least length that an item takes of a selvedge, over its holds; 0 where one of them is none on a selvedge.
fn least_on_selvedge(item: &Item, ground: &BedRow) -> f64 {
    let on_selvedge = |hold: &super::problem::Hold| {
        let turning = TurnAboutOrigin::new(item.turns[hold.turn].degrees);
        let points: Vec<Point> = item.outline.iter().map(|point| turning.turn(*point)).collect();
        let bed = ground.beds[hold.sheet].bounds;
        let beside = hold.sheet as f64 * SHEETS_APART;
        let on = |point: &Point| {
            let x = point.x + hold.across + beside;
            (x - bed.x0).abs() <= LAY_OVERLAP || (x - bed.x1).abs() <= LAY_OVERLAP
        };
        (0..points.len())
            .map(|i| (points[i], points[(i + 1) % points.len()]))
            .filter(|(a, b)| on(a) && on(b) && (b.x - a.x).abs() <= 2.0 * LAY_OVERLAP)
            .map(|(a, b)| (b.y - a.y).abs())
            .sum::<f64>()
    };
    item.holds.iter().map(on_selvedge).reduce(f64::min).unwrap_or(0.0)
}
