//! Patterns drawn for the tests.

use kurbo::BezPath;
use retrue::curve::{Curve, Motion, Point};
use retrue::pattern::{
    Cut, Dart, DartShape, Edge, EdgeRef, Finish, Grainline, Joins, Level, Mouth, Notch, NotchCount, Pattern,
    Piece, Seam, SewnFrom, Unsewn, orient,
};
use retrue::units::Length;

pub fn curve(d: &str) -> Curve {
    Curve::from_path(&BezPath::from_svg(d).unwrap()).unwrap()
}

/// A piece from names and path data of its edges in order; the word behind a name is its finish: `hem!hem`.
/// Seams that are sewn to nothing are meant so.
pub fn piece(name: &str, edges: &[(&str, &str)]) -> Piece {
    let edge = |(name, d): &(&str, &str)| {
        let (name, finish) = name.split_once('!').unwrap_or((name, "seam"));
        Edge {
            finish: match finish {
                "hem" => Finish::Hem,
                "fold" => Finish::Fold,
                "free" => Finish::Free,
                _ => Finish::Seam,
            },
            allowance: Length::from_mm(if finish == "fold" { 0.0 } else { 15.0 }),
            unsewn: Unsewn::Meant,
            ..Edge::new(name.parse().unwrap(), curve(d))
        }
    };
    let mut piece = Piece::new(name.parse().unwrap(), edges.iter().map(edge).collect()).unwrap();
    let middle = piece.bounds().center();
    piece.grainline = Some(Grainline {
        start: middle - (0.0, 20.0),
        end: middle + (0.0, 20.0),
        arrows: Default::default(),
        kept: Default::default(),
    });
    piece
}

pub fn cut(mut piece: Piece, cut: Cut) -> Piece {
    piece.cut = cut;
    piece
}

pub fn level(mut piece: Piece, name: &str, from: (f64, f64), to: (f64, f64)) -> Piece {
    piece.levels.push(Level {
        name: name.parse().unwrap(),
        stretches: vec![(from.into(), to.into())],
        girth: Default::default(),
        kept: Default::default(),
    });
    piece
}

pub fn notch(mut piece: Piece, name: &str, edge: &str, at: f64, count: NotchCount) -> Piece {
    piece.notches.push(Notch::new(name.parse().unwrap(), edge.parse().unwrap(), at, count));
    piece
}

/// A dart from two places on an edge to a tip.
pub fn dart(mut piece: Piece, name: &str, edge: &str, (from, to): (f64, f64), tip: Point) -> Piece {
    let id = piece.find_edge(&edge.parse().unwrap()).unwrap();
    let leg = |at| Curve::line(piece.point_on(id, at), tip).unwrap();
    let shape = DartShape::Open {
        mouth: Mouth { edge: edge.parse().unwrap(), from, to },
        legs: (leg(from), leg(to)),
    };
    piece.darts.push(Dart {
        name: name.parse().unwrap(),
        shape,
        kind: Default::default(),
        press: Default::default(),
        kept: Default::default(),
    });
    piece
}

/// A double dart from path data of its two sides.
pub fn double_dart(mut piece: Piece, name: &str, first: &str, second: &str) -> Piece {
    piece.darts.push(Dart {
        name: name.parse().unwrap(),
        shape: DartShape::Double { sides: (curve(first), curve(second)) },
        kind: Default::default(),
        press: Default::default(),
        kept: Default::default(),
    });
    piece
}

/// A seam as it is written: `front.side + back.side`, `sleeve.cap + front.armhole back.armhole = 25`,
/// `band.lower + front.waist from centre`.
struct Written {
    first: Vec<EdgeRef>,
    second: Vec<EdgeRef>,
    from: Option<SewnFrom>,
    ease: f64,
}

fn written(text: &str) -> Written {
    let (sides, ease) = text.split_once('=').unwrap_or((text, "0"));
    let (sides, from) = match sides.split_once(" from ") {
        Some((sides, from)) => (sides, Some(from.parse().unwrap())),
        None => (sides, None),
    };
    let (first, second) = sides.split_once('+').unwrap();
    let run = |side: &str| side.split_whitespace().map(|edge| edge.parse().unwrap()).collect();
    Written { first: run(first), second: run(second), from, ease: ease.trim().parse().unwrap() }
}

/// A pattern of pieces and seams as they are written.
pub fn pattern(pieces: Vec<Piece>, seams: &[&str]) -> Pattern {
    let mut pattern = Pattern::new(pieces, vec![]).unwrap();
    let seams: Vec<Written> = seams.iter().map(|seam| written(seam)).collect();
    let mut joins = Joins::default();
    for seam in &seams {
        joins.add(&seam.first, &seam.second);
    }
    for seam in &seams {
        let (first, second) =
            orient(&pattern, &joins, &seam.first, &seam.second, seam.from.as_ref()).unwrap();
        pattern.add_seam(Seam { first, second, ease: Length::from_mm(seam.ease) }).unwrap();
    }
    pattern.assert_sound();
    pattern
}

/// A skirt that is true: front on the fold and back in two halves, each with a waist dart; a band on the fold. Its waists
/// leave the centre and the side square, and meet the legs of their darts square.
///
/// ```text
///  centre ┌──waist─v─waist─┐
///         │                 \ side
///         └───────hem────────┘
/// ```
pub fn skirt_pieces() -> Vec<Piece> {
    let waist = "M0 0 C30 0 60.14 -0.1 90 -3 L110 -3 C139.86 -0.1 170 0 200 0";
    let tip = Point::new(100.0, 100.0);
    let half = |name: &str, centre: &str| {
        let mut waist = BezPath::from_svg(waist).unwrap();
        lean(&mut waist, tip);
        let waist = waist.to_svg();
        let shaped = piece(
            name,
            &[
                ("waist", waist.as_str()),
                ("side", "M200 0 C200 80 220 120 220 200 C220 300 220 300 220 400"),
                ("hem!hem", "M220 400 L0 400"),
                (centre, "M0 400 L0 0"),
            ],
        );
        let edge = shaped.find_edge(&"waist".parse().unwrap()).unwrap();
        let joints: Vec<f64> = shaped.edge(edge).curve.joints().iter().map(|joint| joint.at).collect();
        let shaped = dart(shaped, "waist-dart", "waist", (joints[0], joints[1]), tip);
        level(shaped, "hip", (0.0, 200.0), (220.0, 200.0))
    };
    let front = notch(half("front", "centre!fold"), "hip-notch", "side", 150.0, NotchCount::Single);
    let mirror = Motion::mirror_in(Point::new(-40.0, 0.0), Point::new(-40.0, 1.0)).unwrap();
    let back = notch(half("back", "centre-back"), "hip-notch", "side", 150.0, NotchCount::Single);
    let back = cut(moved(&back, &mirror), Cut::PAIR);
    let edge = front.find_edge(&"waist".parse().unwrap()).unwrap();
    let length = front.sewn_length(edge);
    let lower = format!("M{} 560 L0 560", 2.0 * length);
    let band = piece(
        "band",
        &[
            ("upper!free", &format!("M0 500 L{} 500", 2.0 * length)),
            ("end", &format!("M{0} 500 L{0} 560", 2.0 * length)),
            ("lower", lower.as_str()),
            ("centre!fold", "M0 560 L0 500"),
        ],
    );
    vec![front, back, notch(band, "side-notch", "lower", length, NotchCount::Single)]
}

/// Lets the two curves of a waist meet the legs of its dart square.
fn lean(waist: &mut BezPath, tip: Point) {
    let mut elements: Vec<kurbo::PathEl> = waist.elements().to_vec();
    let square = |at: Point| {
        let leg = (tip - at).normalize();
        30.0 * kurbo::Vec2::new(leg.y, -leg.x)
    };
    if let kurbo::PathEl::CurveTo(_, handle, end) = &mut elements[1] {
        *handle = *end - square(*end);
    }
    if let (kurbo::PathEl::LineTo(start), [.., kurbo::PathEl::CurveTo(handle, _, _)]) =
        (elements[2], &mut elements[..])
    {
        *handle = start + square(start);
    }
    *waist = BezPath::from_vec(elements);
}

pub const SKIRT_SEAMS: &[&str] = &[
    "front.side + back.side",
    "back.centre-back + back.centre-back/m",
    "band.lower + front.waist back.waist from centre",
    "band.end + band.end/m",
];

pub fn skirt() -> Pattern {
    pattern(skirt_pieces(), SKIRT_SEAMS)
}

/// A piece of the skirt changed, the rest as it is.
pub fn skirt_with(name: &str, change: impl Fn(Piece) -> Piece) -> Pattern {
    let pieces = skirt_pieces();
    let changed = pieces.into_iter().map(|piece| match piece.name().as_str() == name {
        true => change(piece),
        false => piece,
    });
    pattern(changed.collect(), SKIRT_SEAMS)
}

/// The piece as it lies after a motion, redrawn: a mirrored outline is travelled the other way round.
pub fn moved(piece: &Piece, motion: &Motion) -> Piece {
    let mirrored = motion.is_mirrored();
    let length = |name: &retrue::pattern::EdgeName| piece.edge(piece.find_edge(name).unwrap()).curve.length();
    let mut edges: Vec<Edge> = piece
        .edges()
        .iter()
        .map(|edge| {
            let curve = edge.curve.moved(motion);
            Edge { curve: if mirrored { curve.reversed() } else { curve }, ..edge.clone() }
        })
        .collect();
    if mirrored {
        edges.reverse();
    }
    let mut new = Piece::new(piece.name().clone(), edges).unwrap();
    new.cut = piece.cut;
    for notch in &piece.notches {
        let at = if mirrored { length(&notch.edge) - notch.at } else { notch.at };
        new.notches.push(Notch { at, ..notch.clone() });
    }
    for dart in &piece.darts {
        let mut dart = dart.moved(motion);
        if let (true, DartShape::Open { mouth, .. }) = (mirrored, &mut dart.shape) {
            let whole = length(&mouth.edge);
            (mouth.from, mouth.to) = (whole - mouth.to, whole - mouth.from);
        }
        new.darts.push(dart);
    }
    for level in &piece.levels {
        let stretches = level.stretches.iter().map(|(a, b)| (motion.apply(*a), motion.apply(*b))).collect();
        new.levels.push(Level { stretches, ..level.clone() });
    }
    new.points = piece.points.clone();
    for point in &mut new.points {
        point.at = motion.apply(point.at);
    }
    new.grainline = piece.grainline.clone().map(|grain| Grainline {
        start: motion.apply(grain.start),
        end: motion.apply(grain.end),
        ..grain
    });
    new
}
