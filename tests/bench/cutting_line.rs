//! How long cutting lines take: of a twelve-edge bodice with curved edges, three darts with their caps, a hem and a fold,
//! and of each piece of the shipped coat.

use divan::{Bencher, black_box};
use kurbo::{CubicBez, PathSeg};
use retrue::allowance::{SewingOrder, cutting_lines};
use retrue::curve::{Curve, Point};
use retrue::pattern::{Dart, DartShape, Edge, EdgeName, Finish, Mouth, Pattern, Piece, Press};
use retrue::units::Length;

fn main() {
    divan::main();
}

/// The cutting line of one piece, with the corners that the pattern's seams bring together known.
#[divan::bench]
fn twelve_edges_with_caps(bencher: Bencher) {
    let pattern = Pattern::new(vec![bodice()], Vec::new()).expect("a sound pattern");
    let order = SewingOrder::of(&pattern);
    let piece = pattern.pieces().next().expect("one piece");
    bencher.bench(|| order.cutting_line(black_box(piece)));
}

/// The same piece with allowances deeper than its armhole allows, which must be trimmed.
#[divan::bench]
fn twelve_edges_trimmed(bencher: Bencher) {
    let mut piece = bodice();
    for id in piece.edge_ids() {
        *piece.edge_settings(id).allowance = Length::from_mm(70.0);
    }
    let pattern = Pattern::new(vec![piece], Vec::new()).expect("a sound pattern");
    let order = SewingOrder::of(&pattern);
    let piece = pattern.pieces().next().expect("one piece");
    bencher.bench(|| order.cutting_line(black_box(piece)));
}

/// Each piece of the coat, by its place on the sheet.
#[divan::bench(args = 0..13)]
fn piece_of_the_coat(bencher: Bencher, index: usize) {
    let pattern = coat();
    let order = SewingOrder::of(&pattern);
    let piece = pattern.pieces().nth(index).expect("thirteen pieces");
    bencher.bench(|| order.cutting_line(black_box(piece)));
}

/// All pieces of the coat.
#[divan::bench]
fn whole_coat(bencher: Bencher) {
    let pattern = coat();
    bencher.bench(|| cutting_lines(black_box(&pattern)));
}

fn coat() -> Pattern {
    let sheet = include_bytes!("../../fixtures/coat.svg");
    retrue::sheet::read(sheet, &Default::default()).expect("a pattern sheet").pattern
}

fn bodice() -> Piece {
    let p = Point::new;
    let outline = [
        ("centre", vec![p(0.0, 400.0), p(0.0, 80.0)], Finish::Fold),
        ("neck", vec![p(0.0, 80.0), p(20.0, 80.0), p(38.0, 71.0), p(51.0, 56.0)], Finish::Seam),
        ("neck-upper", vec![p(51.0, 56.0), p(64.0, 41.0), p(72.0, 20.0), p(75.0, 0.0)], Finish::Seam),
        ("shoulder", vec![p(75.0, 0.0), p(190.0, 40.0)], Finish::Seam),
        ("armhole", vec![p(190.0, 40.0), p(170.0, 80.0), p(166.0, 110.0), p(174.0, 140.0)], Finish::Seam),
        ("underarm", vec![p(174.0, 140.0), p(182.0, 172.0), p(205.0, 190.0), p(240.0, 190.0)], Finish::Seam),
        ("side", vec![p(240.0, 190.0), p(230.0, 330.0)], Finish::Seam),
        (
            "side-lower",
            vec![p(230.0, 330.0), p(225.0, 360.0), p(222.0, 390.0), p(221.0, 420.0)],
            Finish::Seam,
        ),
        ("hem-side", vec![p(221.0, 420.0), p(180.0, 424.0), p(140.0, 425.0), p(110.0, 425.0)], Finish::Hem),
        ("hem", vec![p(110.0, 425.0), p(60.0, 425.0)], Finish::Hem),
        ("hem-front", vec![p(60.0, 425.0), p(40.0, 425.0)], Finish::Hem),
        ("front", vec![p(40.0, 425.0), p(25.0, 420.0), p(10.0, 410.0), p(0.0, 400.0)], Finish::Free),
    ];
    let edges = outline.into_iter().map(|(name, points, finish)| {
        let allowance = Length::from_mm(if finish == Finish::Hem { 40.0 } else { 15.0 });
        Edge { finish, allowance, ..Edge::new(name.parse().expect("a name"), curve(&points)) }
    });
    let mut piece = Piece::new("bodice".parse().expect("a name"), edges.collect()).expect("a sound outline");
    for (name, edge, from, to, tip) in [
        ("side-dart", "side", 60.0, 85.0, p(130.0, 230.0)),
        ("shoulder-dart", "shoulder", 50.0, 62.0, p(115.0, 130.0)),
        ("neck-dart", "neck-upper", 25.0, 33.0, p(40.0, 130.0)),
    ] {
        let edge: EdgeName = edge.parse().expect("a name");
        let at = piece.edge_named(&edge).expect("an edge of the piece");
        let leg = |walked: f64| Curve::line(piece.point_on(at, walked), tip).expect("a leg with length");
        let shape = DartShape::Open { mouth: Mouth { edge, from, to }, legs: (leg(from), leg(to)) };
        let name = name.parse().expect("a name");
        piece.darts.push(Dart {
            name,
            shape,
            kind: Default::default(),
            press: Press::Usual,
            kept: Default::default(),
        });
    }
    piece
}

fn curve(points: &[Point]) -> Curve {
    match *points {
        [a, b, c, d] => Curve::new([PathSeg::Cubic(CubicBez::new(a, b, c, d))]),
        _ => Curve::polyline(points),
    }
    .expect("a curve with length")
}
