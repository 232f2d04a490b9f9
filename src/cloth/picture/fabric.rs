//! One length or panel of cloth on the page.

use kurbo::{Affine, BezPath, Point, Rect};

use crate::cloth::layout::{Ground, GroundUse, Laid, LayTask, Spread};
use crate::cloth::picture::pieces::{self, LabelledPiece};
use crate::cloth::picture::svg::{Anchor, SvgPage, Words, Written, placed, rect_path, text_width};
use crate::cloth::picture::{MARGIN, ruler};
use crate::cloth::{Cloth, Selvedges, StripesAlong};
use crate::units::{Length, Unit};

/// How much of an unused rest is drawn, as a share of what is used.
const REST_DRAWN: f64 = 0.12;

/// The least rest that is drawn, mm.
const LEAST_REST: f64 = 150.0;

/// What the cloth ends with at one side.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ClothEdge {
    Selvedge,
    Fold,
    /// Cut, or of a selvedge that is not to be used.
    Raw,
}

impl ClothEdge {
    /// How it is drawn.
    fn class(self) -> &'static str {
        match self {
            ClothEdge::Selvedge => "selvedge",
            ClothEdge::Fold => "fold",
            ClothEdge::Raw => "raw",
        }
    }

    /// What stands beside it.
    fn name(self) -> &'static str {
        match self {
            ClothEdge::Selvedge => "selvedge",
            ClothEdge::Fold => "fold",
            ClothEdge::Raw => "cut edge",
        }
    }
}

/// A length or panel of cloth on the page, from its start as far as it is drawn.
pub(super) struct Band<'a> {
    task: &'a LayTask<'a>,
    laid: &'a Laid,
    /// Which ground.
    pub(super) ground: usize,
    usage: GroundUse,
    unit: Unit,
    /// How much of its length is drawn, mm.
    pub(super) drawn: f64,
    /// Size of the lettering, mm.
    pub(super) text: f64,
}

impl<'a> Band<'a> {
    pub(super) fn of(task: &'a LayTask<'a>, laid: &'a Laid, ground: usize, unit: Unit) -> Band<'a> {
        let usage = laid.uses[ground];
        let (_, length) = task.grounds[ground].size();
        let rest = (usage.used * REST_DRAWN).max(LEAST_REST);
        let whole = length - usage.used <= 2.0 * rest || !task.grounds[ground].has_selvedges();
        let drawn = if whole { length } else { usage.used + rest };
        Band { task, laid, ground, usage, unit, drawn, text: 0.0 }
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

    /// From places on the cloth to the band, its upper left corner at nothing.
    pub(super) fn to_band(&self) -> Affine {
        placed(Point::ZERO, self.ground().size().0)
    }

    /// Draws the band below a line; gives its height.
    pub(super) fn draw(&self, page: &mut SvgPage, top: f64, pieces: &[LabelledPiece<'_>]) -> f64 {
        let (width, _) = self.ground().size();
        let mut y = top + self.text;
        page.words(&self.words(self.title(), Point::new(MARGIN, y), self.text, "title"));
        y += self.text * 0.6;
        let leaders = Leaders::of(pieces, self.text);
        y += leaders.height(self.text) + self.text * 1.3;
        let corner = Point::new(MARGIN, y);
        self.draw_cloth(page, corner);
        for piece in pieces {
            pieces::draw(page, self.task, piece, self, corner);
        }
        pieces::matched(page, self.laid, self, corner);
        leaders.draw(page, corner, self.text);
        y += width + self.text * 1.3;
        y += ruler::draw(page, Point::new(MARGIN, y), self.drawn, self.text, self.unit);
        y - top
    }

    fn words(&self, text: String, at: Point, size: f64, class: &'static str) -> Words {
        Words { text, at, size, anchor: Anchor::Start, written: Written::Across, class }
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
            self.show(self.usage.used)
        )
    }

    fn draw_cloth(&self, page: &mut SvgPage, corner: Point) {
        let ground = self.ground();
        let to_page = placed(corner, ground.size().0);
        let border = to_page * self.border_drawn();
        page.path("cloth", &border);
        page.begin_within(&border);
        self.draw_stripes(page, to_page);
        for flaw in &ground.flaws {
            page.path("flaw", &(to_page * rect_path(*flaw)));
        }
        page.end_group();
        self.draw_edges(page, to_page);
        if let Some((across, _)) = self.usage.leftover {
            let left = to_page.transform_rect_bbox(Rect::new(0.0, self.usage.used, across, self.drawn));
            page.rect("left-over", left.inset(-2.0));
            self.write_leftover(page, left);
        }
    }

    /// The border as far as it is drawn: torn off where the cloth goes on.
    fn border_drawn(&self) -> BezPath {
        let ground = self.ground();
        if !self.is_torn() {
            return ground.border.clone();
        }
        let width = |along: f64| ground.width_at(along);
        let mut border = BezPath::new();
        border.move_to((0.0, 0.0));
        border.line_to((width(0.0), 0.0));
        let right = ground.corners().filter(|place| place.y > 0.0 && place.y < self.drawn);
        right.for_each(|place| border.line_to(place));
        border.line_to((width(self.drawn), self.drawn));
        const TEETH: usize = 8;
        let edge = width(self.drawn);
        for tooth in 1..2 * TEETH {
            let across = edge * (1.0 - tooth as f64 / (2 * TEETH) as f64);
            let in_by = if tooth % 2 == 1 { self.text * 0.8 } else { 0.0 };
            border.line_to((across, self.drawn - in_by));
        }
        border.line_to((0.0, self.drawn));
        border.close_path();
        border
    }

    fn draw_stripes(&self, page: &mut SvgPage, to_page: Affine) {
        let (width, _) = self.ground().size();
        let whole_width = if self.ground().spread == Spread::Folded { 2.0 * width } else { width };
        let all = self.cloth().into_iter().flat_map(|cloth| cloth.stripes());
        for stripes in all.filter(|_| self.ground().has_selvedges()) {
            match stripes.along {
                StripesAlong::Width => {
                    for y in stripes.within(self.drawn) {
                        page.line("stripe", to_page * Point::new(0.0, y), to_page * Point::new(width, y));
                    }
                }
                StripesAlong::Length => {
                    for x in stripes.within(whole_width).into_iter().map(|x| x - (whole_width - width)) {
                        page.line(
                            "stripe",
                            to_page * Point::new(x, 0.0),
                            to_page * Point::new(x, self.drawn),
                        );
                    }
                }
            }
        }
    }

    fn draw_edges(&self, page: &mut SvgPage, to_page: Affine) {
        let ground = self.ground();
        let border = to_page * self.border_drawn();
        if !ground.has_selvedges() {
            page.path(ClothEdge::Raw.class(), &border);
            return;
        }
        let finished = self.cloth().map_or(Selvedges::None, |cloth| cloth.selvedges);
        let (left, right) = match (ground.spread, finished) {
            (Spread::Folded, Selvedges::Both) => (ClothEdge::Fold, ClothEdge::Selvedge),
            (Spread::Folded, _) => (ClothEdge::Fold, ClothEdge::Raw),
            (Spread::Single, Selvedges::Both) => (ClothEdge::Selvedge, ClothEdge::Selvedge),
            (Spread::Single, Selvedges::Left) => (ClothEdge::Selvedge, ClothEdge::Raw),
            (Spread::Single, Selvedges::Right) => (ClothEdge::Raw, ClothEdge::Selvedge),
            (Spread::Single, Selvedges::None) => (ClothEdge::Raw, ClothEdge::Raw),
        };
        let place = |x: f64, y: f64| to_page * Point::new(x, y);
        page.line(left.class(), place(0.0, 0.0), place(0.0, self.drawn));
        let mut line = BezPath::new();
        line.move_to((ground.width_at(0.0), 0.0));
        let right_side = ground.corners().filter(|place| place.y > 0.0 && place.y < self.drawn);
        right_side.for_each(|place| line.line_to(place));
        line.line_to((ground.width_at(self.drawn), self.drawn));
        page.path(right.class(), &(to_page * line));
        page.line("tick", place(0.0, 0.0), place(ground.width_at(0.0), 0.0));
        let size = self.text * 0.6;
        let (below, above) =
            (place(0.0, 0.0).y + size * 1.3, place(ground.width_at(0.0), 0.0).y - size * 0.6);
        let x = place(0.0, 0.0).x;
        page.words(&self.words(left.name().to_owned(), Point::new(x, below), size, "quiet"));
        page.words(&self.words(right.name().to_owned(), Point::new(x, above), size, "quiet"));
    }

    fn write_leftover(&self, page: &mut SvgPage, left: Rect) {
        let Some((across, along)) = self.usage.leftover else { return };
        let text = format!("left over {} × {}", self.show(across), self.show(along));
        let room = (left.width() - 8.0, left.height() - 8.0);
        let size_for = |room: (f64, f64)| (room.0 / text_width(&text, 1.0)).min(room.1 * 0.6).min(self.text);
        let (flat, upright) = (size_for(room), size_for((room.1, room.0)));
        let written = if upright > flat { Written::Upward } else { Written::Across };
        let size = flat.max(upright);
        /// Smaller lettering is left out: the title tells what is used.
        const SMALLEST: f64 = 4.0;
        if size >= SMALLEST {
            let (at, anchor) = (left.center(), Anchor::Middle);
            page.words(&Words { text, at, size, anchor, written, class: "quiet" });
        }
    }
}

/// Labels that have no room in their pieces, in rows above the cloth.
struct Leaders<'a> {
    /// The row, the left end and the piece of each.
    placed: Vec<(usize, f64, &'a LabelledPiece<'a>, &'a str)>,
    rows: usize,
}

impl<'a> Leaders<'a> {
    fn of(pieces: &'a [LabelledPiece<'a>], text: f64) -> Leaders<'a> {
        let size = text * 0.7;
        let mut led: Vec<_> = pieces.iter().filter_map(|piece| Some((piece, piece.led_out()?))).collect();
        led.sort_by(|a, b| a.0.inside.x.total_cmp(&b.0.inside.x));
        let mut ends: Vec<f64> = Vec::new();
        let mut placed = Vec::new();
        for (piece, name) in led {
            let from = piece.inside.x;
            let row = ends.iter().position(|end| *end <= from).unwrap_or(ends.len());
            let end = from + text_width(name, size) + size;
            match ends.get_mut(row) {
                Some(last) => *last = end,
                None => ends.push(end),
            }
            placed.push((row, from, piece, name));
        }
        Leaders { placed, rows: ends.len() }
    }

    fn height(&self, text: f64) -> f64 {
        self.rows as f64 * text
    }

    /// Draws the labels above a corner, and the lines that lead to them.
    fn draw(&self, page: &mut SvgPage, corner: Point, text: f64) {
        let size = text * 0.7;
        for (row, from, piece, name) in &self.placed {
            let foot = Point::new(corner.x + from, corner.y - text * 1.3 - *row as f64 * text);
            page.line("leader", corner + piece.inside.to_vec2(), foot);
            let at = foot + (size * 0.3, -size * 0.1);
            let (text, anchor) = ((*name).to_owned(), Anchor::Start);
            page.words(&Words { text, at, size, anchor, written: Written::Across, class: "title" });
        }
    }
}
