//! What steps did to a pattern, as text.

use std::fmt::Write;

use retrue::units::{Length, Unit, rounded};

use crate::cli::report::{PieceFate, RecutReport};
use crate::cli::rows::{Align, Rows};

/// Girths and sizes before and after, in a unit.
pub fn text(report: &RecutReport, unit: Unit) -> String {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let size = |size: Option<[f64; 2]>| {
        size.map_or_else(|| "-".to_owned(), |[width, height]| format!("{} × {}", show(width), show(height)))
    };
    let mut text = String::new();
    let width = |mm: Option<f64>| mm.map_or_else(|| "-".to_owned(), show);
    let mut pieces = Rows::new([Align::Left, Align::Left, Align::Right, Align::Left, Align::Right]);
    let mut widths = Rows::new([Align::Left, Align::Right, Align::Left, Align::Right]);
    for piece in &report.pieces {
        if piece.fate != PieceFate::Kept {
            let [before, after] = [size(piece.before), size(piece.after)];
            pieces.row([piece.name.clone(), fate(piece.fate).to_owned(), before, "→".to_owned(), after]);
        }
        // A piece that is kept may still be cut otherwise: its corners follow those of the pieces that it is sewn to.
        if piece.fate != PieceFate::Kept
            || piece.cut_width_before.map(rounded) != piece.cut_width_after.map(rounded)
        {
            let [before, after] = [width(piece.cut_width_before), width(piece.cut_width_after)];
            widths.row([piece.name.clone(), before, "→".to_owned(), after]);
        }
    }
    if !pieces.is_empty() {
        let _ = write!(text, "pieces, as drawn, without allowances\n{pieces}");
    }
    if !widths.is_empty() {
        let _ = write!(text, "widths as cut, allowances included, half pieces opened out\n{widths}");
    }
    let mut girths = Rows::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Right]);
    for girth in &report.girths {
        let told = |girth: Option<f64>| girth.map_or_else(|| "-".to_owned(), show);
        // Of lengths that read the same the change is none, whatever is behind the last digit.
        let by = girth.before.zip(girth.after).filter(|(before, after)| show(*before) != show(*after));
        let by = by.map(|(before, after)| Length::from_mm(after - before));
        let by = by.map_or_else(String::new, |by| by.show_change(unit));
        girths.row([girth.level.to_string(), told(girth.before), "→".to_owned(), told(girth.after), by]);
    }
    if !girths.is_empty() {
        let _ = write!(text, "girths\n{girths}");
    }
    text
}

fn fate(fate: PieceFate) -> &'static str {
    match fate {
        PieceFate::Kept => "kept",
        PieceFate::Changed => "changed",
        PieceFate::Made => "made",
        PieceFate::Gone => "gone",
    }
}
