//! Bringing in a drawing that nobody drew as a pattern sheet.
//!
//! [`find`] looks for closed shapes and lines in any drawing, SVG or PDF, and gives them letters and numbers; [`picture`] draws them with
//! these, so that a person can point; [`Map`] is what the person says of them; [`make`] makes the pattern.
//!
//! ```text
//! drawing ── stroke, look ──> strokes ── chain, bridge, ring ──> outlines and lines ── guess ──> Found
//! Found + Map ── make, darts, marks, seams ──> Pattern
//! ```
//!
//! May use `sheet` and what it may use. Nothing of the drawing is kept but what the map names.
//!
//! # Examples
//!
//! ```
//! use retrue::adopt::{Map, find, make};
//!
//! # let drawing = std::fs::read("fixtures/adopt/skirt-shaped-back-cutting-lines.svg")?;
//! # let map = std::fs::read_to_string("examples/adopt/skirt.map.toml")?;
//! let map = Map::read(&map)?;
//! let found = find(&drawing, &map.asked()?)?;
//! let skirt = make(&found, &map)?;
//! assert_eq!(skirt.pattern.pieces().len(), 2);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod arrange;
mod beneath;
mod beside;
mod bridge;
mod chain;
mod clipped;
mod error;
mod find;
mod found;
mod furniture;
mod gaps;
mod guess;
mod known_size;
mod letter;
mod likely;
mod look;
mod make;
mod make_darts;
mod make_edges;
mod make_marks;
mod make_note;
mod make_piece;
mod make_seams;
mod map;
mod map_lines;
mod map_tables;
mod map_text;
mod map_thing;
mod map_words;
mod nothing;
mod outlines;
mod picture;
mod piece_maker;
mod rendered;
mod ring;
mod run_in;
mod scale;
mod seamlines;
mod short_dart;
mod size;
mod sizes;
mod sizes_offered;
mod sorter;
mod stretches;
mod stroke;
mod template;
mod undecided;
mod unsaid;
mod untrue;

pub use beneath::Beneath;
pub use error::AdoptError;
pub use find::{Asked, Correction, OneFile, find, find_in_several};
pub use found::Found;
pub(crate) use found::NOTHING;
pub use letter::Letter;
pub use likely::{Certainty, LikelySeam, edge_names, likely_seams, piece_names};
pub use look::{LineStyle, StyleId, Styles, Surface};
pub use make::{Adopted, Tried, make, try_map};
pub use make_note::AdoptNote;
pub use map::{Map, MapAsks, MapField, MapGuess, Unsaid};
pub use map_text::{MapEdit, SaidField, edited, said_fields};
pub use map_thing::{Guessed, LineSort, MapThing, SaidAt};
pub use map_words::finish_words;
pub use nothing::NoOutline;
pub use outlines::{FoundLine, FoundOutline, Guess, OutlineGap};
pub(crate) use picture::{Called, labelled};
pub use picture::{picture, picture_over};
pub use rendered::Rendered;
pub use ring::CornerAngle;
pub use scale::{Scale, ScaleCheck, ScaleKnownBy, ScaleSource};
pub use size::{SizeChoice, SizeError};
pub use sizes_offered::{OfferedSize, offered_sizes};
pub use stroke::FoundText;
pub use template::template;
pub use undecided::{LaidWay, MeetingEnd, UndecidedSeam};
pub use untrue::Untrue;
