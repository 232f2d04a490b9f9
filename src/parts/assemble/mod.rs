//! Making a piece of parts of old ones, each carried rigidly.
//!
//! An [`Assembly`] says which stretches of old edges, moved how, and which new lines make up the outline. From it come
//! the new piece and a map from every stretch of an old edge to where it lies now ([`Assembled`]); by that map seams,
//! notches and darts are carried along.

mod assembled;
mod assembly;
mod bridged;
mod draft_edge;
mod way_round;

use crate::parts::carry;
use crate::pattern::{DartShape, Edge, Mouth, Piece, PieceName, Refusal, RefusalKind};
use crate::tolerance::SAME_CUT;

use draft_edge::{DraftEdge, add_bit, drawn_anew, join_ring, map_of, name_apart};

pub(crate) use assembled::{Assembled, Carried, Mapped};
pub(crate) use assembly::{Assembly, Bit, EdgeLook, Part, Unplaced};
pub(crate) use way_round::{bits_round, region, way_round};

/// Makes a piece.
///
/// # Errors
///
/// Refuses where the parts do not meet, where the outline crosses itself, or where a dart would be cut.
pub(crate) fn assemble(assembly: &Assembly) -> Result<Assembled, Refusal> {
    let mut drafts: Vec<DraftEdge> = Vec::new();
    for (bit, laid) in assembly.bits.iter().zip(bridged::laid(assembly)?) {
        if let Some(laid) = laid {
            add_bit(assembly, &mut drafts, bit, laid)?;
        }
    }
    join_ring(assembly, &mut drafts)?;
    name_apart(&mut drafts);
    let drawn_anew = drawn_anew(assembly, &drafts);
    let mut edges = Vec::new();
    for draft in &drafts {
        let curve = draft.curve.clone().ok_or_else(|| empty(&assembly.name))?;
        let kept = &draft.look.kept;
        let is_second = edges.iter().any(|other: &Edge| other.kept == *kept);
        edges.push(Edge {
            name: draft.look.name.clone(),
            curve,
            finish: draft.look.finish,
            allowance: draft.look.allowance,
            selvedge: draft.look.selvedge,
            unsewn: draft.look.unsewn,
            open: draft.look.open,
            lap: draft.look.lap,
            origins: draft.origins.clone(),
            kept: if is_second { kept.once_more() } else { kept.clone() },
        });
    }
    let mut piece = Piece::new(assembly.name.clone(), edges)?;
    piece.cut = assembly.cut;
    piece.cloth = assembly.cloth.clone();
    piece.purpose = assembly.purpose;
    piece.kept = assembly.kept.clone();
    let map = map_of(assembly, &drafts);
    let carried = carry::onto(assembly, &map, &mut piece)?;
    add_new_darts(assembly, &drafts, &mut piece)?;
    Ok(Assembled { piece, map, redrawn: Vec::new(), drawn_anew, carried })
}

fn empty(name: &PieceName) -> Refusal {
    Refusal::new(
        RefusalKind::Geometry,
        name,
        "an edge of the new piece has no length",
        "move the line a little",
    )
}

fn add_new_darts(assembly: &Assembly, drafts: &[DraftEdge], piece: &mut Piece) -> Result<(), Refusal> {
    for (i, new) in assembly.new_darts.iter().enumerate() {
        let mut dart = new.clone();
        dart.name = dart.name.free(|name| piece.darts.iter().any(|other| other.name == *name));
        if let DartShape::Open { mouth, legs } = &mut dart.shape {
            let found = drafts.iter().find_map(|draft| {
                draft.mouths.iter().find(|(dart, ..)| *dart == i).map(|(_, from, to)| (draft, *from, *to))
            });
            let Some((draft, from, to)) = found else { return Err(empty(&assembly.name)) };
            let Some(edge) = piece.find_edge(&draft.look.name) else { return Err(empty(&assembly.name)) };
            let length = piece.edge(edge).curve.length();
            let to = if length - to <= SAME_CUT { length } else { to };
            *mouth = Mouth { edge: draft.look.name.clone(), from, to };
            legs.0 = legs.0.with_ends(piece.point_on(edge, from), legs.0.end())?;
            legs.1 = legs.1.with_ends(piece.point_on(edge, to), legs.0.end())?;
        }
        piece.darts.push(dart);
    }
    Ok(())
}
