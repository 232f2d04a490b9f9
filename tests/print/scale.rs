//! True scale, measured in the pixels that poppler draws.

use kurbo::{ParamCurve, Point};
use retrue::canvas::LineKind;
use retrue::show::print::{Print, PrintOptions, SheetSize};

use crate::pixels::Pixels;
use crate::prints::{has_pixels, pattern, portrait};
use crate::run::Bench;

/// Ends of a bar: dark runs on both of two lines beside the bar that only its end ticks reach.
fn bar_length(pixels: &Pixels, from: Point, way: (f64, f64), aside: (f64, f64)) -> f64 {
    const REACHED_BY_ENDS_ONLY: f64 = 1.1;
    let line = |sign: f64| {
        let start = Point::new(
            from.x + aside.0 * sign * REACHED_BY_ENDS_ONLY,
            from.y + aside.1 * sign * REACHED_BY_ENDS_ONLY,
        );
        pixels.runs(start, way, 103.0)
    };
    let (one, other) = (line(1.0), line(-1.0));
    let ends: Vec<f64> =
        one.into_iter().filter(|at| other.iter().any(|twin| (twin - at).abs() < 0.1)).collect();
    ends.last().expect("an end") - ends.first().expect("a start")
}

/// At 600 dpi the bars measure 100.0 ± 0.1 mm both ways on every page.
#[test]
fn bars_measure_a_hundred_millimetres_on_every_page() {
    if !has_pixels() {
        return;
    }
    let bench = Bench::new().with_fixture("awkward.svg");
    for paper in ["--paper a4", "--paper letter --landscape"] {
        let line = format!("print awkward.svg --piece panel --piece yoke {paper} -o p.pdf --force");
        bench.retrue(&line).is_true();
        let pages = Pixels::of_pages(&bench, "p.pdf");
        assert!(pages.len() >= 3, "a map and its pages");
        for (i, page) in pages.iter().enumerate() {
            let height = page.grey.len() as f64 / page.width as f64 / page.per_mm;
            let level = bar_length(page, Point::new(31.0, 17.8), (1.0, 0.0), (0.0, 1.0));
            let upright = bar_length(page, Point::new(17.8, height - 14.5), (0.0, -1.0), (1.0, 0.0));
            assert!((level - 100.0).abs() < 0.1, "page {i} of {paper}: {level} across");
            assert!((upright - 100.0).abs() < 0.1, "page {i} of {paper}: {upright} down");
        }
        for name in bench.files().into_iter().filter(|name| name.ends_with(".pgm")) {
            std::fs::remove_file(bench.path(&name)).expect("it goes");
        }
    }
}

/// Where a cutting line crosses from page to page, its pixels on the two pages agree with each other, and with where it
/// is, within 0.15 mm.
#[test]
fn tiles_put_together_give_the_outline() {
    if !has_pixels() {
        return;
    }
    const OFF: f64 = 0.15;
    let options = PrintOptions {
        pieces: ["bodice-front", "sleeve"].map(|name| name.parse().expect("a name")).to_vec(),
        ..PrintOptions::usual("dress", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/dress.svg"), &options).expect("pages");
    let bench = Bench::new().with_file("p.pdf", print.pdf().expect("a PDF"));
    let pixels = Pixels::of_pages(&bench, "p.pdf");
    assert_eq!(pixels.len(), print.pages.len());
    let strokes = print.areas[0].pieces.iter().flat_map(|piece| &piece.drawing.strokes);
    let cut: Vec<_> = strokes.filter(|stroke| stroke.kind == LineKind::CuttingLine).collect();
    let pages: Vec<_> = print.pages.iter().zip(&pixels).filter(|(page, _)| page.shown.is_some()).collect();
    let mut crossings = 0;
    for (i, (page, _)) in pages.iter().enumerate() {
        for (other, _) in &pages[i + 1..] {
            let (Some(a), Some(b)) = (page.shown, other.shown) else { continue };
            let shared = a.rect.intersect(b.rect);
            let (level, upright) = (shared.width() > 12.0, shared.height() > 12.0);
            if level == upright || shared.width() < 5.0 || shared.height() < 5.0 {
                continue;
            }
            let middle = shared.center();
            let (line, way) = if upright {
                let x = middle.x + 2.0;
                (kurbo::Line::new((x, shared.y0), (x, shared.y1)), (0.0, 1.0))
            } else {
                let y = middle.y + 2.0;
                (kurbo::Line::new((shared.x0, y), (shared.x1, y)), (1.0, 0.0))
            };
            for segment in cut.iter().flat_map(|stroke| stroke.path.segments()) {
                for hit in segment.intersect_line(line) {
                    let at = line.eval(hit.line_t);
                    let found: Vec<f64> = pages
                        .iter()
                        .filter(|(one, _)| one.shown == page.shown || one.shown == other.shown)
                        .map(|(one, pixels)| {
                            let shown = one.shown.expect("shown").rect;
                            let on_page = one.window.origin() + (at - shown.origin());
                            let start = Point::new(on_page.x - 1.5 * way.0, on_page.y - 1.5 * way.1);
                            let runs = pixels.runs(start, way, 3.0);
                            let nearest = runs.into_iter().map(|run| run - 1.5);
                            nearest.min_by(|a, b| a.abs().total_cmp(&b.abs())).expect("a line")
                        })
                        .collect();
                    crossings += 1;
                    assert!((found[0] - found[1]).abs() < OFF, "{at:?}: {found:?}");
                    assert!(found.iter().all(|off| off.abs() < OFF), "{at:?}: {found:?}");
                }
            }
        }
    }
    assert!(crossings >= 8, "{crossings} crossings were looked at");
}
