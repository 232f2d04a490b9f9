//! What operations on single pieces refuse, and what they do in cases worked out by hand.

use crate::random::block::{Block, Centre, Draft};
use crate::random::sewn_length;
use approx::assert_abs_diff_eq;
use retrue::pattern::{
    CornerShape, Cut, EdgeRef, Finish, Pattern, Piece, Press, Refusal, RefusalKind, Seam, Selvedge, Walk,
};
use retrue::recut::{Notice, Step};
use retrue::units::Length;

/// One pattern, always the same: front and back on the fold, no darts.
fn plain() -> Draft {
    let front = Block {
        neck_width: 65.0,
        neck_depth: 70.0,
        shoulder: 110.0,
        slope: 40.0,
        armhole_depth: 210.0,
        bust: 50.0,
        waist_in: 15.0,
        hip_out: 20.0,
        length: 600.0,
        hem_curve: 0.0,
        dart: None,
        double_dart: false,
        centre: Centre::Fold,
        turn: 0.0,
        anticlockwise: false,
        allowance: 15.0,
    };
    let back = Block { neck_depth: 20.0, ..front.clone() };
    Draft { front, back }
}

fn step(name: &str, fields: &[(&str, &str)]) -> Step {
    let fields: serde_json::Map<String, serde_json::Value> =
        fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).into())).collect();
    Step::read(name, serde_json::Value::Object(fields)).unwrap()
}

fn done(pattern: &Pattern, name: &str, fields: &[(&str, &str)]) -> Pattern {
    let recut = step(name, fields).apply(pattern).unwrap();
    recut.pattern.assert_sound();
    recut.pattern
}

fn told(pattern: &Pattern, name: &str, fields: &[(&str, &str)]) -> Vec<Notice> {
    step(name, fields).apply(pattern).unwrap().notices
}

fn refused(pattern: &Pattern, name: &str, fields: &[(&str, &str)]) -> Refusal {
    step(name, fields).apply(pattern).unwrap_err()
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn edge<'a>(pattern: &'a Pattern, name: &str) -> &'a retrue::pattern::Edge {
    pattern.find_edge(&name.parse::<EdgeRef>().unwrap()).unwrap()
}

fn seam_count(pattern: &Pattern, edge: &str) -> usize {
    pattern.seams_of(&edge.parse().unwrap()).count()
}

fn assert_says(refusal: &Refusal, kind: RefusalKind, words: &[&str]) {
    assert_eq!(refusal.kind, kind, "{refusal}");
    for word in words {
        assert!(refusal.to_string().contains(word), "`{word}` in {refusal}");
    }
}

#[test]
fn unknown_names_are_answered_with_the_nearest() {
    let pattern = plain().pattern();
    let allow = |edges: &str| refused(&pattern, "set-allowance", &[("edges", edges), ("allowance", "1cm")]);
    assert_says(&allow("front.sid"), RefusalKind::UnknownName, &["did you mean `side`"]);
    assert_says(&allow("frnot.*"), RefusalKind::UnknownName, &["did you mean `front`"]);
    assert_says(&allow("*.zip"), RefusalKind::UnknownName, &["chooses no edge"]);
    assert_says(&refused(&pattern, "unfold", &[("piece", "bakc")]), RefusalKind::UnknownName, &["`back`"]);
}

#[test]
fn absurd_allowances_are_refused() {
    let pattern = plain().pattern();
    for allowance in ["-1mm", "501mm"] {
        let refusal =
            refused(&pattern, "set-allowance", &[("edges", "front.side"), ("allowance", allowance)]);
        assert_says(&refusal, RefusalKind::BadField, &["0mm to 500mm"]);
    }
}

#[test]
fn a_sewn_edge_cannot_become_a_fold_nor_a_fold_be_sewn() {
    let pattern = plain().pattern();
    let sewn = [("edge", "binding.long"), ("finish", "fold")];
    assert_says(
        &refused(&pattern, "set-edge", &sewn),
        RefusalKind::BadSeam,
        &["is sewn", "sewn-to = \"none\""],
    );
    let taken_off = [("edge", "binding.long"), ("finish", "fold"), ("sewn-to", "none")];
    assert_eq!(edge(&done(&pattern, "set-edge", &taken_off), "binding.long").finish, Finish::Fold);
    let curved = [("edge", "back.neck"), ("finish", "fold")];
    assert_says(
        &refused(&pattern, "set-edge", &curved),
        RefusalKind::NotOfThatSort,
        &["folded along `centre`"],
    );
    let sewn = [("edge", "front.centre"), ("sewn-to", "back.centre")];
    assert_says(&refused(&pattern, "set-edge", &sewn), RefusalKind::BadSeam, &["is a fold", "open-centre"]);
}

/// A front on the fold that is to open down the middle is cut left and right, and the garment is as large as before; laid
/// on the fold again, it is one piece again.
#[test]
fn a_fold_that_becomes_a_free_edge_leaves_a_left_and_a_right() {
    let pattern = plain().pattern();
    let recut = step("set-edge", &[("edge", "front.centre"), ("finish", "free")]).apply(&pattern).unwrap();
    let opened = piece(&recut.pattern, "front");
    assert_eq!((opened.cut, opened.times()), (Cut::PAIR, piece(&pattern, "front").times()));
    assert_eq!(recut.notices, [Notice::CutChanged { piece: "front".parse().unwrap(), cut: Cut::PAIR }]);
    let folded = done(&recut.pattern, "set-edge", &[("edge", "front.centre"), ("finish", "fold")]);
    assert_eq!(piece(&folded, "front").cut, Cut::ONE);
}

/// A seam to the piece's own mirrored copy is its centre, whatever it is called: lengthwise grain runs along it, and of two
/// parts beside it the first has it.
#[test]
fn a_seam_to_its_own_mirror_is_the_centre_of_a_piece() {
    let mut draft = plain();
    (draft.front.centre, draft.front.turn) = (Centre::Seam, 0.3);
    let sheet = retrue::sheet::write(&draft.pattern()).unwrap();
    let pattern = crate::read(sheet.replace("front.centre", "front.middle"));
    let slanted = [("piece", "front"), ("to", "shoulder@0% > shoulder@100%")];
    let slanted = done(&pattern, "turn-grain", &slanted);
    let again = done(&slanted, "turn-grain", &[("piece", "front"), ("to", "lengthwise")]);
    let middle = &edge(&again, "front.middle").curve;
    let off = piece(&again, "front").grain_or_down().cross((middle.end() - middle.start()).normalize());
    assert_abs_diff_eq!(off, 0.0, epsilon = 1e-6);
    let line = [("piece", "front"), ("line", "neck@50% > hem@50%")];
    let cut = done(&pattern, "split", &line);
    assert!(cut.find_edge(&"front-centre.middle".parse().unwrap()).is_some());
}

/// Copies are told alike wherever they are: on the sheet, and by `show`.
#[test]
fn copies_that_are_alike_or_of_both_hands_are_told() {
    let bench = crate::run::Bench::new().with_fixture("coat.svg");
    for (cut, told) in [("3 same", "cut 3, all alike"), ("4", "cut 4, half of them left, half right")] {
        bench.retrue(&format!(
            "set-piece coat.svg --piece back-neck-facing --cut \"{cut}\" -o cut.svg --force"
        ));
        assert!(bench.text_of("cut.svg").contains(told), "{told}");
        bench.retrue("show cut.svg").prints(told);
    }
}

/// A sleeve or cuff of which only half was drawn, without saying so.
#[test]
fn a_single_piece_laid_on_a_fold_gets_another_half_and_says_so() {
    let pattern = done(&plain().pattern(), "set-edge", &[("edge", "binding.long"), ("sewn-to", "none")]);
    let pattern = done(&pattern, "set-piece", &[("piece", "binding"), ("cut", "1")]);
    let recut = step("set-edge", &[("edge", "binding.long"), ("finish", "fold")]).apply(&pattern).unwrap();
    let before = piece(&pattern, "binding");
    assert_eq!(piece(&recut.pattern, "binding").cut, before.cut);
    assert_eq!(piece(&recut.pattern, "binding").times(), 2 * before.times());
    let half = Notice::OtherHalfAdded { piece: "binding".parse().unwrap() };
    assert!(half.is_warning() && recut.notices.contains(&half), "{:?}", recut.notices);
}

#[test]
fn a_fold_that_becomes_a_seam_gets_the_allowance_of_the_others() {
    let pattern = plain().pattern();
    let sewn = [("edge", "front.centre"), ("finish", "seam"), ("sewn-to", "front.centre/m")];
    let opened = done(&pattern, "set-edge", &sewn);
    assert_eq!(edge(&opened, "front.centre").allowance, Length::from_mm(15.0));
    assert_eq!(piece(&opened, "front").cut, Cut::PAIR);
}

#[test]
fn a_curved_edge_cannot_be_a_fold() {
    let pattern = Draft { front: Block { centre: Centre::Free, ..plain().front }, ..plain() }.pattern();
    let refusal = refused(&pattern, "set-edge", &[("edge", "front.neck"), ("finish", "fold")]);
    assert_says(&refusal, RefusalKind::NotOfThatSort, &["stands off the straight line", "mm"]);
}

#[test]
fn set_edge_sets_finish_selvedge_and_ease_on_its_own_side() {
    let pattern = plain().pattern();
    let set = done(
        &pattern,
        "set-edge",
        &[("edge", "back.side"), ("finish", "free"), ("selvedge", "yes"), ("ease", "4mm")],
    );
    assert_eq!(edge(&set, "back.side").finish, Finish::Free);
    assert_eq!(edge(&set, "back.side").selvedge, Selvedge::Yes);
    assert_eq!(edge(&set, "front.side"), &edge_with_origins(&pattern, &set, "front.side"));
    let seam = set.seam(set.seam_named(&"back.side".parse().unwrap(), None).unwrap());
    assert_eq!(seam.ease, Length::from_mm(-4.0), "the back is the seam's second side");
    let nothing = refused(&pattern, "set-edge", &[("edge", "back.side")]);
    assert_says(&nothing, RefusalKind::NothingAsked, &["nothing is to be set"]);
    let unsewn = refused(&pattern, "set-edge", &[("edge", "back.hem"), ("ease", "4mm")]);
    assert_says(&unsewn, RefusalKind::BadSeam, &["not sewn"]);
}

fn edge_with_origins(before: &Pattern, after: &Pattern, name: &str) -> retrue::pattern::Edge {
    retrue::pattern::Edge { origins: edge(after, name).origins.clone(), ..edge(before, name).clone() }
}

#[test]
fn taking_an_edge_off_tells_which_seam_went() {
    let pattern = plain().pattern();
    let told = told(&pattern, "set-edge", &[("edge", "front.armhole"), ("sewn-to", "none")]);
    let seam = "binding.long + front.armhole back.armhole".to_owned();
    assert!(told.contains(&Notice::SeamTakenOff { seam }), "{told:?}");
}

#[test]
fn corners_lie_between_edges_that_meet() {
    let pattern = plain().pattern();
    let set =
        |edges: &str, shape: &str| step("set-corner", &[("edges", edges), ("shape", shape)]).apply(&pattern);
    assert_says(&set("front.side, back.hem", "jog").unwrap_err(), RefusalKind::BadField, &["one piece"]);
    assert_says(&set("front.side, front.neck", "jog").unwrap_err(), RefusalKind::BadField, &["do not meet"]);
    assert_says(
        &set("front.side, front.armhole", "turned-up").unwrap_err(),
        RefusalKind::NotOfThatSort,
        &["neither edge is a hem"],
    );
    let squared = set("front.side, front.armhole", "square").unwrap().pattern;
    assert_eq!(piece(&squared, "front").corners[0].shape, CornerShape::Square("side".parse().unwrap()));
    let jogged = done(&squared, "set-corner", &[("edges", "front.armhole, front.side"), ("shape", "jog")]);
    assert_eq!(piece(&jogged, "front").corners.len(), 1);
    let usual = done(&jogged, "set-corner", &[("edges", "front.side, front.armhole"), ("shape", "usual")]);
    assert!(piece(&usual, "front").corners.is_empty());
}

#[test]
fn a_piece_cannot_lose_the_mirrored_copy_that_its_seam_needs() {
    let draft = Draft { front: Block { centre: Centre::Seam, ..plain().front }, ..plain() };
    let pattern = draft.pattern();
    let refusal = refused(&pattern, "set-piece", &[("piece", "front"), ("cut", "2 same")]);
    assert_says(
        &refusal,
        RefusalKind::BadSeam,
        &["mirrored copy", "edge = \"front.centre\", sewn-to = \"none\""],
    );
    let taken = refused(&pattern, "set-piece", &[("piece", "front"), ("name", "back")]);
    assert_says(&taken, RefusalKind::NameTaken, &["back"]);
}

#[test]
fn unfolding_mirrors_corners_darts_and_the_way_they_are_pressed() {
    let front = Block { dart: Some(20.0), ..plain().front };
    let mut pattern = Draft { front, ..plain() }.pattern();
    let name = "front".parse().unwrap();
    pattern.piece_mut(&name).unwrap().darts[0].press = Press::Toward("side".parse().unwrap());
    let pattern = done(&pattern, "set-corner", &[("edges", "front.side, front.hem"), ("shape", "square")]);
    let opened = done(&pattern, "unfold", &[("piece", "front")]);
    let opened = piece(&opened, "front");
    assert_eq!(opened.corners.len(), 2);
    assert_eq!(opened.corners[1].shape, CornerShape::Square("side/m".parse().unwrap()));
    assert_eq!(opened.darts[1].press, Press::Toward("side/m".parse().unwrap()));
    assert_eq!(opened.darts[1].mouth().unwrap().edge.as_str(), "hem/m");
    assert!(opened.fold().is_none());
    assert_eq!(opened.points.len(), 2);
}

#[test]
fn unfolding_sews_the_mirrored_half_to_the_mirrored_copies() {
    let draft = Draft { back: Block { centre: Centre::Free, ..plain().back }, ..plain() };
    let opened = done(&draft.pattern(), "unfold", &[("piece", "front")]);
    let mirrored = EdgeRef::new("front".parse().unwrap(), "side/m".parse().unwrap());
    let seam = opened.seam(opened.seam_named(&mirrored, None).unwrap());
    assert!(seam.name().contains("back.side/m"), "{}", seam.name());
    assert_eq!(seam_count(&opened, "front.armhole"), 1);
}

#[test]
fn a_whole_piece_that_is_not_symmetric_is_refused_with_its_deviation() {
    let pattern = plain().pattern();
    let half = Draft { front: Block { centre: Centre::Free, ..plain().front }, ..plain() }.pattern();
    let refusal = refused(&half, "fold", &[("piece", "front")]);
    assert_says(&refusal, RefusalKind::NotOfThatSort, &["differ", "mm, at ("]);
    let folded = refused(&pattern, "fold", &[("piece", "front")]);
    assert_says(&folded, RefusalKind::NotOfThatSort, &["half already"]);
}

/// A plain rectangle is cut through its middle: edges that cross the axis keep their names, one that goes is gone.
#[test]
fn folding_cuts_the_edges_that_cross_the_middle() {
    let pattern = done(&plain().pattern(), "set-edge", &[("edge", "binding.long"), ("sewn-to", "none")]);
    let length = sewn_length(piece(&pattern, "binding"), "long");
    let folded = done(&pattern, "fold", &[("piece", "binding")]);
    let half = piece(&folded, "binding");
    let names: Vec<&str> = half.edges().iter().map(|edge| edge.name.as_str()).collect();
    assert_eq!(names.len(), 4);
    assert!(names.contains(&"centre") && names.contains(&"long") && names.contains(&"outer"));
    assert_abs_diff_eq!(sewn_length(half, "long"), length / 2.0, epsilon = 1e-9);
    assert_eq!(half.edge(half.fold().unwrap()).allowance, Length::ZERO);
}

/// A seam of a whole piece that runs across its middle names both copies of the half after.
#[test]
fn folding_turns_a_run_across_the_middle_into_both_copies() {
    let pattern = plain().pattern();
    let folded = done(&pattern, "fold", &[("piece", "binding")]);
    let seam = folded.seams().iter().find(|seam| seam.name().contains("binding")).unwrap();
    let run = if seam.first.names().contains("binding") { &seam.first } else { &seam.second };
    assert_eq!(run.edges().len(), 2);
    assert_ne!(run.edges()[0].edge.copy, run.edges()[1].edge.copy);
    let length = Walk::of(&folded, run).unwrap().length();
    assert_abs_diff_eq!(length, sewn_length(piece(&pattern, "binding"), "long"), epsilon = 1e-9);
}

#[test]
fn a_piece_without_a_fold_has_no_centre_to_open() {
    let pattern = plain().pattern();
    for operation in ["open-centre", "unfold"] {
        let refusal = refused(&pattern, operation, &[("piece", "binding")]);
        assert_says(&refusal, RefusalKind::NotOfThatSort, &["none of its edges is a fold"]);
        let refusal = refused(&pattern, operation, &[("piece", "front"), ("edge", "side")]);
        assert_says(&refusal, RefusalKind::NotOfThatSort, &["not a fold", "centre"]);
    }
}

#[test]
fn a_band_too_deep_is_refused() {
    let pattern = plain().pattern();
    let band = |edge: &str, depth: &str| {
        refused(&pattern, "add-band", &[("piece", "front"), ("edge", edge), ("depth", depth)])
    };
    assert_says(&band("hem", "0mm"), RefusalKind::BadField, &["above 0mm"]);
    assert_says(&band("hem", "395mm"), RefusalKind::BadWidth, &["too deep", "armhole"]);
    assert_says(&band("hem", "900mm"), RefusalKind::BadWidth, &["outside the piece"]);
    assert_says(&band("centre", "2cm"), RefusalKind::NotOfThatSort, &["a fold"]);
}

#[test]
fn a_hem_band_of_a_half_piece_keeps_its_part_of_the_fold() {
    let banded =
        done(&plain().pattern(), "add-band", &[("piece", "front"), ("edge", "hem"), ("depth", "5cm")]);
    let band = piece(&banded, "front-band");
    assert_abs_diff_eq!(sewn_length(band, "centre"), 50.0, epsilon = 1e-6);
    assert_eq!(band.cut, piece(&banded, "front").cut);
    assert!(band.grainline.is_some());
}

/// 245 mm from the fold and 15 mm allowance are 520 mm opened out: two panels of 275 mm, three of 193 mm.
#[test]
fn an_even_count_of_panels_opens_the_fold_and_an_odd_one_keeps_it() {
    let draft = plain();
    let pattern = draft.pattern();
    let narrow = refused(&pattern, "limit-width", &[("piece", "front"), ("width", "5cm")]);
    assert_says(&narrow, RefusalKind::BadWidth, &["narrower than its own allowances"]);
    let bare = refused(&pattern, "limit-width", &[("piece", "binding"), ("width", "30cm")]);
    assert_says(&bare, RefusalKind::NotOfThatSort, &["no grainline"]);
    let wide = told(&pattern, "limit-width", &[("piece", "front"), ("width", "90cm")]);
    assert!(matches!(wide[0], Notice::NothingToDo { .. }));
    let halves = done(&pattern, "limit-width", &[("piece", "front"), ("width", "30cm")]);
    assert_eq!(piece(&halves, "front").cut.copies, 2, "two panels: the fold became a seam");
    let three = step("limit-width", &[("piece", "front"), ("width", "22cm")]).apply(&pattern).unwrap();
    assert!(
        three.notices.iter().any(|told| matches!(told, Notice::Panels { count: 3, .. })),
        "{:?}",
        three.notices
    );
    let (centre, side) = (piece(&three.pattern, "front-centre"), piece(&three.pattern, "front-side"));
    assert!(centre.fold().is_some() && side.fold().is_none());
    assert_eq!(side.cut.copies, 2);
}

#[test]
fn the_grain_cannot_run_along_a_curve() {
    let pattern = plain().pattern();
    let along = "shoulder@50% ~ bust-point ~ hem@30%";
    let refusal = refused(&pattern, "turn-grain", &[("piece", "front"), ("to", along)]);
    assert_says(&refusal, RefusalKind::BadLine, &["not straight"]);
    let told = told(&pattern, "turn-grain", &[("piece", "front"), ("to", "crosswise")]);
    assert!(matches!(told[0], Notice::GrainTurned { degrees, .. } if (degrees.abs() - 90.0).abs() < 1e-9));
}

#[test]
fn seams_that_differ_too_much_are_not_trued() {
    let draft = Draft { back: Block { length: 640.0, ..plain().back }, ..plain() };
    let refusal = refused(&draft.pattern(), "true-seam", &[("seam", "front.side")]);
    assert_says(&refusal, RefusalKind::LengthsDiffer, &["differ by", "15 mm"]);
    let pattern = plain().pattern();
    let told = told(&pattern, "true-seam", &[("seam", "front.side")]);
    assert!(matches!(told[0], Notice::AlreadyTrue { .. }));
    let stranger = refused(&pattern, "true-seam", &[("seam", "front.side"), ("by", "binding")]);
    assert_says(&stranger, RefusalKind::BadField, &["no side of the seam"]);
    let inner = refused(&pattern, "true-seam", &[("seam", "front.side"), ("smooth", "front.neck")]);
    assert_says(&inner, RefusalKind::BadField, &["does not meet", "front.hem"]);
}

/// The binding is let out at a free end; the armholes it is sewn to stay.
#[test]
fn a_seam_of_several_edges_is_trued_at_its_end() {
    let pattern = plain().pattern();
    let eased = done(&pattern, "set-edge", &[("edge", "binding.long"), ("ease", "6mm")]);
    let trued = done(&eased, "true-seam", &[("seam", "binding.long"), ("by", "binding")]);
    let grown =
        sewn_length(piece(&trued, "binding"), "long") - sewn_length(piece(&pattern, "binding"), "long");
    assert_abs_diff_eq!(grown, 6.0, epsilon = 1e-6);
    assert_eq!(piece(&trued, "front").outline(), piece(&pattern, "front").outline());
}

fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    retrue::sheet::read(&bytes, &Default::default()).unwrap().pattern
}

/// Whether every seam of one pattern is one of another, or the mirror image of one.
fn assert_same_seams(one: &Pattern, other: &Pattern) {
    assert_eq!(one.seams().len(), other.seams().len());
    for seam in one.seams() {
        let (first, second) = (seam.first.mirrored(), seam.second.mirrored());
        let mirrored = Seam { first, second, ease: seam.ease };
        let there = other.seams().iter().any(|found| found.is_same(seam) || found.is_same(&mirrored));
        assert!(there, "{}", seam.name());
    }
}

/// Every half piece of the fixtures is opened out, written, read and folded again: its seams are as before.
#[test]
fn opened_pieces_keep_their_seams_through_a_sheet() {
    for name in ["coat", "dress", "skirt-shaped-back"] {
        let pattern = fixture(name);
        let halves = pattern.pieces().filter(|piece| piece.fold().is_some());
        let halves: Vec<String> = halves.map(|piece| piece.name().to_string()).collect();
        assert!(!halves.is_empty());
        for half in halves {
            let opened = done(&pattern, "unfold", &[("piece", &half)]);
            let text = retrue::sheet::write(&opened).unwrap();
            let again = retrue::sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern;
            assert_same_seams(&opened, &again);
            let fold = piece(&pattern, &half).edge(piece(&pattern, &half).fold().unwrap()).name.to_string();
            let folded = done(&again, "fold", &[("piece", &half), ("edge", &fold)]);
            assert_same_seams(&pattern, &folded);
            for edge in piece(&pattern, &half).edges() {
                let now = piece(&folded, &half);
                let now = now.edge(now.find_edge(&edge.name).unwrap());
                assert_abs_diff_eq!(now.curve.length(), edge.curve.length(), epsilon = 0.01);
                assert_eq!(now.finish, edge.finish);
            }
        }
    }
}
