//! Labels on a written piece, placed so that none lies over another, over a line it does not belong to, or outside the
//! piece. A label for which there is no room is left out; its element still bears the name.

use crate::curve::{Curve, Outline, Point, Vec2};
use crate::pattern::{EdgeId, Finish, Piece};

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
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

/// Least and greatest font height of a title, mm.
const TITLE: (f64, f64) = (3.0, 9.0);

/// Font height of the names of edges and levels, mm.
const SMALL: f64 = 3.6;

/// Air around a label, mm.
const AIR: f64 = 1.2;

/// How many places across and down a piece are tried for its title.
const TRIES: i32 = 14;

/// A box that may be turned.
#[derive(Clone, Copy)]
struct TextBox {
    centre: Point,
    along: Vec2,
    half: Vec2,
}

impl TextBox {
    fn of(text: &str, base: Point, along: Vec2, size: f64) -> TextBox {
        let up = Vec2::new(along.y, -along.x);
        let half = Vec2::new(
            text.chars().count() as f64 * size * LETTER / 2.0 + AIR,
            size * (RISE + FALL) / 2.0 + AIR,
        );
        TextBox { centre: base + up * (size * (RISE - FALL) / 2.0), along, half }
    }

    fn corners(&self) -> [Point; 4] {
        let (along, up) = (self.along * self.half.x, Vec2::new(self.along.y, -self.along.x) * self.half.y);
        let c = self.centre;
        [c - along - up, c + along - up, c + along + up, c - along + up]
    }

    /// Whether two boxes have nothing in common: some side of one parts them.
    fn clear_of(&self, other: &TextBox) -> bool {
        let axes = [self, other].into_iter().flat_map(|b| [b.along, Vec2::new(b.along.y, -b.along.x)]);
        let span = |b: &TextBox, axis: Vec2| {
            let at = b.corners().map(|corner| corner.to_vec2().dot(axis));
            (
                at.iter().copied().fold(f64::INFINITY, f64::min),
                at.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        axes.into_iter().any(|axis| {
            let (a, b) = (span(self, axis), span(other, axis));
            a.1 < b.0 || b.1 < a.0
        })
    }

    /// Whether a straight line passes through the box.
    fn is_crossed_by(&self, (from, to): (Point, Point)) -> bool {
        let up = Vec2::new(self.along.y, -self.along.x);
        let local = |p: Point| ((p - self.centre).dot(self.along), (p - self.centre).dot(up));
        let ((x0, y0), (x1, y1)) = (local(from), local(to));
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for (start, step, half) in [(x0, x1 - x0, self.half.x), (y0, y1 - y0, self.half.y)] {
            if step.abs() < f64::EPSILON {
                if start.abs() > half {
                    return false;
                }
                continue;
            }
            let (a, b) = ((-half - start) / step, (half - start) / step);
            low = low.max(a.min(b));
            high = high.min(a.max(b));
        }
        low <= high
    }
}

/// What labels must keep clear of.
struct Taken<'a> {
    outline: &'a Outline,
    edges: Vec<(Point, Point)>,
    lines: Vec<(Point, Point)>,
    boxes: Vec<TextBox>,
}

impl Taken<'_> {
    fn is_free(&self, text: &TextBox) -> bool {
        self.boxes.iter().all(|other| text.clear_of(other))
            && !self.edges.iter().any(|line| text.is_crossed_by(*line))
            && !self.lines.iter().any(|line| text.is_crossed_by(*line))
            && self.outline.contains(text.centre)
    }
}

/// How finely lines are followed when labels keep clear of them, mm.
const FOLLOWED: f64 = 0.3;

fn chords(curve: &Curve) -> Vec<(Point, Point)> {
    curve.flattened(FOLLOWED).windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The labels of a piece: its title, its edges, its levels.
pub(super) fn labels(piece: &Piece) -> Vec<Label> {
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
    for id in piece.edge_ids() {
        labels.extend(edge_label(piece, id, &mut taken));
    }
    for level in &piece.levels {
        labels.extend(level_label(level, &mut taken));
    }
    labels
}

/// The name, and what to cut, on two lines.
fn title(piece: &Piece, taken: &mut Taken) -> Vec<Label> {
    let on_fold = if piece.fold().is_some() { ", on the fold" } else { "" };
    let pair = piece.cut.twins == crate::pattern::Twins::Mirrored;
    let sides = if pair { ", left and right" } else { "" };
    let lines = [piece.name().to_string(), format!("cut {}{sides}, {}{on_fold}", piece.cut, piece.cloth)];
    let bounds = piece.bounds();
    let mut size = (bounds.width().min(bounds.height()) / 12.0).clamp(TITLE.0, TITLE.1);
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
) -> Option<Vec<Label>> {
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
        let boxes =
            [TextBox::of(&lines[0], place, upright, size), TextBox::of(&lines[1], second, upright, small)];
        if boxes.iter().all(|text| taken.is_free(text)) {
            taken.boxes.extend(boxes);
            let label = |text: &String, at, size| Label { text: text.clone(), at, size, turn: 0.0 };
            return Some(vec![label(&lines[0], place, size), label(&lines[1], second, small)]);
        }
    }
    None
}

/// The name of an edge, inside along it.
fn edge_label(piece: &Piece, id: EdgeId, taken: &mut Taken) -> Option<Label> {
    let edge = piece.edge(id);
    let text = match edge.finish {
        Finish::Fold => format!("{} (fold)", edge.name),
        Finish::Hem => format!("{} (hem)", edge.name),
        Finish::Seam | Finish::Free => edge.name.to_string(),
    };
    let length = edge.curve.length();
    for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88] {
        let at = length * share;
        let (on, way) = (edge.curve.point_at(at), edge.curve.tangent_at(at));
        let inward = -edge.curve.normal_outward(at);
        let upside_down = way.x < -1e-9 || (way.x.abs() <= 1e-9 && way.y > 0.0);
        let along = if upside_down { -way } else { way };
        let up = Vec2::new(along.y, -along.x);
        for off in [AIR + 0.8, AIR + 2.5, AIR + 5.0] {
            let rise = if inward.dot(up) > 0.0 { off + FALL * SMALL } else { off + RISE * SMALL };
            let base = on + inward * rise;
            let text_box = TextBox::of(&text, base, along, SMALL);
            if taken.is_free(&text_box) {
                taken.boxes.push(text_box);
                let turn = along.y.atan2(along.x).to_degrees();
                return Some(Label { text, at: base, size: SMALL, turn });
            }
        }
    }
    None
}

/// The name of a level, above it near its start.
fn level_label(level: &crate::pattern::Level, taken: &mut Taken) -> Option<Label> {
    let (from, to) =
        *level.stretches.iter().max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
    let text = level.name.to_string();
    let way = (to - from).normalize();
    let along = if way.x < 0.0 { -way } else { way };
    let up = Vec2::new(along.y, -along.x);
    for share in [0.25, 0.75, 0.4, 0.6, 0.15, 0.85] {
        let base = from.lerp(to, share) + up * (AIR + 0.4 + FALL * SMALL);
        let text_box = TextBox::of(&text, base, along, SMALL);
        if taken.is_free(&text_box) {
            taken.boxes.push(text_box);
            return Some(Label { text, at: base, size: SMALL, turn: along.y.atan2(along.x).to_degrees() });
        }
    }
    None
}
