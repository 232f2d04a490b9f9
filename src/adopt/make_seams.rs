//! The seams that a map names, and the finish that each edge then has.

use std::collections::HashSet;

use crate::adopt::AdoptNote;
use crate::adopt::error::refused_at;
use crate::adopt::make_piece::SaidFinish;
use crate::adopt::map::{MapSeam, Word, given, span, text};
use crate::pattern::{EdgeRef, Finish, Joins, Pattern, Refusal, Run, Seam, SewnFrom, Walk, orient, settle};
use crate::sheet::agreed;
use crate::tolerance::TOLERATED_MISMATCH;
use crate::toml_file::TextFault;
use crate::units::Length;

/// Whether all pieces of a map could be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum WholePattern {
    Yes,
    /// Seams of those that could not are passed over: what is wrong is told of the pieces.
    No,
}

type NamedSides<'a> = (&'a MapSeam, (Vec<EdgeRef>, Vec<EdgeRef>));

/// Adds the seams to a pattern, tells of those whose sides are not of one length, and gives back what is wrong with others.
pub(super) fn sew(
    pattern: &mut Pattern,
    seams: &[MapSeam],
    whole: WholePattern,
    notes: &mut Vec<AdoptNote>,
) -> Vec<TextFault> {
    let mut wrong = Vec::new();
    let mut joins = Joins::default();
    let mut runs: Vec<NamedSides<'_>> = Vec::new();
    for seam in seams {
        match sides(pattern, seam, &runs) {
            Ok(sides) => {
                joins.add(&sides.0, &sides.1);
                runs.push((seam, sides));
            }
            Err(_) if whole == WholePattern::No && !all_made(pattern, seam) => {}
            Err(error) => wrong.push(error),
        }
    }
    for (said, (first, second)) in runs {
        match sewn(pattern, &joins, said, (&first, &second)) {
            Ok(differ) => notes.extend(differ),
            Err(error) => wrong.push(error),
        }
    }
    wrong
}

/// The two sides of a seam, which none before it has.
fn sides(
    pattern: &Pattern,
    seam: &MapSeam,
    known: &[NamedSides<'_>],
) -> Result<(Vec<EdgeRef>, Vec<EdgeRef>), TextFault> {
    let (first, second) = (run(pattern, &seam.first)?, run(pattern, &seam.second)?);
    agreed::refuse_sewn_to_itself(&first, &second)
        .map_err(|refusal| refused_at(span(side_named(seam, &refusal)), &refusal))?;
    let sides = (first, second);
    if known.iter().any(|(_, known)| is_same(known, &sides)) {
        let way_out = "take one of the two out";
        return Err(TextFault::new(
            span(&seam.first),
            "this seam stands in the map already",
            "twice",
            way_out,
        ));
    }
    Ok(sides)
}

/// The side of a seam that a refusal is about: the first where it alone names what is refused.
fn side_named<'a>(seam: &'a MapSeam, refusal: &Refusal) -> &'a Word {
    let names = |side: &Word| text(side).split_whitespace().any(|name| name == refusal.at);
    if names(&seam.first) && !names(&seam.second) { &seam.first } else { &seam.second }
}

/// Whether the pieces that a seam names could be made.
fn all_made(pattern: &Pattern, seam: &MapSeam) -> bool {
    let mut names = [&seam.first, &seam.second].into_iter().flat_map(|side| text(side).split_whitespace());
    names.all(|name| {
        let piece = name.split('.').next().and_then(|piece| piece.parse().ok());
        piece.is_some_and(|piece| pattern.find(&piece).is_some())
    })
}

fn sewn(
    pattern: &mut Pattern,
    joins: &Joins,
    said: &MapSeam,
    (first, second): (&[EdgeRef], &[EdgeRef]),
) -> Result<Option<AdoptNote>, TextFault> {
    let at = |refusal: Refusal| {
        refused_at(span(said.from.as_ref().unwrap_or(side_named(said, &refusal))), &refusal)
    };
    let from = given(said.from.as_ref(), "the end of a seam")?;
    let from = from.map(|from: SewnFrom| from.settled(pattern));
    let (first, second) = orient(pattern, joins, first, second, from.as_ref()).map_err(at)?;
    let ease = given::<Length>(said.ease.as_ref(), "a length")?.unwrap_or_default();
    let seam = Seam { first, second, ease };
    let differ = lengths_differ(pattern, &seam).map_err(at)?;
    pattern.add_seam(seam).map_err(at)?;
    Ok(differ)
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

fn run(pattern: &Pattern, word: &Word) -> Result<Vec<EdgeRef>, TextFault> {
    let mut edges = Vec::new();
    for name in text(word).split_whitespace() {
        let edge: EdgeRef = name.parse().map_err(|error: crate::pattern::NameError| {
            TextFault::new(
                span(word),
                format!("`{name}` is not the name of an edge"),
                error,
                "write it like front.side",
            )
        })?;
        let edge = settle(pattern, &edge);
        pattern.edge(&edge).map_err(|refusal| refused_at(span(word), &refusal))?;
        edges.push(edge);
    }
    if edges.is_empty() {
        return Err(TextFault::new(span(word), "no edge is named", "empty", "write it like front.side"));
    }
    Ok(edges)
}

/// Gives each edge its finish: as said, else a seam where it is sewn and free where it is not.
pub(super) fn finish(pattern: &mut Pattern, said: &[SaidFinish]) -> Result<(), TextFault> {
    let runs = pattern.seams().iter().flat_map(|seam| seam.first.edges().iter().chain(seam.second.edges()));
    let sewn: HashSet<(String, String)> =
        runs.map(|run| (run.edge.piece.to_string(), run.edge.edge.to_string())).collect();
    for SaidFinish { edge, finish, name, unsewn } in said {
        let is_sewn = sewn.contains(&(edge.piece.to_string(), edge.edge.to_string()));
        if let Some(place) = unsewn.as_ref().filter(|_| is_sewn) {
            let what = format!("`{edge}` is sewn to nothing, but a seam of this map names it");
            let way_out = "take this line out, or the seam";
            return Err(TextFault::new(place.clone(), what, "sewn by a seam", way_out));
        }
        let finish = finish.unwrap_or(if is_sewn { Finish::Seam } else { Finish::Free });
        if finish == Finish::Fold && is_sewn {
            let what = format!("`{edge}` is a fold, but is sewn to another");
            let way_out = "make it a seam (finish = \"seam\"), or take the seam out";
            return Err(TextFault::new(name.clone(), what, "a fold is not sewn", way_out));
        }
        let refused = |refusal: Refusal| refused_at(name.clone(), &refusal);
        let piece = pattern.piece_mut(&edge.piece).map_err(refused)?;
        let id = piece.edge_named(&edge.edge).map_err(refused)?;
        *piece.edge_settings(id).finish = finish;
    }
    Ok(())
}
