//! The picture to point at: over the drawing itself, pale, each outline with its letter, each edge with its number and
//! length, each line with its letter.

use crate::tolerance::ROUND;
use kurbo::{Circle, Point, Rect, Shape, Vec2};

use crate::adopt::found::{Found, NOTHING};
use crate::adopt::map::Map;
use crate::adopt::map_thing::{LineSort, MapThing, MappedPiece, SaidAt};
use crate::adopt::outlines::{FoundLine, FoundOutline, Guess};
use crate::adopt::rendered::Rendered;
use crate::canvas::{
    Drawing, Font, HALO, Label, LabelRoom, LabelSpot, Layer, Letters, LineKind, Stands, SvgPicture, Tone,
    around, block, straight,
};
use crate::curve::{Curve, left_of};
use crate::drawing::number::WriteFault;
use crate::sheet::WriteError;
use crate::units::{Length, Unit};

/// Paper around the picture, mm.
const MARGIN: f64 = 20.0;

/// The smallest and largest figures, mm: those on a piece 5 cm wide must fit beside its edges, those on one 120 cm long
/// must be seen when the whole fills a screen.
const SMALLEST_FIGURES: f64 = 3.0;
const LARGEST_FIGURES: f64 = 11.0;

/// Height of the figures as a share of the longer side of a piece.
const FIGURES_SHARE: f64 = 1.0 / 85.0;

/// The least height of any letter and figure, as a share of the picture's longer side: 9 pixels where it fills a screen of
/// 1600. Where there is no room for them beside what they name, a line leads to them.
const SEEN_SHARE: f64 = 1.0 / 180.0;

/// The same on a table, beside which a hand column stands, and which is seen from farther off.
const SEEN_ON_TABLE: f64 = 1.0 / 80.0;

/// How many times as high as the figures the letter of an outline is, and at least where it does not fit in.
const LETTER: f64 = 3.0;
const LEAST_LETTER: f64 = 1.4;

/// How much of the shorter side of its outline a letter takes.
const LETTER_SHARE: f64 = 0.3;

/// Height of the least figures beside which lines are as wide as on paper, mm.
const AS_ON_PAPER: f64 = 4.0;

/// Radius of the dot at a corner, as a share of the height of the figures, and of the foot of a line that leads to a label.
const CORNER: f64 = 0.22;
const FOOT: f64 = 0.08;

/// The least radius of the circle around a gap, mm.
const LEAST_GAP: f64 = 4.0;

/// Outlines of more edges than this get each figure where it comes to lie: nobody reads so many.
const MOST_LOOKED_FOR: usize = 600;

/// Draws what was found.
///
/// # Errors
///
/// Refuses numbers that SVG cannot hold.
pub fn picture(found: &Found, unit: Unit) -> Result<String, WriteError> {
    picture_over(found, None, unit)
}

/// Draws what was found over the drawing as a renderer sees it, where there is one, and else over what was read of it.
///
/// # Errors
///
/// Refuses numbers that SVG cannot hold.
pub fn picture_over(found: &Found, rendered: Option<&Rendered>, unit: Unit) -> Result<String, WriteError> {
    let Labelled { drawing, whole, magnified } = labelled(found, &Called::ByLetter(unit));
    let beneath = found.beneath.bounds().into_iter().chain(rendered.and(found.sheet));
    let shown = beneath.fold(whole, |all, beneath| all.union(beneath));
    let view = drawing.bounds().unwrap_or(whole).union(shown).inflate(MARGIN, MARGIN).expand();
    if !view.is_finite() {
        return Err(WriteFault::NotFinite(view.area()).into());
    }
    let mut picture = SvgPicture::new(view, "What was found in the drawing", magnified, Letters::Haloed);
    picture.add(&pieces(found));
    match rendered.zip(found.sheet) {
        Some((rendered, sheet)) => {
            let (shapes, size) = rendered.shapes();
            picture.add_pale_sheet(shapes, size, sheet);
        }
        None => picture.add_pale(found.beneath.things(&found.styles)),
    }
    picture.add(&drawing);
    Ok(picture.finish())
}

/// What outlines, edges and lines are called in a picture.
pub(crate) enum Called<'a> {
    /// By letters and numbers, edges with their lengths.
    ByLetter(Unit),
    /// As a map calls them; those of which it does not speak by letters, and edges that it does not name not at all.
    AsMapped(&'a Map, &'a [MappedPiece]),
}

impl Called<'_> {
    /// The least height of any letter and figure, as a share of the picture's longer side.
    fn seen_share(&self) -> f64 {
        match self {
            Called::ByLetter(_) => SEEN_SHARE,
            Called::AsMapped(..) => SEEN_ON_TABLE,
        }
    }

    /// Whether an outline, and what lies in it, is drawn: what is no piece is only seen beneath.
    fn shows(&self, found: &Found, outline: Option<usize>) -> bool {
        match (self, outline.and_then(|at| found.outlines.get(at))) {
            (Called::AsMapped(map, _), Some(outline)) => !map.is_ignored(outline.letter.as_str()),
            _ => true,
        }
    }

    fn outline(&self, outline: &FoundOutline) -> String {
        let letter = outline.letter.as_str();
        match self {
            Called::ByLetter(_) => letter.to_owned(),
            Called::AsMapped(map, _) if map.is_ignored(letter) => String::new(),
            Called::AsMapped(_, pieces) => {
                let piece = pieces.iter().find(|piece| piece.outline == letter);
                piece.map_or_else(|| letter.to_owned(), |piece| piece.name.clone())
            }
        }
    }

    fn edge(&self, outline: &FoundOutline, at: usize, edge: &Curve) -> String {
        match self {
            Called::ByLetter(unit) => format!("{} · {}", at + 1, Length::from_mm(edge.length()).show(*unit)),
            Called::AsMapped(_, pieces) => {
                let piece = pieces.iter().find(|piece| piece.outline == outline.letter.as_str());
                let edge = piece.and_then(|piece| piece.edges.iter().find(|(number, _)| *number == at + 1));
                edge.map_or_else(String::new, |(_, name)| name.clone())
            }
        }
    }

    fn line(&self, found: &Found, line: &FoundLine) -> String {
        let letter = line.letter.to_string();
        match self {
            Called::ByLetter(_) => letter,
            Called::AsMapped(map, _) => match map.said_at(found, &MapThing::Line(letter.clone())) {
                Some(SaidAt::Mark(_, LineSort::Nothing, _)) => String::new(),
                _ if !self.shows(found, line.inside) => String::new(),
                _ => letter,
            },
        }
    }
}

/// What was found with its labels, the box around it, and how many times as wide as on paper its lines are.
pub(crate) struct Labelled {
    pub(crate) drawing: Drawing,
    pub(crate) whole: Rect,
    pub(crate) magnified: f64,
}

/// What was found as lines, with labels that name it.
pub(crate) fn labelled(found: &Found, called: &Called<'_>) -> Labelled {
    let whole = found.bounds().unwrap_or(NOTHING);
    let least = (whole.width().max(whole.height()) * called.seen_share()).max(SMALLEST_FIGURES);
    let magnified = least / AS_ON_PAPER;
    let room = LabelRoom::on(whole, magnified);
    let mut writer = LabelWriter { found, called, least, room, drawing: Drawing::default() };
    // Beside a list of what is missing the joins of pages are only seen beneath.
    if let Called::ByLetter(_) = called {
        writer.pages();
    }
    writer.lines();
    writer.edges();
    writer.letters();
    Labelled { drawing: writer.drawing, whole, magnified }
}

/// The cloth of all outlines: it lies under the drawing itself, which would not be seen beneath it.
fn pieces(found: &Found) -> Drawing {
    let mut ground = Drawing::default();
    for outline in &found.outlines {
        ground.fill(outline.ring.to_path(), Tone::Cloth, Layer::Cutting);
    }
    ground
}

/// What is found as it is drawn, and labels as they are placed.
struct LabelWriter<'a> {
    found: &'a Found,
    called: &'a Called<'a>,
    /// The height of the smallest figures.
    least: f64,
    room: LabelRoom,
    drawing: Drawing,
}

impl LabelWriter<'_> {
    /// Where pages were joined, with their names, and what of them was left out.
    fn pages(&mut self) {
        let pages =
            self.found.pages.iter().flat_map(|told| &told.drawings).flat_map(|drawing| &drawing.pages);
        let size = self.least;
        for page in pages {
            let Some(window) = page.window else { continue };
            self.drawing.stroke(LineKind::PageJoin, window.to_path(ROUND));
            let from_corner = Vec2::new(width(&page.name, size) / 2.0 + size / 2.0, 1.4 * size);
            let name = [(page.name.clone(), 1.0)];
            for label in block(&name, level(window.origin() + from_corner), size) {
                self.room.block_label(&label);
                self.drawing.labels.push(Label { tone: Tone::Dark, ..label });
            }
        }
        for line in self.found.left_out.lines() {
            self.drawing.stroke(LineKind::LeftOut, line.clone());
        }
    }

    fn lines(&mut self) {
        let found = self.found;
        for (at, outline) in found.outlines.iter().enumerate() {
            if !self.called.shows(found, Some(at)) {
                continue;
            }
            let path = outline.ring.to_path();
            self.room.block_path(&path);
            self.drawing.stroke(LineKind::FoundOutline, path);
            let radius = figures(outline.bounds(), self.least) * CORNER;
            outline.edges.iter().for_each(|edge| self.dot(edge.start(), radius));
        }
        for line in found.lines.iter().filter(|line| self.called.shows(found, line.inside)) {
            self.room.block_path(&line.curve.to_path());
            self.drawing.stroke(LineKind::FoundLine, line.curve.to_path());
        }
        for gap in &found.gaps {
            let around = Circle::new(gap.from.midpoint(gap.to), gap.width().max(LEAST_GAP));
            self.drawing.stroke(LineKind::Gap, around.to_path(ROUND));
        }
    }

    fn dot(&mut self, at: Point, radius: f64) {
        self.drawing.fill(Circle::new(at, radius).to_path(ROUND), Tone::Black, Layer::Marks);
    }

    /// The numbers and lengths of edges.
    fn edges(&mut self) {
        let found = self.found;
        for outline in &found.outlines {
            let size = figures(outline.bounds(), self.least);
            for (at, edge) in outline.edges.iter().enumerate() {
                let text = self.called.edge(outline, at, edge);
                if text.is_empty() {
                    continue;
                }
                let mut spots = beside_edge(edge, width(&text, size), size);
                if outline.edges.len() > MOST_LOOKED_FOR {
                    spots.truncate(1);
                    for label in spots.into_iter().flat_map(|spot| block(&[(text.clone(), 1.0)], spot, size))
                    {
                        self.room.block_label(&label);
                        self.drawing.labels.push(label);
                    }
                } else {
                    self.write(Tone::Black, text, size, &spots, edge);
                }
            }
        }
    }

    /// The letters of lines, then those of outlines.
    fn letters(&mut self) {
        let found = self.found;
        for line in &found.lines {
            let size = line_figures(found, line, self.least);
            let text = self.called.line(found, line);
            if text.is_empty() {
                continue;
            }
            let spots = beside_line(found, line, width(&text, size), size);
            self.write(Tone::Blue, text, size, &spots, &line.curve);
        }
        for outline in &found.outlines {
            let bounds = outline.bounds();
            let least = figures(bounds, self.least);
            let fits = bounds.width().min(bounds.height()) * LETTER_SHARE;
            let size = (least * LETTER).min(fits).max(least * LEAST_LETTER);
            let text = self.called.outline(outline);
            if text.is_empty() {
                continue;
            }
            let half = Vec2::new(width(&text, size), size) / 2.0;
            let inside = |at: &Point| {
                let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
                let corner = |(x, y): (f64, f64)| *at + Vec2::new(x * half.x, y * half.y);
                corners.into_iter().all(|sides| outline.ring.contains(corner(sides)))
            };
            let spots: Vec<LabelSpot> =
                middles_of(found, outline).into_iter().filter(inside).map(level).collect();
            self.write(Tone::Red, text, size, &spots, outline.longest());
        }
    }

    /// Writes what names a line in one of several spots, or else somewhere around its middle. A line leads there from the
    /// line that is named where the label stands away from it, or another line lies nearer.
    fn write(&mut self, tone: Tone, text: String, size: f64, spots: &[LabelSpot], line: &Curve) {
        /// How far away a label stands that is led to, and beside which it is not asked what lies nearer, as multiples of
        /// its height.
        const AWAY: f64 = 1.0;
        const BESIDE: f64 = 0.25;
        /// How much nearer another line lies that a label could be taken to name.
        const NEARER: f64 = 0.75;
        let middle = line.point_at(line.length() / 2.0);
        let (label, stands) =
            self.room.set_at_all_events((text, 1.0), size, spots, middle, HALO / 2.0 * size);
        let letters = around(&label, 0.0);
        let near = line.nearest(letters.centre).point;
        let end = letters.nearest(near);
        let off = near.distance(end);
        let led = match (tone, stands) {
            (Tone::Red, stands) => stands == Stands::Aside,
            _ => off > AWAY * size || (off > BESIDE * size && self.room.is_line_within(end, NEARER * off)),
        };
        let from = if stands == Stands::AsAsked && off <= AWAY * size { near } else { middle };
        let bounds = letters.bounds();
        let end = Point::new(from.x.clamp(bounds.x0, bounds.x1), from.y.clamp(bounds.y0, bounds.y1));
        if led && end != from {
            let lead = straight(from, end);
            self.room.block_path(&lead);
            self.drawing.stroke(LineKind::Leader, lead);
            self.dot(from, size * FOOT);
        }
        self.drawing.labels.push(Label { tone, ..label });
    }
}

fn width(text: &str, size: f64) -> f64 {
    Font::get().width(text) * size
}

/// A spot for a label that is read from left to right.
fn level(at: Point) -> LabelSpot {
    LabelSpot::Middle { at, along: Vec2::new(1.0, 0.0) }
}

/// The height of the figures on a piece, in a picture of so large smallest ones.
fn figures(bounds: Rect, least: f64) -> f64 {
    let longer = bounds.width().max(bounds.height());
    (longer * FIGURES_SHARE).clamp(least, LARGEST_FIGURES.max(least))
}

fn line_figures(found: &Found, line: &FoundLine, least: f64) -> f64 {
    let bounds = match line.inside {
        Some(at) => found.outlines[at].bounds(),
        None => line.curve.bounds(),
    };
    figures(bounds, least)
}

/// Where the number and length of an edge may stand, the best first: along it, inside, near its middle, where it is long
/// enough; else level, beside its middle, further and further out.
fn beside_edge(edge: &Curve, width: f64, height: f64) -> Vec<LabelSpot> {
    const SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.16, 0.84];
    let mut slots = Vec::new();
    for inside in [true, false] {
        for share in SHARES {
            let at = edge.length() * share;
            if at < 0.6 * width || edge.length() - at < 0.6 * width {
                continue;
            }
            let chord = edge.point_at(at + width / 2.0) - edge.point_at(at - width / 2.0);
            let along = if chord.hypot() > 0.5 * width { chord.normalize() } else { edge.tangent_at(at) };
            let outward = left_of(along);
            let side = if inside { -outward } else { outward };
            let off = height * 0.9 + bow(edge, at, width, side);
            slots.push(LabelSpot::Middle { at: edge.point_at(at) + side * off, along });
        }
    }
    let half = edge.length() / 2.0;
    let (middle, outward) = (edge.point_at(half), edge.normal_outward(half));
    for step in 1..=9 {
        for side in [outward, -outward] {
            let at = middle + side * (height * 1.1 * f64::from(step));
            let aside = if side.x.abs() > 0.4 { side.x.signum() * width / 2.0 } else { 0.0 };
            let slid = if step == 1 { 0.0 } else { height * 1.1 * f64::from(step) };
            for slide in [0.0, slid, -slid] {
                let at = at + Vec2::new(aside, 0.0) + edge.tangent_at(half) * slide;
                slots.push(level(at));
            }
        }
    }
    slots
}

/// How far an edge bows to a side over the width of a label.
fn bow(edge: &Curve, middle: f64, width: f64, side: Vec2) -> f64 {
    let at = edge.point_at(middle);
    let over = [-0.5, -0.25, 0.25, 0.5].map(|share| middle + share * width);
    let off = over.map(|place| (edge.point_at(place) - at).dot(side));
    off.into_iter().fold(0.0, f64::max)
}

/// Places on a grid inside an outline, those far from its edges and its lines first.
fn middles_of(found: &Found, outline: &FoundOutline) -> Vec<Point> {
    /// Places tried across and down.
    const TRIED: u32 = 12;
    let bounds = outline.bounds();
    let grid = (1..TRIED).flat_map(|i| (1..TRIED).map(move |j| (i, j)));
    let places = grid.map(|(i, j)| {
        Point::new(
            bounds.x0 + bounds.width() * f64::from(i) / f64::from(TRIED),
            bounds.y0 + bounds.height() * f64::from(j) / f64::from(TRIED),
        )
    });
    let at = found.outlines.iter().position(|other| other.letter == outline.letter);
    let lines: Vec<&Curve> = found
        .lines
        .iter()
        .filter(|line| line.inside == at && line.guess != Guess::Notch)
        .take(20)
        .map(|line| &line.curve)
        .collect();
    let room = |place: &Point| {
        let edges = outline.edges.iter().map(|edge| edge.nearest(*place).distance);
        edges.chain(lines.iter().map(|line| line.nearest(*place).distance)).fold(f64::INFINITY, f64::min)
    };
    let inside = places.filter(|place| outline.ring.contains(*place));
    let mut places: Vec<(f64, Point)> = inside.map(|place| (room(&place), place)).collect();
    places.sort_by(|a, b| b.0.total_cmp(&a.0));
    places.into_iter().map(|(_, place)| place).collect()
}

/// Where the letter of a line may stand, the best first: beside a long one, beyond the free end of a short one.
fn beside_line(found: &Found, line: &FoundLine, width: f64, height: f64) -> Vec<LabelSpot> {
    const SHARES: [f64; 7] = [0.33, 0.5, 0.67, 0.2, 0.8, 0.1, 0.9];
    let curve = &line.curve;
    let reach = height * 0.5 + width * 0.5;
    let mut places = Vec::new();
    if curve.length() >= height * 8.0 {
        for share in SHARES {
            let at = curve.length() * share;
            let off = curve.normal_outward(at) * reach;
            places.extend([curve.point_at(at) + off, curve.point_at(at) - off]);
        }
    } else {
        let ring = line.inside.map(|at| &found.outlines[at].ring);
        let inner = |at: &Point| ring.is_none_or(|ring| ring.contains(*at));
        for far in [1.0, 1.8, 2.6] {
            let ahead = curve.end() + curve.end_tangent() * reach * far;
            let behind = curve.start() - curve.start_tangent() * reach * far;
            let aside = curve.normal_outward(curve.length() / 2.0) * reach * far;
            let middle = curve.point_at(curve.length() / 2.0);
            let around = [ahead, behind, middle + aside, middle - aside];
            places.extend(around.iter().copied().filter(inner));
            places.extend(around.iter().copied().filter(|at| !inner(at)));
        }
    }
    places.into_iter().map(level).collect()
}
