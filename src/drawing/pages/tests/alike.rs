//! Pages of drawings in which much is alike: pieces of one shape, lines of many short parts, what stands on each page.

use std::f64::consts::TAU;

use super::*;

/// Eight pieces of one shape in rows, in three sizes.
fn alike() -> Vec<BezPath> {
    let size = |size: u32, column: u32, row: u32| {
        let (wide, high) = (40.0 + 3.0 * f64::from(size), 60.0 + 5.0 * f64::from(size));
        let middle = (60.0 + 110.0 * f64::from(column), 100.0 + 160.0 * f64::from(row));
        let ellipse = Affine::scale_non_uniform(wide, high) * Circle::new((0.0, 0.0), 1.0).to_path(1e-4);
        Affine::translate(middle) * ellipse
    };
    (0..3).flat_map(|k| (0..8).map(move |at| size(k, at % 4, at / 4))).collect()
}

/// Each is drawn eight times on each page: only one shift brings all of them onto all of them.
#[test]
fn pieces_of_one_shape_show_how_pages_lie_that_draw_the_whole() {
    let print = PrintedPages::a4(ShownPages::Whole);
    let together = auto(&print.pages(&alike()));
    assert_eq!(together.told.drawings[0].by, PutTogetherBy::Shapes);
    holds(&together, &alike(), print.window.origin().to_vec2(), EXACT);
}

/// An ellipse as some programs write one: in straight parts of half a millimetre, every second corner off by the width of a
/// hairline.
fn of_short_parts(middle: Point, wide: f64, high: f64) -> BezPath {
    const PARTS: u32 = 2400;
    let corner = |k: u32| {
        let way = Vec2::from_angle(TAU * f64::from(k) / f64::from(PARTS));
        middle + Vec2::new(wide * way.x * (1.0 + 0.0005 * f64::from(k % 2)), high * way.y)
    };
    let mut line = BezPath::new();
    line.move_to(corner(0));
    (1..PARTS).for_each(|k| line.line_to(corner(k)));
    line.close_path();
    line
}

/// The way of such a line at the edge of a page is not that of what is left there of its last part.
#[test]
fn lines_of_many_short_parts_go_on_on_the_next_page() {
    let line = |wide: f64| of_short_parts(Point::new(140.0, 340.0), wide, 2.4 * wide);
    let drawing = [120.0, 114.0, 108.0, 102.0].map(line);
    let print = PrintedPages { columns: 2, rows: 3, ..PrintedPages::a4(ShownPages::CutOff(0.0)) };
    let together = auto(&print.pages(&drawing));
    assert_eq!(together.told.drawings[0].by, PutTogetherBy::CutLines);
    let found = shapes_of(&together.page);
    let closed = |path: &&&BezPath| path.elements().last() == Some(&kurbo::PathEl::ClosePath);
    assert_eq!(found.len(), drawing.len() + 1, "with the bar: {:?}", together.told);
    assert_eq!(found.iter().filter(closed).count(), drawing.len(), "{:?}", together.told);
}

/// With two pages only, what stands at the same place of both is furniture in their margin, and else a piece's.
#[test]
fn of_two_pages_nothing_of_a_piece_is_taken_for_furniture() {
    let mut pages = Vec::new();
    for number in 1..=2 {
        let mut page = empty(number, Size::new(841.0, 1189.0));
        page.things.push(thing(number, Rect::new(12.0, 12.0, 829.0, 1177.0).to_path(0.1)));
        page.things.push(thing(number, Line::new((20.0, 5.0), (120.0, 5.0)).to_path(0.1)));
        page.things.push(words(number, "100 mm", Point::new(122.0, 5.0)));
        page.things.push(thing(number, Line::new((300.0, 200.0), (300.0, 700.0)).to_path(0.1)));
        page.things
            .push(thing(number, Circle::new((300.0, 450.0), 150.0 + f64::from(number as u32)).to_path(0.1)));
        pages.push(page);
    }
    let together = auto(&pages);
    assert_eq!(shapes_of(&together.page).len(), 2 * 3, "a piece, its grainline and a bar of each");
}
