//! Pages on papers of several sizes in one file.

use super::*;

/// A drawing that lies over some pages, and fits none of the sheets of [`garment`].
fn other() -> Vec<BezPath> {
    let lines = [
        "M30 30 C200 60 300 10 400 50 L386 400 C300 500 100 380 50 450 Z",
        "M60 100 L350 130",
        "M90 60 L120 420",
    ];
    lines.map(|line| BezPath::from_svg(line).expect("a line")).into()
}

/// Pages of A4 held upright; and of another paper, or of the same held the other way.
fn papers(shown: ShownPages) -> [PrintedPages; 3] {
    let a4 = PrintedPages { overlap: 0.0, ..PrintedPages::a4(shown) };
    let landscape = PrintedPages {
        page: Size::new(297.0, 210.0),
        window: Rect::new(10.0, 10.0, 287.0, 200.0),
        columns: 2,
        rows: 3,
        ..a4.clone()
    };
    let a3 = PrintedPages {
        page: Size::new(297.0, 420.0),
        window: Rect::new(10.0, 10.0, 287.0, 410.0),
        columns: 2,
        rows: 2,
        ..a4.clone()
    };
    [a4, landscape, a3]
}

fn numbered(pages: impl Iterator<Item = DrawnPage>) -> Vec<DrawnPage> {
    pages.zip(1..).map(|(page, number)| DrawnPage { number, ..page }).collect()
}

/// The lines of a drawing that lie nowhere on a page as they are, whichever way they were moved.
fn lost<'a>(together: &PutTogether, drawing: &'a [BezPath]) -> Vec<&'a BezPath> {
    let shapes = shapes_of(&together.page);
    let is_there = |line: &&BezPath| {
        shapes.iter().any(|shape| {
            let by = shape.bounding_box().origin() - line.bounding_box().origin();
            strays(&(Affine::translate(-by) * *shape), line) <= MATCHED
                && strays(line, &(Affine::translate(-by) * *shape)) <= MATCHED
        })
    };
    drawing.iter().filter(|line| !is_there(line)).collect()
}

#[test]
fn a_second_drawing_on_another_paper_is_put_together_by_itself() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let [upright, landscape, a3] = papers(shown);
        for (first, second) in
            [(&upright, &landscape), (&upright, &a3), (&landscape, &upright), (&a3, &landscape)]
        {
            let pages = numbered(first.pages(&garment()).into_iter().chain(second.pages(&other())));
            let together = auto(&pages);
            let told = &together.told;
            assert_eq!(told.left_out, [""; 0], "{told:?}");
            let grids: Vec<(usize, usize)> =
                told.drawings.iter().map(|drawing| (drawing.columns, drawing.rows)).collect();
            assert_eq!(grids, [(first.columns, first.rows), (second.columns, second.rows)]);
            assert!(told.missing().count() + told.open().count() == 0, "{told:?}");
            assert_eq!(lost(&together, &garment()), Vec::<&BezPath>::new());
            assert_eq!(lost(&together, &other()), Vec::<&BezPath>::new());
        }
    }
}

/// Small enough for one page of its own; before the others as well, where the frames of its pages show that they are no instructions.
#[test]
fn a_small_drawing_on_another_paper_is_kept() {
    let [upright, landscape, _] = papers(ShownPages::CutOff(0.0));
    let small = vec![BezPath::from_svg("M30 40 L150 42 L150 140 L32 138 Z").expect("a line")];
    let one = PrintedPages { columns: 1, rows: 1, ..landscape.clone() };
    let two = PrintedPages { columns: 2, rows: 1, ..landscape };
    let after = numbered(upright.pages(&garment()).into_iter().chain(one.pages(&small)));
    let before = numbered(two.pages(&small).into_iter().chain(upright.pages(&garment())));
    for pages in [after, before] {
        let together = auto(&pages);
        assert_eq!(lost(&together, &small), Vec::<&BezPath>::new(), "{:?}", together.told);
        assert_eq!(lost(&together, &garment()), Vec::<&BezPath>::new(), "{:?}", together.told);
    }
}

/// A page before the others, framed and named as they are, is theirs; one of instructions is not.
#[test]
fn a_small_drawing_before_on_a_page_of_the_same_paper_is_kept() {
    let [upright, ..] = papers(ShownPages::CutOff(0.0));
    let small = vec![BezPath::from_svg("M30 40 L150 42 L150 140 L32 138 Z").expect("a line")];
    let one = PrintedPages { columns: 1, rows: 1, ..upright.clone() };
    let together = auto(&numbered(one.pages(&small).into_iter().chain(upright.pages(&garment()))));
    assert_eq!(lost(&together, &small), Vec::<&BezPath>::new(), "{:?}", together.told);
}

/// Instructions on other paper, before and after, belong to nothing, and are told.
#[test]
fn instructions_on_another_paper_belong_to_nothing() {
    let [upright, landscape, _] = papers(ShownPages::CutOff(0.0));
    let mut sketch = empty(1, landscape.page);
    sketch.things.push(thing(1, Circle::new((100.0, 100.0), 20.0).to_path(0.1)));
    let pages = upright.pages(&garment()).into_iter();
    let together = auto(&numbered([sketch.clone()].into_iter().chain(pages).chain([sketch])));
    assert_eq!(together.told.left_out, ["1", "8"]);
    assert_eq!(together.told.drawings.len(), 1);
}

/// The last column of a drawing on narrower paper is its last column.
#[test]
fn what_goes_on_on_narrower_paper_is_one_drawing() {
    for shown in [ShownPages::Whole, ShownPages::CutOff(0.0)] {
        let wide = PrintedPages { overlap: 0.0, diamonds: false, ..PrintedPages::a4(shown) };
        let narrow = PrintedPages {
            page: Size::new(180.0, 297.0),
            window: Rect::new(10.0, 10.0, 170.0, 287.0),
            columns: 1,
            ..wide.clone()
        };
        let drawing = vec![
            BezPath::from_svg("M30 30 L500 50 L520 500 L60 480 Z").expect("a line"),
            BezPath::from_svg("M330 100 C420 120 450 200 460 260 L340 250 Z").expect("a line"),
            BezPath::from_svg("M350 300 C420 320 450 340 500 350").expect("a line"),
            BezPath::from_svg("M350 60 L470 80").expect("a line"),
            BezPath::from_svg("M340 400 L480 420").expect("a line"),
        ];
        let moved: Vec<BezPath> =
            drawing.iter().map(|line| Affine::translate((-2.0 * wide.step().x, 0.0)) * line).collect();
        let pages = wide.cells().into_iter().map(|cell| match cell.column {
            2 => narrow.page(1, Cell { column: 0, ..cell }, &moved),
            _ => wide.page(1, cell, &drawing),
        });
        let together = auto(&numbered(pages));
        let [of_pages] = together.told.drawings.as_slice() else { panic!("{:?}", together.told) };
        assert_eq!((of_pages.columns, of_pages.rows, of_pages.pages.len()), (3, 2, 6));
        assert_eq!(lost(&together, &drawing), Vec::<&BezPath>::new(), "{:?}", together.told);
    }
}
