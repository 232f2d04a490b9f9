//! Which thread of the cloth an edge runs along.

use crate::curve::angle_between_lines;
use crate::pattern::{EdgeId, Piece};

/// One of the two threads of a cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thread {
    /// Along the grain.
    Warp,
    /// Square to it.
    Weft,
}

/// How an edge lies to the thread that it runs along.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffThread {
    /// The thread.
    pub thread: Thread,
    /// The angle between it and the straight line between its ends, degrees from 0 to 45.
    pub degrees: f64,
}

impl Piece {
    /// How an edge lies to the nearer of warp and weft; none of an edge that is closed, or of a piece without a grainline.
    #[must_use]
    pub fn off_thread(&self, id: EdgeId) -> Option<OffThread> {
        self.line_off_thread(id, id)
    }

    /// How a line that runs on over several edges, from one clockwise to another, lies to the nearer of warp and weft.
    #[must_use]
    pub fn line_off_thread(&self, first: EdgeId, last: EdgeId) -> Option<OffThread> {
        let grain = self.grainline.as_ref()?.direction();
        let chord = self.edge(last).curve.end() - self.edge(first).curve.start();
        let degrees = angle_between_lines(chord, grain).degrees();
        let off = match degrees <= 45.0 {
            true => OffThread { thread: Thread::Warp, degrees },
            false => OffThread { thread: Thread::Weft, degrees: 90.0 - degrees },
        };
        (chord.hypot() > 0.0 && degrees.is_finite()).then_some(off)
    }
}
