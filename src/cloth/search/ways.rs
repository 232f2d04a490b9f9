//! The rules of one item as one projection: any place is moved to the nearest that the rules allow.
//!
//! Every sample and every step of the search goes through it, so that no lay it ever looks at breaks a rule other than
//! by overlap.

use kurbo::Point;

use super::figure::{Figure, TurnedFigure};
use super::ground::{BedRow, SHEETS_APART};
use super::polygon::Bounds;
use super::problem::{Axis, Item, LinesAlike, MarksAround, Phase, PhaseLines, Problem};
use super::random::Random;
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
    Together { group: usize, offset: f64, alike: LinesAlike },
    Opposite { group: usize, twice_about: f64, repeat: f64 },
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
    names: Vec<(usize, Axis)>,
    /// For each, what its line is chosen among.
    pub choices: Vec<LineChoice>,
}

/// What the line of a group is chosen among: all kinds of lines are found there.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum LineChoice {
    /// Within a repeat.
    Within(f64),
    /// Between the first and the last line at which everything that follows the group has room, where marks lie around
    /// it.
    Around { low: f64, high: f64, marks: MarksAround },
}

impl LineChoice {
    /// Serves one more follower of the group as well.
    fn add(&mut self, other: LineChoice) {
        match (self, other) {
            (LineChoice::Within(repeat), LineChoice::Within(more)) => *repeat = repeat.max(more),
            (LineChoice::Around { low, high, .. }, LineChoice::Around { low: from, high: to, .. })
                if low.max(from) <= high.min(to) =>
            {
                (*low, *high) = (low.max(from), high.min(to));
            }
            (LineChoice::Around { .. } | LineChoice::Within(_), _) => {}
        }
    }

    /// One line; among marks no farther from the first than a reach.
    pub fn choose(&self, random: &mut Random, reach: f64) -> f64 {
        match self {
            LineChoice::Within(repeat) => random.between(0.0, *repeat),
            LineChoice::Around { low, high, marks } => {
                let line = random.between(*low, high.min(low + reach));
                marks.nearest_marked(line, (*low, *high)).unwrap_or(line)
            }
        }
    }

    /// The line after all that lies beyond a cut has moved toward the beginning: one among repeats is as good as before.
    pub fn moved_up(&self, line: f64, cut: f64, by: f64) -> f64 {
        match self {
            LineChoice::Around { low, high, marks } if line > cut => {
                let moved = (line - by).max(*low);
                marks.nearest_marked(moved, (*low, *high)).unwrap_or(moved)
            }
            LineChoice::Around { .. } | LineChoice::Within(_) => line,
        }
    }
}

impl LineGroups {
    fn place(&mut self, group: usize, axis: Axis, choice: LineChoice) -> usize {
        let name = (group, axis);
        let known = self.names.iter().position(|known| *known == name);
        if let Some(place) = known {
            self.choices[place].add(choice);
            return place;
        }
        self.names.push(name);
        self.choices.push(choice);
        self.names.len() - 1
    }
}

/// All ways of an item.
pub(super) fn ways(
    problem: &Problem,
    beds: &BedRow,
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
                way.match_stripes(item, figure, beds.beds[sheet].bounds, groups);
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

    /// Where the line of a group may be for its follower to have room on the sheet.
    fn room_of_line(&self, phase: &Phase, offset: f64, figure: &Figure, bed: Bounds) -> (f64, f64) {
        let own = figure.turned(self.degrees).bounds;
        let mark = TurnAboutOrigin::new(self.degrees).turn(phase.mark - figure.middle.to_vec2());
        let (low, high) = match phase.axis {
            Axis::Across => (mark.x - own.x0, bed.width() + mark.x - own.x1),
            Axis::Along => (bed.y0 + mark.y - own.y0, bed.y1 + mark.y - own.y1),
        };
        (low - offset, high.max(low) - offset)
    }

    fn match_stripes(&mut self, item: &Item, figure: &Figure, bed: Bounds, groups: &mut LineGroups) {
        for phase in item.phases.iter().filter(|phase| phase.sheet == self.sheet) {
            let beside = if phase.axis == Axis::Across { self.sheet as f64 * SHEETS_APART } else { 0.0 };
            let moved = |lines: &[f64]| lines.iter().map(|line| line + beside).collect();
            let teeth = match &phase.lines {
                PhaseLines::Repeating { first, repeat } => {
                    Teeth::Repeating { first: moved(first), repeat: *repeat }
                }
                PhaseLines::At(lines) => Teeth::At(moved(lines)),
                PhaseLines::Together { group, offset, alike } => {
                    let choice = match alike {
                        LinesAlike::Repeat(repeat) => LineChoice::Within(*repeat),
                        LinesAlike::Marks(marks) => {
                            let (low, high) = self.room_of_line(phase, *offset, figure, bed);
                            LineChoice::Around { low, high, marks: marks.clone() }
                        }
                    };
                    let group = groups.place(*group, phase.axis, choice);
                    Teeth::Together { group, offset: offset + beside, alike: alike.clone() }
                }
                PhaseLines::Opposite { group, about, repeat } => {
                    let group = groups.place(*group, phase.axis, LineChoice::Within(*repeat));
                    Teeth::Opposite { group, twice_about: 2.0 * about + beside, repeat: *repeat }
                }
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
            Teeth::Together { group, .. } | Teeth::Opposite { group, .. } => Some(group),
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
            Teeth::Together { group, offset, alike: LinesAlike::Repeat(repeat) } => {
                nearest_repeat(together[*group] + offset, *repeat, wanted, low, high, passes)
            }
            Teeth::Opposite { group, twice_about, repeat } => {
                nearest_repeat(twice_about - together[*group], *repeat, wanted, low, high, passes)
            }
            Teeth::Together { group, offset, alike: LinesAlike::Marks(around) } => {
                let span = (low - offset, high - offset);
                let passes = |line: f64| passes(line + offset);
                let line = around.nearest(together[*group], wanted - offset, span, &passes)?;
                Some(line + offset)
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
