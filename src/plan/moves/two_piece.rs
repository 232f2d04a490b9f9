//! A piece that is sewn to itself, as a sleeve is, in two: an upper and an under part.

use crate::pattern::{Amount, Copy, EdgeRef, Finish, Line, Piece, PieceName, Place, Seam};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::draft::RecutSoFar;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::{UprightPiece, named};
use crate::recut::{MergeAtSeamline, PieceNames, Split};

/// Where the lines run that cut the under part off where none are drawn: at these shares of the width at either end. A
/// quarter from either side is where the fold of a sleeve lies when it is laid flat.
const FOLDS: [f64; 2] = [0.25, 0.75];

/// The piece cut along two lines, and the two outer strips joined at the seam that they had.
pub(super) fn two_piece(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::TwoPiece)
        || !matches!(site.lack, Lack::Width { .. })
        || site.piece.fold().is_some()
    {
        return Vec::new();
    }
    let Some(seam) = own_seam(site) else { return Vec::new() };
    let lines = lines(site.piece);
    let Some([first, second]) = lines else { return Vec::new() };
    let made = cut(site, &seam, &first, &second);
    let tale = format!("cut `{}` in two, an upper and an under part", site.piece.name());
    made.map(|draft| site.made(ChangeKind::TwoPiece, draft, tale)).into_iter().collect()
}

/// An edge of the piece that runs along the grain and is sewn to another of the same copy.
fn own_seam(site: &Site<'_>) -> Option<EdgeRef> {
    let (view, name) = (UprightPiece::of(site.piece), site.piece.name());
    let own = |seam: &&Seam| {
        seam.edges().all(|run| run.edge.piece == *name && run.edge.copy == Copy::Drawn)
            && seam
                .edges()
                .all(|run| site.piece.find_edge(&run.edge.edge).is_some_and(|id| view.runs_along(id)))
    };
    site.state.pattern.seams().iter().find(own).map(|seam| seam.first.edges()[0].edge.clone())
}

/// Two lines along the piece: those that are drawn, else straight ones from end to end.
fn lines(piece: &Piece) -> Option<[Line; 2]> {
    let view = UprightPiece::of(piece);
    let drawn: Vec<_> = piece.style_lines.iter().filter(|line| view.curve_runs_along(&line.curve)).collect();
    if let [first, second] = drawn[..] {
        return Some([Line::Style(first.name.clone()), Line::Style(second.name.clone())]);
    }
    let (left, right) = view.breadth();
    let upper = view.ends_along(f64::midpoint(left, right))?;
    let straight = |share: f64| {
        let end = |on: crate::pattern::On| {
            let edge = piece.edge(on.edge);
            let along = view.x(edge.curve.end()) > view.x(edge.curve.start());
            let share = if along { share } else { 1.0 - share };
            let at = named(piece.sewn_length(on.edge) * share);
            (edge.finish != Finish::Fold).then(|| Place::OnEdge {
                edge: edge.name.clone(),
                along: Amount::Length(at),
                from: None,
            })
        };
        Some(Line::Straight(vec![end(upper.0)?, end(upper.1)?]))
    };
    Some([straight(FOLDS[0])?, straight(FOLDS[1])?])
}

fn cut(site: &Site<'_>, seam: &EdgeRef, first: &Line, second: &Line) -> Option<RecutSoFar> {
    let name = site.piece.name();
    let rest = name.with("rest");
    let (draft, rest, strip) = cut_off(site.draft(), name, first, [rest, name.with("strip")])?;
    let second = settled(site.piece, &draft, &rest, second)?;
    let (draft, _, other) = cut_off(draft, &rest, &second, [name.with("upper"), name.with("strip")])?;
    joined(draft, seam, [&strip, &other])
}

/// A strip cut off a piece: the names of the rest, which is the larger, and of the strip are given.
pub(super) fn cut_off(
    draft: RecutSoFar,
    piece: &PieceName,
    line: &Line,
    names: [PieceName; 2],
) -> Option<(RecutSoFar, PieceName, PieceName)> {
    let along = |names: Option<PieceNames>| Split { names, ..Split::of(piece.clone(), line.clone()) };
    let tried = draft.clone().does(along(None))?;
    let made: Vec<&PieceName> =
        tried.made.iter().filter(|(_, from)| from.contains(piece)).map(|(made, _)| made).collect();
    let [first, second] = <[&PieceName; 2]>::try_from(made).ok()?;
    let [rest, strip] = names.map(|name| draft.pattern.free_name(name));
    let in_order = match area(&tried, first) > area(&tried, second) {
        true => PieceNames { first: rest.clone(), second: strip.clone() },
        false => PieceNames { first: strip.clone(), second: rest.clone() },
    };
    Some((draft.does(along(Some(in_order)))?, rest, strip))
}

/// The second line on what the first left: places on edges are measured anew, since an edge that was cut is shorter.
fn settled(old: &Piece, draft: &RecutSoFar, rest: &PieceName, line: &Line) -> Option<Line> {
    let Line::Straight(places) = line else { return Some(line.clone()) };
    let now = draft.pattern.find(rest)?;
    let was = UprightPiece::of(old);
    let places = places.iter().map(|place| {
        let point = old.place(place).ok()?.point;
        let moved = rest_motion(draft, rest, old)?.apply(point);
        let on = now.nearest_on_outline(moved);
        UprightPiece { piece: now, ..was }.place(crate::pattern::On { edge: on.edge, at: on.at })
    });
    Some(Line::Straight(places.collect::<Option<Vec<_>>>()?))
}

/// Where the rest lies now, from where it lay on the piece.
fn rest_motion(draft: &RecutSoFar, rest: &PieceName, old: &Piece) -> Option<crate::curve::Motion> {
    let entry = draft.pattern.record.steps.last()?;
    let moved = entry.moved.iter().find(|moved| moved.to == *rest && moved.from == *old.name())?;
    crate::curve::Motion::from_array(moved.motion).ok()
}

fn area(draft: &RecutSoFar, piece: &PieceName) -> f64 {
    draft.pattern.find(piece).map_or(0.0, |piece| piece.outline().area())
}

/// The two strips joined at the seam that the piece had with itself.
fn joined(draft: RecutSoFar, seam: &EdgeRef, strips: [&PieceName; 2]) -> Option<RecutSoFar> {
    let between = draft.pattern.seams().iter().find(|found| {
        strips.iter().all(|strip| found.edges().any(|run| run.edge.piece == **strip))
            && found.edges().all(|run| strips.contains(&&run.edge.piece))
    })?;
    let edge = between.edges().find(|run| run.edge.piece == *strips[0])?.edge.clone();
    let name = draft.pattern.free_name(seam.piece.with("under"));
    draft.does(MergeAtSeamline { name: Some(name), ..MergeAtSeamline::of(edge) })
}
