//! What the garment will look like: its pieces joined at their seams, with the cloth on them.
//!
//! Pieces stay rigid, right side out, and are laid on each other's stitching lines as well as can be: curved seams gape,
//! and what does not fit at all lies beside, as sleeves do beside the body.

mod halves;
mod views;

use kurbo::{Affine, BezPath, Point, Rect, Size, Vec2};

use crate::canvas::{
    Area, BoxOrder, BoxSizes, Drawing, Label, LabelRoom, Layer, Letters, LineKind, SvgPicture, Tone, Turning,
    number, place, spots_over,
};
use crate::cloth::layout::{BodySide, Laid, LayTask};
use crate::cloth::picture::key::stripes_key;
use crate::cloth::picture::paper::on_a4;
use crate::cloth::picture::surface::{GroundCloth, Strength, around, coloured};
use crate::tolerance::LEAST_PRINTED;
use crate::units::Unit;

use halves::SewnHalves;
use views::{View, outline_of, views};

/// The space around and between parts, mm.
const MARGIN: f64 = 40.0;

/// The size of the lettering, mm, and beside how large lines are as wide as on paper.
const TEXT: f64 = 36.0;
const AS_ON_PAPER: f64 = 8.0;

/// The smallest lettering of a name where the picture is small, mm, and how much smaller each next size is that is tried.
const SMALLEST: f64 = 12.0;
const SMALLER: f64 = 0.85;

/// How many places are tried for a name each way.
const PLACES: usize = 24;

/// Some halves of one copy that lie as on the cloth, on the page.
struct ShownHalves {
    copy: usize,
    halves: Vec<usize>,
    motion: Affine,
}

/// The garment as it is sewn, as SVG.
#[must_use]
pub fn sewn(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> String {
    picture(task, laid, unit).0.finish()
}

/// The same under way, to be held in a layout; none where no two pieces are sewn to each other.
pub(super) fn within(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> Option<SvgPicture> {
    let (picture, views) = picture(task, laid, unit);
    (views > 0).then_some(picture)
}

/// The picture, and how many views it has.
fn picture(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> (SvgPicture, usize) {
    let halves = SewnHalves::of(task, laid);
    let views = views(&halves);
    let boxes: Vec<Rect> = views.iter().map(|view| bounds(&halves, view)).collect();
    let corners = arranged(&halves, &views, &boxes);
    let placed = boxes.iter().zip(&corners).map(|(bounds, corner)| bounds.with_origin(*corner));
    let all = placed.clone().reduce(|a, b| a.union(b)).unwrap_or_default();
    let words_at = Point::new(MARGIN, all.y1 + MARGIN + TEXT);
    let corner = words_at + Vec2::new(0.0, TEXT / 2.0);
    let (stripes, bottom) = stripes_key(&stripes(task, laid), corner, all.x1 - MARGIN, TEXT);
    let page = Rect::new(0.0, 0.0, all.x1 + MARGIN, bottom.max(words_at.y) + TEXT);
    let mut picture = SvgPicture::new(page, "The garment as it is sewn", TEXT / AS_ON_PAPER, Letters::Haloed);
    let told = laid.matches.iter().flat_map(|found| found.sentences(unit));
    told.for_each(|sentence| picture.describe(&sentence));
    let smallest = (LEAST_PRINTED / on_a4(page.size())).clamp(SMALLEST, TEXT);
    for ((i, view), place) in views.iter().enumerate().zip(placed) {
        let shift = Affine::translate(place.origin() - boxes[i].origin());
        add_view(&mut picture, &halves, (i + 1, view), (place, shift), smallest);
    }
    let mut below = Drawing::default();
    let words = "Seen from outside, unrolled: pieces joined along their seams; what curves away gapes";
    below.labels.push(Label::from_left(words, words_at, TEXT, Layer::Labels));
    below.add(stripes);
    picture.add_group(&[], &[&below]);
    (picture, views.len())
}

/// The stripes of named colours on what is used.
fn stripes(task: &LayTask<'_>, laid: &Laid) -> Vec<(String, Tone)> {
    let used = task.grounds.iter().zip(&laid.uses).filter(|(_, usage)| usage.copies > 0);
    let lines =
        used.flat_map(|(ground, usage)| GroundCloth { stock: task.stock, ground }.pattern_lines(usage.used));
    coloured(lines)
}

/// The upper left corners of views: what goes round side by side, and at both sides of the one seen from the front what is for
/// one half of the body, as sleeves; the others in rows as wide.
fn arranged(halves: &SewnHalves<'_>, views: &[View], boxes: &[Rect]) -> Vec<Point> {
    let titled: Vec<usize> = (0..views.len()).filter(|view| views[*view].title.is_some()).collect();
    let front = titled.iter().copied().find(|view| views[*view].is_front()).or(titled.first().copied());
    let beside = |is_left: bool| -> Vec<usize> {
        let Some(left) = front.map(|front| views[front].left(halves)) else { return Vec::new() };
        let own = |view: &usize| views[*view].half(halves).is_some_and(|half| (half == left) == is_left);
        (0..views.len()).filter(own).collect()
    };
    let with_sleeves = |view: usize| match Some(view) == front {
        true => [beside(true), vec![view], beside(false)].concat(),
        false => vec![view],
    };
    let above: Vec<usize> = titled.iter().flat_map(|view| with_sleeves(*view)).collect();
    let mut corners = vec![Point::ORIGIN; views.len()];
    let mut across = MARGIN;
    for view in &above {
        corners[*view] = Point::new(across, MARGIN);
        across += boxes[*view].width() + MARGIN;
    }
    let highest = above.iter().map(|view| boxes[*view].height() + MARGIN).fold(0.0, f64::max);
    let below: Vec<usize> = (0..views.len()).filter(|view| !above.contains(view)).collect();
    let sizes: Vec<BoxSizes> = below
        .iter()
        .map(|view| {
            let size = boxes[*view].size();
            BoxSizes { upright: size, quarter: Size::new(size.height, size.width) }
        })
        .collect();
    let widest = sizes.iter().map(|size| size.upright.width).fold(across - 2.0 * MARGIN, f64::max);
    let area = Area { width: widest, height: None, gap: MARGIN };
    let puts = place(&sizes, area, BoxOrder::AsGiven, Turning::Never).unwrap_or_default();
    for (view, put) in below.iter().zip(puts) {
        corners[*view] = put.corner + Vec2::new(MARGIN, MARGIN + highest);
    }
    corners
}

/// What a view takes up, its title above it.
fn bounds(halves: &SewnHalves<'_>, view: &View) -> Rect {
    let outlines = view.placed.iter().map(|(half, motion)| around(&outline_of(halves, *half, *motion)));
    let drawn = outlines.reduce(|a, b| a.union(b)).unwrap_or_default();
    let title = if view.title.is_some() { 2.0 * TEXT } else { 0.0 };
    Rect { y0: drawn.y0 - title, ..drawn }
}

/// Adds a view: a group that tells its title and its place, with its title; then its copies.
fn add_view(
    picture: &mut SvgPicture,
    halves: &SewnHalves<'_>,
    (which, view): (usize, &View),
    (place, shift): (Rect, Affine),
    smallest: f64,
) {
    let mut above = Drawing::default();
    if let Some(title) = &view.title {
        let at = Point::new(place.x0, place.y0 + TEXT);
        above.labels.push(Label::from_left(title.clone(), at, TEXT, Layer::Labels));
    }
    let part = place.inflate(MARGIN / 2.0, MARGIN / 2.0);
    let part = [part.x0, part.y0, part.width(), part.height()].map(number).join(" ");
    let copies = shown(halves, view, shift);
    let title = view.title.clone().unwrap_or_else(|| called(halves, &copies));
    let told = [("class", "view".to_owned()), ("data-name", title), ("data-part", part)];
    picture.add_group(&told, &[&above]);
    let mut above_all = Vec::new();
    for (i, shown) in copies.iter().enumerate() {
        let (cloth, lines, outline) = drawn(halves, shown, smallest);
        picture.add_cut_out(&format!("sewn-{which}-{}", i + 1), &outline, &cloth);
        above_all.push((name(halves, shown), lines));
    }
    // Lines and names are not hidden where pieces lie over one another.
    for (name, lines) in above_all {
        picture.add_group(&[("data-name", name)], &[&lines]);
    }
}

/// The copies of a view on the page, halves that are one cloth together.
fn shown(halves: &SewnHalves<'_>, view: &View, shift: Affine) -> Vec<ShownHalves> {
    let mut found: Vec<ShownHalves> = Vec::new();
    for (half, motion) in &view.placed {
        let copy = halves.all[*half].lying;
        let motion = shift * *motion;
        match found.iter_mut().find(|shown| shown.copy == copy && shown.motion == motion) {
            Some(shown) => shown.halves.push(*half),
            None => found.push(ShownHalves { copy, halves: vec![*half], motion }),
        }
    }
    found
}

fn called(halves: &SewnHalves<'_>, copies: &[ShownHalves]) -> String {
    copies.iter().map(|shown| name(halves, shown)).collect::<Vec<_>>().join(", ")
}

/// What a copy is called; of the two layers of a pair, each by its side.
fn name(halves: &SewnHalves<'_>, shown: &ShownHalves) -> String {
    let copy = &halves.task.copies[halves.laid.lying[shown.copy].copy];
    match (copy.hand, &shown.halves[..]) {
        (BodySide::Pair, [half]) => {
            let side = if halves.all[*half].motion.is_mirrored() { "L" } else { "R" };
            format!("{} {side}", copy.piece)
        }
        _ => copy.to_string(),
    }
}

/// The cloth of a copy, its lines and its outline, where it lies in the picture.
fn drawn(halves: &SewnHalves<'_>, shown: &ShownHalves, smallest: f64) -> (Drawing, Drawing, BezPath) {
    let lying = &halves.laid.lying[shown.copy];
    let mut outlines: Vec<BezPath> = Vec::new();
    let mut lines = Drawing::default();
    for half in &shown.halves {
        let Some(piece) = halves.piece(*half) else { continue };
        let to_page = shown.motion * halves.all[*half].motion.to_affine();
        outlines.push(outline_of(halves, *half, shown.motion));
        for id in piece.edge_ids() {
            let kind = match (piece.fold() == Some(id), shown.halves.len()) {
                (false, _) => LineKind::CuttingLine,
                // It goes on behind.
                (true, 1) => LineKind::Fold,
                (true, _) => continue,
            };
            lines.stroke(kind, to_page * piece.edge(id).curve.to_path());
        }
    }
    let whole: BezPath = outlines.iter().flatten().collect();
    let surface = GroundCloth { stock: halves.task.stock, ground: &halves.task.grounds[lying.ground] };
    let within = around(&(shown.motion.inverse() * whole.clone())).inflate(1.0, 1.0);
    let mut cloth = surface.patches(within, Strength::Full);
    for line in surface.pattern_lines(within.y1) {
        line.draw(&mut cloth, (line.from, line.to));
    }
    let name = label(&name(halves, shown), (&outlines, &lines), smallest);
    lines.labels.extend(name);
    (cloth.moved(shown.motion), lines, whole)
}

/// A name in the room that outlines leave, as near to its middle and as large as can be.
fn label(name: &str, (outlines, lines): (&[BezPath], &Drawing), smallest: f64) -> Vec<Label> {
    let mut room = LabelRoom::within(outlines, TEXT / AS_ON_PAPER);
    lines.strokes.iter().for_each(|stroke| room.block_path(&stroke.path));
    let bounds = outlines.iter().map(around).reduce(|a, b| a.union(b)).unwrap_or_default();
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    let spots = spots_over(bounds, (PLACES, PLACES), bounds.center(), &ways);
    let sizes = std::iter::successors(Some(TEXT), |size| Some(size * SMALLER));
    let sizes: Vec<f64> = sizes.take_while(|size| *size > smallest).chain([smallest]).collect();
    room.set(&[vec![(name.to_owned(), 1.0)]], &sizes, &spots).unwrap_or_else(|| {
        let at = Label::base_of(bounds.center(), Vec2::new(1.0, 0.0), smallest);
        vec![Label::level(name, at, smallest, Layer::Labels)]
    })
}
