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
    /// The first mouth end, and the length of the leg from it.
    pub first: (Point, f64),
    /// The second mouth end, and the length of the leg from it.
    pub second: (Point, f64),
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
            first: (legs.0.start(), legs.0.length()),
            second: (legs.1.start(), legs.1.length()),
        })
    }

    /// Refuses legs of different length.
    pub(super) fn refuse_unequal(&self, piece: &Piece, dart: &DartName) -> Result<(), Refusal> {
        let differ = (self.first.1 - self.second.1).abs();
        if differ <= LEGS_DIFFER {
            return Ok(());
        }
        Err(bad(
            piece,
            dart,
            format!("its legs differ by {differ:.1} mm"),
            "redraw its mouth so that both legs are of one length",
        ))
    }

    /// The area of the wedge when its legs are drawn straight to a point, chord to chord.
    pub(super) fn wedge_area(&self, tip: Point) -> f64 {
        ((self.first.0 - tip).cross(self.second.0 - tip) / 2.0).abs()
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
