//! A piece as it is cut from single cloth: its cutting line, a half piece opened out, and how far that reaches.
//!
//! This is the one place that tells how wide a piece is as it is cut. It measures the cutting line that is written on the
//! sheet; whatever tells a width asks here.

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Shape};

use crate::allowance::{AllowanceError, CuttingLine, SewingOrder};
use crate::curve::{Motion, Radians, Vec2, convex_hull};
use crate::pattern::{EdgeId, Finish, Pattern, Piece};
use crate::tolerance::{FITS_WITHIN, FOLD_LINE, LAY_FLATTENING};
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

/// Whether what is so wide as it is cut, mm, lies on what is given: the one rule for every command that tells whether a piece
/// fits.
#[must_use]
pub fn lies_within(width: f64, given: f64) -> bool {
    width <= given + FITS_WITHIN
}

/// A piece of a pattern as it is cut, a half piece opened out.
///
/// # Errors
///
/// Refuses a piece without a cutting line, and a half piece that cannot be opened out.
pub fn as_cut(pattern: &Pattern, piece: &Piece) -> Result<AsCut, AllowanceError> {
    SewingOrder::of(pattern).as_cut(piece)
}

impl SewingOrder<'_> {
    /// A piece of the pattern as it is cut, a half piece opened out.
    ///
    /// # Errors
    ///
    /// As [`as_cut`].
    pub fn as_cut(&self, piece: &Piece) -> Result<AsCut, AllowanceError> {
        AsCut::of(piece, &self.cutting_line(piece)?, Halves::Opened)
    }
}

impl AsCut {
    /// A piece with its cutting line.
    ///
    /// # Errors
    ///
    /// Refuses to open out a half piece as [`CuttingLine::opened`] does.
    pub fn of(piece: &Piece, line: &CuttingLine, halves: Halves) -> Result<AsCut, AllowanceError> {
        let path = match halves {
            Halves::Opened => line.opened(piece)?,
            Halves::OnFold => line.path.clone(),
        };
        let middle = path.bounding_box().center();
        let along = (Point::ZERO, Point::new(0.0, 1.0));
        let from_sheet = Motion::carry((middle, middle + piece.grain_or_down()), along)
            .map_err(|source| AllowanceError::Around { piece: piece.name().clone(), source })?;
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
        let flip = Motion::turned_over();
        let turned = (flip.to_affine() * self.path.clone()).reverse_subpaths();
        AsCut { path: turned, from_sheet: self.from_sheet.then(&flip) }
    }

    /// The width as it is cut, mm: square to the grain, allowances included.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.reach(Angle::ZERO).0
    }

    /// How far it reaches across the cloth and along it at a turn, mm.
    #[must_use]
    pub fn reach(&self, turn: Angle) -> (f64, f64) {
        let bounds = (turned(turn).to_affine() * self.path.clone()).bounding_box();
        (bounds.width(), bounds.height())
    }

    /// From where to where it reaches in a direction of length one on the sheet, mm from the sheet's origin.
    #[must_use]
    pub fn span_on_sheet(&self, way: Vec2) -> (f64, f64) {
        let level = Motion::turn_about(Point::ORIGIN, Radians(-way.atan2()));
        let bounds = (self.from_sheet.inverse().then(&level).to_affine() * self.path.clone()).bounding_box();
        (bounds.x0, bounds.x1)
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

impl CuttingLine {
    /// What is cut from single cloth of the piece whose line it is: [`opened`] out, on the sheet.
    ///
    /// # Errors
    ///
    /// As [`opened`].
    pub fn opened(&self, piece: &Piece) -> Result<BezPath, AllowanceError> {
        opened(piece, &self.path)
    }
}

/// A closed line around a piece, its cutting line or its seamline: of a half piece joined to its mirror image at the fold,
/// else as it is. It runs the way it did.
///
/// # Errors
///
/// Refuses a half piece with several folds, and a line that does not run straight along the fold, from end to end.
pub fn opened(piece: &Piece, around: &BezPath) -> Result<BezPath, AllowanceError> {
    let Some(fold) = the_fold(piece)? else { return Ok(around.clone()) };
    let curve = &piece.edge(fold).curve;
    joined_to_image(around, curve.start(), curve.end()).ok_or_else(|| AllowanceError::CrookedFold {
        piece: piece.name().clone(),
        edge: piece.edge(fold).name.clone(),
    })
}

/// The fold of a half piece; none of a whole piece.
fn the_fold(piece: &Piece) -> Result<Option<EdgeId>, AllowanceError> {
    let folds = || piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Fold);
    match folds().count() {
        0 | 1 => Ok(piece.fold()),
        _ => Err(AllowanceError::SeveralFolds {
            piece: piece.name().clone(),
            folds: folds().map(|id| piece.edge(id).name.clone()).collect(),
        }),
    }
}

/// A turn about the origin, about which a cutting line lies.
pub(crate) fn turned(by: Angle) -> Motion {
    Motion::turn_about(Point::ORIGIN, Radians(by.radians()))
}

/// The path with its mirror image joined on at a straight stretch of it through two points; none where it has no such
/// stretch, or more than one.
fn joined_to_image(path: &BezPath, a: Point, b: Point) -> Option<BezPath> {
    let mirroring = Motion::mirror_in(a, b).ok()?.to_affine();
    let axis = (b - a).normalize();
    let off = |point: Point| (point - a).cross(axis).abs();
    let on_fold = |segment: &PathSeg| match segment {
        PathSeg::Line(line) => off(line.p0) <= FOLD_LINE && off(line.p1) <= FOLD_LINE,
        curve => {
            let cubic = curve.to_cubic();
            [cubic.p0, cubic.p1, cubic.p2, cubic.p3].into_iter().all(|point| off(point) <= FOLD_LINE)
        }
    };
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
    let image: Vec<PathSeg> = half.iter().rev().map(|segment| mirroring * segment.reverse()).collect();
    let mut whole = BezPath::new();
    whole.move_to(half.first()?.start());
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
