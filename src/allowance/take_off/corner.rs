//! Finding the corner of the seamline behind a corner of the cutting line.
//!
//! Where each of the two lines leaves its edge can be seen only as a kink, and there may be several. For each choice the
//! lines inside are brought to their meeting, the corner is cut anew there in each of the trade's shapes, and what
//! comes out is laid on the drawing:
//!
//! ```text
//!   ──────line──────┐ kink          the choice that explains most of the
//!                   │ squared end   drawn kinks with a shape that fits
//!   ────inside──●   ╲               is the corner
//!                ╲   ╲
//! ```

use crate::allowance::beside::{arm, leaving_arm};
use crate::allowance::corner::{Corner, Join, MitreTip, Which};
use crate::allowance::take_off::error::TakeOffError;
use crate::allowance::take_off::inside::inside;
use crate::allowance::take_off::run_on::{MetLines, met};
use crate::allowance::take_off::span::{EdgeSpan, kinks};
use crate::allowance::way::SegmentWay;
use crate::curve::{Curve, Point, offset};
use crate::pattern::{CornerShape, Finish};
use crate::tolerance::{KINK_FITS, MITRE_REACH, SAME_POINT, SEAMLINE_UNSURE, SHAPE_FITS, TAKE_OFF_ACCURACY};

/// A corner of the seamline.
#[derive(Clone, Debug)]
pub(super) struct FoundCorner {
    /// Walk distance on the first line at which it leaves its edge.
    pub leave: f64,
    /// Walk distance on the second line at which it is beside its edge.
    pub enter: f64,
    pub at: Point,
    pub shape: Option<CornerShape>,
}

/// How far before and after a corner its lines are looked at, beyond the reach of its shapes (mm).
///
/// Enough of an armhole for its bend, little enough that a piece's other side is not met.
const CONTEXT: f64 = 60.0;

/// How far from a corner its shape may begin, as a multiple of the deeper allowance: where a side that leans by 20° is
/// turned up, its line leaves the edge at the fold, six allowances before its end.
const SHAPE_REACH: f64 = 6.0;

/// The share of a line that is an edge's own at least, whatever kinks it has: a hem's fold may lie far along a short
/// side's line.
const LEAST_KEPT: f64 = 0.1;

/// Into how many steps the drawing round a corner is divided to be laid on a shape.
const LAID: u32 = 24;

/// The drawing round a corner.
struct AroundCorner<'a> {
    first: &'a EdgeSpan,
    second: &'a EdgeSpan,
    wanted: Option<&'a CornerShape>,
    /// The end of the first line, what stands between, and the beginning of the second.
    drawn: Curve,
    /// Where on it the first line ends and the second begins.
    between: (f64, f64),
    /// Walk distance on the first line at which the drawing begins.
    begins: f64,
    /// How many stretches stand between.
    count: usize,
}

/// A choice of where the two lines leave their edges, and what comes of it.
struct Choice {
    leave: f64,
    enter: f64,
    at: Point,
    shape: Option<CornerShape>,
    /// How far the shape is off the drawing, mm.
    off: f64,
    /// How many kinks of the drawing are the shape's.
    explains: usize,
    /// Whether the lines leave their edges where they were said to.
    cut: LeavesAt,
    /// By how much the corner may be off where a line ran on, mm.
    doubt: f64,
}

/// Where the lines of a choice leave their edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LeavesAt {
    /// Where they were said to.
    AsSaid,
    /// At a kink before or after.
    AtKink,
}

impl Choice {
    fn fits(&self) -> bool {
        let folded = self.shape == Some(CornerShape::TurnedUp);
        self.off <= if folded || self.cut == LeavesAt::AsSaid { SHAPE_FITS + self.doubt } else { KINK_FITS }
    }
}

/// The corner between two edges' lines.
///
/// # Errors
///
/// [`TakeOffError::NoCorner`] where the lines inside do not meet.
pub(super) fn find(
    first: &EdgeSpan,
    second: &EdgeSpan,
    between: &[&Curve],
    wanted: Option<&CornerShape>,
) -> Result<FoundCorner, TakeOffError> {
    let sight = AroundCorner::of(first, second, between, wanted)?;
    let choices = sight.choices()?;
    let best = sight.best(choices).ok_or_else(|| TakeOffError::NoCorner {
        first: first.edge.name.clone(),
        second: second.edge.name.clone(),
        first_allowance: first.depth(),
        second_allowance: second.depth(),
        at: first.line.end(),
    })?;
    Ok(FoundCorner {
        leave: best.leave + sight.begins,
        enter: best.enter - sight.between.1,
        at: best.at,
        shape: best.shape,
    })
}

impl<'a> AroundCorner<'a> {
    fn of(
        first: &'a EdgeSpan,
        second: &'a EdgeSpan,
        between: &[&Curve],
        wanted: Option<&'a CornerShape>,
    ) -> Result<AroundCorner<'a>, TakeOffError> {
        // Twice: a hem's side is reflected, and so must be seen as far above the fold as it is drawn below.
        let reach = 2.0 * SHAPE_REACH * first.depth().max(second.depth()) + CONTEXT;
        let begins = (first.line.length() - reach).max(0.0);
        let open = TakeOffError::Open;
        let mut drawn = first.line.stretch(begins, first.line.length()).map_err(open)?;
        let leaves = drawn.length();
        for line in between {
            drawn = drawn.joined(line).map_err(open)?;
        }
        let enters = drawn.length();
        let after = second.line.stretch(0.0, reach.min(second.line.length())).map_err(open)?;
        let drawn = drawn.joined(&after).map_err(open)?;
        Ok(AroundCorner {
            first,
            second,
            wanted,
            drawn,
            between: (leaves, enters),
            begins,
            count: between.len(),
        })
    }

    fn deepest(&self) -> f64 {
        self.first.depth().max(self.second.depth())
    }

    /// All choices for which the lines inside meet; one without a shape is the choice of what was said.
    fn choices(&self) -> Result<Vec<Choice>, TakeOffError> {
        let (leaves, enters) = self.between;
        let reach = SHAPE_REACH * self.deepest();
        let all: Vec<f64> = kinks(&self.drawn).map(|joint| joint.at).collect();
        let apart = |a: f64, b: f64| (a - b).abs() > SAME_POINT;
        let first_kept = LEAST_KEPT * self.first.line.length() - self.begins;
        let second_kept = enters + (1.0 - LEAST_KEPT) * self.second.line.length();
        let tails = all
            .iter()
            .copied()
            .filter(|at| *at < leaves && apart(*at, leaves) && *at > (leaves - reach).max(first_kept));
        let heads = all
            .iter()
            .copied()
            .filter(|at| *at > enters && apart(*at, enters) && *at < (enters + reach).min(second_kept));
        let ends: Vec<f64> = std::iter::once(leaves).chain(tails.rev()).collect();
        let starts: Vec<f64> = std::iter::once(enters).chain(heads).collect();
        let mut choices = Vec::new();
        for (before, leave) in ends.iter().enumerate() {
            for (after, enter) in starts.iter().enumerate() {
                let cut = if before == 0 && after == 0 { LeavesAt::AsSaid } else { LeavesAt::AtKink };
                choices.extend(self.choice((*leave, *enter), before + after + self.count, cut)?);
            }
        }
        Ok(choices)
    }

    fn choice(
        &self,
        (leave, enter): (f64, f64),
        explains: usize,
        cut: LeavesAt,
    ) -> Result<Vec<Choice>, TakeOffError> {
        let open = TakeOffError::Open;
        let before = inside(&self.drawn.stretch(0.0, leave).map_err(open)?, &self.first.edge)?;
        let after =
            inside(&self.drawn.stretch(enter, self.drawn.length()).map_err(open)?, &self.second.edge)?;
        let met = met(&before, &after, 2.0 * MITRE_REACH * self.deepest());
        let Some((met, corner)) = met.and_then(|met| self.corner(&met).map(|corner| (met, corner))) else {
            return Ok(Vec::new());
        };
        let at = met.at;
        let choice = |shape, off| Choice { leave, enter, at, shape, off, explains, cut, doubt: met.doubt };
        let mut choices: Vec<Choice> = Vec::new();
        let doubtful = cut == LeavesAt::AtKink && met.doubt > SEAMLINE_UNSURE;
        for (shape, join) in self.shapes(&corner, (leave, enter)) {
            // Kinks near the end of a line that bends may be its own; only a hem's fold explains them all the same.
            if doubtful && shape != CornerShape::TurnedUp {
                continue;
            }
            if let Some(off) = self.off(&corner, &join, (leave, enter)) {
                choices.push(choice(Some(shape), off));
            }
        }
        if cut == LeavesAt::AsSaid {
            choices.push(choice(None, f64::INFINITY));
        }
        Ok(choices)
    }

    /// The corner where the lines inside meet, with the lines beside them.
    fn corner(&self, met: &MetLines) -> Option<Corner> {
        let beside = |line: &Curve, depth: f64| offset(line, depth, TAKE_OFF_ACCURACY).ok();
        let (a, b) = (self.first.depth(), self.second.depth());
        let arriving = arm(beside(&met.first, a)?, met.first.end_tangent(), a);
        let leaving = leaving_arm(beside(&met.second, b)?.reversed(), met.second.start_tangent(), b);
        Some(Corner::new(met.at, arriving, leaving))
    }

    /// The corner cut in each shape that it can have.
    fn shapes(&self, corner: &Corner, (leave, enter): (f64, f64)) -> Vec<(CornerShape, Join)> {
        let ends = (self.drawn.point_at(leave), self.drawn.point_at(enter));
        let squared = |which: Which, name: &crate::pattern::EdgeName| {
            let reach = match which {
                Which::First => (ends.0 - corner.at).dot(corner.first.along),
                Which::Second => (ends.1 - corner.at).dot(corner.second.along),
            };
            let squared = (reach > SAME_POINT).then(|| corner.square(which, reach)).flatten()?;
            Some((CornerShape::Square(name.clone()), squared.join))
        };
        let hem = match (self.first.edge.finish == Finish::Hem, self.second.edge.finish == Finish::Hem) {
            (true, false) => Some(Which::First),
            (false, true) => Some(Which::Second),
            _ => None,
        };
        let turned_up = hem.and_then(|hem| corner.turned_up(hem)).map(|join| (CornerShape::TurnedUp, join));
        let mut shapes: Vec<(CornerShape, Join)> = turned_up.into_iter().collect();
        shapes.push((CornerShape::Mitre, corner.mitre(MitreTip::CutOff)));
        shapes.push((CornerShape::Mitre, corner.mitre(MitreTip::Kept)));
        shapes.extend(squared(Which::First, &self.first.edge.name));
        shapes.extend(squared(Which::Second, &self.second.edge.name));
        shapes.push((CornerShape::Jog, corner.jog()));
        shapes.retain(|(shape, _)| self.wanted.is_none_or(|wanted| wanted == shape));
        shapes
    }

    /// How far a way of cutting the corner is off the drawing, mm.
    fn off(&self, corner: &Corner, join: &Join, (leave, enter): (f64, f64)) -> Option<f64> {
        let cut = cut_as(corner, join)?;
        let pad = self.deepest().max(1.0);
        let (from, to) = ((leave - pad).max(0.0), (enter + pad).min(self.drawn.length()));
        let steps = (0..=LAID).map(|step| from + (to - from) * f64::from(step) / f64::from(LAID));
        let joints =
            self.drawn.joints().into_iter().map(|joint| joint.at).filter(|at| (from..=to).contains(at));
        let drawn_off = steps.chain(joints).map(|at| cut.nearest(self.drawn.point_at(at)).distance);
        let way_off =
            join.way.iter().map(|segment| self.drawn.nearest(kurbo::ParamCurve::end(segment)).distance);
        Some(drawn_off.chain(way_off).fold(0.0, f64::max))
    }

    /// The choice whose shape fits and explains most of the drawing; else that of the shape asked for which fits best;
    /// else the drawing as it was said to be.
    fn best(&self, mut choices: Vec<Choice>) -> Option<Choice> {
        let rank = |choice: &Choice| {
            let fits = choice.fits();
            (!fits, if fits { usize::MAX - choice.explains } else { 0 })
        };
        let unsaid = |choice: &Choice| self.wanted.is_none() && !choice.fits() && choice.shape.is_some();
        choices.retain(|choice| !unsaid(choice));
        choices.sort_by(|a, b| rank(a).cmp(&rank(b)).then(a.off.total_cmp(&b.off)));
        choices.into_iter().next()
    }
}

/// The whole line round a corner as it is cut.
fn cut_as(corner: &Corner, join: &Join) -> Option<Curve> {
    let (first, second) = (&corner.first.line, &corner.second.line);
    let mut way = SegmentWay::from(first.start());
    if let Ok(before) = first.stretch(0.0, join.leave.0) {
        way.follow(&before);
    }
    for segment in &join.way {
        way = way.line_to(kurbo::ParamCurve::start(segment));
        way.segments.push(*segment);
        way.at = kurbo::ParamCurve::end(segment);
    }
    if let Ok(after) = second.stretch(0.0, join.leave.1) {
        let after = after.reversed();
        way = way.line_to(after.start());
        way.follow(&after);
    }
    way.curve()
}
