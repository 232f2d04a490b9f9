//! Outlines that are not quite closed: ends of long lines that nearly meet.

use kurbo::{Point, Vec2};

use crate::adopt::chain::{JoinedStrokes, stands_on};
use crate::adopt::outlines::{FoundOutline, OutlineGap};
use crate::adopt::sorter::is_large;
use crate::curve::Curve;
use crate::tolerance::{GAP_LOOKED_FOR, LEAST_OUTLINE, ON_OUTLINE, WELD};

/// Lines that are looked at at most.
const MOST: usize = 1_000;

/// Two lines whose ends run the same way within this cosine, of 30°, do not go on in one another: they are legs of darts
/// that lie in one another, as sizes do.
const SAME_WAY: f64 = 0.866;

/// Ends of long open lines that nearly meet one another or their own other end, one running toward the other.
///
/// Two straight lines are none: the outline of nothing is two straight lines. An end that lies on another line is none: so
/// the mouth of a dart lies on its edge. Of several ends nearby that of the same kind of line is the likelier, so that sizes
/// are not joined with one another.
pub(super) fn gaps(
    lines: &[JoinedStrokes],
    outlines: &[FoundOutline],
    is_same_kind: impl Fn(&JoinedStrokes, &JoinedStrokes) -> bool,
) -> Vec<OutlineGap> {
    let long = |chain: &&JoinedStrokes| !chain.is_closed() && chain.curve.length() > 5.0 * GAP_LOOKED_FOR;
    let long: Vec<&JoinedStrokes> = lines.iter().filter(long).take(MOST).collect();
    let ends: Vec<OpenEnd> =
        long.iter().enumerate().flat_map(|(of, chain)| OpenEnd::both(of, &chain.curve)).collect();
    let apart = |a: &OpenEnd, b: &OpenEnd| {
        let strange = if is_same_kind(long[a.of], long[b.of]) { 0.0 } else { GAP_LOOKED_FOR };
        a.at.distance(b.at) + strange
    };
    let nearest = |at: usize| {
        let others = (0..ends.len()).filter(|other| *other != at);
        let near = others.map(|other| (apart(&ends[at], &ends[other]), other));
        near.filter(|(apart, _)| *apart <= 2.0 * GAP_LOOKED_FOR).min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let partner: Vec<Option<usize>> = (0..ends.len()).map(|at| Some(nearest(at)?.1)).collect();
    let mutual = |at: &usize| partner[*at].is_some_and(|other| other > *at && partner[other] == Some(*at));
    let pairs = (0..ends.len()).filter(mutual).filter_map(|at| Some((&ends[at], &ends[partner[at]?])));
    let gap = |(a, b): &(&OpenEnd, &OpenEnd)| {
        let width = a.at.distance(b.at);
        let open = width > WELD && width <= GAP_LOOKED_FOR && !(a.straight && b.straight);
        open && (a.faces(b.at) || b.faces(a.at)) && a.out.dot(b.out) < SAME_WAY
    };
    let attached = |end: &OpenEnd| {
        let others = lines.iter().filter(|chain| !std::ptr::eq(*chain, long[end.of]));
        let others = others.map(|chain| &chain.curve).filter(|curve| curve.length() >= LEAST_OUTLINE);
        let edges = outlines.iter().flat_map(|outline| &outline.edges);
        others.chain(edges).any(|line| stands_on(line, end.at))
    };
    // A line that goes round as an outline does, and leaves out a side.
    let goes_round = |both: &&[OpenEnd]| is_round(&long[both[0].of].curve, outlines);
    let far = ends.chunks_exact(2).filter(goes_round).map(|both| (&both[0], &both[1]));
    pairs
        .filter(gap)
        .chain(far)
        .filter(|(a, b)| !attached(a) && !attached(b))
        .map(|(a, b)| OutlineGap { from: a.at, to: b.at })
        .collect()
}

/// Whether an open line that lies in no outline would be one with a straight side between its ends, that is longer than a gap
/// and shorter than half of the rest.
fn is_round(line: &Curve, outlines: &[FoundOutline]) -> bool {
    let (start, end) = (line.start(), line.end());
    let width = start.distance(end);
    if width <= GAP_LOOKED_FOR || width > line.length() / 2.0 {
        return false;
    }
    let Some(ring) = Curve::line(end, start).ok().and_then(|side| line.joined(&side).ok()) else {
        return false;
    };
    let middle = line.point_at(line.length() / 2.0);
    let lies_in = |outline: &FoundOutline| outline.bounds().contains(middle) && outline.ring.contains(middle);
    is_large(&ring) && ring.crosses_itself().is_none() && !outlines.iter().any(lies_in)
}

/// An end of a long open line.
struct OpenEnd {
    /// Which of the lines.
    of: usize,
    at: Point,
    out: Vec2,
    straight: bool,
}

impl OpenEnd {
    fn both(of: usize, line: &Curve) -> [OpenEnd; 2] {
        let straight = line.is_straight(ON_OUTLINE);
        [
            OpenEnd { of, at: line.start(), out: -line.start_tangent(), straight },
            OpenEnd { of, at: line.end(), out: line.end_tangent(), straight },
        ]
    }

    /// Whether the line, run on, comes nearer to a place: the ends of a dart's mouth do not face each other.
    fn faces(&self, place: Point) -> bool {
        /// The cosine of 75°.
        const FACING: f64 = 0.26;
        let way = place - self.at;
        self.out.dot(way) > FACING * way.hypot()
    }
}
