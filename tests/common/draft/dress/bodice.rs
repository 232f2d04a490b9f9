//! The bodice: back with shoulder and waist dart, front with bust and waist dart.

use kurbo::{Affine, BezPath, Point, Vec2};

use super::super::board::{Cut, Dart, DartedEdge, Edge, Notch, Piece};
use super::super::curve::{self, curve as bend, heading, length, line, square_to, station};
use super::super::measures::Measures;
use super::super::seamlines::{Aim, ArmholeRule, WaistDart, WaistEnds, armhole, fitted_waistline};
use super::WAIST_NOTCH;

/// Walk distance of the armhole notches from the underarm.
pub const BACK_NOTCH: f64 = 85.0;
pub const FRONT_NOTCH: f64 = 75.0;
/// Ease on the quarter bust, and on the quarter waist.
const BACK_EASE: f64 = 16.0;
const FRONT_EASE: f64 = 19.0;
const BACK_WAIST_EASE: f64 = 8.0;
const FRONT_WAIST_EASE: f64 = 12.0;
/// Slope of the shoulder below the level, in degrees.
const BACK_SHOULDER: f64 = 14.0;
const FRONT_SHOULDER: f64 = 22.0;
/// The back shoulder dart: where on the sewn shoulder, how wide, how long.
const SHOULDER_DART_PLACE: f64 = 0.45;
const SHOULDER_DART_MOUTH: f64 = 13.0;
const SHOULDER_DART_LENGTH: f64 = 85.0;
/// How far the back side comes in at the waist.
const BACK_SIDE_IN: f64 = 18.0;
/// Lean of the front side outward above the bust dart, in degrees.
const FRONT_SIDE_OUT: f64 = 6.0;
/// Walk distance of the bust dart's mouth from the underarm.
const BUST_DART_PLACE: f64 = 55.0;
/// How far the tips of the bust and waist dart stand off the bust point.
const STAND_OFF: f64 = 25.0;
/// Walk distance of the side notch from the waist, and of the waist level from the waist seam.
const SIDE_NOTCH: f64 = 70.0;
const WAIST_LEVEL: f64 = 20.0;

/// Seamlines of the back, centre at x = 0, nape at y = 0, clockwise from the nape.
pub struct Back {
    pub neck: BezPath,
    pub shoulder: DartedEdge,
    /// Shoulder end and armhole narrowest, for those who draw the armhole anew.
    pub shoulder_end: Point,
    pub shoulder_along: Vec2,
    pub narrowest: Point,
    pub armhole: BezPath,
    pub side: BezPath,
    pub waist: DartedEdge,
}

impl Back {
    pub fn draft(measures: &Measures) -> Self {
        let neck_end = Point::new(neck_width(measures), -20.0);
        let slope = heading(BACK_SHOULDER);
        let neck = bend(Point::ZERO, Vec2::new(neck_end.x * 0.5, 0.0), neck_end, -square_to(slope) * 12.0);
        let sewn = shoulder_length(measures);
        let shoulder = shoulder_with_dart(neck_end, slope, sewn);
        let shoulder_end = curve::end(&shoulder.path());
        let shoulder_along = station(&shoulder.stretches[1], 0.0).along;

        let depth = armhole_depth(measures);
        let narrowest = Point::new(across_back(measures), depth * 0.6);
        let underarm = Point::new(measures.bust / 4.0 + BACK_EASE, depth);
        let foot = Point::new(underarm.x - BACK_SIDE_IN, measures.nape_to_waist + 4.0);
        let side = line(underarm, foot);
        let down = (foot - underarm).normalize();
        let armhole = armhole(&ArmholeRule {
            shoulder_end,
            shoulder: shoulder_along,
            narrowest,
            underarm,
            side: down,
            hollow: (0.62, 0.55),
        });
        let dart_place = foot.x * 0.42;
        let ends =
            WaistEnds { side: foot, leave: square_to(down), centre: 0.0, arrive: Vec2::new(-1.0, 0.0) };
        let dart = WaistDart {
            centre: dart_place,
            half_mouth: 15.0,
            aim: Aim::At { target: Point::new(dart_place + 3.0, depth + 48.0), stand_off: 0.0 },
        };
        let sewn_waist = measures.waist / 4.0 + BACK_WAIST_EASE;
        let waist = fitted_waistline(&ends, &[dart], sewn_waist);
        Self { neck, shoulder, shoulder_end, shoulder_along, narrowest, armhole, side, waist }
    }

    /// The piece; its bust level lies at this walk distance from the underarm.
    pub fn piece(&self, bust_walk: f64) -> Piece {
        let waist = self.waist.path();
        let centre = curve::end(&waist);
        let mut piece = Piece::new("bodice-back", Cut::Pair);
        piece.edge(Edge::seam("neck", self.neck.clone()));
        piece.edge(Edge::seam("shoulder", self.shoulder.path()).sewn_to("bodice-front.shoulder"));
        piece.edge(Edge::seam("armhole", self.armhole.clone()));
        piece.edge(Edge::seam("side", self.side.clone()).sewn_to("bodice-front.side"));
        piece.edge(Edge::seam("waist", waist));
        let seam = Edge::seam("centre", line(centre, Point::ZERO));
        piece.edge(seam.sewn_to("bodice-back.centre/m"));
        piece.dart("shoulder-dart", &self.shoulder.darts[0]);
        piece.dart("waist-dart", &self.waist.darts[0]);
        let armhole_notch = length(&self.armhole) - BACK_NOTCH;
        piece.notch("armhole-notch", Notch::Double, station(&self.armhole, armhole_notch));
        let side = length(&self.side);
        piece.notch("side-notch", Notch::Single, station(&self.side, side - SIDE_NOTCH));
        let sewn = self.waist.sewn_length();
        piece.notch("waist-notch", Notch::Double, self.waist.station(sewn - WAIST_NOTCH));
        for (name, walked) in [("bust", bust_walk), ("waist", side - WAIST_LEVEL)] {
            let at = station(&self.side, walked).at;
            piece.level(name, Point::new(0.0, at.y), at);
        }
        piece.grain(Point::new(35.0, 60.0), Point::new(35.0, centre.y - 50.0));
        piece
    }
}

/// Seamlines of the front, centre at x = 0, clockwise from the centre of the neck.
pub struct Front {
    pub neck: BezPath,
    pub shoulder: BezPath,
    pub narrowest: Point,
    pub armhole: BezPath,
    pub side: DartedEdge,
    pub waist: DartedEdge,
    pub bust_point: Point,
}

impl Front {
    /// The front that is sewn to `back`: shoulder and side have its lengths net of darts.
    pub fn draft(measures: &Measures, back: &Back) -> Self {
        let neck_width = neck_width(measures) - 1.0;
        let neck_end = Point::new(neck_width, -28.0);
        let neck_depth = neck_width + 10.0;
        let slope = heading(FRONT_SHOULDER);
        let neck = bend(
            Point::new(0.0, neck_depth),
            Vec2::new(neck_width * 0.62, 0.0),
            neck_end,
            -square_to(slope) * neck_depth * 0.5,
        );
        let shoulder_end = neck_end + slope * back.shoulder.sewn_length();
        let depth = armhole_depth(measures);
        let underarm = Point::new(measures.bust / 4.0 + FRONT_EASE, depth);
        let bust_point = Point::new(measures.bust / 10.0 + 2.0, depth + 27.0);
        let side = side_with_bust_dart(measures, underarm, bust_point, length(&back.side));
        let narrowest = Point::new(across_back(measures) - 12.0, depth * 0.7);
        let armhole = armhole(&ArmholeRule {
            shoulder_end,
            shoulder: slope,
            narrowest,
            underarm,
            side: heading(90.0 - FRONT_SIDE_OUT),
            hollow: (0.62, 0.58),
        });
        let foot = station(&side.stretches[1], length(&side.stretches[1]));
        let ends = WaistEnds {
            side: foot.at,
            leave: square_to(foot.along),
            centre: 0.0,
            arrive: Vec2::new(-1.0, 0.0),
        };
        let dart = WaistDart {
            centre: bust_point.x - 5.0,
            half_mouth: 13.0,
            aim: Aim::At { target: bust_point, stand_off: STAND_OFF },
        };
        let sewn_waist = measures.waist / 4.0 + FRONT_WAIST_EASE;
        Self {
            neck,
            shoulder: line(neck_end, shoulder_end),
            narrowest,
            armhole,
            side,
            waist: fitted_waistline(&ends, &[dart], sewn_waist),
            bust_point,
        }
    }

    /// Walk distance of the bust level from the underarm.
    pub fn bust_walk(&self) -> f64 {
        curve::walk_to_height(&self.side.stretches[0], self.bust_point.y)
    }

    pub fn piece(&self) -> Piece {
        let waist = self.waist.path();
        let (neck, foot) = (curve::start(&self.neck), curve::end(&waist));
        let mut piece = Piece::new("bodice-front", Cut::One);
        piece.edge(Edge::seam("neck", self.neck.clone()));
        piece.edge(Edge::seam("shoulder", self.shoulder.clone()));
        piece.edge(Edge::seam("armhole", self.armhole.clone()));
        piece.edge(Edge::seam("side", self.side.path()));
        piece.edge(Edge::seam("waist", waist));
        piece.edge(Edge::fold("centre", line(foot, neck)));
        piece.dart("bust-dart", &self.side.darts[0]);
        piece.dart("waist-dart", &self.waist.darts[0]);
        piece.point("bust-point", self.bust_point);
        let armhole_notch = length(&self.armhole) - FRONT_NOTCH;
        piece.notch("armhole-notch", Notch::Single, station(&self.armhole, armhole_notch));
        let side = self.side.sewn_length();
        piece.notch("side-notch", Notch::Single, self.side.station(side - SIDE_NOTCH));
        let sewn = self.waist.sewn_length();
        piece.notch("waist-notch", Notch::Single, self.waist.station(sewn - WAIST_NOTCH));
        for (name, walked) in [("bust", self.bust_walk()), ("waist", side - WAIST_LEVEL)] {
            let at = self.side.station(walked).at;
            piece.level(name, Point::new(0.0, at.y), at);
        }
        piece.grain(Point::new(35.0, 110.0), Point::new(35.0, foot.y - 50.0));
        piece.mirrored()
    }
}

pub fn armhole_depth(measures: &Measures) -> f64 {
    measures.bust / 10.0 + 118.0
}

fn neck_width(measures: &Measures) -> f64 {
    measures.neck / 5.0 - 1.0
}

fn across_back(measures: &Measures) -> f64 {
    measures.across_back / 2.0 + 6.0
}

/// Sewn length of the shoulder: set in a little from the bone, under a set-in sleeve.
fn shoulder_length(measures: &Measures) -> f64 {
    measures.shoulder - 4.0
}

/// A straight shoulder of this sewn length, opened by its dart: what lies beyond the dart is turned
/// about the tip, so that the closed shoulder is straight again.
fn shoulder_with_dart(neck_end: Point, slope: Vec2, sewn: f64) -> DartedEdge {
    let first = neck_end + slope * (sewn * SHOULDER_DART_PLACE);
    let tip = first + square_to(slope) * SHOULDER_DART_LENGTH;
    let angle = 2.0 * (SHOULDER_DART_MOUTH / 2.0 / SHOULDER_DART_LENGTH).asin();
    let turn = Affine::rotate_about(angle, tip);
    let second = turn * first;
    let end = turn * (neck_end + slope * sewn);
    DartedEdge {
        stretches: vec![line(neck_end, first), line(second, end)],
        darts: vec![Dart { mouth: [first, second], tip }],
    }
}

/// A straight side of this sewn length, opened by the bust dart, whose axis runs through the bust
/// point: the side below the dart is turned about the tip.
fn side_with_bust_dart(measures: &Measures, underarm: Point, bust_point: Point, sewn: f64) -> DartedEdge {
    let half_mouth = measures.bust / 54.0;
    let down = heading(90.0 - FRONT_SIDE_OUT);
    let first = underarm + down * BUST_DART_PLACE;
    let reach = first - bust_point;
    let half_angle = (half_mouth / reach.hypot()).asin();
    let axis = Vec2::from_angle(reach.angle() + half_angle);
    let tip = bust_point + axis * STAND_OFF;
    let second = bust_point + Vec2::from_angle(reach.angle() + 2.0 * half_angle) * reach.hypot();
    let turn = (second - tip).angle() - (first - tip).angle();
    let below = Vec2::from_angle(down.angle() + turn) * (sewn - BUST_DART_PLACE);
    DartedEdge {
        stretches: vec![line(underarm, first), line(second, second + below)],
        darts: vec![Dart { mouth: [first, second], tip }],
    }
}
