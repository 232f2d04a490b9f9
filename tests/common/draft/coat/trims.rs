//! The small pieces of the coat: collars, neck facing, pocket, belt, cuff, hanger.

use kurbo::{BezPath, Point, Vec2};

use super::super::board::{Cut, Edge, Notch, Piece};
use super::super::curve::{self, fair, heading, length, line, square_to, station};
use super::super::measures::Measures;
use super::{Body, OVERLAP};

/// Depth of the collar.
const COLLAR_DEPTH: f64 = 70.0;
/// Rise of the collar's neck edge from centre back to the front, in degrees.
const COLLAR_RISE: f64 = 9.0;
/// Length of the pocket mouth.
pub const POCKET_MOUTH: f64 = 160.0;

/// All small pieces in the order in which they are laid.
pub fn all(body: &Body, measures: &Measures) -> Vec<Piece> {
    vec![
        collar(body),
        under_collar(body),
        body.back_neck_facing(),
        pocket_bag("pocket-bag"),
        pocket_bag("pocket-bag-under").mirrored(),
        pocket_welt(),
        hanger(),
        belt(measures),
        cuff(body, measures),
    ]
}

/// Seamlines of the half collar: clockwise from the centre back at the upper edge.
struct CollarLines {
    outer: BezPath,
    front: BezPath,
    neck: BezPath,
    centre: BezPath,
}

fn collar_lines(body: &Body) -> CollarLines {
    let asked = length(&body.back.neck) + length(&body.front.neck);
    let centre = Point::new(0.0, COLLAR_DEPTH);
    let neck_of = |width: f64| {
        let end = Point::new(width, COLLAR_DEPTH - width * COLLAR_RISE.to_radians().tan() / 2.0);
        fair(centre, Vec2::new(1.0, 0.0), end, heading(-COLLAR_RISE))
    };
    let width = curve::solve(asked * 0.8, asked, |width| length(&neck_of(width)) - asked);
    let neck = neck_of(width);
    let (top, front_neck) = (Point::ZERO, curve::end(&neck));
    let front_top = front_neck - square_to(heading(-COLLAR_RISE)) * COLLAR_DEPTH;
    CollarLines {
        outer: fair(top, Vec2::new(1.0, 0.0), front_top, heading(-COLLAR_RISE)),
        front: line(front_top, front_neck),
        neck: curve::reversed(&neck),
        centre: line(centre, top),
    }
}

fn collar(body: &Body) -> Piece {
    let lines = collar_lines(body);
    let mut piece = Piece::new("collar", Cut::One);
    let facings = "back.neck front.neck; back-neck-facing.neck front-facing.neck";
    collar_edges(&mut piece, body, &lines, [facings, "under-collar.outer", "under-collar.front"]);
    piece.edge(Edge::fold("centre", lines.centre));
    piece.grain(Point::new(40.0, 10.0), Point::new(40.0, 55.0));
    piece
}

/// Cut twice, on the bias, with a seam at the centre back.
fn under_collar(body: &Body) -> Piece {
    let lines = collar_lines(body);
    let mut piece = Piece::new("under-collar", Cut::Pair).of_cloth("companion");
    collar_edges(&mut piece, body, &lines, ["back.neck front.neck", "", ""]);
    piece.edge(Edge::seam("centre", lines.centre).sewn_to("under-collar.centre/m"));
    piece.grain(Point::new(45.0, 55.0), Point::new(85.0, 15.0));
    piece
}

/// Outer, front and neck edges with the notches at the shoulder and the centre front.
fn collar_edges(piece: &mut Piece, body: &Body, lines: &CollarLines, sewn_to: [&str; 3]) {
    let [neck, outer, front] = sewn_to;
    let seam = |name: &str, path: &BezPath, partners: &str| {
        let edge = Edge::seam(name, path.clone());
        if partners.is_empty() { edge } else { edge.sewn_to(partners) }
    };
    piece.edge(seam("outer", &lines.outer, outer));
    piece.edge(seam("front", &lines.front, front));
    piece.edge(seam("neck", &lines.neck, neck));
    piece.notch("neck-front-notch", Notch::Single, station(&lines.neck, OVERLAP));
    let shoulder = length(&body.front.neck);
    piece.notch("neck-shoulder-notch", Notch::Single, station(&lines.neck, shoulder));
}

/// One layer of the welt pocket; deeper toward the front so that the hand rests in it.
fn pocket_bag(name: &str) -> Piece {
    let mouth_end = Point::new(POCKET_MOUTH, 0.0);
    let (fore, hind) = (Point::new(POCKET_MOUTH, 190.0), Point::new(0.0, 170.0));
    let down = Vec2::new(-1.0, 0.0);
    let mut piece = Piece::new(name, Cut::Pair).of_cloth("companion");
    let (mouth, fore_side) = (line(Point::ZERO, mouth_end), line(mouth_end, fore));
    let bottom = curve::curve(fore, down * 60.0, hind, down * 60.0);
    let hind_side = line(hind, Point::ZERO);
    let upper = name == "pocket-bag";
    let seam = |edge: &str, path: BezPath| {
        let drafted = Edge::seam(edge, path);
        if upper { drafted.sewn_to(&format!("pocket-bag-under.{edge}")) } else { drafted }
    };
    piece.edge(if upper {
        Edge::seam("mouth", mouth).sewn_to("pocket-welt.lower from fore")
    } else {
        Edge::free("mouth", mouth, 10.0)
    });
    piece.edge(seam("fore", fore_side));
    piece.edge(seam("bottom", bottom));
    piece.edge(seam("hind", hind_side));
    piece.grain(Point::new(30.0, 20.0), Point::new(30.0, 150.0));
    piece
}

/// Half of the welt, folded along its upper edge.
fn pocket_welt() -> Piece {
    let depth = 30.0;
    let corners = rectangle(POCKET_MOUTH, depth);
    let mut piece = Piece::new("pocket-welt", Cut::Pair);
    piece.edge(Edge::fold("turn", line(corners[0], corners[1])));
    piece.edge(Edge::seam("hind", line(corners[1], corners[2])).sewn_to("pocket-welt.hind/m"));
    piece.edge(Edge::seam("lower", line(corners[2], corners[3])));
    piece.edge(Edge::seam("fore", line(corners[3], corners[0])).sewn_to("pocket-welt.fore/m"));
    piece.grain(Point::new(15.0, 15.0), Point::new(120.0, 15.0));
    piece
}

/// Half of the belt from the fold at the centre back; sewn to a tube with a slanted end.
fn belt(measures: &Measures) -> Piece {
    let depth = 84.0;
    let corners = rectangle(measures.waist / 2.0 + 330.0, depth);
    let mut piece = Piece::new("belt", Cut::One);
    piece.edge(Edge::seam("upper", line(corners[0], corners[1])).sewn_to("belt.lower from centre"));
    piece.edge(Edge::free("end", line(corners[1], corners[2]), 10.0));
    piece.edge(Edge::seam("lower", line(corners[2], corners[3])));
    piece.edge(Edge::fold("centre", line(corners[3], corners[0])));
    piece.grain(Point::new(60.0, 42.0), Point::new(corners[1].x - 60.0, 42.0));
    piece
}

/// Half of the cuff, folded at its outer edge; its ends are sewn to a ring round the sleeve.
fn cuff(body: &Body, measures: &Measures) -> Piece {
    let wrist = body.wrist(measures);
    let corners = rectangle(wrist, 75.0);
    let mut piece = Piece::new("cuff", Cut::Pair);
    piece.edge(Edge::free("top", line(corners[0], corners[1]), 10.0));
    piece.edge(Edge::seam("end-front", line(corners[1], corners[2])).sewn_to("cuff.end-back from turn"));
    piece.edge(Edge::fold("turn", line(corners[2], corners[3])));
    piece.edge(Edge::seam("end-back", line(corners[3], corners[0])));
    piece.grain(Point::new(40.0, 12.0), Point::new(40.0, 63.0));
    piece
}

/// A loop for hanging the coat up, folded in four; sewn in with the collar.
fn hanger() -> Piece {
    let corners = rectangle(90.0, 32.0);
    let mut piece = Piece::new("hanger", Cut::One);
    for (index, name) in ["upper", "end-front", "lower", "end-back"].into_iter().enumerate() {
        let path = line(corners[index], corners[(index + 1) % 4]);
        piece.edge(Edge::free(name, path, 0.0));
    }
    piece.grain(Point::new(10.0, 16.0), Point::new(80.0, 16.0));
    piece
}

/// Corners of an upright rectangle, clockwise from the upper left.
fn rectangle(width: f64, depth: f64) -> [Point; 4] {
    [Point::ZERO, Point::new(width, 0.0), Point::new(width, depth), Point::new(0.0, depth)]
}
