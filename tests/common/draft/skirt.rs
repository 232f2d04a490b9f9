//! Skirts: panels with waist darts, and a skirt whose back has a shaped centre seam.

use kurbo::{BezPath, Point, Vec2};

use super::board::{Cut, DartedEdge, Edge, Notch, Piece};
use super::curve::{self, line, square_to, station};
use super::measures::Measures;
use super::seamlines::{Aim, WaistDart, WaistEnds, fitted_waistline, hem};
use super::sheet::Sheet;

/// How far the side comes in from the hip to the waist.
const SIDE_IN: f64 = 36.0;
/// Lean of the side seam at the waist (dx by dy) and at the hem.
const LEAN_AT_WAIST: f64 = 0.27;
const LEAN_AT_HEM: f64 = 0.02;
/// How far the hem stands out from the hip.
const FLARE: f64 = 12.0;
/// Shaping of the centre back seam at the waist, and its lean there.
const CENTRE_IN: f64 = 20.0;
const CENTRE_LEAN: f64 = -0.15;

/// What one panel of a skirt is drafted from.
pub struct SkirtRule {
    /// Sewn length of the half waistline.
    pub waist: f64,
    /// Width at the hip level.
    pub hip: f64,
    /// From the waist to the hip level, and from there to the hem.
    pub hip_depth: f64,
    pub below_hip: f64,
    pub darts: Vec<SkirtDart>,
    pub centre: CentreSeam,
}

/// A waist dart of a skirt, from the side on.
pub struct SkirtDart {
    /// Middle of its mouth as a share of the waist, from the centre.
    pub place: f64,
    /// Its mouth against those of the other darts.
    pub share: f64,
    pub depth: f64,
}

/// The centre edge: straight, or in at the waist and straight from the hip down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CentreSeam {
    Straight,
    Shaped,
}

/// Seamlines of one panel, clockwise from the centre of the waist.
pub struct SkirtPanel {
    pub waist: DartedEdge,
    pub side: BezPath,
    pub hem: BezPath,
    pub centre: BezPath,
}

impl SkirtPanel {
    /// The panel with its side's waist end at y = 0 and the centre line at x = 0.
    pub fn draft(rule: &SkirtRule) -> Self {
        let hip = Point::new(rule.hip, rule.hip_depth);
        let side = curve::down_through(
            &[Point::new(rule.hip - SIDE_IN, 0.0), hip, hip + Vec2::new(FLARE, rule.below_hip)],
            LEAN_AT_WAIST,
            LEAN_AT_HEM,
        );
        let top = station(&side, 0.0);
        let (centre, lean) = match rule.centre {
            CentreSeam::Straight => (0.0, 0.0),
            CentreSeam::Shaped => (CENTRE_IN, CENTRE_LEAN),
        };
        let ends = WaistEnds {
            side: top.at,
            leave: square_to(top.along),
            centre,
            arrive: square_to(Vec2::new(lean, 1.0)),
        };
        let width = top.at.x - centre;
        let darts: Vec<_> = rule
            .darts
            .iter()
            .map(|dart| WaistDart {
                centre: centre + width * dart.place,
                half_mouth: 8.0 * dart.share,
                aim: Aim::By(Vec2::new(dart.depth * 0.06 * dart.place, dart.depth)),
            })
            .collect();
        let waist = fitted_waistline(&ends, &darts, rule.waist).reversed();
        let hem = hem(&side, 0.0, 0.0);
        let centre = Self::centre_edge(rule, curve::end(&hem), curve::start(&waist.path()));
        Self { waist, side, hem, centre }
    }

    /// Walk distance of the hip level from the waist down the side.
    pub fn hip_walk(&self, rule: &SkirtRule) -> f64 {
        curve::walk_to_height(&self.side, rule.hip_depth)
    }

    /// Marks levels, given by their walk distance from the waist down the side.
    pub fn mark_levels(&self, piece: &mut Piece, levels: &[(&str, f64)]) {
        for &(name, walked) in levels {
            let side = station(&self.side, walked).at;
            let up = curve::walk_to_height(&self.centre, side.y);
            let centre = station(&self.centre, up).at;
            piece.level(name, Point::new(centre.x, side.y), side);
        }
    }

    fn centre_edge(rule: &SkirtRule, foot: Point, top: Point) -> BezPath {
        match rule.centre {
            CentreSeam::Straight => line(foot, top),
            CentreSeam::Shaped => {
                let hip = Point::new(0.0, rule.hip_depth);
                let shaped = curve::down_through(&[top, hip], CENTRE_LEAN, 0.0);
                curve::chain([&line(foot, hip), &curve::reversed(&shaped)])
            }
        }
    }
}

/// A skirt whose two back halves have a shaped centre seam, as a pattern sheet.
pub fn skirt_shaped_back(measures: &Measures) -> String {
    let panel_rule = |waist: f64, hip: f64, darts: Vec<SkirtDart>, centre: CentreSeam| SkirtRule {
        waist,
        hip,
        hip_depth: measures.waist_to_hip,
        below_hip: 420.0,
        darts,
        centre,
    };
    let front = panel_rule(
        measures.waist / 4.0 + 7.0,
        measures.hip / 4.0 + 4.0,
        vec![dart(0.45, 1.0, 90.0)],
        CentreSeam::Straight,
    );
    let back = panel_rule(
        measures.waist / 4.0 + 1.0,
        measures.hip / 4.0 + 18.0,
        vec![dart(0.48, 1.0, 125.0)],
        CentreSeam::Shaped,
    );
    let mut sheet = Sheet::new("Skirt with a shaped back", head(measures), 900.0);
    sheet.lay(front_piece(&front));
    sheet.lay(back_piece(&back));
    sheet.to_svg()
}

pub fn dart(place: f64, share: f64, depth: f64) -> SkirtDart {
    SkirtDart { place, share, depth }
}

fn front_piece(rule: &SkirtRule) -> Piece {
    let panel = SkirtPanel::draft(rule);
    let mut piece = Piece::new("front", Cut::One);
    piece.edge(Edge::free("waist", panel.waist.path(), 10.0));
    piece.edge(Edge::seam("side", panel.side.clone()).sewn_to("back.side"));
    piece.edge(Edge::hem("hem", panel.hem.clone()));
    piece.edge(Edge::fold("centre", panel.centre.clone()));
    piece.dart("waist-dart", &panel.waist.darts[0]);
    finish(piece, &panel, rule).mirrored()
}

fn back_piece(rule: &SkirtRule) -> Piece {
    let panel = SkirtPanel::draft(rule);
    let mut piece = Piece::new("back", Cut::Pair);
    piece.edge(Edge::free("waist", panel.waist.path(), 10.0));
    piece.edge(Edge::seam("side", panel.side.clone()));
    piece.edge(Edge::hem("hem", panel.hem.clone()));
    piece.edge(Edge::seam("centre", panel.centre.clone()).sewn_to("back.centre/m"));
    piece.dart("waist-dart", &panel.waist.darts[0]);
    let hip = curve::walk_to_height(&panel.centre, rule.hip_depth);
    piece.notch("centre-notch", Notch::Double, station(&panel.centre, hip));
    finish(piece, &panel, rule)
}

/// Notch at the hip, levels and grainline.
fn finish(mut piece: Piece, panel: &SkirtPanel, rule: &SkirtRule) -> Piece {
    let hip = panel.hip_walk(rule);
    piece.notch("side-notch", Notch::Single, station(&panel.side, hip));
    let levels = [("waist", 30.0), ("hip", hip), ("thigh", hip + 150.0)];
    panel.mark_levels(&mut piece, &levels);
    let hem = rule.hip_depth + rule.below_hip;
    piece.grain(Point::new(60.0, 60.0), Point::new(60.0, hem - 60.0));
    piece
}

fn head(measures: &Measures) -> String {
    format!(
        "Skirt with a shaped centre back seam, drafted for: {}.\n\
         Rules: quarter waist + 7 (front) and + 1 (back); quarter hip + 4 (front) and + 18 (back);\n\
         side in by {SIDE_IN} from hip to waist, out by {FLARE} at the hem; centre back in by {CENTRE_IN}\n\
         at the waist, straight and on the grain from the hip down; one waist dart in each half.",
        measures.told()
    )
}
