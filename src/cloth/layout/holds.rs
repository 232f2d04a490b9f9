//! Edges held on a selvedge, and half pieces on the fold: where an item may lie across the cloth.

use kurbo::{Point, Shape};

use crate::allowance::{AsCut, Halves, turned};
use crate::cloth::layout::copies::PieceCopy;
use crate::cloth::layout::polygon::around;
use crate::cloth::layout::sheets::{Ground, Spread};
use crate::cloth::layout::turns::turns;
use crate::cloth::search::{Hold, Turn};
use crate::cloth::{Cloth, OffSelvedge, Selvedges};
use crate::curve::{Curve, Motion};
use crate::pattern::{Edge, EdgeName, Piece, Selvedge};
use crate::tolerance::{OFF_SELVEDGE, SELVEDGE_STRAYS};
use crate::units::Angle;

/// The edge that is to be held on either side of a piece as it lies at a turn, where there is one.
#[derive(Clone, Copy, Debug, Default)]
struct HeldSides<'a> {
    left: Option<&'a EdgeName>,
    right: Option<&'a EdgeName>,
}

/// The edges of a piece that are to lie on a selvedge or on the fold of the cloth, as they lie at no turn: with the cut
/// edge's distance outside them.
pub(super) struct HeldEdges {
    edges: Vec<(Curve, f64, EdgeName)>,
    on_fold: bool,
}

impl HeldEdges {
    pub(super) fn of(piece: &Piece, copy: &PieceCopy) -> HeldEdges {
        let motion = copy.cut.from_sheet();
        let on_selvedge = piece.edges().iter().filter(|edge| edge.selvedge == Selvedge::Yes);
        let mut edges: Vec<(Curve, f64, EdgeName)> =
            on_selvedge.map(|edge| (edge.curve.moved(motion), cut_beyond(edge), edge.name.clone())).collect();
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
            edges.insert(0, (fold.curve.moved(motion), 0.0, fold.name.clone()));
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
    fn sides(&self, copy: &PieceCopy, degrees: f64) -> Result<HeldSides<'_>, OffSelvedge> {
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
                return Err(OffSelvedge::NotAtSide { edge: name.clone(), by });
            }
            let side = if to_left <= to_right { &mut sides.left } else { &mut sides.right };
            side.get_or_insert(name);
        }
        Ok(sides)
    }

    /// Whether the fold, which comes first among the edges, lies at the left of the piece at a turn.
    fn fold_lies_left(&self, degrees: f64) -> bool {
        let turn = turned(Angle::from_degrees(degrees));
        self.edges.first().is_some_and(|(curve, ..)| curve.moved(&turn).bounds().center().x < 0.0)
    }

    /// The holds of a copy on all that is at hand of its cloth, at each of its turns.
    ///
    /// # Errors
    ///
    /// Why it can be held nowhere.
    pub(super) fn places(
        &self,
        copy: &PieceCopy,
        outline: &[Point],
        grounds: &[(usize, &Ground)],
        finished: Selvedges,
        turns: &[Turn],
    ) -> Result<Vec<Hold>, OffSelvedge> {
        let (mut holds, mut why) = (Vec::new(), None);
        for ground in grounds {
            for turn in turns.iter().enumerate() {
                match self.hold(copy, outline, *ground, finished, turn) {
                    Ok(hold) => holds.push(hold),
                    Err(miss) => why = why.or(Some(miss)),
                }
            }
        }
        why.filter(|_| holds.is_empty()).map_or(Ok(holds), Err)
    }

    /// The hold on a ground at one of the turns.
    ///
    /// # Errors
    ///
    /// Why it cannot be held there.
    fn hold(
        &self,
        copy: &PieceCopy,
        outline: &[Point],
        (place, ground): (usize, &Ground),
        finished: Selvedges,
        (number, turn): (usize, &Turn),
    ) -> Result<Hold, OffSelvedge> {
        let sides = self.sides(copy, turn.degrees)?;
        let left = matches!(finished, Selvedges::Both | Selvedges::Left);
        let right = matches!(finished, Selvedges::Both | Selvedges::Right);
        let (left, right) = match ground.spread {
            Spread::Single => (left, right),
            Spread::Folded => (self.on_fold, left && right),
        };
        let fold_is_right = self.on_fold && !self.fold_lies_left(turn.degrees);
        let nowhere = if !ground.has_selvedges() || fold_is_right {
            sides.left.or(sides.right)
        } else {
            sides.left.filter(|_| !left).or(sides.right.filter(|_| !right))
        };
        if let Some(edge) = nowhere {
            return Err(OffSelvedge::NoSelvedge { edge: edge.clone() });
        }
        let lies = turned(Angle::from_degrees(turn.degrees));
        let across = outline.iter().map(|point| lies.apply(*point).x);
        let (from, to) = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), x| (l.min(x), m.max(x)));
        let hold = |across| Ok(Hold { sheet: place, turn: number, across });
        let Some(edge) = sides.right else {
            return hold(-from);
        };
        let Some(width) = ground.even_width else {
            return Err(OffSelvedge::Uneven { edge: edge.clone() });
        };
        if sides.left.is_none() {
            return hold(width - to);
        }
        let spare = width - (to - from);
        if spare > 2.0 * OFF_SELVEDGE {
            let (as_cut, _) = copy.cut.reach(Angle::from_degrees(turn.degrees));
            return Err(OffSelvedge::NotBoth { edge: edge.clone(), width: as_cut, cloth: width });
        }
        hold(spare / 2.0 - from)
    }
}

/// Why a piece by itself lies on no selvedge of its cloth where its edges are to, left or right; none where it does, and where
/// none of them is to.
pub(in crate::cloth) fn off_selvedge(
    piece: &Piece,
    cut: &AsCut,
    cloth: &Cloth,
    tolerance: Angle,
) -> Option<OffSelvedge> {
    if piece.edges().iter().all(|edge| edge.selvedge == Selvedge::No) {
        return None;
    }
    let grounds = Ground::of_cloth(cloth, Spread::Single);
    let grounds: Vec<(usize, &Ground)> = grounds.iter().enumerate().collect();
    let turns = turns((piece, cloth), false, tolerance);
    PieceCopy::of_each_hand(piece, cut).iter().find_map(|copy| {
        let held = HeldEdges::of(piece, copy);
        held.places(copy, &around(copy.cut.path()), &grounds, cloth.selvedges, &turns).err()
    })
}

/// How far outside the seamline an edge is cut.
fn cut_beyond(edge: &Edge) -> f64 {
    edge.cut_allowance().mm()
}
