//! How large a picture comes out where all of it is printed on one page.

use kurbo::Size;

/// What a page of A4 has within margins that every printer keeps, mm, lying.
const A4: Size = Size::new(277.0, 190.0);

/// How much smaller a view is shown on A4, upright or lying.
pub(super) fn on_a4(view: Size) -> f64 {
    let fits = |across: f64, down: f64| (across / view.width).min(down / view.height);
    fits(A4.width, A4.height).max(fits(A4.height, A4.width))
}
