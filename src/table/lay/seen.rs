//! What of a layout a person is shown: the copies on the cloth, and sentences.

use kurbo::{Affine, Rect, Shape, Vec2};
use serde::Serialize;

use crate::canvas::{group_in_page, path_data};
use crate::cloth::layout::{GroundSource, Laid, LaidCopy, LayTask, Spread};
use crate::cloth::picture;
use crate::show::report::capital;
use crate::table::cloth_drawn::MAGNIFIED;
use crate::table::said::Remark;
use crate::units::Unit;

/// Size of the letters on a copy, mm.
const LETTERS: f64 = 20.0;

/// A copy on the cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) struct CopySeen {
    /// Which, in the order of the layout.
    number: usize,
    /// What it is called.
    called: String,
    /// What is cut, as the data of an SVG path.
    paper: String,
    /// Its drawing; empty while a search runs.
    drawing: String,
    /// Its middle, mm on the table.
    at: [f64; 2],
    /// Whether the cloth allows it another turn.
    can_be_turned: bool,
}

/// How finely a copy is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Fineness {
    /// With its lines and its name.
    Whole,
    /// Its outline alone.
    Outline,
}

/// From the cloth of a ground to the table, on which it lies at a place. On folded cloth across is measured from the fold,
/// which lies in the middle of it.
pub(super) fn to_table(task: &LayTask<'_>, ground: usize, at: Rect) -> Vec2 {
    let is_folded = task.grounds[ground].spread == Spread::Folded
        && matches!(task.grounds[ground].source, GroundSource::Length { .. });
    at.origin().to_vec2() + Vec2::new(if is_folded { at.width() / 2.0 } else { 0.0 }, 0.0)
}

/// A copy as it lies on the table.
pub(super) fn copy_seen(
    task: &LayTask<'_>,
    lying: &LaidCopy,
    (grounds, turns): (&[Rect], usize),
    drawn: Fineness,
) -> Option<CopySeen> {
    let to_table = Affine::translate(to_table(task, lying.ground, *grounds.get(lying.ground)?));
    let outline = to_table * lying.path(task);
    let middle = outline.bounding_box().center();
    let drawing = match drawn {
        Fineness::Whole => group_in_page(&picture::copy(task, lying, to_table, LETTERS), MAGNIFIED),
        Fineness::Outline => String::new(),
    };
    Some(CopySeen {
        number: lying.copy,
        called: task.copies[lying.copy].to_string(),
        paper: path_data(&outline),
        drawing,
        at: [middle.x, middle.y],
        can_be_turned: turns > 1,
    })
}

/// What is used of the cloth, and what meets what.
pub(super) fn told(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> Vec<Remark> {
    let used = task.grounds.iter().zip(&laid.uses).filter(|(_, usage)| usage.copies > 0);
    let used = used.map(|(ground, usage)| {
        let left = usage.left_over(unit).map_or_else(String::new, |left| format!(", {left}"));
        Remark::plain(format!("{}: {} used{left}.", ground.name(), usage.used_of(ground.size().1, unit)))
    });
    let levels = laid.levels.iter().flat_map(|level| lines(level.is_met(), level.sentences(unit)));
    let seams = laid
        .matches
        .iter()
        .flat_map(|seam| seam.told(unit))
        .flat_map(|told| lines(told.is_met, told.sentences));
    used.chain(levels).chain(seams).collect()
}

fn lines(is_met: bool, sentences: Vec<String>) -> impl Iterator<Item = Remark> {
    sentences.into_iter().map(move |sentence| Remark {
        good: Some(is_met),
        ..Remark::plain(format!("{}.", capital(&sentence)))
    })
}
