//! Drawings as SVG, by the crate `svg`: it writes elements, escapes and indents. The numbers that reach it are formatted, and
//! the texts are clean: it lets any through.

use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{BezPath, PathEl, Rect};
use svg::Node;
use svg::node::element::Element;
use svg::node::{Blob, Text};

use crate::canvas::{Drawing, Fill, Label, Layer, LineKind, Tone, clean, shortened};
use crate::curve::{Point, Vec2};

/// Decimals of coordinates: a thousandth of a millimetre is finer than a screen or a plotter.
const DECIMALS: i32 = 3;

/// The faces in which a viewer may show texts, the one that they are measured by first.
pub(crate) const FACES: &str = "DejaVu Sans Condensed, DejaVu Sans, Verdana, sans-serif";

/// Width of the line that makes white around letters that may lie on something, as a share of their height: half of it is
/// seen.
pub(crate) const HALO: f64 = 0.18;

/// What letters stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Letters {
    /// They stand where nothing else is.
    Plain,
    /// White is around them, so that they can be read over lines.
    Haloed,
}

/// How a drawing is written.
#[derive(Clone, Copy, Debug)]
struct Style {
    /// How many times as wide as on paper lines are.
    magnified: f64,
    letters: Letters,
    inks: Inks,
}

/// Whose inks a drawing has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Inks {
    Own,
    /// Classes for tones, of which the page makes what it will.
    OfPage,
}

/// A thing that somebody else drew, in its own colour, mm.
pub(crate) enum ForeignThing<'a> {
    Surface { path: &'a BezPath, colour: String },
    Line { path: &'a BezPath, colour: String, width: f64, dash: &'a [f64] },
    Writing { words: &'a str, at: Point, along: Vec2, size: f64 },
}

impl ForeignThing<'_> {
    fn element(self) -> Element {
        match self {
            ForeignThing::Surface { path, colour } => element("path", [("d", data(path)), ("fill", colour)]),
            ForeignThing::Line { path, colour, width, dash } => {
                let look = [("fill", "none".to_owned()), ("stroke", colour), ("stroke-width", number(width))];
                let mut line = element("path", look.into_iter().chain([("d", data(path))]));
                if !dash.is_empty() {
                    line.assign(
                        "stroke-dasharray",
                        dash.iter().map(|length| number(*length)).collect::<Vec<_>>().join(" "),
                    );
                }
                line
            }
            ForeignThing::Writing { words, at, along, size } => {
                let turn = number(along.y.atan2(along.x).to_degrees());
                let place = format!("translate({} {}) rotate({turn})", number(at.x), number(at.y));
                let look = [
                    ("class", "drawn".to_owned()),
                    ("font-size", number(size)),
                    ("text-anchor", "start".to_owned()),
                ];
                let mut text = element("text", look.into_iter().chain([("transform", place)]));
                text.append(Text::new(shortened(words)));
                text
            }
        }
    }
}

/// How much of its own colour what somebody else drew keeps beneath a picture.
const PALE: &str = "0.4";

/// A picture under way, one user unit a millimetre.
pub(crate) struct SvgPicture {
    root: Element,
    style: Style,
}

impl SvgPicture {
    /// White paper of a size, the lines on it so many times as wide as on paper.
    pub(crate) fn new(view: Rect, title: &str, magnified: f64, letters: Letters) -> SvgPicture {
        let [x, y, width, height] = [view.x0, view.y0, view.width(), view.height()].map(number);
        let seen = format!("{x} {y} {width} {height}");
        let size = [("width", format!("{width}mm")), ("height", format!("{height}mm"))];
        let mut root = root(&seen, size);
        root.append(told("title", title));
        let paper = [("x", x), ("y", y), ("width", width), ("height", height)];
        root.append(element("rect", paper.into_iter().chain([("fill", color(Tone::White))])));
        SvgPicture { root, style: Style { magnified, letters, inks: Inks::Own } }
    }

    /// Says in words what is shown.
    pub(crate) fn describe(&mut self, text: &str) {
        self.root.append(told("desc", text));
    }

    /// Adds a drawing, each layer of it a group that can be switched off.
    pub(crate) fn add(&mut self, drawing: &Drawing) {
        for layer in Layer::ALL {
            let mut group = element("g", [("id", id(layer).to_owned())]);
            write_layer(&mut group, drawing, layer, self.style);
            if !group.get_children().is_empty() {
                self.root.append(group);
            }
        }
    }

    /// Adds drawings as one group with attributes, each drawing over the one before.
    pub(crate) fn add_group(&mut self, attributes: &[(&str, String)], drawings: &[&Drawing]) {
        let mut group = element("g", attributes.iter().cloned());
        for drawing in drawings {
            Layer::ALL.iter().for_each(|layer| write_layer(&mut group, drawing, *layer, self.style));
        }
        self.root.append(group);
    }

    /// Adds a drawing cut out along a closed path. The id must be that of nothing else in the picture.
    pub(crate) fn add_cut_out(&mut self, id: &str, outline: &BezPath, drawing: &Drawing) {
        let mut clip = element("clipPath", [("id", id.to_owned())]);
        clip.append(element("path", [("d", data(outline))]));
        self.root.append(clip);
        let mut group = element("g", [("clip-path", format!("url(#{id})"))]);
        Layer::ALL.iter().for_each(|layer| write_layer(&mut group, drawing, *layer, self.style));
        self.root.append(group);
    }

    /// Adds a whole picture in SVG that somebody else drew, so wide and high in units of its own, over a part of the sheet, as
    /// pale as it lies beneath a picture of what was found in it.
    pub(crate) fn add_pale_sheet(&mut self, picture: &str, size: (f64, f64), sheet: Rect) {
        let [x, y, width, height] = [sheet.x0, sheet.y0, sheet.width(), sheet.height()].map(number);
        let seen = format!("0 0 {} {}", number(size.0), number(size.1));
        let place = [("x", x), ("y", y), ("width", width), ("height", height), ("viewBox", seen)];
        let fit = [("preserveAspectRatio", "none".to_owned())];
        let mut frame = element("svg", place.into_iter().chain(fit));
        frame.append(Blob::new(picture));
        let mut group = element("g", [("class", "drawn".to_owned()), ("opacity", PALE.to_owned())]);
        group.append(frame);
        self.root.append(group);
    }

    /// Adds what somebody else drew, as pale as it lies beneath a picture of what was found in it.
    pub(crate) fn add_pale<'a>(&mut self, drawn: impl IntoIterator<Item = ForeignThing<'a>>) {
        let mut group = element("g", [("class", "drawn".to_owned()), ("opacity", PALE.to_owned())]);
        drawn.into_iter().for_each(|thing| group.append(thing.element()));
        self.root.append(group);
    }

    /// Holds another picture, of a class, that is not seen in this one.
    pub(crate) fn hold(&mut self, class: &str, mut other: SvgPicture) {
        other.root.assign("class", class);
        let mut unseen = element("defs", []);
        unseen.append(other.root);
        self.root.append(unseen);
    }

    pub(crate) fn finish(self) -> String {
        format!("{}\n", self.root)
    }
}

/// A picture of a part of a drawing.
pub(crate) fn svg(drawing: &Drawing, view: Rect, title: &str, magnified: f64) -> String {
    let mut picture = SvgPicture::new(view, title, magnified, Letters::Plain);
    picture.add(drawing);
    picture.finish()
}

/// The same to stand in a page: no ids, no ground, and as its size only `--wide`, the width at which texts are as large
/// as on paper, and `--ratio`, how many times as wide as high it is. Strokes, fills and texts have classes for their tone,
/// and are black, grey and pale where the page says nothing of these. Strokes of one kind are one path.
pub(crate) fn in_page(drawing: &Drawing, view: Rect, title: &str, magnified: f64) -> String {
    let (wide, ratio) = (number(view.width() / magnified), number(view.width() / view.height()));
    let seen = [view.x0, view.y0, view.width(), view.height()].map(number).join(" ");
    let named = [
        ("class", "picture".to_owned()),
        ("style", format!("--wide: {wide}mm; --ratio: {ratio}")),
        ("aria-label", title.to_owned()),
    ];
    let mut root = root(&seen, named);
    let style = Style { magnified, letters: Letters::Plain, inks: Inks::OfPage };
    Layer::ALL.iter().for_each(|layer| write_layer(&mut root, drawing, *layer, style));
    root.to_string()
}

/// The same as a group that a page puts into a picture of its own.
pub(crate) fn group_in_page(drawing: &Drawing, magnified: f64) -> String {
    let mut group = element("g", [("font-family", FACES.to_owned()), ("text-anchor", "middle".to_owned())]);
    let style = Style { magnified, letters: Letters::Plain, inks: Inks::OfPage };
    Layer::ALL.iter().for_each(|layer| write_layer(&mut group, drawing, *layer, style));
    group.to_string()
}

/// Labels over a picture in a page, in their own inks and haloed.
pub(crate) fn labels_in_page(labels: &[Label]) -> String {
    let mut group = element("g", [("font-family", FACES.to_owned()), ("text-anchor", "middle".to_owned())]);
    let style = Style { magnified: 1.0, letters: Letters::Haloed, inks: Inks::Own };
    labels.iter().for_each(|one| group.append(label(one, style)));
    group.to_string()
}

/// What somebody else drew, as a group that a page puts beneath a picture of its own.
pub(crate) fn foreign_in_page<'a>(drawn: impl IntoIterator<Item = ForeignThing<'a>>) -> String {
    let mut group = element("g", [("font-family", FACES.to_owned())]);
    drawn.into_iter().for_each(|thing| group.append(thing.element()));
    group.to_string()
}

/// A path as the data of an SVG path.
pub(crate) fn path_data(path: &BezPath) -> String {
    data(path)
}

fn root<'a>(seen: &str, more: impl IntoIterator<Item = (&'a str, String)>) -> Element {
    let every = [
        ("xmlns", "http://www.w3.org/2000/svg"),
        ("viewBox", seen),
        ("role", "img"),
        ("font-family", FACES),
        ("text-anchor", "middle"),
    ];
    element("svg", every.map(|(name, value)| (name, value.to_owned())).into_iter().chain(more))
}

fn element<'a>(tag: &str, attributes: impl IntoIterator<Item = (&'a str, String)>) -> Element {
    let mut element = Element::new(tag);
    for (name, value) in attributes {
        element.assign(name, clean(&value).as_ref());
    }
    element
}

/// An element that holds a text.
fn told(tag: &str, text: &str) -> Element {
    let mut element = Element::new(tag);
    element.append(Text::new(clean(text)));
    element
}

fn write_layer(into: &mut Element, drawing: &Drawing, layer: Layer, style: Style) {
    drawing.fills.iter().filter(|fill| fill.layer == layer).for_each(|one| into.append(fill(one, style)));
    let strokes = drawing.strokes.iter().filter(|stroke| stroke.kind.layer() == layer);
    match style.inks {
        Inks::Own => strokes.for_each(|one| into.append(stroke(one.kind, data(&one.path), style))),
        Inks::OfPage => {
            let mut kinds: BTreeMap<LineKind, String> = BTreeMap::new();
            strokes.for_each(|one| kinds.entry(one.kind).or_default().push_str(&data(&one.path)));
            kinds.into_iter().for_each(|(kind, data)| into.append(stroke(kind, data, style)));
        }
    }
    drawing.labels.iter().filter(|one| one.layer == layer).for_each(|one| into.append(label(one, style)));
}

fn id(layer: Layer) -> &'static str {
    match layer {
        Layer::Cutting => "cutting-lines",
        Layer::Stitching => "seamlines",
        Layer::Marks => "marks",
        Layer::Labels => "labels",
        Layer::Pages => "frame",
    }
}

fn fill(fill: &Fill, style: Style) -> Element {
    let mut path = element("path", [("class", fill.tone.word().to_owned()), ("d", data(&fill.path))]);
    // What cloth looks like is no ink of the page.
    if style.inks == Inks::Own || matches!(fill.tone, Tone::Dyed(_)) {
        path.assign("fill", color(fill.tone));
    }
    path
}

fn stroke(kind: LineKind, data: String, style: Style) -> Element {
    let look = kind.look();
    let width = number(look.width * style.magnified);
    let mut path = element("path", [("stroke-width", width), ("d", data)]);
    match style.inks {
        Inks::Own => {
            path.assign("class", kind.word());
            path.assign("fill", "none");
            path.assign("stroke", color(look.tone));
        }
        Inks::OfPage => path.assign("class", format!("line {}", look.tone.word())),
    }
    if !look.dash.is_empty() {
        let dash: Vec<String> = look.dash.iter().map(|length| number(length * style.magnified)).collect();
        path.assign("stroke-dasharray", dash.join(" "));
    }
    path
}

fn label(label: &Label, style: Style) -> Element {
    let (x, y) = (number(label.at.x), number(label.at.y));
    let mut text = told("text", &label.text);
    text.assign("font-size", number(label.size));
    text.assign("textLength", number(label.width()));
    text.assign("lengthAdjust", "spacingAndGlyphs");
    match style.inks {
        Inks::Own => text.assign("fill", color(label.tone)),
        Inks::OfPage => text.assign("class", label.tone.word()),
    }
    if style.letters == Letters::Haloed {
        let halo = [("paint-order", "stroke"), ("stroke-linejoin", "round"), ("stroke", &color(Tone::White))];
        halo.into_iter().for_each(|(name, value)| text.assign(name, value));
        text.assign("stroke-width", number(label.size * HALO));
    }
    let turn = number(label.turn());
    if turn != "0" {
        text.assign("transform", format!("rotate({turn} {x} {y})"));
    }
    text.assign("x", x);
    text.assign("y", y);
    text
}

/// The ink of lettering that was written in a colour; none where it is not one of ours.
pub(crate) fn lettered_in(colour: &str) -> Option<Tone> {
    [Tone::Black, Tone::Dark, Tone::Blue, Tone::Red].into_iter().find(|tone| color(*tone) == colour)
}

fn color(tone: Tone) -> String {
    let [red, green, blue] = tone.rgb();
    format!("#{red:02x}{green:02x}{blue:02x}")
}

fn data(path: &BezPath) -> String {
    let mut text = String::new();
    let mut points = |letter: &str, points: &[Point]| {
        text.push_str(letter);
        for (i, point) in points.iter().enumerate() {
            let gap = if i == 0 { "" } else { " " };
            let _ = write!(text, "{gap}{} {}", number(point.x), number(point.y));
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(a) => points("M", &[a]),
            PathEl::LineTo(a) => points("L", &[a]),
            PathEl::QuadTo(a, b) => points("Q", &[a, b]),
            PathEl::CurveTo(a, b, c) => points("C", &[a, b, c]),
            PathEl::ClosePath => points("Z", &[]),
        }
    }
    text
}

/// A number with as many decimals as needed, at most [`DECIMALS`].
pub(crate) fn number(value: f64) -> String {
    debug_assert!(value.is_finite(), "a drawing is made of curves, which are finite");
    let scale = 10_f64.powi(DECIMALS);
    let rounded = (value * scale).round() / scale;
    format!("{}", rounded + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_neither_markup_nor_unseen_signs() {
        let mut drawing = Drawing::default();
        let name = "<b>\u{202E}\u{1}\n]]> & \"'";
        drawing.labels.push(Label::level(name, Point::ORIGIN, 3.0, Layer::Labels));
        let mut picture = SvgPicture::new(Rect::new(0.0, 0.0, 9.0, 9.0), name, 1.0, Letters::Haloed);
        picture.describe(name);
        picture.add_group(&[("data-name", name.to_owned())], &[&drawing]);
        let written = picture.finish();
        let document = roxmltree::Document::parse(&written).expect("sound XML");
        let shown = clean(name);
        let texts: Vec<&str> = document.descendants().filter_map(|node| node.text()).collect();
        assert_eq!(texts.iter().filter(|text| **text == shown).count(), 6, "{written}");
        assert!(document.descendants().any(|node| node.attribute("data-name") == Some(&shown)));
        assert!(in_page(&drawing, Rect::new(0.0, 0.0, 9.0, 9.0), name, 1.0).contains("&amp; &quot;&apos;"));
    }

    #[test]
    fn numbers_are_short() {
        let texts = [0.1 + 0.2, -1e-9, 2.0 / 3.0, 1200.0].map(number);
        assert_eq!(texts, ["0.3", "0", "0.667", "1200"]);
    }
}
