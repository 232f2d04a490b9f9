//! One length or panel of cloth on the page.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::canvas::{Drawing, Font, Label, Layer, LineKind, Tone, chords, clipped, hatched, straight};
use crate::cloth::layout::{Ground, GroundUse, Laid, LayTask, PlaceAlike, Spread, used_told};
use crate::cloth::picture::pieces::{LaidPiece, drawn, quiet};
use crate::cloth::picture::surface::{GroundCloth, Strength};
use crate::cloth::{Cloth, Selvedges};
use crate::tolerance::COLOURS_ALIKE;
use crate::units::{Length, MM_PER_INCH, Unit};

/// The space around what is drawn, mm.
pub(super) const MARGIN: f64 = 20.0;

/// How much of an unused rest is drawn, as a share of what is used.
const REST_DRAWN: f64 = 0.12;

/// The least rest that is drawn, mm.
const LEAST_REST: f64 = 150.0;

/// Sizes of lettering, as shares of that of titles: beside edges and on the ruler; of labels that are led out.
const SMALL: f64 = 0.6;
const LED: f64 = 0.7;

/// Between the cloth and what stands above and below it, as a share of the size of the lettering.
const BESIDE: f64 = 1.3;

/// Lengths of the ticks of the ruler, mm.
const TICKS: (f64, f64) = (6.0, 3.0);

/// A band as it is drawn, in page coordinates.
pub(super) struct DrawnBand<'a> {
    pub title: String,
    /// What is laid on, and how much of its length is used, mm.
    pub ground: &'a Ground,
    pub used: f64,
    /// From where to where it reaches down the page, with all that belongs to it, and how long its cloth is drawn, mm.
    pub top: f64,
    pub bottom: f64,
    pub length: f64,
    /// The cloth, its colours, stripes and flaws; on plain cloth the pieces as white paper.
    pub cloth: Drawing,
    pub pieces: Vec<LaidPiece>,
    /// Edges, labels and ruler, and over the pieces where stripes meet.
    pub beside: Drawing,
}

/// A length or panel of cloth on the page, from its start as far as it is drawn.
pub(super) struct ClothOnPage<'a> {
    task: &'a LayTask<'a>,
    laid: &'a Laid,
    /// Which ground.
    ground: usize,
    usage: GroundUse,
    unit: Unit,
    /// How much of its length is drawn, mm.
    pub(super) drawn: f64,
    /// Size of the lettering, mm.
    pub(super) text: f64,
}

impl<'a> ClothOnPage<'a> {
    pub(super) fn of(task: &'a LayTask<'a>, laid: &'a Laid, ground: usize, unit: Unit) -> ClothOnPage<'a> {
        let usage = laid.uses[ground];
        let (_, length) = task.grounds[ground].size();
        let rest = (usage.used * REST_DRAWN).max(LEAST_REST);
        let whole = length - usage.used <= 2.0 * rest || !task.grounds[ground].has_selvedges();
        let drawn = if whole { length } else { usage.used + rest };
        ClothOnPage { task, laid, ground, usage, unit, drawn, text: 0.0 }
    }

    fn ground(&self) -> &'a Ground {
        &self.task.grounds[self.ground]
    }

    fn cloth(&self) -> Option<&'a Cloth> {
        self.task.stock.find(&self.ground().cloth)
    }

    fn is_torn(&self) -> bool {
        self.drawn < self.ground().size().1
    }

    /// From places on the cloth to the band, its upper left corner at nothing: along is to the right, across upward, so
    /// that nothing is mirrored.
    pub(super) fn to_band(&self) -> Affine {
        Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, self.ground().size().0])
    }

    /// Draws the band below a line.
    pub(super) fn draw(&self, top: f64) -> DrawnBand<'a> {
        let here = self.laid.lying.iter().filter(|lying| lying.ground == self.ground);
        let mut pieces: Vec<LaidPiece> =
            here.map(|lying| drawn(self.task, lying, self.to_band(), self.text)).collect();
        let mut beside = Drawing::default();
        let above = self.lead_out(&pieces, &mut beside);
        let mut cloth = self.drawn_cloth(&pieces);
        self.edges(&mut beside);
        self.leftover(&mut cloth, &mut beside);
        self.stripes_that_meet(&mut beside);
        self.ruler(&mut beside);
        let bottom = beside.bounds().map_or(0.0, |bounds| bounds.y1);
        let corner = Vec2::new(MARGIN, top + self.text * (1.0 + SMALL + BESIDE) + above);
        let to_page = Affine::translate(corner);
        cloth = cloth.moved(to_page);
        beside = beside.moved(to_page);
        pieces.iter_mut().for_each(|piece| piece.drawing = piece.drawing.moved(to_page));
        let title = self.title();
        let at = Point::new(MARGIN, top + self.text);
        beside.labels.push(Label::from_left(title.as_str(), at, self.text, Layer::Labels));
        let (ground, used) = (self.ground(), self.usage.used);
        DrawnBand {
            title,
            ground,
            used,
            top,
            bottom: corner.y + bottom,
            length: self.drawn,
            cloth,
            pieces,
            beside,
        }
    }

    fn show(&self, mm: f64) -> String {
        Length::from_mm(mm.round()).show(self.unit)
    }

    fn title(&self) -> String {
        let ground = self.ground();
        let (width, length) = ground.size();
        let spread = match ground.spread {
            Spread::Single => "single layer, right side up",
            Spread::Folded => "folded lengthwise, right sides together",
        };
        format!(
            "{}: {} × {}, {spread}; {} used",
            ground.name(),
            self.show(width),
            self.show(length),
            used_told(Length::from_mm(self.usage.used), self.unit)
        )
    }

    fn drawn_cloth(&self, pieces: &[LaidPiece]) -> Drawing {
        let mut drawing = Drawing::default();
        let border = self.border_drawn();
        let ring = chords(&border, 1.0);
        drawing.fill(border, Tone::Cloth, Layer::Marks);
        let surface = GroundCloth { stock: self.task.stock, ground: self.ground() };
        let (width, _) = self.ground().size();
        let whole = Rect::new(0.0, 0.0, width, self.drawn);
        drawing.add(surface.patches(whole, Strength::Pale).moved(self.to_band()));
        if drawing.fills.len() == 1 {
            pieces.iter().for_each(|piece| drawing.fill(piece.outline.clone(), Tone::White, Layer::Marks));
        }
        for line in surface.pattern_lines(self.drawn) {
            let (from, to) = (self.to_band() * line.from, self.to_band() * line.to);
            for (from, to) in clipped(&ring, from, to) {
                drawing.line(LineKind::Stripe, from, to);
            }
            if let Some(word) = line.word {
                let size = self.text * SMALL;
                let up = Vec2::new(0.0, -1.0);
                let label = Label { along: up, ..Label::level(word, from, size, Layer::Labels) };
                let at = from + Vec2::new(-size * 0.3, -label.width() / 2.0 - size * 0.3);
                drawing.labels.push(quiet(Label { at, ..label }));
            }
        }
        for flaw in &self.ground().flaws {
            let lines = flaw_lines(&(self.to_band() * flaw.to_path(0.1)));
            for (from, to) in lines.into_iter().flat_map(|(from, to)| clipped(&ring, from, to)) {
                drawing.line(LineKind::Flaw, from, to);
            }
        }
        drawing
    }

    /// The border as far as it is drawn: torn off where the cloth goes on.
    fn border_drawn(&self) -> BezPath {
        const TEETH: usize = 8;
        let ground = self.ground();
        if !self.is_torn() {
            return self.to_band() * ground.border.clone();
        }
        let mut border = straight(Point::ORIGIN, Point::new(ground.width_at(0.0), 0.0));
        self.right_side().for_each(|place| border.line_to(place));
        let edge = ground.width_at(self.drawn);
        for tooth in 0..2 * TEETH {
            let across = edge * (1.0 - tooth as f64 / (2 * TEETH) as f64);
            let in_by = if tooth % 2 == 1 { self.text * 0.8 } else { 0.0 };
            border.line_to((across, self.drawn - in_by));
        }
        border.line_to((0.0, self.drawn));
        border.close_path();
        self.to_band() * border
    }

    /// The corners of the right edge between the start and where the drawing ends.
    fn right_side(&self) -> impl Iterator<Item = Point> {
        self.ground().corners().filter(|place| place.y > 0.0 && place.y < self.drawn)
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
        let finished = self.cloth().map_or(Selvedges::None, |cloth| cloth.selvedges);
        let (left, right) = match (ground.spread, finished) {
            (Spread::Folded, Selvedges::Both) => (FOLD, SELVEDGE),
            (Spread::Folded, _) => (FOLD, RAW),
            (Spread::Single, Selvedges::Both) => (SELVEDGE, SELVEDGE),
            (Spread::Single, Selvedges::Left) => (SELVEDGE, RAW),
            (Spread::Single, Selvedges::Right) => (RAW, SELVEDGE),
            (Spread::Single, Selvedges::None) => (RAW, RAW),
        };
        let start = ground.width_at(0.0);
        let mut right_edge = BezPath::new();
        right_edge.move_to((start, 0.0));
        self.right_side().for_each(|place| right_edge.line_to(place));
        right_edge.line_to((ground.width_at(self.drawn), self.drawn));
        let to_band = self.to_band();
        beside.stroke(left.0, to_band * straight(Point::ORIGIN, Point::new(0.0, self.drawn)));
        beside.stroke(right.0, to_band * right_edge);
        beside.stroke(LineKind::Rule, to_band * straight(Point::ORIGIN, Point::new(start, 0.0)));
        let size = self.text * SMALL;
        for ((_, name), at, down) in [(left, 0.0, BESIDE * size), (right, start, -0.6 * size)] {
            let at = to_band * Point::new(at, 0.0) + Vec2::new(0.0, down);
            beside.labels.push(quiet(Label::from_left(name, at, size, Layer::Labels)));
        }
    }

    fn leftover(&self, cloth: &mut Drawing, beside: &mut Drawing) {
        /// Smaller lettering is left out: the title tells what is used.
        const SMALLEST: f64 = 4.0;
        let Some((across, along)) = self.usage.leftover else { return };
        let left = Rect::new(0.0, self.usage.used, across, self.drawn);
        let left = self.to_band().transform_rect_bbox(left).inset(-2.0);
        cloth.stroke(LineKind::LeftOver, left.to_path(0.1));
        let text = format!("left over {} × {}", self.show(across), self.show(along));
        let room = (left.width() - 4.0, left.height() - 4.0);
        let size_for =
            |(long, high): (f64, f64)| (long / Font::get().width(&text)).min(high * 0.6).min(self.text);
        let (flat, upright) = (size_for(room), size_for((room.1, room.0)));
        let along = if upright > flat { Vec2::new(0.0, -1.0) } else { Vec2::new(1.0, 0.0) };
        let size = flat.max(upright);
        if size >= SMALLEST {
            let at = Label::base_of(left.center(), along, size);
            beside.labels.push(quiet(Label { along, ..Label::level(text, at, size, Layer::Labels) }));
        }
    }

    /// The stitching lines as far as stripes meet along them, and where colours look alike and different.
    fn stripes_that_meet(&self, beside: &mut Drawing) {
        let found = self.laid.matches.iter().flat_map(|found| &found.met.sewings);
        let pairs = found.flat_map(|sewing| &sewing.pairs);
        for (lying, line) in pairs.flat_map(|pair| pair.lying.iter().zip(&pair.lines)) {
            let here = self.laid.lying.get(*lying).is_some_and(|lying| lying.ground == self.ground);
            let Some((first, rest)) = line.split_first().filter(|_| here) else { continue };
            let mut path = BezPath::new();
            path.move_to(*first);
            rest.iter().for_each(|point| path.line_to(*point));
            beside.stroke(LineKind::StripesMeet, self.to_band() * path);
        }
        let alike = self.laid.matches.iter().filter_map(|found| found.alike.as_ref());
        for places in alike.flat_map(|alike| &alike.sewings).map(|sewing| &sewing.places) {
            (0..2).for_each(|side| self.colours_along(places, side, beside));
        }
    }

    /// The stitching line of one side, by how different the colours along it are.
    fn colours_along(&self, places: &[PlaceAlike], side: usize, beside: &mut Drawing) {
        let mut open: Option<(LineKind, BezPath, usize)> = None;
        for pair in places.windows(2) {
            let lying = pair[0].lying[side];
            let here = self.laid.lying.get(lying).is_some_and(|lying| lying.ground == self.ground);
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
                beside.stroke(kind, self.to_band() * path);
            }
            open = kind.map(|kind| (kind, straight(pair[0].points[side], pair[1].points[side]), lying));
        }
        if let Some((kind, path, _)) = open {
            beside.stroke(kind, self.to_band() * path);
        }
    }

    /// A ruler along the left edge of the cloth.
    fn ruler(&self, beside: &mut Drawing) {
        let (step, each, name): (f64, usize, fn(f64) -> String) = match self.unit {
            Unit::Inch => (MM_PER_INCH, 6, |mm| Length::from_mm(mm).show(Unit::Inch)),
            Unit::Millimetre => (10.0, 10, |mm| format!("{mm:.0}")),
            Unit::Centimetre => (10.0, 10, |mm| format!("{:.0}", mm / 10.0)),
        };
        let unit = match self.unit {
            Unit::Millimetre => " mm",
            Unit::Centimetre => " cm",
            Unit::Inch => "",
        };
        let size = self.text * SMALL;
        let top = self.ground().size().0 + self.text * BESIDE;
        for i in 0..=(self.drawn / step).floor() as usize {
            let at = Point::new(i as f64 * step, top);
            let tall = if i % each == 0 { TICKS.0 } else { TICKS.1 };
            beside.line(LineKind::Rule, at, at + Vec2::new(0.0, tall));
            let base = at + Vec2::new(0.0, TICKS.0 + size);
            if i == 0 {
                let text = format!("{}{unit}", name(0.0));
                beside.labels.push(quiet(Label::from_left(text, base, size, Layer::Labels)));
            } else if i % each == 0 {
                beside.labels.push(quiet(Label::level(name(at.x), base, size, Layer::Labels)));
            }
        }
    }

    /// Labels that have no room in their pieces, in rows above the cloth, and the lines that lead to them; gives the height
    /// of the rows. From the right to the left, so that no line runs through a label of a row below its own.
    fn lead_out(&self, pieces: &[LaidPiece], beside: &mut Drawing) -> f64 {
        let size = self.text * LED;
        let mut led: Vec<(Point, &str)> =
            pieces.iter().filter_map(|piece| Some((piece.led_from?, piece.name.as_str()))).collect();
        led.sort_by(|a, b| b.0.x.total_cmp(&a.0.x));
        let mut begins: Vec<f64> = Vec::new();
        for (from, name) in led {
            let label = Label::from_left(name, Point::new(from.x + size * 0.3, 0.0), size, Layer::Labels);
            let end = label.bounds().x1 + size * 0.7;
            let row = begins.iter().position(|begin| end <= *begin).unwrap_or(begins.len());
            let foot = Point::new(from.x, -self.text * (BESIDE + row as f64));
            beside.line(LineKind::Leader, from, foot);
            beside.labels.push(Label { at: foot + Vec2::new(size * 0.3, -size * 0.1), ..label });
            match begins.get_mut(row) {
                Some(begin) => *begin = from.x,
                None => begins.push(from.x),
            }
        }
        begins.len() as f64 * self.text
    }
}

/// Distance of the lines over a flaw, mm.
const LINES: f64 = 6.0;

/// The lines of a flaw with an outline.
#[must_use]
pub fn flaw_lines(outline: &BezPath) -> Vec<(Point, Point)> {
    let mut lines = chords(outline, 1.0);
    let slant = Vec2::new(std::f64::consts::FRAC_1_SQRT_2, -std::f64::consts::FRAC_1_SQRT_2);
    let over = hatched(&lines, slant, LINES);
    lines.extend(over);
    lines
}
