//! Views of the garment: halves laid on each other's stitching lines, from the middle of the body outward.
//!
//! What goes round the body is seen twice: from the middle that is largest, and from the middle that is opposite, be that a
//! fold, a seam, or an opening whose edges lie side by side.
//!
//! ```text
//!   ┌───────┬───┬───┬───────┐     ┌───┬───────┐ ┌───────┬───┐
//!   │front L│  back │front R│     │bac│front R│ │front L│ack│
//!   └───────┴───┴───┴───────┘     └───┴───────┘ └───────┴───┘
//! ```

use kurbo::{Affine, BezPath, Line, ParamCurveNearest, Point, Rect, Vec2};

use super::halves::{JoinedBy, JoinedHalves, SewnHalves};
use crate::canvas::{holds, points};
use crate::cloth::layout::BodyHalf;
use crate::cloth::picture::surface::around;
use crate::pattern::Piece;
use crate::tolerance::SEWN_LEANS;

/// How far the edges of an opening lie apart, mm.
const OPENING: f64 = 6.0;

/// How far from the middle of the body the middle of a half may come to stand, as a share of its width, so that it is taken to
/// belong there: a dart that is sewn turns a bodice by less, and what belongs to the side stands a whole width off.
const ON_AXIS: f64 = 0.35;

/// A view of a part of the garment: halves, and where each lies, from the cloth.
pub(super) struct View {
    /// From where it is seen; nothing of what is seen once.
    pub(super) title: Option<String>,
    pub(super) placed: Vec<(usize, Affine)>,
}

/// The views, the largest part first.
pub(super) fn views(halves: &SewnHalves<'_>) -> Vec<View> {
    let mut left: Vec<usize> = (0..halves.all.len()).collect();
    left.sort_by(|a, b| halves.area(*b).total_cmp(&halves.area(*a)));
    let mut views = Vec::new();
    while let Some(first) = left.first().copied() {
        let near = middle(halves, first);
        let placed = grown(halves, near.clone(), &left);
        left.retain(|half| !placed.iter().any(|(known, _)| known == half));
        let far = opposite(halves, &placed, near.len());
        let title = |roots: &[(usize, Affine)]| Some(seen_from(halves.piece(roots[0].0)?));
        let near = far.as_ref().and_then(|_| title(&near));
        let again = far.map(|far| {
            let part: Vec<usize> = placed.iter().map(|(half, _)| *half).collect();
            View { title: title(&far), placed: grown(halves, far, &part) }
        });
        views.push(View { title: near, placed });
        views.extend(again);
    }
    views
}

impl View {
    /// Whether it is seen from the front.
    pub(super) fn is_front(&self) -> bool {
        self.title.as_deref() == Some(FROM_FRONT)
    }

    /// For which half of the body all of it is; none of what is for both, and of what goes round.
    pub(super) fn half(&self, halves: &SewnHalves<'_>) -> Option<BodyHalf> {
        let half_of = |half: usize| match halves.all[half].motion.is_mirrored() {
            true => BodyHalf::Left,
            false => BodyHalf::Right,
        };
        let mut all = self.placed.iter().map(|(half, _)| half_of(*half));
        let first = all.next()?;
        // What is cut once is for both halves, however it lies.
        let is_one_of_two = self.placed.iter().any(|(half, _)| halves.has_partner(*half));
        (self.title.is_none() && is_one_of_two && all.all(|other| other == first)).then_some(first)
    }

    /// Which half of the body is on the left of a view that goes round.
    pub(super) fn left(&self, halves: &SewnHalves<'_>) -> BodyHalf {
        let middle = |mirrored: bool| {
            let of =
                self.placed.iter().filter(|(half, _)| halves.all[*half].motion.is_mirrored() == mirrored);
            let across: Vec<f64> =
                of.map(|(half, motion)| bounds_of(halves, *half, *motion).center().x).collect();
            across.iter().sum::<f64>() / across.len().max(1) as f64
        };
        if middle(true) < middle(false) { BodyHalf::Left } else { BodyHalf::Right }
    }
}

/// The title of what is seen from the front.
const FROM_FRONT: &str = "From the front";

/// From where a view with a piece in its middle is seen, by the piece's name.
fn seen_from(middle: &Piece) -> String {
    let name = middle.name();
    match name.as_str().split('-').find(|word| ["front", "back"].contains(word)) {
        Some(side) => format!("From the {side}"),
        None => format!("With {name} in the middle"),
    }
}

/// A half upright, and the one that it is joined to across the middle.
fn middle(halves: &SewnHalves<'_>, half: usize) -> Vec<(usize, Affine)> {
    let upright = halves.upright(half);
    let partner = halves.joints.iter().filter(|joint| is_across(halves, joint)).find_map(|joint| {
        let (other, side) = joint.other(half)?;
        Some((other, joint.joined(side, upright)?))
    });
    std::iter::once((half, upright)).chain(partner).collect()
}

/// Whether a joint holds the left and the right half together.
fn is_across(halves: &SewnHalves<'_>, joint: &JoinedHalves) -> bool {
    matches!(joint.by, JoinedBy::Fold) || halves.are_left_and_right(joint.halves)
}

/// What can be joined to some halves of others, upright as they are, never across the middle.
fn grown(halves: &SewnHalves<'_>, roots: Vec<(usize, Affine)>, of: &[usize]) -> Vec<(usize, Affine)> {
    let axis = axis(halves, &roots);
    let mut placed = roots;
    let next = |placed: &[(usize, Affine)], standing: StandingPiece| {
        halves.joints.iter().filter(|joint| !is_across(halves, joint)).find_map(|joint| {
            placed.iter().find_map(|(known, lies)| {
                let (other, side) = joint.other(*known)?;
                let is_free = of.contains(&other) && !placed.iter().any(|(half, _)| *half == other);
                let motion = is_free.then(|| joint.joined(side, *lies)).flatten()?;
                if !stands_beside(halves, [(*known, *lies), (other, motion)]) {
                    return None;
                }
                let both =
                    axis.and_then(|axis| both_on_axis(halves, axis, (joint, side), (*lies, other, motion)));
                let found = match standing {
                    StandingPiece::InMiddle => both?,
                    StandingPiece::Anywhere => both.unwrap_or_else(|| vec![(other, motion)]),
                };
                let middle = |(half, lies): (usize, Affine)| bounds_of(halves, half, lies).center();
                let away = middle((other, motion)) - middle((*known, *lies));
                Some(moved_clear(halves, placed, found, away))
            })
        })
    };
    // What stands in the middle first: what is beside it then gives way.
    let next = |placed: &[(usize, Affine)]| {
        next(placed, StandingPiece::InMiddle).or_else(|| next(placed, StandingPiece::Anywhere))
    };
    while let Some(more) = next(&placed) {
        let is_new =
            |(half, _): &(usize, Affine)| of.contains(half) && !placed.iter().any(|(known, _)| known == half);
        let more: Vec<_> = more.into_iter().filter(is_new).collect();
        placed.extend(more);
    }
    placed
}

/// Where halves are to stand that are joined to others.
#[derive(Clone, Copy)]
enum StandingPiece {
    /// On the middle of the body.
    InMiddle,
    /// There, or beside it.
    Anywhere,
}

/// Halves that would lie over others, moved off them as little as can be: away from what they are sewn to before any other
/// way; what stands on the middle of the body, up or down. As they were where that is far.
fn moved_clear(
    halves: &SewnHalves<'_>,
    placed: &[(usize, Affine)],
    found: Vec<(usize, Affine)>,
    away: Vec2,
) -> Vec<(usize, Affine)> {
    let ring = |(half, motion): &(usize, Affine)| ring(&outline_of(halves, *half, *motion));
    let new: Vec<usize> = found.iter().map(|(half, _)| *half).collect();
    let others: Vec<Vec<Point>> = placed.iter().filter(|(half, _)| !new.contains(half)).map(ring).collect();
    let own: Vec<Vec<Point>> = found.iter().map(ring).collect();
    let is_clear = |shift: Vec2| {
        let moved = own.iter().map(|ring| ring.iter().map(|point| *point + shift).collect::<Vec<Point>>());
        moved.into_iter().all(|ring| others.iter().all(|other| !lie_over(&ring, other)))
    };
    let mut ways: Vec<Vec2> = match found.len() {
        1 => (0..WAYS)
            .map(|way| Vec2::from_angle(f64::from(way) * std::f64::consts::TAU / f64::from(WAYS)))
            .collect(),
        _ => vec![Vec2::new(0.0, 1.0), Vec2::new(0.0, -1.0)],
    };
    ways.sort_by(|a, b| b.dot(away).total_cmp(&a.dot(away)));
    let steps = std::iter::once(Vec2::ZERO)
        .chain((1..=MOST_STEPS).flat_map(|step| ways.iter().map(move |way| *way * (f64::from(step) * STEP))));
    let shift = Affine::translate(steps.into_iter().find(|shift| is_clear(*shift)).unwrap_or_default());
    found.into_iter().map(|(half, motion)| (half, shift * motion)).collect()
}

/// In how many ways a half is tried to be moved off others, how far in each step, mm, and in how many steps at most.
const WAYS: u32 = 16;
const STEP: f64 = 4.0;
const MOST_STEPS: u32 = 40;

/// How deep a half may lie in another, mm: a line's width in the picture.
const DEEP: f64 = 3.0;

/// How far apart the places of an outline are that are looked at, mm.
const APART: f64 = 12.0;

/// The places of an outline.
fn ring(outline: &BezPath) -> Vec<Point> {
    let lines = points(outline, 1.0);
    let pairs = lines.iter().zip(lines.iter().cycle().skip(1));
    pairs
        .flat_map(|(from, to)| {
            let steps = (from.distance(*to) / APART).ceil().max(1.0) as usize;
            (0..steps).map(move |step| from.lerp(*to, step as f64 / steps as f64))
        })
        .collect()
}

/// Whether a place of one outline lies deep in another.
fn lie_over(first: &[Point], second: &[Point]) -> bool {
    let common = bounds_of_ring(first).intersect(bounds_of_ring(second));
    if common.width() <= DEEP || common.height() <= DEEP {
        return false;
    }
    let is_deep = |point: &Point, ring: &[Point]| {
        let near = |(from, to): (&Point, &Point)| {
            Line::new(*from, *to).nearest(*point, 1.0).distance_sq < DEEP * DEEP
        };
        common.contains(*point)
            && holds(ring, *point)
            && !ring.iter().zip(ring.iter().cycle().skip(1)).any(near)
    };
    first.iter().any(|point| is_deep(point, second)) || second.iter().any(|point| is_deep(point, first))
}

fn bounds_of_ring(ring: &[Point]) -> Rect {
    let first = ring.first().copied().unwrap_or_default();
    ring.iter().fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(*point))
}

/// Where the middle of the body stands in a view: where its first two halves hang together. None where it begins with one.
fn axis(halves: &SewnHalves<'_>, roots: &[(usize, Affine)]) -> Option<f64> {
    let (half, motion) = *roots.first().filter(|_| roots.len() > 1)?;
    Some((motion * across_of(halves, half)?.1).x)
}

/// The joint that holds a half and the one across the middle together, and the middle of it on the half.
fn across_of<'a>(halves: &'a SewnHalves<'_>, half: usize) -> Option<(&'a JoinedHalves, Point)> {
    let joint = halves.joints.iter().find(|joint| is_across(halves, joint) && joint.other(half).is_some())?;
    Some((joint, halves.middle_of(joint, half)?))
}

/// A half and the one across from it, upright on the middle of the body as the ones that they are joined to: what darts take
/// away between them then gapes on both sides, and no half lies over the other. None for what does not stand there.
fn both_on_axis(
    halves: &SewnHalves<'_>,
    axis: f64,
    (joint, side): (&JoinedHalves, usize),
    (known, half, motion): (Affine, usize, Affine),
) -> Option<Vec<(usize, Affine)>> {
    let (_, place) = across_of(halves, half)?;
    let width = bounds_of(halves, half, motion).width();
    if ((motion * place).x - axis).abs() > width * ON_AXIS {
        return None;
    }
    let both = middle(halves, half);
    let lies = both.first()?.1;
    let down = joint.off(side, known, lies)?.y;
    let shift = Affine::translate((axis - (lies * place).x, down));
    Some(both.into_iter().map(|(half, motion)| (half, shift * motion)).collect())
}

/// Whether two halves stand as they hang when worn: what is turned further to the other lies beside, as a sleeve does.
fn stands_beside(halves: &SewnHalves<'_>, both: [(usize, Affine); 2]) -> bool {
    let [one, other] = both.map(|(half, motion)| {
        let turn = motion * halves.upright(half).inverse();
        turn * Point::new(0.0, 1.0) - turn * Point::ORIGIN
    });
    one.dot(other) > SEWN_LEANS.to_radians().cos()
}

/// The middle that is opposite to that of a view, upright: the left and the right half that reach farthest out. None where
/// the view does not go round.
fn opposite(
    halves: &SewnHalves<'_>,
    placed: &[(usize, Affine)],
    roots: usize,
) -> Option<Vec<(usize, Affine)>> {
    let bounds = |(half, motion): &(usize, Affine)| bounds_of(halves, *half, *motion);
    let (near, others) = placed.split_at(roots);
    let middle = near.iter().map(bounds).reduce(|a, b| a.union(b))?.center().x;
    let reach = |one: &(usize, Affine)| (bounds(one).x1 - middle).max(middle - bounds(one).x0);
    let far = others.iter().max_by(|a, b| reach(a).total_cmp(&reach(b)))?;
    let partner = others.iter().find(|other| halves.are_left_and_right([far.0, other.0]))?;
    // Seen from the other side, what lay to the right lies to the left.
    let (left, right) = if bounds(far).center().x > bounds(partner).center().x {
        (far.0, partner.0)
    } else {
        (partner.0, far.0)
    };
    let both = self::middle(halves, left);
    if both.len() > 1 {
        return Some(both);
    }
    let edge = bounds_of(halves, left, both[0].1);
    let upright = halves.upright(right);
    let beside = bounds_of(halves, right, upright);
    let shift = Vec2::new(edge.x1 + OPENING - beside.x0, edge.y0 - beside.y0);
    Some(vec![both[0], (right, Affine::translate(shift) * upright)])
}

fn bounds_of(halves: &SewnHalves<'_>, half: usize, motion: Affine) -> Rect {
    around(&outline_of(halves, half, motion))
}

/// The outline of a half that lies so, from the cloth.
pub(super) fn outline_of(halves: &SewnHalves<'_>, half: usize, motion: Affine) -> BezPath {
    let outline = halves.piece(half).map(|piece| piece.outline().to_path()).unwrap_or_default();
    motion * halves.all[half].motion.to_affine() * outline
}
