//! Seams across the piece: yokes, waist seams.

use crate::pattern::{Finish, Line};
use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::{Lack, Site};
use crate::plan::view::UprightPiece;
use crate::recut::Split;
use crate::tolerance::LEAST_CUT_OFF;
use crate::units::Length;

/// Down to this share of its length a seam across a piece makes a yoke of the upper part.
const YOKE: f64 = 0.4;

/// Where a yoke is cut where no level is drawn: a sixth down, as across the shoulder blades.
const YOKE_AT: f64 = 1.0 / 6.0;

/// Seams along each level of the piece, and across it in the places that serve.
pub(super) fn across(site: &Site<'_>) -> Vec<Move> {
    let view = UprightPiece::of(site.piece);
    let (top, bottom) = view.length();
    let share = |y: f64| (y - top) / (bottom - top);
    let mut lines: Vec<(Line, f64, String)> = Vec::new();
    for level in &site.piece.levels {
        if let Some((a, b)) = level.stretches.first() {
            let at = share(f64::midpoint(view.y(*a), view.y(*b)));
            lines.push((Line::Level(level.name.clone()), at, format!("at the {}", level.name)));
        }
    }
    let mut shares = vec![YOKE_AT];
    if let Lack::Length { length, longest } = site.lack {
        let parts = (length / longest).ceil().max(2.0);
        shares.push(1.0 / parts);
    }
    for at in shares {
        lines.extend(line_at(view, top + at * (bottom - top)).map(|line| (line, at, "across".to_owned())));
    }
    // A piece that is only too wide is not made narrower by a seam across, save as a yoke, which can lie across the cloth.
    let serves = |kind: ChangeKind| match site.lack {
        Lack::Length { .. } => true,
        Lack::Width { .. } => kind == ChangeKind::Yoke,
    };
    let name = site.piece.name();
    let cut = |(line, at, tale): (Line, f64, String)| {
        let kind = if at <= YOKE { ChangeKind::Yoke } else { ChangeKind::Waist };
        let sensible = (LEAST_CUT_OFF..1.0 - LEAST_CUT_OFF).contains(&at) && serves(kind) && site.may(kind);
        let step = Split::of(name.clone(), line);
        let tale = match kind {
            ChangeKind::Yoke => format!("cut a yoke off `{name}` {tale}"),
            _ => format!("cut `{name}` in two {tale}"),
        };
        sensible.then(|| site.draft().does(step)).flatten().map(|draft| site.made(kind, draft, tale))
    };
    lines.into_iter().filter_map(cut).collect()
}

/// A line across the piece at a distance along its grain, from a place on an edge that is no fold.
fn line_at(view: UprightPiece<'_>, y: f64) -> Option<Line> {
    let (first, last) = view.ends_across(y)?;
    let on = if view.piece.edge(first.edge).finish == Finish::Fold { last } else { first };
    Some(Line::Across { below: Length::ZERO, place: view.place(on)? })
}
