//! The stretches of a drawn cutting line, gathered by edge.

use kurbo::{ParamCurve, PathSeg};

use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::{DrawnCuttingLine, DrawnEdge, DrawnPart};
use crate::curve::{Curve, Joint, Outline};
use crate::tolerance::{DRAWN_SPECK, KINK_IN_CUT, WELD};

/// The line drawn beside one edge, and what stands between it and the next.
#[derive(Clone, Debug)]
pub(super) struct EdgeSpan {
    pub edge: DrawnEdge,
    pub line: Curve,
    pub after: Vec<BetweenSpans>,
}

/// A stretch between the lines of two edges.
#[derive(Clone, Debug)]
pub(super) enum BetweenSpans {
    Corner(Curve),
    Unsaid(DrawnEdge, Curve),
}

impl BetweenSpans {
    pub fn line(&self) -> &Curve {
        let (BetweenSpans::Corner(line) | BetweenSpans::Unsaid(_, line)) = self;
        line
    }
}

impl EdgeSpan {
    pub fn depth(&self) -> f64 {
        self.edge.allowance.mm()
    }

    fn swallow(&mut self, next: &Curve) -> Result<(), TakeOffError> {
        let mut line = self.line.clone();
        for between in self.after.drain(..) {
            line = line.joined(between.line()).map_err(TakeOffError::Open)?;
        }
        self.line = line.joined(next).map_err(TakeOffError::Open)?;
        Ok(())
    }
}

/// Where a line turns visibly.
pub(super) fn kinks(line: &Curve) -> impl DoubleEndedIterator<Item = Joint> {
    line.joints().into_iter().filter(|joint| joint.turn.abs() > KINK_IN_CUT)
}

/// The edges' lines in clockwise order.
pub(super) fn spans(drawn: &DrawnCuttingLine) -> Result<Vec<EdgeSpan>, TakeOffError> {
    let (parts, lines) = clockwise(drawn)?;
    let count = parts.len();
    let start = first_of_an_edge(&parts).ok_or(TakeOffError::NoEdge)?;
    let mut spans: Vec<EdgeSpan> = Vec::new();
    for index in (0..count).map(|step| (start + step) % count) {
        let line = lines[index].clone();
        match (parts[index], spans.last_mut()) {
            (DrawnPart::Edge(edge), Some(last)) if last.edge.name == edge.name => last.swallow(&line)?,
            (DrawnPart::Edge(edge), _) => {
                check(edge)?;
                spans.push(EdgeSpan { edge: edge.clone(), line, after: Vec::new() });
            }
            (DrawnPart::Corner, Some(last)) => last.after.push(BetweenSpans::Corner(line)),
            (DrawnPart::Unsaid(edge), Some(last)) => {
                check(edge)?;
                last.after.push(BetweenSpans::Unsaid(edge.clone(), line));
            }
            (DrawnPart::Corner | DrawnPart::Unsaid(_), None) => return Err(TakeOffError::NoEdge),
        }
    }
    Ok(spans)
}

fn clockwise(drawn: &DrawnCuttingLine) -> Result<(Vec<&DrawnPart>, Vec<Curve>), TakeOffError> {
    let mut parts: Vec<&DrawnPart> = drawn.stretches.iter().map(|stretch| &stretch.part).collect();
    let lines = drawn.stretches.iter().map(|stretch| stretch.curve.clone());
    let mut ring = Outline::welded_within(lines, WELD).map_err(TakeOffError::Open)?;
    if ring.area() < 0.0 {
        ring = ring.reversed();
        parts.reverse();
    }
    Ok((parts, ring.curves().iter().map(without_specks).collect()))
}

/// The line without segments that are too short to mean anything, whose directions are noise; what follows is drawn from
/// where they began.
pub(super) fn without_specks(line: &Curve) -> Curve {
    let mut kept: Vec<PathSeg> = Vec::with_capacity(line.segments().len());
    for segment in line.segments() {
        let start = kept.last().map_or(line.start(), PathSeg::end);
        let Ok(own) = Curve::new([*segment]) else { continue };
        if own.length() > DRAWN_SPECK
            && let Ok(moved) = own.with_ends(start, segment.end())
        {
            kept.extend_from_slice(moved.segments());
        }
    }
    let whole = Curve::new(kept).and_then(|kept| kept.with_ends(line.start(), line.end()));
    whole.unwrap_or_else(|_| line.clone())
}

/// The first stretch of an edge that the edge before it is not also a stretch of.
fn first_of_an_edge(parts: &[&DrawnPart]) -> Option<usize> {
    let named = |part: &DrawnPart| match part {
        DrawnPart::Edge(edge) => Some(edge.name.clone()),
        DrawnPart::Corner | DrawnPart::Unsaid(_) => None,
    };
    let edges: Vec<_> = parts.iter().enumerate().filter_map(|(at, part)| Some((at, named(part)?))).collect();
    let count = edges.len();
    let begins = |index: &usize| edges[*index].1 != edges[(index + count - 1) % count].1;
    (0..count).find(begins).or((count > 0).then_some(0)).map(|index| edges[index].0)
}

fn check(edge: &DrawnEdge) -> Result<(), TakeOffError> {
    let allowance = edge.allowance.mm();
    if allowance.is_finite() && allowance >= 0.0 {
        Ok(())
    } else {
        Err(TakeOffError::BadAllowance { edge: edge.name.clone(), allowance })
    }
}
