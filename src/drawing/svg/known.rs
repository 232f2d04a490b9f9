//! The scale of a drawing from something in it of known length.

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg};

use super::model::Node;
use crate::drawing::error::DrawingError;
use crate::drawing::unit::Known;
use crate::tolerance::MEASURING_ACCURACY;

/// Length of the element named, in the units that `nodes` are in.
///
/// # Errors
///
/// A length that is none; no such element; an element without a length.
pub(super) fn measure(nodes: &[Node], known: &Known) -> Result<f64, DrawingError> {
    if !(known.length_mm > 0.0 && known.length_mm.is_finite()) {
        return Err(DrawingError::KnownLength { id: known.element.clone(), length_mm: known.length_mm });
    }
    let Some(node) = all(nodes).find(|node| id_of(node) == Some(known.element.as_str())) else {
        let ids = all(nodes).filter_map(id_of);
        let nearest = ids.min_by_key(|id| letters_changed(id, &known.element)).map(str::to_owned);
        return Err(DrawingError::KnownMissing { id: known.element.clone(), nearest });
    };
    let refusal = |reason| DrawingError::KnownUnusable { element: node.element(), reason };
    let shape = all(std::slice::from_ref(node)).find_map(|part| part.geometry.as_ref());
    let length = length(shape.ok_or_else(|| refusal("it has no line"))?);
    let length = length.ok_or_else(|| refusal("it is closed and has no straight side"))?;
    if length > 0.0 { Ok(length) } else { Err(refusal("its length is zero")) }
}

/// Nodes and all below them, in document order.
fn all(nodes: &[Node]) -> impl Iterator<Item = &Node> {
    let mut stack: Vec<&Node> = nodes.iter().rev().collect();
    std::iter::from_fn(move || {
        let node = stack.pop()?;
        stack.extend(node.children.iter().rev());
        Some(node)
    })
}

fn id_of(node: &Node) -> Option<&str> {
    node.id.as_deref().or(node.source_id.as_deref())
}

/// Along the curve where it is open, the longest straight side where it is closed.
fn length(path: &BezPath) -> Option<f64> {
    if is_closed(path) {
        let sides = path.segments().filter_map(|segment| match segment {
            PathSeg::Line(side) => Some(side.length()),
            PathSeg::Quad(_) | PathSeg::Cubic(_) => None,
        });
        return sides.reduce(f64::max);
    }
    Some(path.segments().map(|segment| segment.arclen(MEASURING_ACCURACY)).sum())
}

fn is_closed(path: &BezPath) -> bool {
    let first = path.segments().next().map(|segment| segment.start());
    let last = path.segments().last().map(|segment| segment.end());
    first == last
}

/// Letters to put in, take out or change to make one word of the other (Levenshtein 1966), for words
/// of ordinary length.
fn letters_changed(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().take(LONGEST_COMPARED).collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (count, letter) in one.chars().take(LONGEST_COMPARED).enumerate() {
        let mut diagonal = count;
        let mut left = count + 1;
        for (cell, wanted) in row.iter_mut().skip(1).zip(&other) {
            let change = diagonal + usize::from(letter != *wanted);
            diagonal = *cell;
            left = change.min(left + 1).min(*cell + 1);
            *cell = left;
        }
        if let Some(first) = row.first_mut() {
            *first = count + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}

/// Letters of an id that are compared.
const LONGEST_COMPARED: usize = 60;

#[cfg(test)]
mod tests {
    use super::*;

    fn length_of(d: &str) -> Option<f64> {
        length(&BezPath::from_svg(d).expect("path data"))
    }

    #[test]
    fn open_curves_count_along_and_closed_ones_by_their_longest_side() {
        assert_eq!(length_of("M0 0L30 40"), Some(50.0));
        assert_eq!(length_of("M0 0L30 40L30 50"), Some(60.0));
        assert_eq!(length_of("M0 0H100V100H0Z"), Some(100.0));
        assert_eq!(length_of("M0 0H100V20H0V0"), Some(100.0));
        assert_eq!(length_of("M0 0C0 10 10 10 0 0Z"), None);
    }

    #[test]
    fn letters_changed_is_the_edit_distance() {
        assert_eq!(letters_changed("kitten", "sitting"), 3);
        assert_eq!(letters_changed("", "abc"), 3);
        assert_eq!(letters_changed("bar", "bar"), 0);
    }
}
