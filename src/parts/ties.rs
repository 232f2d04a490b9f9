//! Choosing the greatest where several are equally great.
//!
//! Pieces are drawn symmetrical, so that equal numbers are common; their last digits differ with every turn of a piece and
//! with what a sheet rounds. Of equals the first is taken.

use crate::tolerance::SAME_CUT;

/// The first of the things whose number comes within [`SAME_CUT`] of the greatest (mm).
pub(crate) fn first_greatest<T>(
    things: impl IntoIterator<Item = T>,
    number: impl Fn(&T) -> f64,
) -> Option<T> {
    let things: Vec<T> = things.into_iter().collect();
    let greatest = things.iter().map(&number).fold(f64::NEG_INFINITY, f64::max);
    things.into_iter().find(|thing| number(thing) >= greatest - SAME_CUT)
}

/// The first of the things whose number comes within [`SAME_CUT`] of the least (mm).
pub(crate) fn first_least<T>(things: impl IntoIterator<Item = T>, number: impl Fn(&T) -> f64) -> Option<T> {
    first_greatest(things, |thing| -number(thing))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_equals_the_first_is_taken_whatever_their_last_digits() {
        let lengths = [3.0, 7.0 - 1e-7, 7.0, 7.0 + 1e-7, 5.0];
        assert_eq!(first_greatest(0..5, |i| lengths[*i]), Some(1));
        assert_eq!(first_least(0..5, |i| -lengths[*i]), Some(1));
        assert_eq!(first_greatest(0..0, |i| lengths[*i]), None);
    }
}
