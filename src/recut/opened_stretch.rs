//! The stretch of an edge that is left open, made an edge of its own: where it lies, and what it and those beside it are called.

use crate::advice;
use crate::parts::in_the_way::dart_moved;
use crate::pattern::{
    EdgeId, EdgeName, EdgeRef, Opening, Piece, Refusal, RefusalKind, Run, SeamId, Travel, Walk,
};
use crate::recut::Work;
use crate::recut::divide::{divide, rename};
use crate::tolerance::SAME_CUT;

/// A stretch of one edge of a piece.
pub(super) struct OpenedStretch {
    pub edge: EdgeRef,
    /// Walk distances along its curve.
    from: f64,
    to: f64,
    length: f64,
    /// How the seam walks it.
    travel: Travel,
}

/// The stretch of an edge between two distances along a run; it must be all sewn, and on one edge.
pub(super) fn stretch(
    work: &Work,
    run: &Run,
    (from, to): (f64, f64),
    id: SeamId,
) -> Result<OpenedStretch, Refusal> {
    let walk = Walk::of(&work.pattern, run)?;
    let Some((begin, end)) = walk.at(from.max(0.0)).zip(walk.before(to)) else {
        return Err(nowhere(work, id));
    };
    let edge = EdgeRef { copy: begin.copy, ..begin.piece.edge_ref(begin.edge) };
    if (begin.piece.name(), begin.edge, begin.copy) != (end.piece.name(), end.edge, end.copy) {
        return Err(Refusal::new(
            RefusalKind::PlaceOutside,
            &edge,
            format!("the opening runs on from it to `{}`", end.piece.edge_ref(end.edge)),
            "begin and end it on the same edge of either side",
        ));
    }
    let (from, to) = (begin.at.min(end.at), begin.at.max(end.at));
    refuse_stretch(begin.piece, begin.edge, from, to)?;
    let travel = run.edges().iter().find(|run| run.edge == edge).map_or(Travel::Clockwise, |run| run.travel);
    Ok(OpenedStretch { edge, from, to, length: begin.piece.edge(begin.edge).curve.length(), travel })
}

fn nowhere(work: &Work, id: SeamId) -> Refusal {
    let way_out = "draw edges that have a length";
    Refusal::new(RefusalKind::Geometry, work.pattern.seam(id).name(), "the seam has no length", way_out)
}

fn refuse_stretch(piece: &Piece, id: EdgeId, from: f64, to: f64) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    if let Some(purpose) = edge.open {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            piece.edge_ref(id),
            format!("it is left open already, for a {}", purpose.word()),
            "name places on a stretch that is sewn",
        ));
    }
    let over = |mouth: &crate::pattern::Mouth| mouth.from < to && from < mouth.to;
    match piece.mouths_on(&edge.name).iter().find(|(_, mouth)| over(mouth)) {
        None => Ok(()),
        Some((dart, _)) => Err(Refusal::new(
            RefusalKind::DartInTheWay,
            piece.edge_ref(id),
            format!("dart `{}` opens within the opening", dart.name),
            advice!("open it beside the dart, or move the dart first: ", dart_moved(piece, &dart.name)),
        )),
    }
}

/// One of the stretches that an edge is divided in.
#[derive(Clone, Copy, PartialEq)]
enum Bears {
    /// It keeps the edge's name.
    Own,
    /// It is called after what it is open for.
    Opening,
    /// It is numbered.
    Number,
}

/// The names of the stretches of the edges on both sides of an opening, clockwise: what is sewn together bears one name but for
/// the edges' own, and a number that is free on both.
pub(super) fn stretch_names(
    work: &Work,
    sides: &[&OpenedStretch],
    purpose: Opening,
) -> Result<Vec<Vec<EdgeName>>, Refusal> {
    let pieces: Vec<&Piece> =
        sides.iter().map(|side| work.pattern.piece(&side.edge.piece)).collect::<Result<_, _>>()?;
    let opened = |side: &OpenedStretch| side.edge.edge.root().with(purpose.word());
    let numbered = |name: EdgeName, number: u32| if number > 1 { name.with(number) } else { name };
    let free_on_all = |first: u32, name: &dyn Fn(&OpenedStretch) -> EdgeName| {
        let is_free = |number: &u32| {
            let mut sides = sides.iter().zip(&pieces);
            sides.all(|(side, piece)| piece.find_edge(&numbered(name(side), *number)).is_none())
        };
        (first..).find(is_free).unwrap_or(first)
    };
    let hole = free_on_all(1, &opened);
    let rest = free_on_all(2, &|side| side.edge.edge.root());
    let mut given: Vec<Vec<EdgeName>> = Vec::new();
    for (side, piece) in sides.iter().zip(&pieces) {
        let mut parts = side.parts();
        // Both sides are named from the same end of the seam.
        let turned = side.travel != sides[0].travel && parts.len() > 2;
        if turned {
            parts.reverse();
        }
        let names = parts.into_iter().map(|part| {
            let wish = match part {
                Bears::Own => return side.edge.edge.clone(),
                Bears::Opening => numbered(opened(side), hole),
                Bears::Number => numbered(side.edge.edge.root(), rest),
            };
            // Both sides may be edges of one piece.
            let of_other = |name: &EdgeName| {
                sides.iter().zip(&given).any(|(other, names): (&&OpenedStretch, &Vec<EdgeName>)| {
                    other.edge.piece == side.edge.piece && names.contains(name)
                })
            };
            wish.free(|name| piece.find_edge(name).is_some() || of_other(name))
        });
        let names = names.collect();
        given.push(names);
    }
    Ok(given)
}

impl OpenedStretch {
    /// What the edge is divided in, clockwise, as if it were named from its start.
    fn parts(&self) -> Vec<Bears> {
        match (self.from > SAME_CUT, self.to < self.length - SAME_CUT) {
            (false, false) => vec![Bears::Own],
            (true, false) => vec![Bears::Own, Bears::Opening],
            (false, true) => vec![Bears::Opening, Bears::Own],
            (true, true) => vec![Bears::Own, Bears::Opening, Bears::Number],
        }
    }

    /// Makes the stretch an edge of its own; what is beside it is sewn on. The names are those of all, clockwise.
    pub(super) fn divide(&self, work: &mut Work, names: &[EdgeName]) -> Result<EdgeRef, Refusal> {
        let within = |at: &f64| *at > SAME_CUT && *at < self.length - SAME_CUT;
        let at: Vec<f64> = [self.from, self.to].into_iter().filter(within).collect();
        let made = divide(work, &self.edge, &at)?;
        if made.len() == 1 {
            return Ok(self.edge.clone());
        }
        let made = rename(work, &made, names)?;
        Ok(EdgeRef { copy: self.edge.copy, ..made[usize::from(self.from > SAME_CUT)].clone() })
    }
}
