//! What is laid: each copy of each piece, left and right apart.

use crate::curve::angle_between_lines;
use std::fmt;

use crate::allowance::{AsCut, Halves, cutting_lines};
use crate::cloth::layout::LayError;
use crate::cloth::layout::sheets::Spread;
use crate::cloth::{Stock, WithoutCloth};
use crate::pattern::{ClothName, Pattern, Piece, PieceName, Selvedge, Twins};
use crate::tolerance::{FOLD_ON_GRAIN, MOST_COPIES};

/// Which of the two halves of the body a copy is for. A pattern is drawn for the right half, seen from the right side of
/// the cloth, as is the custom; the left one is its mirror image.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodySide {
    /// It has no partner.
    Only,
    /// As drawn.
    Right,
    /// Mirrored.
    Left,
    /// Both at once, from two layers.
    Pair,
}

/// One copy of a piece, or a pair of them on folded cloth.
#[derive(Clone, Debug)]
pub struct PieceCopy {
    /// The piece.
    pub piece: PieceName,
    /// Its cloth.
    pub cloth: ClothName,
    /// Left or right.
    pub hand: BodySide,
    /// Which of several alike, from 1.
    pub number: u32,
    /// How many alike there are.
    pub of: u32,
    /// Whether it lies opened out or on the fold.
    pub halves: Halves,
    /// Its cutting line as it lies at no turn.
    pub cut: AsCut,
}

impl fmt::Display for PieceCopy {
    /// `front R`, `loop 2 of 5`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.piece)?;
        match self.mark() {
            mark if mark.is_empty() => Ok(()),
            mark => write!(f, " {mark}"),
        }
    }
}

impl PieceCopy {
    /// The first of so many for a half of the body.
    fn first_of(piece: &Piece, halves: Halves, cut: &AsCut, (hand, of): (BodySide, u32)) -> PieceCopy {
        PieceCopy {
            piece: piece.name().clone(),
            cloth: piece.cloth.clone(),
            hand,
            number: 1,
            of,
            halves,
            cut: if hand == BodySide::Left { cut.mirrored() } else { cut.clone() },
        }
    }

    /// One for each half of the body that a piece is cut for, as they lie opened out on a single layer.
    pub(super) fn of_each_hand(piece: &Piece, cut: &AsCut) -> Vec<PieceCopy> {
        let hands = hands(piece, Halves::Opened, Spread::Single).into_iter();
        hands.map(|hand| PieceCopy::first_of(piece, Halves::Opened, cut, hand)).collect()
    }

    /// What tells it from the other copies: `R`, `L 2`, `3 of 5`; nothing of a piece cut once.
    #[must_use]
    pub fn mark(&self) -> String {
        let hand = match self.hand {
            BodySide::Only if self.of > 1 => return format!("{} of {}", self.number, self.of),
            BodySide::Only => return String::new(),
            BodySide::Right => "R",
            BodySide::Left => "L",
            BodySide::Pair => "R + L",
        };
        if self.of > 1 { format!("{hand} {}", self.number) } else { hand.to_owned() }
    }
}

/// The copies to be laid, and the pieces whose cloth is not at hand.
pub(super) struct PieceCopies {
    pub(super) copies: Vec<PieceCopy>,
    pub(super) without_cloth: Vec<WithoutCloth>,
}

impl PieceCopies {
    pub(super) fn of(pattern: &Pattern, stock: &Stock, spread: Spread) -> Result<PieceCopies, LayError> {
        let lines = cutting_lines(pattern)?;
        let without_cloth = stock.pieces_without(pattern).collect();
        let mut found = PieceCopies { copies: Vec::new(), without_cloth };
        for piece in pattern.pieces().filter(|piece| piece.is_cut()) {
            let (Some(_), Some(line)) = (stock.find(&piece.cloth), lines.of(piece.name())) else { continue };
            let halves = halves_of(piece, spread);
            let cut = AsCut::of(piece, line, halves)?;
            let cut = if spread == Spread::Folded { facing_fold(piece, halves, cut) } else { cut };
            found.add(piece, halves, &cut, spread)?;
        }
        Ok(found)
    }

    fn add(&mut self, piece: &Piece, halves: Halves, cut: &AsCut, spread: Spread) -> Result<(), LayError> {
        let count = piece.cut.copies;
        let hands = hands(piece, halves, spread);
        let room = (MOST_COPIES - self.copies.len()) as u64;
        if hands.iter().map(|(_, of)| u64::from(*of)).sum::<u64>() > room {
            return Err(LayError::TooMany { piece: piece.name().clone(), count });
        }
        for hand in hands {
            let first = PieceCopy::first_of(piece, halves, cut, hand);
            self.copies.extend((1..=first.of).map(|number| PieceCopy { number, ..first.clone() }));
        }
        Ok(())
    }
}

/// For which halves of the body a piece is cut, and how often for each.
fn hands(piece: &Piece, halves: Halves, spread: Spread) -> Vec<(BodySide, u32)> {
    let count = piece.cut.copies;
    let is_pair = piece.cut.twins == Twins::Mirrored;
    match (spread, halves) {
        (Spread::Folded, Halves::Opened) if is_pair => vec![(BodySide::Pair, count / 2)],
        (Spread::Single, _) if is_pair => vec![(BodySide::Right, count / 2), (BodySide::Left, count / 2)],
        _ => vec![(BodySide::Only, count)],
    }
}

/// On folded cloth a half piece stays half where its fold lies along the grain, as the fold of the cloth does.
fn halves_of(piece: &Piece, spread: Spread) -> Halves {
    let Some(fold) = piece.fold().filter(|_| spread == Spread::Folded) else { return Halves::Opened };
    let curve = &piece.edge(fold).curve;
    let (along, grain) = (curve.end() - curve.start(), piece.grain_or_down());
    let off = angle_between_lines(along, grain).degrees();
    if off <= FOLD_ON_GRAIN { Halves::OnFold } else { Halves::Opened }
}

/// On folded cloth either face of a pair may be up: the one whose fold lies at the left, or else whose edge on the
/// selvedge lies at the right.
fn facing_fold(piece: &Piece, halves: Halves, cut: AsCut) -> AsCut {
    let (edge, belongs_left) = match (halves, piece.fold()) {
        (Halves::OnFold, Some(fold)) => (Some(piece.edge(fold)), true),
        _ => (piece.edges().iter().find(|edge| edge.selvedge == Selvedge::Yes), false),
    };
    let Some(edge) = edge else { return cut };
    let middle = kurbo::Shape::bounding_box(cut.path()).center().x;
    let lies_left = edge.curve.moved(cut.from_sheet()).bounds().center().x < middle;
    if lies_left == belongs_left { cut } else { cut.mirrored() }
}
