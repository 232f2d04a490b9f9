//! What stands around the drawing on every page: bars, page name, neighbours, corner marks, all within the printable
//! area.
//!
//! ```text
//!   ┌ margin ─────────────────────┐
//!   │ 2-C ├──── 100 mm ────┤  1-C │   upper strip
//!   │  ┬ ┌──────────────────────┐ │
//!   │  │ │ window            ┊  │ │   ┊ where the next page is laid
//!   │  ┴ └──────────────────────┘ │
//!   └─────────────────────────────┘
//! ```
//!
//! The strips on the left and above go when pages are put together; what is on the others lies beneath the next page.

use kurbo::{Rect, Size, Vec2};

use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, polygon, wrapped};
use crate::curve::Point;
use crate::show::print::paper::Bars;
use crate::tolerance::LEAST_PRINTED;
use crate::units::MM_PER_INCH;

/// Width of the strips on the left and above, and of those on the right and below, mm.
const STRIP: f64 = 8.0;
const FAR_STRIP: f64 = 3.5;

/// Length of the bars, mm.
pub const BAR: f64 = 100.0;

/// Length of the bars in inches.
const INCHES: f64 = 4.0;

/// Distances of the bars from the window, mm.
const BAR_OFF: f64 = 2.2;
const INCH_BAR_OFF: f64 = 5.8;

/// Where the bars begin: behind the page's name, mm from the window's corner.
const BAR_FROM: f64 = 12.0;

/// Half the length of a tick at a bar's end and at a centimetre of it, mm.
const END_TICK: f64 = 1.5;
const TICK: f64 = 0.6;

/// Font heights, mm.
const NAME: f64 = 5.0;
const NOTE: f64 = 2.4;

/// Distance of the last line of the header from the window, mm.
const LINE_OFF: f64 = 1.2;

/// Half the side of a diamond, mm.
pub(super) const DIAMOND: f64 = 4.0;

/// Arms of a corner mark outside and inside the window, mm.
const CORNER: (f64, f64) = (3.0, 5.0);

/// What every page tells to do.
const MEASURE: &str = "measure both bars: do not cut where one is off";

/// What every page warns of that bears whole pieces, and the map of the others.
pub(super) const TRIAL: &str = "sew a trial garment in cheap cloth before the good one is cut";

/// A page before anything stands on it, in true millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    /// The page.
    pub page: Size,
    /// The part in which the pattern is drawn.
    pub window: Rect,
    pub margin: f64,
    pub bars: Bars,
}

/// What a page says of itself.
#[derive(Clone, Debug, Default)]
pub(super) struct Header {
    /// The name of the page; empty where it has none.
    pub name: String,
    /// Lines of text, the first the most needed.
    pub lines: Vec<String>,
    pub left: Option<String>,
    pub right: Option<String>,
    pub above: Option<String>,
    pub below: Option<String>,
}

impl Frame {
    /// The frame on a page. The window is what margins and strips leave; it may be too small to be of use.
    pub(super) fn of(page: Size, margin: f64, bars: Bars) -> Frame {
        let window = Rect::new(
            margin + STRIP,
            margin + STRIP,
            page.width - margin - FAR_STRIP,
            page.height - margin - FAR_STRIP,
        );
        Frame { page, window, margin, bars }
    }

    /// How much of a page's width or height margins and strips take, mm.
    pub(super) fn taken(margin: f64) -> f64 {
        2.0 * margin + STRIP + FAR_STRIP
    }

    /// The least window in which bars have room, mm.
    pub(super) const LEAST: f64 = BAR_FROM + BAR + 10.0;

    /// Everything around the window.
    pub(super) fn furniture(&self, header: &Header) -> Drawing {
        let mut drawing = Drawing::default();
        self.edges(&mut drawing);
        self.bars(&mut drawing);
        let window = self.window;
        if !header.name.is_empty() {
            let at = Point::new(self.margin, window.y0 - CORNER.0 - 0.6);
            drawing.labels.push(Label::from_left(header.name.as_str(), at, NAME, Layer::Pages));
        }
        self.neighbours(&mut drawing, header);
        self.lines(&mut drawing, header);
        drawing
    }

    fn edges(&self, drawing: &mut Drawing) {
        let w = self.window;
        let corners = [(w.x0, w.y0), (w.x1, w.y0), (w.x1, w.y1), (w.x0, w.y1)].map(|(x, y)| Point::new(x, y));
        drawing.stroke(LineKind::PageEdge, polygon(&corners));
        let middle = w.center();
        for corner in corners {
            let (x, y) = ((corner.x - middle.x).signum(), (corner.y - middle.y).signum());
            for way in [Vec2::new(x, 0.0), Vec2::new(0.0, y)] {
                drawing.line(LineKind::Rule, corner + way * CORNER.0, corner - way * CORNER.1);
            }
        }
    }

    fn bars(&self, drawing: &mut Drawing) {
        let window = self.window;
        let level = Bar { from: Point::new(window.x0 + BAR_FROM, window.y0), along: Vec2::new(1.0, 0.0) };
        let upright = Bar { from: Point::new(window.x0, window.y1), along: Vec2::new(0.0, -1.0) };
        for bar in [level, upright] {
            bar.draw(drawing, BAR_OFF, BAR / 10.0, 10, &format!("{BAR:.0} mm"));
            if self.bars == Bars::AndInches {
                bar.draw(drawing, INCH_BAR_OFF, MM_PER_INCH, INCHES as usize, &format!("{INCHES:.0} in"));
            }
        }
    }

    fn neighbours(&self, drawing: &mut Drawing, header: &Header) {
        let (w, m) = (self.window, self.window.center());
        let (level, up) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0));
        let sides = [
            ("left", &header.left, Point::new(w.x0 - 4.0, w.y0 + 14.0), up),
            ("right", &header.right, Point::new(w.x1 + FAR_STRIP / 2.0, m.y), up),
            ("above", &header.above, Point::new(w.x1 - 12.0, w.y0 - 4.0), level),
            ("below", &header.below, Point::new(m.x, w.y1 + FAR_STRIP / 2.0), level),
        ];
        for (side, name, middle, along) in sides {
            if let Some(name) = name {
                let mut label = Label::level(format!("{side}: {name}"), middle, NOTE, Layer::Pages);
                label.along = along;
                label.at = Label::base_of(middle, along, NOTE);
                drawing.labels.push(label);
            }
        }
    }

    /// The lines of the header along the longer of the two strips, broken and made smaller until they fit.
    fn lines(&self, drawing: &mut Drawing, header: &Header) {
        let (along, from, room) = self.header_room();
        let down = Vec2::new(-along.y, along.x);
        let (lines, size) = fitting(&header.lines, room);
        let leading = 1.1 * size;
        let last = lines.len().saturating_sub(1) as f64;
        for (i, line) in lines.into_iter().enumerate() {
            let base = from + down * ((i as f64 - last) * leading);
            let mut label = Label::level(line, base, size, Layer::Pages);
            label.along = along;
            label.at = base + along * (label.width() / 2.0);
            drawing.labels.push(label);
        }
    }

    /// The direction of the header's lines, where the last of them begins, and how long it may be.
    fn header_room(&self) -> (Vec2, Point, f64) {
        let w = self.window;
        let taken = BAR.max(INCHES * MM_PER_INCH) + 14.0;
        if w.height() >= w.width() {
            let from = Point::new(w.x0 - LINE_OFF, w.y1 - taken);
            (Vec2::new(0.0, -1.0), from, w.height() - taken - 26.0)
        } else {
            let from = Point::new(w.x0 + BAR_FROM + taken, w.y0 - LINE_OFF);
            (Vec2::new(1.0, 0.0), from, w.width() - BAR_FROM - taken - 26.0)
        }
    }
}

/// The lines of a header with what every page tells to do, broken and as large as the strip has room for; those that are
/// needed least are left out where it has none for all.
fn fitting(header: &[String], room: f64) -> (Vec<String>, f64) {
    let taken = |lines: usize, size: f64| LINE_OFF + size * (1.1 * (lines as f64 - 1.0) + 0.8);
    for count in (0..=header.len()).rev() {
        let texts = header[..count].iter().map(String::as_str).chain([MEASURE]);
        let text = texts.collect::<Vec<_>>().join(" · ");
        for size in [NOTE, LEAST_PRINTED] {
            let lines = wrapped(&text, size, room);
            if taken(lines.len(), size) <= STRIP {
                return (lines, size);
            }
        }
    }
    (wrapped(MEASURE, LEAST_PRINTED, room), LEAST_PRINTED)
}

/// Where bars begin and which way they run; they stand to the left of the way.
struct Bar {
    from: Point,
    along: Vec2,
}

impl Bar {
    fn draw(&self, drawing: &mut Drawing, off: f64, part: f64, parts: usize, text: &str) {
        let aside = Vec2::new(self.along.y, -self.along.x);
        let start = self.from + aside * off;
        let end = start + self.along * (part * parts as f64);
        drawing.line(LineKind::Rule, start, end);
        for i in 0..=parts {
            let at = start + self.along * (part * i as f64);
            let reach = if i == 0 || i == parts { END_TICK } else { TICK };
            drawing.line(LineKind::Rule, at - aside * reach, at + aside * reach);
        }
        let mut label = Label::level(text, Point::ORIGIN, NOTE, Layer::Pages);
        label.along = self.along;
        let middle = end + self.along * (1.5 + label.width() / 2.0);
        label.at = Label::base_of(middle, self.along, NOTE);
        drawing.labels.push(label);
    }
}

/// The middle of the letter in half of a diamond.
fn letter_at(at: Point, into: Vec2) -> Point {
    at + into * (DIAMOND * 0.4)
}

/// Where the letters of both halves of a diamond stand.
pub(super) fn letter_boxes(at: Point, way: Vec2) -> [Rect; 2] {
    [way, -way].map(|into| Rect::from_center_size(letter_at(at, into), (1.6 * NOTE, NOTE)))
}

/// Half of a diamond on a page's edge, with the letter of the seam between two pages.
pub(super) fn half_diamond(at: Point, into: Vec2, letter: &str) -> Drawing {
    let mut drawing = Drawing::default();
    let along = Vec2::new(-into.y, into.x) * DIAMOND;
    let mut path = crate::canvas::straight(at - along, at + into * DIAMOND);
    path.line_to(at + along);
    drawing.stroke(LineKind::Rule, path);
    let (size, level) = (NOTE, Vec2::new(1.0, 0.0));
    let middle = letter_at(at, into);
    let mut label = Label::level(letter, Label::base_of(middle, level, size), size, Layer::Pages);
    label.tone = Tone::Black;
    drawing.labels.push(label);
    drawing
}
