//! Whether a problem makes sense at all.

use kurbo::Point;

use super::problem::{LinesAlike, PhaseLines, Problem};
use crate::curve::polygon_area;
use crate::tolerance::{LARGEST_COORDINATE, LAY_OVERLAP};

/// Why a problem can't be searched. Places are those in the lists of [`Problem`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadProblem {
    /// A border or flaw of a sheet is no polygon with an area.
    #[error("a polygon of sheet {sheet} has no area or a coordinate out of range")]
    Sheet {
        /// The sheet.
        sheet: usize,
    },
    /// An outline or clearance of an item is no polygon with an area.
    #[error("a polygon of item {item} has no area or a coordinate out of range")]
    Item {
        /// The item.
        item: usize,
    },
    /// An item names no turn or no sheet, or one that there isn't.
    #[error("item {item} names no turn or sheet, or one that does not exist")]
    Reference {
        /// The item.
        item: usize,
    },
    /// A joint names an item that there isn't, or the likeness has not one grid for each sheet.
    #[error("joint {joint} makes no sense")]
    JoinedItems {
        /// The joint.
        joint: usize,
    },
    /// A number of an item's turns, holds or phases is not finite, negative where it must not be, or a repeat too short.
    #[error("a number in the rules of item {item} makes no sense")]
    Number {
        /// The item.
        item: usize,
    },
}

/// Whether a problem makes sense.
pub(super) fn check(problem: &Problem) -> Result<(), BadProblem> {
    for (place, sheet) in problem.sheets.iter().enumerate() {
        if !is_polygon(&sheet.outline) || !sheet.flaws.iter().all(|flaw| is_polygon(flaw)) {
            return Err(BadProblem::Sheet { sheet: place });
        }
    }
    for (place, item) in problem.items.iter().enumerate() {
        if !is_polygon(&item.outline) || !is_polygon(&item.clearance) {
            return Err(BadProblem::Item { item: place });
        }
        let sheet = |sheet: usize| sheet < problem.sheets.len();
        let named = !item.turns.is_empty()
            && !item.sheets.is_empty()
            && item.sheets.iter().all(|named| sheet(*named))
            && item.holds.iter().all(|hold| sheet(hold.sheet) && hold.turn < item.turns.len())
            && item.phases.iter().all(|phase| sheet(phase.sheet));
        if !named {
            return Err(BadProblem::Reference { item: place });
        }
        let numbers = item
            .turns
            .iter()
            .all(|turn| turn.degrees.is_finite() && turn.tolerance.is_finite() && turn.tolerance >= 0.0)
            && item.holds.iter().all(|hold| in_range(hold.across))
            && item.phases.iter().all(|phase| is_point(&phase.mark) && are_lines(&phase.lines));
        if !numbers {
            return Err(BadProblem::Number { item: place });
        }
    }
    for (place, joint) in problem.likeness.iter().flat_map(|likeness| likeness.joints.iter().enumerate()) {
        let named = joint.items.iter().all(|item| *item < problem.items.len());
        let points = joint.places.iter().flatten().all(is_point);
        let grids =
            problem.likeness.as_ref().is_some_and(|likeness| likeness.grids.len() == problem.sheets.len());
        if !named || !points || !grids || !joint.weight.is_finite() || joint.weight < 0.0 {
            return Err(BadProblem::JoinedItems { joint: place });
        }
    }
    Ok(())
}

fn is_polygon(points: &[Point]) -> bool {
    points.iter().all(is_point) && polygon_area(points).abs() > LAY_OVERLAP * LAY_OVERLAP
}

fn is_point(point: &Point) -> bool {
    in_range(point.x) && in_range(point.y)
}

fn in_range(coordinate: f64) -> bool {
    coordinate.abs() <= LARGEST_COORDINATE
}

fn are_lines(lines: &PhaseLines) -> bool {
    match lines {
        PhaseLines::At(lines) => lines.iter().all(|line| in_range(*line)),
        PhaseLines::Repeating { first, repeat } => {
            first.iter().all(|line| in_range(*line)) && is_repeat(*repeat)
        }
        PhaseLines::Together { offset, alike, .. } => in_range(*offset) && is_sound(alike),
        PhaseLines::Opposite { about, repeat, .. } => in_range(*about) && is_repeat(*repeat),
    }
}

fn is_sound(alike: &LinesAlike) -> bool {
    match alike {
        LinesAlike::Repeat(repeat) => is_repeat(*repeat),
        LinesAlike::Marks(around) => {
            let (before, after) = around.reach;
            let within = around.marks.iter().all(|mark| in_range(mark.at));
            within
                && (-LARGEST_COORDINATE..=0.0).contains(&before)
                && (0.0..=LARGEST_COORDINATE).contains(&after)
        }
    }
}

fn is_repeat(repeat: f64) -> bool {
    in_range(repeat) && repeat > LAY_OVERLAP
}
