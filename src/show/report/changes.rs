//! What became of the pieces, and the pictures of before and after.

use crate::curve::Curve;
use crate::pattern::{Dart, Edge, Finish, Pattern, Piece, PieceName, Selvedge};
use crate::show::piece::cut_count;
use crate::show::report::markup::Markup;
use crate::show::report::{Report, ReportError, figure};
use crate::tolerance::REDRAWN;
use crate::units::{Length, Unit};

/// What became of the pieces of a pattern.
#[derive(Clone, Debug, Default)]
pub(super) struct Changes<'a> {
    /// The piece before and after.
    pub changed: Vec<(&'a Piece, &'a Piece)>,
    /// Those that are new.
    pub made: Vec<&'a Piece>,
    /// Those that are no more.
    pub gone: Vec<&'a Piece>,
    /// Those that are as they were.
    pub kept: Vec<&'a Piece>,
}

impl<'a> Changes<'a> {
    pub(super) fn between(before: &'a Pattern, now: &'a Pattern) -> Changes<'a> {
        let mut changes = Changes::default();
        for piece in now.pieces() {
            match before.find(piece.name()) {
                None => changes.made.push(piece),
                Some(old) if is_same(old, piece) => changes.kept.push(piece),
                Some(old) => changes.changed.push((old, piece)),
            }
        }
        changes.gone = before.pieces().filter(|old| now.find(old.name()).is_none()).collect();
        changes
    }

    /// The pieces that are other than now, as they were.
    pub(super) fn before(&self) -> Vec<PieceName> {
        let old = self.changed.iter().map(|(old, _)| *old).chain(self.gone.iter().copied());
        old.map(|piece| piece.name().clone()).collect()
    }

    /// The pieces that are other than before, as they are.
    pub(super) fn now(&self) -> Vec<PieceName> {
        let new = self.changed.iter().map(|(_, new)| *new).chain(self.made.iter().copied());
        new.map(|piece| piece.name().clone()).collect()
    }

    /// Whether any line that is sewn lies elsewhere.
    pub(super) fn is_of_shape(&self) -> bool {
        let redrawn = |(old, new): &(&Piece, &Piece)| !is_same_shape(old, new);
        !self.made.is_empty() || !self.gone.is_empty() || self.changed.iter().any(redrawn)
    }
}

/// Whether a piece is cut and marked as another.
fn is_same(old: &Piece, new: &Piece) -> bool {
    let settings = |edge: &Edge| (edge.name.clone(), edge.finish, edge.selvedge, edge.cut_allowance());
    let near = |a: crate::curve::Point, b: crate::curve::Point| a.distance(b) <= REDRAWN;
    let grain = match (&old.grainline, &new.grainline) {
        (Some(a), Some(b)) => near(a.start, b.start) && near(a.end, b.end),
        (a, b) => a.is_none() && b.is_none(),
    };
    let notches = old.notches.len() == new.notches.len()
        && old
            .notches
            .iter()
            .zip(&new.notches)
            .all(|(a, b)| a.edge == b.edge && a.count == b.count && (a.at - b.at).abs() <= REDRAWN);
    is_same_shape(old, new)
        && old.edges().iter().map(settings).eq(new.edges().iter().map(settings))
        && (old.cut, &old.cloth, &old.corners) == (new.cut, &new.cloth, &new.corners)
        && grain
        && notches
}

/// Whether the seamlines and darts of two pieces lie alike.
fn is_same_shape(old: &Piece, new: &Piece) -> bool {
    let dart = |(a, b): (&Dart, &Dart)| {
        a.name == b.name && lies_as(a.legs().0, b.legs().0) && lies_as(a.legs().1, b.legs().1)
    };
    old.edges().len() == new.edges().len()
        && old.darts.len() == new.darts.len()
        && old.edges().iter().zip(new.edges()).all(|(a, b)| a.name == b.name && lies_as(&a.curve, &b.curve))
        && old.darts.iter().zip(&new.darts).all(dart)
}

/// Whether two curves are one but for what writing and reading rounds.
fn lies_as(a: &Curve, b: &Curve) -> bool {
    /// At so many places they are held against each other; two cubics that agree at ten are one.
    const PLACES: u32 = 10;
    let (mine, theirs) = (a.length(), b.length());
    (0..=PLACES).all(|i| {
        let share = f64::from(i) / f64::from(PLACES);
        a.point_at(mine * share).distance(b.point_at(theirs * share)) <= REDRAWN
    })
}

/// The pictures of before and after, and what has become of each piece.
pub(super) fn part(report: &Report<'_>) -> Result<Markup, ReportError> {
    let mut part = Markup::default();
    let Some((before, changes)) = report.before.zip(report.changes.as_ref()) else {
        let all = report.now.pieces().map(|piece| piece.name().clone()).collect();
        figure::pieces(&mut part, "As it is", all, report.now, None, report.unit)?;
        return Ok(part);
    };
    let caption = if changes.before().is_empty() { "As it is" } else { "Before" };
    figure::pieces(&mut part, caption, changes.before(), before, None, report.unit)?;
    figure::pieces(&mut part, "After", changes.now(), report.now, None, report.unit)?;
    if !changes.kept.is_empty() {
        let kept: Vec<String> = changes.kept.iter().map(|piece| piece.name().to_string()).collect();
        part.element("p", &[], &format!("As they were: {}.", super::listed(&kept)));
    }
    table(&mut part, changes, report.unit);
    Ok(part)
}

/// What became of each piece, in figures.
pub(super) fn table(part: &mut Markup, changes: &Changes<'_>, unit: Unit) {
    let size = |piece: &Piece| {
        let bounds = piece.bounds();
        let tenths = |mm: f64| Length::from_mm((mm * 10.0).round() / 10.0).show(unit);
        format!("{} × {}", tenths(bounds.width()), tenths(bounds.height()))
    };
    let none = || "–".to_owned();
    let changed = changes
        .changed
        .iter()
        .map(|(old, new)| vec![new.name().to_string(), "changed".to_owned(), size(old), size(new)]);
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

/// What was set otherwise on a piece: its cut and cloth, and finish, selvedge and allowance of the edges that it had.
pub(super) fn settings(old: &Piece, new: &Piece, unit: Unit) -> Vec<String> {
    let mut told = Vec::new();
    if old.cut != new.cut {
        told.push(format!("{}: {} instead of {}", new.name(), cut_count(new), cut_count(old)));
    }
    if old.cloth != new.cloth {
        told.push(format!("{}: of {} cloth instead of {}", new.name(), new.cloth, old.cloth));
    }
    for edge in new.edges() {
        let Some(was) = old.find_edge(&edge.name).map(|id| old.edge(id)) else { continue };
        let mut changed = Vec::new();
        if was.finish != edge.finish {
            changed.push(format!("{} instead of {}", finish(edge.finish), finish(was.finish)));
        }
        match (was.selvedge, edge.selvedge) {
            (Selvedge::No, Selvedge::Yes) => changed.push("on the selvedge".to_owned()),
            (Selvedge::Yes, Selvedge::No) => changed.push("no longer on the selvedge".to_owned()),
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
