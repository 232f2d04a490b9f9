//! What is said of a print: how many pages there are, how large they are put together, what to measure.

use crate::show::print::{Paper, Print, PrintOptions, Use};
use crate::units::{Length, counted};

impl Print {
    /// How many pages there are, and how large they are put together: a sentence for each that is put together by itself.
    #[must_use]
    pub fn pages_told(&self, options: &PrintOptions) -> Vec<String> {
        let show = |mm: f64| Length::from_mm(mm.round()).show(options.unit);
        let paper = options.paper.title();
        match options.on() {
            Use::Together => {
                let told = self.areas.iter().map(|area| {
                    let blank = match area.blank {
                        0 => String::new(),
                        count => format!(", {} left out", counted(count, "blank one")),
                    };
                    let map = match area.before {
                        0 => String::new(),
                        1 => format!("a map, and {} ", area.pages),
                        count => format!("{count} with the map, and {} ", area.pages),
                    };
                    let together = match area.pages {
                        1 => String::new(),
                        _ => {
                            let (wide, high) = (show(area.size.width), show(area.size.height));
                            format!(": {map}to be put together, {wide} by {high}")
                        }
                    };
                    let pieces = counted(area.pieces.len(), "piece");
                    let pages = counted(area.before + area.pages, "page");
                    format!("{pieces} on {pages} of {paper}{blank}{together}")
                });
                told.collect()
            }
            Use::Single => {
                let pieces = self.areas.iter().map(|area| area.pieces.len()).sum();
                let lengths: Vec<String> = self.areas.iter().map(|area| show(area.size.height)).collect();
                let long = match options.paper {
                    Paper::Roll { .. } => format!(", {} long", lengths.join(" and ")),
                    Paper::Sheets(..) | Paper::Light(_) => String::new(),
                };
                let sheets = match self.throw {
                    Some(_) => format!("{} for a projector", counted(self.areas.len(), "page")),
                    None => format!("{} of {paper}", counted(self.areas.len(), "sheet")),
                };
                vec![format!("{} on {sheets}{long}", counted(pieces, "piece"))]
            }
        }
    }

    /// Which letters cannot be printed, if any.
    #[must_use]
    pub fn letters_missing(&self) -> Option<String> {
        let letters: String = self.missing.iter().collect();
        (!letters.is_empty())
            .then(|| format!("these letters cannot be printed, `?` stands for each: {letters}"))
    }

    /// By how much the largest piece would have been off without the correction, where there is one.
    #[must_use]
    pub fn correction_told(&self, options: &PrintOptions) -> Option<String> {
        let (measured, (piece, size)) = options.measured.zip(self.largest_piece())?;
        let (across, down) = measured.error_of(size.width, size.height);
        let tell = |error: Length, way: &str| {
            let more = if error.mm() < 0.0 { "too short" } else { "too long" };
            let error = Length::from_mm(error.mm().abs()).to_tenths();
            format!("{} {more} {way}", error.show(options.unit))
        };
        Some(format!(
            "corrected for bars that measured {measured}; `{}` would have come out {} and {}",
            piece.title,
            tell(across, "across the paper"),
            tell(down, "down it")
        ))
    }

    /// What to measure before cutting.
    #[must_use]
    pub fn how_to_measure(&self) -> &'static str {
        match self.throw {
            Some(_) => {
                "project it at 100 %, and measure squares of the grid both ways, at the corners too: 100 mm"
            }
            None => "print at 100 % (\"actual size\") and measure both bars on every page: 100 mm",
        }
    }
}
