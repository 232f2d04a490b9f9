//! The halves of the body that lie on the cloth, and how they hang together: sewn along a seam, or one across a fold.

use kurbo::{Affine, Point, Shape, Vec2};

use crate::cloth::layout::{Laid, LayTask, LyingCopy, Serving, places_sewn};
use crate::pattern::{EdgeId, Finish, Pattern, Piece, Seam, SeamId, Seen, seen};
use crate::tolerance::{LEAST_MATCH, SAME_POINT, SEWN_GAPES};

/// All halves of copies that are sewn to others, and what holds them together.
pub(super) struct SewnHalves<'a> {
    pub(super) task: &'a LayTask<'a>,
    pub(super) laid: &'a Laid,
    pub(super) all: Vec<Serving>,
    /// Those that were to be matched first, and of the others the longest.
    pub(super) joints: Vec<JoinedHalves>,
}

/// What holds two halves together.
pub(super) struct JoinedHalves {
    pub(super) halves: [usize; 2],
    pub(super) by: JoinedBy,
}

/// How two halves hang together.
pub(super) enum JoinedBy {
    /// They are one piece of cloth.
    Fold,
    /// A seam, with the places that meet, on the cloth.
    Seam(Vec<[Point; 2]>),
}

impl<'a> SewnHalves<'a> {
    pub(super) fn of(task: &'a LayTask<'a>, laid: &'a Laid) -> SewnHalves<'a> {
        let mut halves = SewnHalves { task, laid, all: Vec::new(), joints: Vec::new() };
        let lying: Vec<LyingCopy<'_>> = laid.lying.iter().map(|lying| task.copy_lying(lying)).collect();
        let wished: Vec<SeamId> = task.seams.iter().map(|seam| seam.id).collect();
        let others = task.pattern.seam_ids().filter(|id| !wished.contains(id));
        let least = least_seen(task.pattern);
        let others: Vec<SeamId> = others.filter(|id| halves.is_seen(task.pattern.seam(*id), least)).collect();
        for seams in [wished, others] {
            let known = halves.joints.len();
            seams.into_iter().for_each(|seam| halves.add_seam(seam, &lying));
            halves.joints[known..].sort_by_key(|joint| std::cmp::Reverse(joint.count()));
        }
        halves.add_folds();
        halves
    }

    pub(super) fn piece(&self, half: usize) -> Option<&'a Piece> {
        let copy = &self.task.copies[self.laid.lying[self.all[half].lying].copy];
        self.task.pattern.find(&copy.piece)
    }

    /// Whether all pieces of a seam are seen as much as that when the garment is worn.
    fn is_seen(&self, seam: &Seam, least: Seen) -> bool {
        let pattern = self.task.pattern;
        let mut pieces = seam.edges().filter_map(|run| pattern.find(&run.edge.piece));
        pieces.all(|piece| seen(pattern, piece) >= least)
    }

    /// Adds what a seam joins; one that cannot be walked joins nothing.
    fn add_seam(&mut self, seam: SeamId, lying: &[LyingCopy<'_>]) {
        let first = self.joints.len();
        for place in places_sewn(self.task.pattern, seam, lying).unwrap_or_default() {
            let halves = place.sides.map(|(serving, _)| self.known(serving));
            let points = place.sides.map(|(_, point)| point);
            if halves[0] == halves[1] {
                continue;
            }
            let known = self.joints[first..].iter_mut().find(|joint| joint.halves == halves);
            match known.map(|joint| &mut joint.by) {
                Some(JoinedBy::Seam(places)) => places.push(points),
                _ => self.joints.push(JoinedHalves { halves, by: JoinedBy::Seam(vec![points]) }),
            }
        }
    }

    fn known(&mut self, serving: Serving) -> usize {
        self.all.iter().position(|known| *known == serving).unwrap_or_else(|| {
            self.all.push(serving);
            self.all.len() - 1
        })
    }

    fn add_folds(&mut self) {
        for second in 0..self.all.len() {
            for first in 0..second {
                let [a, b] = [first, second].map(|half| self.all[half]);
                let Some(piece) = self.piece(first).filter(|_| a.lying == b.lying) else { continue };
                let Some(fold) = piece.fold().map(|fold| &piece.edge(fold).curve) else { continue };
                let is_one = [fold.start(), fold.end()]
                    .iter()
                    .all(|end| a.motion.apply(*end).distance(b.motion.apply(*end)) <= SAME_POINT);
                if is_one {
                    self.joints.push(JoinedHalves { halves: [first, second], by: JoinedBy::Fold });
                }
            }
        }
    }

    /// Whether two halves are the left and the right one of a piece.
    pub(super) fn are_left_and_right(&self, [a, b]: [usize; 2]) -> bool {
        let name = |half: usize| self.piece(half).map(Piece::name);
        name(a) == name(b) && self.all[a].motion.is_mirrored() != self.all[b].motion.is_mirrored()
    }

    /// Whether the other half of the body has its like.
    pub(super) fn has_partner(&self, half: usize) -> bool {
        (0..self.all.len()).any(|other| self.are_left_and_right([half, other]))
    }

    /// The turn that makes the grain of a half run down, and its hem lie below.
    pub(super) fn upright(&self, half: usize) -> Affine {
        let Some(piece) = self.piece(half) else { return Affine::IDENTITY };
        let grain = piece.grain_or_down();
        let is_up = match below(piece) {
            Some(below) => grain.dot(below) < 0.0,
            None => grain.y < 0.0,
        };
        let down = self.all[half].motion.apply_vec(if is_up { -grain } else { grain });
        Affine::rotate(down.x.atan2(down.y))
    }

    /// The middle of what holds a half and the one across from it together, on the half as it lies on the cloth.
    pub(super) fn middle_of(&self, joint: &JoinedHalves, half: usize) -> Option<Point> {
        let side = joint.halves.iter().position(|own| *own == half)?;
        match &joint.by {
            JoinedBy::Fold => {
                let piece = self.piece(half)?;
                let fold = &piece.edge(piece.fold()?).curve;
                Some(self.all[half].motion.apply(fold.start().midpoint(fold.end())))
            }
            JoinedBy::Seam(places) => {
                let sum = places.iter().fold(Vec2::ZERO, |sum, places| sum + places[side].to_vec2());
                (!places.is_empty()).then(|| (sum / places.len() as f64).to_point())
            }
        }
    }

    /// How large the copy of a half is, mm².
    pub(super) fn area(&self, half: usize) -> f64 {
        self.laid.lying[self.all[half].lying].path(self.task).area().abs()
    }
}

/// How much a piece must be seen to be shown: body and sleeves, which have levels; where none has, all that is outside.
fn least_seen(pattern: &Pattern) -> Seen {
    let has_body = pattern.pieces().any(|piece| seen(pattern, piece) == Seen::Body);
    if has_body { Seen::Body } else { Seen::Detail }
}

/// From the middle of a piece to its hem.
fn below(piece: &Piece) -> Option<Vec2> {
    let is_hem = |id: &EdgeId| piece.edge(*id).finish == Finish::Hem;
    let hem = &piece.edge(piece.edge_ids().find(is_hem)?).curve;
    Some(hem.start().midpoint(hem.end()) - piece.bounds().center())
}

impl JoinedHalves {
    fn count(&self) -> usize {
        match &self.by {
            JoinedBy::Fold => 0,
            JoinedBy::Seam(places) => places.len(),
        }
    }

    /// The other half of it and which of the two that is, seen from one.
    pub(super) fn other(&self, half: usize) -> Option<(usize, usize)> {
        let side = self.halves.iter().position(|own| *own == half)?;
        Some((self.halves[1 - side], 1 - side))
    }

    /// How far the half of a side, lying so, is on the mean from where the other one has it along their seam.
    pub(super) fn off(&self, side: usize, known: Affine, lies: Affine) -> Option<Vec2> {
        let JoinedBy::Seam(places) = &self.by else { return None };
        let off = places.iter().map(|places| known * places[1 - side] - lies * places[side]);
        let sum = off.fold(Vec2::ZERO, |sum, off| sum + off);
        (!places.is_empty()).then(|| sum / places.len() as f64)
    }

    /// Where the half of a side lies when the other one lies so; none where it cannot be laid on its stitching line.
    pub(super) fn joined(&self, side: usize, known: Affine) -> Option<Affine> {
        let places = match &self.by {
            JoinedBy::Fold => return Some(known),
            JoinedBy::Seam(places) => places,
        };
        let pairs: Vec<(Point, Point)> =
            places.iter().map(|places| (places[side], known * places[1 - side])).collect();
        let long = pairs.windows(2).map(|pair| pair[0].1.distance(pair[1].1)).sum::<f64>();
        let motion = laid_on(&pairs)?;
        let off = pairs.iter().map(|(from, to)| (motion * *from).distance_squared(*to)).sum::<f64>();
        let gapes = (off / pairs.len() as f64).sqrt();
        (long >= LEAST_MATCH && gapes <= SEWN_GAPES).then_some(motion)
    }
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
