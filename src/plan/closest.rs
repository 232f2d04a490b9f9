//! What would come closest where nothing fits, and how much cloth is missing.

use crate::cloth::layout::{LayTask, Verdict};
use crate::cloth::search::Limit;
use crate::cloth::{Bolt, Cloth, ClothError, Stock};
use crate::pattern::{ClothName, PieceName};
use crate::plan::Done;
use crate::plan::alternative::sentence;
use crate::plan::need::Need;
use crate::plan::state::State;
use crate::plan::trial::Laying;
use crate::units::{Length, Unit};

/// What would come closest where nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Closest {
    /// The changes that come closest; none where none helps.
    pub done: Vec<Done>,
    /// What is missing even then.
    pub missing: Vec<Missing>,
}

impl Closest {
    /// The changes in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        if self.done.is_empty() { "No change comes closer.".to_owned() } else { sentence(&self.done) }
    }
}

/// Cloth that is missing.
#[derive(Clone, Debug, PartialEq)]
pub enum Missing {
    /// The cloth is too narrow for a piece, by so much, mm.
    Width {
        /// The piece.
        piece: PieceName,
        /// By how much.
        by: f64,
    },
    /// The cloth is shorter than a piece, by so much, mm.
    PieceLength {
        /// The piece.
        piece: PieceName,
        /// By how much.
        by: f64,
    },
    /// With so much more length of it, mm, all pieces would lie.
    Length {
        /// The cloth.
        cloth: ClothName,
        /// How much more.
        by: f64,
    },
    /// No more length of it helps within the time given.
    Room {
        /// The cloth.
        cloth: ClothName,
    },
}

impl Missing {
    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm((mm * 10.0).ceil() / 10.0).show(unit);
        match self {
            Missing::Width { piece, by } => {
                format!("the cloth is too narrow for `{piece}` by {}", show(*by))
            }
            Missing::PieceLength { piece, by } => {
                format!("the cloth is too short for `{piece}` by {}", show(*by))
            }
            Missing::Length { cloth, by } => {
                format!("{} more of the {cloth} cloth would be enough", show(*by))
            }
            Missing::Room { cloth } => {
                format!("there is too little of the {cloth} cloth, or no room on it as it is")
            }
        }
    }
}

/// What a state that misses still needs.
pub(super) fn of_needs(state: &State) -> Closest {
    let missing = state.needs().into_iter().map(|need| match need {
        Need::TooWide { piece, width, gives } => Missing::Width { piece, by: width - gives },
        Need::TooLong { piece, length, longest } => Missing::PieceLength { piece, by: length - longest },
        Need::Short { cloth } => Missing::Room { cloth },
    });
    Closest { done: state.done.clone(), missing: missing.collect() }
}

/// How much more length a state needs whose pieces fit one by one.
pub(super) fn of_length(state: &State, laying: Laying<'_>, limit: Limit) -> Closest {
    let longer = longer(
        laying.stock,
        &state.fit.cloths.iter().map(|area| (area.cloth.clone(), area.needed)).collect::<Vec<_>>(),
    );
    let missing = longer.ok().and_then(|longer| missing_length(state, laying, &longer, limit));
    let missing = missing.unwrap_or_else(|| {
        state.fit.cloths.iter().map(|area| Missing::Room { cloth: area.cloth.clone() }).collect()
    });
    Closest { done: state.done.clone(), missing }
}

fn missing_length(state: &State, laying: Laying<'_>, longer: &Stock, limit: Limit) -> Option<Vec<Missing>> {
    let laid = laying.lay_on(&state.pattern, longer, limit).ok()?;
    if laid.verdict != Verdict::Fits {
        return None;
    }
    let given = LayTask::of(&state.pattern, laying.stock, laying.wish()).ok()?;
    let over = |cloth: &ClothName| {
        let grounds = given.grounds.iter().zip(&laid.uses).filter(|(ground, _)| ground.cloth == *cloth);
        grounds.map(|(ground, usage)| (usage.used - ground.size().1).max(0.0)).sum::<f64>()
    };
    let cloths = laying.stock.cloths().map(|cloth| (cloth.name().clone(), over(cloth.name())));
    Some(cloths.filter(|(_, by)| *by > 0.0).map(|(cloth, by)| Missing::Length { cloth, by }).collect())
}

/// The same cloths, the longest length of each long enough for all that is cut from it.
fn longer(stock: &Stock, needed: &[(ClothName, f64)]) -> Result<Stock, ClothError> {
    let cloths = stock.cloths().map(|cloth| {
        let area = needed.iter().find(|(name, _)| name == cloth.name()).map_or(0.0, |(_, area)| *area);
        lengthened(cloth, area)
    });
    Stock::new(cloths.collect::<Result<Vec<_>, _>>()?)
}

/// How sparse the sparsest layout is that is still worth telling of: a third of the cloth is cut.
const SPARSE: f64 = 3.0;

fn lengthened(cloth: &Cloth, area: f64) -> Result<Cloth, ClothError> {
    let longest = cloth.bolts().iter().map(Bolt::length).fold(0.0, f64::max);
    let mut bolts = Vec::new();
    let mut done = false;
    for bolt in cloth.bolts() {
        if done || bolt.length() < longest {
            bolts.push(bolt.clone());
            continue;
        }
        done = true;
        let more = SPARSE * area / bolt.width().least(0.0, bolt.length());
        let mut new = Bolt::new(bolt.width().clone(), Length::from_mm(bolt.length() + more))?;
        bolt.flaws().iter().try_for_each(|flaw| new.add_flaw(*flaw))?;
        bolt.colouring().cloned().into_iter().for_each(|colouring| new.set_colouring(colouring));
        bolts.push(new);
    }
    let mut new = Cloth::new(cloth.name().clone(), bolts, cloth.panels().to_vec())?;
    new.selvedges = cloth.selvedges;
    new.direction = cloth.direction;
    new.crosswise = cloth.crosswise;
    new.set_gap(Length::from_mm(cloth.gap()))?;
    cloth.stripes().iter().try_for_each(|stripes| new.add_stripes(stripes.clone()))?;
    Ok(new)
}
