//! The laws of facings that follow what is done at their edges and ends, and of those that are offered anew.

use approx::assert_abs_diff_eq;
use retrue::curve::{Affine, Point, left_of};
use retrue::pattern::{EdgeRef, MadeFrom, Mark, Pattern, Piece, Suggestion, Walk};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::{Finding, Verdict};
use retrue::units::Unit;
use serde_json::{Value, json};

use crate::made::{apply, as_fields, assert_congruent, assert_proven, assert_same_shell, piece, step};

/// Lengths that are sewn together, mm.
const SEWN: f64 = 0.01;

fn fixture(name: &str) -> Pattern {
    let path = format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern
}

fn coat() -> Pattern {
    fixture("coat")
}

fn dress() -> Pattern {
    fixture("dress")
}

fn facing(along: &str, name: &str) -> Value {
    json!({"do": "add-facing", "along": along, "depth": "45mm", "name": name})
}

/// The coat with both its facings derived.
fn faced() -> Pattern {
    let front = apply(&coat(), facing("front.centre, front.neck", "front-facing")).pattern;
    apply(&front, facing("back.neck", "back-neck-facing")).pattern
}

fn princess(from: &str) -> Value {
    json!({"do": "add-princess-seam", "piece": "front", "from": from, "through": "bust-point", "to": "hem@45% from centre"})
}

/// What is done to the edges that facings are sewn to, and at their ends.
fn recuts() -> Vec<Value> {
    vec![
        json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": "1cm"}),
        json!({"do": "move-seam", "seam": "front.shoulder", "from": "back", "by": "1cm"}),
        json!({"do": "merge-at-seamline", "seam": "front.shoulder"}),
        json!({"do": "extend-edge", "edge": "front.hem", "by": "5cm"}),
        json!({"do": "add-band", "piece": "front", "edge": "hem", "depth": "10cm"}),
        json!({"do": "split", "piece": "front", "line": "level waist"}),
        json!({"do": "split", "piece": "back", "line": "neck@50% > hem@50%"}),
        json!({"do": "divide-edge", "edge": "front.neck", "at": "neck@40%", "names": "upper, lower"}),
        json!({"do": "open-seam", "seam": "front.centre", "from": "centre@10cm", "to": "centre@13cm", "for": "buttonhole"}),
        json!({"do": "open-centre", "piece": "back"}),
        json!({"do": "unfold", "piece": "back"}),
        princess("neck@50%"),
        princess("shoulder@50%"),
    ]
}

fn about_facings(pattern: &Pattern) -> Vec<String> {
    let verdict = Verdict::of(pattern);
    let found = verdict.untrue().filter(|found: &&Finding| found.at.contains("facing"));
    found.map(|found| found.sentence(Unit::Millimetre)).collect()
}

/// How long all is that a facing is made along, and what of that it is sewn to, mm.
fn run_and_sewn(pattern: &Pattern, facing: &Piece) -> (f64, f64) {
    let MadeFrom::Run(along) = &facing.derived.as_ref().unwrap().from else { panic!("no run") };
    let long = |edge: &EdgeRef| {
        let (piece, id) = pattern.edge(edge).unwrap();
        piece.sewn_length(id)
    };
    let run = along.iter().map(long).sum();
    let of_facing = pattern.seams().iter().filter_map(|seam| {
        let on = |run: &retrue::pattern::Run| run.edges().iter().all(|run| run.edge.piece == *facing.name());
        let other = if on(&seam.first) { &seam.second } else { on(&seam.second).then_some(&seam.first)? };
        other.edges().iter().all(|run| along.iter().any(|edge| edge.same_edge(&run.edge))).then_some(other)
    });
    let sewn = of_facing.map(|run| Walk::of(pattern, run).unwrap().length()).sum();
    (run, sewn)
}

/// Whatever is done at a facing's edges and ends, it follows: it ends true, sewn all along what it was made of, and to the other
/// facing.
#[test]
fn facings_follow_whatever_is_done_at_their_ends() {
    let before = faced();
    for fields in recuts() {
        let told = fields.to_string();
        let recut = apply(&before, fields).pattern;
        let after = apply(&recut, json!({"do": "follow"})).pattern;
        assert!(about_facings(&after).is_empty(), "{told}: {:#?}", about_facings(&after));
        assert_same_shell(&recut, &after);
        assert_proven(&coat(), &after);
        let facings: Vec<&Piece> = after.pieces().filter(|piece| piece.derived.is_some()).collect();
        assert!(facings.len() >= 2, "{told}");
        for facing in facings {
            let (run, sewn) = run_and_sewn(&after, facing);
            assert_abs_diff_eq!(run, sewn, epsilon = SEWN);
        }
        let between = after.seams().iter().filter(|seam| {
            ["front-facing", "back-neck-facing"]
                .iter()
                .all(|name| seam.edges().any(|run| run.edge.piece.as_str() == *name))
                && seam.edges().count() == 2
        });
        assert_eq!(between.count(), 1, "{told}");
        let again = apply(&after, json!({"do": "follow"}));
        let nothing = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        assert!(nothing, "{told}: {:?}", again.notices);
    }
}

/// An edge that is divided, and goes on in itself, is faced as it was.
#[test]
fn a_facing_of_a_divided_edge_is_as_it_was() {
    let before = faced();
    let divide = json!({"do": "divide-edge", "edge": "front.neck", "at": "neck@40%"});
    let after = apply(&before, divide).pattern;
    assert!(Verdict::of(&after).is_true(), "{:?}", about_facings(&after));
    assert_congruent(piece(&before, "front-facing"), piece(&after, "front-facing"));
}

/// The shipped coat's facings are drawn by hand: whatever recut changes an edge that one is sewn to offers steps that derive it
/// anew; done in their order they leave all true, and the facings follow from then on.
#[test]
fn what_is_offered_in_place_of_drawn_facings_is_true() {
    let coat = coat();
    let mut offers = 0;
    for fields in recuts() {
        let told = fields.to_string();
        let recut = apply(&coat, fields);
        let mut offered: Vec<Suggestion> = Vec::new();
        for told in &recut.notices {
            if let Notice::SameCutNeeded { anew, .. } = told {
                offered
                    .extend(anew.iter().filter(|step| !offered.contains(step)).cloned().collect::<Vec<_>>());
            }
        }
        offers += usize::from(!offered.is_empty());
        let mut after = recut.pattern.clone();
        for offer in &offered {
            let fields = as_fields(offer);
            let done = step(fields.clone()).apply(&after);
            after = done.unwrap_or_else(|refusal| panic!("{told}: {fields}: {refusal}")).pattern;
        }
        let (was, is) = (about_facings(&recut.pattern), about_facings(&after));
        assert!(was.is_empty() && is.is_empty(), "{told}: {offered:?} {is:#?}");
        assert_proven(&coat, &after);
        for offer in &offered {
            let name = &offer.fields.iter().find(|(field, _)| field.name() == "name").unwrap().1;
            assert!(piece(&after, name).derived.is_some(), "{told}: {name}");
        }
    }
    assert!(offers >= 3, "{offers}");
}

/// A facing that ends at a centre seam is sewn there to its own mirrored copy, as its piece is, and so it stays when it follows.
#[test]
fn a_facing_that_ends_at_a_centre_seam_is_sewn_to_its_mirrored_copy() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/dress.svg");
    let dress = sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    let faced = apply(&dress, facing("bodice-back.neck", "neck-facing")).pattern;
    let pivot =
        json!({"do": "pivot-dart", "piece": "bodice-back", "dart": "shoulder-dart", "to": "neck@50%"});
    let followed = apply(&apply(&faced, pivot).pattern, json!({"do": "follow"})).pattern;
    for pattern in [&faced, &followed] {
        let centre: EdgeRef = "neck-facing.centre".parse().unwrap();
        let seams: Vec<_> = pattern.seams_of(&centre).map(|id| pattern.seam(id)).collect();
        assert_eq!(seams.len(), 1);
        assert!(seams[0].is_to_own_mirror());
        assert!(about_facings(pattern).is_empty(), "{:?}", about_facings(pattern));
        let read = crate::made::through_a_sheet(pattern);
        assert!(about_facings(&read).is_empty(), "{:?}", about_facings(&read));
    }
    assert_proven(&dress, &followed);
}

/// A facing that goes over the shoulder has a notch at it, and so has the collar that is sewn to both: where the shoulder seam is
/// moved both go along, and with the facing made anew all meet. Where the facings have a seam of their own at the shoulder, the
/// collar's notch stays at that.
#[test]
fn the_notch_of_a_collar_goes_with_a_shoulder_that_is_faced_in_one() {
    let mut coat = coat();
    for facing in ["front-facing", "back-neck-facing"] {
        let holds = |seam: &&retrue::pattern::Seam| seam.edges().any(|run| run.edge.piece.as_str() == facing);
        let left = coat.seams().iter().filter(|seam| !holds(seam)).cloned().collect();
        coat.set_seams(left).unwrap();
        coat.replace_piece(&facing.parse().unwrap(), Vec::new()).unwrap();
    }
    let free = apply(&coat, json!({"do": "set-edge", "edge": "front.centre", "finish": "free"})).pattern;
    let faced = apply(&free, facing("back.neck, front.neck", "neck-facing")).pattern;
    let sewn =
        json!({"do": "set-edge", "edge": "collar.neck", "sewn-to": "front.neck back.neck; neck-facing.neck"});
    let faced = apply(&faced, sewn).pattern;
    let found = |pattern: &Pattern| -> Vec<String> {
        Verdict::of(pattern).untrue().map(|found| found.sentence(Unit::Millimetre)).collect()
    };
    assert!(found(&faced).is_empty(), "{:?}", found(&faced));
    for (from, by) in [("back", "15mm"), ("front", "10mm")] {
        let shoulder = json!({"do": "move-seam", "seam": "front.shoulder", "from": from, "by": by});
        let moved = apply(&faced, shoulder);
        let gone = |edge: &str| {
            moved
                .notices
                .iter()
                .any(|told| matches!(told, Notice::NotchMoved { edge: of, .. } if of.to_string() == edge))
        };
        assert!(gone("collar.neck") && gone("under-collar.neck"), "{from}: {:?}", moved.notices);
        let followed = apply(&moved.pattern, json!({"do": "follow"})).pattern;
        assert!(found(&followed).is_empty(), "{from}: {:?}", found(&followed));
        assert_proven(&faced, &followed);
        let apart = json!({"do": "move-seam", "seam": "front.shoulder", "from": from, "by": by});
        let stays = apply(&self::faced(), apart);
        let collar = |told: &Notice| matches!(told, Notice::NotchMoved { edge, .. } if edge.to_string() == "collar.neck");
        assert!(!stays.notices.iter().any(collar), "{from}: {:?}", stays.notices);
        assert!(about_facings(&stays.pattern).is_empty());
    }
}

/// A mark of its own on a copy that becomes several goes with the one on which it lies, as near to the edge beside it as it
/// was; one across which no copy lies any more is told.
#[test]
fn marks_of_a_copy_go_with_the_parts() {
    let copied = apply(
        &coat(),
        json!({"do": "copy-piece", "piece": "front", "name": "front-copy", "for": "underlining"}),
    );
    let mut before = copied.pattern;
    let near = |piece: &Piece, edge: &str, inward: f64| {
        let curve = &piece.edge(piece.edge_named(&edge.parse().unwrap()).unwrap()).curve;
        let half = curve.length() / 2.0;
        curve.point_at(half) - left_of(curve.tangent_at(half)) * inward
    };
    let mark = |id: &str, at: Point| Mark {
        id: Some(id.to_owned()),
        source: format!("<circle id=\"{id}\"/>"),
        place: Affine::IDENTITY,
        lines: vec![],
        anchor: Some(at),
    };
    let copy = piece(&before, "front-copy");
    let marks = vec![
        mark("by-side", near(copy, "side", 20.0)),
        mark("by-centre", near(copy, "centre", 20.0)),
        mark("beside", near(copy, "side", -80.0)),
    ];
    before.piece_mut(&"front-copy".parse().unwrap()).unwrap().marks = marks;
    let cut = apply(&before, princess("shoulder@50%")).pattern;
    let followed = apply(&cut, json!({"do": "follow"}));
    let mut kept = Vec::new();
    for (id, edge) in [("by-side", "side"), ("by-centre", "centre")] {
        let bears = |piece: &&Piece| piece.marks.iter().any(|mark| mark.id.as_deref() == Some(id));
        let on: Vec<&Piece> = followed.pattern.pieces().filter(bears).collect();
        assert_eq!(on.len(), 1, "{id}");
        let anchor = on[0].marks[0].anchor.unwrap();
        assert_abs_diff_eq!(anchor.distance(near(on[0], edge, 20.0)), 0.0, epsilon = SEWN);
        kept.push(on[0].name().clone());
    }
    assert_ne!(kept[0], kept[1]);
    let lost = |notice: &Notice| matches!(notice, Notice::MarkLost { mark, .. } if mark == "beside");
    assert_eq!(followed.notices.iter().filter(|notice| lost(notice)).count(), 1, "{:?}", followed.notices);
}

/// A facing on a fold has its grain along it: where a front edge would come off its grain, it is divided from the neck at the
/// back ("grain lines of facings are those of the pieces they face": common practice, no source).
#[test]
fn a_facing_on_a_fold_lies_on_the_grain_of_the_fold() {
    for (pattern, along) in [
        (coat(), "front.centre, front.neck, back.neck"),
        (coat(), "back.neck, front.neck, front.centre"),
        (coat(), "front.neck, back.neck"),
        (dress(), "skirt-front.waist"),
    ] {
        let made =
            apply(&pattern, json!({"do": "add-facing", "along": along, "depth": "5cm", "name": "facing"}))
                .pattern;
        let facings: Vec<&Piece> = made.pieces().filter(|piece| piece.derived.is_some()).collect();
        assert_eq!(facings.len(), if along.contains("centre") { 2 } else { 1 }, "{along}");
        let mut folds = 0;
        for facing in &facings {
            let off = |name: &str| {
                let id = facing.find_edge(&name.parse().unwrap())?;
                Some(facing.off_thread(id).unwrap().degrees)
            };
            if let Some(fold) = facing.fold() {
                folds += 1;
                assert!(facing.off_thread(fold).unwrap().degrees < 0.01, "{along}: {}", facing.name());
            } else if let Some(centre) = off("centre") {
                assert!(centre < 0.01, "{along}: {}", facing.name());
            }
        }
        assert_eq!(folds, 1, "{along}");
    }
}
