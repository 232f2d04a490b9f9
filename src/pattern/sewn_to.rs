//! What an edge is sewn to, as it is written in sheets, recipes and commands.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{EdgeName, EdgeRef, NameError};
use crate::units::serde_as_text;

/// What an edge is sewn to, as in the sheet: `back.side`, `front.armhole back.armhole`, `back.side from hem`; `;` begins
/// another layer, `none` takes it off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SewnTo {
    /// One for each layer.
    pub layers: Vec<Partner>,
}

/// The run of edges that an edge is sewn to in one layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Partner {
    /// The edges, in sewing order.
    pub edges: Vec<EdgeRef>,
    /// The neighbour at whose end the sewing begins.
    pub from: Option<EdgeName>,
}

impl FromStr for SewnTo {
    type Err = NameError;

    fn from_str(text: &str) -> Result<SewnTo, NameError> {
        if text.trim() == "none" {
            return Ok(SewnTo::default());
        }
        let layer = |text: &str| -> Result<Partner, NameError> {
            let (names, from) = match text.split_once(" from ") {
                Some((names, from)) => (names, Some(from.parse()?)),
                None => (text, None),
            };
            let edges: Vec<EdgeRef> = names.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
            if edges.is_empty() { Err(NameError::Empty) } else { Ok(Partner { edges, from }) }
        };
        Ok(SewnTo { layers: text.split(';').map(layer).collect::<Result<_, _>>()? })
    }
}

impl fmt::Display for SewnTo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.layers.is_empty() {
            return f.write_str("none");
        }
        for (i, layer) in self.layers.iter().enumerate() {
            let edges: Vec<String> = layer.edges.iter().map(EdgeRef::to_string).collect();
            write!(f, "{}{}", if i > 0 { "; " } else { "" }, edges.join(" "))?;
            if let Some(from) = &layer.from {
                write!(f, " from {from}")?;
            }
        }
        Ok(())
    }
}

serde_as_text!(SewnTo);
