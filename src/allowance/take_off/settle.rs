//! Deciding which stretches, of those of which nothing was said, are edges.

use crate::allowance::take_off::corner::find;
use crate::allowance::take_off::span::{BetweenSpans, EdgeSpan};
use crate::curve::Curve;
use crate::pattern::{CornerShape, ShapedCorner};

/// The spans with each stretch of which nothing was said made an edge or a part of its corner.
pub(super) fn settled(spans: Vec<EdgeSpan>, corners: &[ShapedCorner]) -> Vec<EdgeSpan> {
    let count = spans.len();
    let firsts = spans.clone();
    let mut settled = Vec::with_capacity(count);
    for (index, span) in spans.into_iter().enumerate() {
        settled.extend(settle(span, &firsts[(index + 1) % count], corners));
    }
    settled
}

/// The reading of an edge and what stands after it whose corners have shapes; of several the one with the fewest edges.
fn settle(span: EdgeSpan, next: &EdgeSpan, corners: &[ShapedCorner]) -> Vec<EdgeSpan> {
    if !span.after.iter().any(|between| matches!(between, BetweenSpans::Unsaid(..))) {
        return vec![span];
    }
    let readings = (0..1_usize << span.after.len().min(MOST_UNSAID)).filter_map(|edges| read(&span, edges));
    let mut readings: Vec<Vec<EdgeSpan>> = readings.collect();
    readings.sort_by_cached_key(|reading| (misfits(reading, next, corners), reading.len()));
    readings.swap_remove(0)
}

/// How many corners of a reading do not meet, and how many have none of the trade's shapes.
fn misfits(reading: &[EdgeSpan], next: &EdgeSpan, corners: &[ShapedCorner]) -> (usize, usize) {
    let seconds = reading.iter().skip(1).chain([next]);
    let found: Vec<_> = reading
        .iter()
        .zip(seconds)
        .map(|(first, second)| {
            let between: Vec<&Curve> = first.after.iter().map(BetweenSpans::line).collect();
            find(first, second, &between, wanted(first, second, corners))
        })
        .collect();
    let shapeless = found.iter().flatten().filter(|found| found.shape.is_none()).count();
    (found.iter().filter(|found| found.is_err()).count(), shapeless)
}

/// Up to how many stretches between two edges are tried as edges.
const MOST_UNSAID: usize = 6;

/// A reading of what stands after an edge: bit by bit, whether each stretch is an edge. Nothing where one that is known
/// to be none is taken for one.
fn read(span: &EdgeSpan, edges: usize) -> Option<Vec<EdgeSpan>> {
    let mut reading = vec![EdgeSpan { after: Vec::new(), ..span.clone() }];
    for (bit, between) in span.after.iter().enumerate() {
        let taken = edges >> bit & 1 == 1;
        match between {
            BetweenSpans::Unsaid(edge, line) if taken => {
                reading.push(EdgeSpan { edge: edge.clone(), line: line.clone(), after: Vec::new() });
            }
            BetweenSpans::Corner(_) if taken => return None,
            BetweenSpans::Corner(line) | BetweenSpans::Unsaid(_, line) => {
                let last = reading.len() - 1;
                reading[last].after.push(BetweenSpans::Corner(line.clone()));
            }
        }
    }
    Some(reading)
}

/// The shape that was said of the corner of two edges.
pub(super) fn wanted<'a>(
    first: &EdgeSpan,
    second: &EdgeSpan,
    corners: &'a [ShapedCorner],
) -> Option<&'a CornerShape> {
    let here = |set: &&ShapedCorner| set.is_of(&first.edge.name, &second.edge.name);
    corners.iter().find(here).map(|set| &set.shape)
}
