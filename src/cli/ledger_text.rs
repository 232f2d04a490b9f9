//! The ledger as text.

use std::fmt::Write;

use retrue::tolerance::GIRTH_TOLD;
use retrue::units::{Length, Unit};

use crate::cli::report::LedgerReport;
use crate::cli::rows::{Align, Table};

/// Square millimetres in a square centimetre.
const MM2_PER_CM2: f64 = 100.0;

/// What was measured before the first step, against now, in a unit.
pub fn text(ledger: &LedgerReport, unit: Unit) -> String {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let mut text = String::new();
    let mut section = |title: &str, table: &Table| {
        if !table.is_empty() {
            let _ = write!(text, "{}{title}\n{table}", if text.is_empty() { "" } else { "\n" });
        }
    };
    section("girths, before the first step and now", &girths(ledger, show));
    section("original edges as sewn, before and now", &edges(ledger, show));
    let mut area = Table::new([Align::Left, Align::Right, Align::Left, Align::Right]);
    let cm2 = |area: f64| format!("{:.1} cm²", area / MM2_PER_CM2);
    area.row(["all pieces".into(), cm2(ledger.net_area_then), "→".into(), cm2(ledger.net_area_now)]);
    section("area", &area);
    let mut turned = Table::new([Align::Left, Align::Right]);
    for part in &ledger.off_grain {
        turned.row([format!("{} in {}", part.part, part.piece), format!("{:.1}°", part.degrees)]);
    }
    section("parts off the grain of their piece", &turned);
    let mut seams = Table::new([Align::Left]);
    for [first, second] in &ledger.new_seams {
        seams.row([format!("{first} + {second}")]);
    }
    section("new seams", &seams);
    text
}

fn girths(ledger: &LedgerReport, show: impl Fn(f64) -> String) -> Table {
    let mut girths =
        Table::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left, Align::Left]);
    for girth in &ledger.girths {
        let measured = |girth: Option<f64>| girth.map_or_else(|| "none".to_owned(), &show);
        let change = |by: f64, what: &str| {
            if by.abs() <= GIRTH_TOLD { String::new() } else { format!("{} {what}", show(by)) }
        };
        girths.row([
            girth.level.clone(),
            measured(girth.then),
            "→".to_owned(),
            measured(girth.now),
            change(girth.declared, "declared"),
            change(girth.unaccounted, "not declared"),
        ]);
    }
    girths
}

fn edges(ledger: &LedgerReport, show: impl Fn(f64) -> String) -> Table {
    let mut edges = Table::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left]);
    for edge in &ledger.edges {
        let total = edge.now.iter().map(|part| part.length).sum();
        let parts: Vec<&str> = edge.now.iter().map(|part| part.edge.as_str()).collect();
        let (now, place) = match parts.as_slice() {
            [] => ("sewn up".to_owned(), String::new()),
            parts => (show(total), format!("on {}", parts.join(", "))),
        };
        edges.row([edge.edge.clone(), show(edge.then), "→".to_owned(), now, place]);
    }
    edges
}
