//! Pages that draw their own parts of lines: scattered pieces, blank pages left out, pages that overlap or are missing; and pages
//! in a grid that is told.

use super::*;

/// The pieces of a jacket, far apart, on a sheet of 1345 mm by 760 mm: front, back, sleeve, collar, what stands on them.
fn jacket() -> Vec<BezPath> {
    [
        "M40 122 C80 124 130 90 135 40 L260 85 C245 160 250 270 305 302 L298 692 L40 700 Z",
        "M360 690 L360 60 C395 60 430 54 438 40 L565 80 C550 160 556 265 600 295 L594 686 Z",
        "M690 240 C775 240 783 110 860 110 C936 110 945 240 1030 240 L990 670 L730 670 Z",
        "M1100 40 L1100 115 C1160 115 1210 110 1290 90 L1310 20 C1200 40 1150 40 1100 40 Z",
        "M150 300 L150 550",
        "M860 300 L860 500",
        "M360 250 L385 250 L385 550 L360 550",
        "M302 482 l-6 0",
        "M597 475 l-6 0",
        "M1151 301 l50 0 l0 50 l-50 0 Z",
    ]
    .map(|line| Affine::translate((1.7, 2.3)) * BezPath::from_svg(line).expect("a line"))
    .into()
}

/// A print of all of the jacket.
fn print(window: Rect, order: PageOrder, over: f64, overlap: f64) -> PrintedPages {
    let mut print = PrintedPages {
        window,
        order,
        overlap,
        diamonds: false,
        ..PrintedPages::a4(ShownPages::CutOff(over))
    };
    let fits = |whole: f64, step: f64| ((whole - overlap) / step).ceil() as usize;
    (print.columns, print.rows) = (fits(1345.0, print.step().x), fits(760.0, print.step().y));
    print
}

/// The pages on which something is drawn, each with its cell.
fn printed(print: &PrintedPages, drawing: &[BezPath]) -> Vec<(Cell, DrawnPage)> {
    let mut blank = empty(1, print.page);
    print.furniture(&mut blank, Cell { column: 0, row: 0 });
    let cells = print.cells().into_iter();
    let mut pages: Vec<(Cell, DrawnPage)> = cells
        .map(|cell| (cell, print.page(1, cell, drawing)))
        .filter(|(_, page)| page.things.len() > blank.things.len())
        .collect();
    for ((_, page), number) in pages.iter_mut().zip(1..) {
        page.number = number;
    }
    pages
}

fn only_pages(pages: &[(Cell, DrawnPage)]) -> Vec<DrawnPage> {
    pages.iter().map(|(_, page)| page.clone()).collect()
}

/// Whether each line is there in one run, as it was drawn, wherever its part of the pages was laid.
fn is_all_there(together: &PutTogether, drawing: &[BezPath]) -> bool {
    let found = shapes_of(&together.page);
    drawing.iter().all(|line| {
        found.iter().any(|path| {
            let by = line.bounding_box().center() - path.bounding_box().center();
            let path = Affine::translate(by) * *path;
            path.subpaths().count() == 1 && strays(&path, line).max(strays(line, &path)) <= MATCHED
        })
    })
}

fn windows() -> [Rect; 7] {
    [
        Rect::new(15.0, 10.0, 195.0, 287.0),
        Rect::new(10.0, 10.0, 200.0, 287.0),
        Rect::new(5.0, 5.0, 205.0, 292.0),
        Rect::new(12.0, 15.0, 198.0, 280.0),
        Rect::new(20.0, 20.0, 190.0, 277.0),
        Rect::new(10.0, 13.0, 197.0, 284.0),
        Rect::new(18.0, 12.0, 192.0, 285.0),
    ]
}

/// Most pages are joined to others by one or two lines, and blank pages between them are left out. A line that runs along an
/// edge at under a degree and is cut short of it has a gap of 50 mm there: that is told.
#[test]
fn scattered_pieces_come_together_in_either_order() {
    let mut told_open = 0;
    for window in windows() {
        for over in [0.0, 0.4, -0.4] {
            for order in [PageOrder::ByRows, PageOrder::ByColumns] {
                let pages = printed(&print(window, order, over, 0.0), &jacket());
                let together = auto(&only_pages(&pages));
                let told = &together.told;
                let is_told = over < 0.0 && told.open().count() > 0;
                told_open += usize::from(is_told);
                assert!(
                    is_told || is_all_there(&together, &jacket()),
                    "{window:?} {over} {order:?}: {told:?}"
                );
                assert!(is_told || told.open().count() == 0, "{window:?} {over} {order:?}: {told:?}");
                assert_eq!(told.missing().count(), 0, "{window:?} {over} {order:?}: {told:?}");
            }
        }
    }
    assert!(told_open <= 2, "{told_open}");
}

/// Each page draws what lies within its frame, and is to be glued over the next.
#[test]
fn own_parts_that_overlap_are_joined_in_the_middle() {
    for overlap in [5.0, 10.0, 20.0] {
        for order in [PageOrder::ByRows, PageOrder::ByColumns] {
            let print = print(Rect::new(10.0, 10.0, 200.0, 287.0), order, 0.0, overlap);
            let pages = printed(&print, &jacket());
            let together = auto(&only_pages(&pages));
            assert!(is_all_there(&together, &jacket()), "{overlap} {order:?}: {:?}", together.told);
            let found = &together.told.drawings[0].overlap;
            assert!((found[0] - overlap).abs() < MATCHED, "{overlap}: {found:?}");
            let drawn = shapes_of(&together.page).len();
            let bars = together.told.drawings.len();
            assert_eq!(drawn, jacket().len() + bars, "{overlap}: each line once, and the bar of each part");
        }
    }
}

/// The same in a grid that is told.
#[test]
fn own_parts_that_overlap_are_joined_where_the_grid_is_told() {
    for overlap in [0.0, 10.0] {
        let print = print(Rect::new(10.0, 10.0, 200.0, 287.0), PageOrder::ByRows, -0.4, overlap);
        let cells = print.cells();
        let pages = printed(&print, &jacket());
        let blank = (1..).zip(&cells).filter(|(_, cell)| !pages.iter().any(|(other, _)| other == *cell));
        let grid = PageGrid {
            columns: print.columns,
            rows: print.rows,
            order: PageOrder::ByRows,
            from: 1,
            blank: blank.map(|(place, _)| place).collect(),
        };
        let together = put_together(&only_pages(&pages), &PageChoice::Grid(grid)).expect("put together");
        assert!(is_all_there(&together, &jacket()), "{overlap}: {:?}", together.told);
    }
}

/// Solid notches that lie over the edge of a page are drawn whole on both its sides; they show no more than that.
#[test]
fn lines_that_end_at_edges_go_before_a_few_shapes_that_are_shared() {
    let print = PrintedPages { diamonds: false, ..PrintedPages::a4(ShownPages::CutOff(-0.4)) };
    let mut pages = print.pages(&garment());
    for (page, x) in [(0, 200.0), (1, 10.0), (3, 200.0), (4, 10.0)] {
        let solid = Paint { fill: Ink::Colour([0; 3]), stroke: Ink::None, ..paint() };
        let path = BezPath::from_svg(&format!("M{} 120 l6 -2 l0 4 Z", x - 3.0)).expect("a line");
        let mut notch = thing(page + 1, path.clone());
        notch.what = Drawn::Shape { path, paint: solid };
        pages[page].things.push(notch);
    }
    for choice in ["auto", "3 x 2"] {
        let together = put_together(&pages, &choice.parse().expect("a choice")).expect("put together");
        assert!(is_all_there(&together, &garment()), "{choice}: {:?}", together.told);
        assert_eq!(together.told.open().count(), 0, "{choice}: {:?}", together.told);
    }
}

/// Whichever page is missing is told with its place, where lines lead to it, and no other is.
#[test]
fn each_missing_page_of_own_parts_is_told() {
    let print = print(Rect::new(10.0, 10.0, 200.0, 287.0), PageOrder::ByRows, 0.0, 0.0);
    let all = printed(&print, &jacket());
    for missing in 0..all.len() {
        let mut pages = all.clone();
        let (cell, page) = pages.remove(missing);
        let leads_to = lines_to(&page, &print);
        if leads_to == 0 {
            continue;
        }
        let together = auto(&only_pages(&pages));
        let told = &together.told;
        let is_told = told.missing().count() > 0 || told.open().count() > 0;
        assert!(is_told, "{cell:?} with {leads_to} lines: {told:?}");
        if leads_to > 1 {
            assert!(told.missing().count() > 0, "{cell:?} with {leads_to} lines: {told:?}");
        }
    }
}

/// How many ends of a page's lines lie on the edges of its window.
fn lines_to(page: &DrawnPage, print: &PrintedPages) -> usize {
    let ends = |thing: &DrawnThing| match &thing.what {
        Drawn::Shape { path, paint } => window::ends_at(path, paint, print.window),
        _ => 0,
    };
    page.things.iter().map(ends).sum()
}

/// Where nothing shows how all pages lie, what stays open is told, with the edges of pages.
#[test]
fn outlines_that_stay_open_are_told() {
    let print = print(Rect::new(10.0, 10.0, 200.0, 287.0), PageOrder::ByRows, 0.0, 0.0);
    let mut pages = only_pages(&printed(&print, &jacket()));
    let last = pages.len() - 1;
    pages[last].things.push(thing(last + 1, BezPath::from_svg("M200 40 L150 60 L200 90").expect("a line")));
    let together = auto(&pages);
    let told: Vec<String> = together.told.open().map(ToString::to_string).collect();
    let missing = together.told.missing().count();
    assert!(told == [format!("right of page {}", last + 1)] || missing == 1, "{told:?} {:?}", together.told);
}

/// A square on a page of instructions checks the scale of the pages that follow.
#[test]
fn a_test_square_on_a_page_of_instructions_is_kept() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages::a4(shown);
        let mut pages = vec![instructions(&print)];
        for mut page in print.pages(&garment()) {
            page.number += 1;
            page.things.retain(|thing| !matches!(&thing.what, Drawn::Text(text) if text.words == "100 mm"));
            pages.push(page);
        }
        for choice in ["auto", "3 x 2 from 2"] {
            let together = put_together(&pages, &choice.parse().expect("a choice")).expect("put together");
            assert_eq!(together.told.left_out, ["1"], "{choice}");
            assert_eq!(texts_of(&together.page), ["5 x 5 cm"], "{choice}");
            let squares = shapes_of(&together.page).into_iter().map(Shape::bounding_box);
            let squares: Vec<Rect> = squares
                .filter(|bounds| (bounds.width() - 48.5).abs() + (bounds.height() - 48.5).abs() < 0.1)
                .collect();
            let [square] = squares.as_slice() else { panic!("{squares:?}") };
            let drawing = shapes_of(&together.page).into_iter().map(Shape::bounding_box);
            let mut others = drawing.filter(|bounds| bounds != square);
            assert!(others.all(|other| !other.overlaps(*square)), "it lies beside the drawing");
        }
    }
}

fn instructions(print: &PrintedPages) -> DrawnPage {
    let mut page = empty(1, print.page);
    page.things.push(thing(1, Rect::new(50.0, 200.0, 98.5, 248.5).to_path(0.1)));
    page.things.push(words(1, "5 x 5 cm", Point::new(52.0, 225.0)));
    page.things.push(words(1, "Print without scaling, 4 cm seams", Point::new(30.0, 30.0)));
    page
}

/// Rows that run to and fro: a page on which no line is cut off is placed by its number.
#[test]
fn rows_may_run_to_and_fro() {
    let print = print(Rect::new(10.0, 10.0, 200.0, 287.0), PageOrder::ByRows, 0.0, 0.0);
    let mut pages = printed(&print, &jacket());
    let place = |cell: Cell| if cell.row % 2 == 0 { cell.column } else { -cell.column };
    pages.sort_by_key(|(cell, _)| (cell.row, place(*cell)));
    for ((_, page), number) in pages.iter_mut().zip(1..) {
        page.number = number;
    }
    let together = auto(&only_pages(&pages));
    assert!(is_all_there(&together, &jacket()), "{:?}", together.told);
    let pages: Vec<usize> = together.told.drawings.iter().map(|drawing| drawing.pages.len()).collect();
    assert!(!pages.contains(&1), "{pages:?}");
}

/// What lies wholly on a missing page is drawn, hidden, on all others that draw the whole.
#[test]
fn a_missing_page_that_no_line_leads_to_is_told() {
    let print = PrintedPages { columns: 3, rows: 3, ..PrintedPages::a4(ShownPages::Whole) };
    let drawing = ["M40 60 L500 80 L520 760 L60 740 Z", "M250 350 L258 450"];
    let drawing = drawing.map(|line| BezPath::from_svg(line).expect("a line"));
    let mut pages = print.pages(&drawing);
    pages.remove(4);
    let missing: Vec<Cell> = auto(&pages).told.missing().map(|missing| missing.place.cell).collect();
    assert_eq!(missing, [Cell { column: 1, row: 1 }]);
}

/// Half of a circle on either side of one edge only: no page has another there.
#[test]
fn halves_of_marks_on_two_pages_are_no_lines() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages { overlap: 0.0, diamonds: false, ..PrintedPages::a4(shown) };
        let mut pages = print.pages(&garment());
        for (page, x, side) in [(0, 200.0, -1.0), (1, 10.0, 1.0)] {
            let half = format!("M{x} 146 C{0} 146 {0} 154 {x} 154", x + side * 16.0 / 3.0);
            pages[page].things.push(thing(page + 1, BezPath::from_svg(&half).expect("a line")));
        }
        let together = auto(&pages);
        assert_eq!(shapes_of(&together.page).len(), garment().len() + 1, "the bar, and no mark");
        assert_eq!(together.told.open().count(), 0, "{:?}", together.told);
    }
}

/// Writing whose first letter stands on the very edge between two pages is there once.
#[test]
fn writing_on_the_edge_of_a_page_is_kept_once() {
    let print = PrintedPages { overlap: 0.0, ..PrintedPages::a4(ShownPages::Whole) };
    let mut pages = print.pages(&garment());
    pages[0].things.push(words(1, "3 Waistband", Point::new(200.0, 100.0)));
    pages[1].things.push(words(2, "3 Waistband", Point::new(9.998, 100.0)));
    assert_eq!(texts_of(&auto(&pages).page), ["3 Waistband", "100 mm"]);
}

/// As told, with instructions before, by columns and with a page that was not printed.
#[test]
fn a_grid_that_is_told_is_kept_to() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages { order: PageOrder::ByColumns, ..PrintedPages::a4(shown) };
        let mut pages = print.pages(&garment());
        let mut instructions = empty(1, print.page);
        instructions.things.push(thing(1, Circle::new((100.0, 100.0), 40.0).to_path(0.1)));
        pages.insert(0, instructions);
        let choice: PageChoice = "3 x 2 by columns from 2".parse().expect("a grid");
        let together = put_together(&pages, &choice).expect("put together");
        assert_eq!(together.told.left_out, ["1"]);
        holds(&together, &garment(), print.window.origin().to_vec2(), MATCHED);
        pages.remove(3);
        let choice: PageChoice = "3 x 2 by columns from 2 blank 3".parse().expect("a grid");
        let together = put_together(&pages, &choice).expect("put together");
        let cells: Vec<Cell> = together.told.drawings[0].pages.iter().map(|page| page.cell).collect();
        assert!(!cells.contains(&Cell { column: 1, row: 0 }) && cells.len() == 5, "{cells:?}");
        assert_eq!(together.told.drawings[0].empty, [], "it was told to be blank");
        assert_eq!(together.told.missing().count(), 0, "{:?}", together.told);
    }
}

/// Four pages on which the same is drawn, and nothing else: it may be their frames.
#[test]
fn pages_of_which_all_show_the_same_are_told_so() {
    let line = || thing(1, BezPath::from_svg("M40 40 L150 45 L150 200 L45 210 Z").expect("a line"));
    let page = |number| DrawnPage { things: vec![line()], ..empty(number, Size::new(210.0, 297.0)) };
    let pages: Vec<DrawnPage> = (1..=4).map(page).collect();
    assert_eq!(put_together(&pages, &PageChoice::Auto).map(|_| ()), Err(PagesApart::OnlyFurniture));
}

/// Columns of landscape pages, of which two are joined by one line on each of two pages: nearly all lines go on from one page
/// to the one below, in one column of all pages as well.
#[test]
fn columns_that_few_lines_join_are_one_drawing() {
    let landscape = PrintedPages {
        page: Size::new(297.0, 210.0),
        window: Rect::new(15.0, 8.0, 290.0, 200.0),
        overlap: 0.0,
        columns: 4,
        rows: 4,
        ..PrintedPages::a4(ShownPages::CutOff(0.0))
    };
    let drawing = [
        "M30 40 L230 45 L225 660 L35 650 Z",
        "M300 40 L500 60 L490 660 L310 640 Z",
        "M560 130 C650 60 720 60 855 130 L820 560 L600 555 Z",
    ];
    let drawing = drawing.map(|line| BezPath::from_svg(line).expect("a line"));
    for order in [PageOrder::ByColumns, PageOrder::ByRows] {
        let print = PrintedPages { order, ..landscape.clone() };
        let together = auto(&print.pages(&drawing));
        assert_eq!(together.told.open().count(), 0, "{:?}", together.told);
        let closed = |path: &&BezPath| matches!(path.elements().last(), Some(kurbo::PathEl::ClosePath));
        assert_eq!(shapes_of(&together.page).into_iter().filter(closed).count(), 3, "{order:?}");
    }
}

/// What goes past the corner of a page, or over its edge, by a millimetre is kept.
#[test]
fn slivers_on_a_page_of_their_own_are_kept() {
    let bulge = "M50 450 L180 440 L211 520 L170 540 Z";
    let steep = ["M30 30 L235.8 40 L197.3 425 L40 400 Z", bulge];
    let aslant = ["M30 30 L300 40 L300 207.3 L100 407.3 L40 380 Z", bulge];
    for window in [Rect::new(0.0, 0.0, 210.0, 297.0), Rect::new(10.0, 12.0, 220.0, 309.0)] {
        for (over, drawing) in [(0.0, steep), (0.5, steep), (0.0, aslant), (0.5, aslant), (-0.5, aslant)] {
            let drawing = drawing.map(|line| BezPath::from_svg(line).expect("a line"));
            let print = PrintedPages {
                page: Size::new(window.x0 + window.x1, window.y0 + window.y1),
                window,
                overlap: 0.0,
                columns: 2,
                rows: 2,
                ..PrintedPages::a4(ShownPages::CutOff(over))
            };
            let together = auto(&print.pages(&drawing));
            let told = &together.told;
            assert_eq!(told.missing().count() + told.open().count(), 0, "{over} {told:?}");
            assert_eq!(told.left_out, [""; 0], "{over} {told:?}");
            holds(&together, &drawing, window.origin().to_vec2(), MATCHED);
        }
    }
}

/// Where no frames are drawn, none are told of.
#[test]
fn pages_without_frames_lie_edge_to_edge_as_told() {
    let circle = |number, x| {
        let mut page = empty(number, Size::new(210.0, 297.0));
        page.things.push(thing(number, Circle::new((x, 100.0), 30.0).to_path(0.1)));
        page
    };
    let pages = [circle(1, 80.0), circle(2, 120.0)];
    let together = put_together(&pages, &"2 x 1".parse().expect("a grid")).expect("put together");
    assert_eq!(together.told.drawings[0].by, PutTogetherBy::Edges);
    assert!(together.told.lines()[0].starts_with("pages put together edge to edge, as told: 2 x 1"));
}
