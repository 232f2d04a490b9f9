//! The greatest of a measure that can be offered in place of one that is too much.

/// How nearly the greatest is found, mm.
const FOUND_WITHIN: f64 = 0.1;

/// By how much more is tried than what was still right.
const STEP: f64 = 1.25;

/// The greatest measure from a least one up to the one wished for, up to which all is right, to a tenth of a millimetre: it is sought from the
/// least up, so that it does not hang on the wish. What is offered was tried.
pub fn greatest_offered((least, wish): (f64, f64), is_right: impl Fn(f64) -> bool) -> Option<f64> {
    let mut most: Option<f64> = None;
    let mut next = least;
    let mut wrong = wish;
    while next < wish {
        match is_right(next) {
            true => most = Some(next),
            false if most.is_some() => {
                wrong = next;
                break;
            }
            false => {}
        }
        next *= STEP;
    }
    let mut most = most?;
    while wrong - most > FOUND_WITHIN / 2.0 {
        let middle = f64::midpoint(most, wrong);
        if is_right(middle) { most = middle } else { wrong = middle }
    }
    let told = (most / FOUND_WITHIN + 1e-6).floor() * FOUND_WITHIN;
    [told, told - FOUND_WITHIN].into_iter().find(|told| *told >= least && is_right(*told))
}
