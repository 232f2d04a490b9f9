//! From a place as it is named to a place on a piece.

use crate::curve::Point;
use crate::pattern::{
    Amount, Copy, DartShape, EdgeEnd, EdgeId, EdgeName, EdgeRef, Pattern, Piece, Place, Refusal, RefusalKind,
    SewnFrom, TipChoice,
};
use crate::tolerance::{ON_OUTLINE, SAME_LENGTH};

/// A place on a piece, found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundPlace {
    /// Where it is on the sheet.
    pub point: Point,
    /// The edge it lies on, and the walk distance along that edge's curve, if it lies on the outline.
    pub on: Option<(EdgeId, f64)>,
}

impl FoundPlace {
    /// A place on an edge.
    #[must_use]
    pub fn on_edge(piece: &Piece, edge: EdgeId, at: f64) -> FoundPlace {
        FoundPlace { point: piece.point_on(edge, at), on: Some((edge, at)) }
    }
}

impl Piece {
    /// Finds a place.
    ///
    /// # Errors
    ///
    /// Refuses unknown names, and a place outside its edge.
    pub fn place(&self, place: &Place) -> Result<FoundPlace, Refusal> {
        match place {
            Place::OnEdge { edge, along, from } => self.place_on_edge(edge, *along, from.as_ref(), place),
            Place::Point(name) => Ok(self.spot_at(self.point_named(name)?.at)),
            Place::Tip(dart, choice) => Ok(FoundPlace { point: self.tip(dart, *choice)?, on: None }),
            Place::Sheet(x, y) => Ok(self.spot_at(Point::new(x.mm(), y.mm()))),
        }
    }

    /// Finds a place that must lie on the outline: its edge, and the walk distance along its curve.
    ///
    /// # Errors
    ///
    /// Refuses what [`Piece::place`] refuses, and a place inside or outside the piece.
    pub fn place_on_outline(&self, place: &Place) -> Result<(EdgeId, f64), Refusal> {
        let spot = self.place(place)?;
        spot.on.ok_or_else(|| {
            Refusal::new(
                RefusalKind::PlaceOutside,
                self.name(),
                format!("`{place}` is not on the outline"),
                "name a place on an edge, like hem@45%",
            )
            .about(place)
        })
    }

    fn spot_at(&self, point: Point) -> FoundPlace {
        let near = self.nearest_on_outline(point);
        if near.distance <= ON_OUTLINE {
            FoundPlace::on_edge(self, near.edge, near.at)
        } else {
            FoundPlace { point, on: None }
        }
    }

    fn place_on_edge(
        &self,
        name: &EdgeName,
        along: Amount,
        from: Option<&EdgeName>,
        place: &Place,
    ) -> Result<FoundPlace, Refusal> {
        let edge = self.edge_named(name)?;
        let length = self.sewn_length(edge);
        let amount = along.of(length);
        if !(-SAME_LENGTH..=length + SAME_LENGTH).contains(&amount) {
            return Err(Refusal::new(
                RefusalKind::PlaceOutside,
                format!("{}.{name}", self.name()),
                format!("`{place}` lies outside the edge, which is {length:.1} mm long"),
                format!("give a place from 0mm to {length:.1}mm"),
            )
            .about(place));
        }
        let sewn = match from.map(|neighbour| self.end_at(edge, neighbour)).transpose()? {
            None | Some(EdgeEnd::First) => amount,
            Some(EdgeEnd::Last) => length - amount,
        };
        Ok(FoundPlace::on_edge(self, edge, self.from_sewn(edge, sewn.clamp(0.0, length))))
    }

    /// The end of an edge at which it meets a neighbour.
    ///
    /// # Errors
    ///
    /// Refuses a neighbour that is unknown or does not meet the edge.
    pub fn end_at(&self, edge: EdgeId, neighbour: &EdgeName) -> Result<EdgeEnd, Refusal> {
        let other = self.edge_named(neighbour)?;
        if self.previous(edge) == other {
            Ok(EdgeEnd::First)
        } else if self.next(edge) == other {
            Ok(EdgeEnd::Last)
        } else {
            Err(Refusal::new(
                RefusalKind::PlaceOutside,
                format!("{}.{}", self.name(), self.edge(edge).name),
                format!("the edge does not meet `{neighbour}`"),
                format!(
                    "its neighbours are `{}` and `{}`",
                    self.edge(self.previous(edge)).name,
                    self.edge(self.next(edge)).name
                ),
            )
            .about(neighbour))
        }
    }

    fn tip(&self, name: &crate::pattern::DartName, choice: TipChoice) -> Result<Point, Refusal> {
        let dart = self.dart_named(name)?;
        let grain = self.grain_or_down();
        match (&dart.shape, choice) {
            (DartShape::Open { legs, .. }, _) => Ok(legs.0.end()),
            (DartShape::Double { .. }, TipChoice::Only) => Err(Refusal::new(
                RefusalKind::PlaceOutside,
                format!("{}.{name}", self.name()),
                "a double dart has two tips",
                format!("name one: {name}.upper-tip or {name}.lower-tip"),
            )
            .about(name)),
            (DartShape::Double { sides }, _) => {
                let (a, b) = (sides.0.start(), sides.0.end());
                let first_is_upper = (b - a).dot(grain) >= 0.0;
                Ok(if first_is_upper == (choice == TipChoice::Upper) { a } else { b })
            }
        }
    }
}

/// The edge as it stands in the pattern: `back.side/m` names the mirrored copy of `back.side`, or an edge `side/m` of
/// an opened piece where there is one.
#[must_use]
pub fn settle(pattern: &Pattern, edge: &EdgeRef) -> EdgeRef {
    if edge.copy == Copy::Mirrored {
        let opened = EdgeRef::new(edge.piece.clone(), edge.edge.on_mirrored_half());
        if pattern.find_edge(&opened).is_some() {
            return opened;
        }
    }
    edge.clone()
}

impl SewnFrom {
    /// The end as it stands in the pattern; see [`settle`].
    #[must_use]
    pub fn settled(&self, pattern: &Pattern) -> SewnFrom {
        match self {
            SewnFrom::Neighbour(_) | SewnFrom::Corners(_) => self.clone(),
            SewnFrom::Corner { edge, end } => SewnFrom::Corner { edge: settle(pattern, edge), end: *end },
        }
    }
}
