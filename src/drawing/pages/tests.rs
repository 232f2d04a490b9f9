//! Drawings cut into pages by hand, and put together again.

mod alike;
mod papers;
mod parts;

use crate::curve::WindingRule;
use kurbo::{Affine, BezPath, Circle, Line, ParamCurve, ParamCurveNearest, Point, Rect, Shape, Size, Vec2};

use super::*;
use crate::drawing::drawn::{
    ClipShape, Clips, Drawn, DrawnText, DrawnThing, Ink, Marked, Paint, PlaceInFile,
};

/// How pages show their part of the drawing.
#[derive(Clone, Copy)]
enum ShownPages {
    /// All of it, under a clip.
    Whole,
    /// Its own part, every line that much over the frame, or short of it where it is under zero, mm.
    CutOff(f64),
}

/// How a drawing is cut into pages.
#[derive(Clone)]
struct PrintedPages {
    page: Size,
    window: Rect,
    overlap: f64,
    columns: usize,
    rows: usize,
    order: PageOrder,
    shown: ShownPages,
    /// Half a diamond on both sides of each edge between two pages.
    diamonds: bool,
}

impl PrintedPages {
    fn a4(shown: ShownPages) -> PrintedPages {
        let overlap = if matches!(shown, ShownPages::Whole) { 10.0 } else { 0.0 };
        PrintedPages {
            page: Size::new(210.0, 297.0),
            window: Rect::new(10.0, 10.0, 200.0, 287.0),
            overlap,
            columns: 3,
            rows: 2,
            order: PageOrder::ByRows,
            shown,
            diamonds: true,
        }
    }

    fn step(&self) -> Vec2 {
        Vec2::new(self.window.width() - self.overlap, self.window.height() - self.overlap)
    }

    fn cells(&self) -> Vec<Cell> {
        let (columns, rows) = (self.columns as i32, self.rows as i32);
        match self.order {
            PageOrder::ByRows => {
                (0..rows).flat_map(|row| (0..columns).map(move |column| Cell { column, row })).collect()
            }
            PageOrder::ByColumns => {
                (0..columns).flat_map(|column| (0..rows).map(move |row| Cell { column, row })).collect()
            }
        }
    }

    /// The pages of a drawing whose zero is the corner of the first window.
    fn pages(&self, drawing: &[BezPath]) -> Vec<DrawnPage> {
        let cells = self.cells().into_iter().enumerate();
        cells.map(|(at, cell)| self.page(at + 1, cell, drawing)).collect()
    }

    fn page(&self, number: usize, cell: Cell, drawing: &[BezPath]) -> DrawnPage {
        let step = self.step();
        let to_page = self.window.origin().to_vec2()
            - Vec2::new(step.x * f64::from(cell.column), step.y * f64::from(cell.row));
        let mut page = empty(number, self.page);
        self.furniture(&mut page, cell);
        for line in drawing {
            let line = rounded(&(Affine::translate(to_page) * line));
            match self.shown {
                ShownPages::Whole => {
                    let shape = ClipShape { path: self.window.to_path(0.1), winding: WindingRule::NonZero };
                    let clip = match page.clips.last() {
                        Some((clip, _)) => clip,
                        None => page.clips.add(vec![shape], None),
                    };
                    page.things.push(DrawnThing { clip: Some(clip), ..thing(number, line) });
                }
                ShownPages::CutOff(over) => {
                    let parts = window::within(&line, self.window.inflate(over, over));
                    page.things.extend(parts.into_iter().map(|part| thing(number, part)));
                }
            }
        }
        page
    }

    /// A frame, forty ticks, a bar of 100 mm with its writing, the page's name; diamonds.
    fn furniture(&self, page: &mut DrawnPage, cell: Cell) {
        let (number, window) = (page.number, self.window);
        let mut add = |path: BezPath| page.things.push(thing(number, path));
        add(window.to_path(0.1));
        for tick in 0..40 {
            let x = window.x0 + 2.0 + 4.0 * f64::from(tick);
            add(Line::new((x, window.y0 - 1.0), (x, window.y0 - 2.0 - f64::from(tick % 5) / 2.0))
                .to_path(0.1));
        }
        add(Line::new((20.0, 5.0), (120.0, 5.0)).to_path(0.1));
        if self.diamonds {
            let middle = window.center();
            let sides = [
                (cell.column > 0, Point::new(window.x0, middle.y), Vec2::new(1.0, 0.0)),
                (
                    cell.column + 1 < self.columns as i32,
                    Point::new(window.x1, middle.y),
                    Vec2::new(-1.0, 0.0),
                ),
                (cell.row > 0, Point::new(middle.x, window.y0), Vec2::new(0.0, 1.0)),
                (cell.row + 1 < self.rows as i32, Point::new(middle.x, window.y1), Vec2::new(0.0, -1.0)),
            ];
            for (_, at, into) in sides.into_iter().filter(|(has, ..)| *has) {
                let along = Vec2::new(-into.y, into.x) * 4.0;
                let mut half = BezPath::new();
                half.move_to(at - along);
                half.line_to(at + into * 4.0);
                half.line_to(at + along);
                add(half);
            }
        }
        page.things.push(words(number, "100 mm", Point::new(122.0, 5.0)));
        let name = format!("{}-{}", cell.row + 1, cell.column + 1);
        page.things.push(words(number, &name, window.center()));
        page.things.push(words(number, "glue here", Point::new(window.x1 + 2.0, window.center().y)));
    }
}

fn empty(number: usize, size: Size) -> DrawnPage {
    let seen = Some(size.to_rect());
    DrawnPage { number, label: None, seen, whole: seen, things: Vec::new(), clips: Clips::default() }
}

fn paint() -> Paint {
    Paint {
        fill: Ink::None,
        stroke: Ink::Colour([0; 3]),
        stroke_width: 0.3,
        dashes: Vec::new(),
        start: Marked::No,
        end: Marked::No,
    }
}

fn thing(page: usize, path: BezPath) -> DrawnThing {
    let what = Drawn::Shape { path, paint: paint() };
    DrawnThing { what, layer: None, clip: None, id: None, origin: PlaceInFile::Page(page) }
}

fn words(page: usize, words: &str, at: Point) -> DrawnThing {
    let text = DrawnText { words: words.to_owned(), at, along: Vec2::new(1.0, 0.0), size: 4.0 };
    DrawnThing { what: Drawn::Text(text), layer: None, clip: None, id: None, origin: PlaceInFile::Page(page) }
}

/// As a writer rounds it: to a hundredth of a point.
fn rounded(path: &BezPath) -> BezPath {
    const HUNDREDTH: f64 = 25.4 / 7200.0;
    let round =
        |p: Point| Point::new((p.x / HUNDREDTH).round() * HUNDREDTH, (p.y / HUNDREDTH).round() * HUNDREDTH);
    let elements = path.elements().iter().map(|element| match *element {
        kurbo::PathEl::MoveTo(p) => kurbo::PathEl::MoveTo(round(p)),
        kurbo::PathEl::LineTo(p) => kurbo::PathEl::LineTo(round(p)),
        kurbo::PathEl::QuadTo(a, p) => kurbo::PathEl::QuadTo(round(a), round(p)),
        kurbo::PathEl::CurveTo(a, b, p) => kurbo::PathEl::CurveTo(round(a), round(b), round(p)),
        kurbo::PathEl::ClosePath => kurbo::PathEl::ClosePath,
    });
    elements.collect()
}

/// Pieces that lie over 3 x 2 pages of A4: curved, slanted, nested; marks; one small piece within a page.
fn garment() -> Vec<BezPath> {
    let mut drawing = Vec::new();
    for size in 0..4 {
        let d = 6.0 * f64::from(size);
        let svg = format!(
            "M{} {} C{} {} {} {} {} {} L{} {} C{} {} {} {} {} {} Z",
            40.0 - d,
            60.0 - d,
            150.0,
            20.0 - d,
            250.0,
            90.0 - d,
            330.0 + d,
            45.0 - d,
            300.0 + d,
            480.0 + d,
            220.0,
            500.0 + d,
            120.0,
            430.0 + d,
            55.0 - d,
            470.0 + d
        );
        drawing.push(BezPath::from_svg(&svg).expect("a line"));
    }
    let lines = [
        "M360 40 L530 90 L500 500 L386 420 Z",
        "M100 120 L118 410",
        "M110 260 C220 240 290 250 410 300",
        "M420 130 C440 200 430 300 455 430",
        "M60 150 l3 2 l-3 4 Z",
        "M250 350 l9 1 l2 14",
    ];
    drawing.extend(lines.map(|line| BezPath::from_svg(line).expect("a line")));
    drawing.push(Circle::new((90.0, 200.0), 12.0).to_path(0.01));
    drawing
}

fn shapes_of(page: &DrawnPage) -> Vec<&BezPath> {
    let shapes = page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Shape { path, .. } => Some(path),
        _ => None,
    });
    shapes.collect()
}

fn texts_of(page: &DrawnPage) -> Vec<&str> {
    let texts = page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Text(text) => Some(text.words.as_str()),
        _ => None,
    });
    texts.collect()
}

/// How far the one line strays from the other, mm.
fn strays(one: &BezPath, other: &BezPath) -> f64 {
    let places = one.segments().flat_map(|segment| (0..=20).map(move |k| segment.eval(f64::from(k) / 20.0)));
    let off = |at: Point| {
        let all = other.segments().map(|segment| segment.nearest(at, 1e-7).distance_sq);
        all.fold(f64::INFINITY, f64::min).sqrt()
    };
    places.map(off).fold(0.0, f64::max)
}

/// Holds what was put together against the drawing: every line is there once, in one run, and nothing else.
fn holds(together: &PutTogether, drawing: &[BezPath], zero: Vec2, bound: f64) {
    let bar = Line::new((20.0, 5.0), (120.0, 5.0)).to_path(0.1);
    let mut found: Vec<&BezPath> = shapes_of(&together.page);
    found.retain(|path| strays(path, &bar) > bound);
    assert_eq!(found.len(), drawing.len(), "{:?}", together.told);
    for line in drawing {
        let line = Affine::translate(zero) * line;
        let off = |path: &&&BezPath| strays(path, &line).max(strays(&line, path));
        let nearest = found.iter().min_by(|a, b| off(a).total_cmp(&off(b))).expect("lines");
        let off = off(&nearest);
        assert!(off <= bound, "{} is off by {off}", line.to_svg());
        assert_eq!(nearest.subpaths().count(), 1, "{}", nearest.to_svg());
        let is_closed = |path: &BezPath| {
            let (first, last) = (path.segments().next(), path.segments().last());
            first.map(|first| first.start()) == last.map(|last| last.end())
        };
        assert_eq!(is_closed(nearest), is_closed(&line), "{}", nearest.to_svg());
    }
    assert!(together.told.miss <= bound, "{:?}", together.told);
}

/// The bound where the whole is on every page, and where lines are matched, mm.
const EXACT: f64 = 0.05;
const MATCHED: f64 = 0.2;

fn auto(pages: &[DrawnPage]) -> PutTogether {
    put_together(pages, &PageChoice::Auto).expect("put together")
}

/// Portrait and landscape, row by row and by columns; margins trimmed at two sides: the others lie beneath the next page.
fn ways_to_print(shown: ShownPages) -> Vec<PrintedPages> {
    let a4 = PrintedPages::a4(shown);
    let landscape = PrintedPages {
        page: Size::new(297.0, 210.0),
        window: Rect::new(10.0, 10.0, 287.0, 200.0),
        columns: 2,
        rows: 3,
        ..a4.clone()
    };
    let trimmed = PrintedPages { window: Rect::new(18.0, 18.0, 206.5, 293.5), ..a4.clone() };
    let by_columns = PrintedPages { order: PageOrder::ByColumns, ..a4.clone() };
    vec![a4, by_columns, landscape, trimmed]
}

#[test]
fn whole_drawings_under_clips_come_together_exactly() {
    for print in ways_to_print(ShownPages::Whole) {
        let together = auto(&print.pages(&garment()));
        assert_eq!(together.told.drawings[0].by, PutTogetherBy::Shapes);
        holds(&together, &garment(), print.window.origin().to_vec2(), EXACT);
        let [drawing] = together.told.drawings.as_slice() else { panic!("{:?}", together.told) };
        assert_eq!((drawing.columns, drawing.rows), (print.columns, print.rows));
        assert!(
            (drawing.overlap[0] - print.overlap).abs() < EXACT
                && (drawing.overlap[1] - print.overlap).abs() < EXACT
        );
        assert!(drawing.missing.is_empty(), "{:?}", drawing.missing);
    }
}

#[test]
fn lines_cut_at_the_frame_are_one_line_again() {
    for over in [0.0, -0.5, 0.5] {
        for print in ways_to_print(ShownPages::CutOff(over)) {
            let together = auto(&print.pages(&garment()));
            assert_eq!(together.told.drawings[0].by, PutTogetherBy::CutLines);
            holds(&together, &garment(), print.window.origin().to_vec2(), MATCHED);
            let [drawing] = together.told.drawings.as_slice() else { panic!("{:?}", together.told) };
            assert_eq!((drawing.columns, drawing.rows), (print.columns, print.rows));
            assert!(drawing.missing.is_empty(), "{over}: {:?}", drawing.missing);
        }
    }
}

/// Page names, "glue here" and joining marks are no part of the drawing; the bar of known length is, once.
#[test]
fn furniture_goes_but_what_checks_the_scale() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let together = auto(&PrintedPages::a4(shown).pages(&garment()));
        assert_eq!(texts_of(&together.page), ["100 mm"]);
        assert_eq!(shapes_of(&together.page).len(), garment().len() + 1);
    }
}

#[test]
fn instructions_before_belong_to_nothing() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages::a4(shown);
        let mut instructions = empty(1, print.page);
        instructions.things.push(thing(1, Circle::new((100.0, 100.0), 40.0).to_path(0.1)));
        instructions.things.push(thing(1, Line::new((40.0, 200.0), (160.0, 220.0)).to_path(0.1)));
        let mut pages = vec![instructions];
        pages.extend(
            print.pages(&garment()).into_iter().map(|page| DrawnPage { number: page.number + 1, ..page }),
        );
        let together = auto(&pages);
        assert_eq!(together.told.left_out, ["1"]);
        holds(&together, &garment(), print.window.origin().to_vec2(), MATCHED);
    }
}

/// A ring around the middle of nine pages.
#[test]
fn blank_pages_left_out_are_not_missed() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages { columns: 3, rows: 3, ..PrintedPages::a4(shown) };
        let mut drawing = vec![
            BezPath::from_svg("M40 60 L500 80 L520 760 L60 740 Z").expect("a line"),
            BezPath::from_svg("M130 170 L430 150 L440 640 L120 650 Z").expect("a line"),
        ];
        drawing.push(BezPath::from_svg("M60 300 C80 400 90 500 70 560").expect("a line"));
        let mut pages = print.pages(&drawing);
        pages.remove(4);
        let together = auto(&pages);
        holds(&together, &drawing, print.window.origin().to_vec2(), MATCHED);
        assert_eq!(together.told.missing().count(), 0, "{:?}", together.told);
        let [of_pages] = together.told.drawings.as_slice() else { panic!("{:?}", together.told) };
        assert_eq!((of_pages.columns, of_pages.rows, of_pages.pages.len()), (3, 3, 8));
        assert_eq!(of_pages.empty, [], "the file has a page between, which is empty");
        for (page, number) in pages.iter_mut().zip(1..) {
            page.number = number;
        }
        let told = auto(&pages).told;
        if matches!(shown, ShownPages::Whole) {
            assert_eq!(told.drawings[0].empty, [], "each page draws what the others show");
            continue;
        }
        let [empty] = told.drawings[0].empty.as_slice() else { panic!("{told:?}") };
        assert_eq!(empty.cell, Cell { column: 1, row: 1 });
        assert_eq!(empty.to_string(), "right of page 4");
        assert!(
            told.lines()[1].starts_with("no page lies right of page 4, and no line leads there"),
            "{told:?}"
        );
    }
}

#[test]
fn a_missing_page_is_told_with_its_place() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let mut pages = PrintedPages::a4(shown).pages(&garment());
        pages.remove(1);
        let missing: Vec<MissingPage> = auto(&pages).told.missing().cloned().collect();
        let [missing] = missing.as_slice() else { panic!("{missing:?}") };
        assert_eq!(missing.place.cell, Cell { column: 1, row: 0 });
        assert_eq!((missing.place.beside.as_str(), missing.place.side), ("1", PageSide::Right));
        assert!(missing.lines >= 4, "{missing}");
    }
}

#[test]
fn two_drawings_in_one_file_lie_beside_each_other() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let print = PrintedPages::a4(shown);
        let other: Vec<BezPath> = [
            "M30 30 C200 60 300 10 400 50 L386 400 C300 500 100 380 50 450 Z",
            "M60 100 L350 130",
            "M90 60 L120 420",
            "M330 70 C300 200 340 300 310 390",
        ]
        .map(|line| BezPath::from_svg(line).expect("a line"))
        .into();
        let mut pages = print.pages(&garment());
        pages.extend(
            print.pages(&other).into_iter().map(|page| DrawnPage { number: page.number + 6, ..page }),
        );
        let together = auto(&pages);
        assert_eq!(together.told.drawings.len(), 2, "{:?}", together.told);
        let lines = garment().len() + other.len();
        assert_eq!(shapes_of(&together.page).len(), lines + 2, "each with its bar");
        let right = |paths: &[BezPath]| paths.iter().map(|path| path.bounding_box().x1).fold(0.0, f64::max);
        let reach = together.page.seen.expect("a box").width();
        assert!(reach > right(&garment()) + right(&other), "{reach}");
    }
}

/// Pages that share no line, as those of two small pieces, lie by themselves: only what is told lays them together.
#[test]
fn a_grid_that_is_told_goes_before_what_is_seen() {
    let print =
        PrintedPages { columns: 2, rows: 1, diamonds: false, ..PrintedPages::a4(ShownPages::CutOff(0.0)) };
    let drawing: Vec<BezPath> = vec![
        Circle::new((80.0, 100.0), 40.0).to_path(0.01),
        BezPath::from_svg("M230 60 L330 80 L300 200 Z").expect("a line"),
    ];
    let pages = print.pages(&drawing);
    let by_itself = auto(&pages);
    assert_eq!(
        (by_itself.told.drawings[0].by, by_itself.told.drawings.len()),
        (PutTogetherBy::WholePages, 2)
    );
    let told = put_together(&pages, &"2 x 1".parse().expect("a grid")).expect("put together");
    assert_eq!(told.told.drawings[0].by, PutTogetherBy::Frames);
    holds(&told, &drawing, print.window.origin().to_vec2(), MATCHED);
    let beyond = put_together(&pages, &"2 x 1 from 3".parse().expect("a grid"));
    assert_eq!(beyond.err(), Some(PagesApart::NoSuchPage { from: 3, pages: 2 }));
}

/// Lines that run off two pages, and go on at neither.
#[test]
fn pages_that_lead_nowhere_are_refused() {
    let lines = ["M-20 100 L60 120", "M150 20 L260 40"].map(|line| BezPath::from_svg(line).expect("a line"));
    let pages: Vec<DrawnPage> = lines
        .into_iter()
        .zip(1..)
        .map(|(line, number)| {
            let mut page = empty(number, Size::new(210.0, 297.0));
            page.things.push(thing(number, line));
            page
        })
        .collect();
    assert_eq!(put_together(&pages, &PageChoice::Auto).err(), Some(PagesApart::NothingShared));
}

/// A page before the others that shows the pieces small.
#[test]
fn an_overview_belongs_to_nothing() {
    for at in [0, 3] {
        let print = PrintedPages::a4(ShownPages::Whole);
        let mut pages = print.pages(&garment());
        let mut overview = empty(1, print.page);
        print.furniture(&mut overview, Cell { column: 0, row: 0 });
        for line in garment() {
            let small = rounded(&(Affine::translate((30.0, 40.0)) * Affine::scale(0.1) * line));
            overview.things.push(thing(1, small));
        }
        pages.insert(at, overview);
        let pages: Vec<DrawnPage> =
            pages.into_iter().zip(1..).map(|(page, number)| DrawnPage { number, ..page }).collect();
        let together = auto(&pages);
        assert_eq!(together.told.left_out, [(at + 1).to_string()]);
        holds(&together, &garment(), print.window.origin().to_vec2(), EXACT);
    }
}

/// A corner that lies on the edge of a page is lost where lines end short of it.
#[test]
fn corners_at_an_edge_are_corners_again() {
    let print = PrintedPages::a4(ShownPages::CutOff(-0.5));
    let mut drawing = garment();
    drawing.push(BezPath::from_svg("M100 20 L190 30 L110 38 Z").expect("a line"));
    let together = auto(&print.pages(&drawing));
    holds(&together, &drawing, print.window.origin().to_vec2(), MATCHED);
    assert_eq!(together.told.missing().count(), 0, "{:?}", together.told);
}
