//! The new pieces over the old: each is laid back to where the record says that the most of it came from.

use indexmap::IndexMap;
use kurbo::{Affine, BezPath, Shape};

use crate::allowance::SewingOrder;
use crate::canvas::{
    Drawing, Layer, LineKind, Ring, Stroke, around, bounds_of, chords, crossings, polygon, rays, straight,
};
use crate::curve::{Curve, Motion, Point, TurnedBox, Vec2};
use crate::pattern::{Copy, Moved, Pattern, Piece, PieceName, RecordedStep};
use crate::show::picture::wanted::{PictureError, PictureGroup, WantedPart};
use crate::show::piece::{OtherLines, PieceDrawing, PieceStyle};
use crate::tolerance::DRAWN_AS_ONE;

/// The directions of lines that fill an area which is no longer in a piece, and one which is new in it.
pub(super) const TAKEN: Vec2 = Vec2::new(std::f64::consts::FRAC_1_SQRT_2, -std::f64::consts::FRAC_1_SQRT_2);
pub(super) const ADDED: Vec2 = Vec2::new(std::f64::consts::FRAC_1_SQRT_2, std::f64::consts::FRAC_1_SQRT_2);

/// Distance of such lines, mm, where texts are not magnified.
const HATCH: f64 = 3.5;

/// The shortest line that is drawn, mm: shorter ones come from curves that are followed differently.
const LEAST_LINE: f64 = 0.5;

/// The new pieces over each old one, and those that came from none by themselves.
pub(super) fn groups(
    pattern: &Pattern,
    before: &Pattern,
    asked: &WantedPart,
    style: &PieceStyle,
) -> Result<Vec<PictureGroup>, PictureError> {
    let first = before.record.steps.len().min(pattern.record.steps.len());
    let steps = &pattern.record.steps[first..];
    let mut over: IndexMap<PieceName, OldAndNew> = IndexMap::new();
    for old in before.pieces() {
        over.insert(old.name().clone(), OldAndNew { old: Some(old), new: Vec::new() });
    }
    for piece in pattern.pieces() {
        let (from, motion) = origin(steps, piece.name());
        let motion = match before.find(&from) {
            Some(old) => onto(old, piece, motion),
            None => Affine::IDENTITY,
        };
        over.entry(from).or_default().new.push((piece, motion));
    }
    let order = SewingOrder::of(pattern);
    let wanted = over.iter().filter(|(old, over)| {
        asked.wants(old) || over.new.iter().any(|(piece, _)| asked.wants(piece.name()))
    });
    wanted.map(|(_, over)| group(&order, over, style)).collect()
}

/// An old piece, and the new ones that came from it with the motions that lay them back.
#[derive(Default)]
struct OldAndNew<'a> {
    old: Option<&'a Piece>,
    new: Vec<(&'a Piece, Affine)>,
}

/// From which piece the most of a piece came, and the motion that lays it back there.
fn origin(steps: &[RecordedStep], piece: &PieceName) -> (PieceName, Affine) {
    let mut name = piece.clone();
    let mut back = Affine::IDENTITY;
    for step in steps.iter().rev() {
        let parts = step.moved.iter().filter(|moved| moved.to == name);
        let most = parts.max_by(|a, b| size(a).total_cmp(&size(b)));
        let Some(moved) = most else { continue };
        if let Ok(motion) = Motion::from_array(moved.motion) {
            back = motion.inverse().to_affine() * back;
        }
        name = moved.from.clone();
    }
    (name, back)
}

/// The motion that lays a piece back on an old one, where a step told it; what was made anew elsewhere on the sheet, of which no
/// step tells how it moved, is laid over the old one by its grain and its middle.
fn onto(old: &Piece, new: &Piece, told: Affine) -> Affine {
    let (under, over) = (old.bounds(), new.bounds());
    let shared = under.intersect(over);
    let is_told = told != Affine::IDENTITY || old.name() != new.name();
    if is_told || (shared.width() > 0.0 && shared.height() > 0.0) {
        return told;
    }
    let grain = |piece: &Piece| piece.grainline.as_ref().map(|grain| (grain.end - grain.start).atan2());
    let turn = grain(old).zip(grain(new)).map_or(0.0, |(old, new)| old - new);
    let turned = Affine::rotate(turn);
    let middle = (turned * new.outline().to_path()).bounding_box().center();
    Affine::translate(under.center() - middle) * turned
}

/// How much a part counts: a whole piece more than any part, what is drawn more than its mirror image.
fn size(moved: &Moved) -> f64 {
    let area = match &moved.part {
        None => f64::MAX,
        Some(part) => BezPath::from_svg(part).map_or(0.0, |path| path.area().abs()),
    };
    if moved.copy == Copy::Drawn { area } else { area / 2.0 }
}

fn group(order: &SewingOrder, over: &OldAndNew, style: &PieceStyle) -> Result<PictureGroup, PictureError> {
    let OldAndNew { old, new } = over;
    let old_outline = old.map(|piece| piece.outline().to_path());
    let outlines: Vec<BezPath> =
        new.iter().map(|(piece, motion)| *motion * piece.outline().to_path()).collect();
    let mut drawing = Drawing::default();
    let laid = |(piece, motion): &(&Piece, Affine), drawn: &[BezPath]| {
        let others = OtherLines { drawn, ..OtherLines::default() };
        PieceDrawing::laid(order, piece, style, *motion, others).map(|drawn| drawn.drawing)
    };
    let alone = new.iter().map(|piece| laid(piece, &[])).collect::<Result<Vec<_>, _>>()?;
    let mut texts: Vec<BezPath> = Vec::new();
    for (i, piece) in new.iter().enumerate() {
        let beside = alone.iter().enumerate().filter(|(other, _)| *other != i);
        let lines = beside.flat_map(|(_, drawing)| drawing.strokes.iter().map(|stroke| stroke.path.clone()));
        let others: Vec<BezPath> = old_outline.iter().cloned().chain(lines).chain(texts.clone()).collect();
        let drawn = laid(piece, &others)?;
        texts.extend(drawn.labels.iter().map(|label| struck_out(&label.corners())));
        add_once(&mut drawing, drawn);
    }
    let unchanged = |old: &Piece| matches!(&new[..], [(piece, _)] if piece.edges() == old.edges());
    if let Some(old) = old.filter(|old| !unchanged(old)) {
        add_before(&mut drawing, old);
    }
    if let Some(old) = &old_outline {
        let texts: Vec<TurnedBox> = drawing.labels.iter().map(|label| around(label, 0.5)).collect();
        for line in hatching(old, &outlines, &texts, HATCH * style.magnified) {
            drawing.stroke(LineKind::Hatch, line);
        }
    }
    let bounds = drawing.bounds().unwrap_or_default();
    let pieces = new.iter().map(|(piece, motion)| (piece.name().clone(), *motion)).collect();
    Ok(PictureGroup { drawing, bounds, pieces })
}

/// Adds what is drawn of a piece; a seamline that lies on one of its kind is not drawn again: the dashes of the two would
/// fill each other's gaps.
fn add_once(drawing: &mut Drawing, mut piece: Drawing) {
    let (seams, others) = std::mem::take(&mut piece.strokes)
        .into_iter()
        .partition::<Vec<Stroke>, _>(|stroke| stroke.kind.layer() == Layer::Stitching);
    piece.strokes = others;
    for Stroke { kind, path } in seams {
        let drawn = curves(drawing, |drawn| drawn == kind);
        match Curve::from_path(&path) {
            Ok(seam) => uncovered(&seam, &drawn).iter().for_each(|part| piece.stroke(kind, part.to_path())),
            Err(_) => piece.stroke(kind, path),
        }
    }
    drawing.add(piece);
}

/// Adds the edges of the old piece, but for where a new one lies on them.
fn add_before(drawing: &mut Drawing, old: &Piece) {
    let drawn = curves(drawing, |kind| kind.layer() == Layer::Stitching || kind == LineKind::Fold);
    for part in old.edges().iter().flat_map(|edge| uncovered(&edge.curve, &drawn)) {
        drawing.stroke(LineKind::Before, part.to_path());
    }
}

/// The lines of a drawing that are of a kind.
fn curves(drawing: &Drawing, wanted: impl Fn(LineKind) -> bool) -> Vec<Curve> {
    let strokes = drawing.strokes.iter().filter(|stroke| wanted(stroke.kind));
    strokes.filter_map(|stroke| Curve::from_path(&stroke.path).ok()).collect()
}

/// The parts of a line of which nothing lies on what is drawn, looked at every few millimetres.
fn uncovered(seam: &Curve, drawn: &[Curve]) -> Vec<Curve> {
    /// How far apart the places are that are looked at, mm: less than a dash and its gap.
    const STEP: f64 = 4.0;
    let near = |at: Point| drawn.iter().any(|line| line.nearest(at).distance <= DRAWN_AS_ONE);
    let steps = (seam.length() / STEP).ceil().max(1.0);
    let at = |i: usize| seam.length() * i as f64 / steps;
    let stretches: Vec<(usize, bool)> =
        (0..steps as usize).map(|i| (i, near(seam.point_at(f64::midpoint(at(i), at(i + 1)))))).collect();
    let open = stretches.chunk_by(|a, b| a.1 == b.1).filter(|run| !run[0].1);
    open.filter_map(|run| seam.stretch(at(run[0].0), at(run[run.len() - 1].0 + 1)).ok()).collect()
}

/// The box around a text with its diagonals, so that no smaller text finds room in it.
fn struck_out([a, b, c, d]: &[Point; 4]) -> BezPath {
    let mut path = polygon(&[*a, *b, *c, *d]);
    for (from, to) in [(a, c), (b, d)] {
        path.extend(straight(*from, *to).elements().iter().copied());
    }
    path
}

/// Lines over what is only in the old outline, and over what is only in the new ones, with gaps for texts.
fn hatching(old: &BezPath, new: &[BezPath], texts: &[TurnedBox], apart: f64) -> Vec<BezPath> {
    if new.is_empty() {
        return Vec::new();
    }
    let old = chords(old, 1.0);
    let new: Vec<Vec<(Point, Point)>> = new.iter().map(|path| chords(path, 1.0)).collect();
    let all = old.iter().chain(new.iter().flatten()).flat_map(|(a, b)| [*a, *b]);
    let bounds = bounds_of(all);
    let mut lines = Vec::new();
    for (way, wanted) in [(TAKEN, Only::Old), (ADDED, Only::New)] {
        for (from, length) in rays(bounds, way, apart) {
            let inside = |ring: &Ring| crossings(ring, from, way);
            let sweep = Sweep { old: inside(&old), new: new.iter().map(|ring| inside(ring)).collect() };
            let gaps: Vec<(f64, f64)> = texts.iter().filter_map(|text| span(text, from, way)).collect();
            for (start, end) in sweep.stretches(wanted, length) {
                for (start, end) in without((start, end), &gaps) {
                    if end - start > LEAST_LINE {
                        lines.push(straight(from + way * start, from + way * end));
                    }
                }
            }
        }
    }
    lines
}

/// Which area is sought.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Only {
    Old,
    New,
}

/// Where a ray crosses the old outline and each of the new ones.
struct Sweep {
    old: Vec<f64>,
    new: Vec<Vec<f64>>,
}

impl Sweep {
    /// The stretches of a ray in one kind of area.
    fn stretches(&self, wanted: Only, length: f64) -> Vec<(f64, f64)> {
        let mut stops: Vec<f64> =
            self.old.iter().chain(self.new.iter().flatten()).copied().chain([0.0, length]).collect();
        stops.sort_by(f64::total_cmp);
        let within = |crossed: &[f64], at: f64| crossed.iter().filter(|stop| **stop < at).count() % 2 == 1;
        let holds = |at: f64| {
            let (old, new) = (within(&self.old, at), self.new.iter().any(|ring| within(ring, at)));
            match wanted {
                Only::Old => old && !new,
                Only::New => new && !old,
            }
        };
        stops
            .windows(2)
            .filter(|pair| pair[1] > pair[0] && holds(f64::midpoint(pair[0], pair[1])))
            .map(|pair| (pair[0], pair[1]))
            .collect()
    }
}

/// The stretch of a ray that lies in a box.
fn span(text: &TurnedBox, from: Point, way: Vec2) -> Option<(f64, f64)> {
    let corners = text.corners();
    let sides: Vec<(Point, Point)> = (0..4).map(|i| (corners[i], corners[(i + 1) % 4])).collect();
    let crossed = crossings(&sides, from, way);
    Some((*crossed.first()?, *crossed.last()?))
}

/// A stretch without what lies in gaps.
fn without(stretch: (f64, f64), gaps: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut left = vec![stretch];
    for (from, to) in gaps {
        left = left
            .into_iter()
            .flat_map(|(start, end)| [(start, end.min(*from)), (start.max(*to), end)])
            .filter(|(start, end)| end > start)
            .collect();
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    fn total(lines: &[BezPath]) -> f64 {
        lines.iter().map(|line| line.perimeter(0.01)).sum()
    }

    /// The length of hatching times its distance is the area that it fills.
    #[test]
    fn hatching_fills_what_moved_and_nothing_else() {
        let square = |x: f64| Rect::new(x, 0.0, x + 100.0, 100.0).to_path(0.1);
        let lines = hatching(&square(0.0), &[square(20.0)], &[], 0.5);
        assert!((total(&lines) * 0.5 - 2.0 * 2000.0).abs() < 40.0, "{}", total(&lines) * 0.5);
        let halves = [Rect::new(0.0, 0.0, 50.0, 100.0), Rect::new(50.0, 0.0, 100.0, 100.0)];
        let lines = hatching(&square(0.0), &halves.map(|half| half.to_path(0.1)), &[], 0.5);
        assert!(lines.is_empty(), "{}", lines.len());
    }

    #[test]
    fn a_gap_is_left_for_a_text() {
        assert_eq!(without((0.0, 10.0), &[(4.0, 6.0), (9.0, 12.0)]), [(0.0, 4.0), (6.0, 9.0)]);
    }
}
