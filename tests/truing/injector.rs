//! Faults put into the shipped sheets, one at a time: what was changed, by how much, and where it must be told.

use kurbo::{ParamCurve, PathSeg};
use retrue::curve::{Curve, Motion, Point, Vec2};
use retrue::pattern::{
    Cut, DartShape, Edge, EdgeEnd, EdgeId, EdgeRef, Finish, LevelName, NewSeam, Pattern, Piece, Purpose,
    RecordedStep, Seam, Side, Twins,
};
use retrue::truing::{self, FindingKind, Meeting};
use retrue::units::Length;

use crate::{cut_faults, derived_faults, opening_faults};

/// A class of faults that `check` must tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Forgotten,
    WrongEnds,
    SeamLength,
    NotchDrift,
    NotchAlone,
    KinkAtFold,
    KinkAcrossSeam,
    DartLegs,
    CutEnds,
    AllowanceDiffers,
    AllowanceLost,
    OffGrain,
    OffSelvedge,
    MissingGrainline,
    LevelsApart,
    CutCount,
    CutMirror,
    LiningOnShell,
    GirthChanged,
    OpeningUneven,
    OpeningEased,
    OpeningUnfaced,
    LapUnheld,
    DerivedReshaped,
    DerivedRemarked,
    OriginalChanged,
    ButtedApart,
}

impl Class {
    pub const ALL: [Class; 27] = [
        Class::Forgotten,
        Class::WrongEnds,
        Class::SeamLength,
        Class::NotchDrift,
        Class::NotchAlone,
        Class::KinkAtFold,
        Class::KinkAcrossSeam,
        Class::DartLegs,
        Class::CutEnds,
        Class::AllowanceDiffers,
        Class::AllowanceLost,
        Class::OffGrain,
        Class::OffSelvedge,
        Class::MissingGrainline,
        Class::LevelsApart,
        Class::CutCount,
        Class::CutMirror,
        Class::LiningOnShell,
        Class::GirthChanged,
        Class::OpeningUneven,
        Class::OpeningEased,
        Class::OpeningUnfaced,
        Class::LapUnheld,
        Class::DerivedReshaped,
        Class::DerivedRemarked,
        Class::OriginalChanged,
        Class::ButtedApart,
    ];

    /// The kind of finding that tells it.
    pub fn kind(self) -> FindingKind {
        match self {
            Class::Forgotten => FindingKind::SewnToNothing,
            Class::WrongEnds => FindingKind::WrongEnds,
            Class::SeamLength => FindingKind::SeamLength,
            Class::NotchDrift => FindingKind::NotchDrift,
            Class::NotchAlone => FindingKind::NotchWithoutPartner,
            Class::KinkAtFold | Class::KinkAcrossSeam => FindingKind::Kink,
            Class::DartLegs => FindingKind::DartLegs,
            Class::CutEnds => FindingKind::CutEnds,
            Class::AllowanceDiffers => FindingKind::AllowanceDiffers,
            Class::AllowanceLost => FindingKind::AllowanceNarrow,
            Class::OffGrain => FindingKind::OffGrain,
            Class::OffSelvedge => FindingKind::OffSelvedge,
            Class::MissingGrainline => FindingKind::MissingGrainline,
            Class::LevelsApart => FindingKind::LevelsApart,
            Class::CutCount => FindingKind::CutCount,
            Class::CutMirror => FindingKind::CutMirror,
            Class::LiningOnShell => FindingKind::LiningOnShell,
            Class::GirthChanged => FindingKind::GirthChanged,
            Class::OpeningUneven | Class::OpeningEased => FindingKind::OpeningUneven,
            Class::OpeningUnfaced => FindingKind::OpeningUnfaced,
            Class::LapUnheld => FindingKind::LapUnheld,
            Class::DerivedReshaped | Class::DerivedRemarked | Class::OriginalChanged => {
                FindingKind::NotFollowed
            }
            Class::ButtedApart => FindingKind::ButtedApart,
        }
    }

    /// All faults of the class that can be put into a pattern.
    pub fn faults(self, pattern: &Pattern) -> Vec<Fault> {
        match self {
            Class::Forgotten => forgotten(pattern),
            Class::WrongEnds => wrong_ends(pattern),
            Class::SeamLength => seam_lengths(pattern),
            Class::NotchDrift => notches_moved(pattern),
            Class::NotchAlone => notches_lost(pattern),
            Class::KinkAtFold => kinks_at_folds(pattern),
            Class::KinkAcrossSeam => kinks_across_seams(pattern),
            Class::DartLegs => dart_legs(pattern),
            Class::CutEnds => cut_faults::corners_set(pattern),
            Class::AllowanceDiffers => cut_faults::allowances_changed(pattern),
            Class::AllowanceLost => cut_faults::allowances_lost(pattern),
            Class::OffGrain => off_grain(pattern),
            Class::OffSelvedge => cut_faults::off_selvedge(pattern),
            Class::MissingGrainline => grainlines_lost(pattern),
            Class::LevelsApart => levels_moved(pattern),
            Class::CutCount => cut(pattern, |cut| Cut { copies: cut.copies * 2, twins: Twins::Mirrored }),
            Class::CutMirror => cut(pattern, |cut| Cut { twins: Twins::Same, ..cut }),
            Class::LiningOnShell => linings(pattern),
            Class::GirthChanged => girths(pattern),
            Class::OpeningUneven => opening_faults::uneven(pattern),
            Class::OpeningEased => opening_faults::eased(pattern),
            Class::OpeningUnfaced => opening_faults::unfaced(pattern),
            Class::LapUnheld => opening_faults::unheld(pattern),
            Class::DerivedReshaped => derived_faults::reshaped(pattern),
            Class::DerivedRemarked => derived_faults::remarked(pattern),
            Class::OriginalChanged => derived_faults::unfollowed(pattern),
            Class::ButtedApart => opening_faults::butted_apart(pattern),
        }
    }
}

/// A fault.
pub struct Fault {
    /// The element that was changed.
    pub place: String,
    /// By how much; one where it has no size.
    pub size: f64,
    /// The pattern with the fault.
    pub pattern: Pattern,
    /// The finding must name one of these.
    pub at: Vec<String>,
    /// Why it is none after all, so that it must not be told.
    pub is_none: Option<&'static str>,
}

pub fn fault(
    pattern: Pattern,
    place: impl ToString,
    size: f64,
    at: impl IntoIterator<Item = String>,
) -> Fault {
    let place = place.to_string();
    let at: Vec<String> = at.into_iter().collect();
    let at = if at.is_empty() { vec![place.clone()] } else { at };
    Fault { place, size, pattern, at, is_none: None }
}

fn edges_of(seam: &Seam) -> Vec<String> {
    seam.edges().map(|run| run.edge.to_string()).collect()
}

fn with_seams(pattern: &Pattern, seams: Vec<Seam>) -> Pattern {
    let mut pattern = pattern.clone();
    pattern.set_seams(seams).unwrap();
    pattern
}

/// The pattern with one piece changed.
pub fn with_piece(pattern: &Pattern, name: &Piece, change: impl FnOnce(&mut Piece)) -> Pattern {
    let mut pattern = pattern.clone();
    change(pattern.piece_mut(name.name()).unwrap());
    pattern
}

/// The pattern with an edge drawn otherwise; none where the outline then crosses itself.
fn with_edge(pattern: &Pattern, piece: &Piece, id: EdgeId, curve: Curve) -> Option<Pattern> {
    with_curves(pattern, piece, &[(id, curve)])
}

/// The pattern with edges of a piece drawn otherwise; none where the outline then crosses itself.
pub fn with_curves(pattern: &Pattern, piece: &Piece, curves: &[(EdgeId, Curve)]) -> Option<Pattern> {
    let edges = piece.edge_ids().map(|id| {
        let drawn = curves.iter().find(|(other, _)| *other == id).map(|(_, curve)| curve.clone());
        let edge = piece.edge(id);
        Edge { curve: drawn.unwrap_or_else(|| edge.curve.clone()), ..edge.clone() }
    });
    let mut new = Piece::new(piece.name().clone(), edges.collect()).ok()?;
    (new.cut, new.cloth, new.purpose) = (piece.cut, piece.cloth.clone(), piece.purpose);
    new.derived.clone_from(&piece.derived);
    new.style_lines.clone_from(&piece.style_lines);
    new.darts.clone_from(&piece.darts);
    new.notches.clone_from(&piece.notches);
    new.levels.clone_from(&piece.levels);
    new.points.clone_from(&piece.points);
    new.grainline.clone_from(&piece.grainline);
    new.corners.clone_from(&piece.corners);
    let mut pattern = pattern.clone();
    pattern.replace_piece(piece.name(), vec![new]).unwrap();
    Some(pattern)
}

fn forgotten(pattern: &Pattern) -> Vec<Fault> {
    let without = |seam: &Seam| {
        let seams = pattern.seams().iter().filter(|other| *other != seam).cloned().collect();
        fault(with_seams(pattern, seams), seam.name(), 1.0, edges_of(seam))
    };
    pattern.seams().iter().map(without).collect()
}

fn wrong_ends(pattern: &Pattern) -> Vec<Fault> {
    let others = pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror());
    let turned = |turned: &Seam| {
        let seams = pattern.seams().iter().map(|seam| match seam == turned {
            true => Seam { second: seam.second.reversed(), ..seam.clone() },
            false => seam.clone(),
        });
        fault(with_seams(pattern, seams.collect()), turned.name(), 1.0, edges_of(turned))
    };
    others.map(turned).collect()
}

fn seam_lengths(pattern: &Pattern) -> Vec<Fault> {
    let others = pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror());
    let eased = |eased: &Seam| {
        [0.8, 1.4, 2.0, 8.0, 80.0].map(|by| {
            let seams = pattern.seams().iter().map(|seam| match seam == eased {
                true => Seam { ease: Length::from_mm(seam.ease.mm() + by), ..seam.clone() },
                false => seam.clone(),
            });
            fault(with_seams(pattern, seams.collect()), eased.name(), by, edges_of(eased))
        })
    };
    others.flat_map(eased).collect()
}

fn notches_moved(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces() {
        for (i, notch) in piece.notches.iter().enumerate() {
            let id = piece.find_edge(&notch.edge).unwrap();
            let length = piece.edge(id).curve.length();
            for by in [1.0, 3.0, 10.0, 19.0, 21.0, 45.0, 90.0] {
                let to =
                    [notch.at + by, notch.at - by].into_iter().find(|at| (1.0..length - 1.0).contains(at));
                let Some(to) = to else { continue };
                let moved = with_piece(pattern, piece, |piece| piece.notches[i].at = to);
                faults.push(fault(moved, format!("{}.{}", piece.name(), notch.name), by, []));
            }
        }
    }
    faults
}

/// A notch that is not there: its partner has none.
fn notches_lost(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces() {
        for (i, notch) in piece.notches.iter().enumerate() {
            let lost = with_piece(pattern, piece, |piece| drop(piece.notches.remove(i)));
            let edge = EdgeRef::new(piece.name().clone(), notch.edge.clone());
            let partners = pattern.seams_of(&edge).flat_map(|seam| edges_of(pattern.seam(seam)));
            faults.push(fault(lost, format!("{}.{}", piece.name(), notch.name), 1.0, partners));
        }
    }
    faults
}

/// An edge that turns by some degrees over the last tenth of its last stretch, or the first of its first.
fn bent(curve: &Curve, end: EdgeEnd, degrees: f64) -> Curve {
    let (curve, sign) = match end {
        EdgeEnd::Last => (curve.clone(), 1.0),
        EdgeEnd::First => (curve.reversed(), -1.0),
    };
    let mut segments = curve.segments().to_vec();
    let last = segments.pop().unwrap();
    let (kept, mut tail) = (last.subsegment(0.0..0.9), last.subsegment(0.9..1.0).to_cubic());
    if matches!(last, PathSeg::Line(_)) {
        (tail.p1, tail.p2) = (tail.p0.lerp(tail.p3, 1.0 / 3.0), tail.p0.lerp(tail.p3, 2.0 / 3.0));
    }
    let turn = kurbo::Affine::rotate_about((sign * degrees).to_radians(), tail.p3);
    tail.p2 = turn * tail.p2;
    segments.extend([kept, PathSeg::Cubic(tail)]);
    let bent = Curve::new(segments).unwrap();
    if end == EdgeEnd::Last { bent } else { bent.reversed() }
}

const TURNS: [f64; 5] = [6.0, 12.0, 20.0, 35.0, 60.0];

fn kinks_at_folds(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces() {
        for fold in piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Fold) {
            for (id, end) in [(piece.previous(fold), EdgeEnd::Last), (piece.next(fold), EdgeEnd::First)] {
                let place = piece.edge_ref(id);
                faults.extend(TURNS.into_iter().filter_map(|degrees| {
                    let bent = bent(&piece.edge(id).curve, end, degrees / 2.0);
                    Some(fault(with_edge(pattern, piece, id, bent)?, &place, degrees, []))
                }));
            }
        }
    }
    faults
}

fn kinks_across_seams(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for walk in truing::walk_seams(pattern).unwrap() {
        let seam = pattern.seam(walk.seam);
        for beyond in walk.ends.iter().filter(|end| end.meeting == Meeting::Continue).map(|end| &end.beyond) {
            let (piece, id) = pattern.edge(&beyond.0).unwrap();
            let in_seam = |other: EdgeId| seam.edges().any(|run| run.edge.same_edge(&piece.edge_ref(other)));
            let end = if in_seam(piece.previous(id)) { EdgeEnd::First } else { EdgeEnd::Last };
            let at = || [beyond.0.to_string(), beyond.1.to_string()];
            faults.extend(TURNS.into_iter().filter_map(|degrees| {
                let bent = bent(&piece.edge(id).curve, end, degrees);
                let place = format!("{} across {}", beyond.0, walk.name);
                Some(fault(with_edge(pattern, piece, id, bent)?, place, degrees, at()))
            }));
        }
    }
    faults
}

fn dart_legs(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces() {
        for (i, dart) in piece.darts.iter().enumerate() {
            let DartShape::Open { legs, .. } = &dart.shape else { continue };
            let tip = legs.0.end();
            let along = (legs.1.start() - legs.0.start()).normalize();
            for by in [15.0, 25.0, 40.0] {
                let moved = with_piece(pattern, piece, |piece| {
                    if let DartShape::Open { legs, .. } = &mut piece.darts[i].shape {
                        let to = tip + along * by;
                        legs.0 = Curve::line(legs.0.start(), to).unwrap();
                        legs.1 = Curve::line(legs.1.start(), to).unwrap();
                    }
                });
                faults.push(fault(moved, format!("{}.{}", piece.name(), dart.name), by, []));
            }
        }
    }
    faults
}

/// A new seam's grain is turned away from its edge.
fn off_grain(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces().filter(|piece| piece.grainline.is_some()) {
        for id in piece.edge_ids().filter(|id| piece.edge(*id).finish == Finish::Seam) {
            let edge = piece.edge_ref(id);
            let chord = piece.edge(id).curve.end() - piece.edge(id).curve.start();
            for degrees in [5.0_f64, 15.0, 25.0, 44.0] {
                let turned = Vec2::from_angle(chord.atan2() + degrees.to_radians()) * 50.0;
                let mut changed = with_piece(pattern, piece, |piece| {
                    let grain = piece.grainline.as_mut().unwrap();
                    grain.end = grain.start + turned;
                });
                let new_seams = vec![NewSeam { first: edge.clone(), second: edge.clone() }];
                changed.record.steps.push(RecordedStep { new_seams, ..Default::default() });
                faults.push(fault(changed, &edge, degrees, []));
            }
        }
    }
    faults
}

fn grainlines_lost(pattern: &Pattern) -> Vec<Fault> {
    let lost = |piece: &Piece| {
        fault(with_piece(pattern, piece, |piece| piece.grainline = None), piece.name(), 1.0, [])
    };
    pattern.pieces().map(lost).collect()
}

/// The end of a level is moved along the seam at which it ends, where the other side has the level, too.
fn levels_moved(pattern: &Pattern) -> Vec<Fault> {
    let mut faults = Vec::new();
    for seam in pattern.seams().iter().filter(|seam| !seam.is_to_own_mirror()) {
        for run in Side::BOTH.into_iter().flat_map(|side| seam.side(side).edges()) {
            let (piece, id) = pattern.edge(&run.edge).unwrap();
            let curve = &piece.edge(id).curve;
            let other = if seam.first.edges().contains(run) { &seam.second } else { &seam.first };
            let goes_on = |name: &LevelName| {
                let pieces = other.edges().iter().filter_map(|run| pattern.find(&run.edge.piece));
                pieces.into_iter().any(|piece| piece.levels.iter().any(|level| level.name == *name))
            };
            for (i, level) in piece.levels.iter().enumerate().filter(|(_, level)| goes_on(&level.name)) {
                let (from, to) = level.stretches[0];
                let Some(at_start) = [(from, true), (to, false)]
                    .into_iter()
                    .find_map(|(end, is_start)| (curve.nearest(end).distance < 0.5).then_some(is_start))
                else {
                    continue;
                };
                let foot = curve.nearest(if at_start { from } else { to }).at;
                for by in [5.0, 15.0, 40.0] {
                    let on = [foot + by, foot - by]
                        .into_iter()
                        .find(|at| (1.0..curve.length() - 1.0).contains(at));
                    let Some(on) = on else { continue };
                    let end: Point = curve.point_at(on);
                    let moved = with_piece(pattern, piece, |piece| {
                        let stretch = &mut piece.levels[i].stretches[0];
                        *(if at_start { &mut stretch.0 } else { &mut stretch.1 }) = end;
                    });
                    let place = format!("{}.{}", piece.name(), level.name);
                    faults.push(fault(moved, place, by, [run.edge.to_string()]));
                }
            }
        }
    }
    faults
}

fn cut(pattern: &Pattern, change: fn(Cut) -> Cut) -> Vec<Fault> {
    let mut faults = Vec::new();
    for piece in pattern.pieces().filter(|piece| piece.cut != change(piece.cut)) {
        let mut changed = vec![change(piece.cut)];
        if piece.cut.copies == 2 && changed[0].copies > 2 {
            changed.push(Cut::ONE);
        }
        for cut in changed {
            let of_piece = |seam: &&Seam| seam.edges().any(|run| run.edge.piece == *piece.name());
            let at = pattern.seams().iter().filter(of_piece).flat_map(edges_of);
            faults.push(fault(with_piece(pattern, piece, |piece| piece.cut = cut), piece.name(), 1.0, at));
        }
    }
    faults
}

/// A seam of two linings is sewn to what the shell has there, in place of the lining or besides it.
fn linings(pattern: &Pattern) -> Vec<Fault> {
    let is_lining = |edge: &EdgeRef| pattern.find(&edge.piece).unwrap().purpose == Purpose::Lining;
    let mut faults = Vec::new();
    for lining in pattern.seams().iter().filter(|seam| seam.edges().all(|run| is_lining(&run.edge))) {
        for shell in pattern.seams().iter().filter(|seam| seam.edges().all(|run| !is_lining(&run.edge))) {
            for side in Side::BOTH {
                let name = |seam: &Seam| seam.side(side).edges()[0].edge.edge.clone();
                if name(lining) != name(shell) {
                    continue;
                }
                for second in [shell.side(side).clone(), shell.side(side).reversed()] {
                    let wrong = Seam { second, ease: Length::ZERO, ..lining.clone() };
                    let besides = [pattern.seams(), std::slice::from_ref(&wrong)].concat();
                    let instead: Vec<Seam> = besides.iter().filter(|seam| *seam != lining).cloned().collect();
                    for seams in [besides, instead] {
                        faults.push(fault(with_seams(pattern, seams), wrong.name(), 1.0, edges_of(&wrong)));
                    }
                }
            }
        }
    }
    faults
}

fn girths(pattern: &Pattern) -> Vec<Fault> {
    let ledger = truing::ledger(pattern);
    let mut faults = Vec::new();
    for (i, (level, _)) in ledger.girths.iter().enumerate() {
        for by in [0.8, 2.0, 10.0, -82.0] {
            let mut changed = pattern.clone();
            let mut then = ledger.clone();
            then.girths[i].1 += by;
            changed.record.ledger = Some(then);
            faults.push(fault(changed, level, by.abs(), []));
        }
    }
    faults
}

/// The pieces as outlines with one end moved: none can be read.
pub fn broken_outlines(pattern: &Pattern) -> usize {
    let mut broken = 0;
    for piece in pattern.pieces() {
        for id in piece.edge_ids() {
            let moved = piece.edge(id).curve.moved(&Motion::shift(Vec2::new(3.0, 4.0)));
            assert!(with_edge(pattern, piece, id, moved).is_none(), "{}", piece.edge_ref(id));
            broken += 1;
        }
    }
    broken
}
