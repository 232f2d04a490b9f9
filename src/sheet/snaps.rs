//! What reading lays on what it belongs to, or takes as simpler than it is drawn.

use kurbo::{BezPath, Line, ParamCurveNearest, PathEl, PathSeg, Point};

use crate::pattern::{Edge, EdgeId, Piece, PieceName, Snap, Snapped};
use crate::tolerance::{FINEST_FLATTENING, SNAPPED};

/// What was found of one piece, each over [`SNAPPED`].
pub(super) struct Snaps {
    piece: PieceName,
    pub found: Vec<Snapped>,
}

impl Snaps {
    pub(super) fn of_piece(piece: &PieceName) -> Snaps {
        Snaps { piece: piece.clone(), found: Vec::new() }
    }

    fn note(&mut self, at: String, how: Snap, by: f64) {
        if by > SNAPPED {
            self.found.push(Snapped { at, how, by });
        }
    }

    fn part(&self, name: &str) -> String {
        format!("{}.{name}", self.piece)
    }

    /// The edges of the piece in order, before their ends are joined.
    pub(super) fn ends(&mut self, edges: &[Edge]) {
        for (i, edge) in edges.iter().enumerate() {
            let next = &edges[(i + 1) % edges.len()];
            let gap = edge.curve.end().distance(next.curve.start());
            let how = Snap::Joined { ends: edge.name.clone(), starts: next.name.clone() };
            self.note(self.piece.to_string(), how, gap);
        }
    }

    /// A dart whose mouth is drawn with these ends.
    pub(super) fn mouth(&mut self, piece: &Piece, dart: &str, edge: EdgeId, ends: [Point; 2]) {
        let edge = piece.edge(edge);
        let off = ends.map(|end| edge.curve.nearest(end).distance);
        self.note(self.part(dart), Snap::Mouth { edge: edge.name.clone() }, off[0].max(off[1]));
    }

    /// A notch that is drawn by this path, from so far off its edge.
    pub(super) fn notch(&mut self, name: &str, edge: &Edge, off: f64, path: &BezPath) {
        self.note(self.part(name), Snap::Foot { edge: edge.name.clone() }, off);
        let stroke = path.segments().next().map(|stroke| line_between(&stroke));
        let beside = stroke.map_or(0.0, |stroke| farthest_from(path, stroke));
        self.note(self.part(name), Snap::FirstStroke, beside);
    }

    /// A line that is taken as straight.
    pub(super) fn straightened(&mut self, name: &str, path: &BezPath, taken: Line) {
        self.note(self.part(name), Snap::Straightened, farthest_from(path, taken));
    }

    /// A point that is drawn within a box.
    pub(super) fn rounded(&mut self, name: &str, bounds: kurbo::Rect) {
        self.note(self.part(name), Snap::Rounded, (bounds.height() - bounds.width()).abs() / 2.0);
    }
}

fn line_between(stroke: &PathSeg) -> Line {
    Line::new(kurbo::ParamCurve::start(stroke), kurbo::ParamCurve::end(stroke))
}

/// How far what a path draws lies from a straight line at most, mm.
fn farthest_from(path: &BezPath, line: Line) -> f64 {
    let mut farthest = 0.0_f64;
    let mut last = Point::ZERO;
    let mut look =
        |at: Point| farthest = farthest.max(line.nearest(at, FINEST_FLATTENING).distance_sq.sqrt());
    kurbo::flatten(path, FINEST_FLATTENING, |el| match el {
        PathEl::MoveTo(at) => last = at,
        PathEl::LineTo(at) => {
            look(last);
            look(at);
            last = at;
        }
        _ => {}
    });
    farthest
}
