//! Putting pages together: from the pages of a file, each with its part of a drawing, to one page with all of it.
//!
//! Three ways, the surest first. Where pages draw the whole and hide what lies beyond their edges, a shape that is on two
//! pages shows exactly how they lie; a shape at the same place of three pages is the pages' furniture and shows nothing.
//! Else lines that are cut off at the edge of one page go on at the edge of the next. Else, in a grid that was told, the
//! pages lie frame to frame.
//!
//! ```text
//! pages ── shapes, window ──> links ── grid ──> sheets of placed pages ── joined ──> one page, and what is told
//! ```

mod by_lines;
mod choice;
mod cut;
mod fill;
mod furniture;
mod grid;
mod joined;
mod laid;
mod links;
mod meeting;
mod neighbours;
mod order;
mod overlap;
mod overview;
mod shapes;
mod strips;
mod taken;
#[cfg(test)]
mod tests;
mod told;
mod way;
mod window;

use kurbo::{BezPath, Rect, Shape, Size, Vec2};

pub use choice::{PageChoice, PageChoiceError, PageGrid, PageOrder};
pub use grid::Cell;
pub use told::{
    EmptyPlace, MissingPage, OpenAt, PageSide, PagesOfDrawing, PlacedPage, PutTogetherBy, PutTogetherTold,
};

use super::drawn::{Clips, Drawn, DrawnPage, DrawnThing};
use crate::tolerance::DRAWINGS_APART;
use furniture::Writing;
use grid::{Link, PageStep, PagesSheet, Placed};
use joined::{Joined, KnownPages, Lines, LooseEnd};
use laid::LaidPages;
use shapes::Shapes;
use window::{Sort, Telling, WindowSide, own_part, within};

/// Pages put together.
#[derive(Clone, Debug)]
pub struct PutTogether {
    /// All of them as one.
    pub page: DrawnPage,
    /// What of them is not the drawing: frames, joining marks, names of pages; where it would lie in it.
    pub left_out: Vec<DrawnThing>,
    /// How it was done.
    pub told: PutTogetherTold,
}

/// Why pages cannot be put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PagesApart {
    /// Lines run off them, and nothing shows how they lie.
    #[error(
        "nothing shows how its pages lie: no shape of a drawing is on two of them, and no line goes on from one to another"
    )]
    NothingShared,
    /// All that is drawn on them is what stands on each of them.
    #[error(
        "nothing is drawn on them but what stands at the same place of each, as frames and marks of pages do"
    )]
    OnlyFurniture,
    /// There are too many.
    #[error("it has over {MOST_PAGES} pages with lines: more than any drawing is printed on")]
    TooMany,
    /// The grid that was told begins after the last page.
    #[error("the grid of pages begins at page {from}, and the file has {pages}")]
    NoSuchPage {
        /// The first page of the grid.
        from: usize,
        /// How many there are.
        pages: usize,
    },
}

/// How many pages are put together; the largest patterns have a hundred.
const MOST_PAGES: usize = 500;

/// Puts pages together.
///
/// # Errors
///
/// [`PagesApart`]: nothing shows how they lie, there are too many, or the grid told does not begin within the file.
pub fn put_together(pages: &[DrawnPage], choice: &PageChoice) -> Result<PutTogether, PagesApart> {
    if pages.iter().filter(|page| has_lines(page)).count() > MOST_PAGES {
        return Err(PagesApart::TooMany);
    }
    match choice {
        PageChoice::Auto => {
            let drawn_on: Vec<&DrawnPage> = pages.iter().filter(|page| has_lines(page)).collect();
            as_shown(&drawn_on)
        }
        PageChoice::Grid(grid) => {
            let from = pages.get(grid.from - 1..).filter(|pages| !pages.is_empty());
            let from = from.ok_or(PagesApart::NoSuchPage { from: grid.from, pages: pages.len() })?;
            let before: Vec<&DrawnPage> = pages[..grid.from - 1].iter().collect();
            Ok(as_told(&from.iter().collect::<Vec<_>>(), &before, &grid.cells()))
        }
    }
}

fn has_lines(page: &DrawnPage) -> bool {
    page.things.iter().any(|thing| matches!(thing.what, Drawn::Shape { .. } | Drawn::Hidden(_)))
}

fn known<'a>(
    laid: &'a LaidPages,
    pages: &'a [&'a DrawnPage],
    shapes: &'a Shapes,
    writing: &'a Writing,
) -> KnownPages<'a> {
    KnownPages { pages, shapes, writing, windows: &laid.windows.of, overlap: laid.overlap() }
}

/// By shapes that pages share, and how many speak for it.
fn by_shapes(pages: &[&DrawnPage], shapes: &Shapes) -> (LaidPages, Vec<Link>) {
    let windows = window::windows(pages, shapes, Telling::Clips);
    let links = links::by_shapes(pages, shapes, &windows.of);
    let page = windows.size().or_else(|| pages.iter().find_map(|page| Some(page.seen?.size())));
    let step = PageStep::of(&links, page.unwrap_or(Size::new(1.0, 1.0)));
    let sheets = grid::lay(pages.len(), &links, step);
    (LaidPages { windows, step, sheets, by: PutTogetherBy::Shapes }, links)
}

/// By shapes that pages share where they draw the whole, and as many pages lie beside another by them as by lines that are
/// cut off.
fn as_shown(pages: &[&DrawnPage]) -> Result<PutTogether, PagesApart> {
    let mut shapes = Shapes::of(pages);
    let (by_shapes, links) = by_shapes(pages, &shapes);
    let in_parts = by_lines::are_in_parts(pages, &shapes, shared(&links));
    let mut laid = if !in_parts && by_shapes.linked() == pages.len() {
        by_shapes
    } else {
        let by_lines = by_lines::lay(pages, &shapes);
        let is_in_parts = in_parts && by_lines.linked() > 0;
        if !is_in_parts && by_shapes.linked() >= by_lines.linked() { by_shapes } else { by_lines }
    };
    if laid.linked() == 0 {
        return by_itself(pages, &shapes);
    }
    let (mut sheets, single): (Vec<PagesSheet>, Vec<PagesSheet>) =
        std::mem::take(&mut laid.sheets).into_iter().partition(|sheet| sheet.0.len() > 1);
    let single = single.iter().flat_map(|sheet| &sheet.0).map(|placed| placed.page);
    let drawn_on: Vec<&DrawnPage> =
        sheets.iter().flat_map(|sheet| &sheet.0).map(|placed| pages[placed.page]).collect();
    let may_belong = |page: &usize| {
        laid.windows.from != Sort::Seen
            && laid.windows.of[*page].is_some()
            && !overview::is_overview(pages[*page], &drawn_on)
    };
    let (mut framed, mut left_out): (Vec<usize>, Vec<usize>) = single.partition(may_belong);
    for sheet in &mut sheets {
        fill::in_order(sheet, &mut framed, laid.step);
    }
    shapes.mark(&furniture::joining_marks(pages, &shapes, &laid.windows.of, &sheets));
    let first = sheets.iter().flat_map(|sheet| &sheet.0).map(|placed| placed.page).min();
    let writing = Writing::of(pages);
    let overlap = laid.overlap();
    let inner = laid
        .windows
        .of
        .iter()
        .map(|window| Some(own_part((*window)?, overlap, |_| true)))
        .collect::<Vec<_>>();
    let is_drawn_on = |page: &usize| {
        let known = KnownPages { windows: &inner, ..known(&laid, pages, &shapes, &writing) };
        Some(*page) > first && !Joined::of(&PagesSheet::alone(*page), known, Lines::InParts).things.is_empty()
    };
    let (beside, empty): (Vec<usize>, Vec<usize>) = framed.into_iter().partition(is_drawn_on);
    left_out.extend(empty);
    left_out.sort_unstable();
    sheets.extend(beside.into_iter().map(PagesSheet::alone));
    sheets.sort_by_key(|sheet| sheet.0.iter().map(|placed| placed.page).min());
    laid.sheets = sheets;
    let left_out: Vec<&DrawnPage> = left_out.into_iter().map(|page| pages[page]).collect();
    Ok(together(pages, &shapes, &laid, &left_out))
}

/// How many shapes speak for how pages lie.
fn shared(links: &[Link]) -> usize {
    links.iter().map(|link| link.votes).sum()
}

/// Each page by itself, where something is drawn on them and no line runs off any.
fn by_itself(pages: &[&DrawnPage], shapes: &Shapes) -> Result<PutTogether, PagesApart> {
    let windows = window::windows(pages, shapes, Telling::Clips);
    let step = PageStep(windows.size().unwrap_or(Size::new(1.0, 1.0)).to_vec2());
    let mut laid = LaidPages { windows, step, sheets: Vec::new(), by: PutTogetherBy::WholePages };
    let things = |page: usize| (0..pages[page].things.len()).map(move |thing| (page, thing));
    let is_own = |(page, thing): &(usize, usize)| {
        let is_shape = matches!(pages[*page].things[*thing].what, Drawn::Shape { .. });
        is_shape && !furniture::is_left_out(pages[*page], (*page, *thing), shapes, laid.windows.of[*page])
    };
    let own: Vec<(usize, usize)> = (0..pages.len()).flat_map(things).filter(is_own).collect();
    let runs_off = |own: &(usize, usize)| links::runs_off(pages, shapes, &laid.windows.of, *own);
    if own.is_empty() {
        return Err(PagesApart::OnlyFurniture);
    }
    if own.iter().any(runs_off) {
        return Err(PagesApart::NothingShared);
    }
    laid.sheets = (0..pages.len()).map(PagesSheet::alone).collect();
    Ok(together(pages, shapes, &laid, &[]))
}

/// In the cells that were told: as far from each other as shapes that pages share show, else as lines do that go on.
fn as_told(pages: &[&DrawnPage], before: &[&DrawnPage], cells: &[Cell]) -> PutTogether {
    let in_grid = pages.len().min(cells.len());
    let (pages, more) = pages.split_at(in_grid);
    let cells = &cells[..in_grid];
    let mut shapes = Shapes::of(pages);
    let (by_shapes, links) = by_shapes(pages, &shapes);
    let agrees = |link: &Link| {
        let (from, to) = (cells[link.from], cells[link.to]);
        let on = Cell { column: to.column - from.column, row: to.row - from.row };
        by_shapes.step.cells(link.shift) == Some(on)
    };
    let agreeing = links.iter().filter(|link| agrees(link)).count();
    let in_parts = by_lines::are_in_parts(pages, &shapes, shared(&links));
    let mut laid = if !in_parts && agreeing > 0 && 2 * agreeing >= links.len() {
        by_shapes
    } else {
        let windows = window::windows(pages, &shapes, Telling::CutLines);
        let step = by_lines::step_of_told(pages, &shapes, &windows, cells).unwrap_or(by_shapes.step);
        LaidPages { windows, step, sheets: Vec::new(), by: PutTogetherBy::Frames }
    };
    let placed = cells.iter().zip(0..in_grid).map(|(cell, page)| Placed {
        page,
        cell: *cell,
        origin: laid.step.place(*cell),
    });
    laid.sheets = vec![PagesSheet(placed.collect())];
    shapes.mark(&furniture::joining_marks(pages, &shapes, &laid.windows.of, &laid.sheets));
    let left_out: Vec<&DrawnPage> =
        before.iter().chain(more).copied().filter(|page| has_lines(page)).collect();
    together(pages, &shapes, &laid, &left_out)
}

/// One page of all sheets, beside one another.
fn together(pages: &[&DrawnPage], shapes: &Shapes, laid: &LaidPages, left_out: &[&DrawnPage]) -> PutTogether {
    let writing = Writing::of(pages);
    let known = known(laid, pages, shapes, &writing);
    let lines = match laid.by {
        PutTogetherBy::Shapes => Lines::Whole,
        PutTogetherBy::CutLines | PutTogetherBy::Frames | PutTogetherBy::WholePages => Lines::InParts,
    };
    let (mut things, mut not_drawing, mut clips) = (Vec::new(), Vec::new(), Clips::default());
    let (mut miss, mut right): (f64, f64) = (0.0, 0.0);
    let mut all: Option<Rect> = None;
    let mut drawings = Vec::new();
    for sheet in &laid.sheets {
        let joined = Joined::of(sheet, known, lines);
        let windows = sheet.0.iter().filter_map(|placed| window_of(placed, known));
        let drawn = windows.chain(joined.all().filter_map(joined::bounds)).reduce(|a, b| a.union(b));
        let bounds = drawn.unwrap_or(Rect::ZERO);
        let by = match all {
            None => Vec2::ZERO,
            Some(_) => Vec2::new(right + DRAWINGS_APART - bounds.x0, 0.0),
        };
        right = bounds.x1 + by.x;
        all = Some(all.map_or(bounds, |all| all.union(bounds + by)));
        miss = miss.max(joined.miss);
        not_drawing.extend(joined.left_out.iter().map(|thing| joined::moved(thing, by, None)));
        drawings.push(pages_of_drawing(sheet, &joined, known, laid, (lines, by)));
        things.extend(joined::all_moved(joined, by, &mut clips));
    }
    for thing in checks_elsewhere(laid, known, left_out) {
        let by = Vec2::new(right + DRAWINGS_APART, 0.0);
        let thing = joined::moved(&thing, by, None);
        all = all.into_iter().chain(joined::bounds(&thing)).reduce(|all, more| all.union(more));
        things.push(thing);
    }
    let left_out = left_out.iter().map(|page| page.name()).collect();
    let number = laid.sheets.iter().flat_map(|sheet| &sheet.0).map(|placed| pages[placed.page].number).min();
    let page = DrawnPage { number: number.unwrap_or(1), label: None, seen: all, whole: all, things, clips };
    let told = PutTogetherTold { by: laid.by, drawings, miss, left_out };
    PutTogether { page, left_out: not_drawing, told }
}

/// What checks the scale on a page that is left out, as one with instructions, where no page that is placed has any; laid
/// from nothing on.
fn checks_elsewhere(laid: &LaidPages, known: KnownPages<'_>, left_out: &[&DrawnPage]) -> Vec<DrawnThing> {
    let mut placed = laid.sheets.iter().flat_map(|sheet| &sheet.0);
    if placed.any(|placed| !furniture::labelled_test_shapes(known.pages[placed.page]).is_empty()) {
        return Vec::new();
    }
    let of_page = |page: &&DrawnPage| -> Vec<DrawnThing> {
        let kept = furniture::labelled_test_shapes(page);
        kept.into_iter().map(|thing| joined::moved(&page.things[thing], Vec2::ZERO, None)).collect()
    };
    let things = left_out.iter().map(of_page).find(|things| !things.is_empty()).unwrap_or_default();
    let corner = things.iter().filter_map(joined::bounds).reduce(|a, b| a.union(b));
    let by = corner.map_or(Vec2::ZERO, |bounds| -bounds.origin().to_vec2());
    things.iter().map(|thing| joined::moved(thing, by, None)).collect()
}

fn placed_page(placed: &Placed, known: KnownPages<'_>, by: Vec2) -> PlacedPage {
    let window = window_of(placed, known).map(|window| window + by);
    PlacedPage { name: known.pages[placed.page].name(), cell: placed.cell, window }
}

fn window_of(placed: &Placed, known: KnownPages<'_>) -> Option<Rect> {
    let window = known.windows[placed.page].or(known.pages[placed.page].seen)?;
    Some(window + placed.origin)
}

fn pages_of_drawing(
    sheet: &PagesSheet,
    joined: &Joined,
    known: KnownPages<'_>,
    laid: &LaidPages,
    (lines, by): (Lines, Vec2),
) -> PagesOfDrawing {
    let (columns, rows) = sheet.extent();
    let over = |count: i32, overlap: f64| if count > 1 { overlap } else { 0.0 };
    let missing = missing(sheet, joined, known, laid, lines);
    PagesOfDrawing {
        columns: usize::try_from(columns).unwrap_or(0),
        rows: usize::try_from(rows).unwrap_or(0),
        pages: sheet.0.iter().map(|placed| placed_page(placed, known, by)).collect(),
        overlap: [over(columns, known.overlap.x), over(rows, known.overlap.y)],
        unmet: joined
            .loose
            .iter()
            .filter(|(cell, _)| sheet.at(**cell).is_some())
            .map(|(_, lines)| lines)
            .sum(),
        open: open_at(joined, &missing, known),
        empty: match lines {
            Lines::InParts => empty_places(sheet, &missing, known),
            // Each page knows what the others show.
            Lines::Whole => Vec::new(),
        },
        missing,
    }
}

/// The edges of pages at which lines are cut off at both ends and go on nowhere, not even on a page that is missing.
fn open_at(joined: &Joined, missing: &[MissingPage], known: KnownPages<'_>) -> Vec<OpenAt> {
    let is_missing = |end: &LooseEnd| missing.iter().any(|page| page.place.cell == end.cell);
    let open = joined.open.iter().filter(|ends| !ends.iter().any(is_missing)).flatten();
    let mut found: Vec<OpenAt> = Vec::new();
    for end in open {
        let at = OpenAt { page: known.pages[end.page].name(), side: PageSide::from(end.side) };
        if !found.contains(&at) {
            found.push(at);
        }
    }
    found
}

/// Pages to which lines lead and that are not there. One line may end at an edge by chance.
fn missing(
    sheet: &PagesSheet,
    joined: &Joined,
    known: KnownPages<'_>,
    laid: &LaidPages,
    lines: Lines,
) -> Vec<MissingPage> {
    const MOST_BY_CHANCE: usize = 1;
    let sides = [WindowSide::Right, WindowSide::Bottom, WindowSide::Left, WindowSide::Top];
    let runs = if lines == Lines::Whole { runs_of(&joined.things) } else { Vec::new() };
    let unseen = runs_of(&joined.unseen);
    let mut found: Vec<MissingPage> = Vec::new();
    for placed in &sheet.0 {
        for side in sides {
            let cell = placed.cell.beside(side);
            if sheet.at(cell).is_some() || found.iter().any(|known| known.place.cell == cell) {
                continue;
            }
            let leading = match lines {
                Lines::InParts => {
                    joined.loose.get(&cell).copied().filter(|lines| *lines > MOST_BY_CHANCE).unwrap_or(0)
                }
                Lines::Whole => match lines_in(placed, side, &runs, known, laid) {
                    0 => lines_in(placed, side, &unseen, known, laid),
                    leading => leading,
                },
            };
            if leading > 0 {
                let beside = known.pages[placed.page].name();
                let place = EmptyPlace { cell, beside, side: PageSide::from(side) };
                found.push(MissingPage { place, lines: leading });
            }
        }
    }
    found
}

/// Places in the grid of a sheet beside a page that have none themselves, to which no line leads, and for which the file has
/// no empty page either.
fn empty_places(sheet: &PagesSheet, missing: &[MissingPage], known: KnownPages<'_>) -> Vec<EmptyPlace> {
    let order = fill::Order::of(sheet);
    let number = |page: usize| known.pages[page].number;
    let (columns, rows) = sheet.extent();
    let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| Cell { column, row }));
    let is_empty = |cell: &Cell| {
        sheet.at(*cell).is_none()
            && !missing.iter().any(|page| page.place.cell == *cell)
            && !order.as_ref().is_some_and(|order| order.has_empty_page_at(*cell, sheet, number))
    };
    let place = |cell: Cell| {
        // The page before it as one reads, where there is one.
        [WindowSide::Left, WindowSide::Top, WindowSide::Right, WindowSide::Bottom].into_iter().find_map(
            |side| {
                let placed = sheet.at(cell.beside(side))?;
                Some(EmptyPlace {
                    cell,
                    beside: known.pages[placed.page].name(),
                    side: side.opposite().into(),
                })
            },
        )
    };
    cells.filter(is_empty).filter_map(place).collect()
}

/// How many lines run through what only a page beside another would show.
fn lines_in(
    placed: &Placed,
    side: WindowSide,
    runs: &[(Rect, BezPath)],
    known: KnownPages<'_>,
    laid: &LaidPages,
) -> usize {
    /// How far within its window a line must run for its page to be missed, mm.
    const WITHIN: f64 = 1.0;
    let Some(window) = window_of(placed, known) else { return 0 };
    let over = known.overlap;
    let way = laid.step.place(Cell { column: 0, row: 0 }.beside(side));
    let only = (window + way).inset((-over.x - WITHIN, -over.y - WITHIN));
    if only.width() <= 0.0 || only.height() <= 0.0 {
        return 0;
    }
    runs.iter().filter(|(bounds, run)| bounds.overlaps(only) && !within(run, only).is_empty()).count()
}

/// All lines among some things, each with its box.
fn runs_of(things: &[DrawnThing]) -> Vec<(Rect, BezPath)> {
    let paths = things.iter().filter_map(|thing| match &thing.what {
        Drawn::Shape { path, .. } => Some(path),
        _ => None,
    });
    let runs = paths.flat_map(|path| path.subpaths().map(|run| BezPath::from_vec(run.to_vec())));
    runs.map(|run| (run.bounding_box(), run)).collect()
}
