//! The floors of the library stand on each other in one order: a floor uses only those below it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// What each floor may use beside itself. Whatever is not listed stands above it, or beside it and out of its reach.
const FLOORS: [(&str, &[&str]); 16] = [
    ("tolerance", &[]),
    ("canvas", &["tolerance"]),
    ("units", &["tolerance"]),
    ("curve", &["tolerance"]),
    ("drawing", &["tolerance"]),
    ("pattern", &["units", "tolerance", "curve"]),
    ("allowance", &["units", "tolerance", "curve", "pattern"]),
    ("sheet", &["units", "tolerance", "canvas", "curve", "drawing", "pattern", "allowance"]),
    ("adopt", &["units", "tolerance", "canvas", "curve", "drawing", "pattern", "allowance", "sheet"]),
    ("truing", &["units", "tolerance", "curve", "pattern", "allowance"]),
    ("recut", &["units", "tolerance", "curve", "pattern", "allowance", "truing"]),
    ("resew", &["units", "tolerance", "curve", "pattern", "truing", "recut"]),
    ("cloth", &["units", "tolerance", "canvas", "curve", "pattern", "allowance", "truing"]),
    ("plan", &["units", "tolerance", "curve", "pattern", "allowance", "truing", "recut", "cloth"]),
    (
        "show",
        &[
            "units",
            "tolerance",
            "canvas",
            "curve",
            "pattern",
            "allowance",
            "sheet",
            "truing",
            "recut",
            "resew",
            "cloth",
        ],
    ),
    (
        "cli",
        &[
            "units",
            "tolerance",
            "canvas",
            "curve",
            "drawing",
            "pattern",
            "allowance",
            "sheet",
            "adopt",
            "truing",
            "recut",
            "resew",
            "cloth",
            "plan",
            "show",
        ],
    ),
];

/// Files that stand on no floor: they name the floors, or start the top one.
const ENTRANCES: [&str; 2] = ["lib.rs", "main.rs"];

#[test]
fn no_floor_uses_one_above_it() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    for file in rust_files(&source) {
        let inside = file.strip_prefix(&source).expect("a file of the source");
        let way = module_of(inside);
        if ENTRANCES.iter().any(|entrance| inside == Path::new(entrance)) {
            continue;
        }
        let text = fs::read_to_string(&file).expect("a text");
        seen.insert(way[0].clone());
        for used in forbidden(&way, &text) {
            wrong.push(format!("src/{} uses `{used}`", inside.display()));
        }
    }
    let floors: BTreeSet<String> = FLOORS.iter().map(|(floor, _)| (*floor).to_owned()).collect();
    assert_eq!(seen, floors, "the floors of the source are not those of this test");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_way_of_writing_a_forbidden_path_is_seen() {
    let way = |text: &str| text.split('/').map(str::to_owned).collect::<Vec<_>>();
    let cases = [
        ("recut/split", "use crate::sheet::read;", vec!["sheet"]),
        ("truing/girth", "use crate::{curve::Curve, recut::{Step, Told}};", vec!["recut"]),
        ("curve/run", "use super::super::pattern::Piece;", vec!["pattern"]),
        ("curve/run", "fn f(l: crate::units::Length) {}", vec!["units"]),
        ("drawing/svg/path", "use super::super::super::{truing, tolerance};", vec!["truing"]),
        ("sheet/read", "use crate::truing;", vec!["truing"]),
        ("truing/check", "use crate :: sheet :: read;", vec!["sheet"]),
        ("pattern/piece", "mod inner { use super::super::super::recut::Step; }", vec!["recut"]),
        ("cli/show", "use retrue::recut::Step; use crate::cli::exit::Exit;", vec![]),
        ("curve/run", "use super::place; use crate::tolerance::WELD;", vec![]),
        ("curve/run", "/// Unlike [`crate::pattern::Run`].\n// crate::recut\n", vec![]),
    ];
    for (module, text, expected) in cases {
        assert_eq!(forbidden(&way(module), text), expected, "in {module}: {text}");
    }
}

/// The floors that a module names and may not use, in the order of its text.
fn forbidden(module: &[String], text: &str) -> Vec<String> {
    let allowed =
        FLOORS.iter().find(|(floor, _)| *floor == module[0]).map_or(&[][..], |(_, allowed)| *allowed);
    used_floors(module, text)
        .into_iter()
        .filter(|used| *used != module[0] && !allowed.contains(&used.as_str()))
        .collect()
}

/// The floors that a text names by a path from the root or from a module around it.
fn used_floors(module: &[String], text: &str) -> Vec<String> {
    let words = words(text);
    let mut used = Vec::new();
    let mut i = 0;
    while i < words.len() {
        let starts = i == 0 || words[i - 1] != "::";
        let root = match words[i].as_str() {
            "crate" | "retrue" if starts => Some(i + 1),
            "super" if starts => past_supers(module, &words, i),
            _ => None,
        };
        if let Some(root) = root {
            used.extend(first_names(&words[root..]).into_iter().filter(|name| is_floor(name)));
        }
        i += 1;
    }
    used
}

fn is_floor(name: &str) -> bool {
    FLOORS.iter().any(|(floor, _)| *floor == name)
}

/// Where the path goes on once its `super`s have left every module of the floor; a module written within the file
/// takes one more to leave, so more are as good as enough.
fn past_supers(module: &[String], words: &[String], start: usize) -> Option<usize> {
    let mut supers = 0;
    let mut i = start;
    while words.get(i).is_some_and(|word| word == "super")
        && words.get(i + 1).is_some_and(|word| word == "::")
    {
        supers += 1;
        i += 2;
    }
    (supers >= module.len()).then(|| i - 1)
}

/// The first names of the paths after a root: one after `::`, or all that stand outermost in braces.
fn first_names(words: &[String]) -> Vec<String> {
    if words.first().is_none_or(|word| word != "::") {
        return Vec::new();
    }
    if words.get(1).is_some_and(|word| word != "{") {
        return vec![words[1].clone()];
    }
    let mut names = Vec::new();
    let mut depth = 0;
    for pair in words[1..].windows(2) {
        match pair[0].as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            break;
        }
        if depth == 1 && matches!(pair[0].as_str(), "{" | ",") {
            names.push(pair[1].clone());
        }
    }
    names
}

/// Words and signs of a Rust text without its comments; `::` is one sign.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for line in text.lines() {
        let code = line.find("//").map_or(line, |comment| &line[..comment]);
        let mut inside_word = false;
        for letter in code.chars() {
            let part_of_word = letter.is_alphanumeric() || letter == '_';
            let last = words.last_mut();
            match last {
                Some(word) if part_of_word && inside_word => word.push(letter),
                Some(word) if letter == ':' && word == ":" => word.push(':'),
                _ if letter.is_whitespace() => {}
                _ => words.push(letter.to_string()),
            }
            inside_word = part_of_word;
        }
    }
    words
}

/// The modules that lead to a file, the floor first.
fn module_of(file: &Path) -> Vec<String> {
    let mut way: Vec<String> =
        file.with_extension("").iter().map(|part| part.to_string_lossy().into_owned()).collect();
    if way.last().is_some_and(|last| last == "mod") {
        way.pop();
    }
    way
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files
}
