//! A run of edges laid flat: the seams between its edges and the darts in it closed.
//!
//! Where a seam or a dart is closed, the cloth beyond it turns about the corner until its side lies on the other, as far as
//! the depth reaches:
//!
//! ```text
//!      ────┬────            ─────────
//!     front│\ back    ──>   front│back
//!          │ \                   │
//! ```

use crate::curve::{Curve, Motion, Point, right_of, turn_between};
use crate::derive::chain::{ChainLink, LinkJoint, Tip};
use crate::pattern::{
    Copy, EdgeId, EdgeName, Finish, LaidOn, LaidStretch, LiesTo, Piece, Refusal, Travel, WalkEnd,
};
use crate::tolerance::{CHECKED_ANGLE, FACING_FLAT, JOINT, LAY_STEP};

/// A stretch of an edge where it lies when what is before it is closed.
#[derive(Clone, Debug)]
pub(super) struct LaidAlong<'a> {
    pub piece: &'a Piece,
    pub copy: Copy,
    pub edge: EdgeId,
    /// Walk distances on the edge's curve, in the order of the walk.
    pub from: f64,
    pub to: f64,
    pub motion: Motion,
    /// Stretches of one number were moved as one.
    pub part: usize,
    /// As it lies, in the direction of the walk.
    pub curve: Curve,
}

impl LaidAlong<'_> {
    /// What is recorded of a stretch of a derived piece's edge that lies on this one, or evenly inside of it.
    pub(super) fn under(
        &self,
        edge: &EdgeName,
        (stretch, along): ((f64, f64), (f64, f64)),
        inside: f64,
    ) -> LaidStretch {
        let on = LaidOn::Edge(self.piece.edge(self.edge).name.clone());
        LaidStretch { edge: edge.clone(), stretch, on, along, inside, further: 0.0, lies: LiesTo::Right }
    }
}

/// Stretches that are one edge of what is laid along them, from corner to corner.
#[derive(Clone, Debug, Default)]
pub(super) struct Stretches<'a> {
    pub laid: Vec<LaidAlong<'a>>,
    /// The edges, in order.
    pub links: Vec<ChainLink<'a>>,
    /// The seams that were closed: how many stretches lie before each, and the edge that was closed.
    pub closed: Vec<(usize, EdgeName)>,
}

/// How a run ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EndKind {
    /// Along the edge that leads into the piece there.
    Along,
    /// Square across: the run's edge goes on there in another, and none leads into the piece.
    Across,
}

/// The way from an end of the run into the piece.
#[derive(Clone, Debug)]
pub(super) struct WayIn<'a> {
    pub laid: Vec<LaidAlong<'a>>,
    pub path: Curve,
    pub tip: Tip<'a>,
    pub kind: EndKind,
    /// The edge along which most of it lies.
    pub edge: EdgeId,
}

impl WayIn<'_> {
    /// Whether it lies on the fold of its piece.
    pub(super) fn is_fold(&self) -> bool {
        self.kind == EndKind::Along && self.tip.piece.edge(self.edge).finish == Finish::Fold
    }
}

/// A run laid flat.
#[derive(Clone, Debug)]
pub(super) struct ClosedRun<'a> {
    pub sides: Vec<Stretches<'a>>,
    pub first: WayIn<'a>,
    pub last: WayIn<'a>,
    /// How many edges were laid: fewer than asked for where the next does not lie flat.
    pub count: usize,
}

impl Stretches<'_> {
    /// The whole, joined.
    pub(super) fn curve(&self) -> Result<Curve, Refusal> {
        joined(&self.laid)
    }
}

fn joined(laid: &[LaidAlong]) -> Result<Curve, Refusal> {
    let mut curve: Option<Curve> = None;
    for one in laid {
        curve = Some(match curve {
            None => one.curve.clone(),
            Some(so_far) => so_far.joined_within(&one.curve, JOINT)?,
        });
    }
    Ok(curve.ok_or(crate::curve::CurveError::Empty)?)
}

/// Where a walk stands: how the cloth there was moved, and which part it belongs to.
#[derive(Clone, Copy)]
struct WalkStands {
    motion: Motion,
    part: usize,
}

/// Lays a chain flat from a motion of its first piece on, up to the first seam at which it does not lie flat over a depth.
pub(super) fn close<'a>(
    chain: &[ChainLink<'a>],
    depth: f64,
    start: Motion,
) -> Result<ClosedRun<'a>, Refusal> {
    let mut sides: Vec<Stretches<'a>> = Vec::new();
    let mut at = WalkStands { motion: start, part: 0 };
    let mut count = 0;
    let mut parts = 1;
    for link in chain {
        match &link.joint {
            LinkJoint::None | LinkJoint::Corner => sides.push(Stretches::default()),
            LinkJoint::On => {}
            LinkJoint::Seam { before, after } => {
                let Some(side) = sides.last_mut() else { break };
                let Some(last) = side.laid.last() else { break };
                let Some(motion) = across(last, *before, link, *after, &joined(&side.laid)?, depth)? else {
                    break;
                };
                at = WalkStands { motion, part: parts };
                parts += 1;
                let name = last.piece.edge(*before).name.clone();
                side.closed.push((side.laid.len(), name));
            }
        }
        let tip = link.enters();
        let laid = walk(&tip, &mut at, &mut parts, depth)?;
        if let Some(side) = sides.last_mut() {
            side.laid.extend(laid);
            side.links.push(link.clone());
        }
        count += 1;
    }
    let ends =
        sides.first().and_then(|side| side.laid.first()).zip(sides.last().and_then(|side| side.laid.last()));
    let Some((first_laid, last_laid)) = ends else { return Err(crate::curve::CurveError::Empty.into()) };
    let (first, last) = (chain[0].enters().neighbour(), chain[count - 1].leaves().neighbour());
    let first = end(first, (first_laid, WalkEnd::Start), &mut parts, depth)?;
    let last = end(last, (last_laid, WalkEnd::End), &mut parts, depth)?;
    Ok(ClosedRun { sides, first, last, count })
}

fn end<'a>(
    tip: Tip<'a>,
    (beside, which): (&LaidAlong<'a>, WalkEnd),
    parts: &mut usize,
    depth: f64,
) -> Result<WayIn<'a>, Refusal> {
    let mut at = WalkStands { motion: beside.motion, part: beside.part };
    let mut laid = walk(&tip, &mut at, parts, depth)?;
    let mut path = joined(&laid)?;
    let (corner, onward, walk_way) = match which {
        WalkEnd::Start => (beside.curve.start(), -beside.curve.start_tangent(), beside.curve.start_tangent()),
        WalkEnd::End => (beside.curve.end(), beside.curve.end_tangent(), beside.curve.end_tangent()),
    };
    let is_fold = tip.piece.edge(tip.edge).finish == Finish::Fold;
    if !is_fold && turn_between(onward, path.start_tangent()).degrees().abs() <= CHECKED_ANGLE {
        let inward = right_of(walk_way).normalize();
        let path = Curve::line(corner, corner + inward * (ACROSS_REACH * depth))?;
        return Ok(WayIn { laid: Vec::new(), path, edge: tip.edge, tip, kind: EndKind::Across });
    }
    // An edge that is shorter than the run is deep may go on in the next, as where the piece was extended.
    let mut far = tip;
    while path.length() < depth {
        let next = far.other_end().neighbour();
        let (own, other) = (far.piece.edge(far.edge), next.piece.edge(next.edge));
        let way = next.along();
        let turns = turn_between(path.end_tangent(), at.motion.apply_vec(way)).degrees().abs();
        if turns > CHECKED_ANGLE || own.finish != other.finish || next.edge == tip.edge {
            break;
        }
        laid.extend(walk(&next, &mut at, parts, depth)?);
        path = joined(&laid)?;
        far = next;
    }
    let edge = most_within(&laid, depth).unwrap_or(tip.edge);
    Ok(WayIn { laid, path, tip, kind: EndKind::Along, edge })
}

/// How far into the piece a run that ends across reaches at its end, in its depths: beyond where its inner line meets it.
const ACROSS_REACH: f64 = 2.0;

/// The edge that has most of the first stretch, so long, of what is laid.
fn most_within(laid: &[LaidAlong], depth: f64) -> Option<EdgeId> {
    let mut before = 0.0;
    let mut best: Option<(EdgeId, f64)> = None;
    for one in laid {
        let length = one.curve.length().min((depth - before).max(0.0));
        before += one.curve.length();
        if best.is_none_or(|(_, most)| length > most) {
            best = Some((one.edge, length));
        }
    }
    best.map(|(edge, _)| edge)
}

/// The sewn stretches of an edge from one of its ends on, the darts between them closed.
fn walk<'a>(
    tip: &Tip<'a>,
    at: &mut WalkStands,
    parts: &mut usize,
    reach: f64,
) -> Result<Vec<LaidAlong<'a>>, Refusal> {
    let (piece, travel) = (tip.piece, tip.away());
    let mut stretches = piece.sewn_stretches(tip.edge);
    if travel == Travel::Anticlockwise {
        stretches = stretches.into_iter().rev().map(|(from, to)| (to, from)).collect();
    }
    let mut laid: Vec<LaidAlong> = Vec::new();
    for (from, to) in stretches {
        let before = laid.last().map(|last: &LaidAlong| last.to);
        if let Some(motion) = before.and_then(|to| over_dart(piece, tip.edge, (to, from), &at.motion, reach))
        {
            *at = WalkStands { motion, part: *parts };
            *parts += 1;
        }
        let curve = piece.edge(tip.edge).curve.stretch(from.min(to), from.max(to))?.moved(&at.motion);
        let curve = if travel == Travel::Anticlockwise { curve.reversed() } else { curve };
        laid.push(LaidAlong {
            piece,
            copy: tip.copy,
            edge: tip.edge,
            from,
            to,
            motion: at.motion,
            part: at.part,
            curve,
        });
    }
    Ok(laid)
}

/// The motion of the cloth beyond a dart's mouth when the dart is closed.
fn over_dart(
    piece: &Piece,
    edge: EdgeId,
    (before, after): (f64, f64),
    motion: &Motion,
    reach: f64,
) -> Option<Motion> {
    let name = &piece.edge(edge).name;
    let (dart, mouth) = piece.mouths_on(name).into_iter().find(|(_, mouth)| {
        mouth.from >= before.min(after) - JOINT && mouth.to <= before.max(after) + JOINT
    })?;
    let (first, second) = dart.legs();
    let (near, far) = if (mouth.from - before).abs() <= JOINT { (first, second) } else { (second, first) };
    Some(hinged(&near.moved(motion), far, over(motion.is_mirrored()), reach))
}

/// The motion of the next piece across a seam; none where the two do not lie flat over the depth.
fn across(
    last: &LaidAlong,
    before: EdgeId,
    next: &ChainLink,
    after: EdgeId,
    run: &Curve,
    depth: f64,
) -> Result<Option<Motion>, Refusal> {
    let corner = last.curve.end();
    let near = from_corner(last.piece, before, &last.motion, corner)?;
    let start = next.enters().piece.point_on(next.edge, enters_at(next));
    let far = from_corner(next.piece, after, &Motion::identity(), start)?;
    let reach = reach(&near, run, depth).min(near.length()).min(far.length());
    let motion = hinged(&near, &far, over(next.travel == Travel::Anticlockwise), reach);
    let laid = far.moved(&motion);
    let apart = steps(reach).map(|s| near.point_at(s).distance(laid.point_at(s))).fold(0.0, f64::max);
    Ok((apart <= FACING_FLAT).then_some(motion))
}

fn enters_at(link: &ChainLink) -> f64 {
    match link.travel {
        Travel::Clockwise => 0.0,
        Travel::Anticlockwise => link.piece.edge(link.edge).curve.length(),
    }
}

/// The seamline from a corner into the piece, up to the first dart's mouth on it.
fn from_corner(piece: &Piece, edge: EdgeId, motion: &Motion, corner: Point) -> Result<Curve, Refusal> {
    let curve = &piece.edge(edge).curve;
    let at_start = motion.apply(curve.start()).distance(corner) <= motion.apply(curve.end()).distance(corner);
    let stretches = piece.sewn_stretches(edge);
    let found = if at_start { stretches.first() } else { stretches.last() };
    let (from, to) = found.copied().unwrap_or((0.0, curve.length()));
    let stretch = curve.stretch(from, to)?.moved(motion);
    Ok(if at_start { stretch } else { stretch.reversed() })
}

/// How far along a seam, from its corner, a depth beside the run reaches.
fn reach(seam: &Curve, run: &Curve, depth: f64) -> f64 {
    let far = run.run_on(0.0, depth);
    let inside = |s: &f64| far.nearest(seam.point_at(*s)).distance < depth;
    let count = (seam.length() / LAY_STEP).ceil() as usize;
    let within = (0..=count).map(|i| i as f64 * LAY_STEP).take_while(inside).last().unwrap_or(0.0);
    within + LAY_STEP
}

/// Distances up to a reach, about a step apart, the corner left out.
fn steps(reach: f64) -> impl Iterator<Item = f64> {
    const FEWEST: f64 = 4.0;
    let count = (reach / LAY_STEP).ceil().max(FEWEST);
    (1..=count as usize).map(move |i| reach * i as f64 / count)
}

/// The motion that mirrors where a piece lies turned over, and none where not.
fn over(is_turned: bool) -> Motion {
    if is_turned { Motion::turned_over() } else { Motion::identity() }
}

/// The motion that lays the start of one curve on that of another and turns it about that corner until the two lie together
/// as well as they can over a reach.
fn hinged(near: &Curve, far: &Curve, over: Motion, reach: f64) -> Motion {
    let far = far.moved(&over);
    let reach = reach.min(near.length()).min(far.length());
    let pairs: Vec<_> = steps(reach).map(|s| (near.point_at(s), far.point_at(s))).collect();
    over.then(&Motion::fitted_about((near.start(), far.start()), &pairs))
}

/// From where to where something holds around the middle of a stretch; none where it does not hold there.
pub(super) fn around_middle(holds: impl Fn(f64) -> bool, (from, to): (f64, f64)) -> Option<(f64, f64)> {
    /// Halvings of a stretch: a metre is then told to a millionth of a millimetre.
    const HALVINGS: usize = 30;
    let middle = f64::midpoint(from, to);
    let last = |end: f64| {
        if holds(end) {
            return end;
        }
        let (mut on, mut off) = (middle, end);
        for _ in 0..HALVINGS {
            let between = f64::midpoint(on, off);
            if holds(between) { on = between } else { off = between }
        }
        on
    };
    holds(middle).then(|| (last(from), last(to)))
}
