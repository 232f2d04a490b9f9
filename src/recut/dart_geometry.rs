//! The wedge that a dart folds away: its legs, its angle, and the motion that closes it.
//!
//! ```text
//!      from     to              the mouth, clockwise along its edge
//!     ───┐       ┌───
//!         \     /               the parts before and after the mouth
//!          \   /                turn about the tip until the legs meet
//!           \ /
//!           tip
//! ```

use crate::advice;
use crate::curve::{Curve, Motion, Point, turn_between};
use crate::pattern::{
    Dart, DartKind, DartName, DartShape, EdgeName, Field, On, Operation, Piece, Refusal, RefusalKind,
};
use crate::recut::line::dart_in_the_way;
use crate::tolerance::{LEGS_DIFFER, LEGS_STRAIGHT, MOST_SLIDE, ON_OUTLINE, SAME_CUT};

/// An open dart with its mouth found on the outline.
#[derive(Clone, Debug)]
pub(super) struct Wedge<'a> {
    pub piece: &'a Piece,
    pub dart: &'a Dart,
    /// The edge on which it opens.
    pub edge: &'a EdgeName,
    /// The first mouth end, clockwise.
    pub from: On,
    /// The second.
    pub to: On,
    legs: (&'a Curve, &'a Curve),
}

/// Which of the two parts that a dart separates is turned to close it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TurnedPart {
    /// The part that ends at the mouth, clockwise.
    BeforeMouth,
    /// The part that begins at the mouth.
    AfterMouth,
}

impl<'a> Wedge<'a> {
    /// The wedge of a dart that opens on an edge.
    ///
    /// # Errors
    ///
    /// Refuses a double dart.
    pub(super) fn of(piece: &'a Piece, dart: &'a Dart) -> Result<Wedge<'a>, Refusal> {
        let DartShape::Open { mouth, legs } = &dart.shape else {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                format!("{}.{}", piece.name(), dart.name),
                "a double dart opens on no edge and cannot be turned about a tip",
                advice!(
                    "cut through it: ",
                    Operation::DartToSeam.with(Field::Piece, piece.name()).with(Field::Dart, &dart.name),
                    "; or split the piece across its widest place first"
                ),
            ));
        };
        if dart.kind == DartKind::Pleat {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                format!("{}.{}", piece.name(), dart.name),
                "a pleat is folded at its edge and is not sewn to a tip: it cannot be turned or made a seam",
                advice!(
                    "recut the piece that this one was made from, then ",
                    Operation::Follow.with(Field::Piece, piece.name())
                ),
            ));
        }
        let edge = piece.edge_named(&mouth.edge)?;
        Ok(Wedge {
            piece,
            dart,
            edge: &mouth.edge,
            from: On { edge, at: mouth.from },
            to: On { edge, at: mouth.to },
            legs: (&legs.0, &legs.1),
        })
    }

    /// The two mouth ends, clockwise.
    pub(super) fn mouth(&self) -> (Point, Point) {
        (self.piece.point_on(self.from.edge, self.from.at), self.piece.point_on(self.to.edge, self.to.at))
    }

    /// The tip as drawn.
    pub(super) fn tip(&self) -> Point {
        self.legs.0.end()
    }

    fn name(&self) -> String {
        format!("{}.{}", self.piece.name(), self.dart.name)
    }

    /// Refuses a dart that cannot be closed about a point by turning: legs that differ, legs that curve, legs that
    /// would differ by more than `most` mm when redrawn to the point.
    pub(super) fn refuse_unsound(&self, point: Point, most: Slide) -> Result<(), Refusal> {
        let (piece, dart) = (self.piece.name(), &self.dart.name);
        let apart = (self.legs.0.length() - self.legs.1.length()).abs();
        if apart > LEGS_DIFFER {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                self.name(),
                format!("the legs differ by {apart:.1} mm, more than {LEGS_DIFFER} mm"),
                advice!(
                    format!(
                        "true them first: move a mouth end along `{}`, or the tip, until both legs are equal (a \
                         seam's lengths are trued with ",
                        self.edge
                    ),
                    Operation::TrueSeam,
                    ")"
                ),
            ));
        }
        if let Some(off) = [self.legs.0, self.legs.1].into_iter().find(|leg| !leg.is_straight(LEGS_STRAIGHT))
        {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                self.name(),
                format!(
                    "a leg leaves its chord by {:.1} mm: curved legs do not meet when the dart is closed",
                    off_chord(off)
                ),
                advice!(
                    "draw the legs straight, or cut through it: ",
                    Operation::DartToSeam.with(Field::Piece, piece).with(Field::Dart, dart)
                ),
            ));
        }
        let (first, second) = self.mouth();
        let apart = (first.distance(point) - second.distance(point)).abs();
        if apart > most.mm() {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                self.name(),
                format!(
                    "redrawn to the point, its legs would differ by {apart:.1} mm, more than {} mm",
                    most.mm()
                ),
                "choose a point on the dart's axis, or redraw the dart so that it points there",
            ));
        }
        Ok(())
    }

    /// The angle that it takes up at a point, in radians.
    pub(super) fn angle_at(&self, point: Point) -> f64 {
        let (first, second) = self.mouth();
        let (first, second) = (first - point, second - point);
        turn_between(first, second).0
    }

    /// Its legs redrawn to a point, each from its mouth end. A curved leg keeps its curve.
    ///
    /// # Errors
    ///
    /// Refuses a point on a mouth end.
    pub(super) fn legs_to(&self, point: Point) -> Result<(Curve, Curve), Refusal> {
        let (first, second) = self.mouth();
        Ok((redrawn(self.legs.0, first, point)?, redrawn(self.legs.1, second, point)?))
    }

    /// The motion of one of the two parts that lays the mouth ends on one another and closes the wedge about a point.
    /// Where the legs differ the part slides along the leg by the difference.
    ///
    /// # Errors
    ///
    /// Refuses a point on a mouth end.
    pub(super) fn closing(&self, point: Point, turned: TurnedPart) -> Result<Motion, Refusal> {
        let (first, second) = self.mouth();
        Ok(match turned {
            TurnedPart::AfterMouth => Motion::carry((second, point), (first, point))?,
            TurnedPart::BeforeMouth => Motion::carry((first, point), (second, point))?,
        })
    }

    /// By how much the piece without its darts grows when the legs are redrawn, mm².
    pub(super) fn area_change(&self, legs: (Curve, Curve)) -> f64 {
        let DartShape::Open { mouth, .. } = &self.dart.shape else { return 0.0 };
        let shape = DartShape::Open { mouth: mouth.clone(), legs };
        redrawn_area(self.piece, self.dart, shape)
    }
}

/// How far a part may slide along the leg when a dart is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slide {
    /// As far as legs may differ: the dart stays a dart.
    AsLegsMay,
    /// As far as a blend takes up: the dart goes into a seam.
    IntoBlend,
}

impl Slide {
    fn mm(self) -> f64 {
        match self {
            Slide::AsLegsMay => LEGS_DIFFER,
            Slide::IntoBlend => MOST_SLIDE,
        }
    }
}

/// By how much the piece without its darts grows when a dart takes another shape, mm².
pub(super) fn redrawn_area(piece: &Piece, dart: &Dart, shape: DartShape) -> f64 {
    piece.dart_area(dart) - piece.dart_area(&Dart { shape, ..dart.clone() })
}

fn off_chord(curve: &Curve) -> f64 {
    Curve::line(curve.start(), curve.end()).map_or(0.0, |chord| curve.distance_to(&chord))
}

/// A leg or side with its ends moved: straight where it was straight, else with its curve kept.
pub(super) fn redrawn(leg: &Curve, start: Point, end: Point) -> Result<Curve, Refusal> {
    match leg.is_straight(LEGS_STRAIGHT) {
        true => Ok(Curve::line(start, end)?),
        false => Ok(leg.with_ends(start, end)?),
    }
}

/// Refuses a curve that does not run inside a piece from one of its ends to the other, where they may touch the
/// outline if they are named as lying on it.
pub(super) fn refuse_outside(
    piece: &Piece,
    curve: &Curve,
    what: &str,
    on_outline: &[Point],
) -> Result<(), Refusal> {
    let allowed = |point: Point| on_outline.iter().any(|end| end.distance(point) <= ON_OUTLINE);
    let crossing =
        piece.outline().crossings_with(curve).into_iter().find(|crossing| !allowed(crossing.point));
    let middle_in = piece.outline().contains(curve.point_at(curve.length() / 2.0));
    let at = match crossing {
        Some(crossing) => crossing.point,
        None if middle_in => return Ok(()),
        None => curve.point_at(curve.length() / 2.0),
    };
    Err(Refusal::new(
        RefusalKind::BadLine,
        piece.name(),
        format!("{what} leaves the piece at ({:.1}mm, {:.1}mm)", at.x, at.y),
        "choose places between which the way lies inside the piece",
    ))
}

/// Refuses curves that cross a dart which is not among those taken.
pub(super) fn refuse_across_darts(
    piece: &Piece,
    curves: &[Curve],
    taken: &[DartName],
) -> Result<(), Refusal> {
    let mut others = piece.darts.iter().filter(|dart| !taken.contains(&dart.name));
    match others.find(|dart| curves.iter().any(|curve| dart.is_crossed_by(curve))) {
        Some(dart) => Err(dart_in_the_way(piece, &dart.name)),
        None => Ok(()),
    }
}

/// Refuses two curves that meet elsewhere than at a point they share.
pub(super) fn refuse_meeting(piece: &Piece, a: &Curve, b: &Curve, shared: Point) -> Result<(), Refusal> {
    match a.crossings(b).into_iter().find(|crossing| crossing.point.distance(shared) > SAME_CUT) {
        None => Ok(()),
        Some(crossing) => Err(Refusal::new(
            RefusalKind::BadLine,
            piece.name(),
            format!(
                "the legs of two darts, or a leg and the line, cross at ({:.1}mm, {:.1}mm) when drawn to the point",
                crossing.point.x, crossing.point.y
            ),
            advice!(
                "name fewer darts with ",
                Field::Darts,
                ", or move one first with ",
                Operation::PivotDart
            ),
        )),
    }
}
