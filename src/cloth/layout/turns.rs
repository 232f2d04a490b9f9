//! The turns at which a piece may lie on its cloth.

use crate::cloth::search::Turn;
use crate::cloth::{Cloth, Crosswise, Direction};
use crate::pattern::{Arrows, Piece};
use crate::units::Angle;

/// The turns at which a piece may lie: its grain along the cloth, and what the cloth allows besides. A piece whose
/// stripes are held lies one way, so that they follow one another the same way in all of them.
pub(super) fn turns((piece, cloth): (&Piece, &Cloth), held: bool, tolerance: Angle) -> Vec<Turn> {
    let one_way = cloth.direction == Direction::OneWay
        || piece.grainline.as_ref().is_some_and(|grain| grain.arrows != Arrows::Both);
    let mut degrees = vec![0.0];
    if !one_way && !held {
        degrees.push(180.0);
    }
    if cloth.crosswise == Crosswise::Allowed && !held {
        degrees.push(90.0);
        if !one_way {
            degrees.push(270.0);
        }
    }
    degrees.into_iter().map(|degrees| Turn { degrees, tolerance: tolerance.degrees() }).collect()
}
