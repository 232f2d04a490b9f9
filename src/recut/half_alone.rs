//! What stands on the half of a piece that goes when it is folded, and has no twin on the half that stays.

use crate::curve::{Curve, Motion, Outline, Point};
use crate::pattern::{CornerShape, Level, Mark, Piece, ShapedCorner};
use crate::tolerance::{ON_OUTLINE, SYMMETRY};

/// How far apart the places of a line are that are looked for on the other half, mm.
const STEP: f64 = 5.0;

/// The names of points, style lines, levels, marks and set corners that lie at least in part beyond the half that stays, and of
/// which the mirror image is not there. Darts and notches are told by themselves.
pub(super) fn alone(piece: &Piece, stays: &Outline, mirroring: &Motion) -> Vec<String> {
    let halves = FoldedPiece { piece, stays, mirroring };
    [halves.points(), halves.style_lines(), halves.levels(), halves.marks(), halves.corners()].concat()
}

/// A piece that is folded.
struct FoldedPiece<'a> {
    piece: &'a Piece,
    stays: &'a Outline,
    mirroring: &'a Motion,
}

impl FoldedPiece<'_> {
    fn points(&self) -> Vec<String> {
        let points = &self.piece.points;
        let is_there = |at: Point| points.iter().any(|other| other.at.distance(at) <= SYMMETRY);
        let alone = points.iter().filter(|point| self.goes_alone([point.at], is_there));
        alone.map(|point| point.name.to_string()).collect()
    }

    fn style_lines(&self) -> Vec<String> {
        let lines = &self.piece.style_lines;
        let is_there = |at: Point| lines.iter().any(|other| other.curve.nearest(at).distance <= SYMMETRY);
        let alone = lines.iter().filter(|line| self.goes_alone(places(&line.curve), is_there));
        alone.map(|line| line.name.to_string()).collect()
    }

    fn levels(&self) -> Vec<String> {
        let goes_alone = |level: &&Level| {
            let lines = level.stretches.iter().filter_map(|(a, b)| Curve::line(*a, *b).ok());
            let lines: Vec<Curve> = lines.collect();
            let is_there = |at: Point| lines.iter().any(|line| line.nearest(at).distance <= SYMMETRY);
            self.goes_alone(lines.iter().flat_map(places), is_there)
        };
        self.piece.levels.iter().filter(goes_alone).map(|level| level.name.to_string()).collect()
    }

    fn marks(&self) -> Vec<String> {
        let marks = &self.piece.marks;
        let is_there = |at: Point| {
            let mut lines = marks.iter().flat_map(|other| &other.lines);
            let mut anchors = marks.iter().filter_map(unlined);
            lines.any(|line| line.nearest(at).distance <= SYMMETRY)
                || anchors.any(|other| other.distance(at) <= SYMMETRY)
        };
        let seen =
            |mark: &Mark| -> Vec<Point> { mark.lines.iter().flat_map(places).chain(unlined(mark)).collect() };
        let alone = marks.iter().filter(|mark| self.goes_alone(seen(mark), is_there));
        alone.map(|mark| mark.id.clone().unwrap_or_else(|| "a mark".to_owned())).collect()
    }

    fn corners(&self) -> Vec<String> {
        let corners = &self.piece.corners;
        let goes_alone = |corner: &&ShapedCorner| {
            let is_there = |at: Point| {
                let mut alike = corners.iter().filter(|other| is_shaped_alike(&corner.shape, &other.shape));
                alike.any(|other| self.place_of(other).is_some_and(|other| other.distance(at) <= SYMMETRY))
            };
            self.goes_alone(self.place_of(corner), is_there)
        };
        let alone = corners.iter().filter(goes_alone);
        alone.map(|ShapedCorner { edges: (a, b), .. }| format!("the corner of {a} and {b}")).collect()
    }

    /// Where the two edges of a set corner meet.
    fn place_of(&self, ShapedCorner { edges: (a, b), .. }: &ShapedCorner) -> Option<Point> {
        let (a, b) = self.piece.find_edge(a).zip(self.piece.find_edge(b))?;
        let first = if self.piece.next(a) == b { a } else { b };
        Some(self.piece.edge(first).curve.end())
    }

    /// Whether one of the places lies beyond the half that stays, and its mirror image is not there.
    fn goes_alone(&self, places: impl IntoIterator<Item = Point>, is_there: impl Fn(Point) -> bool) -> bool {
        places.into_iter().any(|place| self.goes(place) && !is_there(self.mirroring.apply(place)))
    }

    fn goes(&self, place: Point) -> bool {
        let is_beside =
            || self.stays.curves().iter().any(|curve| curve.nearest(place).distance <= ON_OUTLINE);
        !self.stays.contains(place) && !is_beside()
    }
}

/// Places along a line, both ends among them.
fn places(line: &Curve) -> Vec<Point> {
    line.points_evenly((line.length() / STEP).ceil().max(1.0) as usize)
}

/// Where a mark stands of which no line is seen.
fn unlined(mark: &Mark) -> Option<Point> {
    mark.anchor.filter(|_| mark.lines.is_empty())
}

/// Whether two corners have one shape; the edge to which one is square goes by another name on the other half.
fn is_shaped_alike(one: &CornerShape, other: &CornerShape) -> bool {
    match (one, other) {
        (CornerShape::Square(_), CornerShape::Square(_)) => true,
        _ => one == other,
    }
}
