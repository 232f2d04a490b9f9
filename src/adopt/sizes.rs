//! What of a drawing of several sizes belongs to the chosen one, to another, or to all.
//!
//! Something belongs to another size only where the chosen size has it as well: an outline that lies in or around one of
//! the chosen outlines, with all it is drawn of; a mark that stands beside a like mark of the chosen size, one for one. All
//! else was drawn once and belongs to every size, in whatever kind of line: nothing is lost by choosing.

use std::collections::{HashMap, HashSet};

use kurbo::{Point, Rect, Vec2};

use crate::adopt::chain::JoinedStrokes;
use crate::curve::{Curve, Outline};
use crate::tolerance::{LEAST_OUTLINE, ON_OUTLINE};

/// Of which size a stroke may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum SizeKind {
    /// The one that was chosen.
    Chosen,
    /// Another: strokes that are alike in that by which the size was chosen are of one kind.
    Other(usize),
}

/// What share of the two boxes together two outlines have in common that are sizes of one piece.
pub(super) const NESTED: f64 = 0.6;

/// What share of another size's outline is drawn in its own kind of line; the rest it shares.
const OWN_SHARE: f64 = 0.5;

/// How much further than its outline a mark may move from one size to another, as a factor and in mm.
const MOVES_FURTHER: f64 = 1.5;
const MOVES_BESIDES: f64 = 5.0;

/// How far two marks that are one in two sizes may be turned against each other: the cosine of 30°.
const TURNED: f64 = 0.866;

/// Outlines of other sizes that are looked for among one another.
const MOST_NESTED: usize = 2_000;

/// Marks that are looked at around one.
const MOST_AROUND: usize = 200;

/// Outlines of a drawing: closed lines and long open ones.
#[derive(Clone, Debug)]
pub(super) struct SizeOutline {
    kind: SizeKind,
    curve: Curve,
    bounds: Rect,
    strokes: Vec<usize>,
}

impl SizeOutline {
    pub fn of(kind: SizeKind, chain: &JoinedStrokes) -> SizeOutline {
        SizeOutline {
            kind,
            bounds: chain.curve.bounds(),
            curve: chain.curve.clone(),
            strokes: chain.strokes.clone(),
        }
    }

    /// Whether enough of it is drawn by its own strokes, of these lengths.
    pub fn is_mostly_own(&self, stroke_length: impl Fn(usize) -> f64) -> bool {
        self.strokes.iter().map(|at| stroke_length(*at)).sum::<f64>() >= OWN_SHARE * self.curve.length()
    }
}

/// The other sizes of the chosen outlines.
#[derive(Clone, Debug, Default)]
pub(super) struct OtherSizes {
    outlines: Vec<(SizeKind, Curve)>,
    /// Strokes that their outlines are drawn of.
    strokes: HashSet<usize>,
    /// By how much each kind is larger or smaller than the chosen size, at each chosen box.
    reaches: HashMap<SizeKind, Vec<(Rect, f64)>>,
}

impl OtherSizes {
    /// Finds the outlines that are other sizes of chosen ones: that lie in or around one, or in or around such a one.
    pub fn of(chosen: &[SizeOutline], others: &[SizeOutline]) -> OtherSizes {
        let mut sizes = OtherSizes::default();
        let mut left: Vec<&SizeOutline> = others.iter().collect();
        let mut around: Vec<(Rect, Rect)> = chosen.iter().map(|own| (own.bounds, own.bounds)).collect();
        while !around.is_empty() {
            let mut next = Vec::new();
            left.retain(|other| {
                let Some((_, own)) = around.iter().find(|(near, _)| common(*near, other.bounds) > NESTED)
                else {
                    return true;
                };
                sizes.add(other, *own);
                next.push((other.bounds, *own));
                false
            });
            around = if others.len() <= MOST_NESTED { next } else { Vec::new() };
        }
        sizes
    }

    fn add(&mut self, other: &SizeOutline, own: Rect) {
        self.strokes.extend(&other.strokes);
        self.outlines.push((other.kind, other.curve.clone()));
        let sides = |of: Rect| [of.x0, of.y0, of.x1, of.y1];
        let apart =
            sides(own).iter().zip(sides(other.bounds)).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        let reach = MOVES_FURTHER * apart + MOVES_BESIDES;
        self.reaches.entry(other.kind).or_default().push((own.union(other.bounds), reach));
    }

    /// Their outlines, each with its kind.
    pub fn outlines(&self) -> &[(SizeKind, Curve)] {
        &self.outlines
    }

    /// Whether a line is part of another size's outline.
    pub fn draw(&self, chain: &JoinedStrokes) -> bool {
        chain.strokes.iter().any(|at| self.strokes.contains(at))
    }

    /// How far from where it stands in the chosen size something of a kind may stand; none of a kind that is no size.
    fn reach(&self, kind: SizeKind, at: Point) -> Option<f64> {
        let all = self.reaches.get(&kind)?;
        let here = all.iter().filter(|(around, reach)| around.inflate(*reach, *reach).contains(at));
        let here = here.map(|(_, reach)| *reach).reduce(f64::max);
        here.or_else(|| all.iter().map(|(_, reach)| *reach).reduce(f64::max))
    }

    /// Whether a line of another size runs along a chosen outline as that size's own does, where it was not found closed.
    /// A straight line within a chosen outline is common to all.
    pub fn runs_along(&self, kind: SizeKind, line: &Curve, rings: &[Outline]) -> bool {
        /// Places looked at on the line.
        const PLACES: u32 = 8;
        let ends = [line.start(), line.end()];
        let within = |ring: &Outline| ends.iter().all(|end| ring.contains(*end));
        if line.length() < LEAST_OUTLINE || (line.is_straight(ON_OUTLINE) && rings.iter().any(within)) {
            return false;
        }
        let along = |ring: &Outline| {
            (0..=PLACES).all(|place| {
                let at = line.length() * f64::from(place) / f64::from(PLACES);
                let (point, way) = (line.point_at(at), line.tangent_at(at));
                let Some(reach) = self.reach(kind, point) else { return false };
                if !ring.bounds().inflate(reach, reach).contains(point) {
                    return false;
                }
                ring.curves().iter().any(|edge| {
                    let near = edge.nearest(point);
                    near.distance <= reach && edge.tangent_at(near.at).dot(way).abs() >= TURNED
                })
            })
        };
        rings.iter().any(along)
    }

    /// For each mark of other kinds whether it is one that the chosen size has as well: each of the chosen marks stands
    /// for one mark of each other size, the nearest first.
    pub fn stands_for(&self, own: &[MarkOfSize], others: &[(SizeKind, MarkOfSize)]) -> Vec<bool> {
        let all = self.reaches.values().flatten().map(|(_, reach)| *reach);
        let Some(cell) = all.reduce(f64::max) else { return vec![false; others.len()] };
        let place = |at: Point| ((at.x / cell).floor() as i64, (at.y / cell).floor() as i64);
        let mut grid: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
        for (index, mark) in own.iter().enumerate() {
            grid.entry(place(mark.middle)).or_default().push(index);
        }
        let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
        for (index, (kind, mark)) in others.iter().enumerate() {
            let Some(reach) = self.reach(*kind, mark.middle) else { continue };
            let (x, y) = place(mark.middle);
            let cells = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
            let near = cells.filter_map(|cell| grid.get(&cell)).flatten().take(MOST_AROUND);
            pairs.extend(near.filter(|at| mark.is_like(&own[**at])).filter_map(|at| {
                let apart = mark.middle.distance(own[*at].middle);
                (apart <= reach).then_some((apart, index, *at))
            }));
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let mut stood_for = vec![false; others.len()];
        let mut used: HashSet<(SizeKind, usize)> = HashSet::new();
        for (_, other, own) in pairs {
            if !stood_for[other] && used.insert((others[other].0, own)) {
                stood_for[other] = true;
            }
        }
        stood_for
    }
}

/// The share of two boxes together that they have in common.
pub(super) fn common(a: Rect, b: Rect) -> f64 {
    let both = a.intersect(b).area().max(0.0);
    both / (a.area() + b.area() - both).max(f64::MIN_POSITIVE)
}

/// What is compared of two marks.
#[derive(Clone, Copy, Debug)]
pub(super) struct MarkOfSize {
    middle: Point,
    length: f64,
    /// The direction of a straight one.
    way: Option<Vec2>,
    closed: bool,
}

impl MarkOfSize {
    pub fn of(line: &Curve) -> MarkOfSize {
        let closed = line.start() == line.end();
        let straight = !closed && line.is_straight(ON_OUTLINE);
        MarkOfSize {
            middle: line.bounds().center(),
            length: line.length(),
            way: straight.then(|| line.start_tangent()),
            closed,
        }
    }

    /// Whether two marks may be the same mark in two sizes: of one sort, nearly of one length and direction.
    fn is_like(&self, other: &MarkOfSize) -> bool {
        /// By how much longer a mark may be in the one size, as a factor.
        const LONGER: f64 = 1.5;
        let ratio = self.length / other.length;
        let turned = match (self.way, other.way) {
            (Some(one), Some(other)) => one.dot(other).abs() >= TURNED,
            (None, None) => true,
            _ => false,
        };
        turned && self.closed == other.closed && (1.0 / LONGER..=LONGER).contains(&ratio)
    }
}
