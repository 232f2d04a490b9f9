//! How wide panels are as they are cut, and whether fewer of them would do.

use retrue::allowance::SewingOrder;
use retrue::curve::{Point, Vec2};
use retrue::pattern::{Pattern, Piece};
use retrue::recut::{Notice, OpenCentre, Recut, SetEdge, Split, Step};

/// Halvings of a width down to less than a hundredth of a millimetre.
const HALVINGS: usize = 16;

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn applied(pattern: &Pattern, step: impl Into<Step>) -> Pattern {
    step.into().apply(pattern).unwrap().pattern
}

/// The width of a piece opened out, square to its grain, over points at the allowance outside of its edges.
pub fn cut_extent(piece: &Piece) -> f64 {
    let grain = piece.grain_or_down();
    let across = Vec2::new(grain.y, -grain.x);
    let beside = piece.edges().iter().flat_map(|edge| {
        (0..=400).map(move |i| {
            let at = edge.curve.length() * f64::from(i) / 400.0;
            let tangent = if i == 400 { edge.curve.end_tangent() } else { edge.curve.tangent_at(at) };
            let outward = Vec2::new(tangent.y, -tangent.x);
            edge.curve.point_at(at) + edge.cut_allowance().mm() * outward
        })
    });
    extent(piece, across, beside)
}

/// Whether the front can be cut in so many panels: each as wide as it may be as it is written, from the centre out, leaves
/// the least for the outermost, which is no panel where there is less between its allowances than in them. Cut by other
/// steps than the one that is asked.
pub fn fits_in(before: &Pattern, count: usize, width: f64) -> bool {
    let on_fold = piece(before, "front").fold().is_some();
    let (mut pattern, drawn) = match (on_fold, count % 2) {
        (true, 0) => {
            let open = OpenCentre::of("front".parse().unwrap());
            (applied(before, open), count / 2)
        }
        (true, _) => (before.clone(), count.div_ceil(2)),
        (false, _) => (before.clone(), count),
    };
    let mut rest = "front".to_owned();
    for number in 1..drawn {
        let (panel, next) = (format!("panel-{number}"), format!("rest-{number}"));
        let cut_at = |at: f64| {
            let step = Split {
                names: Some(format!("{panel}, {next}").parse().unwrap()),
                ..Split::of(rest.parse().unwrap(), format!("beside centre at {at:.6}mm").parse().unwrap())
            };
            Step::from(step).apply(&pattern).ok()
        };
        let (mut low, mut high) = (0.0, width);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            let fits = |recut: &Recut| written_extent(&recut.pattern, piece(&recut.pattern, &panel)) <= width;
            *(if cut_at(middle).is_some_and(|recut| fits(&recut)) { &mut low } else { &mut high }) = middle;
        }
        let Some(recut) = cut_at(low) else { return false };
        let new = recut.notices.iter().find_map(|told| match told {
            Notice::SeamMade { first, second, .. } => {
                [first, second].into_iter().find(|edge| edge.piece.as_str() == next).cloned()
            }
            _ => None,
        });
        let name = SetEdge { name: Some("centre".parse().unwrap()), ..SetEdge::of(new.unwrap()) };
        pattern = applied(&recut.pattern, name);
        rest = next;
    }
    let outermost = piece(&pattern, &rest);
    let most = outermost.edges().iter().map(|edge| edge.cut_allowance().mm()).fold(0.0, f64::max);
    written_extent(&pattern, outermost) <= width && sewn_extent(outermost) >= 2.0 * most
}

/// How far the seamlines reach square to the grain, a half piece opened out.
fn sewn_extent(piece: &Piece) -> f64 {
    let grain = piece.grain_or_down();
    let points = piece.edges().iter().flat_map(|edge| edge.curve.flattened(1e-3));
    extent(piece, Vec2::new(grain.y, -grain.x), points)
}

/// How far the written cutting line reaches square to the grain, a half piece opened out.
pub fn written_extent(pattern: &Pattern, piece: &Piece) -> f64 {
    let grain = piece.grain_or_down();
    let line = SewingOrder::of(pattern).cutting_line(piece).unwrap();
    let mut points = Vec::new();
    kurbo::flatten(&line.path, 1e-3, |element| points.extend(element.end_point()));
    extent(piece, Vec2::new(grain.y, -grain.x), points)
}

fn extent(piece: &Piece, across: Vec2, points: impl IntoIterator<Item = Point>) -> f64 {
    let fold = piece.fold().map(|id| piece.edge(id).curve.start().to_vec2().dot(across));
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in points {
        let place = point.to_vec2().dot(across);
        for place in [Some(place), fold.map(|fold| 2.0 * fold - place)].into_iter().flatten() {
            (low, high) = (low.min(place), high.max(place));
        }
    }
    high - low
}
