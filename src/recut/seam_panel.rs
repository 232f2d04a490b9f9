//! One panel of a seam that takes darts in: its sectors between the darts that are shut, and what it becomes.

use kurbo::{BezPath, PathSeg, Shape};

use crate::curve::{Curve, Motion, Outline, Point};
use crate::parts::assemble::{
    Assembled, Assembly, Bit, EdgeLook, Part, Unplaced, assemble, bits_round, region,
};
use crate::parts::carry::{carry_levels, levels_within, within};
use crate::pattern::{
    DartName, EdgeId, EdgeName, Level, On, Piece, PieceName, PointName, Refusal, RefusalKind,
};
use crate::recut::blend_seam::BlendWishes;
use crate::recut::dart_geometry::{TurnedPart, Wedge};
use crate::recut::fields::PieceNames;
use crate::recut::levels_in_dart;
use crate::recut::outcome::{OnFold, cut_of_part};
use crate::tolerance::{LEAST_STRETCH, MOST_SLIDE, ON_OUTLINE};

/// One of the two panels: the stretch of the outline that goes with it, and its seamline.
#[derive(Clone, Debug)]
pub(super) struct PrincessPanel {
    /// Where its outline begins, clockwise.
    pub from: On,
    /// Where it ends.
    pub to: On,
    /// Its seamline from the seam's start to its end, on the old piece; as many stretches as the other panel's.
    pub line: Vec<Curve>,
}

/// A seam to be cut.
pub(super) struct SeamThrough<'a> {
    pub piece: &'a Piece,
    /// The piece's centre edge.
    pub centre: Option<EdgeId>,
    /// The panel that comes after the seam's start clockwise; its outline ends at the seam's end.
    pub after: PrincessPanel,
    /// The panel that comes before it.
    pub before: PrincessPanel,
    /// The point the seam runs through.
    pub point: Point,
    /// How many stretches of the seamline come before the point.
    pub before_point: usize,
    /// How many come before the joints above the first and below the last of which notches stand.
    pub notched: (usize, usize),
    /// Curves, outward from the point, that take the place of the first and of the last stretch on both panels alike once
    /// the darts are closed.
    pub drawn_later: (Option<Curve>, Option<Curve>),
    /// Darts that are closed by turning parts of their panel about the point.
    pub closed: Vec<Wedge<'a>>,
    /// Darts whose legs or sides the seamlines are, and by how much redrawing those changed the area, mm².
    pub given: Vec<(DartName, f64)>,
    pub wishes: BlendWishes,
    pub names: Option<&'a PieceNames>,
    /// What the new edges are called.
    pub word: &'static str,
}

/// The panel after the seam's start is first, the one before it second.
pub(super) const AFTER: usize = 0;
pub(super) const BEFORE: usize = 1;

/// One of the two halves of a panel's way along its seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum HalfLine {
    /// From the end of its outline to the point.
    Arriving,
    /// From the point to the beginning of its outline.
    Leaving,
}

impl HalfLine {
    const BOTH: [HalfLine; 2] = [HalfLine::Arriving, HalfLine::Leaving];

    fn other(self) -> HalfLine {
        match self {
            HalfLine::Arriving => HalfLine::Leaving,
            HalfLine::Leaving => HalfLine::Arriving,
        }
    }
}

/// A panel taken apart into sectors.
pub(super) struct SectoredPanel<'a> {
    pub seam: &'a SeamThrough<'a>,
    pub index: usize,
    pub on_fold: OnFold,
    /// Its outline on the old piece, the darts that are closed included.
    pub whole: Outline,
    /// Where each sector begins and ends on the outline, clockwise.
    pub sectors: Vec<(On, On)>,
    pub parts: Vec<Part<'a>>,
    /// The darts between the sectors, in the same order.
    pub wedges: Vec<&'a Wedge<'a>>,
    pub staying: usize,
    /// Where it is cut from the old piece: from the end of its outline to the point, and from there to the beginning.
    pub cut: (Vec<Curve>, Vec<Curve>),
    /// Its seamline, likewise: the cut, or the curves drawn once the darts are closed.
    pub seamline: (Vec<Curve>, Vec<Curve>),
}

impl SectoredPanel<'_> {
    /// The area of its cloth, darts that are not taken in included, mm².
    pub(super) fn area(&self) -> f64 {
        self.parts.iter().filter_map(|part| part.region.as_ref()).map(Outline::area).sum()
    }

    /// By how much the curves drawn once the darts are closed make it larger; what it gains the other panel gives, mm².
    pub(super) fn drawn_over(&self) -> f64 {
        let swept = |curves: &(Vec<Curve>, Vec<Curve>)| -> f64 {
            curves.0.iter().chain(&curves.1).map(Curve::swept_area).sum()
        };
        swept(&self.seamline) - swept(&self.cut)
    }

    /// Its seamline from the seam's start to its end where the panel will lie. Where a part has slid, both sides of the
    /// point are drawn to the middle of the step.
    pub(super) fn placed_line(&self) -> Result<Vec<Curve>, Refusal> {
        let last = self.parts.len() - 1;
        let carry = |curves: &[Curve], part: usize| -> Vec<Curve> {
            curves.iter().map(|curve| curve.moved(&self.parts[part].motion)).collect()
        };
        let (mut arriving, mut leaving) = (carry(&self.seamline.0, last), carry(&self.seamline.1, 0));
        if let (Some(into), Some(out)) = (arriving.last_mut(), leaving.first_mut()) {
            let (a, b) = (into.end(), out.start());
            let step = a.distance(b);
            if step > MOST_SLIDE {
                return Err(Refusal::new(
                    RefusalKind::BadDart,
                    self.seam.piece.name(),
                    format!(
                        "closing the darts would leave a step of {step:.1} mm in the seamline, more than {MOST_SLIDE} \
                         mm"
                    ),
                    "choose a point on the axes of the darts, or name fewer darts",
                ));
            }
            let middle = a.midpoint(b);
            *into = into.with_ends(into.start(), middle)?;
            *out = out.with_ends(middle, out.end())?;
        }
        let around: Vec<Curve> = arriving.into_iter().chain(leaving).collect();
        Ok(if self.index == AFTER { reversed(&around) } else { around })
    }

    pub(super) fn made(
        &self,
        other: &SectoredPanel<'_>,
        (name, edge): (&PieceName, &EdgeName),
        line: &Curve,
        unplaced: Unplaced,
    ) -> Result<Assembled, Refusal> {
        let piece = self.seam.piece;
        let mut bits = Vec::new();
        for (k, (from, to)) in self.sectors.iter().enumerate() {
            bits.extend(bits_round(piece, k, *from, *to));
        }
        let curve = if self.index == AFTER { line.reversed() } else { line.clone() };
        bits.push(Bit::New {
            look: EdgeLook::seam(edge.clone(), piece.usual_allowance()),
            curve: curve.clone(),
        });
        let taken = self.seam.taken().into_iter().map(|dart| (piece.name().clone(), dart)).collect();
        let assembly = Assembly {
            cut: cut_of_part(piece, self.on_fold)?,
            grain: self.staying,
            taken,
            unplaced,
            ..Assembly::like(piece, name.clone(), self.parts.clone(), bits)
        };
        let mut made = assemble(&assembly)?;
        self.lay_levels(other, &curve, &mut made)?;
        self.lay_point_on_seam(&curve, &mut made);
        Ok(made)
    }

    /// The levels that the panel has within its smoothed seamline, which may leave out cloth that the cut left in, or take
    /// in what the cut left out. Where the seamline is drawn once the darts are closed, what it takes in lay on the other
    /// panel, and its levels come from there.
    fn lay_levels(
        &self,
        other: &SectoredPanel<'_>,
        seamline: &Curve,
        made: &mut Assembled,
    ) -> Result<(), Refusal> {
        let piece = self.seam.piece;
        let mut parts = self.parts.clone();
        let drawn: Vec<HalfLine> =
            HalfLine::BOTH.into_iter().filter(|half| self.is_drawn_later(*half)).collect();
        if let ([part], [(from, to)], []) = (parts.as_mut_slice(), self.sectors.as_slice(), drawn.as_slice())
        {
            let line = seamline.moved(&part.motion.inverse());
            part.levels = Some(levels_within(piece, &region(piece, *from, *to, &[line])?));
        } else {
            for (k, part) in parts.iter_mut().enumerate() {
                let mut levels = self.levels_of_sector(k)?;
                for level in &mut levels {
                    let drawn = piece.levels.iter().find(|drawn| drawn.name == level.name);
                    let drawn = drawn.map_or(&[][..], |level| level.stretches.as_slice());
                    let stretches = std::mem::take(&mut level.stretches);
                    let kept = stretches.iter().flat_map(|stretch| {
                        within_panel(
                            made.piece.outline(),
                            &part.motion,
                            *stretch,
                            self.run_on(*stretch, drawn),
                        )
                    });
                    level.stretches = kept.collect();
                }
                levels.retain(|level| !level.stretches.is_empty());
                part.levels = Some(levels);
            }
        }
        for half in drawn {
            parts.extend(self.taken_over(half, other, made.piece.outline())?);
        }
        made.piece.levels.clear();
        parts.iter().for_each(|part| carry_levels(part, &mut made.piece));
        Ok(())
    }

    /// Where a half of the panel was cut, and where its seamline is drawn, on the old piece.
    fn half(&self, half: HalfLine) -> (&[Curve], &[Curve]) {
        match half {
            HalfLine::Arriving => (&self.cut.0, &self.seamline.0),
            HalfLine::Leaving => (&self.cut.1, &self.seamline.1),
        }
    }

    fn is_drawn_later(&self, half: HalfLine) -> bool {
        let (cut, drawn) = self.half(half);
        cut != drawn
    }

    /// The sector along a half.
    fn beside(&self, half: HalfLine) -> &Part<'_> {
        match half {
            HalfLine::Arriving => &self.parts[self.parts.len() - 1],
            HalfLine::Leaving => &self.parts[0],
        }
    }

    /// The sectors of the other panel with the levels that a half of this one takes over, once both are laid together where
    /// they were cut. The other panel arrives along the half that this one leaves along.
    fn taken_over<'b>(
        &self,
        half: HalfLine,
        other: &SectoredPanel<'b>,
        panel: &Outline,
    ) -> Result<Vec<Part<'b>>, Refusal> {
        let (own, beside) = (self.beside(half).motion, other.beside(half.other()).motion);
        let (cut, drawn) = self.half(half);
        let ring = ring_of(cut, drawn);
        let mut parts = other.parts.clone();
        for (k, part) in parts.iter_mut().enumerate() {
            part.motion = part.motion.then(&beside.inverse()).then(&own);
            let (there, back) = (part.motion, part.motion.inverse());
            let is_gained = |(a, b): &(Point, Point)| ring.winding(own.inverse().apply(a.midpoint(*b))) != 0;
            let mut levels = other.levels_of_sector(k)?;
            for level in &mut levels {
                let stretches = std::mem::take(&mut level.stretches).into_iter();
                let laid = stretches.flat_map(|(a, b)| within(panel, there.apply(a), there.apply(b)));
                level.stretches =
                    laid.filter(is_gained).map(|(a, b)| (back.apply(a), back.apply(b))).collect();
            }
            levels.retain(|level| !level.stretches.is_empty());
            part.levels = Some(levels);
        }
        Ok(parts)
    }

    /// The levels of a sector as it is cut, those along the leg of a dart that is shut there included.
    fn levels_of_sector(&self, k: usize) -> Result<Vec<Level>, Refusal> {
        let (piece, point) = (self.seam.piece, self.seam.point);
        let Some(outline) = &self.parts[k].region else { return Ok(piece.levels.clone()) };
        let along_dart = match self.wedges.get(k) {
            Some(wedge) => levels_in_dart::of_part(piece, outline, &[(*wedge, wedge.mouth().0)], point)?,
            None => None,
        };
        Ok(along_dart.unwrap_or_else(|| levels_within(piece, outline)))
    }

    /// A stretch of a level that ends on the cut, run on to the end of the level there: the smoothed seamline may lie
    /// farther out. What lies beyond a cut of which the seamline is drawn later is taken over from the other panel.
    fn run_on(&self, (from, to): (Point, Point), drawn: &[(Point, Point)]) -> (Point, Point) {
        let on_cut = |at: Point| {
            let held = HalfLine::BOTH.into_iter().filter(|half| !self.is_drawn_later(*half));
            let mut cuts = held.flat_map(|half| self.half(half).0);
            cuts.any(|curve| curve.nearest(at).distance <= ON_OUTLINE)
        };
        let along = to - from;
        let lies_on = |(a, b): &&(Point, Point)| {
            let way = (*b - *a).normalize();
            [from, to].iter().all(|at| (*at - *a).cross(way).abs() <= ON_OUTLINE)
        };
        let Some((a, b)) = drawn.iter().find(lies_on) else { return (from, to) };
        let (first, last) = if (*b - *a).dot(along) >= 0.0 { (*a, *b) } else { (*b, *a) };
        (if on_cut(from) { first } else { from }, if on_cut(to) { last } else { to })
    }

    /// A named point at the point of the seam lies on the seamline, also where the blend has left the corner.
    fn lay_point_on_seam(&self, seam: &Curve, made: &mut Assembled) {
        let places: Vec<Point> = self.parts.iter().map(|part| part.motion.apply(self.seam.point)).collect();
        let at_point = |at: Point| places.iter().any(|place| place.distance(at) <= ON_OUTLINE);
        let mut seen: Vec<PointName> = Vec::new();
        let of_piece: Vec<&PointName> = self.seam.piece.points.iter().map(|point| &point.name).collect();
        made.piece.points.retain_mut(|point| {
            if !at_point(point.at) {
                return true;
            }
            point.at = seam.nearest(point.at).point;
            let root = of_piece
                .iter()
                .filter(|name| point.name.is_numbered_from(name))
                .max_by_key(|name| name.as_str().len())
                .map_or(&point.name, |name| *name)
                .clone();
            let first = !seen.contains(&root);
            seen.push(root);
            first
        });
    }
}

/// The stretches of a level that lie within a panel, on the old piece: of the stretch that its sector has, run on as given,
/// those that hold some of it.
fn within_panel(
    panel: &Outline,
    motion: &Motion,
    (from, to): (Point, Point),
    (first, last): (Point, Point),
) -> Vec<(Point, Point)> {
    let back = motion.inverse();
    let along = (to - from).normalize();
    let at = |point: Point| (point - from).dot(along);
    let holds_some = |(a, b): &(Point, Point)| at(*b).min(at(to)) - at(*a).max(0.0) > LEAST_STRETCH;
    let inside = within(panel, motion.apply(first), motion.apply(last));
    inside.into_iter().map(|(a, b)| (back.apply(a), back.apply(b))).filter(holds_some).collect()
}

/// The ring of two ways from one point to another.
fn ring_of(cut: &[Curve], drawn: &[Curve]) -> BezPath {
    let mut ring = BezPath::new();
    for curve in cut.iter().cloned().chain(reversed(drawn)) {
        if ring.elements().is_empty() {
            ring.move_to(curve.start());
        }
        ring.extend(curve.segments().iter().map(PathSeg::as_path_el));
    }
    ring.close_path();
    ring
}

/// Curves in the other order, each the other way.
pub(super) fn reversed(curves: &[Curve]) -> Vec<Curve> {
    curves.iter().rev().map(Curve::reversed).collect()
}

/// The motions of the sectors between wedges: one stays, the others turn about the point, each onto the one nearer to
/// it.
pub(super) fn motions(wedges: &[&Wedge], point: Point, staying: usize) -> Result<Vec<Motion>, Refusal> {
    let mut motions = vec![Motion::identity(); wedges.len() + 1];
    for k in staying..wedges.len() {
        motions[k + 1] = wedges[k].closing(point, TurnedPart::AfterMouth)?.then(&motions[k]);
    }
    for k in (0..staying).rev() {
        motions[k] = wedges[k].closing(point, TurnedPart::BeforeMouth)?.then(&motions[k + 1]);
    }
    Ok(motions)
}
