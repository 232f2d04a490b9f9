//! Stripes met at the stitching line: which marks of which pieces must come to the same place of the pattern.

use crate::cloth::layout::LayError;
use crate::curve::{Point, angle_between_lines};
use crate::pattern::{
    EdgeEnd, EdgeId, EdgeRef, Finish, NotchCount, Pattern, Piece, PieceName, Refusal, RefusalKind, Run, Seam,
    Travel, Walk, settle,
};
use crate::tolerance::{LEAST_MATCH, MATCH_STEP, STRIPES_MEET};
use crate::units::{Length, Unit};

/// A seam whose stripes are to meet.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamMatch {
    /// The seam.
    pub seam: String,
    /// The piece on each side, and where on its stitching line the stripes are brought together, on the pattern sheet.
    pub marks: [(PieceName, Point); 2],
    /// Where that is.
    pub at: MatchAt,
    /// The length of the seam, mm.
    pub length: f64,
    /// How far from there, toward either end of the seam, the stripes meet, mm.
    pub meets: f64,
    /// Why they part beyond.
    pub parting: Parting,
    /// How far they part at most, mm.
    pub parts_by: f64,
}

/// Where on a seam stripes are brought together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MatchAt {
    /// At its end by the hem.
    Hem,
    /// At a pair of single notches.
    Notch,
    /// At its first end.
    Start,
}

/// Why stripes part along a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Parting {
    /// They do not.
    Nowhere,
    /// A dart, or the joint of two edges, lies between.
    Dart,
    /// The two edges stand at different angles to the grain: by how many degrees.
    Angle(f64),
}

impl SeamMatch {
    /// The match of the seam of an edge.
    ///
    /// # Errors
    ///
    /// Refuses an edge that is not there, is not sewn, or is sewn in several layers.
    pub(super) fn of(pattern: &Pattern, edge: &EdgeRef) -> Result<SeamMatch, LayError> {
        let seam = pattern.seam(pattern.seam_named(&settle(pattern, edge), None)?);
        let walks = [Walk::of(pattern, &seam.first)?, Walk::of(pattern, &seam.second)?];
        let (at, distances) = meeting(pattern, seam, &walks)?;
        let [first, second] = [0, 1].map(|i| walks[i].at(distances[i]));
        let (Some(first), Some(second)) = (first, second) else { return Err(no_seam(edge).into()) };
        let marks = [first, second].map(|mark| (mark.piece.name().clone(), mark.point));
        let length = walks[0].length().min(walks[1].length());
        let mut found = SeamMatch {
            seam: seam.name(),
            marks,
            at,
            length,
            meets: 0.0,
            parting: Parting::Nowhere,
            parts_by: 0.0,
        };
        found.follow(&walks, distances);
        Ok(found)
    }

    /// Follows the seam from the mark toward both ends, as far as the stripes meet.
    fn follow(&mut self, walks: &[Walk<'_>; 2], from: [f64; 2]) {
        let ways = [-1.0, 1.0];
        let room = ways.map(|way| {
            let left = |i: usize| if way < 0.0 { from[i] } else { walks[i].length() - from[i] };
            left(0).min(left(1))
        });
        let height = |i: usize, way: f64, off: f64| {
            let (start, place) = (walks[i].at(from[i])?, walks[i].at(from[i] + way * off)?);
            let same = start.piece.name() == place.piece.name();
            same.then(|| (place.point - start.point).dot(start.piece.grain_or_down()))
        };
        let mut meets = f64::INFINITY;
        for (way, room) in ways.into_iter().zip(room) {
            let steps = (room / MATCH_STEP).floor() as usize;
            for off in (1..=steps).map(|i| i as f64 * MATCH_STEP).chain([room]) {
                let apart = height(0, way, off).zip(height(1, way, off)).map(|(a, b)| (a - b).abs());
                let parts = apart.is_none_or(|apart| apart > STRIPES_MEET);
                self.parts_by = self.parts_by.max(apart.unwrap_or(0.0));
                if parts && off - MATCH_STEP < meets {
                    meets = (off - MATCH_STEP).max(0.0);
                    self.parting = parting(walks, from, way, off);
                }
            }
        }
        self.meets = meets.min(room[0].max(room[1]));
    }

    /// Whether the stripes meet far enough for the match to be worth its cloth. At a notch they meet at one place only,
    /// as those of an eased sleeve do, and it is worth it.
    #[must_use]
    pub fn is_worth_it(&self) -> bool {
        self.at == MatchAt::Notch || self.parting == Parting::Nowhere || self.meets >= LEAST_MATCH
    }

    /// In words, for people.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm.round()).show(unit);
        let from = match self.at {
            MatchAt::Hem => "from the hem up",
            MatchAt::Notch => "from the notch on",
            MatchAt::Start => "from its end on",
        };
        let why = match self.parting {
            Parting::Nowhere => return format!("{}: stripes meet all along", self.seam),
            Parting::Dart => "there a dart or another edge begins".to_owned(),
            Parting::Angle(degrees) => format!("the two edges stand {degrees:.1}° apart to the grain"),
        };
        let apart = Length::from_mm((self.parts_by * 10.0).round() / 10.0).show(unit);
        if self.is_worth_it() {
            format!(
                "{}: stripes meet {from} for {}, then part by up to {apart}: {why}",
                self.seam,
                show(self.meets)
            )
        } else {
            format!(
                "{}: stripes cannot meet here, they part after {} by up to {apart}: {why}",
                self.seam,
                show(self.meets)
            )
        }
    }
}

fn no_seam(edge: &EdgeRef) -> Refusal {
    Refusal::new(RefusalKind::BadSeam, edge, "the seam has no length", "name another seam")
}

/// Where stripes are brought together: at the hem, else at single notches, else at the first end.
fn meeting(pattern: &Pattern, seam: &Seam, walks: &[Walk<'_>; 2]) -> Result<(MatchAt, [f64; 2]), Refusal> {
    let ends = [walks[0].length(), walks[1].length()];
    for (end, at) in [(EdgeEnd::First, [0.0, 0.0]), (EdgeEnd::Last, ends)] {
        if meets_hem(pattern, &seam.first, end)? || meets_hem(pattern, &seam.second, end)? {
            return Ok((MatchAt::Hem, at));
        }
    }
    let single = |i: usize| {
        let notches = walks[i].notches().into_iter();
        notches.filter(|notch| notch.count == NotchCount::Single).map(|notch| notch.at).collect::<Vec<f64>>()
    };
    let seconds = single(1);
    let pairs = single(0).into_iter().flat_map(|a| seconds.iter().map(move |b| [a, *b]));
    let off = |pair: &[f64; 2]| {
        let from_end = (ends[0] - pair[0]) - (ends[1] - pair[1]);
        (pair[0] - pair[1]).abs().min(from_end.abs())
    };
    let nearest = pairs.min_by(|a, b| off(a).total_cmp(&off(b)));
    Ok(nearest.map_or((MatchAt::Start, [0.0, 0.0]), |pair| (MatchAt::Notch, pair)))
}

/// Whether the run ends at a hem there.
fn meets_hem(pattern: &Pattern, run: &Run, end: EdgeEnd) -> Result<bool, Refusal> {
    let edges = run.edges();
    let Some(last) = (match end {
        EdgeEnd::First => edges.first(),
        EdgeEnd::Last => edges.last(),
    }) else {
        return Ok(false);
    };
    let (piece, id): (&Piece, EdgeId) = pattern.edge(&last.edge)?;
    let neighbour = match (end, last.travel) {
        (EdgeEnd::First, Travel::Clockwise) | (EdgeEnd::Last, Travel::Anticlockwise) => piece.previous(id),
        (EdgeEnd::First, Travel::Anticlockwise) | (EdgeEnd::Last, Travel::Clockwise) => piece.next(id),
    };
    Ok(piece.edge(neighbour).finish == Finish::Hem)
}

/// Why stripes part at a distance from the mark.
fn parting(walks: &[Walk<'_>; 2], from: [f64; 2], way: f64, off: f64) -> Parting {
    let jointed = (0..2).any(|i| {
        let (a, b) = (from[i], from[i] + way * off);
        walks[i].joints().iter().any(|joint| *joint > a.min(b) && *joint < a.max(b))
    });
    if jointed {
        return Parting::Dart;
    }
    let lean = |i: usize| {
        let (start, place) = (walks[i].at(from[i])?, walks[i].at(from[i] + way * off)?);
        let (chord, grain) = (place.point - start.point, start.piece.grain_or_down());
        Some(angle_between_lines(chord, grain).degrees())
    };
    lean(0).zip(lean(1)).map_or(Parting::Dart, |(a, b)| Parting::Angle((a - b).abs()))
}
