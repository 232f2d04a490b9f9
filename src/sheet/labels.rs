//! Labels on a written piece, placed so that none lies over another, over a line it does not belong to, or outside the
//! piece. A label for which there is no room is left out; its element still bears the name.

use kurbo::{BezPath, Rect};

use crate::canvas::{Label, LabelRoom, LabelSpot, TextLine, places_over, readable, straight};
use crate::curve::{Point, Vec2, left_of, right_of};
use crate::pattern::{Edge, EdgeId, Finish, Level, Piece};

/// Least and greatest font height of a title, mm, and what share it is of the lesser side of its piece: a large piece is
/// looked at from further off.
const TITLE: (f64, f64, f64) = (3.0, 14.0, 1.0 / 14.0);

/// The same of the names of edges and levels.
const NAME: (f64, f64, f64) = (3.0, 6.0, 1.0 / 40.0);

/// How small a title may become, as a share of its least height; by how much it is made smaller; the height of its second
/// line as a share of that of the first.
const LEAST_TITLE: f64 = 0.75;
const SMALLER: f64 = 0.8;
const SECOND: f64 = 0.6;

/// Air around a label, mm; that which is wished around a title as long as it may be so large, as a share of its height.
const AIR: f64 = 1.2;
const TITLE_AIR: (f64, f64) = (4.0, 0.6);

/// How many places across and down a piece are tried for its title.
const TRIES: usize = 20;

/// Gaps between an edge and its name, and between a level and its name, mm.
const BESIDE_EDGE: [f64; 3] = [2.0, 3.7, 6.2];
const ABOVE_LEVEL: f64 = 1.6;

/// The labels of a piece: its title, its edges, its levels.
pub(super) fn labels(piece: &Piece) -> Vec<Label> {
    let mut room = LabelRoom::within(&[piece.outline().to_path()], 1.0);
    piece.edges().iter().for_each(|edge| room.block_path(&edge.curve.to_path()));
    lines(piece).iter().for_each(|line| room.block_path(line));
    let small = font_size(piece.bounds(), NAME);
    let mut labels = title(piece, &mut room);
    for id in piece.edge_ids() {
        labels.extend(name(&mut room, edge_text(piece.edge(id)), small, beside_edge(piece, id)));
    }
    for level in &piece.levels {
        labels.extend(name(&mut room, level.name.to_string(), small, above_level(level).into_iter()));
    }
    labels
}

/// What the labels of a piece may say, each line by itself.
pub(super) struct LabelTexts {
    /// What to cut.
    pub cut: String,
    /// The names of the piece, its edges and its levels.
    pub names: Vec<String>,
}

impl LabelTexts {
    pub(super) fn of(piece: &Piece) -> LabelTexts {
        let edges = piece.edges().iter().map(edge_text);
        let levels = piece.levels.iter().map(|level| level.name.to_string());
        let names = std::iter::once(piece.name().to_string()).chain(edges).chain(levels);
        LabelTexts { cut: cut_text(piece), names: names.collect() }
    }
}

/// What to cut, and how often.
fn cut_text(piece: &Piece) -> String {
    if !piece.is_cut() {
        return NOT_CUT.to_owned();
    }
    let copies = format!("{CUT}{}", piece.cut.copies);
    let hands = piece.cut.hands().map(str::to_owned);
    let on_fold = piece.fold().map(|_| "on the fold".to_owned());
    let parts = [Some(copies), hands, Some(piece.cloth.to_string()), on_fold];
    parts.into_iter().flatten().collect::<Vec<_>>().join(PARTS)
}

/// How the line begins that says what to cut, and what it says of a piece that is not.
pub(super) const CUT: &str = "cut ";
pub(super) const NOT_CUT: &str = "not cut";

/// Between the parts of what it says.
pub(super) const PARTS: &str = ", ";

/// What labels keep clear of besides the edges.
fn lines(piece: &Piece) -> Vec<BezPath> {
    let mut lines: Vec<BezPath> = Vec::new();
    lines.extend(piece.darts.iter().flat_map(|dart| dart.boundary()).map(|side| side.to_path()));
    let stretches = piece.levels.iter().flat_map(|level| &level.stretches);
    lines.extend(stretches.map(|(from, to)| straight(*from, *to)));
    lines.extend(piece.style_lines.iter().map(|style| style.curve.to_path()));
    lines.extend(piece.marks.iter().flat_map(|mark| &mark.lines).map(|line| line.to_path()));
    lines.extend(piece.grainline.iter().map(|grain| straight(grain.start, grain.end)));
    lines.extend(piece.points.iter().map(|point| {
        let reach = Vec2::new(point.radius * 2.0, 0.0);
        straight(point.at - reach, point.at + reach)
    }));
    lines
}

/// A font height for a piece.
fn font_size(bounds: Rect, (least, most, share): (f64, f64, f64)) -> f64 {
    (bounds.width().min(bounds.height()) * share).clamp(least, most)
}

/// The name, and what to cut, on two lines.
fn title(piece: &Piece, room: &mut LabelRoom) -> Vec<Label> {
    let lines: Vec<TextLine> = vec![(piece.name().to_string(), 1.0), (cut_text(piece), SECOND)];
    let bounds = piece.bounds();
    let first = font_size(bounds, TITLE);
    let sizes = std::iter::successors(Some(first), |size| Some(size * SMALLER));
    let sizes: Vec<f64> = sizes.take_while(|size| *size >= TITLE.0 * LEAST_TITLE).collect();
    let wish = Point::new(bounds.center().x, bounds.y0 + bounds.height() * 0.45);
    let spots = places_over(bounds, (TRIES, TRIES), wish)
        .map(|at| LabelSpot::Middle { at, along: Vec2::new(1.0, 0.0) });
    let lines = [lines];
    let large: Vec<f64> = sizes.iter().copied().filter(|size| *size >= first * TITLE_AIR.1).collect();
    let airy = room.set_with_air(&lines, &large, spots.clone(), TITLE_AIR.0);
    airy.or_else(|| room.set_with_air(&lines, &sizes, spots, AIR)).unwrap_or_default()
}

fn name(
    room: &mut LabelRoom,
    text: String,
    size: f64,
    spots: impl Iterator<Item = LabelSpot> + Clone,
) -> Vec<Label> {
    room.set_with_air(&[vec![(text, 1.0)]], &[size], spots, AIR).unwrap_or_default()
}

fn edge_text(edge: &Edge) -> String {
    let finish = match edge.finish {
        Finish::Fold => "fold",
        Finish::Hem => "hem",
        Finish::Seam | Finish::Free => "",
    };
    match edge.name.as_str() {
        name if name.contains(finish) => name.to_owned(),
        name => format!("{name} ({finish})"),
    }
}

/// Inside along an edge.
fn beside_edge(piece: &Piece, id: EdgeId) -> impl Iterator<Item = LabelSpot> + Clone + '_ {
    let curve = &piece.edge(id).curve;
    let length = curve.length();
    let places = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88].into_iter().map(move |share| length * share);
    places.flat_map(|at| {
        let met = curve.met_at(at);
        let (on, along, away) = (met.point, right_of(met.outward), -met.outward);
        BESIDE_EDGE.map(|gap| LabelSpot::Beside { on, away, gap, along })
    })
}

/// Above the longest stretch of a level near its start.
fn above_level(level: &Level) -> Vec<LabelSpot> {
    let longest = level.stretches.iter().max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
    let Some((from, to)) = longest else { return Vec::new() };
    let along = readable((*to - *from).normalize());
    let away = left_of(along);
    let spots = [0.25, 0.75, 0.4, 0.6, 0.15, 0.85].map(|share| LabelSpot::Beside {
        on: from.lerp(*to, share),
        away,
        gap: ABOVE_LEVEL,
        along,
    });
    spots.to_vec()
}
