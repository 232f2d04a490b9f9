//! `fold`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Motion, Outline, Point};
use crate::parts::assemble::{Assembly, Bit, EdgeLook, Part, assemble, bits_round, region, way_round};
use crate::parts::join::are_finished_alike;
use crate::pattern::{
    Copy, EdgeId, EdgeName, EdgeRef, Field, Finish, Kept, Notch, On, Operation, Piece, PieceName, Refusal,
    RefusalKind, Run, RunEdge, Seam, Selvedge, Travel, Unsewn,
};
use crate::recut::half_alone::alone;
use crate::recut::line::cut_along;
use crate::recut::symmetry::{StraightLine, find_axis, refuse_uneven_darts};
use crate::recut::{Notice, Work};
use crate::tolerance::{CORNER_TWIN, NOTCH_TWIN, SAME_CUT};
use crate::units::Length;

/// Fold a whole piece to its half.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Fold {
    /// The whole piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Name of the new fold; otherwise centre.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
}

impl Fold {
    /// A whole piece folded to its half where it is the same on both sides.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{Fold, Step, Unfold};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let whole = Step::from(Unfold::of("back".parse()?)).apply(&coat)?.pattern;
    /// let half = Step::from(Fold::of("back".parse()?)).apply(&whole)?.pattern;
    /// let back = "back".parse()?;
    /// assert!((half.piece(&back)?.net_area() - coat.piece(&back)?.net_area()).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName) -> Fold {
        Fold { piece, edge: None }
    }
}

pub(super) fn fold(step: &Fold, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    if let Some(fold) = piece.fold() {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            piece.name(),
            format!("the piece is half already: `{}` is its fold", piece.edge(fold).name),
            "fold a whole piece",
        ));
    }
    let axis = find_axis(&piece)?;
    refuse_uneven_darts(&piece, &axis)?;
    refuse_uneven_notches(work, &piece, &axis)?;
    let half = KeptHalf::of(&piece, &axis)?;
    let folded = FoldedSeams { piece: &piece, half: &half, axis: &axis };
    folded.refuse_uneven_edges()?;
    let seams = folded.of(work.pattern.seams())?;
    let name = new_fold_name(step, &piece, &half)?;
    let look = EdgeLook {
        name,
        finish: Finish::Fold,
        allowance: Length::ZERO,
        selvedge: Selvedge::No,
        unsewn: Unsewn::Forgotten,
        open: None,
        lap: None,
        kept: Kept::default(),
    };
    let mut bits = bits_round(&piece, 0, half.from, half.to);
    bits.push(Bit::New { look, curve: half.back.clone() });
    let part = Part::of(&piece, half.region.clone(), Motion::identity());
    let made = assemble(&Assembly::like(&piece, piece.name().clone(), vec![part], bits))?;
    tell_lost_notches(work, &piece, &half, &axis)?;
    for thing in alone(&piece, &half.region, &axis.mirroring()?) {
        work.tell(Notice::OtherHalfLost { piece: piece.name().clone(), thing });
    }
    let so_far = work.notices.len();
    work.replace(&[&piece], vec![made])?;
    // Those on the half that goes live on in their twins.
    work.untell(so_far, |notice| matches!(notice, Notice::NotchLost { .. }));
    work.pattern.set_seams(seams)
}

/// The half of a whole piece that stays.
struct KeptHalf {
    /// Where its way round the outline begins and ends, clockwise.
    from: On,
    to: On,
    /// The axis, from the end of that way to its beginning.
    back: Curve,
    region: Outline,
    /// The stretches of edges that stay, and those that go.
    stays: Vec<(EdgeId, f64, f64)>,
    goes: Vec<(EdgeId, f64, f64)>,
}

impl KeptHalf {
    /// The half with the edges that are named without `/m`; where none is, the half of the first edge.
    fn of(piece: &Piece, axis: &StraightLine) -> Result<KeptHalf, Refusal> {
        let bounds = piece.bounds();
        let reach = bounds.width().hypot(bounds.height()) + axis.through.distance(bounds.center());
        let line = Curve::line(axis.through - reach * axis.along, axis.through + reach * axis.along)?;
        let cut = cut_along(piece, &line)?;
        let half = |from: On, to: On, back: Curve| -> Result<KeptHalf, Refusal> {
            Ok(KeptHalf {
                from,
                to,
                region: region(piece, from, to, std::slice::from_ref(&back))?,
                back,
                stays: way_round(piece, from, to),
                goes: way_round(piece, to, from),
            })
        };
        let a = half(cut.ends, cut.starts, cut.curve.clone())?;
        let b = half(cut.starts, cut.ends, cut.curve.reversed())?;
        let drawn = drawn_edge(piece, &a, &b);
        Ok(if a.whole(piece, drawn) { a } else { b })
    }

    /// Whether an edge lies wholly in it.
    fn whole(&self, piece: &Piece, edge: EdgeId) -> bool {
        holds(&self.stays, piece, edge)
    }
}

fn holds(way: &[(EdgeId, f64, f64)], piece: &Piece, edge: EdgeId) -> bool {
    let length = piece.edge(edge).curve.length();
    way.iter().any(|(id, from, to)| *id == edge && *from <= SAME_CUT && *to >= length - SAME_CUT)
}

/// The edge by which it is known which half was drawn first.
fn drawn_edge(piece: &Piece, a: &KeptHalf, b: &KeptHalf) -> EdgeId {
    let on_one_side = |id: &EdgeId| a.whole(piece, *id) || b.whole(piece, *id);
    let has_mirror = |id: &EdgeId| piece.find_edge(&piece.edge(*id).name.on_mirrored_half()).is_some();
    let paired = piece.edge_ids().find(|id| on_one_side(id) && has_mirror(id));
    let drawn = paired.or_else(|| piece.edge_ids().find(on_one_side));
    drawn.unwrap_or(EdgeId(0))
}

fn new_fold_name(step: &Fold, piece: &Piece, half: &KeptHalf) -> Result<EdgeName, Refusal> {
    let stays = |name: &EdgeName| {
        piece.find_edge(name).is_some_and(|id| half.stays.iter().any(|(edge, ..)| *edge == id))
    };
    match &step.edge {
        Some(name) if stays(name) => Err(Refusal::new(
            RefusalKind::NameTaken,
            piece.name(),
            format!("an edge is named `{name}` already"),
            advice!("give the fold another name with ", Field::Edge),
        )
        .about(name)),
        Some(name) => Ok(name.clone()),
        None => Ok(EdgeName::plain("centre").free(stays)),
    }
}

/// Refuses a notch of a seam that the other half does not have: folded, the one seam would lose it or the other gain it.
fn refuse_uneven_notches(work: &Work, piece: &Piece, axis: &StraightLine) -> Result<(), Refusal> {
    let mirroring = axis.mirroring()?;
    let place = |notch: &Notch| Some(piece.point_on(piece.find_edge(&notch.edge)?, notch.at));
    let places: Vec<Point> = piece.notches.iter().filter_map(place).collect();
    for notch in &piece.notches {
        let edge = EdgeRef::new(piece.name().clone(), notch.edge.clone());
        let Some(point) = place(notch).filter(|_| work.pattern.seams_of(&edge).next().is_some()) else {
            continue;
        };
        if !places.iter().any(|other| other.distance(mirroring.apply(point)) <= NOTCH_TWIN) {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                edge,
                format!("the other half of the piece has no notch like `{}`", notch.name),
                "draw the halves alike, or leave the piece whole",
            ));
        }
    }
    Ok(())
}

/// Tells of notches on the half that goes which the half that stays does not have.
fn tell_lost_notches(
    work: &mut Work,
    piece: &Piece,
    half: &KeptHalf,
    axis: &StraightLine,
) -> Result<(), Refusal> {
    let mirroring = axis.mirroring()?;
    let place = |notch: &Notch| {
        let id = piece.find_edge(&notch.edge)?;
        Some((id, piece.point_on(id, notch.at)))
    };
    let on = |way: &[(EdgeId, f64, f64)], id: EdgeId, at: f64| {
        way.iter().any(|(edge, from, to)| *edge == id && at >= from - SAME_CUT && at <= to + SAME_CUT)
    };
    let kept: Vec<Point> = piece
        .notches
        .iter()
        .filter_map(|notch| place(notch).filter(|(id, _)| on(&half.stays, *id, notch.at)))
        .map(|(_, point)| point)
        .collect();
    for notch in &piece.notches {
        let Some((id, point)) = place(notch) else { continue };
        let has_twin = kept.iter().any(|other| other.distance(mirroring.apply(point)) <= NOTCH_TWIN);
        if !on(&half.stays, id, notch.at) && !has_twin {
            let edge = EdgeRef::new(piece.name().clone(), notch.edge.clone());
            work.tell(Notice::NotchLost { edge, notch: notch.name.clone() });
        }
    }
    Ok(())
}

/// The seams of a pattern in which a whole piece is folded.
struct FoldedSeams<'a> {
    piece: &'a Piece,
    half: &'a KeptHalf,
    axis: &'a StraightLine,
}

impl FoldedSeams<'_> {
    /// The seams by the edges of the half that stays; of those that are only the mirror image of one another, that which
    /// names the half as it is drawn.
    fn of(&self, seams: &[Seam]) -> Result<Vec<Seam>, Refusal> {
        let mut folded: Vec<Seam> = Vec::new();
        for seam in seams {
            if !seam.edges().any(|run| run.edge.piece == *self.piece.name()) {
                folded.push(seam.clone());
                continue;
            }
            self.refuse_halved(seam)?;
            let seam =
                Seam { first: self.run(&seam.first)?, second: self.run(&seam.second)?, ease: seam.ease };
            let is_own = |run: &&RunEdge| run.edge.piece == *self.piece.name();
            let on_other_half = seam.edges().filter(is_own).all(|run| run.edge.copy == Copy::Mirrored);
            let seam = if on_other_half { seam.mirrored() } else { seam };
            let mirrored = seam.mirrored();
            if !folded.iter().any(|other| other.is_same(&seam) || other.is_same(&mirrored)) {
                folded.push(seam);
            }
        }
        Ok(folded)
    }

    /// Refuses an edge that is sewn to the piece's own other copy where the fold would halve it: the half's other half and the
    /// half of the other copy would go by one name.
    fn refuse_halved(&self, seam: &Seam) -> Result<(), Refusal> {
        if !seam.is_to_own_mirror() {
            return Ok(());
        }
        for run in seam.edges() {
            let id = self.piece.edge_named(&run.edge.edge)?;
            if !self.half.whole(self.piece, id) && !holds(&self.half.goes, self.piece, id) {
                return Err(Refusal::new(
                    RefusalKind::BadSeam,
                    self.piece.edge_ref(id),
                    format!(
                        "the fold would halve it, and it is sewn to the piece's other copy: {}",
                        seam.name()
                    ),
                    advice!(
                        "leave the piece whole, or take the seam off first: ",
                        Operation::SetEdge
                            .with(Field::Edge, self.piece.edge_ref(id))
                            .with(Field::SewnTo, "none")
                    ),
                ));
            }
        }
        Ok(())
    }

    /// Refuses edges that are cut or finished otherwise than those of the other half: one of the two would be lost.
    fn refuse_uneven_edges(&self) -> Result<(), Refusal> {
        let goes = |id: &EdgeId| holds(&self.half.goes, self.piece, *id);
        for id in self.piece.edge_ids().filter(goes) {
            let Ok(twin) = self.twin(id) else { continue };
            let (edge, twin) = (self.piece.edge(id), self.piece.edge(twin));
            if !are_finished_alike(edge, twin) {
                return Err(Refusal::new(
                    RefusalKind::NotOfThatSort,
                    self.piece.edge_ref(id),
                    format!(
                        "it is not cut and finished as `{}` on the other half of the piece is",
                        twin.name
                    ),
                    advice!(
                        "make the halves alike: ",
                        Operation::SetEdge,
                        ", ",
                        Operation::SetAllowance,
                        "; or leave the piece whole"
                    ),
                ));
            }
        }
        Ok(())
    }

    fn run(&self, run: &Run) -> Result<Run, Refusal> {
        let mut edges: Vec<RunEdge> = Vec::new();
        for run_edge in run.edges() {
            edges.extend(self.run_edge(run_edge)?);
        }
        Ok(Run::new(edges).unwrap_or_else(|| run.clone()))
    }

    fn run_edge(&self, run_edge: &RunEdge) -> Result<Vec<RunEdge>, Refusal> {
        if run_edge.edge.piece != *self.piece.name() {
            return Ok(vec![run_edge.clone()]);
        }
        let id = self.piece.edge_named(&run_edge.edge.edge)?;
        if self.half.whole(self.piece, id) {
            return Ok(vec![run_edge.clone()]);
        }
        if holds(&self.half.goes, self.piece, id) {
            let twin = self.piece.edge(self.twin(id)?).name.clone();
            return Ok(vec![on_other_half(run_edge, twin)]);
        }
        let there = on_other_half(run_edge, run_edge.edge.edge.clone());
        let starts_here = self.half.stays.iter().any(|(edge, from, _)| *edge == id && *from <= SAME_CUT);
        Ok(match (starts_here, run_edge.travel) {
            (true, Travel::Clockwise) | (false, Travel::Anticlockwise) => vec![run_edge.clone(), there],
            _ => vec![there, run_edge.clone()],
        })
    }

    /// The edge of the half that stays which an edge of the other half mirrors.
    fn twin(&self, edge: EdgeId) -> Result<EdgeId, Refusal> {
        let mirroring = self.axis.mirroring()?;
        let curve = &self.piece.edge(edge).curve;
        let ends = (mirroring.apply(curve.end()), mirroring.apply(curve.start()));
        let is_twin = |id: &EdgeId| {
            let other = &self.piece.edge(*id).curve;
            let near = |a: Point, b: Point| a.distance(b) <= CORNER_TWIN;
            near(other.start(), ends.0) && near(other.end(), ends.1)
        };
        self.piece.edge_ids().find(|id| self.half.whole(self.piece, *id) && is_twin(id)).ok_or_else(|| {
            let name = &self.piece.edge(edge).name;
            Refusal::new(
                RefusalKind::NotOfThatSort,
                format!("{}.{name}", self.piece.name()),
                "the other half of the piece is not divided into edges as this one is",
                "draw both halves with their corners in the same places",
            )
        })
    }
}

/// An edge of the half that goes, as the mirrored copy of its twin: walked the other way, as that is drawn.
fn on_other_half(run_edge: &RunEdge, twin: EdgeName) -> RunEdge {
    let edge = EdgeRef { edge: twin, copy: run_edge.edge.copy.other(), ..run_edge.edge.clone() };
    RunEdge { edge, travel: run_edge.travel.other() }
}
