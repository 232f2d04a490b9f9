//! The plan file: limits of taste. Everything that it does not know is refused, on its line.
//!
//! ```toml
//! whole = ["collar"]               # pieces that must stay whole
//! unwanted = ["yoke", "princess front"]  # kinds of change that are not wanted, or not on one piece
//! stay = ["front.side"]            # seams that must stay where they are
//! crosswise = ["collar", "cuff"]   # may be cut crosswise
//! companion = ["front-facing"]     # may be cut from another cloth, no others
//! pieced = ["belt"]                # may be pieced; otherwise what is not seen, and beside a seam that hides it
//! most-new-seams = 4
//! ```

use clap::ValueEnum;

use crate::pattern::{Advice, EdgeRef, Pattern, PieceName};
use crate::plan::{ChangeKind, Taste, Unwanted};
use crate::toml_file::{self, TableFields, TextFault, Value};

/// What may be said in a plan file, and what it means.
pub const KEYS: [(&str, &str); 7] = [
    ("whole", "Pieces that must stay whole"),
    ("stay", "Seams that must stay where they are, by any edge"),
    ("unwanted", "Kinds of change that are not wanted, or not on one piece: yoke, princess front"),
    ("crosswise", "Pieces that may be cut crosswise although their cloth does not allow it"),
    (
        "companion",
        "Pieces that may be cut from another cloth; otherwise those that are not seen, and any where cloth is short",
    ),
    (
        "pieced",
        "Pieces that may be pieced; otherwise those that are not seen, and beside a seam that hides it",
    ),
    ("most-new-seams", "The most seams that may be added to the garment"),
];

/// The most that may be said for new seams.
const MOST_SEAMS: u32 = 99;

const KINDS: &str = "kinds of change, on one piece or on all: [\"yoke\", \"princess front\"]";

const PIECES: &str = "names of pieces: [\"collar\", \"cuff\"]";

/// Reads the text of a plan file for a pattern.
///
/// # Errors
///
/// Whatever is not as above, with its place in the text; a piece or edge that the pattern does not have.
pub fn read(text: &str, pattern: &Pattern) -> Result<Taste, TextFault> {
    let root = toml_file::parse(text, "a plan file")?;
    let keys = KEYS.map(|(key, _)| key);
    let fields = TableFields::of("a plan file".to_owned(), root.span(), root.get_ref(), &keys)?;
    let pieces = |key: &str| -> Result<Option<Vec<PieceName>>, TextFault> {
        fields.get(key).map(|value| pieces_named(value, key, pattern)).transpose()
    };
    let kinds: Vec<(String, ChangeKind)> = ChangeKind::value_variants()
        .iter()
        .filter_map(|kind| Some((kind.to_possible_value()?.get_name().to_owned(), *kind)))
        .collect();
    let words: Vec<(&str, ChangeKind)> = kinds.iter().map(|(word, kind)| (word.as_str(), *kind)).collect();
    let unwanted = match fields.get("unwanted") {
        None => Vec::new(),
        Some(value) => toml_file::list(value, "`unwanted`", KINDS)?
            .iter()
            .map(|value| unwanted_named(value, &words, pattern))
            .collect::<Result<_, _>>()?,
    };
    let stay = match fields.get("stay") {
        None => Vec::new(),
        Some(value) => toml_file::list(value, "`stay`", "edges of seams: [\"front.side\"]")?
            .iter()
            .map(|edge| edge_named(edge, pattern))
            .collect::<Result<_, _>>()?,
    };
    let most = fields.get("most-new-seams");
    Ok(Taste {
        whole: pieces("whole")?.unwrap_or_default(),
        unwanted,
        stay,
        crosswise: pieces("crosswise")?.unwrap_or_default(),
        companion: pieces("companion")?,
        pieced: pieces("pieced")?,
        most_new_seams: most
            .map(|value| toml_file::count(value, "most-new-seams", MOST_SEAMS))
            .transpose()?,
    })
}

fn pieces_named(value: &Value<'_>, key: &str, pattern: &Pattern) -> Result<Vec<PieceName>, TextFault> {
    toml_file::list(value, &format!("`{key}`"), PIECES)?
        .iter()
        .map(|name| piece_named(name, toml_file::text(name, key, PIECES)?, pattern))
        .collect()
}

/// A piece by its name, which stands in a value.
fn piece_named(value: &Value<'_>, asked: &str, pattern: &Pattern) -> Result<PieceName, TextFault> {
    let unknown = |what: String, way_out: Advice| TextFault::new(value.span(), what, "not known", way_out);
    let named = asked.parse::<PieceName>().map_err(|error| {
        unknown(format!("`{asked}` cannot name a piece"), Advice::from(error.to_string()))
    })?;
    pattern.piece(&named).map_err(|refusal| unknown(refusal.what, refusal.way_out))?;
    Ok(named)
}

/// `princess`, or `princess front`.
fn unwanted_named(
    value: &Value<'_>,
    kinds: &[(&str, ChangeKind)],
    pattern: &Pattern,
) -> Result<Unwanted, TextFault> {
    let asked = toml_file::text(value, "unwanted", KINDS)?;
    let (kind, piece) = match asked.split_once(char::is_whitespace) {
        Some((kind, piece)) => (kind, Some(piece_named(value, piece.trim(), pattern)?)),
        None => (asked, None),
    };
    Ok(Unwanted { kind: toml_file::word_in(value, kind, "unwanted", kinds)?, piece })
}

fn edge_named(value: &Value<'_>, pattern: &Pattern) -> Result<EdgeRef, TextFault> {
    let asked = toml_file::text(value, "stay", "an edge: \"front.side\"")?;
    let unknown = |what: String, way_out: Advice| TextFault::new(value.span(), what, "not known", way_out);
    let edge = asked.parse::<EdgeRef>().map_err(|error| {
        unknown(format!("`{asked}` cannot name an edge"), Advice::from(error.to_string()))
    })?;
    pattern.edge(&edge).map_err(|refusal| unknown(refusal.what, refusal.way_out))?;
    Ok(edge)
}
