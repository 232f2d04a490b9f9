//! Path data, all of them or none.

use kurbo::{Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

use super::pen::{Pen, PenFault};

/// Why path data cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum PathFault {
    /// They cannot be read at this character, from 1.
    Syntax { position: usize, reason: &'static str },
    /// They can be read, but not drawn.
    Pen(PenFault),
}

impl From<PenFault> for PathFault {
    fn from(fault: PenFault) -> Self {
        Self::Pen(fault)
    }
}

/// Draws the path data `d` (SVG 2, chapter 9) with `pen`.
///
/// # Errors
///
/// The first character that is not path data: nothing of the path may then be used, although a browser
/// would draw it up to there.
pub(super) fn draw(d: &str, pen: &mut Pen) -> Result<(), PathFault> {
    if d.trim() == "none" {
        return Ok(());
    }
    let mut before = Before::Other;
    for segment in PathParser::from(d) {
        let segment = segment.map_err(|error| syntax(&error, d))?;
        before = draw_segment(segment, before, pen)?;
    }
    Ok(())
}

fn syntax(error: &svgtypes::Error, d: &str) -> PathFault {
    use svgtypes::Error;
    let (position, reason) = match error {
        Error::InvalidNumber(position) => (*position, "a number was expected"),
        Error::UnexpectedData(position)
        | Error::InvalidChar(_, position)
        | Error::InvalidString(_, position) => (*position, "a command or a number was expected"),
        Error::UnexpectedEndOfStream | Error::InvalidValue | Error::InvalidIdent => {
            (d.chars().count() + 1, "a number is missing at the end")
        }
    };
    PathFault::Syntax { position, reason }
}

/// The segment before, for the smooth commands: its last handle.
#[derive(Clone, Copy)]
enum Before {
    Cubic(Point),
    Quadratic(Point),
    Other,
}

fn draw_segment(segment: PathSegment, before: Before, pen: &mut Pen) -> Result<Before, PenFault> {
    let at = pen.at();
    let base = if segment.is_abs() { Vec2::ZERO } else { at.to_vec2() };
    let point = |x: f64, y: f64| Point::new(x, y) + base;
    match segment {
        PathSegment::MoveTo { x, y, .. } => pen.move_to(point(x, y))?,
        PathSegment::LineTo { x, y, .. } => pen.line_to(point(x, y))?,
        PathSegment::HorizontalLineTo { x, .. } => pen.line_to(Point::new(x + base.x, at.y))?,
        PathSegment::VerticalLineTo { y, .. } => pen.line_to(Point::new(at.x, y + base.y))?,
        PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
            pen.cubic_to([point(x1, y1), point(x2, y2), point(x, y)])?;
            return Ok(Before::Cubic(point(x2, y2)));
        }
        PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
            let first = if let Before::Cubic(handle) = before { reflected(handle, at) } else { at };
            pen.cubic_to([first, point(x2, y2), point(x, y)])?;
            return Ok(Before::Cubic(point(x2, y2)));
        }
        PathSegment::Quadratic { x1, y1, x, y, .. } => {
            pen.quadratic_to(point(x1, y1), point(x, y))?;
            return Ok(Before::Quadratic(point(x1, y1)));
        }
        PathSegment::SmoothQuadratic { x, y, .. } => {
            let handle = if let Before::Quadratic(handle) = before { reflected(handle, at) } else { at };
            pen.quadratic_to(handle, point(x, y))?;
            return Ok(Before::Quadratic(handle));
        }
        PathSegment::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
            let radii = Vec2::new(rx, ry);
            let x_rotation = x_axis_rotation.to_radians();
            pen.arc_to(&SvgArc { from: at, to: point(x, y), radii, x_rotation, large_arc, sweep })?;
        }
        PathSegment::ClosePath { .. } => pen.close(),
    }
    Ok(Before::Other)
}

fn reflected(handle: Point, about: Point) -> Point {
    about + (about - handle)
}

#[cfg(test)]
mod tests {
    use kurbo::{Affine, BezPath};

    use super::super::pen::Bound;
    use super::*;

    fn drawn(d: &str) -> Result<Option<BezPath>, PathFault> {
        let mut pen = Pen::new(Affine::IDENTITY, Bound::Sheet, 1000);
        draw(d, &mut pen).map(|()| pen.finish())
    }

    fn svg(d: &str) -> String {
        drawn(d).expect(d).map(|path| path.to_svg()).unwrap_or_default()
    }

    #[test]
    fn coordinates_come_through_bit_for_bit() {
        let d = "M0.1,0.2 L1e-7,123.456789012345 C1,2 3.3333333333333335,4 5,6 Z";
        assert_eq!(svg(d), BezPath::from_svg(d).expect("kurbo reads it").to_svg());
    }

    #[test]
    fn relative_smooth_and_axis_commands_are_made_absolute() {
        assert_eq!(svg("m1 1 2 0h1v2H0V9"), "M1,1 L3,1 L4,1 L4,3 L0,3 L0,9");
        assert_eq!(svg("M0 0c0 3 3 3 3 0s3-3 3 0"), "M0,0 C0,3 3,3 3,0 C3,-3 6,-3 6,0");
        assert_eq!(svg("M0 0S3 3 6 0"), "M0,0 C0,0 3,3 6,0");
        assert_eq!(svg("M0 0q3 3 6 0t6 0"), "M0,0 C2,2 4,2 6,0 C8,-2 10,-2 12,0");
    }

    #[test]
    fn closing_returns_to_the_start_and_moves_that_draw_nothing_are_dropped() {
        assert_eq!(svg("M1 1h2v2zl-1 0"), "M1,1 L3,1 L3,3 Z M1,1 L0,1");
        assert_eq!(svg("M1 1h2v2zzm5 5l1 0z M9 9"), "M1,1 L3,1 L3,3 Z M6,6 L7,6 Z");
        for nothing in ["", " ", "none", "M 1 1", "M 1 1 Z", "M1 1 M2 2zz"] {
            assert_eq!(drawn(nothing), Ok(None), "{nothing}");
        }
    }

    #[test]
    fn a_fault_anywhere_refuses_the_path_and_tells_where() {
        let cases = [
            ("M 0 0 L 10", 11),
            ("L 1 1", 1),
            ("M 0 0 L nan 5", 9),
            ("M 0 0 L 1e400 5", 9),
            ("M 0 0 X 1 1", 7),
            ("M 0 0 L 1 1 2", 14),
            ("M 0 0 L 5,5 ä", 13),
            ("M0 0A1 1 0 2 0 3 3", 12),
        ];
        for (d, expected) in cases {
            match drawn(d) {
                Err(PathFault::Syntax { position, .. }) => assert_eq!(position, expected, "{d}"),
                other => panic!("{d}: {other:?}"),
            }
        }
    }

    #[test]
    fn points_beyond_the_sheet_and_too_many_segments_are_refused() {
        for d in ["M 0 0 L 1e38 0", "M 1e38 0", "M 0 0 C 0 100001 1 1 2 2", "M0 0A9e4 9e4 0 1 1 1 1"] {
            assert!(matches!(drawn(d), Err(PathFault::Pen(PenFault::Stray(_)))), "{d}");
        }
        assert_eq!(drawn(&format!("M0 0{}", "h1".repeat(1001))), Err(PathFault::Pen(PenFault::Full)));
    }

    /// SVG 1.1, F.6.6: radii too small for the chord are scaled up to a half circle.
    #[test]
    fn an_arc_with_small_radii_is_a_half_circle() {
        let path = drawn("M0 0A1 1 0 0 1 200 0").expect("an arc").expect("drawn");
        let area = kurbo::Shape::area(&path);
        approx::assert_relative_eq!(area, std::f64::consts::PI * 5000.0, max_relative = 1e-7);
    }
}
