//! The cloth as it is drawn on the table: every length and panel of it, whole, as wide against the pieces as it is.
//!
//! ```text
//!   panel   bolt   bolt  │ pieces      the start of each length is level with the pieces, its end far below
//! ```

use kurbo::{Affine, BezPath, Rect, Shape, Size, Vec2};
use serde::Serialize;

use crate::canvas::{Drawing, Font, Label, Layer, LineKind, Tone, chords, clipped, group_in_page, polygon};
use crate::cloth::layout::{Ground, Spread};
use crate::cloth::picture::{self, STRIPE, draw_stripe, flaw_lines, stripe_tone};
use crate::cloth::{Bolt, Cloth, Panel, Selvedges, Stock, StripesAlong};
use crate::curve::Point;
use crate::pattern::{Pattern, Piece};
use crate::units::{Length, MM_PER_METRE, MM_PER_YARD, Unit};

/// How many times larger than on paper texts and lines are: the table is seen from farther off.
pub(super) const MAGNIFIED: f64 = 2.4;

/// Between one length and the next, and the pieces, mm.
const BESIDE: f64 = 160.0;

/// Beside the left edge of a length, for the marks along it, mm.
const MARKED: f64 = 110.0;

/// Size of the letters on the cloth, mm.
const LETTERS: f64 = 16.0;

/// A length or a panel of cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClothSeen {
    /// What it is called, and how large it is.
    pub called: String,
    /// Its drawing.
    pub drawing: String,
}

/// What may be shown of the table, each a box: left, top, width, height, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Views {
    /// The pieces, and as much of the first cloth beside them.
    pub first: [f64; 4],
    /// The pieces, and as much of every cloth.
    pub whole: [f64; 4],
}

/// The cloth beside the pieces, the first of it next to them, and what is shown of it.
pub(super) fn around(pattern: &Pattern, stock: Option<&Stock>, unit: Unit) -> (Vec<ClothSeen>, Views) {
    let boxes = pattern.pieces().map(Piece::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let parts = stock.map(|stock| placed(pattern, stock)).unwrap_or_default();
    let shown = parts.first().map_or(boxes.x0, |(.., at)| at.x);
    let leftmost = parts.last().map_or(boxes.x0, |(.., at)| at.x);
    let colours = stock.iter().flat_map(|stock| {
        let grounds = Ground::all(stock, Spread::Single).into_iter();
        grounds.map(|ground| picture::colours(stock, &ground))
    });
    let seen = parts.into_iter().zip(colours).map(|((cloth, part, at), colours)| {
        let mut drawing = part.drawn(cloth, unit);
        drawing.add(colours);
        ClothSeen {
            called: part.called(cloth, unit),
            drawing: group_in_page(&drawing.moved(Affine::translate(at)), MAGNIFIED),
        }
    });
    let view = |left: f64| {
        // Beside cloth there is room for its marks.
        let beside = if left < boxes.x0 { MARKED } else { BESIDE / 2.0 };
        let around = Rect::new(left - beside, boxes.y0, boxes.x1, boxes.y1).inset((0.0, BESIDE / 2.0));
        [around.x0, around.y0, around.width() + BESIDE / 2.0, around.height()]
    };
    let views = Views { first: view(shown), whole: view(leftmost) };
    (seen.collect(), views)
}

/// Where on the table the start of each thing that is laid on lies, and how far it reaches across and along: in the order of
/// the grounds of a layout.
pub(super) fn grounds(pattern: &Pattern, stock: &Stock) -> Vec<Rect> {
    let parts = placed(pattern, stock).into_iter();
    parts.map(|(_, part, at)| Rect::from_origin_size(at.to_point(), part.size())).collect()
}

/// The cloth that lies at a place of the table.
pub(super) fn cloth_at<'a>(pattern: &Pattern, stock: &'a Stock, at: Point) -> Option<&'a Cloth> {
    let mut parts = placed(pattern, stock).into_iter();
    let lies = |part: &ClothPart<'_>, start: Vec2| Rect::from_origin_size(start.to_point(), part.size());
    parts.find(|(_, part, start)| lies(part, *start).contains(at)).map(|(cloth, ..)| cloth)
}

/// Each length of cloth and each copy of a panel, and where it lies.
fn placed<'a>(pattern: &Pattern, stock: &'a Stock) -> Vec<(&'a Cloth, ClothPart<'a>, Vec2)> {
    let boxes = pattern.pieces().map(Piece::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let mut left = boxes.x0;
    let parts = stock.cloths().flat_map(|cloth| parts(cloth).map(move |part| (cloth, part)));
    let placed = parts.map(|(cloth, part)| {
        left -= BESIDE + part.size().width;
        (cloth, part, Vec2::new(left, boxes.y0))
    });
    placed.collect()
}

/// What is drawn of a cloth by itself.
#[derive(Clone, Copy)]
enum ClothPart<'a> {
    Length(&'a Bolt),
    Panel(&'a Panel),
}

fn parts(cloth: &Cloth) -> impl Iterator<Item = ClothPart<'_>> {
    let panels =
        cloth.panels().iter().flat_map(|panel| (0..panel.copies()).map(move |_| ClothPart::Panel(panel)));
    cloth.bolts().iter().map(ClothPart::Length).chain(panels)
}

impl ClothPart<'_> {
    /// How far it reaches across and along, mm.
    fn size(&self) -> Size {
        match self {
            ClothPart::Length(bolt) => Size::new(bolt.width().greatest(0.0, bolt.length()), bolt.length()),
            ClothPart::Panel(panel) => panel.reach().into(),
        }
    }

    fn called(&self, cloth: &Cloth, unit: Unit) -> String {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        match self {
            ClothPart::Length(bolt) => {
                let wide = show(bolt.width().at(0.0));
                format!("{}, {wide} wide, {} long", cloth.name(), show(bolt.length()))
            }
            ClothPart::Panel(panel) => {
                let (width, length) = panel.reach();
                format!("{}, {}, {} wide, {} long", cloth.name(), panel.name(), show(width), show(length))
            }
        }
    }

    /// Drawn with its start at nothing, along downward.
    fn drawn(&self, cloth: &Cloth, unit: Unit) -> Drawing {
        match self {
            ClothPart::Length(bolt) => length_drawn(cloth, bolt, unit),
            ClothPart::Panel(panel) => panel_drawn(cloth, panel),
        }
    }
}

fn length_drawn(cloth: &Cloth, bolt: &Bolt, unit: Unit) -> Drawing {
    let (start, length) = (bolt.width().at(0.0), bolt.length());
    let places = bolt.width().places_to(length).into_iter();
    let right: Vec<Point> = places.map(|place| Point::new(bolt.width().at(place), place)).collect();
    let foot = Point::new(0.0, length);
    let around: Vec<Point> = [Point::ORIGIN].into_iter().chain(right.iter().copied()).chain([foot]).collect();
    let border = polygon(&around);
    let mut drawing = Drawing::default();
    let flaws = bolt.flaws().iter().flat_map(|flaw| {
        let (x, y) = flaw.end();
        flaw_lines(&Rect::new(flaw.at.0, flaw.at.1, x, y).to_path(0.1))
    });
    fill(&mut drawing, border, &stripes(cloth, bolt), flaws);
    let finished = |is: bool| if is { LineKind::Selvedge } else { LineKind::RawEdge };
    let (on_left, on_right) = match cloth.selvedges {
        Selvedges::Both => (true, true),
        Selvedges::Left => (true, false),
        Selvedges::Right => (false, true),
        Selvedges::None => (false, false),
    };
    drawing.line(finished(on_left), Point::ORIGIN, foot);
    right.windows(2).for_each(|pair| drawing.line(finished(on_right), pair[0], pair[1]));
    drawing.line(LineKind::RawEdge, Point::ORIGIN, right[0]);
    drawing.line(LineKind::RawEdge, foot, Point::new(bolt.width().at(length), length));
    let wide = format!("{} wide", Length::from_mm(start).show(unit));
    // Above its start: what is laid on it lies on no name.
    for (text, up) in [(cloth.name().to_string(), 2.3), (wide, 0.9)] {
        let at = Point::new(start / 2.0, -up * LETTERS);
        drawing.labels.push(Label::level(text, at, LETTERS, Layer::Labels));
    }
    measure(&mut drawing, length, unit);
    drawing
}

/// Marks beside the left edge how far from the start a place is, each metre or yard.
fn measure(drawing: &mut Drawing, length: f64, unit: Unit) {
    const TICK: f64 = 12.0;
    let each = if unit == Unit::Inch { MM_PER_YARD } else { MM_PER_METRE };
    for number in 1..=(length / each).floor() as usize {
        let at = Point::new(0.0, number as f64 * each);
        drawing.line(LineKind::Rule, at, at - Vec2::new(TICK, 0.0));
        let text = Length::from_mm(at.y).show(unit);
        let wide = Font::get().width(&text) * LETTERS;
        let beside = at + Vec2::new(-1.3 * TICK - wide, 0.3 * LETTERS);
        drawing.labels.push(Label::from_left(text, beside, LETTERS, Layer::Labels));
    }
}

/// The middles of the stripes of a length, each with the tone of the colour that it is called by, if any.
fn stripes(cloth: &Cloth, bolt: &Bolt) -> Vec<(Tone, (Point, Point))> {
    let (width, length) = (bolt.width().greatest(0.0, bolt.length()), bolt.length());
    let lines = cloth.stripes().iter().flat_map(|stripes| {
        let (reach, whole) = match stripes.along {
            StripesAlong::Width => (length, width),
            StripesAlong::Length => (width, length),
        };
        stripes.within(reach).into_iter().map(move |at| {
            let tone = stripes.mark_at(at).and_then(stripe_tone).unwrap_or(Tone::PaleBlue);
            (tone, stripes.along.line(at, whole))
        })
    });
    lines.collect()
}

fn panel_drawn(cloth: &Cloth, panel: &Panel) -> Drawing {
    let upright = Affine::rotate(std::f64::consts::FRAC_PI_2 - panel.grain().atan2());
    let path = upright * panel.outline().to_path();
    let bounds = path.bounding_box();
    let path = Affine::translate((-bounds.x0, -bounds.y0)) * path;
    let mut drawing = Drawing::default();
    fill(&mut drawing, path.clone(), &[], []);
    drawing.stroke(LineKind::RawEdge, path);
    let middle = Point::new(bounds.width() / 2.0, bounds.height() / 2.0);
    for (text, down) in [(cloth.name().to_string(), 0.0), (panel.name().to_owned(), 1.4)] {
        let at = middle + Vec2::new(0.0, down * LETTERS);
        drawing.labels.push(Label::level(text, at, LETTERS, Layer::Labels));
    }
    drawing
}

/// Fills a border with the tone of cloth, and draws stripes and the lines of flaws as far as they lie within it.
fn fill(
    drawing: &mut Drawing,
    border: BezPath,
    stripes: &[(Tone, (Point, Point))],
    flaws: impl IntoIterator<Item = (Point, Point)>,
) {
    let ring = chords(&border, 1.0);
    drawing.fill(border, Tone::Cloth, Layer::Cutting);
    for (tone, (from, to)) in stripes {
        for ends in clipped(&ring, *from, *to) {
            draw_stripe(drawing, *tone, ends, STRIPE, Layer::Cutting);
        }
    }
    for (from, to) in flaws {
        for (from, to) in clipped(&ring, from, to) {
            drawing.line(LineKind::Flaw, from, to);
        }
    }
}
