//! A piece as it is cut from single cloth: its cutting line, a half piece opened out, in the way it lies on the cloth.

use kurbo::{BezPath, PathSeg, Point, Shape};

use crate::allowance::CuttingLine;
use crate::curve::{Motion, Radians, convex_hull};
use crate::pattern::{Piece, Refusal, RefusalKind};
use crate::tolerance::{FOLD_LINE, LAY_FLATTENING};
use crate::units::Angle;

/// Whether a half piece is opened out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Halves {
    /// It is laid whole, on single cloth.
    Opened,
    /// It is laid as drawn, its fold on the fold of doubled cloth.
    OnFold,
}

/// A cutting line turned so that its grain runs along the cloth: its direction toward the end, its right side up.
#[derive(Clone, Debug)]
pub struct AsCut {
    path: BezPath,
    from_sheet: Motion,
}

impl AsCut {
    /// A piece with its cutting line.
    ///
    /// # Errors
    ///
    /// Refuses a half piece whose cutting line does not run straight along its fold.
    pub fn of(piece: &Piece, line: &CuttingLine, halves: Halves) -> Result<AsCut, Refusal> {
        let path = match (piece.fold(), halves) {
            (Some(fold), Halves::Opened) => {
                let fold = &piece.edge(fold).curve;
                opened(&line.path, fold.start(), fold.end()).ok_or_else(|| cannot_open(piece))?
            }
            _ => line.path.clone(),
        };
        let grain = piece.grain_or_down();
        let origin = path.bounding_box().center();
        let along = (Point::ZERO, Point::new(0.0, 1.0));
        let from_sheet = Motion::carry((origin, origin + grain), along)?;
        Ok(AsCut { path: from_sheet.to_affine() * path, from_sheet })
    }

    /// The cutting line as it lies at no turn, about the origin.
    #[must_use]
    pub fn path(&self) -> &BezPath {
        &self.path
    }

    /// From the pattern sheet to how it lies at no turn.
    #[must_use]
    pub fn from_sheet(&self) -> &Motion {
        &self.from_sheet
    }

    /// The mirrored copy.
    #[must_use]
    pub fn mirrored(&self) -> AsCut {
        let flip = across_mirror();
        let turned = (flip.to_affine() * self.path.clone()).reverse_subpaths();
        AsCut { path: turned, from_sheet: self.from_sheet.then(&flip) }
    }

    /// How far it reaches across the cloth and along it at a turn, mm.
    #[must_use]
    pub fn reach(&self, turn: Angle) -> (f64, f64) {
        let bounds = (turned(turn).to_affine() * self.path.clone()).bounding_box();
        (bounds.width(), bounds.height())
    }

    /// The turn about another at which it reaches least across, within a tolerance to either side.
    #[must_use]
    pub fn narrowest(&self, about: Angle, tolerance: Angle) -> Angle {
        if tolerance <= Angle::ZERO {
            return about;
        }
        let (degrees, tolerance) = (about.degrees(), tolerance.degrees());
        let hull = convex_hull(&points_of(&self.path));
        let upright = hull.iter().zip(hull.iter().cycle().skip(1)).map(|(a, b)| {
            let edge = *b - *a;
            edge.x.atan2(edge.y).to_degrees()
        });
        let within = upright.flat_map(|turn| [turn, turn + 180.0, turn - 180.0]).filter_map(|turn| {
            let off = (turn - degrees + 180.0).rem_euclid(360.0) - 180.0;
            (off.abs() <= tolerance).then_some(degrees + off)
        });
        let all = [degrees, degrees - tolerance, degrees + tolerance].into_iter().chain(within);
        all.map(Angle::from_degrees)
            .map(|turn| (turn, self.reach(turn).0))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map_or(about, |(turn, _)| turn)
    }

    /// The area that is cut, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.path.area().abs()
    }
}

/// A turn about the origin, about which a cutting line lies.
pub(super) fn turned(by: Angle) -> Motion {
    Motion::turn_about(Point::ZERO, Radians(by.radians()))
}

/// Left and right of the cloth change places.
fn across_mirror() -> Motion {
    let axis = (Point::ZERO, Point::new(0.0, 1.0));
    // The two points differ, so that there is always a mirroring.
    Motion::mirror_in(axis.0, axis.1).unwrap_or_else(|_| Motion::identity())
}

fn cannot_open(piece: &Piece) -> Refusal {
    Refusal::new(
        RefusalKind::BadOutline,
        piece.name(),
        "the half piece cannot be opened out: its cutting line does not run straight along its fold",
        "draw the fold straight, from end to end of the piece",
    )
}

/// The path with its mirror image joined on at a straight stretch of it through two points; none where it has no such
/// stretch, or more than one.
fn opened(path: &BezPath, a: Point, b: Point) -> Option<BezPath> {
    let axis = (b - a).normalize();
    let off = |point: Point| (point - a).cross(axis).abs();
    let on_fold = |segment: &PathSeg| matches!(segment, PathSeg::Line(line) if off(line.p0) <= FOLD_LINE && off(line.p1) <= FOLD_LINE);
    let segments: Vec<PathSeg> = path.segments().collect();
    let count = segments.len();
    let first =
        (0..count).find(|i| on_fold(&segments[(i + count - 1) % count]) && !on_fold(&segments[*i]))?;
    let mut half: Vec<PathSeg> = (first..first + count).map(|i| segments[i % count]).collect();
    let kept = half.iter().position(on_fold)?;
    if half[kept..].iter().any(|segment| !on_fold(segment)) {
        return None;
    }
    half.truncate(kept);
    let mirroring = Motion::mirror_in(a, b).ok()?.to_affine();
    let image: Vec<PathSeg> = half.iter().rev().map(|segment| mirroring * segment.reverse()).collect();
    let mut whole = BezPath::new();
    whole.move_to(kurbo::ParamCurve::start(half.first()?));
    whole.extend(half.iter().chain(&image).map(PathSeg::as_path_el));
    whole.close_path();
    Some(whole)
}

/// Points on a path close enough together that its reach is known.
fn points_of(path: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path, LAY_FLATTENING, |element| points.extend(element.end_point()));
    points
}
