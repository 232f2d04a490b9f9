//! What is saved: the bytes that the commands write from the same sheet, and nothing of another's lost.

use std::process::Command;

use retrue::table::Product;
use serde_json::{Value, json};

use crate::bench::{Bench, keep, narrow_allowances};
use crate::door::Door;

/// Does a command in the folder of a table, and gives what it wrote to a file beside.
fn written_by(bench: &Bench, arguments: &[&str], file: &str) -> Vec<u8> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.current_dir(bench.path("")).args(arguments).args(["-o", file, "--force", "--quiet"]);
    let done = command.output().expect("the program");
    assert!(done.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&done.stderr));
    std::fs::read(bench.path(file)).expect("a file")
}

fn narrow_coat() -> Door {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    drop(table);
    Door::of(bench)
}

#[test]
fn the_pattern_on_paper_is_what_print_writes() {
    let door = narrow_coat();
    let cases = [
        (json!({}), ["", ""], vec![]),
        (json!({ "paper": "letter", "landscape": "yes" }), ["", ""], vec!["--paper=letter", "--landscape"]),
        (
            json!({ "roll": "91cm" }),
            ["99.2mm", "100.3mm"],
            vec!["--roll=91cm", "--measured=100mm=99.2mm x 100.3mm"],
        ),
        (
            json!({ "piece": "back, collar", "margin": "9mm", "paper": "a4" }),
            ["", ""],
            vec!["--piece=back", "--piece=collar", "--margin=9mm"],
        ),
    ];
    for (said, bars, options) in cases {
        let told = door.told("/paper", &json!({ "said": said, "bars": bars }));
        assert!(
            told["refused"].is_null() && told["told"].as_array().is_some_and(|told| !told.is_empty()),
            "{told}"
        );
        let arguments: Vec<&str> = ["print", "pattern.svg"].into_iter().chain(options).collect();
        assert_eq!(
            door.file("pattern.pdf"),
            written_by(&door.bench, &arguments, "command.pdf"),
            "{arguments:?}"
        );
    }
}

#[test]
fn the_report_is_what_report_writes() {
    let door = narrow_coat();
    let told = door.told("/report", &json!({}));
    assert!(told["refused"].is_null(), "{told}");
    let arguments = ["report", "pattern.svg", "--before", "coat.svg"];
    assert_eq!(door.file("report.html"), written_by(&door.bench, &arguments, "command.html"));
}

#[test]
fn what_print_refuses_is_refused_in_a_sentence_and_nothing_is_written() {
    let door = narrow_coat();
    let cases = [
        (json!({ "margin": "9cm" }), ["", ""], "it must be from"),
        (json!({ "roll": "91cm", "paper": "a3" }), ["", ""], "exclude each other"),
        (json!({ "paper": "a17" }), ["", ""], "there are: a4"),
        (json!({}), ["99mm", ""], "measure both"),
        (json!({}), ["60mm", "100mm"], "scaled by the printer"),
        (json!({ "output": "/tmp/elsewhere.pdf" }), ["", ""], "there is no field"),
        (json!({ "piece": "nowhere" }), ["", ""], "nowhere"),
    ];
    for (said, bars, expected) in cases {
        let told = door.told("/paper", &json!({ "said": said, "bars": bars }));
        assert!(told["refused"].to_string().contains(expected), "{expected}: {told}");
        assert!(!door.bench.path("pattern.pdf").exists());
    }
}

/// A file that another program wrote is put aside, one that the table wrote is written anew.
#[test]
fn what_others_wrote_is_put_aside() {
    let door = narrow_coat();
    door.bench.write("pattern.pdf", "theirs");
    let told = door.told("/paper", &json!({ "said": {}, "bars": ["", ""] }));
    assert!(told["told"].to_string().contains("pattern-aside-1.pdf"), "{told}");
    assert_eq!(door.bench.text("pattern-aside-1.pdf"), "theirs");
    let told = door.told("/paper", &json!({ "said": { "paper": "a3" }, "bars": ["", ""] }));
    assert!(!told["told"].to_string().contains("aside") && !door.bench.path("pattern-aside-2.pdf").exists());
}

/// Whatever stands in a file of the folder, nothing of it runs, and no file but those of a table is served.
#[test]
fn files_are_opened_and_nothing_in_them_runs() {
    let door = narrow_coat();
    door.told("/report", &json!({}));
    let there = |product: &Product| door.bench.path(product.file()).exists();
    let products: Vec<Product> = Product::ALL.into_iter().filter(there).collect();
    assert!(products.len() > 2, "{} files", products.len());
    for product in products {
        let (policy, bytes) = door.saved(product.file());
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("script"), "{policy}");
        assert_eq!(bytes, door.file(product.file()));
    }
    for name in ["coat.svg", "..%2Fcoat.svg", "%2Fetc%2Fpasswd", ".retrue%2Flock"] {
        assert!(door.saved_status(name).is_client_error(), "{name}");
    }
}

/// What was made before a step says so.
#[test]
fn what_is_of_the_pattern_before_says_so() {
    let door = narrow_coat();
    door.told("/paper", &json!({ "said": {}, "bars": ["", ""] }));
    let says = |door: &Door| -> String {
        let saved = door.got("/saved");
        let files = saved["files"].as_array().cloned().unwrap_or_default();
        let found =
            files.iter().find(|file| file["file"] == "pattern.pdf").map(|file| file["says"].to_string());
        found.expect("the PDF")
    };
    assert!(!says(&door).contains("before"));
    let revision: Value = door.got("/revision")["revision"].clone();
    let wish = json!({ "step": { "do": "set-allowance", "edges": "back.hem", "allowance": "20mm" } });
    let told = door.told("/keep", &json!({ "revision": revision, "wish": wish }));
    assert!(told["refused"].is_null(), "{told}");
    assert!(says(&door).contains("as it was before"));
}

/// Where a file cannot be written, a sentence says so; the recipe and the sheet stay, and what was wished can be wished again.
#[test]
fn what_cannot_be_written_is_told() {
    let door = narrow_coat();
    let kept = (door.bench.text("recipe.toml"), door.bench.text("pattern.svg"));
    for (file, path, wish) in [
        ("pattern.pdf", "/paper", json!({ "said": {}, "bars": ["", ""] })),
        ("report.html", "/report", json!({})),
        ("taste.toml", "/plan/taste", json!({ "said": { "whole": "back" } })),
    ] {
        std::fs::create_dir(door.bench.path(file)).expect("a folder in its place");
        let told = door.told(path, &wish);
        assert!(told["refused"]["what"].to_string().contains(file), "{path}: {told}");
        std::fs::remove_dir(door.bench.path(file)).expect("taken away");
        let told = door.told(path, &wish);
        assert!(told["refused"].is_null() && door.bench.path(file).is_file(), "{path}: {told}");
    }
    assert_eq!(kept, (door.bench.text("recipe.toml"), door.bench.text("pattern.svg")));
}
