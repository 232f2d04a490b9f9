//! `close-seam`: the way back of `open-seam`. What the opening divided is one again: the seam, and the edges on both sides.
//!
//! ```text
//!   ──────┬──────┬──────   front.side, front.side-pocket, front.side-2
//!    sewn │ open │ sewn                  ──>   front.side
//!   ──────┴──────┴──────
//! ```
//!
//! Which edges were divided by the opening is told by their names: the open stretch bears what it is for behind the name that
//! those beside it kept.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::parts::join::{are_finished_alike, are_sewn_alike, goes_on_in, seams_in_one};
use crate::pattern::{
    Copy, EdgeEnd, EdgeId, EdgeName, EdgeRef, Notch, Opening, Operation, Pattern, Piece, Refusal,
    RefusalKind, Seam, SeamId, settle, without_numbers,
};
use crate::recut::divide::join;
use crate::recut::open_seam::opening_notch;
use crate::recut::{Notice, Work};
use crate::tolerance::SAME_CUT;
use crate::units::Length;

/// Sew up a stretch of a seam that is left open: what the opening divided is one edge again.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CloseSeam {
    /// An edge of the opening: front.side-pocket. It gets the allowance of the stretch beside it; an edge that is open as a
    /// whole keeps its own.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
}

impl CloseSeam {
    /// An opening that is sewn up, named by an edge of it.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{CloseSeam, OpenSeam, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/skirt-shaped-back.svg")?;
    /// let skirt = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let pocket = OpenSeam {
    ///     to: Some("side@24cm from waist".parse()?),
    ///     ..OpenSeam::of("front.side".parse()?, "side@8cm from waist".parse()?)
    /// };
    /// let opened = Step::from(pocket).apply(&skirt)?.pattern;
    /// let closed = Step::from(CloseSeam::of("front.side-pocket".parse()?)).apply(&opened)?.pattern;
    /// let front = "front".parse()?;
    /// assert_eq!(closed.piece(&front)?.edges().len(), skirt.piece(&front)?.edges().len());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(seam: EdgeRef) -> CloseSeam {
        CloseSeam { seam }
    }
}

pub(super) fn close_seam(step: &CloseSeam, work: &mut Work) -> Result<(), Refusal> {
    let named = settle(&work.pattern, &step.seam);
    let (id, purpose) = opening(&work.pattern, &named)?;
    let opened = work.pattern.seam(id).clone();
    let mut edges: Vec<EdgeRef> = Vec::new();
    for run in opened.edges() {
        let edge = EdgeRef { copy: Copy::Drawn, ..run.edge.clone() };
        if !edges.contains(&edge) {
            edges.push(edge);
        }
    }
    let [first, second] = [&opened.first, &opened.second].map(|run| run.first_and_last().0.edge.clone());
    let sewn = |edge: &EdgeRef| work.pattern.edge(edge).map(|(piece, id)| piece.sewn_length(id));
    let lengths: Result<Vec<f64>, Refusal> = opened.first.edges().iter().map(|run| sewn(&run.edge)).collect();
    let length = Length::from_mm(lengths?.iter().sum());
    work.tell(Notice::SeamClosed { first, second, purpose, length });
    for edge in &edges {
        take_notches(work, edge, &edges)?;
    }
    for edge in &edges {
        sew_up(work, edge, purpose)?;
    }
    join_seams(work, id, purpose)?;
    edges.iter().try_for_each(|edge| join_stretches(work, edge, purpose))
}

/// The seam that is left open at an edge, and for what.
fn opening(pattern: &Pattern, named: &EdgeRef) -> Result<(SeamId, Opening), Refusal> {
    let (piece, id) = pattern.edge(named)?;
    let Some(purpose) = piece.edge(id).open else {
        let open: Vec<String> = piece
            .edge_ids()
            .filter(|id| piece.edge(*id).open.is_some())
            .map(|id| format!("`{}`", piece.edge(id).name))
            .collect();
        let way_out = match open.is_empty() {
            true => "name an edge that is left open: this piece has none".to_owned(),
            false => format!("name an edge of the piece that is left open: {}", open.join(", ")),
        };
        let what = "the edge is not left open";
        return Err(Refusal::new(RefusalKind::NotOfThatSort, named, what, way_out));
    };
    let is_open = |edge: &EdgeRef| pattern.find_edge(edge).is_some_and(|edge| edge.open.is_some());
    let is_opening = |id: &SeamId| pattern.seam(*id).edges().all(|run| is_open(&run.edge));
    match pattern.seams_of(named).find(is_opening) {
        Some(id) => Ok((id, purpose)),
        None => Err(Refusal::new(
            RefusalKind::BadSeam,
            named,
            "it is open as the piece that it lies on is, and is sewn to nothing by itself",
            advice!("close the opening of that piece, and then make this one anew: ", Operation::Follow),
        )),
    }
}

/// The name of which an edge is a stretch, without what it is open for and the numbers behind it; and whether it is on a mirrored
/// half.
fn root(name: &EdgeName, purpose: Opening) -> (String, bool) {
    let (plain, is_mirrored) = drawn(name);
    (without_numbers(without_purpose(&plain, purpose).unwrap_or(&plain)).to_owned(), is_mirrored)
}

/// Whether an edge bears the name of a stretch that was divided off to be left open.
fn was_divided_off(name: &EdgeName, purpose: Opening) -> bool {
    without_purpose(&drawn(name).0, purpose).is_some()
}

fn drawn(name: &EdgeName) -> (String, bool) {
    match name.mirror_of() {
        Some(drawn) => (drawn.to_string(), true),
        None => (name.to_string(), false),
    }
}

fn without_purpose(name: &str, purpose: Opening) -> Option<&str> {
    without_numbers(name).strip_suffix(purpose.word())?.strip_suffix('-')
}

/// The edges beside one, before it and after it, that it was one with before it was divided off to be left open.
fn beside(piece: &Piece, id: EdgeId, purpose: Opening) -> [Option<EdgeId>; 2] {
    let own = &piece.edge(id).name;
    let is_same = |other: &EdgeId| {
        *other != id
            && was_divided_off(own, purpose)
            && root(&piece.edge(*other).name, purpose) == root(own, purpose)
    };
    [piece.previous(id), piece.next(id)].map(|other| Some(other).filter(is_same))
}

/// Takes the notches off that were set at the ends of an opening. Where the edge beside it stays open they are its as well.
fn take_notches(work: &mut Work, edge: &EdgeRef, closed: &[EdgeRef]) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    let length = piece.edge(id).curve.length();
    for (end, at) in [(EdgeEnd::First, 0.0), (EdgeEnd::Last, length)] {
        let next = piece.beside(id, end);
        let stays_open = piece.edge(next).open.is_some() && !closed.contains(&piece.edge_ref(next));
        let other = piece.edge(next).name.clone();
        let far = if end == EdgeEnd::First { piece.edge(next).curve.length() } else { 0.0 };
        let set = opening_notch();
        let stands = |notch: &Notch| {
            notch.edge == edge.edge && (notch.at - at).abs() <= SAME_CUT && notch.name.is_numbered_from(&set)
        };
        match stays_open {
            true => piece.notches.iter_mut().filter(|notch| stands(notch)).for_each(|notch| {
                (notch.edge, notch.at) = (other.clone(), far);
            }),
            false => piece.notches.retain(|notch| !stands(notch)),
        }
    }
    Ok(())
}

/// The edge is no longer open, and has the allowance of what is beside it.
fn sew_up(work: &mut Work, edge: &EdgeRef, purpose: Opening) -> Result<(), Refusal> {
    let piece = work.pattern.piece_mut(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    let beside = beside(piece, id, purpose).into_iter().flatten();
    let sewn = beside.map(|id| piece.edge(id)).find(|edge| edge.open.is_none());
    let allowance = sewn.map(|edge| edge.allowance);
    let settings = piece.edge_settings(id);
    *settings.open = None;
    if let Some(allowance) = allowance {
        *settings.allowance = allowance;
    }
    Ok(())
}

/// Makes one seam of that which was open and those sewn ones that it was one with, before it and after it.
fn join_seams(work: &mut Work, id: SeamId, purpose: Opening) -> Result<(), Refusal> {
    let pattern = &work.pattern;
    let mut one = pattern.seam(id).clone();
    let mut taken = vec![id];
    let is_open = |edge: &EdgeRef| pattern.find_edge(edge).is_some_and(|edge| edge.open.is_some());
    let is_sewn = |id: &SeamId| !pattern.seam(*id).edges().any(|run| is_open(&run.edge));
    let others = |taken: &[SeamId]| -> Vec<(SeamId, Seam)> {
        let left = pattern.seam_ids().filter(|id| is_sewn(id) && !taken.contains(id));
        left.flat_map(|id| ways(pattern.seam(id)).map(|seam| (id, seam))).collect()
    };
    let runs_on = |first: &Seam, next: &Seam| {
        goes_on_in(pattern, first, next) && was_one(pattern, first, next, purpose)
    };
    if let Some((before, seam)) = others(&taken).into_iter().find(|(_, seam)| runs_on(seam, &one))
        && let Some(joined) = seams_in_one(&[&seam, &one])
    {
        (one, taken) = (joined, [taken, vec![before]].concat());
    }
    if let Some((after, seam)) = others(&taken).into_iter().find(|(_, seam)| runs_on(&one, seam))
        && let Some(joined) = seams_in_one(&[&one, &seam])
    {
        (one, taken) = (joined, [taken, vec![after]].concat());
    }
    let Some(place) = taken.iter().min().copied() else { return Ok(()) };
    let mut seams = Vec::new();
    for other in pattern.seam_ids() {
        if other == place {
            seams.push(one.clone());
        } else if !taken.contains(&other) {
            seams.push(pattern.seam(other).clone());
        }
    }
    work.pattern.set_seams(seams)
}

/// A seam as it may be named: either side first, from either end.
fn ways(seam: &Seam) -> [Seam; 4] {
    let swapped = seam.swapped();
    [seam.clone(), swapped.clone(), seam.reversed(), swapped.reversed()]
}

/// Whether two seams that go on in one another were one: on both sides the edges that meet were.
fn was_one(pattern: &Pattern, seam: &Seam, next: &Seam, purpose: Opening) -> bool {
    let sides = [(&seam.first, &next.first), (&seam.second, &next.second)];
    sides.into_iter().all(|(run, next)| {
        let (last, first) = (&run.first_and_last().1.edge, &next.first_and_last().0.edge);
        let Some((piece, last)) = pattern.find_on_piece(last) else { return false };
        let Some(first) = piece.find_edge(&first.edge) else { return false };
        [(last, first), (first, last)]
            .into_iter()
            .any(|(open, other)| beside(piece, open, purpose).contains(&Some(other)))
    })
}

/// Makes one edge of one that was open and those that it was one with, as far as they are still cut and sewn alike. It has the
/// name that one of them kept, which is the one with the least number.
fn join_stretches(work: &mut Work, edge: &EdgeRef, purpose: Opening) -> Result<(), Refusal> {
    // An edge that lay on both sides of one that was joined already is part of it.
    let Some((piece, id)) = work.pattern.find_on_piece(edge) else { return Ok(()) };
    let piece = piece.clone();
    let [before, after] = beside(&piece, id, purpose);
    let sewn = [before, after].into_iter().flatten().map(|id| &piece.edge(id).name);
    let sewn = sewn.filter(|name| !was_divided_off(name, purpose));
    let kept = sewn.min_by_key(|name| name.number()).cloned();
    let mut name = edge.edge.clone();
    for (pair, is_before) in
        [(before.map(|before| [before, id]), true), (after.map(|after| [id, after]), false)]
    {
        let Some(pair) = pair.map(|ids| ids.map(|id| piece.edge(id).name.clone())) else { continue };
        let pair = if is_before { [pair[0].clone(), name.clone()] } else { [name.clone(), pair[1].clone()] };
        let now = work.piece(piece.name())?;
        let [Some(one), Some(other)] = pair.each_ref().map(|name| now.find_edge(name)) else { continue };
        let refs = [one, other].map(|id| now.edge_ref(id));
        if !are_finished_alike(now.edge(one), now.edge(other))
            || !are_sewn_alike(&work.pattern, &refs[0], &refs[1])
        {
            continue;
        }
        join(work, &now, [one, other])?;
        name = pair[0].clone();
    }
    if let Some(kept) = kept.filter(|kept| *kept != name)
        && work.pattern.piece(piece.name())?.find_edge(&kept).is_none()
    {
        work.pattern.rename_edge(piece.name(), &name, &kept)?;
    }
    Ok(())
}
