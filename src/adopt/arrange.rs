//! From strokes to outlines and lines: joined, divided at corners, lettered.

use kurbo::{Point, Rect};

use crate::adopt::chain::JoinedStrokes;
use crate::adopt::furniture::{WholeSheet, frame};
use crate::adopt::gaps::gaps;
use crate::adopt::guess::{ArrowHeads, guess, is_head_at, is_small_and_closed};
use crate::adopt::letter::Letter;
use crate::adopt::look::StyleId;
use crate::adopt::outlines::{FoundLine, FoundOutline, Guess, OutlineGap};
use crate::adopt::ring::{CornerAngle, ring, smoothed};
use crate::adopt::seamlines::closed_along;
use crate::adopt::size::SizeChoice;
use crate::adopt::sizes::{MarkOfSize, OtherSizes, SizeKind};
use crate::adopt::sorter::{MOST_TWINS, Sorter, is_large, is_same_line};
use crate::adopt::stroke::{DrawnThings, Round};
use crate::curve::{Curve, Outline};
use crate::pattern::Refusal;
use crate::tolerance::WELD;

/// Outlines and lines of a drawing.
#[derive(Clone, Debug, Default)]
pub(super) struct Arranged {
    pub outlines: Vec<FoundOutline>,
    pub lines: Vec<FoundLine>,
    pub unlisted: usize,
    pub gaps: Vec<OutlineGap>,
    /// What is the sheet's and not the drawing's: its frame, scales of rulers, a key.
    pub left_out: Vec<(Curve, StyleId)>,
}

/// Lines that are lettered at most, the longest first.
const MOST_LINES: usize = 1_500;

/// Outlines that are lettered at most.
const MOST_OUTLINES: usize = 400;

/// Arranges what is drawn on a page; with a size, only what is of that size and what is common to all.
pub(super) fn arrange(
    drawn: &DrawnThings,
    page: Option<Rect>,
    size: Option<&SizeChoice>,
    corner: CornerAngle,
) -> Result<Arranged, Refusal> {
    let kinds = match size {
        Some(size) => size.kinds(drawn)?,
        None => vec![SizeKind::Chosen; drawn.strokes.len()],
    };
    let sorter = Sorter { drawn, kinds };
    let mut chains = sorter.chains_by_kind(&sorter.without_doubles());
    let other_outlines = match size {
        Some(_) => {
            let others = sorter.outlines_of_others(&chains);
            sorter.complete(&mut chains);
            others
        }
        None => {
            sorter.join_across(&mut chains);
            Vec::new()
        }
    };
    let (closed, mut open): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
        chains.into_iter().partition(JoinedStrokes::is_closed);
    let (mut large, small): (Vec<JoinedStrokes>, Vec<JoinedStrokes>) =
        closed.into_iter().partition(|chain| is_large(&chain.curve));
    large.extend(closed_along(&sorter, &large, &mut open, corner));
    let others = OtherSizes::of(&sorter.outlines_of_size(&large, &open), &other_outlines);
    let large = large.into_iter().filter(|chain| sorter.is_of_size(chain) || !others.draw(chain));
    let mut outlines = outlines(drawn, large.collect(), corner);
    let frame = frame(drawn, &outlines, &open, page).map(|at| take_out(&mut outlines, at));
    let rings: Vec<Outline> = outlines.iter().map(|outline| outline.ring.clone()).collect();
    let lines = sorter.lines_of_all(&others, &rings, open.into_iter().chain(small).collect());
    let solids = solid_marks(&sorter, &others, &outlines);
    let sheet = WholeSheet { drawn, outlines: &outlines, frame: frame.as_ref().map(FoundOutline::bounds) };
    let (lines, furniture) = sheet.told_apart(lines);
    let style = |chain: &JoinedStrokes| drawn.strokes[main_stroke(drawn, chain)].style;
    let left_out = furniture.iter().map(|chain| (chain.curve.clone(), style(chain)));
    let of_frame = frame.iter().flat_map(|frame| frame.edges.iter().map(|edge| (edge.clone(), frame.style)));
    let left_out = of_frame.chain(left_out).collect();
    let mut arranged = Arranged { outlines, left_out, ..Arranged::default() };
    arranged.add_lines(&sorter, lines.into_iter().chain(solids).collect(), corner);
    arranged.place_texts(drawn);
    Ok(arranged)
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
        let around = |other: &FoundOutline| {
            // A seamline may share edges with the line that is cut around it.
            let mut middles = divided.edges.iter().map(|edge| edge.point_at(edge.length() / 2.0));
            let apart =
                middles.find(|middle| other.edges.iter().all(|edge| edge.nearest(*middle).distance > WELD));
            apart.is_some_and(|middle| other.bounds().contains(middle) && other.ring.contains(middle))
        };
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

/// Takes one outline out: those within it lie in what it lay in, and those after it move up a letter.
fn take_out(outlines: &mut Vec<FoundOutline>, at: usize) -> FoundOutline {
    let out = outlines.remove(at);
    for (now, outline) in outlines.iter_mut().enumerate() {
        outline.letter = Letter::outline(now);
        outline.inside = match outline.inside {
            Some(around) if around == at => out.inside,
            Some(around) if around > at => Some(around - 1),
            around => around,
        };
    }
    out
}

/// Filled marks: dots within an outline; and triangles on one, whatever they are filled with. One that stands on another
/// size's outline belongs to all sizes where none like it stands on the chosen one's.
fn solid_marks(sorter: &Sorter, others: &OtherSizes, outlines: &[FoundOutline]) -> Vec<JoinedStrokes> {
    let drawn = sorter.drawn;
    let curve = |at: usize| &drawn.strokes[at].curve;
    let mut own: Vec<usize> = Vec::new();
    let mut rest: Vec<(SizeKind, usize)> = Vec::new();
    for solid in &drawn.solids {
        let shape = curve(solid.stroke);
        let near =
            outlines.iter().filter(|outline| outline.bounds().inflate(WELD, WELD).overlaps(solid.bounds));
        let mut near = near.map(|outline| &outline.ring);
        match (solid.round, sorter.kinds[solid.stroke]) {
            (Round::Yes, kind) => {
                if near.any(|ring| ring.contains(solid.bounds.center())) {
                    match kind {
                        SizeKind::Chosen => own.push(solid.stroke),
                        SizeKind::Other(_) => rest.push((kind, solid.stroke)),
                    }
                }
            }
            // Of another size's kind, and on the outline of that kind: it is that size's, though the chosen one's runs there too.
            (Round::No, kind @ SizeKind::Other(_)) if stands_on_own(others, kind, shape, solid.bounds) => {
                rest.push((kind, solid.stroke));
            }
            (Round::No, _) => {
                let here = near.map(|ring| stands(shape, ring.curves())).max().unwrap_or(SolidStands::Off);
                let there = others.outlines().iter().filter(|(_, line)| {
                    here < SolidStands::On && line.bounds().inflate(WELD, WELD).overlaps(solid.bounds)
                });
                let there =
                    there.map(|(kind, line)| (stands(shape, std::slice::from_ref(line)), *kind)).max();
                match (here, there) {
                    (_, Some((SolidStands::On, kind)))
                    | (SolidStands::Off, Some((SolidStands::Across, kind))) => {
                        rest.push((kind, solid.stroke));
                    }
                    (SolidStands::Off, _) => {}
                    (SolidStands::On | SolidStands::Across, _) => own.push(solid.stroke),
                }
            }
        }
    }
    let mark = |at: usize| MarkOfSize::of(curve(at));
    let own_marks: Vec<MarkOfSize> = own.iter().map(|at| mark(*at)).collect();
    let rest_marks: Vec<(SizeKind, MarkOfSize)> = rest.iter().map(|(kind, at)| (*kind, mark(*at))).collect();
    let stood_for = others.stands_for(&own_marks, &rest_marks);
    let rest = rest.into_iter().zip(stood_for).filter(|(_, stood_for)| !stood_for).map(|((_, at), _)| at);
    own.into_iter()
        .chain(rest)
        .map(|at| JoinedStrokes { curve: curve(at).clone(), strokes: vec![at] })
        .collect()
}

/// Whether a small closed shape stands on an outline of its own kind.
fn stands_on_own(others: &OtherSizes, kind: SizeKind, shape: &Curve, bounds: Rect) -> bool {
    let own = others
        .outlines()
        .iter()
        .filter(|(of, line)| *of == kind && line.bounds().inflate(WELD, WELD).overlaps(bounds));
    own.map(|(_, line)| stands(shape, std::slice::from_ref(line))).any(|stands| stands == SolidStands::On)
}

/// How a small closed shape stands to a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum SolidStands {
    /// It does not reach it.
    Off,
    /// The line passes through it.
    Across,
    /// A corner of it stands on the line.
    On,
}

fn stands(shape: &Curve, line: &[Curve]) -> SolidStands {
    let on = |at: Point| line.iter().any(|part| part.nearest(at).distance <= WELD);
    if shape.segments().iter().any(|side| on(kurbo::ParamCurve::start(side))) {
        SolidStands::On
    } else if line.iter().any(|part| !part.crossings(shape).is_empty()) {
        SolidStands::Across
    } else {
        SolidStands::Off
    }
}

/// The stroke that most of a chain is drawn with.
fn main_stroke(drawn: &DrawnThings, chain: &JoinedStrokes) -> usize {
    let length = |at: &usize| drawn.strokes[*at].curve.length();
    chain.strokes.iter().copied().max_by(|a, b| length(a).total_cmp(&length(b))).unwrap_or(0)
}

impl Arranged {
    fn add_lines(&mut self, sorter: &Sorter, mut lines: Vec<JoinedStrokes>, corner: CornerAngle) {
        let drawn = sorter.drawn;
        lines.retain(|chain| chain.curve.length() > 2.0 * WELD);
        let look = |chain: &JoinedStrokes| &drawn.strokes[main_stroke(drawn, chain)];
        self.gaps = gaps(&lines, &self.outlines, |a, b| {
            let (a, b) = (look(a), look(b));
            a.style == b.style && a.layer == b.layer
        });
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
            let has_heads = matches!(guess, Guess::Grainline | Guess::FoldArrow);
            let arrows = if has_heads { heads.at_ends(&curve) } else { None };
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
        self.name_heads();
    }

    /// Small filled shapes at the ends of arrows are their heads.
    fn name_heads(&mut self) {
        let arrows = self.lines.iter().filter(|line| line.arrows.is_some());
        let ends: Vec<Point> = arrows.flat_map(|line| [line.curve.start(), line.curve.end()]).collect();
        for line in self.lines.iter_mut().filter(|line| is_small_and_closed(&line.curve)) {
            if ends.iter().any(|end| is_head_at(&line.curve, *end)) {
                line.guess = Guess::ArrowHead;
            }
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
