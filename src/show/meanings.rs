//! What the kinds of line on a piece mean, for the keys of prints and pictures.

use crate::tolerance::ROUND;
use std::collections::BTreeSet;

use kurbo::{Circle, Shape, Vec2};

use crate::canvas::{Drawing, Layer, LineKind, Tone, arrow};
use crate::curve::Point;
use crate::show::piece::ARROW;

/// What is said of the kinds of line, in the order in which it is.
const MEANINGS: [(LineKind, &str); 19] = [
    (LineKind::CuttingLine, "cut here"),
    (LineKind::OnSelvedge, "on the selvedge: do not cut"),
    (LineKind::Seamline, "seamline: stitch here"),
    (LineKind::SeamOnCut, "seamline that is cut: no allowance"),
    (LineKind::LapStitching, "stitching of a lap, through both"),
    (LineKind::NewSeam, "new seam, made by a recut"),
    (LineKind::NewSeamOnCut, "new seam that is cut: no allowance"),
    (LineKind::Hem, "turn the hem up here"),
    (LineKind::Fold, "lies on the fold of the cloth: do not cut"),
    (LineKind::DartLeg, "leg of a dart"),
    (LineKind::PleatSide, "side of a pleat: fold one onto the other"),
    (LineKind::DartFold, "fold of a dart, from its tip to its cap"),
    (LineKind::Level, "level where the body is measured"),
    (LineKind::Grainline, "grain: lay it parallel to the selvedge"),
    (LineKind::Notch, "notch: must meet its partner"),
    (LineKind::StyleLine, "style line"),
    (LineKind::Point, "point of the body, or tip of a dart"),
    (LineKind::Mark, "other mark, named beside it"),
    (LineKind::Leader, "leads to its text, or frames it"),
];

/// How long a sample is, mm, where it is not magnified: a whole round of every kind's dashes, so that none looks solid.
pub(super) const SAMPLE: f64 = 22.0;

/// Radius of a point's circle and reach of its cross, and how long a notch is, mm, where samples are not magnified.
const POINT: (f64, f64) = (1.0, 1.6);
const NOTCH: f64 = 2.0;

/// The kinds that are drawn, with what is said of them, in the order in which it is.
pub(super) fn meanings(drawn: &BTreeSet<LineKind>) -> impl Iterator<Item = (LineKind, &'static str)> {
    MEANINGS.into_iter().filter(|(kind, _)| drawn.contains(kind))
}

/// A line of a kind as it is drawn, from a place to another on its right, magnified so many times.
pub(super) fn draw_sample(
    drawing: &mut Drawing,
    kind: LineKind,
    (from, end): (Point, Point),
    magnified: f64,
) {
    let middle = from.midpoint(end);
    match kind {
        LineKind::Notch => {
            drawing.line(LineKind::CuttingLine, from, end);
            drawing.line(kind, middle, middle + Vec2::new(0.0, NOTCH * magnified));
        }
        LineKind::Point => {
            let (radius, reach) = (POINT.0 * magnified, POINT.1 * magnified);
            drawing.stroke(kind, Circle::new(middle, radius).to_path(ROUND));
            for reach in [Vec2::new(reach, 0.0), Vec2::new(0.0, reach)] {
                drawing.line(kind, middle - reach, middle + reach);
            }
        }
        LineKind::SeamOnCut | LineKind::NewSeamOnCut => {
            drawing.line(LineKind::CuttingLine, from, end);
            drawing.line(kind, from, end);
        }
        _ => drawing.line(kind, from, end),
    }
    if kind == LineKind::Grainline {
        let size = (ARROW.0 * magnified, ARROW.1 * magnified);
        for (tip, way) in [(from, Vec2::new(-1.0, 0.0)), (end, Vec2::new(1.0, 0.0))] {
            drawing.fill(arrow(tip, way, size), Tone::Black, Layer::Marks);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_sample_of_a_dashed_line_looks_solid() {
        for (kind, _) in MEANINGS {
            let round: f64 = kind.look().dash.iter().sum();
            assert!(round <= SAMPLE, "{kind:?}: {round} mm");
        }
    }
}
