//! The proof that no cloth was lost or made: the new pieces laid back onto those they were cut from.

use crate::pattern::PieceName;
use crate::resew::{Deviation, ResewLimits, Resewn, ResewnGroup, ResewnStep};
use crate::show::markup::Markup;
use crate::tolerance::RESEWN_AREA;
use crate::units::listed;

const COLUMNS: [&str; 6] =
    ["Step", "Pieces", "Lines that stay lie within", "Drawn anew by up to", "Overlap", "Cloth missing"];

pub(super) fn part(resewn: Option<&Resewn>) -> Markup {
    let mut part = Markup::default();
    if let Some(resewn) = resewn {
        laid_back(&mut part, resewn);
    }
    part
}

fn laid_back(part: &mut Markup, resewn: &Resewn) {
    let (moving, still): (Vec<&ResewnStep>, Vec<&ResewnStep>) =
        resewn.steps.iter().partition(|step| !step.groups.is_empty());
    let findings = resewn.findings(&ResewLimits::default()).len();
    part.element("p", &[], &verdict(&moving, findings));
    let rows: Vec<Vec<String>> =
        moving.iter().flat_map(|step| step.groups.iter().map(|group| row(step.number, group))).collect();
    if !rows.is_empty() {
        let caption = "Each step laid back by the motions in its record, and measured";
        part.within("div", &[("class", "proof")], |part| part.table(caption, &COLUMNS, &rows));
    }
    if !still.is_empty() {
        let numbers: Vec<String> = still.iter().map(|step| step.number.to_string()).collect();
        let steps = if still.len() == 1 { "Step" } else { "Steps" };
        part.element("p", &[], &format!("{steps} {} moved no cloth.", listed(&numbers)));
    }
}

fn verdict(moving: &[&ResewnStep], findings: usize) -> String {
    let held = moving.iter().flat_map(|step| &step.groups).filter_map(|group| group.held.as_ref());
    let farthest = held.map(|held| held.distance).fold(0.0, f64::max);
    let said = match (moving.is_empty(), findings) {
        (true, 0) => return "No step moved cloth from piece to piece.".to_owned(),
        (_, 0) => "no cloth overlaps or is missing beyond what the steps say",
        (_, 1) => "one thing is not as the steps say: see above, under Before you cut",
        _ => "several things are not as the steps say: see above, under Before you cut",
    };
    format!("Laid back onto the old pieces, lines that stay lie within {}; {said}.", distance(farthest))
}

fn row(number: usize, group: &ResewnGroup) -> Vec<String> {
    let names = |names: &[PieceName]| listed(&names.iter().map(ToString::to_string).collect::<Vec<_>>());
    let pieces = match group.from == group.to {
        true => names(&group.to),
        false => format!("{} → {}", names(&group.from), names(&group.to)),
    };
    let far = |off: Option<&Deviation>| off.map_or_else(|| "–".to_owned(), |off| distance(off.distance));
    let missing = match group.into_darts() {
        Some(darts) if darts > RESEWN_AREA => format!("{}; {darts:.0} mm² into darts", area(0.0)),
        Some(_) => area(0.0),
        None => area(group.missing),
    };
    let (held, redrawn) = (far(group.held.as_ref()), far(group.redrawn_as_declared()));
    vec![number.to_string(), pieces, held, redrawn, area(group.doubled), missing]
}

/// A distance as the law measures it, finer than lengths are told elsewhere.
fn distance(mm: f64) -> String {
    if mm < 0.0005 { "0.001 mm".to_owned() } else { format!("{:.3} mm", (mm * 1000.0).ceil() / 1000.0) }
}

fn area(area: f64) -> String {
    if area > RESEWN_AREA { format!("{area:.0} mm²") } else { "none".to_owned() }
}
