//! What a strip lies on: a seam with the pieces on both of its sides laid flat, or a line on one piece.
//!
//! ```text
//!            left half
//!     start ───────────────> end      the walk, clockwise round the piece to the right
//!            right half
//! ```

use crate::advice;
use crate::curve::{Curve, Motion};
use crate::derive::chain::{ChainLink, chain};
use crate::derive::closed::{ClosedRun, EndKind, LaidAlong, WayIn, close};
use crate::parts::ties::first_greatest;
use crate::pattern::{
    Copy, EdgeEnd, EdgeId, EdgeName, EdgeRef, Field, Finish, LaidOn, MadeFrom, Operation, Pattern, Piece,
    PieceName, Refusal, RefusalKind, Run, StyleLineName, WalkEnd, settle,
};
use crate::tolerance::{FACING_FLAT, LAY_STEP, ON_OUTLINE, SAME_CUT, SAME_RUN};

/// A stretch of an edge or a line under a strip, where it lies.
#[derive(Clone, Debug)]
pub(super) struct StretchUnder<'a> {
    pub piece: &'a Piece,
    pub copy: Copy,
    pub on: LaidOn,
    /// Walk distances on what it lies on, in the order of the walk.
    pub from: f64,
    pub to: f64,
    pub motion: Motion,
    /// Stretches of one number were moved as one.
    pub part: usize,
    pub curve: Curve,
}

/// One half of the ground, to one side of the walk.
#[derive(Clone, Debug)]
pub(super) struct GroundHalf<'a> {
    /// What the strip's edge on it is called.
    pub name: EdgeName,
    pub line: Curve,
    pub under: Vec<StretchUnder<'a>>,
    /// The way from the walk's two ends along the outline of the half; none where the walk ends inside of the piece.
    pub ends: [Option<WayFromEnd<'a>>; 2],
}

/// The way along an outline from an end of the walk.
#[derive(Clone, Debug)]
pub(super) struct WayFromEnd<'a> {
    pub under: Vec<StretchUnder<'a>>,
    pub path: Curve,
    pub piece: &'a Piece,
    pub edge: EdgeId,
    pub kind: EndKind,
}

/// What a strip lies on.
#[derive(Clone, Debug)]
pub(super) struct StripGround<'a> {
    pub right: GroundHalf<'a>,
    pub left: GroundHalf<'a>,
    /// The first edge of the seam, clockwise, or the line.
    pub named: EdgeRef,
    pub from: MadeFrom,
    /// How often it is in the garment.
    pub times: u32,
    /// Edges of which the darts are closed under the strip.
    pub closed: Vec<EdgeRef>,
}

impl<'a> StretchUnder<'a> {
    fn of(laid: &LaidAlong<'a>) -> StretchUnder<'a> {
        StretchUnder {
            piece: laid.piece,
            copy: laid.copy,
            on: LaidOn::Edge(laid.piece.edge(laid.edge).name.clone()),
            from: laid.from,
            to: laid.to,
            motion: laid.motion,
            part: laid.part,
            curve: laid.curve.clone(),
        }
    }

    fn reversed(self) -> StretchUnder<'a> {
        StretchUnder { from: self.to, to: self.from, curve: self.curve.reversed(), ..self }
    }

    /// The place on what it lies on, a distance along it in the order of the walk.
    pub(super) fn place(&self, at: f64) -> f64 {
        if self.to > self.from { self.from + at } else { self.from - at }
    }
}

impl<'a> WayFromEnd<'a> {
    fn of(end: &WayIn<'a>) -> WayFromEnd<'a> {
        WayFromEnd {
            under: end.laid.iter().map(StretchUnder::of).collect(),
            path: end.path.clone(),
            piece: end.tip.piece,
            edge: end.edge,
            kind: end.kind,
        }
    }

    pub(super) fn is_fold(&self) -> bool {
        self.piece.edge(self.edge).finish == Finish::Fold
    }
}

impl<'a> GroundHalf<'a> {
    fn of(name: &PieceName, run: &ClosedRun<'a>) -> Result<GroundHalf<'a>, Refusal> {
        let under: Vec<StretchUnder> =
            run.sides.iter().flat_map(|side| &side.laid).map(StretchUnder::of).collect();
        let mut line: Option<Curve> = None;
        for side in &run.sides {
            let curve = side.curve()?;
            line = Some(match line {
                None => curve,
                Some(so_far) => so_far.joined(&curve)?,
            });
        }
        Ok(GroundHalf {
            name: EdgeName::of_piece(name),
            line: line.ok_or(crate::curve::CurveError::Empty)?,
            under,
            ends: [Some(WayFromEnd::of(&run.first)), Some(WayFromEnd::of(&run.last))],
        })
    }

    fn reversed(self) -> GroundHalf<'a> {
        let [start, end] = self.ends;
        GroundHalf {
            line: self.line.reversed(),
            under: self.under.into_iter().rev().map(StretchUnder::reversed).collect(),
            ends: [end, start],
            ..self
        }
    }

    fn moved(self, motion: &Motion) -> GroundHalf<'a> {
        let moved = |under: StretchUnder<'a>| StretchUnder {
            motion: under.motion.then(motion),
            curve: under.curve.moved(motion),
            ..under
        };
        let way = |way: WayFromEnd<'a>| WayFromEnd {
            under: way.under.into_iter().map(moved).collect(),
            path: way.path.moved(motion),
            ..way
        };
        GroundHalf {
            line: self.line.moved(motion),
            under: self.under.into_iter().map(moved).collect(),
            ends: self.ends.map(|end| end.map(way)),
            ..self
        }
    }

    /// The stretches, each with the length of those before it.
    pub(super) fn walked(&self) -> impl Iterator<Item = (f64, &StretchUnder<'a>)> {
        walked(&self.under)
    }
}

/// Stretches, each with the length of those before it.
pub(super) fn walked<'r, 'a>(
    under: &'r [StretchUnder<'a>],
) -> impl Iterator<Item = (f64, &'r StretchUnder<'a>)> {
    let mut before = 0.0;
    under.iter().map(move |one| {
        let at = before;
        before += one.curve.length();
        (at, one)
    })
}

/// A seam as the ground of a strip that reaches so far to either side.
///
/// # Errors
///
/// Refuses an edge that is not sewn, and pieces along a side that do not lie flat together.
pub(super) fn over_seam<'a>(
    pattern: &'a Pattern,
    over: &EdgeRef,
    reach: f64,
) -> Result<StripGround<'a>, Refusal> {
    let named = settle(pattern, over);
    let seam = pattern.seam(pattern.seam_named(&named, None)?);
    let is_first = seam.first.edges().iter().any(|run| run.edge.same_edge(&named));
    let (own, other) = if is_first { (&seam.first, &seam.second) } else { (&seam.second, &seam.first) };
    let (right_links, right_with) = side(pattern, own)?;
    let (left_links, left_with) = side(pattern, other)?;
    refuse_open(right_links.iter().chain(&left_links))?;
    let right = half(&right_links, reach)?;
    let left = half(&left_links, reach)?;
    // Clockwise the piece to the right lies to the right; one that would be walked clockwise too lies turned over.
    let left = match right_with == left_with {
        true => left.moved(&Motion::turned_over()),
        false => left.reversed(),
    };
    let all: Vec<EdgeRef> = right_links.iter().chain(&left_links).map(ChainLink::edge_ref).collect();
    let times = right_links.iter().chain(&left_links).map(|link| link.piece.times()).min().unwrap_or(1);
    let times = if seam.is_to_own_mirror() { times.div_ceil(2) } else { times };
    let left = GroundHalf { name: left.name.free(|name| *name == right.name), ..left };
    Ok(StripGround {
        right,
        left,
        named: all[0].clone(),
        from: MadeFrom::Run(all.clone()),
        times,
        closed: all,
    })
}

/// Refuses a stretch that is left open: a strip over it would close it.
fn refuse_open<'r, 'a: 'r>(links: impl Iterator<Item = &'r ChainLink<'a>>) -> Result<(), Refusal> {
    for link in links {
        if let Some(purpose) = link.piece.edge(link.edge).open {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                link.edge_ref(),
                format!(
                    "the seam is left open here for a {}: a strip over it would close it",
                    purpose.word()
                ),
                "name a stretch that is sewn",
            ));
        }
    }
    Ok(())
}

/// The edges of a side of a seam, clockwise round their first piece, and whether the seam runs with them.
fn side<'a>(pattern: &'a Pattern, run: &Run) -> Result<(Vec<ChainLink<'a>>, bool), Refusal> {
    let edges: Vec<EdgeRef> = run.edges().iter().map(|run| run.edge.clone()).collect();
    let links = chain(pattern, &edges)?;
    let first = links[0].edge_ref();
    let with = run.edges().iter().any(|run| run.edge == first && run.travel == links[0].travel);
    Ok((links, with))
}

fn half<'a>(links: &[ChainLink<'a>], reach: f64) -> Result<GroundHalf<'a>, Refusal> {
    let run = close(links, reach, Motion::identity())?;
    if let Some(link) = links.get(run.count) {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            link.edge_ref(),
            format!(
                "here the pieces do not lie flat together, {reach:.0} mm deep, as a strip over them would"
            ),
            "make a strip over each part of the seam, or a narrower one",
        ));
    }
    GroundHalf::of(links[0].piece.name(), &run)
}

impl StripGround<'_> {
    /// Whether the seamlines of both halves go on beyond an end of the walk, as where a stretch beside it is left open: there
    /// is no edge across along which a strip could run out.
    pub(super) fn runs_on(&self, end: WalkEnd) -> bool {
        let goes_on = |half: &GroundHalf| {
            let way = if end == WalkEnd::Start { &half.ends[0] } else { &half.ends[1] };
            way.as_ref().is_some_and(|way| way.kind == EndKind::Across)
        };
        goes_on(&self.right) && goes_on(&self.left)
    }

    /// Whether it is a line on one piece.
    pub(super) fn is_line(&self) -> bool {
        matches!(self.from, MadeFrom::Pieces(_))
    }

    /// How long the walk is, mm.
    pub(super) fn length(&self) -> f64 {
        self.right.line.length()
    }

    /// Where a stretch of the walk lies on the left half: at the same distances; of a seam that is eased as much of it, the
    /// middle at the same share.
    pub(super) fn on_left(&self, (from, to): (f64, f64)) -> (f64, f64) {
        let (own, other) = (self.length(), self.left.line.length());
        if (own - other).abs() <= SAME_RUN {
            return (from.min(other), to.min(other));
        }
        let long = (to - from).min(other);
        let middle = f64::midpoint(from, to) * other / own;
        let from = (middle - long / 2.0).clamp(0.0, other - long);
        (from, from + long)
    }

    /// The ground with its left half laid on the right along a stretch of the walk.
    ///
    /// # Errors
    ///
    /// Refuses halves that do not lie flat beside each other along the stretch.
    pub(super) fn laid_along(self, stretch: (f64, f64)) -> Result<Self, Refusal> {
        if self.is_line() {
            return Ok(self);
        }
        let (from, to) = self.on_left(stretch);
        let near = self.right.line.stretch(stretch.0, stretch.1)?;
        let motion = laid_together(&near, &self.left.line.stretch(from, to)?);
        let left = self.left.clone().moved(&motion);
        let far = left.line.stretch(from, to)?;
        let apart = shares(near.length())
            .map(|share| near.nearest(far.point_at(share * far.length())).distance)
            .fold(0.0, f64::max);
        if apart > FACING_FLAT {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                &self.named,
                format!(
                    "laid flat, the two sides of the seam are {apart:.1} mm apart: no strip lies on both"
                ),
                advice!(
                    "name a shorter stretch with ",
                    Field::From,
                    " and ",
                    Field::To,
                    ", or straighten the seam: ",
                    Operation::MoveSeam.with(Field::Seam, &self.named)
                ),
            ));
        }
        Ok(StripGround { left, ..self })
    }
}

/// Shares of a length about a step apart, from 0 to 1.
fn shares(length: f64) -> impl Iterator<Item = f64> {
    const FEWEST: f64 = 8.0;
    let count = (length / LAY_STEP).ceil().max(FEWEST);
    (0..=count as usize).map(move |i| i as f64 / count)
}

/// The motion without turning over that lays one curve on another as well as it can: at equal shares.
fn laid_together(near: &Curve, far: &Curve) -> Motion {
    let at = |share: f64| (near.point_at(share * near.length()), far.point_at(share * far.length()));
    Motion::fitted(&shares(near.length()).map(at).collect::<Vec<_>>())
}

/// A style line as the ground of a strip: as much of it as lies inside of its piece.
///
/// # Errors
///
/// Refuses a line that lies nowhere inside.
pub(super) fn over_line<'a>(piece: &'a Piece, name: &StyleLineName) -> Result<StripGround<'a>, Refusal> {
    let curve = &piece.style_line_named(name)?.curve;
    let named = EdgeRef::new(piece.name().clone(), EdgeName::of_line(name));
    let Some((from, to)) = inside(piece, curve) else {
        return Err(Refusal::new(
            RefusalKind::BadLine,
            &named,
            "the line lies nowhere inside of its piece",
            "draw it from one edge to another",
        ));
    };
    let line = curve.stretch(from.at, to.at)?;
    let under = StretchUnder {
        piece,
        copy: Copy::Drawn,
        on: LaidOn::Line(name.clone()),
        from: from.at,
        to: to.at,
        motion: Motion::identity(),
        part: 0,
        curve: line.clone(),
    };
    // At the start one looks outward against the walk: what is clockwise of it is to the left.
    let ways = |out: Option<(EdgeId, f64)>| -> Result<[Option<WayFromEnd<'a>>; 2], Refusal> {
        let Some(on) = out else { return Ok([None, None]) };
        Ok([way(piece, on, EdgeEnd::Last)?, way(piece, on, EdgeEnd::First)?])
    };
    let [left_start, right_start] = ways(from.on)?;
    let [right_end, left_end] = ways(to.on)?;
    let half = |word: &'static str, ends| GroundHalf {
        name: EdgeName::plain(word),
        line: line.clone(),
        under: vec![under.clone()],
        ends,
    };
    Ok(StripGround {
        right: half("right", [right_start, right_end]),
        left: half("left", [left_start, left_end]),
        named,
        from: MadeFrom::Pieces(vec![piece.name().clone()]),
        times: piece.times(),
        closed: Vec::new(),
    })
}

/// An end of a line: how far along it, and where on the outline, if it is there.
#[derive(Clone, Copy)]
struct LineEnd {
    at: f64,
    on: Option<(EdgeId, f64)>,
}

/// The longest stretch of a line inside of a piece.
fn inside(piece: &Piece, curve: &Curve) -> Option<(LineEnd, LineEnd)> {
    let length = curve.length();
    let met = piece.outline().crossings_with(&curve.run_on(ON_OUTLINE, ON_OUTLINE));
    let mut ends: Vec<LineEnd> = met
        .iter()
        .map(|met| LineEnd {
            at: (met.line_at - ON_OUTLINE).clamp(0.0, length),
            on: Some((EdgeId(met.edge), met.at)),
        })
        .collect();
    for at in [0.0, length] {
        if ends.iter().all(|end| (end.at - at).abs() > SAME_CUT) {
            ends.push(LineEnd { at, on: None });
        }
    }
    ends.sort_by(|a, b| a.at.total_cmp(&b.at));
    let is_inside = |pair: &&[LineEnd]| {
        pair[1].at - pair[0].at > SAME_CUT
            && piece.outline().contains(curve.point_at(f64::midpoint(pair[0].at, pair[1].at)))
    };
    let longest = first_greatest(ends.windows(2).filter(is_inside), |pair| pair[1].at - pair[0].at)?;
    Some((longest[0], longest[1]))
}

/// The way from a place on an edge to one of that edge's ends; on from a corner along the next edge.
fn way<'a>(
    piece: &'a Piece,
    (edge, at): (EdgeId, f64),
    toward: EdgeEnd,
) -> Result<Option<WayFromEnd<'a>>, Refusal> {
    let length = |edge: EdgeId| piece.edge(edge).curve.length();
    let (edge, from) = match toward {
        EdgeEnd::Last if length(edge) - at <= ON_OUTLINE => (piece.next(edge), 0.0),
        EdgeEnd::First if at <= ON_OUTLINE => (piece.previous(edge), length(piece.previous(edge))),
        EdgeEnd::First | EdgeEnd::Last => (edge, at),
    };
    let curve = &piece.edge(edge).curve;
    let (to, path) = match toward {
        EdgeEnd::Last => (length(edge), curve.stretch(from, length(edge))?),
        EdgeEnd::First => (0.0, curve.stretch(0.0, from)?.reversed()),
    };
    let under = StretchUnder {
        piece,
        copy: Copy::Drawn,
        on: LaidOn::Edge(piece.edge(edge).name.clone()),
        from,
        to,
        motion: Motion::identity(),
        part: 0,
        curve: path.clone(),
    };
    Ok(Some(WayFromEnd { under: vec![under], path, piece, edge, kind: EndKind::Along }))
}
