//! The basic shapes (SVG 2, chapter 10) and paths, drawn in millimetres.

use std::str::FromStr;

use kurbo::{Affine, BezPath, Point, Rect, Size, Vec2};
use roxmltree::Node as XmlNode;
use svgtypes::NumberListParser;

use super::arc::EllipseArc;
use super::length::{ViewportSide, WrittenLength};
use super::model::Tag;
use super::path::{self, PathFault};
use super::pen::{Bound, Pen, PenFault};

/// Where and how far a shape may be drawn.
#[derive(Clone, Copy)]
pub(super) struct Canvas {
    pub(super) to_mm: Affine,
    pub(super) viewport: Option<Size>,
    pub(super) bound: Bound,
    pub(super) segments_left: usize,
}

/// Why a shape cannot be drawn.
#[derive(Debug, PartialEq)]
pub(super) enum ShapeFault {
    /// An attribute cannot be used: its name, and what is wrong, as the end of a sentence.
    Attribute(&'static str, &'static str),
    /// Its `d` cannot be read.
    Path { position: usize, reason: &'static str },
    /// A point in mm that is too far away or no number.
    Stray(Point),
    /// Too many segments.
    Full,
}

impl From<PenFault> for ShapeFault {
    fn from(fault: PenFault) -> Self {
        match fault {
            PenFault::Stray(point) => Self::Stray(point),
            PenFault::Full => Self::Full,
        }
    }
}

impl From<PathFault> for ShapeFault {
    fn from(fault: PathFault) -> Self {
        match fault {
            PathFault::Syntax { position, reason } => Self::Path { position, reason },
            PathFault::Pen(fault) => fault.into(),
        }
    }
}

const VIEWPORT_ATTRIBUTES: &[&str] = &["x", "y", "width", "height", "viewBox", "preserveAspectRatio"];

/// The attributes that make up the geometry of `tag`.
pub(super) fn geometry_attributes(tag: &Tag) -> &'static [&'static str] {
    match tag {
        Tag::Path => &["d"],
        Tag::Rect => &["x", "y", "width", "height", "rx", "ry"],
        Tag::Circle => &["cx", "cy", "r"],
        Tag::Ellipse => &["cx", "cy", "rx", "ry"],
        Tag::Line => &["x1", "y1", "x2", "y2"],
        Tag::Polyline | Tag::Polygon => &["points"],
        Tag::Use => &["x", "y", "width", "height", "href"],
        Tag::Svg => VIEWPORT_ATTRIBUTES,
        Tag::Other(name) if name.rsplit(':').next() == Some("symbol") => VIEWPORT_ATTRIBUTES,
        _ => &[],
    }
}

/// The curve of `element` in mm; `None` for what is no shape or draws nothing.
pub(super) fn draw(
    tag: &Tag,
    element: XmlNode<'_, '_>,
    canvas: &Canvas,
) -> Result<Option<BezPath>, ShapeFault> {
    let mut pen = Pen::new(canvas.to_mm, canvas.bound, canvas.segments_left);
    let read = LengthAttributes { element, viewport: canvas.viewport };
    match tag {
        Tag::Path => path::draw(element.attribute("d").unwrap_or_default(), &mut pen)?,
        Tag::Rect => rectangle(&read, &mut pen)?,
        Tag::Circle => {
            let radius = read.size("r", ViewportSide::Both)?.unwrap_or(0.0);
            ellipse(&read, Vec2::new(radius, radius), &mut pen)?;
        }
        Tag::Ellipse => {
            let (rx, ry) = (read.size("rx", ViewportSide::Across)?, read.size("ry", ViewportSide::Down)?);
            let radii = Vec2::new(rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0));
            ellipse(&read, radii, &mut pen)?;
        }
        Tag::Line => {
            pen.move_to(read.point("x1", "y1")?)?;
            pen.line_to(read.point("x2", "y2")?)?;
        }
        Tag::Polyline => chain(&read, &mut pen)?,
        Tag::Polygon => {
            chain(&read, &mut pen)?;
            pen.close();
        }
        _ => return Ok(None),
    }
    Ok(pen.finish())
}

fn rectangle(read: &LengthAttributes<'_, '_>, pen: &mut Pen) -> Result<(), ShapeFault> {
    let corner = read.point("x", "y")?;
    let width = read.size("width", ViewportSide::Across)?.unwrap_or(0.0);
    let height = read.size("height", ViewportSide::Down)?.unwrap_or(0.0);
    if width == 0.0 || height == 0.0 {
        return Ok(());
    }
    let rectangle = Rect::from_origin_size(corner, (width, height));
    let (rx, ry) = (read.size("rx", ViewportSide::Across)?, read.size("ry", ViewportSide::Down)?);
    let radii =
        Vec2::new(rx.or(ry).unwrap_or(0.0).min(width / 2.0), ry.or(rx).unwrap_or(0.0).min(height / 2.0));
    if radii.x == 0.0 || radii.y == 0.0 {
        sharp_rectangle(rectangle, pen)?;
    } else {
        round_rectangle(rectangle, radii, pen)?;
    }
    pen.close();
    Ok(())
}

fn sharp_rectangle(r: Rect, pen: &mut Pen) -> Result<(), PenFault> {
    pen.move_to(Point::new(r.x0, r.y0))?;
    pen.line_to(Point::new(r.x1, r.y0))?;
    pen.line_to(Point::new(r.x1, r.y1))?;
    pen.line_to(Point::new(r.x0, r.y1))
}

fn round_rectangle(r: Rect, radii: Vec2, pen: &mut Pen) -> Result<(), PenFault> {
    let inner = r.inset((-radii.x, -radii.y));
    pen.move_to(Point::new(inner.x0, r.y0))?;
    let corners = [
        (Point::new(inner.x1, r.y0), Point::new(inner.x1, inner.y0), 3, Point::new(r.x1, inner.y0)),
        (Point::new(r.x1, inner.y1), Point::new(inner.x1, inner.y1), 0, Point::new(inner.x1, r.y1)),
        (Point::new(inner.x0, r.y1), Point::new(inner.x0, inner.y1), 1, Point::new(r.x0, inner.y1)),
        (Point::new(r.x0, inner.y0), Point::new(inner.x0, inner.y0), 2, Point::new(inner.x0, r.y0)),
    ];
    for (before, center, quadrant, after) in corners {
        if pen.at() != before {
            pen.line_to(before)?;
        }
        pen.along(&EllipseArc::quarter(center, radii, quadrant), after)?;
    }
    Ok(())
}

fn ellipse(read: &LengthAttributes<'_, '_>, radii: Vec2, pen: &mut Pen) -> Result<(), ShapeFault> {
    let center = read.point("cx", "cy")?;
    if radii.x == 0.0 || radii.y == 0.0 {
        return Ok(());
    }
    let (across, down) = (Vec2::new(radii.x, 0.0), Vec2::new(0.0, radii.y));
    pen.move_to(center + across)?;
    for (quadrant, end) in
        [(0, center + down), (1, center - across), (2, center - down), (3, center + across)]
    {
        pen.along(&EllipseArc::quarter(center, radii, quadrant), end)?;
    }
    pen.close();
    Ok(())
}

/// The corners of a polyline or polygon.
fn chain(read: &LengthAttributes<'_, '_>, pen: &mut Pen) -> Result<(), ShapeFault> {
    let text = read.element.attribute("points").unwrap_or_default().trim();
    let mut numbers = NumberListParser::from(text);
    let mut first = true;
    while let Some(x) = numbers.next() {
        let x = x.map_err(|_| ShapeFault::Attribute("points", "a list of numbers was expected"))?;
        let y = numbers.next().and_then(Result::ok);
        let y = y.ok_or(ShapeFault::Attribute("points", "the last point has no y, or it is not a number"))?;
        if std::mem::take(&mut first) {
            pen.move_to(Point::new(x, y))?;
        } else {
            pen.line_to(Point::new(x, y))?;
        }
    }
    Ok(())
}

/// Lengths among an element's attributes.
pub(super) struct LengthAttributes<'a, 'input> {
    pub(super) element: XmlNode<'a, 'input>,
    pub(super) viewport: Option<Size>,
}

impl LengthAttributes<'_, '_> {
    /// A length in user units, if it is given.
    pub(super) fn length(&self, name: &'static str, side: ViewportSide) -> Result<Option<f64>, ShapeFault> {
        let Some(text) = self.element.attribute(name) else {
            return Ok(None);
        };
        let length = WrittenLength::parse(text).and_then(|length| length.user_units(side, self.viewport));
        length.map(Some).map_err(|reason| ShapeFault::Attribute(name, reason))
    }

    /// A length of zero or more, if it is given and not `auto`.
    pub(super) fn size(&self, name: &'static str, side: ViewportSide) -> Result<Option<f64>, ShapeFault> {
        if self.element.attribute(name).is_some_and(|text| text.trim() == "auto") {
            return Ok(None);
        }
        match self.length(name, side)? {
            Some(length) if length < 0.0 => Err(ShapeFault::Attribute(name, "it must not be below zero")),
            length => Ok(length),
        }
    }

    /// A point, 0 where it is not given.
    pub(super) fn point(&self, x: &'static str, y: &'static str) -> Result<Point, ShapeFault> {
        let x = self.length(x, ViewportSide::Across)?.unwrap_or(0.0);
        let y = self.length(y, ViewportSide::Down)?.unwrap_or(0.0);
        Ok(Point::new(x, y))
    }
}

/// A `transform` attribute as a matrix.
///
/// # Errors
///
/// What is wrong, as the end of a sentence.
pub(super) fn parse_transform(text: &str) -> Result<Affine, &'static str> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("none") {
        return Ok(Affine::IDENTITY);
    }
    let parsed = svgtypes::Transform::from_str(text)
        .map_err(|_| "matrix, translate, scale, rotate, skewX or skewY with bare numbers was expected")?;
    let affine = Affine::new([parsed.a, parsed.b, parsed.c, parsed.d, parsed.e, parsed.f]);
    if affine.is_finite() { Ok(affine) } else { Err("its numbers are too large") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(tag: &Tag, attributes: &str) -> Result<Option<BezPath>, ShapeFault> {
        let text = format!("<shape {attributes}/>");
        let document = roxmltree::Document::parse(&text).expect("valid");
        let canvas =
            Canvas { to_mm: Affine::IDENTITY, viewport: None, bound: Bound::Sheet, segments_left: 1000 };
        draw(tag, document.root_element(), &canvas)
    }

    fn svg(tag: &Tag, attributes: &str) -> String {
        drawn(tag, attributes).expect(attributes).map(|path| path.to_svg()).unwrap_or_default()
    }

    #[test]
    fn straight_shapes_begin_where_svg_says_and_run_clockwise() {
        assert_eq!(svg(&Tag::Rect, "x='1' y='2' width='10' height='20'"), "M1,2 L11,2 L11,22 L1,22 Z");
        assert_eq!(svg(&Tag::Line, "x1='1' y2='1in'"), "M1,0 L0,96");
        assert_eq!(svg(&Tag::Polyline, "points='1,2 3 4, 5-6'"), "M1,2 L3,4 L5,-6");
        assert_eq!(svg(&Tag::Polygon, "points='1,2 3 4'"), "M1,2 L3,4 Z");
    }

    #[test]
    fn round_shapes_have_the_area_of_their_formula() {
        use std::f64::consts::PI;
        let area = |tag: &Tag, attributes: &str| {
            drawn(tag, attributes).expect(attributes).map_or(0.0, |path| kurbo::Shape::area(&path))
        };
        approx::assert_relative_eq!(
            area(&Tag::Circle, "cx='5' cy='6' r='100'"),
            PI * 1e4,
            max_relative = 1e-6
        );
        approx::assert_relative_eq!(area(&Tag::Ellipse, "rx='100' ry='50'"), PI * 5e3, max_relative = 1e-6);
        let corners = (4.0 - PI) * 30.0 * 20.0;
        let rounded = "width='200' height='100' rx='30' ry='20'";
        approx::assert_relative_eq!(area(&Tag::Rect, rounded), 2e4 - corners, max_relative = 1e-6);
        let stadium = "width='200' height='100' rx='900'";
        approx::assert_relative_eq!(area(&Tag::Rect, stadium), PI * 5e3, max_relative = 1e-6);
    }

    #[test]
    fn shapes_without_extent_draw_nothing() {
        for (tag, attributes) in [
            (Tag::Rect, "width='10'"),
            (Tag::Circle, ""),
            (Tag::Ellipse, "rx='0' ry='5'"),
            (Tag::Polyline, ""),
            (Tag::Polygon, "points='1 1'"),
            (Tag::Path, ""),
            (Tag::Text, "x='1'"),
        ] {
            assert_eq!(drawn(&tag, attributes), Ok(None), "{attributes}");
        }
    }

    #[test]
    fn unusable_attributes_are_named() {
        for (tag, attributes, name) in [
            (Tag::Rect, "width='-1' height='5'", "width"),
            (Tag::Circle, "r='1em'", "r"),
            (Tag::Line, "x1='x'", "x1"),
            (Tag::Polygon, "points='1,2 3'", "points"),
            (Tag::Polygon, "points='1,2 x'", "points"),
            (Tag::Ellipse, "rx='5%'", "rx"),
        ] {
            assert!(
                matches!(drawn(&tag, attributes), Err(ShapeFault::Attribute(found, _)) if found == name),
                "{attributes}"
            );
        }
    }
}
