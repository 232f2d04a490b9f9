//! Which ends of two runs meet when they are sewn.
//!
//! It is found from the neighbouring seams: at a seam's end the two neighbours continue each other, so they are
//! sewn to one another, to the same third edge, are both hems, or both folds. Where that decides nothing, the
//! notches do; where they decide nothing either, the sheet must say it with `from EDGE`.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::pattern::corners_named::{entered_at, laid_by_corners};
use crate::pattern::marked::{MarksOnRun, notches_apart, notches_meeting};
use crate::pattern::{
    Copy, EdgeEnd, EdgeName, EdgeRef, Finish, Pattern, Refusal, RefusalKind, Remedy, Run, RunEdge, Seam,
    Settles, SewnFrom, Travel, Walk,
};
use crate::tolerance::CHECKED_LENGTH;
use crate::units::Length;

/// Which edges are sewn to which, directions aside.
#[derive(Clone, Debug, Default)]
pub struct Joins {
    pairs: FxHashSet<(EdgeRef, EdgeRef)>,
    partners: FxHashMap<EdgeRef, Vec<EdgeRef>>,
}

impl Joins {
    /// The joins of a pattern's seams.
    #[must_use]
    pub fn of(seams: &[Seam]) -> Joins {
        let mut joins = Joins::default();
        for seam in seams {
            joins.add(&seam.first.edge_refs(), &seam.second.edge_refs());
        }
        joins
    }

    /// Adds a seam, on the drawn and on the mirrored copies.
    pub fn add(&mut self, first: &[EdgeRef], second: &[EdgeRef]) {
        for a in first {
            for b in second {
                for (a, b) in [(a.clone(), b.clone()), (a.mirrored(), b.mirrored())] {
                    self.pairs.insert((a.clone(), b.clone()));
                    self.pairs.insert((b.clone(), a.clone()));
                    self.partners.entry(a.clone()).or_default().push(b.clone());
                    self.partners.entry(b).or_default().push(a);
                }
            }
        }
    }

    fn sewn(&self, a: &EdgeRef, b: &EdgeRef) -> bool {
        self.pairs.contains(&(a.clone(), b.clone()))
    }

    /// Whether two edges are sewn to one, or to parts of what was one before it was divided.
    fn share_a_partner(&self, a: &EdgeRef, b: &EdgeRef) -> bool {
        let partners = |edge| self.partners.get(edge).map_or(&[][..], Vec::as_slice);
        let is_part = |p: &EdgeRef, q: &EdgeRef| {
            (&p.piece, p.copy) == (&q.piece, q.copy) && p.edge.is_numbered_like(&q.edge)
        };
        partners(a).iter().any(|p| partners(b).iter().any(|q| p == q || is_part(p, q)))
    }

    fn own_mirror(&self, edge: &EdgeRef) -> bool {
        self.sewn(edge, &edge.mirrored())
    }
}

/// How surely two corners come together; nothing is zero.
pub(super) type Likelihood = u32;

const SHARED_CORNER: Likelihood = 8;
const NEIGHBOURS_SEWN: Likelihood = 6;
const NEIGHBOURS_ALIKE: Likelihood = 4;
const NEIGHBOURS_NAMED_ALIKE: Likelihood = 1;

/// Two arrangements of notches must differ by more than this share of the seam to decide.
pub(super) const NOTCHES_DECIDE: f64 = 0.02;

/// An end of an edge on a copy of its piece.
pub(super) struct CornerOnCopy {
    edge: EdgeRef,
    neighbour: EdgeRef,
    pub(super) neighbour_finish: Finish,
}

fn corner(pattern: &Pattern, edge: &EdgeRef, end: EdgeEnd) -> Result<CornerOnCopy, Refusal> {
    let (piece, id) = pattern.edge(edge)?;
    let neighbour = piece.beside(id, end);
    Ok(CornerOnCopy {
        edge: edge.clone(),
        neighbour: EdgeRef {
            piece: edge.piece.clone(),
            edge: piece.edge(neighbour).name.clone(),
            copy: edge.copy,
        },
        neighbour_finish: piece.edge(neighbour).finish,
    })
}

fn likelihood(joins: &Joins, a: &CornerOnCopy, b: &CornerOnCopy) -> Likelihood {
    let (n, m) = (&a.neighbour, &b.neighbour);
    let folds = [a.neighbour_finish, b.neighbour_finish].map(|finish| finish == Finish::Fold);
    if *n == b.edge && *m == a.edge {
        return SHARED_CORNER;
    }
    // Across a fold an edge goes on in its own mirror image.
    let goes_on = match folds {
        [true, false] => joins.sewn(&a.edge.mirrored(), m),
        [false, true] => joins.sewn(n, &b.edge.mirrored()),
        [true, true] => *n == m.mirrored(),
        [false, false] => false,
    };
    if goes_on || joins.sewn(n, m) {
        return NEIGHBOURS_SEWN;
    }
    let alike = match (a.neighbour_finish, b.neighbour_finish) {
        (Finish::Hem, Finish::Hem) | (Finish::Fold, Finish::Fold) => true,
        (Finish::Fold, _) => joins.own_mirror(m),
        (_, Finish::Fold) => joins.own_mirror(n),
        _ => joins.share_a_partner(n, m) || (joins.own_mirror(n) && joins.own_mirror(m)),
    };
    match alike {
        true => NEIGHBOURS_ALIKE,
        false if n.edge == m.edge => NEIGHBOURS_NAMED_ALIKE,
        false => 0,
    }
}

const BOTH_WAYS: [Travel; 2] = [Travel::Clockwise, Travel::Anticlockwise];

/// How many ways of walking a run are kept where several are equally likely.
const WAYS_KEPT: usize = 8;

/// Finds how each edge of a run may be walked, so that each ends where the next begins: all the likeliest ways, each
/// with its reverse left out.
fn ways(pattern: &Pattern, joins: &Joins, edges: &[EdgeRef]) -> Result<Vec<Run>, Refusal> {
    let [first, ..] = edges else {
        return Err(Refusal::new(RefusalKind::BadSeam, "seam", "a side has no edges", "name them"));
    };
    pattern.edge(first)?;
    let mut kept: Vec<(Likelihood, Vec<Travel>)> = BOTH_WAYS.map(|travel| (0, vec![travel])).to_vec();
    for pair in edges.windows(2) {
        let mut next = Vec::new();
        for (score, way) in &kept {
            let Some(last) = way.last() else { continue };
            let leaving = corner(pattern, &pair[0], last.leaves_at())?;
            for travel in BOTH_WAYS {
                let arriving = corner(pattern, &pair[1], travel.enters_at())?;
                let step = likelihood(joins, &leaving, &arriving);
                next.push((step, score + step, [way.as_slice(), &[travel]].concat()));
            }
        }
        if next.iter().all(|(step, ..)| *step == 0) {
            return Err(Refusal::new(
                RefusalKind::BadSeam,
                &pair[0],
                format!("{} and {} do not follow one another in the seam", pair[0], pair[1]),
                "declare the seam between their neighbours, or name the edges in sewing order",
            ));
        }
        next.sort_by_key(|(_, score, _)| std::cmp::Reverse(*score));
        next.truncate(WAYS_KEPT);
        kept = next.into_iter().map(|(_, score, way)| (score, way)).collect();
    }
    let best = kept.iter().map(|(score, _)| *score).max().unwrap_or(0);
    let mut runs: Vec<Run> = Vec::new();
    for (_, way) in kept.into_iter().filter(|(score, _)| *score == best) {
        let run =
            edges.iter().zip(way).map(|(edge, travel)| RunEdge { edge: edge.clone(), travel }).collect();
        let Some(run) = Run::new(run) else { continue };
        let is_reverse = |other: &Run| edges.len() == 1 && *other == run.reversed();
        if !runs.iter().any(is_reverse) {
            runs.push(run);
        }
    }
    Ok(runs)
}

/// The corners at the start and the end of a run.
pub(super) fn ends(pattern: &Pattern, run: &Run) -> Result<(CornerOnCopy, CornerOnCopy), Refusal> {
    let (first, last) = run.first_and_last();
    Ok((
        corner(pattern, &first.edge, first.travel.enters_at())?,
        corner(pattern, &last.edge, last.travel.leaves_at())?,
    ))
}

/// Lays two runs so that their starts meet.
///
/// # Errors
///
/// Refuses where neither the neighbouring seams nor the notches decide which ends meet, and where `from` names
/// no end of the second run.
pub fn orient(
    pattern: &Pattern,
    joins: &Joins,
    first: &[EdgeRef],
    second: &[EdgeRef],
    from: Option<&SewnFrom>,
) -> Result<(Run, Run), Refusal> {
    orient_by(pattern, joins, (first, second), from, Evidence::All)
}

/// What tells which ends of a seam meet: the notches may be what is wrong.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Evidence {
    All,
    WithoutNotches,
}

fn orient_by(
    pattern: &Pattern,
    joins: &Joins,
    (first, second): (&[EdgeRef], &[EdgeRef]),
    from: Option<&SewnFrom>,
    evidence: Evidence,
) -> Result<(Run, Run), Refusal> {
    if let Some(SewnFrom::Corners(ends)) = from {
        return laid_by_corners(first, second, ends);
    }
    let mut laid: Vec<LaidRuns> = Vec::new();
    let mut refused = None;
    for a in ways(pattern, joins, first)? {
        for b in ways(pattern, joins, second)? {
            match from {
                Some(from) => match start_at(pattern, a.clone(), b, from) {
                    Ok((a, b)) => laid.push(LaidRuns::of(pattern, joins, a, b)?),
                    Err(refusal) => refused = Some(refusal),
                },
                None => {
                    laid.push(LaidRuns::of(pattern, joins, a.clone(), b.clone())?);
                    laid.push(LaidRuns::of(pattern, joins, a.clone(), b.reversed())?);
                }
            }
        }
    }
    if evidence == Evidence::WithoutNotches {
        laid.iter_mut().for_each(|laid| laid.notches = 0.0);
    }
    match decide(laid) {
        Ok(laid) => Ok(clockwise(laid.first, laid.second)),
        Err(None) => Err(refused.unwrap_or_else(|| {
            Refusal::new(RefusalKind::BadSeam, "seam", "a side has no edges", "name them")
        })),
        Err(Some(laid)) => Err(undecided(pattern, joins, &laid, from)),
    }
}

/// The refusal of a seam of which nothing tells the ends that meet. It suggests to lay the two edges side by side as they
/// are drawn, neither piece turned over, as most are sewn.
fn undecided(pattern: &Pattern, joins: &Joins, laid: &LaidRuns, said: Option<&SewnFrom>) -> Refusal {
    let turned = Seam { first: laid.first.clone(), second: laid.second.reversed(), ease: Length::ZERO };
    let as_laid = Seam { second: laid.second.clone(), ..turned.clone() };
    let likelier =
        if is_side_by_side(&laid.first, &laid.second) { [as_laid, turned] } else { [turned, as_laid] };
    let alike =
        ends(pattern, &laid.second).is_ok_and(|(start, end)| start.neighbour.edge == end.neighbour.edge);
    let clause = |seam: &Seam| match said {
        None if alike => {
            corners_of(&seam.second).into_iter().find(|from| is_read(pattern, joins, seam, Some(from)))
        }
        None => ends_saying(pattern, joins, seam).ok().flatten(),
        Some(_) => None,
    };
    let (ends, settles) = match likelier.each_ref().map(clause) {
        [Some(likely), Some(other)] => ([likely, other], Settles::Surely),
        _ => (corners_of(&laid.second), Settles::Perhaps),
    };
    let names = laid.second.names();
    let at = format!("{} + {names}", laid.first.names());
    let lengths = lengths_apart(pattern, &laid.first, &laid.second).unwrap_or_default();
    let what = format!("{lengths}neither the neighbouring seams nor the notches tell which ends meet");
    Refusal::new(RefusalKind::BadSeam, at, what, Remedy::SayFrom { names, ends, settles })
}

/// The sewn lengths of both sides of a seam, to stand before what else is wrong with it: where they differ, the edges may
/// not be those that were meant.
fn lengths_apart(pattern: &Pattern, first: &Run, second: &Run) -> Option<String> {
    let sewn = |run: &Run| Walk::of(pattern, run).map(|walk| walk.length()).ok();
    let (first, second) = (sewn(first)?, sewn(second)?);
    ((first - second).abs() > CHECKED_LENGTH).then(|| format!("{first:.1} mm against {second:.1} mm: "))
}

/// Whether two runs, their starts together, run along one another with their pieces on either side, as they are drawn or
/// mirrored where a mirrored copy is named.
fn is_side_by_side(first: &Run, second: &Run) -> bool {
    let is_clockwise_as_seen = |run: &Run| {
        let first = run.first_and_last().0;
        (first.travel == Travel::Clockwise) == (first.edge.copy == Copy::Drawn)
    };
    is_clockwise_as_seen(first) != is_clockwise_as_seen(second)
}

/// The same seam, walked so that the first edge of its first side is walked clockwise.
fn clockwise(first: Run, second: Run) -> (Run, Run) {
    match first.edges().first().map(|run| run.travel) {
        Some(Travel::Anticlockwise) => (first.reversed(), second.reversed()),
        _ => (first, second),
    }
}

/// Two runs laid so that their starts meet, and how likely that is.
pub(super) struct LaidRuns {
    pub(super) first: Run,
    pub(super) second: Run,
    /// By the neighbouring seams.
    pub(super) neighbours: Likelihood,
    /// By the neighbours' names alone.
    pub(super) names: Likelihood,
    /// How far the notches lie apart, as shares of the seam.
    pub(super) notches: f64,
    /// How many notches of the first meet one of the second.
    pub(super) meeting: usize,
}

impl LaidRuns {
    pub(super) fn of(pattern: &Pattern, joins: &Joins, first: Run, second: Run) -> Result<LaidRuns, Refusal> {
        let (a, b) = (ends(pattern, &first)?, ends(pattern, &second)?);
        let found = [likelihood(joins, &a.0, &b.0), likelihood(joins, &a.1, &b.1)];
        let sum = |holds: fn(&Likelihood) -> bool| found.iter().filter(|score| holds(score)).sum();
        let marked = (MarksOnRun::of(pattern, &first)?, MarksOnRun::of(pattern, &second)?);
        Ok(LaidRuns {
            neighbours: sum(|score| *score > NEIGHBOURS_NAMED_ALIKE),
            names: sum(|score| *score == NEIGHBOURS_NAMED_ALIKE),
            first,
            second,
            notches: notches_apart(&marked.0, &marked.1),
            meeting: notches_meeting(&marked.0, &marked.1, NOTCHES_DECIDE),
        })
    }
}

/// The likeliest of several ways of laying two runs: by the neighbouring seams, else by the notches, else by the
/// neighbours' names. Where none is likelier than another, one of them is given back as an error.
fn decide(mut laid: Vec<LaidRuns>) -> Result<LaidRuns, Option<LaidRuns>> {
    let most = laid.iter().map(|laid| laid.neighbours).max().unwrap_or(0);
    laid.retain(|laid| laid.neighbours == most);
    laid.sort_by(|a, b| a.notches.total_cmp(&b.notches));
    let least = laid.first().map_or(0.0, |laid| laid.notches);
    laid.retain(|laid| laid.notches <= least + NOTCHES_DECIDE);
    let named = laid.iter().map(|laid| laid.names).max().unwrap_or(0);
    laid.retain(|laid| laid.names == named);
    if laid.len() == 1 { laid.pop().ok_or(None) } else { Err(laid.into_iter().next()) }
}

/// Lays the second run from the end that is named, and the first from its own end that is named alike, or else from its
/// first corner.
fn start_at(pattern: &Pattern, first: Run, second: Run, from: &SewnFrom) -> Result<(Run, Run), Refusal> {
    match from {
        SewnFrom::Neighbour(name) => start_from(pattern, first, second, name),
        SewnFrom::Corner { .. } => Ok((first, start_at_corner(second, from)?)),
        SewnFrom::Corners(ends) => Ok((first, entered_at(&second.edge_refs(), ends)?)),
    }
}

/// The two ends of a run, as the corners of the edges there: its start and its end.
fn corners_of(run: &Run) -> [SewnFrom; 2] {
    let (first, last) = run.first_and_last();
    [(first, first.travel.enters_at()), (last, last.travel.leaves_at())]
        .map(|(run, end)| SewnFrom::Corner { edge: run.edge.clone(), end })
}

fn start_at_corner(run: Run, from: &SewnFrom) -> Result<Run, Refusal> {
    let [start, end] = corners_of(&run);
    if *from == start {
        Ok(run)
    } else if *from == end {
        Ok(run.reversed())
    } else {
        Err(Refusal::new(
            RefusalKind::BadSeam,
            run.names(),
            format!("`from {from}`: the run neither starts nor ends there"),
            format!("its ends are {start} and {end}"),
        ))
    }
}

/// Lays the second run from its end at `from`, and the first from its own end at an edge of that name, or else
/// from its first corner.
fn start_from(pattern: &Pattern, first: Run, second: Run, from: &EdgeName) -> Result<(Run, Run), Refusal> {
    let (start, end) = ends(pattern, &second)?;
    let second = if start.neighbour.edge == *from {
        second
    } else if end.neighbour.edge == *from {
        second.reversed()
    } else {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            second.names(),
            format!("`from {from}`: neither end meets an edge `{from}`"),
            format!("its ends meet `{}` and `{}`", start.neighbour.edge, end.neighbour.edge),
        ));
    };
    let (start, end) = ends(pattern, &first)?;
    let turned = start.neighbour.edge != *from && end.neighbour.edge == *from;
    let first = if turned { first.reversed() } else { first };
    Ok((first, second))
}

/// Lays two runs so that the corners of their edges meet at which the sewing of each begins. It decides where an armhole
/// is a ring, which may be walked either way round.
///
/// # Errors
///
/// Refuses a run that does not begin at its corner, or may be walked from there in several ways.
pub fn orient_at_corners(
    pattern: &Pattern,
    joins: &Joins,
    (first, second): (&[EdgeRef], &[EdgeRef]),
    (from_first, from_second): (&SewnFrom, &SewnFrom),
) -> Result<(Run, Run), Refusal> {
    let at_corner = |edges: &[EdgeRef], from: &SewnFrom| {
        let mut ways = ways(pattern, joins, edges)?.into_iter();
        let found: Vec<Run> = ways.by_ref().filter_map(|way| start_at_corner(way, from).ok()).collect();
        match <[Run; 1]>::try_from(found) {
            Ok([only]) => Ok(only),
            Err(found) => Err(Refusal::new(
                RefusalKind::BadSeam,
                edges.first().map_or_else(String::new, EdgeRef::to_string),
                format!("`from {from}`: the run may be walked from there in {} ways", found.len()),
                "name an end of its first edge",
            )),
        }
    };
    Ok(clockwise(at_corner(first, from_first)?, at_corner(second, from_second)?))
}

/// The corners at which both sides of a seam begin, where these are enough for it to be read as it is: none where it has
/// edges on mirrored copies, which say the mirror image of the seam.
#[must_use]
pub fn from_corners(pattern: &Pattern, joins: &Joins, seam: &Seam) -> Option<(SewnFrom, SewnFrom)> {
    if seam.edges().any(|run| run.edge.copy == Copy::Mirrored) {
        return None;
    }
    let ([first, _], [second, _]) = (corners_of(&seam.first), corners_of(&seam.second));
    let edges = (seam.first.edge_refs(), seam.second.edge_refs());
    let read = orient_at_corners(pattern, joins, (&edges.0, &edges.1), (&first, &second)).ok()?;
    is_read_as(seam, &read).then_some((first, second))
}

/// The end that a sheet must name after `from` so that the seam, declared on its first side, is read as it is; nothing
/// where it need not name any. A neighbour is named where that is enough, else a corner. Where the notches alone tell it an end is
/// named as well: a notch that is moved by mistake must not turn the seam about.
///
/// # Errors
///
/// Refuses a seam whose direction cannot be written.
pub fn from_clause(pattern: &Pattern, joins: &Joins, seam: &Seam) -> Result<Option<SewnFrom>, Refusal> {
    let whatever_the_notches = || {
        let edges = (seam.first.edge_refs(), seam.second.edge_refs());
        let read = orient_by(pattern, joins, (&edges.0, &edges.1), None, Evidence::WithoutNotches);
        read.is_ok_and(|read| is_read_as(seam, &read))
    };
    if is_read(pattern, joins, seam, None) && whatever_the_notches() {
        return Ok(None);
    }
    ends_saying(pattern, joins, seam)?.map(Some).ok_or_else(|| unwritable_direction(seam))
}

/// The end that is enough to name after `from` for the seam to be read as it is, where there is one.
fn ends_saying(pattern: &Pattern, joins: &Joins, seam: &Seam) -> Result<Option<SewnFrom>, Refusal> {
    let (start, end) = ends(pattern, &seam.second)?;
    let neighbours = [start, end].map(|corner| SewnFrom::Neighbour(corner.neighbour.edge));
    let corners = corners_of(&seam.second).into_iter().filter(|_| may_name_corners(seam));
    let mut ends = neighbours.into_iter().chain(corners);
    Ok(ends.find(|from| is_read(pattern, joins, seam, Some(from))))
}

/// Whether a seam is read as it is where its first side says it with an end, or without one.
#[must_use]
pub fn is_read(pattern: &Pattern, joins: &Joins, seam: &Seam, from: Option<&SewnFrom>) -> bool {
    let read = orient(pattern, joins, &seam.first.edge_refs(), &seam.second.edge_refs(), from);
    read.is_ok_and(|read| is_read_as(seam, &read))
}

/// The refusal of a seam whose direction a sheet has no way to say.
#[must_use]
pub fn unwritable_direction(seam: &Seam) -> Refusal {
    Refusal::new(
        RefusalKind::BadSeam,
        seam.name(),
        "the direction of the seam cannot be written: a part of it may be walked either way",
        "choose another line or another edge, so that every part is met by its neighbours at one end only",
    )
}

/// Whether a corner may say where a seam begins. Where several edges on both sides say it and some are on mirrored copies,
/// some say its mirror image, which begins elsewhere.
fn may_name_corners(seam: &Seam) -> bool {
    let is_single = |run: &Run| run.edges().len() == 1;
    is_single(&seam.first) || is_single(&seam.second) || seam.edges().all(|run| run.edge.copy == Copy::Drawn)
}

fn is_read_as(seam: &Seam, read: &(Run, Run)) -> bool {
    (read.0 == seam.first && read.1 == seam.second)
        || (read.0 == seam.first.reversed() && read.1 == seam.second.reversed())
}
