//! Folds, and the line about which a whole piece is the same on both sides.

use crate::advice;
use crate::curve::{Curve, Motion, Point, Radians, Vec2, right_of};
use crate::pattern::{EdgeId, EdgeName, Field, Finish, Operation, Piece, Refusal, RefusalKind};
use crate::tolerance::{ON_OUTLINE, SAME_POINT, STRAIGHT, SYMMETRY};

/// How far apart the places are that are compared with their mirror images, mm.
const STEP: f64 = 2.0;

/// A straight line through a piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct StraightLine {
    pub through: Point,
    /// Of length one.
    pub along: Vec2,
}

impl StraightLine {
    /// The line through two points.
    ///
    /// # Errors
    ///
    /// Refuses two points that are one.
    pub(super) fn between(a: Point, b: Point) -> Result<StraightLine, Refusal> {
        Motion::mirror_in(a, b)?;
        Ok(StraightLine { through: a, along: (b - a).normalize() })
    }

    /// The mirroring in it.
    pub(super) fn mirroring(&self) -> Result<Motion, Refusal> {
        Ok(Motion::mirror_in(self.through, self.through + self.along)?)
    }

    /// How far off it a point is: positive on the right-hand side of its direction as seen.
    pub(super) fn off(&self, point: Point) -> f64 {
        self.along.cross(point - self.through)
    }
}

/// How far curves reach in a direction of length one: the least and the greatest distance from the origin.
pub(super) fn extent<'a>(curves: impl IntoIterator<Item = &'a Curve>, along: Vec2) -> (f64, f64) {
    let turn = Motion::turn_about(Point::ORIGIN, Radians(-along.atan2()));
    let bounds = curves.into_iter().map(|curve| curve.moved(&turn).bounds());
    bounds.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), b| (low.min(b.x0), high.max(b.x1)))
}

/// The fold of a half piece: the one named, or its only one.
///
/// # Errors
///
/// Refuses a piece without a fold, an edge that is none, and a piece with several of which none is named.
pub(super) fn find_fold(piece: &Piece, named: Option<&EdgeName>) -> Result<EdgeId, Refusal> {
    let is_fold = |id: &EdgeId| piece.edge(*id).finish == Finish::Fold;
    let folds: Vec<EdgeId> = piece.edge_ids().filter(is_fold).collect();
    let names = || folds.iter().map(|id| piece.edge(*id).name.as_str()).collect::<Vec<_>>().join(", ");
    match (named, folds.as_slice()) {
        (_, []) => Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            piece.name(),
            "the piece is not half: none of its edges is a fold",
            advice!(
                "say which is: ",
                Operation::SetEdge
                    .with(Field::Edge, format!("{}.EDGE", piece.name()))
                    .with(Field::Finish, "fold")
            ),
        )),
        (None, [only]) => Ok(*only),
        (None, _) => Err(Refusal::new(
            RefusalKind::BadField,
            piece.name(),
            format!("the piece has several folds: {}", names()),
            advice!("name one with ", Field::Edge),
        )),
        (Some(name), _) => {
            let id = piece.edge_named(name)?;
            if is_fold(&id) {
                return Ok(id);
            }
            Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                format!("{}.{name}", piece.name()),
                "the edge is not a fold",
                format!("the fold is: {}", names()),
            ))
        }
    }
}

/// The straight line of a fold.
///
/// # Errors
///
/// Refuses an edge that is not straight.
pub(super) fn fold_line(piece: &Piece, fold: EdgeId) -> Result<StraightLine, Refusal> {
    let edge = piece.edge(fold);
    let axis = StraightLine::between(edge.curve.start(), edge.curve.end())?;
    if edge.curve.is_straight(STRAIGHT) {
        return Ok(axis);
    }
    let points = edge.curve.flattened(STRAIGHT / 10.0);
    let off = points.iter().map(|point| axis.off(*point).abs()).fold(0.0, f64::max);
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        format!("{}.{}", piece.name(), edge.name),
        format!(
            "the edge stands off the straight line between its ends by {off:.2} mm: cloth folds straight"
        ),
        "draw it straight, or make it a seam (open-centre)",
    ))
}

/// The line about which a whole piece is the same on both sides: found from the edges `x` and `x/m`, else along the
/// grain or square to it through the middle.
///
/// # Errors
///
/// Refuses a piece that is not, with the greatest deviation and its place.
pub(super) fn find_axis(piece: &Piece) -> Result<StraightLine, Refusal> {
    if let Some(axis) = axis_of_pairs(piece) {
        return match deviation(piece, &axis)? {
            worst if worst.by <= SYMMETRY => Ok(axis),
            worst => Err(unsymmetric(piece, &worst)),
        };
    }
    let grain = piece.grain_or_down();
    let lengthwise = middle_along(piece, grain);
    let worst = deviation(piece, &lengthwise)?;
    if worst.by <= SYMMETRY {
        return Ok(lengthwise);
    }
    let crosswise = middle_along(piece, right_of(grain));
    match deviation(piece, &crosswise)? {
        other if other.by <= SYMMETRY => Ok(crosswise),
        _ => Err(unsymmetric(piece, &worst)),
    }
}

fn axis_of_pairs(piece: &Piece) -> Option<StraightLine> {
    let (mut across, mut middle, mut count) = (Vec2::ZERO, Vec2::ZERO, 0.0);
    for edge in piece.edges() {
        let Some(drawn) = edge.name.mirror_of().and_then(|name| piece.find_edge(&name)) else { continue };
        let drawn = &piece.edge(drawn).curve;
        for (a, b) in [(drawn.start(), edge.curve.end()), (drawn.end(), edge.curve.start())] {
            across += b - a;
            middle += a.midpoint(b).to_vec2();
            count += 1.0;
        }
    }
    if across.hypot() <= SAME_POINT {
        return None;
    }
    let across = across.normalize();
    Some(StraightLine { through: (middle / count).to_point(), along: right_of(across) })
}

fn middle_along(piece: &Piece, along: Vec2) -> StraightLine {
    let across = right_of(along);
    let (low, high) = extent(piece.edges().iter().map(|edge| &edge.curve), across);
    let bounds = piece.bounds().center().to_vec2();
    StraightLine {
        through: (along * bounds.dot(along) + across * f64::midpoint(low, high)).to_point(),
        along,
    }
}

/// Where a piece is least like its mirror image.
struct Asymmetry {
    by: f64,
    edge: EdgeName,
    at: Point,
}

fn deviation(piece: &Piece, axis: &StraightLine) -> Result<Asymmetry, Refusal> {
    let mirroring = axis.mirroring()?;
    let mut worst = Asymmetry { by: 0.0, edge: piece.edge(EdgeId(0)).name.clone(), at: Point::ZERO };
    for edge in piece.edges() {
        let length = edge.curve.length();
        let count = (length / STEP).ceil().max(1.0);
        for i in 0..=count as usize {
            let at = edge.curve.point_at(length * i as f64 / count);
            let by = piece.nearest_on_outline(mirroring.apply(at)).distance;
            if by > worst.by {
                worst = Asymmetry { by, edge: edge.name.clone(), at };
            }
        }
    }
    Ok(worst)
}

fn unsymmetric(piece: &Piece, worst: &Asymmetry) -> Refusal {
    Refusal::new(
        RefusalKind::NotOfThatSort,
        format!("{}.{}", piece.name(), worst.edge),
        format!(
            "the two halves of the piece differ: by up to {:.2} mm, at ({:.1}mm, {:.1}mm)",
            worst.by, worst.at.x, worst.at.y
        ),
        format!("draw the halves alike within {SYMMETRY} mm"),
    )
}

/// Refuses darts that lie across a line, and darts whose mirror image is not there.
///
/// # Errors
///
/// Names the dart and the way out.
pub(super) fn refuse_uneven_darts(piece: &Piece, axis: &StraightLine) -> Result<(), Refusal> {
    let mirroring = axis.mirroring()?;
    for dart in &piece.darts {
        let (first, second) = dart.legs();
        let points = [first, second].into_iter().flat_map(|leg| leg.flattened(ON_OUTLINE));
        let off: Vec<f64> = points.map(|point| axis.off(point)).collect();
        let (low, high) =
            off.iter().fold((0.0_f64, 0.0_f64), |(low, high), off| (low.min(*off), high.max(*off)));
        let twin = piece.darts.iter().any(|other| {
            let moved = dart.moved(&mirroring);
            let (a, b) = (moved.tips(), other.tips());
            a.len() == b.len() && a.iter().all(|tip| b.iter().any(|other| other.distance(*tip) <= SYMMETRY))
        });
        let (what, way_out) = match (low < -ON_OUTLINE && high > ON_OUTLINE, twin) {
            (true, _) => {
                ("the dart lies across the fold", "move it aside, or run it out to a seam (dart-to-seam)")
            }
            (false, false) => ("the other half of the piece has no such dart", "draw the halves alike"),
            (false, true) => continue,
        };
        return Err(Refusal::new(
            RefusalKind::DartInTheWay,
            format!("{}.{}", piece.name(), dart.name),
            what,
            way_out,
        ));
    }
    Ok(())
}
