//! What is left of the allowances beside a piece's seamlines: measured on the cutting line as it is written, by `kurbo` and
//! dense places alone, without how the crate measures it.

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathEl, PathSeg, Point, Shape, Vec2};
use retrue::pattern::{DartShape, Edge, Finish, Piece, Selvedge};
use usvg::roxmltree;

/// How far apart places are, mm.
const STEP: f64 = 0.5;

/// How far inside its edge, and clear of mouths, a place is, mm.
const INSIDE: f64 = 1.0;

/// How closely the cutting line is followed by straight lines, mm.
const FOLLOWED: f64 = 0.002;

/// The place on an edge where least of its allowance is left.
#[derive(Clone, Debug)]
pub struct Left {
    pub edge: String,
    /// Walk distance, mm.
    pub at: f64,
    /// What is left there, mm; below zero where the place is cut off.
    pub left: f64,
    pub asked: f64,
}

impl Left {
    pub fn lacks(&self) -> f64 {
        self.asked - self.left
    }
}

/// The cutting line of a piece in the text of a sheet.
pub fn written_line(sheet: &str, piece: &str) -> BezPath {
    let document = roxmltree::Document::parse(sheet).expect("a sheet");
    let group = document
        .descendants()
        .find(|node| node.attribute("id") == Some(piece) && node.attribute("data-kind") == Some("piece"))
        .expect("the piece");
    let line = group
        .descendants()
        .find(|node| node.attribute("data-shows") == Some("cutting-line"))
        .expect("its cutting line");
    BezPath::from_svg(line.attribute("d").expect("path data")).expect("a path")
}

/// For each edge that has an allowance, where least of it is left.
pub fn least_left(piece: &Piece, cut: &BezPath) -> Vec<Left> {
    let line = straight(cut);
    let asked = |edge: &&Edge| {
        let has_none =
            edge.finish == Finish::Fold || (edge.finish == Finish::Free && edge.selvedge == Selvedge::Yes);
        !has_none && edge.allowance.mm() > 0.0
    };
    piece.edges().iter().filter(asked).filter_map(|edge| least_beside(piece, edge, cut, &line)).collect()
}

fn straight(cut: &BezPath) -> Vec<(Point, Point)> {
    let (mut sides, mut at, mut start) = (Vec::new(), Point::ZERO, Point::ZERO);
    kurbo::flatten(cut, FOLLOWED, |element| match element {
        PathEl::MoveTo(to) => (at, start) = (to, to),
        PathEl::LineTo(to) => {
            sides.push((at, to));
            at = to;
        }
        PathEl::ClosePath => sides.push((at, start)),
        _ => {}
    });
    sides
}

fn least_beside(piece: &Piece, edge: &Edge, cut: &BezPath, line: &[(Point, Point)]) -> Option<Left> {
    let asked = edge.allowance.mm();
    let mouths: Vec<(f64, f64)> = piece
        .darts
        .iter()
        .filter_map(|dart| match &dart.shape {
            DartShape::Open { mouth, .. } if mouth.edge == edge.name => Some((mouth.from, mouth.to)),
            _ => None,
        })
        .collect();
    let whole: f64 = edge.curve.segments().iter().map(|segment| segment.arclen(1e-6)).sum();
    let mut walked = 0.0;
    let mut least: Option<Left> = None;
    for segment in edge.curve.segments() {
        let length = segment.arclen(1e-6);
        let count = (length / STEP).ceil() as usize;
        for place in 0..=count {
            let t = place as f64 / count as f64;
            let at = walked + segment.subsegment(0.0..t).arclen(1e-3);
            let inside = at >= INSIDE
                && at <= whole - INSIDE
                && mouths.iter().all(|(from, to)| at <= from - INSIDE || at >= to + INSIDE);
            if !inside {
                continue;
            }
            let (from, out) = (segment.eval(t), outward(segment, t));
            let left = if cut.winding(from) == 0 {
                -1.0
            } else {
                match first_met(from, out, line) {
                    Some(far) if far < asked && is_the_shape(piece, edge, from + far * out, line) => continue,
                    Some(far) => far.min(asked),
                    None => asked,
                }
            };
            if least.as_ref().is_none_or(|least| left < least.left) {
                least = Some(Left { edge: edge.name.to_string(), at, left, asked });
            }
        }
        walked += length;
    }
    least
}

fn outward(segment: &PathSeg, t: f64) -> Vec2 {
    let along = match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    };
    Vec2::new(along.y, -along.x).normalize()
}

fn first_met(from: Point, way: Vec2, line: &[(Point, Point)]) -> Option<f64> {
    let met = |(a, b): &(Point, Point)| {
        let (along, to) = (*b - *a, *a - from);
        let det = way.cross(along);
        let (far, share) = (to.cross(along) / det, to.cross(way) / det);
        (det != 0.0 && far >= -1e-6 && (-1e-9..=1.0 + 1e-9).contains(&share)).then_some(far)
    };
    line.iter().filter_map(met).min_by(f64::total_cmp)
}

/// Whether the cutting line at a place is as it must be for its kind: on a fold, beyond which the mirrored half goes on; or
/// the mirror image, within a hem's allowance, of the line above the hem's fold.
fn is_the_shape(piece: &Piece, edge: &Edge, place: Point, line: &[(Point, Point)]) -> bool {
    let on_fold = piece.edges().iter().filter(|edge| edge.finish == Finish::Fold).any(|fold| {
        let along = (fold.curve.end() - fold.curve.start()).normalize();
        along.cross(place - fold.curve.start()).abs() < 0.01
    });
    let is_reflected = |at: Point, along: Vec2| {
        let apart = place - at;
        let mirrored = at + 2.0 * apart.dot(along) * along - apart;
        line.iter().any(|(a, b)| {
            let side = *b - *a;
            let share = ((mirrored - *a).dot(side) / side.hypot2().max(1e-18)).clamp(0.0, 1.0);
            (*a + share * side - mirrored).hypot() < 0.05
        })
    };
    let ends =
        [(edge.curve.start(), edge.curve.start_tangent()), (edge.curve.end(), edge.curve.end_tangent())];
    on_fold || (edge.finish == Finish::Hem && ends.into_iter().any(|(at, along)| is_reflected(at, along)))
}
