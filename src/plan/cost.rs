//! What a change costs in the eyes of who will wear it. One is a plain new seam down the body.

use crate::plan::change::Move;
use crate::plan::{ChangeKind, RecutFigures, Seen};

/// What an alternative costs, part by part; less is better.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cost {
    /// The changes themselves: new seams weighted by how they are seen.
    pub changes: f64,
    /// Edges off the grain, and pieces cut across.
    pub off_grain: f64,
    /// Seams of striped or coloured cloth that cannot have it match any more.
    pub stripes: f64,
    /// Seams that miss each other at a joint; less than nothing where they run on.
    pub joints: f64,
    /// Cloth used.
    pub cloth: f64,
}

impl Cost {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.changes + self.off_grain + self.stripes + self.joints + self.cloth
    }

    /// The cost of changes with what came of them.
    pub(super) fn of(changes: f64, figures: &RecutFigures) -> Cost {
        let length: f64 = figures.used.iter().map(|used| used.used).sum();
        Cost {
            changes,
            off_grain: OFF_GRAIN * f64::from(figures.edges_off_grain) + ACROSS * f64::from(figures.crosswise),
            stripes: STRIPES_LOST * f64::from(figures.stripes_lost),
            joints: MISSED * figures.missed.len() as f64 - RUNS_ON * f64::from(figures.run_on),
            cloth: PER_METRE * length / 1000.0,
        }
    }
}

/// An edge off the grain will grow: a quarter of a seam, since it can be stayed.
const OFF_GRAIN: f64 = 0.25;

/// A piece across the grain hangs and wears otherwise.
const ACROSS: f64 = 0.2;

/// Stripes that part at a seam are seen as far as the seam is.
const STRIPES_LOST: f64 = 0.5;

/// Seams that miss each other look like a mistake: half as bad as one more.
const MISSED: f64 = 0.5;

/// Seams that run on as one are seen as one.
const RUNS_ON: f64 = 0.2;

/// A metre of cloth: it decides only between plans that look alike.
const PER_METRE: f64 = 0.1;

/// The cost of a move: what each seam that it adds is seen, and what it does besides to each piece.
pub(super) fn of_move(made: &Move, added: i64) -> f64 {
    let mut added = added.max(0);
    let kinds = [Some(made.kind), made.besides].into_iter().flatten();
    let each = kinds.flat_map(|kind| made.changed.iter().map(move |(_, seen)| (kind, *seen)));
    each.map(|(kind, seen)| of_change(kind, seen, std::mem::take(&mut added))).sum()
}

fn of_change(kind: ChangeKind, seen: Seen, added: i64) -> f64 {
    let (each, once) = match kind {
        ChangeKind::SideSeam => (1.0, 0.8),
        ChangeKind::Selvedge => (1.0, 1.2),
        ChangeKind::Centre => (0.9, 0.0),
        ChangeKind::Princess => (0.6, 0.0),
        ChangeKind::DartSeam => (0.6, 0.0),
        ChangeKind::StyleLine => (0.7, 0.0),
        ChangeKind::Yoke => (0.9, 0.0),
        ChangeKind::Waist => (1.0, 0.0),
        ChangeKind::Panels => (1.3, 0.0),
        ChangeKind::Band => (0.9, 0.0),
        // All round it is one line, and a choice of cloth that looks meant.
        ChangeKind::Border => (0.3, 0.5),
        ChangeKind::Crosswise => (0.0, 0.3),
        ChangeKind::TwoPiece => (0.5, 0.0),
        ChangeKind::Piecing => (0.5, 0.1),
        // Seen all over, it is another garment: more than any two seams.
        ChangeKind::Companion if seen == Seen::Body => (0.0, 2.5),
        ChangeKind::Companion => (0.0, 0.4),
        // Work by hand that is seen from the outside; edge to edge, all of it.
        ChangeKind::Lapped => (0.0, 0.4),
        ChangeKind::Butted => (0.0, 0.6),
    };
    seen.weight() * (each * added as f64 + once)
}

impl Seen {
    /// How heavy a change to such a piece weighs against one to a piece of the body.
    pub(super) fn weight(self) -> f64 {
        match self {
            Seen::Hidden => 0.2,
            Seen::Detail => 0.7,
            Seen::Body => 1.0,
        }
    }
}
