//! What does not fit.

use crate::cloth::fit::{Fit, PieceFit};
use crate::pattern::{ClothName, PieceName};

/// What does not fit.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Need {
    /// A piece is too wide.
    TooWide {
        piece: PieceName,
        /// Its width as cut.
        width: f64,
        /// What the cloth gives one of its shape.
        gives: f64,
        /// What the cloth has all along its length.
        all_along: f64,
    },
    /// A piece is longer than the cloth.
    TooLong {
        piece: PieceName,
        /// Its length as cut.
        length: f64,
        /// How long the cloth is.
        longest: f64,
    },
    /// There is too little of a cloth, by area or as it was laid.
    Short { cloth: ClothName },
}

impl Need {
    /// What does not fit of a pattern, that which misses most first. A selvedge that its cloth lacks is no need that a recut
    /// serves: laying it tells.
    pub(super) fn all(fit: &Fit) -> Vec<Need> {
        let mut pieces: Vec<&PieceFit> = fit.pieces.iter().filter(|piece| !piece.is_within()).collect();
        pieces.sort_by(|a, b| miss(b).total_cmp(&miss(a)));
        let of_piece = |piece: &&PieceFit| {
            let name = piece.piece.clone();
            let way = &piece.lengthwise;
            match way.gives {
                Some(gives) => {
                    let all_along = way.all_along.unwrap_or(gives);
                    Need::TooWide { piece: name, width: way.width, gives, all_along }
                }
                None => Need::TooLong { piece: name, length: way.length, longest: way.longest },
            }
        };
        let short = fit.cloths.iter().filter(|area| !area.fits);
        let short = short.map(|area| Need::Short { cloth: area.cloth.clone() });
        pieces.iter().map(of_piece).chain(short).collect()
    }

    /// How many more parts it takes at least.
    pub(super) fn parts(&self) -> f64 {
        match self {
            Need::TooWide { width, gives, .. } => (width / gives).ceil() - 1.0,
            Need::TooLong { length, longest, .. } => (length / longest).ceil() - 1.0,
            Need::Short { .. } => 1.0,
        }
    }
}

/// By how much a piece misses, mm.
pub(super) fn miss(piece: &PieceFit) -> f64 {
    if piece.fits { 0.0 } else { piece.lengthwise.too_wide + piece.lengthwise.too_long }
}

/// By how much all pieces miss, mm.
pub(super) fn total_miss(fit: &Fit) -> f64 {
    fit.pieces.iter().map(miss).sum()
}
