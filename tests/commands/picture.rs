//! Pictures: every edge named and measured, the old pattern under the new, what moved hatched.

use std::path::Path;

use crate::run::{Bench, fixture};
use kurbo::{ParamCurve, ParamCurveArclen, Point, Shape, Vec2};
use retrue::canvas::{Drawing, Label, LineKind};
use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::picture::{Picture, PictureOptions, Pixels};
use retrue::units::Unit;

fn pattern(file: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    sheet::read(&std::fs::read(path).expect("a sheet"), &ReadOptions::default()).expect("sound").pattern
}

fn texts(drawing: &Drawing) -> String {
    drawing.labels.iter().map(|label| label.text.as_str()).collect::<Vec<_>>().join(" ")
}

fn length(drawing: &Drawing, kind: LineKind) -> f64 {
    let strokes = drawing.strokes.iter().filter(|stroke| stroke.kind == kind);
    strokes.map(|stroke| stroke.path.perimeter(0.01)).sum()
}

#[test]
fn every_edge_is_named_and_measured() {
    for file in ["fixtures/coat.svg", "fixtures/dress.svg", "fixtures/awkward.svg"] {
        let pattern = pattern(file);
        let picture =
            Picture::of("a garment", &pattern, None, &PictureOptions::default()).expect("a picture");
        let texts = texts(&picture.drawing);
        for piece in pattern.pieces() {
            for id in piece.edge_ids() {
                let length = (piece.sewn_length(id) * 10.0).round() / 10.0;
                let needed = format!("{} {length} mm", piece.edge(id).name);
                assert!(texts.contains(&needed), "{}: `{needed}` is not in {texts}", piece.name());
            }
        }
        let seen = picture.drawing.bounds().expect("something");
        assert!(picture.view.contains_rect(seen));
    }
}

/// Whether a point is under the letters of a label.
fn is_under(label: &Label, point: Point) -> bool {
    let up = Vec2::new(label.along.y, -label.along.x);
    let (x, y) = ((point - label.at).dot(label.along), (point - label.at).dot(up));
    x.abs() <= label.width() / 2.0 && (-0.2 * label.size..=0.74 * label.size).contains(&y)
}

/// In pictures of all pieces, of one, of an edge, and of the old under the new, no text lies on a line or a text.
#[test]
fn no_text_in_a_picture_lies_on_a_line_or_a_text() {
    let (coat, dress) = (pattern("fixtures/coat.svg"), pattern("fixtures/dress.svg"));
    let narrow = pattern("examples/narrow-coat.svg");
    let everything = PictureOptions::default();
    let front =
        PictureOptions { pieces: vec!["front".parse().expect("a name")], ..PictureOptions::default() };
    let cap =
        PictureOptions { edge: Some("sleeve.cap".parse().expect("an edge")), ..PictureOptions::default() };
    let inches = PictureOptions { unit: Unit::Inch, ..PictureOptions::default() };
    let pictures = [
        (&coat, None, &everything),
        (&dress, None, &everything),
        (&dress, None, &inches),
        (&dress, None, &cap),
        (&coat, None, &front),
        (&narrow, None, &everything),
        (&narrow, Some(&coat), &everything),
        (&narrow, Some(&coat), &front),
    ];
    for (i, (pattern, before, options)) in pictures.into_iter().enumerate() {
        let drawing = Picture::of("a garment", pattern, before, options).expect("a picture").drawing;
        let lines: Vec<(LineKind, Vec<Point>)> = drawing
            .strokes
            .iter()
            .map(|stroke| {
                let mut points = Vec::new();
                for segment in stroke.path.segments() {
                    let steps = segment.arclen(0.1).ceil().max(1.0) as usize;
                    points.extend((0..=steps).map(|i| segment.eval(i as f64 / steps as f64)));
                }
                (stroke.kind, points)
            })
            .collect();
        for (j, label) in drawing.labels.iter().enumerate() {
            let near = label.bounds();
            for (kind, points) in &lines {
                let struck =
                    points.iter().filter(|point| near.contains(**point)).any(|p| is_under(label, *p));
                assert!(!struck, "picture {i}: `{}` lies on {kind:?}", label.text);
            }
            for other in &drawing.labels[..j] {
                let [a, b, _, d] = label.corners();
                let grid =
                    (0..=40).flat_map(|x| (0..=4).map(move |y| (f64::from(x) / 40.0, f64::from(y) / 4.0)));
                let lies =
                    grid.map(|(x, y)| a + (d - a) * x + (b - a) * y).any(|point| is_under(other, point));
                assert!(!lies, "picture {i}: `{}` lies on `{}`", label.text, other.text);
            }
        }
    }
}

/// By the law of `split`, the two panels of a front fill its outline: nothing of it is hatched.
#[test]
fn a_piece_cut_in_two_lies_on_what_it_was() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("split coat.svg --piece sleeve --line fore-line -o new.svg").is_true();
    let (before, after) = (pattern("fixtures/coat.svg"), read(&bench.text_of("new.svg")));
    let picture = Picture::of("coat", &after, Some(&before), &PictureOptions::default()).expect("a picture");
    assert_eq!(length(&picture.drawing, LineKind::Hatch), key_hatch(&picture));
    let seam = length(&picture.drawing, LineKind::NewSeam);
    assert!((400.0..800.0).contains(&seam), "the new seam is strong, and drawn once: {seam}");
}

/// A side seam moved by 30 mm: that strip is hatched on the back, and as much on the front.
#[test]
fn what_moved_is_hatched() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 30mm -o new.svg").exits(0);
    let (before, after) = (pattern("fixtures/coat.svg"), read(&bench.text_of("new.svg")));
    let picture = Picture::of("coat", &after, Some(&before), &PictureOptions::default()).expect("a picture");
    let area_of = |pattern: &Pattern, name: &str| {
        pattern.pieces().find(|piece| piece.name().as_str() == name).expect("the piece").outline().area()
    };
    let moved = (area_of(&before, "back") - area_of(&after, "back"))
        + (area_of(&after, "front") - area_of(&before, "front"));
    /// Distance of hatching lines where texts are not magnified, mm.
    const HATCH: f64 = 3.5;
    let hatched =
        (length(&picture.drawing, LineKind::Hatch) - key_hatch(&picture)) * HATCH * picture.magnified;
    assert!(moved > 20_000.0, "{moved}");
    assert!(
        (hatched / moved - 1.0).abs() < 0.25,
        "{hatched} of {moved} mm² are hatched, less the room of texts"
    );
}

fn read(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &ReadOptions::default()).expect("sound").pattern
}

/// The length of the samples of hatching in the key: two times four lines as long as its letters are high.
fn key_hatch(picture: &Picture) -> f64 {
    let below = picture.drawing.strokes.iter().filter(|stroke| stroke.kind == LineKind::Hatch);
    let bottom = picture.view.y1 - 5.0 * 3.4 * picture.magnified;
    below
        .map(|stroke| &stroke.path)
        .filter(|path| path.bounding_box().y0 > bottom)
        .map(|path| path.perimeter(0.01))
        .sum()
}

#[test]
fn the_same_pattern_before_and_after_shows_no_change() {
    let coat = pattern("fixtures/coat.svg");
    let picture = Picture::of("coat", &coat, Some(&coat), &PictureOptions::default()).expect("a picture");
    assert_eq!(length(&picture.drawing, LineKind::Hatch), key_hatch(&picture));
}

#[test]
fn an_edge_is_seen_close() {
    let dress = pattern("fixtures/dress.svg");
    let edge = "bodice-front.shoulder".parse().expect("an edge");
    let options = PictureOptions { edge: Some(edge), ..PictureOptions::default() };
    let picture = Picture::of("dress", &dress, None, &options).expect("a picture");
    let all = Picture::of("dress", &dress, None, &PictureOptions::default()).expect("a picture");
    assert!(picture.view.width() < 0.2 * all.view.width());
    let name =
        picture.drawing.labels.iter().find(|label| label.text.starts_with("shoulder")).expect("its name");
    assert!(picture.view.contains(name.at));
    let key = texts(&picture.drawing);
    assert!(key.contains("cut here") && key.contains("seamline: stitch here"), "a key: {key}");
    assert!(!key.contains("fold of the cloth"), "of what is seen alone: {key}");
    let (seen, view) = (picture.drawing.bounds().expect("something"), picture.view.inflate(1e-6, 1e-6));
    assert!(view.contains_rect(seen), "nothing runs on under the key: {seen:?} in {view:?}");
}

#[test]
fn pixels_are_as_many_as_asked_and_not_blank() {
    let dress = pattern("fixtures/dress.svg");
    let options =
        PictureOptions { pieces: vec!["sleeve".parse().expect("a name")], ..PictureOptions::default() };
    let picture = Picture::of("dress", &dress, None, &options).expect("a picture");
    let png = picture.png(Pixels(900)).expect("pixels");
    let side = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("four bytes"));
    assert_eq!(&png[1..4], b"PNG");
    assert_eq!(side(16).max(side(20)), 900);
    let ratio = f64::from(side(16)) / f64::from(side(20));
    assert!((ratio - picture.view.width() / picture.view.height()).abs() < 0.01);
    assert!(png.len() > 10_000, "{} bytes", png.len());
}

#[test]
fn the_command_writes_what_the_files_name_says() {
    let bench = Bench::new().with_fixture("dress.svg").with_file("old.svg", fixture("dress.svg"));
    bench.retrue("picture dress.svg --piece sleeve").is_true().prints("<svg").prints("hem 276.1 mm");
    bench.retrue("picture dress.svg --before old.svg -o both.svg --in").is_true();
    assert!(bench.text_of("both.svg").contains("hem 10 7/8 in"));
    bench.retrue("picture dress.svg -o dress.png --pixels 400").is_true();
    assert!(std::fs::read(bench.path("dress.png")).expect("a picture").starts_with(b"\x89PNG"));
    bench.retrue("picture dress.svg -o dress.png").is_refused().says("--force");
    bench.retrue("picture dress.svg -o dress.jpg").is_refused().says("not `.jpg`").says("dress.png");
    bench.retrue("picture dress.svg -o dress.jpg --format PNG --pixels 400").is_true();
    bench.retrue("picture dress.svg --piece sleeve -o SLEEVE.SVG").is_true();
    bench.retrue("picture dress.svg --piece sleeve -o sleeve").is_true();
    assert!(bench.text_of("sleeve").starts_with("<svg") && bench.text_of("SLEEVE.SVG").starts_with("<svg"));
    bench.retrue("picture dress.svg --piece sleve").is_refused().says("did you mean `sleeve`?");
    bench.retrue("picture dress.svg --edge sleeve.cup").is_refused().says("cap");
    roxmltree::Document::parse(&bench.text_of("both.svg")).expect("sound XML");
}
