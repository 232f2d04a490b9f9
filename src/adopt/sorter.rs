//! The strokes of a drawing told apart by size, and joined to lines.

use std::collections::{HashMap, HashSet};

use kurbo::Point;

use crate::adopt::bridge::bridges;
use crate::adopt::chain::FoundStroke;
use crate::adopt::chain::Solidity;
use crate::adopt::chain::{JoinedStrokes, chains, stands_on};
use crate::adopt::look::{StyleId, Surface};
use crate::adopt::sizes::{MarkOfSize, OtherSizes, SizeKind, SizeOutline};
use crate::adopt::stroke::DrawnThings;
use crate::curve::{Curve, Outline};
use crate::tolerance::{DRAWN_TWICE, LEAST_OUTLINE, LEAST_OUTLINE_WIDTH, WELD};

/// A drawing whose strokes are told apart by size.
pub(super) struct Sorter<'a> {
    pub drawn: &'a DrawnThings,
    /// The size of each stroke.
    pub kinds: Vec<SizeKind>,
}

/// Lines of one size that are compared with one another.
const MOST_COMPARED: usize = 2_500;

/// Other sizes whose outlines are looked for where they share lines; a drawing has ten.
const MOST_SIZES: usize = 24;

impl Sorter<'_> {
    /// The size of a chain: the chosen one where any of its strokes is of it.
    pub fn kind(&self, chain: &JoinedStrokes) -> SizeKind {
        let all = chain.strokes.iter().map(|at| self.kinds[*at]);
        all.min().unwrap_or(SizeKind::Chosen)
    }

    pub fn is_of_size(&self, chain: &JoinedStrokes) -> bool {
        self.kind(chain) == SizeKind::Chosen
    }

    /// Outlines of the chosen size, and long lines of it that may be parts of such.
    pub fn outlines_of_size(&self, large: &[JoinedStrokes], open: &[JoinedStrokes]) -> Vec<SizeOutline> {
        let all = large.iter().chain(open.iter().filter(|chain| is_large(&chain.curve)));
        let own = all.filter(|chain| self.is_of_size(chain));
        own.map(|chain| SizeOutline::of(SizeKind::Chosen, chain)).collect()
    }

    /// Outlines of other sizes: those that are closed, those that are closed by lines which they share, and long open ones.
    pub fn outlines_of_others(&self, chains: &[JoinedStrokes]) -> Vec<SizeOutline> {
        let is_other = |chain: &&JoinedStrokes| !self.is_of_size(chain) && is_large(&chain.curve);
        let mut found: Vec<SizeOutline> =
            chains.iter().filter(is_other).map(|chain| SizeOutline::of(self.kind(chain), chain)).collect();
        let mut kinds: Vec<SizeKind> = Vec::new();
        for chain in chains.iter().filter(|chain| !chain.is_closed()) {
            let kind = self.kind(chain);
            let long = chain.curve.length() >= LEAST_OUTLINE;
            if long && kind != SizeKind::Chosen && !kinds.contains(&kind) && kinds.len() < MOST_SIZES {
                kinds.push(kind);
            }
        }
        let length = |at: usize| self.drawn.strokes[at].curve.length();
        for kind in kinds {
            let closed = self.completed(chains, kind).closed;
            let large = closed.iter().filter(|chain| is_large(&chain.curve));
            let outlines = large.map(|chain| SizeOutline::of(kind, chain));
            found.extend(outlines.filter(|outline| outline.is_mostly_own(length)));
        }
        found
    }

    /// The lines that are of the chosen size or common to all.
    pub fn lines_of_all(
        &self,
        others: &OtherSizes,
        rings: &[Outline],
        lines: Vec<JoinedStrokes>,
    ) -> Vec<JoinedStrokes> {
        let (mut kept, rest): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
            lines.into_iter().partition(|chain| self.is_of_size(chain));
        let own: Vec<MarkOfSize> = kept.iter().map(|chain| MarkOfSize::of(&chain.curve)).collect();
        let rest = rest.into_iter().filter(|chain| !others.draw(chain));
        let rest = rest.filter(|chain| !others.runs_along(self.kind(chain), &chain.curve, rings));
        let rest: Vec<JoinedStrokes> = rest.collect();
        let marks: Vec<(SizeKind, MarkOfSize)> =
            rest.iter().map(|chain| (self.kind(chain), MarkOfSize::of(&chain.curve))).collect();
        let stood_for = others.stands_for(&own, &marks);
        kept.extend(
            rest.into_iter().zip(stood_for).filter(|(_, stood_for)| !stood_for).map(|(chain, _)| chain),
        );
        kept
    }

    /// The strokes but those that lie on an equal one of the same kind; and surfaces that lie under an equal line.
    pub fn without_doubles(&self) -> Vec<usize> {
        let strokes = &self.drawn.strokes;
        let mut known: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
        let mut kept = Vec::new();
        let mut order: Vec<usize> =
            (0..strokes.len()).filter(|at| strokes[*at].solid == Solidity::Line).collect();
        order.sort_by_key(|at| (strokes[*at].surface == Surface::Filled, *at));
        for at in order {
            let stroke = &strokes[at];
            let middle = stroke.curve.bounds().center();
            let (x, y) = ((middle.x / WELD).floor() as i64, (middle.y / WELD).floor() as i64);
            let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
            let twice = around.filter_map(|cell| known.get(&cell)).flatten().take(MOST_TWINS).any(|twin| {
                let other = &strokes[*twin];
                let alike = other.style == stroke.style && self.kinds[*twin] == self.kinds[at];
                let may = alike || stroke.surface == Surface::Filled;
                may && is_same_line(&stroke.curve, &other.curve)
            });
            if !twice {
                known.entry((x, y)).or_default().push(at);
                kept.push(at);
            }
        }
        kept.sort_unstable();
        kept
    }

    /// Strokes joined with those of their own kind of line and size.
    pub fn chains_by_kind(&self, strokes: &[usize]) -> Vec<JoinedStrokes> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        let mut whole = Vec::new();
        let mut place: HashMap<(StyleId, SizeKind), usize> = HashMap::new();
        for at in strokes {
            let stroke = &self.drawn.strokes[*at];
            if stroke.is_closed() {
                whole.push(JoinedStrokes { curve: stroke.curve.clone(), strokes: vec![*at] });
                continue;
            }
            let group = *place.entry((stroke.style, self.kinds[*at])).or_insert_with(|| {
                groups.push(Vec::new());
                groups.len() - 1
            });
            groups[group].push(*at);
        }
        for group in groups {
            let picked: Vec<(usize, &FoundStroke)> =
                group.iter().map(|at| (*at, &self.drawn.strokes[*at])).collect();
            whole.extend(chains(&picked));
        }
        whole
    }

    /// Completes open lines of the chosen size along lines of other kinds.
    pub fn complete(&self, chains_found: &mut Vec<JoinedStrokes>) {
        let Completed { closed, used } = self.completed(chains_found, SizeKind::Chosen);
        drop_marked(chains_found, &used);
        chains_found.extend(closed);
    }

    /// What open lines of a size, with those of other kinds that they share, close to. A line that ends on others of its own
    /// size at both ends, as a dart does and a level, is no part of an outline.
    fn completed(&self, chains_found: &[JoinedStrokes], kind: SizeKind) -> Completed {
        let of_size = |chain: &JoinedStrokes| self.kind(chain) == kind;
        let long = |chain: &JoinedStrokes| !chain.is_closed() && chain.curve.length() >= LEAST_OUTLINE;
        let own: Vec<usize> = (0..chains_found.len()).filter(|at| of_size(&chains_found[*at])).collect();
        let on_another = |at: usize, end: Point| {
            own.iter().any(|other| *other != at && stands_on(&chains_found[*other].curve, end))
        };
        let is_mark = |at: usize| {
            let curve = &chains_found[at].curve;
            own.len() <= MOST_COMPARED && on_another(at, curve.start()) && on_another(at, curve.end())
        };
        let open: Vec<usize> =
            own.iter().copied().filter(|at| long(&chains_found[*at]) && !is_mark(*at)).collect();
        let ends: Vec<Point> = open
            .iter()
            .flat_map(|at| [chains_found[*at].curve.start(), chains_found[*at].curve.end()])
            .collect();
        let others = chains_found.iter().filter(|chain| !of_size(chain) && chain.curve.length() > WELD);
        let lines: Vec<&Curve> = others.map(|chain| &chain.curve).collect();
        let mut strokes: Vec<FoundStroke> =
            open.iter().map(|at| self.as_stroke(&chains_found[*at])).collect();
        let own = strokes.len();
        if let Some(like) = strokes.first().cloned() {
            let bridges = bridges(&ends, &lines);
            strokes.extend(bridges.into_iter().flatten().map(|curve| FoundStroke { curve, ..like.clone() }));
        }
        let picked: Vec<(usize, &FoundStroke)> = strokes.iter().enumerate().collect();
        let mut completed = Completed::default();
        for chain in chains(&picked).into_iter().filter(JoinedStrokes::is_closed) {
            let parts: Vec<usize> =
                chain.strokes.iter().copied().filter(|at| *at < own).map(|at| open[at]).collect();
            let strokes: Vec<usize> = parts.iter().flat_map(|at| chains_found[*at].strokes.clone()).collect();
            completed.used.extend(parts);
            if !strokes.is_empty() {
                completed.closed.push(JoinedStrokes { curve: chain.curve, strokes });
            }
        }
        completed
    }

    /// A chain as a stroke like its first.
    pub fn as_stroke(&self, chain: &JoinedStrokes) -> FoundStroke {
        FoundStroke { curve: chain.curve.clone(), ..self.drawn.strokes[chain.strokes[0]].clone() }
    }

    /// Joins what is still open with lines of other kinds, and takes what closes.
    pub fn join_across(&self, chains_found: &mut Vec<JoinedStrokes>) {
        let open: Vec<usize> = (0..chains_found.len()).filter(|at| !chains_found[*at].is_closed()).collect();
        let strokes: Vec<FoundStroke> = open.iter().map(|at| self.as_stroke(&chains_found[*at])).collect();
        let picked: Vec<(usize, &FoundStroke)> = open.iter().copied().zip(&strokes).collect();
        let mut used = HashSet::new();
        let mut closed = Vec::new();
        for chain in chains(&picked).into_iter().filter(|chain| chain.is_closed() && chain.strokes.len() > 1)
        {
            used.extend(chain.strokes.iter().copied());
            let strokes = chain.strokes.iter().flat_map(|at| chains_found[*at].strokes.clone()).collect();
            closed.push(JoinedStrokes { curve: chain.curve, strokes });
        }
        drop_marked(chains_found, &used);
        chains_found.extend(closed);
    }
}

/// Lines that close, and those that they are made of, as indices.
#[derive(Default)]
struct Completed {
    closed: Vec<JoinedStrokes>,
    used: HashSet<usize>,
}

fn drop_marked(chains: &mut Vec<JoinedStrokes>, marked: &HashSet<usize>) {
    let mut at = 0;
    chains.retain(|_| {
        at += 1;
        !marked.contains(&(at - 1))
    });
}

/// Lines around the same middle that are compared; more are rings of a target or hatching.
pub(super) const MOST_TWINS: usize = 24;

/// Whether two lines lie on each other, whichever way they run and wherever they begin.
pub(super) fn is_same_line(one: &Curve, other: &Curve) -> bool {
    /// Places of the one line that are looked for on the other.
    const PLACES: u32 = 12;
    let (a, b) = (one.bounds(), other.bounds());
    let corners = [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)];
    let near = corners.iter().all(|(a, b)| (a - b).abs() <= DRAWN_TWICE);
    near && (one.length() - other.length()).abs() <= 2.0 * DRAWN_TWICE
        && (0..=PLACES).all(|k| {
            let at = one.length() * f64::from(k) / f64::from(PLACES);
            other.nearest(one.point_at(at)).distance <= DRAWN_TWICE
        })
}

/// Whether a line may be the outline of a piece.
pub(super) fn is_large(line: &Curve) -> bool {
    let bounds = line.bounds();
    let (width, height) = (bounds.width(), bounds.height());
    width.max(height) >= LEAST_OUTLINE
        && width.min(height) >= LEAST_OUTLINE_WIDTH
        && line.swept_area().abs() >= LEAST_OUTLINE * LEAST_OUTLINE_WIDTH / 4.0
}
