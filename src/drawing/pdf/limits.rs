//! How much of a PDF is read at most, besides the limits of all drawings: a hostile or broken file must end in a
//! sentence, within two seconds and 500 MB; every honest one stays far below these.

/// Stack of the reading thread, bytes: objects and form objects stand in each other.
pub(super) const STACK: usize = 64 << 20;

/// Objects that the pages refer to. A file of 100 pages has a few thousand.
pub(super) const OBJECTS: usize = 300_000;

/// How deep arrays and dictionaries may stand in each other. Honest ones stand five deep.
pub(super) const OBJECT_DEPTH: usize = 64;

/// What all packed parts may unpack to, MB. Forty pages that each hold a large drawing whole have 60.
pub(super) const UNPACKED_MEGABYTES: usize = 160;

/// Size of the plain copy, MB.
pub(super) const COPY_MEGABYTES: usize = 160;

/// What the pages may have drawn, MB of drawing instructions, those of form objects counted each time; some 10 ns a byte.
pub(super) const DRAWN_MEGABYTES: usize = 100;

/// The drawing instructions of one page or form object, MB: a line in progress takes some 30 bytes for each of theirs. A
/// drawing of 100,000 curves has 4.
pub(super) const CONTENTS_MEGABYTES: usize = 12;

/// How deep form objects may draw each other; the interpreter goes no deeper.
pub(super) const FORM_DEPTH: usize = 50;

/// Things drawn on all pages together; about 300 bytes each.
pub(super) const THINGS: usize = 400_000;

/// Pages.
pub(super) const PAGES: usize = 2_000;

/// Layers that are told apart.
pub(super) const LAYERS: usize = 10_000;
