//! What would come closest where nothing fits: how much cloth is missing, or which pieces would have to come from other
//! cloth. Both are found by laying.

use std::iter::repeat_n;

use crate::cloth::fit;
use crate::cloth::layout::{Laid, LaidVerdict};
use crate::cloth::search::Limit;
use crate::cloth::{Bolt, Cloth, Stock};
use crate::pattern::{ClothName, Pattern, Piece, PieceName, seen};
use crate::plan::Done;
use crate::plan::alternative::sentence;
use crate::plan::need::Need;
use crate::plan::state::State;
use crate::plan::trial::Laying;
use crate::units::{Length, Unit, counted_as, listed};

/// What would come closest where nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Closest {
    /// The changes that come closest; none where none helps.
    pub done: Vec<Done>,
    /// What is missing even then.
    pub missing: Vec<Missing>,
    /// The pieces without which the others lie on the cloth at hand: they could be cut from other cloth. Least seen first;
    /// empty where nothing of the kind was found.
    pub elsewhere: Vec<PieceName>,
}

impl Closest {
    /// The changes in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        if self.done.is_empty() { "No change comes closer.".to_owned() } else { sentence(&self.done) }
    }

    /// What would do besides more cloth; none where nothing was found.
    #[must_use]
    pub fn besides(&self) -> Option<String> {
        let names: Vec<String> = self.elsewhere.iter().map(|piece| format!("`{piece}`")).collect();
        (!names.is_empty()).then(|| format!("with {} from other cloth, the rest fits", listed(&names)))
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
    /// With so many more lengths of it, each as long as its longest, all pieces would lie.
    Lengths {
        /// The cloth.
        cloth: ClothName,
        /// How many more.
        count: usize,
        /// How long each is, mm.
        length: f64,
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
            Missing::Lengths { cloth, count, length } => {
                let lengths = counted_as(*count, "more length", "more lengths");
                format!("{lengths} of {} of the {cloth} cloth would be enough", show(*length))
            }
            Missing::Room { cloth } => {
                format!("there is too little of the {cloth} cloth, or no room on it as it is")
            }
        }
    }
}

/// What a state still needs whose pieces do not fit one by one.
pub(super) fn of_needs(state: &State, laying: Laying<'_>, limit: Limit) -> Closest {
    let needs = state.needs();
    let too_large = needs.iter().filter_map(|need| match need {
        Need::TooWide { piece, .. } | Need::TooLong { piece, .. } => Some(piece.clone()),
        Need::Short { .. } => None,
    });
    let elsewhere = Shortage { state, laying, limit }.elsewhere(&too_large.collect::<Vec<_>>());
    let missing = needs.into_iter().map(|need| match need {
        Need::TooWide { piece, width, gives } => Missing::Width { piece, by: width - gives },
        Need::TooLong { piece, length, longest } => Missing::PieceLength { piece, by: length - longest },
        Need::Short { cloth } => Missing::Room { cloth },
    });
    Closest { done: state.done.clone(), missing: missing.collect(), elsewhere }
}

/// How much more cloth a state needs whose pieces fit one by one.
pub(super) fn of_length(state: &State, laying: Laying<'_>, limit: Limit) -> Closest {
    let shortage = Shortage { state, laying, limit };
    let mut missing: Vec<Missing> = laying.stock.cloths().filter_map(|cloth| shortage.of(cloth)).collect();
    if missing.is_empty() {
        // The time ran out before it was found of which.
        let cloths = state.fit.cloths.iter().map(|area| area.cloth.clone());
        missing.extend(cloths.map(|cloth| Missing::Room { cloth }));
    }
    Closest { done: state.done.clone(), missing, elsewhere: shortage.elsewhere(&[]) }
}

/// A pattern for which there is too little cloth.
struct Shortage<'a> {
    state: &'a State,
    laying: Laying<'a>,
    limit: Limit,
}

impl Shortage<'_> {
    /// What is missing of a cloth; none where what is cut from it lies, or where no time is left to know.
    fn of(&self, cloth: &Cloth) -> Option<Missing> {
        let needed = self.state.fit.cloths.iter().find(|area| area.cloth == *cloth.name())?.needed;
        if self.laying.is_late() || self.laid_on(cloth.clone()).is_some() {
            return None;
        }
        let missing = match cloth.bolts() {
            [_, _, ..] => self.lengths_missing(cloth, needed),
            _ => self.length_missing(cloth, needed),
        };
        Some(missing.unwrap_or_else(|| Missing::Room { cloth: cloth.name().clone() }))
    }

    /// How much longer a cloth's one length must be.
    fn length_missing(&self, cloth: &Cloth, needed: f64) -> Option<Missing> {
        let bolt = cloth.bolts().first()?;
        let more = SPARSE * needed / bolt.width().least(0.0, bolt.length());
        let laid = self.laid_on(cloth.of_bolts(vec![bolt.lengthened(Length::from_mm(more)).ok()?]).ok()?)?;
        let by = laid.uses.first()?.used - bolt.length();
        (by > 0.0).then(|| Missing::Length { cloth: cloth.name().clone(), by })
    }

    /// How many more of a cloth's longest length there must be.
    fn lengths_missing(&self, cloth: &Cloth, needed: f64) -> Option<Missing> {
        let longest = cloth.bolts().iter().max_by(|a, b| a.length().total_cmp(&b.length()))?;
        let more = Bolt::new(longest.width().clone(), Length::from_mm(longest.length())).ok()?;
        let area = |count: usize| cloth.area() + count as f64 * more.area();
        let counts = (1..).skip_while(|count| area(*count) < needed).take(LENGTHS_TRIED);
        let mut counts =
            counts.take_while(|count| area(*count) < cloth.area() + SPARSE * needed + more.area());
        let lies = |count: &usize| {
            let bolts = cloth.bolts().iter().chain(repeat_n(&more, *count)).cloned();
            cloth.of_bolts(bolts.collect()).is_ok_and(|longer| self.laid_on(longer).is_some())
        };
        let count = counts.find(lies)?;
        Some(Missing::Lengths { cloth: cloth.name().clone(), count, length: more.length() })
    }

    /// What is cut from a cloth as it lies on it; none where it does not.
    fn laid_on(&self, cloth: Cloth) -> Option<Laid> {
        self.laid(&self.state.pattern, &Stock::new([cloth]).ok()?)
    }

    fn laid(&self, pattern: &Pattern, stock: &Stock) -> Option<Laid> {
        if self.laying.is_late() {
            return None;
        }
        let laid = self.laying.lay_on(pattern, stock, self.limit).ok()?;
        (laid.verdict == LaidVerdict::Fits).then_some(laid)
    }

    /// The pieces without which the others lie, those that fit no cloth among them: the least seen first, and of those the
    /// largest. None where most of the garment would have to go.
    fn elsewhere(&self, too_large: &[PieceName]) -> Vec<PieceName> {
        let pattern = &self.state.pattern;
        let of = |name: &PieceName| {
            pattern.find(name).map_or(0.0, |piece| piece.net_area() * f64::from(piece.times()))
        };
        let mut in_order: Vec<&Piece> =
            pattern.pieces().filter(|piece| !too_large.contains(piece.name())).collect();
        in_order.sort_by(|a, b| {
            seen(pattern, a).cmp(&seen(pattern, b)).then(of(b.name()).total_cmp(&of(a.name())))
        });
        let mut left_out = too_large.to_vec();
        let mut others = in_order.into_iter();
        while !self.lies_without(&left_out) {
            let Some(piece) = others.next() else { return Vec::new() };
            left_out.push(piece.name().clone());
        }
        for piece in left_out.clone().iter().rev().skip(1).filter(|piece| !too_large.contains(piece)) {
            let fewer: Vec<PieceName> = left_out.iter().filter(|other| *other != piece).cloned().collect();
            if self.lies_without(&fewer) {
                left_out = fewer;
            }
        }
        let all: f64 = pattern.pieces().map(|piece| of(piece.name())).sum();
        let gone: f64 = left_out.iter().map(of).sum();
        if gone < all * MOST_ELSEWHERE { left_out } else { Vec::new() }
    }

    /// Whether all other pieces lie on the cloth at hand.
    fn lies_without(&self, left_out: &[PieceName]) -> bool {
        let (mut pattern, stock) = (self.state.pattern.clone(), self.laying.stock);
        let Some(other) = not_at_hand(stock) else { return false };
        for name in left_out {
            let Ok(piece) = pattern.piece_mut(name) else { return false };
            piece.cloth = other.clone();
        }
        let fit = fit::fit(&pattern, stock, self.laying.tolerance);
        fit.is_ok_and(|fit| fit.fits() && !fit.pieces.is_empty()) && self.laid(&pattern, stock).is_some()
    }
}

/// A name that no cloth has.
fn not_at_hand(stock: &Stock) -> Option<ClothName> {
    let mut names = (1..).filter_map(|number: u32| format!("other-{number}").parse().ok());
    names.find(|name| stock.find(name).is_none())
}

/// How sparse the sparsest layout is that is still worth telling of: a third of the cloth is cut.
const SPARSE: f64 = 3.0;

/// How many counts of further lengths are tried, from the fewest that have the area on.
const LENGTHS_TRIED: usize = 6;

/// The share of the garment from which on it is not told that the rest would fit without it.
const MOST_ELSEWHERE: f64 = 0.5;
