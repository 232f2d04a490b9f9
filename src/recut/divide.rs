//! Dividing edges of a piece: what stands on one stays with the stretch where it lies, and what was sewn stays sewn, the
//! stretches in a run.

use crate::advice;
use crate::parts::assemble::{Assembly, Bit, Part, assemble, bits_round};
use crate::pattern::{EdgeId, EdgeName, EdgeRef, Field, Finish, On, Operation, Piece, Refusal, RefusalKind};
use crate::recut::Work;
use crate::tolerance::LEAST_DIVIDED;

/// Divides an edge at walk distances along its curve, in order; gives its stretches clockwise. The first keeps the name.
///
/// # Errors
///
/// Refuses a fold, a place at a corner or beside another, and one within the mouth of a dart.
pub(super) fn divide(work: &mut Work, edge: &EdgeRef, at: &[f64]) -> Result<Vec<EdgeRef>, Refusal> {
    if at.is_empty() {
        return Ok(vec![EdgeRef::new(edge.piece.clone(), edge.edge.clone())]);
    }
    let piece = work.piece(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    refuse_places(&piece, id, at)?;
    let length = piece.edge(id).curve.length();
    let stops = [&[0.0], at, &[length]].concat();
    let bits = whole_way(&piece).into_iter().flat_map(|bit| match bit {
        Bit::Old { part, edge, .. } if edge == id => {
            stops.windows(2).map(|stop| Bit::Old { part, edge, from: stop[0], to: stop[1] }).collect()
        }
        other => vec![other],
    });
    let parts = vec![Part::whole(&piece, crate::curve::Motion::identity())];
    let divided = at.iter().map(|at| (0, On { edge: id, at: *at })).collect();
    let assembly = Assembly::like(&piece, piece.name().clone(), parts, bits.collect());
    let mut made = assemble(&Assembly { divided, ..assembly })?;
    // It is the same cloth: what it was made from stays what it follows.
    made.piece.derived = piece.derived.clone();
    let mut stretches: Vec<_> = made.map.iter().filter(|mapped| mapped.old.edge == edge.edge).collect();
    stretches.sort_by(|a, b| a.from.total_cmp(&b.from));
    let stretches = stretches.into_iter().map(|mapped| mapped.new.clone()).collect();
    work.replace(&[&piece], vec![made])?;
    Ok(stretches)
}

/// Gives edges of a piece other names; each may have had another's. Gives the edges by their new names.
///
/// # Errors
///
/// Refuses a name that another edge of the piece has, and one that is given twice.
pub(super) fn rename(
    work: &mut Work,
    edges: &[EdgeRef],
    names: &[EdgeName],
) -> Result<Vec<EdgeRef>, Refusal> {
    let mut aside = Vec::new();
    for edge in edges {
        let piece = work.pattern.piece(&edge.piece)?;
        let is_taken = |name: &EdgeName| piece.find_edge(name).is_some() || names.contains(name);
        let name = EdgeName::plain("aside").free(is_taken);
        work.pattern.rename_edge(&edge.piece, &edge.edge, &name)?;
        aside.push(EdgeRef { edge: name, ..edge.clone() });
    }
    for (edge, name) in aside.iter().zip(names) {
        work.pattern.rename_edge(&edge.piece, &edge.edge, name)?;
    }
    Ok(edges.iter().zip(names).map(|(edge, name)| EdgeRef { edge: name.clone(), ..edge.clone() }).collect())
}

/// Makes one edge of two that follow one another clockwise; it keeps the name of the first.
///
/// # Errors
///
/// Refuses what cannot be put together.
pub(super) fn join(work: &mut Work, piece: &Piece, ids: [EdgeId; 2]) -> Result<(), Refusal> {
    let parts = vec![Part::whole(piece, crate::curve::Motion::identity())];
    let assembly = Assembly::like(piece, piece.name().clone(), parts, whole_way(piece));
    let mut made = assemble(&Assembly { continued: vec![ids.map(|id| (0, id))], ..assembly })?;
    made.piece.derived = piece.derived.clone();
    work.replace(&[piece], vec![made])
}

/// All edges of a piece, clockwise from its first.
pub(super) fn whole_way(piece: &Piece) -> Vec<Bit> {
    let first = On { edge: EdgeId(0), at: 0.0 };
    bits_round(piece, 0, first, first)
}

fn refuse_places(piece: &Piece, id: EdgeId, at: &[f64]) -> Result<(), Refusal> {
    let edge = piece.edge_ref(id);
    if piece.edge(id).finish == Finish::Fold {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            &edge,
            "the edge is a fold, and a fold is one line",
            advice!("open the piece out first: ", Operation::Unfold.with(Field::Piece, piece.name())),
        ));
    }
    let length = piece.edge(id).curve.length();
    let stops = [&[0.0], at, &[length]].concat();
    if let Some(stop) = stops.windows(2).find(|stop| stop[1] - stop[0] < LEAST_DIVIDED) {
        return Err(Refusal::new(
            RefusalKind::PlaceOutside,
            &edge,
            format!("a stretch {:.2} mm long would be left of the edge", (stop[1] - stop[0]).max(0.0)),
            format!("name a place at least {LEAST_DIVIDED}mm from its corners"),
        ));
    }
    let mouths = piece.mouths_on(&piece.edge(id).name);
    let within = mouths.iter().find(|(_, mouth)| at.iter().any(|at| mouth.from < *at && *at < mouth.to));
    match within {
        None => Ok(()),
        Some((dart, _)) => Err(Refusal::new(
            RefusalKind::DartInTheWay,
            &edge,
            format!("dart `{}` opens there", dart.name),
            "name a place beside its mouth",
        )),
    }
}
