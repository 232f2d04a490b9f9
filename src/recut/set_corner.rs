//! `set-corner`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::allowance::CutShape;
use crate::pattern::{self, CornerShape, EdgeId, Field, Finish, Operation, Piece, Refusal, RefusalKind};
use crate::recut::fields::{CornerEdges, CornerWish};
use crate::recut::{Notice, Work};

/// Set the shape of a corner of the cutting line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetCorner {
    /// The two edges that meet there: "front.side, front.hem"; square is squared to the first. Of a piece of two edges both corners are set.
    #[arg(long, value_name = "A, B")]
    pub edges: CornerEdges,
    /// mitre, square, turned-up, jog, usual (as the trade would), or point (as usual, and the line that runs on there across a fold or a seam is meant to come to a point: a V neck).
    #[arg(long, value_name = "SHAPE")]
    pub shape: CornerWish,
}

impl SetCorner {
    /// A shape for the corner between two edges.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::allowance::as_cut;
    /// use retrue::recut::{CornerWish, SetCorner, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let step = SetCorner::of("front.centre, front.hem".parse()?, CornerWish::Square);
    /// let squared = Step::from(step).apply(&coat)?.pattern;
    /// let front = "front".parse()?;
    /// assert_eq!(squared.piece(&front)?.outline().area(), coat.piece(&front)?.outline().area());
    /// assert!(as_cut(&squared, squared.piece(&front)?).is_ok());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edges: CornerEdges, shape: CornerWish) -> SetCorner {
        SetCorner { edges, shape }
    }
}

pub(super) fn set_corner(step: &SetCorner, work: &mut Work) -> Result<(), Refusal> {
    let (first, second) = (&step.edges.first, &step.edges.second);
    if first.piece != second.piece {
        return Err(Refusal::new(
            RefusalKind::BadField,
            format!("{first}, {second}"),
            "a corner lies between two edges of one piece",
            format!("name another edge of `{}`", first.piece),
        )
        .about(&step.edges));
    }
    let piece = work.pattern.piece_mut(&first.piece)?;
    let (a, b) = (piece.edge_named(&first.edge)?, piece.edge_named(&second.edge)?);
    if a == b || (piece.next(a) != b && piece.next(b) != a) {
        let neighbours = (piece.edge(piece.previous(a)).name.clone(), piece.edge(piece.next(a)).name.clone());
        return Err(Refusal::new(
            RefusalKind::BadField,
            format!("{first}, {second}"),
            "the two edges do not meet at a corner",
            format!("`{}` meets `{}` and `{}`", first.edge, neighbours.0, neighbours.1),
        )
        .about(&step.edges));
    }
    refuse_no_hem(piece, (a, b), step)?;
    refuse_no_point(piece, (a, b), step)?;
    let pair = (first.edge.clone(), second.edge.clone());
    piece.corners.retain(|corner| corner.edges != pair && corner.edges != (pair.1.clone(), pair.0.clone()));
    let shape = match step.shape {
        CornerWish::Mitre => CornerShape::Mitre,
        CornerWish::Square => CornerShape::Square(pair.0.clone()),
        CornerWish::TurnedUp => CornerShape::TurnedUp,
        CornerWish::Jog => CornerShape::Jog,
        CornerWish::Point => CornerShape::Point,
        CornerWish::Usual => return Ok(()),
    };
    let name = piece.name().clone();
    piece.corners.push(pattern::ShapedCorner { edges: pair, shape });
    let line = work.cutting_line(&name)?;
    let set = line.corners.iter().filter(|corner| [(a, b), (b, a)].contains(&corner.edges));
    if let Some(gave) = set.map(|corner| corner.shape).find(|cut| gives_way(step.shape, *cut)) {
        work.tell(Notice::CornerGaveWay { edges: step.edges.clone(), shape: step.shape, cut: gave });
    }
    Ok(())
}

/// Whether a corner is cut otherwise than it was set. The tip of a mitre may be cut off.
fn gives_way(set: CornerWish, cut: CutShape) -> bool {
    match set {
        CornerWish::Mitre => !matches!(cut, CutShape::Mitre | CutShape::CappedMitre),
        CornerWish::Square => !matches!(cut, CutShape::Square(_)),
        CornerWish::TurnedUp => !matches!(cut, CutShape::TurnedUp(_)),
        CornerWish::Jog => cut != CutShape::Jog,
        CornerWish::Point | CornerWish::Usual => false,
    }
}

/// Refuses a point where no line runs on across a fold or a seam.
fn refuse_no_point(piece: &Piece, (a, b): (EdgeId, EdgeId), step: &SetCorner) -> Result<(), Refusal> {
    let crossed = |id| matches!(piece.edge(id).finish, Finish::Fold | Finish::Seam);
    if step.shape != CornerWish::Point || crossed(a) || crossed(b) {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        &step.edges,
        "neither edge is a fold or a seam across which the other could run on",
        "a corner that is drawn needs no word for it: leave it as it is, or choose mitre, square or jog",
    ))
}

/// Refuses a turned-up corner where there is nothing that is turned up.
fn refuse_no_hem(piece: &Piece, (a, b): (EdgeId, EdgeId), step: &SetCorner) -> Result<(), Refusal> {
    let turned = |id| matches!(piece.edge(id).finish, Finish::Hem | Finish::Free);
    if step.shape != CornerWish::TurnedUp || turned(a) || turned(b) {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        &step.edges,
        "neither edge is a hem that could be turned up",
        advice!(
            "make one of them a hem first: ",
            Operation::SetEdge.with(Field::Finish, "hem"),
            "; or choose mitre, square or jog"
        ),
    ))
}
