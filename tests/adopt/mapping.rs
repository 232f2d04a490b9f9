//! Writes the map of a drawing made of a known pattern, as a person would who sees both.

use std::fmt::Write;

use kurbo::{Affine, Point};
use retrue::adopt::{Found, FoundOutline};
use retrue::allowance::{CuttingLine, cutting_lines};
use retrue::curve::Curve;
use retrue::pattern::{DartShape, EdgeId, Finish, Notch, NotchCount, Pattern, Piece, Press, Run, Selvedge};

use crate::common::commercial::{Drawn, SQUARE_AT, ticks, to_page};

/// How near the drawing comes to the pattern, mm.
const NEAR: f64 = 0.4;

/// Stretches of the drawn outline between walk distances, and what each is of.
struct Plan {
    line: Curve,
    /// Where the line of each edge begins and ends.
    edges: Vec<(EdgeId, f64, f64)>,
}

impl Plan {
    fn of(piece: &Piece, line: &CuttingLine, drawn: Drawn) -> Plan {
        if drawn == Drawn::Seamline {
            let line = Curve::from_path(&piece.outline().to_path()).expect("an outline");
            let mut at = 0.0;
            let edges = piece.edge_ids().map(|id| {
                let from = at;
                at += piece.edge(id).curve.length();
                (id, from, at)
            });
            return Plan { edges: edges.collect(), line };
        }
        let cut = Curve::from_path(&line.path).expect("a cutting line");
        let at = |point: Point| cut.nearest(point).at;
        let count = line.corners.len();
        let edges = line.corners.iter().enumerate().map(|(index, corner)| {
            let before = &line.corners[(index + count - 1) % count];
            (corner.edges.0, at(before.ends.1), at(corner.ends.0))
        });
        Plan { edges: edges.collect(), line: cut.clone() }
    }

    fn within(&self, at: f64, from: f64, to: f64) -> bool {
        if from <= to { from <= at && at <= to } else { at >= from || at <= to }
    }

    /// The edge that a place on the drawn outline belongs to.
    fn owner(&self, at: Point) -> Option<EdgeId> {
        let near = self.line.nearest(at);
        assert!(near.distance <= NEAR, "{near:?} {at:?}");
        self.edges.iter().find(|(_, from, to)| self.within(near.at, *from, *to)).map(|(id, ..)| *id)
    }
}

/// The map of all pieces.
pub fn map_of(pattern: &Pattern, found: &Found, drawn: Drawn, head: &str) -> String {
    let lines = cutting_lines(pattern).expect("cutting lines");
    let square =
        found.outline(found.scale.check().expect("a test square").letter.as_str()).expect("the square");
    let off = square.bounds().origin() - SQUARE_AT;
    let place = Affine::translate(to_page(Point::ORIGIN) - Point::ORIGIN + off);
    let mut map = head.to_owned();
    for piece in pattern.pieces() {
        let line = lines.of(piece.name()).expect("a cutting line");
        let ticks = Ticks::AsSold;
        Mapper { piece, found, drawn, place, ticks, plan: Plan::of(piece, line, drawn) }.write(&mut map);
    }
    seams(pattern, &mut map);
    map
}

/// The map of all pieces as our own print draws them, each in a place of its own.
pub fn map_of_print(pattern: &Pattern, found: &Found, place: impl Fn(&Piece) -> Affine) -> String {
    let lines = cutting_lines(pattern).expect("cutting lines");
    let mut map = String::new();
    for piece in pattern.pieces() {
        let plan = Plan::of(piece, lines.of(piece.name()).expect("a cutting line"), Drawn::CuttingLine);
        let (drawn, ticks) = (Drawn::CuttingLine, Ticks::AsPrinted);
        Mapper { piece, found, drawn, place: place(piece), ticks, plan }.write(&mut map);
    }
    seams(pattern, &mut map);
    map
}

fn seams(pattern: &Pattern, map: &mut String) {
    for seam in pattern.seams() {
        let (first, second) = (&seam.first, &seam.second);
        let _ = writeln!(map, "[[seam]]\nfirst = \"{}\"\nsecond = \"{}\"", first.names(), second.names());
        if seam.ease.mm() != 0.0 {
            let _ = writeln!(map, "ease = \"{}mm\"", seam.ease.mm());
        }
    }
}

/// How notches are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ticks {
    AsSold,
    /// Ticks of another length, of which one end is on the line that is cut.
    AsPrinted,
}

struct Mapper<'a> {
    piece: &'a Piece,
    found: &'a Found,
    drawn: Drawn,
    /// From the sheet to the page as found.
    place: Affine,
    ticks: Ticks,
    plan: Plan,
}

impl Mapper<'_> {
    fn on_page(&self, at: Point) -> Point {
        self.place * at
    }

    fn on_sheet(&self, at: Point) -> Point {
        self.place.inverse() * at
    }

    fn outline(&self) -> &FoundOutline {
        let (page, area) =
            (self.on_page(self.plan.line.bounds().center()), self.plan.line.swept_area().abs());
        let fits = |outline: &&FoundOutline| {
            outline.bounds().center().distance(page) < 2.0 && (outline.ring.area() / area - 1.0).abs() < 5e-3
        };
        self.found.outlines.iter().find(fits).unwrap_or_else(|| {
            let all: Vec<_> = self
                .found
                .outlines
                .iter()
                .map(|o| (o.letter.to_string(), o.bounds().center(), o.ring.area()))
                .collect();
            panic!("no outline for {} at {page:?}, {area}: {all:?}", self.piece.name())
        })
    }

    fn write(&self, map: &mut String) {
        let (piece, outline) = (self.piece, self.outline());
        let drawn = if self.drawn == Drawn::Seamline { "seamline" } else { "cutting-line" };
        let _ = writeln!(
            map,
            "[[piece]]\noutline = \"{}\"\nname = \"{}\"\ndrawn = \"{drawn}\"\ncut = \"{}\"\ncloth = \"{}\"\nignore = [\"all\"]",
            outline.letter,
            piece.name(),
            piece.cut,
            piece.cloth
        );
        if let Some(grain) = &piece.grainline {
            let _ = writeln!(map, "grainline = \"{}\"", self.letter(grain.start, grain.end));
        }
        let joints = self.soft_joints(outline);
        if !joints.is_empty() {
            let places: Vec<String> =
                joints.iter().map(|(_, _, at)| format!("\"({:.4}mm, {:.4}mm)\"", at.x, at.y)).collect();
            let _ = writeln!(map, "soft-joints = [{}]", places.join(", "));
        }
        self.edges(map, outline, &joints);
        self.darts(map);
        self.marks(map);
    }

    /// Where two edges meet within a found edge: its number, how far along, and the place on the page.
    fn soft_joints(&self, outline: &FoundOutline) -> Vec<(usize, f64, Point)> {
        let mut joints = Vec::new();
        for (_, from, to) in &self.plan.edges {
            for at in [from, to] {
                let place = self.on_page(self.plan.line.point_at(*at));
                for (number, edge) in outline.edges.iter().enumerate() {
                    let near = edge.nearest(place);
                    let inside = near.at > 1.0 && near.at < edge.length() - 1.0;
                    let known =
                        joints.iter().any(|(_, _, other): &(usize, f64, Point)| other.distance(place) < 1.0);
                    if near.distance < NEAR && inside && !known {
                        joints.push((number, near.at, place));
                    }
                }
            }
        }
        joints
    }

    fn edges(&self, map: &mut String, outline: &FoundOutline, joints: &[(usize, f64, Point)]) {
        let mut owned: Vec<(EdgeId, Vec<String>)> =
            self.piece.edge_ids().map(|id| (id, Vec::new())).collect();
        let mut all: Vec<(String, Point)> = Vec::new();
        for (number, edge) in outline.edges.iter().enumerate() {
            let mut cuts: Vec<f64> =
                joints.iter().filter(|joint| joint.0 == number).map(|joint| joint.1).collect();
            cuts.sort_by(f64::total_cmp);
            let several = !cuts.is_empty();
            let mut from = 0.0;
            for (part, to) in cuts.into_iter().chain([edge.length()]).enumerate() {
                let sign = if several { char::from(b'a' + part as u8).to_string() } else { String::new() };
                all.push((format!("{}{sign}", number + 1), edge.point_at((from + to) / 2.0)));
                from = to;
            }
        }
        let owners: Vec<Option<EdgeId>> =
            all.iter().map(|(_, at)| self.plan.owner(self.on_sheet(*at))).collect();
        let first = (0..all.len())
            .find(|at| owners[*at].is_some() && owners[*at] != owners[(at + all.len() - 1) % all.len()])
            .unwrap_or(0);
        for step in 0..all.len() {
            let at = (first + step) % all.len();
            if let Some((_, labels)) = owned.iter_mut().find(|(id, _)| Some(*id) == owners[at]) {
                labels.push(all[at].0.clone());
            }
        }
        if owned.len() > 1 {
            for (id, labels) in &mut owned {
                self.clockwise(labels, &all, *id);
            }
        }
        for (id, labels) in owned {
            let edge = self.piece.edge(id);
            assert!(!labels.is_empty(), "{}.{} has no line", self.piece.name(), edge.name);
            let finish = match edge.finish {
                Finish::Seam => "seam",
                Finish::Hem => "hem",
                Finish::Fold => "fold",
                Finish::Free => "free",
            };
            let _ = writeln!(
                map,
                "[[piece.edge]]\nat = \"{}\"\nname = \"{}\"\nfinish = \"{finish}\"\nallowance = \"{}mm\"\nselvedge = {}",
                labels.join(", "),
                edge.name,
                edge.allowance.mm(),
                edge.selvedge == Selvedge::Yes
            );
        }
    }

    /// Puts the labels of an edge in their order along it: none but its own stands between the first and the last.
    fn clockwise(&self, labels: &mut [String], all: &[(String, Point)], id: EdgeId) {
        let curve = &self.piece.edge(id).curve;
        let along = |label: &String| {
            let at = all.iter().find(|(other, _)| other == label).expect("a stretch").1;
            curve.nearest(self.on_sheet(at)).at
        };
        labels.sort_by(|a, b| along(a).total_cmp(&along(b)));
    }

    fn letter(&self, from: Point, to: Point) -> String {
        let (from, to) = (self.on_page(from), self.on_page(to));
        let off = |line: &retrue::adopt::FoundLine| {
            let (a, b) = (line.curve.start(), line.curve.end());
            (a.distance(from).max(b.distance(to))).min(a.distance(to).max(b.distance(from)))
        };
        let best = self.found.lines.iter().min_by(|a, b| off(a).total_cmp(&off(b))).expect("lines");
        assert!(
            off(best) < NEAR,
            "{}: no line from {from:?} to {to:?}, best {}",
            self.piece.name(),
            off(best)
        );
        best.letter.to_string()
    }

    /// The ticks of a notch that end on the line that is cut, as our own print draws them.
    fn printed_ticks(&self, notch: &Notch) -> Vec<String> {
        /// How far the two of a double notch stand from its place, mm.
        const BESIDE: f64 = 2.0;
        let edge = self.piece.edge(self.piece.find_edge(&notch.edge).expect("its edge"));
        let (out, along) = (edge.curve.normal_outward(notch.at), edge.curve.tangent_at(notch.at));
        let beside: &[f64] = if notch.count == NotchCount::Double { &[-BESIDE, BESIDE] } else { &[0.0] };
        let tick = |aside: &f64| {
            let foot = edge.curve.point_at(notch.at) + along * *aside;
            let reach = 1.0 + 2.0 * edge.cut_allowance().mm();
            let ray = Curve::line(foot - out, foot + out * reach).expect("a line");
            let crossed = ray.crossings(&self.plan.line);
            let first = crossed.iter().min_by(|a, b| a.at.total_cmp(&b.at)).expect("the line that is cut");
            self.tick_at(first.point)
        };
        beside.iter().map(tick).collect()
    }

    /// The tick that ends at a place.
    fn tick_at(&self, end: Point) -> String {
        const LONGEST: f64 = 15.0;
        let end = self.on_page(end);
        let off = |line: &&retrue::adopt::FoundLine| {
            line.curve.start().distance(end).min(line.curve.end().distance(end))
        };
        let ticks = self.found.lines.iter().filter(|line| line.curve.length() <= LONGEST);
        let best = ticks.min_by(|a, b| off(a).total_cmp(&off(b))).expect("ticks");
        assert!(off(&best) < NEAR, "{}: no tick at {end:?}, best {}", self.piece.name(), off(&best));
        best.letter.to_string()
    }

    /// The line that runs along both legs of a dart; our own print draws them out to the line that is cut.
    fn printed_dart(&self, first: &Curve, second: &Curve) -> String {
        let places = [first.start(), first.end(), second.start()].map(|place| self.on_page(place));
        let off = |line: &&retrue::adopt::FoundLine| {
            places.iter().map(|place| line.curve.nearest(*place).distance).fold(0.0, f64::max)
        };
        let best = self.found.lines.iter().min_by(|a, b| off(a).total_cmp(&off(b))).expect("lines");
        assert!(off(&best) < NEAR, "{}: no dart at {places:?}, best {}", self.piece.name(), off(&best));
        best.letter.to_string()
    }

    fn darts(&self, map: &mut String) {
        for dart in &self.piece.darts {
            let letter = match &dart.shape {
                DartShape::Open { legs, .. } => match self.ticks {
                    Ticks::AsSold => self.letter(legs.0.start(), legs.1.start()),
                    Ticks::AsPrinted => self.printed_dart(&legs.0, &legs.1),
                },
                DartShape::Double { sides } => {
                    let middle = self.on_page(sides.0.start().midpoint(sides.0.end()));
                    let near = |at: Point| at.distance(middle) < 3.0;
                    let outlines =
                        self.found.outlines.iter().map(|o| (o.letter.to_string(), o.bounds().center()));
                    let lines =
                        self.found.lines.iter().map(|l| (l.letter.to_string(), l.curve.bounds().center()));
                    outlines.chain(lines).find(|(_, at)| near(*at)).expect("a double dart").0
                }
            };
            let _ = writeln!(map, "[[piece.dart]]\nname = \"{}\"\ndrawn = \"{letter}\"", dart.name);
            if let Press::Toward(edge) = &dart.press {
                let _ = writeln!(map, "press = \"{edge}\"");
            }
        }
    }

    fn marks(&self, map: &mut String) {
        for (notch, ticks) in self.piece.notches.iter().zip(ticks(self.piece, self.drawn)) {
            let letters: Vec<String> = match self.ticks {
                Ticks::AsSold => ticks.iter().map(|(from, to)| self.letter(*from, *to)).collect(),
                Ticks::AsPrinted => self.printed_ticks(notch),
            };
            let count = if notch.count == NotchCount::Double { 2 } else { 1 };
            let letters = letters.join(" ");
            let _ = writeln!(
                map,
                "[[piece.notch]]\nname = \"{}\"\ndrawn = \"{letters}\"\ncount = {count}",
                notch.name
            );
        }
        for level in &self.piece.levels {
            let letters: Vec<String> =
                level.stretches.iter().map(|(from, to)| self.letter(*from, *to)).collect();
            let _ = writeln!(
                map,
                "[[piece.level]]\nname = \"{}\"\ndrawn = \"{}\"",
                level.name,
                letters.join(" ")
            );
        }
        for style in &self.piece.style_lines {
            let letter = self.letter(style.curve.start(), style.curve.end());
            let _ = writeln!(map, "[[piece.style-line]]\nname = \"{}\"\ndrawn = \"{letter}\"", style.name);
        }
        for point in &self.piece.points {
            let at = self.on_page(point.at);
            let near = |line: &&retrue::adopt::FoundLine| line.curve.bounds().center().distance(at) < NEAR;
            let line = self
                .found
                .lines
                .iter()
                .find(|line| line.curve.length() < 30.0 && near(line))
                .expect("a point");
            let _ = writeln!(map, "[[piece.point]]\nname = \"{}\"\ndrawn = \"{}\"", point.name, line.letter);
        }
    }
}

/// The names of both sides of a seam, whichever stands first.
pub fn seam_names(first: &Run, second: &Run) -> [String; 2] {
    let mut names = [first.names(), second.names()];
    names.sort();
    names
}
