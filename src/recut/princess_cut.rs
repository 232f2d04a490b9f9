//! Cutting a piece in two along a seam that takes darts in.
//!
//! ```text
//!           start                        the seam runs from its start on the outline through the point to its end;
//!        ─────┬────────                  one panel comes after the start, clockwise, the other before it
//!             │        \
//!      before │  after  \                darts at the ends of the seam give it their legs: the two panels begin at
//!             │        ──<  closed       the two mouth ends
//!             · point ───
//!             │         |                darts elsewhere are closed: the sectors of the panel between the point and
//!        ─────┴─────────                 the stretches of its outline turn until the legs meet
//!            end
//! ```

use crate::curve::{Curve, LeftOrRight, Vec2, turn_between};
use crate::parts::assemble::{Assembled, Part, Unplaced, region, way_round};
use crate::pattern::{
    DartName, DeclaredKind, DrawnAnew, EdgeId, EdgeRef, Finish, NotchCount, On, Piece, PieceName, Refusal,
    RefusalKind,
};
use crate::recut::Work;
use crate::recut::blend_seam::{Cornered, Smoothed, smooth};
use crate::recut::dart_geometry::{Slide, Wedge, refuse_across_darts, refuse_meeting, refuse_outside};
use crate::recut::marks_in_dart;
use crate::recut::outcome::{OnFold, new_edge_name};
use crate::recut::part_names::{CutPart, PartNames, PartsOfCut};
use crate::recut::seam_panel::{AFTER, BEFORE, PrincessPanel, SeamThrough, SectoredPanel, motions, reversed};
use crate::recut::split::tell_crossed_marks;
use crate::recut::{Notice, StepLine};
use crate::tolerance::{EASE_TOLD, LEAST_PART, MOST_SEAM_TURN, SAME_CUT, SAME_LENGTH};
use crate::units::Length;

impl SeamThrough<'_> {
    /// Cuts the piece.
    ///
    /// # Errors
    ///
    /// Refuses a line that leaves the piece, crosses a dart that is not taken in, or cuts off nothing; darts that
    /// cannot be closed; seamlines that differ by more than may be eased.
    pub(super) fn cut(&self, work: &mut Work) -> Result<(), Refusal> {
        self.refuse_unsound()?;
        let sides = [self.side(AFTER)?, self.side(BEFORE)?];
        for side in &sides {
            self.refuse_nothing(side)?;
        }
        let lines = [sides[AFTER].placed_line()?, sides[BEFORE].placed_line()?];
        let cornered = Cornered {
            lines,
            point: self.before_point - 1,
            notched: (self.notched.0 - 1, self.notched.1 - 1),
        };
        let smoothed = smooth(self.piece.name(), &cornered, self.wishes)?;
        let parts = self.parts(&sides);
        let order = match parts.first() {
            LeftOrRight::Left => [AFTER, BEFORE],
            LeftOrRight::Right => [BEFORE, AFTER],
        };
        let PartNames { right: before, left: after } = parts.names(&work.pattern, self.names);
        let names = [after, before];
        let edge = new_edge_name(self.word, &[self.piece]);
        let mut made = [AFTER, BEFORE]
            .into_iter()
            .map(|i| {
                let unplaced = if order[0] == i { Unplaced::Keep } else { Unplaced::Leave };
                let made = sides[i].made(&sides[1 - i], (&names[i], &edge), &smoothed.lines[i], unplaced);
                made.map_err(|refusal| self.no_room(refusal))
            })
            .collect::<Result<Vec<Assembled>, Refusal>>()?;
        let parts: Vec<(usize, &Part)> = sides
            .iter()
            .enumerate()
            .flat_map(|(i, side)| side.parts.iter().map(move |part| (i, part)))
            .collect();
        let left = marks_in_dart::keep(self.piece, &parts, &mut made);
        let areas =
            [AFTER, BEFORE].map(|i| made[i].piece.outline().area() - sides[i].area() - sides[i].drawn_over());
        if order[0] == BEFORE {
            made.swap(0, 1);
        }
        self.tell_crossed(work, left);
        work.replace(&[self.piece], made)?;
        self.declare(work, &names, areas, order);
        let edges = names.map(|name| EdgeRef::new(name, edge.clone()));
        work.drawn_anew(DrawnAnew { before: Vec::new(), after: edges.to_vec() });
        self.sew(work, &edges, &smoothed, order)
    }

    /// What an outline that crosses itself means here: the line lies in the piece, and its smoothed seamline does not.
    fn no_room(&self, refusal: Refusal) -> Refusal {
        if refusal.kind != RefusalKind::BadOutline {
            return refusal;
        }
        Refusal::new(
            RefusalKind::BadLine,
            self.piece.name(),
            format!("smoothed where the line turns, the new seamline leaves the piece: {}", refusal.what),
            "let the line meet that edge farther from its corners, or nearer to a right angle",
        )
    }

    fn panel(&self, i: usize) -> &PrincessPanel {
        if i == AFTER { &self.after } else { &self.before }
    }

    /// A line that turns back at the point would swing far beyond it, and is no seam through it.
    fn refuse_turned_back(&self) -> Result<(), Refusal> {
        let ends = self.after.line.first().zip(self.after.line.last());
        let Some((start, end)) = ends.map(|(first, last)| (first.start(), last.end())) else { return Ok(()) };
        let (along, on) = (self.point - start, end - self.point);
        let turn = turn_between(along, on).degrees().abs();
        if turn <= MOST_SEAM_TURN {
            return Ok(());
        }
        Err(Refusal::new(
            RefusalKind::BadLine,
            self.piece.name(),
            format!("the line turns by {turn:.0}° at ({:.1}mm, {:.1}mm)", self.point.x, self.point.y),
            format!(
                "it may turn by up to {MOST_SEAM_TURN}°: let it start and end on opposite sides of the point, or cut with \
                 split"
            ),
        ))
    }

    fn refuse_unsound(&self) -> Result<(), Refusal> {
        self.refuse_turned_back()?;
        let ends = [self.after.from, self.after.to, self.before.from, self.before.to];
        let ends = ends.map(|on| self.piece.point_on(on.edge, on.at));
        let mut curves: Vec<Curve> = Vec::new();
        for line in [&self.after.line, &self.before.line] {
            for stretch in line {
                refuse_outside(self.piece, stretch, "the line", &ends)?;
            }
            curves.extend(line.iter().cloned());
        }
        for curve in [&self.drawn_later.0, &self.drawn_later.1].into_iter().flatten() {
            refuse_outside(self.piece, curve, "the line", &ends)?;
        }
        self.refuse_fold_twice()?;
        let mut legs: Vec<Curve> = Vec::new();
        for wedge in &self.closed {
            wedge.refuse_unsound(self.point, Slide::IntoBlend)?;
            let (a, b) = wedge.mouth();
            let (first, second) = wedge.legs_to(self.point)?;
            refuse_outside(self.piece, &first, "a leg drawn to the point", &[a])?;
            refuse_outside(self.piece, &second, "a leg drawn to the point", &[b])?;
            for other in curves.iter().chain(&legs) {
                refuse_meeting(self.piece, &first, other, self.point)?;
                refuse_meeting(self.piece, &second, other, self.point)?;
            }
            legs.extend([first, second]);
        }
        curves.extend(legs);
        refuse_across_darts(self.piece, &curves, &self.taken())
    }

    pub(super) fn taken(&self) -> Vec<DartName> {
        let closed = self.closed.iter().map(|wedge| wedge.dart.name.clone());
        closed.chain(self.given.iter().map(|(name, _)| name.clone())).collect()
    }

    /// A line from the fold to the fold would leave a hole in the opened piece.
    fn refuse_fold_twice(&self) -> Result<(), Refusal> {
        let on_fold = |on: On| self.piece.edge(on.edge).finish == Finish::Fold;
        if on_fold(self.after.from) && on_fold(self.after.to) {
            return Err(Refusal::new(
                RefusalKind::BadLine,
                self.piece.name(),
                "the line meets the fold twice and would cut a hole",
                "let it start or end on another edge",
            ));
        }
        Ok(())
    }

    fn refuse_nothing(&self, side: &SectoredPanel) -> Result<(), Refusal> {
        let area = side.area();
        if area >= LEAST_PART {
            return Ok(());
        }
        Err(Refusal::new(
            RefusalKind::BadLine,
            self.piece.name(),
            format!("the line cuts off nothing ({:.1} mm²)", area.max(0.0)),
            "choose a line that runs through the piece",
        ))
    }

    /// The panels as their names go by: the one after the seam's start, clockwise, lies on the left of the seam.
    fn parts<'a>(&'a self, sides: &'a [SectoredPanel<'_>; 2]) -> PartsOfCut<'a> {
        let part = |i: usize| {
            let PrincessPanel { from, to, .. } = self.panel(i);
            CutPart::of(self.piece, *from, *to, &sides[i].whole)
        };
        let on = |on: On| self.piece.point_on(on.edge, on.at);
        let chord = on(self.after.to) - on(self.after.from);
        PartsOfCut { piece: self.piece, centre: self.centre, chord, right: part(BEFORE), left: part(AFTER) }
    }

    /// One panel with its sectors, each with its motion.
    fn side(&self, i: usize) -> Result<SectoredPanel<'_>, Refusal> {
        let panel = self.panel(i);
        let mut wedges: Vec<&Wedge> =
            self.closed.iter().filter(|wedge| is_between(self.piece, panel, wedge.from)).collect();
        wedges.sort_by(|a, b| {
            let along = |wedge: &Wedge| round_from(self.piece, panel.from, wedge.from);
            along(a).total_cmp(&along(b))
        });
        let (upper, lower) = panel.line.split_at(self.before_point);
        let (arriving, leaving): (Vec<Curve>, Vec<Curve>) =
            if i == AFTER { (reversed(lower), reversed(upper)) } else { (upper.to_vec(), lower.to_vec()) };
        let mut sectors: Vec<(On, On)> = Vec::new();
        let mut from = panel.from;
        for wedge in &wedges {
            sectors.push((from, wedge.from));
            from = wedge.to;
        }
        sectors.push((from, panel.to));
        for (from, to) in &sectors {
            if from.edge == to.edge && (from.at - to.at).abs() <= SAME_CUT {
                return Err(Refusal::new(
                    RefusalKind::BadDart,
                    self.piece.name(),
                    format!("two darts meet at one place on edge `{}`", self.piece.edge(from.edge).name),
                    "move one of them first with pivot-dart",
                ));
            }
        }
        let seam_end = if i == AFTER { sectors.len() - 1 } else { 0 };
        let staying = self.staying(&sectors, seam_end)?;
        let motions = motions(&wedges, self.point, staying)?;
        let mut parts = Vec::new();
        for (k, (from, to)) in sectors.iter().enumerate() {
            let mut back = match k + 1 == sectors.len() {
                true => arriving.clone(),
                false => vec![Curve::line(self.piece.point_on(to.edge, to.at), self.point)?],
            };
            match k == 0 {
                true => back.extend(leaving.iter().cloned()),
                false => back.push(Curve::line(self.point, self.piece.point_on(from.edge, from.at))?),
            }
            let outline = region(self.piece, *from, *to, &back)?;
            parts.push(Part::of(self.piece, outline, motions[k]));
        }
        let whole: Vec<Curve> = arriving.iter().chain(&leaving).cloned().collect();
        let (start, end) = (&self.drawn_later.0, &self.drawn_later.1);
        let (into, out) = if i == AFTER { (end, start) } else { (start, end) };
        let seamline = (
            into.as_ref().map_or_else(|| arriving.clone(), |curve| vec![curve.reversed()]),
            out.as_ref().map_or_else(|| leaving.clone(), |curve| vec![curve.clone()]),
        );
        Ok(SectoredPanel {
            seam: self,
            index: i,
            on_fold: OnFold::of_way(self.piece, &way_round(self.piece, panel.from, panel.to)),
            whole: region(self.piece, panel.from, panel.to, &whole)?,
            sectors,
            parts,
            wedges,
            staying,
            cut: (arriving, leaving),
            seamline,
        })
    }

    /// The sector that keeps its grain: with the fold, else with the whole of the centre edge there is, else the one
    /// that reaches the seam's end.
    fn staying(&self, sectors: &[(On, On)], seam_end: usize) -> Result<usize, Refusal> {
        let Some(centre) = self.centre else { return Ok(seam_end) };
        let on_centre = |(from, to): &(On, On)| {
            way_round(self.piece, *from, *to).iter().any(|(edge, ..)| *edge == centre)
        };
        let holding: Vec<usize> = (0..sectors.len()).filter(|k| on_centre(&sectors[*k])).collect();
        let fold = self.piece.edge(centre).finish == Finish::Fold;
        match holding.as_slice() {
            [only] => Ok(*only),
            [_, ..] if fold => Err(Refusal::new(
                RefusalKind::BadDart,
                self.piece.name(),
                "closing a dart that opens on the fold would bend the fold",
                "unfold the piece first (retrue unfold), or move the dart with pivot-dart",
            )),
            _ => Ok(seam_end),
        }
    }

    fn tell_crossed(&self, work: &mut Work, left_in_wedge: Vec<String>) {
        for line in self.after.line.iter().chain(&self.before.line) {
            tell_crossed_marks(work, self.piece, StepLine::Seam, line);
        }
        for mark in left_in_wedge {
            work.tell(Notice::MarkCrossed { piece: self.piece.name().clone(), by: StepLine::Seam, mark });
        }
        let mut once = Vec::new();
        for one in std::mem::take(&mut work.notices) {
            if !once.contains(&one) {
                once.push(one);
            }
        }
        work.notices = once;
    }

    /// Declares what redrawing the legs and blending the corners did to the area.
    fn declare(&self, work: &mut Work, names: &[PieceName; 2], blended: [f64; 2], order: [usize; 2]) {
        for dart in self.taken() {
            work.tell(Notice::DartTaken { piece: self.piece.name().clone(), dart });
        }
        let given: Vec<f64> = self.given.iter().map(|(_, by)| by / 2.0).collect();
        let mut redrawn = [given.clone(), given];
        for wedge in &self.closed {
            let of = if is_between(self.piece, &self.after, wedge.from) { AFTER } else { BEFORE };
            if let Ok(legs) = wedge.legs_to(self.point) {
                redrawn[of].push(wedge.area_change(legs));
            }
        }
        for i in order {
            work.declare_each(&names[i], DeclaredKind::LegsRedrawn, &redrawn[i]);
            work.declare(&names[i], DeclaredKind::Blend, blended[i]);
        }
    }

    /// Joins the two new edges, eased, with notches on either side of the point.
    fn sew(
        &self,
        work: &mut Work,
        edges: &[EdgeRef; 2],
        smoothed: &Smoothed,
        order: [usize; 2],
    ) -> Result<(), Refusal> {
        let [first, second] = order;
        let sign = if first == AFTER { 1.0 } else { -1.0 };
        let ease = sign * smoothed.ease();
        let ease = if ease.abs() <= SAME_LENGTH { 0.0 } else { ease };
        work.add_new_seam(&edges[first], &edges[second])?;
        work.ease_last_seam(Length::from_mm(ease))?;
        if ease.abs() > EASE_TOLD {
            let edge = if ease > 0.0 { &edges[first] } else { &edges[second] };
            work.tell(Notice::EaseDeclared { edge: edge.clone(), ease: Length::from_mm(ease.abs()) });
        }
        let lengths = [smoothed.lines[first].length(), smoothed.lines[second].length()];
        let (from_start, from_end) = smoothed.notches;
        // The first edge is walked clockwise: on the panel before the start that is as the seam runs.
        let near = |from: f64| [from, from];
        let far = |from: f64| lengths.map(|length| length - from);
        let (upper, lower) = match first == BEFORE {
            true => (near(from_start), far(from_end)),
            false => (far(from_start), near(from_end)),
        };
        for (at, count) in [(upper, NotchCount::Single), (lower, NotchCount::Double)] {
            work.notch_pair((&edges[first], at[0]), (&edges[second], at[1]), count)?;
        }
        Ok(())
    }
}

/// The way round a piece's outline from one place to another, clockwise, mm.
fn round_from(piece: &Piece, from: On, to: On) -> f64 {
    let start =
        |edge: EdgeId| -> f64 { piece.edges()[..edge.0].iter().map(|edge| edge.curve.length()).sum() };
    let apart = start(to.edge) + to.at - start(from.edge) - from.at;
    apart.rem_euclid(piece.outline().perimeter())
}

fn is_between(piece: &Piece, panel: &PrincessPanel, on: On) -> bool {
    round_from(piece, panel.from, on) < round_from(piece, panel.from, panel.to)
}

/// The direction halfway between two.
pub(super) fn between(a: Vec2, b: Vec2) -> Vec2 {
    (a.normalize() + b.normalize()).normalize()
}
