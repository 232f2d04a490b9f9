//! Two seamlines that are sewn together, each smoothed where it has a corner, so that both come out equally long or
//! differ by no more than may be eased.
//!
//! ```text
//!        start                  start
//!          \                      \        notch
//!           \                      |
//!            > corner    ──>        )      blend
//!           /                      |
//!          /                      /        notch
//!        end                    end
//! ```

use kurbo::{CubicBez, PathSeg};

use crate::advice;
use crate::curve::{Curve, blend_corner, blend_corner_to_length, turn_between};
use crate::pattern::{Field, PieceName, Refusal, RefusalKind};
use crate::tolerance::{BLEND_DEPARTURE, MOST_BLEND_EASE, SAME_LENGTH, SAME_POINT, SMOOTH_JOINT};
use crate::units::Length;

/// How far on either side of a corner a seamline is blended unless something else is asked for, mm.
const USUAL_REACH: f64 = 30.0;

/// The share of a stretch that a blend may use up where the stretch is blended at one end, and where at both.
const MOST_OF_STRETCH: f64 = 0.7;
const MOST_OF_STRETCH_BETWEEN: f64 = 0.45;

/// How far from the point its notches stand, as a multiple of the reach: just clear of the blend.
const NOTCHES_BEYOND: f64 = 4.0 / 3.0;

/// How far from the point its notches stand where nothing is blended, mm.
const USUAL_NOTCHES: f64 = 40.0;

/// The largest share of the way to an end of the seam at which such a notch stands.
const NOTCH_SHARE: f64 = 0.8;

/// What is asked of the blends of a seam.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BlendWishes {
    /// How far they reach on either side.
    pub reach: Option<Length>,
    /// The most by which the two seamlines may differ.
    pub ease: Option<Length>,
}

/// The two seamlines of a seam before they are blended: stretches from the seam's start to its end, as many on either
/// side, that meet at corners.
#[derive(Clone, Debug)]
pub(super) struct Cornered {
    pub lines: [Vec<Curve>; 2],
    /// The joint at the point, counted from nought: there the two lengths are brought together.
    pub point: usize,
    /// The joints before the first and after the last of which a pair of notches stands.
    pub notched: (usize, usize),
}

/// The two seamlines, smooth at their joints.
#[derive(Clone, Debug)]
pub(super) struct Smoothed {
    pub lines: [Curve; 2],
    /// Walk distance of the first pair of notches from the start, of the second from the end.
    pub notches: (f64, f64),
}

impl Smoothed {
    /// By how much the first line is longer than the second, mm.
    pub(super) fn ease(&self) -> f64 {
        self.lines[0].length() - self.lines[1].length()
    }
}

/// Blends the corners of two seamlines.
///
/// At each joint both are blended by the same reach. The shorter blend is drawn fuller until the two are equally long,
/// at first no fuller than a curve without a counter-bend, then up to [`BLEND_DEPARTURE`] off the corner where the
/// rest could not be eased.
///
/// # Errors
///
/// Refuses a reach that the stretches do not have, and lines that differ by more than may be eased.
pub(super) fn smooth(piece: &PieceName, seam: &Cornered, wishes: BlendWishes) -> Result<Smoothed, Refusal> {
    let most_ease = wishes.ease.map_or(MOST_BLEND_EASE, Length::mm);
    if most_ease < 0.0 {
        return Err(Refusal::new(
            RefusalKind::BadField,
            piece,
            format!("an ease of {most_ease} mm is below zero"),
            "give an ease of 0mm or more",
        )
        .about(Length::from_mm(most_ease)));
    }
    let joints = seam.lines[0].len().saturating_sub(1);
    let mut blends: Vec<Option<JointBlends>> = Vec::new();
    for joint in 0..joints {
        blends.push(if seam.is_smooth_at(joint) {
            None
        } else {
            let reach = seam.reach(piece, joint, wishes.reach)?;
            let (ease, lengths) = (f64::INFINITY, [0.0; 2]);
            Some(JointBlends { reach, blends: seam.blend_alike(joint, reach, lengths, ease)? })
        });
    }
    if let Some(Some(joint)) = blends.get(seam.point) {
        let reach = joint.reach;
        let rest = [0, 1].map(|side| seam.length(side, &blends) - joint.blends[side].length());
        let alike = seam.blend_alike(seam.point, reach, rest, most_ease)?;
        blends[seam.point] = Some(JointBlends { reach, blends: alike });
    }
    let [first, second] = [0, 1].map(|side| seam.joined(side, &blends));
    let lines = [first?, second?];
    refuse_too_much_ease(piece, &lines, most_ease)?;
    Ok(Smoothed { notches: seam.notches(&lines, &blends), lines })
}

fn refuse_too_much_ease(piece: &PieceName, lines: &[Curve; 2], most_ease: f64) -> Result<(), Refusal> {
    let [a, b] = [lines[0].length(), lines[1].length()];
    let apart = (a - b).abs();
    if apart <= most_ease + SAME_LENGTH {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::LengthsDiffer,
        piece,
        format!(
            "the two seamlines would be {a:.1} mm and {b:.1} mm long: they differ by {apart:.2} mm, and {most_ease} mm \
             may be eased"
        ),
        advice!(
            "move the point onto the axis of the darts, blend less far with ",
            Field::Blend,
            ", or allow it: ",
            Field::Ease.set(Length::from_mm(apart).up_to_tenths())
        ),
    ))
}

/// The blends of both lines at a joint.
#[derive(Clone, Debug)]
struct JointBlends {
    reach: f64,
    blends: [Curve; 2],
}

impl Cornered {
    fn turn(&self, side: usize, joint: usize) -> f64 {
        let (before, after) = (&self.lines[side][joint], &self.lines[side][joint + 1]);
        let (a, b) = (before.end_tangent(), after.start_tangent());
        turn_between(a, b).0
    }

    fn is_smooth_at(&self, joint: usize) -> bool {
        [0, 1].iter().all(|side| self.turn(*side, joint).abs() <= SMOOTH_JOINT)
    }

    /// The reach of the blends at a joint: what is asked for, else the usual, as far as the stretches and the corners
    /// in them leave room.
    fn reach(&self, piece: &PieceName, joint: usize, wish: Option<Length>) -> Result<f64, Refusal> {
        let mut room = f64::INFINITY;
        for line in &self.lines {
            let share = |blended_beyond: bool| match blended_beyond {
                true => MOST_OF_STRETCH_BETWEEN,
                false => MOST_OF_STRETCH,
            };
            let (before, after) = (&line[joint], &line[joint + 1]);
            room = room
                .min(up_to_corner(&before.reversed()) * share(joint > 0))
                .min(up_to_corner(after) * share(joint + 2 < line.len()));
        }
        let wished = wish.map_or(USUAL_REACH, Length::mm);
        let impossible = wish.is_some() && joint == self.point && wished > room;
        if impossible || wished.is_nan() || wished <= SAME_POINT {
            return Err(Refusal::new(
                RefusalKind::BadField,
                piece,
                format!(
                    "a blend of {wished:.1} mm on either side of the point has no room: there are {room:.1} mm"
                ),
                format!("give a blend from 1mm to {:.0}mm", room.floor()),
            )
            .about(Length::from_mm(wished)));
        }
        Ok(wished.min(room))
    }

    /// Blends a joint of both lines so that they come out equally long, `rest` being the lengths of what is not
    /// blended here; what remains between them is at most `ease` where that can be had.
    fn blend_alike(
        &self,
        joint: usize,
        reach: f64,
        rest: [f64; 2],
        ease: f64,
    ) -> Result<[Curve; 2], Refusal> {
        let corner = |side: usize| (&self.lines[side][joint], &self.lines[side][joint + 1]);
        let plain =
            |side: usize| blend_corner(corner(side).0, corner(side).1, reach).map(|blend| blend.curve);
        let to_length = |side: usize, wish: f64| {
            let (before, after) = corner(side);
            blend_corner_to_length(before, after, reach, wish, BLEND_DEPARTURE).map(|blend| blend.curve)
        };
        let mut blends = [plain(0)?, plain(1)?];
        let longer_by = |blends: &[Curve; 2]| rest[0] + blends[0].length() - rest[1] - blends[1].length();
        let short = if longer_by(&blends) < 0.0 { 0 } else { 1 };
        let long = 1 - short;
        let lack = |blends: &[Curve; 2]| longer_by(blends).abs();
        if lack(&blends) <= SAME_LENGTH {
            return Ok(blends);
        }
        let wish = blends[short].length() + lack(&blends);
        let fullest = fullest_without_counter_bend(corner(short).0, corner(short).1, reach)?;
        blends[short] = to_length(short, wish.min(fullest.max(blends[short].length())))?;
        if lack(&blends) > ease {
            blends[short] = to_length(short, wish)?;
        }
        if lack(&blends) > ease {
            blends[long] = to_length(long, (blends[long].length() - lack(&blends)).max(0.0))?;
        }
        Ok(blends)
    }

    /// The length of a line with the blends made so far.
    fn length(&self, side: usize, blends: &[Option<JointBlends>]) -> f64 {
        let stretches: f64 = self.lines[side].iter().map(Curve::length).sum();
        let gained = |joint: &JointBlends| joint.blends[side].length() - 2.0 * joint.reach;
        stretches + blends.iter().flatten().map(gained).sum::<f64>()
    }

    fn joined(&self, side: usize, blends: &[Option<JointBlends>]) -> Result<Curve, Refusal> {
        let line = &self.lines[side];
        let reach = |joint: Option<usize>| {
            joint.and_then(|joint| blends.get(joint)?.as_ref()).map_or(0.0, |joint| joint.reach)
        };
        let mut whole: Option<Curve> = None;
        for (i, stretch) in line.iter().enumerate() {
            let (from, to) = (reach(i.checked_sub(1)), stretch.length() - reach(Some(i)));
            let kept = if from > 0.0 || to < stretch.length() {
                stretch.stretch(from, to)?
            } else {
                stretch.clone()
            };
            let so_far = match whole {
                None => kept,
                Some(so_far) => so_far.joined(&kept)?,
            };
            whole = Some(match blends.get(i).and_then(Option::as_ref) {
                Some(joint) => so_far.joined(&joint.blends[side])?,
                None => so_far,
            });
        }
        whole.ok_or_else(|| crate::curve::CurveError::Empty.into())
    }

    /// A pair of notches before the first and after the last of the joints named, equally far from them, at equal walk
    /// distances from the start and from the end on both lines.
    fn notches(&self, lines: &[Curve; 2], blends: &[Option<JointBlends>]) -> (f64, f64) {
        let gained = |side: usize, joint: usize| {
            let blend = blends.get(joint).and_then(Option::as_ref);
            blend.map_or(0.0, |joint| joint.blends[side].length() - 2.0 * joint.reach)
        };
        let before = |side: usize| {
            let joint = self.notched.0;
            let walked: f64 = self.lines[side][..=joint].iter().map(Curve::length).sum();
            walked + (0..joint).map(|earlier| gained(side, earlier)).sum::<f64>()
        };
        let after = |side: usize| {
            let joint = self.notched.1;
            let walked: f64 = self.lines[side][..=joint].iter().map(Curve::length).sum();
            let so_far = walked + (0..=joint).map(|earlier| gained(side, earlier)).sum::<f64>();
            lines[side].length() - so_far
        };
        let (first, last) = (before(0).min(before(1)), after(0).min(after(1)));
        let reach = [self.notched.0, self.notched.1]
            .into_iter()
            .filter_map(|joint| blends.get(joint)?.as_ref())
            .map(|joint| joint.reach * NOTCHES_BEYOND)
            .fold(USUAL_NOTCHES, f64::max);
        let off = reach.min(first * NOTCH_SHARE).min(last * NOTCH_SHARE);
        (first - off, last - off)
    }
}

/// How far a curve runs from its start before it has a corner.
fn up_to_corner(curve: &Curve) -> f64 {
    let corner = curve.joints().into_iter().find(|joint| joint.turn.abs() > SMOOTH_JOINT);
    corner.map_or(curve.length(), |joint| joint.at)
}

/// The length of the blend whose handles reach the corner: fuller ones bend outward first.
fn fullest_without_counter_bend(before: &Curve, after: &Curve, reach: f64) -> Result<f64, Refusal> {
    let start = (before.length() - reach).max(0.0);
    let (from, to) = (before.point_at(start), after.point_at(reach));
    let cubic = CubicBez::new(
        from,
        from + reach * before.tangent_before(start),
        to - reach * after.tangent_at(reach),
        to,
    );
    Ok(Curve::new([PathSeg::Cubic(cubic)])?.length())
}
