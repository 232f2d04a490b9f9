//! The lines beside the edges of a piece, and where one gives way to the next.
//!
//! A line runs beside each sewn stretch. From one to the next it goes round a corner, or over the mouth of a dart.

use kurbo::Vec2;

use crate::allowance::cap::{DartMouth, cap, out_of_mouth};
use crate::allowance::corner::{Arm, Corner, Join};
use crate::allowance::order::CornerOf;
use crate::allowance::press::toward;
use crate::allowance::way::SegmentWay;
use crate::allowance::{AllowanceError, Cap, CutShape, SewingOrder};
use crate::curve::{Curve, left_of, offset};
use crate::pattern::{Dart, DartKind, DartShape, EdgeEnd, EdgeId, Mouth, Piece};
use crate::tolerance::{OFFSET_ACCURACY, SAME_POINT};

/// A stretch of an edge and the line beside it.
pub(super) struct LineBeside {
    pub edge: EdgeId,
    /// Walk distances on the edge's curve.
    pub from: f64,
    pub to: f64,
    pub line: Curve,
}

/// What lies between a stretch and the next, clockwise.
pub(super) enum BetweenLines<'a> {
    Corner,
    Mouth(&'a Dart),
}

/// The lines beside a piece, each with what follows it.
pub(super) struct LinesAround<'a> {
    pub piece: &'a Piece,
    pub lines: Vec<LineBeside>,
    pub gaps: Vec<BetweenLines<'a>>,
}

/// The allowance of an edge, mm.
pub(super) fn cut_depth(piece: &Piece, edge: EdgeId) -> f64 {
    piece.edge(edge).cut_allowance().mm()
}

impl<'a> LinesAround<'a> {
    pub fn of(piece: &'a Piece) -> Result<LinesAround<'a>, AllowanceError> {
        let mut ring = LinesAround { piece, lines: Vec::new(), gaps: Vec::new() };
        for edge in piece.edge_ids() {
            ring.add(edge)?;
        }
        ring.give_mouths_at_corners();
        Ok(ring)
    }

    fn add(&mut self, edge: EdgeId) -> Result<(), AllowanceError> {
        let curve = &self.piece.edge(edge).curve;
        let mouths = if self.piece.darts.is_empty() {
            Vec::new()
        } else {
            self.piece.mouths_on(&self.piece.edge(edge).name)
        };
        // A pleat at a corner is folded on the edge beside it: the cloth is cut along it as along the rest.
        let at_corner = |mouth: &Mouth| {
            mouth.from <= SAME_POINT || self.piece.edge(edge).curve.length() - mouth.to <= SAME_POINT
        };
        let mouths =
            mouths.into_iter().filter(|(dart, mouth)| !(dart.kind == DartKind::Pleat && at_corner(mouth)));
        let mut from = 0.0;
        let before = self.lines.len();
        for (dart, mouth) in mouths {
            if mouth.from - from > SAME_POINT {
                self.push(edge, from, mouth.from, BetweenLines::Mouth(dart))?;
            }
            from = mouth.to.max(from);
        }
        let length = curve.length();
        if length - from > SAME_POINT {
            self.push(edge, from, length, BetweenLines::Corner)?;
        } else if self.lines.len() == before {
            self.push(edge, 0.0, length, BetweenLines::Corner)?;
        }
        Ok(())
    }

    fn push(
        &mut self,
        edge: EdgeId,
        from: f64,
        to: f64,
        gap: BetweenLines<'a>,
    ) -> Result<(), AllowanceError> {
        let line = line_beside(self.piece, edge, from, to)?;
        self.lines.push(LineBeside { edge, from, to, line });
        self.gaps.push(gap);
        Ok(())
    }

    /// A mouth that begins at its edge's first corner lies between that edge and the one before.
    fn give_mouths_at_corners(&mut self) {
        let count = self.lines.len();
        for index in 0..count {
            let (first, before) = (&self.lines[index], (index + count - 1) % count);
            if first.from <= SAME_POINT || !matches!(self.gaps[before], BetweenLines::Corner) {
                continue;
            }
            let mouths = self.piece.mouths_on(&self.piece.edge(first.edge).name);
            if let Some((dart, _)) = mouths.into_iter().find(|(_, mouth)| mouth.from <= SAME_POINT) {
                self.gaps[before] = BetweenLines::Mouth(dart);
            }
        }
    }

    /// The index of the stretch after another.
    pub fn next(&self, index: usize) -> usize {
        (index + 1) % self.lines.len()
    }

    /// The index of the stretch before another.
    pub fn previous(&self, index: usize) -> usize {
        (index + self.lines.len() - 1) % self.lines.len()
    }

    /// The end of a stretch and the start of the next as arms of a corner.
    pub fn corner(&self, index: usize) -> Corner {
        let (a, b) = (&self.lines[index], &self.lines[self.next(index)]);
        let (before, after) = (&self.piece.edge(a.edge).curve, &self.piece.edge(b.edge).curve);
        let first = arm(a.line.clone(), before.tangent_before(a.to), cut_depth(self.piece, a.edge));
        let second = leaving_arm(b.line.reversed(), after.tangent_at(b.from), cut_depth(self.piece, b.edge));
        Corner::new(before.point_at(a.to), first, second)
    }

    /// The join over what lies between a stretch and the next.
    pub fn join(
        &self,
        index: usize,
        corner: &Corner,
        order: &SewingOrder<'_>,
    ) -> Result<(Join, Option<Cap>), AllowanceError> {
        match self.gaps[index] {
            BetweenLines::Corner => {
                let of = CornerOf { piece: self.piece, after: self.lines[index].edge };
                Ok((order.join(of, corner)?, None))
            }
            BetweenLines::Mouth(dart) => Ok(match self.capped(index, dart, corner, order) {
                Some((join, cap)) => (join, Some(cap)),
                None => (over(corner), None),
            }),
        }
    }

    fn capped(
        &self,
        index: usize,
        dart: &Dart,
        corner: &Corner,
        order: &SewingOrder<'_>,
    ) -> Option<(Join, Cap)> {
        let DartShape::Open { mouth, legs } = &dart.shape else { return None };
        let edge = self.piece.find_edge(&mouth.edge)?;
        let curve = &self.piece.edge(edge).curve;
        let ends = (curve.point_at(mouth.from), curve.point_at(mouth.to));
        let outs = (out_of_mouth(&legs.0), out_of_mouth(&legs.1));
        let side = toward(dart, mouth, edge, self.piece, order);
        let (join, points) = match side {
            EdgeEnd::First => cap(&DartMouth { ends, legs: outs }, &corner.first, &corner.second)?,
            EdgeEnd::Last => {
                let opening = DartMouth { ends: (ends.1, ends.0), legs: (outs.1, outs.0) };
                let (join, [a, b, c]) = cap(&opening, &corner.second, &corner.first)?;
                (join.turned(), [c, b, a])
            }
        };
        let at_corner = self.lines[index].edge != self.lines[self.next(index)].edge;
        let join = if at_corner { join } else { Join { shape: CutShape::Mitre, ..join } };
        Some((join, Cap { dart: dart.name.clone(), toward: side, points }))
    }
}

/// Straight over a mouth that no cap can be drawn for.
fn over(corner: &Corner) -> Join {
    let ends = (corner.first.line.end(), corner.second.line.end());
    Join {
        shape: CutShape::Mitre,
        leave: (corner.first.line.length(), corner.second.line.length()),
        way: SegmentWay::from(ends.0).line_to(ends.1).segments,
        ends,
    }
}

pub(super) fn arm(line: Curve, along: Vec2, depth: f64) -> Arm {
    Arm { line, along, out: left_of(along), depth }
}

pub(super) fn leaving_arm(line: Curve, leaving: Vec2, depth: f64) -> Arm {
    Arm { line, along: -leaving, out: left_of(leaving), depth }
}

/// One of the two edges of a piece's corner with the line beside it, darts aside.
pub(super) fn arm_at(of: CornerOf<'_>, edge: EdgeId) -> Result<Arm, AllowanceError> {
    let curve = &of.piece.edge(edge).curve;
    let line = line_beside(of.piece, edge, 0.0, curve.length())?;
    let depth = cut_depth(of.piece, edge);
    Ok(if edge == of.after {
        arm(line, curve.end_tangent(), depth)
    } else {
        leaving_arm(line.reversed(), curve.start_tangent(), depth)
    })
}

/// A piece's corner with the lines beside its two edges, darts aside.
pub(super) fn corner_at(of: CornerOf<'_>) -> Result<Corner, AllowanceError> {
    let (arriving, leaving) = of.edges();
    let at = of.piece.edge(arriving).curve.end();
    Ok(Corner::new(at, arm_at(of, arriving)?, arm_at(of, leaving)?))
}

fn line_beside(piece: &Piece, id: EdgeId, from: f64, to: f64) -> Result<Curve, AllowanceError> {
    let edge = piece.edge(id);
    let allowance = edge.cut_allowance().mm();
    if !allowance.is_finite() || allowance < 0.0 {
        return Err(AllowanceError::BadAllowance {
            piece: piece.name().clone(),
            edge: edge.name.clone(),
            allowance,
        });
    }
    let whole = from <= 0.0 && to >= edge.curve.length();
    let line = if whole {
        offset(&edge.curve, allowance, OFFSET_ACCURACY)
    } else {
        edge.curve.stretch(from, to).and_then(|part| offset(&part, allowance, OFFSET_ACCURACY))
    };
    line.map_err(|source| AllowanceError::Beside {
        piece: piece.name().clone(),
        edge: edge.name.clone(),
        source,
    })
}
