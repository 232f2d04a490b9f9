//! The same geometry as usvg finds, which shares none of our walking, fitting and shape code.

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveNearest, PathSeg, Point};
use proptest::prelude::*;
use retrue::drawing::{SvgDrawing, Visibility};

use super::{all, read_text, sheet};
use crate::usvg_path::in_mm;

/// What two readers may differ by, mm: usvg keeps f32.
const AGREEMENT: f64 = 0.001;

/// usvg makes quarter arcs of one cubic, off by this share of the radius (Goldapp 1991: 2.7e-4).
const QUARTER_ARC: f64 = 2.8e-4;

const MM_PER_PX: f64 = 25.4 / 96.0;

fn usvg_paths(text: &str) -> Vec<BezPath> {
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("usvg reads it");
    let mut paths = Vec::new();
    collect(tree.root(), &mut paths);
    paths
}

fn collect(group: &usvg::Group, paths: &mut Vec<BezPath>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => collect(group, paths),
            usvg::Node::Path(path) if path.is_visible() => paths.push(in_mm(path, Affine::scale(MM_PER_PX))),
            _ => {}
        }
    }
}

fn our_paths(drawing: &SvgDrawing) -> Vec<BezPath> {
    let shown = all(drawing).into_iter().filter(|node| node.visible == Visibility::Shown);
    shown.filter_map(|node| node.geometry.clone()).collect()
}

/// Largest distance from points of one curve to the other, both ways.
fn apart(one: &BezPath, other: &BezPath) -> f64 {
    one_sided(one, other).max(one_sided(other, one))
}

fn one_sided(from: &BezPath, to: &BezPath) -> f64 {
    let targets: Vec<PathSeg> = to.segments().collect();
    let points =
        from.segments().flat_map(|segment| (0..=16).map(move |step| segment.eval(f64::from(step) / 16.0)));
    let nearest = |point: Point| {
        let squares = targets.iter().map(|segment| segment.nearest(point, 1e-6).distance_sq);
        squares.fold(f64::INFINITY, f64::min).sqrt()
    };
    points.map(nearest).fold(0.0, f64::max)
}

/// The most that any shape is stretched on its way to mm.
fn largest_scale(drawing: &SvgDrawing) -> f64 {
    let scales = all(drawing).into_iter().map(|node| {
        let [a, b, c, d, _, _] = node.to_mm.as_coeffs();
        a.hypot(b).hypot(c.hypot(d))
    });
    scales.fold(0.0, f64::max)
}

/// Both readers find the same curves in the same order; `radius` in user units allows for usvg's arcs.
fn agrees(text: &str, radius: f64) -> Result<(), String> {
    let drawing = read_text(text).map_err(|error| format!("{error}\n{text}"))?;
    let ours = our_paths(&drawing);
    let theirs = usvg_paths(text);
    if ours.len() != theirs.len() {
        return Err(format!("{} curves against {}\n{text}", ours.len(), theirs.len()));
    }
    let limit = AGREEMENT + QUARTER_ARC * radius * largest_scale(&drawing);
    for (our, their) in ours.iter().zip(&theirs) {
        let distance = apart(our, their);
        if distance > limit {
            return Err(format!(
                "{distance} mm apart, over {limit}\n{}\n{}\n{text}",
                our.to_svg(),
                their.to_svg()
            ));
        }
    }
    Ok(())
}

fn body_agrees(body: &str, radius: f64, curves: usize) {
    let text = sheet(body);
    assert_eq!(usvg_paths(&text).len(), curves, "usvg finds curves in {body}");
    agrees(&text, radius).unwrap_or_else(|why| panic!("{why}"));
}

const PATH: &str = r#"<path id="p" d="M10 20 l30 5 h-8 V60 q10 -40 30 0 t20 10 c5 5 10 -20 30 0 s10 30 20 -10 z m5 5 L 60 70"/>"#;

#[test]
fn paths_and_straight_shapes() {
    body_agrees(PATH, 0.0, 1);
    body_agrees(
        r#"<rect x="10" y="20" width="30" height="50"/><line x1="1" y1="2" x2="30" y2="44" stroke="red"/>"#,
        0.0,
        2,
    );
    body_agrees(r#"<polyline points="1,2 30,4 50,60"/><polygon points="1 2 30 4 50 60"/>"#, 0.0, 2);
    body_agrees(
        r#"<rect x="1in" y="1cm" width="20mm" height="36pt"/><rect x="10%" y="5%" width="20%" height="1pc"/>"#,
        0.0,
        2,
    );
}

#[test]
fn round_shapes() {
    body_agrees(r#"<circle cx="100" cy="100" r="50"/><ellipse cx="200" cy="100" rx="50" ry="20"/>"#, 50.0, 2);
    body_agrees(
        r#"<rect x="10" y="20" width="100" height="50" rx="10" ry="20"/><rect width="100" height="50" rx="90"/>"#,
        50.0,
        2,
    );
    body_agrees(r#"<circle cx="50%" cy="50%" r="5%"/><ellipse cx="9" cy="9" rx="5"/>"#, 40.0, 2);
    body_agrees(
        r#"<path d="M 10 100 A 80 40 30 1 1 150 120 a 20 20 0 0 0 30 10 A 1 2 10 0 1 200 200"/>"#,
        80.0,
        1,
    );
}

#[test]
fn transforms_add_up_from_the_outside_in() {
    body_agrees(
        &format!(
            r#"<g transform="translate(100,50) rotate(30)"><g transform="scale(.5 2) skewX(10)">{PATH}</g></g>"#
        ),
        0.0,
        1,
    );
    body_agrees(
        &format!(r#"<g transform="matrix(-1 0 0 1 300 0) rotate(45 100 100) skewY(-5)">{PATH}</g>"#),
        0.0,
        1,
    );
    body_agrees(
        &format!(r#"<a transform="scale(2)">{PATH}</a><g style="transform: translate(5,6)">{PATH}</g>"#),
        0.0,
        2,
    );
    body_agrees(&format!(r#"<g transform="rotate(20)" transform-origin="100 50">{PATH}</g>"#), 0.0, 1);
}

#[test]
fn use_brings_in_shapes_groups_and_other_uses() {
    let defs = format!(
        r#"<defs>{PATH}<g id="g" transform="rotate(10)"><rect width="5" height="6"/>{}</g></defs>"#,
        PATH.replace("\"p\"", "\"q\"")
    );
    body_agrees(&format!(r##"{defs}<use href="#p" x="100" y="20" transform="rotate(15)"/>"##), 0.0, 1);
    body_agrees(&format!(r##"{defs}<use xlink:href="#g" x="100"/><use href="#g" y="1in"/>"##), 0.0, 4);
    body_agrees(
        &format!(r##"{defs}<use id="u" href="#g" x="10"/><use href="#u" y="30" transform="scale(2)"/>"##),
        0.0,
        4,
    );
}

#[test]
fn symbols_and_inner_drawings_are_fitted() {
    let symbol =
        format!(r#"<symbol id="s" viewBox="0 0 100 50">{PATH}</symbol><symbol id="n">{PATH}</symbol>"#);
    body_agrees(&format!(r##"{symbol}<use href="#s" x="50" y="60" width="200" height="200"/>"##), 0.0, 1);
    body_agrees(&format!(r##"{symbol}<use href="#s"/><use href="#n" x="30" y="40"/>"##), 0.0, 2);
    body_agrees(
        &format!(
            r#"<svg x="50" y="60" width="300" height="200" viewBox="10 10 100 100" preserveAspectRatio="xMaxYMin slice">{PATH}</svg>"#
        ),
        0.0,
        1,
    );
    body_agrees(
        &format!(
            r#"<svg x="50" y="60" width="300" height="200">{PATH}<rect width="50%" height="10%"/></svg>"#
        ),
        0.0,
        2,
    );
    body_agrees(&format!(r#"<svg viewBox="0 0 450 300">{PATH}</svg>"#), 0.0, 1);
    body_agrees(
        &format!(
            r#"<svg width="300" height="200" viewBox="0 0 100 100" preserveAspectRatio="none">{PATH}</svg>"#
        ),
        0.0,
        1,
    );
    let inner =
        format!(r#"<defs><svg id="v" width="80" height="80" viewBox="0 0 100 100">{PATH}</svg></defs>"#);
    body_agrees(&format!(r##"{inner}<use href="#v" x="10" width="200"/>"##), 0.0, 1);
}

#[test]
fn what_is_hidden_is_hidden_for_both() {
    body_agrees(
        &format!(
            r#"<style>.off {{ display: none }} g.away path {{ display: none }}</style>{PATH}<g class="off">{PATH}</g><g class="away">{PATH}</g>"#
        ),
        0.0,
        1,
    );
    body_agrees(&format!(r#"<g visibility="hidden">{PATH}<g visibility="visible">{PATH}</g></g>"#), 0.0, 1);
    body_agrees(
        &format!(
            r#"<switch><g requiredExtensions="http://example.org/x">{PATH}</g><g systemLanguage="en">{PATH}</g><g>{PATH}{PATH}</g></switch>"#
        ),
        0.0,
        1,
    );
    body_agrees(
        &format!(
            r#"<g transform="scale(0)">{PATH}</g><defs>{PATH}</defs><clipPath id="c">{PATH}</clipPath>{PATH}"#
        ),
        0.0,
        1,
    );
}

#[test]
fn sizes_and_alignments_of_the_sheet() {
    for size in [
        r#"width="200mm" height="100mm" viewBox="0 0 200 100""#,
        r#"width="20cm" height="10in" viewBox="-10 -20 720 300""#,
        r#"width="20cm" height="10in" viewBox="5 6 720 300" preserveAspectRatio="xMinYMax slice""#,
        r#"width="300pt" height="200pt""#,
        r#"width="30pc" viewBox="0 0 72 144""#,
        r#"width="200mm" height="100mm" viewBox="0 0 200 100" transform="rotate(30)""#,
        r#"width="20cm" height="10in" viewBox="5 6 720 300" transform="translate(10 20) scale(.5)""#,
    ] {
        let text = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {size}>{PATH}</svg>"#);
        agrees(&text, 0.0).unwrap_or_else(|why| panic!("{size}: {why}"));
    }
}

fn number(range: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    range.prop_map(|value| (value * 100.0).round() / 100.0)
}

fn transform() -> impl Strategy<Value = String> {
    prop_oneof![
        (number(-50.0..50.0), number(-50.0..50.0)).prop_map(|(x, y)| format!("translate({x} {y})")),
        number(-180.0..180.0).prop_map(|angle| format!("rotate({angle})")),
        (number(-180.0..180.0), number(-50.0..50.0))
            .prop_map(|(angle, x)| format!("rotate({angle}, {x}, 7)")),
        (number(0.3..2.0), number(-2.0..-0.3)).prop_map(|(x, y)| format!("scale({x},{y})")),
        number(-40.0..40.0).prop_map(|angle| format!("skewX({angle})")),
        (number(0.5..1.5), number(-0.5..0.5)).prop_map(|(a, b)| format!("matrix({a} {b} {b} {a} 3 4)")),
    ]
}

/// A shape and the largest radius of its arcs. A chord of 75 units at most blows radii of a ratio of 3 at
/// most up to 114.
fn shape() -> impl Strategy<Value = (String, f64)> {
    let n = || number(1.0..60.0);
    prop_oneof![
        (n(), n(), n(), n())
            .prop_map(|(x, y, w, h)| (format!(r#"<rect x="{x}" y="{y}" width="{w}" height="{h}"/>"#), 0.0)),
        (n(), n(), n(), n()).prop_map(|(x, w, h, r)| {
            (format!(r#"<rect x="{x}" width="{w}" height="{h}" rx="{r}"/>"#), w.max(h))
        }),
        (n(), n(), n()).prop_map(|(x, y, r)| (format!(r#"<circle cx="{x}" cy="{y}" r="{r}"/>"#), r)),
        (n(), n(), n())
            .prop_map(|(x, rx, ry)| (format!(r#"<ellipse cx="{x}" rx="{rx}" ry="{ry}"/>"#), rx.max(ry))),
        (n(), n(), n(), n())
            .prop_map(|(a, b, c, d)| (format!(r#"<polygon points="{a},{b} {c} {d} {b} {a}"/>"#), 0.0)),
        (n(), n(), n(), n()).prop_map(|(a, b, c, d)| {
            (
                format!(r#"<path d="M{a} {b}c{c} {d} {a}-{b} {c}-{d}s-9 8 {b} 7Q1 2 {a} {d}t5-5zl{d} 3"/>"#),
                0.0,
            )
        }),
        (number(20.0..60.0), number(20.0..60.0), n(), number(0.0..180.0), any::<(bool, bool)>()).prop_map(
            |(rx, ry, x, turn, (large, sweep))| {
                let (large, sweep) = (u8::from(large), u8::from(sweep));
                (format!(r#"<path d="M3 4A{rx} {ry} {turn} {large} {sweep} {x} 50z"/>"#), 114.0)
            }
        ),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: Some(Box::new(proptest::test_runner::FileFailurePersistence::Direct("tests/drawing/oracle-regressions"))),
        ..ProptestConfig::default()
    })]

    /// Any shape under any chain of transforms, drawn in place and brought in by `use`.
    #[test]
    fn any_shape_under_any_transforms(
        (shape, radius) in shape(),
        outer in proptest::collection::vec(transform(), 0..3),
        inner in proptest::collection::vec(transform(), 0..3),
        (x, y) in (number(-50.0..50.0), number(-50.0..50.0)),
    ) {
        let body = format!(
            r##"<g transform="{}"><g id="g" transform="{}">{shape}</g><use href="#g" x="{x}" y="{y}"/></g>"##,
            outer.join(" "), inner.join(","),
        );
        if let Err(why) = agrees(&sheet(&body), radius) {
            prop_assert!(false, "{}", why);
        }
    }
}
