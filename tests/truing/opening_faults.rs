//! Faults of openings and laps put into the shipped sheets.

use retrue::pattern::{EdgeRef, Finish, Pattern, Seam, Side, met_along};
use retrue::recut::Step;
use retrue::units::Length;

use crate::injector::{Fault, fault, with_curves, with_piece};

/// A stretch of every seam is opened, and then one of its sides made longer at the cost of what is sewn beside it.
pub fn uneven(pattern: &Pattern) -> Vec<Fault> {
    first_edges(pattern)
        .flat_map(|edge| [0.8, 2.0, 8.0].into_iter().filter_map(|by| made_longer(pattern, edge, by)))
        .collect()
}

/// The pattern with a stretch of a seam left open, and the seam that is.
fn with_opening(pattern: &Pattern, edge: &EdgeRef, purpose: &str) -> Option<(Pattern, Seam)> {
    let on = |share: u32| format!("{}@{share}%", edge.edge);
    let step = serde_json::json!({
        "do": "open-seam", "seam": edge.to_string(), "from": on(30), "to": on(60), "for": purpose
    });
    let opened = Step::from_value(&step).ok()?.apply(pattern).ok()?.pattern;
    let seam = opened.seams().iter().find(|seam| is_opening(&opened, seam))?.clone();
    Some((opened, seam))
}

/// The first edges of all seams but those to an edge's own mirror image.
fn first_edges(pattern: &Pattern) -> impl Iterator<Item = &EdgeRef> {
    let seams = pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror());
    seams.map(|seam| &seam.first.edges()[0].edge)
}

/// Something is eased in along an opening.
pub fn eased(pattern: &Pattern) -> Vec<Fault> {
    let opened = first_edges(pattern).filter_map(|edge| Some((edge, with_opening(pattern, edge, "pocket")?)));
    let faults = opened.flat_map(|(edge, (opened, seam))| {
        [0.8, -2.0, 8.0].map(|by| {
            let seams = opened.seams().iter().map(|other| match *other == seam {
                true => Seam { ease: Length::from_mm(by), ..other.clone() },
                false => other.clone(),
            });
            let mut eased = opened.clone();
            eased.set_seams(seams.collect()).unwrap();
            let names = seam.edges().map(|run| run.edge.to_string());
            fault(eased, format!("{edge} eased"), by.abs(), names)
        })
    });
    faults.collect()
}

/// The allowance along a vent is too narrow to turn back.
pub fn unfaced(pattern: &Pattern) -> Vec<Fault> {
    let opened = first_edges(pattern).filter_map(|edge| Some((edge, with_opening(pattern, edge, "vent")?)));
    let faults = opened.flat_map(|(edge, (opened, seam))| {
        let own = seam.first.edges()[0].edge.clone();
        [1.0, 12.0, 32.0].map(|by| {
            let (piece, id) = opened.edge(&own).unwrap();
            let narrow = with_piece(&opened, piece, |piece| {
                *piece.edge_settings(id).allowance = Length::from_mm(32.0 - by);
            });
            fault(narrow, format!("{edge} unfaced"), by, [own.to_string()])
        })
    });
    faults.collect()
}

/// An edge is sewn edge to edge with another, and keeps an allowance.
pub fn butted_apart(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for edge in first_edges(pattern) {
        let step = serde_json::json!({"do": "set-edge", "edge": edge.to_string(), "lap": "0mm"});
        let Some(butted) = Step::from_value(&step).ok().and_then(|step| step.apply(pattern).ok()) else {
            continue;
        };
        for by in [1.0, 6.0, 15.0] {
            let (piece, id) = butted.pattern.edge(edge).unwrap();
            let apart = with_piece(&butted.pattern, piece, |piece| {
                *piece.edge_settings(id).allowance = Length::from_mm(by);
            });
            faults.push(fault(apart, format!("{edge} butted"), by, [edge.to_string()]));
        }
    }
    faults
}

fn made_longer(pattern: &Pattern, edge: &EdgeRef, by: f64) -> Option<Fault> {
    let (opened, seam) = with_opening(pattern, edge, "pocket")?;
    let longer = &seam.second.edges()[0].edge;
    let (piece, id) = opened.edge(longer).ok()?;
    let next = piece.next(id);
    let (own, beside) = (&piece.edge(id).curve, &piece.edge(next).curve);
    let both = own.joined(beside).ok().filter(|_| beside.length() > by + 10.0)?;
    let at = own.length() + by;
    let curves = [(id, both.stretch(0.0, at).ok()?), (next, both.stretch(at, both.length()).ok()?)];
    let uneven = with_curves(&opened, piece, &curves)?;
    let names = seam.edges().map(|run| run.edge.to_string());
    Some(fault(uneven, format!("{edge} opened"), by, names))
}

fn is_opening(pattern: &Pattern, seam: &Seam) -> bool {
    seam.edges().all(|run| pattern.find_edge(&run.edge).is_some_and(|edge| edge.open.is_some()))
}

/// An edge is sewn on top of an allowance that does not hold it.
pub fn unheld(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    let others = pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror());
    for (seam, side) in others.flat_map(|seam| Side::BOTH.map(|side| (seam, side))) {
        let edge = &seam.side(side).edges()[0].edge;
        let partners = met_along(pattern, seam, edge).unwrap();
        let allowance = |edge: &EdgeRef| pattern.find_edge(edge).unwrap().cut_allowance().mm();
        let least = partners.iter().map(allowance).fold(f64::INFINITY, f64::min);
        for by in [0.5, 4.0, 20.0] {
            let lap = least - 3.0 + by;
            let (piece, id) = pattern.edge(edge).unwrap();
            if lap <= 0.0 {
                continue;
            }
            let lapped = with_piece(pattern, piece, |piece| {
                let settings = piece.edge_settings(id);
                (*settings.finish, *settings.lap) = (Finish::Free, Some(Length::from_mm(lap)));
            });
            faults.push(fault(lapped, format!("{edge} in {}", seam.name()), by, [edge.to_string()]));
        }
    }
    faults
}
