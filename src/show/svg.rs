//! A drawing as SVG.

use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{BezPath, PathEl, Rect};

use crate::canvas::escaped;
use crate::curve::Point;
use crate::show::drawing::{Drawing, Fill, Label, Layer, LineKind, Stroke, Tone};

/// Decimals of coordinates: a thousandth of a millimetre is finer than a screen or a plotter.
const DECIMALS: i32 = 3;

/// The faces in which a viewer may show texts, the one that they are measured by first.
const FACES: &str = "DejaVu Sans Condensed, DejaVu Sans, Verdana, sans-serif";

/// A picture of a part of a drawing, one user unit a millimetre, its lines so many times as wide as on paper.
pub(super) fn svg(drawing: &Drawing, view: Rect, title: &str, magnified: f64) -> String {
    let (x, y, width, height) = (view.x0, view.y0, view.width(), view.height());
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"{x} {y} {w} {h}\" role=\"img\">\n<title>{title}</title>\n",
        x = number(x),
        y = number(y),
        w = number(width),
        h = number(height),
        title = escaped(title),
    );
    let _ = writeln!(
        text,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\"/>",
        number(x),
        number(y),
        number(width),
        number(height)
    );
    for layer in Layer::ALL {
        let _ = writeln!(text, "<g id=\"{}\">", id(layer));
        drawing.fills.iter().filter(|fill| fill.layer == layer).for_each(|one| fill(&mut text, one));
        drawing
            .strokes
            .iter()
            .filter(|stroke| stroke.kind.layer() == layer)
            .for_each(|one| stroke(&mut text, one, magnified));
        drawing.labels.iter().filter(|label| label.layer == layer).for_each(|one| {
            label(&mut text, one, &format!("fill=\"{}\"", color(one.tone)));
        });
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

/// The same to stand in a page: no ids, no ground, and as its size only `--wide`, the width at which texts are as large
/// as on paper, and `--ratio`, how many times as wide as high it is. Strokes, fills and texts have the classes `black`, `dark` and
/// `pale` for their tone, and are black, grey and pale where the page says nothing of these.
pub(super) fn in_page(drawing: &Drawing, view: Rect, title: &str, magnified: f64) -> String {
    let (wide, ratio) = (number(view.width() / magnified), number(view.width() / view.height()));
    let view = [view.x0, view.y0, view.width(), view.height()].map(number).join(" ");
    let title = escaped(title);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"picture\" style=\"--wide: {wide}mm; --ratio: {ratio}\" viewBox=\"{view}\" \
         role=\"img\" aria-label=\"{title}\">\n"
    );
    for layer in Layer::ALL {
        for fill in drawing.fills.iter().filter(|fill| fill.layer == layer) {
            let _ = writeln!(text, "<path class=\"{}\" d=\"{}\"/>", tone(fill.tone), data(&fill.path));
        }
        let mut kinds: BTreeMap<LineKind, String> = BTreeMap::new();
        for stroke in drawing.strokes.iter().filter(|stroke| stroke.kind.layer() == layer) {
            kinds.entry(stroke.kind).or_default().push_str(&data(&stroke.path));
        }
        for (kind, data) in kinds {
            let look = kind.look();
            let _ = write!(
                text,
                "<path class=\"line {}\" stroke-width=\"{}\"",
                tone(look.tone),
                number(look.width * magnified)
            );
            dashes(&mut text, look.dash, magnified);
            let _ = writeln!(text, " d=\"{data}\"/>");
        }
        drawing.labels.iter().filter(|label| label.layer == layer).for_each(|one| {
            label(&mut text, one, &format!("class=\"{}\"", tone(one.tone)));
        });
    }
    text.push_str("</svg>");
    text
}

fn tone(tone: Tone) -> &'static str {
    match tone {
        Tone::Black => "black",
        Tone::Dark => "dark",
        Tone::Pale => "pale",
    }
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

fn class(kind: LineKind) -> &'static str {
    match kind {
        LineKind::CuttingLine => "cutting-line",
        LineKind::Seamline => "seamline",
        LineKind::NewSeam => "new-seam",
        LineKind::Hem => "hem",
        LineKind::Fold => "fold",
        LineKind::DartLeg => "dart",
        LineKind::DartFold => "dart-fold",
        LineKind::Level => "level",
        LineKind::Grainline => "grainline",
        LineKind::Notch => "notch",
        LineKind::StyleLine => "style-line",
        LineKind::Point => "point",
        LineKind::Mark => "mark",
        LineKind::Leader => "leader",
        LineKind::Rule => "rule",
        LineKind::PageEdge => "page-edge",
        LineKind::Before => "before",
        LineKind::Hatch => "hatch",
    }
}

fn stroke(text: &mut String, stroke: &Stroke, magnified: f64) {
    let look = stroke.kind.look();
    let _ = write!(
        text,
        "<path class=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"",
        class(stroke.kind),
        color(look.tone),
        number(look.width * magnified)
    );
    dashes(text, look.dash, magnified);
    let _ = writeln!(text, " d=\"{}\"/>", data(&stroke.path));
}

fn dashes(text: &mut String, dash: &[f64], magnified: f64) {
    if !dash.is_empty() {
        let dash: Vec<String> = dash.iter().map(|length| number(length * magnified)).collect();
        let _ = write!(text, " stroke-dasharray=\"{}\"", dash.join(" "));
    }
}

fn fill(text: &mut String, fill: &Fill) {
    let _ = writeln!(text, "<path fill=\"{}\" d=\"{}\"/>", color(fill.tone), data(&fill.path));
}

fn label(text: &mut String, label: &Label, ink: &str) {
    let (x, y) = (number(label.at.x), number(label.at.y));
    let _ = write!(
        text,
        "<text x=\"{x}\" y=\"{y}\" font-family=\"{FACES}\" font-size=\"{}\" {ink} text-anchor=\"middle\" \
         textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"",
        number(label.size),
        number(label.width())
    );
    let turn = label.along.y.atan2(label.along.x).to_degrees();
    if number(turn) != "0" {
        let _ = write!(text, " transform=\"rotate({} {x} {y})\"", number(turn));
    }
    let _ = writeln!(text, ">{}</text>", escaped(&label.text));
}

fn color(tone: Tone) -> String {
    let level = (tone.grey() * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
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
fn number(value: f64) -> String {
    let scale = 10_f64.powi(DECIMALS);
    let rounded = (value * scale).round() / scale;
    format!("{}", rounded + 0.0)
}
