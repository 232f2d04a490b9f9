//! What a map leaves unsaid, so that what is usual was taken.

use crate::adopt::found::Found;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::make_piece::SaidFinish;
use crate::adopt::map::{Map, MapPiece, Word, text};
use crate::pattern::{EdgeRef, Finish, Pattern, PieceName};

/// All that a map leaves unsaid of a drawing, and of the pattern that is made of it, in as much as could be made.
pub(super) fn left_unsaid(
    pattern: &Pattern,
    found: &Found,
    map: &Map,
    finishes: &[SaidFinish],
) -> Vec<AdoptNote> {
    let mut notes = finish_unsaid(pattern, map, finishes);
    notes.extend(hems_unsaid(pattern, finishes));
    notes.extend(left_out(found, map));
    let without = |field: fn(&MapPiece) -> &Option<Word>| -> Vec<PieceName> {
        let open = map.pieces.iter().filter(|piece| field(piece).is_none());
        open.filter_map(|piece| text(&piece.name).parse().ok()).collect()
    };
    let (pieces, mut uncounted) = (without(|piece| &piece.drawn), without(|piece| &piece.cut));
    // What lies on a fold is cut once.
    uncounted.retain(|name| pattern.find(name).is_none_or(|piece| piece.fold().is_none()));
    notes.extend((!pieces.is_empty()).then_some(AdoptNote::LineUnsaid { pieces }));
    notes.extend((!uncounted.is_empty()).then_some(AdoptNote::CountUnsaid { pieces: uncounted }));
    let guesses = map.guesses(found).unwrap_or_default();
    let called: Vec<String> = guesses.into_iter().map(|guessed| guessed.called).collect();
    notes.extend((!called.is_empty()).then_some(AdoptNote::Guessed { called }));
    notes
}

/// The edges of each piece that no seam of the map sews, and of which it says no finish.
fn finish_unsaid(pattern: &Pattern, map: &Map, finishes: &[SaidFinish]) -> Vec<AdoptNote> {
    // A seam that could not be made yet is one nonetheless.
    let sides = map.seams.iter().flat_map(|seam| [text(&seam.first), text(&seam.second)]);
    let sewn: Vec<EdgeRef> =
        sides.flat_map(str::split_whitespace).filter_map(|edge| edge.parse().ok()).collect();
    let is_sewn =
        |edge: &EdgeRef| sewn.iter().any(|sewn| (&sewn.piece, &sewn.edge) == (&edge.piece, &edge.edge));
    let mut notes: Vec<AdoptNote> = Vec::new();
    let open = finishes.iter().filter(|said| {
        said.finish.is_none()
            && !is_sewn(&said.edge)
            && pattern.find_edge(&said.edge).is_some_and(|found| found.finish == Finish::Free)
    });
    for SaidFinish { edge, .. } in open {
        match notes.last_mut() {
            Some(AdoptNote::Unsaid { piece, edges }) if *piece == edge.piece => edges.push(edge.edge.clone()),
            _ => notes.push(AdoptNote::Unsaid { piece: edge.piece.clone(), edges: vec![edge.edge.clone()] }),
        }
    }
    notes
}

/// The hems of which the map does not say how deep they are.
fn hems_unsaid(pattern: &Pattern, finishes: &[SaidFinish]) -> Option<AdoptNote> {
    let open = finishes.iter().filter(|said| said.finish == Some(Finish::Hem) && said.allowance.is_none());
    let hems: Vec<_> =
        open.filter_map(|said| Some((said.edge.clone(), pattern.find_edge(&said.edge)?.allowance))).collect();
    (!hems.is_empty()).then_some(AdoptNote::HemsUnsaid { hems })
}

/// The outlines that the map does not name.
fn left_out(found: &Found, map: &Map) -> Option<AdoptNote> {
    let checks: Vec<&str> = found.scale.checks.iter().map(|check| check.letter.as_str()).collect();
    let said = |letter: &str| {
        let is = |piece: &MapPiece| {
            text(&piece.outline) == letter
                || piece.darts.iter().any(|dart| {
                    dart.drawn
                        .as_ref()
                        .is_some_and(|drawn| text(drawn).split_whitespace().any(|word| word == letter))
                })
        };
        map.pieces.iter().any(is)
            || map.ignore.iter().any(|word| text(word) == letter)
            || checks.contains(&letter)
    };
    let outlines = found.outlines.iter().map(|outline| outline.letter.as_str());
    let letters: Vec<String> = outlines.filter(|letter| !said(letter)).map(str::to_owned).collect();
    (!letters.is_empty()).then_some(AdoptNote::OutlinesLeftOut { letters })
}
