//! What the garment will look like: its pieces joined at their seams, with the cloth on them.
//!
//! Pieces stay rigid, right side out, and are laid on each other's stitching lines as well as can be: curved seams gape,
//! and what does not fit at all lies beside, as sleeves do beside the body.

mod halves;
mod views;

use kurbo::{Affine, BezPath, Point, Rect, Size, Vec2};

use crate::canvas::{
    Area, BoxOrder, BoxSizes, Drawing, Label, LabelRoom, Layer, Letters, LineKind, SvgPicture, Turning,
    number, place, spots_over,
};
use crate::cloth::layout::{BodySide, Laid, LayTask};
use crate::cloth::picture::surface::{GroundCloth, Strength, around};
use crate::units::Unit;

use halves::SewnHalves;
use views::{View, views};

/// The space around and between parts, mm.
const MARGIN: f64 = 40.0;

/// The size of the lettering, mm, and beside how large lines are as wide as on paper.
const TEXT: f64 = 36.0;
const AS_ON_PAPER: f64 = 8.0;

/// The smallest lettering of a name, mm, and how much smaller each next size is that is tried.
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
    let corners = arranged(&views, &boxes);
    let placed = boxes.iter().zip(&corners).map(|(bounds, corner)| bounds.with_origin(*corner));
    let all = placed.clone().reduce(|a, b| a.union(b)).unwrap_or_default();
    let page = Rect::new(0.0, 0.0, all.x1 + MARGIN, all.y1 + MARGIN + 2.0 * TEXT);
    let mut picture = SvgPicture::new(page, "The garment as it is sewn", TEXT / AS_ON_PAPER, Letters::Haloed);
    let told = laid.matches.iter().flat_map(|found| found.sentences(unit));
    told.for_each(|sentence| picture.describe(&sentence));
    for ((i, view), place) in views.iter().enumerate().zip(placed) {
        let shift = Affine::translate(place.origin() - boxes[i].origin());
        add_view(&mut picture, &halves, (i + 1, view), (place, shift));
    }
    let mut below = Drawing::default();
    let words = "Seen from outside, unrolled: pieces joined along their seams; what curves away gapes";
    below.labels.push(Label::from_left(words, Point::new(MARGIN, page.y1 - TEXT), TEXT, Layer::Labels));
    picture.add_group(&[], &[&below]);
    (picture, views.len())
}

/// The upper left corners of views: those of the first part side by side, the others in rows as wide.
fn arranged(views: &[View], boxes: &[Rect]) -> Vec<Point> {
    let titled = views.iter().zip(boxes).filter(|(view, _)| view.title.is_some());
    let body: f64 = titled.clone().map(|(_, bounds)| bounds.width() + MARGIN).sum();
    let widest = boxes.iter().map(Rect::width).fold(body, f64::max);
    let highest = titled.map(|(_, bounds)| bounds.height()).fold(0.0, f64::max);
    let upright = |(view, bounds): (&View, &Rect)| {
        let height = if view.title.is_some() { highest } else { bounds.height() };
        let size = Size::new(bounds.width(), height);
        BoxSizes { upright: size, quarter: Size::new(size.height, size.width) }
    };
    let sizes: Vec<BoxSizes> = views.iter().zip(boxes).map(upright).collect();
    let area = Area { width: widest, height: None, gap: MARGIN };
    let puts = place(&sizes, area, BoxOrder::AsGiven, Turning::Never);
    puts.unwrap_or_default().into_iter().map(|put| put.corner + Vec2::new(MARGIN, MARGIN)).collect()
}

/// What a view takes up, its title above it.
fn bounds(halves: &SewnHalves<'_>, view: &View) -> Rect {
    let outlines = view.placed.iter().map(|(half, motion)| around(&outline(halves, *half, *motion)));
    let drawn = outlines.reduce(|a, b| a.union(b)).unwrap_or_default();
    let title = if view.title.is_some() { 2.0 * TEXT } else { 0.0 };
    Rect { y0: drawn.y0 - title, ..drawn }
}

fn outline(halves: &SewnHalves<'_>, half: usize, motion: Affine) -> BezPath {
    let outline = halves.piece(half).map(|piece| piece.outline().to_path()).unwrap_or_default();
    motion * halves.all[half].motion.to_affine() * outline
}

/// Adds a view: a group that tells its title and its place, with its title; then its copies.
fn add_view(
    picture: &mut SvgPicture,
    halves: &SewnHalves<'_>,
    (which, view): (usize, &View),
    (place, shift): (Rect, Affine),
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
        let (cloth, lines, outline) = drawn(halves, shown);
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
fn drawn(halves: &SewnHalves<'_>, shown: &ShownHalves) -> (Drawing, Drawing, BezPath) {
    let lying = &halves.laid.lying[shown.copy];
    let mut outlines: Vec<BezPath> = Vec::new();
    let mut lines = Drawing::default();
    for half in &shown.halves {
        let Some(piece) = halves.piece(*half) else { continue };
        let to_page = shown.motion * halves.all[*half].motion.to_affine();
        outlines.push(outline(halves, *half, shown.motion));
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
        cloth.line(LineKind::Stripe, line.from, line.to);
    }
    let name = label(&name(halves, shown), &outlines, &lines);
    lines.labels.extend(name);
    (cloth.moved(shown.motion), lines, whole)
}

/// A name in the room that outlines leave, as near to its middle and as large as can be.
fn label(name: &str, outlines: &[BezPath], lines: &Drawing) -> Vec<Label> {
    let mut room = LabelRoom::within(outlines, TEXT / AS_ON_PAPER);
    lines.strokes.iter().for_each(|stroke| room.block_path(&stroke.path));
    let bounds = outlines.iter().map(around).reduce(|a, b| a.union(b)).unwrap_or_default();
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    let spots = spots_over(bounds, (PLACES, PLACES), bounds.center(), &ways);
    let sizes = std::iter::successors(Some(TEXT), |size| Some(size * SMALLER));
    let sizes: Vec<f64> = sizes.take_while(|size| *size >= SMALLEST).collect();
    room.set(&[vec![(name.to_owned(), 1.0)]], &sizes, &spots).unwrap_or_else(|| {
        let at = Label::base_of(bounds.center(), Vec2::new(1.0, 0.0), SMALLEST);
        vec![Label::level(name, at, SMALLEST, Layer::Labels)]
    })
}
