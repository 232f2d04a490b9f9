//! Reads the pieces of a sheet: edges clockwise, each point where it lies on the sheet.

use kurbo::{
    Affine, Arc, BezPath, ParamCurve, ParamCurveArclen, ParamCurveCurvature, ParamCurveDeriv,
    ParamCurveNearest, PathSeg, Point, Shape, SvgArc, Vec2,
};
use roxmltree::{Document, Node};
use svgtypes::{PathParser, PathSegment};

use super::{JOINT, turn};

/// Accuracy of lengths and of arcs turned into cubics, in millimetres.
const ACCURACY: f64 = 1e-9;

pub struct Sheet {
    pub pieces: Vec<Piece>,
}

pub struct Piece {
    pub name: String,
    /// Clockwise; each begins where the one before ends.
    pub edges: Vec<Edge>,
    pub darts: Vec<Dart>,
    pub notches: Vec<Notch>,
    pub levels: Vec<Level>,
    pub grainlines: usize,
}

pub struct Edge {
    pub name: String,
    pub path: BezPath,
    pub finish: String,
    pub allowance: String,
    pub sewn_to: Option<String>,
    pub ease: f64,
    /// Walk distances along the edge between which the mouths of darts lie.
    pub mouths: Vec<(f64, f64)>,
}

pub struct Dart {
    pub name: String,
    pub points: Vec<Point>,
    pub closed: bool,
}

pub struct Notch {
    pub name: String,
    pub at: Point,
    pub outward: Vec2,
    pub count: String,
}

pub struct Level {
    pub name: String,
    pub ends: [Point; 2],
}

impl Sheet {
    /// # Panics
    /// When the text is no sheet, or the outline of a piece does not close within `JOINT`.
    pub fn read(text: &str) -> Self {
        let document = Document::parse(text).expect("the sheet is XML");
        let mut pieces = Vec::new();
        gather(document.root_element(), Affine::IDENTITY, &mut pieces);
        assert!(!pieces.is_empty(), "the sheet holds no piece");
        Self { pieces }
    }

    pub fn piece(&self, name: &str) -> Option<&Piece> {
        self.pieces.iter().find(|piece| piece.name == name)
    }
}

impl Piece {
    pub fn edge(&self, name: &str) -> Option<usize> {
        self.edges.iter().position(|edge| edge.name == name)
    }

    /// First corner of an edge, clockwise.
    ///
    /// # Panics
    /// When the piece has no such edge.
    pub fn start_of(&self, edge: &str) -> Point {
        ends(&self.edges[self.edge(edge).expect("the edge is there")]).0
    }

    /// Last corner of an edge, clockwise.
    ///
    /// # Panics
    /// When the piece has no such edge.
    pub fn end_of(&self, edge: &str) -> Point {
        ends(&self.edges[self.edge(edge).expect("the edge is there")]).1
    }

    /// Width of the piece as drawn along a level.
    ///
    /// # Panics
    /// When the piece has no such level.
    pub fn level_width(&self, level: &str) -> f64 {
        let found = self.levels.iter().find(|drawn| drawn.name == level);
        let [from, to] = found.expect("the level is there").ends;
        (to - from).hypot()
    }

    pub fn contains(&self, point: Point) -> bool {
        let mut outline = BezPath::new();
        for edge in &self.edges {
            let kept = usize::from(!outline.elements().is_empty());
            outline.extend(edge.path.elements()[kept..].iter().copied());
        }
        outline.close_path();
        outline.winding(point) != 0
    }
}

impl Edge {
    /// Length less the mouths of darts.
    pub fn sewn_length(&self) -> f64 {
        length(&self.path) - self.mouths.iter().map(|(from, to)| to - from).sum::<f64>()
    }

    /// Direction in which the edge leaves its first corner.
    pub fn departure(&self) -> Vec2 {
        self.direction_at(0.0, Side::After)
    }

    /// Direction in which the edge reaches its last corner.
    pub fn arrival(&self) -> Vec2 {
        self.direction_at(length(&self.path), Side::Before)
    }

    pub fn distance_to(&self, point: Point) -> f64 {
        let nearest = self.path.segments().map(|part| part.nearest(point, ACCURACY).distance_sq);
        nearest.fold(f64::INFINITY, f64::min).sqrt()
    }

    /// Sewn distance of a point on the edge from its first corner.
    pub fn sewn_distance(&self, point: Point) -> f64 {
        let walked = self.walk_to(point);
        let skipped = self
            .mouths
            .iter()
            .filter(|(_, to)| *to <= walked + ACCURACY)
            .map(|(from, to)| to - from)
            .sum::<f64>();
        walked - skipped
    }

    pub fn holds_mouth(&self, dart: &Dart) -> bool {
        !dart.closed
            && self.distance_to(dart.points[0]) < super::ON_EDGE
            && self.distance_to(dart.points[2]) < super::ON_EDGE
    }

    /// Turn of the edge, in degrees, where the dart's legs meet when it is closed.
    pub fn kink_over(&self, dart: &Dart) -> f64 {
        let tip = dart.points[1];
        let mut mouth = [dart.points[0], dart.points[2]];
        mouth.sort_by(|a, b| self.walk_to(*a).total_cmp(&self.walk_to(*b)));
        let before = self.direction_at(self.walk_to(mouth[0]), Side::Before);
        let after = self.direction_at(self.walk_to(mouth[1]), Side::After);
        turn(before, after) - turn(mouth[0] - tip, mouth[1] - tip)
    }

    /// The smallest radius at which the edge turns into its piece; infinite where it never does.
    pub fn tightest_hollow(&self) -> f64 {
        let bends = self.path.segments().flat_map(|part| {
            (0..=64).map(move |step| match part {
                PathSeg::Line(_) => 0.0,
                PathSeg::Quad(quad) => quad.curvature(f64::from(step) / 64.0),
                PathSeg::Cubic(cubic) => cubic.curvature(f64::from(step) / 64.0),
            })
        });
        let deepest = bends.fold(0.0, f64::min);
        1.0 / deepest.abs()
    }

    fn walk_to(&self, point: Point) -> f64 {
        let mut walked = 0.0;
        let mut best = (f64::INFINITY, 0.0);
        for part in self.path.segments() {
            let nearest = part.nearest(point, ACCURACY);
            if nearest.distance_sq < best.0 {
                let along = part.subsegment(0.0..nearest.t).arclen(ACCURACY);
                best = (nearest.distance_sq, walked + along);
            }
            walked += part.arclen(ACCURACY);
        }
        best.1
    }

    fn direction_at(&self, walked: f64, side: Side) -> Vec2 {
        let mut left = walked;
        let slack = 1e-4;
        let parts: Vec<PathSeg> = self.path.segments().collect();
        for (index, part) in parts.iter().enumerate() {
            let whole = part.arclen(ACCURACY);
            let last = index + 1 == parts.len();
            let within = match side {
                Side::Before => left <= whole + slack,
                Side::After => left < whole - slack,
            };
            if within || last {
                let t = part.inv_arclen(left.clamp(0.0, whole), ACCURACY).clamp(0.0, 1.0);
                return tangent(*part, t);
            }
            left -= whole;
        }
        unreachable!("an edge has a segment")
    }

    fn reversed(mut self) -> Self {
        self.path = self.path.reverse_subpaths();
        self
    }
}

/// Which side of a joint between two curves of an edge.
#[derive(Clone, Copy)]
enum Side {
    Before,
    After,
}

pub fn length(path: &BezPath) -> f64 {
    path.segments().map(|part| part.arclen(ACCURACY)).sum()
}

fn tangent(part: PathSeg, t: f64) -> Vec2 {
    match part {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    }
}

fn gather(node: Node<'_, '_>, outer: Affine, pieces: &mut Vec<Piece>) {
    for child in node.children().filter(Node::is_element) {
        let here = outer * transform(child);
        match child.tag_name().name() {
            "defs" => {}
            "use" => {
                let target = target_of(child);
                let shift = Vec2::new(coordinate(child, "x"), coordinate(child, "y"));
                let here = here * Affine::translate(shift) * transform(target);
                pieces.push(piece(child, target, here));
            }
            "g" if kind(child) == Some("piece") => pieces.push(piece(child, child, here)),
            "g" => gather(child, here, pieces),
            _ => {}
        }
    }
}

/// A piece named by `named`, whose elements stand in `group`.
fn piece(named: Node<'_, '_>, group: Node<'_, '_>, at: Affine) -> Piece {
    let mut edges = Vec::new();
    let mut read = Piece {
        name: named.attribute("id").expect("a piece has an id").to_owned(),
        edges: Vec::new(),
        darts: Vec::new(),
        notches: Vec::new(),
        levels: Vec::new(),
        grainlines: 0,
    };
    for element in group.children().filter(Node::is_element) {
        let id = element.attribute("id").unwrap_or_default();
        let name = id.split('.').nth(1).unwrap_or_default().to_owned();
        let path = at * transform(element) * shape(element);
        let points: Vec<Point> = path.segments().map(|part| part.start()).collect();
        match kind(element) {
            Some("edge") => edges.push(edge(element, name, path)),
            Some("dart") => {
                let closed = points.len() > 2;
                let last = path.segments().last().expect("a dart has legs").end();
                let points = points.into_iter().chain([last]).collect();
                read.darts.push(Dart { name, points, closed });
            }
            Some("notch") => {
                let line = path.segments().next().expect("a notch is a line");
                read.notches.push(Notch {
                    name,
                    at: line.start(),
                    outward: line.end() - line.start(),
                    count: element.attribute("data-count").unwrap_or("1").to_owned(),
                });
            }
            Some("level") => {
                let line = path.segments().next().expect("a level is a line");
                let ends = [line.start(), line.end()];
                read.levels.push(Level { name, ends });
            }
            Some("grainline") => read.grainlines += 1,
            _ => {}
        }
    }
    read.edges = in_order(&read.name, edges);
    for edge in &mut read.edges {
        let mouths = read.darts.iter().filter(|dart| edge.holds_mouth(dart)).map(|dart| {
            let (a, b) = (edge.walk_to(dart.points[0]), edge.walk_to(dart.points[2]));
            (a.min(b), a.max(b))
        });
        edge.mouths = mouths.collect();
    }
    read
}

fn edge(element: Node<'_, '_>, name: String, path: BezPath) -> Edge {
    let text = |attribute: &str| element.attribute(attribute).unwrap_or_default().to_owned();
    let ease = text("data-ease");
    Edge {
        name,
        path,
        finish: text("data-finish"),
        allowance: text("data-allowance"),
        sewn_to: element.attribute("data-sewn-to").map(str::to_owned),
        ease: ease.strip_suffix("mm").map_or(0.0, |ease| ease.parse().expect("millimetres")),
        mouths: Vec::new(),
    }
}

/// The edges end to end, clockwise.
fn in_order(piece: &str, mut edges: Vec<Edge>) -> Vec<Edge> {
    let mut ordered = vec![edges.remove(0)];
    while !edges.is_empty() {
        let end = ends(ordered.last().expect("not empty")).1;
        let next = edges.iter().position(|edge| {
            let (from, to) = ends(edge);
            (from - end).hypot() < JOINT || (to - end).hypot() < JOINT
        });
        let next = edges.remove(next.unwrap_or_else(|| panic!("{piece}: open at {end}")));
        let forward = (ends(&next).0 - end).hypot() < JOINT;
        ordered.push(if forward { next } else { next.reversed() });
    }
    let gap = (ends(&ordered[0]).0 - ends(ordered.last().expect("not empty")).1).hypot();
    assert!(gap < JOINT, "{piece}: outline open by {gap}");
    let area: f64 = ordered.iter().map(|edge| edge.path.area()).sum();
    if area < 0.0 {
        ordered = ordered.into_iter().rev().map(Edge::reversed).collect();
    }
    ordered
}

fn ends(edge: &Edge) -> (Point, Point) {
    let mut parts = edge.path.segments();
    let first = parts.next().expect("an edge has a segment");
    (first.start(), parts.last().unwrap_or(first).end())
}

/// The kind of an element: told by its data, its class, or, for an edge, by its id alone.
fn kind<'a>(element: Node<'a, '_>) -> Option<&'a str> {
    let told = element.attribute("data-kind").or_else(|| element.attribute("class"));
    let bare_edge = element.attribute("id").is_some_and(|id| id.contains('.')).then_some("edge");
    told.or(bare_edge)
}

fn target_of<'a, 'input>(user: Node<'a, 'input>) -> Node<'a, 'input> {
    let href = user.attribute("href").and_then(|href| href.strip_prefix('#'));
    let all = user.document().descendants();
    let mut found = all.filter(|node| node.attribute("id") == href);
    found.next().expect("use names an element")
}

fn transform(node: Node<'_, '_>) -> Affine {
    node.attribute("transform").map_or(Affine::IDENTITY, |text| {
        let read: svgtypes::Transform = text.parse().expect("a transform");
        Affine::new([read.a, read.b, read.c, read.d, read.e, read.f])
    })
}

fn coordinate(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).map_or(0.0, |text| text.parse().expect("a number"))
}

fn shape(element: Node<'_, '_>) -> BezPath {
    if let Some(data) = element.attribute("d") {
        return path_of(data);
    }
    let mut path = BezPath::new();
    for (x, y) in svgtypes::PointsParser::from(element.attribute("points").unwrap_or_default()) {
        if path.elements().is_empty() {
            path.move_to((x, y));
        } else {
            path.line_to((x, y));
        }
    }
    path
}

/// Path data of absolute commands, as the drafts write them.
fn path_of(data: &str) -> BezPath {
    let mut path = BezPath::new();
    let mut at = Point::ZERO;
    for segment in PathParser::from(data) {
        let to = match segment.expect("path data") {
            PathSegment::MoveTo { abs: true, x, y } => {
                path.move_to((x, y));
                Point::new(x, y)
            }
            PathSegment::LineTo { abs: true, x, y } => {
                path.line_to((x, y));
                Point::new(x, y)
            }
            PathSegment::Quadratic { abs: true, x1, y1, x, y } => {
                path.quad_to((x1, y1), (x, y));
                Point::new(x, y)
            }
            PathSegment::CurveTo { abs: true, x1, y1, x2, y2, x, y } => {
                path.curve_to((x1, y1), (x2, y2), (x, y));
                Point::new(x, y)
            }
            PathSegment::EllipticalArc { abs: true, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let to = Point::new(x, y);
                let arc = Arc::from_svg_arc(&SvgArc {
                    from: at,
                    to,
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                });
                let cubics = arc.expect("an arc").append_iter(ACCURACY).collect::<Vec<_>>();
                path.extend(cubics);
                to
            }
            PathSegment::ClosePath { .. } => {
                path.close_path();
                at
            }
            other => panic!("the drafts do not write {other:?}"),
        };
        at = to;
    }
    path
}
