//! `open-seam`: a stretch of a seam is left open. Both edges are divided at both ends, so that the seam becomes three:
//!
//! ```text
//!   ──────┬──────┬──────   front.side, front.side-pocket, front.side-2
//!    sewn │ open │ sewn
//!   ──────┴──────┴──────   back.side, back.side-pocket, back.side-2
//! ```
//!
//! Nothing is eased along the opening; what was goes to the stretches beside it. The way back is `close-seam`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::pattern::{
    EdgeEnd, EdgeRef, Field, Notch, NotchCount, NotchName, Opening, Place, Refusal, RefusalKind, Run, Seam,
    SeamId, Side, Travel, Walk, settle,
};
use crate::recut::fields::ButtonShape;
use crate::recut::lap_over::refuse_lap;
use crate::recut::opened_side::{faced, widen};
use crate::recut::opened_stretch::{stretch, stretch_names};
use crate::recut::{Notice, Work};
use crate::tolerance::{
    BALL_BUTTONHOLE, BUTTONHOLE_LONGER, LEAST_DIVIDED, MOST_BUTTON, PARTNER_REACH, SAME_CUT, SAME_RUN, WELD,
};
use crate::truing;
use crate::units::Length;

/// Leave a stretch of a seam open: a buttonhole, a pocket, a vent.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OpenSeam {
    /// Any edge of the seam: front.side. The places are on its piece.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// Where the opening begins: "side@12cm from armhole".
    #[arg(long, value_name = "PLACE")]
    pub from: Place,
    /// Where it ends; for a buttonhole, give the button instead.
    #[arg(long, value_name = "PLACE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
    /// The diameter of the button: the hole goes down the piece from where it begins, 3 mm longer than a flat button, or 1.25 times a ball.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub button: Option<Length>,
    /// What the button is like: flat (default) or ball.
    #[arg(long, value_name = "SHAPE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub button_shape: Option<ButtonShape>,
    /// What it is for: buttonhole, pocket, or vent; otherwise a buttonhole where a button is given, else a pocket.
    #[arg(long = "for", value_name = "PURPOSE")]
    #[serde(default, rename = "for", skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Opening>,
    /// How far one side of it lies under the other: the allowances there are wide enough for it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lap: Option<Length>,
}

impl OpenSeam {
    /// A seam left open from a place on; it still needs where to, or a button.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{OpenSeam, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/skirt-shaped-back.svg")?;
    /// let skirt = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let pocket = OpenSeam {
    ///     to: Some("side@24cm from waist".parse()?),
    ///     ..OpenSeam::of("front.side".parse()?, "side@8cm from waist".parse()?)
    /// };
    /// let opened = Step::from(pocket).apply(&skirt)?.pattern;
    /// let front = opened.piece(&"front".parse()?)?;
    /// let pocket = front.edge(front.edge_named(&"side-pocket".parse()?)?);
    /// assert!((pocket.curve.length() - 160.0).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(seam: EdgeRef, from: Place) -> OpenSeam {
        OpenSeam { seam, from, to: None, button: None, button_shape: None, purpose: None, lap: None }
    }
}

impl OpenSeam {
    fn purpose(&self) -> Opening {
        let usual = if self.button.is_some() { Opening::Buttonhole } else { Opening::Pocket };
        self.purpose.unwrap_or(usual)
    }

    /// How long the hole for the button is, mm.
    fn hole(&self) -> Option<f64> {
        self.button.map(|button| match self.button_shape.unwrap_or_default() {
            ButtonShape::Flat => button.mm() + BUTTONHOLE_LONGER,
            ButtonShape::Ball => button.mm() * BALL_BUTTONHOLE,
        })
    }
}

pub(super) fn open_seam(step: &OpenSeam, work: &mut Work) -> Result<(), Refusal> {
    refuse_fields(step)?;
    let named = settle(&work.pattern, &step.seam);
    let id = work.pattern.seam_named(&named, None)?;
    let seam = work.pattern.seam(id).clone();
    let Some(side) = seam.side_of(&named) else { return Ok(()) };
    let seam = if side == Side::First { seam } else { seam.swapped() };
    let ends = OpeningEnds::of(step, work, id, &seam, &named)?;
    let own = stretch(work, &seam.first, ends.own, id)?;
    let other = stretch(work, &seam.second, ends.other, id)?;
    let ease = Ease::of(work, id, side, &seam, &ends)?;
    let purpose = step.purpose();
    let divided = if seam.is_to_own_mirror() { vec![&own] } else { vec![&own, &other] };
    let names = stretch_names(work, &divided, purpose)?;
    let own_open = own.divide(work, &names[0])?;
    let other_open = match names.get(1) {
        Some(names) => other.divide(work, names)?,
        None => own_open.mirrored(),
    };
    let opened = part_seam(work, (&own_open, &other_open), ease)?;
    let edges = if seam.is_to_own_mirror() { vec![&own_open] } else { vec![&own_open, &other_open] };
    for edge in &edges {
        let piece = work.pattern.piece_mut(&edge.piece)?;
        let id = piece.edge_named(&edge.edge)?;
        *piece.edge_settings(id).open = Some(purpose);
        widen(work, edge, faced(purpose, step.lap))?;
    }
    notch_ends(work, &opened, &ends)?;
    let length = Length::from_mm(ends.own.1 - ends.own.0);
    work.tell(Notice::SeamOpened { first: own_open, second: other_open, purpose, length });
    Ok(())
}

fn refuse_fields(step: &OpenSeam) -> Result<(), Refusal> {
    if step.to.is_some() == step.button.is_some() {
        return Err(Refusal::new(
            RefusalKind::BadField,
            &step.seam,
            "an opening ends at a place, or is as long as its button asks for: one of the two",
            advice!("give ", Field::To, " or ", Field::Button),
        ));
    }
    if let Some(button) = step.button.filter(|button| !is_button(*button)) {
        return Err(bad_button(button));
    }
    step.lap.map_or(Ok(()), refuse_lap)
}

/// Whether a button is so wide: one of nothing is none.
pub(super) fn is_button(button: Length) -> bool {
    button > Length::ZERO && button.mm() <= MOST_BUTTON
}

pub(super) fn bad_button(button: Length) -> Refusal {
    let way_out = format!("give its diameter, above 0mm, up to {MOST_BUTTON}mm");
    Refusal::new(
        RefusalKind::BadField,
        "button",
        format!("a button {button} wide is too large or too small"),
        way_out,
    )
    .about(button)
}

/// Where the opening begins and ends, as walk distances along either side of the seam.
struct OpeningEnds {
    own: (f64, f64),
    other: (f64, f64),
    /// The lengths of the two sides.
    lengths: (f64, f64),
    /// Whether something of the seam is sewn before it, and after it.
    begins_inside: bool,
    ends_inside: bool,
}

impl OpeningEnds {
    /// The seam has the named side first.
    fn of(
        step: &OpenSeam,
        work: &Work,
        id: SeamId,
        seam: &Seam,
        named: &EdgeRef,
    ) -> Result<OpeningEnds, Refusal> {
        let pattern = &work.pattern;
        let (walk, other) = (Walk::of(pattern, &seam.first)?, Walk::of(pattern, &seam.second)?);
        let lengths = (walk.length(), other.length());
        let begin = distance(work, &walk, named, &step.from)?;
        let end = match (&step.to, step.hole()) {
            (Some(to), _) => distance(work, &walk, named, to)?,
            (None, hole) => begin + hole.unwrap_or(0.0) * down(&walk, begin),
        };
        let own = (begin.min(end), begin.max(end));
        if own.0 < -SAME_CUT || own.1 > lengths.0 + SAME_CUT {
            return Err(Refusal::new(
                RefusalKind::PlaceOutside,
                named,
                format!("the opening would run {:.1} mm beyond the seam", (-own.0).max(own.1 - lengths.0)),
                format!("begin it elsewhere: the seam is {:.1} mm long", lengths.0),
            )
            .about(&step.from));
        }
        if own.1 - own.0 < LEAST_DIVIDED {
            return Err(Refusal::new(
                RefusalKind::BadField,
                named,
                format!("an opening {:.1} mm long is too short", own.1 - own.0),
                format!("give places at least {LEAST_DIVIDED}mm apart"),
            ));
        }
        let (begins_inside, ends_inside) = (own.0 > SAME_CUT, own.1 < lengths.0 - SAME_CUT);
        let on_other = on_other_side(work, id, seam, own, lengths)?;
        let other = match (begins_inside, ends_inside) {
            (false, false) => (0.0, lengths.1),
            (false, true) => (0.0, own.1 - own.0),
            (true, false) => (lengths.1 - (own.1 - own.0), lengths.1),
            (true, true) => (on_other, on_other + own.1 - own.0),
        };
        Ok(OpeningEnds { own, other, lengths, begins_inside, ends_inside })
    }
}

/// The walk distance of a place along the side of a seam that it must lie on.
fn distance(work: &Work, walk: &Walk<'_>, named: &EdgeRef, place: &Place) -> Result<f64, Refusal> {
    let piece = work.pattern.piece(&named.piece)?;
    let (edge, at) = piece.place_on_outline(place)?;
    let name = EdgeRef { copy: named.copy, ..piece.edge_ref(edge) };
    walk.distance_of(&name, at).ok_or_else(|| {
        Refusal::new(
            RefusalKind::PlaceOutside,
            named,
            format!("`{place}` does not lie on this seam, but on `{}`", piece.edge(edge).name),
            format!("name a place along it: {}@40%", named.edge),
        )
        .about(place)
    })
}

/// One where the walk goes down the piece, toward the end of its grainline, minus one where it goes up.
fn down(walk: &Walk<'_>, at: f64) -> f64 {
    let along = walk.at(at).map_or(0.0, |place| place.direction.dot(place.piece.grain_or_down()));
    if along < 0.0 { -1.0 } else { 1.0 }
}

/// Where an opening begins on the other side: at the same distance from the nearer end on a plain seam, whichever way it is
/// walked; on an eased one so that the notch or
/// level within it that is nearest to its middle meets, or where there is none the middles do, as those beside it tell.
/// Nothing is eased along an opening, so that what lies within it meets only there.
fn on_other_side(
    work: &Work,
    id: SeamId,
    seam: &Seam,
    own: (f64, f64),
    lengths: (f64, f64),
) -> Result<f64, Refusal> {
    let middle = f64::midpoint(own.0, own.1);
    if seam.ease == Length::ZERO {
        let longer = if middle > lengths.0 / 2.0 { lengths.1 - lengths.0 } else { 0.0 };
        return Ok(own.0 + longer);
    }
    let side = if work.pattern.seam(id).first == seam.first { Side::First } else { Side::Second };
    let marks = marks(work, id, side, lengths)?;
    let open = own.1 - own.0;
    let within = marks.iter().filter(|(at, _)| own.0 < *at && *at < own.1);
    let begins = within.map(|(at, other)| ((at - middle).abs(), other - (at - own.0)));
    let begins: Vec<(f64, f64)> =
        begins.filter(|(_, begin)| *begin > SAME_CUT && begin + open < lengths.1 - SAME_CUT).collect();
    let nearest = begins.iter().map(|(away, _)| *away).fold(f64::INFINITY, f64::min);
    // Of several that are as near, the first on the other side: which of them is the nearest is a matter of rounding.
    let as_near = begins.iter().filter(|(away, _)| *away <= nearest + WELD).map(|(_, begin)| *begin);
    if let Some(begin) = as_near.min_by(f64::total_cmp) {
        return Ok(begin);
    }
    let after = marks.partition_point(|(own, _)| *own < middle).clamp(1, marks.len() - 1);
    let ((from, other_from), (to, other_to)) = (marks[after - 1], marks[after]);
    let share = if to > from { (middle - from) / (to - from) } else { 0.0 };
    Ok(other_from + share * (other_to - other_from) - open / 2.0)
}

/// The ends of a seam, and the notches and levels that meet, as walk distances on both sides, in order.
fn marks(work: &Work, id: SeamId, side: Side, lengths: (f64, f64)) -> Result<Vec<(f64, f64)>, Refusal> {
    let walk = truing::walk_seam(&work.pattern, id)?;
    let notches = walk.pairs.iter().map(|pair| (pair.first.at.mm(), pair.second.at.mm()));
    let levels = truing::levels_across(&work.pattern, work.pattern.seam(id));
    let of_side = |(first, second): (f64, f64)| match side {
        Side::First => (first, second),
        Side::Second => (second, first),
    };
    let ends = [(0.0, 0.0), lengths];
    let mut marks: Vec<(f64, f64)> = notches.chain(levels).map(of_side).chain(ends).collect();
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(marks)
}

/// What is eased in before an opening and after it: by how much the named side is longer there.
#[derive(Clone, Copy)]
struct Ease {
    before: f64,
    after: f64,
}

impl Ease {
    /// # Errors
    ///
    /// Refuses an opening beside which there is no room for the ease that its stretch had, or that holds a notch which
    /// would no longer meet its partner.
    fn of(work: &Work, id: SeamId, side: Side, seam: &Seam, ends: &OpeningEnds) -> Result<Ease, Refusal> {
        let whole = seam.ease.mm();
        if whole == 0.0 {
            return Ok(Ease { before: 0.0, after: 0.0 });
        }
        // Both parts are written as they stand, so that they add up again when the seam is closed.
        let before = Length::from_mm(ends.own.0 - ends.other.0).as_written().mm();
        let mut last = 0.0;
        let stops = [ends.own, ends.other];
        let mut marks = marks(work, id, side, ends.lengths)?;
        marks.retain(|mark| mark.0 < ends.lengths.0 - SAME_CUT);
        marks.extend([(stops[0].0, stops[1].0), (stops[0].1, stops[1].1), ends.lengths]);
        marks.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for (own, other) in marks {
            let taken = (own - other) * whole.signum();
            let is_within = own > ends.own.0 && own <= ends.own.1;
            if taken - last < -SAME_RUN || (is_within && taken - last > SAME_RUN) {
                return Err(no_room(seam, own));
            }
            last = taken;
        }
        Ok(Ease { before, after: whole - before })
    }
}

fn no_room(seam: &Seam, at: f64) -> Refusal {
    Refusal::new(
        RefusalKind::LengthsDiffer,
        seam.name(),
        format!("what is eased in along the opening finds no room beside it, {at:.0} mm along the seam"),
        "open it further from the notches, or between two of them, or shorter",
    )
}

/// Parts the seam that holds the two opened edges in what is sewn before them, the opening, and what is sewn after; gives the
/// opening, with the first edge first.
fn part_seam(work: &mut Work, (own, other): (&EdgeRef, &EdgeRef), ease: Ease) -> Result<Seam, Refusal> {
    let place = |run: &Run, edge: &EdgeRef| run.edges().iter().position(|run| run.edge == *edge);
    let mut seams = Vec::new();
    let mut opened = None;
    for seam in work.pattern.seams().to_vec() {
        let sides = [seam.clone(), seam.swapped()];
        let found =
            sides.iter().find_map(|seam| Some((seam, place(&seam.first, own)?, place(&seam.second, other)?)));
        let Some((parted, i, j)) = found.filter(|_| opened.is_none()) else {
            seams.push(seam);
            continue;
        };
        let part = |first: std::ops::Range<usize>, second: std::ops::Range<usize>, ease: f64| {
            let run = |run: &Run, range: std::ops::Range<usize>| Run::new(run.edges()[range].to_vec());
            let (first, second) = (run(&parted.first, first), run(&parted.second, second));
            match (first, second) {
                (Some(first), Some(second)) => Ok(Some(Seam { first, second, ease: Length::from_mm(ease) })),
                (None, None) => Ok(None),
                _ => Err(no_room(parted, 0.0)),
            }
        };
        let (many, others) = (parted.first.edges().len(), parted.second.edges().len());
        let middle = part(i..i + 1, j..j + 1, 0.0)?;
        seams.extend(part(0..i, 0..j, ease.before)?);
        seams.extend(middle.clone());
        seams.extend(part(i + 1..many, j + 1..others, ease.after)?);
        opened = middle;
    }
    work.pattern.set_seams(seams)?;
    opened.ok_or_else(|| {
        let way_out = "open it elsewhere";
        Refusal::new(RefusalKind::BadSeam, own, format!("it is no longer sewn to `{other}`"), way_out)
    })
}

/// Sets notches at the ends of an opening within the seam, the first where the named edge begins as it is drawn, whichever
/// way the seam is walked. On a long opening both are single; on a short one the second is double, so that it cannot be
/// sewn turned.
fn notch_ends(work: &mut Work, opened: &Seam, ends: &OpeningEnds) -> Result<(), Refusal> {
    let counts = match ends.own.1 - ends.own.0 <= PARTNER_REACH {
        true => [NotchCount::Single, NotchCount::Double],
        false => [NotchCount::Single; 2],
    };
    let is_as_drawn = opened.first.edges().first().is_none_or(|run| run.travel == Travel::Clockwise);
    for run in opened.edges().take(if opened.is_to_own_mirror() { 1 } else { 2 }) {
        let start = (run.travel.enters_at(), ends.begins_inside);
        let last = (run.travel.leaves_at(), ends.ends_inside);
        let in_order = if is_as_drawn { [start, last] } else { [last, start] };
        for ((end, is_inside), count) in in_order.into_iter().zip(counts) {
            if is_inside {
                notch_end(work, &run.edge, end, count)?;
            }
        }
    }
    Ok(())
}

/// Sets a notch at an end of an opened edge; one that stands there on the edge beside it goes over to this one.
fn notch_end(work: &mut Work, edge: &EdgeRef, end: EdgeEnd, count: NotchCount) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    let length = piece.edge(id).curve.length();
    let (at, beside) = (if end == EdgeEnd::First { 0.0 } else { length }, piece.beside(id, end));
    let beside_at = if end == EdgeEnd::First { piece.edge(beside).curve.length() } else { 0.0 };
    let beside = piece.edge(beside).name.clone();
    let stands = |notch: &&mut Notch| {
        let on = if notch.edge == beside { Some(beside_at) } else { (notch.edge == edge.edge).then_some(at) };
        on.is_some_and(|on| (notch.at - on).abs() <= SAME_CUT)
    };
    if let Some(notch) = piece.notches.iter_mut().find(stands) {
        notch.edge = edge.edge.clone();
        notch.at = at;
        return Ok(());
    }
    let name = opening_notch().free(|name| piece.notches.iter().any(|notch| notch.name == *name));
    piece.notches.push(Notch::new(name, edge.edge.clone(), at, count));
    Ok(())
}

/// What the notches at the ends of an opening are called.
pub(super) fn opening_notch() -> NotchName {
    NotchName::plain("opening-notch")
}
