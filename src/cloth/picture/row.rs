//! A row of a length of cloth on the page.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::canvas::{Drawing, Font, Label, Layer, LineKind, Tone, chords, clipped, polygon, straight};
use crate::cloth::Selvedges;
use crate::cloth::layout::{Ground, PlaceAlike, Spread};
use crate::cloth::picture::band::{ClothOnPage, flaw_lines};
use crate::cloth::picture::pieces::{LaidPiece, Lettering, drawn, quiet};
use crate::cloth::picture::surface::{GroundCloth, Strength};
use crate::tolerance::COLOURS_ALIKE;
use crate::units::{Length, MM_PER_INCH, Unit};

/// The space around what is drawn, mm.
pub(super) const MARGIN: f64 = 20.0;

/// Between the cloth and what stands above and below it, as a share of the size of the lettering.
const BESIDE: f64 = 1.3;

/// The height of a row of names above the cloth, as a share of the size of the lettering.
const LED_ROW: f64 = 1.3;

/// Lengths of the ticks of the ruler, mm.
const TICKS: (f64, f64) = (6.0, 3.0);

/// The space between two numbers of the ruler, as a share of their size.
const APART: f64 = 0.6;

/// How far from the end of a mark its word is led, from a line that leads to a name the name, and how far below it the base of
/// one beside it, as shares of the lettering.
const WORD_OFF: f64 = 0.75;
const LED_FOOT: f64 = 0.3;
const BASE_BELOW: f64 = 0.35;

/// How deep the teeth are of cloth that is torn off, as a share of the lettering.
const TOOTH: f64 = 1.3;

/// A row of a band as it is drawn, in page coordinates.
pub(super) struct DrawnRow<'a> {
    pub title: String,
    /// Whether it is the first of its cloth.
    pub is_first: bool,
    /// What is laid on, and how much of its length is used, mm.
    pub ground: &'a Ground,
    pub used: f64,
    /// From where to where it reaches down the page, with all that belongs to it, and how far to the right, mm.
    pub top: f64,
    pub bottom: f64,
    pub right: f64,
    /// The cloth, its colours, stripes and flaws; on plain cloth the pieces as white paper.
    pub cloth: Drawing,
    pub pieces: Vec<LaidPiece>,
    /// Edges, labels and ruler, and over the pieces where stripes meet.
    pub beside: Drawing,
}

/// A part of a band that is drawn in one row.
pub(super) struct ClothRow<'a> {
    band: &'a ClothOnPage<'a>,
    /// From where to where along the cloth, mm.
    from: f64,
    to: f64,
    lettering: Lettering,
}

impl<'a> ClothRow<'a> {
    pub(super) fn of(
        band: &'a ClothOnPage<'a>,
        (from, to): (f64, f64),
        lettering: Lettering,
    ) -> ClothRow<'a> {
        ClothRow { band, from, to, lettering }
    }

    fn ground(&self) -> &'a Ground {
        self.band.ground()
    }

    fn is_first(&self) -> bool {
        self.from == 0.0
    }

    fn is_last(&self) -> bool {
        self.to == self.band.drawn
    }

    fn length(&self) -> f64 {
        self.to - self.from
    }

    fn is_torn(&self) -> bool {
        self.is_last() && self.band.is_torn()
    }

    /// From places on the cloth to the row, its upper left corner at nothing: along is to the right, across upward, so that
    /// nothing is mirrored.
    fn to_row(&self) -> Affine {
        Affine::new([0.0, -1.0, 1.0, 0.0, -self.from, self.band.width()])
    }

    /// What is seen of the cloth and what lies on it, in the row's coordinates.
    fn window(&self) -> Rect {
        let beyond = 2.0 * self.band.width();
        // What lies at an end of the cloth has its line there, which is seen.
        let begin = if self.is_first() { -beyond } else { 0.0 };
        let end = if self.is_last() { self.length() + beyond } else { self.length() };
        Rect::new(begin, -beyond, end, self.band.width() + beyond)
    }

    /// Draws the row below a line.
    pub(super) fn draw(&self, top: f64) -> DrawnRow<'a> {
        let window = self.window();
        let task = self.band.task;
        let here = self.band.laid.lying.iter().filter(|lying| lying.ground == self.band.which);
        let here = here.filter(|lying| {
            let bounds = lying.path(task).bounding_box();
            bounds.y0 < self.to && bounds.y1 > self.from
        });
        let mut pieces: Vec<LaidPiece> =
            here.map(|lying| drawn(task, lying, self.to_row(), self.lettering, window)).collect();
        let mut beside = Drawing::default();
        let mut cloth = self.drawn_cloth(&pieces);
        let words = self.words(&mut beside);
        let led = pieces.iter().filter_map(|piece| Some((piece.led_from?, piece.name.clone())));
        let above = self.lead_out(led.chain(words).collect(), &mut beside);
        self.edges(&mut beside);
        self.leftover(&mut cloth, &mut beside);
        let mut met = Drawing::default();
        self.stripes_that_meet(&mut met);
        beside.add(met.within(window));
        self.ruler(&mut beside);
        let bounds = beside.bounds().unwrap_or_default();
        let Lettering { largest, least } = self.lettering;
        let title_size = if self.is_first() { largest } else { least };
        let corner = Vec2::new(MARGIN, top + title_size + least * BESIDE * 2.0 + above);
        let to_page = Affine::translate(corner);
        cloth = cloth.moved(to_page);
        beside = beside.moved(to_page);
        pieces.iter_mut().for_each(|piece| piece.drawing = piece.drawing.moved(to_page));
        let title = self.title();
        let at = Point::new(MARGIN, top + title_size);
        let label = Label::from_left(title.as_str(), at, title_size, Layer::Labels);
        beside.labels.push(label.clone());
        DrawnRow {
            title,
            is_first: self.is_first(),
            ground: self.ground(),
            used: self.band.usage.used,
            top,
            bottom: corner.y + bounds.y1,
            right: (corner.x + bounds.x1).max(label.bounds().x1),
            cloth,
            pieces,
            beside,
        }
    }

    fn title(&self) -> String {
        match self.is_first() {
            true => self.band.title(),
            false => {
                let [from, to] = [self.from, self.to].map(|mm| self.band.show(mm));
                format!("{}, from {from} to {to}", self.ground().name())
            }
        }
    }

    fn drawn_cloth(&self, pieces: &[LaidPiece]) -> Drawing {
        let mut drawing = Drawing::default();
        let border = self.border_drawn();
        let ring = chords(&border, 1.0);
        drawing.fill(border, Tone::Cloth, Layer::Marks);
        let surface = self.surface();
        let whole = Rect::new(0.0, self.from, self.band.width(), self.to);
        drawing.add(surface.patches(whole, Strength::Pale).moved(self.to_row()));
        if drawing.fills.len() == 1 {
            let paper = pieces.iter().map(|piece| cut_to(&piece.outline, self.length()));
            paper.for_each(|paper| drawing.fill(paper, Tone::White, Layer::Marks));
        }
        for line in surface.pattern_lines(self.to) {
            let (from, to) = (self.to_row() * line.from, self.to_row() * line.to);
            clipped(&ring, from, to).into_iter().for_each(|ends| line.draw(&mut drawing, ends));
        }
        for flaw in &self.ground().flaws {
            let lines = flaw_lines(&(self.to_row() * flaw.to_path(0.1)));
            for (from, to) in lines.into_iter().flat_map(|(from, to)| clipped(&ring, from, to)) {
                drawing.line(LineKind::Flaw, from, to);
            }
        }
        drawing
    }

    fn surface(&self) -> GroundCloth<'a> {
        self.band.surface()
    }

    /// The words of marks that name no colour, at the edge of the cloth: those of marks along it right of its first row. Gives
    /// those of marks across it, to be led out above.
    fn words(&self, beside: &mut Drawing) -> Vec<(Point, String)> {
        let size = self.lettering.least;
        let (mut across, mut along) = (Vec::new(), Vec::new());
        for line in self.surface().pattern_lines(self.to) {
            let Some(word) = line.told_by_word() else { continue };
            let (from, to) = (self.to_row() * line.from, self.to_row() * line.to);
            let runs_along = (to.x - from.x).abs() > (to.y - from.y).abs();
            match runs_along {
                true if self.is_first() => along.push((to, word.to_owned())),
                false if from.x >= 0.0 => across.push((to, word.to_owned())),
                _ => {}
            }
        }
        let widest = along.iter().map(|(_, word)| Font::get().width(word)).fold(0.0, f64::max);
        // Names that have no room above one another stand in columns.
        let mut columns: Vec<Vec<f64>> = Vec::new();
        for (end, word) in along {
            let has_room = |column: &Vec<f64>| column.iter().all(|at| (at - end.y).abs() >= size);
            let column = columns.iter().position(has_room).unwrap_or_else(|| {
                columns.push(Vec::new());
                columns.len() - 1
            });
            columns[column].push(end.y);
            let right = end + Vec2::new(size * (WORD_OFF + column as f64 * (widest + APART)), 0.0);
            beside.line(LineKind::Leader, end, right);
            let at = right + Vec2::new(size * LED_FOOT, size * BASE_BELOW);
            beside.labels.push(quiet(Label::from_left(word, at, size, Layer::Labels)));
        }
        across
    }

    /// The border as far as it is drawn: torn off where the cloth goes on.
    fn border_drawn(&self) -> BezPath {
        const TEETH: usize = 8;
        let ground = self.ground();
        if !ground.has_selvedges() {
            return self.to_row() * ground.border.clone();
        }
        let mut border =
            straight(Point::new(0.0, self.from), Point::new(ground.width_at(self.from), self.from));
        self.right_side().for_each(|place| border.line_to(place));
        let edge = ground.width_at(self.to);
        border.line_to((edge, self.to));
        if self.is_torn() {
            for tooth in 1..2 * TEETH {
                let across = edge * (1.0 - tooth as f64 / (2 * TEETH) as f64);
                let in_by = if tooth % 2 == 1 { self.lettering.least * TOOTH } else { 0.0 };
                border.line_to((across, self.to - in_by));
            }
        }
        border.line_to((0.0, self.to));
        border.close_path();
        self.to_row() * border
    }

    /// The corners of the right edge between the start of the row and its end.
    fn right_side(&self) -> impl Iterator<Item = Point> {
        self.ground().corners().filter(|place| place.y > self.from && place.y < self.to)
    }

    fn edges(&self, beside: &mut Drawing) {
        const SELVEDGE: (LineKind, &str) = (LineKind::Selvedge, "selvedge");
        const FOLD: (LineKind, &str) = (LineKind::Fold, "fold");
        const RAW: (LineKind, &str) = (LineKind::RawEdge, "cut edge");
        let ground = self.ground();
        if !ground.has_selvedges() {
            beside.stroke(LineKind::RawEdge, self.border_drawn());
            return;
        }
        let finished = self.band.cloth().map_or(Selvedges::None, |cloth| cloth.selvedges);
        let (left, right) = match (ground.spread, finished) {
            (Spread::Folded, Selvedges::Both) => (FOLD, SELVEDGE),
            (Spread::Folded, _) => (FOLD, RAW),
            (Spread::Single, Selvedges::Both) => (SELVEDGE, SELVEDGE),
            (Spread::Single, Selvedges::Left) => (SELVEDGE, RAW),
            (Spread::Single, Selvedges::Right) => (RAW, SELVEDGE),
            (Spread::Single, Selvedges::None) => (RAW, RAW),
        };
        let start = ground.width_at(self.from);
        let end = Point::new(ground.width_at(self.to), self.to);
        let begin = Point::new(0.0, self.from);
        let mut right_edge = BezPath::new();
        right_edge.move_to((start, self.from));
        self.right_side().for_each(|place| right_edge.line_to(place));
        right_edge.line_to(end);
        let to_row = self.to_row();
        beside.stroke(left.0, to_row * straight(begin, Point::new(0.0, self.to)));
        beside.stroke(right.0, to_row * right_edge);
        let starts = if self.is_first() { LineKind::Rule } else { LineKind::PageEdge };
        beside.stroke(starts, to_row * straight(begin, Point::new(start, self.from)));
        if !self.is_last() {
            beside.stroke(LineKind::PageEdge, to_row * straight(Point::new(0.0, self.to), end));
        }
        if !self.is_first() {
            return;
        }
        let size = self.lettering.least;
        for ((_, name), at, down) in [(left, 0.0, size), (right, start, -LED_FOOT * size)] {
            let at = to_row * Point::new(at, 0.0) + Vec2::new(0.0, down);
            beside.labels.push(quiet(Label::from_left(name, at, size, Layer::Labels)));
        }
    }

    fn leftover(&self, cloth: &mut Drawing, beside: &mut Drawing) {
        let Some((across, along)) = self.band.usage.leftover.filter(|_| self.band.usage.used < self.to)
        else {
            return;
        };
        let left = Rect::new(0.0, self.band.usage.used.max(self.from), across, self.to);
        let left = self.to_row().transform_rect_bbox(left).inset(-2.0);
        cloth.stroke(LineKind::LeftOver, left.to_path(0.1));
        let text = format!("left over {} × {}", self.band.show(across), self.band.show(along));
        let room = (left.width() - 4.0, left.height() - 4.0);
        let size_for = |(long, high): (f64, f64)| {
            (long / Font::get().width(&text)).min(high * 0.6).min(self.lettering.largest)
        };
        let (flat, upright) = (size_for(room), size_for((room.1, room.0)));
        let along = if upright > flat { Vec2::new(0.0, -1.0) } else { Vec2::new(1.0, 0.0) };
        let size = flat.max(upright);
        // Smaller lettering is left out: the title tells what is used.
        if size >= self.lettering.least && self.is_last() {
            let at = Label::base_of(left.center(), along, size);
            beside.labels.push(quiet(Label { along, ..Label::level(text, at, size, Layer::Labels) }));
        }
    }

    /// Whether a copy lies on its cloth.
    fn holds(&self, lying: usize) -> bool {
        self.band.laid.lying.get(lying).is_some_and(|lying| lying.ground == self.band.which)
    }

    /// The stitching lines as far as stripes meet along them, and where colours look alike and different.
    fn stripes_that_meet(&self, beside: &mut Drawing) {
        for (lying, line) in self.band.laid.matches.iter().flat_map(|found| found.lines_met()) {
            let Some((first, rest)) = line.split_first().filter(|_| self.holds(lying)) else { continue };
            let mut path = BezPath::new();
            path.move_to(*first);
            rest.iter().for_each(|point| path.line_to(*point));
            beside.stroke(LineKind::StripesMeet, self.to_row() * path);
        }
        let alike = self.band.laid.matches.iter().filter_map(|found| found.alike.as_ref());
        for places in alike.flat_map(|alike| &alike.sewings).map(|sewing| &sewing.places) {
            (0..2).for_each(|side| self.colours_along(places, side, beside));
        }
    }

    /// The stitching line of one side, by how different the colours along it are.
    fn colours_along(&self, places: &[PlaceAlike], side: usize, beside: &mut Drawing) {
        let mut open: Option<(LineKind, BezPath, usize)> = None;
        for pair in places.windows(2) {
            let lying = pair[0].lying[side];
            let here = self.holds(lying);
            let known =
                pair[0].difference.zip(pair[1].difference).filter(|_| here && pair[0].lying == pair[1].lying);
            let kind = known.map(|(first, second)| match first.max(second) <= COLOURS_ALIKE {
                true => LineKind::StripesMeet,
                false => LineKind::ColoursDiffer,
            });
            if let Some((open_kind, path, on)) = &mut open
                && Some(*open_kind) == kind
                && *on == lying
            {
                path.line_to(pair[1].points[side]);
                continue;
            }
            if let Some((kind, path, _)) = open.take() {
                beside.stroke(kind, self.to_row() * path);
            }
            open = kind.map(|kind| (kind, straight(pair[0].points[side], pair[1].points[side]), lying));
        }
        if let Some((kind, path, _)) = open {
            beside.stroke(kind, self.to_row() * path);
        }
    }

    /// A ruler along the left edge of the cloth.
    fn ruler(&self, beside: &mut Drawing) {
        let (step, each, name): (f64, usize, fn(f64) -> String) = match self.band.unit {
            Unit::Inch => (MM_PER_INCH, 6, |mm| Length::from_mm(mm).show(Unit::Inch)),
            Unit::Millimetre => (10.0, 10, |mm| format!("{mm:.0}")),
            Unit::Centimetre => (10.0, 10, |mm| format!("{:.0}", mm / 10.0)),
        };
        let unit = match self.band.unit {
            Unit::Millimetre => " mm",
            Unit::Centimetre => " cm",
            Unit::Inch => "",
        };
        let size = self.lettering.least;
        let widest = (Font::get().width(&name(self.to)) + APART) * size;
        // The first one begins at the edge, and reaches as far as the next may.
        let widest =
            widest.max((Font::get().width(&format!("{}{unit}", name(0.0))) + APART) * size + widest / 2.0);
        let each = each * (widest / (step * each as f64)).ceil().max(1.0) as usize;
        let top = self.band.width() + size * BESIDE;
        for i in (self.from / step).ceil() as usize..=(self.to / step).floor() as usize {
            let along = i as f64 * step;
            let at = Point::new(along - self.from, top);
            let tall = if i % each == 0 { TICKS.0 } else { TICKS.1 };
            beside.line(LineKind::Rule, at, at + Vec2::new(0.0, tall));
            let base = at + Vec2::new(0.0, TICKS.0 + size);
            let named = if i % each == 0 && i > 0 {
                Label::level(name(along), base, size, Layer::Labels)
            } else if i == 0 {
                Label::from_left(format!("{}{unit}", name(0.0)), base, size, Layer::Labels)
            } else {
                continue;
            };
            // In a later row the first may have its middle right at the edge.
            if named.bounds().x0 > -MARGIN {
                beside.labels.push(quiet(named));
            }
        }
    }

    /// Labels that have no room where they belong, in rows above the cloth, and the lines that lead to them; gives the height
    /// of the rows. From the right to the left, so that no line runs through a label of a row below its own.
    fn lead_out(&self, mut led: Vec<(Point, String)>, beside: &mut Drawing) -> f64 {
        let size = self.lettering.least;
        led.sort_by(|a, b| b.0.x.total_cmp(&a.0.x));
        let mut begins: Vec<f64> = Vec::new();
        for (from, name) in led {
            let label =
                Label::from_left(name, Point::new(from.x + size * LED_FOOT, 0.0), size, Layer::Labels);
            let end = label.bounds().x1 + size * APART;
            let row = begins.iter().position(|begin| end <= *begin).unwrap_or(begins.len());
            // Above the name of the edge, which stands right over the cloth.
            let foot = Point::new(from.x, -size * LED_ROW * (1.0 + row as f64));
            beside.line(LineKind::Leader, from, foot);
            beside
                .labels
                .push(Label { at: foot + Vec2::new(label.at.x - from.x, -size * LED_FOOT), ..label });
            match begins.get_mut(row) {
                Some(begin) => *begin = from.x,
                None => begins.push(from.x),
            }
        }
        begins.len() as f64 * size * LED_ROW
    }
}

/// What of a filled area lies within a row of a length, in straight stretches.
fn cut_to(path: &BezPath, length: f64) -> BezPath {
    /// How finely curves are followed, mm.
    const FINE: f64 = 0.2;
    let mut rings: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, FINE, |element| match (element, rings.last_mut()) {
        (kurbo::PathEl::LineTo(point), Some(ring)) => ring.push(point),
        (kurbo::PathEl::MoveTo(point), _) => rings.push(vec![point]),
        _ => {}
    });
    let rings = rings.into_iter().map(|ring| half(&half(&ring, |point| point.x), |point| length - point.x));
    rings.filter(|ring| ring.len() > 2).flat_map(|ring| polygon(&ring)).collect()
}

/// The part of a ring where a measure is not under nothing.
fn half(ring: &[Point], measure: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::new();
    for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (a, b) = (measure(*from), measure(*to));
        if a >= 0.0 {
            kept.push(*from);
        }
        if (a >= 0.0) != (b >= 0.0) {
            kept.push(from.lerp(*to, a / (a - b)));
        }
    }
    kept
}
