//! The floors of the library stand on each other in one order: a floor uses only those below it,
//! and no files of a floor use each other in a ring.

mod modules;
mod type_names;
mod words;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use modules::{Module, Way, home, module, modules};

/// What each floor may use beside itself. Whatever is not listed stands above it, or beside it and out of its reach.
const FLOORS: [(&str, &[&str]); 22] = [
    ("tolerance", &[]),
    ("files", &[]),
    ("units", &["tolerance"]),
    ("curve", &["tolerance"]),
    ("canvas", &["units", "tolerance", "curve"]),
    ("pattern", &["units", "tolerance", "curve"]),
    // Of a pattern it knows only names that are near, and how advice is written.
    ("toml_file", &["units", "tolerance", "pattern"]),
    ("allowance", &["units", "tolerance", "curve", "pattern"]),
    ("parts", &["units", "tolerance", "curve", "pattern"]),
    ("derive", &["units", "tolerance", "curve", "pattern", "parts"]),
    // Of a pattern it knows only how advice is written.
    ("drawing", &["units", "tolerance", "curve", "pattern"]),
    ("sheet", &["units", "tolerance", "canvas", "curve", "drawing", "pattern", "allowance"]),
    (
        "adopt",
        &["units", "tolerance", "canvas", "curve", "drawing", "pattern", "allowance", "sheet", "toml_file"],
    ),
    ("truing", &["units", "tolerance", "curve", "pattern", "allowance", "derive"]),
    ("recut", &["units", "tolerance", "curve", "pattern", "parts", "allowance", "derive", "truing"]),
    ("resew", &["units", "tolerance", "curve", "pattern", "truing", "recut"]),
    ("cloth", &["units", "tolerance", "canvas", "curve", "pattern", "toml_file", "allowance", "truing"]),
    ("recipe", &["units", "pattern", "toml_file", "recut", "cloth"]),
    (
        "plan",
        &[
            "units",
            "tolerance",
            "curve",
            "pattern",
            "allowance",
            "truing",
            "recut",
            "cloth",
            "recipe",
            "toml_file",
        ],
    ),
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
            "plan",
        ],
    ),
    (
        "table",
        &[
            "units",
            "tolerance",
            "files",
            "canvas",
            "curve",
            "pattern",
            "allowance",
            "derive",
            "drawing",
            "sheet",
            "adopt",
            "truing",
            "recut",
            "resew",
            "cloth",
            "recipe",
            "plan",
            "show",
            "toml_file",
        ],
    ),
    (
        "cli",
        &[
            "files",
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
            "recipe",
            "plan",
            "show",
            "table",
            "toml_file",
        ],
    ),
];

/// Files that stand on no floor: they name the floors, or start the top one.
const ENTRANCES: [&str; 2] = ["lib.rs", "main.rs"];

fn source() -> BTreeMap<Way, Module> {
    modules(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &ENTRANCES)
}

#[test]
fn no_floor_uses_one_above_it() {
    let source = source();
    let seen: BTreeSet<&str> = source.keys().map(|way| way[0].as_str()).collect();
    let floors: BTreeSet<&str> = FLOORS.iter().map(|(floor, _)| *floor).collect();
    assert_eq!(seen, floors, "the floors of the source are not those of this test");
    let wrong = source.iter().flat_map(|(way, module)| {
        forbidden(way, module).into_iter().map(|used| format!("{} uses `{used}`", way.join("/")))
    });
    let wrong: Vec<String> = wrong.collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Who reads one file of a ring has to read them all.
#[test]
fn no_files_of_a_floor_use_each_other_in_a_ring() {
    let rings = rings(&uses(&source()));
    let told: Vec<String> = rings
        .iter()
        .map(|ring| ring.iter().map(|way| way.join("/")).collect::<Vec<_>>().join(", "))
        .collect();
    assert!(told.is_empty(), "{} rings:\n{}", told.len(), told.join("\n"));
}

#[test]
fn every_way_of_writing_a_forbidden_path_is_seen() {
    let cases = [
        ("recut/split", "use crate::sheet::read;", vec!["sheet"]),
        ("truing/girth", "use crate::{curve::Curve, recut::{Step, Notice}};", vec!["recut"]),
        ("curve/run", "use super::super::pattern::Piece;", vec!["pattern"]),
        ("curve/run", "fn f(l: crate::units::Length) {}", vec!["units"]),
        ("sheet/drawing/path", "use super::super::super::{truing, sheet};", vec!["truing"]),
        ("sheet/read", "use crate::truing;", vec!["truing"]),
        ("sheet/read", "pub use crate::truing::check;", vec!["truing"]),
        ("truing/check", "use crate :: sheet :: read;", vec!["sheet"]),
        (
            "truing/check",
            "fn f() { assert!(crate::sheet::read().is_ok(), \"{}\", crate::show::NAME) }",
            vec!["sheet", "show"],
        ),
        ("pattern/piece", "mod inner { use super::super::super::recut::Step; }", vec!["recut"]),
        ("cli/show", "use retrue::recut::Step; use crate::cli::exit::Exit;", vec![]),
        ("curve/run", "use super::place; use crate::tolerance::WELD;", vec![]),
        ("curve/run", "/// Unlike [`crate::pattern::Run`].\n// crate::recut\nfn f() {}", vec![]),
    ];
    for (way, text, expected) in cases {
        let way = self::way(way);
        let module = module(&way, text).expect("Rust");
        assert_eq!(forbidden(&way, &module), expected, "in {way:?}: {text}");
    }
}

/// By a face that hands names on, by a whole module handed on, by a child and its parent.
#[test]
fn a_ring_is_seen_however_its_files_name_each_other() {
    let texts = [
        ("curve", "mod a; mod b; mod c; pub use a::A; pub use b::*; mod d;"),
        ("curve/a", "use crate::curve::B; pub struct A;"),
        ("curve/b", "use super::c::help; pub struct B;"),
        ("curve/c", "pub fn help() -> crate::curve::A { todo!() }"),
        ("curve/d", "mod inner; pub struct D; fn f() { inner::g() }"),
        ("curve/d/inner", "use super::D; pub fn g() {}"),
        ("curve/e", "use super::A; #[cfg(test)] mod tests { use super::super::f::F; }"),
        ("curve/f", "use super::e::E; pub struct F;"),
    ];
    let source = texts.map(|(way, text)| (self::way(way), module(&self::way(way), text).expect("Rust")));
    let rings = rings(&uses(&source.into_iter().collect()));
    let expected = [vec!["curve/a", "curve/b", "curve/c"], vec!["curve/d", "curve/d/inner"]];
    assert_eq!(rings, expected.map(|ring| ring.into_iter().map(way).collect::<Vec<Way>>()));
}

fn way(text: &str) -> Way {
    text.split('/').map(str::to_owned).collect()
}

/// The floors that a module names and may not use.
fn forbidden<'a>(way: &[String], module: &'a Module) -> Vec<&'a str> {
    let allowed = FLOORS.iter().find(|(floor, _)| *floor == way[0]).map_or(&[][..], |(_, allowed)| *allowed);
    let used: BTreeSet<&str> = module.reaches().map(|way| way[0].as_str()).collect();
    let is_floor = |name: &str| FLOORS.iter().any(|(floor, _)| *floor == name);
    used.into_iter().filter(|used| is_floor(used) && *used != way[0] && !allowed.contains(used)).collect()
}

/// The modules of its own floor that each module uses.
fn uses(source: &BTreeMap<Way, Module>) -> BTreeMap<&Way, BTreeSet<Way>> {
    let used = |(way, module): (&Way, &Module)| -> BTreeSet<Way> {
        let homes = module.names.iter().filter_map(|name| home(source, name));
        homes.filter(|home| home != way && home[0] == way[0]).collect()
    };
    source.iter().map(|(way, module)| (way, used((way, module)))).collect()
}

/// The rings in which modules use each other.
fn rings(uses: &BTreeMap<&Way, BTreeSet<Way>>) -> Vec<Vec<Way>> {
    let reached = |from: &Way| {
        let mut reached: BTreeSet<Way> = BTreeSet::new();
        let mut open: Vec<&Way> = vec![from];
        while let Some(way) = open.pop() {
            open.extend(uses[way].iter().filter(|next| reached.insert((*next).clone())));
        }
        reached
    };
    let reached: BTreeMap<&Way, BTreeSet<Way>> = uses.keys().map(|way| (*way, reached(way))).collect();
    let ring = |way: &Way| -> Vec<Way> {
        reached[way].iter().filter(|other| reached[*other].contains(way)).cloned().collect()
    };
    let rings: BTreeSet<Vec<Way>> = uses.keys().map(|way| ring(way)).filter(|ring| ring.len() > 1).collect();
    rings.into_iter().collect()
}
