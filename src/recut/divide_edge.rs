//! `divide-edge`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{EdgeRef, Place, Refusal, RefusalKind, settle};
use crate::recut::divide::{divide, rename};
use crate::recut::fields::EdgeNames;
use crate::recut::{Notice, Work};

/// Make one edge two at a place; what was sewn stays sewn.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DivideEdge {
    /// The edge: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub edge: EdgeRef,
    /// Where: side@40%, "side@75mm from armhole".
    #[arg(long, value_name = "PLACE")]
    pub at: Place,
    /// Names of the two edges, "a, b", clockwise; otherwise the first keeps the name, and the second has it with a number.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<EdgeNames>,
}

impl DivideEdge {
    /// An edge divided at a place, its parts named after it.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{DivideEdge, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let divided = Step::from(DivideEdge::of("front.side".parse()?, "side@40%".parse()?)).apply(&coat)?.pattern;
    /// let (before, after) = (coat.piece(&"front".parse()?)?, divided.piece(&"front".parse()?)?);
    /// assert_eq!(after.edges().len(), before.edges().len() + 1);
    /// assert!((after.outline().area() - before.outline().area()).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edge: EdgeRef, at: Place) -> DivideEdge {
        DivideEdge { edge, at, names: None }
    }
}

pub(super) fn divide_edge(step: &DivideEdge, work: &mut Work) -> Result<(), Refusal> {
    let edge = settle(&work.pattern, &step.edge);
    let (piece, id) = work.pattern.edge(&edge)?;
    let (found, at) = piece.place_on_outline(&step.at)?;
    if found != id {
        return Err(Refusal::new(
            RefusalKind::PlaceOutside,
            &edge,
            format!("`{}` lies on `{}`", step.at, piece.edge(found).name),
            format!("name a place on it: {}@40%", edge.edge),
        )
        .about(&step.at));
    }
    let mut into = divide(work, &edge, &[at])?;
    if let Some(EdgeNames { first, second }) = &step.names {
        into = rename(work, &into, &[first.clone(), second.clone()])?;
    }
    work.tell(Notice::EdgeDivided { edge, into });
    Ok(())
}
