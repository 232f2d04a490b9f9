//! What a cutting line is.

use crate::curve::{BezPath, Point, Ray, Vec2};
use crate::pattern::{DartName, EdgeEnd, EdgeId, SeamId};
use crate::tolerance::FURTHEST_CUT;

/// The cutting line of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingLine {
    /// One closed loop of lines and curves, clockwise as seen, mm.
    pub path: BezPath,
    /// The corners, in the order of the edges they end.
    pub corners: Vec<CutCorner>,
    /// The caps of the darts' mouths, clockwise.
    pub caps: Vec<Cap>,
}

impl CuttingLine {
    /// Where the line is first met on the way from a place, in a direction of length one; none where it is nowhere near.
    #[must_use]
    pub fn met_from(&self, place: Point, way: Vec2) -> Option<Point> {
        let ray = Ray { from: place, way };
        let met = self.path.segments().flat_map(|segment| ray.meets(&segment));
        let first = met.filter(|ahead| (0.0..=FURTHEST_CUT).contains(ahead)).min_by(f64::total_cmp)?;
        Some(place + first * way)
    }
}

/// How the cutting line turns a corner.
#[derive(Clone, Debug, PartialEq)]
pub struct CutCorner {
    /// The edge that arrives and the edge that leaves, clockwise.
    pub edges: (EdgeId, EdgeId),
    /// The shape it has.
    pub shape: CutShape,
    /// Where the line beside each of the two edges ends.
    pub ends: (Point, Point),
    /// The seam that is sewn first of those that end here.
    pub sewn_first: Option<SeamId>,
}

/// The shape of a corner of a cutting line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutShape {
    /// Both lines run on until they meet.
    Mitre,
    /// A mitre whose tip is cut off.
    CappedMitre,
    /// The end is squared to this seamline.
    Square(EdgeId),
    /// The neighbour's line is reflected in the fold of this hem.
    TurnedUp(EdgeId),
    /// To be squared to this seamline, whose line runs into the neighbour's own allowance first and ends there.
    IntoNeighbour(EdgeId),
    /// Each line ends square to its own seamline.
    Jog,
    /// Whatever its shape was, its ends stand beyond the selvedge and are cut off there.
    AtSelvedge,
}

/// The cap of a dart's mouth: what must stand beyond the seamline so that the folded dart lies in the seam.
#[derive(Clone, Debug, PartialEq)]
pub struct Cap {
    /// The dart.
    pub dart: DartName,
    /// To which end of the mouth's edge the folded dart is pressed.
    pub toward: EdgeEnd,
    /// Where the first leg, run on, meets the cutting line; the apex on the fold; where the second leg meets it.
    pub points: [Point; 3],
}
