//! Taking allowances off a cutting line that was drawn, so that the seamline comes back.
//!
//! ```text
//!     ┌────────────┐  cutting line, as drawn
//!     │  ┌ ─ ─ ─┐  │
//!     │  │         │  seamline, found
//! ```
//!
//! The inverse of [`crate::allowance::cutting_line`]. Each edge's line is brought inward by its allowance; each corner is
//! undone whatever the shape it was cut in (`corner`); a dart's cap is folded back (`dart`). Where the cutting line does
//! not tell the seamline, because an allowance had no room or an edge that bends was cut short at a corner, the stretch
//! is told ([`UnknownStretch`]) and runs on smoothly.

mod corner;
mod drawn;
mod error;
mod run_on;
mod seamline;
mod span;
mod taken;

pub use drawn::{DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch};
pub use error::TakeOffError;
pub use taken::{
    DartKnownBy, OnSeamline, TakenCorner, TakenDart, TakenEdge, TakenOff, Unknown, UnknownStretch,
};

use corner::{Found, find};
use seamline::{Depths, End, Part, part};
use span::{Between, Span, spans};

use crate::curve::{Curve, CurveError, Outline};
use crate::pattern::{CornerShape, SetCorner};
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
    let found = corners_of(&spans, &drawn.corners)?;
    let count = spans.len();
    let mut edges = Vec::with_capacity(count);
    let mut unknown = Vec::new();
    for (index, span) in spans.iter().enumerate() {
        let (previous, next) = ((index + count - 1) % count, (index + 1) % count);
        let depths = Depths { before: spans[previous].depth(), after: spans[next].depth() };
        let part = part(span, End::entering(&found[previous]), End::leaving(&found[index]), depths)?;
        unknown.extend(told(span, &part));
        edges.push(TakenEdge {
            name: span.edge.name.clone(),
            curve: part.line,
            allowance: span.depth(),
            beside: vec![part.beside],
        });
    }
    check_outline(&edges)?;
    let corners = found.into_iter().enumerate().map(|(index, found)| TakenCorner {
        edges: (spans[index].edge.name.clone(), spans[(index + 1) % count].edge.name.clone()),
        at: found.at,
        shape: found.shape,
    });
    Ok(TakenOff { corners: corners.collect(), edges, darts: Vec::new(), unknown })
}

fn told(span: &Span, part: &Part) -> Vec<UnknownStretch> {
    let stretch = |(from, to, why): &(f64, f64, Unknown)| UnknownStretch {
        edge: span.edge.name.clone(),
        from: *from,
        to: *to,
        start: part.line.point_at(*from),
        end: part.line.point_at(*to),
        why: *why,
    };
    part.unknown.iter().map(stretch).collect()
}

fn refuse_name_twice(spans: &[Span]) -> Result<(), TakeOffError> {
    for (index, span) in spans.iter().enumerate() {
        if spans[..index].iter().any(|other| other.edge.name == span.edge.name) {
            return Err(TakeOffError::NameTwice(span.edge.name.clone()));
        }
    }
    Ok(())
}

fn wanted<'a>(first: &Span, second: &Span, corners: &'a [SetCorner]) -> Option<&'a CornerShape> {
    let (a, b) = (&first.edge.name, &second.edge.name);
    let here = |set: &&SetCorner| {
        (set.edges.0 == *a && set.edges.1 == *b) || (set.edges.0 == *b && set.edges.1 == *a)
    };
    corners.iter().find(here).map(|set| &set.shape)
}

fn corners_of(spans: &[Span], corners: &[SetCorner]) -> Result<Vec<Found>, TakeOffError> {
    let pairs = spans.iter().zip(spans.iter().cycle().skip(1));
    let find_one = |(first, second): (&Span, &Span)| {
        let between: Vec<&Curve> = first.after.iter().map(Between::line).collect();
        find(first, second, &between, wanted(first, second, corners))
    };
    pairs.map(find_one).collect()
}

/// The spans with each stretch of which nothing was said made an edge or a part of its corner.
fn settled(spans: Vec<Span>, corners: &[SetCorner]) -> Vec<Span> {
    let count = spans.len();
    let firsts = spans.clone();
    let mut settled = Vec::with_capacity(count);
    for (index, span) in spans.into_iter().enumerate() {
        settled.extend(settle(span, &firsts[(index + 1) % count], corners));
    }
    settled
}

fn settle(span: Span, next: &Span, corners: &[SetCorner]) -> Vec<Span> {
    if !span.after.iter().any(|between| matches!(between, Between::Unsaid(..))) {
        return vec![span];
    }
    let readings = (0..1_usize << span.after.len().min(MOST_UNSAID)).filter_map(|edges| read(&span, edges));
    let mut readings: Vec<Vec<Span>> = readings.collect();
    readings.sort_by_key(Vec::len);
    let fits = |reading: &Vec<Span>| {
        let seconds = reading.iter().skip(1).chain([next]);
        reading.iter().zip(seconds).all(|(first, second)| {
            let between: Vec<&Curve> = first.after.iter().map(Between::line).collect();
            let found = find(first, second, &between, wanted(first, second, corners));
            found.is_ok_and(|found| between.is_empty() || found.shape.is_some())
        })
    };
    let last = readings.len() - 1;
    let chosen = readings.iter().position(fits).unwrap_or(last);
    readings.swap_remove(chosen)
}

/// Up to how many stretches between two edges are tried as edges.
const MOST_UNSAID: usize = 6;

/// A reading of what stands after an edge: bit by bit, whether each stretch is an edge. Nothing where one that is known
/// to be none is taken for one.
fn read(span: &Span, edges: usize) -> Option<Vec<Span>> {
    let mut reading = vec![Span { after: Vec::new(), ..span.clone() }];
    for (bit, between) in span.after.iter().enumerate() {
        let taken = edges >> bit & 1 == 1;
        match between {
            Between::Unsaid(edge, line) if taken => {
                reading.push(Span { edge: edge.clone(), line: line.clone(), after: Vec::new() });
            }
            Between::Corner(_) if taken => return None,
            Between::Corner(line) | Between::Unsaid(_, line) => {
                let last = reading.len() - 1;
                reading[last].after.push(Between::Corner(line.clone()));
            }
        }
    }
    Some(reading)
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
