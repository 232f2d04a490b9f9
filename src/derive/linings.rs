//! Seams between linings: where two pieces are sewn together, their linings are.

use std::borrow::Cow;

use crate::derive::whole::{laid_together, parts_beneath};
use crate::pattern::{Copy, EdgeRef, MadeFrom, Pattern, Piece, PieceName, Purpose, Run, RunEdge, Seam};

/// The seams of a piece that its lining is sewn in as well: those of which every other piece has a lining too. A seam that
/// the pattern has already is left out.
#[must_use]
pub fn lining_seams(pattern: &Pattern, lining: &Piece, source: &Piece) -> Vec<Seam> {
    let shell = as_lined(pattern);
    let lined = LiningOf { pattern: &shell, lining, source: source.name() };
    let of_source =
        shell.seams().iter().filter(|seam| seam.edges().any(|run| run.edge.piece == *source.name()));
    let mut found: Vec<Seam> = Vec::new();
    for seam in of_source.filter_map(|seam| lined.seam(seam)) {
        let known = |other: &Seam| other.is_same(&seam) || other.is_same(&seam.mirrored());
        if !pattern.seams().iter().chain(&found).any(known) {
            found.push(seam);
        }
    }
    found
}

/// The pattern with pieces that one lining lies on laid together, so that what is sewn to any of them is sewn to what that
/// lining lines. Parts that cannot be laid together stay apart: their lining is refused by itself.
fn as_lined(pattern: &Pattern) -> Cow<'_, Pattern> {
    let mut shell = Cow::Borrowed(pattern);
    for lining in pattern.pieces().filter(|piece| piece.purpose == Purpose::Lining) {
        let Some(parts) = parts_beneath(pattern, lining) else { continue };
        let Ok(together) = laid_together(&shell, parts) else { continue };
        let mut whole = together.pattern;
        if let Ok(lining) = whole.piece_mut(lining.name())
            && let Some(derived) = &mut lining.derived
        {
            derived.from = MadeFrom::Pieces(vec![parts[0].clone()]);
        }
        shell = Cow::Owned(whole);
    }
    shell
}

struct LiningOf<'a> {
    pattern: &'a Pattern,
    lining: &'a Piece,
    source: &'a PieceName,
}

impl LiningOf<'_> {
    /// A seam of the shell as it is sewn of linings; none where a piece has no lining of that edge.
    fn seam(&self, seam: &Seam) -> Option<Seam> {
        seam.on(|run| self.run(run))
    }

    fn run(&self, run: &Run) -> Option<Run> {
        let edges = run.edges().iter().map(|run| {
            let edge = self.edge(&run.edge)?;
            Some(RunEdge { edge, travel: run.travel })
        });
        Run::new(edges.collect::<Option<_>>()?)
    }

    fn edge(&self, edge: &EdgeRef) -> Option<EdgeRef> {
        let lining =
            if edge.piece == *self.source { self.lining } else { lining_of(self.pattern, &edge.piece)? };
        lining.find_edge(&edge.edge)?;
        let has_copy = edge.copy == Copy::Drawn || lining.has_mirrored_copy();
        has_copy.then(|| EdgeRef { piece: lining.name().clone(), ..edge.clone() })
    }
}

/// The lining that was copied from a piece.
fn lining_of<'a>(pattern: &'a Pattern, piece: &PieceName) -> Option<&'a Piece> {
    pattern.pieces().find(|other| {
        let from = other.derived.as_ref().map(|derived| &derived.from);
        other.purpose == Purpose::Lining && from == Some(&MadeFrom::Pieces(vec![piece.clone()]))
    })
}
