//! How pages lie as what is drawn on them shows, or in the cells that were told.

use kurbo::Size;

use super::furniture::{self, Writing};
use super::grid::{self, Cell, Link, PageStep, PagesSheet, Placed};
use super::joined::{Joined, KnownPages, Lines};
use super::laid::LaidPages;
use super::outcome::{PagesApart, PutTogether, has_lines};
use super::papers::of_one_drawing;
use super::shapes::Shapes;
use super::together::{LaidSet, holds_outline, together};
use super::told::PutTogetherBy;
use super::window::{self, Sort, Telling, own_part};
use super::{by_lines, fill, links, overview};
use crate::drawing::drawn::{Drawn, DrawnPage};

/// By shapes that pages share, and how many speak for it.
fn by_shapes(pages: &[&DrawnPage], shapes: &Shapes) -> (LaidPages, Vec<Link>) {
    let windows = window::windows(pages, shapes, Telling::Clips);
    let links = links::by_shapes(pages, shapes, &windows.of);
    let page = windows.size().or_else(|| pages.iter().find_map(|page| Some(page.seen?.size())));
    let step = PageStep::of(&links, page.unwrap_or(Size::new(1.0, 1.0)));
    let sheets = grid::lay(pages.len(), &links, step);
    (LaidPages { windows, step, sheets, by: PutTogetherBy::Shapes, blank: Vec::new() }, links)
}

/// The pages of each drawing by themselves. Those of which nothing shows how they lie are left out where others lie
/// together.
pub(super) fn as_shown(pages: &[&DrawnPage]) -> Result<PutTogether, PagesApart> {
    let drawings = of_one_drawing(pages);
    let (mut sets, mut apart) = (Vec::new(), Vec::new());
    for drawing in &drawings {
        let own: Vec<&DrawnPage> = drawing.iter().map(|page| pages[*page]).collect();
        match set_as_shown(&own) {
            Ok(set) => sets.push(set),
            Err(why) => apart.push((why, own)),
        }
    }
    let mut left_out = Vec::new();
    match sets.iter().filter(|set| set.laid.linked() > 0).filter_map(LaidSet::first).min() {
        Some(first) => {
            for (why, own) in apart {
                match each_alone(&own).filter(|_| why == PagesApart::NothingShared) {
                    Some(set) => sets.push(set),
                    None => left_out.extend(own),
                }
            }
            sets.iter_mut().for_each(|set| set.leave_out_instructions(first));
        }
        None => {
            let is_shared = |(why, _): &&(PagesApart, _)| *why == PagesApart::NothingShared;
            if let Some((why, _)) = apart.iter().find(is_shared).or(apart.first().filter(|_| sets.is_empty()))
            {
                return Err(*why);
            }
            left_out.extend(apart.into_iter().flat_map(|(_, own)| own));
        }
    }
    Ok(together(&sets, left_out))
}

/// Each page of a tiled drawing by itself, where its window is drawn: what leads off it is told.
fn each_alone<'a>(pages: &[&'a DrawnPage]) -> Option<LaidSet<'a>> {
    let mut shapes = Shapes::of(pages);
    let windows = window::windows(pages, &shapes, Telling::CutLines);
    shapes.mark(&furniture::joining_marks_of_any(pages, &shapes, &windows.of));
    let step = PageStep(windows.size()?.to_vec2());
    let (alone, left_out): (Vec<usize>, Vec<usize>) =
        (0..pages.len()).partition(|page| windows.is_drawn(*page));
    let sheets: Vec<PagesSheet> = alone.into_iter().map(PagesSheet::alone).collect();
    let left_out = left_out.into_iter().map(|page| pages[page]).collect();
    let laid = LaidPages { windows, step, sheets, by: PutTogetherBy::CutLines, blank: Vec::new() };
    (!laid.sheets.is_empty()).then(|| LaidSet { pages: pages.to_vec(), shapes, laid, left_out })
}

/// By shapes that pages share where they draw the whole, and as many pages lie beside another by them as by lines that are
/// cut off.
fn set_as_shown<'a>(pages: &[&'a DrawnPage]) -> Result<LaidSet<'a>, PagesApart> {
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
        return by_itself(pages, shapes);
    }
    let (mut sheets, single): (Vec<PagesSheet>, Vec<PagesSheet>) =
        std::mem::take(&mut laid.sheets).into_iter().partition(|sheet| sheet.0.len() > 1);
    let single = single.iter().flat_map(|sheet| &sheet.0).map(|placed| placed.page);
    let drawn_on: Vec<&DrawnPage> =
        sheets.iter().flat_map(|sheet| &sheet.0).map(|placed| pages[placed.page]).collect();
    let may_belong =
        |page: &usize| laid.windows.is_drawn(*page) && !overview::is_overview(pages[*page], &drawn_on);
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
        let known = KnownPages { windows: &inner, ..laid.known(pages, &shapes, &writing) };
        let joined = || Joined::of(&PagesSheet::alone(*page), known, Lines::InParts).things;
        match Some(*page) > first {
            true => !joined().is_empty(),
            // Instructions before may be framed as well, but bear no name of a page.
            false => writing.is_named(pages[*page]) && holds_outline(&joined()),
        }
    };
    let (beside, empty): (Vec<usize>, Vec<usize>) = framed.into_iter().partition(is_drawn_on);
    left_out.extend(empty);
    left_out.sort_unstable();
    sheets.extend(beside.into_iter().map(PagesSheet::alone));
    sheets.sort_by_key(|sheet| sheet.0.iter().map(|placed| placed.page).min());
    laid.sheets = sheets;
    let left_out: Vec<&DrawnPage> = left_out.into_iter().map(|page| pages[page]).collect();
    Ok(LaidSet { pages: pages.to_vec(), shapes, laid, left_out })
}

/// How many shapes speak for how pages lie.
fn shared(links: &[Link]) -> usize {
    links.iter().map(|link| link.votes).sum()
}

/// Each page by itself, where something is drawn on them and no line runs off any.
fn by_itself<'a>(pages: &[&'a DrawnPage], mut shapes: Shapes) -> Result<LaidSet<'a>, PagesApart> {
    let windows = window::windows(pages, &shapes, Telling::Clips);
    let step = PageStep(windows.size().unwrap_or(Size::new(1.0, 1.0)).to_vec2());
    shapes.mark(&furniture::joining_marks_of_any(pages, &shapes, &windows.of));
    let mut laid =
        LaidPages { windows, step, sheets: Vec::new(), by: PutTogetherBy::WholePages, blank: Vec::new() };
    let things = |page: usize| (0..pages[page].things.len()).map(move |thing| (page, thing));
    let is_own = |(page, thing): &(usize, usize)| {
        let is_shape = matches!(pages[*page].things[*thing].what, Drawn::Shape { .. });
        is_shape && !furniture::is_left_out(pages[*page], (*page, *thing), &shapes, laid.windows.of[*page])
    };
    let own: Vec<(usize, usize)> = (0..pages.len()).flat_map(things).filter(is_own).collect();
    let runs_off = |own: &(usize, usize)| links::runs_off(pages, &shapes, &laid.windows.of, *own);
    if own.is_empty() {
        return Err(PagesApart::OnlyFurniture);
    }
    if own.iter().any(runs_off) {
        return Err(PagesApart::NothingShared);
    }
    laid.sheets = (0..pages.len()).map(PagesSheet::alone).collect();
    Ok(LaidSet { pages: pages.to_vec(), shapes, laid, left_out: Vec::new() })
}

/// In the cells that were told: as far from each other as shapes that pages share show, else as lines do that go on.
/// `blank` are those for which no page was printed.
pub(super) fn as_told(
    pages: &[&DrawnPage],
    before: &[&DrawnPage],
    cells: &[Cell],
    blank: &[Cell],
) -> PutTogether {
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
        let by = match windows.sort(0) {
            Sort::Frame => PutTogetherBy::Frames,
            Sort::Clip => PutTogetherBy::Parts,
            Sort::Seen => PutTogetherBy::Edges,
        };
        LaidPages { windows, step, sheets: Vec::new(), by, blank: Vec::new() }
    };
    let placed = cells.iter().zip(0..in_grid).map(|(cell, page)| Placed {
        page,
        cell: *cell,
        origin: laid.step.place(*cell),
    });
    laid.sheets = vec![PagesSheet(placed.collect())];
    laid.blank = blank.to_vec();
    shapes.mark(&furniture::joining_marks(pages, &shapes, &laid.windows.of, &laid.sheets));
    let left_out: Vec<&DrawnPage> =
        before.iter().chain(more).copied().filter(|page| has_lines(page)).collect();
    together(&[LaidSet { pages: pages.to_vec(), shapes, laid, left_out }], Vec::new())
}
