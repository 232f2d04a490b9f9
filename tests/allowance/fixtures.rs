//! The cutting lines of the fixtures.

use kurbo::Shape;
use retrue::allowance::cutting_lines;
use retrue::curve::path_crosses_itself;
use retrue::pattern::{DartShape, Finish, Pattern, Selvedge};
use retrue::sheet;
use retrue::units::Length;

use crate::pieces::{alone, loop_of};

/// What a cut end may miss its partner by: the default limit of a length in a check.
const MEET: f64 = 0.5;

pub fn fixtures() -> Vec<(String, Pattern)> {
    let folder = format!("{}/fixtures", env!("CARGO_MANIFEST_DIR"));
    let sheets = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let read: Vec<(String, Pattern)> = sheets
        .filter(|path| path.extension().is_some_and(|extension| extension == "svg"))
        .map(|path| {
            let bytes = std::fs::read(&path).unwrap();
            (path.display().to_string(), sheet::read(&bytes, &Default::default()).unwrap().pattern)
        })
        .collect();
    assert!(read.len() >= 4, "the fixtures are there");
    read
}

#[test]
fn no_cutting_line_crosses_itself() {
    for (name, pattern) in fixtures() {
        for (piece, line) in cutting_lines(&pattern).unwrap().iter() {
            assert!(!path_crosses_itself(&line.path), "{name}: {piece}");
            assert_eq!(line.path.subpaths().count(), 1, "{name}: {piece}");
            assert!(
                line.path.area() >= pattern.piece(piece).unwrap().outline().area() - 1e-6,
                "{name}: {piece}"
            );
        }
    }
}

#[test]
fn cut_ends_meet_on_every_seam() {
    let mut met = 0;
    for (name, pattern) in fixtures() {
        let lines = cutting_lines(&pattern).unwrap();
        for end in pattern.seam_ids().flat_map(|id| lines.seam_ends(&pattern, id)) {
            assert!(end.gap <= MEET, "{name}: {end:?}");
            met += 1;
        }
    }
    assert!(met > 30, "{met} ends");
}

#[test]
fn the_allowance_is_kept_away_from_corners() {
    for (name, pattern) in fixtures() {
        let lines = cutting_lines(&pattern).unwrap();
        for piece in pattern.pieces() {
            let line = lines.of(piece.name()).unwrap();
            let cut = loop_of(line);
            for id in piece.edge_ids() {
                let (edge, depth) = (piece.edge(id), piece.edge(id).cut_allowance().mm());
                for (from, to) in piece.sewn_stretches(id) {
                    let margin = 3.5 * depth + 40.0;
                    let mut at = from + margin;
                    while at < to - margin {
                        let wanted = edge.curve.point_at(at) + depth * edge.curve.normal_outward(at);
                        let swallowed = piece.nearest_on_outline(wanted).distance < depth - 1e-3;
                        let off = cut.nearest(wanted).distance;
                        let near_joint = edge
                            .curve
                            .joints()
                            .iter()
                            .any(|joint| (joint.at - at).abs() < 2.0 * depth && joint.turn.abs() > 0.01);
                        assert!(
                            off <= 0.02 || swallowed || near_joint,
                            "{name}: {}.{} at {at}: off by {off}",
                            piece.name(),
                            edge.name
                        );
                        at += 5.0;
                    }
                }
            }
        }
    }
}

/// Every place on the line 15 mm round a piece, mitred, lies 15 mm from the seamline; further only off a corner.
///
/// The offset of the coat's back neckline by itself has a swallowtail whose places lie up to 0.138 mm too near.
#[test]
fn every_place_of_an_even_line_lies_at_its_allowance() {
    for (name, pattern) in fixtures() {
        for drawn in pattern.pieces() {
            let mut piece = drawn.clone();
            piece.darts.clear();
            piece.corners.clear();
            for id in piece.edge_ids() {
                let edge = piece.edge_settings(id);
                *edge.allowance = Length::from_mm(15.0);
                *edge.finish = Finish::Free;
                *edge.selvedge = Selvedge::No;
            }
            let line = loop_of(&alone(&piece));
            for place in line.flattened(0.002) {
                let near = piece.nearest_on_outline(place);
                let curve = &piece.edge(near.edge).curve;
                let mut corners =
                    curve.joints().into_iter().map(|joint| joint.at).chain([0.0, curve.length()]);
                let at_corner = corners.any(|corner| (corner - near.at).abs() <= 0.01);
                let off = near.distance - 15.0;
                assert!(
                    off.abs() <= 0.02 || (off > 0.0 && at_corner),
                    "{name}: {}.{} at {}: off by {off}",
                    piece.name(),
                    piece.edge(near.edge).name,
                    near.at
                );
            }
        }
    }
}

/// The neckline of the coat's back ends in a bend of 11.4 mm under an allowance of 15 mm: what the cutting line does there
/// is the offset itself, and the allowance is whole.
#[test]
fn the_tight_end_of_the_coats_neckline_keeps_its_allowance() {
    let (_, coat) = fixtures().into_iter().find(|(name, _)| name.ends_with("coat.svg")).unwrap();
    let back = coat.piece(&"back".parse().unwrap()).unwrap();
    let cut = loop_of(&cutting_lines(&coat).unwrap().of(back.name()).unwrap().clone());
    let neck = back.edge(back.edge_named(&"neck".parse().unwrap()).unwrap());
    let least = (100..=400).map(|step| {
        let at = neck.curve.length() * f64::from(step) / 400.0;
        (cut.nearest(neck.curve.point_at(at)).distance, at)
    });
    let (kept, at) = least.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
    assert!(kept >= 15.0 - 0.02, "keeps {kept} at {at} of {}", neck.curve.length());
}

#[test]
fn every_open_dart_has_its_cap() {
    let mut caps = 0;
    for (name, pattern) in fixtures() {
        let lines = cutting_lines(&pattern).unwrap();
        for piece in pattern.pieces() {
            let open = piece.darts.iter().filter(|dart| matches!(dart.shape, DartShape::Open { .. })).count();
            assert_eq!(lines.of(piece.name()).unwrap().caps.len(), open, "{name}: {}", piece.name());
            caps += open;
        }
    }
    assert!(caps >= 5, "{caps} caps");
}
