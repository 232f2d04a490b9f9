//! What an edge is sewn to, as it is written in sheets, recipes and commands.

use std::fmt;
use std::str::FromStr;

use crate::pattern::{EdgeEnd, EdgeName, EdgeRef, NameError};
use crate::tolerance::{MOST_IN_RUN, MOST_LAYERS};
use crate::units::serde_as_text;

/// What an edge is sewn to, as in the sheet: `back.side`, `front.armhole back.armhole`, `back.side from hem`,
/// `pocket.curve from pocket.curve@100%`, `front.armhole back.armhole from 0% 100%`; `;` begins another layer, `none` takes it
/// off, `nothing` says that it is meant to be sewn to no other here.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum SewnTo {
    /// Nothing is said of it: `none`.
    #[default]
    Unsaid,
    /// To a piece that this pattern does not hold: `nothing`.
    Nothing,
    /// To these, one for each layer.
    Layers(Vec<Partner>),
}

const UNSAID: &str = "none";
const NOTHING: &str = "nothing";

impl SewnTo {
    /// The runs of edges that it is sewn to, one for each layer.
    #[must_use]
    pub fn layers(&self) -> &[Partner] {
        match self {
            SewnTo::Layers(layers) => layers,
            SewnTo::Unsaid | SewnTo::Nothing => &[],
        }
    }
}

/// The run of edges that an edge is sewn to in one layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Partner {
    /// The edges, in sewing order.
    pub edges: Vec<EdgeRef>,
    /// At which of its ends the sewing begins.
    pub from: Option<SewnFrom>,
}

/// The end of a run at which the sewing begins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SewnFrom {
    /// The end that meets this edge: `from hem`.
    Neighbour(EdgeName),
    /// The end of the run's first or last edge, for runs whose two ends meet edges of the same name:
    /// `from pocket.curve@0%` is its first corner, clockwise as seen, `@100%` its last.
    Corner {
        /// The edge.
        edge: EdgeRef,
        /// Which of its corners.
        end: EdgeEnd,
    },
    /// The corner at which the sewing enters each edge of the run, for runs that the edges around them do not settle:
    /// `from 0% 100%` goes along the first edge clockwise as seen and along the second against it.
    Corners(Vec<EdgeEnd>),
}

impl SewnFrom {
    /// The same end on the other copies of the run's pieces.
    #[must_use]
    pub fn mirrored(&self) -> SewnFrom {
        match self {
            SewnFrom::Neighbour(_) | SewnFrom::Corners(_) => self.clone(),
            SewnFrom::Corner { edge, end } => SewnFrom::Corner { edge: edge.mirrored(), end: *end },
        }
    }
}

impl FromStr for SewnFrom {
    type Err = NameError;

    fn from_str(text: &str) -> Result<SewnFrom, NameError> {
        let corners: Option<Vec<EdgeEnd>> = text.split_whitespace().map(read_corner).collect();
        if let Some(corners) = corners.filter(|corners| !corners.is_empty()) {
            return Ok(SewnFrom::Corners(corners));
        }
        let Some((edge, share)) = text.trim().split_once('@') else {
            return Ok(SewnFrom::Neighbour(text.parse()?));
        };
        let end = read_corner(share).ok_or_else(|| NameError::NotAnEnd(text.trim().to_owned()))?;
        Ok(SewnFrom::Corner { edge: edge.parse()?, end })
    }
}

impl fmt::Display for SewnFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SewnFrom::Neighbour(name) => write!(f, "{name}"),
            SewnFrom::Corner { edge, end } => write!(f, "{edge}@{}", corner_share(*end)),
            SewnFrom::Corners(ends) => {
                let shares: Vec<&str> = ends.iter().map(|end| corner_share(*end)).collect();
                f.write_str(&shares.join(" "))
            }
        }
    }
}

/// The two corners of an edge as they are written, each as the share of the edge before it.
const FIRST_CORNER: &str = "0%";
const LAST_CORNER: &str = "100%";

fn corner_share(end: EdgeEnd) -> &'static str {
    match end {
        EdgeEnd::First => FIRST_CORNER,
        EdgeEnd::Last => LAST_CORNER,
    }
}

fn read_corner(share: &str) -> Option<EdgeEnd> {
    match share {
        FIRST_CORNER => Some(EdgeEnd::First),
        LAST_CORNER => Some(EdgeEnd::Last),
        _ => None,
    }
}

impl FromStr for SewnTo {
    type Err = NameError;

    fn from_str(text: &str) -> Result<SewnTo, NameError> {
        match text.trim() {
            UNSAID => return Ok(SewnTo::Unsaid),
            NOTHING => return Ok(SewnTo::Nothing),
            _ => {}
        }
        let count = text.split(';').count();
        if count > MOST_LAYERS {
            return Err(NameError::TooManyLayers(count));
        }
        let layer = |text: &str| -> Result<Partner, NameError> {
            let (names, from) = match text.split_once(" from ") {
                Some((names, from)) => (names, Some(from.parse()?)),
                None => (text, None),
            };
            let edges: Vec<EdgeRef> = names.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
            match edges.len() {
                0 => Err(NameError::Empty),
                count if count > MOST_IN_RUN => Err(NameError::TooLongRun(count)),
                _ => Ok(Partner { edges, from }),
            }
        };
        Ok(SewnTo::Layers(text.split(';').map(layer).collect::<Result<_, _>>()?))
    }
}

impl fmt::Display for SewnTo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let layers = match self {
            SewnTo::Unsaid => return f.write_str(UNSAID),
            SewnTo::Nothing => return f.write_str(NOTHING),
            SewnTo::Layers(layers) => layers,
        };
        for (i, layer) in layers.iter().enumerate() {
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
