//! The one-piece sleeve, drafted from the armhole it is sewn to.

use kurbo::{BezPath, Point, Vec2};

use super::board::{Cut, Edge, MarkKind, Notch, Piece};
use super::curve::{self, heading, square_to, station};

/// What a sleeve is drafted from. Lengths in millimetres.
pub struct SleeveRule {
    /// Length of the front armhole, net of darts.
    pub front_armhole: f64,
    /// Length of the back armhole, net of darts.
    pub back_armhole: f64,
    /// Walk distance of the armhole's front notch from the underarm.
    pub front_notch: f64,
    /// Walk distance of the armhole's back notch from the underarm.
    pub back_notch: f64,
    /// How much longer the cap is than the armhole; a little more of it behind than in front.
    pub ease: f64,
    /// From the shoulder point to the hem.
    pub length: f64,
    /// Lean of each underarm seam toward the wrist, in degrees off the grain.
    pub taper: f64,
    /// The seam as the cap declares it.
    pub sewn_to: &'static str,
}

/// Share of the ease that lies in the front half of the cap.
const FRONT_SHARE: f64 = 0.45;
/// Ease between the underarm and either notch, in millimetres: the cap lies all but flat there.
const EASE_BELOW_NOTCH: f64 = 1.0;
/// Cap height as a share of the whole armhole.
const CAP_HEIGHT: f64 = 0.335;

/// How one half of a cap curves. Shares of the half's own width and height.
struct CapShape {
    /// Where on the chord from shoulder point to underarm the curve turns from full to hollow.
    turn: f64,
    /// How much steeper than the chord the cap runs there, in degrees.
    steeper: f64,
    /// Handle at the shoulder point, as a share of the half's width.
    crown: f64,
    /// Handles at the turn, as shares of the chord: above it and below it.
    full: f64,
    hollow: f64,
    /// Handle at the underarm, as a share of the half's width.
    under: f64,
}

const FRONT_CAP: CapShape =
    CapShape { turn: 0.53, steeper: 21.0, crown: 0.28, full: 0.22, hollow: 0.16, under: 0.24 };

const BACK_CAP: CapShape =
    CapShape { turn: 0.58, steeper: 18.0, crown: 0.30, full: 0.25, hollow: 0.15, under: 0.20 };

/// Drafts the sleeve with its shoulder point above the origin: back half on the left, front half on
/// the right, underarm at the height of the origin.
pub fn sleeve(rule: &SleeveRule) -> Piece {
    let armhole = rule.front_armhole + rule.back_armhole;
    let height = armhole * CAP_HEIGHT;
    let top = Point::new(0.0, -height);
    let front_length = rule.front_armhole + rule.ease * FRONT_SHARE;
    let back_length = rule.back_armhole + rule.ease * (1.0 - FRONT_SHARE);
    let front_cap = cap_half(&FRONT_CAP, height, rule.taper, front_length);
    let back_cap = cap_half(&BACK_CAP, height, rule.taper, back_length);
    let back_cap = curve::reversed(&mirrored(&back_cap));

    let underarm = (rule.length - height) / rule.taper.to_radians().cos();
    let down_front = heading(90.0 + rule.taper);
    let down_back = heading(90.0 - rule.taper);
    let front_top = curve::end(&front_cap);
    let back_top = curve::start(&back_cap);
    let front_wrist = front_top + down_front * underarm;
    let back_wrist = back_top + down_back * underarm;

    let cap = curve::chain([&back_cap, &front_cap]);
    let front_seam = curve::line(front_top, front_wrist);
    let back_seam = curve::line(back_wrist, back_top);
    let hem = curve::fair(front_wrist, square_to(down_front), back_wrist, square_to(down_back));

    let mut piece = Piece::new("sleeve", Cut::Pair);
    piece.edge(Edge::seam("cap", cap.clone()).sewn_to(rule.sewn_to).eased(rule.ease));
    piece.edge(Edge::seam("underarm-front", front_seam.clone()).sewn_to("sleeve.underarm-back"));
    piece.edge(Edge::hem("hem", hem.clone()));
    piece.edge(Edge::seam("underarm-back", back_seam.clone()));

    let back_notch = rule.back_notch + EASE_BELOW_NOTCH;
    let front_notch = curve::length(&cap) - rule.front_notch - EASE_BELOW_NOTCH;
    piece.notch("cap-back-notch", Notch::Double, station(&cap, back_notch));
    piece.notch("cap-shoulder-notch", Notch::Single, station(&cap, back_length));
    piece.notch("cap-front-notch", Notch::Single, station(&cap, front_notch));
    let elbow = underarm * 0.42;
    piece.notch("underarm-front-notch", Notch::Single, station(&front_seam, elbow));
    piece.notch("underarm-back-notch", Notch::Single, station(&back_seam, underarm - elbow));
    piece.level("elbow", back_top + down_back * elbow, front_top + down_front * elbow);
    piece.grain(top + Vec2::new(0.0, 60.0), Point::new(0.0, rule.length - height - 40.0));
    for (name, x) in [("hind-line", back_top.x / 2.0), ("fore-line", front_top.x / 2.0)] {
        let (from, to) = (at_width(&cap, x), at_width(&hem, x));
        piece.mark(name, MarkKind::StyleLine, curve::line(from, to));
    }
    piece
}

/// The half of a cap from the shoulder point to the right, as long as asked: its width follows.
fn cap_half(shape: &CapShape, height: f64, taper: f64, asked: f64) -> BezPath {
    let half = |width: f64| cap_of_width(shape, height, taper, width);
    let width = curve::solve(height * 0.4, height * 3.0, |width| curve::length(&half(width)) - asked);
    half(width)
}

fn cap_of_width(shape: &CapShape, height: f64, taper: f64, width: f64) -> BezPath {
    let top = Point::new(0.0, -height);
    let underarm = Point::new(width, 0.0);
    let chord = underarm - top;
    let turn = top + chord * shape.turn;
    let steep = heading(chord.angle().to_degrees() + shape.steeper) * chord.hypot();
    let full = curve::curve(top, Vec2::new(width * shape.crown, 0.0), turn, steep * shape.full);
    let hollow = curve::curve(turn, steep * shape.hollow, underarm, heading(taper) * width * shape.under);
    curve::chain([&full, &hollow])
}

fn mirrored(path: &BezPath) -> BezPath {
    let mut path = path.clone();
    path.apply_affine(kurbo::Affine::FLIP_X);
    path
}

/// The point of a path that runs across the board where it passes `x`.
fn at_width(path: &BezPath, x: f64) -> Point {
    let rightward = (curve::end(path).x - curve::start(path).x).signum();
    let walked =
        curve::solve(0.0, curve::length(path), |walked| (station(path, walked).at.x - x) * rightward);
    station(path, walked).at
}
