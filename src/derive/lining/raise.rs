//! The underarm of a lining, raised on body and sleeve alike, so that the lining goes over the allowances of the armhole seam.
//!
//! Where cap and armhole are sewn in one run, that run begins and ends at the underarm. There both sides go up along the
//! seams that end there, and less and less on the way to a place some centimetres off:
//!
//! ```text
//!        │                 │
//!         ╲    raised       ╲ ___
//!          ╲____   ──>           │ by
//!               │ side           │ side
//! ```
//!
//! The sleeve is raised by what shortens its cap as much as the armhole is shortened, and further off at the one end than at the
//! other where that is needed to shorten it as much at either: the ease stays as it was, and the notches meet.

use crate::advice;
use crate::curve::Curve;
use crate::derive::lining::draft::LiningDraft;
use crate::derive::lining::raised::{EdgeOf, InSeam, Raise, Raised, edges_of, shortened};
use crate::derive::lining::raised_notches::{notch_alike, shift_at};
use crate::pattern::words::{ARMHOLE, CAP, says};
use crate::pattern::{
    EdgeEnd, Field, Operation, Pattern, Piece, Refusal, RefusalKind, Run, Seam, Side, Walk,
};
use crate::tolerance::SAME_CUT;
use crate::units::Length;

/// What share of the body's height a sleeve is raised by at least, and the other way round: beyond, the two are not alike.
const LEAST_RAISED: f64 = 0.5;

/// By what share of the reach the cap is drawn anew further off at the one end, and less far at the other, at most.
const MOST_SHIFTED: f64 = 0.5;

/// Raises the underarm on all edges of a piece that are sewn in an armhole seam; why not, where it has none.
///
/// # Errors
///
/// Refuses a raise that cannot be drawn.
pub(super) fn raise(
    pattern: &Pattern,
    source: &Piece,
    draft: &mut LiningDraft,
    by: Length,
) -> Result<Option<Refusal>, Refusal> {
    if by.mm() <= 0.0 {
        return Err(wrong(source, by, format!("the underarm cannot be raised by {by}")));
    }
    let mut raised = 0;
    for seam in pattern.seams() {
        let Some(cap) = cap_side(seam) else { continue };
        for side in Side::BOTH {
            let run = seam.side(side);
            if !run.edges().iter().any(|run| run.edge.piece == *source.name()) {
                continue;
            }
            let found = match side == cap {
                false => raised_armhole(pattern, run, source, by.mm())?,
                true => raised_cap(pattern, seam, cap, by.mm())?,
            };
            for edge in found.iter().filter(|edge| edge.piece == *source.name()) {
                apply(draft, edge)?;
                raised += 1;
            }
        }
    }
    let nowhere =
        || wrong(source, by, "no edge of the piece is sewn where an armhole meets a cap".to_owned());
    Ok((raised == 0).then(nowhere))
}

fn wrong(source: &Piece, by: Length, what: String) -> Refusal {
    let way_out = advice!(
        "raise linings of a body and of its sleeve, whose edges are called armhole and cap (",
        Operation::SetEdge.with(Field::Name, "armhole"),
        "), by 6mm to 13mm"
    );
    Refusal::new(RefusalKind::BadField, source.name(), what, way_out).about(by)
}

/// The side of a seam that is a sleeve's cap, where the other is an armhole.
fn cap_side(seam: &Seam) -> Option<Side> {
    let says = |side: Side, words: &[&str]| {
        seam.side(side).edges().iter().all(|run| says(run.edge.edge.as_str(), words))
    };
    Side::BOTH.into_iter().find(|side| says(*side, &CAP) && says(side.other(), &ARMHOLE))
}

/// The edges of a piece in the armhole, raised.
fn raised_armhole(pattern: &Pattern, run: &Run, source: &Piece, by: f64) -> Result<Vec<Raised>, Refusal> {
    let edges = edges_of(pattern, run)?;
    let own = edges.iter().filter(|edge| edge.piece.name() == source.name());
    own.map(|edge| edge.raised(pattern, Raise::by(by))).collect()
}

/// The cap of a seam, raised so that it is shortened as much as the armhole is, at either end of the seam.
fn raised_cap(pattern: &Pattern, seam: &Seam, cap: Side, by: f64) -> Result<Vec<Raised>, Refusal> {
    let all = |edges: &[EdgeOf], raise: Raise| {
        edges.iter().map(|edge| edge.raised(pattern, raise)).collect::<Result<Vec<_>, _>>()
    };
    let armhole = edges_of(pattern, seam.side(cap.other()))?;
    let raised_armhole = all(&armhole, Raise::by(by))?;
    let shorter = shortened(&raised_armhole);
    let edges = edges_of(pattern, seam.side(cap))?;
    let raised = |raise| all(&edges, raise);
    let Some(mut found) = raised_alike(&raised, by, shorter)? else {
        return raised_in_all(&raised, by, shorter[0] + shorter[1]);
    };
    let walk = Walk::of(pattern, seam.side(cap.other()))?;
    let shift = |lies: InSeam, whole: f64| shift_at(&walk, (&armhole, &raised_armhole), lies, whole);
    notch_alike(&edges, &mut found, shift);
    Ok(found)
}

/// The cap raised so that it is shorter by so much at its start and at its end; none where no height and reach do that.
fn raised_alike(
    raised: &impl Fn(Raise) -> Result<Vec<Raised>, Refusal>,
    by: f64,
    shorter: [f64; 2],
) -> Result<Option<Vec<Raised>>, Refusal> {
    /// Steps of the search, after the three places that its slopes are first measured at.
    const STEPS: usize = 10;
    /// How far those places are apart, as a share of the height and of the reach.
    const APART: f64 = 0.02;
    let found = |(height, share): (f64, f64)| raised(Raise::shifted(by * height, share));
    let miss = |found: &[Raised]| {
        let now = shortened(found);
        (now[0] - shorter[0], now[1] - shorter[1])
    };
    let mut at = (1.0, 0.0);
    let mut best = found(at)?;
    let mut off = miss(&best);
    let higher = miss(&found((1.0 + APART, 0.0))?);
    let further = miss(&found((1.0, APART))?);
    let mut slopes = [
        [(higher.0 - off.0) / APART, (further.0 - off.0) / APART],
        [(higher.1 - off.1) / APART, (further.1 - off.1) / APART],
    ];
    for _ in 0..STEPS {
        if off.0.abs().max(off.1.abs()) < SAME_CUT {
            return Ok(Some(best));
        }
        let [[a, b], [c, d]] = slopes;
        let area = a * d - b * c;
        let by = ((b * off.1 - d * off.0) / area, (c * off.0 - a * off.1) / area);
        let next = (at.0 + by.0, at.1 + by.1);
        let is_within = (LEAST_RAISED..=1.0 / LEAST_RAISED).contains(&next.0) && next.1.abs() <= MOST_SHIFTED;
        if !is_within {
            return Ok(None);
        }
        best = found(next)?;
        let now = miss(&best);
        // The slopes as they turned out on the way.
        let long = by.0 * by.0 + by.1 * by.1;
        for (slope, change) in slopes.iter_mut().zip([now.0 - off.0, now.1 - off.1]) {
            let more = (change - slope[0] * by.0 - slope[1] * by.1) / long;
            *slope = [slope[0] + more * by.0, slope[1] + more * by.1];
        }
        (at, off) = (next, now);
    }
    Ok(None)
}

/// The cap raised so that it is shorter by so much in all.
fn raised_in_all(
    raised: &impl Fn(Raise) -> Result<Vec<Raised>, Refusal>,
    by: f64,
    shorter: f64,
) -> Result<Vec<Raised>, Refusal> {
    /// Steps of the search: each makes the miss some ten times smaller.
    const STEPS: usize = 12;
    let in_all = |found: &[Raised]| shortened(found).iter().sum::<f64>();
    let (mut before, mut height) = ((0.0, 0.0), by);
    let mut found = raised(Raise::by(height))?;
    for _ in 0..STEPS {
        let now = in_all(&found);
        if (now - shorter).abs() < SAME_CUT {
            break;
        }
        // The secant through the last two heights.
        let steep = (now - before.1) / (height - before.0);
        before = (height, now);
        height = (height + (shorter - now) / steep).clamp(by * LEAST_RAISED, by / LEAST_RAISED);
        if height == before.0 {
            break;
        }
        found = raised(Raise::by(height))?;
    }
    Ok(found)
}

fn apply(draft: &mut LiningDraft, raised: &Raised) -> Result<(), Refusal> {
    let name = &raised.edge;
    // Where the lining ends at a facing before, there is nothing to raise.
    let Some(at) = draft.find(name).filter(|at| *draft.curve(*at) == raised.line.old) else {
        return Ok(());
    };
    let (from, to) = raised.line.kept;
    let lengths = [0, 1].map(|i| raised.line.zones[i].as_ref().map_or(0.0, Curve::length));
    let new_kept = (to - from > SAME_CUT).then_some((lengths[0], lengths[0] + to - from));
    draft.redraw_between(at, raised.line.curve.clone(), new_kept.map(|_| (from, to)), lengths[0], |at| {
        Some(raised.place(at))
    })?;
    for (end, beside) in [EdgeEnd::First, EdgeEnd::Last].into_iter().zip(&raised.ends) {
        let Some((beside, height)) = beside else { continue };
        let Some(beside) = draft.find(beside) else { continue };
        match end {
            EdgeEnd::First => draft.extend(beside, 0.0, *height)?,
            EdgeEnd::Last => draft.extend(beside, *height, 0.0)?,
        }
    }
    Ok(())
}
