//! How far the cutting lines on a written sheet reach, measured without this crate: roxmltree reads the sheet, svgtypes its
//! paths, lyon_geom gives the exact reach of each curve.

#![allow(dead_code, reason = "each test binary uses a part of it")]

use std::collections::BTreeMap;

use lyon_geom::{CubicBezierSegment, Point};
use svgtypes::{SimplePathSegment, SimplifyingPathParser};

/// How exactly all that tells a width must agree with the written cutting line, mm.
pub const TOLD_WITHIN: f64 = 0.01;

/// How far a piece reaches as it is cut, a half piece opened out, mm.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// Square to the grain.
    pub width: f64,
    /// Along the grain.
    pub length: f64,
}

/// A path in straight lines and cubics.
type Segments = Vec<CubicBezierSegment<f64>>;

/// The reach of every piece on a written sheet, by its name.
pub fn written_reaches(sheet: &str) -> BTreeMap<String, Reach> {
    let document = roxmltree::Document::parse(sheet).expect("a sound sheet");
    let pieces = document.descendants().filter(|node| node.attribute("data-kind") == Some("piece"));
    pieces.map(|piece| (piece.attribute("id").expect("an id").to_owned(), reach_of(piece))).collect()
}

fn reach_of(piece: roxmltree::Node<'_, '_>) -> Reach {
    let path = |attribute: &str, value: &str| {
        let found = piece.descendants().find(|node| node.attribute(attribute) == Some(value))?;
        let moved = found.ancestors().any(|node| node.has_attribute("transform"));
        assert!(!moved, "what is written stands where it is read");
        found.attribute("d").map(segments)
    };
    let mut line = path("data-shows", "cutting-line").expect("a cutting line");
    if let Some(fold) = path("data-finish", "fold") {
        let (a, b) = (fold[0].from, fold[fold.len() - 1].to);
        let image = line.iter().map(|segment| mapped(segment, |at| mirrored(at, a, b))).collect::<Segments>();
        line.extend(image);
    }
    // Without a grainline the warp runs down the sheet.
    let grain = path("data-kind", "grainline").map_or((0.0, 1.0), |grain| {
        let way = grain[0].to - grain[0].from;
        (way.x / way.length(), way.y / way.length())
    });
    reach_along(&line, grain)
}

/// The reach of a kurbo path on its sheet, with the grain in a direction of length one.
pub fn reach_of_path(path: &kurbo::BezPath, grain: kurbo::Vec2) -> Reach {
    reach_along(&segments(&path.to_svg()), (grain.x, grain.y))
}

fn reach_along(line: &Segments, (x, y): (f64, f64)) -> Reach {
    let upright = |at: Point<f64>| Point::new(at.x * y - at.y * x, at.x * x + at.y * y);
    let (mut low, mut high) = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    for segment in line {
        let turned = mapped(segment, upright);
        let (across, along) = (turned.bounding_range_x(), turned.bounding_range_y());
        low = (low.0.min(across.0), low.1.min(along.0));
        high = (high.0.max(across.1), high.1.max(along.1));
    }
    Reach { width: high.0 - low.0, length: high.1 - low.1 }
}

fn mapped(of: &CubicBezierSegment<f64>, by: impl Fn(Point<f64>) -> Point<f64>) -> CubicBezierSegment<f64> {
    CubicBezierSegment { from: by(of.from), ctrl1: by(of.ctrl1), ctrl2: by(of.ctrl2), to: by(of.to) }
}

fn mirrored(at: Point<f64>, a: Point<f64>, b: Point<f64>) -> Point<f64> {
    let (along, off) = (b - a, at - a);
    let foot = a + along * (off.dot(along) / along.dot(along));
    foot + (foot - at)
}

fn segments(data: &str) -> Segments {
    let (mut all, mut start, mut at) = (Vec::new(), Point::zero(), Point::zero());
    for segment in SimplifyingPathParser::from(data) {
        let (ctrl1, ctrl2, to) = match segment.expect("sound path data") {
            SimplePathSegment::MoveTo { x, y } => {
                (start, at) = (Point::new(x, y), Point::new(x, y));
                continue;
            }
            SimplePathSegment::LineTo { x, y } => (at, Point::new(x, y), Point::new(x, y)),
            SimplePathSegment::CurveTo { x1, y1, x2, y2, x, y } => {
                (Point::new(x1, y1), Point::new(x2, y2), Point::new(x, y))
            }
            SimplePathSegment::Quadratic { x1, y1, x, y } => {
                let (control, to) = (Point::new(x1, y1), Point::new(x, y));
                (at.lerp(control, 2.0 / 3.0), to.lerp(control, 2.0 / 3.0), to)
            }
            SimplePathSegment::ClosePath => (at, start, start),
        };
        all.push(CubicBezierSegment { from: at, ctrl1, ctrl2, to });
        at = to;
    }
    all
}
