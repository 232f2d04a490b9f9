//! The levels of both pieces of a moved seam: each runs from where it enters its piece to where it leaves it.
//!
//! ```text
//!   gap:    ---- T ·····> G --------- C      the level runs on over the gap that is filled
//!   overlap: ---- G <····· T
//!                 G ------------------ C      it is not counted twice where the strip lies over the piece
//! ```

use crate::curve::{Curve, Outline, Point};
use crate::parts::carry::within;
use crate::parts::seam_side::{BothSides, SeamSide};
use crate::pattern::Level;
use crate::tolerance::LEVEL_AT_SEAM;

/// The levels of the piece that takes, as far as its own cloth reaches: those that go on in the strip end where the
/// strip, laid on, begins; those that go on in the other piece only, where the strip has no width, at the new edge. Others
/// stay, but for what the new edge gives away.
pub(super) fn of_taker(
    BothSides { base: side, other: giver, .. }: &BothSides,
    strip: &[Level],
    old_seam: &Curve,
    new_edge: &Curve,
) -> Vec<Level> {
    let mut levels = side.piece.levels.clone();
    for level in &mut levels {
        let goes_on = strip.iter().any(|other| other.name == level.name);
        let crosses = giver.piece.levels.iter().any(|other| {
            let mut stretches = other.stretches.iter();
            other.name == level.name && stretches.any(|stretch| ends_at(&giver.curve, *stretch).is_some())
        });
        for stretch in &mut level.stretches {
            let Some((inner, outer)) = ends_at(&side.curve, *stretch) else { continue };
            let shorter = |end: &Point| end.distance(inner) < outer.distance(inner);
            let end = match goes_on {
                true => meet(old_seam, inner, outer),
                false => meet(new_edge, inner, outer).filter(|end| crosses || shorter(end)),
            };
            *stretch = (inner, end.unwrap_or(outer));
        }
    }
    levels
}

/// The levels of the piece that gives, to the new line: also beyond the old seam where the line lies outside it.
pub(super) fn of_giver(side: &SeamSide, line: &Curve, region: &Outline) -> Vec<Level> {
    let cut = |stretch: &(Point, Point)| {
        let (from, to) = match ends_at(&side.curve, *stretch) {
            Some((inner, outer)) => (inner, meet(line, inner, outer).unwrap_or(outer)),
            None => *stretch,
        };
        within(region, from, to)
    };
    let levels = side
        .piece
        .levels
        .iter()
        .map(|level| Level { stretches: level.stretches.iter().flat_map(cut).collect(), ..level.clone() });
    levels.filter(|level| !level.stretches.is_empty()).collect()
}

/// A stretch turned so that it ends at a seam; none where neither end lies at it.
fn ends_at(seam: &Curve, (from, to): (Point, Point)) -> Option<(Point, Point)> {
    let away = |point: Point| seam.nearest(point).distance;
    let (inner, outer) = if away(from) < away(to) { (to, from) } else { (from, to) };
    (away(outer) <= LEVEL_AT_SEAM).then_some((inner, outer))
}

/// Where a level from one point through another, run on as far as need be, meets a line nearest to the second.
fn meet(line: &Curve, inner: Point, outer: Point) -> Option<Point> {
    let reach = line.start().distance(outer) + line.length();
    let way = (outer - inner).normalize() * reach;
    let level = Curve::line(inner, outer + way).ok()?;
    let line = line.run_on(LEVEL_AT_SEAM, LEVEL_AT_SEAM);
    let met = level.crossings(&line).into_iter().map(|crossing| crossing.point);
    met.min_by(|a, b| a.distance(outer).total_cmp(&b.distance(outer)))
}
