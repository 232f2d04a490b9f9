//! The straight legs of a dart.

use crate::curve::{Curve, Point};
use crate::pattern::{Dart, DartName, DartShape, EdgeId, Piece, Refusal, RefusalKind};
use crate::tolerance::{LEGS_DIFFER, LEGS_STRAIGHT};

/// A dart with straight legs that opens on an edge.
#[derive(Clone, Debug)]
pub(super) struct DartLegs {
    pub edge: EdgeId,
    /// Walk distances of the mouth's ends.
    pub from: f64,
    pub to: f64,
    pub tip: Point,
    /// The first mouth end.
    pub first: Point,
    /// The second mouth end.
    pub second: Point,
}

impl DartLegs {
    /// Takes up a dart.
    ///
    /// # Errors
    ///
    /// Refuses a double dart, and legs that are not straight.
    pub(super) fn of(piece: &Piece, dart: &Dart) -> Result<DartLegs, Refusal> {
        let DartShape::Open { mouth, legs } = &dart.shape else {
            return Err(bad(
                piece,
                &dart.name,
                "a double dart has no mouth to close",
                &format!(
                    "run it out to a seam: retrue dart-to-seam --piece {} --dart {}",
                    piece.name(),
                    dart.name
                ),
            ));
        };
        if [&legs.0, &legs.1].into_iter().any(|leg| !is_straight(leg)) {
            return Err(bad(
                piece,
                &dart.name,
                "the legs are curved, so they would not lie on one another after a turn",
                "draw them straight, or run the dart out to a seam with dart-to-seam",
            ));
        }
        Ok(DartLegs {
            edge: piece.edge_named(&mouth.edge)?,
            from: mouth.from,
            to: mouth.to,
            tip: legs.0.end(),
            first: legs.0.start(),
            second: legs.1.start(),
        })
    }

    /// Refuses legs that are of different length when they are drawn to a point.
    pub(super) fn refuse_unequal_from(
        &self,
        point: Point,
        piece: &Piece,
        dart: &DartName,
    ) -> Result<(), Refusal> {
        let differ = (self.first.distance(point) - self.second.distance(point)).abs();
        if differ <= LEGS_DIFFER {
            return Ok(());
        }
        if point != self.tip {
            return Err(bad(
                piece,
                dart,
                format!("the point lies beside its axis: legs drawn to it would differ by {differ:.1} mm"),
                "redraw its mouth so that both ends are equally far from the point",
            ));
        }
        Err(bad(
            piece,
            dart,
            format!("its legs differ by {differ:.1} mm"),
            "redraw its mouth so that both legs are of one length",
        ))
    }
}

fn bad(piece: &Piece, dart: &DartName, what: impl std::fmt::Display, way_out: &str) -> Refusal {
    Refusal::new(RefusalKind::BadDart, format!("{}.{dart}", piece.name()), what, way_out)
}

fn is_straight(leg: &Curve) -> bool {
    leg.is_straight(LEGS_STRAIGHT)
}

/// A piece without some of its darts.
pub(super) fn without(piece: &Piece, darts: &[&DartName]) -> Piece {
    let mut piece = piece.clone();
    piece.darts.retain(|dart| !darts.contains(&&dart.name));
    piece
}
