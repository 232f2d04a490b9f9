//! One meaning for each type name: a reader who knows a name from one file knows it in every other.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Item, Macro};

use crate::modules::rust_files;

/// A type name, the floors in which it is defined, once for each definition, and why it is defined more than once.
type Shared = (&'static str, &'static [&'static str], &'static str);

/// Names that more than one type has. The list only shrinks: a name that stands in fewer places has to be taken off it, or
/// its floors.
const SHARED: [Shared; 3] = [
    ("FileId", &["cli", "cli"], BY_SYSTEM),
    ("Layer", &["canvas", "drawing"], BOTH_KNOWN),
    ("Mark", &["cloth", "pattern"], KEPT),
];

const BY_SYSTEM: &str = "one thing on two kinds of system, of which one is built";
/// Of the model, and of a cloth.
const KEPT: &str =
    "that of a cloth is in the digests of cloths that a table keeps on disk, which a new name would change";
/// Both are handed on by their floors.
const BOTH_KNOWN: &str = "what can be switched off in a drawing: as it is brought in, and as it is written";

#[test]
fn each_type_name_has_one_meaning() {
    let places = places(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
    let wrong = wrong(&places, &SHARED);
    assert!(wrong.is_empty(), "{} names:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_way_of_writing_a_type_is_seen() {
    let text = "
        pub struct One; enum Two {} type Three = u8; trait Four {} union Five { a: u8 }
        mod inner { pub(super) struct Six; }
        fn f() { struct Seven; }
        macro_rules! made { ($name:ident) => { pub enum Eight { A } trait $name { type No; } }; }
        impl Iterator for One { type Item = u8; fn next(&mut self) -> Option<u8> { None } }
        trait Nine { type Error; }
        f! { enum map identifier } // struct Ten;
    ";
    let seen: BTreeSet<String> = type_names(text).expect("Rust").into_iter().collect();
    let expected = ["One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"];
    assert_eq!(seen, expected.map(str::to_owned).into());
}

#[test]
fn a_shared_name_is_told_and_a_list_that_could_shrink_too() {
    let found = [
        ("Once", vec!["curve/a.rs"]),
        ("Twice", vec!["curve/a.rs", "recut/a.rs"]),
        ("Listed", vec!["curve/a.rs", "recut/a.rs"]),
        ("More", vec!["curve/a.rs", "recut/a.rs", "recut/b.rs"]),
        ("Less", vec!["curve/a.rs", "recut/a.rs"]),
        ("Single", vec!["recut/a.rs"]),
        ("Elsewhere", vec!["curve/a.rs", "recut/a.rs"]),
    ];
    let found = found.map(|(name, files)| (name.to_owned(), files.into_iter().map(str::to_owned).collect()));
    let both: &[&str] = &["curve", "recut"];
    let listed: [Shared; 6] = [
        ("Listed", both, ""),
        ("More", both, ""),
        ("Less", &["curve", "recut", "recut"], ""),
        ("Single", both, ""),
        ("Elsewhere", &["curve", "table"], ""),
        ("Gone", both, ""),
    ];
    let told = wrong(&found.into(), &listed);
    let named: Vec<&str> = told.iter().filter_map(|line| line.split('`').nth(1)).collect();
    assert_eq!(named, ["Elsewhere", "Gone", "Less", "More", "Single", "Twice"]);
}

/// What does not agree with the list, a line for each name.
fn wrong(places: &BTreeMap<String, Vec<String>>, listed: &[Shared]) -> Vec<String> {
    let listed: BTreeMap<&str, &[&str]> = listed.iter().map(|(name, floors, _)| (*name, *floors)).collect();
    let names: BTreeSet<&str> = places.keys().map(String::as_str).chain(listed.keys().copied()).collect();
    let told = names.into_iter().filter_map(|name| {
        let files = places.get(name).map_or(&[][..], Vec::as_slice);
        let floors: Vec<&str> = files.iter().filter_map(|file| file.split('/').next()).collect();
        match listed.get(name) {
            None if files.len() > 1 => Some(format!("`{name}` stands in {}", files.join(", "))),
            Some(listed) if floors != *listed => Some(format!(
                "`{name}` is listed for {}, and stands in {}",
                listed.join(", "),
                files.join(", ")
            )),
            _ => None,
        }
    });
    told.collect()
}

/// The files in which each type name is defined, one for each definition, in their order.
fn places(source: &Path) -> BTreeMap<String, Vec<String>> {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in rust_files(source) {
        let text = fs::read_to_string(&file).expect("a text");
        let names = type_names(&text).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        let inside = file.strip_prefix(source).expect("a file of the source").display().to_string();
        for name in names {
            places.entry(name).or_default().push(inside.clone());
        }
    }
    places.values_mut().for_each(|files| files.sort());
    places
}

/// The types that a file defines, also within functions and by macros; the associated types of traits are none.
fn type_names(text: &str) -> syn::Result<Vec<String>> {
    let mut reader = TypeNames::default();
    reader.visit_file(&syn::parse_file(text)?);
    Ok(reader.0)
}

#[derive(Default)]
struct TypeNames(Vec<String>);

impl TypeNames {
    /// The types defined in what is given to a macro. An alias looks there as an associated type does, and is not counted.
    fn tokens(&mut self, tokens: TokenStream) {
        const KINDS: [&str; 4] = ["struct", "enum", "trait", "union"];
        let is_type = |name: &proc_macro2::Ident| name.to_string().starts_with(char::is_uppercase);
        let mut defines = false;
        for token in tokens {
            match &token {
                TokenTree::Ident(name) if defines && is_type(name) => self.0.push(name.to_string()),
                TokenTree::Group(group) => self.tokens(group.stream()),
                _ => {}
            }
            defines = matches!(&token, TokenTree::Ident(word) if KINDS.iter().any(|kind| word == kind));
        }
    }
}

impl<'ast> Visit<'ast> for TypeNames {
    fn visit_item(&mut self, item: &'ast Item) {
        let name = match item {
            Item::Enum(item) => Some(&item.ident),
            Item::Struct(item) => Some(&item.ident),
            Item::Trait(item) => Some(&item.ident),
            Item::Type(item) => Some(&item.ident),
            Item::Union(item) => Some(&item.ident),
            _ => None,
        };
        self.0.extend(name.map(ToString::to_string));
        visit::visit_item(self, item);
    }

    fn visit_macro(&mut self, called: &'ast Macro) {
        self.tokens(called.tokens.clone());
    }
}
