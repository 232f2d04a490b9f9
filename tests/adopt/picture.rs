//! The picture to point at can be read: no figure lies on another, and each stands at what it names.

use kurbo::{Affine, Point, Vec2};
use retrue::adopt::{Asked, Found, Rendered, find, picture, picture_over};
use retrue::units::Unit;

use crate::compare::found_in_size;
use crate::drawn::page;
use crate::run::fixture;

/// Height of capitals, and of their middle over their foot, as shares of the size of the type.
const HEIGHT: f64 = 0.7;
const MIDDLE: f64 = 0.26;

/// The inks of the numbers of edges and of the letters of lines.
const OF_EDGES: &str = "#000000";
const OF_LINES: &str = "#0b5fb0";

/// How many heights of its figures away from its edge a number stands at most, where a line leads to it.
const LED_AWAY: f64 = 12.0;

/// The least height of a label as a share of the longer side of all that was found, as on a screen of 1600 pixels 9; and in
/// mm on a small drawing.
const SEEN: f64 = 180.0;
const SMALLEST: f64 = 3.0;

struct Label {
    text: String,
    ink: String,
    place: Affine,
    size: f64,
    width: f64,
}

impl Label {
    fn half(&self) -> Vec2 {
        Vec2::new(self.width / 2.0, HEIGHT * self.size / 2.0)
    }

    fn middle(&self) -> Point {
        self.place * Point::ORIGIN
    }

    /// Whether a part of another label lies on it.
    fn is_under(&self, other: &Label) -> bool {
        let (own, half) = (self.half(), other.half());
        let across =
            (-10..=10).flat_map(|x| (-2..=2).map(move |y| (f64::from(x) / 10.0, f64::from(y) / 2.0)));
        let mut places =
            across.map(|(x, y)| self.place.inverse() * (other.place * Point::new(x * half.x, y * half.y)));
        places.any(|at| at.x.abs() < own.x && at.y.abs() < own.y)
    }
}

fn labels(drawn: &str) -> Vec<Label> {
    let document = roxmltree::Document::parse(drawn).expect("a drawing");
    // The drawing's own writing lies pale beneath, wherever it stands.
    let is_label = |node: &roxmltree::Node<'_, '_>| node.attribute("class") != Some("drawn");
    let texts = document.descendants().filter(|node| node.tag_name().name() == "text" && is_label(node));
    let label = |node: roxmltree::Node<'_, '_>| {
        let value = |name: &str| node.attribute(name).unwrap_or_else(|| panic!("no {name}"));
        let number = |name: &str| value(name).parse::<f64>().expect("a number");
        let turn = node.attribute("transform").unwrap_or_default().strip_prefix("rotate(");
        let turn = turn.and_then(|turn| turn.split(' ').next()?.parse::<f64>().ok()).unwrap_or_default();
        let foot = Affine::translate((number("x"), number("y"))) * Affine::rotate(turn.to_radians());
        Label {
            text: node.text().unwrap_or_default().to_owned(),
            ink: value("fill").to_owned(),
            place: foot * Affine::translate((0.0, -MIDDLE * number("font-size"))),
            size: number("font-size"),
            width: number("textLength"),
        }
    };
    texts.map(label).collect()
}

/// The lines that lead from what is named to its label.
fn leads(drawn: &str) -> Vec<(Point, Point)> {
    let document = roxmltree::Document::parse(drawn).expect("a drawing");
    let led = document.descendants().filter(|node| node.attribute("class") == Some("leader"));
    let ends = |node: roxmltree::Node<'_, '_>| {
        let path = kurbo::BezPath::from_svg(node.attribute("d").expect("a line")).expect("a line");
        let segment = path.segments().next().expect("a line");
        (kurbo::ParamCurve::start(&segment), kurbo::ParamCurve::end(&segment))
    };
    led.map(ends).collect()
}

/// Holds the labels of a picture apart from each other and the numbers to their edges; how many edges have one.
fn can_be_read(name: &str, found: &Found) -> usize {
    let drawn = picture(found, Unit::Millimetre).expect("a picture");
    let labels = labels(&drawn);
    let mut on_another: Vec<String> = Vec::new();
    for (at, one) in labels.iter().enumerate() {
        for other in &labels[at + 1..] {
            if one.is_under(other) || other.is_under(one) {
                on_another.push(format!("\"{}\" and \"{}\"", one.text, other.text));
            }
        }
    }
    assert!(on_another.is_empty(), "{name}: {} lie on one another", on_another.join(", "));
    let boxes = found.outlines.iter().map(retrue::adopt::FoundOutline::bounds);
    let boxes = boxes.chain(found.lines.iter().map(|line| line.curve.bounds()));
    let whole = boxes.reduce(|a, b| a.union(b)).expect("something");
    let least = (whole.width().max(whole.height()) / SEEN).max(SMALLEST);
    for label in &labels {
        assert!(label.size >= least * 0.999, "{name}: {} is {:.1} mm high", label.text, label.size);
    }
    let of_lines: Vec<&Label> = labels.iter().filter(|label| label.ink == OF_LINES).collect();
    assert_eq!(of_lines.len(), found.lines.len(), "{name}");
    let leads = leads(&drawn);
    for (label, line) in of_lines.iter().zip(&found.lines) {
        assert_eq!(label.text, line.letter.to_string());
        let off = line.curve.nearest(label.middle()).distance;
        let led = leads.iter().any(|(from, to)| {
            line.curve.nearest(*from).distance < 0.01 && (*to - label.middle()).hypot() <= 2.0 * label.size
        });
        assert!(led || off <= 3.0 * label.size, "{name}: {} stands {off:.1} mm away", label.text);
    }
    let numbers: Vec<&Label> = labels.iter().filter(|label| label.ink == OF_EDGES).collect();
    let edges: Vec<_> = found.outlines.iter().flat_map(|outline| outline.edges.iter().enumerate()).collect();
    assert_eq!(numbers.len(), edges.len(), "{name}");
    for (label, (at, edge)) in numbers.iter().zip(edges) {
        assert!(label.text.starts_with(&format!("{} · ", at + 1)), "{name}: {}", label.text);
        let off = edge.nearest(label.middle()).distance;
        assert!(off <= LED_AWAY * label.size, "{name}: {} stands {off:.1} mm away", label.text);
    }
    numbers.len()
}

#[test]
fn figures_of_a_piece_5_cm_wide_and_of_one_120_cm_long_can_be_read() {
    let small = "<path d='M20 20 H70 L66 60 C60 52 40 50 30 58 L22 110 Z'/><path d='M24 30V90'/>\
                 <path d='M45 55 L47 35 L49 54.5'/><path d='M68 40 l-5 -1'/>";
    let long = "<path d='M120 20 H320 C300 220 340 400 330 620 L345 900 L360 1220 C300 1230 200 1228 130 1215 L125 800 \
                C110 600 118 300 120 20 Z'/><path d='M200 100V1100'/><path d='M122 500 H335'/><path d='M327 700 l-6 0'/>";
    for (name, body) in
        [("small", small.to_owned()), ("long", long.to_owned()), ("both", small.to_owned() + long)]
    {
        let found = find(page(&body).as_bytes(), &Asked::default()).expect("found");
        assert!(can_be_read(name, &found) >= 4);
    }
}

#[test]
fn figures_of_whole_patterns_can_be_read() {
    for (name, least) in [("coat", 40), ("dress", 30), ("awkward", 10), ("skirt-shaped-back", 8)] {
        let (_, found) = found_in_size(&fixture(&format!("adopt/{name}-cutting-lines.svg")));
        assert!(can_be_read(name, &found) >= least, "{name}");
    }
}

/// Slivers half a millimetre wide and slanted, tiny squares side by side, ticks a millimetre apart, and lines that belong to
/// no piece, in a sheet of two metres.
#[test]
fn the_thinnest_lines_among_the_largest_pieces_can_be_read() {
    let large = "<rect x='0' y='0' width='600' height='2000'/>";
    let sliver = |at: f64| {
        format!("<path d='M{} 50 L{} 450 L{} 450 L{} 50 Z'/>", 700.0 + at, 900.0 + at, 900.6 + at, 700.6 + at)
    };
    let slivers: String = (0..6).map(|at| sliver(3.0 * f64::from(at))).collect();
    let squares: String =
        (0..5).map(|at| format!("<rect x='{}' y='600' width='31' height='9'/>", 700 + 32 * at)).collect();
    let ticks: String = (0..20).map(|at| format!("<path d='M600 {} h-5'/>", 900 + at)).collect();
    let alone: String =
        (0..8).map(|at| format!("<path d='M{} 1200 v300'/>", 700.0 + 1.5 * f64::from(at))).collect();
    let drawn = |body: String| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='1200mm' height='2000mm' viewBox='0 0 1200 2000'>\
             <g fill='none' stroke='#000' stroke-width='.1'>{body}</g></svg>"
        )
    };
    for (name, body) in [
        ("slivers", format!("{large}{slivers}")),
        ("squares", format!("{large}{squares}")),
        ("ticks", format!("{large}{ticks}")),
        ("alone", format!("{large}{alone}")),
        ("all", format!("{large}{slivers}{squares}{ticks}{alone}")),
    ] {
        let drawing = drawn(body);
        let found = find(drawing.as_bytes(), &Asked::default()).expect("found");
        if let Ok(folder) = std::env::var("RETRUE_KEEP") {
            let picture = picture(&found, Unit::Millimetre).expect("a picture");
            std::fs::write(format!("{folder}/thin-{name}.svg"), picture).expect("written");
        }
        can_be_read(name, &found);
    }
}

/// What cannot be told from lines and surfaces: a gradient, a mask, a pattern, lettering. It is seen beneath what was found, in
/// its place and at its size, and nothing of another file.
const PAINTED: &str = "<defs><linearGradient id='g'><stop offset='0' stop-color='#c00'/><stop offset='1' stop-color='#00c'/></linearGradient>\
     <mask id='m'><rect width='200' height='300' fill='#fff'/></mask></defs>\
     <rect x='20' y='20' width='200' height='300' fill='url(#g)' stroke='none' mask='url(#m)'/>\
     <image href='/etc/hostname' width='10' height='10'/>\
     <rect x='20' y='20' width='200' height='300'/><text x='60' y='90' fill='#000' stroke='none'>front</text>";

#[test]
fn the_drawing_lies_beneath_as_it_really_looks() {
    let drawing = page(PAINTED);
    let found = find(drawing.as_bytes(), &Asked::default()).expect("found");
    let rendered = Rendered::of(drawing.as_bytes()).expect("rendered");
    let drawn = picture_over(&found, Some(&rendered), Unit::Millimetre).expect("a picture");
    for seen in ["linearGradient id=\"drawn-g\"", "mask id=\"drawn-m\""] {
        assert!(drawn.contains(seen), "{seen} is not in {drawn}");
    }
    assert!(!drawn.contains("hostname"));
    let document = roxmltree::Document::parse(&drawn).expect("a drawing");
    let sheet =
        document.descendants().filter(|node| node.tag_name().name() == "svg").nth(1).expect("a sheet");
    let number = |name: &str| sheet.attribute(name).expect("a place").parse::<f64>().expect("a number");
    let original = roxmltree::Document::parse(&drawing).expect("a drawing");
    let view = original.root_element().attribute("viewBox").expect("a size");
    let size: Vec<f64> = view.split(' ').map(|length| length.parse().expect("a length")).collect();
    assert_eq!([number("x"), number("y"), number("width"), number("height")], [0.0, 0.0, size[2], size[3]]);
    // Ids that a picture has of its own and those of the drawing are not mixed up.
    assert!(usvg::Tree::from_str(&drawn, &usvg::Options::default()).is_ok());
    assert!(picture(&found, Unit::Millimetre).expect("a picture").len() > 1000);
}

/// Entities multiply, and a PDF is no SVG: what was read of them lies beneath.
#[test]
fn what_is_not_rendered_is_drawn_from_what_was_read() {
    let entities = format!("<!DOCTYPE svg [<!ENTITY e 'x'>]>{}", page(PAINTED));
    assert!(Rendered::of(entities.as_bytes()).is_none());
    assert!(Rendered::of(b"%PDF-1.7").is_none());
}
