//! Random bodices: a front and a back with curved edges and true darts, sewn to one another and to a binding.
//!
//! ```text
//!      neck   shoulder
//!        ·──╮───V──╲          every dart has straight legs of one length;
//!           │       ) armhole      the side dart and the waist dart point at the bust point
//!    centre │   ·  <│
//!           │   Λ   ) side
//!           └───╨──╯
//!              waist
//! ```

#![allow(dead_code, reason = "each test file uses its own part")]

use kurbo::CubicBez;
use proptest::prelude::*;
use retrue::curve::{Curve, Motion, PathSeg, Point, Radians, Vec2};
use retrue::pattern::{
    Cut, Dart, DartShape, Edge, EdgeRef, Finish, GirthUse, Grainline, Kept, Level, Mouth, NamedPoint, Notch,
    NotchCount, Pattern, Piece, Press, Run, RunEdge, Seam, Travel, Walk,
};
use retrue::units::Length;

/// Which way round a piece is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    CentreLeft,
    Mirrored,
}

/// What one half of a bodice is drawn from: lengths in mm, angles in degrees.
#[derive(Clone, Debug)]
pub struct Half {
    pub neck_width: f64,
    pub neck_depth: f64,
    pub shoulder: f64,
    pub slope: f64,
    pub armhole_depth: f64,
    pub quarter: f64,
    pub waist: f64,
    pub length: f64,
    /// How far the side bows out, and how far the waist bows down.
    pub bows: (f64, f64),
    /// Angles of the side dart, the waist dart and the shoulder dart.
    pub side_dart: Option<f64>,
    pub waist_dart: Option<f64>,
    pub shoulder_dart: Option<f64>,
    /// How far the tips of side and waist dart stand off from the bust point.
    pub stand_off: f64,
    pub on_fold: bool,
    pub drawn: Drawn,
    pub turn: f64,
}

/// A front and a back.
#[derive(Clone, Debug)]
pub struct Bodice {
    pub front: Half,
    pub back: Half,
}

prop_compose! {
    fn half()(
        neck_width in 60.0..80.0_f64,
        neck_depth in 15.0..90.0_f64,
        shoulder in 100.0..130.0_f64,
        slope in 25.0..50.0_f64,
        armhole_depth in 190.0..230.0_f64,
        quarter in 215.0..290.0_f64,
        waist_in in 5.0..30.0_f64,
        length in 380.0..450.0_f64,
        bows in (-8.0..8.0_f64, -6.0..6.0_f64),
        side_dart in prop_oneof![1 => Just(None), 4 => (6.0..16.0_f64).prop_map(Some)],
        waist_dart in prop_oneof![1 => Just(None), 4 => (6.0..16.0_f64).prop_map(Some)],
        shoulder_dart in proptest::option::of(4.0..10.0_f64),
        stand_off in 0.0..30.0_f64,
        on_fold in any::<bool>(),
        drawn in prop_oneof![Just(Drawn::CentreLeft), Just(Drawn::Mirrored)],
        turn in prop_oneof![Just(0.0), -3.1..3.1_f64],
    ) -> Half {
        Half {
            neck_width, neck_depth, shoulder, slope, armhole_depth, quarter, waist: quarter - waist_in, length,
            bows, side_dart, waist_dart, shoulder_dart, stand_off, on_fold, drawn, turn,
        }
    }
}

/// Random bodices.
pub fn bodice() -> impl Strategy<Value = Bodice> {
    (half(), half()).prop_map(|(front, back)| Bodice { front, back })
}

/// Random bodices whose front has both a side dart and a waist dart.
pub fn darted_bodice() -> impl Strategy<Value = Bodice> {
    (bodice(), 6.0..16.0_f64, 6.0..16.0_f64).prop_map(|(mut bodice, side, waist)| {
        bodice.front.side_dart = Some(side);
        bodice.front.waist_dart = Some(waist);
        bodice
    })
}

/// A dart in the making: mouth ends in the order of the outline, and the tip.
struct Wedge {
    name: &'static str,
    edge: &'static str,
    from: Point,
    to: Point,
    tip: Point,
}

impl Wedge {
    /// A dart that points at a point, from where its axis meets the mouth; its tip stands off.
    fn new(
        (name, edge): (&'static str, &'static str),
        (point, stand_off): (Point, f64),
        middle: Point,
        degrees: f64,
    ) -> Wedge {
        let tip = point + (middle - point).normalize() * stand_off;
        let end = |share: f64| Motion::turn_about(tip, Radians(degrees.to_radians() * share)).apply(middle);
        Wedge { name, edge, from: end(-0.5), to: end(0.5), tip }
    }
}

fn bowed(from: Point, to: Point, bow: f64) -> PathSeg {
    let way = to - from;
    let out = Vec2::new(way.y, -way.x) * (bow / way.hypot());
    PathSeg::Cubic(CubicBez::new(from, from.lerp(to, 0.3) + out, from.lerp(to, 0.7) + out, to))
}

fn with_mouth(from: Point, to: Point, bow: f64, wedge: Option<&Wedge>) -> Curve {
    let segments = match wedge {
        None => vec![bowed(from, to, bow)],
        Some(wedge) => vec![
            bowed(from, wedge.from, bow / 2.0),
            PathSeg::Line(kurbo::Line::new(wedge.from, wedge.to)),
            bowed(wedge.to, to, bow / 2.0),
        ],
    };
    Curve::new(segments).unwrap()
}

impl Half {
    /// Where the bust point lies before the piece is turned.
    fn bust_point(&self) -> Point {
        Point::new(self.quarter * 0.42, self.armhole_depth + 25.0)
    }

    fn wedges(&self) -> Vec<Wedge> {
        let p = Point::new;
        let bust = self.bust_point();
        let mut wedges = Vec::new();
        if let Some(degrees) = self.shoulder_dart {
            let (neck, point) = (p(self.neck_width, 0.0), p(self.neck_width + self.shoulder, self.slope));
            let from = neck.lerp(point, 0.4);
            let tip = from + Vec2::new(4.0, 75.0);
            wedges.push(Wedge::new(("shoulder-dart", "shoulder"), (tip, 0.0), from, degrees));
        }
        if let Some(degrees) = self.side_dart {
            let (underarm, corner) = (p(self.quarter, self.armhole_depth), p(self.waist, self.length));
            let middle = underarm.lerp(corner, 0.3);
            wedges.push(Wedge::new(("side-dart", "side"), (bust, self.stand_off), middle, degrees));
        }
        if let Some(degrees) = self.waist_dart {
            let middle = p(bust.x, self.length + 3.0);
            wedges.push(Wedge::new(("waist-dart", "waist"), (bust, self.stand_off), middle, degrees));
        }
        wedges
    }

    fn edges(&self, wedges: &[Wedge]) -> Vec<Edge> {
        let p = Point::new;
        let wedge = |name: &str| wedges.iter().find(|wedge| wedge.edge == name);
        let (top, neck) = (p(0.0, self.neck_depth), p(self.neck_width, 0.0));
        let shoulder = p(self.neck_width + self.shoulder, self.slope);
        let underarm = p(self.quarter, self.armhole_depth);
        let (corner, foot) = (p(self.waist, self.length), p(0.0, self.length + 6.0));
        let hollow = CubicBez::new(
            top,
            p(self.neck_width * 0.6, self.neck_depth),
            p(self.neck_width, self.neck_depth * 0.6),
            neck,
        );
        let armhole = CubicBez::new(
            shoulder,
            p(shoulder.x - 14.0, self.armhole_depth * 0.6),
            p(shoulder.x - 6.0, self.armhole_depth - 4.0),
            underarm,
        );
        let cubic = |cubic: CubicBez| Curve::new([PathSeg::Cubic(cubic)]).unwrap();
        let edge = |name: &str, curve: Curve, finish: Finish, allowance: f64| {
            let allowance = Length::from_mm(allowance);
            Edge { finish, allowance, ..Edge::new(name.parse().unwrap(), curve) }
        };
        let centre = if self.on_fold { (Finish::Fold, 0.0) } else { (Finish::Free, 20.0) };
        vec![
            edge("neck", cubic(hollow), Finish::Free, 6.0),
            edge("shoulder", with_mouth(neck, shoulder, 0.0, wedge("shoulder")), Finish::Seam, 15.0),
            edge("armhole", cubic(armhole), Finish::Seam, 15.0),
            edge("side", with_mouth(underarm, corner, self.bows.0, wedge("side")), Finish::Seam, 15.0),
            edge("waist", with_mouth(corner, foot, self.bows.1, wedge("waist")), Finish::Free, 15.0),
            edge("centre", Curve::line(foot, top).unwrap(), centre.0, centre.1),
        ]
    }

    /// The piece of a name, turned, and mirrored where it is drawn so, laid somewhere on the sheet.
    pub fn piece(&self, name: &str, at: Vec2) -> Piece {
        let wedges = self.wedges();
        let mut motion = Motion::turn_about(Point::new(120.0, 200.0), Radians(self.turn));
        if self.drawn == Drawn::Mirrored {
            let mirror = Motion::mirror_in(Point::new(150.0, 0.0), Point::new(150.0, 1.0)).unwrap();
            motion = mirror.then(&motion);
        }
        let motion = motion.then(&Motion::shift(at));
        let mut edges = self.edges(&wedges);
        for edge in &mut edges {
            edge.curve = edge.curve.moved(&motion);
            if self.drawn == Drawn::Mirrored {
                edge.curve = edge.curve.reversed();
            }
        }
        if self.drawn == Drawn::Mirrored {
            edges.reverse();
        }
        let mut piece = Piece::new(name.parse().unwrap(), edges).unwrap();
        piece.cut = if self.on_fold { Cut::ONE } else { Cut::PAIR };
        for wedge in &wedges {
            piece.darts.push(self.dart(&piece, wedge, &motion));
        }
        self.mark(&mut piece, &motion);
        piece
    }

    fn dart(&self, piece: &Piece, wedge: &Wedge, motion: &Motion) -> Dart {
        let edge = piece.find_edge(&wedge.edge.parse().unwrap()).unwrap();
        let curve = &piece.edge(edge).curve;
        let (a, b) = (motion.apply(wedge.from), motion.apply(wedge.to));
        let (first, second) = if self.drawn == Drawn::Mirrored { (b, a) } else { (a, b) };
        let tip = motion.apply(wedge.tip);
        let mouth = Mouth {
            edge: wedge.edge.parse().unwrap(),
            from: curve.nearest(first).at,
            to: curve.nearest(second).at,
        };
        let legs = (Curve::line(first, tip).unwrap(), Curve::line(second, tip).unwrap());
        Dart {
            name: wedge.name.parse().unwrap(),
            shape: DartShape::Open { mouth, legs },
            kind: Default::default(),
            press: Press::Usual,
            kept: Kept::default(),
        }
    }

    fn mark(&self, piece: &mut Piece, motion: &Motion) {
        let place = |x: f64, y: f64| motion.apply(Point::new(x, y));
        piece.grainline = Some(Grainline {
            start: place(40.0, self.neck_depth + 60.0),
            end: place(40.0, self.length - 40.0),
            arrows: Default::default(),
            kept: Kept::default(),
        });
        let (underarm, corner) = (self.armhole_depth, self.length);
        for (name, share) in [("bust", 0.08), ("ribs", 0.75)] {
            let y = underarm + (corner - underarm) * share;
            let side = piece.find_edge(&"side".parse().unwrap()).unwrap();
            let across = Curve::line(place(0.0, y), place(self.quarter + 60.0, y)).unwrap();
            let Some(end) = piece.edge(side).curve.crossings(&across).first().map(|c| c.point) else {
                continue;
            };
            piece.levels.push(Level {
                name: name.parse().unwrap(),
                stretches: vec![(place(0.0, y), end)],
                girth: GirthUse::Counts,
                kept: Kept::default(),
            });
        }
        let bust = self.bust_point();
        piece.points.push(NamedPoint {
            name: "bust-point".parse().unwrap(),
            at: place(bust.x, bust.y),
            radius: 3.0,
            kept: Kept::default(),
        });
        for (name, edge, share) in [("n1", "side", 0.8), ("n2", "armhole", 0.5), ("n3", "waist", 0.1)] {
            let id = piece.find_edge(&edge.parse().unwrap()).unwrap();
            let at = piece.from_sewn(id, piece.sewn_length(id) * share);
            piece.notches.push(Notch::new(
                name.parse().unwrap(),
                edge.parse().unwrap(),
                at,
                NotchCount::Single,
            ));
        }
    }
}

/// An edge of a run, by the edge at whose corner the walk along it starts.
pub fn run_edge(piece: &Piece, edge: &str, from: &str) -> RunEdge {
    let id = piece.find_edge(&edge.parse().unwrap()).unwrap();
    let previous = &piece.edge(piece.previous(id)).name;
    let travel = if previous.as_str() == from { Travel::Clockwise } else { Travel::Anticlockwise };
    RunEdge { edge: EdgeRef::new(piece.name().clone(), edge.parse().unwrap()), travel }
}

impl Bodice {
    /// The pattern: side seams from the underarm down, shoulder seams, and a binding round both armholes. What the
    /// two sides of a seam differ by is declared as ease.
    pub fn pattern(&self) -> Pattern {
        let front = self.front.piece("front", Vec2::new(200.0, 200.0));
        let back = self.back.piece("back", Vec2::new(2000.0, 200.0));
        let sewn =
            |piece: &Piece, name: &str| piece.sewn_length(piece.find_edge(&name.parse().unwrap()).unwrap());
        let binding = binding(sewn(&front, "armhole") + sewn(&back, "armhole"));
        let seam = |first: Vec<RunEdge>, second: Vec<RunEdge>| Seam {
            first: Run::new(first).unwrap(),
            second: Run::new(second).unwrap(),
            ease: Length::ZERO,
        };
        let seams = vec![
            seam(vec![run_edge(&front, "side", "armhole")], vec![run_edge(&back, "side", "armhole")]),
            seam(vec![run_edge(&front, "shoulder", "neck")], vec![run_edge(&back, "shoulder", "neck")]),
            seam(
                vec![run_edge(&binding, "long", "end")],
                vec![run_edge(&front, "armhole", "side"), run_edge(&back, "armhole", "shoulder")],
            ),
        ];
        with_ease(Pattern::new(vec![front, back, binding], seams).unwrap())
    }
}

/// The pattern with every difference of two seamlines declared as ease.
pub fn with_ease(mut pattern: Pattern) -> Pattern {
    for id in pattern.seam_ids() {
        let mut seam = pattern.seam(id).clone();
        let length = |run: &Run| Walk::of(&pattern, run).unwrap().length();
        seam.ease = Length::from_mm(length(&seam.first) - length(&seam.second));
        pattern.replace_seam(id, seam).unwrap();
    }
    pattern.assert_sound();
    pattern
}

/// A straight binding of a length, 30 mm deep.
pub fn binding(length: f64) -> Piece {
    let p = |x: f64, y: f64| Point::new(x, y + 5000.0);
    let edge = |name: &str, a, b| Edge {
        allowance: Length::from_mm(6.0),
        ..Edge::new(name.parse().unwrap(), Curve::line(a, b).unwrap())
    };
    let edges = vec![
        edge("long", p(0.0, 0.0), p(length, 0.0)),
        edge("start", p(length, 0.0), p(length, 30.0)),
        edge("outer", p(length, 30.0), p(0.0, 30.0)),
        edge("end", p(0.0, 30.0), p(0.0, 0.0)),
    ];
    let mut piece = Piece::new("binding".parse().unwrap(), edges).unwrap();
    piece.cut = Cut::PAIR;
    piece
}
