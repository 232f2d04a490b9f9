//! One recipe over many patterns and many widths of cloth.

#[path = "common/run.rs"]
mod run;

#[path = "common/spoiled.rs"]
mod spoiled;

use run::{Bench, fixture};

/// A recipe whose width is given by name.
const NARROW: &str = r#"[with]
width = "37cm"
taken = "back"

[[step]]
do = "move-seam"
seam = "front.side"
from = "{taken}"
to-width = "{width / 2}"
line = "grain"
"#;

/// A bench with a recipe and the coat under several names.
fn sizes(names: &[&str]) -> Bench {
    let bench = Bench::new().with_file("narrow.toml", NARROW);
    names.iter().fold(bench, |bench, name| bench.with_file(&format!("sizes/{name}.svg"), fixture("coat.svg")))
}

const ALL: &str = "apply narrow.toml --each \"sizes/*.svg\" -o \"out/{name}.svg\"";

#[test]
fn each_pattern_gets_what_the_recipe_gives_it_alone() {
    let bench = sizes(&["8", "10", "12"]);
    bench.retrue("apply narrow.toml sizes/8.svg -o alone.svg").is_true();
    let told = bench.retrue(ALL);
    told.is_true()
        .says_nothing()
        .prints("sizes/8.svg   true")
        .prints("3 patterns: 3 true, 0 not true, 0 refused");
    for name in ["8", "10", "12"] {
        assert_eq!(bench.text_of(&format!("out/{name}.svg")), bench.text_of("alone.svg"));
    }
}

#[test]
fn one_that_fails_stops_none_of_the_others() {
    let broken = fixture("coat.svg").replacen("id=\"front.side\"", "id=\"front.flank\"", 1);
    let bench =
        sizes(&["a", "c", "e"]).with_file("sizes/b.svg", "no drawing").with_file("sizes/d.svg", broken);
    bench.retrue(ALL).is_untrue().prints("5 patterns: 3 true, 0 not true, 2 refused");
    let report = bench.retrue(&format!("{ALL} --force --json")).is_untrue().reports("batch");
    assert_eq!(report["true"], false);
    let files = report["files"].as_array().expect("rows");
    let told: Vec<_> = files.iter().map(|row| (row["file"].as_str(), row["verdict"].as_str())).collect();
    let row = |file, verdict| (Some(file), Some(verdict));
    assert_eq!(
        told,
        [
            row("sizes/a.svg", "true"),
            row("sizes/b.svg", "refused"),
            row("sizes/c.svg", "true"),
            row("sizes/d.svg", "refused"),
            row("sizes/e.svg", "true"),
        ]
    );
    assert!(files[1]["reasons"][0].as_str().is_some_and(|why| why.contains("not valid XML")));
    assert!(!bench.path("out/b.svg").exists());
    let quiet = bench.retrue(&format!("-q {ALL} --force"));
    assert_eq!(quiet.is_untrue().stdout().lines().count(), 2);
}

#[test]
fn what_becomes_untrue_is_told_and_written() {
    let recipe = "[[step]]\ndo = \"set-edge\"\nedge = \"sleeve.cap\"\nease = \"10mm\"\n";
    let bench = sizes(&["a", "b"]).with_file("narrow.toml", recipe);
    bench.retrue(ALL).is_untrue().prints("not true").prints("longer by 15 mm").prints("0 true, 2 not true");
    assert!(bench.path("out/a.svg").exists());
}

#[test]
fn a_pattern_that_was_untrue_before_is_told_as_such() {
    let bench = sizes(&["a", "c"]).with_file("sizes/b.svg", spoiled::uneven_allowance(&fixture("coat.svg")));
    bench
        .retrue(ALL)
        .is_untrue()
        .prints("3 patterns: 2 true, 1 not true, 0 refused")
        .prints("as before, ")
        .prints("the allowances of the two sides differ by 7 mm");
    let report = bench.retrue(&format!("{ALL} --force --json")).is_untrue().reports("batch");
    assert_eq!(report["files"][1]["verdict"], "not-true");
    bench.retrue("check out/b.svg").is_untrue();
}

#[test]
fn folders_of_the_new_files_are_made() {
    let bench = sizes(&["a", "b"]);
    bench.retrue("apply narrow.toml --each \"sizes/*.svg\" -o \"new/{name}/coat.svg\"").is_true();
    assert!(bench.path("new/a/coat.svg").exists() && bench.path("new/b/coat.svg").exists());
    let refused = bench.retrue("apply narrow.toml --each \"sizes/*.svg\" -o \"sizes/a.svg/{name}.svg\"");
    refused.is_refused().says("this is not a folder");
    bench.retrue("apply narrow.toml --each \"none/*.svg\" -o \"other/{name}.svg\"").is_refused();
    assert!(!bench.path("other").exists());
}

/// The files of a part's report.
fn files_of_part(bench: &Bench, files: &str, part: &str) -> Vec<String> {
    let line = format!("apply nothing.toml --each {files} --dry-run --json --part {part}");
    let report = bench.retrue(&line).is_true().reports("batch");
    let files = report["files"].as_array().expect("rows");
    files.iter().map(|row| row["file"].as_str().expect("a file").to_owned()).collect()
}

/// In order of names, whatever order the files are given in; empty where there are more parts than files.
#[test]
fn parts_share_no_file_and_are_all_of_them_together() {
    let names = ["e", "b", "a", "d", "c"];
    let bench = sizes(&names).with_file("nothing.toml", "step = []\n");
    let given = names.map(|name| format!("sizes/{name}.svg")).join(" ");
    let mut sorted = names.map(|name| format!("sizes/{name}.svg")).to_vec();
    sorted.sort();
    for parts in 1..=7 {
        let of_part = |part: usize| files_of_part(&bench, &given, &format!("{part}/{parts}"));
        let each: Vec<Vec<String>> = (1..=parts).map(of_part).collect();
        assert_eq!(each.concat(), sorted, "{parts} parts");
        let sizes: Vec<usize> = each.iter().map(Vec::len).collect();
        let (least, most) = (sizes.iter().min(), sizes.iter().max());
        assert!(most.zip(least).is_some_and(|(most, least)| most - least <= 1), "{sizes:?}");
    }
    assert_eq!(files_of_part(&bench, "\"sizes/*.svg\"", "2/5"), ["sizes/b.svg"]);
}

#[test]
fn a_part_that_is_none_is_refused_with_the_way_out() {
    let bench = sizes(&["a"]);
    let part = |part: &str| bench.retrue(&format!("{ALL} --part {part}"));
    part("0/10").is_refused().says("the parts are 1/10 to 10/10");
    part("11/10").is_refused().says("the parts are 1/10 to 10/10");
    part("3/0").is_refused().says("1/1 is all of the files");
    for other in ["3", "3/", "/", "a/b", "1.5/3", "99999999999/99999999999"] {
        part(other).is_refused().says("3/10");
    }
    bench.retrue("apply narrow.toml sizes/a.svg --part 1/2").is_refused().says("--part");
    bench.retrue("apply narrow.toml --part 1/2").is_refused().says("--each");
    assert!(!bench.path("out").exists());
}

/// Two files of one name are refused in whichever parts they are: one would be written over the other.
#[test]
fn outputs_that_meet_are_refused_in_every_part() {
    let bench = sizes(&["a"]).with_file("more/a.svg", fixture("coat.svg"));
    for part in ["1/2", "2/2"] {
        let line = format!("apply narrow.toml --each \"*/a.svg\" -o \"out/{{name}}.svg\" --part {part}");
        bench.retrue(&line).is_refused().says("both be written");
    }
}

#[test]
fn a_file_that_is_there_is_kept_without_force() {
    let bench = sizes(&["a", "b"]).with_file("out/a.svg", "mine");
    bench.retrue(ALL).is_untrue().prints("exists already").prints("1 true, 0 not true, 1 refused");
    assert_eq!(bench.text_of("out/a.svg"), "mine");
    bench.retrue(&format!("{ALL} --force")).is_true();
    assert_ne!(bench.text_of("out/a.svg"), "mine");
}

#[test]
fn what_cannot_be_begun_is_refused_and_writes_nothing() {
    let bench = sizes(&["a", "b"]).with_file("more/a.svg", fixture("coat.svg"));
    let apply = |rest: &str| bench.retrue(&format!("apply narrow.toml {rest}"));
    apply("--each \"none/*.svg\" -o \"out/{name}.svg\"").is_refused().says("no file matches `none/*.svg`");
    apply("--each \"sizes/***\" -o \"out/{name}.svg\"").is_refused().says("does not choose files");
    apply("--each \"sizes/*.svg\" -o out/new.svg").is_refused().says("both be written").says("{name}");
    apply("--each \"*/a.svg\" -o \"out/{name}.svg\"").is_refused().says("both be written");
    apply("--each \"sizes/*.svg\" -o \"out/{nam}.svg\"").is_refused().says("did you mean `{name}`?");
    apply("--each \"sizes/*.svg\" -o \"out/{name\"").is_refused().says("{name}");
    apply("--each \"sizes/*.svg\" -o sizes/a.svg --force").is_refused().says("written over `sizes/a.svg`");
    apply("--each \"sizes/*.svg\"").is_refused().says("-o");
    apply("--each \"sizes/*.svg\" -o -").is_refused().says("needs a file of its own");
    apply("sizes/a.svg --each \"sizes/*.svg\" -o \"out/{name}.svg\"").is_refused().says("--each");
    bench.retrue("apply missing.toml --each \"sizes/*.svg\" -o \"out/{name}.svg\"").is_refused();
    assert!(!bench.path("out/a.svg").exists());
}

/// A shell puts the names in place of a pattern that is not in quotes.
#[test]
fn names_that_the_shell_filled_in_are_taken_as_they_are() {
    let bench = sizes(&["a", "b"]).with_file("sizes/[c].svg", fixture("coat.svg"));
    let line = "apply narrow.toml --each sizes/a.svg sizes/b.svg sizes/[c].svg -o out/{name}.svg";
    bench.retrue(line).is_true().prints("3 patterns: 3 true");
    assert!(bench.path("out/[c].svg").exists());
}

#[test]
fn a_dry_run_writes_nothing_and_needs_no_names() {
    let bench = sizes(&["a", "b"]);
    bench.retrue("apply narrow.toml --each \"sizes/*.svg\" --dry-run").is_true().prints("2 patterns: 2 true");
    assert!(!bench.path("out/a.svg").exists());
}

#[test]
fn a_value_given_takes_the_place_of_the_recipes_own() {
    let bench = sizes(&[]).with_fixture("coat.svg");
    bench.retrue("apply narrow.toml coat.svg").is_true().prints("\"to-width\":\"185mm\"");
    bench.retrue("apply narrow.toml coat.svg --with width=41cm").is_true().prints("\"to-width\":\"205mm\"");
    bench.retrue("apply narrow.toml coat.svg --with \"width=14 1/2in\"").is_true().prints("\"184.15mm\"");
}

#[test]
fn values_given_that_are_none_are_refused() {
    let bench = sizes(&[]).with_fixture("coat.svg");
    let apply = |rest: &str| bench.retrue(&format!("apply narrow.toml coat.svg {rest}"));
    apply("--with widht=41cm").is_refused().says("no value `widht`").says("did you mean `width`?");
    apply("--with width").is_refused().says("width=41cm");
    apply("--with width=").is_refused().says("width=41cm");
    apply("--with width=1cm --with width=2cm").is_refused().says("given twice");
    apply("--with \"width={taken}\"").is_refused().says("no { or }");
    apply("--with width=41ell").is_refused().says("narrow.toml:9").says("`ell`");
    apply("--with taken=bak").is_refused().says("narrow.toml:8").says("did you mean");
    let bare = sizes(&[]).with_file("narrow.toml", "[[step]]\ndo = \"unfold\"\npiece = \"back\"\n");
    bare.with_fixture("coat.svg")
        .retrue("apply narrow.toml coat.svg --with width=1cm")
        .is_refused()
        .says("[with]");
}

#[test]
fn values_in_a_recipe_that_are_none_are_shown_on_their_line() {
    let refused = |from: &str, to: &str| {
        let recipe = NARROW.replace(from, to);
        assert_ne!(recipe, NARROW);
        let bench = Bench::new().with_fixture("coat.svg").with_file("r.toml", recipe);
        bench.retrue("apply r.toml coat.svg")
    };
    refused("{taken}", "{takn}").is_refused().says("r.toml:8").says("did you mean `taken`?");
    refused("{taken}", "{taken").is_refused().says("r.toml:8").says("has no end");
    refused("{taken}", "back").is_refused().says("r.toml:3").says("no field uses `taken`");
    refused("width / 2", "width / 0").is_refused().says("r.toml:9").says("whole number over zero");
    refused("width / 2", "taken / 2").is_refused().says("r.toml:9").says("cannot be worked out");
    refused("\"37cm\"", "[\"37cm\"]").is_refused().says("r.toml:2").says("a list");
    refused("\"37cm\"", "\"{taken}\"").is_refused().says("r.toml:2").says("no { or }");
    refused("[with]", "[[with]]").is_refused().says("`with` is not a table");
    refused("width = \"37cm\"", "\"wide cloth\" = \"37cm\"")
        .is_refused()
        .says("r.toml:2")
        .says("not the name of a value");
}

/// The shipped recipe serves cloth of many widths, and refuses what this coat cannot be cut from.
#[test]
fn the_narrow_coat_is_cut_for_many_widths() {
    let recipe = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/narrow-coat.toml");
    let bench = Bench::new();
    for width in ["37cm", "38cm", "41cm", "15 3/4in", "45cm"] {
        bench.retrue(&format!("-q apply {recipe} --dry-run --with \"width={width}\"")).is_true();
    }
    for width in ["36cm", "34cm"] {
        bench.retrue(&format!("-q apply {recipe} --dry-run --with width={width}")).is_refused();
    }
}
