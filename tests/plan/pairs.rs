//! Pairs of a pattern and a cloth whose answer is known: the width of the cloth, and what may not be touched, leave one
//! kind of change that serves.

use std::collections::BTreeSet;

use retrue::cloth::Stock;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::search::Limit;
use retrue::pattern::Pattern;
use retrue::plan::{Alternative, ChangeKind, Effort, Missing, PlanTask, Planned, Taste, file, plan};
use retrue::recut::{SetPiece, Split, Step};
use retrue::sheet;

use crate::run::fixture;
use retrue::units::Angle;

/// A pattern, the cloth and limits of taste.
pub(crate) struct Pair {
    pub(crate) pattern: Pattern,
    pub(crate) stock: Stock,
    pub(crate) taste: Taste,
}

/// A fixture, with all the cloth that its pieces could want.
pub(crate) fn pair(name: &str) -> Pair {
    let pattern = sheet::read(fixture(name).as_bytes(), &Default::default()).expect("a pattern").pattern;
    Pair { pattern, stock: cloth(""), taste: Taste::default() }
        .on("[main]\nwidth = \"160cm\"\nlength = \"6m\"\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n\
         [lining]\nwidth = \"160cm\"\nlength = \"3m\"\n")
}

fn cloth(text: &str) -> Stock {
    let text = if text.is_empty() { "[main]\nwidth = \"1m\"\nlength = \"1m\"\n" } else { text };
    read_cloth(text, &mut NoFiles).expect("a cloth")
}

impl Pair {
    pub(crate) fn on(self, text: &str) -> Pair {
        Pair { stock: cloth(text), ..self }
    }

    pub(crate) fn after(mut self, step: impl Into<Step>) -> Pair {
        self.pattern = step.into().apply(&self.pattern).expect("the step is done").pattern;
        self
    }

    /// A piece on cloth of its own, so that it is the only one in need; the others lie on wide cloth.
    pub(crate) fn with_own_cloth(self, piece: &str, width: &str) -> Pair {
        let step = SetPiece {
            cloth: Some("own".parse().expect("a name")),
            ..SetPiece::of(piece.parse().expect("a name"))
        };
        self.after(step).on(&format!(
            "[main]\nwidth = \"160cm\"\nlength = \"6m\"\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n\
             [lining]\nwidth = \"160cm\"\nlength = \"3m\"\n[own]\nwidth = \"{width}\"\nlength = \"6m\"\n"
        ))
    }

    pub(crate) fn with_taste(self, text: &str) -> Pair {
        let taste = file::read(text, &self.pattern).expect("a plan file");
        Pair { taste, ..self }
    }

    pub(crate) fn planned(&self) -> Planned {
        self.planned_with(&Effort {
            recuts: 120,
            trials: 5,
            quick: Limit::Iterations(40),
            again: Limit::Iterations(100),
            good: Limit::Iterations(40),
            alternatives: 3,
            ..Effort::default()
        })
    }

    pub(crate) fn planned_with(&self, effort: &Effort) -> Planned {
        plan(
            PlanTask {
                pattern: &self.pattern,
                stock: &self.stock,
                taste: &self.taste,
                grain_tolerance: Angle::ZERO,
            },
            effort,
            &mut |_| {},
        )
        .expect("a plan")
    }

    /// The changes of each alternative. All are true, made by their steps, and their pieces fit.
    pub(crate) fn answers(&self) -> Vec<Vec<(ChangeKind, String)>> {
        let planned = self.planned();
        for alternative in &planned.alternatives {
            let mut pattern = self.pattern.clone();
            for step in &alternative.steps {
                pattern = step.apply(&pattern).expect("the step is done").pattern;
            }
            let untrue = retrue::truing::check(&pattern, &Default::default());
            assert!(
                untrue.iter().all(|finding| finding.weight != retrue::truing::Weight::Untrue),
                "{untrue:?}"
            );
            assert!(retrue::cloth::fit::fit(&pattern, &self.stock, Angle::ZERO).expect("a fit").fits);
            assert!(alternative.recipe().contains(&alternative.sentence()));
        }
        let changes = |alternative: &retrue::plan::Alternative| {
            alternative.done.iter().map(|done| (done.kind, done.root.to_string())).collect()
        };
        planned.alternatives.iter().map(changes).collect()
    }

    /// Every alternative is this one change.
    fn is_served_only_by(&self, kind: ChangeKind, piece: &str) {
        let answers = self.answers();
        assert!(!answers.is_empty(), "nothing fits");
        for answer in &answers {
            assert_eq!(*answer, [(kind, piece.to_owned())], "{answers:?}");
        }
    }

    /// The best alternative is this one change.
    fn is_served_best_by(&self, kind: ChangeKind, piece: &str) {
        let answers = self.answers();
        assert_eq!(answers.first(), Some(&vec![(kind, piece.to_owned())]), "{answers:?}");
    }
}

#[test]
fn what_fits_is_left_as_it_is() {
    let planned = pair("coat.svg").planned();
    assert_eq!(planned.alternatives.len(), 1);
    assert!(planned.alternatives[0].steps.is_empty());
    assert_eq!(planned.alternatives[0].figures.seams_added, 0);
}

/// The back is 571 mm wide as cut, and must stay whole: on 56 cm its side seams give 6 mm each.
#[test]
fn a_back_that_stays_whole_gives_at_its_side_seams() {
    pair("coat.svg")
        .with_own_cloth("back", "56cm")
        .with_taste("whole = [\"back\"]")
        .is_served_only_by(ChangeKind::SideSeam, "back");
}

/// On 37 cm no line within the allowances leaves by the armhole: only from selvedge to selvedge is the back wide enough.
#[test]
fn a_back_that_stays_whole_on_narrow_cloth_runs_from_selvedge_to_selvedge() {
    pair("coat.svg")
        .with_own_cloth("back", "37cm")
        .with_taste("whole = [\"back\"]")
        .is_served_only_by(ChangeKind::Selvedge, "back");
}

/// The side seam stays, and half of the back is 300 mm wide.
#[test]
fn a_wide_back_gets_a_centre_seam() {
    let pair = pair("coat.svg").with_own_cloth("back", "40cm");
    pair.with_taste("stay = [\"back.side\"]\nunwanted = [\"yoke\"]")
        .is_served_best_by(ChangeKind::Centre, "back");
}

/// The front is 334 mm wide, and its side seam stays.
#[test]
fn a_front_gets_a_princess_seam() {
    pair("coat.svg")
        .with_own_cloth("front", "25cm")
        .with_taste("stay = [\"front.side\"]\nunwanted = [\"panels\", \"band\", \"yoke\"]")
        .is_served_only_by(ChangeKind::Princess, "front");
}

/// A kind of change may be unwanted on one piece: on any other it would do.
#[test]
fn a_kind_may_be_unwanted_on_one_piece() {
    let narrow = |unwanted: &str| {
        let taste =
            format!("stay = [\"front.side\"]\nunwanted = [\"panels\", \"band\", \"yoke\", \"{unwanted}\"]");
        pair("coat.svg").with_own_cloth("front", "25cm").with_taste(&taste)
    };
    narrow("princess back").is_served_only_by(ChangeKind::Princess, "front");
    let answers = narrow("princess front").answers();
    assert!(answers.iter().flatten().all(|(kind, _)| *kind != ChangeKind::Princess), "{answers:?}");
}

/// The bodice back is 277 mm wide. Without a princess seam its waist dart runs out into one.
#[test]
fn a_dart_becomes_a_seam() {
    pair("dress.svg")
        .with_own_cloth("bodice-back", "20cm")
        .with_taste("unwanted = [\"princess\", \"panels\", \"side-seam\", \"selvedge\", \"band\"]")
        .is_served_only_by(ChangeKind::DartSeam, "bodice-back");
}

/// The yoke is 402 mm wide and 196 mm long as cut, and must stay whole: across, it fits 37 cm.
#[test]
fn a_yoke_that_stays_whole_lies_across() {
    let step = Split {
        names: Some("yoke, lower-back".parse().expect("names")),
        ..Split::of("back".parse().expect("a name"), "across at armhole@50%".parse().expect("a line"))
    };
    pair("coat.svg")
        .after(step)
        .with_own_cloth("yoke", "37cm")
        .with_taste("whole = [\"yoke\"]\ncrosswise = [\"yoke\"]\nunwanted = [\"side-seam\", \"selvedge\"]")
        .is_served_only_by(ChangeKind::Crosswise, "yoke");
}

/// The sleeve is 422 mm wide; in two pieces the wider is 253 mm.
#[test]
fn a_sleeve_is_cut_in_two() {
    pair("coat.svg").with_own_cloth("sleeve", "30cm").is_served_best_by(ChangeKind::TwoPiece, "sleeve");
}

/// The same without the lines that are drawn on the sleeve for it.
#[test]
fn a_sleeve_without_lines_is_cut_in_two() {
    let mut pair = pair("coat.svg").with_own_cloth("sleeve", "30cm");
    for piece in pair.pattern.pieces_mut() {
        piece.style_lines.clear();
    }
    pair.is_served_best_by(ChangeKind::TwoPiece, "sleeve");
}

/// On 1.7 m of 150 cm the coat does not lie, but does when a facing comes from the companion cloth: one that is not seen.
#[test]
fn facings_come_from_companion_cloth() {
    let pair = pair("coat.svg").on(
        "[main]\nwidth = \"150cm\"\nlength = \"1.7m\"\n[companion]\nwidth = \"110cm\"\nlength = \"3m\"\n",
    );
    let answers = pair.answers();
    assert!(!answers.is_empty());
    for (kind, piece) in answers.iter().flatten() {
        assert!(*kind == ChangeKind::Companion && piece.ends_with("facing"), "{answers:?}");
    }
}

/// The skirt front is 642 mm long as cut; on lengths of 50 cm it must be cut across.
#[test]
fn a_piece_longer_than_the_cloth_is_cut_across() {
    let pair = pair("dress.svg").with_own_cloth("skirt-front", "60cm");
    let own = "[main]\nwidth = \"160cm\"\nlength = \"6m\"\n[lining]\nwidth = \"160cm\"\nlength = \"3m\"\n\
               [own]\nwidth = \"60cm\"\nlength = [\"50cm\", \"50cm\"]\n";
    let answers = pair.on(own).answers();
    assert!(!answers.is_empty());
    for answer in &answers {
        assert!(
            answer.iter().any(|(kind, _)| matches!(
                kind,
                ChangeKind::Yoke | ChangeKind::Waist | ChangeKind::Band | ChangeKind::Border
            )),
            "{answers:?}"
        );
    }
}

/// Nothing makes a coat of tape.
#[test]
fn nothing_serves_where_the_cloth_is_narrower_than_two_allowances() {
    let pair = pair("coat.svg").with_own_cloth("back", "25mm");
    let planned = pair.planned();
    assert!(planned.alternatives.is_empty());
    let closest = planned.closest.expect("what would come closest");
    assert!(
        closest.missing.iter().any(|missing| matches!(missing, Missing::Width { by, .. } if *by > 200.0))
    );
}

/// Where the widest piece cannot be helped, the others are: what comes closest is told with all that helps.
#[test]
fn what_comes_closest_helps_the_pieces_that_can_be_helped() {
    let narrow = "[main]\nwidth = \"37cm\"\nlength = \"14m\"\n[lining]\nwidth = \"140cm\"\nlength = \"2m\"\n";
    let pair =
        pair("dress.svg").on(narrow).with_taste("whole = [\"skirt-front\"]\nstay = [\"skirt-front.side\"]\n");
    let closest = pair.planned().closest.expect("nothing fits");
    let helped = |piece: &str| closest.done.iter().any(|done| done.root.as_str() == piece);
    assert!(helped("bodice-front") && helped("sleeve"), "{closest:?}");
    let missing: Vec<&str> = closest
        .missing
        .iter()
        .map(|missing| match missing {
            Missing::Width { piece, .. } => piece.as_str(),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(missing, ["skirt-front"]);
}

/// What is said to be missing is enough: with so much more cloth it fits.
#[test]
fn the_length_that_is_missing_is_enough() {
    let on = |length: f64| {
        let text = format!("[main]\nwidth = \"60cm\"\nlength = \"{length:.1}mm\"\n");
        pair("skirt-shaped-back.svg").on(&text)
    };
    let planned = on(900.0).planned();
    let missing = planned.closest.expect("nothing fits").missing;
    let [Missing::Length { by, .. }] = missing[..] else { panic!("{missing:?}") };
    assert!(by > 100.0 && by < 2000.0, "{by}");
    assert!(!on(900.0 + by + 0.1).planned().alternatives.is_empty());
}

/// Of cloth in several lengths it is told how many more of the longest would do, and with so many it fits.
#[test]
fn the_lengths_that_are_missing_are_enough() {
    let on = |more: usize| {
        let lengths = ["\"90cm\"", "\"20cm\""].into_iter().chain(std::iter::repeat_n("\"90cm\"", more));
        let lengths = lengths.collect::<Vec<_>>().join(", ");
        pair("skirt-shaped-back.svg").on(&format!("[main]\nwidth = \"60cm\"\nlength = [{lengths}]\n"))
    };
    let closest = on(0).planned().closest.expect("a length and a remnant are too little");
    let [Missing::Lengths { count, length, .. }] = closest.missing[..] else { panic!("{closest:?}") };
    assert!((length - 900.0).abs() < 1e-9 && count >= 1, "{closest:?}");
    assert!(!on(count).planned().alternatives.is_empty());
}

/// The pieces that are told as to come from other cloth are the back alone, that no change helps; and without what is told of
/// a coat that is too short of cloth, the rest of it fits.
#[test]
fn what_could_come_from_other_cloth_leaves_the_rest_room() {
    let tape = pair("coat.svg").with_own_cloth("back", "25mm").planned();
    let elsewhere = tape.closest.expect("nothing makes a back of tape").elsewhere;
    assert_eq!(elsewhere.iter().map(ToString::to_string).collect::<Vec<_>>(), ["back"]);

    let short = || pair("coat.svg").on("[main]\nwidth = \"150cm\"\nlength = \"1.5m\"\n");
    let closest = short().planned().closest.expect("it is too short");
    assert!(!closest.elsewhere.is_empty(), "{closest:?}");
    assert!(
        closest.elsewhere.iter().all(|piece| !["front", "back"].contains(&piece.as_str())),
        "{closest:?}"
    );
    let spared = closest.elsewhere.into_iter().fold(short(), |pair, piece| {
        let cloth = Some("spare".parse().expect("a name"));
        pair.after(SetPiece { piece, name: None, cut: None, cloth, purpose: None })
    });
    assert!(!spared.planned().alternatives.is_empty());
}

/// Names are hints only: under others the same changes are found.
#[test]
fn names_of_pieces_do_not_matter() {
    let renamed = |mut pair: Pair| {
        let names: Vec<_> = pair.pattern.pieces().map(|piece| piece.name().clone()).collect();
        for (i, piece) in names.into_iter().enumerate() {
            let name = format!("q{i}").parse().expect("a name");
            pair = pair.after(SetPiece { name: Some(name), ..SetPiece::of(piece) });
        }
        pair
    };
    let kinds = |pair: Pair| -> Vec<ChangeKind> { pair.answers()[0].iter().map(|(kind, _)| *kind).collect() };
    for (piece, width) in [("back", "40cm"), ("sleeve", "30cm"), ("front", "25cm")] {
        let pair = || pair("coat.svg").with_own_cloth(piece, width);
        assert_eq!(kinds(pair()), kinds(renamed(pair())), "{piece}");
    }
}

/// The same seed finds the same plans.
#[test]
fn planning_is_repeatable() {
    let recipes = || -> Vec<(String, Vec<f64>)> {
        let planned = pair("coat.svg").with_own_cloth("sleeve", "30cm").planned();
        let used = |alternative: &retrue::plan::Alternative| {
            alternative.figures.used.iter().map(|used| used.used).collect()
        };
        planned.alternatives.iter().map(|one| (one.recipe(), used(one))).collect()
    };
    assert_eq!(recipes(), recipes());
}

/// What is offered beside the best is not the same once more with another sleeve; and parts are called as a maker calls
/// them.
#[test]
fn alternatives_differ_in_kind_and_their_parts_have_names() {
    let coat = pair("coat.svg").on(include_str!("../../examples/cloth.toml"));
    let effort = Effort { quick: Limit::Iterations(40), good: Limit::Iterations(40), ..Effort::default() };
    let planned = coat.planned_with(&effort);
    let back = |alternative: &Alternative| -> BTreeSet<ChangeKind> {
        let done = alternative.done.iter().filter(|done| done.root.as_str() == "back");
        done.map(|done| done.kind).collect()
    };
    let backs: BTreeSet<_> = planned.alternatives.iter().map(back).collect();
    assert!(backs.len() >= 3, "{backs:?}");
    let mut two_part_sleeves = 0;
    for alternative in &planned.alternatives {
        let names: BTreeSet<&str> = alternative.pattern.pieces().map(|piece| piece.name().as_str()).collect();
        assert!(!names.contains("sleeve-1-1"), "{names:?}");
        let is_two_part = alternative.done.iter().any(|done| done.kind == ChangeKind::TwoPiece);
        assert_eq!(
            names.contains("sleeve-upper") && names.contains("sleeve-under"),
            is_two_part,
            "{names:?}"
        );
        two_part_sleeves += usize::from(is_two_part);
    }
    assert!(two_part_sleeves > 0);
}
