//! A side seam moved into the piece that is too wide.

use crate::allowance::{cutting_lines, lies_within};
use crate::cloth::kept_width;
use crate::cloth::kept_width::EdgeBecomes;
use crate::pattern::{Copy, EdgeRef, Seam, Selvedge, Side};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::beside::{NARROWER, edges_of_seams, narrowed};
use crate::plan::moves::selvedges::lapped_side;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{UprightPiece, named, named_within};
use crate::recut::{MoveSeam, SeamLine, SetAllowance, SetEdge};
use crate::tolerance::TRY_ROOM;
use crate::units::Length;

/// How often the kept width is lessened, where a slanting neighbour's allowance still reaches past the cloth.
const TRIES: usize = 3;

/// Allowances that are tried on a seam that is sewn on the selvedge, mm: 3/8 in, then 1/4 in and a little, which a selvedge
/// holds as it does not fray.
const ON_SELVEDGE: [f64; 2] = [9.0, 7.0];

/// Each seam that runs along the grain from the piece to another is moved into it, straight along the grain. The piece
/// stays whole.
pub(super) fn moved(site: &Site<'_>) -> Vec<Move> {
    let Lack::Width { gives, .. } = site.lack else { return Vec::new() };
    let mut moves = Vec::new();
    for (edge, partner) in seams_along(site) {
        if site.taste.stay.iter().any(|stay| stay.same_edge(&edge)) {
            continue;
        }
        let wants = |kind| site.taste.wants(&site.root, kind);
        let sewn = [
            wants(ChangeKind::SideSeam).then(|| with_allowance(site, &edge, &partner)).flatten(),
            wants(ChangeKind::Selvedge).then(|| on_selvedge(site, &edge, &partner, gives)).flatten(),
        ];
        // Work that is seen is for where no seam with an allowance does.
        let may_lap = wants(ChangeKind::Lapped) && wants(ChangeKind::SideSeam);
        if may_lap && sewn.iter().all(Option::is_none) {
            moves.extend(lapped_side(site, &edge, &partner));
        }
        moves.extend(sewn.into_iter().flatten());
    }
    moves
}

/// The piece's edges that are sewn to other pieces and run along the grain, one for each seam, and what they are sewn to.
fn seams_along(site: &Site<'_>) -> Vec<(EdgeRef, String)> {
    let view = UprightPiece::of(site.piece);
    let name = site.piece.name();
    let own = |seam: &Seam, side: Side| {
        let runs = seam.side(side).edges();
        let all_own = runs.iter().all(|run| run.edge.piece == *name && run.edge.copy == Copy::Drawn);
        let other = seam.side(side.other()).edges();
        let one = &other[0].edge.piece;
        let apart = one != name && other.iter().all(|run| run.edge.piece == *one);
        let along =
            runs.iter().all(|run| site.piece.find_edge(&run.edge.edge).is_some_and(|id| view.runs_along(id)));
        let layered = runs[0].travel == other[0].travel;
        (all_own && apart && along && !layered).then(|| (runs[0].edge.clone(), one.to_string()))
    };
    let seams = site.state.pattern.seams().iter();
    seams.flat_map(|seam| Side::BOTH.into_iter().filter_map(move |side| own(seam, side))).collect()
}

/// The seam moved so that its allowance lies within the cloth: straight along the grain, else beside the old one.
fn with_allowance(site: &Site<'_>, edge: &EdgeRef, partner: &str) -> Option<Move> {
    let name = site.piece.name();
    let share = if site.piece.fold().is_some() { 0.5 } else { 1.0 };
    let keeps = kept_width::kept_beside(&site.state.pattern, site.stock, edge, name, EdgeBecomes::AsItWas)
        .ok()?
        .keeps;
    let grain = |less: f64| MoveSeam {
        to_width: Some(named_within(keeps - less).into()),
        line: Some(SeamLine::Grain),
        ..MoveSeam::of(edge.clone(), site.piece.name().clone())
    };
    let beside = |less: f64| MoveSeam {
        by: Some(named(site.lack.over() * share + less + TRY_ROOM)),
        line: Some(SeamLine::Seam),
        ..MoveSeam::of(edge.clone(), site.piece.name().clone())
    };
    let ways: [(&dyn Fn(f64) -> MoveSeam, &str); 2] =
        [(&grain, "straight along the grain"), (&beside, "beside the old one")];
    ways.into_iter().find_map(|(way, how)| {
        let draft = narrowing(site, share, way)?;
        let tale = format!("move the seam between `{name}` and `{partner}` into `{name}`, {how}");
        Some(site.made(ChangeKind::SideSeam, draft, tale))
    })
}

/// The seam moved in a way, ever farther until the piece fits.
fn narrowing(site: &Site<'_>, share: f64, way: &dyn Fn(f64) -> MoveSeam) -> Option<RecutSoFar> {
    let mut less = 0.0;
    for _ in 0..TRIES {
        let draft = site.draft().does(way(less))?;
        let found = site.fit_of(&draft, site.piece.name())?;
        if found.fits {
            return site.is_true(&draft).then_some(draft);
        }
        less += found.lengthwise.too_wide * share + TRY_ROOM;
    }
    None
}

/// The seam moved so that its narrow allowance ends at the selvedge: only of a half piece, which lies from selvedge to
/// selvedge. It is sewn there, not left free: the allowance of a slanting neighbour would run out to nothing at an edge
/// that has none.
fn on_selvedge(site: &Site<'_>, edge: &EdgeRef, partner: &str, gives: f64) -> Option<Move> {
    site.piece.fold().filter(|_| site.has_both_selvedges())?;
    let name = site.piece.name();
    let (left, right) = UprightPiece::of(site.piece).breadth();
    if right - left <= gives / 2.0 {
        return None;
    }
    let draft = ON_SELVEDGE.iter().find_map(|allowance| {
        let draft = sewn_on_selvedge(site, edge, gives / 2.0, *allowance)?;
        NARROWER.iter().find_map(|allowance| {
            let draft = match allowance {
                None => draft.clone(),
                Some(allowance) => narrowed(draft.clone(), edge, *allowance)?,
            };
            let fits = lies_within(site.fit_of(&draft, name)?.lengthwise.width, gives);
            (fits && cutting_lines(&draft.pattern).is_ok() && site.is_true(&draft)).then_some(draft)
        })
    })?;
    let tale = format!(
        "cut `{name}` from selvedge to selvedge and let `{partner}` take what it gives at the side, sewn on the selvedge with \
         a narrow allowance"
    );
    Some(site.made(ChangeKind::Selvedge, draft, tale))
}

/// The seam with an allowance, moved so far into the piece that this ends at half the cloth, and laid on the selvedge.
fn sewn_on_selvedge(site: &Site<'_>, edge: &EdgeRef, half: f64, allowance: f64) -> Option<RecutSoFar> {
    let along = edges_of_seams(&site.state.pattern, edge).parse().ok()?;
    let narrow = SetAllowance::of(along, Length::from_mm(allowance));
    let moved = MoveSeam {
        to_width: Some(named_within(half - allowance).into()),
        line: Some(SeamLine::Grain),
        ..MoveSeam::of(edge.clone(), site.piece.name().clone())
    };
    let laid = SetEdge { selvedge: Some(Selvedge::Yes), ..SetEdge::of(edge.clone()) };
    site.draft().does(narrow)?.does(moved)?.does(laid)
}
