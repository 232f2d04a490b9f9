//! Checks of linings: they are sewn to one another, and to the shell only where no other lining could be meant.

use rustc_hash::FxHashSet;

use crate::pattern::{EdgeRef, Pattern, Piece, PieceName, Purpose, Seam, SeamId};
use crate::truing::{Finding, FindingKind, Weight};

/// A lining is sewn to the shell at its free ends: at a neck, under a collar that has no lining, at a hem. Where the
/// shell's edge is itself sewn to another piece that is lined, as at a shoulder or a side, the lining belongs on that
/// piece's lining.
pub(super) fn check(pattern: &Pattern, found: &mut Vec<Finding>) {
    if !pattern.pieces().any(is_lining) {
        return;
    }
    for id in pattern.seam_ids() {
        let seam = pattern.seam(id);
        if joins_lining_to_shell(pattern, seam) && is_between_lined_pieces(pattern, id) {
            let at = seam.name();
            found.push(Finding::of_count(FindingKind::LiningOnShell, at, 0, 1, Weight::Untrue));
        }
    }
}

fn is_lining(piece: &Piece) -> bool {
    piece.purpose == Purpose::Lining
}

fn is_on_lining(pattern: &Pattern, edge: &EdgeRef) -> bool {
    pattern.find(&edge.piece).is_some_and(is_lining)
}

fn joins_lining_to_shell(pattern: &Pattern, seam: &Seam) -> bool {
    let on_lining = |edge: &EdgeRef| is_on_lining(pattern, edge);
    seam.edges().any(|run| on_lining(&run.edge)) && seam.edges().any(|run| !on_lining(&run.edge))
}

/// Whether an edge of the shell in the seam is also sewn to a shell that another seam lines.
fn is_between_lined_pieces(pattern: &Pattern, id: SeamId) -> bool {
    let shell = pattern.seam(id).edges().map(|run| &run.edge).filter(|edge| !is_on_lining(pattern, edge));
    let lined = lined_by_others(pattern, id);
    shell.into_iter().any(|edge| {
        let layers = pattern.seams_of(edge).filter(|layer| *layer != id).map(|layer| pattern.seam(layer));
        let partners = layers.filter_map(|layer| Some(layer.side(layer.side_of(edge)?.other())));
        partners
            .flat_map(|side| side.edges())
            .any(|run| !is_on_lining(pattern, &run.edge) && lined.contains(&run.edge.piece))
    })
}

/// The pieces of the shell to which a lining is sewn by another seam than this.
fn lined_by_others(pattern: &Pattern, id: SeamId) -> FxHashSet<&PieceName> {
    let others = pattern.seam_ids().filter(|other| *other != id).map(|other| pattern.seam(other));
    let lining = others.filter(|seam| joins_lining_to_shell(pattern, seam));
    let shell = lining.flat_map(|seam| seam.edges()).filter(|run| !is_on_lining(pattern, &run.edge));
    shell.map(|run| &run.edge.piece).collect()
}
