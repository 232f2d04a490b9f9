//! A piece put together of two where that is not seen.

use crate::pattern::{Copy, EdgeId, Finish, Line, PieceName};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::moves::two_piece::cut_off;
use crate::plan::taste::Piecing;
use crate::plan::view::UprightPiece;
use crate::units::Length;

/// The widest strip, of the piece's width, that a seam beside it hides.
const HIDDEN_SHARE: f64 = 0.25;

/// The piece in two: anywhere where it is not seen, else a strip beside a seam to itself, as under the arm.
pub(super) fn pieced(site: &Site<'_>) -> Vec<Move> {
    let view = UprightPiece::of(site.piece);
    let name = site.piece.name();
    let lines: Vec<Line> = match (site.taste.piecing(&site.root, site.seen), site.lack) {
        (Piecing::Never, _) => Vec::new(),
        (Piecing::Anywhere, Lack::Length { length, longest }) => {
            let (top, bottom) = view.length();
            let parts = (length / longest).ceil().max(2.0);
            line_across(view, top + (bottom - top) / parts).into_iter().collect()
        }
        (Piecing::BesideSeam, Lack::Length { .. }) => Vec::new(),
        (how, Lack::Width { .. }) => {
            let (left, right) = view.breadth();
            let strip = site.must_give() - site.lack.over() * (1.0 - 1.0 / halves(site));
            if how == Piecing::BesideSeam && strip > HIDDEN_SHARE * (right - left) {
                return Vec::new();
            }
            let edges = site.piece.edge_ids().filter(|id| may_hide(site, view, *id, how));
            let at = |id: EdgeId| {
                let middle = view.x(view.middle(id));
                if middle > f64::midpoint(left, right) { right - strip } else { left + strip }
            };
            let mut places: Vec<f64> = edges.map(at).collect();
            places.sort_by(f64::total_cmp);
            places.dedup();
            places.into_iter().filter_map(|x| line_along(view, x)).collect()
        }
    };
    let cut = |line: Line| {
        let whole = name.as_str().strip_suffix("-main").and_then(|whole| whole.parse().ok());
        let whole: PieceName = whole.unwrap_or_else(|| name.clone());
        let names = [whole.with("main"), whole.with("piecing")];
        let tale = format!("piece `{name}` where it is not seen");
        let made = cut_off(site.draft(), name, &line, names);
        made.map(|(draft, ..)| site.made(ChangeKind::Piecing, draft, tale))
    };
    lines.into_iter().filter_map(cut).collect()
}

/// How often a strip cut off the drawn piece comes off the opened one.
fn halves(site: &Site<'_>) -> f64 {
    if site.piece.fold().is_some() { 2.0 } else { 1.0 }
}

/// Whether a strip along an edge is hidden: by a seam of the piece to itself, or since the piece is not seen.
fn may_hide(site: &Site<'_>, view: UprightPiece<'_>, id: EdgeId, how: Piecing) -> bool {
    let edge = site.piece.edge(id);
    if edge.finish == Finish::Fold || !view.runs_along(id) {
        return false;
    }
    if how == Piecing::Anywhere {
        return true;
    }
    let own = site.piece.edge_ref(id);
    let name = site.piece.name();
    let to_itself = |seam: &crate::pattern::Seam| {
        seam.edges().all(|run| run.edge.piece == *name && run.edge.copy == Copy::Drawn)
    };
    site.state.pattern.seams().iter().any(|seam| seam.side_of(&own).is_some() && to_itself(seam))
}

fn line_along(view: UprightPiece<'_>, x: f64) -> Option<Line> {
    let (top, bottom) = view.ends_along(x)?;
    Some(Line::Along { place: view.place(bottom).or_else(|| view.place(top))? })
}

fn line_across(view: UprightPiece<'_>, y: f64) -> Option<Line> {
    let (first, last) = view.ends_across(y)?;
    Some(Line::Across { below: Length::ZERO, place: view.place(first).or_else(|| view.place(last))? })
}
