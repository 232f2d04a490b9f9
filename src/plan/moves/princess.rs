//! Princess seams: through a named point or the tip of a dart, from an upper edge to a lower one.

use crate::curve::Point;
use crate::pattern::{Amount, DartShape, EdgeId, Finish, Piece, Place, TipChoice};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::View;
use crate::recut::AddPrincessSeam;
use crate::tolerance::DART_NEAR_POINT;

/// Princess seams through each point of the piece that shapes it.
pub(super) fn princess(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::Princess) || !matches!(site.lack, Lack::Width { .. }) {
        return Vec::new();
    }
    let view = View::of(site.piece);
    points(site.piece).into_iter().flat_map(|(place, point)| through(site, view, &place, point)).collect()
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
fn through(site: &Site<'_>, view: View<'_>, place: &Place, point: Point) -> Vec<Move> {
    let Some((top, bottom)) = view.ends_along(view.x(point)) else { return Vec::new() };
    let Some(to) = view.place(bottom) else { return Vec::new() };
    let piece = site.piece;
    let mut starts: Vec<(EdgeId, Place)> = Vec::new();
    starts.extend(view.place(top).map(|place| (top.edge, place)));
    for beside in [piece.previous(top.edge), piece.next(top.edge)] {
        let above = view.y(view.middle(beside)) < view.y(point);
        if above && piece.edge(beside).finish == Finish::Seam && !piece.edge(beside).name.as_str().is_empty()
        {
            let middle = Amount::Length(crate::plan::view::named(piece.sewn_length(beside) / 2.0));
            let from = Place::OnEdge { edge: piece.edge(beside).name.clone(), along: middle, from: None };
            starts.push((beside, from));
        }
    }
    let seam = |(edge, from): (EdgeId, Place)| {
        let step = AddPrincessSeam {
            piece: piece.name().clone(),
            from,
            through: place.clone(),
            to: to.clone(),
            darts: None,
            ease: None,
            blend: None,
            names: None,
        };
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

fn spoken(place: &Place) -> String {
    match place {
        Place::Tip(dart, _) => format!("tip of the {dart}"),
        other => other.to_string(),
    }
}
