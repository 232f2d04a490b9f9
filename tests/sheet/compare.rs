//! Whether two patterns are the same but for rounding.

use retrue::curve::{Curve, Point};
use retrue::pattern::{
    CornerShape, DartShape, Edge, EdgeName, Origin, Pattern, Piece, Run, Seam, ShapedCorner,
};

/// How far reading and writing may move a point, mm.
const MOVED: f64 = 1e-3;

fn assert_point(what: &str, a: Point, b: Point) {
    assert!(a.distance(b) < MOVED, "{what}: {a:?} went to {b:?}");
}

fn assert_curve(what: &str, a: &Curve, b: &Curve) {
    assert_eq!(a.segments().len(), b.segments().len(), "{what}");
    for share in 0..=20 {
        let at = |curve: &Curve| curve.point_at(curve.length() * f64::from(share) / 20.0);
        assert_point(what, at(a), at(b));
    }
}

fn assert_length(what: &str, a: f64, b: f64) {
    assert!((a - b).abs() < MOVED, "{what}: {a} became {b}");
}

/// The edge that an outline is counted from, since a sheet may begin it elsewhere.
fn first_of<'a>(piece: &'a Piece, like: &Piece) -> impl Iterator<Item = &'a Edge> {
    let start = piece.edges().iter().position(|edge| edge.name == like.edges()[0].name).unwrap();
    piece.edges().iter().cycle().skip(start).take(piece.edges().len())
}

fn assert_origins(what: &str, a: &[Origin], b: &[Origin]) {
    assert_eq!(a.len(), b.len(), "{what}");
    for (a, b) in a.iter().zip(b) {
        assert_eq!(a.edge, b.edge, "{what}");
        assert_length(what, a.from, b.from);
        assert_length(what, a.to, b.to);
    }
}

/// The corners, the two edges of each in the order of their names.
fn corners(piece: &Piece) -> Vec<(EdgeName, EdgeName, CornerShape)> {
    let told = |corner: &ShapedCorner| {
        let (a, b) = corner.edges.clone();
        if a < b { (a, b, corner.shape.clone()) } else { (b, a, corner.shape.clone()) }
    };
    piece.corners.iter().map(told).collect()
}

fn assert_same_piece(a: &Piece, b: &Piece) {
    let name = a.name();
    assert_eq!((a.cut, &a.cloth, &a.kept), (b.cut, &b.cloth, &b.kept), "{name}");
    assert_eq!(corners(a), corners(b), "{name}");
    assert_eq!(a.edges().len(), b.edges().len(), "{name}");
    for (a, b) in a.edges().iter().zip(first_of(b, a)) {
        let what = format!("{name}.{}", a.name);
        let said = |edge: &Edge| (edge.name.clone(), edge.finish, edge.selvedge, edge.kept.clone());
        assert_eq!(said(a), said(b), "{what}");
        assert_length(&what, a.allowance.mm(), b.allowance.mm());
        assert_origins(&what, &a.origins, &b.origins);
        assert_curve(&what, &a.curve, &b.curve);
    }
    assert_eq!(a.darts.len(), b.darts.len(), "{name}");
    for (a, b) in a.darts.iter().zip(&b.darts) {
        let what = format!("{name}.{}", a.name);
        assert_eq!((&a.name, &a.press, &a.kept), (&b.name, &b.press, &b.kept), "{what}");
        assert_curve(&what, a.legs().0, b.legs().0);
        assert_curve(&what, a.legs().1, b.legs().1);
        match (&a.shape, &b.shape) {
            (DartShape::Open { mouth: a, .. }, DartShape::Open { mouth: b, .. }) => {
                assert_eq!(a.edge, b.edge, "{what}");
                assert_length(&what, a.from, b.from);
                assert_length(&what, a.to, b.to);
            }
            (DartShape::Double { .. }, DartShape::Double { .. }) => {}
            _ => panic!("{what} became a dart of another sort"),
        }
    }
    assert_same_marks(a, b);
}

fn assert_same_marks(a: &Piece, b: &Piece) {
    let name = a.name();
    assert_eq!(a.notches.len(), b.notches.len(), "{name}");
    for (a, b) in a.notches.iter().zip(&b.notches) {
        let what = format!("{name}.{}", a.name);
        assert_eq!((&a.name, &a.edge, a.count, &a.kept), (&b.name, &b.edge, b.count, &b.kept), "{what}");
        assert_length(&what, a.at, b.at);
        assert_point(&what, a.tick.to_point(), b.tick.to_point());
    }
    assert_eq!(a.levels.len(), b.levels.len(), "{name}");
    for (a, b) in a.levels.iter().zip(&b.levels) {
        let what = format!("{name}.{}", a.name);
        assert_eq!((&a.name, a.girth, &a.kept), (&b.name, b.girth, &b.kept), "{what}");
        assert_eq!(a.stretches.len(), b.stretches.len(), "{what}");
        for (a, b) in a.stretches.iter().zip(&b.stretches) {
            assert_point(&what, a.0, b.0);
            assert_point(&what, a.1, b.1);
        }
    }
    assert_eq!(a.points.len(), b.points.len(), "{name}");
    for (a, b) in a.points.iter().zip(&b.points) {
        assert_eq!((&a.name, &a.kept), (&b.name, &b.kept), "{name}");
        assert_point(a.name.as_str(), a.at, b.at);
        assert_length(a.name.as_str(), a.radius, b.radius);
    }
    assert_eq!(a.style_lines.len(), b.style_lines.len(), "{name}");
    for (a, b) in a.style_lines.iter().zip(&b.style_lines) {
        assert_eq!((&a.name, &a.kept), (&b.name, &b.kept), "{name}");
        assert_curve(a.name.as_str(), &a.curve, &b.curve);
    }
    match (&a.grainline, &b.grainline) {
        (Some(a), Some(b)) => {
            assert_eq!((a.arrows, &a.kept), (b.arrows, &b.kept), "{name}");
            assert_point("grain", a.start, b.start);
            assert_point("grain", a.end, b.end);
        }
        (a, b) => assert_eq!(a, b, "{name}"),
    }
    assert_eq!(a.marks.len(), b.marks.len(), "{name}");
    for (a, b) in a.marks.iter().zip(&b.marks) {
        assert_eq!((&a.id, &a.source, a.lines.len()), (&b.id, &b.source, b.lines.len()), "{name}");
        a.lines.iter().zip(&b.lines).for_each(|(a, b)| assert_curve("mark", a, b));
        if let (Some(a), Some(b)) = (a.anchor, b.anchor) {
            assert_point("mark", a, b);
        }
    }
}

/// A seam in a form that does not depend on which side is named first, nor from which end it is told, nor on which copy.
fn told(seam: &Seam) -> String {
    let ease = (seam.ease.mm() * 1e3).round() + 0.0;
    let ways = [(&seam.first, &seam.second, ease), (&seam.second, &seam.first, -ease + 0.0)];
    let tell = |a: &Run, b: &Run, ease: f64| format!("{:?} {:?} {ease}", a.edges(), b.edges());
    let told = ways.into_iter().flat_map(|(a, b, ease)| {
        [
            tell(a, b, ease),
            tell(&a.reversed(), &b.reversed(), ease),
            tell(&a.mirrored(), &b.mirrored(), ease),
            tell(&a.reversed().mirrored(), &b.reversed().mirrored(), ease),
        ]
    });
    told.min().unwrap()
}

/// The seams, in an order of their own.
pub fn seams(pattern: &Pattern) -> Vec<String> {
    let mut seams: Vec<String> = pattern.seams().iter().map(told).collect();
    seams.sort();
    seams
}

/// Asserts that two patterns are the same but for rounding and for the order of seams.
pub fn assert_same(a: &Pattern, b: &Pattern) {
    assert_eq!(a.pieces().len(), b.pieces().len());
    for (a, b) in a.pieces().zip(b.pieces()) {
        assert_eq!(a.name(), b.name());
        assert_same_piece(a, b);
    }
    assert_eq!(seams(a), seams(b));
    assert_eq!(a.record, b.record);
    assert_eq!(a.background.definitions, b.background.definitions);
    assert_eq!(a.background.prolog, b.background.prolog);
    let sources = |p: &Pattern| p.background.foreign.iter().map(|f| f.source.clone()).collect::<Vec<_>>();
    assert_eq!(sources(a), sources(b));
}
