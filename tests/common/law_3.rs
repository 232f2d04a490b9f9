//! Law 3: what any seam that takes darts in must keep.

use retrue::pattern::{DartShape, EdgeRef, Pattern, Side, Walk};
use retrue::recut::{Notice, Recut};
use retrue::truing::girths;

use crate::common::measure::{
    curve_of, declared_area, edges, net_area, sewn_length_now, sharpest_corner, walked, whole_length_now,
};
use crate::random::bodice::Draft;

/// The widths of the mouths of the darts that were taken in, by the edge on which they opened.
fn mouths_taken(before: &Pattern, recut: &Recut) -> Vec<(EdgeRef, f64)> {
    let mut taken = Vec::new();
    for told in &recut.notices {
        let Notice::DartTaken { piece, dart } = told else { continue };
        let dart = before.find(piece).unwrap().dart_named(dart).unwrap();
        if let DartShape::Open { mouth, .. } = &dart.shape {
            taken.push((EdgeRef::new(piece.clone(), mouth.edge.clone()), mouth.to - mouth.from));
        }
    }
    taken
}

/// What must hold after any seam that takes darts in.
pub fn assert_law_3(before: &Pattern, recut: &Recut, most_ease: f64) {
    let after = &recut.pattern;
    after.assert_sound();
    let taken = mouths_taken(before, recut);
    for edge in edges(before) {
        let (piece, id) = before.edge(&edge).unwrap();
        let (was, is) = (piece.sewn_length(id), sewn_length_now(after, &edge));
        assert!((was - is).abs() < 1e-6, "{edge} was sewn {was} mm long, is {is}");
        let gone: f64 = taken.iter().filter(|(of, _)| of.same_edge(&edge)).map(|(_, width)| width).sum();
        let whole = whole_length_now(after, &edge);
        let drawn = piece.edge(id).curve.length();
        assert!((drawn - gone - whole).abs() < 1e-6, "{edge}: {drawn} less mouths {gone} became {whole}");
    }
    for (i, seam) in before.seams().iter().enumerate() {
        let (was, is) = (walked(before, seam), walked(after, &after.seams()[i]));
        assert!((was.0 - is.0).abs() < 1e-6 && (was.1 - is.1).abs() < 1e-6, "{}", seam.name());
    }
    let (was, is) = (net_area(before), net_area(after));
    let declared = declared_area(after);
    assert!((was + declared - is).abs() < 1e-6 * was, "area {was} and declared {declared} against {is}");
    assert_girths_recorded(before, after);
    assert_seam(after, most_ease);
}

/// What changed of a girth stands in the record, but for what is too little to be told.
fn assert_girths_recorded(before: &Pattern, after: &Pattern) {
    for (was, is) in girths(before).iter().zip(girths(after)) {
        assert_eq!(was.level, is.level);
        let changed = is.around.mm() - was.around.mm();
        let recorded = after.record.declared_girth(&was.level);
        assert!((changed - recorded).abs() <= 0.1, "{}: {changed} mm, recorded {recorded} mm", was.level);
    }
}

/// Both seamlines of the new seam: equally long but for the ease, without corners, notched alike.
pub fn assert_seam(after: &Pattern, most_ease: f64) {
    let seam = after.seams().last().unwrap();
    let (first, second) = walked(after, seam);
    let ease = seam.ease.mm();
    assert!((first - second - ease).abs() < 1e-5, "{first} and {second} differ by other than {ease}");
    assert!(ease.abs() <= most_ease + 1e-6, "eased by {ease}");
    let notches = Side::BOTH.map(|side| {
        let notches = Walk::of(after, seam.side(side)).unwrap().notches();
        assert_eq!(notches.len(), 2, "{}", seam.name());
        notches
    });
    let [a, b] = &notches;
    assert!((a[0].at - b[0].at).abs() < 1e-6, "first notches at {} and {}", a[0].at, b[0].at);
    let from_end = (first - a[1].at, second - b[1].at);
    assert!((from_end.0 - from_end.1).abs() < 1e-6, "last notches {from_end:?} from the end");
    assert!(a[0].count == b[0].count && a[1].count == b[1].count && a[0].count != a[1].count);
}

/// The seamlines have no corner near the point, and the notches stand equally far from it.
pub fn assert_smooth_at_point(draft: &Draft, after: &Pattern) {
    let seam = after.seams().last().unwrap();
    let mut with_point = 0;
    for side in Side::BOTH {
        let edge = &seam.side(side).edges()[0].edge;
        let curve = curve_of(after, edge);
        let piece = after.piece(&edge.piece).unwrap();
        let notches = Walk::of(after, seam.side(side)).unwrap().notches();
        let on_edge: Vec<f64> =
            piece.notches.iter().filter(|notch| notch.edge == edge.edge).map(|notch| notch.at).collect();
        let (low, high) = (on_edge[0].min(on_edge[1]), on_edge[0].max(on_edge[1]));
        let corner = sharpest_corner(curve, low, high);
        assert!(corner < 0.5, "{edge} has a corner of {corner}°");
        for point in piece.points.iter().filter(|point| point.name.as_str() == draft.point_name()) {
            let near = curve.nearest(point.at);
            assert!(near.distance < 1e-6, "the point lies {} mm off {edge}", near.distance);
            let off = (near.at - f64::midpoint(low, high)).abs();
            assert!(off < 2.0, "{edge}: notches at {low} and {high}, the point at {}", near.at);
            with_point += 1;
        }
        assert_eq!(notches.len(), 2);
    }
    assert!(with_point >= 1, "the point is lost");
}
