//! What a dart folds away, and which parts of a straight line lie in it.

use kurbo::{BezPath, Shape};

use crate::curve::{Curve, Point, Rect};
use crate::pattern::{Dart, DartShape, Piece};
use crate::tolerance::{LEVEL_AT_SEAM, SAME_POINT};

/// The cloth that a dart folds away: between its legs and the stretch of edge at its mouth, or inside a double dart.
///
/// ```text
///   ──────┐mouth┌──────
///          \   /  legs
///           \ /
///            V  tip
/// ```
pub(super) struct Wedge<'a> {
    pub dart: &'a Dart,
    mouth: Option<Curve>,
    path: BezPath,
    bounds: Rect,
}

/// A part of a straight line that a dart folds away.
pub(super) struct Folded<'a> {
    pub dart: &'a Dart,
    /// Distances along the line.
    pub from: f64,
    pub to: f64,
    /// How it lies in the dart.
    pub way: Way,
}

/// How a line lies in a dart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// From one leg to the other.
    Across,
    /// Otherwise: in at the mouth, or ending inside.
    Along,
}

impl<'a> Wedge<'a> {
    pub fn of(piece: &'a Piece, dart: &'a Dart) -> Wedge<'a> {
        let (first, second) = dart.legs();
        let mouth = match &dart.shape {
            DartShape::Double { .. } => None,
            DartShape::Open { mouth, .. } => piece
                .find_edge(&mouth.edge)
                .and_then(|id| piece.edge(id).curve.stretch(mouth.from, mouth.to).ok()),
        };
        let mut path = first.to_path();
        let back = second.reversed();
        let closing = mouth.as_ref().map(Curve::reversed);
        for segment in std::iter::once(&back).chain(&closing).flat_map(|curve| curve.segments()) {
            path.push(segment.as_path_el());
        }
        path.close_path();
        let bounds = path.bounding_box().inflate(LEVEL_AT_SEAM, LEVEL_AT_SEAM);
        Wedge { dart, mouth, path, bounds }
    }

    /// All wedges of a piece.
    pub fn all_of(piece: &'a Piece) -> Vec<Wedge<'a>> {
        piece.darts.iter().map(|dart| Wedge::of(piece, dart)).collect()
    }

    /// Whether a point is folded away. The legs themselves stay; what lies on the mouth, or off it by no more than a
    /// level drawn by hand along the edge does, goes.
    fn holds(&self, point: Point) -> bool {
        let (first, second) = self.dart.legs();
        let on_leg = [first, second].iter().any(|leg| leg.nearest(point).distance <= SAME_POINT);
        if on_leg || !self.bounds.contains(point) {
            return false;
        }
        self.path.winding(point) != 0 || self.faces_mouth(point)
    }

    fn faces_mouth(&self, point: Point) -> bool {
        self.mouth.as_ref().is_some_and(|mouth| {
            let near = mouth.nearest(point);
            let outward = (point - near.point).dot(mouth.normal_outward(near.at)) >= -SAME_POINT;
            let between_ends = near.at > SAME_POINT && near.at < mouth.length() - SAME_POINT;
            near.distance <= LEVEL_AT_SEAM && outward && between_ends
        })
    }

    /// Distances along a line at which it may enter or leave.
    fn cuts(&self, line: &Curve) -> Vec<f64> {
        let mut cuts = Vec::new();
        if !touches(line.bounds(), self.bounds) {
            return cuts;
        }
        let (first, second) = self.dart.legs();
        for curve in [Some(first), Some(second), self.mouth.as_ref()].into_iter().flatten() {
            cuts.extend(line.crossings(curve).into_iter().map(|crossing| crossing.at));
        }
        let corners = self.mouth.iter().flat_map(|mouth| [mouth.start(), mouth.end()]);
        let near = corners.map(|corner| line.nearest(corner));
        cuts.extend(near.filter(|near| near.distance <= LEVEL_AT_SEAM).map(|near| near.at));
        cuts
    }

    fn way(&self, from: Point, to: Point) -> Way {
        let (first, second) = self.dart.legs();
        let at = |leg: &Curve, point| leg.nearest(point).distance <= LEVEL_AT_SEAM;
        let across = (at(first, from) && at(second, to)) || (at(second, from) && at(first, to));
        if across { Way::Across } else { Way::Along }
    }
}

fn touches(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

/// The parts of a straight line that the darts of a piece fold away, in order, none counted twice where darts overlap.
pub(super) fn folded<'a>(wedges: &[Wedge<'a>], line: (Point, Point)) -> Vec<Folded<'a>> {
    let Ok(line) = Curve::line(line.0, line.1) else { return Vec::new() };
    let mut cuts: Vec<f64> = wedges.iter().flat_map(|wedge| wedge.cuts(&line)).collect();
    if cuts.is_empty() && wedges.iter().all(|wedge| !touches(line.bounds(), wedge.bounds)) {
        return Vec::new();
    }
    cuts.extend([0.0, line.length()]);
    cuts.sort_by(f64::total_cmp);
    let mut found: Vec<Folded<'a>> = Vec::new();
    for pair in cuts.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if to - from <= SAME_POINT {
            continue;
        }
        let middle = line.point_at(f64::midpoint(from, to));
        let Some(wedge) = wedges.iter().find(|wedge| wedge.holds(middle)) else { continue };
        match found.last_mut() {
            Some(last) if last.dart.name == wedge.dart.name && from - last.to <= SAME_POINT => {
                last.to = to;
                last.way = wedge.way(line.point_at(last.from), line.point_at(to));
            }
            _ => found.push(Folded {
                dart: wedge.dart,
                from,
                to,
                way: wedge.way(line.point_at(from), line.point_at(to)),
            }),
        }
    }
    found
}
