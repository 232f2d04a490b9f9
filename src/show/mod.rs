//! What people look at: pages to print, pictures, the report on what was done.
//!
//! [`piece`] draws a piece on the neutral drawing of `canvas`, with all that its user needs at the cutting table;
//! [`mod@print`] puts it on paper at true size, [`picture`] on the screen; [`report`] tells a whole job on one page. May use
//! `canvas`, `curve`, `pattern`, `allowance`, `truing`, `recut`, `sheet`,
//! `cloth`, `units` and `tolerance`: of `cloth` only layouts and the search for them, which finds the shortest roll of
//! paper too. Computes no geometry of sewing of its own.
//!
//! # Examples
//!
//! ```
//! use retrue::recut::{Step, Unfold};
//! use retrue::show::picture::{Picture, PictureOptions};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let opened = Step::from(Unfold::of("back".parse()?)).apply(&coat)?.pattern;
//! let picture = Picture::of("The back opened out", &opened, Some(&coat), &PictureOptions::default())?;
//! assert!(picture.svg().contains("The back opened out"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod layout;
mod lifted;
mod markup;
mod meanings;
pub mod picture;
pub mod piece;
pub mod plans;
pub mod print;
pub mod report;
