//! Labels as blocks of lines, and where they may stand.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use kurbo::{Affine, Rect};

use crate::canvas::{Font, Label, Layer, Tone, shortened};
use crate::curve::{Point, TurnedBox, Vec2, right_of};

/// Air between a label and a line, mm: half the thickest line, and as much again.
pub(crate) const AIR: f64 = 0.7;

/// Height of a line of text with the gap to the next, as a multiple of the font's height.
const LEADING: f64 = 1.15;

/// A line of text, and its height as a multiple of that of its block.
pub(crate) type TextLine = (String, f64);

/// Where a block of lines may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum LabelSpot {
    /// With its middle here.
    Middle { at: Point, along: Vec2 },
    /// Off a place, in a direction of length one, with a gap between.
    Beside { on: Point, away: Vec2, gap: f64, along: Vec2 },
}

impl LabelSpot {
    /// The spot after a motion, which may mirror.
    pub(crate) fn moved(self, motion: Affine) -> LabelSpot {
        let vector = |v: Vec2| motion * v.to_point() - motion * Point::ORIGIN;
        match self {
            LabelSpot::Middle { at, along } => LabelSpot::Middle { at: motion * at, along: vector(along) },
            LabelSpot::Beside { on, away, gap, along } => {
                LabelSpot::Beside { on: motion * on, away: vector(away), gap, along: vector(along) }
            }
        }
    }

    /// The spot with a gap so many times as wide.
    pub(super) fn magnified(self, by: f64) -> LabelSpot {
        match self {
            LabelSpot::Beside { on, away, gap, along } => {
                LabelSpot::Beside { on, away, gap: gap * by, along }
            }
            middle @ LabelSpot::Middle { .. } => middle,
        }
    }

    pub(super) fn along(self) -> Vec2 {
        let (LabelSpot::Middle { along, .. } | LabelSpot::Beside { along, .. }) = self;
        readable(along)
    }

    pub(super) fn middle(self, width: f64, height: f64) -> Point {
        match self {
            LabelSpot::Middle { at, .. } => at,
            LabelSpot::Beside { on, away, gap, along } => {
                let reach = (away.dot(along).abs() * width + away.cross(along).abs() * height) / 2.0;
                on + away * (gap + reach)
            }
        }
    }
}

/// The direction or its opposite, so that a text reads from left to right, or upward where it is steep.
pub(crate) fn readable(along: Vec2) -> Vec2 {
    /// The sine of the angle to the upright up to which a text reads upward though it leans to the left: 15°.
    const STEEP: f64 = 0.259;
    let length = along.hypot();
    let steep = along.x.abs() <= STEEP * length;
    let upside_down = if steep { along.y > 0.0 } else { along.x < 0.0 };
    if upside_down { -along } else { along }
}

/// A text broken into lines of nearly equal length.
pub(crate) fn broken(text: &str, lines: usize) -> Vec<TextLine> {
    let words: Vec<&str> = text.split(' ').collect();
    let total = text.chars().count();
    let mut broken = vec![String::new()];
    let mut before = 0;
    for word in words {
        let length = word.chars().count();
        let share = (before + length / 2) * lines / total.max(1);
        if share >= broken.len() && broken.last().is_some_and(|line| !line.is_empty()) {
            broken.push(String::new());
        }
        if let Some(line) = broken.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        before += length + 1;
    }
    broken.into_iter().map(|line| (line, 1.0)).collect()
}

/// A name broken at its spaces and behind its hyphens.
pub(crate) fn broken_name(name: &str, lines: usize) -> Vec<TextLine> {
    let lines = broken(&name.replace('-', "- "), lines).into_iter();
    lines.map(|(text, share)| (text.replace("- ", "-"), share)).collect()
}

/// The labels of a block of lines around a middle.
pub(crate) fn block(lines: &[TextLine], spot: LabelSpot, size: f64) -> Vec<Label> {
    let heights: Vec<f64> = lines.iter().map(|(_, share)| share * size * LEADING).collect();
    let height = height_of(lines, size);
    let along = spot.along();
    let mut labels: Vec<Label> = lines
        .iter()
        .map(|(text, share)| Label {
            text: shortened(text).into_owned(),
            at: Point::ORIGIN,
            along,
            size: size * share,
            tone: Tone::Black,
            layer: Layer::Labels,
        })
        .collect();
    let width = labels.iter().map(Label::width).fold(0.0, f64::max);
    let middle = spot.middle(width, height);
    let down = right_of(along);
    let mut top = -height / 2.0;
    for (label, tall) in labels.iter_mut().zip(&heights) {
        label.at = Label::base_of(middle + down * (top + tall / 2.0), along, label.size);
        top += tall;
    }
    labels
}

/// The boxes around the lines of a block, measured once for all the places where it is tried.
pub(super) struct TextBlock {
    pub(super) along: Vec2,
    pub(super) width: f64,
    pub(super) height: f64,
    /// Around the origin.
    texts: Vec<TurnedBox>,
}

impl TextBlock {
    pub(super) fn of(lines: &[TextLine], along: Vec2, size: f64, air: f64) -> TextBlock {
        let labels = block(lines, LabelSpot::Middle { at: Point::ORIGIN, along }, size);
        TextBlock {
            along,
            width: labels.iter().map(Label::width).fold(0.0, f64::max),
            height: height_of(lines, size),
            texts: labels.iter().map(|label| around(label, air)).collect(),
        }
    }

    pub(super) fn at(&self, middle: Point) -> impl Iterator<Item = TurnedBox> + '_ {
        self.texts.iter().map(move |text| TurnedBox { centre: text.centre + middle.to_vec2(), ..*text })
    }
}

fn height_of(lines: &[TextLine], size: f64) -> f64 {
    lines.iter().map(|(_, share)| share * size * LEADING).sum()
}

/// Places across a box and down it for the middle of a label, the nearest to a wish first. They are put in order as they
/// are asked for: most labels have room at one of the first.
pub(crate) fn places_over(
    bounds: Rect,
    (across, down): (usize, usize),
    wish: Point,
) -> impl Iterator<Item = Point> + Clone {
    let share = |i: usize, count: usize| (i as f64 + 0.5) / count as f64;
    let place = move |i: usize| {
        let (column, row) = (i / down, i % down);
        bounds.origin()
            + Vec2::new(bounds.width() * share(column, across), bounds.height() * share(row, down))
    };
    // A distance is never negative, and in the order of its bits then; places equally far stay as they are.
    let far = |i: usize| Reverse((place(i).distance_squared(wish).to_bits(), i));
    let mut nearest: BinaryHeap<Reverse<(u64, usize)>> = (0..across * down).map(far).collect();
    std::iter::from_fn(move || nearest.pop().map(|Reverse((_, i))| place(i)))
}

/// Spots all over a box, in each of the directions in turn, the nearest to a place that is wished first.
pub(crate) fn spots_over(
    bounds: Rect,
    counts: (usize, usize),
    wish: Point,
    directions: &[Vec2],
) -> Vec<LabelSpot> {
    let places = places_over(bounds, counts, wish);
    let spots = |along: &Vec2| {
        let along = *along;
        places.clone().map(move |at| LabelSpot::Middle { at, along })
    };
    directions.iter().flat_map(spots).collect()
}

/// A text broken between words into lines no wider than a width, where words allow.
pub(crate) fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if Font::get().width(&format!("{line} {word}")) * size <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The box around a label's letters, with air.
pub(crate) fn around(label: &Label, air: f64) -> TurnedBox {
    let [a, _, c, _] = label.corners();
    let half = Vec2::new(label.width() / 2.0 + air, Label::height_of(label.size) / 2.0 + air);
    TurnedBox { centre: a.midpoint(c), along: label.along, half }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_broken_between_words_into_lines_of_nearly_equal_length() {
        let lines =
            |text: &str, count| broken(text, count).into_iter().map(|(line, _)| line).collect::<Vec<_>>();
        assert_eq!(lines("side, sewn to back.side, 15 mm", 2), ["side, sewn to", "back.side, 15 mm"]);
        assert_eq!(lines("one", 3), ["one"]);
    }

    #[test]
    fn texts_read_from_left_to_right_and_steep_ones_upward() {
        let reads = |degrees: f64| {
            let (y, x) = degrees.to_radians().sin_cos();
            let read = readable(Vec2::new(x, y));
            read.y.atan2(read.x).to_degrees().round()
        };
        let turned = [0.0, 60.0, 80.0, 90.0, 100.0, 120.0, 179.0, -80.0, -91.0].map(reads);
        assert_eq!(turned, [0.0, 60.0, -100.0, -90.0, -80.0, -60.0, -1.0, -80.0, -91.0]);
    }
}
