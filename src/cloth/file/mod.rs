//! The cloth file: what stands in it, apart from what it means.
//!
//! ```toml
//! [main]
//! width = "37cm"                 # or [["0m", "37.2cm"], ["4m", "36.6cm"]], as measured along the length
//! length = "11.4m"               # or ["2.1m", "1.8m"]: several lengths of it
//! selvedges = "both"             # "left", "right", "none"
//! direction = "one-way"          # or "two-way"
//! crosswise = false
//! gap = "3mm"
//! flaws = [{ at = ["10cm", "2.3m"], size = ["4cm", "2cm"], on = 1 }]
//! stripes = { repeat = "64mm", first = "0mm", along = "width" }   # or { marks = ["40cm", "1.3m"] }; two sets: a plaid
//! # or marks with words, of which only like meets like
//! # stripes = { along = "width", marks = [["12cm", "teal"], ["61cm", "rust"], ["1.02m", "teal"]] }
//! # or colours as measured along the length; of several lengths { on = 2, measured = [...] }
//! # colours = [["0m", "#31525b"], ["22cm", "#7a9e7e"], ["41cm", "#c9b458"]]
//! # or photographs of the cloth laid flat, end to end
//! # pictures = [{ file = "bolt-1.jpg", from = "0m", to = "0.27m", corners = [[102, 88], [3980, 96], [3990, 2950], [95, 2940]], on = 1 }]
//!
//! [[panels]]                     # of a garment taken apart; its cloth needs no table of its own
//! cloth = "main"
//! outline = "panels.svg#skirt-gore"
//! grain = "skirt-gore.grain"
//! copies = 6
//! ```
//!
//! Everything else is refused, on its line.

mod beside;
mod colours;
mod read;
mod tables;
mod write;

pub use beside::{FilesBeside, NoFiles, PanelShape, PanelSource, UnreadBeside};
pub use read::read;
pub use tables::{DIRECTIONS, SELVEDGES};
pub use write::{
    ClothEdit, FlawPlace, KeyValue, PanelsSaid, PictureSaid, StripesSaid, YesOrNo, of_size, with_cloth,
    with_edit, with_files, with_panel_copies, with_panels,
};
