//! The cutting table in the browser: the pieces, the cloth and what has been done, seen and taken hold of.
//!
//! ```text
//! page/  ── wishes ──>  server ──> table ──> folder   (recipe.toml first, then pattern.svg; .retrue/undo)
//!        <── answers ──  (guard)    │
//!                                   ├─ made    the recipe done on its pattern, step by step
//!                                   ├─ hand    what is under the hand, as a step; snap: what it is drawn to
//!                                   ├─ form    what can be done with a thing, by each operation's own definition
//!                                   └─ seen    what of it a person is shown; words: how that is read
//! ```
//!
//! [`Table`] is all that lies on it, without a browser; [`router`] serves it to one, and [`serve`] on a port of this
//! machine alone. A wish is a step with its fields, as in a recipe: the server knows no operation by name, but for the hands in
//! `hand`. May use `show` and what stands below it, and `files`. What is reckoned is reckoned here; the page moves, zooms
//! and takes hold.

mod basis;
mod beside;
mod bring;
mod chosen;
mod cloth;
mod cloth_drawn;
mod drawn;
mod fault;
mod field_sort;
mod folder;
mod form;
mod guard;
mod hand;
mod history;
mod holds;
mod lay;
mod lying;
mod made;
mod on_table;
mod page;
mod places;
mod plan;
mod pointed;
mod product;
mod recipe_text;
mod said;
mod save;
mod seen;
mod server;
mod shared;
mod snap;
mod state;
mod thing;
mod wish;
mod words;

pub use bring::{
    AnswerSeen, Bring, BringFiles, BringSeen, Bringing, DrawingReader, MissingSeen, OutlineSeen, SizeSeen,
    ThingAsked, ThingSeen, serve_bringing,
};
pub use cloth::{ClothFile, ClothHome, ClothTextReader};
pub use cloth_drawn::{ClothSeen, Views};
pub use drawn::{EdgeSeen, GripSeen, MarkSeen, PieceSeen};
pub use fault::TableFault;
pub use field_sort::FieldSort;
pub use folder::{Folder, FolderFault};
pub use form::{Begins, FormField, Offer, OperationForm};
pub use guard::Key;
pub use hand::{Grip, Hand, Handling, HandlingSeen};
pub use made::MakingFault;
pub use on_table::{At, OnTable};
pub use places::PlaceSeen;
pub use pointed::{Fills, Pointed, Pointing};
pub use product::Product;
pub use recipe_text::{begun, with_cloths, with_pattern};
pub use said::{Refused, Remark, StepToPress};
pub use save::ProductSeen;
pub use seen::{LyingSeen, StepSeen, TableSeen, TrialSeen};
pub use server::{Door, router, serve};
pub use snap::SnapSeen;
pub use state::{ClothReader, Table};
pub use thing::Thing;
pub use wish::Wish;
