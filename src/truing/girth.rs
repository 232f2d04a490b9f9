//! Girth: the finished width of the garment along a level, net of darts.

use rustc_hash::FxHashMap;

use crate::curve::{Curve, Outline, Point};
use crate::pattern::{
    Dart, DartShape, EdgeId, EdgeRef, GirthUse, Level, LevelName, Pattern, Piece, PieceName,
};
use crate::tolerance::{MOUTH_RUN_ON, WELD};
use crate::units::{Length, in_mm};
use serde::Serialize;

/// The finished width of the garment along a level.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Girth {
    /// The level.
    pub level: LevelName,
    /// Around the whole garment: the net widths of all pieces that carry the level, all copies counted, twice where
    /// they are half.
    #[serde(serialize_with = "in_mm")]
    pub around: Length,
    /// What each piece gives to it.
    pub parts: Vec<GirthPart>,
    /// How many times the garment goes around something there: twice at a level of sleeves or trouser legs.
    #[serde(skip)]
    pub times: u32,
}

/// What a piece gives to a girth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GirthPart {
    /// The piece.
    pub piece: PieceName,
    /// How many times its drawn width counts: its copies, twice where it is half.
    pub times: u32,
    /// Its net width as drawn.
    #[serde(serialize_with = "in_mm")]
    pub width: Length,
}

impl Girth {
    /// What is measured around the finished garment once: of one sleeve, of one leg.
    #[must_use]
    pub fn once(&self) -> Length {
        Length::from_mm(self.around.mm() / f64::from(self.times))
    }
}

/// The girths of a pattern, in the order in which their levels are first met on the sheet.
///
/// A level counts between its drawn ends, less what lies inside its piece's darts; a level that is left out of the
/// girth does not count.
#[must_use]
pub fn girths(pattern: &Pattern) -> Vec<Girth> {
    let mut girths: Vec<Girth> = Vec::new();
    let mut places: FxHashMap<&LevelName, usize> = FxHashMap::default();
    let to_own_mirror = pattern.seams().iter().filter(|seam| seam.is_to_own_mirror());
    let to_own_mirror: Vec<&EdgeRef> =
        to_own_mirror.flat_map(|seam| seam.first.edges()).map(|run| &run.edge).collect();
    for piece in pattern.pieces() {
        let mut wedges = None;
        let counted = piece.levels.iter().filter(|level| level.girth == GirthUse::Counts);
        for level in counted {
            let place = *places.entry(&level.name).or_insert_with(|| {
                girths.push(Girth {
                    level: level.name.clone(),
                    around: Length::ZERO,
                    parts: Vec::new(),
                    times: 0,
                });
                girths.len() - 1
            });
            let width = net_width(level, wedges.get_or_insert_with(|| wedges_of(piece)));
            let girth = &mut girths[place];
            let (times, width) = (piece.times(), Length::from_mm(width));
            girth.around = Length::from_mm(girth.around.mm() + width.mm() * f64::from(times));
            girth.parts.push(GirthPart { piece: piece.name().clone(), times, width });
            let times =
                if is_over_the_middle(piece, level, &to_own_mirror) { 1 } else { piece.cut.copies.max(1) };
            girth.times = if girth.times == 0 { times } else { girth.times.min(times) };
        }
    }
    girths
}

/// Whether the copies of a piece make one way around at a level: there is one, or they are sewn to each other where the
/// level ends.
fn is_over_the_middle(piece: &Piece, level: &Level, to_own_mirror: &[&EdgeRef]) -> bool {
    if piece.cut.copies == 1 {
        return true;
    }
    let of_piece = to_own_mirror.iter().filter(|edge| edge.piece == *piece.name());
    let to_itself: Vec<EdgeId> = of_piece.filter_map(|edge| piece.find_edge(&edge.edge)).collect();
    let meets_itself = |end: Point| {
        let off = |id: &EdgeId| piece.edge(*id).curve.nearest(end).distance;
        let edge = piece.edge_ids().min_by(|a, b| off(a).total_cmp(&off(b)));
        edge.is_some_and(|edge| to_itself.contains(&edge))
    };
    !to_itself.is_empty() && level.stretches.iter().flat_map(|(from, to)| [*from, *to]).any(meets_itself)
}

fn wedges_of(piece: &Piece) -> Vec<Outline> {
    piece.darts.iter().filter_map(wedge).collect()
}

/// The length of a level on its piece, less what lies inside the wedges of its darts, mm.
fn net_width(level: &Level, wedges: &[Outline]) -> f64 {
    level.stretches.iter().map(|stretch| net_length(*stretch, wedges)).sum()
}

/// The length of a straight stretch outside all wedges, mm.
///
/// The stretch is cut where it crosses a wedge's boundary; each part lies wholly inside or outside.
fn net_length((from, to): (Point, Point), wedges: &[Outline]) -> f64 {
    let Ok(line) = Curve::line(from, to) else { return from.distance(to) };
    let folded: f64 = folded_parts(&line, wedges).iter().map(|(from, to)| to - from).sum();
    line.length() - folded
}

/// The parts of a straight line that lie in any of the wedges: distances along it.
pub(super) fn folded_parts(line: &Curve, wedges: &[Outline]) -> Vec<(f64, f64)> {
    let mut cuts = vec![0.0, line.length()];
    cuts.extend(wedges.iter().flat_map(|wedge| wedge.crossings_with(line)).map(|crossing| crossing.line_at));
    cuts.sort_by(f64::total_cmp);
    let parts = cuts.windows(2).map(|part| (part[0], part[1]));
    let is_folded = |(from, to): &(f64, f64)| {
        let middle = line.point_at(f64::midpoint(*from, *to));
        wedges.iter().any(|wedge| wedge.contains(middle))
    };
    parts.filter(is_folded).collect()
}

/// The region that a dart folds away. The legs of an open dart run on past its mouth, so that a level drawn along the
/// edge itself, or straight across its curve, loses the mouth as well. The first two curves are the legs.
///
/// ```text
///     ·   ·     run on
///   ───\ /───   mouth
///       V       tip
/// ```
pub(super) fn wedge(dart: &Dart) -> Option<Outline> {
    let (first, second) = dart.legs();
    let ring = match &dart.shape {
        DartShape::Double { .. } => vec![first.clone(), second.reversed()],
        DartShape::Open { .. } => {
            let (first, second) = (first.run_on(MOUTH_RUN_ON, 0.0), second.run_on(MOUTH_RUN_ON, 0.0));
            let closing = Curve::line(second.start(), first.start()).ok()?;
            vec![first, second.reversed(), closing]
        }
    };
    Outline::welded_within(ring, WELD).ok()
}
