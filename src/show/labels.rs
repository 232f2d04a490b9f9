//! Where labels go: never over a line, over another label, or out of what they belong to.

use kurbo::{Affine, BezPath, PathEl, Rect};

use crate::canvas::shortened;
use crate::curve::{Point, TurnedBox, Vec2, right_of};
use crate::show::drawing::{Label, Layer, Tone, bounds_of};

/// Air between a label and a line, mm: half the thickest line, and as much again.
pub(super) const AIR: f64 = 0.7;

/// How finely lines are followed when labels on paper keep clear of them, mm: well within the air.
const FOLLOWED: f64 = 0.1;

/// Side of the squares by which lines near a label on paper are found, mm.
const SQUARE: f64 = 12.0;

/// Width of the strip that a line to a label needs, mm.
const LEADER: f64 = 0.4;

/// Height of a line of text with the gap to the next, as a multiple of the font's height.
const LEADING: f64 = 1.15;

/// A line of text, and its height as a multiple of that of its block.
pub(super) type TextLine = (String, f64);

/// Where a block of lines may stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum LabelSpot {
    /// With its middle here.
    Middle { at: Point, along: Vec2 },
    /// Off a place, in a direction of length one, with a gap between.
    Beside { on: Point, away: Vec2, gap: f64, along: Vec2 },
}

impl LabelSpot {
    /// The spot after a motion, which may mirror.
    pub(super) fn moved(self, motion: Affine) -> LabelSpot {
        let vector = |v: Vec2| motion * v.to_point() - motion * Point::ORIGIN;
        match self {
            LabelSpot::Middle { at, along } => LabelSpot::Middle { at: motion * at, along: vector(along) },
            LabelSpot::Beside { on, away, gap, along } => {
                LabelSpot::Beside { on: motion * on, away: vector(away), gap, along: vector(along) }
            }
        }
    }

    /// The spot with a gap so many times as wide.
    fn magnified(self, by: f64) -> LabelSpot {
        match self {
            LabelSpot::Beside { on, away, gap, along } => {
                LabelSpot::Beside { on, away, gap: gap * by, along }
            }
            middle @ LabelSpot::Middle { .. } => middle,
        }
    }

    fn along(self) -> Vec2 {
        let (LabelSpot::Middle { along, .. } | LabelSpot::Beside { along, .. }) = self;
        readable(along)
    }

    fn middle(self, width: f64, height: f64) -> Point {
        match self {
            LabelSpot::Middle { at, .. } => at,
            LabelSpot::Beside { on, away, gap, along } => {
                let reach = (away.dot(along).abs() * width + away.cross(along).abs() * height) / 2.0;
                on + away * (gap + reach)
            }
        }
    }
}

/// The direction or its opposite, so that a text reads from left to right, or upward where it is steep.
pub(super) fn readable(along: Vec2) -> Vec2 {
    /// The sine of the angle to the upright up to which a text reads upward though it leans to the left: 15°.
    const STEEP: f64 = 0.259;
    let length = along.hypot();
    let steep = along.x.abs() <= STEEP * length;
    let upside_down = if steep { along.y > 0.0 } else { along.x < 0.0 };
    if upside_down { -along } else { along }
}

/// A text broken into lines of nearly equal length.
pub(super) fn broken(text: &str, lines: usize) -> Vec<TextLine> {
    let words: Vec<&str> = text.split(' ').collect();
    let total = text.chars().count();
    let mut broken = vec![String::new()];
    let mut before = 0;
    for word in words {
        let length = word.chars().count();
        let share = (before + length / 2) * lines / total.max(1);
        if share >= broken.len() && broken.last().is_some_and(|line| !line.is_empty()) {
            broken.push(String::new());
        }
        if let Some(line) = broken.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        before += length + 1;
    }
    broken.into_iter().map(|line| (line, 1.0)).collect()
}

/// The labels of a block of lines around a middle.
pub(super) fn block(lines: &[TextLine], spot: LabelSpot, size: f64) -> Vec<Label> {
    let heights: Vec<f64> = lines.iter().map(|(_, share)| share * size * LEADING).collect();
    let height = height_of(lines, size);
    let along = spot.along();
    let mut labels: Vec<Label> = lines
        .iter()
        .map(|(text, share)| Label {
            text: shortened(text).into_owned(),
            at: Point::ORIGIN,
            along,
            size: size * share,
            tone: Tone::Black,
            layer: Layer::Labels,
        })
        .collect();
    let width = labels.iter().map(Label::width).fold(0.0, f64::max);
    let middle = spot.middle(width, height);
    let down = right_of(along);
    let mut top = -height / 2.0;
    for (label, tall) in labels.iter_mut().zip(&heights) {
        label.at = Label::base_of(middle + down * (top + tall / 2.0), along, label.size);
        top += tall;
    }
    labels
}

/// The boxes around the lines of a block, measured once for all the places where it is tried.
struct Block {
    along: Vec2,
    width: f64,
    height: f64,
    /// Around the origin.
    texts: Vec<TurnedBox>,
}

impl Block {
    fn of(lines: &[TextLine], along: Vec2, size: f64, air: f64) -> Block {
        let labels = block(lines, LabelSpot::Middle { at: Point::ORIGIN, along }, size);
        Block {
            along,
            width: labels.iter().map(Label::width).fold(0.0, f64::max),
            height: height_of(lines, size),
            texts: labels.iter().map(|label| around(label, air)).collect(),
        }
    }

    fn at(&self, middle: Point) -> impl Iterator<Item = TurnedBox> + '_ {
        self.texts.iter().map(move |text| TurnedBox { centre: text.centre + middle.to_vec2(), ..*text })
    }
}

fn height_of(lines: &[TextLine], size: f64) -> f64 {
    lines.iter().map(|(_, share)| share * size * LEADING).sum()
}

/// What labels keep clear of, and what they must stay in.
pub(super) struct LabelRoom {
    /// Closed loops; a label stands in one of them.
    inside: Vec<Vec<Point>>,
    lines: Lines,
    boxes: Vec<TurnedBox>,
    /// Air around labels, mm.
    air: f64,
    magnified: f64,
}

impl LabelRoom {
    /// The room within closed paths for labels magnified so many times.
    pub(super) fn within(paths: &[BezPath], magnified: f64) -> LabelRoom {
        let inside: Vec<Vec<Point>> =
            paths.iter().map(|path| points_within(path, FOLLOWED * magnified)).collect();
        let bounds = bounds_of(inside.iter().flatten().copied());
        let lines = Lines::over(bounds, SQUARE * magnified);
        LabelRoom { inside, lines, boxes: Vec::new(), air: AIR * magnified, magnified }
    }

    /// Keeps labels clear of a path.
    pub(super) fn block_path(&mut self, path: &BezPath) {
        for line in chords_within(path, FOLLOWED * self.magnified) {
            self.lines.add(line);
        }
    }

    /// Keeps labels clear of a label.
    pub(super) fn block_label(&mut self, label: &Label) {
        self.boxes.push(around(label, self.air));
    }

    /// Whether texts have room.
    fn is_free(&self, mut texts: impl Iterator<Item = TurnedBox>) -> bool {
        texts.all(|text| {
            self.boxes.iter().all(|other| text.clear_of(other))
                && !self.lines.any_near(text.bounds(), |line| text.is_met_by(line))
                && self.holds(text.centre)
        })
    }

    /// Whether labels, and a line to them, have room outside.
    pub(super) fn is_free_outside(&self, labels: &[Label], leader: (Point, Point)) -> bool {
        let clear = |text: &TurnedBox| {
            !text.corners().into_iter().any(|corner| self.holds(corner))
                && self.boxes.iter().all(|other| text.clear_of(other))
                && !self.lines.any_near(text.bounds(), |line| text.is_met_by(line))
        };
        let along = leader.1 - leader.0;
        let strip = TurnedBox {
            centre: leader.0.midpoint(leader.1),
            along: along.normalize(),
            half: Vec2::new(along.hypot() / 2.0, LEADER / 2.0),
        };
        clear(&strip) && labels.iter().all(|label| clear(&around(label, self.air)))
    }

    fn holds(&self, point: Point) -> bool {
        self.inside.iter().any(|ring| holds(ring, point))
    }

    /// Sets the first of the blocks that has room: larger before smaller, then fewer lines before more.
    pub(super) fn set(
        &mut self,
        settings: &[Vec<TextLine>],
        sizes: &[f64],
        spots: &[LabelSpot],
    ) -> Option<Vec<Label>> {
        self.set_with_air(settings, sizes, spots, self.air)
    }

    /// The same with another air than is usual, mm.
    pub(super) fn set_with_air(
        &mut self,
        settings: &[Vec<TextLine>],
        sizes: &[f64],
        spots: &[LabelSpot],
        air: f64,
    ) -> Option<Vec<Label>> {
        for size in sizes {
            for lines in settings {
                let mut set = Block::of(lines, Vec2::new(1.0, 0.0), *size, air);
                for spot in spots {
                    let spot = spot.magnified(self.magnified);
                    if spot.along() != set.along {
                        set = Block::of(lines, spot.along(), *size, air);
                    }
                    let middle = spot.middle(set.width, set.height);
                    if self.is_free(set.at(middle)) {
                        let labels = block(lines, spot, *size);
                        labels.iter().for_each(|label| self.block_label(label));
                        return Some(labels);
                    }
                }
            }
        }
        None
    }
}

/// The box around a label's letters, with air.
pub(super) fn around(label: &Label, air: f64) -> TurnedBox {
    let [a, _, c, _] = label.corners();
    let half = Vec2::new(label.width() / 2.0 + air, Label::height_of(label.size) / 2.0 + air);
    TurnedBox { centre: a.midpoint(c), along: label.along, half }
}

/// Whether a ring of points encloses a point: a ray from it crosses the ring an odd number of times.
pub(super) fn holds(ring: &[Point], point: Point) -> bool {
    let next = |i: usize| ring[(i + 1) % ring.len()];
    let crossed = ring.iter().enumerate().filter(|(i, a)| {
        let b = next(*i);
        (a.y > point.y) != (b.y > point.y) && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x
    });
    crossed.count() % 2 == 1
}

/// The points of a path followed finely.
pub(super) fn points(path: &BezPath) -> Vec<Point> {
    points_within(path, FOLLOWED)
}

fn points_within(path: &BezPath, followed: f64) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path, followed, |element| match element {
        PathEl::MoveTo(point) | PathEl::LineTo(point) => points.push(point),
        _ => {}
    });
    points
}

/// The straight lines of a path followed finely.
pub(super) fn chords(path: &BezPath) -> Vec<(Point, Point)> {
    chords_within(path, FOLLOWED)
}

fn chords_within(path: &BezPath, followed: f64) -> Vec<(Point, Point)> {
    let mut chords = Vec::new();
    let (mut start, mut last) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(path, followed, |element| match element {
        PathEl::MoveTo(point) => (start, last) = (point, point),
        PathEl::LineTo(point) => {
            chords.push((last, point));
            last = point;
        }
        PathEl::ClosePath => {
            chords.push((last, start));
            last = start;
        }
        _ => {}
    });
    chords
}

/// Straight lines, found by the squares of a net that they pass.
struct Lines {
    /// Side of the squares, mm.
    square: f64,
    origin: Point,
    across: usize,
    down: usize,
    squares: Vec<Vec<u32>>,
    lines: Vec<(Point, Point)>,
}

impl Lines {
    fn over(bounds: Rect, square: f64) -> Lines {
        let count = |length: f64| (length / square).ceil().clamp(1.0, 512.0) as usize;
        let (across, down) = (count(bounds.width()), count(bounds.height()));
        Lines {
            square,
            origin: bounds.origin(),
            across,
            down,
            squares: vec![Vec::new(); across * down],
            lines: Vec::new(),
        }
    }

    /// The columns and rows that a box touches; what lies beyond the net counts to its border.
    fn touched(&self, bounds: Rect) -> impl Iterator<Item = usize> + use<> {
        let place = |at: f64, count: usize| ((at / self.square).max(0.0) as usize).min(count - 1);
        let (x, y, across) = (self.origin.x, self.origin.y, self.across);
        let columns = place(bounds.x0 - x, self.across)..=place(bounds.x1 - x, self.across);
        let rows = place(bounds.y0 - y, self.down)..=place(bounds.y1 - y, self.down);
        rows.flat_map(move |row| columns.clone().map(move |column| row * across + column))
    }

    fn add(&mut self, line: (Point, Point)) {
        let number = self.lines.len() as u32;
        self.lines.push(line);
        for square in self.touched(Rect::from_points(line.0, line.1)) {
            self.squares[square].push(number);
        }
    }

    fn any_near(&self, bounds: Rect, is: impl Fn((Point, Point)) -> bool) -> bool {
        self.touched(bounds)
            .any(|square| self.squares[square].iter().any(|number| is(self.lines[*number as usize])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_broken_between_words_into_lines_of_nearly_equal_length() {
        let lines =
            |text: &str, count| broken(text, count).into_iter().map(|(line, _)| line).collect::<Vec<_>>();
        assert_eq!(lines("side, sewn to back.side, 15 mm", 2), ["side, sewn to", "back.side, 15 mm"]);
        assert_eq!(lines("one", 3), ["one"]);
    }

    #[test]
    fn texts_read_from_left_to_right_and_steep_ones_upward() {
        let reads = |degrees: f64| {
            let (y, x) = degrees.to_radians().sin_cos();
            let read = readable(Vec2::new(x, y));
            read.y.atan2(read.x).to_degrees().round()
        };
        let turned = [0.0, 60.0, 80.0, 90.0, 100.0, 120.0, 179.0, -80.0, -91.0].map(reads);
        assert_eq!(turned, [0.0, 60.0, -100.0, -90.0, -80.0, -60.0, -1.0, -80.0, -91.0]);
    }

    #[test]
    fn a_label_finds_the_only_gap_between_lines() {
        let frame = crate::show::drawing::polygon(&[
            Point::new(0.0, 0.0),
            Point::new(60.0, 0.0),
            Point::new(60.0, 40.0),
            Point::new(0.0, 40.0),
        ]);
        let mut room = LabelRoom::within(std::slice::from_ref(&frame), 1.0);
        room.block_path(&frame);
        for y in [5.0, 10.0, 30.0, 35.0] {
            room.block_path(&crate::show::drawing::straight(Point::new(0.0, y), Point::new(60.0, y)));
        }
        let spots: Vec<LabelSpot> = (1..40)
            .map(|y| LabelSpot::Middle { at: Point::new(30.0, f64::from(y)), along: Vec2::new(1.0, 0.0) })
            .collect();
        let set = room.set(&[vec![("gap".to_owned(), 1.0)]], &[8.0], &spots).unwrap();
        assert!((12.0..28.0).contains(&set[0].at.y), "{set:?}");
        assert!(room.set(&[vec![("gap".to_owned(), 1.0)]], &[18.0], &spots).is_none());
    }
}
