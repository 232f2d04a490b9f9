//! What a table begins with, and what a refusal leaves behind: nothing.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use retrue::table::{Folder, Table, begun};
use retrue::units::Unit;

use crate::bench::{Bench, keep, narrow_allowances};

fn program(bench: &Bench, wishes: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.env("COLUMNS", "10000").current_dir(bench.path("")).arg("table").args(wishes).arg("--no-open");
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// A table that is served, until it is dropped.
struct Served(Child);

impl Served {
    /// Waits for its address.
    fn begin(bench: &Bench, wishes: &[&str]) -> Served {
        let mut child = program(bench, wishes).spawn().expect("the program");
        let mut line = String::new();
        let stdout = child.stdout.as_mut().expect("its output");
        BufReader::new(stdout).read_line(&mut line).expect("a line");
        assert!(line.starts_with("http://127.0.0.1:"), "{line}");
        Served(child)
    }
}

impl Served {
    /// Ends it; what it said beside its address.
    fn said(mut self) -> String {
        let _ = self.0.kill();
        let mut said = String::new();
        let stderr = self.0.stderr.as_mut().expect("its messages");
        stderr.read_to_string(&mut said).expect("a text");
        said
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// All that stands in a folder, by name.
fn all_in(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        found.insert(path.display().to_string());
        if path.is_dir() {
            found.extend(all_in(&path));
        }
    }
    found
}

#[test]
fn a_refusal_leaves_the_folder_as_it_was() {
    let bench = Bench::of_coat();
    bench.write("recipe.toml", "pattern = \"missing.svg\"\nstep = []\n");
    std::fs::create_dir(bench.path("recipes")).expect("made");
    bench.write("recipes/bad.toml", "pattern = \"../coat.svg\"\n[[step]]\ndo = \"fly\"\n");
    bench.write("recipes/none.toml", "pattern = \"none.svg\"\nstep = []\n");
    let before = all_in(&bench.path(""));
    let refused: [&[&str]; 6] = [
        &["-o", "."],
        &["coat.svg", "-o", "."],
        &["none.svg", "-o", "a/b/c"],
        &["--recipe", "recipes/bad.toml", "-o", "a/b"],
        &["--recipe", "recipes/none.toml", "-o", "a"],
        &["coat.svg", "--cloth", "none.toml", "-o", "a/b"],
    ];
    for wishes in refused {
        let done = program(&bench, wishes).output().expect("the program");
        assert_eq!(done.status.code(), Some(2), "{wishes:?}: {}", String::from_utf8_lossy(&done.stderr));
        assert_eq!(all_in(&bench.path("")), before, "{wishes:?}");
    }
}

/// Whatever was begun in a folder that was made for a table goes with it.
#[test]
fn a_table_that_cannot_be_laid_gives_its_folder_back() {
    let bench = Bench::of_coat();
    let before = all_in(&bench.path(""));
    let mut folder = Folder::take(&bench.path("a/b")).expect("taken");
    folder.begin(&begun("none.svg")).expect("begun");
    assert!(Table::open(folder, None, Box::new(|_| Err(String::new())), Unit::Millimetre).is_err());
    assert_eq!(all_in(&bench.path("")), before);
}

/// Of a recipe from another folder the pattern and the cloths that its steps name are found all the same; the recipe itself
/// stays as it is.
#[test]
fn a_recipe_is_gone_on_with_in_a_folder_of_its_own() {
    let bench = Bench::of_coat();
    std::fs::create_dir(bench.path("recipes")).expect("made");
    bench.write("recipes/silk.toml", "[main]\nwidth = \"41cm\"\nlength = \"11m\"\n");
    let step = "do = \"move-seam\"\nseam = \"back.side\"\nfrom = \"back\"";
    let text = format!(
        "pattern = \"../coat.svg\"\n\n[with]\nsilk = \"silk.toml\"\n\n[[step]]\n{step}\nfit-cloth = \"{{silk}}\"\n"
    );
    bench.write("recipes/narrow.toml", &text);
    let named = Served::begin(&bench, &["--recipe", "recipes/narrow.toml", "-o", "made/deep/table"]);
    drop(named);
    assert_eq!(bench.text("recipes/narrow.toml"), text);
    let out = bench.path("applied.svg");
    let mut apply = Command::new(env!("CARGO_BIN_EXE_retrue"));
    apply
        .current_dir(bench.path(""))
        .args(["--quiet", "apply", "made/deep/table/recipe.toml", "-o"])
        .arg(&out);
    let done = apply.output().expect("the program");
    assert!(out.exists(), "{}", String::from_utf8_lossy(&done.stderr));
    assert_eq!(bench.text("applied.svg"), bench.text("made/deep/table/pattern.svg"));
    assert_ne!(bench.text("applied.svg"), bench.text("coat.svg"), "the step is done");
}

/// As every command that takes a pattern.
#[test]
fn it_tells_of_an_untrue_pattern_and_of_a_true_one_nothing() {
    let bench = Bench::of_coat();
    let said = Served::begin(&bench, &["-o", "."]).said();
    assert!(!said.contains("not true"), "{said}");
    let uneven = "[[step]]\ndo = \"set-allowance\"\nedges = \"back.side\"\nallowance = \"8mm\"\n";
    bench.write("recipe.toml", &format!("pattern = \"coat.svg\"\n\n{uneven}"));
    let said = Served::begin(&bench, &["-o", "."]).said();
    let told: Vec<&str> = said.lines().filter(|line| line.contains("not true: ")).collect();
    assert_eq!(told.len(), 1, "{said}");
    assert!(told[0].contains("the allowances of the two sides differ by 7 mm"), "{said}");
}

/// Where none is named the cloth is the one that was named last, from wherever; one that is gone by then is told of.
#[test]
fn a_table_that_is_opened_again_lies_on_the_cloth_that_was_named() {
    let bench = Bench::of_coat();
    std::fs::create_dir(bench.path("shelf")).expect("made");
    bench.write("shelf/silk.toml", "[main]\nwidth = \"41cm\"\nlength = \"11m\"\n");
    let again = || Served::begin(&bench, &["-o", "."]).said();
    assert_eq!(Folder::cloth_named(&bench.path("")), None);
    drop(Served::begin(&bench, &["-o", ".", "--cloth", "shelf/silk.toml"]));
    let named = Folder::cloth_named(&bench.path("")).expect("it is kept");
    assert!(Path::new(&named).is_absolute() && named.ends_with("silk.toml"), "{named}");
    assert!(!again().contains("cannot be read any more"));
    assert_eq!(Folder::cloth_named(&bench.path("")), Some(named));
    std::fs::remove_file(bench.path("shelf/silk.toml")).expect("gone");
    let said = again();
    assert!(said.contains("silk.toml, which cannot be read any more"), "{said}");
    drop(Served::begin(&bench, &["-o", ".", "--cloth", "37cm x 11.4m"]));
    assert!(!again().contains("cannot be read any more"));
}

/// The same command goes on where one was: with the drawing, and with the table once it lies.
#[test]
fn a_drawing_is_gone_on_with_by_the_same_command_and_another_is_refused() {
    let bench = Bench::of_coat();
    let drawing = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/adopt/pdf");
    for name in ["skirt-shaped-back-cutting-lines.pdf", "dress-cutting-lines.pdf"] {
        std::fs::copy(drawing.join(name), bench.path(name)).expect("a copy");
    }
    let skirt = "skirt-shaped-back-cutting-lines.pdf";
    let refused =
        |wishes: &[&str]| program(&bench, wishes).output().expect("the program").status.code() == Some(2);
    drop(Served::begin(&bench, &[skirt, "-o", "made"]));
    drop(Served::begin(&bench, &[skirt, "-o", "made"]));
    drop(Served::begin(&bench, &["-o", "made"]));
    assert!(refused(&["dress-cutting-lines.pdf", "-o", "made"]));
    bench.write("made/bought.svg", &bench.text("coat.svg"));
    bench.write("made/recipe.toml", "pattern = \"bought.svg\"\n\nstep = []\n");
    drop(Served::begin(&bench, &[skirt, "-o", "made"]));
    assert!(refused(&["dress-cutting-lines.pdf", "-o", "made"]));
    drop(Served::begin(&bench, &["-o", "empty"]));
}

/// The recipe is the truth: what is in it is kept, also where the sheet cannot be written, and that is told and mended.
#[cfg(target_os = "linux")]
#[test]
fn a_sheet_that_cannot_be_written_is_told_and_tried_again() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let deep = deep_folder(&bench.path(""));
    let sheet = bench.path("pattern.svg");
    std::fs::rename(&sheet, deep.join("p")).expect("moved");
    std::os::unix::fs::symlink(deep.join("p"), &sheet).expect("a link");
    let revision = table.revision();
    table.keep(&narrow_allowances(), revision).expect("kept");
    let seen = table.seen();
    let outside = seen.outside.expect("told");
    assert!(outside.sentence.contains("kept in recipe.toml") && !outside.can_be_put_aside, "{outside:?}");
    assert_eq!((seen.steps.len(), bench.text("recipe.toml").as_str()), (1, table.laid().recipe()));
    table.look();
    assert!(table.seen().outside.is_some(), "as long as it cannot be written");
    std::fs::remove_file(&sheet).expect("taken away");
    assert!(table.look());
    assert_eq!(table.seen().outside, None);
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    keep(&mut table, &narrow_allowances());
}

/// A folder whose path is so long that a file of one letter has room in it, and the part that it is written to has not: so
/// nothing can be written there, whoever the tests are run by.
#[cfg(target_os = "linux")]
fn deep_folder(within: &Path) -> std::path::PathBuf {
    const LONGEST: usize = 4095;
    const PIECE: usize = 200;
    let mut deep = within.canonicalize().expect("there");
    let room = LONGEST - "/p".len();
    while deep.as_os_str().len() + 2 * PIECE < room {
        deep.push("d".repeat(PIECE));
    }
    let left = room - deep.as_os_str().len() - 1;
    let first = left / 2;
    deep.push("d".repeat(first));
    deep.push("d".repeat(left - first - 1));
    std::fs::create_dir_all(&deep).expect("made");
    deep
}
