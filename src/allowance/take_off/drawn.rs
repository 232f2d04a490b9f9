//! What is said of a cutting line that was drawn.

use crate::curve::{Curve, Point};
use crate::pattern::{DartName, EdgeName, Finish, ShapedCorner};
use crate::units::Length;

/// A cutting line as it was drawn: one closed loop, divided at its corners, in either direction.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnCuttingLine {
    /// The stretches in the order of travel. Each ends where the next begins, within [`crate::tolerance::WELD`].
    ///
    /// Stretches that follow one another under one name are one edge, with whatever else stands between them.
    pub stretches: Vec<DrawnStretch>,
    /// The corners whose shape is known. Of the others it is found out from the drawing.
    pub corners: Vec<ShapedCorner>,
    /// The darts that open on an edge.
    pub darts: Vec<DrawnDart>,
}

/// A stretch of a drawn cutting line.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnStretch {
    /// The line as drawn.
    pub curve: Curve,
    /// What it stands for.
    pub part: DrawnPart,
}

/// What a stretch of a cutting line stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum DrawnPart {
    /// An edge of the seamline, or a part of one.
    Edge(DrawnEdge),
    /// No edge: it belongs to a squared end, a hem turned up, a jog or the cut-off tip of a mitre.
    Corner,
    /// One of the two: an edge with these settings, unless the corner it would then be part of has a known shape.
    Unsaid(DrawnEdge),
}

/// What is known of an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnEdge {
    /// Its name.
    pub name: EdgeName,
    /// The allowance that was cut: zero at a fold and at a selvedge.
    pub allowance: Length,
    /// How it is finished.
    pub finish: Finish,
}

/// A dart of a piece that was drawn by its cutting line.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnDart {
    /// Its name.
    pub name: DartName,
    /// The edge on which it opens.
    pub edge: EdgeName,
    /// What is drawn of it.
    pub shown: DartShown,
}

/// What is drawn of a dart.
#[derive(Clone, Debug, PartialEq)]
pub enum DartShown {
    /// Its legs, each from the mouth to the tip and in either order. They may run on to the cutting line.
    Legs(Curve, Curve),
    /// The two ends of its mouth on the seamline, in either order.
    Mouth(Point, Point),
    /// Only what the cutting line has of it: its cap, or a wedge cut in.
    Outside,
}
