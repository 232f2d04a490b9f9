//! A piece that is pushed onto the strip of other cloth: it is then cut from that.

use kurbo::Affine;

use crate::canvas::path_data;
use crate::pattern::Piece;
use crate::recut::SetPiece;
use crate::table::cloth_drawn::cloth_at;
use crate::table::hand::motion::{BeneathHand, Hand, Held};
use crate::table::snap::SnapSeen;

/// The cloth that a piece is cut from where the hand has it; none where no other cloth than its own lies there.
pub(super) fn laid_on(hand: &Hand, piece: &Piece, ground: BeneathHand<'_>) -> Option<Held> {
    let cloth = cloth_at(ground.pattern, ground.stock?, hand.at())?.name();
    if *cloth == piece.cloth {
        return None;
    }
    let drawn = path_data(&(Affine::translate(hand.at() - hand.from()) * piece.outline().to_path()));
    let place = SnapSeen { says: format!("cut from {cloth} here"), at: hand.at };
    let step = SetPiece { cloth: Some(cloth.clone()), ..SetPiece::of(piece.name().clone()) };
    Some(Held { drawn, snaps: vec![place], ..Held::step(step) })
}
