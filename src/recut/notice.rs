//! What a step tells the user besides the new pattern.

use crate::advice;
use crate::allowance::CutShape;
use crate::derive::UnequalEnds;
use crate::pattern::{
    Advice, DartName, DeclaredKind, EdgeRef, Field, LevelName, NotchName, Opening, Operation, PieceName,
    Refusal, StyleLineName, Suggestion,
};
use crate::recut::CornerWish;
use crate::recut::fields::CornerEdges;
use crate::recut::reasons::{StepLine, WhyNothing};
use crate::units::Length;

/// Something a step did that the user should know, or be warned of.
#[derive(Clone, Debug, PartialEq)]
pub enum Notice {
    /// A piece was made.
    PieceMade {
        /// Its name.
        piece: PieceName,
        /// What it was made of.
        from: Vec<PieceName>,
    },
    /// A line was drawn on a piece, by which a strip is laid.
    LineDrawn {
        /// The piece.
        piece: PieceName,
        /// The line.
        line: StyleLineName,
    },
    /// A facing was divided at a seam: there the pieces do not lie flat over its depth, or it would lie on two folds.
    FacingDivided {
        /// What it was divided in.
        names: Vec<PieceName>,
    },
    /// The ends of two facings lie at one seam, and are not sewn together, since the one is longer.
    EndsUnsewn {
        /// The ends.
        ends: UnequalEnds,
    },
    /// A derived piece is not made any more: another stands for it.
    PieceGone {
        /// Its name.
        piece: PieceName,
    },
    /// A step changed what a derived piece was made from.
    MustFollow {
        /// The derived piece.
        piece: PieceName,
        /// How far it is off now, where that is a length.
        off: Option<Length>,
    },
    /// A step drew a derived piece itself anew: it stands by itself now.
    FollowsNoMore {
        /// The piece.
        piece: PieceName,
    },
    /// All that a derived piece was made from is gone: it stands by itself now.
    SourceGone {
        /// The piece.
        piece: PieceName,
    },
    /// A derived piece could not be made anew when all of them were to follow; it stays as it is.
    NotFollowed {
        /// The piece.
        piece: PieceName,
        /// Why, and the way out.
        why: Refusal,
    },
    /// A seam was made; both its seamlines were walked.
    SeamMade {
        /// An edge on one side.
        first: EdgeRef,
        /// The edge on the other.
        second: EdgeRef,
        /// The sewn length of the first side.
        first_length: Length,
        /// The sewn length of the second side.
        second_length: Length,
    },
    /// Two seamlines that were joined differ in length; the difference lies at the far end.
    LengthsDiffer {
        /// An edge on one side.
        first: EdgeRef,
        /// The edge on the other.
        second: EdgeRef,
        /// By how much the first is longer.
        by: Length,
    },
    /// A difference of length became declared ease.
    EaseDeclared {
        /// The longer edge.
        edge: EdgeRef,
        /// By how much it is longer.
        ease: Length,
    },
    /// A seam stands off the grain.
    OffGrain {
        /// The edge.
        edge: EdgeRef,
        /// Its angle to the grain, degrees.
        degrees: f64,
    },
    /// A part joined to a piece lies at an angle to the grain of that piece.
    PartTurned {
        /// The piece that the part came from.
        part: PieceName,
        /// The piece it belongs to now.
        piece: PieceName,
        /// The angle, degrees.
        degrees: f64,
    },
    /// The girth at a level changed.
    GirthChanged {
        /// The level.
        level: LevelName,
        /// By how much, on the whole garment.
        by: Length,
    },
    /// The area of a piece changed.
    AreaChanged {
        /// The piece.
        piece: PieceName,
        /// Why.
        why: DeclaredKind,
        /// By how much, mm².
        by: f64,
    },
    /// How wide the strip is that moved from one piece to another.
    StripMoved {
        /// The piece that gave.
        from: PieceName,
        /// The piece that took.
        to: PieceName,
        /// Its least and greatest width; negative where the other piece gave.
        widths: (Length, Length),
    },
    /// A seamline was moved at an end to bring lengths together.
    Trued {
        /// The edge.
        edge: EdgeRef,
        /// By how much its sewn length changed.
        by: Length,
    },
    /// The line that two edges make across the end of a seam was drawn anew in one, as it turned there.
    DrawnInOne {
        /// The edges on either side of the seam.
        edges: [EdgeRef; 2],
        /// By how much the seam was run on at that end; under zero it was cut back.
        run_on: Length,
    },
    /// A dart was taken into a seam.
    DartTaken {
        /// The piece.
        piece: PieceName,
        /// The dart.
        dart: DartName,
    },
    /// A dart was made: of a gap, of the shaping of a seam that moved, or of a dart that was closed elsewhere.
    DartMade {
        /// The piece.
        piece: PieceName,
        /// The dart.
        dart: DartName,
        /// Its width at the mouth, or its greatest width.
        width: Length,
    },
    /// How many panels a piece was cut into.
    Panels {
        /// The piece.
        piece: PieceName,
        /// How many.
        count: usize,
        /// The width of the widest as it is cut.
        widest: Length,
    },
    /// A mark lies across a new line.
    MarkCrossed {
        /// The piece.
        piece: PieceName,
        /// What the new line is.
        by: StepLine,
        /// The mark's id, or what it is.
        mark: String,
    },
    /// A seam runs into what is left open of another seam.
    OpeningCrossed {
        /// The edges on either side of it.
        between: [EdgeRef; 2],
        /// An edge that they are sewn to beside it.
        opposite: EdgeRef,
        /// What is left open for.
        purpose: Opening,
    },
    /// What stood on the half of a piece that goes has no twin on the half that stays.
    OtherHalfLost {
        /// The piece.
        piece: PieceName,
        /// Its name, or what it is.
        thing: String,
    },
    /// Marks that are not understood stand on the piece alone that was copied.
    MarksStay {
        /// The piece.
        piece: PieceName,
        /// Its copy.
        copy: PieceName,
        /// How many.
        marks: usize,
    },
    /// What is drawn on a derived piece lies on none of those that are made in its place.
    MarkLost {
        /// The piece.
        piece: PieceName,
        /// The mark's id, or what it is.
        mark: String,
    },
    /// A notch could not be kept.
    NotchLost {
        /// The edge it stood on.
        edge: EdgeRef,
        /// Its name.
        notch: NotchName,
    },
    /// A notch went along its edge with the seam that it meets.
    NotchMoved {
        /// The edge it stands on.
        edge: EdgeRef,
        /// Its name.
        notch: NotchName,
        /// How far.
        by: Length,
    },
    /// An edge that is sewn to one that changed needs the same cut.
    SameCutNeeded {
        /// The edge that changed.
        changed: EdgeRef,
        /// The edge that shares it.
        sewn_to: EdgeRef,
        /// How it can be derived anew, where it is on a facing that was drawn by hand: in order, with the facings that take over
        /// an end of it.
        anew: Vec<Suggestion>,
    },
    /// A seam was taken off because one of its edges is sewn otherwise now.
    SeamTakenOff {
        /// What it was called.
        seam: String,
    },
    /// An edge was made two.
    EdgeDivided {
        /// The edge as it was.
        edge: EdgeRef,
        /// What it is now, clockwise.
        into: Vec<EdgeRef>,
    },
    /// Two edges were made one.
    EdgesJoined {
        /// The edges as they were.
        edges: CornerEdges,
        /// What they are now.
        into: EdgeRef,
    },
    /// A stretch of a seam is left open.
    SeamOpened {
        /// What is open on one side.
        first: EdgeRef,
        /// And on the other.
        second: EdgeRef,
        /// For what.
        purpose: Opening,
        /// How long it is.
        length: Length,
    },
    /// A stretch of a seam that was open is sewn again.
    SeamClosed {
        /// What was open on one side.
        first: EdgeRef,
        /// And on the other.
        second: EdgeRef,
        /// For what.
        purpose: Opening,
        /// How long it was.
        length: Length,
    },
    /// An allowance was made wider, so that what needs it has it.
    AllowanceWidened {
        /// The edge.
        edge: EdgeRef,
        /// What it is now.
        to: Length,
    },
    /// An edge is sewn on top of another, or edge to edge with it.
    EdgeLapped {
        /// The edge.
        edge: EdgeRef,
        /// How far inside it the stitching runs.
        lap: Length,
        /// Its allowance, which is turned in first; nothing of a selvedge or a raw edge.
        turned_in: Length,
    },
    /// Cloth was added beyond an edge.
    EdgeExtended {
        /// The edge.
        edge: EdgeRef,
        /// By how much.
        by: Length,
    },
    /// A new edge goes on from one that is sewn, and its partner there has none yet.
    NotSewnYet {
        /// The new edge.
        edge: EdgeRef,
        /// The edge beside which the other piece is to be extended.
        partner: EdgeRef,
    },
    /// A grainline was turned.
    GrainTurned {
        /// The piece.
        piece: PieceName,
        /// By how much, degrees.
        degrees: f64,
    },
    /// A seam that was run straight on ends at a fold.
    EndsAtFold {
        /// The fold.
        fold: EdgeRef,
    },
    /// A corner cannot be cut in the shape that it was set to.
    CornerGaveWay {
        /// Its two edges.
        edges: CornerEdges,
        /// What was asked for.
        shape: CornerWish,
        /// How it is cut.
        cut: CutShape,
    },
    /// There was nothing to do.
    NothingToDo {
        /// The piece or edge.
        at: String,
        /// Why.
        why: WhyNothing,
    },
    /// The two sides of a seam were as long as each other already.
    AlreadyTrue {
        /// What it is called.
        seam: String,
        /// The length of its first side.
        length: Length,
    },
    /// The copies of a piece are other than before.
    CutChanged {
        /// The piece.
        piece: PieceName,
        /// How many copies are cut now.
        cut: crate::pattern::Cut,
    },
    /// A piece that was drawn whole is half now, so that the garment has its other half besides.
    OtherHalfAdded {
        /// The piece.
        piece: PieceName,
    },
}

impl Notice {
    /// Whether the user should look twice.
    #[must_use]
    pub fn is_warning(&self) -> bool {
        matches!(
            self,
            Notice::OffGrain { .. }
                | Notice::GirthChanged { .. }
                | Notice::MarkCrossed { .. }
                | Notice::OpeningCrossed { .. }
                | Notice::OtherHalfLost { .. }
                | Notice::MarkLost { .. }
                | Notice::NotchLost { .. }
                | Notice::SameCutNeeded { .. }
                | Notice::OtherHalfAdded { .. }
                | Notice::EndsAtFold { .. }
                | Notice::CornerGaveWay { .. }
                | Notice::MustFollow { .. }
                | Notice::FollowsNoMore { .. }
                | Notice::SourceGone { .. }
                | Notice::NotFollowed { .. }
                | Notice::NotSewnYet { .. }
                | Notice::EndsUnsewn { .. }
        )
    }

    /// What the user can do about it, where there is something to do.
    #[must_use]
    pub fn way_out(&self) -> Option<Advice> {
        match self {
            Notice::EndsAtFold { .. } => {
                Some(advice!("if it is not meant to, name another end: ", Field::To.set("hem@50%")))
            }
            Notice::SameCutNeeded { anew, .. } => match anew.as_slice() {
                [] => None,
                [first] => Some(advice!("or derive the facing anew: ", first.clone())),
                [first, rest @ ..] => {
                    let then = |advice: Advice, step: &Suggestion| advice.and(", then ").and(step.clone());
                    Some(rest.iter().fold(advice!("or derive the facings anew: ", first.clone()), then))
                }
            },
            Notice::OpeningCrossed { opposite, .. } => Some(advice!(
                "cut beside it, or close it before: ",
                Operation::CloseSeam.with(Field::Seam, opposite)
            )),
            Notice::NotFollowed { why, .. } => Some(why.way_out.clone()),
            Notice::MustFollow { piece, .. } => {
                Some(advice!("make it anew: ", Operation::Follow.with(Field::Piece, piece)))
            }
            Notice::EndsUnsewn { ends: UnequalEnds { longer, shorter, lengths } } => Some(advice!(
                "sew them and ease the difference in: ",
                Operation::SetEdge
                    .with(Field::Edge, longer)
                    .with(Field::SewnTo, shorter)
                    .with(Field::Ease, Length::from_mm(lengths.0.mm() - lengths.1.mm()))
            )),
            _ => None,
        }
    }
}
