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
/// Two straight lines are none, as they are the outline of nothing, but where they are of a round of lines of which each
/// nearly meets the next. An end that lies on another line is none: so the mouth of a dart lies on its edge. Of several
/// ends nearby that of the same kind of line is the likelier, so that sizes are not joined with one another.
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
    let pairs = (0..ends.len()).filter(mutual).filter_map(|at| Some((at, partner[at]?)));
    let pairs = pairs.filter(|(a, b)| ends[*a].goes_on_in(&ends[*b]));
    let pairs: Vec<(usize, usize)> = pairs.collect();
    let of_round = rounds(ends.len(), &pairs);
    let gap = |(a, b): &(usize, usize)| of_round[*a] || !(ends[*a].straight && ends[*b].straight);
    let pairs: Vec<(&OpenEnd, &OpenEnd)> =
        pairs.iter().filter(|pair| gap(pair)).map(|(a, b)| (&ends[*a], &ends[*b])).collect();
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
        .into_iter()
        .chain(far)
        .filter(|(a, b)| !attached(a) && !attached(b))
        .map(|(a, b)| OutlineGap { from: a.at, to: b.at })
        .collect()
}

/// Which ends are of three or more lines that come round to the first, each going on in the next over a gap. The ends of
/// line n are 2n and 2n + 1.
fn rounds(ends: usize, pairs: &[(usize, usize)]) -> Vec<bool> {
    const LEAST: usize = 3;
    let mut next: Vec<Option<usize>> = vec![None; ends];
    for (a, b) in pairs {
        (next[*a], next[*b]) = (Some(*b), Some(*a));
    }
    let other_end = |end: usize| end ^ 1;
    let mut of_round = vec![false; ends];
    for first in (0..ends).step_by(2) {
        let follow = std::iter::successors(Some(first), |end| next[other_end(*end)]);
        let way: Vec<usize> = follow.take(ends).collect();
        let round = way.iter().skip(1).position(|end| *end == first);
        if let Some(lines) = round.map(|at| at + 1).filter(|lines| *lines >= LEAST) {
            way[..lines].iter().for_each(|end| (of_round[*end], of_round[other_end(*end)]) = (true, true));
        }
    }
    of_round
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

    /// Whether there is a gap between two ends at which one line runs toward the other.
    fn goes_on_in(&self, other: &OpenEnd) -> bool {
        let width = self.at.distance(other.at);
        let open = width > WELD && width <= GAP_LOOKED_FOR;
        open && (self.faces(other.at) || other.faces(self.at)) && self.out.dot(other.out) < SAME_WAY
    }

    /// Whether the line, run on, comes nearer to a place: the ends of a dart's mouth do not face each other.
    fn faces(&self, place: Point) -> bool {
        /// The cosine of 75°.
        const FACING: f64 = 0.26;
        let way = place - self.at;
        self.out.dot(way) > FACING * way.hypot()
    }
}
