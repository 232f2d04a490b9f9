//! Marks on a page, as SVG.

use std::fmt::Write;

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use crate::canvas::{escaped, shortened};

/// Where a text stands to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
}

/// Which way a text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    /// From left to right.
    Across,
    /// From below upward.
    Upward,
}

/// A text of one line.
#[derive(Clone, Debug)]
pub(super) struct Words {
    pub(super) text: String,
    pub(super) at: Point,
    pub(super) size: f64,
    pub(super) anchor: Anchor,
    pub(super) written: Written,
    pub(super) class: &'static str,
}

/// What is drawn so far.
#[derive(Default)]
pub(super) struct SvgPage {
    body: String,
    clips: usize,
}

const STYLE: &str = "\
    path, line, rect { fill: none; stroke: #222; stroke-width: 0.8 }
    .cloth { fill: #f6f1e6; stroke: none }
    .selvedge { stroke-width: 2.4 }
    .raw { stroke-dasharray: 6 4 }
    .fold { stroke-dasharray: 16 4 3 4; stroke-width: 1.6 }
    .stripe { stroke: #4a7ba6; stroke-width: 1.2; opacity: 0.8 }
    .flaw { fill: url(#hatch); stroke: #a01818 }
    .left-over { stroke-dasharray: 2 4; stroke: #555 }
    .piece { fill: #fff; fill-opacity: 0.55; stroke-width: 1 }
    .seamline { stroke: #888; stroke-width: 0.5; stroke-dasharray: 5 3 }
    .grain { stroke-width: 0.9; marker-start: url(#arrow); marker-end: url(#arrow) }
    .leader { stroke: #555; stroke-width: 0.6 }
    .match { stroke: #1f5c8f; stroke-width: 2.6 }
    .tick { stroke-width: 0.5 }
    text { font-family: sans-serif; fill: #222; stroke: none }
    .title { font-weight: bold }
    .quiet { fill: #555 }";

const DEFINITIONS: &str = "\
    <marker id=\"arrow\" viewBox=\"0 0 10 10\" refX=\"9\" refY=\"5\" markerWidth=\"9\" markerHeight=\"9\" orient=\"auto-start-reverse\"><path d=\"M0 1.5 L10 5 L0 8.5 Z\" style=\"fill: #222; stroke: none\"/></marker>
    <pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\" style=\"stroke: #a01818; stroke-width: 1.6\"/></pattern>";

impl SvgPage {
    /// A path as it lies on the page.
    pub(super) fn path(&mut self, class: &str, path: &BezPath) {
        let _ = writeln!(self.body, "  <path class=\"{class}\" d=\"{}\"/>", data(path));
    }

    pub(super) fn line(&mut self, class: &str, from: Point, to: Point) {
        let [a, b, c, d] = [from.x, from.y, to.x, to.y].map(number);
        let _ =
            writeln!(self.body, "  <line class=\"{class}\" x1=\"{a}\" y1=\"{b}\" x2=\"{c}\" y2=\"{d}\"/>");
    }

    pub(super) fn rect(&mut self, class: &str, rect: Rect) {
        let [x, y, w, h] = [rect.x0, rect.y0, rect.width(), rect.height()].map(number);
        let _ = writeln!(
            self.body,
            "  <rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>"
        );
    }

    pub(super) fn words(&mut self, words: &Words) {
        let [x, y, size] = [words.at.x, words.at.y, words.size].map(number);
        let anchor = match words.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
        };
        let turn = match words.written {
            Written::Across => String::new(),
            Written::Upward => format!(" transform=\"rotate(-90 {x} {y})\""),
        };
        let _ = writeln!(
            self.body,
            "  <text class=\"{}\" x=\"{x}\" y=\"{y}\" font-size=\"{size}\" text-anchor=\"{anchor}\"{turn}>{}</text>",
            words.class,
            escaped(&shortened(&words.text))
        );
    }

    /// Begins a group in which nothing outside a path is seen; to be ended with [`SvgPage::end_group`].
    pub(super) fn begin_within(&mut self, path: &BezPath) {
        self.clips += 1;
        let id = self.clips;
        let _ = writeln!(
            self.body,
            "  <clipPath id=\"within-{id}\"><path d=\"{}\"/></clipPath>\n  <g clip-path=\"url(#within-{id})\">",
            data(path)
        );
    }

    pub(super) fn begin_group(&mut self, id: &str) {
        let _ = writeln!(self.body, "  <g data-name=\"{}\">", escaped(id));
    }

    /// Says in words what the group under way shows.
    pub(super) fn describe(&mut self, text: &str) {
        let _ = writeln!(self.body, "  <desc>{}</desc>", escaped(text));
    }

    pub(super) fn end_group(&mut self) {
        self.body.push_str("  </g>\n");
    }

    pub(super) fn finish(self, width: f64, height: f64) -> String {
        let [width, height] = [width, height].map(number);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
             viewBox=\"0 0 {width} {height}\">\n  <title>Cutting layout</title>\n  <style>\n{STYLE}\n  </style>\n  \
             <defs>\n{DEFINITIONS}\n  </defs>\n{}</svg>\n",
            self.body
        )
    }
}

/// From places on the cloth to the page: along is to the right, across upward, so that nothing is mirrored.
pub(super) fn placed(corner: Point, width: f64) -> Affine {
    Affine::new([0.0, -1.0, 1.0, 0.0, corner.x, corner.y + width])
}

fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn data(path: &BezPath) -> String {
    let mut data = String::new();
    for element in path.iter() {
        let points: &[Point] = match element {
            kurbo::PathEl::MoveTo(a) => &[a],
            kurbo::PathEl::LineTo(a) => &[a],
            kurbo::PathEl::QuadTo(a, b) => &[a, b],
            kurbo::PathEl::CurveTo(a, b, c) => &[a, b, c],
            kurbo::PathEl::ClosePath => &[],
        };
        data.push(match element {
            kurbo::PathEl::MoveTo(_) => 'M',
            kurbo::PathEl::LineTo(_) => 'L',
            kurbo::PathEl::QuadTo(..) => 'Q',
            kurbo::PathEl::CurveTo(..) => 'C',
            kurbo::PathEl::ClosePath => 'Z',
        });
        let points: Vec<String> = points.iter().map(|p| format!("{} {}", number(p.x), number(p.y))).collect();
        data.push_str(&points.join(" "));
    }
    data
}

/// How wide a text is at most in a plain sans-serif face, mm.
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    /// The widest of the common faces set average English at 0.58 of their size.
    const PER_LETTER: f64 = 0.64;
    text.chars().count() as f64 * PER_LETTER * size
}

/// A rectangle as a path.
pub(super) fn rect_path(rect: Rect) -> BezPath {
    rect.to_path(0.1)
}
