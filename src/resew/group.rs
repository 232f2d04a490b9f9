//! Pieces that exchange cloth in a step.

use crate::pattern::{Pattern, Piece, PieceName, RecordedStep};
use crate::resew::error::MeasureError;
use crate::resew::part::{CarriedPart, Extent, PieceHalf};

/// Old pieces and the new ones that are made of them, with all parts that go from the one to the other.
pub(super) struct Group<'a> {
    pub old: Vec<&'a Piece>,
    pub new: Vec<&'a Piece>,
    pub parts: Vec<CarriedPart<'a>>,
}

/// The groups of a step; pieces that stay as they were are in none, nor are those that it made of others: they took no
/// cloth from any.
///
/// # Errors
///
/// [`MeasureError`] where the record cannot be read.
pub(super) fn groups<'a>(
    before: &'a Pattern,
    after: &'a Pattern,
    recorded: &RecordedStep,
) -> Result<Vec<Group<'a>>, MeasureError> {
    let mut parts = Vec::new();
    for moved in &recorded.moved {
        parts.push(CarriedPart::recorded(moved, before, after)?);
    }
    let recorded_made: Vec<&PieceName> = recorded.made.iter().map(|made| &made.piece).collect();
    for old in before.pieces() {
        let name = old.name();
        let recorded = parts.iter().any(|part| part.old.name() == name || part.new.name() == name);
        let made_anew = recorded_made.contains(&name);
        if let (false, Some(new)) = (recorded || made_anew, after.find(name)) {
            parts.push(CarriedPart::staying(old, new));
        }
    }
    parts.retain(|part| !stays(part));
    let mut groups: Vec<Group> = Vec::new();
    for part in parts {
        let (mut with, without): (Vec<Group>, Vec<Group>) =
            groups.into_iter().partition(|group| group.has_old(&part) || group.has_new(&part));
        let mut joined = Group { old: Vec::new(), new: Vec::new(), parts: Vec::new() };
        for group in &mut with {
            joined.parts.append(&mut group.parts);
        }
        joined.parts.push(part);
        groups = without;
        groups.push(joined);
        if let Some(group) = groups.last_mut() {
            group.name_pieces();
        }
    }
    for group in &mut groups {
        group.add_folded_halves()?;
    }
    Ok(groups)
}

/// Whether a part is a whole piece that lies as it lay and is drawn as it was.
fn stays(part: &CarriedPart) -> bool {
    let same_lines = || {
        let (old, new) = (part.old.edges(), part.new.edges());
        old.len() == new.len() && old.iter().zip(new).all(|(a, b)| a.curve == b.curve)
    };
    part.extent == Extent::Whole && part.motion == crate::curve::Motion::identity() && same_lines()
}

impl<'a> Group<'a> {
    fn has_old(&self, part: &CarriedPart) -> bool {
        self.old.iter().any(|piece| piece.name() == part.old.name())
    }

    fn has_new(&self, part: &CarriedPart) -> bool {
        self.new.iter().any(|piece| piece.name() == part.new.name())
    }

    fn name_pieces(&mut self) {
        let mut add = |piece: &'a Piece, new: bool| {
            let list = if new { &mut self.new } else { &mut self.old };
            if !list.iter().any(|other| other.name() == piece.name()) {
                list.push(piece);
            }
        };
        for part in &self.parts {
            add(part.old, false);
            add(part.new, true);
        }
    }

    /// Where whole pieces were folded to their halves, adds what lies beyond the fold.
    fn add_folded_halves(&mut self) -> Result<(), MeasureError> {
        for new in self.new.clone() {
            let Some(fold) = new.fold() else { continue };
            let of_new = self.of_new(new.name());
            if of_new.iter().any(|part| part.old.fold().is_some()) {
                continue;
            }
            let fold = &new.edge(fold).curve;
            let beyond: Result<Vec<CarriedPart<'a>>, MeasureError> =
                of_new.iter().map(|part| part.beyond_fold(fold)).collect();
            let beyond = beyond?;
            self.parts.extend(beyond);
        }
        Ok(())
    }

    /// The drawn parts of a new piece.
    pub(super) fn of_new(&self, name: &PieceName) -> Vec<&CarriedPart<'a>> {
        self.parts.iter().filter(|part| part.side == PieceHalf::Drawn && part.new.name() == name).collect()
    }

    /// The parts of an old piece, those of its drawn copy and those of its mirrored one.
    pub(super) fn of_old(&self, name: &PieceName) -> [Vec<&CarriedPart<'a>>; 2] {
        use crate::pattern::Copy;
        [Copy::Drawn, Copy::Mirrored].map(|copy| {
            self.parts.iter().filter(|part| part.old.name() == name && part.copy == copy).collect()
        })
    }
}
