//! Where the pieces lie on the table: each step leaves a piece where it lay, and what is then in its way is pushed aside.
//!
//! On the sheet an operation lays what it draws anew clear of all others, wherever there is room. A person who has let go of a
//! seam looks for the piece where the hand was.

use kurbo::{Rect, Vec2};

use crate::curve::Motion;
use crate::pattern::{Pattern, Piece, PieceName};
use crate::recut::room::{moved, overlap, shortest_shift};
use crate::show::report::ChangedPieces;
use crate::table::drawn::shift_back;

/// Air around a piece that others make way for, mm.
const AIR: f64 = 10.0;

/// A pattern as it was made, and as its pieces lie on the table.
#[derive(Clone, Debug)]
pub(super) struct LyingPattern {
    /// As its sheet has it.
    pub(super) made: Pattern,
    /// The same, each piece where it lies on the table.
    pub(super) on_table: Pattern,
}

impl LyingPattern {
    /// A pattern that a recipe begins with: as its drawing has it.
    pub(super) fn begun(pattern: Pattern) -> LyingPattern {
        LyingPattern { on_table: pattern.clone(), made: pattern }
    }

    /// What a step made of it.
    pub(super) fn after(&self, made: Pattern) -> LyingPattern {
        let mut on_table = made.clone();
        for (name, by) in self.shifts(&made) {
            if let Some(piece) = on_table.pieces_mut().find(|piece| *piece.name() == name)
                && let Ok(shifted) = moved(piece, &Motion::shift(by))
            {
                *piece = shifted;
            }
        }
        LyingPattern { made, on_table }
    }

    /// From where a piece lies on the sheet to where it lies on the table.
    pub(super) fn shift_of(&self, piece: &PieceName) -> Vec2 {
        let start = |pattern: &Pattern| Some(pattern.find(piece)?.edges().first()?.curve.start());
        start(&self.on_table).zip(start(&self.made)).map_or(Vec2::ZERO, |(now, was)| now - was)
    }

    /// From where a piece that a step made lies on the sheet to where it lay on the table in the one that it was made of; none
    /// where no edge tells.
    pub(super) fn shift_back(&self, old: &Piece, new: &Piece) -> Option<Vec2> {
        Some(self.shift_of(old.name()) + shift_back(old, new)?)
    }

    /// The pieces that lie elsewhere on the table than on the sheet once a step has made a pattern of this one.
    fn shifts(&self, made: &Pattern) -> Vec<(PieceName, Vec2)> {
        let changes = ChangedPieces::between(&self.made, made);
        let back = |old: &Piece, new: &Piece| self.shift_back(old, new).unwrap_or_default();
        let changed = changes.changed.iter().map(|(old, new)| (*new, back(old, new)));
        let of_gone = |new: &Piece| changes.gone.iter().find_map(|old| self.shift_back(old, new));
        let new = changes.made.iter().map(|new| (*new, of_gone(new).unwrap_or_default()));
        let mut places: Vec<LiesAt<'_>> =
            changed.chain(new).map(|(piece, by)| LiesAt { piece, by, is_new: true }).collect();
        let beside = |place: &LiesAt<'_>| {
            let apart = places.iter().map(|near| near.room().center().distance(place.room().center()));
            apart.fold(f64::INFINITY, f64::min)
        };
        let kept =
            changes.kept.iter().map(|piece| LiesAt { piece, by: self.shift_of(piece.name()), is_new: false });
        let mut kept: Vec<(f64, LiesAt<'_>)> = kept.map(|place| (beside(&place), place)).collect();
        kept.sort_by(|a, b| a.0.total_cmp(&b.0));
        places.extend(kept.into_iter().map(|(_, place)| place));
        pushed_aside(places)
    }
}

/// Where a piece would lie.
struct LiesAt<'a> {
    piece: &'a Piece,
    by: Vec2,
    /// Whether others make way for it.
    is_new: bool,
}

impl LiesAt<'_> {
    /// The box that it takes up: as it is cut, hems lengthwise, and some air.
    fn room(&self) -> Rect {
        let deepest = self.piece.edges().iter().map(|edge| edge.cut_allowance().mm()).fold(0.0, f64::max);
        self.piece.bounds().inflate(self.piece.usual_allowance().mm() + AIR, deepest + AIR) + self.by
    }
}

/// The shifts of pieces, each laid clear of those before it where one of them is new there or was pushed itself. Pieces that a
/// drawing laid close together stay so.
fn pushed_aside(places: Vec<LiesAt<'_>>) -> Vec<(PieceName, Vec2)> {
    let (mut settled, mut came): (Vec<Rect>, Vec<Rect>) = (Vec::new(), Vec::new());
    let shifts = places.into_iter().map(|place| {
        let room = place.room();
        let is_in_the_way = came.iter().any(|other| overlap(room, *other));
        let aside = if is_in_the_way {
            // To the left of the first piece the table goes on: the cloth makes way.
            shortest_shift(room, &settled, |lies| lies.y0 >= room.y0.min(0.0))
        } else {
            Vec2::ZERO
        };
        settled.push(room + aside);
        if place.is_new || aside != Vec2::ZERO {
            came.push(room + aside);
        }
        (place.piece.name().clone(), place.by + aside)
    });
    shifts.filter(|(_, by)| *by != Vec2::ZERO).collect()
}
