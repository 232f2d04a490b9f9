//! Edges held on a selvedge, and half pieces on the fold: where an item may lie across the cloth.

use kurbo::{Point, Shape};

use crate::allowance::{Halves, turned};
use crate::cloth::Selvedges;
use crate::cloth::layout::Reason;
use crate::cloth::layout::copies::PieceCopy;
use crate::cloth::layout::sheets::{Ground, Spread};
use crate::cloth::search::{Hold, Turn};
use crate::curve::{Curve, Motion};
use crate::pattern::{Edge, Piece, Selvedge};
use crate::tolerance::{OFF_SELVEDGE, SELVEDGE_STRAYS};
use crate::units::Angle;

/// Which sides of a piece are to be held, as it lies at a turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct HeldSides {
    pub(super) left: bool,
    pub(super) right: bool,
}

/// The edges of a piece that are to lie on a selvedge or on the fold of the cloth, as they lie at no turn: with the cut
/// edge's distance outside them.
pub(super) struct HeldEdges {
    edges: Vec<(Curve, f64, String)>,
    on_fold: bool,
}

impl HeldEdges {
    pub(super) fn of(piece: &Piece, copy: &PieceCopy) -> HeldEdges {
        let motion = copy.cut.from_sheet();
        let on_selvedge = piece.edges().iter().filter(|edge| edge.selvedge == Selvedge::Yes);
        let mut edges: Vec<(Curve, f64, String)> = on_selvedge
            .map(|edge| (edge.curve.moved(motion), cut_beyond(edge), edge.name.to_string()))
            .collect();
        let fold = piece.fold().map(|fold| piece.edge(fold));
        if let (Some(fold), Halves::Opened) = (fold, copy.halves) {
            let axis = fold.curve.moved(motion);
            if let Ok(mirroring) = Motion::mirror_in(axis.start(), axis.end()) {
                let images = edges
                    .iter()
                    .map(|(curve, beyond, name)| (curve.moved(&mirroring), *beyond, name.clone()));
                edges.extend(images.collect::<Vec<_>>());
            }
        }
        let on_fold = copy.halves == Halves::OnFold;
        if let (Some(fold), true) = (fold, on_fold) {
            edges.insert(0, (fold.curve.moved(motion), 0.0, fold.name.to_string()));
        }
        HeldEdges { edges, on_fold }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.edges.is_empty()
    }

    /// The sides that the edges are on at a turn.
    ///
    /// # Errors
    ///
    /// An edge that does not run along the grain there, or beside which the piece reaches farther out.
    pub(super) fn sides(&self, copy: &PieceCopy, degrees: f64) -> Result<HeldSides, Reason> {
        let turn = turned(Angle::from_degrees(degrees));
        let bounds = (turn.to_affine() * copy.cut.path().clone()).bounding_box();
        let mut sides = HeldSides::default();
        for (curve, beyond, name) in &self.edges {
            let reach = curve.moved(&turn).bounds();
            let strays = reach.width();
            let to_left = reach.x0 - beyond - bounds.x0;
            let to_right = bounds.x1 - reach.x1 - beyond;
            let short = to_left.min(to_right);
            if strays > SELVEDGE_STRAYS || short > SELVEDGE_STRAYS {
                let by = if strays > SELVEDGE_STRAYS { strays } else { short };
                return Err(Reason::EdgeNotAtSide { piece: copy.piece.clone(), edge: name.clone(), by });
            }
            if to_left <= to_right { sides.left = true } else { sides.right = true }
        }
        Ok(sides)
    }

    /// Whether the fold, which comes first among the edges, lies at the left of the piece at a turn.
    fn fold_lies_left(&self, degrees: f64) -> bool {
        let turn = turned(Angle::from_degrees(degrees));
        self.edges.first().is_some_and(|(curve, ..)| curve.moved(&turn).bounds().center().x < 0.0)
    }

    /// The holds on a ground at one of the item's turns.
    ///
    /// # Errors
    ///
    /// Why it cannot be held there.
    pub(super) fn holds(
        &self,
        copy: &PieceCopy,
        outline: &[Point],
        (place, ground): (usize, &Ground),
        finished: Selvedges,
        (number, turn): (usize, &Turn),
    ) -> Result<Hold, Reason> {
        let sides = self.sides(copy, turn.degrees)?;
        let left = matches!(finished, Selvedges::Both | Selvedges::Left);
        let right = matches!(finished, Selvedges::Both | Selvedges::Right);
        let (left, right) = match ground.spread {
            Spread::Single => (left, right),
            Spread::Folded => (self.on_fold, left && right),
        };
        let none = || Reason::NoSelvedge { piece: copy.piece.clone(), cloth: copy.cloth.clone() };
        let fold_is_right = self.on_fold && !self.fold_lies_left(turn.degrees);
        if !ground.has_selvedges() || (sides.left && !left) || (sides.right && !right) || fold_is_right {
            return Err(none());
        }
        let lies = turned(Angle::from_degrees(turn.degrees));
        let across = outline.iter().map(|point| lies.apply(*point).x);
        let (from, to) = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), x| (l.min(x), m.max(x)));
        let hold = |across| Ok(Hold { sheet: place, turn: number, across });
        if !sides.right {
            return hold(-from);
        }
        let Some(width) = ground.even_width else {
            return Err(Reason::UnevenSelvedge { piece: copy.piece.clone(), cloth: copy.cloth.clone() });
        };
        if !sides.left {
            return hold(width - to);
        }
        let spare = width - (to - from);
        if spare > 2.0 * OFF_SELVEDGE {
            let (as_cut, _) = copy.cut.reach(Angle::from_degrees(turn.degrees));
            return Err(Reason::NotBothSelvedges { piece: copy.piece.clone(), width: as_cut, cloth: width });
        }
        hold(spare / 2.0 - from)
    }
}

/// How far outside the seamline an edge is cut.
fn cut_beyond(edge: &Edge) -> f64 {
    edge.cut_allowance().mm()
}
