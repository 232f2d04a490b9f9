//! What a layout makes of the stripes along a seam: measured on where the pieces lie, and on nothing else.
//!
//! The stitching lines are walked as they are sewn, left on left and right on right, and each place is carried to the
//! cloth by the motion of its copy. What was asked for, and what the search was after, is not known here.
//!
//! ```text
//! Pattern, Stock, where copies lie ──> pairs of places on the cloth, along the seam ──> how far apart like lies from like
//! ```

use crate::cloth::layout::LayError;
use crate::cloth::layout::partners::{BodyHalf, LyingCopy, Sewing, sewings};
use crate::cloth::layout::readings::{Between, MetAlong, ReadOn, SeamReading};
use crate::cloth::layout::sewn::{MatchAt, Parting, SewnPlace, SewnSeam, SewnSpan};
use crate::cloth::{Mark, Stock, Stripes, StripesAlong, StripesAt};
use crate::curve::Point;
use crate::pattern::{Pattern, PieceName, SeamId};
use crate::tolerance::SAME_POINT;

/// How far the stripes of a seam meet on a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamMet {
    /// The seam.
    pub seam: String,
    /// What stripes are brought together at.
    pub at: MatchAt,
    /// Where on it that is.
    pub anchor: f64,
    /// Each time that it is sewn: on the right and the left half, and as often as there are copies alike.
    pub sewings: Vec<SewingMet>,
}

/// One sewing of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct SewingMet {
    /// On which half of the body.
    pub half: BodyHalf,
    /// All of the seam, as far as its copies lie on cloth whose stripes are known; none where none do.
    pub met: Option<MetAlong>,
    /// Why stripes that are together at the mark part.
    pub parting: Parting,
    /// The copies, pair by pair in the order of the seam.
    pub pairs: Vec<PairMet>,
}

/// The part of a seam that joins two copies.
#[derive(Clone, Debug, PartialEq)]
pub struct PairMet {
    /// The two, as places among those that lie.
    pub lying: [usize; 2],
    /// What they are called.
    pub names: [String; 2],
    /// Their pieces.
    pub pieces: [PieceName; 2],
    /// How far they meet; none where the stripes of their cloth are not known, or they are of two cloths.
    pub met: Option<MetAlong>,
    /// The places that are sewn onto each other, as far as they meet.
    pub places: Vec<PlaceMet>,
}

/// A place of a seam at which like meets like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceMet {
    /// Distance along the seam.
    pub at: f64,
    /// Where both sides lie on the cloth.
    pub points: [Point; 2],
}

/// Measures how far the stripes that run one way meet along a seam, where copies lie as told.
///
/// Distances run along the stitching line of the seam's first side, from the hem where one end lies at a hem. How far
/// apart like is from like is measured square to the stripes. Where the stripes repeat, every place of the seam counts:
/// the same place of the repeat meets itself. Where they are marks, each place counts where one reaches a stitching line:
/// there a mark lies on the other side.
///
/// # Errors
///
/// Refuses an edge that is not there, and a seam without length.
pub fn seam_met(
    pattern: &Pattern,
    stock: &Stock,
    along: StripesAlong,
    seam: SeamId,
    lying: &[LyingCopy<'_>],
) -> Result<SeamMet, LayError> {
    let sewn = SewnSeam::of(pattern, seam)?;
    let measured = |sewing: Sewing| Measuring { sewn: &sewn, stock, along, lying, sewing }.measure();
    let sewings = sewings(pattern, sewn.seam, lying).into_iter().filter_map(measured).collect();
    Ok(SeamMet { seam: sewn.seam.name(), at: sewn.at, anchor: sewn.anchor, sewings })
}

struct Measuring<'a, 's> {
    sewn: &'s SewnSeam<'a>,
    stock: &'s Stock,
    along: StripesAlong,
    lying: &'s [LyingCopy<'s>],
    sewing: Sewing,
}

/// A place of a seam on the cloth.
#[derive(Clone, Copy)]
struct OnCloth {
    /// Share of the stretch between joints.
    share: f64,
    /// Distance along the seam.
    at: f64,
    /// Where each side lies, square to the stripes.
    lies: [f64; 2],
}

/// Neighbouring stretches of a seam that join the same two copies.
struct JoinedStretch {
    lying: [usize; 2],
    spans: Vec<SewnSpan>,
}

impl Measuring<'_, '_> {
    fn measure(&self) -> Option<SewingMet> {
        let stretches = self.stretches();
        if stretches.is_empty() {
            return None;
        }
        let read: Vec<Option<(Vec<SeamReading>, Between)>> =
            stretches.iter().map(|stretch| self.readings(stretch)).collect();
        let all: Vec<SeamReading> =
            read.iter().flatten().flat_map(|(readings, _)| readings).copied().collect();
        let known =
            || stretches.iter().zip(&read).filter_map(|(stretch, read)| read.as_ref().map(|_| stretch));
        let whole = known().map(JoinedStretch::whole).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        let between = read.iter().flatten().map(|(_, between)| *between).next();
        let met =
            whole.zip(between).map(|(whole, between)| MetAlong::of(&all, between, whole, self.sewn.anchor));
        let pairs = stretches.iter().zip(&read).map(|(stretch, read)| self.pair(stretch, read.as_ref(), met));
        let parts = met.as_ref().and_then(MetAlong::parts);
        Some(SewingMet {
            half: self.sewing.half,
            parting: parts.map_or(Parting::Nowhere, |(end, misses)| self.sewn.parting(end, misses)),
            met,
            pairs: pairs.collect(),
        })
    }

    /// The parts of the seam that join two copies each.
    fn stretches(&self) -> Vec<JoinedStretch> {
        let mut found: Vec<JoinedStretch> = Vec::new();
        for span in self.sewn.spans() {
            let middle = self.sewn.place(span, 0.5);
            let copies = middle.and_then(|place| {
                let [first, second] = place.sides.map(|side| self.sewing.of(&side));
                Some([first?.lying, second?.lying])
            });
            let Some(copies) = copies else { continue };
            match found.last_mut() {
                Some(stretch) if stretch.lying == copies => stretch.spans.push(*span),
                _ => found.push(JoinedStretch { lying: copies, spans: vec![*span] }),
            }
        }
        found
    }

    fn pair(
        &self,
        stretch: &JoinedStretch,
        read: Option<&(Vec<SeamReading>, Between)>,
        all: Option<MetAlong>,
    ) -> PairMet {
        let met = read
            .map(|(readings, between)| MetAlong::of(readings, *between, stretch.whole(), self.sewn.anchor));
        let places = match all.and_then(|all| all.stretch) {
            Some(meets) if met.is_some() => self.places_met(stretch, meets),
            _ => Vec::new(),
        };
        let names = stretch.lying.map(|lying| self.lying[lying].copy.to_string());
        let pieces = stretch.lying.map(|lying| self.lying[lying].copy.piece.clone());
        PairMet { lying: stretch.lying, names, pieces, met, places }
    }

    /// The stripes that both copies of a stretch are cut from; none where they are not known, or of two cloths.
    fn stripes(&self, stretch: &JoinedStretch) -> Option<&Stripes> {
        let [first, second] = stretch.lying.map(|lying| &self.lying[lying]);
        let known = [first, second].iter().all(|lying| lying.ground.shows_stripes(self.along));
        let cloth = &first.ground.cloth;
        (known && *cloth == second.ground.cloth).then(|| self.stock.find(cloth)?.stripes_along(self.along))?
    }

    /// What is read along a stretch.
    fn readings(&self, stretch: &JoinedStretch) -> Option<(Vec<SeamReading>, Between)> {
        let stripes = self.stripes(stretch)?;
        Some(match stripes.at() {
            StripesAt::Every { repeat, first } => (self.repeated(stretch, *repeat, *first), Between::Pattern),
            StripesAt::Marks(marks) => (self.at_marks(stretch, marks), Between::PlainCloth),
        })
    }

    /// At every place how far like lies from like. Stripes along the length are the same to both sides of each: of the two
    /// halves of a piece, sewn together in its middle, one may be as the other is, or its mirror image, whichever is nearer.
    fn repeated(&self, stretch: &JoinedStretch, repeat: f64, first: f64) -> Vec<SeamReading> {
        let as_copy = self.along_repeat(stretch, repeat, |lies| lies);
        if self.along == StripesAlong::Width || !self.sewn.seam.is_to_own_mirror() {
            return as_copy;
        }
        let as_mirror = self.along_repeat(stretch, repeat, |lies| 2.0 * first - lies);
        let apart = |readings: &[SeamReading]| {
            readings.iter().map(|reading| reading.apart).sum::<f64>() / readings.len().max(1) as f64
        };
        if apart(&as_mirror) < apart(&as_copy) { as_mirror } else { as_copy }
    }

    /// At every place how far the same place of the repeat lies from itself, where the second side lies as told.
    fn along_repeat(
        &self,
        stretch: &JoinedStretch,
        repeat: f64,
        second: impl Fn(f64) -> f64,
    ) -> Vec<SeamReading> {
        let mut found: Vec<SeamReading> = Vec::new();
        for span in &stretch.spans {
            let mut before: Option<(f64, f64)> = None;
            for place in self.places(span) {
                let off = place.lies[0] - second(place.lies[1]);
                if let Some(before) = before {
                    found.extend(turning_places(before, (place.at, off), repeat));
                }
                let apart = (off - (off / repeat).round() * repeat).abs();
                found.push(SeamReading { at: place.at, apart, on: ReadOn::Both });
                before = Some((place.at, off));
            }
        }
        found
    }

    /// Where a mark reaches the one stitching line: how far from there the nearest mark of the same word lies on the other. Where one lies
    /// along it, that is read at every step, and counts once.
    fn at_marks(&self, stretch: &JoinedStretch, marks: &[Mark]) -> Vec<SeamReading> {
        let mut found: Vec<SeamReading> = Vec::new();
        let mut before: Option<OnCloth> = None;
        for span in &stretch.spans {
            let places: Vec<OnCloth> = self.places(span).collect();
            for pair in places.windows(2) {
                for side in 0..2 {
                    for mark in marks.iter().filter(|mark| is_reached(pair, side, mark.at)) {
                        let goes_on = lies_along(pair, side, mark.at)
                            && before.is_some_and(|before| lies_along(&[before], side, mark.at));
                        let reading = self.at_mark(span, pair, side, mark, marks);
                        found.extend(reading.map(|reading| match goes_on {
                            true => SeamReading { on: ReadOn::Both, ..reading },
                            false => reading,
                        }));
                    }
                }
                before = Some(pair[0]);
            }
        }
        // A mark at the end of one step and the start of the next is read once.
        found.sort_by(|a, b| a.on.cmp(&b.on).then(a.at.total_cmp(&b.at)));
        found.dedup_by(|a, b| a.is_again(b));
        found.sort_by(|a, b| a.at.total_cmp(&b.at));
        found
    }

    /// What is read where one side reaches a mark between two places of a stretch.
    fn at_mark(
        &self,
        span: &SewnSpan,
        pair: &[OnCloth],
        side: usize,
        mark: &Mark,
        marks: &[Mark],
    ) -> Option<SeamReading> {
        let (mut from, mut to) = (pair[0].share, pair[1].share);
        let rises = pair[1].lies[side] > pair[0].lies[side];
        /// Halvings of a step down to less than a millionth of a millimetre.
        const HALVINGS: u32 = 24;
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(from, to);
            let there = self.on_cloth(span, middle)?.lies[side];
            if (there < mark.at) == rises { from = middle } else { to = middle }
        }
        let place = self.on_cloth(span, to)?;
        let other = place.lies[1 - side];
        let alike = marks.iter().filter(|other| other.word == mark.word);
        let apart = alike.map(|mark| (mark.at - other).abs()).fold(f64::INFINITY, f64::min);
        Some(SeamReading { at: place.at, apart, on: if side == 0 { ReadOn::First } else { ReadOn::Second } })
    }

    fn places(&self, span: &SewnSpan) -> impl Iterator<Item = OnCloth> {
        span.shares().filter_map(move |share| self.on_cloth(span, share))
    }

    fn on_cloth(&self, span: &SewnSpan, share: f64) -> Option<OnCloth> {
        let place = self.sewn.place(span, share)?;
        let lies = self.carried(&place)?.map(|point| match self.along {
            StripesAlong::Width => point.y,
            StripesAlong::Length => point.x,
        });
        Some(OnCloth { share, at: place.at, lies })
    }

    fn carried(&self, place: &SewnPlace<'_>) -> Option<[Point; 2]> {
        let [first, second] = place.sides.map(|side| Some(self.sewing.of(&side)?.motion.apply(side.point)));
        Some([first?, second?])
    }

    /// The places between two distances along the seam.
    fn places_met(&self, stretch: &JoinedStretch, (from, to): (f64, f64)) -> Vec<PlaceMet> {
        let within = from - SAME_POINT..=to + SAME_POINT;
        let places = stretch
            .spans
            .iter()
            .flat_map(|span| span.shares().filter_map(move |share| self.sewn.place(span, share)));
        let places = places.filter(|place| within.contains(&place.at));
        places.filter_map(|place| Some(PlaceMet { at: place.at, points: self.carried(&place)? })).collect()
    }
}

/// Whether one side reaches a mark between two places.
fn is_reached(pair: &[OnCloth], side: usize, mark: f64) -> bool {
    let (from, to) = (pair[0].lies[side], pair[1].lies[side]);
    (from.min(to)..=from.max(to)).contains(&mark) || lies_along(pair, side, mark)
}

/// Whether one side lies on a mark at all of some places.
fn lies_along(places: &[OnCloth], side: usize, mark: f64) -> bool {
    places.iter().all(|place| (place.lies[side] - mark).abs() <= SAME_POINT)
}

/// Between two places, each with how far the sides are off: where they are off by whole and by half repeats, so that they
/// meet, or are as far apart as can be.
fn turning_places(before: (f64, f64), after: (f64, f64), repeat: f64) -> Vec<SeamReading> {
    let half = repeat / 2.0;
    let (low, high) = (before.1.min(after.1) / half, before.1.max(after.1) / half);
    let (first, last) = (low.ceil() as i64, high.floor() as i64);
    let mut found: Vec<SeamReading> = (first..=last)
        .filter(|_| high > low)
        .map(|halves| {
            let share = (halves as f64 * half - before.1) / (after.1 - before.1);
            let apart = if halves % 2 == 0 { 0.0 } else { half };
            SeamReading { at: before.0 + (after.0 - before.0) * share, apart, on: ReadOn::Both }
        })
        .collect();
    if after.1 < before.1 {
        found.reverse();
    }
    found
}

impl JoinedStretch {
    /// Where it begins and ends on the seam.
    fn whole(&self) -> (f64, f64) {
        let begins = self.spans.iter().map(|span| span.begins()).fold(f64::INFINITY, f64::min);
        (begins, self.spans.iter().map(|span| span.ends()).fold(begins, f64::max))
    }
}

impl SeamMet {
    /// What was measured, over all sewings: of the one that meets least.
    pub fn least(&self) -> Option<&SewingMet> {
        let known = self.sewings.iter().filter(|sewing| sewing.met.is_some());
        known.min_by(|a, b| {
            let meets = |sewing: &SewingMet| sewing.met.map_or(0.0, |met| met.meets());
            meets(a).total_cmp(&meets(b))
        })
    }

    /// Whether one of its sewings meets at a distance along the seam.
    pub(super) fn meets_at(&self, sewing: usize, at: f64) -> bool {
        let stretch = self.sewings.get(sewing).and_then(|sewing| sewing.met?.stretch);
        stretch.is_some_and(|(from, to)| (from - SAME_POINT..=to + SAME_POINT).contains(&at))
    }

    /// Whether it is known anywhere how its stripes lie.
    pub(super) fn is_known(&self) -> bool {
        self.sewings.iter().any(|sewing| sewing.met.is_some())
    }

    /// How far like is from like at the worst place of all.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.sewings.iter().filter_map(|sewing| sewing.met).map(|met| met.worst).fold(0.0, f64::max)
    }
}
