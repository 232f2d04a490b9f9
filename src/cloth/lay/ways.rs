//! The rules of one item as one projection: any place is moved to the nearest that the rules allow.
//!
//! Every sample and every step of the search goes through it, so that no lay it ever looks at breaks a rule other than
//! by overlap.

use kurbo::Point;

use super::figure::{Figure, TurnedFigure};
use super::ground::{BedRow, SHEETS_APART};
use super::problem::{Axis, Item, PhaseLines, Problem};
use super::turning::TurnAboutOrigin;
use crate::tolerance::{LAY_APART, LAY_OVERLAP};

/// One sheet and one turn that an item may have, with what holds it there.
#[derive(Clone, Debug)]
pub(super) struct AllowedWay {
    pub sheet: usize,
    /// The place in [`Item::turns`].
    pub turn: usize,
    pub degrees: f64,
    /// How far the turn may be off (degrees).
    pub tolerance: f64,
    across: Vec<Comb>,
    along: Vec<Comb>,
}

/// Coordinates that a mark may have.
#[derive(Clone, Debug)]
struct Comb {
    /// From the middle of the figure.
    mark: Point,
    teeth: Teeth,
}

#[derive(Clone, Debug)]
enum Teeth {
    Repeating { first: Vec<f64>, repeat: f64 },
    At(Vec<f64>),
    Together { group: usize, offset: f64, repeat: f64 },
}

/// A place of an item: its way, turn, and where the middle of its figure lies, in the coordinates of [`BedRow`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct ItemPlace {
    pub way: usize,
    pub degrees: f64,
    pub x: f64,
    pub y: f64,
}

/// Where places are looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surroundings<'a> {
    pub ground: &'a BedRow,
    /// For each sheet, the y at which the lay ends.
    pub ends: &'a [f64],
    /// For each group of lines that lie together, the coordinate of one.
    pub together: &'a [f64],
}

/// The names of groups of lines, as places in a list.
#[derive(Clone, Debug, Default)]
pub(super) struct LineGroups {
    names: Vec<(usize, usize, Axis)>,
    /// The greatest repeat of each.
    pub repeats: Vec<f64>,
}

impl LineGroups {
    fn place(&mut self, group: usize, sheet: usize, axis: Axis, repeat: f64) -> usize {
        let name = (group, sheet, axis);
        let place = self.names.iter().position(|known| *known == name).unwrap_or_else(|| {
            self.names.push(name);
            self.repeats.push(repeat);
            self.names.len() - 1
        });
        self.repeats[place] = self.repeats[place].max(repeat);
        place
    }
}

/// All ways of an item.
pub(super) fn ways(
    problem: &Problem,
    item: &Item,
    figure: &Figure,
    groups: &mut LineGroups,
) -> Vec<AllowedWay> {
    let mut ways = Vec::new();
    for sheet in 0..problem.sheets.len() {
        if !item.sheets.contains(&sheet) {
            continue;
        }
        for (turn, allowed) in item.turns.iter().enumerate() {
            let mut way = AllowedWay {
                sheet,
                turn,
                degrees: allowed.degrees,
                tolerance: allowed.tolerance,
                across: Vec::new(),
                along: Vec::new(),
            };
            if way.hold(item, figure) {
                way.match_stripes(item, figure, groups);
                ways.push(way);
            }
        }
    }
    ways
}

impl AllowedWay {
    /// Adds the holds; false where the item must be held but can't be in this way.
    fn hold(&mut self, item: &Item, figure: &Figure) -> bool {
        if item.holds.is_empty() {
            return true;
        }
        let places: Vec<f64> = item
            .holds
            .iter()
            .filter(|hold| hold.sheet == self.sheet && hold.turn == self.turn)
            .map(|hold| hold.across + self.sheet as f64 * SHEETS_APART)
            .collect();
        if places.is_empty() {
            return false;
        }
        self.tolerance = 0.0;
        self.across.push(Comb { mark: (-figure.middle.to_vec2()).to_point(), teeth: Teeth::At(places) });
        true
    }

    fn match_stripes(&mut self, item: &Item, figure: &Figure, groups: &mut LineGroups) {
        for phase in item.phases.iter().filter(|phase| phase.sheet == self.sheet) {
            let beside = if phase.axis == Axis::Across { self.sheet as f64 * SHEETS_APART } else { 0.0 };
            let moved = |lines: &[f64]| lines.iter().map(|line| line + beside).collect();
            let teeth = match &phase.lines {
                PhaseLines::Repeating { first, repeat } => {
                    Teeth::Repeating { first: moved(first), repeat: *repeat }
                }
                PhaseLines::At(lines) => Teeth::At(moved(lines)),
                PhaseLines::Together { group, offset, repeat } => Teeth::Together {
                    group: groups.place(*group, phase.sheet, phase.axis, *repeat),
                    offset: offset + beside,
                    repeat: *repeat,
                },
            };
            let comb = Comb { mark: phase.mark - figure.middle.to_vec2(), teeth };
            match phase.axis {
                Axis::Across => self.across.push(comb),
                Axis::Along => self.along.push(comb),
            }
        }
    }

    /// Whether the place across is free.
    pub fn is_free_across(&self) -> bool {
        self.across.is_empty()
    }

    /// The groups that this way follows.
    pub fn groups(&self) -> impl Iterator<Item = usize> + '_ {
        self.across.iter().chain(&self.along).filter_map(|comb| match comb.teeth {
            Teeth::Together { group, .. } => Some(group),
            _ => None,
        })
    }

    /// The least and greatest x and y within the box of the sheet and before its end; a span may be a hair short of
    /// none, for an item as wide as the sheet. None where there is no room.
    pub fn room(&self, turned: &TurnedFigure, field: Surroundings) -> Option<[(f64, f64); 2]> {
        let bed = field.ground.beds[self.sheet].bounds;
        let own = turned.bounds;
        let across = span(bed.x0 - own.x0, bed.x1 - own.x1)?;
        let along = span(bed.y0 - own.y0, field.ends[self.sheet].min(bed.y1) - own.y1)?;
        Some([across, along])
    }

    /// The nearest place that the rules allow, for a figure at the spot's turn; none where there is none at all.
    pub fn project(&self, spot: ItemPlace, turned: &TurnedFigure, field: Surroundings) -> Option<ItemPlace> {
        let [across, along] = self.room(turned, field)?;
        let x = settle(&self.across, spot.x, across, spot.degrees, field.together, |mark| mark.x)?;
        let y = settle(&self.along, spot.y, along, spot.degrees, field.together, |mark| mark.y)?;
        Some(ItemPlace { x, y, ..spot })
    }
}

fn span(low: f64, high: f64) -> Option<(f64, f64)> {
    if low <= high {
        Some((low, high))
    } else if low - high < 2.0 * LAY_APART {
        let middle = (low + high) / 2.0;
        Some((middle, middle))
    } else {
        None
    }
}

/// The coordinate nearest to a wanted one, within a span and on a tooth of every comb.
fn settle(
    combs: &[Comb],
    wanted: f64,
    (low, high): (f64, f64),
    degrees: f64,
    together: &[f64],
    coordinate: fn(Point) -> f64,
) -> Option<f64> {
    let Some((leading, others)) = combs.split_first() else { return Some(wanted.clamp(low, high)) };
    let turning = TurnAboutOrigin::new(degrees);
    let beyond = |comb: &Comb| coordinate(turning.turn(comb.mark));
    let shift = beyond(leading);
    let fits = |place: &f64| {
        others.iter().all(|comb| {
            let mark = place + beyond(comb);
            comb.teeth.nearest(mark, mark - LAY_OVERLAP, mark + LAY_OVERLAP, together, &|_| true).is_some()
        })
    };
    let tooth = leading.teeth.nearest(
        wanted.clamp(low, high) + shift,
        low - LAY_APART + shift,
        high + LAY_APART + shift,
        together,
        &|tooth| fits(&(tooth - shift)),
    )?;
    Some(tooth - shift)
}

impl Teeth {
    /// The tooth nearest to a coordinate, among those within a span that pass a test.
    fn nearest(
        &self,
        wanted: f64,
        low: f64,
        high: f64,
        together: &[f64],
        passes: &dyn Fn(f64) -> bool,
    ) -> Option<f64> {
        let nearer = |best: Option<f64>, tooth: f64| match best {
            Some(best) if (best - wanted).abs() <= (tooth - wanted).abs() => Some(best),
            _ if tooth >= low && tooth <= high && passes(tooth) => Some(tooth),
            _ => best,
        };
        match self {
            Teeth::At(lines) => lines.iter().copied().fold(None, nearer),
            Teeth::Repeating { first, repeat } => first
                .iter()
                .filter_map(|line| nearest_repeat(*line, *repeat, wanted, low, high, passes))
                .fold(None, nearer),
            Teeth::Together { group, offset, repeat } => {
                nearest_repeat(together[*group] + offset, *repeat, wanted, low, high, passes)
            }
        }
    }
}

/// The nearest line of a repeat, by going outward from the wanted coordinate to both sides.
fn nearest_repeat(
    line: f64,
    repeat: f64,
    wanted: f64,
    low: f64,
    high: f64,
    passes: &dyn Fn(f64) -> bool,
) -> Option<f64> {
    let first = ((wanted - line) / repeat).round();
    let reach = ((high - low) / repeat).ceil() as i64 + 1;
    let side = if line + first * repeat <= wanted { 1.0 } else { -1.0 };
    (0..=2 * reach)
        .map(|step| {
            let out = ((step + 1) / 2) as f64 * if step % 2 == 1 { side } else { -side };
            line + (first + out) * repeat
        })
        .find(|tooth| *tooth >= low && *tooth <= high && passes(*tooth))
}
