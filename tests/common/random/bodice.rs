//! Bodices: a front and a back with curved edges and true darts, sewn together, drawn either way round.
//!
//! ```text
//!        neck ____ shoulder
//!         /        \
//!        |          ) armhole       centre at x = 0 unless mirrored;
//! centre |    ·     |               the point is the bust point on a front,
//!        |  point   / side          the shoulder blade on a back
//!        |_________/
//!           hem
//! ```

use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Radians, Vec2};
use retrue::pattern::{
    Cut, Dart, DartShape, Edge, EdgeRef, Finish, Pattern, Piece, Run, RunEdge, Seam, Travel,
};
use retrue::units::Length;

use super::{
    Order, cubic, edge, grainline, laid, level, named_point, notch, open_dart, sewn_length,
    sewn_with_binding, with_ease,
};

/// A dart of a draft.
#[derive(Clone, Copy, Debug)]
pub struct DraftDart {
    /// The width of its mouth, or its greatest width.
    pub width: f64,
    /// How far its tip stands from the point.
    pub stands_off: f64,
    /// How far to the side of the point its axis passes.
    pub off_axis: f64,
}

/// What shapes the waist of a draft.
#[derive(Clone, Copy, Debug)]
pub enum WaistDart {
    /// Nothing.
    No,
    /// The piece ends at the waist, where a dart opens.
    Open(DraftDart),
    /// The piece goes on to the hip; a double dart lies at the waist.
    Double(DraftDart),
}

/// Which half of the body a draft clothes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// The front; a dart may open on the side.
    Front,
    /// The back.
    Back,
}

/// Measures of a bodice block, mm; the origin is on the centre line at the height of the neck point.
#[derive(Clone, Debug)]
pub struct Draft {
    pub half: Half,
    pub neck_width: f64,
    pub neck_depth: f64,
    pub shoulder_length: f64,
    pub shoulder_drop: f64,
    pub armhole_depth: f64,
    pub width: f64,
    pub waist_height: f64,
    pub waist_width: f64,
    pub side_bow: f64,
    pub hem_bow: f64,
    pub point: (f64, f64),
    pub shoulder_dart: Option<DraftDart>,
    pub side_dart: Option<DraftDart>,
    pub waist_dart: WaistDart,
    pub on_fold: bool,
    pub mirrored: bool,
    pub anticlockwise: bool,
    pub turn: f64,
    pub shift: (f64, f64),
}

/// A front and a back, each with darts of its own.
#[derive(Clone, Debug)]
pub struct Bodice {
    pub front: Draft,
    pub back: Draft,
}

impl Draft {
    /// A front of usual measures with a dart at the side and one at the waist.
    pub fn usual_front() -> Draft {
        Draft {
            half: Half::Front,
            neck_width: 70.0,
            neck_depth: 85.0,
            shoulder_length: 125.0,
            shoulder_drop: 42.0,
            armhole_depth: 205.0,
            width: 245.0,
            waist_height: 425.0,
            waist_width: 225.0,
            side_bow: 3.0,
            hem_bow: 6.0,
            point: (95.0, 265.0),
            shoulder_dart: None,
            side_dart: Some(DraftDart { width: 32.0, stands_off: 25.0, off_axis: 0.0 }),
            waist_dart: WaistDart::Open(DraftDart { width: 30.0, stands_off: 25.0, off_axis: 0.0 }),
            on_fold: true,
            mirrored: false,
            anticlockwise: false,
            turn: 0.0,
            shift: (100.0, 100.0),
        }
    }

    fn name(&self) -> &'static str {
        match self.half {
            Half::Front => "front",
            Half::Back => "back",
        }
    }

    /// What its lowest edge is called.
    pub fn lowest_edge(&self) -> &'static str {
        if matches!(self.waist_dart, WaistDart::Double(_)) { "hem" } else { "waist" }
    }

    /// What the named point is called.
    pub fn point_name(&self) -> &'static str {
        match self.half {
            Half::Front => "bust-point",
            Half::Back => "blade-point",
        }
    }

    fn lowest(&self) -> f64 {
        if matches!(self.waist_dart, WaistDart::Double(_)) {
            self.waist_height + 210.0
        } else {
            self.waist_height
        }
    }

    /// The piece.
    pub fn piece(&self) -> Piece {
        let p = Point::new;
        let point = p(self.point.0, self.point.1);
        let along = (self.shoulder_length.powi(2) - self.shoulder_drop.powi(2)).sqrt();
        let neck = p(self.neck_width, 0.0);
        let tip = p(self.neck_width + along, self.shoulder_drop);
        let underarm = p(self.width, self.armhole_depth);
        let waist = p(self.waist_width, self.waist_height);
        let low = self.lowest();
        let hem = if low > self.waist_height { p(self.width + 15.0, low - 8.0) } else { waist };
        let centre_low = p(0.0, low + 4.0);
        let centre_top = p(0.0, self.neck_depth);
        let mut side = bowed(underarm, waist, self.side_bow);
        if low > self.waist_height {
            side = side.joined(&bowed(waist, hem, -self.side_bow)).unwrap();
        }
        let depth = underarm.y - tip.y;
        let armhole =
            cubic(tip, tip + Vec2::new(-18.0, depth * 0.5), underarm + Vec2::new(-45.0, 3.0), underarm);
        let neckline = cubic(
            centre_top,
            centre_top + Vec2::new(self.neck_width * 0.55, 0.0),
            neck + Vec2::new(-4.0, self.neck_depth * 0.5),
            neck,
        );
        let mut darts: Vec<Dart> = Vec::new();
        let mut open = |name: &str, edge: &str, curve: Curve, at: f64, dart: DraftDart| -> Curve {
            let (curve, dart) = opened(name, edge, &curve, at, dart, point);
            darts.push(dart);
            curve
        };
        let mut shoulder = bowed(neck, tip, -2.0);
        if let Some(dart) = self.shoulder_dart {
            let at = shoulder.length() * 0.48;
            shoulder = open("shoulder-dart", "shoulder", shoulder, at, dart);
        }
        if let Some(dart) = self.side_dart {
            side = open("bust-dart", "side", side, 78.0, dart);
        }
        let mut lowest = bowed(hem, centre_low, -self.hem_bow);
        match self.waist_dart {
            WaistDart::Open(dart) => {
                let at = lowest.nearest(point).at;
                lowest = open("waist-dart", "waist", lowest, at, dart);
            }
            WaistDart::Double(dart) => darts.push(double(point, self.waist_height, dart)),
            WaistDart::No => {}
        }
        let edge = |name: &str, curve: Curve, finish: Finish| {
            edge(name, curve, finish, if finish == Finish::Fold { 0.0 } else { 15.0 })
        };
        let centre = if self.on_fold { Finish::Fold } else { Finish::Free };
        let low_finish = if self.lowest_edge() == "hem" { Finish::Hem } else { Finish::Free };
        let edges = vec![
            edge("shoulder", shoulder, Finish::Seam),
            edge("armhole", armhole, Finish::Seam),
            edge("side", side, Finish::Seam),
            edge(self.lowest_edge(), lowest, low_finish),
            edge("centre", Curve::line(centre_low, centre_top).unwrap(), centre),
            edge("neck", neckline, Finish::Free),
        ];
        self.finished(edges, darts, point)
    }

    /// Sets what was drawn as the draft wants it to lie.
    fn finished(&self, edges: Vec<Edge>, darts: Vec<Dart>, point: Point) -> Piece {
        let turned = Motion::turn_about(Point::new(120.0, 200.0), Radians(self.turn));
        let on_sheet = turned.then(&Motion::shift(Vec2::new(self.shift.0, self.shift.1)));
        let motion = if self.mirrored {
            Motion::mirror_in(Point::new(0.0, 0.0), Point::new(0.0, 1.0)).unwrap().then(&on_sheet)
        } else {
            on_sheet
        };
        let lengths: Vec<(String, f64)> =
            edges.iter().map(|edge| (edge.name.to_string(), edge.curve.length())).collect();
        let is_backward = self.anticlockwise != self.mirrored;
        let order = if is_backward { Order::Backward } else { Order::AsDrawn };
        let mut piece = laid(self.name(), edges, &motion, order);
        piece.cut = if self.on_fold { Cut::ONE } else { Cut::PAIR };
        piece.darts = darts
            .into_iter()
            .map(|dart| {
                let mut dart = dart.moved(&motion);
                if let (DartShape::Open { mouth, .. }, true) = (&mut dart.shape, self.mirrored) {
                    let length = lengths.iter().find(|(name, _)| *name == mouth.edge.to_string()).unwrap().1;
                    (mouth.from, mouth.to) = (length - mouth.to, length - mouth.from);
                }
                dart
            })
            .collect();
        let at = |x: f64, y: f64| motion.apply(Point::new(x, y));
        piece.points.push(named_point(self.point_name(), motion.apply(point)));
        piece.grainline = grainline(at(40.0, self.neck_depth + 40.0), at(40.0, self.waist_height - 40.0));
        for (name, y) in [("bust", point.y), ("waist", self.waist_height - 12.0)] {
            piece.levels.push(level(name, at(0.0, y), at(self.width - 25.0, y)));
        }
        for (name, edge, share) in [("n1", "armhole", 0.4), ("n2", "side", 0.8)] {
            piece.notches.push(notch(&piece, name, edge, share));
        }
        piece
    }

    /// The piece together with a plain one that matches it at shoulder and side, sewn to it.
    pub fn pattern(&self) -> Pattern {
        let own = self.piece();
        let other = Draft {
            half: if self.half == Half::Front { Half::Back } else { Half::Front },
            shoulder_dart: None,
            side_dart: None,
            waist_dart: WaistDart::No,
            mirrored: false,
            anticlockwise: false,
            turn: 0.0,
            shift: (self.shift.0 + 900.0, self.shift.1),
            ..self.clone()
        };
        let other = other.piece();
        let seams = ["shoulder", "side"].map(|edge| {
            let run = |piece: &Piece, mirrored: bool| {
                let travel = if mirrored { Travel::Anticlockwise } else { Travel::Clockwise };
                let edge = EdgeRef::new(piece.name().clone(), edge.parse().unwrap());
                Run::new(vec![RunEdge { edge, travel }]).unwrap()
            };
            Seam {
                first: run(&own, self.mirrored),
                second: run(&other, false),
                ease: Length::from_mm(sewn_length(&own, edge) - sewn_length(&other, edge)),
            }
        });
        Pattern::new(vec![own, other], seams.to_vec()).unwrap()
    }
}

impl Bodice {
    /// The pattern: side seams from the underarm down, shoulder seams, and a binding round both armholes. What the
    /// two sides of a seam differ by is declared as ease.
    pub fn pattern(&self) -> Pattern {
        with_ease(sewn_with_binding(self.front.piece(), self.back.piece()))
    }
}

/// A shallow curve that stands off its chord by about so much, to the left of the way where positive.
fn bowed(from: Point, to: Point, by: f64) -> Curve {
    let chord = to - from;
    let aside = Vec2::new(chord.y, -chord.x).normalize() * (by * 4.0 / 3.0);
    cubic(from, from + chord / 3.0 + aside, to - chord / 3.0 + aside, to)
}

/// An edge with a dart opened on it: the mouth is a chord square to the dart's axis, so that its legs are equal.
fn opened(name: &str, edge: &str, curve: &Curve, at: f64, dart: DraftDart, aim: Point) -> (Curve, Dart) {
    let centre = curve.point_at(at);
    let toward = (aim - centre).normalize();
    let aim = aim + Vec2::new(-toward.y, toward.x) * dart.off_axis;
    let axis = (aim - centre).normalize();
    let tip = aim - axis * dart.stands_off;
    let mut along = Vec2::new(axis.y, -axis.x);
    if along.dot(curve.tangent_at(at)) < 0.0 {
        along = -along;
    }
    let half = dart.width / 2.0;
    let (a, b) = (centre - along * half, centre + along * half);
    let before = curve.stretch(0.0, at - half).unwrap();
    let before = before.with_ends(before.start(), a).unwrap();
    let after = curve.stretch(at + half, curve.length()).unwrap();
    let after = after.with_ends(b, after.end()).unwrap();
    let (from, to) = (before.length(), before.length() + a.distance(b));
    let whole = before.joined(&Curve::line(a, b).unwrap()).unwrap().joined(&after).unwrap();
    (whole, open_dart(name, edge, (from, to), (a, b), tip))
}

/// A double dart below a point.
fn double(point: Point, waist: f64, dart: DraftDart) -> Dart {
    let upper = point + Vec2::new(dart.off_axis, dart.stands_off);
    let lower = Point::new(upper.x, waist + 120.0);
    let side = |by: f64| Curve::polyline(&[upper, Point::new(upper.x + by, waist), lower]).unwrap();
    super::dart("waist-dart", DartShape::Double { sides: (side(dart.width / 2.0), side(-dart.width / 2.0)) })
}

prop_compose! {
    /// A dart whose axis passes near the point.
    pub fn draft_dart(widths: std::ops::Range<f64>)(
        width in widths, stands_off in 15.0..45.0f64, off_axis in -2.0..2.0f64,
    ) -> DraftDart {
        DraftDart { width, stands_off, off_axis }
    }
}

/// The dart with its axis through the point.
fn aimed(dart: DraftDart) -> DraftDart {
    DraftDart { off_axis: 0.0, ..dart }
}

/// What shapes the waist: nothing, a dart that opens there, or a double dart.
pub fn waist_dart() -> impl Strategy<Value = WaistDart> {
    prop_oneof![
        1 => Just(WaistDart::No),
        3 => draft_dart(15.0..38.0).prop_map(WaistDart::Open),
        2 => draft_dart(15.0..35.0).prop_map(WaistDart::Double),
    ]
}

prop_compose! {
    fn block()(
        neck_width in 62.0..82.0f64,
        neck_depth in 60.0..105.0f64,
        shoulder_length in 115.0..140.0f64,
        shoulder_drop in 34.0..52.0f64,
        armhole_depth in 190.0..225.0f64,
        width in 225.0..290.0f64,
        waist_height in 410.0..450.0f64,
        taken in 5.0..30.0f64,
        side_bow in -4.0..4.0f64,
        hem_bow in 0.0..9.0f64,
        point_x in 84.0..108.0f64,
        point_below in 48.0..72.0f64,
    ) -> Draft {
        Draft {
            neck_width, neck_depth, shoulder_length, shoulder_drop, armhole_depth, width, waist_height,
            waist_width: width - taken,
            side_bow, hem_bow,
            point: (point_x, armhole_depth + point_below),
            ..Draft::usual_front()
        }
    }
}

prop_compose! {
    /// A bodice with any of its darts.
    pub fn bodice()(
        block in block(),
        half in prop_oneof![Just(Half::Front), Just(Half::Back)],
        shoulder_dart in proptest::option::of(draft_dart(8.0..20.0)),
        side_dart in proptest::option::of(draft_dart(20.0..42.0)),
        waist_dart in waist_dart(),
        on_fold: bool,
        mirrored: bool,
        anticlockwise: bool,
        shift in (-50.0..400.0f64, 0.0..300.0f64),
    ) -> Draft {
        Draft { half, shoulder_dart, side_dart, waist_dart, on_fold, mirrored, anticlockwise, shift, ..block }
    }
}

prop_compose! {
    /// A draft down to the waist whose darts point at its point, turned on the sheet.
    fn to_the_waist(half: Half, at: f64)(
        draft in bodice(),
        waist_dart in prop_oneof![
            1 => Just(WaistDart::No),
            4 => draft_dart(15.0..38.0).prop_map(WaistDart::Open),
        ],
        turn in prop_oneof![Just(0.0), -3.1..3.1_f64],
    ) -> Draft {
        let side_dart = draft.side_dart.map(aimed);
        let waist_dart = match waist_dart {
            WaistDart::Open(dart) => WaistDart::Open(aimed(dart)),
            other => other,
        };
        Draft { half, side_dart, waist_dart, turn, shift: (at + draft.shift.0, draft.shift.1), ..draft }
    }
}

/// Fronts and backs down to the waist, each of its own measures, with any of their darts.
pub fn bodices() -> impl Strategy<Value = Bodice> {
    (to_the_waist(Half::Front, 0.0), to_the_waist(Half::Back, 2000.0))
        .prop_map(|(front, back)| Bodice { front, back })
}

/// Bodices whose front has both a side dart and a waist dart.
pub fn darted_bodices() -> impl Strategy<Value = Bodice> {
    (bodices(), draft_dart(20.0..42.0), draft_dart(15.0..38.0)).prop_map(|(mut bodice, side, waist)| {
        bodice.front.side_dart = Some(aimed(side));
        bodice.front.waist_dart = WaistDart::Open(aimed(waist));
        bodice
    })
}
