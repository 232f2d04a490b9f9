//! The shortest roll, or the fewest sheets, on which pieces can be laid, by the search that lays pieces on cloth.
//!
//! Paper has no grain: each piece is free to lie at any of the four quarter turns. A piece that has something written
//! beside it takes the room of a box around that.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Size, Vec2};

use crate::canvas::Lying;
use crate::cloth::layout::{around, grown};
use crate::cloth::search::{
    Budget, Continue, Goal, Item, LaySheet, Limit, Outcome, Pose, Problem, Turn, search,
};
use crate::show::piece::PieceDrawing;
use crate::show::print::section::{DrawnTurned, GAP, INSET};
use crate::tolerance::SAME_POINT;

/// How long is searched on a roll: passes, not seconds, so that the same pattern gives the same roll on whatever machine.
/// The coat takes about a second; more gains little.
const ON_A_ROLL: Budget = Budget { seed: 1, searchers: 2, limit: Limit::Iterations(1500) };

/// How long is searched for a lay on one sheet fewer. Most that is found at all is found in the first hundred passes.
const ON_SHEETS: Budget = Budget { seed: 1, searchers: 2, limit: Limit::Iterations(400) };

/// Pieces lying on sheets.
type Sheets = Vec<Vec<PieceDrawing>>;

/// The shorter of a lay of boxes on sheets of a roll, and what the search finds.
pub(super) fn shortest(pieces: &[DrawnTurned], window: Size, boxes: Sheets) -> Sheets {
    let found = on_sheets(pieces, window, boxes.len(), Goal::Shortest, &ON_A_ROLL);
    let length = |sheets: &Sheets| -> f64 { sheets.iter().map(|sheet| down(sheet)).sum() };
    let shorter = |found: &Sheets| (found.len(), length(found)) < (boxes.len(), length(&boxes));
    found.filter(shorter).unwrap_or(boxes)
}

/// A lay of boxes, or one on fewer sheets where the search finds it.
pub(super) fn fewest(pieces: &[DrawnTurned], window: Size, boxes: Sheets) -> Sheets {
    let mut best = boxes;
    while best.len() > 1 {
        let found = on_sheets(pieces, window, best.len() - 1, Goal::Fits, &ON_SHEETS);
        match found {
            Some(fewer) => best = fewer,
            None => break,
        }
    }
    best
}

/// A lay on at most so many sheets.
fn on_sheets(
    pieces: &[DrawnTurned],
    window: Size,
    count: usize,
    goal: Goal,
    effort: &Budget,
) -> Option<Sheets> {
    let items = pieces.iter().map(|piece| item(piece, count)).collect::<Option<Vec<_>>>()?;
    let inside = Rect::from_points(INSET.to_point(), window.to_vec2().to_point() - INSET);
    let sheet = LaySheet { outline: corners(inside), flaws: Vec::new() };
    let problem = Problem { sheets: vec![sheet; count], items, goal, likeness: None };
    let Ok(Outcome::Fits(layout)) = search(&problem, effort, &mut |_| Continue::Search) else {
        return None;
    };
    let mut sheets = vec![Vec::new(); count];
    for (piece, pose) in pieces.iter().zip(&layout.poses) {
        sheets[pose.sheet].push(placed(piece, pose));
    }
    sheets.retain(|sheet| !sheet.is_empty());
    Some(sheets)
}

/// How far down a sheet its pieces reach, mm.
pub(super) fn down(sheet: &[PieceDrawing]) -> f64 {
    sheet.iter().map(|piece| piece.bounds.y1).fold(0.0, f64::max)
}

fn placed(piece: &DrawnTurned, pose: &Pose) -> PieceDrawing {
    let lying = piece.ways()[pose.turn];
    piece.lying(lying).moved(Affine::translate((pose.x, pose.y)))
}

/// A piece as the search knows it, in the coordinates in which it is drawn upright.
fn item(piece: &DrawnTurned, sheets: usize) -> Option<Item> {
    let ways = piece.ways();
    let outline = if ways.iter().all(|way| stays_inside(piece.lying(*way))) {
        around(&clockwise(&piece.lying(Lying::Upright).outline))
    } else {
        let boxes = ways.iter().map(|way| way.turn().inverse().transform_rect_bbox(piece.lying(*way).bounds));
        corners(boxes.reduce(|a, b| a.union(b))?)
    };
    let clearance = grown(&outline, GAP / 2.0).ok()?;
    let turns = ways.iter().map(|way| Turn { degrees: way.degrees(), tolerance: 0.0 });
    Some(Item {
        outline,
        clearance,
        turns: turns.collect(),
        sheets: (0..sheets).collect(),
        holds: Vec::new(),
        phases: Vec::new(),
    })
}

/// Whether nothing is drawn beyond the box around the cutting line, and no text beyond the line itself.
fn stays_inside(piece: &PieceDrawing) -> bool {
    let holds = |point: &Point| piece.outline.contains(*point);
    let cut = piece.outline.bounding_box();
    let reach = Vec2::new(SAME_POINT, SAME_POINT);
    let cut = Rect::from_points(cut.origin() - reach, Point::new(cut.x1, cut.y1) + reach);
    cut.contains_rect(piece.bounds)
        && piece.drawing.labels.iter().all(|label| label.corners().iter().all(holds))
}

fn clockwise(path: &BezPath) -> BezPath {
    if path.area() < 0.0 { path.reverse_subpaths() } else { path.clone() }
}

fn corners(rect: Rect) -> Vec<Point> {
    [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)].map(Point::from).to_vec()
}
