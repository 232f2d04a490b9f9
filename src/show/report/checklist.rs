//! What to tick off before anything is cut.

use crate::allowance::SewingOrder;
use crate::pattern::Piece;
use crate::show::markup::Markup;
use crate::show::piece::{as_cut_wide, cut_count};
use crate::show::report::Report;
use crate::units::{Length, Unit, listed};

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
    let order = SewingOrder::of(report.now);
    let mut cloths: Vec<_> = Vec::new();
    for piece in report.now.pieces().filter(|piece| piece.is_cut()) {
        if !cloths.contains(&&piece.cloth) {
            cloths.push(&piece.cloth);
        }
    }
    for cloth in cloths {
        part.element("h3", &[], &format!("Cut of {cloth} cloth"));
        let pieces = report.now.pieces().filter(|piece| piece.cloth == *cloth);
        ticks(&mut part, pieces.map(|piece| to_cut(&order, piece, report.unit)).collect());
    }
    let not_cut = report.now.pieces().filter(|piece| !piece.is_cut());
    let not_cut: Vec<String> = not_cut.map(|piece| piece.name().to_string()).collect();
    if !not_cut.is_empty() {
        part.element("p", &[], &format!("Not cut: {}.", listed(&not_cut)));
    }
    part
}

/// How often a piece is cut, and how wide it is then.
fn to_cut(order: &SewingOrder<'_>, piece: &Piece, unit: Unit) -> String {
    let opened = if piece.fold().is_some() { ", opened out" } else { "" };
    let wide = match order.as_cut(piece) {
        Ok(cut) => format!("{}{opened}", as_cut_wide(Length::from_mm(cut.width()), unit)),
        Err(error) => format!("cannot be cut: {error}"),
    };
    format!("{}: {}; {wide}", piece.name(), cut_count(piece))
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
