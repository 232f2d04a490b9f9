//! The edge of a moved seam on the piece that takes, and the levels of the strip.
//!
//! The strip's new edge is the new line, carried with the strip. Walking both old seamlines together from the matched
//! end, at each walk distance the strip's old seamline stands off the other piece's by a gap, measured along the strip's
//! level: positive where there is a gap. Carrying the shaping moves the new edge at that level inward by the gap, so
//! that the level keeps its length: old piece + gap + strip − gap.
//!
//! ```text
//!   taking piece  |  gap  |      strip      |
//!   ------- T(s) -+-------+- G(s) ----- C(s)-+      before: width of T + width of the strip
//!                 |<-- strip, moved in -->|         after: the same
//! ```

use crate::advice;
use crate::curve::{Curve, Motion, Outline, Point, Ray, Vec2, fit_through, right_of};
use crate::parts::assemble::Assembled;
use crate::parts::carry::levels_within;
use crate::parts::reshape::{Redrawn, end_point, redraw, reshape_end};
use crate::parts::seam_side::BothSides;
use crate::pattern::{
    Dart, DartKind, DartName, DartShape, DrawnAnew, EdgeEnd, EdgeId, EdgeRef, Field, Finish, Kept, Level,
    Piece, Press, Refusal, RefusalKind,
};
use crate::recut::fields::{Shaping, less_shaping};
use crate::recut::moved_line::{NewLine, outward};
use crate::tolerance::{
    CARRY_STEP, DART_TIP_GAP, EDGE_FIT, LEVEL_AT_SEAM, MOST_MOVED_TRUED, NEGLIGIBLE_GAP, OVERLAP_REFUSED,
    SAME_CUT,
};

/// How far along the hem a difference of length fades out, mm.
const HEM_REACH: f64 = 120.0;

/// Edges cut by the new line keep their length, so its corners stay where they are. Where the two old seamlines differ in
/// length, or a slanting hem ends the new edge at a level with shaping, a carried edge would end beside its corner by so
/// much; it is led to the corner over this many times as far, a bend of less than 3°. A hem that is redrawn follows the
/// edge instead: see [`HemCorner`].
const END_CLEAR: f64 = 20.0;

/// What becomes of the corner at which a new edge meets a hem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HemCorner {
    /// It stays, as the hem keeps its length: the edge is led to it.
    Stays,
    /// It goes where the shaping ends, and the hem is redrawn to it: girth is kept down to the hem.
    Follows,
}

/// A moved seam's shaping on its way from the old edge to the new.
pub(super) struct Carrying<'a> {
    /// The base takes, the other gives.
    pub sides: &'a BothSides,
    pub line: &'a NewLine,
    /// Lays the strip on the taking piece.
    pub motion: Motion,
    pub shaping: Shaping,
    pub hem_corner: HemCorner,
    /// The direction of the strip's levels once it is laid on: from the old seam to the new edge.
    level: Vec2,
    /// The walk along the old seam, from its start.
    stations: Vec<Station>,
}

/// The new edge on the piece that takes.
#[derive(Clone, Debug)]
pub(super) struct NewEdge {
    pub curve: Curve,
    /// The same with its end at a hem where the shaping ends, where the hem is redrawn to it.
    pub to_redrawn_hem: Option<Curve>,
    /// A dart that keeps the shaping at the old seam.
    pub darts: Vec<Dart>,
}

impl NewEdge {
    fn plain(curve: Curve) -> NewEdge {
        NewEdge { curve, to_redrawn_hem: None, darts: Vec::new() }
    }
}

/// A station of the walk along the old seam.
struct Station {
    /// Walk distance from the start of the seam.
    at: f64,
    /// From the other piece's seamline to where the strip's lies once it is laid on.
    away: Vec2,
    /// How far it stands off, along the level: positive where there is a gap.
    gap: f64,
    /// How far along the seam it lies, square to the levels.
    height: f64,
    /// The least and the greatest height of the walk up to it.
    so_far: (f64, f64),
}

/// A place of the walk along the new line.
struct Walked {
    at: f64,
    point: Point,
}

impl<'a> Carrying<'a> {
    /// # Errors
    ///
    /// As [`outward`].
    pub(super) fn over(
        sides: &'a BothSides,
        line: &'a NewLine,
        motion: Motion,
        shaping: Shaping,
        hem_corner: HemCorner,
    ) -> Result<Carrying<'a>, Refusal> {
        let level = motion.apply_vec(-outward(&sides.other)?);
        let carrying = Carrying { sides, line, motion, shaping, hem_corner, level, stations: Vec::new() };
        Ok(Carrying { stations: carrying.walked(), ..carrying })
    }

    fn walked(&self) -> Vec<Station> {
        let (base, other) = (&self.sides.base.curve, self.sides.other.curve.moved(&self.motion));
        let count = (base.length().max(other.length()) / CARRY_STEP).ceil().max(2.0) as usize;
        let shorter = base.length().min(other.length());
        let at_end = self.matched_at_end();
        let mut so_far = (f64::INFINITY, f64::NEG_INFINITY);
        (0..=count)
            .map(|i| {
                let walked = shorter * i as f64 / count as f64;
                let back = shorter - walked;
                let on = |curve: &Curve| if at_end { curve.length() - back } else { walked };
                let (taking, giving) = (base.point_at(on(base)), other.point_at(on(&other)));
                let away = giving - taking;
                let height = self.height(giving);
                so_far = (so_far.0.min(height), so_far.1.max(height));
                Station { at: on(&other), away, gap: away.dot(self.level), height, so_far }
            })
            .collect()
    }

    /// How far along the seam a point lies, square to the levels.
    fn height(&self, point: Point) -> f64 {
        point.to_vec2().dot(right_of(self.level))
    }

    fn matched_at_end(&self) -> bool {
        let (base, other) = (&self.sides.base.curve, self.sides.other.curve.moved(&self.motion));
        other.end().distance(base.end()) < other.start().distance(base.start())
    }

    /// Least and greatest width of the strip along its levels; negative where the other piece gives.
    pub(super) fn widths(&self) -> (f64, f64) {
        let Ok(out) = outward(&self.sides.other) else { return (0.0, 0.0) };
        let seam = &self.sides.other.curve;
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for point in seam.points_evenly((seam.length() / CARRY_STEP).ceil().max(1.0) as usize) {
            if let Some(width) = width_at_level(&self.line.curve, Ray { from: point, way: -out }) {
                least = least.min(width);
                most = most.max(width);
            }
        }
        if least > most { (0.0, 0.0) } else { (least, most) }
    }

    /// The new edge on the piece that takes, in the direction of its seam's walk.
    pub(super) fn new_edge(&self) -> Result<NewEdge, Refusal> {
        let placed = self.line.curve.moved(&self.motion);
        match self.shaping {
            Shaping::Drop => Ok(NewEdge::plain(placed)),
            Shaping::Dart => Ok(NewEdge { darts: self.dart()?, ..NewEdge::plain(placed) }),
            Shaping::Carry => self.carrying_edge(&placed),
        }
    }

    /// The way from the taking piece's seamline to the strip's at the level of a point of the strip, once it is laid on.
    fn gap_at_level(&self, point: Point) -> Vec2 {
        let (stations, height) = (&self.stations, self.height(point));
        let (Some(first), Some(last)) = (stations.first(), stations.last()) else { return Vec2::ZERO };
        let reached = match first.height > height {
            true => stations.partition_point(|station| station.so_far.0 > height),
            false => stations.partition_point(|station| station.so_far.1 < height),
        };
        match (reached.checked_sub(1).map(|before| &stations[before]), stations.get(reached)) {
            (Some(before), Some(station)) => {
                let share = (height - before.height) / (station.height - before.height);
                before.away + (station.away - before.away) * share
            }
            (None, _) => first.away,
            (_, None) if (first.height - height).abs() < (last.height - height).abs() => first.away,
            (_, None) => last.away,
        }
    }

    fn carrying_edge(&self, placed: &Curve) -> Result<NewEdge, Refusal> {
        if self.stations.iter().all(|station| station.gap.abs() <= SAME_CUT) {
            return Ok(NewEdge::plain(placed.clone()));
        }
        let count = (placed.length() / CARRY_STEP).ceil().max(2.0) as usize;
        let at = |i: usize| placed.length() * i as f64 / count as f64;
        let points = placed.points_evenly(count).into_iter().enumerate();
        let walk: Vec<Walked> = points.map(|(i, point)| Walked { at: at(i), point }).collect();
        let curve = self.carried(placed, &walk, HemCorner::Stays)?;
        let follows = self.hem_corner == HemCorner::Follows && self.hem_end().is_some();
        let to_redrawn_hem = follows.then(|| self.carried(placed, &walk, HemCorner::Follows)).transpose()?;
        Ok(NewEdge { to_redrawn_hem, ..NewEdge::plain(curve) })
    }

    /// The end of the new edge, which runs clockwise round the taking piece, at which it meets a hem.
    fn hem_end(&self) -> Option<EdgeEnd> {
        let base = &self.sides.base;
        hem_beside(&base.piece, (base.low().edge, base.high().edge)).map(|(end, _)| end)
    }

    /// The new line moved in by the gap at every level, and led to its corners where they stay.
    fn carried(&self, placed: &Curve, walk: &[Walked], hem_corner: HemCorner) -> Result<Curve, Refusal> {
        let carried = |point: Point| point - self.gap_at_level(point);
        let (mut start, mut end) = (placed.start(), placed.end());
        if hem_corner == HemCorner::Follows {
            match self.hem_end() {
                Some(EdgeEnd::First) => start = carried(start),
                Some(EdgeEnd::Last) => end = carried(end),
                None => {}
            }
        }
        let clear = |corner: Point, end: Point| carried(corner).distance(end) * END_CLEAR;
        let first = clear(placed.start(), start);
        let last = placed.length() - clear(placed.end(), end);
        let inside = |at: &f64| *at > SAME_CUT && placed.length() - at > SAME_CUT;
        let inner = |at: f64| (first..=last).contains(&at) && at > 0.0;
        let mut stretches: Vec<Vec<Point>> = vec![vec![start]];
        for pair in walk.windows(2) {
            let [from, to] = [&pair[0], &pair[1]];
            let corner = self.corner(placed, from, to);
            let corner = corner.filter(|at| inside(at) && at - from.at > SAME_CUT && inner(*at));
            let Some(stretch) = stretches.last_mut() else { break };
            if inner(from.at) {
                stretch.push(carried(from.point));
            }
            if let Some(corner) = corner {
                let point = carried(placed.point_at(corner));
                stretch.push(point);
                stretches.push(vec![point]);
            }
        }
        if let Some(stretch) = stretches.last_mut() {
            stretch.push(end);
        }
        let mut curve: Option<Curve> = None;
        for stretch in &stretches {
            let fitted = fit_through(stretch, None, None, EDGE_FIT)?;
            curve = Some(match curve {
                None => fitted,
                Some(so_far) => so_far.joined(&fitted)?,
            });
        }
        Ok(curve.unwrap_or_else(|| placed.clone()).with_ends(start, end)?)
    }

    /// Where, between two walk distances, the new line passes the level of an end of the old seam: there a carried edge may
    /// have a corner.
    fn corner(&self, placed: &Curve, from: &Walked, to: &Walked) -> Option<f64> {
        const HALVINGS: usize = 40;
        [self.stations.first(), self.stations.last()].into_iter().flatten().find_map(|station| {
            let before = |point: Point| self.height(point) < station.height;
            if before(from.point) == before(to.point) {
                return None;
            }
            let (mut low, mut high) = (from.at, to.at);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if before(placed.point_at(middle)) == before(from.point) {
                    low = middle
                } else {
                    high = middle
                }
            }
            Some(low)
        })
    }

    /// Refuses a line that runs outside the old seam: the dart would lie beyond the new edge.
    fn refuse_dart_beyond_edge(&self) -> Result<(), Refusal> {
        let (least, _) = self.widths();
        if least >= -OVERLAP_REFUSED {
            return Ok(());
        }
        Err(Refusal::new(
            RefusalKind::Overlap,
            self.sides.other.edge_ref(),
            format!(
                "the new line runs up to {:.1} mm outside the old seam: a dart there would lie beyond the edge",
                -least
            ),
            advice!("move the seam farther, or carry the shaping with ", Field::Shaping.set("carry")),
        ))
    }

    /// The gap at the old seam as a double dart.
    fn dart(&self) -> Result<Vec<Dart>, Refusal> {
        let stations = &self.stations;
        let (base, other) = (&self.sides.base.curve, self.sides.other.curve.moved(&self.motion));
        if let Some(worst) = stations.iter().min_by(|a, b| a.gap.total_cmp(&b.gap))
            && worst.gap < -OVERLAP_REFUSED
        {
            return Err(Refusal::new(
                RefusalKind::Overlap,
                self.sides.base.edge_ref(),
                format!(
                    "the strip would lie over the piece by {:.1} mm, {:.0} mm along the seam",
                    -worst.gap, worst.at
                ),
                advice!(
                    "an overlap cannot be sewn as a dart: carry the shaping with ",
                    Field::Shaping.set("carry")
                ),
            ));
        }
        if stations.iter().all(|station| station.gap <= NEGLIGIBLE_GAP) {
            return Ok(Vec::new());
        }
        let open: Vec<&Station> = stations.iter().filter(|station| station.gap > DART_TIP_GAP).collect();
        let (Some(first), Some(last)) = (open.first(), open.last()) else { return Ok(Vec::new()) };
        self.refuse_dart_beyond_edge()?;
        let ahead = if self.matched_at_end() { base.length() - other.length() } else { 0.0 };
        let inner = base.stretch(first.at + ahead, last.at + ahead)?;
        let outer = other.stretch(first.at, last.at)?;
        let (start, end) = (inner.start().midpoint(outer.start()), inner.end().midpoint(outer.end()));
        let sides = (outer.with_ends(start, end)?, inner.with_ends(start, end)?);
        Ok(vec![Dart {
            name: DartName::plain("side-dart"),
            kind: DartKind::Dart,
            shape: DartShape::Double { sides },
            press: Press::Usual,
            kept: Kept::default(),
        }])
    }

    /// The levels of the strip, where they lie on the giving piece before it is laid on. One that runs from the old seam to
    /// the new line, in one stretch or in several, is shifted by the gap there where the shaping is carried.
    pub(super) fn levels_of_strip(&self, strip: &Outline) -> Result<Vec<Level>, Refusal> {
        let back = self.motion.inverse();
        let mut levels = levels_within(&self.sides.other.piece, strip);
        if self.shaping == Shaping::Carry {
            for level in &mut levels {
                let Some(seam_end) = self.end_at_seam(level) else { continue };
                let by = back.apply_vec(-self.gap_at_level(self.motion.apply(seam_end)));
                for (from, to) in &mut level.stretches {
                    (*from, *to) = (*from + by, *to + by);
                }
            }
        }
        Ok(levels)
    }

    /// The end at the old seam of a level that ends at the new line too.
    fn end_at_seam(&self, level: &Level) -> Option<Point> {
        let ends_at = |curve: &Curve, point: Point| curve.nearest(point).distance <= LEVEL_AT_SEAM;
        let ends: Vec<Point> = level.stretches.iter().flat_map(|(from, to)| [*from, *to]).collect();
        let at_seam = |i: &usize| ends_at(&self.sides.other.curve, ends[*i]);
        let reaches_line =
            |i: &usize| ends.iter().enumerate().any(|(j, end)| j != *i && ends_at(&self.line.curve, *end));
        (0..ends.len()).find(|i| at_seam(i) && reaches_line(i)).map(|i| ends[i])
    }
}

/// How far ahead along a level a line is met, mm, where it is nearest; negative behind.
fn width_at_level(line: &Curve, level: Ray) -> Option<f64> {
    let met = line.segments().iter().flat_map(|segment| level.meets(segment));
    met.min_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// Trues two new edges at the hem: the one on the taking piece is drawn to where its shaping ends, the shorter is run on by
/// what it lacks, and the hems are redrawn to their ends.
///
/// # Errors
///
/// Refuses edges that differ by more than [`MOST_MOVED_TRUED`], an edge that is shorter and meets no hem, and a hem too
/// short to be redrawn.
pub(super) fn true_at_hem(
    made: Vec<Assembled>,
    (taking, giving): &(EdgeRef, EdgeRef),
    edge: &NewEdge,
    line: &Curve,
) -> Result<Vec<Assembled>, Refusal> {
    let redrawn = edge.to_redrawn_hem.as_ref();
    let longer = redrawn.unwrap_or(&edge.curve).length() - line.length();
    if longer.abs() > MOST_MOVED_TRUED {
        let (long, short) = if longer > 0.0 { (taking, giving) } else { (giving, taking) };
        return Err(Refusal::new(
            RefusalKind::LengthsDiffer,
            long,
            format!(
                "the new edge would be {:.1} mm longer than {short}, and the levels would part by as much; up to \
                 {MOST_MOVED_TRUED} mm can be trued at the hem",
                longer.abs()
            ),
            less_shaping(),
        ));
    }
    made.into_iter()
        .map(|made| match *made.piece.name() == giving.piece {
            true => drawn_to_hem(made, giving, None, longer),
            false => drawn_to_hem(made, taking, redrawn, -longer),
        })
        .collect()
}

/// A piece whose new edge is drawn anew where that is given, and run on at the hem by what it lacks; under zero it lacks
/// nothing.
fn drawn_to_hem(
    made: Assembled,
    edge: &EdgeRef,
    redrawn: Option<&Curve>,
    lacks: f64,
) -> Result<Assembled, Refusal> {
    if redrawn.is_none() && lacks <= SAME_CUT {
        return Ok(made);
    }
    let piece = &made.piece;
    let id = piece.edge_named(&edge.edge)?;
    let Some((end, hem)) = hem_beside(piece, (id, id)) else {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            edge,
            "the new edge meets no hem at which it could be trued",
            advice!("keep the shaping at the old seam with ", Field::Shaping.set("dart")),
        ));
    };
    let curve = redrawn.unwrap_or(&piece.edge(id).curve);
    let lacks = if lacks > SAME_CUT { lacks } else { 0.0 };
    let (drawn, hem_end) = match end {
        EdgeEnd::Last => (curve.run_on(0.0, lacks), EdgeEnd::First),
        EdgeEnd::First => (curve.run_on(lacks, 0.0), EdgeEnd::Last),
    };
    let reach = HEM_REACH.min(piece.edge(hem).curve.length() / 2.0);
    let hem_curve = reshape_end(&piece.edge(hem).curve, hem_end, end_point(&drawn, end), reach)?;
    let changes = [
        Redrawn { edge: id, curve: drawn, changed_at: end },
        Redrawn { edge: hem, curve: hem_curve, changed_at: hem_end },
    ];
    let edges = [id, hem].map(|id| piece.edge_ref(id));
    let (piece, _) = redraw(piece, &changes)?;
    let mut made = Assembled { piece, ..made };
    made.drawn_anew.add(DrawnAnew { before: edges.to_vec(), after: edges.to_vec() });
    Ok(made)
}

/// The end at which the edges from one to another, clockwise, meet a hem, and that hem.
fn hem_beside(piece: &Piece, (first, last): (EdgeId, EdgeId)) -> Option<(EdgeEnd, EdgeId)> {
    let beside = [(EdgeEnd::Last, piece.next(last)), (EdgeEnd::First, piece.previous(first))];
    beside.into_iter().find(|(_, id)| piece.edge(*id).finish == Finish::Hem)
}
