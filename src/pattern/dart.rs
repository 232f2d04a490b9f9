//! Darts: wedges folded out of a piece.

use crate::curve::{Curve, Motion, Point, Vec2, turn_between};
use crate::pattern::{DartName, EdgeName, Kept};
use crate::tolerance::{JOINT, ON_OUTLINE, SHARP_AS_A_TIP};

/// Where a dart opens: a stretch of an edge that is folded away.
#[derive(Clone, Debug, PartialEq)]
pub struct Mouth {
    /// The edge.
    pub edge: EdgeName,
    /// Walk distance of the first mouth end, clockwise along the edge's curve from its first corner.
    pub from: f64,
    /// Walk distance of the second mouth end; greater than `from`.
    pub to: f64,
}

/// The shape of a dart.
#[derive(Clone, Debug, PartialEq)]
pub enum DartShape {
    /// A wedge that opens on an edge.
    Open {
        /// Where it opens.
        mouth: Mouth,
        /// The legs, each from its mouth end to the tip; the first belongs to `mouth.from`.
        legs: (Curve, Curve),
    },
    /// A dart inside the piece: no mouth, two tips.
    Double {
        /// The two sides, each from the first tip to the second. The first lies on the left of the way
        /// from the first tip to the second, as seen on the sheet.
        sides: (Curve, Curve),
    },
}

/// How the cloth of a dart is taken up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DartKind {
    /// Its legs are sewn together up to the tip.
    #[default]
    Dart,
    /// It is folded at its mouth and caught in the seam there; beyond that the cloth is free. The fold of one beside a
    /// fold or a centre seam is that edge.
    Pleat,
}

impl DartKind {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            DartKind::Dart => "dart",
            DartKind::Pleat => "pleat",
        }
    }
}

/// To which side a folded dart is pressed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Press {
    /// As the trade does: down, or toward the centre.
    #[default]
    Usual,
    /// Toward the end of the mouth's edge that meets this edge.
    Toward(EdgeName),
}

/// A wedge folded out of an edge, or out of the middle of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// The name within the piece.
    pub name: DartName,
    /// Its shape.
    pub shape: DartShape,
    /// Whether it is sewn, or folded only.
    pub kind: DartKind,
    /// To which side it is pressed.
    pub press: Press,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// At how many places along it a double dart is measured for its width.
const WIDTH_PLACES: u32 = 64;

impl Dart {
    /// The tips: one of an open dart, two of a double dart.
    #[must_use]
    pub fn tips(&self) -> Vec<Point> {
        match &self.shape {
            DartShape::Open { legs, .. } => vec![legs.0.end()],
            DartShape::Double { sides } => vec![sides.0.start(), sides.0.end()],
        }
    }

    /// Whether a curve crosses it; one may meet it at a tip.
    pub(crate) fn is_crossed_by(&self, curve: &Curve) -> bool {
        let tips = self.tips();
        let beside_tips = |at: Point| tips.iter().all(|tip| tip.distance(at) > ON_OUTLINE);
        let is_across =
            |side: &Curve| side.crossings(curve).iter().any(|crossing| beside_tips(crossing.point));
        self.boundary().iter().any(is_across)
    }

    /// Where it opens, if it does.
    #[must_use]
    pub fn mouth(&self) -> Option<&Mouth> {
        match &self.shape {
            DartShape::Open { mouth, .. } => Some(mouth),
            DartShape::Double { .. } => None,
        }
    }

    /// The angle at the tip between the chords of the legs, degrees; none of a double dart.
    #[must_use]
    pub fn angle(&self) -> Option<f64> {
        let DartShape::Open { legs: (first, second), .. } = &self.shape else { return None };
        let (a, b) = (first.start() - first.end(), second.start() - second.end());
        Some(turn_between(a, b).degrees().abs())
    }

    /// How wide it is at its mouth; of a double dart, where it is widest, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        let (first, second) = self.legs();
        match &self.shape {
            DartShape::Open { .. } => first.start().distance(second.start()),
            DartShape::Double { .. } => {
                let apart = |k: u32| {
                    let share = f64::from(k) / f64::from(WIDTH_PLACES);
                    let at = first.point_at(share * first.length());
                    at.distance(second.point_at(share * second.length()))
                };
                (0..=WIDTH_PLACES).map(apart).fold(0.0, f64::max)
            }
        }
    }

    /// The two curves that are sewn together.
    #[must_use]
    pub fn legs(&self) -> (&Curve, &Curve) {
        match &self.shape {
            DartShape::Open { legs: (a, b), .. } | DartShape::Double { sides: (a, b) } => (a, b),
        }
    }

    /// Of a pleat as deep all along: where its two sides end on the edge across from its mouth, each with the direction in which
    /// the side comes there, that of the first mouth end first. None of a wedge.
    #[must_use]
    pub fn feet(&self) -> Option<[(Point, Vec2); 2]> {
        let DartShape::Open { legs: (first, second), .. } = &self.shape else { return None };
        let line = first.joined_within(&second.reversed(), JOINT).ok()?;
        let joints = line.joints();
        let sharp: Vec<f64> =
            joints.iter().filter(|joint| joint.turn.abs() > SHARP_AS_A_TIP).map(|joint| joint.at).collect();
        let [down, up] = sharp[..] else { return None };
        Some([(line.point_at(down), line.tangent_before(down)), (line.point_at(up), -line.tangent_at(up))])
    }

    /// The closed boundary of what is folded away, starting at the first mouth end or tip. Between the
    /// mouth ends it is the chord.
    #[must_use]
    pub fn boundary(&self) -> Vec<Curve> {
        let (first, second) = self.legs();
        let mut boundary = vec![first.clone(), second.reversed()];
        if let (DartShape::Open { .. }, Ok(chord)) = (&self.shape, Curve::line(second.start(), first.start()))
        {
            boundary.push(chord);
        }
        boundary
    }

    /// The dart as it lies after a motion; the mouth's walk distances are left to whoever makes the edge.
    /// A mirrored motion swaps the legs, so that the first still belongs to the first mouth end clockwise.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Dart {
        let (first, second) = self.legs();
        let (first, second) = (first.moved(motion), second.moved(motion));
        let pair = if motion.is_mirrored() { (second, first) } else { (first, second) };
        let shape = match &self.shape {
            DartShape::Open { mouth, .. } => DartShape::Open { mouth: mouth.clone(), legs: pair },
            DartShape::Double { .. } => DartShape::Double { sides: pair },
        };
        Dart { shape, ..self.clone() }
    }

    /// The dart with its mouth ending where its edge does, of a length in mm, where that was joined or moved since and is a
    /// rounding shorter.
    pub(crate) fn within(mut self, length: impl Fn(&EdgeName) -> Option<f64>) -> Dart {
        if let DartShape::Open { mouth, .. } = &mut self.shape
            && let Some(length) = length(&mouth.edge)
        {
            mouth.to = mouth.to.min(length);
        }
        self
    }

    pub(super) fn rename_mouth_edge(&mut self, old: &EdgeName, new: &EdgeName) {
        if let DartShape::Open { mouth, .. } = &mut self.shape
            && mouth.edge == *old
        {
            mouth.edge = new.clone();
        }
    }

    /// Sets the mouth's walk distances on an edge that was drawn anew, from the old distance and the leg that starts
    /// there.
    ///
    /// # Errors
    ///
    /// Gives the dart's name where one of the two has no place any more.
    pub(crate) fn carry_mouth(
        &mut self,
        edge: &EdgeName,
        place: impl Fn(f64, &Curve) -> Option<f64>,
    ) -> Result<(), DartName> {
        let DartShape::Open { mouth, legs } = &mut self.shape else { return Ok(()) };
        if mouth.edge != *edge {
            return Ok(());
        }
        let (from, to) = (place(mouth.from, &legs.0), place(mouth.to, &legs.1));
        let (Some(from), Some(to)) = (from, to) else { return Err(self.name.clone()) };
        *mouth = Mouth { edge: edge.clone(), from, to };
        Ok(())
    }
}
