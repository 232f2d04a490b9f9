//! One panel of a seam that takes darts in: its sectors between the darts that are shut, and what it becomes.

use crate::curve::{Curve, Motion, Outline, Point};
use crate::pattern::{EdgeName, PieceName, PointName, Refusal, RefusalKind};
use crate::recut::assemble::{Assembled, Bit, Look, Part, Plan, Unplaced, assemble, bits_round, region};
use crate::recut::carry::levels_within;
use crate::recut::dart_geometry::{Turned, Wedge};
use crate::recut::line::On;
use crate::recut::outcome::{OnFold, cut_of_part, usual_allowance};
use crate::recut::seam_through::{AFTER, SeamThrough};
use crate::recut::wedge_levels;
use crate::tolerance::{MOST_SLIDE, ON_OUTLINE};

/// A panel taken apart into sectors.
pub(super) struct Side<'a> {
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

impl Side<'_> {
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
        name: &PieceName,
        edge: &EdgeName,
        line: &Curve,
        unplaced: Unplaced,
    ) -> Result<Assembled, Refusal> {
        let piece = self.seam.piece;
        let mut bits = Vec::new();
        for (k, (from, to)) in self.sectors.iter().enumerate() {
            bits.extend(bits_round(piece, k, *from, *to));
        }
        let curve = if self.index == AFTER { line.reversed() } else { line.clone() };
        bits.push(Bit::New { look: Look::seam(edge.clone(), usual_allowance(piece)), curve: curve.clone() });
        let taken = self.seam.taken().into_iter().map(|dart| (piece.name().clone(), dart)).collect();
        let plan = Plan {
            cut: cut_of_part(piece, self.on_fold)?,
            grain: self.staying,
            taken,
            unplaced,
            ..Plan::like(piece, name.clone(), self.parts_within(&curve)?, bits)
        };
        let mut made = assemble(&plan)?;
        self.lay_point_on_seam(&curve, &mut made);
        Ok(made)
    }

    /// The parts, with the levels that they have within their smoothed seamline, which may leave out cloth that the cut
    /// left in, or take in some of a dart.
    fn parts_within(&self, seamline: &Curve) -> Result<Vec<Part<'_>>, Refusal> {
        let piece = self.seam.piece;
        let mut parts = self.parts.clone();
        for (k, part) in parts.iter_mut().enumerate() {
            let outline = self.within_seamline(k, seamline)?;
            let along_dart = match self.wedges.get(k) {
                Some(wedge) => {
                    wedge_levels::of_part(piece, &outline, &[(*wedge, wedge.mouth().0)], self.seam.point)?
                }
                None => None,
            };
            part.levels = Some(along_dart.unwrap_or_else(|| levels_within(piece, &outline)));
        }
        Ok(parts)
    }

    /// A sector on the old piece, as the smoothed seamline bounds it.
    fn within_seamline(&self, k: usize, seamline: &Curve) -> Result<Outline, Refusal> {
        let (piece, point) = (self.seam.piece, self.seam.point);
        let last = self.parts.len() - 1;
        let middle = self.parts[last].motion.apply(point).midpoint(self.parts[0].motion.apply(point));
        let at = seamline.nearest(middle).at;
        let back = self.parts[k].motion.inverse();
        let (from, to) = self.sectors[k];
        let mut line = Vec::new();
        let mut reached = piece.point_on(to.edge, to.at);
        if k == last {
            let arriving = seamline.stretch(0.0, at)?.moved(&back);
            reached = arriving.end();
            line.push(arriving);
        }
        let leaving = if k == 0 { Some(seamline.stretch(at, seamline.length())?.moved(&back)) } else { None };
        let inner = leaving.as_ref().map_or(point, Curve::start);
        if k != last {
            line.push(Curve::line(reached, inner)?);
            reached = inner;
        }
        line.push(match leaving {
            Some(leaving) => leaving,
            None => Curve::line(reached, piece.point_on(from.edge, from.at))?,
        });
        region(piece, from, to, &line)
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

/// Curves in the other order, each the other way.
pub(super) fn reversed(curves: &[Curve]) -> Vec<Curve> {
    curves.iter().rev().map(Curve::reversed).collect()
}

/// The motions of the sectors between wedges: one stays, the others turn about the point, each onto the one nearer to
/// it.
pub(super) fn motions(wedges: &[&Wedge], point: Point, staying: usize) -> Result<Vec<Motion>, Refusal> {
    let mut motions = vec![Motion::identity(); wedges.len() + 1];
    for k in staying..wedges.len() {
        motions[k + 1] = wedges[k].closing(point, Turned::AfterMouth)?.then(&motions[k]);
    }
    for k in (0..staying).rev() {
        motions[k] = wedges[k].closing(point, Turned::BeforeMouth)?.then(&motions[k + 1]);
    }
    Ok(motions)
}
