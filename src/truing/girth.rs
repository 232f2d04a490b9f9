//! The girth of the whole garment along its levels.

use indexmap::IndexMap;

use super::wedge::{Wedge, folded};
use crate::pattern::{GirthUse, Level, LevelName, Pattern, Piece, PieceName};
use crate::units::Length;

/// The finished width of the whole garment along a level.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Girth {
    /// The level.
    pub level: LevelName,
    /// Around the garment: the net width of every piece times how often its drawn shape counts.
    pub around: Length,
    /// The net width of each piece that carries the level, as drawn: of one copy, and of a half piece one half.
    pub parts: Vec<(PieceName, Length)>,
}

/// The girth along every level that counts, in the order in which the levels first stand on the pieces.
///
/// It is net of darts and reaches between the level's drawn ends. Pieces without the level, or with it left out,
/// do not count.
#[must_use]
pub fn girths(pattern: &Pattern) -> Vec<Girth> {
    let mut found: IndexMap<LevelName, Girth> = IndexMap::new();
    for piece in pattern.pieces() {
        for (level, width) in widths(piece) {
            let girth = found.entry(level.clone()).or_insert_with(|| Girth {
                level: level.clone(),
                around: Length::ZERO,
                parts: Vec::new(),
            });
            girth.around = Length::from_mm(girth.around.mm() + width * f64::from(piece.times()));
            girth.parts.push((piece.name().clone(), Length::from_mm(width)));
        }
    }
    found.into_values().collect()
}

/// The net width along each level of a piece that counts, mm.
fn widths(piece: &Piece) -> IndexMap<&LevelName, f64> {
    let mut widths = IndexMap::new();
    let counting = || piece.levels.iter().filter(|level| level.girth == GirthUse::Counts);
    if counting().next().is_none() {
        return widths;
    }
    let wedges = Wedge::all_of(piece);
    for level in counting() {
        *widths.entry(&level.name).or_insert(0.0) += net_width(&wedges, level);
    }
    widths
}

fn net_width(wedges: &[Wedge<'_>], level: &Level) -> f64 {
    let net = |&(from, to): &(_, _)| {
        let taken: f64 = folded(wedges, (from, to)).iter().map(|part| part.to - part.from).sum();
        (to - from).hypot() - taken
    };
    level.stretches.iter().map(net).sum()
}
