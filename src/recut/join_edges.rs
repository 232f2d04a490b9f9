//! `join-edges`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::turn_between;
use crate::parts::join::are_sewn_alike;
use crate::pattern::{
    Edge, EdgeId, EdgeName, EdgeRef, Field, Finish, Operation, Piece, Refusal, RefusalKind,
};
use crate::recut::divide::join;
use crate::recut::fields::CornerEdges;
use crate::recut::{Notice, Work};
use crate::tolerance::CHECKED_ANGLE;

/// Make one edge of two that run on in each other; what was sewn stays sewn.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct JoinEdges {
    /// The two edges: "front.side, front.side-2".
    #[arg(long, value_name = "A, B")]
    pub edges: CornerEdges,
    /// Name of the edge; otherwise that of the first, clockwise.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<EdgeName>,
}

impl JoinEdges {
    /// Two edges that meet, joined to one, which keeps the name of the first.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{DivideEdge, JoinEdges, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let divided = Step::from(DivideEdge::of("front.side".parse()?, "side@40%".parse()?)).apply(&coat)?.pattern;
    /// let joined = Step::from(JoinEdges::of("front.side, front.side-2".parse()?)).apply(&divided)?.pattern;
    /// let front = "front".parse()?;
    /// assert_eq!(joined.piece(&front)?.edges().len(), coat.piece(&front)?.edges().len());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edges: CornerEdges) -> JoinEdges {
        JoinEdges { edges, name: None }
    }
}

pub(super) fn join_edges(step: &JoinEdges, work: &mut Work) -> Result<(), Refusal> {
    let CornerEdges { first, second } = &step.edges;
    work.pattern.edge(second)?;
    let (piece, ids) = {
        let (piece, one) = work.pattern.edge(first)?;
        (piece.clone(), in_order(piece, one, second)?)
    };
    let names = ids.map(|id| piece.edge_ref(id));
    refuse_unlike(&piece, ids)?;
    refuse_corner(&piece, ids)?;
    if !are_sewn_alike(&work.pattern, &names[0], &names[1]) {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            &step.edges,
            "the two edges are not sewn alike: one is sewn where the other is not, or in other layers",
            advice!("sew both, or neither, with ", Operation::SetEdge, ", ", Field::SewnTo),
        ));
    }
    join(work, &piece, ids)?;
    let name = step.name.clone().unwrap_or_else(|| names[0].edge.clone());
    work.pattern.rename_edge(piece.name(), &names[0].edge, &name)?;
    let [first, second] = names;
    let into = EdgeRef::new(first.piece.clone(), name);
    work.tell(Notice::EdgesJoined { edges: CornerEdges { first, second }, into });
    Ok(())
}

/// The two edges, clockwise.
fn in_order(piece: &Piece, one: EdgeId, second: &EdgeRef) -> Result<[EdgeId; 2], Refusal> {
    let apart = |what: String| {
        let beside = [piece.previous(one), piece.next(one)].map(|id| piece.edge(id).name.to_string());
        let way_out = format!("name two that meet: beside it are `{}` and `{}`", beside[0], beside[1]);
        Refusal::new(RefusalKind::NotOfThatSort, piece.edge_ref(one), what, way_out).about(second)
    };
    if second.piece != *piece.name() {
        return Err(apart(format!("`{second}` is on another piece")));
    }
    let other = piece.edge_named(&second.edge)?;
    if piece.next(one) == other && one != other {
        Ok([one, other])
    } else if piece.next(other) == one && one != other {
        Ok([other, one])
    } else {
        Err(apart(format!("`{}` does not meet it", second.edge)))
    }
}

/// Refuses edges that are cut or finished otherwise.
fn refuse_unlike(piece: &Piece, ids: [EdgeId; 2]) -> Result<(), Refusal> {
    let at = piece.edge_ref(ids[0]);
    let [first, second] = ids.map(|id| piece.edge(id));
    let unlike = |what: &str, [one, other]: [String; 2]| {
        Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            &at,
            format!("the {what} is {one}, of `{}` {other}", second.name),
            advice!("make them alike first with ", Operation::SetEdge, " or ", Operation::SetAllowance),
        ))
    };
    let word = |edge: &Edge| edge.open.map_or("nothing", crate::pattern::Opening::word).to_owned();
    let lap = |edge: &Edge| edge.lap.map_or("nothing".to_owned(), |lap| lap.to_string());
    if first.open != second.open {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            &at,
            match (first.open, second.open) {
                (Some(one), None) => {
                    format!("it is left open for a {}, and `{}` is sewn", one.word(), second.name)
                }
                (None, Some(other)) => {
                    format!("it is sewn, and `{}` is left open for a {}", second.name, other.word())
                }
                _ => format!(
                    "it is left open for a {}, and `{}` for a {}",
                    word(first),
                    second.name,
                    word(second)
                ),
            },
            "join edges that lie on the same side of an opening",
        ));
    }
    if first.finish != second.finish {
        return unlike("finish", [first, second].map(|edge| edge.finish.word().to_owned()));
    }
    if first.allowance != second.allowance {
        return unlike("allowance", [first, second].map(|edge| edge.allowance.to_string()));
    }
    if first.selvedge != second.selvedge {
        return unlike("selvedge", [first, second].map(|edge| edge.selvedge.word().to_owned()));
    }
    if first.lap != second.lap {
        return unlike("lap", [lap(first), lap(second)]);
    }
    if first.finish == Finish::Fold {
        let way_out = advice!("open the piece out: ", Operation::Unfold.with(Field::Piece, piece.name()));
        return Err(Refusal::new(RefusalKind::NotOfThatSort, &at, "the edges are folds", way_out));
    }
    Ok(())
}

/// Refuses edges that meet in a corner.
fn refuse_corner(piece: &Piece, [first, second]: [EdgeId; 2]) -> Result<(), Refusal> {
    let (one, other) = (&piece.edge(first).curve, &piece.edge(second).curve);
    let turn = turn_between(one.tangent_before(one.length()), other.tangent_at(0.0)).degrees().abs();
    if turn <= CHECKED_ANGLE {
        return Ok(());
    }
    let smooth = piece.edge_ref(first);
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        &smooth,
        format!(
            "the line turns by {turn:.1}° where it meets `{}`: it does not run on there",
            piece.edge(second).name
        ),
        advice!(
            "leave the corner, or smooth it first with ",
            Operation::TrueSeam,
            ", ",
            Field::Smooth.set(&smooth)
        ),
    ))
}
