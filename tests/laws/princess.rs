//! Law 3: what a princess seam and a dart run out to a seam keep, over random bodices.

use crate::common::measure::{curve_of, sharpest_corner};
use crate::common::svg_dump::draw;
use crate::counted::kept_in;
use crate::law_3::{assert_law_3, assert_smooth_at_point};
use crate::random::bodice::{Draft, DraftDart, Half, WaistDart, bodice};
use proptest::prelude::*;
use retrue::curve::{Affine, Curve, Point};
use retrue::pattern::{AdvicePart, Field, Mark, Refusal, RefusalKind, Side};
use retrue::recut::{AddPrincessSeam, Notice, Recut, Step};
use retrue::units::Length;

fn princess(draft: &Draft, from: &str, to: &str) -> AddPrincessSeam {
    AddPrincessSeam::of(
        if draft.half == Half::Front { "front" } else { "back" }.parse().unwrap(),
        from.parse().unwrap(),
        draft.point_name().parse().unwrap(),
        to.parse().unwrap(),
    )
}

/// A place on an edge of a draft, as a share of its sewn length clockwise on the unmirrored draft. Where a dart opens on
/// the edge it is a place near its mouth: `near` mm from it.
fn place(draft: &Draft, edge: &str, share: f64, near: f64) -> String {
    let piece = draft.piece();
    let id = piece.edge_named(&edge.parse().unwrap()).unwrap();
    let length = piece.sewn_length(id);
    let at = match piece.mouths_on(&piece.edge(id).name).first() {
        Some((_, mouth)) => mouth.from + near,
        None if draft.mirrored => length * (1.0 - share),
        None => length * share,
    };
    format!("{edge}@{at}mm")
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/laws_princess.txt", 256))]

    /// Law 3 for a princess seam from shoulder, armhole and neck, to waist and hem, over fronts and backs.
    #[test]
    fn princess_seam_keeps_sewn_lengths_and_area(
        draft in bodice(),
        edge in prop_oneof![3 => Just("shoulder"), 3 => Just("armhole"), 1 => Just("neck")],
        from in 0.35..0.62f64,
        to in 0.4..0.6f64,
        near in (-14.0..14.0f64, -14.0..14.0f64),
    ) {
        let before = draft.pattern();
        let from = place(&draft, edge, from, near.0);
        let to = place(&draft, draft.lowest_edge(), to, near.1);
        let step = Step::from(princess(&draft, &from, &to));
        match step.apply(&before) {
            Ok(recut) => {
                assert_law_3(&before, &recut, 1.5);
                assert_smooth_at_point(&draft, &recut.pattern);
            }
            Err(refusal) => {
                // A wide dart closed next to a waist dart turns the side panel by more than may be eased.
                prop_assert_eq!(refusal.kind, RefusalKind::LengthsDiffer, "{}", refusal);
                prop_assert!(refusal.what.contains("may be eased"));
                return Err(TestCaseError::reject("more than may be eased"));
            }
        }
    }
}

fn dart(width: f64, stands_off: f64) -> DraftDart {
    DraftDart { width, stands_off, off_axis: 0.0 }
}

fn done(draft: &Draft, name: &str, from: &str, to: &str) -> Recut {
    let before = draft.pattern();
    let recut = Step::from(princess(draft, from, to)).apply(&before).unwrap();
    assert_law_3(&before, &recut, 1.5);
    assert_smooth_at_point(draft, &recut.pattern);
    draw(&format!("{name}-before"), &before);
    draw(name, &recut.pattern);
    recut
}

/// A front with darts at side and waist, cut from the shoulder: the waist dart gives its legs, the side dart is shut.
#[test]
fn shoulder_princess_takes_in_side_and_waist_darts() {
    let draft = Draft::usual_front();
    let recut = done(&draft, "shoulder", "shoulder@48%", "waist@50%");
    let taken = recut.notices.iter().filter(|told| matches!(told, Notice::DartTaken { .. })).count();
    assert_eq!(taken, 2);
    assert!(recut.pattern.pieces().all(|piece| piece.darts.is_empty()));
}

/// The same from the armhole, where a smooth curve runs into the line of the waist dart.
#[test]
fn armhole_princess_is_a_smooth_curve() {
    let draft = Draft::usual_front();
    let recut = done(&draft, "armhole", "armhole@45%", "waist@50%");
    let seam = recut.pattern.seams().last().unwrap();
    for side in Side::BOTH {
        let curve = curve_of(&recut.pattern, &seam.side(side).edges()[0].edge);
        let corner = sharpest_corner(curve, 0.0, curve.length());
        assert!(corner < 0.5, "{corner}°");
    }
}

/// A sheath: the double dart at the waist lies in the seam, the side dart is shut.
#[test]
fn sheath_princess_parts_at_the_waist() {
    let mut draft = Draft::usual_front();
    draft.waist_dart = WaistDart::Double(dart(28.0, 30.0));
    done(&draft, "sheath", "shoulder@48%", "hem@55%");
}

/// A back with shoulder and waist darts, both in the line.
#[test]
fn back_princess_takes_in_shoulder_and_waist_darts() {
    let mut draft = Draft::usual_front();
    draft.half = Half::Back;
    draft.side_dart = None;
    draft.neck_depth = 25.0;
    draft.point = (95.0, 195.0);
    draft.shoulder_dart = Some(dart(14.0, 55.0));
    draft.waist_dart = WaistDart::Open(dart(28.0, 20.0));
    done(&draft, "back", "shoulder@48%", "waist@50%");
}

/// A back cut from the armhole: the shoulder dart is shut in the centre panel.
#[test]
fn armhole_princess_shuts_the_shoulder_dart() {
    let mut draft = Draft::usual_front();
    draft.shoulder_dart = Some(dart(16.0, 40.0));
    draft.mirrored = true;
    done(&draft, "armhole-shoulder-dart", "armhole@50%", "waist@50%");
}

/// A piece with no dart: both seamlines are one smooth curve.
#[test]
fn style_seam_is_the_same_curve_on_both_panels() {
    let mut draft = Draft::usual_front();
    draft.side_dart = None;
    draft.waist_dart = WaistDart::No;
    let recut = done(&draft, "style", "armhole@45%", "waist@55%");
    let seam = recut.pattern.seams().last().unwrap();
    assert!(seam.ease.mm().abs() < 1e-9);
}

fn refusal(draft: &Draft, step: AddPrincessSeam) -> Refusal {
    Step::from(step).apply(&draft.pattern()).unwrap_err()
}

#[test]
fn seams_that_cannot_be_are_refused() {
    let draft = Draft::usual_front();
    let asked = |from: &str, to: &str| princess(&draft, from, to);

    let across =
        AddPrincessSeam { through: "(290mm, 430mm)".parse().unwrap(), ..asked("shoulder@48%", "waist@30%") };
    let in_the_way = refusal(&draft, across);
    assert_eq!(in_the_way.kind, RefusalKind::DartInTheWay, "{in_the_way}");

    let off =
        AddPrincessSeam { through: "armhole@50%".parse().unwrap(), ..asked("shoulder@48%", "waist@50%") };
    assert_eq!(refusal(&draft, off).kind, RefusalKind::PlaceOutside);

    let blend = AddPrincessSeam { blend: Some(Length::from_mm(500.0)), ..asked("shoulder@48%", "waist@50%") };
    let no_room = refusal(&draft, blend);
    assert_eq!(no_room.kind, RefusalKind::BadField);
    assert!(no_room.way_out.to_string().contains("mm"), "{no_room}");

    let unknown =
        AddPrincessSeam { darts: Some("bust-drat".parse().unwrap()), ..asked("shoulder@48%", "waist@50%") };
    assert!(refusal(&draft, unknown).way_out.to_string().contains("bust-dart"));

    let twice = asked("centre@20%", "centre@80%");
    let twice = AddPrincessSeam { darts: Some("none".parse().unwrap()), ..twice };
    assert_eq!(refusal(&draft, twice).kind, RefusalKind::BadLine);
}

/// A waist dart that points 3 cm past the point gives the seam legs that differ by more than blending takes up.
#[test]
fn more_ease_than_allowed_is_refused_with_its_figure() {
    let mut draft = Draft::usual_front();
    draft.waist_dart = WaistDart::Open(DraftDart { off_axis: 30.0, ..dart(30.0, 25.0) });
    let step = princess(&draft, "shoulder@48%", "waist@50%");
    let refused = refusal(&draft, step.clone());
    assert_eq!(refused.kind, RefusalKind::LengthsDiffer, "{refused}");
    let figure = refused.way_out.parts().iter().find_map(|part| match part {
        AdvicePart::Field(Field::Ease, figure) => figure.clone(),
        _ => None,
    });
    let figure = figure.unwrap();
    let allowed = AddPrincessSeam { ease: Some(figure.parse().unwrap()), ..step };
    let before = draft.pattern();
    let recut = Step::from(allowed).apply(&before).unwrap();
    assert_law_3(&before, &recut, figure.parse::<Length>().unwrap().mm());
    assert!(recut.notices.iter().any(|told| matches!(told, Notice::EaseDeclared { .. })));
}

/// Asked for no ease, the blends are drawn fuller until both seamlines are equally long.
#[test]
fn without_ease_both_seamlines_are_equally_long() {
    let draft = Draft::usual_front();
    let before = draft.pattern();
    let step = AddPrincessSeam { ease: Some(Length::ZERO), ..princess(&draft, "shoulder@48%", "waist@50%") };
    let recut = Step::from(step).apply(&before).unwrap();
    assert_law_3(&before, &recut, 1e-5);
    assert_smooth_at_point(&draft, &recut.pattern);
}

/// A pocket across the seam is warned of; a label in the mouth of a dart that is shut is kept on a panel, and told.
#[test]
fn marks_are_kept_and_told() {
    let draft = Draft::usual_front();
    let mut before = draft.pattern();
    let at = |x: f64, y: f64| Point::new(x + draft.shift.0, y + draft.shift.1);
    let mark = |id: &str, from: Point, to: Point| Mark {
        id: Some(id.to_owned()),
        source: format!("<path id=\"{id}\"/>"),
        place: Affine::IDENTITY,
        lines: vec![Curve::line(from, to).unwrap()],
        anchor: Some(from.midpoint(to)),
    };
    let front = before.piece_mut(&"front".parse().unwrap()).unwrap();
    front.marks.push(mark("pocket", at(60.0, 320.0), at(150.0, 320.0)));
    front.marks.push(mark("label", at(228.0, 281.0), at(232.0, 281.0)));
    let recut = Step::from(princess(&draft, "shoulder@48%", "waist@50%")).apply(&before).unwrap();
    for id in ["pocket", "label"] {
        let told = Notice::MarkCrossed {
            piece: "front".parse().unwrap(),
            by: retrue::recut::StepLine::Seam,
            mark: id.to_owned(),
        };
        assert!(recut.notices.contains(&told), "{id} is not told");
        let kept = recut.pattern.pieces().flat_map(|piece| &piece.marks);
        assert_eq!(kept.filter(|mark| mark.id.as_deref() == Some(id)).count(), 1, "{id}");
    }
}

/// The panel with the fold keeps it, and the copies: the side panel is cut as a pair.
#[test]
fn panels_of_a_half_piece_are_cut_on_the_fold_and_as_a_pair() {
    let draft = Draft::usual_front();
    let recut = done(&draft, "fold", "shoulder@48%", "waist@50%");
    let piece = |name: &str| recut.pattern.piece(&name.parse().unwrap()).unwrap().clone();
    assert!(piece("front-centre").fold().is_some() && piece("front-side").fold().is_none());
    assert_eq!(piece("front-side").cut.copies, 2);
    let down = draft.piece().grain_or_down();
    for name in ["front-centre", "front-side"] {
        assert!(piece(name).grain_or_down().cross(down).abs() < 1e-9, "{name} is off grain");
    }
}

/// Two darts in the side panel, at side and armhole, are both shut.
#[test]
fn several_darts_of_one_panel_are_shut() {
    let draft = Draft::usual_front();
    let mut before = draft.pattern();
    let name = "front".parse().unwrap();
    let share = retrue::recut::PivotDart {
        share: Some("40%".parse().unwrap()),
        ..retrue::recut::PivotDart::of(
            "front".parse().unwrap(),
            "bust-dart".parse().unwrap(),
            "armhole@75%".parse().unwrap(),
        )
    };
    before = Step::from(share).apply(&before).unwrap().pattern;
    assert_eq!(before.piece(&name).unwrap().darts.len(), 3);
    before.record = retrue::pattern::Record::default();
    let recut = Step::from(princess(&draft, "shoulder@48%", "waist@50%")).apply(&before).unwrap();
    assert_law_3(&before, &recut, 1.5);
    assert_smooth_at_point(&draft, &recut.pattern);
    assert!(recut.pattern.pieces().all(|piece| piece.darts.is_empty()));
    draw("several", &recut.pattern);
}

/// A bust level that runs into the side dart follows its leg on the side panel when the dart is shut.
#[test]
fn a_level_that_runs_along_a_dart_stays_on_the_side_panel() {
    let mut draft = Draft::usual_front();
    draft.side_dart = Some(dart(60.0, 25.0));
    let recut = done(&draft, "level", "shoulder@48%", "waist@50%");
    let side = recut.pattern.piece(&"front-side".parse().unwrap()).unwrap();
    let level = side.level_named(&"bust".parse().unwrap()).unwrap();
    let length: f64 = level.stretches.iter().map(|(a, b)| a.distance(*b)).sum();
    let moved =
        recut.pattern.record.steps.last().unwrap().moved.iter().find(|moved| moved.to == *side.name());
    let point = kurbo::Affine::new(moved.unwrap().motion)
        * Point::new(draft.point.0 + draft.shift.0, draft.point.1 + draft.shift.1);
    let mut ends: Vec<_> = level.stretches.iter().flat_map(|(a, b)| [*a, *b]).collect();
    ends.sort_by(|a, b| a.distance(point).total_cmp(&b.distance(point)));
    let (inner, outer) = (ends[0], ends[ends.len() - 1]);
    let seam = &side.edge(side.edge_named(&"princess".parse().unwrap()).unwrap()).curve;
    approx::assert_abs_diff_eq!(seam.nearest(inner).distance, 0.0, epsilon = 0.01);
    // Drawn from the centre to 25 mm short of the width; the point is 95 mm from the centre. The blended seamline has left
    // the point, and the level ends on it.
    approx::assert_abs_diff_eq!(outer.distance(point), draft.width - 25.0 - draft.point.0, epsilon = 0.5);
    approx::assert_abs_diff_eq!(length, outer.distance(inner), epsilon = 0.01);
    approx::assert_abs_diff_eq!(length, outer.distance(point) - inner.distance(point), epsilon = 0.05);
}

/// A back dart that ends far above the point keeps its tip when it is named; the seam goes on from there.
#[test]
fn a_named_dart_far_from_the_point_keeps_its_tip() {
    let mut draft = Draft::usual_front();
    draft.half = Half::Back;
    draft.side_dart = None;
    draft.neck_depth = 25.0;
    draft.shoulder_dart = Some(dart(14.0, 170.0));
    let before = draft.pattern();
    let step = AddPrincessSeam {
        darts: Some("shoulder-dart, waist-dart".parse().unwrap()),
        ..princess(&draft, "shoulder@48%", "waist@50%")
    };
    let recut = Step::from(step).apply(&before).unwrap();
    assert_law_3(&before, &recut, 1.5);
    assert_smooth_at_point(&draft, &recut.pattern);
    draw("far-tip", &recut.pattern);
}
