//! What making a pattern by a map left out or took as likely.

use std::fmt;

use crate::pattern::{DartName, EdgeName, EdgeRef, PieceName};
use crate::units::{Length, Unit, listed_up_to};

/// Something to be looked at twice in a pattern made of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum AdoptNote {
    /// Lines of the drawing that the map does not name were left out.
    LeftOut {
        /// The piece.
        piece: PieceName,
        /// Their letters.
        letters: Vec<String>,
    },
    /// Outlines that the map does not name were left out.
    OutlinesLeftOut {
        /// Their letters.
        letters: Vec<String>,
    },
    /// Edges that no seam sews and of which the map says no finish were left bare.
    Unsaid {
        /// The piece.
        piece: PieceName,
        /// The edges.
        edges: Vec<EdgeName>,
    },
    /// Of hems it is not said how deep they are, and the allowance of their piece was taken.
    HemsUnsaid {
        /// Each with the allowance that it was given.
        hems: Vec<(EdgeRef, Length)>,
    },
    /// Of pieces it is not said which line is drawn around them, and the seamline was taken.
    LineUnsaid {
        /// The pieces.
        pieces: Vec<PieceName>,
    },
    /// Of pieces it is not said how often they are cut, and once was taken.
    CountUnsaid {
        /// The pieces.
        pieces: Vec<PieceName>,
    },
    /// What the map guesses was taken as it stands.
    Guessed {
        /// What, as it is called in the map.
        called: Vec<String>,
    },
    /// A stretch of a seamline that the cutting line does not tell.
    Unknown {
        /// The piece.
        piece: PieceName,
        /// What is not known, in a sentence.
        what: String,
    },
    /// A dart was drawn short of the edge on which it opens, and its legs were run straight on to it.
    DartRunOn {
        /// The piece.
        piece: PieceName,
        /// The dart.
        dart: DartName,
        /// By how much the leg that lacked more.
        by: Length,
    },
    /// The two sides of a seam differ by more than its ease.
    LengthsDiffer {
        /// Its edges.
        seam: String,
        /// Its place among the seams of the map, counted from nothing.
        number: usize,
        /// The sewn length of its first side, mm.
        first: f64,
        /// That of its second.
        second: f64,
        /// What the map says of it.
        ease: Length,
    },
}

impl AdoptNote {
    /// Whether the pattern may be wrong there.
    #[must_use]
    pub fn is_untrue(&self) -> bool {
        matches!(self, AdoptNote::Unknown { .. } | AdoptNote::LengthsDiffer { .. })
    }
}

/// Letters that a sentence names.
const NAMED: usize = 12;

fn names(things: &[impl ToString]) -> Vec<String> {
    things.iter().map(ToString::to_string).collect()
}

fn left_out(what: &str, letters: &[String]) -> String {
    let named = listed_up_to(NAMED, letters);
    match letters.len() {
        1 => format!("{what} {named} is not in the map and was left out"),
        _ => format!("{what}s {named} are not in the map and were left out"),
    }
}

impl fmt::Display for AdoptNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            AdoptNote::LeftOut { piece, letters } => write!(
                f,
                "{piece}: {}; name what is to stay, or put it under `ignore`",
                left_out("line", letters)
            ),
            AdoptNote::OutlinesLeftOut { letters } => {
                write!(f, "{}; name what is to stay, or put it under `ignore`", left_out("outline", letters))
            }
            AdoptNote::Unsaid { piece, edges } => {
                let names = names(edges);
                write!(
                    f,
                    "{piece}: nothing says how {} {} finished, and no seam sews {them}: say finish = \"free\", \"hem\" or \
                     \"fold\", or sew {them}",
                    listed_up_to(NAMED, &names),
                    if names.len() == 1 { "is" } else { "are" },
                    them = if names.len() == 1 { "it" } else { "them" },
                )
            }
            AdoptNote::HemsUnsaid { hems } => {
                let edges: Vec<String> = hems.iter().map(|(edge, _)| edge.to_string()).collect();
                let mut taken: Vec<String> = hems.iter().map(|(_, taken)| taken.to_string()).collect();
                taken.dedup();
                write!(
                    f,
                    "nothing says how deep the hem at {} is, and the allowance of its piece was taken ({}): say allowance = \"40mm\" \
                     at that edge",
                    listed_up_to(NAMED, &edges),
                    listed_up_to(NAMED, &taken)
                )
            }
            AdoptNote::LineUnsaid { pieces } => write!(
                f,
                "nothing says whether the line drawn around {} is cut or sewn, and it was taken for the seamline: say drawn = \
                 \"seamline\", or \"cutting-line\" with the allowance that is to be taken off",
                listed_up_to(NAMED, &names(pieces))
            ),
            AdoptNote::CountUnsaid { pieces } => write!(
                f,
                "nothing says how often {} {} cut, and once was taken: say cut = \"1\", \"2\" for a left and a right, or \
                 \"2 same\"",
                listed_up_to(NAMED, &names(pieces)),
                if pieces.len() == 1 { "is" } else { "are" }
            ),
            AdoptNote::Guessed { called } => write!(
                f,
                "taken as it was guessed: {}; look at it, and take `guessed` out of the map where it is right",
                listed_up_to(NAMED, called)
            ),
            AdoptNote::Unknown { piece, what } => write!(f, "{piece}: {what}"),
            AdoptNote::DartRunOn { piece, dart, by } => write!(
                f,
                "{piece}.{dart}: it is drawn {} short of its edge, and its legs were run on to it: look whether it is as wide \
                 there as it should be",
                by.to_tenths().show(Unit::Millimetre)
            ),
            AdoptNote::LengthsDiffer { seam, first, second, ease, .. } => {
                match ease.mm() {
                    0.0 => write!(f, "{seam}: its sides differ")?,
                    _ => write!(f, "{seam}: its sides do not differ by the ease of {ease}")?,
                }
                write!(
                    f,
                    ", {first:.1} mm against {second:.1} mm: look whether these are its edges, or say by how much the first is \
                     longer: ease = \"5mm\""
                )
            }
        }
    }
}
