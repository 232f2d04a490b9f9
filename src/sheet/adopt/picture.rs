//! The picture to point at: each outline with its letter, each edge with its number and length, each line with its
//! letter.

use kurbo::{Point, Rect, Vec2};

use crate::curve::{BezPath, Curve};
use crate::sheet::WriteError;
use crate::sheet::adopt::found::{Found, FoundLine, FoundOutline, Guess};
use crate::sheet::drawing::number::{number, path_data};
use crate::sheet::element::Element;
use crate::units::{Length, Unit};

/// How the picture looks. Lines are told apart by their dashes as well as by colour.
const STYLE: &str = "\n    .outline { fill: #f4f1ea; stroke: #222 }\n    .line { fill: none; stroke: #06c }\n    \
    .corner { fill: #222; stroke: none }\n    .gap { fill: none; stroke: #c00; stroke-dasharray: 2 1 }\n    \
    text { font-family: sans-serif; fill: #222; paint-order: stroke; stroke: #fff; stroke-linejoin: round }\n    \
    .letter { font-weight: bold; fill: #a30 }\n    .of-line { fill: #05a; font-style: italic }\n  ";

/// Paper around the picture, mm.
const MARGIN: f64 = 20.0;

/// The smallest and largest figures, mm: those on a piece 5 cm wide must fit beside its edges, those on one 120 cm long
/// must be seen when the whole fills a screen.
const SMALLEST_FIGURES: f64 = 2.6;
const LARGEST_FIGURES: f64 = 11.0;

/// Height of the figures as a share of the longer side of a piece.
const FIGURES_SHARE: f64 = 1.0 / 85.0;

/// How far the middle of a figure stands over its foot, as a share of its height.
const MIDDLE_OF_FIGURES: f64 = 0.36;

/// Width of a figure as a share of its height.
const FIGURE_WIDTH: f64 = 0.58;

/// Draws what was found.
///
/// # Errors
///
/// Refuses numbers that SVG cannot hold.
pub fn picture(found: &Found, unit: Unit) -> Result<String, WriteError> {
    let boxes = found.outlines.iter().map(FoundOutline::bounds);
    let lines = found.lines.iter().map(|line| line.curve.bounds());
    let all = boxes.chain(lines).reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 100.0, 100.0));
    let view = all.inflate(MARGIN, MARGIN).expand();
    let mut root = Element::new("svg");
    root.set("xmlns", "http://www.w3.org/2000/svg");
    root.set("width", format!("{}mm", view.width()));
    root.set("height", format!("{}mm", view.height()));
    root.set("viewBox", format!("{} {} {} {}", view.x0, view.y0, view.width(), view.height()));
    root.add_source(format!("<style>{STYLE}</style>"));
    let mut paper = Element::new("rect");
    paper.set("fill", "#fff");
    for (name, value) in [("x", view.x0), ("y", view.y0), ("width", view.width()), ("height", view.height())]
    {
        paper.set(name, number(value)?);
    }
    root.add(paper);
    for outline in &found.outlines {
        let figures = figures(outline.bounds());
        root.add(path("outline", &outline.ring.to_path(), figures * 0.1)?);
    }
    for line in &found.lines {
        root.add(path("line", &line.curve.to_path(), line_figures(found, line) * 0.08)?);
    }
    for gap in &found.gaps {
        let middle = gap.from.midpoint(gap.to);
        let mut circle = dot(middle, gap.width().max(4.0), "gap")?;
        circle.set("stroke-width", "1");
        root.add(circle);
    }
    for outline in &found.outlines {
        label_outline(&mut root, found, outline, unit)?;
    }
    for line in &found.lines {
        label_line(&mut root, found, line)?;
    }
    Ok(format!("{root}\n"))
}

fn figures(bounds: Rect) -> f64 {
    (bounds.width().max(bounds.height()) * FIGURES_SHARE).clamp(SMALLEST_FIGURES, LARGEST_FIGURES)
}

fn line_figures(found: &Found, line: &FoundLine) -> f64 {
    match line.inside {
        Some(at) => figures(found.outlines[at].bounds()),
        None => figures(line.curve.bounds()),
    }
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

/// How a text stands at its place.
struct Label<'a> {
    class: &'a str,
    text: String,
    at: Point,
    height: f64,
    /// Degrees clockwise as seen.
    turned: f64,
    anchor: &'static str,
}

impl Label<'_> {
    fn element(self) -> Result<Element, WriteError> {
        let mut element = Element::new("text");
        element.set("class", self.class);
        element.set("font-size", number(self.height)?);
        element.set("stroke-width", number(self.height * 0.25)?);
        element.set("text-anchor", self.anchor);
        element.set("y", number(self.height * MIDDLE_OF_FIGURES)?);
        let (x, y) = (number(self.at.x)?, number(self.at.y)?);
        let turn =
            if self.turned == 0.0 { String::new() } else { format!(" rotate({})", number(self.turned)?) };
        element.set("transform", format!("translate({x} {y}){turn}"));
        element.add_text(self.text);
        Ok(element)
    }
}

/// The letter in the middle, and beside each edge its number and length: inside where the edge is long enough to write
/// along it, else outside.
fn label_outline(
    root: &mut Element,
    found: &Found,
    outline: &FoundOutline,
    unit: Unit,
) -> Result<(), WriteError> {
    let height = figures(outline.bounds());
    let mut occupied: Vec<Rect> = Vec::new();
    for (at, edge) in outline.edges.iter().enumerate() {
        root.add(dot(edge.start(), height * 0.22, "corner")?);
        let text = format!("{} · {}", at + 1, Length::from_mm(edge.length()).show(unit));
        root.add(label_edge(edge, text, height, &mut occupied).element()?);
    }
    let class = "letter";
    let at = middle_of(found, outline);
    let large = (height * 3.0).min(outline.bounds().width().min(outline.bounds().height()) * 0.3);
    root.add(
        Label { class, text: outline.letter.to_string(), at, height: large, turned: 0.0, anchor: "middle" }
            .element()?,
    );
    Ok(())
}

fn label_edge(edge: &Curve, text: String, height: f64, occupied: &mut Vec<Rect>) -> Label<'static> {
    let half = edge.length() / 2.0;
    let (middle, tangent) = (edge.point_at(half), edge.tangent_at(half));
    let outward = edge.normal_outward(half);
    let width = text.chars().count() as f64 * FIGURE_WIDTH * height;
    if edge.length() > 1.15 * width {
        let upright = if tangent.x < -1e-9 || (tangent.x.abs() <= 1e-9 && tangent.y > 0.0) {
            -tangent
        } else {
            tangent
        };
        let at = middle - outward * (height * 0.9 + bow(edge, width, -outward));
        let turned = upright.y.atan2(upright.x).to_degrees();
        let (dx, dy) = ((upright.x * width).abs() / 2.0, (upright.y * width).abs() / 2.0);
        occupied
            .push(Rect::new(at.x - dx, at.y - dy, at.x + dx, at.y + dy).inflate(height / 2.0, height / 2.0));
        return Label { class: "number", text, at, height, turned, anchor: "middle" };
    }
    let mut reach = height * 1.1;
    loop {
        let at = middle + outward * reach;
        let (anchor, x0) = if outward.x > 0.4 {
            ("start", at.x)
        } else if outward.x < -0.4 {
            ("end", at.x - width)
        } else {
            ("middle", at.x - width / 2.0)
        };
        let own = Rect::new(x0, at.y - height / 2.0, x0 + width, at.y + height / 2.0);
        if reach > height * 12.0 || !occupied.iter().any(|other| other.overlaps(own)) {
            occupied.push(own);
            return Label { class: "number", text, at, height, turned: 0.0, anchor };
        }
        reach += height * 1.1;
    }
}

/// How far an edge bows to a side over the width of a label at its middle.
fn bow(edge: &Curve, width: f64, side: Vec2) -> f64 {
    let half = edge.length() / 2.0;
    let middle = edge.point_at(half);
    let off = [half - width / 2.0, half + width / 2.0].map(|at| (edge.point_at(at) - middle).dot(side));
    off.into_iter().fold(0.0, f64::max)
}

/// A place inside an outline that is far from its edges and from its lines' letters: the best on a grid.
fn middle_of(found: &Found, outline: &FoundOutline) -> Point {
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
    places
        .filter(|place| outline.ring.contains(*place))
        .max_by(|a, b| room(a).total_cmp(&room(b)))
        .unwrap_or_else(|| bounds.center())
}

/// The letter of a line beside it: at a third of a long one, beyond the free end of a short one.
fn label_line(root: &mut Element, found: &Found, line: &FoundLine) -> Result<(), WriteError> {
    let height = line_figures(found, line) * 0.9;
    let curve = &line.curve;
    let at = if curve.length() < height * 8.0 {
        let ring = line.inside.map(|at| &found.outlines[at].ring);
        let inner = |at: Point| ring.is_none_or(|ring| ring.contains(at));
        let ahead = curve.end() + curve.end_tangent() * height;
        let behind = curve.start() - curve.start_tangent() * height;
        if inner(ahead) && !inner(behind) {
            ahead
        } else if inner(behind) {
            behind
        } else {
            ahead
        }
    } else {
        let third = curve.length() / 3.0;
        curve.point_at(third) + curve.normal_outward(third) * height * 0.8
    };
    let label =
        Label { class: "of-line", text: line.letter.to_string(), at, height, turned: 0.0, anchor: "middle" };
    root.add(label.element()?);
    Ok(())
}
