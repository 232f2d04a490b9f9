//! Checks of levels: that they lie on their piece, and that darts do not hide their girth.

use crate::curve::{Curve, Outline, Point};
use std::collections::BTreeMap;

use crate::pattern::{Dart, EdgeId, GirthUse, Level, LevelName, Pattern, Piece, Run, Seam, Walk};
use crate::tolerance::{
    LEVEL_ALONG_SEAM, LEVEL_AT_SEAM, LEVEL_RUNS_ON, LEVELS_MEET, LEVELS_PART, SAME_POINT,
};
use crate::truing::girth::{folded_parts, wedge};
use crate::truing::seam_checks::beyond_ease;
use crate::truing::{Finding, FindingKind};
use crate::units::Length;

/// All that is not true of the levels of a piece; what is left out of the girth is not looked at.
pub(super) fn check(piece: &Piece, found: &mut Vec<Finding>) {
    for level in piece.levels.iter().filter(|level| level.girth == GirthUse::Counts) {
        check_ends(piece, level, found);
        check_darts(piece, level, found);
    }
}

/// A level is drawn to the seamline, by hand.
fn check_ends(piece: &Piece, level: &Level, found: &mut Vec<Finding>) {
    let at = format!("{}.{}", piece.name(), level.name);
    push_over(FindingKind::LevelOutside, at, farthest_outside(piece, level), found);
}

fn farthest_outside(piece: &Piece, level: &Level) -> f64 {
    let ends = level.stretches.iter().flat_map(|(from, to)| [*from, *to]);
    let outside = ends.filter(|end| !piece.outline().contains(*end));
    outside.map(|end| piece.nearest_on_outline(end).distance).fold(0.0, f64::max)
}

/// The two ends of a level across its piece, each with the other end of its stretch.
fn outer_ends(level: &Level) -> Option<[(Point, Point); 2]> {
    let (first, last) = level.stretches.first().zip(level.stretches.last())?;
    Some([*first, (last.1, last.0)])
}

/// Where a level that ends off the outline would end at an edge, run on or cut off along its own line; none where it ends at
/// the outline, or would end at another edge.
fn run_on(piece: &Piece, id: EdgeId, end: Point, inner: Point) -> Option<Point> {
    let way = (end - inner).normalize();
    let line = Curve::line(inner, end + way * LEVEL_RUNS_ON).ok()?;
    let nearest = |points: &mut dyn Iterator<Item = Point>| {
        points.min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))
    };
    let mut here = piece.edge(id).curve.crossings(&line).into_iter().map(|crossing| crossing.point);
    let reached = nearest(&mut here).filter(|point| point.distance(end) <= LEVEL_RUNS_ON)?;
    if piece.nearest_on_outline(end).distance <= LEVEL_AT_SEAM {
        return None;
    }
    let mut all = piece.outline().crossings_with(&line).into_iter().map(|crossing| crossing.point);
    nearest(&mut all).filter(|point| point.distance(reached) <= SAME_POINT)
}

/// A level that ends at both sides of a seam goes on across it: over [`LEVELS_MEET`] it is told, over [`LEVELS_PART`] it is
/// not true. The limit is the one that it is over.
pub(super) fn check_meetings(pattern: &Pattern, found: &mut Vec<Finding>) {
    for seam in pattern.seams() {
        for (level, apart) in levels_apart(pattern, seam) {
            let over = |limit: f64| {
                let at = format!("{level} across {}", seam.name());
                Finding::of_length(FindingKind::LevelsApart, at, apart, Length::from_mm(limit))
            };
            if apart > LEVELS_PART {
                found.push(over(LEVELS_PART));
            } else if apart > LEVELS_MEET {
                found.push(over(LEVELS_MEET).into_warning());
            }
        }
    }
}

/// Where a level ends on a run.
#[derive(Clone, Copy, Debug)]
struct LevelEnd {
    /// Walk distance from the start of the run.
    at: f64,
    /// The sine of the angle at which it meets the seamline there.
    squareness: f64,
}

/// How far each level that ends at both sides of a seam is broken there when it is sewn, square to its own line, mm: the
/// worst of its ends. Each end on the side that has fewer meets the nearest of the other. It is measured from that end of
/// the seam from which they lie nearer, so that what one side is too long does not count. A level that runs nearly along
/// the seam is broken by less than its ends lie apart along it.
fn levels_apart<'a>(pattern: &'a Pattern, seam: &Seam) -> Vec<(&'a LevelName, f64)> {
    let (mine, theirs) = (level_ends(pattern, &seam.first), level_ends(pattern, &seam.second));
    let ease = seam.ease.mm();
    let length = |run: &Run| Walk::of(pattern, run).map_or(0.0, |walk| walk.length());
    let longer = length(&seam.first) - length(&seam.second);
    let one_sided = one_sided(pattern, seam, [&mine, &theirs], longer);
    let of_level = mine.into_iter().filter_map(|(level, mine)| {
        let theirs = theirs.get(level)?;
        let broken = |first: &LevelEnd, second: &LevelEnd| {
            let ahead = first.at - second.at;
            let apart = beyond_ease(ahead, ease).min(beyond_ease(longer - ahead, ease));
            apart * first.squareness.max(second.squareness)
        };
        let least = |breaks: &mut dyn Iterator<Item = f64>| breaks.fold(f64::INFINITY, f64::min);
        let worst = match mine.len() <= theirs.len() {
            true => mine
                .iter()
                .map(|end| least(&mut theirs.iter().map(|other| broken(end, other))))
                .fold(0.0, f64::max),
            false => theirs
                .iter()
                .map(|end| least(&mut mine.iter().map(|other| broken(other, end))))
                .fold(0.0, f64::max),
        };
        Some((level, worst))
    });
    of_level.chain(one_sided).collect()
}

/// Levels that end on one side of a seam alone, though the piece across has them too: how far the line there lies from where it
/// would go on, mm.
fn one_sided<'a>(
    pattern: &'a Pattern,
    seam: &Seam,
    [mine, theirs]: [&BTreeMap<&'a LevelName, Vec<LevelEnd>>; 2],
    longer: f64,
) -> Vec<(&'a LevelName, f64)> {
    let mut found = Vec::new();
    for (here, there, across, longer) in
        [(mine, theirs, &seam.second, longer), (theirs, mine, &seam.first, -longer)]
    {
        let alone = here.iter().filter(|(level, _)| !there.contains_key(*level));
        for (level, end) in alone.flat_map(|(level, ends)| ends.iter().map(move |end| (*level, end))) {
            let Ok(walk) = Walk::of(pattern, across) else { continue };
            let off = |at: f64| {
                let place = walk.at(at.max(0.0))?;
                let level = place.piece.levels.iter().find(|other| other.name == *level)?;
                let lines = level.stretches.iter().filter_map(|(from, to)| Curve::line(*from, *to).ok());
                lines.map(|line| line.nearest(place.point).distance).min_by(f64::total_cmp)
            };
            let off = [end.at, end.at - longer].into_iter().filter_map(off).min_by(f64::total_cmp);
            found.extend(off.map(|off| (level, off)));
        }
    }
    found
}

/// Where levels go on across a seam, as walk distances on its first and its second side, mm: each end on the first side with
/// the nearest of the same level on the second.
#[must_use]
pub fn levels_across(pattern: &Pattern, seam: &Seam) -> Vec<(f64, f64)> {
    let (mine, theirs) = (level_ends(pattern, &seam.first), level_ends(pattern, &seam.second));
    let nearest = |at: f64, ends: &[LevelEnd]| {
        let ends = ends.iter().map(|end| end.at);
        ends.min_by(|a, b| (a - at).abs().total_cmp(&(b - at).abs()))
    };
    let ends = mine.iter().flat_map(|(level, ends)| ends.iter().map(move |end| (level, end.at)));
    ends.filter_map(|(level, at)| Some((at, nearest(at, theirs.get(*level)?)?))).collect()
}

/// Where levels end on a run, by level.
fn level_ends<'a>(pattern: &'a Pattern, run: &Run) -> BTreeMap<&'a LevelName, Vec<LevelEnd>> {
    let mut ends: BTreeMap<&LevelName, Vec<LevelEnd>> = BTreeMap::new();
    let Ok(walk) = Walk::of(pattern, run) else { return ends };
    for run_edge in run.edges() {
        let Ok((piece, id)) = pattern.edge(&run_edge.edge) else { continue };
        for level in &piece.levels {
            let drawn = level.stretches.iter().flat_map(|(from, to)| [(*from, *to), (*to, *from)]);
            for (end, inner) in drawn {
                let is_outer = outer_ends(level).is_some_and(|ends| ends.contains(&(end, inner)));
                let reached = if is_outer { run_on(piece, id, end, inner) } else { None };
                let end = reached.unwrap_or(end);
                if let Some((foot, squareness)) = ends_at(piece, id, end, inner)
                    && let Some(at) = walk.distance_of(&run_edge.edge, foot)
                {
                    ends.entry(&level.name).or_default().push(LevelEnd { at, squareness });
                }
            }
        }
    }
    ends
}

/// Where on an edge a stretch of a level ends, and the sine of the angle there; none where it does not end at it, or only
/// runs along it to a corner and ends at the edge beyond.
fn ends_at(piece: &Piece, id: EdgeId, end: Point, inner: Point) -> Option<(f64, f64)> {
    let way = (inner - end).normalize();
    let meets = |id: EdgeId| {
        let curve = &piece.edge(id).curve;
        let foot = curve.nearest(end);
        let squareness = curve.tangent_at(foot.at).cross(way).abs();
        (foot.distance <= LEVEL_AT_SEAM).then_some((foot.at, squareness))
    };
    let (foot, squareness) = meets(id)?;
    let runs_along = squareness < LEVEL_ALONG_SEAM;
    let beside = [piece.previous(id), piece.next(id)];
    let ends_beyond = beside.into_iter().filter_map(meets).any(|(_, other)| other > squareness);
    (!runs_along || !ends_beyond).then_some((foot, squareness))
}

/// A level may cross a dart from leg to leg, and then loses its width there. One that enters at the mouth, or ends
/// inside, would lose the whole length of the dart.
fn check_darts(piece: &Piece, level: &Level, found: &mut Vec<Finding>) {
    for dart in &piece.darts {
        for within in lengths_within(dart, level) {
            let at = format!("{}.{} in {}", piece.name(), level.name, dart.name);
            push_over(FindingKind::LevelInDart, at, within, found);
        }
    }
}

/// By how much the girth along a level of a piece may be other than what is drawn, mm: it ends outside its piece, or a
/// dart hides it.
#[must_use]
pub fn level_doubt(piece: &Piece, level: &Level) -> f64 {
    let hidden = piece.darts.iter().flat_map(|dart| lengths_within(dart, level));
    hidden.fold(farthest_outside(piece, level), f64::max)
}

/// How far each stretch of a level runs in a dart without crossing it, mm.
fn lengths_within(dart: &Dart, level: &Level) -> Vec<f64> {
    let Some(wedge) = wedge(dart) else { return Vec::new() };
    let lines = level.stretches.iter().filter_map(|(from, to)| Curve::line(*from, *to).ok());
    let within = |line: Curve| {
        let folded = folded_parts(&line, std::slice::from_ref(&wedge)).into_iter();
        let along = folded.filter(|(from, to)| !is_across(&wedge, line.point_at(*from), line.point_at(*to)));
        along.map(|(from, to)| to - from).sum()
    };
    lines.map(within).collect()
}

/// Whether a line that lies in a wedge between two points goes from one leg to the other.
fn is_across(wedge: &Outline, from: Point, to: Point) -> bool {
    let [first, second, ..] = wedge.curves() else { return false };
    let on = |leg: &Curve, point: Point| leg.nearest(point).distance <= LEVEL_AT_SEAM;
    (on(first, from) && on(second, to)) || (on(second, from) && on(first, to))
}

fn push_over(kind: FindingKind, at: String, mm: f64, found: &mut Vec<Finding>) {
    if mm > LEVEL_AT_SEAM {
        found.push(Finding::of_length(kind, at, mm, Length::from_mm(LEVEL_AT_SEAM)).into_warning());
    }
}
