//! Which copies are sewn to each other: left to left, right to right, of several alike the first to the first.

use crate::allowance::Halves;
use crate::cloth::layout::copies::{BodySide, PieceCopy};
use crate::cloth::layout::sheets::Ground;
use crate::curve::Motion;
use crate::pattern::{Copy, EdgeRef, Pattern, Piece, PieceName, Seam, WalkPoint};

/// A copy and where it lies.
#[derive(Clone, Copy, Debug)]
pub struct LyingCopy<'a> {
    /// The copy.
    pub copy: &'a PieceCopy,
    /// What it lies on.
    pub ground: &'a Ground,
    /// From the pattern sheet to the cloth.
    pub motion: Motion,
}

/// Which half of the body a seam is on. A pattern is drawn for the right one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodyHalf {
    /// As drawn.
    Right,
    /// Mirrored.
    Left,
}

/// A copy as it serves one half of the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Serving {
    /// Which of those that lie.
    pub(crate) lying: usize,
    /// From the pattern sheet, the piece as drawn, to that half of it on the cloth.
    pub(crate) motion: Motion,
}

/// The copies that one sewing of a seam brings together.
#[derive(Clone, Debug)]
pub(super) struct Sewing {
    pub(super) half: BodyHalf,
    serving: Vec<(PieceName, Copy, Serving)>,
}

impl Sewing {
    /// The copy that a place of the seam is on; none where it is not laid.
    pub(super) fn of(&self, place: &WalkPoint<'_>) -> Option<Serving> {
        let found =
            self.serving.iter().find(|(piece, copy, _)| piece == place.piece.name() && *copy == place.copy);
        found.map(|(.., serving)| *serving)
    }
}

/// How often a seam is sewn, and with which copies: on each half of the body, and as often as there are copies alike.
pub(super) fn sewings(pattern: &Pattern, seam: &Seam, lying: &[LyingCopy<'_>]) -> Vec<Sewing> {
    let mut edges: Vec<&EdgeRef> = Vec::new();
    for run in seam.edges() {
        if !edges.iter().any(|edge| edge.piece == run.edge.piece && edge.copy == run.edge.copy) {
            edges.push(&run.edge);
        }
    }
    let halves: &[BodyHalf] =
        if seam.is_to_own_mirror() { &[BodyHalf::Right] } else { &[BodyHalf::Right, BodyHalf::Left] };
    halves.iter().flat_map(|half| sewings_of_half(pattern, &edges, *half, lying)).collect()
}

fn sewings_of_half(
    pattern: &Pattern,
    edges: &[&EdgeRef],
    half: BodyHalf,
    lying: &[LyingCopy<'_>],
) -> Vec<Sewing> {
    let serving: Vec<(&EdgeRef, Vec<Serving>)> = edges
        .iter()
        .filter_map(|edge| {
            let piece = pattern.find(&edge.piece)?;
            let others = || edges.iter().filter(|other| other.piece != edge.piece);
            let others: Vec<&Piece> = others().filter_map(|other| pattern.find(&other.piece)).collect();
            let half = match edge.copy {
                Copy::Drawn => half,
                Copy::Mirrored => half.other(),
            };
            Some((*edge, serving(piece, &others, half, lying)))
        })
        .collect();
    let count = serving.iter().map(|(_, alike)| alike.len()).max().unwrap_or(0);
    let one = |number: usize| {
        let of = |(edge, alike): &(&EdgeRef, Vec<Serving>)| {
            let serving = alike.get(number % alike.len().max(1))?;
            Some((edge.piece.clone(), edge.copy, *serving))
        };
        Sewing { half, serving: serving.iter().filter_map(of).collect() }
    };
    (0..count).map(one).collect()
}

/// The copies of a piece that serve one half of the body, sewn to some others.
///
/// A piece drawn whole and cut once serves the seam as it is drawn, the right half; of several alike sewn to pieces that
/// have a left and a right, the first half of them serves the right. A pair of pieces that have a fold each, as cuffs,
/// serve the half that they are cut for, and both halves where they are sewn to pieces with a fold only, as the two
/// layers of a yoke.
fn serving(piece: &Piece, others: &[&Piece], half: BodyHalf, lying: &[LyingCopy<'_>]) -> Vec<Serving> {
    let has_halves = |piece: &&Piece| {
        piece.fold().is_some()
            || lying
                .iter()
                .any(|other| other.copy.piece == *piece.name() && other.copy.hand == BodySide::Left)
    };
    let alike_are_shared = others.iter().any(has_halves);
    let spans_the_body = !others.is_empty() && others.iter().all(|other| other.fold().is_some());
    let of_piece = lying.iter().enumerate().filter(|(_, lying)| lying.copy.piece == *piece.name());
    of_piece
        .filter_map(|(place, lying)| {
            let copy = lying.copy;
            let own = match copy.hand {
                BodySide::Right => BodyHalf::Right,
                BodySide::Left => BodyHalf::Left,
                BodySide::Only if piece.fold().is_none() => {
                    let first_half = 2 * copy.number <= copy.of + 1;
                    if first_half || !alike_are_shared { BodyHalf::Right } else { BodyHalf::Left }
                }
                BodySide::Only | BodySide::Pair => BodyHalf::Right,
            };
            let motion = match (copy.hand, piece.fold().is_some()) {
                _ if own == half => Some(lying.motion),
                // On folded cloth the other one lies in the layer beneath.
                (BodySide::Pair, _) => Some(lying.motion.then(&Motion::turned_over())),
                (BodySide::Only, true) => Some(piece.fold_mirroring()?.then(&lying.motion)),
                (BodySide::Right | BodySide::Left, true)
                    if spans_the_body && copy.halves == Halves::Opened =>
                {
                    Some(piece.fold_mirroring()?.then(&lying.motion))
                }
                _ => None,
            };
            motion.map(|motion| Serving { lying: place, motion })
        })
        .collect()
}

impl BodyHalf {
    fn other(self) -> BodyHalf {
        match self {
            BodyHalf::Right => BodyHalf::Left,
            BodyHalf::Left => BodyHalf::Right,
        }
    }
}
