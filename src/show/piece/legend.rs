//! What stands beside a piece on which there is no room.

use kurbo::Rect;

use crate::canvas::{Drawing, Label, Layer, LineKind, polygon, wrapped};
use crate::curve::Point;

/// Height of the font of a legend, mm.
const SIZE: f64 = 2.6;

/// Distance of its lines, mm.
const LEADING: f64 = 3.5;

/// Gap to what is above it, and air inside its frame, mm.
const GAP: f64 = 3.0;
const AIR: f64 = 1.5;

/// The least width to which lines are broken, mm.
const LEAST_WIDTH: f64 = 60.0;

/// What has no room on the piece.
#[derive(Default)]
pub(super) struct Legend {
    /// The title of the piece, if it has no room.
    pub title: Vec<String>,
    /// What numbers on the piece stand for.
    pub entries: Vec<(Option<usize>, String)>,
}

impl Legend {
    /// The number that stands for the next text.
    pub(super) fn next_number(&self) -> usize {
        self.entries.iter().filter(|(number, _)| number.is_some()).count() + 1
    }

    /// The legend in a frame under everything else, its texts magnified so many times; nothing where it has nothing to tell.
    pub(super) fn under(&self, name: &str, bounds: Rect, magnified: f64) -> Drawing {
        let mut drawing = Drawing::default();
        if self.title.is_empty() && self.entries.is_empty() {
            return drawing;
        }
        let mut texts = if self.title.is_empty() { vec![name.to_owned()] } else { self.title.clone() };
        texts.extend(self.entries.iter().map(|(number, text)| match number {
            Some(number) => format!("{number}  {text}"),
            None => text.clone(),
        }));
        let [size, leading, gap, air, least] =
            [SIZE, LEADING, GAP, AIR, LEAST_WIDTH].map(|length| length * magnified);
        let width = bounds.width().max(least);
        let lines: Vec<String> = texts.iter().flat_map(|text| wrapped(text, size, width)).collect();
        let mut at = Point::new(bounds.x0 + air, bounds.y1 + gap + air + size * 0.8);
        for line in lines {
            drawing.labels.push(Label::from_left(line, at, size, Layer::Labels));
            at.y += leading;
        }
        if let Some(inner) = drawing.bounds() {
            let frame = inner.inflate(air, air);
            let corners = [
                Point::new(frame.x0, frame.y0),
                Point::new(frame.x1, frame.y0),
                Point::new(frame.x1, frame.y1),
                Point::new(frame.x0, frame.y1),
            ];
            drawing.stroke(LineKind::Leader, polygon(&corners));
        }
        drawing
    }
}
