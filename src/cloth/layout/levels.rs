//! Levels that are to lie at the same place of the cloth's pattern, in all pieces of a cloth that carry them: matched all
//! the way round.

use crate::cloth::layout::LayError;
use crate::cloth::layout::alike::{Alike, PlaceAlike, compared};
use crate::cloth::layout::matches::WishKept;
use crate::cloth::layout::partners::LyingCopy;
use crate::cloth::{Cloth, Mark, Stock, StripesAlong, StripesAt};
use crate::curve::{Point, Vec2};
use crate::pattern::{ClothName, Level, LevelName, Pattern, Piece, PieceName, nearest};
use crate::tolerance::{COLOUR_STEP, LEAST_MATCH, STRIPES_MEET};

/// How far above and below a level pieces are compared, mm: what is seen of one beside the next.
const COMPARED: f64 = 200.0;

/// A level that is to be matched on a cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelMatch {
    /// Which.
    pub level: LevelName,
    /// On which cloth.
    pub cloth: ClothName,
    /// In which pieces.
    pub places: Vec<LevelPlace>,
}

/// The place of a level in a piece: the middle of its longest stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelPlace {
    /// The piece.
    pub piece: PieceName,
    /// Where it is, on the pattern sheet.
    pub at: Point,
    /// How far other stretches of it lie from there along the grain, mm: it was bent by a recut.
    pub spread: f64,
    /// The direction of the piece's grain there.
    pub(super) down: Vec2,
    /// How far the piece reaches before and after it along the grain, mm.
    pub(super) reach: (f64, f64),
}

/// How far a level lies at the same place of the cloth's pattern on a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidLevel {
    /// Which, and in which pieces.
    pub wished: LevelMatch,
    /// How many copies carry it.
    pub copies: usize,
    /// What was measured.
    pub met: LevelMet,
    /// What the search made of the wish.
    pub wish: WishKept,
}

/// What was measured of a level.
#[derive(Clone, Debug, PartialEq)]
pub enum LevelMet {
    /// How far the stripes of the copy that is farthest off lie from those of the first, mm, and what it is called.
    Stripes(f64, String),
    /// How different the colours look at the same height in two copies, on the mean and at the worst.
    Colours(Alike),
    /// It is not known what the cloth looks like where they lie.
    Unknown,
}

impl LevelMatch {
    /// The matches of a level: one for each cloth with a pattern of which two pieces or copies carry it.
    ///
    /// # Errors
    ///
    /// Refuses a level that no piece carries, and one of pieces whose cloths have no pattern.
    pub(super) fn all(
        pattern: &Pattern,
        stock: &Stock,
        level: &LevelName,
    ) -> Result<Vec<LevelMatch>, LayError> {
        let mut found: Vec<LevelMatch> = Vec::new();
        let mut known = false;
        for piece in pattern.pieces() {
            let Some(drawn) = piece.levels.iter().find(|drawn| drawn.name == *level) else { continue };
            known = true;
            let Some(cloth) = stock.find(&piece.cloth).filter(|cloth| cloth.has_pattern()) else { continue };
            let Some(place) = LevelPlace::of(piece, drawn) else { continue };
            match found.iter_mut().find(|matched| matched.cloth == *cloth.name()) {
                Some(matched) => matched.places.push(place),
                None => found.push(LevelMatch {
                    level: level.clone(),
                    cloth: cloth.name().clone(),
                    places: vec![place],
                }),
            }
        }
        if !known {
            let names: Vec<&str> = pattern
                .pieces()
                .flat_map(|piece| piece.levels.iter().map(|level| level.name.as_str()))
                .collect();
            let nearest = nearest(level.as_str(), names).map(str::to_owned);
            return Err(LayError::NoLevel { level: level.clone(), nearest });
        }
        if found.is_empty() { Err(LayError::LevelOnPlainCloth(level.clone())) } else { Ok(found) }
    }

    /// The pairs of places at the same height in each two copies that carry it.
    pub(super) fn pairs(&self, lying: &[LyingCopy<'_>]) -> Vec<Vec<PlaceAlike>> {
        let carrying: Vec<(usize, &LevelPlace)> = lying
            .iter()
            .enumerate()
            .filter_map(|(i, lying)| {
                Some((i, self.places.iter().find(|place| place.piece == lying.copy.piece)?))
            })
            .collect();
        let of_two = |(i, first): (usize, &(usize, &LevelPlace))| {
            let first = *first;
            carrying[i + 1..].iter().map(move |second| heights(lying, first, *second)).collect::<Vec<_>>()
        };
        carrying.iter().enumerate().flat_map(of_two).collect()
    }

    /// Measures the level on where copies lie.
    pub(super) fn measure(&self, cloth: &Cloth, stock: &Stock, lying: &[LyingCopy<'_>]) -> (usize, LevelMet) {
        let on = |lying: &&LyingCopy<'_>| self.places.iter().any(|place| place.piece == lying.copy.piece);
        let copies = lying.iter().filter(on).count();
        let met = match cloth.stripes_along(StripesAlong::Width) {
            Some(stripes) => self.stripes_met(stripes.at(), lying),
            None => {
                let pairs = self.pairs(lying).into_iter().flatten();
                let places: Vec<PlaceAlike> = pairs
                    .map(|pair| PlaceAlike { difference: compared(stock, lying, &pair), ..pair })
                    .collect();
                Alike::of(&places).map_or(LevelMet::Unknown, LevelMet::Colours)
            }
        };
        (copies, met)
    }

    fn stripes_met(&self, stripes: &StripesAt, lying: &[LyingCopy<'_>]) -> LevelMet {
        let along = lying.iter().filter_map(|lying| {
            let place = self.places.iter().find(|place| place.piece == lying.copy.piece)?;
            let known = lying.ground.shows_stripes(StripesAlong::Width);
            known.then(|| (lying.copy.to_string(), lying.motion.apply(place.at).y))
        });
        let along: Vec<(String, f64)> = along.collect();
        let Some((_, first)) = along.first() else { return LevelMet::Unknown };
        let off = |at: f64| match stripes {
            StripesAt::Every { repeat, .. } => {
                let off = at - first;
                (off - (off / repeat).round() * repeat).abs()
            }
            StripesAt::Marks(marks) => marks_apart(marks, *first, at),
        };
        let worst = along.iter().map(|(name, at)| (off(*at), name)).max_by(|a, b| a.0.total_cmp(&b.0));
        worst.map_or(LevelMet::Unknown, |(off, name)| LevelMet::Stripes(off, name.clone()))
    }
}

/// How differently marks within [`LEAST_MATCH`] lie about two places, mm; infinite where one has no like about the other. A
/// mark at the very end of what is looked at may be beyond it about the other.
fn marks_apart(marks: &[Mark], first: f64, second: f64) -> f64 {
    let worst = |from: f64, other: f64| {
        let near = marks.iter().filter(move |mark| (mark.at - from).abs() <= LEAST_MATCH - STRIPES_MEET);
        let off = near.map(|mark| {
            let alike = marks.iter().filter(|like| like.word == mark.word);
            let off = alike.map(|like| ((like.at - other) - (mark.at - from)).abs());
            off.filter(|off| *off <= LEAST_MATCH).fold(f64::INFINITY, f64::min)
        });
        off.fold(0.0, f64::max)
    };
    worst(first, second).max(worst(second, first))
}

/// Pairs of places at the same height above and below a level in two copies, as far as both reach.
fn heights(
    lying: &[LyingCopy<'_>],
    first: (usize, &LevelPlace),
    second: (usize, &LevelPlace),
) -> Vec<PlaceAlike> {
    let from = first.1.reach.0.max(second.1.reach.0).max(-COMPARED);
    let to = first.1.reach.1.min(second.1.reach.1).min(COMPARED);
    let steps = ((to - from) / COLOUR_STEP).floor().max(0.0) as usize;
    let at = |(copy, place): (usize, &LevelPlace), height: f64| {
        let down = lying[copy].motion.apply_vec(place.down);
        lying[copy].motion.apply(place.at) + down * height
    };
    let heights = (0..=steps).map(|step| from + step as f64 * COLOUR_STEP);
    heights
        .map(|height| PlaceAlike {
            at: height,
            lying: [first.0, second.0],
            points: [at(first, height), at(second, height)],
            difference: None,
        })
        .collect()
}

impl LevelPlace {
    fn of(piece: &Piece, level: &Level) -> Option<LevelPlace> {
        let long = |(from, to): &&(Point, Point)| from.distance(*to);
        let (from, to) = level.stretches.iter().max_by(|a, b| long(a).total_cmp(&long(b)))?;
        let (at, down) = (from.midpoint(*to), piece.grain_or_down());
        let off = |point: Point| (point - at).dot(down);
        let middles = level.stretches.iter().map(|(from, to)| off(from.midpoint(*to)).abs());
        let corners = piece.edges().iter().flat_map(|edge| [edge.curve.start(), edge.curve.end()]);
        let reach =
            corners.map(off).fold((0.0, 0.0), |(low, high): (f64, f64), at| (low.min(at), high.max(at)));
        Some(LevelPlace { piece: piece.name().clone(), at, down, spread: middles.fold(0.0, f64::max), reach })
    }
}
