//! `merge-at-seamline`: join two pieces along their seam into one.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::parts::gap::Gap;
use crate::parts::merge::{Joining, Merged};
use crate::parts::seam_side::BothSides;
use crate::pattern::{
    Dart, DeclaredKind, DrawnAnew, EdgeRef, Field, Operation, PieceName, Refusal, RefusalKind, SeamId, settle,
};
use crate::recut::after::tell_darts_made;
use crate::recut::opened_side::refuse_opened;
use crate::recut::{Notice, Work};
use crate::tolerance::{AREA_RECORDED, PART_TURNED, SAME_CUT};
use crate::units::Length;

/// Join two pieces, or a piece and its mirrored copy, along their seam into one.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MergeAtSeamline {
    /// Any edge of the seam: front.side. Its piece stays where it is and keeps its grain.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// What becomes of a gap between the two seamlines: a dart, or a refusal (default).
    #[arg(long, value_name = "SHAPING")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaping: Option<VoidShaping>,
    /// Name of the new piece; otherwise that of the first.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

impl MergeAtSeamline {
    /// The two pieces of a seam, or a piece and its mirrored copy, joined where the seamline is straight.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{MergeAtSeamline, Step, VoidShaping};
    ///
    /// # let sheet = std::fs::read("fixtures/skirt-shaped-back.svg")?;
    /// let skirt = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let merge =
    ///     MergeAtSeamline { shaping: Some(VoidShaping::Dart), ..MergeAtSeamline::of("back.centre".parse()?) };
    /// let merged = Step::from(merge).apply(&skirt)?.pattern;
    /// let back = "back".parse()?;
    /// assert_eq!(merged.piece(&back)?.darts.len(), 2 * skirt.piece(&back)?.darts.len() + 1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(seam: EdgeRef) -> MergeAtSeamline {
        MergeAtSeamline { seam, shaping: None, name: None }
    }
}

/// What becomes of a gap between two seamlines that are joined.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum VoidShaping {
    /// A dart, or a double dart in the middle of the seam.
    Dart,
    /// Nothing is joined.
    #[default]
    Refuse,
}

pub(super) fn merge_at_seamline(step: &MergeAtSeamline, work: &mut Work) -> Result<(), Refusal> {
    let named = settle(&work.pattern, &step.seam);
    let id = work.pattern.seam_named(&named, None)?;
    let seam = work.pattern.seam(id).clone();
    let Some(base) = seam.side_of(&named) else { return Ok(()) };
    let joining = Joining::of(&work.pattern, &seam, base)?;
    let sides = &joining.sides;
    refuse_opened(sides)?;
    refuse_sewn_elsewhere(work, id)?;
    let laid = joining.laid()?;
    refuse_gaps(step, &seam.name(), &laid.gaps)?;
    let name = step.name.clone().unwrap_or_else(|| sides.base.piece.name().clone());
    let Merged { made, new_darts } = joining.merged(&work.pattern, &laid, name.clone())?;
    for carried in made.carried.iter().filter(|carried| carried.off_grain > PART_TURNED) {
        work.tell(Notice::PartTurned {
            part: carried.from.clone(),
            piece: name.clone(),
            degrees: carried.off_grain,
        });
    }
    let darts = made.piece.darts[made.piece.darts.len() - new_darts..].to_vec();
    let filled = made.piece.net_area() - sides.base.piece.net_area() - sides.other.piece.net_area();
    work.replace(&joining.old(), vec![made])?;
    work.declare(&name, DeclaredKind::VoidFilled, filled);
    if filled.abs() > AREA_RECORDED {
        work.drawn_anew(DrawnAnew { before: sides.edge_refs(), after: Vec::new() });
    }
    tell_shape(work, sides, &name, &darts);
    Ok(())
}

/// Refuses a seam of which an edge is sewn to another as well, as to a lining or, on its other copy, to the other end of
/// the same piece: that would be left sewn to nothing.
fn refuse_sewn_elsewhere(work: &Work, id: SeamId) -> Result<(), Refusal> {
    let seam = work.pattern.seam(id);
    for run in seam.edges() {
        let Some(other) = work.pattern.seams_of(&run.edge).find(|other| *other != id) else { continue };
        let other = work.pattern.seam(other);
        let Some(side) = other.side_of(&run.edge) else { continue };
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            &run.edge,
            format!(
                "the edge is sewn to {} as well, which would be left sewn to nothing",
                other.side(side.other()).names()
            ),
            advice!("take one of the two off with ", Operation::SetEdge, ", or leave the seam where it is"),
        ));
    }
    Ok(())
}

fn refuse_gaps(step: &MergeAtSeamline, seam: &str, found: &[Gap]) -> Result<(), Refusal> {
    if step.shaping == Some(VoidShaping::Dart) {
        return Ok(());
    }
    match found.iter().find(|gap| !gap.is_negligible()) {
        None => Ok(()),
        Some(gap) => Err(Refusal::new(
            RefusalKind::Gap,
            seam,
            format!("the two seamlines leave a gap up to {:.1} mm wide", gap.width),
            advice!("make a dart of it with ", Field::Shaping.set("dart"), ", or leave the seam where it is"),
        )),
    }
}

fn tell_shape(work: &mut Work, sides: &BothSides, name: &PieceName, darts: &[Dart]) {
    tell_darts_made(work, name, darts);
    let (first, second) = (sides.base.curve.length(), sides.other.curve.length());
    if (first - second).abs() > SAME_CUT {
        work.tell(Notice::LengthsDiffer {
            first: sides.base.edge_ref(),
            second: sides.other.edge_ref(),
            by: Length::from_mm(first - second),
        });
    }
}
