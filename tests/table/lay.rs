//! The pieces on the cloth: searched for beside the table as `lay` does, and moved by hand only to where they may lie.

use std::process::Command;

use serde_json::{Value, json};

use crate::bench::{Bench, keep, narrow_allowances};
use crate::door::Door;

/// Cloth on which the whole coat lies.
const WIDE: &str = "150cm x 4m";

fn wide_coat() -> Door {
    let bench = Bench::of_coat();
    let mut table = bench.table_with(WIDE);
    keep(&mut table, &narrow_allowances());
    drop(table);
    Door::with(bench, WIDE)
}

/// Begins a search, and waits for its end.
fn laid(door: &Door, said: &Value) -> Value {
    let begun = door.told("/lay/begin", &json!({ "said": said }));
    assert!(begun["refused"].is_null(), "{begun}");
    ended(door)
}

fn ended(door: &Door) -> Value {
    loop {
        let seen = door.got("/lay");
        if seen["is-running"] == false && door.got("/revision")["is-busy"] == false {
            return door.got("/lay");
        }
        std::thread::yield_now();
    }
}

/// What the command writes in the folder of the table.
fn by_command(bench: &Bench, options: &[&str]) -> [Vec<u8>; 2] {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.current_dir(bench.path("")).args(["lay", "pattern.svg", "--cloth", WIDE]).args(options);
    command.args(["-o", "command.svg", "--sewn", "command-sewn.svg", "--force", "--quiet"]);
    let done = command.output().expect("the program");
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    ["command.svg", "command-sewn.svg"].map(|name| std::fs::read(bench.path(name)).expect("a file"))
}

fn middle(copy: &Value) -> [f64; 2] {
    [0, 1].map(|i| copy["at"][i].as_f64().expect("a number"))
}

fn is_refused(told: &Value, why: &str) -> bool {
    told["refused"]["what"].as_str().is_some_and(|what| what.contains(why))
}

#[test]
fn a_layout_is_what_lay_writes() {
    let door = wide_coat();
    for (said, options) in [
        (json!({ "iterations": "40" }), vec!["--iterations=40"]),
        (
            json!({ "iterations": "40", "seed": "7", "grain-tolerance": "2" }),
            vec!["--iterations=40", "--seed=7", "--grain-tolerance=2"],
        ),
        (json!({ "iterations": "60", "folded": "yes" }), vec!["--iterations=60", "--folded"]),
    ] {
        let seen = laid(&door, &said);
        assert_eq!(seen["is-kept"], true, "{seen}");
        let [layout, sewn] = by_command(&door.bench, &options);
        assert!(door.file("layout.svg") == layout && door.file("sewn.svg") == sewn, "{options:?}");
    }
}

#[test]
fn a_search_is_stopped_at_will_and_its_best_is_kept() {
    let door = wide_coat();
    let begun = door.told("/lay/begin", &json!({ "said": { "seconds": "3600" } }));
    assert_eq!(begun["is-running"], true, "{begun}");
    loop {
        let seen = door.got("/lay");
        if seen["copies"].as_array().is_some_and(|copies| !copies.is_empty()) {
            break;
        }
        assert_eq!(seen["is-running"], true, "it runs until a best so far is shown: {seen}");
        std::thread::yield_now();
    }
    door.told("/lay/stop", &json!({}));
    let seen = ended(&door);
    assert!(seen["is-kept"] == true && door.bench.path("layout.svg").exists(), "{seen}");
}

#[test]
fn a_newer_search_ends_the_one_before() {
    let door = wide_coat();
    door.told("/lay/begin", &json!({ "said": { "seconds": "3600" } }));
    let seen = laid(&door, &json!({ "iterations": "40" }));
    assert_eq!(seen["is-kept"], true, "{seen}");
    let [layout, _] = by_command(&door.bench, &["--iterations=40"]);
    assert!(door.file("layout.svg") == layout, "that of the newer search is kept at last");
}

/// Wherever a hand would have a copy, it settles where every rule of a layout is kept; let go, the whole is checked again.
#[test]
fn a_copy_settles_where_it_may_lie() {
    let door = wide_coat();
    let seen = laid(&door, &json!({ "iterations": "40" }));
    let copies = seen["copies"].as_array().cloned().expect("copies");
    let ways = [(0.0, 0.0), (35.0, 0.0), (-120.0, 60.0), (0.0, 900.0), (400.0, -300.0), (-5000.0, 99999.0)];
    let (mut settled, mut moved) = (0, 0);
    for (copy, (x, y)) in copies.iter().cycle().zip(ways.iter().cycle()).take(24) {
        let now = door.got("/lay")["copies"][copy["number"].as_u64().expect("a number") as usize].clone();
        let [at_x, at_y] = middle(&now);
        let hand = json!({ "copy": copy["number"], "at": [at_x + x, at_y + y], "turn": "none" });
        let revision = door.got("/revision")["revision"].clone();
        let layout = door.got("/lay")["number"].clone();
        let kept = door.told("/lay/keep", &json!({ "revision": revision, "layout": layout, "hand": hand }));
        assert!(kept["refused"].is_null(), "{hand}: {kept}");
        settled += 1;
        let after = middle(&kept["copies"][copy["number"].as_u64().expect("a number") as usize]);
        moved += usize::from(after != [at_x, at_y]);
        if (*x, *y) == (0.0, 0.0) {
            let off = (after[0] - at_x).hypot(after[1] - at_y);
            assert!(off < 0.02, "a copy that is let go where it lay stays: {off}");
        }
    }
    assert!(settled == 24 && moved > 8, "{moved} of {settled} moved");
    // The file is drawn of what was checked, and no copy is missing.
    let text = String::from_utf8(door.file("layout.svg")).expect("a text");
    assert!(copies.iter().all(|copy| text.contains(copy["called"].as_str().expect("a name"))));
}

#[test]
fn moves_are_taken_back_and_a_layout_is_there_after_a_restart() {
    let door = wide_coat();
    let seen = laid(&door, &json!({ "iterations": "40" }));
    let first = door.file("layout.svg");
    let [x, y] = middle(&seen["copies"][0]);
    let keep = |door: &Door, by: f64| {
        let hand = json!({ "copy": 0, "at": [x, y + by], "turn": "none" });
        let (revision, layout) =
            (door.got("/revision")["revision"].clone(), door.got("/lay")["number"].clone());
        door.told("/lay/keep", &json!({ "revision": revision, "layout": layout, "hand": hand }))
    };
    let moved = keep(&door, 2500.0);
    assert!(moved["refused"].is_null() && moved["can-take-back"] == true, "{moved}");
    let second = door.file("layout.svg");
    assert_ne!(first, second);
    let door = door.again();
    let again = door.got("/lay");
    assert!(
        again["is-kept"] == true && middle(&again["copies"][0]) == middle(&moved["copies"][0]),
        "{again}"
    );
    assert_eq!(door.file("layout.svg"), second);
    assert!(keep(&door, 0.0)["refused"].is_null());
    let back = door.told("/lay/back", &json!({ "layout": door.got("/lay")["number"] }));
    assert_eq!(middle(&back["copies"][0]), middle(&moved["copies"][0]));
}

#[test]
fn a_layout_of_the_pattern_before_is_told_and_not_moved() {
    let door = wide_coat();
    laid(&door, &json!({ "iterations": "40" }));
    let wish = json!({ "step": { "do": "set-allowance", "edges": "back.hem", "allowance": "20mm" } });
    let kept = door.told("/keep", &json!({ "revision": door.got("/revision")["revision"], "wish": wish }));
    assert!(kept["refused"].is_null(), "{kept}");
    let seen = door.got("/lay");
    assert!(seen["is-kept"] == false && seen["says"].to_string().contains("lay the pieces again"), "{seen}");
    let hand = json!({ "copy": 0, "at": [0.0, 0.0], "turn": "none" });
    let revision = door.got("/revision")["revision"].clone();
    let told =
        door.told("/lay/keep", &json!({ "revision": revision, "layout": seen["number"], "hand": hand }));
    assert!(is_refused(&told, "no layout of this pattern"), "{told}");
}

#[test]
fn what_lay_refuses_is_refused() {
    let door = wide_coat();
    for (said, why) in [
        (json!({ "match": "back.side" }), "neither stripes nor colours"),
        (json!({ "match": "back.nowhere" }), "nowhere"),
        (json!({ "seconds": "5", "iterations": "5" }), "exclude each other"),
        (json!({ "seconds": "-1" }), "-1"),
        (json!({ "output": "elsewhere.svg" }), "no field"),
    ] {
        let told = door.told("/lay/begin", &json!({ "said": said }));
        assert!(is_refused(&told, why), "{said}: {told}");
    }
    let hand = json!({ "copy": 99, "at": [0.0, 0.0], "turn": "none" });
    laid(&door, &json!({ "iterations": "40" }));
    let told = door.told("/lay/try", &json!({ "page": 1, "number": 1, "hand": hand }));
    assert!(is_refused(&told, "not on the cloth"), "{told}");
}

/// A search that finds nothing better does not take the place of what lies there.
#[test]
fn a_worse_layout_does_not_replace_a_better_one() {
    let door = wide_coat();
    laid(&door, &json!({ "iterations": "400" }));
    let better = door.file("layout.svg");
    let seen = laid(&door, &json!({ "iterations": "2", "seed": "7" }));
    let [worse, _] = by_command(&door.bench, &["--iterations=2", "--seed=7"]);
    assert_ne!(better, worse);
    assert!(door.file("layout.svg") == better, "{seen}");
    assert!(seen["says"].to_string().contains("stays"), "{seen}");
    assert_eq!(seen["can-take-back"], false);
}

/// A pattern that the recipe begins with is part of what a layout is of.
#[test]
fn a_layout_is_of_the_pattern_that_was_made_and_not_of_its_recipe() {
    let door = wide_coat();
    laid(&door, &json!({ "iterations": "40" }));
    let with_layout = door.told("/report", &json!({}));
    assert!(with_layout["told"] == json!([]), "{with_layout}");
    assert!(String::from_utf8_lossy(&door.file("report.html")).contains("Cutting layout"));
    let other = door.bench.text("coat.svg").replacen("<title>", "<title>Long ", 1) + "\n";
    door.bench.write("coat.svg", &other);
    door.got("/revision");
    assert_eq!(door.got("/lay")["is-kept"], false);
    let saved = door.got("/saved").to_string();
    assert!(saved.contains("the cutting layout, of the pattern as it was before"), "{saved}");
    let told = door.told("/report", &json!({}));
    assert!(told["told"].to_string().contains("it is left out"), "{told}");
    assert!(!String::from_utf8_lossy(&door.file("report.html")).contains("Cutting layout layout.svg"));
    // Nor is it found again, though the recipe is the same.
    let door = door.again();
    assert_eq!(door.got("/lay")["is-kept"], false);
}

/// Of two pages that move copies of one layout the second is told, and nothing of the first is lost.
#[test]
fn a_move_in_a_layout_that_has_changed_meanwhile_is_refused() {
    let door = wide_coat();
    let seen = laid(&door, &json!({ "iterations": "40" }));
    let keep = |copy: usize, layout: &Value| {
        let [x, y] = middle(&seen["copies"][copy]);
        let hand = json!({ "copy": copy, "at": [x, y + 2500.0], "turn": "none" });
        let revision = door.got("/revision")["revision"].clone();
        door.told("/lay/keep", &json!({ "revision": revision, "layout": layout, "hand": hand }))
    };
    let first = keep(0, &seen["number"]);
    assert!(first["refused"].is_null() && first["number"] != seen["number"], "{first}");
    let file = door.file("layout.svg");
    assert!(is_refused(&keep(1, &seen["number"]), "the layout has changed meanwhile"));
    assert!(is_refused(
        &door.told("/lay/back", &json!({ "layout": seen["number"] })),
        "has changed meanwhile"
    ));
    assert!(door.file("layout.svg") == file);
    assert!(keep(1, &first["number"])["refused"].is_null());
}

/// The moves that are taken back are those of the layout that lies there, and not of the one that was searched for before.
#[test]
fn a_new_layout_has_no_move_to_take_back() {
    let door = wide_coat();
    let seen = laid(&door, &json!({ "iterations": "40" }));
    let [x, y] = middle(&seen["copies"][0]);
    let hand = json!({ "copy": 0, "at": [x, y + 2500.0], "turn": "none" });
    let revision = door.got("/revision")["revision"].clone();
    let moved =
        door.told("/lay/keep", &json!({ "revision": revision, "layout": seen["number"], "hand": hand }));
    assert_eq!(moved["can-take-back"], true, "{moved}");
    let newer = laid(&door, &json!({ "iterations": "40", "seed": "7" }));
    assert_eq!(newer["can-take-back"], false, "{newer}");
    let file = door.file("layout.svg");
    assert!(is_refused(&door.told("/lay/back", &json!({ "layout": newer["number"] })), "no move is left"));
    assert!(door.file("layout.svg") == file, "the new layout lies");
}

/// What another program wrote where a layout goes is put aside, and all pages are told.
#[test]
fn what_others_wrote_in_the_place_of_a_layout_is_told() {
    let door = wide_coat();
    door.bench.write("sewn.svg", "theirs");
    laid(&door, &json!({ "iterations": "40" }));
    assert_eq!(door.bench.text("sewn-aside-1.svg"), "theirs");
    assert!(door.got("/seen")["news"].to_string().contains("sewn-aside-1.svg"));
    door.bench.write("taste.toml", "whole = [\"back\"]\n");
    door.told("/plan/taste", &json!({ "said": { "whole": "front" } }));
    assert!(door.got("/seen")["news"].to_string().contains("taste-aside-1.toml"));
}
