//! One page of all that stands on pages that lie in their places, and what is told of it.

use kurbo::{BezPath, Rect, Shape, Vec2};

use super::fill;
use super::furniture::{self, Writing};
use super::grid::{Cell, PagesSheet, Placed};
use super::joined::{self, Joined, KnownPages, Lines, LooseEnd};
use super::laid::LaidPages;
use super::outcome::PutTogether;
use super::shapes::Shapes;
use super::told::{
    EmptyPlace, MissingPage, OpenAt, PageSide, PagesOfDrawing, PlacedPage, PutTogetherBy, PutTogetherTold,
};
use super::window::{WindowSide, within};
use crate::drawing::drawn::{Clips, Drawn, DrawnPage, DrawnThing};
use crate::tolerance::{DRAWINGS_APART, LEAST_ALONE, SHORT_PART};

/// Pages that may be of one drawing, as they lie.
pub(super) struct LaidSet<'a> {
    pub pages: Vec<&'a DrawnPage>,
    pub shapes: Shapes,
    pub laid: LaidPages,
    /// Those of them that belong to nothing.
    pub left_out: Vec<&'a DrawnPage>,
}

impl LaidSet<'_> {
    /// The number of its first page that is placed.
    pub fn first(&self) -> Option<usize> {
        let placed = self.laid.sheets.iter().flat_map(|sheet| &sheet.0);
        placed.map(|placed| self.pages[placed.page].number).min()
    }

    /// Leaves out pages beside other drawings that show no outline as large as a piece has, and those before the first page of the
    /// others of which no window is drawn: they are instructions.
    pub fn leave_out_instructions(&mut self, first: usize) {
        if self.laid.by != PutTogetherBy::WholePages {
            return;
        }
        let writing = Writing::of(&self.pages);
        let is_drawing = |sheet: &PagesSheet| {
            let known = self.laid.known(&self.pages, &self.shapes, &writing);
            let may = |placed: &Placed| {
                self.pages[placed.page].number > first || self.laid.windows.is_drawn(placed.page)
            };
            sheet.0.iter().all(may) && holds_outline(&Joined::of(sheet, known, Lines::InParts).things)
        };
        let (kept, instructions): (Vec<PagesSheet>, Vec<PagesSheet>) =
            self.laid.sheets.iter().cloned().partition(is_drawing);
        self.laid.sheets = kept;
        self.left_out
            .extend(instructions.iter().flat_map(|sheet| &sheet.0).map(|placed| self.pages[placed.page]));
    }
}

/// Whether a closed line among some things is as large as that of a piece, and is no test square or frame.
pub(super) fn holds_outline(things: &[DrawnThing]) -> bool {
    things.iter().any(|thing| {
        let Drawn::Shape { path, .. } = &thing.what else { return false };
        path.subpaths().any(|run| {
            let run = BezPath::from_vec(run.to_vec());
            let ends = run.segments().next().zip(run.segments().last());
            let is_closed = ends.is_some_and(|(first, last)| {
                kurbo::ParamCurve::start(&first).distance(kurbo::ParamCurve::end(&last)) <= SHORT_PART
            });
            let bounds = run.bounding_box();
            is_closed && bounds.width().max(bounds.height()) >= LEAST_ALONE
        })
    })
}

/// One page of all sheets, beside one another. `left_out` are pages of no set.
pub(super) fn together<'a>(sets: &[LaidSet<'a>], mut left_out: Vec<&'a DrawnPage>) -> PutTogether {
    left_out.extend(sets.iter().flat_map(|set| set.left_out.iter().copied()));
    left_out.sort_by_key(|page| page.number);
    let mut all = AllSheets::default();
    let mut sets: Vec<&LaidSet> = sets.iter().collect();
    sets.sort_by_key(|set| set.first());
    let writing: Vec<Writing> = sets.iter().map(|set| Writing::of(&set.pages)).collect();
    let writing = Writing::shared(writing);
    sets.iter().zip(&writing).for_each(|(set, writing)| all.add_set(set, writing));
    for thing in checks_elsewhere(&sets, &left_out) {
        all.add_check(&thing);
    }
    let number = sets.iter().filter_map(|set| set.first()).min().unwrap_or(1);
    let AllSheets { things, not_drawing, clips, miss, bounds: seen, drawings, .. } = all;
    let page = DrawnPage { number, label: None, seen, whole: seen, things, clips };
    let left_out = left_out.iter().map(|page| page.name()).collect();
    PutTogether { page, left_out: not_drawing, told: PutTogetherTold { drawings, miss, left_out } }
}

/// What of all sheets is laid so far.
#[derive(Default)]
struct AllSheets {
    things: Vec<DrawnThing>,
    not_drawing: Vec<DrawnThing>,
    clips: Clips,
    miss: f64,
    right: f64,
    bounds: Option<Rect>,
    drawings: Vec<PagesOfDrawing>,
}

impl AllSheets {
    fn add_set(&mut self, set: &LaidSet<'_>, writing: &Writing) {
        let known = set.laid.known(&set.pages, &set.shapes, writing);
        let lines = match set.laid.by {
            PutTogetherBy::Shapes => Lines::Whole,
            _ => Lines::InParts,
        };
        for sheet in &set.laid.sheets {
            self.add_sheet(sheet, Joined::of(sheet, known, lines), known, &set.laid, lines);
        }
    }

    fn add_sheet(
        &mut self,
        sheet: &PagesSheet,
        joined: Joined,
        known: KnownPages<'_>,
        laid: &LaidPages,
        lines: Lines,
    ) {
        let windows = sheet.0.iter().filter_map(|placed| window_of(placed, known));
        let drawn = windows.chain(joined.all().filter_map(joined::bounds)).reduce(|a, b| a.union(b));
        let bounds = drawn.unwrap_or(Rect::ZERO);
        let by = match self.bounds {
            None => Vec2::ZERO,
            Some(_) => Vec2::new(self.right + DRAWINGS_APART - bounds.x0, 0.0),
        };
        self.right = bounds.x1 + by.x;
        self.bounds = Some(self.bounds.map_or(bounds, |all| all.union(bounds + by)));
        self.miss = self.miss.max(joined.miss);
        self.not_drawing.extend(joined.left_out.iter().map(|thing| joined::moved(thing, by, None)));
        self.drawings.push(pages_of_drawing(sheet, &joined, known, laid, (lines, by)));
        self.things.extend(joined::all_moved(joined, by, &mut self.clips));
    }

    /// What checks the scale and lies from nothing on, to the right of all.
    fn add_check(&mut self, thing: &DrawnThing) {
        let thing = joined::moved(thing, Vec2::new(self.right + DRAWINGS_APART, 0.0), None);
        self.bounds =
            self.bounds.into_iter().chain(joined::bounds(&thing)).reduce(|all, more| all.union(more));
        self.things.push(thing);
    }
}

/// What checks the scale on a page that is left out, as one with instructions, where no page that is placed has any; laid
/// from nothing on.
fn checks_elsewhere(sets: &[&LaidSet<'_>], left_out: &[&DrawnPage]) -> Vec<DrawnThing> {
    let placed = |set: &&LaidSet<'_>| {
        let mut placed = set.laid.sheets.iter().flat_map(|sheet| &sheet.0);
        placed.any(|placed| !furniture::labelled_test_shapes(set.pages[placed.page]).is_empty())
    };
    if sets.iter().any(placed) {
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
        by: laid.by,
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
            Lines::InParts => empty_places(sheet, &missing, known, laid),
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
            if sheet.at(cell).is_some()
                || laid.blank.contains(&cell)
                || found.iter().any(|known| known.place.cell == cell)
            {
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
fn empty_places(
    sheet: &PagesSheet,
    missing: &[MissingPage],
    known: KnownPages<'_>,
    laid: &LaidPages,
) -> Vec<EmptyPlace> {
    let order = fill::Order::of(sheet);
    let number = |page: usize| known.pages[page].number;
    let (columns, rows) = sheet.extent();
    let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| Cell { column, row }));
    let is_empty = |cell: &Cell| {
        sheet.at(*cell).is_none()
            && !laid.blank.contains(cell)
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
