//! What is drawn on a written sheet besides the pattern itself, and made anew each time.

use kurbo::BezPath;

use crate::allowance::CuttingLine;
use crate::canvas::{Label, arrow, straight};
use crate::curve::{Point, Vec2};
use crate::drawing::Node;
use crate::drawing::number::{number, path_data};
use crate::pattern::{Arrows, Grainline, NotchCount};
use crate::sheet::WriteError;
use crate::sheet::edge_place::EdgePlace;
use crate::sheet::element::Element;
use crate::sheet::kinds::DERIVED;

/// Length and half width of a grainline's arrow, mm.
const ARROW: (f64, f64) = (8.0, 2.4);

/// How far the two ticks of a double notch stand from its place, mm: on either side, so that both meet their partners
/// whichever way the other edge runs.
const BESIDE: f64 = 2.0;

/// How far a notch is snipped in from the cutting line, mm.
const SNIP: f64 = 4.0;

/// By how much the cross of a point reaches beyond its circle, as a multiple of the radius.
const CROSS: f64 = 1.8;

/// What a cutting line and a label are called among what is shown.
pub(super) const CUTTING_LINE: &str = "cutting-line";
pub(super) const LABEL: &str = "label";

/// What is drawn in a group besides the pattern itself and shows something.
pub(super) fn shown_as<'a>(group: &'a Node, shows: &'static str) -> impl Iterator<Item = &'a Node> {
    let derived = group.children.iter().filter(|node| node.attribute("data-kind") == Some(DERIVED));
    derived.filter(move |node| written(node.raw.as_str(), "data-shows") == Some(shows))
}

/// The value of an attribute of an element that the program wrote itself, from its source.
pub(super) fn written<'a>(source: &'a str, name: &str) -> Option<&'a str> {
    let tag = source.split('>').next()?;
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    rest.split_once('"').map(|(value, _)| value)
}

/// A path that shows something.
pub(super) fn path(shows: &str, path: &BezPath) -> Result<Element, WriteError> {
    let mut element = shown("path", shows);
    element.set("d", path_data(path)?);
    Ok(element)
}

fn shown(tag: &'static str, shows: &str) -> Element {
    let mut element = Element::new(tag);
    element.set("class", DERIVED);
    element.set("data-kind", DERIVED);
    element.set("data-shows", shows);
    element
}

/// The heads of a grainline's arrow.
pub(super) fn arrows(grain: &Grainline) -> Vec<BezPath> {
    let way = grain.direction();
    let (start, end) = (arrow(grain.start, -way, ARROW), arrow(grain.end, way, ARROW));
    match grain.arrows {
        Arrows::Both => vec![start, end],
        Arrows::Start => vec![start],
        Arrows::End => vec![end],
    }
}

/// The cross over the circle of a point.
pub(super) fn cross(at: Point, radius: f64) -> BezPath {
    let reach = radius * CROSS;
    let mut cross = straight(at - Vec2::new(reach, 0.0), at + Vec2::new(reach, 0.0));
    cross.extend(straight(at - Vec2::new(0.0, reach), at + Vec2::new(0.0, reach)));
    cross
}

/// The ticks of a notch besides the one that marks its place: the two of a double notch, and the snips in the cutting
/// line.
pub(super) fn notch(foot: &EdgePlace, out: Point, count: NotchCount, line: &CuttingLine) -> Vec<BezPath> {
    let beside: &[f64] = match count {
        NotchCount::Single => &[0.0],
        NotchCount::Double => &[-BESIDE, BESIDE],
    };
    let mut ticks = Vec::new();
    for aside in beside.iter().map(|beside| foot.along * *beside) {
        let from = foot.point + aside;
        if aside != Vec2::ZERO {
            ticks.push(straight(from, out + aside));
        }
        let tick = (out - foot.point).dot(foot.outward());
        if let Some(cut) = line.met_from(from, foot.outward())
            && cut.distance(from) > tick + SNIP
        {
            ticks.push(straight(cut, cut - foot.outward() * SNIP));
        }
    }
    ticks
}

/// A line of text.
pub(super) fn label(label: &Label) -> Result<Element, WriteError> {
    let mut text = shown("text", LABEL);
    let (x, y) = (number(label.at.x)?, number(label.at.y)?);
    text.set("x", x.as_str());
    text.set("y", y.as_str());
    text.set("font-size", number(label.size)?);
    text.set("textLength", number(label.width())?);
    text.set("lengthAdjust", "spacingAndGlyphs");
    let turn = number(label.turn())?;
    if turn != "0" {
        text.set("transform", format!("rotate({turn} {x} {y})"));
    }
    text.add_text(label.text.as_str());
    Ok(text)
}
