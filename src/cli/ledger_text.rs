//! The ledger as text.

use std::fmt::Write;

use retrue::tolerance::GIRTH_TOLD;
use retrue::truing::Account;
use retrue::units::{Length, Unit};

use crate::cli::rows::{Align, Rows};

/// Square millimetres in a square centimetre.
const MM2_PER_CM2: f64 = 100.0;

/// What was measured before the first step, against now, in a unit.
pub fn text(ledger: &Account, unit: Unit) -> String {
    let show = |length: Length| length.show(unit);
    let mut text = String::new();
    let mut section = |title: &str, table: &Rows| {
        if !table.is_empty() {
            let _ = write!(text, "{}{title}\n{table}", if text.is_empty() { "" } else { "\n" });
        }
    };
    section("girths, before the first step and now", &girths(ledger, show));
    section("original edges as sewn, before and now", &edges(ledger, show));
    let mut area = Rows::new([Align::Left, Align::Right, Align::Left, Align::Right]);
    let cm2 = |area: f64| format!("{:.1} cm²", area / MM2_PER_CM2);
    area.row(["all pieces".into(), cm2(ledger.net_area_then), "→".into(), cm2(ledger.net_area_now)]);
    section("area", &area);
    let mut turned = Rows::new([Align::Left, Align::Right]);
    for part in &ledger.off_grain {
        turned.row([format!("{} in {}", part.part, part.piece), format!("{:.1}°", part.degrees)]);
    }
    section("parts off the grain of their piece", &turned);
    let mut seams = Rows::new([Align::Left]);
    for seam in &ledger.new_seams {
        seams.row([format!("{} + {}", seam.first, seam.second)]);
    }
    section("new seams", &seams);
    text
}

fn girths(ledger: &Account, show: impl Fn(Length) -> String) -> Rows {
    let mut girths =
        Rows::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left, Align::Left]);
    for girth in &ledger.girths {
        let measured = |girth: Option<Length>| girth.map_or_else(|| "none".to_owned(), &show);
        let change = |by: Length, what: &str| {
            if by.mm().abs() <= GIRTH_TOLD { String::new() } else { format!("{} {what}", show(by)) }
        };
        girths.row([
            girth.level.to_string(),
            measured(girth.then),
            "→".to_owned(),
            measured(girth.now),
            change(girth.declared, "declared"),
            change(girth.unaccounted, "not declared"),
        ]);
    }
    girths
}

fn edges(ledger: &Account, show: impl Fn(Length) -> String) -> Rows {
    let mut edges = Rows::new([Align::Left, Align::Right, Align::Left, Align::Right, Align::Left]);
    for edge in &ledger.edges {
        let total = Length::from_mm(edge.now.iter().map(|part| part.length.mm()).sum());
        let parts: Vec<String> = edge.now.iter().map(|part| part.edge.to_string()).collect();
        let (now, place) = match parts.as_slice() {
            [] => ("sewn up".to_owned(), String::new()),
            parts => (show(total), format!("on {}", parts.join(", "))),
        };
        edges.row([edge.edge.to_string(), show(edge.then), "→".to_owned(), now, place]);
    }
    edges
}
