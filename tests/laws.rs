//! The laws of the operations, over random pieces and parameters.

use retrue::curve::{Curve, Point};
use retrue::pattern::{Edge, Grainline, Pattern, Piece};
use retrue::recut::{Split, Step};

#[test]
fn split_smoke() {
    let p = |x: f64, y: f64| Point::new(x, y);
    let e = |n: &str, a, b| Edge::new(n.parse().unwrap(), Curve::line(a, b).unwrap());
    let mut piece = Piece::new(
        "front".parse().unwrap(),
        vec![
            e("top", p(0., 0.), p(100., 0.)),
            e("side", p(100., 0.), p(100., 200.)),
            e("hem", p(100., 200.), p(0., 200.)),
            e("centre", p(0., 200.), p(0., 0.)),
        ],
    )
    .unwrap();
    piece.grainline = Some(Grainline {
        start: p(50., 20.),
        end: p(50., 180.),
        arrows: Default::default(),
        kept: Default::default(),
    });
    let pattern = Pattern::new(vec![piece], vec![]).unwrap();
    let step = Step::from(Split {
        piece: "front".parse().unwrap(),
        line: "top@40% > hem@50%".parse().unwrap(),
        names: None,
        allowance: None,
    });
    let recut = step.apply(&pattern).unwrap();
    for piece in recut.pattern.pieces() {
        println!("{} {:?} {}", piece.name(), piece.bounds(), piece.outline().area());
        for edge in piece.edges() {
            println!("  {} {:?}", edge.name, edge.origins);
        }
        println!("  {:?} {:?}", piece.notches, piece.grainline);
    }
    for told in &recut.told {
        println!("{}", told.sentence(Default::default()));
    }
}
