//! The two halves of a seam that runs through a point: what each takes its lines from.
//!
//! ```text
//!     open dart at the end      double dart on the way      no dart
//!      ──┐     ┌──                    point                  ──┬──
//!         \   /                       /  \                     │     straight, or
//!          \ /                        \  /                    /      smooth into the other half
//!         point                        │ end                point
//! ```

use crate::advice;
use crate::curve::{Curve, Point, Vec2, fit_through, turn_between};
use crate::pattern::{Dart, DartName, DartShape, EdgeId, Field, On, Piece, Refusal, RefusalKind, WalkEnd};
use crate::recut::blend_seam::BlendWishes;
use crate::recut::dart_geometry::{Wedge, redrawn, redrawn_area};
use crate::recut::fields::PieceNames;
use crate::recut::princess_cut::between;
use crate::recut::seam_panel::{PrincessPanel, SeamThrough};
use crate::tolerance::{APART_FROM_LEG, CURVE_FROM_EDGE, DART_NEAR_POINT, OFFSET_ACCURACY, SAME_CUT};

/// One half of a seam, from the point to the outline. Only the names of the panels depend on whether the seam starts or ends
/// there: the one after the start, clockwise, ends before the end.
#[derive(Clone, Debug)]
pub(super) struct SeamHalf<'a> {
    /// Where it meets the outline, where no dart's mouth takes it in.
    pub place: On,
    /// The dart whose legs it has.
    pub open: Option<Wedge<'a>>,
    /// The double dart whose sides it has before it runs on.
    pub double: Option<&'a Dart>,
}

/// The seam to be cut from two halves.
pub(super) struct PrincessLegs<'a> {
    pub piece: &'a Piece,
    /// The piece's centre edge.
    pub centre: Option<EdgeId>,
    pub point: Point,
    pub start: SeamHalf<'a>,
    pub end: SeamHalf<'a>,
    /// Darts that are turned shut.
    pub closed: Vec<Wedge<'a>>,
    pub wishes: BlendWishes,
    pub names: Option<&'a PieceNames>,
    pub word: &'static str,
    /// Whether notches stand around the point alone or around all that is blended.
    pub notches: Notches,
}

/// Where the notches of a seam stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Notches {
    AroundPoint,
    AroundAllTips,
}

/// How many places of a curve are looked at to see on which side of a leg it runs.
const LEG_SAMPLES: u32 = 200;

/// The lines of one half, outward from the point.
struct LegLines {
    after: (Vec<Curve>, On),
    before: (Vec<Curve>, On),
    given: Vec<(DartName, f64)>,
    /// The curve that takes the place of the straight line on both panels once the darts are closed.
    drawn_later: Option<Curve>,
}

impl<'a> PrincessLegs<'a> {
    /// The seam through the point.
    ///
    /// # Errors
    ///
    /// Refuses darts that lie over each other on one half, and places that leave no line.
    pub(super) fn seam(self) -> Result<SeamThrough<'a>, Refusal> {
        for half in [&self.start, &self.end] {
            self.refuse_at_point(half)?;
        }
        let [start, end] = WalkEnd::BOTH.map(|at| self.lines(at));
        let (start, end) = (start?, end?);
        let before_point = start.after.0.len();
        let count = before_point + end.after.0.len();
        let line = |first: &[Curve], second: &[Curve]| -> Vec<Curve> {
            first.iter().rev().map(Curve::reversed).chain(second.iter().cloned()).collect()
        };
        let notched = match self.notches {
            Notches::AroundPoint => (before_point, before_point),
            Notches::AroundAllTips => (1, count - 1),
        };
        Ok(SeamThrough {
            piece: self.piece,
            centre: self.centre,
            after: PrincessPanel {
                from: start.after.1,
                to: end.after.1,
                line: line(&start.after.0, &end.after.0),
            },
            before: PrincessPanel {
                from: end.before.1,
                to: start.before.1,
                line: line(&start.before.0, &end.before.0),
            },
            point: self.point,
            before_point,
            notched,
            drawn_later: (start.drawn_later, end.drawn_later),
            closed: self.closed,
            given: start.given.into_iter().chain(end.given).collect(),
            wishes: self.wishes,
            names: self.names,
            word: self.word,
        })
    }

    fn refuse_at_point(&self, half: &SeamHalf) -> Result<(), Refusal> {
        let place = self.piece.point_on(half.place.edge, half.place.at);
        let inside = self.piece.outline().contains(self.point)
            && self.piece.nearest_on_outline(self.point).distance > SAME_CUT;
        if inside && place.distance(self.point) > SAME_CUT {
            return Ok(());
        }
        Err(Refusal::new(
            RefusalKind::PlaceOutside,
            self.piece.name(),
            format!(
                "the point ({:.1}mm, {:.1}mm) that the seam should run through is not inside the piece",
                self.point.x, self.point.y
            ),
            "name a point inside the piece",
        ))
    }

    pub(super) fn half(&self, at: WalkEnd) -> &SeamHalf<'a> {
        match at {
            WalkEnd::Start => &self.start,
            WalkEnd::End => &self.end,
        }
    }

    pub(super) fn half_mut(&mut self, at: WalkEnd) -> &mut SeamHalf<'a> {
        match at {
            WalkEnd::Start => &mut self.start,
            WalkEnd::End => &mut self.end,
        }
    }

    fn lines(&self, at: WalkEnd) -> Result<LegLines, Refusal> {
        let half = self.half(at);
        match (&half.open, half.double) {
            (Some(wedge), None) => self.along_legs(at, wedge),
            (None, Some(dart)) => self.along_sides(half, at, dart),
            (None, None) => {
                let curve = self.free_line(at)?;
                let crosses = self.crosses_legs(&curve);
                let straight = Curve::line(curve.start(), curve.end())?;
                let (line, drawn_later) = if crosses { (straight, Some(curve)) } else { (curve, None) };
                let line = (vec![line], half.place);
                Ok(LegLines { after: line.clone(), before: line, given: Vec::new(), drawn_later })
            }
            (Some(wedge), Some(double)) => Err(Refusal::new(
                RefusalKind::BadDart,
                self.piece.name(),
                format!("darts `{}` and `{}` lie over each other on the line", wedge.dart.name, double.name),
                advice!("name one of them with ", Field::Darts, ", and cut or move the other first"),
            )),
        }
    }

    /// Whether a curve from the point crosses a leg of a dart that is to be closed, or comes near to it: it can be drawn
    /// only when that is done.
    fn crosses_legs(&self, curve: &Curve) -> bool {
        let changes_side = |mouth_end: Point| {
            let leg = mouth_end - self.point;
            let sides = (1..=LEG_SAMPLES).filter_map(|k| {
                let at = curve.point_at(curve.length() * f64::from(k) / f64::from(LEG_SAMPLES)) - self.point;
                let beside = (0.0..=1.0).contains(&(leg.dot(at) / leg.hypot2()));
                beside.then(|| leg.cross(at) > 0.0)
            });
            let start = curve.start_tangent();
            if turn_between(leg, start).0.abs() < APART_FROM_LEG {
                return true;
            }
            let sides: Vec<bool> = std::iter::once(leg.cross(start) > 0.0).chain(sides).collect();
            sides.windows(2).any(|pair| pair[0] != pair[1])
        };
        self.closed.iter().map(Wedge::mouth).any(|(a, b)| changes_side(a) || changes_side(b))
    }

    fn along_legs(&self, at: WalkEnd, wedge: &Wedge<'a>) -> Result<LegLines, Refusal> {
        if wedge.tip().distance(self.point) > DART_NEAR_POINT {
            return self.by_way_of_tip(at, wedge);
        }
        let legs = wedge.legs_to(self.point)?;
        let given = vec![(wedge.dart.name.clone(), wedge.area_change(legs.clone()))];
        let first = (vec![legs.0.reversed()], wedge.from);
        let second = (vec![legs.1.reversed()], wedge.to);
        Ok(match at {
            WalkEnd::Start => LegLines { after: second, before: first, given, drawn_later: None },
            WalkEnd::End => LegLines { after: first, before: second, given, drawn_later: None },
        })
    }

    /// A dart whose tip is too far off to be redrawn to the point keeps it; the seam goes on from there.
    fn by_way_of_tip(&self, at: WalkEnd, wedge: &Wedge<'a>) -> Result<LegLines, Refusal> {
        let tip = wedge.tip();
        let onward = Curve::line(self.point, tip)?;
        let (first, second) = wedge.legs_to(tip)?;
        let line = |leg: Curve, on: On| (vec![onward.clone(), leg.reversed()], on);
        let given = vec![(wedge.dart.name.clone(), wedge.area_change((first.clone(), second.clone())))];
        let (first, second) = (line(first, wedge.from), line(second, wedge.to));
        Ok(match at {
            WalkEnd::Start => LegLines { after: second, before: first, given, drawn_later: None },
            WalkEnd::End => LegLines { after: first, before: second, given, drawn_later: None },
        })
    }

    fn along_sides(&self, half: &SeamHalf, at: WalkEnd, dart: &Dart) -> Result<LegLines, Refusal> {
        let Some(double) = Diamond::of(dart, self.point) else {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                format!("{}.{}", self.piece.name(), dart.name),
                "the dart opens on an edge",
                "name its place on that edge",
            ));
        };
        let far = double.far;
        let place = self.piece.point_on(half.place.edge, half.place.at);
        let onward = Curve::line(far, place)?;
        let left = redrawn(&double.left, self.point, far)?;
        let right = redrawn(&double.right, self.point, far)?;
        let shape = DartShape::Double { sides: (left.clone(), right.clone()) };
        let given = vec![(dart.name.clone(), redrawn_area(self.piece, dart, shape))];
        let line = |side: Curve| (vec![side, onward.clone()], half.place);
        // Walked from the start of the seam to its end, the panel after the start is on the left.
        Ok(match at {
            WalkEnd::End => LegLines { after: line(left), before: line(right), given, drawn_later: None },
            WalkEnd::Start => LegLines { after: line(right), before: line(left), given, drawn_later: None },
        })
    }

    /// The direction in which a half leaves the point, halfway between its two lines; of a half without a dart straight
    /// to its place.
    fn axis(&self, at: WalkEnd) -> Result<Vec2, Refusal> {
        let half = self.half(at);
        if half.open.is_none() && half.double.is_none() {
            return Ok((self.piece.point_on(half.place.edge, half.place.at) - self.point).normalize());
        }
        let lines = self.lines(at)?;
        Ok(between(lines.after.0[0].start_tangent(), lines.before.0[0].start_tangent()))
    }

    fn has_dart(&self, at: WalkEnd) -> bool {
        self.half(at).open.is_some() || self.half(at).double.is_some()
    }

    /// The line of a half without a dart, from the point: straight, or smooth into the other half where it would meet
    /// that at a sharp angle or where the piece gives the seam no dart at all.
    fn free_line(&self, at: WalkEnd) -> Result<Curve, Refusal> {
        let place = |at: WalkEnd| self.piece.point_on(self.half(at).place.edge, self.half(at).place.at);
        let other = at.other();
        let to = place(at);
        let onward = -self.axis(other)?;
        let straight = (to - self.point).normalize();
        let turn = turn_between(onward, straight).0.abs();
        if self.has_dart(other) {
            return Ok(match turn > CURVE_FROM_EDGE {
                true => fit_through(&[self.point, to], Some(onward), None, OFFSET_ACCURACY)?,
                false => Curve::line(self.point, to)?,
            });
        }
        if self.closed.is_empty() || turn > CURVE_FROM_EDGE {
            let through = Curve::smooth_through(&[place(other), self.point, to])?;
            let joint = through.joints().first().map_or(through.length() / 2.0, |joint| joint.at);
            return Ok(through.stretch(joint, through.length())?.with_ends(self.point, to)?);
        }
        Ok(Curve::line(self.point, to)?)
    }
}

/// A double dart as seen from a point: its sides from the nearer tip to the farther.
#[derive(Clone, Debug)]
pub(super) struct Diamond {
    pub near: Point,
    pub far: Point,
    /// The side on the left of the way from the nearer tip to the farther, and the one on the right.
    pub left: Curve,
    pub right: Curve,
}

impl Diamond {
    /// The sides as seen from a point; none of a dart that opens on an edge.
    pub(super) fn of(dart: &Dart, from: Point) -> Option<Diamond> {
        let DartShape::Double { sides: (first, second) } = &dart.shape else { return None };
        let starts_near = first.start().distance(from) <= first.end().distance(from);
        let outward = |side: &Curve| if starts_near { side.clone() } else { side.reversed() };
        let (a, b) = (outward(first), outward(second));
        let axis = a.end() - a.start();
        let aside = |side: &Curve| axis.cross(side.point_at(side.length() / 2.0) - side.start());
        let (near, far) = (a.start(), a.end());
        let (left, right) = if aside(&a) <= aside(&b) { (a, b) } else { (b, a) };
        Some(Diamond { near, far, left, right })
    }
}
