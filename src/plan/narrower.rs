//! With which narrower allowances a piece fits its cloth beside a seam that is moved.

use crate::advice;
use crate::cloth::Stock;
use crate::cloth::kept_width::{EdgeBecomes, wider_than};
use crate::pattern::{
    Advice, EdgeRef, Field, Finish, Operation, Pattern, Piece, PieceName, Refusal, Seam, Selvedge,
    Suggestion, settle,
};
use crate::recipe::fitted::fitted;
use crate::recut::{EdgeChoice, MoveSeam, SetAllowance, SetEdge, Step};
use crate::tolerance::{LEAST_NARROWED, SAME_ALLOWANCE};
use crate::truing::Verdict;
use crate::units::Length;

/// Narrower allowances with which a piece fits its cloth.
#[derive(Clone, Debug)]
pub struct Narrower {
    /// The step that sets them.
    pub set: Suggestion,
    /// How the new edge then has to lie.
    pub new_edge: EdgeBecomes,
}

/// The widest allowances, to whole millimetres, with which a piece that is too wide for its cloth fits it when a seam of it
/// is moved, if need be on the selvedge, and nothing becomes untrue: set first on the seam alone, else on those that end at it
/// as well. None for another operation, for a piece that fits as it is, and where no sound allowance is narrow enough.
#[must_use]
pub fn narrower(step: &Step, pattern: &Pattern, stock: &Stock) -> Option<Narrower> {
    let Step::MoveSeam(moved) = step else { return None };
    let moved = MoveSeam { by: None, ..moved.clone() };
    let (_, width) = fitted(&moved.clone().into(), pattern, stock).ok()??;
    wider_than(pattern, &moved.from, width.gives().mm())?;
    let seam = settle(pattern, &moved.seam);
    let seam = pattern.seam(pattern.seam_named(&seam, Some(&moved.from)).ok()?);
    let own = edges_of(seam);
    let beside = [own.clone(), seams_ending_at(pattern, &moved.from, &own)].concat();
    let untrue = |pattern: &Pattern| Verdict::of(pattern).untrue().count();
    let before = untrue(pattern);
    let fits = |edges: &[EdgeRef], allowance: f64| -> Option<EdgeBecomes> {
        let narrowed = set(edges, allowance)?.apply(pattern).ok()?.pattern;
        let (step, width) = fitted(&moved.clone().into(), &narrowed, stock).ok()??;
        let after = step.apply(&narrowed).ok()?.pattern;
        let (after, new_edge) = match wider_than(&after, &moved.from, width.gives().mm()) {
            None => (after, EdgeBecomes::AsItWas),
            Some(_) => (laid_on_selvedge(&moved, &after, width.gives())?.1, EdgeBecomes::FreeOnSelvedge),
        };
        (untrue(&after) <= before).then_some(new_edge)
    };
    [own, beside].into_iter().find_map(|edges| {
        let widest = edges.iter().filter_map(|edge| pattern.find_edge(edge));
        let widest = widest.map(|edge| edge.cut_allowance().mm()).fold(0.0, f64::max);
        let allowance = widest_that((LEAST_NARROWED, widest), |allowance| {
            fits(&wider_edges(pattern, &edges, allowance), allowance).is_some()
        })?;
        let edges = wider_edges(pattern, &edges, allowance);
        let new_edge = fits(&edges, allowance)?;
        let set = Operation::SetAllowance.with(Field::Edges, listed(&edges));
        Some(Narrower { set: set.with(Field::Allowance, Length::from_mm(allowance)), new_edge })
    })
}

/// That the new edge of a piece whose seam was moved is to lie on the selvedge, where the piece is wider than its cloth
/// otherwise and fits it then: what stands out beside the seam is cut off there.
#[must_use]
pub fn on_selvedge(step: &Step, after: &Pattern, gives: Length) -> Option<Suggestion> {
    let Step::MoveSeam(moved) = step else { return None };
    wider_than(after, &moved.from, gives.mm())?;
    let (edge, _) = laid_on_selvedge(moved, after, gives)?;
    Some(Operation::SetEdge.with(Field::Edge, edge).with(Field::Selvedge, "yes"))
}

/// The edge that a piece has at a seam that was moved, and the pattern with that on the selvedge; none where the piece does not
/// fit its cloth then either.
fn laid_on_selvedge(moved: &MoveSeam, after: &Pattern, gives: Length) -> Option<(EdgeRef, Pattern)> {
    let seam = after.seam(after.seam_named(&settle(after, &moved.seam), Some(&moved.from)).ok()?);
    let edge = edges_of(seam).into_iter().find(|edge| edge.piece == moved.from)?;
    let on = SetEdge { selvedge: Some(Selvedge::Yes), ..SetEdge::of(edge.clone()) };
    let laid = Step::from(on).apply(after).ok()?.pattern;
    wider_than(&laid, &moved.from, gives.mm()).is_none().then_some((edge, laid))
}

/// A refusal, with the allowances that would do as its first way out, where there are such.
#[must_use]
pub fn or_narrower(refusal: Refusal, narrower: Option<Narrower>) -> Refusal {
    let Some(Narrower { set, new_edge }) = narrower else { return refusal };
    let fits = match new_edge {
        EdgeBecomes::AsItWas => "with less allowance it fits the cloth: ",
        EdgeBecomes::FreeOnSelvedge => {
            "with less allowance, and its new edge laid on the selvedge afterwards, it fits the cloth: "
        }
    };
    let first = advice!(fits, set, "; or ");
    let parts = first.parts().iter().chain(refusal.way_out.parts()).cloned();
    Refusal { way_out: Advice::of(parts), ..refusal }
}

/// The greatest whole number of mm from one on and under another that will do: what does is no more than what does not.
fn widest_that((least, most): (f64, f64), will_do: impl Fn(f64) -> bool) -> Option<f64> {
    let (mut low, mut high) = (least, (most - SAME_ALLOWANCE).ceil());
    if low >= high || !will_do(low) {
        return None;
    }
    while high - low > 1.0 {
        let middle = f64::midpoint(low, high).floor();
        *(if will_do(middle) { &mut low } else { &mut high }) = middle;
    }
    Some(low)
}

fn set(edges: &[EdgeRef], allowance: f64) -> Option<Step> {
    let edges: EdgeChoice = listed(edges).parse().ok()?;
    Some(SetAllowance::of(edges, Length::from_mm(allowance)).into())
}

fn listed(edges: &[EdgeRef]) -> String {
    edges.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// Those edges whose allowance is wider: no other is made wider by this.
fn wider_edges(pattern: &Pattern, edges: &[EdgeRef], allowance: f64) -> Vec<EdgeRef> {
    let is_wider = |edge: &&EdgeRef| {
        pattern.find_edge(edge).is_some_and(|edge| edge.cut_allowance().mm() > allowance + SAME_ALLOWANCE)
    };
    edges.iter().filter(is_wider).cloned().collect()
}

/// The edges of both sides of a seam, each once.
fn edges_of(seam: &Seam) -> Vec<EdgeRef> {
    let mut edges: Vec<EdgeRef> = Vec::new();
    for run in seam.edges() {
        if !edges.contains(&run.edge) {
            edges.push(run.edge.clone());
        }
    }
    edges
}

/// The edges of the seams that end at a seam on a piece.
fn seams_ending_at(pattern: &Pattern, piece: &PieceName, seam: &[EdgeRef]) -> Vec<EdgeRef> {
    let Some(piece) = pattern.find(piece) else { return Vec::new() };
    let mut found: Vec<EdgeRef> = Vec::new();
    for beside in neighbours(piece, seam) {
        for edge in pattern.seams_of(&beside).flat_map(|id| edges_of(pattern.seam(id))) {
            if !found.contains(&edge) && !seam.contains(&edge) {
                found.push(edge);
            }
        }
    }
    found
}

/// The edges of a piece that are sewn and meet one of some.
fn neighbours(piece: &Piece, seam: &[EdgeRef]) -> Vec<EdgeRef> {
    let own = seam.iter().filter(|edge| edge.piece == *piece.name());
    let own: Vec<_> = own.filter_map(|edge| piece.find_edge(&edge.edge)).collect();
    let beside = own.iter().flat_map(|id| [piece.previous(*id), piece.next(*id)]);
    let sewn = beside.filter(|id| !own.contains(id) && piece.edge(*id).finish == Finish::Seam);
    sewn.map(|id| piece.edge_ref(id)).collect()
}
