//! On which grain a facing is cut.

use crate::curve::angle_between_lines;
use crate::derive::chain::ChainLink;
use crate::derive::closed::{ClosedRun, LaidAlong};
use crate::parts::carry::lay_grainline;
use crate::pattern::{Grainline, Kept, Piece, Refusal, Thread};
use crate::tolerance::{OFF_GRAIN_WARNED, SAME_CUT};

/// The longest stretch of the piece that has most of the run.
pub(super) fn longest<'r, 'a>(run: &'r ClosedRun<'a>) -> &'r LaidAlong<'a> {
    let all = || run.sides.iter().flat_map(|side| &side.laid);
    let of = |laid: &LaidAlong| -> f64 {
        all().filter(|other| other.piece.name() == laid.piece.name()).map(|other| other.curve.length()).sum()
    };
    let mut best: Option<&LaidAlong> = None;
    for laid in all() {
        let is_more = best.is_none_or(|best| {
            let (a, b) = (of(laid), of(best));
            a > b + SAME_CUT
                || ((a - b).abs() <= SAME_CUT && laid.curve.length() > best.curve.length() + SAME_CUT)
        });
        if is_more {
            best = Some(laid);
        }
    }
    best.unwrap_or(&run.sides[0].laid[0])
}

/// The part whose grain the facing has: that on the fold, along which cloth is folded, else the longest of the main piece.
pub(super) fn gives_grain<'r, 'a>(run: &'r ClosedRun<'a>) -> &'r LaidAlong<'a> {
    let on_fold = [&run.first, &run.last].into_iter().find(|end| end.is_fold());
    on_fold.and_then(|end| end.laid.first()).unwrap_or_else(|| longest(run))
}

/// How many times as long as its facing is deep an edge is that grows visibly where it is cut off its grain. A curve that is
/// shorter happens to run along it.
const LONG: f64 = 2.0;

/// How many of the edges lie on one grain, where that is not all: an edge that runs along its own grain would grow if its
/// facing were cut off it, as a front edge whose neck ends on a fold at the back.
pub(super) fn on_one_grain(run: &ClosedRun, links: &[ChainLink], depth: f64) -> Option<usize> {
    if !(run.first.is_fold() || run.last.is_fold()) {
        return None;
    }
    let grain = |laid: &LaidAlong| laid.motion.apply_vec(laid.piece.grain_or_down());
    let folded = grain(gives_grain(run));
    let comes_off = |link: &ChainLink| {
        let thread = link.piece.off_thread(link.edge);
        let is_long = link.piece.edge(link.edge).curve.length() > LONG * depth;
        let on_grain = is_long
            && thread.is_some_and(|off| off.thread == Thread::Warp && off.degrees <= OFF_GRAIN_WARNED);
        let lies = |laid: &&LaidAlong| laid.piece.name() == link.piece.name() && laid.edge == link.edge;
        let laid = run.sides.iter().flat_map(|side| &side.laid).find(lies);
        on_grain
            && laid.is_some_and(|laid| angle_between_lines(grain(laid), folded).degrees() > OFF_GRAIN_WARNED)
    };
    let seams = |from: usize, to: usize| {
        (from.max(1)..to).filter(|i| links[*i].piece.name() != links[*i - 1].piece.name())
    };
    let mut off = (0..run.count).filter(|i| comes_off(&links[*i]));
    match run.first.is_fold() {
        true => off.next().and_then(|at| seams(1, at + 1).next_back()),
        false => off.next_back().and_then(|at| seams(at + 1, run.count).next()),
    }
}

/// Along the grain of the part that gives it, where the facing is longest that way.
pub(super) fn grainline(main: &LaidAlong, gives: &LaidAlong, facing: &Piece) -> Result<Grainline, Refusal> {
    let along = gives.motion.apply_vec(gives.piece.grain_or_down());
    let (start, end) = lay_grainline(facing.outline(), along)?;
    let arrows = main.piece.grainline.as_ref().map(|grain| grain.arrows).unwrap_or_default();
    Ok(Grainline { start, end, arrows, kept: Kept::default() })
}
