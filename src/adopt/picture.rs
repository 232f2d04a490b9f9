//! The picture to point at: over the drawing itself, pale, each outline with its letter, each edge with its number and
//! length, each line with its letter.

use kurbo::{Point, Rect, Vec2};

use crate::adopt::found::{Found, FoundLine, FoundOutline, Guess};
use crate::adopt::room::{Slot, TakenRoom};
use crate::canvas::shortened;
use crate::curve::{BezPath, Curve, left_of};
use crate::drawing::number::{number, path_data};
use crate::sheet::WriteError;
use crate::sheet::element::Element;
use crate::sheet::labels::readable;
use crate::units::{Length, Unit};

/// How the picture looks. Lines are told apart by their dashes as well as by colour.
const STYLE: &str = "\n    .outline { fill: #f4f1ea; fill-opacity: 0.5; stroke: #222 }\n    .line { fill: none; stroke: #06c }\n    \
    .corner { fill: #222; stroke: none }\n    .gap { fill: none; stroke: #c00; stroke-dasharray: 2 1 }\n    .lead { fill: none; stroke: #888 } .foot { fill: #555; stroke: none }\n    \
    text { font-family: sans-serif; fill: #222; paint-order: stroke; stroke: #fff; stroke-linejoin: round }\n    \
    .letter { font-weight: bold; fill: #a30 }\n    .of-line { fill: #05a; font-style: italic }\n  ";

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

/// How many times as high as the figures the letter of an outline is, and at least where it does not fit in.
const LETTER: f64 = 3.0;
const LEAST_LETTER: f64 = 1.4;

/// How much of the shorter side of its outline a letter takes.
const LETTER_SHARE: f64 = 0.3;

/// How wide the lines of the picture are, as shares of the height of the figures.
const OUTLINE_WIDTH: f64 = 0.1;
const LINE_WIDTH: f64 = 0.08;
const LEAD_WIDTH: f64 = 0.06;

/// How far the middle of a figure stands over its foot, as a share of its height.
const MIDDLE_OF_FIGURES: f64 = 0.36;

/// Width of a figure as a share of its height.
const FIGURE_WIDTH: f64 = 0.58;

/// Room between the letters of two lines, as a share of their height.
const BETWEEN_LETTERS: f64 = 0.4;

/// By how much a bold letter is wider, with the white around it.
const BOLD_WIDTH: f64 = 1.6;

/// Outlines of more edges than this get each figure where it comes to lie: nobody reads so many.
const MOST_LOOKED_FOR: usize = 600;

/// Draws what was found.
///
/// # Errors
///
/// Refuses numbers that SVG cannot hold.
pub fn picture(found: &Found, unit: Unit) -> Result<String, WriteError> {
    let (labels, leads) = labels(found, unit);
    let whole = whole(found);
    let shown = found.beneath.bounds().map_or(whole, |beneath| whole.union(beneath));
    let all = labels.iter().map(|label| label.slot.bounds()).fold(shown, |all, label| all.union(label));
    let mut root = paper(all.inflate(MARGIN, MARGIN).expand())?;
    root.add(found.beneath.element(&found.styles)?);
    for outline in &found.outlines {
        let figures = figures(outline.bounds(), whole);
        root.add(path("outline", &outline.ring.to_path(), figures * OUTLINE_WIDTH)?);
    }
    for line in &found.lines {
        let width = line_figures(found, line, whole) * LINE_WIDTH;
        root.add(path("line", &line.curve.to_path(), width)?);
    }
    for gap in &found.gaps {
        let middle = gap.from.midpoint(gap.to);
        let mut circle = dot(middle, gap.width().max(4.0), "gap")?;
        circle.set("stroke-width", "1");
        root.add(circle);
    }
    for (lead, width) in &leads {
        root.add(path("lead", &lead.to_path(), *width)?);
        root.add(dot(lead.start(), 1.2 * width, "foot")?);
    }
    for outline in &found.outlines {
        let height = figures(outline.bounds(), whole);
        for edge in &outline.edges {
            root.add(dot(edge.start(), height * 0.22, "corner")?);
        }
    }
    for label in labels {
        root.add(label.element()?);
    }
    Ok(format!("{root}\n"))
}

/// White paper.
fn paper(view: Rect) -> Result<Element, WriteError> {
    let mut root = Element::new("svg");
    root.set("xmlns", "http://www.w3.org/2000/svg");
    root.set("width", format!("{}mm", view.width()));
    root.set("height", format!("{}mm", view.height()));
    root.set("viewBox", format!("{} {} {} {}", view.x0, view.y0, view.width(), view.height()));
    root.add_source(format!("<style>{STYLE}</style>"));
    let mut paper = Element::new("rect");
    paper.set("fill", "#fff");
    let sides = [("x", view.x0), ("y", view.y0), ("width", view.width()), ("height", view.height())];
    for (name, value) in sides {
        paper.set(name, number(value)?);
    }
    root.add(paper);
    Ok(root)
}

/// All labels, and lines that lead from those which had no room near what they name, each with its width.
fn labels(found: &Found, unit: Unit) -> (Vec<Label>, Vec<(Curve, f64)>) {
    let whole = whole(found);
    let mut writer = LabelWriter {
        room: TakenRoom::for_labels(least_figures(whole)),
        labels: Vec::new(),
        leads: Vec::new(),
    };
    for outline in &found.outlines {
        let step = figures(outline.bounds(), whole) / 2.0;
        outline.edges.iter().for_each(|edge| writer.room.take_line(edge, step));
    }
    for line in &found.lines {
        writer.room.take_line(&line.curve, line_figures(found, line, whole) / 4.0);
    }
    for outline in &found.outlines {
        let height = figures(outline.bounds(), whole);
        for (at, edge) in outline.edges.iter().enumerate() {
            let text = format!("{} · {}", at + 1, Length::from_mm(edge.length()).show(unit));
            let wide = width(&text, height);
            let slots = beside_edge(edge, wide, height);
            if outline.edges.len() > MOST_LOOKED_FOR {
                let slot = slots.first().copied();
                let slot = slot.unwrap_or_else(|| Slot::level(edge.start(), wide, height));
                let slot = writer.room.place_anyhow(slot);
                writer.labels.push(Label { names: Names::Edge, text, slot });
            } else {
                writer.write(Names::Edge, text, &slots, Slot::level(edge.start(), wide, height), edge);
            }
        }
    }
    for line in &found.lines {
        let height = line_figures(found, line, whole);
        let text = line.letter.to_string();
        let wide = width(&text, height) + BETWEEN_LETTERS * height;
        let slots = beside_line(found, line, wide, height);
        writer.write(Names::Line, text, &slots, Slot::level(line.curve.start(), wide, height), &line.curve);
    }
    for outline in &found.outlines {
        let bounds = outline.bounds();
        let least = figures(bounds, whole);
        let fits = bounds.width().min(bounds.height()) * LETTER_SHARE;
        let height = (least * LETTER).min(fits).max(least * LEAST_LETTER);
        let text = outline.letter.to_string();
        let wide = width(&text, height) * BOLD_WIDTH;
        let slots = middles_of(found, outline).into_iter().map(|at| Slot::level(at, wide, height));
        let inside = |slot: &Slot| slot.corners().iter().all(|corner| outline.ring.contains(*corner));
        let slots: Vec<Slot> = slots.filter(inside).collect();
        writer.write(
            Names::Outline,
            text,
            &slots,
            Slot::level(bounds.center(), wide, height),
            outline.longest(),
        );
    }
    (writer.labels, writer.leads)
}

/// Labels as they are placed.
struct LabelWriter {
    room: TakenRoom,
    labels: Vec<Label>,
    leads: Vec<(Curve, f64)>,
}

impl LabelWriter {
    /// Writes what names a line in one of several slots, or else somewhere around its middle. A line leads there from the
    /// line that is named where the label stands away from it, or another line lies nearer.
    fn write(&mut self, names: Names, text: String, slots: &[Slot], like: Slot, line: &Curve) {
        /// How far away a label stands that is led to, and beside which it is not asked what lies nearer, as multiples of
        /// its height.
        const AWAY: f64 = 1.0;
        const BESIDE: f64 = 0.25;
        /// How much nearer another line lies that a label could be taken to name.
        const NEARER: f64 = 0.75;
        let middle = line.point_at(line.length() / 2.0);
        let slot = self.room.place(slots, like, middle);
        let is_beside = slots.contains(&slot);
        let near = line.nearest(slot.middle).point;
        let end = slot.nearest(near);
        let off = near.distance(end);
        let led = match names {
            Names::Outline => !is_beside,
            Names::Edge | Names::Line => {
                off > AWAY * slot.height
                    || (off > BESIDE * slot.height && self.room.is_anything_within(end, NEARER * off))
            }
        };
        let from = if is_beside && off <= AWAY * slot.height { near } else { middle };
        if let Some(lead) = lead(from, &slot).filter(|_| led) {
            self.room.take_line(&lead, slot.height / 4.0);
            self.leads.push((lead, slot.height * LEAD_WIDTH));
        }
        self.labels.push(Label { names, text, slot });
    }
}

fn width(text: &str, height: f64) -> f64 {
    text.chars().count() as f64 * FIGURE_WIDTH * height
}

/// The box around all that was found.
fn whole(found: &Found) -> Rect {
    let boxes = found.outlines.iter().map(FoundOutline::bounds);
    let lines = found.lines.iter().map(|line| line.curve.bounds());
    boxes.chain(lines).reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 100.0, 100.0))
}

/// The height of the figures on a piece, within the whole picture.
fn figures(bounds: Rect, whole: Rect) -> f64 {
    let least = least_figures(whole);
    let longer = bounds.width().max(bounds.height());
    (longer * FIGURES_SHARE).clamp(least, LARGEST_FIGURES.max(least))
}

/// The height of the smallest figures in a picture.
fn least_figures(whole: Rect) -> f64 {
    (whole.width().max(whole.height()) * SEEN_SHARE).max(SMALLEST_FIGURES)
}

fn line_figures(found: &Found, line: &FoundLine, whole: Rect) -> f64 {
    let bounds = match line.inside {
        Some(at) => found.outlines[at].bounds(),
        None => line.curve.bounds(),
    };
    figures(bounds, whole)
}

fn path(class: &str, line: &BezPath, width: f64) -> Result<Element, WriteError> {
    let mut element = Element::new("path");
    element.set("class", class);
    element.set("d", path_data(line)?);
    element.set("stroke-width", number(width)?);
    Ok(element)
}

fn dot(at: Point, radius: f64, class: &str) -> Result<Element, WriteError> {
    let mut circle = Element::new("circle");
    circle.set("class", class);
    circle.set("cx", number(at.x)?);
    circle.set("cy", number(at.y)?);
    circle.set("r", number(radius)?);
    Ok(circle)
}

/// What a label names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Names {
    Edge,
    Line,
    Outline,
}

impl Names {
    fn class(self) -> &'static str {
        match self {
            Names::Edge => "number",
            Names::Line => "of-line",
            Names::Outline => "letter",
        }
    }
}

/// A text at its place.
struct Label {
    names: Names,
    text: String,
    slot: Slot,
}

impl Label {
    fn element(self) -> Result<Element, WriteError> {
        let Slot { middle, along, height, .. } = self.slot;
        let mut element = Element::new("text");
        element.set("class", self.names.class());
        element.set("font-size", number(height)?);
        element.set("stroke-width", number(height * 0.25)?);
        element.set("text-anchor", "middle");
        element.set("y", number(height * MIDDLE_OF_FIGURES)?);
        let turned = along.y.atan2(along.x).to_degrees();
        let turn = if turned == 0.0 { String::new() } else { format!(" rotate({})", number(turned)?) };
        element.set("transform", format!("translate({} {}){turn}", number(middle.x)?, number(middle.y)?));
        element.add_text(shortened(&self.text));
        Ok(element)
    }
}

/// Where the number and length of an edge may stand, the best first: along it, inside, near its middle, where it is long
/// enough; else level, beside its middle, further and further out.
fn beside_edge(edge: &Curve, width: f64, height: f64) -> Vec<Slot> {
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
            slots.push(Slot {
                middle: edge.point_at(at) + side * off,
                along: readable(along),
                width,
                height,
            });
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
                slots.push(Slot::level(at, width, height));
            }
        }
    }
    slots
}

/// A line from what is named to its label.
fn lead(from: Point, slot: &Slot) -> Option<Curve> {
    let bounds = slot.bounds();
    Curve::line(from, Point::new(from.x.clamp(bounds.x0, bounds.x1), from.y.clamp(bounds.y0, bounds.y1))).ok()
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
fn beside_line(found: &Found, line: &FoundLine, width: f64, height: f64) -> Vec<Slot> {
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
    places.into_iter().map(|at| Slot::level(at, width, height)).collect()
}
