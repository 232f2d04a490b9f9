//! What is as long as writing beside it says.

use kurbo::Rect;

use crate::adopt::stroke::DrawnThings;
use crate::curve::Curve;
use crate::drawing::lengths_in;
use crate::tolerance::{ON_OUTLINE, TEST_LABEL_OFF, TEST_LABEL_REACH, TEST_SHAPE};
use crate::units::MM_PER_INCH;

/// Lengths of units in mm that a file without one may be in.
const UNITS: [f64; 5] = [MM_PER_INCH / 96.0, MM_PER_INCH / 72.0, 1.0, 10.0, MM_PER_INCH];

/// The length that a text at a place gives for what measures so. `unit` is what a unit was taken for where nothing tells.
pub(super) fn labelled(drawn: &DrawnThings, bounds: Rect, measured: f64, unit: Option<f64>) -> Option<f64> {
    let near = bounds.inflate(TEST_LABEL_REACH, TEST_LABEL_REACH);
    let texts = drawn.texts.iter().filter(|text| near.contains(text.at));
    let lengths: Vec<f64> = texts.flat_map(|text| lengths_in(&text.text)).collect();
    match unit {
        None => {
            let off = |length: &f64| (measured / length - 1.0).abs();
            lengths
                .into_iter()
                .filter(|length| off(length) <= TEST_LABEL_OFF)
                .min_by(|a, b| off(a).total_cmp(&off(b)))
        }
        Some(unit) => {
            let off = |length: &f64| {
                let offs = UNITS.iter().map(|other| (measured / unit * other / length - 1.0).abs());
                offs.fold(f64::INFINITY, f64::min)
            };
            let fitting = lengths.into_iter().filter(|length| off(length) <= TEST_LABEL_OFF);
            fitting.min_by(|a, b| off(a).total_cmp(&off(b)))
        }
    }
}

/// A straight line that lies or stands and is as long as writing at it says.
#[derive(Clone, Copy, Debug)]
pub(super) struct LabelledBar {
    /// As long as the writing says, mm.
    pub nominal: f64,
    /// As long as it is across, mm; none where it stands.
    pub across: Option<f64>,
    /// As long as it is down, mm; none where it lies.
    pub down: Option<f64>,
}

/// What a line checks the scale by, where it does.
pub(super) fn labelled_bar(drawn: &DrawnThings, line: &Curve) -> Option<LabelledBar> {
    if !line.is_straight(ON_OUTLINE) {
        return None;
    }
    let way = line.end() - line.start();
    let lies = way.y.abs() <= ON_OUTLINE;
    let stands = way.x.abs() <= ON_OUTLINE;
    if !lies && !stands {
        return None;
    }
    let nominal = labelled(drawn, line.bounds(), line.length(), None);
    Some(LabelledBar {
        nominal: nominal.filter(|nominal| *nominal >= TEST_SHAPE[0])?,
        across: lies.then(|| line.length()),
        down: stands.then(|| line.length()),
    })
}
