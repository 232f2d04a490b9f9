//! The pieces of a layout on the page: their lines, grain and labels.

use kurbo::{BezPath, Line, Point, Shape};

use crate::allowance::Halves;
use crate::cloth::layout::{BodySide, Laid, LaidCopy, LayTask, Spread};
use crate::cloth::picture::fabric::Band;
use crate::cloth::picture::label::{LINE, PlacedLabel, RoomInPiece};
use crate::cloth::picture::svg::{Anchor, SvgPage, Words, Written};
use crate::curve::Motion;

/// How finely outlines are followed to find room for labels, mm.
const FOLLOWED: f64 = 0.3;

/// A piece as it lies, and its label: with a place within it, or to be led out.
pub(super) struct LabelledPiece<'a> {
    lying: &'a LaidCopy,
    outline: BezPath,
    grain: Option<(Point, Point)>,
    name: String,
    placed: Option<PlacedLabel>,
    /// A place inside the piece, for the line that leads to its label.
    pub(super) inside: Point,
}

impl LabelledPiece<'_> {
    /// The text to be led out, where the piece has no room for it.
    pub(super) fn led_out(&self) -> Option<&str> {
        self.placed.is_none().then_some(self.name.as_str())
    }
}

/// The pieces on a band, in band coordinates: as on the page with the band's corner at nothing.
pub(super) fn labels<'a>(task: &LayTask<'_>, laid: &'a Laid, band: &Band<'_>) -> Vec<LabelledPiece<'a>> {
    let here = laid.lying.iter().filter(|lying| lying.ground == band.ground);
    here.map(|lying| labelled(task, lying, band)).collect()
}

fn labelled<'a>(task: &LayTask<'_>, lying: &'a LaidCopy, band: &Band<'_>) -> LabelledPiece<'a> {
    let copy = &task.copies[lying.copy];
    let outline = band.to_band() * lying.path(task);
    let grainline = task.pattern.find(&copy.piece).and_then(|piece| piece.grainline.clone());
    let to_band = band.to_band() * lying.motion.to_affine();
    let grain = grainline.map(|grain| (to_band * grain.start, to_band * grain.end));
    let mut corners: Vec<Point> = Vec::new();
    kurbo::flatten(&outline, FOLLOWED, |element| corners.extend(element.end_point()));
    let darts = task.pattern.find(&copy.piece).into_iter().flat_map(|piece| &piece.darts);
    let legs = darts.flat_map(|dart| {
        let (first, second) = dart.legs();
        [first, second].map(|leg| Line::new(to_band * leg.start(), to_band * leg.end()))
    });
    let lines: Vec<Line> = grain.iter().map(|(a, b)| Line::new(*a, *b)).chain(legs).collect();
    let room = RoomInPiece { outline: &corners, lines: &lines };
    let name = copy.to_string();
    let text = [name.clone(), how_it_lies(task, lying).to_owned()];
    let placed = room.place(&text, band.text);
    let middle = outline.bounding_box().center();
    let inside = if room.holds(middle) { middle } else { corners.first().copied().unwrap_or(middle) };
    LabelledPiece { lying, outline, grain, name, placed, inside }
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

/// Draws a piece.
pub(super) fn draw(
    page: &mut SvgPage,
    task: &LayTask<'_>,
    labelled: &LabelledPiece<'_>,
    band: &Band<'_>,
    corner: Point,
) {
    let shift = kurbo::Affine::translate(corner.to_vec2());
    page.begin_group(&labelled.name);
    page.path("piece", &(shift * labelled.outline.clone()));
    for seamline in seamlines(task, labelled.lying) {
        page.path("seamline", &(shift * band.to_band() * seamline));
    }
    if let Some((from, to)) = labelled.grain {
        page.line("grain", shift * from, shift * to);
    }
    if let Some(placed) = &labelled.placed {
        write(page, placed, shift);
    }
    page.end_group();
}

fn write(page: &mut SvgPage, placed: &PlacedLabel, shift: kurbo::Affine) {
    let step = placed.size * LINE;
    let first = -(placed.lines.len() as f64 - 1.0) / 2.0 * step;
    /// From the middle of a line of letters down to its foot, over their size.
    const TO_FOOT: f64 = 0.35;
    for (i, line) in placed.lines.iter().enumerate() {
        let off = first + i as f64 * step + placed.size * TO_FOOT;
        let at = if placed.written == Written::Upward {
            Point::new(placed.centre.x + off, placed.centre.y)
        } else {
            Point::new(placed.centre.x, placed.centre.y + off)
        };
        page.words(&Words {
            text: line.clone(),
            at: shift * at,
            size: placed.size,
            anchor: Anchor::Middle,
            written: placed.written,
            class: if i == 0 { "title" } else { "quiet" },
        });
    }
}

/// The mirroring that gives the other half of a copy that is opened out.
fn opening(task: &LayTask<'_>, lying: &LaidCopy) -> Option<Motion> {
    let copy = &task.copies[lying.copy];
    let piece = task.pattern.find(&copy.piece).filter(|_| copy.halves == Halves::Opened)?;
    let fold = &piece.edge(piece.fold()?).curve;
    Motion::mirror_in(fold.start(), fold.end()).ok()
}

/// The stitching lines of a copy on the cloth, of both halves where it is opened out; darts too.
fn seamlines(task: &LayTask<'_>, lying: &LaidCopy) -> Vec<BezPath> {
    let copy = &task.copies[lying.copy];
    let Some(piece) = task.pattern.find(&copy.piece) else { return Vec::new() };
    let edges =
        piece.edge_ids().filter(|id| piece.fold() != Some(*id)).map(|id| piece.edge(id).curve.to_path());
    let darts = piece.darts.iter().flat_map(|dart| {
        let (first, second) = dart.legs();
        [first.to_path(), second.to_path()]
    });
    let half: Vec<BezPath> = edges.chain(darts).collect();
    let image = opening(task, lying)
        .map(|mirroring| half.iter().map(move |path| mirroring.to_affine() * path.clone()));
    let image: Vec<BezPath> = image.into_iter().flatten().collect();
    half.into_iter().chain(image).map(|path| lying.motion.to_affine() * path).collect()
}

/// Draws the stitching lines as far as stripes meet along them.
pub(super) fn matched(page: &mut SvgPage, laid: &Laid, band: &Band<'_>, corner: Point) {
    let to_page = kurbo::Affine::translate(corner.to_vec2()) * band.to_band();
    let pairs = laid.matches.iter().flat_map(|found| &found.met.sewings).flat_map(|sewing| &sewing.pairs);
    for (lying, line) in pairs.flat_map(|pair| pair.lying.iter().zip(&pair.lines)) {
        let here = laid.lying.get(*lying).is_some_and(|lying| lying.ground == band.ground);
        let Some((first, rest)) = line.split_first().filter(|_| here) else { continue };
        let mut path = BezPath::new();
        path.move_to(*first);
        rest.iter().for_each(|point| path.line_to(*point));
        page.path("match", &(to_page * path));
    }
}
