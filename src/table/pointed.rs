//! A place on a piece that is pointed at, as a field says it, with what it was drawn to.

use serde::{Deserialize, Serialize};

use crate::curve::Point;
use crate::pattern::{
    Amount, DartShape, EdgeId, Pattern, Piece, PieceName, Place, Refusal, RefusalKind, TipChoice,
};
use crate::tolerance::{HAND_STEP, LARGEST_COORDINATE, MOST_HAND_REACH, WELD};
use crate::units::{Length, Share};

/// A place that is pointed at.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Pointing {
    /// The piece.
    pub piece: PieceName,
    /// Where, mm on the sheet.
    pub at: [f64; 2],
    /// How near it must be to what it is drawn to, mm.
    pub reach: f64,
    /// A line that is drawn on from there, as far as it is written; empty where it begins there. None where a place is asked for.
    pub line: Option<String>,
}

/// A place as it stands in a field.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pointed {
    /// What stands in the field.
    pub value: String,
    /// What the place is.
    pub says: String,
}

/// Something that a hand is drawn to.
struct Snap {
    place: Place,
    says: String,
    point: Point,
}

impl Pointing {
    /// The place, drawn to what is near.
    ///
    /// # Errors
    ///
    /// There is no such piece; the place is beyond any sheet.
    pub(super) fn pointed(&self, pattern: &Pattern) -> Result<Pointed, Refusal> {
        if self.at.iter().any(|at| !at.is_finite() || at.abs() > LARGEST_COORDINATE) {
            let what = "the hand is beyond any sheet";
            return Err(Refusal::new(RefusalKind::PlaceOutside, &self.piece, what, "bring it nearer"));
        }
        let piece = pattern.piece(&self.piece)?;
        let at = Point::new(self.at[0], self.at[1]);
        let reach = self.reach.clamp(0.0, MOST_HAND_REACH);
        let near = snaps(piece).into_iter().map(|snap| (snap.point.distance(at), snap));
        let nearest = near.filter(|(far, _)| *far <= reach).min_by(|a, b| a.0.total_cmp(&b.0));
        let (place, says) = match nearest {
            Some((_, snap)) => (snap.place, snap.says),
            None => anywhere(piece, at),
        };
        let value = match self.line.as_deref().map(str::trim) {
            None | Some("") => place.to_string(),
            Some(line) => format!("{line} > {place}"),
        };
        Ok(Pointed { value, says })
    }
}

/// The place of the outline that is nearest, to whole steps of a hand.
fn anywhere(piece: &Piece, at: Point) -> (Place, String) {
    let found = piece.nearest_on_outline(at);
    let along = (piece.to_sewn(found.edge, found.at) / HAND_STEP).round() * HAND_STEP;
    let along = along.min(piece.sewn_length(found.edge));
    (on_edge(piece, found.edge, along), format!("on {}", piece.edge(found.edge).name))
}

fn on_edge(piece: &Piece, edge: EdgeId, along: f64) -> Place {
    let edge = piece.edge(edge).name.clone();
    Place::OnEdge { edge, along: Amount::Length(Length::from_mm(along)), from: None }
}

/// All that a hand is drawn to on a piece: points, tips, middles of edges, notches, and where levels meet the outline.
fn snaps(piece: &Piece) -> Vec<Snap> {
    let points = piece.points.iter().map(|point| Snap {
        place: Place::Point(point.name.clone()),
        says: format!("the point {}", point.name),
        point: point.at,
    });
    let open = piece.darts.iter().filter(|dart| matches!(dart.shape, DartShape::Open { .. }));
    let tips = open.filter_map(|dart| {
        let point = *dart.tips().first()?;
        let place = Place::Tip(dart.name.clone(), TipChoice::Only);
        Some(Snap { place, says: format!("the tip of {}", dart.name), point })
    });
    let middles = piece.edge_ids().map(|id| {
        let name = &piece.edge(id).name;
        let along = Amount::Share(Share::HALF);
        Snap {
            place: Place::OnEdge { edge: name.clone(), along, from: None },
            says: format!("the middle of {name}"),
            point: piece.point_on(id, piece.from_sewn(id, piece.sewn_length(id) / 2.0)),
        }
    });
    let notches = piece.notches.iter().filter_map(|notch| {
        let id = piece.find_edge(&notch.edge)?;
        Some(Snap {
            place: on_edge(piece, id, piece.to_sewn(id, notch.at)),
            says: format!("a notch of {}", notch.edge),
            point: piece.point_on(id, notch.at),
        })
    });
    let ends = piece.levels.iter().flat_map(|level| {
        let ends = level.stretches.iter().flat_map(|(from, to)| [*from, *to]);
        ends.map(move |end| (level, piece.nearest_on_outline(end)))
    });
    let levels = ends.filter(|(_, found)| found.distance <= WELD).map(|(level, found)| Snap {
        place: on_edge(piece, found.edge, piece.to_sewn(found.edge, found.at)),
        says: format!("where level {} meets {}", level.name, piece.edge(found.edge).name),
        point: piece.point_on(found.edge, found.at),
    });
    points.chain(tips).chain(middles).chain(notches).chain(levels).collect()
}
