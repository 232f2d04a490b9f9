//! The edges of a piece as a map says them.

use crate::adopt::map::{MapEdge, ON_SELVEDGE, Word, given, one_of, span, value};
use crate::adopt::map_words::{FINISHES, SEWN_TO};
use crate::adopt::outlines::FoundOutline;
use crate::advice;
use crate::curve::Curve;
use crate::pattern::{Edge, EdgeName, Field, Finish, Selvedge, Unsewn};
use crate::tolerance::MOST_EDGES;
use crate::toml_file::TextFault;
use crate::units::Length;

/// An edge as the map says it.
pub(super) struct SaidEdge {
    pub name: EdgeName,
    pub finish: Option<Finish>,
    pub allowance: Length,
    pub selvedge: Selvedge,
    pub unsewn: Unsewn,
    /// Its stretches, clockwise.
    pub stretches: Vec<usize>,
}

impl SaidEdge {
    /// The edge as the model has it.
    pub fn edge(&self, curve: Curve) -> Edge {
        Edge {
            finish: self.finish.unwrap_or_default(),
            allowance: self.allowance,
            selvedge: self.selvedge,
            unsewn: self.unsewn,
            ..Edge::new(self.name.clone(), curve)
        }
    }
}

/// Straight and curved parts that the edges of a piece may have: the outline is tested part against part.
const MOST_PARTS: usize = 4_000;

/// Refuses an outline of more edges or parts than can be tested against one another.
pub(super) fn refuse_too_many(outline: &FoundOutline, word: &Word) -> Result<(), TextFault> {
    let parts: usize = outline.edges.iter().map(|edge| edge.segments().len()).sum();
    if outline.edges.len() <= MOST_EDGES && parts <= MOST_PARTS {
        return Ok(());
    }
    let what = format!("the outline has {} edges of {parts} straight and curved parts", outline.edges.len());
    let way_out = advice!(
        format!("up to {MOST_EDGES} edges of {MOST_PARTS} parts are made a piece: a greater "),
        Field::CornerAngle,
        " takes more of its lines for one curve"
    );
    Err(TextFault::new(span(word), what, "too many for a piece", way_out))
}

/// An edge as the map says it, with the piece's usual allowance where it gives none.
pub(super) fn said_edge(said: &MapEdge, usual: Length, stretches: Vec<usize>) -> Result<SaidEdge, TextFault> {
    let finish = said.finish.as_ref().map(|word| one_of(word, &FINISHES)).transpose()?;
    let usual = if finish == Some(Finish::Fold) { Length::ZERO } else { usual };
    let allowance = given::<Length>(said.allowance.as_ref(), "a length")?.unwrap_or(usual);
    if allowance.mm() < 0.0 {
        let word = said.allowance.as_ref().unwrap_or(&said.name);
        let way_out = "an allowance is added outside the seamline: give zero or more";
        return Err(TextFault::new(
            span(word),
            format!("the allowance is {allowance}"),
            "below zero",
            way_out,
        ));
    }
    let to_nothing = said.sewn_to.as_ref().map(|word| one_of(word, &SEWN_TO)).transpose()?;
    let unsewn = to_nothing.unwrap_or_default();
    let finish = finish.or((unsewn == Unsewn::Meant).then_some(Finish::Seam));
    Ok(SaidEdge {
        name: value(&said.name, "the name of an edge")?,
        finish,
        allowance,
        selvedge: if ON_SELVEDGE.or(said.selvedge) { Selvedge::Yes } else { Selvedge::No },
        unsewn,
        stretches,
    })
}
