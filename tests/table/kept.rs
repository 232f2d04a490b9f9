//! What is kept: on disk as the command makes it, undone, done again, left out, and there after a restart.

use retrue::cloth::Size;
use retrue::cloth::layout::{LayTask, LayWish};
use retrue::recipe::OnOrOff;
use retrue::table::{At, Folder, FolderFault, Table, TableFault, Thing};
use serde_json::json;

use crate::bench::{Bench, CLOTH, hand, keep, narrow_allowances, step, tried};

#[test]
fn what_is_kept_is_the_recipe_and_the_sheet_that_apply_makes_of_it() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    assert_eq!(bench.text("pattern.svg"), bench.applied(), "before the first step");
    keep(&mut table, &narrow_allowances());
    let wish = hand(&table, "back.side", -20.0, "straight", 0.0);
    let seen = keep(&mut table, &wish);
    assert_eq!(seen.steps.len(), 2);
    assert_eq!(bench.text("recipe.toml"), table.laid().recipe());
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    assert!(bench.text("recipe.toml").starts_with("# Made at the cutting table."), "what stood there stays");
}

#[test]
fn steps_are_undone_and_done_again_also_after_a_restart() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let mut texts = vec![bench.text("recipe.toml")];
    let mut sheets = vec![bench.text("pattern.svg")];
    for allowance in [8, 9, 10, 11] {
        let set =
            json!({ "do": "set-allowance", "edges": "back.side", "allowance": format!("{allowance}mm") });
        keep(&mut table, &step(set));
        texts.push(bench.text("recipe.toml"));
        sheets.push(bench.text("pattern.svg"));
    }
    let is_at = |at: usize| {
        (bench.text("recipe.toml"), bench.text("pattern.svg")) == (texts[at].clone(), sheets[at].clone())
    };
    for at in (0..4).rev() {
        table.undo(table.revision()).expect("undone");
        assert!(is_at(at), "back at {at}");
        drop(table);
        table = bench.table();
    }
    assert!(table.undo(table.revision()).is_err(), "nothing is left");
    for at in 1..=4 {
        table.do_again(table.revision()).expect("done again");
        assert!(is_at(at), "again at {at}");
        drop(table);
        table = bench.table();
    }
    assert!(table.do_again(table.revision()).is_err(), "nothing is left");
    table.undo(table.revision()).expect("undone");
    keep(&mut table, &narrow_allowances());
    assert!(!table.seen().can_do_again, "a new step takes the place of what was undone");
}

/// A program killed between the recipe and the sheet, or before it noted the change, goes on after the last step.
#[test]
fn a_table_that_was_killed_while_it_wrote_goes_on_after_the_last_step() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let (sheet, now) = (bench.text("pattern.svg"), bench.text(".retrue/undo/now.json"));
    keep(&mut table, &narrow_allowances());
    let after = bench.text("pattern.svg");
    drop(table);
    bench.write("pattern.svg", &sheet);
    bench.write(".retrue/undo/now.json", &now);
    let mut table = bench.table();
    let seen = table.seen();
    assert_eq!((seen.steps.len(), seen.outside, bench.text("pattern.svg")), (1, None, after));
    table.undo(table.revision()).expect("undone");
    assert_eq!(bench.text("pattern.svg"), sheet);
}

/// A step that can no longer be done is marked with the reason, and not lost.
#[test]
fn leaving_a_step_out_leaves_out_what_cannot_be_done_without_it() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(
        &mut table,
        &step(json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": "upper, lower" })),
    );
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "upper", "to": "crosswise" })));
    keep(&mut table, &narrow_allowances());
    table.turn(1, OnOrOff::Off, table.revision()).expect("left out");
    let seen = table.seen();
    assert_eq!(seen.steps.iter().map(|step| step.left_out).collect::<Vec<_>>(), [true, true, false]);
    let text = bench.text("recipe.toml");
    let reason = text.lines().find(|line| line.starts_with("off = true   # ")).expect("a reason");
    assert!(reason.contains("no piece named `upper`"), "{text}");
    let reasons: Vec<_> = seen.steps.iter().map(|step| step.reason.as_deref()).collect();
    assert!(reasons[1].is_some_and(|why| why.contains("no piece named `upper`")), "{reasons:?}");
    assert_eq!((reasons[0], reasons[2]), (None, None));
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    assert!(table.turn(2, OnOrOff::On, table.revision()).is_err(), "it cannot be done yet");
    table.turn(1, OnOrOff::On, table.revision()).expect("put back");
    assert!(table.seen().steps.iter().all(|step| !step.left_out), "what hung on it is done again");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}

/// A sleeve cut in two, a grain turned on its upper half, and its lower half cut in two: each hangs on the first.
fn cut_sleeve(table: &mut Table) {
    let halves = json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": "upper, lower" });
    keep(table, &step(halves));
    keep(table, &step(json!({ "do": "turn-grain", "piece": "upper", "to": "crosswise" })));
    keep(table, &narrow_allowances());
    keep(table, &step(json!({ "do": "turn-grain", "piece": "lower", "to": "crosswise" })));
}

/// Whichever step is left out and put back, the recipe is then the very same.
#[test]
fn a_step_that_is_left_out_and_put_back_leaves_all_as_it_was() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    cut_sleeve(&mut table);
    let (recipe, sheet) = (bench.text("recipe.toml"), bench.text("pattern.svg"));
    for number in 1..=4 {
        table.turn(number, OnOrOff::Off, table.revision()).expect("left out");
        assert_ne!(bench.text("recipe.toml"), recipe);
        table.turn(number, OnOrOff::On, table.revision()).expect("put back");
        assert_eq!((bench.text("recipe.toml"), bench.text("pattern.svg")), (recipe.clone(), sheet.clone()));
    }
}

/// What a person left out stays out, with or without a remark of hers.
#[test]
fn what_a_person_left_out_is_not_put_back_with_what_it_hangs_on() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    cut_sleeve(&mut table);
    table.turn(4, OnOrOff::Off, table.revision()).expect("left out");
    drop(table);
    let text = bench.text("recipe.toml");
    bench.write(
        "recipe.toml",
        &text.replacen("piece = \"upper\"\n", "piece = \"upper\"\noff = true # not yet\n", 1),
    );
    let mut table = bench.table();
    let out = |table: &Table| table.seen().steps.iter().map(|step| step.left_out).collect::<Vec<_>>();
    let before = out(&table);
    assert_eq!(before, [false, true, false, true]);
    table.turn(1, OnOrOff::Off, table.revision()).expect("left out");
    table.turn(1, OnOrOff::On, table.revision()).expect("put back");
    assert_eq!(out(&table), before);
}

/// A step that was left out for a name is done again once that name is there, by whatever change before it; where it would take
/// away what was done since it stays out, and says so.
#[test]
fn a_step_is_tried_again_as_often_as_one_before_it_changes() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    cut_sleeve(&mut table);
    let named =
        |names: &str| json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": names });
    let change = |table: &mut Table, names: &str| {
        table.keep_at(&step(named(names)), At::InPlaceOf(1), table.revision()).expect("changed");
        table.seen().steps.iter().map(|step| step.left_out).collect::<Vec<_>>()
    };
    assert_eq!(change(&mut table, "over, lower"), [false, true, false, false]);
    assert_eq!(change(&mut table, "over, under"), [false, true, false, true]);
    assert_eq!(change(&mut table, "upper, under"), [false, false, false, true]);
    assert_eq!(change(&mut table, "upper, lower"), [false; 4]);
    table.turn(1, OnOrOff::Off, table.revision()).expect("left out");
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "sleeve", "to": "crosswise" })));
    table.turn(3, OnOrOff::Off, table.revision()).expect("left out");
    let reasons: Vec<_> = table.seen().steps.into_iter().map(|step| step.reason).collect();
    assert!(reasons[1].as_deref().is_some_and(|why| why.contains("`upper`")), "{reasons:?}");
}

#[test]
fn one_folder_has_one_table() {
    let bench = Bench::of_coat();
    let table = bench.table();
    assert!(matches!(bench.try_table().err(), Some(TableFault::Folder(FolderFault::Locked))));
    drop(table);
    assert!(Folder::take(bench.path("").as_path()).is_ok());
}

#[test]
fn a_thousand_steps_can_be_undone() {
    let bench = Bench::of_coat();
    let first = bench.text("recipe.toml");
    bench.write("coat.svg", &small());
    let mut table = bench.table();
    for number in 0..1000 {
        let set = json!({ "do": "set-allowance", "edges": "strip.long", "allowance": format!("{}mm", 5 + number % 2) });
        table.keep(&step(set), table.revision()).expect("kept");
        if number % 100 == 99 {
            // Begun anew from time to time, as by another program: only undoing is held here, and a long recipe takes long.
            drop(table);
            bench.write("recipe.toml", &first);
            table = bench.table();
        }
    }
    let mut undone = 0;
    while table.seen().can_undo {
        table.undo(table.revision()).expect("undone");
        undone += 1;
    }
    assert!(undone >= 1000, "{undone}");
    assert_eq!(bench.text("recipe.toml"), first);
}

/// A pattern of one piece.
fn small() -> String {
    let edge = |name: &str, d: &str| {
        format!(
            "<path id=\"strip.{name}\" data-kind=\"edge\" data-finish=\"hem\" data-allowance=\"9mm\" d=\"{d}\"/>"
        )
    };
    let edges = [
        edge("long", "M0 0H300"),
        edge("right", "M300 0V80"),
        edge("low", "M300 80H0"),
        edge("left", "M0 80V0"),
    ];
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"100mm\" viewBox=\"0 0 400 100\">\
         <g id=\"strip\" data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\">{}</g></svg>",
        edges.concat()
    )
}

/// What is turned up is not sewn: the way out takes the edge off its seam at the same time.
#[test]
fn an_edge_that_is_sewn_becomes_no_hem_unless_it_is_taken_off_its_seam() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let hem = json!({ "do": "set-edge", "edge": "sleeve.underarm-front", "finish": "hem" });
    let refused = tried(&table, &step(hem)).refused.expect("it is sewn");
    assert!(refused.what.contains("cannot be a hem"), "{refused:?}");
    let press = refused.presses.first().expect("a way out");
    assert_eq!(press.step["sewn-to"], "none");
    keep(&mut table, &step(press.step.clone()));
    let laid = table.laid();
    assert_eq!(laid.pattern().seams_of(&"sleeve.underarm-front".parse().expect("a name")).count(), 0);
}

/// A piece that is not cut is held against no cloth and laid on none; it comes back as it was.
#[test]
fn a_piece_is_left_out_of_the_job_and_taken_back() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let piece = Thing::Piece("pocket-bag".parse().expect("a name"));
    let offered = |table: &Table, says: &str| {
        let offers = table.laid().offers(&piece, At::End).expect("offers");
        offers.into_iter().find(|offer| offer.own && offer.says.contains(says)).expect("an offer")
    };
    let out = offered(&table, "not cut");
    keep(&mut table, &step(out.step));
    let seen = table.seen();
    let bag = seen.pieces.iter().find(|piece| piece.name == "pocket-bag").expect("it lies there");
    assert_eq!(bag.fit_word, "not cut");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    let stock = CLOTH.parse::<Size>().expect("a size").stock().expect("cloth");
    let laid = table.laid();
    let task = LayTask::of(laid.pattern(), &stock, LayWish::default()).expect("a task");
    assert!(task.copies.iter().all(|copy| copy.piece.as_str() != "pocket-bag"));
    assert!(
        task.without_cloth.iter().all(|without| without.piece.as_str() != "pocket-bag"),
        "it lies nowhere on purpose"
    );
    let back = step(offered(&table, "back").step);
    keep(&mut table, &back);
    assert!(table.laid().pattern().piece(&"pocket-bag".parse().expect("a name")).expect("a piece").is_cut());
}
