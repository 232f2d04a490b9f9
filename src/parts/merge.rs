//! Two pieces laid together along a seam, and made one.

use crate::advice;
use crate::curve::{Curve, Motion, Point};
use crate::parts::assemble::{Assembled, Assembly, Bit, Part, assemble};
use crate::parts::gap::{Gap, Tail, gaps};
use crate::parts::join::{continued_at, goes_on_in_seams, goes_on_over_dart};
use crate::parts::lay_on::{LaidOnBase, lay_on};
use crate::parts::seam_side::{BothSides, Mirrored, refuse_mixed_girth};
use crate::pattern::{
    Copy, Cut, Dart, DartKind, DartName, DartShape, EdgeName, EdgeRef, Field, Kept, Mouth, Operation,
    Pattern, Piece, PieceName, Press, Refusal, RefusalKind, Seam, Side, Twins, WalkEnd,
};
use crate::tolerance::{JOINT, SAME_CUT};

/// What a piece is joined to.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum JoinedTo {
    /// Another piece.
    AnotherPiece,
    /// Its own mirrored copy.
    OwnMirror,
}

/// Two pieces that are joined along a seam: that of the base stays where it is and keeps its grain.
pub(crate) struct Joining {
    pub sides: BothSides,
    pub to: JoinedTo,
}

/// How the other piece lies on the base, and what is left open between them.
pub(crate) struct LaidTogether {
    on: LaidOnBase,
    pub gaps: Vec<Gap>,
}

/// What is joined, with the darts of its gaps.
pub(crate) struct Merged {
    pub made: Assembled,
    pub new_darts: usize,
}

impl Joining {
    /// Takes up both sides of a seam.
    ///
    /// # Errors
    ///
    /// Refuses what [`BothSides::of`] refuses, a seam of one copy of a piece to itself, and pieces of which one counts in a
    /// girth and the other does not.
    pub(crate) fn of(pattern: &Pattern, seam: &Seam, base: Side) -> Result<Joining, Refusal> {
        let sides = BothSides::of(pattern, seam, base)?;
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
        Ok(Joining { sides, to })
    }

    /// Lays the other piece on the base so that the longest stretch of the two seamlines lies together.
    ///
    /// # Errors
    ///
    /// Refuses seamlines that lie together nowhere, and pieces that would lie over one another.
    pub(crate) fn laid(&self) -> Result<LaidTogether, Refusal> {
        let on = lay_on(&self.sides)?;
        let gaps = gaps(&self.sides, &on)?;
        Ok(LaidTogether { on, gaps })
    }

    /// The pieces that are joined, the base first.
    pub(crate) fn old(&self) -> Vec<&Piece> {
        match self.to {
            JoinedTo::OwnMirror => vec![&self.sides.base.piece],
            JoinedTo::AnotherPiece => vec![&self.sides.base.piece, &self.sides.other.piece],
        }
    }

    /// The joined piece; a gap that can be seen becomes a dart.
    ///
    /// # Errors
    ///
    /// Refuses pieces that are not cut alike, and gaps of which no dart can be made.
    pub(crate) fn merged(
        &self,
        pattern: &Pattern,
        laid: &LaidTogether,
        name: PieceName,
    ) -> Result<Merged, Refusal> {
        let cut = joined_cut(&self.sides, self.to)?;
        let assembly = assembly(pattern, &self.sides, laid, JoinedPiece { name, cut, to: self.to })?;
        let made = assemble(&assembly)?;
        if self.to == JoinedTo::AnotherPiece {
            refuse_fold_taken(&self.sides.base.piece, &made.piece)?;
        }
        Ok(Merged { made, new_darts: assembly.new_darts.len() })
    }
}

/// What the joined piece is to be.
struct JoinedPiece {
    name: PieceName,
    cut: Cut,
    to: JoinedTo,
}

/// Refuses to take the fold of a piece along: it would be cut in more or fewer copies than before.
pub(crate) fn refuse_fold_taken(old: &Piece, new: &Piece) -> Result<(), Refusal> {
    if old.times() == new.times() {
        return Ok(());
    }
    let folded = if old.fold().is_some() { old } else { new };
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        old.name(),
        "a part of a fold would go over with the strip to a piece that is not cut on the fold",
        advice!("open the fold first: ", Operation::Unfold.with(Field::Piece, folded.name())),
    ))
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
    refuse_other_count(base.name(), base, other)?;
    Ok(if base.fold().is_none() && other.fold().is_some() { other.cut } else { base.cut })
}

/// Refuses to make one piece, or to move cloth between two, that are not cut as often.
///
/// # Errors
///
/// Where their counts differ.
pub(crate) fn refuse_other_count(
    at: impl std::fmt::Display,
    piece: &Piece,
    other: &Piece,
) -> Result<(), Refusal> {
    if piece.times() == other.times() {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        at,
        format!("`{}` is cut {}, `{}` is cut {}", piece.name(), piece.cut, other.name(), other.cut),
        "bring the counts together with set-piece, unfold or open-centre",
    ))
}

fn assembly<'a>(
    pattern: &Pattern,
    sides: &'a BothSides,
    laid: &LaidTogether,
    joined: JoinedPiece,
) -> Result<Assembly<'a>, Refusal> {
    let copy = match joined.to {
        JoinedTo::OwnMirror => Copy::Mirrored,
        JoinedTo::AnotherPiece => Copy::Drawn,
    };
    let parts = vec![
        Part::whole(&sides.base.piece, Motion::identity()),
        Part { copy, ..Part::whole(&sides.other.piece, laid.on.motion) },
    ];
    let base_bits = sides.base.rest(0, Mirrored::No);
    let other_bits = sides.other.rest(1, sides.mirrored);
    let other = sides.other.curve.moved(&laid.on.motion);
    let mut assembly = Assembly::like(&sides.base.piece, joined.name, parts, Vec::new());
    assembly.cut = joined.cut;
    let ends = [
        (WalkEnd::Start, sides.base.curve.start(), other.start()),
        (WalkEnd::End, other.end(), sides.base.curve.end()),
    ];
    let mut bits = Vec::new();
    for ((end, from, to), rest) in ends.into_iter().zip([base_bits, other_bits]) {
        bits.extend(rest);
        let dart = laid.gaps.iter().find(|gap| gap.opens_at(end) && !gap.is_negligible());
        let one_edge = match dart {
            Some(_) => goes_on_over_dart(pattern, sides, end),
            None => goes_on_in_seams(pattern, sides, end),
        };
        if one_edge {
            assembly.continued.push(continued_at(sides, end));
        }
        match dart {
            Some(gap) => {
                bits.push(Bit::Mouth {
                    dart: assembly.new_darts.len(),
                    chord: Curve::line(from, to)?,
                    on: None,
                });
                assembly.new_darts.push(open_dart(gap, end, (from, to), &sides.base.edge_ref())?);
            }
            None if from.distance(to) > JOINT => bits.push(Bit::Bridge(Curve::line(from, to)?)),
            None => {}
        }
    }
    for gap in laid.gaps.iter().filter(|gap| gap.tail == Tail::Closed && !gap.is_negligible()) {
        assembly.new_darts.push(double_dart(gap, &sides.base.edge_ref())?);
    }
    assembly.bits = bits;
    Ok(assembly)
}

/// A dart of a gap that opens at an end of the seam; the mouth is set when the edge is made.
fn open_dart(gap: &Gap, end: WalkEnd, (from, to): (Point, Point), seam: &EdgeRef) -> Result<Dart, Refusal> {
    let (first, second) = match end {
        WalkEnd::Start => (gap.base.clone(), gap.other.clone()),
        WalkEnd::End => (gap.other.reversed(), gap.base.reversed()),
    };
    let tip = first.end().midpoint(second.end());
    let mouth = Mouth { edge: EdgeName::plain("mouth"), from: 0.0, to: from.distance(to) };
    let legs = (first.with_ends(from, tip)?, second.with_ends(to, tip)?);
    refuse_bent_back(&legs, seam)?;
    Ok(new_dart(DartShape::Open { mouth, legs }))
}

/// Refuses a gap whose sides reach further from its mouth at a corner than at its tip: it could not be folded.
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
        RefusalKind::Gap,
        seam,
        "the gap between the pieces bends back toward its mouth: no dart can be made of it",
        "leave the seam where it is, or take some of its shaping into darts first",
    ))
}

fn double_dart(gap: &Gap, seam: &EdgeRef) -> Result<Dart, Refusal> {
    let start = gap.base.start().midpoint(gap.other.start());
    let end = gap.base.end().midpoint(gap.other.end());
    let sides = (gap.other.with_ends(start, end)?, gap.base.with_ends(start, end)?);
    refuse_wider_than_long(&sides, seam)?;
    Ok(new_dart(DartShape::Double { sides }))
}

/// Refuses a gap with a corner further from another, or from a tip, than its tips are from each other: its tips could
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
        RefusalKind::Gap,
        seam,
        format!(
            "the gap between the pieces is wider than the {long:.0} mm that it is long: no dart can be made of it"
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
