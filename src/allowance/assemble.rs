//! From the lines beside the edges and the joins at the corners to one loop.

use std::sync::Arc;

use indexmap::IndexMap;
use kurbo::{BezPath, CubicBez, Line, ParamCurve, PathEl, PathSeg, Point};
use rustc_hash::FxBuildHasher;

use crate::allowance::beside::{BetweenLines, LinesAround};
use crate::allowance::corner::{Corner, Join, Which};
use crate::allowance::order::CornerOf;
use crate::allowance::selvedge::{folds, kept_on_cloth, selvedges};
use crate::allowance::shape::arm_of;
use crate::allowance::trim::freed_of_loops;
use crate::allowance::{AllowanceError, CutCorner, CutShape, CuttingLine, SewingOrder};
use crate::pattern::{Pattern, Piece, PieceName, SeamId};
use crate::tolerance::SAME_POINT;

/// The cutting lines of all pieces of a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingLines {
    lines: Arc<IndexMap<PieceName, CuttingLine, FxBuildHasher>>,
}

/// The question what they are, with what of the record decides it: the seams that steps made.
#[derive(PartialEq, Eq, Hash)]
struct AllCuttingLines(Vec<SeamId>);

impl CuttingLines {
    /// The cutting line of a piece.
    #[must_use]
    pub fn of(&self, piece: &PieceName) -> Option<&CuttingLine> {
        self.lines.get(piece)
    }

    /// The cutting lines in the order of the pieces.
    pub fn iter(&self) -> impl Iterator<Item = (&PieceName, &CuttingLine)> {
        self.lines.iter()
    }
}

/// The cutting line of one piece.
///
/// # Errors
///
/// Refuses an allowance that cannot be cut, a corner set to a shape that it cannot have, and an edge or outline whose
/// line cannot be worked out.
pub fn cutting_line(pattern: &Pattern, piece: &Piece) -> Result<CuttingLine, AllowanceError> {
    SewingOrder::of(pattern).cutting_line(piece)
}

/// The cutting lines of all pieces, reckoned once for each state of a pattern: what is checked is what is written.
///
/// # Errors
///
/// As [`cutting_line`].
pub fn cutting_lines(pattern: &Pattern) -> Result<CuttingLines, AllowanceError> {
    let made = pattern.seam_ids().filter(|id| pattern.is_new_seam(*id)).collect();
    pattern.reckoned(AllCuttingLines(made), || {
        let order = SewingOrder::of(pattern);
        let line = |piece: &Piece| Ok((piece.name().clone(), order.cutting_line(piece)?));
        let lines = pattern.pieces().map(line).collect::<Result<_, AllowanceError>>()?;
        Ok(CuttingLines { lines: Arc::new(lines) })
    })
}

impl SewingOrder<'_> {
    /// The cutting line of one piece of the pattern.
    ///
    /// # Errors
    ///
    /// As [`cutting_line`].
    pub fn cutting_line(&self, piece: &Piece) -> Result<CuttingLine, AllowanceError> {
        let ring = LinesAround::of(piece)?;
        let corners: Vec<Corner> = (0..ring.lines.len()).map(|index| ring.corner(index)).collect();
        let mut joins = Vec::with_capacity(corners.len());
        let mut caps = Vec::new();
        for (index, corner) in corners.iter().enumerate() {
            let (join, cap) = ring.join(index, corner, self)?;
            joins.push(join);
            caps.extend(cap);
        }
        self.free_swallowed(&ring, &corners, &mut joins);
        let ends = selvedges(&ring);
        let all = ends.iter().copied().chain(folds(piece));
        let path = kept_on_cloth(all, freed_of_loops(&ring, around(&ring, &joins))?);
        let mut corners = self.cut_corners(&ring, &joins);
        for corner in &mut corners {
            let beyond = |point| ends.iter().any(|end| end.beyond(point) > SAME_POINT);
            if beyond(corner.ends.0) || beyond(corner.ends.1) {
                corner.shape = CutShape::AtSelvedge;
            }
        }
        Ok(CuttingLine { path, corners, caps })
    }

    /// Where two corners leave nothing of the line between them, they are led through their vertices and trimmed later.
    fn free_swallowed(&self, ring: &LinesAround<'_>, corners: &[Corner], joins: &mut [Join]) {
        for index in 0..ring.lines.len() {
            let before = ring.previous(index);
            let from = ring.lines[index].line.length() - joins[before].leave.1;
            if joins[index].leave.0 - from <= SAME_POINT {
                for freed in [before, index] {
                    joins[freed] = self.freed(ring, freed, &corners[freed], &joins[freed]);
                }
            }
        }
    }

    /// A join led through its vertex. The line of the seam that is sewn first there still ends as far out as it did, so that
    /// it meets the end on the other piece; one that ran into its neighbour's allowance lies in that as before.
    fn freed(&self, ring: &LinesAround<'_>, index: usize, corner: &Corner, join: &Join) -> Join {
        let of = CornerOf { piece: ring.piece, after: ring.lines[index].edge };
        let meeting = self.first_at(of).filter(|_| matches!(ring.gaps[index], BetweenLines::Corner));
        let through = match (meeting, join.shape) {
            (None, _) | (_, CutShape::TurnedUp(_)) => return corner.through_vertex(),
            (Some(_), CutShape::IntoNeighbour(_)) => corner.through_vertex(),
            (Some(meeting), _) => {
                let which = arm_of(of, meeting.edge);
                let (arm, end) = match which {
                    Which::First => (&corner.first, join.ends.0),
                    Which::Second => (&corner.second, join.ends.1),
                };
                corner.ended_by_vertex(which, (end - corner.at).dot(arm.along))
            }
        };
        Join { shape: join.shape, ..through }
    }

    fn cut_corners(&self, ring: &LinesAround<'_>, joins: &[Join]) -> Vec<CutCorner> {
        let ends_edge = |index: &usize| ring.lines[*index].edge != ring.lines[ring.next(*index)].edge;
        let single = ring.piece.edges().len() == 1;
        let last = |index: &usize| ends_edge(index) || (single && *index + 1 == ring.lines.len());
        (0..ring.lines.len())
            .filter(last)
            .map(|index| {
                let after = ring.lines[index].edge;
                CutCorner {
                    edges: (after, ring.piece.next(after)),
                    shape: joins[index].shape,
                    ends: joins[index].ends,
                    sewn_first: self
                        .first_at(CornerOf { piece: ring.piece, after })
                        .map(|meeting| meeting.seam),
                }
            })
            .collect()
    }
}

/// The loop: what is left of each line, and the way to the next.
fn around(ring: &LinesAround<'_>, joins: &[Join]) -> BezPath {
    let mut segments: Vec<PathSeg> = Vec::new();
    for (index, beside) in ring.lines.iter().enumerate() {
        let from = beside.line.length() - joins[ring.previous(index)].leave.1;
        if let Ok(kept) = beside.line.stretch(from.max(0.0), joins[index].leave.0) {
            append(&mut segments, kept.segments());
        }
        append(&mut segments, &joins[index].way);
    }
    join_last_to_first(&mut segments);
    let mut path = BezPath::with_capacity(segments.len() + 2);
    if let (Some(first), Some(last)) = (segments.first(), segments.last()) {
        let meeting = first.start().midpoint(last.end());
        let count = segments.len();
        segments[0] = with_start(&segments[0], meeting);
        segments[count - 1] = with_end(&segments[count - 1], meeting);
        path.push(PathEl::MoveTo(meeting));
        path.extend(segments.iter().map(PathSeg::as_path_el));
        path.push(PathEl::ClosePath);
    }
    path
}

/// Adds segments; ends that all but meet are welded at their midpoint, a line that runs straight on is one line.
fn append(segments: &mut Vec<PathSeg>, next: &[PathSeg]) {
    let Some((first, rest)) = next.split_first() else { return };
    match segments.last_mut() {
        Some(last) if runs_straight_on(last, first) => *last = with_end(last, first.end()),
        Some(last) if last.end() != first.start() => {
            let meeting = last.end().midpoint(first.start());
            *last = with_end(last, meeting);
            segments.push(with_start(first, meeting));
        }
        _ => segments.push(*first),
    }
    segments.extend_from_slice(rest);
}

/// Where the loop begins within a straight line, it is made to begin at the corner before.
fn join_last_to_first(segments: &mut Vec<PathSeg>) {
    if let [first, .., last] = segments.as_mut_slice()
        && runs_straight_on(last, first)
    {
        *first = with_start(first, last.start());
        segments.pop();
    }
}

fn runs_straight_on(last: &PathSeg, next: &PathSeg) -> bool {
    let (PathSeg::Line(a), PathSeg::Line(b)) = (last, next) else { return false };
    let (along, on) = (a.p1 - a.p0, b.p1 - a.p0);
    let (length, reach) = (along.hypot(), on.hypot());
    along.dot(on) > 0.0
        && (b.p1 - b.p0).dot(along) > 0.0
        && (a.p1 - b.p0).hypot() <= SAME_POINT
        && along.cross(on).abs() <= SAME_POINT * length.min(reach)
}

fn with_start(segment: &PathSeg, start: Point) -> PathSeg {
    with_end(&segment.reverse(), start).reverse()
}

/// The segment with another end, which its control point follows.
fn with_end(segment: &PathSeg, end: Point) -> PathSeg {
    match segment {
        PathSeg::Line(line) => PathSeg::Line(Line::new(line.p0, end)),
        other => {
            let cubic = other.to_cubic();
            PathSeg::Cubic(CubicBez::new(cubic.p0, cubic.p1, cubic.p2 + (end - cubic.p3), end))
        }
    }
}
