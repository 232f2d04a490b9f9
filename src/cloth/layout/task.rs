//! From a pattern and the cloth to what is searched for.

use kurbo::{BezPath, Point};

use crate::allowance::lies_within;
use crate::cloth::layout::copies::{PieceCopies, PieceCopy};
use crate::cloth::layout::holds::HeldEdges;
use crate::cloth::layout::levels::LevelMatch;
use crate::cloth::layout::matches::SeamMatch;
use crate::cloth::layout::mirrors::{Mirrors, OnStripes};
use crate::cloth::layout::phases::StripeGroups;
use crate::cloth::layout::polygon::{around, grown};
use crate::cloth::layout::room::PanelRooms;
use crate::cloth::layout::sheets::{Ground, Spread};
use crate::cloth::layout::turns::turns;
use crate::cloth::layout::{LayError, Reason};
use crate::cloth::search::{Goal, Hold, Item, LaySheet, Problem, Turn};
use crate::cloth::{Cloth, Stock, WithoutCloth};
use crate::curve::Motion;
use crate::pattern::{EdgeRef, LevelName, Pattern, Piece, SeamId};
use crate::tolerance::LAID_OVER;
use crate::units::Angle;

/// How pieces are to be laid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LayWish {
    /// How the cloth is spread.
    pub spread: Spread,
    /// How far off the grain pieces may lie.
    pub grain_tolerance: Angle,
    /// An edge of each seam at which like is to meet like.
    pub matches: Vec<EdgeRef>,
    /// The levels that are to lie at the same place of the cloth's pattern all the way round. They come before the seams.
    pub levels: Vec<LevelName>,
}

/// What is to be laid, on what, and under which rules.
#[derive(Clone, Debug)]
pub struct LayTask<'a> {
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The cloth.
    pub stock: &'a Stock,
    /// What was asked for.
    pub wish: LayWish,
    /// What is laid on.
    pub grounds: Vec<Ground>,
    /// What is laid.
    pub copies: Vec<PieceCopy>,
    /// The seams whose stripes were asked to meet.
    pub seams: Vec<SeamMatch>,
    /// The levels that were asked to lie at the same place.
    pub levels: Vec<LevelMatch>,
    /// The pieces whose cloth is not at hand.
    pub without_cloth: Vec<WithoutCloth>,
}

/// Which of the wishes a search holds to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct HeldWishes {
    /// So many of those named first: levels, then seams.
    pub(super) wishes: usize,
    /// Whether left and right are to mirror each other.
    pub(super) halves: OnStripes,
}

impl HeldWishes {
    /// To none.
    pub(super) const NONE: HeldWishes = HeldWishes { wishes: 0, halves: OnStripes::Free };
}

/// What the search is given.
pub(super) struct LayProblem {
    pub(super) problem: Problem,
    /// Why it cannot be, as far as is known before the search.
    pub(super) blocked: Vec<Reason>,
    /// Seams that those said before them forbid, and by how much they are off, mm.
    pub(super) contradicted: Vec<(SeamId, f64)>,
}

impl<'a> LayTask<'a> {
    /// What is to be laid, as it is wished.
    ///
    /// # Errors
    ///
    /// A piece without a cutting line or one that cannot be opened out, a seam that is not there, and stripes that are
    /// to be met on cloth without any.
    pub fn of(pattern: &'a Pattern, stock: &'a Stock, wish: LayWish) -> Result<LayTask<'a>, LayError> {
        let grounds = Ground::all(stock, wish.spread);
        let PieceCopies { copies, without_cloth } = PieceCopies::of(pattern, stock, wish.spread)?;
        let seams = wish.matches.iter().map(|edge| seam_match(pattern, stock, edge));
        let seams = seams.collect::<Result<Vec<_>, _>>()?;
        let levels = wish.levels.iter().map(|level| LevelMatch::all(pattern, stock, level));
        let levels = levels.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
        let task = LayTask { pattern, stock, wish, grounds, copies, seams, levels, without_cloth };
        // What cannot be searched for at all is told here.
        task.problem(HeldWishes { wishes: task.wishes(), halves: OnStripes::Free }, Goal::Fits)?;
        Ok(task)
    }

    /// How many wishes there are: levels, then seams.
    pub(super) fn wishes(&self) -> usize {
        self.levels.len() + self.seams.len()
    }

    /// The pieces that are to be matched whose left and right can mirror each other on the cloth, on a single layer.
    pub(super) fn mirrors(&self) -> Mirrors {
        if self.wish.spread == Spread::Folded {
            return Mirrors::default();
        }
        let of_seams = self.seams.iter().flat_map(|seam| seam.marks.iter().map(|(piece, _)| piece));
        let of_levels = self.levels.iter().flat_map(|level| level.places.iter().map(|place| &place.piece));
        Mirrors::of(self.pattern, self.stock, &self.copies, of_seams.chain(of_levels))
    }

    /// What the search is given, the stripes of so many of the wishes held, of those named first.
    pub(super) fn problem(&self, held: HeldWishes, goal: Goal) -> Result<LayProblem, LayError> {
        let HeldWishes { wishes: held, halves } = held;
        let seams = held.saturating_sub(self.levels.len());
        let (levels, seams) = (self.levels.iter().take(held), self.seams.iter().take(seams));
        let groups = StripeGroups::of(self.pattern, self.stock, levels, seams);
        let mirrors = match halves {
            OnStripes::Mirrored => self.mirrors(),
            OnStripes::Free => Mirrors::default(),
        };
        let mut items = Vec::with_capacity(self.copies.len());
        let mut found: Vec<Reason> = Vec::new();
        for copy in &self.copies {
            let (item, blocked) = self.item(copy, &groups, &mirrors)?;
            items.push(item);
            found.extend(blocked.filter(|reason| !found.contains(reason)));
        }
        let sheets = self.grounds.iter().map(sheet).collect();
        let likeness = match goal {
            Goal::Shortest => self.likeness()?,
            Goal::Fits => None,
        };
        let problem = Problem { sheets, items, goal, likeness };
        Ok(LayProblem { problem, blocked: found, contradicted: groups.contradicted })
    }

    /// A copy as the search knows it, and why it has no place where that is known.
    fn item(
        &self,
        copy: &PieceCopy,
        groups: &StripeGroups,
        mirrors: &Mirrors,
    ) -> Result<(Item, Option<Reason>), LayError> {
        let (piece, cloth) = self.of_copy(copy)?;
        let grounds: Vec<(usize, &Ground)> =
            self.grounds.iter().enumerate().filter(|(_, ground)| ground.cloth == copy.cloth).collect();
        let outline = around(copy.cut.path());
        let clearance = grown(&outline, cloth.gap() / 2.0)
            .map_err(|source| LayError::Gap { piece: copy.piece.clone(), source })?;
        let mut item = Item {
            outline,
            clearance,
            turns: turns(
                (piece, cloth),
                groups.holds(piece.name()) || mirrors.holds(piece.name()),
                self.wish.grain_tolerance,
            ),
            sheets: grounds.iter().map(|(place, _)| *place).collect(),
            holds: Vec::new(),
            phases: [groups.phases(copy, cloth, &grounds), mirrors.phases(copy, cloth, &grounds)].concat(),
        };
        let too_large = too_large(copy, &item.turns, &grounds)
            .or_else(|| in_no_panel(copy, &item, &grounds, &PanelRooms::of(cloth)));
        if let Some(reason) = too_large {
            return Ok((item, Some(reason)));
        }
        let held = HeldEdges::of(piece, copy);
        if held.is_empty() {
            return Ok((item, None));
        }
        let reason = match held.places(copy, &item.outline, &grounds, cloth.selvedges, &item.turns) {
            Ok(holds) => {
                item.holds = holds;
                None
            }
            Err(why) => {
                let (piece, cloth) = (copy.piece.clone(), copy.cloth.clone());
                Some(Reason::OffSelvedge { piece, cloth, why })
            }
        };
        let on: Vec<usize> = item.holds.iter().map(|hold: &Hold| hold.sheet).collect();
        item.sheets.retain(|sheet| on.contains(sheet));
        Ok((item, reason))
    }

    /// How wide a copy is at the least, mm, at the turns that a problem gives it.
    pub(super) fn least_width(&self, problem: &Problem, copy: usize) -> f64 {
        least_width(&reaches(&self.copies[copy], &problem.items[copy].turns))
    }

    /// How long a copy is at the least where it is no wider than the cloth, mm.
    pub(super) fn least_length(&self, problem: &Problem, copy: usize) -> f64 {
        let item = &problem.items[copy];
        let widest = item.sheets.iter().map(|sheet| self.grounds[*sheet].size().0).fold(0.0, f64::max);
        least_length(&reaches(&self.copies[copy], &item.turns), widest)
    }

    /// The piece and cloth of a copy.
    pub(super) fn of_copy(&self, copy: &PieceCopy) -> Result<(&'a Piece, &'a Cloth), LayError> {
        let piece = self.pattern.piece(&copy.piece)?;
        let cloth = self.stock.find(&copy.cloth).ok_or_else(|| LayError::NoCloth(copy.cloth.clone()))?;
        Ok((piece, cloth))
    }
}

/// How far a copy reaches across and along at each of its turns, mm: where a turn has a tolerance, at the narrowest within
/// it and at the shortest.
fn reaches(copy: &PieceCopy, turns: &[Turn]) -> Vec<(f64, f64)> {
    let quarter = Angle::QUARTER.degrees();
    let at = |turn: &Turn| {
        let within = |degrees: f64| {
            copy.cut.narrowest(Angle::from_degrees(degrees), Angle::from_degrees(turn.tolerance)).degrees()
        };
        let (narrowest, shortest) = (within(turn.degrees), within(turn.degrees + quarter) - quarter);
        [narrowest, shortest].map(|degrees| copy.cut.reach(Angle::from_degrees(degrees)))
    };
    turns.iter().flat_map(at).collect()
}

/// The least width of a piece that is nowhere narrow enough, mm.
fn least_width(reaches: &[(f64, f64)]) -> f64 {
    reaches.iter().map(|(width, _)| *width).fold(f64::INFINITY, f64::min)
}

/// The least length of a piece where it is no wider than the cloth, or as narrow as it can be, mm.
fn least_length(reaches: &[(f64, f64)], widest: f64) -> f64 {
    let most = least_width(reaches).max(widest) + LAID_OVER;
    let narrow = reaches.iter().filter(|(width, _)| *width <= most);
    narrow.map(|(_, length)| *length).fold(f64::INFINITY, f64::min)
}

/// Why a copy is too large for the cloth by itself, if it is.
fn too_large(copy: &PieceCopy, turns: &[Turn], grounds: &[(usize, &Ground)]) -> Option<Reason> {
    let most =
        |of: fn((f64, f64)) -> f64| grounds.iter().map(|(_, ground)| of(ground.size())).fold(0.0, f64::max);
    let (widest, longest) = (most(|(width, _)| width), most(|(_, length)| length));
    let reaches = reaches(copy, turns);
    let (piece, width) = (copy.piece.clone(), least_width(&reaches));
    if !lies_within(width, widest) {
        return Some(Reason::TooWide { piece, width, widest });
    }
    let length = least_length(&reaches, widest);
    (!lies_within(length, longest) && turns.iter().all(|turn| turn.tolerance <= 0.0))
        .then_some(Reason::TooLong { piece, length, longest })
}

/// Why a copy lies on nothing by its shape, though something is as wide and as long: no length is, and no panel has room for it. Where
/// it may tilt that is left to the search.
fn in_no_panel(
    copy: &PieceCopy,
    item: &Item,
    grounds: &[(usize, &Ground)],
    panels: &PanelRooms<'_>,
) -> Option<Reason> {
    if item.turns.iter().any(|turn| turn.tolerance > 0.0) {
        return None;
    }
    let lies = |(width, length): &(f64, f64)| {
        let lengths = grounds.iter().filter(|(_, ground)| ground.has_selvedges());
        let mut sizes = lengths.map(|(_, ground)| ground.size());
        sizes.any(|size| lies_within(*width, size.0) && lies_within(*length, size.1))
    };
    let reaches = reaches(copy, &item.turns);
    let lack = panels.lack_at_turns(&item.outline, item.turns.iter().map(|turn| turn.degrees))?;
    let (piece, width) = (copy.piece.clone(), least_width(&reaches));
    (lack > LAID_OVER && !reaches.iter().any(lies)).then_some(Reason::TooWide {
        piece,
        width,
        widest: width - lack,
    })
}

fn sheet(ground: &Ground) -> LaySheet {
    let corners = |flaw: &kurbo::Rect| {
        [(flaw.x0, flaw.y0), (flaw.x1, flaw.y0), (flaw.x1, flaw.y1), (flaw.x0, flaw.y1)]
            .map(Point::from)
            .to_vec()
    };
    LaySheet { outline: ground.inside(), flaws: ground.flaws.iter().map(corners).collect() }
}

fn seam_match(pattern: &Pattern, stock: &Stock, edge: &EdgeRef) -> Result<SeamMatch, LayError> {
    let found = SeamMatch::of(pattern, edge)?;
    let mut cloths = Vec::new();
    for (piece, _) in &found.marks {
        let cloth = &pattern.piece(piece)?.cloth;
        if !stock.find(cloth).is_some_and(Cloth::has_pattern) {
            return Err(LayError::NoStripes { seam: found.seam, cloth: cloth.clone() });
        }
        cloths.push(cloth.clone());
    }
    match cloths.as_slice() {
        [first, second] if first != second => {
            Err(LayError::TwoCloths { seam: found.seam, first: first.clone(), second: second.clone() })
        }
        _ => Ok(found),
    }
}

/// A copy on the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidCopy {
    /// Which, as a place in [`LayTask::copies`].
    pub copy: usize,
    /// On what, as a place in [`LayTask::grounds`].
    pub ground: usize,
    /// From the pattern sheet to the cloth.
    pub motion: Motion,
}

impl LaidCopy {
    /// The true cutting line on the cloth.
    #[must_use]
    pub fn path(&self, task: &LayTask<'_>) -> BezPath {
        let cut = &task.copies[self.copy].cut;
        cut.from_sheet().inverse().then(&self.motion).to_affine() * cut.path().clone()
    }
}
