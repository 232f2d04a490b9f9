//! The key of a layout: each kind of line that is drawn, and what it is.

use kurbo::{Point, Rect, Vec2};

use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, arrow};

use super::pieces::quiet;
use super::surface::draw_stripe;

/// What kinds of lines are, in the order of the key. Selvedge and cut edge are named where they lie as well.
const KINDS: [(LineKind, &str); 14] = [
    (LineKind::CuttingLine, "cutting line"),
    (LineKind::Seamline, "stitching line"),
    (LineKind::DartLeg, "dart"),
    (LineKind::Grainline, "grain"),
    (LineKind::StripesMeet, "stitching line where like meets like"),
    (LineKind::ColoursDiffer, "stitching line where colours look different"),
    (LineKind::Stripe, "stripe or mark of the cloth"),
    (LineKind::Flaw, "flaw: nothing lies on it"),
    (LineKind::Selvedge, "selvedge"),
    (LineKind::RawEdge, "cut edge"),
    (LineKind::PageEdge, "goes on in another row"),
    (LineKind::Fold, "fold of the cloth"),
    (LineKind::LeftOver, "left over"),
    (LineKind::Leader, "leads to a name"),
];

/// Length of a sample, of the gap to its words and between two of them, and between rows: as shares of the lettering.
const SAMPLE: f64 = 4.0;
const GAP: f64 = 0.6;
const BETWEEN: f64 = 2.0;
const ROWS: f64 = 1.5;

/// How far above the base of its words a sample lies, as a share of the lettering.
const MIDDLE: f64 = 0.3;

/// Length and half width of an arrow in the key, as shares of the lettering.
const ARROW: (f64, f64) = (0.6, 0.17);

/// Width of a stripe in the key, as a share of the lettering.
const STRIPE: f64 = 0.5;

/// The key of what is drawn on some drawings, with the stripes of named colours, in rows of a width below a place, its lettering
/// of a size; and how far down it reaches.
pub(super) fn key(
    drawn: &[&Drawing],
    stripes: &[(String, Tone)],
    corner: Point,
    width: f64,
    size: f64,
) -> (Drawing, f64) {
    let is_drawn =
        |kind: LineKind| drawn.iter().any(|one| one.strokes.iter().any(|stroke| stroke.kind == kind));
    let mut rows = KeyRows::below(corner, width, size);
    for (kind, words) in KINDS.into_iter().filter(|(kind, _)| is_drawn(*kind)) {
        let (from, to) = rows.sample_of(words);
        rows.key.line(kind, from, to);
        if kind == LineKind::Grainline {
            let size = (ARROW.0 * size, ARROW.1 * size);
            rows.key.fill(arrow(to, Vec2::new(1.0, 0.0), size), Tone::Black, Layer::Marks);
        }
    }
    rows.add_stripes(stripes);
    (rows.key, rows.at.y)
}

/// What of a key is the sample that a label of it explains, mm.
pub(crate) fn sample_before(label: &Label) -> Rect {
    let (size, right) = (label.size, label.bounds().x0 - GAP * label.size);
    let middle = label.at.y - size * MIDDLE;
    // A little more, for lines that are thick, at their ends as well.
    Rect::new(right - SAMPLE * size, middle, right, middle).inflate(GAP / 2.0 * size, GAP / 2.0 * size)
}

/// The key of the stripes of named colours alone; nothing, and the place itself, where there are none.
pub(super) fn stripes_key(
    stripes: &[(String, Tone)],
    corner: Point,
    width: f64,
    size: f64,
) -> (Drawing, f64) {
    if stripes.is_empty() {
        return (Drawing::default(), corner.y);
    }
    let mut rows = KeyRows::below(corner, width, size);
    rows.add_stripes(stripes);
    (rows.key, rows.at.y)
}

/// A key under way.
struct KeyRows {
    key: Drawing,
    corner: Point,
    width: f64,
    size: f64,
    /// Where the next sample begins, on the base line of its words.
    at: Point,
}

impl KeyRows {
    fn below(corner: Point, width: f64, size: f64) -> KeyRows {
        KeyRows { key: Drawing::default(), corner, width, size, at: corner + Vec2::new(0.0, size) }
    }

    /// Adds words, in a new row where this one has no room; gives the ends of the sample before them.
    fn sample_of(&mut self, words: &str) -> (Point, Point) {
        let size = self.size;
        let sample = SAMPLE * size;
        let label = |at: Point| {
            Label::from_left(words, at + Vec2::new(sample + GAP * size, 0.0), size, Layer::Labels)
        };
        if label(self.at).bounds().x1 > self.corner.x + self.width && self.at.x > self.corner.x {
            self.at = Point::new(self.corner.x, self.at.y + ROWS * size);
        }
        let from = self.at - Vec2::new(0.0, size * MIDDLE);
        let label = label(self.at);
        self.at.x = label.bounds().x1 + BETWEEN * size;
        self.key.labels.push(quiet(label));
        (from, from + Vec2::new(sample, 0.0))
    }

    fn add_stripes(&mut self, stripes: &[(String, Tone)]) {
        for (word, tone) in stripes {
            let ends = self.sample_of(&format!("{word} stripe"));
            draw_stripe(&mut self.key, *tone, ends, STRIPE * self.size, Layer::Marks);
        }
    }
}
