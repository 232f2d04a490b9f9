//! The pictures of before and after, and what has become of each piece.

use crate::pattern::{Finish, Piece, Selvedge};
use crate::show::markup::Markup;
use crate::show::picture::Viewing;
use crate::show::piece::cut_count;
use crate::show::report::changes::{ChangedPieces, is_same_shape};
use crate::show::report::figure::{self, ShownBeside};
use crate::show::report::{Report, ReportError};
use crate::units::{Length, Unit, listed};

/// The pictures of before and after, and what has become of each piece.
pub(super) fn part(report: &Report<'_>) -> Result<Markup, ReportError> {
    let mut part = Markup::default();
    let Some((before, changes)) = report.before.zip(report.changes.as_ref()) else {
        let all = report.now.pieces().map(|piece| piece.name().clone()).collect();
        figure::pieces(&mut part, "As it is", all, report.now, None, (report.unit, Viewing::OnPage))?;
        return Ok(part);
    };
    if !changes.before().is_empty() && !changes.now().is_empty() {
        let both = [
            ShownBeside { word: "Before", pieces: changes.before(), pattern: before },
            ShownBeside { word: "After", pieces: changes.now(), pattern: report.now },
        ];
        figure::pair(&mut part, "The pieces that changed, at one scale", both, report.unit)?;
    }
    let mut named = Markup::default();
    figure::pieces(&mut named, "After", changes.now(), report.now, None, (report.unit, Viewing::OnPage))?;
    if !named.is_empty() {
        part.within("details", &[], |folded| {
            folded.element("summary", &[], "After, with every edge and its length");
            folded.add(named);
        });
    }
    if !changes.kept.is_empty() {
        let kept: Vec<String> = changes.kept.iter().map(|piece| piece.name().to_string()).collect();
        part.element("p", &[], &format!("As they were: {}.", listed(&kept)));
    }
    table(&mut part, changes, report.unit);
    Ok(part)
}

/// What became of each piece, in figures.
pub(super) fn table(part: &mut Markup, changes: &ChangedPieces<'_>, unit: Unit) {
    let size = |piece: &Piece| {
        let bounds = piece.bounds();
        let tenths = |mm: f64| Length::from_mm(mm).to_tenths().show(unit);
        format!("{} × {}", tenths(bounds.width()), tenths(bounds.height()))
    };
    let none = || "–".to_owned();
    let changed = changes.changed.iter().map(|(old, new)| {
        let (was, is) = (size(old), size(new));
        let is = if is == was { "the same".to_owned() } else { is };
        vec![new.name().to_string(), what_changed(old, new, unit).to_owned(), was, is]
    });
    let made =
        changes.made.iter().map(|new| vec![new.name().to_string(), "new".to_owned(), none(), size(new)]);
    let gone =
        changes.gone.iter().map(|old| vec![old.name().to_string(), "gone".to_owned(), size(old), none()]);
    let rows: Vec<Vec<String>> = changed.chain(made).chain(gone).collect();
    if !rows.is_empty() {
        let caption = "Width and height of the seamline as it is drawn, without allowances";
        part.table(caption, &["Piece", "Is", "Before", "After"], &rows);
    }
}

/// What of a piece is other than it was, in a word or two.
fn what_changed(old: &Piece, new: &Piece, unit: Unit) -> &'static str {
    if !is_same_shape(old, new) {
        return "changed";
    }
    match (old.grainline != new.grainline, settings(old, new, unit).is_empty()) {
        (true, true) => "grain turned",
        (true, false) => "grain turned, settings changed",
        (false, false) => "settings changed",
        (false, true) => "changed",
    }
}

/// What was set otherwise on a piece: its cut and cloth, and finish, selvedge and allowance of the edges that it had.
pub(super) fn settings(old: &Piece, new: &Piece, unit: Unit) -> Vec<String> {
    let mut told = Vec::new();
    if old.cut != new.cut {
        told.push(format!("{}: {} instead of {}", new.name(), cut_count(new), cut_count(old)));
    }
    if old.is_cut() != new.is_cut() {
        told.push(format!("{}: {}", new.name(), if new.is_cut() { "cut after all" } else { "not cut" }));
    } else if old.cloth != new.cloth {
        told.push(format!("{}: of {} cloth instead of {}", new.name(), new.cloth, old.cloth));
    }
    for edge in new.edges() {
        let Some(was) = old.find_edge(&edge.name).map(|id| old.edge(id)) else { continue };
        let mut changed = Vec::new();
        // What is sewn on top says so below; a free edge that is sewn would be a riddle.
        let lies_on_top = edge.lap.is_some() && edge.finish == Finish::Free;
        if was.finish != edge.finish && !lies_on_top {
            changed.push(format!("{} instead of {}", finish(edge.finish), finish(was.finish)));
        }
        match (was.selvedge, edge.selvedge) {
            (Selvedge::No, Selvedge::Yes) => changed.push("on the selvedge".to_owned()),
            (Selvedge::Yes, Selvedge::No) => changed.push("no longer on the selvedge".to_owned()),
            _ => {}
        }
        match (was.open, edge.open) {
            (before, Some(open)) if before != Some(open) => {
                changed.push(format!("left open for a {}", open.word()));
            }
            (Some(_), None) => changed.push("no longer left open".to_owned()),
            _ => {}
        }
        match (was.lap, edge.lap) {
            (before, Some(lap)) if before != Some(lap) && lap == Length::ZERO => {
                changed.push("sewn edge to edge".to_owned());
            }
            (before, Some(lap)) if before != Some(lap) => {
                changed.push(format!("sewn on top, {} inside its edge", lap.show(unit)));
            }
            (Some(_), None) => changed.push("no longer sewn on top".to_owned()),
            _ => {}
        }
        let (before, after) = (was.cut_allowance(), edge.cut_allowance());
        if before != after {
            changed.push(format!("allowance {} instead of {}", after.show(unit), before.show(unit)));
        }
        if !changed.is_empty() {
            told.push(format!("{}.{}: {}", new.name(), edge.name, changed.join(", ")));
        }
    }
    told
}

fn finish(finish: Finish) -> &'static str {
    match finish {
        Finish::Seam => "a seam",
        Finish::Hem => "a hem",
        Finish::Fold => "a fold",
        Finish::Free => "a free edge",
    }
}
