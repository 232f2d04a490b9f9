//! The pieces of a layout on the page: their lines, grain and labels.

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use crate::allowance::Halves;
use crate::canvas::{
    Drawing, Label, LabelRoom, LabelSpot, Layer, LineKind, TextLine, Tone, arrow, broken_name, spots_over,
};
use crate::cloth::Direction;
use crate::cloth::layout::{BodySide, LaidCopy, LayTask, Spread};
use crate::curve::Vec2;
use crate::pattern::Arrows;

/// The size of lettering beside which lines are as wide as on paper, mm.
pub(super) const AS_ON_PAPER: f64 = 8.0;

/// How large letters are, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lettering {
    /// Of titles, and of names where they have room.
    pub(super) largest: f64,
    /// Of all that says less, and of names where they have little room.
    pub(super) least: f64,
}

/// How much smaller each next size is that is tried.
const SMALLER: f64 = 0.82;

/// How many places are tried each way.
const PLACES: usize = 28;

/// Length and half width of an arrow, as shares of the size of the lettering.
const ARROW: (f64, f64) = (0.6, 0.17);

/// A piece as it lies.
pub(super) struct LaidPiece {
    pub name: String,
    pub outline: BezPath,
    /// Its lines, and its label where it has room for it.
    pub drawing: Drawing,
    /// A place in a piece that has no room for its label, which is led out from there; none where most of it lies in another
    /// window.
    pub led_from: Option<Point>,
}

/// A piece on a band, in band coordinates: as on the page with the band's corner at nothing. Of one that reaches out of the
/// window, what lies in it.
pub(super) fn drawn(
    task: &LayTask<'_>,
    lying: &LaidCopy,
    to_band: Affine,
    lettering: Lettering,
    window: Rect,
) -> LaidPiece {
    let text = lettering.largest;
    let copy = &task.copies[lying.copy];
    let outline = to_band * lying.path(task);
    let mut drawing = Drawing::default();
    lines(task, lying, (to_band, text), &mut drawing);
    drawing.stroke(LineKind::CuttingLine, outline.clone());
    let whole = outline.bounding_box();
    let bounds = whole.intersect(window);
    let is_whole = bounds == whole;
    if !is_whole {
        drawing = drawing.within(window);
    }
    let directions = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    let spots: Vec<LabelSpot> = spots_over(bounds, (PLACES, PLACES), bounds.center(), &directions);
    let mut rooms = [None, Some(LineKind::Seamline)].map(|over| room(&outline, &drawing, over, text));
    if !is_whole {
        rooms.iter_mut().for_each(|room| room.block_path(&bounds.to_path(0.1)));
    }
    let name = copy.to_string();
    let first: TextLine = (name.clone(), 1.0);
    let both = vec![first.clone(), (how_it_lies(task, lying).to_owned(), 1.0)];
    let ways = [both, vec![first], broken_name(&name, 2), broken_name(&name, 3)];
    let labels = ways.into_iter().find_map(|lines| {
        let sizes = std::iter::successors(Some(text), |size| Some(size * SMALLER));
        let sizes: Vec<f64> =
            sizes.take_while(|size| *size > lettering.least).chain([lettering.least]).collect();
        let lines = [lines];
        rooms.iter_mut().find_map(|room| room.set(&lines, &sizes, &spots))
    });
    // Of a piece in two rows the name is led out where more of it is seen.
    let is_mostly_here = bounds.width() * 2.0 > whole.width();
    let led_from = (labels.is_none() && is_mostly_here).then(|| {
        let corners = || outline.elements().iter().filter_map(kurbo::PathEl::end_point);
        let corner = || corners().find(|corner| bounds.contains(*corner)).or(corners().next());
        Some(bounds.center()).filter(|middle| outline.contains(*middle)).or_else(corner).unwrap_or_default()
    });
    for label in labels.unwrap_or_default() {
        drawing.labels.push(if name.contains(&label.text) { label } else { quiet(label) });
    }
    LaidPiece { name, outline, drawing, led_from }
}

/// The room in a piece clear of its lines, but for those of a kind that a label may lie over.
fn room(outline: &BezPath, drawing: &Drawing, over: Option<LineKind>, text: f64) -> LabelRoom {
    let mut room = LabelRoom::within(std::slice::from_ref(outline), text / AS_ON_PAPER);
    let strokes = drawing.strokes.iter().filter(|stroke| Some(stroke.kind) != over);
    strokes.for_each(|stroke| room.block_path(&stroke.path));
    drawing.fills.iter().for_each(|fill| room.block_path(&fill.path));
    room
}

/// What whoever cuts must know of how a copy lies.
fn how_it_lies(task: &LayTask<'_>, lying: &LaidCopy) -> &'static str {
    let copy = &task.copies[lying.copy];
    match (task.grounds[lying.ground].spread, copy.hand, copy.halves) {
        (Spread::Single, ..) => "right side up",
        (Spread::Folded, _, Halves::OnFold) => "on the fold",
        (Spread::Folded, BodySide::Pair, _) => "both layers",
        (Spread::Folded, ..) => "one layer only",
    }
}

/// The stitching lines and darts of a copy, of both halves where it is opened out, and its grain.
fn lines(task: &LayTask<'_>, lying: &LaidCopy, (to_band, text): (Affine, f64), drawing: &mut Drawing) {
    let copy = &task.copies[lying.copy];
    let Some(piece) = task.pattern.find(&copy.piece) else { return };
    let to_band = to_band * lying.motion.to_affine();
    let image = piece.fold_mirroring().filter(|_| copy.halves == Halves::Opened);
    for half in [Some(Affine::IDENTITY), image.map(|image| image.to_affine())].into_iter().flatten() {
        let to_band = to_band * half;
        for id in piece.edge_ids().filter(|id| piece.fold() != Some(*id)) {
            drawing.stroke(LineKind::Seamline, to_band * piece.edge(id).curve.to_path());
        }
        for dart in &piece.darts {
            let (first, second) = dart.legs();
            for leg in [first, second] {
                drawing.stroke(LineKind::DartLeg, to_band * leg.to_path());
            }
        }
    }
    let Some(grain) = &piece.grainline else { return };
    let (start, end) = (to_band * grain.start, to_band * grain.end);
    drawing.line(LineKind::Grainline, start, end);
    let way = (end - start).normalize();
    let size = (ARROW.0 * text, ARROW.1 * text);
    // On cloth of one way all pieces lie with the end of their grain toward its end.
    let one_way = task.stock.find(&copy.cloth).is_some_and(|cloth| cloth.direction == Direction::OneWay);
    let arrows = if one_way && grain.arrows == Arrows::Both { Arrows::End } else { grain.arrows };
    let heads = [(arrows != Arrows::End, start, -way), (arrows != Arrows::Start, end, way)];
    for (_, tip, way) in heads.into_iter().filter(|(has_head, ..)| *has_head) {
        drawing.fill(arrow(tip, way, size), Tone::Black, Layer::Marks);
    }
}

/// A label that says less than others.
pub(super) fn quiet(label: Label) -> Label {
    Label { tone: Tone::Dark, ..label }
}
