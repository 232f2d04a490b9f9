//! Names: of pieces, edges, and all that stands on a piece.
//!
//! Each kind of name is a type of its own, so that an edge cannot be asked for by a piece's name.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use crate::tolerance::{MOST_IN_RUN, MOST_LAYERS, MOST_NAME};
use crate::units::serde_as_text;

/// Why a text cannot be a name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// There is nothing to it.
    #[error("a name is empty")]
    Empty,
    /// It is longer than any name.
    #[error(
        "the name that begins `{begins}` has {signs} signs, and a name up to {MOST_NAME}: give it a shorter one"
    )]
    TooLong {
        /// Its first signs.
        begins: String,
        /// How many it has.
        signs: usize,
    },
    /// It holds a sign that has a meaning of its own in places, lines or seams.
    #[error("{}", wrong_sign(name, *sign))]
    Sign {
        /// The whole text.
        name: String,
        /// The sign in the way.
        sign: char,
    },
    /// An edge is named with its piece, as in `front.side`.
    #[error("`{0}` does not name an edge with its piece: write it like front.side")]
    NotAnEdge(String),
    /// An edge is said to be sewn in more layers than any is.
    #[error(
        "{0} layers are named, and an edge is sewn in up to {MOST_LAYERS}: take out what is not sewn to it"
    )]
    TooManyLayers(usize),
    /// A run has more edges than any has.
    #[error(
        "a run of {0} edges is named, and a run has up to {MOST_IN_RUN}: join edges that go on in one another"
    )]
    TooLongRun(usize),
    /// A seam begins at a corner of an edge, as in `front.armhole@0%`.
    #[error("`{0}` does not name an end of an edge: write it like front.armhole@0% or front.armhole@100%")]
    NotAnEnd(String),
}

/// Why a sign cannot stand in a name.
fn wrong_sign(name: &str, sign: char) -> String {
    match sign {
        '.' => format!(
            "`{name}` names a piece and something on it: here one of the two stands alone, without the `.`"
        ),
        sign if sign.is_whitespace() => {
            format!(
                "`{name}` is no name: there is a space in it; use letters, digits, - and _, and @ before a place on an edge"
            )
        }
        sign => format!(
            "the name `{name}` holds `{sign}`, which has a meaning of its own: use letters, digits, - and _"
        ),
    }
}

/// Signs that separate names in the texts a user writes.
const SEPARATORS: &[char] =
    &['.', '/', ';', ',', '@', '>', '~', '"', '\'', '<', '&', '(', ')', '*', ':', '='];

/// What stands behind the name of an edge on the mirrored half of a piece that was opened out.
pub(crate) const MIRRORED_HALF: &str = "/m";

/// How many signs of a name that is too long a message repeats.
const NAME_QUOTED: usize = 20;

/// A name with `-word` behind it; where that is longer than a name may be, the end of the name gives way.
fn joined(name: &str, word: impl fmt::Display) -> String {
    let ending = format!("-{word}");
    let room = MOST_NAME.saturating_sub(ending.chars().count());
    let mut joined: String = name.chars().take(room).collect();
    joined.push_str(&ending);
    joined
}

/// What stands before the number behind a name: `side` of `side-2`; none of a name without one.
fn before_number(name: &str) -> Option<&str> {
    let (root, number) = name.rsplit_once('-')?;
    number.parse::<u32>().is_ok().then_some(root)
}

/// A name without all the numbers behind it: a stretch of `side-2` may be `side-2-2`.
pub(crate) fn without_numbers(name: &str) -> &str {
    before_number(name).map_or(name, without_numbers)
}

fn check(text: &str) -> Result<(), NameError> {
    let text = text.strip_suffix(MIRRORED_HALF).unwrap_or(text);
    if text.is_empty() {
        return Err(NameError::Empty);
    }
    let signs = text.chars().count();
    if signs > MOST_NAME {
        return Err(NameError::TooLong { begins: text.chars().take(NAME_QUOTED).collect(), signs });
    }
    match text.chars().find(|c| c.is_whitespace() || c.is_control() || SEPARATORS.contains(c)) {
        Some(sign) => Err(NameError::Sign { name: text.to_owned(), sign }),
        None => Ok(()),
    }
}

macro_rules! name {
    ($(#[$doc:meta] $name:ident),+ $(,)?) => {$(
        #[$doc]
        #[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The name as text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }

            /// This name with `-word` behind it; on a mirrored half before the sign of it: `side-2/m`.
            #[must_use]
            pub fn with(&self, word: impl fmt::Display) -> Self {
                Self(match self.0.strip_suffix(MIRRORED_HALF) {
                    Some(name) => format!("{}{MIRRORED_HALF}", joined(name, word)).into(),
                    None => joined(&self.0, word).into(),
                })
            }

            /// Whether this is another name, or that with a number behind it, as [`free`](Self::free) gives it.
            #[must_use]
            pub fn is_numbered_from(&self, root: &Self) -> bool {
                match self.0.strip_prefix(root.as_str()) {
                    Some("") => true,
                    Some(_) => before_number(&self.0) == Some(root.as_str()),
                    None => false,
                }
            }

            /// Whether both are one name but for the number behind it: `armhole` and `armhole-2`.
            #[must_use]
            pub fn is_numbered_like(&self, other: &Self) -> bool {
                self.unnumbered() == other.unnumbered()
            }

            /// The name without the number behind it, where it has one.
            #[must_use]
            pub fn unnumbered(&self) -> &str {
                before_number(&self.0).unwrap_or(&self.0)
            }

            /// This name, or the first of `name-2`, `name-3` … that is not taken.
            #[must_use]
            pub fn free(self, taken: impl Fn(&Self) -> bool) -> Self {
                if !taken(&self) {
                    return self;
                }
                (2_u32..).map(|n| self.with(n)).find(|name| !taken(name)).unwrap_or(self)
            }
        }

        impl FromStr for $name {
            type Err = NameError;

            fn from_str(text: &str) -> Result<Self, NameError> {
                let text = text.trim();
                check(text)?;
                Ok(Self(text.into()))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        serde_as_text!($name);
    )+};
}

name! {
    /// The name of a piece: `front`.
    PieceName,
    /// The name of an edge within its piece: `side`.
    EdgeName,
    /// The name of a dart within its piece: `waist-dart`.
    DartName,
    /// The name of a notch within its piece.
    NotchName,
    /// The name of a level, the same on every piece it crosses: `waist`.
    LevelName,
    /// The name of a point within its piece: `bust-point`.
    PointName,
    /// The name of a style line within its piece.
    StyleLineName,
    /// The name of a cloth: `main`, `companion`.
    ClothName,
    /// The name of a body measure: `bust`, `back-length`.
    MeasureName,
}

impl PieceName {
    /// The name of one of the parts of what is called so, numbered from 1: `sleeve-2` of `sleeve`, and `sleeve-2a` of
    /// `sleeve-2`.
    #[must_use]
    pub(crate) fn part(&self, number: usize) -> PieceName {
        let letter = ('a'..='z').nth(number.saturating_sub(1)).filter(|_| self.unnumbered() != self.as_str());
        let lettered = letter.and_then(|letter| format!("{}{letter}", self.0).parse().ok());
        lettered.unwrap_or_else(|| self.with(number))
    }
}

impl ClothName {
    /// The cloth that a piece is cut from when none is named.
    #[must_use]
    pub fn main() -> ClothName {
        ClothName("main".into())
    }

    /// What stands in place of a cloth where a piece is not cut.
    #[must_use]
    pub fn none() -> ClothName {
        ClothName("none".into())
    }
}

impl EdgeName {
    /// The name of this edge's mirror image on a piece that was opened out: `side/m`.
    #[must_use]
    pub fn on_mirrored_half(&self) -> EdgeName {
        EdgeName(format!("{}{MIRRORED_HALF}", self.0).into())
    }

    /// The name of the edge that this one mirrors, if it stands on the mirrored half of a piece.
    #[must_use]
    pub fn mirror_of(&self) -> Option<EdgeName> {
        self.0.strip_suffix(MIRRORED_HALF).map(|name| EdgeName(name.into()))
    }

    /// The name without all the numbers behind it: `side` of `side-2`, `side/m` of `side-2/m`.
    pub(crate) fn root(&self) -> EdgeName {
        match self.mirror_of() {
            Some(drawn) => drawn.root().on_mirrored_half(),
            None => EdgeName(without_numbers(&self.0).into()),
        }
    }

    /// The number behind the name; 1 where it has none.
    pub(crate) fn number(&self) -> u32 {
        let text = self.0.strip_suffix(MIRRORED_HALF).unwrap_or(&self.0);
        text.rsplit_once('-').and_then(|(_, number)| number.parse().ok()).unwrap_or(1)
    }

    /// A plain name for an edge made by an operation. The text is one of the trade's words given in code.
    pub(crate) fn plain(word: &'static str) -> EdgeName {
        EdgeName(word.into())
    }
}

impl EdgeName {
    /// An edge called after the piece on which it lies.
    pub(crate) fn of_piece(piece: &PieceName) -> EdgeName {
        EdgeName(piece.0.clone())
    }

    /// A style line as it is named where an edge may stand: both are words of their piece.
    pub(crate) fn of_line(line: &StyleLineName) -> EdgeName {
        EdgeName(line.0.clone())
    }
}

impl DartName {
    /// A name for a dart made by an operation.
    pub(crate) fn plain(word: &'static str) -> DartName {
        DartName(word.into())
    }
}

impl NotchName {
    /// A name for a notch made by an operation.
    pub(crate) fn plain(word: &'static str) -> NotchName {
        NotchName(word.into())
    }
}

/// Which copy of a piece is meant: the one drawn, or its mirror image.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Copy {
    /// The copy drawn on the sheet.
    #[default]
    Drawn,
    /// Its mirrored copy, written `/m`.
    Mirrored,
}

impl Copy {
    /// The other copy.
    #[must_use]
    pub fn other(self) -> Copy {
        match self {
            Copy::Drawn => Copy::Mirrored,
            Copy::Mirrored => Copy::Drawn,
        }
    }
}

/// An edge named with its piece: `front.side`, or `back.centre/m` on the mirrored copy.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EdgeRef {
    /// The piece.
    pub piece: PieceName,
    /// The edge of it.
    pub edge: EdgeName,
    /// Which copy of the piece.
    pub copy: Copy,
}

impl EdgeRef {
    /// The edge of the drawn copy.
    #[must_use]
    pub fn new(piece: PieceName, edge: EdgeName) -> EdgeRef {
        EdgeRef { piece, edge, copy: Copy::Drawn }
    }

    /// The same edge of the drawn copy.
    #[must_use]
    pub fn drawn(&self) -> EdgeRef {
        EdgeRef { copy: Copy::Drawn, ..self.clone() }
    }

    /// The same edge of the other copy.
    #[must_use]
    pub fn mirrored(&self) -> EdgeRef {
        EdgeRef { copy: self.copy.other(), ..self.clone() }
    }

    /// Whether both name the same edge, on whichever copy.
    #[must_use]
    pub fn same_edge(&self, other: &EdgeRef) -> bool {
        self.piece == other.piece && self.edge == other.edge
    }
}

impl FromStr for EdgeRef {
    type Err = NameError;

    fn from_str(text: &str) -> Result<EdgeRef, NameError> {
        let text = text.trim();
        let (name, copy) = match text.strip_suffix(MIRRORED_HALF) {
            Some(name) => (name, Copy::Mirrored),
            None => (text, Copy::Drawn),
        };
        let (piece, edge) = name.split_once('.').ok_or_else(|| NameError::NotAnEdge(text.to_owned()))?;
        Ok(EdgeRef { piece: piece.parse()?, edge: edge.parse()?, copy })
    }
}

impl fmt::Display for EdgeRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.piece, self.edge)?;
        match self.copy {
            Copy::Drawn => Ok(()),
            Copy::Mirrored => f.write_str(MIRRORED_HALF),
        }
    }
}

serde_as_text!(EdgeRef);

/// By how many letters a long name may be off and still have been meant.
const MOST_LETTERS_OFF: usize = 2;

/// The name among `known` that is nearest to `asked`, if any is near enough to have been meant: a letter or two off, or with
/// all of it in it.
///
/// Nearness is the number of letters to change, add, drop or swap (optimal string alignment).
#[must_use]
pub fn nearest<'a>(asked: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = (asked.chars().count() / 3 + 1).min(MOST_LETTERS_OFF);
    known
        .into_iter()
        .map(|name| (letters_apart(asked, name), name))
        .filter(|(apart, name)| *apart <= most || name.contains(asked))
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, name)| name)
}

/// The word among `known` of which `typed` is a slip: a letter or two changed, added, dropped or swapped, or the end left
/// out. Stricter than [`nearest`], for words that may well mean something else.
#[must_use]
pub fn mistyped<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters = typed.chars().count();
    let most = (letters / 4).min(2);
    let begins = |word: &str| letters > 2 && word.starts_with(typed);
    known
        .into_iter()
        .map(|word| (letters_apart(typed, word), word))
        .filter(|(apart, word)| *apart <= most || begins(word))
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, word)| word)
}

fn letters_apart(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().collect();
    let b: Vec<char> = b.chars().collect();
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, cell) in rows[0].iter_mut().enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut least = (rows[i - 1][j] + 1).min(rows[i][j - 1] + 1).min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = least;
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_offered_and_a_far_one_is_not() {
        let known = ["front", "back", "sleeve"];
        assert_eq!(nearest("frnot", known), Some("front"));
        assert_eq!(nearest("sleev", known), Some("sleeve"));
        assert_eq!(nearest("pocket", known), None);
        assert_eq!(nearest("narrow.svg", ["hard.svg"]), None, "four letters off is another name");
    }

    #[test]
    fn a_slip_is_found_and_another_word_is_let_alone() {
        let known = ["allowance", "ease", "kind", "cut", "sewn-to", "count"];
        assert_eq!(mistyped("alowance", known), Some("allowance"));
        assert_eq!(mistyped("allowence", known), Some("allowance"));
        assert_eq!(mistyped("sewn", known), Some("sewn-to"));
        for other in ["name", "id", "note", "label", "stroke", "layer"] {
            assert_eq!(mistyped(other, known), None, "{other}");
        }
    }

    #[test]
    fn a_name_has_an_end_and_what_is_made_of_it_is_a_name_again() {
        let longest = "ä".repeat(MOST_NAME);
        let name: PieceName = longest.parse().unwrap();
        assert_eq!(format!("{longest}/m").parse::<EdgeName>().unwrap().as_str().len(), 2 * MOST_NAME + 2);
        let more = format!("{longest}ä").parse::<PieceName>();
        assert!(matches!(&more, Err(NameError::TooLong { signs, .. }) if *signs == MOST_NAME + 1));
        assert!(more.unwrap_err().to_string().len() < 200);
        for made in [name.with("upper"), name.clone().free(|other| *other == name)] {
            assert_eq!(made.as_str().parse(), Ok(made.clone()));
            assert_ne!(made, name);
        }
    }

    #[test]
    fn parts_of_a_numbered_piece_have_letters() {
        let part = |name: &str, number| name.parse::<PieceName>().unwrap().part(number).to_string();
        assert_eq!(part("sleeve", 2), "sleeve-2");
        assert_eq!(part("sleeve-2", 1), "sleeve-2a");
        assert_eq!(part("sleeve-2a", 2), "sleeve-2a-2");
        assert_eq!(part("gore-2", 27), "gore-2-27");
    }

    #[test]
    fn edges_are_read_with_their_piece_and_copy() {
        let edge: EdgeRef = "back.centre/m".parse().unwrap();
        assert_eq!(edge.copy, Copy::Mirrored);
        assert_eq!(edge.to_string(), "back.centre/m");
        assert!("back".parse::<EdgeRef>().is_err());
        assert!("front.si de".parse::<EdgeRef>().is_err());
    }
}
