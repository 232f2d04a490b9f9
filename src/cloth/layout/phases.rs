//! Stripes as the search knows them: for each piece a mark, and the lines of the cloth that it must lie on.

use indexmap::IndexMap;

use crate::cloth::lay::{Axis, Phase, PhaseLines};
use crate::cloth::layout::copies::PieceCopy;
use crate::cloth::layout::matches::SeamMatch;
use crate::cloth::layout::sheets::{Ground, GroundSource};
use crate::cloth::{Cloth, Stock, Stripes, StripesAlong, StripesAt};
use crate::curve::Point;
use crate::pattern::{Pattern, PieceName};
use crate::tolerance::STRIPES_MEET;

/// Pieces whose stripes hang together, each with a mark on the pattern sheet and how far its line lies beyond the line
/// of the whole group, mm along the cloth.
#[derive(Clone, Debug, Default)]
pub(super) struct StripeGroups {
    held: IndexMap<PieceName, HeldMark>,
    /// Matches that the others forbid, by how much they are off, mm.
    pub(super) contradicted: Vec<(String, f64)>,
}

#[derive(Clone, Debug)]
struct HeldMark {
    group: usize,
    mark: Point,
    offset: f64,
}

impl StripeGroups {
    /// The groups that seams make of the pieces of one pattern. A seam that leads back into its own group is held as
    /// well if it agrees.
    pub(super) fn of(pattern: &Pattern, stock: &Stock, seams: &[SeamMatch]) -> StripeGroups {
        let mut groups = StripeGroups::default();
        let mut count = 0;
        for seam in seams.iter().filter(|seam| seam.is_worth_it()) {
            let [(first, first_mark), (second, second_mark)] = &seam.marks;
            let own =
                (groups.line_at(pattern, first, *first_mark), groups.line_at(pattern, second, *second_mark));
            match own {
                (None, None) => {
                    let (group, offset) = (count, 0.0);
                    count += 1;
                    groups.held.insert(first.clone(), HeldMark { group, mark: *first_mark, offset });
                    groups.held.insert(second.clone(), HeldMark { group, mark: *second_mark, offset });
                }
                (Some((group, offset)), None) => {
                    groups.held.insert(second.clone(), HeldMark { group, mark: *second_mark, offset });
                }
                (None, Some((group, offset))) => {
                    groups.held.insert(first.clone(), HeldMark { group, mark: *first_mark, offset });
                }
                (Some((a, first_offset)), Some((b, second_offset))) if a == b => {
                    let repeat = repeat_of(pattern, stock, first);
                    let off = nearest_repeat(first_offset - second_offset, repeat);
                    if off.abs() > STRIPES_MEET {
                        groups.contradicted.push((seam.seam.clone(), off.abs()));
                    }
                }
                (Some((kept, first_offset)), Some((joined, second_offset))) => {
                    for held in groups.held.values_mut().filter(|held| held.group == joined) {
                        held.group = kept;
                        held.offset += first_offset - second_offset;
                    }
                }
            }
        }
        groups
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
        let stripes = cloth.stripes().iter().find(|stripes| stripes.along == StripesAlong::Width);
        let (Some(stripes), Some(held)) = (stripes, self.held.get(&copy.piece)) else { return Vec::new() };
        let alone = grounds.len() == 1;
        let lines = lines(stripes, held, if alone { Shared::Free } else { Shared::OnAStripe });
        let mark = copy.cut.from_sheet().apply(held.mark);
        let is_bolt = |ground: &Ground| matches!(ground.source, GroundSource::Length { .. });
        let grounds = grounds.iter().filter(|(_, ground)| is_bolt(ground));
        grounds
            .map(|(sheet, _)| Phase { sheet: *sheet, axis: Axis::Along, mark, lines: lines.clone() })
            .collect()
    }
}

/// Whether the search may choose where in the stripes the marks of a group lie.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shared {
    /// It may: all lie on one length.
    Free,
    /// It may not, since they lie on several: the first mark lies on a stripe.
    OnAStripe,
}

fn lines(stripes: &Stripes, held: &HeldMark, shared: Shared) -> PhaseLines {
    match (stripes.at(), shared) {
        (StripesAt::Every { repeat, .. }, Shared::Free) => {
            PhaseLines::Together { group: held.group, offset: held.offset, repeat: *repeat }
        }
        (StripesAt::Every { repeat, first }, Shared::OnAStripe) => {
            PhaseLines::Repeating { first: vec![first + held.offset], repeat: *repeat }
        }
        (StripesAt::Marks(marks), _) => PhaseLines::At(marks.iter().map(|mark| mark + held.offset).collect()),
    }
}

/// After which length the stripes of a piece's cloth come again; none of marks set one by one.
fn repeat_of(pattern: &Pattern, stock: &Stock, piece: &PieceName) -> Option<f64> {
    let cloth = stock.find(&pattern.find(piece)?.cloth)?;
    let stripes = cloth.stripes().iter().find(|stripes| stripes.along == StripesAlong::Width)?;
    match stripes.at() {
        StripesAt::Every { repeat, .. } => Some(*repeat),
        StripesAt::Marks(_) => None,
    }
}

/// What is left of a distance when whole repeats are taken off, nearest to nothing.
pub(super) fn nearest_repeat(off: f64, repeat: Option<f64>) -> f64 {
    match repeat {
        Some(repeat) => off - (off / repeat).round() * repeat,
        None => off,
    }
}
