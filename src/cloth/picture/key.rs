//! The key of a layout: each kind of line that is drawn, and what it is.

use kurbo::{Point, Vec2};

use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, arrow};

use super::pieces::quiet;

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

/// Length and half width of an arrow in the key, as shares of the lettering.
const ARROW: (f64, f64) = (0.6, 0.17);

/// The key of what is drawn on some drawings, in rows of a width below a place, its lettering of a size; and how far down
/// it reaches.
pub(super) fn key(drawn: &[&Drawing], corner: Point, width: f64, size: f64) -> (Drawing, f64) {
    let is_drawn =
        |kind: LineKind| drawn.iter().any(|one| one.strokes.iter().any(|stroke| stroke.kind == kind));
    let mut key = Drawing::default();
    let mut at = corner + Vec2::new(0.0, size);
    for (kind, words) in KINDS.into_iter().filter(|(kind, _)| is_drawn(*kind)) {
        let sample = SAMPLE * size;
        let label = |at: Point| {
            Label::from_left(words, at + Vec2::new(sample + GAP * size, 0.0), size, Layer::Labels)
        };
        if label(at).bounds().x1 > corner.x + width && at.x > corner.x {
            at = Point::new(corner.x, at.y + ROWS * size);
        }
        let from = at - Vec2::new(0.0, size * 0.3);
        let to = from + Vec2::new(sample, 0.0);
        key.line(kind, from, to);
        if kind == LineKind::Grainline {
            let size = (ARROW.0 * size, ARROW.1 * size);
            key.fill(arrow(to, Vec2::new(1.0, 0.0), size), Tone::Black, Layer::Marks);
        }
        let label = label(at);
        at.x = label.bounds().x1 + BETWEEN * size;
        key.labels.push(quiet(label));
    }
    (key, at.y)
}
