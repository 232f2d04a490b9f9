//! What of a drawing that is brought in a person is shown.

use kurbo::{BezPath, Shape};
use serde::Serialize;

use crate::adopt::{
    Called, Found, Map, MapThing, NOTHING, OfferedSize, SaidAt, SizeChoice, StyleId, labelled, offered_sizes,
};
use crate::canvas::{ForeignThing, foreign_in_page, group_in_page, path_data};
use crate::drawing::Note;
use crate::show::report::with_capital;
use crate::table::bring::missing::{MissingSeen, of_drawing, of_map};
use crate::table::bring::reading::ReadSoFar;
use crate::table::bring::state::Bring;
use crate::table::said::{Refused, Remark};
use crate::table::seen::verdicts;

/// How far a drawing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// There is none.
    Nothing,
    /// It is being read.
    Reading,
    /// It cannot be read.
    Broken,
    /// Its size is to be chosen.
    Size,
    /// Its map is filled in.
    Map,
}

/// A drawing that is brought in.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BringSeen {
    /// How often it changed.
    pub revision: u64,
    /// What it is called.
    pub title: String,
    /// How far it is.
    pub stage: Stage,
    /// What there is to know of it.
    pub says: Vec<Remark>,
    /// Why it cannot be read.
    pub refused: Option<Refused>,
    /// The sizes to be chosen from.
    pub sizes: Vec<SizeSeen>,
    /// Whether there is a size already that can stay.
    pub can_leave_size: bool,
    /// What was found.
    pub outlines: Vec<OutlineSeen>,
    /// Labels and lines, a group of an SVG picture in mm.
    pub labels: String,
    /// How often something else lay beneath.
    pub drawn: u64,
    /// The box around it all: left, top, width, height, mm.
    pub bounds: [f64; 4],
    /// What is missing.
    pub missing: Vec<MissingSeen>,
    /// What nothing that can be said here mends: to be looked at twice.
    pub twice: Vec<MissingSeen>,
    /// Whether the pattern can be made.
    pub can_make: bool,
    /// Whether something can be taken back.
    pub can_undo: bool,
    /// Whether something taken back can be done again.
    pub can_do_again: bool,
    /// Why the map on disk cannot be gone on with.
    pub outside: Option<String>,
    /// What happened that nobody here did.
    pub news: Option<String>,
}

/// A size to be chosen.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeSeen {
    /// How it is chosen.
    pub choice: SizeChoice,
    /// What it is called.
    pub says: String,
    /// Its line, as the data of an SVG path; empty where it is not drawn yet.
    pub line: String,
    /// Dashes and gaps of its line, mm.
    pub dashes: Vec<f64>,
    /// The colour of its line.
    pub colour: String,
}

/// An outline as it is drawn on the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OutlineSeen {
    /// Its letter.
    pub letter: String,
    /// What it is called.
    pub called: String,
    /// Its line, as the data of an SVG path.
    pub paper: String,
    /// Whether it is a piece.
    pub is_piece: bool,
    /// Its edges, those of a piece alone.
    pub edges: Vec<PartSeen>,
    /// The lines within it.
    pub lines: Vec<PartSeen>,
}

/// An edge or a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PartSeen {
    /// What it is.
    pub thing: MapThing,
    /// What it is called.
    pub called: String,
    /// Its line, as the data of an SVG path.
    pub line: String,
}

impl Bring {
    /// What of it a person is shown.
    #[must_use]
    pub fn seen(&self) -> BringSeen {
        let mut seen = BringSeen {
            revision: self.revision(),
            title: self.title(),
            stage: Stage::Nothing,
            says: Vec::new(),
            refused: None,
            sizes: Vec::new(),
            can_leave_size: false,
            outlines: Vec::new(),
            labels: String::new(),
            drawn: self.drawn(),
            bounds: [0.0, 0.0, 1.0, 1.0],
            missing: Vec::new(),
            twice: Vec::new(),
            can_make: false,
            can_undo: self.can_undo(),
            can_do_again: self.can_do_again(),
            outside: self.outside().map(str::to_owned),
            news: self.news().map(str::to_owned),
        };
        match self.standing() {
            ReadSoFar::Nothing => {}
            ReadSoFar::Reading => seen.stage = Stage::Reading,
            ReadSoFar::Broken(why) => {
                seen.stage = Stage::Broken;
                seen.refused = Some(why.clone());
            }
            ReadSoFar::Read { .. } if self.choosing().is_some() => {
                seen.stage = Stage::Size;
                seen.can_leave_size = true;
                if let Some(all) = self.choosing() {
                    (seen.bounds, seen.sizes) = (bounds(all), sizes(all));
                }
            }
            ReadSoFar::Read { found, .. } => {
                seen.bounds = bounds(found);
                seen.says = told(found);
                match self.mapped() {
                    Some((found, map, _)) => self.see_map(&mut seen, found, map),
                    None => {
                        seen.stage = Stage::Size;
                        seen.sizes = sizes(found);
                        seen.missing = of_drawing(found, self.unit());
                    }
                }
            }
        }
        let (missing, twice) =
            seen.missing.into_iter().partition(|missing| missing.wrong || !missing.answers.is_empty());
        (seen.missing, seen.twice) = (missing, twice);
        seen
    }

    fn see_map(&self, seen: &mut BringSeen, found: &Found, map: &Map) {
        seen.stage = Stage::Map;
        let pieces = map.mapped(found);
        let labels = labelled(found, &Called::AsMapped(map, &pieces));
        seen.labels = group_in_page(&labels.drawing, labels.magnified);
        seen.outlines = outlines(found, map);
        seen.missing = of_drawing(found, self.unit());
        let Some(tried) = self.tried() else { return };
        seen.can_make = tried.pattern.is_some();
        seen.missing.extend(of_map(found, map, &tried, self.unit()));
        if let Some(pattern) = &tried.pattern {
            seen.says.push(verdicts(pattern, None, self.unit()).is_true);
        }
    }

    /// The drawing as it is seen, and where its pages meet, a group of an SVG picture in mm; empty where none was read.
    #[must_use]
    pub fn beneath(&self) -> String {
        /// The accuracy of straight lines, mm: any does.
        const STRAIGHT: f64 = 1.0;
        let Some(found) = self.choosing().or(self.found()) else { return String::new() };
        let pages = found.pages.iter().flat_map(|told| &told.drawings).flat_map(|drawing| &drawing.pages);
        let windows: Vec<BezPath> =
            pages.filter_map(|page| page.window).map(|window| window.to_path(STRAIGHT)).collect();
        let joins = windows.iter().map(|path| ForeignThing::Line {
            path,
            colour: PAGE_JOIN.to_owned(),
            width: 1.0,
            dash: &[1.0, 5.0],
        });
        foreign_in_page(found.beneath.things(&found.styles).chain(joins))
    }
}

/// The colour of the lines along which pages meet.
const PAGE_JOIN: &str = "#999999";

/// What the reader tells of a drawing.
fn told(found: &Found) -> Vec<Remark> {
    let pages = found.pages.iter().flat_map(|pages| pages.lines());
    // Layers that are switched off are among the sizes to be chosen from.
    let notes = found.notes.iter().filter(|note| !matches!(note, Note::HiddenLayers { .. }));
    let notes = notes.map(ToString::to_string);
    pages.chain(notes).map(|line| Remark::plain(format!("{}.", with_capital(&line)))).collect()
}

fn bounds(found: &Found) -> [f64; 4] {
    /// Ground around the drawing, as a share of its longer side: names stand there that have no room in their pieces.
    const AROUND: f64 = 0.05;
    let all = found.bounds().into_iter().chain(found.beneath.bounds());
    let all = all.reduce(|a, b| a.union(b)).unwrap_or(NOTHING);
    let around = AROUND * all.width().max(all.height());
    let all = all.inflate(around, around);
    [all.x0, all.y0, all.width(), all.height()]
}

fn sizes(found: &Found) -> Vec<SizeSeen> {
    let offered = offered_sizes(found);
    let count = offered.len();
    let seen = offered.iter().enumerate().map(|(at, size)| size_seen(found, size, at, count));
    seen.collect()
}

fn size_seen(found: &Found, size: &OfferedSize, at: usize, count: usize) -> SizeSeen {
    let style = size.style.and_then(|style: StyleId| found.styles.get(style));
    let mut line = BezPath::new();
    size.outlines.iter().for_each(|at| line.extend(found.outlines[*at].ring.to_path()));
    let place = match at {
        0 => ", the smallest".to_owned(),
        at if at + 1 == count => ", the largest".to_owned(),
        _ => String::new(),
    };
    let says = match (&size.choice, size.outlines.is_empty()) {
        (SizeChoice::Layer(name), false) => name.clone(),
        (SizeChoice::Layer(name), true) => format!("{name}, switched off in the file"),
        _ => format!("{} of {count}{place}", at + 1),
    };
    SizeSeen {
        choice: size.choice.clone(),
        says,
        line: path_data(&line),
        dashes: style.map(|style| style.dashes.clone()).unwrap_or_default(),
        colour: style.map(|style| style.colour_text()).unwrap_or_default(),
    }
}

fn outlines(found: &Found, map: &Map) -> Vec<OutlineSeen> {
    let seen = found.outlines.iter().enumerate().map(|(at, outline)| {
        let letter = outline.letter.to_string();
        let name = map.piece_name(&letter);
        let edges = outline.edges.iter().enumerate().map(|(at, edge)| {
            let number = at + 1;
            let called = map.edge_name(found, &letter, number);
            PartSeen {
                thing: MapThing::Edge(letter.clone(), number),
                called: called.unwrap_or_else(|| format!("edge {number} of outline {letter}")),
                line: path_data(&edge.to_path()),
            }
        });
        let lines = found.lines.iter().filter(|line| line.inside == Some(at)).map(|line| {
            let thing = MapThing::Line(line.letter.to_string());
            let is = match map.said_at(found, &thing) {
                Some(SaidAt::Mark(_, sort, _)) => format!(", {}", sort.word()),
                _ => String::new(),
            };
            PartSeen {
                called: format!("line {}{is}", line.letter),
                line: path_data(&line.curve.to_path()),
                thing,
            }
        });
        OutlineSeen {
            called: name.clone().unwrap_or_else(|| format!("outline {letter}")),
            paper: path_data(&outline.ring.to_path()),
            edges: if name.is_some() { edges.collect() } else { Vec::new() },
            lines: lines.collect(),
            is_piece: name.is_some(),
            letter,
        }
    });
    seen.collect()
}
