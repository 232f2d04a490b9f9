//! Law 3 for darts run out to seams, over random bodices.

use crate::common::measure::{curve_of, sharpest_corner};
use crate::common::svg_dump::draw;
use crate::counted::kept_in;
use crate::law_3::assert_law_3;
use crate::random::bodice::{Draft, DraftDart, Half, WaistDart, bodice};
use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use retrue::pattern::{DartShape, Pattern, RefusalKind, Side};
use retrue::recut::{DartToSeam, Notice, Recut, Step};

fn run_out(draft: &Draft, dart: &str, to: Option<&str>) -> Step {
    Step::from(DartToSeam {
        to: to.map(|place| place.parse().unwrap()),
        ..DartToSeam::of(
            if draft.half == Half::Front { "front" } else { "back" }.parse().unwrap(),
            dart.parse().unwrap(),
        )
    })
}

fn dart(width: f64, stands_off: f64) -> DraftDart {
    DraftDart { width, stands_off, off_axis: 0.0 }
}

fn done(draft: &Draft, name: &str, dart: &str, to: Option<&str>) -> Recut {
    let before = draft.pattern();
    let recut = run_out(draft, dart, to).apply(&before).unwrap();
    assert_law_3(&before, &recut, 1.5);
    draw(name, &recut.pattern);
    recut
}

/// The corners of the two new seamlines, degrees.
fn corners(after: &Pattern) -> [f64; 2] {
    let seam = after.seams().last().unwrap();
    Side::BOTH.map(|side| {
        let curve = curve_of(after, &seam.side(side).edges()[0].edge);
        sharpest_corner(curve, 0.0, curve.length())
    })
}

fn taken(recut: &Recut) -> Vec<String> {
    let name = |told: &Notice| match told {
        Notice::DartTaken { dart, .. } => Some(dart.to_string()),
        _ => None,
    };
    recut.notices.iter().filter_map(name).collect()
}

proptest! {
    #![proptest_config(kept_in("tests/proptest-regressions/laws_dart_to_seam.txt", 256))]

    /// Law 3 for any dart, straight on along its axis.
    #[test]
    fn dart_to_seam_keeps_sewn_lengths_and_area(draft in bodice(), which in any::<prop::sample::Index>()) {
        let before = draft.pattern();
        let piece = draft.piece();
        prop_assume!(!piece.darts.is_empty());
        let dart = &piece.darts[which.index(piece.darts.len())];
        let recut = match run_out(&draft, dart.name.as_str(), None).apply(&before) {
            Ok(recut) => recut,
            Err(refusal) => {
                prop_assert_eq!(refusal.kind, RefusalKind::DartInTheWay, "{}", refusal);
                return Err(TestCaseError::reject("another dart lies in the way"));
            }
        };
        assert_law_3(&before, &recut, 1.5);
        if matches!(dart.shape, DartShape::Open { .. }) && taken(&recut).len() == 1 {
            let corners = corners(&recut.pattern);
            prop_assert!(corners.iter().all(|corner| *corner < 0.5), "{:?}", corners);
        }
    }
}

/// A waist dart runs straight on to the shoulder.
#[test]
fn waist_dart_runs_on_along_its_axis() {
    let mut draft = Draft::usual_front();
    draft.side_dart = None;
    let recut = done(&draft, "run-out", "waist-dart", None);
    assert_eq!(taken(&recut), ["waist-dart"]);
    assert!(corners(&recut.pattern).iter().all(|corner| *corner < 0.5));
    assert_eq!(recut.pattern.pieces().filter(|piece| piece.name().as_str().starts_with("front-")).count(), 2);
}

/// To a place that lies well off the axis the seam is a smooth curve.
#[test]
fn waist_dart_runs_to_the_armhole_in_a_curve() {
    let mut draft = Draft::usual_front();
    draft.side_dart = None;
    let recut = done(&draft, "run-out-armhole", "waist-dart", Some("armhole@40%"));
    assert!(corners(&recut.pattern).iter().all(|corner| *corner < 0.5));
}

/// Shoulder and waist dart face each other: both are taken into one seam.
#[test]
fn darts_that_face_each_other_are_taken_together() {
    let mut draft = Draft::usual_front();
    draft.half = Half::Back;
    draft.neck_depth = 25.0;
    draft.side_dart = None;
    draft.point = (95.0, 195.0);
    draft.shoulder_dart = Some(dart(14.0, 25.0));
    draft.waist_dart = WaistDart::Open(dart(28.0, 25.0));
    let recut = done(&draft, "facing", "waist-dart", None);
    let mut names = taken(&recut);
    names.sort();
    assert_eq!(names, ["shoulder-dart", "waist-dart"]);
    assert!(corners(&recut.pattern).iter().all(|corner| *corner < 0.5));
}

/// A double dart runs out at both tips; the panels part by its width at the waist.
#[test]
fn double_dart_runs_out_at_both_tips() {
    let mut draft = Draft::usual_front();
    draft.side_dart = None;
    draft.waist_dart = WaistDart::Double(dart(28.0, 30.0));
    let recut = done(&draft, "double", "waist-dart", None);
    assert_eq!(taken(&recut), ["waist-dart"]);
    let width = |level: &str| -> f64 {
        let of_piece = |name: &str| -> f64 {
            let piece = recut.pattern.piece(&name.parse().unwrap()).unwrap();
            let level = piece.level_named(&level.parse().unwrap()).unwrap();
            level.stretches.iter().map(|(a, b)| a.distance(*b)).sum()
        };
        of_piece("front-centre") + of_piece("front-side")
    };
    // The waist level is drawn 12 mm above the widest place, at 118 of the 130 mm from tip to waist.
    assert_abs_diff_eq!(width("waist"), draft.width - 25.0 - 28.0 * 118.0 / 130.0, epsilon = 1e-6);
    assert_abs_diff_eq!(width("bust"), draft.width - 25.0, epsilon = 1e-6);
}

/// A shoulder dart above a double dart: one seam takes both, whichever is named.
#[test]
fn a_dart_that_faces_a_double_dart_is_taken_with_it() {
    let mut draft = Draft::usual_front();
    draft.side_dart = None;
    draft.shoulder_dart = Some(dart(16.0, 20.0));
    draft.waist_dart = WaistDart::Double(dart(26.0, 20.0));
    for named in ["shoulder-dart", "waist-dart"] {
        let recut = done(&draft, "double-facing", named, None);
        assert_eq!(taken(&recut).len(), 2);
    }
}

#[test]
fn a_dart_across_the_way_is_refused_with_the_commands() {
    let mut draft = Draft::usual_front();
    draft.side_dart = Some(dart(30.0, -20.0));
    let before = draft.pattern();
    let refusal = run_out(&draft, "waist-dart", None).apply(&before).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::DartInTheWay);
    assert!(
        refusal.way_out.to_string().contains("do = \"pivot-dart\", piece = \"front\", dart = \"bust-dart\""),
        "{refusal}"
    );
}

/// A pleat is no dart that could be run out, and the refusal says what to do.
#[test]
fn a_pleat_is_refused_with_the_way_out() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    let coat = retrue::sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    let lining = serde_json::json!({"piece": "back", "name": "lining", "for": "lining", "pleat": "25mm"});
    let lined = Step::read("copy-piece", lining).unwrap().apply(&coat).unwrap().pattern;
    let run_out = Step::from(DartToSeam::of("lining".parse().unwrap(), "pleat".parse().unwrap()));
    let refusal = run_out.apply(&lined).unwrap_err();
    assert_eq!(refusal.kind, RefusalKind::BadDart);
    assert!(refusal.to_string().contains("follow"), "{refusal}");
}
