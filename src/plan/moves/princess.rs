//! Princess seams: through a named point or the tip of a dart, from an upper edge to a lower one; of a piece that nothing
//! shapes within, straight through, as the side panels of a coat's back are cut.

use crate::curve::Point;
use crate::pattern::{Amount, DartShape, EdgeId, Finish, Line, On, Piece, Place, TipChoice};
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site, greatest_allowance};
use crate::plan::running_on::running_on;
use crate::plan::view::{UprightPiece, named};
use crate::plan::{ChangeKind, Seen};
use crate::recut::{AddPrincessSeam, Split};
use crate::tolerance::{DART_NEAR_POINT, SEAM_ROOM};

/// Princess seams through each point of the piece that shapes it.
pub(super) fn princess(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::Princess) || !matches!(site.lack, Lack::Width { .. }) {
        return Vec::new();
    }
    let view = UprightPiece::of(site.piece);
    let points = points(site.piece);
    if points.is_empty() {
        return straight(site, view);
    }
    points.into_iter().flat_map(|(place, point)| through(site, view, &place, point)).collect()
}

/// The points that shape the piece: named ones, then tips of darts that lie near none of those found before.
fn points(piece: &Piece) -> Vec<(Place, Point)> {
    let named = piece.points.iter().map(|point| (Place::Point(point.name.clone()), point.at));
    let tips = piece.darts.iter().flat_map(|dart| {
        let choice = |i: usize| match (&dart.shape, i) {
            (DartShape::Open { .. }, _) => TipChoice::Only,
            (DartShape::Double { .. }, _) => TipChoice::Upper,
        };
        let tips = dart.tips().into_iter().take(1).enumerate();
        tips.map(move |(i, tip)| (Place::Tip(dart.name.clone(), choice(i)), tip)).collect::<Vec<_>>()
    });
    let mut found: Vec<(Place, Point)> = Vec::new();
    for (place, point) in named.chain(tips) {
        if found.iter().all(|(_, other)| other.distance(point) > DART_NEAR_POINT) {
            found.push((place, point));
        }
    }
    found
}

/// From the edge straight above the point, and from the edges beside that one, to the edge straight below.
fn through(site: &Site<'_>, view: UprightPiece<'_>, place: &Place, point: Point) -> Vec<Move> {
    let Some(ends) = view.ends_along(view.x(point)) else { return Vec::new() };
    let (top, bottom) = run_on(site, view, ends);
    let Some(to) = view.place(bottom) else { return Vec::new() };
    let piece = site.piece;
    let starts = starts(view, top, view.y(point));
    let seam = |(edge, from): (EdgeId, Place)| {
        let step = AddPrincessSeam::of(piece.name().clone(), from, place.clone(), to.clone());
        let tale = format!(
            "cut `{}` by a princess seam from the {} through the {} to the {}",
            piece.name(),
            piece.edge(edge).name,
            spoken(place),
            piece.edge(bottom.edge).name
        );
        site.draft().does(step).map(|draft| site.made(ChangeKind::Princess, draft, tale))
    };
    starts.into_iter().filter_map(seam).collect()
}

/// The ends of a seam where they run on into seams beyond, as far as such end close by.
fn run_on(site: &Site<'_>, view: UprightPiece<'_>, (top, bottom): (On, On)) -> (On, On) {
    let on = |end: On| running_on(&site.state.pattern, &view, end);
    (on(top), on(bottom))
}

/// From the edge in which a line along the grain leaves the piece above, and from the middles of the seamlines beside it
/// that lie above a height.
fn starts(view: UprightPiece<'_>, top: On, height: f64) -> Vec<(EdgeId, Place)> {
    let piece = view.piece;
    let mut starts: Vec<(EdgeId, Place)> = Vec::new();
    starts.extend(view.place(top).map(|place| (top.edge, place)));
    for beside in [piece.previous(top.edge), piece.next(top.edge)] {
        if view.y(view.middle(beside)) < height && piece.edge(beside).finish == Finish::Seam {
            let middle = Amount::Length(named(piece.sewn_length(beside) / 2.0));
            let from = Place::OnEdge { edge: piece.edge(beside).name.clone(), along: middle, from: None };
            starts.push((beside, from));
        }
    }
    starts
}

/// Straight seams that leave half of a half piece on its fold, as much as the cloth holds: from the edge above, and from
/// those beside it, to the hem.
fn straight(site: &Site<'_>, view: UprightPiece<'_>) -> Vec<Move> {
    let Some(fold) = site.piece.fold() else { return Vec::new() };
    if site.seen != Seen::Body || !view.runs_along(fold) {
        return Vec::new();
    }
    let (left, right) = view.breadth();
    let off = |gives: f64| {
        let widest = gives / 2.0 - greatest_allowance(site.piece) - SEAM_ROOM;
        ((right - left) / 2.0).min(widest)
    };
    let mut offs: Vec<f64> = site.widths().into_iter().map(off).filter(|off| *off > 0.0).collect();
    offs.dedup();
    offs.into_iter().flat_map(|off| straight_at(site, view, fold, off)).collect()
}

/// The same so far beside the fold, mm.
fn straight_at(site: &Site<'_>, view: UprightPiece<'_>, fold: EdgeId, off: f64) -> Vec<Move> {
    let (left, right) = view.breadth();
    let on_fold = view.x(view.middle(fold));
    let x = if on_fold > f64::midpoint(left, right) { on_fold - off } else { on_fold + off };
    let Some(ends) = view.ends_along(x) else { return Vec::new() };
    let (top, bottom) = run_on(site, view, ends);
    let Some(to) = view.place(bottom) else { return Vec::new() };
    let (upper, lower) = view.length();
    let (name, edge_name) = (site.piece.name(), |id: EdgeId| &site.piece.edge(id).name);
    let seam = |(edge, from): (EdgeId, Place)| {
        let line = Line::Straight(vec![from, to.clone()]);
        let step = Split::of(name.clone(), line);
        let (from, to) = (edge_name(edge), edge_name(bottom.edge));
        let tale = format!("cut side panels off `{name}` from the {from} to the {to}");
        site.draft().does(step).map(|draft| site.made(ChangeKind::Princess, draft, tale))
    };
    starts(view, top, f64::midpoint(upper, lower)).into_iter().filter_map(seam).collect()
}

fn spoken(place: &Place) -> String {
    match place {
        Place::Tip(dart, _) => format!("tip of the {dart}"),
        other => other.to_string(),
    }
}
