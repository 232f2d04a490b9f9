//! From strokes to outlines and lines: joined, divided at corners, lettered.

use std::collections::{HashMap, HashSet};

use kurbo::{Point, Rect};

use crate::curve::{Curve, Outline};
use crate::pattern::Refusal;
use crate::sheet::adopt::bridge::bridges;
use crate::sheet::adopt::chain::{JoinedStrokes, chains};
use crate::sheet::adopt::found::{FoundLine, FoundOutline, Guess, OutlineGap};
use crate::sheet::adopt::guess::{ArrowHeads, distance, guess};
use crate::sheet::adopt::letter::Letter;
use crate::sheet::adopt::look::{StyleId, Surface};
use crate::sheet::adopt::ring::{CornerAngle, ring, smoothed};
use crate::sheet::adopt::size::SizeChoice;
use crate::sheet::adopt::stroke::{DrawnThings, FoundStroke, Round, Solidity};
use crate::tolerance::{DRAWN_TWICE, GAP_LOOKED_FOR, LEAST_OUTLINE, LEAST_OUTLINE_WIDTH, ON_OUTLINE, WELD};

/// Outlines and lines of a drawing.
#[derive(Clone, Debug, Default)]
pub(super) struct Arranged {
    pub outlines: Vec<FoundOutline>,
    pub lines: Vec<FoundLine>,
    pub unlisted: usize,
    pub gaps: Vec<OutlineGap>,
}

/// Lines that are lettered at most, the longest first.
const MOST_LINES: usize = 1_500;

/// Outlines that are lettered at most.
const MOST_OUTLINES: usize = 400;

/// What share of the two boxes together two outlines have in common that are sizes of one piece.
const NESTED: f64 = 0.6;

/// Arranges what is drawn; with a size, only its outlines and what is common to all sizes.
pub(super) fn arrange(
    drawn: &DrawnThings,
    size: Option<&SizeChoice>,
    corner: CornerAngle,
) -> Result<Arranged, Refusal> {
    let chosen = size.map(|size| size.chosen(drawn)).transpose()?;
    let strokes = without_doubles(&drawn.strokes);
    let is_chosen = |at: usize| chosen.as_ref().is_none_or(|chosen| chosen[at]);
    let mut chains = chains_by_style(drawn, &strokes);
    match &chosen {
        Some(_) => complete(drawn, &mut chains, &is_chosen),
        None => join_across(drawn, &mut chains),
    }
    let (closed, open): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
        chains.into_iter().partition(JoinedStrokes::is_closed);
    let (large, small): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
        closed.into_iter().partition(|chain| is_large(&chain.curve));
    let is_of_size = |chain: &JoinedStrokes| chain.strokes.iter().any(|at| is_chosen(*at));
    let (large, others): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) = large.into_iter().partition(is_of_size);
    let rings: Vec<&Curve> = large.iter().map(|chain| &chain.curve).collect();
    let others_styles = other_sizes(drawn, &rings, &others, &open, &is_chosen);
    let common = others.into_iter().filter(|chain| !others_styles.contains(&main_style(drawn, chain)));
    let outlines = outlines(drawn, common.chain(large).collect(), corner);
    let others = OtherSizes {
        styles: others_styles,
        rings: outlines.iter().map(|outline| outline.ring.clone()).collect(),
    };
    let lines = open.into_iter().chain(small).filter(|chain| is_of_size(chain) || !others.hold(drawn, chain));
    let lines: Vec<JoinedStrokes> = lines.chain(solid_marks(drawn, &outlines)).collect();
    let mut arranged = Arranged { outlines, ..Arranged::default() };
    arranged.add_lines(drawn, lines, corner);
    arranged.place_texts(drawn);
    Ok(arranged)
}

/// The strokes but those that lie on an equal one of the same kind; and surfaces that lie under an equal line.
fn without_doubles(strokes: &[FoundStroke]) -> Vec<usize> {
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
        let twice = around.filter_map(|cell| known.get(&cell)).flatten().take(MOST_TWINS).any(|other| {
            let other = &strokes[*other];
            let may = other.style == stroke.style || stroke.surface == Surface::Filled;
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

/// Lines around the same middle that are compared; more are rings of a target or hatching.
const MOST_TWINS: usize = 24;

/// Whether two lines lie on each other, whichever way they run and wherever they begin.
fn is_same_line(one: &Curve, other: &Curve) -> bool {
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

/// Strokes joined with those of their own kind.
fn chains_by_style(drawn: &DrawnThings, strokes: &[usize]) -> Vec<JoinedStrokes> {
    let mut groups: Vec<(StyleId, Vec<usize>)> = Vec::new();
    let mut whole = Vec::new();
    let mut place: HashMap<StyleId, usize> = HashMap::new();
    for at in strokes {
        let stroke = &drawn.strokes[*at];
        if stroke.is_closed() {
            whole.push(JoinedStrokes { curve: stroke.curve.clone(), strokes: vec![*at] });
            continue;
        }
        let group = *place.entry(stroke.style).or_insert_with(|| {
            groups.push((stroke.style, Vec::new()));
            groups.len() - 1
        });
        groups[group].1.push(*at);
    }
    for (_, group) in groups {
        let picked: Vec<(usize, &FoundStroke)> = group.iter().map(|at| (*at, &drawn.strokes[*at])).collect();
        whole.extend(chains(&picked));
    }
    whole
}

/// Joins what is still open with lines of other kinds, and takes what closes.
fn join_across(drawn: &DrawnThings, chains_found: &mut Vec<JoinedStrokes>) {
    let open: Vec<usize> = (0..chains_found.len()).filter(|at| !chains_found[*at].is_closed()).collect();
    let strokes: Vec<FoundStroke> = open
        .iter()
        .map(|at| {
            let chain = &chains_found[*at];
            let first = &drawn.strokes[chain.strokes[0]];
            FoundStroke { curve: chain.curve.clone(), ..first.clone() }
        })
        .collect();
    let picked: Vec<(usize, &FoundStroke)> = open.iter().copied().zip(&strokes).collect();
    let mut used = HashSet::new();
    let mut closed = Vec::new();
    for chain in chains(&picked).into_iter().filter(|chain| chain.is_closed() && chain.strokes.len() > 1) {
        used.extend(chain.strokes.iter().copied());
        let strokes = chain.strokes.iter().flat_map(|at| chains_found[*at].strokes.clone()).collect();
        closed.push(JoinedStrokes { curve: chain.curve, strokes });
    }
    let mut at = 0;
    chains_found.retain(|_| {
        at += 1;
        !used.contains(&(at - 1))
    });
    chains_found.extend(closed);
}

/// Completes open lines of the chosen size along lines of other kinds.
fn complete(drawn: &DrawnThings, chains_found: &mut Vec<JoinedStrokes>, is_chosen: &impl Fn(usize) -> bool) {
    let of_size = |chain: &JoinedStrokes| chain.strokes.iter().any(|at| is_chosen(*at));
    let long = |chain: &JoinedStrokes| !chain.is_closed() && chain.curve.length() >= LEAST_OUTLINE;
    let (mut open, rest): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
        std::mem::take(chains_found).into_iter().partition(|chain| of_size(chain) && long(chain));
    let ends: Vec<Point> = open.iter().flat_map(|chain| [chain.curve.start(), chain.curve.end()]).collect();
    let lines: Vec<&Curve> = rest
        .iter()
        .filter(|chain| !of_size(chain) && chain.curve.length() > WELD)
        .map(|chain| &chain.curve)
        .collect();
    let first = |chain: &JoinedStrokes| drawn.strokes[chain.strokes[0]].clone();
    let mut strokes: Vec<FoundStroke> =
        open.iter().map(|chain| FoundStroke { curve: chain.curve.clone(), ..first(chain) }).collect();
    let own = strokes.len();
    if let Some(like) = strokes.first().cloned() {
        let bridges = bridges(&ends, &lines);
        strokes.extend(bridges.into_iter().flatten().map(|curve| FoundStroke { curve, ..like.clone() }));
    }
    let picked: Vec<(usize, &FoundStroke)> = strokes.iter().enumerate().collect();
    let mut closed = Vec::new();
    let mut used = HashSet::new();
    for chain in chains(&picked).into_iter().filter(JoinedStrokes::is_closed) {
        let parts: Vec<usize> = chain.strokes.iter().copied().filter(|at| *at < own).collect();
        used.extend(parts.iter().copied());
        let strokes: Vec<usize> = parts.iter().flat_map(|at| open[*at].strokes.clone()).collect();
        if !strokes.is_empty() {
            closed.push(JoinedStrokes { curve: chain.curve, strokes });
        }
    }
    let mut at = 0;
    open.retain(|_| {
        at += 1;
        !used.contains(&(at - 1))
    });
    *chains_found = rest;
    chains_found.append(&mut open);
    chains_found.append(&mut closed);
}

fn is_large(line: &Curve) -> bool {
    let bounds = line.bounds();
    let (width, height) = (bounds.width(), bounds.height());
    width.max(height) >= LEAST_OUTLINE
        && width.min(height) >= LEAST_OUTLINE_WIDTH
        && line.swept_area().abs() >= LEAST_OUTLINE * LEAST_OUTLINE_WIDTH / 4.0
}

fn outlines(drawn: &DrawnThings, mut large: Vec<JoinedStrokes>, corner: CornerAngle) -> Vec<FoundOutline> {
    large.sort_by(|a, b| b.curve.swept_area().abs().total_cmp(&a.curve.swept_area().abs()));
    let mut kept: Vec<JoinedStrokes> = Vec::new();
    for chain in large {
        let near = kept.iter().rev().take(MOST_TWINS);
        let style = |chain: &JoinedStrokes| drawn.strokes[chain.strokes[0]].style;
        let twice = near
            .into_iter()
            .any(|other| style(other) == style(&chain) && is_same_line(&chain.curve, &other.curve));
        if !twice {
            kept.push(chain);
        }
    }
    kept.truncate(MOST_OUTLINES);
    let mut found: Vec<FoundOutline> = Vec::new();
    for chain in kept {
        let divided = ring(&chain.curve, corner);
        let Ok(outline) = Outline::new(divided.edges.iter().cloned()) else { continue };
        let stroke = &drawn.strokes[main_stroke(drawn, &chain)];
        let middle = divided.edges[0].point_at(divided.edges[0].length() / 2.0);
        let around = |other: &FoundOutline| other.bounds().contains(middle) && other.ring.contains(middle);
        let inside = found.iter().rposition(around);
        found.push(FoundOutline {
            letter: Letter::outline(found.len()),
            edges: divided.edges,
            ring: outline,
            style: stroke.style,
            layer: stroke.layer.clone(),
            id: stroke.id.clone().filter(|_| chain.strokes.len() == 1),
            joined: chain.strokes.len(),
            flattened: divided.flattened,
            inside,
            texts: Vec::new(),
        });
    }
    found
}

/// Filled marks: those that touch an outline, and round ones within it.
fn solid_marks(drawn: &DrawnThings, outlines: &[FoundOutline]) -> Vec<JoinedStrokes> {
    let marks = drawn.solids.iter().filter(|solid| {
        let middle = solid.bounds.center();
        outlines.iter().any(|outline| {
            let near = outline.bounds().inflate(WELD, WELD).overlaps(solid.bounds);
            let touches = |at: Point| distance(&outline.ring, at) <= WELD;
            near && match solid.round {
                Round::Yes => outline.ring.contains(middle),
                Round::No => drawn.strokes[solid.stroke]
                    .curve
                    .segments()
                    .iter()
                    .any(|side| touches(kurbo::ParamCurve::start(side))),
            }
        })
    });
    marks
        .map(|solid| JoinedStrokes {
            curve: drawn.strokes[solid.stroke].curve.clone(),
            strokes: vec![solid.stroke],
        })
        .collect()
}

/// The stroke that most of a chain is drawn with.
fn main_stroke(drawn: &DrawnThings, chain: &JoinedStrokes) -> usize {
    let length = |at: &usize| drawn.strokes[*at].curve.length();
    chain.strokes.iter().copied().max_by(|a, b| length(a).total_cmp(&length(b))).unwrap_or(0)
}

/// The kinds of line that other sizes of the chosen pieces are drawn with.
struct OtherSizes {
    styles: HashSet<StyleId>,
    rings: Vec<Outline>,
}

/// The kinds of line that other sizes of the chosen outlines are drawn with.
fn other_sizes(
    drawn: &DrawnThings,
    chosen: &[&Curve],
    closed: &[JoinedStrokes],
    open: &[JoinedStrokes],
    is_chosen: &impl Fn(usize) -> bool,
) -> HashSet<StyleId> {
    let rings: Vec<(Rect, f64)> = chosen.iter().map(|ring| (ring.bounds(), ring.length())).collect();
    let nested = |chain: &&JoinedStrokes| {
        let bounds = chain.curve.bounds();
        rings.iter().any(|(ring, _)| common(*ring, bounds) > NESTED)
    };
    let long = |chain: &&JoinedStrokes| {
        let (bounds, length) = (chain.curve.bounds(), chain.curve.length());
        rings.iter().any(|(ring, around)| length > NESTED * around && common(*ring, bounds) > NESTED)
    };
    let others = closed.iter().filter(nested).chain(open.iter().filter(long));
    let others = others.filter(|chain| !chain.strokes.iter().any(|at| is_chosen(*at)));
    others.map(|chain| main_style(drawn, chain)).collect()
}

impl OtherSizes {
    /// Whether a line is one of another size; a straight line that lies inside a chosen outline is common to all.
    fn hold(&self, drawn: &DrawnThings, chain: &JoinedStrokes) -> bool {
        if !self.styles.contains(&main_style(drawn, chain)) {
            return false;
        }
        let ends = [chain.curve.start(), chain.curve.end()];
        let within = |ring: &Outline| ends.iter().all(|end| ring.contains(*end));
        !(chain.curve.is_straight(ON_OUTLINE) && self.rings.iter().any(within))
    }
}

fn main_style(drawn: &DrawnThings, chain: &JoinedStrokes) -> StyleId {
    drawn.strokes[main_stroke(drawn, chain)].style
}

/// The share of two boxes together that they have in common.
fn common(a: Rect, b: Rect) -> f64 {
    let both = a.intersect(b).area().max(0.0);
    both / (a.area() + b.area() - both).max(f64::MIN_POSITIVE)
}

impl Arranged {
    fn add_lines(&mut self, drawn: &DrawnThings, mut lines: Vec<JoinedStrokes>, corner: CornerAngle) {
        lines.retain(|chain| chain.curve.length() > 2.0 * WELD);
        self.gaps = gaps(&lines);
        if lines.len() > MOST_LINES {
            lines.sort_by(|a, b| b.curve.length().total_cmp(&a.curve.length()));
            self.unlisted = lines.len() - MOST_LINES;
            lines.truncate(MOST_LINES);
        }
        let mut placed: Vec<(Option<usize>, usize, JoinedStrokes)> = lines
            .into_iter()
            .map(|chain| (self.around(&chain.curve), chain.strokes.first().copied().unwrap_or(0), chain))
            .collect();
        placed.sort_by_key(|(inside, order, _)| (inside.unwrap_or(usize::MAX), *order));
        let heads = ArrowHeads::of(drawn);
        for (at, (inside, _, chain)) in placed.into_iter().enumerate() {
            let stroke = &drawn.strokes[main_stroke(drawn, &chain)];
            let curve = smoothed(&chain.curve, corner);
            let ring = inside.map(|at| &self.outlines[at].ring);
            let guess = guess(&curve, ring, &heads);
            let arrows = if guess == Guess::Grainline { heads.at_ends(&curve) } else { None };
            self.lines.push(FoundLine {
                letter: Letter::line(at),
                arrows,
                curve,
                style: stroke.style,
                layer: stroke.layer.clone(),
                id: stroke.id.clone().filter(|_| chain.strokes.len() == 1),
                inside,
                guess,
            });
        }
    }

    /// The smallest outline that a line lies within, or touches with an end.
    fn around(&self, line: &Curve) -> Option<usize> {
        let middle = line.point_at(line.length() / 2.0);
        let ends = [line.start(), line.end()];
        let holds = |outline: &FoundOutline| {
            let bounds = outline.bounds();
            (bounds.contains(middle) && outline.ring.contains(middle))
                || ends.iter().any(|end| {
                    bounds.inflate(WELD, WELD).contains(*end)
                        && outline.edges.iter().any(|edge| edge.nearest(*end).distance <= WELD)
                })
        };
        self.outlines.iter().rposition(holds)
    }

    fn place_texts(&mut self, drawn: &DrawnThings) {
        for (at, text) in drawn.texts.iter().enumerate() {
            let holds =
                |outline: &FoundOutline| outline.bounds().contains(text.at) && outline.ring.contains(text.at);
            if let Some(outline) = self.outlines.iter().rposition(holds) {
                self.outlines[outline].texts.push(at);
            }
        }
    }
}

/// Ends of long open lines that nearly meet one another or their own other end, one running toward the other. Two
/// straight lines are none: the outline of nothing is two straight lines.
fn gaps(lines: &[JoinedStrokes]) -> Vec<OutlineGap> {
    const MOST: usize = 2_000;
    let long = lines.iter().filter(|chain| !chain.is_closed() && chain.curve.length() > 5.0 * GAP_LOOKED_FOR);
    let ends: Vec<LooseEnd> = long.take(MOST).flat_map(|chain| LooseEnd::both(&chain.curve)).collect();
    let nearest = |at: usize| {
        let others = (0..ends.len()).filter(|other| *other != at);
        others.min_by(|a, b| ends[at].at.distance(ends[*a].at).total_cmp(&ends[at].at.distance(ends[*b].at)))
    };
    let partner: Vec<Option<usize>> = (0..ends.len()).map(nearest).collect();
    let mutual = |at: &usize| partner[*at].is_some_and(|other| other > *at && partner[other] == Some(*at));
    let pairs = (0..ends.len()).filter(mutual).filter_map(|at| Some((&ends[at], &ends[partner[at]?])));
    pairs
        .map(|(a, b)| (a, b, OutlineGap { from: a.at, to: b.at }))
        .filter(|(a, b, gap)| {
            let wide = gap.width() > WELD && gap.width() <= GAP_LOOKED_FOR;
            wide && !(a.straight && b.straight) && (a.faces(b.at) || b.faces(a.at))
        })
        .map(|(.., gap)| gap)
        .collect()
}

/// An end of a long open line.
struct LooseEnd {
    at: Point,
    out: kurbo::Vec2,
    straight: bool,
}

impl LooseEnd {
    fn both(line: &Curve) -> [LooseEnd; 2] {
        let straight = line.is_straight(ON_OUTLINE);
        [
            LooseEnd { at: line.start(), out: -line.start_tangent(), straight },
            LooseEnd { at: line.end(), out: line.end_tangent(), straight },
        ]
    }

    /// Whether the line, run on, comes nearer to a place: the ends of a dart's mouth do not face each other.
    fn faces(&self, place: Point) -> bool {
        /// The cosine of 75°.
        const FACING: f64 = 0.26;
        let way = place - self.at;
        self.out.dot(way) > FACING * way.hypot()
    }
}
