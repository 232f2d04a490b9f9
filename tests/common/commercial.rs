//! Draws a pattern as a pattern company would print it: no ids, points as the unit, several sizes in one another told
//! apart by their dashes, a test square, writing, and nothing but lines.

use std::fmt::Write;

use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Point, Rect, Shape, Vec2};
use retrue::allowance::{CuttingLine, cutting_lines};
use retrue::curve::Curve;
use retrue::pattern::{DartShape, NotchCount, Pattern, Piece};

/// What is drawn of each outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    Seamline,
    CuttingLine,
}

/// What is written on each piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// Its name and the size.
    Name,
    /// How it is cut as well: `cut 2`, `cut 1 on the fold`.
    NameAndCut,
}

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Where the corner of the sheet's own origin lies on the page, mm: room for the test square and the larger sizes.
const SHIFT: Vec2 = Vec2::new(160.0, 60.0);

/// Side of the test square, mm, and where it stands on the page.
const SQUARE: f64 = 100.0;
pub const SQUARE_AT: Point = Point::new(20.0, 20.0);

/// The dashes of the sizes, mm; the pattern itself is the one in the middle.
pub const DASHES: [&[f64]; 5] = [&[6.0, 2.0], &[1.0, 2.0], &[10.0, 3.0, 2.0, 3.0], &[4.0, 4.0], &[14.0, 4.0]];
pub const MIDDLE: usize = 2;

/// By what share one size is larger than the one before.
const STEP: f64 = 0.015;

/// From the sheet to the page, mm.
pub fn to_page(at: Point) -> Point {
    at + SHIFT
}

/// The page as SVG.
pub fn page(pattern: &Pattern, drawn: Drawn) -> String {
    page_with(pattern, drawn, Written::Name)
}

/// The page with more or less written on its pieces.
pub fn page_with(pattern: &Pattern, drawn: Drawn, written: Written) -> String {
    let lines = cutting_lines(pattern).expect("cutting lines");
    let mut body = String::new();
    let mut extent = Rect::from_origin_size(SQUARE_AT, (SQUARE, SQUARE));
    for piece in pattern.pieces() {
        let line = lines.of(piece.name()).expect("a cutting line");
        extent = extent.union(line.path.bounding_box() + SHIFT);
        sizes(&mut body, piece, line, drawn);
        inside(&mut body, piece, drawn);
        if written == Written::NameAndCut {
            how_cut(&mut body, piece);
        }
    }
    test_square(&mut body);
    let (width, height) = ((extent.x1 + 60.0) * POINTS, (extent.y1 + 60.0) * POINTS);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}pt\" height=\"{height:.3}pt\" \
         viewBox=\"0 0 {width:.3} {height:.3}\">\n<g fill=\"none\" stroke=\"#000\" stroke-width=\"0.6\">\n{body}</g>\n</svg>\n"
    )
}

/// A length in points, to a millionth of a millimetre and finer: a page that no converter touches is as exact as the sheet.
fn number(value: f64) -> String {
    let text = format!("{:.8}", value * POINTS);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn d(path: &BezPath) -> String {
    let point = |p: Point| format!("{} {}", number(p.x), number(p.y));
    let mut d = String::new();
    let mut last = None;
    for segment in path.segments() {
        if last != Some(segment.start()) {
            let _ = write!(d, "M{}", point(segment.start()));
        }
        let _ = match segment {
            PathSeg::Line(line) => write!(d, "L{}", point(line.p1)),
            other => {
                let cubic = other.to_cubic();
                write!(d, "C{} {} {}", point(cubic.p1), point(cubic.p2), point(cubic.p3))
            }
        };
        last = Some(segment.end());
    }
    d
}

fn draw(body: &mut String, path: &BezPath, dashes: &[f64]) {
    let path = Affine::translate(SHIFT) * path.clone();
    let dashes = if dashes.is_empty() {
        String::new()
    } else {
        let lengths: Vec<String> = dashes.iter().map(|dash| number(*dash)).collect();
        format!(" stroke-dasharray=\"{}\"", lengths.join(" "))
    };
    let _ = writeln!(body, "<path{dashes} d=\"{}\"/>", d(&path));
}

/// All sizes of a piece. What lies on the fold is the same line in all of them, drawn once and solid.
fn sizes(body: &mut String, piece: &Piece, line: &CuttingLine, drawn: Drawn) {
    let outline = match drawn {
        Drawn::Seamline => piece.outline().to_path(),
        Drawn::CuttingLine => line.path.clone(),
    };
    let fold = piece.fold().map(|id| piece.edge(id).curve.clone());
    let about =
        fold.as_ref().map_or(outline.bounding_box().center(), |fold| fold.start().midpoint(fold.end()));
    let on_fold = |segment: &PathSeg| {
        fold.as_ref().is_some_and(|fold| {
            let way = fold.start_tangent();
            let off = |at: Point| (at - fold.start()).cross(way).abs();
            off(segment.start()) < 1e-3 && off(segment.end()) < 1e-3
        })
    };
    let mut shared: Vec<Point> = Vec::new();
    for (size, dashes) in DASHES.iter().enumerate() {
        let factor = 1.0 + STEP * (size as f64 - MIDDLE as f64);
        let map =
            Affine::translate(about.to_vec2()) * Affine::scale(factor) * Affine::translate(-about.to_vec2());
        let mut path = BezPath::new();
        let mut at = None;
        for segment in outline.segments() {
            let segment = if factor == 1.0 { segment } else { map * segment };
            if on_fold(&segment) {
                shared.extend([segment.start(), segment.end()]);
                continue;
            }
            if at != Some(segment.start()) {
                path.move_to(segment.start());
            }
            at = Some(segment.end());
            path.push(segment.as_path_el());
        }
        draw(body, &path, dashes);
    }
    if let Some(fold) = fold {
        let along = |at: &Point| (*at - fold.start()).dot(fold.start_tangent());
        let first = shared.iter().min_by(|a, b| along(a).total_cmp(&along(b))).expect("a fold");
        let last = shared.iter().max_by(|a, b| along(a).total_cmp(&along(b))).expect("a fold");
        draw(body, &Curve::line(*first, *last).expect("a fold").to_path(), &[]);
    }
}

/// What stands on a piece and is common to all sizes.
fn inside(body: &mut String, piece: &Piece, drawn: Drawn) {
    for dart in &piece.darts {
        let line = match &dart.shape {
            DartShape::Open { legs, .. } => legs.0.joined(&legs.1.reversed()).expect("a dart"),
            DartShape::Double { sides } => sides.0.joined(&sides.1.reversed()).expect("a dart"),
        };
        draw(body, &line.to_path(), &[]);
    }
    for (from, to) in ticks(piece, drawn).into_iter().flatten() {
        draw(body, &Curve::line(from, to).expect("a tick").to_path(), &[]);
    }
    for level in &piece.levels {
        for (from, to) in &level.stretches {
            draw(body, &Curve::line(*from, *to).expect("a level").to_path(), &[]);
        }
    }
    for style in &piece.style_lines {
        draw(body, &style.curve.to_path(), &[]);
    }
    for point in &piece.points {
        draw(body, &kurbo::Circle::new(point.at, 2.0).to_path(1e-4), &[]);
    }
    if let Some(grain) = &piece.grainline {
        draw(body, &Curve::line(grain.start, grain.end).expect("a grainline").to_path(), &[]);
        for (at, way) in [(grain.start, -grain.direction()), (grain.end, grain.direction())] {
            let side = Vec2::new(-way.y, way.x);
            let corners = [at, at - way * 8.0 + side * 2.5, at - way * 8.0 - side * 2.5].map(to_page);
            let points: Vec<String> =
                corners.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect();
            let _ =
                writeln!(body, "<polygon fill=\"#000\" stroke=\"none\" points=\"{}\"/>", points.join(" "));
        }
        let at = to_page(grain.start.midpoint(grain.end));
        writing(body, at, &format!("{} 38", piece.name()));
    }
}

/// How a piece is cut, under its name; and along its fold that it is one.
fn how_cut(body: &mut String, piece: &Piece) {
    if let Some(grain) = &piece.grainline {
        let at = to_page(grain.start.midpoint(grain.end)) + Vec2::new(0.0, 10.0);
        writing(body, at, &format!("cut {}", piece.cut.copies));
    }
    if let Some(id) = piece.fold() {
        let fold = &piece.edge(id).curve;
        let at = fold.length() / 3.0;
        let (foot, along) = (to_page(fold.point_at(at) - fold.normal_outward(at) * 3.0), fold.tangent_at(at));
        let turn = along.atan2().to_degrees();
        let (x, y) = (number(foot.x), number(foot.y));
        let _ = writeln!(
            body,
            "<text transform=\"translate({x} {y}) rotate({turn})\" font-size=\"9\" fill=\"#000\" \
             stroke=\"none\">place on fold</text>"
        );
    }
}

/// The ticks of each notch: from the drawn line inward, two beside each other for a double notch.
pub fn ticks(piece: &Piece, drawn: Drawn) -> Vec<Vec<(Point, Point)>> {
    let tick = |notch: &retrue::pattern::Notch| {
        let edge = piece.edge(piece.find_edge(&notch.edge).expect("its edge"));
        let allowance = if drawn == Drawn::CuttingLine { edge.cut_allowance().mm() } else { 0.0 };
        let beside: &[f64] = if notch.count == NotchCount::Double { &[-3.0, 3.0] } else { &[0.0] };
        let one = |off: &f64| {
            let at = notch.at + off;
            let (foot, outward) = (edge.curve.point_at(at), edge.curve.normal_outward(at));
            (foot + outward * allowance, foot + outward * (allowance - 5.0))
        };
        beside.iter().map(one).collect()
    };
    piece.notches.iter().map(tick).collect()
}

fn writing(body: &mut String, at: Point, text: &str) {
    let (x, y) = (number(at.x), number(at.y));
    let _ = writeln!(
        body,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"22\" fill=\"#000\" stroke=\"none\">{text}</text>"
    );
}

fn test_square(body: &mut String) {
    let square = Rect::from_origin_size(SQUARE_AT, (SQUARE, SQUARE));
    draw(body, &(Affine::translate(-SHIFT) * square.to_path(1e-3)), &[]);
    writing(body, SQUARE_AT + Vec2::new(15.0, 50.0), "100 mm");
}
