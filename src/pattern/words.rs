//! The trade's words in names: what a piece or an edge is, by what it is called.

/// Princess and panel seams.
pub(crate) const PANEL: [&str; 2] = ["princess", "panel"];
/// Shoulders.
pub(crate) const SHOULDER: [&str; 1] = ["shoulder"];
/// Side, underarm, and the leg's two.
pub(crate) const SIDE: [&str; 5] = ["side", "outseam", "inseam", "inside-leg", "underarm"];
/// The middle of the garment.
pub(crate) const CENTRE: [&str; 2] = ["centre", "center"];

/// Toward the front of the body.
pub(crate) const FRONT: [&str; 2] = ["front", "fore"];
/// On the under side.
pub(crate) const UNDER: [&str; 1] = ["under"];
/// Toward the back of the body.
pub(crate) const BACK: [&str; 2] = ["back", "hind"];

/// Toward the upper end.
pub(crate) const UPPER: [&str; 2] = ["upper", "top"];
/// Toward the lower end.
pub(crate) const LOWER: [&str; 2] = ["lower", "bottom"];
/// Away from the body.
pub(crate) const OUTER: [&str; 1] = ["outer"];
/// Toward the neck, or within.
pub(crate) const AT_NECK: [&str; 2] = ["neck", "inner"];

/// Of the body's left, or of its right.
pub(crate) const OF_ONE_SIDE: [&str; 2] = ["left", "right"];

/// Where a sleeve is set in.
pub(crate) const ARMHOLE: [&str; 3] = ["armhole", "scye", "armscye"];
/// The top of a sleeve.
pub(crate) const CAP: [&str; 2] = ["cap", "sleevehead"];

/// Sleeves, and what lies at the end of each.
pub(crate) const SLEEVE: [&str; 1] = ["sleeve"];
/// Cuffs.
pub(crate) const CUFF: [&str; 2] = ["cuff", "wristband"];

/// Facings.
pub(crate) const FACING: [&str; 1] = ["facing"];
/// Facings, linings, and what is put between.
pub(crate) const INNER: [&str; 3] = ["facing", "lining", "interfacing"];
/// What is not seen when the garment is worn.
pub(crate) const INSIDE: [&str; 9] =
    ["facing", "lining", "under", "bag", "interfacing", "interlining", "stay", "inner", "underlining"];

/// Pockets and their parts.
pub(crate) const POCKET: [&str; 3] = ["pocket", "welt", "flap"];
/// Collars and their parts.
pub(crate) const COLLAR: [&str; 2] = ["collar", "lapel"];
/// Bands at an end of the garment.
pub(crate) const BAND: [&str; 6] = ["cuff", "belt", "waistband", "strap", "tie", "band"];
/// Where upper and lower half meet.
pub(crate) const WAIST: [&str; 3] = ["waist", "crotch", "rise"];
/// Where sleeves are set in, of either side.
pub(crate) const SET_IN: [&str; 3] = ["armhole", "cap", "sleeve"];

/// Whether a name holds one of some words whole, in the plural too: `side-front` holds `side`, `outside` does not. A word
/// may have several parts: `inside-leg`. On a mirrored half, `side/m`, the sign of it is no part of the name.
pub(crate) fn says(name: &str, words: &[&str]) -> bool {
    let name = name.strip_suffix("/m").unwrap_or(name);
    let parts: Vec<&str> = name.split(['-', '_']).collect();
    words.iter().any(|word| {
        let wanted: Vec<&str> = word.split('-').collect();
        parts
            .windows(wanted.len())
            .any(|parts| parts.iter().zip(&wanted).all(|(part, word)| is_word(part, word)))
    })
}

fn is_word(part: &str, word: &str) -> bool {
    part == word || part.strip_suffix('s') == Some(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_whole_also_of_several_parts() {
        assert!(says("inside-leg", &SIDE));
        assert!(says("left-inside-leg-2/m", &SIDE));
        assert!(says("side/m", &SIDE));
        assert!(says("sides", &SIDE));
        assert!(!says("outside", &SIDE));
        assert!(!says("inside", &SIDE));
        assert!(!says("leg", &SIDE));
        assert!(says("sleeve_linings", &INSIDE));
    }
}
