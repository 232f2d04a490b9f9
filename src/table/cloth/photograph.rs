//! A photograph of the cloth that is dropped on the page: it is kept in the folder as it is, under a name of the table's own, and
//! judged by the reader of the cloth.

use serde::Deserialize;

use crate::pattern::ClothName;
use crate::table::said::Refused;
use crate::units::{Length, UnitError};

/// The most that is taken in with a photograph, bytes: one of a hundred million pixels has 50 MB as JPEG.
pub(super) const LARGEST_PHOTOGRAPH: usize = 64 << 20;

/// What is said of a photograph that is dropped; its bytes follow on the next line.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PhotographAsked {
    pub(super) revision: u64,
    pub(super) cloth: ClothName,
    /// The length that it is of, from 0.
    pub(super) on: usize,
    /// Where on that it begins and ends, as it was written.
    pub(super) from: String,
    pub(super) to: String,
    /// The corners of the cloth on it, pixels.
    pub(super) corners: [[f64; 2]; 4],
}

/// What a photograph is, by its first bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PhotographSort {
    Png,
    Jpeg,
}

impl PhotographSort {
    /// None of what is no photograph.
    pub(super) fn of(bytes: &[u8]) -> Option<PhotographSort> {
        match bytes {
            [0x89, b'P', b'N', b'G', ..] => Some(PhotographSort::Png),
            [0xff, 0xd8, ..] => Some(PhotographSort::Jpeg),
            _ => None,
        }
    }

    /// The name of its file, where it is free.
    pub(super) fn file(self) -> &'static str {
        match self {
            PhotographSort::Png => "photograph.png",
            PhotographSort::Jpeg => "photograph.jpg",
        }
    }

    /// What a browser is told that it is.
    pub(super) fn media(self) -> &'static str {
        match self {
            PhotographSort::Png => "image/png",
            PhotographSort::Jpeg => "image/jpeg",
        }
    }
}

/// From where to where on its length a photograph shows the cloth, as it is written.
pub(super) fn stretch(from: &str, to: &str) -> Result<[Length; 2], Refused> {
    let wrong = |error: UnitError| {
        Refused::plain(error, "say from where to where on the cloth it is: from 0m to 0.27m")
    };
    Ok([from.trim().parse().map_err(wrong)?, to.trim().parse().map_err(wrong)?])
}

/// The corners as they are kept: whole pixels.
pub(super) fn whole_pixels(corners: [[f64; 2]; 4]) -> [[f64; 2]; 4] {
    corners.map(|corner| corner.map(f64::round))
}
