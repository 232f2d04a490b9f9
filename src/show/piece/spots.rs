//! Places on a piece where a text may be set, the one that is wished first.

use kurbo::Rect;

use crate::canvas::{LabelSpot, readable, spots_over};
use crate::curve::{Curve, Point, Vec2, left_of};
use crate::pattern::{Dart, Mark};
use crate::tolerance::OFF_SEAMLINE;

/// Where along its stretch an edge's text is tried, as shares from the middle.
pub(super) const SHARES: [f64; 11] = [0.0, -0.08, 0.08, -0.16, 0.16, -0.24, 0.24, -0.32, 0.32, -0.4, 0.4];

/// How far from its place the text of a mark is tried in the end, mm.
const FAR_FROM_MARK: f64 = 15.0;

/// Gaps between an edge and a text inside it, mm.
pub(super) const GAPS: [f64; 3] = [OFF_SEAMLINE + 0.1, 2.5, 5.0];

/// The most places across and down a piece that are tried for its title.
const TRIES: f64 = 26.0;

/// Beside a straight line, on either side.
pub(super) fn beside_line(from: Point, to: Point) -> Vec<LabelSpot> {
    let along = (to - from).normalize();
    let up = readable(along);
    let up = left_of(up);
    let shares = [0.25, 0.75, 0.4, 0.6, 0.15, 0.85, 0.08, 0.92];
    [up, -up]
        .into_iter()
        .flat_map(|away| {
            shares.map(|share| LabelSpot::Beside { on: from.lerp(to, share), away, gap: GAPS[0], along })
        })
        .collect()
}

/// Beside a curve, on either side.
pub(super) fn beside_curve(curve: &Curve) -> Vec<LabelSpot> {
    SHARES
        .iter()
        .map(|share| curve.length() * (0.5 + share))
        .flat_map(|at| {
            let (on, along) = (curve.point_at(at), curve.tangent_at(at));
            let away = left_of(along);
            [away, -away].map(|away| LabelSpot::Beside { on, away, gap: GAPS[0], along })
        })
        .collect()
}

/// Beside the longest line of a mark, or where its text stands and around that.
pub(super) fn mark_spots(mark: &Mark) -> Vec<LabelSpot> {
    let longest = mark.lines.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
    let mut spots = longest.map(beside_curve).unwrap_or_default();
    if let Some(at) = mark.anchor {
        spots.push(LabelSpot::Middle { at, along: Vec2::new(1.0, 0.0) });
        spots.extend(around_point(at, 0.0));
        spots.extend(around_point(at, FAR_FROM_MARK));
    }
    spots
}

/// Around a point, beside and then above and below.
pub(super) fn around_point(at: Point, radius: f64) -> Vec<LabelSpot> {
    let level = Vec2::new(1.0, 0.0);
    let slant = std::f64::consts::FRAC_1_SQRT_2;
    let ways = [
        (1.0, 0.0),
        (-1.0, 0.0),
        (slant, -slant),
        (slant, slant),
        (-slant, -slant),
        (-slant, slant),
        (0.0, -1.0),
        (0.0, 1.0),
    ];
    let gaps = [2.0, 4.0, 8.0];
    gaps.into_iter()
        .flat_map(|gap| {
            ways.map(|(x, y)| {
                let away = Vec2::new(x, y);
                LabelSpot::Beside { on: at + away * radius, away, gap, along: level }
            })
        })
        .collect()
}

/// Inside a dart along its axis, then beside its legs.
pub(super) fn dart_spots(dart: &Dart) -> Vec<LabelSpot> {
    let (first, second) = dart.legs();
    let halves = [0.3, 0.45, 0.6, 0.15].map(|share| {
        let (a, b) = (first.point_at(first.length() * share), second.point_at(second.length() * share));
        (a.midpoint(b), (first.end() - first.start().midpoint(second.start())).normalize())
    });
    let mut spots: Vec<LabelSpot> = Vec::new();
    let quarter = halves.iter().flat_map(|(at, along)| {
        let aside = (first.start() - second.start()) * 0.12;
        [*at, *at + aside, *at - aside].map(|at| LabelSpot::Middle { at, along: *along })
    });
    spots.extend(quarter);
    for (leg, other) in [(first, second), (second, first)] {
        for share in [0.5, 0.35, 0.65, 0.2, 0.8] {
            let at = leg.length() * share;
            let (on, along) = (leg.point_at(at), leg.tangent_at(at));
            let away = left_of(along);
            let facing = other.point_at(other.length() * share) - on;
            let away = if facing.dot(away) > 0.0 { -away } else { away };
            spots.extend(GAPS.map(|gap| LabelSpot::Beside { on, away, gap, along }));
        }
    }
    spots
}

/// Places all over a piece, the nearest to where a title is sought first; upright, then along the grain, then upward.
pub(super) fn title_spots(bounds: Rect, grain: Option<Vec2>) -> Vec<LabelSpot> {
    let steps = |length: f64| (length / 3.0).clamp(6.0, TRIES) as usize;
    let (across, down) = (steps(bounds.width()), steps(bounds.height()));
    let wish = Point::new(bounds.center().x, bounds.y0 + bounds.height() * 0.42);
    let upright = Vec2::new(1.0, 0.0);
    let directions: Vec<Vec2> =
        [Some(upright), grain, Some(Vec2::new(0.0, -1.0))].into_iter().flatten().collect();
    spots_over(bounds, (across, down), wish, &directions)
}
