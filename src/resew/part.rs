//! The parts of old pieces, as a step records them.

use kurbo::BezPath;

use crate::curve::{Curve, CurveError, Motion, Outline, path_crosses_itself, trim_positive};
use crate::pattern::{Copy, Moved, Pattern, Piece};
use crate::resew::error::MeasureError;

/// A part of an old piece with the motion that carries it into a new one.
#[derive(Clone, Debug)]
pub(super) struct CarriedPart<'a> {
    pub old: &'a Piece,
    pub copy: Copy,
    pub new: &'a Piece,
    /// Its outline on the old piece.
    pub region: Outline,
    pub extent: Extent,
    pub motion: Motion,
    pub side: PieceHalf,
}

/// How much of its piece a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Extent {
    Whole,
    Region,
}

/// On which half of a new piece a part lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PieceHalf {
    /// On what is drawn.
    Drawn,
    /// On the other side of a fold that the old piece did not have: it is cut, and not drawn.
    BeyondFold,
}

impl<'a> CarriedPart<'a> {
    /// A recorded part.
    ///
    /// # Errors
    ///
    /// [`MeasureError`] where it names a piece that is not there, or its outline or motion is none.
    pub(super) fn recorded(
        moved: &Moved,
        before: &'a Pattern,
        after: &'a Pattern,
    ) -> Result<CarriedPart<'a>, MeasureError> {
        let missing = |piece: &dyn ToString| MeasureError::NoPiece { piece: piece.to_string() };
        let old = before.find(&moved.from).ok_or_else(|| missing(&moved.from))?;
        let new = after.find(&moved.to).ok_or_else(|| missing(&moved.to))?;
        let (region, extent) = match &moved.part {
            None => (old.outline().clone(), Extent::Whole),
            Some(path) => (region(path, old)?, Extent::Region),
        };
        let motion = Motion::from_array(moved.motion)?;
        Ok(CarriedPart { old, copy: moved.copy, new, region, extent, motion, side: PieceHalf::Drawn })
    }

    /// A piece that stays where it is.
    pub(super) fn staying(old: &'a Piece, new: &'a Piece) -> CarriedPart<'a> {
        CarriedPart {
            old,
            copy: Copy::Drawn,
            new,
            region: old.outline().clone(),
            extent: Extent::Whole,
            motion: Motion::identity(),
            side: PieceHalf::Drawn,
        }
    }

    /// The mirror image of the part beyond the fold of the new piece: the other half of the cloth that is cut. It is
    /// carried onto the half that is drawn.
    pub(super) fn beyond_fold(&self, fold: &Curve) -> Result<CarriedPart<'a>, MeasureError> {
        let mirroring = Motion::mirror_in(fold.start(), fold.end())?;
        let motion = self.motion.then(&mirroring);
        let on_old = motion.then(&self.motion.inverse());
        let curves: Vec<Curve> = self.region.curves().iter().map(|curve| curve.moved(&on_old)).collect();
        Ok(CarriedPart { region: Outline::new(curves)?, motion, side: PieceHalf::BeyondFold, ..self.clone() })
    }

    /// Its outline where it lies in the new piece.
    pub(super) fn carried(&self) -> Vec<Curve> {
        self.region.curves().iter().map(|curve| curve.moved(&self.motion)).collect()
    }

    /// The rings round what of it is cloth of the old piece, where it lies there. Where a seam is moved the other way the
    /// strip is cloth that the other piece gives: there its outline runs anticlockwise, all of it, or what lies on the other
    /// side of the old seam.
    ///
    /// # Errors
    ///
    /// [`CurveError::NotTrimmed`] where an outline that crosses itself cannot be taken apart.
    pub(super) fn cloth(&self) -> Result<Vec<BezPath>, CurveError> {
        let ring = self.region.to_path();
        if self.side == PieceHalf::BeyondFold || self.extent == Extent::Whole {
            return Ok(vec![ring]);
        }
        if path_crosses_itself(&ring) {
            return trim_positive(&ring);
        }
        Ok(if self.region.area() > 0.0 { vec![ring] } else { Vec::new() })
    }

    /// The same rings where they lie in the new piece.
    ///
    /// # Errors
    ///
    /// As [`CarriedPart::cloth`].
    pub(super) fn cloth_carried(&self) -> Result<Vec<BezPath>, CurveError> {
        let carry = self.motion.to_affine();
        Ok(self.cloth()?.into_iter().map(|ring| carry * ring).collect())
    }
}

fn region(path: &str, old: &Piece) -> Result<Outline, MeasureError> {
    let bad = |what: String| MeasureError::BadOutline { piece: old.name().to_string(), what };
    let path = BezPath::from_svg(path).map_err(|error| bad(error.to_string()))?;
    let curve = Curve::from_path(&path)?;
    Ok(Outline::new([curve])?)
}
