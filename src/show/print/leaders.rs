//! Names beside a strip of cloth, of what has no room for its name on it, each with a line to what it names.
//!
//! ```text
//!        collar        pocket
//!   ┌──────┼─────────────┼────┐
//!   │    ┌─┴─┐         ┌─┴┐   │
//!   │    └───┘  ┌───┐  └──┘   │
//!   │           └─┬─┘         │
//!   └─────────────┼───────────┘
//!               tab
//! ```

use kurbo::{BezPath, Point, Rect, Size};

use crate::canvas::{Drawing, Label, Layer, LineKind, holds, points};
use crate::tolerance::LEAST_PRINTED;

/// How far beyond a strip the names begin, half of how far they stand apart, and how far lines keep from names and from one
/// another, mm.
const LED: f64 = 0.8;

/// Distance of the rows of names as a multiple of the font's height.
const LEADING: f64 = 1.4;

/// Where in the width of what is named its line is tried, as shares, the one that is wished first.
const TRIED: [f64; 11] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88, 0.05, 0.95];

/// Steps in which the height of what is named is looked through for its upper and its lower edge.
const STEPS: u32 = 64;

/// A copy on a strip, in mm of the paper.
pub(super) struct OnStrip<'a> {
    pub outline: BezPath,
    /// The box of what of it lies on the strip.
    pub bounds: Rect,
    /// Its name, where it has no room for it.
    pub unnamed: Option<&'a str>,
}

/// On which side of a strip a name stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Beyond {
    Above,
    Below,
}

/// A line from what is named to the border of the strip.
#[derive(Clone, Copy)]
struct Leader<'a> {
    from: Point,
    beyond: Beyond,
    name: &'a str,
}

/// What a line runs over: names are worse than pieces, pieces worse than any length.
#[derive(PartialEq, PartialOrd)]
struct RunsOver {
    names: usize,
    pieces: usize,
    length: f64,
}

/// Adds the names that have no room on a strip, above or below it, each by the line that runs over the least; gives the copies
/// from which every line would run over another name.
pub(super) fn lead_out(drawing: &mut Drawing, copies: &[OnStrip<'_>], strip: Size) -> Vec<usize> {
    let rings: Vec<Vec<Point>> = copies.iter().map(|copy| points(&copy.outline, 1.0)).collect();
    let names: Vec<Rect> = drawing.labels.iter().map(|label| label.bounds().inflate(LED, LED)).collect();
    let mut leaders: Vec<Leader<'_>> = Vec::new();
    let mut left = Vec::new();
    for (which, (copy, ring)) in copies.iter().zip(&rings).enumerate() {
        let Some(name) = copy.unnamed else { continue };
        let ways = ways(copy.bounds, ring, name);
        let costs = ways.map(|leader| (cost(&leader, ring, &rings, (&names, &leaders), strip), leader));
        let best = costs.min_by(|(a, _), (b, _)| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
        match best.filter(|(cost, _)| cost.names == 0) {
            Some((_, leader)) => leaders.push(leader),
            None => left.push(which),
        }
    }
    leaders.sort_by(|a, b| b.from.x.total_cmp(&a.from.x));
    for beyond in [Beyond::Above, Beyond::Below] {
        in_rows(drawing, leaders.iter().filter(|leader| leader.beyond == beyond), strip);
    }
    left
}

/// Lines upright out of a shape, up and down, from just inside it.
fn ways<'a>(bounds: Rect, ring: &[Point], name: &'a str) -> impl Iterator<Item = Leader<'a>> {
    TRIED.iter().flat_map(move |share| {
        let x = bounds.x0 + share * bounds.width();
        let down = (1..STEPS).map(|step| bounds.y0 + bounds.height() * f64::from(step) / f64::from(STEPS));
        let mut within = down.map(|y| Point::new(x, y)).filter(|at| holds(ring, *at));
        let first = within.next();
        let last = within.next_back().or(first);
        let leader = move |(from, beyond)| Leader { from, beyond, name };
        first.map(|at| (at, Beyond::Above)).into_iter().chain(last.map(|at| (at, Beyond::Below))).map(leader)
    })
}

fn cost(
    leader: &Leader<'_>,
    own: &[Point],
    rings: &[Vec<Point>],
    (names, leaders): (&[Rect], &[Leader<'_>]),
    strip: Size,
) -> RunsOver {
    let foot = border(leader.beyond, strip);
    let line = Rect::from_points(leader.from, Point::new(leader.from.x, foot));
    let over = |name: &&Rect| line.inflate(LED / 2.0, 0.0).overlaps(**name);
    let is_beside = |other: &&Leader<'_>| {
        other.beyond == leader.beyond && (other.from.x - leader.from.x).abs() < 2.0 * LED
    };
    let length = line.height();
    let crossed = |ring: &&Vec<Point>| {
        let steps = (length / LED).ceil().max(1.0);
        let at = |step: f64| leader.from + (Point::new(leader.from.x, foot) - leader.from) * (step / steps);
        (0..=steps as u32).any(|step| holds(ring, at(f64::from(step))))
    };
    RunsOver {
        names: names.iter().filter(over).count() + leaders.iter().filter(is_beside).count(),
        pieces: rings.iter().filter(|ring| !std::ptr::eq(ring.as_slice(), own)).filter(crossed).count(),
        length,
    }
}

fn border(beyond: Beyond, strip: Size) -> f64 {
    match beyond {
        Beyond::Above => 0.0,
        Beyond::Below => strip.height,
    }
}

/// Names in rows, from the right to the left: a name that would run into one of its row comes a row further out, so that no
/// line runs through a name.
fn in_rows<'a>(drawing: &mut Drawing, leaders: impl Iterator<Item = &'a Leader<'a>>, strip: Size) {
    let mut begins: Vec<f64> = Vec::new();
    for Leader { from, beyond, name } in leaders {
        let label = Label::from_left(*name, Point::ZERO, LEAST_PRINTED, Layer::Pages);
        let x = from.x.min(strip.width - label.width()).max(0.0);
        let end = x + label.width() + 2.0 * LED;
        let row = begins.iter().position(|begin| end <= *begin).unwrap_or(begins.len());
        let out = LED + row as f64 * LEAST_PRINTED * LEADING;
        let (foot, base) = match beyond {
            Beyond::Above => (-out, -out - LED),
            Beyond::Below => (strip.height + out, strip.height + out + LEAST_PRINTED),
        };
        drawing.line(LineKind::Leader, *from, Point::new(from.x, foot));
        drawing.labels.push(Label { at: Point::new(x, base), ..label });
        match begins.get_mut(row) {
            Some(begin) => *begin = x,
            None => begins.push(x),
        }
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Shape;

    use super::*;

    fn copy(bounds: Rect, unnamed: Option<&str>) -> OnStrip<'_> {
        OnStrip { outline: bounds.to_path(0.1), bounds, unnamed }
    }

    /// Two slips one above the other beside a large piece that has its name: each is led to its own side, no line runs over
    /// a name or along another, and a slip in the middle goes round the one above it.
    #[test]
    fn names_are_led_to_the_side_where_nothing_lies() {
        let strip = Size::new(60.0, 20.0);
        let copies = [
            copy(Rect::new(0.0, 0.0, 40.0, 20.0), None),
            copy(Rect::new(44.0, 1.0, 47.0, 3.0), Some("tab")),
            copy(Rect::new(44.0, 4.0, 50.0, 6.0), Some("loop")),
            copy(Rect::new(44.0, 17.0, 47.0, 19.0), Some("stay")),
        ];
        let mut drawing = Drawing::default();
        drawing.labels.push(Label::from_left("back", Point::new(15.0, 10.0), 3.0, Layer::Pages));
        assert!(lead_out(&mut drawing, &copies, strip).is_empty());
        let at = |name: &str| {
            drawing.labels.iter().find(|label| label.text == name).map(|label| label.at.y).unwrap()
        };
        assert!(at("tab") < 0.0 && at("loop") < 0.0 && at("stay") > strip.height);
        let lines: Vec<Rect> = drawing.strokes.iter().map(|stroke| stroke.path.bounding_box()).collect();
        assert_eq!(lines.len(), 3);
        let tab = copies[1].bounds;
        assert_eq!(
            lines.iter().filter(|line| line.inflate(0.01, 0.0).overlaps(tab)).count(),
            1,
            "its own: {lines:?}"
        );
        let above: Vec<f64> = lines.iter().filter(|line| line.y0 < 0.0).map(|line| line.x0).collect();
        assert!(above.len() == 2 && (above[0] - above[1]).abs() >= 2.0 * LED, "{above:?}");
        let texts: Vec<Rect> = drawing.labels.iter().map(Label::bounds).collect();
        assert!(texts.iter().all(|text| lines.iter().all(|line| !line.inflate(0.01, 0.0).overlaps(*text))));
    }
}
