//! `true-seam`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Point, turn_between};
use crate::parts::reshape::{Redrawn, end_point, leaving_direction, longer_at, reshape_end, turn_end};
use crate::pattern::{
    EdgeRef, Field, Finish, Operation, Pattern, Piece, Refusal, RefusalKind, Seam, Side, Walk, WalkEnd,
    settle,
};
use crate::recut::fields::TrueBy;
use crate::recut::seam_end::{SideEnd, draw_anew, rotated};
use crate::recut::smooth_joint::smooth_joint;
use crate::recut::{Notice, Work};
use crate::tolerance::{KINK_SEEN, MOST_TRUED, SAME_CUT};
use crate::units::Length;

/// Bring two seamlines of nearly equal length to equal length, or smooth an edge across a joint.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TrueSeam {
    /// Any edge of the seam: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// Which side changes: share (default: each gives half), or the piece that changes.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<TrueBy>,
    /// An edge that continues across the end of the seam, to be smoothed there: front.hem; or one of the seam itself, to be
    /// smoothed where it goes on in the next: front.armhole.
    #[arg(long, value_name = "PIECE.EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smooth: Option<EdgeRef>,
}

impl TrueSeam {
    /// A seam trued at both of its sides by half.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{MoveSeam, SetEdge, Step, TrueSeam};
    /// use retrue::truing::Verdict;
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let step = MoveSeam { to_width: Some("18.5cm".parse()?), ..MoveSeam::of("front.side".parse()?, "back".parse()?) };
    /// let moved = Step::from(step).apply(&coat)?.pattern;
    /// let no_ease = SetEdge { ease: Some("0mm".parse()?), ..SetEdge::of("front.side".parse()?) };
    /// let uneven = Step::from(no_ease).apply(&moved)?.pattern;
    /// assert!(!Verdict::of(&uneven).is_true());
    /// let trued = Step::from(TrueSeam::of("front.side".parse()?)).apply(&uneven)?.pattern;
    /// assert!(Verdict::of(&trued).is_true());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(seam: EdgeRef) -> TrueSeam {
        TrueSeam { seam, by: None, smooth: None }
    }
}

pub(super) fn true_seam(step: &TrueSeam, work: &mut Work) -> Result<(), Refusal> {
    let edge = settle(&work.pattern, &step.seam);
    let id = work.pattern.seam_named(&edge, None)?;
    let seam = work.pattern.seam(id).clone();
    true_lengths(step, work, &seam)?;
    match &step.smooth {
        Some(edge) => smooth_joint(work, &seam, &settle(&work.pattern, edge)),
        None => Ok(()),
    }
}

fn true_lengths(step: &TrueSeam, work: &mut Work, seam: &Seam) -> Result<(), Refusal> {
    let length = |side: Side| Walk::of(&work.pattern, seam.side(side)).map(|walk| walk.length());
    let (first, second) = (length(Side::First)?, length(Side::Second)?);
    let over = first - second - seam.ease.mm();
    let by = step.by.clone().unwrap_or_default();
    let changes = changes(work, seam, &by, over)?;
    if over.abs() <= SAME_CUT {
        if step.smooth.is_none() {
            work.tell(Notice::AlreadyTrue { seam: seam.name(), length: Length::from_mm(first) });
        }
        return Ok(());
    }
    if over.abs() > MOST_TRUED {
        return Err(Refusal::new(
            RefusalKind::LengthsDiffer,
            seam.name(),
            format!(
                "the sides differ by {:.1} mm: {first:.1} mm against {second:.1} mm with {} ease",
                over.abs(),
                seam.ease
            ),
            advice!(
                format!("up to {MOST_TRUED} mm can be trued: declare ease with "),
                Operation::SetEdge,
                ", or change a dart or the edges"
            ),
        ));
    }
    let at = best_end(work, seam, &changes)?;
    for (side, by) in changes {
        let end = SideEnd::of(&work.pattern, seam.side(side), at)?;
        change_end(work, &end, by)?;
    }
    Ok(())
}

/// By how much each side is to grow, mm.
fn changes(work: &Work, seam: &Seam, by: &TrueBy, over: f64) -> Result<Vec<(Side, f64)>, Refusal> {
    let name = match by {
        TrueBy::Share => return Ok(vec![(Side::First, -over / 2.0), (Side::Second, over / 2.0)]),
        TrueBy::Piece(name) => name,
    };
    work.pattern.piece(name)?;
    let holds = |side: Side| seam.side(side).edges().iter().any(|run| run.edge.piece == *name);
    match (holds(Side::First), holds(Side::Second)) {
        (true, false) => Ok(vec![(Side::First, -over)]),
        (false, true) => Ok(vec![(Side::Second, over)]),
        (both, _) => Err(Refusal::new(
            RefusalKind::BadField,
            seam.name(),
            match both {
                true => format!("both sides of the seam are on `{name}`"),
                false => format!("no side of the seam is on `{name}`"),
            },
            advice!("name a piece on one side, or leave ", Field::By, " out to let each side give half"),
        )
        .about(name)),
    }
}

/// How well an edge takes a change at its end; nothing where it cannot.
fn fitness(finish: Finish) -> Option<u32> {
    match finish {
        Finish::Hem => Some(2),
        Finish::Free => Some(1),
        Finish::Seam => Some(0),
        Finish::Fold => None,
    }
}

/// The end of a seam at which its length is changed: where it meets a hem, else where it meets a free edge, else the one
/// farther from the centre, or lower.
fn best_end(work: &Work, seam: &Seam, changes: &[(Side, f64)]) -> Result<WalkEnd, Refusal> {
    let mut best: Option<(u32, f64, WalkEnd)> = None;
    for at in WalkEnd::BOTH {
        let ends = changes.iter().map(|(side, _)| SideEnd::of(&work.pattern, seam.side(*side), at));
        let ends: Vec<SideEnd> = ends.collect::<Result<_, _>>()?;
        let fits = ends.iter().map(|end| fitness(end.finish())).collect::<Option<Vec<u32>>>();
        let Some(fit) = fits.and_then(|fits| fits.into_iter().min()) else { continue };
        let far = ends.iter().map(|end| from_centre(&work.pattern, &end.piece, end.point())).sum::<f64>();
        if best.is_none_or(|(other, distance, _)| (fit, far) > (other, distance)) {
            best = Some((fit, far, at));
        }
    }
    best.map(|(_, _, at)| at).ok_or_else(|| {
        Refusal::new(
            RefusalKind::NotOfThatSort,
            seam.name(),
            "the seam runs from fold to fold, so that neither end can be moved",
            advice!(
                "open a fold first with ",
                Operation::OpenCentre,
                ", or let the other piece change: ",
                Field::By
            ),
        )
    })
}

fn from_centre(pattern: &Pattern, piece: &Piece, point: Point) -> f64 {
    match pattern.centre_edge(piece) {
        Some(centre) => piece.edge(centre).curve.nearest(point).distance,
        None => (point - piece.bounds().center()).dot(piece.grain_or_down()),
    }
}

/// Makes a seam longer along its own direction, or shorter, at an end; the neighbour follows. The corner keeps its angle,
/// so that what ran on across the seam does so afterwards: a curved seam that is shortened ends in another direction, and
/// the neighbour turns with it.
fn change_end(work: &mut Work, end: &SideEnd, by: f64) -> Result<(), Refusal> {
    let old = &end.piece.edge(end.edge).curve;
    if -by > old.length() / 2.0 {
        return Err(Refusal::new(
            RefusalKind::LengthsDiffer,
            end.name_of(end.edge),
            format!("the edge is {:.1} mm long, of which {:.1} mm would go", old.length(), -by),
            advice!("let the other side of the seam change: ", Field::By),
        ));
    }
    let curve = longer_at(old, end.end, by)?;
    let neighbour = &end.piece.edge(end.neighbour).curve;
    let corner = end_point(&curve, end.end);
    let followed = reshape_end(neighbour, end.neighbour_end(), corner, end.reach())?;
    let turned = turn_between(leaving_direction(old, end.end), leaving_direction(&curve, end.end));
    let followed = turned_with(followed, end, turned.0)?;
    let redrawn = [
        Redrawn { edge: end.edge, curve, changed_at: end.end },
        Redrawn { edge: end.neighbour, curve: followed, changed_at: end.neighbour_end() },
    ];
    draw_anew(work, &end.piece, &redrawn)
}

/// The neighbour at an end of a seam, turned there by so many radians.
fn turned_with(neighbour: Curve, end: &SideEnd, by: f64) -> Result<Curve, Refusal> {
    if by.to_degrees().abs() <= KINK_SEEN {
        return Ok(neighbour);
    }
    let at = end.neighbour_end();
    // What stands beyond the reach of the first change is nearer now where that made the neighbour shorter.
    let grown = neighbour.length() - end.piece.edge(end.neighbour).curve.length();
    let reach = end.reach() + grown.min(0.0);
    turn_end(&neighbour, at, rotated(leaving_direction(&neighbour, at), by), reach)
}
