//! A straight coat to below the knee: buttoned fronts, back on the fold, one-piece sleeve, stand
//! collar, facings, welt pockets, belt and turned cuffs.

mod trims;

use kurbo::{BezPath, Point, Vec2};

use super::board::{Cut, Edge, MarkKind, Notch, Piece};
use super::curve::{self, chain, curve as bend, heading, length, line, station};
use super::measures::Measures;
use super::seamlines::{ArmholeRule, armhole, hem};
use super::sheet::Sheet;
use super::sleeve::{SleeveRule, sleeve};

/// Overlap beyond the centre front that carries the buttons.
const OVERLAP: f64 = 30.0;
/// Ease on the quarter bust, back and front: a coat goes over other clothes.
const BACK_EASE: f64 = 28.0;
const FRONT_EASE: f64 = 31.0;
/// Where the hem ends, out from the underarm: balanced between back and front.
const BACK_FLARE: f64 = 12.0;
const FRONT_FLARE: f64 = 13.0;
/// Where the side comes in at the waist.
const BACK_WAIST: f64 = 8.0;
const FRONT_WAIST: f64 = 7.0;
/// Slope of the shoulder below the level, in degrees.
const BACK_SHOULDER: f64 = 19.0;
const FRONT_SHOULDER: f64 = 22.0;
/// Fullness eased into the cap over the armhole.
const CAP_EASE: f64 = 25.0;
/// Width of the neck and front facings at the shoulder, and of the front facing beyond the centre.
const FACING_AT_SHOULDER: f64 = 45.0;
const FACING_BELOW: f64 = 75.0;

/// The coat as a pattern sheet.
pub fn coat(measures: &Measures) -> String {
    let body = Body::draft(measures);
    let mut sheet = Sheet::new("Coat", head(measures), 1560.0);
    sheet.lay(body.back_piece());
    sheet.lay(body.front_piece());
    sheet.lay(body.front_facing());
    sheet.lay(sleeve(&body.sleeve_rule(measures)));
    for piece in trims::all(&body, measures) {
        sheet.lay(piece);
    }
    sheet.to_svg()
}

/// Back and front on one board, centre at x = 0, nape at y = 0, side to the right.
struct Body {
    back: Panel,
    front: Panel,
    neck_depth: f64,
    bust_point: Point,
    /// Heights of the levels on the back; the front's follow by the walk of the side seam.
    levels: [(&'static str, f64); 5],
}

/// The seamlines of one panel, clockwise; `side` runs down from the underarm.
struct Panel {
    neck: BezPath,
    shoulder: BezPath,
    armhole: BezPath,
    side: BezPath,
    hem: BezPath,
    /// Sewn distance of the armhole's notch from the underarm.
    notch: f64,
}

/// Where the corners of a panel lie.
struct Corners {
    neck: Point,
    shoulder_slope: f64,
    shoulder_length: f64,
    /// Where the armhole comes nearest to the centre.
    narrowest: Point,
    /// Underarm, waist, hip, hem, down the side.
    side: [Point; 4],
    /// Handles of the lower armhole: share of its height, share of its width.
    hollow: (f64, f64),
    notch: f64,
}

/// The lines of the drafting frame that back and front share.
struct Frame {
    /// Depth of the armhole line below the nape.
    depth: f64,
    /// Half across back.
    across: f64,
    /// End of the back neck at the shoulder.
    neck: Point,
    shoulder_length: f64,
    waist: f64,
    hip: f64,
    hem: f64,
    quarter_bust: f64,
    /// How far the side stands out at the hip, from the underarm.
    hip_out: f64,
}

impl Frame {
    /// Armhole depth bust/10 and 133; across back half of the body's and 5; neck width neck/5 and
    /// its rise 22; shoulder to 7 beyond the across back; hem 340 below the hip.
    fn of(measures: &Measures) -> Self {
        let across = measures.across_back / 2.0 + 5.0;
        let neck = Point::new(measures.neck / 5.0, -22.0);
        let waist = measures.nape_to_waist;
        let hip = waist + measures.waist_to_hip;
        let quarter_bust = measures.bust / 4.0;
        Self {
            depth: measures.bust / 10.0 + 133.0,
            across,
            neck,
            shoulder_length: (across + 7.0 - neck.x) / heading(BACK_SHOULDER).x,
            waist,
            hip,
            hem: hip + 340.0,
            quarter_bust,
            hip_out: (measures.hip / 4.0 + 15.0 - quarter_bust - BACK_EASE).clamp(1.0, 5.0),
        }
    }

    fn back(&self) -> Panel {
        let neck = bend(
            Point::ZERO,
            Vec2::new(self.neck.x * 0.62, 0.0),
            self.neck,
            heading(BACK_SHOULDER - 90.0) * 12.0,
        );
        let underarm = self.quarter_bust + BACK_EASE;
        let corners = Corners {
            neck: self.neck,
            shoulder_slope: BACK_SHOULDER,
            shoulder_length: self.shoulder_length,
            narrowest: Point::new(self.across, self.depth * 0.62),
            side: self.side(underarm, BACK_WAIST, BACK_FLARE, self.hem - 2.0),
            hollow: (0.62, 0.55),
            notch: 88.0,
        };
        Panel::draft(&corners).with_neck(neck).with_hem(0.0, 0.0)
    }

    /// The front whose side seam is as long as `asked`; its chest is 10 less than the across back.
    fn front(&self, neck_depth: f64, asked: f64) -> Panel {
        let neck_end = self.neck + Vec2::new(-1.0, -3.0);
        let underarm = self.quarter_bust + FRONT_EASE;
        let panel = |hem_end: f64| {
            Panel::draft(&Corners {
                neck: neck_end,
                shoulder_slope: FRONT_SHOULDER,
                shoulder_length: self.shoulder_length,
                narrowest: Point::new(self.across - 10.0, self.depth * 0.72),
                side: self.side(underarm, FRONT_WAIST, FRONT_FLARE, hem_end),
                hollow: (0.66, 0.62),
                notch: 78.0,
            })
        };
        let hem_end =
            curve::solve(self.hem - 12.0, self.hem + 8.0, |hem_end| length(&panel(hem_end).side) - asked);
        let centre = Point::new(0.0, neck_depth);
        let neck = chain([
            &line(centre - Vec2::new(OVERLAP, 0.0), centre),
            &bend(
                centre,
                Vec2::new(neck_end.x * 0.66, 0.0),
                neck_end,
                heading(FRONT_SHOULDER - 90.0) * neck_depth * 0.42,
            ),
        ]);
        let panel = panel(hem_end).with_neck(neck);
        panel.with_hem(-OVERLAP, FACING_BELOW)
    }

    /// Underarm, waist, hip and hem of a side seam.
    fn side(&self, underarm: f64, waist_in: f64, flare: f64, hem_end: f64) -> [Point; 4] {
        [
            Point::new(underarm, self.depth),
            Point::new(underarm - waist_in, self.waist),
            Point::new(underarm + self.hip_out, self.hip),
            Point::new(underarm + flare, hem_end),
        ]
    }
}

impl Body {
    /// Bust point bust/10 from the centre and 28 below the armhole line, on the bust level.
    fn draft(measures: &Measures) -> Self {
        let frame = Frame::of(measures);
        let neck_depth = frame.neck.x + 8.0;
        let back = frame.back();
        let front = frame.front(neck_depth, length(&back.side));
        let bust = frame.depth + 28.0;
        Self {
            back,
            front,
            neck_depth,
            bust_point: Point::new(measures.bust / 10.0, bust),
            levels: [
                ("across", frame.depth * 0.62),
                ("bust", bust),
                ("waist", frame.waist),
                ("hip", frame.hip),
                ("thigh", frame.hip + 130.0),
            ],
        }
    }

    fn back_piece(&self) -> Piece {
        let panel = &self.back;
        let hem_end = curve::end(&panel.hem);
        let mut piece = Piece::new("back", Cut::One);
        piece.edge(Edge::seam("neck", panel.neck.clone()));
        piece.edge(Edge::seam("shoulder", panel.shoulder.clone()).sewn_to("front.shoulder"));
        piece.edge(Edge::seam("armhole", panel.armhole.clone()));
        piece.edge(Edge::seam("side", panel.side.clone()).sewn_to("front.side"));
        piece.edge(Edge::hem("hem", panel.hem.clone()));
        piece.edge(Edge::fold("centre", line(hem_end, Point::ZERO)));
        panel.mark_notches(&mut piece, Notch::Double);
        for (name, height) in self.levels {
            piece.level(name, Point::new(0.0, height), panel.at_height(height));
        }
        let waist = self.waist_walk();
        piece.notch("side-notch", Notch::Single, station(&panel.side, waist));
        piece.grain(Point::new(60.0, 70.0), Point::new(60.0, hem_end.y - 90.0));
        piece
    }

    fn front_piece(&self) -> Piece {
        let panel = &self.front;
        let (neck_end, hem_end) = (curve::start(&panel.neck), curve::end(&panel.hem));
        let centre = line(hem_end, neck_end);
        let mut piece = Piece::new("front", Cut::Pair);
        piece.edge(Edge::seam("neck", panel.neck.clone()));
        piece.edge(Edge::seam("shoulder", panel.shoulder.clone()));
        piece.edge(Edge::seam("armhole", panel.armhole.clone()));
        piece.edge(Edge::seam("side", panel.side.clone()));
        piece.edge(Edge::hem("hem", panel.hem.clone()));
        piece.edge(Edge::seam("centre", centre.clone()).sewn_to("front-facing.centre"));
        panel.mark_notches(&mut piece, Notch::Single);
        for (name, height) in self.levels {
            let side = if name == "across" {
                panel.at_height(height)
            } else {
                let walked = curve::walk_to_height(&self.back.side, height);
                station(&panel.side, walked).at
            };
            piece.level(name, Point::new(0.0, side.y), side);
        }
        piece.notch("side-notch", Notch::Single, station(&panel.side, self.waist_walk()));
        piece.notch("neck-notch", Notch::Single, station(&panel.neck, OVERLAP));
        piece.notch("centre-notch", Notch::Single, station(&centre, self.centre_notch()));
        piece.point("bust-point", self.bust_point);
        piece.grain(Point::new(45.0, 150.0), Point::new(45.0, hem_end.y - 90.0));
        self.mark_placements(&mut piece);
        piece.mirrored()
    }

    /// Centre line, welt pocket and buttonholes: carried with the cloth.
    fn mark_placements(&self, piece: &mut Piece) {
        let hem = curve::end(&self.front.hem).y;
        let top = Point::new(0.0, self.neck_depth);
        piece.mark("centre-front", MarkKind::Placement, line(top, Point::new(0.0, hem)));
        let waist = self.levels[2].1;
        let pocket = Point::new(self.bust_point.x + 30.0, waist + 70.0);
        let slant = heading(65.0) * trims::POCKET_MOUTH;
        piece.mark("pocket", MarkKind::Placement, line(pocket, pocket + slant));
        let first = self.neck_depth + 18.0;
        let step = (waist + 60.0 - first) / 3.0;
        for (index, name) in
            ["buttonhole-1", "buttonhole-2", "buttonhole-3", "buttonhole-4"].into_iter().enumerate()
        {
            let height = first + step * f64::from(u32::try_from(index).expect("four"));
            let hole = line(Point::new(-3.0, height), Point::new(24.0, height));
            piece.mark(name, MarkKind::Placement, hole);
        }
    }

    fn front_facing(&self) -> Piece {
        let panel = &self.front;
        let (neck_end, hem_end) = (curve::start(&panel.neck), curve::end(&panel.hem));
        let (shoulder, _) = curve::cut_at(&panel.shoulder, FACING_AT_SHOULDER);
        let shoulder_end = curve::end(&shoulder);
        let hem_corner = Point::new(FACING_BELOW, hem_end.y);
        let bend_end = Point::new(FACING_BELOW, self.levels[1].1 + 40.0);
        let inner = chain([
            &bend(shoulder_end, heading(90.0 + FRONT_SHOULDER) * 90.0, bend_end, Vec2::new(0.0, 110.0)),
            &line(bend_end, hem_corner),
        ]);
        let centre = line(hem_end, neck_end);
        let mut piece = Piece::new("front-facing", Cut::Pair);
        piece.edge(Edge::seam("neck", panel.neck.clone()).sewn_to("front.neck"));
        piece.edge(Edge::seam("shoulder", shoulder).sewn_to("back-neck-facing.shoulder"));
        piece.edge(Edge::free("inner", inner, 0.0));
        piece.edge(Edge::hem("hem", line(hem_corner, hem_end)));
        piece.edge(Edge::seam("centre", centre.clone()));
        piece.notch("neck-notch", Notch::Single, station(&panel.neck, OVERLAP));
        piece.notch("centre-notch", Notch::Single, station(&centre, self.centre_notch()));
        piece.grain(Point::new(55.0, 300.0), Point::new(55.0, hem_end.y - 90.0));
        piece.mirrored()
    }

    fn back_neck_facing(&self) -> Piece {
        let panel = &self.back;
        let (shoulder, _) = curve::cut_at(&panel.shoulder, FACING_AT_SHOULDER);
        let shoulder_end = curve::end(&shoulder);
        let centre_end = Point::new(0.0, FACING_AT_SHOULDER + 10.0);
        let outer =
            bend(shoulder_end, heading(90.0 + BACK_SHOULDER) * 32.0, centre_end, Vec2::new(-55.0, 0.0));
        let mut piece = Piece::new("back-neck-facing", Cut::One);
        piece.edge(Edge::seam("neck", panel.neck.clone()).sewn_to("back.neck"));
        piece.edge(Edge::seam("shoulder", shoulder));
        piece.edge(Edge::free("outer", outer, 0.0));
        piece.edge(Edge::fold("centre", line(centre_end, Point::ZERO)));
        piece.grain(Point::new(22.0, 8.0), Point::new(22.0, 46.0));
        piece
    }

    fn sleeve_rule(&self, measures: &Measures) -> SleeveRule {
        SleeveRule {
            front_armhole: length(&self.front.armhole),
            back_armhole: length(&self.back.armhole),
            front_notch: self.front.notch,
            back_notch: self.back.notch,
            ease: CAP_EASE,
            length: measures.arm + 20.0,
            taper: 6.0,
            sewn_to: "front.armhole back.armhole",
        }
    }

    /// Girth of the cuff: the sleeve's hem and room for the turned cloth.
    fn wrist(&self, measures: &Measures) -> f64 {
        let sleeve = sleeve(&self.sleeve_rule(measures));
        let hem = sleeve.edges.iter().find(|edge| edge.name == "hem");
        hem.map_or(0.0, |edge| length(&edge.path)) + 8.0
    }

    /// Walk distance of the waist from the underarm down the side.
    fn waist_walk(&self) -> f64 {
        curve::walk_to_height(&self.back.side, self.levels[2].1)
    }

    /// Walk distance of the waist from the hem up the front edge.
    fn centre_notch(&self) -> f64 {
        curve::end(&self.front.hem).y - self.levels[2].1
    }
}

impl Panel {
    /// Shoulder, armhole and side. The armhole leaves the shoulder and meets the side square, and
    /// runs parallel to the grain where it is nearest to the centre.
    fn draft(corners: &Corners) -> Self {
        let slope = heading(corners.shoulder_slope);
        let shoulder_end = corners.neck + slope * corners.shoulder_length;
        let side = curve::down_through(&corners.side, -0.06, 0.012);
        let armhole = armhole(&ArmholeRule {
            shoulder_end,
            shoulder: slope,
            narrowest: corners.narrowest,
            underarm: corners.side[0],
            side: station(&side, 0.0).along,
            hollow: corners.hollow,
        });
        Self {
            neck: BezPath::new(),
            shoulder: line(corners.neck, shoulder_end),
            armhole,
            side,
            hem: BezPath::new(),
            notch: corners.notch,
        }
    }

    fn with_neck(mut self, neck: BezPath) -> Self {
        self.neck = neck;
        self
    }

    /// A hem that meets the side square and is straight from `straight_to` to the centre edge.
    fn with_hem(mut self, centre: f64, straight_to: f64) -> Self {
        self.hem = hem(&self.side, centre, straight_to);
        self
    }

    /// Where a level of the back or the chest meets the armhole or the side.
    fn at_height(&self, height: f64) -> Point {
        let edge = if height < curve::start(&self.side).y { &self.armhole } else { &self.side };
        station(edge, curve::walk_to_height(edge, height)).at
    }

    fn mark_notches(&self, piece: &mut Piece, notch: Notch) {
        let from_shoulder = length(&self.armhole) - self.notch;
        piece.notch("armhole-notch", notch, station(&self.armhole, from_shoulder));
    }
}

fn head(measures: &Measures) -> String {
    format!(
        "Coat, drafted for: {}.\n\
         Rules: armhole depth bust/10 + 133; quarter bust + 28 (back) and + 31 (front); overlap 30;\n\
         across back half the body's + 5; neck width neck/5, rise 22; side in 7 to 8 at the waist,\n\
         out by hip/4 + 15 at the hip and 12 to 13 at the hem; bust point bust/10 from the centre;\n\
         cap height 0.335 of the armhole, cap eased by 25; hems 40, seams 15.",
        measures.told()
    )
}
