//! The ledger: what a pattern measures, and what became of what it measured when it was first read.

use indexmap::IndexMap;
use serde::Serialize;

use super::girth::girths;
use crate::pattern::{EdgeRef, Ledger, LevelName, NewSeam, Origin, Pattern, PieceName};
use crate::tolerance::PART_TURNED;
use crate::units::Length;

/// What the pattern measures now: girth per level, sewn length of every edge as drawn, and the net area of all pieces,
/// all copies counted.
#[must_use]
pub fn ledger(pattern: &Pattern) -> Ledger {
    let edges = pattern.pieces().flat_map(|piece| {
        piece.edge_ids().map(move |id| {
            (EdgeRef::new(piece.name().clone(), piece.edge(id).name.clone()), piece.sewn_length(id))
        })
    });
    Ledger {
        girths: girths(pattern).into_iter().map(|girth| (girth.level, girth.around.mm())).collect(),
        edges: edges.collect(),
        net_area: net_area(pattern),
    }
}

/// Net area of all pieces, all copies counted, mm².
fn net_area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.net_area() * f64::from(piece.times())).sum()
}

/// Whether the garment is still the same size: what the pattern measured before its first step, against now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Account {
    /// Girth per level; first those of old, then levels that are new.
    pub girths: Vec<GirthAccount>,
    /// Every original edge.
    pub edges: Vec<EdgeAccount>,
    /// Net area of all copies before the first step, mm².
    pub net_area_then: f64,
    /// Net area of all copies now, mm².
    pub net_area_now: f64,
    /// Parts that lie off the grain of the piece they were joined to.
    pub off_grain: Vec<PartOffGrain>,
    /// The seams that were made.
    pub new_seams: Vec<NewSeam>,
}

/// The girth at a level, then and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct GirthAccount {
    /// The level.
    pub level: LevelName,
    /// Before the first step; nothing where the level is new.
    pub then: Option<Length>,
    /// Now; nothing where the level is gone.
    pub now: Option<Length>,
    /// What the steps declare to have changed it by.
    pub declared: Length,
}

impl GirthAccount {
    /// What the girth changed by beyond what was declared. A level that is gone has no girth; one that is new was
    /// not changed.
    #[must_use]
    pub fn unexplained(&self) -> Length {
        let mm = |length: Option<Length>| length.map_or(0.0, Length::mm);
        match self.then {
            None => Length::ZERO,
            Some(then) => Length::from_mm(mm(self.now) - then.mm() - self.declared.mm()),
        }
    }
}

/// The sewn length of an original edge, and where it is now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct EdgeAccount {
    /// The edge as it was.
    pub edge: EdgeRef,
    /// Its sewn length then.
    pub then: Length,
    /// The edges of today that have parts of it, in the order in which they stand on it.
    pub now: Vec<EdgePlace>,
    /// How much of it today's edges have, each stretch counted once: less than `then` where some was cut away or taken
    /// into a seam.
    pub kept: Length,
}

/// The stretch of an original edge that an edge of today has.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct EdgePlace {
    /// The edge of today.
    pub edge: EdgeRef,
    /// Sewn length on the original edge at which the stretch begins, from its first corner; greater than `to` where the
    /// cloth was mirrored.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// A part that lies off the grain of the piece it was joined to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PartOffGrain {
    /// The piece that it came from.
    pub from: PieceName,
    /// The piece that it was joined to.
    pub to: PieceName,
    /// The angle between the two grains, degrees.
    pub degrees: f64,
}

/// What became of what the pattern measured before its first step; nothing where no step was done.
#[must_use]
pub fn account(pattern: &Pattern) -> Option<Account> {
    let then = pattern.record.ledger.as_ref()?;
    let steps = &pattern.record.steps;
    let moved = steps.iter().flat_map(|step| &step.moved);
    let off_grain = moved.filter(|part| part.off_grain.abs() > PART_TURNED).map(|part| PartOffGrain {
        from: part.from.clone(),
        to: part.to.clone(),
        degrees: part.off_grain,
    });
    Some(Account {
        girths: girth_accounts(pattern, then),
        edges: edge_accounts(pattern, then),
        net_area_then: then.net_area,
        net_area_now: net_area(pattern),
        off_grain: off_grain.collect(),
        new_seams: steps.iter().flat_map(|step| &step.new_seams).cloned().collect(),
    })
}

/// Girth per level, then and now.
pub(super) fn girth_accounts(pattern: &Pattern, then: &Ledger) -> Vec<GirthAccount> {
    let mut accounts: IndexMap<LevelName, GirthAccount> = IndexMap::new();
    let mut entry = |level: &LevelName, then: Option<f64>, now: Option<Length>| {
        let account = accounts.entry(level.clone()).or_insert_with(|| GirthAccount {
            level: level.clone(),
            then: None,
            now: None,
            declared: Length::from_mm(pattern.record.declared_girth(level)),
        });
        account.then = account.then.or(then.map(Length::from_mm));
        account.now = account.now.or(now);
    };
    for (level, girth) in &then.girths {
        entry(level, Some(*girth), None);
    }
    for girth in girths(pattern) {
        entry(&girth.level, None, Some(girth.around));
    }
    accounts.into_values().collect()
}

fn edge_accounts(pattern: &Pattern, then: &Ledger) -> Vec<EdgeAccount> {
    let mut places: IndexMap<(PieceName, crate::pattern::EdgeName), Vec<EdgePlace>> = IndexMap::new();
    for piece in pattern.pieces() {
        for edge in piece.edges() {
            for Origin { edge: original, from, to } in &edge.origins {
                let key = (original.piece.clone(), original.edge.clone());
                places.entry(key).or_default().push(EdgePlace {
                    edge: EdgeRef::new(piece.name().clone(), edge.name.clone()),
                    from: Length::from_mm(*from),
                    to: Length::from_mm(*to),
                });
            }
        }
    }
    let account = |(edge, length): &(EdgeRef, f64)| {
        let mut now = places.get(&(edge.piece.clone(), edge.edge.clone())).cloned().unwrap_or_default();
        now.sort_by(|a, b| span(a).0.total_cmp(&span(b).0));
        let kept = Length::from_mm(covered(now.iter().map(span)));
        EdgeAccount { edge: edge.clone(), then: Length::from_mm(*length), now, kept }
    };
    then.edges.iter().map(account).collect()
}

fn span(place: &EdgePlace) -> (f64, f64) {
    (place.from.mm().min(place.to.mm()), place.from.mm().max(place.to.mm()))
}

/// The length that spans cover together; they come in order of their starts.
fn covered(spans: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut sum, mut reached) = (0.0, f64::NEG_INFINITY);
    for (from, to) in spans {
        if to > reached {
            sum += to - from.max(reached);
            reached = to;
        }
    }
    sum
}
