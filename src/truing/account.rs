//! The account: whether the garment is still the size it had when it was first read.

use rustc_hash::FxHashMap;

use crate::pattern::{EdgeRef, LevelName, NewSeam, Pattern, PieceName, SeamId, Side};
use crate::tolerance::PART_TURNED;
use crate::truing::{girths, ledger};
use crate::units::{Length, in_mm, in_mm_if_any};
use serde::{Serialize, Serializer};

/// What a pattern measured before its first step, and what has become of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Account {
    /// Every level that the garment had or has.
    pub girths: Vec<GirthAccount>,
    /// Every edge that the pattern had.
    pub edges: Vec<EdgeAccount>,
    /// Net area of all pieces before the first step, all copies counted, mm².
    pub net_area_then: f64,
    /// The same now.
    pub net_area_now: f64,
    /// The parts that lie off the grain of the piece they belong to.
    pub off_grain: Vec<PartOffGrain>,
    /// The seams of today that steps made, by an edge on either side.
    #[serde(serialize_with = "as_pairs")]
    pub new_seams: Vec<NewSeam>,
}

fn as_pairs<S: Serializer>(seams: &[NewSeam], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(seams.iter().map(|seam| [&seam.first, &seam.second]))
}

/// The girth at a level, on the whole garment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GirthAccount {
    /// The level.
    pub level: LevelName,
    /// Before the first step; none where no piece had the level.
    #[serde(serialize_with = "in_mm_if_any")]
    pub then: Option<Length>,
    /// Now; none where no piece has the level.
    #[serde(serialize_with = "in_mm_if_any")]
    pub now: Option<Length>,
    /// By how much the steps declare to have changed it.
    #[serde(serialize_with = "in_mm")]
    pub declared: Length,
    /// By how much it changed without being declared.
    #[serde(serialize_with = "in_mm")]
    pub unaccounted: Length,
}

impl GirthAccount {
    fn of(level: LevelName, then: Option<Length>, now: Option<Length>, declared: Length) -> GirthAccount {
        let mm = |girth: Option<Length>| girth.map_or(0.0, Length::mm);
        let unaccounted = Length::from_mm(mm(now) - mm(then) - declared.mm());
        GirthAccount { level, then, now, declared, unaccounted }
    }
}

/// What has become of an edge that the pattern had before its first step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EdgeAccount {
    /// The edge as it was named then.
    pub edge: EdgeRef,
    /// Its sewn length then.
    #[serde(serialize_with = "in_mm")]
    pub then: Length,
    /// Where it is now, in the order of the sheet; empty where it was sewn up for good.
    pub now: Vec<EdgePart>,
}

/// A stretch of an original edge on an edge of today.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EdgePart {
    /// The edge of today.
    pub edge: EdgeRef,
    /// The stretch of the original edge, as sewn lengths on it; the first is the greater where the cloth was mirrored.
    #[serde(skip)]
    pub stretch: (Length, Length),
    /// What it measures now: the sewn length of the edge of today where that consists of nothing else, else the
    /// length of the stretch.
    #[serde(serialize_with = "in_mm")]
    pub length: Length,
}

/// A part of a piece that was turned when it was joined to another.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartOffGrain {
    /// The piece that the part came from.
    pub part: PieceName,
    /// The piece it belongs to since.
    pub piece: PieceName,
    /// The angle between their grains, degrees.
    pub degrees: f64,
}

/// Holds a pattern against what it measured before its first step; none where no step was done.
#[must_use]
pub fn account(pattern: &Pattern) -> Option<Account> {
    let then = pattern.record.ledger.as_ref()?;
    let steps = &pattern.record.steps;
    let mut places = places_of_origins(pattern);
    let edges = then.edges.iter().map(|(edge, length)| EdgeAccount {
        edge: edge.clone(),
        then: Length::from_mm(*length),
        now: places.remove(edge).unwrap_or_default(),
    });
    let moved = steps.iter().flat_map(|step| &step.moved).filter(|moved| moved.off_grain.abs() > PART_TURNED);
    Some(Account {
        girths: girth_accounts(pattern, &then.girths),
        edges: edges.collect(),
        net_area_then: then.net_area,
        net_area_now: ledger::net_area(pattern),
        off_grain: moved
            .map(|moved| PartOffGrain {
                part: moved.from.clone(),
                piece: moved.to.clone(),
                degrees: moved.off_grain,
            })
            .collect(),
        new_seams: pattern.seam_ids().filter_map(|id| new_seam(pattern, id)).collect(),
    })
}

/// A seam that a step made, by the first new edge on either side.
fn new_seam(pattern: &Pattern, id: SeamId) -> Option<NewSeam> {
    let seam = pattern.seam(id);
    let new = |side: Side| {
        let edges = seam.side(side).edges().iter().map(|run| &run.edge);
        edges.into_iter().find(|edge| pattern.is_new_edge(edge)).cloned()
    };
    Some(NewSeam { first: new(Side::First)?, second: new(Side::Second)? })
}

/// The girth at every level of then and of now.
pub(super) fn girth_accounts(pattern: &Pattern, then: &[(LevelName, f64)]) -> Vec<GirthAccount> {
    let declared = |level: &LevelName| Length::from_mm(pattern.record.declared_girth(level));
    let mut now: FxHashMap<LevelName, Length> = FxHashMap::default();
    let of_now: Vec<LevelName> = girths(pattern)
        .into_iter()
        .map(|girth| {
            now.insert(girth.level.clone(), girth.around);
            girth.level
        })
        .collect();
    let account = |level: LevelName, then: Option<Length>| {
        let (now, declared) = (now.get(&level).copied(), declared(&level));
        GirthAccount::of(level, then, now, declared)
    };
    let was = |level: &LevelName| then.iter().any(|(name, _)| name == level);
    let old = then.iter().map(|(level, mm)| account(level.clone(), Some(Length::from_mm(*mm))));
    let added = of_now.iter().filter(|level| !was(level)).map(|level| account(level.clone(), None));
    old.chain(added).collect()
}

/// The parts of the edges of today, by the original edge they came from.
fn places_of_origins(pattern: &Pattern) -> FxHashMap<EdgeRef, Vec<EdgePart>> {
    let mut places: FxHashMap<EdgeRef, Vec<EdgePart>> = FxHashMap::default();
    for piece in pattern.pieces() {
        for id in piece.edge_ids() {
            let edge = piece.edge(id);
            for origin in &edge.origins {
                let length = match edge.origins.as_slice() {
                    [_] => piece.sewn_length(id),
                    _ => (origin.to - origin.from).abs(),
                };
                places.entry(origin.edge.clone()).or_default().push(EdgePart {
                    edge: EdgeRef::new(piece.name().clone(), edge.name.clone()),
                    stretch: (Length::from_mm(origin.from), Length::from_mm(origin.to)),
                    length: Length::from_mm(length),
                });
            }
        }
    }
    places
}
