//! Marks along the outline of a piece, put together to notches: two beside each other are a double one, and a mark on the line
//! that is cut is the same as one on the seamline opposite.

use kurbo::{ParamCurve, Point};

use crate::adopt::outlines::{FoundLine, FoundOutline};
use crate::adopt::run_in::led_to;
use crate::curve::Curve;
use crate::tolerance::{MARKED_TWICE, TICKS_APART};

/// A notch: the letters of its marks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LikelyNotch {
    pub letters: Vec<String>,
    edge: usize,
    at: f64,
}

/// A mark, and where along the outline of the piece it stands.
struct PlacedTick<'a> {
    line: &'a FoundLine,
    edge: usize,
    at: f64,
}

/// The notches of a piece: those that stand on its own outline, then those on the line that is cut which say something new.
pub(super) fn notches(
    own: &FoundOutline,
    on_own: &[&FoundLine],
    cut: Option<(&FoundOutline, &[&FoundLine])>,
) -> Vec<LikelyNotch> {
    let place = |line: &FoundLine, touched: &[Curve]| {
        let contact = contact(&line.curve, touched);
        let led = led_to(&line.curve, contact, &own.edges).filter(|_| !std::ptr::eq(touched, &*own.edges));
        if let Some(led) = led {
            return Some((led.edge, led.at));
        }
        let near = own.edges.iter().map(|edge| edge.nearest(contact)).enumerate();
        near.min_by(|a, b| a.1.distance.total_cmp(&b.1.distance)).map(|(edge, near)| (edge, near.at))
    };
    // On the line that is cut a mark leads in to its place.
    let placed = |lines: &[&FoundLine], touched: &[Curve]| -> Vec<LikelyNotch> {
        let lines = lines.iter().filter_map(|line| {
            let (edge, at) = place(line, touched)?;
            Some((*line, edge, at))
        });
        let mut placed: Vec<PlacedTick<'_>> =
            lines.map(|(line, edge, at)| PlacedTick { line, edge, at }).collect();
        placed.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.at.total_cmp(&b.at)));
        put_together(&placed)
    };
    let mut notches = placed(on_own, &own.edges);
    if let Some((outline, lines)) = cut {
        for notch in placed(lines, &outline.edges) {
            let is_same =
                |known: &LikelyNotch| known.edge == notch.edge && (known.at - notch.at).abs() <= MARKED_TWICE;
            if !notches.iter().any(is_same) {
                notches.push(notch);
            }
        }
    }
    notches
}

/// Where a mark is nearest to a line: at one of its corners, or between two of them on either side.
fn contact(mark: &Curve, touched: &[Curve]) -> Point {
    let corners = mark.segments().iter().map(ParamCurve::start).chain([mark.end()]);
    let off = |at: Point| touched.iter().map(|edge| edge.nearest(at).distance).fold(f64::INFINITY, f64::min);
    let on: Vec<(f64, Point)> = corners.map(|at| (off(at), at)).collect();
    let least = on.iter().map(|(off, _)| *off).fold(f64::INFINITY, f64::min);
    let nearest: Vec<Point> =
        on.iter().filter(|(off, _)| *off <= least + crate::tolerance::WELD).map(|(_, at)| *at).collect();
    let (first, last) = (nearest.first(), nearest.last());
    match (first, last) {
        (Some(first), Some(last)) => first.midpoint(*last),
        _ => mark.start(),
    }
}

fn put_together(placed: &[PlacedTick<'_>]) -> Vec<LikelyNotch> {
    let mut notches: Vec<LikelyNotch> = Vec::new();
    for mark in placed {
        let letter = mark.line.letter.to_string();
        match notches.last_mut() {
            Some(last)
                if last.edge == mark.edge && mark.at - last.at <= TICKS_APART && last.letters.len() == 1 =>
            {
                last.letters.push(letter);
                last.at = (last.at + mark.at) / 2.0;
            }
            _ => notches.push(LikelyNotch { letters: vec![letter], edge: mark.edge, at: mark.at }),
        }
    }
    notches
}
