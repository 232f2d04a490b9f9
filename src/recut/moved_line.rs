//! Where a moved seam runs on the piece that gives.

use crate::advice;
use crate::curve::{Curve, Motion, Outline, Point, Vec2, left_of, right_of};
use crate::parts::assemble::{Bit, bits_round, region};
use crate::parts::seam_side::{BothSides, SeamSide};
use crate::pattern::{
    Advice, EdgeId, EdgeRef, Field, On, Operation, Pattern, Refusal, RefusalKind, Side, WalkEnd, settle,
};
use crate::recut::fields::SeamLine;
use crate::recut::line::{drawn_curve, refuse_darts_on, snap};
use crate::tolerance::{SAME_CUT, STUB_AT_JOINT, WIDTH_SOUGHT};
use crate::units::Length;

/// The new line on the giving piece, in the direction in which the old seam is walked.
#[derive(Clone, Debug)]
pub(super) struct NewLine {
    pub curve: Curve,
    /// Where it meets the neighbour of the old seam's start, and that of its end.
    pub starts: On,
    pub ends: On,
}

impl NewLine {
    /// The ends as met clockwise round the piece: the first is nearer the old seam's first corner.
    pub(super) fn ends_round(&self, side: &SeamSide) -> (On, On) {
        match side.travel {
            crate::pattern::Travel::Clockwise => (self.starts, self.ends),
            crate::pattern::Travel::Anticlockwise => (self.ends, self.starts),
        }
    }

    /// What of the giving piece lies beyond the line.
    pub(super) fn strip_region(&self, side: &SeamSide) -> Result<Outline, Refusal> {
        let (low, high) = self.ends_round(side);
        let back = match side.travel {
            crate::pattern::Travel::Clockwise => self.curve.reversed(),
            crate::pattern::Travel::Anticlockwise => self.curve.clone(),
        };
        region(&side.piece, low, high, &[back])
    }

    /// The stretch of the neighbour between the old seam and the line, at an end of the seam, clockwise.
    pub(super) fn neighbour_bits(&self, side: &SeamSide, end: WalkEnd) -> Vec<Bit> {
        let (low, high) = self.ends_round(side);
        let first_corner = matches!(
            (end, side.travel),
            (WalkEnd::Start, crate::pattern::Travel::Clockwise)
                | (WalkEnd::End, crate::pattern::Travel::Anticlockwise)
        );
        match first_corner {
            true => bits_round(&side.piece, 1, low, side.low()),
            false => bits_round(&side.piece, 1, side.high(), high),
        }
    }
}

/// The directions in which widths are measured on a piece along a seam: square to the grain for a seam that runs mainly
/// lengthwise, along it for one that runs crosswise. Points out of the piece at the seam.
pub(super) fn outward(side: &SeamSide) -> Result<Vec2, Refusal> {
    let grain = side.piece.grain()?.direction();
    let chord = side.curve.end() - side.curve.start();
    let lengthwise = chord.dot(grain).abs() >= chord.cross(grain).abs();
    let level = if lengthwise { right_of(grain) } else { grain };
    let normal = left_of(chord);
    let out = match side.travel {
        crate::pattern::Travel::Clockwise => normal,
        crate::pattern::Travel::Anticlockwise => -normal,
    };
    Ok(if level.dot(out) >= 0.0 { level } else { -level })
}

/// Finds the new line on the giving piece.
///
/// # Errors
///
/// Refuses contradicting fields, a width that the piece does not have, and a line that leaves by another edge than the
/// old seam's neighbours.
pub(super) fn find_line(
    to_width: Option<Length>,
    by: Option<Length>,
    line: Option<&SeamLine>,
    sides: &BothSides,
) -> Result<NewLine, Refusal> {
    let side = &sides.other;
    let finder = LineFinder { side, out: outward(side)? };
    let found = match (to_width, by, line) {
        (Some(_), Some(_), _) => {
            Err(field(side, "give either a width or a shift, not both", "leave one out"))
        }
        (None, None, Some(SeamLine::Drawn(line))) => finder.meet(drawn_curve(&side.piece, line)?),
        (_, _, Some(SeamLine::Drawn(_))) => Err(field(
            side,
            "a drawn line needs neither a width nor a shift",
            advice!("leave out ", Field::ToWidth, " and ", Field::By),
        )),
        (Some(width), None, None | Some(SeamLine::Grain)) => finder.at_width(width.mm(), LineRuns::Grain),
        (Some(width), None, Some(SeamLine::Seam)) => finder.at_width(width.mm(), LineRuns::Seam),
        (None, Some(by), Some(SeamLine::Grain)) => finder.shifted(by.mm(), LineRuns::Grain),
        (None, Some(by), None | Some(SeamLine::Seam)) => finder.shifted(by.mm(), LineRuns::Seam),
        (None, None, _) => Err(Refusal::new(
            RefusalKind::NothingAsked,
            side.edge_ref(),
            "nothing says how far the seam moves",
            advice!("give ", Field::ToWidth, " or ", Field::By),
        )),
    }?;
    refuse_darts_on(&side.piece, &found.curve, &[found.starts, found.ends])?;
    Ok(found)
}

fn field(side: &SeamSide, what: &str, way_out: impl Into<Advice>) -> Refusal {
    Refusal::new(RefusalKind::BadField, side.edge_ref(), what, way_out)
}

#[derive(Clone, Copy, PartialEq)]
enum LineRuns {
    Grain,
    Seam,
}

struct LineFinder<'a> {
    side: &'a SeamSide,
    out: Vec2,
}

impl LineFinder<'_> {
    /// From where widths are measured: the centre edge, else the side of the piece away from the seam.
    fn inner(&self) -> f64 {
        let piece = &self.side.piece;
        let least = |points: &[Point]| {
            points.iter().map(|point| point.to_vec2().dot(self.out)).fold(f64::INFINITY, f64::min)
        };
        match self.side.centre.filter(|id| !self.side.edges.contains(id)) {
            Some(centre) => least(&piece.edge(centre).curve.flattened(WIDTH_SOUGHT)),
            None => {
                let all = piece.edges().iter().flat_map(|edge| edge.curve.flattened(WIDTH_SOUGHT));
                least(&all.collect::<Vec<_>>())
            }
        }
    }

    /// The line at a width, and the widest place of the old seam.
    fn line(&self, at: f64, way: LineRuns) -> Result<Curve, Refusal> {
        let seam = &self.side.curve;
        match way {
            LineRuns::Seam => {
                let shift = self.out * (at - self.widest());
                Ok(seam.moved(&Motion::shift(shift)).run_on(self.far(), self.far()))
            }
            LineRuns::Grain => {
                let along = right_of(self.out);
                let along = if along.dot(seam.end() - seam.start()) >= 0.0 { along } else { -along };
                let middle = seam.point_at(seam.length() / 2.0);
                let foot = middle + self.out * (at - middle.to_vec2().dot(self.out));
                Ok(Curve::line(foot - along * self.far(), foot + along * self.far())?)
            }
        }
    }

    fn far(&self) -> f64 {
        let bounds = self.side.piece.bounds();
        bounds.width().hypot(bounds.height())
    }

    fn widest(&self) -> f64 {
        let points = self.side.curve.flattened(WIDTH_SOUGHT);
        points.iter().map(|point| point.to_vec2().dot(self.out)).fold(f64::NEG_INFINITY, f64::max)
    }

    fn at_width(&self, width: f64, way: LineRuns) -> Result<NewLine, Refusal> {
        let inner = self.inner();
        let name = self.side.piece.name();
        if !width.is_finite() || width <= 0.0 || inner + width > self.widest() {
            let wide = self.widest() - inner;
            let what = if width <= 0.0 {
                format!("the seam would lie beyond the piece, which is {wide:.1} mm wide there")
            } else {
                format!("the piece is {wide:.1} mm wide at the seam; it cannot keep {width:.1} mm")
            };
            return Err(Refusal::new(
                RefusalKind::BadWidth,
                name,
                what,
                advice!("give a smaller width, or name the other piece as the one that gives: ", Field::From),
            ));
        }
        let refused = |refusal: Refusal| match refusal.kind {
            RefusalKind::BadLine => self.other_width(width, way, refusal),
            _ => refusal,
        };
        let found = self.meet(self.line(inner + width, way)?);
        found.map_err(refused).map_err(|refusal| self.or_as_it_ran(inner + width, way, refusal))
    }

    /// A refusal of a line along the grain, with the way out that the seam shifted there as it ran does leave by its
    /// neighbours: a seam whose edge is bent is met by a straight line only past its bend.
    fn or_as_it_ran(&self, at: f64, way: LineRuns, refusal: Refusal) -> Refusal {
        let meets = || self.line(at, LineRuns::Seam).and_then(|line| self.meet(line)).is_ok();
        if way == LineRuns::Seam
            || !matches!(refusal.kind, RefusalKind::BadLine | RefusalKind::BadWidth)
            || !meets()
        {
            return refusal;
        }
        refusal.with_way_out_first(advice!("let it run as the old seam does: ", Field::Line.set("seam")))
    }

    /// A refusal of a line at a width, with the nearest width whose line leaves by the old seam's neighbours.
    fn other_width(&self, width: f64, way: LineRuns, refusal: Refusal) -> Refusal {
        let (inner, name) = (self.inner(), self.side.piece.name());
        let width_of = |place: f64| place - inner;
        if let Some(least) = self.nearest_leaving(inner + width, self.widest(), way).map(width_of) {
            let least = Length::from_mm(least).up_to_tenths().mm();
            return Refusal {
                kind: RefusalKind::BadWidth,
                what: format!(
                    "{}; the least width that leaves beside the seam is {least:.1} mm",
                    refusal.what
                ),
                way_out: advice!(
                    format!("keep at least {least:.1} mm, or open the middle: "),
                    Operation::OpenCentre.with(Field::Piece, name),
                    ", or cut a yoke with ",
                    Operation::Split
                ),
                ..refusal
            };
        }
        match self.nearest_leaving(inner + width, inner, way).map(width_of) {
            Some(most) => {
                let most = Field::ToWidth.set(Length::from_mm(most).down_to_tenths());
                refusal.with_way_out_first(advice!("keep no more than there is room for: ", most))
            }
            None => refusal,
        }
    }

    /// A refusal of a line at a place, with how far the seam can be moved instead.
    fn other_distance(&self, at: f64, way: LineRuns, refusal: Refusal) -> Refusal {
        let by = |place: f64| Length::from_mm(self.widest() - place);
        let inner = self.inner();
        let within = (at > inner).then(|| self.nearest_leaving(at, inner, way)).flatten();
        let farther = within.map(|place| Field::By.set(by(place).up_to_tenths()));
        let nearer = self.nearest_leaving(at, self.widest(), way);
        let nearer = nearer.map(|place| Field::By.set(by(place).down_to_tenths()));
        let refusal = match farther {
            Some(by) => refusal.with_way_out_first(advice!("move the seam farther: ", by)),
            None => refusal,
        };
        match nearer {
            Some(by) => refusal.with_way_out_first(advice!("move the seam less far: ", by)),
            None => refusal,
        }
    }

    /// The place nearest to one, on the way to another, whose line leaves by the old seam's neighbours, if there is one.
    fn nearest_leaving(&self, from: f64, to: f64, way: LineRuns) -> Option<f64> {
        let leaves = |at: f64| self.line(at, way).and_then(|line| self.meet(line)).is_ok();
        const TRIES: u32 = 60;
        let place = |i: u32| from + (to - from) * f64::from(i) / f64::from(TRIES);
        let found = (1..=TRIES).find(|i| leaves(place(*i)))?;
        let (mut without, mut with) = (place(found - 1), place(found));
        while (with - without).abs() > WIDTH_SOUGHT {
            let middle = f64::midpoint(without, with);
            if leaves(middle) { with = middle } else { without = middle }
        }
        Some(with)
    }

    fn shifted(&self, by: f64, way: LineRuns) -> Result<NewLine, Refusal> {
        if !by.is_finite() || by <= 0.0 {
            return Err(Refusal::new(
                RefusalKind::BadField,
                self.side.edge_ref(),
                format!("a seam cannot be moved by {by:.1} mm"),
                advice!(
                    "give a length over zero; to move it the other way name the other piece: ",
                    Field::From
                ),
            ));
        }
        let at = self.widest() - by;
        let refused = |refusal: Refusal| match refusal.kind {
            RefusalKind::BadLine => self.other_distance(at, way, refusal),
            _ => refusal,
        };
        let found = self.meet(self.line(at, way)?);
        found.map_err(refused).map_err(|refusal| self.or_as_it_ran(at, way, refusal))
    }

    /// Cuts a line to the piece: from the neighbour at the seam's start to the one at its end.
    fn meet(&self, line: Curve) -> Result<NewLine, Refusal> {
        let piece = &self.side.piece;
        let (start, end) = self.side.neighbours();
        let line = if self.runs_with_seam(&line) { line } else { line.reversed() };
        let find = |neighbour: EdgeId, seam_end: Point| -> Option<(f64, On)> {
            let chain = self.running_on(neighbour);
            chain.iter().find_map(|edge| {
                let crossings = piece.edge(*edge).curve.crossings(&line);
                let nearest = crossings
                    .iter()
                    .min_by(|a, b| a.point.distance(seam_end).total_cmp(&b.point.distance(seam_end)))?;
                Some((nearest.other_at, self.at_joint(&chain, On { edge: *edge, at: nearest.at })))
            })
        };
        let starts = find(start, self.side.curve.start());
        let ends = find(end, self.side.curve.end());
        let ((from, starts), (to, ends)) = match (starts, ends) {
            (Some(starts), Some(ends)) if starts.0 + SAME_CUT < ends.0 => (starts, ends),
            (Some(_), Some(_)) => return Err(self.turned(start, end)),
            (Some(_), None) => return Err(self.leaves_elsewhere(end)),
            (None, _) => return Err(self.leaves_elsewhere(start)),
        };
        let (starts, ends) = (snap(piece, starts), snap(piece, ends));
        let curve = line
            .stretch(from, to)?
            .with_ends(piece.point_on(starts.edge, starts.at), piece.point_on(ends.edge, ends.at))?;
        let new = NewLine { curve, starts, ends };
        self.refuse_other_crossings(&new)?;
        Ok(new)
    }

    /// A neighbour of the seam, and after it the edges that it runs on in: a strip that came over before, and what it was
    /// joined to, as `armhole-2` and `armhole`.
    fn running_on(&self, neighbour: EdgeId) -> Vec<EdgeId> {
        let piece = &self.side.piece;
        let onward = |id: EdgeId| match self.side.edges.contains(&piece.previous(neighbour)) {
            true => piece.next(id),
            false => piece.previous(id),
        };
        let mut chain = vec![neighbour];
        let goes_on = |last: EdgeId, next: EdgeId| {
            let (last, next) = (piece.edge(last), piece.edge(next));
            last.finish == next.finish && last.name.is_numbered_like(&next.name)
        };
        while let Some(last) = chain.last().copied() {
            let next = onward(last);
            if chain.contains(&next) || self.side.edges.contains(&next) || !goes_on(last, next) {
                break;
            }
            chain.push(next);
        }
        chain
    }

    /// The joint of two edges that run on in one another, where a place is so near it that a stub would be left.
    fn at_joint(&self, chain: &[EdgeId], on: On) -> On {
        let piece = &self.side.piece;
        let length = piece.edge(on.edge).curve.length();
        let ends = [(0.0, piece.previous(on.edge)), (length, piece.next(on.edge))];
        let joint = ends
            .into_iter()
            .find(|(at, beyond)| (on.at - at).abs() <= STUB_AT_JOINT && chain.contains(beyond));
        joint.map_or(on, |(at, _)| On { at, ..on })
    }

    fn runs_with_seam(&self, line: &Curve) -> bool {
        let near = |point| line.nearest(point).at;
        near(self.side.curve.start()) <= near(self.side.curve.end())
    }

    fn leaves_elsewhere(&self, missed: EdgeId) -> Refusal {
        let piece = &self.side.piece;
        Refusal::new(
            RefusalKind::BadLine,
            piece.name(),
            format!("there the seam would not end on `{}` any more", piece.edge(missed).name),
            self.other_cut(),
        )
    }

    /// The line meets both neighbours of the seam, and the second before the first.
    fn turned(&self, start: EdgeId, end: EdgeId) -> Refusal {
        let piece = &self.side.piece;
        let [start, end] = [start, end].map(|id| &piece.edge(id).name);
        Refusal::new(
            RefusalKind::BadLine,
            piece.name(),
            format!("from `{start}` to `{end}` the line does not lie in the piece: the two meet on its way"),
            self.other_cut(),
        )
    }

    /// What else makes a piece narrower than a moved seam.
    fn other_cut(&self) -> Advice {
        let piece = &self.side.piece;
        match piece.fold() {
            Some(_) => {
                let opened = Operation::OpenCentre.with(Field::Piece, piece.name());
                advice!("open the middle: ", opened, "; or cut a yoke off with ", Operation::Split)
            }
            None => advice!("cut a yoke off with ", Operation::Split),
        }
    }

    /// The line may cross the old seam, where the other piece gives, but no other edge.
    fn refuse_other_crossings(&self, line: &NewLine) -> Result<(), Refusal> {
        let piece = &self.side.piece;
        let inside = |at: f64| at > SAME_CUT && at < line.curve.length() - SAME_CUT;
        for id in piece.edge_ids().filter(|id| !self.side.edges.contains(id)) {
            let crossings = line.curve.crossings(&piece.edge(id).curve);
            if crossings.iter().any(|crossing| inside(crossing.at)) {
                return Err(self.leaves_elsewhere(id));
            }
        }
        Ok(())
    }
}

/// How a seam lies under a hand that holds one of its edges: what `move-seam` would be told, were it let go there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeamUnderHand {
    /// How wide the piece is at the seam.
    pub whole: Length,
    /// How wide it would stay, were the new seam straight along the grain there; more than all of it outside the piece.
    pub keeps: Length,
    /// How far the old seam would be shifted into the piece; negative outside it.
    pub shift: Length,
}

/// How a seam lies under a hand at a point of the sheet, beside the piece whose edge it holds.
///
/// # Errors
///
/// Refuses a seam that the piece does not have, one whose side lies on several pieces, and a piece without a grain.
pub fn seam_under_hand(pattern: &Pattern, edge: &EdgeRef, hand: Point) -> Result<SeamUnderHand, Refusal> {
    let edge = settle(pattern, edge);
    let seam = pattern.seam(pattern.seam_named(&edge, Some(&edge.piece))?);
    let is_held = |side: &Side| seam.side(*side).edges().iter().any(|run| run.edge == edge);
    let side = Side::BOTH.into_iter().find(is_held).unwrap_or(Side::First);
    let side = SeamSide::of(pattern, seam.side(side))?;
    let finder = LineFinder { side: &side, out: outward(&side)? };
    let (out, inner, widest) = (finder.out, finder.inner(), finder.widest());
    let level = Curve::line(hand - out * finder.far(), hand + out * finder.far())?;
    let crossings = side.curve.crossings(&level);
    let crossed = crossings.iter().map(|crossing| crossing.point);
    let beside = crossed
        .min_by(|a, b| a.distance(hand).total_cmp(&b.distance(hand)))
        .unwrap_or_else(|| side.curve.nearest(hand).point);
    Ok(SeamUnderHand {
        whole: Length::from_mm(widest - inner),
        keeps: Length::from_mm(hand.to_vec2().dot(out) - inner),
        shift: Length::from_mm((beside - hand).dot(out)),
    })
}
