//! How far a pattern that was brought in is from that which was drawn.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::{Affine, Point, Vec2};
use retrue::adopt::{Asked, Correction, Found, SizeChoice, find};
use retrue::allowance::{CuttingLine, cutting_lines};
use retrue::curve::Curve;
use retrue::pattern::{DartShape, Edge, EdgeName, Pattern, Piece};
use retrue::sheet;

use crate::common::commercial::{DASHES, Drawn, MIDDLE, SQUARE_AT, to_page};
use crate::mapping::{map_of, seam_names};
use crate::run::{Bench, fixture};

/// How far apart the places are that are compared, mm.
const STEP: f64 = 2.0;

/// How far beyond its told ends a trimmed stretch reaches, mm: they are told to a tenth of a millimetre, and the corner of
/// an edge that is cut short is as unsure as the edge.
const BEYOND: f64 = 1.0;

/// How far off its allowance the cutting line stands where it was trimmed, mm.
const IS_TRIMMED: f64 = 0.02;

/// At how many places a stretch that is told as trimmed is looked at.
const PLACES: u32 = 40;

pub fn read(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &Default::default()).expect("a pattern").pattern
}

/// What was compared.
#[derive(Clone, Copy, Debug)]
pub struct Adopted {
    pub edges: usize,
    /// How far the worst edge is off, mm.
    pub worst_edge: f64,
    /// Stretches that were told as trimmed.
    pub trimmed: usize,
}

/// What is found of the pattern's own size on a page of several, and the number of its kind of line.
pub fn found_in_size(page: &str) -> (usize, Found) {
    let mut asked = Asked { correction: Correction::Correct, ..Asked::default() };
    let all = find(page.as_bytes(), &asked).expect("found");
    let near = |(a, b): (&f64, &f64)| (a - b).abs() < 0.2;
    let of_size =
        |dashes: &[f64]| dashes.len() == DASHES[MIDDLE].len() && dashes.iter().zip(DASHES[MIDDLE]).all(near);
    let style = all.styles.iter().find(|(_, style)| of_size(&style.dashes)).expect("the size").0.number();
    asked.size = Some(SizeChoice::Style(style));
    (style, find(page.as_bytes(), &asked).expect("found"))
}

/// Adopts a page with the map of a fixture, as a user would, and holds what comes of it to the fixture.
pub fn adopted_is_the_pattern(name: &str, drawn: Drawn, converted: &str, within: f64) -> Adopted {
    let original = read(&fixture(&format!("{name}.svg")));
    let (style, found) = found_in_size(converted);
    let map = map_of(&original, &found, drawn, &format!("correct-scale = true\nsize = \"style {style}\"\n"));
    if let Ok(folder) = std::env::var("RETRUE_KEEP_MAPS") {
        let kept = |ending: &str| Path::new(&folder).join(format!("{name}-{drawn:?}{ending}"));
        std::fs::write(kept(".svg"), converted).expect("written");
        std::fs::write(kept(".toml"), &map).expect("written");
    }
    let bench = Bench::new().with_file("bought.svg", converted).with_file("bought.map.toml", &map);
    let outcome = bench.retrue("adopt bought.svg --map bought.map.toml -o pattern.svg");
    let told = outcome.stderr();
    assert!(bench.path("pattern.svg").exists(), "{name} {drawn:?}: {told}");
    let adopted = read(&bench.text_of("pattern.svg"));
    let square = found.outline(found.scale.check().expect("a square").letter.as_str()).expect("a square");
    let shift = square.bounds().origin() - SQUARE_AT + (to_page(Point::ORIGIN) - Point::ORIGIN);
    Comparison::new(name, &original, &adopted, shift, &told).holds_within(within)
}

/// A stretch of an edge of which it was told that its allowance was trimmed.
struct Notice {
    piece: String,
    edge: String,
    ends: (Point, Point),
}

impl Notice {
    /// What a line says, as in ``front: the cutting line does not tell the seamline of `side` from (1.0mm, 2.0mm) to …``.
    fn of(line: &str) -> Option<Notice> {
        let (piece, rest) =
            line.strip_prefix("not true: ")?.split_once(": the cutting line does not tell ")?;
        let (edge, rest) = rest.split_once("of `")?.1.split_once("` from ")?;
        let (from, rest) = rest.split_once(" to ")?;
        let point = |text: &str| {
            let (x, y) = text.strip_prefix('(')?.split_once(')')?.0.split_once(", ")?;
            let number = |text: &str| text.strip_suffix("mm")?.parse().ok();
            Some(Point::new(number(x)?, number(y)?))
        };
        Some(Notice { piece: piece.to_owned(), edge: edge.to_owned(), ends: (point(from)?, point(rest)?) })
    }

    fn walked(&self, curve: &Curve) -> (f64, f64) {
        let (from, to) = (curve.nearest(self.ends.0).at, curve.nearest(self.ends.1).at);
        (from.min(to), from.max(to))
    }
}

/// Two patterns that should be the same.
pub struct Comparison<'a> {
    name: &'a str,
    original: &'a Pattern,
    adopted: &'a Pattern,
    /// From where a piece of the one lies to where that of the other does.
    place: Box<dyn Fn(&Piece) -> Affine + 'a>,
    told: Vec<Notice>,
    /// How far a notch may be off, where that is not twice what an edge may be.
    notches_within: Option<f64>,
    /// The worst of each kind, and where.
    worst: BTreeMap<&'static str, (f64, String)>,
    /// What is not the same.
    wrong: Vec<String>,
}

impl<'a> Comparison<'a> {
    pub fn new(
        name: &'a str,
        original: &'a Pattern,
        adopted: &'a Pattern,
        shift: Vec2,
        told: &str,
    ) -> Comparison<'a> {
        Comparison::placed(name, original, adopted, move |_| Affine::translate(shift), told)
    }

    /// Of pieces that lie each in a place of its own.
    pub fn placed(
        name: &'a str,
        original: &'a Pattern,
        adopted: &'a Pattern,
        place: impl Fn(&Piece) -> Affine + 'a,
        told: &str,
    ) -> Comparison<'a> {
        let place = Box::new(place);
        let untrue = told.lines().filter(|line| line.starts_with("not true: ") && line.contains("trimmed"));
        let told = untrue.map(|line| Notice::of(line).unwrap_or_else(|| panic!("{name}: {line}"))).collect();
        Comparison {
            name,
            original,
            adopted,
            place,
            told,
            notches_within: None,
            worst: BTreeMap::new(),
            wrong: Vec::new(),
        }
    }

    /// The same with notches held to their own limit.
    pub fn with_notches_within(mut self, within: f64) -> Comparison<'a> {
        self.notches_within = Some(within);
        self
    }

    /// Holds edges, darts, notches, marks and seams to each other.
    #[track_caller]
    pub fn holds_within(mut self, within: f64) -> Adopted {
        let (original, adopted) = (self.original, self.adopted);
        assert_eq!(original.pieces().len(), adopted.pieces().len(), "{}", self.name);
        let mut edges = 0;
        for piece in original.pieces() {
            let came = adopted.find(piece.name()).expect("the piece");
            assert_eq!(piece.edges().len(), came.edges().len(), "{}: {}", self.name, piece.name());
            assert_eq!((piece.cut, &piece.cloth), (came.cut, &came.cloth));
            for edge in piece.edges() {
                let other = came.edge(came.find_edge(&edge.name).expect("the edge"));
                let place = format!("{}.{}", piece.name(), edge.name);
                assert_eq!((edge.finish, edge.allowance), (other.finish, other.allowance), "{place}");
                let far = self.edge_off(piece, edge, other);
                self.near("edge", place, far, within);
                edges += 1;
            }
            self.darts(piece, came, within);
            self.notches(piece, came, self.notches_within.unwrap_or(2.0 * within));
            self.marks(piece, came, within);
        }
        self.seams();
        self.told_is_trimmed();
        for (kind, (far, place)) in &self.worst {
            println!("{}: worst {kind} {far:.4} mm at {place}", self.name);
        }
        assert!(self.wrong.is_empty(), "{}:\n{}", self.name, self.wrong.join("\n"));
        let worst_edge = self.worst.get("edge").map_or(0.0, |(far, _)| *far);
        Adopted { edges, worst_edge, trimmed: self.told.len() }
    }

    fn near(&mut self, kind: &'static str, place: String, far: f64, within: f64) {
        if far > within {
            self.wrong.push(format!("the {kind} {place} is {far:.4} mm off"));
        }
        let worst = self.worst.entry(kind).or_default();
        if far >= worst.0 {
            *worst = (far, place);
        }
    }

    /// Whether a place on an edge that came back lies where it is told that its seamline is not known.
    fn is_told(&self, piece: &Piece, edge: &EdgeName, curve: &Curve, at: f64) -> bool {
        let here =
            self.told.iter().filter(|told| told.piece == piece.name().as_str() && told.edge == edge.as_str());
        here.map(|told| told.walked(curve)).any(|(from, to)| from - BEYOND <= at && at <= to + BEYOND)
    }

    /// Whether a place is a corner up to which the neighbour's seamline is told as unknown.
    fn is_unsure_corner(&self, piece: &Piece, edge: &EdgeName, at: Point) -> bool {
        let id = piece.find_edge(edge).expect("the edge");
        let beside = [piece.previous(id), piece.next(id)].map(|id| piece.edge(id).name.as_str().to_owned());
        let here = self.told.iter().filter(|told| told.piece == piece.name().as_str());
        here.filter(|told| beside.contains(&told.edge))
            .any(|told| told.ends.0.distance(at).min(told.ends.1.distance(at)) <= BEYOND)
    }

    /// How far an edge is off where it is sewn and its seamline is known.
    fn edge_off(&self, piece: &Piece, edge: &Edge, other: &Edge) -> f64 {
        let id = piece.find_edge(&edge.name).expect("the edge");
        let mut far: f64 = 0.0;
        for (from, to) in piece.sewn_stretches(id) {
            let count = ((to - from) / STEP).ceil().max(1.0) as usize;
            for step in 0..=count {
                let at = from + (to - from) * step as f64 / count as f64;
                let near = other.curve.nearest((self.place)(piece) * edge.curve.point_at(at));
                let known = !self.is_told(piece, &edge.name, &other.curve, near.at)
                    && !self.is_unsure_corner(piece, &edge.name, near.point);
                if known {
                    far = far.max(near.distance);
                }
            }
        }
        far
    }

    fn darts(&mut self, piece: &Piece, came: &Piece, within: f64) {
        assert_eq!(piece.darts.len(), came.darts.len(), "{}: {}", self.name, piece.name());
        for dart in &piece.darts {
            let place = format!("{}.{}", piece.name(), dart.name);
            let other = came.dart_named(&dart.name).expect("the dart");
            assert_eq!(dart.press, other.press, "{place}");
            // Of a dart with two tips, either may be drawn first.
            let tips: Vec<Point> = dart.tips().iter().map(|tip| (self.place)(piece) * *tip).collect();
            let mut others = other.tips().to_vec();
            if tips[0].distance(others[0]) > tips[0].distance(others[others.len() - 1]) {
                others.reverse();
            }
            assert_eq!(tips.len(), others.len(), "{place}");
            for (tip, other) in tips.iter().zip(others) {
                self.near("dart's tip", place.clone(), tip.distance(other), within);
            }
            if let (DartShape::Open { mouth, legs }, DartShape::Open { mouth: came_mouth, legs: came_legs }) =
                (&dart.shape, &other.shape)
            {
                assert_eq!(mouth.edge, came_mouth.edge, "{place}");
                let ends = [(&legs.0, &came_legs.0), (&legs.1, &came_legs.1)];
                for (leg, came_leg) in ends {
                    let far = ((self.place)(piece) * leg.start()).distance(came_leg.start());
                    self.near("dart's mouth", place.clone(), far, 1.5 * within);
                }
            }
        }
    }

    fn notches(&mut self, piece: &Piece, came: &Piece, within: f64) {
        assert_eq!(piece.notches.len(), came.notches.len(), "{}: {}", self.name, piece.name());
        for notch in &piece.notches {
            let place = format!("{}.{}", piece.name(), notch.name);
            let other = came.notches.iter().find(|other| other.name == notch.name).expect("the notch");
            assert_eq!((&notch.edge, notch.count), (&other.edge, other.count), "{place}");
            let (edge, came_edge) = (
                piece.find_edge(&notch.edge).expect("its edge"),
                came.find_edge(&notch.edge).expect("its edge"),
            );
            let (curve, came_curve) = (&piece.edge(edge).curve, &came.edge(came_edge).curve);
            if self.is_told(piece, &notch.edge, came_curve, other.at) {
                continue;
            }
            let far =
                ((self.place)(piece) * curve.point_at(notch.at)).distance(came_curve.point_at(other.at));
            self.near("notch", place.clone(), far, within);
            let of_edge =
                |told: &Notice| told.piece == piece.name().as_str() && told.edge == notch.edge.as_str();
            if !self.told.iter().any(of_edge) {
                let far = (piece.to_sewn(edge, notch.at) - came.to_sewn(came_edge, other.at)).abs();
                self.near("notch along its edge", place, far, within);
            }
        }
    }

    fn marks(&mut self, piece: &Piece, came: &Piece, within: f64) {
        let ends_off = |(a, b): (Point, Point), (c, d): (Point, Point)| {
            let (a, b) = ((self.place)(piece) * a, (self.place)(piece) * b);
            a.distance(c).max(b.distance(d)).min(a.distance(d).max(b.distance(c)))
        };
        let mut offs = Vec::new();
        assert_eq!(piece.grainline.is_some(), came.grainline.is_some(), "{}", piece.name());
        if let (Some(grain), Some(other)) = (&piece.grainline, &came.grainline) {
            offs.push(("grainline".to_owned(), ends_off((grain.start, grain.end), (other.start, other.end))));
        }
        assert_eq!(piece.levels.len(), came.levels.len(), "{}", piece.name());
        for level in &piece.levels {
            let other = came.levels.iter().find(|other| other.name == level.name).expect("the level");
            assert_eq!(level.stretches.len(), other.stretches.len(), "{}.{}", piece.name(), level.name);
            for (one, other) in level.stretches.iter().zip(&other.stretches) {
                offs.push((level.name.to_string(), ends_off(*one, *other)));
            }
        }
        assert_eq!(piece.points.len(), came.points.len(), "{}", piece.name());
        for point in &piece.points {
            let other = came.points.iter().find(|other| other.name == point.name).expect("the point");
            offs.push((point.name.to_string(), ((self.place)(piece) * point.at).distance(other.at)));
        }
        assert_eq!(piece.style_lines.len(), came.style_lines.len(), "{}", piece.name());
        for style in &piece.style_lines {
            let other = came.style_lines.iter().find(|other| other.name == style.name).expect("the line");
            let ends = |line: &Curve| (line.start(), line.end());
            offs.push((style.name.to_string(), ends_off(ends(&style.curve), ends(&other.curve))));
        }
        for (name, far) in offs {
            self.near("mark", format!("{}.{name}", piece.name()), far, within);
        }
    }

    fn seams(&mut self) {
        let names = |pattern: &Pattern| {
            let mut names: Vec<_> =
                pattern.seams().iter().map(|seam| seam_names(&seam.first, &seam.second)).collect();
            names.sort();
            names
        };
        assert_eq!(names(self.original), names(self.adopted), "{}", self.name);
        for seam in self.original.seams() {
            if !self.adopted.seams().iter().any(|other| other.is_same(seam)) {
                self.wrong.push(format!("the seam {} is another", seam.name()));
            }
        }
    }

    /// Where an allowance is told as trimmed, it is: which stretches, and why, is printed.
    fn told_is_trimmed(&mut self) {
        let lines = cutting_lines(self.original).expect("cutting lines");
        for told in &self.told {
            let piece = self.original.pieces().find(|piece| piece.name().as_str() == told.piece);
            let piece = piece.expect("the piece");
            let edge = piece.edges().iter().find(|edge| edge.name.as_str() == told.edge).expect("the edge");
            let back = |at: Point| edge.curve.nearest((self.place)(piece).inverse() * at).at;
            let (from, to) = (back(told.ends.0), back(told.ends.1));
            let stretch = (from.min(to), from.max(to));
            let what = format!(
                "{}.{} from {:.1} to {:.1} of {:.1} mm",
                told.piece,
                told.edge,
                stretch.0,
                stretch.1,
                edge.curve.length()
            );
            match why_trimmed(piece, edge, lines.of(piece.name()).expect("a cutting line"), stretch) {
                Some(why) => println!("{}: trimmed {what}: {why}", self.name),
                None => self.wrong.push(format!("{what} is told as trimmed, but was cut at its allowance")),
            }
        }
    }
}

/// Why a stretch of an edge has no cutting line at its allowance; nothing where it has one: over most of its length the line
/// stands there, and no hollow is so tight that it could not.
fn why_trimmed(piece: &Piece, edge: &Edge, line: &CuttingLine, (from, to): (f64, f64)) -> Option<String> {
    let allowance = edge.cut_allowance().mm();
    let cut = Curve::from_path(&line.path).expect("a line");
    let places = || (0..=PLACES).map(|step| from + (to - from) * f64::from(step) / f64::from(PLACES));
    let beside = |at: f64| edge.curve.point_at(at) + edge.curve.normal_outward(at) * allowance;
    let hidden = places().filter(|at| cut.nearest(beside(*at)).distance > IS_TRIMMED).count();
    let bend = places().map(|at| edge.curve.curvature_at(at)).fold(0.0, f64::min);
    let id = piece.find_edge(&edge.name).expect("the edge");
    let shortages = line.shortages(piece);
    let short = shortages.iter().find(|short| short.edge == id && short.from <= to && from <= short.to);
    match short {
        Some(short) => Some(format!("{:.2} mm left of {allowance:.1}", short.left)),
        None if -bend * allowance > 1.0 => {
            Some(format!("a hollow of radius {:.1} mm under {allowance:.1} mm", -1.0 / bend))
        }
        None if 2 * hidden > PLACES as usize => Some("the corner of a neighbour hides it".to_owned()),
        None => None,
    }
}
