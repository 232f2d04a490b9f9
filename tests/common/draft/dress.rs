//! A fitted dress: bodice with bust, shoulder and waist darts, skirt with waist darts, one-piece
//! sleeve, and a lining without a waist seam, shaped by double darts.

mod bodice;
mod lining;

use kurbo::Point;

use super::board::{Cut, DartedEdge, Edge, Notch, Piece};
use super::curve::{length, station};
use super::measures::Measures;
use super::sheet::Sheet;
use super::skirt::{CentreSeam, SkirtPanel, SkirtRule, dart};
use super::sleeve::{SleeveRule, sleeve};
use bodice::{Back, Front};

/// Fullness eased into the cap over the armhole.
const CAP_EASE: f64 = 22.0;
/// Where the notch of a waist seam lies, from the centre.
const WAIST_NOTCH: f64 = 40.0;

/// The dress as a pattern sheet.
pub fn dress(measures: &Measures) -> String {
    let back = Back::draft(measures);
    let front = Front::draft(measures, &back);
    let mut sheet = Sheet::new("Dress", head(measures), 1500.0);
    sheet.lay(back.piece(front.bust_walk()));
    sheet.lay(front.piece());
    sheet.lay(sleeve(&SleeveRule {
        front_armhole: length(&front.armhole),
        back_armhole: length(&back.armhole),
        front_notch: bodice::FRONT_NOTCH,
        back_notch: bodice::BACK_NOTCH,
        ease: CAP_EASE,
        length: measures.arm,
        taper: 5.0,
        sewn_to: "bodice-front.armhole bodice-back.armhole",
    }));
    sheet.lay(skirt_back(measures, &back.waist));
    sheet.lay(skirt_front(measures, &front.waist));
    sheet.lay(lining::back(measures, &back));
    sheet.lay(lining::front(measures, &front));
    sheet.to_svg()
}

/// Below the hip level, down to the hem.
const BELOW_HIP: f64 = 400.0;

fn skirt_front(measures: &Measures, bodice: &DartedEdge) -> Piece {
    let rule = SkirtRule {
        waist: bodice.sewn_length(),
        hip: measures.hip / 4.0 + 6.0,
        hip_depth: measures.waist_to_hip,
        below_hip: BELOW_HIP,
        darts: vec![dart(0.45, 1.0, 90.0)],
        centre: CentreSeam::Straight,
    };
    let panel = SkirtPanel::draft(&rule);
    let mut piece = Piece::new("skirt-front", Cut::One);
    let waist = Edge::seam("waist", panel.waist.path());
    piece.edge(waist.sewn_to("bodice-front.waist"));
    piece.edge(Edge::seam("side", panel.side.clone()).sewn_to("skirt-back.side"));
    piece.edge(Edge::hem("hem", panel.hem.clone()));
    piece.edge(Edge::fold("centre", panel.centre.clone()));
    piece.dart("waist-dart", &panel.waist.darts[0]);
    skirt_marks(&mut piece, &panel, &rule, Notch::Single);
    piece.mirrored()
}

fn skirt_back(measures: &Measures, bodice: &DartedEdge) -> Piece {
    let rule = SkirtRule {
        waist: bodice.sewn_length(),
        hip: measures.hip / 4.0 + 14.0,
        hip_depth: measures.waist_to_hip,
        below_hip: BELOW_HIP,
        darts: vec![dart(0.68, 1.0, 110.0), dart(0.36, 1.2, 135.0)],
        centre: CentreSeam::Straight,
    };
    let panel = SkirtPanel::draft(&rule);
    let mut piece = Piece::new("skirt-back", Cut::Pair);
    let waist = Edge::seam("waist", panel.waist.path());
    piece.edge(waist.sewn_to("bodice-back.waist"));
    piece.edge(Edge::seam("side", panel.side.clone()));
    piece.edge(Edge::hem("hem", panel.hem.clone()));
    let centre = Edge::seam("centre", panel.centre.clone());
    piece.edge(centre.sewn_to("skirt-back.centre/m"));
    piece.dart("inner-dart", &panel.waist.darts[0]);
    piece.dart("outer-dart", &panel.waist.darts[1]);
    skirt_marks(&mut piece, &panel, &rule, Notch::Double);
    piece
}

/// Notches at waist and hip, the levels, the grainline.
fn skirt_marks(piece: &mut Piece, panel: &SkirtPanel, rule: &SkirtRule, notch: Notch) {
    let hip = panel.hip_walk(rule);
    piece.notch("waist-notch", notch, panel.waist.station(WAIST_NOTCH));
    piece.notch("side-notch", Notch::Single, station(&panel.side, hip));
    panel.mark_levels(piece, &[("hip", hip), ("thigh", hip + 150.0)]);
    let hem = rule.hip_depth + rule.below_hip;
    piece.grain(Point::new(50.0, 150.0), Point::new(50.0, hem - 60.0));
}

fn head(measures: &Measures) -> String {
    format!(
        "Dress, drafted for: {}.\n\
         Rules: armhole depth bust/10 + 118; quarter bust + 16 (back) and + 19 (front); across back half\n\
         the body's + 6, chest 12 less; neck width neck/5 - 1, rise 20; quarter waist + 8 (back) and + 12\n\
         (front), quarter hip + 14 (back) and + 6 (front); shoulder dart 13 wide and 85 long; bust dart\n\
         bust/27 wide, aimed with the front waist dart at the bust point, tips 25 short of it; waist\n\
         darts take up what the side leaves; cap height 0.335 of the armhole, cap eased by {CAP_EASE}.",
        measures.told()
    )
}
