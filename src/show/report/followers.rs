//! The pieces that were made of others and follow them: facings, linings, strips.

use crate::pattern::{Making, Piece, Purpose};
use crate::show::markup::Markup;
use crate::show::picture::Viewing;
use crate::show::report::{Report, ReportError, figure};
use crate::truing::FindingKind;
use crate::units::listed;

pub(super) fn part(report: &Report<'_>) -> Result<Markup, ReportError> {
    let mut part = Markup::default();
    let followers: Vec<&Piece> = report.now.pieces().filter(|piece| piece.derived.is_some()).collect();
    if followers.is_empty() {
        return Ok(part);
    }
    let rows: Vec<Vec<String>> = followers
        .iter()
        .filter_map(|piece| {
            let derived = piece.derived.as_ref()?;
            let from: Vec<String> = derived.from.to_string().split(' ').map(str::to_owned).collect();
            let agrees = agrees(report, piece).to_owned();
            Some(vec![piece.name().to_string(), word(piece, derived.by).to_owned(), listed(&from), agrees])
        })
        .collect();
    let names = followers.iter().map(|piece| piece.name().clone()).collect();
    figure::pieces(&mut part, "As they are now", names, report.now, None, (report.unit, Viewing::OnPage))?;
    part.table("What they were made of, and whether they agree with it", &COLUMNS, &rows);
    Ok(part)
}

const COLUMNS: [&str; 4] = ["Piece", "Is", "Made of", "Agrees"];

fn word(piece: &Piece, by: Making) -> &'static str {
    match (by, piece.purpose) {
        (Making::Facing, _) => "facing",
        (Making::Strip, _) => "strip",
        (Making::Copy, Purpose::Plain) => "copy",
        (Making::Copy, other) => other.word(),
    }
}

/// Whether a piece is what would be made now, by the checks.
fn agrees(report: &Report<'_>, piece: &Piece) -> &'static str {
    let is_off = report
        .verdict
        .findings()
        .iter()
        .any(|finding| finding.kind == FindingKind::NotFollowed && finding.at == piece.name().as_str());
    if is_off { "no: see above, under Before you cut" } else { "yes" }
}
