//! Ways that fit: searched for beside the table as `plan` does, taken as steps, within what is said of taste.

use std::process::Command;

use serde_json::{Value, json};

use crate::bench::Bench;
use crate::door::Door;

/// Cloth on which the skirt lies, but not as it is.
const NARROW: &str = "50cm x 9m";

fn skirt() -> Door {
    Door::with(Bench::of("skirt-shaped-back.svg"), NARROW)
}

fn few() -> Value {
    json!({ "recuts": "60", "iterations": "40", "alternatives": "3" })
}

/// Begins a search, and waits for its end.
fn planned(door: &Door, said: &Value) -> Value {
    let begun = door.told("/plan/begin", &json!({ "said": said }));
    assert!(begun["refused"].is_null(), "{begun}");
    ended(door)
}

fn ended(door: &Door) -> Value {
    loop {
        if door.got("/revision")["is-busy"] == false {
            return door.got("/plan");
        }
        std::thread::yield_now();
    }
}

fn by_command(bench: &Bench, options: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.current_dir(bench.path("")).args(["plan", "pattern.svg", "--cloth", NARROW]).args(options);
    command.args(["--recuts=60", "--iterations=40", "--alternatives=3", "-o", "plans", "--force", "--quiet"]);
    let done = command.output().expect("the program");
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
}

/// The ways, their sentences and their layouts are those of the command; one that is taken is its recipe.
#[test]
fn a_way_is_what_plan_writes_and_is_taken_as_its_steps() {
    let door = skirt();
    let seen = planned(&door, &few());
    let ways = seen["ways"].as_array().cloned().expect("ways");
    assert!(!ways.is_empty() && seen["can-be-taken"] == true, "{seen}");
    by_command(&door.bench, &[]);
    // Once the search is over they stand as the command numbers them, the best first; names stand without signs.
    for (at, way) in ways.iter().enumerate() {
        let number = at + 1;
        let sentence = way["sentence"].as_str().expect("a sentence");
        let written = door.bench.text(&format!("plans/{number}.toml")).replace('`', "");
        assert!(written.contains(sentence), "plan {number} does not say {sentence}: {written}");
        assert!(!way.to_string().contains('`'), "{sentence}");
        let layout = door.got_bytes(&format!("/plan/layout/{}", way["id"]));
        assert_eq!(layout, door.file(&format!("plans/{number}.svg")), "{sentence}");
        assert_eq!(way["is-best"], number == 1, "{sentence}");
    }
    let revision = door.got("/revision")["revision"].clone();
    let best = ways.iter().find(|way| way["is-best"] == true).expect("a best one");
    let taken = door.told("/plan/take", &json!({ "revision": revision, "number": best["id"] }));
    assert!(taken["refused"].is_null(), "{taken}");
    let steps = |text: &str| -> Vec<String> {
        let steps = text.split("[[step]]").skip(1);
        steps
            .map(|step| step.lines().filter(|line| line.contains('=')).collect::<Vec<_>>().join("\n"))
            .collect()
    };
    assert_eq!(steps(&door.bench.text("recipe.toml")), steps(&door.bench.text("plans/1.toml")));
    assert_eq!(door.bench.text("pattern.svg"), door.bench.applied());
    assert_eq!(door.got("/lay")["is-kept"], true, "with its layout");
    let undone = door.told("/undo", &json!({ "revision": door.got("/revision")["revision"] }));
    assert!(
        undone["refused"].is_null() && undone["steps"].as_array().is_some_and(Vec::is_empty),
        "at one press"
    );
}

/// What is said of taste stands in a plan file that `plan` reads to the same end.
#[test]
fn limits_of_taste_hold_for_the_table_as_for_the_command() {
    let door = skirt();
    let first = planned(&door, &few());
    let kept =
        door.told("/plan/taste", &json!({ "said": { "unwanted": "centre, panels", "most-new-seams": "9" } }));
    assert!(kept["refused"].is_null(), "{kept}");
    let text = door.bench.text("taste.toml");
    assert!(text.contains("panels") && text.contains("most-new-seams = 9"), "{text}");
    let second = planned(&door, &few());
    by_command(&door.bench, &["--taste", "taste.toml"]);
    let best = |seen: &Value| {
        let ways = seen["ways"].as_array().cloned().unwrap_or_default();
        let best = ways.iter().find(|way| way["is-best"] == true).expect("a way");
        best["sentence"].as_str().expect("a sentence").to_owned()
    };
    let sentence = best(&second);
    let written = door.bench.text("plans/1.toml").replace('`', "");
    assert!(written.contains(&sentence), "{sentence}");
    assert_ne!(best(&first), sentence, "it changes what is offered");
    let refused = door.told("/plan/taste", &json!({ "said": { "whole": "nowhere" } }));
    assert!(refused["refused"].to_string().contains("nowhere"), "{refused}");
    assert_eq!(door.bench.text("taste.toml"), text, "nothing of it is written");
}

#[test]
fn a_search_is_stopped_at_will_and_what_was_found_stays() {
    let door = skirt();
    door.told("/plan/begin", &json!({ "said": { "recuts": "100000", "iterations": "100000" } }));
    loop {
        let seen = door.got("/plan");
        if seen["ways"].as_array().is_some_and(|ways| !ways.is_empty()) {
            break;
        }
        assert_eq!(seen["is-running"], true, "it runs until a best so far is shown: {seen}");
        std::thread::yield_now();
    }
    door.told("/plan/stop", &json!({}));
    let seen = ended(&door);
    assert!(seen["ways"].as_array().is_some_and(|ways| !ways.is_empty()), "{seen}");
}

/// Ways of a pattern that has changed since are not offered, and cannot be taken.
#[test]
fn ways_of_the_pattern_before_are_not_taken() {
    let door = skirt();
    planned(&door, &few());
    let edge = door.got("/seen")["pieces"][0]["edges"][0]["name"].clone();
    let wish = json!({ "step": { "do": "set-allowance", "edges": edge, "allowance": "21mm" } });
    let kept = door.told("/keep", &json!({ "revision": door.got("/revision")["revision"], "wish": wish }));
    assert!(kept["refused"].is_null(), "{kept}");
    assert_eq!(door.got("/plan")["can-be-taken"], false);
    let revision = door.got("/revision")["revision"].clone();
    let taken = door.told("/plan/take", &json!({ "revision": revision, "number": 1 }));
    assert!(taken["refused"].to_string().contains("not there any more"), "{taken}");
}

/// A page that does not know yet that a better way took the place of one still finds its layout.
#[test]
fn a_way_that_was_shown_keeps_its_layout() {
    let door = skirt();
    door.told("/plan/begin", &json!({ "said": { "recuts": "60", "iterations": "5", "alternatives": "1" } }));
    let mut shown: Vec<Value> = Vec::new();
    loop {
        let seen = door.got("/plan");
        for way in seen["ways"].as_array().into_iter().flatten() {
            if !shown.contains(&way["id"]) {
                shown.push(way["id"].clone());
            }
        }
        if seen["is-running"] == false {
            break;
        }
        std::thread::yield_now();
    }
    assert!(!shown.is_empty());
    for id in shown.iter().rev().take(8) {
        let layout = String::from_utf8(door.got_bytes(&format!("/plan/layout/{id}"))).expect("a text");
        assert!(layout.contains("<svg"), "{id}: {layout}");
    }
}
