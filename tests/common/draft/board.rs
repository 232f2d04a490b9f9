//! The drafting board: pieces with their edges and marks, before they are laid on a sheet.

use kurbo::{Affine, BezPath, Point, Vec2};

use super::curve::{self, Station};

/// Seam allowance of the drafts, in millimetres (⅝ in is the home standard; 15 mm in metric).
pub const SEAM_ALLOWANCE: f64 = 15.0;
/// Depth of the hems that are turned up, in millimetres.
pub const HEM_DEPTH: f64 = 40.0;
/// How far a notch stands out of the seamline, in millimetres.
const NOTCH_DEPTH: f64 = 6.0;
/// Ends of edges that are farther apart than this are a fault of the draft, in millimetres.
const JOINT: f64 = 1e-6;

/// How an edge is finished, with the allowance of a free one in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finish {
    Seam,
    Hem,
    Fold,
    Free(f64),
}

/// One named stretch of an outline. Paths run clockwise as seen.
#[derive(Clone, Debug)]
pub struct Edge {
    pub name: String,
    pub path: BezPath,
    pub finish: Finish,
    pub sewn_to: Option<String>,
    pub ease: Option<f64>,
}

impl Edge {
    pub fn seam(name: &str, path: BezPath) -> Self {
        Self::of(name, path, Finish::Seam)
    }

    pub fn hem(name: &str, path: BezPath) -> Self {
        Self::of(name, path, Finish::Hem)
    }

    pub fn fold(name: &str, path: BezPath) -> Self {
        Self::of(name, path, Finish::Fold)
    }

    /// An edge that is bound, faced or lapped, with `allowance` millimetres beyond it.
    pub fn free(name: &str, path: BezPath, allowance: f64) -> Self {
        Self::of(name, path, Finish::Free(allowance))
    }

    /// Declares the seam on this edge, as `data-sewn-to` says it.
    pub fn sewn_to(mut self, partners: &str) -> Self {
        self.sewn_to = Some(partners.to_owned());
        self
    }

    /// Declares that this edge is longer than its partners by `ease` millimetres.
    pub fn eased(mut self, ease: f64) -> Self {
        self.ease = Some(ease);
        self
    }

    fn of(name: &str, path: BezPath, finish: Finish) -> Self {
        Self { name: name.to_owned(), path, finish, sewn_to: None, ease: None }
    }
}

/// A mark on a piece, by the kind that the sheet gives it.
#[derive(Clone, Debug)]
pub struct Mark {
    pub name: String,
    pub kind: MarkKind,
    pub path: BezPath,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    Dart,
    Grainline,
    Level,
    Notch(Notch),
    /// A single point: the start of the path.
    Point,
    StyleLine,
    /// A pocket or buttonhole place, or a centre line: carried with the cloth, never cut.
    Placement,
}

/// Front notches are single and back notches double, so that left and right are told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notch {
    Single,
    Double,
}

/// How many copies are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    One,
    Pair,
}

/// What a piece is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// For itself.
    Plain,
    /// A lining.
    Lining,
}

/// Whether the levels of a piece count towards the garment's girth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Girth {
    Counted,
    NotCounted,
}

/// A dart in an edge: its mouth in the direction of the edge, and its tip.
#[derive(Clone, Copy, Debug)]
pub struct Dart {
    pub mouth: [Point; 2],
    pub tip: Point,
}

impl Dart {
    /// A dart with its mouth centred at `centre`, aimed at `target`, whose tip stands `stand_off`
    /// short of it. `along` is the direction of the edge at the mouth.
    pub fn aimed(centre: Point, half_mouth: f64, target: Point, stand_off: f64, along: Vec2) -> Self {
        let axis = (target - centre).normalize();
        let across = curve::square_to(axis);
        let across = across * across.dot(along).signum();
        Self {
            mouth: [centre - across * half_mouth, centre + across * half_mouth],
            tip: target - axis * stand_off,
        }
    }

    /// Direction of an edge that runs square to the leg at the mouth's first or second end, so that
    /// the edge runs on straight when the dart is closed. `along` tells which of the two ways.
    pub fn square_to_leg(&self, end: usize, along: Vec2) -> Vec2 {
        let square = curve::square_to((self.tip - self.mouth[end]).normalize());
        square * square.dot(along).signum()
    }

    pub fn path(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.mouth[0]);
        path.line_to(self.tip);
        path.line_to(self.mouth[1]);
        path
    }
}

/// An edge with darts in it: stretches of seamline and, between them, the mouths of the darts.
#[derive(Clone, Debug)]
pub struct DartedEdge {
    pub stretches: Vec<BezPath>,
    pub darts: Vec<Dart>,
}

impl DartedEdge {
    /// The edge as drawn, straight across each mouth.
    pub fn path(&self) -> BezPath {
        let mut parts = vec![self.stretches[0].clone()];
        for (dart, stretch) in self.darts.iter().zip(&self.stretches[1..]) {
            parts.push(curve::line(dart.mouth[0], dart.mouth[1]));
            parts.push(stretch.clone());
        }
        curve::chain(&parts)
    }

    /// Sewn length: the edge less its mouths.
    pub fn sewn_length(&self) -> f64 {
        self.stretches.iter().map(curve::length).sum()
    }

    /// The station at a sewn distance from the start of the edge.
    pub fn station(&self, sewn: f64) -> Station {
        let mut left = sewn;
        let (last, before) = self.stretches.split_last().expect("an edge has a stretch");
        for stretch in before {
            let whole = curve::length(stretch);
            if left < whole {
                return curve::station(stretch, left);
            }
            left -= whole;
        }
        curve::station(last, left)
    }

    /// The same edge in the opposite direction.
    pub fn reversed(&self) -> Self {
        Self {
            stretches: self.stretches.iter().rev().map(curve::reversed).collect(),
            darts: self
                .darts
                .iter()
                .rev()
                .map(|dart| Dart { mouth: [dart.mouth[1], dart.mouth[0]], tip: dart.tip })
                .collect(),
        }
    }
}

/// A piece on the board.
#[derive(Clone, Debug)]
pub struct Piece {
    pub name: String,
    pub cut: Cut,
    pub cloth: &'static str,
    pub girth: Girth,
    pub purpose: Purpose,
    pub edges: Vec<Edge>,
    pub marks: Vec<Mark>,
}

impl Piece {
    /// A piece of the main cloth.
    pub fn new(name: &str, cut: Cut) -> Self {
        Self {
            name: name.to_owned(),
            cut,
            cloth: "main",
            girth: Girth::Counted,
            purpose: Purpose::Plain,
            edges: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// The same piece, cut from another cloth.
    pub fn of_cloth(mut self, cloth: &'static str) -> Self {
        self.cloth = cloth;
        self
    }

    /// The same piece as a lining: of its own cloth, its levels left out of the garment's girth.
    pub fn lining(mut self) -> Self {
        self.girth = Girth::NotCounted;
        self.purpose = Purpose::Lining;
        self.of_cloth("lining")
    }

    /// Adds the next edge, clockwise.
    ///
    /// # Panics
    /// When it does not begin where the last one ended.
    pub fn edge(&mut self, edge: Edge) {
        if let Some(last) = self.edges.last() {
            let gap = (curve::start(&edge.path) - curve::end(&last.path)).hypot();
            assert!(gap < JOINT, "{}.{}: {gap} mm off", self.name, edge.name);
        }
        self.edges.push(edge);
    }

    /// A notch across the seamline at a station of one of the edges.
    pub fn notch(&mut self, name: &str, notch: Notch, station: Station) {
        let outward = Vec2::new(station.along.y, -station.along.x);
        self.mark(name, MarkKind::Notch(notch), curve::line(station.at, station.at + outward * NOTCH_DEPTH));
    }

    pub fn level(&mut self, name: &str, from: Point, to: Point) {
        self.mark(name, MarkKind::Level, curve::line(from, to));
    }

    pub fn grain(&mut self, from: Point, to: Point) {
        self.mark("grain", MarkKind::Grainline, curve::line(from, to));
    }

    pub fn point(&mut self, name: &str, at: Point) {
        self.mark(name, MarkKind::Point, curve::line(at, at));
    }

    pub fn dart(&mut self, name: &str, dart: &Dart) {
        self.mark(name, MarkKind::Dart, dart.path());
    }

    pub fn mark(&mut self, name: &str, kind: MarkKind, path: BezPath) {
        self.marks.push(Mark { name: name.to_owned(), kind, path });
    }

    /// The piece moved, turned or mirrored; a mirrored outline runs clockwise again.
    pub fn placed(mut self, by: Affine) -> Self {
        let mirrored = by.determinant() < 0.0;
        for edge in &mut self.edges {
            edge.path.apply_affine(by);
            if mirrored {
                edge.path = curve::reversed(&edge.path);
            }
        }
        if mirrored {
            self.edges.reverse();
        }
        for mark in &mut self.marks {
            mark.path.apply_affine(by);
        }
        self
    }

    /// The piece mirrored left to right.
    pub fn mirrored(self) -> Self {
        self.placed(Affine::FLIP_X)
    }

    /// The whole outline as one path.
    ///
    /// # Panics
    /// When the last edge does not end where the first began.
    pub fn outline(&self) -> BezPath {
        let outline = curve::chain(self.edges.iter().map(|edge| &edge.path));
        let gap = (curve::end(&outline) - curve::start(&outline)).hypot();
        assert!(gap < JOINT, "{}: outline open by {gap} mm", self.name);
        outline
    }
}
