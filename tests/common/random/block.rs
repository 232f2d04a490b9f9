//! Blocks down to a hem, with curved edges, darts, notches, levels and seams.
//!
//! ```text
//!        neck   shoulder
//!          ·──╮───╲
//!   centre │       ) armhole
//!          │      /
//!          │     (  side
//!          └──────╯
//!            hem
//! ```

use proptest::prelude::*;
use retrue::curve::{Curve, Motion, Point, Radians, Vec2};
use retrue::pattern::{Cut, Dart, DartShape, Edge, Finish, Pattern, Piece};

use super::{
    Order, cubic, dart, edge, grainline, laid, level, named_point, notch, open_dart, sewn_with_binding,
};

/// How the centre of a block is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Centre {
    Fold,
    Seam,
    Free,
}

/// What one block is drawn from, in mm.
#[derive(Clone, Debug)]
pub struct Block {
    pub neck_width: f64,
    pub neck_depth: f64,
    pub shoulder: f64,
    pub slope: f64,
    pub armhole_depth: f64,
    pub bust: f64,
    pub waist_in: f64,
    pub hip_out: f64,
    pub length: f64,
    pub hem_curve: f64,
    pub dart: Option<f64>,
    pub double_dart: bool,
    pub centre: Centre,
    pub turn: f64,
    pub anticlockwise: bool,
    pub allowance: f64,
}

/// A pattern of two blocks whose side seams have one length, and a binding around the armhole.
#[derive(Clone, Debug)]
pub struct Draft {
    pub front: Block,
    pub back: Block,
}

prop_compose! {
    fn block()(
        neck_width in 55.0..80.0_f64,
        neck_depth in 15.0..90.0_f64,
        shoulder in 90.0..130.0_f64,
        slope in 20.0..50.0_f64,
        armhole_depth in 190.0..240.0_f64,
        bust in 30.0..90.0_f64,
        shaping in (0.0..30.0_f64, -20.0..50.0_f64),
        length in 450.0..900.0_f64,
        hem_curve in -12.0..12.0_f64,
        dart in proptest::option::of(10.0..40.0_f64),
        double_dart in any::<bool>(),
        centre in prop_oneof![Just(Centre::Fold), Just(Centre::Seam), Just(Centre::Free)],
        turn in prop_oneof![Just(0.0), -3.1..3.1_f64],
        anticlockwise in any::<bool>(),
        allowance in 5.0..20.0_f64,
    ) -> Block {
        let (waist_in, hip_out) = shaping;
        Block {
            neck_width, neck_depth, shoulder, slope, armhole_depth, bust, waist_in, hip_out, length, hem_curve,
            dart, double_dart, centre, turn, anticlockwise, allowance,
        }
    }
}

/// Random patterns.
pub fn draft() -> impl Strategy<Value = Draft> {
    (block(), block()).prop_map(|(front, back)| {
        let back = Block {
            shoulder: front.shoulder,
            slope: front.slope,
            armhole_depth: front.armhole_depth,
            waist_in: front.waist_in,
            hip_out: front.hip_out,
            length: front.length,
            bust: front.bust,
            ..back
        };
        Draft { front, back }
    })
}

/// Random patterns whose front lies on the fold.
pub fn folded_draft() -> impl Strategy<Value = Draft> {
    draft().prop_map(|mut draft| {
        draft.front.centre = Centre::Fold;
        draft
    })
}

impl Block {
    fn edges(&self) -> Vec<Edge> {
        let p = Point::new;
        let shoulder_point = p(self.neck_width + self.shoulder, self.slope);
        let underarm = p(self.neck_width + self.shoulder + self.bust, self.armhole_depth);
        let hip = p(underarm.x + self.hip_out, self.length);
        let waist = underarm.lerp(hip, 0.5) - Vec2::new(self.waist_in, 0.0);
        let (top, bottom) = (p(0.0, self.neck_depth), p(0.0, self.length));
        let (neck, down) =
            (p(self.neck_width, 0.0), Vec2::new(0.0, (self.length - self.armhole_depth) / 6.0));
        let side_upper = cubic(underarm, underarm.lerp(waist, 0.3), waist - down, waist);
        let side_lower = cubic(waist, waist + down, hip.lerp(waist, 0.3), hip);
        let bow = Vec2::new(0.0, self.hem_curve);
        let centre = match self.centre {
            Centre::Fold => (Finish::Fold, 0.0),
            Centre::Seam => (Finish::Seam, self.allowance),
            Centre::Free => (Finish::Free, self.allowance),
        };
        vec![
            edge(
                "neck",
                cubic(
                    top,
                    p(self.neck_width * 0.6, self.neck_depth),
                    p(self.neck_width, self.neck_depth * 0.6),
                    neck,
                ),
                Finish::Free,
                6.0,
            ),
            edge("shoulder", Curve::line(neck, shoulder_point).unwrap(), Finish::Seam, self.allowance),
            edge(
                "armhole",
                cubic(
                    shoulder_point,
                    shoulder_point + Vec2::new(-12.0, self.armhole_depth * 0.5),
                    p(underarm.x - self.bust * 0.8, self.armhole_depth),
                    underarm,
                ),
                Finish::Seam,
                self.allowance,
            ),
            edge("side", side_upper.joined(&side_lower).unwrap(), Finish::Seam, self.allowance),
            edge(
                "hem",
                cubic(hip, hip.lerp(bottom, 0.3) + bow, hip.lerp(bottom, 0.7) + bow, bottom),
                Finish::Hem,
                40.0,
            ),
            edge("centre", Curve::line(bottom, top).unwrap(), centre.0, centre.1),
        ]
    }

    /// The piece of a name, turned and laid somewhere on the sheet.
    pub fn piece(&self, name: &str, at: Vec2) -> Piece {
        let motion =
            Motion::turn_about(Point::new(120.0, 300.0), Radians(self.turn)).then(&Motion::shift(at));
        let order = if self.anticlockwise { Order::Backward } else { Order::AsDrawn };
        let mut piece = laid(name, self.edges(), &motion, order);
        piece.cut = if self.centre == Centre::Fold { Cut::ONE } else { Cut::PAIR };
        self.mark(&mut piece, &motion);
        piece
    }

    fn mark(&self, piece: &mut Piece, motion: &Motion) {
        let place = |x: f64, y: f64| motion.apply(Point::new(x, y));
        piece.grainline = grainline(place(60.0, 160.0), place(60.0, self.length - 60.0));
        for (name, y) in [("bust", self.armhole_depth + 20.0), ("hip", self.length - 30.0)] {
            let far = self.neck_width + self.shoulder + self.bust + self.hip_out.max(0.0) + 50.0;
            let across = Curve::line(place(0.0, y), place(far, y)).unwrap();
            let side = piece.find_edge(&"side".parse().unwrap()).unwrap();
            let crossing = piece.edge(side).curve.crossings(&across);
            let end = crossing.first().map_or(place(100.0, y), |crossing| crossing.point);
            piece.levels.push(level(name, place(0.0, y), end));
        }
        piece.points.push(named_point("bust-point", place(90.0, self.armhole_depth + 15.0)));
        for (name, edge, share) in [("n1", "side", 0.3), ("n2", "armhole", 0.6), ("n3", "hem", 0.8)] {
            piece.notches.push(notch(piece, name, edge, share));
        }
        if let Some(mouth) = self.dart {
            piece.darts.push(hem_dart(piece, mouth));
        }
        if self.double_dart {
            let (a, b) = (place(110.0, self.armhole_depth + 40.0), place(110.0, self.length - 120.0));
            let middle = a.midpoint(b);
            let aside = (place(115.0, 0.0) - place(110.0, 0.0)) * 1.5;
            let side = |way: Vec2| Curve::polyline(&[a, middle + way, b]).unwrap();
            piece.darts.push(dart("fish", DartShape::Double { sides: (side(aside), side(-aside)) }));
        }
    }

    fn is_clear_of_darts(&self) -> bool {
        self.dart.is_none() && !self.double_dart
    }
}

fn hem_dart(piece: &Piece, mouth: f64) -> Dart {
    let id = piece.find_edge(&"hem".parse().unwrap()).unwrap();
    let curve = &piece.edge(id).curve;
    let middle = curve.length() * 0.45;
    let (from, to) = (middle - mouth / 2.0, middle + mouth / 2.0);
    let chord = curve.point_at(from).midpoint(curve.point_at(to));
    let tip = chord - curve.normal_outward(middle) * 80.0;
    open_dart("hem-dart", "hem", (from, to), (curve.point_at(from), curve.point_at(to)), tip)
}

impl Draft {
    /// Whether no dart stands in the way on the front.
    pub fn front_is_clear_of_darts(&self) -> bool {
        self.front.is_clear_of_darts()
    }

    /// The pattern: side seams from the underarm down, shoulder seams, and a binding around both armholes.
    pub fn pattern(&self) -> Pattern {
        let front = self.front.piece("front", Vec2::new(200.0, 200.0));
        sewn_with_binding(front, self.back.piece("back", Vec2::new(3000.0, 200.0)))
    }
}

/// The width of the whole garment along a level as it is drawn, every copy counted.
pub fn width_at(pattern: &Pattern, level: &str) -> f64 {
    let of_piece = |piece: &Piece| -> f64 {
        let stretches = piece.levels.iter().filter(|l| l.name.as_str() == level).flat_map(|l| &l.stretches);
        stretches.map(|(a, b)| a.distance(*b)).sum::<f64>() * f64::from(piece.times())
    };
    pattern.pieces().map(of_piece).sum()
}

/// The area of all copies of all pieces.
pub fn area(pattern: &Pattern) -> f64 {
    pattern.pieces().map(|piece| piece.outline().area() * f64::from(piece.times())).sum()
}
