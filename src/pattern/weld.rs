//! From edges as they were drawn to a closed outline: ends made equal, in one direction, each name once.

use crate::curve::Outline;
use crate::pattern::{Edge, PieceName, Refusal, RefusalKind};
use crate::tolerance::WELD;

pub(super) fn outline_of(edges: &[Edge]) -> Result<Outline, Refusal> {
    Ok(Outline::new(edges.iter().map(|edge| edge.curve.clone()))?)
}

pub(super) fn refuse_name_twice(piece: &PieceName, edges: &[Edge]) -> Result<(), Refusal> {
    for (i, edge) in edges.iter().enumerate() {
        if edges[..i].iter().any(|other| other.name == edge.name) {
            return Err(Refusal::new(
                RefusalKind::NameTaken,
                piece,
                format!("two edges are named `{}`", edge.name),
                "give one of them another name",
            ));
        }
    }
    Ok(())
}

pub(super) fn weld(piece: &PieceName, edges: &mut [Edge]) -> Result<(), Refusal> {
    if edges.is_empty() {
        return Err(Refusal::new(
            RefusalKind::BadOutline,
            piece,
            "the piece has no edges",
            "draw at least one path with data-kind=\"edge\" around it",
        ));
    }
    let count = edges.len();
    for i in 0..count {
        let j = (i + 1) % count;
        let (end, start) = (edges[i].curve.end(), edges[j].curve.start());
        let gap = end.distance(start);
        if gap > WELD {
            return Err(Refusal::new(
                RefusalKind::BadOutline,
                piece,
                format!(
                    "the outline is open: `{}` ends {gap:.2} mm from where `{}` starts, at ({:.1}mm, {:.1}mm)",
                    edges[i].name, edges[j].name, end.x, end.y
                ),
                format!("draw the two so that they meet within {WELD} mm"),
            ));
        }
        if end != start {
            let joint = end.midpoint(start);
            edges[i].curve = edges[i].curve.with_ends(edges[i].curve.start(), joint)?;
            edges[j].curve = edges[j].curve.with_ends(joint, edges[j].curve.end())?;
        }
    }
    Ok(())
}

/// Turns the outline round; origins are turned with it.
pub(super) fn turn_round(edges: &mut [Edge]) {
    edges.reverse();
    for edge in edges {
        edge.curve = edge.curve.reversed();
        edge.origins.reverse();
        for origin in &mut edge.origins {
            std::mem::swap(&mut origin.from, &mut origin.to);
        }
    }
}
