//! `merge-at-seamline`: join two pieces along their seam into one.

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Point};
use crate::pattern::{
    Copy, Cut, Dart, DartKind, DartName, DartShape, DeclaredKind, DrawnAnew, EdgeRef, Field, Kept, Mouth,
    Operation, PieceName, Press, Refusal, RefusalKind, SeamId, Twins, settle,
};
use crate::recut::after::tell_darts_made;
use crate::recut::assemble::{Assembly, Bit, Part, assemble};
use crate::recut::join::{JointEnd, continued_at, goes_on_in_seams, goes_on_over_dart};
use crate::recut::lay_on::{LaidOn, lay_on};
use crate::recut::move_seam::refuse_fold_taken;
use crate::recut::opened_side::refuse_opened;
use crate::recut::seam_side::{BothSides, Mirrored, refuse_mixed_girth};
use crate::recut::void::{Tail, Void, voids};
use crate::recut::{Told, Work};
use crate::tolerance::{AREA_RECORDED, JOINT, PART_TURNED, SAME_CUT};
use crate::units::Length;

/// Join two pieces, or a piece and its mirrored copy, along their seam into one.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MergeAtSeamline {
    /// Any edge of the seam: front.side. Its piece stays where it is and keeps its grain.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// What becomes of a void between the two seamlines: a dart, or a refusal (default).
    #[arg(long, value_name = "SHAPING")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaping: Option<VoidShaping>,
    /// Name of the new piece; otherwise that of the first.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

/// What becomes of a void between two seamlines that are joined.
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
    let sides = BothSides::of(work, &seam, base)?;
    let to = if seam.is_to_own_mirror() { JoinedTo::OwnMirror } else { JoinedTo::AnotherPiece };
    if to == JoinedTo::AnotherPiece && sides.base.piece.name() == sides.other.piece.name() {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            seam.name(),
            "both sides of the seam are on the same copy of one piece: joined, they would make a tube",
            "split the piece first, then merge the parts at this seam",
        ));
    }
    refuse_mixed_girth(&sides)?;
    refuse_opened(&sides)?;
    refuse_sewn_elsewhere(work, id)?;
    let laid = lay_on(&sides)?;
    let found = voids(&sides, &laid)?;
    refuse_voids(step, &seam.name(), &found)?;
    let name = step.name.clone().unwrap_or_else(|| sides.base.piece.name().clone());
    let cut = joined_cut(&sides, to)?;
    let assembly = assembly(work, &sides, &laid, &found, Joined { name: name.clone(), cut, to })?;
    let made = assemble(&assembly)?;
    for carried in made.carried.iter().filter(|carried| carried.off_grain > PART_TURNED) {
        work.tell(Told::PartTurned {
            part: carried.from.clone(),
            piece: name.clone(),
            degrees: carried.off_grain,
        });
    }
    let darts = made.piece.darts[made.piece.darts.len() - assembly.new_darts.len()..].to_vec();
    if to == JoinedTo::AnotherPiece {
        refuse_fold_taken(&sides.base.piece, &made.piece)?;
    }
    let filled = made.piece.net_area() - sides.base.piece.net_area() - sides.other.piece.net_area();
    let old = match to {
        JoinedTo::OwnMirror => vec![&sides.base.piece],
        JoinedTo::AnotherPiece => vec![&sides.base.piece, &sides.other.piece],
    };
    work.replace(&old, vec![made])?;
    work.declare(&name, DeclaredKind::VoidFilled, filled);
    if filled.abs() > AREA_RECORDED {
        work.drawn_anew(DrawnAnew { before: sides.edge_refs(), after: Vec::new() });
    }
    tell_shape(work, &sides, &name, &darts);
    Ok(())
}

/// What the joined piece is to be.
struct Joined {
    name: PieceName,
    cut: Cut,
    to: JoinedTo,
}

/// What a piece is joined to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum JoinedTo {
    AnotherPiece,
    /// Its own mirrored copy.
    OwnMirror,
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

fn refuse_voids(step: &MergeAtSeamline, seam: &str, found: &[Void]) -> Result<(), Refusal> {
    if step.shaping == Some(VoidShaping::Dart) {
        return Ok(());
    }
    match found.iter().find(|void| !void.is_negligible()) {
        None => Ok(()),
        Some(void) => Err(Refusal::new(
            RefusalKind::Void,
            seam,
            format!("the two seamlines leave a void up to {:.1} mm wide", void.width),
            advice!("make a dart of it with ", Field::Shaping.set("dart"), ", or leave the seam where it is"),
        )),
    }
}

fn joined_cut(sides: &BothSides, to: JoinedTo) -> Result<Cut, Refusal> {
    let (base, other) = (&sides.base.piece, &sides.other.piece);
    if to == JoinedTo::OwnMirror {
        let copies = base.cut.copies / 2;
        let twins = if copies % 2 == 0 { Twins::Mirrored } else { Twins::Same };
        return match base.cut.copies % 2 {
            0 => Ok(Cut { copies, twins }),
            _ => Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                base.name(),
                format!("the piece is cut {}: there is no mirrored copy to join it to", base.cut),
                advice!(
                    "set its count: ",
                    Operation::SetPiece.with(Field::Piece, base.name()).with(Field::Cut, 2)
                ),
            )),
        };
    }
    if base.times() != other.times() {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            base.name(),
            format!("`{}` is cut {}, `{}` is cut {}", base.name(), base.cut, other.name(), other.cut),
            "bring the counts together with set-piece, unfold or open-centre",
        ));
    }
    Ok(if base.fold().is_none() && other.fold().is_some() { other.cut } else { base.cut })
}

fn assembly<'a>(
    work: &Work,
    sides: &'a BothSides,
    laid: &LaidOn,
    found: &[Void],
    joined: Joined,
) -> Result<Assembly<'a>, Refusal> {
    let copy = match joined.to {
        JoinedTo::OwnMirror => Copy::Mirrored,
        JoinedTo::AnotherPiece => Copy::Drawn,
    };
    let parts = vec![
        Part::whole(&sides.base.piece, crate::curve::Motion::identity()),
        Part { copy, ..Part::whole(&sides.other.piece, laid.motion) },
    ];
    let base_bits = sides.base.rest(0, Mirrored::No);
    let other_bits = sides.other.rest(1, sides.mirrored);
    let other = sides.other.curve.moved(&laid.motion);
    let mut assembly = Assembly::like(&sides.base.piece, joined.name, parts, Vec::new());
    assembly.cut = joined.cut;
    let ends = [
        (JointEnd::Start, sides.base.curve.start(), other.start()),
        (JointEnd::End, other.end(), sides.base.curve.end()),
    ];
    let mut bits = Vec::new();
    for ((end, from, to), rest) in ends.into_iter().zip([base_bits, other_bits]) {
        bits.extend(rest);
        let dart = found.iter().find(|void| void.opens_at(end) && !void.is_negligible());
        let one_edge = match dart {
            Some(_) => goes_on_over_dart(work, sides, end),
            None => goes_on_in_seams(work, sides, end),
        };
        if one_edge {
            assembly.continued.push(continued_at(sides, end));
        }
        match dart {
            Some(void) => {
                bits.push(Bit::Mouth {
                    dart: assembly.new_darts.len(),
                    chord: Curve::line(from, to)?,
                    on: None,
                });
                assembly.new_darts.push(open_dart(void, end, (from, to), &sides.base.edge_ref())?);
            }
            None if from.distance(to) > JOINT => bits.push(Bit::Bridge(Curve::line(from, to)?)),
            None => {}
        }
    }
    for void in found.iter().filter(|void| void.tail == Tail::Closed && !void.is_negligible()) {
        assembly.new_darts.push(double_dart(void, &sides.base.edge_ref())?);
    }
    assembly.bits = bits;
    Ok(assembly)
}

/// A dart of a void that opens at an end of the seam; the mouth is set when the edge is made.
fn open_dart(
    void: &Void,
    end: JointEnd,
    (from, to): (Point, Point),
    seam: &EdgeRef,
) -> Result<Dart, Refusal> {
    let (first, second) = match end {
        JointEnd::Start => (void.base.clone(), void.other.clone()),
        JointEnd::End => (void.other.reversed(), void.base.reversed()),
    };
    let tip = first.end().midpoint(second.end());
    let mouth = Mouth { edge: crate::pattern::EdgeName::plain("mouth"), from: 0.0, to: from.distance(to) };
    let legs = (first.with_ends(from, tip)?, second.with_ends(to, tip)?);
    refuse_bent_back(&legs, seam)?;
    Ok(new_dart(DartShape::Open { mouth, legs }))
}

/// Refuses a void whose sides reach further from its mouth at a corner than at its tip: it could not be folded.
fn refuse_bent_back((first, second): &(Curve, Curve), seam: &EdgeRef) -> Result<(), Refusal> {
    let mouth = (second.start() - first.start()).normalize();
    let off = |point: Point| (point - first.start()).cross(mouth).abs();
    let corners = [first, second]
        .into_iter()
        .flat_map(|leg| leg.joints().into_iter().map(|joint| leg.point_at(joint.at)));
    if corners.map(off).fold(0.0, f64::max) < off(first.end()) {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::Void,
        seam,
        "the void between the pieces bends back toward its mouth: no dart can be made of it",
        "leave the seam where it is, or take some of its shaping into darts first",
    ))
}

fn double_dart(void: &Void, seam: &EdgeRef) -> Result<Dart, Refusal> {
    let start = void.base.start().midpoint(void.other.start());
    let end = void.base.end().midpoint(void.other.end());
    let sides = (void.other.with_ends(start, end)?, void.base.with_ends(start, end)?);
    refuse_wider_than_long(&sides, seam)?;
    Ok(new_dart(DartShape::Double { sides }))
}

/// Refuses a void with a corner further from another, or from a tip, than its tips are from each other: its tips could
/// not be told from its corners, and it could not be sewn as a dart.
fn refuse_wider_than_long((first, second): &(Curve, Curve), seam: &EdgeRef) -> Result<(), Refusal> {
    let corners =
        |side: &Curve| side.joints().iter().map(|joint| side.point_at(joint.at)).collect::<Vec<_>>();
    let tips = [first.start(), first.end()];
    let points: Vec<Point> = tips.into_iter().chain(corners(first)).chain(corners(second)).collect();
    let long = first.start().distance(first.end());
    let apart = |a: &Point| points.iter().map(|b| a.distance(*b)).fold(0.0, f64::max);
    if points.iter().map(apart).fold(0.0, f64::max) <= long + SAME_CUT {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::Void,
        seam,
        format!(
            "the void between the pieces is wider than the {long:.0} mm that it is long: no dart can be made of it"
        ),
        "leave the seam where it is, or take some of its shaping into darts first",
    ))
}

fn new_dart(shape: DartShape) -> Dart {
    Dart {
        name: DartName::plain("seam-dart"),
        shape,
        kind: DartKind::Dart,
        press: Press::Usual,
        kept: Kept::default(),
    }
}

fn tell_shape(work: &mut Work, sides: &BothSides, name: &PieceName, darts: &[Dart]) {
    tell_darts_made(work, name, darts);
    let (first, second) = (sides.base.curve.length(), sides.other.curve.length());
    if (first - second).abs() > SAME_CUT {
        work.tell(Told::LengthsDiffer {
            first: sides.base.edge_ref(),
            second: sides.other.edge_ref(),
            by: Length::from_mm(first - second),
        });
    }
}
