//! Checks of single pieces: folds, grain, and points.

use crate::advice;
use crate::curve::Joint;
use crate::pattern::{Dart, Edge, EdgeEnd, EdgeId, Finish, Grainline, Mouth, Pattern, Piece, Selvedge};
use crate::tolerance::{FINEST_FLATTENING, LEAST_LEFT, MOST_SMOOTHED, SAME_CUT, SAME_POINT, STRAIGHT};
use crate::truing::dart_checks::outside;
use crate::truing::meeting::corner_angle;
use crate::truing::mended::{pointed_at_fold, smoothed_at_join};
use crate::truing::walk_seam::comes_to_point;
use crate::truing::{Finding, FindingKind, Limits, Wanted, Weight};
use crate::units::Length;

/// All that is not true of a piece as it stands for itself, darts apart.
pub(super) fn check(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    check_folds(piece, limits, found);
    check_straight_folds(piece, found);
    if piece.grainline.is_none() {
        let at = piece.name().to_string();
        found.push(Finding::of_count(FindingKind::MissingGrainline, at, 0, 1, Weight::Warning));
    }
    check_joins(piece, limits, found);
    check_joins_within(piece, limits, found);
    check_selvedges(piece, limits, found);
    for point in &piece.points {
        found.extend(outside(piece, point.name.as_str(), point.at));
    }
}

/// An edge that meets a fold runs on in its own mirror image, so it turns there by twice what it is off square. A pointed
/// hem or a V neck is meant where its corner is set to come to a point; no size of the turn says so.
fn check_folds(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    for id in piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Fold) {
        for (end, beyond) in [(EdgeEnd::First, piece.previous(id)), (EdgeEnd::Last, piece.next(id))] {
            let kink = (180.0 - 2.0 * corner_angle(piece, id, end)).abs();
            if kink > limits.kink_degrees && comes_to_point(piece, id, end) == Wanted::Smooth {
                let place =
                    format!("{}.{} at {}", piece.name(), piece.edge(beyond).name, piece.edge(id).name);
                let limit = limits.kink_degrees;
                let finding = Finding::of_angle(FindingKind::Kink, place, kink, limit, Weight::Untrue);
                found.push(finding.mended_by(Some(pointed_at_fold(piece, beyond, id))));
            }
        }
    }
}

/// Where cloth of several pieces was joined, or of one from both ends of an edge, the lines that go on over the old seam
/// were drawn apart and may turn there. A turn that a step can still smooth is a warning that names it.
fn check_joins(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    for id in piece.edge_ids().filter(|id| piece.goes_on(*id)) {
        let (edge, next) = (piece.edge(id), piece.edge(piece.next(id)));
        let (Some(before), Some(after)) = (edge.origins.last(), next.origins.first()) else { continue };
        let drawn_apart = before.edge.piece != after.edge.piece || before.edge.edge == after.edge.edge;
        let kink = (180.0 - corner_angle(piece, id, EdgeEnd::Last)).abs();
        let is_meant = comes_to_point(piece, id, EdgeEnd::Last) == Wanted::Point;
        if drawn_apart && !is_meant && kink > limits.kink_degrees {
            let at = format!("{}.{} at {}", piece.name(), edge.name, next.name);
            let limit = limits.kink_degrees;
            let weight = if kink > MOST_SMOOTHED { Weight::Untrue } else { Weight::Warning };
            let way_out = smoothed_at_join(piece, id).filter(|_| kink <= MOST_SMOOTHED);
            let finding = Finding::of_angle(FindingKind::CornerAtJoin, at, kink, limit, weight);
            found.push(finding.mended_by(way_out));
        }
    }
}

/// The same inside an edge of which stretches of several pieces were made one, as of a free waist: no step smooths that.
fn check_joins_within(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    for edge in piece.edges().iter().filter(|edge| edge.origins.len() > 1) {
        let limit = limits.kink_degrees;
        for (at, kink) in turns_at_joins(piece, edge).into_iter().filter(|(_, kink)| *kink > limit) {
            let place = format!("{}.{}@{}", piece.name(), edge.name, Length::from_mm(at).to_tenths());
            let weight = if kink > MOST_SMOOTHED { Weight::Untrue } else { Weight::Warning };
            let finding = Finding::of_angle(FindingKind::CornerAtJoin, place, kink, limit, weight);
            found.push(finding.mended_by(Some(advice!("draw it smooth on the sheet"))));
        }
    }
}

/// Where an edge turns between two stretches of other pieces: the distance walked, and by how many degrees. What turns at the
/// mouth of a dart is smooth when that is sewn, or not, by another check.
fn turns_at_joins(piece: &Piece, edge: &Edge) -> Vec<(f64, f64)> {
    let mouths: Vec<&Mouth> =
        piece.darts.iter().filter_map(Dart::mouth).filter(|mouth| mouth.edge == edge.name).collect();
    let is_at_mouth = |at: f64| {
        mouths.iter().any(|mouth| (at - mouth.from).abs() <= SAME_CUT || (at - mouth.to).abs() <= SAME_CUT)
    };
    let sewn = |at: f64| {
        let before = mouths.iter().filter(|mouth| mouth.to <= at).map(|mouth| mouth.to - mouth.from);
        at - before.sum::<f64>()
    };
    let whole = sewn(edge.curve.length());
    let lengths: Vec<f64> = edge.origins.iter().map(|origin| (origin.to - origin.from).abs()).collect();
    let bends: Vec<Joint> = edge.curve.joints().into_iter().filter(|bend| !is_at_mouth(bend.at)).collect();
    let pairs = edge.origins.windows(2).enumerate();
    let joined = pairs.filter(|(_, pair)| pair[0].edge.piece != pair[1].edge.piece);
    let turns = joined.filter_map(|(i, _)| {
        // Where an edge was reshaped since, the place lies between what its stretches say from either end.
        let (ahead, behind) = lengths.split_at(i + 1);
        let (from_start, from_end) = (ahead.iter().sum::<f64>(), whole - behind.iter().sum::<f64>());
        let reach = from_start.min(from_end) - SAME_CUT..=from_start.max(from_end) + SAME_CUT;
        let near = bends.iter().filter(|bend| reach.contains(&sewn(bend.at)));
        let bend = near.max_by(|a, b| a.turn.abs().total_cmp(&b.turn.abs()))?;
        Some((bend.at, bend.turn.to_degrees().abs()))
    });
    turns.collect()
}

/// Cloth folds along a straight line only.
fn check_straight_folds(piece: &Piece, found: &mut Vec<Finding>) {
    for edge in piece.edges().iter().filter(|edge| edge.finish == Finish::Fold) {
        let (start, chord) = (edge.curve.start(), edge.curve.end() - edge.curve.start());
        if chord.hypot() <= SAME_POINT || edge.curve.is_straight(STRAIGHT) {
            continue;
        }
        let along = chord.normalize();
        let points = edge.curve.flattened(FINEST_FLATTENING);
        let off = points.iter().map(|point| along.cross(*point - start).abs()).fold(0.0, f64::max);
        let at = format!("{}.{}", piece.name(), edge.name);
        found.push(Finding::of_law(FindingKind::FoldCurved, at, off, Length::from_mm(STRAIGHT)));
    }
}

/// New seams should run along a thread, lengthwise or crosswise: the nearer to the bias, the more they grow. What runs on without a
/// kink is one line, however it is divided, as where a stretch of it is left open; its longest edge names it.
pub(super) fn check_grain(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    for piece in pattern.pieces() {
        let is_new = |id: EdgeId| pattern.is_new_edge(&piece.edge_ref(id));
        let kink = |id: EdgeId| (180.0 - corner_angle(piece, id, EdgeEnd::Last)).abs();
        let runs_on = |id: EdgeId| is_new(piece.next(id)) && kink(id) <= limits.kink_degrees;
        for first in piece.edge_ids().filter(|id| is_new(*id)) {
            let before = piece.previous(first);
            if before != first && is_new(before) && runs_on(before) {
                continue;
            }
            let mut line = vec![first];
            while let Some(last) = line.last().copied().filter(|last| runs_on(*last))
                && piece.next(last) != first
            {
                line.push(piece.next(last));
            }
            let (Some(last), Some(longest)) = (line.last(), longest(piece, &line)) else { continue };
            let Some(off) = piece.line_off_thread(first, *last) else { continue };
            if off.degrees > limits.off_grain_degrees {
                let (at, limit) = (piece.edge_ref(longest).to_string(), limits.off_grain_degrees);
                let kind = FindingKind::OffGrain;
                found.push(Finding::of_angle(kind, at, off.degrees, limit, Weight::Warning));
            }
        }
    }
}

fn longest(piece: &Piece, line: &[EdgeId]) -> Option<EdgeId> {
    let length = |id: &EdgeId| piece.edge(*id).curve.length();
    line.iter().copied().max_by(|a, b| length(a).total_cmp(&length(b)))
}

/// Cloth has a straight selvedge: an edge that lies on it may stray from the line of the grain by no more than a seam may
/// be off.
fn check_selvedges(piece: &Piece, limits: &Limits, found: &mut Vec<Finding>) {
    let Some(grain) = piece.grainline.as_ref().map(Grainline::direction) else { return };
    for edge in piece.edges().iter().filter(|edge| edge.selvedge == Selvedge::Yes) {
        let points = edge.curve.flattened(FINEST_FLATTENING);
        let across = || points.iter().map(|point| grain.cross(*point - edge.curve.start()));
        let strays = across().fold(0.0, f64::max) - across().fold(0.0, f64::min);
        if strays > limits.length.mm() {
            let at = format!("{}.{}", piece.name(), edge.name);
            found.push(Finding::of_length(FindingKind::OffSelvedge, at, strays, limits.length.length()));
        }
    }
}

/// A seam that has hardly any allowance was forgotten, unless no seam of the pattern has one: then they are all to be
/// added when it is cut.
pub(super) fn check_narrow_allowances(pattern: &Pattern, found: &mut Vec<Finding>) {
    let seams = || {
        pattern.pieces().flat_map(|piece| {
            let seams = piece.edges().iter().filter(|edge| edge.finish == Finish::Seam);
            seams.map(move |edge| (piece, edge, edge.cut_allowance().mm()))
        })
    };
    if seams().all(|(_, _, allowance)| allowance < LEAST_LEFT) {
        return;
    }
    let narrow = seams().filter(|(_, _, allowance)| *allowance < LEAST_LEFT);
    found.extend(narrow.map(|(piece, edge, allowance)| {
        Finding::of_narrow(format!("{}.{}", piece.name(), edge.name), allowance)
    }));
}
