//! What people look at: pages to print, pictures, the report on what was done.
//!
//! [`piece`] draws a piece on the neutral drawing of `canvas`, with all that its user needs at the cutting table;
//! [`mod@print`] puts it on paper at true size, [`picture`] on the screen; [`report`] tells a whole job on one page. May use
//! `canvas`, `curve`, `pattern`, `allowance`, `truing`, `recut`, `sheet`,
//! `cloth`, `units` and `tolerance`: of `cloth` only layouts and the search for them, which finds the shortest roll of
//! paper too. Computes no geometry of sewing of its own.

mod layout;
mod markup;
mod meanings;
pub mod picture;
pub mod piece;
pub mod plans;
pub mod print;
pub mod report;
