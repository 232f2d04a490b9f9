//! The lines of a piece.

use std::collections::BTreeSet;

use kurbo::{Affine, BezPath, Circle, ParamCurve, PathSeg, Shape};

use crate::allowance::{AllowanceError, CuttingLine, Halves, opened, selvedge};
use crate::canvas::{Drawing, Layer, LineKind, Tone, arrow, straight};
use crate::curve::{Curve, Point, StraightLimit, Vec2, offset};
use crate::pattern::{
    Arrows, Dart, DartKind, DartShape, Edge, EdgeId, EdgeName, Finish, Grainline, Notch, NotchCount, Piece,
    Selvedge,
};
use crate::show::piece::style::{PieceStyle, Shows};
use crate::tolerance::{
    DRAWN_AS_ONE, LEAST_STRETCH, NOTCH_OFF_CORNER, ON_OUTLINE, ROUND, SAME_CUT, STRAIGHT,
};

/// Length and half width of an arrow, mm.
pub(crate) const ARROW: (f64, f64) = (6.0, 1.6);

/// How far the two ticks of a double notch stand from its place, mm: on either side, so that both meet their partners
/// whichever way the other edge runs.
const BESIDE: f64 = 2.0;

/// Length of a notch's tick at the seamline, and of its snip at the cutting line, mm.
const TICK: f64 = 3.5;

/// Radius of a crossed circle that has none, and by how much its cross reaches beyond it.
const POINT_RADIUS: f64 = 2.0;
const CROSS: f64 = 1.6;

/// How nearly the stitching of a lap is drawn where it lies, mm.
const LAP_DRAWN: f64 = 0.05;

/// Radius of the mark at a dart's tip, mm: the hole of an awl.
const TIP_RADIUS: f64 = 0.9;

/// What is drawn along the edges of a piece that they do not tell themselves.
pub(super) struct MarkedEdges {
    /// The edges on new seams.
    pub new: BTreeSet<EdgeName>,
    /// The edges that are stitched where they are drawn: those of seams that lie on nothing.
    pub stitched: BTreeSet<EdgeName>,
    /// The stitching of laps: beside which edge, and how far outside it, mm; inside the edge that lies on top.
    pub laps: Vec<(EdgeName, f64)>,
}

/// The lines of a piece and what they enclose.
pub(super) struct PieceLines {
    /// All lines and arrows.
    pub drawing: Drawing,
    /// The closed cutting line, of an opened piece around both halves; the seamline where that is drawn alone.
    pub outline: BezPath,
    /// The motion of the second half of an opened piece.
    pub mirror: Option<Affine>,
}

impl PieceLines {
    /// The lines of a piece in a form.
    ///
    /// # Errors
    ///
    /// A half piece that cannot be opened out.
    pub(super) fn of(
        piece: &Piece,
        line: &CuttingLine,
        marked: &MarkedEdges,
        style: &PieceStyle,
    ) -> Result<PieceLines, AllowanceError> {
        let mut draft = Sketch { piece, line, shows: style.shows, drawing: Drawing::default() };
        if style.shows.has_allowances() {
            draft.cutting_line();
        }
        piece.edge_ids().for_each(|id| draft.edge(id, marked));
        marked.laps.iter().for_each(|(edge, off)| draft.lap(edge, *off));
        piece.darts.iter().for_each(|dart| draft.dart(dart));
        if !style.shows.is_shape() {
            draft.marks();
            piece.notches.iter().for_each(|notch| draft.notch(notch));
        }
        let outline =
            if style.shows.has_allowances() { line.path.clone() } else { piece.outline().to_path() };
        let mut lines = PieceLines { drawing: draft.drawing, outline, mirror: None };
        if let (Halves::Opened, Some(mirror)) = (style.halves, piece.fold_mirroring()) {
            lines.outline = opened(piece, &lines.outline)?;
            lines.open(mirror.to_affine());
        }
        if let Some(grain) = &piece.grainline {
            grainline(&mut lines.drawing, grain);
        }
        Ok(lines)
    }

    /// Adds the mirrored half; the fold becomes one line down the middle.
    fn open(&mut self, mirror: Affine) {
        let half = self.drawing.strokes.iter().filter(|stroke| stroke.kind != LineKind::Fold).cloned();
        let mirrored: Vec<_> = half
            .map(|mut stroke| {
                stroke.path = mirror * stroke.path;
                stroke
            })
            .collect();
        self.drawing.strokes.extend(mirrored);
        self.mirror = Some(mirror);
    }

    /// The lines after a motion that may mirror.
    pub(super) fn moved(&mut self, motion: Affine) {
        self.drawing = self.drawing.moved(motion);
        self.outline.apply_affine(motion);
    }
}

/// The direction out of a piece at a place of an edge.
pub(super) fn outward(edge: &Edge, at: f64) -> Vec2 {
    edge.curve.normal_outward(at)
}

struct Sketch<'a> {
    piece: &'a Piece,
    line: &'a CuttingLine,
    shows: Shows,
    drawing: Drawing,
}

impl Sketch<'_> {
    /// What is cut, and what lies on the fold or the selvedge and is not.
    fn cutting_line(&mut self) {
        let fold = self.piece.fold().map(|id| FoldLine::of(&self.piece.edge(id).curve));
        let selvedges: Vec<StraightLimit> =
            self.piece.edge_ids().filter_map(|id| selvedge(self.piece, id)).collect();
        let on_selvedge = |segment: &PathSeg| {
            let runs_on = |limit: &StraightLimit| all_along(segment, |place| limit.beyond(place).abs());
            selvedges.iter().any(runs_on)
        };
        let kind = |segment: &PathSeg| match &fold {
            Some(fold) if fold.holds(segment) => LineKind::Fold,
            _ if on_selvedge(segment) => LineKind::OnSelvedge,
            _ => LineKind::CuttingLine,
        };
        let segments: Vec<(LineKind, PathSeg)> =
            self.line.path.segments().map(|segment| (kind(&segment), segment)).collect();
        let first = (1..segments.len()).find(|i| segments[*i].0 != segments[i - 1].0);
        let Some(first) = first else {
            let kind = segments.first().map_or(LineKind::CuttingLine, |first| first.0);
            self.drawing.stroke(kind, self.line.path.clone());
            return;
        };
        let around: Vec<_> = segments[first..].iter().chain(&segments[..first]).copied().collect();
        for stretch in around.chunk_by(|a, b| a.0 == b.0) {
            let path = BezPath::from_path_segments(stretch.iter().map(|(_, segment)| *segment));
            self.drawing.stroke(stretch[0].0, path);
        }
    }

    /// The seamline, but for the mouths of darts and where nothing is stitched on it.
    fn edge(&mut self, id: EdgeId, marked: &MarkedEdges) {
        let edge = self.piece.edge(id);
        let alone = !self.shows.has_allowances();
        let on_cut = !alone && edge.cut_allowance().mm() <= SAME_CUT;
        let unstitched = edge.selvedge == Selvedge::Yes || !marked.stitched.contains(&edge.name);
        if !alone && (edge.finish == Finish::Fold || on_cut && unstitched) {
            return;
        }
        let kind = match (edge.finish, marked.new.contains(&edge.name)) {
            (Finish::Fold, _) => LineKind::Fold,
            (_, true) if on_cut => LineKind::NewSeamOnCut,
            (_, false) if on_cut => LineKind::SeamOnCut,
            (_, true) => LineKind::NewSeam,
            (Finish::Hem, false) => LineKind::Hem,
            (Finish::Seam | Finish::Free, false) => LineKind::Seamline,
        };
        for (from, to) in self.piece.sewn_stretches(id) {
            if let Ok(stretch) = edge.curve.stretch(from, to) {
                self.drawing.stroke(kind, stretch.to_path());
            }
        }
    }

    /// The stitching of a lap beside an edge; nothing where edges are butted.
    fn lap(&mut self, edge: &EdgeName, off: f64) {
        let Some(id) = self.piece.find_edge(edge).filter(|_| off.abs() > SAME_CUT) else { return };
        for (from, to) in self.piece.sewn_stretches(id) {
            let stretch = self.piece.edge(id).curve.stretch(from, to);
            if let Ok(line) = stretch.and_then(|stretch| offset(&stretch, off, LAP_DRAWN)) {
                self.drawing.stroke(LineKind::LapStitching, line.to_path());
            }
        }
    }

    fn dart(&mut self, dart: &Dart) {
        let (first, second) = dart.legs();
        let kind = match dart.kind {
            DartKind::Dart => LineKind::DartLeg,
            DartKind::Pleat => LineKind::PleatSide,
        };
        // A pleat in the middle of a half piece has one side on its fold, which is drawn already.
        for leg in [first, second].into_iter().filter(|leg| !lies_on_fold(self.piece, leg)) {
            self.drawing.stroke(kind, leg.to_path());
        }
        let tips = dart.tips();
        for tip in tips.iter().filter(|_| dart.kind == DartKind::Dart) {
            self.drawing.stroke(LineKind::Point, circle(*tip, TIP_RADIUS));
        }
        match (&dart.shape, self.line.caps.iter().find(|cap| cap.dart == dart.name)) {
            (DartShape::Double { .. }, _) => self.drawing.line(LineKind::DartFold, tips[0], tips[1]),
            (DartShape::Open { .. }, Some(cap)) if self.shows.has_allowances() => {
                self.drawing.line(LineKind::DartFold, tips[0], cap.points[1]);
                for (leg, end) in [(first, cap.points[0]), (second, cap.points[2])] {
                    if leg.start().distance(end) > SAME_CUT {
                        self.drawing.line(kind, leg.start(), end);
                    }
                }
            }
            (DartShape::Open { .. }, _) => {}
        }
    }

    fn marks(&mut self) {
        let piece = self.piece;
        for level in &piece.levels {
            for (from, to) in &level.stretches {
                self.drawing.line(LineKind::Level, *from, *to);
            }
        }
        for style in &piece.style_lines {
            self.drawing.stroke(LineKind::StyleLine, style.curve.to_path());
        }
        for line in piece.marks.iter().flat_map(|mark| &mark.lines) {
            for part in self.on_cloth(line) {
                self.drawing.stroke(LineKind::Mark, part.to_path());
            }
        }
        for point in &piece.points {
            let radius = point.radius.max(POINT_RADIUS);
            self.drawing.stroke(LineKind::Point, circle(point.at, radius));
            for reach in [Vec2::new(radius * CROSS, 0.0), Vec2::new(0.0, radius * CROSS)] {
                self.drawing.line(LineKind::Point, point.at - reach, point.at + reach);
            }
        }
    }

    /// The parts of a mark's line that lie on what is cut: a seam may have been laid across it since it was drawn. A line
    /// that lies beside the piece is left as it is.
    fn on_cloth(&self, line: &Curve) -> Vec<Curve> {
        let Ok(cut) = Curve::from_path(&self.line.path) else { return vec![line.clone()] };
        let mut ends: Vec<f64> = line.crossings(&cut).iter().map(|crossing| crossing.at).collect();
        ends.extend([0.0, line.length()]);
        ends.sort_by(f64::total_cmp);
        let inside = |from: f64, to: f64| {
            to - from > LEAST_STRETCH && self.line.path.contains(line.point_at(f64::midpoint(from, to)))
        };
        let kept = ends.windows(2).filter(|ends| inside(ends[0], ends[1]));
        let parts: Vec<Curve> = kept.filter_map(|ends| line.stretch(ends[0], ends[1]).ok()).collect();
        if parts.is_empty() { vec![line.clone()] } else { parts }
    }

    /// A tick at the seamline and a snip at the cutting line; where nothing is added, a snip inward.
    fn notch(&mut self, notch: &Notch) {
        let Some(id) = self.piece.find_edge(&notch.edge) else { return };
        let edge = self.piece.edge(id);
        let out = outward(edge, notch.at);
        for at in ticks(notch, edge.curve.length()) {
            let foot = edge.curve.point_at(at);
            let added = self.shows.has_allowances() && edge.cut_allowance().mm() > SAME_CUT;
            let cut = self.line.met_from(foot, out).filter(|_| added);
            match cut {
                None => self.drawing.line(LineKind::Notch, foot, foot - out * TICK),
                Some(cut) if cut.distance(foot) <= 2.0 * TICK + BESIDE => {
                    self.drawing.line(LineKind::Notch, foot, cut);
                }
                Some(cut) => {
                    self.drawing.line(LineKind::Notch, foot, foot + out * TICK);
                    self.drawing.line(LineKind::Notch, cut, cut - out * TICK);
                }
            }
        }
    }
}

/// The line of a fold: seen once for all the stretches that are held against it.
enum FoldLine<'a> {
    Straight { at: Point, way: Vec2 },
    Bent(&'a Curve),
}

impl<'a> FoldLine<'a> {
    fn of(fold: &'a Curve) -> FoldLine<'a> {
        match fold.is_straight(STRAIGHT) {
            true => FoldLine::Straight { at: fold.start(), way: (fold.end() - fold.start()).normalize() },
            false => FoldLine::Bent(fold),
        }
    }

    /// Whether a stretch of the cutting line lies on the fold, or beyond an end of it on the same straight line.
    fn holds(&self, segment: &PathSeg) -> bool {
        all_along(segment, |place| match self {
            FoldLine::Straight { at, way } => (place - *at).cross(*way).abs(),
            FoldLine::Bent(fold) => fold.nearest(place).distance,
        })
    }
}

/// Whether a stretch of the cutting line lies on something, told by how far its ends and middle are off it, mm.
fn all_along(segment: &PathSeg, off: impl Fn(Point) -> f64) -> bool {
    [segment.start(), segment.eval(0.5), segment.end()].into_iter().all(|place| off(place) <= ON_OUTLINE)
}

/// Where on its edge, so long, the ticks of a notch stand: of a double notch on either side of its place, or both moved
/// away from a corner that is too near. They move alike on both sides of a seam, whose notches lie as far from its end.
fn ticks(notch: &Notch, length: f64) -> Vec<f64> {
    match notch.count {
        NotchCount::Single => vec![notch.at],
        NotchCount::Double => {
            let (least, most) = (NOTCH_OFF_CORNER + BESIDE, length - NOTCH_OFF_CORNER - BESIDE);
            let middle = if least < most { notch.at.clamp(least, most) } else { length / 2.0 };
            vec![middle - BESIDE, middle + BESIDE]
        }
    }
}

fn grainline(drawing: &mut Drawing, grain: &Grainline) {
    drawing.line(LineKind::Grainline, grain.start, grain.end);
    let way = grain.direction();
    if grain.arrows != Arrows::End {
        drawing.fill(arrow(grain.start, -way, ARROW), Tone::Black, Layer::Marks);
    }
    if grain.arrows != Arrows::Start {
        drawing.fill(arrow(grain.end, way, ARROW), Tone::Black, Layer::Marks);
    }
}

/// Whether a line lies on a fold of a piece all along.
pub(in crate::show) fn lies_on_fold(piece: &Piece, line: &Curve) -> bool {
    let lies_on = |fold: &Edge| {
        line.points_evenly(4).into_iter().all(|at| fold.curve.nearest(at).distance <= DRAWN_AS_ONE)
    };
    piece.edges().iter().any(|edge| edge.finish == Finish::Fold && lies_on(edge))
}

fn circle(at: Point, radius: f64) -> BezPath {
    Circle::new(at, radius).to_path(ROUND)
}

/// The bent arrow of a fold, at a depth inside it and over a stretch of it: a line beside it whose ends turn to the fold.
pub(super) fn fold_arrow(fold: &Curve, (from, to): (f64, f64), depth: f64) -> (BezPath, [BezPath; 2]) {
    let inward = -fold.normal_outward(fold.length() / 2.0);
    let (a, b) = (fold.point_at(from), fold.point_at(to));
    let mut path = straight(a + inward * ARROW.0, a + inward * depth);
    path.line_to(b + inward * depth);
    path.line_to(b + inward * ARROW.0);
    (path, [arrow(a, -inward, ARROW), arrow(b, -inward, ARROW)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A double notch 2.8 mm from a corner has no tick within a corner's reach, on either side of its seam.
    #[test]
    fn ticks_of_a_double_notch_keep_off_the_corner() {
        let notch = |at| {
            Notch::new("n".parse().expect("a name"), "side".parse().expect("a name"), at, NotchCount::Double)
        };
        assert_eq!(ticks(&notch(2.8), 100.0), [4.0, 8.0]);
        assert_eq!(ticks(&notch(97.2), 100.0), [92.0, 96.0]);
        assert_eq!(ticks(&notch(50.0), 100.0), [48.0, 52.0]);
        assert_eq!(ticks(&notch(1.0), 7.0), [1.5, 5.5]);
    }
}
