//! What the garment will look like: its pieces joined at their matched seams, with the cloth on them.
//!
//! Pieces stay rigid, right side out, and are laid on each other's stitching lines as well as can be: curved seams gape,
//! and what does not fit at all lies beside, as sleeves do beside the body.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::allowance::Halves;
use crate::canvas::{Drawing, Font, Label, Layer, Letters, LineKind, SvgPicture};
use crate::cloth::layout::{Laid, LayError, LayTask, Lying, PlaceAlike, seam_alike};
use crate::cloth::picture::surface::{Strength, Surface, around};
use crate::curve::Motion;
use crate::pattern::SeamId;
use crate::tolerance::{LEAST_MATCH, SEWN_GAPES};
use crate::units::Unit;

/// The space around and between parts, mm.
const MARGIN: f64 = 40.0;

/// The size of the lettering, mm, and beside how large lines are as wide as on paper.
const TEXT: f64 = 18.0;
const AS_ON_PAPER: f64 = 8.0;

/// How much of a piece's width its name takes at the most.
const NAME: f64 = 0.55;

/// Two copies that are sewn to each other, and the places that meet, on the cloth.
struct Link {
    lying: [usize; 2],
    places: Vec<[Point; 2]>,
}

/// Parts of the garment, each of copies joined: where each lies in the part, from the cloth.
struct Part {
    copies: Vec<(usize, Affine)>,
    bounds: Rect,
}

/// The garment as it is sewn, as SVG: of the seams that were to be matched, else of all.
///
/// # Errors
///
/// An edge that is not there.
pub fn sewn(task: &LayTask<'_>, laid: &Laid, unit: Unit) -> Result<String, LayError> {
    let links = links(task, laid)?;
    let parts = parts(task, laid, &links);
    let mut page = Rect::ZERO;
    let mut placed: Vec<(usize, Affine)> = Vec::new();
    let mut left = MARGIN;
    for part in &parts {
        let shift = Affine::translate(Vec2::new(left, MARGIN) - part.bounds.origin().to_vec2());
        placed.extend(part.copies.iter().map(|(copy, motion)| (*copy, shift * *motion)));
        left += part.bounds.width() + MARGIN;
        page = page.union(Rect::new(0.0, 0.0, left, part.bounds.height() + 2.0 * MARGIN));
    }
    let told: Vec<String> = laid.matches.iter().flat_map(|found| found.sentences(unit)).collect();
    page.y1 += TEXT * 2.0;
    let mut picture = SvgPicture::new(page, "The garment as it is sewn", TEXT / AS_ON_PAPER, Letters::Haloed);
    told.iter().for_each(|sentence| picture.describe(sentence));
    for (number, (copy, motion)) in placed.iter().enumerate() {
        let (cloth, lines) = drawn(task, laid, *copy, *motion);
        picture.add_cut_out(&format!("piece-{number}"), &lines.1, &cloth);
        picture.add_group(&[("data-name", task.copies[laid.lying[*copy].copy].to_string())], &[&lines.0]);
    }
    let mut below = Drawing::default();
    let words =
        "Seen from outside, unrolled: pieces joined along their matched seams; what curves away gapes";
    let at = Point::new(MARGIN, page.y1 - TEXT);
    below.labels.push(Label::from_left(words, at, TEXT, Layer::Labels));
    picture.add_group(&[], &[&below]);
    Ok(picture.finish())
}

/// The pairs of copies that are sewn to each other on the cloth.
fn links(task: &LayTask<'_>, laid: &Laid) -> Result<Vec<Link>, LayError> {
    let matched: Vec<SeamId> = task.seams.iter().map(|seam| seam.id).collect();
    let seams = if matched.is_empty() { task.pattern.seam_ids().collect() } else { matched };
    let lying: Vec<Lying<'_>> = laid.lying.iter().map(|lying| task.copy_lying(lying)).collect();
    let mut links: Vec<Link> = Vec::new();
    for seam in seams {
        let alike = seam_alike(task.pattern, task.stock, seam, &lying)?;
        let mut of_seam: Vec<Link> = Vec::new();
        let places = alike.sewings.iter().flat_map(|sewing| &sewing.places);
        let apart = |place: &&PlaceAlike| place.lying[0] != place.lying[1];
        for place in places.filter(apart) {
            match of_seam.iter_mut().find(|link| link.lying == place.lying) {
                Some(link) => link.places.push(place.points),
                None => of_seam.push(Link { lying: place.lying, places: vec![place.points] }),
            }
        }
        links.extend(of_seam);
    }
    links.sort_by_key(|link| std::cmp::Reverse(link.places.len()));
    Ok(links)
}

/// The parts: from the largest copy on, whatever can be joined to it along the longest seams first.
fn parts(task: &LayTask<'_>, laid: &Laid, links: &[Link]) -> Vec<Part> {
    let mut left: Vec<usize> =
        (0..laid.lying.len()).filter(|copy| links.iter().any(|link| link.lying.contains(copy))).collect();
    let area = |copy: usize| laid.lying[copy].path(task).area().abs();
    left.sort_by(|a, b| area(*b).total_cmp(&area(*a)));
    let mut parts = Vec::new();
    while !left.is_empty() {
        let root = left.remove(0);
        let mut copies = vec![(root, upright(task, laid, root))];
        let next = |copies: &[(usize, Affine)], left: &[usize]| {
            links.iter().find_map(|link| {
                let known = copies.iter().find(|(copy, _)| link.lying.contains(copy))?;
                let side = usize::from(link.lying[0] != known.0);
                let other = link.lying[1 - side];
                left.contains(&other)
                    .then(|| joined(link, side, known.1))
                    .flatten()
                    .map(|motion| (other, motion))
            })
        };
        while let Some((copy, motion)) = next(&copies, &left) {
            left.retain(|known| *known != copy);
            copies.push((copy, motion));
        }
        let bounds = copies
            .iter()
            .map(|(copy, motion)| around(&(*motion * laid.lying[*copy].path(task))))
            .reduce(|a, b| a.union(b));
        parts.push(Part { copies, bounds: bounds.unwrap_or_default() });
    }
    parts
}

/// The turn that makes a copy's grain run down.
fn upright(task: &LayTask<'_>, laid: &Laid, copy: usize) -> Affine {
    let lying = &laid.lying[copy];
    let piece = task.pattern.find(&task.copies[lying.copy].piece);
    let grain = piece.map_or(Vec2::new(0.0, 1.0), |piece| lying.motion.apply_vec(piece.grain_or_down()));
    Affine::rotate(grain.x.atan2(grain.y))
}

/// Where the other copy of a link lies when the one of a side lies so; none where it cannot be laid on its stitching line.
fn joined(link: &Link, side: usize, known: Affine) -> Option<Affine> {
    let pairs: Vec<(Point, Point)> =
        link.places.iter().map(|places| (places[1 - side], known * places[side])).collect();
    let long = pairs.windows(2).map(|pair| pair[0].1.distance(pair[1].1)).sum::<f64>();
    let motion = laid_on(&pairs)?;
    let off = pairs.iter().map(|(from, to)| (motion * *from).distance_squared(*to)).sum::<f64>();
    let gapes = (off / pairs.len() as f64).sqrt();
    (long >= LEAST_MATCH && gapes <= SEWN_GAPES).then_some(motion)
}

/// The turn and shift that lay places on others with the least sum of squares: the turn is the angle of the sum of the
/// products of both, seen from their middles.
fn laid_on(pairs: &[(Point, Point)]) -> Option<Affine> {
    let count = pairs.len() as f64;
    if pairs.is_empty() {
        return None;
    }
    let middle = |of: fn(&(Point, Point)) -> Point| {
        pairs.iter().fold(Vec2::ZERO, |sum, pair| sum + of(pair).to_vec2()) / count
    };
    let (from, to) = (middle(|pair| pair.0), middle(|pair| pair.1));
    let (along, across) = pairs.iter().fold((0.0, 0.0), |(along, across), (a, b)| {
        let (a, b) = (a.to_vec2() - from, b.to_vec2() - to);
        (along + a.dot(b), across + a.cross(b))
    });
    Some(Affine::translate(to) * Affine::rotate(across.atan2(along)) * Affine::translate(-from))
}

/// The cloth of a copy, and its lines and outline, where it lies in the picture.
fn drawn(task: &LayTask<'_>, laid: &Laid, copy: usize, motion: Affine) -> (Drawing, (Drawing, BezPath)) {
    let lying = &laid.lying[copy];
    let of = &task.copies[lying.copy];
    let surface = Surface { stock: task.stock, ground: &task.grounds[lying.ground] };
    let mut outline = BezPath::new();
    let mut lines = Drawing::default();
    if let Some(piece) = task.pattern.find(&of.piece) {
        let fold = piece.fold().map(|fold| &piece.edge(fold).curve).filter(|_| of.halves == Halves::Opened);
        let image = fold.and_then(|fold| Motion::mirror_in(fold.start(), fold.end()).ok());
        for half in [Some(Affine::IDENTITY), image.map(|image| image.to_affine())].into_iter().flatten() {
            let to_page = motion * lying.motion.to_affine() * half;
            outline.extend(to_page * piece.outline().to_path());
            for id in piece.edge_ids().filter(|id| piece.fold() != Some(*id)) {
                lines.stroke(LineKind::CuttingLine, to_page * piece.edge(id).curve.to_path());
            }
        }
    }
    let within = around(&(motion.inverse() * outline.clone())).inflate(1.0, 1.0);
    let mut cloth = surface.patches(within, Strength::Full);
    for line in surface.pattern_lines(within.y1) {
        cloth.line(LineKind::Stripe, line.from, line.to);
    }
    let (name, room) = (of.to_string(), outline.bounding_box());
    let size = (room.width() * NAME / Font::get().width(&name)).min(TEXT);
    let at = Label::base_of(room.center(), Vec2::new(1.0, 0.0), size);
    lines.labels.push(Label::level(name, at, size, Layer::Labels));
    (cloth.moved(motion), (lines, outline))
}
