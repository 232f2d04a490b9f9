//! `add-band`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, Point, offset};
use crate::derive::pinched;
use crate::pattern::{EdgeId, EdgeName, Finish, On, Piece, PieceName, Refusal, RefusalKind};
use crate::recut::Work;
use crate::recut::line::{LineThrough, cut_at};
use crate::recut::part_names::PartNames;
use crate::recut::split::{CutJoint, split_by_hand};
use crate::tolerance::{BAND_ACCURACY, SAME_CUT};
use crate::units::Length;

/// How far apart the places are at which the depth of a band is measured, mm.
const STEP: f64 = 1.0;

/// Cut a border of even depth along an edge.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddBand {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The edge along which the band lies.
    #[arg(long, value_name = "EDGE")]
    pub edge: EdgeName,
    /// Its finished depth.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub depth: Length,
    /// Name of the band; otherwise PIECE-band.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

impl AddBand {
    /// A border of a depth along an edge of a piece, named after the piece.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{AddBand, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let band = AddBand::of("skirt-front".parse()?, "hem".parse()?, "8cm".parse()?);
    /// let banded = Step::from(band).apply(&dress)?.pattern;
    /// let hem = banded.piece(&"skirt-front-band".parse()?)?;
    /// assert!(hem.find_edge(&"hem".parse()?).is_some());
    /// assert_eq!(banded.pieces().len(), dress.pieces().len() + 1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, edge: EdgeName, depth: Length) -> AddBand {
        AddBand { piece, edge, depth, name: None }
    }
}

pub(super) fn add_band(step: &AddBand, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let edge = piece.edge_named(&step.edge)?;
    if piece.edge(edge).finish == Finish::Fold {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            format!("{}.{}", piece.name(), step.edge),
            "the edge is a fold, along which no band can be cut",
            "open the piece out first (unfold), or name another edge",
        ));
    }
    let name = match &step.name {
        Some(name) => name.clone(),
        None => work.pattern.free_name(piece.name().with("band")),
    };
    let cut = band_line(&piece, edge, step.depth)?;
    // The line runs as the edge does, from the edge before it to the one after: the band lies on its left.
    let names = PartNames { right: piece.name().clone(), left: name };
    let joint = CutJoint { allowance: piece.usual_allowance(), word: "seam" };
    split_by_hand(work, &piece, &cut, names, &joint)?;
    Ok(())
}

/// The line at an even depth inside of an edge, from the edge before it to the one after.
fn band_line(piece: &Piece, edge: EdgeId, depth: Length) -> Result<LineThrough, Refusal> {
    if depth.mm() <= SAME_CUT {
        return Err(Refusal::new(
            RefusalKind::BadField,
            piece.name(),
            format!("a band cannot be {depth} deep"),
            "give a depth above 0mm",
        )
        .about(depth));
    }
    let source = &piece.edge(edge).curve;
    let line = offset(source, -depth.mm(), BAND_ACCURACY / 2.0)?;
    refuse_pinched(piece, edge, &line, depth)?;
    let middle = line.point_at(line.length() / 2.0);
    if !piece.outline().contains(middle) {
        return Err(too_deep(piece, edge, depth, "its middle would lie outside the piece"));
    }
    let cut = cut_at(piece, &line, middle)?;
    let at_corner = |on: On, corner: Point| piece.point_on(on.edge, on.at).distance(corner) <= SAME_CUT;
    let (before, after) = (piece.previous(edge), piece.next(edge));
    let starts = cut.starts.edge == before || at_corner(cut.starts, piece.edge(before).curve.start());
    let ends = cut.ends.edge == after || at_corner(cut.ends, piece.edge(after).curve.end());
    if starts && ends {
        return Ok(cut);
    }
    let (by, neighbour) = if starts { (cut.ends.edge, after) } else { (cut.starts.edge, before) };
    let why = format!(
        "its inner line would leave by `{}`, not by `{}`",
        piece.edge(by).name,
        piece.edge(neighbour).name
    );
    Err(too_deep(piece, edge, depth, &why))
}

/// Refuses a depth at which the inner line comes nearer to the edge, as where the edge bends more tightly than that.
fn refuse_pinched(piece: &Piece, edge: EdgeId, line: &Curve, depth: Length) -> Result<(), Refusal> {
    let far = 2.0 * depth.mm();
    let source = piece.edge(edge).curve.run_on(far, far);
    let count = (line.length() / STEP).ceil().max(1.0);
    let depth_at = |i: usize| source.nearest(line.point_at(line.length() * i as f64 / count)).distance;
    let least = (0..=count as usize).map(depth_at).fold(f64::INFINITY, f64::min);
    pinched(depth, least).map_or(Ok(()), |why| Err(too_deep(piece, edge, depth, &why)))
}

fn too_deep(piece: &Piece, edge: EdgeId, depth: Length, why: &str) -> Refusal {
    Refusal::new(
        RefusalKind::BadWidth,
        format!("{}.{}", piece.name(), piece.edge(edge).name),
        format!("a band of {depth} is too deep for the edge: {why}"),
        "make the band less deep, or cut along a line with split",
    )
    .about(depth)
}
