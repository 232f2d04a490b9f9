//! Where a facing lies on a piece, its lining ends at the facing's inner edge.

use crate::advice;
use crate::curve::{Curve, Motion, Outline};
use crate::derive::lining::draft::LiningDraft;
use crate::parts::ties::first_greatest;
use crate::pattern::{
    Copy, Edge, EdgeId, EdgeName, EdgeRef, Field, Finish, Operation, Pattern, Piece, Purpose, Refusal,
    RefusalKind, Run, RunEdge, Seam, Side, Travel, Unsewn, Walk,
};
use crate::tolerance::{LEAST_DIVIDED, SAME_CUT, WELD};
use crate::units::Length;

/// A facing as it lies on a piece.
struct FacingOn<'a> {
    facing: &'a Piece,
    copy: Copy,
    motion: Motion,
    /// The edges of the piece that it is sewn to.
    along: Vec<EdgeName>,
    /// Its inner edges, clockwise, and their line as it lies on the piece.
    inner: Vec<EdgeId>,
    line: Curve,
}

/// Where a lining ends at a facing.
struct EndAtFacing {
    /// The first and the last edge of the piece that it meets, with the walk distances on them, clockwise round what goes.
    from: (usize, f64),
    to: (usize, f64),
    /// The line from the one to the other.
    line: Curve,
}

/// Cuts off what lies beneath facings. A facing is the innermost layer itself: what is sewn to it lies beside it.
///
/// # Errors
///
/// Refuses a piece that lies beneath its facings altogether.
pub(super) fn end_at_facings(
    pattern: &Pattern,
    source: &Piece,
    draft: &mut LiningDraft,
    allowance: Option<Length>,
) -> Result<(), Refusal> {
    if source.is_facing() {
        return Ok(());
    }
    let usual = allowance.unwrap_or_else(|| source.usual_allowance());
    for facing in facings_on(pattern, source)? {
        end_at(source, draft, &facing, usual)?;
    }
    Ok(())
}

/// Cuts off what lies beneath one facing; gives the name of the edge that is sewn to it.
fn end_at(
    source: &Piece,
    draft: &mut LiningDraft,
    facing: &FacingOn,
    allowance: Length,
) -> Result<Option<EdgeName>, Refusal> {
    let Some(ended) = ended(source, draft, facing)? else { return Ok(None) };
    let name = EdgeName::plain("facing").free(|name| draft.find(name).is_some());
    let (finish, unsewn) = (Finish::Seam, Unsewn::Meant);
    let edge = Edge { finish, allowance, unsewn, ..Edge::new(name.clone(), ended.line.clone()) };
    let whole = draft.curve(ended.to.0).length();
    draft.trim(ended.to.0, ended.to.1, whole)?;
    draft.trim(ended.from.0, 0.0, ended.from.1)?;
    let (first, last) = (draft.next(ended.from.0), draft.previous(ended.to.0));
    draft.replace(first, last, edge);
    Ok(Some(name))
}

/// The facings that lie on a piece, each once.
fn facings_on<'a>(pattern: &'a Pattern, source: &Piece) -> Result<Vec<FacingOn<'a>>, Refusal> {
    let mut found: Vec<FacingOn> = Vec::new();
    let mut longest: Vec<f64> = Vec::new();
    for seam in pattern.seams() {
        for side in Side::BOTH {
            let own = seam.side(side).edges();
            let (Some(edge), Some(other)) = (
                own.iter().find(|run| run.edge.piece == *source.name()),
                seam.side(side.other()).edges().first(),
            ) else {
                continue;
            };
            let Some(facing) = pattern.find(&other.edge.piece).filter(|piece| piece.is_facing()) else {
                continue;
            };
            let Some((motion, length)) = laid(pattern, seam, side, edge)? else { continue };
            let name = edge.edge.edge.clone();
            match found.iter().position(|on| on.facing.name() == facing.name()) {
                Some(at) => {
                    found[at].along.push(name);
                    if length > longest[at] {
                        (found[at].motion, longest[at]) = (motion, length);
                    }
                }
                None => {
                    let Some((inner, line)) = inner_line(pattern, facing, source, &motion)? else { continue };
                    let copy = if edge.edge.copy == other.edge.copy { Copy::Drawn } else { Copy::Mirrored };
                    found.push(FacingOn { facing, copy, motion, along: vec![name], inner, line });
                    longest.push(length);
                }
            }
        }
    }
    for on in &mut found {
        on.line = on.line.moved(&on.motion);
    }
    Ok(found)
}

/// The motion that lays the facing on the piece by what is sewn to an edge of it, and how long that is.
fn laid(
    pattern: &Pattern,
    seam: &Seam,
    side: Side,
    edge: &RunEdge,
) -> Result<Option<(Motion, f64)>, Refusal> {
    let (own, other) = (Walk::of(pattern, seam.side(side))?, Walk::of(pattern, seam.side(side.other()))?);
    let (piece, id) = pattern.edge(&edge.edge)?;
    let length = piece.edge(id).curve.length();
    let ends = [0.0, length].map(|at| own.distance_of(&edge.edge, at));
    let [Some(a), Some(b)] = ends else { return Ok(None) };
    // Ease lies between: the other side is met at the same share of it.
    let share = other.length() / own.length();
    let (Some(from), Some(to)) = (other.at(a * share), other.before(b * share)) else { return Ok(None) };
    let (from, to) = if a <= b {
        (from, to)
    } else {
        (other.before(a * share).unwrap_or(from), other.at(b * share).unwrap_or(to))
    };
    if from.piece.name() != to.piece.name() {
        return Ok(None);
    }
    let (start, end) = (piece.point_on(id, 0.0), piece.point_on(id, length));
    if start.distance(end) <= SAME_CUT || from.point.distance(to.point) <= SAME_CUT {
        return Ok(None);
    }
    // Both walked the same way round, the one lies on the other as it is; else turned over.
    let travel = pattern_travel(seam.side(side.other()), from.piece, from.edge);
    let motion = match travel == Some(edge.travel) {
        true => Motion::carry((from.point, to.point), (start, end))?,
        false => Motion::carry_mirrored((from.point, to.point), (start, end))?,
    };
    Ok(Some((motion, start.distance(end))))
}

fn pattern_travel(run: &Run, piece: &Piece, edge: EdgeId) -> Option<Travel> {
    let name = &piece.edge(edge).name;
    run.edges()
        .iter()
        .find(|run| run.edge.piece == *piece.name() && run.edge.edge == *name)
        .map(|run| run.travel)
}

/// The longest run of edges of a facing that are sewn to no shell and lie on none of the piece's edges.
fn inner_line(
    pattern: &Pattern,
    facing: &Piece,
    source: &Piece,
    motion: &Motion,
) -> Result<Option<(Vec<EdgeId>, Curve)>, Refusal> {
    let is_lining =
        |run: &RunEdge| pattern.find(&run.edge.piece).is_some_and(|piece| piece.purpose == Purpose::Lining);
    let is_inner = |id: EdgeId| {
        let edge = facing.edge_ref(id);
        let sewn = pattern.seams_of(&edge).all(|seam| {
            let seam = pattern.seam(seam);
            seam.edges().any(is_lining)
        });
        let curve = &facing.edge(id).curve;
        let middle = motion.apply(curve.point_at(curve.length() / 2.0));
        let beside = source.nearest_on_outline(middle).distance > WELD;
        facing.edge(id).finish == Finish::Free && sewn && beside
    };
    let mut best: Option<(Vec<EdgeId>, Curve)> = None;
    for id in facing.edge_ids().filter(|id| is_inner(*id) && !is_inner(facing.previous(*id))) {
        let (mut edges, mut line) = (vec![id], facing.edge(id).curve.clone());
        let mut next = facing.next(id);
        while is_inner(next) && next != id {
            line = line.joined_within(&facing.edge(next).curve, WELD)?;
            edges.push(next);
            next = facing.next(next);
        }
        if best.as_ref().is_none_or(|(_, longest)| line.length() > longest.length()) {
            best = Some((edges, line));
        }
    }
    Ok(best)
}

/// Where the inner line of a facing crosses a piece; none where it does not.
fn ended(source: &Piece, draft: &LiningDraft, on: &FacingOn) -> Result<Option<EndAtFacing>, Refusal> {
    // The line ends on the edges beside the run; it is looked for a little beyond.
    let (line, whole) = (on.line.run_on(WELD, WELD), on.line.length());
    let mut met: Vec<(f64, usize, f64)> = Vec::new();
    for at in 0..draft.edges.len() {
        let found = line.crossings(draft.curve(at)).into_iter();
        met.extend(found.map(|found| ((found.at - WELD).clamp(0.0, whole), at, found.other_at)));
    }
    met.sort_by(|a, b| a.0.total_cmp(&b.0));
    let outline = draft.outline()?;
    let inside = |a: f64, b: f64| outline.contains(on.line.point_at(f64::midpoint(a, b)));
    let pairs = met.windows(2).filter(|pair| pair[1].0 - pair[0].0 > WELD && inside(pair[0].0, pair[1].0));
    let best = first_greatest(pairs, |pair| pair[1].0 - pair[0].0);
    let Some([(a, first, on_first), (b, second, on_second)]) = best.map(|pair| [pair[0], pair[1]]) else {
        return beneath(source, &outline, on);
    };
    let part = on.line.stretch(a, b)?;
    let mut from = (first, on_first);
    let mut to = (second, on_second);
    let mut line = part;
    let goes = |from: (usize, f64), to: (usize, f64)| {
        let mut at = from.0;
        let mut between = Vec::new();
        while at != to.0 {
            at = draft.next(at);
            between.push(at);
        }
        between.pop();
        between.iter().any(|at| on.along.contains(&draft.edges[*at].edge.name))
    };
    if !goes(from, to) {
        (from, to) = (to, from);
        line = line.reversed();
        if !goes(from, to) {
            return Ok(None);
        }
    }
    if from.1 <= WELD {
        from.0 = draft.previous(from.0);
        from.1 = draft.curve(from.0).length();
    }
    if draft.curve(to.0).length() - to.1 <= WELD {
        to = (draft.next(to.0), 0.0);
    }
    Ok(Some(EndAtFacing { from, to, line }))
}

/// The line crosses nothing that is left of the piece: what it would cut off lies beneath another facing, or the piece lies
/// beneath this one altogether.
fn beneath(source: &Piece, left: &Outline, on: &FacingOn) -> Result<Option<EndAtFacing>, Refusal> {
    let middle = on.line.point_at(on.line.length() / 2.0);
    if source.outline().contains(middle) && !left.contains(middle) {
        return Ok(None);
    }
    if on.facing.fold().is_some() && source.fold().is_none() {
        let unfold = match on.facing.derived {
            Some(_) => Operation::Follow.with(Field::Piece, on.facing.name()),
            None => Operation::Unfold.with(Field::Piece, on.facing.name()),
        };
        return Err(Refusal::new(
            RefusalKind::BadWidth,
            source.name(),
            format!(
                "`{}` is still half, on its fold, and the piece that it faces is whole",
                on.facing.name()
            ),
            advice!("open the facing out too: ", unfold),
        ));
    }
    Err(Refusal::new(
        RefusalKind::BadWidth,
        source.name(),
        format!(
            "the inner edge of `{}` does not cross the piece: nothing of it would be lined",
            on.facing.name()
        ),
        "make the facing less deep, or leave this piece without a lining",
    ))
}

/// How a lining is sewn to facings.
#[derive(Default)]
pub(in crate::derive) struct AtFacings {
    pub seams: Vec<Seam>,
    /// The inner edges that must be divided before, and where.
    pub divides: Vec<(EdgeRef, f64)>,
}

/// The seams of a lining to the inner edges of facings. Where the lining ends above the hem, or at a seam across which the
/// facing goes on to the next lining, it is sewn to a part of one.
pub(in crate::derive) fn facing_seams(
    pattern: &Pattern,
    lining: &Piece,
    source: &Piece,
) -> Result<AtFacings, Refusal> {
    let mut all = AtFacings::default();
    let mut draft = LiningDraft::of(source.clone());
    for on in facings_on(pattern, source)? {
        let Some(name) = end_at(source, &mut draft, &on, Length::ZERO)? else { continue };
        let Some(own) = lining.find_edge(&name) else { continue };
        let part = part_on(lining, own, &on);
        let mut before = 0.0;
        let joints: Vec<(f64, f64)> = on
            .inner
            .iter()
            .map(|id| {
                let start = before;
                before += on.facing.edge(*id).curve.length();
                (start, before)
            })
            .collect();
        // Beside a joint too little would be left of the edge to be divided again: the pieces lie flat within less.
        let nearest = |ends: Vec<f64>, at: f64| {
            let off = |i: &usize| (ends[*i] - at).abs();
            let near = (0..ends.len()).filter(|i| off(i) < LEAST_DIVIDED);
            near.min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        let first = nearest(joints.iter().map(|joint| joint.0).collect(), part.from);
        let last = nearest(joints.iter().map(|joint| joint.1).collect(), part.to);
        if let (Some(first), Some(last)) = (first, last) {
            all.seams.extend(sewn(lining, own, &on, &on.inner[first..=last.max(first)], part.way));
            continue;
        }
        for at in [part.from, part.to] {
            let holds = |joint: &(f64, f64)| joint.0 + LEAST_DIVIDED <= at && at <= joint.1 - LEAST_DIVIDED;
            if let Some(i) = joints.iter().position(holds) {
                all.divides.push((on.facing.edge_ref(on.inner[i]), at - joints[i].0));
            }
        }
    }
    Ok(all)
}

/// The part of a facing's inner line that a lining's edge lies on, and which way.
struct FacingStretch {
    from: f64,
    to: f64,
    way: Travel,
}

/// A pleat at the end of the edge lies beside the line.
fn part_on(lining: &Piece, own: EdgeId, on: &FacingOn) -> FacingStretch {
    let curve = &lining.edge(own).curve;
    let sewn = lining.sewn_stretches(own);
    let (start, end) = (sewn.first().map_or(0.0, |s| s.0), sewn.last().map_or(curve.length(), |s| s.1));
    let [a, b] = [start, end].map(|at| on.line.nearest(curve.point_at(at)).at);
    match a <= b {
        true => FacingStretch { from: a, to: b, way: Travel::Clockwise },
        false => FacingStretch { from: b, to: a, way: Travel::Anticlockwise },
    }
}

fn sewn(lining: &Piece, own: EdgeId, on: &FacingOn, inner: &[EdgeId], way: Travel) -> Option<Seam> {
    let mut edges: Vec<RunEdge> = inner
        .iter()
        .map(|id| RunEdge { edge: EdgeRef { copy: on.copy, ..on.facing.edge_ref(*id) }, travel: way })
        .collect();
    if way == Travel::Anticlockwise {
        edges.reverse();
    }
    let own = RunEdge { edge: lining.edge_ref(own), travel: Travel::Clockwise };
    Some(Seam { first: Run::new(vec![own])?, second: Run::new(edges)?, ease: Length::ZERO })
}
