//! `set-allowance`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::pattern::{Pattern, Refusal, RefusalKind};
use crate::recut::Work;
use crate::recut::fields::EdgeChoice;
use crate::tolerance::MOST_ALLOWANCE;
use crate::units::Length;

/// Set the allowance of edges.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetAllowance {
    /// The edges: "front.side, back.*", *.hem, or finish:hem.
    #[arg(long, value_name = "EDGES")]
    pub edges: EdgeChoice,
    /// What is added outside the seamline for cutting.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub allowance: Length,
}

impl SetAllowance {
    /// An allowance for the edges chosen.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{SetAllowance, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let deeper = Step::from(SetAllowance::of("finish:hem".parse()?, "5cm".parse()?)).apply(&coat)?.pattern;
    /// let hem = deeper.find_edge(&"front.hem".parse()?).map(|edge| edge.cut_allowance().mm());
    /// assert_eq!(hem, Some(50.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edges: EdgeChoice, allowance: Length) -> SetAllowance {
        SetAllowance { edges, allowance }
    }
}

pub(super) fn set_allowance(step: &SetAllowance, work: &mut Work) -> Result<(), Refusal> {
    refuse_absurd(step.allowance)?;
    refuse_unknown(&step.edges, &work.pattern)?;
    let mut chosen = 0;
    for piece in work.pattern.pieces_mut() {
        let ids: Vec<_> = piece.edge_ids().filter(|id| step.edges.holds(piece, piece.edge(*id))).collect();
        chosen += ids.len();
        for id in ids {
            *piece.edge_settings(id).allowance = step.allowance;
        }
    }
    if chosen == 0 {
        return Err(Refusal::new(
            RefusalKind::UnknownName,
            format!("`{}`", step.edges),
            "this chooses no edge of any piece",
            "choose edges that there are: front.side, front.*, *.hem or finish:hem",
        ));
    }
    Ok(())
}

/// Refuses an allowance that nobody means.
pub(super) fn refuse_absurd(allowance: Length) -> Result<(), Refusal> {
    if (0.0..=MOST_ALLOWANCE).contains(&allowance.mm()) {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::BadField,
        "allowance",
        format!("an allowance cannot be {allowance}"),
        format!("give one from 0mm to {MOST_ALLOWANCE}mm"),
    )
    .about(allowance))
}

/// Answers an unknown piece or edge with the nearest that exists.
fn refuse_unknown(edges: &EdgeChoice, pattern: &Pattern) -> Result<(), Refusal> {
    let (edges, pieces) = edges.named();
    for edge in edges {
        pattern.edge(edge)?;
    }
    pieces.into_iter().try_for_each(|piece| pattern.piece(piece).map(|_| ()))
}
