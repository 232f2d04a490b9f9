//! What the first page says in words: how to print and put together, and what the finished garment measures.

use kurbo::Size;

use crate::pattern::Pattern;
use crate::show::print::frame::TRIAL;
use crate::show::print::measured::Measured;
use crate::show::print::tiles::Grid;
use crate::truing::{Verdict, girths};
use crate::units::{Length, Unit, counted};

/// Where the lines that are cut already hold what is added.
pub(super) const ALLOWANCES: &str =
    "allowances are drawn in: cut along the solid outer line, stitch along the broken one";

/// How pages are printed and put together, a line for each thing to do.
pub(super) fn of_pages(pages: usize, paper: &str, grid: &Grid, extent: Size, unit: Unit) -> Vec<String> {
    let skipped = match grid.rows * grid.columns - pages {
        0 => String::new(),
        count => format!(", {} left out", counted(count, "blank one")),
    };
    vec![
        format!(
            "{} of {paper} and this map, {} and {}{skipped}; put together {} wide and {} high.",
            counted(pages, "page"),
            counted(grid.rows, "row"),
            counted(grid.columns, "column"),
            whole(extent.width, unit),
            whole(extent.height, unit),
        ),
        "1. Print this page first, at 100 % (\"actual size\"), never \"fit to page\", and measure both bars: where they are \
         off, print again and say what they measure: \"100mm=ACROSSmm x DOWNmm\"."
            .to_owned(),
        "2. Cut off the strips on the left and above along the frame. Lay each page onto the line of the page before, so \
         that the halves of the diamonds and their letters meet, and tape it."
            .to_owned(),
        format!("3. All {ALLOWANCES}."),
        format!("4. Cutting is final: do not cut where a bar measures anything but 100 mm, and {TRIAL}."),
    ]
}

/// What one garment measures around at each level when it is sewn, of sleeves and legs each; nothing where no piece has a
/// level.
pub(super) fn finished(pattern: &Pattern, unit: Unit) -> Option<String> {
    let levels: Vec<String> = girths(pattern)
        .iter()
        .map(|girth| {
            let each = if girth.times > 1 { " each" } else { "" };
            format!("{} {}{each}", girth.level, whole(girth.once().mm(), unit))
        })
        .collect();
    (!levels.is_empty()).then(|| format!("finished garment, around: {}", levels.join(", ")))
}

/// That pages are stretched for a printer that is off, as it stands on each.
pub(super) fn corrected(measured: &Measured) -> String {
    format!("corrected for bars that measured {measured}")
}

/// That the pattern is not true: for the map, and short for where there is little room.
#[derive(Clone, Debug)]
pub(super) struct UntrueNote {
    pub line: String,
    pub short: String,
}

impl UntrueNote {
    /// Nothing where the pattern is true.
    pub(super) fn of(verdict: &Verdict, unit: Unit) -> Option<UntrueNote> {
        let sentence = verdict.sentence(unit)?;
        let number = counted(verdict.untrue().count(), "finding");
        Some(UntrueNote {
            line: format!("NOT TRUE: {sentence}. Mend it before you cut: retrue check"),
            short: format!("NOT TRUE: {number}, see retrue check"),
        })
    }
}

/// A length to a whole millimetre.
fn whole(mm: f64, unit: Unit) -> String {
    Length::from_mm(mm.round()).show(unit)
}
