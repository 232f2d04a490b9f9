//! The parts of a piece that was divided, laid together again along the seams between them, for a copy that stays whole.
//!
//! ```text
//!   front-centre │ front-side   ──>   ┌──────┐
//!                                     │  ╱╲  │   what the seam took in is a dart
//!                                     └──────┘
//! ```

use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::parts::assemble::{Assembled, Mapped};
use crate::parts::join::{goes_on_in, seams_in_one};
use crate::parts::merge::{Joining, Merged};
use crate::parts::seams_after::seams_after;
use crate::parts::ties::first_greatest;
use crate::pattern::{
    Copy, EdgeName, EdgeRef, LaidOn, LaidPart, LaidStretch, LiesTo, MadeFrom, Making, Pattern, Piece,
    PieceName, Refusal, RefusalKind, Run, Seam, Side, Travel,
};
use crate::tolerance::SAME_CUT;

/// Whether a copy stays one piece when its piece is divided.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum StaysWhole {
    /// There is one copy for each part.
    #[default]
    No,
    /// There is one, of the parts laid together again.
    Yes,
}

/// The field of the record that tells it of a copy.
#[derive(Deserialize)]
struct WholeWish {
    whole: Option<StaysWhole>,
}

/// The parts on which a copy lies in one piece, if it does.
pub(super) fn parts_beneath<'a>(pattern: &Pattern, copy: &'a Piece) -> Option<&'a [PieceName]> {
    let derived = copy.derived.as_ref().filter(|derived| derived.by == Making::Copy)?;
    let MadeFrom::Pieces(parts) = &derived.from else { return None };
    let wish = WholeWish::deserialize(&pattern.record.made_last(copy.name())?.by).ok()?;
    (wish.whole == Some(StaysWhole::Yes) && parts.len() > 1).then_some(parts)
}

/// A pattern in which the parts of a piece are laid together again, under the name of the first.
pub(super) struct WholeAgain {
    pub pattern: Pattern,
    /// Where the stretches of the parts' edges lie on the whole.
    map: Vec<Mapped>,
    /// The edges of the whole of which something does not lie on the parts.
    drawn_anew: Vec<EdgeName>,
}

/// Lays parts together along the seams between them, the first where it lies; each gap becomes a dart.
///
/// # Errors
///
/// Refuses parts that are not sewn to one another, and what cannot be joined at a seam.
pub(super) fn laid_together(pattern: &Pattern, parts: &[PieceName]) -> Result<WholeAgain, Refusal> {
    let Some((whole, rest)) = parts.split_first() else { return Err(crate::curve::CurveError::Empty.into()) };
    let mut so_far = WholeAgain { pattern: pattern.clone(), map: Vec::new(), drawn_anew: Vec::new() };
    close_openings(&mut so_far.pattern, parts)?;
    let mut rest: Vec<&PieceName> = rest.iter().collect();
    while !rest.is_empty() {
        let next = rest.iter().position(|part| !between(&so_far.pattern, whole, part).is_empty());
        let Some(next) = next else { return Err(not_sewn(whole, rest[0])) };
        so_far.join(whole, rest.remove(next))?;
    }
    Ok(so_far)
}

/// What is whole has no openings in the seams between its parts; elsewhere an edge is open as it was.
fn close_openings(pattern: &mut Pattern, parts: &[PieceName]) -> Result<(), Refusal> {
    let all_of_parts = |seam: &&Seam| seam.edges().all(|run| parts.contains(&run.edge.piece));
    let inside: Vec<EdgeRef> = pattern
        .seams()
        .iter()
        .filter(all_of_parts)
        .flat_map(Seam::edges)
        .map(|run| run.edge.clone())
        .collect();
    for edge in inside {
        let piece = pattern.piece_mut(&edge.piece)?;
        let id = piece.edge_named(&edge.edge)?;
        let settings = piece.edge_settings(id);
        (*settings.open, *settings.lap) = (None, None);
    }
    Ok(())
}

fn not_sewn(whole: &PieceName, part: &PieceName) -> Refusal {
    Refusal::new(
        RefusalKind::BadSeam,
        part,
        format!("it is not sewn to `{whole}`, so that the two cannot be laid together again"),
        "sew them to one another with set-edge, or let the copy be one for each part: take `whole` off its step",
    )
}

/// The seams between two pieces, the first piece first and walked clockwise.
fn between(pattern: &Pattern, first: &PieceName, second: &PieceName) -> Vec<Seam> {
    let is_all = |run: &Run, piece: &PieceName| {
        run.edges().iter().all(|run| run.edge.piece == *piece && run.edge.copy == Copy::Drawn)
    };
    let of_both = |seam: &&Seam| is_all(&seam.first, first) && is_all(&seam.second, second);
    let ways = pattern.seams().iter().flat_map(|seam| [seam.clone(), seam.swapped()]).collect::<Vec<_>>();
    let clockwise = |seam: &Seam| match seam.first.edges().first().map(|run| run.travel) {
        Some(Travel::Anticlockwise) => seam.reversed(),
        _ => seam.clone(),
    };
    ways.iter().filter(of_both).map(clockwise).collect()
}

impl WholeAgain {
    /// Joins a part to what is whole so far.
    fn join(&mut self, whole: &PieceName, part: &PieceName) -> Result<(), Refusal> {
        let seam = self.one_seam(whole, part)?;
        let joining = Joining::of(&self.pattern, &seam, Side::First)?;
        let laid = joining.laid()?;
        let Merged { made, .. } = joining.merged(&self.pattern, &laid, whole.clone())?;
        let old = joining.old();
        let seams = seams_after(self.pattern.seams(), &old, std::slice::from_ref(&made));
        self.carry_map(&old, &made);
        self.pattern.set_seams(Vec::new())?;
        self.pattern.replace_piece(part, Vec::new())?;
        self.pattern.replace_piece(whole, vec![made.piece])?;
        self.pattern.set_seams(seams)
    }

    /// The seam between two pieces as one, where openings parted it: the longest of those that run on in one another.
    fn one_seam(&self, whole: &PieceName, part: &PieceName) -> Result<Seam, Refusal> {
        let seams = between(&self.pattern, whole, part);
        let mut runs: Vec<Vec<&Seam>> = Vec::new();
        let goes_on = |seam: &Seam, next: &Seam| goes_on_in(&self.pattern, seam, next);
        for first in seams.iter().filter(|seam| !seams.iter().any(|other| goes_on(other, seam))) {
            let mut run = vec![first];
            while let Some(next) = run.last().and_then(|last| seams.iter().find(|next| goes_on(last, next))) {
                run.push(next);
            }
            runs.push(run);
        }
        let long = |run: &Vec<&Seam>| -> f64 {
            let edges = run.iter().flat_map(|seam| seam.first.edges());
            edges.filter_map(|run| self.pattern.find_edge(&run.edge)).map(|edge| edge.curve.length()).sum()
        };
        let longest = first_greatest(&runs, |run| long(run));
        longest.and_then(|run| seams_in_one(run)).ok_or_else(|| not_sewn(whole, part))
    }

    /// Where all that was laid so far lies now.
    fn carry_map(&mut self, old: &[&Piece], made: &Assembled) {
        let is_whole = |mapped: &Mapped| old.first().is_some_and(|whole| mapped.old.piece == *whole.name());
        let (mut map, mut anew) = (Vec::new(), Vec::new());
        let before = std::mem::take(&mut self.map);
        for mapped in &made.map {
            if before.is_empty() || !is_whole(mapped) {
                map.push(mapped.clone());
                continue;
            }
            let within = before.iter().filter(|earlier| earlier.new.edge == mapped.old.edge);
            map.extend(within.filter_map(|earlier| through(earlier, mapped)));
        }
        anew.extend(made.drawn_anew.after.iter().map(|edge| edge.edge.clone()));
        let renamed =
            made.map.iter().filter(|mapped| is_whole(mapped) && self.drawn_anew.contains(&mapped.old.edge));
        anew.extend(renamed.map(|mapped| mapped.new.edge.clone()));
        (self.map, self.drawn_anew) = (map, anew);
    }

    /// How what lies on the whole lies on its parts.
    pub(super) fn on_parts(&self, laid: &LaidPart, parts: &[PieceName]) -> Vec<LaidPart> {
        let of = |part: &PieceName| {
            let stretches = laid.stretches.iter().flat_map(|lies| {
                let LaidOn::Edge(on) = &lies.on else { return Vec::new() };
                if self.drawn_anew.contains(on) {
                    return Vec::new();
                }
                let maps =
                    self.map.iter().filter(|mapped| mapped.old.piece == *part && mapped.new.edge == *on);
                maps.filter_map(|mapped| on_part(lies, mapped)).collect()
            });
            LaidPart { on: part.clone(), copy: laid.copy, stretches: stretches.collect() }
        };
        parts.iter().map(of).filter(|part| !part.stretches.is_empty()).collect()
    }
}

/// The place on an old edge that lies at a place of the new one.
fn place_on_old(mapped: &Mapped, at: f64) -> f64 {
    match mapped.way {
        Travel::Clockwise => mapped.from + at - mapped.new_from,
        Travel::Anticlockwise => mapped.to - (at - mapped.new_from),
    }
}

/// What of a stretch of the new edge lies between two places; none of too little.
fn overlap(mapped: &Mapped, from: f64, to: f64) -> Option<(f64, f64)> {
    let (low, high) = (mapped.new_from.max(from), (mapped.new_from + mapped.to - mapped.from).min(to));
    (high - low > SAME_CUT).then_some((low, high))
}

/// Where what lay on an edge of the whole lies when that was joined on.
fn through(earlier: &Mapped, later: &Mapped) -> Option<Mapped> {
    let (low, high) = overlap(earlier, later.from, later.to)?;
    let (a, b) = (place_on_old(earlier, low), place_on_old(earlier, high));
    let way = if earlier.way == later.way { Travel::Clockwise } else { Travel::Anticlockwise };
    Some(Mapped {
        from: a.min(b),
        to: a.max(b),
        new: later.new.clone(),
        new_from: later.carry(low).min(later.carry(high)),
        way,
        ..earlier.clone()
    })
}

/// How a stretch that lies on the whole lies on a part of it.
fn on_part(lies: &LaidStretch, mapped: &Mapped) -> Option<LaidStretch> {
    let (from, to) = lies.along;
    let (low, high) = overlap(mapped, from.min(to), from.max(to))?;
    let (first, last) = if from <= to { (low, high) } else { (high, low) };
    let own = |at: f64| lies.stretch.0 + (at - from) / (to - from) * (lies.stretch.1 - lies.stretch.0);
    Some(LaidStretch {
        stretch: (own(first), own(last)),
        on: LaidOn::Edge(mapped.old.edge.clone()),
        along: (place_on_old(mapped, first), place_on_old(mapped, last)),
        inside: 0.0,
        further: 0.0,
        lies: LiesTo::Right,
        ..lies.clone()
    })
}
