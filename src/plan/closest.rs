//! What would come closest where nothing fits: how much cloth is missing, or which pieces would have to come from other
//! cloth. Both are found by laying.

use std::iter::repeat_n;

use crate::cloth::fit;
use crate::cloth::layout::{Laid, LaidVerdict};
use crate::cloth::search::Limit;
use crate::cloth::{Bolt, Cloth, Panel, Stock};
use crate::pattern::{ClothName, Pattern, PieceName};
use crate::plan::alternative::sentence;
use crate::plan::least_seen::{is_lesser_part, least_seen_first};
use crate::plan::need::Need;
use crate::plan::state::State;
use crate::plan::trial::{Laying, side_by_side};
use crate::plan::{Done, Effort};
use crate::units::{Length, Unit, counted_as, listed};
use serde::Serialize;

/// What would come closest where nothing fits.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closest {
    /// The changes that come closest; none where none helps.
    #[serde(skip)]
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
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Missing {
    /// The cloth is too narrow for a piece, by so much, mm.
    Width {
        /// The piece.
        #[serde(rename = "of")]
        piece: PieceName,
        /// By how much.
        by: f64,
    },
    /// The cloth is shorter than a piece, by so much, mm.
    PieceLength {
        /// The piece.
        #[serde(rename = "of")]
        piece: PieceName,
        /// By how much.
        by: f64,
    },
    /// With so much more length of it, mm, all pieces would lie.
    Length {
        /// The cloth.
        #[serde(rename = "of")]
        cloth: ClothName,
        /// How much more.
        by: f64,
    },
    /// With so many more lengths of it, each as long as its longest, all pieces would lie.
    Lengths {
        /// The cloth.
        #[serde(rename = "of")]
        cloth: ClothName,
        /// How many more.
        count: usize,
        /// How long each is, mm.
        #[serde(rename = "by")]
        length: f64,
    },
    /// With so many more panels like one of it, all pieces would lie.
    Panels {
        /// The cloth.
        #[serde(rename = "of")]
        cloth: ClothName,
        /// The panel's name.
        panel: String,
        /// How many more.
        count: usize,
    },
    /// No more length of it helps within the time given.
    Room {
        /// The cloth.
        #[serde(rename = "of")]
        cloth: ClothName,
    },
}

impl Missing {
    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).up_to_tenths().show(unit);
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
            Missing::Panels { cloth, panel, count } => {
                let panels = counted_as(*count, "more panel", "more panels");
                format!("{panels} like {panel} of the {cloth} cloth would be enough")
            }
            Missing::Room { cloth } => {
                format!("there is too little of the {cloth} cloth, or no room on it as it is")
            }
        }
    }
}

/// What a state still needs whose pieces do not fit one by one.
pub(super) fn of_needs(state: &State, laying: Laying<'_>) -> Closest {
    let needs = state.needs();
    let too_large = needs.iter().filter_map(|need| match need {
        Need::TooWide { piece, .. } | Need::TooLong { piece, .. } => Some(piece.clone()),
        Need::Short { .. } => None,
    });
    let elsewhere = TooLittleCloth { state, laying }.elsewhere(&too_large.collect::<Vec<_>>());
    let missing = needs.into_iter().map(|need| match need {
        Need::TooWide { piece, width, gives, .. } => Missing::Width { piece, by: width - gives },
        Need::TooLong { piece, length, longest } => Missing::PieceLength { piece, by: length - longest },
        Need::Short { cloth } => Missing::Room { cloth },
    });
    Closest { done: state.done.clone(), missing: missing.collect(), elsewhere }
}

/// How many states are laid on plenty of cloth, to see which needs the least.
const COMPARED: usize = 8;

/// How many of those that need least are measured closely.
const MEASURED: usize = 2;

/// Of states whose pieces fit one by one, what is missing of cloth for the one that needs least of it.
pub(super) fn of_length(states: Vec<&State>, laying: Laying<'_>) -> Closest {
    let states: Vec<State> = states.into_iter().take(COMPARED).cloned().collect();
    let Some(first) = states.first().cloned() else {
        return Closest { done: Vec::new(), missing: Vec::new(), elsewhere: Vec::new() };
    };
    let mut compared: Vec<(f64, State)> = Vec::new();
    let needed = |state: &State| TooLittleCloth { state, laying }.needed();
    side_by_side(states, laying, needed, &mut |state, needed| compared.push((needed, state)));
    compared.sort_by(|a, b| a.0.total_cmp(&b.0));
    let least: Vec<State> = compared.into_iter().take(MEASURED).map(|(_, state)| state).collect();
    let mut measured: Vec<(Vec<Missing>, State)> = Vec::new();
    let missing = |state: &State| TooLittleCloth { state, laying }.missing();
    side_by_side(least, laying, missing, &mut |state, missing| measured.push((missing, state)));
    measured.retain(|(missing, _)| !missing.is_empty());
    measured.sort_by(|a, b| length_of(&a.0).total_cmp(&length_of(&b.0)));
    let (missing, state) = measured.into_iter().next().unwrap_or_else(|| {
        // The time ran out before it was found of which.
        let cloths = first.fit.cloths.iter().map(|area| Missing::Room { cloth: area.cloth.clone() });
        (cloths.collect(), first)
    });
    let elsewhere = TooLittleCloth { state: &state, laying }.elsewhere(&[]);
    Closest { done: state.done, missing, elsewhere }
}

/// How much length is missing in all, mm; without end where no length helps.
fn length_of(missing: &[Missing]) -> f64 {
    let length = |missing: &Missing| match missing {
        Missing::Length { by, .. } => *by,
        Missing::Lengths { count, length, .. } => *count as f64 * length,
        // Of panels of one kind the fewest are the least.
        Missing::Panels { count, .. } => *count as f64,
        Missing::Width { .. } | Missing::PieceLength { .. } | Missing::Room { .. } => f64::INFINITY,
    };
    missing.iter().map(length).sum()
}

/// A pattern for which there is too little cloth.
struct TooLittleCloth<'a> {
    state: &'a State,
    laying: Laying<'a>,
}

impl TooLittleCloth<'_> {
    fn cloths(&self) -> impl Iterator<Item = (&Cloth, f64)> {
        let needed = |cloth: &Cloth| {
            let mut cloths = self.state.fit.cloths.iter();
            cloths.find(|area| area.cloth == *cloth.name()).map(|area| area.needed)
        };
        self.laying.stock.cloths().filter_map(move |cloth| Some((cloth, needed(cloth)?)))
    }

    /// About how much length of all cloths is used where there is plenty, mm; without end where that is not found.
    fn needed(&self) -> f64 {
        let used = |(cloth, needed): (&Cloth, f64)| {
            let plenty = plenty_of(cloth, needed)?;
            let laid = self.laid_on(plenty, self.laying.effort.quick)?;
            Some(laid.uses.iter().map(|usage| usage.used).sum::<f64>())
        };
        self.cloths().map(|each| used(each).unwrap_or(f64::INFINITY)).sum()
    }

    /// What is missing of each cloth; nothing where no time is left to know.
    fn missing(&self) -> Vec<Missing> {
        self.cloths().filter_map(|(cloth, needed)| self.of(cloth, needed)).collect()
    }

    /// What is missing of a cloth; none where what is cut from it lies, or where no time is left to know.
    fn of(&self, cloth: &Cloth, needed: f64) -> Option<Missing> {
        let lies = || self.laid_on(cloth.clone(), self.laying.effort.quick).is_some();
        if self.laying.is_late() || lies() {
            return None;
        }
        let missing = match cloth.bolts() {
            [_] => self.length_missing(cloth, needed),
            _ => self.more_missing(cloth, needed),
        };
        Some(missing.unwrap_or_else(|| Missing::Room { cloth: cloth.name().clone() }))
    }

    /// How much longer a cloth's one length must be: as much as is used of plenty, and a little more where it does not lie
    /// again on so much.
    fn length_missing(&self, cloth: &Cloth, needed: f64) -> Option<Missing> {
        let bolt = cloth.bolts().first()?;
        let Effort { again, good, .. } = self.laying.effort;
        let used = self.laid_on(plenty_of(cloth, needed)?, *good)?.uses.first()?.used;
        let enough = |share: &f64| {
            let by = (used * share - bolt.length()).max(0.0);
            let longer = bolt.lengthened(Length::from_mm(by)).ok()?;
            self.laid_on(cloth.of_bolts(vec![longer]).ok()?, *again).map(|_| by)
        };
        let by = ROOM.iter().find_map(enough).unwrap_or(used - bolt.length());
        (by > 0.0).then(|| Missing::Length { cloth: cloth.name().clone(), by })
    }

    /// How many more of a cloth's longest length there must be, or where it is there in panels only, of its largest panel.
    fn more_missing(&self, cloth: &Cloth, needed: f64) -> Option<Missing> {
        let more = AnotherOne::of(cloth)?;
        let area = |count: usize| cloth.area() + count as f64 * more.area();
        let counts = (1..).skip_while(|count| area(*count) < needed).take(LENGTHS_TRIED);
        let mut counts =
            counts.take_while(|count| area(*count) < cloth.area() + SPARSE * needed + more.area());
        let lies = |count: &usize| {
            let longer = more.added(cloth, *count);
            longer.is_some_and(|longer| self.laid_on(longer, self.laying.effort.again).is_some())
        };
        let count = counts.find(lies)?;
        Some(more.missing(cloth, count))
    }

    /// What is cut from a cloth as it lies on it; none where it does not.
    fn laid_on(&self, cloth: Cloth, limit: Limit) -> Option<Laid> {
        self.laid(&self.state.pattern, &Stock::new([cloth]).ok()?, limit)
    }

    fn laid(&self, pattern: &Pattern, stock: &Stock, limit: Limit) -> Option<Laid> {
        if self.laying.is_late() {
            return None;
        }
        let laid = self.laying.lay_on(pattern, stock, limit).ok()?;
        (laid.verdict == LaidVerdict::Fits).then_some(laid)
    }

    /// The pieces without which the others lie, those that fit no cloth among them: the least seen first. None where most of
    /// the garment would have to go.
    fn elsewhere(&self, too_large: &[PieceName]) -> Vec<PieceName> {
        let pattern = &self.state.pattern;
        let others = pattern.pieces().filter(|piece| piece.is_cut() && !too_large.contains(piece.name()));
        let others = least_seen_first(pattern, others);
        let without = |count: usize| [too_large, &others[..count]].concat();
        let (mut from, mut to) = (0, others.len());
        while to > 0 && !is_lesser_part(pattern, &without(to)) {
            to -= 1;
        }
        if !is_lesser_part(pattern, &without(to)) || !self.lies_without(&without(to)) {
            return Vec::new();
        }
        while from < to {
            let middle = usize::midpoint(from, to);
            match self.lies_without(&without(middle)) {
                true => to = middle,
                false => from = middle + 1,
            }
        }
        let mut left_out = without(to);
        for piece in left_out.clone().iter().rev().skip(1).filter(|piece| !too_large.contains(piece)) {
            let fewer: Vec<PieceName> = left_out.iter().filter(|other| *other != piece).cloned().collect();
            if self.lies_without(&fewer) {
                left_out = fewer;
            }
        }
        left_out
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
        fit.is_ok_and(|fit| fit.fits && !fit.pieces.is_empty())
            && self.laid(&pattern, stock, self.laying.effort.quick).is_some()
    }
}

/// A name that no cloth has.
fn not_at_hand(stock: &Stock) -> Option<ClothName> {
    let mut names = (1..).filter_map(|number: u32| format!("other-{number}").parse().ok());
    names.find(|name| stock.find(name).is_none())
}

/// How sparse the sparsest layout is that is still worth telling of: a third of the cloth is cut.
const SPARSE: f64 = 3.0;

/// How many counts of further lengths or panels are tried, from the fewest that have the area on.
const LENGTHS_TRIED: usize = 6;

/// What is tried to be enough, of the length that was used where there was plenty.
const ROOM: [f64; 4] = [1.0, 1.01, 1.02, 1.04];

/// Plenty of a cloth: so much more of its one length, or so many more lengths, that pieces of an area lie on it anyhow.
fn plenty_of(cloth: &Cloth, needed: f64) -> Option<Cloth> {
    if let [bolt] = cloth.bolts() {
        let more = SPARSE * needed / bolt.width().least(0.0, bolt.length());
        return cloth.of_bolts(vec![bolt.lengthened(Length::from_mm(more)).ok()?]).ok();
    }
    let more = AnotherOne::of(cloth)?;
    more.added(cloth, (SPARSE * needed / more.area()).ceil() as usize)
}

/// What a cloth is given more of.
enum AnotherOne {
    /// A length, as long as its longest.
    Length(Bolt),
    /// A panel, as its largest.
    Panel(Panel),
}

impl AnotherOne {
    /// Of a cloth: a length, or a panel where it is there in panels only.
    fn of(cloth: &Cloth) -> Option<AnotherOne> {
        if let Some(longest) = cloth.bolts().iter().max_by(|a, b| a.length().total_cmp(&b.length())) {
            let length = Bolt::new(longest.width().clone(), Length::from_mm(longest.length()));
            return length.ok().map(AnotherOne::Length);
        }
        let area = |panel: &Panel| panel.outline().area();
        let largest = cloth.panels().iter().max_by(|a, b| area(a).total_cmp(&area(b)));
        largest.cloned().map(AnotherOne::Panel)
    }

    fn area(&self) -> f64 {
        match self {
            AnotherOne::Length(bolt) => bolt.area(),
            AnotherOne::Panel(panel) => panel.outline().area(),
        }
    }

    /// A cloth with so many more.
    fn added(&self, cloth: &Cloth, count: usize) -> Option<Cloth> {
        match self {
            AnotherOne::Length(bolt) => {
                let bolts = cloth.bolts().iter().chain(repeat_n(bolt, count)).cloned();
                cloth.of_bolts(bolts.collect()).ok()
            }
            AnotherOne::Panel(more) => {
                let panels = cloth.panels().iter().map(|panel| match panel == more {
                    true => panel.copied(panel.copies().saturating_add(count as u32)),
                    false => panel.clone(),
                });
                cloth.of_panels(panels.collect()).ok()
            }
        }
    }

    /// That so many more are missing.
    fn missing(&self, cloth: &Cloth, count: usize) -> Missing {
        let cloth = cloth.name().clone();
        match self {
            AnotherOne::Length(bolt) => Missing::Lengths { cloth, count, length: bolt.length() },
            AnotherOne::Panel(panel) => Missing::Panels { cloth, panel: panel.name().to_owned(), count },
        }
    }
}
