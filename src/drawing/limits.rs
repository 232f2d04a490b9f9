//! How much of a drawing is read at most. A hostile or broken file must end in a sentence, within
//! two seconds and 500 MB; every honest drawing stays far below these.

/// Stack of the reading thread, bytes. A group inside a group costs a few kilobytes of it in an
/// unoptimised build.
pub(super) const STACK: usize = 8 << 20;

/// Stack of a thread that reads among other work, bytes: while it waits for a part of that work, it may take up another
/// and read on top of it. Of what is not used none is taken from memory.
pub(super) const SHARED_STACK: usize = 4 * STACK;

/// Size of the file, MB. A large drawing with embedded pictures has 20.
pub(super) const FILE_MEGABYTES: usize = 40;

/// What a file's own entities may add to it, MB. Honest ones abbreviate namespaces.
pub(super) const ENTITY_MEGABYTES: usize = 10;

/// How deep entities may stand in one another. Honest ones stand one or two deep.
pub(super) const ENTITY_DEPTH: usize = 16;

/// How deep elements may stand in one another, and `use` bring in `use`.
pub(super) const DEPTH: usize = 512;

/// Attributes on one element: the XML parser compares each with each.
pub(super) const ATTRIBUTES: usize = 300;

/// Attributes on all elements together; about 80 bytes each in the XML tree.
pub(super) const ALL_ATTRIBUTES: usize = 1_500_000;

/// Namespace declarations in a file: the XML parser hands them down from element to element.
pub(super) const NAMESPACES: usize = 2_000;

/// Nodes of the XML tree, white space included; about 50 bytes each.
pub(super) const XML_NODES: u32 = 1_000_000;

/// Nodes of the drawing, those brought in by `use` counted each time; about 700 bytes each.
pub(super) const NODES: usize = 250_000;

/// Curve segments, those brought in by `use` counted each time; 56 bytes each.
pub(super) const SEGMENTS: usize = 3_000_000;

/// Characters of attributes and texts, those brought in by `use` counted each time, MB.
pub(super) const TEXT_MEGABYTES: usize = 80;

/// Comparisons of style rules with elements; some 20 ns each.
pub(super) const STYLE_WORK: u64 = 10_000_000;

/// Selectors in all style sheets together.
pub(super) const RULES: usize = 20_000;

/// Length of one selector in a style sheet, bytes.
pub(super) const SELECTOR: usize = 1_000;

/// Bytes that an attribute takes besides its characters.
pub(super) const ATTRIBUTE_OVERHEAD: usize = 48;

/// Dashes of one pattern.
pub(super) const DASHES: usize = 64;

/// Characters of a value that a message repeats.
pub(super) const QUOTED: usize = 40;
