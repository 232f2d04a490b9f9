//! The laws of the operations on single pieces, over random pieces and parameters.

use crate::counted::{counted, kept_in};
use crate::panels::{cut_extent, fits_in, written_extent};
use crate::random::block::{Centre, area, draft, folded_draft, width_at};
use crate::random::sewn_length;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;

use retrue::pattern::{
    Cut, EdgeRef, Finish, Pattern, Piece, PieceName, RefusalKind, Seam, Side, Twins, Walk,
};
use retrue::recut::{
    AddBand, CornerWish, Fold, LimitWidth, Notice, OpenCentre, Recut, SetAllowance, SetCorner, SetEdge,
    SetPiece, Split, Step, TrueSeam, TurnGrain, Unfold,
};
use retrue::units::Length;

/// Lengths and areas that are the same but for rounding, mm and mm².
const SAME: f64 = 1e-6;

/// What splitting, folding and their inverses may leave, mm.
const BACK_AGAIN: f64 = 0.01;

fn config() -> ProptestConfig {
    kept_in("tests/proptest-regressions/laws_pieces.txt", 256)
}

fn apply(pattern: &Pattern, step: impl Into<Step>) -> Recut {
    let recut = step.into().apply(pattern).unwrap();
    recut.pattern.assert_sound();
    recut
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn edge_name(name: &str) -> retrue::pattern::EdgeName {
    name.parse().unwrap()
}

fn curve<'a>(piece: &'a Piece, edge: &str) -> &'a retrue::curve::Curve {
    &piece.edge(piece.find_edge(&edge_name(edge)).unwrap()).curve
}

fn difference(pattern: &Pattern, seam: &Seam) -> f64 {
    let length = |side: Side| Walk::of(pattern, seam.side(side)).unwrap().length();
    length(Side::First) - length(Side::Second) - seam.ease.mm()
}

fn seam_of<'a>(pattern: &'a Pattern, edge: &str) -> &'a Seam {
    pattern.seam(pattern.seam_named(&edge.parse().unwrap(), None).unwrap())
}

/// Every seam of a pattern has sides of equal length, ease aside.
fn assert_seams_true(pattern: &Pattern, within: f64) {
    for seam in pattern.seams() {
        let off = difference(pattern, seam);
        assert!(off.abs() <= within, "{} differs by {off} mm", seam.name());
    }
}

proptest! {
    #![proptest_config(config())]

    /// Opening out a half piece and folding it again gives it back, its seams included (law 6).
    #[test]
    fn unfold_then_fold_gives_the_first_piece_back(draft in folded_draft()) {
        let before = draft.pattern();
        let name: PieceName = "front".parse().unwrap();
        let opened = apply(&before, Unfold::of(name.clone())).pattern;
        assert_relative_eq!(area(&before), area(&opened), max_relative = 1e-9);
        prop_assert_eq!(piece(&opened, "front").cut, Cut::ONE);
        assert_seams_true(&opened, draft_ease(&before) + 1e-6);
        for level in ["bust", "hip"] {
            assert_abs_diff_eq!(width_at(&before, level), width_at(&opened, level), epsilon = 1e-6);
            let stretches = &piece(&opened, "front").levels.iter().find(|l| l.name.as_str() == level).unwrap().stretches;
            prop_assert_eq!(stretches.len(), 1, "the level is joined through the centre");
        }
        let opened_front = piece(&opened, "front");
        prop_assert_eq!(opened_front.darts.len(), 2 * piece(&before, "front").darts.len());
        prop_assert_eq!(opened_front.notches.len(), 2 * piece(&before, "front").notches.len());
        let again = apply(&opened, Fold::of(name)).pattern;
        assert_same_piece(piece(&before, "front"), piece(&again, "front"));
        prop_assert_eq!(before.seams().len(), again.seams().len());
        for seam in before.seams() {
            let mirrored = Seam { first: seam.first.mirrored(), second: seam.second.mirrored(), ease: seam.ease };
            prop_assert!(again.seams().iter().any(|other| other.is_same(seam) || other.is_same(&mirrored)), "{}", seam.name());
        }
    }

    /// A centre seam in place of a fold keeps every width and gives each half its own allowance.
    #[test]
    fn open_centre_keeps_widths(draft in folded_draft()) {
        let before = draft.pattern();
        let after = apply(&before, OpenCentre::of("front".parse().unwrap())).pattern;
        assert_abs_diff_eq!(area(&before), area(&after), epsilon = 1e-6);
        for level in ["bust", "hip"] {
            assert_abs_diff_eq!(width_at(&before, level), width_at(&after, level), epsilon = SAME);
        }
        let front = piece(&after, "front");
        prop_assert_eq!(front.cut, Cut { copies: 2, twins: Twins::Mirrored });
        let centre = front.edge(front.find_edge(&edge_name("centre")).unwrap());
        prop_assert_eq!(centre.finish, Finish::Seam);
        prop_assert_eq!(centre.allowance, Length::from_mm(draft.front.allowance));
        let seam = seam_of(&after, "front.centre");
        prop_assert!(seam.is_to_own_mirror());
        let off = difference(&after, seam); prop_assert_eq!(off, 0.0);
        prop_assert!(front.notches.iter().any(|notch| notch.edge.as_str() == "centre"));
        prop_assert!(after.record.new_edges().any(|edge| *edge == "front.centre".parse::<EdgeRef>().unwrap()));
    }

    /// The grain follows the centre, or stands square to it; crosswise grain is square to the centre (NIMI p. 17 [S]).
    #[test]
    fn turn_grain_follows_the_centre_and_changes_nothing_else(draft in draft()) {
        let before = draft.pattern();
        let turned = |to: &str| {
            apply(&before, TurnGrain { piece: "front".parse().unwrap(), to: to.parse().unwrap() }).pattern
        };
        let centre = curve(piece(&before, "front"), "centre");
        let centre = (centre.end() - centre.start()).normalize();
        let grain = |pattern: &Pattern| piece(pattern, "front").grain().unwrap().direction();
        assert_abs_diff_eq!(grain(&turned("lengthwise")).cross(centre), 0.0, epsilon = 1e-9);
        let crosswise = turned("crosswise");
        assert_abs_diff_eq!(grain(&crosswise).dot(centre), 0.0, epsilon = 1e-9);
        let line = piece(&crosswise, "front").grain().unwrap().clone();
        for end in [line.start, line.end] {
            prop_assert!(piece(&crosswise, "front").outline().contains(end), "{:?} {:?}", line, piece(&crosswise, "front").bounds());
        }
        let shoulder = curve(piece(&before, "front"), "shoulder").start_tangent();
        assert_abs_diff_eq!(grain(&turned("shoulder@0% > shoulder@100%")).cross(shoulder), 0.0, epsilon = 1e-6);
        prop_assert_eq!(piece(&before, "front").edges().len(), piece(&crosswise, "front").edges().len());
        prop_assert_eq!(piece(&before, "back"), without_origins(&before, piece(&crosswise, "back")));
    }

    /// set-allowance changes the allowances of the edges chosen and nothing else.
    #[test]
    fn set_allowance_changes_just_the_edges_chosen(draft in draft(), allowance in 0.0..50.0_f64) {
        let before = draft.pattern();
        let allowance = Length::from_mm(allowance);
        let step = SetAllowance { edges: "front.side, *.neck, finish:hem".parse().unwrap(), allowance };
        let after = apply(&before, step).pattern;
        for piece in before.pieces() {
            let now = after.piece(piece.name()).unwrap();
            for (old, new) in piece.edges().iter().zip(now.edges()) {
                let chosen = old.finish == Finish::Hem
                    || old.name.as_str() == "neck"
                    || (piece.name().as_str() == "front" && old.name.as_str() == "side");
                prop_assert_eq!(new.allowance, if chosen { allowance } else { old.allowance });
                prop_assert_eq!(&old.curve, &new.curve);
                prop_assert_eq!(old.finish, new.finish);
            }
        }
        prop_assert_eq!(before.seams(), after.seams());
    }

    /// An edge's and a piece's new name stands wherever they were named, and all else stays.
    #[test]
    fn renaming_follows_everywhere(draft in draft()) {
        let before = draft.pattern();
        let corner = SetCorner { edges: "front.side, front.hem".parse().unwrap(), shape: CornerWish::Square };
        let cornered = apply(&before, corner).pattern;
        let rename = |edge: &str, name: &str| SetEdge { name: Some(name.parse().unwrap()), ..SetEdge::of(edge.parse().unwrap()) };
        let renamed = apply(&apply(&cornered, rename("front.hem", "lower")).pattern, rename("front.side", "flank")).pattern;
        let renamed = apply(&renamed, SetPiece { name: Some("forepart".parse().unwrap()), cloth: Some("companion".parse().unwrap()), ..SetPiece::of("front".parse().unwrap()) }).pattern;
        let (old, new) = (piece(&before, "front"), piece(&renamed, "forepart"));
        prop_assert!(renamed.find(&"front".parse().unwrap()).is_none());
        prop_assert_eq!(new.cloth.as_str(), "companion");
        for (a, b) in old.edges().iter().zip(new.edges()) {
            let expected = match a.name.as_str() { "hem" => "lower", "side" => "flank", other => other };
            prop_assert_eq!(b.name.as_str(), expected);
            prop_assert_eq!(&a.curve, &b.curve);
            prop_assert_eq!(&b.origins[0].edge, &EdgeRef::new(old.name().clone(), a.name.clone()));
        }
        prop_assert_eq!(new.corners.len(), 1);
        prop_assert_eq!(new.corners[0].edges.0.as_str(), "flank");
        prop_assert_eq!(new.darts.iter().filter_map(|dart| dart.mouth()).filter(|mouth| mouth.edge.as_str() == "lower").count(),
            usize::from(draft.front.dart.is_some()));
        let seam = seam_of(&renamed, "forepart.flank");
        prop_assert_eq!(seam.name(), "forepart.flank + back.side");
        prop_assert_eq!(renamed.seams().len(), before.seams().len());
    }

    /// A seam that is taken off and declared again is the same seam, whichever way the pieces were drawn.
    #[test]
    fn sewing_an_edge_again_finds_the_ends_that_meet(draft in draft()) {
        let before = draft.pattern();
        let set = |sewn_to: &str, ease: Option<Length>| SetEdge { sewn_to: Some(sewn_to.parse().unwrap()), ease, ..SetEdge::of("front.side".parse().unwrap()) };
        let apart = apply(&before, set("none", None));
        let told = apart.notices.iter().any(|told| matches!(told, Notice::SeamTakenOff { .. }));
        prop_assert!(told, "the seam taken off is told");
        prop_assert_eq!(apart.pattern.seams().len(), before.seams().len() - 1);
        let again = apply(&apart.pattern, set("back.side", Some(Length::from_mm(3.0)))).pattern;
        let ours = Seam { ease: Length::from_mm(3.0), ..seam_of(&before, "front.side").clone() };
        prop_assert!(seam_of(&again, "front.side").is_same(&ours));
    }
}

/// Law 1: both new seamlines are the same curve, areas add up, every other edge keeps its length.
#[test]
fn split_adds_up_areas_and_keeps_all_other_lengths() {
    counted(config(), (draft(), 0.1..0.5_f64, 0.3..0.9_f64), |(draft, from, to)| {
        let before = draft.pattern();
        let line = format!("shoulder@{:.3}% > hem@{:.3}%", from * 100.0, to * 100.0);
        let step = Split::of("front".parse().unwrap(), line.parse().unwrap());
        let after = match Step::from(step).apply(&before) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                prop_assert_eq!(refusal.kind, RefusalKind::DartInTheWay);
                return Ok(false);
            }
        };
        assert_relative_eq!(area(&before), area(&after), max_relative = 1e-9);
        let parts: Vec<&Piece> =
            after.pieces().filter(|piece| !["back", "binding"].contains(&piece.name().as_str())).collect();
        prop_assert_eq!(parts.len(), 2);
        let (a, b) = (curve(parts[0], "seam"), curve(parts[1], "seam"));
        assert_relative_eq!(a.length(), b.length(), max_relative = 1e-12);
        for edge in piece(&before, "front").edges() {
            let name = edge.name.as_str();
            let now: f64 = parts
                .iter()
                .filter(|part| part.find_edge(&edge.name).is_some())
                .map(|part| sewn_length(part, name))
                .sum();
            assert_abs_diff_eq!(now, sewn_length(piece(&before, "front"), name), epsilon = 1e-5);
        }
        assert_seams_true(&after, 1e-3 + draft_ease(&before));
        for level in ["bust", "hip"] {
            assert_abs_diff_eq!(width_at(&before, level), width_at(&after, level), epsilon = 1e-3);
        }
        Ok(true)
    });
}

/// A band has the depth asked for everywhere, areas add up, and the hem's length is kept.
#[test]
fn a_band_is_evenly_deep() {
    counted(config(), (draft(), 15.0..70.0_f64, prop_oneof!["hem", "neck"]), |(draft, depth, edge)| {
        let before = draft.pattern();
        let step = AddBand {
            piece: "front".parse().unwrap(),
            edge: edge.parse().unwrap(),
            depth: Length::from_mm(depth),
            name: Some("border".parse().unwrap()),
        };
        let after = match Step::from(step).apply(&before) {
            Ok(recut) => recut.pattern,
            Err(refusal) => {
                let expected = match edge.as_str() {
                    "hem" => refusal.kind == RefusalKind::DartInTheWay && !draft.front_is_clear_of_darts(),
                    _ => refusal.kind == RefusalKind::BadWidth,
                };
                prop_assert!(expected, "{}", refusal);
                return Ok(false);
            }
        };
        let (border, rest) = (piece(&after, "border"), piece(&after, "front"));
        assert_relative_eq!(area(&before), area(&after), max_relative = 1e-9);
        assert_abs_diff_eq!(
            sewn_length(border, &edge),
            sewn_length(piece(&before, "front"), &edge),
            epsilon = 1e-6
        );
        let (outer, inner) = (curve(border, &edge).run_on(200.0, 200.0), curve(border, "seam"));
        for i in 0..=200 {
            let at = inner.point_at(inner.length() * f64::from(i) / 200.0);
            assert_abs_diff_eq!(outer.nearest(at).distance, depth, epsilon = 0.02);
        }
        prop_assert!(rest.find_edge(&edge_name(&edge)).is_none());
        prop_assert_eq!(border.fold().is_some(), draft.front.centre == Centre::Fold);
        let off = difference(&after, seam_of(&after, "border.seam"));
        assert_abs_diff_eq!(off, 0.0, epsilon = 1e-6);
        Ok(true)
    });
}

/// Panels keep within the width as they are cut, there are no fewer that would, and their areas add up.
#[test]
fn panels_are_the_fewest_within_the_width() {
    counted(config(), (draft(), 90.0..420.0_f64), |(draft, width)| {
        let before = draft.pattern();
        let step = LimitWidth::of("front".parse().unwrap(), Length::from_mm(width));
        let recut = match Step::from(step).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                let uncuttable =
                    refusal.kind == RefusalKind::DartInTheWay && !draft.front_is_clear_of_darts();
                let concave = refusal.kind == RefusalKind::BadLine && refusal.what.contains("into 3");
                // A shoulder that stands out beyond the side is a panel of its own corner, or none.
                let stands_out = draft.front.neck_width + draft.front.shoulder > draft.front.bust;
                let slants = stands_out && refusal.what.contains("slant so much");
                prop_assert!(uncuttable || concave || slants, "{}", refusal);
                return Ok(false);
            }
        };
        let after = &recut.pattern;
        after.assert_sound();
        let both = 2.0 * draft.front.allowance;
        let whole = cut_extent(piece(&before, "front"));
        // Each panel has its two allowances within the width, and what is between them adds up to the whole.
        let fewest = (((whole - both) / (width - both) - 1e-9).ceil() as usize).max(1);
        let count = recut.notices.iter().find_map(|told| match told {
            Notice::Panels { count, .. } => Some(*count),
            _ => None,
        });
        let count = count.unwrap_or(1);
        prop_assert!(count >= fewest, "{} of {}", count, whole);
        if count > fewest {
            prop_assert!(
                !fits_in(&before, count - 1, width - BACK_AGAIN),
                "{} of {} in {}",
                count,
                whole,
                width
            );
        }
        let panels: Vec<&Piece> =
            after.pieces().filter(|piece| piece.name().as_str().starts_with("front")).collect();
        let copies = piece(&before, "front").cut.copies;
        prop_assert_eq!(panels.iter().map(|panel| panel.cut.copies).sum::<u32>(), count as u32 * copies);
        for panel in &panels {
            let own = written_extent(after, panel);
            prop_assert!(own <= width + 0.01, "{} is {} wide", panel.name(), own);
        }
        assert_relative_eq!(area(&before), area(after), max_relative = 1e-9);
        for level in ["bust", "hip"] {
            assert_abs_diff_eq!(width_at(&before, level), width_at(after, level), epsilon = 1e-3);
        }
        assert_seams_true(after, draft_ease(&before) + 1e-3);
        Ok(true)
    });
}

/// Two sides of nearly equal length come to equal length; by share each gives half, else only the piece named changes.
#[test]
fn true_seam_brings_lengths_together() {
    counted(config(), (draft(), -14.0..14.0_f64, 0..3_usize), |(draft, longer, choice)| {
        let mut draft = draft;
        draft.back.length += longer;
        let before = draft.pattern();
        let sewn = |pattern: &Pattern, name: &str| sewn_length(piece(pattern, name), "side");
        let over = sewn(&before, "front") - sewn(&before, "back");
        let by = [None, Some("front"), Some("back")][choice];
        let step =
            TrueSeam { by: by.map(|by| by.parse().unwrap()), ..TrueSeam::of("front.side".parse().unwrap()) };
        if over.abs() >= 15.0 {
            return Ok(false);
        }
        let recut = apply(&before, step);
        let after = &recut.pattern;
        assert_abs_diff_eq!(sewn(after, "front"), sewn(after, "back"), epsilon = 2e-3);
        let expected = match by {
            None => -over / 2.0,
            Some("front") => -over,
            _ => 0.0,
        };
        assert_abs_diff_eq!(sewn(after, "front") - sewn(&before, "front"), expected, epsilon = 2e-3);
        for name in ["front", "back"] {
            for edge in ["neck", "shoulder", "armhole", "centre"] {
                prop_assert_eq!(curve(piece(after, name), edge), curve(piece(&before, name), edge));
            }
            prop_assert_eq!(&piece(after, name).notches.len(), &piece(&before, name).notches.len());
        }
        let declared: f64 =
            after.record.steps.iter().flat_map(|step| &step.declared).map(|declared| declared.area).sum();
        let net = |pattern: &Pattern| pattern.pieces().map(Piece::net_area).sum::<f64>();
        assert_abs_diff_eq!(net(after) - net(&before), declared, epsilon = 1e-6);
        Ok(true)
    });
}

/// An edge smoothed across a seam runs on without a kink and keeps its corner.
#[test]
fn smoothing_takes_the_kink_out_of_a_hem() {
    counted(config(), (draft(), -20.0..20.0_f64), |(draft, tilt)| {
        let mut draft = draft;
        draft.back.hem_curve += tilt;
        draft.back.dart = None;
        draft.front.dart = None;
        let before = draft.pattern();
        let step = TrueSeam {
            smooth: Some("front.hem".parse().unwrap()),
            ..TrueSeam::of("front.side".parse().unwrap())
        };
        let kink = |pattern: &Pattern| {
            let angle = |name: &str| {
                let piece = piece(pattern, name);
                let (side, hem) = (curve(piece, "side"), curve(piece, "hem"));
                let corner = if side.end() == hem.start() {
                    (-side.end_tangent(), hem.start_tangent())
                } else {
                    (side.start_tangent(), -hem.end_tangent())
                };
                corner.0.dot(corner.1).acos()
            };
            (std::f64::consts::PI - angle("front") - angle("back")).to_degrees()
        };
        if kink(&before).abs() >= 29.0 {
            return Ok(false);
        }
        let after = apply(&before, step).pattern;
        prop_assert!(kink(&after).abs() < 0.02, "{} of {}", kink(&after), kink(&before));
        for name in ["front", "back"] {
            prop_assert_eq!(curve(piece(&after, name), "side"), curve(piece(&before, name), "side"));
            let (old, new) = (curve(piece(&before, name), "hem"), curve(piece(&after, name), "hem"));
            prop_assert!(old.distance_to(new) < 7.5);
        }
        Ok(true)
    });
}

/// The greatest difference that the sides of a pattern's seams have to begin with.
fn draft_ease(pattern: &Pattern) -> f64 {
    pattern.seams().iter().map(|seam| difference(pattern, seam).abs()).fold(0.0, f64::max)
}

/// A piece as it was before the ledger noted where its edges came from.
fn without_origins<'a>(before: &'a Pattern, now: &'a Piece) -> &'a Piece {
    let old = before.piece(now.name()).unwrap();
    let same = old.edges().iter().zip(now.edges()).all(|(a, b)| a.curve == b.curve && a.name == b.name);
    if same { old } else { now }
}

fn assert_same_piece(a: &Piece, b: &Piece) {
    assert_eq!(a.edges().len(), b.edges().len());
    for edge in a.edges() {
        let other = b.edge(b.find_edge(&edge.name).unwrap_or_else(|| panic!("edge {} is gone", edge.name)));
        let shift =
            b.edges()[0].curve.start() - a.edge(a.find_edge(&b.edges()[0].name).unwrap()).curve.start();
        let moved = edge.curve.moved(&retrue::curve::Motion::shift(shift));
        assert!(moved.distance_to(&other.curve) <= BACK_AGAIN, "{}", edge.name);
        assert_eq!(edge.finish, other.finish);
        assert_eq!(edge.allowance, other.allowance);
    }
    assert_eq!(a.darts.len(), b.darts.len());
    assert_eq!(a.points.len(), b.points.len());
    let places = |piece: &Piece| {
        let mut places: Vec<(String, String, i64)> = piece
            .notches
            .iter()
            .map(|notch| {
                (notch.name.to_string(), notch.edge.to_string(), (notch.at / BACK_AGAIN).round() as i64)
            })
            .collect();
        places.sort();
        places
    };
    for (a, b) in places(a).iter().zip(&places(b)) {
        assert_eq!((&a.0, &a.1), (&b.0, &b.1));
        assert!((a.2 - b.2).abs() <= 1);
    }
    assert_eq!(a.cut, b.cut);
}
