//! A pleat at the centre of a lining: cloth beside the centre that is folded in, so that the back can stretch.
//!
//! ```text
//!   even, to the hem        straight to nothing at a level        straight to a depth at the foot
//!    ______ __               ______ __                             ______ __
//!          │  │                    │ ╱                                   │ │
//!          │  │ fold               │╱   from there on the                │ │
//!    ______│__│                    │    centre as it was           ______│╱
//! ```
//!
//! Folded, it lies beneath the piece and is caught with the edge above. So that edge goes on over the pleat as its own mirror
//! image in the centre, and below it the hem too: on a curved neck the pleat would else lie below it by the height of the curve,
//! and on a curved hem hang out below.

use std::fmt;
use std::str::FromStr;

use crate::advice;
use crate::curve::{Curve, Motion, Vec2, left_of};
use crate::derive::lining::draft::LiningDraft;
use crate::pattern::{
    Cut, Dart, DartKind, DartName, DartShape, EdgeEnd, Field, Finish, Kept, Level, LevelName, Mouth,
    NameError, Operation, Pattern, Piece, Press, Refusal, RefusalKind, Twins,
};
use crate::tolerance::{JOINT, SAME_CUT};
use crate::units::{Length, UnitError, serde_as_text};

/// How much cloth a pleat takes on each half, and how it goes down: `25mm`, as deep down to the hem, `25mm to waist`, straight to
/// nothing at that level, or `25mm to 12mm`, straight to that depth at the foot of the centre.
#[derive(Clone, Debug, PartialEq)]
pub struct PleatWish {
    /// Cloth added at the top, on each half.
    pub by: Length,
    /// How it goes down.
    pub to: PleatFoot,
}

/// How a pleat ends below.
#[derive(Clone, Debug, PartialEq)]
pub enum PleatFoot {
    /// As deep as at the top.
    Even,
    /// So deep on each half, where the centre ends.
    Depth(Length),
    /// It has run out at a level.
    Level(LevelName),
}

/// Why a text is no pleat.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PleatError {
    /// Its length is none.
    #[error(transparent)]
    Length(#[from] UnitError),
    /// Its level has no name.
    #[error(transparent)]
    Name(#[from] NameError),
}

impl FromStr for PleatWish {
    type Err = PleatError;

    fn from_str(text: &str) -> Result<PleatWish, PleatError> {
        let (by, to) = match text.split_once(" to ") {
            Some((by, to)) => {
                (by, to.parse().map(PleatFoot::Depth).or_else(|_| to.trim().parse().map(PleatFoot::Level))?)
            }
            None => (text, PleatFoot::Even),
        };
        Ok(PleatWish { by: by.trim().parse()?, to })
    }
}

impl fmt::Display for PleatWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.to {
            PleatFoot::Even => write!(f, "{}", self.by),
            PleatFoot::Depth(foot) => write!(f, "{} to {foot}", self.by),
            PleatFoot::Level(level) => write!(f, "{} to {level}", self.by),
        }
    }
}

serde_as_text!(PleatWish);

/// Adds the pleat at the centre edge of a piece: its fold, else the edge that is sewn to its own mirrored copy, else the one
/// that is called so. A fold that would have to bend becomes a seam to the mirrored copy.
///
/// # Errors
///
/// Refuses a pleat that takes no cloth, and lines that cannot be drawn. Why there is none is given where the piece has no centre
/// or its centre does not reach the level.
pub(super) fn pleat(
    pattern: &Pattern,
    source: &Piece,
    draft: &mut LiningDraft,
    wish: &PleatWish,
    allowance: Option<Length>,
) -> Result<Option<Refusal>, Refusal> {
    if wish.by.mm() <= SAME_CUT {
        return Err(wrong(source, wish, format!("a pleat cannot be {} deep", wish.by)));
    }
    let centre = pattern.centre_edge(source).and_then(|id| draft.find(&source.edge(id).name));
    let Some(centre) = centre else {
        let what = "the piece has no centre: no fold, and no edge that is called so".to_owned();
        return Ok(Some(wrong(source, wish, what)));
    };
    let side = CentreEdge::of(source, draft, centre);
    match &wish.to {
        PleatFoot::Even => side.through(draft, wish.by.mm(), wish.by.mm())?,
        PleatFoot::Depth(foot) if foot.mm() <= SAME_CUT => {
            return Err(wrong(source, wish, format!("a pleat cannot be {foot} deep at its foot")));
        }
        PleatFoot::Depth(foot) => {
            side.through(draft, wish.by.mm(), foot.mm())?;
            side.open_fold(source, draft, allowance);
        }
        PleatFoot::Level(level) => return side.tapered(source, draft, wish, level, allowance),
    }
    Ok(None)
}

fn wrong(source: &Piece, wish: &PleatWish, what: String) -> Refusal {
    let way_out = advice!(
        "give 15mm to 25mm on a piece with a fold or a centre seam: ",
        Operation::CopyPiece.with(Field::Pleat, "25mm"),
        " down to the hem, or ",
        Operation::CopyPiece.with(Field::Pleat, "25mm to waist")
    );
    Refusal::new(RefusalKind::BadField, source.name(), what, way_out).about(wish)
}

/// Where along a centre a level meets it.
pub(super) fn place_of(level: &Level, centre: &Curve) -> f64 {
    let ends = level.stretches.iter().flat_map(|(a, b)| [*a, *b]);
    let near = ends.map(|end| centre.nearest(end)).min_by(|a, b| a.distance.total_cmp(&b.distance));
    near.map_or(0.0, |near| near.at)
}

/// How the edge at an end of the centre goes on over a pleat.
struct OverPleat {
    /// From the old centre's end to the new one's.
    way: Curve,
    /// How much further than straight across the new centre goes there, mm along it; less than nothing where less far.
    further: f64,
}

/// The lines round a pleat, from where it opens on.
struct Legs {
    /// Where the centre was.
    inner: Curve,
    /// Where it is now.
    outer: Curve,
    /// From the one's end to the other's, where they do not meet.
    across: Option<Curve>,
}

/// The centre edge and what is beside it.
struct CentreEdge {
    centre: usize,
    /// The end at which it begins, up the grain.
    top: EdgeEnd,
    /// Away from the piece, square to the grain.
    out: Vec2,
    /// Down the grain.
    down: Vec2,
}

impl CentreEdge {
    fn of(source: &Piece, draft: &LiningDraft, centre: usize) -> CentreEdge {
        let down = source.grain_or_down();
        let curve = draft.curve(centre);
        let top = if (curve.end() - curve.start()).dot(down) >= 0.0 { EdgeEnd::First } else { EdgeEnd::Last };
        let outward = left_of(curve.tangent_at(curve.length() / 2.0));
        let across = left_of(down);
        let out = if across.dot(outward) >= 0.0 { across } else { -across };
        CentreEdge { centre, top, out, down }
    }

    fn above(&self, draft: &LiningDraft) -> usize {
        if self.top == EdgeEnd::First { draft.previous(self.centre) } else { draft.next(self.centre) }
    }

    fn below(&self, draft: &LiningDraft) -> usize {
        if self.top == EdgeEnd::First { draft.next(self.centre) } else { draft.previous(self.centre) }
    }

    /// The centre from its top down.
    fn downward(&self, draft: &LiningDraft) -> Curve {
        let curve = draft.curve(self.centre).clone();
        if self.top == EdgeEnd::First { curve } else { curve.reversed() }
    }

    /// The centre moved out by so much at its top, mm, and straight to so much at a depth below it.
    fn leaning(&self, centre: &Curve, (by, foot): (f64, f64), deep: f64) -> Result<Curve, Refusal> {
        let (n, g, top) = (self.out, self.down, centre.start());
        // p + n·(w + k·g·(p − top))
        let k = (foot - by) / deep;
        let shift = by - k * (g.x * top.x + g.y * top.y);
        let lean = kurbo::Affine::new([
            1.0 + k * n.x * g.x,
            k * n.y * g.x,
            k * n.x * g.y,
            1.0 + k * n.y * g.y,
            n.x * shift,
            n.y * shift,
        ]);
        let ends = (top + n * by, centre.end() + n * foot);
        Ok(centre.transformed(lean)?.with_ends(ends.0, ends.1)?)
    }

    /// Down to a hem, or on over a seam, as where the piece was cut across: there it is folded into the seam as at the top. It is
    /// so deep at the top, and so deep at the foot, mm.
    fn through(&self, draft: &mut LiningDraft, by: f64, foot_by: f64) -> Result<(), Refusal> {
        let below = self.below(draft);
        let old = self.downward(draft);
        let new = self.leaning(&old, (by, foot_by), (old.end() - old.start()).dot(self.down))?;
        let (reach, new) = met(&self.above_inward(draft), &old, &new)?;
        let hem = draft.curve(below).clone();
        let hem = if self.top == EdgeEnd::First { hem } else { hem.reversed() };
        let (foot, up) = met(&hem, &old.reversed(), &new.reversed())?;
        let new = up.reversed();
        if draft.edges[below].edge.finish != Finish::Seam {
            let legs = Legs { inner: old, outer: new.clone(), across: Some(foot.way.clone()) };
            self.redraw(draft, &new, legs, (&reach, foot.further))?;
            return self.grow(draft, below, &foot.way, self.top);
        }
        // One from either end, since a pleat opens at one edge; they meet half way.
        let (upper, lower) = old.split_at(old.length() / 2.0)?;
        let middle = new.nearest(upper.end() + self.out * f64::midpoint(by, foot_by));
        let (new_upper, new_lower) = new.split_at(middle.at)?;
        let across = Some(Curve::line(upper.end(), new_upper.end())?);
        let legs = Legs { inner: upper, outer: new_upper, across: across.clone() };
        self.redraw(draft, &new, legs, (&reach, foot.further))?;
        let legs = Legs { inner: lower.reversed(), outer: new_lower.reversed(), across };
        self.open_at(draft, below, &foot.way, self.top, legs)
    }

    /// The edge above the centre, from their corner on.
    fn above_inward(&self, draft: &LiningDraft) -> Curve {
        let above = draft.curve(self.above(draft)).clone();
        if self.top == EdgeEnd::First { above.reversed() } else { above }
    }

    /// The centre above a level leans straight away from it.
    fn tapered(
        &self,
        source: &Piece,
        draft: &mut LiningDraft,
        wish: &PleatWish,
        level: &LevelName,
        allowance: Option<Length>,
    ) -> Result<Option<Refusal>, Refusal> {
        let old = self.downward(draft);
        let Some(found) = source.levels.iter().find(|own| own.name == *level) else {
            return Ok(source.level_named(level).err());
        };
        let at = place_of(found, &old);
        let deep = (old.point_at(at) - old.start()).dot(self.down);
        if deep <= wish.by.mm() {
            let what = format!("level `{level}` does not cross its centre below the top");
            return Ok(Some(wrong(source, wish, what)));
        }
        let (upper, lower) = match old.length() - at <= SAME_CUT {
            true => (old.clone(), None),
            false => old.split_at(at).map(|(upper, lower)| (upper, Some(lower)))?,
        };
        let leaning = self.leaning(&upper, (wish.by.mm(), 0.0), deep)?;
        let (reach, leaning) = met(&self.above_inward(draft), &old, &leaning)?;
        let legs = Legs { inner: upper, outer: leaning.clone(), across: None };
        let new = match lower {
            Some(lower) => leaning.joined_within(&lower, JOINT)?,
            None => leaning,
        };
        self.redraw(draft, &new, legs, (&reach, 0.0))?;
        self.open_fold(source, draft, allowance);
        Ok(None)
    }

    /// A fold cannot lean: it becomes a seam to the mirrored copy.
    fn open_fold(&self, source: &Piece, draft: &mut LiningDraft, allowance: Option<Length>) {
        let edge = &mut draft.edges[self.centre].edge;
        if edge.finish == Finish::Fold {
            edge.finish = Finish::Seam;
            edge.allowance = allowance.unwrap_or_else(|| source.usual_allowance());
            let cut = draft.base().cut;
            draft.base_mut().cut = Cut { copies: cut.copies * 2, twins: Twins::Mirrored };
        }
    }

    /// Draws the centre anew, and the edge above it up to it: there the pleat opens. At its foot the centre goes further than
    /// straight across by so much.
    fn redraw(
        &self,
        draft: &mut LiningDraft,
        new: &Curve,
        legs: Legs,
        (OverPleat { way: reach, further: higher }, lower): (&OverPleat, f64),
    ) -> Result<(), Refusal> {
        let length = draft.curve(self.centre).length();
        let curve = if self.top == EdgeEnd::First { new.clone() } else { new.reversed() };
        // What stands on the centre stays as far from its foot.
        let (share, long) = ((curve.length() - higher - lower) / length, curve.length());
        let before = if self.top == EdgeEnd::First { *higher } else { lower };
        draft.redraw_between(self.centre, curve, None, 0.0, |place| {
            Some((before + place * share).clamp(0.0, long))
        })?;
        self.open_at(draft, self.above(draft), reach, self.top.other(), legs)
    }

    /// Lets an edge go on over the pleat from its end at the centre: there it opens.
    fn open_at(
        &self,
        draft: &mut LiningDraft,
        at: usize,
        reach: &Curve,
        end: EdgeEnd,
        Legs { inner, outer, across }: Legs,
    ) -> Result<(), Refusal> {
        let before = draft.curve(at).length();
        self.grow(draft, at, reach, end)?;
        let ((from, to), first, second, across) = match end {
            EdgeEnd::Last => {
                ((before, draft.curve(at).length()), inner, outer, across.map(|way| way.reversed()))
            }
            EdgeEnd::First => ((0.0, reach.length()), outer, inner, across),
        };
        let second = across.map_or_else(|| Ok(second.clone()), |across| second.joined(&across))?;
        let legs = (first, second);
        let mouth = Mouth { edge: draft.edges[at].edge.name.clone(), from, to };
        let name = DartName::plain("pleat").free(|name| draft.darts.iter().any(|dart| dart.name == *name));
        draft.darts.push(Dart {
            name,
            shape: DartShape::Open { mouth, legs },
            kind: DartKind::Pleat,
            press: Press::Usual,
            kept: Kept::default(),
        });
        Ok(())
    }

    /// An edge that goes on by a line away from its corner at the centre, which is at an end of it.
    fn grow(&self, draft: &mut LiningDraft, at: usize, reach: &Curve, end: EdgeEnd) -> Result<(), Refusal> {
        let (curve, length) = (draft.curve(at).clone(), draft.curve(at).length());
        let (grown, begins) = match end {
            EdgeEnd::First => (reach.reversed().joined_within(&curve, JOINT)?, reach.length()),
            EdgeEnd::Last => (curve.joined_within(reach, JOINT)?, 0.0),
        };
        draft.redraw_between(at, grown, Some((0.0, length)), begins, |place| Some(place + begins))
    }
}

/// The way from an end of the old centre to that of the new one, and that one begun where it meets the way: the edge beside it
/// mirrored in the centre, straight across where that does not come so far. All lines lead away from that end.
fn met(beside: &Curve, old: &Curve, new: &Curve) -> Result<(OverPleat, Curve), Refusal> {
    let end = old.start();
    let by = end.distance(new.start());
    let mirrored = beside.moved(&Motion::mirror_in(end, end + old.start_tangent())?);
    let beyond = new.run_on(by, 0.0);
    let met = mirrored.crossings(&beyond).into_iter().min_by(|a, b| a.at.total_cmp(&b.at));
    // Further than twice as far as straight across it is no neck that the pleat could be caught in.
    let Some(met) = met.filter(|met| met.at <= 2.0 * by) else {
        return Ok((OverPleat { way: Curve::line(end, new.start())?, further: 0.0 }, new.clone()));
    };
    let way = mirrored.stretch(0.0, met.at)?.with_ends(end, met.point)?;
    let reach = OverPleat { way, further: by - met.other_at };
    let new = beyond.stretch(met.other_at, beyond.length())?.with_ends(met.point, new.end())?;
    Ok((reach, new))
}
