//! Labels on a written piece, placed so that none lies over another, over a line it does not belong to, or outside the
//! piece. A label for which there is no room is left out; its element still bears the name.

use crate::curve::{Curve, Outline, Point, TurnedBox, Vec2, left_of};
use crate::pattern::{EdgeId, Finish, Piece};
use crate::tolerance::{LABELS_FOLLOW, STEEP_TEXT};

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SheetLabel {
    pub text: String,
    /// The middle of its base line.
    pub at: Point,
    /// Height of the font, mm.
    pub size: f64,
    /// By how much it is turned clockwise, degrees.
    pub turn: f64,
}

/// Width of a letter of a sans serif face, as a share of the font's height; capitals and `m` are wider, `i` narrower.
const LETTER: f64 = 0.56;

/// Rise of letters above the base line and fall below it, as shares of the font's height.
const RISE: f64 = 0.78;
const FALL: f64 = 0.24;

/// Least and greatest font height of a title, mm, and what share it is of the lesser side of its piece: a large piece is
/// looked at from further off.
const TITLE: (f64, f64, f64) = (3.0, 14.0, 1.0 / 14.0);

/// The same of the names of edges and levels.
const NAME: (f64, f64, f64) = (3.0, 6.0, 1.0 / 40.0);

/// Air around a label, mm.
const AIR: f64 = 1.2;

/// How many places across and down a piece are tried for its title.
const TRIES: i32 = 14;

/// The box around a line of text, with its air.
fn text_box(text: &str, base: Point, along: Vec2, size: f64) -> TurnedBox {
    let up = left_of(along);
    let half =
        Vec2::new(text.chars().count() as f64 * size * LETTER / 2.0 + AIR, size * (RISE + FALL) / 2.0 + AIR);
    TurnedBox { centre: base + up * (size * (RISE - FALL) / 2.0), along, half }
}

/// A font height for a piece.
fn font_size(piece: &Piece, (least, most, share): (f64, f64, f64)) -> f64 {
    let bounds = piece.bounds();
    (bounds.width().min(bounds.height()) * share).clamp(least, most)
}

/// What labels must keep clear of.
struct Taken<'a> {
    outline: &'a Outline,
    edges: Vec<(Point, Point)>,
    lines: Vec<(Point, Point)>,
    boxes: Vec<TurnedBox>,
}

impl Taken<'_> {
    fn is_free(&self, text: &TurnedBox) -> bool {
        self.boxes.iter().all(|other| text.clear_of(other))
            && !self.edges.iter().any(|line| text.is_met_by(*line))
            && !self.lines.iter().any(|line| text.is_met_by(*line))
            && self.outline.contains(text.centre)
    }
}

/// The direction of a way, or its reverse, in which a text is read from left to right, or upward.
pub(crate) fn readable(way: Vec2) -> Vec2 {
    let backward = way.x < -STEEP_TEXT || (way.x.abs() <= STEEP_TEXT && way.y > 0.0);
    if backward { -way } else { way }
}

fn chords(curve: &Curve) -> Vec<(Point, Point)> {
    curve.flattened(LABELS_FOLLOW).windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The labels of a piece: its title, its edges, its levels.
pub(super) fn labels(piece: &Piece) -> Vec<SheetLabel> {
    let mut lines: Vec<(Point, Point)> = Vec::new();
    lines.extend(piece.darts.iter().flat_map(|dart| dart.boundary()).flat_map(|side| chords(&side)));
    lines.extend(piece.levels.iter().flat_map(|level| level.stretches.iter().copied()));
    lines.extend(piece.style_lines.iter().flat_map(|style| chords(&style.curve)));
    lines.extend(piece.marks.iter().flat_map(|mark| &mark.lines).flat_map(chords));
    lines.extend(piece.grainline.iter().map(|grain| (grain.start, grain.end)));
    lines.extend(piece.points.iter().map(|point| {
        let reach = Vec2::new(point.radius * 2.0, 0.0);
        (point.at - reach, point.at + reach)
    }));
    let mut taken = Taken {
        outline: piece.outline(),
        edges: piece.edges().iter().flat_map(|edge| chords(&edge.curve)).collect(),
        lines,
        boxes: Vec::new(),
    };
    let mut labels = title(piece, &mut taken);
    let small = font_size(piece, NAME);
    for id in piece.edge_ids() {
        labels.extend(edge_label(piece, id, small, &mut taken));
    }
    for level in &piece.levels {
        labels.extend(level_label(level, small, &mut taken));
    }
    labels
}

/// The name, and what to cut, on two lines.
fn title(piece: &Piece, taken: &mut Taken) -> Vec<SheetLabel> {
    let on_fold = if piece.fold().is_some() { ", on the fold" } else { "" };
    let pair = piece.cut.twins == crate::pattern::Twins::Mirrored;
    let sides = if pair { ", left and right" } else { "" };
    let lines = [piece.name().to_string(), format!("cut {}{sides}, {}{on_fold}", piece.cut, piece.cloth)];
    let bounds = piece.bounds();
    let mut size = font_size(piece, TITLE);
    while size >= TITLE.0 * 0.75 {
        if let Some(labels) = title_of_size(&lines, size, bounds, taken) {
            return labels;
        }
        size *= 0.8;
    }
    Vec::new()
}

fn title_of_size(
    lines: &[String; 2],
    size: f64,
    bounds: kurbo::Rect,
    taken: &mut Taken,
) -> Option<Vec<SheetLabel>> {
    let mut places: Vec<Point> = (1..TRIES)
        .flat_map(|i| (1..TRIES).map(move |j| (f64::from(i), f64::from(j))))
        .map(|(i, j)| {
            let share = f64::from(TRIES);
            Point::new(bounds.x0 + bounds.width() * i / share, bounds.y0 + bounds.height() * j / share)
        })
        .collect();
    let wish = Point::new(bounds.center().x, bounds.y0 + bounds.height() * 0.45);
    places.sort_by(|a, b| a.distance(wish).total_cmp(&b.distance(wish)));
    let upright = Vec2::new(1.0, 0.0);
    let small = size * 0.6;
    for place in places {
        let second = place + Vec2::new(0.0, size * 0.95);
        let boxes = [text_box(&lines[0], place, upright, size), text_box(&lines[1], second, upright, small)];
        if boxes.iter().all(|text| taken.is_free(text)) {
            taken.boxes.extend(boxes);
            let label = |text: &String, at, size| SheetLabel { text: text.clone(), at, size, turn: 0.0 };
            return Some(vec![label(&lines[0], place, size), label(&lines[1], second, small)]);
        }
    }
    None
}

/// The name of an edge, inside along it.
fn edge_label(piece: &Piece, id: EdgeId, size: f64, taken: &mut Taken) -> Option<SheetLabel> {
    let edge = piece.edge(id);
    let finish = match edge.finish {
        Finish::Fold => "fold",
        Finish::Hem => "hem",
        Finish::Seam | Finish::Free => "",
    };
    let text = match edge.name.as_str() {
        name if name.contains(finish) => name.to_owned(),
        name => format!("{name} ({finish})"),
    };
    let length = edge.curve.length();
    for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88] {
        let at = length * share;
        let (on, way) = (edge.curve.point_at(at), edge.curve.tangent_at(at));
        let inward = -edge.curve.normal_outward(at);
        let along = readable(way);
        let up = left_of(along);
        for off in [AIR + 0.8, AIR + 2.5, AIR + 5.0] {
            let rise = if inward.dot(up) > 0.0 { off + FALL * size } else { off + RISE * size };
            let base = on + inward * rise;
            let around = text_box(&text, base, along, size);
            if taken.is_free(&around) {
                taken.boxes.push(around);
                let turn = along.y.atan2(along.x).to_degrees();
                return Some(SheetLabel { text, at: base, size, turn });
            }
        }
    }
    None
}

/// The name of a level, above it near its start.
fn level_label(level: &crate::pattern::Level, size: f64, taken: &mut Taken) -> Option<SheetLabel> {
    let (from, to) =
        *level.stretches.iter().max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
    let text = level.name.to_string();
    let way = (to - from).normalize();
    let along = if way.x < 0.0 { -way } else { way };
    let up = left_of(along);
    for share in [0.25, 0.75, 0.4, 0.6, 0.15, 0.85] {
        let base = from.lerp(to, share) + up * (AIR + 0.4 + FALL * size);
        let around = text_box(&text, base, along, size);
        if taken.is_free(&around) {
            taken.boxes.push(around);
            return Some(SheetLabel { text, at: base, size, turn: along.y.atan2(along.x).to_degrees() });
        }
    }
    None
}
