//! A seam that parts a piece along two lines of its own: one for each panel, so that what lies between them, the darts
//! taken in, is cut away. Princess seams and darts run out to seams are made of it.
//!
//! Panel A is what lies clockwise from the seam's end to its start, panel B what lies clockwise from start to end.
//!
//! ```text
//!          start
//!        A1 │ │ B1        the outline runs clockwise: ... A's last edge, start, B's first edge ...
//!      A     V      B
//!           │P│
//!            Λ
//!        A2 │ │ B2
//!           end
//! ```
//!
//! A dart that opens on the far side of a panel is closed: the parts of the panel that it separates turn about the point
//! until its legs meet, and the wedge opens at the seam, where the panel is cut anyway.

use crate::curve::{Curve, Motion, Outline, Point, blend_corner, blend_corner_to_length};
use crate::pattern::{
    DartName, DeclaredKind, EdgeName, EdgeRef, NotchCount, Piece, PieceName, Refusal, RefusalKind,
};
use crate::recut::assemble::{
    Assembled, Bit, Look, Part, Plan, Unplaced, assemble, bits_round, region, way_round,
};
use crate::recut::dart_legs::{DartLegs, without};
use crate::recut::fields::Names;
use crate::recut::line::{On, cut_between};
use crate::recut::outcome::{OnFold, cut_of_part, middle_of, new_edge_name, usual_allowance};
use crate::recut::split::{First, comes_first, names_for, tell_crossed_marks};
use crate::recut::{Told, Work};
use crate::tolerance::{AREA_TOLD, BLEND_DEPARTURE, BLEND_SHARE, MOST_BLEND_EASE, SAME_CUT};
use crate::units::Length;

/// How far beyond the blend the notches beside a point stand, mm.
const NOTCH_BEYOND_BLEND: f64 = 20.0;

/// A seam about to be made.
pub(super) struct SeamThrough<'a> {
    pub piece: &'a Piece,
    /// Where the seam starts and ends on panel A, and on panel B.
    pub starts: (On, On),
    pub ends: (On, On),
    /// The seamline of each panel from start to end, in as many runs on one as on the other; corners lie between runs.
    pub lines: (Vec<Curve>, Vec<Curve>),
    /// After how many runs the point is reached about which darts are closed.
    pub point_after: usize,
    pub point: Point,
    /// Darts that the seam takes in along itself.
    pub along: Vec<DartName>,
    /// Darts to be closed about the point.
    pub closed: Vec<(DartName, DartLegs)>,
    /// The name of the new edges.
    pub word: &'static str,
}

/// What may be chosen of it.
pub(super) struct Choices<'a> {
    pub names: Option<&'a Names>,
    pub ease: Option<Length>,
    pub blend: f64,
}

/// One of the two panels.
#[derive(Clone, Copy, PartialEq)]
enum Panel {
    A,
    B,
}

/// A part of a panel between two closed darts.
struct Sector {
    from: On,
    to: On,
    motion: Motion,
}

impl<'a> SeamThrough<'a> {
    /// Parts the piece; gives the new edges of the panels named first and second.
    ///
    /// # Errors
    ///
    /// Refuses a seam that leaves the piece or crosses a dart, and more ease than is allowed.
    pub(super) fn make(&self, work: &mut Work, choices: &Choices) -> Result<(), Refusal> {
        self.refuse_bad_lines()?;
        let sectors = (self.sectors(Panel::A)?, self.sectors(Panel::B)?);
        let moved = (self.moved_lines(Panel::A, &sectors.0), self.moved_lines(Panel::B, &sectors.1));
        let blended = Blended::of(&moved, choices.blend)?;
        let ease = blended.a.length() - blended.b.length();
        let most = choices.ease.map_or(MOST_BLEND_EASE, Length::mm);
        if ease.abs() > most + SAME_CUT {
            return Err(Refusal::new(
                RefusalKind::LengthsDiffer,
                self.piece.name(),
                format!(
                    "the two seamlines would differ by {:.1} mm; {most:.1} mm of ease is allowed",
                    ease.abs()
                ),
                "allow more with --ease, choose a longer --blend, or a line nearer to the darts' tips",
            ));
        }
        let edge = new_edge_name(self.word, &[self.piece]);
        let middle = |panel, sectors: &[Sector]| self.middle(panel, sectors);
        let order = comes_first(self.piece, middle(Panel::A, &sectors.0)?, middle(Panel::B, &sectors.1)?);
        let whole: Vec<Point> = self.lines.0.iter().flat_map(|run| [run.start(), run.end()]).collect();
        let chord = Curve::polyline(&whole)?;
        let (first, second) = names_for(&work.pattern, self.piece, &chord, choices.names);
        let (name_a, name_b) = if order == First::A { (first, second) } else { (second, first) };
        let a = self.panel(Panel::A, &sectors.0, &blended.a, (&name_a, &edge), order == First::A)?;
        let b = self.panel(Panel::B, &sectors.1, &blended.b, (&name_b, &edge), order == First::B)?;
        for run in &self.lines.0 {
            tell_crossed_marks(work, self.piece, run);
        }
        let changed = [
            (name_a.clone(), self.area_blended(&moved.0, &blended.a)),
            (name_b.clone(), -self.area_blended(&moved.1, &blended.b)),
        ];
        let made = if order == First::A { vec![a, b] } else { vec![b, a] };
        work.replace(&[self.piece], made)?;
        for dart in self.along.iter().chain(self.closed.iter().map(|(name, _)| name)) {
            work.tell(Told::DartTaken { piece: self.piece.name().clone(), dart: dart.clone() });
        }
        self.declare(work, changed)?;
        let edges = (EdgeRef::new(name_a, edge.clone()), EdgeRef::new(name_b, edge));
        self.join(work, &edges, &blended, ease)
    }

    fn refuse_bad_lines(&self) -> Result<(), Refusal> {
        let taken: Vec<&DartName> =
            self.along.iter().chain(self.closed.iter().map(|(name, _)| name)).collect();
        let piece = without(self.piece, &taken);
        let pairs =
            [(&self.lines.0, self.starts.0, self.ends.0), (&self.lines.1, self.starts.1, self.ends.1)];
        for (runs, starts, ends) in pairs {
            cut_between(&piece, whole(runs)?, starts, ends)?;
        }
        Ok(())
    }

    fn line(&self, panel: Panel) -> &[Curve] {
        match panel {
            Panel::A => &self.lines.0,
            Panel::B => &self.lines.1,
        }
    }

    /// The way round the outline of a panel: from where the clockwise walk enters it to where it leaves.
    fn way(&self, panel: Panel) -> (On, On) {
        match panel {
            Panel::A => (self.ends.0, self.starts.0),
            Panel::B => (self.starts.1, self.ends.1),
        }
    }

    /// The parts of a panel, clockwise, each with the motion that closes the darts between them. The part that reaches
    /// the seam's end stays.
    fn sectors(&self, panel: Panel) -> Result<Vec<Sector>, Refusal> {
        let (from, to) = self.way(panel);
        let way = way_round(self.piece, from, to);
        let lies_on = |legs: &DartLegs| {
            way.iter().position(|(edge, low, high)| {
                *edge == legs.edge && legs.from >= low - SAME_CUT && legs.to <= high + SAME_CUT
            })
        };
        let mut closed: Vec<(usize, &DartLegs)> =
            self.closed.iter().filter_map(|(_, legs)| Some((lies_on(legs)?, legs))).collect();
        closed.sort_by(|a, b| {
            (a.0, a.1.from).partial_cmp(&(b.0, b.1.from)).unwrap_or(std::cmp::Ordering::Equal)
        });
        let mut sectors = Vec::new();
        let mut start = from;
        for (_, legs) in &closed {
            sectors.push(Sector {
                from: start,
                to: On { edge: legs.edge, at: legs.from },
                motion: Motion::identity(),
            });
            start = On { edge: legs.edge, at: legs.to };
        }
        sectors.push(Sector { from: start, to, motion: Motion::identity() });
        let step = |legs: &DartLegs, onto_first: bool| -> Result<Motion, Refusal> {
            let (from, to) =
                if onto_first { (legs.second.0, legs.first.0) } else { (legs.first.0, legs.second.0) };
            let turned = Motion::carry((self.point, from), (self.point, to))?;
            Ok(turned.then(&Motion::shift(to - turned.apply(from))))
        };
        match panel {
            Panel::A => {
                for (i, (_, legs)) in closed.iter().enumerate() {
                    sectors[i + 1].motion = step(legs, true)?.then(&sectors[i].motion);
                }
            }
            Panel::B => {
                for (i, (_, legs)) in closed.iter().enumerate().rev() {
                    sectors[i].motion = step(legs, false)?.then(&sectors[i + 1].motion);
                }
            }
        }
        Ok(sectors)
    }

    /// The motion of the part that reaches the seam's start.
    fn start_motion(&self, panel: Panel, sectors: &[Sector]) -> Motion {
        let sector = match panel {
            Panel::A => sectors.last(),
            Panel::B => sectors.first(),
        };
        sector.map_or_else(Motion::identity, |sector| sector.motion)
    }

    /// The seamline of a panel once its darts are closed.
    fn moved_lines(&self, panel: Panel, sectors: &[Sector]) -> Vec<Curve> {
        let motion = self.start_motion(panel, sectors);
        let runs = self.line(panel).iter().enumerate();
        runs.map(|(i, run)| if i < self.point_after { run.moved(&motion) } else { run.clone() }).collect()
    }

    /// Whether a panel has the fold, and where its middle lies.
    fn middle(&self, panel: Panel, sectors: &[Sector]) -> Result<(OnFold, Point), Refusal> {
        let (from, to) = self.way(panel);
        let on_fold = OnFold::of_way(self.piece, &way_round(self.piece, from, to));
        let mut bounds: Option<kurbo::Rect> = None;
        for index in 0..sectors.len() {
            let region = self.region(panel, sectors, index)?;
            let box_of = kurbo::Rect::from_center_size(middle_of(&region), (1.0, 1.0)).union(region.bounds());
            bounds = Some(bounds.map_or(box_of, |bounds| bounds.union(box_of)));
        }
        Ok((on_fold, bounds.map_or(Point::ZERO, |bounds| bounds.center())))
    }

    /// The region of a part of a panel on the old piece.
    fn region(&self, panel: Panel, sectors: &[Sector], index: usize) -> Result<Outline, Refusal> {
        let sector = &sectors[index];
        let (first, last) = (index == 0, index + 1 == sectors.len());
        let runs = self.line(panel);
        let upper = whole(&runs[..self.point_after])?;
        let lower = whole(&runs[self.point_after..])?;
        let at = |on: On| self.piece.point_on(on.edge, on.at);
        let mut back = Vec::new();
        match (panel, last) {
            (Panel::A, true) => back.push(upper),
            (Panel::B, true) => back.push(lower.reversed()),
            (_, false) => back.push(Curve::line(at(sector.to), self.point)?),
        }
        match (panel, first) {
            (Panel::A, true) => back.push(whole(&runs[self.point_after..])?),
            (Panel::B, true) => back.push(whole(&runs[..self.point_after])?.reversed()),
            (_, false) => back.push(Curve::line(self.point, at(sector.from))?),
        }
        region(self.piece, sector.from, sector.to, &back)
    }

    fn panel(
        &self,
        panel: Panel,
        sectors: &[Sector],
        seamline: &Curve,
        (name, edge): (&PieceName, &EdgeName),
        keeps_unplaced: bool,
    ) -> Result<Assembled, Refusal> {
        let mut parts = Vec::new();
        let mut bits = Vec::new();
        for (index, sector) in sectors.iter().enumerate() {
            parts.push(Part::of(self.piece, self.region(panel, sectors, index)?, sector.motion));
            bits.extend(bits_round(self.piece, index, sector.from, sector.to));
        }
        let curve = match panel {
            Panel::A => seamline.clone(),
            Panel::B => seamline.reversed(),
        };
        let look = Look::seam(edge.clone(), usual_allowance(self.piece));
        bits.push(Bit::New { look, curve });
        let grain = match panel {
            Panel::A => 0,
            Panel::B => sectors.len() - 1,
        };
        let (from, to) = self.way(panel);
        let on_fold = OnFold::of_way(self.piece, &way_round(self.piece, from, to));
        let taken = self.along.iter().chain(self.closed.iter().map(|(name, _)| name));
        let plan = Plan {
            cut: cut_of_part(self.piece, on_fold),
            grain,
            taken: taken.map(|dart| (self.piece.name().clone(), dart.clone())).collect(),
            unplaced: if keeps_unplaced { Unplaced::Keep } else { Unplaced::Leave },
            ..Plan::like(self.piece, name.clone(), parts, bits)
        };
        assemble(&plan)
    }

    /// The area that blending adds on the right of the seamline.
    fn area_blended(&self, moved: &[Curve], blended: &Curve) -> f64 {
        blended.swept_area() - moved.iter().map(Curve::swept_area).sum::<f64>()
    }

    /// Declares what the blends changed, and what redrawing the legs of darts did.
    fn declare(&self, work: &mut Work, panels: [(PieceName, f64); 2]) -> Result<(), Refusal> {
        let mut now = 0.0;
        for (name, blended) in &panels {
            now += work.pattern.piece(name)?.net_area() - blended;
        }
        let redrawn = now - self.piece.net_area();
        if redrawn.abs() > AREA_TOLD {
            work.declare(&panels[0].0, DeclaredKind::LegsRedrawn, redrawn);
        }
        for (piece, area) in panels.iter().filter(|(_, area)| area.abs() > AREA_TOLD) {
            work.declare(piece, DeclaredKind::Blend, *area);
        }
        Ok(())
    }

    /// Sews the panels together: ease declared, notches above and below the point.
    fn join(
        &self,
        work: &mut Work,
        edges: &(EdgeRef, EdgeRef),
        blended: &Blended,
        ease: f64,
    ) -> Result<(), Refusal> {
        work.add_new_seam(&edges.0, &edges.1)?;
        if ease.abs() > SAME_CUT {
            work.ease_last_seam(Length::from_mm(ease))?;
            let longer = if ease > 0.0 { &edges.0 } else { &edges.1 };
            work.tell(Told::EaseDeclared { edge: longer.clone(), ease: Length::from_mm(ease.abs()) });
        }
        let (above, below) = (blended.above - NOTCH_BEYOND_BLEND, blended.below - NOTCH_BEYOND_BLEND);
        let (above, below) = (above.max(blended.above / 2.0), below.max(blended.below / 2.0));
        work.notch_pair((&edges.0, above), (&edges.1, above), NotchCount::Single)?;
        let lengths = (blended.a.length(), blended.b.length());
        work.notch_pair((&edges.0, lengths.0 - below), (&edges.1, lengths.1 - below), NotchCount::Double)
    }
}

/// Runs one after another as one curve.
pub(super) fn whole(runs: &[Curve]) -> Result<Curve, Refusal> {
    let mut runs = runs.iter();
    let first = runs.next().cloned();
    let mut curve = first.ok_or_else(|| {
        Refusal::new(RefusalKind::BadLine, "seam", "the seam has no line", "name other places")
    })?;
    for run in runs {
        curve = curve.joined_within(run, SAME_CUT)?;
    }
    Ok(curve)
}

/// Both seamlines with their corners blended.
struct Blended {
    a: Curve,
    b: Curve,
    /// Walk distance from the start to the first blend, and from the last blend to the end: the lesser of both panels.
    above: f64,
    below: f64,
}

impl Blended {
    fn of(lines: &(Vec<Curve>, Vec<Curve>), blend: f64) -> Result<Blended, Refusal> {
        let (a, b) = lines;
        let corners = a.len().min(b.len()).saturating_sub(1);
        let mut reaches = Vec::new();
        for i in 0..corners {
            let lengths = [&a[i], &a[i + 1], &b[i], &b[i + 1]].map(Curve::length);
            let least = lengths.into_iter().fold(f64::INFINITY, f64::min);
            reaches.push(blend.min(least * BLEND_SHARE));
        }
        let (mut new_a, mut new_b): (Vec<Curve>, Vec<Curve>) = (Vec::new(), Vec::new());
        for i in 0..=corners {
            let from = if i == 0 { 0.0 } else { reaches[i - 1] };
            let until = |run: &Curve| run.length() - if i == corners { 0.0 } else { reaches[i] };
            new_a.push(a[i].stretch(from, until(&a[i]))?);
            new_b.push(b[i].stretch(from, until(&b[i]))?);
            if i < corners {
                let (first, second) = rounded((&a[i], &a[i + 1]), (&b[i], &b[i + 1]), reaches[i])?;
                new_a.push(first);
                new_b.push(second);
            }
        }
        let ends = |runs: &[Curve]| {
            (runs.first().map_or(0.0, Curve::length), runs.last().map_or(0.0, Curve::length))
        };
        let (of_a, of_b) = (ends(&new_a), ends(&new_b));
        Ok(Blended {
            a: whole(&new_a)?,
            b: whole(&new_b)?,
            above: of_a.0.min(of_b.0),
            below: of_a.1.min(of_b.1),
        })
    }
}

/// The two blends at a corner, as nearly of one length as they may be: the shorter is let out to the longer.
fn rounded(a: (&Curve, &Curve), b: (&Curve, &Curve), reach: f64) -> Result<(Curve, Curve), Refusal> {
    let welded = |(before, after): (&Curve, &Curve)| -> Result<(Curve, Curve), Refusal> {
        let middle = before.end().midpoint(after.start());
        Ok((before.with_ends(before.start(), middle)?, after.with_ends(middle, after.end())?))
    };
    let (a, b) = (welded(a)?, welded(b)?);
    let plain = (blend_corner(&a.0, &a.1, reach)?, blend_corner(&b.0, &b.1, reach)?);
    let (length_a, length_b) = (plain.0.curve.length(), plain.1.curve.length());
    if (length_a - length_b).abs() <= SAME_CUT {
        return Ok((plain.0.curve, plain.1.curve));
    }
    let to = |corner: &(Curve, Curve), wish: f64| {
        blend_corner_to_length(&corner.0, &corner.1, reach, wish, BLEND_DEPARTURE)
    };
    Ok(if length_a < length_b {
        (to(&a, length_b)?.curve, plain.1.curve)
    } else {
        (plain.0.curve, to(&b, length_a)?.curve)
    })
}
