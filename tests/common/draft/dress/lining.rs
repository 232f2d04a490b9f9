//! The lining: no waist seam, so its waist is shaped by double darts.

use kurbo::{BezPath, Point, Vec2};

use super::super::board::{Cut, Edge, MarkKind, Notch, Piece};
use super::super::curve::{self, line, station};
use super::super::measures::Measures;
use super::super::seamlines::{ArmholeRule, armhole, hem};
use super::bodice::{Back, Front, armhole_depth};

/// Width of the double darts at the waist, and their reach above and below it.
const BACK_DART: [f64; 3] = [24.0, 145.0, 130.0];
const FRONT_DART: [f64; 3] = [20.0, 120.0, 95.0];
/// How far the side comes in at the waist.
const WAIST_IN: f64 = 20.0;
/// The lining ends above the hem of the skirt.
const BELOW_HIP: f64 = 360.0;
/// Allowance of the armhole, felled to the sleeve seam by hand.
const ARMHOLE_ALLOWANCE: f64 = 10.0;

/// The side of back and front alike, from its own underarm down.
fn side(measures: &Measures, underarm: Point) -> BezPath {
    let waist = measures.nape_to_waist;
    let hip = waist + measures.waist_to_hip;
    let hip_out = (measures.hip / 4.0 - measures.bust / 4.0 - 4.0).max(0.0);
    let pins = [
        underarm,
        Point::new(underarm.x - WAIST_IN, waist),
        Point::new(underarm.x + hip_out, hip),
        Point::new(underarm.x + hip_out + 8.0, hip + BELOW_HIP),
    ];
    curve::down_through(&pins, -0.08, 0.01)
}

/// The back half; neck and shoulder are those of the bodice.
pub fn back(measures: &Measures, bodice: &Back) -> Piece {
    let side = side(measures, curve::end(&bodice.armhole));
    let armhole = armhole(&ArmholeRule {
        shoulder_end: bodice.shoulder_end,
        shoulder: bodice.shoulder_along,
        narrowest: bodice.narrowest,
        underarm: curve::start(&side),
        side: station(&side, 0.0).along,
        hollow: (0.62, 0.55),
    });
    let hem = hem(&side, 0.0, 0.0);
    let foot = curve::end(&hem);
    let mut piece = Piece::new("lining-back", Cut::Pair).lining();
    piece.edge(Edge::seam("neck", bodice.neck.clone()).sewn_to("bodice-back.neck"));
    let shoulder = Edge::seam("shoulder", bodice.shoulder.path());
    piece.edge(shoulder.sewn_to("lining-front.shoulder"));
    piece.edge(Edge::free("armhole", armhole, ARMHOLE_ALLOWANCE));
    piece.edge(Edge::seam("side", side.clone()).sewn_to("lining-front.side"));
    piece.edge(Edge::hem("hem", hem));
    let centre = Edge::seam("centre", line(foot, Point::ZERO));
    piece.edge(centre.sewn_to("lining-back.centre/m"));
    piece.dart("shoulder-dart", &bodice.shoulder.darts[0]);
    let dart = double_dart(measures, curve::start(&side).x * 0.4, BACK_DART);
    piece.mark("waist-dart", MarkKind::Dart, dart);
    finish(piece, measures, &side, foot)
}

/// The front half on the fold; neck and shoulder are those of the bodice, its fullness at the bust
/// is left to the ease.
pub fn front(measures: &Measures, bodice: &Front) -> Piece {
    let side = side(measures, curve::end(&bodice.armhole));
    let armhole = armhole(&ArmholeRule {
        shoulder_end: curve::end(&bodice.shoulder),
        shoulder: station(&bodice.shoulder, 0.0).along,
        narrowest: bodice.narrowest,
        underarm: curve::start(&side),
        side: station(&side, 0.0).along,
        hollow: (0.62, 0.58),
    });
    let hem = hem(&side, 0.0, 0.0);
    let foot = curve::end(&hem);
    let mut piece = Piece::new("lining-front", Cut::One).lining();
    piece.edge(Edge::seam("neck", bodice.neck.clone()).sewn_to("bodice-front.neck"));
    piece.edge(Edge::seam("shoulder", bodice.shoulder.clone()));
    piece.edge(Edge::free("armhole", armhole, ARMHOLE_ALLOWANCE));
    piece.edge(Edge::seam("side", side.clone()));
    piece.edge(Edge::hem("hem", hem));
    piece.edge(Edge::fold("centre", line(foot, curve::start(&bodice.neck))));
    let dart = double_dart(measures, bodice.bust_point.x, FRONT_DART);
    piece.mark("waist-dart", MarkKind::Dart, dart);
    finish(piece, measures, &side, foot).mirrored()
}

/// A double dart at the waist: its width there, and its reach above and below.
fn double_dart(measures: &Measures, x: f64, [width, above, below]: [f64; 3]) -> BezPath {
    let middle = Point::new(x, measures.nape_to_waist);
    let mut path = BezPath::new();
    path.move_to(middle - Vec2::new(0.0, above));
    path.line_to(middle + Vec2::new(width / 2.0, 0.0));
    path.line_to(middle + Vec2::new(0.0, below));
    path.line_to(middle - Vec2::new(width / 2.0, 0.0));
    path.close_path();
    path
}

/// Notch at the waist, levels and grainline.
fn finish(mut piece: Piece, measures: &Measures, side: &BezPath, foot: Point) -> Piece {
    let waist = measures.nape_to_waist;
    let waist_walk = curve::walk_to_height(side, waist);
    piece.notch("side-notch", Notch::Single, station(side, waist_walk));
    let bust = armhole_depth(measures) + 27.0;
    let levels = [("bust", bust), ("waist", waist), ("hip", waist + measures.waist_to_hip)];
    for (name, height) in levels {
        let at = station(side, curve::walk_to_height(side, height)).at;
        piece.level(name, Point::new(0.0, at.y), at);
    }
    piece.grain(Point::new(40.0, 130.0), Point::new(40.0, foot.y - 80.0));
    piece
}
