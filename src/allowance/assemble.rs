//! From the lines beside the edges and the joins at the corners to one loop.

use indexmap::IndexMap;
use kurbo::{BezPath, PathEl, PathSeg};

use crate::allowance::corner::{Arm, Corner, Join, Tip};
use crate::allowance::order::CornerOf;
use crate::allowance::{AllowanceError, CutCorner, CuttingLine, SewingOrder};
use crate::curve::{Curve, offset};
use crate::pattern::{EdgeId, Finish, Pattern, Piece, PieceName};
use crate::tolerance::{OFFSET_ACCURACY, SAME_POINT};

/// The cutting lines of all pieces of a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingLines {
    lines: IndexMap<PieceName, CuttingLine>,
}

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

/// The cutting lines of all pieces.
///
/// # Errors
///
/// As [`cutting_line`].
pub fn cutting_lines(pattern: &Pattern) -> Result<CuttingLines, AllowanceError> {
    let order = SewingOrder::of(pattern);
    let line = |piece: &Piece| Ok((piece.name().clone(), order.cutting_line(piece)?));
    Ok(CuttingLines { lines: pattern.pieces().map(line).collect::<Result<_, AllowanceError>>()? })
}

impl SewingOrder<'_> {
    /// The cutting line of one piece of the pattern.
    ///
    /// # Errors
    ///
    /// As [`cutting_line`].
    pub fn cutting_line(&self, piece: &Piece) -> Result<CuttingLine, AllowanceError> {
        let lines: Vec<Curve> =
            piece.edge_ids().map(|id| beside(piece, id)).collect::<Result<_, AllowanceError>>()?;
        let corners: Vec<Corner> = piece.edge_ids().map(|id| corner(piece, &lines, id)).collect();
        let mut joins: Vec<Join> =
            piece.edge_ids().zip(&corners).map(|(id, corner)| join(piece, id, corner)).collect();
        free_swallowed(&lines, &corners, &mut joins);
        let cut = |id: EdgeId| {
            let join = &joins[id.0];
            CutCorner {
                edges: (id, piece.next(id)),
                shape: join.shape,
                ends: join.ends,
                sewn_first: self.first_at(CornerOf { piece, after: id }).map(|meeting| meeting.seam),
            }
        };
        Ok(CuttingLine {
            path: around(&lines, &joins),
            corners: piece.edge_ids().map(cut).collect(),
            caps: Vec::new(),
            trimmed: Vec::new(),
        })
    }
}

fn beside(piece: &Piece, id: EdgeId) -> Result<Curve, AllowanceError> {
    let edge = piece.edge(id);
    let allowance = edge.cut_allowance().mm();
    if !allowance.is_finite() || allowance < 0.0 {
        return Err(AllowanceError::BadAllowance {
            piece: piece.name().clone(),
            edge: edge.name.clone(),
            allowance,
        });
    }
    offset(&edge.curve, allowance, OFFSET_ACCURACY).map_err(|source| AllowanceError::Beside {
        piece: piece.name().clone(),
        edge: edge.name.clone(),
        source,
    })
}

/// The corner at the end of an edge.
fn corner(piece: &Piece, lines: &[Curve], id: EdgeId) -> Corner {
    let next = piece.next(id);
    let (a, b) = (piece.edge(id), piece.edge(next));
    let (arriving, leaving) = (a.curve.end_tangent(), b.curve.start_tangent());
    let out = |tangent: crate::curve::Vec2| crate::curve::Vec2::new(tangent.y, -tangent.x);
    let first =
        Arm { line: lines[id.0].clone(), along: arriving, out: out(arriving), depth: a.cut_allowance().mm() };
    let second = Arm {
        line: lines[next.0].reversed(),
        along: -leaving,
        out: out(leaving),
        depth: b.cut_allowance().mm(),
    };
    Corner::new(a.curve.end(), first, second)
}

fn join(piece: &Piece, id: EdgeId, corner: &Corner) -> Join {
    let folded = [id, piece.next(id)].iter().any(|id| piece.edge(*id).finish == Finish::Fold);
    corner.mitre(if folded { Tip::Kept } else { Tip::CutOff })
}

/// Where two corners leave nothing of the line between them, they are led through their vertices and trimmed later.
fn free_swallowed(lines: &[Curve], corners: &[Corner], joins: &mut [Join]) {
    let count = lines.len();
    for index in 0..count {
        let before = (index + count - 1) % count;
        let from = lines[index].length() - joins[before].leave.1;
        if joins[index].leave.0 - from <= SAME_POINT {
            joins[before] = corners[before].through_vertex();
            joins[index] = corners[index].through_vertex();
        }
    }
}

/// The loop: what is left of each line, and the way to the next.
fn around(lines: &[Curve], joins: &[Join]) -> BezPath {
    let count = lines.len();
    let mut segments: Vec<PathSeg> = Vec::new();
    for index in 0..count {
        let from = lines[index].length() - joins[(index + count - 1) % count].leave.1;
        if let Ok(kept) = lines[index].stretch(from.max(0.0), joins[index].leave.0) {
            segments.extend_from_slice(kept.segments());
        }
        segments.extend_from_slice(&joins[index].way);
    }
    let mut path = BezPath::with_capacity(segments.len() + 2);
    let Some(start) = segments.first().map(kurbo::ParamCurve::start) else { return path };
    path.push(PathEl::MoveTo(start));
    let last = segments.len() - 1;
    for (index, segment) in segments.iter().enumerate() {
        path.push(match (segment.as_path_el(), index == last) {
            (PathEl::LineTo(_), true) => PathEl::LineTo(start),
            (PathEl::CurveTo(a, b, _), true) => PathEl::CurveTo(a, b, start),
            (element, _) => element,
        });
    }
    path.push(PathEl::ClosePath);
    path
}
