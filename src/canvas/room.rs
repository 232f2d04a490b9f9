//! Where labels have room: never over a line, over another label, or out of what they belong to.

use kurbo::{BezPath, Line, ParamCurveNearest, Rect};

use crate::canvas::labels::TextBlock;
use crate::canvas::{AIR, Label, LabelSpot, TextLine, around, block, bounds_of, chords, holds, points};
use crate::curve::{Point, TurnedBox, Vec2};
use crate::tolerance::{LABELS_FOLLOW, OFF_SEAMLINE};

/// Side of the squares by which lines near a label on paper are found, mm.
const SQUARE: f64 = 12.0;

/// How many times as wide the squares are by which labels are found: there are far fewer of them.
const LABEL_SQUARE: f64 = 4.0;

/// Width of the strip that a line to a label needs, mm.
const LEADER: f64 = 0.4;

/// What labels keep clear of, and what they must stay in.
pub(crate) struct LabelRoom {
    /// Closed loops; a label stands in one of them, or anywhere where there are none.
    inside: Vec<Vec<Point>>,
    lines: Net<(Point, Point)>,
    /// Seamlines, from which labels keep further off.
    seamlines: Net<(Point, Point)>,
    /// Where the paper is put together.
    joins: Vec<(Point, Point)>,
    boxes: Net<TurnedBox>,
    /// Air around labels, mm.
    air: f64,
    magnified: f64,
    /// How many more places are tried for labels that stand somewhere at all events.
    tries_left: usize,
}

/// How a label that stands somewhere at all events came to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stands {
    /// In a spot that was asked for.
    AsAsked,
    /// Somewhere else.
    Aside,
}

/// Whether a label may run over a line at which paper is put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum OverJoins {
    /// It stands whole on one side.
    Never,
    /// It may, where there is no room on either side.
    Allowed,
}

/// What a label would lie on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Under {
    Nothing,
    /// On so many lines.
    Lines(usize),
    /// On another label: neither could be read.
    Label,
}

impl LabelRoom {
    /// Places that are tried at most for all labels that stand somewhere at all events, a microsecond or two each.
    const MOST_TRIES: usize = 60_000;

    /// The room within closed paths for labels magnified so many times.
    pub(crate) fn within(paths: &[BezPath], magnified: f64) -> LabelRoom {
        let inside: Vec<Vec<Point>> = paths.iter().map(|path| points(path, magnified)).collect();
        let bounds = bounds_of(inside.iter().flatten().copied());
        LabelRoom { inside, ..LabelRoom::on(bounds, magnified) }
    }

    /// The room on a sheet of which this is the part with lines, for labels magnified so many times.
    pub(crate) fn on(sheet: Rect, magnified: f64) -> LabelRoom {
        let square = SQUARE * magnified;
        LabelRoom {
            inside: Vec::new(),
            lines: Net::over(sheet, square),
            seamlines: Net::over(sheet, square),
            joins: Vec::new(),
            boxes: Net::over(sheet, LABEL_SQUARE * square),
            air: AIR * magnified,
            magnified,
            tries_left: LabelRoom::MOST_TRIES,
        }
    }

    /// Keeps labels clear of a path.
    pub(crate) fn block_path(&mut self, path: &BezPath) {
        for line in chords(path, self.magnified) {
            self.lines.add(line, Rect::from_points(line.0, line.1));
        }
    }

    /// Keeps labels off a path that is stitched.
    pub(crate) fn block_seamline(&mut self, path: &BezPath) {
        for line in chords(path, self.magnified) {
            self.seamlines.add(line, Rect::from_points(line.0, line.1));
        }
    }

    /// Keeps labels on one side of a path where they have room.
    pub(crate) fn join_at(&mut self, path: &BezPath) {
        self.joins.extend(chords(path, self.magnified));
    }

    /// In which order labels are tried: whole on one side of each join first.
    pub(crate) fn over_joins(&self) -> &'static [OverJoins] {
        match self.joins.is_empty() {
            true => &[OverJoins::Allowed],
            false => &[OverJoins::Never, OverJoins::Allowed],
        }
    }

    /// Keeps labels clear of a label.
    pub(crate) fn block_label(&mut self, label: &Label) {
        let text = around(label, self.air);
        self.boxes.add(text, text.bounds());
    }

    /// Whether texts have room.
    fn is_free(&self, mut texts: impl Iterator<Item = TurnedBox>) -> bool {
        texts.all(|text| self.is_clear(&text) && (self.inside.is_empty() || self.holds(text.centre)))
    }

    /// Whether texts stand on one side of each join.
    fn is_whole(&self, mut texts: impl Iterator<Item = TurnedBox>) -> bool {
        texts.all(|text| !self.joins.iter().any(|line| text.is_met_by(*line)))
    }

    fn is_clear(&self, text: &TurnedBox) -> bool {
        let bounds = text.bounds();
        !self.boxes.near(bounds).any(|other| !text.clear_of(other))
            && !self.lines.near(bounds).any(|line| text.is_met_by(*line))
            && self.is_off_seamlines(text)
    }

    fn is_off_seamlines(&self, text: &TurnedBox) -> bool {
        let more = (OFF_SEAMLINE - AIR) * self.magnified;
        let wider = TurnedBox { half: text.half + Vec2::new(more, more), ..*text };
        !self.seamlines.near(wider.bounds()).any(|line| wider.is_met_by(*line))
    }

    /// Whether labels, and a line to them, have room outside.
    pub(crate) fn is_free_outside(&self, labels: &[Label], leader: (Point, Point)) -> bool {
        let clear = |text: &TurnedBox| {
            !text.corners().into_iter().any(|corner| self.holds(corner)) && self.is_clear(text)
        };
        clear(&strip(leader)) && labels.iter().all(|label| clear(&around(label, self.air)))
    }

    /// Whether a line to a label runs over no other.
    pub(crate) fn is_clear_of_labels(&self, leader: (Point, Point)) -> bool {
        let strip = strip(leader);
        self.boxes.near(strip.bounds()).all(|other| strip.clear_of(other))
    }

    /// Whether a place lies in one of the loops.
    pub(crate) fn holds(&self, point: Point) -> bool {
        self.inside.iter().any(|ring| holds(ring, point))
    }

    /// Whether any line passes so near to a place.
    pub(crate) fn is_line_within(&self, at: Point, reach: f64) -> bool {
        let about = Rect::from_center_size(at, (2.0 * reach, 2.0 * reach));
        self.lines
            .near(about)
            .any(|(a, b)| Line::new(*a, *b).nearest(at, LABELS_FOLLOW).distance_sq < reach * reach)
    }

    /// Sets the first of the blocks that has room: larger before smaller, then fewer lines before more.
    pub(crate) fn set(
        &mut self,
        settings: &[Vec<TextLine>],
        sizes: &[f64],
        spots: &[LabelSpot],
    ) -> Option<Vec<Label>> {
        let ways = self.over_joins().iter();
        let spots = spots.iter().copied();
        ways.copied().find_map(|over| self.set_over(settings, sizes, spots.clone(), (self.air, over)))
    }

    /// The same with another air than is usual, mm.
    pub(crate) fn set_with_air(
        &mut self,
        settings: &[Vec<TextLine>],
        sizes: &[f64],
        spots: impl Iterator<Item = LabelSpot> + Clone,
        air: f64,
    ) -> Option<Vec<Label>> {
        self.set_over(settings, sizes, spots, (air, OverJoins::Allowed))
    }

    /// The same in one way of standing at joins.
    pub(crate) fn set_over(
        &mut self,
        settings: &[Vec<TextLine>],
        sizes: &[f64],
        spots: impl Iterator<Item = LabelSpot> + Clone,
        (air, over): (f64, OverJoins),
    ) -> Option<Vec<Label>> {
        for size in sizes {
            for lines in settings {
                let mut set = TextBlock::of(lines, Vec2::new(1.0, 0.0), *size, air);
                for spot in spots.clone() {
                    let spot = spot.magnified(self.magnified);
                    if spot.along() != set.along {
                        set = TextBlock::of(lines, spot.along(), *size, air);
                    }
                    let middle = spot.middle(set.width, set.height);
                    let whole = over == OverJoins::Allowed || self.is_whole(set.at(middle));
                    if whole && self.is_free(set.at(middle)) {
                        let labels = block(lines, spot, *size);
                        labels.iter().for_each(|label| self.block_label(label));
                        return Some(labels);
                    }
                }
            }
        }
        None
    }

    /// Sets a line of text at all events: in the first spot that has room; else as near to a place as there is room, read
    /// from left to right; else where it lies on the fewest lines. It lies on another label only where there is no room
    /// about. The air around it is in mm.
    pub(crate) fn set_at_all_events(
        &mut self,
        line: TextLine,
        size: f64,
        spots: &[LabelSpot],
        near: Point,
        air: f64,
    ) -> (Label, Stands) {
        let lines = [line];
        let level = TextBlock::of(&lines, Vec2::new(1.0, 0.0), size, air);
        let asked = spots.iter().map(|spot| (spot.magnified(self.magnified), Stands::AsAsked));
        let aside = places_about(near, level.width, level.height);
        let aside = aside.map(|at| (LabelSpot::Middle { at, along: Vec2::new(1.0, 0.0) }, Stands::Aside));
        let nowhere = LabelSpot::Middle { at: near, along: Vec2::new(1.0, 0.0) };
        let mut best = (
            Under::Label,
            spots.first().map_or(nowhere, |spot| spot.magnified(self.magnified)),
            Stands::Aside,
        );
        for (spot, stands) in asked.chain(aside) {
            let Some(left) = self.tries_left.checked_sub(1) else { break };
            self.tries_left = left;
            let turned =
                (spot.along() != level.along).then(|| TextBlock::of(&lines, spot.along(), size, air));
            let set = turned.as_ref().unwrap_or(&level);
            let under = set.at(spot.middle(set.width, set.height)).map(|text| self.under(&text)).max();
            let under = under.unwrap_or(Under::Nothing);
            if under < best.0 {
                best = (under, spot, stands);
            }
            if under == Under::Nothing {
                break;
            }
        }
        let label = block(&lines, best.1, size).remove(0);
        let text = around(&label, air);
        self.boxes.add(text, text.bounds());
        (label, best.2)
    }

    fn under(&self, text: &TurnedBox) -> Under {
        /// Lines after which it is all the same how many more there are.
        const MANY: usize = 60;
        let bounds = text.bounds();
        if self.boxes.near(bounds).any(|other| !text.clear_of(other)) {
            return Under::Label;
        }
        match self.lines.near(bounds).filter(|line| text.is_met_by(**line)).take(MANY).count() {
            0 => Under::Nothing,
            met => Under::Lines(met),
        }
    }
}

/// What a line to a label takes up.
fn strip((from, to): (Point, Point)) -> TurnedBox {
    let along = to - from;
    TurnedBox {
        centre: from.midpoint(to),
        along: along.normalize(),
        half: Vec2::new(along.hypot() / 2.0, LEADER / 2.0),
    }
}

/// Places for the middle of a level label around a point, further and further away.
fn places_about(at: Point, width: f64, height: f64) -> impl Iterator<Item = Point> {
    /// Directions at each distance.
    const WAYS: u32 = 16;
    /// How much further away it is tried next, as a share of its height.
    const STEP: f64 = 1.2;
    /// How often.
    const TRIED: u32 = 80;
    (1..=TRIED).flat_map(move |step| {
        (0..WAYS).map(move |way| {
            let way = Vec2::from_angle(std::f64::consts::TAU * f64::from(way) / f64::from(WAYS));
            at + way * (STEP * height * f64::from(step)) + Vec2::new(way.x * width / 2.0, 0.0)
        })
    })
}

/// What lies on a sheet, found by the squares of a net that it touches.
struct Net<T> {
    /// Side of the squares, mm.
    square: f64,
    origin: Point,
    across: usize,
    down: usize,
    squares: Vec<Vec<u32>>,
    items: Vec<T>,
}

impl<T> Net<T> {
    fn over(bounds: Rect, square: f64) -> Net<T> {
        let count = |length: f64| (length / square).ceil().clamp(1.0, 512.0) as usize;
        let (across, down) = (count(bounds.width()), count(bounds.height()));
        let squares = (0..across * down).map(|_| Vec::new()).collect();
        Net { square, origin: bounds.origin(), across, down, squares, items: Vec::new() }
    }

    /// The squares that a box touches; what lies beyond the net counts to its border.
    fn touched(&self, bounds: Rect) -> impl Iterator<Item = usize> + use<T> {
        let place = |at: f64, count: usize| ((at / self.square).max(0.0) as usize).min(count - 1);
        let (x, y, across) = (self.origin.x, self.origin.y, self.across);
        let columns = place(bounds.x0 - x, self.across)..=place(bounds.x1 - x, self.across);
        let rows = place(bounds.y0 - y, self.down)..=place(bounds.y1 - y, self.down);
        rows.flat_map(move |row| columns.clone().map(move |column| row * across + column))
    }

    fn add(&mut self, item: T, bounds: Rect) {
        let number = self.items.len() as u32;
        self.items.push(item);
        for square in self.touched(bounds) {
            self.squares[square].push(number);
        }
    }

    /// What may touch a box; what lies in several of its squares comes several times.
    fn near(&self, bounds: Rect) -> impl Iterator<Item = &T> {
        let numbers = self.touched(bounds).flat_map(|square| &self.squares[square]);
        numbers.map(|number| &self.items[*number as usize])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_finds_the_only_gap_between_lines() {
        let frame = crate::canvas::polygon(&[
            Point::new(0.0, 0.0),
            Point::new(60.0, 0.0),
            Point::new(60.0, 40.0),
            Point::new(0.0, 40.0),
        ]);
        let mut room = LabelRoom::within(std::slice::from_ref(&frame), 1.0);
        room.block_path(&frame);
        for y in [5.0, 10.0, 30.0, 35.0] {
            room.block_path(&crate::canvas::straight(Point::new(0.0, y), Point::new(60.0, y)));
        }
        let spots: Vec<LabelSpot> = (1..40)
            .map(|y| LabelSpot::Middle { at: Point::new(30.0, f64::from(y)), along: Vec2::new(1.0, 0.0) })
            .collect();
        let set = room.set(&[vec![("gap".to_owned(), 1.0)]], &[8.0], &spots).unwrap();
        assert!((12.0..28.0).contains(&set[0].at.y), "{set:?}");
        assert!(room.set(&[vec![("gap".to_owned(), 1.0)]], &[18.0], &spots).is_none());
    }
}
