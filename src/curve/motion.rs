//! Rigid placement: turn, shift, mirror.

use kurbo::{Affine, Point, Vec2};

use super::CurveError;
use crate::tolerance::{RIGID, SAME_POINT};

/// An angle in radians, positive clockwise as seen.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Radians(pub f64);

impl Radians {
    /// In degrees.
    pub fn degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

/// A motion that keeps all lengths: a turn and a shift, and before them a mirroring or none.
///
/// A point `(x, y)` goes to `(c x ∓ s y + e, s x ± c y + f)`, the upper sign without mirroring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    cos: f64,
    sin: f64,
    mirror: Mirror,
    shift: Vec2,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mirror {
    No,
    Yes,
}

impl Motion {
    /// The motion that moves nothing.
    pub fn identity() -> Motion {
        Motion { cos: 1.0, sin: 0.0, mirror: Mirror::No, shift: Vec2::ZERO }
    }

    /// A shift without a turn.
    pub fn shift(by: Vec2) -> Motion {
        Motion { shift: by, ..Motion::identity() }
    }

    /// A turn about a point, clockwise as seen where positive.
    pub fn turn_about(centre: Point, by: Radians) -> Motion {
        let (sin, cos) = by.0.sin_cos();
        Motion { cos, sin, ..Motion::identity() }.pinned(centre, centre)
    }

    /// A mirroring in the line through two points.
    ///
    /// # Errors
    ///
    /// [`CurveError::NoDirection`] where the two are one point.
    pub fn mirror_in(a: Point, b: Point) -> Result<Motion, CurveError> {
        Motion::carry_mirrored((a, b), (a, b))
    }

    /// Turning over: left and right change places.
    pub fn turned_over() -> Motion {
        Motion { cos: -1.0, sin: 0.0, mirror: Mirror::Yes, shift: Vec2::ZERO }
    }

    /// The motion without mirroring that lays the second points of pairs as near to the first as can be: least squares
    /// (Procrustes, in the plane).
    pub fn fitted(pairs: &[(Point, Point)]) -> Motion {
        let middle = |of: fn(&(Point, Point)) -> Point| {
            let sum = pairs.iter().fold(Vec2::ZERO, |sum, pair| sum + of(pair).to_vec2());
            (sum / pairs.len() as f64).to_point()
        };
        Motion::fitted_about((middle(|pair| pair.0), middle(|pair| pair.1)), pairs)
    }

    /// The same with two points laid on one another.
    pub fn fitted_about((near, far): (Point, Point), pairs: &[(Point, Point)]) -> Motion {
        let (mut dot, mut cross) = (0.0, 0.0);
        for (p, q) in pairs {
            let (p, q) = (*p - near, *q - far);
            dot += q.dot(p);
            cross += q.cross(p);
        }
        Motion::turn_about(far, Radians(cross.atan2(dot))).then(&Motion::shift(near - far))
    }

    /// The motion that lays `from.0` on `to.0` and the direction towards `from.1` on the direction towards `to.1`.
    ///
    /// # Errors
    ///
    /// [`CurveError::NoDirection`] where a pair is one point.
    pub fn carry(from: (Point, Point), to: (Point, Point)) -> Result<Motion, CurveError> {
        Motion::laid(from, to, Mirror::No)
    }

    /// As [`Motion::carry`], with the mirrored side up.
    ///
    /// # Errors
    ///
    /// [`CurveError::NoDirection`] where a pair is one point.
    pub fn carry_mirrored(from: (Point, Point), to: (Point, Point)) -> Result<Motion, CurveError> {
        Motion::laid(from, to, Mirror::Yes)
    }

    fn laid(from: (Point, Point), to: (Point, Point), mirror: Mirror) -> Result<Motion, CurveError> {
        let (p, q) = (direction(from)?, direction(to)?);
        let (cos, sin) = match mirror {
            Mirror::No => (p.dot(q), p.cross(q)),
            Mirror::Yes => (p.x * q.x - p.y * q.y, p.x * q.y + p.y * q.x),
        };
        let size = cos.hypot(sin);
        Ok(Motion { cos: cos / size, sin: sin / size, mirror, shift: Vec2::ZERO }.pinned(from.0, to.0))
    }

    /// The motion with the same turn whose shift brings one point to another.
    fn pinned(self, from: Point, to: Point) -> Motion {
        Motion { shift: to - self.apply_vec(from.to_vec2()).to_point(), ..self }
    }

    /// This motion and then the next.
    #[must_use]
    pub fn then(&self, next: &Motion) -> Motion {
        let turned = next.apply_vec(Vec2::new(self.cos, self.sin));
        let size = turned.hypot();
        Motion {
            cos: turned.x / size,
            sin: turned.y / size,
            mirror: if self.mirror == next.mirror { Mirror::No } else { Mirror::Yes },
            shift: next.apply(self.shift.to_point()).to_vec2(),
        }
    }

    /// The motion that brings everything back.
    #[must_use]
    pub fn inverse(&self) -> Motion {
        let sin = match self.mirror {
            Mirror::No => -self.sin,
            Mirror::Yes => self.sin,
        };
        Motion { cos: self.cos, sin, mirror: self.mirror, shift: Vec2::ZERO }
            .pinned(self.shift.to_point(), Point::ZERO)
    }

    /// Where a point goes.
    pub fn apply(&self, point: Point) -> Point {
        (self.apply_vec(point.to_vec2()) + self.shift).to_point()
    }

    /// Where a direction or difference goes.
    pub fn apply_vec(&self, v: Vec2) -> Vec2 {
        let y = match self.mirror {
            Mirror::No => v.y,
            Mirror::Yes => -v.y,
        };
        Vec2::new(self.cos * v.x - self.sin * y, self.sin * v.x + self.cos * y)
    }

    /// Whether left and right change places.
    pub fn is_mirrored(&self) -> bool {
        self.mirror == Mirror::Yes
    }

    /// The turn in radians within −π..=π, positive clockwise as seen: of the x axis where mirrored.
    pub fn turn(&self) -> f64 {
        self.sin.atan2(self.cos)
    }

    /// The motion as an affine map.
    pub fn to_affine(&self) -> Affine {
        Affine::new(self.to_array())
    }

    /// Six numbers `[a, b, c, d, e, f]` for storage: `(x, y)` goes to `(a x + c y + e, b x + d y + f)`.
    pub fn to_array(&self) -> [f64; 6] {
        let y = self.apply_vec(Vec2::new(0.0, 1.0));
        [self.cos, self.sin, y.x, y.y, self.shift.x, self.shift.y]
    }

    /// The motion that six numbers in the order of [`Motion::to_array`] stand for.
    ///
    /// # Errors
    ///
    /// [`CurveError::NotFinite`], and [`CurveError::NotRigid`] where an entry is off by more than [`RIGID`].
    pub fn from_array(entries: [f64; 6]) -> Result<Motion, CurveError> {
        if !entries.iter().all(|entry| entry.is_finite()) {
            return Err(CurveError::NotFinite);
        }
        let [a, b, c, d, e, f] = entries;
        let size = a.hypot(b);
        let unit = if (size - 1.0).abs() <= 4.0 * f64::EPSILON { 1.0 } else { size };
        let mirror = if a * d - b * c < 0.0 { Mirror::Yes } else { Mirror::No };
        let motion = Motion { cos: a / unit, sin: b / unit, mirror, shift: Vec2::new(e, f) };
        let off_by =
            (size - 1.0).abs().max((motion.apply_vec(Vec2::new(0.0, 1.0)) - Vec2::new(c, d)).hypot());
        if off_by.is_nan() || off_by > RIGID {
            return Err(CurveError::NotRigid { off_by });
        }
        Ok(motion)
    }
}

fn direction((from, to): (Point, Point)) -> Result<Vec2, CurveError> {
    let apart = to - from;
    if !apart.is_finite() {
        Err(CurveError::NotFinite)
    } else if apart.hypot() <= SAME_POINT {
        Err(CurveError::NoDirection { at: from })
    } else {
        Ok(apart.normalize())
    }
}
