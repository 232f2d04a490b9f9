//! Whether as many of each edge are cut as its seam needs, and on the right sides.

use std::collections::HashSet;

use indexmap::IndexMap;

use super::Measures;
use crate::pattern::{Copy, EdgeName, Finish, Pattern, Piece, PieceName, Seam, Twins};
use crate::tolerance::ALIKE;
use crate::truing::corner::corner_angle;
use crate::truing::finding::{Finding, FindingKind, Measured};

/// Seams that join edges of which different numbers are cut, or left and right to all alike; edges to be sewn that
/// belong to no seam.
pub(super) fn copies(measures: &Measures<'_>) -> Vec<Finding> {
    let doubled = doubled_pieces(measures.pattern);
    let mut findings: Vec<Finding> = measures
        .walks
        .iter()
        .flat_map(|walk| seam_copies(measures.pattern, measures.pattern.seam(walk.seam), &doubled))
        .collect();
    for piece in measures.pattern.pieces() {
        for edge in piece.edges() {
            if edge.finish == Finish::Seam && measures.index.held(piece.name(), &edge.name).is_empty() {
                let at = format!("{}.{}", piece.name(), edge.name);
                let found = Finding::over(FindingKind::NotSewn, at, 1.0, 0.0, Measured::Count);
                findings.extend(found.map(Finding::warned));
            }
        }
    }
    findings
}

/// Half pieces that are folded on themselves, as a welt is: their edges are sewn to their own other half, and both
/// layers may be taken into one seam.
fn doubled_pieces(pattern: &Pattern) -> HashSet<&PieceName> {
    let own = pattern.seams().iter().filter(|seam| seam.is_to_own_mirror());
    let names = own.flat_map(|seam| seam.first.edges()).map(|run| &run.edge.piece);
    names.filter(|name| pattern.find(name).is_some_and(|piece| piece.fold().is_some())).collect()
}

/// An edge of a seam: how often the whole garment has it.
struct Available<'a> {
    piece: &'a Piece,
    edge: &'a EdgeName,
    /// On which copies the seam uses it.
    drawn: bool,
    mirrored: bool,
}

impl Available<'_> {
    /// Twice the number of such seams that the copies of this edge make.
    fn seams_twice(&self) -> u32 {
        let used = u32::from(self.drawn) + u32::from(self.mirrored);
        self.piece.times() * 2 / used.max(1)
    }

    /// How many of these seams lie as drawn less how many are mirrored; nothing where a seam takes both copies.
    fn balance(&self) -> Option<i64> {
        let one_sided = match (self.piece.fold(), self.piece.cut.twins) {
            (Some(_), _) | (None, Twins::Mirrored) => 0,
            (None, Twins::Same) => i64::from(self.piece.cut.copies),
        };
        (self.drawn != self.mirrored).then_some(if self.drawn { one_sided } else { -one_sided })
    }

    fn name(&self) -> String {
        format!("{}.{}", self.piece.name(), self.edge)
    }
}

fn available<'a>(pattern: &'a Pattern, seam: &'a Seam) -> Vec<Available<'a>> {
    let mut found: IndexMap<(&PieceName, &EdgeName), Available<'a>> = IndexMap::new();
    for run in seam.first.edges().iter().chain(seam.second.edges()) {
        let Some(piece) = pattern.find(&run.edge.piece) else { continue };
        let key = (&run.edge.piece, &run.edge.edge);
        let entry = found.entry(key).or_insert(Available {
            piece,
            edge: &run.edge.edge,
            drawn: false,
            mirrored: false,
        });
        match run.edge.copy {
            Copy::Drawn => entry.drawn = true,
            Copy::Mirrored => entry.mirrored = true,
        }
    }
    found.into_values().collect()
}

fn seam_copies(pattern: &Pattern, seam: &Seam, doubled: &HashSet<&PieceName>) -> Vec<Finding> {
    let edges = available(pattern, seam);
    let Some((reference, others)) = edges.split_first() else { return Vec::new() };
    let is_doubled = |edge: &Available<'_>| doubled.contains(edge.piece.name());
    let mut findings = Vec::new();
    for other in others {
        let at = format!("{} with {}", reference.name(), other.name());
        let (here, there) = (reference.seams_twice(), other.seams_twice());
        let in_layers =
            (is_doubled(reference) && here == 2 * there) || (is_doubled(other) && there == 2 * here);
        if here != there && !in_layers {
            let more = (f64::from(here) - f64::from(there)) / 2.0;
            findings.extend(Finding::over(FindingKind::CutCount, at, more, 0.0, Measured::Count));
        } else if let (Some(a), Some(b)) = (reference.balance(), other.balance()) {
            let one_sided = if a != 0 { reference.piece } else { other.piece };
            if a != b && !is_alike_on_both_sides(one_sided) {
                let found = Finding::over(FindingKind::CutMirror, at, 1.0, 0.0, Measured::Count);
                findings.extend(found.map(Finding::warned));
            }
        }
    }
    findings
}

/// Whether a piece turned over has the same outline: lengths of edges and angles of corners read the same the other
/// way round.
fn is_alike_on_both_sides(piece: &Piece) -> bool {
    let sides: Vec<(f64, f64)> = piece
        .edge_ids()
        .map(|id| {
            let angle = corner_angle(piece, id, piece.next(id)).unwrap_or(180.0);
            (piece.edge(id).curve.length(), angle)
        })
        .collect();
    let count = sides.len();
    let mirrored_at = |shift: usize| {
        (0..count).all(|i| {
            let (length, angle) = sides[i];
            let mirror = (count + shift - i) % count;
            let mirror_before = (mirror + count - 1) % count;
            (length - sides[mirror].0).abs() <= ALIKE && (angle - sides[mirror_before].1).abs() <= ALIKE
        })
    };
    (0..count).any(mirrored_at)
}
