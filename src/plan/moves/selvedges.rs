//! Seams whose edges lie on the selvedges, which do not fray: one lapped over the other, or both butted over a tape. They need
//! little allowance or none, so that a piece fits that with its allowances does not.

use crate::cloth::Selvedges;
use crate::cloth::kept_width::{EdgeBecomes, kept_beside};
use crate::pattern::{Amount, EdgeEnd, EdgeId, EdgeRef, Finish, Line, PieceName, Place, Selvedge};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::beside::{NARROWER, edges_of_seams, narrowed};
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{named, named_within};
use crate::recut::{
    DivideEdge, EdgeNames, LapWish, LimitWidth, MoveSeam, OpenCentre, PieceNames, SeamLine, SetAllowance,
    SetEdge, Split, Unfold,
};
use crate::tolerance::SELVEDGE_LAP;
use crate::truing::beneath_lap;
use crate::units::{Length, Share};

/// How two edges on selvedges are sewn to each other, the stronger way first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum SelvedgeSeam {
    Lapped,
    Butted,
}

impl SelvedgeSeam {
    const ALL: [SelvedgeSeam; 2] = [SelvedgeSeam::Lapped, SelvedgeSeam::Butted];

    fn kind(self) -> ChangeKind {
        match self {
            SelvedgeSeam::Lapped => ChangeKind::Lapped,
            SelvedgeSeam::Butted => ChangeKind::Butted,
        }
    }

    fn lap(self) -> Length {
        match self {
            SelvedgeSeam::Lapped => Length::from_mm(SELVEDGE_LAP),
            SelvedgeSeam::Butted => Length::ZERO,
        }
    }

    /// What follows the place of a seam in a tale.
    fn spoken(self) -> &'static str {
        match self {
            SelvedgeSeam::Lapped => "lapped at the selvedges",
            SelvedgeSeam::Butted => "butted at the selvedges over a tape",
        }
    }
}

/// A seam down the fold of a piece that is too wide even with a usual one there.
pub(super) fn centre_at_selvedges(site: &Site<'_>, fold: EdgeId) -> Option<Move> {
    if !site.has_both_selvedges() {
        return None;
    }
    let name = site.piece.name();
    SelvedgeSeam::ALL.into_iter().filter(|joint| site.may(joint.kind())).find_map(|joint| {
        let (draft, halves) = match joint {
            SelvedgeSeam::Lapped => halves_lapped(site, fold)?,
            SelvedgeSeam::Butted => (butted_centre(site, fold)?, vec![name.clone()]),
        };
        let tale = format!("cut `{name}` in two with a seam down the middle, {}", joint.spoken());
        fitting(site, ChangeKind::Centre, joint, (draft, &halves), tale)
    })
}

/// Both halves of a piece without allowance at the middle.
fn butted_centre(site: &Site<'_>, fold: EdgeId) -> Option<RecutSoFar> {
    let name = site.piece.name();
    let open = OpenCentre { lap: Some(SelvedgeSeam::Butted.lap()), ..OpenCentre::of(name.clone()) };
    let edge = site.piece.edge_ref(fold);
    site.draft().does(open)?.does(on_selvedge(edge))
}

/// The two halves of a piece as pieces of their own, since the one on top has no allowance and the other has one.
fn halves_lapped(site: &Site<'_>, fold: EdgeId) -> Option<(RecutSoFar, Vec<PieceName>)> {
    let piece = site.piece;
    let beside = piece.edge(piece.next(fold));
    let whole = Place::OnEdge {
        edge: beside.name.clone(),
        along: Amount::Share(Share::WHOLE),
        from: Some(piece.edge(piece.next(piece.next(fold))).name.clone()),
    };
    let halves = [piece.name().with("left"), piece.name().with("right")];
    let [first, second] = halves.map(|name| site.state.pattern.free_name(name));
    let names = PieceNames { first: first.clone(), second: second.clone() };
    let split = Split { names: Some(names), ..Split::of(piece.name().clone(), Line::Along { place: whole }) };
    let draft = site.draft().does(Unfold::of(piece.name().clone()))?.does(split)?;
    let draft = joined(draft, [&first, &second], SelvedgeSeam::Lapped)?;
    Some((draft, vec![first, second]))
}

/// A piece in two panels where with usual allowances there would be more.
pub(super) fn two_panels_at_selvedges(site: &Site<'_>) -> Option<Move> {
    let Lack::Width { gives, .. } = site.lack else { return None };
    let (name, usual) = (site.piece.name(), site.piece.usual_allowance());
    if !site.has_both_selvedges() || site.piece.fold().is_some() {
        return None;
    }
    SelvedgeSeam::ALL.into_iter().filter(|joint| site.may(joint.kind())).find_map(|joint| {
        let kept = match joint {
            SelvedgeSeam::Lapped => beneath_lap(joint.lap()).mm(),
            SelvedgeSeam::Butted => 0.0,
        };
        let widest = named_within(gives + usual.mm() - kept);
        let draft = site.draft().does(LimitWidth::of(name.clone(), widest))?;
        if site.pieces_in_place(&draft) != 2 {
            return None;
        }
        let panels: Vec<PieceName> = draft
            .made
            .iter()
            .filter(|(_, from)| from.contains(name))
            .map(|(panel, _)| panel.clone())
            .collect();
        let [first, second] = <[&PieceName; 2]>::try_from(panels.iter().collect::<Vec<_>>()).ok()?;
        let draft = joined(draft, [first, second], joint)?;
        let tale = format!("cut `{name}` in two panels, {}", joint.spoken());
        fitting(site, ChangeKind::Panels, joint, (draft, &panels), tale)
    })
}

/// The seam between two pieces on the selvedges of both, the first on top.
fn joined(draft: RecutSoFar, [over, under]: [&PieceName; 2], joint: SelvedgeSeam) -> Option<RecutSoFar> {
    let is_between = |piece: &PieceName| piece == over || piece == under;
    let seam = draft.pattern.seams().iter().find(|seam| {
        [over, under].iter().all(|piece| seam.edges().any(|run| run.edge.piece == **piece))
            && seam.edges().all(|run| is_between(&run.edge.piece))
    })?;
    let of =
        |piece: &PieceName| seam.edges().find(|run| run.edge.piece == *piece).map(|run| run.edge.clone());
    let (top, beneath) = (of(over)?, of(under)?);
    let draft = match joint {
        SelvedgeSeam::Butted => draft,
        SelvedgeSeam::Lapped => held(draft, &beneath, beneath_lap(joint.lap()))?,
    };
    let lap = SetEdge { lap: Some(LapWish::By(joint.lap())), ..on_selvedge(top) };
    draft.does(lap)?.does(on_selvedge(beneath))
}

fn on_selvedge(edge: EdgeRef) -> SetEdge {
    SetEdge { selvedge: Some(Selvedge::Yes), ..SetEdge::of(edge) }
}

/// An edge with an allowance, where it has another.
fn held(draft: RecutSoFar, edge: &EdgeRef, allowance: Length) -> Option<RecutSoFar> {
    if draft.pattern.find_edge(edge)?.allowance == allowance {
        return Some(draft);
    }
    draft.does(SetAllowance::of(edge.to_string().parse().ok()?, allowance))
}

/// A draft as a move where all its parts fit, and it is true: with narrower allowances beside the selvedges where what slants
/// out beyond them would have too little.
fn fitting(
    site: &Site<'_>,
    kind: ChangeKind,
    joint: SelvedgeSeam,
    (draft, parts): (RecutSoFar, &[PieceName]),
    tale: String,
) -> Option<Move> {
    let sound = |draft: &RecutSoFar| {
        let fits = |part: &PieceName| site.fit_of(draft, part).is_some_and(|fit| fit.fits);
        parts.iter().all(fits) && site.is_true(draft)
    };
    let pieces = parts.iter().filter_map(|part| draft.pattern.find(part));
    let edges: Vec<EdgeRef> = pieces
        .flat_map(|piece| piece.edge_ids().map(move |id| (piece, id)))
        .filter(|(piece, id)| piece.edge(*id).selvedge == Selvedge::Yes)
        .map(|(piece, id)| piece.edge_ref(id))
        .collect();
    let narrow = |allowance: &Option<f64>| match allowance {
        None => draft.clone(),
        // Where all that is beside one edge lies beside the other, there is nothing left to do there.
        Some(allowance) => edges
            .iter()
            .fold(draft.clone(), |draft, edge| narrowed(draft.clone(), edge, *allowance).unwrap_or(draft)),
    };
    let draft = NARROWER.iter().map(narrow).find(sound)?;
    Some(Move { besides: Some(joint.kind()), ..site.made(kind, draft, tale) })
}

/// How much of the edge beside a selvedge is bound where it runs out there, mm: as little as does.
const BOUND: [f64; 4] = [0.0, 10.0, 20.0, 30.0];

/// A side seam moved into the piece, with the piece's edge on the selvedge, on top of the other's allowance.
pub(super) fn lapped_side(site: &Site<'_>, edge: &EdgeRef, partner: &str) -> Option<Move> {
    if site.cloth.selvedges == Selvedges::None || site.cloth.bolts().is_empty() {
        return None;
    }
    let name = site.piece.name();
    let keeps =
        kept_beside(&site.state.pattern, site.stock, edge, name, EdgeBecomes::FreeOnSelvedge).ok()?.keeps;
    let moved = MoveSeam {
        to_width: Some(named_within(keeps).into()),
        line: Some(SeamLine::Grain),
        lap: Some(SelvedgeSeam::Lapped.lap()),
        ..MoveSeam::of(edge.clone(), name.clone())
    };
    let lapped = beneath(site, edge)?.does(moved)?;
    let sound =
        |draft: &RecutSoFar| site.fit_of(draft, name).is_some_and(|fit| fit.fits) && site.is_true(draft);
    let draft = NARROWER.iter().find_map(|allowance| {
        let narrow = match allowance {
            None => lapped.clone(),
            Some(allowance) => narrowed(lapped.clone(), edge, *allowance)?,
        };
        BOUND.iter().find_map(|length| bound(narrow.clone(), edge, *length).filter(&sound))
    })?;
    let tale = format!(
        "move the seam between `{name}` and `{partner}` into `{name}`, whose edge is lapped at the selvedge over `{partner}`"
    );
    Some(Move { besides: Some(ChangeKind::Lapped), ..site.made(ChangeKind::SideSeam, draft, tale) })
}

/// The edges that a side is to lie on, with as much allowance as a lap needs.
fn beneath(site: &Site<'_>, edge: &EdgeRef) -> Option<RecutSoFar> {
    let least = beneath_lap(SelvedgeSeam::Lapped.lap());
    let pattern = &site.state.pattern;
    let all = edges_of_seams(pattern, edge);
    let others = all.split(", ").filter_map(|other| other.parse::<EdgeRef>().ok());
    let others = others.filter(|other| other.piece != edge.piece);
    others.into_iter().try_fold(site.draft(), |draft, other| {
        match pattern.find_edge(&other)?.cut_allowance() < least {
            true => held(draft, &other, least),
            false => Some(draft),
        }
    })
}

/// The edge that meets a selvedge and is no hem, bound along a stretch beside it: where it slants out beyond the selvedge there
/// is no cloth for its allowance.
fn bound(draft: RecutSoFar, edge: &EdgeRef, stretch: f64) -> Option<RecutSoFar> {
    if stretch == 0.0 {
        return Some(draft);
    }
    let (piece, id) = draft.pattern.find_on_piece(edge)?;
    let ends = [(piece.previous(id), EdgeEnd::Last), (piece.next(id), EdgeEnd::First)];
    let mut sewn = ends.into_iter().filter(|(id, _)| piece.edge(*id).finish == Finish::Seam);
    let (beside, at) = sewn.next()?;
    let own = piece.edge(beside).name.clone();
    let end: crate::pattern::EdgeName = format!("{own}-bound").parse().ok()?;
    let place = Place::OnEdge {
        edge: own.clone(),
        along: Amount::Length(named(stretch)),
        from: Some(piece.edge(id).name.clone()),
    };
    let names = match at {
        EdgeEnd::Last => EdgeNames { first: own.clone(), second: end.clone() },
        EdgeEnd::First => EdgeNames { first: end.clone(), second: own.clone() },
    };
    let (own, end) = (piece.edge_ref(beside), EdgeRef::new(piece.name().clone(), end));
    let divided = DivideEdge { names: Some(names), ..DivideEdge::of(own, place) };
    let free = SetEdge { finish: Some(Finish::Free), ..SetEdge::of(end.clone()) };
    let none = SetAllowance::of(end.to_string().parse().ok()?, Length::ZERO);
    draft.does(divided)?.does(free)?.does(none)
}
