//! What a maker cuts by: it is said at the edge, it is in the key, it can be read, and it outlives a photocopy.

use std::collections::BTreeSet;

use kurbo::{ParamCurve, ParamCurveArclen, Point, Rect, Shape};
use retrue::canvas::{Label, Layer, LineKind, Stroke};
use retrue::show::piece::PieceDrawing;
use retrue::show::print::{Page, Print, PrintOptions, SheetSize};
use retrue::tolerance::{LEAST_PRINTED, OFF_SEAMLINE};

use crate::pixels::Pixels;
use crate::prints::{each_print, has_pixels, pattern, portrait};
use crate::run::Bench;

fn on_a4(file: &str) -> Print {
    Print::of(&pattern(file), &PrintOptions::usual("a garment", portrait(SheetSize::A4))).expect("pages")
}

fn labels(page: &Page) -> impl Iterator<Item = &Label> {
    page.furniture.labels.iter().chain(&page.content.labels)
}

/// Six points are 2.12 mm.
#[test]
fn nothing_that_is_printed_is_under_six_points() {
    let mut count = 0;
    each_print(|_, options, print| {
        for label in print.pages.iter().flat_map(labels) {
            count += 1;
            let size = label.size;
            assert!(size >= LEAST_PRINTED - 1e-9, "`{}`: {size} on {}", label.text, options.paper.title());
        }
    });
    assert!(count > 30_000, "{count}");
}

/// Beside each key stands a sample of every kind of line that its pieces are drawn with.
#[test]
fn every_kind_of_line_on_a_piece_is_in_the_key() {
    let mut kinds = BTreeSet::new();
    each_print(|_, options, print| {
        let strokes =
            print.areas.iter().flat_map(|area| &area.pieces).flat_map(|piece| &piece.drawing.strokes);
        let drawn: BTreeSet<LineKind> = strokes.map(|stroke| stroke.kind).collect();
        let keyed = print.pages.iter().filter(|page| labels(page).any(|label| label.text == "cut here"));
        let samples: BTreeSet<LineKind> =
            keyed.flat_map(|page| &page.furniture.strokes).map(|stroke| stroke.kind).collect();
        let missing: Vec<_> = drawn.difference(&samples).collect();
        assert!(missing.is_empty(), "{missing:?} on {}", options.paper.title());
        kinds.extend(drawn);
    });
    assert!(kinds.len() >= 14, "{kinds:?}");
}

/// Nothing of a key or a cover runs over the frame of its page.
#[test]
fn what_stands_in_a_page_stays_in_its_frame() {
    each_print(|_, options, print| {
        for page in print.pages.iter() {
            let inside = |label: &&Label| page.window.contains(label.bounds().center());
            for label in page.furniture.labels.iter().filter(inside) {
                let whole = page.window.inflate(0.5, 0.5).contains_rect(label.bounds());
                assert!(whole, "`{}` of {} on {}", label.text, page.label, options.paper.title());
            }
        }
    });
}

/// The places at which pages are put together.
fn joins(print: &Print) -> (Vec<f64>, Vec<f64>) {
    let shown: Vec<Rect> = print.pages.iter().filter_map(|page| page.shown).map(|shown| shown.rect).collect();
    let starts = |of: fn(&Rect) -> f64| shown.iter().map(of).filter(|start| *start > 0.0).collect();
    (starts(|rect| rect.x0), starts(|rect| rect.y0))
}

/// A title is the name of its piece in the largest letters on it.
fn title(piece: &PieceDrawing) -> Option<&Label> {
    let named = piece.drawing.labels.iter().filter(|label| label.text == piece.title);
    named.max_by(|a, b| a.size.total_cmp(&b.size))
}

#[test]
fn titles_stand_whole_on_one_page() {
    let mut count = 0;
    for file in ["fixtures/coat.svg", "fixtures/dress.svg", "examples/narrow-coat.svg"] {
        let print = on_a4(file);
        let (across, down) = joins(&print);
        for piece in &print.areas[0].pieces {
            let Some(label) = title(piece) else { continue };
            let bounds = label.bounds();
            let cut = across.iter().any(|x| bounds.x0 < *x && *x < bounds.x1)
                || down.iter().any(|y| bounds.y0 < *y && *y < bounds.y1);
            assert!(!cut, "{} of {file} runs over a join", piece.title);
            count += 1;
        }
    }
    assert!(count > 30, "{count}");
}

/// The least distance between the box of a text and a line's points, taken densely.
fn is_within(label: &Label, stroke: &Stroke, reach: f64) -> bool {
    let [a, b, _, d] = label.corners();
    let (width, height) = (a.distance(d), a.distance(b));
    let (along, up) = ((d - a) / width, (b - a) / height);
    let off = |point: Point| {
        let (x, y) = ((point - a).dot(along), (point - a).dot(up));
        let (x, y) = ((-x).max(x - width).max(0.0), (-y).max(y - height).max(0.0));
        x.hypot(y)
    };
    let near = label.bounds().inflate(reach, reach).overlaps(stroke.path.bounding_box());
    near && stroke.path.segments().any(|segment| {
        let steps = (segment.arclen(0.1) / 0.5).ceil().max(1.0) as usize;
        (0..=steps).any(|i| off(segment.eval(i as f64 / steps as f64)) < reach)
    })
}

#[test]
fn texts_keep_off_seamlines() {
    let mut count = 0;
    for file in ["fixtures/coat.svg", "examples/narrow-coat.svg"] {
        for piece in &on_a4(file).areas[0].pieces {
            let stitched = |stroke: &&Stroke| stroke.kind.layer() == Layer::Stitching;
            for stroke in piece.drawing.strokes.iter().filter(stitched) {
                for label in &piece.drawing.labels {
                    count += 1;
                    let on = is_within(label, stroke, OFF_SEAMLINE - 0.2);
                    assert!(!on, "`{}` of {} in {file}", label.text, piece.title);
                }
            }
        }
    }
    assert!(count > 1000, "{count}");
}

/// The narrow coat's back is as wide as its cloth: its side lies on the selvedge, and beyond its armhole there is not all
/// of the allowance; the print says both where they are.
#[test]
fn selvedge_and_narrowed_allowance_are_told_at_the_edge() {
    let narrow = pattern("examples/narrow-coat.svg");
    let print = Print::of(&narrow, &PrintOptions::usual("coat", portrait(SheetSize::A0))).expect("pages");
    let pieces = print.areas.iter().flat_map(|area| &area.pieces);
    let back = pieces.into_iter().find(|piece| piece.title == "back").expect("a back");
    let drawn = |kind| back.drawing.strokes.iter().filter(move |stroke| stroke.kind == kind);
    let length: f64 = drawn(LineKind::OnSelvedge).map(|stroke| stroke.path.perimeter(0.1)).sum();
    assert!(length > 600.0, "{length} mm of selvedge");
    let says = |text: &str| back.drawing.labels.iter().find(|label| label.text.contains(text));
    assert!(says("selvedge").is_some());
    let narrowed = says("3.4 mm here").expect("what is left of the armhole's allowance");
    let pointer = drawn(LineKind::Leader).any(|stroke| is_within(narrowed, stroke, 6.0));
    assert!(pointer, "a line leads to {:?}", narrowed.at);
}

#[test]
fn every_page_tells_that_it_is_corrected_for_a_printer() {
    let measured = "100mm=99.2mm x 100.3mm".parse().expect("what bars measured");
    for size in [SheetSize::A4, SheetSize::A0] {
        let options =
            PrintOptions { measured: Some(measured), ..PrintOptions::usual("coat", portrait(size)) };
        let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
        for page in &print.pages {
            let said: String = page.furniture.labels.iter().map(|label| format!("{} ", label.text)).collect();
            assert!(said.contains("corrected for bars that measured 100mm=99.2mm"), "{}: {said}", page.label);
        }
    }
}

/// What a page says of one garment: around the body once, around one sleeve.
#[test]
fn the_cover_tells_the_girths_of_one_garment() {
    let coat = pattern("fixtures/coat.svg");
    let print = on_a4("fixtures/coat.svg");
    let map: String =
        print.pages[0].furniture.labels.iter().map(|label| format!("{} ", label.text)).collect();
    let girths = retrue::truing::girths(&coat);
    let of = |level: &str| girths.iter().find(|girth| girth.level.as_str() == level).expect("a level");
    assert_eq!((of("bust").times, of("elbow").times), (1, 2));
    let half = (of("elbow").around.mm() / 2.0).round();
    for needed in [format!("bust {:.0} mm", of("bust").around.mm()), format!("elbow {half} mm each")] {
        assert!(map.contains(&needed), "`{needed}` is not in {map}");
    }
}

/// A copier that smears by half a point and makes black of what is darker than 60 % of white.
#[test]
fn levels_codes_and_small_texts_outlive_a_photocopy() {
    if !has_pixels() {
        return;
    }
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("print coat.svg --piece sleeve -o p.pdf").is_true();
    let pieces = vec!["sleeve".parse().expect("a name")];
    let options = PrintOptions { pieces, ..PrintOptions::usual("Coat", portrait(SheetSize::A4)) };
    let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
    let pixels = Pixels::of_pages(&bench, "p.pdf");
    assert_eq!(pixels.len(), print.pages.len());
    let (mut texts, mut levels) = (0, 0);
    for (page, printed) in print.pages.iter().zip(&pixels) {
        let copied = printed.copied();
        let seen = |label: &&Label| page.window.inflate(6.0, 6.0).contains_rect(label.bounds());
        for label in labels(page).filter(seen) {
            let (kept, added) = printed.kept_in(&copied, label.bounds());
            assert!(kept > 0.7 && added < 0.5, "`{}` of {}: {kept} {added}", label.text, page.label);
            texts += 1;
        }
        let on_page = |stroke: &&Stroke| {
            stroke.kind == LineKind::Level && page.window.overlaps(stroke.path.bounding_box())
        };
        for stroke in page.content.strokes.iter().filter(on_page) {
            let bounds = stroke.path.bounding_box().inflate(0.2, 0.2).intersect(page.window.inset(-1.0));
            let (kept, added) = printed.kept_in(&copied, bounds);
            assert!(kept > 0.6 && added < 0.5, "a level of {}: {kept} {added}", page.label);
            levels += 1;
        }
    }
    assert!(texts > 40 && levels > 0, "{texts} {levels}");
}
