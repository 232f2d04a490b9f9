//! How the pages of a drawing were put together, as data.

use retrue::drawing::pages::{PageSide, PagesOfDrawing, PutTogetherBy, PutTogetherTold};
use serde::Serialize;

use super::rounded;

/// How pages were put together.
#[derive(Clone, Debug, Serialize)]
pub struct PagesReport {
    /// What showed it.
    by: &'static str,
    /// The drawings that they make.
    drawings: Vec<PagesOfDrawingReport>,
    /// How far lines miss each other at joins, at the most, mm.
    miss: f64,
    /// Pages that belong to none.
    left_out: Vec<String>,
}

/// A drawing made of pages; columns and rows are counted from 1.
#[derive(Clone, Debug, Serialize)]
struct PagesOfDrawingReport {
    columns: usize,
    rows: usize,
    overlap: [f64; 2],
    unmet: usize,
    pages: Vec<PageReport>,
    missing: Vec<MissingPageReport>,
}

#[derive(Clone, Debug, Serialize)]
struct PageReport {
    page: String,
    column: i32,
    row: i32,
}

#[derive(Clone, Debug, Serialize)]
struct MissingPageReport {
    column: i32,
    row: i32,
    beside: String,
    side: &'static str,
    lines: usize,
}

impl PagesReport {
    /// As told.
    pub fn of(told: &PutTogetherTold) -> PagesReport {
        PagesReport {
            by: match told.by {
                PutTogetherBy::Shapes => "shapes",
                PutTogetherBy::CutLines => "cut-lines",
                PutTogetherBy::Frames => "frames",
                PutTogetherBy::WholePages => "whole-pages",
            },
            drawings: told.drawings.iter().map(PagesOfDrawingReport::of).collect(),
            miss: rounded(told.miss),
            left_out: told.left_out.clone(),
        }
    }
}

impl PagesOfDrawingReport {
    fn of(drawing: &PagesOfDrawing) -> PagesOfDrawingReport {
        let pages = drawing.pages.iter().map(|page| PageReport {
            page: page.name.clone(),
            column: page.cell.column + 1,
            row: page.cell.row + 1,
        });
        let missing = drawing.missing.iter().map(|missing| MissingPageReport {
            column: missing.cell.column + 1,
            row: missing.cell.row + 1,
            beside: missing.beside.clone(),
            side: match missing.side {
                PageSide::Left => "left",
                PageSide::Above => "above",
                PageSide::Right => "right",
                PageSide::Below => "below",
            },
            lines: missing.lines,
        });
        PagesOfDrawingReport {
            columns: drawing.columns,
            rows: drawing.rows,
            overlap: drawing.overlap.map(rounded),
            unmet: drawing.unmet,
            pages: pages.collect(),
            missing: missing.collect(),
        }
    }
}
