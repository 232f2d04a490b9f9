//! What is drawn of a piece: labels keep clear of lines, stay within the piece or beside it, and say what they must.

use kurbo::{BezPath, PathEl, Shape};
use retrue::allowance::{Halves, SewingOrder};
use retrue::canvas::{Drawing, Label, LineKind, Lying};
use retrue::curve::{Point, Vec2};
use retrue::pattern::{Copy, Finish, Pattern, Piece, Twins};
use retrue::recut::{AddBand, Step};
use retrue::sheet::{self, ReadOptions};
use retrue::show::piece::{PieceDrawing, PieceStyle};
use retrue::units::{Length, Unit};

/// Every shipped sheet, and the outcome of the main job.
const SHEETS: [&str; 5] = [
    "fixtures/coat.svg",
    "fixtures/dress.svg",
    "fixtures/skirt-shaped-back.svg",
    "fixtures/awkward.svg",
    "examples/narrow-coat.svg",
];

fn pattern(file: &str) -> Pattern {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let bytes = std::fs::read(path).expect("a shipped sheet");
    sheet::read(&bytes, &ReadOptions::default()).expect("a sound sheet").pattern
}

const STYLES: [(Halves, Copy, Lying); 5] = [
    (Halves::OnFold, Copy::Drawn, Lying::Upright),
    (Halves::Opened, Copy::Drawn, Lying::Upright),
    (Halves::OnFold, Copy::Mirrored, Lying::Upright),
    (Halves::Opened, Copy::Mirrored, Lying::Quarter),
    (Halves::OnFold, Copy::Drawn, Lying::Half),
];

fn each_drawn_piece(mut check: impl FnMut(&Pattern, &Piece, Halves, &PieceDrawing)) {
    for file in SHEETS {
        let pattern = pattern(file);
        let order = SewingOrder::of(&pattern);
        for piece in pattern.pieces() {
            for (halves, hand, lying) in STYLES {
                let style = PieceStyle { halves, hand, lying, ..PieceStyle::for_cutting(Unit::Millimetre) };
                let drawn = PieceDrawing::of(&order, piece, &style).expect("a piece that can be drawn");
                check(&pattern, piece, halves, &drawn);
            }
        }
    }
}

/// Points along a path, half a millimetre apart: found by evaluating its curves, not by flattening them.
fn walked(path: &BezPath) -> Vec<Point> {
    use kurbo::{ParamCurve, ParamCurveArclen};
    let mut points = Vec::new();
    for segment in path.segments() {
        let steps = (segment.arclen(0.1) / 0.5).ceil().max(1.0) as usize;
        points.extend((0..=steps).map(|i| segment.eval(i as f64 / steps as f64)));
    }
    points
}

/// Whether a point is under the letters of a label: between its ends, between its base line and its capitals.
fn is_under(label: &Label, point: Point) -> bool {
    let up = Vec2::new(label.along.y, -label.along.x);
    let (x, y) = ((point - label.at).dot(label.along), (point - label.at).dot(up));
    x.abs() <= label.width() / 2.0 && (-0.2 * label.size..=0.74 * label.size).contains(&y)
}

fn corners(label: &Label) -> Vec<Point> {
    label.corners().to_vec()
}

#[test]
fn no_label_lies_on_a_line() {
    let mut labels = 0;
    each_drawn_piece(|_, piece, halves, drawn| {
        let lines: Vec<(LineKind, Vec<Point>)> =
            drawn.drawing.strokes.iter().map(|stroke| (stroke.kind, walked(&stroke.path))).collect();
        for label in &drawn.drawing.labels {
            labels += 1;
            let near = label.bounds();
            for (kind, points) in &lines {
                let struck = points
                    .iter()
                    .filter(|point| near.contains(**point))
                    .find(|point| is_under(label, **point));
                assert!(
                    struck.is_none(),
                    "{} {halves:?}: `{}` lies on {kind:?} at {struck:?}",
                    piece.name(),
                    label.text
                );
            }
            for fill in &drawn.drawing.fills {
                let struck = walked(&fill.path).into_iter().any(|point| is_under(label, point));
                assert!(!struck, "{}: `{}` lies on an arrow", piece.name(), label.text);
            }
        }
    });
    assert!(labels > 1000, "{labels} labels were looked at");
}

#[test]
fn no_label_lies_on_another() {
    each_drawn_piece(|_, piece, _, drawn| {
        for (i, label) in drawn.drawing.labels.iter().enumerate() {
            for other in &drawn.drawing.labels[..i] {
                let grid = |label: &Label| {
                    let [a, b, _, d] = label.corners();
                    let places = (0..=40).flat_map(|i| (0..=4).map(move |j| (i, j)));
                    places
                        .map(|(i, j)| a + (d - a) * (f64::from(i) / 40.0) + (b - a) * (f64::from(j) / 4.0))
                        .collect::<Vec<_>>()
                };
                let lies = grid(label).into_iter().any(|point| is_under(other, point));
                assert!(!lies, "{}: `{}` lies on `{}`", piece.name(), label.text, other.text);
            }
        }
    });
}

/// Every label is within the cutting line, or wholly outside it as part of a legend or a number led out.
#[test]
fn no_label_runs_out_of_its_piece() {
    each_drawn_piece(|_, piece, _, drawn| {
        for label in &drawn.drawing.labels {
            let inside = |point: &Point| drawn.outline.contains(*point);
            let count = corners(label).iter().filter(|corner| inside(corner)).count();
            assert!(count == 0 || count == 4, "{}: `{}` runs out of the piece", piece.name(), label.text);
        }
    });
}

fn says(drawing: &Drawing, text: &str) -> bool {
    let all: Vec<&str> = drawing.labels.iter().map(|label| label.text.as_str()).collect();
    all.join(" ").contains(text)
}

/// Broken texts are read as one: their lines follow one another.
#[test]
fn every_piece_says_what_its_user_needs() {
    each_drawn_piece(|pattern, piece, halves, drawn| {
        let needed = |text: &str| {
            assert!(
                says(&drawn.drawing, text),
                "{} does not say `{text}`: {:?}",
                piece.name(),
                drawn.drawing.labels
            );
        };
        needed(piece.name().as_str());
        let pairs = piece.cut.copies / 2;
        match piece.cut.twins {
            Twins::Same => needed(&format!("cut {}", piece.cut.copies)),
            Twins::Mirrored if pairs == 1 => needed("cut 1 pair"),
            Twins::Mirrored => needed(&format!("cut {pairs} pairs")),
        }
        needed(&format!("{} cloth", piece.cloth));
        for edge in piece.edges() {
            match edge.finish {
                Finish::Fold if halves == Halves::OnFold => needed(&format!("{}: place on fold", edge.name)),
                Finish::Fold => needed(&format!("{}, opened out: do not cut", edge.name)),
                Finish::Hem => {
                    needed(&format!("{}: turn up {}", edge.name, edge.allowance.show(Unit::Millimetre)))
                }
                Finish::Seam | Finish::Free => needed(edge.name.as_str()),
            }
        }
        for name in piece.levels.iter().map(|level| level.name.as_str()) {
            needed(name);
        }
        for dart in &piece.darts {
            needed(dart.name.as_str());
        }
        for edge in pattern.record.new_edges().filter(|edge| edge.piece == *piece.name()) {
            if piece.find_edge(&edge.edge).is_some_and(|id| piece.edge(id).finish == Finish::Seam) {
                needed(&format!("new seam: {}", edge.edge));
            }
        }
    });
}

/// What a drawing brought along is printed with what it says: texts as they are, lines by the names of their ids.
#[test]
fn kept_marks_say_what_they_are() {
    let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"300mm\" viewBox=\"0 0 300 300\">\
        <g id=\"front\" data-kind=\"piece\" data-cut=\"2\">\
        <path id=\"front.hem\" data-kind=\"edge\" data-allowance=\"10mm\" data-finish=\"hem\" d=\"M20 220L20 20\"/>\
        <path id=\"front.upper\" data-kind=\"edge\" data-allowance=\"10mm\" d=\"M20 20L200 20L200 220L20 220\"/>\
        <path id=\"front.pocket\" data-kind=\"mark\" d=\"M60 60L140 70\"/>\
        <text x=\"90\" y=\"150\">size 12 &amp; 14 <tspan x=\"90\" dy=\"6\">gather here</tspan></text>\
        <text x=\"90\" y=\"180\" display=\"none\">not this</text></g></svg>";
    let pattern = sheet::read(text.as_bytes(), &ReadOptions::default()).expect("a sound sheet").pattern;
    let piece = pattern.pieces().next().expect("a piece");
    let order = SewingOrder::of(&pattern);
    for lying in Lying::ALL {
        let style = PieceStyle { lying, ..PieceStyle::for_cutting(Unit::Millimetre) };
        let drawn = PieceDrawing::of(&order, piece, &style).expect("a drawing").drawing;
        assert!(says(&drawn, "pocket") && says(&drawn, "size 12 & 14 gather here"), "{:?}", drawn.labels);
        assert!(!says(&drawn, "not this"));
    }
}

/// The sleeve's cap is longer than the armhole: its print says by how much, the armhole's says nothing of it.
#[test]
fn ease_is_told_on_the_side_that_is_eased_in() {
    let pattern = pattern("fixtures/dress.svg");
    let order = SewingOrder::of(&pattern);
    let drawn = |name: &str| {
        let piece = pattern.pieces().find(|piece| piece.name().as_str() == name).expect("a piece");
        PieceDrawing::of(&order, piece, &PieceStyle::for_cutting(Unit::Millimetre))
            .expect("a drawing")
            .drawing
    };
    let seam =
        pattern.seams().iter().find(|seam| seam.edges().any(|run| run.edge.to_string() == "sleeve.cap"));
    let ease = seam.expect("the armhole's seam").ease.mm().abs();
    assert!(ease > 5.0);
    let told = format!("ease in {} mm", (ease * 10.0).round() / 10.0);
    assert!(says(&drawn("sleeve"), &told), "{told}: {:?}", drawn("sleeve").labels);
    assert!(!says(&drawn("bodice-front"), "ease in"));
}

#[test]
fn an_edge_tells_what_it_is_sewn_to_and_its_allowance() {
    let pattern = pattern("fixtures/dress.svg");
    let order = SewingOrder::of(&pattern);
    let piece = pattern.pieces().find(|piece| piece.name().as_str() == "bodice-front").expect("a piece");
    let style = PieceStyle::for_cutting(Unit::Millimetre);
    let drawn = PieceDrawing::of(&order, piece, &style).expect("a drawing");
    assert!(says(&drawn.drawing, "shoulder, sewn to bodice-back.shoulder, 15 mm"));
    assert!(says(&drawn.drawing, "bust-dart, press to waist"));
}

/// The cutting line is solid and all there: its strokes with those of the fold and the selvedge are as long as the loop, and
/// nothing on the fold is drawn to be cut.
#[test]
fn the_fold_is_not_drawn_as_a_line_to_cut() {
    let length = |path: &BezPath| path.perimeter(1e-6);
    let mut folds = 0;
    each_drawn_piece(|_, piece, halves, drawn| {
        let of = |kind: LineKind| {
            let strokes = drawn.drawing.strokes.iter().filter(move |stroke| stroke.kind == kind);
            strokes.map(|stroke| length(&stroke.path)).sum::<f64>()
        };
        let outline = length(&drawn.outline);
        let folded = if halves == Halves::Opened { 0.0 } else { of(LineKind::Fold) };
        assert!(matches!(drawn.outline.elements().last(), Some(PathEl::ClosePath)), "{}", piece.name());
        let drawn_round = of(LineKind::CuttingLine) + of(LineKind::OnSelvedge) + folded;
        assert!((drawn_round - outline).abs() < 0.01, "{} {halves:?}", piece.name());
        if let Some(fold) = piece.fold() {
            folds += 1;
            assert!(of(LineKind::Fold) >= piece.edge(fold).curve.length() - 0.01);
        }
    });
    assert!(folds > 20);
}

/// A strip with a name too long for it, sewn to another that is turned: from 3 cm down to the width of a cord.
fn strips(width: f64) -> Pattern {
    let strip = |name: &str, at: f64, allowance: f64| {
        let (x, y) = (at, 0.0);
        let (right, bottom) = (x + width, y + 70.0);
        format!(
            "<g id=\"{name}\" data-kind=\"piece\" data-cut=\"2\" data-cloth=\"companion\">\
             <path id=\"{name}.outer-edge\" data-kind=\"edge\" data-allowance=\"{allowance}mm\" \
               data-sewn-to=\"{name}.outer-edge/m\" d=\"M{x} {y}L{x} {bottom}\"/>\
             <path id=\"{name}.upper-end\" data-kind=\"edge\" data-allowance=\"{allowance}mm\" \
               data-finish=\"free\" d=\"M{x} {y}L{right} {y}\"/>\
             <path id=\"{name}.lower-end\" data-kind=\"edge\" data-allowance=\"{allowance}mm\" \
               data-finish=\"hem\" d=\"M{x} {bottom}L{right} {bottom}\"/>\
             <path id=\"{name}.inner-edge\" data-kind=\"edge\" data-allowance=\"{allowance}mm\" \
               data-finish=\"free\" d=\"M{right} {y}L{right} {bottom}\"/>\
             <path id=\"{name}.grain\" data-kind=\"grainline\" d=\"M{g} {a}L{g} {b}\"/>\
             <path id=\"{name}.waist-level\" data-kind=\"level\" d=\"M{x} {l}L{right} {l}\"/></g>",
            g = x + width * 0.4,
            a = y + 10.0,
            b = bottom - 10.0,
            l = y + 30.0,
        )
    };
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"200mm\" viewBox=\"0 0 400 200\">{}{}</svg>",
        strip("shoulder-strap-of-the-apron", 20.0, 0.0),
        strip("binding-of-the-pocket", 200.0, 6.0)
    );
    sheet::read(text.as_bytes(), &ReadOptions::default()).expect("a sound sheet").pattern
}

/// On pieces of 3 cm and less every text is still said, clear of lines, on the piece or in a legend beside it.
#[test]
fn narrow_pieces_lead_their_texts_out() {
    for width in [30.0, 18.0, 12.0, 7.0, 3.0] {
        let pattern = strips(width);
        let order = SewingOrder::of(&pattern);
        for piece in pattern.pieces() {
            for lying in [Lying::Upright, Lying::Quarter] {
                let style = PieceStyle { lying, ..PieceStyle::for_cutting(Unit::Millimetre) };
                let drawn = PieceDrawing::of(&order, piece, &style).expect("a drawing");
                let name = piece.name().as_str();
                for text in
                    [name, "outer-edge, sewn to its mirror image", "lower-end: turn up", "waist-level"]
                {
                    assert!(
                        says(&drawn.drawing, text),
                        "{width}: `{text}` is not in {:?}",
                        drawn.drawing.labels
                    );
                }
                for label in &drawn.drawing.labels {
                    for stroke in &drawn.drawing.strokes {
                        let struck = walked(&stroke.path).into_iter().find(|point| is_under(label, *point));
                        assert!(struck.is_none(), "{width}: `{}` lies on {:?}", label.text, stroke.kind);
                    }
                    let inside = |point: &Point| drawn.outline.contains(*point);
                    let count = corners(label).iter().filter(|corner| inside(corner)).count();
                    assert!(count == 0 || count == 4, "{width}: `{}` runs out", label.text);
                    assert!(label.size >= 1.79, "{width}: `{}` is too small to read", label.text);
                }
            }
        }
    }
}

/// A mark that a new seam has cut off from a part of its line is drawn only on the cloth that is left.
#[test]
fn no_mark_hangs_out_of_its_piece() {
    let coat = pattern("fixtures/coat.svg");
    let band =
        AddBand::of("front".parse().expect("a name"), "hem".parse().expect("a name"), Length::from_mm(100.0));
    let recut = Step::from(band).apply(&coat).expect("a band").pattern;
    let order = SewingOrder::of(&recut);
    let front = recut.piece(&"front".parse().expect("a name")).expect("the front");
    let longest =
        front.marks.iter().flat_map(|mark| &mark.lines).map(|line| line.length()).fold(0.0, f64::max);
    let drawn = PieceDrawing::of(&order, front, &PieceStyle::for_cutting(Unit::Millimetre)).expect("drawn");
    let cut = drawn.outline.bounding_box().inflate(0.01, 0.01);
    let marks: Vec<_> = drawn.drawing.strokes.iter().filter(|stroke| stroke.kind == LineKind::Mark).collect();
    assert!(marks.iter().all(|stroke| cut.contains_rect(stroke.path.bounding_box())));
    let left = marks.iter().map(|stroke| stroke.path.bounding_box().height()).fold(0.0, f64::max);
    assert!(left < longest - 50.0 && left > longest - 100.0, "{left} of {longest} mm");
}
