//! The seams that a map names, and the finish that each edge then has.

use std::collections::HashSet;

use crate::adopt::AdoptNote;
use crate::adopt::error::refused_at;
use crate::adopt::make_piece::SaidFinish;
use crate::adopt::map::{MapSeam, Word, given, span, text};
use crate::adopt::undecided::{UndecidedSeam, seam_ways};
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

/// The edges on both sides of a seam.
type Sides = (Vec<EdgeRef>, Vec<EdgeRef>);

/// A seam as the map says it.
struct NamedSeam<'a> {
    /// Its place among the seams of the map.
    at: usize,
    said: &'a MapSeam,
    sides: Sides,
}

/// What is wrong with the seams of a map.
#[derive(Default)]
pub(super) struct WrongSeams {
    pub wrong: Vec<TextFault>,
    /// Those of which nothing tells the ends that meet.
    pub open: Vec<UndecidedSeam>,
}

/// Adds the seams to a pattern, tells of those whose sides are not of one length, and gives back what is wrong with others.
/// One of which nothing tells the ends that meet is laid in the likelier way, so that all else can be told of the pattern.
pub(super) fn sew(
    pattern: &mut Pattern,
    seams: &[MapSeam],
    whole: WholePattern,
    notes: &mut Vec<AdoptNote>,
) -> WrongSeams {
    let mut found = WrongSeams::default();
    let mut joins = Joins::default();
    let mut named: Vec<NamedSeam<'_>> = Vec::new();
    for (at, said) in seams.iter().enumerate() {
        match sides(pattern, said, &named) {
            Ok(sides) => {
                joins.add(&sides.0, &sides.1);
                named.push(NamedSeam { at, said, sides });
            }
            Err(_) if whole == WholePattern::No && !all_made(pattern, said) => {}
            Err(error) => found.wrong.push(error),
        }
    }
    for seam in named {
        match sewn(pattern, &joins, &seam) {
            Ok(SewnByMap { differ, open }) => {
                notes.extend(differ);
                found.open.extend(open);
            }
            Err(error) => found.wrong.push(error),
        }
    }
    found
}

/// The two sides of a seam, which none before it has.
fn sides(pattern: &Pattern, seam: &MapSeam, known: &[NamedSeam<'_>]) -> Result<Sides, TextFault> {
    let (first, second) = (run(pattern, &seam.first)?, run(pattern, &seam.second)?);
    agreed::refuse_sewn_to_itself(&first, &second)
        .map_err(|refusal| refused_at(span(side_named(seam, &refusal)), &refusal))?;
    let sides = (first, second);
    if known.iter().any(|known| is_same(&known.sides, &sides)) {
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

/// A seam that was added.
struct SewnByMap {
    /// What is to be told where its sides are not of one length.
    differ: Option<AdoptNote>,
    /// What is to be said of it first.
    open: Option<UndecidedSeam>,
}

fn sewn(pattern: &mut Pattern, joins: &Joins, named: &NamedSeam<'_>) -> Result<SewnByMap, TextFault> {
    let NamedSeam { at: number, said, sides: (first, second) } = named;
    let at = |refusal: &Refusal| {
        refused_at(span(said.from.as_ref().unwrap_or(side_named(said, refusal))), refusal)
    };
    let from = given(said.from.as_ref(), "the end of a seam")?;
    let from = from.map(|from: SewnFrom| from.settled(pattern));
    let ease = given::<Length>(said.ease.as_ref(), "a length")?.unwrap_or_default();
    let (laid, open) = match orient(pattern, joins, first, second, from.as_ref()) {
        Ok(laid) => (laid, None),
        Err(refusal) => {
            let (fault, ways) = (at(&refusal), seam_ways(pattern, joins, (first, second), &refusal));
            let Some(likely) = ways.first() else { return Err(fault) };
            (likely.laid.clone(), Some(UndecidedSeam { seam: *number, fault, ways }))
        }
    };
    let seam = Seam { first: laid.0, second: laid.1, ease };
    let differ = lengths_differ(pattern, &seam, *number).map_err(|refusal| at(&refusal))?;
    pattern.add_seam(seam).map_err(|refusal| at(&refusal))?;
    Ok(SewnByMap { differ, open })
}

fn is_same(one: &Sides, other: &Sides) -> bool {
    one == other || (&one.0, &one.1) == (&other.1, &other.0)
}

/// What is to be told of a seam whose sides differ by more than its ease.
fn lengths_differ(pattern: &Pattern, seam: &Seam, number: usize) -> Result<Option<AdoptNote>, Refusal> {
    let sewn = |run: &Run| Ok::<f64, Refusal>(Walk::of(pattern, run)?.length());
    let (first, second) = (sewn(&seam.first)?, sewn(&seam.second)?);
    let over = first - second - seam.ease.mm();
    let differ = || AdoptNote::LengthsDiffer { seam: seam.name(), number, first, second, ease: seam.ease };
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
    for SaidFinish { edge, finish, name, unsewn, .. } in said {
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
