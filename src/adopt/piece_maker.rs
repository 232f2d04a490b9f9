//! What the map says of one piece, laid beside what was found of it.

use crate::adopt::error::refused_at;
use crate::adopt::found::Found;
use crate::adopt::make_edges::{SaidEdge, refuse_too_many, said_edge};
use crate::adopt::map::{MapPiece, Word, given, one_of, span, text, value};
use crate::adopt::map_words::{DRAWN_AS, DrawnAs};
use crate::adopt::outlines::{FoundLine, FoundOutline};
use crate::adopt::stretches::NumberedEdges;
use crate::curve::Curve;
use crate::pattern::{PieceName, Refusal};
use crate::toml_file::TextFault;
use crate::units::Length;

/// Makes one piece.
pub(super) struct PieceMaker<'a> {
    pub found: &'a Found,
    pub outline: &'a FoundOutline,
    pub at: usize,
    pub map: &'a MapPiece,
    pub name: PieceName,
    pub drawn: DrawnAs,
    pub stretches: NumberedEdges,
    /// For each stretch what it is.
    pub(super) owners: Vec<Owner>,
    pub(super) edges: Vec<SaidEdge>,
}

/// What a stretch of the outline belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    Edge(usize),
    Dart(usize),
    Nothing,
}

/// A dart that is cut into an outline.
pub(super) struct CutInDart {
    /// From mouth to tip to mouth.
    pub line: Curve,
}

impl<'a> PieceMaker<'a> {
    pub fn new(found: &'a Found, map: &'a MapPiece) -> Result<PieceMaker<'a>, TextFault> {
        let letter = text(&map.outline);
        let at = found.outlines.iter().position(|outline| outline.letter.as_str() == letter);
        let Some(at) = at else { return Err(no_outline(found, &map.outline)) };
        let outline = &found.outlines[at];
        refuse_too_many(outline, &map.outline)?;
        let stretches = NumberedEdges::of(outline, &map.soft_joints)?;
        let drawn = match &map.drawn {
            None => DrawnAs::Seamline,
            Some(word) => one_of(word, &DRAWN_AS)?,
        };
        let name = value(&map.name, "the name of a piece")?;
        let owners = vec![Owner::Nothing; stretches.len()];
        let mut maker =
            PieceMaker { found, outline, at, map, name, drawn, stretches, owners, edges: Vec::new() };
        maker.say_edges()?;
        maker.say_wedges()?;
        Ok(maker)
    }

    fn say_edges(&mut self) -> Result<(), TextFault> {
        let usual = given::<Length>(self.map.allowance.as_ref(), "a length")?.unwrap_or_default();
        for (index, said) in self.map.edges.iter().enumerate() {
            let stretches = self.stretches.named(&said.at)?;
            self.claim(&stretches, Owner::Edge(index), &said.at)?;
            let edge = said_edge(said, usual, stretches)?;
            if self.edges.iter().any(|other| other.name == edge.name) {
                let what = format!("two edges are named `{}`", edge.name);
                let way_out = "give one of the two another name";
                return Err(TextFault::new(span(&said.name), what, "the second", way_out));
            }
            self.edges.push(edge);
        }
        if self.edges.is_empty() {
            let way_out = "name each with [[piece.edge]], at = its number, and a name";
            return Err(TextFault::new(
                span(&self.map.outline),
                "the piece has no edges",
                "no edges",
                way_out,
            ));
        }
        Ok(())
    }

    fn say_wedges(&mut self) -> Result<(), TextFault> {
        for (index, dart) in self.map.darts.iter().enumerate() {
            if let Some(word) = &dart.cut_in {
                let stretches = self.stretches.named(word)?;
                self.claim(&stretches, Owner::Dart(index), word)?;
            }
        }
        Ok(())
    }

    fn claim(&mut self, stretches: &[usize], owner: Owner, word: &Word) -> Result<(), TextFault> {
        for at in stretches {
            if self.owners[*at] != Owner::Nothing {
                let what = format!("edge {} of the outline is named twice", self.stretches.label(*at));
                let way_out = "give each number to one edge, or to one dart that is cut in";
                return Err(TextFault::new(span(word), what, "named before", way_out));
            }
            self.owners[*at] = owner;
        }
        Ok(())
    }

    /// The darts that are cut into the outline, as lines from mouth to tip to mouth.
    pub fn wedges(&self) -> Result<Vec<(usize, CutInDart)>, TextFault> {
        let mut wedges = Vec::new();
        for (index, dart) in self.map.darts.iter().enumerate() {
            let Some(word) = &dart.cut_in else { continue };
            let stretches = self.stretches.named(word)?;
            let parts: Vec<Curve> = stretches.iter().map(|at| self.stretches.curve(*at).clone()).collect();
            let line = crate::adopt::chain::concatenated(parts).ok_or_else(|| {
                TextFault::new(
                    span(word),
                    "the legs of the dart do not join",
                    "no line",
                    "name both legs: \"5-6\"",
                )
            })?;
            wedges.push((index, CutInDart { line }));
        }
        Ok(wedges)
    }

    pub fn refused(&self, refusal: &Refusal) -> TextFault {
        refused_at(span(&self.map.outline), refusal)
    }

    /// The line of a letter.
    pub fn line(&self, letter: &str, word: &Word) -> Result<&'a FoundLine, TextFault> {
        self.found.line(letter).ok_or_else(|| {
            let way_out = "look at the small letters in the picture";
            TextFault::new(
                span(word),
                format!("there is no line `{letter}`"),
                "not found in the drawing",
                way_out,
            )
        })
    }

    /// Refuses a line to be ignored that the drawing does not have.
    pub fn refuse_unknown_ignored(&self) -> Result<(), TextFault> {
        for word in &self.map.ignore {
            for letter in text(word).split_whitespace().filter(|letter| *letter != ALL_LINES) {
                // A small outline within the piece may mean nothing as well.
                if self.found.outline(letter).is_none() {
                    self.line(letter, word)?;
                }
            }
        }
        Ok(())
    }
}

/// What stands among the lines to be ignored where all are that nothing else is said of.
pub(super) const ALL_LINES: &str = "all";

/// What is wrong with the letter of an outline that the drawing does not have.
pub(super) fn no_outline(found: &Found, word: &Word) -> TextFault {
    let letters: Vec<&str> = found.outlines.iter().map(|outline| outline.letter.as_str()).collect();
    let what = format!("there is no outline `{}`", text(word));
    let way_out = format!("there are: {}", letters.join(", "));
    TextFault::new(span(word), what, "not found in the drawing", way_out)
}
