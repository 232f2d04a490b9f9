//! How pieces lie on paper: apart, at their size, close together.

use kurbo::{Point, Shape};
use retrue::canvas::{Label, LineKind};
use retrue::show::piece::PieceDrawing;
use retrue::show::print::{Copies, Orientation, Page, Paper, Print, PrintOptions, SheetSize};
use retrue::units::Length;

use crate::prints::{along_outline, each_print, pattern, portrait};

/// How far apart pieces stand, mm.
const GAP: f64 = 6.0;

/// Whether cutting lines stand apart, measured from places two millimetres apart, and texts of each are off the other.
fn stand_apart(a: &PieceDrawing, b: &PieceDrawing) -> bool {
    if !a.bounds.inflate(GAP, GAP).overlaps(b.bounds) {
        return true;
    }
    let near = |piece: &PieceDrawing, other: &PieceDrawing| -> Vec<Point> {
        let around = other.bounds.inflate(2.0 * GAP, 2.0 * GAP);
        let points = along_outline(piece).into_iter().step_by(2);
        points.filter(|point| around.contains(*point)).collect()
    };
    let within =
        |points: &[Point], piece: &PieceDrawing| points.iter().any(|point| piece.outline.contains(*point));
    let corners = |piece: &PieceDrawing| -> Vec<Point> {
        piece.drawing.labels.iter().flat_map(|label| label.corners()).collect()
    };
    let (ours, theirs) = (near(a, b), near(b, a));
    let close = ours.iter().any(|one| theirs.iter().any(|other| one.distance(*other) < GAP - 0.01));
    !close && !within(&[ours, corners(a)].concat(), b) && !within(&[theirs, corners(b)].concat(), a)
}

/// Pieces keep apart, and none is turned over or scaled: areas within the outline stay.
#[test]
fn pieces_on_paper_keep_apart_and_their_size() {
    each_print(|pattern, options, print| {
        for area in &print.areas {
            for (i, piece) in area.pieces.iter().enumerate() {
                for other in &area.pieces[..i] {
                    let paper = options.paper.title();
                    assert!(stand_apart(other, piece), "{} and {} on {paper}", piece.title, other.title);
                }
                let order = retrue::allowance::SewingOrder::of(pattern);
                let model = pattern.piece(&piece.name).expect("the piece");
                let line = order.cutting_line(model).expect("a cutting line");
                let opened = options.copies != Copies::AsDrawn && model.fold().is_some();
                let halves = if opened { 2.0 } else { 1.0 };
                let found = piece.outline.area().abs();
                assert!((found - halves * line.path.area()).abs() < 1e-3 * found.sqrt());
                if options.copies == Copies::AsDrawn {
                    assert!(piece.outline.area() > 0.0, "{} is turned over", piece.title);
                }
            }
        }
    });
}

fn on_roll(file: &str, inches: f64, copies: Copies) -> Print {
    let options = PrintOptions {
        copies,
        ..PrintOptions::usual("a garment", Paper::Roll { width: Length::from_mm(inches * 25.4) })
    };
    Print::of(&pattern(file), &options).expect("pages")
}

#[test]
fn a_roll_ends_where_its_last_piece_does() {
    let print = on_roll("fixtures/coat.svg", 36.0, Copies::AsDrawn);
    assert_eq!(print.pages.len(), 1);
    let page = &print.pages[0];
    let last = print.areas[0].pieces.iter().map(|piece| piece.bounds.y1).fold(0.0, f64::max);
    assert!(page.window.height() - last < 5.0, "{} and {last}", page.window.height());
}

/// Pieces lie into each other's hollows: these rolls were 1814, 4407 and 851 mm long while pieces were laid as boxes.
#[test]
fn a_roll_is_shorter_than_boxes_make_it() {
    for (file, inches, boxes) in [
        ("fixtures/coat.svg", 36.0, 1814.0),
        ("fixtures/dress.svg", 24.0, 4407.0),
        ("fixtures/awkward.svg", 600.0 / 25.4, 851.0),
    ] {
        let print = on_roll(file, inches, Copies::AsDrawn);
        let long: f64 = print.areas.iter().map(|area| area.size.height).sum();
        assert!(long < 0.9 * boxes, "{file}: {long:.0} mm");
    }
}

#[test]
fn the_same_pattern_gives_the_same_roll() {
    let pdf = || on_roll("fixtures/dress.svg", 36.0, Copies::Each).pdf().expect("a PDF");
    assert!(pdf() == pdf());
}

/// On so few sheets do these fit where pieces lie into each other's hollows; as boxes they took one more each.
#[test]
fn sheets_are_fewer_than_boxes_make_them() {
    let landscape = |size| Paper::Sheets(size, Orientation::Landscape);
    for (file, paper, copies, boxes) in [
        ("fixtures/awkward.svg", portrait(SheetSize::A1), Copies::AsDrawn, 2),
        ("fixtures/awkward.svg", landscape(SheetSize::A2), Copies::Each, 3),
        ("fixtures/dress.svg", landscape(SheetSize::A0), Copies::Opened, 4),
    ] {
        let options = PrintOptions { copies, ..PrintOptions::usual("a garment", paper) };
        let print = Print::of(&pattern(file), &options).expect("pages");
        assert_eq!(print.pages.len(), boxes - 1, "{file} on {}", paper.title());
        for (page, area) in print.pages.iter().zip(&print.areas) {
            let shown = page.shown.expect("pieces").rect;
            for (i, piece) in area.pieces.iter().enumerate() {
                assert!(shown.contains_rect(piece.bounds), "{} of {file}", piece.title);
                for other in &area.pieces[..i] {
                    assert!(stand_apart(other, piece), "{} and {} of {file}", piece.title, other.title);
                }
            }
        }
    }
}

/// What the key to the lines says, and where on its page it stands.
fn key_of(page: &Page) -> Vec<&Label> {
    let inside = |label: &&Label| page.window.contains(label.bounds().center());
    page.furniture.labels.iter().filter(inside).collect()
}

/// On sheets and rolls the key stands once for each cloth, off all pieces, and explains just the lines that are drawn.
#[test]
fn a_key_stands_beside_whole_pieces() {
    let mut keys = 0;
    each_print(|_, options, print| {
        if !matches!(options.paper, Paper::Roll { .. }) {
            return;
        }
        let paper = options.paper.title();
        for (page, area) in print.pages.iter().zip(&print.areas) {
            let key = key_of(page);
            keys += usize::from(!key.is_empty());
            let to_area = page.window.origin().to_vec2();
            for corner in key.iter().flat_map(|label| label.corners()).map(|corner| corner - to_area) {
                let on = area.pieces.iter().find(|piece| piece.outline.contains(corner));
                assert!(on.is_none(), "the key lies on {} on {paper}", on.expect("one").title);
            }
        }
        let said: Vec<&str> = print.pages.iter().flat_map(key_of).map(|label| label.text.as_str()).collect();
        for (kind, text) in [
            (LineKind::CuttingLine, "cut here"),
            (LineKind::NewSeam, "new seam, made by a recut"),
            (LineKind::Fold, "lies on the fold of the cloth: do not cut"),
            (LineKind::DartLeg, "leg of a dart"),
            (LineKind::Grainline, "grain: lay it parallel to the selvedge"),
        ] {
            let pieces = print.areas.iter().flat_map(|area| &area.pieces);
            let drawn = pieces.flat_map(|piece| &piece.drawing.strokes).any(|stroke| stroke.kind == kind);
            assert_eq!(said.contains(&text), drawn, "`{text}` on {paper}");
        }
    });
    assert!(keys >= 10, "{keys}");
}

#[test]
fn every_copy_is_laid_out_with_its_hand() {
    let pattern = pattern("fixtures/coat.svg");
    let options = PrintOptions {
        copies: Copies::Each,
        ..PrintOptions::usual("coat", Paper::Roll { width: Length::from_mm(1500.0) })
    };
    let print = Print::of(&pattern, &options).expect("pages");
    let count: usize = print.areas.iter().map(|area| area.pieces.len()).sum();
    let cut: u32 = pattern.pieces().map(|piece| piece.cut.copies).sum();
    assert_eq!(count, cut as usize);
    let sleeves: Vec<f64> = print
        .areas
        .iter()
        .flat_map(|area| &area.pieces)
        .filter(|piece| piece.name.as_str() == "sleeve")
        .map(|piece| piece.outline.area().signum())
        .collect();
    assert_eq!(sleeves.len(), 2);
    assert!(sleeves[0] * sleeves[1] < 0.0, "one is the mirror image of the other");
}
