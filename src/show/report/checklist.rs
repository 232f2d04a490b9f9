//! What to tick off before anything is cut.

use crate::show::piece::cut_count;
use crate::show::report::Report;
use crate::show::report::markup::Markup;

/// What is done to the print.
const PRINT: [&str; 3] = [
    "Print at 100 %, never fitted to the page.",
    "Measure the printed bar, both ways: 100 mm. Where it is off, print again and say what it measures.",
    "Walk each new seam on paper, notch to notch.",
];

/// What is done to the cloth.
const CLOTH: [&str; 4] = [
    "Pre-shrink each cloth as the finished garment will be washed or steamed.",
    "Press it, and lay it without a crease or a pull.",
    "Check that the weft lies square to the selvedge; pull it straight.",
    "Mark its right side, its nap and its flaws.",
];

/// What is done last. It cannot be undone.
const LAST: [&str; 3] = [
    "Sew a trial garment in cheap cloth first, and try it on. Cutting is final.",
    "Lay all pieces out, grainlines along the warp, before the first cut.",
    "Count again: lefts and rights, folds on the fold.",
];

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    part.element("h3", &[], "The print");
    ticks(&mut part, PRINT.map(str::to_owned).to_vec());
    part.element("h3", &[], "The cloth");
    ticks(&mut part, CLOTH.map(str::to_owned).to_vec());
    part.element("h3", &[], "Before the first cut");
    ticks(&mut part, LAST.map(str::to_owned).to_vec());
    let mut cloths: Vec<_> = Vec::new();
    for piece in report.now.pieces() {
        if !cloths.contains(&&piece.cloth) {
            cloths.push(&piece.cloth);
        }
    }
    for cloth in cloths {
        part.element("h3", &[], &format!("Cut of {cloth} cloth"));
        let pieces = report.now.pieces().filter(|piece| piece.cloth == *cloth);
        ticks(&mut part, pieces.map(|piece| format!("{}: {}", piece.name(), cut_count(piece))).collect());
    }
    part
}

fn ticks(part: &mut Markup, items: Vec<String>) {
    part.within("ul", &[("class", "ticks")], |list| {
        for item in items {
            list.within("li", &[], |one| {
                one.within("label", &[], |label| {
                    label.empty("input", &[("type", "checkbox")]);
                    label.element("span", &[], &item);
                });
            });
        }
    });
}
