//! What was measured of the stripes along seams, below the cloth, and for whoever reads the file.

use kurbo::Point;

use crate::cloth::layout::Laid;
use crate::cloth::picture::svg::{Anchor, SvgPage, Words, Written, text_width};
use crate::units::Unit;

/// Size of the lettering, as a share of that of titles.
const SIZE: f64 = 0.75;

/// From line to line, over the size of the lettering.
const LINE: f64 = 1.4;

/// Writes it below a place, as wide as the cloth that is drawn; gives the height.
pub(super) fn draw(page: &mut SvgPage, laid: &Laid, unit: Unit, at: Point, width: f64, text: f64) -> f64 {
    let sentences: Vec<String> = laid.matches.iter().flat_map(|found| found.sentences(unit)).collect();
    if sentences.is_empty() {
        return 0.0;
    }
    let size = text * SIZE;
    let mut y = at.y;
    page.begin_group("matches");
    for sentence in &sentences {
        page.describe(sentence);
        for text in wrapped(sentence, width / text_width("x", size)) {
            y += size * LINE;
            let at = Point::new(at.x, y);
            let (anchor, written) = (Anchor::Start, Written::Across);
            page.words(&Words { text, at, size, anchor, written, class: "quiet" });
        }
    }
    page.end_group();
    y - at.y + size
}

/// A sentence in lines of so many letters; a longer word has a line of its own.
fn wrapped(sentence: &str, letters: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in sentence.split(' ') {
        match lines.last_mut() {
            Some(line) if (line.chars().count() + 1 + word.chars().count()) as f64 <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
