//! Levels that run lengthwise into a dart, as the bust level runs into a dart at the side.
//!
//! When the dart is shut, what crosses it from leg to leg is folded away; what runs along it to its mouth is not: the cloth
//! between tip and mouth is as long as ever. The level then follows the leg.

use crate::curve::{Curve, Outline, Point};
use crate::parts::assemble::region;
use crate::parts::carry::within;
use crate::pattern::{Level, Piece, Refusal};
use crate::recut::dart_geometry::Wedge;
use crate::tolerance::{LEAST_STRETCH, ON_OUTLINE};

/// The levels of a part that lies at one leg of darts shut about a point; none where no level runs along such a dart,
/// so that those within the part's region are all there is. Each dart is given with its mouth end at the part.
///
/// # Errors
///
/// Refuses a dart that encloses nothing.
pub(super) fn of_part(
    piece: &Piece,
    part: &Outline,
    darts: &[(&Wedge, Point)],
    point: Point,
) -> Result<Option<Vec<Level>>, Refusal> {
    let mut levels = piece.levels.clone();
    let mut along = false;
    for level in &mut levels {
        let drawn = std::mem::take(&mut level.stretches);
        for (from, to) in &drawn {
            level.stretches.extend(within(part, *from, *to));
        }
        for (wedge, mouth_end) in darts {
            let folded = folded(piece, wedge, point)?;
            for (from, to) in drawn.iter().flat_map(|(from, to)| within(&folded, *from, *to)) {
                if let Some(stretch) = on_leg(wedge, point, *mouth_end, (from, to)) {
                    level.stretches.push(stretch);
                    along = true;
                }
            }
        }
    }
    levels.retain(|level| !level.stretches.is_empty());
    Ok(along.then_some(levels))
}

fn folded(piece: &Piece, wedge: &Wedge, point: Point) -> Result<Outline, Refusal> {
    let (first, second) = wedge.mouth();
    region(piece, wedge.from, wedge.to, &[Curve::line(second, point)?, Curve::line(point, first)?])
}

/// Where on the leg a stretch inside a dart comes to lie; none where it crosses from leg to leg.
fn on_leg(
    wedge: &Wedge,
    point: Point,
    mouth_end: Point,
    (from, to): (Point, Point),
) -> Option<(Point, Point)> {
    let (first, second) = wedge.mouth();
    let on_a_leg = |at: Point| [first, second].into_iter().any(|end| off_line(at, point, end) <= ON_OUTLINE);
    if on_a_leg(from) && on_a_leg(to) {
        return None;
    }
    let leg = mouth_end - point;
    let place = |at: Point| point + leg * (at.distance(point) / leg.hypot()).min(1.0);
    let (from, to) = (place(from), place(to));
    (from.distance(to) > LEAST_STRETCH).then_some((from, to))
}

fn off_line(at: Point, from: Point, to: Point) -> f64 {
    let along = (to - from).normalize();
    (at - from).cross(along).abs()
}
