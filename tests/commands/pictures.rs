//! The pictures of the README: the coat's back and front as they are cut before and after, on cloth 37 cm wide.
//!
//! The files are drawn by this test: run it with `RETRUE_REDRAW=1` to draw them anew. The lines are those of the sheets,
//! set apart and drawn thick enough to be seen small.

use std::fmt::Write;

use kurbo::{Affine, BezPath, Rect, Shape};
use retrue::allowance::cutting_line;
use retrue::pattern::{Finish, Pattern, Piece};
use retrue::recut::Step;
use retrue::sheet;

/// The cloth's width, mm.
const CLOTH: f64 = 370.0;

/// Paper around each piece, mm.
const MARGIN: f64 = 50.0;

/// Height of the writing under the pieces, mm.
const WRITING: f64 = 44.0;

/// Height of every picture, so that two side by side are to one scale, mm.
const HEIGHT: f64 = 1280.0;

/// The sheet, the picture of it, and the pieces that are shown.
const PICTURES: [(&str, &str, &[&str]); 2] = [
    ("fixtures/coat.svg", "examples/before.svg", &["back", "front"]),
    ("examples/narrow-coat.svg", "examples/after.svg", &["back", "front-centre", "front-side"]),
];

fn path(name: &str) -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn text_of(name: &str) -> String {
    std::fs::read_to_string(path(name)).expect("the file is there")
}

/// The sheet with its half pieces opened out, so that they are seen as wide as they are cut.
fn opened(sheet: &str, shown: &[&str]) -> Pattern {
    let mut pattern = sheet::read(sheet.as_bytes(), &Default::default()).expect("a pattern sheet").pattern;
    for name in shown {
        if pattern.piece(&name.parse().unwrap()).unwrap().fold().is_some() {
            let unfold = Step::read("unfold", serde_json::json!({ "piece": name })).unwrap();
            pattern = unfold.apply(&pattern).expect("a piece that can be opened out").pattern;
        }
    }
    pattern
}

/// A piece's cutting line, its seamlines, and its grainline.
fn lines_of(pattern: &Pattern, piece: &Piece) -> (BezPath, BezPath, BezPath) {
    let cut = cutting_line(pattern, piece).expect("a cutting line").path;
    let mut sewn = BezPath::new();
    for edge in piece.edges().iter().filter(|edge| edge.finish != Finish::Free) {
        sewn.extend(edge.curve.to_path());
    }
    let grain = piece.grain().expect("a grainline");
    let mut along = BezPath::new();
    along.move_to(grain.start);
    along.line_to(grain.end);
    (cut, sewn, along)
}

/// Path data to a tenth of a millimetre.
fn data(path: &BezPath, shift: Affine) -> String {
    let rounded =
        |at: kurbo::Point| kurbo::Point::new((at.x * 10.0).round() / 10.0, (at.y * 10.0).round() / 10.0);
    let elements = (shift * path).into_iter().map(|element| match element {
        kurbo::PathEl::MoveTo(a) => kurbo::PathEl::MoveTo(rounded(a)),
        kurbo::PathEl::LineTo(a) => kurbo::PathEl::LineTo(rounded(a)),
        kurbo::PathEl::QuadTo(a, b) => kurbo::PathEl::QuadTo(rounded(a), rounded(b)),
        kurbo::PathEl::CurveTo(a, b, c) => kurbo::PathEl::CurveTo(rounded(a), rounded(b), rounded(c)),
        kurbo::PathEl::ClosePath => kurbo::PathEl::ClosePath,
    });
    BezPath::from_vec(elements.collect()).to_svg()
}

fn picture(sheet: &str, shown: &[&str]) -> String {
    let pattern = opened(sheet, shown);
    let mut body = String::new();
    let mut x = MARGIN;
    for name in shown {
        let piece = pattern.piece(&name.parse().unwrap()).unwrap();
        let (cut, sewn, grain) = lines_of(&pattern, piece);
        let Rect { x0, y0, .. } = cut.bounding_box();
        let (width, height) = (cut.bounding_box().width(), cut.bounding_box().height());
        let room = if *name == "back" { width.max(CLOTH) } else { width };
        let (left, middle) = (x + (room - width) / 2.0, x + room / 2.0);
        let shift = Affine::translate((left - x0, MARGIN - y0));
        if *name == "back" {
            let cloth = middle - CLOTH / 2.0;
            let _ = writeln!(
                body,
                r##"<rect x="{cloth:.1}" y="0" width="{CLOTH}" height="{:.1}" fill="#e4dcc8"/>"##,
                height + 2.0 * MARGIN
            );
        }
        for (path, look) in [
            (&cut, r##"stroke="#222" stroke-width="5""##),
            (&sewn, r##"stroke="#666" stroke-width="3" stroke-dasharray="14 9""##),
            (
                &grain,
                r##"stroke="#222" stroke-width="3" marker-start="url(#arrow)" marker-end="url(#arrow)""##,
            ),
        ] {
            let _ = writeln!(body, r#"<path {look} d="{}"/>"#, data(path, shift));
        }
        for (line, words) in [(1.4, (*name).to_owned()), (0.2, format!("{:.1} cm", width / 10.0))] {
            let y = HEIGHT - line * WRITING;
            let _ = writeln!(body, r##"<text fill="#222" x="{middle:.1}" y="{y:.1}">{words}</text>"##);
        }
        x += room + MARGIN;
    }
    format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {x:.1} {HEIGHT}" fill="none" font-family="sans-serif" font-size="{WRITING}" text-anchor="middle">
<marker id="arrow" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" orient="auto-start-reverse"><path fill="#222" d="M0 1 L10 5 L0 9 Z"/></marker>
<rect width="{x:.1}" height="{HEIGHT}" fill="#fff"/>
<g fill="none">
{body}</g>
</svg>
"##
    )
}

#[test]
fn pictures_show_the_shipped_sheets() {
    for (sheet, name, shown) in PICTURES {
        let drawn = picture(&text_of(sheet), shown);
        if std::env::var_os("RETRUE_REDRAW").is_some() {
            std::fs::write(path(name), &drawn).expect("the picture is written");
        }
        assert!(text_of(name) == drawn, "{name} is not what the sheet shows");
    }
}

/// To a tenth of a millimetre, which is the same on any machine.
#[test]
fn narrow_coat_is_what_its_recipe_makes() {
    let bench = crate::run::Bench::new();
    let recipe = path("examples/narrow-coat.toml");
    bench.retrue(&format!("apply \"{}\" -o narrow-coat.svg", recipe.display())).is_true();
    let made = bench.text_of("narrow-coat.svg");
    let (shipped, _, shown) = PICTURES[1];
    if std::env::var_os("RETRUE_REDRAW").is_some() {
        std::fs::write(path(shipped), &made).expect("the outcome is written");
    }
    assert!(picture(&made, shown) == picture(&text_of(shipped), shown), "{shipped} is another coat");
}
