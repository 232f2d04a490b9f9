//! Seamlines that several garments share: armhole, hem, and the waistline trued over its darts.

use kurbo::{BezPath, Point, Vec2};

use super::board::{Dart, DartedEdge};
use super::curve::{self, chain, curve as bend, fair, length, line, square_to, station};

/// Share of the way in to its narrowest that the armhole's handle at the shoulder covers.
const ARMHOLE_LEAD: f64 = 0.8;
/// Rounds of placing a dart's mouth on the waistline; each gains about two digits.
const ROUNDS: usize = 40;

/// What an armhole is drawn through.
pub struct ArmholeRule {
    pub shoulder_end: Point,
    /// Direction of the shoulder seam there, outward.
    pub shoulder: Vec2,
    /// Where the armhole comes nearest to the centre.
    pub narrowest: Point,
    pub underarm: Point,
    /// Direction of the side seam there, downward.
    pub side: Vec2,
    /// Handles of the lower armhole: share of its height, share of its width.
    pub hollow: (f64, f64),
}

/// An armhole from the shoulder to the underarm: square to both seams, and parallel to the grain
/// where it is nearest to the centre.
pub fn armhole(rule: &ArmholeRule) -> BezPath {
    let (narrowest, underarm) = (rule.narrowest, rule.underarm);
    let leave = square_to(rule.shoulder);
    let inset = rule.shoulder_end.x - narrowest.x;
    let upper = bend(
        rule.shoulder_end,
        leave * (inset * ARMHOLE_LEAD / -leave.x),
        narrowest,
        Vec2::new(0.0, (narrowest.y - rule.shoulder_end.y) * 0.5),
    );
    let lower = bend(
        narrowest,
        Vec2::new(0.0, (underarm.y - narrowest.y) * rule.hollow.0),
        underarm,
        -square_to(rule.side) * (underarm.x - narrowest.x) * rule.hollow.1,
    );
    chain([&upper, &lower])
}

/// A hem from the foot of `side` to the line x = `centre`: square to the side, then level from
/// `straight_to` on.
pub fn hem(side: &BezPath, centre: f64, straight_to: f64) -> BezPath {
    let foot = station(side, length(side));
    let third = (foot.at.x - straight_to) / 3.0;
    let rise = foot.along.x / foot.along.y;
    let turned = Point::new(straight_to, foot.at.y + rise * third);
    let rounded = bend(foot.at, Vec2::new(-third, rise * third), turned, Vec2::new(-third, 0.0));
    if straight_to > centre {
        let level = line(turned, Point::new(centre, turned.y));
        chain([&rounded, &level])
    } else {
        rounded
    }
}

/// Where the dart of a waistline points.
#[derive(Clone, Copy, Debug)]
pub enum Aim {
    /// At a point, its tip this far short of it.
    At { target: Point, stand_off: f64 },
    /// By this vector from the middle of its mouth.
    By(Vec2),
}

/// A dart of a waistline.
#[derive(Clone, Copy, Debug)]
pub struct WaistDart {
    /// Where the middle of its mouth lies, from the centre line.
    pub centre: f64,
    pub half_mouth: f64,
    pub aim: Aim,
}

/// The ends of a waistline.
#[derive(Clone, Copy, Debug)]
pub struct WaistEnds {
    pub side: Point,
    /// Direction at the side, toward the centre.
    pub leave: Vec2,
    /// Where the waistline meets the centre edge; its height there follows from the darts.
    pub centre: f64,
    /// Direction at the centre edge.
    pub arrive: Vec2,
}

/// The waistline from the side to the centre edge, trued over its darts (given from the side on):
/// square to every leg, so that it runs on smoothly when the darts are closed.
pub fn waistline(ends: &WaistEnds, darts: &[WaistDart]) -> DartedEdge {
    let mut stretches = Vec::new();
    let mut drawn = Vec::new();
    let (mut at, mut along) = (ends.side, ends.leave);
    for rule in darts {
        let dart = dart_on(rule, at, along);
        let arrive = dart.square_to_leg(0, along);
        stretches.push(fair(at, along, dart.mouth[0], arrive));
        at = dart.mouth[1];
        along = dart.square_to_leg(1, along);
        drawn.push(dart);
    }
    let centre = Point::new(ends.centre, 0.0);
    let end = Point::new(ends.centre, height_beyond(at, along, centre, ends.arrive));
    stretches.push(fair(at, along, end, ends.arrive));
    DartedEdge { stretches, darts: drawn }
}

/// The waistline of the given sewn length: the mouths of all darts are scaled alike until it fits.
pub fn fitted_waistline(ends: &WaistEnds, darts: &[WaistDart], sewn: f64) -> DartedEdge {
    let scaled = |scale: f64| {
        let darts: Vec<_> =
            darts.iter().map(|dart| WaistDart { half_mouth: dart.half_mouth * scale, ..*dart }).collect();
        waistline(ends, &darts)
    };
    let scale = curve::solve(0.1, 4.0, |scale| sewn - scaled(scale).sewn_length());
    scaled(scale)
}

/// The dart whose mouth begins where the waistline from `at` naturally arrives.
fn dart_on(rule: &WaistDart, at: Point, along: Vec2) -> Dart {
    let mut middle = Point::new(rule.centre, at.y);
    let mut dart = dart_at(rule, middle, along);
    for _ in 0..ROUNDS {
        let arrive = dart.square_to_leg(0, along);
        middle.y += height_beyond(at, along, dart.mouth[0], arrive) - dart.mouth[0].y;
        dart = dart_at(rule, middle, along);
    }
    dart
}

fn dart_at(rule: &WaistDart, middle: Point, along: Vec2) -> Dart {
    let (target, stand_off) = match rule.aim {
        Aim::At { target, stand_off } => (target, stand_off),
        Aim::By(vector) => (middle + vector, 0.0),
    };
    Dart::aimed(middle, rule.half_mouth, target, stand_off, along)
}

/// Height at which a parabola from `at` in the direction `along` arrives in the direction `arrive`
/// above or below `to`.
fn height_beyond(at: Point, along: Vec2, to: Point, arrive: Vec2) -> f64 {
    at.y + (to.x - at.x) * (along.y / along.x + arrive.y / arrive.x) / 2.0
}
