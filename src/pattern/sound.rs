//! What must hold of every pattern, whatever was done to it.

use crate::pattern::{DartShape, Pattern, Piece};
use crate::tolerance::SAME_POINT;
use crate::tolerance::WELD;

impl Pattern {
    /// Asserts what must hold of every pattern: outlines closed bit for bit and clockwise, names unique,
    /// darts and notches on edges that exist, seams between edges that exist.
    ///
    /// # Panics
    ///
    /// Where it does not hold: that is a fault of an operation, never of the user. Called after every step
    /// in debug builds, and in tests.
    pub fn assert_sound(&self) {
        for piece in self.pieces() {
            assert_piece_sound(piece);
        }
        for seam in self.seams() {
            for run in seam.edges() {
                assert!(self.find_edge(&run.edge).is_some(), "seam names {} which is gone", run.edge);
            }
            assert!(seam.ease.mm().is_finite());
        }
    }
}

fn assert_piece_sound(piece: &Piece) {
    let name = piece.name();
    for id in piece.edge_ids() {
        let (edge, next) = (piece.edge(id), piece.edge(piece.next(id)));
        assert!(
            edge.curve.end() == next.curve.start(),
            "{name}: {} and {} do not meet",
            edge.name,
            next.name
        );
        assert!(piece.find_edge(&edge.name) == Some(id), "{name}: two edges are named {}", edge.name);
    }
    assert!(piece.outline().area() > 0.0, "{name}: the outline does not run clockwise");
    for notch in &piece.notches {
        let edge = piece.find_edge(&notch.edge).map(|id| piece.edge(id));
        assert!(
            edge.is_some_and(|edge| (-SAME_POINT..=edge.curve.length() + SAME_POINT).contains(&notch.at)),
            "{name}: notch {} is off its edge",
            notch.name
        );
    }
    for dart in &piece.darts {
        let DartShape::Open { mouth, legs } = &dart.shape else { continue };
        let edge = piece.find_edge(&mouth.edge).map(|id| piece.edge(id));
        let Some(edge) = edge else { panic!("{name}: dart {} opens on no edge", dart.name) };
        assert!(
            mouth.from < mouth.to && mouth.from >= 0.0 && mouth.to <= edge.curve.length(),
            "{name}: dart {} opens from {} to {} of {}, {} mm long",
            dart.name,
            mouth.from,
            mouth.to,
            mouth.edge,
            edge.curve.length()
        );
        for (leg, at) in [(&legs.0, mouth.from), (&legs.1, mouth.to)] {
            let off = leg.start().distance(edge.curve.point_at(at));
            assert!(off <= WELD, "{name}: a leg of {} starts {off} mm from its mouth", dart.name);
        }
        assert!(legs.0.end().distance(legs.1.end()) <= WELD, "{name}: the legs of {} do not meet", dart.name);
    }
}
