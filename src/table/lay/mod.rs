//! The pieces on the cloth: searched for beside the table, moved by hand, kept in the layout file as `lay` writes it.

mod choices;
mod hand;
mod keeping;
mod kept;
mod run;
mod seen;
pub(super) mod serve;

pub(super) use keeping::taken_over;
pub(super) use kept::Layouts;
pub(super) use run::{LayRun, no_cloth, refused as lay_refused};
