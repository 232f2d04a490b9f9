//! What the attributes of an element say.

use std::fmt;
use std::str::FromStr;

use crate::drawing::Node;
use crate::pattern::{
    Advice, Arrows, CornerShape, Derived, EdgeName, EdgeRef, Finish, GirthUse, MadeFrom, Making, NotchCount,
    Opening, Origin, Purpose, Refusal, RefusalKind, Selvedge, ShapedCorner, mistyped,
};
use crate::sheet::ReadError;
use crate::sheet::kinds::ElementKind;
use crate::sheet::notes::Meant;
use crate::units::Length;

/// What an attribute stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bearer {
    Piece,
    Part(ElementKind),
}

impl fmt::Display for Bearer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Bearer::Piece => f.write_str("a piece's group"),
            Bearer::Part(ElementKind::Edge) => f.write_str("an edge"),
            Bearer::Part(kind) => write!(f, "a {}", kind.word()),
        }
    }
}

const PIECE: Bearer = Bearer::Piece;
const EDGE: Bearer = Bearer::Part(ElementKind::Edge);
const LEVEL: Bearer = Bearer::Part(ElementKind::Level);

/// Whether levels count for the girth of the garment: said on each, or on their piece.
pub(super) const GIRTH: &str = "data-girth";

/// Attributes that have a meaning of their own here, and what they are read on, where it is not all; all others are kept
/// as they stand.
const UNDERSTOOD: &[(&str, &[Bearer])] = &[
    ("data-kind", &[]),
    ("data-cut", &[PIECE]),
    ("data-cloth", &[PIECE]),
    ("data-for", &[PIECE]),
    ("data-from", &[PIECE]),
    ("data-made-by", &[PIECE]),
    ("data-corners", &[PIECE]),
    ("data-finish", &[EDGE]),
    ("data-allowance", &[EDGE]),
    ("data-sewn-to", &[EDGE]),
    ("data-ease", &[EDGE]),
    ("data-selvedge", &[EDGE]),
    ("data-open", &[EDGE]),
    ("data-lap", &[EDGE]),
    ("data-origin", &[EDGE]),
    ("data-arrows", &[Bearer::Part(ElementKind::Grainline)]),
    ("data-count", &[Bearer::Part(ElementKind::Notch)]),
    (GIRTH, &[LEVEL, PIECE]),
    ("data-press", &[Bearer::Part(ElementKind::Dart), Bearer::Part(ElementKind::Pleat)]),
];

/// Whether an attribute has a meaning of its own here.
pub(super) fn is_understood(name: &str) -> bool {
    UNDERSTOOD.iter().any(|(known, _)| *known == name)
}

/// What all attributes of ours begin with.
const OURS: &str = "data-";

/// What was likely meant by an attribute that is not read where it stands.
pub(super) fn unread(name: &str, on: Bearer) -> Option<Meant> {
    if let Some((_, bearers)) = UNDERSTOOD.iter().find(|(known, _)| *known == name) {
        let elsewhere = bearers.first().filter(|_| !bearers.contains(&on))?;
        return Some(Meant::On(elsewhere.to_string()));
    }
    let word = name.strip_prefix(OURS).unwrap_or(name);
    let known = UNDERSTOOD.iter().map(|(known, _)| known.trim_start_matches(OURS));
    let meant = match name.starts_with(OURS) {
        true => mistyped(word, known)?,
        false => known.into_iter().find(|known| *known == word)?,
    };
    Some(Meant::Name(format!("{OURS}{meant}")))
}

/// The value of an attribute, read as what it stands for.
pub(super) fn value<T: FromStr>(node: &Node, name: &str) -> Result<Option<T>, ReadError>
where
    T::Err: fmt::Display,
{
    let read = |text: &str| {
        text.parse()
            .map_err(|error: T::Err| wrong(node, name, text, error, "correct it, or leave the attribute out"))
    };
    node.attribute(name).map(read).transpose()
}

fn wrong(
    node: &Node,
    name: &str,
    text: &str,
    error: impl fmt::Display,
    way_out: impl Into<Advice>,
) -> ReadError {
    ReadError::at(
        node,
        Refusal::new(RefusalKind::BadField, format!("{name}=\"{text}\""), error.to_string(), way_out),
    )
}

/// One of a few words.
fn word<T: Copy>(node: &Node, name: &str, words: &[(&str, T)]) -> Result<Option<T>, ReadError> {
    let Some(text) = node.attribute(name) else { return Ok(None) };
    let found = words.iter().find(|(word, _)| *word == text.trim());
    let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    found.map(|(_, value)| Some(*value)).ok_or_else(|| {
        wrong(node, name, text, "the word is not known", format!("use one of: {}", known.join(", ")))
    })
}

pub(super) fn finish(node: &Node) -> Result<Option<Finish>, ReadError> {
    let words =
        [("seam", Finish::Seam), ("hem", Finish::Hem), ("fold", Finish::Fold), ("free", Finish::Free)];
    word(node, "data-finish", &words)
}

pub(super) fn selvedge(node: &Node) -> Result<Selvedge, ReadError> {
    Ok(word(node, "data-selvedge", &[("yes", Selvedge::Yes), ("no", Selvedge::No)])?.unwrap_or_default())
}

pub(super) fn open(node: &Node) -> Result<Option<Opening>, ReadError> {
    let words =
        [Opening::Buttonhole, Opening::Pocket, Opening::Vent].map(|opening| (opening.word(), opening));
    word(node, "data-open", &words)
}

/// A length that is nothing or more.
pub(super) fn length(node: &Node, name: &str, way_out: &str) -> Result<Option<Length>, ReadError> {
    let length = value::<Length>(node, name)?;
    match length.filter(|length| length.mm() < 0.0) {
        None => Ok(length),
        Some(negative) => {
            let what = format!("it is {negative}");
            Err(ReadError::at(node, Refusal::new(RefusalKind::BadField, name, what, way_out)))
        }
    }
}

pub(super) fn purpose(node: &Node) -> Result<Purpose, ReadError> {
    let words = [
        ("underlining", Purpose::Underlining),
        ("interfacing", Purpose::Interfacing),
        ("lining", Purpose::Lining),
        ("plain", Purpose::Plain),
    ];
    Ok(word(node, "data-for", &words)?.unwrap_or_default())
}

/// What a piece was made from. Both attributes stand together: the one names it, the other says how.
pub(super) fn derived(node: &Node) -> Result<Option<Derived>, ReadError> {
    let words = Making::ALL.map(|making| (making.word(), making));
    let by = word(node, "data-made-by", &words)?;
    let from = value::<MadeFrom>(node, "data-from")?;
    match (by, from) {
        (Some(by), Some(from)) => Ok(Some(Derived { by, from })),
        (None, None) => Ok(None),
        (by, _) => {
            let (there, missing) =
                if by.is_some() { ("data-made-by", "data-from") } else { ("data-from", "data-made-by") };
            let what = format!("{there} stands without {missing}");
            let way_out = "give both, or neither: the piece then stands by itself";
            Err(ReadError::at(node, Refusal::new(RefusalKind::BadField, missing, what, way_out)))
        }
    }
}

pub(super) fn arrows(node: &Node) -> Result<Arrows, ReadError> {
    let words = [("both", Arrows::Both), ("start", Arrows::Start), ("end", Arrows::End)];
    Ok(word(node, "data-arrows", &words)?.unwrap_or_default())
}

pub(super) fn count(node: &Node) -> Result<NotchCount, ReadError> {
    let words = [("1", NotchCount::Single), ("2", NotchCount::Double)];
    Ok(word(node, "data-count", &words)?.unwrap_or_default())
}

pub(super) fn girth(node: &Node) -> Result<GirthUse, ReadError> {
    let words = [("yes", GirthUse::Counts), ("no", GirthUse::LeftOut)];
    Ok(word(node, GIRTH, &words)?.unwrap_or_default())
}

/// Corners set by the user: `side hem: mitre; armhole side: square`. Square is squared to the first edge named.
pub(super) fn corners(node: &Node) -> Result<Vec<ShapedCorner>, ReadError> {
    let Some(text) = node.attribute("data-corners") else { return Ok(Vec::new()) };
    let mut corners = Vec::new();
    for entry in text.split(';').filter(|entry| !entry.trim().is_empty()) {
        let corner = corner(entry).ok_or_else(|| {
            wrong(
                node,
                "data-corners",
                entry.trim(),
                "not the shape of a corner",
                "write \"side hem: mitre\" with mitre, square, turned-up, jog or point",
            )
        })?;
        corners.push(corner);
    }
    Ok(corners)
}

/// One corner set by the user: `side hem: mitre`.
pub(crate) fn corner(entry: &str) -> Option<ShapedCorner> {
    let (edges, shape) = entry.split_once(':')?;
    let mut words = edges.split_whitespace();
    let (first, second): (EdgeName, EdgeName) = (words.next()?.parse().ok()?, words.next()?.parse().ok()?);
    let shape = match shape.trim() {
        "mitre" => CornerShape::Mitre,
        "square" => CornerShape::Square(first.clone()),
        "turned-up" => CornerShape::TurnedUp,
        "jog" => CornerShape::Jog,
        "point" => CornerShape::Point,
        _ => return None,
    };
    words.next().is_none().then_some(ShapedCorner { edges: (first, second), shape })
}

/// How corners are written; the inverse of [`corners`].
pub(super) fn corners_text(corners: &[ShapedCorner]) -> String {
    let entry = |corner: &ShapedCorner| {
        let (first, second) = &corner.edges;
        let (first, second, word) = match &corner.shape {
            CornerShape::Mitre => (first, second, "mitre"),
            CornerShape::TurnedUp => (first, second, "turned-up"),
            CornerShape::Jog => (first, second, "jog"),
            CornerShape::Point => (first, second, "point"),
            CornerShape::Square(to) if to == second => (second, first, "square"),
            CornerShape::Square(_) => (first, second, "square"),
        };
        format!("{first} {second}: {word}")
    };
    corners.iter().map(entry).collect::<Vec<_>>().join("; ")
}

/// The original edges that an edge consists of: `front.side 0 212.5; back.side 0 40`, sewn lengths in mm.
pub(super) fn origins(node: &Node) -> Result<Vec<Origin>, ReadError> {
    let Some(text) = node.attribute("data-origin") else { return Ok(Vec::new()) };
    let entries = text.split(';').filter(|entry| !entry.trim().is_empty());
    entries
        .map(|entry| {
            origin(entry).ok_or_else(|| {
                wrong(
                    node,
                    "data-origin",
                    entry.trim(),
                    "not an edge and two lengths in mm",
                    "leave the attribute out; the ledger then begins anew for this edge",
                )
            })
        })
        .collect()
}

fn origin(entry: &str) -> Option<Origin> {
    let mut words = entry.split_whitespace();
    let edge: EdgeRef = words.next()?.parse().ok()?;
    let mut length = || words.next()?.parse::<f64>().ok().filter(|length| length.is_finite());
    Some(Origin { edge, from: length()?, to: length()? })
}
