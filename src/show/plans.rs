//! Alternatives of a plan on one page, side by side: what each does, what it costs, how its pieces look and how they lie.

use crate::cloth::layout::used_of;
use crate::pattern::{EdgeRef, Piece, PieceName, Seen, seen};
use crate::plan::{Alternative, LengthUsed};
use crate::show::markup::{Markup, page};
use crate::show::picture::{Picture, PictureError, PictureOptions, Viewing};
use crate::units::{Length, Unit, counted, counted_as};

/// Where an alternative was written, as the page beside it calls it, and how it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanFiles {
    /// The recipe.
    pub recipe: String,
    /// The layout.
    pub layout: String,
    /// The command that does it.
    pub command: String,
}

/// The page of alternatives, the best first. Layouts are shown from their files.
///
/// # Errors
///
/// A piece cannot be drawn.
pub fn plans(
    title: &str,
    alternatives: &[(&Alternative, PlanFiles)],
    unit: Unit,
) -> Result<String, PictureError> {
    let mut all = Markup::default();
    for (number, (alternative, files)) in (1..).zip(alternatives) {
        let picture = picture(alternative, number, unit)?;
        all.within("article", &[("class", "plan")], |article| {
            article.within("h2", &[], |heading| {
                heading.sentence(&format!("{number}. {}", headline(alternative)));
            });
            if !alternative.done.is_empty() {
                article.within("p", &[], |how| how.sentence(&alternative.sentence()));
            }
            if let Some(untrue) = alternative.untrue(unit) {
                article.element("p", &[("class", "untrue")], &format!("Not true: {untrue}"));
            }
            article.list("ul", &[], &figures(alternative, unit));
            article.drawing(&picture.in_page());
            article.within("p", &[], |layout| {
                layout.within("a", &[("href", &files.layout)], |link| {
                    let alt = format!("Layout of alternative {number}");
                    link.empty("img", &[("src", &files.layout), ("alt", &alt)]);
                });
            });
            article.within("p", &[], |text| text.element("code", &[], &files.command));
        });
    }
    Ok(page(title, |body| {
        body.within("main", &[], |main| {
            main.element(
                "p",
                &[],
                "Drawn heavy, dash and dot: seams that are new. Cutting is final: sew a trial garment first.",
            );
            main.within("div", &[("class", "plans")], |plans| plans.add(all));
        });
    }))
}

/// What it looks like; where nothing is changed, just that.
#[must_use]
pub fn headline(alternative: &Alternative) -> String {
    if alternative.done.is_empty() { alternative.sentence() } else { alternative.look() }
}

/// What speaks against an alternative, what it adds and what it uses, a line for each.
fn figures(alternative: &Alternative, unit: Unit) -> Vec<String> {
    let mut told = uses(alternative, unit);
    if let Some(first) = told.first_mut() {
        *first = format!("drawbacks {:.2}, {first}", alternative.cost.total());
    }
    told
}

/// What an alternative adds to the pattern and what it uses of the cloth, a line for each.
#[must_use]
pub fn uses(alternative: &Alternative, unit: Unit) -> Vec<String> {
    let figures = &alternative.figures;
    let mut told = vec![seams(figures.seams_added)];
    let used = |of: &LengthUsed| used_of(Length::from_mm(of.used), Length::from_mm(of.length), unit);
    told.extend(figures.used.iter().map(|of| format!("{}: {} used", of.name, used(of))));
    let counts = [
        (figures.edges_off_grain, "seamline off the grain", "seamlines off the grain"),
        (figures.crosswise, "piece across the grain", "pieces across the grain"),
        (figures.stripes_lost, "seam where the cloth cannot match", "seams where the cloth cannot match"),
    ];
    let counts = counts.into_iter().filter(|(count, ..)| *count > 0);
    told.extend(counts.map(|(count, one, more)| counted_as(count as usize, one, more)));
    told.extend(figures.looked_at_twice(unit));
    if !figures.companion.is_empty() {
        let names: Vec<&str> = figures.companion.iter().map(PieceName::as_str).collect();
        told.push(format!("from other cloth: {}", names.join(", ")));
    }
    told
}

fn seams(added: i64) -> String {
    match added {
        0 => "no more seams than before".to_owned(),
        added if added > 0 => counted(added.unsigned_abs() as usize, "more seam"),
        fewer => counted(fewer.unsigned_abs() as usize, "fewer seam"),
    }
}

/// A picture of the pieces of an alternative that go round the body and of those that are not as they were, and of all where
/// there is none of either.
///
/// # Errors
///
/// A piece cannot be drawn.
pub fn picture(alternative: &Alternative, number: usize, unit: Unit) -> Result<Picture, PictureError> {
    let pattern = &alternative.pattern;
    let is_new = |name: &PieceName| {
        let named = |edge: &EdgeRef| edge.piece == *name;
        pattern
            .seam_ids()
            .filter(|id| pattern.is_new_seam(*id))
            .any(|id| pattern.seam(id).edges().any(|run| named(&run.edge)))
    };
    // The garment's front and back, so that new seams are seen among those that stay; and whatever else is new.
    let is_shown = |piece: &&Piece| seen(pattern, piece) == Seen::Body || is_new(piece.name());
    let pieces: Vec<PieceName> =
        pattern.pieces().filter(is_shown).map(|piece| piece.name().clone()).collect();
    let options = PictureOptions { pieces, edge: None, unit, seen: Viewing::Beside };
    let title = format!("Pieces of alternative {number}");
    Picture::of(&title, pattern, None, &options)
}
