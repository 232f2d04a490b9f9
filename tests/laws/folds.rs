//! The laws of folding a whole piece to its half.

use retrue::curve::{Affine, Curve, Point};
use retrue::pattern::{Kept, Mark, NamedPoint, Pattern, StyleLine};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::Verdict;
use retrue::units::Length;
use serde_json::json;

use crate::made::{apply, piece, step, through_a_sheet};

fn coat() -> Pattern {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

fn unfold(pattern: &Pattern, piece: &str) -> Pattern {
    apply(pattern, json!({"do": "unfold", "piece": piece})).pattern
}

fn half_pieces(pattern: &Pattern) -> Vec<String> {
    pattern.pieces().filter(|piece| piece.fold().is_some()).map(|piece| piece.name().to_string()).collect()
}

/// Opened out, written, read and folded again, a half piece is as true as it was, in whatever order its seams stand.
#[test]
fn a_piece_that_is_opened_out_and_folded_is_as_true_as_it_was() {
    let coat = coat();
    let (mut folded, before) = (0, Verdict::of(&coat));
    for name in half_pieces(&coat) {
        let Ok(whole) = step(json!({"do": "unfold", "piece": name})).apply(&coat) else { continue };
        let read = through_a_sheet(&whole.pattern);
        let mut turned = read.clone();
        turned.set_seams(read.seams().iter().rev().cloned().collect()).unwrap();
        for whole in [whole.pattern, read, turned] {
            let Ok(half) = step(json!({"do": "fold", "piece": name})).apply(&whole) else { continue };
            let verdict = Verdict::of(&half.pattern);
            assert!(verdict.is_as_true_as(&before), "{name}: {:?}", verdict.since(&before).added);
            assert_eq!(half.pattern.seams().len(), coat.seams().len(), "{name}");
            folded += 1;
        }
    }
    assert!(folded >= 6, "{folded}");
}

/// What stands on the half that goes alone is told, each by itself; what has a twin is not.
#[test]
fn what_the_other_half_has_alone_is_told() {
    let mut whole = unfold(&coat(), "back");
    let back = whole.piece_mut(&"back".parse().unwrap()).unwrap();
    let mirrored = back.edges().iter().find(|edge| edge.name.mirror_of().is_some()).unwrap();
    let middle = back.bounds().center();
    let at = mirrored.curve.point_at(mirrored.curve.length() / 2.0).lerp(middle, 0.2);
    let line = Curve::line(at, at.lerp(middle, 0.3)).unwrap();
    let kept = Kept::default;
    back.points.push(NamedPoint { name: "spot".parse().unwrap(), at, radius: 1.0, kept: kept() });
    back.style_lines.push(StyleLine {
        name: "yoke-line".parse().unwrap(),
        curve: line.clone(),
        kept: kept(),
    });
    back.marks.push(Mark {
        id: Some("pocket".to_owned()),
        source: "<path id=\"pocket\" d=\"M 0 0 L 1 1\"/>".to_owned(),
        place: Affine::IDENTITY,
        lines: vec![line],
        anchor: Some(at),
    });
    let told = apply(&whole, json!({"do": "fold", "piece": "back"})).notices;
    let lost = |told: &Notice| match told {
        Notice::OtherHalfLost { thing, .. } => Some(thing.clone()),
        _ => None,
    };
    let lost: Vec<String> = told.iter().filter_map(lost).collect();
    assert_eq!(lost, ["spot", "yoke-line", "pocket"]);
}

#[test]
fn halves_that_are_cut_otherwise_are_not_folded() {
    let mut whole = unfold(&coat(), "back");
    let back = whole.piece_mut(&"back".parse().unwrap()).unwrap();
    let id = back.edge_named(&"side/m".parse().unwrap()).unwrap();
    *back.edge_settings(id).allowance = Length::from_mm(31.0);
    let refusal = step(json!({"do": "fold", "piece": "back"})).apply(&whole).unwrap_err();
    assert!(refusal.to_string().contains("back.side/m"), "{refusal}");
}

/// A seam to the piece's own other copy that the fold would halve is named.
#[test]
fn a_fold_across_a_seam_to_the_own_copy_is_refused() {
    let opened = apply(&coat(), json!({"do": "open-centre", "piece": "cuff"})).pattern;
    let refusal = step(json!({"do": "fold", "piece": "cuff"})).apply(&opened).unwrap_err();
    assert!(refusal.to_string().contains("cuff."), "{refusal}");
}

/// A mark of a half piece stands on both halves of the whole, and its id once on the sheet.
#[test]
fn ids_stand_once_on_an_opened_piece() {
    let mut coat = coat();
    let back = coat.piece_mut(&"back".parse().unwrap()).unwrap();
    let at = back.bounds().center();
    back.marks.push(Mark {
        id: Some("pocket".to_owned()),
        source: "<g id=\"pocket\"><path id=\"flap\" d=\"M 0 0 L 9 9\" stroke=\"black\"/></g>".to_owned(),
        place: Affine::translate(at.to_vec2()),
        lines: vec![Curve::line(at, Point::new(at.x + 9.0, at.y + 9.0)).unwrap()],
        anchor: Some(at),
    });
    let whole = unfold(&coat, "back");
    assert_eq!(piece(&whole, "back").marks.len(), piece(&coat, "back").marks.len() * 2);
    let text = sheet::write(&whole).unwrap();
    for id in ["pocket", "flap"] {
        assert_eq!(text.matches(&format!("id=\"{id}\"")).count(), 1, "{id}");
    }
    assert_eq!(text.matches("d=\"M 0 0 L 9 9\"").count(), 2);
}
