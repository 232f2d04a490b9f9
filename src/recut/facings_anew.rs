//! How facings that were drawn by hand can be derived anew, when what they are sewn to was recut.

use crate::derive::{AddFacing, EdgeRun};
use crate::parts::ties::first_greatest;
use crate::pattern::words::says;
use crate::pattern::{
    Edge, EdgeId, EdgeRef, Field, Finish, Operation, Pattern, Piece, PieceName, Suggestion,
};
use crate::recut::Work;
use crate::recut::add_facing::add_facing;
use crate::truing::{Limits, Weight, check};
use crate::units::Length;

/// What lies between facings and is no shell of theirs.
const APART: [&str; 2] = ["facing", "collar"];

/// The steps that would derive a facing anew that was drawn by hand, and with it those that take over an end of it: each along
/// all faced edges of the pieces on which it mainly lies, else along what it is sewn to; as deep as where it meets another
/// facing, else as in the middle of its longest edge. None for what is no facing by its name, and none that would leave
/// the facings untrue.
pub(super) fn facings_anew(pattern: &Pattern, facing: &PieceName) -> Vec<Suggestion> {
    let by_hand: Vec<FacedBy> = pattern
        .pieces()
        .filter(|piece| piece.derived.is_none() && piece.is_facing())
        .map(|piece| FacedBy { piece, along: shell_edges(pattern, piece) })
        .collect();
    let Some(own) = by_hand.iter().position(|by| by.piece.name() == facing) else { return Vec::new() };
    let along: Vec<Vec<EdgeRef>> = by_hand.iter().map(|by| taken_over(pattern, &by_hand, by)).collect();
    let gives = |edge: &EdgeRef| by_hand[own].along.contains(edge) && !along[own].contains(edge);
    let takers = (0..by_hand.len()).filter(|i| *i != own && along[*i].iter().any(gives));
    let by_pieces =
        std::iter::once(own).chain(takers).filter_map(|i| step(pattern, by_hand[i].piece, &along[i]));
    let as_sewn = step(pattern, by_hand[own].piece, &by_hand[own].along);
    let ways = [by_pieces.collect::<Vec<_>>(), as_sewn.into_iter().collect()];
    let names: Vec<&PieceName> = by_hand.iter().map(|by| by.piece.name()).collect();
    let found = ways.into_iter().find(|steps| !steps.is_empty() && is_true_after(pattern, steps, &names));
    found.iter().flatten().map(suggested).collect()
}

/// Whether steps that make facings can be done, and leave nothing untrue of facings.
fn is_true_after(pattern: &Pattern, steps: &[AddFacing], facings: &[&PieceName]) -> bool {
    let mut trial = Work::begin(pattern);
    if steps.iter().any(|step| add_facing(step, &mut trial).is_err()) {
        return false;
    }
    let untrue = check(&trial.done(), &Limits::default());
    let of_facings = |at: &str| facings.iter().any(|name| at.contains(name.as_str()));
    !untrue.iter().any(|found| found.weight == Weight::Untrue && of_facings(&found.at))
}

fn suggested(step: &AddFacing) -> Suggestion {
    let facing = Operation::AddFacing.with(Field::Along, &step.along).with(Field::Depth, step.depth);
    step.name.iter().fold(facing, |facing, name| facing.with(Field::Name, name))
}

/// A facing, and the edges of the shell that it is sewn to.
struct FacedBy<'a> {
    piece: &'a Piece,
    along: Vec<EdgeRef>,
}

fn shell_edges(pattern: &Pattern, facing: &Piece) -> Vec<EdgeRef> {
    let mut found: Vec<EdgeRef> = Vec::new();
    for id in facing.edge_ids() {
        for edge in shell_along(pattern, facing, id) {
            if !found.contains(&edge) {
                found.push(edge);
            }
        }
    }
    found
}

/// The edges of the shell that an edge of a facing is sewn to.
fn shell_along(pattern: &Pattern, facing: &Piece, id: EdgeId) -> Vec<EdgeRef> {
    let own = facing.edge_ref(id);
    let seams = pattern.seams_of(&own).map(|id| pattern.seam(id));
    let runs = seams.filter_map(|seam| Some(seam.side(seam.side_of(&own)?.other()).edges()));
    let shell = runs.filter(|run| run.iter().all(|run| !says(run.edge.piece.as_str(), &APART)));
    shell.flatten().map(|run| run.edge.clone()).collect()
}

/// All faced edges of the pieces of which a facing has more than any other.
fn taken_over(pattern: &Pattern, all: &[FacedBy], by: &FacedBy) -> Vec<EdgeRef> {
    let on = |by: &FacedBy, piece: &PieceName| -> f64 {
        let edges = by.along.iter().filter(|edge| edge.piece == *piece);
        edges.filter_map(|edge| pattern.find_edge(edge)).map(|edge| edge.curve.length()).sum()
    };
    let is_own = |piece: &PieceName| all.iter().all(|other| on(other, piece) <= on(by, piece));
    let mut edges: Vec<EdgeRef> = Vec::new();
    let others = all.iter().filter(|other| other.piece.name() != by.piece.name());
    for edge in by.along.iter().chain(others.flat_map(|other| &other.along)) {
        let lies_on = by.along.iter().any(|own| own.piece == edge.piece);
        if lies_on && is_own(&edge.piece) && !edges.contains(edge) {
            edges.push(edge.clone());
        }
    }
    edges
}

fn step(pattern: &Pattern, facing: &Piece, along: &[EdgeRef]) -> Option<AddFacing> {
    let depth = end_depth(pattern, facing).or_else(|| middle_depth(pattern, facing))?;
    let name = Some(facing.name().clone());
    let depth = Length::from_mm(depth.round());
    (!along.is_empty()).then(|| AddFacing { name, ..AddFacing::of(EdgeRun(along.to_vec()), depth) })
}

/// How deep a facing is where it is sewn to another.
fn end_depth(pattern: &Pattern, facing: &Piece) -> Option<f64> {
    let meets = |id: &EdgeId| {
        pattern.seams_of(&facing.edge_ref(*id)).any(|seam| {
            let mut edges = pattern.seam(seam).edges();
            edges.all(|run| pattern.find(&run.edge.piece).is_some_and(Piece::is_facing))
        })
    };
    let ends = facing.edge_ids().filter(meets);
    ends.map(|id| facing.sewn_length(id)).min_by(f64::total_cmp)
}

/// How deep a facing is in the middle of the longest of its edges that is sewn to the shell.
fn middle_depth(pattern: &Pattern, facing: &Piece) -> Option<f64> {
    let sewn = facing.edge_ids().filter(|id| !shell_along(pattern, facing, *id).is_empty());
    let edges = sewn.map(|id| facing.edge(id));
    let longest = first_greatest(edges, |edge| edge.curve.length())?;
    let middle = longest.curve.point_at(longest.curve.length() / 2.0);
    let free = facing.edges().iter().filter(|edge: &&Edge| edge.finish == Finish::Free);
    free.map(|edge| edge.curve.nearest(middle).distance).min_by(f64::total_cmp)
}
