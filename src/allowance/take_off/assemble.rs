//! The whole seamline.

use crate::allowance::take_off::corner::{FoundCorner, find};
use crate::allowance::take_off::dart::{Open, open_on};
use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::seamline::{Depths, PartEnd, SeamlinePart, part};
use crate::allowance::take_off::settle::{settled, wanted};
use crate::allowance::take_off::span::{BetweenSpans, EdgeSpan, spans};
use crate::allowance::take_off::{
    DrawnCuttingLine, DrawnDart, TakenCorner, TakenDart, TakenEdge, TakenOff, Unknown, UnknownStretch,
};
use crate::curve::{Curve, CurveError, Outline};
use crate::pattern::ShapedCorner;
use crate::tolerance::SAME_POINT;

/// The seamline behind a drawn cutting line.
///
/// It is the seamline that made the line within 0.05 mm, [`TakenOff::unknown`] apart.
///
/// # Errors
///
/// Refuses a line that is not closed or has no edges, an allowance that there is no room for, edges that do not meet or
/// cross once their allowances are off, and a dart that is not where it is said to be.
pub fn take_off(drawn: &DrawnCuttingLine) -> Result<TakenOff, TakeOffError> {
    let spans = settled(spans(drawn)?, &drawn.corners);
    refuse_name_twice(&spans)?;
    refuse_darts_nowhere(&spans, &drawn.darts)?;
    let open = spans.iter().map(|span| open_on(span, &drawn.darts)).collect::<Result<Vec<_>, _>>()?;
    let found = corners_of(&spans, &open, &drawn.corners)?;
    let count = spans.len();
    let mut taken =
        TakenOff { edges: Vec::new(), corners: Vec::new(), darts: Vec::new(), unknown: Vec::new() };
    for (index, span) in spans.iter().enumerate() {
        let (previous, next) = ((index + count - 1) % count, (index + 1) % count);
        let depths = Depths { before: spans[previous].depth(), after: spans[next].depth() };
        let ends = (PartEnd::entering(&found[previous]), PartEnd::leaving(&found[index]));
        add_edge(&mut taken, span, &open[index], ends, depths)?;
    }
    check_outline(&taken.edges)?;
    let corners = found.into_iter().enumerate().map(|(index, found)| TakenCorner {
        edges: (spans[index].edge.name.clone(), spans[(index + 1) % count].edge.name.clone()),
        at: found.at,
        shape: found.shape,
    });
    taken.corners.extend(corners);
    Ok(taken)
}

/// Adds an edge: its parts, joined over the mouths of its darts by straight chords.
fn add_edge(
    taken: &mut TakenOff,
    span: &EdgeSpan,
    open: &[Open<'_>],
    ends: (PartEnd, PartEnd),
    depths: Depths,
) -> Result<(), TakeOffError> {
    let starts = std::iter::once(ends.0).chain(open.iter().map(|open| open.enter));
    let leaves = open.iter().map(|open| open.leave).chain([ends.1]);
    let mut segments = Vec::new();
    let mut beside = Vec::new();
    let mut walked = 0.0;
    for (index, (start, end)) in starts.zip(leaves).enumerate() {
        let part = part(span, start, end, depths)?;
        taken.unknown.extend(told(span, &part, walked));
        walked += part.line.length();
        segments.extend_from_slice(part.line.segments());
        beside.push(part.beside);
        if let Some(open) = open.get(index) {
            let chord = kurbo::Line::new(open.leave.at, open.enter.at);
            let mouth = (walked, walked + (chord.p1 - chord.p0).hypot());
            segments.push(chord.into());
            taken.darts.push(taken_dart(open, mouth));
            walked = mouth.1;
        }
    }
    let allowance = span.depth();
    let inside = |source| TakeOffError::Inside { edge: span.edge.name.clone(), allowance, source };
    let curve = Curve::new(segments).map_err(inside)?;
    taken.edges.push(TakenEdge { name: span.edge.name.clone(), curve, allowance, beside });
    Ok(())
}

fn taken_dart(open: &Open<'_>, mouth: (f64, f64)) -> TakenDart {
    TakenDart {
        name: open.dart.name.clone(),
        edge: open.dart.edge.clone(),
        mouth,
        legs: open.legs.clone(),
        known_by: open.known_by,
        toward: open.toward,
    }
}

fn told(span: &EdgeSpan, part: &SeamlinePart, walked: f64) -> Vec<UnknownStretch> {
    let stretch = |(from, to, why): &(f64, f64, Unknown)| UnknownStretch {
        edge: span.edge.name.clone(),
        from: walked + from,
        to: walked + to,
        start: part.line.point_at(*from),
        end: part.line.point_at(*to),
        why: *why,
    };
    part.unknown.iter().map(stretch).collect()
}

fn refuse_darts_nowhere(spans: &[EdgeSpan], darts: &[DrawnDart]) -> Result<(), TakeOffError> {
    let nowhere = |dart: &&DrawnDart| !spans.iter().any(|span| span.edge.name == dart.edge);
    match darts.iter().find(nowhere) {
        Some(dart) => Err(TakeOffError::NoDartEdge { dart: dart.name.clone(), edge: dart.edge.clone() }),
        None => Ok(()),
    }
}

fn refuse_name_twice(spans: &[EdgeSpan]) -> Result<(), TakeOffError> {
    for (index, span) in spans.iter().enumerate() {
        if spans[..index].iter().any(|other| other.edge.name == span.edge.name) {
            return Err(TakeOffError::NameTwice(span.edge.name.clone()));
        }
    }
    Ok(())
}

/// The corners between edges, each seen from the last of the one's darts to the first of the other's.
fn corners_of(
    spans: &[EdgeSpan],
    open: &[Vec<Open<'_>>],
    corners: &[ShapedCorner],
) -> Result<Vec<FoundCorner>, TakeOffError> {
    let count = spans.len();
    let find_one = |index: usize| {
        let (first, second) = (&spans[index], &spans[(index + 1) % count]);
        let from = open[index].last().map_or(0.0, |open| open.enter.on_line);
        let to = open[(index + 1) % count].first().map_or(second.line.length(), |open| open.leave.on_line);
        let tail = first.line.stretch(from, first.line.length()).map_err(TakeOffError::Open)?;
        let head = second.line.stretch(0.0, to).map_err(TakeOffError::Open)?;
        let between: Vec<&Curve> = first.after.iter().map(BetweenSpans::line).collect();
        let seen = (EdgeSpan { line: tail, ..first.clone() }, EdgeSpan { line: head, ..second.clone() });
        let found = find(&seen.0, &seen.1, &between, wanted(first, second, corners))?;
        Ok(FoundCorner { leave: found.leave + from, ..found })
    };
    (0..count).map(find_one).collect()
}

fn check_outline(edges: &[TakenEdge]) -> Result<(), TakeOffError> {
    let deepest = edges.iter().max_by(|a, b| a.allowance.total_cmp(&b.allowance));
    let nothing = || TakeOffError::NoPiece {
        edge: deepest.map_or_else(|| edges[0].name.clone(), |edge| edge.name.clone()),
        allowance: deepest.map_or(0.0, |edge| edge.allowance),
    };
    let outline = Outline::new(edges.iter().map(|edge| edge.curve.clone())).map_err(|error| match error {
        CurveError::Empty => nothing(),
        other => TakeOffError::Open(other),
    })?;
    if let Some(crossing) = outline.self_crossings().first() {
        let (first, second) = (&edges[crossing.first], &edges[crossing.second]);
        return Err(TakeOffError::Crosses {
            first: first.name.clone(),
            second: second.name.clone(),
            first_allowance: first.allowance,
            second_allowance: second.allowance,
            at: crossing.point,
        });
    }
    if outline.area() <= SAME_POINT { Err(nothing()) } else { Ok(()) }
}
