//! Stripes as the search knows them: for each piece a mark, and the lines of the cloth that it must lie on.

use indexmap::IndexMap;

use crate::cloth::layout::copies::PieceCopy;
use crate::cloth::layout::levels::LevelMatch;
use crate::cloth::layout::matches::SeamMatch;
use crate::cloth::layout::sheets::Ground;
use crate::cloth::search::{Axis, LinesAlike, MarksAround, Phase, PhaseLines, SheetMark};
use crate::cloth::{Cloth, Mark, Stock, StripesAlong, StripesAt};
use crate::curve::Point;
use crate::pattern::{ClothName, Pattern, PieceName, SeamId};
use crate::tolerance::{LEAST_MATCH, STRIPES_MEET};

/// Pieces whose stripes hang together, each with a mark on the pattern sheet and how far its line lies beyond the line
/// of the whole group, mm along the cloth.
#[derive(Clone, Debug, Default)]
pub(super) struct StripeGroups {
    held: IndexMap<PieceName, HeldMark>,
    /// For each group, how far from its line along the cloth its seams reach.
    reaches: Vec<(f64, f64)>,
    /// Matches that the others forbid, by how much they are off, mm.
    pub(super) contradicted: Vec<(SeamId, f64)>,
}

#[derive(Clone, Debug)]
struct HeldMark {
    group: usize,
    mark: Point,
    offset: f64,
}

impl StripeGroups {
    /// The groups that seams make of the pieces of one pattern, those first that were said first. A seam that leads back
    /// into its own group is held as well if it agrees.
    pub(super) fn of<'s>(
        pattern: &Pattern,
        stock: &Stock,
        levels: impl IntoIterator<Item = &'s LevelMatch>,
        seams: impl IntoIterator<Item = &'s SeamMatch>,
    ) -> StripeGroups {
        let mut groups = StripeGroups::default();
        for level in levels.into_iter().filter(|level| has_stripes(stock, &level.cloth)) {
            groups.add_level(pattern, stock, level);
        }
        let striped = |seam: &&SeamMatch| has_stripes(stock, &seam.cloth) && seam.is_worth_it();
        for seam in seams.into_iter().filter(striped) {
            groups.add(pattern, stock, seam);
        }
        groups
    }

    /// Brings the places of a level together. What levels said before forbid is left where it is, and told as measured.
    fn add_level(&mut self, pattern: &Pattern, stock: &Stock, level: &LevelMatch) {
        let Some((first, others)) = level.places.split_first() else { return };
        for other in others {
            let marks = [&first, &other].map(|place| (place.piece.clone(), place.at));
            let _ = self.bring_together(pattern, stock, &marks, (-LEAST_MATCH, LEAST_MATCH));
        }
    }

    fn add(&mut self, pattern: &Pattern, stock: &Stock, seam: &SeamMatch) {
        if let Err(off) = self.bring_together(pattern, stock, &seam.marks, seam.reach) {
            self.contradicted.push((seam.id, off));
        }
    }

    /// Puts two marks on like lines, which reach so far along the grain about them; or tells how far off they are where
    /// what was said before forbids it, mm.
    fn bring_together(
        &mut self,
        pattern: &Pattern,
        stock: &Stock,
        marks: &[(PieceName, Point); 2],
        reach: (f64, f64),
    ) -> Result<(), f64> {
        let [(first, first_mark), (second, second_mark)] = marks;
        let own = (self.line_at(pattern, first, *first_mark), self.line_at(pattern, second, *second_mark));
        let (group, offset) = match own {
            (None, None) => {
                self.reaches.push((0.0, 0.0));
                (self.reaches.len() - 1, 0.0)
            }
            (Some(known), None) | (None, Some(known)) => known,
            (Some((kept, first_offset)), Some((joined, second_offset))) => {
                let off = nearest_repeat(first_offset - second_offset, repeat_of(pattern, stock, first));
                if kept == joined && off.abs() > STRIPES_MEET {
                    return Err(off.abs());
                }
                if kept != joined {
                    self.join(kept, joined, first_offset - second_offset);
                }
                (kept, first_offset)
            }
        };
        for (piece, mark) in [(first, first_mark), (second, second_mark)] {
            if !self.held.contains_key(piece) {
                self.held.insert(piece.clone(), HeldMark { group, mark: *mark, offset });
            }
        }
        self.widen(group, (offset + reach.0, offset + reach.1));
        Ok(())
    }

    /// Makes one group of two.
    fn join(&mut self, kept: usize, joined: usize, by: f64) {
        for held in self.held.values_mut().filter(|held| held.group == joined) {
            held.group = kept;
            held.offset += by;
        }
        let (before, after) = self.reaches[joined];
        self.widen(kept, (before + by, after + by));
    }

    fn widen(&mut self, group: usize, (before, after): (f64, f64)) {
        let reach = &mut self.reaches[group];
        *reach = (reach.0.min(before), reach.1.max(after));
    }

    /// The group of a piece, and how far a place on it lies beyond the group's line when the piece is held.
    fn line_at(&self, pattern: &Pattern, piece: &PieceName, place: Point) -> Option<(usize, f64)> {
        let held = self.held.get(piece)?;
        let grain = pattern.find(piece)?.grain_or_down();
        Some((held.group, held.offset + (place - held.mark).dot(grain)))
    }

    /// Whether the stripes of a piece are held.
    pub(super) fn holds(&self, piece: &PieceName) -> bool {
        self.held.contains_key(piece)
    }

    /// The phases of a copy on the grounds that it may lie on.
    pub(super) fn phases(&self, copy: &PieceCopy, cloth: &Cloth, grounds: &[(usize, &Ground)]) -> Vec<Phase> {
        let stripes = cloth.stripes_along(StripesAlong::Width);
        let (Some(stripes), Some(held)) = (stripes, self.held.get(&copy.piece)) else { return Vec::new() };
        let alike = match stripes.at() {
            StripesAt::Every { repeat, .. } => LinesAlike::Repeat(*repeat),
            StripesAt::Marks(marks) => {
                LinesAlike::Marks(MarksAround { marks: sorted(marks), reach: self.reaches[held.group] })
            }
        };
        let lines = PhaseLines::Together { group: held.group, offset: held.offset, alike };
        let mark = copy.cut.from_sheet().apply(held.mark);
        let striped = grounds.iter().filter(|(_, ground)| ground.shows_stripes(StripesAlong::Width));
        striped
            .map(|(sheet, _)| Phase { sheet: *sheet, axis: Axis::Along, mark, lines: lines.clone() })
            .collect()
    }
}

/// Whether a cloth has stripes that run along its width.
pub(super) fn has_stripes(stock: &Stock, cloth: &ClothName) -> bool {
    stock.find(cloth).is_some_and(|cloth| cloth.stripes_along(StripesAlong::Width).is_some())
}

/// Marks by their words, as numbers: each the place of the first mark of that word.
fn sorted(marks: &[Mark]) -> Vec<SheetMark> {
    let sort = |mark: &Mark| marks.iter().position(|first| first.word == mark.word).unwrap_or(0);
    marks.iter().map(|mark| SheetMark { at: mark.at, sort: sort(mark) }).collect()
}

/// After which length the stripes of a piece's cloth come again; none of marks set one by one.
fn repeat_of(pattern: &Pattern, stock: &Stock, piece: &PieceName) -> Option<f64> {
    let cloth = stock.find(&pattern.find(piece)?.cloth)?;
    match cloth.stripes_along(StripesAlong::Width)?.at() {
        StripesAt::Every { repeat, .. } => Some(*repeat),
        StripesAt::Marks(_) => None,
    }
}

/// What is left of a distance when whole repeats are taken off, nearest to nothing.
fn nearest_repeat(off: f64, repeat: Option<f64>) -> f64 {
    match repeat {
        Some(repeat) => off - (off / repeat).round() * repeat,
        None => off,
    }
}
