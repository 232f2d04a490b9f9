//! The seams that a map names, and the finish that each edge then has.

use std::collections::HashSet;
use std::ops::Range;

use crate::adopt::map::{MapSeam, Word, given, span, text};
use crate::adopt::{AdoptNote, MapError};
use crate::pattern::{EdgeRef, Finish, Joins, Pattern, Refusal, Run, Seam, SewnFrom, Walk, orient, settle};
use crate::sheet::agreed;
use crate::tolerance::TOLERATED_MISMATCH;
use crate::units::Length;

/// Adds the seams to a pattern of all pieces, and tells of those whose sides are not of one length.
pub(super) fn sew(
    pattern: &mut Pattern,
    seams: &[MapSeam],
    notes: &mut Vec<AdoptNote>,
) -> Result<(), MapError> {
    let mut joins = Joins::default();
    let mut runs: Vec<(Vec<EdgeRef>, Vec<EdgeRef>)> = Vec::new();
    for seam in seams {
        let (first, second) = (run(pattern, &seam.first)?, run(pattern, &seam.second)?);
        agreed::refuse_sewn_to_itself(&first, &second)
            .map_err(|refusal| MapError::refused(span(&seam.second), &refusal))?;
        if runs.iter().any(|known| is_same(known, &(first.clone(), second.clone()))) {
            let way_out = "take one of the two out";
            return Err(MapError::at(
                span(&seam.first),
                "this seam stands in the map already",
                "twice",
                way_out,
            ));
        }
        joins.add(&first, &second);
        runs.push((first, second));
    }
    for (said, (first, second)) in seams.iter().zip(runs) {
        let at =
            |refusal: Refusal| MapError::refused(span(said.from.as_ref().unwrap_or(&said.second)), &refusal);
        let from = given(said.from.as_ref(), "the end of a seam")?;
        let from = from.map(|from: SewnFrom| from.settled(pattern));
        let (first, second) = orient(pattern, &joins, &first, &second, from.as_ref()).map_err(at)?;
        let ease = given::<Length>(said.ease.as_ref(), "a length")?.unwrap_or_default();
        let seam = Seam { first, second, ease };
        notes.extend(lengths_differ(pattern, &seam).map_err(at)?);
        pattern.add_seam(seam).map_err(at)?;
    }
    Ok(())
}

fn is_same(one: &(Vec<EdgeRef>, Vec<EdgeRef>), other: &(Vec<EdgeRef>, Vec<EdgeRef>)) -> bool {
    one == other || (&one.0, &one.1) == (&other.1, &other.0)
}

/// What is to be told of a seam whose sides differ by more than its ease.
fn lengths_differ(pattern: &Pattern, seam: &Seam) -> Result<Option<AdoptNote>, Refusal> {
    let sewn = |run: &Run| Ok::<f64, Refusal>(Walk::of(pattern, run)?.length());
    let (first, second) = (sewn(&seam.first)?, sewn(&seam.second)?);
    let over = first - second - seam.ease.mm();
    let differ = || AdoptNote::LengthsDiffer { seam: seam.name(), first, second, ease: seam.ease };
    Ok((over.abs() > TOLERATED_MISMATCH).then(differ))
}

fn run(pattern: &Pattern, word: &Word) -> Result<Vec<EdgeRef>, MapError> {
    let mut edges = Vec::new();
    for name in text(word).split_whitespace() {
        let edge: EdgeRef = name.parse().map_err(|error: crate::pattern::NameError| {
            MapError::at(
                span(word),
                format!("`{name}` is not the name of an edge"),
                error,
                "write it like front.side",
            )
        })?;
        let edge = settle(pattern, &edge);
        pattern.edge(&edge).map_err(|refusal| MapError::refused(span(word), &refusal))?;
        edges.push(edge);
    }
    if edges.is_empty() {
        return Err(MapError::at(span(word), "no edge is named", "empty", "write it like front.side"));
    }
    Ok(edges)
}

/// Gives each edge its finish: as said, else a seam where it is sewn and free where it is not.
pub(super) fn finish(
    pattern: &mut Pattern,
    said: &[(EdgeRef, Option<Finish>, Range<usize>)],
) -> Result<(), MapError> {
    let runs = pattern.seams().iter().flat_map(|seam| seam.first.edges().iter().chain(seam.second.edges()));
    let sewn: HashSet<(String, String)> =
        runs.map(|run| (run.edge.piece.to_string(), run.edge.edge.to_string())).collect();
    for (edge, finish, place) in said {
        let is_sewn = sewn.contains(&(edge.piece.to_string(), edge.edge.to_string()));
        let finish = finish.unwrap_or(if is_sewn { Finish::Seam } else { Finish::Free });
        if finish == Finish::Fold && is_sewn {
            let what = format!("`{edge}` is a fold, but is sewn to another");
            let way_out = "make it a seam (finish = \"seam\"), or take the seam out";
            return Err(MapError::at(place.clone(), what, "a fold is not sewn", way_out));
        }
        let refused = |refusal: Refusal| MapError::refused(place.clone(), &refusal);
        let piece = pattern.piece_mut(&edge.piece).map_err(refused)?;
        let id = piece.edge_named(&edge.edge).map_err(refused)?;
        *piece.edge_settings(id).finish = finish;
    }
    Ok(())
}
