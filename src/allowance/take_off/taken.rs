//! The seamline that comes back.

use crate::curve::{Curve, Point};
use crate::pattern::{CornerShape, DartName, EdgeEnd, EdgeName};

/// The seamline of a drawn cutting line.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenOff {
    /// The edges, clockwise as seen; each begins bit for bit where the one before ends.
    pub edges: Vec<TakenEdge>,
    /// The corners, in the order of the edges they end.
    pub corners: Vec<TakenCorner>,
    /// The darts, clockwise.
    pub darts: Vec<TakenDart>,
    /// Where the cutting line does not tell the seamline.
    pub unknown: Vec<UnknownStretch>,
}

/// An edge of the seamline.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenEdge {
    /// Its name.
    pub name: EdgeName,
    /// The seamline. Over the mouth of a dart it is the straight chord.
    pub curve: Curve,
    /// The allowance that was taken off, mm.
    pub allowance: f64,
    /// The parts of the cutting line that were taken for the line beside it.
    pub(super) beside: Vec<Curve>,
}

/// A corner of the seamline.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenCorner {
    /// The edge that arrives and the edge that leaves, clockwise.
    pub edges: (EdgeName, EdgeName),
    /// The corner itself.
    pub at: Point,
    /// The shape in which it was cut; none where it fits none of the trade's. The corner is then where the two lines, as
    /// they were divided, meet, and worth a look.
    pub shape: Option<CornerShape>,
}

/// A dart.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenDart {
    /// Its name.
    pub name: DartName,
    /// The edge on which it opens.
    pub edge: EdgeName,
    /// Walk distances of the mouth's ends on the edge, mm.
    pub mouth: (f64, f64),
    /// The legs, each from its mouth end to the tip, the first belonging to the mouth's first end; none where only the
    /// mouth is known.
    pub legs: Option<(Curve, Curve)>,
    /// How the legs are known.
    pub known_by: DartKnownBy,
    /// To which end of the edge it is pressed, where its cap tells.
    pub toward: Option<EdgeEnd>,
}

/// How the shape of a dart is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DartKnownBy {
    /// Its legs were drawn.
    Legs,
    /// Its mouth was drawn.
    Mouth,
    /// It is cut into the cutting line as a wedge.
    Wedge,
    /// Its cap was folded back; the legs are straight, as a cap shows no more of them.
    Cap,
}

/// A stretch of an edge that the cutting line does not tell.
///
/// The edge runs on smoothly there from either side; whoever drew the piece must say whether it does.
#[derive(Clone, Debug, PartialEq)]
pub struct UnknownStretch {
    /// The edge.
    pub edge: EdgeName,
    /// Walk distance on its curve at which the stretch begins, mm.
    pub from: f64,
    /// Walk distance at which it ends, mm.
    pub to: f64,
    /// Where it begins.
    pub start: Point,
    /// Where it ends.
    pub end: Point,
    /// What hides it.
    pub why: Unknown,
}

/// What hides a stretch of a seamline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// A hollow of the edge, in which its allowance was deeper than there was room for.
    Hollow,
    /// The neighbour's allowance, or a dart's cap, at the end of an edge that bends there. The corner or mouth is as
    /// unsure as the edge.
    Corner,
}

/// A place on the seamline that a mark on the cutting line stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct OnSeamline {
    /// The edge.
    pub edge: EdgeName,
    /// Walk distance on its curve, mm.
    pub at: f64,
    /// The place itself.
    pub point: Point,
    /// How far the mark stood off the cutting line, mm.
    pub off: f64,
}

impl TakenOff {
    /// The place on the seamline that a mark on the cutting line stands for: square through the allowance.
    ///
    /// A mark beyond the end of every edge's own line, as at a mitre, comes to the corner.
    #[must_use]
    pub fn to_seamline(&self, mark: Point) -> Option<OnSeamline> {
        let lines = self.edges.iter().flat_map(|edge| edge.beside.iter().map(move |line| (edge, line)));
        let near = lines.map(|(edge, line)| (edge, line.nearest(mark)));
        let (edge, on_line) = near.min_by(|(_, a), (_, b)| a.distance.total_cmp(&b.distance))?;
        let place = edge.curve.nearest(on_line.point);
        Some(OnSeamline { edge: edge.name.clone(), at: place.at, point: place.point, off: on_line.distance })
    }
}
