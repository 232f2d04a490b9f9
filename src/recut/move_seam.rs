//! `move-seam`: shift a seam; a strip goes from one piece to the other.
//!
//! The strip is what the giving piece has beyond the new line. It is laid on the other piece at the old seamline,
//! matched at one end and turned so that the chords agree; its new edge takes over the shaping of the old seam level by
//! level, see [`moved_edge`](super::moved_edge).

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Motion, area_where};
use crate::parts::assemble::{Assembled, Assembly, Bit, EdgeLook, Part, Unplaced, assemble, bits_round};
use crate::parts::join::{continued_at, goes_on_in_seams};
use crate::parts::lay_on::lay_by_chord;
use crate::parts::merge::refuse_fold_taken;
use crate::parts::merge::refuse_other_count;
use crate::parts::seam_side::{BothSides, Mirrored, refuse_mixed_girth};
use crate::pattern::{
    DeclaredKind, DrawnAnew, EdgeRef, Field, Finish, OffThread, Operation, PieceName, Refusal, RefusalKind,
    Seam, SeamId, Selvedge, Side, Thread, Travel, WalkEnd, settle,
};
use crate::recut::after::tell_darts_made;
use crate::recut::faired_run::{fair_across, lines_that_run_on};
use crate::recut::fields::{SeamLine, Shaping, WidthToKeep, less_shaping};
use crate::recut::joint_notches::{carry_joint_notches, renotch};
use crate::recut::lap_over::lap_new_edge;
use crate::recut::moved_edge::{Carrying, HemCorner, NewEdge, true_at_hem};
use crate::recut::moved_levels;
use crate::recut::moved_line::{NewLine, find_line};
use crate::recut::opened_side::refuse_opened;
use crate::recut::smooth_joint::smooth_hem;
use crate::recut::{Notice, Work};
use crate::tolerance::{
    AREA_RECORDED, CHORDS_DIFFER, JOINT, MOST_MOVED_EASE, MOST_MOVED_TRUED, OFF_GRAIN_WARNED, PART_TURNED,
    SAME_CUT,
};
use crate::units::Length;

/// Shift a seam: cut a strip off one piece and join it to the other at the old seamline.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MoveSeam {
    /// Any edge of the seam: front.side.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub seam: EdgeRef,
    /// The piece that gives.
    #[arg(long, value_name = "PIECE")]
    pub from: PieceName,
    /// Finished width that the giving piece keeps, as drawn: half the width for a half piece.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_width: Option<WidthToKeep>,
    /// How far the seam is shifted into the giving piece.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Length>,
    /// Where the new seam runs: grain (straight and parallel to the grain), seam (parallel to the old one), or a line; otherwise grain with --to-width and seam with --by.
    #[arg(long, value_name = "LINE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<SeamLine>,
    /// What becomes of the shaping of the old seam: carry it to the new edge (default), keep it as a dart at the old seam, or drop it.
    #[arg(long, value_name = "SHAPING")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaping: Option<Shaping>,
    /// What becomes of the longer side of the new seam: eased in (default), or trued at the hem.
    #[arg(long, value_name = "LONGER")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longer: Option<Longer>,
    /// The edge at the end of the old seam where the two pieces are matched; otherwise the end away from a hem.
    #[arg(long, value_name = "PIECE.EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub match_at: Option<EdgeRef>,
    /// The edge of the giving piece is sewn on top of the other, with the stitching so far inside it; on the selvedge where it runs with the grain. 0mm: edge to edge.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lap: Option<Length>,
}

impl MoveSeam {
    /// A seam moved off one of its pieces onto the other; it still needs how far.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{MoveSeam, Step};
    /// use retrue::truing::girths;
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let step = MoveSeam { by: Some("15mm".parse()?), ..MoveSeam::of("front.shoulder".parse()?, "front".parse()?) };
    /// let moved = Step::from(step).apply(&coat)?.pattern;
    /// for (before, now) in girths(&coat).iter().zip(girths(&moved)) {
    ///     assert!((now.around.mm() - before.around.mm()).abs() < 0.01);
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(seam: EdgeRef, from: PieceName) -> MoveSeam {
        MoveSeam {
            seam,
            from,
            to_width: None,
            by: None,
            line: None,
            shaping: None,
            longer: None,
            match_at: None,
            lap: None,
        }
    }
}

impl MoveSeam {
    /// Whether the edge of the giving piece becomes a selvedge that is sewn on top of the other.
    #[must_use]
    pub fn is_lapped_on_selvedge(&self) -> bool {
        self.lap.is_some() && self.runs_with_grain()
    }

    /// Whether the new seam runs with the grain; a width asks for that where no line is given.
    fn runs_with_grain(&self) -> bool {
        match &self.line {
            Some(line) => *line == SeamLine::Grain,
            None => self.to_width.is_some(),
        }
    }
}

/// What becomes of the difference where one side of the new seam is longer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Longer {
    /// It is eased in, up to 3 mm.
    #[default]
    Ease,
    /// It is trued at the hem, up to 10 mm.
    Hem,
}

pub(super) fn move_seam(step: &MoveSeam, work: &mut Work) -> Result<(), Refusal> {
    let id = seam_meant(step, work)?;
    let asked = step.match_at.as_ref().map(|edge| settle(&work.pattern, edge));
    let seam = work.pattern.seam(id).clone();
    let sides = sides_of(step, work, &seam)?;
    refuse_mixed_girth(&sides)?;
    refuse_opened(&sides)?;
    let ran_on = lines_that_run_on(work, id)?;
    let end = match_end(asked.as_ref(), &sides)?;
    let motion = lay_by_chord(&sides, end)?;
    refuse_bent_otherwise(&sides, &motion, end)?;
    let to_width = step.to_width.map(|width| width.given(&step.from)).transpose()?;
    let line = find_line(to_width, step.by, step.line.as_ref(), &sides)?;
    let shaping = step.shaping.unwrap_or_default();
    let hem_corner = match step.longer {
        Some(Longer::Hem) => HemCorner::Follows,
        Some(Longer::Ease) | None => HemCorner::Stays,
    };
    let carrying = Carrying::over(&sides, &line, motion, shaping, hem_corner)?;
    let edge = carrying.new_edge()?;
    let moved = SeamMove { sides: &sides, line: &line, motion, carrying: &carrying, edge: &edge };
    let giver = assemble(&moved.giver()?)?;
    let taker = assemble(&moved.taker(work)?)?;
    let names = moved.names();
    refuse_fold_taken(&sides.other.piece, &giver.piece)?;
    refuse_fold_taken(&sides.base.piece, &taker.piece)?;
    let made = vec![
        Assembled { redrawn: vec![(moved.old_giving(), names.1.clone())], ..giver },
        Assembled { redrawn: vec![(moved.old_taking(), names.0.clone())], ..taker },
    ];
    let untrued: Vec<f64> = made.iter().map(|made| made.piece.net_area()).collect();
    let made = moved.hem_trued(step.longer.unwrap_or_default(), made)?;
    tell_strip(work, &moved, &made, untrued.iter().sum());
    for (made, before) in made.iter().zip(untrued) {
        work.declare(made.piece.name(), DeclaredKind::Trued, made.piece.net_area() - before);
    }
    let taker = &made[1].piece;
    let darts = taker.darts[taker.darts.len() - edge.darts.len()..].to_vec();
    let name = taker.name().clone();
    let before = work.pattern.clone();
    work.replace(&[&sides.other.piece, &sides.base.piece], made)?;
    tell_darts_made(work, &name, &darts);
    let moved_to = work.pattern.seam_named(&moved.old_taking(), Some(&moved.old_giving().piece))?;
    ran_on.into_iter().try_for_each(|at| fair_across(work, moved_to, at))?;
    let new = settle_seam(work, &moved)?;
    if step.longer == Some(Longer::Hem) {
        smooth_hem(work, new)?;
    }
    carry_joint_notches(work, &before, id, new)?;
    if let Some(lap) = step.lap {
        let on = if step.is_lapped_on_selvedge() { Selvedge::Yes } else { Selvedge::No };
        lap_new_edge(work, &moved.old_giving(), lap, on)?;
    }
    Ok(())
}

/// The seam that is meant: the one of the named edge that also lies on the giving piece.
fn seam_meant(step: &MoveSeam, work: &Work) -> Result<SeamId, Refusal> {
    work.pattern.piece(&step.from)?;
    work.pattern.seam_named(&settle(&work.pattern, &step.seam), Some(&step.from))
}

/// Both sides, the giving piece as the other one: the piece that takes stays where it is.
fn sides_of(step: &MoveSeam, work: &Work, seam: &Seam) -> Result<BothSides, Refusal> {
    let on_giver = |side: Side| seam.side(side).edges().iter().any(|run| run.edge.piece == step.from);
    let base = match (on_giver(Side::First), on_giver(Side::Second)) {
        (true, true) => {
            return Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                seam.name(),
                format!("both sides of the seam are on `{}`", step.from),
                "split the piece on the new line, then join the strip with merge-at-seamline",
            ));
        }
        (true, false) => Side::Second,
        _ => Side::First,
    };
    let sides = BothSides::of(&work.pattern, seam, base)?;
    refuse_other_count(seam.name(), &sides.base.piece, &sides.other.piece)?;
    Ok(sides)
}

/// The end of the old seam where the pieces are matched: as asked, else away from a hem.
fn match_end(asked: Option<&EdgeRef>, sides: &BothSides) -> Result<WalkEnd, Refusal> {
    let (start, end) = sides.base.neighbours();
    let (other_start, other_end) = sides.other.neighbours();
    let Some(asked) = asked else {
        let is_hem = sides.base.piece.edge(start).finish == Finish::Hem;
        return Ok(if is_hem { WalkEnd::End } else { WalkEnd::Start });
    };
    let is = |side: &crate::parts::seam_side::SeamSide, id| {
        asked.piece == *side.piece.name() && asked.edge == side.piece.edge(id).name
    };
    if is(&sides.base, start) || is(&sides.other, other_start) {
        Ok(WalkEnd::Start)
    } else if is(&sides.base, end) || is(&sides.other, other_end) {
        Ok(WalkEnd::End)
    } else {
        Err(Refusal::new(
            RefusalKind::PlaceOutside,
            asked,
            "the edge does not meet an end of the seam",
            format!(
                "name one that does: {0}.{1} or {0}.{2}",
                sides.base.piece.name(),
                sides.base.piece.edge(start).name,
                sides.base.piece.edge(end).name
            ),
        ))
    }
}

/// Refuses two seamlines that bend so differently that the strip, laid on at one end, would end beside the other piece's
/// far corner. What one is longer stays there and is told.
fn refuse_bent_otherwise(sides: &BothSides, motion: &Motion, end: WalkEnd) -> Result<(), Refusal> {
    let (base, other) = (&sides.base.curve, sides.other.curve.moved(motion));
    let missed = match end {
        WalkEnd::Start => base.end().distance(other.end()),
        WalkEnd::End => base.start().distance(other.start()),
    };
    let beyond = missed - (base.length() - other.length()).abs();
    if beyond <= CHORDS_DIFFER {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::Geometry,
        sides.base.edge_ref(),
        format!(
            "the two seamlines bend so differently that the strip would end {missed:.1} mm beside the corner, and its \
             levels would part by as much"
        ),
        advice!(
            "cut the giving piece on the new line with ",
            Operation::Split,
            ", and keep the strip as a panel of its own"
        ),
    ))
}

/// All that is known of a moved seam before the pieces are made. The base takes, the other gives.
struct SeamMove<'a> {
    sides: &'a BothSides,
    line: &'a NewLine,
    motion: Motion,
    carrying: &'a Carrying<'a>,
    edge: &'a NewEdge,
}

impl<'a> SeamMove<'a> {
    fn old_taking(&self) -> EdgeRef {
        self.sides.base.edge_ref()
    }

    fn old_giving(&self) -> EdgeRef {
        self.sides.other.edge_ref()
    }

    /// The new edges: on the piece that takes, and on the one that gives. They bear the names of the old.
    fn names(&self) -> (EdgeRef, EdgeRef) {
        (self.old_taking(), self.old_giving())
    }

    /// Whether the new edge is another line than the one along which the strip was cut.
    fn redraws_edge(&self) -> bool {
        self.edge.curve != self.line.curve.moved(&self.motion)
    }

    fn giver(&self) -> Result<Assembly<'a>, Refusal> {
        let side = &self.sides.other;
        let piece = &side.piece;
        let (low, high) = self.line.ends_round(side);
        let mut bits = bits_round(piece, 0, high, low);
        let look = EdgeLook::of(piece.edge(side.edges[0]));
        let curve = match side.travel {
            Travel::Clockwise => self.line.curve.clone(),
            Travel::Anticlockwise => self.line.curve.reversed(),
        };
        bits.push(Bit::New { look, curve: curve.clone() });
        let region = crate::parts::assemble::region(piece, high, low, std::slice::from_ref(&curve))?;
        let levels = moved_levels::of_giver(side, &self.line.curve, &region);
        let part = Part { levels: Some(levels), ..Part::of(piece, region, Motion::identity()) };
        Ok(Assembly::like(piece, piece.name().clone(), vec![part], bits))
    }

    fn taker(&self, work: &Work) -> Result<Assembly<'a>, Refusal> {
        let (base, other) = (&self.sides.base, &self.sides.other);
        let strip = self.line.strip_region(other)?;
        let levels = self.carrying.levels_of_strip(&strip)?;
        let begins = match self.carrying.shaping {
            Shaping::Carry => base.curve.clone(),
            Shaping::Drop | Shaping::Dart => other.curve.moved(&self.motion),
        };
        let own = moved_levels::of_taker(self.sides, &levels, &begins, &self.edge.curve);
        let parts = vec![
            Part { levels: Some(own), ..Part::whole(&base.piece, Motion::identity()) },
            Part { levels: Some(levels), ..Part::of(&other.piece, strip, self.motion) },
        ];
        let mut assembly = Assembly::like(&base.piece, base.piece.name().clone(), parts, Vec::new());
        let mut bits = base.rest(0, Mirrored::No);
        self.join_strip(work, WalkEnd::Start, &mut assembly, &mut bits)?;
        let look = EdgeLook::of(base.piece.edge(base.edges[0]));
        bits.push(Bit::New { look, curve: self.edge.curve.clone() });
        self.join_strip(work, WalkEnd::End, &mut assembly, &mut bits)?;
        assembly.bits = bits;
        assembly.new_darts = self.edge.darts.clone();
        assembly.unplaced = Unplaced::Keep;
        Ok(assembly)
    }

    /// Adds what the strip has of a neighbour of the old seam, at one end of it.
    fn join_strip(
        &self,
        work: &Work,
        end: WalkEnd,
        assembly: &mut Assembly<'a>,
        bits: &mut Vec<Bit>,
    ) -> Result<(), Refusal> {
        let (base, other) = (&self.sides.base, &self.sides.other);
        let placed = other.curve.moved(&self.motion);
        let (from, to) = match end {
            WalkEnd::Start => (base.curve.start(), placed.start()),
            WalkEnd::End => (placed.end(), base.curve.end()),
        };
        let bridge = (from.distance(to) > JOINT).then(|| crate::curve::Curve::line(from, to)).transpose()?;
        let mut strip = self.line.neighbour_bits(other, end);
        if self.sides.mirrored == Mirrored::Yes {
            strip.reverse();
        }
        if goes_on_in_seams(&work.pattern, self.sides, end) {
            assembly.continued.push(continued_at(self.sides, end));
        }
        match end {
            WalkEnd::Start => {
                bits.extend(bridge.map(Bit::Bridge));
                bits.extend(strip);
            }
            WalkEnd::End => {
                bits.extend(strip);
                bits.extend(bridge.map(Bit::Bridge));
            }
        }
        Ok(())
    }

    /// The area of the piece that takes over which the strip lies, mm²: where an old seamline bows out against the other.
    fn laid_over(&self) -> f64 {
        let Ok(strip) = self.line.strip_region(&self.sides.other) else { return 0.0 };
        let strip = self.motion.to_affine() * strip.to_path();
        let rings = [self.sides.base.piece.outline().to_path(), strip];
        area_where(&rings, &[], |times, _| times > 1).unwrap_or(0.0)
    }

    /// Takes the difference of the two new edges off at the hem, where that is asked; refuses more than may be eased.
    fn hem_trued(&self, longer: Longer, made: Vec<Assembled>) -> Result<Vec<Assembled>, Refusal> {
        if longer == Longer::Hem {
            return true_at_hem(made, &self.names(), self.edge, &self.line.curve);
        }
        let difference = self.edge.curve.length() - self.line.curve.length();
        if difference.abs() <= MOST_MOVED_EASE {
            return Ok(made);
        }
        let (taking, giving) = self.names();
        let (long, short) = if difference > 0.0 { (taking, giving) } else { (giving, taking) };
        Err(Refusal::new(
            RefusalKind::LengthsDiffer,
            long,
            format!(
                "the new edge would be {:.1} mm longer than {short}; up to {MOST_MOVED_EASE} mm can be eased in",
                difference.abs()
            ),
            if difference.abs() <= MOST_MOVED_TRUED {
                advice!(
                    "keep the shaping at the old seam with ",
                    Field::Shaping.set("dart"),
                    ", true the difference at the hem with ",
                    Field::Longer.set("hem"),
                    ", or take less shaping"
                )
            } else {
                less_shaping()
            },
        ))
    }
}

/// Tells of the strip, and declares what joining it changed of the area of both pieces.
fn tell_strip(work: &mut Work, moved: &SeamMove, made: &[Assembled], now: f64) {
    let (base, other) = (moved.sides.base.piece.name(), moved.sides.other.piece.name());
    let (least, most) = moved.carrying.widths();
    work.tell(Notice::StripMoved {
        from: other.clone(),
        to: base.clone(),
        widths: (Length::from_mm(least), Length::from_mm(most)),
    });
    for carried in
        made.iter().flat_map(|made| &made.carried).filter(|carried| carried.off_grain > PART_TURNED)
    {
        work.tell(Notice::PartTurned {
            part: carried.from.clone(),
            piece: base.clone(),
            degrees: carried.off_grain,
        });
    }
    // Beyond the tips of a dart that keeps the shaping a gap too narrow to be sewn is filled.
    let why = match moved.carrying.shaping {
        Shaping::Drop | Shaping::Dart => DeclaredKind::VoidFilled,
        Shaping::Carry => DeclaredKind::ShapingCarried,
    };
    let by = now - moved.sides.base.piece.net_area() - moved.sides.other.piece.net_area();
    let over = moved.laid_over();
    work.declare_each(base, why, &[by + over, -over]);
    if moved.redraws_edge() {
        work.declare_drawn(base, why);
        work.drawn_anew(DrawnAnew { before: Vec::new(), after: vec![moved.old_taking()] });
    }
    if moved.redraws_edge() || (by + over).abs() > AREA_RECORDED || over > AREA_RECORDED {
        work.drawn_anew(DrawnAnew { before: moved.sides.edge_refs(), after: Vec::new() });
    }
}

/// Declares the ease of the moved seam, sets its notches, and tells how it lies to the grain.
fn settle_seam(work: &mut Work, moved: &SeamMove) -> Result<SeamId, Refusal> {
    let (taking, giving) = moved.names();
    let id = work.pattern.seam_named(&taking, Some(&giving.piece))?;
    let length = |edge: &EdgeRef| work.pattern.edge(edge).map(|(piece, id)| piece.sewn_length(id));
    let (taken, given) = (length(&taking)?, length(&giving)?);
    let ease = taken - given;
    let mut seam = work.pattern.seam(id).clone();
    let taker_is_first = seam.first.holds(&taking);
    seam.ease = Length::from_mm(if taker_is_first { ease } else { -ease });
    if ease.abs() <= SAME_CUT {
        seam.ease = Length::ZERO;
    }
    work.pattern.replace_seam(id, seam)?;
    work.entry.new_seams.push(crate::pattern::NewSeam { first: taking.clone(), second: giving.clone() });
    work.tell(Notice::SeamMade {
        first: taking.clone(),
        second: giving.clone(),
        first_length: Length::from_mm(taken),
        second_length: Length::from_mm(given),
    });
    if ease.abs() > SAME_CUT {
        let edge = if ease > 0.0 { taking.clone() } else { giving.clone() };
        work.tell(Notice::EaseDeclared { edge, ease: Length::from_mm(ease.abs()) });
    }
    renotch(work, moved.sides, (&taking, taken), (&giving, given))?;
    for edge in [&taking, &giving] {
        let (piece, id) = work.pattern.edge(edge)?;
        let off = piece.off_thread(id).filter(|off| off.thread == Thread::Warp);
        if let Some(OffThread { degrees, .. }) = off.filter(|off| off.degrees > OFF_GRAIN_WARNED) {
            work.tell(Notice::OffGrain { edge: edge.clone(), degrees });
        }
    }
    Ok(id)
}
