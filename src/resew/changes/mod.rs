//! What of a pattern is other than its recorded steps give.
//!
//! Everything that the model holds is looked at. Its types are taken apart without `..`, so that a field that is added to
//! one of them keeps this from compiling until it is compared here, or is named as what need not be.

mod found;
mod parts;
mod piece;
mod source;

use crate::pattern::{About, Background, Foreign, Pattern, PatternFields, Piece, Seam, Snapped};
use crate::tolerance::REPLAYED;
pub(super) use found::apart;
pub use found::{Change, ChangedSince};
use found::{Changes, GivenAndDrawn, paired};

/// All that is other on a pattern than on the one that its steps give. Where pieces lie on the sheet, in what order they
/// and things on them stand there, and on which side a seam is declared, is no difference.
pub(super) fn since(given: &Pattern, drawn: &Pattern) -> Vec<ChangedSince> {
    let mut changes = Changes::default();
    let PatternFields { pieces, seams, about, record: _held_against_the_steps, background } = given.fields();
    let now = drawn.fields();
    for pair in paired(pieces.values(), now.pieces.values(), |a, b| a.name() == b.name()) {
        match pair {
            GivenAndDrawn::Both(given, drawn) => piece::compare(given, drawn, &mut changes),
            GivenAndDrawn::Given(piece) => changes.missing(piece.name()),
            GivenAndDrawn::Drawn(piece) => changes.added(piece.name()),
        }
    }
    compare_seams(seams, now.seams, &mut changes);
    compare_about(about, now.about, &mut changes);
    compare_backgrounds(background, now.background, &mut changes);
    changes.found
}

/// Whether a piece is other than it was, wherever it lies on the sheet: what it was made of, which its first step writes
/// down, is no difference.
pub fn is_other(before: &Piece, now: &Piece) -> bool {
    let without_origins = |piece: &Piece| {
        let mut piece = piece.clone();
        piece.edge_ids().for_each(|id| piece.edge_settings(id).origins.clear());
        piece
    };
    let mut changes = Changes::default();
    piece::compare(&without_origins(before), &without_origins(now), &mut changes);
    !changes.found.is_empty()
}

/// What is drawn elsewhere than it was read, and is not drawn so on the older sheet: steps write all where it lies.
pub(super) fn drawn_elsewhere(old: &[Snapped], new: &[Snapped]) -> impl Iterator<Item = ChangedSince> {
    let since = new.iter().filter(|new| old.iter().all(|old| !old.is_same(new, REPLAYED)));
    since.map(|snapped| ChangedSince {
        at: snapped.at.clone(),
        change: Change::DrawnElsewhere { snapped: snapped.clone() },
    })
}

/// Seams are known by the ends of edges that they lay together, on whichever side and half they are named.
fn compare_seams(given: &[Seam], drawn: &[Seam], changes: &mut Changes) {
    for pair in paired(given, drawn, |given, drawn| given.named_alike(drawn).is_some()) {
        match pair {
            GivenAndDrawn::Both(other, drawn) => {
                let Some(given) = drawn.named_alike(other) else { continue };
                let Seam { first: _the_same, second: _the_same_too, ease } = &given;
                changes.lengths(drawn.name(), "ease", *ease, drawn.ease);
            }
            GivenAndDrawn::Given(seam) => changes.tell(seam.name(), Change::Missing),
            GivenAndDrawn::Drawn(seam) => changes.tell(seam.name(), Change::Added),
        }
    }
}

fn compare_about(given: &About, drawn: &About, changes: &mut Changes) {
    let About { title, size, measures } = given;
    changes.texts("pattern", "title", title.as_deref(), drawn.title.as_deref());
    changes.texts("pattern", "size", size.as_deref(), drawn.size.as_deref());
    for pair in paired(&measures.0, &drawn.measures.0, |given, drawn| given.0 == drawn.0) {
        match pair {
            GivenAndDrawn::Both((name, given), (_, drawn)) => {
                changes.lengths("pattern", &format!("measure {name}"), *given, *drawn);
            }
            GivenAndDrawn::Given((name, _)) => changes.missing(format!("measure {name}")),
            GivenAndDrawn::Drawn((name, _)) => changes.added(format!("measure {name}")),
        }
    }
}

/// What stands outside the pieces.
const BACKGROUND: &str = "background";

fn compare_backgrounds(given: &Background, drawn: &Background, changes: &mut Changes) {
    let Background { prolog, root_attributes, definitions, foreign } = given;
    source::compare_lists(BACKGROUND, "comment before the drawing", prolog, &drawn.prolog, changes);
    source::compare_attributes("svg", root_attributes, &drawn.root_attributes, changes);
    source::compare_lists(BACKGROUND, "definition", definitions, &drawn.definitions, changes);
    let same = |given: &Foreign, drawn: &Foreign| source::is_same(&given.source, &drawn.source);
    let (mut missing, mut added) = (Vec::new(), Vec::new());
    for pair in paired(foreign, &drawn.foreign, same) {
        match pair {
            GivenAndDrawn::Both(given, drawn) => {
                let Foreign { source, place, extent } = given;
                let apart = parts::places_apart(*place, drawn.place, *extent);
                changes.distance(source::named(source, BACKGROUND), apart);
            }
            GivenAndDrawn::Given(one) => missing.push(one.source.as_str()),
            GivenAndDrawn::Drawn(one) => added.push(one.source.as_str()),
        }
    }
    source::compare_unlike(BACKGROUND, &missing, &added, changes);
}
