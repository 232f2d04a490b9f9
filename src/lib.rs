//! Re-cuts sewing-pattern pieces so that a garment fits the cloth at hand, and proves that the new pieces still true up.
//!
//! [`sheet::read`] makes a [`pattern::Pattern`] of a pattern sheet, a [`recut::Step`] makes another of it, or refuses and
//! says why, [`truing::Verdict`] tells whether it is true, and [`sheet::write`] writes it. All lengths are millimetres, y
//! runs down. Each module's own page has an example of what it is for.
//!
//! # Examples
//!
//! The shipped coat's side seam moved until the back, opened out, is 37 cm wide; the coat is as wide around as before.
//!
//! ```
//! use retrue::recut::{MoveSeam, SeamLine, Step};
//! use retrue::sheet;
//! use retrue::truing::{Verdict, girths};
//! use retrue::units::Length;
//!
//! # let file = std::fs::read("fixtures/coat.svg")?;
//! let coat = sheet::read(&file, &sheet::ReadOptions::default())?.pattern;
//! let step: Step = MoveSeam {
//!     to_width: Some(Length::from_mm(185.0).into()),
//!     line: Some(SeamLine::Grain),
//!     ..MoveSeam::of("front.side".parse()?, "back".parse()?)
//! }
//! .into();
//! let narrow = step.apply(&coat)?.pattern;
//!
//! assert!(Verdict::of(&narrow).is_true());
//! for (before, now) in girths(&coat).iter().zip(girths(&narrow)) {
//!     assert!((now.around.mm() - before.around.mm()).abs() < 0.01);
//! }
//! let written = sheet::write(&narrow)?;
//! # assert!(written.contains("back.side"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod adopt;
pub mod allowance;
pub mod canvas;
pub mod cloth;
pub mod curve;
pub mod derive;
pub mod drawing;
pub mod files;
mod parts;
pub mod pattern;
pub mod plan;
pub mod recipe;
pub mod recut;
pub mod resew;
pub mod sheet;
pub mod show;
pub mod table;
pub mod tolerance;
pub mod toml_file;
pub mod truing;
pub mod units;
