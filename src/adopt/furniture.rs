//! What of a sheet is not the drawing, told by what it is: the frame along its edges with what stands on it and beyond, the scales
//! of rulers, and the key that shows what each kind of line means.
//!
//! Nothing that lies within an outline or touches one is taken for any of these.

use kurbo::{Point, Rect};

use crate::adopt::chain::JoinedStrokes;
use crate::adopt::guess::ArrowHeads;
use crate::adopt::known_size::labelled_bar;
use crate::adopt::outlines::FoundOutline;
use crate::adopt::stroke::{DrawnThings, FoundText};
use crate::curve::Curve;
use crate::tolerance::{IN_MARGIN, ON_OUTLINE, SAME_FRAME, WELD};

/// Lines that are looked at; a sheet with more has them elsewhere.
const MOST_LINES: usize = 3_000;

/// How long the longest mark is that stands on a frame, the longest tick of a ruler, and the longest sample of a key, mm.
const LONGEST_MARK: f64 = 40.0;
const LONGEST_TICK: f64 = 12.0;
const LONGEST_SAMPLE: f64 = 60.0;

/// As many ticks make a line a ruler: each end may have one of its own.
const LEAST_TICKS: usize = 3;

/// As many samples make a key.
const LEAST_SAMPLES: usize = 3;

/// How much of a frame the largest outline in it takes up at most, as a share; what takes up more is the seamline of a piece.
const MOST_OF_FRAME: f64 = 0.8;

/// The frame of a sheet: an upright rectangle along the edges of its page, in which other outlines lie. A piece may fill its
/// sheet as well: in that its seamline lies, as large nearly, or the arrow of its grain.
pub(super) fn frame(
    drawn: &DrawnThings,
    outlines: &[FoundOutline],
    lines: &[JoinedStrokes],
    page: Option<Rect>,
) -> Option<usize> {
    let within = page?.inset(-IN_MARGIN);
    let heads = ArrowHeads::of(drawn);
    let has_grain = |at: usize| {
        let arrows = lines.iter().map(|line| &line.curve).filter(|line| line.length() > LONGEST_SAMPLE);
        let mut own = arrows.filter(|line| innermost(outlines, line) == Some(at));
        own.any(|line| heads.at_ends(line).is_some())
    };
    let is_frame = |at: &usize| {
        let (outline, bounds) = (&outlines[*at], outlines[*at].bounds());
        let along = bounds.x0 <= within.x0
            && bounds.y0 <= within.y0
            && bounds.x1 >= within.x1
            && bounds.y1 >= within.y1;
        let within = outlines.iter().filter(|other| other.inside == Some(*at));
        let largest = within.map(|other| other.ring.area()).reduce(f64::max);
        let holds = largest.is_some_and(|largest| largest <= MOST_OF_FRAME * outline.ring.area());
        along && outline.is_upright() && holds && !has_grain(*at)
    };
    (0..outlines.len()).find(is_frame)
}

/// The smallest outline that a line lies in.
fn innermost(outlines: &[FoundOutline], line: &Curve) -> Option<usize> {
    let middle = line.point_at(line.length() / 2.0);
    outlines.iter().rposition(|outline| outline.bounds().contains(middle) && outline.ring.contains(middle))
}

/// A sheet, and what is known of it.
pub(super) struct WholeSheet<'a> {
    pub drawn: &'a DrawnThings,
    pub outlines: &'a [FoundOutline],
    pub frame: Option<Rect>,
}

impl WholeSheet<'_> {
    /// The lines that are the drawing's, and those that are the sheet's furniture.
    pub fn told_apart(&self, lines: Vec<JoinedStrokes>) -> (Vec<JoinedStrokes>, Vec<JoinedStrokes>) {
        if self.outlines.is_empty() {
            return (lines, Vec::new());
        }
        let is_free =
            |line: &JoinedStrokes| !self.outlines.iter().any(|outline| touches(outline, &line.curve));
        let mut free: Vec<bool> = vec![false; lines.len()];
        free.iter_mut().zip(&lines).take(MOST_LINES).for_each(|(free, line)| *free = is_free(line));
        let curves = || lines.iter().zip(&free).filter(|(_, free)| **free).map(|(line, _)| &line.curve);
        let rulers: Vec<Rect> = rulers(&curves().collect::<Vec<_>>());
        let keys = keys(&curves().collect::<Vec<_>>(), &self.drawn.texts);
        let is_furniture = |line: &Curve| {
            let bounds = line.bounds();
            let in_key = keys.iter().any(|key| key.contains_rect(bounds));
            let of_ruler = rulers.iter().any(|ruler| ruler.contains_rect(bounds));
            (in_key || of_ruler || self.is_of_frame(bounds)) && labelled_bar(self.drawn, line).is_none()
        };
        let furniture: Vec<bool> =
            free.iter().zip(&lines).map(|(free, line)| *free && is_furniture(&line.curve)).collect();
        let (mut own, mut left_out) = (Vec::new(), Vec::new());
        for (line, is_furniture) in lines.into_iter().zip(furniture) {
            if is_furniture { left_out.push(line) } else { own.push(line) }
        }
        (own, left_out)
    }

    /// Whether something lies beyond the frame, or is small and stands on it.
    fn is_of_frame(&self, bounds: Rect) -> bool {
        let Some(frame) = self.frame else { return false };
        let inner = frame.inset(-WELD);
        let is_beyond = !frame.inset(-SAME_FRAME).overlaps(bounds);
        let stands_on = !inner.contains_rect(bounds) && frame.inflate(WELD, WELD).overlaps(bounds);
        is_beyond || (stands_on && bounds.width().max(bounds.height()) <= LONGEST_MARK)
    }
}

/// Whether a line lies within an outline, or reaches it.
fn touches(outline: &FoundOutline, line: &Curve) -> bool {
    let around = outline.bounds().inflate(WELD, WELD);
    if !around.overlaps(line.bounds()) {
        return false;
    }
    let places = [0.0, 0.5, 1.0].map(|share| line.point_at(share * line.length()));
    let is_at = |at: &Point| {
        around.contains(*at)
            && (outline.ring.contains(*at)
                || outline.edges.iter().any(|edge| edge.nearest(*at).distance <= WELD))
    };
    places.iter().any(is_at) || outline.edges.iter().any(|edge| !edge.crossings(line).is_empty())
}

/// How an upright or level line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum FurnitureLine {
    Across,
    Down,
}

fn runs(line: &Curve) -> Option<FurnitureLine> {
    let (bounds, straight) = (line.bounds(), line.is_straight(ON_OUTLINE));
    match (straight, bounds.height() <= ON_OUTLINE, bounds.width() <= ON_OUTLINE) {
        (true, true, false) => Some(FurnitureLine::Across),
        (true, false, true) => Some(FurnitureLine::Down),
        _ => None,
    }
}

/// The boxes around the rulers among some lines: a line on which several short ones stand or that they cross, square to it.
fn rulers(lines: &[&Curve]) -> Vec<Rect> {
    let of_run = |way: FurnitureLine| {
        lines.iter().map(|line| line.bounds()).zip(lines).filter(move |(_, line)| runs(line) == Some(way))
    };
    let mut found = Vec::new();
    for (long, short) in
        [(FurnitureLine::Across, FurnitureLine::Down), (FurnitureLine::Down, FurnitureLine::Across)]
    {
        let ticks: Vec<Rect> = of_run(short)
            .map(|(bounds, _)| bounds)
            .filter(|tick| tick.width().max(tick.height()) <= LONGEST_TICK)
            .collect();
        for (ruler, _) in of_run(long) {
            let reach = ruler.inflate(WELD, WELD);
            let own: Vec<&Rect> = ticks.iter().filter(|tick| reach.overlaps(**tick)).collect();
            if own.len() >= LEAST_TICKS {
                let all = own.into_iter().fold(ruler, |all, tick| all.union(*tick));
                found.push(all.inflate(WELD, WELD));
            }
        }
    }
    found
}

/// A sample of a key: a level line, and the writing that begins to the right of it, at its height.
#[derive(Clone, Copy)]
struct KeySample<'a> {
    bounds: Rect,
    text: &'a FoundText,
}

impl KeySample<'_> {
    /// Whether it is as long as another, and its writing as large and as far from it.
    fn is_alike(&self, other: &KeySample<'_>) -> bool {
        let gap = |sample: &KeySample<'_>| sample.text.at.x - sample.bounds.x1;
        is_near(self.bounds.width(), other.bounds.width())
            && is_near(gap(self), gap(other))
            && is_near(self.text.size, other.text.size)
    }
}

fn is_near(one: f64, other: f64) -> bool {
    (one - other).abs() <= WELD
}

/// The boxes around the keys of a sheet: samples of one length in columns and rows, each with what it means beside it, and what
/// stands between and beside them in the rows of such writing.
fn keys(lines: &[&Curve], texts: &[FoundText]) -> Vec<Rect> {
    let level = lines
        .iter()
        .filter(|line| runs(line) == Some(FurnitureLine::Across) && line.length() <= LONGEST_SAMPLE);
    let mut left: Vec<KeySample<'_>> = level.filter_map(|line| sample(line.bounds(), texts)).collect();
    left.sort_by(|a, b| a.bounds.y0.total_cmp(&b.bounds.y0));
    let mut found = Vec::new();
    while let Some(first) = left.first().copied() {
        let (alike, others): (Vec<KeySample<'_>>, Vec<KeySample<'_>>) =
            left.into_iter().partition(|other| other.is_alike(&first));
        left = others;
        if alike.len() >= LEAST_SAMPLES {
            found.extend(columns(&alike).iter().map(|column| key(column, texts)));
        }
    }
    found
}

/// Samples that are alike by the columns in which they stand; one that stands in none, nor in a row with another, is none.
fn columns<'a>(samples: &[KeySample<'a>]) -> Vec<Vec<KeySample<'a>>> {
    let mut columns: Vec<Vec<KeySample<'a>>> = Vec::new();
    for sample in samples {
        match columns.iter_mut().find(|column| is_near(column[0].bounds.x0, sample.bounds.x0)) {
            Some(column) => column.push(*sample),
            None => columns.push(vec![*sample]),
        }
    }
    let in_row = |one: &KeySample<'_>| {
        let mut others = samples.iter().filter(|other| !is_near(other.bounds.x0, one.bounds.x0));
        others.any(|other| is_near(other.bounds.y0, one.bounds.y0))
    };
    columns.retain(|column| column.len() >= LEAST_SAMPLES || column.iter().any(in_row));
    columns
}

/// The writing beside a line, as that of a key.
fn sample(bounds: Rect, texts: &[FoundText]) -> Option<KeySample<'_>> {
    let is_beside = |text: &&FoundText| {
        let (off, height) = (text.at.x - bounds.x1, text.at.y - bounds.center().y);
        let level = text.along.x > 0.0 && text.along.y.abs() <= f64::EPSILON.sqrt();
        level && (0.0..=4.0 * text.size).contains(&off) && (-0.2 * text.size..=text.size).contains(&height)
    };
    texts.iter().find(is_beside).map(|text| KeySample { bounds, text })
}

/// The box around a column of a key, on as far as rows of its writing follow one another.
fn key(samples: &[KeySample<'_>], texts: &[FoundText]) -> Rect {
    /// The furthest that one row lies from the next, in sizes of its letters.
    const PITCH: f64 = 4.0;
    let FoundText { at, size, .. } = *samples[0].text;
    let rows = texts.iter().filter(|text| is_near(text.at.x, at.x) && is_near(text.size, size));
    let mut rows: Vec<f64> = rows.map(|text| text.at.y).collect();
    let all = samples.iter().fold(samples[0].bounds, |all, sample| all.union(sample.bounds));
    let (mut top, mut bottom) = (all.y0, all.y1);
    rows.sort_by(f64::total_cmp);
    for row in &rows {
        if (0.0..=PITCH * size).contains(&(row - bottom)) {
            bottom = *row;
        }
    }
    for row in rows.iter().rev() {
        if (0.0..=PITCH * size).contains(&(top - row)) {
            top = *row;
        }
    }
    Rect::new(all.x0 - size, top - PITCH / 2.0 * size, all.x1 + size, bottom + PITCH / 2.0 * size)
}
