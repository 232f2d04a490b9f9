//! New pieces laid back onto the old ones, as text.

use std::fmt::Write;

use retrue::canvas::clean;
use retrue::pattern::{DeclaredKind, PieceName};
use retrue::resew::ResewnGroup;
use retrue::tolerance::RESEWN_AREA;
use retrue::units::counted;

use crate::cli::report::ResewnReport;

/// A line for each group of pieces that exchanged cloth in a step, and one for all.
pub fn text(resewn: &ResewnReport) -> String {
    let mut text = String::new();
    let mut farthest = 0.0_f64;
    let mut moving = 0;
    for step in &resewn.steps {
        moving += usize::from(!step.groups.is_empty());
        for made in &step.made {
            let of = made.of.iter().map(PieceName::as_str).collect::<Vec<_>>().join(" + ");
            let told = format!("{} lies on {of} within {:.3} mm", made.piece, made.off);
            let _ = writeln!(text, "step {} {}: {}", step.number, step.operation, clean(&told));
        }
        for group in &step.groups {
            farthest = group.held.as_ref().map_or(farthest, |held| farthest.max(held.distance));
            let _ = writeln!(text, "step {} {}: {}", step.number, step.operation, told(group));
        }
    }
    let steps = counted(resewn.steps.len(), "step");
    let against = clean(&resewn.against);
    let _ = match moving {
        0 => writeln!(text, "laid back onto {against}: {steps}, none of which moved a piece"),
        _ => writeln!(
            text,
            "laid back onto {against}: {steps}, {moving} of which moved pieces; what they keep lies within {farthest:.3} mm"
        ),
    };
    text
}

fn told(group: &ResewnGroup) -> String {
    let names = |names: &[PieceName]| names.iter().map(PieceName::as_str).collect::<Vec<_>>().join(" + ");
    let mut text = match group.from == group.to {
        true => names(&group.to),
        false => format!("{} → {}", names(&group.from), names(&group.to)),
    };
    if let Some(held) = &group.held {
        let _ = write!(text, ": within {:.3} mm", held.distance);
    }
    let areas = [
        ("overlaps", group.doubled),
        (if group.into_darts().is_some() { "goes into redrawn darts" } else { "is missing" }, group.missing),
        ("comes back from them", group.regained),
    ];
    for (what, area) in areas.into_iter().filter(|(_, area)| *area > RESEWN_AREA) {
        let _ = write!(text, ", {area:.0} mm² {what}");
    }
    if areas.iter().all(|(_, area)| *area <= RESEWN_AREA) {
        text.push_str(", nothing doubled or missing");
    }
    if let Some(redrawn) = group.redrawn_as_declared() {
        let _ = write!(text, "; drawn anew up to {:.2} mm off: {}", redrawn.distance, declared(group));
    }
    clean(&text).into_owned()
}

/// What is declared, the areas of each kind together, and what was measured.
fn declared(group: &ResewnGroup) -> String {
    let mut sums: Vec<(DeclaredKind, f64)> = Vec::new();
    for declared in &group.declared {
        match sums.iter_mut().find(|(kind, _)| *kind == declared.kind) {
            Some((_, sum)) => *sum += declared.area,
            None => sums.push((declared.kind, declared.area)),
        }
    }
    let parts: Vec<String> =
        sums.iter().map(|(kind, area)| format!("{} {area:+.1} mm²", word(*kind))).collect();
    format!("{} declared, {:+.1} mm² measured", parts.join(", "), group.changed)
}

fn word(kind: DeclaredKind) -> &'static str {
    match kind {
        DeclaredKind::LegsRedrawn => "legs redrawn",
        DeclaredKind::Blend => "blend",
        DeclaredKind::ShapingCarried => "shaping carried",
        DeclaredKind::VoidFilled => "gap filled",
        DeclaredKind::Trued => "trued",
        DeclaredKind::Made => "made of others",
        DeclaredKind::Extended => "extended",
    }
}
